"""The batch sheet of another size, made off the main thread. No widget is touched here."""

from decimal import Decimal
from pathlib import Path

from costing.disk import write_whole
from costing.edits.batch_recipe import keep_size
from costing.report.gather import contents
from costing.tongue import say
from ui.document import Figures
from ui.jobs import Progress


def sheet_of(figures: Figures, preparation: str, factor: Decimal, progress: Progress) -> bytes:
    """The sheet as a PDF, with its costs, as if that were the standard batch; nothing of it is kept in the book.
    KeyError for a preparation that is not made on the day, ValueError for a factor that cannot be."""
    from costing.report import pdf  # noqa: PLC0415  reportlab takes a while to load

    said = say("Batch sheet")
    progress(0, 3, said)
    step = keep_size(figures.book, preparation, factor, figures.day)
    book = figures.book.with_changes(step.changes) if step is not None else figures.book
    progress(1, 3, said)
    whole = contents(Figures(book, figures.day, figures.revision).reckoning, figures.revision)
    progress(2, 3, said)
    found = {p.id: p for p in whole.preparations}
    return pdf.batch_sheet(whole, found[preparation], times=factor)


def save_sheet(figures: Figures, preparation: str, factor: Decimal, path: Path, progress: Progress) -> Path:
    """Write the sheet to a file; stopped, it leaves the file as it was. OSError where it cannot be written."""
    data = sheet_of(figures, preparation, factor, progress)
    progress(3, 3, say("Batch sheet"))
    write_whole(data, path)
    return path
