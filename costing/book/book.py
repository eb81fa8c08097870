"""The Book: every record of one house, immutable; and the View of it that holds on one day."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from types import MappingProxyType
from typing import Any, TypeVar, cast

from costing.book.buying import ExchangeRate
from costing.book.change import Change, Key
from costing.book.plain import kind_of
from costing.book.records import (
    KIND_OF,
    DatedPrice,
    Equipment,
    Good,
    House,
    Menu,
    MenuLine,
    Preparation,
    Quote,
    Record,
    Serve,
    ServeVersion,
    Supplier,
    Technique,
    Terms,
    Version,
)
from costing.book.units import UNITS, Dim, UnitDef, lookup

R = TypeVar("R")
T = TypeVar("T")
HOUSE: Key = ("house", "house")


class StaleChange(ValueError):
    """A change's ``before`` is not what the book holds."""

    def __init__(self, key: Key) -> None:
        super().__init__(f"{key[0]} {key[1]!r} is not as this edit found it")
        self.key = key


class Book:
    """Every record of one house by (kind, id). Never changed: ``with_changes`` gives another Book."""

    def __init__(self, records: Mapping[Key, Record] | None = None) -> None:
        self._records: Mapping[Key, Record] = MappingProxyType(dict(records or {}))

    @classmethod
    def of(cls, records: Iterable[Record]) -> "Book":
        """A Book of these records; ValueError when two share kind and id."""
        out: dict[Key, Record] = {}
        for record in records:
            key = kind_of(record), record.id
            if key in out:
                raise ValueError(f"two records are {key[0]} {key[1]!r}")
            out[key] = record
        return cls(out)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Book) and self._records == other._records

    __hash__ = None  # type: ignore[assignment]

    def __len__(self) -> int:
        return len(self._records)

    def get(self, kind: str, ident: str) -> Record | None:
        """The record, or None."""
        return self._records.get((kind, ident))

    @property
    def records(self) -> Mapping[Key, Record]:
        """Every record, read only."""
        return self._records

    def all(self, cls: type[R]) -> Mapping[str, R]:
        """The records of one class by id, sorted by id."""
        return cast(Mapping[str, R], self._by_kind.get(KIND_OF[cast("type[Record]", cls)], {}))

    @cached_property
    def _by_kind(self) -> dict[str, dict[str, Any]]:
        out: dict[str, dict[str, Any]] = {}
        for (kind, ident), record in sorted(self._records.items(), key=lambda item: item[0]):
            out.setdefault(kind, {})[ident] = record
        return out

    def once(self, work: "Callable[[Book], T]") -> T:
        """``work(self)``, done once and remembered: a Book never changes."""
        if work not in self._known:
            self._known[work] = work(self)
        return cast(T, self._known[work])

    @cached_property
    def _known(self) -> dict[Any, Any]:
        return {}

    @property
    def house(self) -> House | None:
        """The house record, or None in a book that has none yet."""
        return cast("House | None", self._records.get(HOUSE))

    def with_changes(self, changes: Iterable[Change]) -> "Book":
        """The book after these changes, in order. StaleChange when one does not start from what is here."""
        records = dict(self._records)
        for change in changes:
            if records.get(change.key) != change.before:
                raise StaleChange(change.key)
            if change.after is None:
                records.pop(change.key, None)
            else:
                records[change.key] = change.after
        return Book(records)

    def on(self, day: date) -> "View":
        """What holds on a day: the latest version of each record that has begun."""
        return View(self, day)


def _latest(versions: Iterable[Any], day: date) -> Any:
    begun = [v for v in versions if v.since <= day]
    return max(begun, key=lambda v: v.since) if begun else None


