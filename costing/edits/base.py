"""What edits share: finding a record, amending the version of a day or beginning a new one, and reasons why not."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any, TypeVar, cast

from costing.book.book import Book
from costing.book.change import Key
from costing.book.fact import NUMBER, Fact, parse_fact, value_of
from costing.book.records import (
    KIND_OF,
    BatchLog,
    Equipment,
    Good,
    Menu,
    Preparation,
    Quote,
    Record,
    Serve,
    ServeVersion,
    Stage,
    Version,
)
from costing.supply import PastedLine
from costing.tongue import say

R = TypeVar("R", bound=Record)
V = TypeVar("V", Version, ServeVersion)
SIGNS = {
    "€": frozenset({"EUR"}),
    "£": frozenset(["GBP", "EGP", "FKP", "GIP", "LBP", "SDG", "SHP", "SSP", "SYP"]),
    "¥": frozenset({"JPY", "CNY"}),
    "$": frozenset({
        "USD", "ARS", "AUD", "BBD", "BMD", "BND", "BSD", "BZD", "CAD", "CLP", "COP", "DOP", "FJD", "GYD",
        "HKD", "JMD", "KYD", "LRD", "MXN", "NAD", "NZD", "SBD", "SGD", "SRD", "TTD", "TWD", "UYU", "XCD",
    }),
}  # fmt: skip
"""The currencies that a sign may mean, from memory, and wide on purpose: a sign that no price of the house can carry is
another currency's."""
CURRENCY_SIGNS = "".join(SIGNS)


class Undecided(ValueError):
    """A typed component that does not say what goes in and how much of it; ``line`` has its doubts and candidates."""

    def __init__(self, line: PastedLine) -> None:
        super().__init__(line.text)
        self.line = line


class InUse(ValueError):
    """A record that others stand on cannot be removed; ``users`` are (kind, id) and ``names`` what they are called."""

    def __init__(self, name: str, users: Sequence[Key], names: Sequence[str]) -> None:
        super().__init__(say("{name} is used by {users}", name=name, users=", ".join(names)))
        self.name, self.users, self.names = name, tuple(users), tuple(names)


def record_of(book: Book, cls: type[R], ident: str) -> R:
    """The record. ValueError where the book has none of that id."""
    record = book.all(cls).get(ident)
    if record is None:
        kind = KIND_OF[cast("type[Record]", cls)]
        raise ValueError(say("there is no {kind} {id} in the book", kind=kind, id=ident))
    return record


def version_on(versions: Sequence[V], day: date) -> V:
    """The version in force on a day. ValueError before the first."""
    begun = [v for v in versions if v.since <= day]
    if not begun:
        first = min(v.since for v in versions).isoformat()
        raise ValueError(say("it is not made yet on {day}: it begins on {first}", day=day.isoformat(), first=first))
    return max(begun, key=lambda v: v.since)


def amended(versions: Sequence[V], day: date, change: Callable[[V], V], since: date | None = None) -> tuple[V, ...]:
    """The versions after a change to the one in force on ``day``; from ``since`` on where that is given, so that what
    was made before keeps its own. ValueError before the first version."""
    if since is None:
        old = version_on(versions, day)
        return tuple(change(v) if v is old else v for v in versions)
    old = version_on(versions, since)
    new: V = replace(change(old), since=since)
    others: list[V] = [v for v in versions if v.since != since]
    others.append(new)
    return tuple(sorted(others, key=_since))


def _since(version: Version | ServeVersion) -> date:
    return version.since


def currency_of(book: Book) -> str:
    """The code of the book's currency, "" where it has none yet."""
    return book.house.currency if book.house is not None else ""


def typed_price(text: str, currency: str) -> Decimal:
    """A sum of money of a currency as somebody types it: "12.50", "12,50", and in EUR "€ 12.5", "12.50 EUR". ValueError
    for one that can be read in two ways ("1,234", "1.234"), is none, or is in another currency."""
    work = text.strip()
    tail = work[-3:].upper()
    if tail.isascii() and tail.isalpha() and any(c.isdigit() for c in work):
        if tail != currency:
            raise ValueError(_foreign(text, currency))
        work = work[:-3].strip()
    if any(sign in work and currency not in known for sign, known in SIGNS.items()):
        raise ValueError(_foreign(text, currency))
    work = work.strip(CURRENCY_SIGNS + " \u00a0\u202f")
    whole, dot, decimals = work.partition(".")
    if dot and len(decimals) == 3 and (whole + decimals).isdigit() and whole.lstrip("0"):
        more, less = f"{whole}{decimals}", f"{whole}.{decimals}"
        raise ValueError(say("“{text}” may be {more} or {less}: write it without the point or with two decimals",
                             text=text, more=more, less=less))  # fmt: skip
    return typed_number(work, text)


def _foreign(text: str, currency: str) -> str:
    if not currency:
        return say("“{text}” names a currency, and the book has none yet: write the number alone", text=text)
    return say("“{text}” is not in {currency}, the currency of this price", text=text, currency=currency)


def typed_number(work: str, text: str = "") -> Decimal:
    """The number of a price or of a rate. ``text`` is what a fault names, if it is more than that."""
    text = text or work
    work = work.replace("\u00a0", "").replace("\u202f", "").strip()
    found = NUMBER.fullmatch(work)
    if found is None or found["plain"] is None:
        raise ValueError(
            say("“{text}” is not a price: write it like 12.50, without separators of thousands", text=text)
        )
    value = value_of(found, text)
    if not 0 <= value < Decimal("1e7"):
        raise ValueError(say("the price {text} must lie from 0 to below 10,000,000", text=text))
    return value


