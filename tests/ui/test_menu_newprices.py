"""New prices: an aim typed, the table read, prices taken by one key and put back by one undo; limits kept and named."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QPushButton
from pytestqt.qtbot import QtBot

from costing.book.book import Book
from costing.book.change import Step, put
from costing.book.plain import record_from_plain
from costing.book.records import Menu, MenuLine, Quote
from costing.book.selling import SalesPeriod, Sold
from costing.store import create
from tests.ui.conftest import DictMemory
from tests.ui.walking import seen, spoken, takes_focus
from ui.desk import Desk, Where
from ui.document import Document
from ui.format import Format, locale_of
from ui.jobs import begin_resting
from ui.models.table import Written
from ui.places.menu.newprices.page import NewPricesPage
from ui.places.menu.prices import PricesPage
from ui.places.menu.standing import Standing
from ui.whys import Trail
from ui.widgets.table import DataTable

Key, Held = Qt.Key, Qt.KeyboardModifier
DAY = date(2026, 3, 8)
DRINKS = (("Alder", "2", "10", 100), ("Birch", "3", "12", 50), ("Cedar", "2", "8", 10))
"""Name, cost, price and how many were sold, invented; no tax, price points of 0.50. All sold cost 200 + 150 + 20 = 370
and bring 1,000 + 600 + 80 = 1,680: a pour cost of 22.02 % and a margin of 1,310. A step of 0.50 brings 50, 25 and 5."""


def three() -> Book:
    """One good a drink at its cost, the house's own target an overall 20 %."""
    since = "2026-01-01"
    rows = [
        ("house", {"id": "house", "name": "House", "currency": "EUR", "terms": [{"since": since}]}),
        ("supplier", {"id": "m", "name": "M"}),
    ]
    lines = []
    for n, (name, cost, price, _) in enumerate(DRINKS):
        build = {"id": "build", "kind": "blend", "adds": [{"source": f"g{n}", "amount": "1 each"}]}
        rows += [
            ("good", {"id": f"g{n}", "name": f"Good {n}", "kind": "other", "base": "each"}),
            ("quote", {"id": f"q{n}", "good": f"g{n}", "supplier": "m", "content": "1 each", "price": cost,
                       "currency": "EUR", "since": since}),
            ("serve", {"id": f"s{n}", "name": name, "versions": [{"since": since, "build": build}]}),
        ]  # fmt: skip
        lines.append({"serve": f"s{n}", "prices": [{"since": since, "price": price}]})
    sections = [{"name": "Long", "lines": lines[:2]}, {"name": "Short", "lines": lines[2:]}]
    rows.append(("menu", {"id": "main", "name": "Main", "sections": sections}))
    sold = tuple(Sold(serve=f"s{n}", count=Decimal(drink[3])) for n, drink in enumerate(DRINKS))
    week = SalesPeriod(id="w", since=DAY - timedelta(days=6), until=DAY, sold=sold)
    return Book.of([*(record_from_plain(kind, plain) for kind, plain in rows), week])


@pytest.fixture
def house(tmp_path: Path, memory: DictMemory, qapp: QApplication) -> Iterator[Desk]:
    """A desk on the three drinks."""
    with create(tmp_path / "three.stillroom", three()) as store:
        document = Document(store, DAY, path=tmp_path / "three.stillroom")
        yield Desk(document, Format(locale_of("en"), "EUR"), memory, document)
        document.deleteLater()


def opened(desk: Desk, qtbot: QtBot) -> NewPricesPage:
    """The page, seen, with the keyboard where it begins."""
    page = NewPricesPage(desk, Standing(desk, desk))
    qtbot.addWidget(page)
    page.resize(1080, 560)
    with qtbot.waitExposed(page):
        page.show()
    page.activateWindow()
    page.first().setFocus()
    return page


@pytest.fixture
def page(house: Desk, qtbot: QtBot) -> NewPricesPage:
    """The page on the three drinks, once the house's own target is worked out."""
    page = opened(house, qtbot)
    settled(page, qtbot)
    return page


