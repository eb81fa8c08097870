"""Logging a batch, what batches teach the recipe, and another size."""

from datetime import date
from decimal import Decimal
from pathlib import Path

import pypdfium2
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester
from pytestqt.qtbot import QtBot

from costing.book.records import BatchLog, Preparation
from costing.edits import batches
from costing.ledger.batches import as_made
from costing.ledger.scale import scaled
from ui.desk import Desk
from ui.models.table import REFUSED_ROLE, Written
from ui.places.stillroom.batch_rows import apart, cause, judged, log_lines
from ui.places.stillroom.batches import BatchesPage
from ui.places.stillroom.scale_page import factor_of

RUM = "pineapple-distillate"


@pytest.fixture
def page(desk: Desk, qtbot: QtBot) -> BatchesPage:
    page = BatchesPage(desk)
    qtbot.addWidget(page)
    for model in (page.rows, page.lines, page.scale.rows):
        QAbstractItemModelTester(model, page)
    page.resize(1000, 600)
    page.show_preparation(RUM)
    page.show()
    desk.document.changed.connect(lambda _: page.show_preparation(page.preparation))
    return page


def logs(desk: Desk) -> dict[str, BatchLog]:
    return dict(desk.document.book.all(BatchLog))


def row_of(page: BatchesPage, stage: str, name: str) -> int:
    return next(n for n, r in enumerate(page.lines.rows()) if r.stage == stage and r.name == name)


def column(page: BatchesPage, key: str) -> int:
    return next(n for n, c in enumerate(page.lines.columns) if c.key == key)


def test_the_list_says_what_each_batch_made_as_the_ledger_does(page: BatchesPage, desk: Desk) -> None:
    reckoning = desk.document.reckoning
    assert page.rows.rowCount() == sum(log.preparation == RUM for log in logs(desk).values())
    for row in page.rows.rows():
        output = as_made(reckoning, row.log).ledger.outputs.get(RUM)
        assert (output.made if output else None) == row.made
        assert row.expected == reckoning.ledgers[RUM].outputs[RUM].made


def test_a_batch_is_logged_line_by_line_and_undone(page: BatchesPage, desk: Desk, qtbot: QtBot) -> None:
    before = desk.document.book
    page.log_new()
    log = logs(desk)[page.log]
    assert (log.preparation, log.day, log.revision) == (RUM, desk.document.day, desk.document.head - 1)
    at = row_of(page, "trim", "out.mass")
    assert page.lines.write([Written(at, 1, "3.55 kg less 0.40 kg")]) == 1
    fact = dict(logs(desk)[page.log].stages[0].readings)["out.mass"]
    assert (fact.text, str(fact.value)) == ("3.55 kg less 0.40 kg", "3.15")
    assert apart(page.lines.row(at)) == pytest.approx(3.15 / page.lines.row(at).expected - 1)  # type: ignore[operator]
    inn = next(n for n, r in enumerate(page.lines.rows()) if r.sort == "in")
    assert page.lines.write([Written(inn, 1, "6.2 kg")]) == 1
    assert page.lines.write([Written(inn, column(page, "lot"), "NQ-261101")]) == 1
    added = logs(desk)[page.log].stages[0].added[0]
    assert (added.amount.text, added.lot) == ("6.2 kg", "NQ-261101")
    assert "where" in page.said.text()
    for _ in range(4):
        desk.undo()
    assert desk.document.book == before


def test_a_text_that_is_no_weight_stays_and_says_why(page: BatchesPage, desk: Desk) -> None:
    before = desk.document.book
    at = row_of(page, "trim", "out.mass")
    assert page.lines.write([Written(at, 1, "quite a lot")]) == 0
    assert page.lines.index(at, 1).data() == "quite a lot"
    assert page.lines.index(at, 1).data(REFUSED_ROLE) is not None
    assert desk.document.book == before


def test_a_method_that_cannot_work_on_the_liquid_is_refused_with_the_reason(page: BatchesPage, desk: Desk) -> None:
    at = row_of(page, "infuse", "out.abv")
    assert page.lines.write([Written(at, 1, "27.1 % vol")]) == 1
    at, how = row_of(page, "infuse", "out.abv"), column(page, "how")
    assert page.lines.write([Written(at, how, "alcoholmeter")]) == 0, "the infusion is sweet: it would read too low"
    refusal = page.lines.index(at, how).data(REFUSED_ROLE)
    assert refusal.cause
    page.lines.drop_refused(page.lines.index(at, how))
    assert page.lines.write([Written(at, how, "distilled sample")]) == 1


