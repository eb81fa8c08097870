"""What is typed in the bar stays with the drink it was typed for, until it is taken or dropped."""

from datetime import date

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from costing.book.records import Serve
from costing.edits import serves
from tests.ui.conftest import DAY
from tests.ui.test_bar import DRINK, bar, editor, type_line
from ui.desk import Desk, Where
from ui.models.table import Written
from ui.places.bar import BarPlace
from ui.places.bar.paste import PasteLines
from ui.widgets.newdrink import NewDrink

__all__ = ["bar"]
Key = Qt.Key
OTHER = "tide-table"


def shown(bar: BarPlace, row: int, column: int = 0) -> str:
    """What a cell of the components shows."""
    return str(bar.build.parts.index(row, column).data())


def asked(bar: BarPlace) -> list[NewDrink]:
    """The dialogs for a new drink that are alive."""
    return bar.findChildren(NewDrink)


def hide_offers(bar: BarPlace) -> None:
    """Put away what is offered while one types: the first Esc or Enter is its."""
    completer = editor(bar).completer()
    popup = completer.popup() if completer is not None else None
    if popup is not None:
        popup.hide()


def test_a_refused_component_waits_for_its_drink(bar: BarPlace) -> None:
    bar.build.parts.write([Written(0, 0, "45 ml nonesuch thing")])
    assert "nonesuch" in bar.build.list.fault.text()
    bar.show_item(Where("serve", OTHER))
    assert shown(bar, 0) == bar.build.parts.row(0).text
    assert not bar.build.list.fault.isVisible()
    bar.build.parts.write([Written(1, 0, "1 ml xyzzy")])
    bar.show_item(Where("serve", DRINK))
    assert shown(bar, 0) == "45 ml nonesuch thing"
    assert shown(bar, 1) == bar.build.parts.row(1).text
    assert "nonesuch" in bar.build.list.fault.text()
    assert bar.build.list.fault.isVisible()
    bar.show_item(Where("serve", OTHER))
    assert (shown(bar, 1), "xyzzy" in bar.build.list.fault.text()) == ("1 ml xyzzy", True)


def test_a_refused_component_goes_with_its_line(bar: BarPlace) -> None:
    bar.build.parts.write([Written(1, 0, "45 ml nonesuch thing")])
    assert bar.desk.do(serves.remove_line(bar.desk.document.book, DRINK, DAY, 0))
    assert shown(bar, 0) == "45 ml nonesuch thing"
    assert shown(bar, 1) == bar.build.parts.row(1).text


def test_a_refused_spill_says_why_under_the_table(bar: BarPlace) -> None:
    bar.build.parts.write([Written(1, 3, "half of it")])
    assert (shown(bar, 1, 3), bar.build.list.fault.isVisible()) == ("half of it", True)
    assert "half of it" in bar.build.list.fault.text()


@pytest.mark.parametrize(("field", "text"), [("seconds", "ninety-ish"), ("technique", "Moonbeam"), ("name", "")])
def test_a_refused_field_comes_back_with_its_drink(bar: BarPlace, field: str, text: str) -> None:
    widget = getattr(bar.build, field)
    widget.setText(text)
    widget.commit()
    why = widget.refusal
    assert why is not None
    bar.show_item(Where("serve", OTHER))
    assert widget.refusal is None
    assert widget.text() == widget.stands != text
    assert bar.unkept() == [text]
    bar.show_item(Where("serve", DRINK))
    assert (widget.text(), widget.refusal) == (text, why)
    assert bar.unkept() == []
    widget.revert()
    bar.show_item(Where("serve", OTHER))
    bar.show_item(Where("serve", DRINK))
    assert widget.text() == widget.stands


def test_a_half_typed_field_comes_back_with_its_drink(bar: BarPlace, qtbot: QtBot) -> None:
    note = bar.build.note
    note.setFocus()
    qtbot.keyClicks(note, "Shake har")
    bar.build.show_serve(OTHER)
    assert note.text() == note.stands
    bar.build.show_serve(DRINK)
    assert note.text() == "Shake har"


