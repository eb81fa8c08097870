"""Infusions worked by hand on an earlier page, and the house's acceptance chain up to the strained liquid."""

from __future__ import annotations

import pytest

from costing.liquor import Infusion, Liquid, Solid, infuse

# USDA SR28 (published), per 100 g edible: pineapple 86.00 g water, 9.85 g sugar, refuse 49 %.
PINEAPPLE = Solid(0.86, 0.0985, 0.0415)
# USDA SR28 (published): strawberry 90.95 g water, 4.89 g sugar.
STRAWBERRY = Solid(0.9095, 0.0489, 0.0416)


def portion(solid: Solid, kg: float) -> Solid:
    return Solid(solid.water * kg, solid.solubles * kg, solid.insolubles * kg)


def roasted_two_kilos() -> Solid:
    return portion(PINEAPPLE, 2.0 * 0.51).dried_to(0.650)


def full() -> Infusion:
    return infuse(Liquid.spirit(1.0, 0.40), roasted_two_kilos(), spent=0.450)


def half() -> Infusion:
    return infuse(Liquid.spirit(1.0, 0.40), roasted_two_kilos(), retention=0.39 / 0.650, exchange=0.5)


def berries() -> Infusion:
    # Half a kilo as bought, 6 % refuse; the figures below are those of 0.75 kg of liquid kept per kg charged.
    return infuse(Liquid.spirit(1.0, 0.40), portion(STRAWBERRY, 0.5 * 0.94), retention=0.75)


def test_roasted_pineapple_is_still_mostly_water() -> None:
    roasted = roasted_two_kilos()
    assert roasted.water / roasted.mass == pytest.approx(0.78, abs=0.005)
    assert portion(PINEAPPLE, 1.02).mass - roasted.mass == pytest.approx(0.370, abs=1e-9)


# Computed apart from the mass balance and OIML volumes; the retention itself is assumed (no source).
@pytest.mark.parametrize(
    ("case", "litres", "percent_vol", "percent_lost"),
    [
        pytest.param(full, 1.157, 25.5, 26.0, id="pineapple, full exchange: mass balance"),
        pytest.param(half, 1.195, 31.2, 7.0, id="pineapple, half exchanged: mass balance"),
        pytest.param(berries, 1.077, 27.8, 25.0, id="raw strawberries: mass balance"),
    ],
)
def test_worked_infusion(case: object, litres: float, percent_vol: float, percent_lost: float) -> None:
    assert callable(case)
    out = case()
    assert out.strained.volume == pytest.approx(litres, abs=5.5e-4)
    assert 100.0 * out.strained.abv == pytest.approx(percent_vol, abs=0.051)
    assert 100.0 * out.ethanol_lost == pytest.approx(percent_lost, abs=0.51)


def test_brix_of_the_worked_infusion() -> None:
    assert full().strained.brix == pytest.approx(6.5, abs=0.05)


def test_retention_is_liquid_held_per_solid_charged() -> None:
    # Worked apart: 0.9 kg of liquid held per kg charged takes 37.6 % of the alcohol along.
    out = infuse(Liquid.spirit(1.0, 0.40), roasted_two_kilos(), retention=0.9)
    assert 100.0 * out.ethanol_lost == pytest.approx(37.6, abs=0.05)
    assert out.held.mass == pytest.approx(0.9 * 0.650, rel=1e-12)
    again = infuse(Liquid.spirit(1.0, 0.40), roasted_two_kilos(), spent=out.spent)
    assert again.ethanol_lost == pytest.approx(out.ethanol_lost, rel=1e-12)


@pytest.mark.parametrize(
    ("figure", "printed", "tolerance"),
    [
        pytest.param("litres", 3.4711, 5e-5, id="acceptance chain: litres"),
        pytest.param("percent_vol", 25.51, 5e-3, id="acceptance chain: strength"),
        pytest.param("brix", 6.46, 5e-3, id="acceptance chain: Brix"),
        pytest.param("mass", 3.4441, 5e-5, id="acceptance chain: mass"),
        pytest.param("lpa", 0.8855, 5e-5, id="acceptance chain: pure alcohol out"),
        pytest.param("lost", 26.2, 5e-2, id="acceptance chain: alcohol left in the fruit"),
    ],
)
def test_acceptance_chain(figure: str, printed: float, tolerance: float) -> None:
    roasted = portion(PINEAPPLE, 6.0 * 0.51).dried_to(1.950)
    assert roasted.water == pytest.approx(1.5216, abs=5e-5)
    assert roasted.solubles == pytest.approx(0.30141, abs=5e-6)
    assert roasted.insolubles == pytest.approx(0.12699, abs=5e-6)
    out = infuse(Liquid.spirit(3.0, 0.40), roasted, spent=1.350)
    got = {
        "litres": out.strained.volume,
        "percent_vol": 100.0 * out.strained.abv,
        "brix": out.strained.brix,
        "mass": out.strained.mass,
        "lpa": out.strained.volume * out.strained.abv,
        "lost": 100.0 * out.ethanol_lost,
    }
    assert got[figure] == pytest.approx(printed, abs=tolerance)
