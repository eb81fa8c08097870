"""A new drink from pasted or typed lines; what each was taken as stands beside it before anything is written."""

from dataclasses import dataclass

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QLabel,
    QLineEdit,
    QPlainTextEdit,
    QVBoxLayout,
    QWidget,
)

from costing.edits import serves
from costing.report.words import doubt_word, sentence
from costing.supply import Draft, PastedLine, read_recipe
from costing.tongue import capital, say
from ui.desk import Desk
from ui.format import own
from ui.models.table import Column, RowTable
from ui.widgets.listpane import ListPane

WAIT = 150
"""Milliseconds after the last key before the lines are read."""


@dataclass(frozen=True, slots=True)
class Taken:
    """A line, and what it was taken as."""

    at: int
    text: str
    source: str
    amount: str
    doubts: str
    decided: bool


def taken(line: PastedLine, at: int, names: dict[str, str]) -> Taken:
    """One line as it was read."""
    doubts = [line.fault] if line.fault else [doubt_word(d) for d in line.doubts]
    if line.source is None and line.matches:
        doubts.append(say("like {names}", names=", ".join(c.name for c in line.matches[:3])))
    name = names.get(line.source or "", "")
    return Taken(at, line.text, name, line.amount.text if line.amount else "", "; ".join(doubts), line.decided)


class NewDrink(QDialog):
    """Name and lines in, a drink out as one step."""

    typed = Signal(str, str)
    """Name and lines, whenever one of them was typed on: whoever opened this may keep them for the next time."""

    def __init__(self, desk: Desk, parent: QWidget | None = None, name: str = "", lines: str = "") -> None:
        """``name`` and ``lines`` are what was typed before and left."""
        super().__init__(parent)
        self.desk = desk
        self.made = ""
        self._warned = ("", "")
        self.setWindowTitle(say("New drink"))
        # no TextField: its Esc drops what was typed, and here Esc only closes
        self.name = QLineEdit(name, self)
        self.name.setAccessibleName(say("Name of the drink"))
        self.lines = QPlainTextEdit(self)
        self.lines.setAccessibleName(say("Components, one a line"))
        self.lines.setPlaceholderText(say("45 ml gin\n20 ml lemon juice\n15 ml simple syrup"))
        self.lines.setTabChangesFocus(True)
        self.lines.setPlainText(lines)
        self.said = QLabel(self)
        self.said.setWordWrap(True)
        self.said.setProperty("error", True)
        self.read: RowTable[Taken] = RowTable(
            [
                Column[Taken]("text", say("Line"), lambda r: r.text),
                Column[Taken]("source", say("Taken as"), lambda r: r.source or say("not decided"),
                              strong=lambda r: not r.decided),
                Column[Taken]("amount", say("Amount"), lambda r: r.amount, True),
                Column[Taken]("doubts", say("Doubts"), lambda r: r.doubts),
            ],
            lambda r: str(r.at),
            desk,
            self,
        )  # fmt: skip
        self.pane = ListPane(self.read, say("What each line was taken as"), None, self)
        self.pane.filter.hide()
        self.buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel, self
        )
        self.buttons.button(QDialogButtonBox.StandardButton.Ok).setText(say("Add the drink"))
        self.buttons.button(QDialogButtonBox.StandardButton.Cancel).setText(say("Leave it"))
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)
        self.finished.connect(self.deleteLater)
        form = QFormLayout()
        form.addRow(say("Name"), self.name)
        label = QLabel(say("Components, one a line"), self)
        label.setBuddy(self.lines)
        layout = QVBoxLayout(self)
        layout.addLayout(form)
        layout.addWidget(label)
        layout.addWidget(self.lines, 2)
        layout.addWidget(self.pane, 2)
        layout.addWidget(self.said)
        layout.addWidget(self.buttons)
        self.resize(680, 560)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(WAIT)
        self._timer.timeout.connect(self.look)
        self.lines.textChanged.connect(self._timer.start)
        self.lines.textChanged.connect(self._typed)
        self.name.textChanged.connect(self._typed)
        if lines:
            self.look()
        self.name.setFocus()

    def _typed(self, *_: object) -> None:
        self.typed.emit(self.name.text(), self.lines.toPlainText())

    def draft(self) -> Draft:
        """What would be added."""
        document = self.desk.document
        return serves.new_serve(
            document.book, self.name.text(), self.lines.toPlainText(), document.day, document.past_ids()
        )

    def look(self) -> None:
        """Show what was understood."""
        document = self.desk.document
        recipe = read_recipe(self.lines.toPlainText(), document.book)
        names = dict(document.names)
        self.read.set_rows(taken(line, n, names) for n, line in enumerate(recipe.lines))
        self.pane.table.fit_columns()

    def accept(self) -> None:
        """Add the drink; where that cannot be, say why and stay. Lines that would be left out are named first, and a
        second Add leaves them out."""
        self.look()
        try:
            draft = self.draft()
        except ValueError as error:
            self.said.setText(str(error))
            return
        if draft.step is None:
            self.said.setText(faults_of(draft))
            return
        waiting = "; ".join(own(line.text) for line in draft.undecided)
        typed = self.name.text(), self.lines.toPlainText()
        if waiting and self._warned != typed:
            self._warned = typed
            self.said.setText(
                say(
                    "These lines are not decided and would be left out of the drink and its cost: {lines}. Mend them, "
                    "or press “Add the drink” again to add it without them.",
                    lines=waiting,
                )
            )
            return
        if not self.desk.do(draft.step):
            self.said.setText(self.desk.refusal.text if self.desk.refusal else "")
            return
        self.made = draft.id
        if waiting:
            self.desk.tell(say("Left out, and kept in the note: {lines}", lines=waiting))
        super().accept()


def faults_of(draft: Draft) -> str:
    """Why a draft is no drink, each reason once. Which lines are not decided, the table beside says."""
    problems = [p for p in draft.problems if p.code != "line-undecided"] or draft.problems
    reasons = dict.fromkeys(capital(sentence(p)) for p in problems)
    return " ".join(say("{sentence}.", sentence=reason) for reason in reasons)
