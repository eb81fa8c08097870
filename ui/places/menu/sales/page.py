"""Sold: the periods in the book with what each drink sold, and the files of a till that bring more of them."""

from collections.abc import Sequence
from functools import partial
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QPushButton, QSplitter, QStackedWidget, QVBoxLayout, QWidget

from costing.book.selling import SalesPeriod
from costing.edits import sold
from costing.tongue import say, say_many
from ui.desk import Desk, Where
from ui.document import Moved
from ui.fault import refusal_of
from ui.frame.dropping import FILES
from ui.models.table import RowTable
from ui.places.base import Place, split_text, take_split
from ui.places.menu.sales.case import ENDINGS, files_in
from ui.places.menu.sales.detail import PeriodDetail
from ui.places.menu.sales.known import KnownPage
from ui.places.menu.sales.review import ReviewPage
from ui.places.menu.sales.rows import period_columns
from ui.places.menu.sales.why import PeriodWhy
from ui.places.menu.sold import SoldDialog
from ui.places.menu.standing import Standing, StandingBar
from ui.widgets.acts import acts
from ui.widgets.listpane import ListPane
from ui.widgets.notice import EmptyPlace

FOLDER = "sales/folder"


class SoldPage(Place):
    """The periods, or the files that are looked at, or what buttons mean."""

    kinds = ("sales", "button", "till")

    def __init__(self, desk: Desk, standing: Standing, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.standing = standing
        self.bar = StandingBar(standing, self)
        self.rows: RowTable[SalesPeriod] = RowTable(period_columns(desk.format, _why), _id, desk, self)
        self.empty = EmptyPlace(
            say("Nothing has been sold yet. Read the files of the till, as many weeks as there are: what it calls its "
                "buttons is asked once.\nFiles to try this with lie in the folder sample_data/sales."),
            say("Read sales files…"), self.ask_files, self,
        )  # fmt: skip
        self.list = ListPane(self.rows, say("Periods that were sold"), self.empty, self)
        self.list.table.current_key.connect(self._chosen)
        self.list.table.explained.connect(desk.explain)
        self.list.table.opened.connect(self._open)
        self.list.table.horizontalHeader().setStretchLastSection(False)
        self.detail = PeriodDetail(desk, self)
        self.review = ReviewPage(desk, self)
        self.review.closed.connect(self._home)
        self.review.taken.connect(self._taken)
        self.known = KnownPage(desk, self)
        self.known.left.connect(self._home)
        self._lay_out()
        standing.changed.connect(self.bar.refresh)
        self._actions = self._make_actions()

    def _lay_out(self) -> None:
        self.home = QWidget(self)
        row = QHBoxLayout()
        for text, slot in ((say("Read sales files…"), self.ask_files), (say("Type what was sold…"), self.ask_sold),
                           (say("Buttons…"), self.show_buttons)):  # fmt: skip
            button = QPushButton(text, self.home)
            button.clicked.connect(slot)
            row.addWidget(button)
        row.addStretch(1)
        self.split = QSplitter(Qt.Orientation.Vertical, self.home)
        self.split.addWidget(self.list)
        self.split.addWidget(self.detail)
        self.split.setSizes([220, 260])
        inside = QVBoxLayout(self.home)
        inside.setContentsMargins(0, 0, 0, 0)
        inside.setSpacing(4)
        inside.addWidget(self.bar)
        inside.addLayout(row)
        inside.addWidget(self.split, 1)
        self.stack = QStackedWidget(self)
        for page in (self.home, self.review, self.known):
            self.stack.addWidget(page)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(6, 6, 6, 4)
        layout.addWidget(self.stack)

    def _make_actions(self) -> list[QAction]:
        out = acts(
            self,
            [
                (say("Read sales files…"), "Ctrl+Shift+O", self.ask_files),
                (say("Type what was sold…"), "Ctrl+Shift+I", self.ask_sold),
                (say("Buttons: what they mean…"), "Ctrl+Shift+B", self.show_buttons),
            ],
        )
        return [
            *out, *acts(self.list.table, [(say("Remove this period"), "Delete", self.remove)], alone=True),
            *self.review.acts,
        ]  # fmt: skip

    # Place

    def refresh(self, moved: Moved) -> None:
        """The periods as they are; files that are looked at are judged anew."""
        self.bar.refresh()
        table = self.list.table
        periods = self.desk.document.book.all(SalesPeriod).values()
        fresh = not self.rows.total
        self.rows.set_rows(sorted(periods, key=lambda p: (p.since, p.until, p.id), reverse=True))
        if self.rows.rowCount() and not table.currentIndex().isValid():
            table.come_to(self.rows.index(0, 0))
        if fresh and self.rows.rowCount():
            table.fit_columns()
        self.detail.setVisible(self.rows.total > 0)
        self.detail.show_period(self._period())
        self.known.refresh()
        self.review.book_moved()

    def show_item(self, where: Where) -> bool:
        """Go to a period, a button or a till; or read the files that are meant."""
        if where.kind == "sales" and where.part == FILES:
            self.open_files([Path(line) for line in where.id.splitlines()])
            return True
        if where.kind in ("button", "till"):
            self.show_buttons()
            return self.known.show_item(where.kind, where.id)
        self._home()
        return self.list.table.choose(where.id)

    def actions_of(self) -> Sequence[QAction]:
        """What can be done here."""
        return self._actions

    def find_field(self) -> QWidget:
        """The filter of what is seen."""
        if self.stack.currentWidget() is self.review:
            return self.review.buttons.list.filter
        return (self.known.list if self.stack.currentWidget() is self.known else self.list).filter

    def first(self) -> QWidget:
        """The table that is seen, or the one thing to do first."""
        if self.stack.currentWidget() is self.review:
            return self.review.first()
        if self.stack.currentWidget() is self.known:
            return self.known.list.table
        if not self.rows.total:
            return self.empty.findChild(QPushButton) or self.list.table
        return self.list.table

    def unkept(self) -> Sequence[str]:
        """Texts that were typed and do not stand."""
        tables = (self.known.rows, self.detail.left, self.review.buttons.rows)
        return [text for table in tables for text in table.unkept()]

    def save_state(self) -> dict[str, object]:
        """Where the splitters stand, and the chosen period."""
        period = self._period()
        return {"split": split_text(self.split), "files": split_text(self.review.split),
                "known": split_text(self.known.split), "chosen": period.id if period is not None else ""}  # fmt: skip

    def restore_state(self, state: dict[str, object]) -> None:
        """As it stood."""
        for split, name in ((self.split, "split"), (self.review.split, "files"), (self.known.split, "known")):
            take_split(split, state.get(name))
        chosen = state.get("chosen")
        if isinstance(chosen, str) and chosen:
            self.catch_up()
            self.list.table.choose(chosen)

    # What is shown

    def _period(self) -> SalesPeriod | None:
        index = self.list.table.currentIndex()
        return self.rows.row(index.row()) if index.isValid() else None

    def _chosen(self, _: str = "") -> None:
        self.detail.show_period(self._period())

    def _open(self, _: str = "") -> None:
        """Enter goes down into the period."""
        self.detail.tabs.setCurrentIndex(0)
        table = self.detail.drink_list.table
        if self.detail.drinks.rowCount() and not table.currentIndex().isValid():
            table.come_to(self.detail.drinks.index(0, 0))
        table.setFocus(Qt.FocusReason.OtherFocusReason)

    def _home(self) -> None:
        if self.stack.currentWidget() is not self.home:
            self.stack.setCurrentWidget(self.home)
            self.first().setFocus(Qt.FocusReason.OtherFocusReason)

    def _taken(self, files: int) -> None:
        """What counts now."""
        taken = say_many("{n} file is taken.", "{n} files are taken.", files)
        self.desk.tell(say("{taken} What counts now: {words}.", taken=taken, words=self.standing.words()))

    # Acts

    def ask_files(self) -> None:
        """Choose files of a till, as many as there are."""
        kept = self.desk.memory.get(FOLDER)
        kinds = f"{say('Files of a till')} ({' '.join('*' + one for one in ENDINGS)});;{say('All files')} (*)"
        paths, _ = QFileDialog.getOpenFileNames(
            self, say("Files of a till"), kept if isinstance(kept, str) else "", kinds
        )
        if paths:
            self.open_files([Path(path) for path in paths])

    def open_files(self, paths: Sequence[Path]) -> bool:
        """Look at files, those of a folder too; False where there is none, which is said."""
        try:
            files = files_in(paths)
        except OSError as error:
            self.desk.refuse(refusal_of(error))
            return False
        if not files:
            self.desk.tell(say("No file of a till is in that folder: it holds none of {endings}.",
                               endings=" ".join(ENDINGS)))  # fmt: skip
            return False
        self.desk.memory.put(FOLDER, str(files[0].parent))
        self.stack.setCurrentWidget(self.review)
        self.review.open_files(files)
        return True

    def ask_sold(self) -> None:
        """Type what was sold."""
        SoldDialog(self.desk, self).open()

    def show_buttons(self) -> None:
        """What buttons mean."""
        self.known.refresh()
        self.stack.setCurrentWidget(self.known)
        table = self.known.list.table
        if self.known.rows.rowCount() and not table.currentIndex().isValid():
            table.come_to(self.known.rows.index(0, 0))
        table.setFocus(Qt.FocusReason.OtherFocusReason)

    def remove(self) -> None:
        """Take the chosen period out; undo brings it back."""
        period = self._period()
        if period is not None:
            self.desk.attempt(partial(sold.remove, self.desk.document.book, period.id))


def _why(period: SalesPeriod) -> object:
    return PeriodWhy(period.id)


def _id(period: SalesPeriod) -> str:
    return period.id
