"""Lists written by hand, one good a line with no sign between cells: cut into name, pack, price and unit of sale."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, fields
from functools import lru_cache
from itertools import pairwise

from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.table import Table
from costing.supply.columns.folding import folded
from costing.supply.columns.packing import pack_from
from costing.supply.columns.vocabulary import PACK
from costing.supply.packs.numbers import read_number

_PRICES = frozenset({"number", "ambiguous", "several"})
USES = ("name", "pack", "price", "unit")
"""What the cells of a cut line say, from left to right."""
MOST = 5000
"""Lines: longer lists come out of a program, which puts signs between cells."""
SHARE = 0.3
"""The least share of lines that have to end in a price."""
_SIGN = r"(?:[€£$¥]|[A-Z]{3}|[Ff]r\.|kr\.?)"
_SEVERAL = r"(?:\d{1,3} ?(?:/|for|für|pour|voor|por) ?)"
_LINE = re.compile(
    rf"(?P<rest>.*?[^\W\d_]{{2}}.*?)(?P<gap>[\s:=]+[-–@]?\s*)(?P<price>{_SEVERAL}?(?:{_SIGN}\s?)?\d[\d.,']*(?:[.,]-)?(?:\s?{_SIGN})?)"
    r"(?P<unit>\s*(?:/|per |pro |je |par |a |à |each|ea\b).*)?"
)
_PACK = re.compile(PACK)
_DECIMALS, _SENTENCE = re.compile(r"\d{1,3}(?!\d)"), re.compile(r" [^\W\d_]{2}")
_WORD, _DIGIT = re.compile(r"[^\W\d_]{2}"), re.compile(r"\d")
_SURE_PRICE = re.compile(r"\d[.,]\d\d(?!\d)|[€£]")


@dataclass(frozen=True, slots=True, kw_only=True)
class PlainLines(Table):
    """A table whose rows were lines of a text, cut into cells by ``USES``."""


def cut(table: Table) -> Table:
    """``table`` with its lines cut into cells by ``USES``, row for row, where it is a text of plain lines; the same
    table where it is none. A line that does not end in a price stays whole, in its first cell."""
    if (
        isinstance(table, PlainLines)
        or table.shape not in ("text", "paste")
        or table.delimiter not in ("", ",")
        or len(table.rows) > MOST
    ):
        return table
    return _cut(table) or table


@lru_cache(maxsize=4)
def _cut(table: Table) -> Table | None:
    lines = [_whole(row, table.delimiter) for row in table.rows]
    filled = [line for line in lines if line]
    if not filled or any(line is None for line in lines):
        return None
    cells = [_cells(line or "") for line in lines]
    priced = sum(len(row) > 1 for row in cells)
    if not priced or priced < SHARE * len(filled):
        return None
    width = len(USES)
    rows = tuple((*row, *[""] * (width - len(row))) for row in cells)
    same = {field.name: getattr(table, field.name) for field in fields(table)}
    return PlainLines(**(same | {"rows": rows, "delimiter": "", "sure": False}))


def _whole(row: Sequence[str], sign: str) -> str | None:
    """The line that a row was; None where its cells are cells, and not a number cut at its decimal mark or a sentence
    cut at its comma."""
    cells = list(row)
    while cells and not cells[-1].strip():
        cells.pop()
    if any(type(cell) is not str for cell in cells):
        return None
    for left, right in pairwise(cells):
        if not (left[-1:].isdigit() and _DECIMALS.match(right)) and not _SENTENCE.match(right):
            return None
    return sign.join(cells).strip()


def _cells(line: str) -> tuple[str, ...]:
    """The cells of one line; the whole of it where it does not end in a price."""
    found = _LINE.fullmatch(line)
    if found is None or read_number(found["price"].strip()).state not in _PRICES:
        return (line,)
    name, pack = _apart(found["rest"].strip(" \t:-–"))
    return (name, pack, found["price"].strip(), (found["unit"] or "").strip()) if name else (line,)


def _apart(text: str) -> tuple[str, str]:
    """(name, pack) where the pack begins or ends a text; a pack inside of a name stays there."""
    pack = pack_from(text)
    first, last = pack.span
    if pack.total is None or first == last:
        return text, ""
    before, after = text[:first].strip(" ,:-–"), text[last:].strip(" ,:-–")
    if not _WORD.search(after) or _PACK.fullmatch(folded(after)):
        return before, text[first:].strip() if _WORD.search(before) else ""
    return (after, text[:last].strip()) if not before else (text, "")


def unsure(cells: Sequence[str]) -> tuple[Doubt, ...]:
    """The doubt of a line that may be meant otherwise: no price that looks like one, or no pack that is read without
    reserve."""
    name, pack, price, unit = cells
    plain = bool(pack) and not pack_from(pack).doubts and bool(_SURE_PRICE.search(price))
    return () if plain else (doubt("line-cut", "", value=" ".join(cell for cell in (name, pack, price, unit) if cell)),)


def says_something(text: str) -> bool:
    """Whether a row holds a word and a number, as a line of goods does."""
    return bool(_WORD.search(text) and _DIGIT.search(text))