def test_the_figures_are_the_books_again_once_nothing_is_typed(bar: BarPlace, qtbot: QtBot) -> None:
    cost = bar.build.figures["cost"]
    before = cost.text_shown
    type_line(bar, qtbot, 0, "90 ml roasted pineapple rum distillate", enter=False)
    qtbot.waitUntil(lambda: cost.text_shown != before)
    hide_offers(bar)
    qtbot.keyClick(editor(bar), Key.Key_Escape)
    qtbot.waitUntil(lambda: cost.text_shown == before)
    assert "nothing is written" not in cost.toolTip()
    # a draft that could be read, then a text that cannot
    type_line(bar, qtbot, 0, "90 ml roasted pineapple rum distillate", enter=False)
    qtbot.waitUntil(lambda: cost.text_shown != before)
    qtbot.keyClicks(editor(bar), "zzz")
    hide_offers(bar)
    qtbot.keyClick(editor(bar), Key.Key_Return)
    qtbot.waitUntil(lambda: not [e for e in bar.build.list.table.findChildren(QLineEdit) if e.isVisible()])
    assert shown(bar, 0).endswith("zzz")
    assert bar.build.list.fault.isVisible()
    assert (cost.text_shown, "nothing is written" in cost.toolTip()) == (before, False)


def test_no_draft_is_shown_on_another_drink(bar: BarPlace, qtbot: QtBot) -> None:
    type_line(bar, qtbot, 0, "500 ml lemon juice", enter=False)
    bar.show_item(Where("serve", OTHER))
    cost = bar.build.figures["cost"].text_shown
    bar.build._timer.timeout.emit()
    assert bar.build.figures["cost"].text_shown == cost


def test_prices_hold_from_the_day_that_is_looked_at_until_another_is_typed(bar: BarPlace) -> None:
    bar.pages.setCurrentWidget(bar.price)
    document, since = bar.desk.document, bar.price.since
    document.set_day(date(2026, 12, 1))
    assert since.text() == "2026-12-01"
    since.setText("2027-01-15")
    since.commit()
    assert bar.desk.do(serves.set_note(document.book, DRINK, document.day, "Shake hard"))
    bar.show_item(Where("serve", OTHER))
    bar.hide()
    assert bar.desk.do(serves.set_note(document.book, OTHER, document.day, "Stir"))
    bar.show()
    assert since.text() == "2027-01-15"
    bar.price.steps.setFocus()
    wanted = next(str(s.price) for s in bar.price._steps if not s.now)
    bar.price.steps.choose(wanted)
    bar.price.use.click()
    held = [p.since for line in _lines(bar) for p in line.prices]
    assert date(2027, 1, 15) in held
    document.set_day(date(2026, 12, 24))
    assert since.text() == "2026-12-24"
    since.setText("+7")
    since.commit()
    assert since.text() == "2026-12-31"
    since.setText("")
    since.commit()
    assert since.text() == "2026-12-24"


def _lines(bar: BarPlace) -> list:  # type: ignore[type-arg]
    menus = bar.desk.document.view.menus.values()
    return [line for menu in menus for section in menu.sections for line in section.lines if line.serve == OTHER]


def test_a_new_drink_that_was_left_is_there_again(bar: BarPlace, qtbot: QtBot) -> None:
    bar.ask_new()
    (dialog,) = asked(bar)
    qtbot.keyClicks(dialog.name, "Pier Head")
    qtbot.keyClick(dialog.name, Key.Key_Escape)
    assert not dialog.isVisible()
    bar.ask_new()
    dialog = asked(bar)[-1]
    assert dialog.name.text() == "Pier Head"
    dialog.lines.setFocus()
    qtbot.keyClicks(dialog.lines, "45 ml white rum 40 %")
    qtbot.keyClick(dialog.lines, Key.Key_Escape)
    bar.ask_new()
    dialog = asked(bar)[-1]
    assert dialog.lines.toPlainText() == "45 ml white rum 40 %"
    assert [row.source for row in dialog.read.rows()] == ["White rum 40 %"]
    dialog.accept()
    assert dialog.made
    assert bar.current == dialog.made
    bar.ask_new()
    dialog = asked(bar)[-1]
    assert (dialog.name.text(), dialog.lines.toPlainText()) == ("", "")


