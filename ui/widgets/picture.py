"""A picture in the window: shapes painted at the size there is, with the same figures as a table beside it."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QAction,
    QGuiApplication,
    QImage,
    QKeyEvent,
    QKeySequence,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
)
from PySide6.QtWidgets import QWidget

from costing.report.figures.shapes import Bounds, Figure, Measure
from costing.tongue import say
from ui.painters import measure_qt, paint
from ui.theme import role_colour, theme_now

LETTER = 7.5
"""Points that most letters of a picture have; they are shown as large as the window's own."""
Build = Callable[[float, float, Measure], Figure | None]


@dataclass(frozen=True, slots=True)
class Region:
    """A part of a picture that can be picked: where it is, its key, and what it is called."""

    bounds: Bounds
    key: str
    name: str


class PictureView(QWidget):
    """Paints what ``build(wide, tall, measure)`` makes for the room there is. Arrow keys go from one region to the
    next, Enter or a click picks one; Ctrl+C copies the picture, or its table as text where one was given."""

    picked = Signal(str)
    """The key of a region that was picked."""
    came_to = Signal(str)
    """The key of a region that was come to."""

    def __init__(self, name: str, build: Build, parent: QWidget | None = None, *, least: float = 300.0) -> None:
        """``name`` is what the picture is called; ``least`` the points it needs across."""
        super().__init__(parent)
        self._name, self._build, self._least = name, build, least
        self._figure: Figure | None = None
        self._zoom = 1.0
        self._regions: tuple[Region, ...] = ()
        self._find: Callable[[Figure], Sequence[Region]] | None = None
        self._table: Callable[[], Sequence[Sequence[str]]] | None = None
        self._at = -1
        self.setAccessibleName(name)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        for text, keys, slot in (
            (say("Copy the picture"), QKeySequence(QKeySequence.StandardKey.Copy), self.copy_picture),
            (say("Copy its figures as a table"), QKeySequence("Ctrl+Shift+C"), self.copy_table),
            (say("Larger"), QKeySequence("Ctrl++"), self.larger),
            (say("Smaller"), QKeySequence("Ctrl+-"), self.smaller),
        ):
            action = QAction(text, self)
            action.setShortcut(keys)
            action.setShortcutContext(Qt.ShortcutContext.WidgetShortcut)
            action.triggered.connect(slot)
            self.addAction(action)
        self.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)

    # What it shows

    @property
    def figure(self) -> Figure | None:
        """The shapes that are shown, or None where there is nothing to draw."""
        return self._figure

    @property
    def regions(self) -> tuple[Region, ...]:
        """What can be picked."""
        return self._regions

    def set_regions(self, find: Callable[[Figure], Sequence[Region]]) -> None:
        """How the parts that can be picked are found in a figure."""
        self._find = find

    def set_table(self, table: Callable[[], Sequence[Sequence[str]]]) -> None:
        """The same figures as rows of text, headings first."""
        self._table = table

    def table(self) -> Sequence[Sequence[str]]:
        """Those rows."""
        return self._table() if self._table is not None else ()

    @property
    def scale(self) -> float:
        """Pixels of the screen a point of the picture."""
        return self._zoom * self.fontInfo().pixelSize() / LETTER

    def refresh(self) -> None:
        """Build the figure anew for the room there is."""
        # Where there is less room than a picture needs, it is drawn for what it needs and scaled down.
        wide = max(self._least, self.width() / self.scale)
        tall = max(120.0, self.height() / self.scale)
        self._figure = self._build(wide, tall, measure_qt(self.font()))
        figure = self._figure
        self._regions = tuple(self._find(figure)) if figure is not None and self._find is not None else ()
        self._at = min(self._at, len(self._regions) - 1)
        self.setAccessibleDescription(figure.said if figure is not None else say("There is nothing to draw."))
        self.updateGeometry()
        self.update()

    def _factor(self) -> float:
        figure = self._figure
        return self.scale if figure is None else min(self.scale, self.width() / max(1.0, figure.wide))

    def sizeHint(self) -> QSize:
        """As tall as the figure is."""
        figure = self._figure
        tall = figure.tall * self._factor() if figure is not None else 160
        return QSize(int(self._least * self.scale), int(tall) + 2)

    def minimumSizeHint(self) -> QSize:
        """Room to say something in."""
        return QSize(200, min(self.sizeHint().height(), 140))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Other room, another drawing."""
        super().resizeEvent(event)
        self.refresh()

    def changeEvent(self, event: QEvent) -> None:
        """Other letters or colours."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.PaletteChange):
            self.refresh()

    def paintEvent(self, event: QPaintEvent) -> None:
        """The ground, the shapes, and a frame around what is come to."""
        painter = QPainter(self)
        self._draw(painter)
        if self.hasFocus():
            painter.setPen(QPen(role_colour("focus"), 2))
            if 0 <= self._at < len(self._regions):
                left, top, right, bottom = (v * self._factor() for v in self._regions[self._at].bounds)
                painter.drawRect(QRectF(left, top, right - left, bottom - top))
            else:
                painter.drawRect(self.rect().adjusted(1, 1, -2, -2))
        painter.end()

    def _draw(self, painter: QPainter) -> None:
        palette = theme_now().figure
        painter.fillRect(self.rect(), role_colour("base"))
        if self._figure is None:
            painter.setPen(role_colour("faint"))
            painter.drawText(self.rect(), Qt.AlignmentFlag.AlignCenter, say("There is nothing to draw."))
            return
        painter.save()
        painter.scale(self._factor(), self._factor())
        paint(painter, self._figure, palette, self.font())
        painter.restore()

    # What can be done with it

    def larger(self) -> None:
        """Larger letters and shapes."""
        self._zoom = min(3.0, self._zoom * 1.2)
        self.refresh()

    def smaller(self) -> None:
        """Smaller ones."""
        self._zoom = max(0.6, self._zoom / 1.2)
        self.refresh()

    def image(self, ratio: float = 2.0) -> QImage:
        """The picture, crisp at ``ratio`` pixels a pixel."""
        image = QImage(self.size() * ratio, QImage.Format.Format_ARGB32_Premultiplied)
        image.setDevicePixelRatio(ratio)
        painter = QPainter(image)
        self._draw(painter)
        painter.end()
        return image

    def copy_picture(self) -> None:
        """Onto the clipboard."""
        QGuiApplication.clipboard().setImage(self.image())

    def copy_table(self) -> None:
        """Its figures, as every spreadsheet takes them."""
        QGuiApplication.clipboard().setText("\n".join("\t".join(row) for row in self.table()))

    def choose(self, key: str) -> None:
        """Come to a region."""
        self._at = next((n for n, r in enumerate(self._regions) if r.key == key), -1)
        self.update()

    def chosen(self) -> str:
        """The key of the region that is come to, or ""."""
        return self._regions[self._at].key if 0 <= self._at < len(self._regions) else ""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows go from region to region, Enter picks."""
        key, count = event.key(), len(self._regions)
        if count and key in (Qt.Key.Key_Down, Qt.Key.Key_Right, Qt.Key.Key_Up, Qt.Key.Key_Left):
            step = 1 if key in (Qt.Key.Key_Down, Qt.Key.Key_Right) else -1
            self._at = max(0, min(count - 1, self._at + step)) if self._at >= 0 else 0
            region = self._regions[self._at]
            self.setAccessibleDescription(region.name)
            self.came_to.emit(region.key)
            self.update()
        elif count and key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.chosen():
            self.picked.emit(self.chosen())
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A click comes to a region; one on the region that is come to picks it."""
        spot = event.position() / self._factor()
        for n, region in enumerate(self._regions):
            left, top, right, bottom = region.bounds
            if left <= spot.x() <= right and top <= spot.y() <= bottom:
                if n == self._at:
                    self.picked.emit(region.key)
                else:
                    self._at = n
                    self.came_to.emit(region.key)
                self.update()
                return
        super().mousePressEvent(event)
