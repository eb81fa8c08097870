"""Edits of exchange rates: dated, put right on their own day, and refused where they cannot be."""

from datetime import date
from decimal import Decimal as D

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.book.book import Book
from costing.book.buying import ExchangeRate
from costing.book.change import put
from costing.edits import rates
from tests.edits.test_goods import after
from tests.supply.buying.bar import book as book_of

DAY, LATER = date(2026, 11, 1), date(2026, 12, 1)


@pytest.fixture(scope="module")
def book() -> Book:
    """A house that counts in EUR and knows no rate."""
    return book_of()


def test_a_rate_holds_from_its_day_on(book: Book) -> None:
    done = after(book, rates.add_rate(book, "usd", "0,92", DAY, "central bank"))
    done = after(done, rates.add_rate(done, "USD", "0.9", LATER))
    assert [r.worth for r in done.on(DAY).rates.values()] == [D("0.92")]
    assert done.on(DAY).rates["USD"].source == "central bank"
    assert done.on(LATER).rates["USD"].worth == D("0.9")
    assert done.on(date(2026, 10, 31)).rates == {}
    gone = after(done, rates.remove(done, done.on(LATER).rates["USD"].id))
    assert gone.on(LATER).rates["USD"].worth == D("0.92")


def test_the_same_day_is_put_right(book: Book) -> None:
    done = after(book, rates.add_rate(book, "USD", "0.92", DAY, "bank"))
    again = after(done, rates.add_rate(done, "USD", "0.93", DAY))
    assert [(r.worth, r.source) for r in again.all(ExchangeRate).values()] == [(D("0.93"), "bank")]
    assert rates.add_rate(again, "USD", "0.930", DAY) is None
    (ident,) = again.all(ExchangeRate)
    assert after(again, rates.set_worth(again, ident, "0.95")).all(ExchangeRate)[ident].worth == D("0.95")
    assert after(again, rates.set_source(again, ident, " fax ")).all(ExchangeRate)[ident].source == "fax"
    assert rates.set_worth(again, ident, "0.93") is None


def test_of_two_on_one_day_the_one_that_counts_is_put_right(book: Book) -> None:
    two = [put("rate", ExchangeRate(id=i, currency="USD", since=DAY, worth=D(w))) for i, w in (("a", "1"), ("b", "2"))]
    started = book.with_changes(two)
    done = after(started, rates.add_rate(started, "USD", "3", DAY))
    assert [r.worth for r in done.all(ExchangeRate).values()] == [1, 3]
    assert done.on(DAY).rates["USD"].worth == 3


def test_ids_of_the_past_are_not_used_again(book: Book) -> None:
    step = rates.add_rate(book, "USD", "0.92", DAY, past=["usd-2026-11-01"])
    assert step is not None
    assert step.changes[0].id == "usd-2026-11-01-2"


@pytest.mark.parametrize(
    ("code", "worth", "why"),
    [
        ("ABC", "1", "ISO 4217"), ("", "1", "which currency"), ("eur", "1", "own money"), ("USD", "much", "is worth"),
        ("USD", "0", "must lie"), ("USD", "-1", "must lie"), ("USD", "1,082", "could be"), ("USD", "1/2", "is worth"),
        ("USD", "10000000000", "must lie"),
    ],
)  # fmt: skip
def test_what_cannot_be_says_why_in_one_line(book: Book, code: str, worth: str, why: str) -> None:
    with pytest.raises(ValueError, match=why) as found:
        rates.add_rate(book, code, worth, DAY)
    assert "\n" not in str(found.value)


def test_a_book_without_a_currency_has_no_rates() -> None:
    with pytest.raises(ValueError, match="no currency yet"):
        rates.add_rate(Book(), "USD", "1", DAY)


@given(value=st.decimals(D("1e-9"), D("1e9"), places=9))
def test_a_worth_is_read_as_it_is_written(value: D) -> None:
    assert rates.typed_worth(f"{value:f}") == value
