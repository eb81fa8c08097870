"""Density of sucrose solutions; dissolved solids of every kind are counted as sucrose.

Source: Bubnik, Kadlec, Urban, Bruhns, Sugar Technologists Manual (1995), the form adopted by ICUMSA in
SPS-4. Water over the wide range: Kell's quotient (J. Chem. Eng. Data 20 (1975) 97) with the coefficients
restated for the 1990 temperature scale.
"""

from __future__ import annotations

from costing.liquor.guards import within

SOLIDS_LIMIT = 0.85
SUCROSE_T_RANGE = (0.0, 90.0)

_WATER = (999.83952, 16.952577, -7.9905127e-3, -46.241757e-6, 105.84601e-9, -281.03006e-12)
_WATER_BELOW = 16.887236e-3
# Row i multiplies ((t - 20) / 100)^i, column k multiplies s^(k+1).
_EXCESS = (
    (385.1761, 135.3705, 40.9299, -3.9643, 13.4853, -17.2890),
    (-46.2720, -7.1720, 1.1597, 5.1126, 17.5254),
    (59.7712, 7.2491, 12.3630, -35.4791),
    (-47.2207, -21.6977, 27.6301),
    (18.3184, 12.3081),
)


def rho_water_wide(t: float) -> float:
    """Density of water in kg/m3 at one atmosphere, t in C from 0 to 100. ValueError outside.

    At 20 C it is 998.2031, which is 0.0019 above the water of the alcohol tables (998.20123): the tables of
    two trades never quite agree, and `Liquid` uses one water only. Source: Kell 1975, ITS-90 coefficients.
    """
    within("temperature in C", t, 0.0, 100.0)
    top = 0.0
    for a in reversed(_WATER):
        top = top * t + a
    return top / (1.0 + _WATER_BELOW * t)


def excess_over_water(s: float, row: int = 0) -> float:
    """What dissolved sucrose of mass fraction s adds to the density of water, kg/m3; unchecked.

    row 0 is the whole effect at 20 C; row i is the factor of ((t - 20) / 100)^i.
    """
    total = 0.0
    for c in reversed(_EXCESS[row]):
        total = (total + c) * s
    return total


def excess_at(s: float, t: float) -> float:
    """What dissolved sucrose of mass fraction s adds to the density of water at t in C, kg/m3; unchecked."""
    tau = (t - 20.0) / 100.0
    total, power = 0.0, 1.0
    for row in range(len(_EXCESS)):
        total += power * excess_over_water(s, row)
        power *= tau
    return total


def sucrose_density(s: float, t: float = 20.0) -> float:
    """Density of a sucrose solution in kg/m3.

    s: mass fraction of sucrose, 0..0.85 (0.01 per degree Brix). t: temperature in C, 0..90.
    Raises ValueError outside the ranges. Source: ICUMSA SPS-4 (Bubnik et al. 1995).
    """
    within("mass fraction of dissolved solids", s, 0.0, SOLIDS_LIMIT)
    within("temperature in C", t, *SUCROSE_T_RANGE)
    return rho_water_wide(t) + excess_at(s, t)


def brix_from_gravity(sg: float) -> float:
    """Degrees Brix of a sugar solution free of alcohol from its apparent specific gravity 20/20 C.

    Accepted gravity 1.0 to 1.18 (0 to about 40 Bx, within 0.02); ValueError outside.
    Source: cubic fitted to the tables of NBS Circular C440.
    """
    within("apparent specific gravity 20/20", sg, 1.0, 1.18)
    return ((182.4601 * sg - 775.6821) * sg + 1262.7794) * sg - 669.5622
