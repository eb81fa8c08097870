"""What costs are doubtful by: batches, tests and prices, against published interval formulas and sums by hand."""

from datetime import date, timedelta
from decimal import Decimal
from itertools import pairwise
from math import log, sqrt

import pytest

from costing.book.book import Book
from costing.book.fact import parse_fact
from costing.book.records import BatchLog, LoggedStage, Quote, YieldTest
from costing.book.yields import yield_mean
from costing.pricing.doubts import NORMAL_95, T_95, next_one, widened
from costing.pricing.exposure import exposures
from costing.pricing.ranges import ranges
from costing.pricing.sources import batch_sources, price_sources, volatility
from tests.pricing.test_spread import DAY, MATERIALS, kitchen, looked_at, put_of


def logged(*masses: float, made: str = "second") -> Book:
    """A kitchen of figures weighed once, and so many batches of one preparation, each of 1 kg that went in."""
    logs = [
        BatchLog(id=f"b{n}", preparation=made, day=DAY, stages=(
            LoggedStage(stage="a", readings=(("out.mass", parse_fact(f"{mass} kg")),)),))
        for n, mass in enumerate(masses)
    ]  # fmt: skip
    return kitchen(trim="10 %", bottle="80 %", last="85 %").with_changes([put_of(log) for log in logs])


def quoted(*prices: str, days: int = 28) -> Book:
    """The same kitchen after so many prices of the pear, the last on the day, ``days`` apart."""
    quotes = [
        Quote(id=f"h{n}", good="pear", supplier="s", content=parse_fact("1 kg"), price=Decimal(price), currency="EUR",
              since=DAY - timedelta(days=days * (len(prices) - 1 - n)))
        for n, price in enumerate(prices)
    ]  # fmt: skip
    book = kitchen(trim="10 %", bottle="80 %", last="85 %")
    return Book({**{k: r for k, r in book.records.items() if k[0] != "quote"}, **{("quote", q.id): q for q in quotes}})


def test_the_interval_of_the_next_batch_is_the_published_one() -> None:
    # Student's prediction interval, mean +- t s sqrt(1 + 1/n) (Hahn and Meeker, Statistical Intervals, 1991), worked
    # example: yields .82 .79 .85 .80 .76 give .804 +- .102 at t = 2.776 (95 % both sides, 4 degrees)
    yields = [0.82, 0.79, 0.85, 0.80, 0.76]
    mean = sum(yields) / 5
    s = sqrt(sum((y - mean) ** 2 for y in yields) / 4)
    assert round(mean, 3) == 0.804
    assert round(next_one(s, 5) * NORMAL_95 / T_95[4] * 2.776, 3) == 0.102
    with pytest.raises(ValueError, match="degrees of freedom"):
        widened(1)


def test_what_was_paid_on_average_is_money_over_yield() -> None:
    # worked example: 10.00 made 1 kg, then 10.00 made 0.5 kg: 20 / 1.5 = 13.33 a kg, not the mean of 10 and 20
    tests = [YieldTest(id=f"t{n}", good="pear", day=DAY, gross=parse_fact("1 kg"), kept=parse_fact(text))
             for n, text in enumerate(("1 kg", "0.5 kg"))]  # fmt: skip
    mean = yield_mean(tests)
    assert mean is not None
    assert round(Decimal(10) / mean.share, 2) == Decimal("13.33")
    assert (10.0 / 1.0 + 10.0 / 0.5) / 2.0 == 15.0


def test_three_batches_tell_a_deviation_and_what_they_cost_on_average() -> None:
    (source,) = batch_sources(looked_at(logged(0.80, 0.74, 0.83)), ["first", "second"], MATERIALS)
    over = [log(0.80 / mass) for mass in (0.80, 0.74, 0.83)]
    middle = sum(over) / 3
    s = sqrt(sum((x - middle) ** 2 for x in over) / 2)
    assert (source.key, source.basis, source.n, source.seen) == (("preparation", "second"), "batches", 3, None)
    assert source.middle == pytest.approx(middle, rel=1e-9)
    assert source.sd == pytest.approx(s * sqrt(4 / 3) * 2.920 / 1.6449, rel=1e-9)


