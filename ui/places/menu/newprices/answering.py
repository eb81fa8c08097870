"""The answer above the table: one sentence, and how far the work is."""

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QProgressBar, QPushButton, QVBoxLayout, QWidget

from costing.tongue import capital, say
from ui.format import Format
from ui.places.menu.newprices.asking import Answer
from ui.places.menu.newprices.said import answer_text

SOON = 500
"""Milliseconds after which work shows how far it is: most is done before."""


class AnswerBox(QWidget):
    """``turned``: somebody wants the work to stop, or to go on where it was stopped."""

    turned = Signal()

    def __init__(self, form: Format, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._form = form
        self.said = QLabel(self)
        self.said.setProperty("heading", True)
        self.said.setWordWrap(True)
        self.said.setTextFormat(Qt.TextFormat.PlainText)
        self.said.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.progress = QProgressBar(self)
        self.progress.setAccessibleName(say("How far the new prices are"))
        self.progress.setRange(0, 0)
        self.turn = QPushButton(self)
        self.turn.clicked.connect(self.turned)
        self.waiting = QWidget(self)
        row = QHBoxLayout(self.waiting)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.progress, 1)
        row.addWidget(self.turn)
        row.addStretch(1)
        self.waiting.hide()
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(SOON)
        self._soon.timeout.connect(self._late)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(8, 2, 8, 2)
        layout.setSpacing(3)
        layout.addWidget(self.said)
        layout.addWidget(self.waiting)

    def show_answer(self, answer: Answer | None, *, working: bool, stopped: bool, wanted: bool) -> None:
        """An answer, of before while another is worked out, ``stopped`` or nothing is ``wanted`` yet; None where there
        is none at all."""
        self.said.setText(_heading(answer, self._form, working, stopped, wanted))
        dim(self.said, working or stopped or not wanted)
        self._wait(working, stopped)

    def tell(self, done: int, total: int) -> None:
        """How far it is. The first part may take all of the time: while it lasts, the bar says that work goes on."""
        self.progress.setRange(0, total if done else 0)
        self.progress.setValue(done)
        self.progress.setFormat(say("{done} of {total}", done=done, total=total))

    def _wait(self, working: bool, stopped: bool) -> None:
        self.turn.setText(say("Stop") if working else say("Work it out"))
        self.turn.setToolTip(say("Ctrl+."))
        self.progress.setVisible(working)
        if not working:
            self._soon.stop()
            self.waiting.setVisible(stopped)
        elif not self._soon.isActive() and self.waiting.isHidden():
            self.progress.setRange(0, 0)
            self._soon.start()

    def _late(self) -> None:
        self.waiting.show()


def dim(label: QLabel, faint: bool) -> None:
    """Show a text faint, or as it was."""
    if label.property("faint") is not faint:
        label.setProperty("faint", faint)
        label.style().unpolish(label)
        label.style().polish(label)


def _heading(answer: Answer | None, form: Format, working: bool, stopped: bool, wanted: bool) -> str:
    if answer is None:
        if working:
            return say("It is being worked out…")
        if stopped:
            return say("It was stopped before there was an answer.")
        return "" if wanted else say("Type an aim: an overall pour cost like 20 %, or a margin like margin 9000.")
    said = say("{fault}.", fault=capital(answer.fault)) if answer.found is None else answer_text(answer.found, form)
    if working:
        return say("It is being worked out anew; before: {answer}", answer=said)
    return say("Of before: {answer}", answer=said) if stopped or not wanted else said
