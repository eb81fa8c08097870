"""Ctrl+K: type a few letters, choose with the arrows, Enter goes there or does it."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtTest import QAbstractItemModelTester
from pytestqt.qtbot import QtBot

from ui.desk import Desk, Where
from ui.frame.finder import Finder


@pytest.fixture
def done() -> list[str]:
    """What was done by an action."""
    return []


@pytest.fixture
def finder(desk: Desk, done: list[str], qtbot: QtBot) -> Finder:
    def act() -> None:
        done.append("weighed")

    weigh, barred = QAction("Weigh the &fruit…", desk), QAction("Barred", desk)
    weigh.setShortcut("Ctrl+Alt+W")
    weigh.triggered.connect(act)
    barred.setEnabled(False)
    finder = Finder(desk, lambda: [weigh, barred], None)
    finder.finished.disconnect(finder.deleteLater)  # the test looks at it when it is closed
    qtbot.addWidget(finder)
    QAbstractItemModelTester(finder.rows, finder)
    finder.open()
    return finder


def shown(finder: Finder) -> list[tuple[str, ...]]:
    return [
        tuple(str(finder.rows.index(row, column).data()) for column in range(3))
        for row in range(finder.rows.rowCount())
    ]


def test_at_first_it_shows_what_can_be_done_and_its_key(finder: Finder) -> None:
    assert shown(finder) == [("command", "Weigh the fruit", "Ctrl+Alt+W")]


def test_results_stand_by_kind_with_the_word_for_it(finder: Finder, qtbot: QtBot) -> None:
    qtbot.keyClicks(finder.field, "pine")
    kinds = [row[0] for row in shown(finder)]
    assert kinds[0] == "ingredient"
    assert kinds == sorted(kinds, key=kinds.index), "one kind stands together"
    assert {"ingredient", "preparation", "quote"} <= set(kinds)


def test_enter_goes_there(finder: Finder, desk: Desk, qtbot: QtBot) -> None:
    went: list[object] = []
    desk.went.connect(went.append)
    qtbot.keyClicks(finder.field, "white rum")
    qtbot.keyClick(finder.field, Qt.Key.Key_Return)
    assert went == [Where("good", "white-rum")]
    assert not finder.isVisible()


def test_the_arrows_choose_while_the_field_keeps_the_keyboard(finder: Finder, desk: Desk, qtbot: QtBot) -> None:
    went: list[Where] = []
    desk.went.connect(went.append)
    qtbot.keyClicks(finder.field, "pineapple")
    for key in (Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_PageDown, Qt.Key.Key_PageUp, Qt.Key.Key_Down):
        qtbot.keyClick(finder.field, key)
    assert finder.table.currentIndex().row() == 2
    wanted = finder.rows.row(2).entry
    qtbot.keyClick(finder.field, Qt.Key.Key_Return)
    assert went == [Where(wanted.kind, wanted.id)]


def test_a_command_is_found_and_done(finder: Finder, done: list[str], qtbot: QtBot) -> None:
    qtbot.keyClicks(finder.field, "weigh fruit")
    qtbot.keyClick(finder.field, Qt.Key.Key_Return)
    assert done == ["weighed"]


def test_a_report_is_found_by_its_name(finder: Finder, desk: Desk, qtbot: QtBot) -> None:
    went: list[object] = []
    desk.went.connect(went.append)
    qtbot.keyClicks(finder.field, "menu cost")
    qtbot.keyClick(finder.field, Qt.Key.Key_Return)
    assert went == [Where("report", "menu-cost")]


def test_nothing_found_says_so_and_enter_stays(finder: Finder, qtbot: QtBot) -> None:
    qtbot.keyClicks(finder.field, "qqqqqqqq")
    assert finder.rows.rowCount() == 0
    assert "fewer letters" in finder.said.text()
    qtbot.keyClick(finder.field, Qt.Key.Key_Return)
    qtbot.keyClick(finder.field, Qt.Key.Key_Down)
    assert finder.isVisible()


def test_what_is_left_out_is_counted(finder: Finder, qtbot: QtBot) -> None:
    qtbot.keyClicks(finder.field, "a")
    assert "more: type on" in finder.said.text()
    assert finder.rows.rowCount() < 200
