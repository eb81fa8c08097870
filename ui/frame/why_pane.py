"""The why pane: the chosen figure, and the trail from it down to the supplier's line."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QHeaderView, QLabel, QVBoxLayout, QWidget

from costing.tongue import say
from ui.desk import Desk
from ui.document import Moved
from ui.models.table import Column, RowTable
from ui.range_why import RangeOf
from ui.ranges import ranges_of
from ui.whys import Line, Subject, Trail
from ui.widgets.table import DataTable

NARROWEST = 11
"""Letters that a column has room for however narrow the pane; beyond that it scrolls."""


class WhyPane(QWidget):
    """Shows the trail of the last figure that somebody came to, and keeps it true while the book moves."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._desk = desk
        self._subject: Subject | None = None
        self._title = QLabel(say("Choose a figure, and this says what it stands on."), self)
        self._title.setWordWrap(True)
        self._title.setProperty("heading", True)
        self._figure = QLabel("", self)
        self._figure.setProperty("money", True)
        self._figure.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._model: RowTable[tuple[int, Line]] = RowTable(
            [
                Column("what", say("What"), _what, tip=_tip, mark=_mark, depth=_depth),
                Column("figure", say("Figure"), _figure, number=True, mark=_mark),
            ],
            _key,
            desk,
            self,
        )
        self.table = DataTable(self._model, say("Why: what the figure stands on"), self)
        self.table.setAlternatingRowColors(False)
        self.table.setWordWrap(True)
        self.table.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header = self.table.horizontalHeader()
        header.setStretchLastSection(False)
        header.setMinimumSectionSize(self.fontMetrics().averageCharWidth() * NARROWEST)
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        header.setSectionResizeMode(1, QHeaderView.ResizeMode.ResizeToContents)
        self.table.setToolTip(say("Enter goes to where a line is kept. A dotted line: assumed, nobody measured it."))
        self.table.opened.connect(self._open)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(6, 6, 6, 6)
        layout.addWidget(self._title)
        layout.addWidget(self._figure)
        layout.addWidget(self.table, 1)
        desk.explained.connect(self.explain)
        desk.document.changed.connect(self._anew)
        self._ranges = ranges_of(desk)
        self._ranges.known.connect(self._anew)

    @property
    def trail(self) -> Trail | None:
        """What is shown."""
        if self._subject is None:
            return None
        return self._subject.trail(self._desk.document.figures, self._desk.format)

    def explain(self, subject: Subject) -> None:
        """Show a subject."""
        self._subject = subject
        if self.isVisible():
            self._show()

    def _anew(self, _: Moved | None = None) -> None:
        """The book moved, or how sure its costs are is known now."""
        if self._subject is not None and self.isVisible():
            self._show()

    def showEvent(self, event: QShowEvent) -> None:
        """Worked out only while it is seen."""
        super().showEvent(event)
        if self._subject is not None:
            self._show()

    def _show(self) -> None:
        trail = self.trail
        if trail is None:
            return
        if isinstance(self._subject, RangeOf):
            self._ranges.ask()  # a place may show it that asks for none
        self._title.setText(trail.title)
        self._figure.setText(trail.figure)
        self._figure.setVisible(bool(trail.figure))
        self._model.set_rows(enumerate(trail.lines))

    def _open(self, key: str) -> None:
        place = self._model.position(key)
        if place is not None and (where := self._model.row(place)[1].where) is not None:
            self._desk.go(where)


def _key(row: tuple[int, Line]) -> str:
    return str(row[0])


def _what(row: tuple[int, Line]) -> str:
    return row[1].text


def _depth(row: tuple[int, Line]) -> int:
    return row[1].depth


def _tip(row: tuple[int, Line]) -> str:
    mark = {"measured": say("measured"), "assumed": say("assumed"), "computed": say("computed")}[row[1].mark]
    return f"{row[1].text} {row[1].figure} ({mark})"


def _figure(row: tuple[int, Line]) -> str:
    return row[1].figure


def _mark(row: tuple[int, Line]) -> str:
    return row[1].mark
