"""Fields with their names, side by side, over more rows where there is less room."""

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QComboBox, QGridLayout, QHBoxLayout, QLabel, QVBoxLayout, QWidget


def shrinking(box: QComboBox, letters: int = 14) -> QComboBox:
    """A choice that may be narrower than its longest text, which its list still shows whole."""
    box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
    box.setMinimumContentsLength(letters)
    return box


class Cell(QWidget):
    """A field under its name, or ``beside`` it."""

    def __init__(self, title: str, field: QWidget, parent: QWidget | None = None, *, beside: bool = False) -> None:
        super().__init__(parent)
        label = QLabel(title, self)
        label.setBuddy(field)
        layout = QHBoxLayout(self) if beside else QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(4 if beside else 1)
        layout.addWidget(label)
        layout.addWidget(field)


class Wrapping(QWidget):
    """Cells side by side, over more rows where there is less room."""

    def __init__(self, parent: QWidget | None = None, *, least: int = 2) -> None:
        super().__init__(parent)
        self._least = least
        self._cells: list[QWidget] = []
        self._across = 0
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(4, 0, 4, 0)
        self._grid.setHorizontalSpacing(10)
        self._grid.setVerticalSpacing(2)
        self._grid.setSizeConstraint(QGridLayout.SizeConstraint.SetNoConstraint)

    def take(self, cells: Sequence[QWidget]) -> None:
        """These stand in it, in order."""
        self._cells = list(cells)
        self._flow()

    def _need(self, across: int) -> int:
        widths = [cell.minimumSizeHint().width() for cell in self._cells]
        gap = self._grid.horizontalSpacing()
        return sum(max(widths[n::across], default=0) + gap for n in range(across)) + 8

    def minimumSizeHint(self) -> QSize:
        """Wide enough for ``least`` of them, as tall as it is now."""
        return QSize(self._need(min(self._least, len(self._cells))), self._grid.minimumSize().height())

    def sizeHint(self) -> QSize:
        """All in one row."""
        return QSize(self._need(max(1, len(self._cells))), self._grid.sizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """More or fewer side by side."""
        super().resizeEvent(event)
        self._flow()

    def event(self, event: QEvent) -> bool:
        """A cell that grew may need another row."""
        done = super().event(event)
        if event.type() == QEvent.Type.LayoutRequest:
            self._flow()
        return done

    def _flow(self) -> None:
        count = len(self._cells)
        across = next((n for n in range(count, self._least, -1) if self._need(n) <= self.width()), self._least)
        if across == self._across or not count:
            return
        self._across = across
        for cell in self._cells:
            self._grid.removeWidget(cell)
        for n, cell in enumerate(self._cells):
            self._grid.addWidget(cell, n // across, n % across, Qt.AlignmentFlag.AlignTop)
        for column in range(count + 1):
            self._grid.setColumnStretch(column, 1 if column == across else 0)
        self.updateGeometry()
