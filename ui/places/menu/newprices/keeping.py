"""A price that is held, and the lowest and highest price of a line: how they are shown, typed and ticked."""

from collections.abc import Sequence
from decimal import Decimal

from costing.book.book import Book
from costing.book.change import Step
from costing.book.records import Menu, MenuLine
from costing.edits.base import record_of
from costing.edits.menus import Spot, line_at
from costing.edits.reprice import set_bounds, set_held
from costing.menu.reprice_rows import line_key
from costing.tongue import say, say_many
from ui.models.table import joined

TICK = "✓"
At = tuple[str, Spot]
"""A menu by id, and where on it a line stands."""


def tick(held: bool) -> str:
    """A held price is ticked."""
    return TICK if held else ""


def bound_text(price: Decimal | None) -> str:
    """A bound as it is typed; "" is none."""
    return "" if price is None else f"{price:f}"


def spot_of_key(menu: Menu, key: str) -> Spot:
    """Where a line stands that is called so (``line_key``). ValueError where it does no longer."""
    for n, section in enumerate(menu.sections):
        for m, line in enumerate(section.lines):
            if line_key(menu.id, section.name, line) == key:
                return Spot(n, m)
    raise ValueError(say("this line is no longer on {menu}", menu=menu.name))


def write_least(book: Book, at: At, text: str) -> Step | None:
    """The lowest price as typed; the highest one stays."""
    return set_bounds(book, *at, text, bound_text(_line(book, at).most))


def write_most(book: Book, at: At, text: str) -> Step | None:
    """The highest price as typed; the lowest one stays."""
    return set_bounds(book, *at, bound_text(_line(book, at).least), text)


def turn_held(book: Book, lines: Sequence[At]) -> Step | None:
    """Hold the prices of these lines; where all of them are held, let them move. One step, None where there is none."""
    held = not all(_line(book, at).held for at in lines)
    steps = []
    for at in lines:
        step = set_held(book, *at, held)
        if step is not None:
            book = book.with_changes(step.changes)
            steps.append(step)
    if held:
        said = say_many("hold the price of {n} drink", "hold the prices of {n} drinks", len(steps))
    else:
        said = say_many("let the price of {n} drink move", "let the prices of {n} drinks move", len(steps))
    return steps[0] if len(steps) == 1 else joined(said, steps)


def _line(book: Book, at: At) -> MenuLine:
    menu, spot = at
    return line_at(record_of(book, Menu, menu), spot)
