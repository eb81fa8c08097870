"""The sheets of an .ods file, read as a stream (ODF 1.3 part 3, 9 and 19.381 to 19.389)."""

import re
from dataclasses import dataclass, field

from costing.supply.arriving.table import DayCell, Figure
from costing.supply.packs.currencies import of_sign
from costing.supply.readers.cells import MoneyFigure, PercentFigure, number_text, percent_text
from costing.supply.readers.grid import NO_VALUE, Grid
from costing.supply.readers.limits import (
    MAX_CELLS,
    MAX_COLUMNS,
    MAX_ROWS,
    MAX_SHEETS,
    Members,
    Tell,
    too_many,
    too_many_cells,
)
from costing.supply.readers.parts import Attributes, feed
from costing.tongue import say

_NS = "urn:oasis:names:tc:opendocument:xmlns:"
_OFFICE, _TABLE, _TEXT, _STYLE = (f"{_NS}{part}:1.0}}" for part in ("office", "table", "text", "style"))
_SPAN = re.compile(r"(-?)P(?:([0-9]{1,6})D)?T(?:([0-9]{1,6})H)?(?:([0-9]{1,6})M)?(?:([0-9]{1,6})(?:[.,][0-9]+)?S)?")
_MIDNIGHT = re.compile(r"T00:00(?::00(?:\.0+)?)?$")


@dataclass(slots=True)
class _Cell:
    attributes: Attributes
    repeat: int
    covered: bool
    paragraphs: list[list[str]] = field(default_factory=list)


def read_sheets_of(members: Members, tell: Tell | None = None) -> list[Grid]:
    """Every sheet, in order. Unreadable where the file is damaged or larger than the caps."""
    content = _Content(members.name)
    feed(members, "content.xml", content, tell)
    return content.grids


class _Content:
    """Hears content.xml. Texts count only in paragraphs that stand in a cell itself, not in its notes and drawings."""

    def __init__(self, name: str) -> None:
        self.grids: list[Grid] = []
        self._name = name
        self._hiding: set[str] = set()
        self._style = ""
        self._depth = self._tables = 0
        self._cell: _Cell | None = None
        self._cell_depth = 0
        self._row = self._column = self._column_defined = 0
        self._row_repeat = 1
        self._row_cells: list[tuple[int, int, str]] = []
        self._paragraph: list[str] | None = None
        self._paragraph_depth = 0
        self._seen = 0

    def start(self, tag: str, attributes: Attributes) -> None:
        self._depth += 1
        if self._cell is not None:
            self._start_in_cell(self._cell, tag, attributes)
        elif tag in (_TABLE + "table-cell", _TABLE + "covered-table-cell") and self._tables == 1:
            self._cell_depth = self._depth
            repeat = _count(attributes, _TABLE + "number-columns-repeated")
            self._cell = _Cell(attributes, repeat, tag.endswith("}covered-table-cell"))
            self._seen += 1
            if self._seen > 2 * MAX_CELLS:
                raise too_many(self._name, "", too_many_cells())
        elif tag == _TABLE + "table-row" and self._tables == 1:
            self._start_row(attributes)
        elif tag == _TABLE + "table-column" and self._tables == 1:
            self._columns(attributes)
        elif tag == _TABLE + "table":
            self._start_table(attributes)
        elif tag == _STYLE + "style":
            self._style = attributes.get(_STYLE + "name", "")
        elif tag == _STYLE + "table-properties" and attributes.get(_TABLE + "display") == "false":
            self._hiding.add(self._style)

    def end(self, tag: str) -> None:
        if self._cell is not None:
            if self._depth == self._cell_depth:
                self._end_cell(self._cell)
                self._cell = None
            elif self._paragraph is not None and self._depth == self._paragraph_depth:
                self._paragraph = None
        elif tag == _TABLE + "table-row" and self._tables == 1:
            self._end_row()
        elif tag == _TABLE + "table":
            self._tables -= 1
        self._depth -= 1

    def data(self, text: str) -> None:
        if self._paragraph is not None:
            self._paragraph.append(text)

    def _start_table(self, attributes: Attributes) -> None:
        self._tables += 1
        if self._tables > 1:
            return
        hidden = attributes.get(_TABLE + "style-name", "") in self._hiding
        self.grids.append(Grid(self._name, attributes.get(_TABLE + "name", ""), hidden))
        if len(self.grids) > MAX_SHEETS:
            raise too_many(self._name, "", say("there are more than {n} sheets", n=MAX_SHEETS))
        self._row = self._column_defined = 0

    def _columns(self, attributes: Attributes) -> None:
        repeat = _count(attributes, _TABLE + "number-columns-repeated")
        first, self._column_defined = self._column_defined, self._column_defined + repeat
        if _is_hidden(attributes):
            self.grids[-1].hidden_columns.update(range(first, min(first + repeat, MAX_COLUMNS)))

    def _start_row(self, attributes: Attributes) -> None:
        self._row_repeat = _count(attributes, _TABLE + "number-rows-repeated")
        self._column, self._row_cells = 0, []
        if _is_hidden(attributes):
            self.grids[-1].hidden_rows.update(range(self._row, min(self._row + self._row_repeat, MAX_ROWS)))

    def _end_row(self) -> None:
        """A row that stands for several is put as often as it says, if anything is in it."""
        grid = self.grids[-1]
        if self._row_cells:
            for row in range(self._row, self._row + self._row_repeat):
                for first, repeat, text in self._row_cells:
                    for column in range(first, first + repeat):
                        grid.put(row, column, text)
        self._row += self._row_repeat

    def _start_in_cell(self, cell: _Cell, tag: str, attributes: Attributes) -> None:
        if self._paragraph is None:
            if tag == _TEXT + "p" and self._depth == self._cell_depth + 1:
                self._paragraph, self._paragraph_depth = [], self._depth
                cell.paragraphs.append(self._paragraph)
        elif tag == _TEXT + "s":
            self._paragraph.append(" " * min(_count(attributes, _TEXT + "c"), 1000))
        elif tag == _TEXT + "tab":
            self._paragraph.append("\t")
        elif tag == _TEXT + "line-break":
            self._paragraph.append("\n")

    def _end_cell(self, cell: _Cell) -> None:
        self._paragraph = None
        shown = "\n".join("".join(parts) for parts in cell.paragraphs)
        text = _value(cell.attributes, shown) if cell.paragraphs or _is_valued(cell.attributes) else NO_VALUE
        if text or text is NO_VALUE:
            self._row_cells.append((self._column, cell.repeat, text))
        wide, tall = (_count(cell.attributes, _TABLE + f"number-{way}-spanned") for way in ("columns", "rows"))
        if (wide > 1 or tall > 1) and not cell.covered:
            self.grids[-1].areas.append((self._row, self._column, self._row + tall - 1, self._column + wide - 1))
        self._column += cell.repeat


