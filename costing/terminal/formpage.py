"""The page that ``form`` prints: how a book is written by hand."""

import dataclasses
from collections.abc import Iterator
from typing import Any, Literal, get_args, get_origin, get_type_hints

from costing.book.buying import Columns, OrderLine, PurchaseCharge, PurchaseLine, Settlement, Use
from costing.book.kinds import READING_DIMS, RIVALS, STAGE_KINDS
from costing.book.levies import Levy, Policy, PricePoints
from costing.book.methods import METHODS, Method
from costing.book.records import (
    KINDS,
    AllergenStatement,
    Break,
    ByProduct,
    DatedPrice,
    FreeGoods,
    Input,
    LoggedInput,
    LoggedStage,
    MenuLine,
    MenuSection,
    PackCharge,
    ServeVersion,
    Stage,
    Terms,
    Version,
)
from costing.book.selling import Sold
from costing.book.units import UNITS, Dim
from costing.ledger.unit import MAKEUP
from costing.store import plainfile
from costing.terminal.table import table

INSIDE: tuple[type[Any], ...] = (
    AllergenStatement,
    Break,
    FreeGoods,
    PackCharge,
    Version,
    Stage,
    Input,
    ByProduct,
    ServeVersion,
    Terms,
    Levy,
    PricePoints,
    Policy,
    MenuSection,
    MenuLine,
    DatedPrice,
    LoggedStage,
    LoggedInput,
    Columns,
    Use,
    OrderLine,
    PurchaseLine,
    PurchaseCharge,
    Settlement,
    Sold,
)


def form_text() -> Iterator[str]:
    """The form, the kinds of record with their fields, stage kinds, facts, readings and units."""
    yield (plainfile.__doc__ or "").strip()
    yield "\nThe kinds of record and their fields (* must be given; a|b are the words it may hold):"
    for kind, record in KINDS.items():
        yield f"  {kind}: {_fields(record)}"
    yield "and inside them:"
    for part in INSIDE:
        yield f"  {part.__name__}: {_fields(part)}"
    yield '\nA rate or a target is a number, 0.19 for 19 %; a fact is typed, "19 %". An input\'s amount is null where a'
    yield "proof works out its water or a carbonation its gas. Time costs nothing without a labour good (layer labour)"
    yield "named by the house or the stage."
    yield "\nWhat a good's makeup may say:"
    yield "  " + ", ".join(f"{name} in {'%' if dims[0] is Dim.RATIO else dims[0]}" for name, dims in MAKEUP.items())
    yield "\nThe kinds of stage, the facts they take (each also takes runs), and what leaves:"
    rows = [(name, k.mechanism, ", ".join(k.facts), f"{k.leaves} ({k.fate})") for name, k in STAGE_KINDS.items()]
    yield table(("kind", "mechanism", "facts", "leaves"), rows, left=4)
    yield "One of these, or a reading, says how much goes on:"
    for mechanism, names in RIVALS.items():
        if names:
            yield f"  {mechanism}: {', '.join(names)}"
    yield "spent_ratio is the weight of the spent solids over that of the solids put in; yield is over all of it."
    yield "A serve is a build; only build takes dilution, from its technique."
    yield "\nMethods, with which the how of a fact may begin; what one cannot read on the liquid is left out:"
    yield "  " + "; ".join(f"{name}{_needs(method)}" for name, method in METHODS.items())
    yield "\nReadings, of what goes on (out) and of what leaves (left): " + ", ".join(READING_DIMS)
    yield "Units: " + ", ".join(sorted(u for u in UNITS if u)) + "; and the house's own measures"


def _needs(method: Method) -> str:
    needs = [
        word
        for asked, word in (
            (method.clear, "no solids in it"),
            (method.unsweetened, "unsweetened"),
            (method.sober, "without alcohol"),
            (method.still, "without gas"),
            (method.bought, "as bought only"),
        )
        if asked
    ]
    return f" ({', '.join(needs)})" if needs else ""


def _fields(cls: type[Any]) -> str:
    hints = get_type_hints(cls)
    out = []
    for field in dataclasses.fields(cls):
        words = get_args(hints[field.name]) if get_origin(hints[field.name]) is Literal else ()
        star = "*" if field.default is dataclasses.MISSING else ""
        out.append(f"{field.name}{star}" + (f" ({'|'.join(words)})" if words else ""))
    return ", ".join(out)
