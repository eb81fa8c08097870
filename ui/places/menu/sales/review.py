"""The review of a till's files: what becomes of every row, what is asked, what buttons mean; and taking them."""

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path

from PySide6.QtCore import QSignalBlocker, Qt, Signal
from PySide6.QtWidgets import (
    QApplication,
    QHBoxLayout,
    QPlainTextEdit,
    QProgressBar,
    QPushButton,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from costing.book.selling import Button
from costing.tongue import say, say_many
from ui.desk import Desk
from ui.format import own
from ui.jobs import REST, Job
from ui.models.table import RowTable
from ui.places.menu.sales.asking import Change
from ui.places.menu.sales.buttons import ButtonsPage, with_meaning, without_meaning
from ui.places.menu.sales.case import Key, Meant, SalesCase, SalesJudged, judge
from ui.places.menu.sales.files import ALL, FileRow, file_columns
from ui.places.menu.sales.firstrows import FirstRows
from ui.places.menu.sales.head import FilesHead
from ui.places.menu.sales.reading import ReadingPage
from ui.places.menu.sales.seen import notes_of, plans_of
from ui.places.menu.sales.taking import Taking
from ui.widgets.acts import acts
from ui.widgets.listpane import ListPane
from ui.widgets.roomy import RoomyTabs, scrolled

BUTTONS, READING, ROWS, NOTES = 0, 1, 2, 3
"""The pages."""
LINES = 14
"""Lines of text that a page is tall at least."""
LETTERS = 24
"""Letters that the list of files is wide at least."""


class ReviewPage(QWidget):
    """Files that are looked at. ``closed`` tells that none is any more, ``taken`` how many were taken."""

    closed = Signal()
    taken = Signal(object)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.cases: list[SalesCase] = []
        self.judged: tuple[SalesJudged, ...] = ()
        self.meant: Meant = {}
        self._job: Job | None = None
        self._fresh = self._asked_here = False
        self._first_only: Path | None = None
        self._make()
        self._lay_out()

    def _make(self) -> None:
        self.head = FilesHead(self.desk, self)
        self.questions = self.head.questions
        self.questions.answered.connect(self._answered)
        self.questions.columns_wanted.connect(self._to_columns)
        self.taking = Taking(self.desk, self)
        self.taking.ended.connect(self._took)
        self.progress = QProgressBar(self)
        self.stop = QPushButton(say("Stop"), self)
        self.stop.clicked.connect(self.cancel)
        self.taking.stepped.connect(self.progress.setValue)
        self.files: RowTable[FileRow] = RowTable(file_columns(self.desk.format), _key, self.desk, self)
        self.file_list = ListPane(self.files, say("Files that are read"), None, self)
        self.file_list.filter.hide()
        self.file_list.count.hide()
        self.file_list.table.current_key.connect(self._chosen)
        self.buttons = ButtonsPage(self.desk, self)
        self.buttons.said.connect(self._meant)
        self.buttons.taken_back.connect(self._taken_back)
        self.reading = ReadingPage(self.desk, self)
        self.reading.changed.connect(self._answered)
        self.rows = FirstRows(self.desk, self)
        self.notes = QPlainTextEdit(self)
        self.notes.setReadOnly(True)
        self.notes.setTabChangesFocus(True)
        self.notes.setAccessibleName(say("What is to be known of these files"))

    def _lay_out(self) -> None:
        self.pages = RoomyTabs(LINES, self)
        self.pages.setAccessibleName(say("Pages of the file"))
        for page, title in ((self.buttons, say("Buttons")), (scrolled(self.reading, self), say("How it is read")),
                            (self.rows, say("First rows")), (self.notes, say("To know"))):  # fmt: skip
            self.pages.addTab(page, title)
        self.waiting = QWidget(self)
        row = QHBoxLayout(self.waiting)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(self.progress, 1)
        row.addWidget(self.stop)
        inside = QWidget(self)
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addWidget(self.head)
        column.addWidget(self.pages, 1)
        self.split = QSplitter(Qt.Orientation.Horizontal, self)
        self.split.addWidget(self.file_list)
        self.split.addWidget(scrolled(inside, self))
        self.split.setChildrenCollapsible(False)
        self.split.setStretchFactor(1, 1)
        self.split.setSizes([368, 712])
        self.file_list.setMinimumWidth(self.fontMetrics().averageCharWidth() * LETTERS)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(4, 4, 4, 4)
        layout.addWidget(self.split, 1)
        layout.addWidget(self.waiting)
        layout.addLayout(self._foot())
        self.waiting.hide()

    def _foot(self) -> QHBoxLayout:
        self.all = QPushButton(self)
        self.all.setProperty("chief", True)
        self.one = QPushButton(say("Take only this file"), self)
        self.away = QPushButton(say("Put them away"), self)
        row = QHBoxLayout()
        for button, slot in ((self.away, self.close_files), (self.one, self.take_one), (self.all, self.take_all)):
            button.clicked.connect(slot)
            row.addWidget(button)
            if button is self.away:
                row.addStretch(1)
        self.acts = acts(
            self,
            [
                (say("Take every file that asks nothing"), "Ctrl+Return", self.take_all),
                (say("Take only this file"), "Ctrl+Shift+Return", self.take_one),
                (say("Put the files away"), "Ctrl+Shift+X", self.close_files),
            ],
        )
        return row

    # The files

    def open_files(self, paths: Sequence[Path]) -> None:
        """Read files in order and show what comes of them. Those that are looked at already stay, with what was
        answered; one of them that comes again is read again, for it may say something else by now."""
        known, again = {case.path for case in self.cases}, set(paths)
        self.judged = tuple(one for one in self.judged if one.case.path not in again)
        self.cases += [SalesCase(path=path) for path in paths if path not in known]
        self._fresh = True
        self.head.begin(say_many("{n} file is being read…", "{n} files are being read…", len(self.cases)))
        self.buttons.restart()
        self._judge()

    def _judge(self, rest: int = 0) -> None:
        if not self.cases:
            return
        document = self.desk.document
        self._drop_job()
        past = frozenset(document.past_ids())
        work = partial(judge, tuple(self.cases), dict(self.meant), self.judged, document.book, document.day, past)
        job = self._job = Job(work, self)
        job.done.connect(self._done)
        job.failed.connect(self._failed)
        job.progress.connect(self._told)
        job.cancelled.connect(self._idle)
        self.progress.setRange(0, 0)
        self.waiting.show()
        self._enabled()
        job.start(rest)

    def _drop_job(self) -> None:
        job, self._job = self._job, None
        if job is not None:
            for signal, slot in ((job.done, self._done), (job.failed, self._failed), (job.progress, self._told),
                                 (job.cancelled, self._idle)):  # fmt: skip
                signal.disconnect(slot)
            job.cancel()

    def _told(self, done: int, total: int, text: str) -> None:
        self.progress.setRange(0, total)
        self.progress.setValue(done)
        said = say("{done} of {total} files, {name}", done=done, total=total, name=own(text))
        self.progress.setFormat(said if text else "")

    def _failed(self, error: Exception) -> None:
        self._idle()
        raise error  # a fault of the program: files that cannot be read are told in what is shown

    def _idle(self) -> None:
        self._job = None
        self.waiting.hide()
        if not self.judged:
            self.close_files()
        self._enabled()

    def cancel(self) -> None:
        """Stop reading; files that were not read yet are put away."""
        if self._job is None:
            return
        self._drop_job()
        known = {one.case.path: one.case for one in self.judged}
        self.cases = [known[case.path] for case in self.cases if case.path in known]
        self._idle()

    def _done(self, judged: tuple[SalesJudged, ...]) -> None:
        self._job = None
        self.waiting.hide()
        fresh, self._fresh = self._fresh, False
        self.judged = judged
        if fresh:
            self.buttons.restart()
        self._fill(fresh=fresh)
        if self._asked_here:  # the question that had the keyboard is gone
            self._asked_here = False
            self.begin()
        if self._first_only is not None:
            path, self._first_only = self._first_only, None
            self._take([one for one in self.judged[:1] if one.case.path == path])

    def book_moved(self) -> None:
        """The book changed: what is looked at is judged anew."""
        if self.cases and not self.taking.going:
            self._judge(REST)

    def close_files(self) -> None:
        """Put all of them away; nothing of them is kept."""
        self._drop_job()
        self.waiting.hide()
        self.cases, self.judged, self.meant, self._first_only = [], (), {}, None
        self.files.set_rows([])
        self.buttons.restart()
        self.closed.emit()

    # What is shown

    def _fill(self, *, fresh: bool) -> None:
        rows = [FileRow(str(one.case.path), (one,)) for one in self.judged]
        many = len(rows) > 1
        table = self.file_list.table
        with QSignalBlocker(table):  # what the cursor is pushed over was not asked for
            self.files.set_rows([FileRow(ALL, self.judged), *rows] if many else rows)
            if fresh or not table.currentIndex().isValid():
                stopped = next((row.key for row in rows if not row.files[0].ready), None)
                table.choose(stopped or (ALL if many else rows[0].key if rows else ""))
        self.file_list.setVisible(many)
        if fresh:
            table.fit_columns()
        self._show()
        if fresh:
            self.buttons.list.table.fit_columns()
            self.begin()

    def shown(self) -> tuple[SalesJudged, ...]:
        """The files that are looked at: one, or all."""
        index = self.file_list.table.currentIndex()
        return self.files.row(index.row()).files if index.isValid() else self.judged

    def _chosen(self, _: str = "") -> None:
        self.buttons.restart()
        self._show()

    def _show(self) -> None:
        files = self.shown()
        one = files[0] if len(files) == 1 else None
        self.head.show_files(files)
        self._show_buttons()
        self.reading.show_file(one)
        self.rows.show_plan(one.plan if one is not None else None)
        for page in (READING, ROWS):
            self.pages.setTabEnabled(page, one is not None)
        notes = notes_of(files, at_once=False) + ([] if one is not None else notes_of(files, at_once=True))
        self.notes.setPlainText("\n".join(notes))
        self.pages.setTabText(NOTES, _counted(say("To know"), len(notes)))
        self._enabled()

    def _show_buttons(self) -> None:
        self.buttons.show_buttons(plans_of(self.shown()), self.meant)
        self.pages.setTabText(BUTTONS, _counted(say("Buttons"), self.buttons.waiting(), say("wait")))

    def _enabled(self) -> None:
        ready = self._job is None and not self.taking.going
        able = [one for one in self.judged if one.ready]
        waiting = sum(plan.count("waiting") for plan in plans_of(able))
        said = say_many("Take {n} file", "Take {n} files", len(able))
        if waiting:
            said = say_many("{take}, {n} row waits", "{take}, {n} rows wait", waiting, take=said,
                            n=self.desk.format.number(waiting, 0))  # fmt: skip
        self.all.setText(said)
        self.all.setEnabled(ready and bool(able))
        files = self.shown() if self.judged else ()
        self.one.setVisible(len(self.judged) > 1)
        self.one.setEnabled(ready and len(files) == 1 and files[0].plan is not None and not files[0].plan.asked)

    def begin(self) -> None:
        """The keyboard to what is asked, else to the buttons that wait, else to taking them."""
        if not self.isVisible():
            return
        if self.questions.first is not None and self.questions.isVisible():
            self.questions.first.setFocus(Qt.FocusReason.OtherFocusReason)
            return
        self.pages.setCurrentIndex(BUTTONS)
        self.buttons.begin()

    def first(self) -> QWidget:
        """Where the keyboard begins."""
        return self.buttons.list.table

    # What somebody says

    def _answered(self, change: Change) -> None:
        files = self.shown()
        if len(files) == 1:
            path = files[0].case.path
            self._asked_here = self.questions.isAncestorOf(QApplication.focusWidget() or self)
            self.cases = [replace(case, said=change(case.said)) if case.path == path else case for case in self.cases]
            self._judge()

    def _to_columns(self) -> None:
        self.pages.setCurrentIndex(READING)
        self.reading.column_list.table.setFocus(Qt.FocusReason.OtherFocusReason)

    def _meant(self, button: Button) -> None:
        """What a button means, of all files alike; the rows follow when the hand rests."""
        self.meant = with_meaning(self.meant, button)
        self._show_buttons()
        self._judge(REST)

    def _taken_back(self, key: Key) -> None:
        self.meant = without_meaning(self.meant, key)
        self._show_buttons()
        self._judge(REST)

    # Taking them

    def take_all(self) -> None:
        """Every file that nothing is asked of, a step each."""
        self._take([one for one in self.judged if one.ready])

    def take_one(self) -> None:
        """The file that is looked at, whatever the others are. It is judged first of all, and then taken."""
        files = self.shown()
        if self._job is not None or self.taking.going or len(files) != 1 or len(self.judged) < 2:
            return
        path = files[0].case.path
        if self.judged[0].case.path == path:
            self._take(files)
            return
        self.cases.sort(key=lambda case: case.path != path)
        self._first_only = path
        self._judge()

    def _take(self, files: Sequence[SalesJudged]) -> None:
        if self._job is not None or self.taking.going or not files:
            return
        self.progress.setRange(0, len(files))
        self.progress.setValue(0)
        self.progress.setFormat("")
        self.waiting.show()
        self.stop.setEnabled(False)
        self.taking.take(files)
        self._enabled()

    def _took(self, files: Sequence[SalesJudged]) -> None:
        """What is left over of the files is judged on the book as it is now."""
        self.stop.setEnabled(True)
        self.waiting.hide()
        gone = {one.case.path for one in files}
        self.cases = [case for case in self.cases if case.path not in gone]
        self.judged = tuple(one for one in self.judged if one.case.path not in gone)
        if not self.cases:
            self.close_files()
        else:
            self._fresh = True
            self._judge()
        if files:
            self.taken.emit(len(files))


def _key(row: FileRow) -> str:
    return row.key


def _counted(title: str, n: int, what: str = "") -> str:
    """A title with how many there are."""
    if not n:
        return title
    return say("{title} ({n} {what})", title=title, n=n, what=what) if what else say("{title} ({n})", title=title, n=n)
