"""Carbonation: what goes in is accounted for, more pressure dissolves more, and ranges are named."""

from __future__ import annotations

from math import nan
from re import escape

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from costing.liquor import (
    co2_compressibility,
    co2_from_volumes,
    co2_gas_grams,
    co2_pressure,
    co2_solubility,
    co2_used,
    co2_volumes,
    room_ppm,
)

bar = st.just(0.0) | st.floats(1e-6, 10.0)
temperatures = st.floats(0.0, 60.0)
strengths = st.floats(0.0, 0.20)
sugars = st.floats(0.0, 150.0)


@given(bar, temperatures, strengths, sugars)
@example(9.999999999999998, 3.62598226086207, 0.0, 0.0)  # the bits rounded up beyond the most at 10 bar
def test_pressure_and_solubility_are_inverse(p: float, t: float, abv: float, sugar: float) -> None:
    grams = co2_solubility(p, t, abv, sugar)
    assert co2_pressure(grams, t, abv, sugar) == pytest.approx(p, rel=1e-13)


@given(st.floats(0.0, 1.0), temperatures, strengths, sugars)
def test_solubility_and_pressure_are_inverse(part: float, t: float, abv: float, sugar: float) -> None:
    grams = part * co2_solubility(10.0, t, abv, sugar)
    assert co2_solubility(co2_pressure(grams, t, abv, sugar), t, abv, sugar) == pytest.approx(grams, rel=1e-12)


@given(st.floats(0.01, 9.9), st.floats(0.0, 59.0), st.floats(0.0, 0.19), st.floats(0.0, 140.0))
def test_more_dissolves_under_pressure_and_less_in_warm_strong_or_sweet(
    p: float, t: float, abv: float, sugar: float
) -> None:
    here = co2_solubility(p, t, abv, sugar)
    assert here > 0.0
    assert co2_solubility(p + 0.1, t, abv, sugar) > here
    assert co2_solubility(p, t + 1.0, abv, sugar) < here
    assert co2_solubility(p, t, abv + 0.01, sugar) < here
    assert co2_solubility(p, t, abv, sugar + 10.0) < here


@given(st.floats(0.1, 5.0), temperatures)
def test_solubility_is_nearly_straight_in_the_pressure(p: float, t: float) -> None:
    """Henry's law, bent by the gas's own attraction: twice the pressure dissolves a little less than twice."""
    ratio = co2_solubility(2.0 * p, t) / co2_solubility(p, t)
    assert 1.93 < ratio < 2.04


@given(st.floats(0.0, 50.0))
def test_volumes_of_gas(grams: float) -> None:
    assert co2_from_volumes(co2_volumes(grams)) == pytest.approx(grams, rel=1e-14)


@given(bar, temperatures)
def test_real_gas_is_denser_than_ideal(p: float, t: float) -> None:
    z = co2_compressibility(p, t)
    assert 0.9 < z <= 1.0
    ideal = p * 1e5 * 1e-3 * 44.0095 / (8.314462618 * (t + 273.15))
    assert co2_gas_grams(1.0, p, t) * z == pytest.approx(ideal, rel=1e-12)


@given(
    st.floats(0.0, 100.0), st.floats(0.0, 1.0), st.floats(0.0, 20.0), strengths, sugars,
    st.floats(0.0, 10.0), st.integers(0, 10), st.floats(0.0, 1.0),
)  # fmt: skip
def test_gas_used_adds_up(
    litres: float, part: float, t: float, abv: float, sugar: float, space: float, purges: int, foam: float
) -> None:
    grams = part * co2_solubility(10.0, t, abv, sugar)
    pressure = co2_pressure(grams, t, abv, sugar)
    assume(not purges or pressure > 1.02)
    used = co2_used(litres, grams, t, abv, sugar, space, purges, foam)
    assert used.pressure_bar == pressure
    assert used.total == used.dissolved + used.headspace + used.purges + used.foam
    assert used.dissolved == pytest.approx(litres * grams)
    assert used.foam == pytest.approx(foam * litres * grams)
    assert used.headspace == pytest.approx(co2_gas_grams(space, pressure, t))
    assert used.purges == pytest.approx(purges * (used.headspace - co2_gas_grams(space, 1.01325, t)), abs=1e-12)
    assert used.residual_air == pytest.approx((1.01325 / pressure) ** purges if purges else 1.0)


