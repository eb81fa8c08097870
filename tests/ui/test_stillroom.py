"""The stillroom: the tree, a new preparation, where it is used; by keyboard, and nothing typed is lost."""

from collections.abc import Iterator

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QAbstractItemModelTester
from PySide6.QtWidgets import QTabBar, QWidget
from pytestqt.qtbot import QtBot

from costing.edits.house import set_permit
from tests.ui.stillroom_by_hand import RUM, Keys, made, stillroom_on
from ui.desk import Desk, Where
from ui.places.stillroom import StillroomPlace

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)
"""Without a screen, a list of suggestions cannot be raised."""


@pytest.fixture
def place(desk: Desk, qtbot: QtBot) -> Iterator[StillroomPlace]:
    """The stillroom on the sample, which works under a permit, with the distillate open."""
    with stillroom_on(desk) as place:
        yield place


def test_models_keep_their_word(place: StillroomPlace) -> None:
    mode = QAbstractItemModelTester.FailureReportingMode.Warning
    testers = [
        QAbstractItemModelTester(model, mode)
        for model in (place.stages.model, place.stages.ledger_model, place.tree.model, place.uses.uses)
    ]
    place.stages.acts.add_stage("strain")
    place.desk.undo()
    place.show_item(Where("preparation", "walnut-mother"))
    place.tree.filter.setText("lemon")
    assert testers
    assert place.tree.model.rowCount() < 28


def test_the_tree_says_what_is_made_of_what(place: StillroomPlace) -> None:
    tree = place.tree
    top = tree.model.index_of((f"preparation/{RUM}",))
    inside = [tree.model.row_of(tree.model.index(n, 0, top)) for n in range(tree.model.rowCount(top))]
    assert [(r.id, r.amount) for r in inside if r] == [
        ("pineapple", "6.000 kg"), ("white-rum", "3.000 l"), ("water", "computed"),
    ]  # fmt: skip
    mother = tree.model.index_of(("preparation/walnut-mother",))
    own = tree.model.index(0, 0, mother)
    row = tree.model.row_of(own)
    assert row is not None
    assert row.id == "walnut-mother"
    assert tree.model.rowCount(own) == 0  # what is in itself ends there


def test_rows_of_the_tree_are_gone_to(place: StillroomPlace, qtbot: QtBot) -> None:
    tree = place.tree
    top = tree.model.index_of((f"preparation/{RUM}",))
    tree.view.setExpanded(top, True)
    tree.view.setCurrentIndex(tree.model.index(0, 0, top))
    with qtbot.waitSignal(place.desk.went) as went:
        qtbot.keyClick(tree.view, Keys.Key_Return)
    assert went.args == [Where("good", "pineapple")]
    tree.drinks.setChecked(True)
    assert tree.choose("harbour-light", "serve") or any(
        (row := tree.model.row_of(tree.model.index(n, 0))) and row.kind == "serve" for n in range(tree.model.rowCount())
    )


def test_the_filter_finds_by_what_is_inside(place: StillroomPlace, qtbot: QtBot) -> None:
    qtbot.keyClicks(place.tree.filter, "pineapple")
    shown = {row.id for n in range(place.tree.model.rowCount()) if (row := place.tree.model.row_of(
        place.tree.model.index(n, 0)))}  # fmt: skip
    assert RUM in shown
    assert "marc-rinse" in shown
    assert "saline" not in shown
    qtbot.keyClick(place.tree.filter, Keys.Key_Escape)
    assert place.tree.filter.text() == ""


