"""A pack that a list spells out in two or three columns: so many, of how much, in which unit."""

import re
from decimal import Decimal
from functools import lru_cache
from math import prod

from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.table import Figure
from costing.supply.packs.numbers import read_number
from costing.supply.packs.pack import read_pack_text
from costing.supply.packs.record import Pack, PackUnit
from costing.supply.packs.sane import MOST, plain, size_doubts
from costing.supply.packs.unece import unit_of_code

_TIMES = re.compile(r"[x×*]?\s*([0-9]{1,6})\s*[x×*]?", re.IGNORECASE)
_OF_A_COUNT = frozenset({"size-missing", "pack-missing", "unit-missing"})
"""What a count alone is bound to be doubted for."""
Measured = tuple[Decimal | None, PackUnit | None, tuple[Doubt, ...]]


def pack_of_parts(count: str, content: str, unit: str = "", *, kind: str = "", decimal: str | None = None) -> Pack:
    """The pack of ("6", "70 cl"), ("Ctn 6", "946ml") or ("12", "0,75", "l"); it never raises.

    ``unit`` is the text of a unit column, a word or a UN/ECE code; the unit inside ``content`` rules, and is doubted
    where the two measure different things. ``decimal`` is the mark of the content's column, "." or ",", where known.
    """
    mark = decimal if decimal in (".", ",") else None
    stored = isinstance(content, Figure)
    return _parts(count.strip(), content.strip(), unit.strip(), kind, "." if stored else mark)


@lru_cache(maxsize=32_768)
def _parts(count: str, content: str, unit: str, kind: str, decimal: str | None) -> Pack:
    text = " ".join(part for part in (count, "x" if count and content else "", content, unit) if part)
    size = _size(content, unit, kind, decimal)
    levels, doubts = _levels(count, kind, decimal)
    if size.levels and levels and prod(size.levels) == prod(levels) != 1:
        doubts += (doubt("count-twice", "pack", n=prod(levels)),)
        levels = ()
    levels += size.levels
    doubts += size.doubts
    total = None
    if prod(levels) > MOST:
        doubts += (doubt("count-large", "pack", n=prod(levels)),)
    elif size.content is not None:
        total = plain(size.content * prod(levels))
    return Pack(
        text=text, levels=levels, content=size.content if total is not None else None, unit=size.unit, total=total,
        doubts=tuple(dict.fromkeys(doubts)), span=(0, len(text)),
    )  # fmt: skip


def _levels(count: str, kind: str, decimal: str | None) -> tuple[tuple[int, ...], tuple[Doubt, ...]]:
    if not count:
        return (), ()
    number = read_number(count, decimal)
    if number.value is not None and not number.percent and not number.currency:
        whole = number.value == number.value.to_integral_value()
        if whole and 0 < number.value <= MOST:
            return (int(number.value),), ()
        return (), (doubt("count-unread", "pack", value=count),)
    if times := _TIMES.fullmatch(count):
        return (int(times[1]),) if int(times[1]) else (), ()
    read = read_pack_text(count, kind, decimal)
    doubts = tuple(d for d in read.doubts if d.code not in _OF_A_COUNT)
    if not read.levels:
        doubts += (doubt("count-unread", "pack", value=count),)
    if read.unit in ("ml", "g"):
        doubts += (doubt("size-in-count", "pack", value=count),)
    return read.levels, doubts


def _size(content: str, unit: str, kind: str, decimal: str | None) -> Pack:
    """The content, with what levels its own text has."""
    if not content:
        return Pack(text=content, doubts=(doubt("size-missing", "pack"),))
    number = read_number(content, decimal)
    if number.value is not None and not number.percent and not number.currency:
        return _of_number(content, number.value, unit, kind)
    if number.state == "ambiguous" and unit:
        return _of_two(content, number.readings, unit, kind)
    read = read_pack_text(content, kind, decimal)
    if read.content is None and unit:
        again = read_pack_text(f"{content} {unit}", kind, decimal)
        return again if again.content is not None else read
    other = _unit(unit, kind)[1] if unit else None
    if other in ("ml", "g") and read.unit in ("ml", "g") and other != read.unit:
        told = doubt("unit-differs", "pack", first=content, second=unit)
        return _with(read, (*read.doubts, told))
    return read


def _with(pack: Pack, doubts: tuple[Doubt, ...]) -> Pack:
    return Pack(
        text=pack.text, levels=pack.levels, content=pack.content, unit=pack.unit, total=pack.total, doubts=doubts,
        span=pack.span,
    )  # fmt: skip


def _of_number(content: str, value: Decimal, unit: str, kind: str) -> Pack:
    if value <= 0:
        return Pack(text=content, doubts=(doubt("size-zero", "pack"),))
    factor, measured, doubts = _unit(unit, kind)
    if factor is None:
        return Pack(text=content, doubts=(*doubts, doubt("unit-missing", "pack", value=content)))
    size = plain(value * factor)
    return Pack(
        text=content, content=size, unit=measured, total=size, doubts=(*doubts, *size_doubts(size, measured or ""))
    )  # fmt: skip


def _of_two(content: str, readings: tuple[Decimal, ...], unit: str, kind: str) -> Pack:
    """A number that can be read in two ways: the one that a unit of its size is told in, and doubted."""
    factor, _, _ = _unit(unit, kind)
    if len(readings) == 1:
        told = doubt("mark-differs", "pack", value=content)
        return _with(_of_number(content, readings[0], unit, kind), (told,))
    first, second = readings
    read = _of_number(content, first if factor is not None and factor >= 400 else second, unit, kind)
    return _with(read, (*read.doubts, doubt("number-two-ways", "pack", first=first, second=second)))


def _unit(unit: str, kind: str) -> Measured:
    """(base units in one, the base unit, doubts) of a unit column; (None, None, ...) where it measures nothing."""
    if not unit:
        return None, None, ()
    code = unit_of_code(unit)
    if code is None or code.note in ("unit-unlisted", "unit-keg", "unit-deprecated"):
        read = read_pack_text(f"1 {unit}", kind, None)
        if read.content is not None and read.unit is not None:
            return read.total, read.unit, read.doubts
    if code is None or code.dim not in ("ml", "g", "each"):
        return None, None, ()
    base: PackUnit = "ml" if code.dim == "ml" else "g" if code.dim == "g" else "each"
    return code.factor, base, (doubt(code.note, "unit", value=unit),) if code.note else ()
