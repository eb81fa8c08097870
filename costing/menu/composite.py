"""Break-even of a mix: how many composite units, so many of each drink, carry the fixed costs.

Source: OpenStax, Principles of Accounting, vol. 2, break-even of a mix of products.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from costing.tongue import say


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """So many of a drink in one composite unit, its net price and what varies with it, in money each."""

    name: str
    units: float
    net: float
    variable: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakEven:
    """One composite unit brings ``net``, takes ``variable`` and leaves ``margin``; ``units`` of them carry the fixed
    costs, ``each`` so many of each part, for ``sales`` of net money."""

    net: float
    variable: float
    units: float
    each: tuple[tuple[str, float], ...]

    @property
    def margin(self) -> float:
        """What one composite unit leaves."""
        return self.net - self.variable

    @property
    def sales(self) -> float:
        """Net sales at break-even."""
        return self.net * self.units


def composite_break_even(fixed: float, parts: Sequence[Part]) -> BreakEven:
    """How many composite units cover ``fixed`` costs. ValueError where a composite unit leaves nothing, and for fixed
    costs or units below nothing."""
    if fixed < 0 or any(p.units < 0 for p in parts):
        raise ValueError(say("fixed costs and units must be numbers from 0 on"))
    net, variable = sum(p.units * p.net for p in parts), sum(p.units * p.variable for p in parts)
    if net <= variable:
        raise ValueError(say("a mix that brings {net} and takes {cost} leaves nothing: no volume carries fixed costs",
                             net=f"{net:g}", cost=f"{variable:g}"))  # fmt: skip
    units = fixed / (net - variable)
    return BreakEven(net=net, variable=variable, units=units, each=tuple((p.name, units * p.units) for p in parts))
