"""A batch of another size: amounts, runs, times and money beside the standard batch."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from costing.book.fact import parse_fact
from costing.book.records import Stage
from costing.ledger.batches import Batch
from costing.ledger.scale import scaled
from costing.ledger.unit import Unbridged, amount_in_base
from costing.report.phrases import reading_word
from costing.report.words import stage_word
from costing.tongue import capital, say
from ui.desk import Desk, Where
from ui.document import Figures
from ui.fault import KNOWN, Refusal, refusal_of
from ui.format import Format
from ui.models.table import Column, RowTable
from ui.widgets.fields import TextField
from ui.widgets.listpane import ListPane


@dataclass(frozen=True, slots=True)
class ScaleRow:
    """One line: standard beside scaled."""

    key: str
    what: str
    standard: str
    scaled: str
    heading: bool = False


def factor_of(text: str, figures: Figures, preparation: str) -> Decimal:
    """How many times the size is meant: "2", "1.5 x", "6 l" of what it makes, or "3 kg pineapple" of what goes in.
    Refusal where that cannot be told."""
    work = text.strip().casefold().removesuffix("x").removesuffix("×").strip()
    plain = work.replace(",", ".")
    if plain.replace(".", "", 1).isdigit():
        return Decimal(plain)
    reckoning = figures.reckoning
    ledger = reckoning.ledgers[preparation]
    output = ledger.outputs.get(preparation)
    name = _named(text, figures, preparation)
    try:
        fact = parse_fact(text.strip()[: len(text.strip()) - len(name)].strip() if name else text)
        if name:
            return _by_input(fact.text, name, figures, preparation)
        if output is None:
            raise Refusal(
                say("It cannot be followed, so nobody knows what it makes."), "", say("Give a factor like 2.")
            )
        wanted = amount_in_base(fact, output.unit, reckoning.view.measures).value
    except Unbridged:
        wanted = 0.0
    if output is None or wanted <= 0 or not output.made:
        raise Refusal(
            say("“{text}” does not say how large the batch is.", text=text), "",
            say("Write 2, or what it should make (6 l), or how much of one ingredient there is (3 kg pineapple)."),
        )  # fmt: skip
    return Decimal(repr(wanted / output.made))


def _named(text: str, figures: Figures, preparation: str) -> str:
    """The end of a text that names something going in, in any case; "" for none."""
    low = text.strip().casefold()
    _, version = figures.view.preparations[preparation]
    names = {figures.names.get(i.source, i.source) for stage in version.stages for i in stage.adds}
    found = sorted((n for n in names if low.endswith(n.casefold())), key=len)
    return text.strip()[-len(found[-1]) :] if found else ""


def _by_input(amount: str, name: str, figures: Figures, preparation: str) -> Decimal:
    _, version = figures.view.preparations[preparation]
    reckoning = figures.reckoning
    for stage in version.stages:
        for item in stage.adds:
            if figures.names.get(item.source, "").casefold() == name.casefold() and item.amount is not None:
                unit = reckoning.units[item.source]
                there = amount_in_base(item.amount, unit, reckoning.view.measures).value
                wanted = amount_in_base(parse_fact(amount), unit, reckoning.view.measures).value
                if there > 0 and wanted > 0:
                    return Decimal(repr(wanted / there))
    raise Refusal(say("The recipe states no amount of {name}.", name=name), "", say("Give a factor like 2."))


def scale_rows(figures: Figures, preparation: str, batch: Batch, form: Format) -> Iterator[ScaleRow]:
    """What each stage takes, runs and times, then what is made and what it costs."""
    reckoning = figures.reckoning
    _, version = figures.view.preparations[preparation]
    runs = {line.stage: line.runs for line in reckoning.ledgers[preparation].lines}
    now = {line.stage: line.runs for line in batch.ledger.lines}
    after: dict[str, Stage] = {stage.id: stage for stage in batch.version.stages}
    for n, stage in enumerate(version.stages, 1):
        new = after[stage.id]
        yield ScaleRow(stage.id, say("{n} {kind}", n=n, kind=capital(stage_word(stage.kind))), "", "", True)
        for m, (old_in, new_in) in enumerate(zip(stage.adds, new.adds, strict=True)):
            was, is_now = (i.amount.text if i.amount is not None else say("as computed") for i in (old_in, new_in))
            yield ScaleRow(f"{stage.id} in {m}", figures.names.get(old_in.source, old_in.source), was, is_now)
        for (name, old), (_, fresh) in zip((*stage.facts, *stage.readings), (*new.facts, *new.readings), strict=True):
            if old.text != fresh.text:
                yield ScaleRow(f"{stage.id} {name}", reading_word(name), old.text, fresh.text)
        was, is_now = (form.number(count.get(stage.id, 1.0), 0) for count in (runs, now))
        if (was, is_now) != ("1", "1"):
            yield ScaleRow(f"{stage.id} runs", say("runs"), was, is_now)
    output = batch.ledger.outputs.get(preparation)
    standard = reckoning.ledgers[preparation].outputs.get(preparation)
    if output is not None and standard is not None:
        base = output.unit.base
        cost = reckoning.money(output.direct.row)
        usual = reckoning.costs[preparation]
        yield ScaleRow("all", say("The batch"), "", "", True)
        yield ScaleRow("makes", say("makes"), form.amount(standard.made, base), form.amount(output.made, base))
        yield ScaleRow("materials", say("materials"), form.unit_money(usual.materials, base),
                       form.unit_money(cost.materials, base))  # fmt: skip
        yield ScaleRow("making", say("with making"), form.unit_money(usual.making, base),
                       form.unit_money(cost.making, base))  # fmt: skip
        yield ScaleRow("whole", say("costs in all"), form.money(usual.making * standard.made),
                       form.money(cost.making * output.made))  # fmt: skip


class ScalePage(QWidget):
    """Type how large; see everything beside the standard batch."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk, self.preparation = desk, ""
        self.large = TextField(say("How large"), self, hint=say("2, or 6 l, or 3 kg pineapple"))
        self.large.textEdited.connect(self._typed)
        self.large.committed.connect(self._typed)
        self.said = QLabel(self)
        self.said.setWordWrap(True)
        self.sheet = QPushButton(say("Batch sheet of the standard batch…"), self)
        self.sheet.clicked.connect(self._sheet)
        self.rows: RowTable[ScaleRow] = RowTable(
            [
                Column[ScaleRow]("what", say("What"), lambda r: r.what, strong=lambda r: r.heading),
                Column[ScaleRow]("standard", say("Standard batch"), lambda r: r.standard, True),
                Column[ScaleRow]("scaled", say("This batch"), lambda r: r.scaled, True, strong=lambda r: True),
            ],
            lambda r: r.key,
            desk,
            self,
        )
        self.list = ListPane(self.rows, say("The batch of another size"), None, self)
        self.list.filter.hide()
        self.list.count.hide()
        top = QHBoxLayout()
        label = QLabel(say("How large"), self)
        label.setBuddy(self.large)
        top.addWidget(label)
        top.addWidget(self.large, 1)
        top.addWidget(self.sheet)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(4, 4, 4, 4)
        layout.addLayout(top)
        layout.addWidget(self.said)
        layout.addWidget(self.list, 1)

    def show_preparation(self, preparation: str) -> None:
        """Another preparation begins at twice its batch."""
        if preparation != self.preparation:
            self.preparation = preparation
            self.large.set_text("2")
        self._typed(self.large.text())

    def _typed(self, text: str) -> None:
        figures = self.desk.document.figures
        if self.preparation not in figures.view.preparations:
            self.rows.set_rows([])
            return
        try:
            factor = factor_of(text, figures, self.preparation)
            batch = scaled(figures.reckoning, self.preparation, factor)
        except KNOWN as error:
            self.said.setText(refusal_of(error).text if text.strip() else "")
            return
        self.said.setText(say("{factor} times the standard batch. What follows from a charge size is counted anew.",
                              factor=self.desk.format.number(factor, 3, trim=True)))  # fmt: skip
        self.rows.set_rows(scale_rows(figures, self.preparation, batch, self.desk.format))
        self.list.table.fit_columns()

    def _sheet(self) -> None:
        self.desk.go(Where("report", "batch-sheet", self.preparation))
