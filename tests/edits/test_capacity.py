"""Hours that a week can hold, as typed."""

from decimal import Decimal

import pytest

from costing.book.book import Book
from costing.book.records import Equipment, House
from costing.edits.capacity import hours_text, set_equipment_hours, set_prep_hours

STILL = Equipment(id="still", name="Still")
BOOK = Book.of([STILL, House(id="house", name="Saltlantern", currency="EUR", terms=())])


@pytest.mark.parametrize(
    ("text", "hours"),
    [("40", "40"), ("37,5 h", "37.5"), (" 12.25 hours a week ", "12.25"), ("0", "0"), ("168", "168"), ("40h", "40")],
)
def test_hours_of_a_machine(text: str, hours: str) -> None:
    step = set_equipment_hours(BOOK, "still", text)
    assert step is not None
    after = BOOK.with_changes(step.changes)
    assert after.all(Equipment)["still"].hours == Decimal(hours)
    assert hours_text(after.all(Equipment)["still"].hours) == hours
    assert set_equipment_hours(after, "still", hours) is None
    gone = set_equipment_hours(after, "still", " ")
    assert gone is not None
    assert after.with_changes(gone.changes) == BOOK


def test_hours_of_people_may_be_more_than_a_week_has() -> None:
    step = set_prep_hours(BOOK, "240")
    assert step is not None
    house = BOOK.with_changes(step.changes).house
    assert house is not None
    assert house.prep_hours == 240
    assert set_prep_hours(BOOK, "") is None
    first = set_prep_hours(Book(), "60")
    assert first is not None
    assert first.changes[0].before is None


@pytest.mark.parametrize(("text", "why"), [("169", "from 0 to 168"), ("-1", "from 0 to 168"), ("many", "no number"),
                                           ("1,200", "may be 1.200 or 1200")])  # fmt: skip
def test_what_cannot_be_is_named(text: str, why: str) -> None:
    with pytest.raises(ValueError, match=why):
        set_equipment_hours(BOOK, "still", text)


def test_a_machine_that_is_not_there_and_too_many_people() -> None:
    with pytest.raises(ValueError, match="no equipment press"):
        set_equipment_hours(BOOK, "press", "4")
    with pytest.raises(ValueError, match="from 0 to 16800"):
        set_prep_hours(BOOK, "20000")
