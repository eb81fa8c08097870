"""Volumes measured warm or cold, turned into litres at 20 C and back."""

from __future__ import annotations

from costing.liquor.density import DENSITY_T_RANGE, REFERENCE_T, density
from costing.liquor.guards import not_negative, within
from costing.liquor.liquid import Liquid
from costing.liquor.sucrose import SUCROSE_T_RANGE, excess_at, rho_water_wide


def litres_at_20(litres: float, t: float, liquid: Liquid) -> float:
    """Litres at 20 C of what fills `litres` (0 or more) at t in C.

    liquid: what it is made of; only its proportions count. t: -20..40 with ethanol, 0..90 without. ValueError outside,
    and for an empty liquid. Sources: OIML R 22 with ethanol, ICUMSA SPS-4 without. With both, the rule of
    `Liquid.volume` at t; below 0 C the sugar's part is carried beyond its table.
    """
    not_negative("litres", litres)
    return litres / growth(t, liquid)


def litres_at(litres_20: float, t: float, liquid: Liquid) -> float:
    """Litres at t (C) of what fills litres_20 at 20 C; the inverse of `litres_at_20`, with its ranges and errors."""
    not_negative("litres", litres_20)
    return litres_20 * growth(t, liquid)


def growth(t: float, liquid: Liquid) -> float:
    """Volume at t over volume at 20 C, with the ranges and errors of `litres_at_20`."""
    if liquid.mass <= 0.0:
        raise ValueError(f"the volume of {liquid.mass!r} kg is not defined; accepted range above 0 kg")
    at_20 = liquid.volume  # raises where the solids are too many
    if liquid.ethanol > 0.0:
        within("temperature in C with alcohol", t, *DENSITY_T_RANGE)
        return 1.0 if t == REFERENCE_T else _volume_at(t, liquid) / at_20
    within("temperature in C without alcohol", t, *SUCROSE_T_RANGE)
    s = liquid.solids / liquid.mass
    return 1.0 if t == REFERENCE_T else _syrup_density(s, REFERENCE_T) / _syrup_density(s, t)


def _syrup_density(s: float, t: float) -> float:
    """`sucrose_density` of an s that may be the last bit above its limit."""
    return rho_water_wide(t) + excess_at(s, t)


def _volume_at(t: float, liquid: Liquid) -> float:
    """Litres at t by the rule of `Liquid.volume`, whose checks have been passed."""
    mixed = liquid.ethanol + liquid.water
    litres = 1000.0 * mixed / density(liquid.ethanol / mixed, t)
    if liquid.solids > 0.0:
        sweet, water = liquid.water + liquid.solids, density(0.0, t)
        litres += 1000.0 * (sweet / (water + excess_at(liquid.solids / sweet, t)) - liquid.water / water)
    return litres
