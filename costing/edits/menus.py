"""Edits of menus: sections, lines, dated prices, targets, and suggestions taken over."""

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal, InvalidOperation

from costing.book.book import Book
from costing.book.change import Change, Step, put
from costing.book.levies import Policy, PolicyKind
from costing.book.money import digits
from costing.book.records import DatedPrice, Menu, MenuLine, MenuSection, Serve
from costing.edits.base import currency_of, moved, record_of, typed_price, unused_name
from costing.pricing import PricedServe
from costing.supply.ids import free_id
from costing.tongue import say, say_many


@dataclass(frozen=True, slots=True)
class Spot:
    """A line of a menu: which section and which line in it, both from 0."""

    section: int
    line: int


def spot_of(menu: Menu, serve: str, section: str | None = None, ident: str = "") -> Spot:
    """Where a serve stands on a menu; the first place unless the section or the line's id says which. ValueError where
    it does not."""
    for n, part in enumerate(menu.sections):
        for m, line in enumerate(part.lines):
            if line.serve == serve and section in (None, part.name) and (not ident or line.id == ident):
                return Spot(n, m)
    raise ValueError(say("{serve} is not on {menu}", serve=serve, menu=menu.name))


def line_at(menu: Menu, spot: Spot) -> MenuLine:
    """The line at a spot. ValueError where there is none."""
    if not (0 <= spot.section < len(menu.sections) and 0 <= spot.line < len(menu.sections[spot.section].lines)):
        raise ValueError(say("there is no such line on {menu}", menu=menu.name))
    return menu.sections[spot.section].lines[spot.line]


def _with_line(menu: Menu, spot: Spot, change: Callable[[MenuLine], MenuLine]) -> Menu:
    old = line_at(menu, spot)
    section = menu.sections[spot.section]
    lines = tuple(change(old) if n == spot.line else line for n, line in enumerate(section.lines))
    return _with_section(menu, spot.section, lambda s: replace(s, lines=lines))


def _with_section(menu: Menu, at: int, change: Callable[[MenuSection], MenuSection]) -> Menu:
    if not 0 <= at < len(menu.sections):
        raise ValueError(say("there is no section {n} on {menu}", n=at + 1, menu=menu.name))
    return replace(menu, sections=tuple(change(s) if n == at else s for n, s in enumerate(menu.sections)))


def priced(line: MenuLine, price: Decimal | None, since: date) -> MenuLine:
    """A line with a price from a day on, in place of one that begins that day; None takes that entry away."""
    others = [p for p in line.prices if p.since != since]
    new = [] if price is None else [DatedPrice(since=since, price=price)]
    return replace(line, prices=tuple(sorted([*others, *new], key=lambda p: p.since)))


def printable(book: Book, text: str) -> Decimal:
    """A price as typed. ValueError also for one with more decimals than the house's money has: "1.234" was hardly meant
    as a price, and may be a thousand of them."""
    price = typed_price(text, currency_of(book))
    try:
        places = digits(book.house.currency) if book.house is not None else 2
    except ValueError:
        places = 2
    if price != round(price, places):
        raise ValueError(
            say("“{text}” is not a price that can be printed: it has at most {n} decimals", text=text, n=places)
        )
    return price


def set_price(book: Book, menu: str, spot: Spot, text: str, since: date) -> Step:
    """A printed price as typed, all taxes and service in, from ``since`` on. "" takes back the price that begins that
    day. ValueError for a text that is no price, and where there is none to take back."""
    record = record_of(book, Menu, menu)
    line = line_at(record, spot)
    price = printable(book, text) if text.strip() else None
    if price is None and not any(p.since == since for p in line.prices):
        raise ValueError(say("no price begins on {day}, so there is none to take back", day=since.isoformat()))
    after = _with_line(record, spot, lambda old: priced(old, price, since))
    name = _name(book, line.serve)
    said = (
        say("price of {serve}: {price} from {day}", serve=name, price=price, day=since.isoformat())
        if price is not None
        else say("take back the price of {serve} from {day}", serve=name, day=since.isoformat())
    )
    return Step(said, (put("menu", after, record),))


