"""One stage: inputs resolved, the mechanism run without and with the readings, streams and shares worked out."""

from dataclasses import dataclass, replace

from costing.book.kinds import STAGE_KINDS, StageKind
from costing.book.problem import Problem, problem
from costing.book.records import ByProduct, Facts, Stage
from costing.book.units import Dim
from costing.ledger.fermenting import ETHANOL_OF_SUGAR
from costing.ledger.inputs import Added, Shelf, charge_of, diluent_of, resolve, worked_out
from costing.ledger.lines import Deviation, Fate, Line, Standing, Stream
from costing.ledger.matter import NOTHING, Matter
from costing.ledger.parting import SCALES, Charge, Figures, Impossible, Parted
from costing.ledger.reading import (
    Found,
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
from costing.ledger.runs import Runs, runs_of
from costing.ledger.unit import at_20

MOVES_NO_MONEY = frozenset({"dilution"})
OF_THE_GAS = frozenset({"co2", "t", "headspace", "purges", "foam"})
"""Figures that change what is in the glass but not what it cost; assumed, they leave the money sure. So do those
of the gas where its amount was typed."""


@dataclass(frozen=True, slots=True)
class Running:
    """The stream that runs from stage to stage: its ``matter``, the row it ``carried`` in, the parts that brought
    insolubles (``solids``: fruit, not the spirit on it), and whether all that went in is ``known`` as matter."""

    matter: Matter = NOTHING
    carried: Carried = Carried()
    solids: Matter = NOTHING
    known: bool = True


def run_stage(
    stage: Stage,
    running: Running,
    shelf: Shelf,
    where: str,
    byproducts: tuple[ByProduct, ...] = (),
    logged: Facts | None = None,
) -> tuple[Line, dict[str, Carried]]:
    """Follow one stage. Returns its Line and what each by-product carries off.

    ``logged`` are the readings of a batch as it was made; they take the place of the recipe's own. Refused when the
    recipe is impossible; an impossible reading of a log is marked and left out instead. Masses of ins and outs are
    equal component by component (but for what ferments), and so are their rows.
    """
    kind = STAGE_KINDS.get(stage.kind)
    if kind is None:
        raise Refused([problem("unknown-kind", where, kind=stage.kind, kinds=", ".join(STAGE_KINDS))])
    if len(byproducts) > 1:
        raise Refused([problem("two-byproducts", where, stage=stage.id)])
    problems: list[Problem] = []
    added = resolve(stage.adds, shelf, where, problems)
    diluent = diluent_of(stage, kind, where)
    charge = charge_of(running.matter, running.solids, added, diluent, shelf, where)
    known = running.known and all(a.matter is not None or not a.flows for a in added)
    figures, stated = _figures(stage, kind, charge, known, shelf, where, logged, problems)
    found, figures, runs = _parted(stage, kind, charge, figures, shelf, where, problems)
    standard, taken = figures.standard, figures.taken
    parted, readings = found.parted, found.readings
    problems += found.marked + [problem(code, where, "warning") for code in parted.doubts]
    if diluent is not None and parted.diluent > 0.0:
        added.append(worked_out(diluent, parted.diluent, shelf, where))
    outs, notes = _streams(parted, kind, byproducts, readings, where)
    problems += notes
    carried_in, ins = _take(running, added, parted, diluent is None, shelf, stage, runs, where)
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
    marks: dict[str, Standing] = {
        **marks_of(stage.facts), **marks_of(stage.readings), **marks_of(logged or ()), **runs.marks
    }  # fmt: skip
    stood_on = stood_on_of(parted.own, figures.facts, readings, marks)
    idle = MOVES_NO_MONEY if charge.asked else MOVES_NO_MONEY | OF_THE_GAS
    guessed = any(mark == "assumed" and name not in idle for name, _, mark in stood_on)
    if guessed or (runs.counted and runs.mark == "assumed" and "runs" in parted.own):
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
        known=known,
        runs=runs.number,
        spilled={a.source: a.spilled for a in added if a.spilled},
    )
    return line, off


def _figures(
    stage: Stage,
    kind: StageKind,
    charge: Charge,
    known: bool,
    shelf: Shelf,
    where: str,
    logged: Facts | None,
    problems: list[Problem],
) -> tuple[Stated, tuple[Dim, float] | None]:
    """Facts and readings as figures, and what a "make" says it makes where its matter cannot say so."""
    facts: Figures = figures_of(stage.facts, where, shelf.measures, kind)
    stated = _stated(facts, stage, known, charge)
    if stated is not None:
        facts = {name: value for name, value in facts.items() if not name.startswith("makes")}
    standard: Figures = readings_of(stage.readings, where, shelf.measures)
    taken: Figures | None = None if logged is None else readings_of(logged, where, shelf.measures, problems)
    return Stated(stage.facts, stage.readings, logged, facts, standard, taken), stated


