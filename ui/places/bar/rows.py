"""The list of drinks: one row a drink, its figures at its first place on a menu."""

from collections.abc import Sequence
from dataclasses import dataclass

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


def drink_rows(figures: Figures) -> list[DrinkRow]:
    """Every drink of the day, once, in menu order."""
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
        return form.money(row.cost) if row.complete else say("at least {figure}", figure=form.money(row.cost))

    def rename(book: Book, row: DrinkRow, text: str) -> Step | None:
        return None if text == row.name else serves.rename(book, row.id, text)

    return (
        Column[DrinkRow]("name", say("Drink"), lambda r: r.name, write=rename),
        Column[DrinkRow](
            "cost", say("Cost"), cost, True, lambda r: r.cost, why=lambda r: CostOfServe(r.id),
            about=say("What one drink costs in the layers that pour cost stands on"),
        ),
        Column[DrinkRow](
            "price", say("Price"), lambda r: form.money(r.first.price.all_in if r.first.price else None), True,
            lambda r: r.first.price.all_in if r.first.price else None, why=_priced,
        ),
        Column[DrinkRow](
            "pour", say("Pour cost"), lambda r: form.percent(r.first.price.pour_cost if r.first.price else None), True,
            lambda r: r.first.price.pour_cost if r.first.price else None, why=_priced,
        ),
        Column[DrinkRow](
            "margin", say("Margin"), lambda r: form.money(r.first.price.margin if r.first.price else None), True,
            lambda r: r.first.price.margin if r.first.price else None, why=_priced,
        ),
        Column[DrinkRow](
            "target", say("Target"), lambda r: target_word(r.first), sort=lambda r: r.first.on_target is not False,
            why=_priced, strong=lambda r: r.first.on_target is False,
        ),
        Column[DrinkRow]("places", say("On the menu"), lambda r: own(r.places) if r.places else say("on none")),
        Column[DrinkRow]("abv", say("ABV"), lambda r: form.strength(r.abv), True, lambda r: r.abv),
    )  # fmt: skip


def _priced(row: DrinkRow) -> PriceOf:
    return PriceOf(row.id, row.first.menu, row.first.section)
