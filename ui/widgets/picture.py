"""A picture in the window: shapes painted at the size there is, with the same figures as a table beside it."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QAccessible,
    QAccessibleAnnouncementEvent,
    QContextMenuEvent,
    QFocusEvent,
    QGuiApplication,
    QImage,
    QKeyEvent,
    QKeySequence,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
    QShowEvent,
    QWheelEvent,
)
from PySide6.QtWidgets import QAbstractScrollArea, QFrame, QMenu, QSizePolicy, QToolButton, QWidget

from costing.report.figures.shapes import Bounds, Figure, Measure
from costing.tongue import say
from ui.painters import measure_qt, paint
from ui.theme import role_colour, theme_now
from ui.widgets.acts import acts, offer_acts
from ui.widgets.figures_table import FiguresTable, as_text

LETTER = 7.5
"""Points that most letters of a picture have; they are shown as large as the window's own."""
SHRUNK, SCROLLED = 0.66, 0.8
"""A picture is made smaller to fit, down to the first of these; its letters would be too small below that, so it is
scrolled then, at the second."""
WHOLE = 250
"""Pixels up to which a picture asks to be shown whole."""
INDICATOR = (
    "QToolButton {{ padding-{end}: 18px; }} QToolButton::menu-indicator {{ subcontrol-position: center right; }}"
)

STEP, MOST, LEAST = 1.2, 4.0, 0.5
"""Larger and smaller by this much, and no further than these."""
REDRAWN = frozenset({
    QEvent.Type.FontChange, QEvent.Type.PaletteChange, QEvent.Type.StyleChange, QEvent.Type.LayoutDirectionChange,
})  # fmt: skip
Build = Callable[[float, float, Measure], Figure | None]
Rows = Sequence[Sequence[str]]


@dataclass(frozen=True, slots=True)
class Region:
    """A part of a picture that can be picked: where it is, its key, and what it is called."""

    bounds: Bounds
    key: str
    name: str


