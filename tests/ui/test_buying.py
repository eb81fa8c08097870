"""Buying better in the window: suppliers compared, one good instead of another, how prices move; all by keyboard."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from decimal import Decimal
from math import fsum, isclose
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QGuiApplication
from pytestqt.modeltest import ModelTester
from pytestqt.qtbot import QtBot

from costing.book.book import Book
from costing.book.fact import parse_fact
from costing.book.records import Good, Quote, Record
from costing.book.selling import SalesPeriod
from costing.edits import trials
from costing.edits.quotes import set_days
from costing.menu.mix import recent_sales
from costing.paths import sample_book
from costing.report.figures.index import IndexPoint, index_figure
from costing.report.figures.shapes import Box, Figure, Line, overlaps
from costing.store import read_json
from costing.supply.buying.index import price_index, usage_of
from costing.supply.buying.offers import compare
from costing.supply.buying.season import season
from costing.supply.buying.substitute import substitution
from costing.supply.buying.usable import usable
from costing.supply.plan.effect import MONTH
from costing.tongue import speaking
from tests.ui.conftest import DAY
from tests.ui.test_cellar import Key, cellar, column, shown
from ui.desk import Desk, Where
from ui.latest import Latest
from ui.places.cellar import CellarPlace
from ui.places.cellar.buying.compared import WHOLE, ComparedPage
from ui.places.cellar.buying.instead import InsteadPage
from ui.places.cellar.buying.movement import MovementPage, days_between, year_before
from ui.places.cellar.buying.need import need_text, read_need
from ui.widgets.fields import TextField

__all__ = ["cellar"]
AFTER = date(2026, 12, 1)
"""A day by which the sample's one period of sales has ended."""
LIQUEUR = "orange-liqueur"
"""Two sell it, one of them in francs."""
SLOW = 10_000


@pytest.fixture
def sample() -> Book:
    """The sample bar with the last four weeks of its till as the one period of sales."""
    book = read_json(sample_book())
    last = recent_sales(book, AFTER)
    assert last is not None
    kept: dict[tuple[str, str], Record] = {key: record for key, record in book.records.items() if key[0] != "sales"}
    return Book({**kept, ("sales", "weeks"): replace(last, id="weeks")})


def typed(qtbot: QtBot, field: TextField, text: str) -> None:
    """Over what stands in a field, and Enter."""
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, text)
    if not text:
        qtbot.keyClick(field, Key.Key_Delete)
    qtbot.keyClick(field, Key.Key_Return)


def compared(place: CellarPlace, good: str) -> ComparedPage:
    """The page of suppliers compared, on a good."""
    assert place.show_item(Where("good", good))
    place.detail.setCurrentWidget(place.detail.compared)
    return place.detail.compared


def instead(place: CellarPlace, good: str) -> InsteadPage:
    """The page of another in its place, on a good."""
    assert place.show_item(Where("good", good))
    place.detail.setCurrentWidget(place.detail.instead)
    return place.detail.instead


def movement(place: CellarPlace, qtbot: QtBot) -> MovementPage:
    """The page of price movement, with all that it knows."""
    place.pages.setCurrentWidget(place.movement)
    qtbot.waitUntil(lambda: place.movement.season_page.rows.rowCount() > 0, timeout=SLOW)
    return place.movement


# Suppliers compared


def test_suppliers_are_compared_for_what_is_typed_as_the_core_has_it(cellar: CellarPlace, qtbot: QtBot) -> None:
    page, form = compared(cellar, LIQUEUR), cellar.desk.format
    typed(qtbot, page.need, "12 l")
    found = compare(cellar.desk.document.reckoning, LIQUEUR, Decimal(12))
    assert [row.offer for row in page.rows.rows()] == list(found)
    cheapest, dearer = found
    assert cheapest.bought is not None
    assert dearer.bought is not None
    table = page.list.table
    assert shown(table, cheapest.quote.id, "verdict") == "cheapest"
    assert shown(table, cheapest.quote.id, "unit") == form.unit_money(float(cheapest.bought.per_unit), "l")
    assert cheapest.quote.currency == "CHF"
    assert shown(table, cheapest.quote.id, "price") == f"{form.money(cheapest.bought.price)} CHF"
    over = dearer.bought.per_unit - cheapest.bought.per_unit
    more = f"{form.number(over, 2)} / L more, {form.percent(over / cheapest.bought.per_unit)}"
    assert shown(table, dearer.quote.id, "verdict") == more
    for name, money in dearer.bought.parts:
        assert shown(table, dearer.quote.id, name) == f"{form.number(money, 2)} / L"
    assert shown(table, dearer.quote.id, "packs") == f"{dearer.bought.packs} packs of 6 x 0.7 l"
    assert shown(table, dearer.quote.id, "tied") == form.money(dearer.bought.tied_up)
    assert form.money(cheapest.bought.total) in page.told.text()


