"""Volumes, strengths and dilution against published tables and an independent property library.

Each id names the source. "from memory" marks a figure that was not read in a document; "published" one that
was. A tolerance is the deviation seen, rounded up, plus half a unit of the printed last digit.
"""

from __future__ import annotations

import pytest

from costing.liquor import (
    Liquid,
    abv_from_abw,
    abw_from_abv,
    brix_from_gravity,
    density,
    proof_down,
    rho_water_wide,
    sucrose_density,
)

WATER_4 = 999.972  # kg/m3, the reference of d 20/4


@pytest.mark.parametrize(
    ("w", "printed", "tolerance"),
    [
        pytest.param(0.0, 998.20123, 1e-8, id="OIML R 22, published: water"),
        pytest.param(1.0, 789.24, 1e-3, id="OIML R 22, published: ethanol"),
        pytest.param(0.10, 981.87, 0.03, id="ICT table in Perry, from memory, old litre: 10 % w/w"),
        pytest.param(0.20, 968.64, 0.04, id="ICT table in Perry, from memory, old litre: 20 % w/w"),
        pytest.param(0.40, 935.18, 0.04, id="ICT table in Perry, from memory, old litre: 40 % w/w"),
        pytest.param(0.60, 891.13, 0.04, id="ICT table in Perry, from memory, old litre: 60 % w/w"),
        pytest.param(0.80, 843.44, 0.06, id="ICT table in Perry, from memory, old litre: 80 % w/w"),
        pytest.param(0.90, 817.97, 0.09, id="ICT table in Perry, from memory, old litre: 90 % w/w"),
        pytest.param(0.025, 0.99363 * WATER_4, 0.01, id="Lange table 5.13, published: 2.5 % w/w"),
        pytest.param(0.113, 0.98006 * WATER_4, 0.02, id="Lange table 5.13, published: 11.3 % w/w"),
        pytest.param(0.203, 0.96823 * WATER_4, 0.01, id="Lange table 5.13, published: 20.3 % w/w"),
    ],
)
def test_density_at_20(w: float, printed: float, tolerance: float) -> None:
    assert density(w) == pytest.approx(printed, abs=tolerance)


def test_density_of_40_vol() -> None:
    # 948.05: alcohol tables, from memory
    assert density(abw_from_abv(0.40)) == pytest.approx(948.05, abs=0.01)


@pytest.mark.parametrize(
    ("abv", "w", "tolerance"),
    [
        pytest.param(0.50, 0.4243, 5e-5, id="alcohol tables, from memory: 50 % vol"),
        pytest.param(0.05, 0.03982, 5e-6, id="OIML R 22, computed apart: 5 % vol"),
        pytest.param(0.10, 0.08015, 5e-6, id="OIML R 22, computed apart: 10 % vol"),
        pytest.param(0.125, 0.10049, 5e-6, id="OIML R 22, computed apart: 12.5 % vol"),
        pytest.param(0.43, 0.35986, 5e-6, id="OIML R 22, computed apart: 43 % vol"),
        pytest.param(0.60, 0.52088, 5e-6, id="OIML R 22, computed apart: 60 % vol"),
        pytest.param(0.96, 0.93838, 5e-6, id="OIML R 22, computed apart: 96 % vol"),
    ],
)
def test_strength_by_mass(abv: float, w: float, tolerance: float) -> None:
    assert abw_from_abv(abv) == pytest.approx(w, abs=tolerance)
    assert abv_from_abw(abw_from_abv(abv)) == pytest.approx(abv, abs=1e-15)


def test_us_proof_at_60_f() -> None:
    # 27 CFR 19.1 (published): ethanol has specific gravity 0.7939 at 60/60 F; the formula gives 0.79382.
    t = (60.0 - 32.0) / 1.8
    assert density(1.0, t) / density(0.0, t) == pytest.approx(0.7939, abs=1e-4)


@pytest.mark.parametrize(
    ("start", "target", "printed", "tolerance"),
    [
        pytest.param(0.95, 0.40, 144.0, 0.5, id="dilution table, published: 95 to 40"),
        pytest.param(0.60, 0.40, 51.4, 0.05, id="dilution table, published: 60 to 40"),
        pytest.param(0.50, 0.40, 25.6, 0.1, id="dilution table, published: 50 to 40"),
        pytest.param(0.40, 0.20, 100.0, 0.5, id="dilution table, published: 40 to 20"),
        pytest.param(0.80, 0.40, 104.0, 0.5, id="dilution table, published: 80 to 40"),
        pytest.param(0.60, 0.50, 20.74, 0.01, id="computed apart (the table's 20.5 looks misprinted): 60 to 50"),
    ],
)
def test_water_to_100_ml_of_spirit(start: float, target: float, printed: float, tolerance: float) -> None:
    _, kg = proof_down(Liquid.spirit(0.1, start), target)
    assert kg / density(0.0) * 1e6 == pytest.approx(printed, abs=tolerance)


