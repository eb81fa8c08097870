"""One sheet while it is read: rows that grow as cells come, held below the caps, and what is known about them."""

from dataclasses import dataclass, field

from costing.supply.arriving.table import Unworked
from costing.supply.readers.limits import (
    MAX_CELL,
    MAX_CELLS,
    MAX_COLUMNS,
    MAX_ROWS,
    MAX_TEXT,
    damaged,
    too_long,
    too_many,
    too_many_cells,
    too_many_columns,
    too_much_text,
)
from costing.tongue import numeral, say

NO_VALUE = Unworked("")
Area = tuple[int, int, int, int]
"""First row, first column, last row, last column, counted from 0."""


@dataclass(slots=True)
class Grid:
    """A sheet called ``sheet`` of the file ``name``. Rows may be of different length; "" is an empty cell."""

    name: str
    sheet: str
    hidden: bool = False
    rows: list[list[str]] = field(default_factory=list)
    hidden_rows: set[int] = field(default_factory=set)
    hidden_columns: set[int] = field(default_factory=set)
    areas: list[Area] = field(default_factory=list)
    merged_rows: set[int] = field(default_factory=set)
    places: int = 0
    letters: int = 0

    def put(self, row: int, column: int, cell: str) -> None:
        """Set a cell, counted from 0. Unreadable beyond the caps; ValueError where there is one already."""
        if row >= MAX_ROWS or column >= MAX_COLUMNS:
            if cell.strip() or cell is NO_VALUE:
                raise self._too_far(row, column)
            return
        size = len(cell)
        if size > 32:
            self._weigh(row, column, size)
        rows = self.rows
        if row >= len(rows):
            rows.extend([] for _ in range(row + 1 - len(rows)))
        line = rows[row]
        gap = column - len(line)
        if gap < 0:
            if line[column]:
                raise ValueError(f"{place_of(row, column)} stands there twice")
            line[column] = cell
            return
        if gap:
            line.extend([""] * gap)
        line.append(cell)
        self.places += gap + 1
        if self.places > MAX_CELLS:
            raise too_many(self.name, self.sheet, too_many_cells())

    def _weigh(self, row: int, column: int, size: int) -> None:
        if size > MAX_CELL:
            raise too_many(self.name, self.sheet, too_long(say("cell {place}", place=place_of(row, column))))
        self.letters += size
        if self.letters > MAX_TEXT:
            raise too_many(self.name, self.sheet, too_much_text())

    def _too_far(self, row: int, column: int) -> Exception:
        where = say("cell {place}", place=place_of(row, column))
        if column >= MAX_COLUMNS:
            return too_many(self.name, self.sheet, too_many_columns(where))
        return too_many(
            self.name, self.sheet,
            say("{where} lies below row {n}, the last that is read", where=where, n=numeral(f"{MAX_ROWS:,}")),
        )  # fmt: skip

    def trim(self) -> None:
        """Take off the empty ends of rows, and the empty rows below the last."""
        for line in self.rows:
            while line and not line[-1] and line[-1] is not NO_VALUE:
                line.pop()
        while self.rows and not self.rows[-1]:
            self.rows.pop()

    def fill_merged(self) -> None:
        """Put the text of each merged area into every cell of it that the table has rows and columns for."""
        width = max(map(len, self.rows), default=0)
        left = sum(map(len, self.rows)) + width * len(self.rows)
        for top, first, lowest, widest in self.areas:
            if top >= len(self.rows) or first >= len(self.rows[top]):
                continue
            text = self.rows[top][first]
            bottom, last = min(lowest, len(self.rows) - 1), min(widest, width - 1)
            if not text.strip() or (bottom, last) == (top, first):
                continue
            left -= (bottom - top + 1) * (last - first + 1)
            if left < 0:
                raise damaged(self.name, say("merged areas lie one on the other"))
            for row in range(top, bottom + 1):
                self._fill(row, first, last, text)

    def _fill(self, row: int, first: int, last: int, text: str) -> None:
        line = self.rows[row]
        filled = False
        for column in range(first, last + 1):
            if column >= len(line):
                self.put(row, column, text)
                filled = True
            elif not line[column]:
                line[column] = text
                filled = True
        if filled:
            self.merged_rows.add(row)

    def table_size(self) -> tuple[int, int]:
        """(rows with two cells or more, the most cells in a row): how much of a table there is."""
        counts = [len(line) - line.count("") for line in self.rows]
        return sum(n > 1 for n in counts), max(counts, default=0)


def place_of(row: int, column: int) -> str:
    """The name of a cell that is counted from 0: "B7" for (6, 1)."""
    letters, n = "", column + 1
    while n:
        n, rest = divmod(n - 1, 26)
        letters = chr(65 + rest) + letters
    return f"{letters}{row + 1}"
