"""Make or buy: a preparation, and what somebody asks for the like of it."""

from collections.abc import Callable, Iterator, Mapping
from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHeaderView, QLabel, QVBoxLayout, QWidget

from costing.edits.base import currency_of, typed_price
from costing.menu.capacity import BestMix
from costing.menu.makebuy import MakeOrBuy, make_or_buy, units_within
from costing.report.phrases import unit_word
from costing.report.words import series
from costing.tongue import say
from ui.desk import Desk, Where
from ui.fault import KNOWN
from ui.format import own
from ui.places.menu.hours.work import Found
from ui.places.menu.questions.blank import Blank, sentence
from ui.places.menu.questions.hours import resource_name
from ui.places.menu.questions.pane import Answer, AnswerPane, Fig, Row, Sheet
from ui.places.menu.questions.reading import Names, find_name, read_share
from ui.whys import Line, Said, Trail, UnitCost

LINES = 7
"""Lines of text that its table is tall at least."""
WIDE = 40
"""Letters that the panel is wide at least."""


class MakeOrBuyPanel(QWidget):
    """Three fields, a verdict, and what it stands on. Without hours it is answered as if none were short."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self._found: Found | None = None
        title = QLabel(say("Make or buy"), self)
        title.setProperty("heading", True)
        about = QLabel(say("A preparation, and the price of one of equal quality."), self)
        about.setProperty("faint", True)
        about.setWordWrap(True)
        self.made = Blank(say("Preparation"), self, choices=self._names, hint=say("what is made here"))
        self.price = Blank(say("Price offered"), self, hint=say("without tax that is paid back"))
        self.waste = Blank(say("Thrown away, beyond the recipe's losses"), self, hint="0 %",
                           about=say("Share of what is made that never reaches a drink"))  # fmt: skip
        heads = ((say("What"), False), (say("Money"), True))
        self.pane = AnswerPane(desk, say("Make or buy"), [Sheet("money", say("Money"), heads)], self, lines=LINES)
        self.pane.tables["money"].horizontalHeader().setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        self.setMinimumWidth(self.fontMetrics().averageCharWidth() * WIDE)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(6, 4, 6, 4)
        layout.setSpacing(4)
        for widget in (title, about, self.made, self.price, self.waste):
            layout.addWidget(widget, 0, Qt.AlignmentFlag.AlignTop)
        layout.addWidget(self.pane, 1)
        for blank in self.blanks():
            blank.changed.connect(self._changed)

    def blanks(self) -> tuple[Blank, ...]:
        """The fields."""
        return self.made, self.price, self.waste

    def _known(self) -> Names:
        figures = self.desk.document.figures
        return [(ident, figures.names.get(ident, ident)) for ident in figures.reckoning.direct]

    def _names(self) -> list[str]:
        return [name for _, name in self._known()]

    def show_found(self, found: Found | None) -> None:
        """The best mix, by which hours are worth something."""
        self._found = found
        self.refresh()

    def _changed(self) -> None:
        if self.isVisible():  # else when it is seen
            self.refresh()

    def refresh(self) -> None:
        """The verdict on what is typed."""
        try:
            ident, offered, waste = self._read()
        except ValueError:
            self.pane.hint(say("The answer comes once every field can be read."))
            return
        self.price.label.setText(self._price_title(ident))
        if not ident or offered is None:
            self.pane.hint(say("Choose a preparation, and type the price it could be bought at."))
            return
        found, worth = self._found, self._found.best.worth if self._found is not None else {}
        try:
            bought = make_or_buy(self.desk.document.figures.reckoning, ident, offered, worth, thrown_away=waste)
        except ValueError as error:
            self.pane.refuse(sentence(str(error)))
            return
        self.pane.show_answer(self._answer(bought, worth, found.best if found is not None else None))

    def _read(self) -> tuple[str, float | None, float]:
        """(preparation, price, share thrown away), "" and None for what is not typed. Each fault is told at its
        field; ValueError where there is one."""
        house = currency_of(self.desk.document.book)
        wrong, out = False, list[object]()
        readers: tuple[Callable[[str], object], ...] = (
            partial(find_name, names=self._known()), partial(typed_price, currency=house), read_share,
        )  # fmt: skip
        for blank, reader in zip(self.blanks(), readers, strict=True):
            value: object = None
            try:
                value = reader(blank.text) if blank.text.strip() else None
            except KNOWN as error:
                wrong = True
                blank.wrong_because(error)
            else:
                blank.right()
            out.append(value)
        if wrong:
            raise ValueError("a field cannot be read")
        made, price, waste = out
        return str(made or ""), None if price is None else float(str(price)), float(str(waste or 0.0))

    def _price_title(self, ident: str) -> str:
        unit = self.desk.document.figures.reckoning.units.get(ident)
        return say("Price offered, a {unit}", unit=unit_word(unit.base)) if unit is not None else say("Price offered")

    def _answer(self, m: MakeOrBuy, worth: Mapping[str, float], mix: BestMix | None) -> Answer:
        form = self.desk.format
        figures, unit = self.desk.document.figures, unit_word(m.base)
        notes = [say("Buying breaks even at {money}.",
                     money=form.least(form.unit_money(m.takes, m.base), not m.unpriced))]  # fmt: skip
        if mix is None or not mix.uses:
            notes.append(say("Nobody said the hours there are, so none is taken to be short."))
        else:
            within = units_within(m, mix)
            if within != float("inf"):
                notes.append(say("Hours are worth that for the first {amount} bought, and less beyond.",
                                 amount=form.amount(within, m.base)))  # fmt: skip
        if m.byproducts:
            names = series(own(figures.names.get(o, o)) for o in m.byproducts)
            notes.append(say("Buying leaves the house without {names}.", names=names))
        return Answer(self._verdict(m, unit), {"money": list(self._rows(m, worth))}, notes=notes)

    def _verdict(self, m: MakeOrBuy, unit: str) -> str:
        money = self.desk.format.money(abs(m.saves))
        if m.verdict == "make":
            return say("Make it: that saves {money} a {unit}.", money=money, unit=unit)
        if m.verdict == "buy":
            return say("Buy it: that saves {money} a {unit}.", money=money, unit=unit)
        if m.verdict == "even":
            return say("One is as good as the other.")
        names = self.desk.document.figures.names
        lacking = series(own(names.get(good, good)) for good in sorted(m.unpriced))
        return say("It cannot be told yet: there is no price for {goods}.", goods=lacking)

    def _rows(self, m: MakeOrBuy, worth: Mapping[str, float]) -> Iterator[Row]:
        form = self.desk.format
        least = not m.unpriced

        def row(key: str, what: str, value: float, *, whole: bool = True, strong: bool = False,
                why: object | None = None) -> Row:  # fmt: skip
            return Row(key, (what, Fig(form.least(self._money(value), whole), value)), strong, why)

        where = UnitCost(m.preparation)
        yield row("offered", say("Bought"), m.offered)
        yield row("marginal", say("Materials and energy"), m.marginal, whole=least, why=where)
        yield row("scarce", say("Worth of short hours in it"), m.scarce, why=self._scarce_why(m, worth))
        yield row("waste", say("Thrown away, on top"), m.waste, whole=least)
        yield row("takes", say("Making takes"), m.takes, whole=least, strong=True, why=self._scarce_why(m, worth))
        yield row("free", say("Were no hour short"), m.without_scarcity, whole=least)
        yield row("full", say("Full cost (decides nothing)"), m.full, whole=least, why=where)

    def _money(self, value: float) -> str:
        form = self.desk.format
        return form.number(value, form.places if abs(value) >= 0.1 or value == 0 else form.places + 2)

    def _scarce_why(self, m: MakeOrBuy, worth: Mapping[str, float]) -> Said:
        form, figures = self.desk.format, self.desk.document.figures
        lines = [Line(say("materials and energy"), self._money(m.marginal), where=Where("preparation", m.preparation))]
        for key, hours in m.hours.items():
            each = worth.get(key, 0.0)
            said = say("{minutes} minutes of {machine}, an hour worth {money}", minutes=form.number(60 * hours, 1),
                       machine=own(resource_name(figures.reckoning, key)), money=form.money(each))  # fmt: skip
            lines.append(Line(said, self._money(each * hours), depth=1))
        lines.append(Line(say("thrown away, on top"), self._money(m.waste)))
        lines.append(Line(say("making takes"), self._money(m.takes)))
        name = own(figures.names.get(m.preparation, m.preparation))
        return Said(Trail(say("What making {name} takes", name=name), self._money(m.takes), tuple(lines)))

    def save_state(self) -> list[str]:
        """What was typed."""
        return [blank.text for blank in self.blanks()]

    def restore_state(self, kept: object) -> None:
        """As it stood."""
        if isinstance(kept, list) and len(kept) == len(self.blanks()):
            for blank, text in zip(self.blanks(), kept, strict=True):
                blank.put(str(text))
