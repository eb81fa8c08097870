"""Hours in the window: machines typed in place, the best mix and what an hour is worth, make or buy; by keyboard."""

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication, QLineEdit
from pytestqt.modeltest import ModelTester
from pytestqt.qtbot import QtBot

from costing.book.book import Book
from costing.book.change import Step, put
from costing.book.records import Equipment
from costing.menu.capacity import best_mix
from costing.store import create
from tests.ui.conftest import DAY, DictMemory
from ui.desk import Desk, Where
from ui.document import Document
from ui.format import Format, locale_of
from ui.jobs import begin_resting
from ui.places.menu.hours.machines import PEOPLE, MachineRow
from ui.places.menu.hours.page import HoursPage
from ui.places.menu.standing import Standing
from ui.whys import Said
from ui.widgets.fields import TextField
from ui.widgets.table import DataTable

Key = Qt.Key
STILL, FREEZER, BREWER = "machine/still", "machine/freezer", "machine/brewer"


@pytest.fixture(scope="module")
def bar(sample: Book, tmp_path_factory: pytest.TempPathFactory, qapp: QApplication) -> Iterator[Desk]:
    """A desk on the sample bar, where nobody said any hours; kept for all tests, because a file takes a while."""
    path = tmp_path_factory.mktemp("hours") / "bar.stillroom"
    with create(path, sample) as store:
        document = Document(store, DAY, path=path)
        house = document.book.house
        desk = Desk(document, Format(locale_of("en"), house.currency if house else ""), DictMemory(), document)
        _forget_hours(desk)
        yield desk
        document.deleteLater()


def _forget_hours(desk: Desk) -> None:
    book = desk.document.book
    bare = [put("equipment", replace(m, hours=None), m) for m in book.all(Equipment).values() if m.hours is not None]
    if book.house is not None and book.house.prep_hours is not None:
        bare.append(put("house", replace(book.house, prep_hours=None), book.house))
    desk.do(Step("bare", tuple(bare)) if bare else None)


@pytest.fixture
def page(bar: Desk, qtbot: QtBot) -> Iterator[HoursPage]:
    """The page, with what it knows; what was done to the book is taken back."""
    before = bar.document.book
    page = HoursPage(bar, Standing(bar))
    qtbot.addWidget(page)
    page.resize(1080, 560)
    with qtbot.waitExposed(page):
        page.show()
    known(page, qtbot)
    yield page
    page.hide()
    while bar.document.book != before:
        bar.undo()


def known(page: HoursPage, qtbot: QtBot) -> None:
    """Wait until what was asked is known."""
    begin_resting()
    qtbot.waitUntil(lambda: page._latest._found is not None and "worked out" not in page.told.text(), timeout=10_000)


def row(page: HoursPage, key: str) -> MachineRow:
    """A machine's row."""
    return next(r for r in page.machines.rows() if r.key == key)


def shown(page: HoursPage, key: str, column: str) -> str:
    """What a machine's cell shows."""
    across = next(n for n, c in enumerate(page.machines.columns) if c.key == column)
    at = page.machines.position(key)
    assert at is not None
    return str(page.machines.index(at, across).data())


def type_hours(page: HoursPage, qtbot: QtBot, key: str, text: str) -> None:
    """Type over the hours of a machine, from the keyboard."""
    table = page.machine_list.table
    table.setFocus()
    table.choose(key, 1)
    qtbot.keyClick(table, Key.Key_F2)
    (editor,) = editors(table)
    editor.selectAll()
    qtbot.keyClicks(editor, text)
    qtbot.keyClick(editor, Key.Key_Return)
    qtbot.waitUntil(lambda: not editors(table))


def editors(table: DataTable) -> list[QLineEdit]:
    """Cells that are being typed into."""
    return [e for e in table.findChildren(QLineEdit) if e.isVisible()]


def fill(qtbot: QtBot, field: TextField, text: str) -> None:
    """Over what stands in a field, and Enter."""
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, text)
    qtbot.keyClick(field, Key.Key_Return)


