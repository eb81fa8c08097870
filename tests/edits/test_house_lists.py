"""Edits of techniques and glasses: measured dilution, published curves, and what drinks stand on."""

from decimal import Decimal

import pytest

from costing.book.book import Book
from costing.book.change import Step
from costing.book.records import Glass, Technique
from costing.edits import house_lists as lists
from costing.edits.base import InUse
from costing.ledger import reckon
from costing.paths import sample_book
from costing.report.cards import balance_in_glass
from costing.store import read_json
from tests.edits.test_goods import DAY, after


@pytest.fixture(scope="module")
def book() -> Book:
    """The sample bar."""
    return read_json(sample_book())


def technique(book: Book, ident: str = "shaken") -> Technique:
    """One of them."""
    return book.all(Technique)[ident]


def test_a_technique_comes_with_its_dilution_or_a_curve(book: Book) -> None:
    done = after(book, lists.new_technique(book, "Swizzled", "38 %"))
    (ident,) = done.all(Technique).keys() - book.all(Technique).keys()
    fact = technique(done, ident).dilution
    assert fact is not None
    assert (fact.value, fact.unit, fact.mark) == (Decimal(38), "%", "measured")
    done = after(done, lists.new_technique(done, "Rolled", like="stirred"))
    assert any(t.name == "Rolled" and t.like == "stirred" and t.dilution is None for t in done.all(Technique).values())
    with pytest.raises(ValueError, match="already"):
        lists.new_technique(done, " swizzled ")
    with pytest.raises(ValueError, match="name"):
        lists.new_technique(done, " ")


def test_a_name_of_the_past_gives_no_id_of_the_past(book: Book) -> None:
    step = lists.new_technique(book, "Swizzled", past={"swizzled"})
    assert step.changes[0].id != "swizzled"


@pytest.mark.parametrize("text", ["0.25", "25", "25 ml", "-5 %", "400 %", "much"])
def test_a_dilution_is_never_guessed(book: Book, text: str) -> None:
    with pytest.raises(ValueError, match=text.split(maxsplit=1)[0]):
        lists.set_dilution(book, "shaken", text)


def test_a_dilution_moves_the_strength_and_can_be_taken_out(book: Book) -> None:
    before = balance_in_glass(reckon(book.on(DAY)), "harbour-light")
    done = after(book, lists.set_dilution(book, "shaken", "90 %"))
    weaker = balance_in_glass(reckon(done.on(DAY)), "harbour-light")
    assert before is not None
    assert weaker is not None
    assert weaker.abv is not None
    assert before.abv is not None
    assert weaker.abv < before.abv
    assert weaker.litres > before.litres
    done = after(done, lists.set_dilution(done, "shaken", ""))
    assert technique(done).dilution is None
    assert lists.set_dilution(done, "shaken", " ") is None


def test_weighings_before_and_after_make_a_measured_dilution(book: Book) -> None:
    # 23 and 22 g of water into builds of 95 and 93 ml: 45 / 188 by volume
    step = lists.measure_dilution(book, "shaken", "95 ml 98 g 121 g\n93 ml, 97 g, 119 g")
    fact = technique(after(book, step)).dilution
    assert fact is not None
    assert fact.value == (Decimal(4500) / 188).quantize(Decimal("0.1"))
    assert (fact.mark, fact.how, fact.note) == ("measured", "weighed before and after, 2 drinks", "")


def test_without_a_volume_the_ratio_is_by_weight_and_says_so(book: Book) -> None:
    fact = technique(after(book, lists.measure_dilution(book, "shaken", "100 g 125 g"))).dilution
    assert fact is not None
    assert fact.value == 25
    assert "weight" in fact.note


@pytest.mark.parametrize(
    "text",
    ["", "98 g", "121 g 98 g", "98 ml 121 ml", "98 g 121 g; 95 ml 98 g 121 g", "0 g 20 g", "98 121", "98 g 2 kg"],
)
def test_weighings_that_cannot_be_are_refused(book: Book, text: str) -> None:
    with pytest.raises(ValueError, match=r"."):
        lists.measure_dilution(book, "shaken", text)


def test_curve_note_and_name_of_a_technique(book: Book) -> None:
    done = after(book, lists.set_like(book, "built", "stirred"))
    assert technique(done, "built").like == "stirred"
    assert lists.set_like(done, "built", "stirred") is None
    with pytest.raises(ValueError, match="blended"):
        lists.set_like(book, "built", "blended")
    done = after(done, lists.set_technique_note(done, "built", " over large ice "))
    assert technique(done, "built").note == "over large ice"
    done = after(done, lists.rename_technique(done, "built", "Built in the glass"))
    assert technique(done, "built").name == "Built in the glass"
    assert lists.rename_technique(done, "built", "Built in the glass") is None
    with pytest.raises(ValueError, match="already"):
        lists.rename_technique(done, "built", technique(done).name)


def test_what_drinks_are_made_by_stays_and_names_them(book: Book) -> None:
    with pytest.raises(InUse, match="Harbour Light"):
        lists.remove_technique(book, "shaken")
    with pytest.raises(InUse):
        lists.remove_glass(book, "coupe")
    step = lists.new_technique(book, "Swizzled")
    done = after(book, step)
    assert after(done, lists.remove_technique(done, step.changes[0].id)) == book


def test_a_glass_holds_a_volume(book: Book) -> None:
    step: Step | None = lists.new_glass(book, "Thimble", "5 1/2 cl")
    assert step is not None
    done, ident = after(book, step), step.changes[0].id
    assert done.all(Glass)[ident].capacity is not None
    done = after(done, lists.set_capacity(done, ident, "0,05 l"))
    fact = done.all(Glass)[ident].capacity
    assert fact is not None
    assert (fact.value, fact.unit) == (Decimal("0.05"), "l")
    assert lists.set_capacity(done, ident, "0,05 l") is None
    for text in ("50 g", "0 ml", "50"):
        with pytest.raises(ValueError, match="holds"):
            lists.set_capacity(done, ident, text)
    done = after(done, lists.rename_glass(done, ident, "Small thimble"))
    with pytest.raises(ValueError, match="already"):
        lists.new_glass(done, "small  THIMBLE")
    assert after(done, lists.remove_glass(done, ident)) == book
