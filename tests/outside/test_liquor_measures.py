"""Standard drinks, proof, warm litres, meters and vapours against definitions, tables and independent libraries.

"published" was read in the document named, "from memory" was not; "worked apart" was computed from the same formulas
by somebody else. A tolerance is the deviation seen, rounded up, plus half a unit of the printed last digit.
"""

from __future__ import annotations

import pytest

from costing.liquor import (
    Liquid,
    abv_from_abw,
    abv_from_old_uk_proof,
    abv_from_us_proof,
    abw_from_abv,
    apparent_abv,
    density,
    ethanol_grams,
    flash_point,
    lean_limit_ratio,
    litres_at_20,
    lpa,
    old_uk_proof,
    proof_gallons,
    rho_water_wide,
    standard_drinks,
    sucrose_density,
    us_proof,
)
from costing.liquor.vle import ETHANOL_MOLAR, WATER_MOLAR

OUNCE = 0.0295735295625


@pytest.mark.parametrize(
    ("grams", "drinks"),
    [
        # Grams of a standard drink: Kalinowski and Humphreys, Addiction 111 (2016) 1293, and national pages (published)
        pytest.param(14.0, 1.353, id="United States, 14 g: worked apart"),
        pytest.param(7.89, 2.40, id="United Kingdom, 10 mL: worked apart"),
        pytest.param(10.0, 1.894, id="Australia, 10 g: worked apart"),
        pytest.param(20.0, 0.947, id="Japan, 20 g: worked apart"),
    ],
)
def test_sixty_ml_at_40(grams: float, drinks: float) -> None:
    assert ethanol_grams(0.060, 0.40) == pytest.approx(18.94, abs=0.0051)
    assert standard_drinks(0.060, 0.40, grams) == pytest.approx(drinks, abs=0.0008)


def test_one_and_a_half_ounces_are_one_drink() -> None:
    # US definition (published): 14 g, "1.5 fl oz of 80 proof"
    assert standard_drinks(1.5 * OUNCE, 0.40, 14.0) == pytest.approx(1.0, abs=5e-4)


def test_us_proof_is_at_60_f() -> None:
    # 100 proof is 50.061 % vol at 20 C: worked apart
    assert abv_from_us_proof(100.0) == pytest.approx(0.50061, abs=5e-6)
    assert us_proof(0.40) == pytest.approx(80.0, abs=0.3)


def test_us_proof_by_its_definition() -> None:
    """A mass balance written out: twice the litres of ethanol, at 60 F, in 100 L of spirit at 60 F."""
    t = (60.0 - 32.0) / 1.8
    w = abw_from_abv(0.45)
    ethanol = 100.0 * density(w, t) * w / density(1.0, t)
    assert us_proof(0.45) == pytest.approx(2.0 * ethanol, rel=1e-12)


def test_proof_gallons() -> None:
    """27 CFR 19.1 (published): a US gallon of 3.785411784 L at 60 F with half its volume ethanol.

    Without the step from 20 C to 60 F a litre of pure alcohol would be 0.52834 (worked apart); with it 0.4783 % less,
    by which ethanol shrinks. CoolProp's equation of state for ethanol says the same.
    """
    props = pytest.importorskip("CoolProp.CoolProp")
    plain = 2.0 / 3.785411784
    assert plain == pytest.approx(0.52834, abs=5e-6)
    cold, warm = (props.PropsSI("D", "T", 273.15 + t, "P", 101325.0, "Ethanol") for t in ((60 - 32) / 1.8, 20.0))
    assert proof_gallons(1.0, 1.0) == pytest.approx(plain * warm / cold, rel=1e-6)
    assert proof_gallons(10.0, 0.43) == pytest.approx(lpa(10.0, 0.43) * proof_gallons(1.0, 1.0), rel=1e-12)


def test_wine_gallon_at_100_proof() -> None:
    # One gallon at 60 F of 100 proof is one proof gallon; at 20 C it fills a little more.
    abv = abv_from_us_proof(100.0)
    w = abw_from_abv(abv)
    litres = 3.785411784 * density(w, (60.0 - 32.0) / 1.8) / density(w)
    assert proof_gallons(litres, abv) == pytest.approx(1.0, rel=1e-10)