def settled(page: NewPricesPage, qtbot: QtBot) -> None:
    """Wait until what is asked is known."""

    def known() -> bool:
        begin_resting()
        return page.said.startswith(("Pour cost", "The margin", "A ", "The limits", "There")) and not page.rows.stale

    qtbot.waitUntil(known, timeout=10_000)


def press(key: Qt.Key, held: Qt.KeyboardModifier = Held.NoModifier) -> None:
    """A key where the keyboard is."""
    at = QApplication.focusWidget()
    assert at is not None
    QTest.keyClick(at, key, held)


def typed(field: QLineEdit, text: str) -> None:
    """A text over what stands in a field, and Enter."""
    field.setFocus()
    field.selectAll()
    press(Key.Key_Backspace)
    QTest.keyClicks(field, text)
    press(Key.Key_Return)


def type_over(table: DataTable, key: str, row: int, text: str, qtbot: QtBot) -> None:
    """A text into a cell, and Enter."""
    table.choose(table.rows.key(row), column(table, key))
    QTest.keyClick(table, Key.Key_F2)
    (editor,) = [line for line in table.findChildren(QLineEdit) if line.isVisible()]
    QTest.keyClicks(editor, text)
    QTest.keyClick(editor, Key.Key_Return)
    qtbot.waitUntil(lambda: not [line for line in table.findChildren(QLineEdit) if line.isVisible()])


def aim(page: NewPricesPage, text: str, qtbot: QtBot) -> None:
    """An aim typed, and its answer."""
    typed(page.wishing.aim, text)
    settled(page, qtbot)


def shown(page: NewPricesPage, key: str) -> list[str]:
    """What a column says, from the top."""
    n = column(page.list.table, key)
    return [str(page.rows.index(row, n).data()) for row in range(page.rows.rowCount())]


def column(table: DataTable, key: str) -> int:
    """Where a column is."""
    return next(n for n, c in enumerate(table.rows.columns) if c.key == key)


def prices(desk: Desk) -> list[str]:
    """What is printed on the day."""
    view = desk.document.view
    found = [view.price_of(line) for line in lines(desk)]
    return [str(price.price) for price in found if price is not None]


def lines(desk: Desk) -> list[MenuLine]:
    """The lines of the menu."""
    return [line for section in desk.document.book.all(Menu)["main"].sections for line in section.lines]


def test_an_aim_typed_is_read_taken_and_put_back_by_keyboard(page: NewPricesPage, qtbot: QtBot) -> None:
    # Least change for 21 %: 370 / 0.21 = 1,761.90 net, 81.90 more. Twice 0.50 on Alder brings 100; once on each of
    # Alder and Birch only 75; so 1.00 on one price. 370 / 1,780 = 20.79 %. Everything: once 80, twice 160, so 3 x 1.00.
    assert QApplication.focusWidget() is page.wishing.aim
    assert page.wishing.aim.selectedText() == "20 %", "the house's own target, to be typed over"
    QTest.keyClicks(page.wishing.aim, "21 %")
    press(Key.Key_Return)
    table = page.list.table
    assert QApplication.focusWidget() is table
    assert page.rows.stale
    assert page.said.startswith("It is being worked out anew; before: A pour cost of 20.00 % is out of reach")
    settled(page, qtbot)
    assert page.said == (
        "Pour cost goes from 22.02 % to 20.79 % with 1 price changed, 1.00 in all. "
        "Margin of these sales: 1,310.00 to 1,410.00. Raising everything point by point would take 3.00."
    )
    assert table.currentIndex().data() == "11.00", "the first price that changes"
    assert shown(page, "new") == ["11.00", "12.00", "8.00"]
    assert shown(page, "change") == ["▲ +1.00", "–", "–"]
    assert [shown(page, key)[0] for key in ("sold", "pour", "pour-new", "margin")] == [
        "100",
        "20.0 %",
        "18.2 %",
        "9.00",
    ]
    assert shown(page, "volume") == ["11.1 %", "–", "–"], "8 / 9 - 1"
    bold = [page.rows.index(row, column(table, "new")).data(Qt.ItemDataRole.FontRole) for row in range(3)]
    assert [font is not None and font.bold() for font in bold] == [True, False, False], "weight beside the sign"
    assert page.use.isEnabled()
    press(Key.Key_Return, Held.ControlModifier)
    assert prices(page.desk) == ["11.00", "12", "8"]
    assert page.desk.document.undo_text == "new price of 1 drink from 2026-03-08, 1 up and 0 down"
    settled(page, qtbot)
    assert page.said == "Pour cost is 20.79 % as it is: no price needs to change."
    assert QApplication.focusWidget() is table
    page.desk.undo()
    assert prices(page.desk) == ["10", "12", "8"]


