"""New prices: an aim for a whole menu, the smallest changes of prices that meet it, and one key to take them."""

from collections.abc import Sequence
from datetime import date

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QPushButton, QSplitter, QStackedLayout, QVBoxLayout, QWidget

from costing.book.change import Step
from costing.edits.base import currency_of
from costing.edits.reprice import take
from costing.menu.reprice_record import Aim, Repricing
from costing.menu.reprice_rows import MenuRows, menu_rows
from costing.tongue import say, say_many
from ui.desk import Desk, Where
from ui.document import Moved
from ui.fault import Refusal
from ui.places.base import Place, split_text, take_split
from ui.places.menu.head import day_wide, labelled
from ui.places.menu.newprices.answering import AnswerBox
from ui.places.menu.newprices.asking import Answer, Asked, Repricer
from ui.places.menu.newprices.keeping import turn_held
from ui.places.menu.newprices.rows import NewPriceRow, NewPriceTable, new_price_columns, new_price_rows
from ui.places.menu.newprices.under import Under
from ui.places.menu.newprices.why import new_price_why
from ui.places.menu.newprices.wishing import Wishing
from ui.places.menu.standing import Standing, StandingBar
from ui.whys import PriceOf
from ui.widgets.acts import acts
from ui.widgets.fields import DayField, read_day
from ui.widgets.listpane import ListPane
from ui.widgets.notice import EmptyPlace


