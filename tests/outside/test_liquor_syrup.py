"""Syrups, acids and juices against printed tables and hand-written sums.

"published" was read in the document named, "from memory" was not; "worked apart" was computed from the same formulas
by somebody else. A tolerance is the deviation seen, rounded up, plus half a unit of the printed last digit.
"""

from __future__ import annotations

import pytest

from costing.liquor import (
    EQUIVALENTS,
    JUICE_DENSITY,
    Solid,
    acid_to_add,
    as_citric,
    brix_of_ratio,
    from_citric,
    juice_bound,
    litres_per_kg_sugar,
    rcf,
    saturated,
    sucrose_density,
    sucrose_solubility,
    sugar_g_per_l,
    sugar_to_add,
    water_to_add,
    weight_ratio,
)


@pytest.mark.parametrize(
    ("ratio", "brix", "grams", "litres"),
    [
        pytest.param(1.0, 50.0, 614.8, 1.6265, id="ICUMSA SPS-4, worked apart: 1 to 1"),
        pytest.param(1.5, 60.0, 772.0, None, id="ICUMSA SPS-4, worked apart: 1.5 to 1"),
        pytest.param(2.0, 66.67, 884.5, 1.1306, id="ICUMSA SPS-4, worked apart: 2 to 1"),
    ],
)
def test_syrups_by_weight(ratio: float, brix: float, grams: float, litres: float | None) -> None:
    assert brix_of_ratio(ratio) == pytest.approx(brix, abs=0.0051)
    assert sugar_g_per_l(brix_of_ratio(ratio)) == pytest.approx(grams, abs=0.051)
    if litres is not None:
        assert litres_per_kg_sugar(brix_of_ratio(ratio)) == pytest.approx(litres, abs=6e-5)


@pytest.mark.parametrize(("cups", "brix"), [(1.0, 46.0), (2.0, 63.0)])
def test_syrups_by_the_cup(cups: float, brix: float) -> None:
    # A litre of sugar taken as 0.85 kg: common practice, no source; Brix worked apart
    assert brix_of_ratio(weight_ratio(cups, 0.85)) == pytest.approx(brix, abs=0.051)


@pytest.mark.parametrize(("t", "brix"), [(20.0, 66.72), (4.0, 64.80)])
def test_solubility_worked_apart(t: float, brix: float) -> None:
    assert sucrose_solubility(t) == pytest.approx(brix, abs=0.0051)


@pytest.mark.parametrize(("t", "brix"), [(50.0, 72.1161), (80.0, 78.6786)])
def test_solubility_by_hand(t: float, brix: float) -> None:
    """The five terms of the formula (from memory) by hand; 80 C: 64.447 + 6.5776 + 10.34816 - 0.7977 - 1.8964."""
    assert sucrose_solubility(t) == pytest.approx(brix, abs=6e-5)


# Antokolskaya et al. 1964 in Mohos, "Confectionery and Chocolate Engineering" (2010), table A2.2 (published): g of
# sugar to 100 g of water. The house's formula (Vavrinecz) dissolves up to 0.4 points less cold, more hot.
ANTOKOLSKAYA = (
    (0, 179.2), (5, 184.7), (10, 190.5), (15, 197.0), (20, 203.9), (25, 211.4), (30, 219.9), (35, 228.4),
    (40, 238.1), (45, 248.7), (50, 260.4), (55, 273.1), (60, 287.3), (65, 302.9), (70, 320.5), (75, 339.9),
    (80, 362.1), (85, 386.8), (90, 415.7),
)  # fmt: skip


@pytest.mark.parametrize(("t", "grams"), ANTOKOLSKAYA, ids=lambda v: f"Antokolskaya 1964, published: {v}")
def test_solubility_against_a_table(t: float, grams: float) -> None:
    printed = 100.0 * grams / (100.0 + grams)
    assert sucrose_solubility(t) == pytest.approx(printed, abs=0.75)


def test_rich_syrup_crystallises_in_a_fridge() -> None:
    rich = brix_of_ratio(2.0)
    assert saturated(rich, 4.0)
    assert not saturated(rich, 20.0)  # by 0.05 points
    assert not saturated(brix_of_ratio(1.5), 4.0)


def test_to_another_brix_by_hand() -> None:
    # 1 kg at 50: to 60 it takes (60 - 50) / (100 - 60) = 0.25 kg of sugar, to 40 it takes 50 / 40 - 1 = 0.25 of water
    assert sugar_to_add(1.0, 50.0, 60.0) == pytest.approx(0.25, rel=1e-14)
    assert water_to_add(1.0, 50.0, 40.0) == pytest.approx(0.25, rel=1e-14)


# --- acids --------------------------------------------------------------------------------------------------

CARBON, HYDROGEN, OXYGEN, PHOSPHORUS = 12.011, 1.008, 15.999, 30.974


