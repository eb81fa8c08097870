"""Files as readers would give them, for books that are made here: lines in a few words."""

from datetime import date
from decimal import Decimal
from typing import Any

from costing.book import Book, parse_fact
from costing.book.levies import Levy, PricePoints
from costing.book.records import (
    AllergenStatement,
    DatedPrice,
    Good,
    House,
    Input,
    Menu,
    MenuLine,
    MenuSection,
    Quote,
    Serve,
    ServeVersion,
    Stage,
    Supplier,
    Terms,
)
from costing.book.selling import SalesPeriod, Sold
from costing.supply.arriving.line import Incoming, PriceLine
from costing.supply.packs.record import Pack, PackUnit

START, DAY, NEXT = date(2026, 1, 1), date(2026, 11, 28), date(2026, 12, 1)


def good(ident: str, name: str, kind: Any = "spirit", base: Any = "l", **more: Any) -> Good:
    """A good; spirits by the litre unless said."""
    if kind == "spirit" and "makeup" not in more:
        more["makeup"] = (("abv", parse_fact("40 % vol")),)
    return Good(id=ident, name=name, kind=kind, base=base, **more)


def quote(
    ident: str, of: str, price: str, *, levels: tuple[int, ...] = (6,), content: str = "0.7 l", **more: Any
) -> Quote:
    """What Ropewalk asks, six bottles of 0.7 l unless said."""
    given: dict[str, Any] = {"supplier": "ropewalk", "currency": "EUR", "since": START, "code": f"C-{of}"} | more
    return Quote(id=ident, good=of, price=Decimal(price), levels=levels, content=parse_fact(content), **given)


def book(**more: Any) -> Book:
    """A bar of two spirits, one fruit and one drink that sells at 10.00 with 20 % tax in it, target 20 %."""
    build = Stage(id="build", kind="build", adds=(Input(source="rum", amount=parse_fact("45 ml")),))
    records: list[Any] = [
        House(id="house", name="Quay Bar", currency="EUR", terms=(
            Terms(since=START, levies=(Levy("VAT", Decimal("0.20")),), points=PricePoints(Decimal("0.50"))),)),
        Supplier(id="ropewalk", name="Ropewalk Casks", tax="ex", tax_rate=Decimal("0.19"), names=("XH1",)),
        Supplier(id="quay", name="North Quay"),
        good("rum", "White rum"), good("gin", "Dry gin", allergens=(AllergenStatement(name="milk", state="free",
             who="AB", label="front"),)),
        good("lemon", "Lemons", "fruit", "kg"),
        quote("q-rum", "rum", "84.00", gtin="04006381333931"), quote("q-gin", "gin", "96.00"),
        quote("q-lemon", "lemon", "20.00", levels=(), content="10 kg"),
        Serve(id="short", name="Rum short", versions=(ServeVersion(since=START, build=build),)),
        Menu(id="card", name="Card", sections=(MenuSection(name="Short", lines=(
            MenuLine(serve="short", prices=(DatedPrice(since=START, price=Decimal("6.00")),)),)),)),
        SalesPeriod(id="nov", since=date(2026, 11, 1), until=date(2026, 11, 14),
                    sold=(Sold(serve="short", count=Decimal(140)),)),
    ]  # fmt: skip
    made = Book.of(records)
    return Book({**made.records, **{("supplier", "ropewalk"): more["supplier"]}}) if "supplier" in more else made


def pack(levels: tuple[int, ...] = (6,), content: str = "700", unit: PackUnit = "ml") -> Pack:
    """A pack that was read without doubt."""
    total = Decimal(content)
    for level in levels:
        total *= level
    return Pack(text="pack", levels=levels, content=Decimal(content), unit=unit, total=total)


def line(n: int, name: str, price: str | None, **more: Any) -> PriceLine:
    """A line that names a pack of six bottles of 0.7 l unless said."""
    given: dict[str, Any] = {"pack": pack(), "tax": "ex", "rate": Decimal("0.19")} | more
    raw = (("name", name), ("price", price or ""))
    return PriceLine(
        n=n, where=f"row {n}", raw=raw, name=name, price=None if price is None else Decimal(price), **given
    )


def incoming(*lines: PriceLine, **more: Any) -> Incoming:
    """A list of Ropewalk's."""
    given: dict[str, Any] = {
        "name": "list.csv", "digest": "d" * 64, "shape": "text", "kind": "list", "supplier": "Ropewalk Casks",
    } | more  # fmt: skip
    return Incoming(lines=lines, **given)
