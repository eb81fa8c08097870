"""The page of what arrives: files that came and what suppliers owe, or the one file that is being looked at."""

from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QByteArray, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import (
    QFileDialog,
    QHBoxLayout,
    QPushButton,
    QSplitter,
    QStackedWidget,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from costing.book.buying import ImportedFile
from costing.supply.arriving.line import Unreadable
from costing.supply.arriving.role_words import KIND_WORDS
from costing.supply.readers.tables import read_bytes
from costing.tongue import say, word
from ui.desk import Desk, Where
from ui.fault import refusal_of
from ui.format import own
from ui.models.table import Column, RowTable
from ui.places.cellar.arrivals.case import Case
from ui.places.cellar.arrivals.kept import OrdersList, aliases, maps, purchases
from ui.places.cellar.arrivals.owed import OwedList
from ui.places.cellar.arrivals.review import ReviewPage
from ui.widgets.acts import acts
from ui.widgets.listpane import ListPane
from ui.widgets.notice import EmptyPlace

ENDINGS = "*.csv *.tsv *.txt *.xlsx *.xlsm *.xls *.xlsb *.ods *.xml *.pdf"
FOLDER = "arrivals/folder"
PASTED = 2_000_000
"""Letters of a pasted list that are taken."""


def file_columns(desk: Desk) -> Sequence[Column[ImportedFile]]:
    """One file a row: what it was and what became of its lines."""
    form = desk.format

    def supplier(file: ImportedFile) -> str:
        found = desk.document.view.suppliers.get(file.supplier)
        return found.name if found is not None else file.supplier

    return (
        Column[ImportedFile]("day", say("Taken on"), lambda f: form.day(f.day), sort=lambda f: f.day),
        Column[ImportedFile]("name", say("File"), lambda f: own(f.name), tip=lambda f: f.digest),
        Column[ImportedFile]("supplier", say("Supplier"), supplier),
        Column[ImportedFile]("kind", say("Is"), lambda f: word(KIND_WORDS, f.kind)),
        Column[ImportedFile]("number", say("Number"), lambda f: f.number),
        Column[ImportedFile]("read", say("Rows read"), lambda f: str(f.read), True, lambda f: f.read),
        Column[ImportedFile]("imported", say("Taken"), lambda f: str(f.imported), True, lambda f: f.imported),
        Column[ImportedFile]("held", say("Wait"), lambda f: str(f.held), True, lambda f: f.held,
                             strong=lambda f: f.held > 0),
        Column[ImportedFile]("ignored", say("Left out"), lambda f: str(f.ignored), True, lambda f: f.ignored),
        Column[ImportedFile]("lines", say("Lines that wait, as they came"), _held,
                             tip=lambda f: "\n".join(f.held_lines[:30])),
    )  # fmt: skip


def _held(file: ImportedFile) -> str:
    return own("  |  ".join(file.held_lines[:3]))


class ArrivalsPage(QWidget):
    """What arrives from suppliers."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.stack = QStackedWidget(self)
        self.home = QWidget(self)
        self.review = ReviewPage(desk, self)
        self.review.closed.connect(self._home)
        self.rows: RowTable[ImportedFile] = RowTable(file_columns(desk), lambda f: f.id, desk, self)
        empty = EmptyPlace(
            say("Price lists, catalogues, invoices and credit notes go here: drop a file on the window, or choose "
                "one."),
            say("A file from a supplier…"), self.ask_file,
        )  # fmt: skip
        self.list = ListPane(self.rows, say("Files that arrived"), empty, self)
        self.owed = OwedList(desk, self)
        self.split = QSplitter(Qt.Orientation.Vertical, self.home)
        self.split.addWidget(self.list)
        self.orders = OrdersList(desk, self)
        self.kept = [purchases(desk, self), self.orders, aliases(desk, self), maps(desk, self)]
        self.below = QTabWidget(self.home)
        self.below.setAccessibleName(say("What was kept of what arrived"))
        self.below.addTab(self.owed, say("What suppliers owe"))
        for title, page in zip(
            (say("Invoices"), say("Orders"), say("Confirmed words"), say("How lists are read")), self.kept, strict=True
        ):
            self.below.addTab(page, title)
        self.split.addWidget(self.below)
        self.split.setSizes([360, 240])
        choose = QPushButton(say("A file from a supplier…"), self.home)
        choose.clicked.connect(self.ask_file)
        paste = QPushButton(say("Paste a list…"), self.home)
        paste.clicked.connect(self.paste)
        row = QHBoxLayout()
        row.addWidget(choose)
        row.addWidget(paste)
        row.addStretch(1)
        inside = QVBoxLayout(self.home)
        inside.setContentsMargins(0, 4, 0, 0)
        inside.addLayout(row)
        inside.addWidget(self.split, 1)
        self.stack.addWidget(self.home)
        self.stack.addWidget(self.review)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.stack)
        self.acts = acts(
            self,
            [
                (say("A file from a supplier…"), "Ctrl+Shift+O", self.ask_file),
                (say("Paste a supplier's list…"), "Ctrl+Shift+Y", self.paste),
                *self.owed.rows_of_acts(),
            ],
        )

    @property
    def reviewing(self) -> bool:
        """Whether a file is being looked at."""
        return self.stack.currentWidget() is self.review

    def refresh(self) -> None:
        """The files and claims as they are; a file that is looked at is judged anew."""
        files = self.desk.document.book.all(ImportedFile).values()
        self.rows.set_rows(sorted(files, key=lambda f: (f.day, f.id), reverse=True))
        self.owed.refresh()
        for page in self.kept:
            page.refresh()
        if self.reviewing:
            self.review.book_moved()

    def show_item(self, where: Where) -> bool:
        """Go to a file that arrived, to the one an invoice came in, or to a claim."""
        if self.reviewing:
            self.review.close_file()
        for kind, page in zip(("purchase", "order", "alias", "columnmap"), self.kept, strict=True):
            if where.kind == kind:
                self.below.setCurrentWidget(page)
                page.list.table.setFocus(Qt.FocusReason.OtherFocusReason)
                return page.list.table.choose(where.id)
        if where.kind == "claim":
            self.below.setCurrentWidget(self.owed)
            self.owed.list.table.setFocus(Qt.FocusReason.OtherFocusReason)
            return self.owed.list.table.choose(where.id)
        self.list.table.setFocus(Qt.FocusReason.OtherFocusReason)
        return self.list.table.choose(where.id)

    def find_field(self) -> QWidget:
        """The filter of what is shown."""
        return self.review.list.filter if self.reviewing else self.list.filter

    def ask_file(self) -> None:
        """Choose a file."""
        kept = self.desk.memory.get(FOLDER)
        title = say("A file from a supplier")
        kinds = f"{say('Price lists and invoices')} ({ENDINGS});;{say('All files')} (*)"
        path, _ = QFileDialog.getOpenFileName(self, title, kept if isinstance(kept, str) else "", kinds)
        if path:
            self.open_file(Path(path))

    def open_file(self, path: Path) -> bool:
        """Look at a file; False where it cannot be read at all, which is said."""
        try:
            data = read_bytes(path)
        except (Unreadable, OSError) as error:
            self.desk.refuse(refusal_of(error))
            return False
        self.desk.memory.put(FOLDER, str(path.parent))
        self.open_case(Case(name=path.name, data=data))
        return True

    def paste(self) -> None:
        """Look at a list that was copied from a mail or a sheet."""
        text = QGuiApplication.clipboard().text()
        if not text.strip():
            self.desk.tell(say("Copy the lines of the list first, with its heading."))
        elif len(text) > PASTED:
            self.desk.tell(say("That is too long to paste: save it as a file and drop it here."))
        else:
            self.open_case(Case(name=say("pasted list"), pasted=text))

    def open_case(self, case: Case) -> None:
        """Look at what was read."""
        self.stack.setCurrentWidget(self.review)
        self.review.open_case(case)

    def _home(self) -> None:
        self.stack.setCurrentWidget(self.home)
        self.list.table.setFocus(Qt.FocusReason.OtherFocusReason)

    def split_state(self) -> QByteArray:
        """Where the two lists part."""
        return self.split.saveState()
