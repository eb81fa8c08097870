"""How much of an ingredient is needed: read as typed, and what stands there while nobody typed."""

from collections.abc import Mapping
from decimal import ROUND_DOWN, ROUND_HALF_UP, Decimal

from costing.book.book import View
from costing.book.fact import NUMBER, parse_fact
from costing.book.money import exact
from costing.book.problem import problem
from costing.book.records import BaseUnit
from costing.ledger.prices import UnitPrice, price_of_quote
from costing.ledger.reckon import Reckoning
from costing.ledger.unit import Unbridged, Unit, amount_in_base
from costing.supply.buying.index import Usage
from costing.supply.plan.effect import MONTH
from costing.tongue import numeral, say
from ui.fault import Refusal
from ui.where import said_of

UNITS: Mapping[BaseUnit, str] = {"kg": "kg", "l": "l", "each": "pc", "h": "h", "kwh": "kWh"}
"""Base units as they are typed."""
SMALL: Mapping[BaseUnit, str] = {"kg": "g", "l": "ml"}
"""Thousandths of them."""


def read_need(text: str, good: str, unit: Unit, view: View, names: Mapping[str, str]) -> Decimal:
    """Base units of an amount as typed; a bare number is in base units. ValueError for what is no amount, is nothing,
    or cannot be brought to base units."""
    work = text.strip()
    if NUMBER.fullmatch(work.removeprefix("~").strip()):
        work = f"{work} {UNITS[unit.base]}"
    fact = parse_fact(work)
    try:
        value = amount_in_base(fact, unit, view.measures).value
    except Unbridged as gap:
        odd = problem(gap.code, f"good/{good}", source=good, **gap.detail)
        raise Refusal(
            said_of(odd, names), "", say("Write it like {example}.", example=f"5 {UNITS[unit.base]}")
        ) from gap
    if not value > 0:
        raise Refusal(say("“{text}” is not more than nothing.", text=text), "", say("Write how much is needed."))
    return Decimal(f"{value:.12g}")  # what a float adds beyond twelve digits is noise


def need_text(amount: Decimal, base: BaseUnit, *, down: bool = False) -> str:
    """An amount above nothing as somebody would type it, in round figures: "42.1 kg". ``down`` never rounds up."""
    unit, value = UNITS[base], amount
    if value < 1 and base in SMALL:
        unit, value = SMALL[base], 1000 * value
    places = 0 if value >= 100 else 1 if value >= 10 else 2
    way = ROUND_DOWN if down else ROUND_HALF_UP
    shown = value.quantize(Decimal(1).scaleb(-places), way)
    while not shown:
        places += 1
        shown = value.quantize(Decimal(1).scaleb(-places), way)
    figure = f"{shown:f}"
    if "." in figure:
        figure = figure.rstrip("0").rstrip(".")
    return f"{numeral(figure)} {unit}"


def a_month_of(usage: Usage, good: str) -> Decimal | None:
    """Base units of a good, as it is bought, that a month takes at the sales of a period; None where they took none."""
    amount = usage.amounts.get(good, 0.0) * MONTH / usage.period.days
    return exact(amount) if amount > 0 else None


def one_pack(reckoning: Reckoning, good: str) -> Decimal | None:
    """Base units in a pack of the first quote that counts; None where none does."""
    unit = reckoning.units.get(good)
    if unit is None:
        return None
    for quote in reckoning.view.offers(good):
        price = price_of_quote(reckoning.view, quote, unit)
        if isinstance(price, UnitPrice):
            return Decimal(f"{price.content:.12g}")
    return None
