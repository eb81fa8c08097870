"""The sheets of the old binary forms (.xls, .xlsb), by a library, once it is known that they are of bounded size."""

import io
import struct
from collections.abc import Callable, Mapping
from datetime import date, datetime, time, timedelta
from typing import Any

from costing.supply.arriving.line import Unreadable
from costing.supply.arriving.table import Figure
from costing.supply.readers.cells import MoneyFigure, PercentFigure, day_text, float_text, percent_text, span_text
from costing.supply.readers.compound import Compound
from costing.supply.readers.formats import Look
from costing.supply.readers.grid import Grid, place_of
from costing.supply.readers.limits import (
    MAX_CELLS,
    MAX_COLUMNS,
    MAX_ROWS,
    MAX_SHEETS,
    MAX_TEXT,
    Members,
    Tell,
    damaged,
    too_many,
    too_many_cells,
    too_many_columns,
    too_many_rows,
    too_much_text,
)
from costing.supply.readers.parts import feed
from costing.supply.readers.records import Reach, lengths_of_xlsb, reach_of_xlsb, reaches_of_xls, wide_records
from costing.supply.readers.xlsx_looks import Links, place
from costing.tongue import say

_BROKEN = (ValueError, LookupError, struct.error, OverflowError, MemoryError)


class Binary:
    """A workbook of an old form, its sheets read one by one when they are asked for."""

    def __init__(self, data: bytes, name: str, members: Members | None) -> None:
        self._name, self._members = name, members
        try:
            self._reaches = _reaches_of_xlsb(members) if members else _reaches_of_xls(data)
        except _BROKEN as error:
            if isinstance(error, Unreadable):
                raise
            raise damaged(name, error) from None
        if members is None:  # the library reads every sheet of an .xls when it opens it
            for sheet, reach in self._reaches.items():
                _check(reach, name, sheet)
        self._book = _called(name, lambda: _open(data))
        self.sheets = [
            (str(sheet.name), "Visible" not in str(sheet.visible))
            for sheet in self._book.sheets_metadata
            if "WorkSheet" in str(sheet.typ)
        ]
        if len(self.sheets) > MAX_SHEETS:
            raise too_many(name, "", say("there are more than {n} sheets", n=MAX_SHEETS))

    def read(self, sheet: str, hidden: bool, tell: Tell | None = None) -> Grid:
        """One sheet. Unreadable where it is damaged or larger than the caps."""
        reach = self._reaches.get(sheet)
        if reach is None:
            raise damaged(self._name, say('the sheet "{sheet}" is not where it should be', sheet=sheet[:60]))
        if self._members is not None:
            _check(reach, self._name, sheet)
        grid = Grid(self._name, sheet, hidden, hidden_rows=reach.hidden_rows, hidden_columns=reach.hidden_columns)
        if not reach.cells:
            return grid
        opened = _called(self._name, lambda: self._book.get_sheet_by_name(sheet))
        rows = _called(self._name, lambda: opened.to_python(skip_empty_area=False))
        try:
            for at, line in enumerate(rows):
                _put_row(grid, at, line, reach)
                if tell is not None and at % 4096 == 0:
                    tell(at, len(rows))
        except _BROKEN as error:
            if isinstance(error, Unreadable):
                raise
            raise damaged(self._name, error) from None
        grid.areas += [(*first, *last) for first, last in opened.merged_cell_ranges or ()]
        return grid


def _open(data: bytes) -> Any:
    from python_calamine import CalamineWorkbook  # noqa: PLC0415  only who has an old sheet pays for it

    return CalamineWorkbook.from_filelike(io.BytesIO(data))


def _called(name: str, call: Callable[[], Any]) -> Any:
    """What the library gives. Its faults are those of the file; a panic of its native half is no Exception."""
    try:
        return call()
    except (KeyboardInterrupt, SystemExit, GeneratorExit):
        raise
    except BaseException as error:  # noqa: BLE001
        raise damaged(name, error) from None


def _put_row(grid: Grid, at: int, line: list[Any], reach: Reach) -> None:
    for column, value in enumerate(line):
        if value == "" and isinstance(value, str):
            text = reach.errors.get((at, column), "")
        else:
            text = cell_text(value, reach.styled.get((at, column)))
        if text:
            grid.put(at, column, text)


def cell_text(value: object, look: Look | None = None) -> str:
    """A value of the library as a cell, with what the format of the cell says of a number."""
    if isinstance(value, str):
        return value
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, int | float):
        number = float_text(float(value)) if isinstance(value, float) else str(value)
        return _shown(number, look) if number else str(value)
    if isinstance(value, datetime | date):
        return day_text(value)
    if isinstance(value, timedelta):
        return span_text(value)
    return value.isoformat(timespec="seconds") if isinstance(value, time) else str(value)


def _shown(number: str, look: Look | None) -> str:
    if look is not None and look.kind == "percent":
        return PercentFigure(percent_text(number))
    if look is not None and look.kind == "money":
        return MoneyFigure(number, look.currency)
    if look is not None and look.kind == "code" and number.isdecimal() and len(number) < look.width:
        return number.zfill(look.width)
    return Figure(number)


def _check(reach: Reach, name: str, sheet: str) -> None:
    if reach.columns >= MAX_COLUMNS:
        where = say("cell {place}", place=place_of(reach.rows, reach.columns))
        raise too_many(name, sheet, too_many_columns(where))
    if reach.rows >= MAX_ROWS:
        raise too_many(name, sheet, too_many_rows())
    if (reach.rows + 1) * (reach.columns + 1) > MAX_CELLS:
        raise too_many(name, sheet, too_many_cells())
    if reach.letters > MAX_TEXT:
        raise too_many(name, sheet, too_much_text())


def _reaches_of_xls(data: bytes) -> Mapping[str, Reach]:
    inside = Compound(data)
    stream = next((n for n in ("Workbook", "WORKBOOK", "Book", "BOOK") if n in inside.names), "Workbook")
    return reaches_of_xls(inside.read(stream))


def _reaches_of_xlsb(members: Members) -> Mapping[str, Reach]:
    links = Links()
    feed(members, "xl/_rels/workbook.bin.rels", links)
    shared = next((place(t) for kind, t in links.found.values() if kind.endswith("/sharedStrings")), "")
    lengths = lengths_of_xlsb(members.whole(shared)) if shared in members else []
    out: dict[str, Reach] = {}
    for sheet, link in _bundles(members.whole("xl/workbook.bin")):
        kind, target = links.found.get(link, ("", ""))
        if kind.endswith("/worksheet"):
            out[sheet] = reach_of_xlsb(members.whole(place(target)), lengths)
    return out


def _bundles(book: bytes) -> list[tuple[str, str]]:
    """(name, link) of every sheet ([MS-XLSB] 2.4.312, BrtBundleSh)."""
    out = []
    for kind, body in wide_records(book):
        if kind == 156:
            link, at = _wide_text(body, 8)
            name, _ = _wide_text(body, at)
            out.append((name, link))
    return out


def _wide_text(body: bytes, at: int) -> tuple[str, int]:
    size = struct.unpack_from("<I", body, at)[0]
    if size == 0xFFFFFFFF:
        return "", at + 4
    if at + 4 + 2 * size > len(body):
        raise ValueError("a name that is too long")
    return body[at + 4 : at + 4 + 2 * size].decode("utf-16-le", "replace"), at + 4 + 2 * size