def test_a_new_drink_that_was_left_outlives_the_window(bar: BarPlace, empty_desk: Desk, qtbot: QtBot) -> None:
    bar.ask_new()
    (dialog,) = asked(bar)
    dialog.name.setText("Pier Head")
    dialog.lines.setPlainText("45 ml gin\n20 ml lemon juice")
    state = bar.save_state()  # a theme or a language makes the place anew
    dialog.reject()
    again, elsewhere = BarPlace(bar.desk), BarPlace(empty_desk)
    for place in (again, elsewhere):
        qtbot.addWidget(place)
        place.restore_state(state)
        place.ask_new()
    (dialog,) = asked(again)
    assert (dialog.name.text(), dialog.lines.toPlainText()) == ("Pier Head", "45 ml gin\n20 ml lemon juice")
    (other,) = asked(elsewhere)
    assert (other.name.text(), other.lines.toPlainText()) == ("", "")  # another book
    for kept in (None, [], ["x"], {"a": 1}, "text"):
        BarPlace(empty_desk).restore_state({"draft": kept})


def test_a_dialog_that_was_left_is_gone(bar: BarPlace, qtbot: QtBot) -> None:
    for _ in range(5):
        bar.ask_new()
        bar.ask_new()  # asked twice, it is one dialog
        assert len([d for d in asked(bar) if d.isVisible()]) == 1
        next(d for d in asked(bar) if d.isVisible()).reject()
        bar.build.list.table.paste_block([["20 ml xyzzy"]], 0, 0)
        next(d for d in bar.build.findChildren(PasteLines) if d.isVisible()).reject()
    qtbot.waitUntil(lambda: not asked(bar) and not bar.build.findChildren(PasteLines))


def test_lines_that_would_be_left_out_are_said_before_the_drink_is_made(bar: BarPlace) -> None:
    head = bar.desk.document.head
    bar.ask_new()
    (dialog,) = asked(bar)
    dialog.name.setText("Pier Head")
    dialog.lines.setPlainText("45 ml white rum 40 %\n20 ml xyzzy\n1 dash plugh")
    dialog.accept()
    assert (dialog.isVisible(), bar.desk.document.head) == (True, head)
    assert "20 ml xyzzy; 1 dash plugh" in dialog.said.text()
    dialog.lines.setPlainText("45 ml white rum 40 %\n20 ml xyzzy")
    dialog.accept()  # what is left out is not what was agreed to
    assert bar.desk.document.head == head
    dialog.accept()
    assert bar.desk.document.head == head + 1
    made = bar.desk.document.book.all(Serve)[dialog.made]
    assert made.versions[0].note == "undecided: 20 ml xyzzy"
    (problem,) = [p for p in bar.desk.document.figures.problems if p.code == "lines-left-out"]
    assert bar.show_item(Where("serve", dialog.made, problem.where.split("/", 2)[2]))
    bar.build.note.setText("")
    bar.build.note.commit()
    assert "lines-left-out" not in [p.code for p in bar.desk.document.figures.problems]


def test_why_there_is_no_drink_is_said_once(bar: BarPlace) -> None:
    bar.ask_new()
    (dialog,) = asked(bar)
    dialog.name.setText("Pier Head")
    dialog.lines.setPlainText("20 ml xyzzy\n1 dash plugh\n2 ml nothing")
    dialog.accept()
    assert dialog.said.text() == "None of the lines is decided, so there is nothing to add."
    dialog.name.setText("")
    dialog.accept()
    assert dialog.said.text() == "It has no name: put one above the lines."
