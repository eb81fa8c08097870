"""The window: places by key, back and forward, undo by name, a refusal that stays until it is answered."""

from datetime import date

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QLineEdit, QToolButton, QWidget
from pytestqt.qtbot import QtBot

from costing.book.change import Step, put
from costing.book.records import Supplier
from tests.ui.conftest import DAY, DictMemory
from ui.desk import Desk, Where
from ui.document import Document
from ui.fault import Refusal
from ui.format import Format, locale_of
from ui.frame.problems import amiss, summary
from ui.frame.window import Window
from ui.places.base import Place
from ui.whys import CostOfServe, PriceOf, UnitCost
from ui.widgets.acts import acts


class Room(Place):
    """A place with one field, for the window alone."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.field = QLineEdit(self)
        self.other = QWidget(self)
        self.acts: list[QAction] = []
        self.hidden: list[QAction] = []
        self.shown: list[Where] = []

    def show_item(self, where: Where) -> bool:
        """Every id but this is there."""
        self.shown.append(where)
        return where.id != "nowhere"

    def actions_of(self) -> list[QAction]:
        """What a test gave it."""
        return [*self.acts, *self.hidden]

    def find_field(self) -> QLineEdit:
        """The field."""
        return self.field


@pytest.fixture
def window(document: Document, memory: DictMemory, qtbot: QtBot) -> Window:
    rooms = [
        ("cellar", "Cellar", "Goods", ("good", "supplier"), Room),
        ("bar", "Bar", "Drinks", ("serve",), Room),
    ]
    window = Window(document, Format(locale_of("en"), "EUR"), memory, rooms)
    qtbot.addWidget(window)
    window.show_place("cellar")
    window.show()
    return window


def test_places_by_key_and_back(window: Window, qtbot: QtBot) -> None:
    qtbot.keyClick(window, Qt.Key.Key_2, Qt.KeyboardModifier.ControlModifier)
    assert window.place_name == "bar"
    window.desk.go(Where("good", "rum"))
    assert window.place_name == "cellar"
    room = window.place("cellar")
    assert isinstance(room, Room)
    assert room.shown == [Where("good", "rum")]
    window.go_back()
    assert window.place_name == "bar"
    window.go_back()
    assert window.place_name == "cellar"
    window.go_forward()
    window.go_forward()
    assert room.shown == [Where("good", "rum")] * 2


def test_what_is_not_there_is_said(window: Window) -> None:
    assert not window.go(Where("serve", "nowhere"))
    assert "nowhere" in window.statusBar().currentMessage()


def test_undo_carries_the_name_of_the_step(window: Window) -> None:
    assert not window.undo.isEnabled()
    assert window.desk.do(Step("a new supplier", (put("supplier", Supplier(id="x1", name="X")),)))
    assert window.undo.text() == "Undo: a new supplier"
    window.undo.trigger()
    assert not window.undo.isEnabled()
    assert window.redo.text() == "Redo: a new supplier"
    assert window.saved.text().startswith("Saved ")


def test_a_refusal_stays_until_something_goes_through(window: Window) -> None:
    window.desk.refuse(Refusal("No.", "It is so.", "Do it otherwise."))
    assert window.notice.isVisible()
    assert window.notice.text == "No. It is so. Do it otherwise."
    window.desk.do(Step("a new supplier", (put("supplier", Supplier(id="x2", name="X")),)))
    assert not window.notice.isVisible()


def test_a_step_that_cannot_be_is_refused_and_nothing_is_written(window: Window) -> None:
    before = window.desk.document.head
    stale = Step("rename", (put("supplier", Supplier(id="q", name="B"), Supplier(id="q", name="A")),))
    assert not window.desk.do(stale)
    assert window.notice.isVisible()
    assert window.desk.document.head == before


def test_the_day_moves_everything(window: Window, qtbot: QtBot) -> None:
    with qtbot.waitSignal(window.desk.document.changed):
        window.day.setText("2026-03-01")
        window.day.commit()
    assert window.desk.document.day == date(2026, 3, 1)
    window.day.setText("03/04/2026")
    window.day.commit()
    assert window.day.refusal is not None
    assert window.desk.document.day == date(2026, 3, 1)


def test_another_history_on_the_file_is_taken_in(window: Window, document: Document) -> None:
    from costing.book.history import History
    from costing.store import open_store

    assert document.path is not None
    with open_store(document.path) as store:
        History(store).do(Step("from elsewhere", (put("supplier", Supplier(id="e", name="E")),)))
    document.refresh()
    assert document.book.get("supplier", "e") is not None
    assert window.undo.text() == "Undo: from elsewhere"


def test_every_cost_and_price_of_the_sample_answers_why(document: Document) -> None:
    form = Format(locale_of("en"), "EUR")
    figures = document.figures
    for serve in figures.view.serves:
        trail = CostOfServe(serve).trail(figures, form)
        tops = [line for line in trail.lines if line.depth == 1 and line.where is not None]
        assert tops, serve
    for source in figures.reckoning.costs:
        assert UnitCost(source).trail(figures, form).title
    for priced in figures.priced:
        trail = PriceOf(priced.serve.id, priced.menu, priced.section).trail(figures, form)
        assert priced.suggestion is None or trail.figure == form.money(priced.suggestion.at.all_in)


def test_the_strip_counts_what_the_list_holds(document: Document) -> None:
    open_points = list(amiss(document.figures))
    said = summary(document.figures)
    assert len({point.key for point in open_points}) == len(open_points)
    assert (said == "Nothing is open") == (not open_points)


def test_state_is_kept_and_taken_up(window: Window, document: Document, memory: DictMemory, qtbot: QtBot) -> None:
    window.show_place("bar")
    window.keep_state()
    assert memory.get("window/place") == "bar"
    assert document.day == DAY


@pytest.mark.parametrize(
    ("value", "language", "wanted"),
    [
        (1234.5, "en", "1,234.50"),
        (1234.5, "de", "1.234,50"),
        (-0.005, "en", "\u22120.01"),
        (0.0049, "en", "0.00"),
        (1234567.125, "ar", "1,234,567.13"),
    ],
)
def test_money_is_written_as_the_language_does(value: float, language: str, wanted: str) -> None:
    said = Format(locale_of(language), "EUR").money(value)
    assert said.replace("\u200e", "").replace("٬", ",") == wanted


def test_a_currency_has_its_own_decimals() -> None:
    assert Format(locale_of("en"), "JPY").money(1234.5) == "1,235"
    assert Format(locale_of("en"), "KWD").money(1.23456) == "1.235"


def _in_another_place(window: Window, qtbot: QtBot) -> list[str]:
    """The bar with an action on Ctrl+Shift+N; what it was pressed for."""
    room = window.place("bar")
    assert isinstance(room, Room)
    heard: list[str] = []
    room.acts = acts(room, [("New", "Ctrl+Shift+N", lambda: heard.append("new"))])
    room.hidden = acts(room.other, [("Hidden", "Ctrl+Shift+H", lambda: heard.append("hidden"))])
    room.other.hide()
    return heard


@pytest.mark.parametrize("pane", ["rail", "why", "day"])
def test_what_the_menu_of_a_place_offers_works_wherever_the_keyboard_is(
    window: Window, qtbot: QtBot, pane: str
) -> None:
    heard = _in_another_place(window, qtbot)
    window.show_place("bar")
    where = {
        "rail": next(iter(window.rail.findChildren(QToolButton))),
        "why": window.side.why.table,
        "day": window.day,
    }[pane]
    where.setFocus()
    both = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
    qtbot.keyClick(where, Qt.Key.Key_N, both)
    assert heard == ["new"]
    qtbot.keyClick(where, Qt.Key.Key_H, both)
    assert heard == ["new"], "a page that is not seen does nothing"


def test_coming_to_a_place_brings_the_keyboard(window: Window, qtbot: QtBot) -> None:
    window.rail.findChildren(QToolButton)[1].click()
    room = window.place("bar")
    assert isinstance(room, Room)
    assert window.focusWidget() is room.field
    window.side.why.table.setFocus()
    window.show_place("bar")
    assert window.focusWidget() is room.field, "also where the place is shown already"


def test_a_day_put_right_takes_the_notice_away(window: Window, qtbot: QtBot) -> None:
    window.day.setText("1/2/26")
    window.day.commit()
    assert window.notice.isVisibleTo(window)
    window.day.setText("2026-11-20")
    window.day.commit()
    assert window.desk.document.day == date(2026, 11, 20)
    assert not window.notice.isVisibleTo(window)
