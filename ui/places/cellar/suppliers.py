"""Suppliers: who sells what to the house."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import partial
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QInputDialog, QPushButton, QSplitter, QVBoxLayout, QWidget

from costing.book.book import Book
from costing.book.change import Step
from costing.book.records import Supplier, TaxBasis
from costing.edits import goods, suppliers
from costing.edits.quotes import TAX_BASES
from costing.tongue import Words, say, word
from ui.desk import Desk
from ui.document import Figures
from ui.format import UNKNOWN, Format
from ui.models.table import Column, RowTable
from ui.places.cellar.rates import RatesList
from ui.widgets.acts import acts
from ui.widgets.listpane import ListPane
from ui.widgets.notice import EmptyPlace


@dataclass(frozen=True, slots=True)
class SupplierRow:
    """One supplier, and how many goods they have quoted for and cost today."""

    id: str
    record: Supplier
    quoted: int
    cost: int

    @property
    def name(self) -> str:
        """What it is called."""
        return self.record.name


def supplier_rows(figures: Figures) -> list[SupplierRow]:
    """Suppliers by name."""
    view = figures.view
    used = [price.quote.supplier for price in figures.reckoning.prices.values()]
    quoted: dict[str, set[str]] = {}
    for good, offers in view.quotes.items():
        for quote in offers:
            quoted.setdefault(quote.supplier, set()).add(good)
    rows = (SupplierRow(s.id, s, len(quoted.get(s.id, ())), used.count(s.id)) for s in view.suppliers.values())
    return sorted(rows, key=lambda r: r.name.casefold())


TAX_WORDS: Words = {"unknown": "not known", "ex": "not in them", "inc": "in them"}
"""Whether tax is in a supplier's prices."""


def tax_basis(text: str) -> TaxBasis:
    """What somebody typed of tax in the prices. ValueError for anything else."""
    wanted = " ".join(text.casefold().split())
    for basis in TAX_BASES:
        if wanted in (basis, word(TAX_WORDS, basis).casefold()):
            return basis
    raise ValueError(
        say("“{text}” does not say whether tax is in the prices: Alt+Down lists what can be said", text=text)
    )


def supplier_columns(form: Format) -> Sequence[Column[SupplierRow]]:
    """What a row shows: who it is, and on what terms it sells."""
    Write = Callable[[Book, str, str], Step | None]

    def terms(key: str, title: str, show: Callable[[Supplier], str], write: Write, **more: Any) -> Column[SupplierRow]:
        return Column[SupplierRow](
            key, title, lambda r: show(r.record) or UNKNOWN, edit_text=lambda r: show(r.record),
            write=lambda book, r, text: write(book, r.id, text), **more,
        )  # fmt: skip

    def money(value: Decimal | None) -> str:
        return "" if value is None else form.money(value)

    def share(value: Decimal | None) -> str:
        return "" if value is None else form.percent(value, 2)

    def tax(book: Book, ident: str, text: str) -> Step | None:
        old = book.all(Supplier)[ident]
        return suppliers.set_tax(book, ident, tax_basis(text), _percent(old.tax_rate))

    def rate(book: Book, ident: str, text: str) -> Step | None:
        return suppliers.set_tax(book, ident, book.all(Supplier)[ident].tax, text)

    def freight(book: Book, ident: str, text: str) -> Step | None:
        limit = _plain(book.all(Supplier)[ident].free_from) if text.strip() else ""
        return suppliers.set_freight(book, ident, text, limit)

    def free_from(book: Book, ident: str, text: str) -> Step | None:
        return suppliers.set_freight(book, ident, _plain(book.all(Supplier)[ident].freight), text)

    def rebate(book: Book, ident: str, text: str) -> Step | None:
        reached = _plain(book.all(Supplier)[ident].rebate_from) if text.strip() else ""
        return suppliers.set_rebate(book, ident, text, reached)

    def reached(book: Book, ident: str, text: str) -> Step | None:
        return suppliers.set_rebate(book, ident, _percent(book.all(Supplier)[ident].rebate), text)

    def rename(book: Book, row: SupplierRow, text: str) -> Step | None:
        return None if text == row.name else goods.rename_supplier(book, row.id, text)

    return (
        Column[SupplierRow]("name", say("Supplier"), lambda r: r.name, write=rename),
        Column[SupplierRow]("quoted", say("Ingredients quoted"), lambda r: str(r.quoted), True, lambda r: r.quoted),
        Column[SupplierRow]("cost", say("Cost by them today"), lambda r: str(r.cost), True, lambda r: r.cost),
        terms("tax", say("Tax in its prices"), lambda s: word(TAX_WORDS, s.tax), tax,
              choices=lambda: [word(TAX_WORDS, basis) for basis in TAX_BASES]),
        terms("rate", say("Tax rate"), lambda s: share(s.tax_rate), rate, number=True),
        terms("currency", say("Bills in"), lambda s: s.currency, suppliers.set_currency,
              about=say("The currency of its prices; empty is the house's own")),
        terms("freight", say("Freight of an order"), lambda s: money(s.freight), freight, number=True),
        terms("free_from", say("No freight from"), lambda s: money(s.free_from), free_from, number=True),
        terms("minimum", say("Least order"), lambda s: money(s.minimum), suppliers.set_minimum, number=True),
        terms("rebate", say("Money back"), lambda s: share(s.rebate), rebate, number=True,
              about=say("The share of a year's turnover that comes back")),
        terms("rebate_from", say("Money back from"), lambda s: money(s.rebate_from), reached, number=True),
        terms("names", say("Other names, tax numbers"), lambda s: "; ".join(s.names), suppliers.set_names,
              about=say("What it goes by in files: an invoice is known by any of them")),
        terms("noise", say("Words that mean nothing"), lambda s: ", ".join(s.noise), suppliers.set_noise,
              about=say("Words of its lists that say nothing of what is sold")),
        terms("note", say("Note"), lambda s: s.note, goods.set_supplier_note),
    )  # fmt: skip


def _plain(value: Decimal | None) -> str:
    """An amount as it can be typed again."""
    return "" if value is None else f"{value:f}"


def _percent(value: Decimal | None) -> str:
    return "" if value is None else f"{value * 100:f} %"


class SuppliersPage(QWidget):
    """The list of suppliers."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        columns = supplier_columns(desk.format)
        self.rows: RowTable[SupplierRow] = RowTable(columns, lambda r: r.id, desk, self)
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
        self.rates = RatesList(desk, self)
        self.split = QSplitter(Qt.Orientation.Vertical, self)
        self.split.addWidget(self.list)
        self.split.addWidget(self.rates)
        self.split.setSizes([420, 180])
        layout.addWidget(self.split, 1)
        self.acts = acts(
            self,
            [
                (say("New supplier…"), "Ctrl+Shift+N", self.ask_new),
                (say("Remove the supplier"), "Ctrl+Shift+Delete", self.remove),
                (say("New exchange rate…"), "Ctrl+Shift+F", self.rates.ask_new),
            ],
        )
        self.list.table.addActions(self.acts)

    def refresh(self) -> None:
        """The suppliers as they are."""
        self.rows.set_rows(supplier_rows(self.desk.document.figures))
        self.rates.refresh()

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
