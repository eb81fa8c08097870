"""A new preparation in three lines: what goes in, what it makes, minutes. It is worked out while it is typed."""

from collections.abc import Mapping

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import QFormLayout, QHBoxLayout, QLabel, QPlainTextEdit, QPushButton, QVBoxLayout, QWidget

from costing.book.change import Step
from costing.edits import preparations
from costing.report.words import doubt_word, sentence
from costing.supply import Draft
from costing.tongue import capital, say
from ui.desk import Desk
from ui.fault import KNOWN, Refusal, refusal_of
from ui.format import own
from ui.places.stillroom.head import Figured
from ui.widgets.acts import acts
from ui.widgets.fields import TextField

WAIT = 60
"""Milliseconds after the last key before it is worked out."""


LINES = 6
"""Lines of components that are seen at once."""


class NewPage(QWidget):
    """Three lines and a name; what they come to stands under them."""

    made = Signal(str)
    """The id of the preparation that was made."""
    left = Signal()
    """Somebody went back; what was typed stays until the next time."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.name = TextField(say("Name of the new preparation"), self, hint=say("Ginger syrup"))
        self.lines = QPlainTextEdit(self)
        self.lines.setAccessibleName(say("What goes in, one component a line"))
        self.lines.setPlaceholderText(say("1.2 kg ginger\n900 g sugar\n0.6 l water"))
        self.lines.setTabChangesFocus(True)
        self.lines.setFixedHeight(self.fontMetrics().lineSpacing() * LINES + 12)
        self.makes = TextField(say("What it makes"), self, hint=say("0.9 l, 1.2 kg or 40 each"))
        self.minutes = TextField(say("Minutes of hands at work"), self, hint=say("25"))
        self._arrange()
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(WAIT)
        self._timer.timeout.connect(self.work_out)
        for field in (self.name, self.makes, self.minutes):
            field.textEdited.connect(self._typed)
        self.lines.textChanged.connect(self._typed)
        self.make.clicked.connect(self.finish)
        self.back.clicked.connect(self.left)
        acts(
            self,
            [
                (say("Make it"), "Ctrl+Return", self.finish),
                (say("Make it"), "Ctrl+Enter", self.finish),
                (say("Back"), "Escape", self.left.emit),
            ],
        )

    def _arrange(self) -> None:
        form = QFormLayout()
        form.addRow(say("Name"), self.name)
        form.addRow(say("What goes in"), self.lines)
        form.addRow(say("What it makes"), self.makes)
        form.addRow(say("Minutes"), self.minutes)
        self.figures = Figured(self.desk)
        self.read = QLabel(self)
        self.read.setWordWrap(True)
        self.fault = QLabel(self)
        self.fault.setProperty("error", True)
        self.fault.setWordWrap(True)
        self.make = QPushButton(say("Make it (Ctrl+Enter)"), self)
        self.make.setProperty("chief", True)
        self.back = QPushButton(say("Back (Esc)"), self)
        buttons = QHBoxLayout()
        buttons.addWidget(self.make)
        buttons.addWidget(self.back)
        buttons.addStretch(1)
        title = QLabel(say("A new preparation. Stages can be split off later, where losses matter."), self)
        title.setProperty("heading", True)
        title.setWordWrap(True)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(14, 10, 14, 10)
        layout.setSpacing(8)
        layout.addWidget(title)
        layout.addLayout(form)
        layout.addWidget(self.figures)
        layout.addWidget(self.read)
        layout.addWidget(self.fault)
        layout.addLayout(buttons)
        layout.addStretch(1)

    def begin(self) -> None:
        """Type the name."""
        self.work_out()
        self.name.setFocus(Qt.FocusReason.OtherFocusReason)

    def empty(self) -> None:
        """Forget what was typed."""
        for field in (self.name, self.makes, self.minutes):
            field.revert()
            field.clear()
        self.lines.clear()
        self._timer.stop()

    def draft(self) -> dict[str, str]:
        """What was typed and not made yet, for ``take_draft``; nothing where nothing was typed."""
        typed = {
            "name": self.name.text(), "lines": self.lines.toPlainText(), "makes": self.makes.text(),
            "minutes": self.minutes.text(),
        }  # fmt: skip
        return typed if any(text.strip() for text in typed.values()) else {}

    def take_draft(self, draft: Mapping[object, object]) -> None:
        """Go on from what was typed before; what does not fit is passed over."""
        texts = {name: text for name, text in draft.items() if isinstance(text, str)}
        for name, field in (("name", self.name), ("makes", self.makes), ("minutes", self.minutes)):
            field.setText(texts.get(name, ""))
        self.lines.setPlainText(texts.get("lines", ""))

    def _typed(self, *_: object) -> None:
        self._timer.start()

    def _draft(self) -> Draft:
        document = self.desk.document
        return preparations.new_preparation(
            document.book, self.name.text(), self.lines.toPlainText(), self.makes.text(), self.minutes.text(),
            document.day, document.past_ids(),
        )  # fmt: skip

    def work_out(self) -> None:
        """What the three lines come to, as far as they can be read; nothing is written."""
        document = self.desk.document
        name = self.name.text().strip()
        try:
            # while it has no name yet, it is worked out under one that nobody can have
            draft = self._draft() if name else preparations.new_preparation(
                document.book, "\u2026", self.lines.toPlainText(), self.makes.text(), self.minutes.text(), document.day,
            )  # fmt: skip
        except KNOWN as error:
            began = bool(self.lines.toPlainText().strip() and self.makes.text().strip())
            self.fault.setText(refusal_of(error).cause if began else "")
            self.read.setText("")
            self.figures.show_preparation(document.figures, "")
            return
        self._say(draft)
        if draft.step is not None:
            self.figures.show_preparation(document.draft(draft.step), draft.id, draft=True)
        else:
            self.figures.show_preparation(document.figures, "")

    def _say(self, draft: Draft) -> None:
        waiting = [
            say("{line}: {doubts}", line=own(line.text), doubts=_doubts(line.doubts, [c.name for c in line.matches]))
            for line in draft.undecided
        ]  # fmt: skip
        self.fault.setText("\n".join(waiting))
        problems: list[str] = []
        if draft.step is not None:
            figures = self.desk.document.draft(draft.step)
            ledger = figures.reckoning.ledgers.get(draft.id)
            problems = [sentence(p) for p in (ledger.problems if ledger else ()) if p.level != "note"]
        self.read.setText("\n".join(capital(text) for text in dict.fromkeys(problems)))

    def finish(self) -> bool:
        """Write it, if every line can be read. What cannot stays typed, with the reason."""
        self._timer.stop()
        ident = ""

        def work() -> Step:
            nonlocal ident
            draft = self._draft()
            if draft.step is None or draft.undecided:
                self._say(draft)
                lines = ", ".join(line.text for line in draft.undecided) or say("no line")
                raise Refusal(
                    say("It was not made."),
                    say("These lines do not say what goes in and how much: {lines}.", lines=lines),
                    say("Write an amount and a name of the book on each, or take the line out."),
                )
            ident = draft.id
            return draft.step

        if not self.desk.attempt(work):
            if self.desk.refusal is not None:
                self.fault.setText(self.desk.refusal.text)
            return False
        self.empty()
        self.made.emit(ident)
        return True


def _doubts(doubts: tuple[str, ...], names: list[str]) -> str:
    said = "; ".join(doubt_word(doubt) for doubt in doubts)
    if not names:
        return said or say("it names no amount")
    return say("{doubts}. Is it {names}?", doubts=said, names=", ".join(names[:3]))
