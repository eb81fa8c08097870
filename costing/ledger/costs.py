"""Money: one pass over direct rows, inputs first; the same rows exploded; and the trail behind a figure.

Costs are exactly linear in prices. Every cost is four columns, one a layer (materials, energy, machine, labour);
"materials" and "with making" are masks over them.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from costing.book.records import LAYERS, Layer
from costing.ledger.rows import Carried, Row

Columns = tuple[float, float, float, float]
NIL: Columns = (0.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Cost:
    """Money per unit by layer. ``unpriced`` names the goods without a price: the figure is then "at least"."""

    columns: Columns
    unpriced: frozenset[str] = frozenset()

    def of(self, layers: Iterable[Layer]) -> float:
        """The sum over a mask of layers."""
        return sum(self.columns[LAYERS.index(layer)] for layer in layers)

    @property
    def materials(self) -> float:
        """Ingredients, ice, garnish and consumables."""
        return self.columns[0]

    @property
    def making(self) -> float:
        """Everything: materials, energy, machine and labour."""
        return sum(self.columns)

    @property
    def complete(self) -> bool:
        """True when every component has a price."""
        return not self.unpriced


def cost_of(row: Row, unit_costs: Mapping[str, Cost]) -> Cost:
    """What a row of amounts costs; a source nobody priced is named, never counted as nothing in silence."""
    a = b = c = d = 0.0
    unpriced: frozenset[str] = frozenset()
    for source, amount in row.items():
        cost = unit_costs.get(source)
        if cost is None:
            unpriced |= {source}
            continue
        w, x, y, z = cost.columns
        a, b, c, d = a + amount * w, b + amount * x, c + amount * y, d + amount * z
        if cost.unpriced:
            unpriced |= cost.unpriced
    return Cost((a, b, c, d), unpriced)


def roll_up(direct: Mapping[str, Carried], goods: Mapping[str, tuple[Layer, float | None]]) -> dict[str, Cost]:
    """Unit costs of every good and output in one pass. ``direct`` must be in order, inputs first; a good's price
    of None leaves it unpriced."""
    costs: dict[str, Cost] = {}
    for good, (layer, price) in goods.items():
        columns = [0.0, 0.0, 0.0, 0.0]
        if price is not None:
            columns[LAYERS.index(layer)] = price
        costs[good] = Cost((columns[0], columns[1], columns[2], columns[3]),
                           frozenset() if price is not None else frozenset({good}))  # fmt: skip
    for output, carried in direct.items():
        costs[output] = cost_of(carried.row, costs)
    return costs


def explode(direct: Mapping[str, Carried], goods: Iterable[str]) -> dict[str, Carried]:
    """Per unit of every output: how much of each bought good is in it, how much of that is lost on the way, and how
    much of it passed an assumed stage. A memo in an input counts whole where the input itself was lost."""
    bought = {good: Carried({good: 1.0}) for good in goods}
    out: dict[str, Carried] = dict(bought)
    for output, carried in direct.items():
        row: dict[str, float] = {}
        memos: tuple[dict[str, float], dict[str, float]] = ({}, {})
        for source, amount in carried.row.items():
            inner = out.get(source)
            if inner is None:
                continue
            for good, per_unit in inner.row.items():
                row[good] = row.get(good, 0.0) + amount * per_unit
            for memo, own, below in (
                (memos[0], carried.lost, inner.lost),
                (memos[1], carried.assumed, inner.assumed),
            ):
                whole = own.get(source, 0.0)
                if whole:
                    for good, per_unit in inner.row.items():
                        memo[good] = memo.get(good, 0.0) + whole * per_unit
                if below:
                    for good, per_unit in below.items():
                        memo[good] = memo.get(good, 0.0) + (amount - whole) * per_unit
        out[output] = Carried(row, memos[0], memos[1])
    return out
