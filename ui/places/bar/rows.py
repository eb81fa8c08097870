"""The list of drinks: one row a drink, its figures at its first place on a menu."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from costing.book.book import Book
from costing.book.change import Step
from costing.edits import serves
from costing.pricing import PricedServe
from costing.report.cards import balance_in_glass
from costing.tongue import say
from ui.desk import Desk
from ui.document import Figures
from ui.format import UNKNOWN, own
from ui.models.table import Column
from ui.places.bar.glass import InGlass
from ui.range_why import RangeOf
from ui.ranges import InDoubt, in_doubt, range_tip
from ui.whys import CostOfServe, PriceOf


@dataclass(frozen=True, slots=True)
class DrinkRow:
    """One drink."""

    id: str
    name: str
    places: str
    cost: float
    complete: bool
    abv: float | None
    first: PricedServe
    doubt: InDoubt = InDoubt()

    @property
    def margin(self) -> Decimal | None:
        """What its printed price leaves; None where part of its cost is not known, or no price is printed."""
        return self.first.price.margin if self.first.price is not None and self.complete else None


def drink_rows(figures: Figures) -> list[DrinkRow]:
    """Every drink of the day, once, in menu order, and what its range crosses, where that is known."""
    by_serve: dict[str, list[PricedServe]] = {}
    for priced in figures.priced:
        by_serve.setdefault(priced.serve.id, []).append(priced)
    out = []
    for ident, places in by_serve.items():
        glass = balance_in_glass(figures.reckoning, ident)
        first = places[0]
        out.append(
            DrinkRow(
                ident,
                first.serve.name,
                say(", ").join(p.section for p in places if p.section),
                first.base,
                first.cost.complete,
                glass.abv if glass is not None else None,
                first,
                in_doubt(figures, first),
            )
        )
    return out


def target_word(priced: PricedServe) -> str:
    """Whether a printed price meets its target, in a word."""
    if priced.on_target is None:
        return UNKNOWN
    return say("met") if priced.on_target else say("missed")


def drink_columns(desk: Desk) -> Sequence[Column[DrinkRow]]:
    """What the list shows of a drink."""
    form = desk.format

    def cost(row: DrinkRow) -> str:
        return row.doubt.marked(form.least(form.money(row.cost), row.complete))

    def cost_tip(row: DrinkRow) -> str:
        return range_tip(desk.document.figures, row.first, form)

    def places(row: DrinkRow) -> str:
        return own(row.places) if row.places else say("on none")

    def pour(row: DrinkRow) -> str:
        return form.least(form.percent(row.first.price.pour_cost if row.first.price else None), row.complete)

    def rename(book: Book, row: DrinkRow, text: str) -> Step | None:
        return None if text == row.name else serves.rename(book, row.id, text)

    return (
        Column[DrinkRow]("name", say("Drink"), lambda r: r.name, write=rename, why=_whole),
        Column[DrinkRow](
            "cost", say("Cost"), cost, True, lambda r: r.cost, tip=cost_tip, why=_costed,
            about=say("Of one drink, in the layers that pour cost stands on; a dot: its range crosses the target; a "
                      "ring: it crosses a price point"),
        ),
        Column[DrinkRow](
            "price", say("Price"), lambda r: form.money(r.first.price.all_in if r.first.price else None), True,
            lambda r: r.first.price.all_in if r.first.price else None, why=_priced,
        ),
        Column[DrinkRow](
            "pour", say("Pour cost"), pour, True,
            lambda r: r.first.price.pour_cost if r.first.price else None, why=_priced,
        ),
        Column[DrinkRow](
            "margin", say("Margin"), lambda r: form.money(r.margin), True, lambda r: r.margin, why=_priced,
        ),
        Column[DrinkRow](
            "target", say("Target"), lambda r: target_word(r.first), sort=lambda r: r.first.on_target is not False,
            why=_priced, strong=lambda r: r.first.on_target is False,
        ),
        Column[DrinkRow]("places", say("On the menu"), places, why=_priced),
        Column[DrinkRow]("abv", say("ABV"), lambda r: form.strength(r.abv), True, lambda r: r.abv,
                         why=lambda r: InGlass(r.id)),
    )  # fmt: skip


def _whole(row: DrinkRow) -> CostOfServe:
    return CostOfServe(row.id)


def _costed(row: DrinkRow) -> CostOfServe | RangeOf:
    return RangeOf(row.id) if row.doubt else CostOfServe(row.id)


def _priced(row: DrinkRow) -> PriceOf:
    return PriceOf(row.id, row.first.menu, row.first.section)