def _is_valued(attributes: Attributes) -> bool:
    """Whether a cell without a paragraph has a value all the same, or is plainly empty: it is not where a formula was
    never worked out (one that gives an empty text has an empty paragraph)."""
    return _OFFICE + "value-type" in attributes or _TABLE + "formula" not in attributes


def _value(attributes: Attributes, shown: str) -> str:
    """A cell by what is stored in it; ``shown`` is its text as the sheet shows it."""
    kind = attributes.get(_OFFICE + "value-type", "")
    if kind in ("float", "percentage", "currency"):
        return _number(kind, attributes, shown)
    if kind == "date":
        said = attributes.get(_OFFICE + "date-value", "")
        return DayCell(_MIDNIGHT.sub("", said)) if said else shown
    if kind == "time":
        return _span(attributes.get(_OFFICE + "time-value", "")) or shown
    if kind == "boolean":
        said = attributes.get(_OFFICE + "boolean-value", "")
        return said.upper() if said in ("true", "false") else shown
    return attributes.get(_OFFICE + "string-value") or shown  # an error is an empty string that shows itself


def _number(kind: str, attributes: Attributes, shown: str) -> str:
    number = number_text(attributes.get(_OFFICE + "value", ""))
    if not number:
        return shown
    if kind == "percentage":
        return PercentFigure(percent_text(number))
    currency = attributes.get(_OFFICE + "currency", "") if kind == "currency" else ""
    if currency:
        return MoneyFigure(number, of_sign(currency) or currency)
    if shown[:1] == "0" and shown != number and shown.isdecimal() and (shown.lstrip("0") or "0") == number:
        return shown
    return Figure(number)


def _span(said: str) -> str:
    found = _SPAN.fullmatch(said)
    if found is None:
        return ""
    days, hours, minutes, seconds = (int(part or 0) for part in found.groups()[1:])
    return f"{found[1]}{days * 24 + hours}:{minutes:02}:{seconds:02}"


def _count(attributes: Attributes, key: str) -> int:
    said = attributes.get(key)
    if said is None:
        return 1
    if not said.isdecimal() or len(said) > 9:
        raise ValueError(f"{key.rpartition('}')[2]} {said[:12]}")
    return max(int(said), 1)


def _is_hidden(attributes: Attributes) -> bool:
    return attributes.get(_TABLE + "visibility") in ("collapse", "filter")
