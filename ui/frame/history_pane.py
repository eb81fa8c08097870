"""The day book: every step, who made it and when, and what it changed, field by field."""

from collections.abc import Iterator
from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QHeaderView, QLabel, QPushButton, QSplitter, QVBoxLayout, QWidget

from costing.book.change import Change
from costing.book.history import Row
from costing.book.plain import record_to_plain
from costing.tongue import say, say_many
from ui.desk import Desk, Where
from ui.document import Moved
from ui.format import UNKNOWN
from ui.models.table import Column, RowTable
from ui.widgets.listpane import ListPane
from ui.words import record_word

MOST = 2_000
"""Steps listed; older ones are found by the terminal's history command."""
LONGEST = 200


@dataclass(frozen=True, slots=True)
class StepRow:
    """One step of the journal."""

    row: Row

    @property
    def key(self) -> str:
        """Its number."""
        return str(self.row.seq)


@dataclass(frozen=True, slots=True)
class Difference:
    """One field before and after."""

    key: str
    record: str
    field: str
    before: str
    after: str
    where: Where


def differences(change: Change) -> Iterator[tuple[str, str, str]]:
    """(field, before, after) of everything that differs in one change; a new or a removed record by its name alone."""
    if change.before is None or change.after is None:
        record = change.after or change.before
        name = str(getattr(record, "name", "") or change.id)
        yield ("", UNKNOWN, name) if change.before is None else ("", name, UNKNOWN)
        return
    yield from _apart("", record_to_plain(change.before), record_to_plain(change.after))


def _apart(path: str, before: object, after: object) -> Iterator[tuple[str, str, str]]:
    if before == after:
        return
    if isinstance(before, dict) and isinstance(after, dict):
        if "text" in before and "text" in after and before["text"] != after["text"]:
            yield path, str(before["text"]), str(after["text"])
            return
        for key in dict.fromkeys([*before, *after]):
            yield from _apart(f"{path}.{key}" if path else str(key), before.get(key), after.get(key))
    elif isinstance(before, list) and isinstance(after, list) and len(before) == len(after):
        for n, (old, new) in enumerate(zip(before, after, strict=True)):
            yield from _apart(f"{path} {n + 1}", old, new)
    elif isinstance(before, list) or isinstance(after, list):
        old, new = (len(side) if isinstance(side, list) else 0 for side in (before, after))
        yield path, say_many("{n} entry", "{n} entries", old), say_many("{n} entry", "{n} entries", new)
    else:
        yield path, _short(before), _short(after)


def _short(value: object) -> str:
    if value is None:
        return UNKNOWN
    if isinstance(value, dict):
        return str(value.get("text", value))[:LONGEST]
    return str(value)[:LONGEST]


class HistoryPane(QWidget):
    """Steps, the newest first, and under them what the chosen one changed."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk, self._stale = desk, True
        self._rows: list[StepRow] = []
        form = desk.format
        self.steps: RowTable[StepRow] = RowTable(
            [
                Column[StepRow]("what", say("Step"), _what),
                Column[StepRow]("at", say("When"), lambda r: form.moment(r.row.at)),
                Column[StepRow]("who", say("Who"), lambda r: r.row.who),
                Column[StepRow]("seq", say("No."), lambda r: str(r.row.seq), True, lambda r: r.row.seq),
            ],
            lambda r: r.key,
            desk,
            self,
        )
        self.changes: RowTable[Difference] = RowTable(
            [
                Column[Difference]("record", say("In"), lambda d: d.record),
                Column[Difference]("field", say("What"), lambda d: d.field or say("all of it")),
                Column[Difference]("before", say("Before"), lambda d: d.before),
                Column[Difference]("after", say("After"), lambda d: d.after),
            ],
            lambda d: d.key,
            desk,
            self,
        )
        self.list = ListPane(self.steps, say("Steps"), None, self)
        self.detail = ListPane(self.changes, say("What the step changed"), None, self)
        self.detail.filter.hide()
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
        self.list.table.horizontalHeader().setSectionResizeMode(0, QHeaderView.ResizeMode.Interactive)
        desk.document.changed.connect(self._moved)

    def _moved(self, _: Moved) -> None:
        self._stale = True
        if self.isVisible():
            self.refresh()

    def showEvent(self, event: QShowEvent) -> None:
        """Read only while it is seen."""
        super().showEvent(event)
        if self._stale:
            self.refresh()

    def refresh(self) -> None:
        """The journal as it is now."""
        self._stale = False
        document = self.desk.document
        # Rows are never changed once written, so only those that are new are read.
        last = self._rows[-1].row.seq if self._rows else max(0, document.head - MOST)
        self._rows = [*self._rows, *(StepRow(row) for row in document.entries(last))][-MOST:]
        self.steps.set_rows(reversed(self._rows))
        undo, redo = document.undo_text, document.redo_text
        self.undo.setEnabled(undo is not None)
        self.redo.setEnabled(redo is not None)
        said = [say("Undo takes back: {step}", step=undo) if undo else say("There is nothing to undo.")]
        said += [say("Redo does again: {step}", step=redo)] if redo else []
        self.next.setText(" ".join(said))

    def _chosen(self, key: str) -> None:
        place = self.steps.position(key)
        if place is None:
            return
        row, book = self.steps.row(place).row, self.desk.document.book
        out = []
        for n, change in enumerate(row.changes[:500]):
            record = change.after or change.before
            name = str(
                getattr(record, "name", "") or getattr(book.get(change.kind, change.id), "name", "") or change.id
            )
            for m, (field, before, after) in enumerate(differences(change)):
                said = f"{record_word(change.kind)} {name}"
                out.append(Difference(f"{n}/{m}", said, field, before, after, Where(change.kind, change.id)))
        self.changes.set_rows(out)
        self.detail.table.fit_columns()

    def _open(self, key: str) -> None:
        place = self.changes.position(key)
        if place is not None:
            self.desk.go(self.changes.row(place).where)


def _what(row: StepRow) -> str:
    act = row.row.act
    if act == "undo":
        return say("undo: {step}", step=row.row.code)
    if act == "redo":
        return say("redo: {step}", step=row.row.code)
    if act == "migrate":
        return say("the book begins here: {step}", step=row.row.code)
    return row.row.code
