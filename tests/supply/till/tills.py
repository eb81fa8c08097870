"""An invented bar with a till, and files of it in a few words."""

from datetime import date
from decimal import Decimal
from typing import Any

from costing.book import Book
from costing.book.levies import Levy
from costing.book.records import DatedPrice, House, Menu, MenuLine, MenuSection, Serve, Terms
from costing.book.selling import Button, ButtonPart, Left, LeftRows, RowFlag, SalesPeriod, Sold
from costing.supply.till.arrive import arrive_sales
from costing.supply.till.plan_record import SalesPlan, SalesSaid
from costing.supply.till.words import sales_doubt_text

START, TODAY = date(2026, 1, 1), date(2026, 11, 28)
SERVICE, VAT = Levy("Service", Decimal("0.05")), Levy("VAT", Decimal("0.19"), on="running")
SERVES = {
    "sour": ("Harbour Sour", "12.00"), "smoke": ("Smoke Sour", "14.00"), "long": ("Lantern Highball", "10.00"),
    "lager": ("Draught Lager", "6.00"), "shot": ("Extra Shot", "3.00"),
}  # fmt: skip


def bar(*buttons: Button, levies: tuple[Levy, ...] = (VAT,), more: tuple[Any, ...] = ()) -> Book:
    """Five drinks on one card, 19 % tax in their prices unless said."""
    lines = tuple(
        MenuLine(serve=ident, prices=(DatedPrice(since=START, price=Decimal(price)),))
        for ident, (_, price) in SERVES.items()
    )
    return Book.of([
        House(id="house", name="Quay Bar", currency="EUR", terms=(Terms(since=START, levies=levies),)),
        *(Serve(id=ident, name=name, versions=()) for ident, (name, _) in SERVES.items()),
        Menu(id="card", name="Card", sections=(MenuSection(name="Drinks", lines=lines),)),
        *buttons, *more,
    ])  # fmt: skip


def sells(text: str, *serves: str, code: str = "", sort: Any = "sale", shares: tuple[str, ...] = ()) -> Button:
    """A button of drinks, with their shares where they are said."""
    parts = tuple(
        ButtonPart(serve=serve, share=Decimal(shares[n]) if shares else None) for n, serve in enumerate(serves)
    )
    return Button(id=f"b {code} {text}", text=text, code=code, since=START, sort=sort, parts=parts)


def leaves(text: str, reason: Left, code: str = "") -> Button:
    """A button that is in no count."""
    return Button(id=f"b {code} {text}", text=text, code=code, since=START, sort="left", reason=reason)


USUAL = (
    sells("SOUR", "sour"), sells("LONG", "long"), sells("LAGER", "lager"), sells("SHOT", "shot"),
    sells("SMOKE IT", "smoke", sort="instead"), leaves("NO ICE", "modifier"), leaves("GIFT CARD", "money key"),
)  # fmt: skip


def plan(text: str, book: Book | None = None, name: str = "week.csv", **said: Any) -> SalesPlan:
    """The plan of a file, in a bar that knows the usual buttons unless another is given."""
    lines = "\n".join(line.strip() for line in text.strip().splitlines())
    return arrive_sales(lines.encode(), name, book or bar(*USUAL), TODAY, SalesSaid(**said))


def period(made: SalesPlan) -> SalesPeriod:
    """The one period of a plan of which nothing is asked."""
    assert [sales_doubt_text(one) for one in made.asked] == []
    (only,) = made.periods
    return only


def sold(made: SalesPlan, serve: str) -> Sold:
    """What is counted of a drink."""
    return next(one for one in period(made).sold if one.serve == serve)


def waits(made: SalesPlan | SalesPeriod) -> list[LeftRows]:
    """Rows that wait."""
    found = made if isinstance(made, SalesPeriod) else period(made)
    return [left for left in found.left if not left.reason]


def codes(doubts: Any) -> set[str]:
    """Codes of doubts."""
    return {one.code for one in doubts}


def flags(**meant: RowFlag) -> tuple[tuple[str, RowFlag], ...]:
    """Meanings of marks."""
    return tuple(meant.items())
