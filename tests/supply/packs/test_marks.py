"""The vote of a column on its decimal mark; the rules are those of the trade, common practice, no source."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.supply.arriving.table import DayCell, Figure
from costing.supply.packs import column_mark, mark_by_products, read_number
from tests.supply.packs.number_cases import LOCALES, rendered


@pytest.mark.parametrize(
    ("column", "mark", "why", "ambiguous"),
    [
        (["1.204", "12,50"], ",", "decimals", 1),
        (["1.204", "12.50"], ".", "decimals", 1),
        (["1.204", "0,533"], ",", "decimals", 1),
        (["1.204,50"], ",", "both-marks", 0),
        (["1,204.50", "3,400"], ".", "both-marks", 1),
        (["1 204,507"], ",", "decimals", 0),
        (["1'204.507"], ".", "both-marks", 0),
        (["1.204.000", "1.204"], ",", "repeated-mark", 1),
        (["1,204,000"], ".", "repeated-mark", 0),
        (["€ 3,50", "POA", "", "12/750 ml", "1.2.3"], ",", "decimals", 0),
        (["1234,567"], ",", "decimals", 0),
        (["-12.50", "(1.204)"], ".", "decimals", 1),
    ],
)
def test_a_cell_that_can_only_mean_one_thing_fixes_the_column(
    column: list[str], mark: str, why: str, ambiguous: int
) -> None:
    found = column_mark(column)
    assert (found.mark, found.sure, found.why, found.ambiguous) == (mark, True, why, ambiguous)


def test_only_ambiguous_cells_have_to_be_asked_about() -> None:
    found = column_mark(["1.204", "4.537", "12"])
    assert (found.mark, found.sure, found.why, found.ambiguous) == (None, False, "ambiguous", 2)


@pytest.mark.parametrize("column", [[], ["1", "12", "POA"], ["1 204"], ["٣٫٥"], ["", ""]])
def test_a_column_without_marks_needs_none(column: list[str]) -> None:
    found = column_mark(column)
    assert (found.mark, found.sure, found.why) == (None, True, "no-marks")


def test_a_contradiction_is_reported_and_nobody_is_outvoted() -> None:
    found = column_mark(["1,50"] * 99 + ["1.5"])
    assert (found.mark, found.sure, found.why, found.seen) == (None, False, "contradiction", ("1,50", "1.5"))


def test_stored_numbers_and_days_do_not_vote() -> None:
    found = column_mark([Figure("1204.5"), Figure("1.5"), DayCell("2026-03-04"), "3,50"])
    assert (found.mark, found.sure) == (",", True)
    assert column_mark([Figure("1.5")]).why == "no-marks"
    assert column_mark([Figure("1.5"), "1.5", "1,5"]).why == "contradiction"
    assert column_mark(["1.5", Figure("1.5")]).mark == "."


def test_the_product_of_a_row_tells_the_mark() -> None:
    assert mark_by_products([("3", "4,537", "13,61")]).mark == ","
    assert mark_by_products([("3", "4,537", "13.611,00")]).mark == "."
    assert mark_by_products([("1.204", "10,00", "12.040,00")]).mark == ","
    assert mark_by_products([("1.204", "10,00", "12,04")]).mark == "."
    assert mark_by_products([("12", Figure("1.5"), "18.000")]).mark == "."


def test_a_product_that_comes_out_both_ways_says_nothing() -> None:
    """A Belgian invoice line of a published example: 3 at 4,537 is 13,611 in either reading."""
    found = mark_by_products([("3", "4,537", "13,611")])
    assert (found.mark, found.sure, found.why) == (None, False, "ambiguous")


def test_rows_that_do_not_come_out_are_passed_over_and_rows_that_contradict_are_told() -> None:
    discount = ("2", "1,000", "1.80")
    assert mark_by_products([discount]).why == "ambiguous"
    assert mark_by_products([discount, ("3", "4,537", "13,61")]).mark == ","
    both = mark_by_products([("3", "4,537", "13,61"), ("3", "4.537", "13.61")])
    assert (both.mark, both.why, len(both.seen)) == (None, "contradiction", 2)
    assert mark_by_products([("2", "1.50", "3.00")]).why == "no-marks"


@given(
    st.lists(st.decimals(min_value=1, max_value=10**7, places=2, allow_nan=False), min_size=1, max_size=20),
    st.sampled_from([name for name in LOCALES if LOCALES[name][0] in ".,"]),
)
def test_a_column_of_one_locale_is_read_back(values: list[Decimal], locale: str) -> None:
    texts = [rendered(str(value), locale) for value in values]
    found = column_mark(texts)
    assert (found.mark, found.sure) == (LOCALES[locale][0], True)
    assert [read_number(text, found.mark).value for text in texts] == values


@given(st.lists(st.text(max_size=20), max_size=20))
def test_no_column_raises_and_a_mark_is_sure(texts: list[str]) -> None:
    found = column_mark(texts)
    assert found.sure or found.mark is None
