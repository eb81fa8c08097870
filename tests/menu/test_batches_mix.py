"""Whole batches: brute force on small cases, the linear bound, inputs of batches, shelf life."""

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from costing.menu.batches_mix import Batch, best_batches, in_turn, part_batches, whole_batches
from costing.menu.capacity_rank import Product, Resource, filled
from tests.menu.decisions import near

Case = tuple[list[Product], list[Batch], list[Resource]]


@st.composite
def cases(draw: st.DrawFn) -> Case:
    """One to three drinks, each of a preparation of its own; the still is short, and setting up counts."""
    n = draw(st.integers(1, 3))
    batches = [
        Batch(name=f"b{k}", makes={f"b{k}": draw(st.integers(2, 9))}, hours={"still": draw(st.integers(0, 4))},
              spoils=draw(st.sampled_from([0.0, 1.5])))
        for k in range(n)
    ]  # fmt: skip
    products = [
        Product(name=f"p{k}", margin=draw(st.integers(1, 9)), demand=draw(st.integers(0, 16)),
                takes={f"b{k}": draw(st.sampled_from([0.5, 1.0]))}, hours={"still": draw(st.sampled_from([0, 0.25]))})
        for k in range(n)
    ]  # fmt: skip
    return products, batches, [Resource(name="still", hours=draw(st.integers(0, 9)))]


def brute(products: list[Product], batches: list[Batch], resources: list[Resource]) -> float:
    """The best over every number of batches; for each the drinks are filled by margin an hour, each from its own."""
    still = resources[0].hours
    best = 0.0
    for runs in itertools.product(range(9), repeat=len(batches)):
        left = still - sum(n * b.hours["still"] for n, b in zip(runs, batches, strict=True))
        if left < 0:
            continue
        capped = [
            Product(name=p.name, margin=p.margin, hours=p.hours,
                    demand=min(p.demand, n * b.makes[b.name] / p.takes[b.name]))
            for p, n, b in zip(products, runs, batches, strict=True)
        ]  # fmt: skip
        order = sorted(capped, key=lambda p: -p.margin / p.hours["still"] if p.hours["still"] else -1e9)
        made = filled(capped, [Resource(name="still", hours=left)], order)
        spoilt = sum(n * b.spoils for n, b in zip(runs, batches, strict=True))
        best = max(best, sum(m.margin for m in made) - spoilt)
    return best


@settings(max_examples=25, deadline=None)
@given(cases())
def test_whole_batches_are_the_best_of_all_and_no_better_than_part_ones(case: Case) -> None:
    whole_is_best(case)


def whole_is_best(case: Case) -> None:
    """As good as the best of all numbers of batches, and no better than part batches."""
    found = best_batches(*case)
    assert found.proven
    assert found.margin == near(brute(*case), abs=1e-6)
    assert found.margin <= found.bound + 1e-6
    assert found.used["still"] <= case[2][0].hours + 1e-6
    for run in found.runs:
        assert min(run.left.values()) >= -1e-9


def test_invented_still_day_in_whole_runs() -> None:
    """Ten hours, runs of 3 h that give 20 drinks at 9.00 and of 2 h that give 8 at 8.00, 40 and 40 asked for: in part
    runs 6 h of the first and 4 h of the second earn 360 + 128. Both fit whole: 2 and 2. With nine hours part runs earn
    360 + 96 and whole ones 360 + 64, an hour is left over."""
    products = [Product(name="x", margin=9, demand=40, takes={"s": 1}),
                Product(name="y", margin=8, demand=40, takes={"t": 1})]  # fmt: skip
    batches = [
        Batch(name="s", makes={"s": 20}, hours={"still": 3}),
        Batch(name="t", makes={"t": 8}, hours={"still": 2}),
    ]
    ten = best_batches(products, batches, [Resource(name="still", hours=10)])
    assert (ten.margin, ten.bound, [r.count for r in ten.runs]) == (near(488), near(488), [2, 2])
    nine = best_batches(products, batches, [Resource(name="still", hours=9)])
    assert (nine.margin, nine.bound, [r.count for r in nine.runs]) == (near(424), near(456), [2, 1])
    assert nine.gives_away == near(32)
    assert nine.used["still"] == near(8)


def test_batches_that_take_batches_and_by_products() -> None:
    """Three of the cordial need 6 of the juice, and its hulls come with it: needs of both are met by one number."""
    juice = Batch(name="juice", makes={"juice": 4, "juice/hulls": 1})
    cordial = Batch(name="cordial", makes={"cordial": 2}, takes={"juice": 2, "juice/hulls": 0.1})
    assert [b.key for b in in_turn([juice, cordial])] == ["cordial", "juice"]
    assert whole_batches([juice, cordial], {"cordial": 5}) == {"cordial": 3, "juice": 2}
    assert part_batches([juice, cordial], {"cordial": 5}) == {"cordial": 2.5, "juice": 1.25}
    assert whole_batches([juice, cordial], {"cordial": 5, "juice/hulls": 2.5}) == {"cordial": 3, "juice": 3}
    found = best_batches([Product(name="p", margin=3, demand=5, takes={"cordial": 1})], [juice, cordial], [])
    assert [(r.count, r.left) for r in found.runs] == [(2, {"juice": 2, "juice/hulls": near(1.7)}),
                                                      (3, {"cordial": 1})]  # fmt: skip


def test_what_cannot_be_is_named() -> None:
    p = Product(name="p", margin=3, demand=5, least=5, takes={"c": 1})
    with pytest.raises(ValueError, match="p takes c, which no batch makes"):
        best_batches([p], [], [])
    with pytest.raises(ValueError, match="whole batches in the hours there are"):
        best_batches([p], [Batch(name="c", makes={"c": 2}, hours={"still": 2})], [Resource(name="still", hours=5)])
    with pytest.raises(ValueError, match="in a ring"):
        in_turn([Batch(name="c", makes={"c": 1}, takes={"d": 1}), Batch(name="d", makes={"d": 1}, takes={"c": 1})])
    with pytest.raises(ValueError, match="a batch of c makes none"):
        in_turn([Batch(name="c", makes={"c": 0})])
