"""The menu by keyboard alone: twelve weeks of the till are read, the scatter is read, a what-if is tried and taken, the
menu is repriced to a pour cost of 20 %, and all of it is taken back."""

import os
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path

import pytest

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtWidgets import QApplication, QFileDialog
from pytestqt.qtbot import QtBot

from costing.book.book import Book
from costing.book.records import Menu
from costing.book.selling import SalesPeriod, Scenario
from costing.menu.mix import ended_periods, menu_mix
from costing.paths import sample_book
from costing.store import create, read_json
from tests.flows.test_window_journeys import Hands
from tests.ui.conftest import DictMemory
from ui.app import dress, load_faces, window_on
from ui.document import Document
from ui.frame.window import Window
from ui.jobs import begin_resting, wait_for_jobs
from ui.places.menu.keep.page import KeepPage
from ui.places.menu.newprices.page import NewPricesPage
from ui.places.menu.place import MenuPlace
from ui.places.menu.sales.page import SoldPage

DAY = date(2026, 11, 23)
KEYS = 70
"""Keys that the journey takes; they may not grow."""
FILES = sorted((sample_book().parent / "sales").glob("*.csv"))


def without_sales() -> Book:
    """The sample bar before anybody read a file of its till."""
    book = read_json(sample_book())
    return Book({key: record for key, record in book.records.items() if key[0] not in ("sales", "scenario")})


@pytest.fixture
def window(tmp_path: Path, qapp: QApplication, qtbot: QtBot) -> Iterator[Window]:
    load_faces()
    dress(qapp)
    path = tmp_path / "bar.stillroom"
    with create(path, without_sales()) as store:
        window = window_on(Document(store, DAY, path=path, who="test"), DictMemory())
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


def come_to_rest(qtbot: QtBot, done: Callable[[], bool]) -> None:
    """Let what follows the keys be worked out, until ``done``."""

    def ready() -> bool:
        begin_resting()
        return done()

    qtbot.waitUntil(ready, timeout=20_000)


def pour_cost(window: Window) -> float:
    """Cost over net of what was sold, at the prices that are printed."""
    figures = window.desk.document.figures
    mix = menu_mix(figures.reckoning, ended_periods(figures.book, figures.day))
    net = sum(i.sold * float(i.listed_net or 0) for i in mix.items)
    return sum(i.sold * i.cost for i in mix.items) / net


def test_twelve_weeks_the_scatter_a_what_if_and_a_menu_at_twenty_per_cent(
    window: Window, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    hands, document = Hands(window, qtbot), window.desk.document
    before = document.book
    monkeypatch.setattr(QFileDialog, "getOpenFileNames", lambda *_: ([str(f) for f in FILES], ""))
    hands.press("Ctrl+4")
    place = window.place("menu")
    assert isinstance(place, MenuPlace)
    sold, keep, prices = place.page_named("sold"), place.page_named("keep"), place.page_named("new-prices")
    assert isinstance(sold, SoldPage)
    assert isinstance(keep, KeepPage)
    assert isinstance(prices, NewPricesPage)

    hands.press("Ctrl+PgDown")  # what was sold
    hands.press("Ctrl+Shift+O")
    come_to_rest(qtbot, sold.review.all.isEnabled)
    hands.press("Ctrl+Return")
    come_to_rest(qtbot, lambda: len(document.book.all(SalesPeriod)) == 12 and not sold.review.taking.going)
    assert sum(p.unmapped for p in document.book.all(SalesPeriod).values()) == 0
    read = document.book

    hands.press("Ctrl+PgDown")  # what to keep
    come_to_rest(qtbot, lambda: keep.picture.figure is not None)
    drinks = {row[0]: row for row in keep.picture.table()}
    assert "star" in drinks["Harbour Light"]
    assert keep.rows.rowCount() > 20

    hands.press("Ctrl+PgDown")  # what if
    hands.press("Ctrl+Shift+N")
    hands.type("Bad news\n")
    come_to_rest(qtbot, lambda: len(document.book.all(Scenario)) == 1)
    hands.press("Tab")
    hands.type("Ropewalk Casks +30 %\n")
    come_to_rest(qtbot, lambda: any(s.supposed for s in document.book.all(Scenario).values()))
    assert pour_cost(window) < 0.17, "it is laid over the book, which stays as it is"
    hands.press("Ctrl+Return")
    come_to_rest(qtbot, lambda: not document.book.all(Scenario))
    assert 0.20 < pour_cost(window) < 0.21

    hands.press("Ctrl+PgDown")  # new prices
    hands.press("Ctrl+A")
    hands.type("20 %\n")
    come_to_rest(qtbot, prices.use.isEnabled)
    dear = document.book
    hands.press("Ctrl+Return")
    come_to_rest(qtbot, lambda: document.book != dear)
    assert pour_cost(window) <= 0.20 + 1e-9
    assert {key for key in document.book.records if document.book.records[key] != dear.records.get(key)} == {
        ("menu", ident) for ident in document.book.all(Menu) if document.book.all(Menu)[ident] != dear.all(Menu)[ident]
    }, "nothing but printed prices moved"

    hands.press("Ctrl+Z")
    assert document.book == dear
    hands.press("Ctrl+Z", 3)
    assert document.book == read, "the scenario is taken back, from its end to its name"
    hands.press("Ctrl+Z", 12)
    assert document.book == before
    assert hands.count <= KEYS
