"""Shapes of a picture: boxes, areas, lines and text, in points from the top left corner, y downwards.

Colours are roles; a painter has a palette for each theme. How wide text is depends on the face of a painter, so
whoever builds a figure is handed a ``Measure``.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal

Role = Literal[
    "ink", "faint", "paper", "ground", "rule", "money", "loss", "tax",
    "series-1", "series-2", "series-3", "series-4", "series-5", "series-6", "series-7",
]  # fmt: skip
"""``ground`` is the page, ``paper`` a tint of it, ``money`` the copper, ``loss`` the lines of a hatch."""
SERIES: tuple[Role, ...] = (
    "series-1", "series-2", "series-3", "series-4", "series-5", "series-6", "series-7",
)  # fmt: skip
Measure = Callable[[str, float, bool], float]
"""(text, size in points, bold) to width in points."""
Anchor = Literal["start", "middle", "end"]
Bounds = tuple[float, float, float, float]
"""(left, top, right, bottom)."""
Dash = tuple[float, ...]
"""Points drawn and left out in turn; () is drawn through."""
ASCENT, DESCENT = 0.80, 0.24
"""Of the size: how far letters reach over and under their line, as in most faces."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A rectangle. ``tint`` is how much of the fill's colour there is over the ground, from 0 to 1; a ``hatch``
    of rising lines is drawn over it."""

    x: float
    y: float
    wide: float
    tall: float
    fill: Role | None = None
    tint: float = 1.0
    edge: Role | None = None
    hatch: bool = False
    weight: float = 0.5

    @property
    def bounds(self) -> Bounds:
        """What it covers."""
        return self.x, self.y, self.x + self.wide, self.y + self.tall


@dataclass(frozen=True, slots=True, kw_only=True)
class Area:
    """A closed outline: ``start``, then steps of one point (a straight line) or three (a curve with two controls).

    ``dash`` breaks its edge. ``opacity`` below 1 lets what lies under the fill show through, where ``tint`` only pales
    it. Nothing of it is drawn outside ``clip``.
    """

    start: tuple[float, float]
    steps: tuple[tuple[tuple[float, float], ...], ...]
    fill: Role | None = None
    tint: float = 1.0
    edge: Role | None = None
    hatch: bool = False
    weight: float = 0.5
    dash: Dash = ()
    opacity: float = 1.0
    clip: Bounds | None = None

    @property
    def points(self) -> tuple[tuple[float, float], ...]:
        """Every point, controls too: the area lies inside what they span."""
        return (self.start, *(p for step in self.steps for p in step))

    @property
    def bounds(self) -> Bounds:
        """What it lies within; an edge of ``clip`` where it would reach over it."""
        xs, ys = [p[0] for p in self.points], [p[1] for p in self.points]
        if self.clip is None:
            return min(xs), min(ys), max(xs), max(ys)
        left, top, right, bottom = self.clip
        xs, ys = [min(max(x, left), right) for x in xs], [min(max(y, top), bottom) for y in ys]
        return min(xs), min(ys), max(xs), max(ys)


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A straight line."""

    x1: float
    y1: float
    x2: float
    y2: float
    role: Role = "ink"
    weight: float = 0.5

    @property
    def bounds(self) -> Bounds:
        """What it spans."""
        return min(self.x1, self.x2), min(self.y1, self.y2), max(self.x1, self.x2), max(self.y1, self.y2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Text:
    """One line of text. ``x`` is where its ``anchor`` is and ``y`` its line of writing; ``width`` is as measured.
    ``backed`` lays ground under it, where something may pass behind."""

    x: float
    y: float
    text: str
    width: float
    size: float = 7.5
    role: Role = "ink"
    bold: bool = False
    anchor: Anchor = "start"
    backed: bool = False

    @property
    def bounds(self) -> Bounds:
        """The box that its letters stand in."""
        left = self.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[self.anchor] * self.width
        return left, self.y - ASCENT * self.size, left + self.width, self.y + DESCENT * self.size


Shape = Box | Area | Line | Text


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A picture of ``wide`` by ``tall`` points, painted in the order of its shapes; ``said`` tells it in a sentence,
    for a reader who does not see it."""

    wide: float
    tall: float
    shapes: tuple[Shape, ...]
    said: str = ""

    @property
    def texts(self) -> tuple[Text, ...]:
        """Every line of text."""
        return tuple(s for s in self.shapes if isinstance(s, Text))


def overlaps(figure: Figure) -> Iterator[tuple[Text, Text | None]]:
    """Texts that lie over one another, or (with None) beyond the edge of the picture: a good figure has none."""
    texts = figure.texts
    for n, text in enumerate(texts):
        left, top, right, bottom = text.bounds
        if left < -0.01 or top < -0.01 or right > figure.wide + 0.01 or bottom > figure.tall + 0.01:
            yield text, None
        for other in texts[n + 1 :]:
            a, b, c, d = other.bounds
            if left < c - 0.01 and a < right - 0.01 and top < d - 0.01 and b < bottom - 0.01:
                yield text, other


def fitted(text: str, room: float, size: float, measure: Measure, bold: bool = False) -> str:
    """The text where it fits, else as much of it as fits and an ellipsis; "" where not even that fits."""
    if measure(text, size, bold) <= room:
        return text
    low, high = 0, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        if measure(text[:middle].rstrip() + "…", size, bold) <= room:
            low = middle
        else:
            high = middle - 1
    return text[:low].rstrip() + "…" if low else ""


def wrapped(text: str, room: float, size: float, measure: Measure, *, bold: bool = False, most: int = 2) -> list[str]:
    """The text on at most ``most`` lines, broken between words; the last one cut with an ellipsis where need be."""
    words, lines = " ".join(text.split()).replace(" %", "\u00a0%").split(" "), [""]
    while words:
        longer = f"{lines[-1]} {words[0]}".strip()
        if measure(longer, size, bold) <= room or not lines[-1]:
            lines[-1] = longer
            words.pop(0)
        elif len(lines) < most:
            lines.append("")
        else:
            lines[-1] = " ".join([lines[-1], *words])
            break
    return [fitted(line, room, size, measure, bold) for line in lines]


def label(
    x: float,
    y: float,
    text: str,
    measure: Measure,
    *,
    size: float = 7.5,
    role: Role = "ink",
    bold: bool = False,
    anchor: Anchor = "start",
    room: float | None = None,
    backed: bool = False,
) -> Text:
    """A line of text with its width; cut with an ellipsis where ``room`` is too small for it."""
    flat = " ".join(text.split())
    shown = flat if room is None else fitted(flat, room, size, measure, bold)
    return Text(
        x=x, y=y, text=shown, width=measure(shown, size, bold), size=size, role=role, bold=bold, anchor=anchor,
        backed=backed,
    )  # fmt: skip
