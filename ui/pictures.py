"""``python -m ui --pictures DIR``: every place, page and signature picture of the sample bar as PNG files.

In light, dark, right-to-left, German, Arabic, large letters and at twice the size; the same pixels at every run.
"""

import os
import sys
import tempfile
from collections.abc import Callable, Collection, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

from PySide6.QtCore import QEvent, QLocale, QPoint, QThreadPool
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication, QWidget

from costing.edits.house import set_permit
from costing.paths import sample_book
from costing.store import create, open_store, read_json
from costing.supply.plan.arrive import Said
from costing.tongue import PSEUDO_RTL, say
from ui.app import application, dress
from ui.desk import Where
from ui.document import Document
from ui.format import Format, locale_of
from ui.frame.about import AboutDialog
from ui.frame.finder import Finder
from ui.frame.keys import KeysDialog
from ui.frame.permit import PermitNotice
from ui.frame.settings_dialog import SettingsDialog
from ui.frame.start import StartPage
from ui.frame.window import Window
from ui.jobs import begin_resting
from ui.places.catalogue import places
from ui.places.cellar.arrivals.case import Case
from ui.places.cellar.dialogs import NewGood, Review
from ui.settings import Settings
from ui.widgets.figures_table import FiguresTable
from ui.widgets.newdrink import NewDrink
from ui.widgets.picture import PictureView

DAY = date(2026, 11, 1)
MORNING = "2026-11-01T09:00:00Z"
"""When everything was written, so that no clock is in the pictures."""
PERMIT = "HOUSE-1"
"""The invented reference that the pictures of distilled things are drawn under."""
SIZE = (1280, 720)
DRINK, PREPARATION, GOOD = "harbour-light", "pineapple-distillate", "pineapple"
COMPARED, GIVEN_UP, OTHER = "orange-liqueur", "hazelnut", "walnut"
"""A good that two sell; one, and what could stand in for it."""
SOLD = "2026-12-01"
"""A day by which a period of sales has ended."""
PASTED = (
    "Ingredient\tPack\tPrice\nWhite rum 40 %\t6 x 0.7 l\t86.40\nPineapple\t8 kg\t208.00\nSalt of the moon\t1 kg\t9\n"
)
LINES = "45 ml white rum 40 %\n20 ml lime juice\nsome syrup"
"""What is pasted and typed in the pictures; not all of it can be read, so that it shows what happens then."""


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


