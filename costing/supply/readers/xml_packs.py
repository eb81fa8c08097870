"""The pack of a line and what its price is asked for, from elements where there are any and from the name where not."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from math import prod

from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.line import Per
from costing.supply.packs.codes import UnitCode, unit_of_code
from costing.supply.packs.record import Pack, PackUnit
from costing.supply.readers.xml_values import NOTHING, Amount, plainly

Doubts = tuple[Doubt, ...]
_NEAR = Decimal("0.05")
"""Two prices a litre agree within this share: what a catalogue prints is rounded."""
_VESSELS = frozenset({"bottle", "can", "tin", "jar", "keg", "flask", "demijohn", "carboy", "aerosol", "pouch"})
"""What holds the liquid itself: a price of one is never that of a case of them."""
_UNTOLD = frozenset({"pallet", "pen"})
_VAGUE = frozenset({"piece", "unit"})
"""Packages of Recommendation 21 that say no more than one of them: XPP, XUN."""
_DOZEN_PACKS = "DZP"
_LARGE = Decimal(1000)
_MOST = 100_000
_SIZE_WORDS = ("content", "volume", "size", "inhalt", "füllmenge", "gebinde", "contenu", "contenance", "pack", "inhoud",
               "contenuto", "contenido", "weight", "gewicht", "capacity")  # fmt: skip
_ABV = re.compile(r"(?:abv|alcoh?ol|alkohol|alcool|alcol|proof)\b|alkoholgehalt|vol\.? ?%?$", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class PackSaid:
    """The pack elements of UBL: ``below`` PackQuantity (the next level down), ``units`` PackSizeNumeric (consumer
    units), ``content`` ContentUnitQuantity, ``level`` PackLevelCode (CU, TU, HN, DU)."""

    below: Amount = NOTHING
    units: Amount = NOTHING
    content: Amount = NOTHING
    level: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """One ItemComparison: ``price`` for ``quantity`` of a unit, against ``asked`` for the whole orderable unit."""

    price: Decimal
    quantity: Amount
    asked: Decimal


def is_size(label: str) -> bool:
    """Whether a property by this name may say how much is in it."""
    return any(word in label.casefold() for word in _SIZE_WORDS)


def is_abv(label: str) -> bool:
    """Whether a property by this name may say how strong it is."""
    return _ABV.match(label) is not None


def says_something(pack: Pack | None) -> bool:
    """Whether a text gave a count or a size."""
    return pack is not None and bool(pack.levels or pack.content is not None)


def named_pack(name: str, description: str = "", properties: Sequence[tuple[str, str]] = ()) -> Pack | None:
    """The pack that a name says, else the description, else a property; None where none does. A name with a number in
    it that cannot be read gives a pack of nothing, with its doubts.

    A count in the name and a size in the description or in a property are one pack, doubted ("pack-joined").
    """
    from costing.supply.packs.pack import parse_pack  # noqa: PLC0415  its tables are large

    texts = [name, description, *(value for label, value in properties if is_size(label) and not is_abv(label))]
    found = [pack for text in texts if text and says_something(pack := parse_pack(text))]
    if not found:
        half = parse_pack(name)
        return half if {one.code for one in half.doubts} - {"pack-missing"} else None
    first = found[0]
    other = next((pack for pack in found[1:] if pack.content is not None and not pack.levels), None)
    if first.content is not None or other is None or other.content is None:
        return first
    total = other.content * prod(first.levels)
    joined = doubt("pack-joined", "pack", count=first.text, size=other.text)
    text = f"{first.text} / {other.text}"
    return replace(
        first, text=text, content=other.content, unit=other.unit, total=total, doubts=(joined, *other.doubts)
    )


def pack_of(named: Pack | None, said: PackSaid, compared: Sequence[Compared] = ()) -> tuple[Pack | None, Doubts]:
    """(the pack, doubts) of a line from its elements and its name. Doubts of the pack itself are among them."""
    levels, size, doubts = _levels(said)
    if not levels and size is None and said.content.value is None:
        return named, (*doubts, *(named.doubts if named else ()))
    many = prod(levels)
    if named is not None and prod(named.levels) == many and named.levels:
        levels = named.levels
    elif named is not None and many > 1 and prod(named.levels) not in (1, many):
        doubts += (doubt("pack-differs", "pack", named=named.text, said=f"{many}"),)
    content, unit, more = _content(said, size, many, named, compared)
    doubts += more
    total = content * many if content is not None else None
    text = _text(said, named)
    if content is None and unit is None and not more and many > 1 and named is None:
        unit = "each"
    pack = Pack(text=text, levels=levels, content=content, unit=unit, total=total, doubts=doubts)
    return pack, doubts


def _levels(said: PackSaid) -> tuple[tuple[int, ...], Amount | None, Doubts]:
    """(levels, a size where PackQuantity is one: "5 KGM", doubts)."""
    unit = unit_of_code(said.below.unit) if said.below.value is not None else None
    size = said.below if unit is not None and unit.dim in ("ml", "g") else None
    below, doubts = (1, ()) if size is not None else _whole(said.below, "PackQuantity")
    if unit is not None and unit.dim == "each":
        below *= int(unit.factor)
    units, more = _whole(said.units, "PackSizeNumeric")
    doubts += more
    if said.level == "CU" and units > 1:
        doubts += (doubt("pack-level", "pack", level=said.level, n=units),)
    if units <= 1:
        return ((below,) if below > 1 else ()), size, doubts
    if below in (1, units):
        return (units,), size, doubts
    if units % below == 0:
        return (below, units // below), size, doubts
    return (units,), size, (*doubts, doubt("pack-levels", "pack", below=below, n=units))


def _whole(amount: Amount, what: str) -> tuple[int, Doubts]:
    """A count of at least one; 1 where there is none, or an odd one, doubted."""
    value = amount.value
    if value is None:
        return 1, (doubt("not-a-number", "pack", value=amount.text),) if amount.text else ()
    if value != value.to_integral_value() or not 1 <= value <= _MOST:
        return 1, (doubt("pack-odd", "pack", what=what, value=plainly(value)),)
    return int(value), ()


def _content(
    said: PackSaid, size: Amount | None, many: int, named: Pack | None, compared: Sequence[Compared]
) -> tuple[Decimal | None, PackUnit | None, Doubts]:
    """What one consumer unit holds, in ml, g or pieces."""
    stated = said.content if said.content.value is not None else size
    by_name = (named.content, named.unit) if named is not None and named.content is not None else (None, None)
    if stated is None or stated.value is None:
        return *by_name, named.doubts if named is not None else ()
    unit = unit_of_code(stated.unit)
    if unit is None or unit.dim not in ("ml", "g", "each") or stated.value <= 0:
        odd = doubt("content-unit", "pack", value=plainly(stated.value), unit=stated.unit)
        return *by_name, (odd, *(named.doubts if named is not None else ()))
    base = stated.value * unit.factor
    kind: PackUnit = "ml" if unit.dim == "ml" else "g" if unit.dim == "g" else "each"
    if kind == "each":
        return *by_name, _counted(base, many)
    if many == 1 or size is not None:
        whole = named.total if named is not None and named.unit == kind else None
        if whole is None or whole == base:
            return base, kind, ()
        return base, kind, (doubt("pack-differs", "pack", named=named.text if named else "", said=_shown(stated)),)
    return _each_or_whole(base, kind, many, stated, named, compared)


def _counted(base: Decimal, many: int) -> Doubts:
    """A content in pieces can only repeat the count."""
    return () if base in (1, many) else (doubt("pack-differs", "pack", named=plainly(base), said=f"{many}"),)


def _each_or_whole(
    base: Decimal, kind: PackUnit, many: int, stated: Amount, named: Pack | None, compared: Sequence[Compared]
) -> tuple[Decimal | None, PackUnit | None, Doubts]:
    """ContentUnitQuantity is defined as that of each consumer unit, and published examples give that of the whole
    orderable unit: what the prices compared, or the name, agree with decides, and nothing else."""
    votes = {vote for one in compared if (vote := _vote(one, base, kind, many))}
    if named is not None and named.unit == kind and named.content is not None:
        if base in (named.content, named.content * prod(named.levels)) and named.content != base / many:
            votes.add("each" if base == named.content else "whole")
        elif base in (named.total, named.content * many):
            votes.add("whole")
        else:
            return None, None, (doubt("pack-differs", "pack", named=named.text, said=_shown(stated)),)
    if votes == {"each"}:
        return base, kind, ()
    if votes == {"whole"}:
        return base / many, kind, ()
    return None, None, (doubt("content-which", "pack", content=_shown(stated), n=many),)


def _vote(one: Compared, base: Decimal, kind: PackUnit, many: int) -> str:
    """What a compared price a litre or kilogram says ``base`` is: of "each", of the "whole", or "" for neither."""
    unit = unit_of_code(one.quantity.unit)
    if unit is None or unit.dim != kind or not one.quantity.value or one.price <= 0 or one.asked <= 0:
        return ""
    held = one.asked / one.price * one.quantity.value * unit.factor
    each, whole = abs(held / (base * many) - 1) <= _NEAR, abs(held / base - 1) <= _NEAR
    return "each" if each and not whole else "whole" if whole and not each else ""


def _shown(amount: Amount) -> str:
    return f"{amount.text} {amount.unit}".strip()


def _text(said: PackSaid, named: Pack | None) -> str:
    parts = [_shown(amount) for amount in (said.below, said.units, said.content) if amount.text]
    return " / ".join([*parts, *([named.text] if named is not None else [])])


def per_of(code: str, base: Decimal, pack: Pack | None, *, article: bool = False) -> tuple[Per, Decimal, Doubts]:
    """(what the price is asked for, how many of that, doubts) for a price of ``base`` units of a code.

    A code of one piece (C62, H87, EA) beside a name with a case in it may mean the bottle or the case: read as the case
    and doubted, unless elements say that it is the ``article`` whose pack they describe. A bottle is never a case.
    """
    if not code:
        return "", base, (doubt("order-unit-missing", "unit"),)
    unit = unit_of_code(code)
    if unit is None or unit.dim in ("alcohol", "ratio") or unit.code.endswith(_DOZEN_PACKS):
        return "", base, (doubt("unit-unknown", "unit", unit=code),)
    noted = (doubt(unit.note, "unit", value=code),) if unit.note else ()
    many = prod(pack.levels) if pack is not None else 1
    if unit.dim == "ml":
        return "l", base * unit.factor / _LARGE, noted
    if unit.dim == "g":
        return "kg", base * unit.factor / _LARGE, noted
    if unit.dim == "package":
        return _per_package(unit, base, many, code, noted)
    if many > 1 and unit.factor == 1:
        unsure = () if article else (doubt("unit-each-or-case", "unit", unit=code, pack=pack.text if pack else ""),)
        return "pack", base, (*noted, *unsure)
    return "each", base * unit.factor, noted


def _per_package(unit: UnitCode, base: Decimal, many: int, code: str, noted: Doubts) -> tuple[Per, Decimal, Doubts]:
    if unit.package in _UNTOLD:
        return "", base, noted or (doubt("unit-unknown", "unit", unit=code),)
    if many > 1 and unit.package in _VESSELS:
        return "each", base, (*noted, doubt("unit-each-or-case", "unit", unit=code, pack=unit.package))
    if many > 1 and unit.package in _VAGUE:
        return "pack", base, (*noted, doubt("unit-each-or-case", "unit", unit=code, pack=unit.package))
    return "pack", base, noted


def scaled(code: str) -> Doubts:
    """A doubt where one order unit is not one kilogram, litre, piece or pack: a quantity in it has to be converted."""
    unit = unit_of_code(code) if code else None
    if unit is None or unit.dim not in ("ml", "g", "each"):
        return ()
    factor = unit.factor if unit.dim == "each" else unit.factor / _LARGE
    per = {"ml": "l", "g": "kg", "each": "each"}[unit.dim]
    return () if factor == 1 else (doubt("unit-scaled", "quantity", unit=code, factor=plainly(factor), per=per),)
