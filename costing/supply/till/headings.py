"""What the heading of a column of a till's export says, and where the heading stands."""

import re
from collections.abc import Sequence
from functools import lru_cache

from costing.supply.arriving.table import DayCell, Figure, Table
from costing.supply.columns.folding import folded
from costing.supply.columns.heading_rows import JOINT, headings_of
from costing.supply.till.roles import MONEY, TillRole
from costing.supply.till.vocabulary import BUSINESS_DAY, HEADINGS, TAX, TAX_IN_OR_OUT

DEEPEST = 80
"""Rows from the top among which a heading is looked for."""
LONGEST = 48
_RULES: tuple[tuple[TillRole, re.Pattern[str]], ...] = tuple(
    (role, re.compile(rf"(?:{pattern})")) for role, pattern in HEADINGS
)
_BUSINESS = re.compile(BUSINESS_DAY)
_TAX_SAID = re.compile(rf"\b(?:{TAX_IN_OR_OUT})(?: of| de| la| l)? {TAX}\b")
_MONEY_SIGN = re.compile(r"\b(?:in )?(?:eur|euro|gbp|usd|chf|jpy)\b")


@lru_cache(maxsize=4096)
def meanings(heading: str) -> tuple[TillRole, ...]:
    """Every role that a heading may have, the likeliest first; () where no word of it is known. Of a heading in two
    rows the whole is asked, then the lower row alone."""
    text = " ".join(_MONEY_SIGN.sub(" ", folded(heading)).split())
    found = _fitting(text) or _fitting(" ".join(_TAX_SAID.sub(" ", text).split()))
    if not found and JOINT in heading:
        return meanings(heading.rpartition(JOINT)[2])
    return found


def _fitting(text: str) -> tuple[TillRole, ...]:
    return tuple(role for role, pattern in _RULES if pattern.fullmatch(text)) if text else ()


def is_business_day(heading: str) -> bool:
    """Whether a column of days holds business days, so that no night has to be moved."""
    return bool(_BUSINESS.search(folded(heading)))


def find_till_heading(table: Table) -> tuple[int, int]:
    """(index of the first row of the heading, its rows); 0 rows where none is found: then at the first row with two
    cells and a figure."""
    best, rows, top = -1, 1, 0
    for i in range(min(DEEPEST, len(table.rows))):
        one = _score(headings_of(table, i, 1), table.rows[i])
        if one > top:
            best, rows, top = i, 1, one
        if i + 1 < len(table.rows) and not any(map(_is_data, (*table.rows[i], *table.rows[i + 1]))):
            two = _score(headings_of(table, i, 2), ())
            if two > max(one, top) and two > _score(headings_of(table, i + 1, 1), ()):
                best, rows, top = i, 2, two
    if best >= 0:
        return best, rows
    for i, row in enumerate(table.rows):
        if sum(bool(cell.strip()) for cell in row) > 1 and any(map(_is_data, row)):
            return i, 0
    return 0, 0


def _score(heads: Sequence[str], row: Sequence[str]) -> int:
    """How many roles a row names, less its figures; 0 unless it names what was sold and how many, or for how much."""
    filled = [head for head in heads if head]
    if len(filled) < 2 or any(len(head) > LONGEST for head in filled):
        return 0
    said = [meanings(head) for head in filled]
    roles = {role for found in said for role in found[:1]}
    anywhere = {role for found in said for role in found}
    known = sum(map(bool, said))
    if not anywhere & {"item", "code"} or not anywhere & {"qty", *MONEY} or known * 5 < len(filled) * 2:
        return 0
    return max(0, len(roles) - sum(map(_is_data, row)))


def _is_data(cell: str) -> bool:
    if isinstance(cell, Figure | DayCell):
        return True
    digits = sum(ch.isdigit() for ch in cell)
    return digits > 0 and digits * 2 >= sum(ch.isalnum() for ch in cell)
