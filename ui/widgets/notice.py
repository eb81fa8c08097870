"""What stands in the window until it is answered: one notice bar; and what an empty place says."""

from collections.abc import Callable

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QToolButton, QVBoxLayout, QWidget

from costing.tongue import say
from ui.fault import Refusal


class Notice(QFrame):
    """One bar above the place: a refusal with problem, cause and remedy, or a state that goes on (read only)."""

    closed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("notice")
        self._text = QLabel(self)
        self._text.setWordWrap(True)
        self._text.setTextFormat(Qt.TextFormat.PlainText)
        self._text.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._close = QToolButton(self)
        self._close.setText("×")
        self._close.setAccessibleName(say("Close this notice"))
        self._close.setToolTip(say("Close this notice (Esc)"))
        self._close.clicked.connect(self.dismiss)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(10, 4, 4, 4)
        layout.addWidget(self._text, 1)
        layout.addWidget(self._close, 0, Qt.AlignmentFlag.AlignTop)
        self.hide()

    @property
    def text(self) -> str:
        """What it says."""
        return self._text.text()

    def refuse(self, refusal: Refusal) -> None:
        """Show what cannot be."""
        self._show(refusal.text, bad=True)

    def inform(self, text: str) -> None:
        """Show a state that goes on."""
        self._show(text, bad=False)

    def _show(self, text: str, *, bad: bool) -> None:
        self.setProperty("bad", bad)
        self.style().unpolish(self)
        self.style().polish(self)
        self._text.setText(text)
        self.setAccessibleName(text)
        self.show()

    def settle(self) -> None:
        """Put a refusal away; a state that goes on stays."""
        if self.property("bad"):
            self.dismiss()

    def dismiss(self) -> None:
        """Put it away."""
        if not self.isHidden():
            self.hide()
            self.closed.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Esc puts it away."""
        if event.key() == Qt.Key.Key_Escape:
            self.dismiss()
        else:
            super().keyPressEvent(event)


class EmptyPlace(QWidget):
    """What goes into an empty list, and the one thing to do next."""

    def __init__(
        self, text: str, action: str = "", act: Callable[[], object] | None = None, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        layout = QVBoxLayout(self)
        layout.addStretch(1)
        said = QLabel(text, self)
        said.setWordWrap(True)
        said.setAlignment(Qt.AlignmentFlag.AlignCenter)
        said.setProperty("faint", True)
        layout.addWidget(said)
        if action and act is not None:
            button = QPushButton(action, self)
            button.setProperty("chief", True)
            button.clicked.connect(act)
            layout.addWidget(button, 0, Qt.AlignmentFlag.AlignCenter)
        layout.addStretch(2)
