"""Infusing and distilling: nothing is made, nothing vanishes, and what cannot be is refused."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import FrozenInstanceError, replace
from re import escape

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from costing.liquor import Infusion, Liquid, Run, Solid, bubble_point, distil, infuse

RUM = Liquid.spirit(1.0, 0.40)
FRUIT = Solid(0.5072, 0.10047, 0.04233)
weights = st.floats(0.01, 5.0)
fruits = st.builds(Solid, weights, weights, weights)
drinks = st.builds(Liquid.liqueur, st.floats(0.2, 5.0), st.floats(0.02, 0.5), st.floats(0.0, 200.0))


def closes(before: float, *after: float) -> bool:
    return abs(before - sum(after)) <= 1e-12 * max(before, 1e-3)


# --- infusion -----------------------------------------------------------------------------------------------


@given(drinks, fruits, st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_infusion_closes(spirit: Liquid, solid: Solid, exchange: float, part: float) -> None:
    free = spirit.mass + exchange * solid.juice.mass
    least = solid.insolubles + (1.0 - exchange) * solid.juice.mass
    out = infuse(spirit, solid, spent=least + part * free, exchange=exchange)
    assert closes(spirit.ethanol, out.strained.ethanol, out.held.ethanol)
    assert closes(spirit.water + solid.water, out.strained.water, out.held.water, out.unexchanged.water)
    assert closes(spirit.solids + solid.solubles, out.strained.solids, out.held.solids, out.unexchanged.solids)
    assert closes(spirit.mass + solid.mass, out.strained.mass, out.spent)
    assert out.spent == pytest.approx(least + part * free, rel=1e-12)
    assert out.ethanol_lost == pytest.approx(part, abs=1e-9)


@given(drinks, fruits, st.floats(0.0, 1.0), st.floats(0.05, 0.9))
def test_retention_and_spent_mass_say_the_same(spirit: Liquid, solid: Solid, exchange: float, part: float) -> None:
    weighed = solid.insolubles + (1.0 - exchange) * solid.juice.mass + part * spirit.mass
    a = infuse(spirit, solid, spent=weighed, exchange=exchange)
    kept = (weighed - solid.insolubles) / solid.mass
    b = infuse(spirit, solid, retention=kept, exchange=exchange)
    assert a.held.mass == pytest.approx(b.held.mass, rel=1e-9)


@given(fruits, st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_more_held_is_more_lost(solid: Solid, a: float, b: float) -> None:
    low, high = sorted((a, b))
    free = RUM.mass + solid.juice.mass
    runs = [infuse(RUM, solid, spent=solid.insolubles + v * free) for v in (low, high)]
    assert runs[0].ethanol_lost <= runs[1].ethanol_lost
    assert runs[0].strained.mass >= runs[1].strained.mass


def test_without_exchange_or_holding_the_spirit_is_unchanged() -> None:
    out = infuse(RUM, FRUIT, spent=FRUIT.mass, exchange=0.0)
    assert out.strained.abv == pytest.approx(RUM.abv, rel=1e-14)
    assert out.strained.mass == pytest.approx(RUM.mass, rel=1e-14)
    assert out.held.mass == pytest.approx(0.0, abs=1e-14)


def test_an_infusion_in_water_loses_no_alcohol() -> None:
    assert infuse(Liquid.pure_water(1.0), FRUIT, spent=0.4).ethanol_lost == 0.0


def test_nothing_infused_in_nothing() -> None:
    out = infuse(Liquid(), Solid(), spent=0.0)
    assert out == Infusion(strained=Liquid(), held=Liquid(), unexchanged=Liquid(), insolubles=0.0, ethanol_lost=0.0)


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: infuse(RUM, FRUIT), "exactly one"),
        (lambda: infuse(RUM, FRUIT, spent=0.4, retention=0.5), "exactly one"),
        (lambda: infuse(RUM, FRUIT, spent=0.04), "spent solids in kg is 0.04"),
        (lambda: infuse(RUM, FRUIT, spent=1.7), "spent solids in kg is 1.7"),
        (lambda: infuse(RUM, FRUIT, spent=0.30, exchange=0.5), "0.3; accepted range"),
        (lambda: infuse(RUM, FRUIT, retention=-0.1), "retention"),
        (lambda: infuse(RUM, FRUIT, retention=2.5), "retention"),
        (lambda: infuse(RUM, FRUIT, retention=0.1, exchange=0.0), "retention"),
        (lambda: infuse(RUM, FRUIT, spent=0.4, exchange=1.1), "0 to 1"),
        (lambda: infuse(RUM, FRUIT, spent=float("nan")), "accepted range"),
        (lambda: Solid(-0.1, 0.0, 0.0), "water in kg is -0.1"),
        (lambda: FRUIT.dried_to(0.10), "after drying"),
        (lambda: FRUIT.dried_to(0.70), "after drying"),
    ],
)
def test_impossible_infusions(call: object, says: str) -> None:
    assert callable(call)
    with pytest.raises(ValueError, match=escape(says)):
        call()


# --- boiling ------------------------------------------------------------------------------------------------


@given(st.floats(0.0, 1.0), st.floats(55.0, 1000.0))
def test_boiling_lies_between_bounds(x: float, pressure: float) -> None:
    t, y = bubble_point(x, pressure)
    water, _ = bubble_point(0.0, pressure)
    ethanol, _ = bubble_point(1.0, pressure)
    assert 0.0 <= y <= 1.0
    assert ethanol - 0.5 < t < water + 1e-9  # the azeotrope dips a little below pure ethanol


@given(st.floats(0.001, 0.8), st.floats(60.0, 990.0), st.floats(1.001, 1.1))
def test_more_pressure_boils_hotter(x: float, pressure: float, more: float) -> None:
    assert bubble_point(x, pressure)[0] < bubble_point(x, pressure * more if more < 1.02 else 1000.0)[0]


def test_pure_ends() -> None:
    assert bubble_point(0.0, 50.0)[1] == 0.0
    assert bubble_point(1.0, 50.0)[1] == 1.0


@pytest.mark.parametrize(
    ("x", "pressure", "says"),
    [(-0.1, 50.0, "0 to 1"), (1.1, 50.0, "0 to 1"), (0.2, 9.9, "10 to 1100"), (0.2, 1101.0, "10 to 1100"),
     (1.0, 10.0, "5 to 100"), (0.0, 1100.0, "5 to 100")],
)  # fmt: skip
def test_boiling_ranges(x: float, pressure: float, says: str) -> None:
    with pytest.raises(ValueError, match=f"accepted range {says}"):
        bubble_point(x, pressure)


# --- the still ----------------------------------------------------------------------------------------------


def check_balance(charge: Liquid, run: Run) -> None:
    parts = (run.distillate, run.pot, run.held_up, run.vented)
    assert closes(charge.ethanol, *(p.ethanol for p in parts))
    assert closes(charge.water, *(p.water for p in parts))
    assert closes(charge.mass, *(p.mass for p in parts))
    assert run.pot.solids == charge.solids
    assert run.distillate.solids == 0.0
    assert run.lost == run.held_up + run.vented
    assert run.recovery == run.distillate.ethanol / charge.ethanol


@settings(max_examples=60, deadline=None)
@given(drinks, st.floats(0.02, 0.6), st.floats(50.0, 900.0))
def test_a_run_to_a_volume(charge: Liquid, part: float, pressure: float) -> None:
    take = part * charge.volume
    run = distil(charge, pressure_mbar=pressure, take=take)
    check_balance(charge, run)
    assert run.distillate.volume == pytest.approx(take, rel=1e-12)
    assert run.t_end >= run.t_start
    assert 0.0 < run.recovery <= 1.0
    assert run.pot.abv < charge.abv < run.abv


@settings(max_examples=40, deadline=None)
@given(drinks, st.floats(0.05, 0.95), st.floats(50.0, 900.0))
def test_a_run_to_a_pot_strength(charge: Liquid, part: float, pressure: float) -> None:
    run = distil(charge, pressure_mbar=pressure, pot_abv=part * charge.abv)
    check_balance(charge, run)
    assert run.pot.abv == pytest.approx(part * charge.abv, rel=1e-12)


@settings(max_examples=40, deadline=None)
@given(drinks, st.floats(0.05, 0.95))
def test_a_run_to_a_pot_temperature(charge: Liquid, part: float) -> None:
    moles = charge.ethanol / 46.06844, charge.water / 18.01528
    assume(sum(moles) > 0.0)
    cold, _ = bubble_point(moles[0] / sum(moles), 60.0)
    water, _ = bubble_point(0.0, 60.0)
    start = distil(charge, pressure_mbar=60.0, take=1e-4 * charge.volume).t_start
    target = start + part * (water - cold)
    run = distil(charge, pressure_mbar=60.0, pot_t=target)
    check_balance(charge, run)
    assert run.t_end == pytest.approx(target, abs=1e-11)


@settings(max_examples=40, deadline=None)
@given(drinks, st.floats(0.1, 0.5), st.floats(0.0, 0.02), st.floats(0.0, 0.1), st.floats(-15.0, 5.0))
def test_losses_are_named_and_close(charge: Liquid, part: float, film: float, gas: float, coolant: float) -> None:
    take = part * charge.volume
    run = distil(
        charge,
        pressure_mbar=80.0,
        take=take,
        holdup_kg=film * charge.mass,
        coolant_t=coolant,
        vent_mol=gas * charge.mass,
    )
    check_balance(charge, run)
    assert run.distillate.volume == pytest.approx(take, rel=1e-12)
    assert run.held_up.mass == pytest.approx(film * charge.mass, rel=1e-12, abs=1e-15)
    if gas > 1e-6:
        assert run.vented.mass > 0.0
        # What escapes is richer than what condenses.
        assert run.vented.ethanol / run.vented.mass > run.distillate.ethanol / run.distillate.mass


@settings(max_examples=30, deadline=None)
@given(drinks, st.floats(0.05, 0.5), st.floats(1.01, 1.5))
def test_more_taken_is_weaker_and_recovers_more(charge: Liquid, part: float, more: float) -> None:
    a = distil(charge, pressure_mbar=60.0, take=part * charge.volume)
    b = distil(charge, pressure_mbar=60.0, take=part * more * charge.volume)
    assert b.abv < a.abv
    assert b.recovery > a.recovery
    assert b.t_end > a.t_end


@settings(max_examples=20, deadline=None)
@given(drinks, st.floats(0.05, 0.5), st.floats(0.01, 100.0))
def test_scale_does_not_matter(charge: Liquid, part: float, factor: float) -> None:
    a = distil(charge, pressure_mbar=60.0, take=part * charge.volume)
    b = distil(charge * factor, pressure_mbar=60.0, take=part * charge.volume * factor)
    assert b.abv == pytest.approx(a.abv, rel=1e-11)
    assert b.recovery == pytest.approx(a.recovery, rel=1e-11)


@settings(max_examples=25, deadline=None)
@given(drinks, st.floats(0.02, 0.7), st.floats(50.0, 900.0))
def test_the_default_step_is_converged(charge: Liquid, part: float, pressure: float) -> None:
    take = part * charge.volume
    usual = distil(charge, pressure_mbar=pressure, take=take)
    fine = distil(charge, pressure_mbar=pressure, take=take, steps=300)
    assert usual.abv == pytest.approx(fine.abv, rel=1e-7)
    assert usual.recovery == pytest.approx(fine.recovery, abs=1e-7)


def test_a_deep_pot_strength_is_converged() -> None:
    charge = Liquid.liqueur(1.157, 0.255, 68.0)
    usual = distil(charge, pressure_mbar=50.0, pot_abv=0.001)
    fine = distil(charge, pressure_mbar=50.0, pot_abv=0.001, steps=600)
    assert usual.abv == pytest.approx(fine.abv, rel=1e-7)


def test_a_take_that_would_need_negative_condensate_is_refused() -> None:
    # The pump draws richer vapour than condenses, so the first drops would hold less than no ethanol.
    charge = Liquid(0.10047160887792884, 1.231614451423589, 0.0)
    with pytest.raises(ValueError, match=r"accepted from .* up"):
        distil(charge, pressure_mbar=82.6, take=4e-8, coolant_t=1.75, vent_mol=1.14e-5)


def test_film_is_mean_condensate() -> None:
    run = distil(RUM, pressure_mbar=50.0, take=0.4, holdup_kg=0.02)
    assert run.held_up.abv == pytest.approx(run.abv, rel=1e-12)
    assert run.lost.mass == pytest.approx(0.02, rel=1e-12)


def test_water_distils_as_water() -> None:
    run = distil(Liquid.syrup(1.0, 10.0), pressure_mbar=50.0, take=0.3)
    assert (run.abv, run.recovery, run.distillate.solids) == (0.0, 0.0, 0.0)
    assert run.t_end > run.t_start  # the syrup thickens


def test_pure_ethanol_stays_pure() -> None:
    run = distil(Liquid.spirit(1.0, 1.0), pressure_mbar=100.0, take=0.5)
    assert run.abv == 1.0
    assert run.t_end == pytest.approx(run.t_start, abs=1e-10)


def test_beyond_the_azeotrope_the_pot_grows_stronger() -> None:
    run = distil(Liquid(0.995, 0.005, 0.0), pressure_mbar=1000.0, take=0.6)
    assert run.abv < Liquid(0.995, 0.005, 0.0).abv < run.pot.abv


def test_the_named_maximum_is_accepted() -> None:
    charge = Liquid.spirit(1.0, 0.30)
    with pytest.raises(ValueError, match=r"take is 1\.2; accepted up to") as caught:
        distil(charge, pressure_mbar=50.0, take=1.2)
    most = float(str(caught.value).split("up to ")[1].split(":")[0])
    assert 0.99 < most < charge.volume
    assert distil(charge, pressure_mbar=50.0, take=most).distillate.volume == pytest.approx(most, rel=1e-12)
    with pytest.raises(ValueError, match="dry"):
        distil(charge, pressure_mbar=50.0, take=most + 2e-6)


def test_the_hottest_pot_is_named() -> None:
    charge = Liquid(0.0, 0.5, 0.5)
    with pytest.raises(ValueError, match=r"accepted up to .*: there the pot is at 100 C") as caught:
        distil(charge, pressure_mbar=700.0, take=0.5)
    most = float(str(caught.value).split("up to ")[1].split(":")[0])
    assert distil(charge, pressure_mbar=700.0, take=most).t_end == pytest.approx(100.0, abs=0.01)
    assert distil(charge, pressure_mbar=700.0, pot_t=100.0).t_end == pytest.approx(100.0, abs=1e-9)


def test_equal_calls_are_remembered() -> None:
    a = distil(Liquid.spirit(1.0, 0.33), pressure_mbar=50.0, take=0.4)
    assert distil(Liquid.spirit(1.0, 0.33), pressure_mbar=50.0, take=0.4) is a
    with pytest.raises(FrozenInstanceError):
        a.recovery = 1.0  # type: ignore[misc]
    assert replace(a, recovery=0.5) is not a


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ({}, "stops given: none"),
        ({"take": 0.4, "pot_t": 30.0}, "stops given: take, pot_t"),
        ({"take": 0.0}, "take is 0.0; accepted range above 0"),
        ({"take": float("nan")}, "accepted range above 0"),
        ({"take": 0.4, "pressure_mbar": 5.0}, "10 to 1100"),
        ({"take": 0.4, "pressure_mbar": 10.0}, "boiling temperature of the charge"),
        ({"pot_abv": 0.40}, "below the charge's own 0.4"),
        ({"pot_abv": 0.45}, "below the charge's own 0.4"),
        ({"pot_abv": 1e-60}, "accepted down to"),
        ({"pot_t": 20.0}, "above the charge's own 22.1"),
        ({"pot_t": 60.0}, "accepted up to 32.8"),
        ({"take": 0.4, "coolant_t": 20.0}, "keeps it below 40.0 mbar"),
        ({"take": 0.4, "coolant_t": 50.0}, "-20 to 40"),
        ({"take": 0.4, "vent_mol": 0.1}, "give coolant_t"),
        ({"take": 0.4, "vent_mol": -0.1}, "0 and above"),
        ({"take": 0.4, "holdup_kg": -0.1}, "0 and above"),
        ({"take": 0.9, "holdup_kg": 0.3}, "accepted up to"),
        ({"pot_t": 22.5, "holdup_kg": 0.5}, "more than all vapour"),
        ({"take": 0.4, "steps": 4}, "8 to 2000"),
    ],
)
def test_impossible_runs(arguments: dict[str, float], says: str) -> None:
    everything: dict[str, object] = {"pressure_mbar": 50.0, **arguments}
    with pytest.raises(ValueError, match=escape(says)):
        distil(RUM, **everything)  # type: ignore[arg-type]


@pytest.mark.parametrize("empty", [Liquid(), Liquid(0.0, 0.0, 1.0)])
def test_nothing_to_boil(empty: Liquid) -> None:
    with pytest.raises(ValueError, match="ethanol and water in the charge"):
        distil(empty, pressure_mbar=50.0, take=0.1)


def test_the_physics_needs_no_library() -> None:
    code = (
        "import sys, costing.liquor; "
        "heavy = {'numpy', 'scipy', 'CoolProp', 'thermo', 'decimal'} & set(sys.modules); "
        "sys.exit(', '.join(sorted(heavy)) or None)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")
