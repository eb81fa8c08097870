"""Why: the trail from a figure down to the suppliers' lines it stands on."""

from collections.abc import Iterator
from dataclasses import dataclass

from costing.book.records import Quote
from costing.ledger.costs import Cost
from costing.ledger.reckon import Reckoning
from costing.ledger.rows import Carried, Row

LONGEST = 10_000
"""A trail of more rows than this is cut; a house's own drink has some dozens."""


@dataclass(frozen=True, slots=True)
class Reason:
    """One row of a trail: ``amount`` base units of ``source`` cost ``money``; ``quote`` where it is bought.

    ``amount`` is per one of what the trail explains, so the money of the rows at one depth below a row add up to
    that row's. ``problem`` is "unpriced" or "unknown" where the trail ends without money.
    """

    depth: int
    source: str
    amount: float
    base: str
    unit_cost: Cost
    money: float
    quote: Quote | None = None
    problem: str = ""


def why(reckoning: Reckoning, carried: Carried) -> Iterator[Reason]:
    """The trail below a row of amounts, depth first, in the order things went in."""
    stack: list[tuple[int, str, float]] = _below(carried.row, 1.0, 1)
    for _ in range(LONGEST):
        if not stack:
            return
        depth, source, amount = stack.pop()
        cost = reckoning.costs.get(source)
        unit = reckoning.units.get(source)
        base = unit.base if unit else ""
        if cost is None:
            yield Reason(depth, source, amount, base, Cost((0.0, 0.0, 0.0, 0.0)), 0.0, problem="unknown")
            continue
        price = reckoning.prices.get(source)
        bought = source in reckoning.view.goods
        yield Reason(
            depth,
            source,
            amount,
            base,
            cost,
            amount * cost.making,
            price.quote if price else None,
            "unpriced" if bought and price is None else "",
        )
        if source in reckoning.direct:
            stack += _below(reckoning.direct[source].row, amount, depth + 1)


def _below(row: Row, factor: float, depth: int) -> list[tuple[int, str, float]]:
    return [(depth, source, amount * factor) for source, amount in reversed(list(row.items()))]
