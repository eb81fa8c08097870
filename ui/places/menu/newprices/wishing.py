"""What is wanted of a menu's prices, typed and chosen in a row of fields that wraps where there is less room."""

from collections.abc import Callable
from decimal import Decimal

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QCheckBox, QComboBox, QLabel, QVBoxLayout, QWidget

from costing.book.book import View
from costing.edits.suppliers import typed_share
from costing.menu.reprice_record import RISE, Aim, Goal, Limits
from costing.menu.reprice_words import GOAL_WORDS
from costing.tongue import capital, say, word
from ui.fault import KNOWN, Refusal, refusal_of
from ui.format import own
from ui.places.menu.newprices.asking import Wish
from ui.places.menu.newprices.typed import aim_text, percent_text, typed_aim, typed_number_of_prices
from ui.widgets.fields import TextField
from ui.widgets.wrapping import Cell, Wrapping

GOALS: tuple[Goal, ...] = ("smallest", "fewest")
Part = tuple[str, str]
"""A menu and a section of it; "" is all of them."""


class WishField(TextField):
    """A field of which all is typed over where it is come to. ``mended`` tells that a refused text was given up."""

    mended = Signal()

    def refuse(self, refusal: Refusal | None) -> None:
        """Mark the text as not taken, or take the mark away."""
        marked = self.refusal is not None
        super().refuse(refusal)
        if marked and refusal is None:
            self.mended.emit()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Coming to it without the mouse selects all of it."""
        super().focusInEvent(event)
        reason = Qt.FocusReason
        if event.reason() not in (reason.MouseFocusReason, reason.ActiveWindowFocusReason, reason.PopupFocusReason):
            self.selectAll()


class Wishing(QWidget):
    """The fields. ``changed`` tells when something else is wanted, ``entered`` that Enter was pressed in a field whose
    text stands."""

    changed = Signal()
    entered = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._aim: Aim | None = None
        self._usual: Aim | None = None
        self._rise: Decimal | None = RISE
        self._at_most: int | None = None
        self._currency = ""
        self._parts: list[Part] = [("", "")]
        self._wanted = ""
        self._make()
        self.fault = QLabel(self)
        self.fault.setProperty("error", True)
        self.fault.setWordWrap(True)
        self.fault.setContentsMargins(4, 0, 4, 0)
        self.fault.hide()
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(2)
        layout.addWidget(self.row)
        layout.addWidget(self.fault)

    def _make(self) -> None:
        self.row = Wrapping(self)
        self.part = QComboBox(self)
        self.part.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        self.aim = WishField(say("Aim"), self, hint=say("20 % or margin 9000"))
        self.aim.setToolTip(say("20 % is an overall pour cost, margin 9000 what the sales looked at are to leave"))
        self.goal = QComboBox(self)
        self.goal.addItems([capital(word(GOAL_WORDS, goal)) for goal in GOALS])
        self.rise = WishField(say("Rise at most"), self, hint=say("any"))
        self.at_most = WishField(say("Changes at most"), self, hint=say("any"))
        self.falls = QCheckBox(say("allowed"), self)
        self.falls.setChecked(True)
        cells = []
        for title, widget, letters in (
            (say("Menu or section"), self.part, 0), (say("Aim"), self.aim, 18), (say("By"), self.goal, 0),
            (say("Rise at most"), self.rise, 10), (say("Changes at most"), self.at_most, 10),
            (say("Price reductions"), self.falls, 0),
        ):  # fmt: skip
            widget.setAccessibleName(title)
            if letters:
                widget.setMinimumWidth(letters * self.fontMetrics().averageCharWidth())
            cells.append(Cell(title, widget, self))
        self.rise.setToolTip(say("How much a single price may rise, as a share of itself"))
        self.at_most.setToolTip(say("How many prices may change"))
        self.row.take(cells)
        self.rise.set_text(percent_text(self._rise))
        self.part.activated.connect(self._chosen)
        self.goal.activated.connect(self._chosen)
        self.falls.toggled.connect(self._chosen)
        self.aim.committed.connect(self._aim_typed)
        self.rise.committed.connect(self._rise_typed)
        self.at_most.committed.connect(self._number_typed)
        for field in self._texts():
            field.mended.connect(self._mended)

    # What is wanted

    @property
    def chosen(self) -> Part:
        """The menu and section; "" where all of them are meant."""
        return self._parts[max(0, self.part.currentIndex())]

    def wish(self) -> Wish | None:
        """All of it; None without an aim, and while a text does not stand: what it meant is not guessed."""
        aim = self._aim or self._usual
        if aim is None or any(field.refusal is not None for field in self._texts()):
            return None
        limits = Limits(rise=self._rise, at_most=self._at_most, reductions=self.falls.isChecked())
        return Wish(aim, limits, GOALS[max(0, self.goal.currentIndex())])

    def _texts(self) -> tuple[WishField, ...]:
        return self.aim, self.rise, self.at_most

    def show_book(self, view: View, currency: str, usual: Aim | None) -> None:
        """The menus of a day; ``usual`` is the aim while nobody typed one."""
        self._currency, self._usual = currency, usual
        if self._aim is None:
            self.aim.set_text(aim_text(usual))
        wanted, self._wanted = self._wanted or "/".join(self.chosen), ""
        self._parts, titles = _parts(view)
        if [self.part.itemText(n) for n in range(self.part.count())] != titles:
            self.part.clear()
            self.part.addItems(titles)
        self.part.setCurrentIndex(next((n for n, part in enumerate(self._parts) if "/".join(part) == wanted), 0))

    # Typing

    def _chosen(self, *_: object) -> None:
        self.changed.emit()

    def _aim_typed(self, text: str) -> None:
        def take() -> str:
            self._aim = typed_aim(text, self._currency)
            return aim_text(self._aim or self._usual)

        self._typed(self.aim, take)

    def _rise_typed(self, text: str) -> None:
        def take() -> str:
            self._rise = typed_share(text)
            return percent_text(self._rise)

        self._typed(self.rise, take)

    def _number_typed(self, text: str) -> None:
        def take() -> str:
            self._at_most = typed_number_of_prices(text)
            return "" if self._at_most is None else str(self._at_most)

        self._typed(self.at_most, take)

    def _typed(self, field: TextField, take: Callable[[], str]) -> None:
        try:
            field.set_text(take())
        except KNOWN as error:
            field.refuse(refusal_of(error))
        self._mended()

    def _mended(self) -> None:
        self._tell_fault()
        self.changed.emit()

    def _tell_fault(self) -> None:
        refusal: Refusal | None = next((f.refusal for f in self._texts() if f.refusal is not None), None)
        self.fault.setText(refusal.text if refusal is not None else "")
        self.fault.setVisible(refusal is not None)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter in a field goes on; Esc has given a field back what stands."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.fault.isHidden():
            self.entered.emit()
            return
        super().keyPressEvent(event)

    # What is kept

    def save_state(self) -> dict[str, object]:
        """What was typed and chosen."""
        return {
            "part": self._wanted or "/".join(self.chosen), "aim": aim_text(self._aim),
            "goal": GOALS[max(0, self.goal.currentIndex())], "rise": percent_text(self._rise),
            "at_most": self._at_most, "falls": self.falls.isChecked(),
        }  # fmt: skip

    def restore_state(self, state: dict[str, object]) -> None:
        """As it stood; what does not fit is passed over."""
        part, goal, falls = state.get("part"), state.get("goal"), state.get("falls")
        self._wanted = part if isinstance(part, str) else ""
        if goal in GOALS:
            self.goal.setCurrentIndex(GOALS.index(goal))
        if isinstance(falls, bool):
            self.falls.setChecked(falls)
        for field, key in ((self.aim, "aim"), (self.rise, "rise"), (self.at_most, "at_most")):
            if key in state:
                field.setText(str(state[key]) if state[key] is not None else "")
                field.commit()


def _parts(view: View) -> tuple[list[Part], list[str]]:
    parts, titles = list[Part](), list[str]()
    if len(view.menus) != 1:
        parts.append(("", ""))
        titles.append(say("all menus"))
    for menu in view.menus.values():
        parts.append((menu.id, ""))
        titles.append(own(menu.name))
        for name in dict.fromkeys(section.name for section in menu.sections):
            parts.append((menu.id, name))
            titles.append(f"    {own(name)}")
    return parts, titles
