"""The price book: one row a good, with the quote that costs it."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import get_args

from costing.book.book import Book
from costing.book.change import Step
from costing.book.records import Good, GoodKind, Quote
from costing.edits import goods, quotes
from costing.edits.quotes import pack_text
from costing.tables import allergen_list, allergen_lists
from costing.tongue import say
from ui.desk import Desk
from ui.document import Figures
from ui.fault import Refusal
from ui.models.table import Column
from ui.whys import UnitCost
from ui.words import good_kind_word


@dataclass(frozen=True, slots=True)
class GoodRow:
    """One good. ``quote`` costs it, or would; ``unit`` is money a base unit."""

    good: Good
    supplier: str
    quote: Quote | None
    unit: float | None
    stated: int
    listed: int

    @property
    def id(self) -> str:
        """Its id."""
        return self.good.id


def good_rows(figures: Figures) -> list[GoodRow]:
    """Every good of the book by name."""
    view, reckoning = figures.view, figures.reckoning
    house = figures.book.house
    known: list[frozenset[str]] = []
    if house is not None and house.allergen_list in allergen_lists():
        known = [frozenset((a.name.casefold(), a.code.casefold())) for a in allergen_list(house.allergen_list)]
    listed = len(known)
    out = []
    for good in sorted(view.goods.values(), key=lambda g: g.name.casefold()):
        price = reckoning.prices.get(good.id)
        quote = price.quote if price is not None else view.quote_of(good.id)
        supplier = view.suppliers.get(quote.supplier) if quote is not None else None
        out.append(
            GoodRow(
                good,
                supplier.name if supplier else "",
                quote,
                price.per_base if price is not None else None,
                sum(not names.isdisjoint(s.name.casefold() for s in good.allergens) for names in known)
                if good.allergens
                else 0,
                listed if good.layer == "materials" else 0,
            )
        )
    return out


def good_columns(desk: Desk, day: Callable[[], date], past: Callable[[], set[str]]) -> Sequence[Column[GoodRow]]:
    """What a row shows; name, kind, pack and price are typed in place. Every cell says why the good costs what it
    does, so that the pane beside it never keeps the one before."""
    form = desk.format

    def rename(book: Book, row: GoodRow, text: str) -> Step | None:
        return None if text == row.good.name else goods.rename(book, row.id, text)

    def kind(book: Book, row: GoodRow, text: str) -> Step | None:
        return goods.set_kind(book, row.id, kind_of(text))

    def price(book: Book, row: GoodRow, text: str) -> Step | None:
        return quotes.set_price(book, _quote(row).id, text, day(), past())

    def pack(book: Book, row: GoodRow, text: str) -> Step | None:
        return quotes.begin_pack(book, _quote(row).id, text, day(), past())

    return (
        Column[GoodRow]("name", say("Ingredient"), lambda r: r.good.name, write=rename, why=_why),
        Column[GoodRow]("price", say("Pack price"), lambda r: form.money(r.quote.price if r.quote else None), True,
                        lambda r: r.quote.price if r.quote else None, write=price,
                        edit_text=lambda r: str(r.quote.price) if r.quote else "", why=_why,
                        about=_from_the_day()),
        Column[GoodRow]("pack", say("Pack"), lambda r: pack_text(r.quote) if r.quote else "", write=pack, why=_why,
                        about=_from_the_day()),
        Column[GoodRow]("unit", say("Costs"), lambda r: form.unit_money(r.unit, r.good.base), True,
                        lambda r: r.unit, why=_why, about=say("Money a unit, as it lands, recovered tax left out")),
        Column[GoodRow]("supplier", say("Supplier"), lambda r: r.supplier, why=_why),
        Column[GoodRow]("since", say("Since"), lambda r: form.day(r.quote.since if r.quote else None),
                        sort=lambda r: r.quote.since if r.quote else None, why=_why),
        Column[GoodRow]("kind", say("Kind"), lambda r: good_kind_word(r.good.kind), write=kind, choices=kind_words,
                        why=_why),
        Column[GoodRow]("allergens", say("Allergens stated"),
                        lambda r: say("{n} of {listed}", n=r.stated, listed=r.listed) if r.listed else "", True,
                        lambda r: r.stated - r.listed, why=_why),
    )  # fmt: skip


def _from_the_day() -> str:
    return say("Typed here, it holds from the day looked at; what was before stays as history. The past is put right "
               "under Quotes")  # fmt: skip


def kind_words() -> list[str]:
    """The kinds of goods as people say them."""
    return [good_kind_word(kind) for kind in get_args(GoodKind)]


def kind_of(text: str) -> str:
    """The kind that a word means. Refusal for a word that means none."""
    wanted = text.strip().casefold()
    for kind in get_args(GoodKind):
        if wanted in (kind, good_kind_word(kind).casefold()):
            return str(kind)
    raise Refusal(
        say("“{text}” is not a kind of ingredient.", text=text) if wanted else say("What kind of thing is it?"),
        "",
        say("One of: {kinds}.", kinds=", ".join(kind_words())),
    )


def _quote(row: GoodRow) -> Quote:
    if row.quote is None:
        raise Refusal(
            say("{good} has no quote yet.", good=row.good.name),
            "",
            say("Add one under Quotes, with its pack and price."),
        )
    return row.quote


def _why(row: GoodRow) -> UnitCost:
    return UnitCost(row.id)
