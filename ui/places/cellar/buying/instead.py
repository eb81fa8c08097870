"""Another ingredient in the place of the chosen one: what it does to every drink, and the step that does it."""

from dataclasses import dataclass
from datetime import date
from functools import partial

from PySide6.QtCore import Qt, QTimer
from PySide6.QtWidgets import QFormLayout, QHBoxLayout, QLabel, QPushButton, QSplitter, QVBoxLayout, QWidget

from costing.book.book import Book
from costing.book.change import Step
from costing.edits import substitutes
from costing.supply.buying.substitute import substitution
from costing.supply.buying.swap_record import Substitution
from costing.tongue import say, say_many
from ui.desk import Desk, Where
from ui.document import Figures
from ui.fault import Refusal
from ui.format import own
from ui.jobs import Progress
from ui.latest import Latest
from ui.models.table import RowTable
from ui.places.cellar.buying.good_page import GoodPage
from ui.places.cellar.buying.instead_rows import (
    DrinkRow,
    SideRow,
    drink_columns,
    made_text,
    side_columns,
    side_rows,
)
from ui.places.cellar.buying.saying import Hint, Line
from ui.places.kept import Waiting
from ui.where import said_of
from ui.widgets.acts import act
from ui.widgets.fields import ChoiceField, DayField
from ui.widgets.listpane import ListPane


@dataclass(slots=True)
class Meant:
    """What was meant to stand in for one good in this session, and from which day on (None: the day looked at)."""

    other: str = ""
    since: date | None = None


