"""Water from ice against printed freezing points, an independent heat balance and a worked table.

"published" was read in the document named, "from memory" was not; "worked apart" was computed from the same kind of
balance by somebody else, whose specific heats are not known to the last digit.
"""

from __future__ import annotations

from math import exp, log
from typing import Any

import pytest

from costing.liquor import Liquid, ice_dilution, ice_heat_balance, liquidus
from costing.liquor.heat import heat_of_mixing, specific_heat

# Lange's Handbook of Chemistry, table 5.13 (published): % ethanol by mass, freezing point in C
LANGE = (
    (2.5, -1.0), (4.8, -2.0), (6.8, -3.0), (11.3, -5.0), (13.8, -6.1), (17.5, -8.7), (18.8, -9.4), (20.3, -10.6),
    (22.1, -12.2), (24.2, -14.0), (26.7, -16.0), (29.9, -18.9), (33.8, -23.6), (39.0, -28.7),
)  # fmt: skip


@pytest.mark.parametrize(("percent", "t"), LANGE, ids=lambda v: f"Lange table 5.13, published: {v}")
def test_freezing_points(percent: float, t: float) -> None:
    assert liquidus(percent / 100.0) == pytest.approx(t, abs=1e-12)


@pytest.mark.parametrize("percent", [0.5, 1.0, 2.0])
def test_thin_spirit_freezes_as_thin_solutions_do(percent: float) -> None:
    # 1.86 K kg/mol (handbooks, from memory), ideal; the table's tenths of a degree allow no better
    molality = percent / (100.0 - percent) / 0.04606844
    assert liquidus(percent / 100.0) == pytest.approx(-1.86 * molality, abs=0.06)


@pytest.mark.parametrize(
    ("w", "seen"), [(0.15, 0.01), (0.20, 0.58), (0.25, 1.0), (0.30, 1.38), (0.333, 0.46), (0.39, -0.22)]
)
def test_freezing_points_against_coolprop(w: float, seen: float) -> None:
    """CoolProp's INCOMP::MEA2 (Melinder) has a freezing line of its own; `seen` is how far below ours it lies, K."""
    props = pytest.importorskip("CoolProp.CoolProp")
    other = props.PropsSI("T_freeze", "T", 280.0, "P", 101325.0, f"INCOMP::MEA2-{100.0 * w}%") - 273.15
    assert liquidus(w) - other == pytest.approx(seen, abs=0.06)


@pytest.mark.parametrize(
    ("percent", "t"),
    [
        pytest.param(5.0, -0.29, id="handbook of chemistry, from memory: 5 % sucrose"),
        pytest.param(10.0, -0.63, id="handbook of chemistry, from memory: 10 % sucrose"),
        pytest.param(20.0, -1.46, id="handbook of chemistry, from memory: 20 % sucrose"),
    ],
)
def test_sugar_lowers_the_freezing_point(percent: float, t: float) -> None:
    assert liquidus(0.0, percent / (100.0 - percent) / 0.3422965) == pytest.approx(t, rel=0.08)


# Curve of "Liquid Intelligence" (2014), p. 123: coefficients from memory, values worked apart from them
@pytest.mark.parametrize(
    ("abv", "stirred", "shaken"),
    [(0.15, 0.305, 0.429), (0.20, 0.346, 0.489), (0.25, 0.381, 0.541), (0.30, 0.410, 0.585), (0.35, 0.433, 0.621)],
)
def test_published_curve(abv: float, stirred: float, shaken: float) -> None:
    assert ice_dilution(abv, "stirred") == pytest.approx(stirred, abs=5.1e-4)
    assert ice_dilution(abv, "shaken") == pytest.approx(shaken, abs=5.1e-4)


@pytest.mark.parametrize("w", [0.11, 0.15, 0.20, 0.25, 0.30, 0.40, 0.50, 0.60])
def test_specific_heat_against_coolprop(w: float) -> None:
    props = pytest.importorskip("CoolProp.CoolProp")
    other = props.PropsSI("C", "T", 278.15, "P", 101325.0, f"INCOMP::MEA2-{100.0 * w}%") / 1000.0
    assert specific_heat(w) == pytest.approx(other, abs=0.02)


@pytest.mark.parametrize(("fluid", "w", "tolerance"), [("Water", 0.0, 0.006), ("Ethanol", 1.0, 0.02)])
def test_specific_heat_of_the_pure_liquids(fluid: str, w: float, tolerance: float) -> None:
    props = pytest.importorskip("CoolProp.CoolProp")
    other = props.PropsSI("C", "T", 278.15, "P", 101325.0, fluid) / 1000.0
    assert specific_heat(w) == pytest.approx(other, abs=tolerance)


