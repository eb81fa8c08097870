"""The day book: every step, who made it and when, and what it changed, field by field."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import islice

from PySide6.QtCore import Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QCheckBox, QHBoxLayout, QLabel, QPushButton, QSplitter, QVBoxLayout, QWidget

from costing.book.change import Change
from costing.book.history import Heading
from costing.tongue import say
from ui.desk import Desk, Where
from ui.document import Moved
from ui.frame.differences import Difference, between, differences, namer
from ui.models.table import Column, RowTable
from ui.widgets.listpane import ListPane
from ui.words import record_word

MOST = 2_000
"""Steps listed; older ones are found by the terminal's history command."""
SHOWN = 200
"""Records of a step, or of all steps since, whose differences are shown."""


@dataclass(frozen=True, slots=True)
class Shown:
    """One row of what differs."""

    key: str
    it: Difference

    @property
    def field(self) -> str:
        """What differs."""
        return self.it.field

    @property
    def before(self) -> str:
        """What it was."""
        return self.it.before

    @property
    def after(self) -> str:
        """What it is."""
        return self.it.after

    @property
    def what(self) -> str:
        """The field and the record; a narrow pane cuts the end off, and several rows may be of one record."""
        return f"{self.it.field} · {self.it.record}" if self.it.field else self.it.record


class HistoryPane(QWidget):
    """Steps, the newest first, and under them what the chosen one changed."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk, self._stale = desk, True
        self._rows: list[Heading] = []
        self._key = ""
        form = desk.format
        self.steps: RowTable[Heading] = RowTable(
            [
                Column[Heading]("what", say("Step"), _what),
                Column[Heading]("at", say("When"), lambda r: form.moment(r.at)),
                Column[Heading]("who", say("Who"), lambda r: r.who),
                Column[Heading]("seq", say("No."), lambda r: str(r.seq), True, lambda r: r.seq),
            ],
            lambda r: str(r.seq),
            desk,
            self,
        )
        self.changes: RowTable[Shown] = RowTable(
            [
                Column[Shown]("what", say("What"), lambda d: d.what, tip=lambda d: d.what),
                Column[Shown]("before", say("Before"), lambda d: d.before, tip=lambda d: d.before),
                Column[Shown]("after", say("After"), lambda d: d.after, tip=lambda d: d.after),
            ],
            lambda d: d.key,
            desk,
            self,
        )
        self.list = ListPane(self.steps, say("Steps"), None, self)
        self.detail = ListPane(self.changes, say("What the step changed"), None, self)
        self.detail.filter.hide()
        self.since = QCheckBox(say("All since then"), self)
        self.since.setToolTip(say("The book as it was after this step, against the book as it is"))
        self.since.toggled.connect(self._again)
        self.detail.top.insertWidget(0, self.since, 1)
        self.list.table.current_key.connect(self._chosen)
        self.detail.table.opened.connect(self._open)
        self.undo, self.redo = QPushButton(say("Undo"), self), QPushButton(say("Redo"), self)
        self.undo.clicked.connect(desk.undo)
        self.redo.clicked.connect(desk.redo)
        self.next = QLabel(self)
        self.next.setWordWrap(True)
        self.next.setProperty("faint", True)
        row = QHBoxLayout()
        row.addWidget(self.undo)
        row.addWidget(self.redo)
        row.addStretch(1)
        split = QSplitter(Qt.Orientation.Vertical, self)
        split.addWidget(self.list)
        split.addWidget(self.detail)
        split.setSizes([400, 220])
        layout = QVBoxLayout(self)
        layout.setContentsMargins(4, 4, 4, 4)
        layout.addLayout(row)
        layout.addWidget(self.next)
        layout.addWidget(split, 1)
        desk.document.changed.connect(self._moved)

    def _moved(self, _: Moved) -> None:
        self._stale = True
        if self.isVisible():
            self.refresh()

    def refresh(self) -> None:
        """The journal as it is now."""
        self._stale = False
        document = self.desk.document
        # Rows are never changed once written, so only those that are new are read.
        last = self._rows[-1].seq if self._rows else max(0, document.head - MOST)
        self._rows = [*self._rows, *document.headings(last)][-MOST:]
        self.steps.set_rows(reversed(self._rows))
        undo, redo = document.undo_text, document.redo_text
        self.undo.setEnabled(undo is not None)
        self.redo.setEnabled(redo is not None)
        said = [say("Undo takes back: {step}", step=undo) if undo else say("There is nothing to undo.")]
        said += [say("Redo does again: {step}", step=redo)] if redo else []
        self.next.setText("\n".join(said))
        if self.since.isChecked():
            self._chosen(self._key)

    def _again(self, _: bool) -> None:
        self._chosen(self._key)

    def _chosen(self, key: str) -> None:
        place = self.steps.position(key)
        self._key = key
        if place is None:
            self.changes.set_rows(())
            return
        seq, document = self.steps.row(place).seq, self.desk.document
        changes: Iterable[Change]
        if self.since.isChecked():
            then = document.history.book_at(seq)
            changes, name = between(then, document.book), namer(document.book, then)
        else:
            changes, name = document.history.entry(seq).changes, namer(document.book)
        out = []
        for n, change in enumerate(islice(changes, SHOWN)):
            record = change.after or change.before
            called = str(getattr(record, "name", "") or name(change.kind, change.id))
            said = f"{record_word(change.kind)} {called}"
            for m, (field, before, after) in enumerate(differences(change, name)):
                out.append(Shown(f"{n}/{m}", Difference((change.kind, change.id), said, field, before, after)))
        self.changes.set_rows(out)
        self._fit()

    def showEvent(self, event: QShowEvent) -> None:
        """Read only while it is seen; what was done and when are seen without scrolling."""
        super().showEvent(event)
        if self._stale:
            self.refresh()
        self._fit()

    def _fit(self) -> None:
        room = self.width() - 30
        for table, shares in ((self.list.table, (0.53, 0.47, 0.25, 0.2)), (self.detail.table, (0.46, 0.27, 0.2))):
            for column, share in enumerate(shares):
                table.setColumnWidth(column, int(room * share))

    def _open(self, key: str) -> None:
        place = self.changes.position(key)
        if place is not None:
            self.desk.go(Where(*self.changes.row(place).it.of))


def _what(row: Heading) -> str:
    act = row.act
    if act == "undo":
        return say("undo: {step}", step=row.code)
    if act == "redo":
        return say("redo: {step}", step=row.code)
    if act == "migrate":
        return say("the book begins here: {step}", step=row.code)
    return row.code
