"""Units: an own small table, because a typed amount must say what it is and nothing is guessed.

Factors are the international definitions (pound 0.45359237 kg, US gallon 3.785411784 L, imperial gallon
4.54609 L; NIST SP 811 and the UK Units of Measurement Regulations 1995). ``oz`` alone is refused: the house
says in its measures which ounce it pours, or the line says ``us fl oz``, ``imp fl oz`` or ``oz av``.
"""

from collections.abc import Mapping
from decimal import Decimal
from enum import StrEnum
from functools import lru_cache
from typing import NamedTuple


class Dim(StrEnum):
    """What a figure measures; the value names the base unit that the program computes in."""

    MASS = "kg"
    VOLUME = "l"
    COUNT = "each"
    TIME = "h"
    ENERGY = "kwh"
    POWER = "kw"
    RATIO = "1"
    STRENGTH = "% vol"
    BRIX = "Bx"
    TEMPERATURE = "C"
    PRESSURE = "mbar"
    DENSITY = "kg/l"
    CONCENTRATION = "g/l"
    AMOUNT = "mol"


class UnitDef(NamedTuple):
    """base = value * factor + offset, in the base unit of ``dim``; a house measure may be ``assumed``."""

    dim: Dim
    factor: Decimal
    offset: Decimal = Decimal(0)
    assumed: bool = False


def _table() -> dict[str, UnitDef]:
    d = Decimal
    us_oz = d("0.0295735295625")
    rows: list[tuple[Dim, str, Decimal]] = [
        (Dim.MASS, "kg", d(1)),
        (Dim.MASS, "g gram grams", d("0.001")),
        (Dim.MASS, "mg", d("0.000001")),
        (Dim.MASS, "lb lbs", d("0.45359237")),
        (Dim.VOLUME, "l litre litres liter liters", d(1)),
        (Dim.VOLUME, "ml", d("0.001")),
        (Dim.VOLUME, "cl", d("0.01")),
        (Dim.VOLUME, "dl", d("0.1")),
        (Dim.VOLUME, "hl", d(100)),
        (Dim.COUNT, "each piece pieces pc pcs", d(1)),
        (Dim.TIME, "h hour hours", d(1)),
        (Dim.TIME, "min minute minutes", d(1) / 60),
        (Dim.TIME, "s sec seconds", d(1) / 3600),
        (Dim.ENERGY, "kwh", d(1)),
        (Dim.POWER, "kw", d(1)),
        (Dim.POWER, "w", d("0.001")),
        (Dim.RATIO, "1 x kg/kg l/l", d(1)),
        (Dim.RATIO, "%", d("0.01")),
        (Dim.RATIO, "g/kg", d("0.001")),
        (Dim.RATIO, "mg/kg ppm", d("0.000001")),
        (Dim.STRENGTH, "%vol", d("0.01")),
        (Dim.BRIX, "bx brix", d("0.01")),
        (Dim.TEMPERATURE, "c celsius", d(1)),
        (Dim.PRESSURE, "mbar hpa", d(1)),
        (Dim.PRESSURE, "kpa", d(10)),
        (Dim.PRESSURE, "bar", d(1000)),
        (Dim.PRESSURE, "torr mmhg", d("1013.25") / 760),
        (Dim.DENSITY, "kg/l g/ml", d(1)),
        (Dim.DENSITY, "kg/m3", d("0.001")),
        (Dim.CONCENTRATION, "g/l", d(1)),
        (Dim.CONCENTRATION, "mg/l", d("0.001")),
        (Dim.CONCENTRATION, "g/100ml", d(10)),
        (Dim.AMOUNT, "mol", d(1)),
    ]
    table = {name: UnitDef(dim, factor) for dim, names, factor in rows for name in names.split()}
    table[""] = UnitDef(Dim.RATIO, d(1))
    for name, litres in (
        ("us fl oz", us_oz),
        ("imp fl oz", d("0.0284130625")),
        ("us pint", us_oz * 16),
        ("imp pint", d("0.56826125")),
        ("us gal", d("3.785411784")),
        ("imp gal", d("4.54609")),
    ):
        table[name] = UnitDef(Dim.VOLUME, litres)
    table["oz av"] = UnitDef(Dim.MASS, d("0.028349523125"))
    table["% vol"] = table["%vol"]
    table["g/100 ml"] = table["g/100ml"]
    table["f"] = UnitDef(Dim.TEMPERATURE, d(5) / 9, d(-160) / 9)
    return table


UNITS: Mapping[str, UnitDef] = _table()


@lru_cache(maxsize=1024)
def _folded(unit: str) -> str:
    return " ".join(unit.lower().replace("°", "").split())


def lookup(unit: str, measures: Mapping[str, UnitDef] | None = None) -> UnitDef | None:
    """The definition of a unit as written: the house's own measures first, then the table; None if unknown."""
    name = _folded(unit)
    if measures:
        for candidate in (name, name.removesuffix("es"), name.removesuffix("s")):
            if candidate in measures:
                return measures[candidate]
    return UNITS.get(name)
