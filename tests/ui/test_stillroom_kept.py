"""The stillroom: what was typed stays with its record, drafts end where typing ends, and nothing of another is left."""

from collections.abc import Iterator
from datetime import date

import pytest
from pytestqt.qtbot import QtBot

from tests.ui.stillroom_by_hand import RUM, Keys, come_to, editor_of, position, stillroom_on, typed
from ui.desk import Desk, Where
from ui.models.table import REFUSED_ROLE
from ui.places.stillroom import StillroomPlace
from ui.places.stillroom.why import Carried
from ui.whys import UnitCost

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)
"""Without a screen, a list of suggestions cannot be raised."""
BEFORE = date(2000, 1, 1)
"""A day on which nothing is made."""


@pytest.fixture
def place(desk: Desk, qtbot: QtBot) -> Iterator[StillroomPlace]:
    """The stillroom on the sample, which works under a permit, with the distillate open."""
    with stillroom_on(desk) as place:
        yield place


def test_a_line_that_was_not_taken_never_shows_in_another_preparation(place: StillroomPlace, qtbot: QtBot) -> None:
    come_to(place, "infuse/add/0")
    typed(qtbot, place, "3 dl moonwater")
    for ident in place.desk.document.view.preparations:
        if ident != RUM:
            place.show_item(Where("preparation", ident))
            model = place.stages.model
            assert not any(model.index(n, c).data(REFUSED_ROLE) for n in range(model.rowCount()) for c in range(3)), (
                ident
            )
            assert place.stages.fault.isHidden()
    place.show_item(Where("preparation", RUM))
    at = position(place, "infuse/add/0")
    assert at is not None
    assert place.stages.model.index(at, 1).data() == "3 dl moonwater"
    assert "moonwater" in place.stages.fault.text()


def test_a_line_that_was_not_taken_goes_with_its_component(place: StillroomPlace, qtbot: QtBot) -> None:
    place.show_item(Where("preparation", "milk-punch"))
    come_to(place, "blend/add/1")
    typed(qtbot, place, "3 dl moonwater")
    come_to(place, "blend/add/0")
    qtbot.keyClick(place.stages.table, Keys.Key_Delete)
    at = position(place, "blend/add/0")
    other = position(place, "blend/add/1")
    assert at is not None
    assert other is not None
    assert place.stages.model.index(at, 1).data() == "3 dl moonwater"
    assert place.stages.model.index(other, 1).data(REFUSED_ROLE) is None


def test_half_typed_fields_of_the_head_wait_for_their_preparation(place: StillroomPlace, qtbot: QtBot) -> None:
    head = place.stages.head
    head.note.setFocus()
    head.note.selectAll()
    qtbot.keyClicks(head.note, "half a sen")
    place.show_item(Where("preparation", "ginger-juice"))
    made = place.desk.document.view.preparations["ginger-juice"][1]
    assert head.note.text() == made.note
    place.show_item(Where("preparation", RUM))
    assert head.note.text() == "half a sen"
    assert head.note.held() is not None
    qtbot.keyClick(head.note, Keys.Key_Return)
    assert place.desk.document.view.preparations[RUM][1].note == "half a sen"


def test_allergens_that_were_not_taken_away_stay_with_their_preparation(place: StillroomPlace) -> None:
    place.show_item(Where("preparation", "milk-punch", "uses"))
    model = place.uses.allergens
    name = model.row(0).finding.name
    assert not model.setData(model.index(0, 3), "Ada")
    place.show_item(Where("preparation", "lemon-juice", "uses"))
    assert not any(model.index(n, 3).data(REFUSED_ROLE) for n in range(model.rowCount()))
    place.show_item(Where("preparation", "milk-punch", "uses"))
    at = model.position(f"milk-punch/{name}")
    assert at is not None
    assert model.index(at, 3).data() == "Ada"


def test_figures_are_the_books_again_after_esc(place: StillroomPlace, qtbot: QtBot) -> None:
    before = place.stages.figures["making"].text_shown
    come_to(place, "trim/refuse")
    editor = editor_of(place, qtbot)
    qtbot.keyClicks(editor, "20 %")
    qtbot.waitUntil(lambda: place.stages.figures["making"].text_shown != before)
    qtbot.keyClick(editor, Keys.Key_Escape)
    qtbot.waitUntil(lambda: place.stages.figures["making"].text_shown == before)
    assert "nothing is written" not in place.stages.figures["making"].toolTip()


