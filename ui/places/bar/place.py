"""The bar: drinks on the left, the chosen one on the right."""

from collections.abc import Sequence

from PySide6.QtCore import QSignalBlocker, Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QInputDialog, QSplitter, QTabWidget, QVBoxLayout, QWidget

from costing.book.change import Step
from costing.edits import serves
from costing.tongue import say
from ui.desk import Desk, Where
from ui.document import Moved
from ui.models.table import KEY_ROLE, WHY_ROLE, RowTable
from ui.places.bar.build import BuildPage
from ui.places.bar.compare import ComparePage
from ui.places.bar.lists import ListsPage
from ui.places.bar.price import PricePage, StreamPage
from ui.places.bar.rows import DrinkRow, drink_columns, drink_rows
from ui.places.base import Place, split_text, take_split
from ui.range_why import RangeOf
from ui.ranges import ranges_of
from ui.widgets.acts import acts
from ui.widgets.listpane import ListPane
from ui.widgets.newdrink import NewDrink
from ui.widgets.notice import EmptyPlace


class BarPlace(Place):
    """Drinks as they are served."""

    kinds = ("serve", "technique", "glass")

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.rows: RowTable[DrinkRow] = RowTable(drink_columns(desk), lambda r: r.id, desk, self)
        empty = EmptyPlace(
            say("Drinks go here: each is a few typed lines, like “45 ml gin”."), say("New drink"), self.ask_new
        )
        self.list = ListPane(self.rows, say("Drinks"), empty, self)
        self.ranges = ranges_of(desk)
        self.ranges.known.connect(self._ranges_known)
        self.build, self.price = BuildPage(desk, self), PricePage(desk, self)
        self.stream, self.compare = StreamPage(desk, self), ComparePage(desk, self)
        self.lists = ListsPage(desk, self)
        self.pages = QTabWidget(self)
        self.pages.setAccessibleName(say("The drink"))
        for page, title in (
            (self.build, say("Build")), (self.price, say("Price")), (self.stream, say("From pack to glass")),
            (self.compare, say("Side by side")), (self.lists, say("Techniques, glasses")),
        ):  # fmt: skip
            self.pages.addTab(page, title)
        self.split = QSplitter(Qt.Orientation.Horizontal, self)
        self.split.addWidget(self.list)
        self.split.addWidget(self.pages)
        self.split.setSizes([330, 650])
        self.split.setStretchFactor(1, 1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.split)
        self.list.table.current_key.connect(self._chosen)
        self.list.table.explained.connect(desk.explain)
        self.build.list.table.explained.connect(desk.explain)
        self.pages.currentChanged.connect(self._page_changed)
        self._current = ""
        self._draft = ("", "")
        self._lacking: list[str] = []
        self._asking: NewDrink | None = None
        self._stale_pages: set[QWidget] = set()
        self._actions = self._make_actions()

    def _make_actions(self) -> list[QAction]:
        return acts(
            self,
            [
                (say("New drink…"), "Ctrl+Shift+N", self.ask_new),
                (say("A variant of this drink…"), "Ctrl+Shift+D", self.ask_variant),
                (say("Make it differently from this day on"), "Ctrl+Shift+V", self.begin_version),
                (say("Go back to how it was made before this version"), "Ctrl+Shift+B", self.remove_version),
                (say("What this drink may cost"), "Ctrl+Shift+R", self.explain_range),
                (say("Why these allergens"), "Ctrl+Shift+G", self.build.explain_allergens),
                (say("Remove this drink"), "Ctrl+Shift+Delete", self.remove),
            ],
        )

    # Place

    def refresh(self, moved: Moved) -> None:
        """Figures of every drink; the pages when they are seen."""
        self._show_rows()
        self.ranges.ask()
        if not self._current and self.rows.rowCount():
            self._current = self.rows.key(0)
            self.list.table.choose(self._current)
        self._show_current()

    def _show_rows(self) -> None:
        """The list; where the chosen drink is gone, its neighbour is come to. On a day without any, it stays chosen."""
        figures, table = self.desk.document.figures, self.list.table
        with QSignalBlocker(table):  # rows that go one by one are not come to in between
            self.rows.set_rows(drink_rows(figures))
            index, made = table.currentIndex(), self._current in figures.view.serves
            if index.isValid() and not made:
                self._current = str(index.data(KEY_ROLE))
            if not made or index.data(KEY_ROLE) != self._current:
                table.choose(self._current, index.column())
        if self._lacking != (lacking := [row.id for row in self.rows.rows() if not row.complete]):
            self._lacking = lacking
            table.fit_columns()  # "at least" takes room, and the figure behind it must be seen
        if index.isValid() and not made:
            self.desk.explain(table.currentIndex().data(WHY_ROLE))

    def _ranges_known(self) -> None:
        """Dots beside the costs, and the range of the chosen drink."""
        if not self.isVisible():
            self._stale = True
            return
        self._show_rows()
        self.price.show_range()

    def _show_current(self) -> None:
        self._stale_pages = {self.build, self.price, self.stream, self.compare, self.lists}
        self._page_changed()

    def _page_changed(self, *_: object) -> None:
        page = self.pages.currentWidget()
        if (self._current or page in (self.lists, self.build)) and page in self._stale_pages:
            self._stale_pages.discard(page)
            page.show_serve(self._current)  # type: ignore[attr-defined]

    def _chosen(self, key: str) -> None:
        if key != self._current:
            self._current = key
            self._show_current()

    @property
    def current(self) -> str:
        """The id of the chosen drink."""
        return self._current

    def show_item(self, where: Where) -> bool:
        """Go to a drink; a part of it opens the page it is on."""
        if where.kind in ("technique", "glass"):
            self.pages.setCurrentWidget(self.lists)
            return self.lists.show_item(where)
        if where.kind != "serve":
            return False
        self.list.filter.clear()
        if not self.list.table.choose(where.id):
            return False
        if where.part == "price":
            self.pages.setCurrentWidget(self.price)
        elif where.part:
            self.pages.setCurrentWidget(self.build)
        self.list.table.setFocus(Qt.FocusReason.OtherFocusReason)
        return True

    def actions_of(self) -> Sequence[QAction]:
        """New, variant, another version, remove."""
        return self._actions

    def find_field(self) -> QWidget:
        """The filter of the drinks."""
        return self.list.filter

    def save_state(self) -> dict[str, object]:
        """The splitter, the drink and the page, and what was typed of a drink that is not made yet."""
        return {
            "split": split_text(self.split),
            "current": self._current,
            "page": self.pages.currentIndex(),
            "draft": [self._book(), *self._draft],
        }

    def _book(self) -> str:
        return str(self.desk.document.path or "")

    def restore_state(self, state: dict[str, object]) -> None:
        """As it stood."""
        split, current, page = state.get("split"), state.get("current"), state.get("page")
        take_split(self.split, split)
        draft = state.get("draft")
        if isinstance(draft, list) and len(draft) == 3 and draft[0] == self._book():  # another book's stays away
            self._draft = str(draft[1]), str(draft[2])
        if isinstance(page, int) and 0 <= page < self.pages.count():
            self.pages.setCurrentIndex(page)
        if isinstance(current, str) and current in self.desk.document.view.serves:
            self._current = current
            self._show_rows()
            self.list.table.choose(current)

    # Acts

    def ask_new(self) -> None:
        """A drink from nothing: its name, and its components one a line. What was typed before and left is there."""
        if self._asking is not None:
            self._asking.activateWindow()
            return
        dialog = self._asking = NewDrink(self.desk, self, *self._draft)
        dialog.typed.connect(self._drafted)
        dialog.accepted.connect(self._made)
        dialog.finished.connect(self._asked)
        dialog.open()

    def _drafted(self, name: str, lines: str) -> None:
        self._draft = name, lines

    def _made(self) -> None:
        self._draft = ("", "")
        if self._asking is not None and self._asking.made:
            self.show_item(Where("serve", self._asking.made))
            self.pages.setCurrentWidget(self.build)

    def _asked(self, *_: object) -> None:
        self._asking = None

    def unkept(self) -> list[str]:
        """What was typed for drinks that are not shown and does not stand in the book. A drink that is not made yet is
        kept with the place."""
        return self.build.unkept()

    def ask_variant(self) -> None:
        """The chosen drink under another name."""
        found = self.desk.document.view.serves.get(self._current)
        if found is None:
            return
        name, ok = QInputDialog.getText(
            self, say("A variant"), say("What is it called?"), text=say("{name}, another way", name=found[0].name)
        )
        if ok:
            self.make_variant(name)

    def make_variant(self, name: str) -> bool:
        """A variant under a name."""
        document, made = self.desk.document, ""

        def work() -> Step:
            nonlocal made
            step, made = serves.duplicate(document.book, self._current, name, document.day, document.past_ids())
            return step

        return self.desk.attempt(work) and self.show_item(Where("serve", made))

    def begin_version(self) -> None:
        """What is edited from here on holds from the day that is looked at; what was before keeps its own."""
        document = self.desk.document
        self.desk.attempt(lambda: serves.begin_version(document.book, self._current, document.day))

    def remove_version(self) -> None:
        """Take out the version that is shown: the one before holds on."""
        document = self.desk.document
        found = document.view.serves.get(self._current)
        if found is not None:
            self.desk.attempt(lambda: serves.remove_version(document.book, self._current, found[1].since))

    def explain_range(self) -> None:
        """What the range of its cost stands on, in the why pane."""
        if self._current:
            self.desk.explain(RangeOf(self._current))

    def remove(self) -> None:
        """Take the drink out; undo brings it back."""
        current, self._current = self._current, ""
        if not self.desk.attempt(lambda: serves.remove(self.desk.document.book, current)):
            self._current = current
