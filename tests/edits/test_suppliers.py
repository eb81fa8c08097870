"""Edits of a supplier's terms: what was typed stands, what cannot be says why in one line."""

from dataclasses import replace
from decimal import Decimal as D

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.book.book import Book
from costing.book.change import Step, put
from costing.book.records import Supplier
from costing.edits import suppliers
from tests.edits.test_goods import after
from tests.supply.buying.bar import book as book_of
from tests.supply.buying.bar import supplier


@pytest.fixture(scope="module")
def book() -> Book:
    """Two suppliers of whom only the names are known."""
    return book_of(supplier("quay"), supplier("mill"))


def who(book: Book) -> str:
    """The first supplier of the book."""
    return next(iter(book.all(Supplier)))


def done(book: Book, step: Step | None) -> Supplier:
    """That supplier after a step."""
    return after(book, step).all(Supplier)[who(book)]


def with_terms(book: Book, **terms: object) -> Book:
    """The book whose first supplier has some terms."""
    old = book.all(Supplier)[who(book)]
    return book.with_changes([put("supplier", replace(old, **terms), old)])  # type: ignore[arg-type]


def test_tax_with_a_rate_and_without_one(book: Book) -> None:
    for typed in ("19 %", "19", "19,0%"):
        found = done(book, suppliers.set_tax(book, who(book), "inc", typed))
        assert (found.tax, found.tax_rate) == ("inc", D("0.19"))
    started = with_terms(book, tax="ex", tax_rate=D("0.07"))
    assert done(started, suppliers.set_tax(started, who(book), "inc")).tax_rate is None
    with pytest.raises(ValueError, match="ex, inc, unknown"):
        suppliers.set_tax(book, who(book), "gross")  # type: ignore[arg-type]


@pytest.mark.parametrize("text", ["100 %", "-1", "x", "119", "1 %%", "1,234"])
def test_a_share_that_is_none_is_refused(book: Book, text: str) -> None:
    with pytest.raises(ValueError, match=r"share|below 100") as found:
        suppliers.set_rebate(book, who(book), text)
    assert "\n" not in str(found.value)


def test_freight_and_from_where_there_is_none(book: Book) -> None:
    found = done(book, suppliers.set_freight(book, who(book), "12,50", "€ 250"))
    assert (found.freight, found.free_from) == (D("12.50"), D(250))
    started = with_terms(book, freight=D(5), free_from=D(100))
    found = done(started, suppliers.set_freight(started, who(book), "", ""))
    assert (found.freight, found.free_from) == (None, None)
    with pytest.raises(ValueError, match="freight"):
        suppliers.set_freight(book, who(book), "", "250")


def test_least_order_and_money_back(book: Book) -> None:
    assert done(book, suppliers.set_minimum(book, who(book), "80")).minimum == 80
    found = done(book, suppliers.set_rebate(book, who(book), "2.5 %", "10000"))
    assert (found.rebate, found.rebate_from) == (D("0.025"), D(10000))
    with pytest.raises(ValueError, match="share"):
        suppliers.set_rebate(book, who(book), "", "10000")


def test_the_currency_it_bills_in_and_its_amounts(book: Book) -> None:
    started = after(book, suppliers.set_currency(book, who(book), " usd "))
    assert started.all(Supplier)[who(book)].currency == "USD"
    assert done(started, suppliers.set_minimum(started, who(book), "$ 80")).minimum == 80
    with pytest.raises(ValueError, match="USD"):
        suppliers.set_minimum(started, who(book), "€ 80")
    for same in ("", "EUR"):
        assert done(started, suppliers.set_currency(started, who(book), same)).currency == ""
    with pytest.raises(ValueError, match="ISO 4217"):
        suppliers.set_currency(book, who(book), "ABC")
    priced = after(started, suppliers.set_freight(started, who(book), "9"))
    with pytest.raises(ValueError, match=r"in USD.*in GBP"):
        suppliers.set_currency(priced, who(book), "GBP")
    assert suppliers.set_currency(priced, who(book), "USD") is None


def test_other_names_and_words_that_mean_nothing(book: Book) -> None:
    own = book.all(Supplier)[who(book)].name
    found = done(
        book, suppliers.set_names(book, who(book), f"Quay  & Co, Ltd\nDE 123; quay & co, ltd\n\n{own.upper()}")
    )
    assert found.names == ("Quay & Co, Ltd", "DE 123")
    assert done(book, suppliers.set_noise(book, who(book), "promo, NEW;new\n fresh  pick")).noise == (
        "promo", "NEW", "fresh pick",
    )  # fmt: skip
    other = list(book.all(Supplier).values())[1].name
    with pytest.raises(ValueError, match="either"):
        suppliers.set_names(book, who(book), other.upper())


def test_name_and_note(book: Book) -> None:
    assert done(book, suppliers.rename(book, who(book), "Harbour  Stores")).name == "Harbour Stores"
    assert done(book, suppliers.set_note(book, who(book), " closed on Monday ")).note == "closed on Monday"


def test_what_is_there_already_is_no_step(book: Book) -> None:
    terms = {"tax": "inc", "tax_rate": D("0.19"), "freight": D(9), "minimum": D(50), "names": ("A",), "noise": ("b",)}
    started, ident = with_terms(book, **terms), who(book)
    assert suppliers.set_tax(started, ident, "inc", "19 %") is None
    assert suppliers.set_freight(started, ident, "9.00") is None
    assert suppliers.set_minimum(started, ident, "50") is None
    assert suppliers.set_names(started, ident, "A") is None
    assert suppliers.set_noise(started, ident, "b") is None
    with pytest.raises(ValueError, match="nothing"):
        suppliers.set_minimum(book, "nothing", "50")


@given(text=st.text(max_size=40))
def test_a_list_is_tidied_once_and_for_all(text: str) -> None:
    found = suppliers.typed_list(text, ";")
    assert suppliers.typed_list("\n".join(found), ";") == found
    assert len({" ".join(name.casefold().split()) for name in found}) == len(found)
    assert all(name and name == " ".join(name.split()) for name in found)
