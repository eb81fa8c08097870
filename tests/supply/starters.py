"""Starter workbooks for tests: an empty one with a few cells typed into it, as somebody would."""

import io
import re
import zipfile
from collections.abc import Callable, Mapping
from functools import cache
from typing import Any

from openpyxl import load_workbook

from costing.book import Book
from costing.supply.starter import read_starter_bytes, write_starter
from costing.supply.starter_example import example_book
from costing.supply.starter_layout import FIRST_ROW, HEAD_ROW

Cells = Mapping[str, Any]


@cache
def written(book_of: Callable[[], Book] | None = None) -> bytes:
    """The bytes of the empty starter, or of the example bar written into it."""
    raw = io.BytesIO()
    write_starter(raw, book_of() if book_of is not None else None)
    return raw.getvalue()


def column(ws: Any, head: str) -> int:
    """The number of the column with this head."""
    return next(int(c.column) for c in ws[HEAD_ROW] if c.value == head)


def typed(cells: Cells, *, start: bytes | None = None, act: Callable[[Any], None] | None = None) -> bytes:
    """The example bar with cells typed over: {"Packs!F6": 12.5, "Ingredients!Kind!2": "fruit"}, the row counted from 1
    below the notes, a pair (value, number format) where the format matters, and ``act`` for anything else."""
    wb = load_workbook(io.BytesIO(start or written(example_book)))
    for place, value in cells.items():
        sheet, _, at = place.partition("!")
        ws = wb[sheet]
        head, _, row = at.partition("!")
        cell = ws.cell(FIRST_ROW - 1 + int(row), column(ws, head)) if row else ws[at]
        cell.value, form = value if isinstance(value, tuple) else (value, None)
        if form is not None:
            cell.number_format = form
    if act is not None:
        act(wb)
    raw = io.BytesIO()
    wb.save(raw)
    return raw.getvalue()


def read(cells: Cells, **more: Any) -> Book:
    """The Book of the example bar with cells typed over."""
    return read_starter_bytes(typed(cells, **more), "bar.xlsx")


def patched(raw: bytes, part: str, change: Callable[[bytes], bytes] | bytes) -> bytes:
    """The archive with one part changed, or added."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(raw)) as source, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as target:
        for name in source.namelist():
            data = source.read(name)
            if name == part and callable(change):
                data = change(data)
            if name != part or callable(change):
                target.writestr(name, data)
        if not callable(change):
            target.writestr(part, change)
    return out.getvalue()


def part_of(raw: bytes, sheet: str) -> str:
    """The name of the archive's part that holds a sheet."""
    with zipfile.ZipFile(io.BytesIO(raw)) as archive:
        names = re.findall(rb'<sheet [^>]*name="([^"]*)"', archive.read("xl/workbook.xml"))
    return f"xl/worksheets/sheet{names.index(sheet.encode()) + 1}.xml"
