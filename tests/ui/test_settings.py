"""Settings: what the house says is a step of its book, what this computer prefers stays on it."""

from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QTextCursor
from PySide6.QtTest import QAbstractItemModelTester
from pytestqt.qtbot import QtBot

from costing.edits import house
from tests.ui.conftest import DAY
from ui.desk import Desk
from ui.fault import Refusal
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


def add_line(page: HousePage, text: str) -> None:
    """Type a line under the taxes that are shown."""
    page.levies.moveCursor(QTextCursor.MoveOperation.End)
    page.levies.insertPlainText(f"\n{text}")


class TestTaxes:
    """Lines of taxes are typed, and stay until they are taken over or left on purpose."""

    def test_an_edit_elsewhere_leaves_typed_lines_alone(self, page: HousePage, desk: Desk) -> None:
        before = page.levies.toPlainText()
        add_line(page, "Tip 2 %")
        page.layers[1].click()
        desk.undo()
        assert page.levies.toPlainText() == f"{before}\nTip 2 %"
        page.take.click()
        terms = desk.document.view.terms
        assert terms is not None
        assert [levy.name for levy in terms.levies][-1] == "Tip"
        desk.undo()
        assert page.levies.toPlainText() == before, "taken over, they follow the book again"

    def test_closing_takes_typed_lines_over(self, desk: Desk, settings: Settings, qtbot: QtBot) -> None:
        dialog = SettingsDialog(desk, settings)
        dialog.show()
        add_line(dialog.book, "Tip 2 %")
        with qtbot.waitSignal(dialog.destroyed):
            dialog.close()
        terms = desk.document.view.terms
        assert terms is not None
        assert [levy.name for levy in terms.levies][-1] == "Tip"

    def test_closing_on_lines_that_cannot_be_read_says_so_once(
        self, desk: Desk, settings: Settings, qtbot: QtBot
    ) -> None:
        before = desk.document.book
        dialog = SettingsDialog(desk, settings)
        dialog.show()
        dialog.tabs.setCurrentIndex(1)
        add_line(dialog.book, "Tip two")
        dialog.reject()
        assert dialog.isVisible()
        assert dialog.book.isVisible(), "the page that it is about is shown"
        assert "Tip two" in dialog.book.said.text()
        assert dialog.book.levies.property("refused")
        with qtbot.waitSignal(dialog.destroyed):
            dialog.reject()
        assert desk.document.book == before

    def test_closing_on_a_refused_field_names_it_once(self, desk: Desk, settings: Settings, qtbot: QtBot) -> None:
        dialog = SettingsDialog(desk, settings)
        dialog.show()
        dialog.book._fields["target"].setText("plenty")
        dialog.book._fields["target"].commit()
        dialog.reject()
        assert dialog.isVisible()
        assert "plenty" in dialog.book.said.text()
        with qtbot.waitSignal(dialog.destroyed):
            dialog.reject()


class TestBadDay:
    """Money rules are never put on another day than the one that is written above them."""

    def test_nothing_is_written_on_a_day_that_cannot_be_read(self, page: HousePage, desk: Desk, qtbot: QtBot) -> None:
        before = desk.document.book
        page.since.setFocus()
        page.since.selectAll()
        qtbot.keyClicks(page.since, "1/12/2026")
        target = page._fields["target"]
        target.setFocus()
        target.selectAll()
        qtbot.keyClicks(target, "17 %")
        qtbot.keyClick(target, Qt.Key.Key_Return)
        page.layers[1].click()
        page.take.click()
        page.recovers.click()
        assert desk.document.book == before
        assert page.since.refusal is not None
        assert target.refusal is not None
        assert target.text() == "17 %"
        assert "1/12/2026" in page.said.text()
        assert [box.isChecked() for box in page.layers] == [True, False, False, False]
        page.since.setText("2026-12-01")
        page.since.commit()
        target.commit()
        terms = desk.document.book.on(date(2026, 12, 1)).terms
        assert terms is not None
        assert (terms.since, float(terms.policy.value)) == (date(2026, 12, 1), 0.17)

    def test_a_day_typed_as_a_distance_is_shown_as_a_day(self, page: HousePage) -> None:
        page.since.setText("+30")
        page.since.commit()
        assert page.since.text() == "2026-12-01"


