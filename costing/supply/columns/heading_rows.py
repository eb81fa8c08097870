"""Where the heading of a table stands: below a preamble, in one row or in up to three that belong together."""

from collections.abc import Sequence

from costing.supply.arriving.table import DayCell, Figure, Table
from costing.supply.columns.folding import folded
from costing.supply.columns.headings import WHOLE, meaning

JOINT = " / "
"""What stands between the rows of one heading."""
DEEPEST = 80
"""Rows from the top among which a heading is looked for."""
MOST_ROWS = 3
LONGEST = 48
_OPEN = frozenset({"", "pack", "count", "content", "unit", "price", "price_each", "price_measure"})
"""Meanings of a lower row that a word above may change: "Case" below "Prices" is the price of a case."""


def headings_of(table: Table, at: int, rows: int) -> tuple[str, ...]:
    """The heading of every column, its rows joined by " / " and what a row repeats said once.

    A gap in an upper row takes the text to its left (a merged cell has its text only there), unless the row below says
    plainly what the column is.
    """
    lines = table.rows[at : at + rows]
    if not lines:
        return ()
    width = max(map(len, lines))
    last = _padded(lines[-1], width)
    filled = [_filled(_padded(line, width), last) for line in lines[:-1]]
    return tuple(_joined([line[column] for line in (*filled, last)]) for column in range(width))


def _padded(row: Sequence[str], width: int) -> list[str]:
    return [" ".join(cell.split()) for cell in row] + [""] * (width - len(row))


def _filled(upper: list[str], last: list[str]) -> list[str]:
    out, left = [], ""
    for cell, below in zip(upper, last, strict=True):
        left = cell or left
        known = meaning(below)
        takes = not cell and below and (known.role in _OPEN or known.weight < WHOLE)
        if not cell and not takes:
            left = ""
        out.append(left if takes else cell)
    return out


def _joined(cells: Sequence[str]) -> str:
    out: list[str] = []
    for text in cells:
        if text and text not in out:
            out.append(text)
    return JOINT.join(out)


def find_heading(table: Table) -> tuple[int, int]:
    """(index of the first row of the heading, its rows); 0 rows where none is found, at the first row with figures."""
    best, top = -1, 0.0
    for i, row in enumerate(table.rows[:DEEPEST]):
        score = heading_score(row)
        if score > top + 1e-9:
            best, top = i, score
    if best < 0:
        return _first_line(table), 0
    return _widened(table, best)


def heading_score(row: Sequence[str]) -> float:
    """How much a row looks like a heading: certainties of the different roles that its cells name, less its figures.

    0 where fewer than two roles are named, or most cells name none.
    """
    cells = [cell for cell in row if cell.strip()]
    if len(cells) < 2 or (any(len(cell) > LONGEST for cell in cells) and len(set(cells)) < 3):
        return 0.0
    roles: dict[str, float] = {}
    known = 0
    for cell in cells:
        found = meaning(cell) if not _is_data(cell) else None
        if found is not None and found.role:
            known += 1
            roles[found.role] = max(roles.get(found.role, 0.0), found.weight)
    whole = sum(weight >= 0.75 for weight in roles.values())
    if len(roles) < 2 or not whole or known * 5 < len(cells) * 2:
        return 0.0
    return sum(roles.values()) - sum(_is_data(cell) for cell in cells)


def _is_data(cell: str) -> bool:
    if isinstance(cell, Figure | DayCell):
        return True
    digits = sum(ch.isdigit() for ch in cell)
    return digits > 0 and digits * 2 >= sum(ch.isalnum() for ch in cell)


def _first_line(table: Table) -> int:
    for i, row in enumerate(table.rows):
        if sum(bool(cell.strip()) for cell in row) > 1 and any(_is_data(cell) for cell in row):
            return i
    return 0


def _widened(table: Table, at: int) -> tuple[int, int]:
    """The rows below and above that belong to the same heading."""
    rows = 1
    while rows < MOST_ROWS and _belongs_below(table, at, rows):
        rows += 1
    while rows < MOST_ROWS and at > 0 and _belongs_above(table, at, rows):
        at, rows = at - 1, rows + 1
    return at, rows


def _belongs_below(table: Table, at: int, rows: int) -> bool:
    below = at + rows
    if below >= len(table.rows) or below in table.hidden_rows:
        return False
    cells = [cell for cell in table.rows[below] if cell.strip()]
    if not cells or any(ch.isdigit() for cell in cells for ch in cell) or any(len(cell) > LONGEST for cell in cells):
        return False
    if len(set(cells)) == 1 and (table.rows[below][0].strip() or not meaning(cells[0]).role):
        return False
    known = sum(bool(meaning(cell).role) or cell.strip().startswith("(") or _is_money(cell) for cell in cells)
    repeats = folded(JOINT.join(cells)) == folded(JOINT.join(c for c in table.rows[at] if c.strip()))
    return known * 2 >= len(cells) and not repeats and _keeps(table, (at, rows), (at, rows + 1))


def _is_money(cell: str) -> bool:
    return folded(cell) in {"eur", "gbp", "usd", "chf", "eur l", "eur kg", "percent"}


def _belongs_above(table: Table, at: int, rows: int) -> bool:
    above = at - 1
    row = table.rows[above]
    cells = [cell.strip() for cell in row if cell.strip()]
    if not cells or above in table.hidden_rows or any(len(cell) > LONGEST or _is_data(cell) for cell in cells):
        return False
    width = sum(bool(cell.strip()) for cell in table.rows[at])
    if len(set(cells)) == 1 and (len(cells) >= width or row[0].strip()):
        return False
    if not any(meaning(cell).role for cell in cells):
        return False
    return _keeps(table, (at, rows), (above, rows + 1))


def _keeps(table: Table, now: tuple[int, int], wider: tuple[int, int]) -> bool:
    """Whether no column that is plainly known becomes another one, and none that is known becomes unknown."""
    before, after = headings_of(table, *now), headings_of(table, *wider)
    for old, new in zip(before, after, strict=False):
        was, now_is = meaning(old), meaning(new)
        if was.role and was.role != now_is.role and (was.role not in _OPEN or not now_is.role):
            return False
    return True
