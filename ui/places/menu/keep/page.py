"""What to keep: each section of the menu judged by what was sold, how sure that is, and one thing to do a drink."""

from collections.abc import Callable, Sequence
from functools import partial

from PySide6.QtCore import QSignalBlocker, Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QLabel, QPushButton, QSplitter, QStackedLayout, QTabWidget, QVBoxLayout, QWidget

from costing.book.records import Menu
from costing.menu.mix import Mix
from costing.menu.rivals import MethodCode
from costing.report.words import series
from costing.tongue import say
from ui.desk import Desk, Where
from ui.document import Moved
from ui.format import own
from ui.latest import Latest
from ui.models.table import RowTable
from ui.places.base import Place, split_text, take_split
from ui.places.menu.keep.choice import SectionChoice
from ui.places.menu.keep.detail import KeepDetail
from ui.places.menu.keep.goingview import GoingView
from ui.places.menu.keep.methods import MethodsView
from ui.places.menu.keep.picture import KeepPicture
from ui.places.menu.keep.rows import KeepRow, keep_columns, keep_rows, section_titles
from ui.places.menu.keep.why import class_why, margin_why, method_why, sure_why
from ui.places.menu.keep.work import Asked, Kept, judging_of, machines_of, usual_machine
from ui.places.menu.standing import Standing, StandingBar
from ui.widgets.acts import acts
from ui.widgets.listpane import ListPane
from ui.widgets.notice import EmptyPlace
from ui.widgets.table import DataTable

USUAL = "?"
"""The machine that is short where nobody chose one: the one that these sales used most of."""
ONE, METHODS, GOING = 0, 1, 2
"""The views."""