def render(
    folder: Path, looks: Iterable[Look] = LOOKS, pages: Collection[str] = (), dialogs: Collection[str] = ()
) -> int:
    """Write pictures of all, or of the ``pages`` and ``dialogs`` that are named, into ``folder``; the exit code."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    app = application()
    flash = app.cursorFlashTime()
    app.setCursorFlashTime(0)  # a blinking cursor would be in one picture and not in the next
    everything = not pages and not dialogs
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix="stillroom-") as scratch, sample_in(Path(scratch)) as document:
            for look in looks:
                dress(app, theme=look.theme, language=look.language, points=look.points)
                QLocale.setDefault(_locale(look.language))
                chosen = tuple(PAGES) if everything else tuple(p for p in PAGES if p in pages)
                asked = () if everything and look.places_only else tuple(DIALOGS) if everything else dialogs
                for name, image in _shots(app, document, look, Path(scratch), chosen, tuple(asked)):
                    target = folder / f"{look.name}-{name}.png"
                    if not image.save(str(target)):
                        raise OSError(f"{target} could not be written")
                    print(target)
    except OSError as error:
        print(f"ui: {error}", file=sys.stderr)
        return 2
    finally:
        app.setCursorFlashTime(flash)
    return 0


@contextmanager
def sample_in(folder: Path) -> Iterator[Document]:
    """The sample bar in a file, on the day and written at the hour that all pictures have."""
    path = folder / "saltlantern.stillroom"
    create(path, read_json(sample_book()), code="the sample bar", clock=lambda: MORNING).close()
    document = Document(open_store(path, clock=lambda: MORNING), DAY, path=path)
    try:
        step = set_permit(document.book, PERMIT, None)
        if step is not None:
            document.do(step)
        yield document
    finally:
        document.close()
        document.deleteLater()


def _shots(
    app: QApplication, document: Document, look: Look, scratch: Path, pages: tuple[str, ...], dialogs: tuple[str, ...]
) -> Iterator[tuple[str, QImage]]:
    house = document.book.house
    window = Window(document, Format(_locale(look.language), house.currency if house else ""), Forgetful(), places())
    window.resize(*SIZE)
    window.show_place("cellar")
    window.show()
    try:
        for name in pages:
            PAGES[name](window)
            _settle(app, window)
            yield name, grabbed(window, look.ratio)
            if name in SIGNATURES:
                views = [v for v in window.findChildren(PictureView) if v.isVisible() and v.figure is not None]
                for sign, view in zip(SIGNATURES[name], views, strict=True):
                    yield f"picture-{sign}", view.image(look.ratio)
        for name in dialogs:
            widget = DIALOGS[name](window, scratch)
            widget.show()
            _settle(app, window)
            yield f"dialog-{name}", grabbed(widget, look.ratio)
            widget.close()
            widget.deleteLater()
    finally:
        window.close()
        _settle(app, window)
        window.deleteLater()
        # No loop is running, so nothing but this lets go of what is to be deleted later.
        app.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)


def _locale(language: str) -> QLocale:
    """The locale of a language, and for English always the same one: whose machine it is does not show."""
    return QLocale("en_GB") if language == "en" else locale_of(language)


def grabbed(widget: QWidget, ratio: float) -> QImage:
    """A widget as a picture, crisp at ``ratio`` pixels a pixel."""
    image = QImage(widget.size() * ratio, QImage.Format.Format_ARGB32_Premultiplied)
    image.setDevicePixelRatio(ratio)
    painter = QPainter(image)
    widget.render(painter, QPoint(0, 0))
    painter.end()
    return image


def _settle(app: QApplication, window: Window) -> None:
    """Let everything that is under way come to rest. Only this mode, at which nobody waits, turns the loop itself."""
    rounds = 3
    while rounds:
        rounds = 3 if begin_resting() else rounds - 1
        QThreadPool.globalInstance().waitForDone(30_000)
        app.sendPostedEvents()
        app.processEvents()
    window.statusBar().clearMessage()
    window.saved.setText(say("Saved {time}", time=MORNING[11:16]))


def _go(kind: str, ident: str, part: str = "") -> Callable[[Window], object]:
    return lambda window: window.go(Where(kind, ident, part))


def _page(place: str, page: str, kind: str, ident: str) -> Callable[[Window], object]:
    def prepare(window: Window) -> None:
        window.go(Where(kind, ident))
        shown: Any = window.place(place)
        holder = shown.detail if hasattr(shown, "detail") else shown.pages
        holder.setCurrentWidget(getattr(holder if hasattr(shown, "detail") else shown, page))

    return prepare


def _arriving(name: str, page: str, supplier: str) -> Callable[[Window], object]:
    """A price file of the sample on the desk, and one page of its review."""

    def prepare(window: Window) -> None:
        shown: Any = window.show_place("cellar")
        shown.pages.setCurrentWidget(shown.arrivals)
        said = Said(supplier=supplier, tax="ex" if supplier else None, rate=Decimal("0.19") if supplier else None)
        data = (sample_book().parent / "prices" / name).read_bytes()
        shown.arrivals.open_case(Case(name=name, data=data, said=said))
        review = shown.arrivals.review
        review.pages.setCurrentWidget(getattr(review, page))

    return prepare


def _arrivals(window: Window) -> None:
    """The files that arrived and what suppliers owe; none yet."""
    shown: Any = window.show_place("cellar")
    shown.arrivals.review.close_file()
    shown.pages.setCurrentWidget(shown.arrivals)


def _compared(window: Window) -> None:
    """Suppliers of a good that more than one sells, for an amount at which a price by number of packs counts."""
    _page("cellar", "compared", "good", COMPARED)(window)
    shown: Any = window.place("cellar")
    shown.detail.compared.need.setText("12 l")
    shown.detail.compared.need.commit()


def _instead(window: Window) -> None:
    """One good in the place of another."""
    _page("cellar", "instead", "good", GIVEN_UP)(window)
    shown: Any = window.place("cellar")
    shown.detail.instead.other.setText(window.desk.document.names[OTHER])
    shown.detail.instead.other.commit()


def _movement(page: str) -> Callable[[Window], object]:
    """Prices up to a day by which the sales of a period are known."""

    def prepare(window: Window) -> None:
        shown: Any = window.show_place("cellar")
        shown.pages.setCurrentWidget(shown.movement)
        shown.movement.last.setText(SOLD)
        shown.movement.last.commit()
        shown.movement.setCurrentWidget(getattr(shown.movement, page))

    return prepare


def _menu(page: str) -> Callable[[Window], Any]:
    """A page of the menu. The sample holds sales of weeks that had ended by the day of the pictures."""

    def prepare(window: Window) -> Any:
        shown: Any = window.show_place("menu")
        return shown.turn_to(page)

    return prepare


def _keep(view: int) -> Callable[[Window], object]:
    """Another view of what to keep."""
    return lambda window: _menu("keep")(window).turn_to(view)


def _what_if(view: int) -> Callable[[Window], object]:
    """The first scenario of the sample, and one view of it."""

    def prepare(window: Window) -> None:
        page = _menu("what-if")(window)
        page.views.setCurrentIndex(view)

    return prepare


def _sold_review(window: Window) -> None:
    """Weeks of the sample's till, read again."""
    folder = sample_book().parent / "sales"
    _menu("sold")(window).open_files([folder / "2026-W43.csv", folder / "2026-W44.csv"])


def _new_prices(window: Window) -> None:
    """New prices for an aim that the sample does not meet yet."""
    page = _menu("new-prices")(window)
    page.wishing.aim.setText("15.5 %")
    page.wishing.aim.commit()


