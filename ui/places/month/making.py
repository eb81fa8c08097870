"""Reports made away from the window: bytes, files, a folder of them, sheets of paper. No widget is touched here."""

import shutil
from dataclasses import dataclass
from pathlib import Path

from PySide6.QtCore import QMarginsF, QPoint, QRect, QSize, Qt
from PySide6.QtGui import QImage, QPageLayout, QPageSize, QPainter
from PySide6.QtPrintSupport import QPrinter

from costing.disk import beside, sync_folder, write_whole
from costing.report.catalogue import Report, all_reports, make
from costing.report.gather import contents
from costing.tongue import speaking
from ui.document import Figures
from ui.jobs import Progress
from ui.widgets.preview import Pages

DOTS = 300
"""The most dots an inch that a page is drawn with for paper: more only takes longer."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """What is to be made: which report, of what, in which language."""

    report: Report
    subject: str
    tongue: str

    @property
    def lacking(self) -> bool:
        """Whether it is of a drink or a preparation and nobody has said which, because the day has none."""
        return bool(self.report.needs) and not self.subject


def make_report(figures: Figures, wanted: Wanted, progress: Progress) -> bytes:
    """The bytes of a report. The words of its contents are gathered in its own language, so those that the window
    keeps are not used."""
    title = wanted.report.title
    with speaking(wanted.tongue):
        progress(0, 3, title)
        said = contents(figures.reckoning, figures.revision)
        progress(1, 3, title)
        data = make(wanted.report, said, wanted.subject)
    progress(2, 3, title)
    return data


def save_report(figures: Figures, wanted: Wanted, data: bytes, path: Path, progress: Progress) -> Path:
    """Write a report, made first where ``data`` is empty. Stopped, it leaves the file as it was."""
    write_whole(data or make_report(figures, wanted, progress), path)
    return path


def save_all(figures: Figures, tongue: str, folder: Path, progress: Progress) -> Path:
    """Every report of the day into a new folder inside ``folder``; its path. The folder comes into being when all of
    them are whole, so stopped or failed it leaves nothing behind."""
    jobs = all_reports(figures.reckoning.ledgers)
    target = _free(folder, f"reports-{figures.day.isoformat()}-{figures.revision}-{tongue}")
    part = beside(target)
    try:
        part.mkdir()
    except OSError as error:
        raise OSError(error.errno, error.strerror, str(folder)) from error
    try:
        with speaking(tongue):
            said = contents(figures.reckoning, figures.revision)
            for n, (report, subject, name) in enumerate(jobs):
                progress(n, len(jobs), report.title)
                write_whole(make(report, said, subject), part / name)
        progress(len(jobs), len(jobs), "")
        part.rename(target)
        sync_folder(folder)
    finally:
        shutil.rmtree(part, ignore_errors=True)
    return target


def _free(folder: Path, name: str) -> Path:
    """A folder of that name that is not there yet: nobody's files are written over."""
    target, count = folder / name, 1
    while target.exists():
        count += 1
        target = folder / f"{name}-{count}"
    return target


def print_pages(pages: Pages, printer: QPrinter) -> None:
    """The pages that are shown, each on a sheet that is turned as the page is, as large as the paper takes."""
    printer.setFullPage(True)
    scale = min(printer.resolution(), DOTS) / 72.0
    painter: QPainter | None = None
    for n in range(pages.count):
        image = pages.page_image(n, scale)
        _turn(printer, image.size())
        if painter is None:
            painter = QPainter(printer)
        else:
            printer.newPage()
        _place(painter, image)
    if painter is not None:
        painter.end()


def _turn(printer: QPrinter, size: QSize) -> None:
    wide = size.width() > size.height()
    layout = QPageLayout(
        QPageSize(printer.pageLayout().pageSize()),
        QPageLayout.Orientation.Landscape if wide else QPageLayout.Orientation.Portrait,
        QMarginsF(),
    )
    layout.setMode(QPageLayout.Mode.FullPageMode)
    printer.setPageLayout(layout)


def _place(painter: QPainter, image: QImage) -> None:
    room = painter.viewport()
    shown = image.size().scaled(room.size(), Qt.AspectRatioMode.KeepAspectRatio)
    corner = QPoint((room.width() - shown.width()) // 2, (room.height() - shown.height()) // 2)
    painter.drawImage(QRect(corner, shown), image)
