"""Ctrl+K: one field that finds any ingredient, preparation, drink, menu, supplier, batch, report or command."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QAction, QKeyEvent
from PySide6.QtWidgets import QDialog, QLabel, QLineEdit, QVBoxLayout, QWidget

from costing.book.book import Book
from costing.book.records import (
    BatchLog,
    Equipment,
    Glass,
    Good,
    Menu,
    Preparation,
    Quote,
    Serve,
    Supplier,
    Technique,
)
from costing.report.catalogue import REPORTS
from costing.report.words import stage_word
from costing.tongue import say
from ui.desk import Desk, Where
from ui.folding import fold
from ui.models.table import Column, RowTable
from ui.widgets.table import DataTable
from ui.words import record_word

MOST = 60
"""Results shown at once."""


@dataclass(frozen=True, slots=True)
class Found:
    """One thing that can be found: what it is, what it is called, what else it goes by, and where it is."""

    key: str
    kind: str
    name: str
    more: str = ""
    where: Where | None = None
    action: QAction | None = None


def everything(book: Book, actions: Sequence[QAction]) -> Iterator[Found]:
    """All there is to find. A quote is found by its supplier's code, a preparation by its stages too."""
    suppliers = {s.id: s.name for s in book.all(Supplier).values()}
    for good in book.all(Good).values():
        yield Found(f"good/{good.id}", record_word("good"), good.name, "", Where("good", good.id))
    for supplier in book.all(Supplier).values():
        yield Found(f"supplier/{supplier.id}", record_word("supplier"), supplier.name, "",
                    Where("supplier", supplier.id))  # fmt: skip
    for made in book.all(Preparation).values():
        kinds = dict.fromkeys(stage_word(stage.kind) for v in made.versions[-1:] for stage in v.stages)
        yield Found(f"preparation/{made.id}", record_word("preparation"), made.name, ", ".join(kinds),
                    Where("preparation", made.id))  # fmt: skip
    for serve in book.all(Serve).values():
        yield Found(f"serve/{serve.id}", record_word("serve"), serve.name, "", Where("serve", serve.id))
    for menu in book.all(Menu).values():
        sections = ", ".join(section.name for section in menu.sections)
        yield Found(f"menu/{menu.id}", record_word("menu"), menu.name, sections, Where("menu", menu.id))
    for log in book.all(BatchLog).values():
        name = getattr(book.get("preparation", log.preparation), "name", log.preparation)
        more = " ".join(part for part in (log.day.isoformat(), log.initials) if part)
        yield Found(f"batch/{log.id}", record_word("batch"), str(name), more, Where("batch", log.id))
    for cls, kind in ((Equipment, "equipment"), (Technique, "technique"), (Glass, "glass")):
        for record in book.all(cls).values():
            yield Found(f"{kind}/{record.id}", record_word(kind), str(record.name), "", Where(kind, record.id))  # type: ignore[attr-defined]
    for quote in book.all(Quote).values():
        if quote.code:
            name = str(getattr(book.get("good", quote.good), "name", quote.good))
            more = f"{quote.code} {suppliers.get(quote.supplier, '')}"
            yield Found(f"quote/{quote.id}", record_word("quote"), name, more, Where("quote", quote.id))
    for report in REPORTS:
        yield Found(f"report/{report.id}", say("report"), report.title, report.about, Where("report", report.id))
    for n, action in enumerate(actions):
        text = action.text().replace("&&", "\0").replace("&", "").replace("\0", "&").rstrip("…")
        if text and not action.isSeparator() and action.menu() is None:
            keys = action.shortcut().toString()
            yield Found(f"action/{n}", say("command"), text, keys, None, action)


class Index:
    """What there is to find, folded once."""

    def __init__(self, found: Iterable[Found]) -> None:
        self._items = [(fold(f.name), fold(f"{f.name} {f.more} {f.kind}"), f) for f in found]

    def find(self, text: str) -> list[Found]:
        """What holds every word, names that begin with it first, then words that do, then the rest."""
        wanted = fold(text)
        words = wanted.split()
        if not words:
            return [f for _, _, f in self._items if f.action is not None][:MOST]
        ranked: list[tuple[int, int, int, Found]] = []
        for n, (name, whole, found) in enumerate(self._items):
            if all(word in whole for word in words):
                if name.startswith(wanted):
                    rank = 0
                elif all(f" {word}" in f" {name}" for word in words):
                    rank = 1
                else:
                    rank = 2 if all(word in name for word in words) else 3
                ranked.append((rank, len(name), n, found))
        ranked.sort(key=lambda item: item[:3])
        return [found for _, _, _, found in ranked[:MOST]]


class Finder(QDialog):
    """Type, choose with the arrows, Enter goes there or does it."""

    def __init__(self, desk: Desk, actions: Callable[[], Sequence[QAction]], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.setWindowTitle(say("Find anything"))
        self._index = Index(everything(desk.document.book, [a for a in actions() if a.isEnabled()]))
        self.field = QLineEdit(self)
        self.field.setAccessibleName(say("Find anything"))
        self.field.setPlaceholderText(say("An ingredient, a preparation, a drink, a report, a command…"))
        self.rows: RowTable[Found] = RowTable(
            [
                Column[Found]("name", say("Name"), lambda f: f.name),
                Column[Found]("kind", say("Is a"), lambda f: f.kind),
                Column[Found]("more", say("Also"), lambda f: f.more),
            ],
            lambda f: f.key,
            desk,
            self,
        )
        self.table = DataTable(self.rows, say("What was found"), self)
        self.said = QLabel(self)
        self.said.setProperty("faint", True)
        layout = QVBoxLayout(self)
        layout.addWidget(self.field)
        layout.addWidget(self.table, 1)
        layout.addWidget(self.said)
        self.resize(620, 420)
        self.field.installEventFilter(self)
        self.field.textChanged.connect(self._show)
        self.table.opened.connect(self._go)
        self._show("")
        self.table.setColumnWidth(0, 300)

    def _show(self, text: str) -> None:
        found = self._index.find(text)
        self.rows.set_rows(found)
        if found:
            self.table.setCurrentIndex(self.rows.index(0, 0))
        self.said.setText(
            say("Enter goes there; the arrows choose.") if found else say("Nothing is called so. Try fewer letters.")
        )

    def _go(self, key: str) -> None:
        place = self.rows.position(key)
        if place is None:
            return
        found = self.rows.row(place)
        self.accept()
        if found.action is not None:
            found.action.trigger()
        elif found.where is not None:
            self.desk.go(found.where)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """The arrows move in the list while the field keeps the keyboard."""
        if watched is self.field and isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            key, row = event.key(), self.table.currentIndex().row()
            if key in (Qt.Key.Key_Down, Qt.Key.Key_Up):
                row = max(0, min(self.rows.rowCount() - 1, row + (1 if key == Qt.Key.Key_Down else -1)))
                self.table.setCurrentIndex(self.rows.index(row, 0))
                return True
            if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and row >= 0:
                self._go(self.rows.key(row))
                return True
        return super().eventFilter(watched, event)
