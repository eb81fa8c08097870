"""What moved a cost between two days, in parts that add up to the difference.

The base, printed beside every bridge (``BASE``): a recipe's change is taken at the prices before, a price's change at
the recipe after; cost effect at the new amounts, as in a bridge of the margin. An item of a row that had no price or
was not made before has no base price: it is a line of its own at its new price. So with amounts q and prices p, before
0 and after 1: q1 p1 - q0 p0 = (q1 - q0) p0 + q1 (p1 - p0), applied at every row on the way down.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Literal

from costing.book.money import to_float
from costing.book.records import LAYERS, Layer
from costing.ledger.costs import NIL, Columns, Cost
from costing.ledger.prices import UnitPrice, landed
from costing.ledger.rows import Row
from costing.pricing.days_basis import TOP, Basis, layer_at

Why = Literal["quote", "rate", "terms", "priced", "no-price", "recipe", "follows", "begins", "ends"]
Base = Literal["prices-at-new-recipe"]
BASE: Base = "prices-at-new-recipe"


@dataclass(frozen=True, slots=True)
class Took:
    """One input whose amount changed in a row: base units before and after per unit of the row, and the money that
    this makes in one unit of the item. ``own_line`` when it had no price before and so stands at its new one."""

    source: str
    before: float
    after: float
    columns: Columns
    own_line: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """One part of a difference: ``columns`` of money by layer in one unit of the item.

    ``why``: "quote" another quote costs a good; "rate" the currency of the same quote is worth something else;
    "terms" the house's recovery of purchase tax changed; "priced" a good got its first price and "no-price" it lost
    its last; "recipe" a version changed; "follows" a row changed because something it takes did (a stronger
    distillate takes more water); "begins" and "ends" the item was not costed before or is not now. ``source`` is the
    good, preparation, by-product or serve; ``amount`` its base units in one unit of the item after; ``since`` the
    versions' first days.
    """

    why: Why
    source: str
    columns: Columns
    amount: float = 1.0
    before: UnitPrice | None = None
    after: UnitPrice | None = None
    since: tuple[date | None, date | None] = (None, None)
    took: tuple[Took, ...] = ()

    @property
    def making(self) -> float:
        """Money of all layers."""
        return sum(self.columns)

    def of(self, layers: tuple[Layer, ...]) -> float:
        """Money of some layers."""
        return sum(self.columns[LAYERS.index(layer)] for layer in layers)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bridge:
    """From one day to another. The columns of ``moves`` add up to ``after`` less ``before``.

    ``layers`` are the cost base's before and after; ``rebased`` is what another choice of layers does to the base cost
    at the old cost, so that the base cost moves by ``rebased`` and every move's money of the later layers.
    """

    item: str
    day_a: date
    day_b: date
    before: Cost | None
    after: Cost | None
    layers: tuple[tuple[Layer, ...], tuple[Layer, ...]]
    moves: tuple[Move, ...]

    @property
    def difference(self) -> Columns:
        """Money by layer, after less before; nothing stands for a cost that is not there."""
        a, b = self.before or Cost(NIL), self.after or Cost(NIL)
        return _less(b.columns, a.columns)

    @property
    def rebased(self) -> float:
        """What the change of layers alone does to the base cost."""
        before, (old, new) = self.before or Cost(NIL), self.layers
        return before.of(new) - before.of(old)

    @property
    def base_difference(self) -> float:
        """Base cost after, by the later layers, less base cost before, by the earlier ones."""
        a, b = self.before or Cost(NIL), self.after or Cost(NIL)
        return b.of(self.layers[1]) - a.of(self.layers[0])


def bridge(a: Basis, b: Basis, day_a: date | None = None) -> Bridge:
    """What moved an item's cost from basis ``a`` to ``b``; ``day_a`` is the day to name for a."""
    moves: tuple[Move, ...] = ()
    if a.cost is None and b.cost is not None:
        moves = (Move(why="begins", source=a.item, columns=b.cost.columns, since=(None, b.first_day)),)
    elif a.cost is not None and b.cost is None:
        moves = (Move(why="ends", source=a.item, columns=_less(NIL, a.cost.columns), amount=0.0),)
    elif a.cost is not None:
        amounts, recipes = _recipes(a, b)
        moves = (*recipes, *_prices(a, b, amounts))
    return Bridge(
        item=a.item,
        day_a=day_a or a.day,
        day_b=b.day,
        before=a.cost,
        after=b.cost,
        layers=(a.terms.base, b.terms.base),
        moves=moves,
    )


