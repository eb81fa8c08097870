"""Fields and cells: what is typed is never replaced, never wanders, and never goes without a word."""

from dataclasses import replace
from datetime import date

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QContextMenuEvent, QGuiApplication
from PySide6.QtWidgets import QApplication, QLineEdit, QMenu
from pytestqt.qtbot import QtBot

from costing.book.book import Book
from costing.book.change import Step, put
from costing.book.records import Supplier
from costing.edits import goods, house, quotes, serves
from costing.store import FileFault, open_store
from tests.ui.conftest import DAY, DictMemory
from ui.app import window_on
from ui.desk import Desk
from ui.document import Document
from ui.fault import Refusal
from ui.format import Format, locale_of
from ui.frame.window import Window
from ui.models.table import REFUSED_ROLE, Column, RowTable
from ui.places.bar.place import BarPlace
from ui.widgets.fields import AmountField, DayField, TextField, read_day
from ui.widgets.listpane import ListPane
from ui.widgets.table import DataTable

NO = Refusal("No.", "It cannot be.", "Type another.")


def foreign(document: Document, step: Step) -> None:
    """The same book, edited from elsewhere."""
    assert document.path is not None
    other = Document(open_store(document.path), document.day)
    other.do(step)
    other.close()


@pytest.fixture
def field(qtbot: QtBot) -> TextField:
    field = TextField("Note")
    qtbot.addWidget(field)
    field.set_text("as it stands")
    field.show()
    field.setFocus()
    return field


class TestField:
    """One line."""

    def test_what_is_typed_stays_while_the_book_moves(self, field: TextField, qtbot: QtBot) -> None:
        field.selectAll()
        qtbot.keyClicks(field, "mine")
        field.set_text("theirs")
        assert field.text() == "mine"
        qtbot.keyClick(field, Qt.Key.Key_Escape)
        assert field.text() == "theirs"

    def test_a_conflict_leaves_what_was_typed_and_names_it(self, field: TextField, qtbot: QtBot) -> None:
        def take(_: str) -> None:
            field.set_text("theirs")  # the book shows the foreign work first
            field.refuse(NO)

        field.committed.connect(take)
        field.selectAll()
        qtbot.keyClicks(field, "mine")
        qtbot.keyClick(field, Qt.Key.Key_Return)
        assert (field.text(), field.refusal, field.stands) == ("mine", NO, "theirs")
        field.set_text("theirs again")
        assert field.text() == "mine"
        qtbot.keyClick(field, Qt.Key.Key_Escape)
        assert (field.text(), field.refusal) == ("theirs again", None)

    def test_a_refused_text_goes_with_its_record(self, field: TextField, qtbot: QtBot) -> None:
        field.committed.connect(lambda _: field.refuse(NO))
        field.selectAll()
        qtbot.keyClicks(field, "mine")
        qtbot.keyClick(field, Qt.Key.Key_Return)
        held = field.held()
        assert held == ("mine", NO)
        field.revert()
        field.set_text("of another")
        assert (field.text(), field.refusal, field.held()) == ("of another", None, None)
        field.revert()
        field.set_text("as it stands")
        field.give_back(held)
        field.set_text("as it stands")
        assert (field.text(), field.refusal) == ("mine", NO)

    def test_undo_is_the_books_once_a_text_was_taken(self, field: TextField, qtbot: QtBot) -> None:
        field.committed.connect(field.set_text)
        field.selectAll()
        qtbot.keyClicks(field, "mine")
        assert field.isUndoAvailable()
        qtbot.keyClick(field, Qt.Key.Key_Return)
        assert not field.isUndoAvailable()

    def test_a_day_that_cannot_be_read_says_so(self, qtbot: QtBot) -> None:
        day = DayField("Day", Format(locale_of("en")), lambda: DAY)
        qtbot.addWidget(day)
        day.set_day(DAY)
        said: list[Refusal] = []
        day.refused.connect(said.append)
        day.setText("1/12/2026")
        day.commit()
        assert "can mean two days" in said[0].text