@pytest.mark.parametrize(
    ("acid", "atoms", "protons", "printed"),
    [
        pytest.param("citric", (6, 8, 7), 3, 64.04, id="citric"),
        pytest.param("citric-monohydrate", (6, 10, 8), 3, 70.05, id="citric monohydrate, from memory"),
        pytest.param("malic", (4, 6, 5), 2, 67.04, id="malic"),
        pytest.param("tartaric", (4, 6, 6), 2, 75.04, id="tartaric"),
        pytest.param("lactic", (3, 6, 3), 1, 90.08, id="lactic"),
        pytest.param("acetic", (2, 4, 2), 1, 60.05, id="acetic"),
    ],
)
def test_equivalents_from_atomic_weights(acid: str, atoms: tuple[int, int, int], protons: int, printed: float) -> None:
    """IUPAC atomic weights (from memory); `printed` are the figures of handbooks, from memory."""
    carbon, hydrogen, oxygen = atoms
    mass = carbon * CARBON + hydrogen * HYDROGEN + oxygen * OXYGEN
    assert EQUIVALENTS[acid] == pytest.approx(mass / protons, abs=0.008)
    assert EQUIVALENTS[acid] == pytest.approx(printed, abs=0.011)


def test_phosphoric_counts_two_of_three() -> None:
    mass = 3 * HYDROGEN + PHOSPHORUS + 4 * OXYGEN
    assert EQUIVALENTS["phosphoric"] == pytest.approx(mass / 2.0, abs=0.01)


def test_malic_as_citric() -> None:
    # 10 g/L of malic titrate like 9.55 (9.552) of citric: worked apart
    assert as_citric(10.0, "malic") == pytest.approx(9.552, abs=5e-4)


def test_the_powder_with_its_water() -> None:
    # 192.12 / 210.14 (published on labels, from memory): the two powders differ by 9.4 %
    assert from_citric(100.0, "citric-monohydrate") == pytest.approx(109.4, abs=0.05)


def test_orange_to_lime() -> None:
    # 8 g/L of citric to 40 + 20 takes 32 + 20 g to the litre (recipe of the bars: common practice, no source)
    added = acid_to_add(1.0, {"citric": 8.0}, {"citric": 40.0, "malic": 20.0})
    assert added == {"citric": 32.0, "malic": 20.0}


# --- juices -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("fruit", "printed"), [("lemon", 1.031), ("orange", 1.048), ("pineapple", 1.058)])
def test_juice_densities(fruit: str, printed: float) -> None:
    # USDA SR28 (published): 30.5, 31.0 and 31.3 g to the US fluid ounce of 29.57 mL
    assert JUICE_DENSITY[fruit] == pytest.approx(printed, abs=6e-4)


@pytest.mark.parametrize(
    ("water", "solubles", "refuse", "printed"),
    [
        # USDA SR28 (published): water and sugar of the edible part, refuse of the whole fruit.
        pytest.param(0.8898, 0.0250, 0.47, 48.0 / 109.0, id="lemon: 48 g of juice a fruit (FDC portion, published)"),
        pytest.param(0.8675, 0.0935, 0.27, 0.55 * 0.95, id="orange: best of an extractor's sheet (published)"),
        pytest.param(0.8556, 0.1039, 0.10, 0.85, id="apple: industrial press (Minnesota factors, published)"),
        pytest.param(0.8600, 0.0985, 0.49, 0.60 * 0.51, id="pineapple: 0.60 of the edible part, from memory"),
        pytest.param(0.7793, 0.1367, 0.44, 0.45, id="pomegranate: 0.45 of the fruit, from memory"),
    ],
)
def test_printed_yields_keep_the_bound(water: float, solubles: float, refuse: float, printed: float) -> None:
    fruit = Solid(water, solubles, 1.0 - water - solubles)
    most = juice_bound(fruit, 1.0 - refuse)
    assert printed <= most
    assert most == pytest.approx((1.0 - refuse) * (water + solubles), rel=1e-14)


def test_pull_of_a_centrifuge() -> None:
    # 3500 turns a minute at 100 mm: 1370 g, worked apart; 1.118e-6 r rpm^2 (laboratory manuals, from memory)
    assert rcf(100.0, 3500.0) == pytest.approx(1370.0, abs=0.5)
    assert rcf(85.0, 12000.0) == pytest.approx(1.118e-6 * 85.0 * 12000.0**2, rel=3e-4)


@pytest.mark.parametrize(
    ("fahrenheit", "brix"),
    [(50, 67.4), (60, 66.9), (80, 65.9), (100, 64.8), (120, 63.8), (140, 62.8), (149, 62.3), (167, 61.4), (185, 60.4)],
)
def test_a_syrup_hydrometer_reads_less_in_hot_syrup(fahrenheit: float, brix: float) -> None:
    """A published chart for syrup hydrometers right at 60 F: what one shows in syrup of 66.9 Bx that is warmer.

    It is printed in steps of 0.25 Baume, 0.45 Bx, so 0.4 Bx is allowed. The hydrometer floats where the syrup is as
    dense as one of that Brix at 60 F; glass grows by 25e-6 a kelvin (from memory). So the sucrose formula is held away
    from 20 C by what was read.
    """
    t, right = (fahrenheit - 32.0) / 1.8, 280.0 / 18.0
    seen = sucrose_density(0.669, t) * (1.0 + 25e-6 * (t - right))
    low, high = 0.4, 0.8
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if sucrose_density(middle, right) < seen else (low, middle)
    assert 100.0 * low == pytest.approx(brix, abs=0.4)
