"""Reports: choose one, look at the very bytes that will be saved, save or print them."""

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

from PySide6.QtCore import Qt, SignalInstance
from PySide6.QtGui import QAction
from PySide6.QtPrintSupport import QPrintDialog, QPrinter, QPrinterInfo
from PySide6.QtWidgets import (
    QFileDialog,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPlainTextEdit,
    QProgressBar,
    QPushButton,
    QSplitter,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from costing.report.catalogue import file_name
from costing.tongue import say
from ui.desk import Desk, Where
from ui.document import Figures, Moved
from ui.fault import KNOWN, Refusal, refusal_of
from ui.format import own
from ui.jobs import REST, Job, Work
from ui.places.base import Place, split_text, take_split
from ui.places.month.choices import Choices
from ui.places.month.making import Wanted, make_report, print_pages, save_all, save_report
from ui.widgets.acts import acts
from ui.widgets.preview import Preview, PreviewBar

MOST_SHOWN = 20_000
"""Characters of a table that are shown before it is saved."""


class MonthPlace(Place):
    """The reports of the day that is looked at."""

    kinds = ("report",)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self._job: Job | None = None
        self._saving = self._owed = False
        self._slots: tuple[tuple[SignalInstance, Callable[..., None]], ...] = ()
        self._asked: tuple[Wanted, Figures] | None = None
        self._made: tuple[Wanted, Figures, bytes] | None = None
        self.choices = Choices(desk, self)
        self.list = self.choices.list
        self._buttons()
        self._lay_out()
        self._busy(None)
        self.choices.changed.connect(self.look)
        self._actions = self._make_actions()

    def _buttons(self) -> None:
        self.save = QPushButton(say("Save…"), self)
        self.save.setProperty("chief", True)
        self.everything = QPushButton(say("Save all reports…"), self)
        self.print = QPushButton(say("Print…"), self)
        self.save.clicked.connect(self.ask_save)
        self.everything.clicked.connect(self.ask_everything)
        self.print.clicked.connect(self.ask_print)
        self.bar = QProgressBar(self)
        self.bar.setAccessibleName(say("How far the report is"))
        self.stop = QPushButton(say("Stop"), self)
        self.stop.clicked.connect(self.stop_work)

    def _lay_out(self) -> None:
        left, right = QWidget(self), QWidget(self)
        column = QVBoxLayout(left)
        column.setContentsMargins(4, 2, 2, 6)
        column.addWidget(self.choices, 1)
        buttons = QGridLayout()
        buttons.setContentsMargins(4, 0, 4, 0)
        buttons.addWidget(self.save, 0, 0)
        buttons.addWidget(self.print, 0, 1)
        buttons.addWidget(self.everything, 1, 0, 1, 2)
        column.addLayout(buttons)
        self.preview = Preview(say("The pages as they will be saved"), self)
        self.text = QPlainTextEdit(self)
        self.text.setReadOnly(True)
        self.text.setLineWrapMode(QPlainTextEdit.LineWrapMode.NoWrap)
        self.text.setTabChangesFocus(True)
        self.text.setLayoutDirection(Qt.LayoutDirection.LeftToRight)  # a table of values is no prose
        self.text.setAccessibleName(say("The table as it will be saved"))
        self.said = QLabel(self)
        self.said.setWordWrap(True)
        self.said.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.said.setContentsMargins(24, 24, 24, 24)
        self.shown = QStackedWidget(self)
        for page in (self.preview, self.text, self.said):
            self.shown.addWidget(page)
        self.tools = PreviewBar(self.preview, self)
        waiting = QHBoxLayout()
        waiting.addWidget(self.bar, 1)
        waiting.addWidget(self.stop)
        beside = QVBoxLayout(right)
        beside.setContentsMargins(0, 4, 4, 4)
        beside.setSpacing(4)
        beside.addWidget(self.tools)
        beside.addWidget(self.shown, 1)
        beside.addLayout(waiting)
        self.split = QSplitter(Qt.Orientation.Horizontal, self)
        self.split.addWidget(left)
        self.split.addWidget(right)
        self.split.setSizes([380, 600])
        self.split.setStretchFactor(1, 1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.split)

    def _make_actions(self) -> list[QAction]:
        return acts(
            self,
            [
                (say("Save this report…"), "Ctrl+S", self.ask_save),
                (say("Save all reports…"), "Ctrl+Shift+A", self.ask_everything),
                (say("Print this report…"), "Ctrl+P", self.ask_print),
                (say("Stop making the report"), "Ctrl+.", self.stop_work),
            ],
        )

    # Place

    def refresh(self, moved: Moved) -> None:
        """The report anew where the book or the day moved."""
        self.choices.refresh()
        self.look()

    def show_item(self, where: Where) -> bool:
        """Go to a report; the part is the preparation or the drink it is of."""
        found = self.choices.choose(where.id, where.part)
        self.look()
        (self.preview if found else self.list.table).setFocus(Qt.FocusReason.OtherFocusReason)
        return found

    def actions_of(self) -> Sequence[QAction]:
        """Save, save all, print, stop."""
        return self._actions

    def find_field(self) -> QWidget:
        """The filter of the reports."""
        return self.list.filter

    def save_state(self) -> dict[str, object]:
        """The splitter, and which report of what in which language."""
        return {"split": split_text(self.split), "report": self.wanted.report.id, **self.choices.save_state()}

    def restore_state(self, state: dict[str, object]) -> None:
        """As it stood."""
        split, report = state.get("split"), state.get("report")
        take_split(self.split, split)
        if isinstance(report, str):
            self.list.table.choose(report)
        self.choices.restore_state(state)

    # What is shown

    @property
    def wanted(self) -> Wanted:
        """What is chosen."""
        return self.choices.wanted

    @property
    def data(self) -> bytes:
        """The bytes that are shown, or nothing while they are being made."""
        made = self._made
        if made is None or made[0] != self.wanted or made[1] is not self.desk.document.figures:
            return b""
        return made[2]

    def look(self) -> None:
        """Make the chosen report and show it, off the main thread."""
        wanted = self.wanted
        self.print.setEnabled("pdf" in wanted.report.formats and not wanted.lacking)
        self.save.setEnabled(not wanted.lacking)
        if self.data:
            self._present()
            return
        if not self.isVisible():
            return
        if self._saving:  # never stopped by looking; once it is done, what is wanted then is shown
            self._owed = True
            return
        self._owed = False
        self.cancel()
        if wanted.lacking:
            self._say(say("There is nothing on this day that this report could be of."))
            return
        figures = self.desk.document.figures
        self._asked = wanted, figures
        self._begin(Job(partial(make_report, figures, wanted), self), self._show, REST)

    def _show(self, data: bytes) -> None:
        if self._asked is None or self._asked[0] != self.wanted:
            return
        wanted, figures = self._asked
        self._made = wanted, figures, data
        if "pdf" in wanted.report.formats:
            self.preview.show_pdf(data)
        elif "csv" in wanted.report.formats:
            self.text.setPlainText(data.decode("utf-8-sig")[:MOST_SHOWN])
        self._present()

    def _present(self) -> None:
        """Bring what was made to the front, in its own way."""
        formats = self.wanted.report.formats
        if "pdf" in formats:
            self.shown.setCurrentWidget(self.preview)
        elif "csv" in formats:
            self.shown.setCurrentWidget(self.text)
        else:
            size = self.desk.format.number(len(self.data) / 1024, 0)
            self._say(say("The workbook is ready, {size} KB. Save it, and open it in a spreadsheet.", size=size))
        self.tools.setVisible("pdf" in formats)

    def _say(self, text: str) -> None:
        self.said.setText(text)
        self.shown.setCurrentWidget(self.said)
        self.tools.hide()

    # Work

    def _begin(self, job: Job, done: Callable[..., None], rest: int = 0) -> None:
        """Start a job; ``done`` hears its result unless it is stopped before."""
        # Bound methods, so that nothing of a place that is gone is called; and one job at a time, so that none has to
        # say which it was.
        self._slots = (
            (job.done, done),
            (job.progress, self._progress),
            (job.failed, self._failed),
            (job.finished, self._finished),
        )
        for signal, slot in self._slots:
            signal.connect(slot)
        self._busy(job)
        job.start(rest)

    def _busy(self, job: Job | None) -> None:
        self._job = job
        self.bar.setVisible(job is not None)
        self.stop.setVisible(job is not None)
        self.bar.setRange(0, 0)

    def _progress(self, done: int, total: int, text: str) -> None:
        self.bar.setRange(0, total)
        self.bar.setValue(done)
        self.bar.setFormat(say("{text}, {done} of {total}", text=text, done=done, total=total) if text else "")

    def _failed(self, error: Exception) -> None:
        if isinstance(error, KNOWN):
            self.desk.refuse(refusal_of(error))
            return
        raise error  # a fault of the program: kept in the log like any other

    def _finished(self) -> None:
        saved, self._saving = self._saving, False
        self._busy(None)
        if saved:
            self.look()

    def stop_work(self) -> None:
        """What somebody asked to stop; that nothing was saved is said."""
        saving, self._saving = self._saving, False
        self.cancel()
        if saving:
            self.desk.tell(say("Stopped. Nothing was saved."))
        if self._owed:
            self.look()

    def cancel(self) -> None:
        """Stop what is going on; nothing of it is kept, and nothing of it is heard any more."""
        if self._job is not None:
            for signal, slot in self._slots:
                signal.disconnect(slot)
            self._job.cancel()
            self._busy(None)

    # Out of the house

    def ask_save(self) -> None:
        """Choose where the report goes."""
        wanted = self.wanted
        if wanted.lacking:
            return
        name = file_name(wanted.report, wanted.subject)
        path, _ = QFileDialog.getSaveFileName(self, say("Save the report"), str(self._folder() / name))
        if path:
            self.save_to(Path(path))

    def _folder(self) -> Path:
        kept = self.desk.memory.get("reports")
        return Path(kept) if isinstance(kept, str) and Path(kept).is_dir() else Path.home()

    def save_to(self, path: Path) -> None:
        """Write the report that is shown, made first where it is not yet."""
        self._save(partial(save_report, self.desk.document.figures, self.wanted, self.data, path), self._saved)

    def _save(self, work: Work, done: Callable[..., None]) -> None:
        """One save at a time: another waits for its own key."""
        if self._saving:
            self.desk.refuse(
                Refusal(
                    say("This was not saved."),
                    say("Another report is being saved."),
                    say("Wait until it is done, or stop it (Ctrl+.)."),
                )
            )
            return
        self.cancel()
        self._saving = True
        self._begin(Job(work, self), done)

    def _saved(self, path: Path) -> None:
        self.desk.memory.put("reports", str(path.parent))
        self._said_saved(say("Saved as {file}", file=own(str(path))))

    def ask_everything(self) -> None:
        """Choose a folder for all reports."""
        folder = QFileDialog.getExistingDirectory(self, say("A folder for all reports"), str(self._folder()))
        if folder:
            self.save_everything(Path(folder))

    def save_everything(self, folder: Path) -> None:
        """All reports into a new folder inside ``folder``; stopped, it leaves nothing."""
        self._save(partial(save_all, self.desk.document.figures, self.wanted.tongue, folder), self._saved_all)

    def _saved_all(self, path: Path) -> None:
        self.desk.memory.put("reports", str(path.parent))
        self._said_saved(say("All reports are in {folder}", folder=own(str(path))))

    def _said_saved(self, text: str) -> None:
        self.desk.settled.emit()  # what stood in the way before does so no more
        self.desk.tell(text)

    def ask_print(self) -> None:
        """The system's own dialog, then the pages that are shown."""
        if not self.data or "pdf" not in self.wanted.report.formats:
            self.desk.tell(say("There are no pages to print yet."))
            return
        if not QPrinterInfo.availablePrinterNames():
            self.desk.refuse(
                Refusal(
                    say("Nothing was printed."),
                    say("No printer is set up on this computer."),
                    say("Save the pages (Ctrl+S) and print the file elsewhere."),
                )
            )
            return
        printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        dialog = QPrintDialog(printer, self)
        if dialog.exec() == QPrintDialog.DialogCode.Accepted:
            print_pages(self.preview.pages, printer)
        dialog.deleteLater()
