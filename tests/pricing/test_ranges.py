"""Ranges and draws of a whole menu: published examples, laws, and that one drink is a column of the whole."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from functools import cache
from math import exp, prod, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from costing.book.book import Book
from costing.book.change import Change
from costing.book.fact import parse_fact
from costing.book.levies import Policy, PricePoints
from costing.book.plain import kind_of
from costing.book.records import Quote, Record, Serve
from costing.ledger import Reckoning, reckon
from costing.paths import sample_book
from costing.pricing.doubts import facts_in, moved_fact, of_day, reached
from costing.pricing.draws import cost_draws, draw_costs
from costing.pricing.exposure import Exposures, Node, base_layers, exposures
from costing.pricing.menu import PricedServe, priced_serves
from costing.pricing.moved import moved
from costing.pricing.ranges import (
    Range,
    allowed,
    chance_missed,
    crosses_point,
    crosses_target,
    ranges,
    share_missed,
    together,
)
from costing.pricing.sources import Source
from costing.store import read_json
from tests.benchmarks.data import written
from tests.benchmarks.draws import agreement, web
from tests.pricing.coverage import cases
from tests.pricing.delta import by_delta, by_draws, chain
from tests.pricing.one_drink import spread
from tests.pricing.test_spread import MATERIALS, kitchen, looked_at

DAY = date(2026, 11, 28)
PUBLISHED = (0.03 / 0.90, 0.06 / 0.80, 0.04 / 0.85)
NAIVE = 40.0 * 0.05 / (0.90 * 0.80 * 0.85)


@cache
def sample() -> Reckoning:
    """The sample on a day."""
    return reckon(read_json(sample_book()).on(DAY))


@cache
def sample_web() -> Exposures:
    """Its web."""
    return exposures(sample())


def batch(name: str, sd: float, **more: float) -> Source:
    """A preparation's batches that scatter so."""
    return Source(key=("preparation", name), basis="batches", sd=sd, n=9, **more)  # type: ignore[arg-type]


def test_the_published_chain_of_three_steps() -> None:
    # worked example (delta method, first order): naive 3.2680, mean 3.2972, sd .3092; lognormal range 2.80 to 3.82;
    # 20,000 draws: mean 3.300, sd .314, 2.81 to 3.84, which know their mean to .002 and their ends to about .02
    delta, drawn = by_delta(NAIVE, PUBLISHED), by_draws(NAIVE, PUBLISHED)
    assert round(NAIVE, 4) == 3.2680
    assert (round(delta.mean, 4), round(delta.sd, 4)) == (3.2972, 0.3092)
    assert (round(delta.low, 2), round(delta.high, 2)) == (2.80, 3.82)
    found = ranges(chain(NAIVE, PUBLISHED)).serves["drink"]
    assert found is not None
    # sources that are known by nine tests and not widened: the range is the formula's
    assert (found.low, found.high) == pytest.approx((delta.low, delta.high))
    assert found.method == "first order"
    assert drawn.mean == pytest.approx(3.300, abs=0.005)
    assert drawn.sd == pytest.approx(0.314, rel=0.02)
    assert drawn.low == pytest.approx(2.81, abs=0.02)
    assert drawn.high == pytest.approx(3.84, abs=0.03)


@pytest.mark.parametrize("cv", [0.05, 0.10, 0.15])
def test_first_order_lies_within_five_percent_of_draws(cv: float) -> None:
    # the moments of 1/Y for a lognormal Y of mean 1: mean 1 + cv^2, sd cv (1 + cv^2)
    drawn = by_draws(10.0, (cv,))
    assert drawn.mean == pytest.approx(10.0 * (1.0 + cv * cv), rel=1e-4)
    assert drawn.sd == pytest.approx(10.0 * cv * (1.0 + cv * cv), rel=0.01)
    assert by_delta(10.0, (cv,)).off(drawn) < 0.05


