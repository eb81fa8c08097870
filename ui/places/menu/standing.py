"""What the pages of the menu stand on: the sales that are looked at, beside cost and price."""

from collections.abc import Sequence

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QSizePolicy, QWidget

from costing.book.selling import SalesPeriod
from costing.menu.mix import Mix, ended_periods, menu_mix
from costing.menu.todays import todays
from costing.tongue import day_text, say, say_many
from ui.desk import Desk
from ui.document import Figures

SPANS = (4, 12, 26, 52, 0)
"""Weeks that can be looked at; 0 is all of them."""
USUAL = 12


class Standing(QObject):
    """Which sales count, for every page alike. ``changed`` tells when others do."""

    changed = Signal()

    def __init__(self, desk: Desk, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self._weeks = USUAL
        self._figures: Figures | None = None
        self._mix: Mix | None = None
        self._today: tuple[Mix, Mix] | None = None

    @property
    def weeks(self) -> int:
        """Weeks looked at; 0 is all that were sold."""
        return self._weeks

    def look_at(self, weeks: int) -> None:
        """Look at the sales of so many weeks up to the last period that has ended."""
        if weeks != self._weeks:
            self._weeks, self._mix = weeks, None
            self.changed.emit()

    def periods(self) -> tuple[SalesPeriod, ...]:
        """The periods that count, the earliest first."""
        document = self.desk.document
        return ended_periods(document.book, document.day, 7 * self._weeks or None)

    def mix(self) -> Mix:
        """What they sold beside what it costs and brings today; worked out once for a book, a day and a span."""
        figures = self.desk.document.figures
        if self._mix is None or self._figures is not figures:
            self._figures, self._mix = figures, menu_mix(figures.reckoning, self.periods())
        return self._mix

    def today(self) -> Mix:
        """The same with what each drink brings at the prices and taxes of today: what decisions stand on."""
        mix = self.mix()
        if self._today is None or self._today[0] is not mix:
            self._today = mix, todays(self.desk.document.figures.reckoning, mix)
        return self._today[1]

    def words(self) -> str:
        """ "12 periods, 84 days, 31 August to 22 November 2026", or that nothing was sold."""
        found = self.periods()
        if not found:
            later = bool(self.desk.document.book.all(SalesPeriod))
            return say("no period of sales had ended by this day") if later else say("no sales have been read yet")
        return say("{periods}, {days}, {first} to {last}", periods=say_many("{n} period", "{n} periods", len(found)),
                   days=say_many("{n} day", "{n} days", sum(p.days for p in found)),
                   first=day_text(found[0].since), last=day_text(found[-1].until))  # fmt: skip


class StandingBar(QWidget):
    """The choice of weeks, and in words what they are. Extra widgets of a page go on ``row``."""

    def __init__(self, standing: Standing, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.standing = standing
        self.span = QComboBox(self)
        self.span.setAccessibleName(say("Sales that count"))
        for weeks in SPANS:
            self.span.addItem(say_many("the last {n} week", "the last {n} weeks", weeks) if weeks else say("all sales"),
                              weeks)  # fmt: skip
        self.about = QLabel(self)
        self.about.setProperty("faint", True)
        self.about.setWordWrap(True)
        self.about.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.row = QHBoxLayout(self)
        self.row.setContentsMargins(4, 2, 4, 2)
        label = QLabel(say("Sales of"), self)
        label.setBuddy(self.span)
        self.row.addWidget(label)
        self.row.addWidget(self.span)
        self.row.addWidget(self.about, 1)
        self.span.activated.connect(self._chosen)
        standing.changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """The span that is looked at."""
        weeks = self.standing.weeks
        self.span.setCurrentIndex(SPANS.index(weeks) if weeks in SPANS else len(SPANS) - 1)
        self.about.setText(self.standing.words())

    def _chosen(self, at: int) -> None:
        self.standing.look_at(SPANS[at])

    def take(self, widgets: Sequence[QWidget]) -> None:
        """Put a page's own widgets at the end of the row."""
        for widget in widgets:
            self.row.addWidget(widget)
