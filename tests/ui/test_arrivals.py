"""Arrivals in the cellar: a supplier's file is read, looked at, changed by hand, taken and taken back, by keyboard."""

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDropEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from costing.book.buying import Claim, ColumnMap, ImportedFile, Purchase
from costing.book.records import Quote, Supplier
from costing.paths import sample_book
from tests.ui.test_cellar import Key, cellar, type_into
from ui.desk import Where
from ui.frame.dropping import Dropping
from ui.jobs import begin_resting
from ui.places.cellar import CellarPlace
from ui.places.cellar.arrivals.case import Case
from ui.places.cellar.arrivals.review import ReviewPage

__all__ = ["cellar"]
PRICES = sample_book().parent / "prices"
LIST, INVOICE = "ropewalk-casks-2026-12-01.xlsx", "ropewalk-casks-invoice-2026-11-17.xml"


def settled(qtbot: QtBot, review: ReviewPage) -> ReviewPage:
    """The review once what it reads is read."""

    def ready() -> None:
        begin_resting()
        assert review._job is None
        assert review.judged is not None

    qtbot.waitUntil(lambda: _holds(ready), timeout=10_000)
    review.pages.setCurrentWidget(review.lines_page)
    qtbot.waitUntil(lambda: not review.list.table.visibleRegion().isEmpty())
    return review


def _holds(check: Callable[[], None]) -> bool:
    try:
        check()
    except AssertionError:
        return False
    return True


def opened(cellar: CellarPlace, qtbot: QtBot, name: str, supplier: str = "") -> ReviewPage:
    assert cellar.show_item(Where("arriving", str(PRICES / name)))
    review = settled(qtbot, cellar.arrivals.review)
    if supplier:
        review.who.setText(supplier)
        qtbot.keyClick(review.who, Key.Key_Return)
        settled(qtbot, review)
    return review


def taken(review: ReviewPage, fate: str) -> int:
    assert review.judged is not None
    return sum(line.fate == fate for line in review.judged.plan.lines)


def test_a_list_is_stopped_until_somebody_says_who_sent_it(cellar: CellarPlace, qtbot: QtBot) -> None:
    review = opened(cellar, qtbot, LIST)
    assert not review.stops.isHidden()
    assert not review.all.isEnabled()
    review.who.setText("Nobody")
    qtbot.keyClick(review.who, Key.Key_Return)
    assert review.who.refusal is not None
    review.who.setText("Ropewalk Casks")
    qtbot.keyClick(review.who, Key.Key_Return)
    settled(qtbot, review)
    assert review.stops.isHidden()
    assert review.all.isEnabled()


def test_all_that_is_sound_is_taken_and_undone(cellar: CellarPlace, qtbot: QtBot) -> None:
    document = cellar.desk.document
    before = document.book
    review = opened(cellar, qtbot, LIST, "Ropewalk Casks")
    assert review.judged is not None
    sound = taken(review, "sound")
    assert sound > 5
    assert review.all.text() == f"Take {sound} lines"
    assert [e for e in review.judged.effect.serves if e.moves]
    assert review.effect.rows.rowCount() > 3
    review.take_all()
    assert not cellar.arrivals.reviewing
    new = [q for q in document.book.all(Quote).values() if q.file]
    assert len(new) == sound
    (file,) = document.book.all(ImportedFile).values()
    assert file.read == file.imported + file.held + file.ignored
    assert [m.supplier for m in document.book.all(ColumnMap).values()] == ["casks"]
    assert cellar.arrivals.rows.rowCount() == 1
    document.undo()
    assert document.book == before
    assert cellar.arrivals.rows.rowCount() == 0


def test_the_supplier_is_known_again_by_the_headings(cellar: CellarPlace, qtbot: QtBot) -> None:
    opened(cellar, qtbot, LIST, "Ropewalk Casks").take_all()
    review = opened(cellar, qtbot, LIST)
    assert review.judged is not None
    assert review.judged.plan.supplier == "casks"
    assert "was read on" in review.said.text()
    assert taken(review, "sound") == 0, "what was taken is the price there is"


