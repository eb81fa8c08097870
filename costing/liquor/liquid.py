"""A liquid as what it is made of: masses of ethanol, water and dissolved solids.

Masses add; volume, ABV and Brix are derived from them at 20 C whenever somebody asks.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Self

from costing.liquor.density import ETHANOL_20, WATER_20, abw_from_abv, density_20
from costing.liquor.guards import not_negative, within
from costing.liquor.roots import root
from costing.liquor.sucrose import SOLIDS_LIMIT, excess_over_water

# A difference of two kilograms of anything ends at about this much noise; more is a real negative.
ROUNDING_KG = 1e-12
_ROUNDING_SHARE = 1e-12  # so that exactly 85 Bx, through a division, is still 85 Bx
_SPECK_KG = 1e-15


def volume_of(ethanol: float, water: float, solids: float) -> float:
    """Litres at 20 C of the given kilograms; the unchecked inner form of `Liquid.volume`.

    Ethanol-water volume by OIML R 22, plus what the solids would add to the volume of the same water alone
    by ICUMSA SPS-4, both on the alcohol tables' water, so that the sum is exactly the ethanol-water volume
    without solids and exactly a sugar solution without ethanol. Own rule: about 0.05 % of volume below 30 %
    vol, 0.4 % at 40 % vol with 250 g/L. Raises ValueError when solids / (solids + water) is above 0.85.
    """
    mixed = ethanol + water
    litres = 1000.0 * mixed / density_20(ethanol / mixed) if mixed > 0.0 else 0.0
    if solids > 0.0:
        sweet = water + solids
        s = solids / sweet
        if s > SOLIDS_LIMIT + _ROUNDING_SHARE:
            raise ValueError(
                f"solids are {s!r} of solids and water together, which has no known volume; "
                f"accepted range 0 to {SOLIDS_LIMIT:g}"
            )
        litres += 1000.0 * (sweet / (WATER_20 + excess_over_water(s)) - water / WATER_20)
    return litres


@dataclass(frozen=True, slots=True)
class Liquid:
    """Kilograms of ethanol, water and dissolved solids (counted as sucrose), each 0 or more and finite.

    Two equal compositions are equal and hash alike. A component between -1e-12 and 0 kg, the noise of a
    difference, is stored as 0; anything more negative, infinite or NaN raises ValueError.
    Any composition can be held, dry sugar too; volume, ABV and density raise ValueError while
    solids / (solids + water) is above 0.85, where the solution's density is not known.
    """

    ethanol: float = 0.0
    water: float = 0.0
    solids: float = 0.0

    def __post_init__(self) -> None:
        for name in ("ethanol", "water", "solids"):
            value = getattr(self, name)
            if 0.0 <= value < float("inf"):
                continue
            if -ROUNDING_KG < value < 0.0:
                object.__setattr__(self, name, 0.0)
                continue
            raise ValueError(f"{name} is {value!r} kg; accepted range 0 and above, finite")

    @classmethod
    def spirit(cls, litres: float, abv: float) -> Self:
        """Unsweetened spirit: litres at 20 C (0 or more) of the given ABV (fraction 0..1)."""
        not_negative("litres", litres)
        w = abw_from_abv(abv)
        mass = litres * density_20(w) / 1000.0
        return cls(mass * w, mass * (1.0 - w), 0.0)

    @classmethod
    def pure_water(cls, kg: float) -> Self:
        """Water alone, in kg (0 or more)."""
        return cls(0.0, kg, 0.0)

    @classmethod
    def syrup(cls, kg: float, brix: float) -> Self:
        """Sugar and water: kg in all (0 or more), brix = solids in % of the mass, 0..100 (dry sugar)."""
        not_negative("kg", kg)
        within("Brix", brix, 0.0, 100.0)
        solids = kg * brix / 100.0
        return cls(0.0, kg - solids, solids)

    @classmethod
    def liqueur(cls, litres: float, abv: float, sugar_g_per_l: float) -> Self:
        """Sweetened spirit as labelled: litres at 20 C, ABV (fraction 0..1), grams of sugar in a litre.

        The water is solved so that the volume comes out. ValueError when sugar and ethanol leave no room
        for enough water (solids at most 0.85 of solids and water).
        """
        if sugar_g_per_l == 0.0:
            return cls.spirit(litres, abv)
        not_negative("litres", litres)
        within("ABV as a fraction", abv, 0.0, 1.0)
        not_negative("sugar in g/L", sugar_g_per_l)
        ethanol = abv * ETHANOL_20 / 1000.0
        solids = sugar_g_per_l / 1000.0
        # Never quite none, or the last bits of a vanishing sugar would decide.
        least = max(solids * (1.0 / SOLIDS_LIMIT - 1.0) * (1.0 + 1e-12), _SPECK_KG)

        def gap(water: float) -> float:
            return volume_of(ethanol, water, solids) - 1.0

        gap_least = gap(least)
        if gap_least > 0.0:
            raise ValueError(
                f"ABV {abv!r} with {sugar_g_per_l!r} g/L of sugar fills {1.0 + gap_least:.4f} L with the "
                "least water that dissolves it; accepted: a pair that fits into 1 L"
            )
        most = least + 1.1
        water = root(gap, least, most, f_low=gap_least, f_high=gap(most))
        return cls(litres * ethanol, litres * water, litres * solids)

    @property
    def mass(self) -> float:
        """Kilograms in all."""
        return self.ethanol + self.water + self.solids

    @property
    def volume(self) -> float:
        """Litres at 20 C (see `volume_of` for rule, error and the range that raises)."""
        return volume_of(self.ethanol, self.water, self.solids)

    @property
    def abv(self) -> float:
        """Ethanol volume over total volume at 20 C, a fraction 0..1; 0 for nothing at all."""
        if self.ethanol == 0.0:
            return 0.0
        return 1000.0 * self.ethanol / ETHANOL_20 / self.volume

    @property
    def brix(self) -> float:
        """True dissolved solids, % of the whole mass (not what a refractometer shows beside alcohol)."""
        mass = self.mass
        return 100.0 * self.solids / mass if mass > 0.0 else 0.0

    @property
    def density(self) -> float:
        """Density at 20 C in kg/m3, the unit of `density()`. ValueError for nothing at all."""
        volume = self.volume
        if volume <= 0.0:
            raise ValueError(f"the density of {self.mass!r} kg is not defined; accepted range above 0 kg")
        return 1000.0 * self.mass / volume

    def __add__(self, other: Liquid) -> Liquid:
        if not isinstance(other, Liquid):
            return NotImplemented
        return Liquid(self.ethanol + other.ethanol, self.water + other.water, self.solids + other.solids)

    def __sub__(self, other: Liquid) -> Liquid:
        """What is left when `other` leaves; ValueError if it held more of anything than there is."""
        if not isinstance(other, Liquid):
            return NotImplemented
        return Liquid(self.ethanol - other.ethanol, self.water - other.water, self.solids - other.solids)

    def __mul__(self, factor: float) -> Liquid:
        if not isinstance(factor, int | float):
            return NotImplemented
        return Liquid(self.ethanol * factor, self.water * factor, self.solids * factor)

    __rmul__ = __mul__
