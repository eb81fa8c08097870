"""The cost of a serve, a preparation or a good on many days, and what moved it from day to day.

A cost stays as it is until something dated that it rests on changes, so it is worked out on those days only. Where no
version changed, the rows of the day before are taken over and prices alone are worked out.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from costing.book.book import Book
from costing.book.money import exact
from costing.book.problem import Problem
from costing.book.records import Layer
from costing.ledger.costs import Cost
from costing.pricing.days_basis import TOP, Basis, basis_of
from costing.pricing.days_moves import Bridge, bridge
from costing.pricing.days_part import DAY, Kind, change_days, kind_of_item, part_of
from costing.pricing.suggest import candidate


@dataclass(frozen=True, slots=True)
class Printed:
    """The item's price on a menu: all-in, the net it leaves, and pour cost and margin on the base cost.

    Pour cost is None at a net of 0 or without a cost, and "at least" where the cost is; the margin is then None.
    """

    menu: str
    section: str
    all_in: Decimal
    net: Decimal
    pour_cost: Decimal | None
    margin: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """A day from which a cost holds, until the next point.

    ``cost`` is per drink or base unit by layer, None where it cannot be costed (``faults`` say why); ``base`` is the
    sum over ``layers``, which pour cost stands on. ``printed`` has a price for every menu the item is on. ``moved`` is
    the bridge from the day before; None at the first point.
    """

    day: date
    cost: Cost | None
    base: float | None
    layers: tuple[Layer, ...]
    printed: tuple[Printed, ...]
    moved: Bridge | None
    faults: tuple[Problem, ...] = ()

    @property
    def complete(self) -> bool:
        """True when everything in it has a price; else the cost is "at least"."""
        return self.cost is not None and self.cost.complete


@dataclass(frozen=True, slots=True)
class CostHistory:
    """The points of an item from ``first`` to ``last``, in order. Empty when it begins later."""

    item: str
    kind: Kind
    first: date
    last: date
    points: tuple[Point, ...]

    def on(self, day: date) -> Point | None:
        """The point that holds on a day; None before the first. ValueError for a day outside the history."""
        if not self.first <= day <= self.last:
            raise ValueError(f"the day {day} must lie from {self.first} to {self.last}")
        return next((p for p in reversed(self.points) if p.day <= day), None)


def cost_history(book: Book, item: str, first: date, last: date) -> CostHistory:
    """The cost of a serve, preparation, preparation/by-product or good, on every day from ``first`` to ``last`` that
    it, or its printed price, stands on something new. KeyError for an unknown item, ValueError for ``last`` before
    ``first``."""
    if last < first:
        raise ValueError(f"the last day {last} lies before the first day {first}")
    kind = kind_of_item(book, item)
    points = tuple(_points(part_of(book, item), item, kind, first, last))
    return CostHistory(item, kind, first, last, points)


def moved(book: Book, item: str, day_a: date, day_b: date) -> Bridge:
    """What moved an item's cost between any two days, in parts that add up. KeyError for an unknown item."""
    kind, part = kind_of_item(book, item), part_of(book, item)
    a = basis_of(part, item, kind, day_a)
    return bridge(a, basis_of(part, item, kind, day_b, a))


def _points(part: Book, item: str, kind: Kind, first: date, last: date) -> Iterator[Point]:
    before: Basis | None = None
    stood: Any = None
    for day in (first, *sorted(d for d in change_days(part) if first < d <= last)):
        now = basis_of(part, item, kind, day, before)
        printed = _printed(now)
        stands = _stands_on(now, printed)
        # an item that is not in the book yet has no point, one that was and is not any more has
        if stands != stood and (now.begun or stood is not None):
            yield Point(
                day=day,
                cost=now.cost,
                base=None if now.cost is None else now.cost.of(now.terms.base),
                layers=now.terms.base,
                printed=printed,
                moved=None if before is None or stood is None else bridge(before, now, day - DAY),
                faults=now.faults,
            )
            stood = stands
        before = now


def _stands_on(basis: Basis, printed: tuple[Printed, ...]) -> Any:
    """Everything that makes one day's point another than the day before's."""
    versions = tuple((s, basis.since(s)) for s in basis.amounts if s == TOP or s not in basis.view.goods)
    found = ((g, basis.price(g)) for g in basis.amounts if g in basis.view.goods)
    prices = tuple((g, (p.quote.id, p.per_base) if p else None) for g, p in found)
    return versions, prices, basis.terms.base, printed, basis.faults, basis.begun


def _printed(basis: Basis) -> tuple[Printed, ...]:
    """Prices of the item on the menus of the day; none without terms, which say what is kept of them."""
    if basis.kind != "serve" or basis.view.terms is None:
        return ()
    out: list[Printed] = []
    cost = basis.cost
    base = exact(cost.of(basis.terms.base)) if cost else Decimal(0)
    for menu in basis.view.menus.values():
        for section in menu.sections:
            for line in section.lines:
                dated = basis.view.price_of(line)
                if dated is None:
                    continue
                at = candidate(base, dated.price, basis.terms.levies)
                pour = at.pour_cost if cost else None
                margin = at.margin if cost and cost.complete else None
                out.append(Printed(menu.id, section.name, at.all_in, at.net, pour, margin))
    return tuple(out)
