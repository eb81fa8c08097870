"""One stage: inputs resolved, the mechanism run without and with the readings, streams and shares worked out."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from costing.book.fact import Mark
from costing.book.kinds import STAGE_KINDS, StageKind
from costing.book.problem import Problem, problem
from costing.book.records import ByProduct, Facts, Input, Stage
from costing.book.units import Dim
from costing.ledger.lines import Deviation, Fate, Line, Standing, Stream
from costing.ledger.matter import NOTHING, Matter
from costing.ledger.mechanisms import SCALES, Charge, Figures, Impossible, Parted
from costing.ledger.reading import (
    Refused,
    Stated,
    figures_of,
    find,
    impossible,
    marks_of,
    readings_of,
    stood_on_of,
    weighed_kg,
)
from costing.ledger.rows import EMPTY, Carried
from costing.ledger.unit import Measures, Unbridged, Unit, amount_in_base, figure


@dataclass(frozen=True, slots=True)
class Shelf:
    """What a stage may take from: the Unit of every good and output, which of them flow with the liquid, house
    measures, what its time costs in goods (by stage, runs, and whether these are sure), the most that one run of its
    equipment takes, and the preparations that are refused today."""

    units: Mapping[str, Unit]
    flows: Callable[[str], bool]
    measures: Measures
    hours: Callable[[Stage, float, Mark], tuple[tuple[str, Mark, float], ...]]
    size: Callable[[Stage], tuple[Dim, float, Mark] | None] = lambda _: None
    refused: frozenset[str] = frozenset()


MOVES_NO_MONEY = frozenset({"dilution"})
"""Figures that change what is in the glass but not what it cost; assumed, they leave the money sure."""
MOST_RUNS = 1000


@dataclass(frozen=True, slots=True)
class _Added:
    source: str
    amount: float
    spilled: float
    matter: Matter | None
    flows: bool
    assumed: float


def run_stage(
    stage: Stage,
    running: Matter,
    carried: Carried,
    shelf: Shelf,
    where: str,
    byproducts: tuple[ByProduct, ...] = (),
    logged: Facts | None = None,
    solids: Matter = NOTHING,
) -> tuple[Line, dict[str, Carried]]:
    """Follow one stage. Returns its Line and what each by-product carries off.

    ``solids`` are the running stream's parts that brought insolubles (fruit, not the spirit on it): a spent ratio is
    stated over them, and exchange says how much of their own liquid met the rest.

    ``logged`` are the readings of a batch as it was made; they take the place of the recipe's own. Refused when the
    recipe is impossible; an impossible reading of a log is marked and left out instead. Masses of ins and outs are
    equal component by component, and so are their rows.
    """
    kind = STAGE_KINDS.get(stage.kind)
    if kind is None:
        raise Refused([problem("unknown-kind", where, kind=stage.kind, kinds=", ".join(STAGE_KINDS))])
    if len(byproducts) > 1:
        raise Refused([problem("two-byproducts", where, stage=stage.id)])
    problems: list[Problem] = []
    added = _resolve(stage.adds, shelf, where, problems)
    diluent = _diluent(stage, kind, where)
    charge = _charge(running, solids, added, diluent, shelf, where)
    facts: Figures = figures_of(stage.facts, where, shelf.measures, kind)
    runs = _runs(stage, facts, charge, shelf, where, problems)
    if runs.counted:
        facts = {**facts, "runs": runs.number}
    stated = _stated(facts, stage, added, charge)
    if stated is not None:
        facts = {name: value for name, value in facts.items() if not name.startswith("makes")}
    standard: Figures = readings_of(stage.readings, where, shelf.measures)
    taken: Figures | None = None if logged is None else readings_of(logged, where, shelf.measures, problems)
    figures = Stated(stage.facts, stage.readings, logged, facts, standard, taken)
    found, figures = find(kind, charge, figures, where)
    standard, taken, facts = figures.standard, figures.taken, figures.facts
    parted, readings = found.parted, found.readings
    problems += found.marked + [problem(code, where, "warning") for code in parted.doubts]
    marks: dict[str, Standing] = {
        **marks_of(stage.facts), **marks_of(stage.readings), **marks_of(logged or ()), **runs.marks
    }  # fmt: skip
    outs, notes = _streams(parted, kind, byproducts, readings, where)
    problems += notes
    carried_in, ins = _take(carried, running, added, diluent, parted, shelf, stage, runs, where)
    spilled = tuple(
        Stream(f"spill of {a.source}", a.matter * a.spilled, "lost", a.source)
        for a in added
        if a.spilled and a.matter is not None
    )
    entering = charge.entering + charge.diluent * parted.diluent
    # what a still is run for is volatile: sugar that stays in the pot of a water distillate is no loss
    key = "mass" if kind.mechanism == "still" and entering.key == "solubles" else entering.key
    whole = entering.amount(key)
    gone = sum(s.matter.amount(key) for s in outs if s.fate in ("lost", "unexplained"))
    share = min(1.0, gone / whole) if whole > 0.0 else 0.0
    after = carried_in.lose(share, [s for s in carried_in.row if shelf.flows(s)])
    stood_on = stood_on_of(parted.own, facts, readings, marks)
    if any(mark == "assumed" and name not in MOVES_NO_MONEY for name, _, mark in stood_on):
        after = after.rest_on_assumption()
    off = {b.id: after.part(float(b.share)) for b in byproducts}
    after = after.part(1.0 - sum(float(b.share) for b in byproducts))
    outs = tuple(
        replace(s, row=after.row) if s.fate == "on" else replace(s, row=off[s.source].row) if s.source in off else s
        for s in outs
    )
    predicted = found.predicted
    line = Line(
        stage=stage.id,
        kind=stage.kind,
        ins=ins,
        outs=outs + spilled,
        key=key,
        share_lost=share,
        carried=after,
        stood_on=stood_on,
        deviations=tuple(
            Deviation(n, v, None if predicted is None else _predicted(predicted, n))
            for n, v in (standard if taken is None else taken).items()
        ),
        notes=parted.notes,
        problems=tuple(problems),
        makes=stated,
        solids=_solids_on(kind, charge, parted),
        runs=runs.number,
        spilled={a.source: a.spilled for a in added if a.spilled},
    )
    return line, off


@dataclass(frozen=True, slots=True)
class _Runs:
    """How many runs a stage is made in; ``counted`` by its charge where nobody entered them."""

    number: float
    counted: bool
    mark: Mark

    @property
    def marks(self) -> dict[str, Standing]:
        """How the figure "runs" is marked where it was counted."""
        return {"runs": "computed"} if self.counted else {}


def _runs(stage: Stage, facts: Figures, charge: Charge, shelf: Shelf, where: str, problems: list[Problem]) -> _Runs:
    """Runs as entered, else as many as the equipment's charge size asks for, else one."""
    size = shelf.size(stage)
    entered = facts.get("runs")
    mark: Mark = marks_of(stage.facts).get("runs", "measured")
    if entered is not None and not 1.0 <= entered <= MOST_RUNS:
        raise Refused([problem("out-of-range", where, figure="runs", value=entered, low=1, high=MOST_RUNS)])
    if size is None:
        return _Runs(1.0 if entered is None else entered, False, mark)
    dim, most, guessed = size
    whole = charge.entering.mass if dim is Dim.MASS else charge.entering.volume()
    if not whole:
        if entered is None:
            problems.append(problem("runs-not-counted", where, "warning"))
        return _Runs(1.0 if entered is None else entered, False, mark)
    if entered is not None:
        if whole / entered > most * (1.0 + SCALES):
            each, unit = whole / entered, dim.value
            problems.append(problem("over-charge", where, "warning", value=each, most=most, unit=unit))
        return _Runs(entered, False, mark)
    number = float(max(1, math.ceil(whole / most - 1e-9)))
    if number > MOST_RUNS:
        raise Refused([problem("out-of-range", where, figure="runs", value=number, low=1, high=MOST_RUNS)])
    return _Runs(number, True, guessed)


