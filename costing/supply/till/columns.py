"""What each column of a till's export means, as far as headings and cells can say; the rest is asked."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from costing.book.buying import Columns, Use
from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.table import Table, Unworked
from costing.supply.columns.days import looks_like_day
from costing.supply.columns.heading_rows import headings_of
from costing.supply.columns.looks import column_cells, spread
from costing.supply.columns.record import with_uses
from costing.supply.packs.numbers import read_number
from costing.supply.till.cells import without_times
from costing.supply.till.headings import find_till_heading, meanings
from costing.supply.till.marks import flag_of_words
from costing.supply.till.roles import FIGURES, MONEY, TillRole
from costing.supply.till.stamps import split_stamp

SAMPLE = 400
"""Rows that are looked at, spread over the table."""
MOSTLY = 0.7
"""Share of filled cells that must be figures, or must not be, for a role of figures or of texts."""
SOME = 0.25
"""The same where the heading leaves no doubt."""
FEW_RATES = 3
"""Rows for each different figure from which a column of whole figures is one of rates."""
_CALLED = 0.3
"""Share of figures up to which a column may still hold the names of buttons."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TillGuess:
    """``columns`` as guessed; ``asked`` is what somebody has to say before anything can be counted, ``doubts`` what
    should be looked at."""

    columns: Columns
    doubts: tuple[Doubt, ...] = ()
    asked: tuple[Doubt, ...] = ()


def guess_till_columns(table: Table) -> TillGuess:
    """The columns of an export that arrives for the first time: headings in six languages, borne out by the cells."""
    at, rows = find_till_heading(table)
    width = max(map(len, table.rows), default=0)
    heads = (*headings_of(table, at, rows), *[""] * width)[:width]
    body = [row for i, row in enumerate(table.rows[at + rows :], at + rows) if i not in table.hidden_rows]
    body = [row for row in body if sum(bool(cell.strip()) for cell in row) > 1]
    picked = [body[i] for i in spread(len(body), SAMPLE)]
    taken: dict[TillRole, Use] = {}
    twice: list[Doubt] = []
    for column, head in enumerate(heads):
        if column in table.hidden_columns:
            continue
        shares = _shares(column_cells(picked, column))
        said = meanings(head)
        if said[:1] == ("category",) and _marks(column_cells(picked, column)):
            said = ("flag", *said)
        fits = [role for role in said if _fits(role, *shares, sole=len(said) == 1)]
        if "tax" in fits and _rates(column_cells(picked, column)):
            continue
        free = [role for role in fits if role not in taken]
        if free:
            taken[free[0]] = Use(role=free[0], column=column, header=head)
        elif fits and fits[0] in ("qty", "net", "gross", "paid"):
            one, other = taken[fits[0]].header, head
            twice.append(doubt("sales-column-twice", fits[0], one=one, other=other))
    columns = Columns(
        uses=(), header_at=at, header_rows=rows, width=width, sheet=table.sheet, delimiter=table.delimiter,
        encoding=table.encoding,
    )  # fmt: skip
    columns = with_uses(columns, taken.values())
    return TillGuess(columns=columns, doubts=tuple(twice), asked=lacking(columns))


def lacking(columns: Columns) -> tuple[Doubt, ...]:
    """What no column says and nothing can be counted without."""
    roles = {use.role for use in columns.uses}
    out = []
    if not roles & {"item", "code"}:
        out.append(doubt("sales-no-item", "item"))
    if "qty" not in roles:
        out.append(doubt("sales-no-qty", "qty"))
    return tuple(out)


def counts_only(columns: Columns) -> bool:
    """Whether no column holds money."""
    return not {use.role for use in columns.uses} & {*MONEY}


def _marks(cells: Sequence[str]) -> bool:
    """Whether the cells of a column that groups rows are words for sales, voids and the like."""
    filled = [cell for cell in cells if cell.strip()]
    flags = [flag_of_words(cell) for cell in filled]
    return bool(filled) and all(flags) and "sold" in flags and len(set(flags)) > 1


def _rates(cells: Sequence[str]) -> bool:
    """Whether a column of tax holds rates and no money: per cents, or few whole numbers over and over."""
    read = [read_number(cell) for cell in cells if cell.strip()]
    if any(one.percent for one in read):
        return all(one.percent or not one.value for one in read)
    seen = {one.value for one in read}
    whole = {value for value in seen if value and value == int(value) and 3 <= value <= 30}
    return len(read) >= FEW_RATES * len(seen) and bool(whole) and seen <= whole | {Decimal(0), None}


def _shares(cells: Sequence[str]) -> tuple[float, float, float]:
    """Of the filled cells: (figures, days, figures that are neither 0 nor 1)."""
    filled = [cell for cell in cells if cell.strip() and cell.strip() != "-" and not isinstance(cell, Unworked)]
    if not filled:
        return -1.0, -1.0, 0.0
    read = [cell for cell in filled if read_number(without_times(cell)).state in ("number", "ambiguous")]
    large = sum(cell.strip() not in ("0", "1") for cell in read)
    days = sum(looks_like_day(split_stamp(cell)[0]) for cell in filled)
    return len(read) / len(filled), days / len(filled), large / len(filled)


def _fits(role: TillRole, figures: float, days: float, large: float, *, sole: bool) -> bool:
    """Whether the cells bear a role out. A column without a cell bears everything out; where a heading has one meaning
    alone some figures are enough, and the other cells are named."""
    if figures < 0:
        return True
    if role in FIGURES:
        return figures >= (SOME if sole else MOSTLY)
    if role == "day":
        return days > 0 if sole else days >= 0.5
    if role == "item":
        return figures <= _CALLED and days <= _CALLED
    if role == "covers":
        return figures >= MOSTLY
    if role == "flag":
        return large <= _CALLED
    return True
