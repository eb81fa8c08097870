"""Taxes and service on the sale, in the order they are added, and the prices a house is willing to print."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

Base = Literal["net", "running"]
PolicyKind = Literal["pour_cost", "margin", "multiplier"]


@dataclass(frozen=True, slots=True)
class Levy:
    """A tax or service charge: ``rate`` as a fraction (0.10 is 10 %).

    ``on`` is what it is added to: the net price alone, or the running total with every earlier levy.
    ``kept`` means that the house keeps it as revenue (a service charge not passed on).
    """

    name: str
    rate: Decimal
    on: Base = "net"
    kept: bool = False

    def __post_init__(self) -> None:
        if not 0 <= self.rate < 1:
            raise ValueError(f"levy {self.name!r}: the rate {self.rate} must lie from 0 to below 1 (0.10 is 10 %)")


@dataclass(frozen=True, slots=True)
class Policy:
    """How a price is aimed at: a pour cost (0.20 is 20 % of net), a margin in money, or a multiple of cost."""

    kind: PolicyKind
    value: Decimal

    def __post_init__(self) -> None:
        low, high = (Decimal(0), Decimal(1)) if self.kind == "pour_cost" else (Decimal(0), Decimal("1e6"))
        if not low < self.value <= high:
            raise ValueError(f"a target {self.kind} of {self.value} must lie above {low} and at most {high}")


@dataclass(frozen=True, slots=True)
class PricePoints:
    """Prices the house prints: multiples of ``step``, and of those only the given ``endings`` if there are any.

    An ending is the part below one whole unit of money: 0.50, 0.90. ``least`` is the lowest price printed.
    """

    step: Decimal = Decimal("0.50")
    endings: tuple[Decimal, ...] = ()
    least: Decimal = Decimal(0)

    def __post_init__(self) -> None:
        if not Decimal("0.001") <= self.step <= 1000:
            raise ValueError(f"a price step of {self.step} must lie from 0.001 to 1000")
        if any(not 0 <= e < 1 for e in self.endings):
            raise ValueError(f"price endings {self.endings} must lie from 0 to below 1")
        if self.endings and not any(self.step * n % 1 in self.endings for n in range(1001)):
            raise ValueError(f"no multiple of {self.step} ends in {', '.join(map(str, self.endings))}")
