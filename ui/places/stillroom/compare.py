"""Two preparations beside one another, the same one on two days, or the recipe beside a batch as it was made."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial

from PySide6.QtWidgets import QGridLayout, QLabel, QVBoxLayout, QWidget

from costing.book.fact import Fact
from costing.book.records import LAYERS, BatchLog
from costing.ledger.batches import Batch, as_made
from costing.ledger.compare import Comparison, StagePair, StageSide, Stated, compare
from costing.report.phrases import reading_word
from costing.report.words import layer_word, stage_word
from costing.tongue import capital, say
from ui.desk import Desk
from ui.document import Figures
from ui.fault import KNOWN, Refusal, refusal_of
from ui.format import UNKNOWN, Format, isolate
from ui.models.table import Column, RowTable
from ui.widgets.fields import ChoiceField, DayField, read_day
from ui.widgets.listpane import ListPane

Cells = tuple[str, str, str, str, bool]
"""What, A, B, B less A, and whether it is a heading."""


@dataclass(frozen=True, slots=True)
class PairRow:
    """One line of two sides and their difference."""

    key: str
    what: str
    a: str = ""
    b: str = ""
    by: str = ""
    heading: bool = False


@dataclass(frozen=True, slots=True)
class Chosen:
    """One side: which preparation, on which day, as made by which log ("" for the recipe)."""

    ident: str
    log: str = ""


def pair_rows(found: Comparison, a: Figures, b: Figures, form: Format) -> Iterator[PairRow]:
    """The whole, what the difference comes from, then stage by stage."""
    for n, row in enumerate(_rows(found, a, b, form)):
        yield PairRow(str(n), *row)


def _rows(found: Comparison, a: Figures, b: Figures, form: Format) -> Iterator[Cells]:
    yield say("The whole"), "", "", "", True
    one, other = found.a, found.b
    made_a, made_b = (form.amount(side.made, side.base) for side in (one, other))
    same = one.base == other.base and one.made is not None and other.made is not None
    yield (
        say("makes"),
        made_a,
        made_b,
        _signed((other.made or 0) - (one.made or 0), partial(_in_base, form, one.base)) if same else "",
        False,
    )
    for n, layer in enumerate(LAYERS):
        columns = [side.cost.columns[n] if side.cost is not None else None for side in (one, other)]
        if any(columns):
            by = found.difference
            money_a, money_b = (form.money(column) for column in columns)
            yield layer_word(layer), money_a, money_b, form.signed(by[n]) if by else "", False
    cost_a, cost_b = (form.unit_money(side.cost.making if side.cost else None, side.base) for side in (one, other))
    yield say("with making"), cost_a, cost_b, form.signed(sum(found.difference)) if found.difference else "", False
    for title, x, y in (
        (say("alcohol that goes on to the end"), one.recovered, other.recovered),
        (say("alcohol in by-products"), one.kept, other.kept),
    ):
        if x or y:
            yield title, form.percent(x), form.percent(y), _signed((y or 0) - (x or 0), form.percent), False
    for fact in found.facts:
        yield reading_word(fact.name), stated(fact.a), stated(fact.b), "", False
    yield from _split(found, a, b, form)
    for n, pair in enumerate(found.stages, 1):
        yield from _stage(n, pair, a, b, form)


def stated(value: Stated) -> str:
    """A fact as typed, or a word."""
    if value is None:
        return UNKNOWN
    return value.text if isinstance(value, Fact) else str(value)


def _in_base(form: Format, base: str, value: float) -> str:
    return form.amount(value, base)


def _signed(by: float, show: Callable[[float], str]) -> str:
    """A difference with its sign, "" where nothing of it is seen."""
    said = show(abs(by))
    return "" if said == show(0.0) else isolate(f"{'+' if by > 0 else '−'}{said}")


def _stage(n: int, pair: StagePair, a: Figures, b: Figures, form: Format) -> Iterator[Cells]:
    side = pair.a or pair.b
    kind = capital(stage_word(side.kind)) if side is not None else ""
    yield say("{n} {kind}", n=n, kind=kind), "", "", "", True

    def both(
        title: str,
        read: Callable[[StageSide], float | None],
        show: Callable[[float], str],
        usual: float | None = None,
        *,
        money: bool = False,
    ) -> Iterator[Cells]:
        """Nothing where neither side says anything but the usual."""
        x, y = (read(s) if s is not None else None for s in (pair.a, pair.b))
        if x in (None, usual) and y in (None, usual):
            return
        apart = y - x if x is not None and y is not None else 0.0
        by = form.signed(apart) if money and _signed(apart, show) else _signed(apart, show)
        yield title, show(x) if x is not None else UNKNOWN, show(y) if y is not None else UNKNOWN, by, False

    yield from both(say("goes on, weight"), lambda s: s.kg, partial(_in_base, form, "kg"))
    yield from both(say("goes on, volume"), lambda s: s.litres, partial(_in_base, form, "l"))
    yield from both(say("pure alcohol"), lambda s: s.lpa, partial(_in_base, form, "l"), 0.0)
    yield from both(say("lost here of what entered"), lambda s: s.share_lost, form.percent, 0.0)
    yield from both(say("money so far"), lambda s: s.money.making, form.money, money=True)
    yield from both(say("runs"), lambda s: s.runs, partial(form.number, places=0), 1.0)
    for fact in pair.facts:
        yield reading_word(fact.name), stated(fact.a), stated(fact.b), "", False
    for item in pair.inputs:
        name = a.names.get(item.source, b.names.get(item.source, item.source))
        unit = a.reckoning.units.get(item.source) or b.reckoning.units.get(item.source)
        base = unit.base if unit is not None else ""
        taken_a, taken_b = (form.amount(v, base) if v is not None else UNKNOWN for v in (item.a, item.b))
        yield say("in: {name}", name=name), taken_a, taken_b, "", False


def _split(found: Comparison, a: Figures, b: Figures, form: Format) -> Iterator[Cells]:
    if found.parts is None:
        return
    yield say("Where the difference comes from"), say("by prices"), say("by the recipe"), say("together"), True
    for part in sorted(found.parts, key=lambda p: -abs(sum(p.prices) + sum(p.recipe))):
        prices, recipe = sum(part.prices), sum(part.recipe)
        if any(_signed(value, form.money) for value in (prices, recipe)):
            name = a.names.get(part.good, b.names.get(part.good, part.good))
            yield name, form.signed(prices), form.signed(recipe), form.signed(prices + recipe), False
    prices, recipe = sum(found.prices), sum(found.recipe)
    yield say("all of it"), form.signed(prices), form.signed(recipe), form.signed(prices + recipe), False


class ComparePage(QWidget):
    """The preparation that is shown is A; B is typed: another one, another day, or a batch of it."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk, self.preparation = desk, ""
        self._choices: dict[str, Chosen] = {}
        self.a = ChoiceField(say("A"), self._offered, self)
        self.b = ChoiceField(say("B"), self._offered, self, hint=say("a preparation, or a batch of this one"))
        self.day_a = DayField(say("A on the day"), desk.format, lambda: desk.document.day, self)
        self.day_b = DayField(say("B on the day"), desk.format, lambda: desk.document.day, self)
        grid = QGridLayout()
        for row, (title, field, day) in enumerate(((say("A"), self.a, self.day_a), (say("B"), self.b, self.day_b))):
            label = QLabel(title, self)
            label.setBuddy(field)
            grid.addWidget(label, row, 0)
            grid.addWidget(field, row, 1)
            grid.addWidget(QLabel(say("on"), self), row, 2)
            grid.addWidget(day, row, 3)
            field.committed.connect(self._look)
            day.picked.connect(self._look)
        grid.setColumnStretch(1, 3)
        grid.setColumnStretch(3, 1)
        self.said = QLabel(self)
        self.said.setWordWrap(True)
        self.said.setProperty("error", True)
        self.said.hide()
        self.rows: RowTable[PairRow] = RowTable(
            [
                Column[PairRow]("what", say("What"), lambda r: r.what, strong=lambda r: r.heading,
                                depth=lambda r: 0 if r.heading else 1),
                Column[PairRow]("a", "A", lambda r: r.a, True, strong=lambda r: r.heading),
                Column[PairRow]("b", "B", lambda r: r.b, True, strong=lambda r: r.heading),
                Column[PairRow]("by", say("B less A"), lambda r: r.by, True, strong=lambda r: r.heading),
            ],
            lambda r: r.key,
            desk,
            self,
        )  # fmt: skip
        self.list = ListPane(self.rows, say("A beside B"), None, self)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(6, 6, 6, 6)
        layout.addLayout(grid)
        layout.addWidget(self.said)
        layout.addWidget(self.list, 1)

    def show_preparation(self, preparation: str) -> None:
        """A is this one; B its last batch where one is logged, else itself a while ago."""
        document = self.desk.document
        fresh, self.preparation = preparation != self.preparation, preparation
        self._offered()
        if fresh:
            name = document.names.get(preparation, preparation)
            logs = [text for text, chosen in self._choices.items() if chosen.log and chosen.ident == preparation]
            for field in (self.a, self.b, self.day_a, self.day_b):
                field.revert()
            self.a.set_text(name)
            self.b.set_text(logs[0] if logs else name)
            self.day_a.set_day(document.day)
            self.day_b.set_day(document.day)
        if preparation:
            self._look()
        else:
            self._say("")
            self.rows.set_rows([])

    def _offered(self) -> list[str]:
        document, form = self.desk.document, self.desk.format
        self._choices = {p.name: Chosen(p.id) for p, _ in document.view.preparations.values()}
        logs = sorted(document.book.all(BatchLog).values(), key=lambda log: (log.preparation != self.preparation,
                                                                          -log.day.toordinal()))  # fmt: skip
        for log in logs:
            name = document.names.get(log.preparation, log.preparation)
            text = say("{preparation}, batch of {day}", preparation=name, day=form.day(log.day))
            self._choices.setdefault(text, Chosen(log.preparation, log.id))
        return list(self._choices)

    def _side(self, field: ChoiceField, day: DayField) -> tuple[Figures, Chosen, Batch | None]:
        document = self.desk.document
        wanted = field.text().strip().casefold()
        chosen = next((c for text, c in self._choices.items() if text.casefold() == wanted), None)
        if chosen is None:
            raise Refusal(say("There is no preparation or batch “{text}”.", text=field.text()), "",
                          say("Alt+Down lists them."))  # fmt: skip
        on = read_day(day.text(), document.day)
        figures = document.figures if on == document.day else Figures(document.book, on, document.head)
        if chosen.ident not in figures.view.preparations:
            raise Refusal(say("{name} is not made yet on that day.", name=field.text()), "", say("Choose a later day."))
        log = document.book.all(BatchLog).get(chosen.log)
        return figures, chosen, as_made(figures.reckoning, log) if log is not None else None

    def _look(self, *_: object) -> None:
        try:
            a, one, batch_a = self._side(self.a, self.day_a)
            b, other, batch_b = self._side(self.b, self.day_b)
            found = compare(a.reckoning, one.ident, b.reckoning, other.ident, batch_a, batch_b)
        except KNOWN as error:
            self._say(refusal_of(error).text)
            self.rows.set_rows([])
            return
        self._say("")
        self.rows.set_rows(pair_rows(found, a, b, self.desk.format))
        self.list.table.fit_columns()

    def _say(self, text: str) -> None:
        self.said.setText(text)
        self.said.setVisible(bool(text))
