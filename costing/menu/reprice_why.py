"""Why an aim is out of reach: how far one can get, and which kind of limit stands in the way."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, Decimal

from costing.book.levies import PricePoints
from costing.menu.reprice_model import Choosing, TimeUp, enough, most_net, net_sales
from costing.menu.reprice_points import NONE, allowed, around, choices, stopped
from costing.menu.reprice_record import Family, Limits, Pair, PriceRow, Relaxed, Totals

NUMBER: frozenset[Family] = frozenset({"number"})
MILLIONTH = Decimal("0.000001")


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """Everything that a repricing was asked: lines, what their net sales must come to, points, limits, size order."""

    rows: Sequence[PriceRow]
    needed: Decimal
    points: PricePoints
    limits: Limits
    pairs: Sequence[Pair]

    @property
    def cost(self) -> Decimal:
        """What all drinks sold cost, whatever they are sold at."""
        return sum((row.sold * row.cost for row in self.rows), Decimal(0))

    def choosing(self, lifted: frozenset[Family] = NONE, *, needed: Decimal | None = None) -> Choosing:
        """The choice to be made, with some kinds of limit lifted."""
        pairs = () if "order" in lifted else self.pairs
        return Choosing(
            rows=self.rows, choices=choices(self.rows, self.points, self.limits, pairs, lifted), pairs=pairs,
            at_most=None if "number" in lifted else self.limits.at_most, needed=needed,
        )  # fmt: skip

    def totals(self, prices: Sequence[Decimal]) -> Totals:
        """Net sales and cost at these prices."""
        return Totals(net=net_sales(self.rows, prices), cost=self.cost)

    def reached(self, prices: Sequence[Decimal] | None) -> bool:
        """Whether these prices bring what is needed."""
        return prices is not None and net_sales(self.rows, prices) >= enough(self.rows, self.needed)

    def stopped(self, prices: Sequence[Decimal]) -> list[frozenset[Family]]:
        """What keeps each line from its next price point up."""
        at = {row.key: price for row, price in zip(self.rows, prices, strict=True)}
        above: dict[str, list[Decimal]] = {}
        for larger, smaller in self.pairs:
            above.setdefault(smaller, []).append(at[larger])
        moved = sum(row.price != at[row.key] for row in self.rows)
        full = self.limits.at_most is not None and moved >= self.limits.at_most
        out: list[frozenset[Family]] = []
        for row in self.rows:
            found = stopped(row, at[row.key], self.points, self.limits, above.get(row.key, ()))
            waits = full and row.price == at[row.key] and not row.held
            out.append(found | NUMBER if waits else found)
        return out


def relaxed(asked: Asked, prices: Sequence[Decimal], until: float, told: Callable[[], None]) -> tuple[Relaxed, ...]:
    """What lifting each kind of limit that is there would do, each alone. ``prices`` are the furthest that can be
    reached; ``told`` is called before each. Kinds that the time does not last for are left out."""
    at, own = asked.stopped(prices), asked.choosing().choices
    out = []
    for family in _there(asked):
        told()
        freed = asked.choosing(frozenset({family})).choices
        keys = tuple(
            row.key
            for row, why, now, then in zip(asked.rows, at, own, freed, strict=True)
            if family in why or (then and not now)
        )
        try:
            out.append(_relaxed(asked, family, keys, until))
        except TimeUp:
            break
    return tuple(out)


def _there(asked: Asked) -> list[Family]:
    limits = asked.limits
    found: dict[Family, bool] = {
        "rise": limits.rise is not None or limits.rise_money is not None,
        "bounds": any(row.least is not None or row.most is not None for row in asked.rows if not row.held),
        "held": any(row.held for row in asked.rows),
        "order": bool(asked.pairs),
        "number": limits.at_most is not None,
        "reductions": not limits.reductions,
        "points": True,
    }
    return [family for family, there in found.items() if there]


def _relaxed(asked: Asked, family: Family, keys: tuple[str, ...], until: float) -> Relaxed:
    prices = most_net(asked.choosing(frozenset({family})), until)
    reaches = asked.reached(prices)
    needs: Decimal | None = None
    if reaches and family == "number":
        counts = [Decimal(n) for n in range(1, len(asked.rows) + 1)]
        needs = _least(counts, lambda n: _with(asked, replace(asked.limits, at_most=int(n)), until))
    if reaches and family == "rise":
        needs = _least(_rises(asked), lambda r: _with(asked, replace(asked.limits, rise=r, rise_money=None), until))
    return Relaxed(
        family=family, after=None if prices is None else asked.totals(prices), reaches=reaches, needs=needs, keys=keys
    )


def _with(asked: Asked, limits: Limits, until: float) -> bool:
    other = replace(asked, limits=limits)
    return asked.reached(most_net(other.choosing(), until))


def _rises(asked: Asked) -> list[Decimal]:
    """Every rise, as a fraction (to a millionth, up), that some line would take if nothing limited rises."""
    found = {
        (price / row.price - 1).quantize(MILLIONTH, ROUND_CEILING)
        for row in asked.rows
        if row.price and not row.held
        for price in around(row.price, asked.points, asked.limits.within)
        if price > row.price and allowed(row, price, asked.limits, frozenset({"rise"}))
    }
    return sorted(found)


def _least(values: Sequence[Decimal], reaches: Callable[[Decimal], bool]) -> Decimal | None:
    """The least of rising values with which the aim is reached; None where it is with none."""
    low, high = 0, len(values)
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if reaches(values[middle]) else (middle + 1, high)
    return values[low] if low < len(values) else None
