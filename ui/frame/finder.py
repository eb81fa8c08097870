"""Ctrl+K: one field that finds any ingredient, preparation, drink, menu, supplier, batch, report or command."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QItemSelectionModel, QObject, Qt
from PySide6.QtGui import QAction, QKeyEvent, QKeySequence, QShowEvent
from PySide6.QtWidgets import QAbstractItemView, QDialog, QLabel, QLineEdit, QVBoxLayout, QWidget

from costing.book.book import Book
from costing.finding import Entry, Index, entries
from costing.report.catalogue import REPORTS
from costing.report.words import stage_word
from costing.tongue import say, say_many
from ui.desk import Desk, Where
from ui.models.table import Column, RowTable
from ui.widgets.table import DataTable
from ui.words import record_word

COMMAND, REPORT = "command", "report"
PAGE = 8
"""Rows that a page key moves by."""


@dataclass(frozen=True, slots=True)
class Row:
    """One row of what was found."""

    entry: Entry
    more: str

    @property
    def key(self) -> str:
        """Which one it is."""
        return f"{self.entry.kind}/{self.entry.id}"


def kind_word(kind: str) -> str:
    """The word for a kind of what can be found."""
    if kind == COMMAND:
        return say("command")
    return say("report") if kind == REPORT else record_word(kind)


def commands(actions: Sequence[QAction]) -> Iterator[tuple[Entry, QAction]]:
    """What can be done, with its key beside it."""
    for n, action in enumerate(actions):
        text = action.text().replace("&&", "\0").replace("&", "").replace("\0", "&").rstrip("…")
        if text and action.isEnabled() and not action.isSeparator() and action.menu() is None:
            keys = action.shortcut().toString(QKeySequence.SequenceFormat.NativeText)
            yield Entry(kind=COMMAND, id=str(n), name=text, more=keys), action


def everything(book: Book, more: Sequence[Entry] = ()) -> Iterator[Entry]:
    """All there is to find: the records of a book, the reports, and ``more``."""
    yield from entries(book, stage_word)
    for report in REPORTS:
        yield Entry(kind=REPORT, id=report.id, name=report.title, more=report.about)
    yield from more


class Finder(QDialog):
    """Type, choose with the arrows, Enter goes there or does it."""

    def __init__(self, desk: Desk, actions: Callable[[], Sequence[QAction]], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.setWindowTitle(say("Find anything"))
        found = list(commands(actions()))
        self._doing = {entry.id: action for entry, action in found}
        self._commands = [entry for entry, _ in found]
        self.index = Index(everything(desk.document.book, self._commands), kind_word)
        self.field = QLineEdit(self)
        self.field.setAccessibleName(say("Find anything"))
        self.field.setPlaceholderText(say("An ingredient, a preparation, a drink, a report, a command…"))
        self.field.setClearButtonEnabled(True)
        self.rows: RowTable[Row] = RowTable(
            [
                Column[Row]("kind", say("Is a"), lambda r: kind_word(r.entry.kind)),
                Column[Row]("name", say("Name"), lambda r: r.entry.name),
                Column[Row]("more", say("Also"), lambda r: r.more, tip=lambda r: r.more),
            ],
            lambda r: r.key,
            desk,
            self,
        )
        self.table = DataTable(self.rows, say("What was found"), self)
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.table.horizontalHeader().setSectionsClickable(False)  # the best fit stays first
        self.said = QLabel(self)
        self.said.setProperty("faint", True)
        self.said.setWordWrap(True)
        layout = QVBoxLayout(self)
        layout.addWidget(self.field)
        layout.addWidget(self.table, 1)
        layout.addWidget(self.said)
        letter = self.fontMetrics().averageCharWidth()
        self.resize(letter * 105, self.fontMetrics().height() * 28)
        self.field.installEventFilter(self)
        self.field.textChanged.connect(self._show)
        self.table.opened.connect(self._go)
        self._show("")
        self.finished.connect(self.deleteLater)  # the next one is made of the book as it is then

    def showEvent(self, event: QShowEvent) -> None:
        """Columns keep their widths while one types, whatever is found."""
        super().showEvent(event)
        letter = self.fontMetrics().averageCharWidth()
        for column, letters in enumerate((18, 44, 10)):
            self.table.setColumnWidth(column, letter * letters)

    def _show(self, text: str) -> None:
        if not text.strip():
            self._fill([Row(entry, entry.more) for entry in self._commands])
            self.said.setText(say("Enter goes there; the arrows choose."))
            return
        groups = self.index.groups(text)
        self._fill([Row(hit.entry, hit.entry.more) for group in groups for hit in group.hits])
        hidden = sum(group.more for group in groups)
        if not groups:
            self.said.setText(say("Nothing is called so. Try fewer letters."))
        elif hidden:
            self.said.setText(say_many(
                "Enter goes there; the arrows choose. {n} more: type on.",
                "Enter goes there; the arrows choose. {n} more: type on.", hidden,
            ))  # fmt: skip
        else:
            self.said.setText(say("Enter goes there; the arrows choose."))

    def _fill(self, rows: list[Row]) -> None:
        self.rows.set_rows(rows)
        if rows:
            self._come_to(0)

    def _come_to(self, row: int) -> None:
        index = self.rows.index(max(0, min(self.rows.rowCount() - 1, row)), 1)
        flags = QItemSelectionModel.SelectionFlag
        self.table.selectionModel().setCurrentIndex(index, flags.ClearAndSelect | flags.Rows)
        self.table.scrollTo(index)

    def _go(self, key: str) -> None:
        place = self.rows.position(key)
        if place is None:
            return
        entry = self.rows.row(place).entry
        self.accept()
        if entry.kind == COMMAND:
            self._doing[entry.id].trigger()
        else:
            self.desk.go(Where(entry.kind, entry.id))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """The arrows and page keys move in the list while the field keeps the keyboard."""
        if watched is self.field and isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            key, row = event.key(), self.table.currentIndex().row()
            by = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1, Qt.Key.Key_PageDown: PAGE, Qt.Key.Key_PageUp: -PAGE}.get(
                Qt.Key(key)
            )
            if by is not None and self.rows.rowCount():
                self._come_to(row + by)
                return True
            if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
                if 0 <= row < self.rows.rowCount():
                    self._go(self.rows.key(row))
                return True
        return super().eventFilter(watched, event)
