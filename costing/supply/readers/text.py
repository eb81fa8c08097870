"""Texts as a Table: csv and its kin, whatever their letters, line ends and signs between cells."""

import csv
import io
import re
from collections.abc import Callable, Iterator
from itertools import chain, islice
from typing import Literal

from costing.supply.arriving.line import Unreadable
from costing.supply.arriving.table import Table
from costing.supply.readers.delimiters import find_sign, said_sign
from costing.supply.readers.letters import ENCODINGS, decode
from costing.supply.readers.limits import (
    MAX_CELL,
    MAX_CELLS,
    MAX_COLUMNS,
    MAX_ROWS,
    Tell,
    check_size,
    shown_name,
    too_long,
    too_many,
    too_many_cells,
    too_many_columns,
    too_many_rows,
)
from costing.tongue import say

__all__ = ["ENCODINGS", "LONGEST_QUOTE", "read_text", "table_of"]

LONGEST_QUOTE = 20
"""Lines that one quoted cell may run over; a quote that stays open longer was never meant as one."""
_BLOCK = 20_000
_LINE = re.compile(r"[^\r\n]*(?:\r\n|\r|\n|$)")
Rows = tuple[tuple[str, ...], ...]


def read_text(
    data: bytes, *, encoding: str | None = None, delimiter: str | None = None, name: str = "", tell: Tell | None = None
) -> Table:
    """The table of a text, every cell as it stands in it; no row is dropped, but a first line that only says "sep=;".

    ``encoding`` and ``delimiter`` ("\\t" or "tab" too) are used where they are given, and found out where not;
    ``sure`` is then False for every guess. A quote that is never closed is a character like others, and the table not
    sure. Unreadable beyond the caps, ValueError for an encoding or a delimiter that cannot be.
    """
    name = shown_name(name) or say("the text")
    check_size(len(data), name)
    letters = decode(data, encoding)
    return table_of(
        letters.text,
        delimiter=delimiter,
        name=name,
        tell=tell,
        shape="text",
        encoding=letters.encoding,
        sure=letters.sure,
    )


def table_of(
    text: str, *, delimiter: str | None, name: str, shape: Literal["text", "paste"], encoding: str = "",
    sure: bool = True, tell: Tell | None = None,
) -> Table:  # fmt: skip
    """The table of characters."""
    if "\0" in text:
        text, sure = text.replace("\0", ""), False
    if not text.strip():
        return Table(shape=shape, rows=(), encoding=encoding, sure=sure)
    said, skip = said_sign(text)
    body = text[skip:] if skip else text
    if delimiter:
        sign = _chosen(delimiter)
    elif said:
        sign = said
    else:
        found = find_sign(body)
        sign, sure = found.sign, sure and found.sure
    _precheck(body, sign, name)
    rows, sound = _rows(body, sign or "\t", _Progress(tell, body))
    _check(rows, name, 2 if skip else 1)
    return Table(shape=shape, rows=rows, delimiter=sign, encoding=encoding, sure=sure and sound)


class _Progress:
    """Tells now and then how many lines of all are read."""

    def __init__(self, tell: Tell | None, text: str) -> None:
        self._tell = tell
        self._lines = max(text.count("\n"), text.count("\r"), 1) if tell is not None else 1

    def at(self, done: int) -> None:
        """``done`` lines are read."""
        if self._tell is not None:
            self._tell(min(done, self._lines), self._lines)


def _chosen(delimiter: str) -> str:
    sign = {"\\t": "\t", "tab": "\t"}.get(delimiter.lower(), delimiter)
    if len(sign) != 1 or sign in '"\r\n\0':
        raise ValueError(
            say('"{sign}" cannot stand between cells: choose one sign, such as ; or , or tab', sign=delimiter[:20])
        )
    return sign


def _precheck(text: str, sign: str, name: str) -> None:
    """Refuse before cells are made of it."""
    if (sign and text.count(sign) > MAX_CELLS) or text.count("\n") + text.count("\r") > 2 * MAX_CELLS:
        raise too_many(name, "", too_many_cells())


def _check(rows: Rows, name: str, first: int) -> None:
    if len(rows) > MAX_ROWS:
        raise too_many(name, "", too_many_rows())
    if max(map(len, rows), default=0) > MAX_COLUMNS:
        at = next(i for i, row in enumerate(rows) if len(row) > MAX_COLUMNS)
        where = say("a cell of row {n}", n=at + first)
        raise too_many(name, "", too_many_columns(where))
    if max(map(len, chain.from_iterable(rows)), default=0) > MAX_CELL:
        at = next(i for i, row in enumerate(rows) if any(len(cell) > MAX_CELL for cell in row))
        raise too_many(name, "", too_long(say("a cell of row {n}", n=at + first)))


