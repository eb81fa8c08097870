"""Rounding of money: ties, currencies of no, two and three decimals, and parts that add up."""

import math
import random
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.book.money import digits, exact, parts_shown, rounded, shown, to_float
from tests.ledger.strategies import laws

D = Decimal


@pytest.mark.parametrize(
    ("currency", "places"),
    [("EUR", 2), ("USD", 2), ("JPY", 0), ("KRW", 0), ("ISK", 0), ("KWD", 3), ("BHD", 3), ("CLF", 4)],
)
def test_decimals_of_a_currency_are_those_of_iso_4217(currency: str, places: int) -> None:
    assert digits(currency) == places


@pytest.mark.parametrize("code", ["", "EURO", "eu", "XXZ", "€"])
def test_a_currency_that_is_none_is_named(code: str) -> None:
    with pytest.raises(ValueError, match=f"{code!r}.*4217"):
        digits(code)


@pytest.mark.parametrize(
    ("value", "currency", "expected"),
    [
        (2.675, "EUR", "2.68"),  # the float lies below the tie that was meant
        (1.005, "EUR", "1.01"),
        (0.005, "EUR", "0.01"),
        (0.0049999, "EUR", "0.00"),
        (-2.675, "EUR", "-2.68"),
        (-0.004, "EUR", "0.00"),
        (0.1 + 0.2, "EUR", "0.30"),
        (16.0, "EUR", "16.00"),
        (0.5, "JPY", "1"),
        (1234.4999, "JPY", "1234"),
        (1.0005, "KWD", "1.001"),
        (2.0014999, "KWD", "2.001"),
        (8.5 * 1.15, "EUR", "9.78"),  # 9.775 exactly
    ],
)
def test_half_goes_up_and_a_mirror_image_down(value: float, currency: str, expected: str) -> None:
    found = shown(value, currency)
    assert found == D(expected)
    assert found.as_tuple().exponent == D(expected).as_tuple().exponent
    assert str(found) != "-0.00"


def _wrong(seed: int, places: int, count: int, ties: int) -> tuple[int, int]:
    """(wrong cents, exact ties) of prices worked out in float64 against the same in fractions."""
    rng = random.Random(seed)
    wrong = met = 0
    for n in range(count):
        grams, price = rng.randint(1, 5_000), rng.randint(1, 20_000)
        if n < ties:  # products that end in a half of the last place
            grams, price = (
                5 * rng.randint(1, 999) * 10 ** (3 - places) if places < 3 else 5 * rng.randint(1, 99),
                rng.randint(1, 999),
            )
        computed = grams / 1000 * (price / 100) * 10 ** (2 - places)
        true = Fraction(grams, 1000) * Fraction(price, 100) * Fraction(10) ** (2 - places)
        scaled = true * 10**places
        met += scaled - math.floor(scaled) == Fraction(1, 2)
        wrong += Fraction(rounded(computed, places)) != Fraction(math.floor(scaled + Fraction(1, 2)), 10**places)
    return wrong, met


@pytest.mark.parametrize("places", [0, 2, 3])
def test_no_cent_is_wrong_of_sixty_thousand(places: int) -> None:
    wrong, ties = _wrong(20 + places, places, 60_000, 2_000)
    assert wrong == 0
    assert ties > 200  # or the test would prove little


@pytest.mark.parametrize("text", ["99999.995", "9999999.005", "123456789.125", "8765432.165", "-9999999.005"])
def test_an_exact_amount_is_shown_exactly(text: str) -> None:
    assert shown(D(text), "EUR") == D(text).quantize(D("0.01"), ROUND_HALF_UP)


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_no_money_is_refused(value: float) -> None:
    for crossing in (exact, lambda v: rounded(v, 2), lambda v: shown(v, "EUR")):
        with pytest.raises(ValueError, match="not an amount of money"):
            crossing(value)


@laws(300)
@given(st.decimals(min_value=-(10**7), max_value=10**7, places=6, allow_nan=False))
def test_a_decimal_comes_back_from_a_float(value: Decimal) -> None:
    assert exact(to_float(value)) == value


PARTS = st.lists(st.integers(0, 10_000_000).map(lambda n: n / 12_345), min_size=1, max_size=12)


@laws(400)
@given(PARTS, st.sampled_from(["EUR", "JPY", "KWD"]))
def test_printed_parts_add_up_to_the_printed_total(parts: list[float], currency: str) -> None:
    printed = parts_shown(parts, currency)
    assert sum(printed) == shown(math.fsum(parts), currency)
    step = D(1).scaleb(-digits(currency))
    for part, shape in zip(parts, printed, strict=True):
        assert abs(shape - exact(part)) < step + D("1e-6")


@pytest.mark.parametrize(
    ("parts", "printed"),
    [
        ([1 / 3, 1 / 3, 1 / 3], ["0.34", "0.33", "0.33"]),
        ([0.005, 0.005], ["0.01", "0.00"]),
        ([2.2052, 0.125, 0.06, 0.12, 0.35], ["2.21", "0.12", "0.06", "0.12", "0.35"]),
        ([0.0], ["0.00"]),
        ([], []),
    ],
)
def test_the_largest_remainder_gets_the_cent(parts: list[float], printed: list[str]) -> None:
    assert parts_shown(parts, "EUR") == [D(p) for p in printed]
