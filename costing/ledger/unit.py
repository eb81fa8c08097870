"""What one base unit of a good or a preparation is made of, and how a typed amount becomes base units."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, NamedTuple

from costing.book.fact import Fact
from costing.book.problem import Problem, problem
from costing.book.records import BESIDE, BaseUnit, Good
from costing.book.units import Dim, UnitDef, lookup
from costing.ledger.matter import Matter, of_liquid
from costing.liquor import Liquid, litres_at_20

Measures = Mapping[str, UnitDef]


class Unbridged(ValueError):
    """An amount cannot be turned into another dimension; carries the Problem's code and figures."""

    def __init__(self, code: str, **detail: Any) -> None:
        super().__init__(f"{code}: {detail}")
        self.code, self.detail = code, detail


@dataclass(frozen=True, slots=True)
class Unit:
    """One base unit: its matter (None when it is not followed as matter), kg/L as poured, and one piece.

    ``piece`` is (dimension, amount in kg or L) of one piece, for goods counted or weighed by the piece. ``guessed``
    names the bridges among "density" and "piece" that nobody measured.
    """

    base: BaseUnit
    matter: Matter | None = None
    density: float | None = None
    piece: tuple[Dim, float] | None = None
    guessed: frozenset[str] = frozenset()


class Amount(NamedTuple):
    """Base units of something, and whether an assumed figure or bridge stands behind them."""

    value: float
    assumed: bool


def measure(fact: Fact, measures: Measures) -> tuple[Dim, float]:
    """(dimension, figure in its base unit) of a fact. Unbridged when the unit is not known."""
    unit = lookup(fact.unit, measures)
    if unit is None:
        raise Unbridged("ambiguous-ounce" if fact.unit.lower() in ("oz", "ounce", "ounces") else "unknown-unit",
                        text=fact.text, unit=fact.unit)  # fmt: skip
    return unit.dim, float(fact.value * unit.factor + unit.offset)


def figure(fact: Fact, dims: tuple[Dim, ...], measures: Measures) -> tuple[Dim, float]:
    """As ``measure``, but Unbridged when the fact measures something else than one of ``dims``."""
    dim, value = measure(fact, measures)
    if dim is Dim.RATIO and Dim.STRENGTH in dims and fact.unit == "%":
        return Dim.STRENGTH, value
    if dim not in dims:
        raise Unbridged(
            "wrong-dimension", text=fact.text, needs=" or ".join("%" if d is Dim.RATIO else d.value for d in dims)
        )
    return dim, value


def amount_in_base(fact: Fact, unit: Unit, measures: Measures) -> Amount:
    """A typed amount in base units of what it measures. Unbridged names the bridge that is missing."""
    definition = lookup(fact.unit, measures)
    dim, value = measure(fact, measures)
    if dim is Dim.VOLUME:
        value = at_20(value, fact, unit.matter)
    value, bridges = _in_base(dim, value, unit, fact)
    guessed = fact.mark == "assumed" or (definition is not None and definition.assumed)
    return Amount(value, guessed or bool(bridges & unit.guessed))


def at_20(litres: float, fact: Fact, matter: Matter | None) -> float:
    """Litres at 20 C of a volume that a fact gives at its own temperature. Unbridged without a composition, or where
    the liquid's expansion is not known."""
    if fact.at is None or fact.at == 20:
        return litres
    if matter is None or not matter.volume():
        raise Unbridged("warmth-unknown", text=fact.text)
    try:
        return litres_at_20(litres, float(fact.at), matter.liquid)
    except ValueError as error:
        raise Unbridged("outside-physics", why=error) from None


def _in_base(dim: Dim, value: float, unit: Unit, fact: Fact) -> tuple[float, frozenset[str]]:
    """(base units, bridges crossed)."""
    target = Dim(unit.base)
    if dim is Dim.RATIO and fact.unit in ("", "x"):
        dim = Dim.COUNT  # "1" of something is one piece of it
    if dim is target:
        return value, frozenset()
    if dim is Dim.COUNT or target is Dim.COUNT:
        if unit.piece is None:
            raise Unbridged("no-piece", text=fact.text, base=unit.base)
        piece_dim, piece = unit.piece
        to, bridges = (target, piece_dim) if dim is Dim.COUNT else (piece_dim, dim), {"piece"}
        if to[0] is not to[1]:
            bridges.add("density")
        if dim is Dim.COUNT:
            return _across(piece_dim, value * piece, target, unit, fact), frozenset(bridges)
        return _across(dim, value, piece_dim, unit, fact) / piece, frozenset(bridges)
    return _across(dim, value, target, unit, fact), frozenset({"density"})


