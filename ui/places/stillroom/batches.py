"""Batches of a preparation: those that were made, one of them being logged, and another size worked out."""

from collections.abc import Callable
from functools import partial

from PySide6.QtCore import QSignalBlocker, Qt, QTimer
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QComboBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSplitter,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from costing.book.change import Step
from costing.book.records import BatchLog
from costing.edits import batches
from costing.tongue import say
from ui.desk import Desk
from ui.document import Figures
from ui.fault import KNOWN
from ui.frame.opening import who
from ui.models.table import Column, RowTable
from ui.places.kept import Waiting, turn
from ui.places.stillroom.batch_rows import (
    LogLine,
    LogRow,
    compared,
    log_columns,
    log_lines,
    log_rows,
    state_word,
    state_words,
)
from ui.places.stillroom.batches_judged import figures_of, verdict
from ui.places.stillroom.batches_mean import MeanButton
from ui.places.stillroom.scale_page import ScalePage
from ui.widgets.acts import act
from ui.widgets.fields import DayField, TextField
from ui.widgets.listpane import ListPane
from ui.widgets.notice import EmptyPlace

ROOM = 180
"""Widths of a letter that the list and a log need beside one another."""
WAIT = 60
"""Milliseconds after the last key before the batch is followed with what is being typed."""


