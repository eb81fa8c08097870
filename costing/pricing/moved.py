"""What costs become when one record of a day is another: only what stands on it is worked out again."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from costing.book.book import Book, View
from costing.book.change import Change
from costing.book.plain import kind_of
from costing.book.records import LAYERS, Good, Layer, Quote, Record, Stage
from costing.ledger.batches import refused_of
from costing.ledger.costs import Cost, cost_of
from costing.ledger.follow import follow
from costing.ledger.order import owner
from costing.ledger.prices import price_goods
from costing.ledger.reckon import Reckoning, reckon
from costing.ledger.serving import follow_serve
from costing.ledger.unit import Unit, unit_of_good

Money = float | None
"""Money a unit in the layers asked for; None where it cannot be costed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """What everything costs that another record moves: goods and outputs by id, and drinks."""

    made: Mapping[str, Money]
    serves: Mapping[str, Money]


def moved(standing: Reckoning, small: Book, after: Record, layers: Iterable[Layer]) -> Moved:
    """What stands on a record of ``small`` (``costing.pricing.doubts.of_day``, of the standing day), once it is
    ``after``. Figures that the standing day refuses stay refused."""
    layers = tuple(layers)
    key = kind_of(after), after.id
    view = small.with_changes([Change(*key, small.records[key], after)]).on(standing.view.day)
    if key[0] == "house":
        return _whole(reckon(view), layers)
    return _Again(standing, view, layers).of(after)


def _whole(found: Reckoning, layers: tuple[Layer, ...]) -> Moved:
    """All of a day, where a record moves all of it."""
    made = {name: _money(cost, layers) for name, cost in found.costs.items()}
    return Moved(made=made, serves={name: _money(found.serve_cost(name), layers) for name in found.view.serves})


def _money(cost: Cost, layers: tuple[Layer, ...]) -> Money:
    return cost.of(layers) if cost.complete else None


class _Again:
    """A day worked out again from where one record differs: what takes a thing whose matter differs is followed again,
    what takes a thing whose cost differs is only costed again."""

    def __init__(self, standing: Reckoning, view: View, layers: tuple[Layer, ...]) -> None:
        self.standing, self.view, self.layers = standing, view, layers
        self.units: dict[str, Unit] = dict(standing.units)
        self.costs: dict[str, Cost] = dict(standing.costs)
        self.refused = refused_of(standing)
        self.other: set[str] = set()
        """Goods and outputs whose matter or bridges differ, or that are gone."""
        self.made: dict[str, Money] = {}

    def of(self, after: Record) -> Moved:
        """Goods first, then preparations in order, then drinks."""
        if isinstance(after, Good):
            self._good(after)
        elif isinstance(after, Quote):
            self._price(after.good)
        for ident in self.standing.ledgers:
            self._preparation(ident, after)
        return Moved(made=self.made, serves=dict(self._serves(after)))

    def _good(self, good: Good) -> None:
        unit, _ = unit_of_good(good, self.view.measures)
        if unit != self.units.get(good.id):
            self.units[good.id] = unit
            self.other.add(good.id)
        self._price(good.id)

    def _price(self, good: str) -> None:
        found = price_goods(self.view, {good: self.units[good]})[0].get(good) if good in self.units else None
        layer = self.view.goods[good].layer
        columns = [found.per_base if found is not None and name == layer else 0.0 for name in LAYERS]
        lacking = frozenset() if found is not None else frozenset({good})
        self._set(good, Cost((columns[0], columns[1], columns[2], columns[3]), lacking))

    def _set(self, name: str, cost: Cost) -> None:
        if cost != self.standing.costs.get(name):
            self.costs[name] = cost
            self.made[name] = _money(cost, self.layers)

    def _preparation(self, ident: str, after: Record) -> None:
        if ident not in self.view.preparations or self.standing.ledgers[ident].refused:
            return  # not of this book, or not costed before either
        made, version = self.view.preparations[ident]
        outputs = self.standing.ledgers[ident].outputs
        changed = after == made or self._takes_other(version.stages, after)
        if changed:
            ledger = follow(self.view, made, version, self.units, refused=self.refused)
            if ledger.refused:
                self.refused |= {ident}
            for name in outputs:
                if name not in ledger.outputs:
                    self._gone(name)
            outputs = ledger.outputs
        for name, output in outputs.items():
            if changed or not self.made.keys().isdisjoint(output.direct.row):
                if output.unit != self.units.get(name):
                    self.units[name] = output.unit
                    self.other.add(name)
                self._set(name, cost_of(output.direct.row, self.costs))

    def _gone(self, name: str) -> None:
        self.other.add(name)
        self.units.pop(name, None)
        self.costs.pop(name, None)
        self.made[name] = None

    def _takes_other(self, stages: tuple[Stage, ...], after: Record) -> bool:
        """Whether stages take what is other matter now, or stand in a machine that is another."""
        taken = {item.source for stage in stages for item in stage.adds}
        taken |= {owner(source) for source in taken} | {stage.labour for stage in stages}
        machines = {stage.equipment for stage in stages}
        return not self.other.isdisjoint(taken) or (kind_of(after) == "equipment" and after.id in machines)

    def _serves(self, after: Record) -> Iterator[tuple[str, Money]]:
        for ident, (serve, version) in self.view.serves.items():
            line = self.standing.serves.get(ident)
            if line is None:
                continue
            if serve == after or self._takes_other((version.build,), after):
                line, _ = follow_serve(self.view, ident, version, self.units, self.refused)
                yield ident, _money(cost_of(line.carried.row, self.costs), self.layers) if line is not None else None
            elif not self.made.keys().isdisjoint(line.carried.row):
                yield ident, _money(cost_of(line.carried.row, self.costs), self.layers)
