"""What was kept of what arrived: invoices as posted, orders, words that somebody confirmed, how lists are read."""

from collections.abc import Callable, Sequence
from decimal import Decimal
from functools import partial
from typing import Any

from PySide6.QtWidgets import QHBoxLayout, QLabel, QPlainTextEdit, QPushButton, QVBoxLayout, QWidget

from costing.book.book import Book
from costing.book.buying import Alias, ColumnMap, Order, Purchase
from costing.book.change import Step
from costing.book.records import Supplier
from costing.edits import orders
from costing.supply.arriving.role_words import KIND_WORDS, ROLE_WORDS
from costing.tongue import say, word
from ui.desk import Desk
from ui.format import own
from ui.models.table import Column, RowTable
from ui.places.cellar.dialogs import Asking
from ui.places.cellar.facts import supplier_of
from ui.widgets.acts import acts
from ui.widgets.fields import ChoiceField, DayField, TextField, read_day
from ui.widgets.listpane import ListPane
from ui.widgets.notice import EmptyPlace

Remove = Callable[[Book, str], Step]


class KeptList(QWidget):
    """A list of one kind of record, from which one can be taken out with Delete."""

    def __init__(
        self, desk: Desk, cls: type[Any], columns: Sequence[Column[Any]], names: tuple[str, str, str], remove: Remove,
        parent: QWidget | None = None,
    ) -> None:  # fmt: skip
        """``names`` are what the list is called, what to say while it is empty, and what taking one out is called."""
        super().__init__(parent)
        self.desk, self._cls, self._remove = desk, cls, remove
        title, empty, act = names
        self.rows: RowTable[Any] = RowTable(columns, _id, desk, self)
        self.list = ListPane(self.rows, title, EmptyPlace(empty), self)
        self.box = QVBoxLayout(self)
        self.box.setContentsMargins(0, 0, 0, 0)
        self.box.addWidget(self.list, 1)
        self.list.table.addActions(acts(self.list.table, [(act, "Delete", self.remove)], alone=True))

    def refresh(self) -> None:
        """As the book has them, the latest first."""
        found = self.desk.document.book.all(self._cls).values()
        self.rows.set_rows(sorted(found, key=_day, reverse=True))

    def remove(self) -> None:
        """Take the chosen one out; undo brings it back."""
        index = self.list.table.currentIndex()
        if index.isValid():
            self.desk.attempt(partial(self._remove, self.desk.document.book, self.rows.key(index.row())))


def _id(record: Any) -> str:
    return str(record.id)


def _day(record: Any) -> tuple[Any, str]:
    return getattr(record, "day", None) or record.since, record.id


def _supplier(desk: Desk) -> Column[Any]:
    def name(record: Any) -> str:
        found = desk.document.book.all(Supplier).get(record.supplier)
        return found.name if found is not None else str(record.supplier)

    return Column[Any]("supplier", say("Supplier"), name)


def purchases(desk: Desk, parent: QWidget | None = None) -> KeptList:
    """Invoices and credit notes as they were posted."""
    form, document = desk.format, desk.document

    def net(bought: Purchase) -> Decimal:
        return sum((line.net for line in bought.lines), Decimal(0))

    def charges(bought: Purchase) -> Decimal:
        return sum((charge.amount for charge in bought.charges), Decimal(0))

    def lines(bought: Purchase) -> str:
        return ", ".join(
            f"{line.received.normalize():f} {document.names.get(line.good, line.good)}" for line in bought.lines
        )

    return KeptList(
        desk, Purchase,
        [
            Column[Purchase]("day", say("Of"), lambda p: form.day(p.day), sort=lambda p: p.day),
            _supplier(desk),
            Column[Purchase]("kind", say("Is"), lambda p: word(KIND_WORDS, p.kind)),
            Column[Purchase]("number", say("Number"), lambda p: own(p.number)),
            Column[Purchase]("net", say("Ingredients"), lambda p: form.money(net(p)), True, net),
            Column[Purchase]("charges", say("Charges, deposits"), lambda p: form.money(charges(p)), True, charges),
            Column[Purchase]("currency", say("In"), lambda p: p.currency),
            Column[Purchase]("lines", say("Packs that came"), lambda p: own(lines(p)), tip=lines),
        ],
        (say("Invoices and credit notes"), say("Invoices that were taken stand here, with what came."),
         say("Take it back as posted")),
        orders.remove_purchase, parent,
    )  # fmt: skip