@dataclass(frozen=True)
class View:
    """A Book on one day. Ledger, pricing and reports take a View and know no dates."""

    book: Book
    day: date

    @cached_property
    def goods(self) -> Mapping[str, Good]:
        """Goods by id."""
        return self.book.all(Good)

    @cached_property
    def suppliers(self) -> Mapping[str, Supplier]:
        """Suppliers by id."""
        return self.book.all(Supplier)

    @cached_property
    def equipment(self) -> Mapping[str, Equipment]:
        """Equipment by id."""
        return self.book.all(Equipment)

    @cached_property
    def techniques(self) -> Mapping[str, Technique]:
        """Techniques by id."""
        return self.book.all(Technique)

    @cached_property
    def preparations(self) -> Mapping[str, tuple[Preparation, Version]]:
        """Preparations that have begun, each with the version of the day."""
        found = ((p, _latest(p.versions, self.day)) for p in self.book.all(Preparation).values())
        return {p.id: (p, v) for p, v in found if v is not None}

    @cached_property
    def serves(self) -> Mapping[str, tuple[Serve, ServeVersion]]:
        """Serves that have begun, each with the version of the day."""
        found = ((s, _latest(s.versions, self.day)) for s in self.book.all(Serve).values())
        return {s.id: (s, v) for s, v in found if v is not None}

    @cached_property
    def menus(self) -> Mapping[str, Menu]:
        """Menus in force on the day."""
        return {
            m.id: m
            for m in self.book.all(Menu).values()
            if (m.since is None or m.since <= self.day) and (m.until is None or self.day <= m.until)
        }

    @cached_property
    def terms(self) -> Terms | None:
        """The money rules of the day."""
        house = self.book.house
        return cast("Terms | None", _latest(house.terms, self.day)) if house else None

    @cached_property
    def quotes(self) -> Mapping[str, tuple[Quote, ...]]:
        """By good: every quote in force on the day, the latest of each supplier, newest first."""
        newest: dict[tuple[str, str], Quote] = {}
        for quote in self.book.all(Quote).values():
            if quote.since > self.day or (quote.until is not None and quote.until < self.day):
                continue
            key = quote.good, quote.supplier
            if key not in newest or (newest[key].since, newest[key].id) < (quote.since, quote.id):
                newest[key] = quote
        out: dict[str, list[Quote]] = {}
        for quote in newest.values():
            out.setdefault(quote.good, []).append(quote)
        return {g: tuple(sorted(q, key=lambda x: (x.since, x.id), reverse=True)) for g, q in out.items()}

    def offers(self, good: str) -> tuple[Quote, ...]:
        """The quotes for a good in the order they cost it: the preferred supplier's, then the latest first."""
        preferred = self.goods[good].preferred if good in self.goods else ""
        return tuple(sorted(self.quotes.get(good, ()), key=lambda q: q.supplier != preferred))

    def quote_of(self, good: str) -> Quote | None:
        """The first of ``offers``, or None."""
        return next(iter(self.offers(good)), None)

    @cached_property
    def rates(self) -> Mapping[str, ExchangeRate]:
        """The exchange rate of each foreign currency that holds on the day."""
        out: dict[str, ExchangeRate] = {}
        for rate in self.book.all(ExchangeRate).values():
            best = out.get(rate.currency)
            if rate.since <= self.day and (best is None or (best.since, best.id) < (rate.since, rate.id)):
                out[rate.currency] = rate
        return out

    @cached_property
    def measures(self) -> Mapping[str, UnitDef]:
        """The house's own measures, such as a dash, in litres, kilograms or pieces; they never replace a known unit."""
        out: dict[str, UnitDef] = {}
        for name, fact in self.book.house.measures if self.book.house else ():
            unit = lookup(fact.unit)
            known = unit is not None and unit.dim in (Dim.VOLUME, Dim.MASS, Dim.COUNT)
            if unit is not None and known and fact.value > 0 and name.lower() not in UNITS:
                out[name.lower()] = UnitDef(unit.dim, fact.value * unit.factor, assumed=fact.mark == "assumed")
        return out

    def price_of(self, line: MenuLine) -> DatedPrice | None:
        """The price printed for a menu line on the day."""
        return cast("DatedPrice | None", _latest(line.prices, self.day))
