"""The pack of each row, from the columns that say it, held against the name and the unit beside it."""

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import lru_cache

from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.line import Per
from costing.supply.arriving.table import Figure
from costing.supply.columns.counts import unit_of_heading
from costing.supply.columns.folding import folded
from costing.supply.columns.headings import meaning
from costing.supply.columns.packing import pack_from, pack_of_parts, pieces
from costing.supply.columns.prepared import Prepared
from costing.supply.columns.record import use_of
from costing.supply.columns.vocabulary import PACK, PIECE
from costing.supply.packs.record import Pack

KindOf = Callable[[str], str]
_ONE = Decimal(1)
_BARE = re.compile(r"\s*\d[\d.,]*\s*")
_PER = re.compile(r"\s*(?:per|pro|je|par|por|al|p\.|/|à|a)\s*\S|\s*(?:each|ea)\.?\s*$", re.IGNORECASE)
_PACK_UNIT, _PIECE_UNIT = re.compile(PACK), re.compile(PIECE)
_MEASURES = {
    word: (base, factor)
    for words, base, factor in (
        ("kg kilo kilogram kilogramm kgm", "g", 1000), ("g gr gram gramm grm", "g", 1),
        ("l lt ltr liter litre litro", "ml", 1000), ("cl clt", "ml", 10), ("dl", "ml", 100), ("ml mlt", "ml", 1),
        ("hl", "ml", 100_000),
    )
    for word in words.split()
}  # fmt: skip
"""Units that stand alone in a column of units, as (base unit, how much of it)."""
_SIZE = re.compile(r"(\d+(?:[.,]\d+)?) ?(ml|cl|dl|l|lt|ltr|g|gr|kg)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Packed:
    """The pack of a row. ``per`` and ``base`` where its unit column names what the price may be for; ``plainly`` where
    it says so ("PER LB", "EACH"), ``unclear`` where that column and the pack may each be it."""

    pack: Pack | None = None
    doubts: tuple[Doubt, ...] = ()
    per: Per = ""
    base: Decimal = _ONE
    plainly: bool = False
    unclear: bool = False

    def doubted(self, *more: Doubt) -> "Packed":
        """The same with further doubts."""
        return replace(self, doubts=(*self.doubts, *more))

    def holding(self, pack: Pack) -> "Packed":
        """Another pack with its own doubts, the same basis."""
        return replace(self, pack=pack, doubts=pack.doubts)


NOT_PACKED = Packed()


def pack_reader(ready: Prepared, kind_of: KindOf | None) -> Callable[[int], Packed]:
    """A function from a row to its pack. ``kind_of`` gives the kind of good that a name means, for what "oz" is."""
    cells, use = ready.cells, use_of(ready.columns, "content")
    packs, counts, contents, units, names = (cells[role] for role in ("pack", "count", "content", "unit", "name"))
    heading_unit = unit_of_heading(use.header) if use else ""
    plain = not (any(packs) or any(counts) or any(contents) or any(units))
    known: dict[tuple[str, str, str, str, str, bool], Packed] = {}

    def at(i: int) -> Packed:
        name, unit = names[i], units[i]
        kind = kind_of(name) if kind_of is not None else ""
        if plain:
            return _named(name, kind)
        key = (packs[i], counts[i], contents[i], unit, kind, isinstance(contents[i], Figure))
        found = known.get(key)
        if found is None:
            cell = _Cells(packs[i].strip(), counts[i].strip(), contents[i], unit.strip(), heading_unit)
            found = known[key] = _packed(cell, kind, ready.content_decimal)
        content = contents[i]
        if content and f" {content}" in name and found.pack is not None and found.pack.total is not None:
            return found
        return _beside_name(found, name, unit, kind)

    return at


@lru_cache(maxsize=200_000)
def _named(name: str, kind: str) -> Packed:
    """A pack that only the name says; a name without a size says none."""
    if not any(ch.isdigit() for ch in name):
        return NOT_PACKED
    pack = pack_from(name, kind)
    return Packed(pack, pack.doubts) if pack.total is not None or pack.levels else NOT_PACKED


@dataclass(frozen=True, slots=True)
class _Cells:
    pack: str
    count: str
    content: str
    unit: str
    heading_unit: str

    @property
    def bare(self) -> bool:
        """Whether the content is a number whose unit stands elsewhere."""
        return bool(_BARE.fullmatch(self.content))


def _packed(cell: _Cells, kind: str, decimal: str | None) -> Packed:
    """The pack that the columns of a row say, before its name is looked at."""
    per, base = unit_basis(cell.unit)
    found = Packed(per=per, base=base, plainly=bool(per and _PER.match(cell.unit)))
    measure = _measure(cell.unit)
    if cell.content.strip():
        own = "" if not cell.bare else cell.unit if measure else cell.heading_unit
        pack = pack_of_parts(cell.count or cell.pack, cell.content, own, kind=kind, decimal=decimal)
    elif cell.pack:
        pack = pack_from(cell.pack, kind)
        if cell.count and (pieces(pack) in (None, 1) or _holds_units(pack, cell.count)):
            joint = pack_of_parts(cell.count, cell.pack, kind=kind, decimal=decimal)
            pack = joint if joint.total is not None else pack
    elif cell.count:
        pack = pack_of_parts(cell.count, "", kind=kind)
    else:
        return found
    found = found.holding(pack)
    if measure and measure[1] >= 1000 and not cell.bare and pack.total not in (None, measure[1]):
        odd = doubt("price-basis-unclear", "price", unit=cell.unit, pack=pack.text)
        return replace(found.doubted(odd), unclear=True)
    return found


def _holds_units(pack: Pack, count: str) -> bool:
    """Whether the column of packs says what one unit holds ("500 pcs") and the column of counts how many units."""
    return pack.unit == "each" and len(pack.levels) == 1 and str(pack.levels[0]) != count


def _measure(unit: str) -> tuple[str, int] | None:
    return _MEASURES.get(unit.strip().casefold().rstrip(".")) if unit else None


@lru_cache(maxsize=4096)
def unit_basis(unit: str) -> tuple[Per, Decimal]:
    """What a unit of sale says that the price is for: "PER LB" is 0.45359237 kg, "EACH" and "Fl." a piece, "Kiste" the
    pack; ("", 1) for what says nothing, and for "kg", which may be the content's own unit."""
    if _PER.match(unit):
        said = meaning(f"price {unit}")
        if said.role in ("price_each", "price_measure") and not said.loose:
            return said.per, said.base
    plain = folded(unit)
    if _PACK_UNIT.fullmatch(plain):
        return "pack", _ONE
    return ("each", _ONE) if _PIECE_UNIT.fullmatch(plain) else ("", _ONE)


def _beside_name(found: Packed, name: str, unit: str, kind: str) -> Packed:
    """The pack of the columns held against the name: filled up from it, or doubted where they disagree."""
    pack = found.pack
    if pack is not None and pack.total is not None:
        odd = name_differs(pack, name, kind)
        return found if odd is None else found.doubted(odd)
    named, measure = _named(name, kind).pack, _measure(unit)
    if pack is not None and pack.levels and named is not None and named.content is not None:
        return _filled(found, pack, named, kind)
    if named is None or named.total is None:
        if pack is None and measure is not None:
            return found.holding(pack_of_parts("", "1", unit, kind=kind))
        return found if pack is not None or named is None else found.holding(named)
    more = found.doubts if pack is not None else ()
    out = found.holding(named).doubted(*more)
    if measure is None or (named.unit == measure[0] and named.total == measure[1]):
        return out
    if measure[1] >= 1000 and named.unit == measure[0]:
        return replace(out.doubted(doubt("price-basis-unclear", "price", unit=unit.strip(), pack=name)), unclear=True)
    return out.doubted(doubt("unit-contradicts-name", "unit", unit=unit.strip(), name=name))


def _filled(found: Packed, pack: Pack, named: Pack, kind: str) -> Packed:
    """A column that says how many, and a name that says how large: together one pack, where they can be."""
    count, inside = pieces(pack), pieces(named)
    if inside not in (None, 1):
        if inside == count:
            return found.holding(named)
        return found.doubted(doubt("pack-contradicts-name", "pack", pack=pack.text, name=named.text))
    both = pack_of_parts(str(count), f"{named.content} {named.unit}", kind=kind, decimal=".")
    return found.holding(both) if both.total is not None else found


def name_differs(pack: Pack, name: str, kind: str) -> Doubt | None:
    """A doubt where the name plainly states another size than the pack."""
    sizes = _SIZE.findall(name)
    if not sizes or pack.content is None or pack.unit == "each":
        return None
    for number, unit in sizes:
        base, factor = _MEASURES[unit.casefold()]
        size = Decimal(number.replace(",", ".")) * factor
        if base == pack.unit and size in (pack.content, pack.total):
            return None
    named = pack_from(name, kind)
    if named.total is None or named.doubts or named.unit != pack.unit:
        return None
    if named.content == pack.content or named.total in (pack.total, pack.content):
        return None
    return doubt("pack-contradicts-name", "pack", pack=pack.text, name=name)
