"""Everything of one day in one call: ledgers, direct rows, unit costs, explosion, problems."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from costing.book.book import View
from costing.book.change import Key
from costing.book.checks import check
from costing.book.problem import Problem, leads_into, problem
from costing.book.records import Layer, ServeVersion, Version
from costing.ledger.costs import Cost, cost_of, explode, roll_up
from costing.ledger.follow import flows, follow
from costing.ledger.lines import Ledger, Line
from costing.ledger.order import in_order
from costing.ledger.prices import UnitPrice, price_goods
from costing.ledger.rows import Carried, Row
from costing.ledger.serving import follow_serve
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
        """Money of materials spilled at a stage, and of the rest that entered times the share of the key lost there.

        What was lost in stages before is inside what entered, so these do not add up over stages; ``lost_money``
        of what is carried is the whole of it.
        """
        return self.lost_of(line, line.entered, line.spilled)

    def lost_of(self, line: Line, row: Row, spilled: Row) -> float:
        """The same for a part of what entered a stage: ``row``, of which ``spilled`` was poured beside."""
        lost = {
            source: spilled.get(source, 0.0) + (amount - spilled.get(source, 0.0)) * line.share_lost
            for source, amount in row.items()
            if flows(self.view, source)
        }
        return self.money({**spilled, **lost}).materials

    def assumed_share(self, carried: Carried) -> float:
        """Share of the money, making included, that passed an assumed figure: a stage's, an amount's, a bridge's (the
        weight of a piece, a density, a house measure) or a pack's. Assumed makeup is not counted."""
        inside = self.contents(carried)
        whole = self.money(inside.row).making
        guessed = {g: amount for g, amount in inside.row.items() if g in self.prices and self.prices[g].assumed}
        return self.money({**inside.assumed, **guessed}).making / whole if whole else 0.0


def reckon(view: View) -> Reckoning:
    """Work out a day. Bad data ends as Problems; everything that can be computed is.

    What the book's own checks find wrong with a record (an id that means two things, a machine that does not exist)
    keeps that record out of cost, so that no face can show a figure that stands on it.
    """
    problems: list[Problem] = [*check(view.book)]
    barred = _barred(view, problems)
    if view.terms is None and view.book.house is not None and view.book.house.terms:
        first = min(t.since for t in view.book.house.terms)
        problems.append(problem("no-terms-yet", "house", "warning", day=view.day, since=first))
    units: dict[str, Unit] = {}
    for good in view.goods.values():
        if ("good", good.id) not in barred:
            units[good.id], odd = unit_of_good(good, view.measures)
            problems += odd
    prices, unread = price_goods(view, units)
    problems += unread
    order, loops = in_order(view)
    problems += loops
    ledgers: dict[str, Ledger] = {}
    direct: dict[str, Carried] = {}
    looped = view.preparations.keys() - set(order)
    refused = frozenset(looped)
    for ident in order:
        if ("preparation", ident) in barred:
            ledger = Ledger(ident, (), {}, barred["preparation", ident])
        else:
            ledger = follow(view, *view.preparations[ident], units, refused=refused)
        refused |= {ident} if ledger.refused else set()
        ledgers[ident] = ledger
        problems += ledger.problems
        for output in ledger.outputs.values():
            units[output.id] = output.unit
            direct[output.id] = output.direct
    serves: dict[str, Line] = {}
    for ident, (_, version) in view.serves.items():
        if ("serve", ident) in barred:
            continue
        line, odd = follow_serve(view, ident, version, units, refused)
        problems += odd
        if line is not None:
            serves[ident] = line
    goods: dict[str, tuple[Layer, float | None]] = {
        g.id: (g.layer, prices[g.id].per_base if g.id in prices else None) for g in view.goods.values()
    }
    problems += [
        problem("unpriced", f"good/{g}", "warning") for g in _used(direct, serves) if g in goods and g not in prices
    ]
    costs = roll_up(direct, goods)
    return Reckoning(view, units, ledgers, serves, direct, prices, costs, tuple(dict.fromkeys(problems)))


def _barred(view: View, problems: list[Problem]) -> dict[Key, tuple[Problem, ...]]:
    """Records that errors of the book's checks keep out of cost today, and why. Another version's errors do not."""
    out: dict[Key, tuple[Problem, ...]] = {}
    for p in (p for p in problems if p.level == "error"):
        kind, _, rest = p.where.partition("/")
        made: Mapping[str, tuple[object, Version | ServeVersion]] = {}
        if kind in ("preparation", "serve"):
            made = view.preparations if kind == "preparation" else view.serves
        for known, ident in view.book.records:
            if known == kind and leads_into(p.where, kind, ident, made[ident][1].since if ident in made else None):
                out[kind, ident] = (*out.get((kind, ident), ()), p)
        if p.code == "id-clash":
            out["preparation", rest] = (*out.get(("preparation", rest), ()), p)
    return out


def _used(direct: Mapping[str, Carried], serves: Mapping[str, Line]) -> list[str]:
    used = {s for c in direct.values() for s in c.row} | {s for line in serves.values() for s in line.carried.row}
    return sorted(used)
