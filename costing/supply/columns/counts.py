"""How each row of a table is packed, from whichever columns say so."""

import re
from collections.abc import Sequence

from costing.supply.arriving.table import Figure
from costing.supply.columns.folding import folded
from costing.supply.columns.looks import column_cells
from costing.supply.columns.packing import pack_from, pieces
from costing.supply.columns.record import Columns, place

_UNIT = re.compile(r"\b(ml|cl|dl|l|ltr|litre|liter|litro|hl|g|gr|kg|kilo|lb|oz|fl oz)\b")
_WHOLE = re.compile(r"\d{1,4}")
_INSIDE = re.compile(r"\d")


def unit_of_heading(header: str) -> str:
    """The unit that a heading gives to the bare numbers below it ("Inhalt (cl)"), "" where it gives none or two."""
    found = set(_UNIT.findall(folded(header)))
    return str(found.pop()) if len(found) == 1 else ""


def row_counts(rows: Sequence[Sequence[str]], columns: Columns) -> list[int | None]:
    """How many pieces the pack of each row holds, by the column of counts, else of packs, else by the name; None where
    none of them says."""
    counts = place(columns, "count")
    if counts is not None:
        return [_count(cell) for cell in column_cells(rows, counts)]
    packs, names = place(columns, "pack"), place(columns, "name")
    found = packs if packs is not None else names
    if found is None:
        return [None] * len(rows)
    return [pieces(pack_from(cell)) if _INSIDE.search(cell) else None for cell in column_cells(rows, found)]


def _count(cell: str) -> int | None:
    text = cell.strip()
    if _WHOLE.fullmatch(text):
        return int(text)
    if not text or isinstance(cell, Figure) or not _INSIDE.search(text):
        return None
    return pieces(pack_from(text))
