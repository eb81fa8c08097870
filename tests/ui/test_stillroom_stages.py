"""The stages of a preparation: typed as lines, worked out while they are typed, the ledger beside them."""

from collections.abc import Iterator
from typing import Any, cast

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QMenu
from pytestqt.qtbot import QtBot

from costing.book.kinds import STAGE_KINDS
from costing.report.words import stage_word
from tests.ui.stillroom_by_hand import RUM, Keys, come_to, editor_of, line, made, position, stillroom_on, typed
from ui.desk import Desk, Where
from ui.document import Figures
from ui.format import Format
from ui.models.table import REFUSED_ROLE, RowTable
from ui.places.stillroom import StillroomPlace
from ui.places.stillroom.acts import lettered
from ui.places.stillroom.writing import GivesUp
from ui.whys import Subject

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)
"""Without a screen, a list of suggestions cannot be raised."""


@pytest.fixture
def place(desk: Desk, qtbot: QtBot) -> Iterator[StillroomPlace]:
    """The stillroom on the sample, which works under a permit, with the distillate open."""
    with stillroom_on(desk) as place:
        yield place


def test_a_figure_is_typed_and_the_ledger_moves(place: StillroomPlace, qtbot: QtBot) -> None:
    before = place.stages.figures["making"].text_shown
    come_to(place, "trim/refuse")
    typed(qtbot, place, "40")
    assert dict(made(place).versions[1].stages[0].facts)["refuse"].text == "40 %"
    assert place.stages.figures["making"].text_shown != before
    assert "40.0 %" in str(place.stages.ledger_model.row(0).text)
    place.desk.undo()
    assert place.stages.figures["making"].text_shown == before


def test_figures_move_while_one_types_and_nothing_is_written(place: StillroomPlace, qtbot: QtBot) -> None:
    head = place.desk.document.head
    before = place.stages.figures["making"].text_shown
    come_to(place, "trim/refuse")
    editor = editor_of(place, qtbot)
    qtbot.keyClicks(editor, "20 %")
    qtbot.waitUntil(lambda: place.stages.figures["making"].text_shown != before)
    assert place.desk.document.head == head
    assert "nothing is written" in place.stages.figures["making"].toolTip()
    qtbot.keyClick(editor, Keys.Key_Return)
    qtbot.waitUntil(lambda: place.desk.document.head == head + 1)


def test_a_text_that_cannot_be_read_stays_with_its_reason(place: StillroomPlace, qtbot: QtBot) -> None:
    head = place.desk.document.head
    come_to(place, "roast/out.mass")
    typed(qtbot, place, "about two")
    at = position(place, "roast/out.mass")
    assert at is not None
    assert place.stages.model.index(at, 1).data() == "about two"
    assert "about two" in place.stages.fault.text()
    assert not place.stages.fault.isHidden()
    assert place.desk.document.head == head
    come_to(place, "roast/out.mass")
    qtbot.keyClick(place.stages.table, Keys.Key_Escape)
    assert "1.950 kg" in place.stages.model.index(at, 1).data()
    assert place.stages.fault.isHidden()


def test_an_empty_line_takes_components_and_figures_one_after_another(place: StillroomPlace, qtbot: QtBot) -> None:
    come_to(place, "infuse/new")
    typed(qtbot, place, "50 g sugar")
    assert place.stages.table.line().key == f"{RUM}/infuse/new"  # type: ignore[union-attr]
    typed(qtbot, place, "goes on 3.4 kg")
    typed(qtbot, place, "kept as nothing")
    stage = made(place).versions[1].stages[2]
    assert stage.adds[-1].source == "sugar"
    assert dict(stage.readings)["out.mass"].text == "3.4 kg"
    assert made(place).versions[1].byproducts[0].name == "nothing"  # the marc has another name now


def test_hands_are_typed_as_time(place: StillroomPlace, qtbot: QtBot) -> None:
    come_to(place, "trim/new")
    typed(qtbot, place, "30 min")
    active = made(place).versions[1].stages[0].active
    assert active is not None
    assert active.text == "30 min"
    assert "active time" in (place.desk.document.undo_text or "")


