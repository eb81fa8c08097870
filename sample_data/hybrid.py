"""The quay's invoice for one morning, to be carried inside a PDF: lines, sums and the CII document (EN 16931 profile).

It bills what the van brought on that day (``stock.delivered``): the pineapples by what the crates really weighed, one
price above the quote, crates lent and crates taken back. Two rates of tax, and an allowance on the whole document.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from sample_data import goods, invoice, stock
from sample_data.forms import leaf, tag
from sample_data.invoice import cents, price_on
from sample_data.pricefiles import WEEK

DAY, DUE = date(2026, 11, 16), date(2026, 11, 30)
NUMBER = "NQ-26-11832"
PROFILE = "urn:cen.eu:en16931:2017"
SELLER = ("North Quay Fruit Growers", "Landing Stage 3", "Saltlantern Harbour", "XH100200100")
"""Name in the register, street, town, tax number; it trades as North Quay Fruit."""
FOOD, OTHER = Decimal(7), Decimal(19)
"""Rates of tax, per cent."""
WEIGHED = {"NQ-101": Decimal("16.35")}
"""Billed by the kilogram: what the scales at the quay said."""
DEARER = {"NQ-104": Decimal("19.60")}
UNITS = {"NQ-101": "KGM", "NQ-105": "XBX", "NQ-107": "XBG", "NQ-112": "XPA", "NQ-130": "XBX"}
"""What a pack is called where it is no crate."""
CRATE = "XCR"
CRATE_PRICE = Decimal("4.00")
CRATES_BACK = 3
ALLOWANCE = Decimal("0.01")
REASON = "Ordered the evening before, 1 %"


@dataclass(frozen=True)
class Line:
    """One billed line; the price is for one of ``unit``, without tax."""

    code: str
    name: str
    quantity: Decimal
    unit: str
    price: Decimal
    rate: Decimal

    @property
    def net(self) -> Decimal:
        """To the cent."""
        return cents(self.quantity * self.price)


def lines() -> list[Line]:
    """What is billed: the goods, then the crates."""
    out: list[Line] = []
    crates = 0
    for day, held, packs in stock.delivered():
        offer = held.offer
        if day != DAY or offer.supplier != goods.NORTH:
            continue
        described, pack, _ = WEEK[offer.code]
        price = DEARER.get(offer.code, price_on(offer, day))
        weighed = WEIGHED.get(offer.code)
        if weighed is not None:
            price /= Decimal(offer.content.split()[0])
        unit = UNITS.get(offer.code, CRATE)
        crates += packs if unit in (CRATE, "KGM") else 0
        out.append(Line(offer.code, f"{described} {pack}", weighed or Decimal(packs), unit, price, FOOD))
    out.append(Line("", "Deposit crate", Decimal(crates), CRATE, CRATE_PRICE, OTHER))
    out.append(Line("", "Returned crates", Decimal(-CRATES_BACK), CRATE, CRATE_PRICE, OTHER))
    return out


@dataclass(frozen=True)
class Sums:
    """The totals of EN 16931: BT-106, BT-107, BT-109, BT-110, BT-112 = BT-115, and (rate, base, tax) of BG-23."""

    lines: Decimal
    allowance: Decimal
    net: Decimal
    tax: Decimal
    gross: Decimal
    groups: tuple[tuple[Decimal, Decimal, Decimal], ...]


def sums(billed: Iterable[Line]) -> Sums:
    """Rounded part by part, as the standard adds: BR-CO-10, BR-CO-13, BR-CO-14, BR-CO-15, BR-CO-17."""
    base = {rate: Decimal(0) for rate in (FOOD, OTHER)}
    for line in billed:
        base[line.rate] += line.net
    total = sum(base.values(), Decimal(0))
    allowance = cents(base[FOOD] * ALLOWANCE)
    base[FOOD] -= allowance
    groups = tuple((rate, amount, cents(amount * rate / 100)) for rate, amount in base.items())
    tax = sum((part for _, _, part in groups), Decimal(0))
    return Sums(total, allowance, total - allowance, tax, total - allowance + tax, groups)


def _day(name: str, day: date) -> str:
    return tag(name, leaf("udt:DateTimeString", f"{day:%Y%m%d}", format="102"))


def _tax(
    rate: Decimal, base: Decimal | None = None, tax: Decimal | None = None, name: str = "ApplicableTradeTax"
) -> str:
    return tag(
        f"ram:{name}",
        leaf("ram:CalculatedAmount", tax) if tax is not None else "",
        leaf("ram:TypeCode", "VAT"),
        leaf("ram:BasisAmount", base) if base is not None else "",
        leaf("ram:CategoryCode", "S"),
        leaf("ram:RateApplicablePercent", rate),
    )


def _line(n: int, line: Line) -> str:
    price = tag("ram:NetPriceProductTradePrice", leaf("ram:ChargeAmount", line.price),
                leaf("ram:BasisQuantity", 1, unitCode=line.unit))  # fmt: skip
    return tag(
        "ram:IncludedSupplyChainTradeLineItem",
        tag("ram:AssociatedDocumentLineDocument", leaf("ram:LineID", n)),
        tag("ram:SpecifiedTradeProduct", leaf("ram:SellerAssignedID", line.code) if line.code else "",
            leaf("ram:Name", line.name)),
        tag("ram:SpecifiedLineTradeAgreement", price),
        tag("ram:SpecifiedLineTradeDelivery", leaf("ram:BilledQuantity", line.quantity, unitCode=line.unit)),
        tag(
            "ram:SpecifiedLineTradeSettlement",
            _tax(line.rate),
            tag("ram:SpecifiedTradeSettlementLineMonetarySummation", leaf("ram:LineTotalAmount", line.net)),
        ),
    )  # fmt: skip


def _party(name: str, who: tuple[str, str, str, str], trading: str = "") -> str:
    firm, street, town, number = who
    known = tag("ram:SpecifiedLegalOrganization", leaf("ram:TradingBusinessName", trading)) if trading else ""
    return tag(
        f"ram:{name}",
        leaf("ram:Name", firm),
        known,
        tag("ram:PostalTradeAddress", leaf("ram:LineOne", street), leaf("ram:CityName", town),
            leaf("ram:CountryID", "XH")),
        tag("ram:SpecifiedTaxRegistration", leaf("ram:ID", number, schemeID="VA")),
    )  # fmt: skip


def _settlement(found: Sums) -> str:
    allowance = tag(
        "ram:SpecifiedTradeAllowanceCharge",
        tag("ram:ChargeIndicator", leaf("udt:Indicator", "false")),
        leaf("ram:CalculationPercent", ALLOWANCE * 100),
        leaf("ram:BasisAmount", found.groups[0][1] + found.allowance),
        leaf("ram:ActualAmount", found.allowance),
        leaf("ram:ReasonCode", 95),
        leaf("ram:Reason", REASON),
        _tax(FOOD, name="CategoryTradeTax"),
    )
    return tag(
        "ram:ApplicableHeaderTradeSettlement",
        leaf("ram:PaymentReference", NUMBER),
        leaf("ram:InvoiceCurrencyCode", "EUR"),
        *(_tax(rate, base, tax) for rate, base, tax in found.groups),
        allowance,
        tag("ram:SpecifiedTradePaymentTerms", _day("ram:DueDateDateTime", DUE)),
        tag(
            "ram:SpecifiedTradeSettlementHeaderMonetarySummation",
            leaf("ram:LineTotalAmount", found.lines),
            leaf("ram:AllowanceTotalAmount", found.allowance),
            leaf("ram:TaxBasisTotalAmount", found.net),
            leaf("ram:TaxTotalAmount", found.tax, currencyID="EUR"),
            leaf("ram:GrandTotalAmount", found.gross),
            leaf("ram:DuePayableAmount", found.gross),
        ),
    )


def invoice_xml() -> str:
    """The whole document: UN/CEFACT CrossIndustryInvoice of 2016 (D16B), whose names the one of 2022 keeps."""
    billed = lines()
    space = "urn:un:unece:uncefact:data:"
    note = f"NQ-{DAY:%m%d}"
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + tag(
        "rsm:CrossIndustryInvoice",
        tag("rsm:ExchangedDocumentContext",
            tag("ram:GuidelineSpecifiedDocumentContextParameter", leaf("ram:ID", PROFILE))),
        tag("rsm:ExchangedDocument", leaf("ram:ID", NUMBER), leaf("ram:TypeCode", 380), _day("ram:IssueDateTime", DAY)),
        tag(
            "rsm:SupplyChainTradeTransaction",
            *(_line(n, line) for n, line in enumerate(billed, 1)),
            tag(
                "ram:ApplicableHeaderTradeAgreement",
                leaf("ram:BuyerReference", f"SLB-{DAY:%m%d}"),
                _party("SellerTradeParty", SELLER, "North Quay Fruit"),
                _party("BuyerTradeParty", invoice.BUYER),
            ),
            tag(
                "ram:ApplicableHeaderTradeDelivery",
                tag("ram:ActualDeliverySupplyChainEvent", _day("ram:OccurrenceDateTime", DAY)),
                tag("ram:DespatchAdviceReferencedDocument", leaf("ram:IssuerAssignedID", note)),
            ),
            _settlement(sums(billed)),
        ),
        xmlns_rsm=f"{space}standard:CrossIndustryInvoice:100",
        xmlns_ram=f"{space}standard:ReusableAggregateBusinessInformationEntity:100",
        xmlns_udt=f"{space}standard:UnqualifiedDataType:100",
    ) + "\n"  # fmt: skip
