"""Carbon dioxide in drinks: what a pressure dissolves, which pressure a drink needs, what a fill uses up.

Sources. Water: Carroll, Slupsky and Mather, J. Phys. Chem. Ref. Data 20 (1991) 1201 (Henry's constant, 0 to
160 C, below 1 MPa). Gas: virial equation with a second coefficient straight in the temperature (within 5 % of
the reference equation over 0 to 60 C, 0.6 % in density at 10 bar and 0 C). Ethanol and sugar: the factor of the
wine method of Regulation (EEC) 2676/90, a measurement at 20 C carried to other temperatures. Error to state: 1 %
in water, 6 % in wine and beer. The factor turns around in spirits, so above 20 % vol nothing is said.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, isclose, log

from costing.liquor.guards import not_negative, within
from costing.liquor.sucrose import rho_water_wide
from costing.liquor.vle import WATER_MOLAR

CO2_MOLAR = 44.0095  # g/mol
GAS_CONSTANT = 8.314462618  # J/(mol K)
ATMOSPHERE = 1.01325  # bar
CO2_T_RANGE = (0.0, 60.0)
CO2_PRESSURE_RANGE = (0.0, 10.0)
CO2_ABV_RANGE = (0.0, 0.20)
CO2_SUGAR_RANGE = (0.0, 150.0)
VOLUME_G_PER_L = 1.977
"""Grams of CO2 in a litre of it at 0 C and one atmosphere: one "volume" of the trade."""
_PURGES_LIMIT = 100.0
_PA = 1e5
_ROUNDS = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class GasUsed:
    """What carbonating one lot takes. Grams: total = dissolved + headspace + purges + foam.

    pressure_bar: absolute pressure of CO2 at which the drink holds the asked for. dissolved: in the drink. headspace:
    the gas above it. purges: blown out before. foam: lost with foam and venting. residual_air: share (0..1) of
    the air first above the drink that the purges left there; 1 without any.
    """

    pressure_bar: float
    dissolved: float
    headspace: float
    purges: float
    foam: float
    residual_air: float

    @property
    def total(self) -> float:
        """Grams of CO2 in all."""
        return self.dissolved + self.headspace + self.purges + self.foam


def co2_solubility(pressure_bar: float, t: float, abv: float = 0.0, sugar: float = 0.0) -> float:
    """Grams of CO2 that a litre of drink holds in equilibrium.

    pressure_bar: absolute pressure of the CO2 itself, 0..10 bar. A gauge over a drink shows about one bar less and the
    vapour of the drink more (6 mbar at 0 C, 23 at 20 C). t: C, 0..60. abv: fraction, 0..0.20. sugar: g/L, 0..150.
    ValueError outside. Sources and error: see the module.
    """
    within("pressure of CO2 in bar", pressure_bar, *CO2_PRESSURE_RANGE)
    return _solubility(pressure_bar, *_state(t, abv, sugar))


def co2_pressure(g_per_l: float, t: float, abv: float = 0.0, sugar: float = 0.0) -> float:
    """Absolute pressure of CO2 in bar that keeps g_per_l grams in a litre; the inverse of `co2_solubility`.

    Same ranges; ValueError when g_per_l is below 0 or needs more than 10 bar (the most is named).
    """
    return _pressure(g_per_l, *_state(t, abv, sugar))


def co2_volumes(g_per_l: float) -> float:
    """Volumes of CO2 (litres of it at 0 C and one atmosphere to a litre of drink) from g/L, 0 or more."""
    not_negative("CO2 in g/L", g_per_l)
    return g_per_l / VOLUME_G_PER_L


def co2_from_volumes(volumes: float) -> float:
    """Grams of CO2 to a litre from volumes of it, 0 or more."""
    not_negative("volumes of CO2", volumes)
    return volumes * VOLUME_G_PER_L


def co2_compressibility(pressure_bar: float, t: float) -> float:
    """Real-gas factor Z = pV/(nRT) of CO2 at 0..10 bar absolute and 0..60 C, by the virial equation."""
    within("pressure of CO2 in bar", pressure_bar, *CO2_PRESSURE_RANGE)
    within("temperature in C", t, *CO2_T_RANGE)
    return 1.0 + _per_bar(t + 273.15) * pressure_bar


def co2_gas_grams(litres: float, pressure_bar: float, t: float) -> float:
    """Grams of CO2 gas in `litres` (0 or more) at 0..10 bar absolute and 0..60 C."""
    not_negative("litres", litres)
    z = co2_compressibility(pressure_bar, t)
    return pressure_bar * _PA * litres / 1000.0 * CO2_MOLAR / (z * GAS_CONSTANT * (t + 273.15))


def co2_used(
    litres: float,
    g_per_l: float,
    t: float,
    abv: float = 0.0,
    sugar: float = 0.0,
    headspace_l: float = 0.0,
    purges: float = 0.0,
    foam: float = 0.0,
) -> GasUsed:
    """What it takes to bring `litres` of flat drink to g_per_l grams of CO2 in a litre at t.

    litres: 0 or more. t, abv, sugar: as in `co2_solubility`. headspace_l: litres of gas above the drink. purges: how
    often (a whole number, 0..100) that gas is let out to one atmosphere and filled again at the pressure found.
    foam: share (0..1) of the dissolved gas lost with foam and venting on top.

    The first purge drives out mostly air and is counted as CO2, at most 2 g per litre of headspace too much.
    ValueError outside the ranges, and when there are purges but the pressure is not above one atmosphere.
    """
    not_negative("litres", litres)
    not_negative("headspace in litres", headspace_l)
    within("purges", purges, 0.0, _PURGES_LIMIT)
    if purges != int(purges):
        raise ValueError(f"purges is {purges!r}; accepted: a whole number, 0 to {_PURGES_LIMIT:g}")
    within("share lost as foam", foam, 0.0, 1.0)
    pressure = co2_pressure(g_per_l, t, abv, sugar)
    if purges > 0.0 and pressure <= ATMOSPHERE:
        raise ValueError(
            f"{g_per_l!r} g/L needs {pressure:.4g} bar of CO2, which drives nothing out; "
            f"accepted with purges: above {ATMOSPHERE:g} bar"
        )
    dissolved = litres * g_per_l
    full = co2_gas_grams(headspace_l, pressure, t)
    blown = purges * (full - co2_gas_grams(headspace_l, ATMOSPHERE, t)) if purges > 0.0 else 0.0
    return GasUsed(
        pressure_bar=pressure,
        dissolved=dissolved,
        headspace=full,
        purges=blown,
        foam=foam * dissolved,
        residual_air=(ATMOSPHERE / pressure) ** purges if purges > 0.0 else 1.0,
    )


def _per_bar(kelvin: float) -> float:
    """B / (R T) of CO2, 1/bar."""
    return _PA * (-122e-6 - 0.95e-6 * (300.0 - kelvin)) / (GAS_CONSTANT * kelvin)


def _state(t: float, abv: float, sugar: float) -> tuple[float, float, float]:
    """(log of Henry's constant in bar, B / (R T) in 1/bar, g/L of the drink to a mole ratio of 1), ranges checked."""
    within("temperature in C", t, *CO2_T_RANGE)
    within("ABV as a fraction", abv, *CO2_ABV_RANGE)
    within("sugar in g/L", sugar, *CO2_SUGAR_RANGE)
    kelvin = t + 273.15
    ln_henry = -6.8346 + 1.2817e4 / kelvin - 3.7668e6 / kelvin**2 + 2.997e8 / kelvin**3 + log(10.0)  # MPa to bar
    drink = (0.86 - abv) / 0.86 * (1.0 - 0.00144 * sugar)
    return ln_henry, _per_bar(kelvin), drink * rho_water_wide(t) * CO2_MOLAR / WATER_MOLAR


def _solubility(pressure: float, ln_henry: float, virial: float, scale: float) -> float:
    x = pressure * exp(virial * pressure - ln_henry)
    return scale * x / (1.0 - x)


def _pressure(g_per_l: float, ln_henry: float, virial: float, scale: float) -> float:
    top = CO2_PRESSURE_RANGE[1]
    most = _solubility(top, ln_henry, virial, scale)
    if isclose(g_per_l, most, rel_tol=1e-14):  # the last bits of `_solubility` are no pressure beyond the range
        return top
    within("CO2 in g/L", g_per_l, 0.0, most)
    if g_per_l == 0.0:
        return 0.0
    target = log(g_per_l) - log(scale + g_per_l) + ln_henry
    # u + virial * exp(u) = target for the log of the pressure; its slope is 0.9 to 1, so Newton needs three steps.
    u = target
    for _ in range(_ROUNDS):
        bend = virial * exp(u)
        step = (target - u - bend) / (1.0 + bend)
        u += step
        if abs(step) <= 1e-15 * (1.0 + abs(u)):
            break
    return min(exp(u), top)  # the last bit of a root at the very end
