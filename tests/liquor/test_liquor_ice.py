"""Ice: the curve and its range, the freezing line, and a heat balance that must close by its own account."""

from __future__ import annotations

from re import escape

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from costing.liquor import IceBalance, Liquid, ice_dilution, ice_heat_balance, liquidus
from costing.liquor.heat import heat_of_mixing, specific_heat

SOUR = Liquid.spirit(0.06, 0.40) + Liquid.pure_water(0.0225) + Liquid.syrup(0.0277, 50.0)
drinks = st.builds(
    lambda ml, abv, sugar: Liquid.liqueur(ml / 1000.0, abv, sugar),
    st.floats(60.0, 130.0), st.floats(0.0, 0.45), st.floats(0.0, 120.0),
)  # fmt: skip


@given(st.floats(0.12, 0.41))
def test_stronger_drinks_take_more_water_and_shaking_more_than_stirring(abv: float) -> None:
    for technique in ("stirred", "shaken"):
        assert ice_dilution(abv, technique) < ice_dilution(abv + 0.01, technique)
    assert ice_dilution(abv, "stirred") < ice_dilution(abv, "shaken")


@given(st.floats(0.0, 0.39), st.floats(0.0, 5.0))
def test_freezing_line_falls(w: float, sugar: float) -> None:
    here = liquidus(w, sugar)
    assert here <= liquidus(0.9 * w, sugar)
    assert here <= liquidus(w, 0.9 * sugar)
    assert here == pytest.approx(liquidus(w) - 1.86 * sugar, abs=1e-12)


def test_pure_water_freezes_at_zero() -> None:
    assert liquidus(0.0) == 0.0
    assert liquidus(0.39) == -28.7


@given(st.floats(0.0, 1.0))
def test_specific_heat_is_plausible(w: float) -> None:
    assert 2.2 < specific_heat(w) < 4.4


@given(st.floats(0.0, 1.0), st.floats(0.0, 25.0))
def test_mixing_gives_heat_off_in_the_cold(part: float, t: float) -> None:
    heat = heat_of_mixing(part, 1.0 - part, t)
    assert -60.0 < heat <= 0.0
    assert heat_of_mixing(2.0 * part, 2.0 * (1.0 - part), t) == pytest.approx(2.0 * heat)


def test_nothing_to_mix() -> None:
    assert heat_of_mixing(1.0, 0.0, 20.0) == 0.0
    assert heat_of_mixing(0.0, 1.0, 20.0) == 0.0


def check(start: Liquid, out: IceBalance) -> None:
    assert out.drink.ethanol == start.ethanol
    assert out.drink.solids == start.solids
    assert out.drink.mass == pytest.approx(start.mass + out.added, rel=1e-12)
    assert out.ratio == pytest.approx(1000.0 * out.added / 998.20123 / start.volume, rel=1e-9)
    # ABV / (1 + ratio), to the contraction, which is small where the curve is used
    assert out.drink.abv == pytest.approx(start.abv / (1.0 + out.ratio), rel=3e-3 if start.abv <= 0.42 else 0.012)


@settings(max_examples=60, deadline=None)
@given(drinks, st.floats(0.20, 0.45), st.floats(0.0, 0.2))
def test_a_shake_ends_on_the_freezing_line(drink: Liquid, ice: float, vessel: float) -> None:
    out = ice_heat_balance(drink, ice_kg=ice, vessel_kj_k=vessel)
    check(drink, out)
    w = out.drink.ethanol / (out.drink.ethanol + out.drink.water)
    assert out.end_t == pytest.approx(liquidus(w, 1000.0 * drink.solids / 342.2965 / out.drink.water), abs=1e-9)
    assert 0.0 < out.melted < ice


