"""A very small invented bar for the tests of buying: suppliers with terms, quotes, one drink."""

from datetime import date
from decimal import Decimal
from typing import Any

from costing.book.book import Book
from costing.book.fact import parse_fact
from costing.book.records import (
    Good,
    GoodKind,
    House,
    Input,
    Menu,
    MenuLine,
    MenuSection,
    Quote,
    Record,
    Serve,
    ServeVersion,
    Stage,
    Supplier,
    Terms,
)

DAY = date(2026, 3, 2)
D = Decimal


def house(*, recovers: bool = True, currency: str = "EUR") -> House:
    """The house."""
    terms = Terms(since=date(2020, 1, 1), recovers_tax=recovers)
    return House(id="house", name="Tidewall Bar", currency=currency, terms=(terms,))


def good(ident: str, kind: GoodKind = "spirit", base: Any = "l", makeup: str = "40 % vol", **more: Any) -> Good:
    """A good; spirits of 40 % unless told otherwise."""
    made = (("abv", parse_fact(makeup)),) if makeup else ()
    return Good(**{"id": ident, "name": ident, "kind": kind, "base": base, "makeup": made, **more})


def quote(ident: str, price: str, pack: str = "0.7 l", good: str = "rum", supplier: str = "quay", **more: Any) -> Quote:
    """A quote in force from the first day of 2026 on."""
    levels = more.pop("levels", ())
    values = {"currency": "EUR", "since": date(2026, 1, 1), **more}
    return Quote(
        id=ident, good=good, supplier=supplier, content=parse_fact(pack), price=D(price), levels=levels, **values
    )


def supplier(ident: str, **terms: Any) -> Supplier:
    """A supplier with terms."""
    return Supplier(id=ident, name=f"{ident.title()} Stores", **terms)


def serve(ident: str, *inputs: tuple[str, str]) -> Serve:
    """A drink of some inputs, built as they stand."""
    build = Stage(id="build", kind="build", adds=tuple(Input(source=s, amount=parse_fact(a)) for s, a in inputs))
    return Serve(id=ident, name=ident, versions=(ServeVersion(since=date(2020, 1, 1), build=build),))


def menu(*serves: str) -> Menu:
    """A menu without prices."""
    return Menu(id="bar", name="Bar", sections=(MenuSection(name="", lines=tuple(MenuLine(serve=s) for s in serves)),))


def book(*records: Record, recovers: bool = True, currency: str = "EUR") -> Book:
    """A book of the house and these records."""
    return Book.of([house(recovers=recovers, currency=currency), *records])
