"""The physics of house-made liquids: volumes, infusion, distillation, carbonation, ice, syrups, acids, measures.

Floats only; no money, no records. Everywhere: kg, litres at 20 C, C, mbar absolute (bar for CO2), ABV and ABW as
fractions 0..1, Brix as % of the mass. What lies outside a formula's range raises ValueError with the value and the
range; nothing is clamped.
"""

from costing.liquor.acids import EQUIVALENTS, acid_to_add, as_citric, equivalent, from_citric
from costing.liquor.at_temperature import litres_at, litres_at_20
from costing.liquor.carbonation import (
    GasUsed,
    co2_compressibility,
    co2_from_volumes,
    co2_gas_grams,
    co2_pressure,
    co2_solubility,
    co2_used,
    co2_volumes,
)
from costing.liquor.density import abv_from_abw, abw_from_abv, density
from costing.liquor.ice import IceBalance, ice_dilution, ice_heat_balance, liquidus
from costing.liquor.infusion import Infusion, Solid, infuse
from costing.liquor.juice import JUICE_DENSITY, juice_bound, rcf, rpm_for_rcf
from costing.liquor.liquid import Liquid
from costing.liquor.measures import (
    abv_from_old_uk_proof,
    abv_from_us_proof,
    apparent_abv,
    ethanol_grams,
    litres_from_proof_gallons,
    lpa,
    old_uk_proof,
    proof_gallons,
    standard_drinks,
    us_proof,
)
from costing.liquor.proofing import blend_to_abv, dilute_to_brix, proof_down
from costing.liquor.still import Run, distil
from costing.liquor.sucrose import brix_from_gravity, rho_water_wide, sucrose_density
from costing.liquor.syrup import (
    brix_of_ratio,
    litres_per_kg_sugar,
    ratio_of_brix,
    saturated,
    sucrose_solubility,
    sugar_g_per_l,
    sugar_to_add,
    water_to_add,
    weight_ratio,
)
from costing.liquor.vapours import flash_point, lean_limit_ratio, room_ppm
from costing.liquor.vle import bubble_point

__all__ = [
    "EQUIVALENTS",
    "JUICE_DENSITY",
    "GasUsed",
    "IceBalance",
    "Infusion",
    "Liquid",
    "Run",
    "Solid",
    "abv_from_abw",
    "abv_from_old_uk_proof",
    "abv_from_us_proof",
    "abw_from_abv",
    "acid_to_add",
    "apparent_abv",
    "as_citric",
    "blend_to_abv",
    "brix_from_gravity",
    "brix_of_ratio",
    "bubble_point",
    "co2_compressibility",
    "co2_from_volumes",
    "co2_gas_grams",
    "co2_pressure",
    "co2_solubility",
    "co2_used",
    "co2_volumes",
    "density",
    "dilute_to_brix",
    "distil",
    "equivalent",
    "ethanol_grams",
    "flash_point",
    "from_citric",
    "ice_dilution",
    "ice_heat_balance",
    "infuse",
    "juice_bound",
    "lean_limit_ratio",
    "liquidus",
    "litres_at",
    "litres_at_20",
    "litres_from_proof_gallons",
    "litres_per_kg_sugar",
    "lpa",
    "old_uk_proof",
    "proof_down",
    "proof_gallons",
    "ratio_of_brix",
    "rcf",
    "rho_water_wide",
    "room_ppm",
    "rpm_for_rcf",
    "saturated",
    "standard_drinks",
    "sucrose_density",
    "sucrose_solubility",
    "sugar_g_per_l",
    "sugar_to_add",
    "us_proof",
    "water_to_add",
    "weight_ratio",
]
