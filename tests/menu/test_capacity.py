"""The best mix for scarce hours, against published figures, plain filling, and the laws of linear programs."""

import math
from collections.abc import Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from costing.menu.capacity import BestMix, best_mix
from costing.menu.capacity_rank import Product, Resource, by_margin_each, greedy, hours_in, margin_of, ranked
from costing.menu.capacity_rows import capacity_of, in_batches
from tests.menu.decisions import decided, near

FURNITURE = tuple(
    Product(name=n, margin=m, hours={"hours": h}, demand=d)
    for n, m, h, d in (("desk", 185, 1, 60_000), ("chair", 55, 0.5, 48_000), ("bookcase", 48, 0.25, 40_000))
)
"""OpenStax, Principles of Accounting, vol. 2, constraints: three products and 80,000 hours."""
DRINKS = tuple(
    Product(name=n, margin=m, hours={"still": minutes / 60}, demand=d)
    for n, m, minutes, d in (("A", 14, 3, 500), ("B", 11, 0.5, 400), ("C", 9.5, 0, 600), ("D", 15, 6, 300))
)
"""An invented house with 40 hours of a still, worked out by hand."""
STILL = Resource(name="still", hours=40)


Program = tuple[list[Product], list[Resource]]


def amounts(mix: BestMix) -> dict[str, float]:
    return {m.product.name: m.amount for m in mix.made}


def test_published_desks_chairs_and_bookcases() -> None:
    """40,000 bookcases, 60,000 desks, 20,000 chairs; per hour 185, 110 and 192; one more hour is worth 110."""
    found = best_mix(FURNITURE, [Resource(name="hours", hours=80_000)])
    assert amounts(found) == {"desk": 60_000, "chair": near(20_000, abs=1e-6), "bookcase": 40_000}
    assert [(r.product.name, r.per_hour) for r in ranked(FURNITURE, "hours")] == [
        ("bookcase", 192), ("desk", 185), ("chair", 110),
    ]  # fmt: skip
    (use,) = found.uses
    assert use.worth == near(110)
    assert [m.product.name for m in found.short] == ["chair"]
    assert use.up_to == near(94_000), "28,000 chairs more at half an hour"
    assert use.down_to == near(70_000), "20,000 chairs fewer"
    assert (use.wanted, use.slack) == (94_000, near(0))


def test_invented_house_with_a_still_for_forty_hours() -> None:
    found = best_mix(DRINKS, [STILL])
    assert {n: round(a, 1) for n, a in amounts(found).items()} == {"A": 500, "B": 400, "C": 600, "D": 116.7}
    assert found.margin == near(18_850)
    assert found.margin_each == near(13_000), "filled by margin a drink"
    assert found.uses[0].worth == near(150)
    assert [r.per_hour for r in ranked(DRINKS, "still")] == [math.inf, near(1320), near(280), 150]
    assert found.worth == {"still": near(150)}


def test_at_a_corner_one_more_and_one_less_are_not_the_same() -> None:
    """Hours for all of A and B and for none of D: one more makes D (150 an hour), one less costs A (280)."""
    use = best_mix(DRINKS, [Resource(name="still", hours=25 + 400 * 0.5 / 60)]).uses[0]
    assert (use.worth, use.costs) == (near(150), near(280))


def test_what_is_promised_comes_first_and_more_than_can_be_is_refused() -> None:
    kept = (*DRINKS[:3], Product(name="D", margin=15, hours={"still": 0.1}, demand=300, least=300))
    found = best_mix(kept, [STILL])
    assert amounts(found)["D"] == 300
    assert best_mix(kept, [Resource(name="still", hours=30)]).uses[0].costs is None, "none can be spared"
    with pytest.raises(ValueError, match=r"still: what is promised takes 30 hours and 29 are there"):
        best_mix(kept, [Resource(name="still", hours=29)])


@pytest.mark.parametrize(
    ("product", "why"),
    [
        (Product(name="x", margin=1, demand=-1), "x: amounts and hours must be numbers from 0 on"),
        (Product(name="x", margin=math.nan, demand=1), "must be numbers"),
        (Product(name="x", margin=1, demand=math.inf), "must be numbers"),
        (Product(name="x", margin=1, demand=1, hours={"still": -1}), "must be numbers"),
        (Product(name="x", margin=1, demand=1, least=2), "2 are promised and only 1 asked for"),
        (Product(name="A", margin=1, demand=1), "two are called A"),
    ],
)
def test_figures_that_cannot_be_are_named(product: Product, why: str) -> None:
    with pytest.raises(ValueError, match=why):
        best_mix((*DRINKS, product), [STILL])


def test_a_product_that_earns_nothing_is_not_made_and_nothing_at_all_is_a_mix() -> None:
    found = best_mix((Product(name="x", margin=-1, demand=9),), [])
    assert (amounts(found), found.margin) == ({"x": 0}, 0)
    assert best_mix((), [STILL]).uses[0].slack == 40
    with pytest.raises(ValueError, match="hours must be a number"):
        best_mix(DRINKS, [Resource(name="still", hours=-1)])


@st.composite
def programs(draw: st.DrawFn, most: int = 3) -> Program:
    resources = [Resource(name=f"r{k}", hours=draw(st.integers(0, 60))) for k in range(draw(st.integers(1, most)))]
    products = [
        Product(name=f"p{n}", margin=draw(st.integers(-2, 30)), demand=draw(st.integers(0, 12)),
                hours={r.key: draw(st.integers(0, 5)) for r in resources})
        for n in range(draw(st.integers(1, 5)))
    ]  # fmt: skip
    return products, resources


@settings(max_examples=40, deadline=None)
@given(programs(most=1))
def test_with_one_resource_filling_by_margin_an_hour_is_the_best(case: Program) -> None:
    greedy_is_best(case)


