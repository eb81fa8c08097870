"""A till's file as somebody can look at it before anything is written: its columns, and its first rows as read."""

from dataclasses import dataclass
from decimal import Decimal

from costing.supply.arriving.doubt import Doubt
from costing.supply.arriving.table import Table
from costing.supply.columns.heading_rows import headings_of
from costing.supply.columns.looks import column_cells
from costing.supply.columns.record import body_at
from costing.supply.till.plan_record import Fate, SalesPlan
from costing.supply.till.record import TillLines, TillRow

SAMPLES = 4
"""Cells of a column that are shown beside its heading."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ColumnSeen:
    """One column of the file: where it stands (from 0), its heading, the ``role`` it is read as ("" for none) and its
    first cells."""

    column: int
    header: str
    role: str = ""
    cells: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SalesCell:
    """One cell of a column in use: the ``text`` as it came and the ``value`` in plain figures, "" where none was
    read."""

    role: str
    text: str
    value: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SalesRow:
    """One row: its number in the file, its cells, what becomes of it, and its doubts. A row that sells nothing has its
    ``text`` and the reason ``why``."""

    n: int
    fate: Fate
    cells: tuple[SalesCell, ...] = ()
    text: str = ""
    why: str = ""
    doubts: tuple[Doubt, ...] = ()


def till_columns(table: Table, lines: TillLines) -> tuple[ColumnSeen, ...]:
    """Every column with its role, for somebody to correct."""
    columns = lines.columns
    heads = headings_of(table, columns.header_at, columns.header_rows)
    roles = {use.column: use.role for use in columns.uses}
    body = table.rows[body_at(columns) :]
    width = max(map(len, table.rows), default=0)
    out = []
    for column in range(width):
        cells = [cell.strip() for cell in column_cells(body, column) if cell.strip()]
        header = heads[column] if column < len(heads) else ""
        out.append(ColumnSeen(column=column, header=header, role=roles.get(column, ""), cells=tuple(cells[:SAMPLES])))
    return tuple(out)


def preview_sales(plan: SalesPlan, n: int = 12) -> tuple[SalesRow, ...]:
    """The first ``n`` rows below the heading, with what becomes of each."""
    rows = {row.n: row for row in plan.lines.rows}
    left = {one.n: one for one in plan.lines.left}
    out = []
    for fate in plan.fates[:n]:
        row = rows.get(fate.n)
        if row is None:
            out.append(SalesRow(n=fate.n, fate=fate.fate, text=left[fate.n].text, why=fate.why))
            continue
        cells = tuple(
            SalesCell(role=use.role, text=row.said(use.role), value=_value(row, use.role))
            for use in plan.lines.columns.uses
        )
        out.append(SalesRow(n=fate.n, fate=fate.fate, cells=cells, why=fate.why, doubts=row.doubts))
    return tuple(out)


def _value(row: TillRow, role: str) -> str:
    if role == "item":
        return row.text
    if role == "time":
        return "" if row.minutes is None else f"{row.minutes // 60:02d}:{row.minutes % 60:02d}"
    value = getattr(row, role, None)
    if isinstance(value, Decimal):
        return f"{value:f}"
    return "" if value is None else str(value)
