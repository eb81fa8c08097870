"""Packs: what a number of them costs, and the number that costs least, against trying every number."""

from decimal import Decimal as D
from itertools import pairwise
from math import floor

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from costing.book.records import Break, FreeGoods, PackCharge, Quote, Terms
from costing.supply.buying.breaks import best_packs, free_packs, paid_for, price_at, tiers, total_of, whole_packs
from tests.supply.buying.bar import DAY, quote

NET = Terms(since=DAY)


def naive(q: Quote, packs: int) -> D:
    """The total, written out: the break reached, full lots of free packs, charges on every pack that comes."""
    price = q.price
    for step in sorted(q.breaks, key=lambda b: b.packs):
        if packs >= step.packs:
            price = step.price
    free = floor(packs / q.free.paid) * q.free.free if q.free else D(0)
    tax = 1 / (1 + q.tax_rate) if q.tax == "inc" and q.tax_rate else D(1)
    return packs * price * tax + (packs + free) * sum((c.amount for c in q.charges), D(0))


money = st.decimals(min_value=1, max_value=40, places=2)
quotes = st.builds(
    lambda price, steps, free, charge, least, tax: quote(
        "q", str(price), breaks=tuple(Break(packs=D(n), price=p) for n, p in steps), free=free,
        charges=(PackCharge(name="x", amount=charge),), minimum=least, tax="inc" if tax else "ex", tax_rate=tax,
    ),
    money,
    st.lists(st.tuples(st.integers(1, 30), money), max_size=4),
    st.none() | st.builds(FreeGoods, paid=st.integers(1, 12).map(D), free=st.integers(0, 3).map(D)),
    st.decimals(min_value=D("-0.2"), max_value=3, places=2),
    st.none() | st.integers(1, 12).map(D),
    st.sampled_from([None, D("0.07"), D("0.19")]),
)  # fmt: skip


@given(q=quotes, need=st.decimals(min_value=D("0.1"), max_value=40, places=1))
@settings(deadline=None)
def test_the_best_number_of_packs_is_that_of_trying_every_one(q: Quote, need: D) -> None:
    best = best_packs(q, need, NET)
    enough = [
        n for n in range(1, 140)
        if n + (floor(n / q.free.paid) * q.free.free if q.free else 0) >= need and n >= (q.minimum or 0)
    ]  # fmt: skip
    least = min(naive(q, n) for n in enough)
    assert best.needed == enough[0]
    assert abs(best.total - least) < D("1e-20")
    assert abs(best.needed_total - naive(q, enough[0])) < D("1e-20")
    assert best.saves >= 0
    assert best.packs in enough


@given(q=quotes, packs=st.integers(1, 60))
@settings(deadline=None)
def test_the_total_of_a_number_is_that_written_out(q: Quote, packs: int) -> None:
    assert abs(total_of(q, packs, NET) - naive(q, packs)) < D("1e-20")


@given(q=quotes)
@settings(deadline=None)
def test_prices_by_number_have_no_gap(q: Quote) -> None:
    found = tiers(q)
    assert found[0].first == 1
    assert found[-1].last is None
    assert all(a.last == b.first - 1 for a, b in pairwise(found))
    assert all(t.price == price_at(q, t.first) for t in found)


def test_buying_up_to_the_next_break_may_cost_less() -> None:
    """A worked example of our own: 10 at 12.00 are 120.00, 12 at 9.50 are 114.00."""
    q = quote("q", "12", breaks=(Break(packs=D(6), price=D(12)), Break(packs=D(12), price=D("9.50"))))
    best = best_packs(q, D(10))
    assert (best.packs, best.total, best.needed, best.needed_total, best.saves) == (12, D(114), 10, D(120), D(6))
    assert best_packs(q, D(9)).packs == 9  # 108.00 is less than 114.00


def test_free_packs_come_with_full_lots_only() -> None:
    """Twelve at 20, twelve at half price and twelve free are 360 for 36 (common practice, no source)."""
    q = quote("q", "15", free=FreeGoods(paid=D(24), free=D(12)))
    assert [free_packs(q.free, n) for n in (23, 24, 47, 48)] == [0, 12, 12, 24]
    assert total_of(q, 24) / (24 + free_packs(q.free, 24)) == 10
    assert paid_for(q, D(36)) == 24
    assert paid_for(q, D(24)) == 24
    assert paid_for(q, D(23)) == 23


def test_breaks_hold_from_their_number_on_and_the_later_of_two_at_one() -> None:
    steps = (("5", 9), ("2.5", 8), ("5", 7))
    q = quote("q", "10", breaks=tuple(Break(packs=D(n), price=D(p)) for n, p in steps))
    assert [price_at(q, n) for n in (1, 2, 3, 4, 5, 50)] == [10, 10, 8, 8, 7, 7]


def test_no_number_is_best_where_rebates_exceed_the_price() -> None:
    with pytest.raises(ValueError, match="rebates"):
        best_packs(quote("q", "10", charges=(PackCharge(name="rebate", amount=D(-11)),)), D(3))
    with pytest.raises(ValueError, match="above 0"):
        best_packs(quote("q", "10"), D(0))


def test_the_noise_of_a_division_buys_no_pack() -> None:
    assert paid_for(quote("q", "1"), D("8.4") / (D("0.7") * D("0.44")) * D("0.44") / 12) == 1
    assert paid_for(quote("q", "1"), D("1.001")) == 2
    assert [whole_packs(D(n)) for n in ("3", "3.0000000001", "3.001", "0")] == [3, 3, 4, 0]


def test_a_rebate_on_free_packs_may_make_the_next_lot_cheaper() -> None:
    """Nine at 1.00 less 0.20 are 7.20; ten bring six more with the same rebate: 8.00 less 1.20 (worked by hand)."""
    rebate = PackCharge(name="rebate", amount=D("-0.2"))
    q = quote("q", "1", free=FreeGoods(paid=D(10), free=D(6)), charges=(rebate,))
    best = best_packs(q, D(9))
    assert (best.packs, best.total, best.needed_total) == (10, D("6.8"), D("7.2"))
