"""Edits of drinks: typed lines, versions, variants, and what stays as it was."""

from datetime import date
from decimal import Decimal
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from costing.book.book import Book
from costing.book.change import Step
from costing.book.records import Serve, ServeVersion
from costing.edits import serves
from costing.edits.base import InUse, Undecided
from costing.edits.lines import line_text
from costing.ledger import reckon
from costing.paths import sample_book
from costing.report.gather import names_of
from costing.store import read_json
from tests.edits.test_goods import DAY, after

LATER = date(2026, 12, 1)
DRINK = "harbour-light"


@pytest.fixture(scope="module")
def book() -> Book:
    """The sample bar."""
    return read_json(sample_book())


def version(book: Book, ident: str = DRINK, day: date = DAY) -> ServeVersion:
    """A drink as it is made on a day."""
    return book.on(day).serves[ident][1]


def lines(book: Book, ident: str = DRINK, day: date = DAY) -> list[str]:
    """Its components as they are typed."""
    names = names_of(book.on(day))
    return [line_text(item, names) for item in version(book, ident, day).build.adds]


def cost(book: Book, ident: str, day: date = DAY) -> float:
    """Materials of one drink."""
    return reckon(book.on(day)).serve_cost(ident).materials


def test_a_pasted_recipe_becomes_a_drink_that_is_costed(book: Book) -> None:
    draft = serves.new_serve(book, "Slipway", "50 ml white rum\n1 1/2 oz lime juice\n15 ml unobtainium", DAY)
    assert draft.step is not None
    assert [line.text for line in draft.undecided] == ["15 ml unobtainium"]
    done = after(book, draft.step)
    assert len(version(done, draft.id).build.adds) == 2
    assert cost(done, draft.id) > 0
    assert "unobtainium" in version(done, draft.id).note


def test_a_typed_line_takes_the_place_of_another(book: Book) -> None:
    done = after(book, serves.set_line(book, DRINK, DAY, 0, "60 ml white rum"))
    assert lines(done)[0].casefold().startswith("60 ml white rum")
    assert lines(done)[1:] == lines(book)[1:]
    more = after(done, serves.set_line(done, DRINK, DAY, 99, "5 ml white rum"))
    assert lines(more)[:-1] == lines(done)
    assert version(done).build.adds[0].spill == version(book).build.adds[0].spill


def test_a_line_that_cannot_be_read_is_told_with_its_doubts(book: Book) -> None:
    for text in ("45 ml xyzzy", "much white rum", "???"):
        with pytest.raises(Undecided) as told:
            serves.set_line(book, DRINK, DAY, 99, text)
        assert told.value.line.text == text
    with pytest.raises(ValueError, match="nothing"):
        serves.set_line(book, DRINK, DAY, 99, "  ")


@pytest.mark.parametrize("n", range(3))
def test_every_line_read_back_as_it_is_shown_changes_nothing(book: Book, n: int) -> None:
    for ident in book.on(DAY).serves:
        if n < len(lines(book, ident)) and version(book, ident).build.adds[n].amount is not None:
            step = serves.set_line(book, ident, DAY, n, lines(book, ident)[n])
            assert version(book.with_changes(step.changes), ident).build.adds[n].source == (
                version(book, ident).build.adds[n].source
            )
            assert cost(book.with_changes(step.changes), ident) == pytest.approx(cost(book, ident), rel=1e-12)


def test_amount_and_source_are_edited_apart(book: Book) -> None:
    first = version(book).build.adds[0]
    done = after(book, serves.set_amount(book, DRINK, DAY, 0, "55 ml"))
    item = version(done).build.adds[0]
    assert (item.source, item.spill) == (first.source, first.spill)
    assert item.amount is not None
    assert item.amount.value == 55
    done = after(done, serves.set_source(done, DRINK, DAY, 0, "white-rum"))
    item = version(done).build.adds[0]
    assert item.source == "white-rum"
    assert item.amount is not None
    assert item.amount.value == 55
    assert serves.set_source(done, DRINK, DAY, 0, "white-rum") is None
    assert serves.set_amount(done, DRINK, DAY, 0, "55 ml") is None
    with pytest.raises(ValueError, match="moonlight"):
        serves.set_source(book, DRINK, DAY, 0, "moonlight")
    with pytest.raises(ValueError, match="line 100"):
        serves.set_amount(book, DRINK, DAY, 99, "55 ml")
    with pytest.raises(ValueError, match="amount"):
        serves.set_amount(book, DRINK, DAY, 0, "a lot")


