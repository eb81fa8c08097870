"""What questions have in common: fields above, the answer below, worked out off the main thread."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QCheckBox, QGridLayout, QLabel, QVBoxLayout, QWidget

from costing.edits.base import currency_of, typed_price
from costing.menu.mix import Mix
from costing.tongue import say, say_many
from ui.desk import Desk
from ui.document import Figures
from ui.fault import KNOWN
from ui.format import Format
from ui.jobs import Progress
from ui.latest import Latest
from ui.places.menu.questions.blank import Blank, sentence
from ui.places.menu.questions.pane import Answer, AnswerPane, Sheet
from ui.places.menu.questions.reading import Names
from ui.places.menu.standing import Standing

T = TypeVar("T")
U = TypeVar("U")


@dataclass(frozen=True, slots=True)
class Cannot:
    """There is no answer, and why."""

    text: str


@dataclass(frozen=True, slots=True)
class Asked:
    """A question with all that it takes to answer it; plain values, worked out in a thread."""

    figures: Figures
    mix: Mix

    def work(self) -> Any:
        """The answer. ValueError says why there is none."""
        raise NotImplementedError

    def __call__(self, tell: Progress) -> Any:
        """The answer, or ``Cannot``."""
        try:
            return self.work()
        except ValueError as error:
            return Cannot(sentence(str(error)))


class Question(QWidget):
    """One question. ``needs_sales``: without sales that count there is nothing to answer it by."""

    key = ""
    needs_sales = True

    def __init__(self, desk: Desk, standing: Standing, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk, self.standing = desk, standing
        self.blanks: dict[str, Blank] = {}
        self.boxes: dict[str, QCheckBox] = {}
        self._wrong = False
        self._latest = Latest(self)
        self._latest.known.connect(self.refresh)
        self.about = QLabel(self.meaning(), self)
        self.about.setProperty("faint", True)
        self.about.setWordWrap(True)
        self.about.setTextFormat(Qt.TextFormat.PlainText)
        self.grid = QGridLayout()
        self.grid.setHorizontalSpacing(10)
        self.grid.setVerticalSpacing(4)
        self.fill_in()
        self.pane = AnswerPane(desk, self.title(), self.tables(), self)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(6, 2, 6, 4)
        layout.setSpacing(4)
        layout.addWidget(self.about)
        layout.addLayout(self.grid)
        layout.addWidget(self.pane, 1)

    # What each says of itself

    def title(self) -> str:
        """The question in plain words."""
        raise NotImplementedError

    def meaning(self) -> str:
        """What its answer stands on, in a line."""
        raise NotImplementedError

    def fill_in(self) -> None:
        """Its fields, with ``blank`` and ``box``."""
        raise NotImplementedError

    def tables(self) -> Sequence[Sheet]:
        """The tables of its answer."""
        raise NotImplementedError

    def asked(self) -> Asked | str:
        """The question as its fields stand, read with ``read``; or what is lacking, in a sentence."""
        raise NotImplementedError

    def answer(self, asked: Any, found: Any) -> Answer:
        """What was found, in words and figures."""
        raise NotImplementedError

    # Fields

    def blank(self, key: str, title: str, at: tuple[int, int, int], *, hint: str = "", about: str = "",
              choices: Callable[[], Sequence[str]] | None = None,
              offers: Callable[[str], Sequence[str]] | None = None) -> Blank:  # fmt: skip
        """A field at (row, column, columns it is wide)."""
        made = self.blanks[key] = Blank(title, self, hint=hint, about=about, choices=choices, offers=offers)
        row, column, wide = at
        self.grid.addWidget(made, row, column, 1, wide)
        for n in range(column, column + wide):
            self.grid.setColumnStretch(n, 1)
        made.changed.connect(self._changed)
        return made

    def box(self, key: str, title: str, at: tuple[int, int, int]) -> QCheckBox:
        """A box to tick, on the line of the fields beside it."""
        made = self.boxes[key] = QCheckBox(title, self)
        self.grid.addWidget(made, at[0], at[1], 1, at[2], Qt.AlignmentFlag.AlignBottom)
        made.toggled.connect(self._changed)
        return made

    def read(self, key: str, reader: Callable[[str], T], empty: U) -> T | U:
        """What a field says, ``empty`` where it says nothing. A fault is told at the field, and there is no answer."""
        blank = self.blanks[key]
        text = blank.text.strip()
        if not text:
            blank.right()
            return empty
        try:
            value = reader(text)
        except KNOWN as error:
            self._wrong = True
            blank.wrong_because(error)
            return empty
        blank.right()
        return value

    def money(self, text: str) -> Any:
        """A sum of money in the currency of the house."""
        return typed_price(text, currency_of(self.desk.document.book))

    def first(self) -> QWidget:
        """The first field."""
        return next(iter(self.blanks.values())).field

    # The answer

    def _changed(self, *_: object) -> None:
        if self.isVisible():  # else when it is seen
            self.refresh()

    def refresh(self) -> None:
        """The question as it stands, and the answer as far as it is known."""
        if self.needs_sales and not self.standing.periods():
            self._latest.forget()
            for blank in self.blanks.values():
                blank.right()
            self.pane.hint(say("No sales that ended by the day looked at are in the book: read those of some weeks "
                               "first."))  # fmt: skip
            return
        self._wrong = False
        asked = self.asked()
        if self._wrong or isinstance(asked, str):
            self._latest.forget()
            self.pane.hint(asked if isinstance(asked, str) and not self._wrong
                           else say("The answer comes once every field can be read."))  # fmt: skip
            return
        self._latest.ask(asked, asked)
        found = self._latest.of(asked)
        if found is None:
            self.pane.wait()
        elif isinstance(found, Cannot):
            self.pane.refuse(found.text)
        else:
            self.pane.show_answer(self.answer(asked, found))

    # Kept

    def save_state(self) -> dict[str, object]:
        """What was typed and ticked."""
        return {
            "typed": {key: blank.text for key, blank in self.blanks.items()},
            "ticked": [key for key, box in self.boxes.items() if box.isChecked()],
        }

    def restore_state(self, state: Mapping[str, object]) -> None:
        """As it stood."""
        typed, ticked = state.get("typed"), state.get("ticked")
        for key, blank in self.blanks.items():
            text = typed.get(key) if isinstance(typed, dict) else None
            if isinstance(text, str):
                blank.put(text)
        for key, box in self.boxes.items():
            box.setChecked(isinstance(ticked, list) and key in ticked)

    # What several of them say

    @property
    def figures(self) -> Figures:
        """Of the book and day that are looked at."""
        return self.desk.document.figures

    @property
    def form(self) -> Format:
        """How figures are written."""
        return self.desk.format

    def on_menus(self) -> Names:
        """Drinks of the menus of the day."""
        if not self.standing.periods():
            return ()
        return list(dict.fromkeys((i.serve, i.name) for i in self.standing.today().items))

    def on_menu_names(self) -> list[str]:
        """What they are called."""
        return list(dict.fromkeys(name for _, name in self.on_menus()))


def span_text(mix: Mix, weeks: float | None = None) -> str:
    """ "4 weeks", or "30 days" where they are no whole weeks."""
    whole = mix.weeks if weeks is None else weeks
    if abs(whole - round(whole)) < 1e-9:
        return say_many("{n} week", "{n} weeks", round(whole))
    return say_many("{n} day", "{n} days", round(7 * whole))


def count(form: Format, value: float) -> str:
    """A number of drinks: whole where it is, else with a decimal."""
    return form.number(value, 1, trim=True)