def typed_fact(text: str, before: Fact | None) -> Fact | None:
    """A fact as somebody types it: "" is none; the way it was measured and its note stay with a fact that stands."""
    if not text.strip():
        return None
    fact = parse_fact(text.strip())
    if before is None:
        return fact
    if before.text == fact.text:
        return before
    # A figure that is typed anew was not measured in the old way unless somebody says so again; its note stays.
    return replace(fact, note=before.note)


def with_fact(facts: Sequence[tuple[str, Fact]], name: str, fact: Fact | None) -> tuple[tuple[str, Fact], ...]:
    """Facts with one put in, put in place of the one of its name, or taken out."""
    if fact is None:
        return tuple(pair for pair in facts if pair[0] != name)
    if any(n == name for n, _ in facts):
        return tuple((n, fact if n == name else f) for n, f in facts)
    return (*facts, (name, fact))


def unused_name(name: str, taken: Sequence[str]) -> str:
    """A name tidied. ValueError where it is blank or somebody has it (but for case and spaces)."""
    called = " ".join(name.split())
    if not called:
        raise ValueError(say("a name is needed"))
    if called.casefold() in {" ".join(other.casefold().split()) for other in taken}:
        raise ValueError(say("the book has “{name}” already: choose another name", name=called))
    return called


@dataclass(frozen=True, slots=True)
class Use:
    """One record that stands on another: kind, id, what it is called, and where in it."""

    kind: str
    id: str
    name: str
    where: str = ""


def uses_of(book: Book, kind: str, ident: str) -> tuple[Use, ...]:
    """Every record that names this one, in any version, and menus, logs and machines too."""
    return tuple(dict.fromkeys(_uses(book, kind, ident)))


def _uses(book: Book, kind: str, ident: str) -> Iterator[Use]:
    if kind in ("good", "preparation"):
        yield from _inside(book, ident)
    if kind == "good":
        for machine in book.all(Equipment).values():
            if ident in (machine.hour, machine.energy):
                yield Use("equipment", machine.id, machine.name)
        if book.house is not None and book.house.labour == ident:
            yield Use("house", "house", book.house.name)
    if kind == "supplier":
        for quote in book.all(Quote).values():
            if quote.supplier == ident:
                good = book.all(Good).get(quote.good)
                yield Use("good", quote.good, good.name if good else quote.good)
        for other in book.all(Good).values():
            if other.preferred == ident:
                yield Use("good", other.id, other.name)
    if kind == "preparation":
        for log in book.all(BatchLog).values():
            if log.preparation == ident:
                yield _batch(book, log)
    if kind == "serve":
        for menu in book.all(Menu).values():
            if any(line.serve == ident for section in menu.sections for line in section.lines):
                yield Use("menu", menu.id, menu.name)
    if kind in ("technique", "glass"):
        for serve in book.all(Serve).values():
            if any(ident in (v.technique, v.glass) for v in serve.versions):
                yield Use("serve", serve.id, serve.name)
    if kind == "equipment":
        for made in book.all(Preparation).values():
            if any(stage.equipment == ident for v in made.versions for stage in v.stages):
                yield Use("preparation", made.id, made.name)


def _inside(book: Book, ident: str) -> Iterator[Use]:
    """Recipes that take a good or a preparation, or a by-product of it."""

    def taken(stage: Stage) -> bool:
        return stage.labour == ident or any(item.source.partition("/")[0] == ident for item in stage.adds)

    for made in book.all(Preparation).values():
        if made.id != ident and any(taken(stage) for v in made.versions for stage in v.stages):
            yield Use("preparation", made.id, made.name)
    for serve in book.all(Serve).values():
        if any(taken(v.build) for v in serve.versions):
            yield Use("serve", serve.id, serve.name)
    for log in book.all(BatchLog).values():
        recipe = book.all(Preparation).get(log.preparation)
        if recipe is not None and any(taken(stage) for v in recipe.versions for stage in v.stages):
            continue  # the recipe is named already
        if any(item.input.partition("/")[0] == ident for stage in log.stages for item in stage.added):
            yield _batch(book, log)


def _batch(book: Book, log: BatchLog) -> Use:
    made = book.all(Preparation).get(log.preparation)
    name = made.name if made is not None else log.preparation
    return Use("batch", log.id, say("{name}, batch of {day}", name=name, day=log.day.isoformat()))


def must_be_free(book: Book, kind: str, ident: str, name: str) -> None:
    """InUse where anything stands on the record."""
    users = uses_of(book, kind, ident)
    if users:
        raise InUse(name, [(u.kind, u.id) for u in users], [u.name for u in users])


def moved(items: Sequence[Any], at: int, by: int) -> tuple[Any, ...]:
    """Items with the one at ``at`` put ``by`` places further. ValueError where it is not there."""
    if not 0 <= at < len(items):
        raise ValueError(say("there is no line {n}", n=at + 1))
    rest = [*items[:at], *items[at + 1 :]]
    place = max(0, min(len(rest), at + by))
    return (*rest[:place], items[at], *rest[place:])
