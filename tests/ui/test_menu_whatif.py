"""What if: scenarios named, typed, read, applied and taken back by keyboard; bridges, tornado and break-even prices."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QCompleter, QLineEdit, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from costing.book.book import Book
from costing.book.change import Step, put
from costing.book.records import Quote
from costing.book.selling import Scenario
from costing.edits import scenarios
from costing.store import create
from tests.terminal.test_scenario_moved import house
from tests.ui.conftest import DictMemory
from tests.ui.walking import seen, spoken, takes_focus
from ui.desk import Desk, Where
from ui.document import Document
from ui.format import Format, locale_of
from ui.jobs import begin_resting
from ui.models.table import RowTable
from ui.places.menu.standing import Standing
from ui.places.menu.whatif.changes import Offers
from ui.places.menu.whatif.page import EVENS, MATTERS, MOVES, SIDE, WhatIfPage
from ui.places.menu.whatif.words import signed_share
from ui.whys import Trail
from ui.widgets.table import DataTable

Key, Held = Qt.Key, Qt.KeyboardModifier
BOTH = Held.ControlModifier | Held.ShiftModifier
DAY = date(2026, 7, 1)


def settled(page: WhatIfPage, qtbot: QtBot) -> None:
    """Wait until what is asked is known."""

    def known() -> bool:
        begin_resting()
        said = (page.told.text(), page.side.hint.text(), page.moves.said.text(), page.matters.told.text(),
                page.evens.hint.text())  # fmt: skip
        return not any("worked out" in text for text in said)

    qtbot.waitUntil(known, timeout=10_000)


def opened(desk: Desk, qtbot: QtBot) -> WhatIfPage:
    """The page, seen, with the keyboard where it begins."""
    page = WhatIfPage(desk, Standing(desk, desk))
    qtbot.addWidget(page)
    page.resize(1080, 560)
    with qtbot.waitExposed(page):
        page.show()
    page.activateWindow()
    page.first().setFocus()
    settled(page, qtbot)
    return page


@pytest.fixture
def three(tmp_path: Path, memory: DictMemory, qapp: QApplication, qtbot: QtBot) -> Iterator[WhatIfPage]:
    """The page on the three drinks whose bridge is worked by hand (see the test of ``scenario --moved``)."""
    with create(tmp_path / "three.stillroom", house()) as store:
        document = Document(store, DAY, path=tmp_path / "three.stillroom")
        yield opened(Desk(document, Format(locale_of("en"), "EUR"), memory, document), qtbot)
        document.deleteLater()


@pytest.fixture
def page(desk: Desk, qtbot: QtBot) -> WhatIfPage:
    """The page on the sample bar without scenarios."""
    book = desk.document.book
    kept = tuple(put("scenario", s).inverse() for s in book.all(Scenario).values())
    desk.do(Step("none", kept) if kept else None)
    return opened(desk, qtbot)


def press(key: Qt.Key, held: Qt.KeyboardModifier = Held.NoModifier) -> None:
    """A key where the keyboard is."""
    at = QApplication.focusWidget()
    assert at is not None
    QTest.keyClick(at, key, held)


def typed(text: str, qtbot: QtBot) -> None:
    """A text over the cell that one is on, and Enter."""
    table = QApplication.focusWidget()
    assert table is not None
    press(Key.Key_F2)
    (editor,) = _editors(table)
    # where there is no screen, a list of suggestions keeps the keyboard when it goes
    editor.setCompleter(QCompleter(editor))
    QTest.keyClicks(editor, text)
    QTest.keyClick(editor, Key.Key_Return)
    qtbot.waitUntil(lambda: not _editors(table))


def _editors(table: QWidget) -> list[QLineEdit]:
    return [line for line in table.findChildren(QLineEdit) if line.isVisible()]


def named(page: WhatIfPage, name: str, qtbot: QtBot) -> None:
    """A new scenario, by its key; the keyboard is then on the empty line of its changes."""
    press(Key.Key_N, BOTH)
    editor = QApplication.focusWidget()
    assert editor is not None
    QTest.keyClicks(editor, name)
    QTest.keyClick(editor, Key.Key_Return)
    qtbot.waitUntil(page.supposing.list.table.hasFocus)


def cell(table: DataTable, row: str, column: str) -> str:
    """What a cell says, by the text that its row begins with and its heading."""
    model: RowTable[object] = table.rows
    across = next(n for n, c in enumerate(model.columns) if c.title == column)
    down = next(n for n in range(model.rowCount()) if model.index(n, 0).data() == row)
    return str(model.index(down, across).data())


def lines(page: WhatIfPage) -> list[str]:
    """The lines of the chosen scenario, the empty one too."""
    return [str(page.supposing.rows.index(n, 0).data()) for n in range(page.supposing.rows.rowCount())]


def kept(page: WhatIfPage) -> dict[str, Scenario]:
    """The scenarios of the book by name."""
    return {s.name: s for s in page.desk.document.book.all(Scenario).values()}


def test_named_typed_read_applied_and_taken_back(three: WhatIfPage, qtbot: QtBot) -> None:
    page, book = three, three.desk.document.book
    button = page.side.bare.findChild(QPushButton)
    assert button is not None
    assert button.isVisible(), "an empty book says what to do first"
    named(page, "Dear a", qtbot)
    typed("good a +10 %", qtbot)
    typed("sold -20 %", qtbot)
    assert lines(page) == ["Good a +10 %", "sold -20 %", "Type a change, like: rum +10 %"]
    settled(page, qtbot)
    table = page.side.list.table
    # 2,050 drinks of two halves: 350 to 400 of a at 0.35 more (a tenth of 3.5), and a fifth of all sold less
    sold = {"a": 750, "b": 720, "c": 580}
    costs = {"a": 3.5, "b": 4.5, "c": 2.6}
    paid = {"a": 400 * 14 + 350 * 14.5, "b": 720 * 16, "c": 300 * 13 + 280 * 13.5}
    now = sum(paid.values()) - sum(sold[d] * costs[d] for d in sold)
    then = 0.8 * (now - 750 * 0.35)
    assert cell(table, "All drinks", "Now") == f"{now:,.2f}"
    assert cell(table, "All drinks", "Dear a") == f"{then:,.2f}"
    assert cell(table, "All drinks", "Difference") == f"▼ −{now - then:,.2f}"
    one = page.side.one
    assert (cell(one, "Sold", "Now"), cell(one, "Sold", "Difference")) == ("2,050", "▼ −410")
    assert cell(page.supposing.list.table, "Good a +10 %", "Comes to") == "3.50 to 3.85 EUR for 1 each"
    assert "applying leaves it out" in page.supposing.leaves.text()
    press(Key.Key_Return, Held.ControlModifier)
    quote = page.desk.document.book.on(DAY).quote_of("ga")
    assert quote is not None
    assert quote.price == Decimal("3.85")
    assert not kept(page), "what is applied leaves the list"
    assert page.first().hasFocus(), "and the keyboard with it"
    assert page.desk.undo(), "one step, with the scenario"
    assert page.desk.document.book.on(DAY).quote_of("ga") == book.on(DAY).quote_of("ga")
    assert page.desk.undo()
    assert lines(page)[0] == "Good a +10 %"
    assert len(kept(page)["Dear a"].supposed) == 1


def test_what_cannot_be_read_stays_at_its_line_with_the_reason(page: WhatIfPage, qtbot: QtBot) -> None:
    named(page, "Rum", qtbot)
    typed("whit rum +10 %", qtbot)
    assert lines(page) == ["whit rum +10 %"], "it waits in its cell"
    assert "did you mean" in page.supposing.list.fault.text()
    assert "White rum 40 %" in page.supposing.list.fault.text()
    assert list(page.unkept()) == ["whit rum +10 %"]
    assert Offers(lambda: page.desk.document.figures)("whit rum +10 %")[0] == "White rum 40 % +10 %"
    press(Key.Key_Escape)
    assert not page.unkept()
    typed("White rum 40 % +10 %", qtbot)
    assert len(kept(page)["Rum"].supposed) == 1
    press(Key.Key_Up)
    typed("VAT = 21 %", qtbot)
    assert lines(page)[0] == "VAT = 21 %", "typed over"
    QApplication.clipboard().setText("CHF = 0.95\nsold harbour-light = 200\n")
    press(Key.Key_V, Held.ControlModifier)
    assert lines(page)[:-1] == ["VAT = 21 %", "CHF = 0.95", "sold Harbour Light = 200"], "a block is one step"
    assert page.desk.undo()
    assert lines(page)[:-1] == ["VAT = 21 %"]
    page.supposing.list.table.choose(page.supposing.rows.key(0))
    press(Key.Key_Delete)
    assert lines(page)[:-1] == []


def test_names_notes_and_scenarios_beside_one_another(page: WhatIfPage, qtbot: QtBot) -> None:
    for name, line in (("A", "white-rum +10 %"), ("B", "casks +5 %")):
        named(page, name, qtbot)
        typed(line, qtbot)
    table = page.choosing.list.table
    table.setFocus()
    table.choose(kept(page)["A"].id)
    typed("A tenth on rum", qtbot)
    assert set(kept(page)) == {"A tenth on rum", "B"}
    table.choose(kept(page)["B"].id)
    press(Key.Key_Space)
    table.choose(kept(page)["A tenth on rum"].id)
    settled(page, qtbot)
    heads = [c.title for c in page.side.rows.columns]
    assert heads[1:-1] == ["Now", "A tenth on rum", "Difference", "B", "Difference"]
    saved = page.save_state()
    press(Key.Key_D, BOTH)
    assert "A tenth on rum 2" in kept(page)
    qtbot.waitUntil(page.supposing.list.table.hasFocus)
    assert len(kept(page)["A tenth on rum 2"].supposed) == 1
    table.setFocus()
    press(Key.Key_Delete)
    assert "A tenth on rum 2" not in kept(page), "the chosen one is dropped"
    assert page.desk.undo()
    assert page.choosing.scenario == kept(page)["A tenth on rum 2"], "and is chosen again when it is taken back"
    again = WhatIfPage(page.desk, page.standing)
    qtbot.addWidget(again)
    again.restore_state(saved)
    again.show()
    settled(again, qtbot)
    assert [s.name for s in again.choosing.shown] == ["A tenth on rum", "B"]
    assert again.show_item(Where("scenario", kept(page)["B"].id))
    assert not again.show_item(Where("scenario", "none"))


def test_the_bridge_of_a_scenario_and_of_two_halves(three: WhatIfPage, qtbot: QtBot) -> None:
    page = three
    press(Key.Key_M, BOTH)
    box = page.moves.which
    assert box.hasFocus()
    press(Key.Key_Down)
    settled(page, qtbot)
    # by hand, see tests.terminal.test_scenario_moved: 546 + 70 + 315 - 119 = 812, pour cost 23.64 to 24.67
    assert page.moves.said.text().startswith("Margin rose by 812.00 while pour cost worsened by 1.03 points")
    rows = page.moves.picture.table()
    assert [row[1] for row in rows[2:-1]] == ["+546.00", "+70.00", "+315.00", "−119.00"]
    page.moves.unit.setFocus()
    press(Key.Key_Down)
    assert [row[2] for row in page.moves.picture.table()[1:]] == ["23.64 %", "24.40 %", "23.91 %", "24.67 %", "24.67 %"]
    table = page.moves.list.table
    # b sold 120 more at a margin of 11.4 before, of which its 30 % of the 50 more are volume; its cost fell by 0.1
    assert cell(table, "b", "Volume") == "▲ +171.00"
    assert cell(table, "b", "Mix") == "▲ +1,197.00"
    assert cell(table, "b", "Cost") == "▲ +42.00"
    box.setFocus()
    press(Key.Key_Down)
    settled(page, qtbot)
    assert page.moves.said.text().startswith("Margin rose by 812.00"), "the spans begin as the halves"
    field = page.moves.days[2]
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, "2026-06-15")
    press(Key.Key_Return)
    settled(page, qtbot)
    assert page.moves.said.text().startswith("Margin fell by 5,054.00"), "10,920 against half of 11,732"
    assert "28 and 14 days" in page.moves.told.text()
    field.selectAll()
    QTest.keyClicks(field, "2026-05-20")
    press(Key.Key_Return)
    assert "share days" in page.moves.fault.text()
    page.standing.look_at(1)
    box.setCurrentIndex(1)
    page.moves.refresh()
    assert "Two halves need two periods" in page.moves.fault.text()


def test_the_bridge_of_a_scenario_adds_up_to_its_difference(three: WhatIfPage, qtbot: QtBot) -> None:
    page = three
    named(page, "Less", qtbot)
    typed("sold b -50 %", qtbot)
    typed("good c x 2", qtbot)
    press(Key.Key_M, BOTH)
    settled(page, qtbot)
    rows = page.moves.picture.table()
    moves = [float(row[1].replace("−", "-").replace(",", "")) for row in rows[2:-1] if row[1]]
    first, last = (float(rows[n][2].replace(",", "")) for n in (1, -1))
    assert first + sum(moves) == pytest.approx(last, abs=0.001)
    assert cell(page.side.list.table, "All drinks", "Less") == f"{last:,.2f}"
    told: list[object] = []
    page.desk.explained.connect(told.append)
    page.turn_to(SIDE)
    for _ in range(3):
        press(Key.Key_Right)
    trail = told[-1].trail(page.desk.document.figures, page.desk.format)  # type: ignore[attr-defined]
    assert isinstance(trail, Trail)
    assert trail.title == "All drinks under Less"
    assert {line.text for line in trail.lines if line.depth} >= {"Volume", "Mix", "Cost", "supposed: Good c"}


def test_which_price_matters_and_how_dear_it_may_become(three: WhatIfPage, qtbot: QtBot) -> None:
    page = three
    press(Key.Key_W, BOTH)
    settled(page, qtbot)
    table = page.matters.list.table
    # 720 of b at 4.5, 750 of a at 3.5, 580 of c at 2.6
    assert [page.matters.rows.index(n, 1).data() for n in range(3)] == ["3,240.00", "2,625.00", "1,508.00"]
    assert cell(table, "Good b", "Price up") == "▲ +324.00"
    assert "rises by 10 %" in str(page.matters.picture.figure)
    page.matters.by.setFocus()
    press(Key.Key_Down)
    settled(page, qtbot)
    assert cell(table, "M", "Money through it") == "7,373.00", "all of one supplier"
    press(Key.Key_Down)
    settled(page, qtbot)
    assert "No preparation" in page.matters.hint.text()
    press(Key.Key_E, BOTH)
    settled(page, qtbot)
    assert page.evens.drink.currentText() == "a"
    # the house's usual target is read from the book; a costs 3.50 of a net price of 14, and one pack is one drink
    (drink,) = [p for p in page.desk.document.priced if p.serve.id == "a"]
    assert cell(page.evens.list.table, "Good a", "Earns to") == "14.00"
    assert cell(page.evens.list.table, "Good a", "Meets target to") == f"{14 * drink.policy.value:.2f}"
    assert signed_share(Decimal(3), page.desk.format) == "+300 %"
    with qtbot.waitSignal(page.desk.went) as went:
        page.evens.list.table.choose("ga")
        page.evens.list.table.setFocus()
        press(Key.Key_Return)
    assert went.args == [Where("good", "ga")]


def test_preparations_matter_by_their_yield(page: WhatIfPage, qtbot: QtBot) -> None:
    page.matters.restore_state({"of": "harbour-light", "by": 2, "own": False})
    page.turn_to(MATTERS)
    settled(page, qtbot)
    bar = next(b for b in page.matters.rows.rows() if b.key == "pineapple-distillate")
    assert bar.down == pytest.approx(bar.money / 0.9 - bar.money), "a tenth less of it, to first order"
    assert "gives 10 % less" in str(page.matters.picture.figure)
    page.matters.restore_state({"of": "harbour-light", "by": 0, "own": True})
    page.matters.refresh()
    settled(page, qtbot)
    shares = [str(page.matters.rows.index(n, 2).data()) for n in range(page.matters.rows.rowCount())]
    assert any("assumed" in share for share in shares)
    assert any("assumed" not in share for share in shares)


def test_what_a_scenario_makes_wrong_is_said_and_no_figure_passes_for_whole(page: WhatIfPage, qtbot: QtBot) -> None:
    named(page, "Too much", qtbot)
    typed("pineapple-distillate roast/out.mass = 20 kg", qtbot)
    settled(page, qtbot)
    assert page.warn.text().startswith("Too much: Harbour Light, ")
    assert " cannot be made: " in page.warn.text()
    assert "only 3.18 kg went in" in page.warn.toolTip()
    table = page.side.list.table
    assert cell(table, "Harbour Light", "Difference") == "–"
    assert cell(table, "All drinks", "Too much").startswith("at most ")
    assert cell(table, "All drinks", "Difference") == "–"


def test_a_line_that_no_longer_can_be_laid_says_so_and_leaves_no_half_scenario(page: WhatIfPage, qtbot: QtBot) -> None:
    document = page.desk.document
    named(page, "Casks", qtbot)
    typed("casks +5 %", qtbot)
    typed("white-rum +10 %", qtbot)
    quotes = [q for q in document.book.all(Quote).values() if q.good == "white-rum"]
    page.desk.do(Step("no rum", tuple(put("quote", q).inverse() for q in quotes)))
    settled(page, qtbot)
    assert page.side.rows.total == 0
    assert "Casks has no figures: " in page.warn.text()
    come = [str(page.supposing.rows.index(n, 1).data()) for n in range(2)]
    assert "prices" in come[0]
    assert "White rum 40 % has no quote" in come[1]
    assert page.desk.undo()
    settled(page, qtbot)
    assert page.side.rows.total > 1


def test_nothing_to_apply_is_said(page: WhatIfPage, qtbot: QtBot) -> None:
    named(page, "Busy", qtbot)
    typed("sold +20 %", qtbot)
    press(Key.Key_Return, Held.ControlModifier)
    assert page.desk.refusal is not None
    assert "only how many are sold" in page.desk.refusal.text
    assert "Busy" in kept(page)


def test_it_can_be_worked_by_key_and_ear(page: WhatIfPage, qtbot: QtBot) -> None:
    named(page, "Rum", qtbot)
    typed("white-rum +10 %", qtbot)
    for view in (SIDE, MOVES, MATTERS, EVENS):
        page.turn_to(view)
        settled(page, qtbot)
        nameless = [type(w).__name__ for w in seen(page) if takes_focus(w) and not spoken(w)]
        assert nameless == []
    page.first().setFocus()
    press(Key.Key_Tab)
    focused: QWidget | None = QApplication.focusWidget()
    assert focused is page.supposing.list.table, "Tab goes to the changes"


def test_sales_without_a_menu_and_a_book_without_anything(empty_desk: Desk, qtbot: QtBot) -> None:
    page = opened(empty_desk, qtbot)
    for view in (MOVES, MATTERS, EVENS, SIDE):
        page.turn_to(view)
        settled(page, qtbot)
    named(page, "First", qtbot)
    settled(page, qtbot)
    assert "put some on one first" in page.side.hint.text()
    assert page.read.isVisible()
    assert isinstance(page.desk.document.book, Book)


def test_a_scenario_of_another_window_is_shown(three: WhatIfPage, qtbot: QtBot) -> None:
    document = three.desk.document
    made = scenarios.scenario_of(document.book, ["good b = 5"], DAY)
    three.desk.do(Step("made", (put("scenario", replace(made, id="x", name="X")),)))
    settled(three, qtbot)
    assert three.choosing.ident == "x"
    assert cell(three.side.list.table, "b", "X") != cell(three.side.list.table, "b", "Now")
