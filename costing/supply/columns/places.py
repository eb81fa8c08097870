"""Whether the headings of a remembered map stand where they stood."""

from dataclasses import replace

from costing.book.buying import Columns, Use
from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.table import Table
from costing.supply.columns.folding import folded
from costing.supply.columns.heading_rows import DEEPEST, headings_of


def standing(table: Table, columns: Columns) -> tuple[Columns, tuple[Doubt, ...]]:
    """``columns`` with the row where the same headings stand in the same columns, and a doubt for each that does not.

    A preamble of another length moves the heading down or up: as long as every heading is the remembered one in the
    remembered column, that is the same list.
    """
    if not columns.header_rows:
        return columns, ()
    odd = unlike(table, columns)
    if not odd:
        return columns, ()
    for at in range(min(DEEPEST, len(table.rows))):
        moved = replace(columns, header_at=at)
        if at != columns.header_at and not unlike(table, moved):
            return moved, ()
    return columns, tuple(_differs(use, found) for use, found in odd)


def unlike(table: Table, columns: Columns) -> list[tuple[Use, str]]:
    """(the column in use, the heading found there) wherever they differ."""
    heads = headings_of(table, columns.header_at, columns.header_rows)
    out = []
    for use in columns.uses:
        found = heads[use.column] if use.column < len(heads) else ""
        if folded(found) != folded(use.header):
            out.append((use, found))
    return out


def _differs(use: Use, found: str) -> Doubt:
    return doubt("heading-differs", use.role, expected=use.header, found=found, column=use.column + 1)


def table_signature(table: Table, columns: Columns) -> tuple[str, ...]:
    """The folded headings of a table at the places that ``columns`` names, wherever its heading stands; equal to
    ``record.signature`` where it is the same list."""
    heads = headings_of(table, standing(table, columns)[0].header_at, columns.header_rows)
    at = sorted(use.column for use in columns.uses)
    return tuple(folded(heads[column]) if column < len(heads) else "" for column in at)
