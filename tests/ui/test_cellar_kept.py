"""The cellar: what was typed stays with the record it was typed for, and what is left comes back."""

from datetime import date

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QModelIndex
from PySide6.QtGui import QGuiApplication
from pytestqt.qtbot import QtBot

from costing.book.records import Good, Quote
from tests.ui.test_cellar import cellar, column, shown, type_into
from ui.desk import Desk, Where
from ui.models.table import KEY_ROLE, REFUSED_ROLE, RowTable
from ui.places.cellar import CellarPlace
from ui.places.cellar.dialogs import Asking, NewGood, NewQuote, Review
from ui.whys import UnitCost

__all__ = ["cellar"]


def index_of(model: RowTable, key: str, name: str) -> QModelIndex:  # type: ignore[type-arg]
    """The index of a cell."""
    row = model.position(key)
    assert row is not None, key
    return model.index(row, column(model, name))


def test_a_fact_that_was_not_taken_stays_with_its_ingredient(cellar: CellarPlace, qtbot: QtBot) -> None:
    cellar.show_item(Where("good", "lime", "makeup"))
    table, pane = cellar.detail.fact_list.table, cellar.detail.fact_list
    type_into(qtbot, table, "lime/density", "text", "12 kg")
    cellar.list.table.choose("honey")
    there = index_of(cellar.detail.facts, "honey/density", "text")
    assert there.data(REFUSED_ROLE) is None
    assert there.data() != "12 kg"
    assert not pane.fault.isVisible()
    cellar.list.table.choose("lime")
    back = index_of(cellar.detail.facts, "lime/density", "text")
    assert back.data() == "12 kg"
    assert "12 kg" in pane.fault.text()


def test_an_allergen_that_was_not_taken_stays_with_its_ingredient(cellar: CellarPlace, qtbot: QtBot) -> None:
    cellar.show_item(Where("good", "honey"))
    detail = cellar.detail
    detail.setCurrentWidget(detail.allergen_page)
    code = detail.allergens.row(0).allergen.code
    type_into(qtbot, detail.allergen_list.table, f"honey/{code}", "state", "harmless")
    cellar.list.table.choose("lime")
    assert index_of(detail.allergens, f"lime/{code}", "state").data(REFUSED_ROLE) is None
    cellar.list.table.choose("honey")
    assert index_of(detail.allergens, f"honey/{code}", "state").data() == "harmless"


def test_another_ingredient_is_shown_on_the_same_line_of_its_facts(cellar: CellarPlace) -> None:
    cellar.show_item(Where("good", "lime", "makeup"))
    table = cellar.detail.fact_list.table
    table.choose("lime/piece", 1)
    cellar.list.table.choose("lemon")
    assert table.currentIndex().data(KEY_ROLE) == "lemon/piece"
    assert table.currentIndex().column() == 1


def test_weights_of_a_yield_test_stay_with_their_ingredient(cellar: CellarPlace, qtbot: QtBot) -> None:
    cellar.show_item(Where("good", "pineapple"))
    page = cellar.detail.trials
    cellar.detail.setCurrentWidget(page)
    for field, text in ((page.gross, "6 kg"), (page.kept, "3 kg"), (page.part, "flesh")):
        field.setFocus()
        qtbot.keyClicks(field, text)
    cellar.list.table.choose("lime")
    assert [f.text() for f in (page.gross, page.kept, page.part)] == ["", "", ""]
    cellar.list.table.choose("pineapple")
    assert [f.text() for f in (page.gross, page.kept, page.part)] == ["6 kg", "3 kg", "flesh"]


def test_a_yield_test_that_cannot_be_written_says_why_there(cellar: CellarPlace) -> None:
    cellar.show_item(Where("good", "pineapple"))
    page = cellar.detail.trials
    cellar.detail.setCurrentWidget(page)
    page.gross.setText("6 kg")
    page.kept.setText("3 kg")
    cellar.desk.document.read_only = True
    page.take()
    assert "look at only" in page.said.text()
    assert page.gross.text() == "6 kg"


def test_a_pack_typed_beside_a_price_leaves_the_past_as_it_was(cellar: CellarPlace, qtbot: QtBot) -> None:
    document, table = cellar.desk.document, cellar.list.table
    before, quote = document.book, document.view.quote_of("white-rum")
    assert quote is not None
    assert quote.since < document.day
    document.set_day(date(2026, 9, 1))
    cost = shown(table, "white-rum", "unit")
    document.set_day(date(2026, 11, 1))
    type_into(qtbot, table, "white-rum", "pack", "0.35 l")
    new = document.view.quote_of("white-rum")
    assert new is not None
    assert (new.since, new.content.text, new.price, new.supplier) == (
        document.day, "0.35 l", quote.price, quote.supplier,
    )  # fmt: skip
    assert document.book.all(Quote)[quote.id] == quote
    type_into(qtbot, table, "white-rum", "pack", "0.5 l")  # on its own day it is put right
    assert len(document.book.all(Quote)) == len(before.all(Quote)) + 1
    document.set_day(date(2026, 9, 1))
    assert shown(table, "white-rum", "unit") == cost
    assert cellar.desk.undo()
    assert cellar.desk.undo()
    assert document.book == before


def test_headings_say_from_when_what_is_typed_holds(cellar: CellarPlace) -> None:
    for name in ("price", "pack"):
        assert "Quotes" in cellar.rows.columns[column(cellar.rows, name)].about


