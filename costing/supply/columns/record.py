"""What is remembered of a supplier's columns, with what can be asked of it. The records are the book's own."""

from collections.abc import Iterable
from dataclasses import replace

from costing.book.buying import Columns, Use
from costing.supply.columns.folding import folded
from costing.supply.columns.heading_rows import headings_of
from costing.supply.columns.places import table_signature

__all__ = [
    "Columns", "Use", "body_at", "headings_of", "place", "places", "signature", "table_signature", "use_of",
    "with_uses",
]  # fmt: skip


def use_of(columns: Columns, role: str) -> Use | None:
    """The first column that says ``role``, or None."""
    return next((use for use in columns.uses if use.role == role), None)


def place(columns: Columns, role: str) -> int | None:
    """Where the first column of ``role`` stands, from 0."""
    use = use_of(columns, role)
    return use.column if use else None


def places(columns: Columns, role: str) -> tuple[int, ...]:
    """Where all columns of ``role`` stand, in their order."""
    return tuple(use.column for use in columns.uses if use.role == role)


def body_at(columns: Columns) -> int:
    """The index of the first row under the heading."""
    return columns.header_at + columns.header_rows


def signature(columns: Columns) -> tuple[str, ...]:
    """The folded headings of the columns in use, from left to right: the same list has the same signature."""
    return tuple(folded(use.header) for use in sorted(columns.uses, key=lambda use: use.column))


def with_uses(columns: Columns, uses: Iterable[Use]) -> Columns:
    """The same with other columns, ordered from left to right."""
    return replace(columns, uses=tuple(sorted(uses, key=lambda use: use.column)))
