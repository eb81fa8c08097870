"""Edits of goods and suppliers: what was typed stands, what others stand on stays, everything can be taken back."""

from collections.abc import Callable
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from costing.book.book import Book
from costing.book.change import Step
from costing.book.plain import record_from_plain, record_to_plain
from costing.book.records import Good, Quote, Supplier, YieldTest
from costing.edits import goods, quotes, trials
from costing.edits.base import InUse, uses_of
from costing.paths import sample_book
from costing.store import read_json
from costing.tables import allergen_list

DAY = date(2026, 11, 1)


@pytest.fixture(scope="module")
def book() -> Book:
    """The sample bar."""
    return read_json(sample_book())


def after(book: Book, step: Step | None) -> Book:
    """The book after a step, which can also be taken back and written down."""
    assert step is not None
    done = book.with_changes(step.changes)
    assert done.with_changes(step.inverse().changes) == book
    for change in step.changes:
        if change.after is not None:
            assert record_from_plain(change.kind, record_to_plain(change.after), "test") == change.after
    return done


def good(book: Book, ident: str) -> Good:
    """A good."""
    return book.all(Good)[ident]


def test_a_new_good_needs_four_words(book: Book) -> None:
    step = goods.new_good(book, "Blackcurrant liqueur", "liqueur", "6 x 0,7 l", "€ 84,60", "Ropewalk Casks", DAY)
    done = after(book, step)
    (ident,) = done.all(Good).keys() - book.all(Good).keys()
    (quote,) = (q for q in done.all(Quote).values() if q.good == ident)
    assert (quote.price, quote.levels, quote.content.value, quote.since) == (
        Decimal("84.60"), (6,), Decimal("0.7"), DAY,
    )  # fmt: skip
    assert good(done, ident).allergens == ()
    assert all(fact.mark == "assumed" for _, fact in good(done, ident).makeup)


def test_ids_of_the_past_are_not_used_again(book: Book) -> None:
    step = goods.new_good(book, "Juniper", "herb", "1 kg", "9", "Ropewalk Casks", DAY, {"juniper", "juniper-2026"})
    made = [c.id for c in step.changes]
    assert not {"juniper", "juniper-2026"} & set(made)
    assert not set(made) & {ident for _, ident in book.records}


@pytest.mark.parametrize("price", ["1,234", "12.50.1", "", "twelve", "-3", "nan", "1e5"])
def test_a_new_good_refuses_a_price_it_would_have_to_guess(book: Book, price: str) -> None:
    with pytest.raises(ValueError, match=r"price|could be"):
        goods.new_good(book, "Juniper", "herb", "1 kg", price, "Ropewalk Casks", DAY)


def test_names_are_told_apart(book: Book) -> None:
    one, two = list(book.all(Good).values())[:2]
    with pytest.raises(ValueError, match="already"):
        goods.rename(book, one.id, f"  {two.name.upper()} ")
    assert goods.rename(book, one.id, one.name) is None
    assert good(after(book, goods.rename(book, one.id, " New   name ")), one.id).name == "New name"


@pytest.mark.parametrize(
    ("edit", "text"),
    [
        (goods.set_density, "1.05 kg"), (goods.set_density, "0 kg/l"), (goods.set_density, "1.05 stone"),
        (goods.set_piece, "70 min"), (goods.set_piece, "0 g"), (goods.set_piece, "70"), (goods.set_base, "stone"),
        (goods.set_kind, "motor"),
    ],
)  # fmt: skip
def test_figures_of_another_kind_are_refused(book: Book, edit: Callable[[Book, str, str], Step], text: str) -> None:
    with pytest.raises(ValueError, match=text.split(maxsplit=1)[0]):
        edit(book, "lime", text)


@pytest.mark.parametrize(("part", "text"), [("abv", "140"), ("abv", "-1 %"), ("sugar", "5 kg"), ("brix", "x")])
def test_makeup_that_cannot_be_is_refused(book: Book, part: str, text: str) -> None:
    with pytest.raises(ValueError, match=text.split(maxsplit=1)[0]):
        goods.set_makeup(book, "lime", part, text)


