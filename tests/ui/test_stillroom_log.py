"""A log being typed: what is not taken stays with its log, drafts end, what else went in, methods in the language."""

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractItemView, QLineEdit
from pytestqt.qtbot import QtBot

from costing.book.methods import METHODS
from costing.report.method_words import METHOD_WORDS, how_said, how_typed
from costing.tongue import PSEUDO, speaking
from tests.ui.test_stillroom_batches import RUM, column, logs, page, row_of
from ui.desk import Desk
from ui.models.table import CHOICES_ROLE, OFFERS_ROLE, REFUSED_ROLE, Written
from ui.places.stillroom.batches import BatchesPage

__all__ = ["page"]
Key = Qt.Key
pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)
"""Without a screen, a list of suggestions cannot be raised."""


def line(page: BatchesPage, stage: str, sort: str) -> int:
    """Where the first line of a sort in a stage stands."""
    return next(n for n, r in enumerate(page.lines.rows()) if (r.stage, r.sort) == (stage, sort))


def editor_on(page: BatchesPage, qtbot: QtBot, row: int, name: str = "text") -> QLineEdit:
    """Begin to type into a cell."""
    table = page.read.table
    table.setCurrentIndex(page.lines.index(row, column(page, name)))
    table.setFocus()
    qtbot.keyClick(table, Key.Key_F2)
    found = [e for e in table.viewport().findChildren(QLineEdit) if e.isVisible()]
    assert found
    found[-1].selectAll()
    return found[-1]


def test_a_reading_that_was_not_taken_stays_with_its_log(page: BatchesPage) -> None:
    first, other = page.rows.key(0), page.rows.key(1)
    page.show_batch(first)
    assert page.lines.write([Written(row_of(page, "trim", "out.mass"), 1, "quite a lot")]) == 0
    page.show_batch(other)
    assert not any(page.lines.index(n, 1).data(REFUSED_ROLE) for n in range(page.lines.rowCount()))
    assert page.read.fault.isHidden()
    page.show_batch(first)
    assert page.lines.index(row_of(page, "trim", "out.mass"), 1).data() == "quite a lot"
    assert "quite a lot" in page.read.fault.text()


def test_another_log_is_shown_on_the_same_line(page: BatchesPage) -> None:
    page.show_batch(page.rows.key(0))
    page.read.table.setCurrentIndex(page.lines.index(row_of(page, "roast", "out.mass"), 1))
    page.show_batch(page.rows.key(1))
    row = page.lines.row(page.read.table.currentIndex().row())
    assert (row.stage, row.name) == ("roast", "out.mass")


def test_fields_of_a_log_wait_for_it(page: BatchesPage, desk: Desk, qtbot: QtBot) -> None:
    first, other = page.rows.key(0), page.rows.key(1)
    page.show_batch(first)
    page.day.setText("yesterday")
    qtbot.keyClick(page.day, Key.Key_Return)
    assert page.day.refusal is not None
    page.note.setFocus()
    page.note.selectAll()
    qtbot.keyClicks(page.note, "the still was")
    page.show_batch(other)
    assert page.day.text() == logs(desk)[other].day.isoformat()
    assert page.day.refusal is None
    assert page.note.text() == logs(desk)[other].note
    page.show_preparation("lime-juice")
    page.show_preparation(RUM)
    page.show_batch(first)
    assert page.day.text() == "yesterday"
    assert page.day.refusal is not None
    assert page.note.text() == "the still was"
    assert logs(desk)[other].note != "the still was"


def test_after_esc_the_sentence_is_the_books_again(page: BatchesPage, desk: Desk, qtbot: QtBot) -> None:
    at = row_of(page, "roast", "out.mass")
    page.read.table.setCurrentIndex(page.lines.index(at, 1))
    before = page.said.text()
    editor = editor_on(page, qtbot, at)
    qtbot.keyClicks(editor, "1.2 kg")
    qtbot.waitUntil(lambda: "typed" in page.said.text())
    qtbot.keyClick(editor, Key.Key_Escape)
    qtbot.waitUntil(lambda: page.said.text() == before)