class PictureView(QAbstractScrollArea):
    """Paints what ``build(wide, tall, measure)`` makes for the room there is. Arrow keys go from one region to the
    next, Enter or a click picks one; the button below tells what else can be done with the picture."""

    picked = Signal(str)
    """The key of a region that was picked."""
    came_to = Signal(str)
    """The key of a region that was come to."""

    def __init__(self, name: str, build: Build, parent: QWidget | None = None, *, least: float = 300.0) -> None:
        """``name`` is what the picture is called; ``least`` the points it needs across."""
        super().__init__(parent)
        self._name, self._build, self._least = name, build, least
        self._figure: Figure | None = None
        self._zoom, self._factor = 1.0, 1.0
        self._regions: tuple[Region, ...] = ()
        self._find: Callable[[Figure], Sequence[Region]] | None = None
        self._table: Callable[[], Rows] | None = None
        self._at = -1
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Preferred)
        self.setAccessibleName(name)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        # The liquid flows from left to right in every language, and so does the bar that moves over it.
        self.horizontalScrollBar().setLayoutDirection(Qt.LayoutDirection.LeftToRight)
        self._menu = QMenu(self)
        acts(
            self,
            [
                (say("Its figures as a table…"), "Ctrl+Shift+F", self.show_table),
                (say("Copy its figures as a table"), "Ctrl+Shift+C", self.copy_table),
                (say("Copy the picture"), QKeySequence.StandardKey.Copy, self.copy_picture),
                (say("Larger"), "Ctrl++", self.larger),
                (say("Smaller"), "Ctrl+-", self.smaller),
                (say("As large as at first"), "Ctrl+0", self.as_at_first),
            ],
        )
        self._menu.addActions(self.actions())
        self._more = QToolButton(self)
        self._more.setText(say("Picture"))
        self._more.setAccessibleName(say("What can be done with: {picture}", picture=name))
        self._more.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self._more.setMenu(self._menu)
        self._strip()

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        """What can be done here."""
        offer_acts(self, event)

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

    def set_table(self, table: Callable[[], Rows]) -> None:
        """The same figures as rows of text, headings first."""
        self._table = table

    def table(self) -> Rows:
        """Those rows."""
        return self._table() if self._table is not None else ()

    @property
    def scale(self) -> float:
        """Pixels of the screen a point of the picture, where there is room."""
        return self._zoom * self.fontInfo().pixelSize() / LETTER

    @property
    def factor(self) -> float:
        """Pixels a point as it is painted."""
        return self._factor

    def refresh(self) -> None:
        """Build the figure anew for the room there is."""
        chosen, room = self.chosen(), self.maximumViewportSize()
        wide, tall = room.width(), room.height()
        figure = self._built(wide, tall, self._fitting(wide))
        if figure is not None and figure.tall * self._factor > tall:
            fit = tall / figure.tall
            if fit >= SHRUNK * self.scale:
                figure = self._built(wide, tall, fit)
            else:
                # The bar that moves it up and down takes room of its own.
                wide -= self.verticalScrollBar().sizeHint().width()
                figure = self._built(wide, tall, self._fitting(wide))
        self._figure = figure
        self._regions = tuple(self._find(figure)) if figure is not None and self._find is not None else ()
        self._at = next((n for n, region in enumerate(self._regions) if region.key == chosen), -1)
        self._describe()
        self._ranges()
        self.updateGeometry()
        self.viewport().update()

    def _fitting(self, wide: float) -> float:
        """Pixels a point, so that what the picture needs fits into the width, or is scrolled where it cannot."""
        scale, fit = self.scale, wide / self._least
        return min(scale, fit) if fit >= SHRUNK * scale else SCROLLED * scale

    def _built(self, wide: float, tall: float, factor: float) -> Figure | None:
        self._factor = factor
        across, down = max(self._least, wide / factor), max(120.0, tall / factor)
        return self._build(across, down, measure_qt(self.font()))

    def _describe(self) -> None:
        figure, region = self._figure, self._region()
        if figure is None:
            self.setAccessibleDescription(say("There is nothing to draw."))
        else:
            self.setAccessibleDescription(region.name if region is not None else figure.said)

    def _size(self) -> QSize:
        figure = self._figure
        if figure is None:
            return QSize(0, 0)
        return QSize(int(figure.wide * self._factor), math.ceil(figure.tall * self._factor - 0.01))

    def _ranges(self) -> None:
        size, view = self._size(), self.maximumViewportSize()
        across, down = self.horizontalScrollBar(), self.verticalScrollBar()
        # A bar across takes room below, and one at the side takes room across.
        tall = view.height() - (across.sizeHint().height() if size.width() > view.width() else 0)
        wide = view.width() - (down.sizeHint().width() if size.height() > tall else 0)
        for bar, whole, seen in ((across, size.width(), wide), (down, size.height(), tall)):
            bar.setPageStep(max(1, seen))
            bar.setSingleStep(24)
            bar.setRange(0, max(0, whole - seen))
        self._strip()

    def _strip(self) -> None:
        """Keep a strip below free for the button, at the end of a line."""
        ends = self.layoutDirection() == Qt.LayoutDirection.LeftToRight
        dressed = INDICATOR.format(end="right" if ends else "left")
        if self._more.styleSheet() != dressed:
            self._more.setStyleSheet(dressed)
        hint = self._more.sizeHint()
        self.setViewportMargins(0, 0, 0, hint.height() + 2)
        view = self.viewport().geometry()
        left = view.right() + 1 - hint.width() if ends else view.left()
        self._more.setGeometry(left, view.bottom() + 3, hint.width(), hint.height())

    def sizeHint(self) -> QSize:
        """As tall as the figure is."""
        figure = self._figure
        # As it is where height is no matter: asked for less because it was given less, it would stay small.
        tall = 160 if figure is None else math.ceil(figure.tall * self._fitting(self.viewport().width()))
        return QSize(int(self._least * self.scale), tall + self._more.sizeHint().height() + 2)

    def minimumSizeHint(self) -> QSize:
        """Room to say something in."""
        return QSize(max(200, self._more.sizeHint().width()), min(self.sizeHint().height(), WHOLE))

    def showEvent(self, event: QShowEvent) -> None:
        """The button has its true size from now on."""
        super().showEvent(event)
        self._strip()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Other room, another drawing."""
        super().resizeEvent(event)
        self._strip()
        self.refresh()

    def changeEvent(self, event: QEvent) -> None:
        """Other letters, colours or direction."""
        super().changeEvent(event)
        if event.type() in REDRAWN:
            self._strip()
            self.refresh()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """The frame that shows where the keyboard is."""
        super().focusInEvent(event)
        self.viewport().update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """No frame any more."""
        super().focusOutEvent(event)
        self.viewport().update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """The ground, the shapes, and a frame around what is come to."""
        view = self.viewport()
        painter = QPainter(view)
        painter.fillRect(view.rect(), role_colour("base"))
        left, top = self.horizontalScrollBar().value(), self.verticalScrollBar().value()
        if self._figure is None:
            painter.setPen(role_colour("faint"))
            flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
            painter.drawText(view.rect(), flags, say("There is nothing to draw."))
        else:
            painter.save()
            painter.translate(-left, -top)
            self._draw(painter, self._figure)
            painter.restore()
        if self.hasFocus():
            painter.setPen(QPen(role_colour("focus"), 2))
            region = self._region()
            around = QRectF(view.rect()).adjusted(1, 1, -1, -1) if region is None else self._frame(region)
            painter.drawRect(around)
        painter.end()

    def _draw(self, painter: QPainter, figure: Figure) -> None:
        painter.save()
        painter.scale(self._factor, self._factor)
        paint(painter, figure, theme_now().figure, self.font())
        painter.restore()

    def _frame(self, region: Region) -> QRectF:
        """Where a region stands in the viewport."""
        left, top, right, bottom = (v * self._factor for v in region.bounds)
        dx, dy = self.horizontalScrollBar().value(), self.verticalScrollBar().value()
        return QRectF(left - dx, top - dy, right - left, bottom - top)

    # What can be done with it

    def larger(self) -> None:
        """Larger letters and shapes."""
        self._zoom_to(self._zoom * STEP)

    def smaller(self) -> None:
        """Smaller ones."""
        self._zoom_to(self._zoom / STEP)

    def as_at_first(self) -> None:
        """As large as the letters of the window."""
        self._zoom_to(1.0)

    def _zoom_to(self, zoom: float) -> None:
        self._zoom = min(MOST, max(LEAST, zoom))
        self.refresh()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Ctrl and the wheel: larger or smaller. The wheel alone moves what is taller than the room, and is left to
        whatever holds the picture otherwise."""
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            (self.larger if event.angleDelta().y() > 0 else self.smaller)()
            event.accept()
        elif self.verticalScrollBar().maximum() or self.horizontalScrollBar().maximum():
            super().wheelEvent(event)
        else:
            event.ignore()

    def image(self, ratio: float = 2.0) -> QImage:
        """The whole picture, crisp at ``ratio`` pixels a pixel."""
        size = self._size() if self._figure is not None else self.viewport().size()
        image = QImage(size * ratio, QImage.Format.Format_ARGB32_Premultiplied)
        image.setDevicePixelRatio(ratio)
        image.fill(role_colour("base"))
        if self._figure is not None:
            painter = QPainter(image)
            self._draw(painter, self._figure)
            painter.end()
        return image

    def copy_picture(self) -> None:
        """Onto the clipboard."""
        QGuiApplication.clipboard().setImage(self.image())

    def copy_table(self) -> None:
        """Its figures, as every spreadsheet takes them."""
        QGuiApplication.clipboard().setText(as_text(self.table()))

    def show_table(self) -> None:
        """Its figures in a table of their own."""
        FiguresTable(self._name, self._figure.said if self._figure else "", self.table(), self.window()).open()

    # Going from region to region

    def _region(self) -> Region | None:
        return self._regions[self._at] if 0 <= self._at < len(self._regions) else None

    def choose(self, key: str) -> None:
        """Come to a region, without telling; "" leaves it."""
        self._at = next((n for n, r in enumerate(self._regions) if r.key == key), -1)
        self._describe()
        self.viewport().update()

    def chosen(self) -> str:
        """The key of the region that is come to, or ""."""
        region = self._region()
        return region.key if region is not None else ""

    def _come_to(self, at: int) -> None:
        self._at = at
        region = self._regions[at]
        self._describe()
        QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, region.name))
        frame = self._frame(region)
        for bar, low, high, seen in (
            (self.horizontalScrollBar(), frame.left(), frame.right(), self.viewport().width()),
            (self.verticalScrollBar(), frame.top(), frame.bottom(), self.viewport().height()),
        ):
            if low < 0 or high > seen:
                bar.setValue(bar.value() + int(low if low < 0 or high - low > seen else high - seen + 1))
        self.came_to.emit(region.key)
        self.viewport().update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrows go from region to region, Enter picks; without regions they move the picture."""
        key, count = event.key(), len(self._regions)
        steps = {Qt.Key.Key_Down: 1, Qt.Key.Key_Right: 1, Qt.Key.Key_Up: -1, Qt.Key.Key_Left: -1}
        ends = {Qt.Key.Key_Home: 0, Qt.Key.Key_End: count - 1}
        if count and key in steps:
            self._come_to(max(0, min(count - 1, self._at + steps[Qt.Key(key)])) if self._at >= 0 else 0)
        elif count and key in ends:
            self._come_to(ends[Qt.Key(key)])
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.chosen():
            self.picked.emit(self.chosen())
        elif key == Qt.Key.Key_Plus and event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.larger()  # where + needs Shift, the key above does not match
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """A click comes to a region; one on the region that is come to picks it."""
        spot = event.position()
        at = next((n for n, region in enumerate(self._regions) if self._frame(region).contains(spot)), -1)
        if at < 0 or event.button() != Qt.MouseButton.LeftButton:
            return
        if at == self._at:
            self.picked.emit(self._regions[at].key)
        else:
            self._come_to(at)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """A press was taken, so its release is too."""
