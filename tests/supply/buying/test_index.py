"""Purchase price indices against a published data set, and the laws an index must keep."""

from calendar import monthrange
from datetime import date
from decimal import Decimal as D

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from costing.book.book import Book
from costing.book.records import Good, Quote, Serve
from costing.book.selling import SalesPeriod, Sold
from costing.supply.buying.index import PriceIndex, fisher, last_period, price_index, ratio, series, usage_of
from tests.supply.buying.bar import book, good, quote, serve

# ILO and others, Consumer Price Index Manual: Theory and Practice (2004), tables 19.1 and 19.2: prices and quantities
# of six commodities in five periods. From memory; the sums of period 2 (14.2 to 10.0, 14.10 to 10.2) were done by hand.
PRICES = (
    ("1.0", "1.0", "1.0", "1.0", "1.0", "1.0"),
    ("1.2", "3.0", "1.3", "0.7", "1.4", "0.8"),
    ("1.0", "1.0", "1.5", "0.5", "1.7", "0.6"),
    ("0.8", "0.5", "1.6", "0.3", "1.9", "0.4"),
    ("1.0", "1.0", "1.6", "0.1", "2.0", "0.2"),
)
QUANTITIES = (
    ("1.0", "1.0", "2.0", "1.0", "4.5", "0.5"),
    ("0.8", "0.9", "1.9", "1.3", "4.7", "0.6"),
    ("1.0", "1.1", "1.8", "3.0", "5.0", "0.8"),
    ("1.2", "1.2", "1.9", "6.0", "5.6", "1.3"),
    ("0.9", "1.2", "2.0", "12.0", "6.5", "2.5"),
)
LASPEYRES = (1.0, 1.4200, 1.3450, 1.3550, 1.4400)
PAASCHE = (1.0, 1.3824, 1.2031, 1.0209, 0.7968)
FISHER = (1.0, 1.4011, 1.2721, 1.1762, 1.0712)
"""Table 19.4 of the same, fixed base, from memory."""


def end(month: int) -> date:
    """The last day of a month of 2026."""
    return date(2026, month, monthrange(2026, month)[1])


def period(month: int, counts: tuple[str, ...]) -> SalesPeriod:
    """What was sold in a month: so many of the drinks s0, s1, ..."""
    sold = tuple(Sold(serve=f"s{n}", count=D(c)) for n, c in enumerate(counts))
    return SalesPeriod(id=f"m{month}", since=date(2026, month, 1), until=end(month), sold=sold)


def market(prices: tuple[tuple[str, ...], ...], quantities: tuple[tuple[str, ...], ...]) -> Book:
    """Goods g0, g1, ... each alone in a drink of one litre, priced anew every month."""
    n = len(prices[0])
    quotes = [
        quote(f"q{m}-{g}", price, "1 l", f"g{g}", since=date(2026, m, 1))
        for m, row in enumerate(prices, 1) for g, price in enumerate(row)
    ]  # fmt: skip
    return book(
        *(good(f"g{g}") for g in range(n)), *(serve(f"s{g}", (f"g{g}", "1 l")) for g in range(n)), *quotes,
        *(period(m, row) for m, row in enumerate(quantities, 1)),
    )  # fmt: skip


def found(made: Book, month: int = 2) -> PriceIndex:
    """The index from the end of January."""
    out = price_index(made, end(1), end(month))
    assert out is not None
    return out


@pytest.mark.parametrize("month", [1, 2, 3, 4, 5])
def test_the_published_data_set_gives_the_published_indices(month: int) -> None:
    index = found(market(PRICES, QUANTITIES), month)
    assert index.laspeyres == pytest.approx(LASPEYRES[month - 1], abs=5e-5)
    assert index.paasche == pytest.approx(PAASCHE[month - 1], abs=5e-5)
    assert index.fisher == pytest.approx(FISHER[month - 1], abs=5e-5)
    assert (index.covered, index.unpriced) == (1.0, ())
    assert index.one_basket is (month == 1)


def test_a_series_goes_by_the_basket_of_its_first_day() -> None:
    points = series(market(PRICES, QUANTITIES), [end(m) for m in (5, 1, 2, 3, 4)])
    assert [p.day_b for p in points] == [end(m) for m in range(1, 6)]
    assert [p.laspeyres for p in points] == pytest.approx(LASPEYRES, abs=5e-5)
    assert [p.fisher for p in points] == pytest.approx(FISHER, abs=5e-5)
    assert {p.earlier.period.id for p in points} == {"m1"}


amounts = st.integers(1, 400).map(lambda n: f"{n / 10:.1f}")
rows = st.tuples(*[amounts] * 4)


@given(p0=rows, p1=rows, q0=rows, q1=rows)
@settings(deadline=None)
def test_laspeyres_is_the_mean_of_relatives_by_spending_and_its_parts_add_up(
    p0: tuple[str, ...], p1: tuple[str, ...], q0: tuple[str, ...], q1: tuple[str, ...]
) -> None:
    index = found(market((p0, p1), (q0, q1)))
    spent = [float(p) * float(q) for p, q in zip(p0, q0, strict=True)]
    relatives = [float(b) / float(a) for a, b in zip(p0, p1, strict=True)]
    mean = sum(s * r for s, r in zip(spent, relatives, strict=True)) / sum(spent)
    assert index.laspeyres == pytest.approx(mean, rel=1e-12)
    assert sum(c.points for c in index.contributions) == pytest.approx(mean - 1, abs=1e-12)
    assert sum(c.share for c in index.contributions) == pytest.approx(1, abs=1e-12)
    assert [c.relative for c in index.contributions] == pytest.approx(relatives, rel=1e-12)
    # Paasche is the harmonic mean of relatives by the later spending; Fisher lies between the two
    later = [float(p) * float(q) for p, q in zip(p1, q1, strict=True)]
    harmonic = sum(later) / sum(s / r for s, r in zip(later, relatives, strict=True))
    assert index.paasche == pytest.approx(harmonic, rel=1e-12)
    assert index.fisher is not None
    assert index.fisher**2 == pytest.approx(mean * harmonic, rel=1e-12)