def test_after_a_refusal_the_sentence_is_the_books_again(page: BatchesPage, qtbot: QtBot) -> None:
    at = row_of(page, "roast", "out.mass")
    page.read.table.setCurrentIndex(page.lines.index(at, 1))
    before = page.said.text()
    editor = editor_on(page, qtbot, at)
    qtbot.keyClicks(editor, "1.2 kg")
    qtbot.waitUntil(lambda: "typed" in page.said.text())
    editor.selectAll()
    qtbot.keyClicks(editor, "quite a lot")
    qtbot.keyClick(editor, Key.Key_Return)
    qtbot.waitUntil(lambda: page.read.table.state() != QAbstractItemView.State.EditingState)
    assert page.lines.index(at, 1).data(REFUSED_ROLE) is not None
    assert page.said.text() == before


@pytest.mark.parametrize("name", ["day", "initials", "note"])
def test_a_book_to_look_at_marks_the_field(page: BatchesPage, desk: Desk, qtbot: QtBot, name: str) -> None:
    desk.document.read_only = True
    field = {"day": page.day, "initials": page.initials, "note": page.note}[name]
    field.setText("2026-10-30")
    qtbot.keyClick(field, Key.Key_Return)
    assert field.refusal is not None
    assert "look at only" in field.toolTip()
    assert field.text() == "2026-10-30"


def test_a_book_to_look_at_keeps_the_state_it_shows(page: BatchesPage, desk: Desk) -> None:
    desk.document.read_only = True
    before = page.state.currentText()
    page.state.setCurrentText("failed")
    page._set_state()
    assert page.state.currentText() == before


class TestWhatElseWentIn:
    """Something that the recipe lacks."""

    def test_it_is_typed_with_its_name_and_taken_out_again(self, page: BatchesPage, desk: Desk, qtbot: QtBot) -> None:
        page.log_new()
        before = desk.document.book
        editor = editor_on(page, qtbot, line(page, "infuse", "else"))
        qtbot.keyClicks(editor, "200 g lime")
        qtbot.keyClick(editor, Key.Key_Return)
        qtbot.waitUntil(lambda: desk.document.book != before)
        row = page.lines.row(row_of(page, "infuse", "lime"))
        assert (row.sort, row.text) == ("in", "200 g")
        assert page.lines.row(line(page, "infuse", "else")).text == ""
        assert any("not in the recipe" in r.title for r in page.lines.rows() if r.sort == "problem")
        assert page.lines.write([Written(row_of(page, "infuse", "lime"), column(page, "lot"), "L-7")]) == 1
        assert page.lines.write([Written(row_of(page, "infuse", "lime"), 1, "")]) == 1
        assert not any(r.name == "lime" for r in page.lines.rows())
        for _ in range(3):
            desk.undo()
        assert desk.document.book == before

    def test_what_is_no_name_or_stands_there_is_refused(self, page: BatchesPage, desk: Desk) -> None:
        page.log_new()
        at = line(page, "infuse", "else")
        assert page.lines.write([Written(at, 1, "200 g moonwater")]) == 0
        assert page.lines.index(at, 1).data() == "200 g moonwater"
        assert page.lines.write([Written(at, 1, "200 g lime")]) == 1
        at = line(page, "infuse", "else")
        assert page.lines.write([Written(at, 1, "300 g lime")]) == 0
        assert "Lime" in page.lines.index(at, 1).data(REFUSED_ROLE).text

    def test_names_of_the_book_are_offered_there_alone(self, page: BatchesPage) -> None:
        at = line(page, "infuse", "else")
        index = page.lines.index(at, 1)
        page.read.table.setCurrentIndex(index)
        assert any("Lime" in text for text in index.data(OFFERS_ROLE)("200 g lim"))
        other = page.lines.index(row_of(page, "trim", "out.mass"), 1)
        page.read.table.setCurrentIndex(other)
        assert other.data(OFFERS_ROLE)("200 g lim") == []