def test_prices_are_taken_from_the_day_beside_the_button(page: NewPricesPage, qtbot: QtBot) -> None:
    aim(page, "20.5 %", qtbot)
    assert page.use.text() == f"Take these {len(page.rows.rows()) - shown(page, 'change').count('–')} prices"
    typed(page.since, "+7")
    with qtbot.waitSignal(page.desk.told):
        page.use.click()
    assert prices(page.desk) == ["10", "12", "8"], "not yet"
    later = page.desk.document.book.on(DAY + timedelta(days=7))
    found = [later.price_of(line) for line in lines(page.desk)]
    assert [p.price for p in found if p is not None] == [Decimal(text) for text in shown(page, "new")]
    settled(page, qtbot)
    assert "have another price from a later day on already" in page.under.told.text()
    with qtbot.waitSignal(page.desk.refused):
        page.use.click()
    typed(page.since, "9/3/2026")
    head = page.desk.document.head
    page.use.click()
    assert page.desk.document.head == head, "never on a day that cannot be read"


def test_what_cannot_be_reached_says_how_far_one_gets_and_what_stands_in_the_way(
    page: NewPricesPage, qtbot: QtBot
) -> None:
    # At most 10 %: Alder to 11.00, Birch to 13.00, Cedar to 8.50, so 155 more: 370 / 1,835 = 20.16 %. For 19 % 267.37
    # more are needed. A rise of 18.75 % brings 150 + 100 + 15, one of 20 % 200 + 100 + 15. Between the points 10 %
    # bring 100 + 60 + 8: 370 / 1,848 = 20.02 %.
    aim(page, "19 %", qtbot)
    assert page.said == (
        "A pour cost of 19.00 % is out of reach under these limits. "
        "The furthest is 20.16 %, from 22.02 %, with 3 prices changed, 2.50 in all."
    )
    assert page.under.ways.text().split("\n") == [
        "The limit on a rise: if this alone is lifted, the aim is within reach; 20.00 % is enough. "
        "Every drink stands at it.",
        "How many price points a price may move: if this alone is lifted, the aim stays out of reach, 20.02 % at best.",
    ]
    assert shown(page, "new") == ["11.00", "13.00", "8.50"]
    assert set(shown(page, "stops")) == {"the limit on a rise"}
    assert not page.use.isEnabled()
    assert page.under.volumes.isHidden(), "these prices are not to be taken"
    head = page.desk.document.head
    with qtbot.waitSignal(page.desk.refused) as told:
        press(Key.Key_Return, Held.ControlModifier)
    assert "out of reach" in told.args[0].text
    assert page.desk.document.head == head
    typed(page.wishing.rise, "20 %")
    settled(page, qtbot)
    assert page.said.startswith("Pour cost goes from 22.02 % to 1")
    typed(page.wishing.rise, "")
    settled(page, qtbot)
    assert page.wishing.rise.text() == ""
    typed(page.wishing.rise, "10")
    typed(page.wishing.at_most, "1")
    settled(page, qtbot)
    assert "with 1 price changed" in page.said
    assert "How many prices may change: if this alone is lifted, the aim stays out of reach" in page.under.ways.text()


