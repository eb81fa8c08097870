"""Liquids, strengths and proofing: laws they must keep for any composition."""

from __future__ import annotations

from math import inf, nan, pow
from re import escape

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.liquor import (
    Liquid,
    abv_from_abw,
    abw_from_abv,
    blend_to_abv,
    brix_from_gravity,
    density,
    dilute_to_brix,
    proof_down,
    rho_water_wide,
    sucrose_density,
)
from costing.liquor.roots import root

share = st.floats(0.0, 1.0)
kilos = st.floats(0.0, 50.0)
some = st.floats(1e-3, 50.0)
# Enough water beside the solids for the volume to be known.
liquids = st.builds(lambda e, w, f: Liquid(e, w, w * f), kilos, some, st.floats(0.0, 4.0))
spirits = st.builds(lambda e, w, f: Liquid(e, w, w * f), some, some, st.floats(0.0, 1.0))


@given(share)
def test_strengths_are_inverse(abv: float) -> None:
    assert abv_from_abw(abw_from_abv(abv)) == pytest.approx(abv, abs=1e-15, rel=1e-14)
    assert abw_from_abv(abv_from_abw(abv)) == pytest.approx(abv, abs=1e-15, rel=1e-14)


@given(share, share)
def test_strengths_rise_together(a: float, b: float) -> None:
    low, high = sorted((a, b))
    if high - low > 1e-12:
        assert abw_from_abv(low) < abw_from_abv(high)
    assert abw_from_abv(low) <= low + 1e-15  # ethanol is the lighter part


@given(share, st.floats(-20.0, 40.0))
def test_density_is_smooth_at_20(w: float, t: float) -> None:
    assert 750.0 < density(w, t) < 1010.0
    assert density(w, 20.0 + 1e-9) == pytest.approx(density(w), abs=1e-7)


@given(liquids)
def test_derived_figures_agree(liquid: Liquid) -> None:
    assert 0.0 <= liquid.abv <= 1.0 + 1e-15
    assert 0.0 <= liquid.brix <= 85.0
    assert liquid.density * liquid.volume == pytest.approx(1000.0 * liquid.mass, rel=1e-14)


@given(kilos, some)
def test_without_solids_volume_is_the_alcohol_tables(ethanol: float, water: float) -> None:
    mass = ethanol + water
    assert Liquid(ethanol, water, 0.0).volume == 1000.0 * mass / density(ethanol / mass)


@given(some, st.floats(0.0, 85.0))
def test_without_ethanol_volume_is_the_sugar_tables(kg: float, brix: float) -> None:
    syrup = Liquid.syrup(kg, brix)
    # 2e-6 is the difference of the two tables' waters.
    assert 1000.0 * syrup.mass / syrup.volume == pytest.approx(sucrose_density(brix / 100.0), rel=2e-6)


@given(st.floats(0.01, 100.0), share)
def test_spirit_says_what_was_asked(litres: float, abv: float) -> None:
    spirit = Liquid.spirit(litres, abv)
    assert spirit.volume == pytest.approx(litres, rel=1e-13)
    assert spirit.abv == pytest.approx(abv, abs=1e-13)


@given(st.floats(0.01, 100.0), st.floats(0.0, 0.5), st.floats(0.0, 500.0))
def test_liqueur_says_what_was_asked(litres: float, abv: float, sugar: float) -> None:
    liqueur = Liquid.liqueur(litres, abv, sugar)
    assert liqueur.volume == pytest.approx(litres, rel=1e-12)
    assert liqueur.abv == pytest.approx(abv, abs=1e-12)
    assert 1000.0 * liqueur.solids / litres == pytest.approx(sugar, rel=1e-12, abs=1e-12)


