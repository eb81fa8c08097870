"""What each supplier owes: open claims, deposits that stand in containers, and money back that turnover has earned."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

from costing.book.book import Book
from costing.book.buying import Claim, Purchase
from costing.book.records import Supplier


@dataclass(frozen=True, slots=True, kw_only=True)
class Owed:
    """One line of the list. ``claim`` is None for a sum worked out from the purchases; ``amount`` is what is open."""

    supplier: str
    sort: Literal["price", "quantity", "credit", "deposit", "rebate", "other"]
    amount: Decimal
    currency: str
    since: date
    claim: Claim | None = None
    good: str = ""


def owed(book: Book, day: date, supplier: str = "") -> tuple[Owed, ...]:
    """Everything that is owed on a day, by supplier, the oldest first."""
    out = [
        Owed(supplier=c.supplier, sort=c.sort, amount=c.open, currency=c.currency, since=c.day, claim=c, good=c.good)
        for c in book.all(Claim).values()
        if c.open > 0 and c.day <= day
    ]
    for who in book.all(Supplier).values():
        bought = [p for p in book.all(Purchase).values() if p.supplier == who.id and p.day <= day]
        out += _deposits(who, bought)
        out += _rebates(who, [p for p in bought if p.day.year == day.year])
    found = [o for o in out if not supplier or o.supplier == supplier]
    return tuple(sorted(found, key=lambda o: (o.supplier, o.since, o.sort, o.good)))


def _deposits(who: Supplier, bought: list[Purchase]) -> list[Owed]:
    """Deposits paid less what went back, by currency: it comes back with the containers."""
    out = []
    for currency in dict.fromkeys(p.currency for p in bought):
        moves = [
            (p.day, c.amount) for p in bought if p.currency == currency for c in p.charges
            if c.sort in ("deposit", "return")
        ]  # fmt: skip
        standing = sum((amount for _, amount in moves), Decimal(0))
        if standing > 0:
            first = min(day for day, _ in moves)
            out.append(Owed(supplier=who.id, sort="deposit", amount=standing, currency=currency, since=first))
    return out


def _rebates(who: Supplier, bought: list[Purchase]) -> list[Owed]:
    """The agreed share of the year's turnover, once that reaches where it begins, less what came back already."""
    if not who.rebate:
        return []
    out = []
    for currency in dict.fromkeys(p.currency for p in bought):
        theirs = [p for p in bought if p.currency == currency]
        turnover = sum((line.net for p in theirs for line in p.lines), Decimal(0))
        came = -sum((c.amount for p in theirs for c in p.charges if c.sort == "rebate"), Decimal(0))
        earned = turnover * who.rebate - came
        if turnover >= (who.rebate_from or 0) and earned > 0:
            first = min(p.day for p in theirs)
            out.append(Owed(supplier=who.id, sort="rebate", amount=earned, currency=currency, since=first))
    return out