def larkin(x: float, kelvin: float) -> float:
    """Larkin 1975, J/mol: coefficients from a public code copy, powers as in the paper's abstracted form."""
    rows = (
        (0.0, -3.63868e5, 1.83829e3, -2.32763), (0.5, 9.25982e5, -4.83586e3, 6.37228),
        (1.5, -14.04894e5, 7.51661e3, -10.11280), (2.5, 10.91318e5, -5.89498e3, 7.98868),
        (4.5, -2.79986e5, 1.50557e3, -2.03127),
    )  # fmt: skip
    total = 0.0
    for power, a, b, c in rows:
        total += (a + b * kelvin + c * kelvin**2) * (exp(power * log(x)) if power else 1.0)
    return x * (1.0 - x) * total


@pytest.mark.parametrize("x", [0.01, 0.05, 0.2, 0.5, 0.95])
@pytest.mark.parametrize("t", [0.0, 25.0, 50.0])
def test_heat_of_mixing_is_larkins(x: float, t: float) -> None:
    ours = heat_of_mixing(x * 46.06844e-3, (1.0 - x) * 18.01528e-3, t)
    assert 1000.0 * ours == pytest.approx(larkin(x, 273.15 + t), rel=1e-9)


def test_mixing_in_a_classroom() -> None:
    """50 mL of water and 50 mL of 95 % vol, both at 22 C, reached 28.5 C (a lab report in a forum, published).

    Room and beaker take some of the heat, so the balance may lie a little above.
    """
    spirit, water = Liquid.spirit(0.050, 0.95), Liquid.pure_water(0.0499)
    both = spirit + water
    heat = heat_of_mixing(spirit.ethanol, spirit.water, 22.0) - heat_of_mixing(both.ethanol, both.water, 22.0)
    rise = heat / (both.mass * specific_heat(both.ethanol / both.mass))
    assert 6.0 < rise < 9.0


def rich() -> Liquid:
    return Liquid.spirit(0.060, 0.45) + Liquid.liqueur(0.030, 0.165, 160.0)


def sour() -> Liquid:
    """60 mL at 40 %, 22.5 mL juice (as water), 22.5 mL of 1:1 syrup; what the juice holds was not said."""
    return Liquid.spirit(0.060, 0.40) + Liquid.pure_water(0.0225) + Liquid.syrup(0.0225 * 1.2297, 50.0)


def mild() -> Liquid:
    return Liquid.spirit(0.105, 0.15)


def neat() -> Liquid:
    return Liquid.spirit(0.060, 0.40)


# Worked apart with vessel 0.10 kJ/K at 20 C, 250 g of ice at 0 C, dry: ABV, stirred curve and balance, shaken curve
# and balance, the same without mixing heat, end in C. The balance's specific heats and volumes were not said; the
# tolerance of 3 % is what that leaves, and the end temperatures agree to 0.1 K.
TABLE = (
    (rich, 35.6, 0.435, 0.440, 0.624, 0.720, 0.638, -8.6),
    (sour, 22.9, 0.367, 0.397, 0.520, 0.546, 0.502, -6.1),
    (mild, 15.0, 0.304, 0.397, 0.429, 0.455, 0.435, -3.6),
    (neat, 40.0, 0.450, 0.512, 0.649, 0.875, 0.772, None),
)


@pytest.mark.parametrize("row", TABLE, ids=lambda r: f"worked apart: {r[0].__name__}")
def test_curve_and_balance_side_by_side(row: tuple[Any, ...]) -> None:
    build, percent, stirred, stir_balance, shaken, shake_balance, no_mixing, end = row
    drink = build()
    assert 100.0 * drink.abv == pytest.approx(percent, abs=0.051)
    assert ice_dilution(drink.abv, "stirred") == pytest.approx(stirred, abs=0.0011)
    assert ice_dilution(drink.abv, "shaken") == pytest.approx(shaken, abs=0.0011)
    shake = ice_heat_balance(drink)
    assert ice_heat_balance(drink, end_t=-2.0).ratio == pytest.approx(stir_balance, rel=0.03)
    assert shake.ratio == pytest.approx(shake_balance, rel=0.02)
    assert ice_heat_balance(drink, mixing=False).ratio == pytest.approx(no_mixing, rel=0.022)
    if end is not None:
        assert shake.end_t == pytest.approx(end, abs=0.1)


@pytest.mark.parametrize("build", [rich, sour])
def test_curve_and_balance_agree_within_a_sixth(build: Any) -> None:
    drink = build()
    assert ice_heat_balance(drink).ratio == pytest.approx(ice_dilution(drink.abv, "shaken"), rel=0.165)
    assert ice_heat_balance(drink, end_t=-2.0).ratio == pytest.approx(ice_dilution(drink.abv, "stirred"), rel=0.165)


