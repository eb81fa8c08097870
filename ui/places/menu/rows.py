"""The whole menu in one table: a heading a section, a line a drink."""

from collections import deque
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from costing.book.book import Book
from costing.book.change import Step
from costing.book.levies import Policy
from costing.book.records import DatedPrice, Menu, MenuLine
from costing.edits import menus
from costing.edits.menus import LeftOut, Spot
from costing.pricing import PricedServe
from costing.tongue import say
from ui.desk import Desk
from ui.document import Figures
from ui.format import UNKNOWN, Format, isolate, own
from ui.models.table import Column
from ui.places.bar.rows import target_word
from ui.places.menu.newprices.keeping import bound_text, tick, write_least, write_most
from ui.range_why import RangeOf
from ui.ranges import InDoubt, in_doubt, range_tip
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
    printed: DatedPrice | None = None
    policy: Policy | None = None
    own_policy: str = ""
    made: bool = True
    """Whether the drink is made on the day."""
    doubt: InDoubt = InDoubt()
    """What the range of its cost crosses."""


def line_key(menu: Menu, spot: Spot) -> str:
    """The key of a line, or of a heading (``spot.line`` below 0). It names its menu; a line keeps it where lines and
    sections move. "" where nothing stands there."""
    if spot.line < 0:
        return f"{menu.id}/section {spot.section}"
    if spot.section >= len(menu.sections) or spot.line >= len(menu.sections[spot.section].lines):
        return ""
    before = [line for section in menu.sections[: spot.section] for line in section.lines]
    lines = menu.sections[spot.section].lines
    found = lines[spot.line]
    before += lines[: spot.line]
    same = sum(1 for other in before if (other.serve, other.id) == (found.serve, found.id))
    return f"{menu.id}/{found.serve}/{found.id}/{same}"


def menu_rows(figures: Figures, menu: Menu) -> list[MenuRow]:
    """Headings and lines in order. A drink that is not made on the day has no figures."""
    view = figures.view
    # One drink may stand twice in a section: its figures come in the order of its lines.
    by_place: dict[tuple[str, str], deque[PricedServe]] = {}
    for found in figures.priced:
        if found.menu == menu.id:
            by_place.setdefault((found.section, found.serve.id), deque()).append(found)
    out: list[MenuRow] = []
    for n, section in enumerate(menu.sections):
        out.append(
            MenuRow(
                line_key(menu, Spot(n, -1)),
                menu.id,
                Spot(n, -1),
                section.name,
                policy=section.policy or (view.terms.policy if view.terms else None),
                own_policy=menus.policy_text(section.policy),
            )
        )
        for m, line in enumerate(section.lines):
            waiting = by_place.get((section.name, line.serve))
            priced = waiting.popleft() if waiting else None
            printed = view.price_of(line)
            out.append(
                MenuRow(
                    line_key(menu, Spot(n, m)),
                    menu.id,
                    Spot(n, m),
                    section.name,
                    line,
                    priced,
                    printed,
                    priced.policy if priced else None,
                    menus.policy_text(line.policy),
                    line.serve in view.serves,
                    in_doubt(figures, priced),
                )
            )
    return out


