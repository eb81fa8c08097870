"""The menu judged by section: who is sure, what is suggested, and what is never suggested."""

from datetime import date
from decimal import Decimal
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from costing.book.selling import Judging, SalesPeriod
from costing.menu.advice import ACTIONS, Advice, Reason, Standing, advise
from costing.menu.engineer import CLASSES
from costing.menu.judged import Beside, Judged, Section, judge, without
from costing.menu.mix import Item, Mix
from costing.menu.rivals import READINGS
from costing.menu.words import (
    ACTION_WORDS,
    CLASS_MEANS,
    REASON_WORDS,
    action_word,
    advice_text,
    cell_word,
    chance_text,
    sales_text,
)
from costing.tongue import speaking
from tests.menu.examples import GEORGE, GEORGE_CLASSES

PERIOD = SalesPeriod(id="p", since=date(2026, 3, 2), until=date(2026, 3, 29), sold=())
BY = Judging()


def drink(name: str, sold: float, cost: float, net: float, **more: Any) -> Item:
    """One row of the section Signatures."""
    told: dict[str, Any] = {
        "menu": "main", "section": "Signatures", "listed": Decimal(15), "machine_hours": {}, "layers": {}, **more,
    }  # fmt: skip
    return Item(serve=name, name=name, sold=sold, cost=cost, net=net, **told)


def mix_of(*items: Item, base: tuple[Any, ...] = ("materials",)) -> Mix:
    """A mix of four weeks."""
    return Mix(date(2026, 4, 1), (PERIOD,), items, (), base)


def george(times: float = 1.0, **more: Any) -> Mix:
    """Example B as a section."""
    return mix_of(*(drink(str(n), float(s) * times, float(c), float(p), **more) for n, s, c, p in GEORGE))


def only(mix: Mix, *, judging: Judging = BY, **how: Any) -> Section:
    """The one section of a mix."""
    (section,) = judge(mix, judging, **how)
    return section


def named(section: Section, name: str) -> Judged:
    """A drink by name."""
    return next(d for d in section.drinks if d.row.name == name)


def test_example_b_is_judged_with_what_is_borderline_left_alone() -> None:
    # Dittmer and Keefe, 9th ed., problems of chapter 11: lamb is star or puzzle by a hair
    section = only(george())
    assert [d.klass for d in section.drinks] == GEORGE_CLASSES
    assert [d.row.name for d in section.drinks if not d.sure] == ["lamb chops"]
    lamb = named(section, "lamb chops")
    assert (lamb.state, lamb.advice.action, lamb.needed) == ("borderline", "leave", None)
    assert {r.code for r in lamb.advice.reasons} == {"borderline", "near", "is"}
    assert [f"{100 * x:.1f}" for x in lamb.share] == ["6.8", "11.2"]
    assert [d.advice.action for d in section.drinks[:2]] == ["keep", "price"]
    assert section.margin_band is not None
    assert section.margin_band.low < 11.2492 < section.margin_band.high
    assert [m.code for m in section.methods] == ["class", "pavesic", "miller", "goal"]
    assert section.enough < 629


def test_a_small_sample_waits() -> None:
    section = only(george(0.05))
    assert section.enough > section.engineered.N
    lamb = named(section, "lamb chops")
    assert (lamb.state, lamb.advice.action) == ("few", "wait")
    assert {d.advice.action for d in section.drinks if d.state == "few"} == {"wait"}


def test_drinks_of_different_sections_do_not_compete() -> None:
    rows = [drink("a", 50, 2, 12), drink("b", 150, 2, 9), drink("c", 500, 1, 5, section="Wine")]
    first, second = judge(mix_of(*rows, drink("d", 30, 1, 6, section="Wine")), BY)
    assert [first.name, second.name] == ["Signatures", "Wine"]
    assert first.engineered.N == 200
    assert [d.klass for d in first.drinks] == ["puzzle", "plowhorse"]


