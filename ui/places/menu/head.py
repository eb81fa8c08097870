"""The head of the menu place: which menu, what it is called, the days it is in force."""

from collections.abc import Mapping
from datetime import date

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QTabBar, QVBoxLayout, QWidget

from costing.book.change import Step
from costing.book.records import Menu
from costing.edits import menus
from costing.tongue import say
from ui.desk import Desk
from ui.fault import Refusal
from ui.widgets.fields import TextField, read_day

Held = tuple[str, Refusal | None]
"""What a field gives away of a text that does not stand (``TextField.held``)."""


def labelled(text: str, field: QLineEdit) -> QLabel:
    """A label whose field it is."""
    label = QLabel(text, field.parentWidget())
    label.setBuddy(field)
    return label


def day_wide(field: QLineEdit) -> QLineEdit:
    """No wider than a day needs, with room for more of it than fits at the smallest."""
    field.setMaximumWidth(field.fontMetrics().horizontalAdvance("0000-00-00") * 2)
    return field


class MenuHead(QWidget):
    """Tabs of the menus; below them name and days of the chosen one."""

    chosen = Signal(str)
    """The id of another menu."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self.menu = ""
        self._shown = ""
        self._ids: list[str] = []
        self._held: dict[str, dict[TextField, Held]] = {}
        self.tabs = QTabBar(self)
        self.tabs.setAccessibleName(say("Menus"))
        self.tabs.setExpanding(False)
        self.name = TextField(say("Name of the menu"), self)
        self.first = TextField(say("First day of the menu"), self, hint=say("open"))
        self.last = TextField(say("Last day of the menu"), self, hint=say("open"))
        self.row = QHBoxLayout()
        self.row.setContentsMargins(4, 0, 4, 0)
        for text, field in ((say("Name"), self.name), (say("From"), self.first), (say("until"), self.last)):
            self.row.addWidget(labelled(text, field))
            self.row.addWidget(field)
        day_wide(self.first)
        day_wide(self.last)
        self.row.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.tabs)
        layout.addLayout(self.row)
        self.tabs.currentChanged.connect(self._tab)
        self.name.committed.connect(self._rename)
        self.first.committed.connect(self._set_first)
        self.last.committed.connect(self._set_last)

    def ids(self) -> tuple[str, ...]:
        """The menus, in the order of their tabs."""
        return tuple(self._ids)

    def refresh(self) -> Menu | None:
        """The menus of the book; the chosen one, which is one in force on the day where nobody has chosen."""
        document = self.desk.document
        found = document.book.all(Menu)
        self._ids = list(found)
        if self.menu not in found:
            in_force = [m for m in found if m in document.view.menus]
            self.menu = next(iter([*in_force, *found]), "")
        blocked = self.tabs.blockSignals(True)
        while self.tabs.count() > len(self._ids):
            self.tabs.removeTab(self.tabs.count() - 1)
        for n, ident in enumerate(self._ids):
            if n >= self.tabs.count():
                self.tabs.addTab("")
            self.tabs.setTabText(n, found[ident].name.replace("&", "&&"))
        if self.menu:
            self.tabs.setCurrentIndex(self._ids.index(self.menu))
        self.tabs.blockSignals(blocked)
        menu = found.get(self.menu)
        if self.menu != self._shown:
            self._hold()
        for field in self._fields():
            field.setEnabled(menu is not None)
        self.name.set_text(menu.name if menu else "")
        if not self.name.hasFocus():
            self.name.setCursorPosition(0)  # a long name shows its beginning
        self.first.set_text(menu.since.isoformat() if menu and menu.since else "")
        self.last.set_text(menu.until.isoformat() if menu and menu.until else "")
        self._give_back(found)
        return menu

    def _fields(self) -> tuple[TextField, ...]:
        return self.name, self.first, self.last

    def _hold(self) -> None:
        """Put aside what was typed for the menu that is left and does not stand: it is not the other one's."""
        held = {field: text for field in self._fields() if (text := field.held()) is not None}
        if held:
            self._held[self._shown] = held
        for field in self._fields():
            field.revert()

    def _give_back(self, found: Mapping[str, Menu]) -> None:
        """Show again what had been typed for the menu that is come to; texts of a menu that is gone go with it."""
        if self.menu != self._shown:
            self._shown = self.menu
            for field, text in self._held.pop(self.menu, {}).items():
                field.give_back(text)
        self._held = {ident: held for ident, held in self._held.items() if ident in found}

    def unkept(self) -> list[str]:
        """Texts that were typed for menus that are not shown, and do not stand in the book."""
        return [text for held in self._held.values() for text, _ in held.values()]

    def choose(self, menu: str) -> bool:
        """Go to a menu; False where there is none."""
        if menu not in self._ids:
            return False
        self.tabs.setCurrentIndex(self._ids.index(menu))
        return True

    def _tab(self, at: int) -> None:
        if 0 <= at < len(self._ids):
            self.menu = self._ids[at]
            self.refresh()
            self.chosen.emit(self.menu)

    def _rename(self, text: str) -> None:
        if self.desk.attempt(lambda: menus.rename_menu(self.desk.document.book, self.menu, text)):
            self.name.revert()  # as the book has it now, not as it was typed
        else:
            self.name.refuse(self.desk.refusal)

    def _set_first(self, text: str) -> None:
        self._set_day(self.first, text, first=True)

    def _set_last(self, text: str) -> None:
        self._set_day(self.last, text, first=False)

    def _set_day(self, field: TextField, text: str, *, first: bool) -> None:
        document = self.desk.document
        menu = document.book.all(Menu).get(self.menu)
        if menu is None:
            return

        def work() -> Step | None:
            day: date | None = read_day(text, document.day) if text.strip() else None
            since, until = (day, menu.until) if first else (menu.since, day)
            return menus.set_days(document.book, menu.id, since, until)

        if self.desk.attempt(work):
            field.revert()
        else:
            field.refuse(self.desk.refusal)
