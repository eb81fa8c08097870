"""Figures behind cautions: warm alcohol vapour and escaped CO2. They size a hazard and never call anything safe.

Fire and gas rules are local; licensed practice comes first.
"""

from __future__ import annotations

from costing.liquor.carbonation import ATMOSPHERE, CO2_MOLAR, GAS_CONSTANT
from costing.liquor.density import abw_from_abv
from costing.liquor.guards import above_zero, not_negative, within
from costing.liquor.roots import root
from costing.liquor.vle import ETHANOL_MOLAR, WATER_MOLAR, partial_pressures, vapour_pressures

FLASH_ABV_RANGE = (0.03, 1.0)
VAPOUR_T_RANGE = (0.0, 90.0)
ROOM_T_RANGE = (-20.0, 60.0)
PURE_ETHANOL_FLASH = 13.0  # C, closed cup
LEAN_LIMIT = 0.033  # share of ethanol vapour in air below which a flame does not run
_FLASH_PRESSURE = vapour_pressures(PURE_ETHANOL_FLASH)[0]


def flash_point(abv: float) -> float:
    """Estimated flash point in C of ethanol-water of the given ABV (fraction, 0.03..1).

    Where the ethanol over the liquid has the pressure of pure ethanol at 13 C; within 3 K of published tables,
    whose own axis is ambiguous: show the lower. Weaker liquids are refused, not harmless.
    """
    within("ABV as a fraction", abv, *FLASH_ABV_RANGE)
    x = _mole_fraction(abv)

    def gap(t: float) -> float:
        return partial_pressures(x, t)[0] - _FLASH_PRESSURE

    low, high = PURE_ETHANOL_FLASH, 100.0
    at_low = gap(low)
    return low if at_low >= 0.0 else root(gap, low, high, f_low=at_low, f_high=gap(high))


def lean_limit_ratio(abv: float, t: float) -> float:
    """How many times the lean limit of burning (3.3 % of air) ethanol vapour reaches right over the liquid.

    abv: fraction, 0..1. t: C, 0..90. Above 1 a flame or spark can set the vapour alight there; draught and
    distance thin it, and over a warm open bag there is neither. ValueError outside the ranges.
    """
    within("temperature in C", t, *VAPOUR_T_RANGE)
    return partial_pressures(_mole_fraction(abv), t)[0] / (LEAN_LIMIT * 1000.0 * ATMOSPHERE)


def room_ppm(co2_kg: float, room_m3: float, t: float = 20.0) -> float:
    """Parts per million of CO2 when so many kg (0 or more) escape into a closed room of room_m3 (above 0) at t in C.

    Volume of the gas at one atmosphere over that of the room, on top of what air holds (about 420); it does not
    mix evenly and gathers low. Above a million it fills the room more than once. t: -20..60; ValueError outside.
    """
    not_negative("kg of CO2", co2_kg)
    above_zero("room in m3", room_m3)
    within("temperature in C", t, *ROOM_T_RANGE)
    cubic_metres = 1000.0 * co2_kg / CO2_MOLAR * GAS_CONSTANT * (t + 273.15) / (1e5 * ATMOSPHERE)
    return 1e6 * cubic_metres / room_m3


def _mole_fraction(abv: float) -> float:
    w = abw_from_abv(abv)
    ethanol, water = w / ETHANOL_MOLAR, (1.0 - w) / WATER_MOLAR
    return ethanol / (ethanol + water)
