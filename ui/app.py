"""The application: fonts, language, theme, and a window on a document."""

import sys
from collections.abc import Sequence

from PySide6.QtCore import QByteArray, QLibraryInfo, QLocale, Qt, QTranslator
from PySide6.QtGui import QFont, QFontDatabase
from PySide6.QtWidgets import QApplication

from costing.paths import resource
from costing.tongue import right_to_left, speak
from ui.desk import Memory
from ui.document import Document
from ui.format import Format, locale_of
from ui.frame.window import Window
from ui.places.catalogue import imports, places
from ui.theme import wear

NAME = "Stillroom Ledger"
APP_ID = "stillroom-ledger"
FACE = "DejaVu Sans"


def application(arguments: Sequence[str] = ()) -> QApplication:
    """The one application of this process, with the face that ships with it."""
    running = QApplication.instance()
    if isinstance(running, QApplication):
        return running
    app = QApplication([sys.argv[0], *arguments])
    app.setApplicationName(NAME)
    app.setApplicationDisplayName(NAME)
    app.setOrganizationName(NAME)
    app.setDesktopFileName(APP_ID)
    load_faces()
    return app


def load_faces() -> None:
    """Load the face that ships with the program, so that screen, pages and tests agree."""
    for name in ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf"):
        QFontDatabase.addApplicationFontFromData(QByteArray(resource("fonts", name)))


def dress(app: QApplication, *, theme: str = "light", language: str = "en", points: float = 9.0) -> None:
    """Theme, language and direction, and the size of letters in points."""
    speak(language)
    speak_qt(app, language)
    QLocale.setDefault(locale_of(language))
    app.setLayoutDirection(
        Qt.LayoutDirection.RightToLeft if right_to_left(language) else Qt.LayoutDirection.LeftToRight
    )
    font = QFont(FACE)
    font.setPointSizeF(points)
    app.setFont(font)
    wear(app, theme)


def speak_qt(app: QApplication, language: str) -> None:
    """The words that Qt itself says (Cancel, names of keys, menus of fields), where it brings them in the language."""
    old = app.findChild(QTranslator)
    if language == (old.objectName() if old else "en"):
        return
    if old is not None:
        app.removeTranslator(old)
        old.deleteLater()
        old.setParent(None)
    folder = QLibraryInfo.path(QLibraryInfo.LibraryPath.TranslationsPath)
    words = QTranslator(app)
    words.setObjectName(language)
    if language != "en" and words.load(f"qtbase_{language}", folder):
        app.installTranslator(words)


def window_on(document: Document, memory: Memory, language: str = "en") -> Window:
    """A window on a document, as the language writes figures."""
    house = document.book.house
    form = Format(locale_of(language), house.currency if house else "")
    return Window(document, form, memory, places(), imports())
