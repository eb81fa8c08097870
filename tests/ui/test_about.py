"""About: the licences are those of what is installed, all of it, and the cautions stand there in full."""

import re
from importlib.metadata import requires

import pytest
from PySide6.QtTest import QAbstractItemModelTester
from PySide6.QtWidgets import QPlainTextEdit
from pytestqt.qtbot import QtBot

from costing.report.cautions import WORDS
from ui.frame import about
from ui.frame.about import LIBRARIES, AboutDialog, libraries


def plain(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).casefold()


def needed(name: str, seen: set[str]) -> set[str]:
    """What a library needs at run time, and what that needs."""
    for line in requires(name) or ():
        wanted = re.match(r"[\w.-]+", line)
        if wanted is None or ";" in line or plain(wanted[0]) in seen:
            continue
        seen.add(plain(wanted[0]))
        needed(wanted[0], seen)
    return seen


def test_nothing_that_runs_with_the_program_is_left_out() -> None:
    assert needed("stillroom-ledger", set()) <= {plain(name) for name in LIBRARIES}


def test_every_library_says_its_version_and_licence() -> None:
    found = {plain(library.name): library for library in libraries()}
    assert {"numpy", "openpyxl", "reportlab", "pypdfium2", "shiboken6"} <= found.keys()
    assert all(library.version and library.licence and "\n" not in library.licence for library in found.values())
    assert "LGPL" in found["shiboken6"].licence


def test_one_that_is_not_installed_is_passed_over(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(about, "LIBRARIES", ("numpy", "no-such-library-here"))
    assert [library.name for library in libraries()] == ["numpy"]


def test_cautions_and_the_licence_of_the_letters_are_there_whole(qtbot: QtBot) -> None:
    dialog = AboutDialog()
    dialog.finished.disconnect(dialog.deleteLater)
    qtbot.addWidget(dialog)
    QAbstractItemModelTester(dialog.rows, dialog)
    dialog.open()
    texts = [edit.toPlainText() for edit in dialog.findChildren(QPlainTextEdit)]
    assert any(all(caution in text for caution in WORDS.values()) for text in texts)
    assert any("Bitstream" in text for text in texts)
    assert all(edit.isReadOnly() for edit in dialog.findChildren(QPlainTextEdit))


def test_once_closed_it_is_gone(qtbot: QtBot) -> None:
    dialog = AboutDialog()
    dialog.open()
    with qtbot.waitSignal(dialog.destroyed):
        dialog.reject()
