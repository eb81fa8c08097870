"""Bringing a liquid to a strength or to a Brix, with the contraction that mixing brings."""

from __future__ import annotations

from costing.liquor.density import ETHANOL_20, abw_from_abv
from costing.liquor.liquid import Liquid, volume_of
from costing.liquor.roots import root

# A target this close above the liquid's own strength is the same strength, typed or computed twice.
_SAME = 1e-12
_MOST_DILUENT = 1.0 - 1e-6  # share of the blend


def proof_down(liquid: Liquid, abv: float) -> tuple[Liquid, float]:
    """Add water until the liquid has the given ABV: (the diluted liquid, kg of water added).

    abv: fraction, above 0 and at most the liquid's own. Works with dissolved solids too (ABV is then over the
    total volume, see `Liquid.volume`). Without them it is exact: the ethanol stays, the mass grows as
    ABW falls. ValueError, naming target and present strength, for any other target.
    """
    present = liquid.abv
    if not 0.0 < abv <= present * (1.0 + _SAME):
        raise ValueError(f"target ABV is {abv!r}; accepted range above 0 to the liquid's own {present!r}")
    if abv >= present * (1.0 - _SAME):
        return liquid, 0.0
    if liquid.solids == 0.0:
        water = liquid.ethanol / abw_from_abv(abv) - liquid.mass
    else:
        litres = 1000.0 * liquid.ethanol / (ETHANOL_20 * abv)

        def gap(kg: float) -> float:
            return volume_of(liquid.ethanol, liquid.water + kg, liquid.solids) - litres

        # Contraction costs well under a tenth of the volume, so this much water always overshoots.
        most = 1.2 * litres
        water = root(gap, 0.0, most, f_low=gap(0.0), f_high=gap(most))
    return Liquid(liquid.ethanol, liquid.water + water, liquid.solids), water


def dilute_to_brix(liquid: Liquid, brix: float) -> tuple[Liquid, float]:
    """Add water until dissolved solids are `brix` % of the mass: (the diluted liquid, kg of water added).

    brix: true dissolved solids, above 0 and at most the liquid's own; else ValueError naming both.
    """
    present = liquid.brix
    if not 0.0 < brix <= present * (1.0 + _SAME):
        raise ValueError(f"target Brix is {brix!r}; accepted range above 0 to the liquid's own {present!r}")
    if brix >= present * (1.0 - _SAME):
        return liquid, 0.0
    water = 100.0 * liquid.solids / brix - liquid.mass
    return Liquid(liquid.ethanol, liquid.water + water, liquid.solids), water


def blend_to_abv(liquid: Liquid, diluent_per_kg: Liquid, abv: float) -> float:
    """Kilograms of a diluent (juice, syrup, another spirit) that bring the liquid to the given ABV.

    diluent_per_kg: what the diluent is made of; only its proportions count, 1 kg of it is the natural unit.
    abv: fraction, from the liquid's own ABV to short of the diluent's, upwards as well as down.
    ValueError when it does not lie there, when it takes more than a million times the liquid's own weight (the ABV
    is then the diluent's, to the last digit), or when either is empty or has no known volume.
    """
    if liquid.mass <= 0.0 or diluent_per_kg.mass <= 0.0:
        raise ValueError(f"masses {liquid.mass!r} and {diluent_per_kg.mass!r} kg; accepted range above 0")
    present, other = liquid.abv, diluent_per_kg.abv
    if abs(abv - present) <= _SAME * present:
        return 0.0
    if not min(present, other) <= abv <= max(present, other) or abv == other:
        raise ValueError(f"target ABV is {abv!r}; accepted from {present!r} to short of the diluent's {other!r}")
    unit = diluent_per_kg * (1.0 / diluent_per_kg.mass)
    start = liquid * (1.0 / liquid.mass)

    def gap(share: float) -> float:
        return (start * (1.0 - share) + unit * share).abv - abv

    # The share of diluent in the blend is bounded where its mass is not.
    share = root(gap, 0.0, 1.0, f_low=present - abv, f_high=other - abv)
    if share > _MOST_DILUENT:
        raise ValueError(f"target ABV is {abv!r}, all but the diluent's own {other!r}; aim away from it")
    return liquid.mass * share / (1.0 - share)