def test_other_volumes_are_assumptions_beside_one_another(page: NewPricesPage, qtbot: QtBot) -> None:
    # Alder at 11.00 leaves 9 a drink, the others 50 x 9 and 10 x 6: 80 x 9 + 510 = 1,230, 100 x 9 + 510, 120 x 9 + 510
    aim(page, "margin 1400", qtbot)
    assert page.said.startswith("The margin goes from 1,310.00 to 1,410.00 with 1 price changed, 1.00 in all.")
    cells = page.under.volumes.cells
    assert [cells["head", n].text() for n in range(3)] == ["20 % less", "as now", "20 % more"]
    assert [cells["margin", n].text() for n in range(3)] == ["1,230.00", "1,410.00", "1,590.00"]
    assert [cells["gain", n].text() for n in range(3)] == ["▼ −80.00", "▲ +100.00", "▲ +280.00"]
    assert page.under.volumes.told.text() == (
        "All changed drinks together may lose up to 11.1 % of their sales before the change costs money. "
        "These volumes are assumptions, not a forecast."
    )
    aim(page, "1300", qtbot)
    assert page.wishing.aim.text() == "margin 1300", "a bare number that is no pour cost"
    assert page.said == "The margin is 1,310.00 as it is: no price needs to change."
    assert page.under.volumes.isHidden()


def test_space_holds_a_price_and_bounds_are_typed_in_place(page: NewPricesPage, qtbot: QtBot) -> None:
    aim(page, "21 %", qtbot)
    table = page.list.table
    press(Key.Key_Space)
    assert [line.held for line in lines(page.desk)] == [True, False, False]
    assert shown(page, "held") == ["✓", "", ""]
    assert page.rows.stale, "what is shown is of before"
    assert not page.use.isEnabled()
    settled(page, qtbot)
    # Birch to 13.00 and Cedar to 8.50 bring 55: 370 / 1,735 = 21.33 %
    assert "The furthest is 21.33 %" in page.said
    assert "Held prices: if this alone is lifted, the aim is within reach. At it: Alder." in page.under.ways.text()
    page.desk.undo()
    settled(page, qtbot)
    assert page.said.startswith("Pour cost goes from 22.02 % to 20.79 %")
    type_over(table, "most", 0, "10.50", qtbot)
    settled(page, qtbot)
    # Alder once and Birch twice bring 100 for 1.50; with Cedar instead of one step of Birch only 80
    assert shown(page, "most") == ["10.50", "", ""]
    assert shown(page, "new") == ["10.50", "13.00", "8.00"]
    page.rows.write([Written(0, column(table, "least"), "11")])
    assert "highest price 10.50 lies below the lowest 11" in page.list.fault.text()
    assert lines(page.desk)[0].least is None
    page.rows.write([Written(1, column(table, "most"), "12,50"), Written(2, column(table, "least"), "8")])
    assert [(line.least, line.most) for line in lines(page.desk)[1:]] == [
        (None, Decimal("12.50")), (Decimal(8), None),
    ]  # fmt: skip
    table.selectAll()
    press(Key.Key_Space)
    assert all(line.held for line in lines(page.desk))
    assert page.desk.document.undo_text == "hold the prices of 3 drinks"
    table.choose(page.rows.key(1), column(table, "held"))
    press(Key.Key_Return)
    assert [line.held for line in lines(page.desk)] == [True, False, True], "Enter on the tick turns it too"