def test_today_is_the_calendars_and_counting_begins_at_the_day_shown() -> None:
    shown = date(2026, 11, 1)
    assert read_day("today", shown) == date.today()
    assert read_day("", shown) == shown
    assert read_day("+7", shown) == date(2026, 11, 8)
    assert read_day("-1", shown) == date(2026, 10, 31)


def test_a_day_is_shown_as_it_can_be_typed() -> None:
    for language in ("en", "de", "ar"):
        form = Format(locale_of(language))
        assert read_day(form.day(DAY), date(2000, 1, 1)) == DAY


def editor_of(table: DataTable) -> QLineEdit:
    """The open editor."""
    return next(e for e in table.viewport().findChildren(QLineEdit) if e.isVisible())


def name_written(book: Book, row: Supplier, text: str) -> Step | None:
    record = book.get("supplier", row.id)
    if not isinstance(record, Supplier) or text.startswith("bad"):
        raise NO
    return Step("name", (put("supplier", replace(record, name=text), record),)) if text != record.name else None


COLUMNS = (
    Column[Supplier]("name", "Name", lambda r: r.name[:3], write=name_written, edit_text=lambda r: r.name),
    Column[Supplier]("note", "Note", lambda r: r.note),
)


@pytest.fixture
def pane(desk: Desk, qtbot: QtBot) -> ListPane:
    model: RowTable[Supplier] = RowTable(COLUMNS, lambda r: r.id, desk, desk)

    def show() -> None:
        model.set_rows(desk.document.book.all(Supplier).values())

    show()
    desk.document.changed.connect(lambda _: show())
    pane = ListPane(model, "Suppliers")
    qtbot.addWidget(pane)
    pane.show()
    pane.table.setFocus()
    pane.table.setCurrentIndex(model.index(0, 0))
    return pane


class TestCell:
    """A cell that is being typed into."""

    def test_keeps_what_is_typed_while_rows_are_set_again(self, pane: ListPane, desk: Desk, qtbot: QtBot) -> None:
        pane.table.edit(pane.table.currentIndex())
        editor = editor_of(pane.table)
        editor.selectAll()
        qtbot.keyClicks(editor, "Half a na")
        foreign(desk.document, name_written(desk.document.book, pane.model.row(1), "Renamed elsewhere") or Step("", ()))
        desk.document.refresh()
        assert editor.text() == "Half a na"
        qtbot.keyClicks(editor, "me")
        qtbot.keyClick(editor, Qt.Key.Key_Return)
        qtbot.waitUntil(lambda: pane.model.row(0).name == "Half a name")
        assert pane.model.row(1).name == "Renamed elsewhere"

    def test_left_as_it_was_is_no_edit_even_where_others_wrote(self, pane: ListPane, desk: Desk, qtbot: QtBot) -> None:
        pane.table.edit(pane.table.currentIndex())
        editor = editor_of(pane.table)
        foreign(desk.document, name_written(desk.document.book, pane.model.row(0), "Theirs") or Step("", ()))
        desk.document.refresh()
        assert editor.text() == "Theirs"
        head = desk.document.head
        qtbot.keyClick(editor, Qt.Key.Key_Return)
        qtbot.waitUntil(lambda: pane.table.state() != DataTable.State.EditingState)
        assert (desk.document.head, pane.model.row(0).name) == (head, "Theirs")

    def test_over_what_others_wrote_meanwhile_is_not_written_unasked(
        self, pane: ListPane, desk: Desk, qtbot: QtBot
    ) -> None:
        pane.table.edit(pane.table.currentIndex())
        editor = editor_of(pane.table)
        editor.selectAll()
        qtbot.keyClicks(editor, "Mine")
        foreign(desk.document, name_written(desk.document.book, pane.model.row(0), "Theirs") or Step("", ()))
        desk.document.refresh()
        qtbot.keyClick(editor, Qt.Key.Key_Return)
        qtbot.waitUntil(lambda: pane.table.state() != DataTable.State.EditingState)
        assert pane.model.row(0).name == "Theirs"
        assert pane.model.index(0, 0).data() == "Mine"
        assert "it is now “Theirs”" in pane.fault.text()
        pane.table.edit(pane.model.index(0, 0))
        qtbot.keyClick(editor_of(pane.table), Qt.Key.Key_Return)
        qtbot.waitUntil(lambda: pane.model.row(0).name == "Mine")

    def test_is_left_in_every_way(self, pane: ListPane, qtbot: QtBot) -> None:
        left: list[bool] = []
        pane.table.cells.left.connect(lambda: left.append(True))
        for key in (Qt.Key.Key_Escape, Qt.Key.Key_Return):
            pane.table.edit(pane.model.index(0, 0))
            qtbot.keyClick(editor_of(pane.table), key)
            qtbot.waitUntil(lambda: pane.table.state() != DataTable.State.EditingState)
        assert len(left) == 2

    def test_is_copied_whole_and_pasted_back_as_it_was(self, pane: ListPane, desk: Desk) -> None:
        before = desk.document.book
        pane.table.selectAll()
        block = pane.table.block_text()
        assert block.splitlines()[0].split("\t")[0] == pane.model.row(0).name
        QGuiApplication.clipboard().setText(block)
        pane.table.setCurrentIndex(pane.model.index(0, 0))
        pane.table.paste()
        assert desk.document.book == before

    def test_a_block_that_does_not_fit_is_not_taken_in_part(self, pane: ListPane, desk: Desk) -> None:
        said: list[Refusal] = []
        desk.refused.connect(said.append)
        QGuiApplication.clipboard().setText("\n".join("abcd"))
        last = pane.model.rowCount() - 2
        pane.table.setCurrentIndex(pane.model.index(last, 0))
        pane.table.paste()
        assert desk.document.undo_text is None
        assert "4 rows by 1 column do not fit" in said[0].text
        assert "2 rows by 2 columns" in said[0].text
        QGuiApplication.clipboard().setText("one\nother\n\t\n")  # empty cells beyond the edge are nothing
        pane.table.paste()
        assert [pane.model.row(last + n).name for n in range(2)] == ["one", "other"]


