"""Planning a price test, against sums over the binomial law and against printed constants of sequential tests."""

import math
from decimal import Decimal

import pytest

from costing.menu import pricetest


def power_of(share: float, other: float, each: int, critical: float = 1.959964) -> float:
    """The chance that the pooled z of two arms lies beyond ``critical``, summed over every count that has any weight:
    nothing of the formula under test is in it."""

    def weights(p: float) -> list[tuple[int, float]]:
        sd = math.sqrt(each * p * (1 - p))
        span = range(max(0, int(each * p - 7 * sd)), min(each, int(each * p + 7 * sd)) + 1)
        log = [math.lgamma(each + 1) - math.lgamma(k + 1) - math.lgamma(each - k + 1) for k in span]
        return [
            (k, math.exp(c + k * math.log(p) + (each - k) * math.log(1 - p))) for k, c in zip(span, log, strict=True)
        ]

    found = 0.0
    second = weights(other)
    for a, weight in weights(share):
        for b, beside in second:
            mean = (a + b) / (2 * each)
            if abs(a - b) > critical * math.sqrt(2 * each * mean * (1 - mean)):
                found += weight * beside
    return found


def test_ten_per_cent_to_eight_takes_3213_drinks_an_arm() -> None:
    """Computed apart: alpha 5 % two-sided, power 80 %. The binomial sum says what that size really does."""
    assert pricetest.sample_size(0.10, 0.08) == 3213
    assert pricetest.sample_size(0.08, 0.10) == 3213
    assert power_of(0.10, 0.08, 3213) == pytest.approx(0.80, abs=0.004)
    assert power_of(0.10, 0.10, 3213) == pytest.approx(0.05, abs=0.003)


def test_continuity_asks_for_more() -> None:
    """Fleiss, Tytun and Ury: close to 2 / |p1 - p2| more."""
    careful = pricetest.sample_size(0.10, 0.08, careful=True)
    assert careful == pytest.approx(3213 + 2 / 0.02, abs=2)
    assert power_of(0.30, 0.10, pricetest.sample_size(0.30, 0.10, careful=True)) >= 0.80


def test_weeks_and_what_they_could_tell() -> None:
    plan = pricetest.plan(0.10, 0.08, per_week=900)
    assert (plan.per_arm, plan.drinks, plan.weeks) == (3213, 6426, 8)  # 7.14 weeks
    assert pricetest.plan(0.10, 0.08).weeks is None
    assert pricetest.detectable(0.10, 6426 / 900, 900) == pytest.approx(0.08, abs=1e-5)
    assert pricetest.detectable(0.08, 6426 / 900, 900, up=True) == pytest.approx(0.10, abs=1e-5)
    few = pricetest.detectable(0.10, 4, 900)
    assert few is not None
    assert few < 0.08
    assert pricetest.sample_size(0.10, few) <= 1800
    assert pricetest.detectable(0.02, 1, 100) is None


def test_one_look_has_the_printed_constants() -> None:
    """Jennison and Turnbull, Group Sequential Methods, tables of O'Brien and Fleming's tests for two looks at 5 %
    (from memory): C 1.977, so 2.797 half way; 1.008 times the drinks at a power of 80 %."""
    looks = pricetest.one_look()
    assert looks.full == pytest.approx(1.977, abs=6e-4)
    assert looks.half == pytest.approx(2.797, abs=6e-4)
    assert looks.more == pytest.approx(1.008, abs=6e-4)
    assert pricetest.one_look(power=0.9).more == pytest.approx(1.007, abs=6e-4)
    assert pricetest.one_look(alpha=0.01).full == pytest.approx(2.580, abs=6e-4)
    plan = pricetest.plan(0.10, 0.08, look=True)
    assert plan.per_arm == math.ceil(3213 * looks.more)
    assert plan.critical == looks.full
    assert pricetest.plan(0.10, 0.08).critical == pytest.approx(1.959964, abs=1e-6)


def test_two_looks_err_as_often_as_they_say() -> None:
    """Half a million invented tests: the second z is (the first + another) / sqrt(2)."""
    import numpy as np

    rng = np.random.default_rng(7)
    looks = pricetest.one_look()
    first, other = rng.standard_normal((2, 500_000))
    second = (first + other) / math.sqrt(2)
    wrong = np.mean((np.abs(first) > looks.half) | (np.abs(second) > looks.full))
    assert wrong == pytest.approx(0.05, abs=0.0013)  # four standard errors


def test_the_share_that_just_pays() -> None:
    """By hand: 14 to 15 net with a margin of 10.50 may lose 8.70 % of its volume. Of 1,000 drinks 100 were this one and
    900 others; the others selling as before, it is 91.30 of 991.30: 9.21 %, and the margin that of before."""
    found = pricetest.break_even_share(0.10, Decimal(14), Decimal(15), Decimal("3.50"))
    assert found == pytest.approx(91.3043478 / 991.3043478, abs=1e-9)
    assert found is not None
    assert 900 * found / (1 - found) * 11.50 == pytest.approx(100 * 10.50)
    assert pricetest.break_even_share(0.10, Decimal(14), Decimal(3), Decimal("3.50")) is None
    half = pricetest.break_even_share(0.60, Decimal(14), Decimal("7.50"), Decimal("3.50"))
    assert half == pytest.approx(157.5 / 197.5), "a share, however much more must be sold"


def test_what_weeks_could_tell_counts_the_look() -> None:
    """A test with one look takes 1.008 times the drinks, so that the same weeks tell less."""
    plan = pricetest.plan(0.10, 0.08, look=True)
    assert pricetest.detectable(0.10, plan.drinks / 900, 900, look=True) == pytest.approx(0.08, abs=1e-5)
    without, look = (pricetest.detectable(0.10, 4, 900, look=look) for look in (False, True))
    assert without is not None
    assert look is not None
    assert look < without


@pytest.mark.parametrize(
    ("share", "other", "more"),
    [(0.0, 0.1, {}), (0.1, 1.0, {}), (0.1, 0.1, {}), (0.1, 0.2, {"alpha": 0.0}), (0.1, 0.2, {"power": 1.0}),
     (0.1, 0.2, {"power": 0.3})],
)  # fmt: skip
def test_what_is_no_test_is_refused(share: float, other: float, more: dict[str, float]) -> None:
    with pytest.raises(ValueError, match=r"must lie|cannot be told apart"):
        pricetest.sample_size(share, other, **more)  # type: ignore[arg-type]


def test_no_drinks_test_nothing() -> None:
    with pytest.raises(ValueError, match="test nothing"):
        pricetest.plan(0.1, 0.08, per_week=0)
    with pytest.raises(ValueError, match="less than one drink"):
        pricetest.detectable(0.1, 1, 1)
