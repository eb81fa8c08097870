"""The menu: prices typed in place from a day on, suggestions for what is selected, lines moved and taken off."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from PySide6.QtCore import QAbstractItemModel, Qt
from PySide6.QtWidgets import QLineEdit, QWidget
from pytestqt.modeltest import ModelTester
from pytestqt.qtbot import QtBot

from costing.book.change import Step, put
from costing.book.records import Good, Menu, MenuLine, Quote
from costing.edits import goods, menus
from costing.edits.menus import Spot
from ui.desk import Desk, Where
from ui.models.table import Written
from ui.places.menu.prices import PricesPage as MenuPlace
from ui.places.menu.rows import MenuRow
from ui.widgets.table import DataTable

PRICE, TARGET = "price", "aim"


@pytest.fixture
def place(desk: Desk, qtbot: QtBot) -> MenuPlace:
    """The place, seen."""
    place = MenuPlace(desk)
    qtbot.addWidget(place)
    place.resize(1200, 700)
    with qtbot.waitExposed(place):
        place.show()
    return place


def menu_of(place: MenuPlace) -> Menu:
    """The menu that is shown."""
    return place.desk.document.book.all(Menu)[place.head.menu]


def line_of(place: MenuPlace, spot: Spot) -> MenuLine:
    """A line of it."""
    return menus.line_at(menu_of(place), spot)


def row_of(place: MenuPlace, spot: Spot) -> MenuRow:
    """Its row."""
    return next(r for r in place.rows.rows() if r.spot == spot)


def column(place: MenuPlace, key: str) -> int:
    """Where a column is."""
    return next(n for n, c in enumerate(place.rows.columns) if c.key == key)


def come_to(place: MenuPlace, spot: Spot, key: str = PRICE) -> None:
    """Put the cursor on a cell."""
    place.list.table.choose(row_of(place, spot).key, column(place, key))
    place.list.table.setFocus()


def editors(table: DataTable) -> list[QLineEdit]:
    """Cells that are being typed into."""
    return [e for e in table.findChildren(QLineEdit) if e.isVisible()]


def type_over(table: DataTable, qtbot: QtBot, text: str) -> None:
    """Type a text over the cell one is at, and Enter."""
    qtbot.keyClick(table, Qt.Key.Key_F2)
    (editor,) = editors(table)
    editor.selectAll()
    qtbot.keyClicks(editor, text)
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: not editors(table))


def shown(place: MenuPlace, spot: Spot, key: str) -> str:
    """What a cell shows."""
    at = place.rows.position(row_of(place, spot).key)
    assert at is not None
    return str(place.rows.index(at, column(place, key)).data())


def test_a_heading_stands_over_its_lines_and_no_line_is_missing(place: MenuPlace) -> None:
    menu = menu_of(place)
    wanted = [s for n, section in enumerate(menu.sections) for s in [Spot(n, -1), *_spots(n, len(section.lines))]]
    assert [r.spot for r in place.rows.rows()] == wanted
    assert len({r.key for r in place.rows.rows()}) == len(wanted)


def _spots(section: int, lines: int) -> list[Spot]:
    return [Spot(section, m) for m in range(lines)]


def test_a_price_typed_in_place_holds_from_the_day_above(place: MenuPlace, qtbot: QtBot) -> None:
    place.since.setText("2026-12-01")
    come_to(place, Spot(0, 0))
    before = line_of(place, Spot(0, 0)).prices
    type_over(place.list.table, qtbot, "17,50")
    prices = line_of(place, Spot(0, 0)).prices
    assert prices[:-1] == before
    assert (prices[-1].since, prices[-1].price) == (date(2026, 12, 1), Decimal("17.50"))
    assert place.desk.document.undo_text == "price of Harbour Light: 17.50 from 2026-12-01"
    assert place.list.table.currentIndex().row() == 2, "Enter goes to the line below"
    place.desk.undo()
    assert line_of(place, Spot(0, 0)).prices == before


@pytest.mark.parametrize("text", ["1,234", "abc", "12.505"])
def test_a_price_that_cannot_be_stays_marked_and_nothing_is_written(place: MenuPlace, qtbot: QtBot, text: str) -> None:
    head = place.desk.document.head
    come_to(place, Spot(0, 0))
    type_over(place.list.table, qtbot, text)
    assert place.desk.document.head == head
    assert shown(place, Spot(0, 0), PRICE) == text
    assert place.rows.refusals() == 1
    assert place.list.fault.text()
    come_to(place, Spot(0, 0))
    qtbot.keyClick(place.list.table, Qt.Key.Key_Escape)
    assert place.rows.refusals() == 0
    assert shown(place, Spot(0, 0), PRICE) == "16.50"


def test_no_price_is_put_on_a_day_that_cannot_be_read(place: MenuPlace, qtbot: QtBot) -> None:
    head = place.desk.document.head
    place.since.setText("03/04/2026")
    come_to(place, Spot(0, 0))
    type_over(place.list.table, qtbot, "18")
    assert place.desk.document.head == head
    assert "03/04/2026" in place.list.fault.text()


def test_suggestions_for_a_heading_are_one_step_for_its_lines(place: MenuPlace, qtbot: QtBot) -> None:
    come_to(place, Spot(1, -1))
    before = menu_of(place)
    qtbot.keyClick(place.list.table, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    after = menu_of(place)
    moved = [n for n, (a, b) in enumerate(zip(before.sections, after.sections, strict=True)) if a != b]
    assert moved == [1]
    assert place.desk.document.undo_text == "suggested prices of 5 drinks from 2026-11-01, 1 up and 4 down"
    assert all(p.on_target for p in place.desk.document.priced if p.section == before.sections[1].name)
    place.desk.undo()
    assert menu_of(place) == before


def test_suggestions_for_one_line_change_that_line_alone(place: MenuPlace) -> None:
    come_to(place, Spot(0, 0))
    before = menu_of(place)
    place.use_suggestions()
    changed = [
        Spot(n, m)
        for n, section in enumerate(before.sections)
        for m, line in enumerate(section.lines)
        if line != line_of(place, Spot(n, m))
    ]
    assert changed == [Spot(0, 0)]
    place.use_suggestions()
    assert place.desk.refusal is not None
    assert "already" in place.desk.refusal.text


def test_a_line_without_a_sure_suggestion_says_which_price_is_missing(place: MenuPlace) -> None:
    document = place.desk.document
    quotes = [q for q in document.book.all(Quote).values() if q.good == "pineapple"]
    step = Step("no pineapple", tuple(put("quote", q).inverse() for q in quotes))
    assert place.desk.do(step)
    assert shown(place, Spot(0, 0), "cost").startswith("at least ")
    assert shown(place, Spot(0, 0), "suggestion") == "–"
    come_to(place, Spot(0, 0))
    place.use_suggestions()
    assert place.desk.refusal is not None
    assert "Harbour Light" in place.desk.refusal.text
    assert "Pineapple" in place.desk.refusal.text


def test_a_target_is_typed_in_place(place: MenuPlace, qtbot: QtBot) -> None:
    come_to(place, Spot(0, 1), TARGET)
    type_over(place.list.table, qtbot, "9")
    assert shown(place, Spot(0, 1), TARGET) == "9", "a bare number over a pour cost is not guessed at"
    assert "9 % or margin 9" in place.list.fault.text()
    come_to(place, Spot(0, 1), TARGET)
    type_over(place.list.table, qtbot, "margin 9")
    assert shown(place, Spot(0, 1), TARGET) == "margin 9.00"
    come_to(place, Spot(0, -1), TARGET)
    type_over(place.list.table, qtbot, "x 7")
    assert shown(place, Spot(0, -1), TARGET) == "7 times cost"
    assert shown(place, Spot(0, 2), TARGET) == "(7 times cost)"
    assert shown(place, Spot(0, 1), TARGET) == "margin 9.00"


def test_a_line_moves_by_key_and_the_cursor_goes_with_it(place: MenuPlace, qtbot: QtBot) -> None:
    come_to(place, Spot(0, 0))
    first, second = (line_of(place, Spot(0, n)).serve for n in (0, 1))
    qtbot.keyClick(place.list.table, Qt.Key.Key_Down, Qt.KeyboardModifier.ControlModifier)
    assert [line_of(place, Spot(0, n)).serve for n in (0, 1)] == [second, first]
    assert [r.line.serve for r in place.rows.rows()[1:3] if r.line] == [second, first], "the table shows the new order"
    at = place.rows.row(place.list.table.currentIndex().row())
    assert at.line is not None
    assert at.line.serve == first
    qtbot.keyClick(place.list.table, Qt.Key.Key_Up, Qt.KeyboardModifier.ControlModifier)
    qtbot.keyClick(place.list.table, Qt.Key.Key_Up, Qt.KeyboardModifier.ControlModifier)
    assert place.desk.refusal is not None
    assert "outermost" in place.desk.refusal.text


def test_a_section_moves_with_its_lines(place: MenuPlace, qtbot: QtBot) -> None:
    come_to(place, Spot(0, -1))
    names = [s.name for s in menu_of(place).sections]
    qtbot.keyClick(place.list.table, Qt.Key.Key_Down, Qt.KeyboardModifier.ControlModifier)
    assert [s.name for s in menu_of(place).sections][:2] == [names[1], names[0]]
    at = place.rows.row(place.list.table.currentIndex().row())
    assert (at.line, at.section) == (None, names[0])


def test_delete_takes_off_what_is_selected_as_one_step(place: MenuPlace, qtbot: QtBot) -> None:
    before = menu_of(place)
    place.list.table.select_rows([row_of(place, Spot(0, n)).key for n in (0, 1)])
    come_at = place.rows.position(row_of(place, Spot(0, 0)).key)
    assert come_at is not None
    place.list.table.setFocus()
    place.list.table.selectionModel().setCurrentIndex(
        place.rows.index(come_at, 0), place.list.table.selectionModel().SelectionFlag.NoUpdate
    )
    qtbot.keyClick(place.list.table, Qt.Key.Key_Delete)
    assert len(menu_of(place).sections[0].lines) == len(before.sections[0].lines) - 2
    assert place.desk.document.undo_text == f"take 2 drinks off {before.name}"
    place.desk.undo()
    come_to(place, Spot(0, -1))
    qtbot.keyClick(place.list.table, Qt.Key.Key_Delete)
    assert menu_of(place) == before, "a heading goes only when nothing stands under it"
    place.name.setFocus()
    qtbot.keyClick(place.name, Qt.Key.Key_Delete)
    assert menu_of(place) == before, "in a field, Delete deletes a letter"


def test_a_drink_is_put_on_by_typing_its_name(place: MenuPlace, qtbot: QtBot) -> None:
    other = next(n for n, m in enumerate(place.head.ids()) if m != place.head.menu)
    place.tabs.setCurrentIndex(other)
    wanted = place._off_menu()[0]
    place.focus_add()
    qtbot.keyClicks(place.add, wanted.lower())
    qtbot.keyClick(place.add, Qt.Key.Key_Return)
    last = menu_of(place).sections[0].lines[-1]
    assert place.desk.document.view.serves[last.serve][0].name == wanted
    assert shown(place, Spot(0, len(menu_of(place).sections[0].lines) - 1), "target") == "no price printed"
    qtbot.keyClicks(place.add, "nothing like it")
    qtbot.keyClick(place.add, Qt.Key.Key_Return)
    assert place.add.refusal is not None
    assert place.add.text() == "nothing like it"


def test_the_prices_of_a_line_over_time(place: MenuPlace, qtbot: QtBot) -> None:
    come_to(place, Spot(0, 0))
    place.show_history()
    prices = line_of(place, Spot(0, 0)).prices
    rows = place.history.rows.rows()
    assert [(r.since, r.price) for r in rows] == [(p.since, p.price) for p in prices][::-1]
    assert [r.holds for r in rows].count(True) == 1
    table = place.history.table
    table.choose(place.history.rows.key(len(rows) - 1), 1)
    type_over(table, qtbot, "15")
    assert line_of(place, Spot(0, 0)).prices[0].price == 15
    assert line_of(place, Spot(0, 0)).prices[1:] == prices[1:]
    come_to(place, Spot(0, -1))
    assert place.history.rows.rows() == ()


def test_name_and_days_of_a_menu(place: MenuPlace, qtbot: QtBot) -> None:
    head = place.head
    head.name.setFocus()
    head.name.selectAll()
    qtbot.keyClicks(head.name, "Winter & frost")
    qtbot.keyClick(head.name, Qt.Key.Key_Return)
    assert menu_of(place).name == "Winter & frost"
    assert head.tabs.tabText(head.tabs.currentIndex()) == "Winter && frost"
    head.first.setFocus()
    qtbot.keyClicks(head.first, "+30")
    qtbot.keyClick(head.first, Qt.Key.Key_Return)
    assert menu_of(place).since == date(2026, 12, 1)
    assert head.first.text() == "2026-12-01"
    assert "not in force" in place.base.text()
    head.last.setFocus()
    qtbot.keyClicks(head.last, "2026-11-30")
    qtbot.keyClick(head.last, Qt.Key.Key_Return)
    assert head.last.refusal is not None
    assert menu_of(place).until is None
    place.desk.undo()
    assert menu_of(place).since is None


def test_a_menu_from_nothing_and_back(empty_desk: Desk, qtbot: QtBot) -> None:
    place = MenuPlace(empty_desk)
    qtbot.addWidget(place)
    with qtbot.waitExposed(place):
        place.show()
    assert not place.use.isEnabled()
    assert not place.name.isEnabled()
    assert place.make_menu("First menu")
    assert place.name.text() == "First menu"
    assert not place.make_menu("FIRST menu")
    assert place.rows.rowCount() == 1
    assert "no taxes" in place.base.text()
    place.remove_menu()
    assert place.rows.rowCount() == 0
    empty_desk.undo()
    assert place.rows.rowCount() == 1


def test_going_to_a_drink_of_a_menu(place: MenuPlace) -> None:
    other = next(m for m in place.head.ids() if m != place.head.menu)
    serve = place.desk.document.book.all(Menu)[other].sections[-1].lines[-1].serve
    assert place.show_item(Where("menu", other, f"{serve}/price"))
    at = place.rows.row(place.list.table.currentIndex().row())
    assert at.line is not None
    assert (at.menu, at.line.serve) == (other, serve)
    assert not place.show_item(Where("menu", "nowhere"))


def test_what_it_remembers(place: MenuPlace, desk: Desk, qtbot: QtBot) -> None:
    place.tabs.setCurrentIndex(1)
    place.show_history()
    state = place.save_state()
    other = MenuPlace(desk)
    qtbot.addWidget(other)
    other.restore_state(state)
    other.show()
    assert other.head.menu == place.head.menu
    assert other.history.isVisibleTo(other)
    other.restore_state({"menu": 3, "split": None})
    assert other.head.menu == ""


def test_a_refused_text_stays_with_its_menu(place: MenuPlace) -> None:
    one, other = place.head.ids()[:2]
    keys: dict[str, set[str]] = {}
    for ident in (one, other):
        place.head.choose(ident)
        keys[ident] = {row.key for row in place.rows.rows()}
    assert not keys[one] & keys[other]
    place.head.choose(one)
    at = place.rows.position(row_of(place, Spot(0, -1)).key)
    assert at is not None
    place.rows.write([Written(at, column(place, TARGET), "1..2")])
    assert shown(place, Spot(0, -1), TARGET) == "1..2"
    place.head.choose(other)
    assert shown(place, Spot(0, -1), TARGET) != "1..2"
    assert not place.list.fault.isVisible()
    place.head.choose(one)
    assert shown(place, Spot(0, -1), TARGET) == "1..2"
    assert place.list.fault.isVisible()


def test_refused_texts_of_the_head_stay_with_their_menu(place: MenuPlace) -> None:
    one, other = place.head.ids()[:2]
    place.head.choose(one)
    place.head.first.setText("1/12/2026")
    place.head.first.commit()
    place.head.choose(other)
    assert place.head.first.text() == place.head.first.stands != "1/12/2026"
    assert place.head.first.refusal is None
    assert place.unkept() == ["1/12/2026"], "closing the window names it"
    place.head.choose(one)
    assert place.head.first.text() == "1/12/2026"
    assert place.head.first.refusal is not None
    assert place.unkept() == []
    place.head.first.setText("2026-10-01")
    place.head.first.commit()
    assert menu_of(place).since == date(2026, 10, 1)


def test_a_refused_text_goes_with_its_line(place: MenuPlace) -> None:
    come_to(place, Spot(0, 0))
    at = place.rows.position(row_of(place, Spot(0, 0)).key)
    assert at is not None
    place.rows.write([Written(at, column(place, PRICE), "1,234")])
    place.show_history()
    place.history.rows.write([Written(0, 1, "plenty")])
    place._move(1)
    assert shown(place, Spot(0, 1), PRICE) == "1,234"
    assert shown(place, Spot(0, 0), PRICE) != "1,234"
    assert place.history.rows.index(0, 1).data() == "plenty"
    come_to(place, Spot(0, 0))
    assert place.history.rows.index(0, 1).data() != "plenty"


def test_a_day_for_prices_typed_by_hand_stays_until_another_day_is_looked_at(place: MenuPlace, qtbot: QtBot) -> None:
    place.since.setFocus()
    place.since.selectAll()
    qtbot.keyClicks(place.since, "+30")
    qtbot.keyClick(place.since, Qt.Key.Key_Return)
    assert place.since.text() == "2026-12-01"
    document = place.desk.document
    place.hide()
    good = next(iter(document.book.all(Good).values()))
    assert place.desk.do(goods.rename(document.book, good.id, f"{good.name} x"))
    place.show()
    assert place.day() == date(2026, 12, 1)
    document.settle()
    place.tabs.setCurrentIndex(1)
    assert place.day() == date(2026, 12, 1)
    document.set_day(date(2026, 11, 15))
    assert place.since.text() == "2026-11-15"
    place.hide()
    document.set_day(date(2026, 11, 16))
    place.show()
    assert place.day() == date(2026, 11, 16)


def test_a_day_for_prices_outlives_a_window_that_is_built_anew(place: MenuPlace, desk: Desk, qtbot: QtBot) -> None:
    place.since.setText("2026-12-01")
    place.since.commit()
    state = place.save_state()
    other = MenuPlace(desk)
    qtbot.addWidget(other)
    other.restore_state(state)
    other.show()
    assert other.day() == date(2026, 12, 1)
    desk.document.set_day(date(2026, 11, 2))
    later = MenuPlace(desk)
    qtbot.addWidget(later)
    later.restore_state(state)
    later.show()
    assert later.day() == date(2026, 11, 2), "looked at on another day it means nothing"


def test_what_stands_on_an_incomplete_cost_says_which_way_it_errs(place: MenuPlace) -> None:
    full = shown(place, Spot(0, 0), "pour"), shown(place, Spot(0, 0), "margin")
    assert not any(text.startswith(("at least", "at most")) for text in full)
    quotes = [q for q in place.desk.document.book.all(Quote).values() if q.good == "pineapple"]
    assert place.desk.do(Step("no pineapple", tuple(put("quote", q).inverse() for q in quotes)))
    assert shown(place, Spot(0, 0), "pour").startswith("at least ")
    assert shown(place, Spot(0, 0), "margin").startswith("at most ")
    assert shown(place, Spot(0, 0), "target") == "–"


def test_suggestions_are_for_what_is_selected_and_the_button_counts_it(place: MenuPlace, qtbot: QtBot) -> None:
    table = place.list.table
    table.clearSelection()
    assert not place.use.isEnabled()
    before = place.desk.document.head
    table.setFocus()
    qtbot.keyClick(table, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert place.desk.document.head == before
    assert place.desk.refusal is not None
    assert "Ctrl+A" in place.desk.refusal.text
    come_to(place, Spot(1, -1))
    assert place.use.isEnabled()
    assert place.use.text() == "Use suggestions for 5 drinks, 1 up and 4 down"
    place.use.click()
    assert place.desk.document.undo_text == "suggested prices of 5 drinks from 2026-11-01, 1 up and 4 down"
    assert place.use.text() == "Use suggestions", "nothing is left to change"
    assert place.use.isEnabled()
    come_to(place, Spot(0, 0))
    assert place.use.text() == "Use suggestions for 1 drink, 1 up and 0 down"


def test_the_key_of_suggestions_is_the_tables_own(place: MenuPlace, qtbot: QtBot) -> None:
    place.list.table.selectAll()
    before = place.desk.document.head
    for field in (place.name, place.since, place.add, place.list.filter):
        field.setFocus()
        qtbot.keyClick(field, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
        assert place.desk.document.head == before
    place.list.table.setFocus()
    qtbot.keyClick(place.list.table, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert place.desk.document.head == before + 1


def test_the_models_keep_the_rules(place: MenuPlace, qtmodeltester: ModelTester) -> None:
    models: list[QAbstractItemModel] = [place.rows, place.history.rows]
    for model in models:
        qtmodeltester.check(model)
    come_to(place, Spot(0, 2))
    place._move(1)
    place.remove_selected()
    place.desk.undo()


def test_everything_has_a_name_and_every_act_a_key(place: MenuPlace) -> None:
    for widget in place.findChildren(QWidget):
        if widget.focusPolicy() & Qt.FocusPolicy.TabFocus and widget.isVisible():
            named = widget.accessibleName() or getattr(widget, "text", str)()
            assert named, widget
    keys = [action.shortcut().toString() for action in place.actions_of()]
    assert all(keys)
    assert len(set(keys)) == len(keys)


def test_prices_over_time_are_those_of_the_line_under_the_cursor_whatever_goes(place: MenuPlace) -> None:
    menu = menu_of(place)
    spots = [Spot(n, m) for n, part in enumerate(menu.sections) for m in range(len(part.lines))]
    place.show_history()
    for at in (spots[0], spots[3], spots[-2], spots[-1]):
        for gone in (spots[0], spots[2], spots[-1]):
            for many in (1, 2):
                come_to(place, at)
                changed = menu_of(place)
                for _ in range(many):
                    lines = list(changed.sections[gone.section].lines)
                    del lines[min(gone.line, len(lines) - 1)]
                    sections = list(changed.sections)
                    sections[gone.section] = replace(sections[gone.section], lines=tuple(lines))
                    changed = replace(changed, sections=tuple(sections))
                step = Step("lines go", (put("menu", changed, menu_of(place)),))
                assert place.desk.do(step)
                index = place.list.table.currentIndex()
                here = place.rows.row(index.row()) if index.isValid() else None
                assert {r.line for r in place.history.rows.rows()} <= ({here.key} if here is not None else set())
                assert place.desk.undo()
                index = place.list.table.currentIndex()
                here = place.rows.row(index.row())
                assert {r.line for r in place.history.rows.rows()} <= {here.key}