def test_old_british_proof() -> None:
    """12/13 of the weight of as much water at 51 F, by scipy: 57.145 % vol (57.15 from memory)."""
    optimize = pytest.importorskip("scipy.optimize")
    t = (51.0 - 32.0) / 1.8
    w = optimize.brentq(lambda v: density(v, t) - 12.0 / 13.0 * density(0.0, t), 0.0, 1.0)
    assert 100.0 * abv_from_abw(w) == pytest.approx(57.145, abs=5e-4)
    assert old_uk_proof(abv_from_abw(w)) == pytest.approx(100.0, abs=0.006)
    assert abv_from_old_uk_proof(100.0) == pytest.approx(4.0 / 7.0, rel=1e-14)
    assert old_uk_proof(0.40) == pytest.approx(70.0, abs=1e-9)  # "70 proof" on old bottles: common practice


# --- volumes at a temperature -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("start", "end", "percent", "tolerance"),
    [(5.0, 20.0, 1.0, 0.05), (0.0, 20.0, 1.3, 0.05), (20.0, 30.0, 0.7, 0.05)],
    ids=lambda v: f"worked apart {v}",
)
def test_growth_of_40_vol(start: float, end: float, percent: float, tolerance: float) -> None:
    spirit = Liquid.spirit(1.0, 0.40)
    grown = litres_at_20(1.0, start, spirit) / litres_at_20(1.0, end, spirit) - 1.0
    assert 100.0 * grown == pytest.approx(percent, abs=tolerance)


@pytest.mark.parametrize("t", [-20.0, -5.0, 5.0, 30.0, 40.0])
def test_pure_ethanol_against_its_equation_of_state(t: float) -> None:
    props = pytest.importorskip("CoolProp.CoolProp")
    then, now = (props.PropsSI("D", "T", 273.15 + v, "P", 101325.0, "Ethanol") for v in (t, 20.0))
    assert litres_at_20(1.0, t, Liquid.spirit(1.0, 1.0)) == pytest.approx(then / now, rel=6e-5)


@pytest.mark.parametrize("t", [1.0, 10.0, 40.0, 60.0, 90.0])
def test_water_against_iapws_95(t: float) -> None:
    props = pytest.importorskip("CoolProp.CoolProp")
    then, now = (props.PropsSI("D", "T", 273.15 + v, "P", 101325.0, "Water") for v in (t, 20.0))
    assert litres_at_20(1.0, t, Liquid.pure_water(1.0)) == pytest.approx(then / now, rel=3e-6)


@pytest.mark.parametrize("t", [-5.0, 0.0, 10.0])
def test_20_percent_by_mass_against_coolprop_brine(t: float) -> None:
    props = pytest.importorskip("CoolProp.CoolProp")
    then, now = (props.PropsSI("D", "T", 273.15 + v, "P", 101325.0, "INCOMP::MEA2-20%") for v in (t, 20.0))
    assert litres_at_20(1.0, t, Liquid(0.2, 0.8, 0.0)) == pytest.approx(then / now, rel=5e-4)


@pytest.mark.parametrize("t", [0.0, 5.0, 15.0, 30.0, 40.0])
@pytest.mark.parametrize(("abv", "sugar"), [(0.16, 150.0), (0.25, 200.0), (0.40, 100.0)])
def test_sweet_spirit_by_the_rule_written_out(abv: float, sugar: float, t: float) -> None:
    """V = V(ethanol, water) + V(sugar, water) - V(water), from the two published density formulas at t."""
    liquid = Liquid.liqueur(1.0, abv, sugar)
    spirit, sweet = liquid.ethanol + liquid.water, liquid.water + liquid.solids

    def litres(v: float) -> float:
        return 1000.0 * (
            spirit / density(liquid.ethanol / spirit, v)
            + sweet / sucrose_density(liquid.solids / sweet, v)
            - liquid.water / rho_water_wide(v)
        )

    assert litres_at_20(1.0, t, liquid) == pytest.approx(litres(20.0) / litres(t), rel=2e-6)


