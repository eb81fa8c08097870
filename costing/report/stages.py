"""The lines of a loss ledger as report rows."""

from collections.abc import Mapping
from dataclasses import replace

from costing.book.fact import Fact
from costing.book.records import Stage
from costing.book.units import Dim
from costing.ledger.lines import Fate, Line, Stream
from costing.ledger.matter import PURE_ALCOHOL, Matter
from costing.ledger.reckon import Reckoning
from costing.ledger.unit import Unbridged, figure
from costing.report.content import AddedRow, DeviationRow, FigureRow, FlowRow, StageRow, TimeRow
from costing.report.words import stream_word
from costing.tongue import numeral, say


def stage_rows(
    reckoning: Reckoning, stages: tuple[Stage, ...], lines: tuple[Line, ...], names: Mapping[str, str]
) -> tuple[StageRow, ...]:
    """A row a line, each with the stage it came from."""
    by_id = {stage.id: stage for stage in stages}
    return tuple(_row(reckoning, by_id[line.stage], line, names) for line in lines)


def _row(reckoning: Reckoning, stage: Stage, line: Line, names: Mapping[str, str]) -> StageRow:
    view = reckoning.view
    machine = view.equipment.get(stage.equipment)
    return StageRow(
        id=stage.id,
        kind=stage.kind,
        note=stage.note,
        equipment=machine.name if machine else stage.equipment,
        active=_time(reckoning, line, stage.active),
        passive=_time(reckoning, line, stage.passive),
        setup=_time(reckoning, line, stage.setup, once=True),
        added=_added(reckoning, stage, line, names),
        into=flow("", "in", line.total("in")),
        flows=tuple(_left(reckoning, line, s, names) for s in line.outs),
        key=line.key,
        share_lost=line.share_lost,
        row=line.carried.row,
        money=reckoning.money(line.carried.row).columns,
        lost_goods=reckoning.contents(line.carried).lost,
        lost_money=reckoning.lost_money(line.carried),
        figures=_figures(stage, line),
        deviations=tuple(
            DeviationRow(reading=d.reading, measured=d.measured, predicted=d.predicted) for d in line.deviations
        ),
        notes=line.notes,
    )


def _left(reckoning: Reckoning, line: Line, stream: Stream, names: Mapping[str, str]) -> FlowRow:
    """A stream out; a by-product with what it takes of the key component and of the money."""
    if stream.name.startswith("spill of "):
        name = say("spill of {source}", source=names.get(stream.source, stream.source))
    else:
        name = stream.name if stream.fate == "kept" else stream_word(stream.name)
    out = flow(name, stream.fate, stream.matter)
    if stream.fate != "kept":
        return out
    whole, money = line.total("in").amount(line.key), reckoning.money(line.entered).making
    return replace(
        out,
        key_share=stream.matter.amount(line.key) / whole if whole else 0.0,
        money_share=reckoning.money(stream.row).making / money if money else 0.0,
    )


def _time(reckoning: Reckoning, line: Line, fact: Fact | None, *, once: bool = False) -> TimeRow | None:
    if fact is None:
        return None
    try:
        minutes: float | None = 60.0 * figure(fact, (Dim.TIME,), reckoning.view.measures)[1]
    except Unbridged:
        minutes = None
    runs = line.runs != 1.0 and not once
    return TimeRow(typed=fact.text, minutes=minutes, mark=fact.mark, runs=runs, once=once)


def flow(name: str, fate: Fate, matter: Matter) -> FlowRow:
    """A stream's matter as kilograms, litres, strength and litres of pure alcohol."""
    try:
        litres, abv = (matter.volume(), matter.abv) if matter.free.mass else (None, None)
    except ValueError:  # dry sugar and the like: weighed, never poured
        litres, abv = None, None
    return FlowRow(name=name, fate=fate, kg=matter.mass, litres=litres, abv=abv, alcohol=matter.ethanol * PURE_ALCOHOL)


def _added(reckoning: Reckoning, stage: Stage, line: Line, names: Mapping[str, str]) -> tuple[AddedRow, ...]:
    """Streams in but the running one, and but the hours and energy that nobody typed as an input: those follow from
    the times. Inputs keep the order of the stage, so the typed text is found by order."""
    typed: dict[str, list[tuple[str, Fact, bool]]] = {}
    for item in stage.adds:
        if item.amount is not None:
            typed.setdefault(item.source, []).append((typed_amount(item.amount, item.spill), item.amount, item.fixed))
    out = []
    for stream in line.ins:
        if stream.runs_on:
            continue
        waiting = typed.get(stream.source, [])
        text, fact, fixed = waiting.pop(0) if waiting else ("", None, False)
        good = reckoning.view.goods.get(stream.source)
        if not text and good is not None and good.layer != "materials":
            continue
        unit = reckoning.units.get(stream.source)
        out.append(
            AddedRow(
                name=names.get(stream.source, stream_word("melt")),
                typed=text,
                amount=stream.row.get(stream.source, stream.matter.mass),
                base=unit.base if unit else "kg",
                mark=fact.mark if fact else None,
                kg=stream.matter.mass,
                fixed=fixed,
            )
        )
    return tuple(out)


def typed_amount(amount: Fact, spill: Fact | None) -> str:
    """An amount as typed, with what is spilled of it."""
    return say("{amount} + {spill} spill", amount=amount.text, spill=spill.text) if spill else amount.text


def _figures(stage: Stage, line: Line) -> tuple[FigureRow, ...]:
    """As typed; and the runs, where nobody entered them and the charge of the equipment counted them."""
    typed = tuple(
        FigureRow(name=name, typed=fact.text, mark=fact.mark, how=fact.how)
        for name, fact in (*stage.facts, *stage.readings)
    )
    counted = line.runs != 1.0 and ("runs", line.runs, "computed") in line.stood_on
    runs = FigureRow(name="runs", typed=numeral(f"{line.runs:g}"), mark="computed",
                     how=say("by the charge of the equipment"))  # fmt: skip
    return (*typed, runs) if counted else typed