def test_figures_follow_while_a_reading_is_typed_and_nothing_is_written(
    page: BatchesPage, desk: Desk, qtbot: QtBot
) -> None:
    head, said = desk.document.head, page.said.text()
    at = row_of(page, "roast", "out.mass")
    page._typing(page.lines.key(at), 1, "1.2 kg")
    qtbot.waitUntil(lambda: page.said.text() != said)
    assert "typed" in page.said.text()
    assert desk.document.head == head


def test_expected_figures_are_the_recipes_own(desk: Desk) -> None:
    figures = desk.document.figures
    log = next(log for log in logs(desk).values() if log.preparation == RUM)
    line = {x.stage: x for x in figures.reckoning.ledgers[RUM].lines}["distil"]
    rows = {(r.stage, r.name): r for r in log_lines(figures, log)}
    assert rows["distil", "out.mass"].expected == pytest.approx(line.on.matter.mass)
    assert rows["distil", "out.abv"].expected == pytest.approx(line.on.matter.abv)


class TestAnotherSize:
    """How large is meant, and what follows."""

    @pytest.mark.parametrize(
        ("text", "factor"),
        [("2", 2.0), ("1,5 x", 1.5), ("3.48208 l", 2.0), ("12 kg Pineapple", 2.0), ("6 l white rum 40 %", 2.0)],
    )  # fmt: skip
    def test_said_in_many_ways(self, text: str, factor: float, desk: Desk) -> None:
        assert float(factor_of(text, desk.document.figures, RUM)) == pytest.approx(factor, rel=1e-4)

    @pytest.mark.parametrize("text", ["", "much", "-2", "0 l", "2 kg moonshine"])
    def test_what_cannot_be_told_is_said(self, text: str, desk: Desk) -> None:
        with pytest.raises(ValueError):  # noqa: PT011  a Refusal is one, and each says its own
            scaled(desk.document.reckoning, RUM, factor_of(text, desk.document.figures, RUM))

    def test_it_stands_beside_the_standard_batch(self, page: BatchesPage, desk: Desk) -> None:
        page.scale.large.setText("2")
        page.scale._typed("2")
        rows = {r.key: r for r in page.scale.rows.rows()}
        output = scaled(desk.document.reckoning, RUM, factor_of("2", desk.document.figures, RUM)).ledger.outputs[RUM]
        assert rows["makes"].scaled == desk.format.amount(output.made, "l")
        assert rows["trim in 0"].scaled == "12 kg"


def test_a_log_is_found_by_its_page(page: BatchesPage, desk: Desk, qtbot: QtBot) -> None:
    last = page.rows.key(page.rows.rowCount() - 1)
    page.show_batch(last)
    assert page.log == last
    qtbot.keyClick(page.list.table, Qt.Key.Key_Delete)
    assert last not in logs(desk)
    desk.undo()
    assert last in logs(desk)


def test_a_lot_alone_says_that_what_the_recipe_says_went_in(page: BatchesPage, desk: Desk) -> None:
    page.log_new()
    inn = next(n for n, r in enumerate(page.lines.rows()) if r.sort == "in")
    assert page.lines.write([Written(inn, column(page, "lot"), "NQ-1")]) == 1
    (added,) = logs(desk)[page.log].stages[0].added
    assert (added.amount.text, added.lot) == ("6.000 kg", "NQ-1")


def test_beyond_measuring_error_the_recipes_figures_are_named(page: BatchesPage) -> None:
    rows = {(r.stage, r.name): r for r in page.lines.rows()}
    form = page.desk.format
    assert "47" in cause(rows["trim", "out.mass"])
    assert cause(rows["distil", "out.abv"]) == ""
    assert "within" in judged(rows["distil", "out.abv"], form)
    page.read.table.setCurrentIndex(page.lines.index(row_of(page, "trim", "out.mass"), 1))
    assert "47" in page.said.text()