def test_hours_are_typed_and_the_worth_of_one_more_is_what_the_mix_with_one_more_earns(
    page: HoursPage, qtbot: QtBot, qtmodeltester: ModelTester
) -> None:
    """The worth is checked by working the mix out anew with one more hour: a dual value is that difference as far as it
    holds (duality as in any text on linear programming)."""
    assert page.first() is page.machine_list.table
    assert "type them in the table" in page.said.text()
    assert row(page, FREEZER).name in page.said.text()  # it took most
    took, weeks = row(page, STILL).took or 0.0, page.standing.mix().weeks
    by_hand = sum(i.sold * i.machine_hours.get("still-hour", 0.0) for i in page.standing.mix().items) / weeks
    assert took == pytest.approx(by_hand)
    half = round(took / 2)
    type_hours(page, qtbot, STILL, f"{half} h")
    assert page.desk.document.book.all(Equipment)["still"].hours == Decimal(half)
    known(page, qtbot)
    use = row(page, STILL).use
    assert use is not None
    assert use.binds
    assert shown(page, STILL, "share") == page.desk.format.percent(took / half, 0)
    assert "is that so?" in page.told.text()  # more was sold than those hours allow
    found = page._found
    assert found is not None
    more = [replace(r, hours=r.hours + 1) if r.id == "still-hour" else r for r in found.capacity.resources]
    gain = best_mix(found.capacity.products, more).margin - found.best.margin
    assert use.worth == pytest.approx(gain)
    assert page.desk.format.money(gain) in page.said.text()
    why = next(c.why for c in page.machines.columns if c.key == "worth")
    assert why is not None
    assert isinstance(why(row(page, STILL)), Said)
    qtmodeltester.check(page.drinks)
    page.desk.undo()
    assert row(page, STILL).hours is None


def test_people_and_machines_without_an_hour_have_their_row_and_a_slip_is_said(page: HoursPage, qtbot: QtBot) -> None:
    type_hours(page, qtbot, PEOPLE, "20")
    house = page.desk.document.book.house
    assert house is not None
    assert house.prep_hours == 20
    type_hours(page, qtbot, STILL, "169")  # a week has 168
    assert "168" in page.machine_list.fault.text()
    assert page.desk.document.book.all(Equipment)["still"].hours is None
    qtbot.keyClick(page.machine_list.table, Key.Key_Escape)
    type_hours(page, qtbot, BREWER, "10")
    known(page, qtbot)
    assert shown(page, BREWER, "took") == "–"
    assert "no good is their hour" in page.told.text()


