"""Pricing a whole menu: which prices to change, and by how much, so that it comes to an overall pour cost or margin.

The volumes are those given, and stay: no market elasticity is put in their place. What a move may lose stands beside it
as the break-even volume, and ``reprice_volumes`` says what other volumes would bring. Of all choices that keep every
limit the one with the smallest changes is taken (or the fewest); it is exact, see ``reprice_model``.
"""

from collections.abc import Callable, Iterable, Sequence
from decimal import Decimal
from time import monotonic

from costing.book.levies import PricePoints
from costing.menu.reprice_model import Chosen, Figure, TimeUp, choose, most_net, net_sales
from costing.menu.reprice_points import kept_pairs, point_above
from costing.menu.reprice_record import (
    Aim,
    Doubt,
    Everything,
    Goal,
    Limits,
    Pair,
    PriceRow,
    Relaxed,
    Repriced,
    Repricing,
    Totals,
)
from costing.menu.reprice_why import Asked, relaxed
from costing.pricing.suggest import break_even_volume, next_point
from costing.tongue import say

SECONDS = 10.0
"""How long a repricing may take before it gives the best it has."""
FIGURES: dict[Goal, tuple[Figure, ...]] = {
    "smallest": ("change", "number", "net", "lots"),
    "fewest": ("number", "change", "net", "lots"),
}
MOST_STEPS = 200
Progress = Callable[[int, int], None]
"""Called with (parts done, parts there are); may raise to stop."""
PARTS = 9


def reprice(
    rows: Sequence[PriceRow],
    aim: Aim,
    *,
    points: PricePoints,
    limits: Limits | None = None,
    order: Iterable[Pair] = (),
    goal: Goal = "smallest",
    seconds: float = SECONDS,
    progress: Progress | None = None,
) -> Repricing:
    """New prices for lines of a menu. ``order`` are pairs of keys, a larger and a smaller serve.

    Where prices meet the aim and every limit already, none changes. ValueError for no lines, a key that stands twice,
    or where nothing was sold. A solve that runs out of ``seconds`` gives the best it has, with its gap.
    """
    if not rows:
        raise ValueError(say("there is no price to change: put drinks with printed prices on the menu first"))
    if len({row.key for row in rows}) < len(rows):
        raise ValueError("two lines have one key")
    if not any(row.sold for row in rows):
        raise ValueError(
            say("nothing was sold of these drinks: an overall pour cost or margin stands on what was sold")
        )
    limits = limits if limits is not None else Limits()
    ordered = sorted(rows, key=lambda row: row.key)  # the same answer in whatever order the lines come
    pairs, beyond = kept_pairs(ordered, order)
    cost = sum((row.sold * row.cost for row in rows), Decimal(0))
    asked = Asked(rows=ordered, needed=aim.needed(cost), points=points, limits=limits, pairs=tuple(pairs))
    parts = _Parts(progress)
    found, furthest, why = _solved(asked, FIGURES[goal], monotonic() + seconds, parts)
    now = [row.price for row in ordered]
    prices = list(found.prices) if found is not None else list(furthest or now)
    parts.end()
    return Repricing(
        aim=aim, goal=goal, needed=asked.needed, rows=_repriced(asked, rows, prices), before=asked.totals(now),
        after=asked.totals(prices), met=found is not None, possible=found is not None or furthest is not None,
        proven=found is None or set(FIGURES[goal][:2]) <= set(found.proven), gap=found.gap if found else None,
        everything=_everything(asked), relaxed=why, doubts=_doubts(asked, beyond),
    )  # fmt: skip


def _solved(
    asked: Asked, figures: tuple[Figure, ...], until: float, parts: "_Parts"
) -> tuple[Chosen | None, tuple[Decimal, ...] | None, tuple[Relaxed, ...]]:
    """(the choice, or the furthest that can be reached instead, and what stands in the way of more)."""
    parts.next()
    try:
        found = choose(asked.choosing(needed=asked.needed), figures, until)
    except TimeUp:
        found = None
    if found is not None:
        return found, None, ()
    parts.next()
    allowance = max(until, monotonic() + 1.0)  # what is in the way is worth a second, if nothing was found in time
    try:
        furthest = most_net(asked.choosing(), allowance)
        if asked.reached(furthest):  # the time ended before the solver found one: this one is not the best
            return Chosen(prices=furthest or (), proven=()), None, ()
        if furthest is not None:  # as far, with as little change as that takes
            tidy = choose(asked.choosing(needed=net_sales(asked.rows, furthest)), figures, allowance)
            furthest = tidy.prices if tidy is not None else furthest
    except TimeUp:
        furthest = None
    stand = furthest or tuple(row.price for row in asked.rows)
    return None, furthest, relaxed(asked, stand, allowance, parts.next)


def _repriced(asked: Asked, rows: Sequence[PriceRow], prices: Sequence[Decimal]) -> tuple[Repriced, ...]:
    why = asked.stopped(prices)
    found = {}
    for row, price, stops in zip(asked.rows, prices, why, strict=True):
        old, new = row.at(row.price), row.at(price)
        volume = break_even_volume(old.net, new.net, row.cost) if price != row.price else None
        found[row.key] = Repriced(row=row, old=old, new=new, volume=volume, stopped=stops)
    return tuple(found[row.key] for row in rows)


def _everything(asked: Asked) -> Everything:
    """Every price one point up, again and again, until the aim is met or none can go on."""
    prices = [row.price for row in asked.rows]
    steps = 0
    while not asked.reached(prices) and steps < MOST_STEPS:
        higher = [_raised(row, price, asked.points) for row, price in zip(asked.rows, prices, strict=True)]
        if higher == prices:
            break
        prices, steps = higher, steps + 1
    moves = [abs(price - row.price) for row, price in zip(asked.rows, prices, strict=True)]
    return Everything(
        steps=steps, change=sum(moves, Decimal(0)), changed=sum(bool(m) for m in moves),
        after=Totals(net=net_sales(asked.rows, prices), cost=asked.cost), met=asked.reached(prices),
    )  # fmt: skip


def _raised(row: PriceRow, price: Decimal, points: PricePoints) -> Decimal:
    wanted = point_above(price, points)
    return price if row.held or (row.most is not None and wanted > row.most) else wanted


def _doubts(asked: Asked, beyond: Sequence[Pair]) -> tuple[Doubt, ...]:
    rows, named = asked.rows, {row.key: row.name for row in asked.rows}
    out = [
        Doubt(code="at-least", names=tuple(r.name for r in rows if not r.complete)),
        Doubt(code="off-the-points", names=tuple(r.name for r in rows if next_point(r.price, asked.points) != r.price)),
        Doubt(code="held-out-of-bounds", names=tuple(r.name for r in rows if r.held and _outside(r))),
        Doubt(code="held-out-of-order", names=tuple(f"{named[a]} < {named[b]}" for a, b in beyond)),
    ]
    return tuple(doubt for doubt in out if doubt.names)


def _outside(row: PriceRow) -> bool:
    return (row.least is not None and row.price < row.least) or (row.most is not None and row.price > row.most)


class _Parts:
    """How far it is."""

    def __init__(self, progress: Progress | None) -> None:
        self._progress, self._done = progress, 0

    def next(self) -> None:
        """One more part begins."""
        if self._progress is not None:
            self._progress(self._done, PARTS)
        self._done += 1

    def end(self) -> None:
        """All is done."""
        if self._progress is not None:
            self._progress(PARTS, PARTS)


__all__ = ["Aim", "Limits", "PriceRow", "Repricing", "reprice"]
