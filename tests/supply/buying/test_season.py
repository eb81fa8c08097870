"""The season of a price: a known one is found again, and the decomposition is that of numpy written out."""

from calendar import monthrange
from datetime import date, timedelta
from decimal import Decimal as D
from itertools import pairwise
from math import exp, log
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from costing.book.book import Book
from costing.book.buying import ExchangeRate
from costing.supply.buying.past import past_moves, price_steps
from costing.supply.buying.season import monthly_means, ratios_to_moving, season, seasons, width
from tests.supply.buying.bar import book, good, quote

FACTORS = np.array([1.2, 1.25, 1.15, 1.05, 0.95, 0.8, 0.75, 0.8, 0.9, 1.0, 1.05, 1.1])
"""Dear in winter; their mean is 1."""


def day_of(month: int, first: int = 2023) -> date:
    """The first day of a month counted from January."""
    return date(first + month // 12, month % 12 + 1, 1)


def last_of(month: int) -> date:
    """The last day of such a month."""
    first = day_of(month)
    return date(first.year, first.month, monthrange(first.year, first.month)[1])


def priced(prices: list[Any], start: int = 0, kind: Any = "fruit") -> Book:
    """Limes priced anew on the first of every month; None where nobody asked anything."""
    quotes = [
        quote(f"q{n:03}", f"{price:.6f}", "1 kg", "lime", since=day_of(n), until=last_of(n))
        for n, price in enumerate(prices, start) if price is not None
    ]  # fmt: skip
    return book(good("lime", kind, "kg", ""), *quotes)


def test_a_known_season_is_found_again_from_two_years() -> None:
    found = season(priced([4 * f for f in FACTORS] * 2), "lime", last_of(23))
    assert (found.method, found.why, found.quotes, len(found.means)) == ("moving", "", 24, 24)
    assert found.index == pytest.approx(list(FACTORS), abs=1e-6)
    assert found.at(date(2025, 7, 19)) == pytest.approx(0.75, abs=1e-6)


def test_a_known_season_is_found_again_under_a_trend() -> None:
    prices = [4 * 1.005**n * FACTORS[n % 12] for n in range(48)]
    found = season(priced(prices), "lime", last_of(47))
    assert found.index == pytest.approx(list(FACTORS), rel=0.01)
    one = season(priced(prices[:12]), "lime", last_of(11))
    assert one.method == "year"
    assert max(abs(a - b) for a, b in zip(one.index, FACTORS, strict=True) if a is not None) > 0.02


@given(prices=st.lists(st.floats(0.5, 20), min_size=24, max_size=50))
@settings(max_examples=60, deadline=None)
def test_ratios_are_those_of_numpy_written_out(prices: list[float]) -> None:
    """Ratio to the centred 2 x 12 moving average, as classical decomposition is written in textbooks."""
    x = np.array(prices)
    weights = np.array([0.5, *[1.0] * 11, 0.5]) / 12
    trend = np.convolve(x, weights, "valid")
    ratios = x[6:-6] / trend
    months = np.arange(6, len(x) - 6) % 12
    means = np.array([ratios[months == m].mean() for m in range(12)])
    found = ratios_to_moving(dict(enumerate(prices)))
    assert found == pytest.approx(means / means.mean(), rel=1e-12)
    assert found is not None
    assert sum(found) == pytest.approx(12)


def test_one_year_goes_by_its_own_mean_and_says_so() -> None:
    prices = [3.0 + n for n in range(12)]
    found = season(priced(prices), "lime", last_of(11))
    assert found.method == "year"
    assert found.index == pytest.approx(np.array(prices) / np.mean(prices), abs=1e-6)


def test_ten_months_leave_two_without_a_factor() -> None:
    found = season(priced([2.0, 4.0] * 5, start=2), "lime", last_of(11))
    assert found.index[:2] == (None, None)
    known = [x for x in found.index if x is not None]
    assert sum(known) / len(known) == pytest.approx(1)


@pytest.mark.parametrize(("prices", "why"), [([4.0] * 8, "few-months"), ([4.0] * 3, "few-quotes"), ([], "few-quotes")])
def test_too_little_says_why_not(prices: list[float], why: str) -> None:
    found = season(priced(prices), "lime", last_of(40))
    assert (found.method, found.why, set(found.index)) == ("", why, {None})


def test_a_gap_in_two_years_falls_back_on_one() -> None:
    prices: list[Any] = [4 * f for f in FACTORS] * 2
    prices[10] = None
    prices += [5.0, 5.0]
    assert season(priced(prices), "lime", last_of(25)).method == "year"


def test_a_month_is_the_mean_of_its_days_and_counts_from_half_of_them_on() -> None:
    quotes = (
        quote("a", "3", "1 kg", "lime", since=date(2026, 1, 20)),  # 12 of 31 days
        quote("b", "6", "1 kg", "lime", since=date(2026, 2, 15)),  # 14 days at 3, 14 at 6
    )
    made = book(good("lime", "fruit", "kg", ""), *quotes)
    means = monthly_means(price_steps(made, "lime", date(2026, 3, 16)), date(2026, 3, 16))
    assert means == {2026 * 12 + 1: 4.5, 2026 * 12 + 2: 6.0}
    assert 2026 * 12 + 2 not in monthly_means(price_steps(made, "lime", date(2026, 3, 15)), date(2026, 3, 15))


def test_the_days_of_a_month_are_those_of_a_loop() -> None:
    rng = np.random.default_rng(7)
    days = sorted({date(2024, 1, 1) + timedelta(days=int(n)) for n in rng.integers(0, 500, 40)})
    quotes = [quote(f"q{n}", str(n % 7 + 1), "1 kg", "lime", since=d) for n, d in enumerate(days)]
    made = book(good("lime", "fruit", "kg", ""), *quotes)
    last = date(2025, 6, 12)
    found = monthly_means(price_steps(made, "lime", last), last)
    by_day: dict[int, list[float]] = {}
    day = days[0]
    while day <= last:
        price = next(n % 7 + 1 for n, d in reversed(list(enumerate(days))) if d <= day)
        by_day.setdefault(day.year * 12 + day.month - 1, []).append(price)
        day += timedelta(days=1)
    assert found == pytest.approx({
        m: np.mean(p) for m, p in by_day.items() if 2 * len(p) >= monthrange(m // 12, m % 12 + 1)[1]
    })  # fmt: skip


def test_an_exchange_rate_moves_the_price_in_force() -> None:
    rates = [ExchangeRate(id=f"r{n}", currency="USD", since=d, worth=D(w)) for n, (d, w) in enumerate(
        [(date(2026, 1, 1), "0.5"), (date(2026, 2, 1), "0.8")])]  # fmt: skip
    made = book(good("lime", "fruit", "kg", ""), quote("a", "10", "1 kg", "lime", currency="USD"), *rates)
    assert [s for s in price_steps(made, "lime", date(2026, 5, 1)) if s[1]] == [
        (date(2026, 1, 1), 5.0), (date(2026, 2, 1), 8.0),
    ]  # fmt: skip


def test_the_fresh_ones_are_looked_at_and_any_other_on_request() -> None:
    made = book(good("lime", "fruit", "kg", ""), good("rum"), good("mint", "herb", "kg", ""))
    assert [s.good for s in seasons(made, date(2026, 3, 1))] == ["lime", "mint"]
    assert [s.good for s in seasons(made, date(2026, 3, 1), ("spirit",))] == ["rum"]
    assert season(made, "rum", date(2026, 3, 1)).why == "few-quotes"
    with pytest.raises(KeyError):
        season(made, "gin", date(2026, 3, 1))


def weekly(prices: list[str], **more: Any) -> Book:
    """Limes priced anew every week by one supplier."""
    days = [date(2026, 1, 5) + timedelta(days=7 * n) for n in range(len(prices))]
    quotes = [quote(f"q{d}", p, "1 kg", "lime", since=d, **more) for d, p in zip(days, prices, strict=True)]
    return book(good("lime", "fruit", "kg", ""), *quotes)


@given(prices=st.lists(st.sampled_from(["1.50", "2", "2.20", "3", "4.75", "6"]), min_size=1, max_size=30))
@settings(deadline=None)
def test_the_width_is_the_quantile_of_moves(prices: list[str]) -> None:
    moves = [abs(log(float(b) / float(a))) for a, b in pairwise(prices) if a != b]
    found = width(weekly(prices), "lime")
    if len(moves) < 4:
        assert found is None
    else:
        wanted = exp(float(np.quantile(moves, 0.95))) - 1
        assert float(found or 0) == pytest.approx(wanted, abs=5.1e-4)


def test_moves_are_of_one_supplier_and_of_a_base_unit() -> None:
    made = book(
        good("lime", "fruit", "kg", ""),
        quote("a", "10", "5 kg", "lime", "quay", since=date(2026, 1, 1)),
        quote("b", "90", "1 kg", "lime", "mill", since=date(2026, 1, 2)),
        quote("c", "4", "1 kg", "lime", "quay", since=date(2026, 1, 3)),  # 2.00 to 4.00 a kilogram
        quote("d", "90", "1 kg", "lime", "mill", since=date(2026, 1, 4)),  # no move
        quote("e", "9", "1 kg", "lime", "mill", since=date(2026, 1, 5), tax="unknown"),  # says nothing
        quote("f", "0", "1 kg", "lime", "mill", since=date(2026, 1, 6)),
        quote("g", "45", "1 kg", "lime", "mill", since=date(2026, 1, 7)),
    )  # fmt: skip
    assert past_moves(made, "lime") == pytest.approx((log(2), -log(2)))
    assert width(made, "lime") is None
    assert width(made, "nothing") is None
    assert width(weekly(["1", "2", "1", "2", "1"]), "lime") == 1