def test_drinks_are_ranked_by_an_hour_of_what_is_short(page: HoursPage, qtbot: QtBot) -> None:
    type_hours(page, qtbot, STILL, "3")
    known(page, qtbot)
    assert page.of.currentData() == "still-hour"
    rows = [r for r in page.drinks.rows() if r.rank is not None]
    for r in rows:
        assert r.per_hour == pytest.approx(r.made.product.margin / r.made.product.hours["still-hour"])
    best = sorted(rows, key=lambda r: -(r.per_hour or 0.0))
    assert [r.rank for r in best] == list(range(1, len(rows) + 1))
    # one machine alone is short: what is made of a drink is nothing unless all better ones are made in full
    cut = next(n for n, r in enumerate(best) if r.short)
    assert all(r.made.amount < 1e-6 for r in best[cut + 1 :])
    table = page.drink_list.table
    table.setFocus()
    table.choose(best[0].key, 0)
    went: list[Where] = []
    page.desk.went.connect(went.append)
    qtbot.keyClick(table, Key.Key_Return)
    assert went == [Where("serve", best[0].serve, "price")]
    table.select_rows([best[0].key])
    qtbot.keyClick(table, Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    assert QGuiApplication.clipboard().text().startswith(best[0].made.product.name + "\t")


def test_more_that_guests_would_take_and_whole_batches(page: HoursPage, qtbot: QtBot) -> None:
    type_hours(page, qtbot, STILL, "3")
    fill(qtbot, page.more.field, "0.5")
    assert page.more.fault.text() == "“0.5” may be 0.5 % or 50 %: write it with the sign %."
    assert "cannot be read" in page.told.text()
    assert page.drinks.rowCount() == len(page.standing.mix().items)  # as before
    fill(qtbot, page.more.field, "50 %")
    assert page.more.fault.isHidden()
    known(page, qtbot)
    assert all(r.made.product.demand == pytest.approx(1.5 * r.sold) for r in page.drinks.rows())
    part = page._found.best.margin if page._found else 0.0
    page.whole.setFocus()
    qtbot.keyClick(page.whole, Key.Key_Space)
    known(page, qtbot)
    found = page._found
    assert found is not None
    assert found.batched is not None
    assert found.margin <= found.batched.bound + 1e-6 <= part + 1e-3
    assert "in whole batches" in page.said.text()
    assert page.tabs.indexOf(page.batch_list) == 1
    assert all(r.count > 0 for r in page.batches.rows())
    other = HoursPage(page.desk, page.standing)
    qtbot.addWidget(other)
    other.restore_state(page.save_state())
    assert other.more.text == "50 %"
    assert other.whole.isChecked()


def test_make_or_buy_turns_at_the_price_that_making_takes(page: HoursPage, qtbot: QtBot) -> None:
    """OpenStax, Principles of Accounting, vol. 2, special decisions: a unit is bought where that costs less than what
    making it takes."""
    panel, reckoning = page.bought, page.desk.document.figures.reckoning
    names = page.desk.document.figures.names
    made = next(i for i in reckoning.direct if "still-hour" in reckoning.exploded[i].row and "/" not in i
                and not reckoning.costs[i].unpriced)  # fmt: skip
    assert "Choose a preparation" in panel.pane.notes.text()
    fill(qtbot, panel.made.field, names[made])
    cost = reckoning.costs[made].of(("materials", "energy"))
    fill(qtbot, panel.price.field, f"{cost + 0.02:.2f}")
    assert panel.pane.said.text().startswith("Make it")
    fill(qtbot, panel.price.field, f"{cost - 0.02:.2f}")
    assert panel.pane.said.text().startswith("Buy it")
    assert "none is taken to be short" in panel.pane.notes.text()
    fill(qtbot, panel.price.field, f"{cost + 0.02:.2f}")
    type_hours(page, qtbot, STILL, "3")
    known(page, qtbot)
    use = row(page, STILL).use
    assert use is not None
    takes = cost + reckoning.exploded[made].row["still-hour"] * use.worth
    assert next(r for r in panel.pane.rows("money") if r.key == "takes").cells[1][1] == pytest.approx(takes)
    assert panel.pane.said.text().startswith("Buy it")  # the hours in it earn more elsewhere
    fill(qtbot, panel.price.field, "12,3456,7")
    assert not panel.price.fault.isHidden()
    assert panel.price.field.property("refused")


def test_a_machine_that_shares_its_hours_names_the_other(page: HoursPage, qtbot: QtBot) -> None:
    second = Equipment(id="still-2", name="Small still", hour="still-hour")
    page.desk.do(Step("second", (put("equipment", second),)))
    known(page, qtbot)
    assert shown(page, "machine/still-2", "took") == f"with {row(page, STILL).name}"
    type_hours(page, qtbot, "machine/still-2", "2")
    assert row(page, STILL).there is None  # one of the two is not said
    type_hours(page, qtbot, STILL, "3")
    known(page, qtbot)
    assert row(page, STILL).there == 5


def test_without_sales_hours_are_typed_all_the_same(empty_desk: Desk, qtbot: QtBot) -> None:
    empty_desk.do(Step("still", (put("equipment", Equipment(id="still", name="Still", hour="still-hour")),)))
    page = HoursPage(empty_desk, Standing(empty_desk))
    qtbot.addWidget(page)
    with qtbot.waitExposed(page):
        page.show()
    assert page.drinks.rowCount() == 0
    assert isinstance(empty_desk.document.book, Book)
    assert "type them in the table" in page.said.text()
    type_hours(page, qtbot, PEOPLE, "12,5")
    assert empty_desk.document.book.house is not None
    assert empty_desk.document.book.house.prep_hours == Decimal("12.5")
    assert page.desk.document.day == DAY
