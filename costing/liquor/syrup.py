"""Sugar syrups: Brix of a ratio, sugar in a litre, how much dissolves, how much to add.

Solubility: Vavrinecz 1962 in the form adopted by ICUMSA, coefficients from memory.
"""

from __future__ import annotations

from costing.liquor.guards import above_zero, not_negative, within
from costing.liquor.liquid import Liquid
from costing.liquor.proofing import dilute_to_brix
from costing.liquor.sucrose import SOLIDS_LIMIT

SOLUBILITY_T_RANGE = (0.0, 90.0)
_SOLUBILITY = (64.447, 0.08222, 1.6169e-3, -1.558e-6, -4.63e-8)
_BULK_RANGE = (0.3, 1.6)
_MOST_BRIX = 100.0 * SOLIDS_LIMIT


def brix_of_ratio(ratio: float) -> float:
    """Brix of `ratio` kg of sugar to one kg of water (0 or more): 1 gives 50, 2 gives 66.67."""
    not_negative("sugar to water by weight", ratio)
    return 100.0 * ratio / (1.0 + ratio)


def ratio_of_brix(brix: float) -> float:
    """Kilograms of sugar to one kg of water in a syrup of the given Brix, 0 to short of 100; else ValueError."""
    not_negative("Brix", brix)
    if brix >= 100.0:
        raise ValueError(f"Brix is {brix!r}; accepted range 0 to short of 100")
    return brix / (100.0 - brix)


def weight_ratio(volume_ratio: float, bulk_kg_per_l: float) -> float:
    """Sugar to water by weight from sugar to water by volume (0 or more).

    bulk_kg_per_l: what a litre of the sugar weighs as it is scooped, 0.3..1.6; granulated sugar is near 0.85
    (common practice, no source), which is why a syrup made by the cup differs from house to house.
    """
    not_negative("sugar to water by volume", volume_ratio)
    within("kg in a litre of sugar", bulk_kg_per_l, *_BULK_RANGE)
    return volume_ratio * bulk_kg_per_l / (Liquid.pure_water(1.0).density / 1000.0)


def sugar_g_per_l(brix: float) -> float:
    """Grams of sugar in a litre (20 C) of syrup of the given Brix, 0..85. Source: ICUMSA SPS-4."""
    within("Brix", brix, 0.0, _MOST_BRIX)
    syrup = Liquid.syrup(1.0, brix)
    return 1000.0 * syrup.solids / syrup.volume


def litres_per_kg_sugar(brix: float) -> float:
    """Litres (20 C) of syrup of the given Brix that one kg of sugar makes; above 0 to 85. Source: ICUMSA SPS-4."""
    above_zero("Brix", brix)
    return 1000.0 / sugar_g_per_l(brix)


def sucrose_solubility(t: float) -> float:
    """Brix of a saturated sucrose solution at t in C, 0..90; ValueError outside. Source: see the module."""
    within("temperature in C", t, *SOLUBILITY_T_RANGE)
    total = 0.0
    for a in reversed(_SOLUBILITY):
        total = total * t + a
    return total


def saturated(brix: float, t: float) -> bool:
    """True when a sucrose syrup of the given Brix (0..100) may grow crystals at t in C (0..90).

    Invert sugar, glucose and acid hold more; a syrup just above the line may take weeks.
    """
    within("Brix", brix, 0.0, 100.0)
    return brix >= sucrose_solubility(t)


def sugar_to_add(kg: float, brix: float, target: float) -> float:
    """Kilograms of dry sugar that bring `kg` (0 or more) of syrup from `brix` to `target`.

    target: from the present Brix to short of 100; else ValueError naming both.
    """
    not_negative("kg", kg)
    within("Brix", brix, 0.0, 100.0)
    if not brix <= target < 100.0:
        raise ValueError(f"target Brix is {target!r}; accepted range from the present {brix!r} to short of 100")
    return kg * (target - brix) / (100.0 - target)


def water_to_add(kg: float, brix: float, target: float) -> float:
    """Kilograms of water that take `kg` (0 or more) of syrup from `brix` down to `target` (see `dilute_to_brix`)."""
    not_negative("kg", kg)
    return kg * dilute_to_brix(Liquid.syrup(1.0, brix), target)[1] if kg != 0.0 else 0.0
