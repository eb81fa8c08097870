"""The stillroom: what is made of what on the left, the chosen preparation on the right."""

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QResizeEvent
from PySide6.QtWidgets import QInputDialog, QSplitter, QStackedWidget, QTabWidget, QVBoxLayout, QWidget

from costing.book.change import Step
from costing.book.records import Preparation
from costing.edits import preparations
from costing.tongue import say
from ui.desk import Desk, Where
from ui.document import Moved
from ui.places.base import Place, split_text, take_split
from ui.places.stillroom.batches import BatchesPage
from ui.places.stillroom.compare import ComparePage
from ui.places.stillroom.new_page import NewPage
from ui.places.stillroom.stages_page import StagesPage
from ui.places.stillroom.stream_page import StreamPage
from ui.places.stillroom.tree import TreePane
from ui.places.stillroom.uses_page import UsesPage
from ui.range_why import RangeOf
from ui.ranges import ranges_of
from ui.widgets.acts import acts
from ui.widgets.notice import EmptyPlace


class StillroomPlace(Place):
    """Preparations, their losses and their batches."""

    kinds = ("preparation", "batch", "equipment")

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self._current = self._wanted = ""
        self.tree = TreePane(desk, self)
        self.stages, self.stream, self.uses = StagesPage(desk, self), StreamPage(desk, self), UsesPage(desk, self)
        self.batches = BatchesPage(desk)
        self.compare = ComparePage(desk)
        self.new = NewPage(desk, self)
        self.pages = QTabWidget(self)
        self.pages.setAccessibleName(say("The preparation"))
        for page, title in (
            (self.stages, say("Stages")), (self.stream, say("Stream")), (self.uses, say("Where used")),
            (self.batches, say("Batches")), (self.compare, say("Compare")),
        ):  # fmt: skip
            self.pages.addTab(page, title)
        self.pages.setCornerWidget(self.stages.head.since)
        self.empty = EmptyPlace(
            say("What the house makes goes here: what goes in, what it makes, and minutes are enough to begin."),
            say("New preparation"), self.begin_new, self,
        )  # fmt: skip
        self.not_yet = EmptyPlace(
            say("Nothing is made yet on the day looked at. Look at a later day, or make something from this day on."),
            say("New preparation"), self.begin_new, self,
        )  # fmt: skip
        self.stack = QStackedWidget(self)
        for widget in (self.pages, self.new, self.empty, self.not_yet):
            self.stack.addWidget(widget)
        self.split = QSplitter(Qt.Orientation.Horizontal, self)
        self.split.addWidget(self.tree)
        self.split.addWidget(self.stack)
        self.split.setCollapsible(1, False)
        self.split.setSizes([280, 720])
        self.split.setStretchFactor(1, 1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.split)
        self._stale_pages: set[QWidget] = set()
        self._ranges = ranges_of(desk)
        self.tree.chosen.connect(self._chosen)
        self.pages.currentChanged.connect(self._page_changed)
        self.new.made.connect(self._made)
        self.new.left.connect(self.leave_new)
        self._actions = self._make_actions()

    def _make_actions(self) -> list[QAction]:
        return acts(
            self,
            [
                (say("New preparation"), "Ctrl+Shift+N", self.begin_new),
                (say("The same under another name…"), "Ctrl+Shift+D", self.ask_duplicate),
                (say("Make it differently from this day on"), "Ctrl+Shift+V", self.begin_version),
                (say("The juice of this fruit, as a preparation"), "Ctrl+Shift+J", partial(self.from_fruit, "juice")),
                (say("Twists of this fruit, as a preparation"), "Ctrl+Shift+W", partial(self.from_fruit, "twist")),
                (say("Remove this preparation"), "Ctrl+Shift+Delete", self.remove),
                (say("Log a batch"), "Ctrl+Shift+L", self.log_batch),
                (say("What this preparation may cost"), "Ctrl+Shift+R", self.explain_range),
            ],
        )

    def log_batch(self) -> None:
        """A batch of the chosen preparation, made on the day that is looked at."""
        if self._current:
            self.stack.setCurrentWidget(self.pages)
            self.pages.setCurrentWidget(self.batches)
            self.batches.log_new()

    def explain_range(self) -> None:
        """What the range of the cost that is come to in the tree stands on, else of what is shown, in the why pane."""
        row = self.tree.row()
        ident = row.id if row is not None and row.kind == "preparation" else self._current
        if ident:
            self.desk.explain(RangeOf(ident, "preparation"))

    # Place

    @property
    def current(self) -> str:
        """The id of the chosen preparation."""
        return self._current

    def refresh(self, moved: Moved) -> None:
        """The tree, and the page that is seen; the others when they are."""
        self.tree.refresh()
        self._ranges.ask()
        known = self.desk.document.view.preparations
        if self._current in known:
            self._wanted = self._current
        self._current = self._wanted if self._wanted in known else ""  # what is not made yet today comes back later
        if not self._current and known:
            first = self.tree.model.row_of(self.tree.model.index(0, 0))
            self._current = first.id if first is not None and first.id in known else next(iter(known))
        if self._current:
            self.tree.shown(self._current)
            if not self.tree.view.currentIndex().isValid():
                self.tree.choose(self._current)
        self._show_current()

    def _show_current(self) -> None:
        self._stale_pages = {page for n in range(self.pages.count()) if (page := self.pages.widget(n)) is not None}
        if not self._current:
            for page in self._stale_pages:
                page.show_preparation("")  # type: ignore[attr-defined]  # nothing of the one before is left
            self._stale_pages = set()
        if self.stack.currentWidget() is not self.new:
            self.stack.setCurrentWidget(self._seen())
        self._page_changed()

    def _seen(self) -> QWidget:
        """The pages of what is chosen, or the word for why there is nothing."""
        if self._current:
            return self.pages
        return self.not_yet if self.desk.document.book.all(Preparation) else self.empty

    def _page_changed(self, *_: object) -> None:
        page = self.pages.currentWidget()
        if self._current and page in self._stale_pages:
            self._stale_pages.discard(page)
            page.show_preparation(self._current)  # type: ignore[attr-defined]

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The corner says since when it is made so, where the tabs leave room for it."""
        super().resizeEvent(event)
        since = self.stages.head.since
        since.setVisible(self.pages.tabBar().sizeHint().width() + since.sizeHint().width() < self.pages.width())

    def _chosen(self, ident: str) -> None:
        if ident != self._current or self.stack.currentWidget() is not self.pages:
            self._current = ident
            self.stack.setCurrentWidget(self.pages)
            self._show_current()

    def show_item(self, where: Where) -> bool:
        """Go to a preparation, a stage of it ("stage/still"), a page of it ("stream"), or a batch."""
        document = self.desk.document
        ident, part = where.id, where.part
        if where.kind == "batch":
            log = document.book.get("batch", where.id)
            ident, part = str(getattr(log, "preparation", "")), "batches"
        if where.kind == "equipment":
            ident, part = self._on_machine(where.id)
        if ident not in document.view.preparations:
            return False
        self.tree.filter.clear()
        self._current = ident
        self.tree.shown(ident)
        self.tree.choose(ident)
        self.stack.setCurrentWidget(self.pages)
        self._show_current()
        steps = [s for s in part.split("/") if s]
        named = {"stream": self.stream, "uses": self.uses, "batches": self.batches, "compare": self.compare}
        page = named.get(steps[0]) if steps else None
        if page is not None:
            self.pages.setCurrentWidget(page)
            if where.kind == "batch":
                self.batches.show_batch(where.id)
        elif "stage" in steps[:-1]:
            self.pages.setCurrentWidget(self.stages)
            at = steps.index("stage") + 1
            self.stages.show_stage(steps[at], "/".join(steps[at + 1 :]))
            self.stages.table.setFocus(Qt.FocusReason.OtherFocusReason)
            return True
        self.tree.view.setFocus(Qt.FocusReason.OtherFocusReason)
        return True

    def _on_machine(self, machine: str) -> tuple[str, str]:
        for ident, (_, version) in self.desk.document.view.preparations.items():
            for stage in version.stages:
                if stage.equipment == machine:
                    return ident, f"stage/{stage.id}/equipment"
        return "", ""

    def actions_of(self) -> Sequence[QAction]:
        """What can be done with preparations, and with the stages of the one that is shown."""
        return [*self._actions, *self.stages.acts.actions]

    def find_field(self) -> QWidget:
        """The filter of the tree."""
        return self.tree.filter

    def save_state(self) -> dict[str, object]:
        """Splitters, the preparation and the page; and a preparation that was begun and not made."""
        draft = {"book": str(self.desk.document.path), **self.new.draft()}
        return {
            "split": split_text(self.split), "stages": split_text(self.stages.split), "current": self._current,
            "page": self.pages.currentIndex(), "drinks": self.tree.drinks.isChecked(), "draft": draft,
            "new": self.stack.currentWidget() is self.new,
        }  # fmt: skip

    def restore_state(self, state: dict[str, object]) -> None:
        """As it stood."""
        for key, split in (("split", self.split), ("stages", self.stages.split)):
            take_split(split, state.get(key))
        page, current = state.get("page"), state.get("current")
        if isinstance(page, int) and 0 <= page < self.pages.count():
            self.pages.setCurrentIndex(page)
        self.tree.drinks.setChecked(state.get("drinks") is True)
        if isinstance(current, str) and current in self.desk.document.view.preparations:
            self._current = current
            self.tree.refresh()
            self.tree.shown(current)
            self.tree.choose(current)
        draft = state.get("draft")
        if isinstance(draft, dict) and len(draft) > 1 and draft.get("book") == str(self.desk.document.path):
            self.new.take_draft(draft)
            if state.get("new") is True:
                self.stack.setCurrentWidget(self.new)

    # Acts

    def begin_new(self) -> None:
        """Three lines for a new preparation."""
        self.stack.setCurrentWidget(self.new)
        self.new.begin()

    def leave_new(self) -> None:
        """Back to what was shown; what was typed stays for the next time."""
        self.stack.setCurrentWidget(self._seen())
        self._page_changed()
        self.tree.view.setFocus(Qt.FocusReason.OtherFocusReason)

    def _made(self, ident: str) -> None:
        self.show_item(Where("preparation", ident))
        self.pages.setCurrentWidget(self.stages)
        self.stages.table.setFocus(Qt.FocusReason.OtherFocusReason)

    def ask_duplicate(self) -> None:
        """The chosen preparation under another name."""
        found = self.desk.document.view.preparations.get(self._current)
        if found is None:
            return
        name, ok = QInputDialog.getText(
            self, say("The same under another name"), say("What is it called?"),
            text=say("{name}, another way", name=found[0].name),
        )  # fmt: skip
        if ok:
            self.duplicate(name)

    def duplicate(self, name: str) -> bool:
        """A copy under a name."""
        document, made = self.desk.document, ""

        def work() -> Step:
            nonlocal made
            step, made = preparations.duplicate(
                document.book, self._current, name, document.day, document.past_ids()
            )  # fmt: skip
            return step

        return self.desk.attempt(work) and self.show_item(Where("preparation", made))

    def from_fruit(self, what: str) -> bool:
        """Juice or twists of the fruit that is come to in the tree, as a preparation of one stage."""
        row, document = self.tree.row(), self.desk.document
        if row is None or row.kind != "good":
            self.desk.tell(say("Unfold a preparation and come to a fruit in it first."))
            return False
        make, made = preparations.juice_of if what == "juice" else preparations.twist_of, ""

        def work() -> Step | None:
            nonlocal made
            draft = make(document.book, row.id, document.day, document.past_ids())
            made = draft.id
            return draft.step

        return self.desk.attempt(work) and self.show_item(Where("preparation", made))

    def begin_version(self) -> None:
        """What is edited from here on holds from the day that is looked at; what was before keeps its own."""
        document = self.desk.document
        self.desk.attempt(lambda: preparations.begin_version(document.book, self._current, document.day))

    def remove(self) -> None:
        """Take the preparation out; undo brings it back."""
        self.desk.attempt(lambda: preparations.remove(self.desk.document.book, self._current))