def typed_policy(text: str, currency: str, before: Policy | None = None) -> Policy | None:
    """A target as typed: "20 %" is a pour cost, "margin 9.50" money a drink, "x 5" so many times the cost; "" is none
    of its own. A bare number is a margin where ``before``, the target so far, is one or is none. ValueError for
    anything else."""
    work = text.strip().casefold().replace("×", "x").replace(",", ".")
    if not work:
        return None
    try:
        if work.endswith("%"):
            return _policy("pour_cost", Decimal(work.rstrip("% ")) / 100, text)
        if work.startswith("x") or work.endswith("x"):
            return _policy("multiplier", Decimal(work.strip("x ")), text)
    except InvalidOperation:
        raise ValueError(_no_target(text)) from None
    word = next((w for w in (say("margin {money}", money="").strip(), "margin") if w.casefold() in work), "")
    money = re.sub(re.escape(word), "", text, flags=re.IGNORECASE).strip() if word else text.strip()
    if not word and before is not None and before.kind != "margin" and any(c.isdigit() for c in money):
        raise ValueError(say("“{text}” may be a pour cost or a margin: write {text} % or margin {text}", text=money))
    if not any(c.isdigit() for c in money):
        raise ValueError(_no_target(text))
    return _policy("margin", typed_price(money, currency), text)


def _no_target(text: str) -> str:
    return say("“{text}” is not a target: write a pour cost (20 %), a margin (margin 9.50) or x 5", text=text)


def _policy(kind: PolicyKind, value: Decimal, text: str) -> Policy:
    try:
        return Policy(kind, value)
    except (ValueError, InvalidOperation):  # the latter from what is not a number at all
        if kind == "pour_cost":
            said = say("a pour cost of {text} must lie above 0 and at most 100 %", text=text.strip())
        else:
            said = say("a target of {text} must lie above 0 and at most 1,000,000", text=text.strip())
        raise ValueError(said) from None


def policy_text(policy: Policy | None) -> str:
    """A target as it would be typed."""
    if policy is None:
        return ""
    value = f"{(policy.value * 100 if policy.kind == 'pour_cost' else policy.value).normalize():f}"
    if policy.kind == "margin":
        return say("margin {money}", money=value)
    return f"{value} %" if policy.kind == "pour_cost" else f"x {value}"


def set_line_target(book: Book, menu: str, spot: Spot, text: str, before: Policy | None = None) -> Step:
    """The target of one line; "" goes by that of its section or the house. ``before`` is what it has been so far."""
    record = record_of(book, Menu, menu)
    policy = typed_policy(text, currency_of(book), before)
    name = _name(book, line_at(record, spot).serve)
    after = _with_line(record, spot, lambda old: replace(old, policy=policy))
    return Step(say("target of {serve}: {target}", serve=name, target=policy_text(policy) or say("as its section")),
                (put("menu", after, record),))  # fmt: skip