def test_a_line_is_turned_by_enter(cellar: CellarPlace, qtbot: QtBot) -> None:
    review = opened(cellar, qtbot, LIST, "Ropewalk Casks")
    assert review.judged is not None
    first = next(line for line in review.judged.plan.lines if line.fate == "sound")
    sound = taken(review, "sound")
    table = review.list.table
    table.choose(str(first.n))
    qtbot.keyClick(table, Key.Key_Return)
    assert taken(review, "sound") == sound - 1
    qtbot.keyClick(table, Key.Key_Return)
    assert taken(review, "sound") == sound
    settled(qtbot, review)


def test_a_name_typed_over_says_what_a_line_means(cellar: CellarPlace, qtbot: QtBot) -> None:
    review = opened(cellar, qtbot, LIST, "Ropewalk Casks")
    assert review.judged is not None
    strange = next(line for line in review.judged.plan.lines if not line.good and line.quote is None)
    type_into(qtbot, review.list.table, str(strange.n), "good", "Moon dust")
    assert "Moon dust" in review.list.fault.text()
    review.rows.drop_refused(review.list.table.currentIndex())
    type_into(qtbot, review.list.table, str(strange.n), "good", "Dark rum 42 %")
    settled(qtbot, review)
    assert review.judged is not None
    line = next(found for found in review.judged.plan.lines if found.n == strange.n)
    assert (line.good, line.match.how) == ("dark-rum", "hand")


def test_one_line_alone(cellar: CellarPlace, qtbot: QtBot) -> None:
    review = opened(cellar, qtbot, LIST, "Ropewalk Casks")
    assert review.judged is not None
    first = next(line for line in review.judged.plan.lines if line.fate == "sound")
    review.list.table.choose(str(first.n))
    review.take_one()
    settled(qtbot, review)
    assert cellar.arrivals.reviewing, "the rest of the file is still there"
    assert [q.good for q in cellar.desk.document.book.all(Quote).values() if q.file] == [first.good]


def test_an_invoice_is_posted_with_what_came(cellar: CellarPlace, qtbot: QtBot) -> None:
    review = opened(cellar, qtbot, INVOICE)
    assert review.judged is not None
    assert review.judged.plan.supplier == "casks", "the document says who sent it"
    rum = next(line for line in review.judged.plan.lines if line.good == "white-rum")
    assert rum.packs is not None
    assert rum.packs > 1
    type_into(qtbot, review.list.table, str(rum.n), "delivered", "99")
    assert "billed" in review.list.fault.text()
    review.rows.drop_refused(review.list.table.currentIndex())
    type_into(qtbot, review.list.table, str(rum.n), "delivered", str(rum.packs - 1))
    settled(qtbot, review)
    review.take_all()
    book = cellar.desk.document.book
    (bought,) = book.all(Purchase).values()
    assert bought.number == "RC-2026-4471"
    sorts = {claim.sort for claim in book.all(Claim).values()}
    assert sorts == {"quantity", "price"}
    assert cellar.arrivals.owed.rows.rowCount() >= 3, "the claims, and deposits that stand"


def test_a_claim_is_settled_and_dropped(cellar: CellarPlace, qtbot: QtBot) -> None:
    opened(cellar, qtbot, INVOICE).take_all()
    page = cellar.arrivals.owed
    page.refresh()
    (claim,) = cellar.desk.document.book.all(Claim).values()
    assert page.list.table.choose(claim.id)
    row = page.current()
    assert row is not None
    assert not page.settle(row, "1000")
    assert page.settle(row, "0.10")
    assert (
        cellar.desk.document.book.all(Claim)[claim.id].open
        == claim.amount - cellar.desk.document.book.all(Claim)[claim.id].settled[0].amount
    )
    page.list.table.choose(claim.id)
    page.drop()
    assert cellar.desk.document.book.all(Claim)[claim.id].dropped