class KeepPage(Place):
    """Three views of the same drinks: one class, other methods, and what becomes of the others if some go."""

    def __init__(self, desk: Desk, standing: Standing, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.standing = standing
        self.bar = StandingBar(standing, self)
        self.choice = SectionChoice(desk.format, self)
        self._kept: Kept | None = None
        self._drinks: list[KeepRow] = []
        self._machine = USUAL
        self._latest = Latest(self)
        self._latest.known.connect(self._known)
        self.told = QLabel(self)
        self.told.setProperty("faint", True)
        self.told.setWordWrap(True)
        self.told.setTextFormat(Qt.TextFormat.PlainText)
        self._make_views()
        self._lay_out()
        self.choice.chosen.connect(self._section_chosen)
        standing.changed.connect(self._sales_moved)
        self._actions = self._make_actions()

    def _make_views(self) -> None:
        desk, form = self.desk, self.desk.format
        whys: dict[str, Callable[[KeepRow], object | None]] = {
            "margin": self._why_margin, "class": self._why_class, "sure": self._why_sure,
        }  # fmt: skip
        self.rows: RowTable[KeepRow] = RowTable(keep_columns(form, whys), _key, desk, self)
        self.list = ListPane(self.rows, say("What to keep"), None, self)
        self.picture = KeepPicture(form, self)
        self.detail = KeepDetail(desk, self._why_sure, self)
        self.methods = MethodsView(desk, self._why_class, self._why_method, self)
        self.going = GoingView(desk, self)
        for table in (self.list.table, self.methods.list.table, self.going.list.table):
            table.opened.connect(self._open)
            table.explained.connect(desk.explain)
        self.list.table.current_key.connect(self._came_to)
        self.picture.came_to.connect(self._choose)
        self.picture.picked.connect(self._open)
        self.methods.machine_chosen.connect(self._machine_chosen)

    def _lay_out(self) -> None:
        self.below = QSplitter(Qt.Orientation.Horizontal, self)
        self.below.addWidget(self.picture)
        self.below.addWidget(self.detail)
        self.below.setSizes([500, 400])
        self.split = QSplitter(Qt.Orientation.Vertical, self)
        self.split.addWidget(self.list)
        self.split.addWidget(self.below)
        self.split.setSizes([225, 280])
        self.views = QTabWidget(self)
        self.views.setAccessibleName(say("Ways to look at the drinks"))
        for title, view in (
            (say("One class"), self.split), (say("Other methods"), self.methods), (say("If it goes"), self.going),
        ):  # fmt: skip
            self.views.addTab(view, title)
        self.unsold = EmptyPlace(
            say("Drinks are judged by what was sold, and no sales that ended by the day looked at are in the book: "
                "read those of some weeks first."),
            say("Read sales…"), self._go_sold, self,
        )  # fmt: skip
        self.bare = EmptyPlace(
            say("Drinks are judged beside the others on their menu, and no menu of this day has any: "
                "put them on first."),
            say("To the prices"), self._go_prices, self,
        )  # fmt: skip
        self._stack = QStackedLayout()
        for page in (self.views, self.unsold, self.bare):
            self._stack.addWidget(page)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(6, 6, 6, 4)
        layout.setSpacing(4)
        layout.addWidget(self.bar)
        layout.addWidget(self.choice)
        layout.addLayout(self._stack, 1)
        layout.addWidget(self.told)

    def _make_actions(self) -> list[QAction]:
        back = partial(self.turn_to, ONE)
        for view in (self.methods, self.going):
            acts(view.list.table, [(say("Back to one class a drink"), "Escape", back)], alone=True)
        return acts(
            self,
            [
                (say("One class a drink"), "Ctrl+Shift+K", back),
                (say("What other methods say"), "Ctrl+Shift+M", partial(self.turn_to, METHODS)),
                (say("What the others become if the selected drinks go"), "Ctrl+Shift+L", self.let_go),
            ],
        )

    # Place

    def refresh(self, moved: Moved) -> None:
        """The sales that count, and what is judged by them."""
        self.bar.refresh()
        asked = self._asked()
        page = self.unsold if asked is None else self.views if asked.mix.items else self.bare
        self._stack.setCurrentWidget(page)
        self.choice.setVisible(page is self.views)
        if asked is None or page is not self.views:
            self._latest.forget()
            self._show(None)
            self.told.hide()
            return
        self.choice.show_asked(asked)
        self.methods.show_machines(machines_of(asked.figures, asked.mix), asked.machine)
        self._latest.ask(asked, asked)
        found: Kept | None = self._latest.of(asked)
        if found is not None:
            self._show(found)
        elif self._kept is None or self._kept.of.mix.periods != asked.mix.periods:
            self._show(None)  # of other sales nothing stays
        self._tell(asked.mix, known=found is not None)

    def _asked(self) -> Asked | None:
        if not self.standing.periods():
            return None
        figures, mix = self.desk.document.figures, self.standing.mix()
        machine = usual_machine(figures, mix) if self._machine == USUAL else self._machine
        return Asked(figures, mix, judging_of(figures), machine if machine in machines_of(figures, mix) else "")

    def _known(self) -> None:
        self.refresh(Moved())

    def _sales_moved(self) -> None:
        self._moved(Moved(everything=True))

    def actions_of(self) -> Sequence[QAction]:
        """What can be done here."""
        return self._actions

    def first(self) -> QWidget:
        """The table of the seen view, or the one thing to do first."""
        if self._stack.currentWidget() is self.views:
            return self._list().table
        empty = self.unsold if self._stack.currentWidget() is self.unsold else self.bare
        return empty.findChild(QPushButton) or self.bar.span

    def find_field(self) -> QWidget:
        """The filter of the seen view."""
        return self._list().filter

    def save_state(self) -> dict[str, object]:
        """The seen view, the section, the machine, and where the splitters stand."""
        return {
            "view": self.views.currentIndex(), "section": self.choice.text, "machine": self._machine,
            "split": split_text(self.split), "below": split_text(self.below),
        }  # fmt: skip

    def restore_state(self, state: dict[str, object]) -> None:
        """As it stood."""
        view, section, machine = state.get("view"), state.get("section"), state.get("machine")
        if isinstance(view, int) and 0 <= view < self.views.count():
            self.views.setCurrentIndex(view)
        self.choice.want(section if isinstance(section, str) else "")
        self._machine = machine if isinstance(machine, str) else USUAL
        take_split(self.split, state.get("split"))
        take_split(self.below, state.get("below"))

    # What is shown

    def _section_chosen(self) -> None:
        self._show(self._kept)

    def _show(self, kept: Kept | None) -> None:
        """The drinks of the chosen section in every view."""
        self._kept = kept
        if kept is not None:
            titles = section_titles([(s.menu, s.name) for s in kept.sections], kept.of.figures.view)
            self._drinks = keep_rows(kept.chosen(self.choice.key), titles)
        else:
            self._drinks = []
        table, fresh, before = self.list.table, not self.rows.total, _current(self.list.table)
        with QSignalBlocker(table):  # what the cursor is pushed over was not asked for
            self.rows.set_rows(self._drinks)
            if self.rows.rowCount() and (not before or _current(table) != before):
                first = next((n for n, row in enumerate(self.rows.rows()) if not row.heading), 0)
                table.come_to(self.rows.index(first, 0))
        self.methods.show_rows(self._drinks)
        self.going.show_rows(kept, self._drinks)
        if fresh and self.isVisible():
            table.fit_columns()
        self._came_to()

    def _came_to(self, _: str = "") -> None:
        """The drink that one is on, and its section."""
        row = self._row(_current(self.list.table))
        self.detail.show_row(row)
        inside = [r for r in self._drinks if row is not None and r.section is row.section]
        self.picture.show_section(inside, row.key if row is not None else "")

    def _row(self, key: str) -> KeepRow | None:
        return next((row for row in self._drinks if row.key == key), None)

    def _tell(self, mix: Mix, *, known: bool) -> None:
        said = []
        if not known:
            said.append(say("It is being worked out…") if self._kept is None else say("It is being worked out anew…"))
        if mix.without:
            said.append(say("Sold, but on no menu of the day, and so not judged: {names}.",
                            names=series(own(name) for name in mix.without)))  # fmt: skip
        menus = self.desk.document.book.all(Menu)
        for ident, count in mix.joined:
            menu = own(menus[ident].name if ident in menus else ident)
            said.append(say("{n} sold from {menu}, which does not print them on this day, are counted on the menu that "
                            "does.", n=self.desk.format.number(count, 2, trim=True), menu=menu))  # fmt: skip
        self.told.setText(" ".join(said))
        self.told.setVisible(bool(said))

    # Why

    def _why_margin(self, row: KeepRow) -> object | None:
        return margin_why(self._kept, row, self.desk.format) if self._kept is not None else None

    def _why_class(self, row: KeepRow) -> object | None:
        return class_why(self._kept, row, self.desk.format) if self._kept is not None else None

    def _why_sure(self, row: KeepRow) -> object | None:
        return sure_why(self._kept, row, self.desk.format) if self._kept is not None else None

    def _why_method(self, row: KeepRow, code: MethodCode) -> object | None:
        return method_why(self._kept, row, code, self.desk.format) if self._kept is not None else None

    # Acts

    def _list(self) -> ListPane:
        return (self.list, self.methods.list, self.going.list)[self.views.currentIndex()]

    def turn_to(self, view: int) -> None:
        """Show a view, on the drink that one is on."""
        key = _current(self._list().table)
        self.views.setCurrentIndex(view)
        table = self._list().table
        if key:
            table.choose(key, max(0, table.currentIndex().column()))
        table.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def let_go(self) -> None:
        """What the others become if the selected drinks go."""
        if self.views.currentIndex() != GOING:
            chosen = (self._row(key) for key in self._list().table.chosen())
            self.going.let_go({row.key for row in chosen if row is not None and row.drink is not None})
        self.turn_to(GOING)

    def _choose(self, key: str) -> None:
        self.list.table.choose(key, max(0, self.list.table.currentIndex().column()))

    def _open(self, key: str) -> None:
        row = self._row(key)
        if row is not None and row.item is not None:
            self.desk.go(Where("serve", row.item.serve, "price"))

    def _go_sold(self) -> None:
        self.desk.go(Where("menu", ":sold"))

    def _go_prices(self) -> None:
        self.desk.go(Where("menu", ":prices"))

    def _machine_chosen(self, machine: str) -> None:
        self._machine = machine
        self.refresh(Moved())


def _current(table: DataTable) -> str:
    index = table.currentIndex()
    return table.rows.key(index.row()) if index.isValid() else ""


def _key(row: KeepRow) -> str:
    return row.key
