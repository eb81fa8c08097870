"""Make or buy, with hours that are worth something elsewhere and without. All figures invented and done by hand."""

import math

import pytest

from costing.menu.capacity import best_mix
from costing.menu.capacity_rows import capacity_of
from costing.menu.makebuy import make_or_buy, units_within
from tests.menu.decisions import decided, near

WORTH = {"still-hour": 110.0, "prep hours": 40.0}


def test_scarce_hours_are_part_of_what_making_takes() -> None:
    """A litre of RUN: gin 20.00; 2 h of the still at 110 and half an hour of hands at 40; nothing thrown away."""
    reckoning, _ = decided()
    found = make_or_buy(reckoning, "run", 100.0, WORTH)
    assert (found.marginal, found.scarce, found.takes) == (near(20), near(240), near(260))
    assert found.full == near(20 + 2 * 2 + 0.5 * 18)
    assert (found.verdict, found.saves, found.base) == ("buy", near(-160), "l")
    assert found.without_scarcity == near(20)
    idle = make_or_buy(reckoning, "run", 100.0)
    assert (idle.verdict, idle.saves) == ("make", near(80))
    assert make_or_buy(reckoning, "run", 20.0).verdict == "even"


def test_what_is_thrown_away_takes_hours_too() -> None:
    """A fifth thrown away: 1 / 0.8 litres are made for one, so 325 in the place of 260."""
    reckoning, _ = decided()
    found = make_or_buy(reckoning, "run", 300.0, WORTH, thrown_away=0.2)
    assert (found.waste, found.takes) == (near(65), near(325))
    assert found.without_scarcity == near(25)


def test_hours_below_a_preparation_count() -> None:
    """2 l of CORDIAL take 0.1 l of RUN: 0.2 h of the still."""
    reckoning, _ = decided()
    batch = reckoning.ledgers["cordial"].outputs["cordial"].made
    found = make_or_buy(reckoning, "cordial", 10.0, {"still-hour": 110.0})
    assert found.hours == {"still-hour": near(0.2 / batch), "prep hours": near(0.55 / batch)}
    assert found.scarce == near(22 / batch)


def test_the_worth_of_hours_holds_for_as_much_as_the_still_is_short_of() -> None:
    """8 h a week are 32 of about 40.8 that are asked for: the first 8.8 h freed make A at 110 an hour, 4.4 l of RUN."""
    reckoning, mix = decided(still="8")
    best = best_mix(capacity_of(mix, reckoning).products, capacity_of(mix, reckoning).resources)
    found = make_or_buy(reckoning, "run", 100.0, best.worth)
    assert units_within(found, best) == near((best.uses[0].wanted - 32) / 2)
    idle = best_mix(capacity_of(mix, reckoning).products, [])
    assert units_within(found, idle) == math.inf


def test_what_cannot_be_is_named() -> None:
    reckoning, _ = decided()
    for offered in (-1.0, math.nan):
        with pytest.raises(ValueError, match="must be a number from 0 on"):
            make_or_buy(reckoning, "run", offered)
    with pytest.raises(ValueError, match=r"0\.05 is 5 %"):
        make_or_buy(reckoning, "run", 1.0, thrown_away=1.0)
    with pytest.raises(ValueError, match="press cannot be made today"):
        make_or_buy(reckoning, "press", 1.0)
