"""Heat in ethanol-water: specific heat and heat of mixing, as far as chilling a drink needs them.

Heat of mixing: Larkin, J. Chem. Thermodynamics 7 (1975) 137, coefficients from a public code copy; fitted from 298 to
383 K and used here some 20 K below, so good for about 20 % of itself (below 5 % of ethanol by mass it overstates a
heat that is small there). Specific heat: own fit at 5 C to the secondary-refrigerant data of Melinder between 11 and
60 % by mass and to both pure liquids, within 0.02 kJ/(kg K).
"""

from __future__ import annotations

from math import sqrt

from costing.liquor.vle import ETHANOL_MOLAR, WATER_MOLAR

_SPECIFIC = (4.2, 3.011, -14.447, 15.706, -6.170)
# Rows: factor of x^0, x^0.5, x^1.5, x^2.5, x^4.5; columns: 1, T, T^2.
_LARKIN = (
    (-3.63868e5, 1.83829e3, -2.32763),
    (9.25982e5, -4.83586e3, 6.37228),
    (-14.04894e5, 7.51661e3, -10.11280),
    (10.91318e5, -5.89498e3, 7.98868),
    (-2.79986e5, 1.50557e3, -2.03127),
)


def specific_heat(w: float) -> float:
    """kJ/(kg K) of ethanol-water of mass fraction w (0..1) near 5 C; unchecked."""
    total = 0.0
    for a in reversed(_SPECIFIC):
        total = total * w + a
    return total


def heat_of_mixing(ethanol: float, water: float, t: float) -> float:
    """kJ taken up when kg of ethanol and kg of water at t (C) become one liquid of t: negative in the cold. Unchecked.

    0 when either is missing.
    """
    if ethanol <= 0.0 or water <= 0.0:
        return 0.0
    n_e, n_w = ethanol / ETHANOL_MOLAR, water / WATER_MOLAR  # kmol
    x = n_e / (n_e + n_w)
    kelvin = t + 273.15
    a, b, c, d, e = (p + kelvin * (q + kelvin * r) for p, q, r in _LARKIN)
    half = sqrt(x)
    return n_e * (1.0 - x) * (a + half * (b + x * (c + x * (d + x * x * e))))