class InsteadPage(GoodPage):
    """Which one and from when above, the goods beside one another, the drinks below."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(desk, parent)
        self._meant: dict[str, Meant] = {}
        self._told_of: object = None
        self._latest = Latest(self)
        self._latest.known.connect(self.refresh)
        self.other = ChoiceField(say("Ingredient instead"), self._choices, self, hint=say("Type an ingredient"))
        self.other.committed.connect(self._chosen)
        self.other.refused.connect(self._refused)
        self.since = DayField(say("From the day"), desk.format, self._today, self)
        self.since.picked.connect(self._dated)
        self.since.refused.connect(self._refused)
        self._waiting = Waiting((self.other, self.since))
        self.use = QPushButton(self)
        self.use.clicked.connect(self.substitute)
        self.use.setToolTip(say("Ctrl+Enter"))
        act(self, say("Use it instead"), "Ctrl+Return", self.substitute)
        self.said, self.told = Line(self, kind="error"), Line(self)
        self.caution = QLabel(
            say("Allergens of another ingredient count as its own label states them. What nobody stated of it is not "
                "stated in every drink it goes into, and never free."),
            self,
        )  # fmt: skip
        self.caution.setWordWrap(True)
        self.caution.setProperty("faint", True)
        self._lists()
        self._lay_out()

    def _lists(self) -> None:
        desk = self.desk
        self.sides: RowTable[SideRow] = RowTable(side_columns(), lambda r: r.key, desk, self)
        self.hint = Hint("")
        self.side_list = ListPane(self.sides, say("The goods beside one another"), self.hint, self)
        self.drinks: RowTable[DrinkRow] = RowTable(drink_columns(desk.format), lambda r: r.key, desk, self)
        self.drink_hint = Hint("")
        self.drink_list = ListPane(self.drinks, say("Drinks before and after"), self.drink_hint, self)
        for pane in (self.side_list, self.drink_list):
            pane.filter.hide()
            pane.count.hide()
        self.drink_list.table.opened.connect(self._go)

    def _lay_out(self) -> None:
        form = QFormLayout()
        for title, field in ((say("Ingredient instead"), self.other), (say("From the day"), self.since)):
            label = QLabel(title, self)
            label.setBuddy(field)
            form.addRow(label, field)
        acts = QHBoxLayout()
        acts.addWidget(self.use)
        acts.addStretch(1)
        self.split = QSplitter(Qt.Orientation.Vertical, self)
        self.split.addWidget(self.side_list)
        self.split.addWidget(self.drink_list)
        self.split.setSizes([230, 220])
        layout = QVBoxLayout(self)
        layout.setContentsMargins(4, 4, 4, 4)
        layout.addLayout(form)
        layout.addLayout(acts)
        layout.addWidget(self.said)
        layout.addWidget(self.split, 1)
        layout.addWidget(self.told)
        layout.addWidget(self.caution)

    # What is shown

    def refresh(self) -> None:
        """What is meant, and what it does."""
        figures = self.desk.document.figures
        fresh = self._begin(self._waiting)
        meant = self._of_good()
        other = figures.view.goods.get(meant.other)
        if other is None or self.good not in figures.view.goods:
            meant.other, other = "", None
        self.other.set_text(other.name if other is not None else "")
        self.since.set_day(self._since())
        if fresh:
            self._waiting.give_back(self.good)
        self.use.setText(say("Use it from {day} on", day=self.desk.format.day(self._since())))
        self._show(figures)

    def _of_good(self) -> Meant:
        return self._meant.setdefault(self.good, Meant())

    def _today(self) -> date:
        return self.desk.document.day

    def _since(self) -> date:
        return self._of_good().since or self._today()

    def _asked(self) -> tuple[Book, date, str, str] | None:
        """What is worked out: the book, the day, the good and the other; None while no other is chosen."""
        other = self._of_good().other
        return (self.desk.document.book, self._since(), self.good, other) if other else None

    def _swap(self) -> Substitution | None:
        """What the present question comes to; None while it is not known."""
        asked = self._asked()
        found: Substitution | None = self._latest.of(asked) if asked is not None else None
        return found

    def _show(self, figures: Figures) -> None:
        asked, fault = self._asked(), self.other.refusal or self.since.refusal
        if asked is None:
            self._latest.forget()
            self._empty(say("Type above what could stand in for it: what that does to every drink stands here."), "")
        else:
            self._latest.ask(asked, partial(_work, *asked))
        swap = self._swap()
        self.use.setEnabled(swap is not None and not swap.refused and bool(swap.serves or swap.made))
        said = ""
        if asked is not None and swap is None:
            if asked[1:] != self._told_of:
                self._empty(say("It is being worked out…"), "")  # nothing is left of what was asked before
            else:
                self.told.say(say("It is being worked out anew…"))
        if swap is not None and asked is not None:
            fresh, self._told_of = asked[1:] != self._told_of, asked[1:]
            said = self._answer(swap, figures)
            if fresh:
                for pane in (self.side_list, self.drink_list):
                    pane.table.fit_columns()
        self.said.say(fault.text if fault is not None else said)

    def _empty(self, hint: str, below: str) -> None:
        self._told_of = None
        self.hint.setText(hint)
        self.drink_hint.setText(below)
        self.sides.set_rows([])
        self.drinks.set_rows([])
        self.told.say("")

    def _answer(self, swap: Substitution, figures: Figures) -> str:
        """Show what it does; what is amiss with it, in words."""
        form, names = self.desk.format, figures.names
        self.sides.set_rows(side_rows(swap, figures, form))
        self.drinks.set_rows(DrinkRow(n, change) for n, change in enumerate(swap.serves))
        bases = {name: unit.base for name, unit in figures.reckoning.units.items()}
        told = [made_text(swap, form, bases)]
        if swap.serves:
            otherwise = len({c.serve for c in swap.serves if c.allergens})
            told.insert(0, say_many("{n} drink takes it.", "{n} drinks take it.", len({c.serve for c in swap.serves})))
            if otherwise:
                told.insert(1, say_many("Allergens stand otherwise in {n} of them.",
                                        "Allergens stand otherwise in {n} of them.", otherwise))  # fmt: skip
        self.told.say(" ".join(t for t in told if t))
        if swap.refused:
            self.drink_hint.setText(say("Put right what is named above, or choose another ingredient."))
            why = " ".join(dict.fromkeys(said_of(p, names) for p in swap.refused))
            return say("It cannot stand in as the recipes are written: {why}", why=why)
        self.drink_hint.setText(say("No drink takes it on {day}.", day=form.day(swap.day)))
        why = " ".join(dict.fromkeys(said_of(p, names) for p in swap.problems))
        return say("New in the recipes with it: {why}", why=why) if why else ""

    # What is typed

    def _choices(self) -> list[str]:
        """What could stand in: first what is of the same kind."""
        known = self.desk.document.view.goods
        own_kind = known[self.good].kind if self.good in known else ""
        others = [g for g in known.values() if g.id != self.good]
        return [g.name for g in sorted(others, key=lambda g: (g.kind != own_kind, g.name.casefold()))]

    def _chosen(self, text: str) -> None:
        wanted, known = " ".join(text.casefold().split()), self.desk.document.view.goods
        found = next((g for g in known.values() if " ".join(g.name.casefold().split()) == wanted), None)
        if not wanted:
            self._of_good().other = ""
        elif found is None:
            self.other.refuse(
                Refusal(say("There is no ingredient called “{text}”.", text=own(text)), "", say("Alt+Down lists them."))
            )
            return
        elif found.id == self.good:
            self.other.refuse(
                Refusal(say("{good} cannot stand in for itself.", good=own(found.name)), "", say("Choose another."))
            )
            return
        else:
            self._of_good().other = found.id
        self.refresh()

    def _dated(self, day: date) -> None:
        self._of_good().since = None if day == self._today() else day
        self.refresh()
        QTimer.singleShot(0, self.since, self.since.revert)  # "+7" is shown as a day, once the field has told it

    def _refused(self, refusal: object) -> None:
        self.said.say(getattr(refusal, "text", ""))

    # What is done

    def _go(self, key: str) -> None:
        self.desk.go(Where("serve", key.rpartition("/")[0]))

    def substitute(self) -> None:
        """Write it into every recipe and drink from the day on, as one step."""
        swap = self._swap()
        if swap is None or not self.use.isEnabled():
            self.desk.tell(say("Choose first what stands in for it, and look at what that does."))
            return
        self.desk.attempt(partial(self._step, swap))

    def _step(self, swap: Substitution) -> Step:
        step = substitutes.substitute(self.desk.document.book, swap.good.good, swap.other.good, swap.day)
        if step is None:
            raise Refusal(say("Nothing was changed."), say("No recipe takes it from that day on."), "")
        return step


def _work(book: Book, day: date, good: str, other: str, _: Progress) -> Substitution:
    return substitution(book, day, good, other)
