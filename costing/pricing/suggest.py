"""Suggested prices: a target, the house's price points, the next lower one, and what it gives away.

Order: cost, net the target needs, all-in, the first price point at or above it. Percentages stand on the net price.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from costing.book.levies import Levy, Policy, PricePoints
from costing.pricing.levies import Number, all_in, decimal, net_of

SLACK = Decimal("1e-9")
"""A price this little above a point is that point: costs are computed in float64."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """One printable price: all-in, the net it leaves, pour cost (None at a net of 0) and margin in money (at most,
    where a component has no price)."""

    all_in: Decimal
    net: Decimal
    pour_cost: Decimal | None
    margin: Decimal


@dataclass(frozen=True, slots=True)
class Suggestion:
    """``needed_net`` and ``needed_all_in`` meet the target exactly; ``at`` is the price point that protects it;
    ``lower`` the next one below (None at the least price) and ``gives_away`` the margin lost there per drink."""

    cost: Decimal
    policy: Policy
    needed_net: Decimal
    needed_all_in: Decimal
    at: Candidate
    lower: Candidate | None
    gives_away: Decimal | None


def pour_cost(cost: Number, net: Number) -> Decimal | None:
    """Cost as a fraction of the net price; None where there is no price."""
    return decimal(cost) / decimal(net) if net else None


def margin(cost: Number, net: Number) -> Decimal:
    """Contribution margin in money: net less cost."""
    return decimal(net) - decimal(cost)


def _fits(price: Decimal, points: PricePoints) -> bool:
    return price >= points.least and (not points.endings or price % 1 in points.endings)


def next_point(price: Number, points: PricePoints) -> Decimal:
    """The lowest price point at or above ``price`` (1e-9 of slack). ValueError for a negative price."""
    wanted = max(decimal(price), points.least)
    if decimal(price) < 0:
        raise ValueError(f"a price of {price} must not be negative")
    count = max(Decimal(0), ((wanted - SLACK) / points.step).to_integral_value(ROUND_CEILING))
    while not _fits(count * points.step, points):
        count += 1
    return count * points.step


def point_below(price: Decimal, points: PricePoints) -> Decimal | None:
    """The highest price point below ``price``, above zero; None where there is none."""
    count = (price / points.step).to_integral_value(ROUND_CEILING) - 1
    while count > 0 and count * points.step >= points.least:
        if _fits(count * points.step, points):
            return count * points.step
        count -= 1
    return None


def candidate(cost: Number, price: Decimal, levies: Sequence[Levy]) -> Candidate:
    """What a printed price leaves."""
    net = net_of(price, levies)
    return Candidate(price, net, pour_cost(cost, net), margin(cost, net))


def suggest(cost: Number, policy: Policy, levies: Sequence[Levy], points: PricePoints) -> Suggestion:
    """The price point that meets the target for a cost in money. ValueError for a negative cost."""
    spent = decimal(cost)
    if spent < 0:
        raise ValueError(f"a cost of {cost} must not be negative")
    value = decimal(policy.value)
    net = {"pour_cost": spent / value, "margin": spent + value, "multiplier": spent * value}[policy.kind]
    wanted = all_in(net, levies)
    at = candidate(spent, next_point(wanted, points), levies)
    below = point_below(at.all_in, points)
    lower = None if below is None else candidate(spent, below, levies)
    return Suggestion(spent, policy, net, wanted, at, lower, None if lower is None else at.margin - lower.margin)


def break_even_volume(net_from: Number, net_to: Number, cost: Number) -> Decimal | None:
    """Change in volume, as a fraction, at which a move from one net price to another leaves the same margin:
    -dp / (margin + dp). None when either price leaves no margin: then no volume makes them equal."""
    old, new = margin(cost, net_from), margin(cost, net_to)
    return old / new - 1 if old > 0 and new > 0 else None
