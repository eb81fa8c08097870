"""Foreign money in the house's, by the rate of the day."""

from datetime import date
from decimal import Decimal as D

import pytest

from costing.book.book import Book
from costing.book.buying import ExchangeRate
from costing.book.problem import Problem
from costing.supply.buying.money import HouseMoney, in_house_money
from tests.supply.buying.bar import book

RATES = tuple(
    ExchangeRate(id=f"r{n}", currency="USD", since=d, worth=D(w), source="central bank")
    for n, (d, w) in enumerate([(date(2026, 1, 1), "0.9"), (date(2026, 2, 1), "0.8")])
)


@pytest.mark.parametrize(("day", "worth"), [(date(2026, 1, 31), "0.9"), (date(2026, 2, 1), "0.8")])
def test_the_rate_is_that_of_the_day(day: date, worth: str) -> None:
    found = in_house_money(book(*RATES).on(day), D("12.50"), "USD")
    assert isinstance(found, HouseMoney)
    assert (found.amount, found.worth, found.currency) == (D("12.50") * D(worth), D(worth), "EUR")
    assert (found.source, found.since is not None) == ("central bank", True)


@pytest.mark.parametrize("currency", ["", "EUR"])
def test_its_own_money_is_as_it_is(currency: str) -> None:
    found = in_house_money(book().on(date(2026, 1, 1)), D(7), currency)
    assert found == HouseMoney(amount=D(7), currency="EUR")


def test_what_nobody_rated_is_a_problem() -> None:
    early = in_house_money(book(*RATES).on(date(2025, 12, 31)), D(7), "USD", "supplier/quay")
    assert isinstance(early, Problem)
    assert (early.code, early.where, early.get("house")) == ("foreign-currency", "supplier/quay", "EUR")
    bare = in_house_money(Book().on(date(2026, 1, 1)), D(7), "USD")
    assert isinstance(bare, Problem)
    assert bare.code == "no-currency"