def test_nine_of_ten_are_held() -> None:
    # python -m tests.pricing.coverage counts 1,000 houses; 60 know their share to 4 in 100
    held = sum(case.held for case in cases(60)) / 60
    assert 0.78 <= held <= 0.99


def test_both_ways_of_drawing_agree() -> None:
    assert agreement(web(written("bar"))) < 1e-12


def test_one_drink_is_a_column_of_the_whole() -> None:
    found, layers = ranges(sample_web()), base_layers(sample())
    assert found.serves.keys() == sample().serves.keys()
    for serve in ("harbour-light", "chart-room", "quay-walnut", "table-water"):
        assert spread(sample(), serve, layers) == found.serves[serve]
    known = [r for r in (*found.serves.values(), *found.made.values()) if r is not None]
    assert len(known) > 30
    assert all(r.low <= r.cost <= r.high for r in known)
    assert {r.basis for r in known} == {"batches", "prices", "assumed"}


def test_drawn_costs_of_the_sample_lie_as_its_ranges_do() -> None:
    serves = ["harbour-light", "chart-room", "pier-cooler", "harbour-light"]
    drawn, found = cost_draws(sample(), serves), ranges(sample_web()).serves
    assert drawn.shape == (10_000, 4)
    assert (drawn[:, 0] == drawn[:, 3]).all()
    for column, serve in enumerate(serves):
        low, high = np.quantile(drawn[:, column], (0.05, 0.95))
        one = found[serve]
        assert one is not None
        # where several sources are known by few, a range is narrower than what is drawn of each
        assert low == pytest.approx(one.low, rel=0.02)
        assert high == pytest.approx(one.high, rel=0.02)
    assert (cost_draws(sample(), serves[:2], n=200) == cost_draws(sample(), serves[:2], n=200)).all()
    assert (cost_draws(sample(), serves, n=200)[:, 1] == cost_draws(sample(), ["chart-room"], n=200)[:, 0]).all()
    assert (cost_draws(sample(), serves, n=200, seed=1) != cost_draws(sample(), serves, n=200, seed=2)).any()
    with pytest.raises(KeyError):
        cost_draws(sample(), ["nothing"])
    with pytest.raises(ValueError, match="at least 1 draw"):
        cost_draws(sample(), serves, n=0)


def test_drinks_of_one_batch_move_together_and_others_do_not() -> None:
    nodes = {
        "a": Node(cost=4.0),
        "juice": Node(cost=8.0, row={"a": 2.0}, own={0: 0.1}),
        "syrup": Node(cost=4.0, row={"a": 1.0}, own={1: 0.1}),
    }
    serves = {
        "one": Node(cost=1.2, row={"juice": 0.1, "a": 0.1}),
        "two": Node(cost=0.8, row={"juice": 0.1}),
        "other": Node(cost=0.4, row={"syrup": 0.1}),
    }
    found = Exposures(sources=(batch("juice", 0.1), batch("syrup", 0.1)), nodes=nodes, serves=serves)
    one, two, other = draw_costs(found).T
    assert np.asarray(np.corrcoef(one, two))[0, 1] == pytest.approx(1.0)
    assert abs(np.asarray(np.corrcoef(one, other))[0, 1]) < 0.05


def test_a_preparation_under_another_multiplies_its_factor() -> None:
    nodes = {
        "a": Node(cost=10.0),
        "under": Node(cost=20.0, row={"a": 2.0}, own={0: 0.3}),
        "over": Node(cost=50.0, row={"under": 2.0, "a": 1.0}, own={1: 0.4}),
    }
    found = Exposures(sources=(batch("under", 0.3), batch("over", 0.4)), nodes=nodes, serves={})
    under, over, factor = draw_costs(found, made=["under", "over", "a"]).T
    assert (factor == 10.0).all()
    assert over.min() > 0.0
    # by hand: median exp(s Z) factors; the variance of the logarithm of over / (2 under + a) is its own alone
    assert np.log(over / (2.0 * under + 10.0)).std() == pytest.approx(0.4, rel=1e-3)
    assert np.log(under / 20.0).std() == pytest.approx(0.3, rel=1e-3)


