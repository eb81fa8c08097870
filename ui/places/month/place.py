"""Reports: choose one, look at the very bytes that will be saved, save or print them."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from PySide6.QtCore import QByteArray, QRectF, Qt
from PySide6.QtGui import QAction, QKeySequence, QPainter
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import (
    QFileDialog,
    QFormLayout,
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

from costing.disk import write_whole
from costing.report.catalogue import REPORTS, Report, file_name, make
from costing.tongue import language, languages, say, speaking
from ui.desk import Desk, Where
from ui.document import Figures, Moved
from ui.fault import Refusal, refusal_of
from ui.format import own
from ui.jobs import Job, Progress
from ui.models.table import Column, RowTable
from ui.places.base import Place
from ui.places.month.language import language_name
from ui.widgets.fields import ChoiceField
from ui.widgets.listpane import ListPane
from ui.widgets.preview import Preview

MOST_SHOWN = 20_000
"""Characters of a table that are shown before it is saved."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is to be made: which report, of what, in which language."""

    report: Report
    subject: str
    tongue: str


class MonthPlace(Place):
    """The reports of the day that is looked at."""

    kinds = ("report",)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self._job: Job | None = None
        self._made: tuple[Wanted, int, bytes] | None = None
        self._tongue = language() if language() in languages() else "en"
        self.rows: RowTable[Report] = RowTable(
            [
                Column[Report]("title", say("Report"), lambda r: r.title, tip=lambda r: r.about),
                Column[Report]("format", say("As"), lambda r: ", ".join(r.formats).upper()),
                Column[Report]("costs", say("Shows money"), lambda r: say("yes") if r.costs else say("no")),
            ],
            lambda r: r.id,
            desk,
            self,
        )
        self.rows.set_rows(REPORTS)
        self.list = ListPane(self.rows, say("Reports"), None, self)
        self._choices()
        self._buttons()
        self._lay_out()
        self._busy(None)
        self.list.table.current_key.connect(self._chosen)
        self._actions = self._make_actions()

    def _choices(self) -> None:
        self.about = QLabel(self)
        self.about.setWordWrap(True)
        self.about.setProperty("faint", True)
        self.tongue = ChoiceField(say("Language"), lambda: [language_name(t) for t in languages()], self)
        self.tongue.set_text(language_name(self._tongue))
        self.tongue.committed.connect(self._set_tongue)
        self.subject = ChoiceField(say("Preparation"), self._subjects, self, hint=say("Type a preparation"))
        self.subject.committed.connect(self._set_subject)
        self._subject = ""
        self.stamp = QLabel(self)
        self.stamp.setProperty("faint", True)
        self.stamp.setWordWrap(True)

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
        self.stop.clicked.connect(self.cancel)

    def _lay_out(self) -> None:
        form = QFormLayout()
        form.addRow(say("Language"), self.tongue)
        form.addRow(say("Preparation"), self.subject)
        left = QWidget(self)
        column = QVBoxLayout(left)
        column.setContentsMargins(0, 0, 0, 4)
        column.addWidget(self.list, 1)
        column.addWidget(self.about)
        column.addLayout(form)
        column.addWidget(self.stamp)
        buttons = QHBoxLayout()
        for button in (self.save, self.everything, self.print):
            buttons.addWidget(button)
        buttons.addStretch(1)
        column.addLayout(buttons)
        waiting = QHBoxLayout()
        waiting.addWidget(self.bar, 1)
        waiting.addWidget(self.stop)
        column.addLayout(waiting)
        self.preview = Preview(say("The pages as they will be saved"), self)
        self.text = QPlainTextEdit(self)
        self.text.setReadOnly(True)
        self.text.setLineWrapMode(QPlainTextEdit.LineWrapMode.NoWrap)
        self.text.setTabChangesFocus(True)
        self.text.setAccessibleName(say("The table as it will be saved"))
        self.shown = QStackedWidget(self)
        self.shown.addWidget(self.preview)
        self.shown.addWidget(self.text)
        self.split = QSplitter(Qt.Orientation.Horizontal, self)
        self.split.addWidget(left)
        self.split.addWidget(self.shown)
        self.split.setSizes([380, 600])
        self.split.setStretchFactor(1, 1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.split)

    def _make_actions(self) -> list[QAction]:
        out = []
        for text, keys, slot in (
            (say("Save this report…"), "Ctrl+S", self.ask_save),
            (say("Save all reports…"), "Ctrl+Shift+A", self.ask_everything),
            (say("Print this report…"), "Ctrl+P", self.ask_print),
        ):
            action = QAction(text, self)
            action.setShortcut(QKeySequence(keys))
            action.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
            action.triggered.connect(slot)
            self.addAction(action)
            out.append(action)
        return out

    # Place

    def refresh(self, moved: Moved) -> None:
        """The report anew where the book moved."""
        if not self.list.table.currentIndex().isValid():
            self.list.table.choose(self.rows.key(0))
        document = self.desk.document
        self.stamp.setText(
            say("Of {day}, revision {revision}", day=self.desk.format.day(document.day), revision=document.head)
        )
        self.look()

    def show_item(self, where: Where) -> bool:
        """Go to a report; the part is the preparation it is of."""
        if where.part:
            self._subject = where.part
            self.subject.set_text(self.desk.document.names.get(where.part, where.part))
        found = self.list.table.choose(where.id)
        self.look()
        (self.preview if found else self.list.table).setFocus(Qt.FocusReason.OtherFocusReason)
        return found

    def actions_of(self) -> Sequence[QAction]:
        """Save, save all, print."""
        return self._actions

    def find_field(self) -> QWidget:
        """The filter of the reports."""
        return self.list.filter

    def save_state(self) -> dict[str, object]:
        """The splitter and the report."""
        state = bytes(self.split.saveState().toBase64().data()).decode("ascii")
        return {"split": state, "report": self.wanted.report.id}

    def restore_state(self, state: dict[str, object]) -> None:
        """As it stood."""
        split, report = state.get("split"), state.get("report")
        if isinstance(split, str):
            self.split.restoreState(QByteArray.fromBase64(QByteArray(split.encode("ascii"))))
        if isinstance(report, str):
            self.list.table.choose(report)

    # What is shown

    @property
    def wanted(self) -> Wanted:
        """What is chosen."""
        index = self.list.table.currentIndex()
        report = self.rows.row(index.row()) if index.isValid() else REPORTS[0]
        return Wanted(report, self._subject if report.needs else "", self._tongue)

    @property
    def data(self) -> bytes:
        """The bytes that are shown, or nothing while they are being made."""
        made = self._made
        fits = made is not None and made[0] == self.wanted and made[1] == self.desk.document.head
        return made[2] if made is not None and fits else b""

    def _subjects(self) -> list[str]:
        view = self.desk.document.view
        return sorted(p.name for p, _ in view.preparations.values())

    def _set_subject(self, text: str) -> None:
        found = [p.id for p, _ in self.desk.document.view.preparations.values() if p.name.casefold() == text.casefold()]
        if not found:
            self.subject.refuse(
                Refusal(say("There is no preparation called “{text}”.", text=text), "", say("Alt+Down lists them."))
            )
            return
        self._subject = found[0]
        self.look()

    def _set_tongue(self, text: str) -> None:
        found = [t for t in languages() if text.casefold() in (t, language_name(t).casefold())]
        if not found:
            names = ", ".join(language_name(t) for t in languages())
            self.tongue.refuse(
                Refusal(say("There is no language “{text}”.", text=text), "", say("There are: {names}.", names=names))
            )
            return
        self._tongue = found[0]
        self.tongue.set_text(language_name(self._tongue))
        self.look()

    def _chosen(self, _: str) -> None:
        self.look()

    def look(self) -> None:
        """Make the chosen report and show it, off the main thread."""
        wanted = self.wanted
        self.about.setText(wanted.report.about)
        self.subject.setEnabled(bool(wanted.report.needs))
        self.print.setEnabled("pdf" in wanted.report.formats)
        if wanted.report.needs and not wanted.subject:
            subjects = list(self.desk.document.view.preparations)
            self._subject = subjects[0] if subjects else ""
            self.subject.set_text(self.desk.document.names.get(self._subject, ""))
            wanted = self.wanted
        if self.data or not self.isVisible():
            return
        self.cancel()
        figures = self.desk.document.figures
        job = Job(partial(_make, figures, wanted), self)
        job.done.connect(partial(self._show, wanted, figures.revision))
        self._begin(job)

    def _show(self, wanted: Wanted, revision: int, data: bytes) -> None:
        self._made = wanted, revision, data
        if wanted != self.wanted:
            return
        if "pdf" in wanted.report.formats:
            self.shown.setCurrentWidget(self.preview)
            self.preview.show_pdf(data)
        else:
            self.shown.setCurrentWidget(self.text)
            self.text.setPlainText(
                data.decode("utf-8-sig")[:MOST_SHOWN]
                if "csv" in wanted.report.formats
                else say("The workbook is made: {n} bytes. Save it and open it in a spreadsheet.", n=len(data))
            )

    # Work

    def _begin(self, job: Job) -> None:
        self._busy(job)
        job.progress.connect(self._progress)
        job.failed.connect(self._failed)
        job.finished.connect(partial(self._finished, job))
        job.start()

    def _busy(self, job: Job | None) -> None:
        self._job = job
        self.bar.setVisible(job is not None)
        self.stop.setVisible(job is not None)
        self.bar.setRange(0, 0)

    def _progress(self, done: int, total: int, text: str) -> None:
        self.bar.setRange(0, total)
        self.bar.setValue(done)
        self.bar.setFormat(say("{text}, {done} of {total}", text=text, done=done, total=total))

    def _failed(self, error: Exception) -> None:
        if isinstance(error, ValueError | OSError):
            self.desk.refuse(refusal_of(error))
            return
        raise error  # a fault of the program: kept in the log like any other

    def _finished(self, job: Job) -> None:
        if self._job is job:
            self._busy(None)

    def cancel(self) -> None:
        """Stop what is going on; nothing of it is kept."""
        if self._job is not None:
            self._job.cancel()
            self._busy(None)

    # Out of the house

    def ask_save(self) -> None:
        """Choose where the report goes."""
        wanted = self.wanted
        name = file_name(wanted.report, wanted.subject)
        path, _ = QFileDialog.getSaveFileName(self, say("Save the report"), str(self._folder() / name))
        if path:
            self.save_to(Path(path))

    def _folder(self) -> Path:
        kept = self.desk.memory.get("reports")
        return Path(kept) if isinstance(kept, str) and Path(kept).is_dir() else Path.home()

    def save_to(self, path: Path) -> None:
        """Write the report that is shown, made first where it is not yet."""
        data, wanted, figures = self.data, self.wanted, self.desk.document.figures

        def work(progress: Progress) -> Path:
            made = data or _make(figures, wanted, progress)
            write_whole(made, path)
            return path

        self.cancel()
        job = Job(work, self)
        job.done.connect(self._saved)
        self._begin(job)

    def _saved(self, path: Path) -> None:
        self.desk.memory.put("reports", str(path.parent))
        self.desk.tell(say("Saved as {file}", file=own(str(path))))

    def ask_everything(self) -> None:
        """Choose a folder for all reports."""
        folder = QFileDialog.getExistingDirectory(self, say("A folder for all reports"), str(self._folder()))
        if folder:
            self.save_everything(Path(folder))

    def save_everything(self, folder: Path) -> None:
        """All reports into a folder; stopped, it leaves whole files or none."""
        figures, tongue = self.desk.document.figures, self._tongue

        def work(progress: Progress) -> Path:
            jobs = [(r, s) for r in REPORTS for s in (figures.reckoning.ledgers if r.needs else ("",))]
            with speaking(tongue):
                said = figures.contents
                for n, (report, subject) in enumerate(jobs):
                    progress(n, len(jobs), report.title)
                    write_whole(make(report, said, subject), folder / file_name(report, subject))
                progress(len(jobs), len(jobs), say("done"))
            return folder / "all"

        self.cancel()
        job = Job(work, self)
        job.done.connect(self._saved_all)
        self._begin(job)

    def _saved_all(self, path: Path) -> None:
        self.desk.memory.put("reports", str(path.parent))
        self.desk.tell(say("All reports are in {folder}", folder=own(str(path.parent))))

    def ask_print(self) -> None:
        """The system's own dialog, then the pages that are shown."""
        if not self.data or "pdf" not in self.wanted.report.formats:
            self.desk.tell(say("There are no pages to print yet."))
            return
        printer = QPrinter(QPrinter.PrinterMode.HighResolution)
        dialog = QPrintDialog(printer, self)
        if dialog.exec() == QPrintDialog.DialogCode.Accepted:
            self.print_on(printer)

    def print_on(self, printer: QPrinter) -> None:
        """The pages that are shown, each on a sheet."""
        pages = self.preview.pages
        painter = QPainter(printer)
        for n in range(pages.count):
            if n:
                printer.newPage()
            image = pages.page_image(n, min(printer.resolution(), 300) / 72.0)
            room = painter.viewport()
            size = image.size().scaled(room.size(), Qt.AspectRatioMode.KeepAspectRatio)
            painter.drawImage(QRectF(0, 0, size.width(), size.height()), image)
        painter.end()


def _make(figures: Figures, wanted: Wanted, progress: Progress) -> bytes:
    """The bytes of a report; in the thread of a job."""
    with speaking(wanted.tongue):
        progress(0, 2, wanted.report.title)
        said = figures.contents
        progress(1, 2, wanted.report.title)
        data = make(wanted.report, said, wanted.subject)
        progress(2, 2, wanted.report.title)
    return data
