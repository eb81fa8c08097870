"""Menu classes against published tables, to the printed digit, and the laws they keep."""

from decimal import Decimal
from fractions import Fraction
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from costing.menu import engineer
from costing.menu.engineer import CLASSES
from costing.menu.figures import ItemRow, exact
from costing.menu.leaving import leaving
from tests.menu.examples import GEORGE, GEORGE_CLASSES, TEN, TEN_CLASSES, TWELVE, TWELVE_CLASSES


def test_example_a_as_published_at_80_per_cent() -> None:
    # a published 12-item worksheet; O is printed as 4.16, Q as 6.7 %, K as 29.1 %
    found = engineer(TWELVE, cut=0.8)
    assert (found.n, found.N, found.I, found.J, found.M) == (12, 925, 1579.25, 5423.75, 3844.50)
    assert f"{100 * (found.K or 0):.1f} {found.O:.2f} {100 * (found.Q or 0):.1f}" == "29.1 4.16 6.7"
    assert f"{found.O:.4f}" == "4.1562"  # recomputed
    assert [row.klass for row in found] == TWELVE_CLASSES


def test_example_a_at_70_per_cent_changes_one_item() -> None:
    # recomputed: Q 5.83 %, item 3 with 6.49 % becomes a star
    found = engineer(TWELVE, cut=0.7)
    assert f"{100 * (found.Q or 0):.2f} {100 * (found[2].mix or 0):.2f}" == "5.83 6.49"
    wanted = list(TWELVE_CLASSES)
    wanted[2] = "star"
    assert [row.klass for row in found] == wanted


def test_the_margin_cut_is_weighted_never_the_mean_of_margins() -> None:
    # example A: the plain mean 3.98 would turn item 4 (margin 4.05) from low to high
    found = engineer(TWELVE, cut=0.8)
    plain = sum(row.margin for row in found) / 12
    assert f"{plain:.2f} {found[3].margin:.2f}" == "3.98 4.05"
    assert plain < found[3].margin < (found.O or 0)
    assert found[3].klass == "plowhorse"


def test_taking_the_dogs_off_labels_another_anew() -> None:
    # example A without its three dogs, recomputed: O 4.2798, Q 63.4 units, item 3 (60 sold) becomes a puzzle
    left = leaving(TWELVE, ["2", "5", "6"], cut=0.7)
    assert f"{left.lost.O:.4f} {left.lost.popularity_sold:.1f}" == "4.2798 63.4"
    assert [(m.name, m.before, m.after) for m in left.moved] == [("3", "star", "puzzle")]
    assert left.stay == (0, 2, 3, 6, 7, 8, 9, 10, 11)


def test_example_b_george() -> None:
    # Dittmer and Keefe, 9th ed., problems of chapter 11: N, J, I, M recomputed, classes as the letters say
    found = engineer(GEORGE)
    assert (found.N, found.J, found.I, found.M) == (629, 10425.95, 3350.20, 7075.75)
    assert f"{100 * (found.K or 0):.3f} {found.O:.4f} {100 * (found.Q or 0):.2f}" == "32.133 11.2492 8.75"
    assert f"{found.popularity_sold:.2f}" == "55.04"
    assert [row.klass for row in found] == GEORGE_CLASSES
    assert f"{100 * (found[2].mix or 0):.3f}" == "8.744"  # below 8.750, though both print as 8.7
    assert found[4].margin == 11.15  # haddock, below 11.25


@pytest.mark.parametrize(("tie", "shrimp"), [("high", "plowhorse"), ("low", "dog")])
def test_example_c_shrimp_lies_exactly_on_the_cut(tie: Any, shrimp: str) -> None:
    # Kasavana and Smith 1982, from memory: >= 70 % is high; the key of Dittmer and Keefe has C > Q
    found = engineer(TEN, tie=tie)
    assert (found.N, found.J, found.I, found.M) == (3000, 22050.00, 12374.70, 9675.30)
    assert f"{100 * (found.K or 0):.1f} {found.O:.4f} {found.popularity_sold}" == "56.1 3.2251 210.0"
    assert [row.klass for row in found] == [shrimp, *TEN_CLASSES[1:]]


def test_example_d_shares_and_margins() -> None:
    # Dittmer and Keefe, one exercise in part: 252/2 635 = 9.564 %, 207/2 635 = 7.856 %, 490 more for 100 of each
    found = engineer([("a", 252, 7.50, 23.65), ("b", 207, 5.20, 16.45), ("rest", 2176, 1, 2)])
    assert [f"{100 * (row.mix or 0):.3f}" for row in found[:2]] == ["9.564", "7.856"]
    assert [row.margin for row in found[:2]] == [16.15, 11.25]
    assert 100 * (exact(found[0].margin) - exact(found[1].margin)) == 490


@pytest.mark.parametrize("tie", ["high", "low"])
def test_a_margin_at_the_cut_is_a_tie_in_floats_too(tie: Any) -> None:
    assert 7.95 - 4.85 != 6.05 - 2.95  # both are 3.10, and neither float says so
    rows = [("a", 10, 4.85, 7.95), ("b", 10, 2.95, 6.05), ("c", 10, 0.1, 3.2)]
    same: list[list[ItemRow]] = [list(rows), [(n, s, Decimal(str(c)), Decimal(str(p))) for n, s, c, p in rows]]
    for these in same:
        assert {row.earns for row in engineer(these, tie=tie)} == {tie == "high"}


