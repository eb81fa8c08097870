"""Edits of quotes: a price of another day is another quote, and the old one stays as the history."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from costing.book.book import Book
from costing.book.change import put
from costing.book.records import PackCharge, Quote
from costing.edits import quotes
from costing.ledger import reckon
from tests.edits.test_goods import after, book

__all__ = ["book"]
DAY = date(2026, 11, 1)
LATER = date(2026, 11, 9)


def current(book: Book, good: str = "white-rum", day: date = DAY) -> Quote:
    """The quote that costs a good."""
    found = book.on(day).quote_of(good)
    assert found is not None
    return found


def test_another_day_is_another_quote_and_the_old_one_stays(book: Book) -> None:
    old = current(book)
    assert old.since < DAY
    done = after(book, quotes.set_price(book, old.id, "99,50", DAY))
    assert done.all(Quote)[old.id] == old
    new = current(done)
    assert (new.price, new.since, new.levels, new.content) == (Decimal("99.50"), DAY, old.levels, old.content)
    assert current(done, day=date.fromordinal(DAY.toordinal() - 1)) == old


def test_the_same_day_is_put_right(book: Book) -> None:
    done = after(book, quotes.set_price(book, current(book).id, "99.50", DAY))
    again = after(done, quotes.set_price(done, current(done).id, "98.50", DAY))
    assert again.all(Quote).keys() == done.all(Quote).keys()
    assert current(again).price == Decimal("98.50")
    assert quotes.set_price(again, current(again).id, "98,5", DAY) is None


def test_what_lands_with_a_pack_goes_on_with_its_price(book: Book) -> None:
    old = current(book)
    freight = replace(old, charges=(PackCharge(name="freight", amount=Decimal("2.40")),))
    started = book.with_changes([put("quote", freight, old)])
    done = after(started, quotes.set_price(started, old.id, "99.50", DAY))
    assert current(done).charges == freight.charges


def test_another_pack_begins_on_the_day_and_what_was_before_stays(book: Book) -> None:
    old = replace(current(book), code="R-70", gtin="00012345600012")
    started = book.with_changes([put("quote", old, current(book))])
    done = after(started, quotes.begin_pack(started, old.id, "6 x 0.35 l", DAY))
    assert done.all(Quote)[old.id] == old
    new = current(done)
    assert (new.price, new.since, new.levels, new.content.text) == (old.price, DAY, (6,), "0.35 l")
    assert (new.code, new.gtin) == ("", "")  # they name the pack that was
    before = date.fromordinal(DAY.toordinal() - 1)
    assert current(done, day=before) == old
    again = after(done, quotes.begin_pack(done, new.id, "0.5 l", DAY))
    assert again.all(Quote).keys() == done.all(Quote).keys()
    assert current(again).content.text == "0.5 l"
    assert quotes.begin_pack(again, new.id, "0.50 l", LATER) is None


def test_a_changed_price_moves_the_cost(book: Book) -> None:
    old = current(book)
    done = after(book, quotes.set_price(book, old.id, str(old.price * 2), DAY))
    before, now = (reckon(b.on(DAY)).prices["white-rum"].per_base for b in (book, done))
    assert now == pytest.approx(2 * before, rel=1e-12)


def test_a_quote_for_the_same_pack_and_day_is_put_right(book: Book) -> None:
    first = quotes.new_quote(book, "lime", "", "2 x 5 kg", "18", LATER)
    done = after(book, first)
    again = after(done, quotes.new_quote(done, "lime", "", "2 x 5.0 kg", "19.20", LATER))
    assert again.all(Quote).keys() == done.all(Quote).keys()
    other = after(done, quotes.new_quote(done, "lime", "", "10 kg", "19.20", LATER))
    assert len(other.all(Quote)) == len(done.all(Quote)) + 1


def test_a_new_quote_takes_tax_from_the_suppliers_last(book: Book) -> None:
    old = current(book)
    started = after(book, quotes.set_tax(book, old.id, "inc", "19 %"))
    done = after(started, quotes.new_quote(started, "white-rum", old.supplier, "0.7 l", "16", LATER))
    new = current(done, day=LATER)
    assert (new.tax, new.tax_rate) == ("inc", Decimal("0.19"))


@pytest.mark.parametrize(
    ("pack", "price"),
    [("0 l", "5"), ("six bottles", "5"), ("1,500 ml", "5"), ("0.7 l", "1,250"), ("0.7 l", "-1"), ("0.7 l", "12000000")],
)
def test_what_cannot_be_read_in_one_way_is_refused(book: Book, pack: str, price: str) -> None:
    with pytest.raises(ValueError, match=r"."):
        quotes.new_quote(book, "lime", "", pack, price, DAY)


def test_days_the_wrong_way_round_are_refused(book: Book) -> None:
    old = current(book)
    with pytest.raises(ValueError, match="before"):
        quotes.set_days(book, old.id, DAY, date(2026, 10, 1))


def test_writing_what_is_there_is_no_step(book: Book) -> None:
    old = current(book)
    assert quotes.set_days(book, old.id, old.since, old.until) is None
    assert quotes.set_code(book, old.id, f" {old.code} ") is None
    assert quotes.set_note(book, old.id, old.note) is None
    assert quotes.set_supplier(book, old.id, old.supplier) is None
    assert quotes.set_pack(book, old.id, quotes.pack_text(old)) is None


def test_removing_gives_back_the_one_before(book: Book) -> None:
    old = current(book)
    done = after(book, quotes.set_price(book, old.id, "99", DAY))
    assert current(after(done, quotes.remove(done, current(done).id))) == old


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.tuples(st.integers(0, 60), st.decimals("0.01", "9999", places=2)), min_size=1, max_size=6))
def test_prices_typed_on_any_days_are_the_history(book: Book, typed: list[tuple[int, Decimal]]) -> None:
    """Typing a price on days going forward leaves one quote a day, each with its price; ids are never used twice."""
    now, said = book, dict[date, Decimal]()
    for days, price in sorted(typed, key=lambda t: t[0]):
        day = date.fromordinal(DAY.toordinal() + days)
        step = quotes.set_price(now, current(now, day=day).id, str(price), day)
        now = after(now, step) if step is not None else now
        said[day] = price
    for day, price in said.items():
        assert current(now, day=day).price == price
    assert book.all(Quote).items() <= now.all(Quote).items()


def test_a_quote_of_another_currency_keeps_to_its_own(book: Book) -> None:
    old = current(book)
    dollars = book.with_changes([put("quote", replace(old, currency="USD"), old)])
    done = after(dollars, quotes.amend_price(dollars, old.id, "$90"))
    assert (done.all(Quote)[old.id].price, done.all(Quote)[old.id].currency) == (Decimal(90), "USD")
    with pytest.raises(ValueError, match="€90"):
        quotes.amend_price(dollars, old.id, "€90")


@pytest.mark.parametrize("text", ["£90", "$20", "¥90", "20 USD", "90 gbp"])
def test_another_currency_is_refused_and_never_taken_for_the_houses(book: Book, text: str) -> None:
    with pytest.raises(ValueError, match="is not in EUR, the currency of this price"):
        quotes.set_price(book, current(book).id, text, DAY)


@pytest.mark.parametrize("text", ["€ 90", "90 EUR", "90.00 eur", "90,00 €"])
def test_the_houses_own_currency_may_be_written(book: Book, text: str) -> None:
    assert current(after(book, quotes.set_price(book, current(book).id, text, DAY))).price == Decimal(90)


def test_a_thousand_and_a_small_price_are_told_apart_by_whoever_types(book: Book) -> None:
    with pytest.raises(ValueError, match=r"may be 1000 or 1\.000"):
        quotes.set_price(book, current(book).id, "1.000", DAY)
    done = after(book, quotes.set_price(book, current(book).id, "0.125", DAY))
    assert current(done).price == Decimal("0.125")
