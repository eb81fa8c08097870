"""Figures side by side that go over more rows where there is less room: long words, large letters, a small screen."""

from PySide6.QtCore import QEvent, QSize
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QGridLayout

from ui.desk import Desk
from ui.widgets.figure import FigureStrip

FEWEST = 2
"""Figures side by side at the least."""


class FlowStrip(FigureStrip):
    """A strip of figures that needs the room of two of them."""

    def __init__(self, name: str, titles: list[tuple[str, str]], desk: Desk, across: int = 5) -> None:
        super().__init__(name, titles, desk, across)
        self._most, self._across = across, across
        layout = self.layout()
        if layout is not None:
            layout.setSizeConstraint(QGridLayout.SizeConstraint.SetNoConstraint)

    def _need(self, across: int) -> int:
        """Pixels that so many side by side take: each column is as wide as the widest in it."""
        layout, widths = self.layout(), [tag.minimumWidth() for tag in self.tags.values()]
        gap = layout.spacing() if layout is not None else 0
        return sum(max(widths[column::across], default=0) + gap for column in range(across)) - gap

    def minimumSizeHint(self) -> QSize:
        """Wide enough for two, as tall as it is now."""
        layout = self.layout()
        return QSize(self._need(FEWEST), layout.minimumSize().height() if layout is not None else 0)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """More or fewer side by side, where the room changed."""
        super().resizeEvent(event)
        self._flow()

    def event(self, event: QEvent) -> bool:
        """A figure that grew may need another row."""
        done = super().event(event)
        if event.type() == QEvent.Type.LayoutRequest:
            self._flow()
        return done

    def _flow(self) -> None:
        layout = self.layout()
        across = next((n for n in range(self._most, FEWEST, -1) if self._need(n) <= self.width()), FEWEST)
        if across == self._across or not isinstance(layout, QGridLayout):
            return
        self._across = across
        for tag in self.tags.values():
            layout.removeWidget(tag)
        for n, tag in enumerate(self.tags.values()):
            layout.addWidget(tag, n // across, n % across)
        for column in range(self._most):
            layout.setColumnStretch(column, 1 if column < across else 0)
        self.updateGeometry()
