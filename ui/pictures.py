"""``python -m ui --pictures DIR``: every place, page and signature picture of the sample bar as PNG files.

In light, dark, right-to-left, German, Arabic, large letters and at twice the size; the same pixels at every run.
"""

import os
import sys
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from PySide6.QtCore import QPoint, QThreadPool
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication, QWidget

from costing.tongue import PSEUDO_RTL, say
from ui.app import application, dress, window_on
from ui.desk import Where
from ui.document import Document
from ui.frame.about import AboutDialog
from ui.frame.finder import Finder
from ui.frame.keys import KeysDialog
from ui.frame.opening import new_book, open_document
from ui.frame.settings_dialog import SettingsDialog
from ui.frame.start import StartPage
from ui.frame.window import Window
from ui.places.cellar.dialogs import NewGood, Review
from ui.settings import Settings
from ui.widgets.newdrink import NewDrink
from ui.widgets.picture import PictureView

DAY = date(2026, 11, 1)
SIZE = (1280, 720)
DRINK, PREPARATION, GOOD = "harbour-light", "pineapple-distillate", "pineapple"
PASTED = (
    "Ingredient\tPack\tPrice\nWhite rum 40 %\t6 x 0.7 l\t86.40\nPineapple\t8 kg\t208.00\nSalt of the moon\t1 kg\t9\n"
)


@dataclass(frozen=True, slots=True)
class Look:
    """One way to look at everything."""

    name: str
    theme: str = "light"
    language: str = "en"
    ratio: float = 1.0
    points: float = 9.0
    places_only: bool = False


LOOKS = (
    Look("light"),
    Look("dark", theme="dark"),
    Look("rtl", language=PSEUDO_RTL),
    Look("2x", ratio=2.0),
    Look("de", language="de", places_only=True),
    Look("ar", language="ar", places_only=True),
    Look("ar-dark", theme="dark", language="ar", places_only=True),
    Look("large", points=18.0, places_only=True),
)


class Forgetful:
    """A Memory of nothing, so that every run begins alike."""

    def get(self, key: str, default: object = None) -> object:
        """Nothing was kept."""
        return default

    def put(self, key: str, value: object) -> None:
        """Nothing is."""


def render(folder: Path) -> int:
    """Write all pictures into ``folder``; the exit code."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    folder.mkdir(parents=True, exist_ok=True)
    app = application()
    with tempfile.TemporaryDirectory(prefix="stillroom-") as scratch:
        path = Path(scratch) / "saltlantern.stillroom"
        new_book(path, sample=True)
        document = open_document(path, DAY)
        try:
            for look in LOOKS:
                dress(app, theme=look.theme, language=look.language, points=look.points)
                for name, image in _shots(app, document, look, Path(scratch) / "settings.ini"):
                    target = folder / f"{look.name}-{name}.png"
                    if not image.save(str(target)):
                        print(f"ui: {target} could not be written", file=sys.stderr)
                        return 2
                    print(target)
        finally:
            document.close()
    return 0


def _shots(app: QApplication, document: Document, look: Look, settings: Path) -> Iterator[tuple[str, QImage]]:
    window = window_on(document, Forgetful(), look.language)
    window.resize(*SIZE)
    window.show_place("cellar")
    window.show()
    for name, prepare in PAGES.items():
        prepare(window)
        _settle(app)
        yield name, grabbed(window, look.ratio)
        if look.places_only:
            continue
        for n, view in enumerate(v for v in window.findChildren(PictureView) if v.isVisible() and v.figure is not None):
            yield f"{name}-picture-{n + 1}", grabbed(view, look.ratio)
    if not look.places_only:
        for name, make in DIALOGS.items():
            widget = make(window, settings)
            widget.show()
            _settle(app)
            yield f"dialog-{name}", grabbed(widget, look.ratio)
            widget.close()
            widget.deleteLater()
    window.close()
    window.deleteLater()
    _settle(app)


def grabbed(widget: QWidget, ratio: float) -> QImage:
    """A widget as a picture, crisp at ``ratio`` pixels a pixel."""
    image = QImage(widget.size() * ratio, QImage.Format.Format_ARGB32_Premultiplied)
    image.setDevicePixelRatio(ratio)
    painter = QPainter(image)
    widget.render(painter, QPoint(0, 0))
    painter.end()
    return image


def _settle(app: QApplication) -> None:
    """Let everything that is under way come to rest. Only this mode, at which nobody waits, turns the loop itself."""
    for _ in range(3):
        QThreadPool.globalInstance().waitForDone(30_000)
        app.sendPostedEvents()
        app.processEvents()


def _go(kind: str, ident: str, part: str = "") -> Callable[[Window], object]:
    return lambda window: window.go(Where(kind, ident, part))


def _page(place: str, page: str, kind: str, ident: str) -> Callable[[Window], object]:
    def prepare(window: Window) -> None:
        window.go(Where(kind, ident))
        shown: Any = window.place(place)
        holder = shown.detail if hasattr(shown, "detail") else shown.pages
        holder.setCurrentWidget(getattr(holder if hasattr(shown, "detail") else shown, page))

    return prepare


PAGES: dict[str, Callable[[Window], object]] = {
    "cellar": _page("cellar", "quotes_page", "good", GOOD),
    "cellar-facts": _page("cellar", "fact_list", "good", GOOD),
    "cellar-yields": _page("cellar", "trials", "good", GOOD),
    "cellar-allergens": _page("cellar", "allergen_page", "good", GOOD),
    "cellar-uses": _page("cellar", "use_list", "good", GOOD),
    "suppliers": _go("supplier", "casks"),
    "stillroom": _page("stillroom", "stages", "preparation", PREPARATION),
    "stillroom-stream": _page("stillroom", "stream", "preparation", PREPARATION),
    "stillroom-uses": _page("stillroom", "uses", "preparation", PREPARATION),
    "stillroom-batches": _page("stillroom", "batches", "preparation", PREPARATION),
    "stillroom-compare": _page("stillroom", "compare", "preparation", PREPARATION),
    "bar": _page("bar", "build", "serve", DRINK),
    "bar-price": _page("bar", "price", "serve", DRINK),
    "bar-stream": _page("bar", "stream", "serve", DRINK),
    "bar-compare": _page("bar", "compare", "serve", DRINK),
    "menu": lambda window: window.show_place("menu"),
    "month": _go("report", "menu-cost"),
    "open-points": lambda window: window.show_problems(),
    "day-book": lambda window: window.show_day_book(),
}
DIALOGS: dict[str, Callable[[Window, Path], QWidget]] = {
    "start": lambda window, _: StartPage([Path("harbour.stillroom")]),
    "finder": lambda window, _: Finder(window.desk, window.every_action, window),
    "settings": lambda window, path: SettingsDialog(window.desk, Settings(path), window),
    "keys": lambda window, _: KeysDialog(window.every_action(), window),
    "about": lambda window, _: AboutDialog(window),
    "new-ingredient": lambda window, _: NewGood(window.desk, window),
    "new-drink": lambda window, _: _typed(NewDrink(window.desk, window)),
    "pasted-prices": lambda window, _: Review(window.desk, PASTED, window),
}


def _typed(dialog: NewDrink) -> NewDrink:
    dialog.name.setText(say("Pier Head"))
    dialog.lines.setPlainText("45 ml white rum 40 %\n20 ml lime juice\nsome syrup")
    dialog.look()
    return dialog
