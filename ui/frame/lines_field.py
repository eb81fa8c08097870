"""A field of several lines. What was typed stays until it is taken or dropped, and says why where it is not taken."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QPlainTextEdit, QWidget

from ui.fault import Refusal


class LinesField(QPlainTextEdit):
    """Several lines that are taken as a whole by whoever owns the field; Esc goes back to what the book says."""

    def __init__(self, name: str, tall: int, parent: QWidget | None = None) -> None:
        """``name`` is for assistive technology; ``tall`` is how many lines are seen at once."""
        super().__init__(parent)
        self.setAccessibleName(name)
        self.setTabChangesFocus(True)
        self.setFixedHeight(self.fontMetrics().lineSpacing() * tall + 14)
        self._stands = ""

    @property
    def typed(self) -> bool:
        """Whether somebody typed what does not stand in the book yet."""
        return self.document().isModified()

    def set_text(self, text: str) -> None:
        """Show what the book says. Lines that somebody is typing are left alone."""
        self._stands = text
        if not self.typed or self.toPlainText() == text:
            self.revert()

    def revert(self) -> None:
        """Back to what the book says."""
        if self.toPlainText() != self._stands:
            self.setPlainText(self._stands)
        self.document().setModified(False)
        self.refuse(None)

    def refuse(self, refusal: Refusal | None) -> None:
        """Mark the lines as not taken, with the reason; None takes the mark away."""
        self.setProperty("refused", refusal is not None)
        self.setToolTip(refusal.text if refusal else "")
        self.setAccessibleDescription(refusal.text if refusal else "")
        self.style().unpolish(self)
        self.style().polish(self)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Esc drops what was typed; only then does it close what is around the field."""
        if event.key() == Qt.Key.Key_Escape and self.typed:
            self.revert()
        else:
            super().keyPressEvent(event)
