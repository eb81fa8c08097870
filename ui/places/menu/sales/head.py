"""What is said above the buttons of files: which they are, what becomes of their rows, and what is asked of one."""

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from costing.supply.till.plan_record import NOTHING_SAID
from costing.tongue import say_many
from ui.desk import Desk
from ui.fault import refusal_of
from ui.format import UNKNOWN, own
from ui.places.cellar.buying.saying import Line
from ui.places.menu.sales.asking import Questions
from ui.places.menu.sales.case import SalesJudged
from ui.places.menu.sales.seen import days_text, head_text


class FilesHead(QWidget):
    """The name, the rows, why a file cannot be read, and its questions."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.title = QLabel(self)
        self.title.setProperty("heading", True)
        self.title.setTextFormat(Qt.TextFormat.PlainText)
        self.title.setWordWrap(True)
        self.said, self.fault = Line(self), Line(self, kind="error")
        self.questions = Questions(desk, self)
        self.questions.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(4, 0, 0, 0)
        column.setSpacing(4)
        for widget in (self.title, self.said, self.fault, self.questions):
            column.addWidget(widget)

    def show_files(self, files: Sequence[SalesJudged]) -> None:
        """One file, or all of them together."""
        one = files[0] if len(files) == 1 else None
        self.title.setText(self._title(files))
        self.said.say(head_text(files, self.desk.format))
        self.fault.say(refusal_of(one.fault).text if one is not None and one.fault is not None else "")
        self.questions.show_asked(*(one.plan, one.case.said) if one is not None else (None, NOTHING_SAID))

    def begin(self, text: str) -> None:
        """Nothing is known yet but what is being done."""
        self.title.setText(text)
        self.said.say("")
        self.fault.say("")
        self.questions.show_asked(None, NOTHING_SAID)

    def _title(self, files: Sequence[SalesJudged]) -> str:
        if len(files) != 1:
            return say_many("{n} file", "{n} files", len(files))
        one = files[0]
        parts = [own(one.case.name), days_text(one, self.desk.format)]
        if one.plan is not None and one.plan.till is not None:
            parts.append(own(one.plan.till.name))
        return " · ".join(part for part in parts if part != UNKNOWN)
