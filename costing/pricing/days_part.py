"""The part of a book that one cost can rest on, over all days; and the days on which something dated in it changes.

A small book reckons fast, and leaves the same cost: whatever a record of the whole book does to this one, it does by
being taken from, used or named.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date, timedelta
from typing import Literal

from costing.book.book import Book
from costing.book.buying import ExchangeRate
from costing.book.change import Key
from costing.book.records import Good, Menu, Preparation, Quote, Record, Serve, Stage
from costing.ledger.order import owner

Kind = Literal["serve", "preparation", "good"]
DAY = timedelta(days=1)


def kind_of_item(book: Book, item: str) -> Kind:
    """Whether an item is a serve, a preparation (or its by-product) or a good. KeyError where it is none of them."""
    if item in book.all(Serve):
        return "serve"
    made = book.all(Preparation).get(owner(item))
    kept = {b.id for v in made.versions for b in v.byproducts} if made else set()
    if made is not None and (item == made.id or item.partition("/")[2] in kept):
        return "preparation"
    if item in book.all(Good):
        return "good"
    raise KeyError(item)


def part_of(book: Book, item: str) -> Book:
    """Every record that the item's cost or printed price rests on, on any day. KeyError for an unknown item."""
    kind = kind_of_item(book, item)
    always = ("house", "supplier", "technique", "glass", "rate")
    kept: dict[Key, Record] = {key: record for key, record in book.records.items() if key[0] in always}
    goods: set[str] = {book.house.labour} if book.house else set()
    if kind == "serve":
        kept["serve", item] = book.all(Serve)[item]
        kept |= {("menu", menu.id): menu for menu in _menus(book, item)}
        todo = [s for v in book.all(Serve)[item].versions for s in _taken(book, kept, (v.build,))]
    else:
        todo = [item]
    seen: set[str] = set()
    while todo:
        source = todo.pop()
        goods.add(source)
        made = book.all(Preparation).get(owner(source))
        if made is None or made.id in seen:
            continue
        seen.add(made.id)
        kept["preparation", made.id] = made
        for version in made.versions:
            todo += _taken(book, kept, version.stages)
    for good in goods & book.all(Good).keys():
        kept["good", good] = book.all(Good)[good]
    kept |= {("quote", q.id): q for q in book.all(Quote).values() if q.good in goods}
    return Book(kept)


def _taken(book: Book, kept: dict[Key, Record], stages: Iterable[Stage]) -> Iterator[str]:
    """Every source that stages take, hours and energy too; their equipment is put into ``kept``."""
    for stage in stages:
        yield from (i.source for i in stage.adds)
        if stage.labour:
            yield stage.labour
        machine = book.get("equipment", stage.equipment)
        if machine is not None:
            kept["equipment", stage.equipment] = machine
            yield from (getattr(machine, "hour", ""), getattr(machine, "energy", ""))


def _menus(book: Book, serve: str) -> Iterator[Menu]:
    """The menus that a serve is ever on, without the other serves."""
    for menu in book.all(Menu).values():
        sections = tuple(replace(s, lines=tuple(x for x in s.lines if x.serve == serve)) for s in menu.sections)
        if any(s.lines for s in sections):
            yield replace(menu, sections=sections)


def change_days(part: Book) -> frozenset[date]:
    """Every day on which a quote, a rate, a version, terms, a menu or a printed price begins or has just ended."""
    house = part.house
    days = {t.since for t in house.terms} if house else set()
    days |= {rate.since for rate in part.all(ExchangeRate).values()}
    for quote in part.all(Quote).values():
        days |= {quote.since, *_after(quote.until)}
    for preparation in part.all(Preparation).values():
        days |= {v.since for v in preparation.versions}
    for serve in part.all(Serve).values():
        days |= {v.since for v in serve.versions}
    for menu in part.all(Menu).values():
        days |= {d for d in (menu.since, *_after(menu.until)) if d is not None}
        days |= {p.since for s in menu.sections for x in s.lines for p in x.prices}
    return frozenset(days)


def _after(until: date | None) -> tuple[date, ...]:
    return () if until is None or until == date.max else (until + DAY,)
