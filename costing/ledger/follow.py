"""Follow a preparation or a serve through its stages: the loss ledger, before any price is known."""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from costing.book.book import View
from costing.book.fact import Fact, Mark
from costing.book.problem import Problem, problem
from costing.book.records import (
    BESIDE,
    BaseUnit,
    BatchLog,
    Facts,
    Preparation,
    Stage,
    Version,
)
from costing.book.units import Dim
from costing.ledger.inputs import Shelf
from costing.ledger.lines import Ledger, Line, Output
from costing.ledger.matter import NOTHING, Matter, of_liquid
from costing.ledger.ownuse import outward
from costing.ledger.parting import Impossible
from costing.ledger.reading import Refused
from costing.ledger.rows import Carried
from costing.ledger.stage import Running, run_stage
from costing.ledger.unit import Unbridged, Unit, amount_in_base, figure, within_density
from costing.liquor import Liquid

SETTLED = 1e-14
"""A mother batch has settled when no mass per unit moves by more than this share of a kilogram in a round."""
MOST_ROUNDS = 400
SURELY_GAINS = 1.05
"""Own use over what is made above which a batch is given up early; nearer to 1 the composition may yet decide."""


def hours_of(view: View, stage: Stage, runs: float, sure: Mark) -> tuple[tuple[str, Mark, float], ...]:
    """Goods that a stage's time costs: (good, measured or assumed, hours or kWh of all ``runs`` and of setting up).

    ``sure`` is how the runs are known. Impossible for a time below nothing; Unbridged for a figure that is no time.
    """
    house = view.book.house
    machine = view.equipment.get(stage.equipment)
    hours = {"setup": 0.0, "active": 0.0, "passive": 0.0}
    for name, fact in (("setup", stage.setup), ("active", stage.active), ("passive", stage.passive)):
        if fact is not None:
            hours[name] = (1.0 if name == "setup" else runs) * figure(fact, (Dim.TIME,), view.measures)[1]
            if hours[name] < 0.0:
                raise Impossible("out-of-range", name, value=fact.text, low=0, high="1e9")
    guessed_runs: Mark = sure
    out: list[tuple[str, Mark, float]] = []

    def cost(good: str, base: str, amount: float, *marks: Mark) -> None:
        held = view.goods.get(good)
        if held is not None and held.base != base:
            raise Impossible("time-not-priced", good, base=held.base, needs=base)
        out.append((good, "assumed" if "assumed" in (*marks, guessed_runs) else "measured", amount))

    labour = stage.labour or (house.labour if house else "")
    if labour and (stage.active is not None or stage.setup is not None):
        marks = [fact.mark for fact in (stage.active, stage.setup) if fact is not None]
        cost(labour, "h", hours["active"] + hours["setup"], *marks)
    if stage.passive is not None and machine is not None:
        if machine.hour:
            cost(machine.hour, "h", hours["passive"], stage.passive.mark)
        if machine.energy and machine.power is not None:
            kilowatts = figure(machine.power, (Dim.POWER,), view.measures)[1]
            cost(machine.energy, "kwh", hours["passive"] * kilowatts, machine.power.mark, stage.passive.mark)
    return tuple(out)


def shelf_of(view: View, units: Mapping[str, Unit], refused: frozenset[str] = frozenset()) -> Shelf:
    """What stages may take on this day."""
    return Shelf(
        units,
        lambda source: flows(view, source),
        view.measures,
        lambda stage, runs, sure: hours_of(view, stage, runs, sure),
        lambda stage: size_of(view, stage),
        refused,
    )


def size_of(view: View, stage: Stage) -> tuple[Dim, float, Mark] | None:
    """The most that one run of a stage's equipment takes: (mass or volume, kg or L, how it is known); None for no
    equipment or one without a size. Unbridged for a size that is neither; Impossible for none above 0."""
    machine = view.equipment.get(stage.equipment)
    if machine is None or machine.charge is None:
        return None
    dim, most = figure(machine.charge, (Dim.MASS, Dim.VOLUME), view.measures)
    if most <= 0.0:
        raise Unbridged("out-of-range", figure="charge", value=machine.charge.text, low="above 0", high="1e9")
    return dim, most, machine.charge.mark


