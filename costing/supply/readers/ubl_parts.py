"""What UBL documents have in common: parties, items, charges and allowances, taxes, totals."""

from collections.abc import Iterator
from decimal import Decimal

from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.line import Part
from costing.supply.readers.xml_lines import Ids
from costing.supply.readers.xml_packs import PackSaid
from costing.supply.readers.xml_safe import Element
from costing.supply.readers.xml_sorts import RETURNABLE, is_deposit
from costing.supply.readers.xml_sums import CENTS, Charged, Group, Totals
from costing.supply.readers.xml_values import Amount, amount_at, flag_at, plainly, text_at, texts_at

_PARTIES = ("Party", ".")
_NAMES = ("PartyLegalEntity/RegistrationName", "PartyName/Name", "PartyTaxScheme/RegistrationName", "Contact/Name")
_NUMBERS = ("PartyTaxScheme/CompanyID", "PartyLegalEntity/CompanyID", "PartyIdentification/ID", "EndpointID")


def party_at(root: Element, *paths: str) -> tuple[str, str]:
    """(name, number) of the first party with a name: its registered name BT-27 before its trade name BT-28, its
    tax number BT-31 before others."""
    number = ""
    for path in paths:
        for found in root.iterfind(path):
            for inner in _PARTIES:
                party = found.find(inner)
                name = text_at(party, *_NAMES)
                number = number or _number(party)
                if name:
                    return name, _number(party)
    return "", number


def _number(party: Element | None) -> str:
    if party is None:
        return ""
    for scheme in party.iterfind("PartyTaxScheme"):
        if text_at(scheme, "TaxScheme/ID").upper() == "VAT" and (number := text_at(scheme, "CompanyID")):
            return number
    return text_at(party, *_NUMBERS)


def ids_of(item: Element | None) -> Ids:
    """The numbers of an Item."""
    standard = item.find("StandardItemIdentification/ID") if item is not None else None
    scheme = (standard.get("schemeID") or "").strip() if standard is not None else ""
    return Ids(
        seller=text_at(item, "SellersItemIdentification/ID"),
        buyer=text_at(item, "BuyersItemIdentification/ID"),
        maker=text_at(item, "ManufacturersItemIdentification/ID"),
        standard=text_at(item, "StandardItemIdentification/ID"),
        scheme=scheme,
        others=(
            *texts_at(item, "CatalogueItemIdentification/ID"),
            *texts_at(item, "AdditionalItemIdentification/ID"),
        ),
    )


def names_of(item: Element | None) -> tuple[str, str]:
    """(name, description): the description stands in for a name that is missing."""
    description = " ".join(texts_at(item, "Description"))
    name = text_at(item, "Name") or description or text_at(item, "ModelName", "AdditionalInformation")
    return name, description if description != name else ""


def properties_of(item: Element | None) -> tuple[tuple[str, str], ...]:
    """AdditionalItemProperty BG-32 as (label, value), with a value's unit behind it."""
    if item is None:
        return ()
    found = []
    for one in item.iterfind("AdditionalItemProperty"):
        value = text_at(one, "Value") or " ".join(texts_at(one, "ValueQualifier"))
        quantity = amount_at(one, "ValueQuantity")
        if quantity.text:
            value = f"{quantity.text} {quantity.unit}".strip() if not value else f"{value} {quantity.unit}".strip()
        label = text_at(one, "Name", "NameCode")
        if label or value:
            found.append((label, value))
    return tuple(found)


def pack_said(item: Element | None, line: Element | None = None) -> PackSaid:
    """The pack elements of an Item, and of a catalogue line."""
    return PackSaid(
        below=amount_at(item, "PackQuantity"), units=amount_at(item, "PackSizeNumeric"),
        content=amount_at(line, "ContentUnitQuantity"), level=text_at(line, "PackLevelCode"),
    )  # fmt: skip


def tax_of(*elements: Element | None) -> tuple[str, Amount]:
    """(category code BT-151, rate BT-152) of the first element that has a tax category; VAT goes before other taxes."""
    for element in elements:
        if element is None:
            continue
        kinds = [*element.iterfind("ClassifiedTaxCategory"), *element.iterfind("TaxTotal/TaxSubtotal/TaxCategory"),
                 *element.iterfind("ApplicableTaxCategory"), *element.iterfind("TaxCategory")]  # fmt: skip
        kinds.sort(key=lambda kind: text_at(kind, "TaxScheme/ID").upper() not in ("VAT", ""))
        for kind in kinds:
            percent = amount_at(kind, "Percent")
            if percent.text or text_at(kind, "ID"):
                return text_at(kind, "ID"), percent
    return "", Amount()


