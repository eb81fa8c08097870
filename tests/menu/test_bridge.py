"""The bridge of the margin: worked examples to the printed digit, and that its parts add up to the last fraction."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from costing.book.change import put
from costing.book.money import rounded
from costing.book.selling import Supposed
from costing.menu.bridge import Bridge, Sale, bridge, printed
from costing.menu.bridge_mix import bridge_of
from costing.menu.bridge_words import sentence
from costing.menu.compare import as_it_stands, under
from costing.menu.mix import ended_periods
from tests.menu.supposals import DAY, figures, sample, scenario

D = Decimal


def sale(key: str, sold: float, price: float, cost: float, at_rate: float | None = None) -> Sale:
    return Sale(key=key, name=key, sold=sold, price=price, cost=cost, at_rate=at_rate)


BEFORE = [sale("a", 400, 14, 3.2), sale("b", 300, 16, 4.6), sale("c", 300, 13, 2.4)]
AFTER = [sale("a", 350, 14.5, 3.5), sale("b", 420, 16, 4.5), sale("c", 280, 13.5, 2.6)]
"""Invented figures, worked out by hand: margin 10 920 to 11 732, pour cost 23.64 to 24.67 %."""


def percent(found: Bridge) -> list[str]:
    return [f"{rounded(float(step.at or 0) * 100, 2)}" for step in found.walk]


def test_the_worked_example_to_the_printed_digit() -> None:
    found = bridge(BEFORE, AFTER)
    assert list(map(float, (found.before, found.after, found.difference))) == [10_920, 11_732, 812]
    assert {p.code: p.money for p in found.parts} == {"volume": 546, "mix": 70, "price": 315, "cost": -119}
    assert percent(found) == ["23.64", "24.40", "23.91", "24.67"]
    assert [step.code for step in found.walk] == ["before", "mix", "price", "cost"]
    at = [float(step.at or 0) * 100 for step in found.walk]
    assert [f"{rounded(b - a, 2):+}" for a, b in pairwise(at)] == ["+0.77", "-0.49", "+0.76"]
    assert sentence(found, "EUR") == (
        "margin rose by 812.00 while pour cost worsened by 1.03 points: more was sold (+546.00), a drink brought more "
        "(+315.00), drinks cost more (−119.00), guests chose drinks that earn more (+70.00)"
    )


def test_the_published_check_of_one_product() -> None:
    """Course notes on sales variances: budget 4,000 at 300 with a cost of 180, actual 3,600 at 260: price variance
    -144,000, volume variance of the margin -48,000, margin 480,000 to 288,000."""
    found = bridge([sale("x", 4000, 300, 180)], [sale("x", 3600, 260, 180)])
    assert list(map(float, (found.before, found.after))) == [480_000, 288_000]
    assert {p.code: p.money for p in found.parts} == {"volume": -48_000, "mix": 0, "price": -144_000, "cost": 0}


def test_an_exchange_rate_stands_apart_at_the_foreign_price_before() -> None:
    """By hand: 10 bottles in a drink at 2.00 abroad; the rate goes from 1 to 1.1, the price abroad to 2.10."""
    found = bridge([sale("x", 100, 10, 2.0, 2.2)], [sale("x", 100, 10, 2.31)])
    assert {p.code: p.money for p in found.parts} == {
        "volume": 0, "mix": 0, "price": 0, "rate": -20, "cost": -11,
    }  # fmt: skip
    assert [s.code for s in found.walk] == ["before", "mix", "price", "rate", "cost"]


def test_what_is_new_or_dropped_is_a_line_of_its_own() -> None:
    found = bridge([*BEFORE, sale("gone", 50, 12, 3)], [*AFTER, sale("new", 60, 15, 4)])
    assert found.of("new") == 60 * 11
    assert found.of("dropped") == -50 * 9
    assert found.difference == 812 + 660 - 450
    assert found.of("volume") == 546, "volume and mix are of what stands on both sides"
    assert [s.code for s in found.walk] == ["before", "dropped", "mix", "price", "cost", "new"]
    assert percent(found)[1:-1] == ["23.64", "24.40", "23.91", "24.67"]


@pytest.mark.parametrize(
    ("before", "after"),
    [([], []), ([sale("a", 0, 10, 2)], [sale("a", 5, 11, 2)]), ([sale("a", 5, 10, 2)], [sale("a", 0, 11, 2)]),
     ([sale("a", 0, 10, 2)], [sale("a", 0, 11, 2)]), ([], [sale("a", 3, 10, 2)])],
)  # fmt: skip
def test_nothing_sold_on_a_side_still_adds_up(before: list[Sale], after: list[Sale]) -> None:
    found = bridge(before, after)
    assert sum(p.money for p in found.parts) == found.difference
    assert found.of("mix") == 0
    assert sentence(found, "EUR")


_AMOUNT = st.one_of(
    st.just(0.0), st.integers(0, 4000).map(lambda n: n / 8), st.floats(0, 5000).map(lambda x: round(x, 4))
)
_MONEY = st.floats(0, 60).map(lambda x: round(x, 6))


@st.composite
def sides(draw: st.DrawFn) -> tuple[list[Sale], list[Sale]]:
    keys = draw(st.lists(st.sampled_from("abcdefgh"), unique=True, max_size=8))
    out: tuple[list[Sale], list[Sale]] = [], []
    for key in keys:
        where = draw(st.sampled_from((0, 1, 2, 2, 2)))
        for n, side in enumerate(out):
            if where in (n, 2):
                rate = draw(st.none() | _MONEY) if n == 0 else None
                side.append(sale(key, draw(_AMOUNT), draw(_MONEY), draw(_MONEY), rate))
    return out


@settings(max_examples=50, deadline=None)
@given(sides())
def test_parts_add_up_exactly(found: tuple[list[Sale], list[Sale]]) -> None:
    before, after = found
    made = bridge(before, after)
    assert sum((p.money for p in made.parts), Fraction(0)) == made.after - made.before
    for part in made.parts:
        assert sum((p.money for i in made.items for p in i.parts if p.code == part.code), Fraction(0)) == part.money
    margin = sum(float(s.sold) * (float(s.price) - float(s.cost)) for s in after)
    assert float(made.after) == pytest.approx(margin, abs=1e-6)
    page = printed(made, "EUR")
    assert page.before + sum((money for _, money in page.parts), D(0)) == page.after
    for (_, shown), part in zip(page.parts, made.parts, strict=True):
        assert abs(float(shown) - float(part.money)) <= 0.0101
    assert sentence(made, "EUR")


@settings(max_examples=30, deadline=None)
@given(sides())
def test_the_formulas_as_they_are_printed(found: tuple[list[Sale], list[Sale]]) -> None:
    """(Q1 - Q0) m̄0, Q1 Σ (s1 - s0) m0, Σ q1 (p1 - p0), -Σ q1 (c1 - c0), over what stands on both sides, in floats."""
    a, b = ({s.key: s for s in side} for side in found)
    kept = sorted(a.keys() & b.keys())
    q0, q1 = sum(float(a[k].sold) for k in kept), sum(float(b[k].sold) for k in kept)
    if not q0 or not q1:
        return
    margin = {k: float(a[k].price) - float(a[k].cost) for k in kept}
    volume = (q1 - q0) * sum(float(a[k].sold) * margin[k] for k in kept) / q0
    mix = q1 * sum((float(b[k].sold) / q1 - float(a[k].sold) / q0) * margin[k] for k in kept)
    price = sum(float(b[k].sold) * (float(b[k].price) - float(a[k].price)) for k in kept)
    cost = -sum(float(b[k].sold) * (float(b[k].cost) - float(a[k].cost)) for k in kept)
    made = bridge(*found)
    assert float(made.of("volume")) == pytest.approx(volume, abs=1e-4)
    assert float(made.of("mix")) == pytest.approx(mix, abs=1e-4)
    assert float(made.of("price")) == pytest.approx(price, abs=1e-4)
    assert float(made.of("rate") + made.of("cost")) == pytest.approx(cost, abs=1e-4)


def test_a_bad_side_is_refused() -> None:
    with pytest.raises(ValueError, match="a stands twice on one side"):
        bridge([BEFORE[0], BEFORE[0]], [])
    with pytest.raises(ValueError, match="-1 sold cannot be"):
        bridge([sale("a", -1, 2, 1)], [])
    with pytest.raises(ValueError, match="nan is not a number"):
        bridge([sale("a", 1, float("nan"), 1)], [])


def test_a_scenario_is_bridged_and_its_rate_stands_apart() -> None:
    """The orange liqueur is bought in francs: what the rate does is its money in every drink times the rise."""
    liqueur = sample().on(DAY).goods["orange-liqueur"]
    book = sample().with_changes([put("good", replace(liqueur, preferred="dry-store"), liqueur)])
    base = as_it_stands(book, DAY, ended_periods(book, DAY))
    found = under(base, scenario(Supposed(sort="rate", target="CHF", value=D("0.1"))))
    made = bridge_of(base, found)
    price = base.reckoning.prices["orange-liqueur"]
    assert price.quote.currency == "CHF"
    inside = sum(
        item.sold * base.reckoning.contents(base.reckoning.serves[item.serve].carried).row.get("orange-liqueur", 0.0)
        for item in base.mix.items
    )
    assert inside > 0
    assert float(made.of("rate")) == pytest.approx(-0.1 * inside * price.per_base, rel=1e-9)
    assert float(made.of("cost")) == pytest.approx(0.0, abs=1e-9)
    assert float(made.difference) == pytest.approx(found.mix.margin - base.mix.margin, abs=1e-6)


def test_two_days_are_bridged_row_by_row() -> None:
    periods = ended_periods(sample(), DAY)
    one, two = (as_it_stands(sample(), day, periods) for day in (date(2026, 9, 10), DAY))
    made = bridge_of(one, two)
    assert float(made.before) == pytest.approx(one.mix.margin)
    assert float(made.after) == pytest.approx(two.mix.margin)
    names = {i.name for i in made.items if any(p.code == "dropped" for p in i.parts)}
    terrace = figures(date(2026, 9, 10)).view.menus["terrace"]
    assert len([i for i in made.items if any(p.code == "dropped" for p in i.parts)]) == sum(
        len(s.lines) for s in terrace.sections
    )
    assert names
    assert all(p.code != "new" for i in made.items for p in i.parts)


def test_a_heading_that_was_renamed_makes_no_drink_new() -> None:
    periods = ended_periods(sample(), DAY)
    menu = sample().on(DAY).menus["main"]
    first = menu.sections[0]
    moved = replace(menu, sections=(replace(first, name="Signature serves"), *menu.sections[1:]))
    book = sample().with_changes([put("menu", moved, menu)])
    made = bridge_of(as_it_stands(sample(), DAY, periods), as_it_stands(book, DAY, periods))
    assert {p.code for p in made.parts} == {"volume", "mix", "price", "cost"}
    assert made.difference == 0
    assert sentence(made, "EUR") == "margin and pour cost stayed"


def test_a_drink_without_a_whole_cost_is_never_a_saving_in_silence() -> None:
    cheap = Sale(key="a", name="Tide", sold=350, price=14.5, cost=1.0, complete=False)
    found = bridge(BEFORE, [cheap, *AFTER[1:]])
    assert found.doubtful == ("Tide",)
    assert sentence(found, "EUR").endswith("; not sure, because not all of Tide has a price")