def _parted(
    stage: Stage, kind: StageKind, charge: Charge, figures: Stated, shelf: Shelf, where: str, problems: list[Problem]
) -> tuple[Found, Stated, Runs]:
    """The stage parted in the runs it takes. What a proof fills the vessel with is known only once it has been worked
    out, so its runs are counted by what comes of it, and it is parted again where they leave more behind."""
    if kind.mechanism != "proof":
        runs = runs_of(stage, figures.facts, charge.entering, shelf, where, problems)
        found, figures = find(kind, charge, _in_runs(figures, runs), where)
        return found, figures, runs
    found, known = find(kind, charge, figures, where)
    runs = runs_of(
        stage, figures.facts, charge.entering + charge.diluent * found.parted.diluent, shelf, where, problems
    )
    if runs.counted and runs.number > 1.0:
        found, known = find(kind, charge, _in_runs(figures, runs), where)
    return found, known, runs


def _in_runs(figures: Stated, runs: Runs) -> Stated:
    return replace(figures, facts={**figures.facts, "runs": runs.number}) if runs.counted else figures


def _solids_on(kind: StageKind, charge: Charge, parted: Parted) -> Matter:
    """The solid-bringing parts that go on: with their insolubles, less their share of the water that dries off
    and of the sugar that ferments."""
    entering, solids = charge.entering, charge.solids
    if entering.insolubles <= 0.0 or solids.mass <= 0.0:
        return NOTHING
    if kind.mechanism == "ferment" and entering.solubles > 0.0:
        sugar = solids.solubles * (1.0 - min(1.0, parted.out.solubles / entering.solubles))
        left = max(0.0, solids.solubles - sugar)
        return replace(solids, solubles=left, ethanol=solids.ethanol + sugar * ETHANOL_OF_SUGAR)
    if kind.mechanism == "dry":
        wet = parted.out.water / entering.water if entering.water > 0.0 else 1.0
        return replace(solids, water=solids.water * min(1.0, wet))
    return solids * min(1.0, parted.out.insolubles / entering.insolubles)


def _stated(facts: Figures, stage: Stage, known: bool, charge: Charge) -> tuple[Dim, float] | None:
    """What a "make" stage says it makes, where its matter cannot say so: (dimension, kg or L)."""
    if stage.kind != "make":
        return None
    if known and ("makes.volume" not in facts or charge.entering.volume() is not None):
        return None
    for name, dim in (("makes.volume", Dim.VOLUME), ("makes.mass", Dim.MASS)):
        if name in facts:
            written = dict(stage.facts)["makes"]
            # a volume measured cold of what nobody knows cannot be brought to 20 C
            return dim, at_20(facts[name], written, None) if dim is Dim.VOLUME else facts[name]
    return None


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
    running: Running,
    added: list[Added],
    parted: Parted,
    melts: bool,
    shelf: Shelf,
    stage: Stage,
    runs: Runs,
    where: str,
) -> tuple[Carried, tuple[Stream, ...]]:
    """Everything that enters, as streams and as amounts on the row; ``melts`` where water comes in with the ice."""
    ins: list[Stream] = []
    if running.matter.mass > 0.0 or running.carried.row:
        ins.append(Stream("running", running.matter, "in", "", running.carried.row))
    taken: dict[str, float] = {}
    lost: dict[str, float] = {}
    guessed: dict[str, float] = {}

    def take(source: str, amount: float, spilled: float = 0.0, assumed: float = 0.0) -> None:
        for row, part in ((taken, amount), (lost, spilled), (guessed, assumed)):
            if part or row is taken:
                row[source] = row.get(source, 0.0) + part

    for a in added:
        matter = NOTHING if a.matter is None else a.matter * a.bought
        ins.append(Stream("computed" if a.computed else a.source, matter, "in", a.source, {a.source: a.bought}))
        take(a.source, a.bought, a.spilled, a.assumed)
    if melts and parted.diluent > 0.0:
        ins.append(Stream("water", Matter(water=parted.diluent), "in", "", EMPTY))
    try:
        hours = shelf.hours(stage, runs.number, runs.mark)
    except Impossible as error:
        raise Refused([impossible(error, where)]) from None
    for source, mark, amount in hours:
        ins.append(Stream(source, NOTHING, "in", source, {source: amount}))
        take(source, amount, 0.0, amount if mark == "assumed" else 0.0)
    return running.carried.take(taken, lost, guessed), tuple(ins)


def _predicted(parted: Parted, reading: str) -> float | None:
    stream = parted.out if reading.startswith("out") else parted.left
    what = reading.split(".")[1]
    if what == "mass":
        return stream.mass
    if what == "brix":
        return stream.liquid.brix / 100.0
    return stream.volume() if what == "volume" else stream.abv
