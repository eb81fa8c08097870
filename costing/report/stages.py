"""The lines of a loss ledger as report rows."""

from collections.abc import Mapping

from costing.book.fact import Fact
from costing.book.records import Stage
from costing.ledger.lines import Fate, Line
from costing.ledger.matter import Matter
from costing.ledger.reckon import Reckoning
from costing.liquor import Liquid
from costing.report.content import AddedRow, DeviationRow, FigureRow, FlowRow, StageRow

PURE_ALCOHOL = Liquid(1.0, 0.0, 0.0).volume
"""Litres at 20 C of one kilogram of ethanol."""


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
        active=stage.active.text if stage.active else "",
        passive=stage.passive.text if stage.passive else "",
        added=_added(reckoning, stage, line, names),
        into=flow("", "in", line.total("in")),
        flows=tuple(flow(names.get(s.name, s.name), s.fate, s.matter) for s in line.outs),
        key=line.key,
        share_lost=line.share_lost,
        row=line.carried.row,
        money=reckoning.money(line.carried.row).columns,
        lost_goods=reckoning.contents(line.carried).lost,
        lost_money=reckoning.lost_money(line.carried),
        figures=_figures(stage),
        deviations=tuple(
            DeviationRow(reading=d.reading, measured=d.measured, predicted=d.predicted) for d in line.deviations
        ),
        notes=line.notes,
    )


def flow(name: str, fate: Fate, matter: Matter) -> FlowRow:
    """A stream's matter as kilograms, litres, strength and litres of pure alcohol."""
    try:
        litres, abv = (matter.volume(), matter.abv) if matter.free.mass else (None, None)
    except ValueError:  # dry sugar and the like: weighed, never poured
        litres, abv = None, None
    return FlowRow(name=name, fate=fate, kg=matter.mass, litres=litres, abv=abv, alcohol=matter.ethanol * PURE_ALCOHOL)


def _added(reckoning: Reckoning, stage: Stage, line: Line, names: Mapping[str, str]) -> tuple[AddedRow, ...]:
    """Streams in but the running one. Inputs keep the order of the stage, so the typed text is found by order."""
    typed: dict[str, list[tuple[str, Fact]]] = {}
    for item in stage.adds:
        if item.amount is not None:
            spill = f" + {item.spill.text} spill" if item.spill else ""
            typed.setdefault(item.source, []).append((item.amount.text + spill, item.amount))
    out = []
    for stream in line.ins:
        if stream.name == "running":
            continue
        waiting = typed.get(stream.source, [])
        text, fact = waiting.pop(0) if waiting else ("", None)
        unit = reckoning.units.get(stream.source)
        out.append(
            AddedRow(
                name=names.get(stream.source, "water from ice"),
                typed=text,
                amount=stream.row.get(stream.source, stream.matter.mass),
                base=unit.base if unit else "kg",
                mark=fact.mark if fact else None,
                kg=stream.matter.mass,
            )
        )
    return tuple(out)


def _figures(stage: Stage) -> tuple[FigureRow, ...]:
    return tuple(
        FigureRow(name=name, typed=fact.text, mark=fact.mark, how=fact.how)
        for name, fact in (*stage.facts, *stage.readings)
    )
