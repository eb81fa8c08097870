"""The menu: every line with its price and what that leaves; prices are typed in place."""

from collections.abc import Sequence
from datetime import date
from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QInputDialog, QLabel, QPushButton, QSplitter, QVBoxLayout, QWidget

from costing.book.change import Step
from costing.book.records import Menu
from costing.edits import menus
from costing.report.words import layer_word
from costing.tongue import say
from ui.desk import Desk, Where
from ui.document import Moved
from ui.fault import Refusal
from ui.models.table import RowTable
from ui.places.base import Place, split_text, take_split
from ui.places.menu.head import MenuHead, day_wide, labelled
from ui.places.menu.history import PriceHistory
from ui.places.menu.newprices.keeping import turn_held
from ui.places.menu.rows import MenuRow, drink_name, line_key, menu_columns, menu_rows
from ui.places.menu.suggesting import suggestions_text, use_suggestions
from ui.range_why import RangeOf
from ui.ranges import ranges_of
from ui.widgets.acts import acts
from ui.widgets.fields import ChoiceField, DayField, read_day
from ui.widgets.listpane import ListPane
from ui.widgets.notice import EmptyPlace

PRICE = 2
"""The column that is come to first."""


class PricesPage(Place):
    """Menus, their sections and dated prices."""

    kinds = ("menu",)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.head = MenuHead(desk, self)
        self.tabs, self.name = self.head.tabs, self.head.name
        self.since = DayField(say("Prices typed here hold from"), desk.format, self._today, self)
        self.add = ChoiceField(say("Put a drink on the menu"), self._off_menu, self, hint=say("Put a drink on it"))
        self.rows: RowTable[MenuRow] = RowTable(menu_columns(desk, self.day), _key, desk, self)
        empty = EmptyPlace(
            say("A menu goes here: sections, drinks and the prices they are printed at."), say("New menu"), self.ask_new
        )
        self.list = ListPane(self.rows, say("The menu"), empty, self)
        self.use = QPushButton(say("Use suggestions"), self)
        self.use.setToolTip(say("The suggested prices of the selected lines (Ctrl+Enter in the table)"))
        self.use.setProperty("chief", True)
        self.history = PriceHistory(desk, self)
        self.history.hide()
        self.base = QLabel(self)
        self.base.setProperty("faint", True)
        self.base.setWordWrap(True)
        self._lay_out()
        self.since.picked.connect(self.since.set_day)  # what is typed here stands, and "+7" is shown as a day
        desk.document.day_changed.connect(self._another_day)
        self.head.chosen.connect(self._show_chosen)
        self.add.committed.connect(self._add)
        self.list.table.explained.connect(desk.explain)
        self.list.table.opened.connect(self._open)
        self.list.table.current_key.connect(self._came_to)
        self.list.table.selectionModel().selectionChanged.connect(self._count)
        self.use.clicked.connect(self.use_suggestions)
        self.ranges = ranges_of(desk)
        self.ranges.known.connect(self._ranges_known)
        self._actions = self._make_actions()

    def _lay_out(self) -> None:
        self.head.row.addWidget(self.use)
        self.list.top.addWidget(self.add, 1)
        self.list.top.addWidget(labelled(say("Prices hold from"), self.since))
        self.list.top.addWidget(day_wide(self.since))
        self.split = QSplitter(Qt.Orientation.Vertical, self)
        self.split.addWidget(self.list)
        self.split.addWidget(self.history)
        self.split.setSizes([420, 170])
        self.split.setStretchFactor(0, 1)
        self.split.setCollapsible(0, False)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(6, 6, 6, 4)
        layout.addWidget(self.head)
        layout.addWidget(self.split, 1)
        layout.addWidget(self.base)

    def _make_actions(self) -> list[QAction]:
        out = acts(
            self,
            [
                (say("Put a drink on the menu"), "Ctrl+Shift+I", self.focus_add),
                (say("Line up"), "Ctrl+Up", partial(self._move, -1)),
                (say("Line down"), "Ctrl+Down", partial(self._move, 1)),
                (say("Prices of this line over time"), "Ctrl+Shift+H", self.show_history),
                (say("What this drink may cost"), "Ctrl+Shift+R", self.explain_range),
                (say("New section…"), "Ctrl+Shift+E", self.ask_section),
                (say("New menu…"), "Ctrl+Shift+N", self.ask_new),
                (say("Remove this menu"), "Ctrl+Shift+Delete", self.remove_menu),
                (say("Print the menu cost card…"), QKeySequence.StandardKey.Print, self.print_card),
            ],
        )
        # The table's own, so that Delete and Ctrl+Enter in a field beside it mean the field and no more.
        own = acts(
            self.list.table,
            [
                (say("Use suggestions for what is selected"), "Ctrl+Return", self.use_suggestions),
                (say("Take what is selected off the menu"), "Delete", self.remove_selected),
                (say("Hold the selected prices, or let them move"), "Space", self.hold),
            ],
            alone=True,
        )
        return [own[0], *out, *own[1:]]

    # Place

    def refresh(self, moved: Moved) -> None:
        """Menus of the book, and the lines of the chosen one."""
        if not self.since.stands:
            self.since.set_day(self.desk.document.day)
        self.ranges.ask()
        self._show_chosen()

    def _ranges_known(self) -> None:
        """Dots beside the costs."""
        if not self.isVisible():
            self._stale = True
            return
        document = self.desk.document
        menu = document.book.all(Menu).get(self.head.menu)
        self.rows.set_rows(menu_rows(document.figures, menu) if menu is not None else [])

    def explain_range(self) -> None:
        """What the range of a drink's cost stands on, in the why pane."""
        row = self._at()
        if row is not None and row.line is not None:
            self.desk.explain(RangeOf(row.line.serve))

    def _another_day(self, day: date) -> None:
        """Prices hold from the day that is looked at, until another is typed; that one stays until then."""
        self.since.revert()
        self.since.set_day(day)

    def _show_chosen(self, _: str = "") -> None:
        menu, document = self.head.refresh(), self.desk.document
        for widget in (self.since, self.add):
            widget.setEnabled(menu is not None)
        self.rows.set_rows(menu_rows(document.figures, menu) if menu is not None else [])
        if not self.list.table.horizontalHeader().isSortIndicatorShown():
            self.rows.sort(-1)  # rows that are there stay where they are, and a line may just have been moved
        self._count()
        self._came_to()
        if menu is None:
            self.base.setText("")
            return
        terms, house = document.view.terms, document.book.house
        said = []
        if menu.id not in document.view.menus:
            said.append(say("This menu is not in force on the day that is looked at."))
        if terms is None:
            said.append(say("The house has no taxes, price points and target on this day, so nothing is suggested."))
        layers = " + ".join(layer_word(layer) for layer in (terms.base if terms else ("materials",)))
        said.append(
            say(
                "Money in {currency}. Cost and pour cost stand on {layers}; pour cost is a share of the net price.",
                currency=house.currency if house else "?",
                layers=layers,
            )
        )
        self.base.setText(" ".join(said))

    def _today(self) -> date:
        return self.desk.document.day

    def day(self) -> date:
        """The day that prices typed here hold from. Refusal while it cannot be read: a price is never put on another
        day than the one that is written above it."""
        return read_day(self.since.text(), self.desk.document.day)

    def show_item(self, where: Where) -> bool:
        """Go to a menu; the part may name a drink on it."""
        if not self.head.choose(where.id):
            return False
        serve = where.part.partition("/")[0]
        row = next((r for r in self.rows.rows() if r.line is not None and r.line.serve == serve), None)
        if row is not None or self.rows.rowCount():
            self.list.table.choose(row.key if row is not None else self.rows.key(0), PRICE)
        self.list.table.setFocus(Qt.FocusReason.OtherFocusReason)
        return True

    def actions_of(self) -> Sequence[QAction]:
        """What can be done with a menu."""
        return self._actions

    def first(self) -> QWidget:
        """The table: what is done to a menu is done there."""
        return self.list.table

    def find_field(self) -> QWidget:
        """The filter of the lines."""
        return self.list.filter

    def save_state(self) -> dict[str, object]:
        """The chosen menu, whether prices over time are shown, and the day typed for prices, with what it was typed
        for: on another day or in another book it means nothing."""
        return {
            "menu": self.head.menu,
            "split": split_text(self.split),
            "history": self.history.isVisibleTo(self),
            "since": [self.since.text(), *self._typed_for()],
        }

    def _typed_for(self) -> list[str]:
        document = self.desk.document
        return [str(document.path), document.day.isoformat()]

    def restore_state(self, state: dict[str, object]) -> None:
        """As it stood."""
        menu, split = state.get("menu"), state.get("split")
        self.head.menu = menu if isinstance(menu, str) else ""
        take_split(self.split, split)
        self.history.setVisible(state.get("history") is True)
        since = state.get("since")
        if isinstance(since, list) and len(since) == 3 and since[1:] == self._typed_for():
            self.since.setText(str(since[0]))
            self.since.commit()

    def unkept(self) -> list[str]:
        """Texts typed for another menu than the shown one, which do not stand in the book."""
        return self.head.unkept()

    # Where one is

    def _at(self) -> MenuRow | None:
        index = self.list.table.currentIndex()
        return self.rows.row(index.row()) if index.isValid() else None

    def _selected(self) -> list[MenuRow]:
        """The lines with a selected cell; a heading stands for all lines under it."""
        keys = set(self.list.table.chosen())
        rows = self.rows.rows()
        sections = {r.spot.section for r in rows if r.line is None and r.key in keys}
        return [r for r in rows if r.line is not None and (r.key in keys or r.spot.section in sections)]

    def _count(self, *_: object) -> None:
        chosen = self._selected()
        self.use.setEnabled(bool(chosen))
        self.use.setText(suggestions_text(chosen))

    def _came_to(self, _: str = "") -> None:
        row, book = self._at(), self.desk.document.book
        menu = book.all(Menu).get(self.head.menu)
        # While lines come and go one by one, those that stay still say where they stood before: the key tells.
        if row is None or row.line is None or menu is None or line_key(menu, row.spot) != row.key:
            self.history.show_line(None, None, "")
        else:
            self.history.show_line(menu, row.spot, drink_name(row, book))

    def show_history(self) -> None:
        """The dated prices of the line; or, where they are shown, the room they take given back."""
        shown = not self.history.isVisibleTo(self)
        self.history.setVisible(shown)
        (self.history.table if shown else self.list.table).setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _open(self, key: str) -> None:
        row = self._at()
        if row is None or row.line is None:
            return
        if self.rows.columns[self.list.table.currentIndex().column()].key == "held":
            self.hold()
        else:
            self.desk.go(Where("serve", row.line.serve, "price"))

    # Acts

    def use_suggestions(self) -> None:
        """The suggested prices of the selected lines as one step."""
        use_suggestions(self.desk, self.head.menu, self._selected(), self.day)

    def hold(self) -> None:
        """Hold the prices of the selected lines when the whole menu is priced; where all are held, let them move."""
        book, lines = self.desk.document.book, [(row.menu, row.spot) for row in self._selected()]
        self.desk.attempt(lambda: turn_held(book, lines) if lines else None)

    def _move(self, by: int) -> None:
        row = self._at()
        if row is None:
            return
        book, after = self.desk.document.book, row.spot

        def work() -> Step:
            nonlocal after
            if row.line is None:
                after = menus.Spot(row.spot.section + by, -1)
                return menus.move_section(book, row.menu, row.spot.section, by)
            step, after = menus.move_line(book, row.menu, row.spot, by)
            return step

        if self.desk.attempt(work):
            found = next((r for r in self.rows.rows() if r.spot == after), None)
            if found is not None:
                self.list.table.choose(found.key, self.list.table.currentIndex().column())

    def remove_selected(self) -> None:
        """Take the selected lines off as one step; a heading alone is taken out when nothing stands under it."""
        row, book = self._at(), self.desk.document.book
        if row is None:
            return
        alone = self.list.table.chosen() in ([], [row.key])
        if row.line is None and alone:
            self.desk.attempt(lambda: menus.remove_section(book, row.menu, row.spot.section))
            return
        spots = [row.spot] if alone else [r.spot for r in self._selected()]
        self.desk.attempt(lambda: menus.remove_lines(book, row.menu, spots))

    def remove_menu(self) -> None:
        """Take the menu out; undo brings it back."""
        if self.head.menu:
            self.desk.attempt(lambda: menus.remove_menu(self.desk.document.book, self.head.menu))

    def _off_menu(self) -> list[str]:
        document = self.desk.document
        menu = document.book.all(Menu).get(self.head.menu)
        on = {line.serve for section in menu.sections for line in section.lines} if menu else set()
        return [s.name for s, _ in document.view.serves.values() if s.id not in on]

    def _add(self, text: str) -> None:
        document, row = self.desk.document, self._at()
        at = row.spot.section if row is not None else 0
        found = [s.id for s, _ in document.view.serves.values() if s.name.casefold() == text.strip().casefold()]

        def work() -> Step:
            if not found:
                raise Refusal(
                    say("There is no drink called “{text}” on this day.", text=text), "", say("Alt+Down lists them.")
                )
            return menus.add_serve(document.book, self.head.menu, at, found[0])

        if not self.desk.attempt(work):
            self.add.refuse(self.desk.refusal)
            return
        self.add.revert()
        under = [r for r in self.rows.rows() if r.line is not None and r.spot.section == at]
        if under:
            self.list.table.choose(under[-1].key, PRICE)

    def focus_add(self) -> None:
        """Type a drink to put on the menu."""
        self.add.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def ask_section(self) -> None:
        """A section behind the last."""
        name, ok = QInputDialog.getText(self, say("New section"), say("Its heading"))
        if ok:
            self.desk.attempt(lambda: menus.add_section(self.desk.document.book, self.head.menu, name))

    def ask_new(self) -> None:
        """A menu with one section."""
        name, ok = QInputDialog.getText(self, say("New menu"), say("What is it called?"))
        if ok:
            self.make_menu(name)

    def make_menu(self, name: str) -> bool:
        """A menu under a name."""
        document, made = self.desk.document, ""

        def work() -> Step:
            nonlocal made
            step, made = menus.new_menu(document.book, name, document.past_ids())
            return step

        if not self.desk.attempt(work):
            return False
        self.head.menu = made
        self._show_chosen()
        return True

    def print_card(self) -> None:
        """The menu cost card, where reports are shown before they are printed."""
        self.desk.go(Where("report", "menu-cost"))


def _key(row: MenuRow) -> str:
    return row.key
