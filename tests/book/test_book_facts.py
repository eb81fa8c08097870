"""Amounts as somebody types them: what is read, what is refused and how the refusal helps."""

import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.book import Fact, parse_fact
from costing.book.units import lookup
from tests.ledger.strategies import laws

D = Decimal
GOOD: list[tuple[str, str, str, str]] = [
    # text, value, unit, mark
    ("45 ml", "45", "ml", "measured"),
    ("45ml", "45", "ml", "measured"),
    ("  45   ml  ", "45", "ml", "measured"),
    ("45\tml", "45", "ml", "measured"),
    ("45", "45", "", "measured"),
    ("0", "0", "", "measured"),
    ("0.7 l", "0.7", "l", "measured"),
    ("0,75 l", "0.75", "l", "measured"),
    ("0,750 l", "0.750", "l", "measured"),
    ("1,5 kg", "1.5", "kg", "measured"),
    ("1.500 kg", "1.500", "kg", "measured"),
    ("12,5 %", "12.5", "%", "measured"),
    ("51 %", "51", "%", "measured"),
    ("51%", "51", "%", "measured"),
    ("40 % vol", "40", "% vol", "measured"),
    ("40 %vol", "40", "%vol", "measured"),
    ("~30 min", "30", "min", "assumed"),
    ("~ 30 min", "30", "min", "assumed"),
    ("~0.75", "0.75", "", "assumed"),
    ("1/2 oz", "0.5", "oz", "measured"),
    ("1 1/2 oz", "1.5", "oz", "measured"),
    ("1  1/2 us fl oz", "1.5", "us fl oz", "measured"),
    ("~1 1/2 us fl oz", "1.5", "us fl oz", "assumed"),
    ("½ oz", "0.5", "oz", "measured"),
    ("1½ oz", "1.5", "oz", "measured"),
    ("1 ½ oz", "1.5", "oz", "measured"),
    ("¾ oz", "0.75", "oz", "measured"),
    ("¼l", "0.25", "l", "measured"),
    ("⅛ l", "0.125", "l", "measured"),
    ("⅝ oz", "0.625", "oz", "measured"),
    ("3⁄4 oz", "0.75", "oz", "measured"),  # the fraction slash
    ("2 dashes", "2", "dashes", "measured"),
    ("1 barspoon", "1", "barspoon", "measured"),
    ("100 g/l", "100", "g/l", "measured"),
    ("6 g/100 ml", "6", "g/100 ml", "measured"),
    ("998.2 kg/m3", "998.2", "kg/m3", "measured"),
    ("12 Bx", "12", "Bx", "measured"),
    ("12 °Bx", "12", "°Bx", "measured"),
    ("50 mbar", "50", "mbar", "measured"),
    ("-5 C", "-5", "C", "measured"),
    ("\u22125 C", "-5", "C", "measured"),  # the minus sign
    ("45\u00a0ml", "45", "ml", "measured"),  # a space that does not break
    ("45\u202fml", "45", "ml", "measured"),
    ("45\u2009ml", "45", "ml", "measured"),
    ("1000000 g", "1000000", "g", "measured"),
    ("0.0000001 kg", "0.0000001", "kg", "measured"),
    ("007 g", "7", "g", "measured"),
    (".75 oz", "0.75", "oz", "measured"),
    ("2.45 kg less 0.65 kg", "1.80", "kg", "measured"),
    ("~1 kg less 1/4 kg", "0.75", "kg", "assumed"),
    ("1.2 l at 5 C", "1.2", "l", "measured"),
]


@pytest.mark.parametrize(("text", "value", "unit", "mark"), GOOD)
def test_an_amount_is_read_as_it_was_meant(text: str, value: str, unit: str, mark: str) -> None:
    fact = parse_fact(text)
    assert (fact.value, fact.unit, fact.mark) == (D(value), unit, mark)
    assert fact.text == text


HOSTILE = [
    "", " ", "~", "~~5 ml", "ml", "a lot", ",5 l", "5.", "5. l", "1.2.3 l", "1,2,3 l", "1,500 ml", "12,345",
    "1.500,00 g", "1,500.00 g", "1 000 g", "1'000 g", "1_000 g", "1e3 g", "1e400", "0x10", "5/0 oz", "1 1/0 oz",
    "1/2/3", "1 1/2/3 oz", "-1/2 oz", "--5 ml", "+5 ml", "5-6 ml", "5 - 6 ml", "5..10 g", "NaN", "nan g", "Infinity",
    "inf kg",
    "∞ l", "٤٥ ml", "４５ ml", "²5 g", "45 ml 30 ml", "45 ml + 2", "12 x 0.7 l", "=1+1", "9" * 400,
    "1" + "0" * 12 + " g",
    "45 " + "m" * 60, "0." + "0" * 40 + "1 g", "\x0045 ml", "<b>45</b>", "45 (2)", "one ml", "½½ oz", "1½½ oz", "2½/3",
]  # fmt: skip


@pytest.mark.parametrize("text", HOSTILE)
def test_what_is_no_amount_is_refused_with_its_text_or_its_length(text: str) -> None:
    with pytest.raises(ValueError) as caught:  # noqa: PT011  the message is looked at below
        parse_fact(text)
    message = str(caught.value)
    assert repr(text)[:20] in message or str(len(text)) in message
    assert len(message) < 700


@pytest.mark.parametrize("text", ["2 1", "5 1 g", "10 1 ml"])
def test_a_number_after_a_number_is_not_a_unit(text: str) -> None:
    with pytest.raises(ValueError, match=r"not a unit|more than one way"):
        parse_fact(text)


def test_a_comma_before_three_digits_names_both_readings() -> None:
    with pytest.raises(ValueError, match=r"1500 or 1\.500"):
        parse_fact("1,500 ml")


@pytest.mark.parametrize("value", [D("NaN"), D("Infinity"), D("1.1e9"), D("-1.1e9"), D("1e-29")])
def test_a_fact_holds_only_figures_that_can_be_kept(value: Decimal) -> None:
    with pytest.raises(ValueError, match=r"1e9|decimals"):
        Fact(text="x", value=value)


@laws(300)
@given(st.integers(0, 999), st.integers(0, 98), st.integers(1, 99))
def test_any_fraction_is_within_the_last_decimal(whole: int, top: int, under: int) -> None:
    fact = parse_fact(f"{whole} {top}/{under} l")
    assert abs(fact.value * under - (whole * under + top)) <= D("1e-23")
    assert math.isclose(float(fact.value), whole + top / under, rel_tol=1e-15)


@laws(300)
@given(st.decimals(min_value=0, max_value=10**8, places=4, allow_nan=False), st.sampled_from(["ml", "kg", "% vol", ""]))
def test_any_decimal_is_read_exactly(value: Decimal, unit: str) -> None:
    fact = parse_fact(f"{value} {unit}")
    assert fact.value == value
    assert fact.unit == unit
    assert lookup(fact.unit) is not None


@laws(500)
@given(st.text(max_size=30))
def test_any_text_is_an_amount_or_a_plain_refusal(text: str) -> None:
    try:
        fact = parse_fact(text)
    except ValueError:
        return
    assert fact.text == text
    assert any(c.isdigit() or c in "½⅓⅔¼¾⅛⅜⅝⅞" for c in text)


def test_the_mark_given_wins_over_the_sign() -> None:
    assert parse_fact("~5 g", "measured").mark == "measured"
    assert parse_fact("5 g", "assumed").mark == "assumed"
