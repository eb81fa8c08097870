"""The words people measure with, and what each is worth: the vocabulary of ``costing.supply.measure``.

A word is looked for in the house's own measures first, then in the table of units, then among the usual measures of
``resources/tables/measures.csv`` (starting values, each a doubt until the house says its own). Words without a usual
size (a shot, a jigger, a glass differ from house to house) have none here either.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from types import MappingProxyType
from typing import Literal

from costing.book.units import UNITS, Dim, UnitDef, lookup
from costing.tables import usual_measures

Measures = Mapping[str, UnitDef]
Sort = Literal["unit", "part", "piece", "unsized", "length"]
MEASURED = (Dim.VOLUME, Dim.MASS, Dim.COUNT)
ONE = Decimal(1)


@dataclass(frozen=True, slots=True)
class Spoken:
    """One word of measuring. ``one`` of it is that many ``unit``, from ``low`` to ``high`` where the usual measure
    leaves a range; ``doubt`` names what the word leaves open, "" where it is sure. ``word`` is its plain form."""

    word: str
    sort: Sort = "unit"
    unit: str = ""
    one: Decimal = ONE
    low: Decimal = ONE
    high: Decimal = ONE
    doubt: str = ""


_ALIASES = {
    "g": "gr, grs, gm, gms, gramme, grammes",
    "kg": "kgs, kilo, kilos, kilogram, kilograms, kilogramme, kilogrammes",
    "mg": "milligram, milligrams",
    "lb": "pound, pounds",
    "oz av": "av oz, oz avdp, oz avoirdupois, avoirdupois oz",
    "ml": "mls, millilitre, millilitres, milliliter, milliliters, cc, ccm",
    "cl": "cls, centilitre, centilitres, centiliter, centiliters",
    "dl": "dls, decilitre, decilitres, deciliter, deciliters",
    "hl": "hectolitre, hectolitres, hectoliter, hectoliters",
    "l": "lt, lts, ltr, ltrs, lit",
    "each": "ea, pce, pces",
    "oz": "ozs, ounce, ounces, floz, fl oz, fl ozs, fl ounce, fl ounces, fluid ounce, fluid ounces, fluid oz",
    "us fl oz": "us oz, us fluid ounce, us fluid ounces",
    "imp fl oz": "uk fl oz, uk oz, imp oz, imperial oz, imperial fl oz, imperial fluid ounce, imperial fluid ounces",
    "pint": "pints, pt, pts",
    "us pint": "us pints",
    "imp pint": "imp pints, uk pint, uk pints, imperial pint, imperial pints",
    "quart": "quarts, qt, qts",
    "gallon": "gallons, gal, gals",
    "tsp": "tspn, tspns, tea spoon, tea spoons",
    "tbsp": "tblsp, tblsps, tblspn, tbs, table spoon, table spoons",
    "barspoon": "bsp, bsps",
    "us cup": "c, cups, us cups",
    "metric cup": "metric cups",
    "part": "parts, measure, measures",
    "leaf": "leaves",
    "in": "inch, inches",
}
_UNSIZED = (
    "shot jigger pony nip tot glass glassful pinch handful sprig leaf bunch bottle can tin jar carton pack package "
    "packet scoop cube bag stick stalk knob dollop drizzle squeeze glug dusting rinse spray"
)
_PIECES = "twist peel strip zest slice wedge wheel spiral rind ribbon"
_LENGTHS = "in cm mm"
_NAMED: Mapping[str, str] = MappingProxyType(
    {alias.strip(): word for word, aliases in _ALIASES.items() for alias in aliases.split(",")}
)


@cache
def _usual() -> Mapping[str, Spoken]:
    """What a word is usually worth, by every name the tables and the trade have for it."""
    quart = UNITS["us pint"].factor * 2 / UNITS["us gal"].factor
    out = {
        "oz": Spoken("oz", "unit", "us fl oz", doubt="which-ounce"),
        "pint": Spoken("pint", "unit", "us pint", doubt="which-pint"),
        "quart": Spoken("quart", "unit", "us gal", quart, quart, quart, doubt="which-quart"),
        "gallon": Spoken("gallon", "unit", "us gal", doubt="which-gallon"),
        "part": Spoken("part", "part"),
    }
    for usual in usual_measures():
        if " of a" in usual.name:
            continue  # the juice of a fruit is asked for with the fruit in hand: costing.supply.recipe
        found = Spoken(usual.name, "unit", "ml", usual.ml, usual.low, usual.high, doubt="house-measure")
        out |= dict.fromkeys((usual.name, *usual.aliases), found)
    out |= {word: Spoken(word, "unsized", doubt="no-measure") for word in _UNSIZED.split()}
    out |= {word: Spoken(word, "piece", doubt="share-of-fruit") for word in _PIECES.split()}
    out |= {word: Spoken(word, "length") for word in _LENGTHS.split()}
    return MappingProxyType(out)


def _forms(said: str) -> Iterator[str]:
    """A word as said, by its other names, and without the ending of a plural."""
    for form in (said, said.removesuffix("es"), said.removesuffix("s")):
        yield form
        if form in _NAMED:
            yield _NAMED[form]


def spoken(said: str, measures: Measures | None = None) -> Spoken | None:
    """What ``said`` ("Dashes", "fl. oz.", "cl") means here; None when it is no word of measuring."""
    plain = " ".join(said.lower().replace(".", " ").split())
    for form in _forms(plain):
        if measures and form in measures and measures[form].dim in MEASURED:
            fluid = measures[form].dim is Dim.VOLUME
            if fluid or "fl" not in plain:
                return Spoken(form, "unit", form)
    for form in _forms(plain):
        known = lookup(form)
        if known is not None and known.dim in MEASURED:
            return Spoken(form, "unit", "each" if known.dim is Dim.COUNT else form)
        if form in _usual():
            return _usual()[form]
    return None


_WORD = r"[^\W\d_]+\.?"
_RUN = re.compile(rf"{_WORD}(?: ?{_WORD}){{0,2}}")


def leading(text: str, measures: Measures | None = None) -> tuple[Spoken, str] | None:
    """(the measuring word that ``text`` begins with, the rest), the longest one there is; None when there is none."""
    own = _own(text.lower(), measures or {})
    run = _RUN.match(text)
    for end in reversed([m.end() for m in re.finditer(_WORD, run[0])] if run else []):
        if own is not None and own[1] >= end:
            break
        found = spoken(text[:end], measures)
        if found is not None and not text[end : end + 1].isalpha():
            return found, text[end:]
    return None if own is None else (own[0], text[own[1] :])


def _own(low: str, measures: Measures) -> tuple[Spoken, int] | None:
    """(the house's measure that the text begins with, how many letters that takes), whatever its name is made of."""
    for name in sorted((n for n, unit in measures.items() if unit.dim in MEASURED), key=len, reverse=True):
        for whole in (f"{name}es", f"{name}s", name):
            if low.startswith(whole) and not low[len(whole) : len(whole) + 1].isalnum():
                return Spoken(name, "unit", name), len(whole)
    return None
