"""The whole window on the sample bar, as someone meets it who sees little, sees no colour, or uses no mouse."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent, Qt, QThreadPool
from PySide6.QtGui import QAction
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QApplication, QCheckBox, QLabel, QLineEdit, QWidget

from costing.paths import sample_book
from costing.supply.readers.door import read_price_file
from costing.supply.readers.text import ENCODINGS
from costing.tongue import PSEUDO
from tests.ui.walking import (
    actions_in,
    boxed,
    by_arrows,
    clipped,
    in_menus,
    inked,
    outside_brackets,
    said,
    seen,
    spoken,
    takes_focus,
    targets,
    walked,
    where,
    words_in,
    words_of,
)
from ui.app import dress, load_faces, window_on
from ui.frame.window import Window
from ui.pictures import DIALOGS, LINES, PAGES, PASTED, SIZE, Forgetful, sample_in

SMALLEST = 24
"""Pixels of a target: WCAG 2.2, success criterion 2.5.8."""
TEXT, MARK = 4.5, 3.0
KEYS = "Shift Ctrl Alt Left Right Up Down Tab Enter Esc Home End Ins Del PgUp PgDown"
"""Keys are called what the machine calls them."""


@dataclass(frozen=True, slots=True)
class Look:
    """One way to look at everything."""

    theme: str = "light"
    language: str = "en"
    points: float = 9.0


LIGHT, DARK, LARGE = Look(), Look(theme="dark"), Look(points=18.0)
GERMAN, ARABIC, ACCENTED = Look(language="de"), Look(language="ar"), Look(language=PSEUDO)


@dataclass(slots=True)
class Found:
    """What is amiss in one look, each thing once, where it was first met: the frame is on every page."""

    nameless: dict[str, str] = field(default_factory=dict)
    loose: dict[str, str] = field(default_factory=dict)
    doubled: dict[str, str] = field(default_factory=dict)
    lost: dict[str, str] = field(default_factory=dict)
    small: dict[str, str] = field(default_factory=dict)
    cut: dict[str, str] = field(default_factory=dict)
    large: dict[str, str] = field(default_factory=dict)
    plain: dict[str, str] = field(default_factory=dict)
    faint: dict[str, str] = field(default_factory=dict)
    boxes: dict[str, str] = field(default_factory=dict)


Survey = Callable[[Look], Found]


@pytest.fixture(scope="module")
def survey(qapp: QApplication, tmp_path_factory: pytest.TempPathFactory) -> Survey:
    """Goes through every page and dialog of the sample bar in a look, once."""
    load_faces()

    @cache
    def go(look: Look) -> Found:
        folder = tmp_path_factory.mktemp("look")
        dress(qapp, theme=look.theme, language=look.language, points=look.points)
        with sample_in(folder) as document:
            window = window_on(document, Forgetful(), look.language)
            window.resize(*SIZE)
            window.show_place("cellar")
            window.show()
            window.activateWindow()
            try:
                found = Found()
                for page, root in _all(window, folder):
                    _look_at(root, page, look, found)
                return found
            finally:
                window.close()
                window.deleteLater()
                QThreadPool.globalInstance().waitForDone()
                qapp.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)

    return go


def _all(window: Window, folder: Path) -> Iterator[tuple[str, QWidget]]:
    for name, prepare in PAGES.items():
        prepare(window)
        QThreadPool.globalInstance().waitForDone()
        QTest.qWait(1)
        QTest.qWait(1)  # what a job made is laid out in the round after it is shown
        yield name, window
    for name, make in DIALOGS.items():
        dialog = make(window, folder)
        dialog.show()
        QTest.qWait(1)
        yield f"dialog {name}", dialog
        dialog.close()


def _look_at(root: QWidget, page: str, look: Look, found: Found) -> None:
    shown = list(seen(root))
    for text in clipped(root):
        found.cut.setdefault(text, page)
    least = root.minimumSizeHint()
    if least.width() > SIZE[0] or least.height() > SIZE[1]:
        found.large.setdefault(f"{least.width()} x {least.height()}", page)
    for widget, rect in targets(root):
        if rect.width() < SMALLEST or rect.height() < SMALLEST:
            found.small.setdefault(f"{where(widget)}: {rect.width()} x {rect.height()}", page)
    if look in (LIGHT, DARK):
        _look_at_pixels(root, shown, page, found)
    if look == ACCENTED:
        for place, text in said(root):
            if words := sorted(words_in([outside_brackets(text)]) - _known()):
                found.plain.setdefault(f"{place}: {text!r}: {words}", page)
    if look == LIGHT:
        _look_at_keys(root, shown, page, found)


def _look_at_pixels(root: QWidget, shown: list[QWidget], page: str, found: Found) -> None:
    image = root.grab().toImage()
    for widget in shown:
        if isinstance(widget, QCheckBox) and widget.isEnabled() and boxed(widget, image) < MARK:
            found.boxes.setdefault(f"{where(widget)}: {boxed(widget, image):.2f}", page)
        if isinstance(widget, (QLabel, QAbstractButton, QLineEdit)) and widget.isEnabled():
            text = widget.text() if isinstance(widget, QLineEdit) else words_of(widget)
            contrast = inked(widget, image) if text.strip() else None
            if contrast is not None and contrast < TEXT:
                found.faint.setdefault(f"{where(widget)}: {contrast:.2f}", page)


def _look_at_keys(root: QWidget, shown: list[QWidget], page: str, found: Found) -> None:
    menus = in_menus(root)
    for action in actions_in(root):
        if action.text() and action.shortcut().isEmpty() and action not in menus:
            found.loose.setdefault(f"{action.text()} of {type(action.parent()).__name__}", page)
    stops = [widget for widget in shown if takes_focus(widget)]
    for widget in stops:
        if not spoken(widget):
            found.nameless.setdefault(where(widget), page)
        for keys, actions in _reached(widget, root).items():
            if len(actions) > 1:
                found.doubled.setdefault(f"{keys}: {' / '.join(sorted(a.text() for a in actions))}", page)
    wanted = [widget for widget in stops if widget.focusProxy() is None and not by_arrows(widget)]
    at = root.focusWidget()
    first = at if at in wanted else wanted[0]
    root.activateWindow()
    for press in (Qt.Key.Key_Tab, Qt.Key.Key_Backtab):
        first.setFocus(Qt.FocusReason.TabFocusReason)
        try:
            order = walked(first, press)
        except AssertionError as error:
            found.lost.setdefault(str(error), page)
        else:
            for widget in set(wanted) - set(order):
                found.lost.setdefault(f"not reached: {where(widget)}", page)


def _reached(widget: QWidget, window: QWidget) -> dict[str, set[QAction]]:
    """Actions by key, of those that the key reaches while the keyboard is in a widget."""
    context = Qt.ShortcutContext
    found: dict[str, set[QAction]] = {}
    near: list[QAction] = [a for a in widget.actions() if a.shortcutContext() == context.WidgetShortcut]
    at: QWidget | None = widget
    while at is not None:
        near += [a for a in at.actions() if a.shortcutContext() == context.WidgetWithChildrenShortcut]
        at = at.parentWidget()
    near += [a for a in actions_in(window) if a.shortcutContext() == context.WindowShortcut]
    for action in near:
        if action.isEnabled():
            for keys in action.shortcuts():
                found.setdefault(keys.toString(), set()).add(action)
    return found


@cache
def _known() -> frozenset[str]:
    """Words that are not translated. What is typed is kept as it was typed, the words for a measurement too."""
    typed = [PASTED, LINES, "alcoholmeter", KEYS, "PDF XLSX CSV", *ENCODINGS]
    for path in sorted((sample_book().parent / "prices").iterdir()):
        if path.suffix in (".csv", ".xlsx", ".xml"):  # what suppliers wrote is shown as they wrote it
            arrived = read_price_file(path)
            typed += [path.name, *(d for doubt in arrived.doubts for _, d in doubt.values)]
            typed += [text for line in arrived for _, text in line.raw]
            typed += [cell for row in (arrived.table.rows if arrived.table else ()) for cell in row]
    typed += [path.read_text("utf-8") for path in (sample_book().parent / "sales").iterdir()]
    return frozenset(words_in([sample_book().read_text(encoding="utf-8"), *typed]))


def test_everything_that_takes_the_keyboard_has_a_name(survey: Survey) -> None:
    assert survey(LIGHT).nameless == {}


def test_every_action_has_a_key_or_lies_in_a_menu(survey: Survey) -> None:
    assert survey(LIGHT).loose == {}


def test_no_key_means_two_things(survey: Survey) -> None:
    assert survey(LIGHT).doubled == {}


def test_tab_comes_to_everything_and_back_either_way(survey: Survey) -> None:
    assert survey(LIGHT).lost == {}


@pytest.mark.parametrize("look", [LIGHT, LARGE, ARABIC])
def test_what_is_clicked_on_is_large_enough(look: Look, survey: Survey) -> None:
    assert survey(look).small == {}


@pytest.mark.parametrize("look", [LIGHT, LARGE, GERMAN, ARABIC])
def test_no_word_is_cut(look: Look, survey: Survey) -> None:
    assert survey(look).cut == {}


@pytest.mark.parametrize("look", [LIGHT, LARGE, GERMAN, ARABIC])
def test_it_fits_a_small_screen(look: Look, survey: Survey) -> None:
    assert survey(look).large == {}


def test_everything_said_is_translated(survey: Survey) -> None:
    assert survey(ACCENTED).plain == {}


@pytest.mark.parametrize("look", [LIGHT, DARK])
def test_boxes_to_tick_are_seen(look: Look, survey: Survey) -> None:
    assert survey(look).boxes == {}


@pytest.mark.parametrize("look", [LIGHT, DARK])
def test_what_is_written_is_read_in_the_pixels(look: Look, survey: Survey) -> None:
    assert survey(look).faint == {}