def charges_of(element: Element) -> Iterator[tuple[Charged, tuple[Doubt, ...]]]:
    """The charges (positive) and allowances (negative) directly in an element, each with its doubts."""
    for one in element.iterfind("AllowanceCharge"):
        amount, doubts = share_of(
            amount_at(one, "Amount"), amount_at(one, "BaseAmount"), amount_at(one, "MultiplierFactorNumeric")
        )
        category, percent = tax_of(one)
        part, more = part_of(
            flag_at(one, "ChargeIndicator"), amount,
            " ".join(texts_at(one, "AllowanceChargeReason")), text_at(one, "AllowanceChargeReasonCode"),
        )  # fmt: skip
        yield Charged(part=part, category=category, percent=percent.value), (*doubts, *more)


def part_of(charge: bool | None, amount: Decimal, reason: str, code: str) -> tuple[Part, tuple[Doubt, ...]]:
    """A Part, negative for an allowance. Where nothing says which it is, it is taken for a charge and doubted."""
    word = reason or code or ("allowance" if charge is False else "charge")
    unsure = (doubt("charge-or-allowance", "", name=word, amount=plainly(amount)),) if charge is None else ()
    deposit = code.upper() == RETURNABLE or is_deposit(reason)
    return Part(name=word, amount=-amount if charge is False else amount, code=code, deposit=deposit), unsure


def share_of(amount: Amount, base: Amount, factor: Amount) -> tuple[Decimal, tuple[Doubt, ...]]:
    """(the amount, doubts). EN 16931 writes a percentage (BT-138, 10 for 10 %), UBL itself a multiplier (0.10)."""
    worked = None
    if base.value is not None and factor.value is not None:
        worked = base.value * factor.value
    if amount.value is None:
        if worked is None:
            return Decimal(0), (doubt("part-missing", "", value=amount.text),)
        made = worked / 100
        return made, (doubt("part-worked", "", amount=plainly(made), base=base.text, factor=factor.text),)
    if worked is not None and min(abs(worked / 100 - amount.value), abs(worked - amount.value)) > CENTS:
        return amount.value, (doubt("part-share", "", amount=amount.text, base=base.text, factor=factor.text),)
    return amount.value, ()


def totals_of(root: Element, currency: str) -> tuple[Totals, tuple[Group, ...]]:
    """The document totals BG-22 and the VAT breakdown BG-23, those in the currency of the document."""
    money = next(
        (kid for name in ("LegalMonetaryTotal", "RequestedMonetaryTotal") if (kid := root.find(name)) is not None), None
    )
    taxes = list(root.iterfind("TaxTotal"))
    ours = [one for one in taxes if amount_at(one, "TaxAmount").unit in ("", currency)] if currency else taxes
    chosen = ours or taxes[:1]
    groups = tuple(group for one in chosen for group in _groups(one))
    amounts = [value for one in chosen if (value := amount_at(one, "TaxAmount").value) is not None]
    return Totals(
        lines=amount_at(money, "LineExtensionAmount").value,
        allowances=amount_at(money, "AllowanceTotalAmount").value,
        charges=amount_at(money, "ChargeTotalAmount").value,
        exclusive=amount_at(money, "TaxExclusiveAmount").value,
        tax=sum(amounts, Decimal(0)) if amounts else None,
        inclusive=amount_at(money, "TaxInclusiveAmount").value,
        prepaid=amount_at(money, "PrepaidAmount").value,
        rounding=amount_at(money, "PayableRoundingAmount").value,
        payable=amount_at(money, "PayableAmount").value,
    ), groups


def _groups(total: Element) -> Iterator[Group]:
    for one in total.iterfind("TaxSubtotal"):
        category, percent = tax_of(one)
        yield Group(
            taxable=amount_at(one, "TaxableAmount").value,
            tax=amount_at(one, "TaxAmount").value,
            category=category,
            percent=percent.value if percent.value is not None else amount_at(one, "Percent").value,
        )
