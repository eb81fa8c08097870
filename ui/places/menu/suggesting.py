"""Suggested prices for lines of a menu: how many of them would change, and the step."""

from collections.abc import Callable, Sequence
from datetime import date

from costing.book.change import Step
from costing.edits import menus
from costing.tongue import say, say_many
from ui.desk import Desk
from ui.fault import Refusal
from ui.places.menu.rows import MenuRow, without_words


def suggestions_text(chosen: Sequence[MenuRow]) -> str:
    """What a button says that uses the suggestions for these lines."""
    moving = [row.priced for row in chosen if row.priced is not None and menus.would_move(row.priced)]
    if not moving:
        return say("Use suggestions")
    said = say_many("Use suggestions for {n} drink", "Use suggestions for {n} drinks", len(moving))
    return menus.with_moves(said, moving)


def use_suggestions(desk: Desk, menu: str, chosen: Sequence[MenuRow], since: Callable[[], date]) -> None:
    """The suggested prices of these lines as one step, from ``since`` on; what cannot be is told by the desk."""
    document = desk.document
    left: tuple[menus.LeftOut, ...] = ()
    unchanged = say("No price was changed.")

    def work() -> Step | None:
        nonlocal left
        if not chosen:
            raise Refusal(
                unchanged,
                say("No line is selected."),
                say("Select drinks, or a heading for all under it; Ctrl+A in the table selects all."),
            )
        priced = [(row.spot, row.priced) for row in chosen if row.priced is not None]
        if not priced:
            raise Refusal(
                unchanged,
                say("No line that is selected has figures on this day."),
                say("Select other lines, or look at a day on which they are made and the menu is in force."),
            )
        step, left = menus.apply_suggestions(document.book, menu, priced, since())
        if step is None:
            raise Refusal(
                unchanged,
                without_words(left, document.names) or say("Every price of these is the suggested one already."),
                say("Give what is named a price in the cellar first.") if left else "",
            )
        return step

    if desk.attempt(work) and left:
        desk.tell(without_words(left, document.names))
