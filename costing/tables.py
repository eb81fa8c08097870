"""The shipped tables as records: starting values that a house replaces by its own, each row with its source and basis.

Shares in percent stay in percent, masses are grams, densities kg/l at 20 C; an empty cell of a figure is None: not
known, never zero. Every function raises ValueError naming the table, line, column and value of a bad cell.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from types import MappingProxyType
from typing import ClassVar, TypeVar

from costing.tablefile import Basis, Sourced, by_name, fold, records, rows

__all__ = [
    "Acid", "Allergen", "AllergenWord", "Basis", "BottleSize", "FillTolerance", "JuiceYield", "Limit", "Produce",
    "SecondYield", "Sourced", "StandardDrink", "SugarFact", "UnitRow", "UsualMeasure", "allergen_list",
    "allergen_lists", "allergens_to_ask", "bottle_sizes", "fill_tolerance", "find_measure", "find_produce", "fold",
    "limit", "produce", "records", "rows", "standard_drinks", "usual_measures",
]  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Produce(Sourced):
    """One bought good by its general name. Mass shares in % of the edible part, ``refuse`` in % of what was bought.
    ``refuse_what`` is partly from memory; ``fibre_basis`` is that of fibre and fat.
    ``solubles`` is 100 - water - fibre - fat where all are known and dissolve; ``piece_g`` is a whole piece as bought;
    ``juice_low`` and ``juice_high`` are kg of juice a kg of whole fruit (0 to 1); ``density`` kg/l;
    ``acid_low`` and ``acid_high`` g/l as citric; ``abv`` with its range in % vol, ``sugar_gl`` in g/l.
    """

    table: ClassVar[str] = "produce"
    name: str
    kind: str
    base: str
    refuse: Decimal | None
    refuse_what: str
    water: Decimal | None
    sugars: Decimal | None
    fibre: Decimal | None
    fat: Decimal | None
    solubles: Decimal | None
    fibre_basis: Basis | None
    piece_g: Decimal | None
    piece_basis: Basis | None
    piece_source: str
    juice_low: Decimal | None
    juice_high: Decimal | None
    juice_basis: Basis | None
    density: Decimal | None
    density_basis: Basis | None
    acid_low: Decimal | None
    acid_high: Decimal | None
    acid_basis: Basis | None
    abv: Decimal | None
    abv_low: Decimal | None
    abv_high: Decimal | None
    sugar_gl: Decimal | None
    aliases: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class JuiceYield(Sourced):
    """kg of juice a kg of fruit (0 to 1), ``share_of`` whole or edible, ``scale`` bar, industrial or theory."""

    table: ClassVar[str] = "juice"
    fruit: str
    juice: str
    share_of: str
    share_low: Decimal
    share_high: Decimal
    scale: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondYield(Sourced):
    """A second published edible share (0 to 1) of what is bought; ``factor`` is purchased over edible as printed."""

    table: ClassVar[str] = "second_yields"
    fruit: str
    part: str
    edible_share: Decimal
    factor: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Allergen(Sourced):
    """One allergen of a legal list; ``code`` is ours and the same in every list, ``note`` gives examples."""

    table: ClassVar[str] = "allergens"
    list: str
    code: str
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AllergenWord(Sourced):
    """Allergens that a word in a name, or a kind of good (``match``), usually brings. For asking, never for stating."""

    table: ClassVar[str] = "allergen_words"
    match: str
    word: str
    codes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BottleSize(Sourced):
    """A bottle size of a legal ``list``, ml: a list of what is plausible, not of what is allowed here."""

    table: ClassVar[str] = "bottle_sizes"
    list: str
    ml: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class StandardDrink(Sourced):
    """Grams of ethanol that a place calls one drink, with the range over sources, and the year they speak of."""

    table: ClassVar[str] = "standard_drinks"
    code: str
    name: str
    grams: Decimal
    low: Decimal
    high: Decimal
    as_of: str


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitRow(Sourced):
    """A unit and its factor to the base unit of its dimension (base = value * factor + offset)."""

    table: ClassVar[str] = "units"
    unit: str
    dimension: str
    factor: Decimal
    offset: Decimal
    standard: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Acid(Sourced):
    """An acid: g/mol, g an equivalent, and grams of anhydrous citric acid that one gram of it counts as."""

    table: ClassVar[str] = "acids"
    name: str
    formula: str
    molar_g: Decimal
    equivalents: Decimal
    g_per_equivalent: Decimal
    hydrate: str
    as_citric: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class SugarFact(Sourced):
    """``what``: a syrup by its sugar to water ratio by weight, a bulk density, or a saturation (Bx), at ``t_c`` C."""

    table: ClassVar[str] = "sugars"
    name: str
    what: str
    ratio: Decimal | None
    brix: Decimal | None
    density: Decimal | None
    litre_per_kg: Decimal | None
    sugar_gl: Decimal | None
    litre_per_kg_sugar: Decimal | None
    t_c: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class UsualMeasure(Sourced):
    """A house measure and the ml it usually is, with its range. A jigger or a shot has no usual size: ask."""

    table: ClassVar[str] = "measures"
    name: str
    ml: Decimal
    low: Decimal
    high: Decimal
    aliases: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FillTolerance(Sourced):
    """Plus or minus ``percent`` of the stated volume, from ``low_ml`` to ``high_ml`` (None: no upper end)."""

    table: ClassVar[str] = "fill_tolerance"
    list: str
    low_ml: Decimal
    high_ml: Decimal | None
    percent: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit(Sourced):
    """One figure of a rule or of a caution, by its code, with its unit. Local rules come first."""

    table: ClassVar[str] = "limits"
    code: str
    what: str
    value: Decimal
    unit: str


def produce() -> tuple[Produce, ...]:
    """Fruit, herbs, nuts, dairy, pantry goods, juices and strong drink by general names, in the table's order."""
    return records(Produce)


