"""Where the vapour of a run goes: receiver, film on coil and glass, or out through the pump."""

from __future__ import annotations

from dataclasses import dataclass

from costing.liquor.liquid import Liquid, volume_of
from costing.liquor.rayleigh import Pot
from costing.liquor.vle import ETHANOL_MOLAR, WATER_MOLAR, partial_pressures

CONDENSES_BELOW = 0.8  # of the still's pressure; nearer to it a coil lets the vapour through

_Pair = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Condenser:
    """Shares out what has left the pot. Masses in kg as (ethanol, water), pressures in mbar.

    charge: what the pot began with. pressure: of the still. holdup: kg of film. coolant: C, None if unknown.
    vent: mol of gas that leaves saturated with vapour at the coolant's temperature.
    """

    charge: Liquid
    pressure: float
    holdup: float
    coolant: float | None
    vent: float

    def vapour(self, pot: Pot) -> _Pair:
        """Kilograms of ethanol and water that left the charge. Never below the noise of a difference."""
        ethanol, water = pot.masses()
        return max(0.0, self.charge.ethanol - ethanol), max(0.0, self.charge.water - water)

    def share_out(self, pot: Pot) -> tuple[_Pair, _Pair, _Pair]:
        """(receiver, film, vented), (ethanol, water) in kg each; negative where losses exceed the vapour."""
        ethanol, water = self.vapour(pot)
        mass = ethanol + water
        if mass <= 0.0:
            return (0.0, 0.0), (0.0, 0.0), (0.0, 0.0)
        film = (self.holdup * ethanol / mass, self.holdup * water / mass)
        gone = (0.0, 0.0)
        if self.vent > 0.0:
            over = self._over_condensate(pot)
            room = self.pressure - sum(over)
            if room <= 0.0:
                return (-mass, -mass), film, (ethanol, water)
            gone = (
                self.vent * over[0] / room * ETHANOL_MOLAR / 1000.0,
                self.vent * over[1] / room * WATER_MOLAR / 1000.0,
            )
        return (ethanol - film[0] - gone[0], water - film[1] - gone[1]), film, gone

    def collected(self, pot: Pot) -> float:
        """Litres at 20 C in the receiver; while losses still take everything, minus the kilograms missing."""
        if sum(self.vapour(pot)) <= 0.0:
            return -self.holdup
        (ethanol, water), _, _ = self.share_out(pot)
        if ethanol < 0.0 or water < 0.0:
            return min(ethanol, water)
        return volume_of(ethanol, water, 0.0)

    def refuse_if_warm(self, pot: Pot) -> None:
        """ValueError when the mean condensate would evaporate again at the coolant's temperature."""
        if self.coolant is None or sum(self.vapour(pot)) <= 0.0:
            return
        limit = CONDENSES_BELOW * self.pressure
        over = sum(self._over_condensate(pot))
        if over >= limit:
            raise ValueError(
                f"coolant_t is {self.coolant!r} C, the condensate's vapour pressure there {over:.1f} mbar; "
                f"accepted: a coolant that keeps it below {limit:.1f} mbar"
            )

    def _over_condensate(self, pot: Pot) -> _Pair:
        ethanol, water = self.vapour(pot)
        moles = ethanol / ETHANOL_MOLAR, water / WATER_MOLAR
        return partial_pressures(moles[0] / sum(moles), self.coolant if self.coolant is not None else 0.0)
