"""Edits that a repricing makes and stands on: new prices of many lines as one step, prices that are held, bounds."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal

from costing.book.book import Book
from costing.book.change import Step, put
from costing.book.records import Menu, MenuLine, Serve
from costing.edits.base import record_of
from costing.edits.menus import Spot, line_at, priced, printable
from costing.menu.reprice_rows import line_key
from costing.tongue import say, say_many


def take(book: Book, prices: Mapping[str, Decimal], since: date) -> Step | None:
    """New printed prices of lines by key (``costing.menu.reprice_rows.line_key``), from a day on, as one step over
    every menu they are of. Prices that stand already on that day are left alone; None where nothing is left to change.
    ValueError for a key that no line has."""
    left = dict(prices)
    view, changes, moves = book.on(since), [], list[int]()
    for menu in book.all(Menu).values():

        def new(section: str, line: MenuLine, ident: str = menu.id) -> MenuLine:
            price = left.pop(line_key(ident, section, line), None)
            now = view.price_of(line)
            if price is None or (now is not None and now.price == price):
                return line
            moves.append(0 if now is None else 1 if price > now.price else -1)
            return priced(line, price, since)

        after = _each_line(menu, new)
        if after != menu:
            changes.append(put("menu", after, menu))
    if left:
        raise ValueError(say("{line} is on no menu any more: price the menu anew", line=next(iter(left))))
    if not changes:
        return None
    said = say_many("new price of {n} drink from {day}", "new prices of {n} drinks from {day}", len(moves),
                    day=since.isoformat())  # fmt: skip
    said = say("{what}, {up} up and {down} down", what=said, up=moves.count(1), down=moves.count(-1))
    return Step(said, tuple(changes))


def set_held(book: Book, menu: str, spot: Spot, held: bool) -> Step | None:
    """Whether a repricing leaves the price of a line as it is; None where that is so already."""
    record = record_of(book, Menu, menu)
    old = line_at(record, spot)
    if old.held == held:
        return None
    name = _name(book, old)
    said = say("hold the price of {serve}", serve=name) if held else say("let the price of {serve} move", serve=name)
    return Step(said, (put("menu", _with(record, spot, replace(old, held=held)), record),))


def set_bounds(book: Book, menu: str, spot: Spot, least: str, most: str) -> Step | None:
    """The lowest and highest price that a repricing may give a line, as typed, all taxes and service in; "" is none.
    None where they are these already. ValueError for what is no price, and for a highest below the lowest."""
    record = record_of(book, Menu, menu)
    old = line_at(record, spot)
    low = printable(book, least) if least.strip() else None
    high = printable(book, most) if most.strip() else None
    if low is not None and high is not None and high < low:
        raise ValueError(say("the highest price {most} lies below the lowest {least}", most=high, least=low))
    if (low, high) == (old.least, old.most):
        return None
    name = _name(book, old)
    if low is None and high is None:
        said = say("no bounds for the price of {serve}", serve=name)
    else:
        said = say("price of {serve} from {least} to {most}", serve=name,
                   least=say("any") if low is None else low, most=say("any") if high is None else high)  # fmt: skip
    return Step(said, (put("menu", _with(record, spot, replace(old, least=low, most=high)), record),))


def _with(menu: Menu, spot: Spot, line: MenuLine) -> Menu:
    section = menu.sections[spot.section]
    lines = tuple(line if n == spot.line else old for n, old in enumerate(section.lines))
    after = replace(section, lines=lines)
    return replace(menu, sections=tuple(after if n == spot.section else s for n, s in enumerate(menu.sections)))


def _each_line(menu: Menu, new: Callable[[str, MenuLine], MenuLine]) -> Menu:
    return replace(
        menu,
        sections=tuple(replace(s, lines=tuple(new(s.name, line) for line in s.lines)) for s in menu.sections),
    )


def _name(book: Book, line: MenuLine) -> str:
    serve = book.all(Serve).get(line.serve)
    return serve.name if serve is not None else line.serve