def test_a_block_too_long_to_review_stays_refused(cellar: CellarPlace, qtbot: QtBot) -> None:
    cellar.list.table.choose("lime")
    told: list[str] = []
    cellar.desk.settled.connect(lambda: told.append("settled"))
    QGuiApplication.clipboard().setText("Lime\t\t11.80\n" * 5001)
    with qtbot.waitSignal(cellar.desk.refused) as refused:
        cellar.list.table.paste()
    assert refused.args is not None
    assert "5,000" in refused.args[0].text or "5000" in refused.args[0].text
    assert told == []
    assert cellar.findChild(Review) is None


def gone(cellar: CellarPlace, kind: type) -> bool:
    """Whether no dialog of a kind is left once what is to be deleted is."""
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    return not cellar.findChildren(kind)


def test_dialogs_go_when_they_are_done(cellar: CellarPlace) -> None:
    cellar.show_item(Where("good", "lime"))
    cellar.ask_new()
    cellar.detail.ask_quote()
    review = cellar.review("Lime\t\t11.80")
    assert review is not None
    review.reject()
    for dialog in cellar.findChildren(Asking):
        dialog.reject()
    assert gone(cellar, NewGood)
    assert gone(cellar, NewQuote)
    assert gone(cellar, Review)


def test_a_new_ingredient_that_was_left_comes_back_as_it_was_typed(
    cellar: CellarPlace, desk: Desk, qtbot: QtBot
) -> None:
    cellar.ask_new()
    dialog = cellar.findChild(NewGood)
    assert dialog is not None
    dialog.name.setText("Quince")
    dialog.price.setText("18")
    dialog.reject()
    assert gone(cellar, NewGood)
    other = CellarPlace(desk)  # the window is built anew for another language or theme
    qtbot.addWidget(other)
    other.restore_state(cellar.save_state())
    other.ask_new()
    again = other.findChild(NewGood)
    assert again is not None
    assert (again.name.text(), again.price.text(), again.pack.text()) == ("Quince", "18", "")
    again.kind.setText("fruit")
    again.pack.setText("1 kg")
    again.supplier.setText("North Quay Fruit")
    again.ok.click()
    assert "Quince" in {g.name for g in desk.document.book.all(Good).values()}
    last = CellarPlace(desk)
    qtbot.addWidget(last)
    last.restore_state(other.save_state())
    last.ask_new()
    empty = last.findChild(NewGood)
    assert empty is not None
    assert empty.draft() == {}


def test_a_new_quote_that_was_left_comes_back_for_its_ingredient(cellar: CellarPlace) -> None:
    cellar.show_item(Where("good", "lime"))
    cellar.detail.ask_quote()
    dialog = cellar.detail.findChild(NewQuote)
    assert dialog is not None
    dialog.price.setText("14.20")
    dialog.reject()
    assert gone(cellar, NewQuote)
    cellar.show_item(Where("good", "honey"))
    cellar.detail.ask_quote()
    other = cellar.detail.findChild(NewQuote)
    assert other is not None
    assert other.price.text() == ""
    other.reject()
    assert gone(cellar, NewQuote)
    cellar.show_item(Where("good", "lime"))
    cellar.detail.ask_quote()
    again = cellar.detail.findChild(NewQuote)
    assert again is not None
    assert again.price.text() == "14.20"


def test_without_a_currency_it_is_said_where_it_is_set(empty_desk: Desk, qtbot: QtBot) -> None:
    place = CellarPlace(empty_desk)
    qtbot.addWidget(place)
    place.show()
    place.ask_new()
    dialog = place.findChild(NewGood)
    assert dialog is not None
    assert "Settings" in dialog.said.text()
    for field, text in (
        (dialog.name, "Quince"), (dialog.kind, "fruit"), (dialog.pack, "1 kg"), (dialog.price, "3"),
        (dialog.supplier, "North Quay Fruit"),
    ):  # fmt: skip
        field.setText(text)
    dialog.ok.click()
    assert dialog.isVisible()
    assert "This book" in dialog.said.text()


def test_where_no_ingredient_is_shown_nothing_of_the_one_before_is_left(cellar: CellarPlace, qtbot: QtBot) -> None:
    cellar.show_item(Where("good", "pineapple"))
    detail = cellar.detail
    qtbot.keyClicks(detail.trials.gross, "6 kg")
    assert detail.trials.rows.rowCount()
    detail.show_good("")
    assert detail.trials.rows.rowCount() == 0
    assert detail.trials.mean.text() == ""
    assert detail.trials.gross.text() == ""
    assert len(detail.picture.table()) <= 1
    assert detail.picture.figure is None
    detail.ask_quote()
    assert detail.findChild(NewQuote) is None


@pytest.mark.parametrize("name", ["name", "kind", "supplier", "unit"])
def test_choosing_an_ingredient_explains_it(cellar: CellarPlace, name: str) -> None:
    cellar.detail.setCurrentWidget(cellar.detail.fact_list)
    cellar.detail.fact_list.table.choose(cellar.detail.facts.key(3), 1)
    told: list[object] = []
    cellar.desk.explained.connect(told.append)
    cellar.list.table.choose("lime", column(cellar.rows, name))
    assert told == [UnitCost("lime")]
