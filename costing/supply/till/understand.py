"""A table of text cells as rows of a till. Every row below the heading becomes one, or is left with its reason."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from costing.book.buying import Columns
from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.table import Table
from costing.supply.columns.days import Order
from costing.supply.columns.looks import column_cells
from costing.supply.columns.places import standing
from costing.supply.columns.record import use_of
from costing.supply.packs.marks import column_mark
from costing.supply.till.cells import NOTHING, DayColumn, DecimalMark, FigureColumn, day_column, figure_column
from costing.supply.till.columns import counts_only, guess_till_columns, lacking
from costing.supply.till.discounts import discounts_taken_off
from costing.supply.till.headings import is_business_day
from costing.supply.till.odd import marks_apart
from costing.supply.till.record import Grain, TillLines, TillRow
from costing.supply.till.roles import FIGURES, TillRole
from costing.supply.till.span import Stated, stated_span
from costing.supply.till.tablerows import plain_rows, rows_and_totals

DAY_ENDS = 5
"""The hour until which the night belongs to the day before, where nobody said otherwise."""


def understand_sales(
    table: Table,
    columns: Columns | None = None,
    *,
    name: str,
    today: date,
    day_ends: int = DAY_ENDS,
    decimal: DecimalMark = "",
    days: Order = "",
) -> TillLines:
    """The rows of ``table`` as ``columns`` says (guessed where None).

    ``columns`` that are given count as said by somebody, with the decimal mark and the order of days they remember;
    ``decimal`` and ``days`` are what somebody answers about this file. What happened before ``day_ends`` o'clock
    belongs to the day before, where the file has calendar stamps.
    """
    doubts: list[Doubt] = []
    if columns is None:
        guess = guess_till_columns(table)
        columns, asked = guess.columns, [*guess.asked]
        doubts += guess.doubts
        if not columns.header_rows:
            asked.append(doubt("sales-no-heading"))
    else:
        columns, odd = standing(table, columns)
        asked = [*odd, *lacking(columns)]
    if counts_only(columns):
        doubts.append(doubt("sales-no-money", "net"))
    plain, left = plain_rows(table, columns)
    figures = _figures(table, columns, plain, decimal)
    stamps = _stamps(table, columns, plain, today=today, days=days, day_ends=day_ends)
    asked += [one for column in figures.values() for one in column.asked] + list(stamps.asked)
    doubts += marks_apart({role: (column.mark, column.shown) for role, column in figures.items()})
    rows, totals_left, totals = rows_and_totals(table, columns, plain, figures, stamps)
    rows = list(discounts_taken_off(rows))
    stated = stated_span(table, columns.header_at, stamps.order, today)
    doubts += _about(stamps, stated)
    qty = figures.get("qty")
    columns = replace(
        columns, decimal=(qty.mark if qty else "") or decimal or columns.decimal, days=stamps.order or columns.days
    )
    if not rows and not asked:
        asked.append(doubt("sales-no-rows"))
    return TillLines(
        name=name, columns=columns, rows=tuple(rows), totals=tuple(totals),
        left=tuple(sorted((*left, *totals_left), key=lambda one: one.n)),
        doubts=tuple(dict.fromkeys(doubts)), asked=tuple(dict.fromkeys(asked)), since=stated.since, until=stated.until,
        stated=stated.text, grain=_grain(columns, rows), moved=stamps.moved,
        outlets=tuple(sorted({row.outlet for row in rows if row.outlet})),
    )  # fmt: skip


def _figures(
    table: Table, columns: Columns, plain: Sequence[int], decimal: DecimalMark
) -> dict[TillRole, FigureColumn]:
    """Every column of figures over the rows ``plain``."""
    rows = [table.rows[i] for i in plain]
    numbers = [i + 1 for i in plain]
    cells = {use.role: column_cells(rows, use.column) for use in columns.uses}
    worth = next((cells[role] for role in ("gross", "net", "paid") if role in cells), None)
    beside: list[tuple[str, str, str]] = []
    if worth is not None and "price" in cells and "qty" in cells:
        beside = list(zip(cells["qty"], cells["price"], worth, strict=True))
    there = [role for role in FIGURES if role in cells]
    marks = {column_mark(cell for cell in cells[role] if cell.strip() not in NOTHING).mark for role in there} - {None}
    # what was remembered of the till no longer counts where a column of this file uses the other mark
    kept: DecimalMark = columns.decimal if marks <= {columns.decimal} else ""
    return {role: figure_column(cells[role], role, numbers, decimal, kept, beside) for role in there}


def _stamps(
    table: Table, columns: Columns, plain: Sequence[int], *, today: date, days: Order, day_ends: int
) -> DayColumn:
    """Days and times over the rows ``plain``."""
    rows = [table.rows[i] for i in plain]
    day, time = use_of(columns, "day"), use_of(columns, "time")
    cells = column_cells(rows, day.column) if day else [""] * len(rows)
    times = column_cells(rows, time.column) if time else []
    return day_column(
        cells, times, [i + 1 for i in plain], today=today, said=days, kept=columns.days,
        business=day is not None and is_business_day(day.header), day_ends=day_ends,
    )  # fmt: skip


def _about(stamps: DayColumn, stated: Stated) -> list[Doubt]:
    out = []
    if stamps.zoned:
        out.append(doubt("sales-zone", "day", count=stamps.zoned))
    if stamps.ahead:
        out.append(doubt("sales-ahead", "day", count=stamps.ahead))
    if stamps.moved:
        out.append(doubt("sales-night", "day", count=stamps.moved))
    if stated.unsure and not any(stamps.days):
        out.append(doubt("sales-period-unsure", "", value=stated.text))
    return out


def _grain(columns: Columns, rows: Sequence[TillRow]) -> Grain:
    """What one row stands for."""
    roles = {use.role for use in columns.uses}
    if "check" in roles:
        return "line" if roles & {"item", "code"} else "check"
    minutes = {row.minutes for row in rows if row.minutes is not None}
    if minutes:
        return "hour" if all(minute % 60 == 0 for minute in minutes) else "line"
    return "day" if any(row.day for row in rows) else "period"