def test_a_by_product_is_a_source_and_a_made_up_one_is_none(book: Book) -> None:
    found = [s for s in reckon(book.on(DAY)).direct if "/" in s]
    assert found
    for source in found:
        done = after(book, serves.set_source(book, DRINK, DAY, 0, source))
        assert version(done).build.adds[0].source == source
    with pytest.raises(ValueError, match="nothing called"):
        serves.set_source(book, DRINK, DAY, 0, f"{found[0]}-not")


@pytest.mark.parametrize(("text", "value"), [("3 %", 3), ("~5 %", 5), ("4", 4), ("2,5", Decimal("2.5"))])
def test_spill_costs_more_and_stays_beside_the_glass(book: Book, text: str, value: object) -> None:
    bare = book.with_changes(step.changes) if (step := serves.set_spill(book, DRINK, DAY, 0, "")) else book
    done = bare.with_changes(serves.set_spill(bare, DRINK, DAY, 0, text).changes)  # type: ignore[union-attr]
    spill = version(done).build.adds[0].spill
    assert spill is not None
    assert (spill.value, spill.unit) == (value, "%")
    assert cost(done, DRINK) > cost(bare, DRINK)


@pytest.mark.parametrize("text", ["0.03", "100 %", "-1 %", "5 ml", "some"])
def test_a_spill_is_never_guessed(book: Book, text: str) -> None:
    with pytest.raises(ValueError, match=text.split(maxsplit=1)[0]):
        serves.set_spill(book, DRINK, DAY, 0, text)


def test_order_and_removal(book: Book) -> None:
    done = after(book, serves.move_line(book, DRINK, DAY, 0, 2))
    assert lines(done)[2] == lines(book)[0]
    assert sorted(lines(done)) == sorted(lines(book))
    assert cost(done, DRINK) == pytest.approx(cost(book, DRINK), rel=1e-12)
    done = after(done, serves.remove_line(done, DRINK, DAY, 2))
    assert lines(done) == lines(book)[1:]
    while len(lines(done)) > 1:
        done = after(done, serves.remove_line(done, DRINK, DAY, 0))
    with pytest.raises(ValueError, match="last component"):
        serves.remove_line(done, DRINK, DAY, 0)
    with pytest.raises(ValueError, match="line 100"):
        serves.move_line(book, DRINK, DAY, 99, 1)


def test_a_pasted_block_is_one_step_and_tells_what_it_left(book: Book) -> None:
    step, found = serves.paste_lines(book, DRINK, DAY, 1, "10 ml lime juice\n1 dash xyzzy\n20 ml white rum")
    done = after(book, step)
    assert len(lines(done)) == len(lines(book)) + 2
    assert lines(done)[0] == lines(book)[0]
    assert [line.text for line in found.undecided] == ["1 dash xyzzy"]
    assert serves.paste_lines(book, DRINK, DAY, 1, "nothing of use")[0] is None


def test_technique_glass_time_hands_and_note(book: Book) -> None:
    done = after(book, serves.set_technique(book, DRINK, DAY, "stirred"))
    done = after(done, serves.set_glass(done, DRINK, DAY, "rocks"))
    done = after(done, serves.set_seconds(done, DRINK, DAY, "120"))
    done = after(done, serves.set_note(done, DRINK, DAY, " cold glass "))
    found = version(done)
    assert (found.technique, found.glass, found.note) == ("stirred", "rocks", "cold glass")
    assert found.seconds is not None
    assert (found.seconds.value, found.seconds.unit) == (Decimal(120), "s")
    assert reckon(done.on(DAY)).serve_cost(DRINK).making > reckon(book.on(DAY)).serve_cost(DRINK).making
    for edit in (serves.set_technique, serves.set_glass, serves.set_labour):
        with pytest.raises(ValueError, match="moon"):
            edit(done, DRINK, DAY, "moon")
    with pytest.raises(ValueError, match="less than nothing"):
        serves.set_seconds(done, DRINK, DAY, "-3 s")
    hands = version(done).build.labour
    assert hands
    done = after(done, serves.set_labour(done, DRINK, DAY, ""))
    assert version(done).build.labour == ""
    assert serves.set_labour(done, DRINK, DAY, "") is None
    assert version(after(done, serves.set_labour(done, DRINK, DAY, hands))).build.labour == hands


