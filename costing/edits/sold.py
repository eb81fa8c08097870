"""What was sold in a period, typed or pasted: one drink and how many of it a line."""

import re
from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from decimal import Decimal

from costing.book.book import Book
from costing.book.change import Change, Step, put
from costing.book.records import Serve
from costing.book.selling import SalesPeriod, Sold
from costing.edits.base import record_of
from costing.supply.ids import free_id
from costing.supply.packs.numbers import parse_number
from costing.tongue import say

_LINE = re.compile(r"^(?P<name>.*?\S)[\s:=;]+(?P<count>-?[0-9][0-9.,' \u00a0\u202f]*)$")


def set_sold(
    book: Book, since: date, until: date, text: str, source: str = "", past: Iterable[str] = ()
) -> Step | None:
    """The counts of a period. The period of the same days is written anew; one that only overlaps is refused, because
    what was sold in both would count twice. ValueError names the line that cannot be read."""
    if until < since:
        raise ValueError(say("the last day {until} lies before the first day {since}", until=until, since=since))
    sold = read_sold(book, text)
    if not sold:
        raise ValueError(say("write one drink a line, and how many were sold: Harbour Light 120"))
    periods = book.all(SalesPeriod).values()
    old = next((p for p in periods if (p.since, p.until) == (since, until)), None)
    for period in periods:
        if period is not old and period.since <= until and since <= period.until:
            days = say("{since} to {until}", since=period.since.isoformat(), until=period.until.isoformat())
            raise ValueError(
                say("the sales of {days} are there already, and what is in both would count twice", days=days)
            )
    said = say("sales of {since} to {until}", since=since.isoformat(), until=until.isoformat())
    if old is not None:
        new = replace(old, sold=sold, source=source or old.source)
        return None if new == old else Step(said, (put("sales", new, old),))
    ident = free_id(f"sales {since.isoformat()} {until.isoformat()}", book, past, fallback="sales")
    return Step(said, (put("sales", SalesPeriod(id=ident, since=since, until=until, sold=sold, source=source)),))


def read_sold(book: Book, text: str) -> tuple[Sold, ...]:
    """Drinks and counts of a text; a drink on two lines is added up. ValueError for a name that no drink has."""
    names: dict[str, str] = {}
    for serve in book.all(Serve).values():
        names[_plain(serve.name)] = serve.id
        names[serve.id.casefold()] = serve.id
    counts: dict[str, Decimal] = {}
    for n, line in enumerate(text.splitlines(), 1):
        if not line.strip():
            continue
        found = _LINE.match(line.strip())
        if found is None:
            raise ValueError(say("line {n}, “{line}”: write a drink and how many were sold", n=n, line=line.strip()))
        ident = names.get(_plain(found["name"]))
        if ident is None:
            raise ValueError(say("line {n}: no drink of the book is called “{name}”", n=n, name=found["name"]))
        count = parse_number(found["count"].strip())
        if count < 0:
            raise ValueError(say("line {n}: {count} cannot have been sold", n=n, count=count))
        counts[ident] = counts.get(ident, Decimal(0)) + count
    return tuple(Sold(serve=ident, count=count) for ident, count in counts.items())


def sold_text(book: Book, period: SalesPeriod | None) -> str:
    """The counts of a period as they can be typed again; without one every drink with nothing beside it."""
    serves = book.all(Serve)
    if period is None:
        return "\n".join(f"{serve.name} 0" for serve in serves.values())
    return "\n".join(f"{serves[s.serve].name} {s.count.normalize():f}" for s in period.sold if s.serve in serves)


def remove(book: Book, ident: str) -> Step:
    """Take a period out."""
    old = record_of(book, SalesPeriod, ident)
    said = say("remove the sales of {since} to {until}", since=old.since.isoformat(), until=old.until.isoformat())
    return Step(said, (Change("sales", ident, old, None),))


def _plain(text: str) -> str:
    return " ".join(text.casefold().split())
