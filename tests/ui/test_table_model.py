"""Rows under columns: sorted, filtered, edited as steps; nothing typed is lost."""

from dataclasses import dataclass, replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PySide6.QtCore import QEvent, QModelIndex, QPersistentModelIndex, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLineEdit
from pytestqt.modeltest import ModelTester
from pytestqt.qtbot import QtBot

from costing.book.book import Book
from costing.book.change import Change, Step, put
from costing.book.records import Supplier
from ui.desk import Desk
from ui.fault import Refusal
from ui.models.table import REFUSED_ROLE, Column, RowTable, Written, joined
from ui.models.tree import TreeTable
from ui.widgets.listpane import ListPane
from ui.widgets.table import DataTable


@dataclass(frozen=True)
class Row:
    """A supplier by id."""

    id: str
    name: str
    size: int = 0


def rename(book: Book, row: Row, text: str) -> Step | None:
    record = book.get("supplier", row.id)
    if not isinstance(record, Supplier) or not text.strip():
        raise Refusal("A supplier needs a name.", "Nothing was typed.", "Type one.")
    if record.name == text:
        return None
    return Step(f"name of {text}", (put("supplier", replace(record, name=text), record),))


def note(book: Book, row: Row, text: str) -> Step | None:
    record = book.get("supplier", row.id)
    if not isinstance(record, Supplier):
        return None
    return Step(f"note of {row.id}", (put("supplier", replace(record, note=text), record),))


COLUMNS = (
    Column[Row]("name", "Name", lambda r: r.name, write=rename),
    Column[Row]("size", "Size", lambda r: str(r.size), number=True, sort=lambda r: r.size),
    Column[Row]("note", "Note", lambda r: "", write=note),
)


def rows_of(desk: Desk) -> list[Row]:
    return [Row(s.id, s.name, len(s.name)) for s in desk.document.book.all(Supplier).values()]


@pytest.fixture
def table(desk: Desk) -> RowTable[Row]:
    model: RowTable[Row] = RowTable(COLUMNS, lambda r: r.id, desk, desk)
    model.set_rows(rows_of(desk))
    desk.document.changed.connect(lambda _: model.set_rows(rows_of(desk)))
    return model


def test_the_model_keeps_the_contract_of_qt(table: RowTable[Row], qtmodeltester: ModelTester, desk: Desk) -> None:
    qtmodeltester.check(table)
    rows = rows_of(desk)
    table.set_rows(rows[1:])
    table.set_rows(rows)
    table.set_rows([rows[0], Row("new", "New one"), *rows[1:]])
    table.filter_text("new")
    table.filter_text("")
    table.sort(1)
    table.set_rows([])
    table.set_rows(Row(f"r{n}", f"row {n}", n) for n in range(200))
    table.sort(0, Qt.SortOrder.DescendingOrder)


def test_a_written_cell_is_a_step_that_undo_takes_back(table: RowTable[Row], desk: Desk) -> None:
    before = desk.document.book
    index = table.index(0, 0)
    old = index.data()
    assert table.setData(index, "Another name")
    assert table.index(0, 0).data() == "Another name"
    assert desk.document.undo_text == "name of Another name"
    desk.undo()
    assert table.index(0, 0).data() == old
    assert desk.document.book == before


def test_a_text_that_cannot_be_stays_in_its_cell_with_the_reason(table: RowTable[Row], desk: Desk) -> None:
    old = table.index(0, 0).data()
    assert not table.setData(table.index(0, 0), "   ")
    assert table.index(0, 0).data() == "   "
    assert table.index(0, 0).data(REFUSED_ROLE).remedy == "Type one."
    assert desk.document.undo_text is None
    assert table.drop_refused(table.index(0, 0))
    assert table.index(0, 0).data() == old


def test_many_cells_are_one_step_and_the_wrong_ones_wait(table: RowTable[Row], desk: Desk) -> None:
    before = desk.document.book
    kept = table.write([Written(0, 0, "First"), Written(0, 2, "noted"), Written(1, 0, " "), Written(0, 1, "9")])
    assert kept == 2
    key = table.key(0)
    supplier = desk.document.book.get("supplier", key)
    assert isinstance(supplier, Supplier)
    assert (supplier.name, supplier.note) == ("First", "noted")
    assert table.refusals() == 1
    desk.undo()
    assert desk.document.book == before


def test_what_the_file_refused_stays_in_the_cell(table: RowTable[Row], desk: Desk) -> None:
    desk.document.read_only = False
    desk.document.close()
    assert not table.setData(table.index(0, 0), "Never written")
    assert table.index(0, 0).data() == "Never written"
    assert table.index(0, 0).data(REFUSED_ROLE) is not None


def test_joined_steps_keep_first_before_and_last_after() -> None:
    one, two, three = (Supplier(id="a", name=n) for n in "123")
    step = joined("all", [Step("x", (Change("supplier", "a", one, two),)), Step("y", (put("supplier", three, two),))])
    assert step is not None
    assert step.changes == (Change("supplier", "a", one, three),)
    assert joined("none", [Step("x", (put("supplier", two, one),)), Step("y", (put("supplier", one, two),))]) is None