def test_every_part_of_the_chosen_supplier_stands_below_beside_another(cellar: CellarPlace, qtbot: QtBot) -> None:
    page = compared(cellar, LIQUEUR)
    first, second = (row.key for row in page.rows.rows())
    assert [r.key for r in page.parts.rows()] == [c.key for c in page.rows.columns]
    page.list.table.setFocus()
    page.list.table.choose(first)
    qtbot.keyClick(page.list.table, Key.Key_Down)
    supplier = next(r for r in page.parts.rows() if r.key == "supplier")
    assert (supplier.here, supplier.there) == (
        shown(page.list.table, second, "supplier"), shown(page.list.table, first, "supplier"),
    )  # fmt: skip


def test_enter_on_a_supplier_lets_it_cost_the_good_and_undo_takes_that_back(cellar: CellarPlace, qtbot: QtBot) -> None:
    document = cellar.desk.document
    before, page = document.book, compared(cellar, LIQUEUR)
    assert document.reckoning.prices[LIQUEUR].quote.supplier == "casks"
    row = next(r for r in page.rows.rows() if r.offer.supplier == "dry-store")
    page.list.table.choose(row.key)
    page.list.table.setFocus()
    qtbot.keyClick(page.list.table, Key.Key_Return)
    assert document.view.goods[LIQUEUR].preferred == "dry-store"
    assert document.reckoning.prices[LIQUEUR].quote.supplier == "dry-store"
    assert shown(page.list.table, row.key, "costs") == "chosen"
    with qtbot.waitSignal(cellar.desk.told):
        qtbot.keyClick(page.list.table, Key.Key_Return)
    assert len(document.headings()) == 2  # the book as it was made, and the one step
    cellar.desk.undo()
    assert document.book == before
    assert shown(page.list.table, row.key, "costs") == "–"


def test_a_month_is_needed_unless_somebody_says_otherwise(cellar: CellarPlace, qtbot: QtBot) -> None:
    document, page = cellar.desk.document, compared(cellar, "pineapple")
    assert page.need.text() == "4.23 kg"  # a crate of 8 kg, of which the tests keep 52.9 %
    assert "No sales are kept" in page.basis.text()
    (row,) = page.rows.rows()
    assert row.offer.bought is not None
    assert (row.offer.bought.least, row.offer.bought.packs) == (1, 2)  # a crate is less than the least order
    assert row.said.startswith("1 pack would be enough")
    document.set_day(AFTER)
    qtbot.waitUntil(lambda: "A month takes" in page.basis.text(), timeout=SLOW)
    (period,) = document.book.all(SalesPeriod).values()
    month = usage_of(document.book, period).amounts["pineapple"] * MONTH / period.days
    share = usable(document.book, "pineapple", "").share
    assert page.need.text() == need_text(Decimal(month) * share, "kg")
    assert read(page, "pineapple") == pytest.approx(float(Decimal(month) * share), rel=0.005)
    typed(qtbot, page.need, "10 kg")
    assert page.basis.isHidden()
    typed(qtbot, page.need, "")
    qtbot.waitUntil(lambda: page.need.text() == need_text(Decimal(month) * share, "kg"))


def read(page: ComparedPage, good: str) -> float:
    """The need that stands in the field, in base units."""
    figures = page.desk.document.figures
    return float(read_need(page.need.text(), good, figures.reckoning.units[good], figures.view, figures.names))


