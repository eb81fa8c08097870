"""What an arriving file does to every drink and to a month, before anybody accepts it.

Both sides are reckoned on one day, the first on which all the chosen prices hold, so that nothing but them differs.
The month is what was sold in the last weeks, brought to a twelfth of a year; without sales, every drink counts once and
that is said.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal

from costing.book.book import Book
from costing.book.change import put
from costing.book.money import to_float
from costing.book.records import Quote
from costing.book.selling import SalesPeriod
from costing.ledger.reckon import reckon
from costing.menu.mix import recent_sales
from costing.pricing.menu import PricedServe, priced_serves

MONTH = 365.25 / 12
"""Days of a month."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ServeEffect:
    """One drink on one menu before and after; ``sold`` is how many of it a month has, all its menus together."""

    serve: str
    name: str
    before: PricedServe
    after: PricedServe
    sold: float

    @property
    def moves(self) -> float:
        """Money a drink."""
        return self.after.base - self.before.base

    @property
    def broke(self) -> bool:
        """Whether it met its target, or had a full cost, and does not any more."""
        missed = self.before.on_target is True and self.after.on_target is False
        return missed or (self.before.cost.complete and not self.after.cost.complete)


@dataclass(frozen=True, slots=True, kw_only=True)
class Month:
    """A month at the current mix: what the drinks cost and what they bring net, in money of the cost base. ``without``
    names drinks that were sold and have no price, or no full cost on either side: they are in no figure."""

    cost: float
    net: float
    without: tuple[str, ...] = ()

    @property
    def pour_cost(self) -> float | None:
        """Cost over net sales."""
        return self.cost / self.net if self.net else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """``day`` is the day both sides stand on, ``period`` the sales that the mix is of (None: one of each drink)."""

    day: date
    serves: tuple[ServeEffect, ...]
    before: Month
    after: Month
    period: SalesPeriod | None

    @property
    def broken(self) -> tuple[ServeEffect, ...]:
        """Drinks that miss their target now and did not before."""
        return tuple(e for e in self.serves if e.broke)


def mix_of(book: Book, day: date) -> tuple[SalesPeriod | None, Mapping[str, float]]:
    """(the sales of the last weeks that have ended, how many of each serve a month has)."""
    last = recent_sales(book, day)
    if last is None:
        return None, {}
    month: dict[str, float] = {}
    for sold in last.sold:
        month[sold.serve] = month.get(sold.serve, 0.0) + to_float(sold.count) * MONTH / last.days
    return last, month


def effect_of(book: Book, quotes: Iterable[Quote], day: date, ended: Iterable[Quote] = ()) -> Effect:
    """What these quotes do, and that those ``ended`` are asked no more. ``day`` is the day that is looked at; where a
    quote begins later, both sides move there."""
    begun = tuple(quotes)
    day = max([day, *(q.since for q in begun)])
    chosen = (*begun, *(replace(q, until=max(q.since, day - timedelta(days=1))) for q in ended))
    known = book.all(Quote)
    after = book.with_changes([put("quote", q, known.get(q.id)) for q in chosen])
    one, two = priced_serves(reckon(book.on(day))), priced_serves(reckon(after.on(day)))
    period, month = mix_of(book, day)
    serves = tuple(
        ServeEffect(
            serve=b.serve.id, name=b.serve.name, before=b, after=a,
            sold=month.get(b.serve.id, 0.0) if period is not None else 1.0,
        )
        for b, a in zip(one, two, strict=True)
    )  # fmt: skip
    first: dict[str, ServeEffect] = {}
    for effect in serves:
        if effect.serve not in first or first[effect.serve].before.price is None:
            first[effect.serve] = effect
    sold = [e for e in first.values() if e.sold]
    counted = [e for e in sold if _counts(e.before) and _counts(e.after)]
    without = tuple(e.name for e in sold if e not in counted)
    return Effect(
        day=day, serves=serves, before=_month([(e.before, e.sold) for e in counted], without),
        after=_month([(e.after, e.sold) for e in counted], without), period=period,
    )  # fmt: skip


def _counts(priced: PricedServe) -> bool:
    return priced.price is not None and priced.cost.complete


def _month(sold: Iterable[tuple[PricedServe, float]], without: tuple[str, ...]) -> Month:
    cost = net = 0.0
    for priced, count in sold:
        cost += count * priced.base
        net += count * to_float(priced.price.net) if priced.price else 0.0
    return Month(cost=cost, net=net, without=without)


def worst(effects: Iterable[ServeEffect]) -> tuple[ServeEffect, ...]:
    """Drinks whose cost moves, the most first."""
    moved = [e for e in effects if e.moves or e.broke]
    return tuple(sorted(moved, key=lambda e: (-abs(e.moves), e.name)))


def per_month(effect: ServeEffect) -> Decimal | None:
    """Money a month that one drink's move makes; None where it has no full cost on either side."""
    if not (effect.before.cost.complete and effect.after.cost.complete):
        return None
    return Decimal(repr(effect.moves * effect.sold))
