"""The arithmetic of EN 16931, worked again: what a document states beside what its parts make, as doubts.

Nothing here changes a figure. A price is what its element says, however badly the rest adds up.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from costing.book.money import rounded
from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.line import Part
from costing.supply.packs.codes import minor_digits, unit_of_code
from costing.supply.readers.xml_values import Amount, plainly

CENTS = Decimal("0.02")
"""How far a stated line may lie from the worked one: rule PEPPOL-EN16931-R120."""
_WHOLE = frozenset({"HUF"})
"""Money with a minor unit in ISO 4217 that nobody pays with any more; common practice, no source."""
_UNTAXED = frozenset({"E", "Z", "O", "AE", "K", "G"})
"""UNCL 5305: categories whose rate is nothing whether or not it is stated."""
_RATE = r"([0-9]{1,2}(?:[.,][0-9]{1,2})?) ?%"
_TAX = r"(?:vat|mwst|ust|umsatzsteuer|mehrwertsteuer|tva|iva|btw|moms|gst|tax)\b"
_NOTE_RATE = re.compile(rf"\b{_TAX}[^.;%]{{0,20}}?{_RATE}|{_RATE}[^.;%]{{0,12}}?\b{_TAX}", re.IGNORECASE)
_NOTE_NONE = re.compile(
    r"reverse[ -]charge|autoliquidation|inversione contabile|steuerschuldnerschaft|btw verlegd|omvendt betalingspligt"
    r"|(?:no|without|ohne|sans|senza|sin) (?:vat|mwst|ust|umsatzsteuer|tva|iva)\b|(?:vat|tax)[ -](?:free|exempt)",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Charged:
    """A charge or an allowance with the tax group that it belongs to."""

    part: Part
    category: str = ""
    percent: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Billed:
    """What the sums need of one line: its stated net (None where it states none) and its tax group."""

    total: Decimal | None
    category: str
    percent: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """One VAT breakdown (BG-23): taxable amount BT-116, tax BT-117, category BT-118, rate BT-119."""

    taxable: Decimal | None
    tax: Decimal | None
    category: str
    percent: Decimal | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Totals:
    """The document totals BG-22: BT-106 to BT-110 and BT-112 to BT-115."""

    lines: Decimal | None = None
    allowances: Decimal | None = None
    charges: Decimal | None = None
    exclusive: Decimal | None = None
    tax: Decimal | None = None
    inclusive: Decimal | None = None
    prepaid: Decimal | None = None
    rounding: Decimal | None = None
    payable: Decimal | None = None


def places_of(currency: str) -> int:
    """Decimal places that amounts of a currency are rounded to; two for a code that ISO 4217 does not have."""
    if currency in _WHOLE:
        return 0
    try:
        return minor_digits(currency)
    except ValueError:
        return 2


def slack(currency: str) -> Decimal:
    """The tolerance of every check: two cents, or one unit of money that has no cents."""
    return CENTS if places_of(currency) else Decimal(1)


def line_doubts(
    *, price: Amount, base: Amount, quantity: Amount, parts: Iterable[Part], total: Amount, currency: str
) -> Iterator[Doubt]:
    """Line net BT-131 = round(price / base x quantity) + charges - allowances (BIS Billing 3, calculation of line net).

    Codes: "line-total", "base-suspect" (the base repeats the price, or the line only fits a base of one), "base-unit"
    (rule R130), "base-odd" (rule R121).
    """
    per = base.value if base.value is not None else Decimal(1)
    if per <= 0:
        yield doubt("base-odd", "price", base=plainly(per))
        return
    scale = _scale(quantity.unit, base.unit)
    if base.unit and quantity.unit and scale != 1:  # C62, H87 and EA are one unit
        yield doubt("base-unit", "price", base=base.unit, unit=quantity.unit)
    if price.value is None or quantity.value is None or total.value is None or scale is None:
        return
    added = sum((part.amount for part in parts), Decimal(0))
    places, near = places_of(currency), slack(currency)
    worked = rounded(price.value * quantity.value * scale / per, places) + added
    off = abs(worked - total.value) > near
    repeated = per != 1 and per == price.value
    fits_one = off and per != 1 and abs(rounded(price.value * quantity.value, places) + added - total.value) <= near
    if repeated or fits_one:
        yield doubt("base-suspect", "price", base=plainly(per), price=price.text)
    if off:
        yield doubt("line-total", "total", stated=total.text, worked=f"{worked:f}")


def _scale(quantity: str, base: str) -> Decimal | None:
    """Units of ``base`` in one of ``quantity``; None where they do not measure the same."""
    if not quantity or not base or quantity == base:
        return Decimal(1)
    one, other = unit_of_code(quantity), unit_of_code(base)
    if one is None or other is None or one.dim != other.dim or (one.dim == "package" and one.package != other.package):
        return None
    return one.factor / other.factor


def document_doubts(
    lines: Sequence[Billed], charged: Sequence[Charged], totals: Totals, groups: Sequence[Group], currency: str
) -> Iterator[Doubt]:
    """The document's totals (rules BR-CO-10 to BR-CO-16) and its tax by group (BR-S-08 and its sisters, BR-CO-17)."""
    near = slack(currency)
    nets = [line.total for line in lines]
    added = sum((c.part.amount for c in charged if c.part.amount > 0), Decimal(0))
    taken = -sum((c.part.amount for c in charged if c.part.amount < 0), Decimal(0))
    zero = Decimal(0)
    tax = totals.tax if totals.tax is not None else zero
    known = [net for net in nets if net is not None]
    whole = sum(known, zero) if len(known) == len(nets) and nets else None
    checks: list[tuple[str, Decimal | None, Decimal | None]] = [
        ("BT-106", totals.lines, whole),
        ("BT-107", totals.allowances, taken),
        ("BT-108", totals.charges, added),
        ("BT-109", totals.exclusive, _sum(totals.lines if totals.lines is not None else whole, added - taken)),
        ("BT-112", totals.inclusive, _sum(totals.exclusive, tax)),
        ("BT-115", totals.payable, _sum(totals.inclusive, (totals.rounding or zero) - (totals.prepaid or zero))),
    ]
    for term, stated, worked in checks:
        if stated is not None and worked is not None and abs(stated - worked) > near:
            yield doubt("document-total", "", term=term, stated=f"{stated:f}", worked=f"{worked:f}")
    yield from _tax_doubts(lines, charged, totals, groups, currency)


