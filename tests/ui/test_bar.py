"""The bar: components typed and pasted, live figures, versions and variants, all of it taken back again."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QLineEdit
from pytestqt.modeltest import ModelTester
from pytestqt.qtbot import QtBot

from costing.book.records import Serve, ServeVersion
from costing.report.cards import balance_in_glass
from ui.desk import Desk, Where
from ui.places.bar import BarPlace
from ui.places.bar.allergens import AllergensOf
from ui.places.bar.glass import InGlass
from ui.places.bar.paste import PasteLines
from ui.range_why import RangeOf

Key = Qt.Key
DRINK = "harbour-light"


@pytest.fixture
def bar(desk: Desk, qtbot: QtBot) -> BarPlace:
    """The place on the sample bar, shown, a drink chosen."""
    place = BarPlace(desk)
    qtbot.addWidget(place)
    place.resize(1100, 640)
    place.show()
    qtbot.waitExposed(place)
    place.show_item(Where("serve", DRINK, "build"))
    return place


def version(bar: BarPlace, ident: str = DRINK) -> ServeVersion:
    """A drink as the book has it."""
    return bar.desk.document.view.serves[ident][1]


def amounts(bar: BarPlace) -> list[tuple[str, str]]:
    """(amount as typed, source) of its components."""
    return [(i.amount.text if i.amount else "", i.source) for i in version(bar).build.adds]


def editor(bar: BarPlace) -> QLineEdit:
    """The cell that is being typed into."""
    (found,) = [e for e in bar.build.list.table.findChildren(QLineEdit) if e.isVisible()]
    return found


def type_line(bar: BarPlace, qtbot: QtBot, at: int, text: str, *, enter: bool = True) -> None:
    """Type over a component as a hand does."""
    table = bar.build.list.table
    table.choose(f"{bar.build.serve}/{at}", 0)
    table.setFocus()
    qtbot.keyClick(table, Key.Key_F2)
    line = editor(bar)
    line.selectAll()
    qtbot.keyClicks(line, text)
    if enter:
        qtbot.keyClick(line, Key.Key_Return)
        qtbot.waitUntil(lambda: not [e for e in table.findChildren(QLineEdit) if e.isVisible()])


def test_every_model_keeps_qts_rules(bar: BarPlace, qtmodeltester: ModelTester) -> None:
    bar.pages.setCurrentWidget(bar.lists)
    for model in (bar.rows, bar.build.parts, bar.lists.techniques, bar.lists.glasses):
        assert model.rowCount() > 0
        qtmodeltester.check(model)


def test_components_add_up_to_the_cost_of_the_drink(bar: BarPlace) -> None:
    figures = bar.desk.document.figures
    for ident in figures.view.serves:
        bar.show_item(Where("serve", ident))
        shown = sum(row.money or 0.0 for row in bar.build.parts.rows())
        priced = next(p for p in figures.priced if p.serve.id == ident)
        assert shown == pytest.approx(priced.base, rel=1e-9), ident


def test_the_empty_line_takes_the_next_component(bar: BarPlace, qtbot: QtBot) -> None:
    before, cost = amounts(bar), bar.build.figures["cost"].text_shown
    type_line(bar, qtbot, len(before), "10 ml white rum 40 %")
    assert amounts(bar) == [*before, ("10 ml", "white-rum")]
    assert bar.build.figures["cost"].text_shown != cost
    assert bar.desk.undo()
    assert amounts(bar) == before
    assert bar.build.figures["cost"].text_shown == cost


def test_figures_move_while_a_line_is_typed_and_nothing_is_written(bar: BarPlace, qtbot: QtBot) -> None:
    head, cost = bar.desk.document.head, bar.build.figures["cost"].text_shown
    type_line(bar, qtbot, 0, "90 ml roasted pineapple rum distillate", enter=False)
    qtbot.waitUntil(lambda: bar.build.figures["cost"].text_shown != cost)
    assert bar.desk.document.head == head
    assert "nothing is written" in bar.build.figures["cost"].toolTip()


def test_a_line_that_cannot_be_read_stays_with_its_reason(bar: BarPlace, qtbot: QtBot) -> None:
    before, head = amounts(bar), bar.desk.document.head
    type_line(bar, qtbot, 0, "45 ml moon water")
    assert bar.build.parts.index(0, 0).data() == "45 ml moon water"
    assert "moon water" in bar.build.list.fault.text()
    assert bar.build.list.fault.isVisible()
    assert (amounts(bar), bar.desk.document.head) == (before, head)


def test_offers_fold_accents_and_keep_the_amount(bar: BarPlace, qtbot: QtBot) -> None:
    offers = bar.build.parts.columns[0].offers
    assert offers is not None
    assert any(text.startswith("45 ml ") and "ineapple" in text for text in offers("45 ml PINÉAPPLE"))


def test_a_clean_recipe_pastes_as_one_step(bar: BarPlace, qtbot: QtBot) -> None:
    before, head = amounts(bar), bar.desk.document.head
    QGuiApplication.clipboard().setText("10 ml white rum 40 %\n5 ml lemon juice")
    table = bar.build.list.table
    table.choose(f"{DRINK}/{len(before)}", 0)
    table.setFocus()
    qtbot.keyClick(table, Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    assert len(amounts(bar)) == len(before) + 2
    assert bar.desk.document.head == head + 1
    assert bar.desk.undo()
    assert amounts(bar) == before


def test_lines_in_doubt_are_looked_at_and_chosen_by_keyboard(bar: BarPlace, qtbot: QtBot) -> None:
    before, head = amounts(bar), bar.desk.document.head
    bar.build.list.table.paste_block([["10 ml white rum 40 %"], ["20 ml pineaple rum distilate"]], len(before), 0)
    (dialog,) = bar.build.findChildren(PasteLines)
    assert bar.desk.document.head == head
    assert not dialog.taken.rows()[1].decided
    assert dialog.pane.table.currentIndex().row() == 1
    names = dialog.choices("1")
    assert names
    dialog.choose("1", names[0])
    assert all(row.decided for row in dialog.taken.rows())
    dialog.accept()
    assert len(amounts(bar)) == len(before) + 2
    assert bar.desk.document.head == head + 1


def test_what_is_left_undecided_is_said_and_what_is_nothing_stays(bar: BarPlace, qtbot: QtBot) -> None:
    before = amounts(bar)
    bar.build.list.table.paste_block([["10 ml white rum 40 %"], ["20 ml xyzzy"]], len(before), 0)
    (dialog,) = bar.build.findChildren(PasteLines)
    dialog.offer("1")
    assert "nothing like it" in dialog.said.text()
    told: list[str] = []
    bar.desk.told.connect(told.append)
    dialog.accept()
    assert "20 ml xyzzy" in told[-1]
    assert len(amounts(bar)) == len(before) + 1
    bar.build.list.table.paste_block([["xyzzy"]], 0, 0)
    again = bar.build.findChildren(PasteLines)[-1]
    again.accept()
    assert again.isVisible()
    assert again.lines.toPlainText() == "xyzzy"


def test_order_and_removal_by_key(bar: BarPlace, qtbot: QtBot) -> None:
    before, table = amounts(bar), bar.build.list.table
    table.choose(f"{DRINK}/0", 0)
    table.setFocus()
    qtbot.keyClick(table, Key.Key_Down, Qt.KeyboardModifier.ControlModifier)
    assert amounts(bar) == [before[1], before[0], *before[2:]]
    assert table.currentIndex().row() == 1
    qtbot.keyClick(table, Key.Key_Delete)
    assert amounts(bar) == [before[1], *before[2:]]


@pytest.mark.parametrize(
    ("field", "text", "read"),
    [("technique", "stirred", "technique"), ("glass", "Rocks glass", "glass"), ("hands", "", "")],
)
def test_choices_are_taken_by_name(bar: BarPlace, field: str, text: str, read: str) -> None:
    widget = getattr(bar.build, field)
    widget.setText(text)
    widget.commit()
    found = version(bar)
    wanted = text.partition(" ")[0].lower()
    assert (getattr(found, read) if read else found.build.labour) == wanted
    assert widget.refusal is None
    widget.setText("Moonbeam")
    widget.commit()
    assert widget.text() == "Moonbeam"
    assert widget.refusal is not None
    assert "Moonbeam" in widget.refusal.text


def test_spill_is_typed_in_its_cell(bar: BarPlace) -> None:
    column = next(c for c in bar.build.parts.columns if c.key == "spill")
    assert column.write is not None
    step = column.write(bar.desk.document.book, bar.build.parts.rows()[1], "4")
    assert bar.desk.do(step)
    spill = version(bar).build.adds[1].spill
    assert spill is not None
    assert spill.text == "4 %"
    assert bar.build.parts.rows()[1].spill == "4 %"


def test_a_variant_and_a_version_keep_what_was(bar: BarPlace, qtbot: QtBot) -> None:
    before = amounts(bar)
    assert bar.make_variant("Harbour Dark")
    assert bar.current != DRINK
    type_line(bar, qtbot, 0, "30 ml white rum 40 %")
    assert amounts(bar) == before
    bar.show_item(Where("serve", DRINK, "build"))
    bar.begin_version()
    type_line(bar, qtbot, 0, "30 ml white rum 40 %")
    assert len(bar.desk.document.book.all(Serve)[DRINK].versions) == 2
    bar.remove_version()
    assert amounts(bar) == before


def test_a_drink_on_a_menu_is_not_removed_and_the_menu_is_named(bar: BarPlace, qtbot: QtBot) -> None:
    with qtbot.waitSignal(bar.desk.refused) as told:
        bar.remove()
    assert "Main menu" in told.args[0].text
    assert bar.current == DRINK
    bar.make_variant("Harbour Dark")
    made = bar.current
    bar.remove()
    assert made not in bar.desk.document.book.all(Serve)


def test_why_of_range_and_allergens(bar: BarPlace, qtbot: QtBot) -> None:
    with qtbot.waitSignal(bar.desk.explained) as told:
        bar.explain_range()
    assert told.args[0] == RangeOf(DRINK)
    qtbot.waitUntil(lambda: bar.desk.document.figures.ranges is not None, timeout=20_000)
    trail = told.args[0].trail(bar.desk.document.figures, bar.desk.format)
    assert any("batches" in line.text for line in trail.lines)
    with qtbot.waitSignal(bar.desk.explained) as told:
        bar.build.words.why.click()
    assert told.args[0] == AllergensOf(DRINK)
    trail = told.args[0].trail(bar.desk.document.figures, bar.desk.format)
    assert any(line.figure == "may contain" for line in trail.lines)
    assert any(line.depth == 1 for line in trail.lines)
    for ident in bar.desk.document.view.serves:
        AllergensOf(ident).trail(bar.desk.document.figures, bar.desk.format)


def test_every_figure_says_why(bar: BarPlace) -> None:
    figures, form = bar.desk.document.figures, bar.desk.format
    explained: list[object] = []
    bar.desk.explained.connect(explained.append)
    for tag in bar.build.figures.tags.values():
        before = len(explained)
        tag.explain()
        assert len(explained) == before + 1
    for ident in figures.view.serves:
        trail = InGlass(ident).trail(figures, form)
        assert trail.lines
    grams = [line.figure for line in InGlass(DRINK).trail(figures, form).lines]
    glass = balance_in_glass(figures.reckoning, DRINK)
    assert glass is not None
    assert form.number(glass.ethanol_g, 1) in next(text for text in reversed(grams) if text)


def test_a_book_with_nothing_in_it_says_what_goes_here(empty_desk: Desk, qtbot: QtBot) -> None:
    place = BarPlace(empty_desk)
    qtbot.addWidget(place)
    place.show()
    qtbot.waitExposed(place)
    assert place.rows.rowCount() == 0
    place.pages.setCurrentWidget(place.lists)
    table = place.lists.technique_list.table
    assert place.lists.techniques.rowCount() == 1
    assert table.rows.index(0, 0).data()
