"""How the menu is judged, as typed in the settings."""

from decimal import Decimal

import pytest

from costing.book import Book
from costing.book.records import House
from costing.edits import judging


def book() -> Book:
    return Book({("house", "house"): House(id="house", name="Pier", currency="EUR", terms=())})


def test_shares_are_typed_as_percent_and_read_back() -> None:
    step = judging.set_share("cut", book(), "80")
    assert step is not None
    after = book().with_changes(step.changes)
    assert after.house is not None
    assert after.house.judging.cut == Decimal("0.8")
    assert judging.share_text(after.house.judging.cut) == "80 %"
    assert judging.set_share("cut", after, "80 %") is None


@pytest.mark.parametrize(("name", "text", "why"), [
    ("cut", "0.7", "write it like 70 %"), ("cut", "201 %", "from 0 % to 200 %"),
    ("sure", "40 %", "from 50 % to 99.9 %"), ("variable", "many", "many"), ("variable", "120", "from 0 % to 99 %"),
])  # fmt: skip
def test_what_cannot_be_a_share_is_named(name: judging.Share, text: str, why: str) -> None:
    with pytest.raises(ValueError, match=why):
        judging.set_share(name, book(), text)


def test_ties_and_what_nobody_bought() -> None:
    tie, unsold = judging.set_tie(book(), "low"), judging.set_unsold(book(), "left out")
    assert tie is not None
    assert unsold is not None
    after = book().with_changes(tie.changes)
    assert after.house is not None
    assert after.house.judging.tie == "low"
    assert judging.set_tie(after, "low") is None
