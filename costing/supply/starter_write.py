"""The starter workbook drawn: heads, notes, drop-downs, widths and print, in the colours of the report workbook."""

import io
import math
import re
from collections.abc import Iterable, Mapping
from datetime import date
from decimal import Decimal
from functools import cache
from typing import Any

from openpyxl import Workbook
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE
from openpyxl.comments import Comment
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from costing.book.book import Book
from costing.supply.starter_example import example_book
from costing.supply.starter_layout import (
    FIGURES,
    FIRST_ROW,
    HEAD_ROW,
    HOUSE,
    LAST_LISTED,
    LAYOUT,
    SKIP_HEAD,
    SKIP_WORDS,
    START,
    WORDS,
    Column,
    Plan,
)
from costing.supply.starter_rows import Line, Value, rows
from costing.supply.starter_sheets import HOUSE_PLAN, PLANS
from costing.supply.starter_words import GUIDE, TITLE, kinds_that_take

INK, FAINT, COPPER, PAPER, RULE = "1F2328", "5B6067", "9A4F20", "F6F1E9", "B9B0A3"
FACE = "Calibri"
DRAWN = 20
PAGE_WIDTH = 230.0
"""Characters over one printed page; a wider sheet takes more pages, its first columns on each."""
"""Rows drawn with rules below the heads where there is less to show."""
Choices = tuple[tuple[str, str], ...]
_ESCAPED = re.compile("_(?=x[0-9A-Fa-f]{4}_)")
_UNPRINTED = re.compile("[\ud800-\udfff\ufffe\uffff]")
_FORMATS: Mapping[str, str] = {"day": "yyyy-mm-dd", "money": "0.00####", "code": "@", "text": "@", "name": "@"}
_BEGINS = frozenset({"name", "since", "section", "good"})


def starter_bytes(book: Book | None = None) -> bytes:
    """The workbook: of the book, or empty with example rows that the reader passes over."""
    shown = rows(book if book is not None else example_book())
    out = Workbook()
    out.remove(out.active)
    _start(out.create_sheet(START))
    _house(out.create_sheet(HOUSE), shown[HOUSE][0] if book is not None else {"layout": LAYOUT})
    lists = _words_at()
    for plan in PLANS:
        _sheet(out.create_sheet(plan.name), plan, shown[plan.name], lists, example=book is None)
    _words(out.create_sheet(WORDS))
    out.active = out.worksheets.index(out[HOUSE if book is None else START])
    out.properties.title, out.properties.creator = TITLE, "Stillroom Ledger"
    raw = io.BytesIO()
    out.save(raw)
    return raw.getvalue()


@cache
def _font(*, bold: bool = False, size: float = 10, colour: str = INK, italic: bool = False) -> Font:
    return Font(name=FACE, size=size, bold=bold, color=colour, italic=italic)


def _put(cell: Any, value: Value, font: Font, *, wrap: bool = True, fill: str = "") -> None:
    """One value; text stays text, whatever it begins with."""
    if isinstance(value, str):
        cell.value = _UNPRINTED.sub("\ufffd", ILLEGAL_CHARACTERS_RE.sub("\ufffd", _ESCAPED.sub("_x005F_", value)))[
            :32_767
        ]
        cell.data_type = "s"
        cell.quotePrefix = value.startswith(("=", "+", "-", "@"))
    elif isinstance(value, Decimal) and Decimal(format(float(value), ".15g")) != value:
        cell.value = f"{value:f}"  # more digits than a number of a spreadsheet keeps
    elif isinstance(value, date) and value.year < 1901:
        cell.value = value.isoformat()  # before the first day that spreadsheets agree on
    else:
        cell.value = value
    cell.font = font
    cell.alignment = Alignment(
        horizontal="left" if isinstance(value, str | date) else "right", vertical="top", wrap_text=wrap
    )
    if fill:
        cell.fill = PatternFill("solid", fgColor=fill)


def _title(ws: Worksheet, title: str, what: str) -> None:
    _put(ws.cell(1, 1), title, _font(bold=True, size=16), wrap=False)
    _put(ws.cell(2, 1), what, _font(colour=FAINT, size=9), wrap=False)
    ws.row_dimensions[1].height = 24.0
    ws.sheet_view.showGridLines = False


