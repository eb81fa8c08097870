"""Room for tables: what is tall at large letters scrolls as a whole, and a table is never squeezed to nothing."""

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QScrollArea, QSplitter, QTabWidget, QWidget


def scrolled(inside: QWidget, parent: QWidget) -> QScrollArea:
    """What may be too tall at large letters, in an area that scrolls then."""
    area = QScrollArea(parent)
    area.setWidgetResizable(True)
    area.setFrameShape(QScrollArea.Shape.NoFrame)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.setWidget(inside)
    return area


class RoomyTabs(QTabWidget):
    """Takes the height there is, and never less than so many lines of text."""

    def __init__(self, lines: int, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._lines = lines

    def sizeHint(self) -> QSize:
        """As wide as its tables are, and no taller than it must be."""
        return QSize(super().sizeHint().width(), self.fontMetrics().height() * self._lines)

    def minimumSizeHint(self) -> QSize:
        """So many lines."""
        return QSize(super().minimumSizeHint().width(), self.fontMetrics().height() * self._lines)


class RoomySplitter(QSplitter):
    """The same of two things side by side."""

    def __init__(self, lines: int, across: Qt.Orientation, parent: QWidget | None = None) -> None:
        super().__init__(across, parent)
        self._lines = lines

    def sizeHint(self) -> QSize:
        """As wide as what stands in it, and no taller than it must be."""
        return QSize(super().sizeHint().width(), self.fontMetrics().height() * self._lines)

    def minimumSizeHint(self) -> QSize:
        """So many lines."""
        return QSize(super().minimumSizeHint().width(), self.fontMetrics().height() * self._lines)
