"""Two figures of one thing: whether they agree, and what they prove together."""

import re
from decimal import Decimal

from costing.supply.arriving.doubt import doubt
from costing.supply.packs.record import Pack
from costing.supply.packs.sane import plain
from costing.supply.packs.tokens import Term
from costing.supply.packs.vocabulary import FLUID_OUNCE

AGREE = Decimal("0.015")
"""Two sizes of one thing agree within this share: 12 fl oz is 355 ml but for 0.04 %, 1/6 barrel 5.16 gal but for 0.1 %;
a US fluid ounce and an imperial one are 4 % apart."""
_PRICED = re.compile(r"\s*([0-9]+[.,][0-9]+)\s*;\s*([0-9]+[.,][0-9]{2})\s*;\s*([0-9]+[.,][0-9]{2})\s*")


def alike(one: Decimal, two: Decimal) -> bool:
    """Whether two figures agree within ``AGREE``."""
    return abs(one - two) <= AGREE * max(one, two)


def as_fluid(one: Term, two: Term) -> None:
    """Read ounces beside millilitres as fluid ones where the two then agree: "12oz (355ml)"."""
    for ounce, other in ((one, two), (two, one)):
        if ounce.noun is not None and ounce.noun.name == "oz" and other.unit == "ml" and ounce.unit == "g":
            fluid = ounce.value / ounce.noun.factor * FLUID_OUNCE.factor
            if alike(fluid, other.value):
                ounce.value, ounce.unit, ounce.doubts = other.value, "ml", []


def by_litre_price(text: str) -> Pack | None:
    """ "0,75;151,90;202,50": size, price and price a litre, which prove each other; None for any other text.

    A size of two decimals may be rounded (0,38 for 0.375 l): what the litre price comes to says which it is.
    """
    found = _PRICED.fullmatch(text)
    if found is None:
        return None
    size, price, litre = (Decimal(found[n].replace(",", ".")) for n in (1, 2, 3))
    if not size or not price or not litre or not alike(price / size, litre):
        return Pack(text=text, doubts=(doubt("unit-missing", "pack", value=found[1]),))
    known = [s for s in (size, Decimal("0.375"), Decimal("0.187")) if abs(s - size) < Decimal("0.006")]
    litres = min(known, key=lambda s: abs(price / s - litre))
    content = plain(litres * 1000)
    told = doubt("size-by-litre-price", "pack", value=found[1], litre=found[3])
    return Pack(text=text, content=content, unit="ml", total=content, doubts=(told,), span=found.span(1))