@pytest.mark.parametrize(
    ("change", "ratio"),
    [
        ({"vessel_kj_k": 0.0}, 0.473), ({"vessel_kj_k": 0.2}, 0.618), ({"vessel_kj_k": 0.3}, 0.688),
        ({"ice_t": -10.0}, 0.406), ({"ice_t": -18.0}, 0.304), ({"ice_kg": 0.120}, 0.499), ({"ice_kg": 0.400}, 0.597),
    ],
    ids=lambda v: f"worked apart: {v}",
)  # fmt: skip
def test_what_a_shaken_sour_depends_on(change: dict[str, float], ratio: float) -> None:
    # All lie 0.006 to 0.010 above the working, as the plain case does (0.555 against 0.546).
    ours = ice_heat_balance(sour(), **change).ratio  # type: ignore[arg-type]
    assert ours == pytest.approx(ratio + 0.008, abs=0.0035)


def test_surface_water_is_dilution_for_nothing() -> None:
    # 12 g of it: +0.115, worked apart
    more = ice_heat_balance(sour(), surface_kg=0.012).ratio - ice_heat_balance(sour()).ratio
    assert more == pytest.approx(0.115, abs=0.002)


@pytest.mark.parametrize("build", [rich, sour, mild, neat])
def test_balance_by_another_path(build: Any) -> None:
    """Mix all at 20 C, where Larkin's fit nearly holds, then cool the *diluted* drink with CoolProp's specific heat.

    The heat of either path is the same; the fits behind them are not. Solved by scipy; 2 % apart at most.
    """
    props = pytest.importorskip("CoolProp.CoolProp")
    optimize = pytest.importorskip("scipy.optimize")
    drink = build()

    def excess(ethanol: float, water: float) -> float:
        moles = ethanol / 46.06844e-3, water / 18.01528e-3
        return sum(moles) * larkin(moles[0] / sum(moles), 293.15) / 1000.0

    def capacity(ethanol: float, water: float, t: float) -> float:
        w = ethanol / (ethanol + water)
        if w < 0.111:  # the library's fit begins there; water is the next point it knows
            edge = props.PropsSI("C", "T", 273.15 + t, "P", 101325.0, "INCOMP::MEA2-11.1%") / 1000.0
            return float((ethanol + water) * (4.2 + (edge - 4.2) * w / 0.111))
        return float(
            (ethanol + water) * props.PropsSI("C", "T", 273.15 + t, "P", 101325.0, f"INCOMP::MEA2-{100 * w}%") / 1e3
        )

    def gap(melted: float) -> float:
        water = drink.water + melted
        end = liquidus(drink.ethanol / (drink.ethanol + water), drink.solids / 0.3422965 / water)
        middle = 0.5 * (20.0 + end)
        cooled = (capacity(drink.ethanol, water, middle) + 1.7 * drink.solids) * (20.0 - end) + 0.10 * (20.0 - end)
        mixed = excess(drink.ethanol, drink.water) - excess(drink.ethanol, water)
        return float(melted * (333.55 + 4.19 * 20.0) + 2.09 * (0.25 - melted) * end - cooled - mixed)

    melted = optimize.brentq(gap, 0.01, 0.2)
    assert ice_heat_balance(drink).melted == pytest.approx(melted, rel=0.02)


@pytest.mark.parametrize("build", [rich, sour, mild])
def test_strength_after_dilution(build: Any) -> None:
    # ABV / (1 + ratio) holds to 0.3 %: worked apart
    drink = build()
    out = ice_heat_balance(drink)
    assert out.drink.abv * (1.0 + out.ratio) == pytest.approx(drink.abv, rel=3e-3)


@pytest.mark.parametrize("ice", [0.12, 0.25, 0.5])
@pytest.mark.parametrize(("end", "ratio"), [(2.0, 0.280), (4.0, 0.243), (8.0, 0.174)])
def test_water_stirred_over_ice_by_the_method_of_mixtures(end: float, ratio: float, ice: float) -> None:
    """Worked by hand: 90 ml of water at 20 C in 0.1 kJ/K at 20 C; each kg that melts takes 333.55 + 4.19 t kJ, and ice
    that is left stays at 0 C, so that how much of it there is does not matter."""
    out = ice_heat_balance(Liquid.pure_water(0.0898), ice_kg=ice, end_t=end, mixing=False)
    assert out.ratio == pytest.approx(ratio, abs=0.002)