def test_a_bare_number_is_in_the_unit_of_its_figure(book: Book) -> None:
    done = after(book, goods.set_makeup(book, "white-rum", "abv", "~41,5"))
    fact = dict(good(done, "white-rum").makeup)["abv"]
    assert (fact.value, fact.unit, fact.mark) == (Decimal("41.5"), "%", "assumed")
    done = after(done, goods.set_makeup(done, "white-rum", "abv", ""))
    assert "abv" not in dict(good(done, "white-rum").makeup)


def test_free_is_never_stated_by_nobody(book: Book) -> None:
    with pytest.raises(ValueError, match="who"):
        goods.set_allergen(book, "lime", "milk", "free", " ", DAY)
    done = after(book, goods.set_allergen(book, "lime", "milk", "free", "PH", DAY, "crate of today"))
    (said,) = (s for s in good(done, "lime").allergens if s.name == "milk")
    assert (said.state, said.who, said.label, said.since) == ("free", "PH", "crate of today", DAY)
    done = after(done, goods.set_allergen(done, "lime", "milk", None, "", DAY))
    assert all(s.name != "milk" for s in good(done, "lime").allergens)


def test_one_label_states_only_what_nobody_stated(book: Book) -> None:
    names = [a.name for a in allergen_list("EU 14")]
    started = after(book, goods.set_allergen(book, "lime", names[0], "may_contain", "PH", DAY))
    done = after(started, goods.state_rest_free(started, "lime", names, "EH", DAY, "crate"))
    said = {s.name: s.state for s in good(done, "lime").allergens}
    assert said[names[0]] == "may_contain"
    assert {said[n] for n in names[1:]} == {"free"}


def test_a_used_good_stays_and_says_by_whom(book: Book) -> None:
    with pytest.raises(InUse) as refused:
        goods.remove(book, "white-rum")
    assert list(refused.value.names) == [u.name for u in uses_of(book, "good", "white-rum")]


def test_an_unused_good_goes_with_its_quotes_and_tests(book: Book) -> None:
    started = after(book, goods.new_good(book, "Quince", "fruit", "5 kg", "12", "Ropewalk Casks", DAY))
    started = after(started, trials.new_trial(started, "quince", DAY, "2 kg", "1.4 kg", "flesh"))
    done = after(started, goods.remove(started, "quince"))
    assert done.all(Good) == book.all(Good)
    assert done.all(Quote) == book.all(Quote)
    assert done.all(YieldTest) == book.all(YieldTest)


def test_suppliers(book: Book) -> None:
    step, ident = goods.new_supplier(book, " Tide   Market ", {"tide-market"})
    done = after(book, step)
    assert ident == "tide-market-2"
    assert done.all(Supplier)[ident].name == "Tide Market"
    with pytest.raises(ValueError, match="already"):
        goods.new_supplier(done, "tide market")
    done = after(done, goods.rename_supplier(done, ident, "Tide Hall"))
    assert goods.set_supplier_note(done, ident, "") is None
    assert after(done, goods.remove_supplier(done, ident)).all(Supplier) == book.all(Supplier)
    with pytest.raises(InUse):
        goods.remove_supplier(book, next(q.supplier for q in book.all(Quote).values()))


TEXTS = st.sampled_from(
    ["", "40", "~12 %", "0,75 l", "3/4 oz", "1.05 kg/l", "70 g", "1,234", "kg", "each", "spirit", "½"]
)
EDITS: list[Callable[[Book, str, str], Step | None]] = [
    goods.rename, goods.set_kind, goods.set_base, goods.set_density, goods.set_piece, goods.set_note,
    lambda b, i, t: goods.set_makeup(b, i, "abv", t), lambda b, i, t: goods.set_makeup(b, i, "sugar", t),
    goods.set_preferred, lambda b, i, t: goods.remove(b, i),
    lambda b, i, t: quotes.new_quote(b, i, "", t, "12.50", DAY),
]  # fmt: skip


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.tuples(st.sampled_from(EDITS), st.integers(0, 71), TEXTS), max_size=6))
def test_any_run_of_edits_can_be_taken_back(
    book: Book, run: list[tuple[Callable[[Book, str, str], Step | None], int, str]]
) -> None:
    now, steps = book, list[Step]()
    for edit, n, text in run:
        try:
            step = edit(now, list(book.all(Good))[n], text)
        except ValueError:
            continue
        if step is not None:
            now = after(now, step)
            steps.append(step)
    for step in reversed(steps):
        now = now.with_changes(step.inverse().changes)
    assert now == book
