"""What suppliers owe: claims that invoices left, deposits in containers, money back for turnover."""

from collections.abc import Sequence
from decimal import Decimal
from functools import partial

from PySide6.QtWidgets import QHBoxLayout, QInputDialog, QLabel, QVBoxLayout, QWidget

from costing.book.book import Book
from costing.book.buying import Purchase
from costing.book.change import Step
from costing.edits import claims
from costing.supply.arriving.role_words import OWED_WORDS
from costing.supply.plan.owed import Owed, owed
from costing.tongue import say, word
from ui.desk import Desk
from ui.format import UNKNOWN, own
from ui.models.table import Column, RowTable
from ui.widgets.acts import Act
from ui.widgets.listpane import ListPane
from ui.widgets.notice import EmptyPlace


def note_text(row: Owed) -> str:
    """What somebody said of it."""
    return own(row.claim.note) if row.claim is not None else say("worked out from the invoices")


def owed_columns(desk: Desk) -> Sequence[Column[Owed]]:
    """One sum a row."""
    form, document = desk.format, desk.document

    def supplier(row: Owed) -> str:
        found = document.view.suppliers.get(row.supplier)
        return found.name if found is not None else row.supplier

    def note(book: Book, row: Owed, text: str) -> Step | None:
        if row.claim is None:
            raise ValueError(say("This sum is worked out from the invoices: there is nothing to write a note on."))
        return claims.set_note(book, row.claim.id, text)

    def invoice(row: Owed) -> str:
        bought = document.book.get("purchase", row.claim.purchase) if row.claim is not None else None
        return str(getattr(bought, "number", "")) or UNKNOWN

    return (
        Column[Owed]("supplier", say("Supplier"), supplier),
        Column[Owed]("why", say("Owes it for"), lambda r: word(OWED_WORDS, r.sort)),
        Column[Owed]("good", say("Ingredient"), lambda r: document.names.get(r.good, r.good) or UNKNOWN),
        Column[Owed]("invoice", say("Invoice"), invoice),
        Column[Owed]("since", say("Since"), lambda r: form.day(r.since), sort=lambda r: r.since),
        Column[Owed]("amount", say("Open"), lambda r: form.money(r.amount), True, lambda r: r.amount),
        Column[Owed]("currency", say("In"), lambda r: r.currency),
        Column[Owed]("note", say("Note"), note_text, write=note, editable=lambda r: r.claim is not None,
                     edit_text=lambda r: r.claim.note if r.claim else ""),
    )  # fmt: skip


class OwedList(QWidget):
    """The list and its sum."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.sum = QLabel(self)
        self.rows: RowTable[Owed] = RowTable(owed_columns(desk), _key, desk, self)
        empty = EmptyPlace(
            say("No supplier owes anything. Invoices that bill more than was agreed, or than came, put it here.")
        )
        self.list = ListPane(self.rows, say("What suppliers owe"), empty, self)
        row = QHBoxLayout()
        row.setContentsMargins(4, 0, 4, 0)
        row.addStretch(1)
        row.addWidget(self.sum)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addLayout(row)
        layout.addWidget(self.list, 1)

    def rows_of_acts(self) -> list[Act]:
        """What can be done with a claim, for the page that it stands on."""
        return [
            (say("Money came for this claim…"), "Ctrl+Shift+K", self.ask_settle),
            (say("Let this claim drop"), "Ctrl+Shift+Backspace", self.drop),
        ]

    def refresh(self) -> None:
        """As the book has it on the day."""
        document, form = self.desk.document, self.desk.format
        # What was billed after the day that is looked at is owed all the same.
        last = max((p.day for p in document.book.all(Purchase).values()), default=document.day)
        found = owed(document.book, max(document.day, last))
        self.rows.set_rows(found)
        sums: dict[str, Decimal] = {}
        for row in found:
            sums[row.currency] = sums.get(row.currency, Decimal(0)) + row.amount
        said = ", ".join(f"{form.money(amount)} {currency}" for currency, amount in sums.items())
        self.sum.setText(say("in all {sums}", sums=said) if said else "")

    def current(self) -> Owed | None:
        """The row that the cursor is on."""
        index = self.list.table.currentIndex()
        return self.rows.row(index.row()) if index.isValid() else None

    def ask_settle(self) -> None:
        """How much came for the claim."""
        row = self.current()
        if row is None or row.claim is None:
            self.desk.tell(say("Choose a claim that an invoice left."))
            return
        text, ok = QInputDialog.getText(
            self, say("Money for a claim"), say("How much came?"), text=self.desk.format.money(row.amount)
        )
        if ok:
            self.settle(row, text)

    def settle(self, row: Owed, text: str) -> bool:
        """Money that came for a claim, as typed."""
        if row.claim is None:
            return False
        document = self.desk.document
        return self.desk.attempt(partial(claims.settle, document.book, row.claim.id, text, document.day))

    def drop(self) -> None:
        """Let the claim go; undo brings it back."""
        row = self.current()
        if row is not None and row.claim is not None:
            self.desk.attempt(partial(claims.drop, self.desk.document.book, row.claim.id))


def _key(row: Owed) -> str:
    return row.claim.id if row.claim is not None else f"{row.supplier}/{row.sort}/{row.currency}"