def set_section_target(book: Book, menu: str, at: int, text: str, before: Policy | None = None) -> Step:
    """The target of a section; "" goes by that of the house. ``before`` is what it has been so far."""
    record = record_of(book, Menu, menu)
    policy = typed_policy(text, currency_of(book), before)
    after = _with_section(record, at, lambda old: replace(old, policy=policy))
    name, target = record.sections[at].name, policy_text(policy) or say("as the house")
    return Step(say("target of {section}: {target}", section=name, target=target), (put("menu", after, record),))


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A line that has no suggestion to take over: the drink, and the goods whose price is not known, by id."""

    name: str
    unpriced: tuple[str, ...]


def would_move(drink: PricedServe) -> bool:
    """Whether the suggested price is there and another than the printed one."""
    found = drink.suggestion
    return found is not None and (drink.price is None or drink.price.all_in != found.at.all_in)


def with_moves(said: str, moving: Sequence[PricedServe]) -> str:
    """A sentence with how many prices rise and how many fall, where any was printed before."""
    moves = [(p.suggestion.at.all_in, p.price.all_in) for p in moving if p.suggestion and p.price]
    up = sum(new > old for new, old in moves)
    return say("{what}, {up} up and {down} down", what=said, up=up, down=len(moves) - up) if moves else said


def apply_suggestions(
    book: Book, menu: str, chosen: Sequence[tuple[Spot, PricedServe]], since: date
) -> tuple[Step | None, tuple[LeftOut, ...]]:
    """The suggested prices of lines as one step, from ``since`` on, and the lines that have no suggestion. Prices that
    are the suggested ones already are left alone; None where nothing is left to change."""
    record = record_of(book, Menu, menu)
    after, moving = record, list[PricedServe]()
    left: list[LeftOut] = []
    for spot, drink in chosen:
        if drink.suggestion is None:
            left.append(LeftOut(drink.serve.name, tuple(sorted(drink.cost.unpriced))))
        elif would_move(drink):
            price = drink.suggestion.at.all_in
            after = _with_line(after, spot, lambda old, price=price: priced(old, price, since))  # type: ignore[misc]
            moving.append(drink)
    if after == record:
        return None, tuple(left)
    said = say_many("suggested price of {n} drink from {day}", "suggested prices of {n} drinks from {day}", len(moving),
                    day=since.isoformat())  # fmt: skip
    said = with_moves(said, moving)
    return Step(said, (put("menu", after, record),)), tuple(left)


def add_serve(book: Book, menu: str, at: int, serve: str) -> Step:
    """A drink at the end of a section, without a price yet. ValueError where it stands there already."""
    record = record_of(book, Menu, menu)
    drink = record_of(book, Serve, serve)
    if not 0 <= at < len(record.sections):
        raise ValueError(say("add a section to {menu} first", menu=record.name))
    if any(line.serve == serve for line in record.sections[at].lines):
        raise ValueError(say("{serve} is in {section} already", serve=drink.name, section=record.sections[at].name))
    after = _with_section(record, at, lambda s: replace(s, lines=(*s.lines, MenuLine(serve=serve))))
    return Step(say("put {serve} on {menu}", serve=drink.name, menu=record.name), (put("menu", after, record),))


def remove_line(book: Book, menu: str, spot: Spot) -> Step:
    """Take a drink off a menu, its dated prices with it."""
    record = record_of(book, Menu, menu)
    name = _name(book, line_at(record, spot).serve)
    after = _with_section(
        record, spot.section, lambda s: replace(s, lines=(*s.lines[: spot.line], *s.lines[spot.line + 1 :]))
    )
    return Step(say("take {serve} off {menu}", serve=name, menu=record.name), (put("menu", after, record),))


def remove_lines(book: Book, menu: str, spots: Sequence[Spot]) -> Step:
    """Take several drinks off a menu as one step, their dated prices with them. ValueError for no spot."""
    if len(spots) == 1:
        return remove_line(book, menu, spots[0])
    record = after = record_of(book, Menu, menu)
    for spot in sorted(set(spots), key=lambda s: (s.section, s.line), reverse=True):
        line_at(after, spot)
        after = _with_section(
            after,
            spot.section,
            lambda s, n=spot.line: replace(s, lines=(*s.lines[:n], *s.lines[n + 1 :])),  # type: ignore[misc]
        )
    if after == record:
        raise ValueError(say("no line of {menu} is chosen", menu=record.name))
    said = say_many("take {n} drink off {menu}", "take {n} drinks off {menu}", len(set(spots)), menu=record.name)
    return Step(said, (put("menu", after, record),))


def move_line(book: Book, menu: str, spot: Spot, by: int) -> tuple[Step, Spot]:
    """A line further up or down, into the section before or behind where it is the first or last; and its new spot."""
    record = record_of(book, Menu, menu)
    line = line_at(record, spot)
    section = record.sections[spot.section]
    place = spot.line + by
    if 0 <= place < len(section.lines):
        after = _with_section(record, spot.section, lambda s: replace(s, lines=moved(s.lines, spot.line, by)))
        new = Spot(spot.section, place)
    else:
        to = spot.section + (1 if by > 0 else -1)
        if not 0 <= to < len(record.sections):
            raise ValueError(say("it is the outermost line already"))
        lines = record.sections[to].lines
        new = Spot(to, 0 if by > 0 else len(lines))
        after = _with_section(
            record, to, lambda s: replace(s, lines=(*s.lines[: new.line], line, *s.lines[new.line :]))
        )
        after = _with_section(
            after, spot.section, lambda s: replace(s, lines=(*s.lines[: spot.line], *s.lines[spot.line + 1 :]))
        )
    said = say("order of {menu}: {serve}", menu=record.name, serve=_name(book, line.serve))
    return Step(said, (put("menu", after, record),)), new


def new_menu(book: Book, name: str, past: Iterable[str] = ()) -> tuple[Step, str]:
    """A menu with one section. The step and the new id."""
    called = unused_name(name, [m.name for m in book.all(Menu).values()])
    new = Menu(
        id=free_id(called, book, past, fallback="menu"),
        name=called,
        sections=(MenuSection(name=say("Drinks"), lines=()),),
    )
    return Step(say("new menu {name}", name=called), (put("menu", new),)), new.id


def rename_menu(book: Book, menu: str, name: str) -> Step | None:
    """Another name for a menu; None where it is the name it has."""
    record = record_of(book, Menu, menu)
    called = unused_name(name, [m.name for m in book.all(Menu).values() if m.id != menu])
    if called == record.name:
        return None
    return Step(say("name of {menu}: {name}", menu=record.name, name=called),
                (put("menu", replace(record, name=called), record),))  # fmt: skip


def set_days(book: Book, menu: str, since: date | None, until: date | None) -> Step | None:
    """The days a menu is in force; None is without a first or last day. The answer is None where they are its days
    already; ValueError where they are the wrong way."""
    record = record_of(book, Menu, menu)
    if (since, until) == (record.since, record.until):
        return None
    if since is not None and until is not None and until < since:
        raise ValueError(say("the last day {until} lies before the first day {since}", until=until, since=since))
    return Step(say("days of {menu}", menu=record.name),
                (put("menu", replace(record, since=since, until=until), record),))  # fmt: skip


def remove_menu(book: Book, menu: str) -> Step:
    """Take a whole menu out, its dated prices with it."""
    record = record_of(book, Menu, menu)
    return Step(say("remove menu {menu}", menu=record.name), (Change("menu", menu, record, None),))


def add_section(book: Book, menu: str, name: str) -> Step:
    """A section behind the last."""
    record = record_of(book, Menu, menu)
    called = unused_name(name, [s.name for s in record.sections])
    after = replace(record, sections=(*record.sections, MenuSection(name=called, lines=())))
    return Step(say("new section {name}", name=called), (put("menu", after, record),))


def rename_section(book: Book, menu: str, at: int, name: str) -> Step:
    """Another heading."""
    record = record_of(book, Menu, menu)
    called = unused_name(name, [s.name for n, s in enumerate(record.sections) if n != at])
    after = _with_section(record, at, lambda s: replace(s, name=called))
    return Step(say("heading {old}: {name}", old=record.sections[at].name, name=called), (put("menu", after, record),))


def move_section(book: Book, menu: str, at: int, by: int) -> Step:
    """A section further up or down, with its lines."""
    record = record_of(book, Menu, menu)
    after = replace(record, sections=moved(record.sections, at, by))
    return Step(say("order of the sections of {menu}", menu=record.name), (put("menu", after, record),))


def remove_section(book: Book, menu: str, at: int) -> Step:
    """Take an empty section out. ValueError while drinks stand in it."""
    record = record_of(book, Menu, menu)
    if not 0 <= at < len(record.sections):
        raise ValueError(say("there is no section {n} on {menu}", n=at + 1, menu=record.name))
    if record.sections[at].lines:
        raise ValueError(say("take the drinks out of {section} first", section=record.sections[at].name))
    after = replace(record, sections=(*record.sections[:at], *record.sections[at + 1 :]))
    return Step(say("remove section {name}", name=record.sections[at].name), (put("menu", after, record),))


def _name(book: Book, serve: str) -> str:
    found = book.all(Serve).get(serve)
    return found.name if found is not None else serve
