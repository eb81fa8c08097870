"""A sheet as data: cells with text, numbers or formulas, a style name each, and how the sheet is laid out.

Sheets are filled without knowing any spreadsheet library; ``costing.report.xlsx`` writes them.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from costing.tongue import say, say_word

LONGEST_FORMULA = 8000
"""Spreadsheets take formulas of up to 8,192 characters."""

SAFE = 100.0
"""Widths of columns, in characters, that a page holds even where a wide face stands in for the one asked for."""

LONGEST_TAB = 31
_PLAIN, _UNFIT = re.compile("[A-Za-z]+"), re.compile(r"[\[\]:*?/\\]")
Kind = Literal["text", "number", "formula"]


def letters(column: int) -> str:
    """Column 1 is A, 27 is AA."""
    name = ""
    while column:
        column, rest = divmod(column - 1, 26)
        name = chr(65 + rest) + name
    return name


def at(row: int, column: int, sheet: str = "") -> str:
    """The fixed address of a cell, with the sheet where it lies on another one."""
    cell = f"${letters(column)}${row}"
    if not sheet:
        return cell
    return f"{sheet}!{cell}" if _PLAIN.fullmatch(sheet) else "'" + sheet.replace("'", "''") + f"'!{cell}"


def tab(name: str) -> str:
    """The name of a sheet in the language, as a spreadsheet takes it: no more than 31 characters, none of []:*?/\\."""
    said = _UNFIT.sub("", say_word(name)).strip("' ")
    return said[:LONGEST_TAB] or name


def quoted(text: str) -> str:
    """A text as a formula writes it."""
    return '"' + text.replace('"', '""') + '"'


def number(value: float) -> str:
    """A float inside a formula, to the last digit."""
    return repr(float(value)).upper() if value >= 0 else f"({float(value)!r})".upper()


def product_sum(terms: Iterable[tuple[float, str]]) -> str:
    """The formula for amounts times cells. A cell that holds no number counts as nothing: its row is flagged."""
    return "=" + ("+".join(f"{number(amount)}*N({cell})" for amount, cell in terms) or "0")


@dataclass(frozen=True, slots=True)
class Cell:
    """What stands in one cell. ``remark`` is a note that opens on the cell."""

    kind: Kind
    value: str | float
    style: str
    remark: str = ""


@dataclass(slots=True)
class Sheet:
    """One sheet being filled. ``head`` is the row of column headings, repeated on every printed page."""

    name: str
    widths: tuple[float, ...]
    head: int = 0
    fixed_columns: int = 1
    landscape: bool = True
    printed_columns: int = 0
    """How many columns go on paper; 0 is all of them."""
    pages_wide: int = 1
    """How many pages side by side a print may take, each with the fixed columns: one page would be too small."""
    cells: dict[tuple[int, int], Cell] = field(default_factory=dict)
    merges: list[tuple[int, int, int, int]] = field(default_factory=list)
    heights: dict[int, float] = field(default_factory=dict)

    @property
    def safe(self) -> int:
        """The last column that is on the first page however it is printed: text over several columns ends there."""
        return max(n for n in range(1, len(self.widths) + 1) if n == 1 or sum(self.widths[:n]) <= SAFE)

    @property
    def last(self) -> int:
        """The last row in use."""
        return max((row for row, _ in self.cells), default=0)

    def text(self, row: int, column: int, value: str, style: str = "text", remark: str = "") -> None:
        """Text, whatever it starts with."""
        self.cells[row, column] = Cell("text", value, style, remark)

    def number(self, row: int, column: int, value: float, style: str, remark: str = "") -> None:
        """A number at full precision; the style says how it is shown."""
        self.cells[row, column] = Cell("number", float(value), style, remark)

    def formula(self, row: int, column: int, value: str, style: str, instead: float | None = None) -> None:
        """A formula; ``instead`` is printed, and the cell says so, where the formula would be too long."""
        if len(value) > LONGEST_FORMULA and instead is not None:
            self.number(row, column, instead, style, say("A value, not a formula: too many inputs for one formula."))
        else:
            self.cells[row, column] = Cell("formula", value, style)

    def blank(self, row: int, columns: Iterable[int], style: str) -> None:
        """Empty cells that carry a style, such as the line under a block."""
        for column in columns:
            self.cells.setdefault((row, column), Cell("text", "", style))

    def headings(self, row: int, names: Iterable[str], numeric: Iterable[int] = ()) -> None:
        """The row of column headings, set to the right over numbers."""
        right = set(numeric)
        for column, name in enumerate(names, start=1):
            self.text(row, column, name, "head.right" if column in right else "head")
        self.head = row

    def begin(self, title: str, stamp: str, note: str) -> None:
        """Title and stamp in the first column, which every page has; a note beside the fixed columns, which only the
        first page has."""
        if self.pages_wide == 1:
            self.wide(1, 1, self.safe, title, "title")
        else:
            self.text(1, 1, title, "title")
        self.text(2, 1, stamp, "note")
        room = 1.2 * sum(self.widths[self.fixed_columns : self.safe])
        self.wide(2, self.fixed_columns + 1, self.safe, note, "note", lines=1 + int(len(note) / room))

    def wide(self, row: int, column: int, until: int, value: str, style: str, lines: int = 1) -> None:
        """Text over several columns. Merged cells do not grow by themselves, so ``lines`` sets the height."""
        self.text(row, column, value, style)
        if until > column:
            self.merges.append((row, column, row, until))
        self.heights[row] = 15.0 * lines + (1.0 if lines > 1 else 0.0)


@dataclass(frozen=True, slots=True)
class Ref:
    """Where the unit cost of a source stands: a cell by layer number, the cell with all layers, and the cell that is
    above 0 while anything in it has no price."""

    layers: Mapping[int, str]
    making: str
    flag: str


Refs = dict[str, Ref]
