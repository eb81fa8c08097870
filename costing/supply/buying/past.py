"""What a good has cost: its own dated quotes turned into the price in force on each day, and into moves between quotes.

All prices are the house's money for one base unit, landed, by the exchange rate and the tax recovery of their day. A
price of nothing says nothing of how a price moves and is left out.
"""

from collections.abc import Mapping
from datetime import date, timedelta
from math import log

from costing.book.book import Book
from costing.book.buying import ExchangeRate
from costing.book.change import Key
from costing.book.records import Good, Quote, Record
from costing.ledger.prices import UnitPrice, price_goods, price_of_quote
from costing.ledger.unit import unit_of_good

DAY = timedelta(days=1)
Step = tuple[date, float | None]
"""A price in force from a day on; None where there is none."""


def quotes_of(book: Book, good: str) -> tuple[Quote, ...]:
    """Every quote for a good, the oldest first."""
    return book.once(_by_good).get(good, ())


def _by_good(book: Book) -> Mapping[str, tuple[Quote, ...]]:
    out: dict[str, list[Quote]] = {}
    for quote in book.all(Quote).values():
        out.setdefault(quote.good, []).append(quote)
    return {good: tuple(sorted(found, key=lambda q: (q.since, q.id))) for good, found in out.items()}


def price_steps(book: Book, good: str, last: date) -> tuple[Step, ...]:
    """What the good is costed at, each step from its day until the next one, and the last until ``last``. KeyError for
    an unknown good."""
    part = _part(book, good)
    steps: list[Step] = []
    for day in sorted(d for d in _change_days(part) if d <= last):
        price = _price_on(part, good, day)
        if not steps or steps[-1][1] != price:
            steps.append((day, price))
    return tuple(steps)


def _price_on(part: Book, good: str, day: date) -> float | None:
    view = part.on(day)
    unit, _ = unit_of_good(view.goods[good], view.measures)
    price = price_goods(view, {good: unit})[0].get(good)
    return price.per_base if price is not None and price.money > 0 else None


def _part(book: Book, good: str) -> Book:
    """The good with all that prices it: small, so that a day of it is read fast."""
    kept: dict[Key, Record] = {("good", good): book.all(Good)[good]}
    kept |= {("quote", q.id): q for q in quotes_of(book, good)}
    kept |= {("rate", r.id): r for r in book.all(ExchangeRate).values()}
    if book.house is not None:
        kept["house", "house"] = book.house
    return Book(kept)


def _change_days(part: Book) -> set[date]:
    days = {t.since for t in part.house.terms} if part.house is not None else set()
    days |= {r.since for r in part.all(ExchangeRate).values()}
    for quote in part.all(Quote).values():
        days.add(quote.since)
        if quote.until is not None and quote.until < date.max:
            days.add(quote.until + DAY)
    return days


def past_moves(book: Book, good: str) -> tuple[float, ...]:
    """log(price after / price before) of every move from one quote to the next of the same supplier, the oldest first.
    A quote that repeats the price is no move; one that cannot be priced is passed over."""
    record = book.all(Good).get(good)
    if record is None:
        return ()
    before: dict[str, float] = {}
    moves: list[tuple[date, float]] = []
    for quote in quotes_of(book, good):
        view = book.on(quote.since)
        price = price_of_quote(view, quote, unit_of_good(record, view.measures)[0])
        if not isinstance(price, UnitPrice) or price.money <= 0:
            continue
        now, last = price.per_base, before.get(quote.supplier)
        if last is not None and abs(log(now / last)) > STILL:
            moves.append((quote.since, log(now / last)))
        before[quote.supplier] = now
    return tuple(move for _, move in moves)


STILL = 1e-9
"""A move smaller than this is the noise of a division, not a move."""
