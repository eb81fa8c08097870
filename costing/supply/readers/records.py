"""The old binary sheets looked over before a library reads them: how far they reach and what they would unfold to.

The library makes room for the whole rectangle of a sheet and for every text as often as it occurs, and a process that
asks for too much is ended by the system; so a sheet is measured first ([MS-XLS] 2.4, [MS-XLSB] 2.4).
"""

import struct
from collections.abc import Iterator
from dataclasses import dataclass, field

from costing.supply.readers.formats import PLAIN, Look, look_of
from costing.supply.readers.limits import MAX_CELL

BOUND_SHEET, BOF, EOF, FORMAT, XF, SST, CONTINUE = 0x85, 0x809, 0x0A, 0x41E, 0xE0, 0xFC, 0x3C
LABEL_SST, NUMBER, RK, MULTI_RK, FORMULA, BOOL_ERR, LABEL, RICH = 0xFD, 0x203, 0x27E, 0xBD, 0x06, 0x205, 0x204, 0xD6
_CELLS = frozenset({LABEL_SST, NUMBER, RK, FORMULA, BOOL_ERR, LABEL, RICH, 0x201})
_ROW, _COLUMNS, _MERGED = 0x208, 0x7D, 0xE5
ERRORS = {0: "#NULL!", 7: "#DIV/0!", 15: "#VALUE!", 23: "#REF!", 29: "#NAME?", 36: "#NUM!", 42: "#N/A"}
"""[MS-XLS] 2.5.10, BErr."""


@dataclass(slots=True)
class Reach:
    """How far the filled cells of a sheet reach (counted from 0, -1 for none) and what stands in them beside values.

    ``letters`` is the length of all its shared texts together, or more; ``styled`` the look of cells with one.
    """

    rows: int = -1
    columns: int = -1
    cells: int = 0
    letters: int = 0
    hidden_rows: set[int] = field(default_factory=set)
    hidden_columns: set[int] = field(default_factory=set)
    errors: dict[tuple[int, int], str] = field(default_factory=dict)
    styled: dict[tuple[int, int], Look] = field(default_factory=dict)

    def meet(self, row: int, column: int) -> None:
        """One more filled cell."""
        self.rows, self.columns, self.cells = max(self.rows, row), max(self.columns, column), self.cells + 1


Record = tuple[int, bytes]


def _records(stream: bytes, at: int) -> Iterator[Record]:
    while at + 4 <= len(stream):
        kind, size = struct.unpack_from("<HH", stream, at)
        yield kind, stream[at + 4 : at + 4 + size]
        at += 4 + size


def reaches_of_xls(stream: bytes) -> dict[str, Reach]:
    """The reach of every sheet of a Workbook stream, by its name. ValueError, struct.error for a broken stream."""
    starts: dict[str, int] = {}
    codes: dict[int, str] = {}
    formats: list[int] = []
    lengths: list[int] = []
    shared: list[bytes] = []
    newest = True
    last = 0
    for kind, body in _records(stream, 0):
        if kind == BOF and not last:
            newest = struct.unpack_from("<H", body)[0] >= 0x600
        if kind == EOF:
            break
        if kind == BOUND_SHEET and body[5] == 0:
            starts[_name(body, newest)] = struct.unpack_from("<I", body)[0]
        elif kind == FORMAT and newest:
            codes[struct.unpack_from("<H", body)[0]] = _long_name(body, 2)
        elif kind == XF:
            formats.append(struct.unpack_from("<H", body, 2)[0])
        elif kind == SST or (kind == CONTINUE and last == SST):
            shared.append(body)
            last = SST
            continue
        last = kind
    if shared:
        lengths = _lengths(shared)
    looks = [look_of(number, codes.get(number)) for number in formats]
    return {name: _reach(stream, at, lengths, looks) for name, at in starts.items()}


def _name(body: bytes, newest: bool) -> str:
    """A short name: one byte of length and, in the newest form, one that says how wide its characters are."""
    length = body[6]
    if not newest:
        return body[7 : 7 + length].decode("cp1252", "replace")
    return (
        body[8 : 8 + 2 * length].decode("utf-16-le", "replace")
        if body[7] & 1
        else body[8 : 8 + length].decode("latin-1")
    )


def _long_name(body: bytes, at: int) -> str:
    length, wide = struct.unpack_from("<HB", body, at)
    return (
        body[at + 3 :][: 2 * length].decode("utf-16-le", "replace")
        if wide & 1
        else body[at + 3 :][:length].decode("latin-1")
    )