def test_from_a_day_on_what_was_sold_before_keeps_its_own(book: Book) -> None:
    done = after(book, serves.set_line(book, DRINK, DAY, 0, "99 ml white rum", since=LATER))
    assert lines(done, day=DAY) == lines(book, day=DAY)
    assert lines(done, day=LATER)[0].casefold().startswith("99 ml")
    assert cost(done, DRINK) == cost(book, DRINK)
    assert cost(done, DRINK, LATER) != cost(book, DRINK, LATER)
    # a second edit from the same day amends that version and begins no third
    again = after(done, serves.set_glass(done, DRINK, DAY, "rocks", since=LATER))
    assert len(again.all(Serve)[DRINK].versions) == len(book.all(Serve)[DRINK].versions) + 1
    back = after(again, serves.remove_version(again, DRINK, LATER))
    assert back.all(Serve)[DRINK] == book.all(Serve)[DRINK]
    with pytest.raises(ValueError, match="no other version"):
        serves.remove_version(back, DRINK, LATER)


def test_a_version_begins_once_and_not_before_the_first(book: Book) -> None:
    done = after(book, serves.begin_version(book, DRINK, LATER))
    with pytest.raises(ValueError, match="already"):
        serves.begin_version(done, DRINK, LATER)
    with pytest.raises(ValueError, match="begins on"):
        serves.set_glass(book, DRINK, date(2001, 1, 1), "rocks")


def test_a_variant_is_a_drink_of_its_own(book: Book) -> None:
    step, ident = serves.duplicate(book, DRINK, "Harbour Dark", DAY, past={"harbour-dark"})
    done = after(book, step)
    assert ident not in {*book.all(Serve), "harbour-dark"}
    assert lines(done, ident) == lines(book)
    assert cost(done, ident) == cost(book, DRINK)
    changed = after(done, serves.set_line(done, ident, DAY, 0, "10 ml white rum"))
    assert lines(changed) == lines(book)
    with pytest.raises(ValueError, match="already"):
        serves.duplicate(book, DRINK, "harbour  LIGHT", DAY)


def test_a_name_is_needed_and_is_one_drinks_alone(book: Book) -> None:
    done = after(book, serves.rename(book, DRINK, " Harbour   Lamp "))
    assert done.all(Serve)[DRINK].name == "Harbour Lamp"
    for name in ("", "  ", book.all(Serve)["ropewalk"].name.upper()):
        with pytest.raises(ValueError, match=r"name"):
            serves.rename(book, DRINK, name)


def test_a_drink_on_a_menu_stays_and_the_menu_is_named(book: Book) -> None:
    with pytest.raises(InUse) as told:
        serves.remove(book, DRINK)
    assert {kind for kind, _ in told.value.users} == {"menu"}
    assert all(name in str(told.value) for name in told.value.names)
    step, ident = serves.duplicate(book, DRINK, "Harbour Dark", DAY)
    done = after(book, step)
    assert after(done, serves.remove(done, ident)) == book


def one_act(book: Book, act: str, at: int, n: int) -> Step | None:
    """An edit by its name."""
    if act == "line":
        return serves.set_line(book, DRINK, DAY, at, f"{n} ml white rum")
    if act == "move":
        return serves.move_line(book, DRINK, DAY, at, n - 45)
    if act == "take":
        return serves.remove_line(book, DRINK, DAY, at)
    return (serves.set_spill if act == "spill" else serves.set_amount)(book, DRINK, DAY, at, f"{n} %")


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.sampled_from(["line", "move", "take", "spill", "amount"]), st.integers(0, 7),
                          st.integers(1, 90)), max_size=8))  # fmt: skip
def test_any_edits_taken_back_in_turn_leave_the_book_as_it_was(acts: list[tuple[str, int, int]]) -> None:
    start = now = read_sample()
    done = []
    for act, at, n in acts:
        try:
            step = one_act(now, act, at, n)
        except ValueError:
            continue
        if step is not None:
            now = now.with_changes(step.changes)
            done.append(step)
    for step in reversed(done):
        now = now.with_changes(step.inverse().changes)
    assert now == start


@cache
def read_sample() -> Book:
    """The sample, read once."""
    return read_json(sample_book())
