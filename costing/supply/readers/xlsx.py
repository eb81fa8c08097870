"""The cells of an .xlsx sheet, read as a stream (ECMA-376 part 1, 18.3), so that a sheet costs what its cells do."""

import re
from typing import Final

from costing.supply.arriving.table import DayCell, Figure
from costing.supply.readers.cells import number_text, shown_number
from costing.supply.readers.formats import PLAIN
from costing.supply.readers.grid import NO_VALUE, Grid
from costing.supply.readers.limits import MAX_CELLS, MAX_COLUMNS, MAX_ROWS, Members, Tell, too_many, too_many_cells
from costing.supply.readers.parts import Attributes, feed
from costing.supply.readers.xlsx_looks import SPACES, SheetPart, Workbook, is_true, unescaped

_CELL, _ROW, _TEXT, _FORMULA, _COLUMN, _MERGE, _ASIDE, _OTHER = range(8)
_KINDS: Final = {
    space + name: kind
    for space in SPACES
    for name, kind in (
        ("c", _CELL), ("row", _ROW), ("v", _TEXT), ("t", _TEXT), ("f", _FORMULA), ("col", _COLUMN),
        ("mergeCell", _MERGE), ("rPh", _ASIDE),
    )
}  # fmt: skip
_DIGITS = "0123456789"
_AREA = re.compile(r"\$?([A-Z]{1,3})\$?([0-9]{1,7})(?::\$?([A-Z]{1,3})\$?([0-9]{1,7}))?")


def read_sheet(members: Members, book: Workbook, sheet: SheetPart, tell: Tell | None = None) -> Grid:
    """The cells of one sheet. Unreadable where it is damaged or larger than the caps."""
    grid = Grid(members.name, sheet.name, sheet.hidden)
    if sum(piece.count(b"<c ") + piece.count(b":c ") for piece in members.pieces(sheet.part)) > 2 * MAX_CELLS:
        raise too_many(grid.name, grid.sheet, too_many_cells())  # before seconds are spent on it
    feed(members, sheet.part, _Cells(grid, book), tell)
    return grid


class _Cells:
    """Hears a sheet. Rows and cells that do not say where they stand follow the one before."""

    def __init__(self, grid: Grid, book: Workbook) -> None:
        self._grid, self._book = grid, book
        self._row = self._column = -1
        self._row_text = ""
        self._columns: dict[str, int] = {}
        self._figures: dict[str, str] = {}
        self._text: list[str] = []
        self._takes = self._formula = self._in_cell = False
        self._aside = self._count = 0
        self._type, self._style = "n", ""
        self._looks = {str(i): look for i, look in enumerate(book.looks) if look is not PLAIN}

    def start(self, tag: str, attributes: Attributes) -> None:
        kind = _KINDS.get(tag, _OTHER)
        if kind == _CELL:
            self._in_cell, self._formula, self._text = True, False, []
            self._type = attributes.get("t", "n")
            self._style = attributes.get("s", "")
            self._column = self._place(attributes.get("r"))
        elif kind == _TEXT:
            self._takes = self._in_cell and not self._aside
        elif kind == _FORMULA:
            self._formula = True
        elif kind == _ROW:
            self._start_row(attributes)
        elif kind == _COLUMN:
            self._hide_columns(attributes)
        elif kind == _MERGE:
            self._merge(attributes.get("ref", ""))
        elif kind == _ASIDE:
            self._aside += 1

    def end(self, tag: str) -> None:
        kind = _KINDS.get(tag, _OTHER)
        if kind == _TEXT:
            self._takes = False
        elif kind == _CELL:
            self._in_cell = False
            cell = self._cell()
            if cell or cell is NO_VALUE:
                self._grid.put(self._row, self._column, cell)
        elif kind == _ASIDE:
            self._aside -= 1

    def data(self, text: str) -> None:
        if self._takes:
            self._text.append(text)

    def _start_row(self, attributes: Attributes) -> None:
        said = attributes.get("r")
        self._row = int(said) - 1 if said else self._row + 1
        self._row_text = str(self._row + 1)
        self._column = -1
        if self._row < 0:
            raise ValueError("a row before the first")
        height = attributes.get("ht")
        flat = height is not None and height.strip("0.") == ""
        if (flat or is_true(attributes.get("hidden"))) and self._row < MAX_ROWS:
            self._grid.hidden_rows.add(self._row)

    def _place(self, said: str | None) -> int:
        """The column of a cell that says to be at ``said``; its row has to be the one that it stands in."""
        self._count += 1
        if self._count > 2 * MAX_CELLS:
            raise too_many(self._grid.name, self._grid.sheet, too_many_cells())
        if said is None:
            return self._column + 1
        letters = said.rstrip(_DIGITS)
        if said[len(letters) :] != self._row_text:
            raise ValueError(f"cell {said[:12]} in row {self._row_text[:12]}")
        known = self._columns.get(letters)
        if known is None:
            known = self._columns[letters] = _column_of(letters)
        return known

    def _cell(self) -> str:
        text = self._text[0] if len(self._text) == 1 else "".join(self._text)
        kind = self._type
        if kind == "s":
            return self._shared(text) if text else ""
        if kind == "n":
            return self._number(text)
        if kind in ("str", "inlineStr"):
            return unescaped(text)
        if kind == "b":
            return {"0": "FALSE", "1": "TRUE", "": ""}.get(text.strip(), text)
        return DayCell(text) if kind == "d" and text else text

    def _shared(self, text: str) -> str:
        index = int(text)
        if not 0 <= index < len(self._book.shared):
            raise ValueError(f"there is no shared text {text[:12]}")
        return self._book.shared[index]

    def _number(self, text: str) -> str:
        if not text:
            return NO_VALUE if self._formula else ""
        look = self._looks.get(self._style)
        if look is not None:
            number = number_text(text.strip())
            return shown_number(number, look, self._book.since_1904) if number else text
        known = self._figures.get(text)
        if known is None:
            number = number_text(text.strip())
            known = Figure(number) if number else text
            if len(self._figures) < 100_000:
                self._figures[text] = known
        return known

    def _hide_columns(self, attributes: Attributes) -> None:
        width = attributes.get("width")
        if is_true(attributes.get("hidden")) or (width is not None and width.strip("0.") == ""):
            first, last = int(attributes["min"]), int(attributes["max"])
            self._grid.hidden_columns.update(range(max(first, 1) - 1, min(last, MAX_COLUMNS)))

    def _merge(self, said: str) -> None:
        found = _AREA.fullmatch(said)
        if found is None:
            raise ValueError(f"merged cells {said[:20]}")
        top, left = int(found[2]) - 1, _column_of(found[1])
        bottom, right = (int(found[4]) - 1, _column_of(found[3])) if found[3] else (top, left)
        if top < 0 or bottom < top or right < left:
            raise ValueError(f"merged cells {said[:20]}")
        self._grid.areas.append((top, left, bottom, right))


def _column_of(letters: str) -> int:
    """The number of a column from 0: 1 for "B". ValueError for what is none."""
    number = 0
    if not 1 <= len(letters) <= 3:
        raise ValueError(f"column {letters[:12]}")
    for letter in letters:
        if not "A" <= letter <= "Z":
            raise ValueError(f"column {letters[:12]}")
        number = number * 26 + ord(letter) - 64
    return number - 1
