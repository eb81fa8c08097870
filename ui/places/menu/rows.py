"""The whole menu in one table: a heading a section, a line a drink."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

from costing.book.book import Book
from costing.book.change import Step
from costing.book.records import Menu, MenuLine
from costing.edits import menus
from costing.edits.menus import Spot
from costing.pricing import PricedServe
from costing.tongue import say
from ui.desk import Desk
from ui.document import Figures
from ui.format import UNKNOWN, own
from ui.models.table import Column
from ui.places.bar.rows import target_word
from ui.whys import CostOfServe, PriceOf


@dataclass(frozen=True, slots=True)
class MenuRow:
    """One line of a menu, or the heading of a section (``line`` None)."""

    key: str
    menu: str
    spot: Spot
    section: str
    line: MenuLine | None = None
    priced: PricedServe | None = None
    since: date | None = None
    policy: str = ""
    own_policy: str = ""


def menu_rows(figures: Figures, menu: Menu) -> list[MenuRow]:
    """Headings and lines in order. A drink that is not made on the day has no figures."""
    view = figures.view
    by_place = {(p.menu, p.section, p.serve.id): p for p in figures.priced}
    out: list[MenuRow] = []
    for n, section in enumerate(menu.sections):
        out.append(
            MenuRow(f"section {n}", menu.id, Spot(n, -1), section.name, own_policy=menus.policy_text(section.policy))
        )
        for m, line in enumerate(section.lines):
            priced = by_place.get((menu.id, section.name, line.serve))
            printed = view.price_of(line)
            out.append(
                MenuRow(
                    f"{line.serve} {n} {line.id}",
                    menu.id,
                    Spot(n, m),
                    section.name,
                    line,
                    priced,
                    printed.since if printed else None,
                    menus.policy_text(priced.policy) if priced else "",
                    menus.policy_text(line.policy),
                )
            )
    return out


def menu_columns(desk: Desk, since: Callable[[], date]) -> Sequence[Column[MenuRow]]:
    """What a line shows; price and target are typed into. ``since`` is the day that prices typed here hold from."""
    form, names = desk.format, desk.document

    def name(row: MenuRow) -> str:
        if row.line is None:
            return row.section
        found = names.book.get("serve", row.line.serve)
        return "\u2003" + str(getattr(found, "name", row.line.serve))

    def write_name(book: Book, row: MenuRow, text: str) -> Step | None:
        if row.line is not None or text.strip() == row.section:
            return None
        return menus.rename_section(book, row.menu, row.spot.section, text)

    def write_price(book: Book, row: MenuRow, text: str) -> Step | None:
        if text.strip() == edit_price(row):
            return None
        return menus.set_price(book, row.menu, row.spot, text, since())

    def edit_price(row: MenuRow) -> str:
        return str(row.priced.price.all_in) if row.priced and row.priced.price else ""

    def write_target(book: Book, row: MenuRow, text: str) -> Step | None:
        if text.strip() == row.own_policy:
            return None
        if row.line is None:
            return menus.set_section_target(book, row.menu, row.spot.section, text)
        return menus.set_line_target(book, row.menu, row.spot, text)

    def show_target(row: MenuRow) -> str:
        if row.line is None:
            return row.own_policy
        return row.policy if row.own_policy else say("({target})", target=row.policy) if row.policy else ""

    def figure(read: Callable[[PricedServe], str]) -> Callable[[MenuRow], str]:
        return lambda row: read(row.priced) if row.priced is not None else "" if row.line is None else UNKNOWN

    def cost(p: PricedServe) -> str:
        return form.money(p.base) if p.cost.complete else say("at least {figure}", figure=form.money(p.base))

    def suggestion(p: PricedServe) -> str:
        if p.suggestion is None:
            return UNKNOWN
        same = p.price is not None and p.price.all_in == p.suggestion.at.all_in
        return say("stays") if same else form.money(p.suggestion.at.all_in)

    def lower(p: PricedServe) -> str:
        found = p.suggestion
        if found is None or found.lower is None or found.gives_away is None:
            return UNKNOWN
        return say("{price}, gives away {money}", price=form.money(found.lower.all_in),
                   money=form.money(found.gives_away))  # fmt: skip

    def volume(p: PricedServe) -> str:
        same = p.price is not None and p.suggestion is not None and p.price.all_in == p.suggestion.at.all_in
        return UNKNOWN if p.move_volume is None or same else form.percent(p.move_volume)

    return (
        Column[MenuRow]("name", say("Drink"), name, write=write_name, editable=lambda r: r.line is None,
                        edit_text=lambda r: r.section, strong=lambda r: r.line is None),
        Column[MenuRow]("cost", say("Cost"), figure(cost), True, why=_cost_why),
        Column[MenuRow]("price", say("Price"),
                        figure(lambda p: form.money(p.price.all_in if p.price else None)), True, why=_why,
                        write=write_price, edit_text=edit_price, editable=lambda r: r.line is not None,
                        about=say("The printed price, taxes and service in; typed here it holds from the day above")),
        Column[MenuRow]("since", say("Since"), lambda r: form.day(r.since) if r.line is not None else ""),
        Column[MenuRow]("net", say("Net"), figure(lambda p: form.money(p.price.net if p.price else None)), True,
                        why=_why, about=say("What the house keeps of the price, without taxes and service")),
        Column[MenuRow]("pour", say("Pour cost"),
                        figure(lambda p: form.percent(p.price.pour_cost if p.price else None)), True, why=_why,
                        about=say("Cost as a share of the net price")),
        Column[MenuRow]("margin", say("Margin"),
                        figure(lambda p: form.money(p.price.margin if p.price else None)), True, why=_why,
                        about=say("Net less cost, per drink")),
        Column[MenuRow]("aim", say("Target"), show_target, True, write=write_target,
                        edit_text=lambda r: r.own_policy, why=_why,
                        about=say("20 % is a pour cost, 9.50 a margin, x 5 times the cost; in brackets: that of the "
                                  "section or the house")),
        Column[MenuRow]("target", say("Is it"), figure(target_word), why=_why,
                        strong=lambda r: r.priced is not None and r.priced.on_target is False),
        Column[MenuRow]("suggestion", say("Suggested"), figure(suggestion), True, why=_why,
                        about=say("The first price the house prints that meets the target")),
        Column[MenuRow]("lower", say("One step lower"), figure(lower), why=_why),
        Column[MenuRow]("volume", say("Breaks even at"), figure(volume), True, why=_why,
                        about=say("The change in drinks sold at which going to the suggestion leaves the same margin")),
    )  # fmt: skip


def _cost_why(row: MenuRow) -> object | None:
    return CostOfServe(row.line.serve) if row.line is not None else None


def _why(row: MenuRow) -> object | None:
    return PriceOf(row.line.serve, row.menu, row.section) if row.line is not None else None


def drink_name(row: MenuRow, figures: Figures) -> str:
    """What people call the drink of a line, set off for a sentence."""
    found = figures.book.get("serve", row.line.serve) if row.line is not None else None
    return own(str(getattr(found, "name", row.section)))