def test_what_a_column_means_is_said_and_remembered(cellar: CellarPlace, qtbot: QtBot) -> None:
    review = opened(cellar, qtbot, "north-quay-week-49.csv", "North Quay Fruit")
    reading = review.reading
    assert reading.rows.rowCount() == 5
    review.pages.setCurrentWidget(reading)
    type_into(qtbot, reading.list.table, "4", "role", "nonsense")
    assert "nothing that a column may mean" in reading.list.fault.text()
    reading.rows.drop_refused(reading.list.table.currentIndex())
    type_into(qtbot, reading.list.table, "3", "role", "price of one piece")
    settled(qtbot, review)
    assert review.judged is not None
    assert review.judged.plan.columns is not None
    assert {u.role for u in review.judged.plan.columns.uses if u.column == 3} == {"price_each"}


def test_tax_is_asked_once_and_then_known(cellar: CellarPlace, qtbot: QtBot) -> None:
    book = cellar.desk.document.book
    assert book.all(Supplier)["casks"].tax == "ex"
    review = opened(cellar, qtbot, LIST, "Ropewalk Casks")
    assert review.tax.currentData() == "ex"
    review.tax.setCurrentIndex(review.tax.findData("inc"))
    review.rate.setText("19 %")
    review._taxed()
    settled(qtbot, review)
    assert review.judged is not None
    sound = [line for line in review.judged.plan.lines if line.quote is not None]
    assert {line.quote.tax for line in sound if line.quote} == {"inc"}


def test_a_file_that_cannot_be_read_is_said_and_put_away(cellar: CellarPlace, qtbot: QtBot, tmp_path: Path) -> None:
    empty = tmp_path / "empty.csv"
    empty.write_bytes(b"")
    with qtbot.waitSignal(cellar.desk.refused) as told:
        cellar.show_item(Where("arriving", str(empty)))
    assert told.args is not None
    assert "empty.csv" in told.args[0].text
    qtbot.waitUntil(lambda: not cellar.arrivals.reviewing)
    with qtbot.waitSignal(cellar.desk.refused):
        assert not cellar.show_item(Where("arriving", str(tmp_path / "gone.csv")))


def test_reading_can_be_stopped(cellar: CellarPlace, qtbot: QtBot) -> None:
    cellar.pages.setCurrentWidget(cellar.arrivals)
    rows = "".join(f"A{n};Thing {n};6 x 70 cl;12,50\n" for n in range(60_000))
    cellar.arrivals.open_case(Case(name="long.csv", data=("Code;Name;Pack;Price\n" + rows).encode()))
    qtbot.wait(50)
    cellar.arrivals.review.cancel()
    assert not cellar.arrivals.reviewing
    assert cellar.arrivals.review.judged is None


def test_a_pasted_list_goes_the_same_way(cellar: CellarPlace, qtbot: QtBot) -> None:
    cellar.pages.setCurrentWidget(cellar.arrivals)
    QApplication.clipboard().setText("Artikel\tGebinde\tPreis\nWhite rum 40 %\t6 x 0,7 l\t85,00\n")
    cellar.arrivals.paste()
    review = settled(qtbot, cellar.arrivals.review)
    assert review.judged is not None
    assert review.judged.plan.lines[0].good == "white-rum"


def test_a_dropped_file_is_looked_at(cellar: CellarPlace, qtbot: QtBot) -> None:
    dropping = Dropping(cellar, cellar.desk)
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(PRICES / LIST)), QUrl.fromLocalFile(str(PRICES / INVOICE))])
    event = QDropEvent(QPointF(QPoint(5, 5)), Qt.DropAction.CopyAction, data, Qt.MouseButton.LeftButton,
                       Qt.KeyboardModifier.NoModifier)  # fmt: skip
    with qtbot.waitSignal(cellar.desk.went) as told:
        assert dropping.eventFilter(cellar, event)
    assert told.args == [Where("arriving", str(PRICES / LIST))]


@pytest.mark.parametrize("name", sorted(p.name for p in PRICES.iterdir() if p.suffix != ".py"))
def test_every_file_of_the_sample_is_read(cellar: CellarPlace, qtbot: QtBot, name: str) -> None:
    review = opened(cellar, qtbot, name)
    assert review.judged is not None
    plan = review.judged.plan
    assert plan.read == plan.count("sound") + plan.count("held") + plan.count("ignored")
    review.close_file()