def _solids_on(kind: StageKind, charge: Charge, parted: Parted) -> Matter:
    """The solid-bringing parts that go on: with their insolubles, less their share of the water that dries off."""
    entering, solids = charge.entering, charge.solids
    if entering.insolubles <= 0.0 or solids.mass <= 0.0:
        return NOTHING
    if kind.mechanism == "dry":
        wet = parted.out.water / entering.water if entering.water > 0.0 else 1.0
        return replace(solids, water=solids.water * min(1.0, wet))
    return solids * min(1.0, parted.out.insolubles / entering.insolubles)


def _stated(facts: Figures, stage: Stage, added: list[_Added], charge: Charge) -> tuple[Dim, float] | None:
    """What a "make" stage says it makes, where its matter cannot say so: (dimension, kg or L)."""
    if stage.kind != "make":
        return None
    if _followed(added) and ("makes.volume" not in facts or charge.entering.volume() is not None):
        return None
    for name, dim in (("makes.volume", Dim.VOLUME), ("makes.mass", Dim.MASS)):
        if name in facts:
            return dim, facts[name]
    return None


def _followed(added: list[_Added]) -> bool:
    return all(a.matter is not None or not a.flows for a in added)


def _diluent(stage: Stage, kind: StageKind, where: str) -> Input | None:
    """The input whose amount the stage works out: one, and only in a proof (water) or a carbonation (gas)."""
    open_ended = [i for i in stage.adds if i.amount is None]
    computes = kind.mechanism == "proof" or "co2" in kind.facts
    if len(open_ended) > (1 if computes else 0):
        raise Refused([problem("amount-missing", where, source=open_ended[-1].source)])
    return open_ended[0] if open_ended else None