@settings(max_examples=40, deadline=None)
@given(programs())
def test_duality_and_what_an_hour_more_or_less_really_does(case: Program) -> None:
    hours_are_worth_what_they_say(case)


def greedy_is_best(case: Program) -> None:
    """The linear program and filling by margin an hour earn the same."""
    products, resources = case
    assert best_mix(products, resources).margin == near(margin_of(greedy(products, resources[0])), abs=1e-6)


def bound(products: Sequence[Product], resources: Sequence[Resource], prices: dict[str, float]) -> float:
    """The value of the dual at these prices of hours: an upper bound of every mix (weak duality)."""
    gains = (p.margin - sum(prices[r.key] * p.hours[r.key] for r in resources) for p in products)
    return sum(prices[r.key] * r.hours for r in resources) + sum(
        max(0.0, gain) * p.demand for gain, p in zip(gains, products, strict=True)
    )


def hours_are_worth_what_they_say(case: Program) -> None:
    """Bounds, complementary slackness, strong duality, and the margin at the ends of each range."""
    products, resources = case
    found = best_mix(products, resources)
    assert found.margin >= found.margin_each - 1e-6
    for m in found.made:
        assert -1e-9 <= m.amount <= m.product.demand + 1e-9
    for use in found.uses:
        assert use.used <= use.resource.hours + 1e-6
        assert use.worth <= (math.inf if use.costs is None else use.costs) + 1e-9
        assert not use.worth or use.slack <= 1e-6, "what is left over is worth nothing more"
    dual = bound(products, resources, found.worth)
    if all(u.costs == near(u.worth) for u in found.uses):  # then the prices of hours are the only ones
        assert dual == near(found.margin, abs=1e-6)
    for k, use in enumerate(found.uses):
        for value, end in ((use.worth, use.up_to), (use.costs, use.down_to)):
            by = (min(end, use.resource.hours + 5) if end > use.resource.hours else end) - use.resource.hours
            if value is None:
                continue
            moved = [Resource(name=r.name, hours=r.hours + (by if i == k else 0)) for i, r in enumerate(resources)]
            assert best_mix(products, moved).margin == near(found.margin + value * by, abs=1e-5)


def test_the_book_gives_the_products_and_the_hours() -> None:
    """A takes 2 h of the still a litre, 50 ml of it: 6 minutes; 400 in four weeks are 40 h, and 200 of B take 0.8."""
    reckoning, mix = decided(still="8", people="4")
    found = capacity_of(mix, reckoning)
    a, b, c = found.products
    assert (a.margin, a.demand) == (near(11.0), 400)
    assert a.hours["still-hour"] == near(0.1)
    assert a.hours["prep hours"] == near(0.5 * 0.05)
    assert c.hours == {"prep hours": 0.0}
    assert {r.name: r.hours for r in found.resources} == {"Still": 32, "people preparing": 16}
    best = best_mix(found.products, found.resources)
    still = best.uses[0]
    assert still.wanted == near(40 + 200 * b.hours["still-hour"])
    assert still.worth == near(110), "one A in six minutes"
    assert hours_in(best.made, "still-hour") == near(32)


def test_hours_that_nobody_said_bind_nothing_and_are_named() -> None:
    reckoning, mix = decided()
    found = capacity_of(mix, reckoning)
    assert found.resources == ()
    assert [(u.name, u.machines) for u in found.unsaid] == [("Still", ("still",)), ("people preparing", ())]
    assert not best_mix(found.products, found.resources).short
    tried = capacity_of(mix, reckoning, hours={"still": 5}, weeks=2, more=0.5, least={"main/All/a": 10})
    assert tried.resources[0].hours == 10
    assert (tried.products[0].demand, tried.products[0].least) == (near(300), 10)
    with pytest.raises(ValueError, match="no equipment press"):
        capacity_of(mix, reckoning, hours={"press": 5})
    with pytest.raises(ValueError, match="no sales stand behind this"):
        capacity_of(decided(None)[1], reckoning)
    with pytest.raises(ValueError, match="0 weeks"):
        capacity_of(mix, reckoning, weeks=0)


def test_batches_of_the_book_keep_as_long_as_they_keep() -> None:
    """20.4 l of RUN in 28 days: a litre lasts 1.4 days and keeps 7, so it is used up. A tenth of that would not be."""
    reckoning, mix = decided(still="8")
    products, batches = in_batches(capacity_of(mix, reckoning), reckoning)
    run = next(b for b in batches if b.key == "run")
    assert run.makes == {"run": near(1)}
    assert run.hours == {"prep hours": near(0.5), "still-hour": near(2)}
    assert run.spoils == 0
    assert products[0].takes == {"run": near(0.05)}
    cordial = next(b for b in batches if b.key == "cordial")
    assert (cordial.takes, cordial.hours) == ({"run": near(0.1)}, {"prep hours": near(0.5)})
    slow = capacity_of(mix, reckoning, more=-0.9)
    run = next(b for b in in_batches(slow, reckoning)[1] if b.key == "run")
    a_day = (40 * 0.05 + 20 * 0.04 / cordial.makes["cordial"] * 0.1) / 28
    assert run.makes["run"] == near(7 * a_day)
    assert run.spoils == near((1 - 7 * a_day) * 20)


def test_margin_each_stops_at_each_resource() -> None:
    two = [Resource(name="x", hours=4), Resource(name="y", hours=1)]
    made = by_margin_each([Product(name="p", margin=5, demand=9, hours={"x": 1, "y": 0.5}),
                           Product(name="q", margin=4, demand=9, hours={"x": 1})], two)  # fmt: skip
    assert [m.amount for m in made] == [2, 2]
