"""Follow a preparation or a serve through its stages: the loss ledger, before any price is known."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from costing.book.book import View
from costing.book.fact import Fact, Mark
from costing.book.problem import Problem, problem
from costing.book.records import BESIDE, BatchLog, Preparation, ServeVersion, Stage, Version
from costing.book.units import Dim
from costing.ledger.lines import Ledger, Line, Output
from costing.ledger.matter import NOTHING, Matter
from costing.ledger.ownuse import outward
from costing.ledger.rows import Carried
from costing.ledger.stage import Refused, Shelf, run_stage
from costing.ledger.unit import Unbridged, Unit, amount_in_base, figure

SETTLED = 1e-14
"""A mother batch has settled when no mass per unit moves by more than this share of a kilogram in a round."""
MOST_ROUNDS = 400


def hours_of(view: View, stage: Stage) -> tuple[tuple[str, Mark, float], ...]:
    """Goods that a stage's time costs: (good, measured or assumed, hours or kWh of all runs)."""
    house = view.book.house
    machine = view.equipment.get(stage.equipment)
    runs_fact = dict(stage.facts).get("runs")
    runs = float(runs_fact.value) if runs_fact else 1.0
    out: list[tuple[str, Mark, float]] = []
    labour = stage.labour or (house.labour if house else "")
    if stage.active is not None and labour:
        out.append((labour, stage.active.mark, runs * figure(stage.active, (Dim.TIME,), view.measures)[1]))
    if stage.passive is not None and machine is not None:
        alone = runs * figure(stage.passive, (Dim.TIME,), view.measures)[1]
        if machine.hour:
            out.append((machine.hour, stage.passive.mark, alone))
        if machine.energy and machine.power is not None:
            kilowatts = figure(machine.power, (Dim.POWER,), view.measures)[1]
            assumed = "assumed" in (machine.power.mark, stage.passive.mark)
            out.append((machine.energy, "assumed" if assumed else "measured", alone * kilowatts))
    return tuple(out)


def shelf_of(view: View, units: Mapping[str, Unit]) -> Shelf:
    """What stages may take on this day."""
    return Shelf(units, lambda source: flows(view, source), view.measures, lambda stage: hours_of(view, stage))


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


def _through(ident: str, stages: tuple[Stage, ...], version: Version, shelf: Shelf, forgiving: bool = False) -> _Run:
    """All stages in order. Refused carries the Problems of the first that cannot be."""
    matter, carried = NOTHING, Carried()
    lines: list[Line] = []
    off: dict[str, tuple[Matter, Carried]] = {}
    for stage in stages:
        kept = tuple(b for b in version.byproducts if b.stage == stage.id)
        where = f"{ident}/stage/{stage.id}"
        try:
            line, parts = run_stage(stage, matter, carried, shelf, where, kept, forgiving)
        except Refused as stop:
            raise _Stopped(tuple(lines), stop.problems) from None
        except Unbridged as gap:
            raise _Stopped(tuple(lines), (problem(gap.code, where, **gap.detail),)) from None
        except ValueError as error:
            raise _Stopped(tuple(lines), (problem("outside-physics", where, why=error),)) from None
        for stream in line.outs:
            if stream.fate == "kept":
                off[f"{ident}/{stream.source}"] = stream.matter, parts[stream.source]
        lines.append(line)
        matter, carried = line.on.matter, line.carried
    return _Run(tuple(lines), matter, carried, off)


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
) -> Ledger:
    """The loss ledger of a preparation on a day, of its standard batch or, with ``log``, of a batch as made.

    ``units`` holds every good and every other output. A preparation that uses itself (a mother batch) is solved
    as a fixed point over the masses; it is refused when it uses as much as it makes.
    """
    stages = _with_log(version.stages, log)
    ident = preparation.id
    own = {ident} | {f"{ident}/{b.id}" for b in version.byproducts}
    uses_itself = any(i.source in own for s in stages for i in s.adds)
    known: dict[str, Unit] = dict(units)
    try:
        if uses_itself:
            known |= _first_guess(stages, own, preparation, version, known, view)
        settling = uses_itself
        for rounds in range(1, MOST_ROUNDS + 1):
            shelf = shelf_of(view, known)
            # a reading may not fit the guess that the fixed point starts from: it is judged once that has settled
            run = _through(ident, stages, version, shelf, forgiving=settling or log is not None)
            made = _issue(preparation, version, run, view)
            moved = 0.0
            for name, output in made.items():
                if uses_itself:
                    moved = max(moved, _moved(known.get(name), output.unit))
                    known[name] = output.unit
            if moved <= SETTLED and settling:
                settling = False
            elif moved <= SETTLED:
                return _finish(ident, run, made, stages, shelf, rounds)
        raise _Stopped(run.lines, (problem("mother-does-not-settle", ident, rounds=MOST_ROUNDS),))
    except _Stopped as stop:
        return Ledger(ident, stop.lines, {}, _line_problems(stop.lines) + stop.problems)


