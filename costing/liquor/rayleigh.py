"""The pot of a simple still and its way down: Rayleigh's equation in moles of vapour."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import log, pow
from typing import Self

from costing.liquor.liquid import Liquid
from costing.liquor.roots import root
from costing.liquor.vle import BOIL_T_RANGE, ETHANOL_MOLAR, WATER_MOLAR, boil, first_guess

SUCROSE_MOLAR = 342.2965  # g/mol, the stand-in for whatever is dissolved
DRY = 1e-3  # share of the volatile moles at which a flask counts as boiled dry
LONGEST = 0.5  # of an e-fold, well inside where the method is stable
HOTTEST = BOIL_T_RANGE[1]


@dataclass(frozen=True, slots=True)
class Pot:
    """What is in the pot and how it boils. volatile, ethanol, inert: mol (volatile includes ethanol).

    ln_p: log of the pressure in mbar. t: boiling temperature in C. y: mole fraction of ethanol in the vapour.
    """

    volatile: float
    ethanol: float
    inert: float
    ln_p: float
    t: float
    y: float

    @classmethod
    def boiling(cls, volatile: float, ethanol: float, inert: float, ln_p: float, guess: float) -> Self:
        """The pot with its boiling point solved, starting from a guess in C."""
        # Inert moles dilute both volatiles alike: the pair boils as if at a higher pressure.
        effective = ln_p + log(1.0 + inert / volatile)
        t, y = boil(ethanol / volatile, effective, guess)
        return cls(volatile, ethanol, inert, ln_p, t, y)

    @classmethod
    def charged(cls, charge: Liquid, pressure_mbar: float) -> Self:
        """The pot at the start of a run."""
        ethanol = 1000.0 * charge.ethanol / ETHANOL_MOLAR
        volatile = ethanol + 1000.0 * charge.water / WATER_MOLAR
        inert = 1000.0 * charge.solids / SUCROSE_MOLAR
        ln_p = log(pressure_mbar)
        return cls.boiling(volatile, ethanol, inert, ln_p, first_guess(ethanol / volatile, ln_p))

    def masses(self) -> tuple[float, float]:
        """Kilograms of ethanol and water in the pot."""
        water = max(0.0, self.volatile - self.ethanol)  # pure ethanol: a difference of equals
        return self.ethanol * ETHANOL_MOLAR / 1000.0, water * WATER_MOLAR / 1000.0

    def after(self, vapour: float) -> Pot:
        """The pot once `vapour` mol more have left it: one Runge-Kutta step of fourth order."""
        n, e, half = self.volatile, self.ethanol, 0.5 * vapour
        second = self._vapour_of(e - half * self.y, n - half)
        third = self._vapour_of(e - half * second, n - half)
        fourth = self._vapour_of(e - vapour * third, n - vapour)
        left = e - vapour * (self.y + 2.0 * second + 2.0 * third + fourth) / 6.0
        return Pot.boiling(n - vapour, min(left, n - vapour), self.inert, self.ln_p, self.t)

    def _vapour_of(self, ethanol: float, volatile: float) -> float:
        x = min(1.0, ethanol / volatile)  # x = 1 exactly may round to above it
        return boil(x, self.ln_p + log(1.0 + self.inert / volatile), self.t)[1]


def march(pot: Pot, gap: Callable[[Pot], float], steps: int) -> Pot:
    """The pot where `gap` (negative at the start) reaches zero, or the last pot if it never does.

    `steps`: steps to an e-fold of the pot's ethanol or of its moles, whichever falls faster. The step that
    crosses zero is taken again with the length that meets it. The way ends at a dry flask or at the hottest
    pot, whose step is solved too.
    """
    dry = DRY * pot.volatile
    charged = pot.ethanol
    behind = gap(pot)
    while True:
        full = _step(pot, charged, steps)
        length = min(full, pot.volatile - dry)
        ahead = pot.after(length)
        last = length < full
        if ahead.t > HOTTEST:
            length = _length_to(pot, _heat, length, _heat(pot), _heat(ahead))
            ahead, last = pot.after(length), True
        now = gap(ahead)
        if now >= 0.0:
            return pot.after(_length_to(pot, gap, length, behind, now))
        if last:
            return ahead
        pot, behind = ahead, now


def _step(pot: Pot, charged: float, steps: int) -> float:
    """Moles of vapour in the next step."""
    if pot.ethanol <= 0.0:
        return LONGEST * pot.volatile
    # A step's error goes with its fifth power times the ethanol still there, so steps may grow as that goes.
    folds = min(LONGEST, pow(charged / pot.ethanol, 0.2) / steps)
    return folds * pot.volatile / max(1.0, pot.y * pot.volatile / pot.ethanol)


def _length_to(pot: Pot, gap: Callable[[Pot], float], longest: float, behind: float, now: float) -> float:
    return root(lambda h: gap(pot.after(h)), 0.0, longest, f_low=behind, f_high=now)


def _heat(pot: Pot) -> float:
    return pot.t - HOTTEST
