"""One period: what each drink sold in it, and the rows that are in no count."""

from PySide6.QtWidgets import QTabWidget, QVBoxLayout, QWidget

from costing.book.selling import SalesPeriod
from costing.tongue import say
from ui.desk import Desk
from ui.models.table import RowTable
from ui.places.menu.sales.rows import DrinkRow, LeftRow, drink_columns, drink_rows, left_columns, left_rows_of
from ui.places.menu.sales.why import SoldWhy
from ui.widgets.listpane import ListPane
from ui.widgets.notice import EmptyPlace


class PeriodDetail(QWidget):
    """Two tables of the chosen period."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self._of = ""
        self.drinks: RowTable[DrinkRow] = RowTable(drink_columns(desk.format, _why), _key, desk, self)
        nothing = EmptyPlace(say("Choose a period above: what each drink sold in it stands here."))
        self.drink_list = ListPane(self.drinks, say("Drinks that were sold"), nothing, self)
        self.drink_list.table.explained.connect(desk.explain)
        self.left: RowTable[LeftRow] = RowTable(left_columns(desk), _left_key, desk, self, counted=True)
        whole = EmptyPlace(say("Every row of this period is counted."))
        self.left_list = ListPane(self.left, say("Rows in no count"), whole, self)
        for pane in (self.drink_list, self.left_list):
            pane.table.horizontalHeader().setStretchLastSection(False)
        self.tabs = QTabWidget(self)
        self.tabs.setAccessibleName(say("What the period holds"))
        self.tabs.addTab(self.drink_list, say("Drinks"))
        self.tabs.addTab(self.left_list, say("In no count"))
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.tabs)

    def show_period(self, period: SalesPeriod | None) -> None:
        """What a period sold; None for none."""
        book, now = self.desk.document.book, period.id if period is not None else ""
        if now != self._of:  # rows of another period stand where that one's drinks are sorted
            self.drinks.set_rows([])
            self.left.set_rows([])
        fresh, self._of = now != self._of, now
        self.drinks.set_rows(drink_rows(period, book))
        self.left.set_rows(left_rows_of(period, book))
        rows = sum(left.rows for left in period.left) if period is not None else 0
        self.tabs.setTabText(1, say("In no count ({n})", n=self.desk.format.number(rows, 0)) if rows else
                             say("In no count"))  # fmt: skip
        if fresh:
            for pane in (self.drink_list, self.left_list):
                pane.table.fit_columns()


def _why(row: DrinkRow) -> object:
    return SoldWhy(row.period, row.sold.serve, row.sold.menu)


def _key(row: DrinkRow) -> str:
    return row.key


def _left_key(row: LeftRow) -> str:
    return row.key
