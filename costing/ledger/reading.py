"""What a stage's facts and readings say, and how its mechanism parts the charge with them.

Facts and readings become figures in base units; the mechanism is run with the facts alone (the prediction) and with
the readings. A recipe's impossible reading is Refused; a log's is marked and left out.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

from costing.book.fact import Fact, Mark
from costing.book.kinds import FACT_DIMS, READING_DIMS, RIVALS, StageKind
from costing.book.problem import Level, Problem, problem
from costing.book.records import Facts
from costing.book.units import Dim
from costing.ledger.lines import Standing
from costing.ledger.matter import Matter, of_liquid
from costing.ledger.measuring import misread
from costing.ledger.mechanisms import MECHANISMS
from costing.ledger.parting import HYDROMETER, SCALES, Charge, Figures, Impossible, Parted
from costing.ledger.unit import Measures, Unbridged, at_20, figure
from costing.liquor import Liquid

Mechanism = Callable[[Charge, Figures], Parted]
LARGEST = 1e9
MOST_PASSES = 6
"""A volume's correction moves its stream's composition by so little that two or three passes settle it."""


class Refused(ValueError):
    """A stage of a recipe cannot be; carries the Problems that say why."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__(", ".join(p.code for p in self.problems))


def impossible(error: Impossible, where: str, level: Level = "error") -> Problem:
    """The Problem of figures that cannot be, with the figure at fault."""
    return problem(error.code, where, level, figure=error.figure, **error.detail)


def figures_of(facts: Facts, where: str, measures: Measures, kind: StageKind) -> dict[str, float]:
    """Facts in base units by name. Refused for one the kind does not take, of another dimension, or that compete."""
    out: dict[str, float] = {}
    wrong: list[Problem] = []
    for name, fact in facts:
        if name not in kind.takes:
            wrong.append(problem("fact-not-taken", where, figure=name, takes=", ".join(kind.takes)))
            continue
        try:
            dims = FACT_DIMS[name]
            dim, value = figure(fact, dims, measures)
        except Unbridged as gap:
            wrong.append(problem(gap.code, where, figure=name, **gap.detail))
            continue
        suffix = {Dim.MASS: ".mass", Dim.VOLUME: ".volume"}[dim] if len(dims) > 1 and Dim.MASS in dims else ""
        out[name + suffix] = value
    rivals = [name for name, _ in facts if name in RIVALS[kind.mechanism]]
    if len(rivals) > 1:
        wrong.append(problem("facts-compete", where, names=" and ".join(rivals), figure=rivals[-1]))
    if wrong:
        raise Refused(wrong)
    return out


def readings_of(facts: Facts, where: str, measures: Measures, marked: list[Problem] | None = None) -> dict[str, float]:
    """Readings in base units. One that cannot be is Refused, or with ``marked`` (a log) left out and marked there."""
    out: dict[str, float] = {}
    for name, fact in facts:
        wrong = None
        if name not in READING_DIMS:
            wrong = problem("unknown-reading", where, figure=name, takes=", ".join(READING_DIMS))
        else:
            try:
                out[name] = figure(fact, (READING_DIMS[name],), measures)[1]
            except Unbridged as gap:
                wrong = problem(gap.code, where, figure=name, **gap.detail)
            most = 1.0 if READING_DIMS[name] is Dim.STRENGTH else LARGEST
            if not 0.0 <= out.get(name, 0.0) <= most:
                high = "100 % vol" if most == 1.0 else "1e9"
                del out[name]
                wrong = problem("out-of-range", where, figure=name, value=fact.text, low=0, high=high)
        if wrong is not None and marked is None:
            raise Refused([wrong])
        if wrong is not None and marked is not None:
            marked.append(replace(wrong, level="warning"))
    return out


