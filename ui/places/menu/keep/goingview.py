"""If it goes: a table in which drinks leave and come back, and what that does to the money."""

from collections.abc import Collection, Sequence

from PySide6.QtCore import QSignalBlocker, Qt
from PySide6.QtWidgets import QLabel, QPushButton, QVBoxLayout, QWidget

from costing.report.words import series
from costing.tongue import say, say_many
from ui.desk import Desk
from ui.format import UNKNOWN, own
from ui.models.table import RowTable
from ui.places.menu.keep.going import Going, GoingRow, going, going_columns
from ui.places.menu.keep.rows import KeepRow, name_of
from ui.places.menu.keep.why import going_why
from ui.places.menu.keep.work import Kept
from ui.widgets.acts import acts
from ui.widgets.figure import FigureStrip
from ui.widgets.listpane import ListPane


class GoingView(QWidget):
    """Space takes a drink out of the set or puts it back; nothing in the book moves."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._form = desk.format
        self._kept: Kept | None = None
        self._shown: Sequence[KeepRow] = ()
        self.gone: frozenset[str] = frozenset()
        self.found = Going()
        self.rows: RowTable[GoingRow] = RowTable(going_columns(desk.format), _key, desk, self)
        self.list = ListPane(self.rows, say("What the classes become"), None, self)
        self.turn = QPushButton(say("Leaves or stays"), self)
        self.turn.setToolTip(say("The selected drinks leave, or come back (Space in the table)"))
        self.turn.clicked.connect(self.toggle)
        self.list.top.addWidget(self.turn)
        self.actions_of = acts(
            self.list.table, [(say("The selected drinks leave or stay"), "Space", self.toggle)], alone=True
        )
        self.title, self.told = QLabel(self), QLabel(self)
        self.title.setProperty("heading", True)
        self.told.setProperty("faint", True)
        self.money = FigureStrip(
            say("Margins of all that was sold"),
            [("now", say("All margins now")), ("lost", say("If their sales are lost")),
             ("spread", say("If they go to the others"))],
            desk, 3,
        )  # fmt: skip
        for key in ("now", "lost", "spread"):
            self.money[key].explained_by(self._subject)
        for label in (self.title, self.told):
            label.setTextFormat(Qt.TextFormat.PlainText)
            label.setWordWrap(True)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(4, 6, 4, 0)
        layout.addWidget(self.title)
        layout.addWidget(self.list, 1)
        layout.addWidget(self.money)
        layout.addWidget(self.told)

    def show_rows(self, kept: Kept | None, rows: Sequence[KeepRow]) -> None:
        """The drinks that are judged; those that left stay away while they are among them."""
        self._kept, self._shown = kept, rows
        self._work_out()

    def let_go(self, keys: Collection[str]) -> None:
        """These leave, and no others."""
        self.gone = frozenset(keys)
        self._work_out()

    def toggle(self) -> None:
        """What is selected leaves; where all of it has left, it comes back."""
        drinks = {row.key for row in self._shown if row.drink is not None}
        chosen = drinks & set(self.list.table.chosen())
        if chosen:
            self.gone = self.gone - chosen if chosen <= self.gone else self.gone | chosen
            self._work_out()

    def _subject(self) -> object | None:
        return going_why(self._kept, self.found, self._form) if self._kept is not None else None

    def _work_out(self) -> None:
        kept, fresh = self._kept, not self.rows.total
        self.found = going(self._shown, kept.judging, self.gone) if kept is not None else Going()
        with QSignalBlocker(self.list.table):
            self.rows.set_rows(self.found.rows)
        if fresh and self.isVisible():
            self.list.table.fit_columns()
        self.title.setText(self._title())
        self.told.setText(self._told())
        self._show_money()

    def _title(self) -> str:
        leave = self.found.leave
        if not leave:
            return say("Nothing leaves yet: choose drinks, and press Space.")
        names = series(own(name_of(row)) for row in leave)
        if not self.found.left:
            return say("Without {names}: nothing is left in a section that was sold.", names=names)
        return say_many(
            "Without {names}: {n} other drink changes its class.",
            "Without {names}: {n} other drinks change their class.", self.found.moved, names=names,
        )  # fmt: skip

    def _told(self) -> str:
        said = [
            say("Classes as the figures fall, whatever their chances; money of the sales looked at."),
            say("Nothing here changes the menu."),
        ]
        unsure = [own(name_of(row)) for row in self.found.leave if row.drink is not None and not row.drink.sure]
        if unsure:
            said.insert(0, say("Not sure, and so no drink to take off for its class: {names}.", names=series(unsure)))
        return " ".join(said)

    def _show_money(self) -> None:
        form, found = self._form, self.found
        self.money["now"].show_figure(form.money(found.now) if self._kept is not None else UNKNOWN)
        for key, value in (("lost", found.lost), ("spread", found.spread)):
            text = form.signed(value - found.now) if found.leave else UNKNOWN
            note = say("All margins then: {money}", money=form.money(value)) if found.leave else ""
            self.money[key].show_figure(text, note=note)


def _key(row: GoingRow) -> str:
    return row.of.key
