"""How a till's file is read: letters, sheet, days, tax, when the night ends, and what its marks and columns mean."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import islice
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QComboBox, QGridLayout, QLabel, QSplitter, QVBoxLayout, QWidget

from costing.book.book import Book
from costing.book.buying import Use
from costing.book.change import Step
from costing.book.selling import RowFlag
from costing.report.words import series
from costing.supply.arriving.table import Table
from costing.supply.columns.heading_rows import headings_of
from costing.supply.columns.record import with_uses
from costing.supply.readers.text import ENCODINGS
from costing.supply.till.marks import MarkSeen
from costing.supply.till.plan_record import SalesPlan, SalesSaid
from costing.supply.till.preview import ColumnSeen, till_columns
from costing.supply.till.roles import TILL_ROLES
from costing.supply.till.understand import DAY_ENDS
from costing.supply.till.words import FLAG_NAMES, ROLE_WORDS
from costing.tongue import Words, say, word
from ui.desk import Desk
from ui.format import UNKNOWN, own
from ui.models.table import Column, RowTable
from ui.places.cellar.arrivals.reading import SIGNS, sign_word
from ui.places.menu.sales.asking import FLAGS, marks, says
from ui.places.menu.sales.case import SalesJudged
from ui.places.menu.sales.rows import named
from ui.places.roles import Roles
from ui.widgets.listpane import ListPane
from ui.widgets.notice import EmptyPlace

ABREAST = 3
"""Choices beside one another."""
LAST_HOUR = 12
"""The latest hour at which a business day ends."""
LONGEST = 40
LOOKED = 2_000
"""Rows that first cells are looked for in."""
HOW_WORDS: Words = {
    "": "not known",
    "said": "as was said",
    "till": "as this till was read before",
    "word": "by its word",
    "money": "by the money of its rows",
}
ROLES = Roles(TILL_ROLES, ROLE_WORDS)
Option = tuple[str, str]
"""What a choice is called, and its code."""


@dataclass(frozen=True, slots=True)
class _Known:
    """What is shown: one file that could be read as a table."""

    table: Table
    plan: SalesPlan
    said: SalesSaid


class ReadingPage(QWidget):
    """``changed`` tells the Change of what is said of a file that somebody wants it to be read by."""

    changed = Signal(object)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self._known: _Known | None = None
        self.choices: dict[str, QComboBox] = {}
        forms = QGridLayout()
        for n, (code, title) in enumerate((
            ("days", say("Days are written")), ("decimal", say("Decimal mark")), ("tax", say("Tax and service")),
            ("day_ends", say("The night ends at")), ("split", say("Periods")), ("outlet", say("Outlet")),
            ("encoding", say("Letters")), ("delimiter", say("Between cells")), ("sheet", say("Sheet")),
        )):  # fmt: skip
            combo = self.choices[code] = self._combo(title)
            label = QLabel(title, self)
            label.setBuddy(combo)
            forms.addWidget(label, n // ABREAST, 2 * (n % ABREAST))
            forms.addWidget(combo, n // ABREAST, 2 * (n % ABREAST) + 1)
        for column in range(ABREAST):
            forms.setColumnStretch(2 * column + 1, 1)
        self.columns: RowTable[ColumnSeen] = RowTable(self._columns(), lambda c: str(c.column), desk, self)
        self.column_list = ListPane(self.columns, say("Columns of the file"), None, self)
        self.marks: RowTable[MarkSeen] = RowTable(self._marks(), lambda m: m.mark, desk, self)
        nothing = EmptyPlace(say("No row bears a mark."))
        self.mark_list = ListPane(self.marks, say("Marks of its rows"), nothing, self)
        for pane in (self.column_list, self.mark_list):
            pane.filter.hide()
            pane.count.hide()
        split = QSplitter(Qt.Orientation.Horizontal, self)
        split.addWidget(self.column_list)
        split.addWidget(self.mark_list)
        split.setSizes([640, 300])
        about = QLabel(say("Type over what a column or a mark means; the file is read anew at once."), self)
        about.setProperty("faint", True)
        about.setWordWrap(True)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 4, 0, 0)
        layout.addLayout(forms)
        layout.addWidget(split, 1)
        layout.addWidget(about)

    def _combo(self, name: str) -> QComboBox:
        combo = QComboBox(self)
        combo.setAccessibleName(name)
        combo.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        combo.setMinimumContentsLength(7)
        combo.activated.connect(self._chosen)
        return combo

    def _columns(self) -> Sequence[Column[ColumnSeen]]:
        def means(book: Book, column: ColumnSeen, text: str) -> Step | None:
            self._means(column, text)
            return None

        return (
            Column[ColumnSeen]("n", say("Column"), lambda c: str(c.column + 1), True, lambda c: c.column),
            Column[ColumnSeen]("header", say("Heading"), lambda c: named(c.header)),
            Column[ColumnSeen]("role", say("Means"), lambda c: ROLES.text(c.role) or UNKNOWN, write=means,
                               edit_text=lambda c: ROLES.text(c.role), choices=ROLES.texts),
            Column[ColumnSeen]("cells", say("First cells"), lambda c: own(_cells(c)), tip=_cells),
        )  # fmt: skip

    def _marks(self) -> Sequence[Column[MarkSeen]]:
        def means(book: Book, mark: MarkSeen, text: str) -> Step | None:
            self.changed.emit(marks(mark.mark, _flag_of(text)))
            return None

        def text(mark: MarkSeen) -> str:
            return word(FLAG_NAMES, mark.flag) if mark.flag else ""

        return (
            Column[MarkSeen]("mark", say("Mark"), lambda m: own(m.mark)),
            Column[MarkSeen]("means", say("Means"), lambda m: text(m) or say("not known"), write=means, edit_text=text,
                             choices=lambda: [word(FLAG_NAMES, flag) for flag in FLAGS], strong=lambda m: not m.flag),
            Column[MarkSeen]("rows", say("Rows"), lambda m: str(m.rows), True, lambda m: m.rows),
            Column[MarkSeen]("how", say("Known"), lambda m: word(HOW_WORDS, m.how)),
        )  # fmt: skip

    def show_file(self, judged: SalesJudged | None) -> None:
        """How a file was read; None for none."""
        known = None
        if judged is not None and judged.table is not None and judged.plan is not None:
            known = _Known(judged.table, judged.plan, judged.case.said)
        self._known = known
        if known is None:
            for combo in self.choices.values():
                combo.setEnabled(False)
            self.columns.set_rows([])
            self.marks.set_rows([])
            return
        self._fill(known)
        top = replace(known.table, rows=known.table.rows[:LOOKED])
        self.columns.set_rows(till_columns(top, known.plan.lines))
        self.marks.set_rows(known.plan.marks)
        for pane in (self.column_list, self.mark_list):
            pane.table.fit_columns()

    def _fill(self, known: _Known) -> None:
        table, lines, said = known.table, known.plan.lines, known.said
        shows, text = say("as they show"), table.shape in ("text", "paste")
        self._set("days", [(shows, ""), (say("day, month, year"), "dmy"), (say("month, day, year"), "mdy"),
                           (say("year, month, day"), "ymd")], said.days)  # fmt: skip
        self._set("decimal", [(say("as each column shows"), ""), (say("a comma"), ","), (say("a point"), ".")],
                  said.decimal)  # fmt: skip
        self._set("tax", [(say("as the file shows"), ""), (say("are in its net"), "inc"),
                          (say("are not in its net"), "ex")], said.tax)  # fmt: skip
        hours = [(f"{hour:02d}:00", str(hour)) for hour in range(LAST_HOUR + 1)]
        till = known.plan.till
        ends = said.day_ends if said.day_ends is not None else till.day_ends if till is not None else DAY_ENDS
        self._set("day_ends", hours, str(ends))
        self._set("split", [(say("one of the whole file"), ""), (say("one a week, from Monday"), "week"),
                            (say("one a month"), "month")], said.split)  # fmt: skip
        self._set("outlet", [(say("all of them"), ""), *((own(name), name) for name in lines.outlets)], said.outlet,
                  on=len(lines.outlets) > 1)  # fmt: skip
        self._set("encoding", [(one, one) for one in ENCODINGS], table.encoding, on=table.shape == "text")
        self._set("delimiter", [(sign_word(sign), sign) for sign in SIGNS], table.delimiter, on=text)
        sheets = dict.fromkeys([table.sheet, *(other.removesuffix(" (hidden)") for other in table.others)])
        self._set("sheet", [(own(name), name) for name in sheets], table.sheet, on=bool(table.sheet))

    def _set(self, code: str, options: Sequence[Option], chosen: str, *, on: bool = True) -> None:
        combo = self.choices[code]
        combo.clear()
        for title, value in options:
            combo.addItem(title, value)
        if combo.findData(chosen) < 0 and chosen:
            combo.addItem(chosen, chosen)
        combo.setCurrentIndex(max(0, combo.findData(chosen)))
        combo.setEnabled(on)

    def _value(self, code: str) -> str:
        return str(self.choices[code].currentData() or "")

    def _chosen(self, *_: object) -> None:
        """Another way to read it. Letters, cells and sheets begin from a new guess of what columns mean."""
        known = self._known
        if known is None:
            return
        table, till = known.table, known.plan.till
        fields: dict[str, Any] = {code: self.choices[code].currentData() for code in ("days", "decimal", "tax", "split",
                                                                                      "outlet")}  # fmt: skip
        now = self._value("encoding"), self._value("delimiter"), self._value("sheet")
        if now != (table.encoding, table.delimiter, table.sheet):
            fields |= {"encoding": now[0] or None, "delimiter": now[1] or None, "sheet": now[2], "columns": None}
        ends = int(self._value("day_ends"))
        if known.said.day_ends is not None or ends != (till.day_ends if till is not None else DAY_ENDS):
            fields["day_ends"] = ends
        self.changed.emit(says(**fields))

    def _means(self, column: ColumnSeen, text: str) -> None:
        """A column means something else. ValueError for what no column means."""
        known, role = self._known, ROLES.of(text)
        if known is None:
            return
        columns = known.plan.lines.columns
        heads = headings_of(known.table, columns.header_at, columns.header_rows)
        uses = [use for use in columns.uses if use.column != column.column and use.role != role]
        if role:
            header = heads[column.column] if column.column < len(heads) else ""
            uses.append(Use(role=role, column=column.column, header=header))
        self.changed.emit(says(columns=with_uses(columns, uses)))


def _cells(column: ColumnSeen) -> str:
    shown = islice(column.cells, 4)
    return " · ".join(cell if len(cell) <= LONGEST else cell[: LONGEST - 1] + "…" for cell in shown)


def _flag_of(text: str) -> RowFlag:
    wanted = " ".join(text.casefold().split())
    for flag in FLAGS:
        if wanted in (flag, word(FLAG_NAMES, flag).casefold()):
            return flag
    raise ValueError(say("a mark means one of these: {known}", known=series(word(FLAG_NAMES, one) for one in FLAGS)))
