"""Whether a pack can be: slips of a unit, and sizes that a kind of good is not sold in."""

from collections.abc import Mapping
from decimal import Decimal
from functools import cache
from math import prod

from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.packs.record import Pack, PackUnit
from costing.tables import bottle_sizes

SMALLEST: Mapping[str, Decimal] = {"ml": Decimal(2), "g": Decimal("0.05")}
LARGEST: Mapping[str, Decimal] = {"ml": Decimal(70_000), "g": Decimal(1_100_000)}
"""One container holds from a dropper bottle to a keg, one sack or pallet up to 1.1 t; common practice, no source."""
MOST = 100_000
"""Pieces in one pack: more is a misreading."""
_ROUNDED = frozenset({Decimal(380), Decimal(190)})
"""Millilitres that 375 and 187 are rounded to."""
_BANDS: Mapping[str, tuple[PackUnit, int, int]] = {
    "spirit": ("ml", 20, 6_000), "liqueur": ("ml", 20, 6_000), "wine": ("ml", 100, 20_000), "beer": ("ml", 200, 60_000),
    "juice": ("ml", 100, 25_000), "water": ("ml", 150, 25_000),
}  # fmt: skip
"""What one container of a kind holds, ml; common practice, no source."""
_BOTTLES = (Decimal(50), Decimal(4000))
"""Smaller ones are miniatures that no list names, larger ones cans and drums."""


def plain(value: Decimal) -> Decimal:
    """The same figure without zeros at its end: 2500 and not 2500.0 or 2.5E+3."""
    whole = value.to_integral_value()
    return whole if whole == value else value.normalize()


def size_doubts(value: Decimal, unit: str) -> tuple[Doubt, ...]:
    """Doubts of one content in ml or g: a slip of the unit (0,7 ml, 700 l) is a factor of a thousand."""
    if unit == "ml" and value in _ROUNDED:
        return (doubt("size-rounded", "pack", value=plain(value)),)
    if unit in SMALLEST and not SMALLEST[unit] <= value <= LARGEST[unit]:
        return (doubt("size-odd", "pack", value=plain(value), unit=unit),)
    return ()


@cache
def _fills() -> frozenset[Decimal]:
    """The published fills of spirits: 27 CFR 5.203 and Directive 2007/45/EC, by the shipped table."""
    return frozenset(size.ml for name in ("US spirits", "EU spirits") for size in bottle_sizes(name))


def plausible(pack: Pack, kind: str) -> tuple[Doubt, ...]:
    """Doubts of a pack for a good of that kind: "odd-size" outside of what its containers hold, "odd-unit" where a
    drink is weighed, "odd-fill" for a spirit in a bottle of no published size (725 ml), "odd-count" beyond 2,000.
    """
    out = []
    if prod(pack.levels) > 2000:
        out.append(doubt("odd-count", "pack", n=prod(pack.levels)))
    content = pack.content
    if content is None or kind not in _BANDS:
        return tuple(out)
    unit, low, high = _BANDS[kind]
    if pack.unit != unit:
        out.append(doubt("odd-unit", "pack", kind=kind, unit=pack.unit))
    elif not low <= content <= high:
        out.append(doubt("odd-size", "pack", value=plain(content), kind=kind, low=low, high=high))
    elif kind in ("spirit", "liqueur") and _BOTTLES[0] <= content <= _BOTTLES[1] and content not in _fills():
        out.append(doubt("odd-fill", "pack", value=plain(content)))
    return tuple(out)
