"""The scenarios that are kept in the book, as rows to type into; the last, empty one takes the name of the next."""

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass

from costing.book.book import Book
from costing.book.change import Step
from costing.book.selling import Scenario
from costing.edits import scenarios
from costing.tongue import say
from ui.models.table import Column

NEXT = "+"
"""The key of the empty row."""
TICK = "✓"
NAME, BESIDE, NOTE = 0, 1, 2
"""Columns."""


@dataclass(frozen=True, slots=True)
class KeptRow:
    """One scenario, or the empty row (``record`` None)."""

    key: str
    record: Scenario | None = None
    beside: bool = False

    @property
    def name(self) -> str:
        """What it is called."""
        return self.record.name if self.record is not None else ""


def kept_rows(book: Book, beside: Collection[str]) -> list[KeptRow]:
    """Scenarios by name, and the empty row."""
    found = sorted(book.all(Scenario).values(), key=lambda s: (s.name.casefold(), s.id))
    return [*(KeptRow(s.id, s, s.id in beside) for s in found), KeptRow(NEXT)]


def kept_columns(write: Callable[[Book, KeptRow, str], Step | None]) -> Sequence[Column[KeptRow]]:
    """Name, whether it stands beside the chosen one, and its note. ``write`` names one, or makes the next."""

    def note(book: Book, row: KeptRow, text: str) -> Step | None:
        return scenarios.set_note(book, row.key, text)

    def shown(row: KeptRow) -> str:
        return row.name if row.record is not None else say("Name the next one here")

    def tip(row: KeptRow) -> str:
        if row.record is None:
            return say("Type a name and press Enter; what it supposes is typed below.")
        return say("Enter or F2 types another name over it; Space puts it beside the chosen one.")

    def ticked(row: KeptRow) -> str:
        return TICK if row.beside else ""

    def real(row: KeptRow) -> bool:
        return row.record is not None

    return (
        Column[KeptRow]("name", say("Scenario"), shown, write=write, edit_text=lambda r: r.name, tip=tip,
                        sort=lambda r: r.name.casefold() or None),
        Column[KeptRow]("beside", say("Beside"), ticked, sort=lambda r: not r.beside if r.record else None,
                        about=say("Ticked ones stand side by side with the chosen one: Space, or a click")),
        Column[KeptRow]("note", say("Note"), lambda r: r.record.note if r.record else "", write=note, editable=real,
                        sort=lambda r: r.record.note.casefold() if r.record else None),
    )  # fmt: skip


def free_name(book: Book, name: str) -> str:
    """The name with a number behind it that no scenario has."""
    taken = {s.name.casefold() for s in book.all(Scenario).values()}
    n = 2
    while f"{name} {n}".casefold() in taken:
        n += 1
    return f"{name} {n}"