def test_what_cannot_be_needed_stays_with_its_good_and_its_reason(cellar: CellarPlace, qtbot: QtBot) -> None:
    page = compared(cellar, "lemon")
    typed(qtbot, page.need, "20 kg")
    typed(qtbot, page.rest, "3.40")
    before = page.told.text()
    for wrong in ("many", "0 kg", "3 mbar", "1,250 kg"):
        typed(qtbot, page.need, wrong)
        assert page.need.refusal is not None, wrong
        assert not page.said.isHidden(), wrong
        assert page.told.text() == before
    compared(cellar, "orange")
    assert page.need.refusal is None
    assert page.rest.text() == ""
    compared(cellar, "lemon")
    assert (page.need.text(), page.rest.text()) == ("1,250 kg", "3.40")
    assert page.need.refusal is not None
    typed(qtbot, page.need, "25")
    assert read(page, "lemon") == 25.0
    assert page.said.isHidden()
    typed(qtbot, page.rest, "1,234")
    assert page.rest.refusal is not None


def test_the_rest_of_the_order_shares_the_freight(cellar: CellarPlace, qtbot: QtBot) -> None:
    page, reckoning = compared(cellar, "lemon"), cellar.desk.document.reckoning
    typed(qtbot, page.need, "10 kg")
    alone = {r.key: r.offer.bought.freight for r in page.rows.rows() if r.offer.bought}
    typed(qtbot, page.rest, "80")
    shared = {r.key: r.offer.bought.freight for r in page.rows.rows() if r.offer.bought}
    assert all(shared[key] < alone[key] for key in alone)
    assert [r.offer for r in page.rows.rows()] == list(compare(reckoning, "lemon", Decimal(10), rest=Decimal(80)))


def test_one_that_cannot_count_says_why_in_words(cellar: CellarPlace) -> None:
    page = compared(cellar, "grain-vodka")
    (row,) = [r for r in page.rows.rows() if r.offer.bought is None]
    assert shown(page.list.table, row.key, "verdict") == "cannot count"
    assert shown(page.list.table, row.key, "unit") == "–"
    said = shown(page.list.table, row.key, "said")
    assert "tax" in said
    assert said in page.told.text()
    (other,) = [r for r in page.rows.rows() if r.offer.bought is not None]
    assert shown(page.list.table, other.key, "verdict") == "the only one"


def test_of_several_tested_parts_one_is_chosen_first(cellar: CellarPlace, qtbot: QtBot) -> None:
    document, page = cellar.desk.document, compared(cellar, "lime")
    assert page.part.isVisible()
    assert page.part.currentText() == "juice"
    step = trials.new_trial(document.book, "lime", DAY, "1 kg", "60 g", "zest", "ab", document.past_ids())
    document.do(step)
    assert page.part.currentIndex() == -1
    assert page.rows.rowCount() == 0
    assert "choose above" in page.hint.text()
    page.part.setFocus()
    qtbot.keyClick(page.part, Key.Key_Down)  # the juice
    assert page.part.currentText() == "juice"
    qtbot.keyClick(page.part, Key.Key_Down)
    assert page.part.currentText() == "zest"
    typed(qtbot, page.need, "0.5 kg")
    offers = compare(document.reckoning, "lime", Decimal("0.5"), part="zest")
    assert [r.offer for r in page.rows.rows()] == list(offers)
    page.part.setFocus()
    qtbot.keyClick(page.part, Key.Key_Down)
    assert page.part.currentData() == WHOLE
    whole = compare(document.reckoning, "lime", Decimal("0.5"), share=Decimal(1))
    assert [r.offer for r in page.rows.rows()] == list(whole)
    compared(cellar, "lemon")
    assert not page.part.isVisible()
    compared(cellar, "lime")
    assert page.part.currentData() == WHOLE


def test_a_good_that_nobody_quotes_says_what_to_do(cellar: CellarPlace) -> None:
    document, page = cellar.desk.document, compared(cellar, "lemon")
    document.set_day(date(2025, 11, 1))
    assert page.rows.rowCount() == 0
    assert "Quotes" in page.hint.text()
    assert not page.use.isEnabled()


@pytest.mark.parametrize(
    ("amount", "base", "text"),
    [("42.125", "kg", "42.1 kg"), ("0.0321", "l", "32.1 ml"), ("1204.5", "l", "1205 l"), ("3", "each", "3 pc"),
     ("0.000004", "kg", "0.004 g"), ("2.50", "kwh", "2.5 kWh")],
)  # fmt: skip
def test_an_amount_is_offered_in_round_figures(amount: str, base: Any, text: str) -> None:
    assert need_text(Decimal(amount), base) == text


