"""Two preparations, two days, or a recipe and a batch of it beside one another."""

from datetime import date

import pytest
from PySide6.QtTest import QAbstractItemModelTester
from pytestqt.qtbot import QtBot

from costing.ledger.compare import compare
from ui.desk import Desk
from ui.document import Figures
from ui.places.stillroom.compare import ComparePage

RUM = "pineapple-distillate"


@pytest.fixture
def compare_page(desk: Desk, qtbot: QtBot) -> ComparePage:
    page = ComparePage(desk)
    qtbot.addWidget(page)
    QAbstractItemModelTester(page.rows, page)
    page.show_preparation(RUM)
    page.show()
    return page


def test_on_two_days_the_parts_add_up_to_the_difference(compare_page: ComparePage, desk: Desk) -> None:
    page = compare_page
    page.b.setText(page.a.text())
    page.day_b.setText("2026-02-01")
    page.day_b.commit()
    other = Figures(desk.document.book, date(2026, 2, 1), desk.document.head)
    found = compare(desk.document.reckoning, RUM, other.reckoning, RUM)
    assert found.difference is not None
    whole = next(r for r in page.rows.rows() if r.what == "all of it")
    assert whole.by == desk.format.signed(sum(found.difference))
    assert sum(found.prices) + sum(found.recipe) == pytest.approx(sum(found.difference))


def test_a_batch_beside_its_recipe_and_a_name_nobody_has(compare_page: ComparePage) -> None:
    page = compare_page
    assert "batch of" in page.b.text()
    assert page.rows.rowCount() > 20
    page.b.setText("moonshine")
    page.b.commit()
    assert "moonshine" in page.said.text()
    assert page.rows.rowCount() == 0


def test_money_is_split_before_the_stages_and_only_what_differs_is_listed(compare_page: ComparePage) -> None:
    headings = [r.what for r in compare_page.rows.rows() if r.heading]
    assert headings[1].startswith("Where the difference")
    assert headings[2].startswith("1 ")
    assert not any(r.a == r.b == "–" for r in compare_page.rows.rows())


def test_differences_have_their_sign(compare_page: ComparePage) -> None:
    rows = compare_page.rows.rows()
    first = next(n for n, r in enumerate(rows) if r.heading and r.what.startswith("1 "))
    weight, lost = rows[first + 1], rows[first + 2]
    assert "−" in weight.by, "less flesh was left by this batch"
    assert "+" in lost.by


def test_another_preparation_of_another_unit_still_compares(compare_page: ComparePage) -> None:
    compare_page.b.setText("Orange twist")
    compare_page.b.commit()
    assert compare_page.rows.rowCount() > 0
    assert compare_page.said.isHidden()