def flows(view: View, source: str) -> bool:
    """Whether a source goes with the liquid; hours, ice, garnish and consumables do not, and are not lost with it."""
    good = view.goods.get(source)
    return good is None or (good.layer == "materials" and good.kind not in BESIDE)


@dataclass(frozen=True, slots=True)
class _Run:
    lines: tuple[Line, ...]
    matter: Matter
    carried: Carried
    off: Mapping[str, tuple[Matter, Carried]]


def _through(where: str, ident: str, version: Version, shelf: Shelf, logged: Mapping[str, Facts] | None) -> _Run:
    """All stages in order. _Stopped carries the Problems of the first that cannot be."""
    running = Running()
    lines: list[Line] = []
    off: dict[str, tuple[Matter, Carried]] = {}
    for stage in version.stages:
        kept = tuple(b for b in version.byproducts if b.stage == stage.id)
        at = f"{where}/stage/{stage.id}"
        readings = None if logged is None else logged.get(stage.id, stage.readings)
        try:
            if lines and lines[-1].makes is not None:
                raise Refused([problem("make-not-last", f"{where}/stage/{lines[-1].stage}", figure="makes")])
            line, parts = run_stage(stage, running, shelf, at, kept, readings)
        except Refused as stop:
            raise _Stopped(tuple(lines), stop.problems) from None
        except Unbridged as gap:
            raise _Stopped(tuple(lines), (problem(gap.code, at, **gap.detail),)) from None
        except ValueError as error:
            raise _Stopped(tuple(lines), (problem("outside-physics", at, why=error),)) from None
        for stream in line.outs:
            if stream.fate == "kept":
                off[f"{ident}/{stream.source}"] = stream.matter, parts[stream.source]
        lines.append(line)
        running = Running(line.on.matter, line.carried, line.solids, line.known)
    return _Run(tuple(lines), running.matter, running.carried, off)


class _Stopped(ValueError):
    def __init__(self, lines: tuple[Line, ...], problems: tuple[Problem, ...]) -> None:
        super().__init__(", ".join(p.code for p in problems))
        self.lines, self.problems = lines, problems


def follow(
    view: View,
    preparation: Preparation,
    version: Version,
    units: Mapping[str, Unit],
    log: BatchLog | None = None,
    refused: frozenset[str] = frozenset(),
) -> Ledger:
    """The loss ledger of a preparation on a day, of its standard batch or, with ``log``, of a batch as made.

    ``units`` holds every good and every other output; ``refused`` are preparations that have none today. A
    preparation that uses itself (a mother batch) is solved as a fixed point over the masses; it is refused when it
    uses as much as it makes.
    """
    ident, where = preparation.id, f"preparation/{preparation.id}/{version.since}"
    logged = None if log is None else {s.stage: s.readings for s in log.stages}
    own = {ident} | {f"{ident}/{b.id}" for b in version.byproducts}
    first: _Stopped | None = None
    try:
        _hangs_together(version, where)
        if not any(i.source in own for s in version.stages for i in s.adds):
            run = _through(where, ident, version, shelf_of(view, units, refused), logged)
            return _finish(ident, where, run, _issue(preparation, version, run, view, where), 1)
    except _Stopped as stop:
        return Ledger(ident, stop.lines, {}, _line_problems(stop.lines) + stop.problems)
    # a fact may not fit the composition that the fixed point starts from, and fit the one it ends at
    for guess in _guesses(version.stages, own, preparation, version, units, view):
        try:
            return _settled(view, preparation, version, {**units, **guess}, logged, refused, where)
        except _Stopped as stop:
            first = first or stop
    problems = (_line_problems(first.lines) + first.problems) if first else ()
    return Ledger(ident, first.lines if first else (), {}, problems)