@pytest.mark.parametrize(("rows", "why"), [
    ([drink("a", 50, 2, 12)], "one"),
    ([drink("a", 0, 2, 12), drink("b", 0, 2, 9)], "unsold"),
    ([drink("a", 10, -0.2, 12), drink("b", 10, 2, 9)], "below nothing"),
    ([drink("a", 10, 2, 12), drink("b", 0, 2, 0, listed=None)], "one"),
])  # fmt: skip
def test_a_section_with_nothing_to_compare_says_so(rows: list[Item], why: str) -> None:
    section = only(mix_of(*rows))
    assert (section.why, section.drinks, section.methods) == (why, (), ())


def test_what_has_no_price_is_in_no_set() -> None:
    section = only(mix_of(drink("a", 60, 2, 12), drink("b", 60, 2, 9), drink("gift", 0, 3, 0, listed=None)))
    assert [i.name for i in section.unpriced] == ["gift"]
    assert section.engineered.n == 2


def test_a_cost_that_is_not_whole_makes_nothing_sure() -> None:
    rows = [drink("a", 600, 2, 12), drink("b", 600, 0.5, 12, complete=False), drink("c", 10, 3, 9)]
    section = only(mix_of(*rows))
    assert not section.complete
    assert [d.state for d in section.drinks] == ["borderline"] * 3
    assert [d.advice.action for d in section.drinks] == ["leave", "complete", "leave"]
    assert named(section, "c").klass == "dog"
    assert named(section, "a").advice.reasons[0].code == "beside"


def test_a_dog_that_is_sure_may_go_and_a_new_drink_waits() -> None:
    mix = mix_of(drink("a", 600, 2, 12), drink("b", 600, 2, 11), drink("c", 20, 3, 9))
    assert named(only(mix), "c").advice.action == "rework"
    new = Beside(since={"main/Signatures/c": date(2026, 3, 20), "main/Signatures/a": date(2026, 3, 2)})
    section = only(mix, beside=new)
    assert (named(section, "c").state, named(section, "c").advice.action) == ("few", "wait")
    assert named(section, "c").advice.reasons[0] == Reason(code="new", figures={"day": date(2026, 3, 20)})
    assert named(section, "a").new is None


def test_what_sells_below_its_cost_asks_for_a_price_whatever_it_is() -> None:
    section = only(mix_of(drink("a", 60, 2, 12), drink("b", 9, 10, 9), drink("c", 60, 2, 11)))
    loses = named(section, "b")
    assert (loses.advice.action, loses.advice.reasons[0].code) == ("price", "loss")
    labour = {"layers": {"labour": 9.5}}
    after = only(mix_of(drink("a", 60, 2, 12), drink("b", 60, 2, 11, **labour), drink("c", 60, 2, 11)))
    assert named(after, "b").advice.reasons[0] == Reason(code="labour loss", figures={"money": 0.5})


def test_labour_that_is_in_the_cost_is_not_taken_twice() -> None:
    rows = [drink(n, 60, 2, 12 - i, layers={"labour": 1.0 + i}) for i, n in enumerate("abc")]
    assert [m.code for m in only(mix_of(*rows)).methods][-1] == "labour"
    assert "labour" not in [m.code for m in only(mix_of(*rows, base=("materials", "labour"))).methods]


def test_a_machine_that_is_short_ranks_by_its_hour() -> None:
    rows = [drink("a", 60, 2, 12, machine_hours={"still-hour": 0.1}), drink("b", 60, 2, 9)]
    section = only(mix_of(*rows), bottleneck="still-hour")
    assert [d.agreement.cells["hour"].cell for d in section.drinks] == ["high", "free"]
    assert "hour" not in [m.code for m in only(mix_of(*rows), bottleneck="press-hour").methods]