class TestNewBook:
    """Where nothing holds yet nothing is shown as if it did."""

    @pytest.fixture
    def empty(self, empty_desk: Desk, qtbot: QtBot) -> HousePage:
        page = HousePage(empty_desk)
        qtbot.addWidget(page)
        page.show()
        return page

    def test_no_rules_are_shown_and_typed_ones_are_steps(self, empty: HousePage, empty_desk: Desk) -> None:
        fields = empty._fields
        assert [fields[key].text() for key in ("step", "endings", "least", "target")] == ["", "", "", ""]
        fields["step"].setText("0.25")
        fields["step"].commit()
        terms = empty_desk.document.view.terms
        assert terms is not None
        assert f"{terms.points.step}" == "0.25"
        assert fields["target"].text() == "20 %", "what holds from then on is shown"
        fields["target"].setText("18 %")
        fields["target"].commit()
        empty_desk.undo()
        empty_desk.undo()
        assert [fields[key].text() for key in ("step", "target")] == ["", ""]

    def test_endings_without_a_step_wait_for_it(self, empty: HousePage, empty_desk: Desk) -> None:
        fields = empty._fields
        fields["endings"].setText("0.90")
        fields["endings"].commit()
        assert fields["endings"].refusal is not None
        assert "step" in fields["endings"].refusal.text
        fields["step"].setText("0.10")
        fields["step"].commit()
        assert fields["endings"].refusal is None
        terms = empty_desk.document.view.terms
        assert terms is not None
        assert [f"{e}" for e in terms.points.endings] == ["0.90"]

    def test_a_house_without_a_list_of_allergens_shows_none(self, empty: HousePage, empty_desk: Desk) -> None:
        assert empty.lists.currentText() == "none chosen"
        assert empty.lists.count() > 1
        at = empty.lists.findText("US 9")
        empty.lists.setCurrentIndex(at)
        empty.lists.activated.emit(at)
        assert house.house_of(empty_desk.document.book).allergen_list == "US 9"
        assert empty.lists.currentText() == "US 9"
        empty.lists.setCurrentIndex(0)
        empty.lists.activated.emit(0)
        assert house.house_of(empty_desk.document.book).allergen_list == "US 9", "reports need one"
        assert empty.lists.currentText() == "US 9"
        empty_desk.undo()
        assert empty.lists.currentText() == "none chosen"


class TestRefusedByTheFile:
    """What was not written does not look as if it were."""

    def test_a_field_is_marked_and_a_box_goes_back(
        self, page: HousePage, desk: Desk, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        def fails(*_: object) -> int:
            raise Refusal("The disk is full.", "", "Make room.")

        monkeypatch.setattr(desk.document, "do", fails)
        field = page._fields["name"]
        field.setText("Another name")
        field.commit()
        assert field.refusal is not None
        assert field.text() == "Another name"
        assert "disk is full" in page.said.text()
        before = page.recovers.isChecked()
        page.recovers.click()
        assert page.recovers.isChecked() == before
        labour = page.labour.currentIndex()
        page.labour.setCurrentIndex(0)
        page.labour.activated.emit(0)
        assert page.labour.currentIndex() == labour

    def test_a_book_to_look_at_only_takes_no_typing(self, desk: Desk, qtbot: QtBot) -> None:
        desk.document.read_only = True
        page = HousePage(desk)
        qtbot.addWidget(page)
        page.show()
        assert all(field.isReadOnly() for field in page._fields.values())
        assert page.levies.isReadOnly()
        widgets = [page.take, page.add, page.lists, page.labour, page.recovers, *page.layers]
        assert not any(widget.isEnabled() for widget in widgets)
        assert "look at only" in page.said.text()
        assert page.since.isEnabled(), "another day can be looked at"
        assert not page.since.isReadOnly()


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
