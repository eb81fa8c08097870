"""What if: scenarios that are kept in the book, what each supposes, and what that does to the menu."""

from collections.abc import Sequence
from functools import partial
from itertools import pairwise

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QPushButton, QSplitter, QTabWidget, QVBoxLayout, QWidget

from costing.book.selling import Scenario
from costing.tongue import say
from ui.desk import Desk, Where
from ui.document import Moved
from ui.latest import Latest
from ui.places.base import Place, split_text, take_split
from ui.places.cellar.buying.saying import Line
from ui.places.menu.standing import Standing, StandingBar
from ui.places.menu.whatif.choosing import ChoosingPane
from ui.places.menu.whatif.evens import EvensView
from ui.places.menu.whatif.matters import MattersView
from ui.places.menu.whatif.moves import SCENARIO, MovesView
from ui.places.menu.whatif.side import SideView
from ui.places.menu.whatif.supposing import SupposingPane
from ui.places.menu.whatif.warnings import told_text, wrong_lines, wrong_text
from ui.places.menu.whatif.work import Asked, Tried
from ui.widgets.acts import acts
from ui.widgets.roomy import scrolled

SIDE, MOVES, MATTERS, EVENS = 0, 1, 2, 3
"""The views."""


class WhatIfPage(Place):
    """Left the scenarios and under them the lines of the chosen one; right what comes of it."""

    kinds = ("scenario",)

    def __init__(self, desk: Desk, standing: Standing, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.standing = standing
        self.bar = StandingBar(standing, self)
        self._tried: Tried | None = None
        self._working = ""
        self._latest = Latest(self)
        self._latest.known.connect(self._known)
        self.choosing, self.supposing = ChoosingPane(desk, self), SupposingPane(desk, self)
        self.side, self.moves = SideView(desk, self), MovesView(desk, standing, self)
        self.matters, self.evens = MattersView(desk, standing, self), EvensView(desk, self)
        self.warn, self.told = Line(self, kind="error"), Line(self, kind="faint")
        self.read = QPushButton(say("Read sales…"), self)
        self._lay_out()
        self._actions = self._make_actions()
        self.choosing.chosen.connect(self._chosen)
        self.choosing.made.connect(self.supposing.begin)
        self.supposing.dropped.connect(self.choosing.drop)
        self.side.begun.connect(self.choosing.begin_new)
        self.views.currentChanged.connect(self._turned)
        self.moves.which.activated.connect(self._tell)
        self.read.clicked.connect(self._go_sold)
        standing.changed.connect(self._sales_moved)

    def _lay_out(self) -> None:
        self.bar.take([self.read])
        self.views = QTabWidget(self)
        self.views.setAccessibleName(say("What comes of it"))
        for title, view in (
            (say("Side by side"), self.side), (say("What moves it"), self.moves),
            (say("Which price matters"), self.matters), (say("Break-even prices"), self.evens),
        ):  # fmt: skip
            self.views.addTab(view if view is self.side else scrolled(view, self.views), title)
        self.left = QSplitter(Qt.Orientation.Vertical, self)
        self.left.addWidget(self.choosing)
        self.left.addWidget(self.supposing)
        self.left.setSizes([190, 300])
        self.left.setStretchFactor(1, 1)
        for line in (self.warn, self.told):
            line.setContentsMargins(4, 0, 4, 0)
        right = QWidget(self)
        facing = QVBoxLayout(right)
        facing.setContentsMargins(0, 0, 0, 0)
        facing.setSpacing(2)
        facing.addWidget(self.warn)
        facing.addWidget(self.views, 1)
        facing.addWidget(self.told)
        self.split = QSplitter(Qt.Orientation.Horizontal, self)
        self.split.addWidget(self.left)
        self.split.addWidget(right)
        self.split.setSizes([365, 705])
        self.split.setStretchFactor(1, 1)
        self.split.setCollapsible(1, False)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(6, 6, 6, 4)
        layout.setSpacing(4)
        layout.addWidget(self.bar)
        layout.addWidget(self.split, 1)
        left, below = self.choosing, self.supposing
        order: list[QWidget] = [left.list.filter, left.new, left.list.table, below.list.table, below.apply_button,
                                below.since, below.drop_button, self.views]  # fmt: skip
        for one, two in pairwise(order):
            QWidget.setTabOrder(one, two)

    def _make_actions(self) -> list[QAction]:
        return acts(
            self,
            [
                (say("New scenario"), "Ctrl+Shift+N", self.choosing.begin_new),
                (say("One more like this"), "Ctrl+Shift+D", self.choosing.copy),
                (say("Apply it from the day beside it"), "Ctrl+Return", self.supposing.apply),
                (say("Side by side"), "Ctrl+Shift+B", partial(self.turn_to, SIDE)),
                (say("What moves it"), "Ctrl+Shift+M", partial(self.turn_to, MOVES)),
                (say("Which price matters"), "Ctrl+Shift+W", partial(self.turn_to, MATTERS)),
                (say("Break-even prices"), "Ctrl+Shift+E", partial(self.turn_to, EVENS)),
            ],
        )

    # Place

    def refresh(self, moved: Moved) -> None:
        """The scenarios, the lines of the chosen one, and what comes of it."""
        self.bar.refresh()
        self.read.setVisible(not self.standing.periods())
        self.choosing.refresh()
        self._ask()
        self._show_seen()

    def actions_of(self) -> Sequence[QAction]:
        """What can be done here."""
        return self._actions

    def first(self) -> QWidget:
        """The list of scenarios."""
        return self.choosing.list.table

    def find_field(self) -> QWidget:
        """The filter of the seen view where it has one, else that of the scenarios."""
        pane = self.side.list if self.views.currentIndex() == SIDE else self.choosing.list
        return pane.filter if pane.filter.isVisible() else self.choosing.list.filter

    def show_item(self, where: Where) -> bool:
        """Go to a scenario."""
        if where.id not in self.desk.document.book.all(Scenario):
            return False
        self.choosing.choose(where.id)
        self._chosen()
        self.first().setFocus(Qt.FocusReason.OtherFocusReason)
        return True

    def unkept(self) -> Sequence[str]:
        """Texts that were typed here and stand nowhere in the book."""
        return [*self.choosing.rows.unkept(), *self.supposing.rows.unkept()]

    def save_state(self) -> dict[str, object]:
        """The chosen scenario, those beside it, the seen view, and where the splitters stand."""
        return {
            "chosen": self.choosing.ident, "beside": sorted(self.choosing.beside), "view": self.views.currentIndex(),
            **{key: split_text(split) for key, split in self._splits().items()},
            **{key: part.save_state() for key, part in self._parts().items()},
        }  # fmt: skip

    def restore_state(self, state: dict[str, object]) -> None:
        """As it stood."""
        chosen, beside, view = state.get("chosen"), state.get("beside"), state.get("view")
        self.choosing.ident = chosen if isinstance(chosen, str) else ""
        self.choosing.beside = frozenset(map(str, beside)) if isinstance(beside, list) else frozenset()
        for key, part in self._parts().items():
            kept = state.get(key)
            if isinstance(kept, dict):
                part.restore_state(kept)
        for key, split in self._splits().items():
            take_split(split, state.get(key))
        if isinstance(view, int) and 0 <= view < self.views.count():
            self.views.setCurrentIndex(view)

    def _splits(self) -> dict[str, QSplitter]:
        return {"left": self.left, "split": self.split, "below": self.side.split}

    def _parts(self) -> "dict[str, SideView | MovesView | MattersView | EvensView]":
        return {"side": self.side, "moves": self.moves, "matters": self.matters, "evens": self.evens}

    # What is shown

    def _asked(self) -> Asked | None:
        mix, shown = self.standing.today(), self.choosing.shown
        if not shown or not mix.items:
            return None
        return Asked(self.desk.document.figures, mix, shown, self.choosing.ident)

    def _ask(self) -> None:
        asked = self._asked()
        if asked is None:
            self._latest.forget()
            self._show(None, known=True)
            return
        self._latest.ask(asked, asked)
        found: Tried | None = self._latest.of(asked)
        if found is not None:
            self._show(found, known=True)
        else:
            self._show(self._tried if self._alike(asked) else None, known=False)

    def _alike(self, asked: Asked) -> bool:
        """Whether what is shown may stand until it is worked out anew: the same scenarios, of the same sales."""
        if self._tried is None:
            return False
        of = self._tried.of
        same = [s.id for s in of.scenarios] == [s.id for s in asked.scenarios]
        return same and of.chosen == asked.chosen and of.mix.periods == asked.mix.periods

    def _show(self, tried: Tried | None, *, known: bool) -> None:
        self._tried = tried
        scenario = self.choosing.scenario
        if scenario is None and self.supposing.list.table.hasFocus():
            self.first().setFocus(Qt.FocusReason.OtherFocusReason)  # there is nothing to type there any more
        told = tried.lines if tried is not None and scenario in tried.of.scenarios else ()
        self.supposing.show_scenario(scenario, told)
        hint, bare = self._hint(tried), not self.desk.document.book.all(Scenario)
        self.side.show_tried(tried, hint, bare=bare)
        self.moves.show_tried(tried, hint)
        wrong = wrong_lines(tried, self.desk.document.names) if tried is not None else []
        self.warn.say(wrong_text(wrong))
        self.warn.setToolTip("\n".join(wrong))
        self._working = (
            "" if known else say("It is being worked out anew…") if tried else say("It is being worked out…")
        )
        self._tell()

    def _tell(self, *_: object) -> None:
        """What must be read with the figures of scenarios, where they are seen."""
        at = self.views.currentIndex()
        scenarios = at == SIDE or (at == MOVES and self.moves.which.currentIndex() == SCENARIO)
        said = [self._working, *(told_text(self._tried) if self._tried is not None else ())] if scenarios else []
        self.told.say(" ".join(filter(None, said)))

    def _hint(self, tried: Tried | None) -> str:
        """Why there are no figures, where there are none."""
        if not self.standing.today().items:
            return say("No menu of this day has any drinks: put some on one first.")
        if self.choosing.scenario is None:
            return say("Name a scenario at the left, and type what it supposes.")
        if tried is None:
            return say("It is being worked out…")
        return "" if tried.ids else say("There are no figures while it cannot be laid over the book.")

    def _known(self) -> None:
        self._ask()
        self._show_seen()

    def _show_seen(self) -> None:
        view = list(self._parts().values())[self.views.currentIndex()]
        if isinstance(view, (MovesView, MattersView, EvensView)) and view.isVisible():
            view.refresh()

    def _turned(self, *_: object) -> None:
        self._tell()
        self._show_seen()

    def _chosen(self) -> None:
        self._ask()
        self._show_seen()

    def _sales_moved(self) -> None:
        self._moved(Moved(everything=True))

    # Acts

    def turn_to(self, view: int) -> None:
        """Show a view, with the keyboard in it."""
        self.views.setCurrentIndex(view)
        list(self._parts().values())[view].first().setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _go_sold(self) -> None:
        self.desk.go(Where("menu", ":sold"))
