"""Fermenting: the one place where ethanol appears, by what was measured of it."""

from dataclasses import replace

from costing.ledger.matter import Matter
from costing.ledger.parting import HYDROMETER, SCALES, Charge, Figures, Impossible, Parted, volume_of
from costing.liquor import Liquid

ETHANOL_OF_SUGAR = 2 * 46.069 / 180.156
"""kg of ethanol from one kg of hexose, C6H12O6 -> 2 C2H5OH + 2 CO2, by molar masses (g/mol)."""
GAS_OF_SUGAR = 1.0 - ETHANOL_OF_SUGAR


def ferment(charge: Charge, figures: Figures) -> Parted:
    """The one place where ethanol appears: sugar becomes ethanol and gas, as much as a strength or the weight of the
    gas given off says. Every hexose gives two ethanol and two CO2; dissolved solids are taken as hexose."""
    entering = charge.entering
    sugar, name = _fermented(entering, figures)
    gas = Matter(gas=sugar * GAS_OF_SUGAR)
    made = replace(
        entering,
        ethanol=entering.ethanol + sugar * ETHANOL_OF_SUGAR,
        solubles=max(0.0, entering.solubles - sugar),
    )
    notes = (("sugar_fermented", sugar),)
    return Parted(made, gas, frozenset({name}), notes=notes, doubts=("some-gas-stays",) if "abv" in name else ())


def _fermented(entering: Matter, figures: Figures) -> tuple[float, str]:
    """(kg of sugar that fermented, the figure that says so). Impossible beyond the sugar that is there."""
    most = max(0.0, entering.solubles - entering.acids)
    for name in ("out.abv", "left.mass", "out.mass", "abv", "given_off"):
        if name not in figures:
            continue
        value = figures[name]
        if name in ("out.abv", "abv"):
            sugar = _sugar_for_strength(entering, name, value, most)
        elif name == "out.mass":
            sugar = (entering.mass - value) / GAS_OF_SUGAR
            if sugar < -SCALES * entering.mass:
                raise Impossible("more-out-than-in", name, value=value, most=entering.mass)
        else:
            sugar = value / GAS_OF_SUGAR
        if sugar > most + SCALES * entering.mass:
            raise Impossible("more-sugar-than-in", name, value=sugar, most=most)
        return min(max(sugar, 0.0), most), name
    raise Impossible("needs-fact", "abv", options="abv, given_off, out.abv, left.mass or out.mass")


def _sugar_for_strength(entering: Matter, name: str, target: float, most: float) -> float:
    start = 0.0 if volume_of(entering, name) == 0.0 else entering.liquid.abv
    if target <= start:
        if target < start - HYDROMETER:
            raise Impossible("weaker-than-charge", name, value=target, least=start)
        return 0.0

    def strength(sugar: float) -> float:
        ethanol = entering.ethanol + sugar * ETHANOL_OF_SUGAR
        return Liquid(ethanol, entering.water, entering.solubles - sugar).abv

    if strength(most) < target:
        if strength(most) < target - HYDROMETER:
            raise Impossible("stronger-than-sugar", name, value=target, most=strength(most))
        return most
    low, high = 0.0, most
    for _ in range(200):
        middle = 0.5 * (low + high)
        if middle in (low, high):
            break
        low, high = (middle, high) if strength(middle) < target else (low, middle)
    return low
