"""Boiling ethanol-water: activity coefficients, vapour pressures and the bubble point.

Sources: NRTL (Renon and Prausnitz 1968) with the temperature-dependent constants of Gmehling and Onken,
DECHEMA Vapor-Liquid Equilibrium Data Collection I/1, fitted over 298 to 373 K; Antoine constants of the
same collection (ethanol 20 to 93 C, water 0 to 100 C). Constants fitted at one atmosphere alone are off by
up to 0.08 in y at 30 C, which is why these are used. Error to state: 1 % in pressure, 0.01 in y.
"""

from __future__ import annotations

from math import exp, log

from costing.liquor.guards import within

ETHANOL_MOLAR = 46.06844  # g/mol
WATER_MOLAR = 18.01528
MBAR_PER_MMHG = 1.33322387415
PRESSURE_RANGE = (10.0, 1100.0)
BOIL_T_RANGE = (5.0, 100.0)
COOLANT_T_RANGE = (-20.0, 40.0)

_A12, _B12, _A21, _B21, _ALPHA = -0.8009, 246.18, 3.4578, -586.0809, 0.30
_LN10 = log(10.0)
# ln(p / mbar) = a - b / (t + c)
_ETHANOL = (8.11220 * _LN10 + log(MBAR_PER_MMHG), 1592.864 * _LN10, 226.184)
_WATER = (8.05573 * _LN10 + log(MBAR_PER_MMHG), 1723.6425 * _LN10, 233.08)
_LN_P_TOLERANCE = 2e-14
_ROUNDS = 40


def activity(x: float, t: float) -> tuple[float, float]:
    """Activity coefficients (ethanol, water) at mole fraction x of ethanol (0..1) and t in C; unchecked."""
    kelvin = t + 273.15
    z = 1.0 - x
    t12 = _A12 + _B12 / kelvin
    t21 = _A21 + _B21 / kelvin
    g12 = exp(-_ALPHA * t12)
    g21 = exp(-_ALPHA * t21)
    u = x + z * g21
    v = z + x * g12
    r = g21 / u
    s = g12 / v
    return exp(z * z * (t21 * r * r + t12 * s / v)), exp(x * x * (t12 * s * s + t21 * r / u))


def vapour_pressures(t: float) -> tuple[float, float]:
    """Vapour pressures of pure ethanol and water at t in C, mbar; unchecked (ranges: see the module)."""
    a, b, c = _ETHANOL
    d, e, f = _WATER
    return exp(a - b / (t + c)), exp(d - e / (t + f))


def partial_pressures(x: float, t: float) -> tuple[float, float]:
    """Partial pressures (ethanol, water) in mbar over a liquid of mole fraction x at t in C; unchecked."""
    g1, g2 = activity(x, t)
    p1, p2 = vapour_pressures(t)
    return x * g1 * p1, (1.0 - x) * g2 * p2


def boil(x: float, ln_p: float, t: float) -> tuple[float, float]:
    """(t, y) where the partial pressures sum to exp(ln_p) mbar, starting from the guess t; unchecked.

    The log of the sum is almost straight in 1 / (t + 230), so the secant there needs three or four looks.
    """
    v = 1.0 / (t + 230.0)
    slope = -3900.0
    v_old = gap_old = 0.0
    for round_ in range(_ROUNDS):
        t = 1.0 / v - 230.0
        p1, p2 = partial_pressures(x, t)
        gap = log(p1 + p2) - ln_p
        if round_ and v != v_old and gap != gap_old:
            slope = (gap - gap_old) / (v - v_old)
        if -_LN_P_TOLERANCE < gap < _LN_P_TOLERANCE or v == v_old:
            return t, p1 / (p1 + p2)
        v_old, gap_old = v, gap
        v -= gap / slope
    raise ArithmeticError(f"no boiling point found for mole fraction {x!r} at {exp(ln_p)!r} mbar")


def first_guess(x: float, ln_p: float) -> float:
    """A boiling temperature in C near enough to start from: between the pure liquids' own."""
    (a, b, c), (d, e, f) = _ETHANOL, _WATER
    low, high = b / (a - ln_p) - c, e / (d - ln_p) - f
    return low + (high - low) * (1.0 - x) ** 4


def bubble_point(x: float, pressure_mbar: float) -> tuple[float, float]:
    """Boiling ethanol-water: (temperature in C, mole fraction of ethanol in the vapour).

    x: mole fraction of ethanol in the liquid, 0..1. pressure_mbar: absolute pressure, 10..1100 mbar.
    ValueError outside those, or when the mixture would boil outside 5..100 C, where the vapour-pressure
    constants hold no longer. Source: see the module.
    """
    within("mole fraction of ethanol", x, 0.0, 1.0)
    within("pressure in mbar", pressure_mbar, *PRESSURE_RANGE)
    ln_p = log(pressure_mbar)
    t, y = boil(x, ln_p, first_guess(x, ln_p))
    within(f"boiling temperature in C at {pressure_mbar:g} mbar", t, *BOIL_T_RANGE)
    return t, y
