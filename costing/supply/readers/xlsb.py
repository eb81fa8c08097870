"""The sheets of the .xlsb form ([MS-XLSB]), record by record."""

import struct
from collections.abc import Iterator

from costing.supply.arriving.line import Unreadable
from costing.supply.readers.biff import BROKEN, ERRORS, rk_value, truth
from costing.supply.readers.cells import float_cell
from costing.supply.readers.formats import PLAIN, Look, look_of
from costing.supply.readers.grid import Grid
from costing.supply.readers.limits import (
    MAX_CELL,
    MAX_COLUMNS,
    MAX_ROWS,
    MAX_SHEETS,
    MAX_TEXT,
    Members,
    Tell,
    damaged,
    too_long,
    too_many,
    too_much_text,
)
from costing.supply.readers.parts import feed
from costing.supply.readers.xlsx_looks import Links, SheetPart, place
from costing.tongue import say

_ROW, _RK, _ERROR, _BOOL, _REAL, _TEXT, _SHARED = 0, 2, 3, 4, 5, 6, 7
_FORMULA_TEXT, _FORMULA_REAL, _FORMULA_BOOL, _FORMULA_ERROR, _RICH = 8, 9, 10, 11, 62
_CELLS = frozenset({*range(_RK, _FORMULA_ERROR + 1), _RICH})
_SHARED_ITEM, _FORMAT, _XF, _COLUMN, _WORKBOOK, _SHEET, _MERGED = 19, 44, 47, 60, 153, 156, 176
_CELL_FORMATS, _END_CELL_FORMATS = 617, 618
_EACH = 8192
Record = tuple[int, bytes, int]


class BinaryBook:
    """A workbook. Unreadable where it is damaged or has more sheets than are read."""

    def __init__(self, members: Members) -> None:
        self._members, self._since_1904 = members, False
        self.sheets: list[SheetPart] = []
        self._shared: list[str] = []
        self._looks: list[Look] = []
        links = Links()
        feed(members, "xl/_rels/workbook.bin.rels", links)
        try:
            self._read_book(links)
            for kind, target in links.found.values():
                if kind.endswith("/sharedStrings") and place(target) in members:
                    self._read_shared(members.whole(place(target)))
                if kind.endswith("/styles") and place(target) in members:
                    self._looks = _looks(members.whole(place(target)))
        except BROKEN as error:
            if isinstance(error, Unreadable):
                raise
            raise damaged(members.name, error) from None

    def _read_book(self, links: Links) -> None:
        for kind, body, _ in _records(self._members.whole("xl/workbook.bin")):
            if kind == _WORKBOOK:
                self._since_1904 = bool(body[0] & 1)
            elif kind == _SHEET:
                link, at = _text(body, 8)
                name, _ = _text(body, at)
                said, target = links.found.get(link, ("", ""))
                if said.endswith("/worksheet"):
                    self.sheets.append(SheetPart(name, place(target), struct.unpack_from("<I", body)[0] != 0))
        if len(self.sheets) > MAX_SHEETS:
            raise too_many(self._members.name, "", say("there are more than {n} sheets", n=MAX_SHEETS))
        if len({sheet.name for sheet in self.sheets}) < len(self.sheets):
            raise ValueError("two sheets are the same")

    def _read_shared(self, data: bytes) -> None:
        letters = 0
        for kind, body, _ in _records(data):
            if kind == _SHARED_ITEM:
                text, _ = _text(body, 1)
                letters += len(text)
                if len(text) > MAX_CELL:
                    raise too_many(self._members.name, "", too_long(say("a cell")))
                if letters > MAX_TEXT:
                    raise too_many(self._members.name, "", too_much_text())
                self._shared.append(text)

    def read(self, sheet: SheetPart, tell: Tell | None = None) -> Grid:
        """One sheet. Unreadable where it is damaged or larger than the caps."""
        grid, row = Grid(self._members.name, sheet.name, sheet.hidden), 0
        data = self._members.whole(sheet.part)
        try:
            for done, (kind, body, at) in enumerate(_records(data)):
                if kind == _ROW:
                    row = struct.unpack_from("<I", body)[0]
                    if row < MAX_ROWS and len(body) > 11 and body[11] & 0x10:
                        grid.hidden_rows.add(row)
                elif kind in _CELLS:
                    column, style = struct.unpack_from("<II", body)
                    grid.put(row, column, self._value(kind, style & 0xFFFFFF, body))
                elif kind == _COLUMN and struct.unpack_from("<H", body, 16)[0] & 1:
                    first, last = struct.unpack_from("<II", body)
                    grid.hidden_columns.update(range(first, min(last + 1, MAX_COLUMNS)))
                elif kind == _MERGED:
                    top, bottom, left, right = struct.unpack_from("<4I", body)
                    grid.areas.append((top, left, bottom, right))
                if tell is not None and done % _EACH == 0:
                    tell(at, len(data))
        except BROKEN as error:
            if isinstance(error, Unreadable):
                raise
            raise damaged(self._members.name, error) from None
        return grid

    def _value(self, kind: int, style: int, body: bytes) -> str:
        if kind == _SHARED:
            index: int = struct.unpack_from("<I", body, 8)[0]
            return self._shared[index]
        if kind in (_REAL, _FORMULA_REAL, _RK):
            value = (
                rk_value(struct.unpack_from("<I", body, 8)[0]) if kind == _RK else struct.unpack_from("<d", body, 8)[0]
            )
            return float_cell(value, self._looks[style] if style < len(self._looks) else PLAIN, self._since_1904)
        if kind in (_BOOL, _FORMULA_BOOL):
            return truth(body[8])
        if kind in (_ERROR, _FORMULA_ERROR):
            return ERRORS.get(body[8], "#N/A")
        return _text(body, 9 if kind == _RICH else 8)[0]


def _looks(styles: bytes) -> list[Look]:
    codes: dict[int, str] = {}
    numbers: list[int] = []
    inside = False
    for kind, body, _ in _records(styles):
        if kind == _FORMAT:
            codes[struct.unpack_from("<H", body)[0]] = _text(body, 2)[0]
        elif kind in (_CELL_FORMATS, _END_CELL_FORMATS):
            inside = kind == _CELL_FORMATS
        elif kind == _XF and inside:
            numbers.append(struct.unpack_from("<H", body, 2)[0])
    return [look_of(number, codes.get(number)) for number in numbers]


def _records(data: bytes) -> Iterator[Record]:
    """(kind, body, where): numbers and sizes are of 7 bits a byte ([MS-XLSB] 2.1.4)."""
    at = 0
    while at < len(data):
        kind, at = _varying(data, at, 2)
        size, at = _varying(data, at, 4)
        if at + size > len(data):
            raise ValueError("a record ends too early")
        yield kind, data[at : at + size], at
        at += size


def _varying(data: bytes, at: int, most: int) -> tuple[int, int]:
    number = 0
    for i in range(most):
        byte = data[at]
        at += 1
        number |= (byte & 0x7F) << (7 * i)
        if byte < 0x80:
            break
    return number, at


def _text(body: bytes, at: int) -> tuple[str, int]:
    """(a text with a length of four bytes, where it ends)."""
    size = struct.unpack_from("<I", body, at)[0]
    if size == 0xFFFFFFFF:
        return "", at + 4
    end = at + 4 + 2 * size
    if end > len(body):
        raise ValueError("a text ends too early")
    return body[at + 4 : end].decode("utf-16-le", "replace"), end
