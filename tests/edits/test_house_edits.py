"""Edits of the house: money rules begin on a day, and what held before stays as it was."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.book.book import Book
from costing.book.change import Step
from costing.book.levies import Levy
from costing.edits import house
from costing.ledger import reckon
from costing.paths import sample_book
from costing.pricing import priced_serves
from costing.store import read_json

DAY, LATER = date(2026, 11, 1), date(2027, 1, 1)


@pytest.fixture(scope="module")
def book() -> Book:
    """The sample bar."""
    return read_json(sample_book())


def after(book: Book, step: Step | None) -> Book:
    """The book after a step that can be taken back."""
    assert step is not None
    done = book.with_changes(step.changes)
    assert done.with_changes(step.inverse().changes) == book
    return done


def test_taxes_from_a_day_on_leave_the_days_before_alone(book: Book) -> None:
    done = after(book, house.set_levies(book, "VAT 21 %\nService 10 % on all before, kept\n", LATER))
    assert done.on(DAY).terms == book.on(DAY).terms
    terms = done.on(LATER).terms
    assert terms is not None
    assert terms.levies == (Levy("VAT", Decimal("0.21")), Levy("Service", Decimal("0.1"), "running", kept=True))
    before = book.on(LATER).terms
    assert before is not None
    assert (terms.points, terms.policy, terms.base) == (before.points, before.policy, before.base)
    again = after(done, house.set_levies(done, "VAT 20 %", LATER))
    assert done.house is not None
    assert again.house is not None
    assert len(again.house.terms) == len(done.house.terms), "the same day is amended"


def test_what_is_typed_again_changes_nothing(book: Book) -> None:
    terms = book.on(DAY).terms
    assert terms is not None
    same = terms.since
    assert house.set_levies(book, house.levies_text(terms.levies), same) is None
    assert house.set_points(book, *house.points_text(terms.points), same) is None
    assert house.set_base(book, terms.base, same) is None
    assert house.set_recovers_tax(book, terms.recovers_tax, same) is None
    assert book.house is not None
    assert house.set_currency(book, book.house.currency.lower()) is None


_levy = st.builds(
    Levy,
    st.text("abcde FGH-", min_size=1, max_size=12).map(str.strip).filter(lambda t: t and t == " ".join(t.split())),
    st.decimals(min_value=0, max_value="0.9999", places=4),
    st.sampled_from(["net", "running"]),
    st.booleans(),
)


@given(st.lists(_levy, max_size=4).map(tuple))
def test_taxes_read_back_as_they_are_written(levies: tuple[Levy, ...]) -> None:
    assert house.typed_levies(house.levies_text(levies)) == levies


@pytest.mark.parametrize("text", ["VAT", "19 %", "VAT nineteen %", "VAT 1,234 %", "VAT 100 %", "VAT 19 % on top", "%"])
def test_a_tax_that_cannot_be_read_is_named(book: Book, text: str) -> None:
    with pytest.raises(ValueError, match=r"."):
        house.set_levies(book, text, DAY)


def test_price_points_and_target_move_the_suggestions(book: Book) -> None:
    done = after(book, house.set_points(book, "0,10", "0.90", "", DAY))
    done = after(done, house.set_target(done, "25 %", DAY))
    for priced in priced_serves(reckon(done.on(DAY))):
        if priced.suggestion is not None:
            assert priced.suggestion.at.all_in % 1 == Decimal("0.9")
    with pytest.raises(ValueError, match="target"):
        house.set_target(done, "", DAY)
    with pytest.raises(ValueError, match="ends in"):
        house.set_points(book, "0.50", "0.90", "", DAY)
    with pytest.raises(ValueError, match="step"):
        house.set_points(book, "0", "", "", DAY)


def test_what_pour_cost_stands_on_is_said_in_the_order_of_the_layers(book: Book) -> None:
    done = after(book, house.set_base(book, ("labour", "materials"), DAY))
    terms = done.on(DAY).terms
    assert terms is not None
    assert terms.base == ("materials", "labour")
    with pytest.raises(ValueError, match="at least one"):
        house.set_base(book, (), DAY)


def test_an_empty_book_gets_a_house(book: Book) -> None:
    empty = Book()
    done = after(empty, house.set_currency(empty, "sek"))
    done = after(done, house.set_name(done, "  The   Yard "))
    done = after(done, house.set_levies(done, "MOMS 25 %", DAY))
    assert done.house is not None
    assert (done.house.id, done.house.name, done.house.currency) == ("house", "The Yard", "SEK")
    assert done.on(date(2026, 10, 31)).terms is None
    assert done.on(DAY).terms is not None
    with pytest.raises(ValueError, match=r"(?i)currency|code"):
        house.set_currency(empty, "ZZZZ")


def test_the_rest_of_the_house(book: Book) -> None:
    done = after(book, house.set_measure(book, " Long  Dash", "1.2 ml"))
    assert "long dash" in done.on(DAY).measures
    assert after(done, house.set_measure(done, "long dash", "")) == book
    done = after(book, house.set_standard_drink(book, "14"))
    assert done.house is not None
    assert done.house.standard_drink is not None
    assert (done.house.standard_drink.value, done.house.standard_drink.unit) == (Decimal(14), "g")
    for text in ("12 ml", "0 g", "-3 g"):
        with pytest.raises(ValueError, match=r"."):
            house.set_standard_drink(book, text)
    with pytest.raises(ValueError, match="no list"):
        house.set_allergen_list(book, "Nobody 5")
    with pytest.raises(ValueError, match="in the book"):
        house.set_labour(book, "nobody")
    with pytest.raises(ValueError, match="name"):
        house.set_measure(book, " ", "1 ml")


def test_a_permit_without_a_reference_has_no_expiry(book: Book) -> None:
    done = after(book, house.set_permit(book, "S-1", LATER))
    assert done.house is not None
    assert (done.house.permit, done.house.permit_until) == ("S-1", LATER)
    done = after(done, house.set_permit(done, " ", LATER))
    assert done.house is not None
    assert (done.house.permit, done.house.permit_until) == ("", None)