def _lengths(blocks: list[bytes]) -> list[int]:
    """The length of each shared text; one may run on from block to block, each with a new width ([MS-XLS] 2.4.265)."""
    out: list[int] = []
    block, at = 0, 8
    while True:
        while block < len(blocks) and at >= len(blocks[block]):
            block, at = block + 1, at - len(blocks[block]) if at > len(blocks[block]) else 0
        if block >= len(blocks) or at + 3 > len(blocks[block]):
            return out
        length, flags = struct.unpack_from("<HB", blocks[block], at)
        out.append(length)
        at += 3
        tail = 0
        if flags & 8:
            tail += 4 * struct.unpack_from("<H", blocks[block], at)[0]
            at += 2
        if flags & 4:
            tail += struct.unpack_from("<I", blocks[block], at)[0]
            at += 4
        width, left = 1 + (flags & 1), length
        while left:
            room = (len(blocks[block]) - at) // width
            if left <= room:
                at, left = at + left * width, 0
            else:
                left -= max(room, 0)
                block, at = block + 1, 1
                if block >= len(blocks) or not blocks[block]:
                    return out
                width = 1 + (blocks[block][0] & 1)
        at += tail


def _reach(stream: bytes, start: int, lengths: list[int], looks: list[Look]) -> Reach:
    out, depth = Reach(), 0
    for kind, body in _records(stream, start):
        if kind == BOF:
            depth += 1
        elif kind == EOF:
            depth -= 1
            if depth <= 0:
                break
        elif depth == 1:
            _meet(out, kind, body, lengths, looks)
    return out


def _meet(out: Reach, kind: int, body: bytes, lengths: list[int], looks: list[Look]) -> None:
    if kind in _CELLS:
        row, column, style = struct.unpack_from("<HHH", body)
        if kind == 0x201:
            return
        out.meet(row, column)
        if kind == LABEL_SST:
            index = struct.unpack_from("<I", body, 6)[0]
            out.letters += lengths[index] if index < len(lengths) else MAX_CELL
        elif kind == BOOL_ERR and body[7]:
            out.errors[row, column] = ERRORS.get(body[6], "#N/A")
        elif kind == FORMULA and body[6] == 2 and body[12:14] == b"\xff\xff":
            out.errors[row, column] = ERRORS.get(body[8], "#N/A")
        elif style < len(looks) and looks[style] is not PLAIN and kind in (NUMBER, RK, FORMULA):
            out.styled[row, column] = looks[style]
    elif kind == MULTI_RK:
        row, column = struct.unpack_from("<HH", body)
        for i in range((len(body) - 6) // 6):
            out.meet(row, column + i)
            style = struct.unpack_from("<H", body, 4 + 6 * i)[0]
            if style < len(looks) and looks[style] is not PLAIN:
                out.styled[row, column + i] = looks[style]
    elif kind == _ROW and body[12] & 0x20:
        out.hidden_rows.add(struct.unpack_from("<H", body)[0])
    elif kind == _COLUMNS and body[8] & 1:
        first, last = struct.unpack_from("<HH", body)
        out.hidden_columns.update(range(first, min(last, 255) + 1))


def wide_records(data: bytes) -> Iterator[Record]:
    """Records of an .xlsb part: numbers and sizes of 7 bits a byte ([MS-XLSB] 2.1.4)."""
    at = 0
    while at < len(data):
        kind, at = _varying(data, at, 2)
        size, at = _varying(data, at, 4)
        if at + size > len(data):
            raise ValueError("a record ends too early")
        yield kind, data[at : at + size]
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


def reach_of_xlsb(sheet: bytes, lengths: list[int]) -> Reach:
    """The reach of one sheet part, by ``lengths`` of the shared texts. IndexError, struct.error where it is broken."""
    out, row = Reach(), 0
    for kind, body in wide_records(sheet):
        if kind == 0:
            row = struct.unpack_from("<I", body)[0]
            if len(body) > 11 and body[11] & 0x10:
                out.hidden_rows.add(row)
        elif 2 <= kind <= 11:
            column = struct.unpack_from("<I", body)[0]
            out.meet(row, column)
            if kind == 7:
                index = struct.unpack_from("<I", body, 8)[0]
                out.letters += lengths[index] if index < len(lengths) else 0
            elif kind in (3, 11):
                out.errors[row, column] = ERRORS.get(body[8], "#N/A")
    return out


def lengths_of_xlsb(shared: bytes) -> list[int]:
    """The lengths of the shared texts."""
    return [struct.unpack_from("<I", body, 1)[0] for kind, body in wide_records(shared) if kind == 19]