@dataclass(frozen=True, slots=True)
class Stated:
    """What a stage was told: facts and readings as written, and as figures in base units; ``logged`` and ``taken`` are
    the readings of a batch as it was made, None for the recipe alone."""

    facts_written: Facts
    readings_written: Facts
    logged: Facts | None
    facts: Figures
    standard: Figures
    taken: Figures | None

    @property
    def warm(self) -> Mapping[str, Fact]:
        """Volumes that were measured at another temperature than 20 C, by the name of their figure."""
        given = (*self.facts_written, *self.readings_written, *(self.logged or ()))
        return {name: fact for name, fact in given if fact.at is not None and fact.at != 20}

    def without(self, names: Iterable[str]) -> "Stated":
        """The same without some readings."""
        gone = set(names)
        return replace(
            self,
            standard={n: v for n, v in self.standard.items() if n not in gone},
            taken=None if self.taken is None else {n: v for n, v in self.taken.items() if n not in gone},
        )


def find(kind: StageKind, charge: Charge, stated: Stated, where: str) -> tuple["Found", Stated]:
    """``part_stage`` with volumes brought to 20 C and without readings that their method cannot have read.

    Either needs the composition of what was measured, so the stage is parted, looked at, and parted again. Returns
    what was found and the figures it was found with.
    """
    warm: list[Problem] = []
    found, figures = _at_20(kind, charge, stated, where, warm)
    wrong = misread(
        stated.readings_written if stated.logged is None else stated.logged,
        found.parted.out,
        found.parted.left,
        where,
    )
    wrong = {n: p for n, p in wrong.items() if n in (figures.standard if figures.taken is None else figures.taken)}
    if not wrong:
        return replace(found, marked=[*warm, *found.marked]), figures
    warm.clear()
    try:
        found, figures = _at_20(kind, charge, stated.without(wrong), where, warm)
    except Refused as stop:
        raise Refused((*wrong.values(), *stop.problems)) from None
    return replace(found, marked=[*wrong.values(), *warm, *found.marked]), figures


def _at_20(
    kind: StageKind, charge: Charge, stated: Stated, where: str, marked: list[Problem]
) -> tuple["Found", Stated]:
    """The stage with volumes at 20 C. A log's volume that cannot be brought there is marked and left out."""
    if not stated.warm:
        return part_stage(kind, charge, stated.facts, stated.standard, stated.taken, where), stated
    now = stated
    for _ in range(MOST_PASSES):
        found = part_stage(kind, charge, now.facts, now.standard, now.taken, where)
        if stated.taken is not None:
            lost = _not_cooled(stated.taken, stated.logged or (), found.parted, where)
            if lost:
                marked += lost.values()
                stated = now = stated.without(lost)
                continue
        then = replace(
            stated,
            facts=_cooled(stated.facts, stated.facts_written, found.parted),
            standard=_cooled(stated.standard, stated.readings_written, found.parted),
            taken=None if stated.taken is None else _cooled(stated.taken, stated.logged or (), found.parted),
        )
        if then == now:
            break
        now = then
    return found, now


def _not_cooled(figures: Figures, written: Facts, parted: Parted, where: str) -> dict[str, Problem]:
    """Volumes of a log that cannot be brought to 20 C, each with a warning."""
    wrong: dict[str, Problem] = {}
    for name, fact in written:
        try:
            _cooled(figures, ((name, fact),), parted)
        except Unbridged as gap:
            wrong[name] = problem(gap.code, where, "warning", figure=name, **gap.detail)
    return wrong


def _cooled(figures: Figures, written: Facts, parted: Parted) -> Figures:
    """Figures with the volumes that were measured warm or cold as litres at 20 C of the stream they measured."""
    out = dict(figures)
    for name, fact in written:
        known = name if name in out else f"{name}.volume"
        if fact.at is None or known not in out or not (name == "take" or known.endswith(".volume")):
            continue
        out[known] = at_20(figures[known], fact, parted.left if name.startswith("left") else parted.out)
    return out


def marks_of(facts: Facts) -> dict[str, Mark]:
    """The mark of each fact by its name."""
    return {name: fact.mark for name, fact in facts}


def stood_on_of(
    own: frozenset[str], facts: Figures, readings: Figures, marks: Mapping[str, Standing]
) -> tuple[tuple[str, float, Standing], ...]:
    """Figures the result rests on, readings first, each with its mark."""
    known = {**facts, **readings}
    out: list[tuple[str, float, Standing]] = []
    for name in sorted(own, key=lambda n: (n not in readings, n)):
        if name in known:
            out.append((name, known[name], marks.get(name) or marks.get(name.split(".")[0], "measured")))
    return tuple(out)