NAMES = ["Crème", "creme brulee", "Élan", "zest", "Zest ", "ash", "Öl", "oil", "", "a b", "b a"]


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.lists(st.integers(0, 10), unique=True), min_size=1, max_size=6), st.integers(-1, 1), st.booleans())
def test_rows_come_and_go_and_every_index_still_finds_its_row(
    desk: Desk, lists: list[list[int]], column: int, down: bool
) -> None:
    model: RowTable[Row] = RowTable(COLUMNS, lambda r: r.id)
    model.sort(column, Qt.SortOrder.DescendingOrder if down else Qt.SortOrder.AscendingOrder)
    for numbers in lists:
        held = [(model.key(n), QPersistentModelIndex(model.index(n, 0))) for n in range(model.rowCount())]
        model.set_rows(Row(str(n), NAMES[n], -n) for n in numbers)
        assert {model.key(n) for n in range(model.rowCount())} == {str(n) for n in numbers}
        for key, index in held:
            if index.isValid():
                assert model.key(index.row()) == key
            else:
                assert key not in {str(n) for n in numbers}
        assert [model.position(model.key(n)) for n in range(model.rowCount())] == list(range(model.rowCount()))


def test_the_filter_folds_accents_and_case_and_takes_words_in_any_order() -> None:
    model: RowTable[Row] = RowTable(COLUMNS, lambda r: r.id)
    model.set_rows(Row(str(n), name, n) for n, name in enumerate(NAMES))
    model.filter_text("CREME")
    assert [model.row(n).name for n in range(model.rowCount())] == ["Crème", "creme brulee"]
    model.filter_text("b a")
    assert {model.row(n).name for n in range(model.rowCount())} >= {"a b", "b a"}
    assert model.total == len(NAMES)


def test_a_tree_keeps_the_contract_of_qt(qtmodeltester: ModelTester) -> None:
    below = {"a": ["b", "c"], "b": ["d", "d"], "c": [], "d": [], "e": ["a"]}
    tree: TreeTable[str] = TreeTable([Column[str]("x", "X", str)], str, lambda r: below[r])
    tree.set_rows(["a", "e"])
    qtmodeltester.check(tree)
    tree.set_rows(["a", "e"])
    tree.set_rows(["c"])
    tree.set_rows([])
    tree.set_rows(["e"])
    assert tree.path_of(tree.find("d"))[:3] == ("e", "a", "b")
    assert tree.parent(tree.find("d")) == tree.find("b")
    assert tree.rowCount(tree.find("b")) == 2
    assert tree.index_of(("e", "nowhere")) == QModelIndex()


class TestView:
    """The table by keyboard."""

    @pytest.fixture
    def pane(self, table: RowTable[Row], qtbot: QtBot) -> ListPane:
        pane = ListPane(table, "Suppliers")
        qtbot.addWidget(pane)
        pane.resize(600, 300)
        pane.show()
        pane.table.setFocus()
        pane.table.setCurrentIndex(table.index(0, 0))
        return pane

    def test_typing_and_enter_goes_down(self, pane: ListPane, qtbot: QtBot, desk: Desk) -> None:
        table = pane.table
        table.edit(table.currentIndex())
        editor = table.viewport().findChildren(QLineEdit)[-1]
        editor.selectAll()
        qtbot.keyClicks(editor, "Harbour goods")
        qtbot.keyClick(editor, Qt.Key.Key_Return)
        qtbot.waitUntil(lambda: desk.document.undo_text == "name of Harbour goods")
        assert table.currentIndex().row() == 1

    def test_undo_in_an_empty_filter_is_for_the_book(self, pane: ListPane) -> None:
        key = QKeyEvent(QEvent.Type.ShortcutOverride, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
        pane.filter.event(key)
        assert not key.isAccepted(), "the window's own Ctrl+Z takes it"
        pane.filter.insert("rum")
        pane.filter.event(key)
        assert key.isAccepted(), "a filter that was typed takes its own text back first"

    def test_tab_types_on_to_the_right(self, pane: ListPane, qtbot: QtBot) -> None:
        table = pane.table
        table.edit(table.currentIndex())
        editor = table.viewport().findChildren(QLineEdit)[-1]
        qtbot.keyClick(editor, Qt.Key.Key_Tab)
        assert table.currentIndex().column() == 2
        assert table.state() == DataTable.State.EditingState

    def test_a_block_is_copied_and_pasted_as_one_step(self, pane: ListPane, desk: Desk, qtbot: QtBot) -> None:
        table, before = pane.table, desk.document.book
        table.selectAll()
        lines = table.block_text().splitlines()
        assert len(lines) == pane.model.rowCount()
        from PySide6.QtGui import QGuiApplication

        QGuiApplication.clipboard().setText("One\nTwo\n")
        table.setCurrentIndex(pane.model.index(0, 0))
        table.paste()
        names = [pane.model.index(n, 0).data() for n in range(2)]
        assert names == ["One", "Two"]
        assert desk.document.undo_text == "paste 2 cells"
        desk.undo()
        assert desk.document.book == before

    def test_fill_down(self, pane: ListPane, desk: Desk) -> None:
        table = pane.table
        first = pane.model.index(0, 0).data()
        table.select_rows([pane.model.key(n) for n in range(3)])
        table.fill_down()
        assert [pane.model.index(n, 0).data() for n in range(3)] == [first] * 3
        assert desk.document.undo_text == "fill 4 cells"  # two names and two notes; sizes are computed

    def test_count_and_selection_survive_the_filter(self, pane: ListPane) -> None:
        model, table = pane.model, pane.table
        key = model.key(2)
        table.choose(key)
        pane.filter.setText(model.row(2).name)
        assert pane.count.text() == f"{model.rowCount()} of {model.total}"
        assert table.currentIndex().row() == model.position(key)
        pane.filter.clear()
        assert model.key(table.currentIndex().row()) == key
