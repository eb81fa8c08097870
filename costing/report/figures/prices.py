"""The price history of a good: what each supplier asked for a base unit from day to day, as steps."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from costing.report.figures.shapes import SERIES, Area, Box, Figure, Line, Measure, Role, Shape, label
from costing.report.figures.stream import Cash
from costing.tongue import say

LEFT, RIGHT, TOP, FOOT = 44.0, 96.0, 10.0, 26.0
MOST = 5
"""Suppliers drawn; those with the oldest last quote are left out beyond it."""
STROKE = 1.4
DASHES: tuple[tuple[float, ...], ...] = ((), (6.0, 2.0), (3.0, 2.0), (8.0, 2.0, 2.0, 2.0), (1.5, 1.5))
"""Drawn and left out in turn, in points; the seller that costs the good comes first and is drawn through."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A price a base unit from a day on, and the last day where it ended."""

    since: date
    price: float
    until: date | None = None


@dataclass(frozen=True, slots=True)
class Seller:
    """One supplier's prices, the oldest first; ``costs`` marks the one that costs the good today."""

    name: str
    asked: tuple[Asked, ...]
    costs: bool = False


def prices_figure(
    sellers: Sequence[Seller],
    today: date,
    wide: float,
    tall: float,
    measure: Measure,
    cash: Cash,
    unit: str,
    said_day: Callable[[date], str] = date.isoformat,
) -> Figure:
    """The picture, with days as ``said_day`` says them; every seller has a hue, a mark of its own shape and its name at
    the end of its line. ValueError for no price at all, or a room below 260 by 90 points."""
    drawn = sorted((s for s in sellers if s.asked), key=lambda s: (not s.costs, -s.asked[-1].since.toordinal()))[:MOST]
    if not drawn or wide < 260.0 or tall < 90.0:
        raise ValueError(f"{len(drawn)} sellers in {wide:.0f} by {tall:.0f} points: at least one, and 260 by 90 points")
    first = min([today, *(a.since for s in drawn for a in s.asked)])
    last = max([today, *(a.since for s in drawn for a in s.asked)])
    prices = [a.price for s in drawn for a in s.asked]
    low, high = min(prices), max(prices)
    room = max(high - low, 0.04 * max(abs(high), 0.01))
    low, high = max(0.0, low - 0.15 * room), high + 0.15 * room
    days = max(1, (last - first).days)

    def x(day: date) -> float:
        return LEFT + (wide - LEFT - RIGHT) * (day - first).days / days

    def y(price: float) -> float:
        return TOP + (tall - TOP - FOOT) * (1.0 - (price - low) / (high - low))

    shapes: list[Shape] = []
    for n in range(4):
        price = low + (high - low) * n / 3
        shapes.append(Line(x1=LEFT, y1=y(price), x2=wide - RIGHT, y2=y(price), role="rule", weight=0.4))
        shapes.append(label(LEFT - 4.0, y(price) + 2.6, cash(price), measure, size=7.0, role="faint", anchor="end"))
    below = tall - 15.0
    shapes.append(label(x(first), below, said_day(first), measure, size=7.0, role="faint"))
    if last > first:
        shapes.append(label(x(last), below, said_day(last), measure, size=7.0, role="faint", anchor="end"))
    shapes.append(Line(x1=x(today), y1=TOP, x2=x(today), y2=tall - FOOT, role="faint", weight=0.8))
    ends: list[float] = []
    for n, seller in enumerate(drawn):
        shapes += _seller(seller, n, x, y, last, wide, measure, ends)
    words = say("price of one {unit}; the upright line is the day looked at", unit=unit)
    shapes.append(label(4.0, tall - 4.0, words, measure, size=6.5, role="faint", room=wide - 8.0))
    said = " ".join(_said(seller, today, cash, said_day) for seller in drawn)
    return Figure(wide=wide, tall=tall, shapes=tuple(shapes), said=said)


def _said(seller: Seller, today: date, cash: Cash, said_day: Callable[[date], str]) -> str:
    """What a seller asks on the day that is looked at, in words."""
    begun = [a for a in seller.asked if a.since <= today]
    if not begun:
        coming = seller.asked[0]
        return say("{name} asks {price} from {day} on.", name=seller.name, price=cash(coming.price),
                   day=said_day(coming.since))  # fmt: skip
    now = begun[-1]
    if now.until is not None and now.until < today:
        return say("{name} asked {price} until {day}.", name=seller.name, price=cash(now.price),
                   day=said_day(now.until))  # fmt: skip
    return say("{name} asks {price} since {day}.", name=seller.name, price=cash(now.price), day=said_day(now.since))


def _seller(
    seller: Seller,
    n: int,
    x: Callable[[date], float],
    y: Callable[[float], float],
    last: date,
    wide: float,
    measure: Measure,
    ends: list[float],
) -> list[Shape]:
    hue: Role = SERIES[(0, 5, 2, 3, 1)[n % 5]]
    out: list[Shape] = []
    before: float | None = None
    for m, asked in enumerate(seller.asked):
        following = seller.asked[m + 1].since if m + 1 < len(seller.asked) else last
        end = min(following, asked.until) if asked.until is not None else following
        at = y(asked.price)
        if before is not None:
            out.append(Line(x1=x(asked.since), y1=before, x2=x(asked.since), y2=at, role=hue, weight=STROKE * 0.6))
        weight = STROKE * (1.6 if seller.costs else 1.0)
        out += [
            Line(x1=left, y1=at, x2=right, y2=at, role=hue, weight=weight)
            for left, right in _dashes(x(asked.since), x(end), DASHES[n % len(DASHES)])
        ]
        out.append(_mark(n, x(asked.since), at, hue))
        before = at
    spot = y(seller.asked[-1].price) + 2.6
    while any(abs(spot - other) < 9.0 for other in ends):
        spot += 3.0
    ends.append(spot)
    out.append(_mark(n, wide - RIGHT + 8.0, spot - 2.6, hue))
    out.append(label(wide - RIGHT + 15.0, spot, seller.name, measure, size=7.0, bold=seller.costs, room=RIGHT - 16.0))
    return out


def _dashes(left: float, right: float, pattern: Sequence[float]) -> Iterator[tuple[float, float]]:
    """The parts of a level line that are drawn."""
    if not pattern:
        yield left, right
        return
    at, n = left, 0
    while at < right:
        end = min(right, at + pattern[n % len(pattern)])
        if n % 2 == 0:
            yield at, end
        at, n = end, n + 1


def _mark(n: int, x: float, y: float, hue: Role) -> Shape:
    """A square, a triangle, a diamond, a triangle on its head, a bar: told apart in black and white."""
    r = 2.6
    outlines = (
        None,
        ((x, y - r), ((x + r, y + r), (x - r, y + r))),
        ((x, y - r * 1.2), ((x + r * 1.2, y), (x, y + r * 1.2), (x - r * 1.2, y))),
        ((x, y + r), ((x + r, y - r), (x - r, y - r))),
    )
    found = outlines[n] if n < len(outlines) else None
    if n == 0:
        return Box(x=x - r * 0.85, y=y - r * 0.85, wide=r * 1.7, tall=r * 1.7, fill=hue, edge="ink")
    if found is None:
        return Box(x=x - 0.8, y=y - r * 1.2, wide=1.6, tall=r * 2.4, fill=hue, edge="ink")
    start, rest = found
    return Area(start=start, steps=tuple((p,) for p in rest), fill=hue, edge="ink")
