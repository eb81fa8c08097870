"""Numbers of supplier lists: each row that a general library got wrong, 500 texts in many locales, and laws."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.supply.arriving.table import DayCell, Figure, Unworked
from costing.supply.packs import parse_number, read_number
from tests.supply.packs.number_cases import ASKED, BY_HAND, CASES, LOCALES, NO_NUMBERS, rendered


def test_there_are_500_texts() -> None:
    assert len(CASES) >= 500


def test_no_text_is_read_off_by_ten_or_a_thousand() -> None:
    """With the mark of the column every text reads as meant; without it, as meant or as one of two readings."""
    wrong, open_ones = [], 0
    for text, value, mark in CASES:
        alone, placed = read_number(text), read_number(text, mark)
        if placed.value != value:
            wrong.append((text, mark, placed))
        if alone.value is None and value in alone.readings and alone.state == "ambiguous":
            open_ones += 1
        elif alone.value != value and (text, value, mark) not in BY_HAND:
            wrong.append((text, None, alone))
    assert wrong == []
    assert 20 < open_ones < len(CASES) / 10


@pytest.mark.parametrize(("text", "value", "mark"), BY_HAND, ids=[f"{t} [{m}]" for t, _, m in BY_HAND])
def test_a_text_written_by_hand(text: str, value: Decimal, mark: str | None) -> None:
    assert parse_number(text, mark) == value


@pytest.mark.parametrize("text", ["1.204", "4,537", "€ 1,000", "12.345 EUR", "00,345", "-1.204"])
def test_what_has_two_readings_is_never_read(text: str) -> None:
    found = read_number(text)
    assert (found.state, found.value, len(found.readings)) == ("ambiguous", None, 2)
    assert abs(found.readings[1]) == 1000 * abs(found.readings[0])
    with pytest.raises(ValueError, match="say which decimal mark"):
        parse_number(text)


@pytest.mark.parametrize("text", NO_NUMBERS)
def test_what_is_no_number_is_said_to_be_none(text: str) -> None:
    assert read_number(text).state == "none"
    with pytest.raises(ValueError, match=r'^".*" is no number: write one such as 1204.50$'):
        parse_number(text)


@pytest.mark.parametrize("text", ASKED)
def test_a_price_that_has_to_be_asked_for(text: str) -> None:
    assert read_number(text).state == "on-request"


@pytest.mark.parametrize(
    ("text", "count", "price", "currency"),
    [("3/£10", 3, "10", "GBP"), ("3 for 10", 3, "10", ""), ("3 for £10.50", 3, "10.50", "GBP"),
     ("3 für 10 €", 3, "10", "EUR"), ("2 pour 15,90 €", 2, "15.90", "EUR"), ("2 for 1,204", 2, "1.204", "")],
)  # fmt: skip
def test_a_price_of_several_is_never_that_of_one(text: str, count: int, price: str, currency: str) -> None:
    found = read_number(text)
    assert (found.state, found.value, found.count, found.currency) == ("several", None, count, currency)
    assert found.readings[0] == Decimal(price)
    with pytest.raises(ValueError, match=f"price of {count}"):
        parse_number(text)


@pytest.mark.parametrize(
    ("text", "currency"),
    [("€ 3", "EUR"), ("3 eur", "EUR"), ("£3", "GBP"), ("$3", ""), ("US$3", "USD"), ("3 PEN", "PEN"), ("CHF 3.-", "CHF"),
     ("3 zł", "PLN"), ("¥300", ""), ("kr 3", ""), ("3", "")],
)  # fmt: skip
def test_the_currency_beside_a_number(text: str, currency: str) -> None:
    found = read_number(text)
    assert (found.state, found.currency) == ("number", currency)


def test_a_percentage_is_as_written_and_no_amount() -> None:
    found = read_number("19,5 %")
    assert (found.value, found.percent) == (Decimal("19.5"), True)
    with pytest.raises(ValueError, match="percentage"):
        parse_number("19 %")


def test_a_mark_that_contradicts_its_column_is_not_read() -> None:
    found = read_number("12,50", ".")
    assert (found.state, found.value, found.readings) == ("ambiguous", None, (Decimal("12.50"),))
    with pytest.raises(ValueError, match=r'does not use the decimal mark "\."'):
        parse_number("12,50", ".")
    assert read_number("1.234.567", ".").state == "ambiguous"


def test_a_cell_that_was_stored_as_a_number_keeps_its_point() -> None:
    assert parse_number(Figure("1.204"), ",") == Decimal("1.204")
    assert read_number("1.204", ",").value == 1204  # the same letters as text: not confused with the stored one
    assert read_number(Figure("1.204")).value == Decimal("1.204")
    assert read_number(DayCell("2026-03-04")).state == read_number(Unworked("")).state == "none"


def test_a_mark_that_is_none_is_refused() -> None:
    with pytest.raises(ValueError, match="must be a point or a comma"):
        read_number("1", ";")


@given(st.text(max_size=80), st.sampled_from([None, ".", ","]))
def test_no_text_raises_and_a_value_is_one_of_its_readings(text: str, decimal: str | None) -> None:
    found = read_number(text, decimal)
    assert (found.value is not None) == (found.state == "number")
    assert found.value is None or found.readings == (found.value,)


@given(st.text(alphabet="0123456789.,' -()+€$%/½EUR\u00a0\u066b", max_size=30))
def test_numbers_are_finite_and_hold_the_digits_of_the_text(text: str) -> None:
    found = read_number(text)
    if found.value is not None and "/" not in text and "½" not in text:
        assert found.value.is_finite()
        digits = "".join(c for c in text if c.isdigit()).translate({}).lstrip("0")
        said = "".join(map(str, found.value.as_tuple().digits)).lstrip("0")
        assert said == digits


@given(
    st.decimals(min_value=-10**9, max_value=10**9, places=4, allow_nan=False), st.integers(0, 4),
    st.sampled_from(sorted(LOCALES)),
)  # fmt: skip
def test_a_figure_of_any_locale_reads_back(value: Decimal, places: int, locale: str) -> None:
    figure = f"{abs(value):.{places}f}"
    text = ("-" if value < 0 else "") + rendered(figure, locale)
    mark = {"\u066b": None, "\uff0e": "."}.get(LOCALES[locale][0], LOCALES[locale][0])
    meant = Decimal(figure).copy_negate() if value < 0 else Decimal(figure)
    assert read_number(text, mark).value == meant
    alone = read_number(text)
    assert alone.value == meant or (alone.value is None and meant in alone.readings)