def test_contraction_of_the_classroom_mixture() -> None:
    # 53.9 mL of ethanol and 49.8 mL of water make 100 mL: textbooks, from memory
    mixed = Liquid.spirit(0.0539, 1.0) + Liquid.pure_water(0.0498 * density(0.0) / 1000.0)
    assert mixed.volume == pytest.approx(0.100, abs=0.00005)


def test_largest_contraction() -> None:
    # 3.55 % of the summed volumes near 52:48, computed apart from the same formula
    ethanol, water = Liquid.spirit(0.52, 1.0), Liquid.pure_water(0.48 * density(0.0) / 1000.0)
    assert 1.0 - (ethanol + water).volume == pytest.approx(0.0355, abs=5e-5)


@pytest.mark.parametrize(
    ("start", "target", "litres", "percent", "ends"),
    [
        pytest.param(0.60, 0.40, 0.5139, 40.37, 1.486, id="worked apart: 60 to 40"),
        pytest.param(0.95, 0.40, 1.443, 41.2, None, id="worked apart: 95 to 40"),
        pytest.param(0.40, 0.25, 0.602, None, None, id="worked apart: 40 to 25"),
    ],
)
def test_adding_volumes_lands_too_strong(
    start: float, target: float, litres: float, percent: float | None, ends: float | None
) -> None:
    """Water to a litre of spirit, and what the schoolbook's start / target - 1 litres make of it."""
    spirit = Liquid.spirit(1.0, start)
    _, kg = proof_down(spirit, target)
    per_litre = density(0.0) / 1000.0
    assert kg / per_litre == pytest.approx(litres, abs=5.1e-4)
    naive = spirit + Liquid.pure_water((start / target - 1.0) * per_litre)
    assert naive.abv > target
    if percent is not None:
        assert 100.0 * naive.abv == pytest.approx(percent, abs=0.051)
    if ends is not None:
        assert naive.volume == pytest.approx(ends, abs=5.1e-4)


def test_a_stirred_build_shrinks_a_little() -> None:
    # 60 mL of spirit and 30 mL of fortified wine: 89.8 mL, worked apart (45 % vol; 16.5 % vol with 160 g/L)
    both = Liquid.spirit(0.060, 0.45) + Liquid.liqueur(0.030, 0.165, 160.0)
    assert 1000.0 * both.volume == pytest.approx(89.8, abs=0.051)


@pytest.mark.parametrize(
    ("t", "growth"),
    [
        pytest.param(5.0, 0.010, id="computed apart: 5 to 20 C"),
        pytest.param(0.0, 0.013, id="computed apart: 0 to 20 C"),
    ],
)
def test_growth_of_40_vol_on_warming(t: float, growth: float) -> None:
    w = abw_from_abv(0.40)
    assert density(w, t) / density(w) - 1.0 == pytest.approx(growth, abs=5e-4)


@pytest.mark.parametrize(
    ("w", "t", "seen"),
    [(0.20, 0.0, 0.342), (0.20, 10.0, 0.391), (0.20, 20.0, 0.083), (0.3333, 0.0, 0.039), (0.3333, 10.0, 0.153),
     (0.3333, 20.0, -0.047), (0.40, 0.0, -0.113), (0.40, 10.0, -0.131), (0.40, 20.0, -0.164)],
)  # fmt: skip
def test_density_against_coolprop_brine(w: float, t: float, seen: float) -> None:
    """CoolProp's INCOMP::MEA2 is a fit of its own to other data; `seen` is how far it stands off, kg/m3."""
    props = pytest.importorskip("CoolProp.CoolProp")
    other = props.PropsSI("D", "T", 273.15 + t, "P", 101325.0, f"INCOMP::MEA2-{100.0 * w}%")
    assert other - density(w, t) == pytest.approx(seen, abs=0.002)


@pytest.mark.parametrize("t", [-20.0, -10.0, 0.0, 10.0, 20.0, 30.0, 40.0])
def test_pure_ethanol_against_its_equation_of_state(t: float) -> None:
    """CoolProp's equation of Schroeder et al. 2014 stands 0.16 to 0.23 kg/m3 above the alcohol tables."""
    props = pytest.importorskip("CoolProp.CoolProp")
    other = props.PropsSI("D", "T", 273.15 + t, "P", 101325.0, "Ethanol")
    assert 0.15 < other - density(1.0, t) < 0.24