def _settled(
    view: View,
    preparation: Preparation,
    version: Version,
    known: dict[str, Unit],
    logged: Mapping[str, Facts] | None,
    refused: frozenset[str],
    where: str,
) -> Ledger:
    """The ledger of a mother batch once its composition no longer moves. _Stopped where a stage cannot be."""
    ident, settling = preparation.id, True
    steps: list[Mapping[str, Unit]] = []
    for rounds in range(1, MOST_ROUNDS + 1):
        # a reading may not fit the guess that the fixed point starts from: it is judged once that has settled
        judged = {s.id: s.readings for s in version.stages} if settling and logged is None else logged
        run = _through(where, ident, version, shelf_of(view, known, refused), judged)
        made = _issue(preparation, version, run, view, where)
        now = {name: output.unit for name, output in made.items()}
        moved = max(_moved(known.get(name), unit) for name, unit in now.items())
        steps.append(now)
        known |= now if moved <= SETTLED else speeded(steps)
        if moved > SETTLED and rounds % 10 == 0 and outward(made)[1] > SURELY_GAINS:
            break  # it grows without end: say so before the figures leave what a float can hold
        if moved > SETTLED:
            continue
        if not settling:
            return _finish(ident, where, run, made, rounds)
        settling = False
    if outward(made)[0] is None:
        return _finish(ident, where, run, made, MOST_ROUNDS)
    raise _Stopped(run.lines, (problem("mother-does-not-settle", where, rounds=MOST_ROUNDS),))


def _hangs_together(version: Version, where: str) -> None:
    """Stop at what would lose a stream or its money: a by-product of no stage, a stage named twice, no stage."""
    names = Counter(stage.id for stage in version.stages)
    wrong = [problem("repeated", where, name=name) for name, count in names.items() if count > 1]
    wrong += [
        problem("missing", f"{where}/byproduct/{b.id}", what="stage", id=b.stage)
        for b in version.byproducts
        if b.stage not in names
    ]
    if not names:
        wrong.append(problem("no-stage", where))
    if wrong:
        raise _Stopped((), tuple(wrong))


def _finish(ident: str, where: str, run: _Run, made: Mapping[str, Output], rounds: int) -> Ledger:
    outputs, gain = outward(made)
    problems = _line_problems(run.lines)
    if outputs is None:
        refusal = problem("gain", where, gain=gain, loop=f"{ident} -> {ident}")
        return Ledger(ident, run.lines, {}, (*problems, refusal))
    return Ledger(ident, run.lines, outputs, problems, rounds)


def _line_problems(lines: tuple[Line, ...]) -> tuple[Problem, ...]:
    return tuple(p for line in lines for p in line.problems)


def _issue(preparation: Preparation, version: Version, run: _Run, view: View, where: str) -> dict[str, Output]:
    """The outputs of a batch, gross: how many base units, of what matter, on which row."""
    ident, density, pieces = preparation.id, None, None
    try:
        if version.density is not None:
            density = within_density(figure(version.density, (Dim.DENSITY,), view.measures)[1])
        if version.pieces is not None and preparation.base == "each":
            pieces = figure(version.pieces, (Dim.COUNT, Dim.RATIO), view.measures)[1]
    except Unbridged as gap:
        raise _Stopped(run.lines, (problem(gap.code, where, **gap.detail),)) from None
    if preparation.base == "each" and version.pieces is None:
        raise _Stopped(run.lines, (problem("needs-pieces", where),))
    if pieces is not None and pieces <= 0.0 and version.pieces is not None:
        text = version.pieces.text
        wrong = problem("out-of-range", where, figure="pieces", value=text, low="above 0", high="1e9")
        raise _Stopped(run.lines, (wrong,))
    guessed = frozenset({"density"} if version.density and version.density.mark == "assumed" else ())
    if run.lines[-1].makes is None and preparation.base != "each":
        # how much there is would be worked out of masses of which one is not known: money a litre would be wrong
        unknown = [p for p in _line_problems(run.lines) if p.code == "not-followed"]
        if unknown:
            raise _Stopped(run.lines, tuple(replace(p, code="not-followed-made", level="error") for p in unknown))
    divisor = version.pieces if preparation.base == "each" else version.density if preparation.base == "l" else None
    whole = replace(run, carried=run.carried.rest_on_assumption()) if divisor and divisor.mark == "assumed" else run
    out = {ident: _output(ident, preparation.base, whole, density, pieces, guessed, where)}
    for b in version.byproducts:
        name = f"{ident}/{b.id}"
        if name in run.off:
            matter, carried = run.off[name]
            part = _Run(run.lines, matter, carried, {})
            out[name] = _output(name, b.base, part, None, None, frozenset(), f"{where}/byproduct/{b.id}")
    return out


