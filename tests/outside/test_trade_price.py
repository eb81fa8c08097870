"""Prices, taxes, price points and targets against worked examples of the trade.

Each case names its source in its id: "textbook ..." for a published problem, "practice" for common practice without
a source, "invented" for one made up for the purpose and computed by hand.
"""

import math
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.book.money import exact
from costing.pricing import (
    Levy,
    Policy,
    PricePoints,
    all_in,
    break_even_volume,
    margin,
    net_of,
    next_point,
    point_below,
    pour_cost,
    split,
    suggest,
)
from tests.ledger.strategies import laws

D = Decimal
SERVICE = Levy("Service", D("0.10"))
TAX = Levy("Tax", D("0.09"))
TAX_ON_ALL = Levy("Tax", D("0.09"), on="running")
HALVES = PricePoints(D("0.50"))
PLAIN = PricePoints(D("0.01"))


def target(kind: str, value: str) -> Policy:
    """A policy."""
    return Policy(kind, D(value))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("net", "levies", "expected"),
    [
        pytest.param("100", [SERVICE, TAX_ON_ALL], "119.90", id="invented, computed: tax on net and service"),
        pytest.param("100", [SERVICE, TAX], "119.00", id="invented, computed: both on net"),
        pytest.param(
            "100",
            [TAX, Levy("Service", D("0.10"), on="running")],
            "119.90",
            id="invented, computed: service on net and tax",
        ),
        pytest.param("80", [SERVICE, Levy("GST", D("0.07"), on="running")], "94.16", id="textbook S24: meal of 80"),
        pytest.param(
            "1",
            [SERVICE, Levy("b", D("0.07")), Levy("c", D("0.05"), on="running")],
            "1.2285",
            id="invented, computed: two on net, a third on all",
        ),
        pytest.param(
            "1",
            [SERVICE, Levy("b", D("0.07"), on="running"), Levy("c", D("0.05"), on="running")],
            "1.23585",
            id="invented, computed: each on all before it",
        ),
        pytest.param(
            "1",
            [SERVICE, Levy("b", D("0.07"), on="running"), Levy("c", D("0.01"), on="running")],
            "1.188770",
            id="invented after S24: the older third levy of 1 %",
        ),
        pytest.param("13.3450", [], "13.3450", id="practice: no levy, no difference"),
    ],
)
def test_levies_stack_in_their_order(net: str, levies: Sequence[Levy], expected: str) -> None:
    assert all_in(D(net), levies) == D(expected)
    assert net_of(D(expected), levies) == D(net)


def test_textbook_s24_seventeen_per_cent_is_the_wrong_answer() -> None:
    assert all_in(D(80), [SERVICE, Levy("GST", D("0.07"))]) == D("93.60")


@pytest.mark.parametrize(
    ("price", "levies", "net"),
    [
        pytest.param("24.00", [SERVICE, TAX_ON_ALL], 20.0167, id="invented, computed: 24 at 1.199"),
        pytest.param("24.00", [SERVICE, TAX], 20.1681, id="invented, computed: 24 at 1.19"),
        pytest.param("16.00", [SERVICE, TAX_ON_ALL], 13.3445, id="invented, computed: 16 at 1.199 is a net of 13.34"),
    ],
)
def test_the_net_of_a_printed_price(price: str, levies: Sequence[Levy], net: float) -> None:
    assert float(net_of(D(price), levies)) == pytest.approx(net, abs=5e-5)


@pytest.mark.parametrize(
    ("levies", "parts"),
    [
        pytest.param(
            [SERVICE, TAX_ON_ALL], {"Service": "10.00", "Tax": "9.90"}, id="invented, computed: tax on service"
        ),
        pytest.param([SERVICE, TAX], {"Service": "10.00", "Tax": "9.00"}, id="invented, computed: both on net"),
        pytest.param(
            [TAX, Levy("Service", D("0.10"), on="running")],
            {"Service": "10.90", "Tax": "9.00"},
            id="invented, computed: service on tax",
        ),
    ],
)
def test_the_split_depends_on_the_order_where_the_total_does_not(levies: Sequence[Levy], parts: dict[str, str]) -> None:
    taken = split(all_in(D(100), levies), levies)
    assert {name: round(part, 12) for name, part in taken.parts} == {name: D(part) for name, part in parts.items()}
    assert round(taken.bare, 12) == 100
    assert round(taken.bare + sum(part for _, part in taken.parts), 12) == taken.all_in


