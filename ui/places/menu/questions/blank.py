"""A field of a question: its name above, and under it why what was typed cannot be."""

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QSizePolicy, QVBoxLayout, QWidget

from costing.tongue import capital, say
from ui.fault import Refusal, refusal_of
from ui.widgets.completing import Suggestions
from ui.widgets.fields import ChoiceField, TextField

Choices = Callable[[], Sequence[str]]
Offers = Callable[[str], Sequence[str]]


def sentence(text: str) -> str:
    """A reason as a sentence of its own."""
    text = capital(text.strip())
    return text if not text or text[-1] in ".!?" else say("{sentence}.", sentence=text)


class Blank(QWidget):
    """``changed`` tells every letter. What cannot be is marked once the field is left, never while it is typed."""

    changed = Signal()

    def __init__(
        self,
        title: str,
        parent: QWidget | None = None,
        *,
        hint: str = "",
        about: str = "",
        choices: Choices | None = None,
        offers: Offers | None = None,
        beside: bool = False,
    ) -> None:
        """``choices`` are what the whole text may be, ``offers`` texts that go on from what was typed; ``beside``: the
        name stands beside the field and not over it."""
        super().__init__(parent)
        self.field = ChoiceField(title, choices, self, hint=hint) if choices else TextField(title, self, hint=hint)
        if offers is not None:
            Suggestions(self.field, offers=offers)
        self._about, self._typing = about, False
        self.field.setToolTip(about)
        self.field.setMinimumWidth(self.field.fontMetrics().averageCharWidth() * 8)
        self.label = QLabel(title, self)
        self.label.setBuddy(self.field)
        self.label.setWordWrap(not beside)
        self.fault = QLabel(self)
        self.fault.setProperty("error", True)
        self.fault.setWordWrap(True)
        self.fault.setTextFormat(Qt.TextFormat.PlainText)
        self.fault.hide()
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(1)
        named = QHBoxLayout() if beside else QVBoxLayout()
        named.setSpacing(6 if beside else 1)
        named.addWidget(self.label)
        named.addWidget(self.field)
        layout.addLayout(named)
        layout.addWidget(self.fault)
        layout.addStretch(1)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self.field.textChanged.connect(self._changed)
        self.field.committed.connect(self._left)

    @property
    def text(self) -> str:
        """What was typed."""
        return self.field.text()

    def put(self, text: str) -> None:
        """Show a text that was kept; Esc goes back to it if it can be read."""
        self.field.setText(text)

    def right(self) -> None:
        """What was typed can be read. Once it has been left, Esc goes back to it."""
        if self.field.refusal is not None:
            self.field.refuse(None)
            self.field.setToolTip(self._about)
        self.fault.hide()
        if not self._typing and self.field.text() != self.field.stands:
            self.field.set_text(self.field.text())

    def wrong(self, refusal: Refusal) -> None:
        """What was typed cannot be, and why."""
        if self._typing:
            self.fault.hide()
            return
        if self.field.refusal is None or self.field.refusal.text != refusal.text:
            self.field.refuse(refusal)
        self.fault.setText(refusal.cause or refusal.text)
        self.fault.show()

    def wrong_because(self, error: Exception) -> None:
        """The same of an error that was raised."""
        self.wrong(Refusal("", sentence(str(error)), "") if type(error) is ValueError else refusal_of(error))

    def _changed(self) -> None:
        self._typing = self.field.isModified()
        self.changed.emit()

    def _left(self, _: str) -> None:
        self._typing = False
        self.changed.emit()
