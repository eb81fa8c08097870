"""What the cells of a column look like, whatever its heading says: shares from 0 to 1 of the cells that are filled."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

from costing.supply.arriving.table import Figure, Table, Unworked
from costing.supply.columns.amounts import amount, mark_of
from costing.supply.columns.days import looks_like_day
from costing.supply.columns.packing import pack_from
from costing.supply.packs.codes import gtin_ok
from costing.supply.packs.currencies import currency_of_text

SAMPLE = 400
"""Rows that are looked at, spread over the whole table."""
_CODE = re.compile(r"(?=.*\d)[\w./#-]{2,24}")
_GTIN = re.compile(r"\d{7,14}")
_WORD = re.compile(r"[^\W\d_]{2,}")
_SIZED = re.compile(r"\d ?[^\W\d_]|[^\W\d_] ?\d")
_YEAR = re.compile(r"(?:19[5-9]\d|20[0-4]\d)|n\.?v\.?", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """``filled`` is the share of rows with a cell; the others are shares of filled cells. ``numbers`` counts prices on
    request too, ``whole`` whole numbers, ``money`` numbers with decimals or a currency, ``sized`` packs with a size,
    ``words`` the average number of words."""

    filled: float = 0.0
    numbers: float = 0.0
    whole: float = 0.0
    money: float = 0.0
    small: float = 0.0
    gtin: float = 0.0
    sized: float = 0.0
    packs: float = 0.0
    unique: float = 0.0
    codes: float = 0.0
    words: float = 0.0
    days: float = 0.0
    years: float = 0.0
    currencies: float = 0.0
    counting: bool = False
    """1, 2, 3 from row to row: positions, and no codes."""


BLANK = Look()


def spread(count: int, most: int = SAMPLE) -> range:
    """Indices of at most ``most`` of ``count`` rows, evenly spread."""
    step = max(1, -(-count // most))
    return range(0, count, step)


def column_cells(rows: Sequence[Sequence[str]], column: int) -> list[str]:
    """The cells of one column; "" where a row is shorter."""
    return [row[column] if column < len(row) else "" for row in rows]


def looks(table: Table, first: int, width: int) -> tuple[Look, ...]:
    """How each column looks from the row ``first`` on, rows with fewer than two cells left out: they are no lines."""
    body = [row for i, row in enumerate(table.rows[first:], first) if i not in table.hidden_rows]
    lines = [row for row in body if sum(map(bool, row)) > 1]
    picked = [lines[i] for i in spread(len(lines))]
    return tuple(look(column_cells(picked, column)) for column in range(width))


def look(cells: Sequence[str]) -> Look:
    """How one column looks."""
    filled = [cell for cell in cells if cell.strip() and not isinstance(cell, Unworked)]
    if not filled:
        return BLANK
    n = len(filled)
    plain = [cell.strip() for cell in filled]
    mark = mark_of(filled).mark
    read = [amount(cell, "", mark) for cell in filled]
    values = [one.value for one in read if one.value is not None]
    is_number = [one.state in ("number", "ambiguous", "several") for one in read]
    counting = _counts_up(plain)
    texts = [text for text, number in zip(plain, is_number, strict=True) if not number]
    sized, packs = _packs(texts)
    return Look(
        filled=n / len(cells), counting=counting,
        numbers=sum(number or one.state == "on-request" for number, one in zip(is_number, read, strict=True)) / n,
        whole=sum(value == value.to_integral_value() for value in values) / n,
        small=sum(0 < value <= 100 for value in values) / n,
        money=sum(bool(one.currency) or _has_part(one.value) for one in read) / n,
        gtin=sum(bool(_GTIN.fullmatch(text)) and gtin_ok(text.zfill(14)) for text in plain) / n,
        sized=sized / n,
        packs=packs / n,
        unique=len(set(plain)) / n,
        codes=sum(bool(_CODE.fullmatch(text)) for text in plain) / n,
        words=sum(len(_WORD.findall(text)) for text in plain) / n,
        days=sum(looks_like_day(cell) for cell in filled) / n,
        years=sum(bool(_YEAR.fullmatch(text)) for text in plain) / n,
        currencies=sum(len(text) <= 4 and not isinstance(cell, Figure) and bool(currency_of_text(text)) for cell,
        text in zip(filled, plain, strict=True)) / n,
    )  # fmt: skip


def _has_part(value: Decimal | None) -> bool:
    return value is not None and value != value.to_integral_value()


def _counts_up(plain: Sequence[str]) -> bool:
    """Whether cells are whole numbers of at most four digits that rise by the same small step from 1 on; the step is
    more than one where rows were picked."""
    if len(plain) < 3 or not all(text.isascii() and text.isdigit() and len(text) < 5 for text in plain):
        return False
    numbers = [int(text) for text in plain]
    steps = {b - a for a, b in pairwise(numbers)}
    return numbers[0] <= 1 and len(steps) == 1 and min(steps) >= 1


def _packs(texts: Sequence[str]) -> tuple[int, int]:
    """(texts with a size, texts with a size or a count) among those short enough to be a pack and no name."""
    sized = packs = 0
    for text in texts:
        if len(text) > 40 or not _SIZED.search(text):
            continue
        pack = pack_from(text)
        sized += pack.total is not None and pack.unit != "each"
        packs += pack.total is not None or bool(pack.levels)
    return sized, packs