def _output(
    name: str,
    base: BaseUnit,
    run: _Run,
    density: float | None,
    pieces: float | None,
    guessed: frozenset[str],
    where: str,
) -> Output:
    matter, stated = run.matter, run.lines[-1].makes if "/" not in name else None
    volume = matter.mass / density if density else matter.volume()
    poured: float | None = matter.mass / volume if volume and matter.mass else density
    if pieces is not None:
        made: float | None = pieces
    elif stated is not None:
        made = stated[1] if stated[0].value == base else None
        if made is None and density:
            made = stated[1] / density if base == "l" else stated[1] * density
    else:
        made = matter.mass if base == "kg" else volume
    if made is None:
        raise _Stopped(run.lines, (problem("no-volume", where, figure="density"),))
    if made <= 0.0:
        raise _Stopped(run.lines, (problem("makes-nothing", where),))
    if stated is not None:
        # what it is made of is not known, only how much there is: it is costed and poured, not followed
        return Output(name, Unit(base, None, density, guessed=guessed), made, run.carried.part(1.0 / made))
    piece = (Dim.MASS, matter.mass / made) if base == "each" and matter.mass > 0.0 else None
    unit = Unit(base, matter * (1.0 / made), poured, piece, guessed)
    return Output(name, unit, made, run.carried.part(1.0 / made))


def _guesses(
    stages: tuple[Stage, ...],
    own: set[str],
    preparation: Preparation,
    version: Version,
    units: Mapping[str, Unit],
    view: View,
) -> Iterator[dict[str, Unit]]:
    """Where the fixed point may start: each own output as the fresh inputs blended, a strong spirit, a syrup."""
    fresh = NOTHING
    for item in _adds(stages):
        unit = units.get(item[0])
        if item[0] not in own and unit is not None and unit.matter is not None:
            try:
                fresh = fresh + unit.matter * amount_in_base(item[1], unit, view.measures).value
            except Unbridged:
                continue  # the stage itself will refuse it, with the place
    bases = {preparation.id: preparation.base} | {f"{preparation.id}/{b.id}": b.base for b in version.byproducts}
    blend = fresh.free if fresh.free.mass else Matter(water=1.0)
    for start in (blend, of_liquid(Liquid.spirit(1.0, 0.90)), of_liquid(Liquid.syrup(1.0, 65.0))):
        density = start.mass / (start.volume() or start.mass)
        yield {
            name: Unit(base, start * ((density if base == "l" else 1.0) / start.mass), density)
            for name, base in bases.items()
        }


def _adds(stages: tuple[Stage, ...]) -> Iterator[tuple[str, Fact]]:
    for stage in stages:
        for item in stage.adds:
            if item.amount is not None:
                yield item.source, item.amount


def _moved(before: Unit | None, after: Unit) -> float:
    if before is None or before.matter is None or after.matter is None:
        return 0.0 if before == after else 1.0
    return max(abs(a - b) for a, b in zip(before.matter.parts, after.matter.parts, strict=True))


def speeded(steps: list[Mapping[str, Unit]]) -> Mapping[str, Unit]:
    """The next guess of a fixed point: after every third round, Aitken's delta-squared on each mass.

    A batch that is nearly all itself moves a little less every round; the sum of that geometric series is known from
    three rounds. A guess that is not a mass (negative, not finite) is left as the plain round had it.
    """
    last = steps[-1]
    if len(steps) < 3 or len(steps) % 3:
        return last
    out: dict[str, Unit] = {}
    for name, unit in last.items():
        first, second = steps[-3][name].matter, steps[-2][name].matter
        if first is None or second is None or unit.matter is None:
            return last
        jumped = []
        for a, b, c in zip(first.parts, second.parts, unit.matter.parts, strict=True):
            bend = (c - b) - (b - a)
            guess = c - (c - b) * ((c - b) / bend) if abs(bend) > 1e-13 * max(abs(c), 1e-3) else c
            jumped.append(guess if 0.0 <= guess <= 3.0 else c)
        out[name] = replace(unit, matter=Matter(*jumped))
    return out
