"""The page of seasons: fresh goods month by month."""

from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal

from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from costing.supply.buying.season import Season
from costing.tongue import say
from ui.desk import Desk, Where
from ui.models.table import RowTable
from ui.places.cellar.buying.saying import Hint
from ui.places.cellar.buying.season_rows import SeasonRow, season_columns, season_rows
from ui.widgets.listpane import ListPane


class SeasonsPage(QWidget):
    """A good a line, a month a column."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        columns = season_columns(desk.format, self._today)
        self.rows: RowTable[SeasonRow] = RowTable(columns, lambda r: r.season.good, desk, self)
        self.hint = Hint("")
        self.list = ListPane(self.rows, say("Seasons of fresh goods"), self.hint, self)
        self.list.table.opened.connect(self._go)
        about = QLabel(
            say("1.00 is the mean of the twelve months; 1.20 is a fifth dearer. Dotted: one year only, in which a "
                "trend looks like a season."),
            self,
        )  # fmt: skip
        about.setWordWrap(True)
        about.setProperty("faint", True)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(4, 4, 4, 4)
        layout.addWidget(self.list, 1)
        layout.addWidget(about)

    def wait(self) -> None:
        """Nothing is known yet; what was shown stays until it is."""
        self.hint.setText(say("It is being worked out…"))

    def show_seasons(self, seasons: Sequence[Season], widths: Mapping[str, Decimal | None]) -> None:
        """Show these."""
        fresh = not self.rows.total
        self.hint.setText(say("No fruit, herbs, juice or other fresh goods are kept."))
        self.rows.set_rows(season_rows(seasons, widths, self.desk.document.figures))
        if fresh:
            self.list.table.fit_columns()

    def _today(self) -> date:
        return self.desk.document.day

    def _go(self, key: str) -> None:
        self.desk.go(Where("good", key))