def _with_log(stages: tuple[Stage, ...], log: BatchLog | None) -> tuple[Stage, ...]:
    """The stages with a batch's own readings in place of the standard's."""
    if log is None:
        return stages
    logged = dict(log.readings)
    return tuple(replace(s, readings=logged[s.id]) if s.id in logged else s for s in stages)


def _finish(
    ident: str, run: _Run, made: Mapping[str, Output], stages: tuple[Stage, ...], shelf: Shelf, rounds: int
) -> Ledger:
    outputs, gain = outward(made)
    problems = _line_problems(run.lines)
    if outputs is None:
        return Ledger(ident, run.lines, {}, (*problems, problem("gain", ident, gain=gain, loop=f"{ident} -> {ident}")))
    return Ledger(ident, run.lines, outputs, problems, rounds)


def _line_problems(lines: tuple[Line, ...]) -> tuple[Problem, ...]:
    return tuple(p for line in lines for p in line.problems)


def _issue(preparation: Preparation, version: Version, run: _Run, view: View) -> dict[str, Output]:
    """The outputs of a batch, gross: how many base units, of what matter, on which row."""
    ident, density = preparation.id, None
    if version.density is not None:
        density = figure(version.density, (Dim.DENSITY,), view.measures)[1]
    out = {ident: _output(ident, preparation.base, run.matter, run.carried, density, run.lines, version, view)}
    for b in version.byproducts:
        name = f"{ident}/{b.id}"
        if name in run.off:
            matter, carried = run.off[name]
            out[name] = _output(name, b.base, matter, carried, None, run.lines, None, view)
    return out


def _output(
    name: str,
    base: str,
    matter: Matter,
    carried: Carried,
    density: float | None,
    lines: tuple[Line, ...],
    version: Version | None,
    view: View,
) -> Output:
    volume = matter.mass / density if density else matter.volume()
    if base == "each":
        if version is None or version.makes is None:
            raise _Stopped(lines, (problem("needs-makes", name),))
        made = figure(version.makes, (Dim.COUNT, Dim.RATIO), view.measures)[1]
    elif base == "kg":
        made = matter.mass
    else:
        if volume is None:
            raise _Stopped(lines, (problem("no-volume", name, figure="density"),))
        made = volume
    if made <= 0.0:
        raise _Stopped(lines, (problem("makes-nothing", name),))
    poured = matter.mass / volume if volume else None
    piece = (Dim.MASS, matter.mass / made) if base == "each" else None
    unit = Unit(base, matter * (1.0 / made), poured, piece)  # type: ignore[arg-type]
    return Output(name, unit, made, carried.part(1.0 / made))


def _first_guess(
    stages: tuple[Stage, ...],
    own: set[str],
    preparation: Preparation,
    version: Version,
    units: Mapping[str, Unit],
    view: View,
) -> dict[str, Unit]:
    """Where the fixed point starts: as if each own output were the fresh inputs blended."""
    fresh = NOTHING
    for item in _adds(stages):
        unit = units.get(item[0])
        if item[0] not in own and unit is not None and unit.matter is not None:
            try:
                fresh = fresh + unit.matter * amount_in_base(item[1], unit, view.measures)
            except Unbridged:
                continue  # the stage itself will refuse it, with the place
    blend = fresh.free if fresh.free.mass else Matter(water=1.0)
    density = blend.mass / (blend.volume() or blend.mass)
    bases = {preparation.id: preparation.base} | {f"{preparation.id}/{b.id}": b.base for b in version.byproducts}
    return {
        name: Unit(base, blend * ((density if base == "l" else 1.0) / blend.mass), density)
        for name, base in bases.items()
    }


def _adds(stages: tuple[Stage, ...]) -> Iterator[tuple[str, Fact]]:
    for stage in stages:
        for item in stage.adds:
            if item.amount is not None:
                yield item.source, item.amount


def _moved(before: Unit | None, after: Unit) -> float:
    if before is None or before.matter is None or after.matter is None:
        return 1.0
    a, b = before.matter, after.matter
    names = ("ethanol", "water", "solubles", "insolubles", "gas")
    return max(abs(a.amount(n) - b.amount(n)) for n in names)


def follow_serve(
    view: View, ident: str, version: ServeVersion, units: Mapping[str, Unit]
) -> tuple[Line | None, tuple[Problem, ...]]:
    """One drink: its build as a one-stage preparation that makes one. The technique's dilution is water from ice.

    None with Problems when an input cannot be read. Hands are costed by ``seconds``.
    """
    build, where = version.build, f"serve/{ident}"
    technique = view.techniques.get(version.technique)
    if technique is not None and technique.dilution is not None and "dilution" not in dict(build.facts):
        build = replace(build, facts=(*build.facts, ("dilution", technique.dilution)))
    if version.seconds is not None:
        build = replace(build, active=version.seconds)
    try:
        line, _ = run_stage(build, NOTHING, Carried(), shelf_of(view, units), where)
    except Refused as stop:
        return None, stop.problems
    except Unbridged as gap:
        return None, (problem(gap.code, where, **gap.detail),)
    except ValueError as error:
        return None, (problem("outside-physics", where, why=error),)
    return line, line.problems
