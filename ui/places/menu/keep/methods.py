"""The rivals: every drink as each method has it, in that method's own word, and how many of them agree."""

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import get_args

from PySide6.QtCore import QModelIndex, QSignalBlocker, Signal
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from costing.menu.rivals import MethodCode
from costing.menu.words import METHOD_SOURCES, METHOD_WORDS, READING_WORDS
from costing.tongue import capital, say, word
from ui.desk import Desk
from ui.format import UNKNOWN, Format, own
from ui.models.table import Column, RowTable
from ui.places.menu.keep.cells import apart, cell_of, cell_text, figure_lines, source_text
from ui.places.menu.keep.choice import fill
from ui.places.menu.keep.rows import KeepRow, by, name_of
from ui.places.menu.keep.why import Why
from ui.widgets.listpane import ListPane

CODES: tuple[MethodCode, ...] = get_args(MethodCode)
FIRST = 3
"""The column of the first method."""


def method_columns(
    form: Format, why_class: Why, why: Callable[[KeepRow, MethodCode], object | None]
) -> Sequence[Column[KeepRow]]:  # fmt: skip
    """Drink, each method's word, what most of them say, and how many do. Bold: another word than most."""

    def reading(row: KeepRow) -> str:
        if row.drink is None:
            return "" if row.heading else UNKNOWN
        said = row.drink.agreement.reading
        return word(READING_WORDS, said) if said is not None else say("no one thing")

    def agree(row: KeepRow) -> str:
        if row.drink is None:
            return "" if row.heading else UNKNOWN
        return say("{same} of {all}", same=row.drink.agreement.same, all=row.drink.agreement.of)

    def share(row: KeepRow) -> float | None:
        return row.drink.agreement.same / row.drink.agreement.of if row.drink and row.drink.agreement.of else None

    return (
        Column[KeepRow]("name", say("Drink"), name_of, sort=by(lambda r: name_of(r).casefold()),
                        strong=lambda r: r.heading, depth=lambda r: 0 if r.heading else 1, tip=lambda r: r.title,
                        why=why_class),
        Column[KeepRow]("reading", say("Most say"), reading, sort=by(reading),
                        about=say("Good on both sides: keep; on one: lift; on neither: question")),
        Column[KeepRow]("agree", say("Agree"), agree, sort=by(share), about=say("Methods that say the same")),
        *(
            Column[KeepRow](
                code, capital(word(METHOD_WORDS, code)), partial(cell_text, code=code), tip=partial(_tip, code, form),
                strong=partial(apart, code=code), why=partial(_explained, why, code),
                sort=by(partial(cell_text, code=code)), about=word(METHOD_SOURCES, code),
            )
            for code in CODES
        ),
    )  # fmt: skip


def _explained(why: Callable[[KeepRow, MethodCode], object | None], code: MethodCode, row: KeepRow) -> object | None:
    return why(row, code)


def _tip(code: MethodCode, form: Format, row: KeepRow) -> str:
    cell = cell_of(row, code)
    if cell is None:
        return ""
    return say("; ").join(
        say("{figure} {value}", figure=name, value=value) for name, value in figure_lines(code, cell.figures, form)
    )


class MethodsView(QWidget):
    """The table, the machine that is short, and what the method one is on stands on."""

    machine_chosen = Signal(str)
    """The good that is the hour of the machine that is short, or ""."""

    def __init__(
        self, desk: Desk, why_class: Why, why: Callable[[KeepRow, MethodCode], object | None],
        parent: QWidget | None = None,
    ) -> None:  # fmt: skip
        super().__init__(parent)
        self._form = desk.format
        self.rows: RowTable[KeepRow] = RowTable(method_columns(desk.format, why_class, why), _key, desk, self)
        self.list = ListPane(self.rows, say("What other methods say"), None, self)
        self.machine = QComboBox(self)
        self.machine.setAccessibleName(say("The machine that is short"))
        self.machine.setToolTip(say("Margin an hour of it counts as a method too"))
        self._hours: list[str] = []
        label = QLabel(say("Short of"), self)
        label.setBuddy(self.machine)
        row = QHBoxLayout()
        row.addWidget(label)
        row.addWidget(self.machine)
        self.list.top.addLayout(row)
        self.source, self.legend = QLabel(self), QLabel(self)
        for told in (self.source, self.legend):
            told.setProperty("faint", True)
            told.setWordWrap(True)
        self.legend.setText(
            say(
                "Bold: that method says something else than most. Their words are read alike: good on both sides is "
                "kept, good on one is worth lifting, good on neither is questioned."
            )
        )
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.list, 1)
        layout.addWidget(self.source)
        layout.addWidget(self.legend)
        self.machine.activated.connect(self._chosen)
        self.list.table.selectionModel().currentChanged.connect(self._came_to)

    def show_rows(self, rows: Sequence[KeepRow]) -> None:
        """Drinks under headings; methods that say nothing of any of them are left away."""
        table, fresh = self.list.table, not self.rows.total
        with QSignalBlocker(table):
            self.rows.set_rows(rows)
        known = {code for row in rows if row.drink is not None for code in row.drink.agreement.cells}
        for n, code in enumerate(CODES):
            table.setColumnHidden(FIRST + n, code not in known)
        if fresh and self.isVisible():
            table.fit_columns()
        self._came_to(table.currentIndex())

    def show_machines(self, machines: Mapping[str, str], chosen: str) -> None:
        """Machines by the good that is their hour."""
        self._hours = ["", *machines]
        fill(self.machine, [say("no machine"), *map(own, machines.values())])
        self.machine.setCurrentIndex(self._hours.index(chosen) if chosen in self._hours else 0)

    def _chosen(self, at: int) -> None:
        self.machine_chosen.emit(self._hours[at])

    def _came_to(self, index: QModelIndex, _: object = None) -> None:
        """What the method in whose column one is stands on; the house's own where one is in none."""
        if not index.isValid() or index.row() >= self.rows.rowCount():
            self.source.setText("")
            return
        at = index.column() - FIRST
        code = CODES[at] if 0 <= at < len(CODES) else CODES[0]
        self.source.setText(source_text(self.rows.row(index.row()).section, code, self._form))


def _key(row: KeepRow) -> str:
    return row.key
