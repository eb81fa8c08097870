"""What is wrong now: a strip along the foot of the window, and the list it opens."""

from collections.abc import Iterator
from dataclasses import dataclass

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QHeaderView, QToolButton, QVBoxLayout, QWidget

from costing.tongue import say, say_many
from ui.desk import Desk, Where
from ui.document import Figures, Moved
from ui.format import level_word, own
from ui.models.table import Column, RowTable
from ui.where import name_of, said_of, where_of
from ui.widgets.listpane import ListPane
from ui.widgets.notice import EmptyPlace


@dataclass(frozen=True, slots=True)
class Amiss:
    """One thing to look at."""

    key: str
    name: str
    level: str
    text: str
    where: Where


def missed(figures: Figures) -> tuple[Where, ...]:
    """Serves whose printed price does not meet their target."""
    return tuple(Where("serve", p.serve.id) for p in figures.priced if p.on_target is False)


def amiss(figures: Figures) -> Iterator[Amiss]:
    """Everything that asks for a hand: errors, warnings, and prices that miss their target. Notes only inform."""
    for n, problem in enumerate(p for p in figures.problems if p.level != "note"):
        where = where_of(problem.where)
        yield Amiss(f"{n}", name_of(figures.book, where), level_word(problem), said_of(problem, figures.names), where)
    for n, where in enumerate(missed(figures)):
        text = say("its printed price does not meet its target")
        yield Amiss(f"price {n}", name_of(figures.book, where), say("price"), text, where)


def summary(figures: Figures) -> str:
    """ "2 not costed, 3 to look at, 3 serves miss their target", or that nothing is open."""
    levels = [p.level for p in figures.problems]
    wrong, odd, prices = levels.count("error"), levels.count("warning"), len(missed(figures))
    parts = [
        say_many("{n} not costed", "{n} not costed", wrong) if wrong else "",
        say_many("{n} to look at", "{n} to look at", odd) if odd else "",
        say_many("{n} serve misses its target", "{n} serves miss their target", prices) if prices else "",
    ]
    return say(", ").join(part for part in parts if part) or say("Nothing is open")


class ProblemStrip(QToolButton):
    """Names what is wrong now; opens the list."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self.setAutoRaise(True)
        desk.document.changed.connect(self._moved)
        self._moved(Moved())

    def _moved(self, _: Moved) -> None:
        text = summary(self._desk.document.figures)
        self.setText(text)
        self.setAccessibleName(say("What is open: {summary}", summary=text))
        self.setToolTip(say("Show the list of what is open (Ctrl+Shift+P)"))


class ProblemsPane(QWidget):
    """The list; Enter goes to where a thing is put right."""

    went = Signal(object)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk, self._stale = desk, True
        self.model: RowTable[Amiss] = RowTable(
            [Column("text", say("What is wrong, and what to do"), _text, tip=_tip)],  # one, or none has room
            _key,
            desk,
            self,
        )
        empty = EmptyPlace(say("Nothing is open: every drink is costed and every price meets its target."))
        self.list = ListPane(self.model, say("What is open"), empty, self)
        table = self.list.table
        table.setWordWrap(True)
        table.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        table.horizontalHeader().setStretchLastSection(False)  # it keeps a width of its own, wider than a narrow pane
        table.horizontalHeader().setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        table.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        self.list.table.opened.connect(self._open)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.list)
        desk.document.changed.connect(self._moved)

    def _moved(self, _: Moved) -> None:
        self._stale = True
        if self.isVisible():
            self._show()

    def showEvent(self, event: QShowEvent) -> None:
        """Worked out only while it is seen."""
        super().showEvent(event)
        if self._stale:
            self._show()

    def _show(self) -> None:
        self._stale = False
        self.model.set_rows(amiss(self._desk.document.figures))

    def _open(self, key: str) -> None:
        place = self.model.position(key)
        if place is not None:
            self._desk.go(self.model.row(place).where)


def _key(row: Amiss) -> str:
    return row.key


def _text(row: Amiss) -> str:
    return f"{own(row.name)} ({row.level})\n{row.text}"


def _tip(row: Amiss) -> str:
    return say("{name}: {text} Enter goes there.", name=own(row.name), text=row.text)
