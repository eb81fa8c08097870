"""From the command line to a running window: which book, which theme and language, and what follows a close."""

import argparse
import sys
import tempfile
from collections.abc import Callable
from datetime import date, datetime
from functools import partial
from pathlib import Path

from PySide6.QtCore import QObject, Qt, QTimer
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication, QFileDialog

from costing.store import FileFault, snapshots
from costing.tongue import say
from ui.app import application, window_on
from ui.document import Document
from ui.dressing import Dressing
from ui.fault import Refusal
from ui.frame.crash import Watch
from ui.frame.keeping import choose_snapshot, keep_snapshot
from ui.frame.opening import new_book, open_document, refused, save_copy, with_suffix
from ui.frame.settings_dialog import SettingsDialog
from ui.frame.start import StartPage
from ui.frame.window import Window
from ui.jobs import wait_for_jobs
from ui.settings import Settings

Shown = Callable[[Window], object]
OPENING = "opening"
"""The book that is being opened; still there at the next start if that ended the program."""


def start(given: argparse.Namespace) -> int:
    """What the command line asks for; the exit code."""
    if given.pictures is not None:
        from ui.pictures import render  # noqa: PLC0415  only this one wants it

        return render(given.pictures)
    with tempfile.TemporaryDirectory(prefix="stillroom-") as folder:
        book = given.book
        if given.sample:
            book = Path(folder) / "sample.stillroom"
            new_book(book, sample=True)
        return run(book, given.day, theme=given.theme, language=given.language)


def run(
    book: Path | None,
    day: date | None = None,
    *,
    theme: str | None = None,
    language: str | None = None,
    settings: Path | None = None,
    shown: Shown | None = None,
) -> int:
    """Open a book, or the last one, or the start page; run until the window is closed; the exit code. ``shown`` is
    called once with the first window."""
    app = application()
    session = Session(app, Settings(settings), day=day, theme=theme, language=language, shown=shown)
    try:
        session.begin(book)
    except Refusal as refusal:
        print(f"ui: {refusal.text}", file=sys.stderr)
        session.end()
        return 2
    code = app.exec()
    session.end()
    return code