def _across(dim: Dim, value: float, target: Dim, unit: Unit, fact: Fact) -> float:
    if dim is target:
        return value
    if {dim, target} != {Dim.MASS, Dim.VOLUME}:
        raise Unbridged("wrong-dimension", text=fact.text, needs=unit.base)
    if unit.density is None:
        raise Unbridged("no-density", text=fact.text, base=unit.base)
    return value / unit.density if dim is Dim.MASS else value * unit.density


def unit_of_good(good: Good, measures: Measures) -> tuple[Unit, tuple[Problem, ...]]:
    """The Unit of a good from its makeup, density and piece, and what is missing or odd about them."""
    where = f"good/{good.id}"
    try:
        piece = figure(good.piece, (Dim.MASS, Dim.VOLUME), measures) if good.piece else None
        if good.piece and piece is not None and piece[1] <= 0.0:
            raise Unbridged("out-of-range", figure="piece", value=good.piece.text, low="above 0", high="1e9")
        density = figure(good.density, (Dim.DENSITY,), measures)[1] if good.density else None
        if density is not None:
            within_density(density)
        unknown = [name for name, _ in good.makeup if name not in MAKEUP]
        if unknown:
            raise Unbridged("unknown-makeup", name=unknown[0], takes=", ".join(MAKEUP))
        guessed = frozenset(
            name for name, fact in (("density", good.density), ("piece", good.piece)) if fact and fact.mark == "assumed"
        )
        if good.kind in BESIDE or good.layer != "materials":
            return Unit(good.base, None, density, piece, guessed), ()
        per_kg, computed = _makeup(good, density, measures)
        if per_kg is not None:
            per_kg = _traced(good, per_kg, density or computed, measures)
    except Unbridged as gap:
        return Unit(good.base), (problem(gap.code, where, **gap.detail),)
    except ValueError as error:
        return Unit(good.base), (problem("bad-makeup", where, why=error),)
    density = density if density is not None else computed
    if per_kg is None:
        return Unit(good.base, None, density, piece, guessed), (problem("no-makeup", where, "warning"),)
    kilograms = _kilograms_per_base(good.base, density, piece)
    if kilograms is None:
        gap_code = "no-piece" if good.base == "each" else "no-density"
        return Unit(good.base, None, density, piece, guessed), (problem(gap_code, where, "warning", base=good.base),)
    return Unit(good.base, per_kg * kilograms, density, piece, guessed), ()


def within_density(density: float) -> float:
    """A density in kg/L as it is. Unbridged outside 0.1 to 3, where no ingredient of a bar lies."""
    if not 0.1 <= density <= 3.0:
        raise Unbridged("out-of-range", figure="density", value=density, low=0.1, high=3.0)
    return density


def _kilograms_per_base(base: str, density: float | None, piece: tuple[Dim, float] | None) -> float | None:
    if base == "kg":
        return 1.0
    if base == "l":
        return density
    if base == "each" and piece is not None:
        dim, amount = piece
        if dim is Dim.MASS:
            return amount
        return None if density is None else amount * density
    return None


def _traced(good: Good, per_kg: Matter, density: float | None, measures: Measures) -> Matter:
    """One kg with its acids and SO2 as stated; an acid of which nothing is stated counts whole, as citric."""
    given = dict(good.makeup)
    found = {}
    for name, tracer in (("acid", "acids"), ("so2", "so2")):
        if name not in given:
            found[tracer] = per_kg.solubles if tracer == "acids" and good.kind == "acid" else 0.0
            continue
        dim, value = figure(given[name], MAKEUP[name], measures)
        if dim is Dim.CONCENTRATION:
            if not density:
                raise Unbridged("no-density", text=given[name].text, base=good.base)
            value /= 1000.0 * density
        most = 2.0 if good.kind == "acid" or name == "so2" else per_kg.solubles * (1.0 + 1e-9)
        if not 0.0 <= value <= most:
            high = f"{1000.0 * most:.4g} g/kg, all that is dissolved in it"
            raise Unbridged("out-of-range", figure=name, value=given[name].text, low=0, high=high)
        found[tracer] = value
    return replace(per_kg, **found) if any(found.values()) else per_kg


