"""A batch of another size: amounts, runs, times and money beside the standard batch."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import partial
from pathlib import Path

from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QFileDialog, QHBoxLayout, QLabel, QMenu, QPushButton, QVBoxLayout, QWidget

from costing.book.fact import parse_fact
from costing.book.records import Stage
from costing.edits.batch_recipe import keep_size
from costing.ledger.batches import Batch
from costing.ledger.compare import StagePair, compare
from costing.ledger.scale import scaled
from costing.ledger.unit import Unbridged, amount_in_base
from costing.report.phrases import reading_word
from costing.report.words import stage_word
from costing.tongue import capital, say
from ui.desk import Desk, Where
from ui.document import Figures
from ui.fault import KNOWN, Refusal, refusal_of
from ui.format import UNKNOWN, Format, isolate, own
from ui.jobs import Job
from ui.models.table import Column, RowTable
from ui.places.stillroom.batches_sheet import save_sheet
from ui.widgets.fields import TextField
from ui.widgets.listpane import ListPane

LONG = 180.0
"""Minutes from which a time is said in hours."""


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
    beside = compare(reckoning, preparation, reckoning, preparation, None, batch).stages
    sides = {pair.a.stage: pair for pair in beside if pair.a is not None}
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
        yield from _times(stage.id, sides.get(stage.id), form)
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


def _times(stage: str, pair: StagePair | None, form: Format) -> Iterator[ScaleRow]:
    """How long hands and machine are at it, over all runs."""
    a, b = (pair.a, pair.b) if pair is not None else (None, None)
    if a is None or b is None:
        return
    if a.hands_min or b.hands_min:
        was, now = (_minutes(side.hands_min, form) for side in (a, b))
        yield ScaleRow(f"{stage} hands", say("hands"), was, now)
    if a.machine_h or b.machine_h:
        was, now = (_minutes(None if s.machine_h is None else 60 * s.machine_h, form) for s in (a, b))
        yield ScaleRow(f"{stage} alone", say("alone"), was, now)


def _minutes(minutes: float | None, form: Format) -> str:
    """ "25 min", or "3.5 h" from three hours on."""
    if minutes is None:
        return UNKNOWN
    if minutes >= LONG:
        return isolate(say("{hours} h", hours=form.number(minutes / 60, 1, trim=True)))
    return isolate(say("{minutes} min", minutes=form.number(minutes, 0)))


class ScalePage(QWidget):
    """Type how large; see everything beside the standard batch, print it, or make it the standard one."""

    def __init__(self, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.desk, self.preparation = desk, ""
        self._sizes: dict[str, str] = {}
        self.large = TextField(say("How large"), self, hint=say("2, or 6 l, or 3 kg pineapple"))
        self.large.textEdited.connect(self._typed)
        self.large.committed.connect(self._typed)
        self.said = QLabel(self)
        self.said.setWordWrap(True)
        self._factor: Decimal | None = None
        self._job: Job | None = None
        self.sheet = QPushButton(say("Batch sheet of this size…"), self)
        self.sheet.clicked.connect(self.ask_sheet)
        self.keep = QPushButton(say("As the standard batch…"), self)
        self.keep.clicked.connect(self.ask_keep)
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
        layout = QVBoxLayout(self)
        layout.setContentsMargins(4, 4, 4, 4)
        layout.addLayout(top)
        layout.addWidget(self.said)
        layout.addWidget(self.list, 1)
        acts = QHBoxLayout()
        acts.addWidget(self.sheet)
        acts.addWidget(self.keep)
        acts.addStretch(1)
        layout.addLayout(acts)

    def show_preparation(self, preparation: str) -> None:
        """Another preparation begins at twice its batch, or at the size that was typed for it before."""
        if preparation != self.preparation:
            self._sizes[self.preparation] = self.large.text()
            self.preparation = preparation
            self.large.revert()
            self.large.set_text("2")
            self.large.setText(self._sizes.pop(preparation, "2"))
        self._typed(self.large.text())

    def _typed(self, text: str) -> None:
        figures = self.desk.document.figures
        self._factor = None
        if self.preparation in figures.view.preparations:
            try:
                factor = factor_of(text, figures, self.preparation)
                batch = scaled(figures.reckoning, self.preparation, factor)
                rows = list(scale_rows(figures, self.preparation, batch, self.desk.format))
            except KNOWN as error:
                self.said.setText(refusal_of(error).text if text.strip() else "")
                self.rows.set_rows([])
            else:
                self._factor = factor
                self.said.setText(say("{factor} times the standard batch. What follows from a charge size is counted "
                                      "anew.", factor=self.desk.format.number(factor, 3, trim=True)))  # fmt: skip
                self.rows.set_rows(rows)
                self.list.table.fit_columns()
        else:
            self.said.setText("")
            self.rows.set_rows([])
        for button in (self.sheet, self.keep):
            button.setEnabled(self._factor is not None and self._job is None)

    # What can be done with it

    def ask_sheet(self) -> None:
        """Choose where the sheet of this size goes; that of the standard batch is looked at in Month."""
        if self._factor == 1:
            self.desk.go(Where("report", "batch-sheet", self.preparation))
            return
        kept = self.desk.memory.get("reports")
        folder = Path(kept) if isinstance(kept, str) and Path(kept).is_dir() else Path.home()
        path, _ = QFileDialog.getSaveFileName(
            self, say("Save the batch sheet"), str(folder / f"batch-{self.preparation}.pdf"), "PDF (*.pdf)"
        )
        if path:
            self.save_sheet(Path(path))

    def save_sheet(self, path: Path) -> None:
        """Write the sheet of the size that is shown."""
        if self._factor is None or self._job is not None:
            return
        work = partial(save_sheet, self.desk.document.figures, self.preparation, self._factor, path)
        self._job = Job(work, self)
        self._job.done.connect(self._saved)
        self._job.failed.connect(self._failed)
        self._job.finished.connect(self._finished)
        self.sheet.setEnabled(False)
        self._job.start()

    def _saved(self, path: Path) -> None:
        self.desk.memory.put("reports", str(path.parent))
        self.desk.tell(say("Saved as {file}", file=own(str(path))))

    def _failed(self, error: Exception) -> None:
        if not isinstance(error, KNOWN):
            raise error  # the hook for what nobody expected says it, and writes it down
        self.desk.refuse(refusal_of(error))

    def _finished(self) -> None:
        self._job = None
        self._typed(self.large.text())

    def ask_keep(self) -> None:
        """Whether it is the standard batch from the day that is looked at, or was so all along."""
        menu = QMenu(self)
        menu.setAccessibleName(self.keep.text())
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        day = self.desk.document.day
        menu.addAction(
            say("from {day} on", day=self.desk.format.day(day))
        ).triggered.connect(partial(self._keep, day))  # fmt: skip
        menu.addAction(say("amend the recipe as it stands")).triggered.connect(partial(self._keep, None))
        menu.popup(self.keep.mapToGlobal(QPoint(0, self.keep.height())))

    def _keep(self, since: date | None, *_: object) -> None:
        self.make_standard(since)

    def make_standard(self, since: date | None) -> bool:
        """The size that is shown as the standard batch: from a day on, or in the version of the day."""
        document, factor = self.desk.document, self._factor
        if factor is None:
            return False
        done = self.desk.attempt(
            partial(keep_size, document.book, self.preparation, factor, document.day, since)
        )  # fmt: skip
        if done:
            self.large.revert()
            self.large.set_text("1")
            self._typed("1")
        return done