@pytest.fixture
def lines(desk: Desk) -> RowTable[tuple[str, int, str]]:
    def write(book: Book, row: tuple[str, int, str], text: str) -> Step | None:
        raise NO

    columns = (Column[tuple[str, int, str]]("text", "Text", lambda r: r[2], write=write),)
    return RowTable(columns, lambda r: f"{r[0]}/{r[1]}", desk, desk, counted=True)


class TestTextsThatDoNotStand:
    """They belong to the cell they were typed into."""

    def test_they_wait_while_the_lines_of_another_are_shown(self, lines: RowTable[tuple[str, int, str]]) -> None:
        said: list[Refusal | None] = []
        lines.refused.connect(said.append)
        mine, others = [("a", 0, "gin"), ("a", 1, "")], [("b", 0, "gin"), ("b", 1, "")]
        lines.set_rows(mine)
        assert not lines.setData(lines.index(0, 0), "nonesuch")
        lines.set_rows(others)
        assert [lines.index(n, 0).data() for n in range(2)] == ["gin", ""]
        assert said[-1] is None
        lines.set_rows(mine)
        assert lines.index(0, 0).data() == "nonesuch"
        assert said[-1] is NO
        assert lines.unkept() == ["nonesuch"]

    def test_they_go_with_a_line_that_moves_and_leave_with_one_that_is_taken_out(
        self, lines: RowTable[tuple[str, int, str]]
    ) -> None:
        lines.set_rows([("a", 0, "gin"), ("a", 1, "rum"), ("a", 2, "")])
        assert not lines.setData(lines.index(1, 0), "bad rum")
        lines.set_rows([("a", 0, "rum"), ("a", 1, "gin"), ("a", 2, "")])
        assert [lines.index(n, 0).data() for n in range(3)] == ["bad rum", "gin", ""]
        lines.set_rows([("a", 0, "gin"), ("a", 1, "")])
        assert [lines.index(n, 0).data() for n in range(2)] == ["gin", ""]
        assert lines.refusals() == 0

    def test_a_cell_that_says_something_else_by_now_drops_them(self, pane: ListPane, desk: Desk) -> None:
        assert not pane.model.setData(pane.model.index(0, 0), "bad name")
        assert pane.fault.text() == NO.text
        desk.do(name_written(desk.document.book, pane.model.row(0), "Another"))
        assert pane.model.index(0, 0).data(REFUSED_ROLE) is None
        assert pane.fault.isHidden()


