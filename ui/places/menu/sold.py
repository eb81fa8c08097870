"""What was sold in a period, one drink a line: the mix that a month stands on."""

from datetime import timedelta

from PySide6.QtWidgets import QLabel, QPlainTextEdit, QWidget

from costing.book.selling import SalesPeriod
from costing.edits import sold
from costing.tongue import say
from ui.desk import Desk
from ui.places.cellar.dialogs import Asking
from ui.widgets.fields import DayField, read_day

WEEKS = 4


class SoldDialog(Asking):
    """From, until, and the counts; the last period's are there to be typed over."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, say("What was sold"), say("Keep it"), parent)
        document = desk.document
        ended = [p for p in document.book.all(SalesPeriod).values() if p.until <= document.day]
        last = max(ended, key=lambda p: p.until, default=None)
        self.since = DayField(say("From"), desk.format, lambda: desk.document.day, self)
        self.until = DayField(say("Until, with that day"), desk.format, lambda: desk.document.day, self)
        yesterday = document.day - timedelta(days=1)
        self.since.set_day(last.since if last is not None else yesterday - timedelta(days=7 * WEEKS - 1))
        self.until.set_day(last.until if last is not None else yesterday)
        self.lines = QPlainTextEdit(self)
        self.lines.setAccessibleName(say("Drinks and how many were sold, one a line"))
        self.lines.setPlainText(sold.sold_text(document.book, last))
        self.lines.setTabChangesFocus(True)
        self.lines.setMinimumHeight(self.fontMetrics().height() * 14)
        self.ask("since", say("From"), self.since)
        self.ask("until", say("Until, with that day"), self.until)
        self.form.addRow(say("Sold"), self.lines)
        said = say("One drink a line, and how many: Harbour Light 120. A month at the current mix stands on it.")
        about = QLabel(said, self)
        about.setWordWrap(True)
        about.setProperty("faint", True)
        self.form.addRow("", about)
        self.lines.setFocus()

    def work(self) -> bool:
        """Keep the period."""
        document = self.desk.document
        since, until = (read_day(field.text(), document.day) for field in (self.since, self.until))
        return self.desk.do(
            sold.set_sold(document.book, since, until, self.lines.toPlainText(), say("typed"), document.past_ids())
        )