def test_what_drinks_take_of_a_price_adds_up_to_what_is_bought() -> None:
    # conservation: where prices alone vary, a draw of all drinks is what their contents cost at the draw's prices
    found = sample_web()
    prices = [k for k, source in enumerate(found.sources) if source.basis == "prices"]
    assert len(prices) > 10
    bare = {name: replace(node, own={k: sd for k, sd in node.own.items() if k in prices})
            for name, node in found.nodes.items()}  # fmt: skip
    serves = {name: replace(node, own={}) for name, node in found.serves.items()}
    only = Exposures(sources=found.sources, nodes=bare, serves=serves)
    goods = [name for name, node in found.nodes.items() if not node.row]
    bought = dict(zip(goods, draw_costs(only, [], made=goods, n=50).T, strict=True))
    drawn = draw_costs(only, n=50)
    total = np.zeros(50)
    for serve in serves:
        for good, amount in sample().contents(sample().serves[serve].carried).row.items():
            total += amount * bought[good]
    assert drawn.sum(axis=1) == pytest.approx(total, rel=1e-12)


def test_moves_are_the_slopes_of_the_web() -> None:
    # first order by the web against a difference quotient of the web itself, batches a little off
    found = sample_web()
    k = next(k for k, s in enumerate(found.sources) if s.key == ("preparation", "pineapple-distillate"))
    middles = [s.middle for s in found.sources]
    step = 1e-5
    up = found.at([m + step * (n == k) for n, m in enumerate(middles)])
    for serve in ("harbour-light", "quay-walnut", "second-tide"):
        slope = (up["serve", serve] - found.middles["serve", serve]) / step
        assert found.moves["serve", serve][k] == pytest.approx(slope * found.sources[k].sd, rel=1e-4)


def test_what_a_moved_figure_costs_is_what_the_whole_ledger_says() -> None:
    whole = sample()
    view, layers = whole.view, base_layers(whole)
    small = of_day(view, reached(view, view.serves, view.preparations))
    tried: dict[str, int] = {}
    for key, record in small.records.items():
        if key[0] not in ("good", "quote", "preparation", "serve", "equipment", "house"):
            continue
        for path, fact in list(facts_in(record))[::7]:
            if tried.get(key[0], 0) >= 6 or not fact.value:
                continue
            tried[key[0]] = tried.get(key[0], 0) + 1
            after = moved_fact(record, path, fact.value * Decimal("0.97"))
            found = moved(whole, small, after, layers)
            known = reckon(small.with_changes([Change(*key, record, after)]).on(view.day))
            for serve, cost in found.serves.items():
                assert cost == pytest.approx(known.serve_cost(serve).of(layers), rel=1e-12)
            for serve in view.serves.keys() - found.serves.keys():
                assert known.serve_cost(serve).of(layers) == pytest.approx(whole.serve_cost(serve).of(layers), rel=1e-9)
            for name in whole.direct:
                if name in found.made:
                    assert found.made[name] == pytest.approx(known.costs[name].of(layers), rel=1e-12)
    assert {"good", "quote", "preparation", "serve", "equipment"} <= tried.keys()


def changed(book: Book, record: Record) -> Book:
    """The book with a record in the place of the one of its id."""
    key = kind_of(record), record.id
    return book.with_changes([Change(*key, book.records[key], record)])


