"""The stages of one preparation, typed as lines, with the loss ledger beside them, live."""

from collections.abc import Sequence

from PySide6.QtCore import QSignalBlocker, Qt, QTimer
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QHeaderView,
    QLabel,
    QPushButton,
    QScrollArea,
    QSplitter,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from costing.tongue import say
from ui.desk import Desk
from ui.document import Figures
from ui.fault import KNOWN, Refusal
from ui.frame.permit import PermitNotice, needs_permit
from ui.models.table import RowTable
from ui.places.stillroom.acts import StageActs
from ui.places.stillroom.columns import stage_columns
from ui.places.stillroom.head import Cautions, Figured, Head
from ui.places.stillroom.ledger import LedgerRow, ledger_columns, ledger_rows
from ui.places.stillroom.lines import StageLine, problems_of, stage_lines
from ui.places.stillroom.table import LedgerTable, StageTable
from ui.places.stillroom.writing import GivesUp
from ui.widgets.table import DataTable

WAIT = 40
"""Milliseconds after the last key before the draft is worked out: a fast hand is not held up."""
BESIDE = 88
"""Figures across from which the ledger stands beside the stages, and not under them."""


class StagesPage(QWidget):
    """The editor of one preparation."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk, self.preparation = desk, ""
        self._opened: set[str] = set()
        self._typed: tuple[str, int, str] | None = None
        self.head = Head(desk, self)
        self.figures = Figured(desk)
        self.model: RowTable[StageLine] = RowTable(
            stage_columns(desk, self.shown, self._line, self._lines), _key, desk, self, counted=True
        )
        self.table = StageTable(self.model, say("Stages"), self)
        self.acts = StageActs(desk, self.table, self.model, self.shown)
        self.acts.opened.connect(self._open_stage)
        self._ident: list[str] = []
        self.ledger_model: RowTable[LedgerRow] = RowTable(ledger_columns(desk, self._ident), _ledger_key, desk, self)
        self.ledger = LedgerTable(self.ledger_model, say("Loss ledger"), self)
        self.permit = PermitNotice(desk, self)
        self.beside = QStackedWidget(self)
        self.fault = QLabel(self)
        self.fault.setProperty("error", True)
        self.fault.setWordWrap(True)
        self.all_the_same = QPushButton(say("Change it all the same"), self)
        self.all_the_same.clicked.connect(self.acts.change_all_the_same)
        self.amiss = QLabel(self)
        self.amiss.setProperty("error", True)
        self.amiss.setWordWrap(True)
        self.cautions = Cautions(desk, self)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(WAIT)
        self._timer.timeout.connect(self._draft)
        self._arrange()
        self.table.cells.typed.connect(self._typing)
        self.table.cells.left.connect(self.settled)
        self.table.explained.connect(desk.explain)
        self.table.current_key.connect(self._came_to)
        self.ledger.explained.connect(desk.explain)
        self.ledger.opened.connect(self._from_ledger)
        self.model.refused.connect(self._refused)

    def _arrange(self) -> None:
        left, right = QWidget(self), self.beside
        right.addWidget(self.ledger)
        room = QScrollArea(self)
        room.setWidgetResizable(True)
        room.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        room.setWidget(self.permit)
        right.addWidget(room)
        box = QVBoxLayout(left)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(3)
        box.addWidget(self.table, 1)
        box.addWidget(self.fault)
        box.addWidget(self.all_the_same)
        self.split = QSplitter(Qt.Orientation.Horizontal, self)
        self.split.addWidget(left)
        self.split.addWidget(right)
        self.split.setChildrenCollapsible(False)
        self.split.setSizes([450, 480])
        layout = QVBoxLayout(self)
        layout.setContentsMargins(6, 6, 6, 4)
        layout.setSpacing(4)
        for widget in (self.head, self.figures, self.amiss):
            layout.addWidget(widget)
        layout.addWidget(self.split, 1)
        layout.addWidget(self.cautions)
        for label in (self.fault, self.amiss, self.all_the_same):
            label.hide()

    # What is shown

    def shown(self) -> str:
        """The id of the preparation that is shown."""
        return self.preparation

    def _line(self) -> StageLine | None:
        return self.table.line()

    def _lines(self) -> Sequence[StageLine]:
        return self.model.rows()

    def show_preparation(self, ident: str) -> None:
        """Show a preparation as it is made on the day."""
        if ident == self.preparation:
            self._show(ident, fresh=False)
            return
        with QSignalBlocker(self.table), QSignalBlocker(self.ledger):  # nothing is explained on the way
            self._typed, self._opened = None, set()
            self._timer.stop()
            self.model.set_rows([])
            self.ledger_model.set_rows([])
            self.preparation = ident
            self._ident[:] = [ident]
            self._show(ident, fresh=True)

    def _show(self, ident: str, *, fresh: bool) -> None:
        figures = self.desk.document.figures
        found = figures.view.preparations.get(ident)
        self.setEnabled(found is not None)
        self._show_amiss(figures, ident)
        self.cautions.show_preparation(figures, ident)
        if found is None:
            self.head.clear()
            self.model.set_rows([])
            self.ledger_model.set_rows([])
            self.figures.show_preparation(figures, "")
            return
        self.head.show_preparation(*found)
        self._show_lines()
        self._show_figures(figures)
        if fresh:
            self._widths()
            self.table.come_to(self.model.index(0, 1))

    def _show_amiss(self, figures: Figures, ident: str) -> None:
        """What is amiss with all of it; and where it cannot be worked out, the stage that stops it."""
        found = figures.view.preparations.get(ident)
        problems = problems_of(figures, ident, found[1]) if found is not None else {}
        said = [text for problem, text in problems.get("", ()) if problem.level != "note"]
        for n, stage in enumerate(found[1].stages if found is not None else (), 1):
            stops = next((text for p, text in problems.get(stage.id, ()) if p.level == "error"), "")
            if stops:
                said.append(say("Stage {n} stops it: {problem}", n=n, problem=stops))
                break
        self.amiss.setText("\n".join(dict.fromkeys(said)))
        self.amiss.setVisible(bool(said))

    def _show_lines(self) -> None:
        lines = stage_lines(self.desk.document.figures, self.preparation, self._opened)
        self.model.set_rows(lines)
        if [row.key for row in self.model.rows()] != [row.key for row in lines]:
            self.model.sort(-1)  # the liquid goes another way now

    def _show_figures(self, figures: Figures, *, draft: bool = False) -> None:
        barred = needs_permit(figures.reckoning, self.preparation)
        self.beside.setCurrentIndex(1 if barred else 0)
        self.figures.setVisible(not barred)
        if barred and not draft:
            self.permit.show_for(self.preparation)
        if barred:
            self.ledger_model.set_rows([])
            return
        self.figures.show_preparation(figures, self.preparation, draft=draft)
        rows = ledger_rows(figures, self.preparation)
        self.ledger_model.set_rows(rows)
        if [row.key for row in self.ledger_model.rows()] != [row.key for row in rows]:
            self.ledger_model.sort(-1)
        self._follow()

    def _widths(self) -> None:
        metrics = self.fontMetrics()
        header = self.table.horizontalHeader()
        header.resizeSection(0, metrics.horizontalAdvance(say("leaves, strength")) + 16)
        header.setSectionResizeMode(1, QHeaderView.ResizeMode.Stretch)
        header.setStretchLastSection(False)
        header.resizeSection(2, metrics.horizontalAdvance("scales, vessel") + 16)
        ledger = self.ledger.horizontalHeader()
        ledger.setStretchLastSection(False)
        ledger.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        for n, sample in enumerate(("00.000", "00.000", "00.000", "(000.00)", "measured"), 1):
            title = str(self.ledger_model.headerData(n, Qt.Orientation.Horizontal))
            ledger.resizeSection(n, max(metrics.horizontalAdvance(sample), metrics.horizontalAdvance(title)) + 16)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Side by side where there is room, else one under the other."""
        super().resizeEvent(event)
        wide = self.width() >= BESIDE * self.fontMetrics().horizontalAdvance("0")
        way = Qt.Orientation.Horizontal if wide else Qt.Orientation.Vertical
        if self.split.orientation() != way:
            self.split.setOrientation(way)
        least = self.fontMetrics().horizontalAdvance("scales, vessel") + 16
        room = self.width() // 9 if wide else self.width() * 2 // 5
        self.table.horizontalHeader().resizeSection(2, max(least, room))

    def _came_to(self, key: str) -> None:
        self._follow()
        row = self.table.line()
        if row is not None and row.sort == "problem":
            self.desk.tell(row.text)

    def _follow(self) -> None:
        """The ledger beside the stage that is come to."""
        row = self.table.line()
        at = self.ledger_model.position(row.stage) if row is not None and row.stage else None
        if at is not None and not self.ledger.hasFocus():
            self.ledger.scrollTo(self.ledger_model.index(at, 0), DataTable.ScrollHint.PositionAtTop)

    def _from_ledger(self, key: str) -> None:
        self.show_stage(key.partition("/")[0])
        self.table.setFocus(Qt.FocusReason.OtherFocusReason)

    def show_stage(self, stage: str, rest: str = "") -> bool:
        """Come to a stage, or a line of it (``rest``: "add/2", or a figure)."""
        what, _, number = rest.partition("/")
        if what == "add" and number.isdigit():
            rest = f"add/{int(number) - 1}"
        found = (bool(rest) and self.acts.come_to(f"{stage}/{rest}")) or self.acts.come_to(stage)
        at = self.model.position(f"{self.preparation}/{stage}")
        if found and at is not None:
            self.table.scrollTo(self.model.index(at, 1), DataTable.ScrollHint.PositionAtTop)
            self.table.scrollTo(self.table.currentIndex())
        return found

    def _open_stage(self, stage: str) -> None:
        """Every figure that a stage may have, or only those that are there."""
        self._opened ^= {stage}
        self._show_lines()

    # While it is typed

    def _typing(self, key: str, column: int, text: str) -> None:
        self._typed = key, column, text
        self._timer.start()

    def _draft(self) -> None:
        """The figures as they would be with the text that is being typed, where it can be read."""
        if self._typed is None:
            return
        key, column, text = self._typed
        document, at = self.desk.document, self.model.position(key)
        write = self.model.columns[column].write
        if at is None or write is None:
            return
        try:
            step = write(document.book, self.model.row(at), text)
            figures = document.draft(step) if step is not None else document.figures
        except KNOWN:
            return  # half a line says nothing yet
        self._show_figures(figures, draft=step is not None)

    def settled(self) -> None:
        """What was typed stands, or was dropped: show the book."""
        if self._typed is not None:
            self._typed = None
            self._timer.stop()
            self._show_figures(self.desk.document.figures)

    def _refused(self, refusal: Refusal | None) -> None:
        self.fault.setText(refusal.text if refusal else "")
        self.fault.setVisible(refusal is not None)
        self.all_the_same.setVisible(isinstance(refusal, GivesUp))
        self.settled()


def _key(row: StageLine) -> str:
    return row.key


def _ledger_key(row: LedgerRow) -> str:
    return row.key
