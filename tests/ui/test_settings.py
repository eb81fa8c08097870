"""Settings: what the house says is a step of its book, what this computer prefers stays on it."""

from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester
from pytestqt.qtbot import QtBot

from costing.edits import house
from tests.ui.conftest import DAY
from ui.desk import Desk
from ui.frame.house_page import HousePage
from ui.frame.settings_dialog import ComputerPage, SettingsDialog
from ui.settings import Settings


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    return Settings(tmp_path / "settings.ini")


@pytest.fixture
def page(desk: Desk, qtbot: QtBot) -> HousePage:
    page = HousePage(desk)
    qtbot.addWidget(page)
    QAbstractItemModelTester(page.measures, page)
    page.show()
    return page


def measures(desk: Desk) -> dict[str, str]:
    return {name: fact.text for name, fact in house.house_of(desk.document.book).measures}


class TestMeasures:
    """What a dash is here."""

    def test_one_is_added_changed_and_taken_out(self, page: HousePage, desk: Desk, qtbot: QtBot) -> None:
        before = desk.document.book
        qtbot.keyClicks(page.measure, "Spoonful")
        qtbot.keyClick(page.measure, Qt.Key.Key_Return)
        qtbot.keyClicks(page.amount, "4,5 ml")
        qtbot.keyClick(page.amount, Qt.Key.Key_Return)
        assert measures(desk)["spoonful"] == "4,5 ml"
        assert page.measure.text() == page.amount.text() == ""
        row = page.measures.position("spoonful")
        assert row is not None
        page.measures.setData(page.measures.index(row, 1), "5 ml")
        assert measures(desk)["spoonful"] == "5 ml"
        page.measures.setData(page.measures.index(row, 1), "")
        assert "spoonful" not in measures(desk)
        for _ in range(3):
            desk.undo()
        assert desk.document.book == before

    @pytest.mark.parametrize(("name", "text"), [("dash", ""), ("", "1 ml"), ("dash", "a little"), ("dash", "5")])
    def test_what_is_no_measure_stays_typed_and_says_why(
        self, name: str, text: str, page: HousePage, desk: Desk
    ) -> None:
        before = desk.document.book
        page.measure.setText(name)
        page.amount.setText(text)
        page.add.click()
        assert desk.document.book == before
        assert page.said.text()
        assert page.said.isVisible()
        assert (page.measure.text(), page.amount.text()) == (name, text)


class TestDays:
    """Money rules hold from a day on, and the day that is typed shows what holds then."""

    def test_another_day_shows_its_rules_and_what_comes_after(self, page: HousePage, desk: Desk) -> None:
        later = date(2027, 1, 1)
        desk.do(house.set_target(desk.document.book, "25 %", later))
        assert page._fields["target"].text() == "15 %"
        assert desk.format.day(later) in page.holds.text()
        page.since.setText("2027-01-01")
        page.since.commit()
        assert page._fields["target"].text() == "25 %"
        assert desk.format.day(later) in page.holds.text()

    def test_rules_of_another_day_leave_those_before_alone(self, page: HousePage, desk: Desk) -> None:
        before = desk.document.book.on(DAY).terms
        page.since.setText("+30")
        page.since.commit()
        page.levies.setPlainText("VAT 7 %")
        page.take.click()
        assert desk.document.book.on(DAY).terms == before
        after = desk.document.book.on(date(2027, 1, 1)).terms
        assert after is not None
        assert [levy.name for levy in after.levies] == ["VAT"]

    def test_before_any_rules_it_says_that_none_hold(self, page: HousePage) -> None:
        page.since.setText("1999-01-01")
        page.since.commit()
        assert "None hold yet" in page.holds.text()

    def test_the_last_layer_of_pour_cost_cannot_be_taken_away(self, page: HousePage, desk: Desk) -> None:
        before = desk.document.book
        for box in page.layers:
            if box.isChecked():
                box.click()
        assert [box.isChecked() for box in page.layers] == [True, False, False, False]
        assert desk.document.book == before
        assert page.said.text()


def test_the_hour_of_hands_is_chosen_from_labour_alone(page: HousePage, desk: Desk) -> None:
    texts = [page.labour.itemText(n) for n in range(page.labour.count())]
    assert len(texts) > 1
    assert "White rum 40 %" not in texts
    page.labour.setCurrentIndex(0)
    page.labour.activated.emit(0)
    assert house.house_of(desk.document.book).labour == ""
    desk.undo()
    assert page.labour.currentIndex() > 0


@pytest.mark.parametrize(
    ("key", "text"),
    [("currency", "EURO"), ("step", "0"), ("target", "plenty"), ("drink", "a lot"), ("until", "01/02/2027")],
)
def test_what_cannot_be_stays_typed_and_marked(key: str, text: str, page: HousePage, desk: Desk) -> None:
    before = desk.document.book
    field = page._fields[key]
    field.setText(text)
    field.commit()
    assert desk.document.book == before
    assert field.text() == text
    assert field.refusal is not None
    assert page.said.text() == field.refusal.text


def test_a_closed_dialog_follows_the_book_no_more(desk: Desk, settings: Settings, qtbot: QtBot) -> None:
    dialog = SettingsDialog(desk, settings)
    dialog.open()
    with qtbot.waitSignal(dialog.destroyed):
        dialog.reject()


def test_this_computer_keeps_what_is_chosen(settings: Settings, qtbot: QtBot) -> None:
    page = ComputerPage(settings)
    qtbot.addWidget(page)
    for box, row in ((page.theme, 2), (page.tongue, page.tongue.findText("Deutsch")), (page.points, 5)):
        assert row >= 0
        with qtbot.waitSignal(page.changed):
            box.setCurrentIndex(row)
            box.activated.emit(row)
    again = Settings(settings.file)
    assert (again.theme, again.language, again.points) == ("dark", "de", 12.0)


@pytest.mark.parametrize("text", ["", "not json", "[1, 2", "null", "7"])
def test_a_settings_file_that_makes_no_sense_is_as_none(text: str, tmp_path: Path) -> None:
    path = tmp_path / "settings.ini"
    path.write_text(f"[General]\ntheme={text}\nlanguage={text}\npoints={text}\nrecent={text}\n", "utf-8")
    found = Settings(path)
    assert found.theme == "system"
    assert found.language == ""
    assert 7.0 <= found.points <= 22.0
    assert found.recent == ()
