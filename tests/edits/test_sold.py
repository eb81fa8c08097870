"""What was sold, as typed."""

from datetime import date
from decimal import Decimal

import pytest

from costing.book.selling import SalesPeriod
from costing.edits import sold
from tests.supply.plan.arrivals import book

FIRST, LAST = date(2026, 11, 15), date(2026, 11, 28)


def test_a_period_is_written_and_written_anew() -> None:
    start = book()
    step = sold.set_sold(start, FIRST, LAST, "rum short: 1 200\n\nRum Short 5", "typed")
    assert step is not None
    after = start.with_changes(step.changes)
    (new,) = [p for p in after.all(SalesPeriod).values() if p.since == FIRST]
    assert [(s.serve, s.count) for s in new.sold] == [("short", Decimal(1205))]
    again = sold.set_sold(after, FIRST, LAST, "Rum short 7")
    assert again is not None
    later = after.with_changes(again.changes)
    assert later.all(SalesPeriod)[new.id].sold[0].count == 7
    assert sold.sold_text(later, later.all(SalesPeriod)[new.id]) == "Rum short 7"
    assert sold.set_sold(later, FIRST, LAST, "Rum short 7") is None
    assert later.with_changes(sold.remove(later, new.id).changes) == start


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "one drink a line"),
        ("Rum short", "line 1, “Rum short”"),
        ("Gin long 4", "no drink of the book is called “Gin long”"),
        ("Rum short -4", "cannot have been sold"),
        ("Rum short 1,200", "1,200"),
    ],
)
def test_what_cannot_be_read_is_named(text: str, why: str) -> None:
    with pytest.raises(ValueError, match=why):
        sold.set_sold(book(), FIRST, LAST, text)


def test_periods_that_overlap_are_refused() -> None:
    with pytest.raises(ValueError, match="2026-11-01 to 2026-11-14 are there already"):
        sold.set_sold(book(), date(2026, 11, 14), LAST, "Rum short 4")
    with pytest.raises(ValueError, match="lies before the first day"):
        sold.set_sold(book(), LAST, FIRST, "Rum short 4")