@settings(max_examples=60, deadline=None)
@given(drinks, st.floats(-8.0, 0.0), st.floats(0.0, 0.02))
def test_heat_given_is_heat_taken(drink: Liquid, ice_t: float, wet: float) -> None:
    """By the method of mixtures, written out here: no mixing heat, an end of 2 C, and ice that stays ice at 0 C."""
    out = ice_heat_balance(drink, ice_t=ice_t, surface_kg=wet, end_t=2.0, mixing=False)
    check(drink, out)
    c = specific_heat(drink.ethanol / (drink.ethanol + drink.water))
    given_off = ((drink.ethanol + drink.water) * c + 1.7 * drink.solids) * 18.0 + 0.10 * 18.0
    warmed = 0.25 * 2.09 * (0.0 - ice_t)
    taken = out.melted * (333.55 + 4.19 * 2.0) + wet * 4.19 * 2.0 + warmed
    assert taken == pytest.approx(given_off, rel=1e-9)


@pytest.mark.parametrize(
    ("change", "more"),
    [
        ({"vessel_kj_k": 0.3}, True),
        ({"vessel_kj_k": 0.0}, False),
        ({"vessel_t": -10.0}, False),
        ({"ice_t": -10.0}, False),
        ({"surface_kg": 0.012}, True),
        ({"start_t": 30.0}, True),
        ({"start_t": 5.0}, False),
        ({"ice_kg": 0.4}, True),
        ({"mixing": False}, False),
        ({"end_t": -2.0}, False),
    ],
)
def test_what_moves_the_ratio(change: dict[str, float], more: bool) -> None:
    usual = ice_heat_balance(SOUR).ratio
    changed = ice_heat_balance(SOUR, **change).ratio  # type: ignore[arg-type]
    assert (changed > usual) is more
    assert abs(changed - usual) > 0.003


def test_the_neat_spirit_melts_until_the_table_knows_it() -> None:
    strong = Liquid.spirit(0.06, 0.70)  # 62 % by mass, beyond the freezing table until diluted
    out = ice_heat_balance(strong, ice_kg=0.5)
    check(strong, out)
    assert out.ratio > 1.0


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: ice_dilution(0.119, "shaken"), "0.119; accepted range 0.12 to 0.42"),
        (lambda: ice_dilution(0.43, "stirred"), "0.12 to 0.42"),
        (lambda: ice_dilution(0.3, "thrown"), "technique is 'thrown'; accepted: stirred, shaken"),
        (lambda: liquidus(0.40), "0 to 0.39"),
        (lambda: liquidus(-0.1), "0 to 0.39"),
        (lambda: liquidus(0.1, 5.1), "0 to 5"),
        (lambda: ice_heat_balance(Liquid()), "kg of drink"),
        (lambda: ice_heat_balance(Liquid(1.0, 0.0, 0.0)), "water in kg"),
        (lambda: ice_heat_balance(SOUR, ice_kg=0.0), "ice in kg is 0.0"),
        (lambda: ice_heat_balance(SOUR, ice_kg=0.03), "all of which would melt"),
        (lambda: ice_heat_balance(SOUR, ice_t=0.1), "-40 to 0"),
        (lambda: ice_heat_balance(SOUR, ice_t=-40.0, ice_kg=0.6), "none melts"),
        (lambda: ice_heat_balance(SOUR, surface_kg=-0.1), "surface water"),
        (lambda: ice_heat_balance(SOUR, start_t=50.0), "-20 to 40"),
        (lambda: ice_heat_balance(SOUR, vessel_kj_k=-1.0), "heat capacity"),
        (lambda: ice_heat_balance(SOUR, vessel_t=90.0), "-40 to 40"),
        (lambda: ice_heat_balance(SOUR, end_t=-9.0), "end_t in C is -9.0"),
        (lambda: ice_heat_balance(Liquid.syrup(0.1, 10.0), end_t=-2.0), "end_t in C is -2.0"),
        (lambda: ice_heat_balance(SOUR, start_t=-15.0), "above its freezing point"),
        (lambda: ice_heat_balance(Liquid.spirit(0.06, 0.9), end_t=0.0), "diluted drink"),
        (lambda: ice_heat_balance(Liquid.syrup(0.1, 70.0)), "mol of sugar"),
    ],
)
def test_refusals_name_the_range(call: object, says: str) -> None:
    assert callable(call)
    with pytest.raises(ValueError, match=escape(says)):
        call()