def test_a_text_that_cannot_be_stays_with_its_reason_and_nothing_is_guessed(page: NewPricesPage, qtbot: QtBot) -> None:
    fields = page.wishing
    for line, text, why in (
        (fields.aim, "20", "may be a pour cost or a margin"), (fields.aim, "x 5", "is no aim for a menu"),
        (fields.aim, "0 %", "must lie above 0"), (fields.aim, "margin 1,234", "could be 1234 or 1.234"),
        (fields.rise, "much", "is not a share"), (fields.at_most, "2.5", "is no number of prices"),
        (fields.at_most, "0", "is no number of prices"),
    ):  # fmt: skip
        typed(line, text)
        assert (QApplication.focusWidget(), line.text()) == (line, text), "it is to be mended"
        assert why in fields.fault.text()
        assert page.said.startswith("Of before: ")
        assert not page.use.isEnabled()
        press(Key.Key_Escape)
        assert not fields.fault.isVisible()
    settled(page, qtbot)


def test_work_is_stopped_and_what_is_no_longer_asked_is_thrown_away(page: NewPricesPage, qtbot: QtBot) -> None:
    typed(page.wishing.aim, "21 %")
    press(Key.Key_Period, Held.ControlModifier)
    assert page.said.startswith("Of before: A pour cost of 20.00 %")
    assert page.box.turn.isVisible()
    assert page.box.turn.text() == "Work it out"
    begin_resting()
    qtbot.wait(20)
    assert page.rows.stale, "nothing of it is heard any more"
    page.box.turn.click()
    typed(page.wishing.aim, "20.5 %")
    typed(page.wishing.aim, "21.9 %")
    answers: list[str] = []
    page._repricer.known.connect(lambda: answers.append(page.said))
    settled(page, qtbot)
    # 370 / 0.219 = 1,689.50, so 9.50 more: 0.50 on one price, and of the two that bring enough the one that brings more
    assert page.said.startswith("Pour cost goes from 22.02 % to 21.39 % with 1 price changed, 0.50 in all.")
    assert len(answers) == 1
    page.box.tell(3, 9)
    assert (page.box.progress.value(), page.box.progress.maximum()) == (3, 9)


def test_a_section_alone_and_another_goal(page: NewPricesPage, qtbot: QtBot) -> None:
    page.wishing.part.setFocus()
    press(Key.Key_Down)
    press(Key.Key_Down)
    settled(page, qtbot)
    assert page.wishing.part.currentText().strip() == "Short"
    assert shown(page, "name") == ["Cedar"]
    assert page.said.startswith("A pour cost of 20.00 % is out of reach"), "2 / 8.50 is 23.5 %"
    page.wishing.part.setFocus()
    press(Key.Key_Home)
    page.wishing.goal.setFocus()
    press(Key.Key_Down)
    aim(page, "20.5 %", qtbot)
    # 370 / 0.205 = 1,804.88, so 124.88 more: Alder 100 and Birch 25, two prices and 1.50; no one price brings so much
    assert "with 2 prices changed, 1.50 in all" in page.said
    again = NewPricesPage(page.desk, page.standing)
    qtbot.addWidget(again)
    again.restore_state(page.save_state())
    again.show()
    settled(again, qtbot)
    assert again.said == page.said
    assert again.wishing.aim.text() == "20.5 %"
    assert again.wishing.goal.currentIndex() == 1


def test_every_new_price_says_why_and_what_it_may_cost(page: NewPricesPage, qtbot: QtBot) -> None:
    told: list[object] = []
    page.desk.explained.connect(told.append)
    aim(page, "21 %", qtbot)
    trail = trail_of(page, told[-1])
    assert (trail.title, trail.figure) == ("A new price for Alder", "11.00")
    said = {line.text: line.figure for line in trail.lines}
    assert said["of its sales, until it earns no more than before"] == "may lose 11.1 %"
    assert said["brings, at the same sales"] == "▲ +100.00"
    assert "it goes no higher by the limit on a rise" in said
    with qtbot.waitSignal(page.desk.went) as went:
        press(Key.Key_Return)
    assert went.args == [Where("serve", "s0", "price")]
    nameless = [type(w).__name__ for w in seen(page) if takes_focus(w) and not spoken(w)]
    assert nameless == []