def test_fewer_than_three_batches_tell_a_range_and_no_deviation() -> None:
    looked = looked_at(logged(0.74, 0.83))
    (source,) = batch_sources(looked, ["second"], MATERIALS)
    assert source.n == 2
    assert source.seen == pytest.approx((log(0.80 / 0.83), log(0.80 / 0.74)))
    found = ranges(exposures(looked, MATERIALS))
    second, drink = found.made["second"], found.serves["drink"]
    assert second is not None
    assert drink is not None
    assert (second.method, second.basis, second.n, second.seen) == ("seen", "batches", 2, True)
    # by hand: 40.00 over the yields, at the most and the least that was made
    assert (second.low, second.high) == pytest.approx((40.0 / 0.9 / 0.83, 40.0 / 0.9 / 0.74))
    assert (drink.low, drink.high) == pytest.approx((2.0 / 0.9 / 0.85 / 0.83, 2.0 / 0.9 / 0.85 / 0.74))
    assert found.made["first"] is None  # nothing varies above it
    one = ranges(exposures(looked_at(logged(0.70)), MATERIALS)).made["second"]
    assert one is not None
    assert (one.low, one.high) == pytest.approx((one.cost, 40.0 / 0.9 / 0.70))


def test_a_price_walks_as_far_as_its_history_did() -> None:
    # realised variance: squares of the logarithms' steps over the days that they took, times the days ahead
    prices = ("36", "38", "35", "41", "40")
    looked = looked_at(quoted(*prices))
    (source,) = price_sources(looked, ["pear"], MATERIALS, horizon=28)
    steps = [log(float(b) / float(a)) for a, b in pairwise(prices)]
    a_step = sqrt(sum(r * r for r in steps) / 4)
    assert (source.n, source.basis) == (4, "prices")
    assert source.sd == pytest.approx(a_step * 2.132 / 1.6449, rel=1e-9)
    (longer,) = price_sources(looked, ["pear"], MATERIALS, horizon=112)
    assert longer.sd == pytest.approx(2.0 * source.sd)
    with pytest.raises(ValueError, match="must not be negative"):
        list(price_sources(looked, ["pear"], MATERIALS, horizon=-1))
    assert list(price_sources(looked, ["pear"], ("labour",))) == []


def test_fewer_than_three_steps_of_a_price_tell_nothing() -> None:
    assert list(price_sources(looked_at(quoted("36", "38", "40")), ["pear"], MATERIALS)) == []
    assert list(price_sources(looked_at(quoted("40", "40", "40", "40")), ["pear"], MATERIALS)) == []
    assert len(list(price_sources(looked_at(quoted("38", "40", "38", "40")), ["pear"], MATERIALS))) == 1
    # two quotes of one day are one price, the later
    assert list(price_sources(looked_at(quoted("38", "40", "38", "40", days=0)), ["pear"], MATERIALS)) == []


def test_a_correction_the_day_after_counts_for_a_day() -> None:
    calm = [(0.01, 30)] * 6
    assert volatility([*calm, (0.05, 1)])[0] < 2.5 * volatility(calm)[0]
    assert volatility([(0.01, 30), (0.01, 0), (0.02, 30)]) == (0.0, 2)


def test_logs_of_another_recipe_and_quotes_to_come_tell_nothing() -> None:
    book = logged(0.80, 0.74, 0.83)
    early = [BatchLog(id="e", preparation="second", day=date(2025, 12, 31), stages=())]
    (source,) = batch_sources(looked_at(book.with_changes([put_of(b) for b in early])), ["second"], MATERIALS)
    assert source.n == 3
    later = quoted("36", "38", "40", "42").on(DAY - timedelta(days=1))
    assert len([q for q in later.book.all(Quote).values() if q.since <= later.day]) == 3