@given(st.decimals("0.001", "5000", places=6), st.sampled_from(["kg", "l", "each"]))
def test_what_is_offered_can_be_typed_and_is_near(amount: Decimal, base: Any) -> None:
    for language in ("en", "de"):
        with speaking(language):
            fact = parse_fact(need_text(amount, base, down=True))
        value = fact.value / (1000 if fact.unit in ("g", "ml") else 1)
        assert value <= amount
        assert value >= amount * Decimal("0.99") or amount < 1


# Instead


def test_another_is_chosen_and_every_drink_is_shown_as_the_core_has_it(cellar: CellarPlace, qtbot: QtBot) -> None:
    page, form, document = instead(cellar, "hazelnut"), cellar.desk.format, cellar.desk.document
    assert "Type above" in page.hint.text()
    assert not page.use.isEnabled()
    typed(qtbot, page.other, document.names["walnut"].upper())
    qtbot.waitUntil(page.use.isEnabled, timeout=SLOW)
    swap = substitution(document.book, DAY, "hazelnut", "walnut")
    assert [r.change for r in page.drinks.rows()] == list(swap.serves)
    (drink,) = page.drinks.rows()
    table = page.drink_list.table
    assert shown(table, drink.key, "cost-now") == form.money(drink.change.before.priced.base)
    assert shown(table, drink.key, "cost-then") == form.money(drink.change.after.priced.base)
    assert shown(table, drink.key, "moves") == form.signed(drink.change.moves)
    said = shown(table, drink.key, "allergens")
    assert said.startswith("is exempted by a word that was given for another ingredient: ")
    assert said.endswith("; need not be said any more: peanuts, sesame seeds")
    assert "Allergens stand otherwise in 1" in page.told.text()
    assert document.names["walnut"] in {r.then for r in page.sides.rows()}
    sides = {r.key: (r.now, r.then) for r in page.sides.rows()}
    assert sides["allergen/peanuts"] == ("may contain", "free")
    assert sides["like"] == (sides["cost"][0], form.unit_money(swap.like_for_like, swap.good.base))
    with qtbot.waitSignal(cellar.desk.went) as told:
        table.choose(drink.key)
        table.setFocus()
        qtbot.keyClick(table, Key.Key_Return)
    assert told.args == [Where("serve", drink.change.serve)]


def test_what_the_book_says_of_the_new_recipes_is_said_beforehand(cellar: CellarPlace, qtbot: QtBot) -> None:
    page = instead(cellar, "butter")
    typed(qtbot, page.other, cellar.desk.document.names["sugar"])
    qtbot.waitUntil(lambda: page.drinks.rowCount() > 0, timeout=SLOW)
    assert substitution(cellar.desk.document.book, DAY, "butter", "sugar").problems
    assert page.said.text().startswith("New in the recipes with it: ")
    assert shown(page.drink_list.table, page.drinks.key(0), "cost-then").startswith("at least")
    assert shown(page.drink_list.table, page.drinks.key(0), "moves") == "–"


def test_it_is_written_from_the_day_on_as_one_step_and_taken_back(cellar: CellarPlace, qtbot: QtBot) -> None:
    document, page = cellar.desk.document, instead(cellar, "lime")
    before = document.book
    typed(qtbot, page.other, "LEMON")
    assert page.other.text() == "Lemon"
    typed(qtbot, page.since, "+14")
    qtbot.waitUntil(lambda: page.since.text() == "2026-11-15")
    assert "2026-11-15" in page.use.text()
    qtbot.waitUntil(page.use.isEnabled, timeout=SLOW)
    page.use.setFocus()
    qtbot.keyClick(page.use, Key.Key_Space)
    sources = [
        {item.source for stage in v.stages for item in stage.adds}
        for v in document.book.on(date(2026, 11, 15)).preparations["lime-juice"][0].versions
    ]
    assert "lime" in sources[0]
    assert "lemon" in sources[-1]
    assert "lime" not in sources[-1]
    assert "Lemon in place of Lime from 2026-11-15" in (document.undo_text or "")
    qtbot.waitUntil(lambda: page.drinks.rowCount() == 0, timeout=SLOW)
    assert not page.use.isEnabled()
    assert "No drink takes it" in page.drink_hint.text()
    cellar.desk.undo()
    assert document.book == before
    qtbot.waitUntil(page.use.isEnabled, timeout=SLOW)