def aliases(desk: Desk, parent: QWidget | None = None) -> KeptList:
    """Words of suppliers that somebody explained."""
    form, document = desk.format, desk.document
    return KeptList(
        desk, Alias,
        [
            _supplier(desk),
            Column[Alias]("text", say("Their words"), lambda a: own(a.text)),
            Column[Alias]("good", say("Mean"), lambda a: document.names.get(a.good, a.good)),
            Column[Alias]("since", say("Since"), lambda a: form.day(a.since), sort=lambda a: a.since),
        ],
        (say("Words that were confirmed"), say("Words of suppliers that somebody said the meaning of stand here."),
         say("Forget what these words mean")),
        orders.remove_alias, parent,
    )  # fmt: skip


def maps(desk: Desk, parent: QWidget | None = None) -> KeptList:
    """How suppliers' lists are read."""
    form = desk.format

    def uses(kept: ColumnMap) -> str:
        return " · ".join(f"{use.header}: {word(ROLE_WORDS, use.role)}" for use in kept.columns.uses)

    return KeptList(
        desk, ColumnMap,
        [
            _supplier(desk),
            Column[ColumnMap]("uses", say("Columns"), lambda m: own(uses(m)), tip=uses),
            Column[ColumnMap]("since", say("Since"), lambda m: form.day(m.since), sort=lambda m: m.since),
        ],
        (say("How lists are read"), say("How each supplier's list was read the last time stands here."),
         say("Forget how this list is read")),
        orders.remove_columns, parent,
    )  # fmt: skip


class OrdersList(KeptList):
    """Orders as they were given."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        form, document = desk.format, desk.document

        def lines(order: Order) -> str:
            return ", ".join(
                f"{line.packs.normalize():f} {document.names.get(line.good, line.good)}" for line in order.lines
            )

        super().__init__(
            desk, Order,
            [
                Column[Order]("day", say("Of"), lambda o: form.day(o.day), sort=lambda o: o.day),
                _supplier(desk),
                Column[Order]("number", say("Number"), lambda o: own(o.number)),
                Column[Order]("lines", say("Packs"), lambda o: own(lines(o)), tip=lines),
            ],
            (say("Orders"), say("Orders stand here, so that invoices can be held against them."),
             say("Remove the order")),
            orders.remove_order, parent,
        )  # fmt: skip
        new = QPushButton(say("New order…"), self)
        new.clicked.connect(self.ask_new)
        row = QHBoxLayout()
        row.addWidget(new)
        row.addStretch(1)
        self.box.insertLayout(0, row)

    def ask_new(self) -> None:
        """An order by its lines."""
        NewOrder(self.desk, self).open()


class NewOrder(Asking):
    """Supplier, day, number, lines."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, say("New order"), say("Add it"), parent)
        suppliers = desk.document.book.all(Supplier)
        self.supplier = ChoiceField(say("Supplier"), lambda: [s.name for s in suppliers.values()], self)
        self.since = DayField(say("Of"), desk.format, lambda: desk.document.day, self)
        self.since.set_day(desk.document.day)
        self.number = TextField(say("Number"), self, hint=say("as the invoice will name it"))
        self.lines = QPlainTextEdit(self)
        self.lines.setAccessibleName(say("Ingredients and packs, one a line"))
        self.lines.setPlaceholderText(say("2 White rum\n3 Lime"))
        self.lines.setTabChangesFocus(True)
        for name, title, field in (
            ("supplier", say("Supplier"), self.supplier), ("since", say("Of"), self.since),
            ("number", say("Number"), self.number),
        ):  # fmt: skip
            self.ask(name, title, field)
        self.form.addRow(say("Packs"), self.lines)
        about = QLabel(
            say("One ingredient a line, with how many packs. The price agreed is the quote of the day."), self
        )
        about.setWordWrap(True)
        about.setProperty("faint", True)
        self.form.addRow("", about)
        self.supplier.setFocus()

    def work(self) -> bool:
        """Add the order."""
        document = self.desk.document
        who = supplier_of(document.book, self.supplier.text())
        if not who:
            raise ValueError(say("say who the order goes to"))
        day = read_day(self.since.text(), document.day)
        text, number = self.lines.toPlainText(), self.number.text()
        return self.desk.do(orders.new_order(document.book, who, day, text, number, document.past_ids()))
