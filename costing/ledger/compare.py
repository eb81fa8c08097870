"""Two batches side by side: stage by stage, and why a unit of one costs more than a unit of the other.

The same preparation on two days, two preparations, a standard beside a batch as made or of another size, two serves.
Stages meet by their id where both have it, else by kind, in order. The unit costs' difference is split good by good:
prices are taken at A's recipe and the recipe at B's prices, q_b p_b - q_a p_a = q_a (p_b - p_a) + (q_b - q_a) p_b;
what is in A alone and has no price beside B, or no place there, counts as recipe at A's price.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date

from costing.book.fact import Fact
from costing.book.records import Facts, Stage, Version
from costing.book.units import Dim
from costing.ledger.batches import Batch
from costing.ledger.costs import NIL, Columns, Cost
from costing.ledger.lines import Line, Output
from costing.ledger.matter import PURE_ALCOHOL
from costing.ledger.order import owner
from costing.ledger.reckon import Reckoning
from costing.ledger.rows import Carried, Row, plus
from costing.ledger.unit import Unbridged, figure

Stated = Fact | str | None


@dataclass(frozen=True, slots=True)
class StageSide:
    """One stage of one side. ``kg``, ``litres`` (None where only a weighing tells) and ``lpa`` (litres of pure alcohol)
    go on; ``share_lost`` is of the ``key`` component that entered; ``money`` is all that has gone in so far, of the
    batch; ``hands_min`` and ``machine_h`` are the stage's times over all its ``runs``, None where they are not times;
    ``inputs`` are base units of each source, of the batch."""

    stage: str
    kind: str
    kg: float
    litres: float | None
    lpa: float
    key: str
    share_lost: float
    money: Cost
    hands_min: float | None
    machine_h: float | None
    runs: float
    inputs: Row


@dataclass(frozen=True, slots=True)
class FactDiffers:
    """A fact, reading, time, equipment or hand of a stage that is not written alike."""

    name: str
    a: Stated
    b: Stated


@dataclass(frozen=True, slots=True)
class InputDiffers:
    """An input of a stage: base units and cost of one, on either side; an amount is None where it is not taken, a cost
    where nobody knows it."""

    source: str
    a: float | None
    b: float | None
    cost_a: Cost | None
    cost_b: Cost | None


@dataclass(frozen=True, slots=True)
class StagePair:
    """A stage on either side, None where only the other has it."""

    a: StageSide | None
    b: StageSide | None
    facts: tuple[FactDiffers, ...]
    inputs: tuple[InputDiffers, ...]


@dataclass(frozen=True, slots=True)
class Side:
    """What one side makes. ``base`` is "" for a serve and before anything is made; ``cost`` is of one base unit (of
    one drink), None where it is refused. ``recovered`` is the share of the ethanol that ever entered that goes on at
    the end, ``kept`` the share that leaves in by-products; None without ethanol."""

    id: str
    day: date
    base: str
    made: float | None
    own_use: float
    cost: Cost | None
    recovered: float | None
    kept: float | None


@dataclass(frozen=True, slots=True)
class Part:
    """One good of the split: base units in one unit of either side, and its columns of the difference. ``priced`` says
    on which sides it has a price."""

    good: str
    a: float
    b: float
    prices: Columns
    recipe: Columns
    priced: tuple[bool, bool]


@dataclass(frozen=True, slots=True)
class Comparison:
    """``facts`` differ for the whole batch (pieces, density, technique, glass, a by-product's share). ``parts`` is None
    where there is nothing to split: a side is refused, or they are costed in other base units."""

    a: Side
    b: Side
    facts: tuple[FactDiffers, ...]
    stages: tuple[StagePair, ...]
    parts: tuple[Part, ...] | None

    @property
    def difference(self) -> Columns | None:
        """Cost of a unit of B less one of A, by layer; None where they do not compare."""
        if self.parts is None or self.a.cost is None or self.b.cost is None:
            return None
        return _plus(self.b.cost.columns, self.a.cost.columns, -1.0)

    @property
    def prices(self) -> Columns:
        """What the prices alone do, at A's recipe."""
        return _sum(p.prices for p in self.parts or ())

    @property
    def recipe(self) -> Columns:
        """What the recipe alone does, at B's prices."""
        return _sum(p.recipe for p in self.parts or ())


@dataclass(frozen=True, slots=True)
class _Made:
    lines: tuple[Line, ...]
    stages: Mapping[str, Stage]
    whole: Mapping[str, Stated]
    output: Output | None
    direct: Carried | None


def compare(
    reckoning_a: Reckoning,
    id_a: str,
    reckoning_b: Reckoning,
    id_b: str,
    batch_a: Batch | None = None,
    batch_b: Batch | None = None,
) -> Comparison:
    """Two serves, preparations or by-products side by side; ``batch_*`` takes the standard batch's place (``scaled``,
    ``as_made``). KeyError for an id that its reckoning does not have."""
    a, b = _made(reckoning_a, id_a, batch_a), _made(reckoning_b, id_b, batch_b)
    stages = tuple(_stage_pair(reckoning_a, x, a.stages, reckoning_b, y, b.stages) for x, y in _meet(a.lines, b.lines))
    side_a, side_b = _side(reckoning_a, id_a, a), _side(reckoning_b, id_b, b)
    parts = None
    if a.direct is not None and b.direct is not None and side_a.base == side_b.base:
        parts = _split(reckoning_a, a.direct, reckoning_b, b.direct)
    return Comparison(side_a, side_b, _differ(a.whole, b.whole), stages, parts)


def _made(reckoning: Reckoning, ident: str, batch: Batch | None) -> _Made:
    view = reckoning.view
    if batch is None and ident in view.serves:
        _, serve = view.serves[ident]
        build = replace(serve.build, active=serve.seconds or serve.build.active)
        line = reckoning.serves.get(ident)
        whole: dict[str, Stated] = {"technique": serve.technique or None, "glass": serve.glass or None}
        return _Made((line,) if line else (), {build.id: build}, whole, None, line.carried if line else None)
    version: Version = batch.version if batch else view.preparations[owner(ident)][1]
    if ident != owner(ident) and ident.partition("/")[2] not in {b.id for b in version.byproducts}:
        raise KeyError(ident)
    ledger = batch.ledger if batch else reckoning.ledgers.get(owner(ident))
    output = ledger.outputs.get(ident) if ledger else None
    lines = ledger.lines if ledger else ()
    shares: dict[str, Stated] = {f"byproduct/{b.id}": str(b.share) for b in version.byproducts}
    said = {"pieces": version.pieces, "density": version.density, **shares}
    return _Made(lines, {s.id: s for s in version.stages}, said, output, output.direct if output else None)


def _side(reckoning: Reckoning, ident: str, made: _Made) -> Side:
    entered = sum(s.matter.ethanol for line in made.lines for s in line.ins if s.source)
    entered += sum(line.total("on", "kept", "meant", "lost", "unexplained").ethanol - line.total("in").ethanol
                   for line in made.lines if line.kind == "ferment")  # fmt: skip
    kept = sum(s.matter.ethanol for line in made.lines for s in line.outs if s.fate == "kept")
    through = bool(made.lines) and entered > 0.0 and made.direct is not None
    output = made.output
    return Side(
        id=ident,
        day=reckoning.view.day,
        base=output.unit.base if output else "",
        made=output.made if output else None,
        own_use=output.own_use if output else 0.0,
        cost=reckoning.money(made.direct.row) if made.direct else None,
        recovered=made.lines[-1].on.matter.ethanol / entered if through else None,
        kept=kept / entered if through else None,
    )


def _meet(a: tuple[Line, ...], b: tuple[Line, ...]) -> list[tuple[Line | None, Line | None]]:
    """Stages of both, in A's order, those of B alone after the stage of B that they follow."""
    by_id = {line.stage: n for n, line in enumerate(b)}
    meets = {n: by_id[line.stage] for n, line in enumerate(a) if line.stage in by_id}
    free = [m for m in range(len(b)) if m not in meets.values()]
    for n, line in enumerate(a):
        if n not in meets:
            found = next((m for m in free if b[m].kind == line.kind), None)
            if found is not None:
                meets[n] = found
                free.remove(found)
    pairs: list[tuple[Line | None, Line | None]] = [
        (line, b[meets[n]] if n in meets else None) for n, line in enumerate(a)
    ]
    for m in free:
        after = next((k for k, (_, y) in enumerate(pairs) if m and y is b[m - 1]), -1)
        pairs.insert(after + 1, (None, b[m]))
    return pairs


def _stage_pair(
    reckoning_a: Reckoning,
    a: Line | None,
    stages_a: Mapping[str, Stage],
    reckoning_b: Reckoning,
    b: Line | None,
    stages_b: Mapping[str, Stage],
) -> StagePair:
    one = _stage_side(reckoning_a, a, stages_a) if a else None
    two = _stage_side(reckoning_b, b, stages_b) if b else None
    facts: tuple[FactDiffers, ...] = ()
    if a is not None and b is not None:
        facts = _differ(_written(stages_a.get(a.stage)), _written(stages_b.get(b.stage)))
    inputs = []
    for source in dict.fromkeys((*(one.inputs if one else ()), *(two.inputs if two else ()))):
        amounts = (one.inputs.get(source) if one else None), (two.inputs.get(source) if two else None)
        costs = reckoning_a.costs.get(source), reckoning_b.costs.get(source)
        if amounts[0] != amounts[1] or costs[0] != costs[1]:
            inputs.append(InputDiffers(source, *amounts, *costs))
    return StagePair(one, two, facts, tuple(inputs))


def _stage_side(reckoning: Reckoning, line: Line, stages: Mapping[str, Stage]) -> StageSide:
    on, stage = line.on.matter, stages.get(line.stage)
    active, passive, setup = (stage.active, stage.passive, stage.setup) if stage else (None, None, None)
    hands, waits, once = _hours(reckoning, active), _hours(reckoning, passive), _hours(reckoning, setup)
    return StageSide(
        stage=line.stage,
        kind=line.kind,
        kg=on.mass,
        litres=on.volume(),
        lpa=on.ethanol * PURE_ALCOHOL,
        key=line.key,
        share_lost=line.share_lost,
        money=reckoning.money(line.carried.row),
        hands_min=None if hands is None or once is None else 60.0 * (once + line.runs * hands),
        machine_h=None if waits is None else line.runs * waits,
        runs=line.runs,
        inputs=plus(*(s.row for s in line.ins if s.source)),
    )


def _hours(reckoning: Reckoning, fact: Fact | None) -> float | None:
    if fact is None:
        return 0.0
    try:
        return figure(fact, (Dim.TIME,), reckoning.view.measures)[1]
    except Unbridged:
        return None


def _differ(old: Mapping[str, Stated], new: Mapping[str, Stated]) -> tuple[FactDiffers, ...]:
    names = dict.fromkeys((*old, *new))
    return tuple(FactDiffers(n, old.get(n), new.get(n)) for n in names if old.get(n) != new.get(n))


def _written(stage: Stage | None) -> dict[str, Stated]:
    """Everything a stage says of itself, by name; a reading may not hide a fact of the same name."""
    if stage is None:
        return {}
    given: Facts = (*stage.facts, *stage.readings)
    more: dict[str, Stated] = {"kind": stage.kind, "equipment": stage.equipment or None, "labour": stage.labour or None,
                               "active": stage.active, "passive": stage.passive, "setup": stage.setup}  # fmt: skip
    return {**dict(given), **{name: value for name, value in more.items() if value is not None}}


def _split(reckoning_a: Reckoning, a: Carried, reckoning_b: Reckoning, b: Carried) -> tuple[Part, ...]:
    old, new = reckoning_a.contents(a).row, reckoning_b.contents(b).row
    out: list[Part] = []
    for good in dict.fromkeys((*old, *new)):
        x, y = old.get(good, 0.0), new.get(good, 0.0)
        p, q = _columns(reckoning_a, good), _columns(reckoning_b, good)
        priced = good in reckoning_a.prices, good in reckoning_b.prices
        if good not in new and not priced[1]:
            prices, recipe = NIL, _plus(NIL, p, -x)
        else:
            prices, recipe = _plus(_plus(NIL, q, x), p, -x), _plus(NIL, q, y - x)
        out.append(Part(good, x, y, prices, recipe, priced))
    return tuple(out)


def _columns(reckoning: Reckoning, good: str) -> Columns:
    cost = reckoning.costs.get(good)
    return cost.columns if cost else NIL


def _plus(one: Columns, other: Columns, factor: float) -> Columns:
    return (one[0] + factor * other[0], one[1] + factor * other[1],
            one[2] + factor * other[2], one[3] + factor * other[3])  # fmt: skip


def _sum(parts: Iterable[Columns]) -> Columns:
    whole = NIL
    for part in parts:
        whole = _plus(whole, part, 1.0)
    return whole
