"""Arithmetic inside one line: what two columns say of one thing must agree, within the rounding of what is shown."""

import re
from decimal import Decimal

from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.line import Per
from costing.supply.columns.amounts import half_place, places_of
from costing.supply.columns.prices import unit_agrees
from costing.supply.columns.taxes import RATE_WITHIN, known_rate
from costing.supply.packs.record import Pack

_NUMBER = re.compile(r"\d+[.,]\d+")
_THOUSAND = Decimal(1000)
COARSE = Decimal("0.0005")
"""Share by which the price of a litre may be off: lists round it to five or ten cents (70.00 / 0.375 as 186.70)."""
SHOWN = 5
"""Significant digits of a figure that was worked out for a sentence."""


def _shown(value: Decimal) -> str:
    return f"{float(value):.{SHOWN}g}"


def unit_price(
    price: Decimal, each: Decimal, count: int | None, places: int, units: int | None = None
) -> tuple[Doubt, ...]:
    """Case price / pieces = price of one. A pack without a count is one piece. ``units``, where a column counts them,
    may be what the unit price is for: a bag of 500 straws and not one straw."""
    n = count or 1
    if any(unit_agrees(price, each, one, places) for one in (n, units) if one):
        return ()
    return (doubt("unit-price-differs", "price_each", price=price, each=each, count=n, worked=_shown(price / n)),)


def measure_price(
    price: Decimal, stated: Decimal, pack: Pack, per: Per, base: Decimal, count: int | None, places: int
) -> tuple[Doubt, ...]:
    """Price / litres (or kilograms) = the stated price of one; a content that was rounded is known by it."""
    wanted = {"l": "ml", "kg": "g"}.get(per)
    if pack.total is None or not pack.total or (wanted is not None and pack.unit != wanted) or pack.unit == "each":
        return ()
    per_one = stated / base
    slack = max(half_place(max(places_of(stated), places)), abs(stated) * COARSE) / base
    measures = pack.total / _THOUSAND
    within = slack + half_place(max(places_of(price), places)) / measures
    if abs(price / measures - per_one) <= within:
        return ()
    implied = _rounded_content(price, per_one, slack, pack, count or 1)
    if implied is not None:
        return (doubt("content-rounded", "content", stated=pack.text, worked=f"{implied:f} {pack.unit}", price=stated),)
    return (
        doubt("litre-price-differs", "price_measure", price=price, stated=stated,
        worked=_shown(price / measures * base), pack=pack.text),
    )  # fmt: skip


def _rounded_content(price: Decimal, per_one: Decimal, slack: Decimal, pack: Pack, count: int) -> Decimal | None:
    """The content that the measure's price implies, in the pack's unit, if it rounds to the one that is written: 0,38
    and a litre price that is that of 0.375."""
    if pack.content is None or per_one <= slack:
        return None
    low, high = (price / (per_one + sign * slack) / count * _THOUSAND for sign in (1, -1))
    for number in _NUMBER.findall(pack.text):
        written = Decimal(number.replace(",", "."))
        if not written:
            continue
        half = half_place(places_of(written)) * pack.content / written
        if low <= pack.content + half and high >= pack.content - half:
            return _roundest(max(low, pack.content - half), min(high, pack.content + half))
    return None


def _roundest(low: Decimal, high: Decimal) -> Decimal:
    """The number with the fewest digits between two."""
    middle = (low + high) / 2
    for places in range(-3, 4):
        shown = middle.quantize(Decimal(1).scaleb(-places))
        if low <= shown <= high:
            return shown + 0
    return middle


def line_total(quantity: Decimal, price: Decimal, base: Decimal, total: Decimal, places: int) -> tuple[Doubt, ...]:
    """Quantity x price = total, within the rounding of the price and of the total."""
    worked = quantity * price / base
    slack = half_place(max(places_of(total), places)) + abs(quantity) * half_place(max(places_of(price), places)) / base
    if abs(worked - total) <= slack:
        return ()
    return (doubt("total-differs", "total", quantity=quantity, price=price, total=total, worked=_shown(worked)),)


def gross_price(net: Decimal, gross: Decimal, rate: Decimal | None) -> tuple[Doubt, ...]:
    """Gross / net = 1 + rate within half a percent; a known rate where none is stated. A gross that is smaller by a
    rate is no gross."""
    if net <= 0:
        return ()
    ratio = gross / net
    if gross > 0 and gross < net and known_rate(net / gross) is not None:
        return (doubt("net-gross-swapped", "tax", net=net, gross=gross),)
    if rate is not None and abs(ratio / (1 + rate) - 1) <= RATE_WITHIN:
        return ()
    if rate is None and known_rate(ratio) is not None:
        return ()
    return (doubt("gross-differs", "gross", net=net, gross=gross),)


def price_basis(per: Per, pack: Pack | None) -> tuple[Doubt, ...]:
    """A price for a kilogram or litre of what is packed in pieces, or measured otherwise: the price's own basis counts,
    and somebody has to say what one piece weighs."""
    if per not in ("kg", "l") or pack is None or (pack.unit is None and not pack.levels):
        return ()
    if pack.unit == ("g" if per == "kg" else "ml"):
        return ()
    return (doubt("price-of-a-kilogram" if per == "kg" else "price-of-a-litre", "price", pack=pack.text),)
