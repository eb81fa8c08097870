"""The figures of a menu's rows, exactly as they were given.

Shares and margins are compared as fractions: 55 of 629 (8.744 %) lies below 8.750 %, 210 of 3,000 is exactly 7 %, and
a float stands for the decimal number it is written as (4.85, and not the binary fraction nearest to it).
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import isfinite
from numbers import Integral, Rational
from typing import Literal

from costing.tongue import say

Number = int | float | Decimal | Fraction
ItemRow = tuple[str, Number, Number, Number]
"""(name, how many were sold, cost of one, net price of one)."""
Tie = Literal["high", "low"]
Unsold = Literal["counted", "left out"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """One row in exact figures."""

    name: str
    sold: Fraction
    cost: Fraction
    price: Fraction

    @property
    def margin(self) -> Fraction:
        """Contribution margin of one."""
        return self.price - self.cost


def exact(value: Number) -> Fraction:
    """The number as it is written. ValueError for what is none, or none that ends."""
    if isinstance(value, Rational | Integral):
        return Fraction(int(value.numerator), int(value.denominator))
    if isinstance(value, float | Decimal) and isfinite(value):
        return Fraction(value if isinstance(value, Decimal) else Decimal(repr(float(value))))
    raise ValueError(say("{value} is not a number", value=value))


def read_items(items: Iterable[ItemRow]) -> tuple[Given, ...]:
    """Rows in exact figures. ValueError names the row that has a figure below 0, or one that is no number."""
    return tuple(_read(*item) for item in items)


def _read(name: str, sold: Number, cost: Number, price: Number) -> Given:
    try:
        given = Given(name=name, sold=exact(sold), cost=exact(cost), price=exact(price))
    except ValueError as fault:
        raise ValueError(say("{name}: {fault}", name=name, fault=fault)) from None
    if given.sold < 0:
        raise ValueError(say("{name}: {value} sold cannot be, it must be 0 or more", name=name, value=sold))
    if given.cost < 0:
        raise ValueError(say("{name}: a cost of {value} must be 0 or more", name=name, value=cost))
    if given.price < 0:
        raise ValueError(say("{name}: a price of {value} must be 0 or more", name=name, value=price))
    return given


def known_cut(cut: Number) -> Fraction:
    """The popularity rule as a share of an equal share. ValueError where it is below 0 or no number."""
    found = exact(cut)
    if found < 0:
        raise ValueError(say("a popularity rule of {cut} must be 0 or more (0.7 is 70 %)", cut=cut))
    return found


def reaches(value: Fraction, cut: Fraction, tie: Tie) -> bool:
    """Whether a figure counts as high beside its cut; ``tie`` says what exactly as much counts as. ValueError for
    another tie rule."""
    if tie not in ("high", "low"):
        raise ValueError(say("a tie counts as high or low, not as “{tie}”", tie=tie))
    return value > cut or (value == cut and tie == "high")


def in_set(rows: Iterable[Given], unsold: Unsold) -> tuple[bool, ...]:
    """Which rows are counted among the n of the set. ValueError for another rule."""
    if unsold not in ("counted", "left out"):
        raise ValueError(say("drinks of which none was sold are counted or left out, not “{unsold}”", unsold=unsold))
    return tuple(unsold == "counted" or row.sold > 0 for row in rows)
