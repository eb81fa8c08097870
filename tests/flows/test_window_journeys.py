"""Five whole journeys in the window by keyboard alone, each with its keys counted; the counts may not grow."""

import os
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog, QWidget
from pytestqt.qtbot import QtBot

from costing.book.book import Book
from costing.book.records import Good, Menu, Preparation, Quote, Serve
from costing.ledger import reckon
from costing.paths import sample_book
from costing.store import create, read_json
from tests.ui.conftest import DAY, DictMemory
from ui.app import dress, load_faces, window_on
from ui.desk import Where
from ui.document import Document
from ui.frame.window import Window
from ui.jobs import wait_for_jobs

SHIFT, CTRL = Qt.KeyboardModifier.ShiftModifier, Qt.KeyboardModifier.ControlModifier


class Hands:
    """Presses keys on whatever has the keyboard, and counts them."""

    def __init__(self, window: Window, qtbot: QtBot) -> None:
        self.window, self.qtbot, self.count = window, qtbot, 0

    @property
    def focus(self) -> QWidget:
        """What has the keyboard: an open list of suggestions, a dialog, or the window."""
        popup, modal = QApplication.activePopupWidget(), QApplication.activeModalWidget()
        if popup is not None:
            return popup
        top = modal or self.window
        if not top.isActiveWindow():  # on a real screen the window manager does this
            top.activateWindow()
            self.qtbot.waitUntil(top.isActiveWindow)
        self.qtbot.waitUntil(lambda: QApplication.focusWidget() is not None)
        widget = QApplication.focusWidget()
        assert widget is not None
        return widget

    def press(self, keys: str, times: int = 1) -> None:
        """A chord such as "Ctrl+Shift+N"."""
        combination = QKeySequence(keys)[0]  # type: ignore[index]  # it is one, whatever the stub says
        for _ in range(times):
            self.count += 1
            QTest.keyClick(self.focus, combination.key(), combination.keyboardModifiers())

    def type(self, text: str) -> None:
        """A text, "\\n" being Enter."""
        for ch in text:
            self.count += 1
            if ch == "\n":
                QTest.keyClick(self.focus, Qt.Key.Key_Return)
            else:
                QTest.keyClicks(self.focus, ch)


@pytest.fixture
def window(tmp_path: Path, qapp: QApplication, qtbot: QtBot) -> Iterator[Window]:
    load_faces()
    dress(qapp)
    path = tmp_path / "bar.stillroom"
    with create(path, read_json(sample_book())) as store:
        document = Document(store, DAY, path=path, who="test")
        window = window_on(document, DictMemory())
        qtbot.addWidget(window)
        window.show_place("cellar")
        window.show()
        window.activateWindow()
        qtbot.waitUntil(window.isActiveWindow)
        window.rail.setFocus()
        window.place("cellar").setFocus()
        window.find_here()
        yield window
        wait_for_jobs()


@pytest.fixture
def hands(window: Window, qtbot: QtBot) -> Hands:
    return Hands(window, qtbot)


def book_of(window: Window) -> Book:
    return window.desk.document.book


def test_a_new_ingredient_with_its_quote(window: Window, hands: Hands, qtbot: QtBot) -> None:
    before = book_of(window)
    hands.press("Ctrl+Shift+N")
    qtbot.waitUntil(lambda: QApplication.activeModalWidget() is not None)
    for text in ("Yuzu", "fruit", "5 kg", "61,50", "North Quay Fruit"):
        hands.type(text)
        hands.press("Tab")
    hands.press("Return")
    qtbot.waitUntil(lambda: QApplication.activeModalWidget() is None)
    made = next(g for g in book_of(window).all(Good).values() if g.name == "Yuzu")
    quote = next(q for q in book_of(window).all(Quote).values() if q.good == made.id)
    assert (quote.price, quote.content.text, quote.supplier) == (Decimal("61.50"), "5 kg", "north-quay")
    assert made.kind == "fruit"
    assert reckon(book_of(window).on(DAY)).costs[made.id].materials == pytest.approx(12.30)
    hands.press("Ctrl+Z")
    assert book_of(window) == before
    assert hands.count <= 50


