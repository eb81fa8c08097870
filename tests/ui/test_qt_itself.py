"""What a version of Qt must not do to us, checked on the one that is installed."""

import sys

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QApplication, QDialogButtonBox, QLabel
from pytestqt.qtbot import QtBot

from ui.app import speak_qt


def test_calls_that_return_nothing_take_no_reference_off_none(qtbot: QtBot) -> None:
    """Some versions lose one reference to None a call; the process dies after some thousands."""
    label = QLabel()
    qtbot.addWidget(label)
    label.setText("warm")
    before = sys.getrefcount(None)
    for n in range(1000):
        label.setText(str(n))
    assert abs(sys.getrefcount(None) - before) < 50


def test_signals_take_no_reference_off_true(qtbot: QtBot) -> None:
    """The same for what a signal carries."""

    class Teller(QObject):
        told = Signal(object)

    heard: list[object] = []
    teller = Teller()
    teller.told.connect(heard.append)
    before = sys.getrefcount(True)
    for _ in range(1000):
        teller.told.emit(True)
    heard.clear()
    assert abs(sys.getrefcount(True) - before) < 50


def test_qt_speaks_the_language_of_the_window(qapp: QApplication) -> None:
    said: dict[str, str] = {}
    for language in ("de", "en", "ar", "en"):
        speak_qt(qapp, language)
        box = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        said[language] = box.buttons()[0].text()
    assert said["de"] == "Abbrechen"
    assert said["en"] == "Cancel"
    assert said["ar"] not in said["de"] + said["en"]