def _rows(text: str, sign: str, progress: _Progress) -> tuple[Rows, bool]:
    """Every row, and whether all quotes were sound."""
    if '"' not in text:
        return _plain_rows(text, sign, progress), True
    spaced = f'{sign} "' in text
    try:
        reader = csv.reader(io.StringIO(text, newline=""), delimiter=sign, strict=True, skipinitialspace=spaced)
        rows = _read(reader, progress)
    except csv.Error:
        rows, lines = None, 0
    else:
        lines = reader.line_num
    if rows is not None and (lines == len(rows) or not _swallows(rows, sign)):
        return rows, True
    return _mended_rows(text, sign, spaced, progress), False


def _plain_rows(text: str, sign: str, progress: _Progress) -> Rows:
    lines = re.split("\r\n|\r|\n", text) if "\r" in text else text.split("\n")
    if lines and not lines[-1]:
        lines.pop()
    out: list[tuple[str, ...]] = []
    for at in range(0, len(lines), _BLOCK):
        out.extend([tuple(line.split(sign)) if line else () for line in lines[at : at + _BLOCK]])
        progress.at(at)
    return tuple(out)


def _read(reader: Iterator[list[str]], progress: _Progress) -> Rows:
    out: list[tuple[str, ...]] = []
    while block := list(islice(map(tuple, reader), _BLOCK)):
        out.extend(block)
        progress.at(len(out))
    return tuple(out)


def _swallows(rows: Rows, sign: str) -> bool:
    """Whether a cell looks as if its quote had never been closed: too many lines, or a whole row in it."""
    width = _usual_width(rows)
    return any("\n" in cell or "\r" in cell for row in rows for cell in row) and any(
        _is_swallowed(cell, sign, width) for row in rows for cell in row if "\n" in cell or "\r" in cell
    )


def _usual_width(rows: Rows) -> int:
    widths = sorted(len(row) for row in rows[:_BLOCK] if len(row) > 1)
    return widths[len(widths) // 2] if widths else 2


def _is_swallowed(cell: str, sign: str, width: int) -> bool:
    inner = re.split("\r\n|\r|\n", cell)
    return len(inner) > LONGEST_QUOTE or any(line.count(sign) >= max(width - 1, 1) for line in inner)


def _mended_rows(text: str, sign: str, spaced: bool, progress: _Progress) -> Rows:
    """Rows of a text with quotes that do not close: each line by itself, and cells of several lines only where their
    quote closes soon and nothing but a sign comes after it."""
    lines = [line for line in _LINE.findall(text) if line]
    cut = _cutter(sign, spaced)
    width = _usual_width(tuple(tuple(line.split(sign)) for line in lines[:_BLOCK]))
    out: list[tuple[str, ...]] = []
    at = 0
    while at < len(lines):
        row, taken = _one_row(lines, at, sign, width, cut)
        out.append(row)
        at += taken
        if len(out) % _BLOCK == 0:
            progress.at(at)
    return tuple(out)


Cut = Callable[[str], tuple[str, ...] | None]


def _cutter(sign: str, spaced: bool) -> Cut:
    """Cuts one record; None where its quotes are unsound."""

    def cut(record: str) -> tuple[str, ...] | None:
        try:
            rows = list(csv.reader([record], delimiter=sign, strict=True, skipinitialspace=spaced))
        except csv.Error:
            return None
        return tuple(rows[0]) if len(rows) == 1 else None

    return cut


def _one_row(lines: list[str], at: int, sign: str, width: int, cut: Cut) -> tuple[tuple[str, ...], int]:
    """(the row that begins in a line, the lines that it takes)."""
    bare = lines[at].rstrip("\r\n")
    if '"' not in bare:
        return tuple(bare.split(sign)) if bare else (), 1
    if (row := cut(bare)) is not None:
        return row, 1
    if bare.count('"') % 2:
        for end in range(at + 1, min(at + LONGEST_QUOTE, len(lines))):
            if lines[end].count('"') % 2:
                record = "".join(lines[at : end + 1]).rstrip("\r\n")
                whole = cut(record) if len(record) <= MAX_CELL * 4 else None
                if whole is not None and not any(
                    _is_swallowed(c, sign, width) for c in whole if "\n" in c or "\r" in c
                ):
                    return whole, end + 1 - at
                break
    return tuple(bare.split(sign)), 1


def no_cells(table: Table, name: str) -> None:
    """Unreadable for a table without one filled cell."""
    if not any(cell.strip() for row in table.rows for cell in row):
        raise Unreadable(say("{name} has no filled cells: ask for it again", name=name))
