"""Which of the prices beside a catalogue line is the price, which are for larger quantities, and which are others."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from costing.book.records import Break
from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.readers.xml_safe import Element
from costing.supply.readers.xml_values import NOTHING, Amount, amount_at, between, day_at, plainly, text_at

WITH_TAX, ON_APPLICATION, OLD = "AAB", "AAN", "AAL"
"""UNCL 5387: AAB the price includes tax, AAN on application, AAL the old one beside AAK, the new one."""
Doubts = tuple[Doubt, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One RequiredItemLocationQuantity with one of its prices. ``kind`` is its PriceType, ``place`` where it holds."""

    least: Amount = NOTHING
    most: Amount = NOTHING
    price: Amount = NOTHING
    base: Amount = NOTHING
    factor: Amount = NOTHING
    kind: str = ""
    place: str = ""
    since: date | None = None
    until: date | None = None
    element: Element = None
    doubts: Doubts = ()

    @property
    def said(self) -> str:
        """The price as it would be told: amount, currency, and what sets it apart."""
        apart = [self.kind, self.place, self.least.text and f">= {self.least.text}"]
        days = between(*(day.isoformat() if day else "" for day in (self.since, self.until)))
        return " ".join(text for text in (self.price.text, self.price.unit, *apart, days) if text)


def asked_of(line: Element) -> list[Asked]:
    """Every price of a catalogue line, in its order."""
    return [one for place in line.iterfind("RequiredItemLocationQuantity") for one in _asked(place)]


def _asked(element: Element) -> Iterator[Asked]:
    place = " ".join(
        text for path in ("CityName", "CountrySubentity", "CountrySubentityCode", "Country/IdentificationCode", "ID")
        if (text := text_at(element, f"ApplicableTerritoryAddress/{path}"))
    )  # fmt: skip
    least, most = amount_at(element, "MinimumQuantity"), amount_at(element, "MaximumQuantity")
    prices: list[Element | None] = list(element.iterfind("Price"))
    for price in prices or [None]:
        since, wrong = day_at(price, "ValidityPeriod/StartDate")
        until, more = day_at(price, "ValidityPeriod/EndDate")
        yield Asked(
            least=least, most=most, price=amount_at(price, "PriceAmount"), base=amount_at(price, "BaseQuantity"),
            factor=amount_at(price, "OrderableUnitFactorRate"), kind=text_at(price, "PriceType", "PriceTypeCode"),
            place=place, since=since, until=until, element=element, doubts=(*wrong, *more),
        )  # fmt: skip


def chosen(found: Sequence[Asked], day: date | None) -> tuple[Asked, list[Asked], list[Asked]]:
    """(the price, those for larger quantities, the others). ``found`` has at least one.

    An old price gives way to a new one; of several the one for the least quantity, for no place in particular, and
    valid on ``day``, else from the earliest day on.
    """
    alive = [one for one in found if one.kind != OLD] or list(found)

    def rank(one: Asked) -> tuple[Decimal, bool, bool, date]:
        least = one.least.value if one.least.value is not None else Decimal(0)
        current = day is None or ((one.since or day) <= day <= (one.until or day))
        return max(least, Decimal(1)), bool(one.place), not current, one.since or date.min

    first = min(alive, key=rank)
    rest = [one for one in found if one is not first]
    larger = [one for one in rest if _is_larger(one, first)]
    return first, larger, [one for one in rest if one not in larger]


def _is_larger(one: Asked, first: Asked) -> bool:
    """Whether it is the same price for a larger quantity: same kind, place, days and basis."""
    least = one.least.value
    same = (one.kind, one.place, one.since, one.until, one.price.unit, one.base.value, one.base.unit) == (
        first.kind, first.place, first.since, first.until, first.price.unit, first.base.value, first.base.unit,
    )  # fmt: skip
    return same and least is not None and least > (first.least.value or Decimal(0)) and least > 1


def breaks_of(
    larger: Sequence[Asked], first: Asked, packs: Decimal | None, base: Decimal, unit: str
) -> tuple[tuple[Break, ...], Doubts]:
    """Quantity breaks in packs, at prices for ``base`` of something of which ``packs`` make a pack: None where that is
    not known, and then the breaks are told and not taken."""
    out: list[Break] = []
    doubts: list[Doubt] = []
    for one in sorted(larger, key=lambda asked: asked.least.value or Decimal(0)):
        foreign = bool(one.least.unit and unit and one.least.unit != unit)
        if one.price.value is None or one.least.value is None or packs is None or foreign or one.kind == ON_APPLICATION:
            doubts.append(doubt("break-unit", "price", price=one.said))
        elif out and out[-1].packs == one.least.value:
            doubts.append(doubt("other-price", "price", price=one.said))
        else:
            out.append(Break(packs=one.least.value, price=one.price.value * packs / base))
    if out and first.most.value is not None and first.most.value >= out[0].packs:
        doubts.append(doubt("break-overlaps", "price", most=first.most.text, least=plainly(out[0].packs)))
    return tuple(out), tuple(doubts)
