"""The loss ledger as rows: what went into each stage, what came out, and that it closes."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from costing.book.records import LAYERS, Stage
from costing.ledger import Reckoning
from costing.ledger.lines import Line, Stream
from costing.ledger.matter import PURE_ALCOHOL, Matter
from costing.report.content import DeviationRow
from costing.report.phrases import by_kind, deviation_line, notes_line, reading_word
from costing.report.words import key_word, layer_word, mark_word, stage_word, stream_word
from costing.tongue import capital, numeral, say
from ui.desk import Desk
from ui.document import Figures
from ui.format import own
from ui.models.table import Column
from ui.places.stillroom.why import Carried, LossAt
from ui.whys import UnitCost

CLOSES = 5e-7
"""Kilograms that a stage may be open by and still close: half a milligram, far under the last gram."""


@dataclass(frozen=True, slots=True)
class LedgerRow:
    """One line of the ledger. ``memo`` is money that is inside another row and not added again; ``whence`` the stage
    that its money was carried from."""

    key: str
    stage: str
    sort: str
    text: str
    litres: float | None = None
    alcohol: float | None = None
    kg: float | None = None
    money: float | None = None
    memo: bool = False
    mark: str = ""
    tip: str = ""
    source: str = ""
    whence: str = ""


def ledger_rows(figures: Figures, ident: str) -> list[LedgerRow]:
    """Every line of a preparation's ledger, as far as it goes; a refused one ends before the stage that cannot be."""
    ledger, made = figures.reckoning.ledgers.get(ident), figures.view.preparations.get(ident)
    if ledger is None or made is None:
        return []
    stages = {stage.id: stage for stage in made[1].stages}
    out, before = list[LedgerRow](), ""
    for n, line in enumerate(ledger.lines, 1):
        for row in _stage(figures, n, line, stages[line.stage]):
            whence = before if row.key == f"{line.stage}/in/0" and not row.source else line.stage
            kept = f"{ident}/{row.source}" if row.sort == "kept" else row.source
            out.append(replace(row, whence=whence, source=kept))
        before = line.stage
    return out


def _stage(figures: Figures, number: int, line: Line, stage: Stage) -> Iterator[LedgerRow]:
    at = line.stage
    title = say("{n} {kind}", n=number, kind=capital(stage_word(line.kind)))
    if line.share_lost > 0.0:
        title = say("{stage}: {share} % of the {key} lost", stage=title,
                    share=numeral(f"{100 * line.share_lost:.1f}"), key=key_word(line.key))  # fmt: skip
    yield LedgerRow(at, at, "stage", title, tip=notes_line(line.notes))
    yield from _ins(figures, line, stage)
    yield from _outs(figures, line)
    entered, out = line.total("in"), line.total("on", "kept", "meant", "lost", "unexplained")
    gap = entered.mass - out.mass
    closed = abs(gap) <= CLOSES * max(1.0, entered.mass)
    said = say("closes") if closed else say("does not close")
    yield LedgerRow(
        f"{at}/closes", at, "closes", said, alcohol=0.0 if closed else (entered.ethanol - out.ethanol) * PURE_ALCOHOL,
        kg=0.0 if closed else gap, mark="computed",
        tip=say("Everything that went in, less everything that came out."),
    )  # fmt: skip
    for deviation in line.deviations:
        row = DeviationRow(reading=deviation.reading, measured=deviation.measured, predicted=deviation.predicted)
        read = say("read: {what} {value}", what=reading_word(row.reading), value=by_kind(row.reading, row.measured))
        yield LedgerRow(
            f"{at}/read/{row.reading}", at, "reading", read, mark="measured", tip=deviation_line(row)
        )  # fmt: skip


def _flow(matter: Matter) -> tuple[float | None, float, float]:
    try:
        litres = matter.volume() if matter.free.mass else None
    except ValueError:
        litres = None
    return litres, matter.ethanol * PURE_ALCOHOL, matter.mass


def _ins(figures: Figures, line: Line, stage: Stage) -> Iterator[LedgerRow]:
    reckoning, at = figures.reckoning, line.stage
    work = 0.0
    marks = dict(_input_marks(line, stage))
    for n, stream in enumerate(line.ins):
        money = reckoning.money(stream.row).making
        good = figures.view.goods.get(stream.source)
        if good is not None and good.layer != "materials":
            work += money
            continue
        litres, alcohol, kg = _flow(stream.matter)
        bought = own(figures.names.get(stream.source, stream_word("water")))
        name = say("from before") if stream.runs_on else bought
        mark = "computed" if stream.runs_on or stream.name == "computed" else marks.get(n, "computed")
        yield LedgerRow(
            f"{at}/in/{n}", at, "in", say("in: {name}", name=name), litres, alcohol, kg, money, mark=mark,
            source=stream.source,
        )  # fmt: skip
    if work:
        yield LedgerRow(f"{at}/work", at, "in", say("in: work"), money=work, mark="computed",
                        tip=say("Hands, machine and energy: {layers}", layers=_layers(reckoning, line)))  # fmt: skip


def _layers(reckoning: Reckoning, line: Line) -> str:
    new = [s for s in line.ins if not s.runs_on]
    columns = [0.0] * len(LAYERS)
    for stream in new:
        columns = [a + b for a, b in zip(columns, reckoning.money(stream.row).columns, strict=True)]
    named = zip(LAYERS, columns, strict=True)
    return ", ".join(f"{layer_word(layer)} {numeral(f'{value:.2f}')}" for layer, value in named if value)