@pytest.mark.parametrize("t", [1.0, 5.0, 10.0, 20.0, 30.0, 40.0])
def test_water_against_iapws_95(t: float) -> None:
    props = pytest.importorskip("CoolProp.CoolProp")
    other = props.PropsSI("D", "T", 273.15 + t, "P", 101325.0, "Water")
    assert 0.002 < other - density(0.0, t) < 0.008


@pytest.mark.parametrize("t", [1.0, 10.0, 20.0, 30.0, 50.0, 70.0, 90.0])
def test_wide_range_water_against_iapws_95(t: float) -> None:
    props = pytest.importorskip("CoolProp.CoolProp")
    other = props.PropsSI("D", "T", 273.15 + t, "P", 101325.0, "Water")
    assert other - rho_water_wide(t) == pytest.approx(0.0044, abs=0.0015)


@pytest.mark.parametrize(
    ("s", "printed", "tolerance"),
    [
        pytest.param(0.50, 1229.57, 0.09, id="NBS Circular C440, from memory: 50 Bx"),
        pytest.param(0.65, 1316.3, 0.3, id="NBS Circular C440, from memory: 65 Bx"),
        pytest.param(0.50, 1229.65, 0.005, id="ICUMSA SPS-4 formula, computed apart: 50 Bx"),
        pytest.param(0.65, 1316.55, 0.006, id="ICUMSA SPS-4 formula, computed apart: 65 Bx"),
        pytest.param(0.60, 1286.6, 0.06, id="ICUMSA SPS-4 formula, computed apart: 1.5 to 1 syrup"),
        pytest.param(2.0 / 3.0, 1326.8, 0.06, id="ICUMSA SPS-4 formula, computed apart: 2 to 1 syrup"),
    ],
)
def test_sucrose_solution(s: float, printed: float, tolerance: float) -> None:
    assert sucrose_density(s) == pytest.approx(printed, abs=tolerance)
    # The liquid stands on the alcohol tables' water, 0.0019 kg/m3 lower.
    assert Liquid.syrup(1.0, 100.0 * s).density == pytest.approx(sucrose_density(s), abs=0.002)


@pytest.mark.parametrize(
    ("brix", "litres_per_kg", "grams_per_litre"),
    [
        pytest.param(50.0, 0.8132, 614.8, id="ICUMSA SPS-4, computed apart: 1 to 1"),
        pytest.param(60.0, None, 772.0, id="ICUMSA SPS-4, computed apart: 1.5 to 1"),
        pytest.param(200.0 / 3.0, 0.7537, 884.5, id="ICUMSA SPS-4, computed apart: 2 to 1"),
    ],
)
def test_syrup_by_volume(brix: float, litres_per_kg: float | None, grams_per_litre: float) -> None:
    syrup = Liquid.syrup(1.0, brix)
    assert 1000.0 * syrup.solids / syrup.volume == pytest.approx(grams_per_litre, abs=0.051)
    if litres_per_kg is not None:
        assert syrup.volume == pytest.approx(litres_per_kg, abs=5e-5)


@pytest.mark.parametrize(("brix", "seen"), [(5.0, 4.9966), (10.0, 10.0011), (20.0, 20.0120), (30.0, 30.0176)])
def test_gravity_cubic_reads_the_sucrose_formula_back(brix: float, seen: float) -> None:
    """NBS cubic (published) on gravities in air (1.2 kg/m3) of the SPS-4 densities."""
    air = 1.2
    gravity = (sucrose_density(brix / 100.0) - air) / (rho_water_wide(20.0) - air)
    assert brix_from_gravity(gravity) == pytest.approx(seen, abs=2e-4)


@pytest.mark.parametrize(
    ("abv", "sugar", "percent"),
    [
        (0.25, 200.0, 0.00),
        (0.20, 300.0, -0.02),
        (0.16, 150.0, -0.02),
        (0.30, 100.0, 0.02),
        (0.40, 250.0, 0.35),
    ],
)
def test_sweet_spirit_against_tabarie(abv: float, sugar: float, percent: float) -> None:
    """Tabarie's rule adds each solute's excess gravity at its own concentration in the mixture.

    Hackbarth (J. ASBC 67:146, 2009; abstract, published): inside the scatter of data for weak mixtures, too dense
    for strong ones. `percent` is how far Tabarie lies above the liquid.
    """
    optimize = pytest.importorskip("scipy.optimize")
    s = optimize.brentq(lambda v: v * sucrose_density(v) - sugar, 0.0, 0.8)
    spirit = density(abw_from_abv(abv)) - density(0.0)
    tabarie = density(0.0) + spirit + sucrose_density(s) - rho_water_wide(20.0)
    liquid = Liquid.liqueur(1.0, abv, sugar)
    assert 100.0 * (tabarie / liquid.density - 1.0) == pytest.approx(percent, abs=0.006)
