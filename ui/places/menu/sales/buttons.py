"""The buttons of files that are looked at: what each means, typed, or taken from what it may mean with Enter."""

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractItemView, QVBoxLayout, QWidget

from costing.book.book import Book
from costing.book.change import Step
from costing.book.records import Serve
from costing.book.selling import Button
from costing.supply.till.plan_record import SalesPlan, Suggested
from costing.tables import fold
from costing.tongue import say
from ui.desk import Desk
from ui.format import UNKNOWN, own
from ui.models.table import Column, RowTable
from ui.places.cellar.buying.saying import Hint
from ui.places.menu.sales.case import Key, Meant, key_of
from ui.places.menu.sales.meaning import Meaning, left_text, meaning_of, meaning_text, offers, read_meaning
from ui.places.menu.sales.rows import count_text, named
from ui.places.menu.sales.seen import SeenRow, seen_rows
from ui.widgets.listpane import ListPane
from ui.widgets.notice import EmptyPlace

ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)


class ButtonsPage(QWidget):
    """``said`` tells a Button that somebody gave a meaning, ``taken_back`` the (code, text) of one whose meaning is
    taken back."""

    said = Signal(object)
    taken_back = Signal(object)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self._meant: Meant = {}
        self.rows: RowTable[SeenRow] = RowTable(self._columns(), _key, desk, self)
        self._means = next(n for n, column in enumerate(self.rows.columns) if column.key == "means")
        empty = EmptyPlace(say("No button is read yet."))
        self.list = ListPane(self.rows, say("Buttons of the till"), empty, self)
        self.list.table.opened.connect(self._open)
        self.list.table.installEventFilter(self)
        hint = Hint(
            say("Enter takes what it may mean. Or type over what it means: a drink, several with +, or "
                "“left: gift card”."), self,
        )  # fmt: skip
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 4, 0, 0)
        layout.addWidget(self.list, 1)
        layout.addWidget(hint)

    def _columns(self) -> Sequence[Column[SeenRow]]:
        form, document = self.desk.format, self.desk.document

        def net(row: SeenRow) -> str:
            return form.money(row.seen.net)

        return (
            Column[SeenRow]("text", say("Button"), lambda r: named(r.seen.text), strong=self._waits,
                            tip=lambda r: r.seen.category),
            Column[SeenRow]("code", say("Code"), lambda r: named(r.seen.code)),
            Column[SeenRow]("means", say("Means"), self._shown, write=self._write,
                            edit_text=self._text, offers=lambda text: offers(text, document.book), strong=self._waits),
            Column[SeenRow]("may", say("May mean"), self._may, tip=self._all),
            Column[SeenRow]("rows", say("Rows"), lambda r: form.number(r.seen.rows, 0), True, lambda r: r.seen.rows),
            Column[SeenRow]("count", say("Drinks"), lambda r: count_text(r.seen.count, form), True,
                            lambda r: r.seen.count),
            Column[SeenRow]("net", say("Net"), net, True, lambda r: r.seen.net),
            Column[SeenRow]("each", say("Mostly paid"), lambda r: form.money(r.seen.each), True, lambda r: r.seen.each,
                            about=say("What most of it was paid at, with everything in it")),
        )  # fmt: skip

    # What it shows

    def show_buttons(self, plans: Sequence[SalesPlan], meant: Meant) -> None:
        """Buttons of some files, with what was said of them since they were read."""
        self._meant = meant
        self.rows.set_rows(seen_rows(plans))
        may = next(n for n, column in enumerate(self.rows.columns) if column.key == "may")
        self.list.table.setColumnHidden(may, not any(row.waits for row in self.rows.rows()))

    def restart(self) -> None:
        """Other files: what waits comes first again, wherever a button stood before."""
        self.rows.set_rows([])

    def waiting(self) -> int:
        """How many buttons still wait for a meaning."""
        return sum(self._waits(row) for row in self.rows.rows())

    def begin(self) -> None:
        """The keyboard to the first button that waits."""
        table = self.list.table
        first = next((n for n, row in enumerate(self.rows.rows()) if self._waits(row)), 0)
        if self.rows.rowCount():
            table.come_to(self.rows.index(first, self._means))
        table.setFocus(Qt.FocusReason.OtherFocusReason)

    def _waits(self, row: SeenRow) -> bool:
        return row.waits and row.button not in self._meant

    def _meaning(self, row: SeenRow) -> Meaning | None:
        said = self._meant.get(row.button)
        if said is not None:
            return meaning_of(said)
        if row.seen.state == "left":
            return Meaning("left", reason=row.seen.reason)
        return meaning_of(row.seen.button) if row.seen.button is not None else None

    def _text(self, row: SeenRow) -> str:
        meaning = self._meaning(row)
        if meaning is not None:
            return meaning_text(meaning, self.desk.document.book)
        return self._named(row.seen.text) if row.seen.state == "sure" else ""

    def _shown(self, row: SeenRow) -> str:
        text = self._text(row)
        return own(text) if text else say("waits")

    def _named(self, text: str) -> str:
        """The drink whose very name a button is."""
        serves = self.desk.document.book.all(Serve).values()
        return next((serve.name for serve in serves if fold(serve.name) == fold(text)), text)

    def _may(self, row: SeenRow) -> str:
        return own(self._offer(row.seen.suggested[0])) if self._waits(row) and row.seen.suggested else UNKNOWN

    def _all(self, row: SeenRow) -> str:
        return "\n".join(map(self._offer, row.seen.suggested))

    def _offer(self, offer: Suggested) -> str:
        book = self.desk.document.book
        said = left_text(offer.reason) if offer.sort == "left" else (
            meaning_text(Meaning(offer.sort, offer.parts), book)
        )  # fmt: skip
        if offer.why == "renamed":
            return say("{drink} (was “{text}”)", drink=said, text=own(offer.like))
        return say("{drink} (under another code)", drink=said) if offer.why == "other code" else said

    # What somebody says

    def _write(self, book: Book, row: SeenRow, text: str) -> Step | None:
        """A meaning that was typed; emptied, it is taken back. ValueError for what cannot be."""
        if not text.strip():
            if row.button not in self._meant and row.seen.state != "waiting":
                raise ValueError(say("what the book knows of a button is forgotten under “Buttons…”"))
            self.taken_back.emit(row.button)
            return None
        if text.strip() != self._text(row):
            self._say(row, read_meaning(text, book))
        return None

    def _say(self, row: SeenRow, meaning: Meaning) -> None:
        self.said.emit(
            Button(
                id="", text=row.seen.text, code=row.seen.code, since=self.desk.document.day, sort=meaning.sort,
                parts=meaning.parts, reason=meaning.reason,
            )
        )  # fmt: skip

    def take_suggestion(self) -> bool:
        """What the button under the cursor may mean is what it means; then to the next one that waits. False where
        nothing is suggested."""
        row = self._current()
        if row is None or not self._waits(row) or not row.seen.suggested:
            return False
        offer = row.seen.suggested[0]
        at = self.list.table.currentIndex().row()
        self._say(row, Meaning(offer.sort, offer.parts, offer.reason))
        self._next(at)
        return True

    def _next(self, at: int) -> None:
        rows = self.rows.rows()
        for n in (*range(at + 1, len(rows)), *range(at)):
            if self._waits(rows[n]):
                self.list.table.come_to(self.rows.index(n, self._means))
                self.list.table.scrollTo(self.rows.index(n, self._means))
                return

    def _current(self) -> SeenRow | None:
        index = self.list.table.currentIndex()
        return self.rows.row(index.row()) if index.isValid() else None

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Enter on a button that waits takes what is suggested; anywhere else it types into what it means."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress and event.key() in ENTER:
            table = self.list.table
            plain = event.modifiers() in (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.KeypadModifier)
            if watched is table and plain and table.state() != QAbstractItemView.State.EditingState:
                return self.take_suggestion()
        return super().eventFilter(watched, event)

    def _open(self, key: str) -> None:
        """Enter or a double click elsewhere in a row types into what it means."""
        table, at = self.list.table, self.rows.position(key)
        if at is not None and not self.take_suggestion():
            table.come_to(self.rows.index(at, self._means))
            table.edit(self.rows.index(at, self._means))


def _key(row: SeenRow) -> str:
    return row.key


def with_meaning(meant: Meant, button: Button) -> dict[Key, Button]:
    """Everything that was said, with one more."""
    return {**meant, key_of(button): button}


def without_meaning(meant: Meant, key: Key) -> dict[Key, Button]:
    """The same with one taken back."""
    return {other: button for other, button in meant.items() if other != key}