def _sum(one: Decimal | None, other: Decimal) -> Decimal | None:
    return None if one is None else one + other


Key = tuple[str, Decimal]


def _key(category: str, percent: Decimal | None) -> Key:
    return category, (percent if percent is not None else Decimal(0)).normalize()


def _tax_doubts(
    lines: Sequence[Billed], charged: Sequence[Charged], totals: Totals, groups: Sequence[Group], currency: str
) -> Iterator[Doubt]:
    if not groups:
        return
    near, zero = slack(currency), Decimal(0)
    worked: dict[Key, Decimal] = {}
    parts = [(c.part.amount, c.category, c.percent) for c in charged]
    amounts = [*((line.total, line.category, line.percent) for line in lines), *parts]
    for amount, category, percent in amounts:
        if amount is not None:
            key = _key(category, percent)
            worked[key] = worked.get(key, zero) + amount
    complete = all(amount is not None and category for amount, category, _ in amounts) and bool(lines)
    stated: dict[Key, Decimal] = {}
    for group in groups:
        key = _key(group.category, group.percent)
        if group.taxable is None or (group.percent is None and group.category not in _UNTAXED):
            complete = False  # older documents state a group without its rate: nothing to check it by
            continue
        stated[key] = stated.get(key, zero) + group.taxable
        tax = rounded(group.taxable * key[1] / 100, places_of(currency))
        if group.tax is not None and abs(group.tax - tax) > near:
            yield _tax(key, "BT-117", group.tax, tax)
    for key in sorted({*worked, *stated}) if complete else ():
        if abs(stated.get(key, zero) - worked.get(key, zero)) > near:
            yield _tax(key, "BT-116", stated.get(key, zero), worked.get(key, zero))
    if totals.tax is not None and all(group.tax is not None for group in groups):
        together = sum((group.tax or zero for group in groups), zero)
        if abs(together - totals.tax) > near:
            yield _tax(("", zero), "BT-110", totals.tax, together)


def _tax(key: Key, term: str, stated: Decimal, worked: Decimal) -> Doubt:
    group = f"{key[0]} {plainly(key[1])} %".strip() if key[0] else ""
    return doubt("tax-total", "", term=term, group=group, stated=f"{stated:f}", worked=f"{worked:f}")


def note_doubts(notes: Iterable[str], groups: Sequence[Group]) -> Iterator[Doubt]:
    """A free text that contradicts the tax arithmetic: the arithmetic stands, and the text is shown.

    Only what can be checked: a rate of tax that no group has, and words for no tax where tax is charged.
    """
    rates = {(group.percent or Decimal(0)).normalize() for group in groups}
    taxed = any(group.tax for group in groups)
    for note in notes:
        for met in _NOTE_RATE.finditer(note):
            rate = Decimal((met[1] or met[2]).replace(",", "."))
            if groups and rate.normalize() not in rates:
                yield doubt("note-tax", "", note=note[:200], rates=", ".join(plainly(r) for r in sorted(rates)))
                break
        else:
            if taxed and len(rates) == 1 and _NOTE_NONE.search(note):
                yield doubt("note-tax", "", note=note[:200], rates=", ".join(plainly(r) for r in sorted(rates)))
