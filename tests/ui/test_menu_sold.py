"""The page of what was sold: files of a till are read, looked at, answered, named and taken, by keyboard."""

import csv
from collections import Counter
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QFileDialog, QLabel, QLineEdit, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from costing.book.book import Book
from costing.book.records import Serve
from costing.book.selling import Button, SalesPeriod, Till
from costing.paths import sample_book
from costing.store import create
from sample_data import till
from tests.ui.conftest import DAY, DictMemory
from tests.ui.walking import seen, spoken, takes_focus
from ui.desk import Desk, Where
from ui.document import Document
from ui.format import Format, locale_of
from ui.frame.dropping import Dropping
from ui.jobs import begin_resting
from ui.models.table import RowTable
from ui.places.menu.sales.meaning import meaning_of, meaning_text, offers, read_meaning
from ui.places.menu.sales.page import SoldPage
from ui.places.menu.sales.review import NOTES, READING, ReviewPage
from ui.places.menu.standing import Standing
from ui.whys import Trail
from ui.widgets.table import DataTable

Key, Held = Qt.Key, Qt.KeyboardModifier
CONTROL, BOTH = Held.ControlModifier, Held.ControlModifier | Held.ShiftModifier
FILES = sorted((sample_book().parent / "sales").glob("*.csv"))
D = Decimal
HEAD = "Business day,Code,Item,Qty,Gross,Discount,Net,VAT,Flag"


@pytest.fixture
def without() -> tuple[str, ...]:
    """Kinds of record that the book has none of."""
    return ("sales",)


@pytest.fixture
def page(
    sample: Book, without: tuple[str, ...], tmp_path: Path, memory: DictMemory, qapp: QApplication, qtbot: QtBot
) -> Iterator[SoldPage]:
    """The page on the sample bar, seen, with the keyboard where it begins."""
    kinds = {"house", "serve", "menu", "sales", "button", "till"} - set(without)
    book = Book({key: record for key, record in sample.records.items() if key[0] in kinds})
    with create(tmp_path / "bar.stillroom", book) as store:
        document = Document(store, DAY.replace(day=28), path=tmp_path / "bar.stillroom")
        desk = Desk(document, Format(locale_of("en"), "EUR"), memory, document)
        page = SoldPage(desk, Standing(desk, desk))
        qtbot.addWidget(page)
        page.resize(1080, 560)
        with qtbot.waitExposed(page):
            page.show()
        page.activateWindow()
        page.first().setFocus()
        yield page
        document.deleteLater()


unnamed = pytest.mark.parametrize("without", [("sales", "button", "till")])
with_sales = pytest.mark.parametrize("without", [()])


def settled(page: SoldPage, qtbot: QtBot) -> ReviewPage:
    """The review once what it reads is read, and what it takes is taken."""

    def ready() -> bool:
        begin_resting()
        return page.review._job is None and not page.review.taking.going

    qtbot.waitUntil(ready, timeout=10_000)
    return page.review


def opened(page: SoldPage, qtbot: QtBot, *paths: Path) -> ReviewPage:
    """Files that are looked at."""
    assert page.open_files(paths)
    return settled(page, qtbot)


def week(folder: Path, *rows: str, name: str = "week.csv", head: str = HEAD) -> Path:
    """A file of a till."""
    path = folder / name
    path.write_text("\n".join([head, *rows]))
    return path


def press(key: Qt.Key, held: Qt.KeyboardModifier = Held.NoModifier) -> None:
    """A key where the keyboard is."""
    at = QApplication.focusWidget()
    assert at is not None
    QTest.keyClick(at, key, held)


def shown(table: DataTable, row: str, key: str) -> str:
    """What the cell of a row says; rows by what their first cell says."""
    model: RowTable[object] = table.rows
    column = next(n for n, c in enumerate(model.columns) if c.key == key)
    at = next(n for n in range(model.rowCount()) if model.index(n, 0).data() == row)
    return str(model.index(at, column).data())


def come_to(table: DataTable, row: str, key: str) -> None:
    """Go to a cell."""
    model: RowTable[object] = table.rows
    column = next(n for n, c in enumerate(model.columns) if c.key == key)
    at = next(n for n in range(model.rowCount()) if model.index(n, 0).data() == row)
    table.come_to(model.index(at, column))
    table.setFocus()