def trail_of(page: NewPricesPage, subject: object) -> Trail:
    """What a subject says."""
    found = subject.trail(page.desk.document.figures, page.desk.format)  # type: ignore[attr-defined]
    assert isinstance(found, Trail)
    return found


def test_a_cost_that_is_not_whole_is_a_doubt_and_never_a_plain_figure(page: NewPricesPage, qtbot: QtBot) -> None:
    quote = page.desk.document.book.all(Quote)["q0"]
    page.desk.do(Step("no price", (put("quote", quote).inverse(),)))
    aim(page, "10 %", qtbot)
    assert page.said.startswith("Pour cost goes from at least 10.12 % to at least "), "170 / 1,680"
    assert "Margin of these sales: at most 1,510.00 to at most " in page.said
    assert shown(page, "pour")[0] == "at least 0.0 %"
    assert "Alder: cost at least so much" in page.under.told.text()


def test_without_sales_or_prices_it_says_what_to_do_first(house: Desk, qtbot: QtBot) -> None:
    period = house.document.book.all(SalesPeriod)["w"]
    house.do(Step("no sales", (put("sales", period).inverse(),)))
    page = opened(house, qtbot)
    button = page.first()
    assert isinstance(button, QPushButton)
    with qtbot.waitSignal(house.went) as went:
        press(Key.Key_Space)
    assert went.args == [Where("menu", ":sold")]
    menu = house.document.book.all(Menu)["main"]
    house.do(Step("bare", (put("menu", replace(menu, sections=()), menu), put("sales", period))))
    with qtbot.waitSignal(house.went) as went:
        page.first().setFocus()
        press(Key.Key_Space)
    assert went.args == [Where("menu", ":prices")]
    house.undo()
    house.do(Step("nothing sold", (put("sales", replace(period, sold=(Sold(serve="s9", count=Decimal(1)),))),)))
    settled_on_fault(page, qtbot)
    assert page.said == (
        "Nothing was sold of these drinks: an overall pour cost or margin stands on what was sold."
    )  # fmt: skip


def settled_on_fault(page: NewPricesPage, qtbot: QtBot) -> None:
    """Wait for an answer that is a fault."""

    def known() -> bool:
        begin_resting()
        return page.said.startswith("Nothing was sold")

    qtbot.waitUntil(known, timeout=10_000)


def test_a_line_that_stands_twice_is_said_and_not_priced(house: Desk, qtbot: QtBot) -> None:
    menu = house.document.book.all(Menu)["main"]
    long = menu.sections[0]
    twice = replace(menu, sections=(replace(long, lines=(*long.lines, long.lines[0])), menu.sections[1]))
    house.do(Step("twice", (put("menu", twice, menu),)))
    page = opened(house, qtbot)

    def known() -> bool:
        begin_resting()
        return "twice" in page.said

    qtbot.waitUntil(known)
    assert page.said == "Alder stands twice in one section: take one of them off the menu first."
    assert not page.use.isEnabled()


def test_the_prices_page_holds_and_bounds_too(house: Desk, qtbot: QtBot) -> None:
    page = PricesPage(house)
    qtbot.addWidget(page)
    with qtbot.waitExposed(page):
        page.show()
    page.activateWindow()
    table = page.list.table
    table.setFocus()
    type_over(table, "least", 1, "9.50", qtbot)
    assert lines(house)[0].least == Decimal("9.50")
    assert house.document.undo_text == "price of Alder from 9.50 to any"
    assert page.rows.index(1, column(table, "least")).data() == "9.50"
    table.choose(page.rows.key(0), 0)
    press(Key.Key_Space)
    assert [line.held for line in lines(house)] == [True, True, False], "a heading stands for the lines under it"
    table.choose(page.rows.key(2), column(table, "held"))
    press(Key.Key_Return)
    assert [line.held for line in lines(house)] == [True, False, False]
    assert page.rows.index(1, column(table, "held")).data() == "✓"
    house.undo()
    house.undo()
    assert not any(line.held for line in lines(house))