def menu_columns(desk: Desk, since: Callable[[], date]) -> Sequence[Column[MenuRow]]:
    """What a line shows; price, target and bounds are typed into. ``since`` is the day that prices typed here hold
    from."""
    form, names = desk.format, desk.document

    def name(row: MenuRow) -> str:
        return drink_name(row, names.book)

    def write_name(book: Book, row: MenuRow, text: str) -> Step | None:
        if row.line is not None or text.strip() == row.section:
            return None
        return menus.rename_section(book, row.menu, row.spot.section, text)

    def write_price(book: Book, row: MenuRow, text: str) -> Step | None:
        if text.strip() == edit_price(row):
            return None
        return menus.set_price(book, row.menu, row.spot, text, since())

    def edit_price(row: MenuRow) -> str:
        return str(row.printed.price) if row.printed else ""

    def write_target(book: Book, row: MenuRow, text: str) -> Step | None:
        if text.strip() == row.own_policy:
            return None
        if row.line is None:
            return menus.set_section_target(book, row.menu, row.spot.section, text, row.policy)
        return menus.set_line_target(book, row.menu, row.spot, text, row.policy)

    def show_target(row: MenuRow) -> str:
        if row.policy is None:
            return ""
        aim = aim_text(row.policy, form)
        return aim if row.own_policy else say("({target})", target=aim)

    def figure(read: Callable[[PricedServe], str]) -> Callable[[MenuRow], str]:
        return lambda row: read(row.priced) if row.priced is not None else "" if row.line is None else UNKNOWN

    def cost(p: PricedServe) -> str:
        return form.least(form.money(p.base), p.cost.complete)

    def costed(row: MenuRow) -> str:
        return row.doubt.marked(figure(cost)(row))

    def cost_tip(row: MenuRow) -> str:
        return range_tip(desk.document.figures, row.priced, form)

    def pour(p: PricedServe) -> str:
        return form.least(form.percent(p.price.pour_cost if p.price else None), p.cost.complete)

    def margin(p: PricedServe) -> str:
        text = form.money(p.price.margin if p.price else None)
        return text if p.cost.complete or p.price is None else say("at most {figure}", figure=text)

    def suggestion(p: PricedServe) -> str:
        if p.suggestion is None:
            return UNKNOWN
        return form.money(p.suggestion.at.all_in) if menus.would_move(p) else say("stays")

    def lower(p: PricedServe) -> str:
        found = p.suggestion
        if found is None or found.lower is None or found.gives_away is None:
            return UNKNOWN
        return say("{price}, gives away {money}", price=form.money(found.lower.all_in),
                   money=form.money(found.gives_away))  # fmt: skip

    def standing(row: MenuRow) -> str:
        if row.line is None:
            return ""
        if not row.made:
            return say("not made on this day")
        if row.printed is None:
            return say("no price printed")
        return target_word(row.priced) if row.priced is not None else UNKNOWN

    def bound(price: Decimal | None) -> str:
        return form.money(price) if price is not None else ""

    def volume(p: PricedServe) -> str:
        same = p.price is not None and p.suggestion is not None and p.price.all_in == p.suggestion.at.all_in
        return UNKNOWN if p.move_volume is None or same else form.percent(p.move_volume)

    return (
        Column[MenuRow]("name", say("Drink"), name, write=write_name, editable=lambda r: r.line is None,
                        edit_text=lambda r: r.section, strong=lambda r: r.line is None,
                        depth=lambda r: 0 if r.line is None else 1),
        Column[MenuRow]("cost", say("Cost"), costed, True, why=_cost_why, tip=cost_tip,
                        about=say("Of one drink; a dot: its range crosses the target; a ring: it crosses a price "
                                  "point")),
        Column[MenuRow]("price", say("Price"),
                        lambda r: form.money(r.printed.price) if r.printed else "" if r.line is None else UNKNOWN, True,
                        why=_why,
                        write=write_price, edit_text=edit_price, editable=lambda r: r.line is not None,
                        about=say("The printed price, taxes and service in; typed here it holds from the day above")),
        Column[MenuRow]("net", say("Net"), figure(lambda p: form.money(p.price.net if p.price else None)), True,
                        why=_why, about=say("What the house keeps of the price, without taxes and service")),
        Column[MenuRow]("pour", say("Pour cost"),
                        figure(pour), True, why=_why,
                        about=say("Cost as a share of the net price")),
        Column[MenuRow]("margin", say("Margin"),
                        figure(margin), True, why=_why,
                        about=say("Net less cost, per drink")),
        Column[MenuRow]("aim", say("Target"), show_target, True, write=write_target,
                        edit_text=lambda r: r.own_policy, why=_why,
                        about=say("20 % is a pour cost, margin 9.50 money a drink, x 5 times the cost; in brackets: "
                                  "that of the section or the house")),
        Column[MenuRow]("target", say("Target is"), standing, why=_why,
                        strong=lambda r: r.priced is not None and r.priced.on_target is False),
        Column[MenuRow]("suggestion", say("Suggested"), figure(suggestion), True, why=_why,
                        about=say("The first price the house prints that meets the target")),
        Column[MenuRow]("lower", say("One step lower"), figure(lower), why=_why),
        Column[MenuRow]("volume", say("Breaks even at"), figure(volume), True, why=_why,
                        about=say("The change in drinks sold at which going to the suggestion leaves the same margin")),
        Column[MenuRow]("since", say("Price since"),
                        lambda r: form.day(r.printed.since if r.printed else None) if r.line is not None else "", True),
        Column[MenuRow]("held", say("Held"), lambda r: tick(r.line is not None and r.line.held),
                        about=say("A held price stays as it is when the whole menu is priced (Space)")),
        Column[MenuRow]("least", say("Lowest"), lambda r: bound(r.line.least if r.line else None), True,
                        write=lambda book, r, text: write_least(book, (r.menu, r.spot), text),
                        edit_text=lambda r: bound_text(r.line.least if r.line else None),
                        editable=lambda r: r.line is not None,
                        about=say("Pricing the whole menu goes no lower than this, taxes and service in")),
        Column[MenuRow]("most", say("Highest"), lambda r: bound(r.line.most if r.line else None), True,
                        write=lambda book, r, text: write_most(book, (r.menu, r.spot), text),
                        edit_text=lambda r: bound_text(r.line.most if r.line else None),
                        editable=lambda r: r.line is not None,
                        about=say("Pricing the whole menu goes no higher than this, taxes and service in")),
    )  # fmt: skip


def _cost_why(row: MenuRow) -> object | None:
    if row.line is None:
        return None
    return RangeOf(row.line.serve) if row.doubt else CostOfServe(row.line.serve)


def _why(row: MenuRow) -> object | None:
    return PriceOf(row.line.serve, row.menu, row.section) if row.line is not None else None


def aim_text(policy: Policy, form: Format) -> str:
    """A target as people say it."""
    if policy.kind == "pour_cost":
        return isolate(f"{form.number(100 * policy.value, 2, trim=True)} %")
    if policy.kind == "margin":
        return say("margin {money}", money=form.money(policy.value))
    return say("{n} times cost", n=form.number(policy.value, 2, trim=True))


def drink_name(row: MenuRow, book: Book) -> str:
    """What people call the drink of a line, or the heading."""
    found = book.get("serve", row.line.serve) if row.line is not None else None
    return str(getattr(found, "name", row.line.serve if row.line is not None else row.section))


def without_words(left: Sequence[LeftOut], names: Mapping[str, str]) -> str:
    """Which lines have no suggestion, and for want of which prices; "" for none."""
    if not left:
        return ""
    drinks = ", ".join(own(out.name) for out in left)
    lacking = ", ".join(own(names.get(good, good)) for good in sorted({g for out in left for g in out.unpriced}))
    if lacking:
        return say("Without a suggestion: {drinks}. Without a price: {goods}.", drinks=drinks, goods=lacking)
    return say("Without a suggestion: {drinks}.", drinks=drinks)
