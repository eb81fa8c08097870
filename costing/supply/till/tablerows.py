"""Which rows below the heading sell something, and why the others do not."""

import re
from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any

from costing.book.buying import Columns
from costing.supply.arriving.table import Table, Unworked
from costing.supply.columns.folding import folded
from costing.supply.columns.record import body_at, place
from costing.supply.till.cells import NOTHING, DayColumn, FigureColumn
from costing.supply.till.record import TillLeft, TillRow, TotalSeen, Why
from costing.supply.till.roles import MONEY, SUMMED, TillRole
from costing.supply.till.sums import Running, only_total, says_total
from costing.supply.till.vocabulary import PAGE, PRINTED

_PAGE, _PRINTED = re.compile(PAGE, re.IGNORECASE), re.compile(PRINTED)
FOOT = 4
"""Cells that the foot of a page has at most."""
_TEXTS: Mapping[TillRole, str] = {
    "outlet": "outlet", "code": "code", "item": "text", "category": "category", "parent": "parent", "line": "line",
    "check": "check", "server": "server", "flag": "flag", "reason": "reason",
}  # fmt: skip
"""Columns of text, and the field of a row that holds each."""


def plain_rows(table: Table, columns: Columns) -> tuple[list[int], list[TillLeft]]:
    """(indices of the rows that may sell something or be a total, the others that are not empty)."""
    heads = {_form(row) for row in table.rows[columns.header_at : body_at(columns)]} - {()}
    above = {_texts(row) for row in table.rows[: columns.header_at]} - {()}
    hidden = table.hidden_rows if columns.hidden == "leave" else frozenset()
    item, by_check = place(columns, "item"), place(columns, "check") is not None
    plain: list[int] = []
    left: list[TillLeft] = []
    for i, row in enumerate(table.rows[body_at(columns) :], body_at(columns)):
        filled = [cell.strip() for cell in row if cell.strip()]
        if not filled and not any(isinstance(cell, Unworked) for cell in row):
            continue
        why: Why | None = None
        if i in hidden:
            why = "hidden"
        elif heads and _repeats(row, heads):
            why = "heading-again"
        elif (
            tuple(filled) in above
            or _is_page(filled)
            or (len(filled) <= FOOT and _names_none(row, columns) and _is_foot(filled))
        ):
            why = "page"
        elif len(set(filled)) == 1 and not any(ch.isdigit() for ch in filled[0]) and not says_total(filled[0]):
            named = item is not None and item < len(row) and row[item].strip()
            why = None if named and by_check else "group"
        if why is None:
            plain.append(i)
        else:
            left.append(TillLeft(n=i + 1, text=" | ".join(dict.fromkeys(filled)), why=why))
    return plain, left


def _texts(row: Sequence[str]) -> tuple[str, ...]:
    return tuple(cell.strip() for cell in row if cell.strip())


def _is_page(filled: Sequence[str]) -> bool:
    """Whether a row only counts the pages."""
    if len(filled) > 3 or not all(_PAGE.fullmatch(text) for text in filled):
        return False
    return any(ch.isalpha() for text in filled for ch in text)


def _is_foot(filled: Sequence[str]) -> bool:
    """Whether a row counts the pages beside the words of who printed them, and when."""
    pages = [text for text in filled if _PAGE.fullmatch(text) and any(ch.isalpha() for ch in text)]
    return bool(pages) and all(text in pages or _PRINTED.search(folded(text)) for text in filled)


def _names_none(row: Sequence[str], columns: Columns) -> bool:
    """Whether the cells that name a button are empty, or the first of a row that runs over them."""
    places = {at for role in ("item", "code") if (at := place(columns, role)) is not None}
    return all(not _cell(row, at) or _PRINTED.search(folded(_cell(row, at))) for at in places)


def _form(row: Sequence[str]) -> tuple[str, ...]:
    cells = [folded(cell) for cell in row]
    while cells and not cells[-1]:
        cells.pop()
    return tuple(cells)


