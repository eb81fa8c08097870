"""Paint a figure with reportlab, as something that stands in the flow of a page."""

from collections.abc import Mapping
from typing import Any

from reportlab.lib.colors import Color, HexColor
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.platypus import Flowable

from costing.report.figures.contrast import set_off
from costing.report.figures.shapes import SERIES, Area, Box, Figure, Line, Measure, Role, Text
from costing.report.pdf_page import BOLD, FACE, Ink

PALETTE: Mapping[Role, str] = {
    "ink": "#1F2328",
    "faint": "#5B6067",
    "paper": "#F6F1E9",
    "ground": "#FFFFFF",
    "rule": "#B9B0A3",
    "money": "#9A4F20",
    "loss": "#1F2328",
    "tax": "#8A8F96",
    "series-1": "#0072B2",
    "series-2": "#E69F00",
    "series-3": "#009E73",
    "series-4": "#CC79A7",
    "series-5": "#56B4E9",
    "series-6": "#D55E00",
    "series-7": "#F0E442",
}
"""Colours on paper. Series are the hues of Okabe and Ito, Color Universal Design (2008), which colour-blind readers can
tell apart."""
STEP = 3.4
"""Points between the lines of a hatch."""


def colour(role: Role, tint: float = 1.0, opacity: float = 1.0) -> Color:
    """A role's colour, laid over the ground by ``tint``; below an ``opacity`` of 1 what lies under it shows."""
    top, ground = HexColor(PALETTE[role]), HexColor(PALETTE["ground"])
    red, green, blue = (tint * a + (1.0 - tint) * b for a, b in zip(top.rgb(), ground.rgb(), strict=True))
    return Color(red, green, blue, alpha=opacity)


def edge_colour(role: Role) -> Color:
    """A role's colour for an outline: the hue of a series is deepened where it is too pale for the ground."""
    return HexColor(set_off(PALETTE[role], PALETTE["ground"], PALETTE["ink"])) if role in SERIES else colour(role)


def measure_with(ink: Ink) -> Measure:
    """How wide text is in the face of the page, with signs the face does not have already replaced."""
    return lambda text, size, bold: float(stringWidth(ink.line(text), BOLD if bold else FACE, size))


class Picture(Flowable):  # type: ignore[misc]
    """A figure in the flow of a page."""

    def __init__(self, figure: Figure, ink: Ink) -> None:
        super().__init__()
        self.figure, self.ink = figure, ink

    def wrap(self, *_: Any) -> tuple[float, float]:
        """Its own size."""
        return self.figure.wide, self.figure.tall

    def draw(self) -> None:
        """Every shape, in order."""
        for shape in self.figure.shapes:
            match shape:
                case Box():
                    self._box(shape)
                case Area():
                    self._area(shape)
                case Line():
                    self._line(shape)
                case Text():
                    self._text(shape)

    def _up(self, y: float) -> float:
        return self.figure.tall - y

    def _box(self, box: Box) -> None:
        path = self.canv.beginPath()
        path.rect(box.x, self._up(box.y + box.tall), box.wide, box.tall)
        self._fill(path, box, box.weight)

    def _area(self, area: Area) -> None:
        path = self.canv.beginPath()
        path.moveTo(area.start[0], self._up(area.start[1]))
        for step in area.steps:
            flat = [v for x, y in step for v in (x, self._up(y))]
            (path.curveTo if len(step) == 3 else path.lineTo)(*flat)
        path.close()
        canvas = self.canv
        canvas.saveState()
        if area.clip is not None:
            left, top, right, bottom = area.clip
            frame = canvas.beginPath()
            frame.rect(left, self._up(bottom), right - left, bottom - top)
            canvas.clipPath(frame, stroke=0, fill=0)
        canvas.setDash(list(area.dash))
        self._fill(path, area, area.weight, area.opacity)
        canvas.restoreState()

    def _fill(self, path: Any, shape: Box | Area, weight: float, opacity: float = 1.0) -> None:
        canvas = self.canv
        if shape.fill:
            canvas.setFillColor(colour(shape.fill, shape.tint, opacity))
            canvas.drawPath(path, stroke=0, fill=1)
        if shape.hatch:
            canvas.saveState()
            canvas.clipPath(path, stroke=0, fill=0)
            self._hatch(shape.bounds)
            canvas.restoreState()
        if shape.edge:
            canvas.setStrokeColor(edge_colour(shape.edge))
            canvas.setLineWidth(weight)
            canvas.drawPath(path, stroke=1, fill=0)

    def _hatch(self, bounds: tuple[float, float, float, float]) -> None:
        """Rising lines on one grid over the whole picture, so that neighbours go on into one another."""
        left, top, right, bottom = bounds
        canvas, low, high = self.canv, self._up(bottom), self._up(top)
        canvas.setStrokeColor(colour("loss"))
        canvas.setLineWidth(0.55)
        n = int((left - high) // STEP)
        while n * STEP <= right - low:
            canvas.line(n * STEP + low, low, n * STEP + high, high)
            n += 1

    def _line(self, line: Line) -> None:
        self.canv.setStrokeColor(colour(line.role))
        self.canv.setLineWidth(line.weight)
        self.canv.line(line.x1, self._up(line.y1), line.x2, self._up(line.y2))

    def _text(self, text: Text) -> None:
        canvas = self.canv
        if text.backed and text.text:
            left, top, right, bottom = text.bounds
            canvas.setFillColor(colour("ground"))
            canvas.rect(left - 0.8, self._up(bottom), right - left + 1.6, bottom - top, stroke=0, fill=1)
        canvas.setFillColor(colour(text.role))
        canvas.setFont(BOLD if text.bold else FACE, text.size)
        canvas.drawString(text.bounds[0], self._up(text.y), self.ink.line(text.text))
