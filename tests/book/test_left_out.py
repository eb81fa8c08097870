"""Lines that a pasted recipe left out: kept in its note, and said wherever problems are, because no cost has them."""

from dataclasses import replace

import pytest

from costing.book.book import Book
from costing.book.change import put
from costing.book.checks import check
from costing.book.problem import Problem
from costing.book.records import Serve
from costing.edits import serves
from costing.ledger import reckon
from costing.paths import sample_book
from costing.report.words import sentence
from costing.store import read_json
from costing.supply import read_recipe, to_serve
from costing.supply.small import small_preparation
from tests.supply.books import DAY, small_bar

BAR = small_bar()


def left_out(book: Book) -> list[Problem]:
    """The warnings of it, as a day's problems show them."""
    return [p for p in reckon(book.on(DAY)).problems if p.code == "lines-left-out"]


def test_a_drink_that_lacks_pasted_lines_says_so_until_its_note_does_not() -> None:
    pasted = read_recipe("Tidewall Sour\n50 ml white rum 40 %\n30 ml zzz\n1 dash xyzzy", BAR)
    draft = to_serve(pasted, BAR, DAY)
    assert draft.step is not None
    book = BAR.with_changes(draft.step.changes)
    (found,) = left_out(book)
    assert (found.where, found.level) == (f"serve/tidewall-sour/{DAY}", "warning")
    assert "30 ml zzz; 1 dash xyzzy" in sentence(found)
    assert "at least" in sentence(found)
    assert "tidewall-sour" in reckon(book.on(DAY)).serves  # it is costed all the same
    assert left_out(book.with_changes(serves.set_note(book, "tidewall-sour", DAY, "Shake hard").changes)) == []


def test_a_preparation_that_lacks_pasted_lines_says_so() -> None:
    draft = small_preparation("Dock Syrup", "500 g white sugar\n10 ml zzz", "0.9 l", "", DAY, BAR)
    assert draft.step is not None
    (found,) = left_out(BAR.with_changes(draft.step.changes))
    assert (found.where, found.get("lines")) == (f"preparation/{draft.id}/{DAY}", "10 ml zzz")


@pytest.mark.parametrize("note", ["", "undecided: ", "what is undecided: the glass", "undecided"])
def test_any_other_note_is_a_note(note: str) -> None:
    draft = to_serve(read_recipe("Tidewall Sour\n50 ml white rum 40 %", BAR), BAR, DAY)
    assert draft.step is not None
    (change,) = draft.step.changes
    serve = change.after
    assert isinstance(serve, Serve)
    noted = replace(serve, versions=(replace(serve.versions[0], note=note),))
    assert left_out(BAR.with_changes([put("serve", noted)])) == []


def test_the_sample_bar_left_nothing_out() -> None:
    assert [p for p in check(read_json(sample_book())) if p.code == "lines-left-out"] == []
