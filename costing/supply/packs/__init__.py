"""Numbers, packs and codes as suppliers write them, each read with what is doubted of it."""

from costing.supply.packs.codes import currency_of_text, gtin14, gtin_ok, minor_digits, unit_of_code
from costing.supply.packs.marks import Mark, column_mark, mark_by_products
from costing.supply.packs.numbers import Number, parse_number, read_number
from costing.supply.packs.pack import parse_pack
from costing.supply.packs.parts import pack_of_parts
from costing.supply.packs.record import Pack
from costing.supply.packs.sane import plausible
from costing.supply.packs.unece import UnitCode
from costing.supply.packs.words import PACK_DOUBTS

__all__ = [
    "PACK_DOUBTS",
    "Mark",
    "Number",
    "Pack",
    "UnitCode",
    "column_mark",
    "currency_of_text",
    "gtin14",
    "gtin_ok",
    "mark_by_products",
    "minor_digits",
    "pack_of_parts",
    "parse_number",
    "parse_pack",
    "plausible",
    "read_number",
    "unit_of_code",
]
