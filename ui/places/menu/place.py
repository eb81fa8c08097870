"""The menu: every line with its price and what that leaves; prices are typed in place."""

from collections.abc import Sequence
from datetime import date
from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QHBoxLayout, QInputDialog, QLabel, QPushButton, QTabBar, QVBoxLayout, QWidget

from costing.book.change import Step
from costing.book.records import Menu
from costing.edits import menus
from costing.report.words import layer_word
from costing.tongue import say
from ui.desk import Desk, Where
from ui.document import Moved
from ui.fault import KNOWN, Refusal
from ui.format import own
from ui.models.table import RowTable
from ui.places.base import Place
from ui.places.menu.rows import MenuRow, menu_columns, menu_rows
from ui.widgets.fields import ChoiceField, DayField, TextField, read_day
from ui.widgets.listpane import ListPane
from ui.widgets.notice import EmptyPlace


class MenuPlace(Place):
    """Menus, their sections and dated prices."""

    kinds = ("menu",)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self._menu = ""
        self._ids: list[str] = []
        self.tabs = QTabBar(self)
        self.tabs.setAccessibleName(say("Menus"))
        self.tabs.setExpanding(False)
        self.tabs.currentChanged.connect(self._tab)
        self.name = TextField(say("Name of the menu"), self)
        self.name.committed.connect(self._rename)
        self.since = DayField(say("Prices typed here hold from"), desk.format, lambda: desk.document.day, self)
        self.add = ChoiceField(say("Put a drink on the menu"), self._off_menu, self, hint=say("Put a drink on it"))
        self.add.committed.connect(self._add)
        self.rows: RowTable[MenuRow] = RowTable(menu_columns(desk, self.day), lambda r: r.key, desk, self)
        empty = EmptyPlace(
            say("A menu goes here: sections, drinks and the prices they are printed at."), say("New menu"), self.ask_new
        )
        self.list = ListPane(self.rows, say("The menu"), empty, self)
        self.list.table.explained.connect(desk.explain)
        self.list.table.opened.connect(self._open)
        self.use = QPushButton(say("Use suggestions for what is selected"), self)
        self.use.setProperty("chief", True)
        self.use.clicked.connect(self.use_suggestions)
        self.base = QLabel(self)
        self.base.setProperty("faint", True)
        self.base.setWordWrap(True)
        top, middle = QHBoxLayout(), QHBoxLayout()
        top.addWidget(self.tabs, 1)
        for text, field in ((say("Name"), self.name), (say("Prices hold from"), self.since)):
            label = QLabel(text, self)
            label.setBuddy(field)
            middle.addWidget(label)
            middle.addWidget(field)
        middle.addWidget(self.add, 1)
        middle.addWidget(self.use)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(6, 6, 6, 4)
        layout.addLayout(top)
        layout.addLayout(middle)
        layout.addWidget(self.list, 1)
        layout.addWidget(self.base)
        self._actions = self._make_actions()

    def _make_actions(self) -> list[QAction]:
        out = []
        for text, keys, slot in (
            (say("Use suggestions for what is selected"), "Ctrl+Return", self.use_suggestions),
            (say("Put a drink on the menu"), "Ctrl+Shift+I", self.focus_add),
            (say("Line up"), "Ctrl+Up", partial(self._move, -1)),
            (say("Line down"), "Ctrl+Down", partial(self._move, 1)),
            (say("Take the line off the menu"), "Delete", self._remove),
            (say("New section…"), "Ctrl+Shift+E", self.ask_section),
            (say("New menu…"), "Ctrl+Shift+N", self.ask_new),
            (say("Remove this menu"), "Ctrl+Shift+Delete", self._remove_menu),
            (say("Print the menu cost card…"), QKeySequence.StandardKey.Print, self.print_card),
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
        """Menus of the book, and the lines of the chosen one."""
        document = self.desk.document
        found = document.book.all(Menu)
        self._ids = list(found)
        if self._menu not in found:
            in_force = [m for m in found if m in document.view.menus]
            self._menu = next(iter([*in_force, *found]), "")
        self.tabs.blockSignals(True)
        while self.tabs.count() > len(self._ids):
            self.tabs.removeTab(self.tabs.count() - 1)
        for n, ident in enumerate(self._ids):
            if n >= self.tabs.count():
                self.tabs.addTab("")
            self.tabs.setTabText(n, found[ident].name.replace("&", "&&"))
        if self._menu:
            self.tabs.setCurrentIndex(self._ids.index(self._menu))
        self.tabs.blockSignals(False)
        if moved.everything or not self.since.text():
            self.since.revert()
            self.since.set_day(document.day)
        self._show(found.get(self._menu))

    def _show(self, menu: Menu | None) -> None:
        for widget in (self.name, self.since, self.add, self.use):
            widget.setEnabled(menu is not None)
        if menu is None:
            self.rows.set_rows([])
            self.base.setText("")
            return
        document = self.desk.document
        self.name.set_text(menu.name)
        self.rows.set_rows(menu_rows(document.figures, menu))
        terms, house = document.view.terms, document.book.house
        layers = " + ".join(layer_word(layer) for layer in (terms.base if terms else ("materials",)))
        days = []
        if menu.id not in document.view.menus:
            days.append(say("This menu is not in force on the day that is looked at."))
        if terms is None:
            days.append(say("The house has no taxes, price points and target on this day, so nothing is suggested."))
        said = say("Money in {currency}. Cost and pour cost stand on {layers}; pour cost is a share of the net price.",
                   currency=house.currency if house else "?", layers=layers)  # fmt: skip
        self.base.setText(" ".join([*days, said]))

    def day(self) -> date:
        """The day that prices typed here hold from; the day looked at while that cannot be read."""
        try:
            return read_day(self.since.text(), self.desk.document.day)
        except KNOWN:
            return self.desk.document.day

    def _tab(self, at: int) -> None:
        if 0 <= at < len(self._ids):
            self._menu = self._ids[at]
            self.name.revert()
            self._show(self.desk.document.book.all(Menu)[self._menu])

    def show_item(self, where: Where) -> bool:
        """Go to a menu; the part may name a drink on it."""
        if where.id not in self._ids:
            return False
        self.tabs.setCurrentIndex(self._ids.index(where.id))
        serve = where.part.partition("/")[0]
        row = next((r for r in self.rows.rows() if r.line is not None and r.line.serve == serve), None)
        self.list.table.choose(row.key if row is not None else self.rows.key(0), 2)
        self.list.table.setFocus(Qt.FocusReason.OtherFocusReason)
        return True

    def actions_of(self) -> Sequence[QAction]:
        """What can be done with a menu."""
        return self._actions

    def find_field(self) -> QWidget:
        """The filter of the lines."""
        return self.list.filter

    def save_state(self) -> dict[str, object]:
        """The chosen menu."""
        return {"menu": self._menu}

    def restore_state(self, state: dict[str, object]) -> None:
        """As it stood."""
        menu = state.get("menu")
        self._menu = menu if isinstance(menu, str) else ""

    # Acts

    def _at(self) -> MenuRow | None:
        index = self.list.table.currentIndex()
        return self.rows.row(index.row()) if index.isValid() else None

    def _open(self, key: str) -> None:
        row = self._at()
        if row is not None and row.line is not None:
            self.desk.go(Where("serve", row.line.serve, "price"))

    def use_suggestions(self) -> None:
        """The suggested prices of the selected lines, or of all where none is selected, as one step."""
        keys = set(self.list.table.chosen())
        rows = [r for r in self.rows.rows() if r.line is not None and (len(keys) < 2 or r.key in keys)]
        chosen = [r.priced for r in rows if r.priced is not None]
        book, day = self.desk.document.book, self.day()

        def work() -> Step | None:
            step, left = menus.apply_suggestions(book, chosen, day)
            if step is None:
                names = ", ".join(left)
                raise Refusal(
                    say("No price was changed."),
                    say("There is no suggestion for {names}.", names=names)
                    if left
                    else say("Every price of these is the suggested one already."),
                    say("A drink with a component without a price has none.") if left else "",
                )
            if left:
                names = own(", ".join(left))
                self.desk.tell(say("Without a suggestion: {names}", names=names))
            return step

        self.desk.attempt(work)

    def _move(self, by: int) -> None:
        row = self._at()
        if row is None:
            return
        book, after = self.desk.document.book, row.spot

        def work() -> Step:
            nonlocal after
            if row.line is None:
                return menus.move_section(book, row.menu, row.spot.section, by)
            step, after = menus.move_line(book, row.menu, row.spot, by)
            return step

        if self.desk.attempt(work) and row.line is not None:
            found = next((r for r in self.rows.rows() if r.spot == after), None)
            if found is not None:
                self.list.table.choose(found.key)

    def _remove(self) -> None:
        row = self._at()
        if row is not None:
            book = self.desk.document.book
            self.desk.attempt(
                lambda: (
                    menus.remove_section(book, row.menu, row.spot.section)
                    if row.line is None
                    else menus.remove_line(book, row.menu, row.spot)
                )
            )

    def _remove_menu(self) -> None:
        if self._menu:
            self.desk.attempt(lambda: menus.remove_menu(self.desk.document.book, self._menu))

    def _rename(self, text: str) -> None:
        if not self.desk.attempt(lambda: menus.rename_menu(self.desk.document.book, self._menu, text)):
            self.name.refuse(self.desk.refusal)

    def _off_menu(self) -> list[str]:
        document = self.desk.document
        menu = document.book.all(Menu).get(self._menu)
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
            return menus.add_serve(document.book, self._menu, at, found[0])

        if self.desk.attempt(work):
            self.add.revert()
        else:
            self.add.refuse(self.desk.refusal)

    def focus_add(self) -> None:
        """Type a drink to put on the menu."""
        self.add.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def ask_section(self) -> None:
        """A section behind the last."""
        name, ok = QInputDialog.getText(self, say("New section"), say("Its heading"))
        if ok:
            self.desk.attempt(lambda: menus.add_section(self.desk.document.book, self._menu, name))

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

        if self.desk.attempt(work):
            self._menu = made
            self.refresh(Moved())
            return True
        return False

    def print_card(self) -> None:
        """The menu cost card, where reports are shown before they are printed."""
        self.desk.go(Where("report", "menu-cost"))