def test_a_levy_the_house_keeps_is_revenue() -> None:
    """Invented, computed: of 119.90 the house keeps the price and the service, 110, and the tax office 9.90."""
    kept = [Levy("Service", D("0.10"), kept=True), TAX_ON_ALL]
    assert round(net_of(D("119.90"), kept), 12) == 110
    assert round(all_in(D(110), kept), 12) == D("119.90")
    assert round(split(D("119.90"), kept).bare, 12) == 100


RATES = st.integers(0, 400).map(lambda n: D(n) / 1000)
STACKS = st.lists(
    st.builds(Levy, st.just("levy"), RATES, st.sampled_from(("net", "running")), st.booleans()), max_size=5
)
MONEY = st.integers(0, 10_000_000).map(lambda n: D(n) / 100)


@laws(300)
@given(MONEY, STACKS)
def test_levies_are_exact_against_fractions(net: Decimal, levies: list[Levy]) -> None:
    running = kept = Fraction(1)
    for levy in levies:
        amount = Fraction(levy.rate) * (running if levy.on == "running" else 1)
        running += amount
        kept += amount if levy.kept else 0
    printed = all_in(net, levies)
    assert abs(Fraction(printed) - Fraction(net) * running / kept) <= Fraction(1, 10**18)
    assert abs(net_of(printed, levies) - net) <= D("1e-18")
    assert printed >= net
    taken = split(printed, levies)
    assert abs(taken.bare + sum(part for _, part in taken.parts) - printed) <= D("1e-18")


@pytest.mark.parametrize(
    ("net", "cost", "margin_share", "mark_up", "multiplier"),
    [
        pytest.param("5", "1", "0.8", "4", "5", id="invented, computed: margin 80 % is mark-up 400 % is five times"),
        pytest.param("4", "1", "0.75", "3", "4", id="invented, computed: margin 75 %"),
        pytest.param("16", "4", "0.75", "3", "4", id="invented, computed: whatever the price"),
    ],
)
def test_margin_markup_and_multiplier_are_one_thing(
    net: str, cost: str, margin_share: str, mark_up: str, multiplier: str
) -> None:
    share = pour_cost(D(cost), D(net))
    assert share is not None
    assert margin(D(cost), D(net)) / D(net) == D(margin_share) == 1 - share
    assert margin(D(cost), D(net)) / D(cost) == D(mark_up)
    assert 1 / share == D(multiplier)
    by_share = suggest(D(cost), Policy("pour_cost", share), [], PLAIN)
    by_multiple = suggest(D(cost), target("multiplier", multiplier), [], PLAIN)
    by_money = suggest(D(cost), Policy("margin", margin(D(cost), D(net))), [], PLAIN)
    assert by_share.at.net == by_multiple.at.net == by_money.at.net == D(net)


@pytest.mark.parametrize(
    ("cost", "policy", "exactly"),
    [
        pytest.param(
            "4.73", target("pour_cost", "0.375"), "12.6133", id="textbook S11: multiplier; 12.63 by a rounded 2.67"
        ),
        pytest.param("6.34", target("multiplier", "3.72"), "23.5848", id="textbook S11: prime ingredient"),
        pytest.param("4.85", Policy("margin", D(790_000) / 161_580), "9.7392", id="textbook S11: contribution margin"),
        pytest.param("4.85", Policy("multiplier", 1 + D(790_000) / 585_000), "11.3996", id="textbook S11: ratio"),
        pytest.param("6.15", target("pour_cost", "0.50"), "12.3000", id="textbook S12: salmon 3.75 + 2.00 + 0.40"),
        pytest.param(
            "5.28", target("pour_cost", "0.243"), "21.7284", id="textbook S13: printed 21.79, which is a slip"
        ),
        pytest.param(
            "2.860126", target("pour_cost", "0.20"), "14.3006", id="invented, computed: with machine at a fifth"
        ),
        pytest.param("2.6269", target("pour_cost", "0.20"), "13.1345", id="invented, computed: materials at a fifth"),
    ],
)
def test_published_solved_set_without_rounding_on_the_way(cost: str, policy: Policy, exactly: str) -> None:
    found = suggest(D(cost), policy, [], PLAIN)
    assert round(found.needed_net, 4) == D(exactly)
    assert found.at.net >= found.needed_net