def test_a_nested_preparation_with_losses(window: Window, hands: Hands, qtbot: QtBot) -> None:
    before = book_of(window)
    hands.press("Ctrl+2")
    hands.press("Ctrl+Shift+N")
    hands.type("Pineapple shrub")
    hands.press("Tab")
    hands.type("1 kg pineapple\n0.5 kg sugar\n0.3 l lime juice")
    hands.press("Tab")
    hands.type("1.1 l")
    hands.press("Tab")
    hands.type("25")
    hands.press("Ctrl+Return")
    qtbot.waitUntil(lambda: any(p.name == "Pineapple shrub" for p in book_of(window).all(Preparation).values()))
    made = next(p for p in book_of(window).all(Preparation).values() if p.name == "Pineapple shrub")
    assert {i.source for i in made.versions[0].stages[0].adds} == {"pineapple", "sugar", "lime-juice"}
    figures = window.desk.document.reckoning
    output = figures.ledgers[made.id].outputs[made.id]
    assert output.made == pytest.approx(1.1)
    line = figures.ledgers[made.id].lines[0]
    assert line.total("in").mass == pytest.approx(line.total("on", "lost", "meant", "kept", "unexplained").mass)
    hands.press("Ctrl+Z")
    assert book_of(window) == before
    assert hands.count <= 95


def test_a_drink_is_built_put_on_the_menu_and_priced(window: Window, hands: Hands, qtbot: QtBot) -> None:
    before = book_of(window)
    hands.press("Ctrl+3")
    hands.press("Ctrl+Shift+N")
    qtbot.waitUntil(lambda: QApplication.activeModalWidget() is not None)
    hands.type("Pier Head")
    hands.press("Tab")
    hands.type("45 ml roasted pineapple rum distillate\n20 ml lime juice\n15 ml sugar syrup, one to one")
    hands.press("Tab", 2)
    hands.press("Return")
    qtbot.waitUntil(lambda: QApplication.activeModalWidget() is None)
    serve = next(s for s in book_of(window).all(Serve).values() if s.name == "Pier Head")
    assert [i.amount.text for i in serve.versions[0].build.adds if i.amount] == ["45 ml", "20 ml", "15 ml"]
    hands.press("Ctrl+4")
    hands.press("Ctrl+Shift+I")
    hands.type("Pier Head\n")
    menu = next(m for m in book_of(window).all(Menu).values() if any(s.id for s in book_of(window).all(Serve).values()))
    assert any(line.serve == serve.id for section in menu.sections for line in section.lines)
    window.go(Where("serve", serve.id, "price"))
    window.place("bar").price.steps.setFocus()  # type: ignore[attr-defined]
    hands.press("Down")
    hands.press("Return")
    priced = next(p for p in window.desk.document.priced if p.serve.id == serve.id)
    assert priced.price is not None
    assert window.desk.document.undo_text is not None
    assert window.desk.document.undo_text.startswith("price of Pier Head")
    hands.press("Ctrl+Z", 3)
    assert book_of(window) == before


def test_a_pack_price_changes_and_the_menu_is_repriced(window: Window, hands: Hands, qtbot: QtBot) -> None:
    before = book_of(window)
    costs = {p.serve.id: p.base for p in window.desk.document.priced}
    hands.press("Ctrl+F")
    hands.type("white rum")
    hands.press("Down")
    hands.press("Right")
    hands.type("99.60\n")
    qtbot.waitUntil(lambda: book_of(window) != before)
    moved = {p.serve.id for p in window.desk.document.priced if abs(p.base - costs[p.serve.id]) > 1e-9}
    assert "harbour-light" in moved
    old = before.on(DAY).quote_of("white-rum")
    new = book_of(window).on(DAY).quote_of("white-rum")
    assert old is not None
    assert new is not None
    assert (new.price, new.since) == (Decimal("99.60"), DAY)
    assert before.all(Quote)[old.id] == book_of(window).all(Quote)[old.id], "the old price stays as history"
    hands.press("Ctrl+4")
    hands.press("Ctrl+A")
    hands.press("Ctrl+Return")
    assert window.desk.document.undo_text is not None
    assert window.desk.document.undo_text.startswith("suggested price")
    assert all(p.on_target is not False for p in window.desk.document.priced if p.menu)
    hands.press("Ctrl+Z", 2)
    assert book_of(window) == before
    hands.press("Ctrl+Shift+Z", 2)
    assert book_of(window) != before
    assert hands.count <= 40


def test_the_cost_card_is_looked_at_and_saved(
    window: Window, hands: Hands, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "card.pdf"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(target), ""))
    hands.press("Ctrl+4")
    hands.press("Ctrl+P")
    month = window.place("month")
    qtbot.waitUntil(lambda: bool(month.data), timeout=20_000)  # type: ignore[attr-defined]
    assert month.preview.pages.count >= 1  # type: ignore[attr-defined]
    assert "Harbour Light" in month.preview.pages.text_of(0)  # type: ignore[attr-defined]
    hands.press("Ctrl+S")
    qtbot.waitUntil(target.exists, timeout=20_000)
    assert target.read_bytes() == month.data, "what is saved is what was shown, byte for byte"  # type: ignore[attr-defined]
    assert hands.count <= 3
