"""The sheets of the old .xls form ([MS-XLS]; BIFF5 and BIFF8), record by record: a sheet costs what its cells do, and a
broken record is a broken file and no more.
"""

import codecs
import struct
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from costing.supply.arriving.line import Unreadable
from costing.supply.readers.biff_texts import shared_texts, short_name, text_at
from costing.supply.readers.cells import float_cell
from costing.supply.readers.compound import Compound
from costing.supply.readers.formats import PLAIN, Look, look_of
from costing.supply.readers.grid import NO_VALUE, Grid
from costing.supply.readers.limits import MAX_SHEETS, Tell, damaged, too_many
from costing.tongue import say

ERRORS: Mapping[int, str] = {
    0: "#NULL!", 7: "#DIV/0!", 15: "#VALUE!", 23: "#REF!", 29: "#NAME?", 36: "#NUM!", 42: "#N/A", 43: "#GETTING_DATA",
}  # fmt: skip
"""[MS-XLS] 2.5.10, BErr."""
BROKEN = (ValueError, LookupError, struct.error, OverflowError)
STREAMS = ("Workbook", "WORKBOOK", "Book", "BOOK")
_BOF, _EOF, _CONTINUE = 0x809, 0x0A, 0x3C
_CODEPAGE, _SYSTEM_1904, _BOUND, _FORMAT, _XF, _SST = 0x42, 0x22, 0x85, 0x41E, 0xE0, 0xFC
_NUMBER, _RK, _MULTI_RK, _FORMULA, _STRING, _BOOL_ERR = 0x203, 0x27E, 0xBD, 0x06, 0x207, 0x205
_LABEL_SST, _LABEL, _RICH, _ROW, _COLUMNS, _MERGED = 0xFD, 0x204, 0xD6, 0x208, 0x7D, 0xE5
_CODEPAGES: Mapping[int, str] = {367: "ascii", 1200: "cp1252", 10000: "mac-roman", 32768: "mac-roman", 32769: "cp1252"}
_EACH = 8192
Record = tuple[int, bytes, int]


@dataclass(frozen=True, slots=True)
class OldSheet:
    """One sheet and where its records begin in the stream."""

    name: str
    hidden: bool
    start: int


