"""Orders, and taking back what was posted or confirmed."""

from datetime import date
from decimal import Decimal

import pytest

from costing.book import Book, put
from costing.book.buying import Alias, Claim, Order, Purchase
from costing.book.change import Step
from costing.edits import orders
from costing.edits.arrivals import accept
from costing.supply.plan.build import make_plan
from tests.edits.test_arrivals import invoice
from tests.supply.plan.arrivals import DAY, book, good


def done(before: Book, step: Step) -> Book:
    after = before.with_changes(step.changes)
    assert after.with_changes(step.inverse().changes) == before
    return after


def test_an_order_at_the_quotes_of_the_day() -> None:
    start = book().with_changes([put("good", good("rum42", "Rum 42"))])
    after = done(start, orders.new_order(start, "ropewalk", DAY, "2 White rum\n\nDry gin: 3\nRum 42 1", "O-7"))
    (order,) = after.all(Order).values()
    assert [(line.good, line.packs, line.price) for line in order.lines] == [
        ("rum", Decimal(2), Decimal("84.00")), ("gin", Decimal(3), Decimal("96.00")), ("rum42", Decimal(1), None),
    ]  # fmt: skip
    assert order.number == "O-7"
    with pytest.raises(ValueError, match="O-7 of Ropewalk Casks is there already"):
        orders.new_order(after, "ropewalk", DAY, "1 White rum", "O-7")
    assert done(after, orders.remove_order(after, order.id)) == start


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "one ingredient a line"),
        ("White rum", "how many packs"),
        ("2 Moon dust", "no ingredient of the book"),
        ("0 White rum", "more than none"),
    ],
)
def test_what_cannot_be_ordered_is_named(text: str, why: str) -> None:
    with pytest.raises(ValueError, match=why):
        orders.new_order(book(), "ropewalk", DAY, text)


def test_an_invoice_is_taken_back_with_its_claims() -> None:
    start = book()
    after = done(start, accept(make_plan(invoice(), start, DAY), start, DAY))
    (bought,) = after.all(Purchase).values()
    back = done(after, orders.remove_purchase(after, bought.id))
    assert not back.all(Purchase)
    assert not back.all(Claim)
    again = make_plan(invoice(), back, DAY)
    assert not again.stops, "it may be posted again"


def test_words_are_forgotten() -> None:
    alias = Alias(id="a", supplier="ropewalk", text="W", good="rum", since=date(2026, 1, 1))
    start = book().with_changes([put("alias", alias)])
    assert done(start, orders.remove_alias(start, "a")) == book()
