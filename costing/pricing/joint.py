"""Shares of a joint cost: what a by-product takes with it, by one of four methods. The method is the house's policy.

A ``ByProduct`` stores the share as a number with its method and day, so that a price does not move it in silence; these
functions work the number out when somebody decides. IAS 2.14 asks for a rational and consistent basis, for example the
relative sales value, and lets an immaterial by-product be deducted at what it fetches.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

Method = Literal["physical", "split_off", "net_realisable", "constant_margin"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Product:
    """One thing that comes out of a joint stage: how much of it, what a unit is worth where it parts, what a unit of
    the finished thing sells for, how many of those there are, and what finishing all of them costs on top."""

    name: str
    amount: Decimal
    worth: Decimal = Decimal(0)
    sells: Decimal = Decimal(0)
    finished: Decimal = Decimal(0)
    finishing: Decimal = Decimal(0)

    @property
    def final(self) -> Decimal:
        """Final sales value of all of it."""
        return self.sells * self.finished


def joint_shares(products: Sequence[Product], method: Method, joint: Decimal = Decimal(0)) -> tuple[Decimal, ...]:
    """Shares of a joint cost, one a product, adding up to 1 but for the last digit of a division.

    ``joint``, the cost shared, is needed by "constant_margin" alone. ValueError where the method has nothing to go by:
    no amounts, no values, values below the cost of finishing, or a margin that leaves a product less than nothing.
    """
    if method == "constant_margin":
        return _constant_margin(products, joint)
    weights = [_weight(p, method) for p in products]
    whole = sum(weights, Decimal(0))
    if whole <= 0 or min(weights) < 0:
        raise ValueError(f"the {method} basis {[str(w) for w in weights]} must be 0 or more each and above 0 together")
    return tuple(w / whole for w in weights)


def _weight(product: Product, method: Method) -> Decimal:
    if method == "physical":
        return product.amount
    return product.amount * product.worth if method == "split_off" else product.final - product.finishing


def _constant_margin(products: Sequence[Product], joint: Decimal) -> tuple[Decimal, ...]:
    sales = sum((p.final for p in products), Decimal(0))
    if sales <= 0 or joint <= 0:
        raise ValueError(f"a constant margin needs sales and a joint cost above 0, not {sales} and {joint}")
    costs = joint + sum((p.finishing for p in products), Decimal(0))
    carried = [p.final * costs / sales - p.finishing for p in products]
    if min(carried) < 0:
        raise ValueError(f"a constant margin would leave {[str(c) for c in carried]}; accepted: 0 or more each")
    return tuple(c / joint for c in carried)


def avoided_credit(amount_used: Decimal, amount_made: Decimal, replacement: Decimal) -> Decimal:
    """What a by-product saves: the money of what would have been bought instead, for as much as is really used.

    ValueError for amounts or a price below 0.
    """
    if min(amount_used, amount_made, replacement) < 0:
        raise ValueError(f"amounts {amount_used}, {amount_made} and price {replacement} must be 0 or more")
    return min(amount_used, amount_made) * replacement
