"""Matter: kilograms of ethanol, water, solubles, insolubles and gas. They add, and they close.

Two tracers ride along: acids (as citric) and SO2. They are part of what is dissolved and not counted again in the mass.
"""

from dataclasses import dataclass
from functools import cached_property

from costing.liquor import Liquid

ROUNDING = 1e-12
"""A difference of two equal sums may come out this far below zero, in kg; that is rounding and is taken as 0."""
PURE_ALCOHOL = Liquid(1.0, 0.0, 0.0).volume
"""Litres at 20 C of one kilogram of ethanol: the litres of pure alcohol (LPA) in it."""
COMPONENTS = ("ethanol", "water", "solubles", "insolubles", "gas")
TRACERS = ("acids", "so2")


@dataclass(frozen=True)
class Matter:
    """Masses in kg; never negative. ValueError names the component and the value."""

    ethanol: float = 0.0
    water: float = 0.0
    solubles: float = 0.0
    insolubles: float = 0.0
    gas: float = 0.0
    acids: float = 0.0
    so2: float = 0.0

    def __post_init__(self) -> None:
        if (
            self.ethanol >= 0.0
            and self.water >= 0.0
            and self.solubles >= 0.0
            and self.insolubles >= 0.0
            and self.gas >= 0.0
            and self.acids >= 0.0
            and self.so2 >= 0.0
        ):
            return
        for name in COMPONENTS + TRACERS:
            value = getattr(self, name)
            if not value >= 0.0:
                raise ValueError(f"{name} of {value} kg must not be negative")

    @cached_property
    def mass(self) -> float:
        """Total mass, kg; tracers are inside it already."""
        return self.ethanol + self.water + self.solubles + self.insolubles + self.gas

    @cached_property
    def liquid(self) -> Liquid:
        """The liquid part: everything but insolubles and gas."""
        return Liquid(self.ethanol, self.water, self.solubles)

    @cached_property
    def free(self) -> "Matter":
        """The liquid part as Matter: what can drain away. Acids and SO2 are dissolved in it."""
        return Matter(self.ethanol, self.water, self.solubles, acids=self.acids, so2=self.so2)

    def volume(self) -> float | None:
        """Litres at 20 C; None when only a weighing tells: insoluble solids in it, or more sugar than dissolves."""
        return self._volume

    @cached_property
    def _volume(self) -> float | None:
        if self.insolubles > ROUNDING:
            return None
        try:
            return self.liquid.volume
        except ValueError:
            return None

    @property
    def parts(self) -> tuple[float, ...]:
        """Ethanol, water, solubles, insolubles, gas and the tracers acids and SO2, in kg."""
        return self.ethanol, self.water, self.solubles, self.insolubles, self.gas, self.acids, self.so2

    @property
    def abv(self) -> float | None:
        """Strength as a fraction by volume, or None where there is no liquid volume."""
        return None if self.volume() is None or self.liquid.mass == 0 else self.liquid.abv

    @property
    def key(self) -> str:
        """The component a yield is stated in: ethanol where there is any, else solubles, else weight."""
        if self.ethanol > ROUNDING:
            return "ethanol"
        return "solubles" if self.solubles > ROUNDING else "mass"

    def amount(self, component: str) -> float:
        """Kilograms of one component, or of everything for "mass"."""
        return float(getattr(self, component))

    def __add__(self, other: "Matter") -> "Matter":
        return Matter(
            self.ethanol + other.ethanol,
            self.water + other.water,
            self.solubles + other.solubles,
            self.insolubles + other.insolubles,
            self.gas + other.gas,
            self.acids + other.acids,
            self.so2 + other.so2,
        )

    def __mul__(self, factor: float) -> "Matter":
        return Matter(
            self.ethanol * factor,
            self.water * factor,
            self.solubles * factor,
            self.insolubles * factor,
            self.gas * factor,
            self.acids * factor,
            self.so2 * factor,
        )

    __rmul__ = __mul__

    def less(self, part: "Matter") -> "Matter":
        """What stays when ``part`` leaves. ValueError when more leaves than there is, beyond rounding."""
        slack = ROUNDING * max(1.0, self.mass)
        rest = [mine - its for mine, its in zip(self.parts, part.parts, strict=True)]
        if min(rest) < -slack:
            n = rest.index(min(rest))
            raise ValueError(f"{-rest[n]:.6g} kg more {(COMPONENTS + TRACERS)[n]} leaves than there is")
        return Matter(*[r if r > 0.0 else 0.0 for r in rest])

    def split(self, share: float) -> tuple["Matter", "Matter"]:
        """(share of everything, the rest) with equal composition; the two add up to self."""
        if not 0.0 <= share <= 1.0:
            raise ValueError(f"a share of {share} must lie from 0 to 1")
        part = self * share
        return part, self.less(part)


NOTHING = Matter()


def of_liquid(liquid: Liquid) -> Matter:
    """The Matter of a Liquid."""
    return Matter(liquid.ethanol, liquid.water, liquid.solids)