@pytest.mark.parametrize(
    ("cost", "all_in_price", "point", "lower"),
    [
        pytest.param("2.860126", 17.15, "17.50", "17.00", id="invented, computed: with machine, 17.15 to 17.50"),
        pytest.param("2.626863", 15.75, "16.00", "15.50", id="invented, computed: materials, 15.75 to 16.00"),
    ],
)
def test_the_price_point_protects_the_target(cost: str, all_in_price: float, point: str, lower: str) -> None:
    levies = [SERVICE, TAX_ON_ALL]
    found = suggest(D(cost), target("pour_cost", "0.20"), levies, HALVES)
    assert float(found.needed_all_in) == pytest.approx(all_in_price, abs=0.005)
    assert found.at.all_in == D(point)
    assert found.at.pour_cost is not None
    assert found.at.pour_cost <= D("0.20")
    assert found.lower is not None
    assert found.lower.all_in == D(lower)
    assert found.lower.pour_cost is not None
    assert found.lower.pour_cost > D("0.20")
    assert found.gives_away == found.at.margin - found.lower.margin


@pytest.mark.parametrize(
    ("price", "share", "money"),
    [
        pytest.param("17.50", 0.196, 11.74, id="invented, computed: at 17.50"),
        pytest.param("18.00", 0.191, 12.15, id="invented, computed: at 18"),
    ],
)
def test_what_a_point_leaves(price: str, share: float, money: float) -> None:
    net = net_of(D(price), [SERVICE, TAX_ON_ALL])
    assert float(pour_cost(D("2.860126"), net) or 0) == pytest.approx(share, abs=5e-4)
    assert float(margin(D("2.860126"), net)) == pytest.approx(money, abs=0.005)


def test_pour_cost_stands_on_the_net_and_not_on_the_printed_price() -> None:
    """Invented, computed: the same drink is 17.9 % of 16.00 and 21.4 % of what the house keeps of it."""
    cost, price = D("2.860126"), D("16.00")
    assert float(pour_cost(cost, price) or 0) == pytest.approx(0.179, abs=5e-4)
    assert float(pour_cost(cost, net_of(price, [SERVICE, TAX_ON_ALL])) or 0) == pytest.approx(0.214, abs=5e-4)


@pytest.mark.parametrize(
    ("now", "then", "cost", "expected"),
    [
        pytest.param(D(14), D(15), D("3.50"), -0.0870, id="invented, computed: 14 to 15 net with a margin of 10.50"),
        pytest.param(
            D(14) / D("1.199"),
            D(15) / D("1.199"),
            D(14) / D("1.199") - D("10.50"),
            -0.0736,
            id="invented, computed: all-in at 1.199",
        ),
        pytest.param(D(15), D(14), D("3.50"), 0.0952, id="invented, computed: back again, 1 / 10.5"),
        pytest.param(D(14), D(14), D("3.50"), 0.0, id="practice: no move, no change"),
    ],
)
def test_volume_that_a_move_must_keep(now: Decimal, then: Decimal, cost: Decimal, expected: float) -> None:
    change = break_even_volume(now, then, cost)
    assert change is not None
    assert float(change) == pytest.approx(expected, abs=5e-5)
    assert (1 + change) * (then - cost) == pytest.approx(now - cost)


def test_no_volume_breaks_even_at_a_price_without_margin() -> None:
    assert break_even_volume(D(14), D("3.50"), D("3.50")) is None
    assert break_even_volume(D(14), D("3.00"), D("3.50")) is None


@pytest.mark.parametrize(
    ("price", "points", "at", "below"),
    [
        ("17.15", HALVES, "17.50", "17.00"),
        ("15.75", HALVES, "16.00", "15.50"),
        ("16.00", HALVES, "16.00", "15.50"),
        ("16.0000000005", HALVES, "16.00", "15.50"),  # float noise of a cost is not a higher price
        ("16.01", HALVES, "16.50", "16.00"),
        ("0", HALVES, "0", None),
        ("0.30", HALVES, "0.50", None),
        ("9.91", PricePoints(D("0.10"), (D("0.50"), D("0.90"))), "10.50", "9.90"),
        ("9.51", PricePoints(D("0.10"), (D("0.50"), D("0.90"))), "9.90", "9.50"),
        ("3.20", PricePoints(D("0.50"), (), D("8")), "8.00", None),
        ("8.20", PricePoints(D("0.50"), (), D("8")), "8.50", "8.00"),
        ("8.00", PricePoints(D("1"), (D("0"),)), "8", "7"),
        ("1234", PricePoints(D("50")), "1250", "1200"),
        ("12.345", PricePoints(D("0.005")), "12.345", "12.340"),
    ],
)
def test_price_points_on_a_grid(price: str, points: PricePoints, at: str, below: str | None) -> None:
    """Practice: upward to protect the target, and the nearest lower one beside it."""
    found = next_point(D(price), points)
    assert found == D(at)
    assert point_below(found, points) == (None if below is None else D(below))


