"""An answer: a short sentence, what is to be said beside it, and tables of figures below."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import NamedTuple

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from costing.tongue import say
from ui.desk import Desk, Where
from ui.models.table import Column, RowTable
from ui.places.cellar.buying.saying import Line
from ui.widgets.roomy import RoomyTabs
from ui.widgets.table import DataTable

LINES = 11
"""Lines of text that the tables of an answer are tall at least."""


class Fig(NamedTuple):
    """A figure as it is shown, and what it is sorted by."""

    text: str
    value: float | None


Cell = str | Fig


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a table. Enter goes to ``where``; ``why`` explains its figures."""

    key: str
    cells: tuple[Cell, ...]
    strong: bool = False
    why: object | None = None
    where: Where | None = None


@dataclass(frozen=True, slots=True)
class Sheet:
    """A table of an answer; ``heads`` are (title, whether figures stand under it)."""

    key: str
    title: str
    heads: tuple[tuple[str, bool], ...]


@dataclass(frozen=True, slots=True)
class Answer:
    """``said`` is the answer in short; ``warning`` what is wrong with it, ``notes`` what it stands on, ``care`` what
    must be read with it. Tables without rows are not shown."""

    said: str
    rows: Mapping[str, Sequence[Row]] = field(default_factory=dict)
    warning: str = ""
    notes: Sequence[str] = ()
    care: Sequence[str] = ()


class AnswerPane(QWidget):
    """The answer to one question."""

    def __init__(
        self, desk: Desk, name: str, sheets: Sequence[Sheet], parent: QWidget | None = None, *, lines: int = LINES
    ) -> None:
        """``name`` is the question, ``lines`` how many of text its tables are tall at least."""
        super().__init__(parent)
        self.desk, self.answer = desk, Answer("")
        self.said = QLabel(self)
        self.said.setProperty("heading", True)
        self.said.setWordWrap(True)
        self.said.setTextFormat(Qt.TextFormat.PlainText)
        self.said.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.warning, self.notes, self.care = Line(self, kind="error"), Line(self, kind="faint"), Line(self)
        self.tabs = RoomyTabs(lines, self)
        self.tabs.setAccessibleName(name)
        self.tabs.setTabBarAutoHide(True)
        self.sheets = {sheet.key: sheet for sheet in sheets}
        self.tables: dict[str, DataTable] = {}
        self._models: dict[str, RowTable[Row]] = {}
        for sheet in sheets:
            model: RowTable[Row] = RowTable(_columns(sheet), _key, desk, self)
            table = self.tables[sheet.key] = DataTable(model, f"{name}: {sheet.title}", self.tabs)
            table.horizontalHeader().setStretchLastSection(not sheet.heads[-1][1])
            table.opened.connect(partial(self._open, sheet.key))
            table.explained.connect(desk.explain)
            self._models[sheet.key] = model
            table.hide()
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 4, 0, 0)
        layout.setSpacing(4)
        for label in (self.said, self.warning, self.notes):
            layout.addWidget(label)
        layout.addWidget(self.tabs, 1)
        layout.addWidget(self.care)
        self.empty = QWidget(self)
        layout.addWidget(self.empty, 1)
        self.hint("")

    def rows(self, sheet: str) -> Sequence[Row]:
        """The rows shown in a table."""
        return self._models[sheet].rows()

    def show_answer(self, answer: Answer) -> None:
        """Show an answer."""
        self.answer = answer
        self.said.setText(answer.said)
        self.said.setVisible(bool(answer.said))
        self.warning.say(answer.warning)
        self.notes.say(" ".join(answer.notes))
        self.care.say("\n".join(answer.care))
        before = self.tabs.currentWidget()
        for key in self.sheets:
            rows = list(answer.rows.get(key, ()))
            table = self.tables[key]
            was = [row.key for row in self._models[key].rows()]
            self._models[key].set_rows(rows)
            self._show_tab(key, there=bool(rows))
            if rows and was != [row.key for row in rows]:
                table.fit_columns()
                table.setColumnWidth(0, table.columnWidth(0) * 9 // 8)  # some rows are bold
        if before is not None and self.tabs.indexOf(before) >= 0:
            self.tabs.setCurrentWidget(before)
        shown = any(answer.rows.values())
        self.tabs.setVisible(shown)
        self.empty.setVisible(not shown)

    def _show_tab(self, key: str, *, there: bool) -> None:
        """Put a table among the tabs, in the order of the sheets, or take it out."""
        at = self.tabs.indexOf(self.tables[key])
        if there and at < 0:
            keys = list(self.sheets)
            earlier = (k for k in keys[: keys.index(key)] if self.tabs.indexOf(self.tables[k]) >= 0)
            self.tabs.insertTab(sum(1 for _ in earlier), self.tables[key], self.sheets[key].title)
        elif not there and at >= 0:
            self.tabs.removeTab(at)

    def wait(self) -> None:
        """The answer is on its way; the last one stands until then, and says so."""
        anew = bool(self.answer.said)
        self.notes.say(say("It is being worked out anew…") if anew else say("It is being worked out…"))

    def hint(self, text: str) -> None:
        """Say what is lacking; there is no answer."""
        self.show_answer(Answer("", notes=(text,) if text else ()))

    def refuse(self, text: str) -> None:
        """Say why there is no answer."""
        self.show_answer(Answer("", warning=text))

    def _open(self, sheet: str, key: str) -> None:
        row = next((r for r in self._models[sheet].rows() if r.key == key), None)
        if row is not None and row.where is not None:
            self.desk.go(row.where)


def _columns(sheet: Sheet) -> tuple[Column[Row], ...]:
    return tuple(
        Column[Row](f"{sheet.key}-{n}", title, partial(_text, n), number, sort=partial(_sorted, n) if number else None,
                    why=_why, strong=_strong)
        for n, (title, number) in enumerate(sheet.heads)
    )  # fmt: skip


def _text(n: int, row: Row) -> str:
    cell = row.cells[n] if n < len(row.cells) else ""
    return cell if isinstance(cell, str) else cell.text


def _sorted(n: int, row: Row) -> float | None:
    cell = row.cells[n] if n < len(row.cells) else ""
    return cell.value if isinstance(cell, Fig) else None


def _why(row: Row) -> object | None:
    return row.why


def _strong(row: Row) -> bool:
    return row.strong


def _key(row: Row) -> str:
    return row.key