def test_an_assumed_pack_or_measure_moves_every_drink_that_takes_it() -> None:
    book = kitchen(trim="10 %", bottle="80 %", last="85 %")
    guessed = replace(book.all(Quote)["q"], content=parse_fact("~1 kg"))
    found = spread(looked_at(changed(book, guessed)), "drink", MATERIALS)
    assert found is not None
    (cause,) = found.causes
    assert (cause.key, cause.figure) == (("quote", "q"), "content")
    assert cause.money == pytest.approx(0.1 * found.cost)  # money over what the pack holds
    house, drink = book.house, book.all(Serve)["drink"]
    assert house is not None
    build = drink.versions[0].build
    ladled = replace(build, adds=(replace(build.adds[0], amount=parse_fact("1 ladle")),))
    book = changed(book, replace(house, measures=(("ladle", parse_fact("~50 g")),)))
    book = changed(book, replace(drink, versions=(replace(drink.versions[0], build=ladled),)))
    found = spread(looked_at(book), "drink", MATERIALS)
    assert found is not None
    assert [c.key for c in found.causes] == [("house", "house")]
    assert found.causes[0].money == pytest.approx(0.1 * found.cost)


def test_a_chance_is_the_lognormal_tail_and_the_share_of_draws() -> None:
    web_ = chain(3.0, (0.1,))
    found = ranges(web_).serves["drink"]
    assert found is not None
    assert chance_missed(found, found.cost) == pytest.approx(0.5)
    assert chance_missed(found, found.high) == pytest.approx(0.05, abs=1e-4)
    assert chance_missed(found, 0.0) == 1.0
    assert allowed(15.0, Policy("pour_cost", Decimal("0.2"))) == pytest.approx(3.0)
    assert allowed(15.0, Policy("margin", Decimal(12))) == allowed(15.0, Policy("multiplier", Decimal(5))) == 3.0
    assert chance_missed(None, 3.0) is None
    assert chance_missed(replace(found, causes=(replace(found.causes[0], basis="batches", n=2),)), 3.0) is None
    drawn = draw_costs(web_)
    assert share_missed(drawn, [found.high])[0] == pytest.approx(0.05, abs=0.01)
    with pytest.raises(ValueError, match="not one for each"):
        share_missed(drawn, [1.0, 2.0])


def test_a_range_crosses_a_target_and_a_price_point() -> None:
    priced = next(p for p in priced_serves(sample()) if p.price is not None and p.serve.id == "harbour-light")
    found = ranges(sample_web()).serves["harbour-light"]
    assert found is not None
    assert priced.price is not None
    aim = float(priced.policy.value)

    def at(net: float) -> PricedServe:
        return replace(priced, price=replace(priced.price, net=Decimal(repr(net))))  # type: ignore[type-var]

    assert crosses_target(at((found.cost + found.high) / 2.0 / aim), found)
    assert not crosses_target(at(found.high * 1.01 / aim), found)
    assert not crosses_target(at(found.low * 0.99 / aim), found)
    assert not crosses_target(priced, None)
    fine, coarse = PricePoints(step=Decimal("0.01")), PricePoints(step=Decimal("100"))
    assert crosses_point(priced, found, (), fine)
    assert not crosses_point(priced, found, (), coarse)
    assert not crosses_point(priced, None, (), fine)


def test_a_range_stands_about_what_batches_cost_and_holds_what_is_printed() -> None:
    source = batch("juice", 0.02, middle=0.2)
    nodes = {"a": Node(cost=1.0), "juice": Node(cost=2.0, row={"a": 2.0}, own={0: 0.02})}
    serves = {"drink": Node(cost=1.0, row={"juice": 0.5})}
    found = Exposures(sources=(source,), nodes=nodes, serves=serves)
    one = ranges(found).serves["drink"]
    assert one is not None
    assert one.middle == pytest.approx(exp(0.2))
    assert one.low == one.cost
    assert one.high == pytest.approx(exp(0.2 + 1.6449 * 0.02), rel=1e-4)


def test_a_cost_that_rebates_may_leave_below_nothing_has_no_range() -> None:
    nodes = {"a": Node(cost=1.0, own={0: 0.5}), "back": Node(cost=-0.9)}
    found = Exposures(sources=(Source(key=("good", "a"), basis="prices", sd=0.5, n=9),), nodes=nodes,
                      serves={"drink": Node(cost=0.1, row={"a": 1.0, "back": 1.0})})  # fmt: skip
    assert ranges(found).serves["drink"] is None


