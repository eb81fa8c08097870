"""How prices move: the purchase price index between two days, what moved it, and the seasons of fresh goods."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from functools import partial

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QSplitter, QStackedLayout, QTabWidget, QVBoxLayout, QWidget

from costing.book.book import Book
from costing.book.records import Quote
from costing.report.figures.index import index_figure
from costing.report.figures.shapes import Figure, Measure
from costing.supply.buying.index import PriceIndex, last_period, series
from costing.supply.buying.season import Season, seasons, width
from costing.tongue import say, say_many
from ui.desk import Desk, Where
from ui.fault import Refusal
from ui.format import own
from ui.jobs import Progress
from ui.latest import Latest
from ui.models.table import RowTable
from ui.places.cellar.buying.index_rows import (
    PLACES,
    FigureRow,
    GoodRow,
    figure_columns,
    figure_rows,
    good_columns,
    good_rows,
    path_table,
    points_of,
)
from ui.places.cellar.buying.saying import Hint, Line
from ui.places.cellar.buying.seasons import SeasonsPage
from ui.widgets.fields import DayField
from ui.widgets.listpane import ListPane
from ui.widgets.notice import EmptyPlace
from ui.widgets.picture import PictureView

MOST = 60
"""Days drawn; beyond it every second, third ... of them."""
SHORT = 100
"""Days up to which weeks are drawn and not months."""


@dataclass(frozen=True, slots=True)
class Movement:
    """The index of each day drawn, the last one the whole span's; and the seasons with how far prices usually move."""

    path: tuple[PriceIndex, ...]
    seasons: tuple[Season, ...]
    widths: Mapping[str, Decimal | None]