def test_unsold_drinks_left_out_are_not_judged() -> None:
    rows = [drink("a", 600, 2, 12), drink("b", 600, 2, 11), drink("never", 0, 2, 8)]
    out = named(only(mix_of(*rows), judging=Judging(unsold="left out")), "never")
    assert (out.klass, out.spot, out.chance, out.advice.action) == ("dog", None, None, "wait")
    assert named(only(mix_of(*rows)), "never").advice.action == "rework"


def test_costs_that_vary_come_by_the_row_of_the_mix() -> None:
    wine = [drink("x", 90, 1, 6, section="Wine"), drink("y", 90, 1, 5, section="Wine")]
    both = mix_of(*wine, *george().items)
    plain = only(george(), sds=[0.0] * 8)
    _, drawn = judge(both, BY, sds=[9.0, 9.0, *([0.0] * 8)])
    assert [d.spot for d in drawn.drinks] == [d.spot for d in plain.drinks]
    costs = np.array([[i.cost for i in both.items]] * 3)
    _, fixed = judge(both, BY, costs=costs)
    assert [d.spot and d.spot.chances for d in fixed.drinks] == [d.spot and d.spot.chances for d in plain.drinks]
    wide = only(george(), sds=[2.0] * 8)
    assert sum(d.sure for d in wide.drinks) < sum(d.sure for d in plain.drinks)
    for bad in ({"sds": [1.0]}, {"costs": costs[:, :3]}):
        with pytest.raises(ValueError, match="do not fit"):
            judge(both, BY, **bad)


def test_what_the_others_become() -> None:
    section = only(george())
    left = without(section, BY, {"lamb chops", "soup"})
    assert left.before == section.engineered
    assert len(left.lost) == 7


STANDINGS = st.builds(
    Standing,
    klass=st.sampled_from(CLASSES),
    chances=st.lists(st.integers(0, 100), min_size=4, max_size=4).map(
        lambda w: {k: (n + 1) / (sum(w) + 4) for k, n in zip(CLASSES, w, strict=True)}
    ),
    sure=st.booleans(),
    too_few=st.booleans(),
    total=st.floats(0, 1e4),
    needed=st.none() | st.integers(0, 10**6),
    margin=st.floats(-5, 20),
    counted=st.booleans(),
    new=st.none() | st.just(date(2026, 3, 20)),
    on_target=st.none() | st.booleans(),
    left_after_labour=st.none() | st.floats(-5, 20),
    labour_class=st.none() | st.sampled_from(CLASSES),
    complete=st.booleans(),
    beside=st.booleans(),
)


@settings(max_examples=50, deadline=None)
@given(of=STANDINGS)
def test_nothing_unsure_is_ever_taken_off_and_every_reason_has_words(of: Standing) -> None:
    advice = advise(of)
    if advice.action == "rework":
        assert of.sure
        assert not of.too_few
        assert of.klass == "dog"
    assert advice.reasons
    text = advice_text(advice, "EUR")
    assert "{" not in text
    assert text == text[:1].upper() + text[1:]


def test_words_of_every_code() -> None:
    assert set(ACTION_WORDS) == set(ACTIONS)
    assert all(cell_word(cell) for cell in READINGS)
    assert set(CLASS_MEANS) == set(CLASSES)
    assert action_word("leave") == "borderline: leave it"
    assert advice_text(Advice(action="price", reasons=(Reason(code="loss", figures={"money": 0.0}),))) == (
        "It brings no more than it costs"
    )
    with speaking("de"):
        assert REASON_WORDS  # late: a figure takes the marks of the language
        assert sales_text(422_804) == "430.000"


@pytest.mark.parametrize(("chance", "text"), [
    (0.8999, "89 %"), (0.9, "90 %"), (0.29, "29 %"), (0.999, "over 99 %"), (1.0, "over 99 %"), (0.0, "under 1 %"),
])  # fmt: skip
def test_a_chance_is_never_rounded_up_to_sure(chance: float, text: str) -> None:
    assert chance_text(chance) == text