def test_who_was_at_a_stage_and_a_note_on_it_are_typed_beside_it(page: BatchesPage, desk: Desk) -> None:
    page.log_new()
    before = desk.document.book
    at = line(page, "roast", "stage")
    assert page.lines.write([Written(at, 1, "oven ran hot")]) == 1
    assert page.lines.write([Written(at, column(page, "how"), "PH")]) == 1
    stage = next(s for s in logs(desk)[page.log].stages if s.stage == "roast")
    assert (stage.note, stage.initials) == ("oven ran hot", "PH")
    row = page.lines.row(line(page, "roast", "stage"))
    assert (row.text, row.how) == ("oven ran hot", "PH")
    desk.undo()
    desk.undo()
    assert desk.document.book == before


class TestMethods:
    """Ways of measuring in the language of the window."""

    @pytest.fixture
    def spoken(self) -> Iterator[None]:
        """The pseudo-language: every word that goes through the catalogue is another one."""
        with speaking(PSEUDO):
            yield

    def test_every_method_has_a_word(self) -> None:
        assert set(METHOD_WORDS) == set(METHODS)
        assert all(how_said(name) == name for name in METHODS)

    def test_a_word_is_shown_and_typed_back(self, spoken: None) -> None:
        for name in METHODS:
            said = how_said(f"{name}, vessel")
            assert said != f"{name}, vessel"
            assert said.endswith(", vessel")
            assert how_typed(said) == f"{name}, vessel"
            assert how_typed(name.upper()) == name
        assert how_said("by eye") == how_typed("by eye") == "by eye"
        assert how_typed("scalesman") == "scalesman"

    def test_cells_show_and_take_the_word_of_the_language(self, page: BatchesPage, desk: Desk, spoken: None) -> None:
        at, how = row_of(page, "infuse", "out.abv"), column(page, "how")
        assert page.lines.write([Written(at, 1, "27.1 % vol")]) == 1
        index = page.lines.index(row_of(page, "infuse", "out.abv"), how)
        page.read.table.setCurrentIndex(index)
        word = how_said("distilled sample")
        assert page.lines.setData(index, word)
        assert dict(next(s for s in logs(desk)[page.log].stages if s.stage == "infuse").readings)["out.abv"].how == (
            "distilled sample"
        )
        index = page.lines.index(row_of(page, "infuse", "out.abv"), how)
        assert index.data() == word
        assert not page.lines.setData(index, how_said("alcoholmeter")), "the infusion is sweet: it would read too low"
        page.lines.drop_refused(index)
        assert page.lines.setData(index, "Density meter") is False
        page.lines.drop_refused(index)
        assert "density meter" not in index.data(Qt.ItemDataRole.ToolTipRole)


class TestAnotherSize:
    """A size that cannot be read."""

    def test_no_table_is_left_of_the_size_before(self, page: BatchesPage, qtbot: QtBot) -> None:
        page.scale.large.setFocus()
        page.scale.large.selectAll()
        qtbot.keyClicks(page.scale.large, "3")
        assert page.scale.rows.rowCount()
        qtbot.keyClicks(page.scale.large, " zzz")
        assert page.scale.rows.rowCount() == 0
        assert "3 zzz" in page.scale.said.text()

    def test_a_size_is_of_the_preparation_it_was_typed_for(self, page: BatchesPage, qtbot: QtBot) -> None:
        page.scale.large.setFocus()
        page.scale.large.selectAll()
        qtbot.keyClicks(page.scale.large, "6 l")
        page.show_preparation("lime-juice")
        assert page.scale.large.text() == "2"
        page.show_preparation(RUM)
        assert page.scale.large.text() == "6 l"


def test_choices_are_for_readings_only(page: BatchesPage) -> None:
    index = page.lines.index(line(page, "roast", "stage"), column(page, "how"))
    page.read.table.setCurrentIndex(index)
    assert index.data(CHOICES_ROLE) == []
