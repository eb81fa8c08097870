"""With no book: what the program is for, and the ways in."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot

from ui.fault import Refusal
from ui.frame.start import StartPage

ONE, TWO = Path("/bar/one.stillroom"), Path("/bar/two & co.stillroom")


@pytest.fixture
def page(qtbot: QtBot) -> StartPage:
    page = StartPage([ONE, TWO])
    qtbot.addWidget(page)
    page.show()
    return page


def buttons(page: StartPage) -> dict[str, QPushButton]:
    return {b.accessibleName() or b.text().replace("&", ""): b for b in page.findChildren(QPushButton) if b.isVisible()}


@pytest.mark.parametrize(
    ("text", "signal"),
    [
        ("Open the sample bar", "sample_clicked"),
        ("Open a book…", "open_clicked"),
        ("New book…", "new_clicked"),
    ],
)
def test_each_way_in_is_one_key_press(text: str, signal: str, page: StartPage, qtbot: QtBot) -> None:
    button = buttons(page)[text]
    button.setFocus()
    with qtbot.waitSignal(getattr(page, signal)):
        qtbot.keyClick(button, Qt.Key.Key_Space)


def test_a_book_of_late_is_one_key_press_too(page: StartPage, qtbot: QtBot) -> None:
    with qtbot.waitSignal(page.recent_chosen) as chosen:
        buttons(page)[f"Open {TWO}"].click()
    assert chosen.args == [str(TWO)]


def test_a_name_with_an_ampersand_is_shown_with_it(page: StartPage) -> None:
    assert "two && co.stillroom" in buttons(page)[f"Open {TWO}"].text()


def test_without_books_of_late_there_is_no_heading_for_them(qtbot: QtBot) -> None:
    page = StartPage([])
    qtbot.addWidget(page)
    page.show()
    assert len(buttons(page)) == 3


def test_what_went_wrong_is_said_above_the_ways_in(page: StartPage) -> None:
    page.notice.refuse(Refusal("It ended.", "", "Open it below."))
    assert page.notice.isVisible()
    assert "Open it below" in page.notice.text
