"""Hours: machines and people with their hours a week, the best mix of drinks for them, and make or buy."""

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import QSignalBlocker, Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QHBoxLayout,
    QLabel,
    QSplitter,
    QStackedWidget,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from costing.menu.mix import Mix
from costing.tongue import say
from ui.desk import Desk, Where
from ui.document import Moved
from ui.fault import KNOWN
from ui.latest import Latest
from ui.models.table import RowTable
from ui.places.base import Place, split_text, take_split
from ui.places.cellar.buying.saying import Hint, Line
from ui.places.menu.hours.drinks import BatchRow, DrinkRow, batch_columns, batch_rows, drink_columns, drink_rows
from ui.places.menu.hours.machines import MachineRow, machine_columns, machine_rows
from ui.places.menu.hours.makebuy import MakeOrBuyPanel
from ui.places.menu.hours.saying import doubts, summary, to_enter
from ui.places.menu.hours.work import Asked, Found
from ui.places.menu.questions.blank import Blank, sentence
from ui.places.menu.questions.reading import read_share
from ui.places.menu.standing import Standing, StandingBar
from ui.widgets.acts import acts
from ui.widgets.listpane import ListPane
from ui.widgets.notice import EmptyPlace
from ui.widgets.roomy import RoomySplitter, scrolled

HOURS = 1
"""The column of hours, which is come to first."""
LINES = 25
"""Lines of text that the tables are tall at least, together."""
MOST = 10.0
"""How much more guests may be said to take: ten times as many."""