def test_a_new_preparation_from_three_lines_by_keyboard(place: StillroomPlace, qtbot: QtBot) -> None:
    qtbot.keyClick(place.tree.view, Keys.Key_N, Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier)
    new = place.new
    assert place.stack.currentWidget() is new
    qtbot.keyClicks(new.name, "Green Spark")
    qtbot.keyClicks(new.lines, "500 ml lime juice")
    qtbot.keyClick(new.lines, Keys.Key_Return)
    qtbot.keyClicks(new.lines, "2 dl moonwater")
    qtbot.keyClicks(new.makes, "0.45 l")
    qtbot.keyClicks(new.minutes, "12")
    qtbot.waitUntil(lambda: new.figures["made"].text_shown != "–")
    assert "moonwater" in new.fault.text()
    qtbot.keyClick(new.minutes, Keys.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert "green-spark" not in place.desk.document.view.preparations
    assert "moonwater" in new.lines.toPlainText()  # what was typed stays
    new.lines.setPlainText("500 ml lime juice\n300 g sugar")
    new.makes.setText("0.65 l")
    qtbot.keyClick(new.minutes, Keys.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert place.current == "green-spark"
    assert place.stack.currentWidget() is place.pages
    assert new.name.text() == ""


def test_names_and_fields(place: StillroomPlace, qtbot: QtBot) -> None:
    head = place.stages.head
    head.name.setFocus()
    head.name.setText("lemon juice")
    qtbot.keyClick(head.name, Keys.Key_Return)
    assert head.name.refusal is not None
    assert head.name.text() == "lemon juice"
    qtbot.keyClick(head.name, Keys.Key_Escape)
    head.shelf.setText("90")
    qtbot.keyClick(head.shelf, Keys.Key_Return)
    assert made(place).shelf_days == 90
    assert head.density.isVisible()
    place.show_item(Where("preparation", "lemon-wheel"))
    assert head.pieces.isVisible()
    assert not head.density.isVisible()


def test_copies_versions_and_removal(place: StillroomPlace) -> None:
    assert place.duplicate("Second distillate")
    assert place.current == "second-distillate"
    place.remove()
    assert "second-distillate" not in place.desk.document.view.preparations
    assert place.current
    place.show_item(Where("preparation", RUM))
    place.begin_version()
    assert made(place).versions[-1].since == place.desk.document.day
    place.remove()
    assert place.desk.refusal is not None  # used, so it stays
    assert place.current == RUM


def test_problems_lead_to_their_line(place: StillroomPlace) -> None:
    assert place.show_item(Where("preparation", RUM, "2026-04-13/stage/infuse/add/1"))
    assert place.stages.table.line().key == f"{RUM}/infuse/add/0"  # type: ignore[union-attr]
    assert place.show_item(Where("equipment", "still"))
    assert place.stages.table.line().sort == "equipment"  # type: ignore[union-attr]
    assert not place.show_item(Where("preparation", "nothing"))


def test_where_it_is_used_and_its_allergens(place: StillroomPlace, qtbot: QtBot) -> None:
    place.show_item(Where("preparation", "lemon-juice", "uses"))
    rows = place.uses.uses.rows()
    assert {"serve", "preparation"} <= {row.kind for row in rows}
    with qtbot.waitSignal(place.desk.went):
        place.uses.list.table.opened.emit(f"{rows[0].kind}|{rows[0].id}|{rows[0].what}")
    place.show_item(Where("preparation", "milk-punch", "uses"))
    model = place.uses.allergens
    assert model.row(0).finding.state == "contains"
    assert not model.setData(model.index(0, 3), "Ada")
    assert model.setData(model.index(0, 3), "Ada: whey tested")
    assert made(place, "milk-punch").exemptions[0].who == "Ada"


def test_the_stream_is_drawn_with_its_figures_as_a_table(place: StillroomPlace) -> None:
    place.show_item(Where("preparation", RUM, "stream"))
    assert place.stream.picture.figure is not None
    assert len(place.stream.picture.table()) > 5


def test_figures_of_a_distillate_wait_for_the_permit(place: StillroomPlace) -> None:
    assert place.desk.do(set_permit(place.desk.document.book, "", None))
    page = place.stages
    assert page.permit.isVisible()
    assert not page.figures.isVisible()
    assert page.ledger_model.rowCount() == 0
    assert page.model.rowCount() > 20  # what was typed is there
    place.pages.setCurrentWidget(place.stream)
    assert "permit" in place.stream.said.text()
    place.pages.setCurrentWidget(page)
    page.permit.permit.setText("Harbour office 12")
    page.permit.take()
    assert page.figures.isVisible()
    assert page.ledger_model.rowCount() > 20


def test_state_is_kept(place: StillroomPlace, desk: Desk, qtbot: QtBot) -> None:
    place.show_item(Where("preparation", "saline", "stream"))
    other = StillroomPlace(desk)
    qtbot.addWidget(other)
    other.restore_state(place.save_state())
    other.show()
    assert other.current == "saline"
    assert other.pages.currentWidget() is other.stream


def test_an_empty_book_says_what_to_do_first(empty_desk: Desk, qtbot: QtBot) -> None:
    place = StillroomPlace(empty_desk)
    qtbot.addWidget(place)
    place.show()
    assert place.stack.currentWidget() is place.empty
    place.begin_new()
    assert place.stack.currentWidget() is place.new
    place.leave_new()
    assert place.stack.currentWidget() is place.empty


def test_everything_that_takes_the_keyboard_has_a_name_and_room(place: StillroomPlace) -> None:
    for widget in place.findChildren(QWidget):
        if widget.focusPolicy() & Qt.FocusPolicy.TabFocus and widget.isVisibleTo(place):
            named = widget.accessibleName() or getattr(widget, "text", str)()
            assert named or isinstance(widget, QTabBar), widget
            assert widget.height() >= 24 or not widget.isVisible(), widget
    assert all(action.text() and not action.shortcut().isEmpty() for action in place.actions_of())
