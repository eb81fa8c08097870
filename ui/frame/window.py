"""The window: five places, the why pane beside them, and what is open along the foot."""

import gc
from collections.abc import Callable, Sequence
from datetime import date, datetime
from functools import partial

from PySide6.QtCore import QByteArray, Qt, QTimer, Signal
from PySide6.QtGui import QAction, QCloseEvent, QKeyEvent, QKeySequence
from PySide6.QtWidgets import (
    QApplication,
    QHBoxLayout,
    QLabel,
    QMainWindow,
    QMenu,
    QSizePolicy,
    QSplitter,
    QStackedWidget,
    QToolBar,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from costing.tongue import say, say_many
from ui.desk import Desk, Memory, Where
from ui.document import Document, Moved
from ui.fault import KNOWN, Refusal, refusal_of
from ui.format import Format, own
from ui.frame.about import AboutDialog
from ui.frame.beside import Beside
from ui.frame.dropping import Dropping
from ui.frame.finder import Finder
from ui.frame.keys import KeysDialog
from ui.frame.problems import ProblemStrip
from ui.frame.rail import Rail
from ui.frame.trail import Trail
from ui.places.base import Place
from ui.widgets.fields import DayField, TextField
from ui.widgets.notice import Notice
from ui.widgets.table import DataTable

WARM = 120
"""Milliseconds between the parts that are made ready while nobody waits: a place is then there when it is wanted."""
FOREIGN = 4000
"""Milliseconds between looks at what other windows or the terminal wrote."""
SAID = 8000
"""Milliseconds that something said in passing stays."""
NAMED = 3
"""Texts that are named where there are more."""
SIDE = 390
"""Pixels that the panes beside a place begin with at most."""
Maker = Callable[[Desk], Place]


class Window(QMainWindow):
    """One document and everything that shows it. ``places`` are (name, title, what is in it, kinds, maker)."""

    closing = Signal()

    def __init__(
        self,
        document: Document,
        form: Format,
        memory: Memory,
        places: Sequence[tuple[str, str, str, tuple[str, ...], Maker]],
        ready: Sequence[Callable[[], object]] = (),
    ) -> None:
        """``ready`` is what is done first while nobody waits, such as importing the places."""
        super().__init__()
        self.desk = Desk(document, form, memory, self)
        self._places = {name: (title, about, kinds, maker) for name, title, about, kinds, maker in places}
        self._made: dict[str, Place] = {}
        self._trail = Trail()
        self._unseen = False
        self._left: list[str] = []
        self._build()
        self._menus()
        self.dropping = Dropping(self, self.desk)
        self.desk.went.connect(self.go)
        self.desk.told.connect(self._tell)
        self.desk.refused.connect(self.notice.refuse)
        self.desk.settled.connect(self.notice.settle)
        document.changed.connect(self._moved)
        self._moved(Moved(everything=True))
        self._timer = QTimer(self)
        self._timer.setInterval(FOREIGN)
        self._timer.timeout.connect(self._look)
        self._timer.start()
        self._cold: list[Callable[[], object]] = [*ready, *(partial(self.place, name) for name in self._places)]
        self._cold.append(document.past_ids)  # the first edit that needs a new id would read the whole journal
        self._warmer = QTimer(self)
        self._warmer.setInterval(WARM)
        self._warmer.timeout.connect(self._warm)
        self._warmer.start()

    def _warm(self) -> None:
        """Make the next part ready, in the order that the liquid goes."""
        if self._cold:
            try:
                self._cold.pop(0)()
            except KNOWN:
                self._warmer.stop()  # a file that cannot be read is told to whoever wants something of it
        else:
            self._warmer.stop()
            gc.freeze()  # what stands now stays: looking through all of it again and again costs 30 ms a time

    # What it is made of

    def _build(self) -> None:
        self.rail = Rail([(n, title, about) for n, (title, about, _, _) in self._places.items()], self)
        self.rail.chosen.connect(self.show_place)
        self.notice = Notice(self)
        self.stack = QStackedWidget(self)
        self.side = Beside(self.desk, self)
        middle = QWidget(self)
        self.middle = QVBoxLayout(middle)
        self.middle.setContentsMargins(0, 0, 0, 0)
        self.middle.setSpacing(0)
        self.middle.addWidget(self.notice)
        self.middle.addWidget(self.stack, 1)
        self.split = QSplitter(Qt.Orientation.Horizontal, self)
        self.split.addWidget(middle)
        self.split.addWidget(self.side)
        self.split.setStretchFactor(0, 1)
        self.split.setStretchFactor(1, 0)
        self.split.setCollapsible(0, False)
        beside = min(self.fontMetrics().averageCharWidth() * 48, SIDE)  # larger letters need more, within reason
        self.split.setSizes([1270 - beside, beside])
        whole = QWidget(self)
        layout = QHBoxLayout(whole)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self.rail)
        layout.addWidget(self.split, 1)
        self.setCentralWidget(whole)
        self.resize(1280, 760)
        foot = self.statusBar()
        foot.setSizeGripEnabled(False)
        self.saved = QLabel(self)
        self.strip = ProblemStrip(self.desk, self)
        self.strip.clicked.connect(self.side.show_problems)
        foot.addPermanentWidget(self.saved)
        foot.addPermanentWidget(self.strip)

    def action(
        self, text: str, keys: str | QKeySequence.StandardKey, slot: Callable[..., object], menu: QMenu | None = None
    ) -> QAction:
        """An action of the window with its key."""
        action = QAction(text, self)
        if keys:
            action.setShortcut(QKeySequence(keys))
        action.triggered.connect(slot)
        (menu.addAction if menu is not None else self.addAction)(action)
        return action

    def _menus(self) -> None:
        bar = self.menuBar()
        standard = QKeySequence.StandardKey
        self.book_menu = bar.addMenu(say("&Book"))
        self.edit_menu = bar.addMenu(say("&Edit"))
        self.go_menu = bar.addMenu(say("&Go"))
        self.place_menu = bar.addMenu(say("&Here"))
        self.view_menu = bar.addMenu(say("&View"))
        self.help_menu = bar.addMenu(say("Hel&p"))
        self.undo = self.action(say("Undo"), standard.Undo, self.desk.undo, self.edit_menu)
        self.redo = self.action(say("Redo"), "Ctrl+Shift+Z", self.desk.redo, self.edit_menu)
        self.edit_menu.addSeparator()
        self.action(say("Find in this list"), standard.Find, self.find_here, self.edit_menu)
        self.action(say("Find anything…"), "Ctrl+K", self.find_anything, self.edit_menu)
        for number, (name, (title, _, _, _)) in enumerate(self._places.items(), 1):
            self.action(title, f"Ctrl+{number}", partial(self.show_place, name), self.go_menu)
        self.go_menu.addSeparator()
        self.back = self.action(say("Back"), "Alt+Left", self.go_back, self.go_menu)
        self.forward = self.action(say("Forward"), "Alt+Right", self.go_forward, self.go_menu)
        self.action(say("Next pane"), "F6", partial(self.next_pane, 1), self.go_menu)
        self.action(say("Pane before"), "Shift+F6", partial(self.next_pane, -1), self.go_menu)
        self.action(say("Why this figure"), "F9", self.side.show_why, self.view_menu)
        self.action(say("What is open"), "Ctrl+Shift+P", self.side.show_problems, self.view_menu)
        self.action(say("Day book"), "Ctrl+H", self.side.show_day_book, self.view_menu)
        self.action(say("Hide or show what is beside"), "Ctrl+F9", self.side.toggle, self.view_menu)
        self.view_menu.addSeparator()
        self.action(say("Another day…"), "Ctrl+T", self.focus_day, self.view_menu)
        self.action(say("Today"), "Ctrl+Shift+T", self.show_today, self.view_menu)
        self.action(say("Quit"), standard.Quit, self.close, self.book_menu)
        self.action(say("Keys"), "F1", self.show_keys, self.help_menu)
        self.action(say("About and licences"), "Ctrl+F1", self.show_about, self.help_menu)
        self._toolbar()

    def _toolbar(self) -> None:
        bar = QToolBar(say("Day and history"), self)
        bar.setMovable(False)
        bar.setContextMenuPolicy(Qt.ContextMenuPolicy.PreventContextMenu)
        self.toolbar = bar
        self.house = QLabel(self)
        self.house.setProperty("heading", True)
        bar.addWidget(self.house)
        gap = QWidget(self)
        gap.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        bar.addWidget(gap)
        find = QToolButton(self)
        find.setText(say("Find anything (Ctrl+K)"))
        find.clicked.connect(self.find_anything)
        bar.addWidget(find)
        label = QLabel(say("Figures of"), self)
        bar.addWidget(label)
        self.day = DayField(say("Figures of this day"), self.desk.format, date.today, self)
        self.day.setMaximumWidth(self.fontMetrics().horizontalAdvance("0000-00-00") * 2)
        self.day.picked.connect(self._to_day)
        self.day.refused.connect(self.desk.refuse)
        label.setBuddy(self.day)
        bar.addWidget(self.day)
        self.addToolBar(bar)
        self.undo_button, self.redo_button = QToolButton(self), QToolButton(self)
        for button, action in ((self.undo_button, self.undo), (self.redo_button, self.redo)):
            button.setDefaultAction(action)
            bar.addWidget(button)

    # Places

    def place(self, name: str) -> Place:
        """A place, made when it is first wanted."""
        if name not in self._made:
            place = self._places[name][3](self.desk)
            state = self.desk.memory.get(f"place/{name}")
            if isinstance(state, dict):
                place.restore_state(state)
            self._made[name] = place
            self.stack.addWidget(place)
            place.acts_changed.connect(self._offer)
        return self._made[name]

    @property
    def place_name(self) -> str:
        """The place that is shown."""
        return next((n for n, p in self._made.items() if p is self.stack.currentWidget()), "")

    def show_place(self, name: str, *, remember: bool = True) -> Place:
        """Go to a place."""
        place = self.place(name)
        if self.stack.currentWidget() is not place or not self._trail.begun:
            # Asked before: the stack gives the keyboard to whatever is first in the place.
            entered = place.focusWidget()
            self.stack.setCurrentWidget(place)
            self._enter(place, entered)
            self.notice.settle()
            if remember:
                self._remember(name, None)
        elif not place.isAncestorOf(QApplication.focusWidget() or self):
            self._enter(place, place.focusWidget())
        self.rail.show_place(name)
        self._offer()
        self.place_menu.setTitle(self._places[name][0])
        self._say_where(name)
        return place

    def _offer(self) -> None:
        """What can be done in the place that is shown, in its menu."""
        name = self.place_name
        self.place_menu.clear()
        for action in self._made[name].actions_of() if name else ():
            self.place_menu.addAction(action)
        self.place_menu.setEnabled(not self.place_menu.isEmpty())

    def _enter(self, place: Place, last: QWidget | None) -> None:
        """The keyboard to where it was last in a place, or to what comes first there."""
        for target in (last, place.first(), place.find_field(), _first_in(place)):
            if target is not None and target.isVisibleTo(place) and target.isEnabled():
                target.setFocus(Qt.FocusReason.OtherFocusReason)
                return

    def go(self, where: Where) -> bool:
        """Show a thing in the place that keeps it."""
        return self._go(where, remember=True)

    def _go(self, where: Where, *, remember: bool) -> bool:
        name = next((n for n, (_, _, kinds, _) in self._places.items() if where.kind in kinds), None)
        if name is None:
            self.desk.tell(say("There is no place for that yet."))
            return False
        place = self.show_place(name, remember=False)
        place.catch_up()
        shown = place.show_item(where)
        if remember:
            self._remember(name, where)
        if not shown:
            self.desk.tell(say("{thing} is not there on this day.", thing=own(where.id)))
        return shown

    def _remember(self, name: str, where: Where | None) -> None:
        self._trail.come_to((name, where))
        self._ways()

    def _ways(self) -> None:
        self.back.setEnabled(self._trail.leads(-1))
        self.forward.setEnabled(self._trail.leads(1))

    def go_back(self) -> None:
        """To where one was before."""
        self._step(-1)

    def go_forward(self) -> None:
        """To where one went back from."""
        self._step(1)

    def _step(self, by: int) -> None:
        spot = self._trail.step(by)
        if spot is None:
            return
        name, where = spot
        if where is None:
            self.show_place(name, remember=False)
        else:
            self._go(where, remember=False)
        self._ways()

    def find_here(self) -> None:
        """Ctrl+F: the filter of the list that is shown."""
        place = self.stack.currentWidget()
        field = place.find_field() if isinstance(place, Place) else None
        if field is not None:
            field.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def find_anything(self) -> None:
        """Ctrl+K: one field for everything there is."""
        Finder(self.desk, self.every_action, self).open()

    def every_action(self) -> list[QAction]:
        """Everything that can be done from here, once."""
        menus = [m for m in self.menuBar().findChildren(QMenu) if m.parent() is self.menuBar()]
        found = [action for menu in menus for action in menu.actions()]
        return list(dict.fromkeys(found))

    def show_keys(self) -> None:
        """What every key does."""
        KeysDialog(self.every_action(), self).open()

    def show_about(self) -> None:
        """The program, its cautions and licences."""
        AboutDialog(self).open()

    # Panes

    def panes(self) -> list[QWidget]:
        """What F6 goes round."""
        return [w for w in (self.rail, self.stack, self.side, self.day) if w.isVisible()]

    def next_pane(self, by: int) -> None:
        """To the next pane, or the one before."""
        panes, focus = self.panes(), QApplication.focusWidget()
        here = next((n for n, p in enumerate(panes) if focus is not None and (p is focus or p.isAncestorOf(focus))), 0)
        pane = panes[(here + by) % len(panes)]
        target = pane if pane.focusPolicy() & Qt.FocusPolicy.TabFocus else _first_in(pane)
        (target or pane).setFocus(Qt.FocusReason.TabFocusReason)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """What the menu of the place offers works wherever the keyboard is: in the why pane, on the rail too."""
        place = self.stack.currentWidget()
        pressed = QKeySequence(event.keyCombination())
        for action in place.actions_of() if isinstance(place, Place) else ():
            owner = action.parent()
            seen = isinstance(owner, QWidget) and owner.isVisible()
            alone = action.shortcutContext() == Qt.ShortcutContext.WidgetShortcut
            if seen and not alone and action.isEnabled() and action.shortcut() == pressed:
                action.trigger()
                return
        super().keyPressEvent(event)

    # The day

    def focus_day(self) -> None:
        """Type another day."""
        self.day.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.day.selectAll()

    def _to_day(self, day: date) -> None:
        self.notice.settle()  # a day that could not be read is put right
        self.desk.document.set_day(day)

    def show_today(self) -> None:
        """The figures of today."""
        self.desk.document.set_day(date.today())

    # What happens

    def _moved(self, _: Moved) -> None:
        document = self.desk.document
        for action, text, plain, named in (
            (self.undo, document.undo_text, say("Undo"), say("Undo: {step}", step=document.undo_text or "")),
            (self.redo, document.redo_text, say("Redo"), say("Redo: {step}", step=document.redo_text or "")),
        ):
            action.setEnabled(text is not None)
            action.setText(named if text else plain)
            action.setIconText(plain)
            action.setToolTip(named if text else plain)
        self.day.set_day(document.day)
        house = document.book.house
        self.house.setText(own(house.name) if house and house.name else say("House without a name"))
        if document.read_only:
            self.saved.setText(say("To look at only"))
        elif document.path is not None:
            self.saved.setText(say("Saved {time}", time=f"{datetime.now():%H:%M}"))
        self._say_where(self.place_name)

    def _say_where(self, name: str) -> None:
        title = self._places[name][0] if name else ""
        path = self.desk.document.path
        parts = [title, path.name if path else "", say("Stillroom Ledger")]
        self.setWindowTitle(" – ".join(part for part in parts if part))

    def _tell(self, text: str) -> None:
        self.statusBar().showMessage(text, SAID)

    def _look(self) -> None:
        """Take in what others wrote; a file that is gone or locked is said once, and looked for again."""
        try:
            self.desk.document.refresh()
        except KNOWN as error:
            if not self._unseen:
                self.desk.refuse(refusal_of(error))
            self._unseen = True
        else:
            if self._unseen:
                self.notice.settle()
            self._unseen = False

    def unkept(self) -> list[str]:
        """Texts that were typed and refused, and stand nowhere but on the screen."""
        texts = [field.text() for field in self.findChildren(TextField) if field.refusal is not None]
        texts += [text for table in self.findChildren(DataTable) for text in table.rows.unkept()]
        return texts + [text for place in self._made.values() for text in place.unkept()]

    def keep_state(self) -> None:
        """Keep how the window stands, on this computer."""
        memory = self.desk.memory
        memory.put("window/geometry", bytes(self.saveGeometry().toBase64().data()).decode("ascii"))
        memory.put("window/split", bytes(self.split.saveState().toBase64().data()).decode("ascii"))
        memory.put("window/place", self.place_name)
        for name, place in self._made.items():
            memory.put(f"place/{name}", place.save_state())

    def take_state(self, first: str) -> None:
        """Stand as the last time, or open at ``first``."""
        memory = self.desk.memory
        for key, restore in (("window/geometry", self.restoreGeometry), ("window/split", self.split.restoreState)):
            state = memory.get(key)
            if isinstance(state, str):
                restore(QByteArray.fromBase64(QByteArray(state.encode("ascii"))))
        name = memory.get("window/place")
        self.show_place(name if isinstance(name, str) and name in self._places else first)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Keep the state and let go. Every edit is in the file already; only texts that do not stand there are named
        first, once: the next close leaves them."""
        if not self.may_leave():
            event.ignore()
            return
        self.leave()
        super().closeEvent(event)

    def may_leave(self) -> bool:
        """Whether nothing would be lost by closing. Texts that do not stand are named, once."""
        focus = QApplication.focusWidget()
        if focus is not None and self.isAncestorOf(focus):
            focus.clearFocus()  # a text that is being typed is taken before the book is closed
        left = self.unkept()
        if not left or left == self._left:
            return True
        self._left = left
        self.notice.refuse(
            Refusal(
                say("This was typed and does not stand in the book: {texts}.", texts=listed(left)),
                "",
                say("Mend it or press Esc in its field; the same once more leaves it."),
            )
        )
        return False

    def leave(self) -> None:
        """Keep how the window stands, and let go of the book."""
        self._timer.stop()
        self._warmer.stop()
        gc.unfreeze()  # it goes with the window
        self.keep_state()
        self.closing.emit()


def listed(texts: Sequence[str]) -> str:
    """Texts in quotes, the first few of them."""
    shown = ", ".join(f"“{own(text)}”" for text in texts[:NAMED])
    more = len(texts) - NAMED
    return say_many("{shown} and {n} more", "{shown} and {n} more", more, shown=shown) if more > 0 else shown


def _first_in(pane: QWidget) -> QWidget | None:
    """The first thing in a pane that takes the keyboard."""
    found = (w for w in pane.findChildren(QWidget) if w.focusPolicy() & Qt.FocusPolicy.TabFocus)
    return next((w for w in found if w.isVisible() and w.isEnabled()), None)
