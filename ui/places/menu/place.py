"""The menu: prices, what was sold, what to keep, what if, new prices for all, hours, questions: a page each."""

from collections.abc import Sequence
from functools import partial
from importlib import import_module

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QTabWidget, QVBoxLayout, QWidget

from costing.tongue import Words, say, say_word
from ui.desk import Desk, Where
from ui.document import Moved
from ui.places.base import Place
from ui.places.menu.prices import PricesPage
from ui.places.menu.standing import Standing
from ui.widgets.acts import acts

TITLES: Words = {
    "prices": "Prices",
    "sold": "Sold",
    "keep": "What to keep",
    "what-if": "What if",
    "new-prices": "New prices",
    "hours": "Hours",
    "questions": "Questions",
}
MODULES = {
    "sold": ("sales", "SoldPage"), "keep": ("keep", "KeepPage"), "what-if": ("whatif", "WhatIfPage"),
    "new-prices": ("newprices", "NewPricesPage"), "hours": ("hours", "HoursPage"),
    "questions": ("questions", "QuestionsPage"),
}  # fmt: skip
"""Where each page but the first is: folder of this one, and class in its ``page.py``."""
KEPT_BY = {"menu": "prices", "sales": "sold", "button": "sold", "till": "sold", "scenario": "what-if"}
"""Which page shows a kind of record."""


class MenuPlace(Place):
    """Everything about the menu. Each page is a Place of its own, made when it is first turned to: all of them at once
    would hold the window for half a second."""

    kinds = tuple(KEPT_BY)

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.standing = Standing(desk, self)
        self._made: dict[str, Place] = {}
        self._kept: dict[str, dict[str, object]] = {}
        self.pages = QTabWidget(self)
        self.pages.setAccessibleName(say("Pages of the menu"))
        self._holders: dict[str, QVBoxLayout] = {}
        for name, title in TITLES.items():
            holder = QWidget(self.pages)
            self._holders[name] = QVBoxLayout(holder)
            self._holders[name].setContentsMargins(0, 0, 0, 0)
            self.pages.addTab(holder, say_word(title))
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.pages)
        self._turning = acts(
            self,
            [
                (say("Next page of the menu"), "Ctrl+PgDown", partial(self._turn, 1)),
                (say("Previous page of the menu"), "Ctrl+PgUp", partial(self._turn, -1)),
            ],
        )
        self.pages.currentChanged.connect(self._turned)
        self._turned()

    def page_named(self, name: str) -> Place:
        """A page, made when it is first wanted."""
        if name not in self._made:
            self._made[name] = page = self._make(name)
            self._holders[name].addWidget(page)
            page.show()  # at once, or what is in it cannot have the keyboard yet
            page.restore_state(self._kept.pop(name, {}))
            self.acts_changed.emit()
        return self._made[name]

    def _make(self, name: str) -> Place:
        if name not in MODULES:
            return PricesPage(self.desk, self)
        folder, kind = MODULES[name]
        page = getattr(import_module(f"ui.places.menu.{folder}.page"), kind)(self.desk, self.standing, self)
        if not isinstance(page, Place):
            raise TypeError(f"ui.places.menu.{folder}.page.{kind} is not a place")
        return page

    def name(self) -> str:
        """Of the page that is seen."""
        return list(TITLES)[max(0, self.pages.currentIndex())]

    def page(self) -> Place:
        """The page that is seen."""
        return self.page_named(self.name())

    def _turned(self, *_: object) -> None:
        """What can be done is what the seen page can do."""
        seen = self.page()
        for page in self._made.values():
            for action in page.actions_of():
                action.setEnabled(page is seen)

    def _turn(self, by: int) -> None:
        """The page beside, around the ends, with the keyboard on it."""
        self.pages.setCurrentIndex((self.pages.currentIndex() + by) % self.pages.count())
        first = self.page().first()
        if first is not None:
            first.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def turn_to(self, name: str) -> Place:
        """Show a page by its name."""
        self.pages.setCurrentIndex(list(TITLES).index(name))
        return self.page()

    def catch_up(self) -> None:
        """Bring the seen page up to the book."""
        super().catch_up()
        self.page().catch_up()

    def refresh(self, moved: Moved) -> None:
        """Nothing of its own: pages hear of changes themselves."""

    def show_item(self, where: Where) -> bool:
        """Go to the page that keeps it, or to the one that an id such as ":keep" names."""
        if where.kind == "menu" and where.id.startswith(":"):
            self.turn_to(where.id[1:])
            return True
        return where.kind in KEPT_BY and self.turn_to(KEPT_BY[where.kind]).show_item(where)

    def actions_of(self) -> Sequence[QAction]:
        """What can be done on every page that was made; those of the others rest."""
        return [*self._turning, *(action for page in self._made.values() for action in page.actions_of())]

    def find_field(self) -> QWidget | None:
        """The filter of the seen page."""
        return self.page().find_field()

    def first(self) -> QWidget | None:
        """Where the seen page begins."""
        return self.page().first()

    def unkept(self) -> Sequence[str]:
        """Of every page."""
        return [text for page in self._made.values() for text in page.unkept()]

    def save_state(self) -> dict[str, object]:
        """The seen page, the sales that count, and what each page keeps."""
        kept: dict[str, object] = {**self._kept, **{name: page.save_state() for name, page in self._made.items()}}
        return {"page": self.name(), "weeks": self.standing.weeks, "pages": kept}

    def restore_state(self, state: dict[str, object]) -> None:
        """As it stood; a page that is made later takes up its own then."""
        kept, seen, weeks = state.get("pages"), state.get("page"), state.get("weeks")
        for name, found in kept.items() if isinstance(kept, dict) else ():
            if name in self._made and isinstance(found, dict):
                self._made[name].restore_state(found)
            elif name in TITLES and isinstance(found, dict):
                self._kept[name] = found
        if isinstance(weeks, int):
            self.standing.look_at(weeks)
        if isinstance(seen, str) and seen in TITLES:
            self.turn_to(seen)
