"""Water that ice gives to a drink: the published curve, and a heat balance as its sanity band.

Curve: Arnold, Liquid Intelligence (2014), p. 123; its coefficients are from memory. Freezing points of ethanol-water:
Lange's Handbook of Chemistry, table 5.13. Latent heat of ice 333.55 kJ/kg.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass

from costing.liquor.density import WATER_20
from costing.liquor.guards import above_zero, not_negative, within
from costing.liquor.heat import heat_of_mixing, specific_heat
from costing.liquor.liquid import Liquid
from costing.liquor.rayleigh import SUCROSE_MOLAR
from costing.liquor.roots import root

DILUTION_ABV_RANGE = (0.12, 0.42)
_CURVES = {"stirred": (-1.21, 1.246, 0.145), "shaken": (-1.567, 1.742, 0.203)}

# % ethanol by mass, C
_FREEZING = (
    (0.0, 0.0), (2.5, -1.0), (4.8, -2.0), (6.8, -3.0), (11.3, -5.0), (13.8, -6.1), (17.5, -8.7), (18.8, -9.4),
    (20.3, -10.6), (22.1, -12.2), (24.2, -14.0), (26.7, -16.0), (29.9, -18.9), (33.8, -23.6), (39.0, -28.7),
)  # fmt: skip
_STRENGTHS = tuple(w / 100.0 for w, _ in _FREEZING)
STRONGEST = _STRENGTHS[-1]
SUGAR_MOLALITY_LIMIT = 5.0
_CRYOSCOPIC = 1.86  # K kg/mol

MELTING = 333.55  # kJ/kg
ICE_HEAT = 2.09  # kJ/(kg K), from memory
WATER_HEAT = 4.19  # kJ/(kg K), from memory
SUGAR_HEAT = 1.7  # kJ/(kg K), dissolved, from memory
ICE_T_RANGE = (-40.0, 0.0)
START_T_RANGE = (-20.0, 40.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class IceBalance:
    """What the heat balance finds.

    ratio: litres of water added at 20 C to a litre of the drink as built. melted: kg of ice gone. added: kg of water
    that came in, surface water included. end_t: C. drink: the diluted drink. Its ABV is drink.abv.
    """

    ratio: float
    melted: float
    added: float
    end_t: float
    drink: Liquid


def ice_dilution(abv: float, technique: str) -> float:
    """Volume of water that ice adds to one volume of a drink of the given ABV (fraction, 0.12..0.42).

    technique: "stirred" or "shaken". ValueError for anything else and outside the range: a drink without alcohol or
    a neat spirit needs the house's own ratio. Source: see the module.
    """
    curve = _CURVES.get(technique)
    if curve is None:
        raise ValueError(f"technique is {technique!r}; accepted: {', '.join(_CURVES)}")
    within("ABV as a fraction", abv, *DILUTION_ABV_RANGE)
    return (curve[0] * abv + curve[1]) * abv + curve[2]


def liquidus(w: float, sugar_molality: float = 0.0) -> float:
    """Temperature in C at which ice starts to form in a drink.

    w: ethanol / (ethanol + water) by mass, 0..0.39. sugar_molality: mol of sugar to a kg of water, 0..5; each mol
    lowers the point by 1.86 K, which is right for thin solutions and too little for syrups. ValueError outside.
    Straight lines between the rows of Lange's table 5.13 (whole grams and tenths of a degree).
    """
    within("mass fraction of ethanol", w, 0.0, STRONGEST)
    within("mol of sugar to a kg of water", sugar_molality, 0.0, SUGAR_MOLALITY_LIMIT)
    return _liquidus(w, sugar_molality)


def _liquidus(w: float, sugar_molality: float) -> float:
    i = max(1, bisect_left(_STRENGTHS, w))
    low, high = _STRENGTHS[i - 1], _STRENGTHS[i]
    a, b = _FREEZING[i - 1][1], _FREEZING[i][1]
    return a + (b - a) * (w - low) / (high - low) - _CRYOSCOPIC * sugar_molality


def ice_heat_balance(
    drink: Liquid,
    *,
    ice_kg: float = 0.25,
    ice_t: float = 0.0,
    surface_kg: float = 0.0,
    start_t: float = 20.0,
    vessel_kj_k: float = 0.10,
    vessel_t: float = 20.0,
    end_t: float | None = None,
    mixing: bool = True,
) -> IceBalance:
    """How much ice melts until the drink has its end temperature, by heat alone; the room's heat is left out.

    drink: as built (dissolved solids count as sucrose). ice_kg, ice_t: the ice, C from -40 to 0. surface_kg: water
    clinging to it, at 0 C. start_t: of the drink, -20..40 C. vessel_kj_k, vessel_t: heat capacity of the vessel
    in kJ/K and its temperature, -40..40 C. end_t: C, a stir's chosen end; None takes the drink to where ice and
    diluted drink stand in balance (`liquidus`), a full shake. mixing: count the heat that ethanol gives off when it
    meets more water (taken at the mean of start and end); without it a spirit-only shake comes out 10 % lower.

    The defaults for ice and vessel are assumptions. ValueError outside the ranges, for an empty drink, for an end
    below the liquidus or above the start, when nothing melts, and when all the ice would.
    """
    above_zero("kg of drink", drink.mass)
    above_zero("water in kg", drink.water)
    above_zero("ice in kg", ice_kg)
    within("temperature of the ice in C", ice_t, *ICE_T_RANGE)
    not_negative("surface water in kg", surface_kg)
    within("temperature of the drink in C", start_t, *START_T_RANGE)
    not_negative("heat capacity of the vessel in kJ/K", vessel_kj_k)
    within("temperature of the vessel in C", vessel_t, ICE_T_RANGE[0], START_T_RANGE[1])
    litres = drink.volume
    sugar = 1000.0 * drink.solids / SUCROSE_MOLAR
    within("mol of sugar to a kg of water", sugar / (drink.water + surface_kg), 0.0, SUGAR_MOLALITY_LIMIT)
    spirit = drink.ethanol + drink.water
    capacity = spirit * specific_heat(drink.ethanol / spirit) + drink.solids * SUGAR_HEAT

    def end(melted: float) -> float:
        if end_t is not None:
            return end_t
        water = drink.water + surface_kg + melted
        return _liquidus(drink.ethanol / (drink.ethanol + water), sugar / water)

    def gap(melted: float) -> float:
        t = end(melted)
        given = capacity * (start_t - t) + vessel_kj_k * (vessel_t - t)
        if mixing:
            mean, water = 0.5 * (start_t + t), drink.water + surface_kg + melted
            given += heat_of_mixing(drink.ethanol, drink.water, mean) - heat_of_mixing(drink.ethanol, water, mean)
        taken = melted * (MELTING + WATER_HEAT * t) + surface_kg * WATER_HEAT * t
        # ice that has not melted is at 0 C at the warmest, however the drink ends
        return taken + ICE_HEAT * ((ice_kg - melted) * min(t, 0.0) - ice_kg * ice_t) - given

    least = 0.0
    if end_t is None:
        # Stronger than the table's last row nothing is known, but such a drink melts ice anyway.
        least = max(0.0, drink.ethanol * (1.0 / STRONGEST - 1.0) * (1.0 + 1e-12) - drink.water - surface_kg)
    if least >= ice_kg or gap(ice_kg) < 0.0:
        raise ValueError(f"ice in kg is {ice_kg!r}, all of which would melt; accepted: more")
    begun = gap(least)
    if begun > 0.0:
        raise ValueError(
            f"ice of {ice_kg!r} kg at {ice_t!r} C chills this drink and none melts; accepted: less, warmer"
        )
    melted = root(gap, least, ice_kg, f_low=begun, f_high=gap(ice_kg))
    added, t = melted + surface_kg, end(melted)
    diluted = Liquid(drink.ethanol, drink.water + added, drink.solids)
    if end_t is not None:
        w = diluted.ethanol / (diluted.ethanol + diluted.water)
        within("mass fraction of ethanol in the diluted drink", w, 0.0, STRONGEST)
        within("end_t in C", end_t, _liquidus(w, sugar / diluted.water), start_t)
    elif t > start_t:
        raise ValueError(f"temperature of the drink is {start_t!r} C; accepted range above its freezing point {t:.3g}")
    return IceBalance(ratio=1000.0 * added / WATER_20 / litres, melted=melted, added=added, end_t=t, drink=diluted)