# --- meters -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("abv", "sugar", "shown"),
    [(0.40, 6.0, 0.3857), (0.40, 60.0, 0.228), (0.20, 30.0, 0.096), (0.30, 10.0, 0.2679)],
)
def test_what_a_meter_shows_in_a_sweet_spirit(abv: float, sugar: float, shown: float) -> None:
    """Solved by scipy on the alcohol table; `shown` is its answer. 6 g/L is the most US gauging rules correct for."""
    optimize = pytest.importorskip("scipy.optimize")
    liquid = Liquid.liqueur(1.0, abv, sugar)
    w = optimize.brentq(lambda v: density(v) - liquid.density, 0.0, 1.0, xtol=1e-14)
    assert apparent_abv(liquid) == pytest.approx(abv_from_abw(w), rel=1e-10)
    assert apparent_abv(liquid) == pytest.approx(shown, abs=6e-4)


def test_obscuration() -> None:
    # 100 mg of solids in 100 mL hide about 0.4 of a degree of proof (gauging practice, from memory)
    hidden = 200.0 * (0.40 - apparent_abv(Liquid.liqueur(1.0, 0.40, 1.0)))
    assert hidden == pytest.approx(0.4, abs=0.1)


# --- vapours ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("percent", "t"),
    [(5, 62), (10, 49), (20, 36), (30, 29), (40, 26), (50, 24), (60, 22), (70, 21), (80, 20), (90, 17), (96, 17)],
    ids=lambda v: f"list of a chemical safety board, published: {v}",
)
def test_flash_points_against_a_list(percent: float, t: float) -> None:
    """By volume, as that list says; it is ours within 3 K. An engineering page prints the same figures by weight."""
    assert flash_point(percent / 100.0) == pytest.approx(t, abs=3.0)


@pytest.mark.parametrize(
    ("percent", "t"), [(5, 61.5), (10, 48.4), (20, 37.3), (40, 28.2), (50, 25.7), (60, 23.7), (96, 15.2)]
)
def test_flash_points_worked_apart(percent: float, t: float) -> None:
    assert flash_point(percent / 100.0) == pytest.approx(t, abs=0.055)


def vapour_over(abv: float, t: float) -> float:
    """Ethanol's partial pressure in bar by thermo's NRTL (DECHEMA constants) and CoolProp's vapour pressure."""
    props = pytest.importorskip("CoolProp.CoolProp")
    module = pytest.importorskip("thermo.nrtl")
    w = abw_from_abv(abv)
    x = w / ETHANOL_MOLAR / (w / ETHANOL_MOLAR + (1.0 - w) / WATER_MOLAR)
    gamma = module.NRTL(
        T=t + 273.15, xs=[x, 1.0 - x], tau_as=[[0.0, -0.8009], [3.4578, 0.0]],
        tau_bs=[[0.0, 246.18], [-586.0809, 0.0]], alpha_cs=[[0.0, 0.30], [0.30, 0.0]],
    ).gammas()[0]  # fmt: skip
    return float(x * gamma * props.PropsSI("P", "T", 273.15 + t, "Q", 0.0, "Ethanol") / 1e5)


@pytest.mark.parametrize("abv", [0.05, 0.1, 0.2, 0.4, 0.6, 0.96])
def test_flash_points_against_thermo_and_coolprop(abv: float) -> None:
    optimize = pytest.importorskip("scipy.optimize")
    props = pytest.importorskip("CoolProp.CoolProp")
    flash = props.PropsSI("P", "T", 286.15, "Q", 0.0, "Ethanol") / 1e5
    t = optimize.brentq(lambda v: vapour_over(abv, v) - flash, 5.0, 95.0)
    # 0.3 K at 60 C, where Antoine lies 0.4 % above the equation of state at 60 C and 1 % below it at 13 C
    assert flash_point(abv) == pytest.approx(t, abs=0.3)


@pytest.mark.parametrize(
    ("abv", "t", "times", "tolerance"),
    [(0.40, 55.0, 4.6, 0.05), (0.20, 55.0, 2.8, 0.05), (0.05, 30.0, 0.2, 0.02), (0.08, 30.0, 0.33, 0.006)],
    ids=lambda v: f"worked apart {v}",
)
def test_vapour_against_the_lean_limit(abv: float, t: float, times: float, tolerance: float) -> None:
    """Lean limit 3.3 % (safety sheets, from memory)."""
    assert lean_limit_ratio(abv, t) == pytest.approx(times, abs=tolerance)
    assert lean_limit_ratio(abv, t) == pytest.approx(vapour_over(abv, t) / (0.033 * 1.01325), rel=0.005)