def test_a_batch_is_judged_by_the_recipe_of_its_day(page: BatchesPage, desk: Desk) -> None:
    page.show_preparation("lime-juice")
    old = page.rows.row(page.rows.rowCount() - 1)
    assert old.log.day == date(2026, 3, 11)
    page.show_batch(old.log.id)
    version = desk.document.book.on(old.log.day).preparations["lime-juice"][1]
    wanted = dict(version.stages[0].readings)["out.mass"].value
    assert page.lines.row(row_of(page, "juice", "out.mass")).expected == pytest.approx(float(wanted))
    assert desk.format.day(old.log.day) in page.said.text()


def test_what_the_recipe_has_no_place_for_is_shown_all_the_same(page: BatchesPage, desk: Desk) -> None:
    book, log = desk.document.book, page.log
    desk.do(batches.set_reading(book, log, "smoke", "out.mass", "1 kg"))
    desk.do(batches.set_added(desk.document.book, log, "trim", "lime", "2 kg", "X"))
    rows = {(r.stage, r.name): r for r in page.lines.rows()}
    assert rows["smoke", "out.mass"].text == "1 kg"
    assert (rows["trim", "lime"].text, rows["trim", "lime"].lot) == ("2 kg", "X")


def test_the_mean_of_the_last_batches_goes_into_the_recipe(page: BatchesPage, desk: Desk) -> None:
    before = desk.document.book
    assert not page.mean.isEnabled()
    page.read.table.setCurrentIndex(page.lines.index(row_of(page, "roast", "out.mass"), 1))
    assert page.mean.isEnabled()
    assert [(mean.n, mean.fact.text) for _, mean in page.mean.means()] == [(4, "1.938 kg"), (3, "1.931 kg")]
    assert page.mean.write(3, desk.document.day)
    versions = desk.document.book.all(Preparation)[RUM].versions
    assert versions[-1].since == desk.document.day
    fact = dict(versions[-1].stages[1].readings)["out.mass"]
    assert (fact.text, fact.mark) == ("1.931 kg", "measured")
    desk.undo()
    assert desk.document.book == before


class TestThisSize:
    """What is done with another size."""

    def test_its_sheet_is_saved_with_its_own_amounts(
        self, page: BatchesPage, desk: Desk, qtbot: QtBot, tmp_path: Path
    ) -> None:
        head, path = desk.document.head, tmp_path / "sheet.pdf"
        page.scale.large.setText("2")
        page.scale._typed("2")
        told: list[str] = []
        desk.told.connect(told.append)
        page.scale.save_sheet(path)
        qtbot.waitUntil(lambda: bool(told), timeout=20_000)
        pdf = pypdfium2.PdfDocument(path.read_bytes())
        text = pdf[0].get_textpage().get_text_range()
        pdf.close()
        assert "2 times the standard one" in text
        assert "12 kg" in text
        assert desk.document.head == head

    def test_where_no_file_can_be_written_it_is_said(
        self, page: BatchesPage, desk: Desk, qtbot: QtBot, tmp_path: Path
    ) -> None:
        page.scale._typed("2")
        with qtbot.waitSignal(desk.refused, timeout=20_000):
            page.scale.save_sheet(tmp_path / "nowhere" / "sheet.pdf")
        qtbot.waitUntil(page.scale.sheet.isEnabled)

    def test_it_becomes_the_standard_batch_and_is_undone(self, page: BatchesPage, desk: Desk) -> None:
        before = desk.document.book
        page.scale._typed("2")
        made = scaled(desk.document.reckoning, RUM, Decimal(2)).ledger.outputs[RUM].made
        assert page.scale.make_standard(None)
        assert desk.document.reckoning.ledgers[RUM].outputs[RUM].made == pytest.approx(made)
        assert page.scale.large.text() == "1"
        desk.undo()
        assert desk.document.book == before

    def test_hands_and_machine_are_counted_by_runs(self, page: BatchesPage) -> None:
        page.scale._typed("2")
        rows = {r.key: r for r in page.scale.rows.rows()}
        assert (rows["distil alone"].standard, rows["distil alone"].scaled) == ("4.5 h", "7.5 h")
        page.scale._typed("much")
        assert not page.scale.keep.isEnabled()
