"""The menu: prices, what was sold, what to keep, what if, new prices for all, hours, questions: a page each."""

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QTabWidget, QVBoxLayout, QWidget

from costing.tongue import say
from ui.desk import Desk, Where
from ui.document import Moved
from ui.places.base import Place
from ui.places.menu.hours.page import HoursPage
from ui.places.menu.keep.page import KeepPage
from ui.places.menu.newprices.page import NewPricesPage
from ui.places.menu.prices import PricesPage
from ui.places.menu.questions.page import QuestionsPage
from ui.places.menu.sales.page import SoldPage
from ui.places.menu.standing import Standing
from ui.places.menu.whatif.page import WhatIfPage
from ui.widgets.acts import acts


class MenuPlace(Place):
    """Everything about the menu. Each page is a Place of its own and refreshes when it is seen."""

    kinds = ("menu", "sales", "button", "till", "scenario")

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.standing = Standing(desk, self)
        self.pages = QTabWidget(self)
        self.pages.setAccessibleName(say("Pages of the menu"))
        self.prices = PricesPage(desk, self)
        self._names: dict[str, Place] = {}
        self.sold = SoldPage(desk, self.standing, self)
        self.keep = KeepPage(desk, self.standing, self)
        self.what_if = WhatIfPage(desk, self.standing, self)
        self.new_prices = NewPricesPage(desk, self.standing, self)
        self.hours = HoursPage(desk, self.standing, self)
        self.questions = QuestionsPage(desk, self.standing, self)
        for name, title, page in (
            ("prices", say("Prices"), self.prices),
            ("sold", say("Sold"), self.sold),
            ("keep", say("What to keep"), self.keep),
            ("what-if", say("What if"), self.what_if),
            ("new-prices", say("New prices"), self.new_prices),
            ("hours", say("Hours"), self.hours),
            ("questions", say("Questions"), self.questions),
        ):
            self._names[name] = page
            self.pages.addTab(page, title)
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

    def page(self) -> Place:
        """The page that is seen."""
        return self._names[list(self._names)[max(0, self.pages.currentIndex())]]

    def _turned(self, *_: object) -> None:
        """What can be done is what the seen page can do."""
        seen = self.page()
        for page in self._names.values():
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
        page = self._names[name]
        self.pages.setCurrentWidget(page)
        return page

    def catch_up(self) -> None:
        """Bring the seen page up to the book."""
        super().catch_up()
        self.page().catch_up()

    def refresh(self, moved: Moved) -> None:
        """Nothing of its own: pages hear of changes themselves."""

    def show_item(self, where: Where) -> bool:
        """Go to the page that keeps it, or that ``where.part`` of no record names."""
        if where.kind == "menu" and where.id.startswith(":"):
            self.turn_to(where.id[1:])
            return True
        for name, page in self._names.items():
            if where.kind in page.kinds:
                self.turn_to(name)
                return page.show_item(where)
        return False

    def actions_of(self) -> Sequence[QAction]:
        """What can be done on every page; those of the others rest."""
        return [*self._turning, *(action for page in self._names.values() for action in page.actions_of())]

    def find_field(self) -> QWidget | None:
        """The filter of the seen page."""
        return self.page().find_field()

    def first(self) -> QWidget | None:
        """Where the seen page begins."""
        return self.page().first()

    def unkept(self) -> Sequence[str]:
        """Of every page."""
        return [text for page in self._names.values() for text in page.unkept()]

    def save_state(self) -> dict[str, object]:
        """The seen page, the sales that count, and what each page keeps."""
        seen = next(name for name, page in self._names.items() if page is self.page())
        kept: dict[str, object] = {name: page.save_state() for name, page in self._names.items()}
        return {"page": seen, "weeks": self.standing.weeks, "pages": kept}

    def restore_state(self, state: dict[str, object]) -> None:
        """As it stood."""
        kept, seen, weeks = state.get("pages"), state.get("page"), state.get("weeks")
        for name, page in self._names.items():
            found = kept.get(name) if isinstance(kept, dict) else None
            if isinstance(found, dict):
                page.restore_state(found)
        if isinstance(weeks, int):
            self.standing.look_at(weeks)
        if isinstance(seen, str) and seen in self._names:
            self.turn_to(seen)