@cache
def _produce_names() -> Mapping[str, Produce]:
    return by_name(produce(), lambda p: (p.name, *p.aliases))


@cache
def _measure_names() -> Mapping[str, UsualMeasure]:
    return by_name(usual_measures(), lambda m: (m.name, *m.aliases))


def find_produce(name: str) -> Produce | None:
    """The row whose name or alias is ``name`` but for case, accents, signs and plural. No nearest guess: else None."""
    return _produce_names().get(fold(name))


def find_measure(name: str) -> UsualMeasure | None:
    """The usual measure of that name or alias, compared as ``find_produce`` does; else None."""
    return _measure_names().get(fold(name))


def usual_measures() -> tuple[UsualMeasure, ...]:
    """Dash, barspoon, splash and the like, in ml: common practice, for a house to set."""
    return records(UsualMeasure)


def allergen_list(name: str) -> tuple[Allergen, ...]:
    """The allergens of one list, "EU 14" or "US 9", in its order. ValueError naming the lists for any other."""
    return _of_list(records(Allergen), name)


@cache
def allergen_lists() -> tuple[str, ...]:
    """The names of the shipped lists of allergens, in the order of the table."""
    return tuple(dict.fromkeys(a.list for a in records(Allergen)))


def bottle_sizes(name: str = "") -> tuple[BottleSize, ...]:
    """The sizes of one list ("US spirits", "EU still wine"), or of all. ValueError naming the lists for any other."""
    return _of_list(records(BottleSize), name) if name else records(BottleSize)


def standard_drinks() -> tuple[StandardDrink, ...]:
    """Standard drinks by place: dated, with their range over sources."""
    return records(StandardDrink)


def limit(code: str) -> Limit:
    """The limit of that code. ValueError naming the codes for any other."""
    known = {found.code: found for found in records(Limit)}
    if code not in known:
        raise ValueError(f"no limit has the code {code!r}; known: {', '.join(known)}")
    return known[code]


def fill_tolerance(ml: Decimal, name: str = "US spirits") -> Decimal:
    """Plus or minus % of the stated volume of ``ml`` ml. ValueError for ml not above 0 or an unknown list."""
    if not ml > 0:
        raise ValueError(f"a bottle of {ml} ml: wanted more than 0")
    brackets = _of_list(records(FillTolerance), name)
    return next((b.percent for b in brackets if b.high_ml is not None and ml <= b.high_ml), brackets[-1].percent)


L = TypeVar("L", Allergen, BottleSize, FillTolerance)


def _of_list(found: tuple[L, ...], name: str) -> tuple[L, ...]:
    of_it = tuple(r for r in found if r.list == name)
    if not of_it:
        raise ValueError(f"no list is called {name!r}; known: {', '.join(dict.fromkeys(r.list for r in found))}")
    return of_it


@cache
def _words() -> Mapping[tuple[str, str], tuple[str, ...]]:
    return MappingProxyType({(r.match, fold(r.word)): r.codes for r in records(AllergenWord)})


def allergens_to_ask(name: str, kind: str = "", list_name: str = "EU 14") -> tuple[str, ...]:
    """Codes of ``list_name`` worth asking about for a good of that name and kind, in the list's order.

    A reminder for a person with the label in hand: it states nothing, and an empty answer is not "free". The longest
    phrase wins, so "cocoa butter" does not ask for milk. ValueError for an unknown list.
    """
    words, found, at = fold(name).split(), set(_words().get(("kind", fold(kind)), ())), 0
    while at < len(words):
        for end in range(len(words), at, -1):
            if (codes := _words().get(("word", " ".join(words[at:end])))) is not None:
                found.update(codes)
                at = end - 1
                break
        at += 1
    return tuple(a.code for a in allergen_list(list_name) if a.code in found)