def _input_marks(line: Line, stage: Stage) -> Iterator[tuple[int, str]]:
    """The marks of the amounts as typed, by place among the streams in; they keep the order of the stage."""
    waiting: dict[str, list[str]] = {}
    for item in stage.adds:
        waiting.setdefault(item.source, []).append(item.amount.mark if item.amount else "computed")
    for n, stream in enumerate(line.ins):
        found = waiting.get(stream.source, [])
        if found and not stream.runs_on:
            yield n, found.pop(0)


def _outs(figures: Figures, line: Line) -> Iterator[LedgerRow]:
    reckoning, at = figures.reckoning, line.stage
    spilled = {source: reckoning.money({source: amount}).materials for source, amount in line.spilled.items()}
    rest = reckoning.lost_here(line) - sum(spilled.values())
    gone = [s for s in line.outs if s.fate in ("lost", "unexplained") and not s.name.startswith("spill of ")]
    whole = sum(s.matter.amount(line.key) for s in gone)
    for n, stream in enumerate(line.outs):
        litres, alcohol, kg = _flow(stream.matter)
        money: float | None = None
        memo = stream.fate in ("lost", "unexplained")
        if stream.fate in ("on", "kept"):
            money = reckoning.money(stream.row).making
        elif stream.name.startswith("spill of "):
            money = spilled.get(stream.source)
        elif memo:
            money = rest * stream.matter.amount(line.key) / whole if whole else 0.0
        yield LedgerRow(
            f"{at}/out/{n}", at, stream.fate, _said(figures, stream), litres, alcohol, kg, money, memo,
            _mark(line, stream), source=stream.source if stream.fate == "kept" else "",
        )  # fmt: skip


def _said(figures: Figures, stream: Stream) -> str:
    if stream.name.startswith("spill of "):
        return say("lost: spill of {name}", name=own(figures.names.get(stream.source, stream.source)))
    match stream.fate:
        case "on":
            return say("goes on")
        case "kept":
            return say("kept: {name}", name=own(stream.name))
        case "meant":
            return say("meant: {name}", name=stream_word(stream.name))
        case "unexplained":
            return say("unexplained")
        case _:
            return say("lost: {name}", name=stream_word(stream.name))


def _mark(line: Line, stream: Stream) -> str:
    """How a stream out is known: as the reading of it is, else assumed where any figure of the stage is."""
    side = "out." if stream.fate == "on" else "left."
    read = [mark for name, _, mark in line.stood_on if name.startswith(side)]
    if read:
        return "assumed" if "assumed" in read else "measured"
    return "assumed" if any(mark == "assumed" for _, _, mark in line.stood_on) else "computed"


def ledger_columns(desk: Desk, ident: "Sequence[str]") -> Sequence[Column[LedgerRow]]:
    """What the ledger shows; ``ident`` holds the one preparation that is shown."""
    form = desk.format

    def figure(value: float | None) -> str:
        return "" if value is None else form.number(value, 3)

    def alcohol(row: LedgerRow) -> str:
        return figure(row.alcohol) if row.alcohol or row.sort == "closes" else ""

    def money(row: LedgerRow) -> str:
        if row.money is None:
            return ""
        return say("({money})", money=form.money(row.money)) if row.memo else form.money(row.money)

    def why(row: LedgerRow) -> object | None:
        if row.source:
            return UnitCost(row.source)
        if not ident or row.sort in ("closes", "meant", "reading"):
            return None
        return Carried(ident[0], row.whence) if row.sort in ("on", "in") else LossAt(ident[0], row.stage)

    def tip(row: LedgerRow) -> str:
        if row.tip:
            return row.tip
        if row.memo:
            return say("Materials money spent on what is lost here. It stays inside what goes on; it is not added.")
        return row.text

    def strong(row: LedgerRow) -> bool:
        return row.sort in ("stage", "on")

    return (
        Column[LedgerRow]("text", say("In and out"), lambda r: r.text, tip=tip, why=why, strong=strong),
        Column[LedgerRow]("litres", say("L"), lambda r: figure(r.litres), True, mark=_mark_of("litres"), why=why,
                          strong=strong, about=say("Litres at 20 °C; nothing where solids are in it")),
        Column[LedgerRow]("alcohol", say("Alcohol L"), alcohol, True, mark=_mark_of("alcohol"), why=why,
                          strong=strong, about=say("Litres of pure alcohol")),
        Column[LedgerRow]("kg", say("kg"), lambda r: figure(r.kg), True, mark=_mark_of("kg"), why=why, strong=strong),
        Column[LedgerRow]("money", say("Money"), money, True, mark=_mark_of("money"), why=why, tip=tip, strong=strong,
                          about=say("With making. In brackets: materials spent on what is lost, inside the rest")),
        Column[LedgerRow]("mark", say("Known"), lambda r: mark_word(r.mark) if r.mark else "", why=why),
    )  # fmt: skip


def _mark_of(name: str) -> Callable[[LedgerRow], str]:
    """The mark of a row where its figure of that name is shown at all."""

    def mark(row: LedgerRow) -> str:
        return row.mark if getattr(row, name) else ""

    return mark