def _paper(ws: Worksheet, colour: str, *, landscape: bool = True, wide: int = 1) -> None:
    ws.sheet_properties.tabColor = colour
    ws.page_setup.orientation = "landscape" if landscape else "portrait"
    ws.page_setup.paperSize = ws.PAPERSIZE_A4
    ws.page_setup.fitToWidth, ws.page_setup.fitToHeight = wide, 0
    ws.sheet_properties.pageSetUpPr.fitToPage = True
    ws.page_margins.left = ws.page_margins.right = 0.4
    ws.page_margins.top, ws.page_margins.bottom, ws.page_margins.footer = 0.5, 0.8, 0.35
    ws.oddFooter.right.text = "&A, page &P of &N"


def _head(ws: Worksheet, row: int, column: int, text: str, note: str = "") -> None:
    cell = ws.cell(row, column)
    _put(cell, text, _font(bold=True, size=9), fill=PAPER)
    cell.border = Border(bottom=Side(style="thin", color=INK))
    if note:
        cell.comment = Comment(note, "Stillroom Ledger", width=260, height=90)


def _sheet(ws: Worksheet, plan: Plan, lines: Iterable[Line], lists: Mapping[Choices, str], *, example: bool) -> None:
    _title(ws, plan.name, plan.what)
    _head(
        ws,
        HEAD_ROW,
        1,
        SKIP_HEAD,
        "A row with the word example or skip here is passed over. Clear it and the row counts.",
    )
    _choose(ws, 1, f'"{",".join(SKIP_WORDS)}"')
    ws.column_dimensions["A"].width = 9
    deepest = 1
    for n, column in enumerate(plan.columns, start=2):
        needed = " Needed." if column.needed else ""
        _head(ws, HEAD_ROW, n, column.head, column.note + needed)
        _put(ws.cell(HEAD_ROW + 1, n), column.note, _font(size=8, colour=FAINT, italic=True))
        deepest = max(deepest, 1 + int(len(column.note) // (column.width * 1.1)))
        ws.column_dimensions[get_column_letter(n)].width = column.width
        source = _list_of(column, lists)
        if source:
            _choose(ws, n, source)
    ws.row_dimensions[HEAD_ROW + 1].height = min(10.5 * deepest + 4, 150.0)
    last = FIRST_ROW - 1
    for last, line in enumerate(lines, start=FIRST_ROW):
        _line(ws, last, plan, line, example=example)
    end = max(last, FIRST_ROW + DRAWN)
    thin = Border(bottom=Side(style="hair", color=RULE))
    for row in range(FIRST_ROW, end + 1):
        for n, column in enumerate(plan.columns, start=2):
            cell = ws.cell(row, n)
            cell.border = thin
            cell.number_format = _FORMATS.get(column.sort, "General")
    ws.freeze_panes = f"C{FIRST_ROW}"
    ws.print_title_rows = f"{HEAD_ROW}:{HEAD_ROW + 1}"
    ws.print_area = f"A1:{get_column_letter(len(plan.columns) + 1)}{end}"
    wide = math.ceil(sum(c.width for c in plan.columns) / PAGE_WIDTH)
    if wide > 1:
        ws.print_title_cols = "A:B"
    _paper(ws, COPPER, wide=wide)


def _line(ws: Worksheet, row: int, plan: Plan, line: Line, *, example: bool) -> None:
    font = _font(colour=FAINT, italic=True) if example else _font()
    if example:
        _put(ws.cell(row, 1), SKIP_WORDS[0], _font(size=8, colour=COPPER, bold=True))
    for n, column in enumerate(plan.columns, start=2):
        if column.key in line:
            bold = column.key in _BEGINS and column.sort in ("name", "text") and not example
            _put(ws.cell(row, n), line[column.key], _font(bold=True) if bold else font)


def _choose(ws: Worksheet, column: int, source: str) -> None:
    """A drop-down. It warns and does not forbid: an Id is an answer too, and the reader says what is wrong."""
    letter = get_column_letter(column)
    pick = DataValidation(type="list", formula1=source, allow_blank=True, errorStyle="warning", showErrorMessage=False)
    pick.add(f"{letter}{FIRST_ROW}:{letter}{LAST_LISTED}")
    ws.add_data_validation(pick)


def _list_of(column: Column, lists: Mapping[Choices, str]) -> str:
    """Where the drop-down of a column takes its words from: the Words sheet, or the names on another sheet."""
    if column.lists:
        return f"{column.lists}!$B${FIRST_ROW}:$B${LAST_LISTED}"
    return lists.get(column.choices, "")


def _columns_with_words() -> list[tuple[str, Column]]:
    """Every list of words, once: (what it is called on the Words sheet, the column that asks for it)."""
    out: dict[Choices, tuple[str, Column]] = {}
    for plan in PLANS:
        for column in plan.columns:
            if column.choices and column.choices not in out:
                out[column.choices] = (f"{plan.name}: {column.head}", column)
    return list(out.values())


def _words_at() -> dict[Choices, str]:
    """The cells of the Words sheet that hold each list of words."""
    places: dict[Choices, str] = {}
    for n, (_, column) in enumerate(_columns_with_words(), start=1):
        letter = get_column_letter(n)
        places[column.choices] = f"{WORDS}!${letter}${HEAD_ROW + 1}:${letter}${HEAD_ROW + len(column.choices)}"
    return places


def _words(ws: Worksheet) -> None:
    _title(ws, WORDS, "The words that the drop-downs offer. Figures of a stage are explained on the right.")
    for n, (head, column) in enumerate(_columns_with_words(), start=1):
        _head(ws, HEAD_ROW, n, head)
        ws.column_dimensions[get_column_letter(n)].width = 18
        for row, (word, _) in enumerate(column.choices, start=HEAD_ROW + 1):
            _put(ws.cell(row, n), word, _font())
    first = len(_columns_with_words()) + 2
    for n, (head, width) in enumerate(
        (("Figure", 20), ("What it asks for", 60), ("Kinds that take it", 50)), start=first
    ):
        _head(ws, HEAD_ROW, n, head)
        ws.column_dimensions[get_column_letter(n)].width = width
    for row, (key, (word, note)) in enumerate(FIGURES.items(), start=HEAD_ROW + 1):
        for n, text in enumerate((word, note, kinds_that_take(key)), start=first):
            _put(ws.cell(row, n), text, _font())
    ws.freeze_panes = f"A{HEAD_ROW + 1}"
    _paper(ws, INK)


def _house(ws: Worksheet, answers: Line) -> None:
    example = {"since": date(2026, 1, 1), **rows(example_book())[HOUSE][0]}
    _title(ws, HOUSE, HOUSE_PLAN.what)
    for n, (head, width) in enumerate(
        (("Asked", 20), ("Answer", 34), ("For example", 26), ("In plain words", 78)), start=1
    ):
        _head(ws, HEAD_ROW, n, head)
        ws.column_dimensions[get_column_letter(n)].width = width
    thin = Border(bottom=Side(style="hair", color=RULE))
    box = Side(style="thin", color=COPPER)
    for row, column in enumerate(HOUSE_PLAN.columns, start=FIRST_ROW):
        _put(ws.cell(row, 1), column.head, _font(bold=True))
        cell = ws.cell(row, 2)
        _put(cell, answers.get(column.key, ""), _font())
        cell.border = Border(left=box, right=box, top=box, bottom=box)
        cell.number_format = _FORMATS.get(column.sort, "General")
        if column.key != "layout":
            _put(ws.cell(row, 3), example.get(column.key, ""), _font(colour=FAINT, italic=True))
        _put(ws.cell(row, 4), column.note, _font(colour=FAINT, size=9))
        ws.cell(row, 1).border = ws.cell(row, 3).border = ws.cell(row, 4).border = thin
    ws.freeze_panes = f"A{HEAD_ROW + 1}"
    _paper(ws, COPPER)


def _start(ws: Worksheet) -> None:
    _title(ws, TITLE, "Fill it in from left to right; only House, Ingredients and Packs are needed to begin.")
    for letter, width in (("A", 18), ("B", 22), ("C", 78)):
        ws.column_dimensions[letter].width = width
    row = HEAD_ROW
    for text in GUIDE:
        _put(ws.cell(row, 1), text, _font())
        ws.merge_cells(start_row=row, start_column=1, end_row=row, end_column=3)
        ws.row_dimensions[row].height = 14.0 * (1 + len(text) // 112) + 2
        row += 1
    for plan in (HOUSE_PLAN, *PLANS):
        row += 1
        _head(ws, row, 1, plan.name)
        _head(ws, row, 2, "")
        _head(ws, row, 3, plan.what)
        ws.row_dimensions[row].height = 14.0 * (1 + len(plan.what) // 84) + 2
        for column in plan.columns:
            row += 1
            _put(ws.cell(row, 2), column.head + (" (needed)" if column.needed else ""), _font(bold=column.needed))
            _put(ws.cell(row, 3), column.note, _font())
            ws.row_dimensions[row].height = 14.0 * (1 + len(column.note) // 84) + 1
    _paper(ws, INK, landscape=False)