class NewPricesPage(Place):
    """Type the aim and Enter, read the table, Ctrl+Enter takes the prices as one step."""

    def __init__(self, desk: Desk, standing: Standing, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self.standing = standing
        self.bar = StandingBar(standing, self)
        self.wishing = Wishing(self)
        self.box = AnswerBox(desk.format, self)
        self.under = Under(desk.format, self)
        self._asked: Asked | None = None
        self._stopped: Asked | None = None
        self._answer: Answer | None = None
        self._entered, self._unfit = False, True
        self._repricer = Repricer(self)
        self._make_list()
        self._lay_out()
        self._repricer.known.connect(self._known)
        self._repricer.progress.connect(self.box.tell)
        self.box.turned.connect(self.turn)
        self.wishing.changed.connect(self._wish_moved)
        self.wishing.entered.connect(self._enter)
        standing.changed.connect(self._sales_moved)
        desk.document.day_changed.connect(self._another_day)
        self._actions = self._make_actions()

    def _make_list(self) -> None:
        desk = self.desk
        columns = new_price_columns(desk, {"now": _why_now, "new": self._why_new})
        self.rows = NewPriceTable(columns, _key, desk, self)
        self.list = ListPane(self.rows, say("New prices"), None, self)
        self.use = QPushButton(self)
        self.use.setProperty("chief", True)
        self.use.clicked.connect(self.take)
        self.since = DayField(say("New prices hold from"), desk.format, self._today, self)
        self.since.picked.connect(self.since.set_day)  # what is typed stands, and "+7" is shown as a day
        for widget in (self.use, labelled(say("from"), self.since), day_wide(self.since)):
            self.list.top.addWidget(widget)
        self.list.table.opened.connect(self._open)
        self.list.table.explained.connect(desk.explain)

    def _lay_out(self) -> None:
        self.body = QWidget(self)
        inside = QVBoxLayout(self.body)
        inside.setContentsMargins(0, 0, 0, 0)
        inside.setSpacing(4)
        inside.addWidget(self.wishing)
        inside.addWidget(self.box)
        self.split = QSplitter(Qt.Orientation.Vertical, self)
        self.split.addWidget(self.list)
        self.split.addWidget(self.under)
        self.split.setStretchFactor(0, 1)
        self.split.setCollapsible(0, False)
        line = self.fontMetrics().lineSpacing()
        self.split.setSizes([18 * line, 6 * line + 12])
        inside.addWidget(self.split, 1)
        self.unsold = EmptyPlace(
            say("A whole menu is priced by what was sold of each drink, and no sales that ended by the day looked at "
                "are in the book: read those of some weeks first."),
            say("Read sales…"), self._go_sold, self,
        )  # fmt: skip
        self.bare = EmptyPlace(
            say("There is no price to change: put drinks with printed prices on a menu of this day first."),
            say("To the prices"), self._go_prices, self,
        )  # fmt: skip
        self._stack = QStackedLayout()
        for page in (self.body, self.unsold, self.bare):
            self._stack.addWidget(page)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(6, 6, 6, 4)
        layout.setSpacing(4)
        layout.addWidget(self.bar)
        layout.addLayout(self._stack, 1)

    def _make_actions(self) -> list[QAction]:
        own = acts(
            self.list.table,
            [
                (say("Take these prices"), "Ctrl+Return", self.take),
                (say("Hold the selected prices, or let them move"), "Space", self.hold),
            ],
            alone=True,
        )
        out = acts(
            self,
            [
                (say("Type the aim of the menu"), "Ctrl+Shift+A", self.focus_aim),
                (say("Stop working out new prices, or work them out"), "Ctrl+.", self.turn),
            ],
        )
        return [own[0], *out, own[1]]

    # Place

    def refresh(self, moved: Moved) -> None:
        """The menu as it stands, what is wanted of it, and what is known of that."""
        document = self.desk.document
        self.bar.refresh()
        if not self.since.stands:
            self.since.set_day(document.day)
        self.wishing.show_book(document.view, currency_of(document.book), self._usual())
        rows = self._menu_rows() if self.standing.periods() else None
        page = self.unsold if rows is None else self.body if rows.rows or len(document.view.menus) > 1 else self.bare
        self._stack.setCurrentWidget(page)
        if rows is None or page is not self.body:
            self._repricer.forget()
            self._asked = self._answer = None
            self.rows.set_rows([])
            return
        self._ask(rows)
        self._show(rows)

    def _ask(self, rows: MenuRows) -> None:
        wish = self.wishing.wish()
        asked = self._asked = Asked(rows, wish) if wish is not None else None
        if asked is None or asked == self._stopped:
            self._repricer.forget()
        else:
            self._stopped = None
            self._repricer.ask(asked, asked)
        found: Answer | None = self._repricer.of(asked)
        if found is not None:
            self._answer = found
        elif self._answer is not None and _sold(self._answer.of.rows) != _sold(rows):
            self._answer = None  # of another menu or other sales nothing stays

    def _menu_rows(self) -> MenuRows:
        menu, section = self.wishing.chosen
        return menu_rows(self.desk.document.reckoning, self.standing.mix(), menu=menu or None, section=section or None)

    def _usual(self) -> Aim | None:
        """The house's own target, where that is a pour cost: nobody has to type it."""
        terms = self.desk.document.view.terms
        usual = terms is not None and terms.policy.kind == "pour_cost"
        return Aim(kind="pour_cost", value=terms.policy.value) if terms is not None and usual else None

    def actions_of(self) -> Sequence[QAction]:
        """What can be done here."""
        return self._actions

    def first(self) -> QWidget:
        """The aim, or the one thing to do first."""
        if self._stack.currentWidget() is self.body:
            return self.wishing.aim
        empty = self.unsold if self._stack.currentWidget() is self.unsold else self.bare
        return empty.findChild(QPushButton) or self.bar.span

    def find_field(self) -> QWidget:
        """The filter of the lines."""
        return self.list.filter

    def save_state(self) -> dict[str, object]:
        """What is wanted, and how the room is shared."""
        return {**self.wishing.save_state(), "split": split_text(self.split)}

    def restore_state(self, state: dict[str, object]) -> None:
        """As it stood."""
        self.wishing.restore_state(state)
        take_split(self.split, state.get("split"))

    # What is shown

    @property
    def said(self) -> str:
        """The answer in a sentence."""
        return self.box.said.text()

    def _show(self, rows: MenuRows) -> None:
        stale = self._found() is None
        answer = self._answer
        self.rows.set_rows(new_price_rows(rows, self.desk.document.view, answer))
        self.rows.set_stale(stale)
        stopped = self._asked is not None and self._asked == self._stopped
        self.box.show_answer(answer, working=self._repricer.working, stopped=stopped, wanted=self._asked is not None)
        self.under.show_answer(rows, answer, self.standing.mix().without, stale=stale)
        self._say_use()
        if self._unfit and not stale and self.isVisible():
            self._unfit = False
            self.list.table.fit_columns()  # once, when there are figures in all of them
        self._arrive()

    def _found(self) -> Repricing | None:
        """The repricing that is shown, unless it is of before."""
        answer = self._answer
        return answer.found if answer is not None and answer.of == self._asked else None

    def _say_use(self) -> None:
        found, count = self._found(), 0
        if found is not None and found.met:
            count = len(found.moved)
        self.use.setEnabled(bool(count))
        if count:
            self.use.setText(say_many("Take this new price", "Take these {n} prices", count))
        else:
            self.use.setText(say("Take these prices"))
        if found is not None and not found.met:
            self.use.setToolTip(say("The aim is out of reach: lift a limit first"))
        else:
            self.use.setToolTip(say("One step, taken back by one undo (Ctrl+Enter in the table)"))

    def _known(self) -> None:
        self.refresh(Moved())

    def _wish_moved(self) -> None:
        self.refresh(Moved())

    def _sales_moved(self) -> None:
        self._moved(Moved(everything=True))

    def _enter(self) -> None:
        """Enter in a field goes to the table, to the first price that changes as soon as it is known."""
        self._entered = True
        self.list.table.setFocus(Qt.FocusReason.TabFocusReason)
        self._arrive()

    def _arrive(self) -> None:
        table = self.list.table
        if not self._entered or self._found() is None or not self.rows.rowCount():
            return
        self._entered = False
        if table.hasFocus():
            at = next((n for n, row in enumerate(self.rows.rows()) if row.moves), 0)
            table.choose(self.rows.key(at), next(n for n, c in enumerate(self.rows.columns) if c.key == "new"))

    # Why

    def _why_new(self, row: NewPriceRow) -> object | None:
        if self._found() is None:
            return None
        return new_price_why(row, self.desk.document.figures, self.standing.mix().base, self.desk.format)

    # Acts

    def _today(self) -> date:
        return self.desk.document.day

    def _another_day(self, day: date) -> None:
        """Prices hold from the day that is looked at, until another is typed; that one stays until then."""
        self.since.revert()
        self.since.set_day(day)

    def focus_aim(self) -> None:
        """Type another aim."""
        self.wishing.aim.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def turn(self) -> None:
        """Stop what is being worked out; or work out what was stopped."""
        if self._repricer.working:
            self._stopped = self._asked
        elif self._stopped is not None:
            self._stopped = None
        else:
            return
        self.refresh(Moved())

    def take(self) -> None:
        """The new prices from the day beside the button, as one step; only where they meet the aim."""
        self.desk.attempt(self._step)

    def _step(self) -> Step:
        found, unchanged = self._found(), say("No price was changed.")
        if found is None:
            raise Refusal(unchanged, say("The new prices are not known yet."), say("Wait until they are worked out."))
        if not found.met:
            raise Refusal(
                unchanged,
                say("The aim is out of reach, and what is shown is the furthest that the limits allow."),
                say("Lift a limit, or type an aim that can be reached: under the table is what each would do."),
            )
        document = self.desk.document
        step = take(document.book, found.prices, read_day(self.since.text(), document.day))
        if step is None:
            raise Refusal(
                unchanged, say("No price needs to change, or all of them stand on that day already."),
                say("Type another aim (Ctrl+Shift+A)."),
            )  # fmt: skip
        return step

    def hold(self) -> None:
        """Hold the prices of the selected lines; where all of them are held, let them move."""
        chosen = set(self.list.table.chosen())
        rows = [row for row in self.rows.rows() if row.key in chosen]
        book = self.desk.document.book
        self.desk.attempt(lambda: turn_held(book, [row.at(book) for row in rows]) if rows else None)

    def _open(self, key: str) -> None:
        at = self.rows.position(key)
        if at is None:
            return
        if self.rows.columns[self.list.table.currentIndex().column()].key == "held":
            self.hold()
            return
        self.desk.go(Where("serve", self.rows.row(at).place[2], "price"))

    def _go_sold(self) -> None:
        self.desk.go(Where("menu", ":sold"))

    def _go_prices(self) -> None:
        self.desk.go(Where("menu", ":prices"))


def _key(row: NewPriceRow) -> str:
    return row.key


def _why_now(row: NewPriceRow) -> object | None:
    menu, section, serve = row.place
    return PriceOf(serve, menu, section)


def _sold(rows: MenuRows) -> list[tuple[str, object]]:
    return [(row.key, row.sold) for row in rows.rows]