def test_each_purge_leaves_the_same_share_of_air() -> None:
    left = [co2_used(1.0, 7.0, 3.0, headspace_l=0.2, purges=n).residual_air for n in range(4)]
    assert left[0] == 1.0
    assert left[2] / left[1] == pytest.approx(left[1], rel=1e-12)
    assert left[3] / left[2] == pytest.approx(left[1], rel=1e-12)


def test_left_out_means_none() -> None:
    assert co2_solubility(2.0, 5.0) == co2_solubility(2.0, 5.0, 0.0, 0.0)
    assert co2_pressure(5.0, 5.0) == co2_pressure(5.0, 5.0, 0.0, 0.0)
    assert co2_used(1.0, 7.0, 3.0) == co2_used(1.0, 7.0, 3.0, 0.0, 0.0, 0.0, 0, 0.0)


def test_flat_drink_takes_nothing() -> None:
    used = co2_used(5.0, 0.0, 4.0, headspace_l=2.0, foam=0.5)
    assert (used.total, used.pressure_bar, used.residual_air) == (0.0, 0.0, 1.0)


@given(st.floats(0.0, 50.0), st.floats(1.0, 500.0), st.floats(-20.0, 60.0))
def test_gas_in_a_room_scales(kg: float, room: float, t: float) -> None:
    assert room_ppm(kg, room, t) == pytest.approx(kg * room_ppm(1.0, 1.0, t) / room, rel=1e-12)
    assert room_ppm(1.0, room, t) > room_ppm(1.0, room, -20.0) * 0.999


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: co2_solubility(10.1, 5.0), "0 to 10"),
        (lambda: co2_solubility(-0.1, 5.0), "0 to 10"),
        (lambda: co2_solubility(nan, 5.0), "0 to 10"),
        (lambda: co2_solubility(1.0, -0.1), "-0.1; accepted range 0 to 60"),
        (lambda: co2_solubility(1.0, 60.1), "0 to 60"),
        (lambda: co2_solubility(1.0, 5.0, 0.21), "0.21; accepted range 0 to 0.2"),
        (lambda: co2_solubility(1.0, 5.0, 12.0), "0 to 0.2"),
        (lambda: co2_solubility(1.0, 5.0, 0.1, 151.0), "151.0; accepted range 0 to 150"),
        (lambda: co2_pressure(-1.0, 5.0), "CO2 in g/L is -1.0"),
        (lambda: co2_pressure(30.0, 5.0), "accepted range 0 to 26"),
        (lambda: co2_pressure(nan, 5.0), "CO2 in g/L is nan"),
        (lambda: co2_volumes(-1.0), "0 and above"),
        (lambda: co2_from_volumes(-1.0), "0 and above"),
        (lambda: co2_compressibility(11.0, 5.0), "0 to 10"),
        (lambda: co2_gas_grams(-1.0, 1.0, 5.0), "litres is -1.0"),
        (lambda: co2_gas_grams(1.0, 1.0, 70.0), "0 to 60"),
        (lambda: co2_used(-1.0, 7.0, 3.0), "litres is -1.0"),
        (lambda: co2_used(1.0, 7.0, 3.0, headspace_l=-1.0), "headspace in litres"),
        (lambda: co2_used(1.0, 7.0, 3.0, purges=-1), "purges is -1"),
        (lambda: co2_used(1.0, 7.0, 3.0, purges=101), "0 to 100"),
        (lambda: co2_used(1.0, 7.0, 3.0, purges=1.5), "whole number"),
        (lambda: co2_used(1.0, 7.0, 3.0, foam=1.01), "0 to 1"),
        (lambda: co2_used(1.0, 7.0, 3.0, foam=1.5), "foam is 1.5; accepted range 0 to 1"),
        (lambda: co2_used(1.0, 1.0, 3.0, headspace_l=1.0, purges=1), "above 1.01325 bar"),
        (lambda: room_ppm(-1.0, 10.0), "kg of CO2"),
        (lambda: room_ppm(1.0, 0.0), "room in m3"),
        (lambda: room_ppm(1.0, 10.0, 80.0), "-20 to 60"),
    ],
)
def test_refusals_name_the_range(call: object, says: str) -> None:
    assert callable(call)
    with pytest.raises(ValueError, match=escape(says)):
        call()