def test_on_a_day_before_anything_is_made_nothing_of_it_is_left(place: StillroomPlace, qtbot: QtBot) -> None:
    document = place.desk.document
    head = place.stages.head
    head.note.setFocus()
    qtbot.keyClicks(head.note, "half")
    typed_note = head.note.text()
    for page in range(place.pages.count()):
        place.pages.setCurrentIndex(page)
    document.set_day(BEFORE)
    assert place.current == ""
    assert place.stack.currentWidget() is place.not_yet
    assert place.stages.model.rowCount() == place.stages.ledger_model.rowCount() == 0
    assert place.stages.figures["making"].text_shown == "–"
    assert head.name.text() == head.note.text() == head.since.text() == ""
    assert place.stages.amiss.isHidden()
    assert not place.stages.cautions.isVisibleTo(place.stages)
    assert place.batches.rows.rowCount() == place.batches.lines.rowCount() == 0
    assert place.batches.said.text() == ""
    assert place.batches.scale.rows.rowCount() == 0
    assert place.uses.uses.rowCount() == 0
    assert place.compare.rows.rowCount() == 0
    assert place.compare.said.text() == place.compare.a.text() == ""
    assert len(place.stream.picture.table()) <= 1
    assert not place.stages.acts.add_stage("strain")
    place.begin_version()
    assert place.desk.refusal is not None
    document.set_day(date(2026, 11, 1))
    assert place.current == RUM
    assert place.stack.currentWidget() is place.pages
    place.pages.setCurrentWidget(place.stages)
    assert head.note.text() == typed_note
    assert place.stages.model.rowCount()


def test_a_preparation_that_was_begun_outlives_the_window(place: StillroomPlace, desk: Desk, qtbot: QtBot) -> None:
    place.begin_new()
    new = place.new
    qtbot.keyClicks(new.name, "Ginger thing")
    qtbot.keyClicks(new.lines, "1 kg ginger")
    qtbot.keyClicks(new.makes, "0.4 l")
    state = place.save_state()
    other = StillroomPlace(desk)
    qtbot.addWidget(other)
    other.restore_state(state)
    assert other.stack.currentWidget() is other.new
    assert (other.new.name.text(), other.new.lines.toPlainText(), other.new.makes.text(), other.new.minutes.text()) == (
        "Ginger thing", "1 kg ginger", "0.4 l", "",
    )  # fmt: skip
    other.leave_new()
    third = StillroomPlace(desk)
    qtbot.addWidget(third)
    third.restore_state(other.save_state())
    assert third.stack.currentWidget() is not third.new
    third.begin_new()
    assert third.new.name.text() == "Ginger thing"
    third.new.lines.setPlainText("1 kg ginger root")
    state["draft"] = {"book": "another.stillroom", "name": "Of another book"}
    fourth = StillroomPlace(desk)
    qtbot.addWidget(fourth)
    fourth.restore_state(state)
    assert fourth.new.name.text() == ""


def test_choosing_a_preparation_explains_it_last(place: StillroomPlace) -> None:
    come_to(place, "infuse/add/0")
    told: list[object] = []
    place.desk.explained.connect(told.append)
    assert place.tree.choose("ginger-juice")
    assert place.current == "ginger-juice"
    assert told == [UnitCost("ginger-juice")]
    place.stages.ledger.setCurrentIndex(place.stages.ledger_model.index(1, 1))
    told.clear()
    assert place.tree.choose(RUM)
    assert told == [UnitCost(RUM)]
    assert Carried(RUM, "trim") not in told


def test_while_a_line_is_typed_another_preparation_may_be_shown(place: StillroomPlace, qtbot: QtBot) -> None:
    come_to(place, "trim/refuse")
    qtbot.keyClicks(editor_of(place, qtbot), "20 %")
    place.show_item(Where("preparation", "ginger-juice"))
    shown = place.stages.figures["making"].text_shown
    assert "nothing is written" not in place.stages.figures["making"].toolTip()
    place.stages._draft()  # what was begun is not of this one
    assert place.stages.figures["making"].text_shown == shown