@given(liquids, liquids, st.just(0.0) | st.floats(1e-9, 10.0))
def test_arithmetic(a: Liquid, b: Liquid, factor: float) -> None:
    assert (a + b).mass == pytest.approx(a.mass + b.mass, rel=1e-14)
    assert ((a + b) - b).mass == pytest.approx(a.mass, abs=1e-14 * (a + b).mass)
    assert factor * a == a * factor
    assert (a * factor).mass == pytest.approx(a.mass * factor, rel=1e-14)
    if factor > 0.0 and (a * factor).mass > 0.0:
        assert (a * factor).abv == pytest.approx(a.abv, rel=1e-12, abs=1e-15)


def test_nothing_has_no_volume() -> None:
    nothing = Liquid()
    assert (nothing.mass, nothing.volume, nothing.abv, nothing.brix) == (0.0, 0.0, 0.0, 0.0)
    with pytest.raises(ValueError, match="accepted range"):
        _ = nothing.density


def test_equal_liquids_are_one_key() -> None:
    assert Liquid(1, 2, 0) == Liquid(1.0, 2.0, 0.0)
    assert len({Liquid(1.0, 2.0, 0.0), Liquid(1.0, 2.0, 0.0)}) == 1


@pytest.mark.parametrize("bad", [-1e-6, -1e-11, nan, inf, -inf])
@pytest.mark.parametrize("place", [0, 1, 2])
def test_impossible_masses_are_refused(bad: float, place: int) -> None:
    parts = [1.0, 1.0, 1.0]
    parts[place] = bad
    with pytest.raises(ValueError, match="accepted range"):
        Liquid(*parts)


def test_the_noise_of_a_difference_is_zero() -> None:
    assert Liquid(-1e-15, 1.0, -1e-13) == Liquid(0.0, 1.0, 0.0)


def test_taking_away_more_than_there_is() -> None:
    with pytest.raises(ValueError, match="water is -1"):
        _ = Liquid(1.0, 1.0, 0.0) - Liquid(0.5, 2.0, 0.0)


@pytest.mark.parametrize("dry", [Liquid(0.0, 0.0, 1.0), Liquid(1.0, 0.0, 0.1), Liquid(1.0, 0.1, 0.6)])
def test_dry_solids_can_be_held_but_not_measured(dry: Liquid) -> None:
    assert dry.mass > 0.0
    assert dry.brix > 0.0
    with pytest.raises(ValueError, match=r"accepted range 0 to 0\.85"):
        _ = dry.volume
    assert (dry + Liquid.pure_water(1.0)).volume > 0.0


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: density(-0.01), "0 to 1"),
        (lambda: density(1.01), "0 to 1"),
        (lambda: density(nan), "0 to 1"),
        (lambda: density(0.4, 40.1), "-20 to 40"),
        (lambda: density(0.4, nan), "-20 to 40"),
        (lambda: abw_from_abv(40.0), "40.0; accepted range 0 to 1"),
        (lambda: abv_from_abw(1.5), "0 to 1"),
        (lambda: sucrose_density(0.86), "0 to 0.85"),
        (lambda: sucrose_density(0.5, 91.0), "0 to 90"),
        (lambda: rho_water_wide(-0.1), "0 to 100"),
        (lambda: brix_from_gravity(1.2), "1 to 1.18"),
        (lambda: Liquid.spirit(-1.0, 0.4), "0 and above"),
        (lambda: Liquid.spirit(1.0, 1.4), "0 to 1"),
        (lambda: Liquid.syrup(1.0, 101.0), "0 to 100"),
        (lambda: Liquid.liqueur(1.0, 0.9, 400.0), "fits into 1 L"),
        (lambda: Liquid.liqueur(1.0, 0.3, -1.0), "0 and above"),
        (lambda: proof_down(Liquid.spirit(1.0, 0.4), 0.45), "0.45; accepted range above 0"),
        (lambda: proof_down(Liquid.spirit(1.0, 0.4), 0.0), "above 0"),
        (lambda: proof_down(Liquid.pure_water(1.0), 0.1), "own 0.0"),
        (lambda: dilute_to_brix(Liquid.syrup(1.0, 50.0), 60.0), "60.0; accepted range above 0"),
        (lambda: dilute_to_brix(Liquid.syrup(1.0, 50.0), 0.0), "above 0"),
        (lambda: blend_to_abv(Liquid.spirit(1.0, 0.4), Liquid.pure_water(1.0), 0.5), "accepted from"),
        (lambda: blend_to_abv(Liquid.spirit(1.0, 0.4), Liquid.pure_water(1.0), 0.0), "accepted from"),
        (lambda: blend_to_abv(Liquid.spirit(1.0, 0.4), Liquid(), 0.3), "above 0"),
        (lambda: root(lambda x: x, 1.0, 2.0, f_low=1.0, f_high=2.0), "no sign change"),
    ],
)
def test_refusals_name_the_range(call: object, says: str) -> None:
    assert callable(call)
    with pytest.raises(ValueError, match=escape(says)):
        call()


