"""The cellar: prices typed in place, new ingredients and quotes, pasted blocks reviewed before they are taken."""

from datetime import date
from decimal import Decimal

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLineEdit, QTableView, QWidget
from pytestqt.modeltest import ModelTester
from pytestqt.qtbot import QtBot

from costing.book.records import Good, Quote
from tests.ui.conftest import DAY
from ui.desk import Desk, Where
from ui.models.table import RowTable
from ui.places.cellar import CellarPlace
from ui.places.cellar.dialogs import NewGood, NewQuote, Review
from ui.widgets.table import DataTable

Key = Qt.Key


@pytest.fixture
def cellar(desk: Desk, qtbot: QtBot) -> CellarPlace:
    """The place on the sample bar, shown."""
    place = CellarPlace(desk)
    qtbot.addWidget(place)
    place.resize(1100, 640)
    place.show()
    qtbot.waitExposed(place)
    return place


def column(model: RowTable, key: str) -> int:  # type: ignore[type-arg]
    """Which column it is."""
    return next(n for n, c in enumerate(model.columns) if c.key == key)


def open_editors(table: DataTable) -> list[QLineEdit]:
    """The cells that are being typed into."""
    return [e for e in table.findChildren(QLineEdit) if e.isVisible()]


def type_into(qtbot: QtBot, table: DataTable, key: str, name: str, text: str) -> None:
    """Go to a cell, open it with F2, type over what is there, Enter."""
    assert table.choose(key, column(table.rows, name))
    table.setFocus()
    qtbot.keyClick(table, Key.Key_F2)
    (editor,) = open_editors(table)
    editor.setText(text)
    editor.setModified(True)
    qtbot.keyClick(editor, Key.Key_Return)
    qtbot.waitUntil(lambda: not open_editors(table))


def shown(table: DataTable, key: str, name: str) -> str:
    """What a cell shows."""
    row = table.rows.position(key)
    assert row is not None
    return str(table.rows.index(row, column(table.rows, name)).data())


def test_every_model_keeps_qts_rules(cellar: CellarPlace, qtmodeltester: ModelTester) -> None:
    cellar.show_item(Where("good", "lime"))
    detail = cellar.detail
    for model in (
        cellar.rows, cellar.suppliers.rows, detail.quotes, detail.facts, detail.allergens, detail.uses,
        detail.trials.rows,
    ):  # fmt: skip
        assert model.rowCount() > 0
        qtmodeltester.check(model)


def test_a_price_typed_in_place_is_a_new_quote_and_can_be_taken_back(cellar: CellarPlace, qtbot: QtBot) -> None:
    document = cellar.desk.document
    before, unit = document.book, shown(cellar.list.table, "white-rum", "unit")
    type_into(qtbot, cellar.list.table, "white-rum", "price", "99,90")
    quote = document.view.quote_of("white-rum")
    assert quote is not None
    assert (quote.price, quote.since) == (Decimal("99.90"), DAY)
    assert shown(cellar.list.table, "white-rum", "price") == "99.90"
    assert shown(cellar.list.table, "white-rum", "unit") != unit
    assert cellar.desk.undo()
    assert document.book == before
    assert shown(cellar.list.table, "white-rum", "unit") == unit


def test_a_price_that_could_be_two_stays_in_its_cell_with_the_reason(cellar: CellarPlace, qtbot: QtBot) -> None:
    before = cellar.desk.document.book
    type_into(qtbot, cellar.list.table, "white-rum", "price", "1,234")
    assert cellar.desk.document.book == before
    assert shown(cellar.list.table, "white-rum", "price") == "1,234"
    assert "1234" in cellar.list.fault.text()
    qtbot.keyClick(cellar.list.table, Key.Key_Escape)
    assert shown(cellar.list.table, "white-rum", "price") != "1,234"


def test_a_cell_with_money_explains_itself(cellar: CellarPlace, qtbot: QtBot) -> None:
    with qtbot.waitSignal(cellar.desk.explained) as told:
        cellar.list.table.choose("lime", column(cellar.rows, "unit"))
    desk = cellar.desk
    assert told.args is not None
    assert told.args[0].trail(desk.document.figures, desk.format).lines


def test_a_new_ingredient_by_keyboard_alone(cellar: CellarPlace, qtbot: QtBot) -> None:
    before = cellar.desk.document.book
    next(a for a in cellar.actions_of() if a.shortcut().toString() == "Ctrl+Shift+N").trigger()
    dialog = cellar.findChild(NewGood)
    assert dialog is not None
    for field, text in (
        (dialog.name, "Quince"), (dialog.kind, "fruit"), (dialog.pack, "2 x 5 kg"), (dialog.price, "18,40"),
        (dialog.supplier, "North Quay Fruit"), (dialog.since, "+2"),
    ):  # fmt: skip
        field.setText(text)
    qtbot.keyClick(dialog.since, Key.Key_Return)
    assert not dialog.isVisible()
    document = cellar.desk.document
    (made,) = document.book.all(Good).keys() - before.all(Good).keys()
    (quote,) = (q for q in document.book.all(Quote).values() if q.good == made)
    assert (quote.price, quote.levels, quote.since) == (Decimal("18.40"), (2,), date(2026, 11, 3))
    assert cellar.list.table.chosen() == [made]
    assert cellar.desk.undo()
    assert document.book == before


