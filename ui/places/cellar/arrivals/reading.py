"""How a file is read: which letters, what stands between cells, which sheet, what each column means; and what comes
of it in the first rows, before anything is taken."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import islice

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QGridLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from costing.book.book import Book
from costing.book.buying import Columns, Use
from costing.book.change import Step
from costing.supply.arriving.line import ROLES
from costing.supply.arriving.role_words import ROLE_WORDS
from costing.supply.arriving.table import Table
from costing.supply.columns import with_uses
from costing.supply.columns.record import body_at, headings_of
from costing.supply.plan.arrive import Said
from costing.supply.plan.record import Plan
from costing.supply.readers.text import ENCODINGS
from costing.tongue import say
from ui.desk import Desk
from ui.format import UNKNOWN, own
from ui.models.table import Column, RowTable
from ui.places.roles import Roles
from ui.widgets.listpane import ListPane

SAMPLES = 5
"""First cells of a column that are shown."""
ABREAST = 2
"""Choices beside one another."""
LOOKED = 2_000
"""Rows that first cells are looked for in."""
SIGNS = (";", ",", "\t", "|")
LONGEST = 60
MEANINGS = Roles(ROLES, ROLE_WORDS)


@dataclass(frozen=True, slots=True)
class ColumnRow:
    """One column of the table: its heading, what it means and its first cells."""

    column: int
    heading: str
    role: str
    cells: str
    hidden: bool


def column_rows(table: Table, columns: Columns) -> list[ColumnRow]:
    """Every column that has anything in it."""
    heads = headings_of(table, columns.header_at, columns.header_rows)
    body = table.rows[body_at(columns) : body_at(columns) + LOOKED]
    roles = {use.column: use.role for use in columns.uses}
    width = max((len(row) for row in (*table.rows[: body_at(columns)], *body)), default=0)
    out = []
    for at in range(width):
        filled = (row[at] for row in body if at < len(row) and row[at].strip())
        cells = list(islice(filled, SAMPLES))
        heading = heads[at] if at < len(heads) else ""
        if cells or heading:
            said = " · ".join(c if len(c) <= LONGEST else c[: LONGEST - 1] + "…" for c in cells)
            out.append(ColumnRow(at, heading, roles.get(at, ""), said, at in table.hidden_columns))
    return out


def sign_word(sign: str) -> str:
    """What stands between cells, as it is said."""
    return {"\t": say("tab"), ";": say("semicolon ;"), ",": say("comma ,"), "|": say("bar |")}.get(sign, sign)


class ReadingPage(QWidget):
    """``changed`` tells the Said that somebody wants the file to be read by."""

    changed = Signal(object)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self._said, self._filling = Said(), False
        self._plan: Plan | None = None
        self.about = QLabel(self)
        self.about.setWordWrap(True)
        self.letters = self._combo(say("Letters of the file"))
        self.signs = self._combo(say("Between cells"))
        self.sheets = self._combo(say("Sheet"))
        self.decimal = self._combo(say("Decimal mark"))
        self.days = self._combo(say("Days are written"))
        self.hidden = self._combo(say("Hidden rows"))
        self.per = self._combo(say("The price is that of"))
        self.so = QPushButton(say("Read it so from now on"), self)
        self.so.setToolTip(say("These columns are what this supplier's list means: go on with them"))
        self.so.clicked.connect(self._confirmed)
        forms = QGridLayout()
        choices = (
            (say("Letters"), self.letters), (say("Between cells"), self.signs), (say("Sheet"), self.sheets),
            (say("Hidden rows"), self.hidden), (say("Decimal mark"), self.decimal),
            (say("Days are written"), self.days), (say("Price is of"), self.per),
        )  # fmt: skip
        for n, (title, combo) in enumerate(choices):
            label = QLabel(title, self)
            label.setBuddy(combo)
            label.setMinimumHeight(label.sizeHint().height())  # the table below gives way, not the words
            forms.addWidget(label, n // ABREAST, 2 * (n % ABREAST))
            forms.addWidget(combo, n // ABREAST, 2 * (n % ABREAST) + 1)
        forms.addWidget(self.so, 3, 2, 1, 2)
        for column in range(ABREAST):
            forms.setColumnStretch(2 * column + 1, 1)
        self.rows: RowTable[ColumnRow] = RowTable(self._columns(), lambda r: str(r.column), desk, self)
        self.list = ListPane(self.rows, say("Columns of the file"), None, self)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 4, 0, 0)
        layout.addWidget(self.about)
        layout.addLayout(forms)
        layout.addWidget(self.list, 1)

    def _combo(self, name: str) -> QComboBox:
        combo = QComboBox(self)
        combo.setAccessibleName(name)
        combo.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        combo.setMinimumContentsLength(7)
        combo.activated.connect(self._chosen)
        return combo

    def _columns(self) -> Sequence[Column[ColumnRow]]:
        def means(book: Book, row: ColumnRow, text: str) -> Step | None:
            self._means(row.column, text)
            return None

        return (
            Column[ColumnRow]("n", say("Column"), lambda r: str(r.column + 1), True, lambda r: r.column),
            Column[ColumnRow]("heading", say("Heading"), lambda r: own(r.heading) or UNKNOWN),
            Column[ColumnRow]("role", say("Means"), lambda r: MEANINGS.text(r.role) or UNKNOWN, write=means,
                              edit_text=lambda r: MEANINGS.text(r.role), choices=MEANINGS.texts,
                              strong=lambda r: bool(r.role)),
            Column[ColumnRow]("hidden", say("Hidden"), lambda r: say("hidden in the file") if r.hidden else ""),
            Column[ColumnRow]("cells", say("First cells"), lambda r: own(r.cells), tip=lambda r: r.cells),
        )  # fmt: skip

    def show_plan(self, plan: Plan, said: Said) -> None:
        """How the file of a plan was read."""
        self._plan, self._said = plan, said
        table, columns = plan.incoming.table, plan.columns
        if table is None or columns is None:
            self.about.setText(say("This document says itself what each figure means; there is nothing to set."))
            self.rows.set_rows([])
            for combo in (self.letters, self.signs, self.sheets, self.decimal, self.days, self.hidden, self.per):
                combo.setEnabled(False)
            self.so.setEnabled(False)
            return
        self._filling = True
        text = table.shape in ("text", "paste")
        self._fill(self.letters, [(e, e) for e in ENCODINGS], table.encoding, on=table.shape == "text")
        self._fill(self.signs, [(sign_word(s), s) for s in SIGNS], table.delimiter, on=text)
        sheets = [
            (name, name) for name in dict.fromkeys([table.sheet, *(o.removesuffix(" (hidden)") for o in table.others)])
        ]
        self._fill(self.sheets, sheets, table.sheet, on=bool(table.sheet))
        self._fill(self.decimal, [(say("as each column shows"), ""), (say("a comma"), ","), (say("a point"), ".")],
                   columns.decimal)  # fmt: skip
        orders = [("", say("as they show")), ("dmy", say("day, month, year")), ("mdy", say("month, day, year")),
                  ("ymd", say("year, month, day"))]  # fmt: skip
        self._fill(self.days, [(title, code) for code, title in orders], columns.days)
        self._fill(self.hidden, [(say("left out"), "leave"), (say("taken too"), "take")], columns.hidden,
                   on=bool(table.hidden_rows))  # fmt: skip
        kinds = [("", say("what the heading says")), ("pack", say("the whole pack")), ("each", say("one piece of it")),
                 ("kg", say("a kilogram")), ("l", say("a litre"))]  # fmt: skip
        self._fill(self.per, [(title, code) for code, title in kinds], columns.per)
        self.so.setEnabled(bool(plan.stops))
        said_of = [say("Type over what a column means, or empty it; the lines are read anew at once.")]
        if not table.sure:
            said_of.insert(0, say("Letters or cells of this text had to be guessed: look whether the names are right."))
        if table.hidden_rows:
            said_of.append(say("The file hides {n} rows.", n=len(table.hidden_rows)))
        self.about.setText(" ".join(said_of))
        self.rows.set_rows(column_rows(table, columns))
        self.list.table.fit_columns()
        self._filling = False

    def _fill(self, combo: QComboBox, options: Sequence[tuple[str, str]], chosen: str, *, on: bool = True) -> None:
        combo.clear()
        for title, code in options:
            combo.addItem(title, code)
        at = combo.findData(chosen)
        if at < 0 and chosen:
            combo.addItem(chosen, chosen)
            at = combo.count() - 1
        combo.setCurrentIndex(max(at, 0))
        combo.setEnabled(on)

    def _chosen(self, *_: object) -> None:
        """Another way to read it. Letters, cells and sheets begin from a new guess of what columns mean."""
        plan = self._plan
        if self._filling or plan is None or plan.incoming.table is None or plan.columns is None:
            return
        table = plan.incoming.table
        letters, sign, sheet = (str(c.currentData() or "") for c in (self.letters, self.signs, self.sheets))
        anew = (letters, sign, sheet) != (table.encoding, table.delimiter, table.sheet)
        columns = None
        if not anew:
            columns = replace(
                plan.columns, decimal=self.decimal.currentData(), days=self.days.currentData(),
                hidden=self.hidden.currentData(), per=self.per.currentData(),
            )  # fmt: skip
        self.changed.emit(
            replace(self._said, encoding=letters or None, delimiter=sign or None, sheet=sheet, columns=columns)
        )

    def _confirmed(self) -> None:
        """The columns as they stand are what the list means."""
        if self._plan is not None and self._plan.columns is not None:
            self.changed.emit(replace(self._said, columns=self._plan.columns))

    def _means(self, column: int, text: str) -> None:
        """A column means something else. ValueError for what no column means."""
        plan = self._plan
        if plan is None or plan.columns is None or plan.incoming.table is None:
            return
        role = MEANINGS.of(text)
        heads = headings_of(plan.incoming.table, plan.columns.header_at, plan.columns.header_rows)
        uses = [use for use in plan.columns.uses if use.column != column and use.role != role]
        if role:
            uses.append(Use(role=role, column=column, header=heads[column] if column < len(heads) else ""))
        self.changed.emit(replace(self._said, columns=with_uses(plan.columns, uses)))