class Session(QObject):
    """One run of the program: at most one window at a time, and what leads from one book to the next."""

    def __init__(
        self,
        app: QApplication,
        settings: Settings,
        *,
        day: date | None = None,
        theme: str | None = None,
        language: str | None = None,
        shown: Shown | None = None,
    ) -> None:
        super().__init__()
        self.settings = settings
        self._day, self._shown = day, shown
        self.dressing = Dressing(app, settings, theme, language)
        self.window: Window | None = None
        self.page: StartPage | None = None
        self.dialog: SettingsDialog | None = None
        self.watch = Watch(self.tell, self.settle)
        self.watch.install()
        self.dressing.put_on()
        QGuiApplication.styleHints().colorSchemeChanged.connect(self._scheme)

    # Theme and language

    def redress(self) -> None:
        """The settings changed. A theme is put on as it is; in another language or size of letters the window is built
        anew where it stood, unless something that was typed would be lost, which is said once."""
        self.dressing.choose()
        if self.dressing.fits:
            self._dress()
        elif self._may_rebuild():
            self.dressing.put_on()
            QTimer.singleShot(0, self._again)

    def _may_rebuild(self) -> bool:
        typed = self.dialog is not None and not self.dialog.may_close()
        return not typed and (self.window is None or self.window.may_leave())

    def _again(self) -> None:
        window, dialog = self.window, self.dialog
        if window is None:
            return
        stood = (dialog.tabs.currentIndex(), dialog.geometry()) if dialog is not None else None
        window.keep_state()
        self._show(window.desk.document)
        if stood is not None:
            again = self.show_settings()
            if again is not None:
                again.tabs.setCurrentIndex(stood[0])
                again.setGeometry(stood[1])

    def _scheme(self, _: Qt.ColorScheme) -> None:
        if self.dressing.as_the_system:
            self._dress()

    def _dress(self) -> None:
        self.dressing.put_on()
        if self.window is not None:
            self.window.rail.dress()

    # Books

    def begin(self, book: Path | None) -> None:
        """The first thing that is shown. Refusal where a book was named and cannot be opened."""
        if book is not None:
            self._show(open_document(book, self._day))
            return
        broke = self.settings.get(OPENING)
        recent = self.settings.recent
        if recent and str(recent[0]) != broke:
            try:
                self._show(open_document(recent[0], self._day))
            except Refusal as refusal:
                self.show_start(refusal)
            return
        self.show_start(
            Refusal(
                say("The program ended while it was opening {file}.", file=Path(str(broke)).name),
                "",
                say("It is not opened by itself this time. Open it below, or look at the sample bar."),
            )
            if broke
            else None
        )

    def show_start(self, refusal: Refusal | None = None) -> None:
        """The page without a book."""
        self.settings.forget(OPENING)
        page = StartPage(self.settings.recent)
        page.open_clicked.connect(self.ask_open)
        page.new_clicked.connect(self.ask_new)
        page.sample_clicked.connect(self.open_sample)
        page.recent_chosen.connect(self.open_path)
        self.page = page
        if refusal is not None:
            page.notice.refuse(refusal)
        page.show()

    def open_path(self, path: str | Path) -> bool:
        """Open a book in place of the one that is shown; what is wrong with it is said, and nothing changes then."""
        if self.window is not None and not self.window.may_leave():
            return False
        try:
            document = open_document(Path(path), self._day)
        except Refusal as refusal:
            self.tell(refusal)
            return False
        self._show(document)
        return True

    def ask_open(self) -> None:
        """Choose a book."""
        name, _ = QFileDialog.getOpenFileName(self._parent(), say("Open a book"), self._folder(), self._pattern())
        if name:
            self.open_path(name)

    def ask_new(self) -> None:
        """Name a new, empty book."""
        name, _ = QFileDialog.getSaveFileName(self._parent(), say("A new book"), self._folder(), self._pattern())
        if name:
            self._make(with_suffix(Path(name)), sample=False)

    def ask_copy(self) -> None:
        """Name a copy of the open book."""
        if self.window is None:
            return
        name, _ = QFileDialog.getSaveFileName(self.window, say("Save a copy"), self._folder(), self._pattern())
        if name:
            try:
                save_copy(self.window.desk.document, with_suffix(Path(name)))
            except Refusal as refusal:
                self.tell(refusal)
            else:
                self.window.desk.tell(say("A copy was saved as {file}.", file=with_suffix(Path(name)).name))

    def keep_snapshot(self) -> None:
        """A checked copy beside the book."""
        window = self.window
        if window is None or window.desk.document.path is None:
            return
        try:
            kept = keep_snapshot(window.desk.document.path)
        except Refusal as refusal:
            self.tell(refusal)
        else:
            window.desk.tell(say("Kept as {file}", file=kept.name))

    def ask_restore(self) -> None:
        """Choose a snapshot to put in the place of the book; the present book is kept beside it first."""
        window = self.window
        if window is None or window.desk.document.path is None:
            return
        try:
            chosen = choose_snapshot(window.desk.document.path, window)
        except Refusal as refusal:
            self.tell(refusal)
        else:
            if chosen is not None:
                self.restore(chosen)

    def restore(self, chosen: Path) -> bool:
        """Put a snapshot in the place of the open book and open it."""
        window = self.window
        path = window.desk.document.path if window is not None else None
        if window is None or path is None or not window.may_leave():
            return False
        window.desk.document.close()
        try:
            snapshots.restore(path, chosen, datetime.now())
        except FileFault as fault:
            self.open_path(path)
            self.tell(refused(chosen, fault))
            return False
        return self.open_path(path)

    def show_settings(self) -> SettingsDialog | None:
        """Settings of the book and of this computer."""
        if self.window is None:
            return None
        dialog = SettingsDialog(self.window.desk, self.settings, self.window)
        dialog.computer.changed.connect(self.redress)
        dialog.finished.connect(self._settings_closed)
        dialog.open()
        self.dialog = dialog
        return dialog

    def _settings_closed(self, _: int) -> None:
        self.dialog = None

    def open_sample(self) -> None:
        """A sample bar of one's own, in the home folder, to try everything on."""
        folder = Path.home()
        for n in range(1, 1000):
            path = folder / ("sample.stillroom" if n == 1 else f"sample {n}.stillroom")
            if not path.exists():
                self._make(path, sample=True)
                return

    def _make(self, path: Path, *, sample: bool) -> None:
        try:
            new_book(path, sample=sample)
        except Refusal as refusal:
            self.tell(refusal)
        else:
            if self.open_path(path) and not sample:
                dialog = self.show_settings()  # a book is of a house: its currency and rules come first
                if dialog is not None:
                    dialog.book.begin()

    def _parent(self) -> Window | StartPage | None:
        return self.window or self.page

    def _folder(self) -> str:
        recent = self.settings.recent
        return str(recent[0].parent if recent else Path.home())

    def _pattern(self) -> str:
        return say("Books (*.stillroom);;All files (*)")

    # Windows

    def _show(self, document: Document) -> None:
        old, same = self.window, self.window is not None and self.window.desk.document is document
        if document.path is not None and not same:
            self.settings.put(OPENING, str(document.path.absolute()))
            self.settings.save()
        window = window_on(document, self.settings, self.dressing.language)
        self._menu(window)
        window.take_state("cellar")
        if document.read_only:
            window.notice.inform(say("This book can be looked at and not changed here: its file cannot be written."))
        window.show()
        self.window, self.dialog = window, None  # one that was open went with its window
        if document.path is not None:
            self.settings.opened(document.path)
            self.settings.forget(OPENING)
        if self.page is not None:
            self.page.close()
            self.page.deleteLater()
            self.page = None
        if old is not None:
            old.leave()
            old.hide()
            old.deleteLater()
            if not same:
                old.desk.document.close()
        if self._shown is not None:
            shown, self._shown = self._shown, None
            QTimer.singleShot(0, partial(shown, window))

    def _menu(self, window: Window) -> None:
        """The ways from book to book, at the head of the Book menu."""
        menu = window.book_menu
        first = menu.actions()[0]
        for text, keys, slot in (
            (say("New book…"), "Ctrl+N", self.ask_new),
            (say("Open…"), "Ctrl+O", self.ask_open),
            (say("The sample bar"), "", self.open_sample),
            (say("Save a copy…"), "Ctrl+Shift+S", self.ask_copy),
            (say("Keep a snapshot"), "Ctrl+Alt+S", self.keep_snapshot),
            (say("Restore a snapshot…"), "", self.ask_restore),
            (say("Settings…"), "Ctrl+,", self.show_settings),
        ):
            action = window.action(text, keys, slot)
            menu.insertAction(first, action)
        recent = menu.addMenu(say("Opened lately"))
        menu.insertMenu(first, recent)
        for path in self.settings.recent:
            recent.addAction(path.name).triggered.connect(partial(self.open_path, str(path)))
        recent.setEnabled(not recent.isEmpty())
        menu.insertSeparator(first)

    def tell(self, refusal: Refusal) -> None:
        """Say what cannot be, in whatever is shown."""
        if self.window is not None:
            self.window.desk.refuse(refusal)
        elif self.page is not None:
            self.page.notice.refuse(refusal)
        else:
            print(f"ui: {refusal.text}", file=sys.stderr)

    def settle(self) -> None:
        """Show what the file holds, whatever was half done."""
        if self.window is not None:
            self.window.desk.document.settle()

    def end(self) -> None:
        """Let go of everything in order."""
        self.settings.save()
        wait_for_jobs()
        self.watch.remove()
        if self.window is not None:
            self.window.desk.document.close()
            self.window.deleteLater()
            self.window = None
