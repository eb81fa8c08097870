"""The decimal mark of a column: what its cells say together that one cell alone leaves open."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import product
from typing import Literal

from costing.supply.arriving.table import DayCell, Figure, Unworked
from costing.supply.packs.numbers import LONGEST, cell
from costing.supply.packs.numerals import COMMA, POINT, fold

Why = Literal["no-marks", "decimals", "both-marks", "repeated-mark", "contradiction", "ambiguous", "products"]
_QUICK = re.compile(r"-?[0-9]+([.,])(?:[0-9]{1,2}|[0-9]{4,})")
_SEPARATORS = re.compile("[.,' ]")
_STORED = (Figure, DayCell, Unworked)
Readings = tuple[tuple[Decimal, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """The decimal mark of a column, None where it is not known.

    ``why``: "decimals" (a last group that has not three digits), "both-marks" (1.234,56), "repeated-mark" (1.234.567),
    "products" (quantity x price = total); "no-marks" needs none; "ambiguous" has only cells like 1.204; in a
    "contradiction" cells ``seen`` say both, and none is outvoted. ``ambiguous`` counts the cells that have two readings
    when they stand alone. ``sure`` is False where somebody has to be asked.
    """

    mark: str | None
    sure: bool
    why: Why
    ambiguous: int = 0
    seen: tuple[str, ...] = ()


def column_mark(texts: Iterable[str]) -> Mark:
    """The vote of a column. Numbers and days that a sheet stored as such, and what is no number, do not vote."""
    votes: dict[str, tuple[str, Why]] = {}
    first: dict[str, tuple[str, Why]] = {}
    ambiguous = 0
    for text in texts:
        if (POINT not in text and COMMA not in text and text.isascii()) or isinstance(text, _STORED):
            continue
        vote = votes.get(text)
        if vote is None:
            vote = votes[text] = _vote(text)
        mark, why = vote
        if mark == "?":
            ambiguous += 1
        elif mark and (mark not in first or (first[mark][1] == "decimals" != why)):
            first[mark] = (text, why)
    seen = tuple(text for text, _ in first.values())
    if len(first) > 1:
        return Mark(mark=None, sure=False, why="contradiction", ambiguous=ambiguous, seen=seen)
    for mark, (_, why) in first.items():
        return Mark(mark=mark, sure=True, why=why, ambiguous=ambiguous, seen=seen)
    return Mark(mark=None, sure=not ambiguous, why="ambiguous" if ambiguous else "no-marks", ambiguous=ambiguous)


def _vote(text: str) -> tuple[str, Why]:
    """(the mark that one cell fixes, "?" where it may be either, "" where it says nothing; why)."""
    if quick := _QUICK.fullmatch(text):
        return quick[1], "decimals"
    values, plain = _readings(text)
    if len(values) != 1:
        return "?" if values else "", "ambiguous"
    mark = values[0][1]
    kinds = set(_SEPARATORS.findall(plain))
    if mark and mark not in plain:
        return mark, "repeated-mark"
    return mark, "both-marks" if len(kinds - {" "}) > 1 else "decimals"


def _readings(text: str) -> tuple[Readings, str]:
    if len(text) > LONGEST:
        return (), text
    plain = fold(text)
    found = cell(plain)
    return (found[0] if found else ()), plain


def mark_by_products(rows: Iterable[tuple[str, str, str]]) -> Mark:
    """The mark that makes quantity x price = total in (quantity, price, total) rows, for columns left "ambiguous".

    A row counts where every way of reading it that comes out right takes the same mark for its ambiguous cells; in
    3 x 4,537 = 13,611 both do, and it says nothing. Rows that never come out (a discount) are passed over. The total
    may be off by the rounding of what is shown.
    """
    first: dict[str, str] = {}
    open_cells = 0
    for row in rows:
        options = [_options(text) for text in row]
        open_cells += sum(len(values) > 1 for values in options)
        marks = _marks_that_work(options)
        if len(marks) == 1:
            first.setdefault(marks.pop(), " x ".join(row[:2]) + f" = {row[2]}")
    seen = tuple(first.values())
    if len(first) == 1:
        return Mark(mark=next(iter(first)), sure=True, why="products", ambiguous=open_cells, seen=seen)
    why: Why = "contradiction" if first else "ambiguous" if open_cells else "no-marks"
    return Mark(mark=None, sure=not open_cells, why=why, ambiguous=open_cells, seen=seen)


def _options(text: str) -> Readings:
    values = _readings(text)[0]
    return values[:1] if isinstance(text, Figure) else values  # the reading with its own mark, a point, stands first


def _marks_that_work(options: Sequence[Readings]) -> set[str]:
    """The marks of the readings that come out right; none where nothing is open, or cells would need different ones."""
    marks: set[str] = set()
    if all(len(values) == 1 for values in options):
        return marks
    for chosen in product(*options):
        quantity, price, total = (value for value, _ in chosen)
        slack = min(_half(total) + quantity * _half(price), total / 50)
        if total and abs(quantity * price - total) <= slack:
            used = [mark for (_, mark), values in zip(chosen, options, strict=True) if len(values) > 1]
            marks.update(used)
    return marks


def _half(value: Decimal) -> Decimal:
    """Half of the last place that is shown."""
    exponent = value.as_tuple().exponent
    return Decimal("0.5").scaleb(exponent if isinstance(exponent, int) else 0)