class HoursPage(Place):
    """Hours are typed in the table above; what follows from them stands below it."""

    def __init__(self, desk: Desk, standing: Standing, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.standing = standing
        self.bar = StandingBar(standing, self)
        self._found: Found | None = None
        self._resource, self._more = "", 0.0
        self._latest = Latest(self)
        self._latest.known.connect(self._known)
        self.machines: RowTable[MachineRow] = RowTable(machine_columns(desk.format), lambda r: r.key, desk, self)
        self.machine_list = ListPane(self.machines, say("Hours of machines and people"), None, self)
        self.drinks: RowTable[DrinkRow] = RowTable(drink_columns(desk.format), lambda r: r.key, desk, self)
        self.unsold = EmptyPlace(
            say("The best mix stands on what guests ask for: read the sales of some weeks first, of drinks on a menu. "
                "Hours can be typed above all the same."),
            say("Read sales…"), self._go_sold, self,
        )  # fmt: skip
        self.waiting = Hint(say("It is being worked out…"), self)
        self.empty = QStackedWidget(self)
        self.empty.addWidget(self.unsold)
        self.empty.addWidget(self.waiting)
        self.drink_list = ListPane(self.drinks, say("Drinks in the best mix"), self.empty, self)
        self.batches: RowTable[BatchRow] = RowTable(batch_columns(desk.format), lambda r: r.key, desk, self)
        self.batch_list = ListPane(self.batches, say("Whole batches"), None, self)
        for pane in (self.machine_list, self.batch_list):
            pane.filter.hide()
            pane.count.hide()
        self.said = QLabel(self)
        self.said.setProperty("heading", True)
        self.said.setWordWrap(True)
        self.said.setTextFormat(Qt.TextFormat.PlainText)
        self.fault, self.told = Line(self, kind="error"), Line(self, kind="faint")
        self.more = Blank(say("Guests would take more"), self, hint="0 %", beside=True,
                          about=say("How much more than was sold, where you sold out: 10 %"))  # fmt: skip
        self.whole = QCheckBox(say("In whole batches"), self)
        self.of = QComboBox(self)
        self.of.setAccessibleName(say("Hours that drinks are ranked by"))
        self.of.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        self.bought = MakeOrBuyPanel(desk, self)
        self._lay_out()
        self._connect()
        self._actions = self._make_actions()

    def _lay_out(self) -> None:
        inside = QWidget(self)
        of = QLabel(say("An hour of"), inside)
        of.setBuddy(self.of)
        asked = QHBoxLayout()
        for widget in (of, self.of, self.more, self.whole):
            asked.addWidget(widget)
        asked.addStretch(1)
        for pane in (self.machine_list, self.drink_list, self.batch_list):
            pane.table.horizontalHeader().setStretchLastSection(False)
        self.tabs = QTabWidget(self)
        self.tabs.setAccessibleName(say("The best mix"))
        self.tabs.addTab(self.drink_list, say("Drinks"))
        self.batch_list.hide()
        corner = QWidget(self.tabs)
        filters = QHBoxLayout(corner)
        filters.setContentsMargins(4, 0, 4, 2)
        filters.addWidget(self.drink_list.filter)
        filters.addWidget(self.drink_list.count)
        self.tabs.setCornerWidget(corner)
        self.left = QSplitter(Qt.Orientation.Vertical, self)
        self.left.addWidget(self.machine_list)
        self.left.addWidget(self.tabs)
        self.left.setSizes([270, 205])
        self.split = RoomySplitter(LINES, Qt.Orientation.Horizontal, self)
        self.split.addWidget(self.left)
        self.split.addWidget(scrolled(self.bought, self))
        self.split.setStretchFactor(0, 1)
        self.split.setSizes([770, 300])
        column = QVBoxLayout(inside)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addWidget(self.said)
        column.addWidget(self.fault)
        column.addLayout(asked)
        column.addWidget(self.split, 1)
        column.addWidget(self.told)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(6, 6, 6, 4)
        layout.setSpacing(4)
        layout.addWidget(self.bar)
        layout.addWidget(scrolled(inside, self), 1)

    def _connect(self) -> None:
        self.standing.changed.connect(self._sales_moved)
        self.more.changed.connect(self._changed)
        self.whole.toggled.connect(self._changed)
        self.of.activated.connect(self._ranked_by)
        self.machine_list.table.explained.connect(self.desk.explain)
        self.drink_list.table.explained.connect(self.desk.explain)
        self.drink_list.table.opened.connect(self._open)
        self.batch_list.table.opened.connect(self._open_batch)

    def _make_actions(self) -> list[QAction]:
        return acts(
            self,
            [
                (say("Hours of machines and people"), "Ctrl+Shift+H", partial(self._to, self.machine_list.table)),
                (say("Drinks in the best mix"), "Ctrl+Shift+L", partial(self._to, self.drink_list.table)),
                (say("How much more guests would take"), "Ctrl+Shift+M", partial(self._to, self.more.field)),
                (say("In whole batches"), "Ctrl+Shift+B", self.whole.toggle),
                (say("Make or buy"), "Ctrl+Shift+Y", partial(self._to, self.bought.made.field)),
            ],
        )

    # Place

    def refresh(self, moved: Moved) -> None:
        """Hours as the book has them, and what follows."""
        self.bar.refresh()
        mix = self.standing.mix() if self.standing.periods() else None
        self.empty.setCurrentWidget(self.waiting if mix is not None and mix.items else self.unsold)
        readable = self._read_more()
        if mix is None or not mix.items:
            self._latest.forget()
            self._found = None
            self._show(mix, "")
            return
        asked = Asked(self.desk.document.figures, mix, self._more, self.whole.isChecked())
        self._latest.ask(asked, asked)
        found: Found | None = self._latest.of(asked)
        if found is not None or self._found is None or self._found.of.mix.periods != mix.periods:
            self._found = found
        note = "" if readable else say("How much more guests would take cannot be read: the figures are those before "
                                       "it was typed.")  # fmt: skip
        if found is None:
            wait = say("It is being worked out…") if self._found is None else say("It is being worked out anew…")
            note = f"{note} {wait}".strip()
        self._show(mix, note)

    def _read_more(self) -> bool:
        """Take what the field says; what cannot be read leaves what it said before, and is told there."""
        try:
            more = read_share(self.more.text, MOST) if self.more.text.strip() else 0.0
        except KNOWN as error:
            self.more.wrong_because(error)
            return False
        self.more.right()
        self._more = more
        return True

    def _show(self, mix: Mix | None, note: str) -> None:
        found, form = self._found, self.desk.format
        rows = machine_rows(self.desk.document.figures, mix, found)
        fresh = not self.machines.total, not self.drinks.total
        with QSignalBlocker(self.machine_list.table):
            self.machines.set_rows(rows)
            if self.machines.rowCount() and not self.machine_list.table.currentIndex().isValid():
                self.machine_list.table.come_to(self.machines.index(0, HOURS))
        self._fill_resources()
        self._show_drinks()
        self._show_batches()
        for is_fresh, pane in zip(fresh, (self.machine_list, self.drink_list), strict=True):
            if is_fresh and self.isVisible():
                pane.table.fit_columns()
        if not any(r.hours is not None for r in rows):
            self.said.setText(to_enter(rows))
        elif found is not None:
            self.said.setText(summary(found, form))
        else:
            self.said.setText("")
        self.said.setVisible(bool(self.said.text()))
        self.fault.say(sentence(found.fault) if found is not None else "")
        self.told.say(" ".join(filter(None, (note, doubts(found, rows, form)))))
        self.bought.show_found(found)

    def _show_batches(self) -> None:
        """A page of whole batches while the mix is worked out in them."""
        at = self.tabs.indexOf(self.batch_list)
        if self.whole.isChecked() and at < 0:
            self.tabs.addTab(self.batch_list, say("Whole batches"))
        elif not self.whole.isChecked() and at >= 0:
            self.tabs.removeTab(at)

    def _fill_resources(self) -> None:
        """What drinks can be ranked by: what is short first, what is asked for most before the rest."""
        found = self._found
        wanted: list[tuple[str, str]] = []
        if found is not None:
            wanted = [(u.resource.key, u.resource.name) for u in found.binding]
            wanted += [(u.resource.key, u.resource.name) for u in found.best.uses if not u.binds]
            wanted += [(u.id, u.name) for u in sorted(found.capacity.unsaid, key=lambda u: -u.wanted)]
        if [(self.of.itemData(n), self.of.itemText(n)) for n in range(self.of.count())] != wanted:
            self.of.clear()
            for key, name in wanted:
                self.of.addItem(name, key)
        self.of.setEnabled(bool(wanted))
        at = self.of.findData(self._resource) if self._resource else 0
        self.of.setCurrentIndex(max(0, at) if wanted else -1)

    def _show_drinks(self) -> None:
        found, resource = self._found, str(self.of.currentData() or "")
        with QSignalBlocker(self.drink_list.table):
            self.drinks.set_rows(drink_rows(found, resource) if found is not None else [])
        self.batches.set_rows(batch_rows(found) if found is not None else [])

    def _known(self) -> None:
        self.refresh(Moved())

    def _changed(self, *_: object) -> None:
        if self.isVisible():
            self.refresh(Moved())

    def _sales_moved(self) -> None:
        self._moved(Moved(everything=True))

    def actions_of(self) -> Sequence[QAction]:
        """What can be done here."""
        return self._actions

    def first(self) -> QWidget:
        """The table of machines and people."""
        return self.machine_list.table

    def find_field(self) -> QWidget:
        """The filter of the drinks."""
        return self.drink_list.filter

    def save_state(self) -> dict[str, object]:
        """Fields, the switch, and where the splitters stand."""
        return {
            "more": self.more.text, "batches": self.whole.isChecked(), "resource": self._resource,
            "bought": self.bought.save_state(), "left": split_text(self.left), "split": split_text(self.split),
        }  # fmt: skip

    def restore_state(self, state: dict[str, object]) -> None:
        """As it stood."""
        more, resource = state.get("more"), state.get("resource")
        if isinstance(more, str):
            self.more.put(more)
        self.whole.setChecked(state.get("batches") is True)
        self._resource = resource if isinstance(resource, str) else ""
        self.bought.restore_state(state.get("bought"))
        take_split(self.left, state.get("left"))
        take_split(self.split, state.get("split"))

    # What is done

    def _to(self, widget: QWidget) -> None:
        widget.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _ranked_by(self, _: int) -> None:
        self._resource = str(self.of.currentData() or "")
        self._show_drinks()

    def _open(self, key: str) -> None:
        row = next((r for r in self.drinks.rows() if r.key == key), None)
        if row is not None:
            self.desk.go(Where("serve", row.serve, "price"))

    def _open_batch(self, key: str) -> None:
        self.desk.go(Where("preparation", key))

    def _go_sold(self) -> None:
        self.desk.go(Where("menu", ":sold"))