@given(p0=rows, q0=rows, q1=rows, times=st.sampled_from([1, 2, 5]))
@settings(deadline=None)
def test_prices_that_all_move_alike_move_the_index_alike(
    p0: tuple[str, ...], q0: tuple[str, ...], q1: tuple[str, ...], times: int
) -> None:
    """Identity (times 1) and proportionality."""
    index = found(market((p0, tuple(str(D(p) * times) for p in p0)), (q0, q1)))
    assert (index.laspeyres, index.paasche, index.fisher) == pytest.approx((times,) * 3, rel=1e-12)


@given(
    p0=st.lists(st.floats(0.1, 50), min_size=3, max_size=3), p1=st.lists(st.floats(0.1, 50), min_size=3, max_size=3),
    q=st.lists(st.floats(0.1, 50), min_size=3, max_size=3), a=st.floats(0, 3), b=st.floats(0, 3),
)  # fmt: skip
@settings(deadline=None)
def test_it_is_linear_in_the_prices_after(p0: list[float], p1: list[float], q: list[float], a: float, b: float) -> None:
    def index(prices: list[float]) -> float:
        out = ratio(*(dict(zip("xyz", row, strict=True)) for row in (p0, prices, q)))
        assert out is not None
        return out

    mixed = [a * x + b * y for x, y in zip(p0, p1, strict=True)]
    assert index(mixed) == pytest.approx(a * index(p0) + b * index(p1), rel=1e-9, abs=1e-12)


def test_only_what_has_a_price_on_both_days_counts_and_the_rest_is_named() -> None:
    made = market((("2", "4", "1", "1"), ("3", "4", "1", "1")), (("10", "5", "30", "7"),) * 2)
    gone = {"q1-2", "q1-3", "q2-3"}  # g2 has a price only after, g3 on neither day
    made = Book.of(r for r in made.records.values() if not (isinstance(r, Quote) and r.id in gone))
    index = found(made)
    assert index.laspeyres == (30 + 20) / (20 + 20)
    assert index.unpriced == (("g2", "before"), ("g3", "both"))
    assert index.covered == pytest.approx(40 / 70)


def test_a_price_that_ended_is_missing_after() -> None:
    made = market((("2", "4"), ("3", "4")), (("10", "5"),) * 2)
    kept = [r for r in made.records.values() if not (isinstance(r, Quote) and r.good == "g1")]
    ended = quote("x", "4", "1 l", "g1", until=end(1))
    index = found(Book.of([*kept, ended]))
    assert (index.unpriced, index.covered) == ((("g1", "after"),), 0.5)
    assert index.laspeyres == 1.5


def test_usage_is_what_the_drinks_took_through_everything_made() -> None:
    made = market((("2", "4"),), (("10", "5"),))
    long = serve("s0", ("g0", "50 ml"), ("g1", "20 ml"))
    made = Book.of([*(r for r in made.records.values() if not (isinstance(r, Serve) and r.id == "s0")), long])
    usage = usage_of(made, period(1, ("10", "5", "1")))
    assert usage.amounts == pytest.approx({"g0": 0.5, "g1": 5.2})
    assert usage.without == ("s2",)


def test_only_the_layers_asked_for_are_in_the_basket() -> None:
    made = market((("2", "4"), ("3", "8")), (("10", "5"),) * 2)
    old = made.all(Good)["g1"]
    hand = good("g1", "labour", "l", "", layer="labour")
    made = Book.of([*(r for r in made.records.values() if r is not old), hand])
    assert [c.good for c in found(made).contributions] == ["g0"]
    index = price_index(made, end(1), end(2), layers=("materials", "labour"))
    assert index is not None
    assert index.laspeyres == 70 / 40


def test_without_sales_there_is_no_basket_and_one_period_may_stand_for_both() -> None:
    made = market((("2", "4"), ("3", "8")), ())
    assert price_index(made, end(1), end(2)) is None
    assert series(made, [end(1)]) == ()
    assert series(made, []) == ()
    late = market((("2", "4"), ("3", "8")), ())
    late = Book.of([*late.records.values(), period(2, ("1", "1"))])
    index = found(late)
    assert index.one_basket
    assert index.laspeyres == index.paasche == 11 / 6
    assert last_period(late, end(1)) is None
    with pytest.raises(ValueError, match="before"):
        price_index(late, end(2), end(1))


def test_a_basket_that_cost_nothing_has_no_index() -> None:
    index = found(market((("0", "0"), ("3", "8")), (("10", "5"),) * 2))
    assert (index.laspeyres, index.fisher, index.contributions) == (None, None, ())
    assert fisher(-1.0, 1.0) is None
    assert fisher(4.0, 1.0) == 2