class BatchesPage(QWidget):
    """The logs on the left, the chosen one on the right; a second tab works out another size."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk, self.preparation, self.log = desk, "", ""
        form = desk.format
        self.rows: RowTable[LogRow] = RowTable(
            [
                Column[LogRow]("day", say("Day"), lambda r: form.day(r.log.day), sort=lambda r: r.log.day),
                Column[LogRow]("who", say("By"), lambda r: r.log.initials),
                Column[LogRow]("state", say("Is"), lambda r: state_word(r.log.state),
                               strong=lambda r: r.log.state != "made"),
                Column[LogRow]("made", say("Made"), lambda r: form.amount(r.made, r.base), True, lambda r: r.made),
                Column[LogRow]("share", say("Of expected"), lambda r: form.percent(r.share), True, lambda r: r.share),
                Column[LogRow]("cost", say("Cost"), lambda r: form.unit_money(r.unit_cost, r.base), True,
                               lambda r: r.unit_cost),
                Column[LogRow]("points", say("Open"), lambda r: str(r.open_points) if r.open_points else "", True,
                               strong=lambda r: r.open_points > 0),
            ],
            lambda r: r.log.id,
            desk,
            self,
        )  # fmt: skip
        empty = EmptyPlace(say("No batch of it is logged yet."), say("Log a batch"), self.log_new)
        self.list = ListPane(self.rows, say("Batches"), empty, self)
        self.list.filter.hide()
        self.new = QPushButton(say("Log a batch"), self)
        self.new.clicked.connect(self.log_new)
        self.list.top.insertWidget(0, self.new)
        self.list.top.addStretch(1)
        self._form()
        self.scale = ScalePage(desk, self)
        self.split = QSplitter(Qt.Orientation.Vertical, self)  # the narrower way, until there is room
        self.split.addWidget(self.list)
        self.split.addWidget(self.sheet)
        self.split.setChildrenCollapsible(False)
        self.tabs = QTabWidget(self)
        self.tabs.setAccessibleName(say("Batches"))
        self.tabs.addTab(self.split, say("Logged batches"))
        self.tabs.addTab(self.scale, say("Another size"))
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.tabs)
        self.list.table.current_key.connect(self._chosen)
        act(self.list.table, say("Remove this log"), "Delete", self.remove, alone=True)
        self._turned = False
        self.acts = [act(self, self.mean.text(), "Ctrl+Shift+M", self.mean.ask)]
        self._typed: tuple[str, int, str] | None = None
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(WAIT)
        self._timer.timeout.connect(self._draft)

    def _form(self) -> None:
        desk = self.desk
        self.sheet = QWidget(self)
        self.day = DayField(say("Day it was made"), desk.format, lambda: desk.document.day, self.sheet)
        self.day.picked.connect(partial(self._set, self.day, batches.set_day))
        self.initials = TextField(say("Initials"), self.sheet)
        self.initials.committed.connect(partial(self._set, self.initials, batches.set_initials))
        self.note = TextField(say("Note"), self.sheet)
        self.note.committed.connect(partial(self._set, self.note, batches.set_note))
        self._waiting = Waiting((self.day, self.initials, self.note))
        self.state = QComboBox(self.sheet)
        self.state.setAccessibleName(say("State of the batch"))
        self.state.addItems(list(state_words()))
        self.state.activated.connect(self._set_state)
        self.lines: RowTable[LogLine] = RowTable(
            log_columns(desk, lambda: self.log, self._line), lambda r: r.key, desk, self
        )
        self.read = ListPane(self.lines, say("What was measured"), None, self.sheet)
        self.read.filter.hide()
        self.read.count.hide()
        self.read.table.cells.typed.connect(self._typing)
        self.read.table.cells.left.connect(self._settled)
        self.lines.refused.connect(self._settled)
        self.read.table.selectionModel().currentChanged.connect(self._reading_chosen)
        self.mean = MeanButton(desk, self.sheet)
        self.said = QLabel(self.sheet)
        self.said.setWordWrap(True)
        self.said.setProperty("heading", True)
        first, second = QFormLayout(), QFormLayout()
        first.addRow(say("Day"), self.day)
        first.addRow(say("Note"), self.note)
        second.addRow(say("Initials"), self.initials)
        second.addRow(say("State"), self.state)
        head = QHBoxLayout()
        head.addLayout(first, 2)
        head.addLayout(second, 1)
        layout = QVBoxLayout(self.sheet)
        layout.setContentsMargins(4, 4, 4, 4)
        layout.addLayout(head)
        layout.addWidget(self.read, 1)
        layout.addWidget(self.said)
        layout.addWidget(self.mean, 0, Qt.AlignmentFlag.AlignLeading)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Beside one another where there is room for both tables, else the list above the log."""
        super().resizeEvent(event)
        beside = self.width() > ROOM * self.fontMetrics().averageCharWidth()
        wanted = Qt.Orientation.Horizontal if beside else Qt.Orientation.Vertical
        if not self._turned or wanted != self.split.orientation():
            self._turned = True
            self.split.setOrientation(wanted)
            self.split.setSizes([self.width() // 3, self.width() * 2 // 3] if beside else
                                [self.height() // 4, self.height() * 3 // 4])  # fmt: skip

    # What is shown

    def show_preparation(self, preparation: str) -> None:
        """The batches of a preparation."""
        fresh, self.preparation = preparation != self.preparation, preparation
        figures = self.desk.document.figures
        with QSignalBlocker(self.list.table):  # which log is shown is decided here
            self.rows.set_rows(log_rows(figures, preparation))
            log = self.log
            if fresh or self.rows.position(log) is None:
                log = self.rows.key(0) if self.rows.rowCount() else ""
                self.list.table.fit_columns()
                if log:
                    self.list.table.choose(log)
        self.scale.show_preparation(preparation)
        self._show(figures, log)

    def show_batch(self, log: str) -> None:
        """Go to a log."""
        if self.list.table.choose(log):
            self._chosen(log)

    def _chosen(self, key: str) -> None:
        self._show(self.desk.document.figures, key)

    def _show(self, figures: Figures, ident: str) -> None:
        """Show a log, "" for none. What was typed for another one waits until that is shown again."""
        fresh = ident != self.log
        if fresh:
            self._waiting.hold(self.log)
            self._typed = None
            self._timer.stop()
        self.log = ident
        log = figures.book.all(BatchLog).get(ident)
        self.sheet.setEnabled(log is not None)
        self.day.set_day(log.day if log is not None else None)
        self.initials.set_text(log.initials if log is not None else "")
        self.note.set_text(log.note if log is not None else "")
        if fresh:
            self._waiting.give_back(ident)
        if log is None or log.preparation not in figures.view.preparations:
            self.lines.set_rows([])
            self.said.setText("")
            self._reading_chosen()
            return
        self.state.setCurrentText(state_word(log.state))
        turn(self.read.table, log_lines(figures_of(figures, log), log), fresh=fresh)
        if fresh:
            self.read.table.fit_columns()
        self._reading_chosen()

    def _line(self) -> LogLine | None:
        index = self.read.table.currentIndex()
        return self.lines.row(index.row()) if index.isValid() and index.row() < self.lines.rowCount() else None

    def _reading_chosen(self, *_: object) -> None:
        row, figures = self._line(), self.desk.document.figures
        log = figures.book.all(BatchLog).get(self.log)
        if log is not None and log.preparation in figures.view.preparations:
            self._say(figures, log, row)
        if row is not None and row.sort == "read":
            self.mean.show_reading(self.preparation, row.stage, row.name)
        else:
            self.mean.show_reading("", "", "")

    def _say(self, figures: Figures, log: BatchLog, line: LogLine | None, *, typed: bool = False) -> None:
        """How the line in hand compares, and what the batch made and costs against the standard one."""
        said, one = verdict(figures, log, self.desk.format), ""
        if line is not None:
            one = compared(line, self.desk.format)
        if typed:
            one = say("{line} (as it is being typed)", line=one or say("Figures"))
        self.said.setText(say("{line}. {said}", line=one, said=said) if one else said)

    # While it is typed

    def _typing(self, key: str, column: int, text: str) -> None:
        self._typed = key, column, text
        self._timer.start()

    def _draft(self) -> None:
        if self._typed is None:
            return
        key, column, text = self._typed
        place, document = self.lines.position(key), self.desk.document
        write = self.lines.columns[column].write
        if place is None or write is None:
            return
        try:
            step = write(document.book, self.lines.row(place), text)
            figures = document.draft(step) if step is not None else document.figures
            log = figures.book.all(BatchLog).get(self.log)
            if log is not None:
                line = next((r for r in log_lines(figures_of(figures, log), log) if r.key == key), None)
                self._say(figures, log, line, typed=step is not None)
        except KNOWN:
            return  # half a figure says nothing yet

    def _settled(self, *_: object) -> None:
        """What was typed stands, was refused or was dropped: say what the book says."""
        if self._typed is not None:
            self._typed = None
            self._timer.stop()
            self._reading_chosen()

    # Edits

    def log_new(self, *_: object) -> None:
        """A batch of the preparation that is shown, made on the day that is looked at."""
        document, made = self.desk.document, ""

        def work() -> Step:
            nonlocal made
            step, made = batches.new_log(
                document.book, self.preparation, document.day, document.head, _initials(), document.past_ids()
            )
            return step

        if self.preparation and self.desk.attempt(work):
            self.tabs.setCurrentIndex(0)
            self.list.table.choose(made)
            self._chosen(made)
            self.read.table.come_to(self.lines.index(min(1, self.lines.rowCount() - 1), 1))
            self.read.table.setFocus(Qt.FocusReason.OtherFocusReason)

    def _set(self, field: TextField, edit: Callable[..., Step | None], value: object) -> None:
        """Run an edit of the log; what cannot be stays in its field, marked."""
        if not self.desk.attempt(lambda: edit(self.desk.document.book, self.log, value)):
            field.refuse(self.desk.refusal)

    def _set_state(self, *_: object) -> None:
        state = state_words()[self.state.currentText()]
        if not self.desk.attempt(lambda: batches.set_state(self.desk.document.book, self.log, state)):
            log = self.desk.document.book.all(BatchLog).get(self.log)
            self.state.setCurrentText(state_word(log.state) if log is not None else "")

    def remove(self) -> None:
        """Take the chosen log out; undo brings it back."""
        if self.log:
            self.desk.attempt(lambda: batches.remove(self.desk.document.book, self.log))


def _initials() -> str:
    name = who()
    return "".join(part[:1] for part in name.replace(".", " ").replace("_", " ").split()).upper()[:3]