def type_over(qtbot: QtBot, table: DataTable, row: str, key: str, text: str) -> None:
    """Type into a cell, Enter."""
    come_to(table, row, key)
    press(Key.Key_F2)
    (editor,) = editors(table)
    editor.setText(text)
    editor.setModified(True)
    QTest.keyClick(editor, Key.Key_Return)
    qtbot.waitUntil(lambda: not editors(table))


def editors(table: DataTable) -> list[QLineEdit]:
    """Cells that are typed into."""
    return [editor for editor in table.viewport().findChildren(QLineEdit) if editor.isVisible()]


def periods(page: SoldPage) -> dict[str, SalesPeriod]:
    """Periods of the book."""
    return dict(page.desk.document.book.all(SalesPeriod))


def told(page: SoldPage) -> list[str]:
    """What is said in passing from now on."""
    said: list[str] = []
    page.desk.told.connect(said.append)
    return said


def test_twelve_weeks_in_three_keys_and_back(
    page: SoldPage, sample: Book, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = page.desk.document.book
    button = page.first()
    assert isinstance(button, QPushButton), "an empty page says what to do first"
    assert button.hasFocus()
    monkeypatch.setattr(QFileDialog, "getOpenFileNames", lambda *_: ([str(path) for path in FILES], ""))
    press(Key.Key_O, BOTH)
    review = settled(page, qtbot)
    assert review.file_list.table.rows.rowCount() == 13
    assert review.head.title.text() == "12 files"
    assert "0 wait" in review.head.said.text()
    assert "All 96 totals are what the rows add up to." in review.head.said.text()
    assert review.all.text() == "Take 12 files"
    assert review.buttons.list.table.hasFocus()
    said = told(page)
    press(Key.Key_Return, CONTROL)
    settled(page, qtbot)
    assert periods(page) == sample.all(SalesPeriod)
    assert said[-1] == "12 files are taken. What counts now: 12 periods, 84 days, 2026-08-31 to 2026-11-22."
    assert page.list.table.hasFocus()
    # what the file itself says, added up by another reader: rows of drinks that were neither given nor voided
    with FILES[-1].open(newline="") as file:
        rows = [row for row in csv.DictReader(file.readlines()[3:]) if row["PLU"]]
    sells = {plain["code"] for plain in till.BUTTONS if "parts" in plain}
    net = sum(D(row["Net"]) for row in rows if row["PLU"] in sells)
    sold = sum(int(row["Qty"]) for row in rows if row["PLU"] in sells and row["Flag"] not in ("C", "S"))
    given = sum(int(row["Qty"]) for row in rows if row["PLU"] in sells and row["Flag"] in ("C", "S"))
    table = page.list.table
    first = "2026-11-16 to 2026-11-22"
    cells = [shown(table, first, key) for key in ("file", "waiting", "count", "net", "given")]
    assert cells == ["2026-W47.csv", "0", f"{sold:,}", f"{net:,.2f}", str(given)]
    assert sum(int(shown(table, first, key)) for key in ("mapped", "ignored", "waiting")) == int(
        shown(table, first, "read")
    )
    for _ in FILES:
        assert page.desk.undo()
    assert page.desk.document.book == before
    assert page.rows.rowCount() == 0


@unnamed
def test_buttons_are_named_once_for_all_files(page: SoldPage, sample: Book, qtbot: QtBot) -> None:
    review = opened(page, qtbot, *FILES[:2])
    table, parts = review.buttons.list.table, {p["code"]: p["parts"][0]["serve"] for p in till.BUTTONS if "parts" in p}
    assert review.buttons.waiting() > 25
    assert table.hasFocus()
    assert "rows wait" in review.all.text()
    names = {serve.id: serve.name for serve in sample.all(Serve).values()}
    for row in review.buttons.rows.rows():  # what it may mean where that is so; else its name is typed
        if not row.waits:
            continue
        meant = parts.get(row.seen.code)
        if meant is None or (row.seen.suggested and row.seen.suggested[0].serve == meant):
            come_to(table, row.seen.text, "text")
            press(Key.Key_Return)
        else:
            type_over(qtbot, table, row.seen.text, "means", names[meant])
    assert review.buttons.waiting() == 0
    assert shown(table, "GIFT CARD 50", "means") == "left: gift card, deposit, tip, discount"
    settled(page, qtbot)
    assert review.all.text() == "Take 2 files"
    press(Key.Key_Return, CONTROL)
    settled(page, qtbot)
    known = {(b.code, b.parts[0].serve) for b in page.desk.document.book.all(Button).values() if b.parts}
    assert known >= {(code, serve) for code, serve in parts.items() if code in {c for c, _ in known}}
    assert {p.unmapped for p in periods(page).values()} == {0}
    made: Counter[str] = Counter()
    theirs: Counter[str] = Counter()
    for counted, of in ((made, periods(page)), (theirs, sample.all(SalesPeriod))):
        for period in of.values():
            if period.file in {path.name for path in FILES[:2]}:
                for one in period.sold:
                    counted[one.serve] += int(one.made)
    assert made == theirs


@unnamed
def test_what_is_typed_is_completed_and_refused(page: SoldPage, qtbot: QtBot) -> None:
    review = opened(page, qtbot, FILES[0])
    table = review.buttons.list.table
    assert not review.file_list.isVisible()
    first = str(table.rows.index(0, 0).data())
    type_over(qtbot, table, first, "means", "Moon water")
    assert "There is no “Moon water” here" in review.buttons.list.fault.text()
    press(Key.Key_Escape)
    type_over(qtbot, table, first, "means", "Harbour Light @ terrace menu + 2 × Quay Walnut")
    assert shown(table, first, "means") == "Harbour Light @ Terrace menu + 2 × Quay Walnut"
    type_over(qtbot, table, first, "means", "")
    assert shown(table, first, "means") == "waits"
    waits = review.buttons.waiting()
    come_to(table, first, "means")
    press(Key.Key_Return)
    assert shown(table, first, "means") == shown(table, first, "means").strip() != "waits"
    assert review.buttons.waiting() == waits - 1
    assert table.currentIndex().row() == 1, "on to the next that waits"
    settled(page, qtbot)


def test_a_meaning_is_typed_as_it_is_shown(sample: Book) -> None:
    for button in sample.all(Button).values():
        assert read_meaning(meaning_text(meaning_of(button), sample), sample) == meaning_of(button)
    said = "2 × Harbour Light @ Terrace menu 60 % + Quay Walnut 40 %"
    assert meaning_text(read_meaning(said, sample), sample) == said
    assert meaning_text(read_meaning("instead: harbour light", sample), sample) == "instead: Harbour Light"
    assert read_meaning("left: no ice", sample).reason == "modifier"
    for wrong in ("left: ", "left: whatever", "", "Harbour", "Harbour Light @ Moon"):
        with pytest.raises(ValueError, match=r"left|there is no"):
            read_meaning(wrong, sample)
    assert offers("harb", sample)[:2] == ["Harbour lager, 0.4 l", "Harbour Light"]
    assert "Quay Walnut + Harbour Light" in offers("Quay Walnut + harb", sample)
    assert offers("Harbour Light @ terr", sample) == ["Harbour Light @ Terrace menu"]
    assert offers("left: g", sample) == ["left: gift card, deposit, tip, discount", "left: something else"]


def test_the_same_days_are_replaced_and_an_overlap_is_refused(page: SoldPage, tmp_path: Path, qtbot: QtBot) -> None:
    opened(page, qtbot, FILES[0]).take_all()
    settled(page, qtbot)
    review = opened(page, qtbot, FILES[0])
    assert "are there already" in review.head.said.text()
    assert review.files.row(0).files[0].new is False
    review.close_files()
    text = FILES[0].read_text().splitlines()
    other = tmp_path / "again.csv"
    other.write_text("\n".join([*text[:4], *text[5:]]))
    review = opened(page, qtbot, other)
    assert "Takes the place of the sales of 2026-08-31 to 2026-09-06 (“2026-W36.csv”)" in review.head.said.text()
    assert shown(review.file_list.table, "again.csv", "state") == "replaces sales"
    review.close_files()
    days = tmp_path / "days.csv"
    days.write_text("\n".join([*text[:1], "2026-08-31 to 2026-09-02", *text[2:20]]))
    review = opened(page, qtbot, days)
    assert "2026-08-31 to 2026-09-02 overlaps 2026-08-31 to 2026-09-06, which is there already (“2026-W36.csv”)" in (
        questions(review)
    )
    assert not review.all.isEnabled()


def questions(review: ReviewPage) -> str:
    """What is asked."""
    return "\n".join(label.text() for label in review.questions.findChildren(QLabel) if label.isVisible())


def answer(page: SoldPage, qtbot: QtBot, part: str, key: str) -> None:
    """Answer the question that has ``part`` in it by the first letter of the answer."""

    def box() -> QComboBox | None:
        asked = page.review.questions.findChildren(QComboBox)
        return next((one for one in asked if part in one.accessibleName() and one.isVisible()), None)

    qtbot.waitUntil(lambda: box() is not None)
    combo = box()
    assert combo is not None
    combo.setFocus()
    QTest.keyClicks(combo, key)
    settled(page, qtbot)


def test_what_is_asked_is_answered_beside_the_question(page: SoldPage, tmp_path: Path, qtbot: QtBot) -> None:
    rows = ["03/04/2026;HARB LIGHT;2;33,000;Q", "05/04/2026;HARB LIGHT;;16,500;", "05/04/2026;TIDE TABL;1;12,500;"]
    review = opened(page, qtbot, FILES[0], week(tmp_path, *rows, head="Date;Item;Qty;Net;Flag"))
    files = review.file_list.table
    assert [shown(files, name, "state") for name in ("2026-W36.csv", "week.csv")] == ["ready", "3 questions"]
    assert files.currentIndex().row() == 2, "the file that asks is the one to look at"
    assert not review.one.isEnabled()
    assert isinstance(QApplication.focusWidget(), QComboBox)
    press(Key.Key_Down)
    popup = QApplication.activePopupWidget()
    assert popup is not None, "an arrow lists the answers and gives none"
    popup.close()
    page.activateWindow()
    for part, key in (("decimal mark", "a"), ("with the month", "d"), ("mark “Q”", "s")):
        answer(page, qtbot, part, key)
    qtbot.waitUntil(lambda: any(b.isVisible() for b in review.questions.findChildren(QPushButton)))
    (out,) = (b for b in review.questions.findChildren(QPushButton) if b.isVisible())
    assert out.text() == "leave this row out"
    out.click()
    settled(page, qtbot)
    answer(page, qtbot, "whether tax is", "t")  # one row alone is too little for its printed price to prove it
    assert not review.questions.isVisible(), questions(review)
    assert "3 rows read: 2 counted, 1 in no count (1 none of these), 0 wait." in review.head.said.text()
    assert "Tax and service are in its money, as was said" in review.head.said.text()
    assert review.buttons.list.table.hasFocus(), "with the last question answered"
    press(Key.Key_Return, BOTH)
    settled(page, qtbot)
    (period,) = periods(page).values()
    assert (period.file, period.since.isoformat(), period.until.isoformat()) == ("week.csv", "2026-04-03", "2026-04-05")
    assert [one.case.name for one in review.judged] == ["2026-W36.csv"], "the other file is still there"
    assert page.desk.undo()
    settled(page, qtbot)
    press(Key.Key_X, BOTH)
    assert page.stack.currentWidget() is page.home


def test_columns_marks_and_days_can_be_said(page: SoldPage, tmp_path: Path, qtbot: QtBot) -> None:
    review = opened(page, qtbot, week(tmp_path, "HARB LIGHT,2,33.00,void", head="What,How,Money,Note"))
    assert "say" in review.head.questions.findChildren(QPushButton)[0].text().lower()
    review.head.questions.columns_wanted.emit()
    table = review.reading.column_list.table
    assert review.pages.currentIndex() == READING
    assert table.hasFocus()
    for column, role in (("1", "button"), ("2", "how many"), ("3", "money after discount"), ("4", "mark of the row")):
        type_over(qtbot, table, column, "role", role)
        settled(page, qtbot)
    type_over(qtbot, table, "1", "role", "colour")
    assert "is nothing that a column may mean" in review.reading.column_list.fault.text()
    press(Key.Key_Escape)
    days = [f for f in review.questions.findChildren(QLineEdit) if f.isVisible()]
    assert [field.accessibleName() for field in days] == ["First day", "Last day"]
    for field, text in zip(days, ("2026-08-31", "2026-09-06"), strict=True):
        field.setFocus()
        QTest.keyClicks(field, text)
        press(Key.Key_Return)
    settled(page, qtbot)
    answer(page, qtbot, "whether tax is", "t")
    assert review.judged[0].ready
    marks = review.reading.mark_list.table
    review.pages.setCurrentIndex(READING)
    assert shown(marks, "void", "means") == "taken back before it was made"
    type_over(qtbot, marks, "void", "means", "sold")
    settled(page, qtbot)
    assert shown(marks, "void", "how") == "as was said"
    review.take_all()
    settled(page, qtbot)
    (period,) = periods(page).values()
    assert [(one.count, period.days) for one in period.sold] == [(D(2), 7)]
    kept = [t for t in page.desk.document.book.all(Till).values() if t.flags == (("void", "sold"),)]
    assert [use.role for use in kept[0].columns.uses] == ["item", "qty", "net", "flag"]


def test_rows_that_wait_are_named_where_they_stand(page: SoldPage, tmp_path: Path, qtbot: QtBot) -> None:
    rows = ["2026-08-31,101,HARB LIGHT,2,33.00,0,27.73,5.27,", "2026-08-31,777,NEW ONE,3,36.00,0,30.25,5.75,",
            "2026-08-31,777,NEW ONE,1,12.00,12.00,0.00,0.00,comp"]  # fmt: skip
    review = opened(page, qtbot, week(tmp_path, *rows))
    review.take_all()
    settled(page, qtbot)
    table = page.list.table
    assert shown(table, "2026-08-31", "waiting") == "2"
    page.detail.tabs.setCurrentWidget(page.detail.left_list)
    left = page.detail.left_list.table
    assert page.detail.tabs.tabText(1) == "In no count (2)"
    assert shown(left, "NEW ONE", "why") == "waits"
    type_over(qtbot, left, "NEW ONE", "means", "Tide Table")
    assert shown(table, "2026-08-31", "waiting") == "0"
    assert page.detail.left.total == 0
    (tide,) = (one for one in next(iter(periods(page).values())).sold if one.serve == "tide-table")
    assert (tide.count, tide.given) == (D(3), D(1))
    again = opened(page, qtbot, tmp_path / "week.csv").files.row(0).files[0]
    assert (again.ready, again.new) == (True, False), "as if it had been known when the file was read"
    page.review.close_files()
    page.detail.tabs.setCurrentWidget(page.detail.drink_list)
    assert [shown(page.detail.drink_list.table, "Tide Table", key) for key in ("count", "each", "prices", "given")] == [
        "3", "12.00", "3 at 12.00", "1",
    ]  # fmt: skip
    assert page.desk.undo()
    assert shown(table, "2026-08-31", "waiting") == "2"


@with_sales
def test_what_buttons_mean_is_changed_and_forgotten(page: SoldPage, qtbot: QtBot) -> None:
    press(Key.Key_B, BOTH)
    table = page.known.list.table
    assert table.hasFocus()
    assert shown(page.known.till_list.table, "Bar till", "marks").startswith("V: taken back before it was made")
    come_to(table, "OPEN BAR ITEM", "text")
    press(Key.Key_Delete)
    assert page.list.table.rows.rowCount() == 12
    waiting = [p.unmapped for p in periods(page).values()]
    assert sum(waiting) > 0
    assert page.desk.undo()
    assert not any(p.unmapped for p in periods(page).values())
    type_over(qtbot, table, "OPEN BAR ITEM", "means", "Harbour Light")
    assert shown(table, "OPEN BAR ITEM", "means") == "Harbour Light"
    after = sum(p.mapped for p in periods(page).values())
    assert page.desk.undo()
    assert after - sum(p.mapped for p in periods(page).values()) == sum(waiting), "counted in the same step"
    table.setFocus()
    press(Key.Key_Escape)
    assert page.list.table.hasFocus()
    assert page.show_item(Where("till", "bar-till"))
    assert page.known.till_list.table.hasFocus()


@with_sales
def test_a_period_is_explained_and_removed(page: SoldPage, qtbot: QtBot) -> None:
    table = page.list.table
    assert table.hasFocus()
    subjects: list[object] = []
    page.desk.explained.connect(subjects.append)
    come_to(table, "2026-11-16 to 2026-11-22", "net")
    press(Key.Key_Return)
    drinks = page.detail.drink_list.table
    assert drinks.hasFocus(), "Enter goes down into the period"
    come_to(drinks, "Harbour lager, 0.4 l", "count")
    figures = [trail_of(page, subject) for subject in subjects]
    assert figures[0].figure == shown(table, "2026-11-16 to 2026-11-22", "net")
    assert figures[1].title == "Harbour lager, 0.4 l sold, 2026-11-16 to 2026-11-22"
    lines = {line.text: line.figure for line in figures[1].lines}
    assert int(lines["made, which usage stands on"]) == int(lines["paid for, and stayed paid"]) + int(
        lines["given on the house or to staff"]
    )
    table.setFocus()
    press(Key.Key_Delete)
    assert table.rows.rowCount() == 11
    assert trail_of(page, subjects[1]).title == "These sales are not in the book any more"
    assert page.desk.undo()
    assert table.rows.rowCount() == 12


def trail_of(page: SoldPage, subject: object) -> Trail:
    """What a subject says."""
    found = subject.trail(page.desk.document.figures, page.desk.format)  # type: ignore[attr-defined]
    assert isinstance(found, Trail)
    return found


def test_a_folder_is_dropped_and_what_cannot_be_read_is_said(page: SoldPage, tmp_path: Path, qtbot: QtBot) -> None:
    folder = tmp_path / "till"
    folder.mkdir()
    (folder / "b.csv").write_bytes(FILES[1].read_bytes())
    (folder / "a.csv").write_bytes(b"\x00\x01\x02" * 50)
    (folder / "notes.md").write_text("none")
    window = QWidget()
    qtbot.addWidget(window)
    window.place_name = "menu"  # type: ignore[attr-defined]
    dropping = Dropping(window, page.desk)
    page.desk.went.connect(page.show_item)
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(folder))])
    drop = QDropEvent(QPointF(QPoint(5, 5)), Qt.DropAction.CopyAction, data, Qt.MouseButton.LeftButton, Held.NoModifier)
    assert dropping.eventFilter(window, drop)
    review = settled(page, qtbot)
    assert [one.case.name for one in review.judged] == ["a.csv", "b.csv"]
    assert shown(review.file_list.table, "a.csv", "state") == "cannot be read"
    assert "a.csv" in review.head.fault.text()
    assert review.all.text() == "Take 1 file"
    review.take_all()
    settled(page, qtbot)
    assert [p.file for p in periods(page).values()] == ["b.csv"]
    assert [one.case.name for one in review.judged] == ["a.csv"]
    review.close_files()
    said = told(page)
    empty = tmp_path / "nothing"
    empty.mkdir()
    assert not page.open_files([empty])
    assert "holds none of .csv" in said[-1]
    assert page.desk.memory.get("sales/folder") is not None


