"""Ways of stating how much alcohol there is: grams, standard drinks, litres of pure alcohol, proof.

Volumes are litres at 20 C and ABV is a fraction at 20 C unless said otherwise. US proof and proof gallons are at
60 F (27 CFR 19.1), the change of temperature by OIML R 22. What a standard drink weighs is the house's to say.
"""

from __future__ import annotations

from costing.liquor.density import ETHANOL_20, abv_from_abw, abw_from_abv, density, density_20
from costing.liquor.guards import above_zero, not_negative, within
from costing.liquor.liquid import Liquid
from costing.liquor.roots import root

SIXTY_F = (60.0 - 32.0) / 1.8  # C
US_GALLON = 3.785411784  # L
_ETHANOL_60F = density(1.0, SIXTY_F)


def ethanol_grams(litres: float, abv: float) -> float:
    """Grams of ethanol in `litres` (0 or more) of the given ABV."""
    return lpa(litres, abv) * ETHANOL_20


def standard_drinks(litres: float, abv: float, grams: float) -> float:
    """Standard drinks of `grams` of ethanol each (above 0) in `litres` of the given ABV."""
    above_zero("grams in a standard drink", grams)
    return ethanol_grams(litres, abv) / grams


def lpa(litres: float, abv: float) -> float:
    """Litres of pure alcohol at 20 C in `litres` (0 or more) of the given ABV (0..1)."""
    not_negative("litres", litres)
    within("ABV as a fraction", abv, 0.0, 1.0)
    return litres * abv


def us_proof(abv: float) -> float:
    """US proof, 0..200: twice the % vol that the same spirit has at 60 F. abv: at 20 C, 0..1."""
    w = abw_from_abv(abv)
    return 200.0 * w * density(w, SIXTY_F) / _ETHANOL_60F


def abv_from_us_proof(proof: float) -> float:
    """ABV at 20 C of a spirit of the given US proof (0..200); the inverse of `us_proof`."""
    within("US proof", proof, 0.0, 200.0)
    target = proof / 200.0 * _ETHANOL_60F
    return abv_from_abw(
        root(lambda w: w * density(w, SIXTY_F) - target, 0.0, 1.0, f_low=-target, f_high=_ETHANOL_60F - target)
    )


def proof_gallons(litres: float, abv: float) -> float:
    """US proof gallons in `litres` (at 20 C, 0 or more) of the given ABV (at 20 C).

    One is a US gallon at 60 F that holds half its volume of ethanol. For duty, follow the official gauging tables.
    """
    not_negative("litres", litres)
    w = abw_from_abv(abv)
    gallons = litres * density_20(w) / density(w, SIXTY_F) / US_GALLON
    return gallons * us_proof(abv) / 100.0


def litres_from_proof_gallons(gallons: float, abv: float) -> float:
    """Litres at 20 C of spirit of the given ABV (above 0) that hold so many proof gallons (0 or more)."""
    not_negative("proof gallons", gallons)
    above_zero("ABV as a fraction", abv)
    return gallons / proof_gallons(1.0, abv)


def old_uk_proof(abv: float) -> float:
    """Degrees of the proof once used in Britain: 7/4 of the % vol, so that 100 degrees are 57.14 % vol.

    By law proof spirit weighed 12/13 of as much water at 51 F, which is 57.145 % vol at 20 C; the fraction is the
    rule of thumb of labels, 0.003 % vol off.
    """
    within("ABV as a fraction", abv, 0.0, 1.0)
    return 175.0 * abv


def abv_from_old_uk_proof(degrees: float) -> float:
    """ABV of a spirit of so many old British degrees proof (0..175); the inverse of `old_uk_proof`."""
    within("degrees proof", degrees, 0.0, 175.0)
    return degrees / 175.0


def apparent_abv(liquid: Liquid) -> float:
    """The ABV (fraction) that an alcoholmeter at 20 C would show in this liquid.

    It reads density through the ethanol-water table, so dissolved solids make it read low. ValueError when the density
    is outside the table, 789.239 (ethanol) to 998.201 kg/m3 (water): the meter sinks past or floats off its
    scale. Never a way to find the strength of a sweetened drink.
    """
    rho = liquid.density
    if liquid.solids == 0.0:
        return liquid.abv
    water = density_20(0.0)
    within("density in kg/m3", rho, ETHANOL_20, water)
    w = root(lambda v: density_20(v) - rho, 0.0, 1.0, f_low=water - rho, f_high=ETHANOL_20 - rho)
    return abv_from_abw(w)