def test_nothing_to_judge_has_no_classes() -> None:
    empty = engineer([])
    assert (len(empty), empty.n, empty.N, empty.O, empty.Q, empty.K) == (0, 0, 0, None, None, None)
    still = engineer([("a", 0, 1, 5), ("b", 0, 2, 6)])
    assert [(row.klass, row.mix, row.popular, row.earns) for row in still] == [(None, None, False, False)] * 2
    assert (still.n, still.margin_cut, still.popularity_cut) == (2, None, None)
    assert engineer([("a", 0, 1, 5)], unsold="left out").n == 0


def test_one_item_and_equal_items_are_at_their_own_cut() -> None:
    for tie, klass in (("high", "star"), ("low", "plowhorse")):
        assert engineer([("a", 3, 1, 5)], tie=tie)[0].klass == klass  # type: ignore[arg-type]
        equal = engineer([(n, 7, 1.1, 5.3) for n in "abc"], tie=tie)  # type: ignore[arg-type]
        assert [row.klass for row in equal] == [klass] * 3
        assert engineer([(n, 7, 1.1, 5.3) for n in "abc"], cut=1, tie=tie)[0].popular == (tie == "high")  # type: ignore[arg-type]


def test_unsold_rows_both_ways() -> None:
    rows: list[ItemRow] = [("a", 80, 2, 10), ("b", 20, 2, 12), ("never", 0, 1, 20), ("nor", 0, 1, 2)]
    counted, out = engineer(rows), engineer(rows, unsold="left out")
    assert (counted.n, counted.Q, out.n, out.Q) == (4, 0.175, 2, 0.35)
    assert [row.klass for row in counted] == ["plowhorse", "star", "puzzle", "dog"]
    assert [row.klass for row in out] == ["plowhorse", "puzzle", "puzzle", "dog"]  # by margin alone, never popular
    assert [row.counted for row in out] == [True, True, False, False]
    assert (counted.O, counted.M) == (out.O, out.M)


def test_a_loss_and_a_price_of_nothing_are_figures_like_others() -> None:
    found = engineer([("loses", 50, 9, 5), ("given", 10, 2, 0), ("fine", 40, 2, 12)])
    assert [row.klass for row in found] == ["plowhorse", "dog", "star"]
    assert (found[0].margin, found[1].margin, found.K) == (-4, -2, 550 / 730)
    free = engineer([("a", 5, 1, 0), ("b", 5, 2, 0)])
    assert (free.K, [row.klass for row in free]) == (None, ["star", "plowhorse"])


@pytest.mark.parametrize("bad", [
    ("Salt Stair", -1, 2, 8), ("Salt Stair", 1, -2, 8), ("Salt Stair", 1, 2, -8), ("Salt Stair", float("nan"), 2, 8),
    ("Salt Stair", 1, Decimal("NaN"), 8), ("Salt Stair", 1, 2, float("inf")), ("Salt Stair", 1, "2", 8),
])  # fmt: skip
def test_bad_figures_name_the_item(bad: Any) -> None:
    with pytest.raises(ValueError, match="Salt Stair"):
        engineer([("fine", 1, 2, 8), bad])


def test_bad_rules_are_refused() -> None:
    for rule in ({"cut": -0.1}, {"cut": float("nan")}, {"tie": "even"}, {"unsold": "maybe"}):
        with pytest.raises(ValueError, match=r"0\.7|number|tie|counted"):
            engineer(GEORGE, **rule)
    with pytest.raises(ValueError, match="soup"):
        leaving(GEORGE, ["soup"])


def test_numbers_of_any_kind_mean_the_same() -> None:
    kinds: list[Any] = [float, Decimal, Fraction, np.int64, np.float64]
    for kind in kinds:
        rows = [(name, kind(sold), cost, price) for name, sold, cost, price in GEORGE]
        assert engineer(rows) == engineer(GEORGE)


COUNTS = st.integers(0, 400)
CENTS = st.integers(0, 3000).map(lambda n: Decimal(n) / 100)
ROWS = st.lists(st.tuples(st.just("x"), COUNTS, CENTS, CENTS), min_size=1, max_size=8)


@settings(max_examples=40, deadline=None)
@given(rows=ROWS, k=st.integers(2, 9), tie=st.sampled_from(["high", "low"]), out=st.booleans())
def test_as_many_times_the_sales_leave_the_classes(rows: list[Any], k: int, tie: Any, out: bool) -> None:
    unsold: Any = "left out" if out else "counted"
    before = engineer(rows, tie=tie, unsold=unsold)
    after = engineer([(n, s * k, c, p) for n, s, c, p in rows], tie=tie, unsold=unsold)
    assert [row.klass for row in before] == [row.klass for row in after]


@settings(max_examples=40, deadline=None)
@given(rows=ROWS, data=st.data())
def test_the_order_of_rows_moves_no_class(rows: list[Any], data: st.DataObject) -> None:
    order = data.draw(st.permutations(range(len(rows))))
    before, after = engineer(rows), engineer([rows[i] for i in order])
    assert [before[i].klass for i in order] == [row.klass for row in after]
    assert all(row.klass is None or row.klass in CLASSES for row in before)


@settings(max_examples=40, deadline=None)
@given(rows=ROWS, gone=st.integers(0, 7))
def test_where_the_sales_of_what_leaves_go_moves_no_class(rows: list[Any], gone: int) -> None:
    left = leaving(rows, [gone % len(rows)])
    if left.lost.N:
        assert [row.klass for row in left.lost] == [row.klass for row in left.spread]
        assert abs(left.spread.N - left.before.N) <= 1e-9 * left.before.N
    else:
        assert left.spread == left.lost
