"""Finding anything: what is found, in which order, and what is forgiven."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.book import Book
from costing.book.records import BatchLog, Good, Preparation, Quote, Supplier
from costing.finding import BEGINS, BESIDE, CLOSE, INSIDE, WORD_BEGINS, Entry, Hit, Index, entries, fold
from costing.paths import sample_book
from costing.store import read_json

NAMES = ("Pineapple", "Crisp of pineapple", "Unpineappled", "Lime", "Lemon leaf", "Crème de mûre", "Smørbrød spirit")


def index(*names: str, kind: str = "good") -> Index:
    return Index(Entry(kind=kind, id=str(n), name=name) for n, name in enumerate(names or NAMES))


def names(hits: list[Hit]) -> list[str]:
    return [hit.entry.name for hit in hits]


@pytest.fixture(scope="module")
def sample() -> Index:
    """Everything in the sample bar."""
    return Index(entries(read_json(sample_book())), lambda kind: "who sells" if kind == "supplier" else kind)


def test_the_beginning_of_a_name_then_of_a_word_then_inside() -> None:
    hits = index().find("pine")
    assert names(hits) == ["Pineapple", "Crisp of pineapple", "Unpineappled"]
    assert [hit.rank for hit in hits] == [BEGINS, WORD_BEGINS, INSIDE]


def test_shorter_names_come_first_among_equals() -> None:
    assert names(index("Lime juice, pressed", "Lime", "Lime juice").find("lime")) == [
        "Lime", "Lime juice", "Lime juice, pressed",
    ]  # fmt: skip


@pytest.mark.parametrize("typed", ["creme de mure", "CRÈME DE MÛRE", "mure creme", "  crème   mûre "])
def test_accents_case_spaces_and_the_order_of_words_do_not_count(typed: str) -> None:
    assert names(index().find(typed)) == ["Crème de mûre"]


def test_letters_that_no_accent_makes_are_found_by_plain_ones() -> None:
    assert names(index().find("smorbrod")) == ["Smørbrød spirit"]


@pytest.mark.parametrize(
    ("typed", "found"),
    [
        ("pinaple", "Pineapple"),  # two letters left out
        ("pineappel", "Pineapple"),  # two changed places
        ("lmie", "Lime"),
        ("limr", "Lime"),
        ("lemmon laef", "Lemon leaf"),
    ],
)
def test_a_slip_is_forgiven_and_comes_last(typed: str, found: str) -> None:
    hits = index().find(typed)
    assert hits[0].entry.name == found
    assert hits[0].rank == CLOSE


def test_short_words_and_much_that_fits_leave_no_room_for_slips() -> None:
    assert index().find("lxm") == []
    many = index(*(f"Lime {n}" for n in range(9)), "Lima bean")
    assert all(hit.rank == BEGINS for hit in many.find("lime"))


@pytest.mark.parametrize("typed", ["", "   ", "\u0301"])
def test_nothing_typed_finds_nothing(typed: str) -> None:
    assert index().find(typed) == []


@pytest.mark.parametrize("typed", ["zzzz zzzz", "%", "\\", "[", "(?:", "💧💧💧💧", "x" * 3000])
def test_anything_may_be_typed(typed: str, sample: Index) -> None:
    assert all(hit.entry.name for hit in sample.find(typed))


def test_a_code_finds_the_latest_quote_that_bears_it(sample: Index) -> None:
    (hit,) = [h for h in sample.find("NQ-101") if h.entry.kind == "quote"]
    assert hit.entry.name == "Pineapple"
    assert hit.rank == BESIDE
    book = read_json(sample_book())
    of_code = [q for q in book.all(Quote).values() if q.code == "NQ-101"]
    assert hit.entry.id == max(of_code, key=lambda q: q.since).id


def test_stages_days_and_kinds_are_found_beside_the_name(sample: Index) -> None:
    assert "pineapple-distillate" in [h.entry.id for h in sample.find("roast") if h.entry.kind == "preparation"]
    assert any(h.entry.kind == "batch" for h in sample.find("2026-04-20"))
    assert {h.entry.kind for h in sample.find("who sells")} == {"supplier"}


def test_a_record_comes_before_what_only_borrows_its_name(sample: Index) -> None:
    kinds = [hit.entry.kind for hit in sample.find("pineapple")]
    assert kinds[0] == "good"
    assert kinds.index("preparation") < kinds.index("quote") < len(kinds)


def test_every_kind_of_record_with_a_name_can_be_found(sample: Index) -> None:
    book = read_json(sample_book())
    found = {(e.kind, e.id) for e in sample.entries}
    for kind in ("good", "preparation", "serve", "menu", "supplier", "equipment", "technique", "glass", "batch"):
        wanted = {key for key in book.records if key[0] == kind}
        assert wanted <= found, kind


def test_what_a_record_names_and_is_not_there_is_called_by_its_id() -> None:
    book = Book()
    assert list(entries(book)) == []
    log = BatchLog(id="b", preparation="gone", day=date(2026, 11, 1), stages=())
    found = list(entries(Book.of([log])))
    assert [(e.kind, e.name) for e in found] == [("batch", "gone")]


def test_groups_keep_the_order_of_their_best_and_count_the_rest() -> None:
    goods = [Entry(kind="good", id=f"g{n}", name=f"Pine {n}") for n in range(20)]
    found = Index([*goods, Entry(kind="serve", id="s", name="Pine")])
    first, second = found.groups("pine", each=5)
    assert (first.kind, len(first.hits), first.more) == ("serve", 1, 0)
    assert (second.kind, len(second.hits), second.more) == ("good", 5, 15)
    (alone,) = Index(goods).groups("pine", each=5)
    assert (len(alone.hits), alone.more) == (20, 0), "one kind alone has all the room"


def test_twenty_thousand_are_searched_whole() -> None:
    found = Index(Entry(kind="good", id=str(n), name=f"Thing {n}") for n in range(20_000))
    assert len(found.find("thing")) == 20_000
    assert names(found.find("thing 19999"))[0] == "Thing 19999"


@given(st.text(max_size=40))
def test_folding_twice_is_folding_once(text: str) -> None:
    assert fold(fold(text)) == fold(text)


@given(st.lists(st.text(alphabet="abcdeé -", min_size=1, max_size=12), min_size=1, max_size=8), st.data())
def test_every_name_is_found_by_itself_and_by_its_beginning(given_names: list[str], data: st.DataObject) -> None:
    found = index(*given_names)
    name = data.draw(st.sampled_from(given_names))
    cut = data.draw(st.integers(1, len(name)))
    if fold(name[:cut]):
        assert name in names(found.find(name[:cut]))


def test_the_same_book_gives_the_same_order() -> None:
    book = Book.of([
        Good(id="a", name="Rum", kind="spirit", base="l"), Good(id="b", name="Rum", kind="spirit", base="l"),
        Preparation(id="c", name="Rum", versions=()), Supplier(id="d", name="Rum"),
    ])  # fmt: skip
    once, again = (Index(entries(book)).find("rum") for _ in range(2))
    assert [h.entry.id for h in once] == [h.entry.id for h in again] == ["a", "b", "c", "d"]
