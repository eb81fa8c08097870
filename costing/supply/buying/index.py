"""The purchase price index: what the house's usual basket costs on another day, as prices alone move it.

Laspeyres weighs by the usage of the earlier period, Paasche by that of the later one, Fisher is their geometric mean
(ILO and others, Consumer Price Index Manual, chapter 15). An index is 1 where prices stand still; the parts of
goods add up to what it moved. Only goods priced on both days are in it: how much of the spending that is, is said.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from math import fsum, sqrt
from typing import Literal

from costing.book.book import Book
from costing.book.money import to_float
from costing.book.records import Good, Layer
from costing.book.selling import SalesPeriod
from costing.ledger.prices import UnitPrice, price_goods
from costing.ledger.reckon import reckon
from costing.ledger.rows import Row
from costing.ledger.unit import unit_of_good
from costing.menu.mix import recent_sales

Prices = Mapping[str, UnitPrice]
Missing = Literal["before", "after", "both"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Usage:
    """Base units of every bought good that the drinks of a period took, by the recipes of its last day. ``without``
    names serves that were sold and cannot be worked out: what they took is in no figure."""

    period: SalesPeriod
    amounts: Row
    without: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Contribution:
    """One good of the basket: ``usage`` base units at the price ``before`` and ``after``; ``share`` of the spending
    before, and the ``points`` that its price moves the index by."""

    good: str
    usage: float
    before: UnitPrice
    after: UnitPrice
    share: float
    points: float

    @property
    def relative(self) -> float | None:
        """Price after over before; None for what cost nothing."""
        return self.after.per_base / self.before.per_base if self.before.per_base else None


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceIndex:
    """From ``day_a`` to ``day_b``; 1.05 is five in a hundred dearer.

    ``paasche`` and ``fisher`` stand on the usage of the later period, the same as the earlier where there is one only.
    ``covered`` is the share of the spending (at the price of either day) that was priced on both; ``unpriced`` goods
    of the basket lack a price on the day named. Each index is None where its basket cost nothing.
    """

    day_a: date
    day_b: date
    earlier: Usage
    later: Usage
    laspeyres: float | None
    paasche: float | None
    fisher: float | None
    contributions: tuple[Contribution, ...]
    covered: float | None
    unpriced: tuple[tuple[str, Missing], ...]

    @property
    def one_basket(self) -> bool:
        """Whether one period had to stand for both."""
        return self.earlier.period.id == self.later.period.id


def last_period(book: Book, day: date) -> SalesPeriod | None:
    """What was sold in the last weeks that have ended by a day (``costing.menu.mix.recent_sales``)."""
    return recent_sales(book, day)


def usage_of(book: Book, period: SalesPeriod) -> Usage:
    """What a period's drinks took of each bought good, spillage and losses with it."""
    reckoning = reckon(book.on(period.until))
    amounts: dict[str, float] = {}
    without: list[str] = []
    for sold in period.sold:
        line = reckoning.serves.get(sold.serve)
        if line is None:
            without.append(sold.serve)
            continue
        for good, amount in reckoning.contents(line.carried).row.items():
            amounts[good] = amounts.get(good, 0.0) + to_float(sold.count) * amount
    return Usage(period=period, amounts=amounts, without=tuple(dict.fromkeys(without)))


def prices_on(book: Book, day: date, goods: Iterable[str]) -> Prices:
    """What each good is costed at on a day: by the first quote that counts."""
    view = book.on(day)
    units = {g: unit_of_good(view.goods[g], view.measures)[0] for g in goods if g in view.goods}
    return price_goods(view, units)[0]


def price_index(
    book: Book,
    day_a: date,
    day_b: date,
    *,
    earlier: SalesPeriod | None = None,
    later: SalesPeriod | None = None,
    layers: Iterable[Layer] = ("materials",),
) -> PriceIndex | None:
    """The index between two days. The earlier period is the last that has ended by ``day_a`` (failing that, the last by
    ``day_b``), the later one the last by ``day_b``, unless they are given; None where there is none. ``layers`` say
    which goods are in the basket. ValueError for ``day_b`` before ``day_a``."""
    if day_b < day_a:
        raise ValueError(f"the day {day_b} lies before {day_a}")
    later = later or last_period(book, day_b)
    earlier = earlier or last_period(book, day_a) or later
    if earlier is None or later is None:
        return None
    wanted = frozenset(layers)
    usage = _basket(book, earlier, wanted)
    other = usage if later.id == earlier.id else _basket(book, later, wanted)
    return _between(book, (day_a, day_b), usage, other)