class MovementPage(QTabWidget):
    """Two days above; the index with what moved it, and a page of seasons."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.setAccessibleName(say("Price movement"))
        self._stale = True
        self._first: date | None = None
        self._last: date | None = None
        self._path: tuple[PriceIndex, ...] = ()
        self._latest = Latest(self)
        self._latest.known.connect(self.refresh)
        self.first = DayField(say("First day"), desk.format, self._first_day, self)
        self.last = DayField(say("Last day"), desk.format, self._last_day, self)
        self.first.picked.connect(self._begun)
        self.last.picked.connect(self._ended)
        for field in (self.first, self.last):
            field.refused.connect(self._refused)
        self.said, self.told = Line(self, kind="error"), Line(self, kind="faint")
        self._index_page()
        self.season_page = SeasonsPage(desk, self)
        self.addTab(self.index_page, say("Price index"))
        self.addTab(self.season_page, say("Seasons"))

    def _index_page(self) -> None:
        desk = self.desk
        page = self.index_page = QWidget(self)
        self.figures: RowTable[FigureRow] = RowTable(figure_columns(), lambda r: r.key, desk, self)
        self.hint = Hint("", page)
        self.figure_list = ListPane(self.figures, say("The index"), self.hint, page)
        self.goods: RowTable[GoodRow] = RowTable(good_columns(desk.format), lambda r: r.key, desk, self)
        self.good_list = ListPane(self.goods, say("What moved the index"), Hint("", page), page)
        for pane in (self.figure_list, self.good_list):
            pane.filter.hide()
            pane.count.hide()
        self.good_list.table.opened.connect(self._go)
        self.picture = PictureView(say("The index over time"), self._figure, page, least=280.0)
        self.picture.set_table(self._table)
        below = QSplitter(Qt.Orientation.Horizontal, page)
        below.addWidget(self.good_list)
        below.addWidget(self.picture)
        below.setSizes([480, 420])
        self.split = QSplitter(Qt.Orientation.Vertical, page)
        self.split.addWidget(self.figure_list)
        self.split.addWidget(below)
        self.split.setSizes([150, 350])
        self.unsold = EmptyPlace(
            say("The index goes by what the drinks take: keep what was sold in a period that ended by the last day."),
            say("What was sold…"), self.ask_sold, page,
        )  # fmt: skip
        self._stack = QStackedLayout()
        self._stack.addWidget(self.split)
        self._stack.addWidget(self.unsold)
        days = QHBoxLayout()
        for title, field in ((say("First day"), self.first), (say("Last day"), self.last)):
            label = QLabel(title, page)
            label.setBuddy(field)
            days.addWidget(label)
            days.addWidget(field)
        days.addStretch(1)
        layout = QVBoxLayout(page)
        layout.setContentsMargins(4, 4, 4, 4)
        layout.addLayout(days)
        layout.addWidget(self.said)
        layout.addLayout(self._stack, 1)
        layout.addWidget(self.told)

    def find_field(self) -> QWidget:
        """The filter of the seasons, or the first day."""
        return self.season_page.list.filter if self.currentWidget() is self.season_page else self.first

    # What is shown

    def moved(self) -> None:
        """The book or the day changed: show it now where it is seen, else when it is."""
        self._stale = True
        if self.isVisible():
            self.refresh()

    def showEvent(self, event: QShowEvent) -> None:
        """Being seen is when figures are wanted."""
        super().showEvent(event)
        if self._stale:
            self.refresh()

    def refresh(self) -> None:
        """The days as they stand, and what is known of them."""
        self._stale = False
        figures, first, last = self.desk.document.figures, self._first_day(), self._last_day()
        self.first.set_day(first)
        self.last.set_day(last)
        fault = self.first.refusal or self.last.refusal
        if first > last:
            said = say("The first day lies after the last one: change one of them.")
        else:
            said = fault.text if fault is not None else ""
        self.said.say(said)
        sold = last_period(figures.book, last) is not None
        self._stack.setCurrentWidget(self.split if sold else self.unsold)
        asked = (figures.book, min(first, last), last, figures.day)
        self._latest.ask(asked, partial(_work, *asked))
        found: Movement | None = self._latest.of(asked)
        if found is not None:
            self.season_page.show_seasons(found.seasons, found.widths)
            self._show_index(found.path if first <= last else ())
            return
        self.season_page.wait()
        if self._other(first, last):
            self.hint.setText(say("It is being worked out…"))
            self._show_index(())
        else:
            self.told.say(say("It is being worked out anew…"))

    def _other(self, first: date, last: date) -> bool:
        """Whether what is shown is of other days: it goes at once then, and stays until the new figures otherwise."""
        index = self._index()
        return index is None or (index.day_a, index.day_b) != (first, last)

    def _show_index(self, path: Sequence[PriceIndex]) -> None:
        self._path = tuple(path)
        index, figures, form = self._index(), self.desk.document.figures, self.desk.format
        fresh = not self.figures.total
        self.figures.set_rows(figure_rows(index, form) if index is not None else [])
        self.goods.set_rows(good_rows(index, figures) if index is not None else [])
        self.told.say(self._left_out(index) if index is not None else "")
        self.picture.refresh()
        if fresh:
            for pane in (self.figure_list, self.good_list):
                pane.table.fit_columns()

    def _left_out(self, index: PriceIndex) -> str:
        """What is in no figure, in words."""
        said = []
        if n := len(index.unpriced):
            said.append(say_many("{n} ingredient that was used is not in it: it had no price on one of the days.",
                                 "{n} ingredients that were used are not in it: they had no price on one of the days.",
                                 n))  # fmt: skip
        without = dict.fromkeys((*index.earlier.without, *index.later.without))
        if without:
            serves = self.desk.document.view.serves
            names = ", ".join(own(serves[s][0].name if s in serves else s) for s in without)
            said.append(say_many("{n} drink that was sold cannot be worked out and is in no figure: {names}.",
                                 "{n} drinks that were sold cannot be worked out and are in no figure: {names}.",
                                 len(without), names=names))  # fmt: skip
        return " ".join(said)

    def _index(self) -> PriceIndex | None:
        return self._path[-1] if self._path else None

    def _figure(self, wide: float, tall: float, measure: Measure) -> Figure | None:
        points = points_of(self._path)
        if sum(p.laspeyres is not None for p in points) < 2:
            return None
        form = self.desk.format
        return index_figure(
            points, wide, max(120.0, tall - 2.0), measure, partial(form.number, places=PLACES), form.day
        )

    def _table(self) -> list[list[str]]:
        return path_table(self._path, self.desk.format)

    # The days

    def _today(self) -> date:
        return self.desk.document.day

    def _last_day(self) -> date:
        return self._last or self._today()

    def _first_day(self) -> date:
        """The day that was typed, or a year before the last, but not before the first quote."""
        if self._first is not None:
            return self._first
        last, quotes = self._last_day(), self.desk.document.book.all(Quote).values()
        return min(last, max(year_before(last), min((q.since for q in quotes), default=date.min)))

    def _begun(self, day: date) -> None:
        self._first = day
        self._typed(self.first)

    def _ended(self, day: date) -> None:
        self._last = None if day == self._today() else day
        self._typed(self.last)

    def _typed(self, field: DayField) -> None:
        self.refresh()
        QTimer.singleShot(0, field, field.revert)  # "+7" is shown as a day, once the field has told its text

    def _refused(self, refusal: Refusal) -> None:
        self.said.say(refusal.text)

    # What is done

    def _go(self, key: str) -> None:
        if key:
            self.desk.go(Where("good", key))

    def ask_sold(self) -> None:
        """What was sold in a period: without it nobody knows what the house uses."""
        from ui.places.menu.sold import SoldDialog  # noqa: PLC0415  the menu comes with it

        SoldDialog(self.desk, self).open()


def year_before(day: date) -> date:
    """The same day a year before; the last of February for a leap day."""
    return day.replace(year=day.year - 1) if (day.month, day.day) != (2, 29) else date(day.year - 1, 2, 28)


def days_between(first: date, last: date) -> list[date]:
    """Both ends, and between them the first of each month, or of each week where they are near."""
    if (last - first).days <= SHORT:
        between = [first + timedelta(days=n) for n in range(7, (last - first).days, 7)]
    else:
        months = range(first.year * 12 + first.month, last.year * 12 + last.month)
        between = [day for n in months if first < (day := date(n // 12, n % 12 + 1, 1)) < last]
    every = 1 + len(between) // MOST
    return [first, *between[::every], last]


def _work(book: Book, first: date, last: date, day: date, tell: Progress) -> Movement:
    path = series(book, days_between(first, last))
    tell(1, 2, "")
    found = seasons(book, day)
    return Movement(path, found, {s.good: width(book, s.good) for s in found})
