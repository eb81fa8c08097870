"""A small invented house whose sums can be done in the head: one still, a spirit it runs, a cordial that takes some of
it, three drinks. No taxes, so that net is as printed."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from costing.book import Book
from costing.book.plain import record_from_plain
from costing.book.selling import SalesPeriod, Sold
from costing.ledger import Reckoning, reckon
from costing.menu.mix import Mix, ended_periods, menu_mix

Plain = dict[str, Any]
near: Any = pytest.approx
"""Equal but for rounding; without a type, so that it may stand inside tuples and dicts."""
DAY = date(2026, 3, 2)
FOUR_WEEKS = SalesPeriod(
    id="feb", since=date(2026, 2, 2), until=date(2026, 3, 1),
    sold=tuple(Sold(serve=s, count=Decimal(n)) for s, n in (("a", 400), ("b", 200), ("c", 100))),
)  # fmt: skip


def made(
    ident: str, base: str, makes: str, adds: list[tuple[str, str]], shelf: int | None = None, **stage: Any
) -> Plain:
    """A preparation in one stage."""
    inputs = [{"source": s, "amount": a} for s, a in adds]
    only = {"id": "make", "kind": "make", "facts": {"makes": makes}, "adds": inputs, **stage}
    versions = [{"since": "2026-01-01", "stages": [only]}]
    return {"id": ident, "name": ident.title(), "base": base, "shelf_days": shelf, "versions": versions}


def serve(ident: str, *adds: tuple[str, str], seconds: str = "60 s") -> Plain:
    """A drink of so many inputs."""
    return {"id": ident, "name": ident.upper(), "versions": [{
        "since": "2026-01-01", "seconds": seconds,
        "build": {"id": "build", "kind": "blend", "adds": [{"source": s, "amount": a} for s, a in adds]}}]}  # fmt: skip


def book(period: SalesPeriod | None = FOUR_WEEKS, *, still: str | None = None, people: str | None = None) -> Book:
    """Gin 20.00 a litre, wine 10.00, hands 18.00 an hour, the still 2.00.

    RUN: 1 l of gin gives 1 l in 2 h of the still, 10 min of hands and 20 min of setting up, and keeps 7 days.
    CORDIAL: 0.1 l of it and 1.9 l of wine give 2 l in 30 min of hands.
    A is 50 ml of RUN at 12.00, B 40 ml of CORDIAL and 40 ml of gin at 11.00, C 60 ml of gin at 10.00, on one section.
    """
    rows: list[tuple[str, Plain]] = [
        ("house", {"id": "house", "name": "House", "currency": "EUR", "labour": "hand", "prep_hours": people,
                   "standard_drink": "10 g", "terms": [{"since": "2026-01-01"}]}),
        ("supplier", {"id": "m", "name": "M"}),
        ("good", {"id": "gin", "name": "Gin", "kind": "spirit", "base": "l", "makeup": {"abv": "40 % vol"}}),
        ("good", {"id": "wine", "name": "Wine", "kind": "wine", "base": "l", "makeup": {"abv": "12 % vol"}}),
        ("good", {"id": "hand", "name": "Hand", "kind": "labour", "base": "h", "layer": "labour"}),
        ("good", {"id": "still-hour", "name": "Still hour", "kind": "machine", "base": "h", "layer": "machine"}),
        ("equipment", {"id": "still", "name": "Still", "hour": "still-hour", "hours": still}),
        ("preparation", made("run", "l", "1 l", [("gin", "1 l")], 7, equipment="still", passive="2 h", active="10 min",
                             setup="20 min")),
        ("preparation", made("cordial", "l", "2 l", [("run", "0.1 l"), ("wine", "1.9 l")], active="30 min")),
        ("serve", serve("a", ("run", "50 ml"))),
        ("serve", serve("b", ("cordial", "40 ml"), ("gin", "40 ml"))),
        ("serve", serve("c", ("gin", "60 ml"))),
        ("menu", {"id": "main", "name": "Main", "sections": [{"name": "All", "lines": [
            {"serve": s, "prices": [{"since": "2026-01-01", "price": p}]}
            for s, p in (("a", "12"), ("b", "11"), ("c", "10"))
        ]}]}),
    ]  # fmt: skip
    for good, price, content in (("gin", "14", "0.7 l"), ("wine", "7.50", "0.75 l"), ("hand", "18", "1 h"),
                                 ("still-hour", "2", "1 h")):  # fmt: skip
        rows.append(("quote", {"id": f"q-{good}", "good": good, "supplier": "m", "content": content, "price": price,
                               "currency": "EUR", "since": "2026-01-01"}))  # fmt: skip
    records = [record_from_plain(kind, plain) for kind, plain in rows]
    return Book.of([*records, *([period] if period else [])])


def decided(period: SalesPeriod | None = FOUR_WEEKS, **hours: str) -> tuple[Reckoning, Mix]:
    """The house on its day, with what was sold up to it."""
    kept = book(period, **hours)
    reckoning = reckon(kept.on(DAY))
    return reckoning, menu_mix(reckoning, ended_periods(kept, DAY))
