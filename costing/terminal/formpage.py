"""The page that ``form`` prints: how a book is written by hand."""

import dataclasses
from collections.abc import Iterator
from typing import Any, get_args

from costing.book.kinds import READING_DIMS, STAGE_KINDS
from costing.book.records import (
    KINDS,
    ByProduct,
    DatedPrice,
    GoodKind,
    Input,
    MenuLine,
    MenuSection,
    ServeVersion,
    Stage,
    Terms,
    Version,
)
from costing.book.units import UNITS, Dim
from costing.ledger.unit import MAKEUP
from costing.store import plainfile
from costing.terminal.table import table

INSIDE: tuple[type[Any], ...] = (
    Version,
    Stage,
    Input,
    ByProduct,
    ServeVersion,
    Terms,
    MenuSection,
    MenuLine,
    DatedPrice,
)


def form_text() -> Iterator[str]:
    """The form, the kinds of record with their fields, stage kinds, facts, readings and units."""
    yield (plainfile.__doc__ or "").strip()
    yield "\nThe kinds of record and their fields (those with * must be given):"
    for kind, record in KINDS.items():
        yield f"  {kind}: {_fields(record)}"
    yield "and inside them:"
    for part in INSIDE:
        yield f"  {part.__name__}: {_fields(part)}"
    yield "\nWhat a good may be (kind), and what its makeup may say:"
    yield "  " + ", ".join(get_args(GoodKind))
    yield "  " + ", ".join(f"{name} in {'%' if dims[0] is Dim.RATIO else dims[0]}" for name, dims in MAKEUP.items())
    yield "\nThe kinds of stage, the facts they take (each also takes runs), and what leaves:"
    rows = [(name, k.mechanism, ", ".join(k.facts), f"{k.leaves} ({k.fate})") for name, k in STAGE_KINDS.items()]
    yield table(("kind", "mechanism", "facts", "leaves"), rows, left=4)
    yield "\nReadings, of what goes on (out) and of what leaves (left): " + ", ".join(READING_DIMS)
    yield "Units: " + ", ".join(sorted(u for u in UNITS if u)) + "; and the house's own measures"


def _fields(cls: type[Any]) -> str:
    return ", ".join(f.name + ("*" if f.default is dataclasses.MISSING else "") for f in dataclasses.fields(cls))
