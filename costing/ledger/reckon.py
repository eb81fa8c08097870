"""Everything of one day in one call: ledgers, direct rows, unit costs, explosion, problems."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from costing.book.book import View
from costing.book.problem import Problem, problem
from costing.book.records import Layer
from costing.ledger.costs import Cost, cost_of, explode, roll_up
from costing.ledger.follow import flows, follow, follow_serve
from costing.ledger.lines import Ledger, Line
from costing.ledger.order import in_order
from costing.ledger.prices import UnitPrice, price_goods
from costing.ledger.rows import Carried
from costing.ledger.unit import Unit, unit_of_good


@dataclass(frozen=True)
class Reckoning:
    """The day's figures. ``units`` and ``costs`` are by good, preparation or preparation/by-product; ``serves`` are
    lines of builds, per one drink."""

    view: View
    units: Mapping[str, Unit]
    ledgers: Mapping[str, Ledger]
    serves: Mapping[str, Line]
    direct: Mapping[str, Carried]
    prices: Mapping[str, UnitPrice]
    costs: Mapping[str, Cost]
    problems: tuple[Problem, ...]

    @cached_property
    def exploded(self) -> Mapping[str, Carried]:
        """How much of each bought good is in one unit of every output."""
        return explode(self.direct, self.view.goods)

    def serve_cost(self, serve: str) -> Cost:
        """Cost of one drink. A serve that could not be read costs nothing and is unpriced by its own name."""
        line = self.serves.get(serve)
        if line is None:
            return Cost((0.0, 0.0, 0.0, 0.0), frozenset({f"serve {serve}"}))
        return cost_of(line.carried.row, self.costs)

    def contents(self, carried: Carried) -> Carried:
        """A row exploded to bought goods, with its memos."""
        return explode({**self.direct, "": carried}, self.view.goods)[""]

    def money(self, row: Mapping[str, float]) -> Cost:
        """What amounts of goods and preparations cost."""
        return cost_of(row, self.costs)

    def lost_money(self, carried: Carried) -> float:
        """The memo of loss in money of materials: part of what is carried, never added to it."""
        return self.money(self.contents(carried).lost).materials

    def lost_here(self, line: Line) -> float:
        """Money of materials that entered a stage, times the share of the key component lost there.

        What was lost in stages before is inside what entered, so these do not add up over stages; ``lost_money``
        of what is carried is the whole of it.
        """
        entered = {s: amount for s, amount in line.entered.items() if flows(self.view, s)}
        return self.money(entered).materials * line.share_lost

    def assumed_share(self, carried: Carried) -> float:
        """Share of the money, making included, that passed a stage resting on an assumed figure."""
        inside = self.contents(carried)
        whole = self.money(inside.row).making
        return self.money(inside.assumed).making / whole if whole else 0.0


def reckon(view: View) -> Reckoning:
    """Work out a day. Bad data ends as Problems; everything that can be computed is."""
    units: dict[str, Unit] = {}
    problems: list[Problem] = []
    for good in view.goods.values():
        units[good.id], odd = unit_of_good(good, view.measures)
        problems += odd
    prices, unread = price_goods(view, units)
    problems += unread
    order, loops = in_order(view)
    problems += loops
    ledgers: dict[str, Ledger] = {}
    direct: dict[str, Carried] = {}
    for ident in order:
        ledger = follow(view, *view.preparations[ident], units)
        ledgers[ident] = ledger
        problems += ledger.problems
        for output in ledger.outputs.values():
            units[output.id] = output.unit
            direct[output.id] = output.direct
    serves: dict[str, Line] = {}
    for ident, (_, version) in view.serves.items():
        line, odd = follow_serve(view, ident, version, units)
        problems += odd
        if line is not None:
            serves[ident] = line
    goods: dict[str, tuple[Layer, float | None]] = {
        g.id: (g.layer, prices[g.id].per_base if g.id in prices else None) for g in view.goods.values()
    }
    problems += [
        problem("unpriced", f"good/{g}", "warning") for g in _used(direct, serves) if g in goods and g not in prices
    ]
    return Reckoning(view, units, ledgers, serves, direct, prices, roll_up(direct, goods), tuple(problems))


def _used(direct: Mapping[str, Carried], serves: Mapping[str, Line]) -> list[str]:
    used = {s for c in direct.values() for s in c.row} | {s for line in serves.values() for s in line.carried.row}
    return sorted(used)