def test_what_a_new_ingredient_lacks_is_said_and_nothing_is_lost(cellar: CellarPlace, qtbot: QtBot) -> None:
    before = cellar.desk.document.book
    cellar.ask_new()
    dialog = cellar.findChild(NewGood)
    assert dialog is not None
    dialog.name.setText("Quince")
    dialog.kind.setText("fruit")
    dialog.pack.setText("a crate")
    dialog.price.setText("18")
    dialog.ok.click()
    assert dialog.isVisible()
    assert "crate" in dialog.said.text()
    assert (dialog.name.text(), dialog.pack.text()) == ("Quince", "a crate")
    assert cellar.desk.document.book == before
    dialog.reject()


def test_a_new_quote(cellar: CellarPlace) -> None:
    cellar.show_item(Where("good", "lime"))
    count = cellar.detail.quotes.rowCount()
    cellar.detail.ask_quote()
    dialog = cellar.detail.findChild(NewQuote)
    assert dialog is not None
    dialog.supplier.setText("Ropewalk Casks")
    dialog.pack.setText("10 x 0,5 kg")
    dialog.price.setText("14.20")
    dialog.ok.click()
    assert cellar.detail.quotes.rowCount() == count + 1


def test_a_pasted_block_is_reviewed_and_taken_as_one_step(cellar: CellarPlace, qtbot: QtBot) -> None:
    document = cellar.desk.document
    before, head = document.book, document.head
    names = {g.id: g.name for g in document.view.goods.values()}
    text = f"Item\tPack\tPrice\n{names['lime']}\t\t11.80\n{names['lemon']}\t\t262,00\nmoonwater\t1 l\t4\n\n"
    dialog = cellar.review(text)
    assert dialog is not None
    qtbot.addWidget(dialog)
    assert [line.fate for line in dialog.plan.lines] == ["ignored", "taken", "held", "held", "ignored"][
        : len(dialog.plan.lines)
    ]
    dialog.list.table.choose("3")
    qtbot.keyClick(dialog.list.table, Key.Key_Return)
    assert dialog.plan.count("taken") == 2
    qtbot.keyClick(dialog.list.table, Key.Key_Return)
    assert dialog.plan.count("taken") == 1
    qtbot.keyClick(dialog.list.table, Key.Key_Return)
    dialog.list.table.choose("4")
    assert "moonwater" in dialog.line.text()
    qtbot.keyClick(dialog.list.table, Key.Key_Return)
    assert "moonwater" in dialog.said.text()
    dialog.ok.click()
    assert not dialog.isVisible()
    assert document.head == head + 1
    assert cellar.desk.undo()
    assert document.book == before


def test_leaving_a_review_changes_nothing(cellar: CellarPlace) -> None:
    before = cellar.desk.document.book
    dialog = cellar.review("Lime\t\t11.80")
    assert isinstance(dialog, Review)
    dialog.reject()
    assert cellar.desk.document.book == before
    assert cellar.review("  \n") is None


def test_an_empty_cellar_says_what_goes_here(empty_desk: Desk, qtbot: QtBot) -> None:
    place = CellarPlace(empty_desk)
    qtbot.addWidget(place)
    place.show()
    assert not place.list.table.isVisible()
    assert [b.text() for b in place.list.findChildren(QAbstractButton) if b.isVisible() and b.text()] == [
        "New ingredient"
    ]


def test_everything_that_takes_the_focus_has_a_name(cellar: CellarPlace) -> None:
    cellar.show_item(Where("good", "lime"))
    nameless = [
        w for w in cellar.findChildren(QWidget)
        if w.focusPolicy() != Qt.FocusPolicy.NoFocus
        and isinstance(w, QLineEdit | QTableView | QComboBox | QAbstractButton)
        and not (w.accessibleName() or (isinstance(w, QAbstractButton) and (w.text() or w.toolTip())))
    ]  # fmt: skip
    assert nameless == []


def test_state_is_kept(cellar: CellarPlace, desk: Desk, qtbot: QtBot) -> None:
    cellar.show_item(Where("good", "lime", "makeup"))
    state = cellar.save_state()
    other = CellarPlace(desk)
    qtbot.addWidget(other)
    other.restore_state(state)
    other.show()
    assert other.list.table.chosen() == ["lime"]
    assert other.detail.currentWidget() is other.detail.fact_list
