"""The menu before and after: a line a drink, with what it may cost at the least and most."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from costing.book.book import Book, View
from costing.book.change import Step
from costing.menu.reprice_record import PriceRow, Repriced
from costing.menu.reprice_rows import MenuRows
from costing.menu.reprice_words import FAMILY_WORDS
from costing.report.words import series
from costing.tongue import say, word
from ui.desk import Desk
from ui.format import UNKNOWN, Format
from ui.models.table import Column, Index, Role, RowTable
from ui.places.menu.newprices.asking import Answer
from ui.places.menu.newprices.keeping import At, bound_text, spot_of_key, tick, write_least, write_most
from ui.theme import role_colour

NEW = ("new", "change", "pour-new", "margin", "volume", "stops")
"""Columns that say what was found; the others say what is."""
Why = Callable[["NewPriceRow"], object | None]


@dataclass(frozen=True, slots=True)
class NewPriceRow:
    """One line of a menu as it stands, and what was found for it (None: nothing yet). ``place`` are menu, section and
    serve; ``name`` says the menu too where several are priced."""

    row: PriceRow
    name: str
    place: tuple[str, str, str]
    found: Repriced | None = None
    met: bool = False

    @property
    def key(self) -> str:
        """What the line is called."""
        return self.row.key

    @property
    def moves(self) -> bool:
        """Whether its price changes."""
        return self.found is not None and bool(self.found.change)

    def at(self, book: Book) -> At:
        """Where it stands in a book. ValueError where it does no longer."""
        menu = book.get("menu", self.place[0])
        if menu is None:
            raise ValueError(say("this line is on no menu any more"))
        return self.place[0], spot_of_key(menu, self.key)  # type: ignore[arg-type]


def new_price_rows(rows: MenuRows, view: View, answer: Answer | None) -> list[NewPriceRow]:
    """The lines in menu order, with what was found for them where that is known."""
    found: Mapping[str, Repriced] = {}
    if answer is not None and answer.found is not None:
        found = {r.row.key: r for r in answer.found.rows}
    met = answer is not None and answer.found is not None and answer.found.met
    several = len({menu for menu, _, _ in rows.places.values()}) > 1
    out = []
    for row in {row.key: row for row in rows.rows}.values():  # a line that stands twice is said, and shown once
        place = rows.places[row.key]
        name = say("{serve} ({menu})", serve=row.name, menu=view.menus[place[0]].name) if several else row.name
        out.append(NewPriceRow(row, name, place, found.get(row.key), met))
    return out


def new_price_columns(desk: Desk, whys: Mapping[str, Why]) -> Sequence[Column[NewPriceRow]]:
    """Drink, held or not, sold, price now and new, pour cost now and then, margin, break-even, bounds, what stops it.
    ``whys`` are of "now" and "new"."""
    form = desk.format

    def least(book: Book, row: NewPriceRow, text: str) -> Step | None:
        return write_least(book, row.at(book), text)

    def most(book: Book, row: NewPriceRow, text: str) -> Step | None:
        return write_most(book, row.at(book), text)

    def new(figure: Callable[[Repriced], str]) -> Callable[[NewPriceRow], str]:
        return lambda row: figure(row.found) if row.found is not None else UNKNOWN

    def pour(row: PriceRow, share: Decimal | None) -> str:
        return form.least(form.percent(share), row.complete)

    def change(found: Repriced) -> str:
        return form.signed(found.change) if found.change else UNKNOWN

    def sorted_new(figure: Callable[[Repriced], Any]) -> Callable[[NewPriceRow], Any]:
        return lambda row: figure(row.found) if row.found is not None else None

    now, then = whys["now"], whys["new"]
    return (
        Column[NewPriceRow]("name", say("Drink"), lambda r: r.name, strong=lambda r: r.moves),
        Column[NewPriceRow]("held", say("Held"), lambda r: tick(r.row.held), sort=lambda r: not r.row.held,
                            about=say("A held price stays as it is (Space)")),
        Column[NewPriceRow]("sold", say("Sold"), lambda r: form.number(r.row.sold, 1, trim=True), True,
                            lambda r: r.row.sold, about=say("In the sales that are looked at")),
        Column[NewPriceRow]("price", say("Price"), lambda r: form.money(r.row.price), True, lambda r: r.row.price,
                            why=now, about=say("The printed price, taxes and service in")),
        Column[NewPriceRow]("new", say("New price"), new(lambda f: form.money(f.new.all_in)), True,
                            sorted_new(lambda f: f.new.all_in), why=then, strong=lambda r: r.moves),
        Column[NewPriceRow]("change", say("Change"), new(change), True, sorted_new(lambda f: f.change), why=then,
                            strong=lambda r: r.moves),
        Column[NewPriceRow]("pour", say("Pour cost"), lambda r: pour(r.row, r.row.at(r.row.price).pour_cost), True,
                            lambda r: r.row.at(r.row.price).pour_cost, why=now,
                            about=say("Cost as a share of the net price, at the price now")),
        Column[NewPriceRow]("pour-new", say("then"), new(lambda f: pour(f.row, f.new.pour_cost)), True,
                            sorted_new(lambda f: f.new.pour_cost), why=then, strong=lambda r: r.moves,
                            about=say("Pour cost at the new price")),
        Column[NewPriceRow]("margin", say("Margin"), new(lambda f: margin_text(f.row, f.new.margin, form)), True,
                            sorted_new(lambda f: f.new.margin), why=then, strong=lambda r: r.moves,
                            about=say("Net less cost, per drink, at the new price")),
        Column[NewPriceRow]("volume", say("May lose"), new(lambda f: volume_text(f, form, bare=True)), True,
                            sorted_new(lambda f: f.volume), why=then,
                            about=say("How much of its sales a drink may lose before its new price earns less than "
                                      "the old one")),
        Column[NewPriceRow]("least", say("Lowest"), lambda r: _bound(r.row.least, form), True, lambda r: r.row.least,
                            write=least, edit_text=lambda r: bound_text(r.row.least),
                            about=say("No lower than this, taxes and service in; typed here")),
        Column[NewPriceRow]("most", say("Highest"), lambda r: _bound(r.row.most, form), True, lambda r: r.row.most,
                            write=most, edit_text=lambda r: bound_text(r.row.most),
                            about=say("No higher than this, taxes and service in; typed here")),
        Column[NewPriceRow]("stops", say("Stopped by"), stops_text, why=then,
                            about=say("What keeps the price from its next price point up")),
    )  # fmt: skip


def _bound(price: Decimal | None, form: Format) -> str:
    return "" if price is None else form.money(price)


def margin_text(row: PriceRow, margin: Decimal, form: Format) -> str:
    """A margin, which is at most that where the cost is at least what it is."""
    text = form.money(margin)
    return text if row.complete else say("at most {figure}", figure=text)


def volume_text(found: Repriced, form: Format, *, bare: bool = False) -> str:
    """How much less may be sold, or how much more must be, for the new price to earn as much as the old one; ``bare``:
    under a heading that says "may lose"."""
    if found.volume is None:
        return UNKNOWN
    share = form.least(form.percent(abs(found.volume)), found.row.complete)
    if bare and found.volume <= 0:
        return share
    return say("may lose {share}", share=share) if found.volume <= 0 else say("must gain {share}", share=share)


def stops_text(row: NewPriceRow) -> str:
    """What keeps a price from going higher, where that is asked: it changes, or the aim is not met."""
    found = row.found
    if found is None or not (row.moves or not row.met):
        return ""
    return series(word(FAMILY_WORDS, family) for family in sorted(found.stopped))


class NewPriceTable(RowTable[NewPriceRow]):
    """The lines; what was found is faint while it is of before."""

    stale = False

    def set_stale(self, stale: bool) -> None:
        """Whether what was found is of before."""
        if stale != self.stale:
            self.stale = stale
            if self.rowCount():
                self.dataChanged.emit(self.index(0, 0), self.index(self.rowCount() - 1, len(self.columns) - 1))

    def data(self, index: Index, role: int = Role.DisplayRole) -> Any:
        """As the table has it."""
        if role == Role.ForegroundRole and self.stale and self.columns[index.column()].key in NEW:
            return role_colour("faint")
        return super().data(index, role)
