"""The bridge: from one figure to another through what changed it, rows of words with a bar from step to step."""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import accumulate
from math import fsum, isfinite

from costing.report.figures.axes import Axis
from costing.report.figures.shapes import Area, Box, Figure, Line, Measure, Shape, label
from costing.report.words import series
from costing.tongue import say

ROW, BAR, TOP, FOOT = 15.0, 9.0, 4.0, 17.0
NARROW = 300.0
NAMES, BREAK = 0.36, 16.0
"""Share of the room that names may take, and points before the first figure of a scale that does not begin at 0."""
BROKEN = 0.5
"""A scale is broken where all levels lie within this share of the largest one: steps would be slivers from 0."""
EXACT = 1e-9
Said = Callable[[float], str]


@dataclass(frozen=True, slots=True, kw_only=True)
class BridgeStep:
    """A name in words, and a figure: of the start or the end, or by how much a step changes it."""

    name: str
    amount: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Bridge:
    """From ``start`` through ``steps`` to ``end``: money of a period, or a pour cost. ValueError where the steps do not
    lead there to a part in a thousand million."""

    start: BridgeStep
    steps: tuple[BridgeStep, ...]
    end: BridgeStep

    def __post_init__(self) -> None:
        amounts = [self.start.amount, *(s.amount for s in self.steps)]
        if not all(map(isfinite, [*amounts, self.end.amount])):
            raise ValueError(f"a bridge of {amounts} to {self.end.amount} has a figure that is none")
        size = max(1e-300, *map(abs, amounts))
        if abs(fsum(amounts) - self.end.amount) > EXACT * size:
            raise ValueError(f"the steps lead to {fsum(amounts)} and not to {self.end.amount}")

    @property
    def levels(self) -> tuple[float, ...]:
        """The figure at the start and after each step."""
        return tuple(accumulate((s.amount for s in self.steps), initial=self.start.amount))


def signed(value: float, said: Said) -> str:
    """A change with its sign; without one where it is printed as nothing."""
    text = said(abs(value))
    return text if text == said(0.0) else f"{'+' if value > 0.0 else '−'}{text}"


def bridge_figure(bridge: Bridge, wide: float, measure: Measure, said: Said, *, moved: Said | None = None) -> Figure:
    """The picture; ``moved`` says the size of a step where that is not said as the whole is (points of a share). What
    takes away is hatched, and every step has its sign. A scale that does not begin at 0 is marked as broken.

    ValueError for a room narrower than 300 points.
    """
    if wide < NARROW:
        raise ValueError(f"a bridge in {wide:.0f} points: at least 300")
    moved = moved or said
    levels = bridge.levels
    rows = [(bridge.start.name, _total(bridge.start.amount, said)),
            *((s.name, signed(s.amount, moved)) for s in bridge.steps),
            (bridge.end.name, _total(bridge.end.amount, said))]  # fmt: skip
    left = min(NAMES * wide, 8.0 + max(measure(name, 7.0, True) for name, _ in rows))
    right = wide - 8.0 - max(measure(text, 7.0, True) for _, text in rows)
    axis = _axis(levels, left, max(right, left + 20.0))
    shapes: list[Shape] = []
    if not _broken(levels):
        zero = axis.at(0.0)
        shapes.append(Line(x1=zero, y1=TOP, x2=zero, y2=TOP + len(rows) * ROW, role="faint", weight=0.6))
    for n, (name, text) in enumerate(rows):
        whole = n in (0, len(rows) - 1)
        base = TOP + n * ROW + 9.8
        shapes.append(label(left - 6.0, base, name, measure, size=7.0, bold=whole, anchor="end", room=left - 7.0))
        shapes += _whole(axis, levels[min(n, len(levels) - 1)], n, _broken(levels)) if whole else (
            _step(axis, levels[n - 1], levels[n], n)
        )  # fmt: skip
        if n:
            at = axis.at(levels[n - 1])
            y = TOP + n * ROW
            shapes.append(Line(x1=at, y1=y - 3.0, x2=at, y2=y + 3.0, role="faint", weight=0.5))
        shapes.append(label(wide - 1.0, base, text, measure, size=7.0, bold=whole, anchor="end",
                            room=wide - axis.end - 2.0))  # fmt: skip
    tall = TOP + len(rows) * ROW + FOOT
    shapes.append(label(4.0, tall - 5.0, _notes(levels), measure, size=6.5, role="faint", room=wide - 8.0))
    return Figure(wide=wide, tall=tall, shapes=tuple(shapes), said=_said(bridge, said, moved))


