"""Logging a batch, another size of it, and two of them compared."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester
from pytestqt.qtbot import QtBot

from costing.book.records import BatchLog
from costing.ledger.batches import as_made
from costing.ledger.compare import compare
from costing.ledger.scale import scaled
from ui.desk import Desk
from ui.models.table import REFUSED_ROLE, Written
from ui.places.stillroom.batch_rows import apart, log_lines
from ui.places.stillroom.batches import BatchesPage
from ui.places.stillroom.compare import ComparePage
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
    assert page.lines.write([Written(inn, 5, "NQ-261101")]) == 1
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
    at = row_of(page, "infuse", "out.abv")
    assert page.lines.write([Written(at, 4, "alcoholmeter")]) == 0, "the infusion is sweet: it would read too low"
    refusal = page.lines.index(at, 4).data(REFUSED_ROLE)
    assert refusal.cause
    page.lines.drop_refused(page.lines.index(at, 4))
    assert page.lines.write([Written(at, 4, "distilled sample")]) == 1


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


class TestCompare:
    """Two sides and their difference."""

    @pytest.fixture
    def compare_page(self, desk: Desk, qtbot: QtBot) -> ComparePage:
        page = ComparePage(desk)
        qtbot.addWidget(page)
        QAbstractItemModelTester(page.rows, page)
        page.show_preparation(RUM)
        page.show()
        return page

    def test_on_two_days_the_parts_add_up_to_the_difference(self, compare_page: ComparePage, desk: Desk) -> None:
        page = compare_page
        page.b.setText(page.a.text())
        page.day_b.setText("2026-02-01")
        page.day_b.commit()
        from datetime import date

        from ui.document import Figures

        other = Figures(desk.document.book, date(2026, 2, 1), desk.document.head)
        found = compare(desk.document.reckoning, RUM, other.reckoning, RUM)
        assert found.difference is not None
        whole = next(r for r in page.rows.rows() if r.what == "all of it")
        assert whole.by == desk.format.signed(sum(found.difference))
        assert sum(found.prices) + sum(found.recipe) == pytest.approx(sum(found.difference))

    def test_a_batch_beside_its_recipe_and_a_name_nobody_has(self, compare_page: ComparePage) -> None:
        page = compare_page
        assert "batch of" in page.b.text()
        assert page.rows.rowCount() > 20
        page.b.setText("moonshine")
        page.b.commit()
        assert "moonshine" in page.said.text()
        assert page.rows.rowCount() == 0


def test_a_log_is_found_by_its_page(page: BatchesPage, desk: Desk, qtbot: QtBot) -> None:
    last = page.rows.key(page.rows.rowCount() - 1)
    page.show_batch(last)
    assert page.log == last
    qtbot.keyClick(page.list.table, Qt.Key.Key_Delete)
    assert last not in logs(desk)
    desk.undo()
    assert last in logs(desk)