@pytest.fixture
def window(document: Document, memory: DictMemory, qtbot: QtBot) -> Window:
    window = window_on(document, memory)
    qtbot.addWidget(window)
    window.show()
    return window


class TestWindow:
    """What the window does about it."""

    def test_closing_names_what_does_not_stand_once(self, window: Window, qtbot: QtBot) -> None:
        place = window.show_place("bar")
        assert isinstance(place, BarPlace)
        place.build.seconds.setText("soon")
        place.build.seconds.commit()
        assert place.build.seconds.refusal is not None
        assert not window.close()
        assert "“soon”" in window.notice.text
        assert window.close()

    def test_a_refusal_goes_when_one_goes_elsewhere_and_a_state_stays(self, window: Window) -> None:
        window.show_place("bar")
        window.desk.refuse(NO)
        window.show_place("menu")
        assert window.notice.isHidden()
        window.notice.inform("To look at only.")
        window.show_place("bar")
        assert not window.notice.isHidden()

    def test_one_failed_look_is_said_once_and_looked_again(
        self, window: Window, document: Document, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        window.show_place("bar")
        assert document.path is not None
        fault = FileFault(document.path, "locked")
        said: list[Refusal] = []
        window.desk.refused.connect(said.append)

        def fail() -> None:
            raise fault

        with monkeypatch.context() as patch:
            patch.setattr(document, "refresh", fail)
            window._look()
            window._look()
        assert len(said) == 1
        serve = next(iter(document.view.serves))
        foreign(document, serves.rename(document.book, serve, "Renamed elsewhere") or Step("", ()))
        window._look()
        assert document.view.serves[serve][0].name == "Renamed elsewhere"
        assert window.notice.isHidden()

    def test_money_is_written_in_the_currency_of_the_house(self, window: Window) -> None:
        desk = window.desk
        assert desk.do(house.set_currency(desk.document.book, "JPY"))
        assert desk.format.money(1234.5) == "1,235"
        assert desk.undo()
        assert desk.format.money(1234.5) == "1,234.50"

    def test_a_price_says_which_drinks_it_moved(self, window: Window) -> None:
        desk, told = window.desk, list[str]()
        desk.told.connect(told.append)
        document = desk.document
        assert document.priced
        quote = document.reckoning.prices["white-rum"].quote
        assert quote is not None
        step = quotes.set_price(document.book, quote.id, "66", DAY)
        assert desk.do(step)
        assert "drinks, most of all" in told[-1]
        assert desk.undo()
        assert desk.do(goods.rename(document.book, "white-rum", "Another rum"))
        assert told[-1] == f"Done: {document.undo_text}."

    def test_nothing_to_do_answers_no_refusal(self, window: Window) -> None:
        window.show_place("bar")
        window.desk.refuse(NO)
        assert window.desk.do(None)
        assert not window.notice.isHidden()


def test_the_menu_of_a_table_may_outlive_it(pane: ListPane, qtbot: QtBot) -> None:
    """Qt frees its own menu on the stack where what it belongs to goes first."""
    pane.table.contextMenuEvent(QContextMenuEvent(QContextMenuEvent.Reason.Keyboard, QPoint(5, 5), QPoint(5, 5)))
    menu = QApplication.activePopupWidget()
    assert isinstance(menu, QMenu)
    assert [action.text() for action in menu.actions()][:2] == ["Copy", "Paste"]
    menu.close()


def test_what_an_amount_comes_to_never_lies_over_it(qtbot: QtBot) -> None:
    for direction in (Qt.LayoutDirection.LeftToRight, Qt.LayoutDirection.RightToLeft):
        field = AmountField("amount")
        qtbot.addWidget(field)
        field.setLayoutDirection(direction)
        field.resize(160, 30)
        field.set_base("22.18 ml")
        margins, grey = field.textMargins(), field._base.geometry()
        near = margins.left() if direction == Qt.LayoutDirection.RightToLeft else margins.right()
        assert near >= grey.width()
        assert (grey.center().x() < 80) == (direction == Qt.LayoutDirection.RightToLeft)