@given(spirits, st.floats(0.01, 1.0))
def test_proofing_hits_the_strength_and_adds_only_water(liquid: Liquid, part: float) -> None:
    target = liquid.abv * part
    out, water = proof_down(liquid, target)
    assert out.abv == pytest.approx(target, rel=1e-12)
    assert water >= 0.0
    assert (out.ethanol, out.solids) == (liquid.ethanol, liquid.solids)
    assert out.mass == pytest.approx(liquid.mass + water, rel=1e-13)


@given(spirits)
def test_proofing_to_its_own_strength_adds_nothing(liquid: Liquid) -> None:
    assert proof_down(liquid, liquid.abv) == (liquid, 0.0)


@given(spirits, st.floats(0.1, 0.9), st.floats(0.1, 0.9))
def test_proofing_twice_is_proofing_once(liquid: Liquid, a: float, b: float) -> None:
    half, first = proof_down(liquid, liquid.abv * a)
    _, second = proof_down(half, half.abv * b)
    _, once = proof_down(liquid, liquid.abv * a * b)
    assert first + second == pytest.approx(once, rel=1e-10, abs=1e-12)


@given(some, some, some, st.floats(0.01, 1.0))
def test_diluting_to_brix(ethanol: float, water: float, solids: float, part: float) -> None:
    liquid = Liquid(ethanol, water, solids)
    out, added = dilute_to_brix(liquid, liquid.brix * part)
    assert out.brix == pytest.approx(liquid.brix * part, rel=1e-12)
    assert added == pytest.approx(liquid.mass * (1.0 / part - 1.0), rel=1e-9, abs=1e-9)


@given(spirits, st.floats(0.05, 1.0))
def test_blending_with_water_is_proofing(liquid: Liquid, part: float) -> None:
    _, water = proof_down(liquid, liquid.abv * part)
    kg = blend_to_abv(liquid, Liquid.pure_water(1.0), liquid.abv * part)
    assert kg == pytest.approx(water, rel=1e-9, abs=1e-10)


@given(spirits, spirits, st.floats(0.02, 0.98))
def test_blending_meets_the_strength(liquid: Liquid, diluent: Liquid, part: float) -> None:
    target = liquid.abv + part * (diluent.abv - liquid.abv)
    kg = blend_to_abv(liquid, diluent, target)
    assert kg >= 0.0
    mixed = liquid + diluent * (kg / diluent.mass)
    assert mixed.abv == pytest.approx(target, rel=1e-10)


@given(st.floats(0.2, 5.0), st.floats(-3.0, 3.0))
def test_root_finder(power: float, at: float) -> None:
    def f(x: float) -> float:
        y = x - at
        return pow(abs(y), power) * (1.0 if y > 0.0 else -1.0)

    assert root(f, -4.0, 5.0, f_low=f(-4.0), f_high=f(5.0)) == pytest.approx(at, abs=1e-14)