def test_reading_is_stopped_and_notes_are_kept(page: SoldPage, tmp_path: Path, qtbot: QtBot) -> None:
    page.open_files(FILES)
    assert page.review.waiting.isVisible()
    page.review.stop.click()
    assert page.stack.currentWidget() is page.home
    assert page.review.cases == []
    row = "2026-08-31,101,HARB LIGHT,-1,-16.50,0,-13.87,-2.63,"
    review = opened(page, qtbot, week(tmp_path, "2026-08-31,101,HARB LIGHT,2,33.00,0,27.73,5.27,", row))
    assert review.pages.tabText(NOTES) == "To know (1)"
    week(tmp_path, row.replace("-", "").replace("20260831", "2026-08-31"))
    assert len(opened(page, qtbot, tmp_path / "week.csv").rows.rows.rows()) == 1, "what comes again is read again"
    review = opened(page, qtbot, week(tmp_path, "2026-08-31,101,HARB LIGHT,2,33.00,0,27.73,5.27,", row))
    assert "taken as refunds of drinks that were made: 1" in review.notes.toPlainText()
    assert review.rows.rows.rowCount() == 2
    page.desk.document.set_day(DAY)
    settled(page, qtbot)
    assert review.judged, "another day judges anew"


@with_sales
def test_everything_has_a_name_and_it_stands_as_it_stood(page: SoldPage, qtbot: QtBot) -> None:
    come_to(page.list.table, "2026-10-12 to 2026-10-18", "days")
    for show in (page._home, page.show_buttons, lambda: opened(page, qtbot, *FILES[:2])):
        show()
        if page.review.judged:
            page.review.file_list.table.come_to(page.review.files.index(1, 0))
            page.review.pages.setCurrentIndex(READING)
        nameless = [type(w).__name__ for w in seen(page) if takes_focus(w) and not spoken(w)]
        assert nameless == []
    again = SoldPage(page.desk, page.standing)
    qtbot.addWidget(again)
    again.restore_state(page.save_state())
    chosen = again._period()
    assert chosen is not None
    assert chosen.since.isoformat() == "2026-10-12"
