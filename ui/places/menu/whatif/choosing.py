"""The list of scenarios: one is chosen, others may stand beside it, and the last row takes the name of the next."""

from PySide6.QtCore import QModelIndex, QSignalBlocker, Qt, QTimer, Signal
from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from costing.book.book import Book
from costing.book.change import Step
from costing.book.selling import Scenario
from costing.edits import scenarios
from costing.tongue import say
from ui.desk import Desk
from ui.models.table import RowTable
from ui.places.menu.whatif.kept import BESIDE, NAME, NEXT, NOTE, KeptRow, free_name, kept_columns, kept_rows
from ui.widgets.acts import acts
from ui.widgets.listpane import ListPane


class ChoosingPane(QWidget):
    """Names and notes are typed in place; Space ticks a scenario."""

    chosen = Signal()
    """Another scenario was come to, or stands beside it."""
    made = Signal()
    """A scenario was made here, and what it supposes is to be typed."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.ident = ""
        self.beside: frozenset[str] = frozenset()
        self._made = self._gone = ""
        self.rows: RowTable[KeptRow] = RowTable(kept_columns(self._write_name), lambda r: r.key, desk, self)
        self.list = ListPane(self.rows, say("Scenarios"), None, self)
        self.list.count.hide()  # the empty row is no scenario
        self.new = QPushButton(say("New"), self)
        self.new.setToolTip(say("Type the name of the next scenario (Ctrl+Shift+N)"))
        self.new.clicked.connect(self.begin_new)
        self.list.top.addWidget(self.new)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.list)
        self.list.table.current_key.connect(self._came_to)
        self.list.table.clicked.connect(self._clicked)
        acts(
            self.list.table,
            [
                (say("Put beside the chosen one, or take away"), "Space", self.tick),
                (say("Drop it"), "Delete", self.drop),
            ],
            alone=True,
        )

    @property
    def scenario(self) -> Scenario | None:
        """The chosen one, as the book has it."""
        return self.desk.document.book.all(Scenario).get(self.ident)

    @property
    def shown(self) -> tuple[Scenario, ...]:
        """The chosen one and those beside it, by name, whatever the list is filtered by."""
        keys = self.beside | {self.ident}
        found = kept_rows(self.desk.document.book, self.beside)
        return tuple(r.record for r in found if r.record is not None and r.key in keys)

    def refresh(self) -> None:
        """The scenarios of the book. One that was just made is chosen; one that is gone gives way to the first until it
        is back."""
        book = self.desk.document.book
        kept = book.all(Scenario)
        self.beside &= kept.keys()
        rows = kept_rows(book, self.beside)
        if self._made in kept:
            self.ident, self._made = self._made, ""
            QTimer.singleShot(0, self, self._show_made)  # once the cell that was typed into has let go
        elif self._gone in kept:
            self.ident, self._gone = self._gone, ""
        elif self.ident not in kept:
            self._gone = self.ident or self._gone
            self.ident = rows[0].key if rows[0].record is not None else ""
        table, fresh = self.list.table, not self.rows.total
        with QSignalBlocker(table):  # what the cursor is pushed over was not asked for
            self.rows.set_rows(rows)
            index = table.currentIndex()
            if not index.isValid() or self.rows.key(index.row()) not in (self.ident, NEXT):
                table.choose(self.ident or NEXT, max(0, index.column()))
        if fresh:
            table.setColumnWidth(NAME, self.fontMetrics().averageCharWidth() * 30)
            table.setColumnWidth(BESIDE, self.fontMetrics().horizontalAdvance(say("Beside")) + 24)
            table.setColumnWidth(NOTE, self.fontMetrics().averageCharWidth() * 8)  # at least: it takes what is left

    def choose(self, ident: str) -> None:
        """Come to a scenario."""
        self.ident, self._gone = ident, ""
        self.list.filter.clear()
        self.refresh()
        self.list.table.choose(ident)

    def _show_made(self) -> None:
        self.list.table.choose(self.ident)
        self.made.emit()

    def _came_to(self, key: str) -> None:
        if key not in ("", NEXT, self.ident):
            self.ident, self._gone = key, ""
            self.chosen.emit()

    def _clicked(self, index: QModelIndex) -> None:
        if index.column() == BESIDE:
            self.tick()

    # Acts

    def begin_new(self) -> None:
        """Type the name of the next scenario."""
        self.list.filter.clear()
        table = self.list.table
        table.setFocus(Qt.FocusReason.ShortcutFocusReason)
        if table.choose(NEXT):
            table.edit(table.currentIndex())

    def _write_name(self, book: Book, row: KeptRow, text: str) -> Step | None:
        if row.record is not None:
            return None if text == row.name else scenarios.rename(book, row.key, text)
        if not text.strip():
            return None
        document = self.desk.document
        step, self._made = scenarios.new_scenario(book, text, (), document.day, document.past_ids())
        return step

    def copy(self) -> None:
        """The chosen scenario once more, under another name."""
        document, scenario = self.desk.document, self.scenario
        if scenario is None:
            return

        def work() -> Step:
            name = free_name(document.book, scenario.name)
            step, self._made = scenarios.keep(document.book, scenario, name, document.past_ids())
            return step

        self.desk.attempt(work)

    def tick(self) -> None:
        """Put the scenario one is on beside the chosen one, or take it away."""
        index = self.list.table.currentIndex()
        key = self.rows.key(index.row()) if index.isValid() else NEXT
        if key != NEXT:
            self.beside ^= {key}
            self.refresh()
            self.chosen.emit()

    def drop(self) -> None:
        """Throw the chosen scenario away; the book stays as it is."""
        scenario, book = self.scenario, self.desk.document.book
        if scenario is not None:
            self.desk.attempt(lambda: scenarios.remove(book, scenario.id))
