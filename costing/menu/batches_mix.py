"""The best mix in whole batches: runs of a still cannot be cut, and a batch lasts no longer than it keeps.

A batch has its hours whole, heating up, running and cleaning, however little of it is used. A mixed-integer linear
program (HiGHS, through ``scipy.optimize.milp``); the linear bound beside it says what whole batches give away. Servings
are not made whole: they are a plan for a period. What is left of a batch and keeps is no loss here; what spoils is.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from graphlib import CycleError, TopologicalSorter
from math import ceil
from typing import Any

from costing.menu.capacity_rank import NEAR, Made, Product, Resource, checked, hours_in, margin_of
from costing.tongue import say

WHOLE = 1e-6
"""How far from whole a solver's number of batches may be."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """One batch of a preparation: what it ``makes`` of each output that can be used in the period (base units; less
    than it gives where it spoils first), its ``hours`` of each resource, what it ``takes`` of other outputs, and the
    money of what ``spoils`` of it unused."""

    name: str
    makes: Mapping[str, float]
    hours: Mapping[str, float] = field(default_factory=dict)
    takes: Mapping[str, float] = field(default_factory=dict)
    spoils: float = 0.0
    id: str = ""

    @property
    def key(self) -> str:
        """What it goes by: the id, else the name."""
        return self.id or self.name


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """How many batches are made, and what is left of each output."""

    batch: Batch
    count: int
    left: Mapping[str, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchMix:
    """The best mix in whole batches. ``margin`` is after what spoils; ``bound`` is what part batches would earn at
    most; ``used`` are hours by resource. ``proven`` is False where time ran out before it was proven the best."""

    made: tuple[Made, ...]
    runs: tuple[Run, ...]
    margin: float
    bound: float
    used: Mapping[str, float]
    proven: bool = True

    @property
    def gives_away(self) -> float:
        """Money that whole batches cost against part ones."""
        return self.bound - self.margin


def best_batches(
    products: Sequence[Product], batches: Sequence[Batch], resources: Sequence[Resource], seconds: float = 20.0
) -> BatchMix:
    """The mix in whole batches that earns the most. A product's own hours come on top of its batches' hours.

    ValueError for figures that cannot be, an output that no batch makes, batches that take from each other in a ring,
    and where what is promised cannot be made in whole batches in the hours there are.
    """
    checked(products, resources)
    order = in_turn(batches)
    _all_made(products, batches)
    most = whole_batches(batches, needs_of(products, [p.demand for p in products]))
    amounts, counts, proven, bound = _solved(products, batches, resources, [most[b.key] for b in batches], seconds)
    # the solver may run a batch that nobody needs: the fewest that these amounts need are as good or better
    needs = needs_of(products, amounts)
    runs = whole_batches(batches, needs)
    if any(runs[b.key] > n for b, n in zip(batches, counts, strict=True)):
        runs = {b.key: n for b, n in zip(batches, counts, strict=True)}  # within the solver's own tolerance
    made = tuple(Made(product=p, amount=x) for p, x in zip(products, amounts, strict=True))
    spoilt = sum(b.spoils * runs[b.key] for b in batches)
    margin = margin_of(made) - spoilt
    used = {r.key: hours_in(made, r.key) + sum(b.hours.get(r.key, 0.0) * runs[b.key] for b in batches)
            for r in resources}  # fmt: skip
    taken = all_needs(order, needs, runs)
    counted = tuple(
        Run(batch=b, count=runs[b.key],
            left={o: max(0.0, runs[b.key] * made_ - taken.get(o, 0.0)) for o, made_ in b.makes.items()})
        for b in batches
    )  # fmt: skip
    return BatchMix(made=made, runs=counted, margin=margin, bound=bound, used=used, proven=proven)


def needs_of(products: Iterable[Product], amounts: Iterable[float]) -> dict[str, float]:
    """What so many of each product take of each output, in base units."""
    out: dict[str, float] = {}
    for p, amount in zip(products, amounts, strict=True):
        for output, each in p.takes.items():
            out[output] = out.get(output, 0.0) + each * amount
    return out


def in_turn(batches: Sequence[Batch]) -> tuple[Batch, ...]:
    """Batches with those that take before those that are taken from. ValueError for a ring, and for a batch that makes
    nothing."""
    maker: dict[str, Batch] = {}
    for b in batches:
        for output, amount in b.makes.items():
            if amount <= 0:
                raise ValueError(say("a batch of {name} makes none: say what it gives", name=b.name))
            if output in maker:
                raise ValueError(say("two are called {name}: give each a name of its own", name=output))
            maker[output] = b
    by_key = {b.key: b for b in batches}
    graph = {b.key: [maker[o].key for o in b.takes if o in maker and maker[o].key != b.key] for b in batches}
    try:
        inputs_first = list(TopologicalSorter(graph).static_order())
    except CycleError as ring:
        path = " -> ".join(map(str, ring.args[1]))
        raise ValueError(say("batches take from each other in a ring: {path}", path=path)) from None
    return tuple(by_key[key] for key in reversed(inputs_first))


def whole_batches(batches: Sequence[Batch], needs: Mapping[str, float]) -> dict[str, int]:
    """The fewest whole batches of each that give what is needed, inputs of batches counted for whole batches too."""
    return {key: ceil(n - WHOLE) for key, n in _count(batches, needs, whole=True).items()}


def part_batches(batches: Sequence[Batch], needs: Mapping[str, float]) -> dict[str, float]:
    """The same where a batch could be made in part."""
    return _count(batches, needs, whole=False)


def all_needs(order: Sequence[Batch], needs: Mapping[str, float], runs: Mapping[str, float]) -> dict[str, float]:
    """What is taken of each output, by products and by so many batches."""
    out = dict(needs)
    for b in order:
        for output, amount in b.takes.items():
            out[output] = out.get(output, 0.0) + amount * runs[b.key]
    return out


def _count(batches: Sequence[Batch], needs: Mapping[str, float], *, whole: bool) -> dict[str, float]:
    wanted = dict(needs)
    out: dict[str, float] = {}
    for b in in_turn(batches):
        runs = max((wanted.get(o, 0.0) / amount for o, amount in b.makes.items()), default=0.0)
        out[b.key] = float(ceil(runs - WHOLE)) if whole else runs
        for output, amount in b.takes.items():
            wanted[output] = wanted.get(output, 0.0) + amount * out[b.key]
    return out


def _all_made(products: Iterable[Product], batches: Sequence[Batch]) -> None:
    made = {o for b in batches for o in b.makes}
    for name, takes in [(p.name, p.takes) for p in products] + [(b.name, b.takes) for b in batches]:
        for output in takes:
            if output not in made:
                raise ValueError(say("{name} takes {output}, which no batch makes", name=name, output=output))


def _solved(
    products: Sequence[Product],
    batches: Sequence[Batch],
    resources: Sequence[Resource],
    most: Sequence[int],
    seconds: float,
) -> tuple[list[float], list[int], bool, float]:
    """(amounts, batches, proven, linear bound)."""
    if not products:
        return [], [0] * len(batches), True, 0.0
    goal = [-p.margin for p in products] + [b.spoils for b in batches]
    rows, limits = _rows(products, batches, resources)
    low = [p.least for p in products] + [0.0] * len(batches)
    high = [p.demand for p in products] + [float(n) for n in most]
    bound = _milp(goal, rows, limits, low, high, [0] * len(goal), seconds)
    found = _milp(goal, rows, limits, low, high, [0] * len(products) + [1] * len(batches), seconds)
    if found.x is None or bound.x is None:
        if found.status == 1:
            raise ValueError(say("no mix in whole batches was found in {n} seconds", n=f"{seconds:g}"))
        raise ValueError(say("what is promised cannot be made in whole batches in the hours there are: promise less or "
                             "add hours"))  # fmt: skip
    n = len(products)
    counts = [round(x) for x in found.x[n:]]
    # batches are whole to a millionth in the solver: amounts are worked out anew for really whole ones, whose own hours
    # may be over by as little
    fit, fixed = list(limits), [float(c) for c in counts]
    for k in range(len(resources)):
        fit[k] = max(fit[k], sum(h * c for h, c in zip(rows[k][n:], counts, strict=True)))
    exact = _milp(goal, rows, fit, low[:n] + fixed, high[:n] + fixed, [0] * len(goal), seconds)
    amounts = (found if exact.x is None else exact).x[:n]
    return (
        [min(max(float(x), p.least), p.demand) for x, p in zip(amounts, products, strict=True)],
        counts,
        found.status == 0,
        -float(bound.fun),
    )


def _rows(
    products: Sequence[Product], batches: Sequence[Batch], resources: Sequence[Resource]
) -> tuple[list[list[float]], list[float]]:
    """Hours at most those there are; of each output no more taken than its batches give."""
    rows = [[p.hours.get(r.key, 0.0) for p in products] + [b.hours.get(r.key, 0.0) for b in batches] for r in resources]
    limits = [r.hours for r in resources]
    for maker in batches:
        for output, amount in maker.makes.items():
            rows.append(
                [p.takes.get(output, 0.0) for p in products]
                + [b.takes.get(output, 0.0) - (amount if b is maker else 0.0) for b in batches]
            )
            limits.append(0.0)
    return rows, limits


def _milp(
    goal: list[float],
    rows: list[list[float]],
    limits: list[float],
    low: list[float],
    high: list[float],
    whole: list[int],
    seconds: float,
) -> Any:
    from numpy import inf  # noqa: PLC0415  slow to import
    from scipy.optimize import Bounds, LinearConstraint, milp  # noqa: PLC0415  slow to import

    return milp(
        goal,
        integrality=whole,
        bounds=Bounds(low, high),
        constraints=LinearConstraint(rows, -inf, limits) if rows else None,
        options={"mip_rel_gap": NEAR, "time_limit": seconds},
    )
