"""The casks' invoice for one delivery, as UBL 2.1: cases and kegs, freight, an allowance, deposits and returned kegs.

It bills what the van brought on that day (``stock.delivered``) at the prices of the book, but for one that has risen.
"""

from dataclasses import dataclass, field
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from xml.sax.saxutils import escape

from sample_data import goods, stock
from sample_data.pricefiles import DESCRIBED
from sample_data.quotes import Offer

DAY = date(2026, 11, 17)
NUMBER = "RC-2026-4471"
RATE = Decimal("19")
DEARER = {"RC-201": Decimal("85.20")}
"""Billed above the quote of the day: worth a word with the supplier."""
SELLER = ("Ropewalk Casks", "Old Ropewalk 7", "Saltlantern Harbour", "XH100200300")
BUYER = ("Saltlantern Bar", "Lamp Quay 1", "Saltlantern Harbour", "XH400500600")
"""Name, street, town, tax number."""
NS = ('xmlns="urn:oasis:names:specification:ubl:schema:xsd:Invoice-2" '
      'xmlns:cac="urn:oasis:names:specification:ubl:schema:xsd:CommonAggregateComponents-2" '
      'xmlns:cbc="urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2"')  # fmt: skip


def cents(amount: Decimal) -> Decimal:
    """Rounded half up to the cent."""
    return amount.quantize(Decimal("0.01"), ROUND_HALF_UP)


@dataclass(frozen=True)
class Line:
    """One line: code ("" for a deposit), name, quantity in ``unit``, price of one, parts added and taken off."""

    code: str
    name: str
    quantity: int
    unit: str
    price: Decimal
    gtin: str = ""
    parts: tuple[tuple[bool, str, str, Decimal], ...] = field(default=())

    @property
    def net(self) -> Decimal:
        """Quantity times price, with charges, less allowances, each to the cent."""
        out = cents(self.price * self.quantity)
        for charge, _, _, amount in self.parts:
            out += amount if charge else -amount
        return out


def price_on(offer: Offer, day: date) -> Decimal:
    """The quote in force on a day; one that has ended gives way to the one before."""
    spans = [(*span.partition("/")[::2], price) for span, price in offer.prices]
    return Decimal(max(s for s in spans if s[0] <= day.isoformat() <= (s[1] or "9"))[2])


def lines() -> list[Line]:
    """What is billed."""
    out: list[Line] = []
    deposits: list[Line] = []
    for day, held, packs in stock.delivered():
        offer = held.offer
        if day != DAY or offer.supplier != goods.CASKS:
            continue
        unit = "XKG" if offer.good == "keg-lager" else "XCS" if offer.levels else "XBQ"
        price = DEARER.get(offer.code, price_on(offer, day))
        parts: list[tuple[bool, str, str, Decimal]] = []
        for charge in offer.more.get("charges", []):
            parts.append((True, "FC", charge["name"], cents(Decimal(charge["amount"]) * packs)))
        if offer.good == "white-wine":
            parts.append((False, "64", "House wine agreement, 2 %", cents(price * packs * Decimal("0.02"))))
        name, content = DESCRIBED[offer.code][0], DESCRIBED[offer.code][1].replace(" ", "")
        if offer.levels and name.endswith(content):
            name = f"{name.removesuffix(content)}{offer.levels[0]}x{content}"
        out.append(Line(offer.code, name, packs, unit, price, offer.gtin, tuple(parts)))
        if "deposit" in offer.more:
            what = "keg" if unit == "XKG" else "crate"
            deposits.append(Line("", f"Deposit {what} {offer.code}", packs, unit, Decimal(str(offer.more["deposit"]))))
    deposits.append(Line("", "Returned keg RC-240", -2, "XKG", Decimal("30.00")))
    return out + deposits


def party(kind: str, name: str, street: str, town: str, number: str) -> str:
    """Supplier or customer of a UBL document."""
    return f"""  <cac:{kind}>
    <cac:Party>
      <cac:PartyName><cbc:Name>{escape(name)}</cbc:Name></cac:PartyName>
      <cac:PostalAddress>
        <cbc:StreetName>{escape(street)}</cbc:StreetName>
        <cbc:CityName>{escape(town)}</cbc:CityName>
        <cac:Country><cbc:IdentificationCode>XH</cbc:IdentificationCode></cac:Country>
      </cac:PostalAddress>
      <cac:PartyTaxScheme>
        <cbc:CompanyID>{number}</cbc:CompanyID>
        <cac:TaxScheme><cbc:ID>VAT</cbc:ID></cac:TaxScheme>
      </cac:PartyTaxScheme>
      <cac:PartyLegalEntity><cbc:RegistrationName>{escape(name)}</cbc:RegistrationName></cac:PartyLegalEntity>
    </cac:Party>
  </cac:{kind}>"""