def _resolve(adds: tuple[Input, ...], shelf: Shelf, where: str, problems: list[Problem]) -> list[_Added]:
    out: list[_Added] = []
    wrong: list[Problem] = []
    for n, item in enumerate(adds):
        if item.amount is None:
            continue
        at = f"{where}/add/{n + 1}"
        unit = shelf.units.get(item.source)
        if unit is None:
            code = "refused-source" if item.source.split("/")[0] in shelf.refused else "no-source"
            wrong.append(problem(code, at, source=item.source))
            continue
        try:
            amount = amount_in_base(item.amount, unit, shelf.measures)
            spill = figure(item.spill, (Dim.RATIO,), shelf.measures)[1] if item.spill else 0.0
        except Unbridged as gap:
            wrong.append(problem(gap.code, at, source=item.source, **gap.detail))
            continue
        if amount.value < 0.0:
            wrong.append(problem("out-of-range", at, figure="amount", value=item.amount.text, low=0, high="1e9"))
        elif not 0.0 <= spill < 1.0:
            text = item.spill.text if item.spill else ""
            wrong.append(problem("out-of-range", at, figure="spill", value=text, low="0 %", high="below 100 %"))
        flows = shelf.flows(item.source)
        if unit.matter is None and flows:
            problems.append(problem("not-followed", at, "warning", source=item.source))
        guessed_spill = item.spill is not None and item.spill.mark == "assumed"
        spilled = amount.value * spill
        assumed = amount.value + spilled if amount.assumed else spilled if guessed_spill else 0.0
        out.append(_Added(item.source, amount.value, spilled, unit.matter, flows, assumed))
    if wrong:
        raise Refused(wrong)
    return out


def _charge(
    running: Matter, solids: Matter, added: list[_Added], diluent: Input | None, shelf: Shelf, where: str
) -> Charge:
    entering = running
    for a in added:
        if a.matter is not None:
            part = a.matter * a.amount
            entering = entering + part
            solids = solids + part if part.insolubles > 0.0 else solids
    per_kg = Matter(water=1.0)
    if diluent is not None:
        unit = shelf.units.get(diluent.source)
        if unit is None or unit.matter is None or unit.matter.mass == 0.0:
            raise Refused([problem("no-source", where, source=diluent.source)])
        per_kg = unit.matter * (1.0 / unit.matter.mass)
    return Charge(entering, solids, per_kg, diluent is not None)


