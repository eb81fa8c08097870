"""The purchase price index over time: lines from day to day around the level of the first."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise
from math import ceil, floor, hypot

from costing.report.figures.prices import DASHES, STROKE
from costing.report.figures.shapes import SERIES, Area, Box, Figure, Line, Measure, Role, Shape, label
from costing.tongue import Words, say, word

LEFT, RIGHT, TOP, FOOT = 40.0, 96.0, 10.0, 28.0
NARROW, LOW = 260.0, 90.0
LEAST = 0.02
"""The span of an index that the picture shows at least, so that a thousandth does not look like a leap."""
NAMES: Words = {"laspeyres": "Laspeyres", "paasche": "Paasche", "fisher": "Fisher"}
HUES: tuple[Role, ...] = (SERIES[0], SERIES[5], SERIES[2])


@dataclass(frozen=True, slots=True)
class IndexPoint:
    """The index of a day over the first; None where it is not known."""

    day: date
    laspeyres: float | None
    paasche: float | None = None
    fisher: float | None = None


def index_figure(
    points: Sequence[IndexPoint],
    wide: float,
    tall: float,
    measure: Measure,
    said_index: Callable[[float], str],
    said_day: Callable[[date], str] = date.isoformat,
) -> Figure:
    """The picture, oldest day first. Paasche and Fisher are drawn where they differ from Laspeyres; each line has a
    hue, a dash and a mark of its own and its name at its end. ValueError for fewer than two days with an index, or a
    room below 260 by 90 points."""
    drawn = _lines(points)
    if not drawn or wide < NARROW or tall < LOW:
        raise ValueError(f"{len(points)} days in {wide:.0f} by {tall:.0f} points: at least two, and 260 by 90 points")
    values = [v for _, line in drawn for _, v in line] + [1.0]
    low, high = min(values), max(values)
    room = max(high - low, LEAST)
    low, high = (low + high - room) / 2 - 0.12 * room, (low + high + room) / 2 + 0.12 * room
    first, last = points[0].day, points[-1].day

    def x(day: date) -> float:
        return LEFT + (wide - LEFT - RIGHT) * (day - first).days / (last - first).days

    def y(value: float) -> float:
        return TOP + (tall - TOP - FOOT) * (1.0 - (value - low) / (high - low))

    shapes: list[Shape] = []
    for at in _levels(low, high):
        shapes.append(Line(x1=LEFT, y1=y(at), x2=wide - RIGHT, y2=y(at), role="rule", weight=0.4))
        shapes.append(label(LEFT - 4.0, y(at) + 2.6, said_index(at), measure, size=7.0, role="faint", anchor="end"))
    shapes.append(Line(x1=LEFT, y1=y(1.0), x2=wide - RIGHT, y2=y(1.0), role="faint", weight=0.8))
    below = tall - 16.0
    shapes.append(label(x(first), below, said_day(first), measure, size=7.0, role="faint"))
    shapes.append(label(x(last), below, said_day(last), measure, size=7.0, role="faint", anchor="end"))
    ends: list[float] = []
    for name, line in drawn:
        n = list(NAMES).index(name)
        spots = [(x(day), y(value)) for day, value in line]
        shapes += _line(spots, n)
        shapes += _named(f"{word(NAMES, name)} {said_index(line[-1][1])}", spots[-1][1], n, wide, measure, ends)
    words = say("1 is the level of the first day; drawn by the month or the week")
    shapes.append(label(4.0, tall - 4.0, words, measure, size=6.5, role="faint", room=wide - 8.0))
    said = " ".join(
        say("{index} goes from 1 on {first} to {figure} on {last}.", index=word(NAMES, name), first=said_day(first),
            figure=said_index(line[-1][1]), last=said_day(line[-1][0]))
        for name, line in drawn
    )  # fmt: skip
    return Figure(wide=wide, tall=tall, shapes=tuple(shapes), said=said)


def _levels(low: float, high: float) -> list[float]:
    """Round levels between two, six at most."""
    step = next(s for n in range(-3, 99) for s in (10.0**n, 2 * 10.0**n, 5 * 10.0**n) if high - low <= 6 * s)
    return [n * step for n in range(ceil(low / step), floor(high / step) + 1)]


def _lines(points: Sequence[IndexPoint]) -> list[tuple[str, list[tuple[date, float]]]]:
    """The lines that are drawn: Laspeyres, and the others where they differ from it."""
    out: list[tuple[str, list[tuple[date, float]]]] = []
    base: list[tuple[date, float]] = []
    for name in NAMES:
        line = [(p.day, v) for p in points if (v := getattr(p, name)) is not None]
        if name == "laspeyres":
            base = line
        same = name != "laspeyres" and len(line) == len(base) and all(
            abs(a - b) < 1e-9 for (_, a), (_, b) in zip(line, base, strict=True)
        )  # fmt: skip
        if len(line) > 1 and not same:
            out.append((name, line))
    return out


def _line(spots: Sequence[tuple[float, float]], n: int) -> Iterator[Shape]:
    """The line of an index, and a mark on each of its days."""
    for one, two in pairwise(spots):
        for (x1, y1), (x2, y2) in _dashes(one, two, DASHES[n]):
            yield Line(x1=x1, y1=y1, x2=x2, y2=y2, role=HUES[n], weight=STROKE * (1.4 if n == 0 else 1.0))
    for x, y in spots:
        yield _mark(n, x, y)


def _dashes(
    one: tuple[float, float], two: tuple[float, float], pattern: Sequence[float]
) -> Iterator[tuple[tuple[float, float], tuple[float, float]]]:
    """The parts of a slanting line that are drawn."""
    long = hypot(two[0] - one[0], two[1] - one[1])
    if not pattern or not long:
        yield one, two
        return

    def spot(at: float) -> tuple[float, float]:
        return one[0] + (two[0] - one[0]) * at / long, one[1] + (two[1] - one[1]) * at / long

    at, n = 0.0, 0
    while at < long:
        end = min(long, at + pattern[n % len(pattern)])
        if n % 2 == 0:
            yield spot(at), spot(end)
        at, n = end, n + 1


def _mark(n: int, x: float, y: float) -> Shape:
    """A square, a triangle, a diamond: told apart in black and white."""
    r, hue = 2.2, HUES[n]
    if n == 0:
        return Box(x=x - r * 0.85, y=y - r * 0.85, wide=r * 1.7, tall=r * 1.7, fill=hue, edge="ink")
    corners = [(x + r, y + r), (x - r, y + r)] if n == 1 else [(x + r, y), (x, y + r), (x - r, y)]
    return Area(start=(x, y - r), steps=tuple((c,) for c in corners), fill=hue, edge="ink")


def _named(text: str, at: float, n: int, wide: float, measure: Measure, ends: list[float]) -> Iterator[Shape]:
    """Mark and name at the end of a line, where no other name stands."""
    spot = at + 2.6
    while any(abs(spot - other) < 9.0 for other in ends):
        spot += 3.0
    ends.append(spot)
    yield _mark(n, wide - RIGHT + 8.0, spot - 2.6)
    yield label(wide - RIGHT + 14.0, spot, text, measure, size=7.0, bold=n == 0, room=RIGHT - 15.0)