def _question(key: str) -> Callable[[Window], object]:
    """One of the questions."""
    return lambda window: _menu("questions")(window).ask(key)


def _another_size(window: Window) -> None:
    _page("stillroom", "batches", "preparation", PREPARATION)(window)
    shown: Any = window.place("stillroom")
    shown.batches.tabs.setCurrentWidget(shown.batches.scale)


def _new_preparation(window: Window) -> None:
    shown: Any = window.show_place("stillroom")
    shown.begin_new()


PAGES: dict[str, Callable[[Window], object]] = {
    "cellar": _page("cellar", "quotes_page", "good", GOOD),
    "cellar-facts": _page("cellar", "fact_list", "good", GOOD),
    "cellar-yields": _page("cellar", "trials", "good", GOOD),
    "cellar-allergens": _page("cellar", "allergen_page", "good", GOOD),
    "cellar-uses": _page("cellar", "use_list", "good", GOOD),
    "cellar-compared": _compared,
    "cellar-instead": _instead,
    "suppliers": _go("supplier", "casks"),
    "price-movement": _movement("index_page"),
    "price-seasons": _movement("season_page"),
    "arrivals": _arrivals,
    "arrivals-list": _arriving("ropewalk-casks-2026-12-01.xlsx", "lines_page", "casks"),
    "arrivals-effect": _arriving("ropewalk-casks-2026-12-01.xlsx", "effect", "casks"),
    "arrivals-reading": _arriving("north-quay-week-49.csv", "reading", "north-quay"),
    "arrivals-week": _arriving("north-quay-week-49.csv", "lines_page", "north-quay"),
    "arrivals-invoice": _arriving("ropewalk-casks-invoice-2026-11-17.xml", "lines_page", ""),
    "stillroom": _page("stillroom", "stages", "preparation", PREPARATION),
    "stillroom-stream": _page("stillroom", "stream", "preparation", PREPARATION),
    "stillroom-uses": _page("stillroom", "uses", "preparation", PREPARATION),
    "stillroom-batches": _page("stillroom", "batches", "preparation", PREPARATION),
    "stillroom-compare": _page("stillroom", "compare", "preparation", PREPARATION),
    "stillroom-another-size": _another_size,
    "stillroom-new": _new_preparation,
    "bar": _page("bar", "build", "serve", DRINK),
    "bar-price": _page("bar", "price", "serve", DRINK),
    "bar-stream": _page("bar", "stream", "serve", DRINK),
    "bar-compare": _page("bar", "compare", "serve", DRINK),
    "bar-lists": _page("bar", "lists", "serve", DRINK),
    "menu": _menu("prices"),
    "menu-sold": _menu("sold"),
    "menu-sold-review": _sold_review,
    "menu-keep": _menu("keep"),
    "menu-keep-methods": _keep(1),
    "menu-what-if": _what_if(0),
    "menu-what-moves": _what_if(1),
    "menu-which-price": _what_if(2),
    "menu-new-prices": _new_prices,
    "menu-hours": _menu("hours"),
    **{f"menu-question-{key}": _question(key) for key in ("going", "event", "testing")},
    "month": _go("report", "menu-cost"),
    "open-points": lambda window: window.side.show_problems(),
    "day-book": lambda window: window.side.show_day_book(),
}
SIGNATURES = {
    "cellar": ("price-history",),
    "price-movement": ("price-index",),
    "stillroom-stream": ("stream-of-a-batch",),
    "bar-price": ("price-steps", "tornado"),
    "bar-stream": ("stream-into-a-glass",),
}
"""What the pictures on a page are, from the top."""
DIALOGS: dict[str, Callable[[Window, Path], QWidget]] = {
    "start": lambda window, _: StartPage([Path("Bar/harbour.stillroom")]),
    "finder": lambda window, _: Finder(window.desk, window.every_action, window),
    "settings": lambda window, path: SettingsDialog(window.desk, Settings(path / "settings.ini"), window),
    "keys": lambda window, _: KeysDialog(window.every_action(), window),
    "about": lambda window, _: AboutDialog(window),
    "new-ingredient": lambda window, _: NewGood(window.desk, window),
    "new-drink": lambda window, _: _typed(NewDrink(window.desk, window)),
    "pasted-prices": lambda window, _: Review(window.desk, PASTED, window),
    "permit": lambda window, _: _permit(window),
    "figures": lambda window, _: _figures(window),
}


def _typed(dialog: NewDrink) -> NewDrink:
    dialog.name.setText(say("Pier Head"))
    dialog.lines.setPlainText(LINES)
    dialog.look()
    return dialog


def _permit(window: Window) -> PermitNotice:
    notice = PermitNotice(window.desk)
    notice.show_for(PREPARATION)
    layout = notice.layout()
    notice.resize(640, layout.totalHeightForWidth(640) if layout is not None else 400)
    return notice


def _figures(window: Window) -> FiguresTable:
    PAGES["bar-price"](window)
    page: Any = window.place("bar")
    view: PictureView = page.price.steps
    return FiguresTable(view.accessibleName(), view.accessibleDescription(), view.table(), window)