def test_what_is_offered_goes_on_from_what_is_typed(place: StillroomPlace) -> None:
    come_to(place, "infuse/new")
    offers = place.stages.model.columns[1].offers
    assert offers is not None
    assert "2 dl White rum 40 %" in offers("2 dl white")
    assert "juice of the solids that mixed " not in offers("juice")  # it is there already
    assert "left in the vessel a run " in offers("left")
    assert not any("hour" in text for text in offers("bart"))
    come_to(place, "+")
    assert offers("stra") == ["strain", "infuse and strain"]


def test_another_kind_says_what_would_go_and_goes_all_the_same(place: StillroomPlace, qtbot: QtBot) -> None:
    come_to(place, "trim")
    typed(qtbot, place, "roast")
    assert made(place).versions[1].stages[0].kind == "trim"
    assert "47 %" in place.stages.fault.text()
    refusal = place.stages.model.index(0, 1).data(Qt.ItemDataRole.UserRole + 2)
    assert isinstance(refusal, GivesUp)
    come_to(place, "trim")
    qtbot.keyClick(place.stages.table, Keys.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert made(place).versions[1].stages[0].kind == "roast"
    place.desk.undo()
    assert dict(made(place).versions[1].stages[0].facts)["refuse"].text == "47 %"


def test_stages_grow_by_a_key_or_by_typing_their_kind(place: StillroomPlace, qtbot: QtBot) -> None:
    come_to(place, "+")
    typed(qtbot, place, "strain")
    assert made(place).versions[1].stages[-1].kind == "strain"
    come_to(place, "trim")
    qtbot.keyClick(place.stages.table, Keys.Key_Insert)
    menu = next(m for m in place.findChildren(QMenu) if m.isVisible())
    assert len([a for a in menu.actions() if not a.isSeparator()]) == len(STAGE_KINDS)
    qtbot.keyClick(menu, Keys.Key_T)  # each kind has a letter of its own: Trim
    assert [s.kind for s in made(place).versions[1].stages][:2] == ["trim", "trim"]
    place.desk.undo()
    come_to(place, "infuse/add/0")
    assert place.stages.acts.split_off("rest")
    kinds = [s.kind for s in made(place).versions[1].stages]
    assert kinds[:4] == ["trim", "roast", "rest", "infuse"]
    assert not made(place).versions[1].stages[3].adds
    assert not place.desk.document.reckoning.ledgers[RUM].refused


def test_stages_and_components_move_by_keys(place: StillroomPlace, qtbot: QtBot) -> None:
    come_to(place, "proof")
    qtbot.keyClick(place.stages.table, Keys.Key_Down, Qt.KeyboardModifier.ControlModifier)
    assert [s.id for s in made(place).versions[1].stages][-2:] == ["bottle", "proof"]
    shown = [r.stage for r in place.stages.model.rows() if r.sort == "stage"]
    assert shown[-2:] == ["bottle", "proof"]
    come_to(place, "proof/holdup" if position(place, "proof/holdup") else "bottle/holdup")
    qtbot.keyClick(place.stages.table, Keys.Key_Delete)
    assert not made(place).versions[1].stages[4].facts
    place.show_item(Where("preparation", "milk-punch"))
    come_to(place, "blend/add/0")
    qtbot.keyClick(place.stages.table, Keys.Key_Down, Qt.KeyboardModifier.ControlModifier)
    assert made(place, "milk-punch").versions[0].stages[0].adds[1].source == "white-rum"


def test_problems_stand_under_the_line_they_are_about(place: StillroomPlace, qtbot: QtBot) -> None:
    come_to(place, "roast/out.mass")
    typed(qtbot, place, "9 kg")
    rows = place.stages.model.rows()
    at = next(n for n, row in enumerate(rows) if row.sort == "problem")
    assert rows[at - 1].key == f"{RUM}/roast/out.mass"
    assert "Stage 2 stops it" in place.stages.amiss.text()
    assert place.stages.figures["making"].text_shown == "–"
    place.desk.undo()
    assert place.stages.amiss.isHidden()


def test_methods_that_cannot_read_the_liquid_are_not_offered(place: StillroomPlace) -> None:
    come_to(place, "infuse/new")
    place.stages.acts.open_stage()
    row = line(place, "infuse/out.abv")
    column = place.stages.model.columns[2]
    assert column.tip is not None
    assert "not here" in column.tip(row)
    come_to(place, "infuse/out.abv", 2)
    assert column.offers is not None
    assert "alcoholmeter" not in column.offers("")
    assert "distilled sample" in column.offers("")


def test_the_ledger_closes_and_every_figure_is_marked(place: StillroomPlace) -> None:
    for ident in place.desk.document.view.preparations:
        place.show_item(Where("preparation", ident))
        rows = [place.stages.ledger_model.row(n) for n in range(place.stages.ledger_model.rowCount())]
        assert rows
        assert all(row.text == "closes" for row in rows if row.sort == "closes"), ident
        assert all(row.mark for row in rows if row.kg is not None)
        for stage in {row.stage for row in rows}:
            mine = [row for row in rows if row.stage == stage and row.money is not None and not row.memo]
            came = sum(row.money or 0.0 for row in mine if row.sort == "in")
            went = sum(row.money or 0.0 for row in mine if row.sort in ("on", "kept"))
            assert came == pytest.approx(went), (ident, stage)


def test_a_recipe_is_pasted_into_a_stage_as_one_step(place: StillroomPlace) -> None:
    head = place.desk.document.head
    come_to(place, "infuse/new")
    QGuiApplication.clipboard().setText("50 g\tsugar\n20 ml\tlime juice")
    place.stages.table.paste()
    assert place.desk.document.head == head + 1
    assert [i.source for i in made(place).versions[1].stages[2].adds] == ["white-rum", "sugar", "lime-juice"]


def test_what_was_not_taken_waits_while_another_preparation_is_shown(place: StillroomPlace, qtbot: QtBot) -> None:
    come_to(place, "trim/new")
    typed(qtbot, place, "3 dl moonwater")
    head = place.stages.head
    head.shelf.setText("soon")
    qtbot.keyClick(head.shelf, Keys.Key_Return)
    place.show_item(Where("preparation", "ginger-juice"))  # it has a stage trim too
    rows = range(place.stages.model.rowCount())
    assert not any(place.stages.model.index(n, 1).data(REFUSED_ROLE) for n in rows)
    assert head.shelf.text() == "2"
    assert place.stages.fault.isHidden()
    place.show_item(Where("preparation", RUM))
    at = position(place, "trim/new")
    assert at is not None
    assert place.stages.model.index(at, 1).data() == "3 dl moonwater"
    assert "moonwater" in place.stages.fault.text()
    assert head.shelf.text() == "soon"
    assert head.shelf.refusal is not None


def test_every_figure_says_why(place: StillroomPlace) -> None:
    figures, form = place.desk.document.figures, place.desk.format
    said = 0
    for ident in (RUM, "walnut-mother", "cooler-base"):
        place.show_item(Where("preparation", ident))
        said += sum(explained(model, figures, form) for model in (place.stages.ledger_model, place.stages.model))
    assert said > 300


def explained(model: RowTable[Any], figures: Figures, form: Format) -> int:
    """How many cells of a table say why; each must have a title for it."""
    subjects = [
        column.why(model.row(n)) for n in range(model.rowCount()) for column in model.columns if column.why is not None
    ]
    trails = [cast(Subject, subject).trail(figures, form) for subject in subjects if subject is not None]
    assert all(trail.title for trail in trails)
    return len(trails)


def test_every_kind_of_stage_has_a_letter() -> None:
    titles = lettered([stage_word(kind) for kind in STAGE_KINDS])
    letters = [title[title.index("&") + 1].casefold() for title in titles if "&" in title]
    assert len(letters) == len(set(letters)) >= 20
