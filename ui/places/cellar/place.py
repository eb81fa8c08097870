"""The cellar: the price book on the left, the chosen ingredient on the right; suppliers on their own page."""

from collections.abc import Sequence
from functools import partial
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QGuiApplication
from PySide6.QtWidgets import QSplitter, QTabWidget, QVBoxLayout, QWidget

from costing.book.book import Book
from costing.book.change import Step
from costing.book.records import Quote, YieldTest
from costing.edits import goods
from costing.tongue import say
from ui.desk import Desk, Where
from ui.document import Moved
from ui.fault import KNOWN, refusal_of
from ui.models.table import RowTable
from ui.places.base import Place, split_text, take_split
from ui.places.cellar.arrivals.page import ArrivalsPage
from ui.places.cellar.buying.movement import MovementPage
from ui.places.cellar.detail import GoodPages
from ui.places.cellar.dialogs import NewGood, Review
from ui.places.cellar.rows import GoodRow, good_columns, good_rows
from ui.places.cellar.suppliers import SuppliersPage
from ui.widgets.acts import acts
from ui.widgets.listpane import ListPane
from ui.widgets.notice import EmptyPlace
from ui.widgets.table import Block


class CellarPlace(Place):
    """What the house buys."""

    kinds = (
        "good", "quote", "supplier", "yieldtest", "file", "purchase", "claim", "alias", "columnmap", "order", "rate",
        "arriving",
    )  # fmt: skip

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self._current = ""
        self._draft: dict[str, str] = {}
        self.rows: RowTable[GoodRow] = RowTable(
            good_columns(desk, lambda: desk.document.day, desk.document.past_ids), lambda r: r.id, desk, self
        )
        empty = EmptyPlace(
            say("Ingredients go here: name, kind, pack and price are enough to begin."),
            say("New ingredient"),
            self.ask_new,
        )
        self.list = ListPane(self.rows, say("Ingredients"), empty, self)
        self.list.table.paste_step = self._pasted
        self.detail = GoodPages(desk, self)
        self.split = QSplitter(Qt.Orientation.Horizontal, self)
        self.split.addWidget(self.list)
        self.split.addWidget(self.detail)
        self.split.setSizes([520, 460])
        self.split.setStretchFactor(0, 1)
        self.suppliers = SuppliersPage(desk, self)
        self.pages = QTabWidget(self)
        self.pages.setAccessibleName(say("Pages of the cellar"))
        self.pages.addTab(self.split, say("Ingredients"))
        self.arrivals = ArrivalsPage(desk, self)
        self.pages.addTab(self.arrivals, say("Arrivals"))
        self.pages.addTab(self.suppliers, say("Suppliers"))
        self.movement = MovementPage(desk, self)
        self.pages.addTab(self.movement, say("Price movement"))
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.pages)
        self.list.table.current_key.connect(self._chosen)
        self.list.table.explained.connect(desk.explain)
        self._actions = self._make_actions()
        self.pages.currentChanged.connect(self._turned)
        self._turned()

    def _make_actions(self) -> list[QAction]:
        return acts(
            self,
            [
                (say("New ingredient…"), "Ctrl+Shift+N", self.ask_new),
                (say("New quote…"), "Ctrl+Shift+Q", self.detail.ask_quote),
                (say("Prices from a spreadsheet: paste…"), "Ctrl+Shift+B", self.paste_prices),
                (say("Remove this ingredient"), "Ctrl+Shift+Delete", self.remove),
            ],
        )

    def _turned(self, *_: object) -> None:
        """A key that makes or removes means what is on the page: what is not seen is never removed."""
        seen = self.pages.currentWidget()
        for action in (self._actions[0], self._actions[-1]):
            action.setEnabled(seen is self.split)
        for action in self.suppliers.acts:
            action.setEnabled(seen is self.suppliers)

    def refresh(self, moved: Moved) -> None:
        """The price book and the chosen good."""
        self.rows.set_rows(good_rows(self.desk.document.figures))
        self.suppliers.refresh()
        self.arrivals.refresh()
        self.movement.moved()
        if not self._current and self.rows.rowCount():
            self._current = self.rows.key(0)
            self.list.table.choose(self._current)
        self.detail.show_good(self._current)

    def _chosen(self, key: str) -> None:
        self._current = key
        self.detail.show_good(key)

    def show_item(self, where: Where) -> bool:
        """Go to a good, a quote of it, or a supplier."""
        if where.kind == "arriving":
            self.pages.setCurrentWidget(self.arrivals)
            return self.arrivals.open_file(Path(where.id))
        if where.kind in ("file", "purchase", "claim", "order", "alias", "columnmap"):
            self.pages.setCurrentWidget(self.arrivals)
            return self.arrivals.show_item(where)
        if where.kind == "rate":
            self.pages.setCurrentWidget(self.suppliers)
            return self.suppliers.rates.list.table.choose(where.id)
        if where.kind == "supplier":
            self.pages.setCurrentWidget(self.suppliers)
            self.suppliers.list.table.setFocus(Qt.FocusReason.OtherFocusReason)
            return self.suppliers.list.table.choose(where.id)
        ident = where.id
        book = self.desk.document.book
        test = book.get("yieldtest", where.id) if where.kind == "yieldtest" else None
        if isinstance(test, YieldTest):
            ident = test.good
            self.detail.setCurrentWidget(self.detail.trials)
        quote = book.get("quote", where.id) if where.kind == "quote" else None
        if isinstance(quote, Quote):
            ident = quote.good
        self.pages.setCurrentWidget(self.split)
        self.list.filter.clear()
        if not self.list.table.choose(ident):
            return False
        self.list.table.setFocus(Qt.FocusReason.OtherFocusReason)
        if isinstance(quote, Quote):
            self.detail.setCurrentWidget(self.detail.quotes_page)
            self.detail.quote_list.table.choose(quote.id)
        elif where.part:
            self.detail.setCurrentWidget(self.detail.fact_list)
        return True

    def actions_of(self) -> Sequence[QAction]:
        """New, quote, paste, remove; of suppliers too."""
        return [*self._actions, *self.arrivals.acts, *self.arrivals.review.acts, *self.suppliers.acts]

    def find_field(self) -> QWidget:
        """The filter of what is shown."""
        seen = self.pages.currentWidget()
        if seen is self.arrivals:
            return self.arrivals.find_field()
        if seen is self.movement:
            return self.movement.find_field()
        return self.suppliers.list.filter if seen is self.suppliers else self.list.filter

    def save_state(self) -> dict[str, object]:
        """The splitter and the chosen good; and an ingredient that was begun and not added."""
        state = split_text(self.split)
        page, book = self.detail.currentIndex(), str(self.desk.document.path)
        return {"split": state, "current": self._current, "page": page, "draft": {**self._draft, "book": book}}

    def restore_state(self, state: dict[str, object]) -> None:
        """As it stood."""
        split, current, page = state.get("split"), state.get("current"), state.get("page")
        take_split(self.split, split)
        draft = state.get("draft")
        if isinstance(draft, dict) and draft.get("book") == str(self.desk.document.path):
            self._draft = {str(name): text for name, text in draft.items() if isinstance(text, str) and name != "book"}
        if isinstance(page, int) and 0 <= page < self.detail.count():
            self.detail.setCurrentIndex(page)
        if isinstance(current, str) and current in self.desk.document.view.goods:
            self._current = current
            self.rows.set_rows(good_rows(self.desk.document.figures))
            self.list.table.choose(current)

    # Acts

    def ask_new(self) -> None:
        """Name, kind, pack, price, supplier; what was typed the last time and not added is there again."""
        dialog = NewGood(self.desk, self)
        dialog.take_draft(self._draft)
        dialog.accepted.connect(self._made)
        dialog.rejected.connect(self._left)
        dialog.open()

    def _made(self) -> None:
        dialog = self.sender()
        self._draft = {}
        if isinstance(dialog, NewGood) and dialog.made:
            self.show_item(Where("good", dialog.made))

    def _left(self) -> None:
        dialog = self.sender()
        if isinstance(dialog, NewGood):
            self._draft = dialog.draft()

    def paste_prices(self) -> None:
        """Prices copied from a spreadsheet, looked at before they are taken as one step."""
        self.review(QGuiApplication.clipboard().text())

    def review(self, text: str) -> Review | None:
        """The review of a block of text; None where there is nothing to review, or it cannot be."""
        try:
            return self._review(text)
        except KNOWN as error:
            self.desk.refuse(refusal_of(error))
            return None

    def _review(self, text: str) -> Review | None:
        """As ``review``; ValueError for a block that cannot be read at all, such as one of 5,001 lines."""
        if not text.strip():
            self.desk.tell(say("Copy some lines in the spreadsheet first: name, pack, price, supplier, day."))
            return None
        dialog = Review(self.desk, text, self)
        dialog.open()
        self.desk.settled.emit()  # a block that could not be read before is put right
        return dialog

    def _pasted(self, book: Book, block: Block, row: int, column: int) -> Step | None:
        """A block that is pasted onto the list is reviewed first; a single cell goes where the cursor is. What cannot
        be reviewed is left to whoever pasted to say: a refusal that was said here would be taken for settled."""
        if len(block) == 1 and len(block[0]) == 1 and row >= 0:
            at = self.rows.index(row, column)
            if self.rows.can_write(at):
                write = self.rows.columns[column].write
                return write(book, self.rows.row(row), block[0][0].strip()) if write is not None else None
        self._review("\n".join("\t".join(line) for line in block))
        return None

    def remove(self) -> None:
        """Take the chosen good out, with its quotes; undo brings it back."""
        if self._current:
            current, at = self._current, self.rows.position(self._current)
            self._current = ""
            if not self.desk.attempt(partial(goods.remove, self.desk.document.book, current)):
                self._current = current
            elif at is not None and self.rows.rowCount():
                self.list.table.choose(self.rows.key(min(at, self.rows.rowCount() - 1)))
