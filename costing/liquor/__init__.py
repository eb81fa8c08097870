"""The physics of house-made liquids: volumes, infusion, distillation. Floats only; no money, no records.

Everywhere: kg, litres at 20 C, C, mbar absolute, ABV and ABW as fractions 0..1, Brix as % of the mass.
What lies outside a formula's range raises ValueError with the value and the range; nothing is clamped.
"""

from costing.liquor.density import abv_from_abw, abw_from_abv, density
from costing.liquor.infusion import Infusion, Solid, infuse
from costing.liquor.liquid import Liquid
from costing.liquor.proofing import blend_to_abv, dilute_to_brix, proof_down
from costing.liquor.still import Run, distil
from costing.liquor.sucrose import brix_from_gravity, rho_water_wide, sucrose_density
from costing.liquor.vle import bubble_point

__all__ = [
    "Infusion",
    "Liquid",
    "Run",
    "Solid",
    "abv_from_abw",
    "abw_from_abv",
    "blend_to_abv",
    "brix_from_gravity",
    "bubble_point",
    "density",
    "dilute_to_brix",
    "distil",
    "infuse",
    "proof_down",
    "rho_water_wide",
    "sucrose_density",
]
