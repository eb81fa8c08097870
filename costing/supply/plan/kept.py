"""What a quote keeps of the one before it, and what a different pack or price ends; all of it said beside the line."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from costing.book.records import Break, FreeGoods, PackCharge, Quote
from costing.book.units import UnitDef
from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.line import PriceLine
from costing.supply.plan.known import pack_of
from costing.supply.plan.priced import Priced


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """Terms of the new quote. ``notes`` say what was kept or ended; ``holds`` what somebody has to decide."""

    charges: tuple[PackCharge, ...] = ()
    deposit: Decimal | None = None
    minimum: Decimal | None = None
    free: FreeGoods | None = None
    breaks: tuple[Break, ...] = ()
    notes: tuple[Doubt, ...] = ()
    holds: tuple[Doubt, ...] = ()


def kept(line: PriceLine, old: Quote | None, found: Priced, measures: Mapping[str, UnitDef]) -> Kept:
    """Terms are of a pack: another pack has none of them, and whoever takes it must say which it has."""
    if old is None:
        return Kept(deposit=line.deposit, minimum=line.minimum, free=line.free, breaks=line.breaks)
    if pack_of(old.levels, old.content, measures) != pack_of(found.levels, found.content, measures):
        had = old.charges or old.deposit or old.minimum or old.free or old.breaks
        holds = (doubt("terms-of-other-pack", "pack", pack=_told(old)),) if had else ()
        return Kept(deposit=line.deposit, minimum=line.minimum, free=line.free, breaks=line.breaks, holds=holds)
    return Kept(
        charges=old.charges,
        deposit=line.deposit if line.deposit is not None else old.deposit,
        minimum=line.minimum if line.minimum is not None else old.minimum,
        free=line.free if line.free is not None else old.free,
        breaks=line.breaks or (old.breaks if old.price == found.price else ()),
        notes=tuple(_notes(line, old, found)),
    )


def _notes(line: PriceLine, old: Quote, found: Priced) -> Iterable[Doubt]:
    if old.free is not None and line.free is None:
        yield doubt("free-kept", "", free=f"{old.free.free:f}", paid=f"{old.free.paid:f}")
    if old.breaks and not line.breaks and old.price != found.price:
        yield doubt("breaks-gone", "")


def _told(quote: Quote) -> str:
    return " x ".join([*map(str, quote.levels), quote.content.text])