class OldBook:
    """A workbook. Unreadable where it is damaged or has more sheets than are read."""

    def __init__(self, data: bytes, name: str) -> None:
        self._name = name
        self.sheets: list[OldSheet] = []
        self._since_1904, self._newest, self._codepage = False, True, "cp1252"
        self._codes: dict[int, str] = {}
        self._formats: list[int] = []
        self._shared: list[str] = []
        try:
            inside = Compound(data)
            self._stream = inside.read(next((n for n in STREAMS if n in inside.names), STREAMS[0]))
            self._read_globals()
        except BROKEN as error:
            if isinstance(error, Unreadable):
                raise
            raise damaged(name, error) from None
        self._looks = [look_of(number, self._codes.get(number)) for number in self._formats]
        if len(self.sheets) > MAX_SHEETS:
            raise too_many(name, "", say("there are more than {n} sheets", n=MAX_SHEETS))
        if len({sheet.name for sheet in self.sheets}) < len(self.sheets):
            raise damaged(name, say("two sheets are the same"))

    def _read_globals(self) -> None:
        shared: list[bytes] = []
        last = 0
        for kind, body, _ in _records(self._stream, 0):
            if kind == _EOF:
                break
            if kind == _BOF:
                self._newest = struct.unpack_from("<H", body)[0] >= 0x600
            elif kind == _CODEPAGE:
                self._codepage = _codec(struct.unpack_from("<H", body)[0])
            elif kind == _SYSTEM_1904:
                self._since_1904 = body[:1] == b"\1"
            elif kind == _BOUND and body[5] == 0:
                start = struct.unpack_from("<I", body)[0]
                self.sheets.append(OldSheet(short_name(body, 6, self._codec), body[4] & 3 != 0, start))
            elif kind == _FORMAT:
                number = struct.unpack_from("<H", body)[0]
                self._codes[number] = text_at(body, 2, "") if self._newest else short_name(body, 2, self._codepage)
            elif kind == _XF:
                self._formats.append(struct.unpack_from("<H", body, 2)[0])
            elif kind == _SST or (kind == _CONTINUE and last == _SST):
                shared.append(body)
                kind = _SST  # noqa: PLW2901  what continues a record is of its kind
            last = kind
        self._shared = shared_texts(shared, self._name) if shared else []

    @property
    def _codec(self) -> str:
        """That of texts of BIFF5, "" for BIFF8, which says of each text how wide it is."""
        return "" if self._newest else self._codepage

    def read(self, sheet: OldSheet, tell: Tell | None = None) -> Grid:
        """One sheet. Unreadable where it is damaged or larger than the caps."""
        grid = Grid(self._name, sheet.name, sheet.hidden)
        depth = done = 0
        waiting: tuple[int, int] | None = None
        try:
            for kind, body, at in _records(self._stream, sheet.start):
                if kind == _BOF:
                    depth += 1
                elif kind == _EOF:
                    depth -= 1
                    if depth <= 0:
                        break
                elif depth == 1:
                    if kind == _STRING and waiting is not None:
                        grid.put(*waiting, text_at(body, 0, self._codec))
                        waiting = None
                    else:
                        waiting = self._cell(grid, kind, body) or waiting
                done += 1
                if tell is not None and done % _EACH == 0:
                    tell(at, len(self._stream))
        except BROKEN as error:
            if isinstance(error, Unreadable):
                raise
            raise damaged(self._name, error) from None
        return grid

    def _cell(self, grid: Grid, kind: int, body: bytes) -> tuple[int, int] | None:
        """Put what a record holds; (row, column) of a formula whose text comes in a later record."""
        if kind in (_NUMBER, _RK, _LABEL_SST, _FORMULA, _BOOL_ERR, _LABEL, _RICH):
            row, column, style = struct.unpack_from("<HHH", body)
            if kind == _FORMULA:
                return self._formula(grid, row, column, style, body)
            grid.put(row, column, self._value(kind, style, body))
        elif kind == _MULTI_RK:
            row, column = struct.unpack_from("<HH", body)
            for i in range((len(body) - 6) // 6):
                style, raw = struct.unpack_from("<HI", body, 4 + 6 * i)
                grid.put(row, column + i, self._number(rk_value(raw), style))
        elif kind == _ROW and body[12] & 0x20:
            grid.hidden_rows.add(struct.unpack_from("<H", body)[0])
        elif kind == _COLUMNS and body[8] & 1:
            first, last = struct.unpack_from("<HH", body)
            grid.hidden_columns.update(range(first, min(last, 255) + 1))
        elif kind == _MERGED:
            for i in range(struct.unpack_from("<H", body)[0]):
                top, bottom, left, right = struct.unpack_from("<4H", body, 2 + 8 * i)
                grid.areas.append((top, left, bottom, right))
        return None

    def _value(self, kind: int, style: int, body: bytes) -> str:
        if kind == _NUMBER:
            value: float = struct.unpack_from("<d", body, 6)[0]
            return self._number(value, style)
        if kind == _RK:
            return self._number(rk_value(struct.unpack_from("<I", body, 6)[0]), style)
        if kind == _LABEL_SST:
            index: int = struct.unpack_from("<I", body, 6)[0]
            return self._shared[index]
        if kind == _BOOL_ERR:
            return ERRORS.get(body[6], "#N/A") if body[7] else truth(body[6])
        return text_at(body, 6, self._codec)

    def _formula(self, grid: Grid, row: int, column: int, style: int, body: bytes) -> tuple[int, int] | None:
        """The value that was kept ([MS-XLS] 2.5.133, FormulaValue). Writers that work nothing out put an empty text
        that is still to be worked out."""
        if body[12:14] != b"\xff\xff":
            grid.put(row, column, self._number(struct.unpack_from("<d", body, 6)[0], style))
        elif body[6] == 0:
            return row, column
        elif body[6] == 1:
            grid.put(row, column, truth(body[8]))
        elif body[6] == 2:
            grid.put(row, column, ERRORS.get(body[8], "#N/A"))
        elif struct.unpack_from("<H", body, 14)[0] & 3:
            grid.put(row, column, NO_VALUE)
        return None

    def _number(self, value: float, style: int) -> str:
        look: Look = self._looks[style] if style < len(self._looks) else PLAIN
        return float_cell(value, look, self._since_1904)


def rk_value(raw: int) -> float:
    """A number of 30 bits ([MS-XLS] 2.5.217, RkNumber): half a double, or a whole number; as it is, or hundredths."""
    if raw & 2:
        whole = raw >> 2
        value = float(whole - (1 << 30) if whole >> 29 else whole)
    else:
        value = float(struct.unpack("<d", struct.pack("<Q", (raw & 0xFFFFFFFC) << 32))[0])
    return value / 100 if raw & 1 else value


def truth(byte: int) -> str:
    """A boolean as a sheet shows it."""
    return "TRUE" if byte else "FALSE"


def _records(stream: bytes, at: int) -> Iterator[Record]:
    while at + 4 <= len(stream):
        kind, size = struct.unpack_from("<HH", stream, at)
        yield kind, stream[at + 4 : at + 4 + size], at
        at += 4 + size


def _codec(number: int) -> str:
    name = _CODEPAGES.get(number, f"cp{number}")
    try:
        return codecs.lookup(name).name
    except LookupError:
        return "cp1252"
