"""What was typed and does not stand in the book stays with its record while a page shows another one."""

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QSignalBlocker

from ui.fault import Refusal
from ui.widgets.fields import TextField
from ui.widgets.table import DataTable

Typed = tuple[str, tuple[str, Refusal | None] | None]
"""What the book said in a field, and the text over it."""


class Waiting:
    """Texts of a page's fields that do not stand in the book, by the record that they were typed for."""

    def __init__(self, fields: Sequence[TextField]) -> None:
        self.fields = tuple(fields)
        self._held: dict[str, list[Typed]] = {}

    def hold(self, record: str) -> None:
        """Keep what was typed for a record, and take it out of the fields."""
        typed = [(field.stands, field.held()) for field in self.fields]
        if any(held is not None for _, held in typed):
            self._held[record] = typed
        for field in self.fields:
            field.revert()

    def give_back(self, record: str) -> None:
        """Show again what was typed for a record, where the book still says what it said then. The fields must show
        the record already."""
        for field, (stood, held) in zip(self.fields, self._held.pop(record, ()), strict=False):
            if field.stands == stood:
                field.give_back(held)


def turn(table: DataTable, rows: Sequence[Any], *, fresh: bool) -> None:
    """Show rows whose keys are "owner/line". Those of another owner (``fresh``) are shown on the line that one was on;
    nothing is explained on the way there."""
    at, model = table.currentIndex(), table.rows
    line = model.key(at.row()).partition("/")[2] if at.isValid() else ""
    with QSignalBlocker(table):
        model.set_rows(rows)
        if fresh and at.isValid() and model.rowCount():
            place = next((n for n in range(model.rowCount()) if model.key(n).partition("/")[2] == line), 0)
            table.setCurrentIndex(model.index(place, at.column()))
