"""How far each source of doubt reaches: costs as a web of rows in which goods, preparations and drinks carry factors.

A cost is own factor * sum(amount * cost of what goes in), down to prices. A price's source is the factor of its good,
logged batches are that of their preparation and its by-products, and a doubtful figure is one wherever its row moves:
mostly at the one stage it stands in, and downstream where composition reaches (a stronger spirit takes more water). So
what stands under a drink moves it by the share of money that passes, a preparation under another by the product of
their factors, and one batch or price every drink it is in. The factors are lognormal: no cost falls below nothing.

Prices and batches are exact so, since costs are linear in them. Of figures the web holds the first order: each is moved
by its standard deviation both ways, through the whole ledger, once for all drinks.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cached_property
from math import exp

from costing.book.book import Book
from costing.book.change import Key
from costing.book.records import Layer, Quote, Record, Terms
from costing.ledger.costs import NIL, Cost
from costing.ledger.order import owner
from costing.ledger.reckon import Reckoning
from costing.ledger.rows import Row
from costing.pricing.doubts import ASSUMED, Doubt, doubts_of, moved_fact, of_day, reached
from costing.pricing.moved import Moved, moved
from costing.pricing.sources import HORIZON, Source, batch_sources, price_sources

LEAST = 1e-9
"""A share of cost below which a figure is taken not to move it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Node:
    """One good (``cost`` is its price, ``row`` empty), output or drink: money a unit, amounts of what goes in, and by
    source the relative standard deviation of its own factor, signed by which way it goes."""

    cost: float
    row: Row = field(default_factory=dict)
    own: Mapping[int, float] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True)
class Exposures:
    """The web of one day. ``nodes`` are goods and outputs by id, inputs first; ``serves`` the drinks. ``untold`` are
    those that cannot be costed where a figure is moved, ``incomplete`` those that lack a price.

    Keys of what is worked out of it: ("", id) for goods and outputs, ("serve", id) for drinks.
    """

    sources: tuple[Source, ...]
    nodes: Mapping[str, Node]
    serves: Mapping[str, Node]
    untold: frozenset[Key] = frozenset()
    incomplete: frozenset[Key] = frozenset()

    @cached_property
    def middles(self) -> Mapping[Key, float]:
        """Costs with every preparation's batches at what they cost on average."""
        return self.at([source.middle for source in self.sources])

    @cached_property
    def ends(self) -> tuple[Mapping[Key, float], Mapping[Key, float]]:
        """(least, most): costs with every preparation of fewer than three batches at the least or the most seen of it,
        and all others at their middle."""
        low, high = ([s.seen[n] if s.seen else s.middle for s in self.sources] for n in (0, 1))
        return self.at(low), self.at(high)

    def at(self, batches: Sequence[float]) -> Mapping[Key, float]:
        """Costs with the batches of each source at such logarithms over the recipe's; figures and prices as printed."""
        costs: dict[Key, float] = {}
        for key, node in self._all():
            inside = sum(amount * costs["", s] for s, amount in node.row.items()) if node.row else node.cost
            costs[key] = inside * exp(sum(batches[k] for k in node.own if self.sources[k].basis == "batches"))
        return costs

    @cached_property
    def moves(self) -> Mapping[Key, Mapping[int, float]]:
        """First order, at the middles: money that one standard deviation of each source moves each cost by, signed."""
        out: dict[Key, dict[int, float]] = {}
        costs = self.middles
        for key, node in self._all():
            inside = sum(amount * costs["", s] for s, amount in node.row.items()) if node.row else node.cost
            scale = costs[key] / inside if inside else 1.0
            money = {k: sd * costs[key] for k, sd in node.own.items()}
            for source, amount in node.row.items():
                for k, of_one in out["", source].items():
                    money[k] = money.get(k, 0.0) + scale * amount * of_one
            out[key] = money
        return out

    def _all(self) -> Iterator[tuple[Key, Node]]:
        """Every node, inputs first: goods and outputs under ("", id)."""
        for name, node in self.nodes.items():
            yield ("", name), node
        for name, node in self.serves.items():
            yield ("serve", name), node


