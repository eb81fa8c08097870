"""The first rows of a file as they were read, with what becomes of each."""

from collections.abc import Sequence
from functools import partial

from PySide6.QtWidgets import QVBoxLayout, QWidget

from costing.supply.till.plan_record import SalesPlan
from costing.supply.till.preview import SalesRow, preview_sales
from costing.supply.till.roles import FIGURES
from costing.supply.till.words import ROLE_WORDS, WHY_WORDS, sales_doubt_text
from costing.tongue import Words, capital, say, word
from ui.desk import Desk
from ui.format import UNKNOWN, own
from ui.models.table import Column, RowTable
from ui.places.cellar.buying.saying import Hint
from ui.widgets.table import DataTable

FATE_WORDS: Words = {"counted": "counted", "ignored": "in no count", "waiting": "waits"}
SHOWN = 40
"""Rows that are shown."""


class FirstRows(QWidget):
    """A table of what was read, a column for each that is in use."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self._roles: tuple[str, ...] = ()
        self._box = QVBoxLayout(self)
        self._box.setContentsMargins(0, 4, 0, 0)
        self._box.addWidget(Hint(say("As figures and days were read; what stands in the file otherwise is in "
                                     "brackets."), self))  # fmt: skip
        self.table = self._made()

    def _made(self) -> DataTable:
        self.rows: RowTable[SalesRow] = RowTable(_columns(self._roles), _key, self.desk, self)
        table = DataTable(self.rows, say("First rows of the file, as they were read"), self)
        table.horizontalHeader().setStretchLastSection(False)
        self._box.insertWidget(0, table, 1)
        return table

    def show_plan(self, plan: SalesPlan | None) -> None:
        """The first rows of a plan. A table of other columns is made anew."""
        roles = tuple(use.role for use in plan.lines.columns.uses) if plan is not None else ()
        if roles != self._roles:
            self._roles, old, model = roles, self.table, self.rows
            self._box.removeWidget(old)
            self.table = self._made()
            old.hide()
            old.deleteLater()
            model.deleteLater()
        self.rows.set_rows(preview_sales(plan, SHOWN) if plan is not None else [])
        self.table.fit_columns()


def _columns(roles: Sequence[str]) -> Sequence[Column[SalesRow]]:
    return (
        Column[SalesRow]("n", say("Row"), lambda r: str(r.n), True, lambda r: r.n),
        Column[SalesRow]("fate", say("Becomes"), _fate, tip=_fate, strong=lambda r: r.fate == "waiting"),
        *(Column[SalesRow](role, capital(word(ROLE_WORDS, role)), partial(_cell, role), role in FIGURES)
          for role in roles),
    )  # fmt: skip


def _fate(row: SalesRow) -> str:
    what = word(FATE_WORDS, row.fate)
    if not row.why:
        return what
    if row.doubts:
        why = sales_doubt_text(row.doubts[0])
    else:
        why = word(WHY_WORDS, row.why) if row.why in WHY_WORDS else say("it is asked about")
    text = say("{what}: {why}", what=what, why=why)
    return f"{text} ({own(row.text)})" if row.text else text


def _cell(role: str, row: SalesRow) -> str:
    cell = next((cell for cell in row.cells if cell.role == role), None)
    if cell is None:
        return ""
    plain = cell.text.strip()
    if not cell.value:
        return plain or UNKNOWN
    return cell.value if cell.value == plain else f"{cell.value} [{plain}]"


def _key(row: SalesRow) -> str:
    return str(row.n)
