"""The rail: the five places down one side, in the order the liquid goes."""

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtWidgets import QButtonGroup, QFrame, QSizePolicy, QToolButton, QVBoxLayout, QWidget

from ui.theme import icon


class Rail(QFrame):
    """A button a place; Up and Down go from one to the next."""

    chosen = Signal(str)

    def __init__(self, places: Sequence[tuple[str, str, str]], parent: QWidget | None = None) -> None:
        """``places`` are (name, title, what is in it)."""
        super().__init__(parent)
        self.setObjectName("rail")
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 6, 0, 6)
        layout.setSpacing(2)
        self._group = QButtonGroup(self)
        self._buttons: dict[str, QToolButton] = {}
        for number, (name, title, about) in enumerate(places, 1):
            button = QToolButton(self)
            button.setText(title)
            button.setToolTip(f"{about} (Ctrl+{number})")
            button.setAccessibleName(title)
            button.setAccessibleDescription(about)
            button.setCheckable(True)
            button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextUnderIcon)
            button.setIconSize(QSize(28, 28))
            button.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
            button.clicked.connect(partial(self.chosen.emit, name))
            self._group.addButton(button)
            self._buttons[name] = button
            layout.addWidget(button)
        layout.addStretch(1)
        self.dress()

    def dress(self) -> None:
        """Draw the icons in the colours of the theme that is worn."""
        for name, button in self._buttons.items():
            button.setIcon(icon(name))

    def show_place(self, name: str) -> None:
        """Mark a place as the one that is shown."""
        self._buttons[name].setChecked(True)
