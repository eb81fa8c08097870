"""The batch as strips: what enters each stage, and what of it goes on or leaves, told apart by pattern and words."""

from collections.abc import Sequence
from typing import Any

from reportlab.graphics.shapes import Circle, Drawing, Line, Rect, String
from reportlab.lib.colors import HexColor, white
from reportlab.lib.units import mm
from reportlab.pdfbase.pdfmetrics import stringWidth

from costing.ledger.lines import Fate
from costing.report.content import StageRow
from costing.report.pdf_page import COPPER, FACE, FAINT, INK, PAPER, Ink
from costing.report.words import stage_word
from costing.tongue import Words, numeral, say, word

ORDER: tuple[Fate, ...] = ("on", "kept", "meant", "lost", "unexplained")
WORDS: Words = {
    "on": "goes on",
    "kept": "by-product",
    "meant": "meant to leave",
    "lost": "lost",
    "unexplained": "unexplained",
}
SLATE = HexColor("#4A525B")
HEIGHT, GAP, LEFT, TYPE = 6.2 * mm, 2.6 * mm, 34 * mm, 6.5


def strips(every: Sequence[StageRow], width: float, ink: Ink) -> Any:
    """One strip a stage, to one scale of kilograms; and the key to the patterns in use. A stage into which nothing goes
    that is followed by weight has none; None where that is all of them."""
    stages = [(n, stage) for n, stage in enumerate(every, start=1) if stage.into.kg > 0.0]
    if not stages:
        return None
    most = max(stage.into.kg for _, stage in stages)
    used = [fate for fate in ORDER if any(stage.flow(fate).kg > 0.0 for _, stage in stages)]
    tall = len(stages) * (HEIGHT + GAP) + 7 * mm
    drawing = Drawing(width, tall)
    scale = (width - LEFT - 24 * mm) / most
    for row, (n, stage) in enumerate(stages, start=1):
        bottom = tall - row * (HEIGHT + GAP) + GAP
        name = ink.line(f"{n} {stage_word(stage.kind)}")
        size = min(7.5, 7.5 * (LEFT - 1.5 * mm) / stringWidth(name, FACE, 7.5))  # a long word of another language
        drawing.add(String(0, bottom + 2 * mm, name, fontName=FACE, fontSize=size, fillColor=INK))
        x = LEFT
        for fate in ORDER:
            part = stage.flow(fate).kg * scale
            if part > 0.0:
                _box(drawing, fate, x, bottom, part)
                _label(drawing, numeral(f"{stage.flow(fate).kg:.3f}"), x, bottom, part, fate)
                x += part
        whole = ink.line(say("{mass} kg in", mass=numeral(f"{stage.into.kg:.3f}")))
        drawing.add(String(x + 1.5 * mm, bottom + 2 * mm, whole, fontName=FACE, fontSize=TYPE, fillColor=FAINT))
    x = LEFT
    for fate in used:
        _box(drawing, fate, x, 0.5 * mm, 7 * mm, 3.6 * mm)
        name = ink.line(word(WORDS, fate))
        drawing.add(String(x + 8.2 * mm, 1.2 * mm, name, fontName=FACE, fontSize=7, fillColor=INK))
        x += 11.5 * mm + stringWidth(name, FACE, 7)
    return drawing


def _label(drawing: Any, text: str, x: float, bottom: float, room: float, fate: Fate) -> None:
    size = stringWidth(text, FACE, TYPE)
    if size + 3 * mm > room:
        return
    middle = x + room / 2
    if fate != "on":
        low, tall = bottom + 1.4 * mm, 3.2 * mm
        drawing.add(Rect(middle - size / 2 - 1, low, size + 2, tall, fillColor=white, strokeColor=None))
    drawing.add(String(middle, bottom + 2.1 * mm, text, fontName=FACE, fontSize=TYPE, textAnchor="middle",
                       fillColor=white if fate == "on" else INK))  # fmt: skip


def _box(drawing: Any, fate: Fate, x: float, bottom: float, wide: float, tall: float = HEIGHT) -> None:
    """Solid goes on, tinted is kept, dotted was meant to leave, hatched is lost, cross-hatched is unexplained."""
    fill = {"on": SLATE, "kept": PAPER}.get(fate, white)
    drawing.add(Rect(x, bottom, wide, tall, fillColor=fill, strokeColor=None))
    if fate == "meant":
        _dots(drawing, x, bottom, wide, tall)
    if fate in ("lost", "unexplained"):
        _hatch(drawing, x, bottom, wide, tall, rising=True)
    if fate == "unexplained":
        _hatch(drawing, x, bottom, wide, tall, rising=False)
    edge = COPPER if fate in ("lost", "unexplained") else INK
    drawing.add(Rect(x, bottom, wide, tall, fillColor=None, strokeColor=edge, strokeWidth=0.5))


def _dots(drawing: Any, x: float, bottom: float, wide: float, tall: float) -> None:
    step = 1.5 * mm
    for i in range(int(wide / step + 0.5)):
        for j in range(int(tall / step + 0.5)):
            cx, cy = x + (i + 0.5) * step, bottom + (j + 0.5) * step
            if cx + 0.4 < x + wide and cy + 0.4 < bottom + tall:
                drawing.add(Circle(cx, cy, 0.55, fillColor=INK, strokeColor=None))


def _hatch(drawing: Any, x: float, bottom: float, wide: float, tall: float, *, rising: bool) -> None:
    """Lines at 45 degrees, cut at the edges of the box."""
    step = 1.5 * mm
    for n in range(1, int((wide + tall) / step) + 1):
        reach = n * step
        x1, y1 = max(0.0, reach - tall), min(reach, tall)
        x2, y2 = min(reach, wide), max(0.0, reach - wide)
        if rising:
            y1, y2 = tall - y1, tall - y2
        drawing.add(Line(x + x1, bottom + y1, x + x2, bottom + y2, strokeColor=COPPER, strokeWidth=0.45))