def _makeup(good: Good, density: float | None, measures: Measures) -> tuple[Matter | None, float | None]:
    """(matter of one kg, computed kg/L); None where the book does not say."""
    given = {name: fact for name, fact in good.makeup if name not in ("acid", "so2")}
    if not given:
        return _plain_kind(good.kind)

    def share(name: str, *dims: Dim) -> float:
        return figure(given[name], dims, measures)[1] if name in given else 0.0

    stated = [name for name in WAYS if set(name) & given.keys()]
    if len(stated) > 1:
        raise Unbridged("makeup-competes", names=" and ".join(given))
    if "abv" in given or "sugar" in given:
        abv, sugar = share("abv", Dim.STRENGTH), share("sugar", Dim.CONCENTRATION)
        return _by_strength(abv, sugar, _acid_beside(good, abv, sugar, density, measures), density)
    if "brix" in given:
        solids = share("brix", Dim.BRIX)
        if not 0.0 <= solids <= 1.0:
            raise Unbridged("out-of-range", figure="brix", value=100 * solids, low=0, high=100)
        return _with_density(Matter(water=1.0 - solids, solubles=solids))
    parts = {name: share(name, Dim.RATIO) for name in ("ethanol", "water", "solubles")}
    rest = 1.0 - sum(parts.values())
    if min(parts.values()) < 0.0 or rest < -1e-9:
        raise Unbridged("makeup-sum", sum=100 * sum(parts.values()))
    return _with_density(Matter(parts["ethanol"], parts["water"], parts["solubles"], max(rest, 0.0)))


def _with_density(kilogram: Matter) -> tuple[Matter, float | None]:
    volume = kilogram.volume()
    return kilogram, 1.0 / volume if volume else None


def _plain_kind(kind: str) -> tuple[Matter | None, float | None]:
    if kind == "water":
        return Matter(water=1.0), 1.0 / Liquid.pure_water(1.0).volume
    if kind in ("sugar", "acid"):
        return Matter(solubles=1.0), None
    return (Matter(gas=1.0), None) if kind == "gas" else (None, None)


WAYS = (("abv", "sugar"), ("brix",), ("ethanol", "water", "solubles"))
"""Ways to state a composition; a good states it in one of them."""


def _acid_beside(good: Good, abv: float, sugar: float, density: float | None, measures: Measures) -> float:
    """g/l of acid, dissolved beside the sugar that the label states; Brix and solubles hold it already."""
    fact = dict(good.makeup).get("acid")
    if fact is None:
        return 0.0
    dim, value = figure(fact, MAKEUP["acid"], measures)
    if dim is Dim.CONCENTRATION:
        return value
    return 1000.0 * value * (density or _by_strength(abv, sugar, 0.0, None)[1])


def _by_strength(abv: float, sugar: float, acid: float, density: float | None) -> tuple[Matter, float]:
    dissolved = sugar + acid
    litre = of_liquid(Liquid.liqueur(1.0, abv, dissolved) if dissolved else Liquid.spirit(1.0, abv))
    if density is not None:
        # A measured density says what a litre weighs; ethanol and sugar per litre are stated, water is the rest.
        litre = Matter(litre.ethanol, 0.0, litre.solubles) + Matter(water=density - litre.ethanol - litre.solubles)
    return litre * (1.0 / litre.mass), litre.mass


MAKEUP: Mapping[str, tuple[Dim, ...]] = {
    "abv": (Dim.STRENGTH,),
    "sugar": (Dim.CONCENTRATION,),
    "brix": (Dim.BRIX,),
    "water": (Dim.RATIO,),
    "solubles": (Dim.RATIO,),
    "ethanol": (Dim.RATIO,),
    "acid": (Dim.CONCENTRATION, Dim.RATIO),
    "so2": (Dim.CONCENTRATION, Dim.RATIO),
}
__all__ = ["MAKEUP", "Measures", "Unbridged", "Unit", "amount_in_base", "figure", "measure", "unit_of_good"]