def test_the_key_substitutes_only_what_was_looked_at(cellar: CellarPlace, qtbot: QtBot) -> None:
    document, page = cellar.desk.document, instead(cellar, "lime")
    before = document.book
    typed(qtbot, page.other, "Lemon")
    qtbot.keyClick(page.other, Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert document.book is before  # nothing is known of it yet
    qtbot.waitUntil(page.use.isEnabled, timeout=SLOW)
    next(a for a in page.actions() if a.shortcut().toString() == "Ctrl+Return").trigger()
    assert document.book != before


def test_what_was_asked_before_is_dropped(cellar: CellarPlace, qtbot: QtBot) -> None:
    page = instead(cellar, "lime")
    typed(qtbot, page.other, "Lemon")
    instead(cellar, "butter")
    assert page.other.text() == ""
    typed(qtbot, page.other, cellar.desk.document.names["sugar"])
    qtbot.waitUntil(page.use.isEnabled, timeout=SLOW)
    assert {r.then for r in page.sides.rows() if r.key == "name"} == {cellar.desk.document.names["sugar"]}
    instead(cellar, "lime")
    assert page.other.text() == "Lemon"
    assert page.drinks.rowCount() == 0
    qtbot.waitUntil(page.use.isEnabled, timeout=SLOW)
    assert {r.then for r in page.sides.rows() if r.key == "name"} == {"Lemon"}


def test_what_cannot_stand_in_is_said_and_kept(cellar: CellarPlace, qtbot: QtBot) -> None:
    page = instead(cellar, "lime")
    for text, said in (("Nothing of the kind", "no ingredient called"), ("lime", "cannot stand in for itself")):
        typed(qtbot, page.other, text)
        assert page.other.refusal is not None
        assert said in page.said.text()
    instead(cellar, "butter")
    assert page.said.isHidden()
    instead(cellar, "lime")
    assert page.other.text() == "lime"
    assert "itself" in page.said.text()


def test_amounts_that_cannot_be_written_of_the_other_refuse_it_in_words(cellar: CellarPlace, qtbot: QtBot) -> None:
    document = cellar.desk.document
    assert document.book.all(Good)["citric"].density is None
    page = instead(cellar, "dry-gin")
    typed(qtbot, page.other, document.names["citric"])
    qtbot.waitUntil(lambda: page.sides.rowCount() > 0, timeout=SLOW)
    assert substitution(document.book, DAY, "dry-gin", "citric").refused
    assert "cannot stand in" in page.said.text()
    assert "density" in page.said.text()
    assert not page.use.isEnabled()
    assert page.drinks.rowCount() == 0


# Price movement


def test_without_sales_the_index_says_what_to_do_and_seasons_are_there(cellar: CellarPlace, qtbot: QtBot) -> None:
    page = movement(cellar, qtbot)
    assert page.unsold.isVisible()
    assert (page.first.text(), page.last.text()) == ("2025-12-01", "2026-11-01")  # the first quote, the day looked at
    page.setCurrentWidget(page.season_page)
    seasons = {r.season.good: r for r in page.season_page.rows.rows()}
    table = page.season_page.list.table
    known = season(cellar.desk.document.book, "lime", DAY)
    assert seasons["lime"].season == known
    for n, factor in enumerate(known.index):
        text = "–" if factor is None else cellar.desk.format.number(factor, 2)
        assert shown(table, "lime", f"{n + 1}") == text
    assert shown(table, "lime", "stands") == "one year only"
    assert shown(table, "olive", "stands") == "fewer than four prices are known"
    assert {shown(table, "olive", f"{n}") for n in range(1, 13)} == {"–"}
    with qtbot.waitSignal(cellar.desk.went) as told:
        table.choose("lime")
        table.setFocus()
        qtbot.keyClick(table, Key.Key_Return)
    assert told.args == [Where("good", "lime")]


def test_the_index_between_two_days_is_the_cores_and_its_parts_add_up(cellar: CellarPlace, qtbot: QtBot) -> None:
    page, form, document = movement(cellar, qtbot), cellar.desk.format, cellar.desk.document
    typed(qtbot, page.last, "2026-12-01")
    qtbot.waitUntil(lambda: page.figures.rowCount() == 4, timeout=SLOW)
    index = price_index(document.book, date(2025, 12, 1), AFTER)
    assert index is not None
    assert index.laspeyres is not None
    assert shown(page.figure_list.table, "laspeyres", "figure") == form.number(index.laspeyres, 3)
    assert shown(page.figure_list.table, "fisher", "figure") == form.number(index.fisher or 0.0, 3)
    assert shown(page.figure_list.table, "covered", "figure") == form.percent(index.covered)
    assert "the same" in shown(page.figure_list.table, "paasche", "stands")
    rows = page.goods.rows()
    parts = [r for r in rows if r.part is not None]
    assert {r.key for r in parts} == {c.good for c in index.contributions}
    assert isclose(fsum(r.points or 0.0 for r in parts), index.laspeyres - 1.0, abs_tol=1e-12)
    (whole,) = [r for r in rows if r.key == ""]
    assert isclose(whole.points or 0.0, index.laspeyres - 1.0, abs_tol=1e-12)
    assert shown(page.good_list.table, "", "points") == f"▲ +{form.number(100 * (index.laspeyres - 1), 2)}"
    page.goods.sort(column(page.goods, "points"), Qt.SortOrder.AscendingOrder)
    assert page.goods.rows()[-1].key == ""
    table = page.picture.table()
    assert [row[0] for row in table[1:]] == [form.day(d) for d in days_between(date(2025, 12, 1), AFTER)]
    assert table[-1][1] == form.number(index.laspeyres, 3)
    page.picture.copy_table()
    assert QGuiApplication.clipboard().text().count("\n") >= len(table) - 1
    assert "Laspeyres goes from 1" in page.picture.accessibleDescription()


def test_a_good_without_a_price_is_named_and_an_edit_is_taken_in(cellar: CellarPlace, qtbot: QtBot) -> None:
    document = cellar.desk.document
    document.set_day(AFTER)
    page = movement(cellar, qtbot)
    qtbot.waitUntil(lambda: page.figures.rowCount() == 4, timeout=SLOW)
    before = shown(page.figure_list.table, "covered", "figure")
    for quote in [q for q in document.book.all(Quote).values() if q.good == "dry-gin"]:
        step = set_days(document.book, quote.id, quote.since, max(quote.since, date(2026, 11, 20)))
        assert step is not None
        document.do(step)
    qtbot.waitUntil(lambda: any(r.missing for r in page.goods.rows()), timeout=SLOW)
    assert shown(page.good_list.table, "dry-gin", "missing") == "has no price on the last day"
    assert shown(page.good_list.table, "dry-gin", "points") == "–"
    assert shown(page.figure_list.table, "covered", "figure") != before
    assert "1 ingredient" in page.told.text()


def test_days_that_cannot_be_say_so(cellar: CellarPlace, qtbot: QtBot) -> None:
    page = movement(cellar, qtbot)
    typed(qtbot, page.first, "2026-11-20")
    assert "lies after" in page.said.text()
    typed(qtbot, page.last, "1/12/2026")
    assert page.last.refusal is not None
    assert not page.said.isHidden()
    typed(qtbot, page.last, "2026-12-01")
    qtbot.waitUntil(lambda: page.figures.rowCount() == 4, timeout=SLOW)
    assert page.said.isHidden()
    assert page.picture.figure is not None
    typed(qtbot, page.first, "2026-12-01")
    qtbot.waitUntil(lambda: page.figures.rowCount() == 4, timeout=SLOW)
    assert shown(page.figure_list.table, "laspeyres", "figure") == "1.000"
    assert page.picture.figure is None  # one day makes no line


def test_nothing_is_worked_out_for_a_page_that_nobody_sees(cellar: CellarPlace) -> None:
    assert cellar.movement._latest._key is None
    assert cellar.detail.instead._latest._key is None


def test_every_model_keeps_qts_rules(cellar: CellarPlace, qtbot: QtBot, qtmodeltester: ModelTester) -> None:
    cellar.desk.document.set_day(AFTER)
    one = compared(cellar, LIQUEUR)
    other = instead(cellar, "butter")
    typed(qtbot, other.other, cellar.desk.document.names["sugar"])
    qtbot.waitUntil(other.use.isEnabled, timeout=SLOW)
    page = movement(cellar, qtbot)
    qtbot.waitUntil(lambda: page.figures.rowCount() == 4, timeout=SLOW)
    for model in (one.rows, one.parts, other.sides, other.drinks, page.figures, page.goods, page.season_page.rows):
        assert model.rowCount() > 0
        qtmodeltester.check(model)


def test_an_empty_book_has_every_page(empty_desk: Desk, qtbot: QtBot) -> None:
    place = CellarPlace(empty_desk)
    qtbot.addWidget(place)
    place.show()
    for page in (place.detail.compared, place.detail.instead):
        place.detail.setCurrentWidget(page)
    place.pages.setCurrentWidget(place.movement)
    assert place.movement.unsold.isVisible()
    qtbot.waitUntil(lambda: "No fruit" in place.movement.season_page.hint.text(), timeout=SLOW)


def test_the_empty_index_offers_to_keep_what_was_sold(cellar: CellarPlace, qtbot: QtBot) -> None:
    page = movement(cellar, qtbot)
    page.ask_sold()
    dialog = next(c for c in page.children() if type(c).__name__ == "SoldDialog")
    getattr(dialog, "reject")()  # noqa: B009  its class comes with the menu


# The days, the picture, the answers


@given(st.dates(date(2020, 1, 1), date(2030, 1, 1)), st.integers(0, 4000))
def test_days_begin_and_end_where_they_were_asked(first: date, long: int) -> None:
    last = date.fromordinal(first.toordinal() + long)
    days = days_between(first, last)
    assert days[0] == first
    assert days[-1] == last
    assert sorted(set(days)) == sorted(days) if long else days == [first, first]
    assert len(days) <= 63
    assert all(d.day == 1 for d in days[1:-1]) or long <= 100


def test_a_leap_day_has_a_year_before() -> None:
    assert year_before(date(2028, 2, 29)) == date(2027, 2, 28)
    assert year_before(date(2027, 3, 1)) == date(2026, 3, 1)


def measure(text: str, size: float, bold: bool = False) -> float:
    """Letters half as wide as they are tall."""
    return len(text) * size * 0.5


def figure(points: list[IndexPoint], wide: float = 420.0) -> Figure:
    """The picture of an index."""
    return index_figure(points, wide, 200.0, measure, lambda v: f"{v:.3f}")


VALUES = st.one_of(st.none(), st.floats(0.5, 3.0))


@given(st.lists(st.tuples(VALUES, VALUES, VALUES), min_size=2, max_size=40))
def test_every_line_of_the_index_lies_inside(values: list[tuple[float | None, float | None, float | None]]) -> None:
    points = [IndexPoint(date.fromordinal(DAY.toordinal() + 7 * n), *v) for n, v in enumerate(values)]
    if all(sum(v[n] is not None for v in values) < 2 for n in range(3)):
        with pytest.raises(ValueError, match="days"):
            figure(points)
        return
    drawn = figure(points)
    for shape in drawn.shapes:
        if isinstance(shape, (Line, Box)):
            left, top, right, bottom = shape.bounds
            assert -0.01 <= left <= right <= drawn.wide + 0.01
            assert -0.01 <= top <= bottom <= drawn.tall + 0.01


def test_the_same_index_is_drawn_once_and_others_with_marks_of_their_own() -> None:
    days = [date(2026, n, 1) for n in (1, 2, 3)]
    alone = figure([IndexPoint(d, v, v, v) for d, v in zip(days, (1.0, 1.02, 1.05), strict=True)])
    assert "Paasche" not in alone.said
    assert "Laspeyres goes from 1 on 2026-01-01 to 1.050 on 2026-03-01." in alone.said
    three = figure(
        [
            IndexPoint(days[0], 1.0, 1.0, 1.0),
            IndexPoint(days[1], 1.02, 1.01, 1.015),
            IndexPoint(days[2], 1.1, 1.0, 1.05),
        ]
    )
    for name in ("Laspeyres", "Paasche", "Fisher"):
        assert name in three.said
    assert list(overlaps(three)) == []
    with pytest.raises(ValueError, match="points"):
        figure([IndexPoint(days[0], 1.0)])


def test_only_the_last_answer_counts(qtbot: QtBot) -> None:
    owner, told = QObject(), list[str]()
    latest = Latest(owner)
    latest.known.connect(lambda: told.append("known"))
    begun = list[str]()

    def work(name: str) -> Callable[..., str]:
        def run(_: object) -> str:
            begun.append(name)
            return name

        return run

    for name in ("one", "two", "three"):
        latest.ask(name, work(name))
    assert latest.of("three") is None
    qtbot.waitUntil(lambda: latest.of("three") == "three", timeout=SLOW)
    assert begun == ["three"]  # work that the next key made idle was never begun
    assert told == ["known"]
    assert latest.of("two") is None
    latest.ask("three", work("again"))
    latest.forget()
    assert latest.of("three") is None
    assert begun == ["three"]