def base_layers(reckoning: Reckoning) -> tuple[Layer, ...]:
    """The layers that the house's pour cost stands on."""
    return (reckoning.view.terms or Terms(since=reckoning.view.day)).base


def exposures(
    reckoning: Reckoning,
    layers: Sequence[Layer] | None = None,
    *,
    serves: Iterable[str] | None = None,
    assumed: float = ASSUMED,
    horizon: int = HORIZON,
) -> Exposures:
    """The web of a reckoning in these layers (None: those of pour cost), of these drinks and what is under them, or of
    the whole day. KeyError for a drink that is not there.

    Takes two partial reckonings for each doubtful figure: some tenths of a second for a bar. Keep it as long as the
    book is the same.
    """
    layers = tuple(layers) if layers is not None else base_layers(reckoning)
    view = reckoning.view
    keys = reached(view, view.serves, view.preparations) if serves is None else reached(view, serves)
    made = [ident for kind, ident in sorted(keys) if kind == "preparation"]
    goods = [ident for kind, ident in sorted(keys) if kind == "good"]
    batches = list(batch_sources(reckoning, made, layers))
    web = _Web(reckoning, layers, keys)
    for source in [*batches, *price_sources(reckoning, goods, layers, horizon)]:
        web.take(source)
    small = of_day(view, keys)
    logged = {source.key for source in batches if source.seen is None}
    for doubt in doubts_of(view, small, assumed):
        if doubt.key not in logged and not _beside(reckoning, doubt):
            web.move(small, doubt)
    return web.woven()


def _beside(reckoning: Reckoning, doubt: Doubt) -> bool:
    """Whether it is about a quote that costs nothing today."""
    record = reckoning.view.book.records[doubt.key]
    if not isinstance(record, Quote):
        return False
    price = reckoning.prices.get(record.good)
    return price is None or price.quote.id != record.id