def series(
    book: Book, days: Iterable[date], *, period: SalesPeriod | None = None, layers: Iterable[Layer] = ("materials",)
) -> tuple[PriceIndex, ...]:
    """The index from the first of some days to each of them, in order, all by the usage of the period before the first
    day; the first is 1. Empty without days, or without a period of sales by the last of them."""
    ordered = sorted(set(days))
    if not ordered:
        return ()
    period = period or last_period(book, ordered[0]) or last_period(book, ordered[-1])
    if period is None:
        return ()
    wanted = frozenset(layers)
    baskets = {period.id: _basket(book, period, wanted)}
    out = []
    for day in ordered:
        later = last_period(book, day) or period
        if later.id not in baskets:
            baskets[later.id] = _basket(book, later, wanted)
        out.append(_between(book, (ordered[0], day), baskets[period.id], baskets[later.id]))
    return tuple(out)


def _basket(book: Book, period: SalesPeriod, layers: frozenset[Layer]) -> Usage:
    """The usage of a period, goods of some layers only."""
    usage, goods = usage_of(book, period), book.all(Good)
    amounts = {g: amount for g, amount in usage.amounts.items() if amount and goods[g].layer in layers}
    return Usage(period=period, amounts=amounts, without=usage.without)


def _between(book: Book, days: tuple[date, date], earlier: Usage, later: Usage) -> PriceIndex:
    goods = sorted(earlier.amounts.keys() | later.amounts.keys())
    before, after = (prices_on(book, day, goods) for day in days)
    both = before.keys() & after.keys()
    p0 = {g: before[g].per_base for g in both}
    p1 = {g: after[g].per_base for g in both}
    laspeyres = ratio(p0, p1, earlier.amounts)
    paasche = ratio(p0, p1, later.amounts)
    spent = money(p0, earlier.amounts)
    contributions = tuple(
        Contribution(
            good=g,
            usage=amount,
            before=before[g],
            after=after[g],
            share=amount * p0[g] / spent,
            points=amount * (p1[g] - p0[g]) / spent,
        )
        for g, amount in earlier.amounts.items()
        if g in both and spent > 0
    )
    return PriceIndex(
        day_a=days[0],
        day_b=days[1],
        earlier=earlier,
        later=later,
        laspeyres=laspeyres,
        paasche=paasche,
        fisher=fisher(laspeyres, paasche),
        contributions=contributions,
        covered=_covered(spent, before, after, earlier.amounts),
        unpriced=tuple((g, _missing(g, before, after)) for g in goods if g not in both),
    )


def money(prices: Mapping[str, float], amounts: Row) -> float:
    """What amounts cost at some prices; goods without one count nothing."""
    return fsum(amount * prices[g] for g, amount in amounts.items() if g in prices)


def ratio(before: Mapping[str, float], after: Mapping[str, float], amounts: Row) -> float | None:
    """The same amounts at the prices after over those before; None where they cost nothing before."""
    spent = money(before, amounts)
    return money(after, amounts) / spent if spent > 0 else None


def fisher(laspeyres: float | None, paasche: float | None) -> float | None:
    """The geometric mean of the two; None where one of them is."""
    if laspeyres is None or paasche is None or laspeyres * paasche < 0:
        return None
    return sqrt(laspeyres * paasche)


def _covered(spent: float, before: Prices, after: Prices, amounts: Row) -> float | None:
    either = {g: (before.get(g) or after[g]).per_base for g in before.keys() | after.keys()}
    whole = money(either, amounts)
    return spent / whole if whole > 0 else None


def _missing(good: str, before: Prices, after: Prices) -> Missing:
    if good in before:
        return "after"
    return "before" if good in after else "both"