def webs(most: float) -> st.SearchStrategy[Exposures]:
    """Drinks of some preparations in a row and a sure good, each preparation a batch that scatters."""

    def woven(sds: list[tuple[float, int]], beside: float) -> Exposures:
        sources = tuple(replace(batch(f"m{n}", sd), freedom=freedom) for n, (sd, freedom) in enumerate(sds))
        nodes = {"good": Node(cost=3.0), "sure": Node(cost=1.0)}
        for n, (sd, _) in enumerate(sds):
            nodes[f"m{n}"] = Node(cost=3.0, row={f"m{n - 1}" if n else "good": 1.0}, own={n: sd})
        drink = Node(cost=3.0 + beside, row={f"m{len(sds) - 1}": 1.0, "sure": beside})
        return Exposures(sources=sources, nodes=nodes, serves={"drink": drink})

    sds = st.tuples(st.floats(0.001, most), st.sampled_from([0, 2, 3, 11]))
    return st.builds(woven, st.lists(sds, min_size=1, max_size=4), st.floats(0.0, 5.0))


def doubled(found: Exposures, k: int) -> Exposures:
    """The web with one source twice as far off."""
    sources = [replace(s, sd=2.0 * s.sd) if n == k else s for n, s in enumerate(found.sources)]
    nodes = {name: replace(node, own={n: sd * (2.0 if n == k else 1.0) for n, sd in node.own.items()})
             for name, node in found.nodes.items()}  # fmt: skip
    return Exposures(sources=tuple(sources), nodes=nodes, serves=found.serves)


@settings(max_examples=40, deadline=None)
@given(webs(0.09), st.integers(0, 3))
def test_a_greater_doubt_never_narrows_a_range(found: Exposures, which: int) -> None:
    before = ranges(found).serves["drink"]
    after = ranges(doubled(found, which % len(found.sources))).serves["drink"]
    assert before is not None
    assert after is not None
    assert before.low <= before.cost <= before.high
    # from one method to the other the ends may shift: draws know that a sure part of a cost stays, and have an error
    assert after.high - after.low >= (1.0 if after.method == "first order" else 0.97) * (before.high - before.low)
    if after.method == "first order":
        assert after.low <= before.low
        assert after.high >= before.high


@settings(max_examples=20, deadline=None)
@given(webs(0.6))
def test_every_range_holds_its_cost_and_lies_above_nothing(found: Exposures) -> None:
    one = ranges(found, n=500).serves["drink"]
    assert one is not None
    assert 0.0 < one.low <= one.cost <= one.high
    assert one.method == ("simulation" if wide(found, one) else "first order")
    assert ranges(found, n=500).serves["drink"] == one


def wide(found: Exposures, one: Range) -> bool:
    """Whether first order says that a drink varies by more than a fifth."""
    moves = found.moves["serve", "drink"]
    return together((money / one.cost, found.sources[k].widening) for k, money in moves.items()) > 0.2


@given(st.lists(st.tuples(st.floats(0.0, 1.0), st.sampled_from([1.0, 1.3, 1.8])), max_size=5), st.floats(1.0, 3.0))
@settings(max_examples=50)
def test_moves_together_lie_between_squares_and_grow(moves: list[tuple[float, float]], times: float) -> None:
    whole = together(moves)
    assert whole <= sqrt(sum(sd * sd for sd, _ in moves)) + 1e-12
    assert whole >= sqrt(sum((sd / w) ** 2 for sd, w in moves)) - 1e-12
    for n, (sd, widening) in enumerate(moves):
        assert together([*moves[:n], (times * sd, widening), *moves[n + 1 :]]) >= whole - 1e-12
    assert prod(w for _, w in moves) >= 1.0