def _line_xml(n: int, line: Line) -> str:
    parts = "".join(
        f"""
    <cac:AllowanceCharge>
      <cbc:ChargeIndicator>{str(charge).lower()}</cbc:ChargeIndicator>
      <cbc:AllowanceChargeReasonCode>{code}</cbc:AllowanceChargeReasonCode>
      <cbc:AllowanceChargeReason>{escape(reason)}</cbc:AllowanceChargeReason>
      <cbc:Amount currencyID="EUR">{amount}</cbc:Amount>
    </cac:AllowanceCharge>"""
        for charge, code, reason, amount in line.parts
    )
    seller = ""
    if line.code:
        seller = f"""
      <cac:SellersItemIdentification><cbc:ID>{line.code}</cbc:ID></cac:SellersItemIdentification>
      <cac:StandardItemIdentification><cbc:ID schemeID="0160">0{line.gtin}</cbc:ID></cac:StandardItemIdentification>"""
    return f"""  <cac:InvoiceLine>
    <cbc:ID>{n}</cbc:ID>
    <cbc:InvoicedQuantity unitCode="{line.unit}">{line.quantity}</cbc:InvoicedQuantity>
    <cbc:LineExtensionAmount currencyID="EUR">{line.net}</cbc:LineExtensionAmount>{parts}
    <cac:Item>
      <cbc:Name>{escape(line.name)}</cbc:Name>{seller}
      <cac:ClassifiedTaxCategory>
        <cbc:ID>S</cbc:ID>
        <cbc:Percent>{RATE}</cbc:Percent>
        <cac:TaxScheme><cbc:ID>VAT</cbc:ID></cac:TaxScheme>
      </cac:ClassifiedTaxCategory>
    </cac:Item>
    <cac:Price>
      <cbc:PriceAmount currencyID="EUR">{line.price}</cbc:PriceAmount>
      <cbc:BaseQuantity unitCode="{line.unit}">1</cbc:BaseQuantity>
    </cac:Price>
  </cac:InvoiceLine>"""


def invoice_text() -> str:
    """The whole document."""
    billed = lines()
    net = sum((line.net for line in billed), Decimal(0))
    tax = cents(net * RATE / 100)
    supplier = party("AccountingSupplierParty", *SELLER)
    customer = party("AccountingCustomerParty", *BUYER)
    rows = "\n".join(_line_xml(n, line) for n, line in enumerate(billed, 1))
    return f"""<?xml version="1.0" encoding="UTF-8"?>
<Invoice {NS}>
  <cbc:CustomizationID>urn:cen.eu:en16931:2017</cbc:CustomizationID>
  <cbc:ID>{NUMBER}</cbc:ID>
  <cbc:IssueDate>{DAY}</cbc:IssueDate>
  <cbc:DueDate>2026-12-01</cbc:DueDate>
  <cbc:InvoiceTypeCode>380</cbc:InvoiceTypeCode>
  <cbc:Note>Delivery note RC-{DAY:%m%d}; white rum at the price of the new list.</cbc:Note>
  <cbc:DocumentCurrencyCode>EUR</cbc:DocumentCurrencyCode>
  <cbc:BuyerReference>SLB-{DAY:%m%d}</cbc:BuyerReference>
  <cac:DespatchDocumentReference><cbc:ID>RC-{DAY:%m%d}</cbc:ID></cac:DespatchDocumentReference>
{supplier}
{customer}
  <cac:TaxTotal>
    <cbc:TaxAmount currencyID="EUR">{tax}</cbc:TaxAmount>
    <cac:TaxSubtotal>
      <cbc:TaxableAmount currencyID="EUR">{net}</cbc:TaxableAmount>
      <cbc:TaxAmount currencyID="EUR">{tax}</cbc:TaxAmount>
      <cac:TaxCategory>
        <cbc:ID>S</cbc:ID>
        <cbc:Percent>{RATE}</cbc:Percent>
        <cac:TaxScheme><cbc:ID>VAT</cbc:ID></cac:TaxScheme>
      </cac:TaxCategory>
    </cac:TaxSubtotal>
  </cac:TaxTotal>
  <cac:LegalMonetaryTotal>
    <cbc:LineExtensionAmount currencyID="EUR">{net}</cbc:LineExtensionAmount>
    <cbc:TaxExclusiveAmount currencyID="EUR">{net}</cbc:TaxExclusiveAmount>
    <cbc:TaxInclusiveAmount currencyID="EUR">{net + tax}</cbc:TaxInclusiveAmount>
    <cbc:PayableAmount currencyID="EUR">{net + tax}</cbc:PayableAmount>
  </cac:LegalMonetaryTotal>
{rows}
</Invoice>
"""