GRIDS = st.builds(
    PricePoints,
    st.sampled_from([D("0.05"), D("0.10"), D("0.50"), D("1")]),
    st.sampled_from([(), (D("0"),), (D("0"), D("0.50"))]).filter(bool) | st.just(()),
    st.integers(0, 20).map(D),
).filter(lambda p: not p.endings or D("0.50") not in p.endings or p.step != 1)


@laws(300)
@given(st.integers(0, 100_000).map(lambda n: D(n) / 1000), GRIDS)
def test_no_price_point_lies_between_the_price_and_the_next(price: Decimal, points: PricePoints) -> None:
    found = next_point(price, points)
    assert found >= points.least
    assert found >= price - D("1e-9")
    assert found % points.step == 0
    assert not points.endings or found % 1 in points.endings
    below = point_below(found, points)
    if below is not None:
        assert points.least <= below < found
        assert below < price
        assert next_point(below + D("0.001"), points) == found


@laws(200)
@given(
    st.integers(1, 100_000).map(lambda n: n / 1000),
    st.one_of(
        st.integers(5, 100).map(lambda n: Policy("pour_cost", D(n) / 100)),
        st.integers(1, 5_000).map(lambda n: Policy("margin", D(n) / 100)),
        st.integers(10, 900).map(lambda n: Policy("multiplier", D(n) / 100)),
    ),
    STACKS,
)
def test_a_suggestion_meets_its_target_and_the_point_below_does_not(
    cost: float, policy: Policy, levies: list[Levy]
) -> None:
    found = suggest(exact(cost), policy, levies, HALVES)
    spent = D(repr(cost))
    wanted = {"pour_cost": spent / policy.value, "margin": spent + policy.value, "multiplier": spent * policy.value}
    assert found.needed_net == wanted[policy.kind]
    assert found.at.net >= found.needed_net - D("1e-8")
    if found.lower is not None:
        assert found.lower.net < found.needed_net
    assert found.at.margin == found.at.net - spent


def test_the_method_and_not_the_cost_moves_the_price() -> None:
    """Textbook S41: factor prices of 8.33 and 18.33 for two dishes. The margin beside them is invented, computed."""
    lasagna, rib_eye = D("2.50"), D("5.50")
    by_factor = [suggest(c, target("pour_cost", "0.30"), [], PLAIN).needed_net for c in (lasagna, rib_eye)]
    assert [round(p, 2) for p in by_factor] == [D("8.33"), D("18.33")]
    by_margin = [suggest(c, target("margin", "7.00"), [], PLAIN).needed_net for c in (lasagna, rib_eye)]
    assert by_margin[1] - by_margin[0] == rib_eye - lasagna
    assert round(by_factor[1] - by_factor[0], 20) == (rib_eye - lasagna) / D("0.30")


@pytest.mark.parametrize("bad", [D("-0.01"), D("-1e9")])
def test_a_cost_below_nothing_is_a_bad_call(bad: Decimal) -> None:
    with pytest.raises(ValueError, match="negative"):
        suggest(bad, target("multiplier", "5"), [], HALVES)
    with pytest.raises(ValueError, match="negative"):
        next_point(bad, HALVES)


def test_a_price_of_nothing_has_no_pour_cost() -> None:
    assert pour_cost(D("2.60"), D(0)) is None


@pytest.mark.parametrize(
    "shares",
    [
        pytest.param([(60, 18.0), (25, 40.0), (15, 25.0)], id="invented, computed: 24.55 % and never 27.67 %"),
    ],
)
def test_percentages_are_weighted_by_sales(shares: Sequence[tuple[int, float]]) -> None:
    """The mean of percentages is not the percentage of totals: asked of the house's own pour cost."""
    sales = math.fsum(float(s) for s, _ in shares)
    spent = math.fsum(s * p / 100 for s, p in shares)
    assert float(pour_cost(spent, sales) or 0) == pytest.approx(0.2455, abs=5e-5)
    parts = [float(pour_cost(s * p / 100, float(s)) or 0) for s, p in shares]
    assert sum(parts) / 3 == pytest.approx(0.2767, abs=5e-5)
