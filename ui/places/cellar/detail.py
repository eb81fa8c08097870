"""One ingredient: its quotes and their history, what is known of it, its allergens, and where it is used."""

from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QHBoxLayout,
    QInputDialog,
    QLabel,
    QPushButton,
    QSplitter,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from costing.edits import goods, quotes
from costing.edits.base import Use, uses_of
from costing.report.figures.prices import prices_figure
from costing.report.figures.shapes import Figure, Measure
from costing.report.phrases import unit_word
from costing.tables import allergen_list, allergen_lists
from costing.tongue import say
from ui.desk import Desk, Where
from ui.format import own
from ui.frame.opening import who
from ui.models.table import Column, RowTable
from ui.places.cellar.buying.compared import ComparedPage
from ui.places.cellar.buying.instead import InsteadPage
from ui.places.cellar.dialogs import NewQuote
from ui.places.cellar.facts import (
    AllergenRow,
    FactRow,
    allergen_columns,
    allergen_rows,
    fact_columns,
    fact_rows,
)
from ui.places.cellar.history import QuoteLine, quote_columns, quote_lines, sellers
from ui.places.cellar.trials import TrialsPage
from ui.places.kept import turn
from ui.widgets.acts import act
from ui.widgets.listpane import ListPane
from ui.widgets.notice import EmptyPlace
from ui.widgets.picture import PictureView
from ui.words import record_word


@dataclass(frozen=True, slots=True)
class UseRow:
    """One user of the good."""

    use: Use

    @property
    def key(self) -> str:
        """Kind and id."""
        return f"{self.use.kind}/{self.use.id}"


