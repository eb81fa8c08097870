"""Suppliers: who sells what to the house."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

from PySide6.QtWidgets import QHBoxLayout, QInputDialog, QPushButton, QVBoxLayout, QWidget

from costing.book.book import Book
from costing.book.change import Step
from costing.edits import goods
from costing.tongue import say
from ui.desk import Desk
from ui.document import Figures
from ui.models.table import Column, RowTable
from ui.widgets.acts import acts
from ui.widgets.listpane import ListPane
from ui.widgets.notice import EmptyPlace


@dataclass(frozen=True, slots=True)
class SupplierRow:
    """One supplier, and how many goods they have quoted for and cost today."""

    id: str
    name: str
    note: str
    quoted: int
    cost: int


def supplier_rows(figures: Figures) -> list[SupplierRow]:
    """Suppliers by name."""
    view = figures.view
    used = [price.quote.supplier for price in figures.reckoning.prices.values()]
    quoted: dict[str, set[str]] = {}
    for good, offers in view.quotes.items():
        for quote in offers:
            quoted.setdefault(quote.supplier, set()).add(good)
    rows = (
        SupplierRow(s.id, s.name, s.note, len(quoted.get(s.id, ())), used.count(s.id)) for s in view.suppliers.values()
    )
    return sorted(rows, key=lambda r: r.name.casefold())


def supplier_columns() -> Sequence[Column[SupplierRow]]:
    """What a row shows."""

    def rename(book: Book, row: SupplierRow, text: str) -> Step | None:
        return None if text == row.name else goods.rename_supplier(book, row.id, text)

    def note(book: Book, row: SupplierRow, text: str) -> Step | None:
        return goods.set_supplier_note(book, row.id, text)

    return (
        Column[SupplierRow]("name", say("Supplier"), lambda r: r.name, write=rename),
        Column[SupplierRow]("quoted", say("Ingredients quoted"), lambda r: str(r.quoted), True, lambda r: r.quoted),
        Column[SupplierRow]("cost", say("Cost by them today"), lambda r: str(r.cost), True, lambda r: r.cost),
        Column[SupplierRow]("note", say("Note"), lambda r: r.note, write=note),
    )


class SuppliersPage(QWidget):
    """The list of suppliers."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.rows: RowTable[SupplierRow] = RowTable(supplier_columns(), lambda r: r.id, desk, self)
        empty = EmptyPlace(say("Suppliers go here: who sells to the house."), say("New supplier"), self.ask_new)
        self.list = ListPane(self.rows, say("Suppliers"), empty, self)
        new = QPushButton(say("New supplier…"), self)
        new.clicked.connect(self.ask_new)
        row = QHBoxLayout()
        row.addWidget(new)
        row.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 4, 0, 0)
        layout.addLayout(row)
        layout.addWidget(self.list, 1)
        self.acts = acts(
            self,
            [
                (say("New supplier…"), "Ctrl+Shift+N", self.ask_new),
                (say("Remove the supplier"), "Ctrl+Shift+Delete", self.remove),
            ],
        )
        self.list.table.addActions(self.acts)

    def refresh(self) -> None:
        """The suppliers as they are."""
        self.rows.set_rows(supplier_rows(self.desk.document.figures))

    def ask_new(self) -> None:
        """A supplier by name."""
        name, ok = QInputDialog.getText(self, say("New supplier"), say("What are they called?"))
        if ok:
            self.make(name)

    def make(self, name: str) -> bool:
        """A supplier of this name."""
        document, made = self.desk.document, ""

        def work() -> Step:
            nonlocal made
            step, made = goods.new_supplier(document.book, name, document.past_ids())
            return step

        return self.desk.attempt(work) and self.list.table.choose(made)

    def remove(self) -> None:
        """Take the chosen supplier out."""
        index = self.list.table.currentIndex()
        if index.isValid():
            self.desk.attempt(partial(goods.remove_supplier, self.desk.document.book, self.rows.key(index.row())))