def _recipes(a: Basis, b: Basis) -> tuple[dict[str, float], list[Move]]:
    """Rows that changed, at the prices before; and how much of each source, with a price or not, then is to be
    re-priced: what stands as a line of its own at its new price is not."""
    amounts: dict[str, float] = {TOP: 1.0}
    moves: list[Move] = []
    for name in reversed(b.rows):  # consumers first
        if name not in amounts:
            continue
        whole, old, new = amounts[name], a.rows.get(name, {}), b.rows[name]
        took = [] if old is new else _took(a, b, old, new, whole)
        own_line = {t.source for t in took if t.own_line}
        for source, amount in new.items():
            if source not in own_line:
                amounts[source] = amounts.get(source, 0.0) + whole * amount
        since = a.since(name), b.since(name)
        if took or since[0] != since[1]:
            moves.append(
                Move(
                    why="recipe" if since[0] != since[1] else "follows",
                    source=name or b.item,
                    columns=_sum(t.columns for t in took),
                    amount=whole,
                    since=since,
                    took=tuple(took),
                )
            )
    return amounts, moves


def _took(a: Basis, b: Basis, old: Row, new: Row, whole: float) -> list[Took]:
    out: list[Took] = []
    for source in {**old, **new}:
        before, after = old.get(source, 0.0), new.get(source, 0.0)
        if source in old and source in new and before == after:
            continue
        own_line = source not in old and not _based(a, source)
        price, amount = (b, after) if own_line else (a, after - before)
        cost = price.reckoning.costs.get(source) or Cost(NIL)
        out.append(Took(source, before, after, _times(cost.columns, whole * amount), own_line))
    return out


def _based(a: Basis, source: str) -> bool:
    """Whether something had a price, or was made, before."""
    if source in a.view.goods:
        return source in a.reckoning.prices
    return source in a.reckoning.costs


def _prices(a: Basis, b: Basis, amounts: dict[str, float]) -> list[Move]:
    """Goods whose price changed, at the recipe after; what the house's tax recovery did stands apart, at the new
    quote. A good without a price on either day counts nothing on that day, and says so."""
    out: list[Move] = []
    for good in (g for g in amounts if g in b.view.goods):
        before, after, amount = a.price(good), b.price(good), amounts[good]
        column, move = layer_at(b.view, good), Move(why="quote", source=good, columns=NIL, amount=amount)
        if before is None or after is None:
            price = -before.per_base if before else after.per_base if after else 0.0
            if before is not None or after is not None:
                out.append(_priced(move, "no-price" if before else "priced", column, price, before, after))
            continue
        between = _at_terms(after, a)
        if before.quote.id != after.quote.id:
            out.append(_priced(move, "quote", column, between - before.per_base, before, after))
        elif before.rate != after.rate:
            out.append(_priced(move, "rate", column, between - before.per_base, before, after))
        if between != after.per_base:
            out.append(_priced(move, "terms", column, after.per_base - between, before, after))
    return out


def _at_terms(price: UnitPrice, a: Basis) -> float:
    """A price's quote under the tax recovery of basis ``a``, per base unit."""
    return to_float(landed(price.quote, a.view.terms, price.rate)[0]) / price.content


def _priced(move: Move, why: Why, column: int, by: float, before: UnitPrice | None, after: UnitPrice | None) -> Move:
    columns = [0.0, 0.0, 0.0, 0.0]
    columns[column] = move.amount * by
    return Move(
        why=why,
        source=move.source,
        columns=(columns[0], columns[1], columns[2], columns[3]),
        amount=move.amount,
        before=before,
        after=after,
    )


def _sum(parts: Iterable[Columns]) -> Columns:
    a = b = c = d = 0.0
    for w, x, y, z in parts:
        a, b, c, d = a + w, b + x, c + y, d + z
    return a, b, c, d


def _less(one: Columns, other: Columns) -> Columns:
    return one[0] - other[0], one[1] - other[1], one[2] - other[2], one[3] - other[3]


def _times(columns: Columns, factor: float) -> Columns:
    return columns[0] * factor, columns[1] * factor, columns[2] * factor, columns[3] * factor