def _streams(
    parted: Parted, kind: StageKind, byproducts: tuple[ByProduct, ...], readings: Figures, where: str
) -> tuple[tuple[Stream, ...], list[Problem]]:
    """The streams out, the unexplained part of a twice-weighed balance split off, and notes on small gaps."""
    notes: list[Problem] = []
    out, left, missing = parted.out, parted.left, NOTHING
    for name, value in readings.items():
        stream = out if name.startswith("out") else left
        weighed = weighed_kg(name, stream, value)
        if weighed is None:
            continue
        if weighed > stream.mass * (1.0 + 1e-9):
            notes.append(problem("within-error", where, "note", figure=name, value=weighed, most=stream.mass))
        elif name not in parted.own and stream.mass > 0.0:
            kept, gap = stream.split(min(1.0, weighed / stream.mass))
            missing = missing + gap
            out, left = (kept, left) if name.startswith("out") else (out, kept)
    entered = parted.out.mass + parted.left.mass + parted.film.mass
    if missing.mass > 2.0 * SCALES * entered:
        share = 100.0 * missing.mass / entered
        notes.append(problem("unexplained-much", where, "warning", value=share))
    kept_as = byproducts[0] if byproducts else None
    fate: Fate = "kept" if kept_as else kind.fate
    streams = [Stream("on", out, "on")]
    if left.mass > 0.0 or kept_as:
        streams.append(Stream(kept_as.name if kept_as else kind.leaves, left, fate, kept_as.id if kept_as else ""))
    if parted.film.mass > 0.0:
        streams.append(Stream("film and vent", parted.film, "lost"))
    if missing.mass > 0.0:
        streams.append(Stream("unexplained", missing, "unexplained"))
    return tuple(streams), notes


def _take(
    carried: Carried,
    running: Matter,
    added: list[_Added],
    diluent: Input | None,
    parted: Parted,
    shelf: Shelf,
    stage: Stage,
    runs: _Runs,
    where: str,
) -> tuple[Carried, tuple[Stream, ...]]:
    """Everything that enters, as streams and as amounts on the row."""
    ins: list[Stream] = []
    if running.mass > 0.0 or carried.row:
        ins.append(Stream("running", running, "in", "", carried.row))
    taken: dict[str, float] = {}
    lost: dict[str, float] = {}
    guessed: dict[str, float] = {}

    def take(source: str, amount: float, spilled: float = 0.0, assumed: float = 0.0) -> None:
        for row, part in ((taken, amount), (lost, spilled), (guessed, assumed)):
            if part or row is taken:
                row[source] = row.get(source, 0.0) + part

    for a in added:
        bought = a.amount + a.spilled
        matter = NOTHING if a.matter is None else a.matter * bought
        ins.append(Stream(a.source, matter, "in", a.source, {a.source: bought}))
        take(a.source, bought, a.spilled, a.assumed)
    if parted.diluent > 0.0:
        matter, row = Matter(water=parted.diluent), EMPTY
        if diluent is not None:
            per_base = shelf.units[diluent.source].matter or Matter(water=1.0)
            row = {diluent.source: parted.diluent / per_base.mass}
            matter = per_base * row[diluent.source]
            take(diluent.source, row[diluent.source])
        ins.append(Stream("computed" if diluent else "water", matter, "in", diluent.source if diluent else "", row))
    try:
        hours = shelf.hours(stage, runs.number, runs.mark)
    except Impossible as error:
        raise Refused([impossible(error, where)]) from None
    for source, mark, amount in hours:
        ins.append(Stream(source, NOTHING, "in", source, {source: amount}))
        take(source, amount, 0.0, amount if mark == "assumed" else 0.0)
    return carried.take(taken, lost, guessed), tuple(ins)


def _predicted(parted: Parted, reading: str) -> float | None:
    stream = parted.out if reading.startswith("out") else parted.left
    what = reading.split(".")[1]
    if what == "mass":
        return stream.mass
    if what == "brix":
        return stream.liquid.brix / 100.0
    return stream.volume() if what == "volume" else stream.abv
