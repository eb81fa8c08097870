"""What the chosen scenario supposes, line by line, and the acts that end it: applied from a day, or dropped."""

from collections.abc import Sequence
from datetime import date
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from costing.book.book import Book
from costing.book.change import Step
from costing.book.selling import Scenario
from costing.edits import scenarios
from costing.tongue import say
from ui.desk import Desk
from ui.document import Figures
from ui.fault import Refusal
from ui.format import own
from ui.models.table import RowTable
from ui.places.cellar.buying.saying import Line
from ui.places.menu.whatif.changes import (
    ChangeRow,
    Offers,
    change_columns,
    change_rows,
    paste_changes,
    remove_changes,
)
from ui.places.menu.whatif.kept import NEXT
from ui.places.menu.whatif.work import Come
from ui.widgets.acts import acts
from ui.widgets.fields import DayField, read_day
from ui.widgets.listpane import ListPane
from ui.widgets.table import Block


class SupposingPane(QWidget):
    """Changes are typed in place; a block of lines can be pasted."""

    dropped = Signal()
    """Somebody wants the scenario thrown away."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self._scenario: Scenario | None = None
        self._fitted: tuple[str, ...] = ()
        self.rows: RowTable[ChangeRow] = RowTable(
            change_columns(desk.format, self._today, Offers(self._figures)), lambda r: r.key, desk, self, counted=True
        )
        self.list = ListPane(self.rows, say("What it supposes"), None, self)
        self.list.filter.hide()
        self.list.count.hide()
        self.title = QLabel(self)
        self.title.setProperty("heading", True)
        self.title.setTextFormat(Qt.TextFormat.PlainText)
        self.title.setWordWrap(True)
        self.list.top.addWidget(self.title, 1)
        self.list.table.paste_step = self._pasted
        self.apply_button = QPushButton(say("Apply from"), self)
        self.apply_button.setToolTip(
            say("Make it true from that day on, as one step; it leaves the list with that (Ctrl+Enter)")
        )
        self.apply_button.clicked.connect(self.apply)
        self.since = DayField(say("It is applied from"), desk.format, self._today, self)
        self.since.picked.connect(self.since.set_day)
        self.drop_button = QPushButton(say("Drop it"), self)
        self.drop_button.setToolTip(say("Throw the scenario away; the book stays as it is (Delete in the list)"))
        self.drop_button.clicked.connect(self.dropped)
        self.leaves = Line(self, kind="faint")
        self.list.top.addWidget(self.drop_button)
        self.leaves.setContentsMargins(4, 0, 4, 2)
        self.since.setMinimumWidth(self.fontMetrics().horizontalAdvance("2026-11-28") + self.fontMetrics().height())
        applying = QHBoxLayout()
        applying.setContentsMargins(4, 0, 4, 2)
        applying.addWidget(self.apply_button)
        applying.addWidget(self.since)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(2)
        layout.addWidget(self.list, 1)
        layout.addLayout(applying)
        layout.addWidget(self.leaves)
        acts(self.list.table, [(say("Take what is selected out"), "Delete", self.remove_lines)], alone=True)
        desk.document.day_changed.connect(self._another_day)

    def show_scenario(self, scenario: Scenario | None, come: Sequence[Come]) -> None:
        """Its lines, with what they came to where that is known."""
        document = self.desk.document
        self._scenario = scenario
        if not self.since.stands:
            self.since.set_day(document.day)
        self.rows.set_rows(change_rows(document.book, scenario, document.day, come))
        self._fit()
        self.title.setText(say("{scenario} supposes", scenario=own(scenario.name)) if scenario is not None else "")
        for widget in (self.apply_button, self.since, self.drop_button, self.list):
            widget.setEnabled(scenario is not None)
        sold = scenario is not None and any(s.sort == "volume" for s in scenario.supposed)
        self.leaves.say(say("How many are sold is no record of the book: applying leaves it out.") if sold else "")

    def _fit(self) -> None:
        """The lines as wide as they are, as far as what they come to has room beside them."""
        texts = tuple(str(self.rows.index(n, 0).data()) for n in range(self.rows.rowCount()))
        if texts and texts != self._fitted:
            self._fitted = texts
            metrics, table = self.fontMetrics(), self.list.table
            wide = max((metrics.horizontalAdvance(text) for text in texts), default=0) + metrics.height()
            table.setColumnWidth(0, min(wide, max(table.viewport().width() - 7 * metrics.height(), wide // 2)))

    def begin(self) -> None:
        """To the empty line."""
        if self._scenario is not None:
            self.list.table.choose(f"{self._scenario.id}/{NEXT}")
        self.list.table.setFocus(Qt.FocusReason.OtherFocusReason)

    def _figures(self) -> Figures:
        return self.desk.document.figures

    def _today(self) -> date:
        return self.desk.document.day

    def _another_day(self, day: date) -> None:
        self.since.revert()
        self.since.set_day(day)

    # Acts

    def apply(self) -> None:
        """Make the scenario true from the day beside the button; it leaves the list with that."""
        if self._scenario is not None:
            self.desk.attempt(partial(self._applied, self._scenario))

    def _applied(self, scenario: Scenario) -> Step | None:
        document = self.desk.document
        day = read_day(self.since.text(), document.day)
        if scenarios.applied(document.book, scenario, day, document.past_ids()) is None:
            raise Refusal(
                say("There is nothing to apply."), _why_nothing(scenario),
                say("Drop it, or type a change of a price, a tax, a yield or a dose."),
            )  # fmt: skip
        return scenarios.applied(document.book, scenario, day, document.past_ids(), drop=True)

    def remove_lines(self) -> None:
        """Take the selected lines out as one step."""
        chosen = set(self.list.table.chosen())
        places = [row.at for row in self.rows.rows() if row.text and row.key in chosen]
        if places and self._scenario is not None:
            self.desk.attempt(partial(remove_changes, self.desk.document.book, self._scenario.id, places))

    def _pasted(self, book: Book, block: Block, row: int, column: int) -> Step | None:
        if self._scenario is None:
            return None
        return paste_changes(self._scenario.id, self.desk.document.day, book, block)


def _why_nothing(scenario: Scenario) -> str:
    if not scenario.supposed:
        return say("It supposes nothing yet.")
    if all(s.sort == "volume" for s in scenario.supposed):
        return say("It supposes only how many are sold, and that is no record of the book.")
    return say("What it supposes is so already on that day.")