def _repeats(row: Sequence[str], heads: set[tuple[str, ...]]) -> bool:
    """Whether a row is one of the heading again. Quick: rows of figures are none."""
    if sum(ch.isdigit() for cell in row for ch in cell) > len(row):
        return False
    return _form(row) in heads


def rows_and_totals(
    table: Table,
    columns: Columns,
    plain: Sequence[int],
    figures: Mapping[TillRole, FigureColumn],
    stamps: DayColumn,
) -> tuple[list[TillRow], list[TillLeft], list[TotalSeen]]:
    """The rows, those that are totals (or hold nothing that a till sells), and each total beside its rows."""
    uses = {use.role: use.column for use in columns.uses}
    texts = [(field, uses[role]) for role, field in _TEXTS.items() if role in uses]
    lone = "check" in uses or "parent" in uses
    columns_of = {column for role, column in uses.items() if role in figures}
    rows: list[TillRow] = []
    left: list[TillLeft] = []
    totals: list[TotalSeen] = []
    running = Running()
    for at, i in enumerate(plain):
        row = table.rows[i]
        said = {field: _cell(row, column) for field, column in texts}
        values = {role: column.values[at] for role, column in figures.items()}
        summed = {role: value for role in SUMMED if (value := values.get(role)) is not None}
        label = _label(row, columns_of) or (said["text"] if says_total(said.get("text", "")) else "")
        if _is_total(said.get("text", ""), said.get("code", ""), label, summed, running):
            shown = " | ".join(cell.strip() for cell in row if cell.strip())[:120]
            left.append(TillLeft(n=i + 1, text=shown, why="total"))
            if summed:
                totals.append(running.seen(i + 1, label, summed))
            running.begin()
            continue
        odd = [column.odd[at] for column in figures.values() if at in column.odd]
        if at in stamps.odd:
            odd.append(stamps.odd[at])
        named = said.get("text") or said.get("code")
        if not (named and lone) and all(_cell(row, column) in NOTHING for column in columns_of):
            shown = " | ".join(cell.strip() for cell in row if cell.strip())[:120]
            left.append(TillLeft(n=i + 1, text=shown, why="note"))
            continue
        running.add(summed)
        raw = tuple((use.role, row[use.column]) for use in columns.uses if use.column < len(row) and row[use.column])
        cells: dict[Any, Any] = {**said, **values, "amount": _amount(values)}
        rows.append(
            TillRow(
                n=i + 1, raw=raw, day=stamps.days[at], calendar=stamps.calendar[at], minutes=stamps.minutes[at],
                doubts=tuple(odd), **cells,
            )
        )  # fmt: skip
    return rows, left, totals


def _amount(values: Mapping[TillRole, Decimal | None]) -> Decimal | None:
    """What was left after discount, by the one column of a file that says it."""
    main = next((role for role in MONEY if role in values), None)
    amount = values[main] if main is not None else None
    discount = values.get("discount")
    return amount - discount if main == "gross" and amount is not None and discount is not None else amount


def _cell(row: Sequence[str], column: int) -> str:
    return " ".join(row[column].split()) if column < len(row) else ""


def _label(row: Sequence[str], figures: set[int]) -> str:
    """The first cell, or the first that is no figure, where it speaks of a total; "" where none does."""
    for column, cell in enumerate(row):
        if cell.strip() and column not in figures:
            text = cell.strip()
            if says_total(text):
                return text
            if any(ch.isalpha() for ch in text):
                break
    return ""


def _is_total(item: str, code: str, label: str, summed: Mapping[TillRole, Decimal], running: Running) -> bool:
    """Whether a row is a total: by its words where nothing in it names a button, else only where it adds up too."""
    if label:
        names = {item, code} - {"", " ".join(label.split())}
        in_item = " ".join(label.split()) in (item, code)
        if not names and (not in_item or only_total(label)):
            return True
        return running.same(summed)
    return not item and not code and running.same(summed, 1)