def bridge_rows(bridge: Bridge, said: Said, *, moved: Said | None = None) -> list[list[str]]:
    """The same figures as a table, headings first: each step and the level after it."""
    moved = moved or said
    rows = [["", say("Change"), say("Level after it")], [bridge.start.name, "", _total(bridge.start.amount, said)]]
    for step, level in zip(bridge.steps, bridge.levels[1:], strict=True):
        rows.append([step.name, signed(step.amount, moved), _total(level, said)])
    return [*rows, [bridge.end.name, "", _total(bridge.end.amount, said)]]


def _total(value: float, said: Said) -> str:
    text = said(abs(value))
    return f"−{text}" if value < 0.0 and text != said(0.0) else text


def _broken(levels: tuple[float, ...]) -> bool:
    """Whether the scale leaves out where nothing happens: all levels on one side of 0 and far from it."""
    low, high = min(levels), max(levels)
    return (low > 0.0 or high < 0.0) and high - low < BROKEN * max(abs(low), abs(high))


def _axis(levels: tuple[float, ...], left: float, right: float) -> Axis:
    low, high = min(levels), max(levels)
    if not _broken(levels):
        low, high = min(0.0, low), max(0.0, high)
        return Axis(low=low, high=high if high > low else 1.0, start=left, end=right)
    spread = high - low or abs(high)
    # the bars of the whole stand out from the break by a third of all that changes
    if low > 0.0:
        return Axis(low=low - spread / 3, high=high, start=left + BREAK, end=right)
    return Axis(low=low, high=high + spread / 3, start=left, end=right - BREAK)


def _whole(axis: Axis, level: float, n: int, broken: bool) -> list[Shape]:
    """The bar of the start or the end; where the scale is broken it runs from the edge, with a gap in it."""
    y = TOP + n * ROW + 3.0
    if not broken:
        one, two = sorted((axis.at(0.0), axis.at(level)))
        return [Box(x=one, y=y, wide=max(0.6, two - one), tall=BAR, fill="tax")]
    edge = axis.start - BREAK if level > 0.0 else axis.end + BREAK
    one, two = sorted((edge, axis.at(level)))
    out: list[Shape] = [Box(x=one, y=y, wide=two - one, tall=BAR, fill="tax")]
    gap = edge + (7.0 if level > 0.0 else -11.0)
    over, under = y - 1.5, y + BAR + 1.5
    out.append(Area(start=(gap + 1.5, over), steps=(((gap + 4.5, over),), ((gap + 2.5, under),), ((gap - 0.5, under),)),
                    fill="ground"))  # fmt: skip
    out += [Line(x1=gap + x + 1.5, y1=over, x2=gap + x - 0.5, y2=under, weight=0.8) for x in (0.0, 3.0)]
    return out


def _step(axis: Axis, before: float, after: float, n: int) -> list[Shape]:
    one, two = sorted((axis.at(before), axis.at(after)))
    y = TOP + n * ROW + 3.0
    fell = after < before
    return [Box(x=one, y=y, wide=max(0.6, two - one), tall=BAR, fill=None if fell else "money", edge="money",
                hatch=fell, weight=0.7)]  # fmt: skip


def _notes(levels: tuple[float, ...]) -> str:
    said = [say("plain: adds"), say("hatched: takes away")]
    if _broken(levels):
        said.append(say("the bars with a gap do not begin at 0"))
    return "; ".join(said)


def _said(bridge: Bridge, said: Said, moved: Said) -> str:
    """The picture in a sentence."""
    first, last = _total(bridge.start.amount, said), _total(bridge.end.amount, said)
    start, end = bridge.start.name, bridge.end.name
    if not bridge.steps:
        return say("From {start} {first} to {end} {last}.", start=start, first=first, end=end, last=last)
    steps = series(f"{s.name} {signed(s.amount, moved)}" for s in bridge.steps)
    return say("From {start} {first} to {end} {last}: {steps}.", start=start, first=first, end=end, last=last,
               steps=steps)  # fmt: skip