class GoodPages(QTabWidget):
    """What is kept of the chosen good."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk, self.good = desk, ""
        self._drafts: dict[str, dict[str, str]] = {}
        self.setAccessibleName(say("The ingredient"))
        self._quotes_page()
        self.facts: RowTable[FactRow] = RowTable(fact_columns(desk), lambda r: r.key, desk, self)
        self.fact_list = ListPane(self.facts, say("What is known of it"), None, self)
        self._allergen_page()
        self.trials = TrialsPage(desk, self)
        self.compared, self.instead = ComparedPage(desk, self), InsteadPage(desk, self)
        self.uses: RowTable[UseRow] = RowTable(
            [
                Column[UseRow]("kind", say("Is a"), lambda r: record_word(r.use.kind)),
                Column[UseRow]("name", say("Used in"), lambda r: r.use.name),
            ],
            lambda r: r.key,
            desk,
            self,
        )
        self.use_list = ListPane(self.uses, say("Where it is used"), EmptyPlace(say("Nothing uses it yet.")), self)
        self.use_list.table.opened.connect(self._go)
        for page, title in (
            (self.quotes_page, say("Quotes")), (self.compared, say("Suppliers compared")),
            (self.fact_list, say("Facts")), (self.trials, say("Yield tests")),
            (self.allergen_page, say("Allergens")), (self.use_list, say("Where used")),
            (self.instead, say("Instead")),
        ):  # fmt: skip
            self.addTab(page, title)
        for pane in (self.quote_list, self.fact_list):
            pane.table.explained.connect(desk.explain)

    def _quotes_page(self) -> None:
        desk = self.desk
        self.quotes: RowTable[QuoteLine] = RowTable(
            quote_columns(desk, lambda: desk.document.day), lambda r: r.quote.id, desk, self
        )
        empty = EmptyPlace(say("No supplier has quoted for it yet."), say("New quote"), self.ask_quote)
        self.quote_list = ListPane(self.quotes, say("Quotes"), empty, self)
        self.quote_list.filter.hide()
        new = QPushButton(say("New quote…"), self)
        new.clicked.connect(self.ask_quote)
        self.quote_list.top.insertWidget(0, new)
        self.quote_list.top.addStretch(1)
        act(self.quote_list.table, say("Remove this quote"), "Delete", self._remove_quote, alone=True)
        self.picture = PictureView(say("Price history"), self._figure, self, least=280.0)
        self.picture.set_table(self._table)
        split = QSplitter(Qt.Orientation.Vertical, self)
        split.addWidget(self.quote_list)
        split.addWidget(self.picture)
        split.setSizes([300, 260])
        self.quotes_page = split

    def _allergen_page(self) -> None:
        desk = self.desk
        page = QWidget(self)
        self.allergens: RowTable[AllergenRow] = RowTable(
            allergen_columns(desk, who, lambda: desk.document.day), lambda r: r.key, desk, self
        )
        self.allergen_list = ListPane(self.allergens, say("Allergens"), None, page)
        self.allergen_list.filter.hide()
        self.allergen_list.count.hide()
        self.allergen_said = QLabel(page)
        self.allergen_said.setWordWrap(True)
        self.allergen_said.setProperty("faint", True)
        self.rest = QPushButton(say("The rest: free by a label…"), page)
        self.rest.clicked.connect(self.ask_rest)
        row = QHBoxLayout()
        row.addWidget(self.rest)
        row.addStretch(1)
        layout = QVBoxLayout(page)
        layout.setContentsMargins(4, 4, 4, 4)
        layout.addLayout(row)
        layout.addWidget(self.allergen_list, 1)
        layout.addWidget(self.allergen_said)
        self.allergen_page = page

    def show_good(self, good: str) -> None:
        """Show a good as it is now."""
        figures = self.desk.document.figures
        record = figures.view.goods.get(good)
        fresh, self.good = good != self.good, good if record is not None else ""
        self.setEnabled(record is not None)
        if record is None:
            for model in (self.quotes, self.facts, self.allergens, self.uses):
                model.set_rows([])
            self.allergen_said.setText("")
            for page in (self.trials, self.compared, self.instead):
                page.show_good("")
            self.picture.refresh()
            return
        self.quotes.set_rows(quote_lines(figures, good))
        known = fact_rows(record, {s.id: s.name for s in figures.view.suppliers.values()})
        turn(self.fact_list.table, known, fresh=fresh)
        house = figures.book.house
        name = house.allergen_list if house is not None else ""
        listed = allergen_list(name) if name in allergen_lists() else ()
        turn(self.allergen_list.table, allergen_rows(record, listed), fresh=fresh)
        self.allergen_said.setText(
            say(
                "List: {list}. What nobody stated is not stated, never free. Check the label of the day.",
                list=own(name),
            )
            if listed
            else say("The house has no list of allergens yet: choose one under Book, Settings.")
        )
        self.uses.set_rows(UseRow(use) for use in uses_of(figures.book, "good", good))
        for page in (self.trials, self.compared, self.instead):
            page.show_good(good)
        self.picture.refresh()
        if fresh:
            for pane in (self.quote_list, self.fact_list, self.allergen_list, self.use_list):
                pane.table.fit_columns()

    def _figure(self, wide: float, tall: float, measure: Measure) -> Figure | None:
        figures = self.desk.document.figures
        found = sellers(figures, self.good) if self.good else []
        if not any(s.asked for s in found):
            return None
        base = figures.view.goods[self.good].base
        cash = self.desk.format.money
        day = self.desk.format.day
        return prices_figure(found, figures.day, wide, max(120.0, tall - 2.0), measure, cash, own(unit_word(base)), day)

    def _table(self) -> list[list[str]]:
        form = self.desk.format
        rows = [
            [seller.name, form.day(asked.since), form.money(asked.price)]
            for seller in sellers(self.desk.document.figures, self.good)
            for asked in seller.asked
        ]
        return [[say("Supplier"), say("From"), say("Price a unit")], *rows]

    def _go(self, key: str) -> None:
        kind, _, ident = key.partition("/")
        self.desk.go(Where(kind, ident))

    def ask_quote(self) -> None:
        """Another supplier, pack or price; what was typed the last time and not added is there again."""
        if self.good:
            dialog = NewQuote(self.desk, self.good, self)
            dialog.take_draft(self._drafts.pop(self.good, {}))
            dialog.rejected.connect(self._left)
            dialog.open()

    def _left(self) -> None:
        dialog = self.sender()
        if isinstance(dialog, NewQuote):
            self._drafts[dialog.good] = dialog.draft()

    def _remove_quote(self) -> None:
        index = self.quote_list.table.currentIndex()
        if index.isValid():
            key = self.quotes.key(index.row())
            self.desk.attempt(lambda: quotes.remove(self.desk.document.book, key))

    def ask_rest(self) -> None:
        """One person read one label: every allergen that is not stated yet is free by it."""
        label, ok = QInputDialog.getText(
            self, say("Free by one label"), say("Which label did {name} read?", name=who() or say("you"))
        )
        if ok:
            document = self.desk.document
            names = [row.allergen.name for row in self.allergens.rows() if row.stated is None]
            self.desk.attempt(
                lambda: goods.state_rest_free(document.book, self.good, names, who(), document.day, label)
            )