class _Web:
    """Exposures while they are put together."""

    def __init__(self, reckoning: Reckoning, layers: tuple[Layer, ...], keys: set[Key]) -> None:
        self.layers, self.reckoning = layers, reckoning
        self.sources: list[Source] = []
        self.own: dict[Key, dict[int, float]] = {}
        self.untold: set[Key] = set()
        rows = {name: carried.row for name, carried in reckoning.direct.items() if ("preparation", owner(name)) in keys}
        self.lines = {s: line.carried.row for s, line in reckoning.serves.items() if ("serve", s) in keys}
        used = {source: None for row in (*rows.values(), *self.lines.values()) for source in row}
        self.rows: dict[str, Row] = {**{name: {} for name in used if name not in rows}, **rows}
        self.costs = {name: reckoning.costs.get(name, Cost(NIL, frozenset({name}))) for name in self.rows}

    def take(self, source: Source) -> None:
        """A source at everything it is the factor of: a good, or a preparation and its by-products."""
        self.sources.append(source)
        for name in self.rows:
            if (name == source.key[1]) if source.basis == "prices" else (owner(name) == source.key[1]):
                self.own.setdefault(("", name), {})[len(self.sources) - 1] = source.sd

    def move(self, small: Book, doubt: Doubt) -> None:
        """A doubtful figure, moved both ways."""
        record = small.records[doubt.key]
        found = [self._at(small, record, doubt, sign) for sign in (1, -1)]
        owns: dict[Key, float] = {}
        for part in ("made", "serves"):
            ids = {ident for way in found if way is not None for ident in getattr(way, part)}
            for ident in ids:
                key = ("serve" if part == "serves" else "", ident)
                own = self._own(key, found)
                if own is None:
                    self.untold.add(key)
                elif abs(own) > LEAST:
                    owns[key] = own
        if all(way is None for way in found):
            self.untold |= self._on(doubt.key)
        if owns:
            n = len(self.sources)
            self.sources.append(_of_figure(doubt))
            for key, own in owns.items():
                self.own.setdefault(key, {})[n] = own

    def _at(self, small: Book, record: Record, doubt: Doubt, sign: int) -> Moved | None:
        value = doubt.fact.value + sign * Decimal(repr(doubt.sd))
        try:
            after = moved_fact(record, doubt.path, value.quantize(Decimal("1e-12")))
        except ValueError:
            return None
        return moved(self.reckoning, small, after, self.layers)

    def _own(self, key: Key, found: Sequence[Moved | None]) -> float | None:
        """Relative standard deviation of a node's own factor; None where it can be costed neither way.

        What rises with a figure is taken to be linear in it, what falls to be the inverse of something linear: cost
        over a yield, exactly so.
        """
        ways = [self._factor(key, way) if way is not None else None for way in found]
        if not ways or all(way is None for way in ways):
            return None if self._costs(key) else 0.0
        if None in ways:
            (only,) = [way for way in ways if way is not None]
            return abs(only - 1.0)
        up, down = (way for way in ways if way is not None)
        return (up - down) / 2.0 if up >= down else (1.0 / up - 1.0 / down) / -2.0

    def _factor(self, key: Key, way: Moved) -> float | None:
        """A node's cost at a moved figure over what its row as it stands then costs."""
        costs, rows = (way.serves, self.lines) if key[0] else (way.made, self.rows)
        if key[1] not in costs:
            return 1.0
        found, row = costs[key[1]], rows.get(key[1])
        if row is None or found is None:
            return None
        standing = sum(amount * self._moved(source, way) for source, amount in row.items()) if row else self._costs(key)
        if found == standing:
            return 1.0
        return found / standing if standing and found / standing > 0.0 else None

    def _moved(self, source: str, way: Moved) -> float:
        return (way.made[source] or 0.0) if source in way.made else self.costs[source].of(self.layers)

    def _costs(self, key: Key) -> float:
        """Money of a node as printed; 0 for one that is not in the web."""
        if key[0]:
            return self.reckoning.serve_cost(key[1]).of(self.layers) if key[1] in self.lines else 0.0
        return self.costs[key[1]].of(self.layers) if key[1] in self.costs else 0.0

    def _on(self, key: Key) -> set[Key]:
        """Outputs and drinks that stand on a record."""
        view = self.reckoning.view
        record = view.book.records[key]
        key = ("good", record.good) if isinstance(record, Quote) else key
        on: set[Key] = {("serve", s) for s in self.lines if key[0] == "house" or key in reached(view, (s,))}
        return on | {("", name) for name, row in self.rows.items()
                     if row and (key[0] == "house" or key in reached(view, (), (owner(name),)))}  # fmt: skip

    def woven(self) -> Exposures:
        """The web, its sources in the order of their names, so that a part of a book gives what the whole does."""
        order = sorted(range(len(self.sources)), key=lambda k: self.sources[k].name)
        place = {k: n for n, k in enumerate(order)}

        def own(key: Key) -> dict[int, float]:
            return {place[k]: sd for k, sd in sorted(self.own.get(key, {}).items(), key=lambda item: place[item[0]])}

        nodes = {name: Node(cost=self._costs(("", name)), row=row, own=own(("", name)))
                 for name, row in self.rows.items()}  # fmt: skip
        serves = {ident: Node(cost=self._costs(("serve", ident)), row=row, own=own(("serve", ident)))
                  for ident, row in self.lines.items()}  # fmt: skip
        lacking = {("", name) for name, cost in self.costs.items() if not cost.complete}
        lacking |= {("serve", ident) for ident in self.lines if not self.reckoning.serve_cost(ident).complete}
        return Exposures(sources=tuple(self.sources[k] for k in order), nodes=nodes, serves=serves,
                         untold=frozenset(self.untold), incomplete=frozenset(lacking))  # fmt: skip


def _of_figure(doubt: Doubt) -> Source:
    relative = doubt.sd / abs(float(doubt.fact.value)) if doubt.fact.value else 0.0
    path = ".".join(str(step) for step in doubt.path)
    freedom = doubt.n - 1 if doubt.basis == "tests" else 0
    return Source(
        key=doubt.key, basis=doubt.basis, sd=relative, figure=doubt.name, path=path, n=doubt.n, freedom=freedom
    )