@dataclass(frozen=True, slots=True)
class Found:
    """How a stage parted: with which readings, what the facts alone predict, and readings marked and left out."""

    parted: Parted
    readings: Figures
    predicted: Parted | None
    marked: list[Problem]


def part_stage(
    kind: StageKind, charge: Charge, facts: Figures, standard: Figures, logged: Figures | None, where: str
) -> Found:
    """Run the mechanism. A recipe's impossible reading is Refused; a log's is left out, and what is left of the log
    is then helped out by the recipe's own readings where it no longer says an amount."""
    run = _safe(MECHANISMS[kind.mechanism])
    predicted: Parted | None = None
    try:
        predicted = run(charge, facts)
    except Impossible as error:
        if not standard and not logged:
            raise Refused([impossible(error, where)]) from None
    if predicted is not None and not standard and not logged:
        return Found(predicted, {}, predicted, [])
    left = dict(standard if logged is None else logged)
    helping = {} if logged is None else dict(standard)
    marked: list[Problem] = []
    while True:
        try:
            parted, readings = _with_readings(run, charge, facts, left, helping)
            return Found(parted, readings, predicted, marked)
        except Impossible as error:
            if logged is None or not (left or helping):
                raise Refused([impossible(error, where)]) from None
            marked.append(impossible(error, where, "warning"))
            name = error.figure if error.figure in left or error.figure in helping else next(iter(left or helping))
            if helping.get(name) == left.get(name, helping.get(name)):
                helping.pop(name, None)
            left.pop(name, None)


def _safe(run: Mechanism) -> Mechanism:
    """A mechanism whose figures leave the range that the physics is known for is Impossible like any other."""

    def safe(charge: Charge, figures: Figures) -> Parted:
        try:
            return run(charge, figures)
        except Impossible:
            raise
        except (ValueError, ArithmeticError) as error:
            raise Impossible("outside-physics", "", why=error) from None

    return safe


def _with_readings(
    run: Mechanism, charge: Charge, facts: Figures, readings: Figures, standard: Figures
) -> tuple[Parted, Figures]:
    """The mechanism with readings; with the recipe's own beside them where these do not say how much."""
    if any(name.endswith((".mass", ".volume")) for name in readings):
        try:
            parted = run(charge, {**facts, **readings})
            _check_rest(parted, readings, charge)
            return parted, readings
        except Impossible as error:
            if error.code != "needs-fact" or not standard:
                raise
    readings = {**standard, **readings}
    parted = run(charge, {**facts, **readings})
    _check_rest(parted, readings, charge)
    return parted, readings


def weighed_kg(name: str, stream: Matter, value: float) -> float | None:
    """A mass or volume reading of a stream in kg; None when it is neither or the stream has no volume."""
    if name.endswith(".mass"):
        return value
    volume = stream.volume()
    return value / volume * stream.mass if name.endswith(".volume") and volume else None


def _check_rest(parted: Parted, readings: Figures, charge: Charge) -> None:
    """Refuse a reading, beyond the ones the mechanism used, that finds more than can be there."""
    volume = parted.out.volume()
    if volume and "out.abv" in readings and "out.abv" not in parted.own:
        alcohol = of_liquid(Liquid.spirit(volume, min(readings["out.abv"], 1.0))).ethanol
        doubt = SCALES * charge.entering.ethanol + of_liquid(Liquid.spirit(volume, HYDROMETER)).ethanol
        if alcohol > charge.entering.ethanol + doubt:
            most = charge.entering.ethanol
            raise Impossible("more-ethanol-than-in", "out.abv", value=alcohol, most=most)
    for name, value in readings.items():
        stream = parted.out if name.startswith("out") else parted.left
        weighed = weighed_kg(name, stream, value)
        if name not in parted.own and weighed is not None and weighed > stream.mass * (1.0 + SCALES) + 1e-9:
            raise Impossible("more-than-can-be", name, value=weighed, most=stream.mass)
