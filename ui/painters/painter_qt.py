"""Paint a figure with Qt, in the colours of the theme that is worn.

Pictures run from left to right in every language, as the liquid does on paper; text inside them is placed by its left
edge and never mirrored, because Qt would otherwise turn an alignment that the shapes have turned already. Within a line
of text the first letter says which way it reads, so a figure keeps its unit on the right side of it.

A fill that stands out too little from the ground gets an outline of its own hue with ink in it: nothing that means
something is left to a pale colour alone.
"""

from collections.abc import Mapping

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPainterPath, QPen

from costing.report.figures.contrast import set_off
from costing.report.figures.shapes import SERIES, Area, Box, Dash, Figure, Line, Measure, Text

STEP = 3.4
"""Points between the lines of a hatch, as on paper."""
MARK = 3.0
"""Contrast that a mark needs against the ground: WCAG 2.2, success criterion 1.4.11."""
UNIT = 100.0
"""Letters are measured at this size and scaled, so that widths do not step with the pixels of small ones."""


def measure_qt(font: QFont) -> Measure:
    """How wide text is in a face of the screen, in points of the picture."""
    plain, bold = QFont(font), QFont(font)
    bold.setBold(True)
    for face in (plain, bold):
        face.setPixelSize(int(UNIT))
    metrics = {False: QFontMetricsF(plain), True: QFontMetricsF(bold)}
    known: dict[tuple[str, bool], float] = {}

    def measure(text: str, size: float, is_bold: bool) -> float:
        key = text, is_bold
        if key not in known:
            known[key] = metrics[is_bold].horizontalAdvance(text) / UNIT
        return known[key] * size

    return measure


def paint(painter: QPainter, figure: Figure, palette: Mapping[str, str], font: QFont) -> None:
    """Every shape in order, in points from where the painter stands; it may be scaled."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setLayoutDirection(Qt.LayoutDirection.LeftToRight)
    brush = _Brush(painter, palette, font)
    for shape in figure.shapes:
        match shape:
            case Box():
                path = QPainterPath()
                path.addRect(QRectF(shape.x, shape.y, shape.wide, shape.tall))
                brush.fill(path, shape, shape.weight)
            case Area():
                brush.area(shape)
            case Line():
                painter.setPen(QPen(QColor(palette[shape.role]), shape.weight))
                painter.drawLine(QLineF(shape.x1, shape.y1, shape.x2, shape.y2))
            case Text():
                brush.write(shape)
    painter.restore()


def mixed(top: str, ground: str, tint: float) -> QColor:
    """A colour laid over the ground by ``tint``."""
    a, b = QColor(top), QColor(ground)
    parts = zip((a.redF(), a.greenF(), a.blueF()), (b.redF(), b.greenF(), b.blueF()), strict=True)
    red, green, blue = (tint * one + (1.0 - tint) * other for one, other in parts)
    return QColor.fromRgbF(red, green, blue)


def contrast(one: QColor, other: QColor) -> float:
    """Contrast of two colours as WCAG 2.2 has it, from 1 to 21."""
    high, low = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def _luminance(colour: QColor) -> float:
    parts = (colour.redF(), colour.greenF(), colour.blueF())
    red, green, blue = (v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def outline_of(shape: Box | Area, palette: Mapping[str, str]) -> QColor | None:
    """The colour that a shape is outlined in: its own edge (the hue of a series deepened where it is too pale), or one
    that sets a pale fill off from the ground."""
    if shape.edge in SERIES:
        return QColor(set_off(palette[shape.edge], palette["ground"], palette["ink"]))
    if shape.edge:
        return QColor(palette[shape.edge])
    if shape.fill is None or shape.fill in ("paper", "ground"):
        return None
    ground = QColor(palette["ground"])
    if contrast(mixed(palette[shape.fill], palette["ground"], shape.tint), ground) >= MARK:
        return None
    for share in (1.0, 0.8, 0.6, 0.4, 0.2):
        hue = mixed(palette[shape.fill], palette["ink"], share)
        if contrast(hue, ground) >= MARK:
            return hue
    return QColor(palette["ink"])


def _pen(colour: QColor, weight: float, dash: Dash) -> QPen:
    pen = QPen(colour, weight)
    if dash:
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        pen.setDashPattern([part / weight for part in dash])  # Qt counts in widths of the pen
    return pen


def _outline(area: Area) -> QPainterPath:
    path = QPainterPath(QPointF(*area.start))
    for step in area.steps:
        points = [QPointF(*p) for p in step]
        if len(points) == 3:
            path.cubicTo(points[0], points[1], points[2])
        else:
            path.lineTo(points[0])
    path.closeSubpath()
    return path


class _Brush:
    """What fills, hatches and writes with one painter."""

    def __init__(self, painter: QPainter, palette: Mapping[str, str], font: QFont) -> None:
        self._painter, self._palette, self._font = painter, palette, font

    def area(self, shape: Area) -> None:
        """An outline of any form, within what it is cut to."""
        if shape.clip is None:
            self.fill(_outline(shape), shape, shape.weight, shape.opacity, shape.dash)
            return
        left, top, right, bottom = shape.clip
        self._painter.save()
        self._painter.setClipRect(QRectF(left, top, right - left, bottom - top), Qt.ClipOperation.IntersectClip)
        self.fill(_outline(shape), shape, shape.weight, shape.opacity, shape.dash)
        self._painter.restore()

    def fill(self, path: QPainterPath, shape: Box | Area, weight: float, opacity: float = 1.0, dash: Dash = ()) -> None:
        """A filled outline, with its hatch and its edge."""
        painter, palette = self._painter, self._palette
        if shape.fill:
            colour = mixed(palette[shape.fill], palette["ground"], shape.tint)
            colour.setAlphaF(opacity)
            painter.fillPath(path, colour)
        if shape.hatch:
            painter.save()
            painter.setClipPath(path, Qt.ClipOperation.IntersectClip)
            painter.setPen(QPen(QColor(palette["loss"]), 0.55))
            left, top, right, bottom = shape.bounds
            # One grid over the whole picture, so that neighbours go on into one another.
            n = int((left + top) // STEP)
            while n * STEP <= right + bottom:
                painter.drawLine(QLineF(n * STEP - top, top, n * STEP - bottom, bottom))
                n += 1
            painter.restore()
        edge = outline_of(shape, palette)
        if edge is not None:
            painter.setPen(_pen(edge, weight, dash))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawPath(path)

    def write(self, text: Text) -> None:
        """One line of text at its left edge."""
        if not text.text:
            return
        painter, palette = self._painter, self._palette
        left, top, right, bottom = text.bounds
        if text.backed:
            painter.fillRect(QRectF(left - 0.8, top, right - left + 1.6, bottom - top), QColor(palette["ground"]))
        font = QFont(self._font)
        font.setBold(text.bold)
        font.setPixelSize(int(UNIT))
        painter.save()
        painter.setFont(font)
        painter.setPen(QColor(palette[text.role]))
        painter.translate(left, text.y)
        painter.scale(text.size / UNIT, text.size / UNIT)
        painter.setLayoutDirection(Qt.LayoutDirection.LayoutDirectionAuto)
        painter.drawText(QPointF(0.0, 0.0), text.text)
        painter.restore()
