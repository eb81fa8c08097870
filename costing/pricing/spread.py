"""The range of what one drink costs: 90 of 100 such drinks lie in it, as far as the figures under it are known.

The cost is moved by each figure that is not sure, one at a time, through the whole ledger (first order); the moves add
up as squares, since figures are taken to be independent of each other; the range is the lognormal one about the cost
as printed, which cannot fall below nothing. Prices are quotes and count as sure. Where three or more
batches of a preparation were logged, their own scatter of cost stands in the place of the doubts about its stages.

None where no range can be told: a component has no price, nothing under it is known to vary, or it varies by more than
a fifth, where first order says too little.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import exp, log, sqrt

from costing.book.change import Change, Key
from costing.book.records import BatchLog, Layer, Serve
from costing.ledger.batches import as_made, refused_of
from costing.ledger.costs import cost_of
from costing.ledger.reckon import Reckoning, reckon
from costing.ledger.rows import Carried
from costing.ledger.serving import follow_serve
from costing.pricing.doubts import ASSUMED, LEAST_TESTS, NORMAL_95, Basis, Doubt, doubts_of, moved_fact, next_one, under

FIRST_ORDER = 0.20
"""The relative standard deviation up to which first order stands."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """One thing that the range stands on: the record and the figure in it ("" for all of a preparation's batches), the
    standard deviation it gives the cost of one drink, in money, and what that is known by."""

    key: Key
    figure: str
    money: float
    basis: Basis
    n: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """``low`` to ``high`` hold 90 % of drinks; ``cost`` is as printed; ``causes`` are the largest first."""

    cost: float
    low: float
    high: float
    causes: tuple[Cause, ...]

    @property
    def assumed(self) -> bool:
        """Whether any of it stands on the house's assumption of how far an assumed figure may be off."""
        return any(cause.basis == "assumed" for cause in self.causes)

    def crosses(self, limit: float) -> bool:
        """Whether a limit of cost lies inside: what is true of the cost need not be of the next drink."""
        return self.low < limit < self.high


def interval(cost: float, sd: float) -> tuple[float, float]:
    """(5 %, 95 %) of a lognormal cost whose median is ``cost`` and whose relative standard deviation is sd / cost.
    ValueError for a cost of nothing or less."""
    if cost <= 0.0:
        raise ValueError(f"a cost of {cost} has no range: it must be above 0")
    width = NORMAL_95 * sqrt(log(1.0 + (sd / cost) ** 2))
    return cost * exp(-width), cost * exp(width)


def spread(reckoning: Reckoning, serve: str, layers: Sequence[Layer], assumed: float = ASSUMED) -> Spread | None:
    """The range of one drink's cost in the ``layers`` that pour cost stands on; None where none can be told.

    ``assumed`` is the relative standard deviation given to an assumed figure. Takes one reckoning of what is under the
    drink for each doubt and each way: some hundredths of a second.
    """
    view, line = reckoning.view, reckoning.serves.get(serve)
    whole = reckoning.serve_cost(serve)
    cost = whole.of(layers)
    if line is None or not whole.complete or cost <= 0.0:
        return None
    causes: list[Cause] = []
    logged: set[str] = set()
    for made, n, relative in _logged(reckoning, serve, layers):
        logged.add(made)
        causes.append(Cause(key=("preparation", made), figure="", basis="batches", n=n,
                            money=relative * _through(reckoning, serve, made, layers)))  # fmt: skip
    small = under(view, serve)
    standing = reckon(small.on(view.day))
    for doubt in doubts_of(view, small, assumed):
        if doubt.key[0] == "preparation" and doubt.key[1] in logged:
            continue
        money = _moves(standing, serve, doubt, layers, cost)
        if money is None:
            return None
        if money > 1e-9 * cost:
            causes.append(Cause(key=doubt.key, figure=doubt.name, money=money, basis=doubt.basis, n=doubt.n))
    sd = sqrt(sum(cause.money**2 for cause in causes))
    if not causes or sd > FIRST_ORDER * cost:
        return None
    low, high = interval(cost, sd)
    return Spread(cost=cost, low=low, high=high, causes=tuple(sorted(causes, key=lambda c: -c.money)))


def _moves(standing: Reckoning, serve: str, doubt: Doubt, layers: Sequence[Layer], cost: float) -> float | None:
    """Money that one standard deviation of a figure moves the cost by: half of what two of them do, or the one way that
    is possible; None where neither is."""
    found = [c for sign in (1, -1) if (c := _cost_at(standing, serve, doubt, sign, layers)) is not None]
    if len(found) == 2:
        return abs(found[0] - found[1]) / 2.0
    return abs(found[0] - cost) if found else None


def _cost_at(standing: Reckoning, serve: str, doubt: Doubt, sign: int, layers: Sequence[Layer]) -> float | None:
    view = standing.view
    before = view.book.records[doubt.key]
    value = doubt.fact.value + sign * Decimal(repr(doubt.sd))
    try:
        after = moved_fact(before, doubt.path, value.quantize(Decimal("1e-12")))
    except ValueError:
        return None
    if isinstance(after, Serve):  # nothing else stands on a drink: what is under it stays as it is
        line, _ = follow_serve(view, serve, after.versions[0], dict(standing.units), refused_of(standing))
        found = cost_of(line.carried.row, standing.costs) if line is not None else None
    else:
        found = reckon(view.book.with_changes([Change(*doubt.key, before, after)]).on(view.day)).serve_cost(serve)
    return found.of(layers) if found is not None and found.complete else None


def _logged(reckoning: Reckoning, serve: str, layers: Sequence[Layer]) -> Iterator[tuple[str, int, float]]:
    """(preparation, batches, relative standard deviation of its cost a unit) of every preparation under a drink that
    was logged three times or more as it is made today, at the prices of today."""
    view = reckoning.view
    beneath = {ident for kind, ident in under(view, serve).records if kind == "preparation"}
    logs: dict[str, list[BatchLog]] = {}
    for batch in view.book.all(BatchLog).values():
        made = batch.preparation
        if (
            made in beneath
            and batch.state == "made"
            and view.preparations[made][1].since <= batch.day <= view.day  # by another recipe it costs another thing
        ):
            logs.setdefault(made, []).append(batch)
    for made, batches in logs.items():
        costs = [c for batch in batches if (c := _batch_cost(reckoning, batch, layers)) is not None]
        if len(costs) >= LEAST_TESTS:
            logs_of = [log(c) for c in costs]
            middle = sum(logs_of) / len(logs_of)
            scatter = sqrt(sum((x - middle) ** 2 for x in logs_of) / (len(logs_of) - 1))
            yield made, len(costs), next_one(scatter, len(costs))


def _batch_cost(reckoning: Reckoning, batch: BatchLog, layers: Sequence[Layer]) -> float | None:
    """What a unit of a batch as it was made costs at today's prices; None where a figure of it does not stand."""
    ledger = as_made(reckoning, batch).ledger
    output = ledger.outputs.get(batch.preparation)
    if output is None or any(p.code in ("impossible", "log-left-out") or p.level == "error" for p in ledger.problems):
        return None
    cost = cost_of(output.direct.row, reckoning.costs)
    return cost.of(layers) if cost.complete and cost.of(layers) > 0.0 else None


def _through(reckoning: Reckoning, serve: str, made: str, layers: Sequence[Layer]) -> float:
    """Money of one drink that passes a preparation, its by-products too: what its cost moves when theirs doubles."""
    amounts: dict[str, float] = dict(reckoning.serves[serve].carried.row)
    direct: Mapping[str, Carried] = reckoning.direct
    money = 0.0
    for source in reversed(list(direct)):  # inputs stand first, so what takes them is met before them
        amount = amounts.pop(source, 0.0)
        if not amount:
            continue
        if source.partition("/")[0] == made:
            money += amount * reckoning.costs[source].of(layers)
            continue
        for inner, per_unit in direct[source].row.items():
            amounts[inner] = amounts.get(inner, 0.0) + amount * per_unit
    return money
