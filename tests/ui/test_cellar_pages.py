"""The pages of the cellar: facts, allergens, where used, yield tests, suppliers, and going to any of them."""

import pytest
from pytestqt.qtbot import QtBot

from costing.book.records import Good, Supplier, YieldTest
from tests.ui.test_cellar import Key, cellar, type_into
from ui.desk import Where
from ui.places.cellar import CellarPlace
from ui.places.cellar.dialogs import NewGood

__all__ = ["cellar"]


def test_facts_are_typed_in_place(cellar: CellarPlace, qtbot: QtBot) -> None:
    cellar.show_item(Where("good", "lime", "makeup"))
    assert cellar.detail.currentWidget() is cellar.detail.fact_list
    table = cellar.detail.fact_list.table
    type_into(qtbot, table, "lime/piece", "text", "72 g")
    piece = cellar.desk.document.view.goods["lime"].piece
    assert piece is not None
    assert (piece.text, piece.mark) == ("72 g", "measured")
    type_into(qtbot, table, "lime/density", "text", "12 kg")
    assert "12 kg" in cellar.detail.fact_list.fault.text()


def test_an_allergen_is_stated_by_keyboard_and_never_free_by_nobody(cellar: CellarPlace, qtbot: QtBot) -> None:
    cellar.show_item(Where("good", "honey"))
    detail = cellar.detail
    detail.setCurrentWidget(detail.allergen_page)
    key = detail.allergens.key(0)
    type_into(qtbot, detail.allergen_list.table, key, "state", "contains")
    states = [s.state for s in cellar.desk.document.view.goods["honey"].allergens]
    assert "contains" in states
    type_into(qtbot, detail.allergen_list.table, key, "state", "harmless")
    assert "harmless" in detail.allergen_list.fault.text()


def test_where_used_goes_there(cellar: CellarPlace, qtbot: QtBot) -> None:
    cellar.show_item(Where("good", "lime"))
    detail = cellar.detail
    detail.setCurrentWidget(detail.use_list)
    table = detail.use_list.table
    table.choose(detail.uses.key(0))
    with qtbot.waitSignal(cellar.desk.went) as told:
        qtbot.keyClick(table, Key.Key_Return)
    use = detail.uses.row(0).use
    assert told.args == [Where(use.kind, use.id)]


def test_a_used_good_is_not_removed_and_an_unused_one_is(cellar: CellarPlace, qtbot: QtBot) -> None:
    cellar.show_item(Where("good", "lime"))
    with qtbot.waitSignal(cellar.desk.refused) as told:
        cellar.remove()
    assert told.args is not None
    assert "Lime" in told.args[0].problem
    assert cellar.list.table.chosen() == ["lime"]
    document = cellar.desk.document
    dialog = NewGood(cellar.desk, cellar)
    for field, text in (
        (dialog.name, "Quince"), (dialog.kind, "fruit"), (dialog.pack, "1 kg"), (dialog.price, "3"),
        (dialog.supplier, "North Quay Fruit"),
    ):  # fmt: skip
        field.setText(text)
    assert dialog.work()
    cellar.show_item(Where("good", dialog.made))
    cellar.remove()
    assert dialog.made not in document.book.all(Good)


def test_yield_tests_are_typed_and_their_mean_is_taken_into_the_recipe(cellar: CellarPlace, qtbot: QtBot) -> None:
    cellar.show_item(Where("good", "pineapple"))
    detail, document = cellar.detail, cellar.desk.document
    page = detail.trials
    detail.setCurrentWidget(page)
    count = page.rows.rowCount()
    page.gross.setText("6 kg")
    page.kept.setText("7 kg")
    page.part.setText("flesh")
    page.take()
    assert page.said.isVisible()
    page.kept.setText("3 kg")
    next(a for a in page.actions() if a.shortcut().toString() == "Ctrl+Return").trigger()
    assert page.rows.rowCount() == count + 1
    assert not page.said.isVisible()
    page.write()
    stage = document.view.preparations["pineapple-distillate"][1].stages[0]
    fact = dict(stage.facts)["refuse"]
    assert fact.mark == "measured"
    assert str(count + 1) in fact.how
    cellar.desk.undo()
    cellar.desk.undo()
    assert page.rows.rowCount() == count


def test_suppliers_are_made_renamed_and_kept_while_they_are_used(cellar: CellarPlace, qtbot: QtBot) -> None:
    page = cellar.suppliers
    cellar.pages.setCurrentWidget(page)
    assert page.make("Tide Market")
    (made,) = (s.id for s in cellar.desk.document.book.all(Supplier).values() if s.name == "Tide Market")
    type_into(qtbot, page.list.table, made, "name", "Tide Hall")
    assert cellar.desk.document.book.all(Supplier)[made].name == "Tide Hall"
    page.list.table.choose(made)
    page.remove()
    assert made not in cellar.desk.document.book.all(Supplier)
    with qtbot.waitSignal(cellar.desk.refused):
        page.list.table.choose(next(r.id for r in page.rows.rows() if r.quoted))
        page.remove()


@pytest.mark.parametrize("kind", ["quote", "supplier", "yieldtest", "good"])
def test_everything_kept_here_can_be_gone_to(cellar: CellarPlace, kind: str) -> None:
    record = next(r for (k, _), r in cellar.desk.document.book.records.items() if k == kind)
    assert cellar.show_item(Where(kind, record.id))
    assert not cellar.show_item(Where(kind, "nowhere"))
    if isinstance(record, YieldTest):
        assert cellar.list.table.chosen() == [record.good]


def test_the_picture_says_what_it_shows_and_has_its_table(cellar: CellarPlace) -> None:
    cellar.show_item(Where("good", "lime"))
    picture = cellar.detail.picture
    assert "North Quay Fruit" in picture.accessibleDescription()
    assert len(picture.table()) == cellar.detail.quotes.rowCount() + 1


def test_a_key_removes_only_what_is_on_the_page(cellar: CellarPlace) -> None:
    def enabled() -> list[str]:
        keys = [a.shortcut().toString() for a in cellar.actions_of() if a.isEnabled()]
        assert len(set(keys)) == len(keys)
        return [a.text() for a in cellar.actions_of() if a.isEnabled()]

    assert "Remove the supplier" not in enabled()
    cellar.pages.setCurrentWidget(cellar.suppliers)
    assert "Remove this ingredient" not in enabled()
