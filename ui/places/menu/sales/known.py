"""What buttons mean and how tills are read, as the book knows it: to change, and to forget."""

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QSplitter, QVBoxLayout, QWidget

from costing.book.book import Book
from costing.book.change import Change, Step
from costing.book.selling import Button, SalesPeriod, Till
from costing.edits.base import record_of
from costing.edits.tills import forget_button, set_button
from costing.report.words import series
from costing.supply.till.recount import waits_for
from costing.supply.till.words import FLAG_NAMES
from costing.tongue import say, word
from ui.desk import Desk
from ui.format import UNKNOWN, own
from ui.models.table import Column, RowTable
from ui.places.cellar.buying.saying import Hint
from ui.places.menu.sales.meaning import meaning_of, meaning_text, offers, read_meaning
from ui.places.menu.sales.rows import named
from ui.widgets.acts import acts
from ui.widgets.listpane import ListPane
from ui.widgets.notice import EmptyPlace


class KnownPage(QWidget):
    """``left`` tells that somebody goes back to what was sold."""

    left = Signal()

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.rows: RowTable[Button] = RowTable(self._columns(), _id, desk, self)
        empty = EmptyPlace(say("No button has a meaning yet: they are named when the first file of a till is read."))
        self.list = ListPane(self.rows, say("Buttons"), empty, self)
        self.tills: RowTable[Till] = RowTable(self._till_columns(), _id, desk, self)
        none = EmptyPlace(say("No till is known yet: how its files are read is remembered when the first is taken."))
        self.till_list = ListPane(self.tills, say("How tills are read"), none, self)
        self.till_list.filter.hide()
        self.till_list.count.hide()
        self.split = QSplitter(Qt.Orientation.Vertical, self)
        self.split.addWidget(self.list)
        self.split.addWidget(self.till_list)
        self.split.setSizes([420, 110])
        title = QLabel(say("What buttons mean"), self)
        title.setProperty("heading", True)
        back = QPushButton(say("Back to what was sold"), self)
        back.clicked.connect(self.left.emit)
        row = QHBoxLayout()
        row.addWidget(title, 1)
        row.addWidget(back)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(4, 4, 4, 4)
        layout.addLayout(row)
        layout.addWidget(self.split, 1)
        layout.addWidget(
            Hint(say("Type over what a button means: rows that wait for it are counted at once; what it counted until "
                     "now stays until its file is read again. Delete forgets it."), self)
        )  # fmt: skip
        for table, forget, text in (
            (self.list.table, self.forget, say("Forget what this button means")),
            (self.till_list.table, self.forget_till, say("Forget how this till is read")),
        ):
            acts(
                table, [(text, "Delete", forget), (say("Back to what was sold"), "Escape", self.left.emit)], alone=True
            )

    def _columns(self) -> Sequence[Column[Button]]:
        form, document = self.desk.format, self.desk.document

        def write(book: Book, button: Button, text: str) -> Step | None:
            said = read_meaning(text, book)
            return set_button(
                book, button.text, code=button.code, day=document.day, sort=said.sort, parts=said.parts,
                reason=said.reason, past=document.past_ids(),
            )  # fmt: skip

        def meant(button: Button) -> str:
            return meaning_text(meaning_of(button), document.book)

        def waiting(button: Button) -> int:
            periods = document.book.all(SalesPeriod).values()
            return sum(left.rows for period in periods for left in waits_for(period, button))

        return (
            Column[Button]("text", say("Button"), lambda b: named(b.text)),
            Column[Button]("code", say("Code"), lambda b: named(b.code)),
            Column[Button]("means", say("Means"), lambda b: own(meant(b)), write=write, edit_text=meant,
                           offers=lambda text: offers(text, document.book)),
            Column[Button]("since", say("Said on"), lambda b: form.day(b.since), sort=lambda b: b.since),
            Column[Button]("waiting", say("Rows that wait"), lambda b: str(waiting(b) or UNKNOWN), True, waiting,
                           about=say("Rows in the book that are not counted yet")),
            Column[Button]("note", say("Note"), lambda b: own(b.note)),
        )  # fmt: skip

    def _till_columns(self) -> Sequence[Column[Till]]:
        form = self.desk.format

        def marks(till: Till) -> str:
            return series(say("{mark}: {meaning}", mark=own(m), meaning=word(FLAG_NAMES, f)) for m, f in till.flags)

        def tax(till: Till) -> str:
            said = {"inc": say("is in its net"), "ex": say("is not in its net")}
            return said.get(till.columns.tax, say("not known"))

        return (
            Column[Till]("name", say("Till"), lambda t: own(t.name)),
            Column[Till]("columns", say("Columns"), lambda t: own(series(u.header for u in t.columns.uses if u.header)),
                         tip=lambda t: own(series(u.header for u in t.columns.uses if u.header))),
            Column[Till]("tax", say("Tax"), tax),
            Column[Till]("ends", say("The night ends at"), lambda t: f"{t.day_ends:02d}:00", sort=lambda t: t.day_ends),
            Column[Till]("marks", say("Marks"), lambda t: marks(t) or UNKNOWN, tip=marks),
            Column[Till]("since", say("Said on"), lambda t: form.day(t.since), sort=lambda t: t.since),
        )  # fmt: skip

    def refresh(self) -> None:
        """As the book has them, by code and text."""
        book = self.desk.document.book
        self.rows.set_rows(sorted(book.all(Button).values(), key=lambda b: (b.code, b.text, b.id)))
        self.tills.set_rows(sorted(book.all(Till).values(), key=lambda t: (t.name, t.id)))

    def show_item(self, kind: str, ident: str) -> bool:
        """Go to a button or a till."""
        pane = self.list if kind == "button" else self.till_list
        pane.table.setFocus(Qt.FocusReason.OtherFocusReason)
        return pane.table.choose(ident)

    def forget(self) -> None:
        """Take back what the chosen button means; undo gives it back."""
        index = self.list.table.currentIndex()
        if index.isValid():
            self.desk.attempt(partial(forget_button, self.desk.document.book, self.rows.key(index.row())))

    def forget_till(self) -> None:
        """Read the next file of this till as if it were the first."""
        index = self.till_list.table.currentIndex()
        if index.isValid():
            self.desk.attempt(partial(_forget_till, self.desk.document.book, self.tills.key(index.row())))


def _forget_till(book: Book, ident: str) -> Step:
    till = record_of(book, Till, ident)
    return Step(say("forget how {till} is read", till=till.name), (Change("till", ident, till, None),))


def _id(record: Button | Till) -> str:
    return record.id
