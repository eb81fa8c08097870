"""UN/CEFACT Cross Industry Invoice (D16B, D22B; Factur-X and ZUGFeRD 2, every profile), and its forerunner ZUGFeRD 1.0.

The two name the same facts a little differently; every path below tries both names.
"""

from collections import Counter
from collections.abc import Iterator
from decimal import Decimal

from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.line import Incoming, LeftOut, Part
from costing.supply.readers.ubl_parts import part_of, share_of
from costing.supply.readers.xml_lines import CREDITS, Facts, Head, Ids, billed
from costing.supply.readers.xml_safe import Element
from costing.supply.readers.xml_sums import Charged, Group, Totals
from costing.supply.readers.xml_values import (
    NOTHING,
    Amount,
    amount_at,
    amount_of,
    between,
    flag_at,
    said_twice,
    stamp_at,
    text_at,
    texts_at,
)

_LINE = "IncludedSupplyChainTradeLineItem"
_SUMS = ("SpecifiedTradeSettlementLineMonetarySummation", "SpecifiedTradeSettlementMonetarySummation")
_PERCENT = ("RateApplicablePercent", "ApplicablePercent")
_NET = "SpecifiedLineTradeAgreement/NetPriceProductTradePrice"
_ONCE = ("SpecifiedTradeProduct", "SpecifiedTradeProduct/Name", "SpecifiedLineTradeAgreement", _NET,
         f"{_NET}/ChargeAmount", f"{_NET}/BasisQuantity", "SpecifiedLineTradeDelivery/BilledQuantity",
         f"SpecifiedLineTradeSettlement/{_SUMS[0]}/LineTotalAmount")  # fmt: skip
_LEFT = {"GROUP": "group-line", "INFORMATION": "information-line"}
"""Line status reasons of the profile EXTENDED: a group only adds up what follows it, an information has no amount."""


def read_cii(root: Element, name: str, digest: str) -> Incoming:
    """A plain root (``xml_safe.plain``) of a CrossIndustryInvoice or a CrossIndustryDocument."""
    document = _first(root, "ExchangedDocument", "HeaderExchangedDocument")
    trade = _first(root, "SupplyChainTradeTransaction", "SpecifiedSupplyChainTradeTransaction")
    agreement = _first(trade, "ApplicableHeaderTradeAgreement", "ApplicableSupplyChainTradeAgreement")
    delivery = _first(trade, "ApplicableHeaderTradeDelivery", "ApplicableSupplyChainTradeDelivery")
    settlement = _first(trade, "ApplicableHeaderTradeSettlement", "ApplicableSupplyChainTradeSettlement")
    profile = text_at(
        root, "ExchangedDocumentContext/GuidelineSpecifiedDocumentContextParameter/ID",
        "SpecifiedExchangedDocumentContext/GuidelineSpecifiedDocumentContextParameter/ID",
    )  # fmt: skip
    kind, currency = text_at(document, "TypeCode"), text_at(settlement, "InvoiceCurrencyCode")
    day, doubts = stamp_at(document, "IssueDateTime")
    due, more = stamp_at(settlement, "SpecifiedTradePaymentTerms/DueDateDateTime")
    charged: list[Charged] = []
    for one, why in (*_charges(settlement, "SpecifiedTradeAllowanceCharge"), *_logistics(settlement)):
        charged.append(one)
        more += why
    seller = agreement.find("SellerTradeParty") if agreement is not None else None
    top = [kid for kid in trade if kid.tag == _LINE] if trade is not None else []
    kept = [line for line in top if not _why_left(line)]
    told = [*doubts, *more, *_told(document, delivery, settlement, root)]
    if not kept:
        told.append(doubt("no-lines", "", profile=profile))
    head = Head(
        name=name, digest=digest, shape="cii", type=kind, credit=kind in CREDITS, number=text_at(document, "ID"),
        day=day, due=due, currency=currency, supplier=_seller_name(seller), supplier_id=_seller_id(seller),
        order=text_at(agreement, "BuyerOrderReferencedDocument/IssuerAssignedID", "BuyerOrderReferencedDocument/ID"),
        corrects=_corrected(settlement), charged=tuple(charged), totals=_totals(settlement, currency),
        groups=tuple(_groups(settlement)),
        notes=texts_at(document, "IncludedNote/Content"), doubts=tuple(told),
    )  # fmt: skip
    parents = Counter(text_at(line, "AssociatedDocumentLineDocument/ParentLineID") for line in kept)
    facts = [_facts(line, n, parents) for n, line in enumerate(kept, 1)]
    return billed(head, facts, _left(root, trade))


def _first(element: Element | None, *names: str) -> Element | None:
    if element is not None:
        for name in names:
            if (found := element.find(name)) is not None:
                return found
    return None


def _why_left(line: Element) -> str:
    """Why a line element is no line, "" for one that is: by its status, or because only a text stands in it."""
    if why := _LEFT.get(text_at(line, "AssociatedDocumentLineDocument/LineStatusReasonCode")):
        return why
    telling = ("SpecifiedTradeProduct", "BilledQuantity", "ChargeAmount", "LineTotalAmount")
    return "" if any(next(line.iter(name), None) is not None for name in telling) else "text-line"


def _left(root: Element, trade: Element | None) -> tuple[LeftOut, ...]:
    """Line elements that bill nothing themselves."""
    out = []
    for line in root.iter(_LINE):
        why = _why_left(line) if line.getparent() is trade else "stray-line"
        if why:
            ident = text_at(line, "AssociatedDocumentLineDocument/LineID")
            text = text_at(line, "SpecifiedTradeProduct/Name", "AssociatedDocumentLineDocument/IncludedNote/Content")
            out.append(LeftOut(where=f"line {ident}" if ident else why, text=text, why=why))
    return tuple(out)


def _seller_name(seller: Element | None) -> str:
    return text_at(seller, "Name", "SpecifiedLegalOrganization/TradingBusinessName", "DefinedTradeContact/PersonName")


def _seller_id(seller: Element | None) -> str:
    """The tax number BT-31 (scheme VA), else whatever numbers it has."""
    if seller is None:
        return ""
    for ident in seller.iterfind("SpecifiedTaxRegistration/ID"):
        if ident.get("schemeID") == "VA" and ident.text and ident.text.strip():
            return " ".join(ident.text.split())
    return text_at(seller, "SpecifiedTaxRegistration/ID", "SpecifiedLegalOrganization/ID", "GlobalID", "ID")


def _corrected(settlement: Element | None) -> str:
    paths = ("InvoiceReferencedDocument/IssuerAssignedID", "InvoiceReferencedDocument/ID")
    return ", ".join(dict.fromkeys(text for path in paths for text in texts_at(settlement, path)))


def _told(
    document: Element | None, delivery: Element | None, settlement: Element | None, root: Element
) -> Iterator[Doubt]:
    """What the head says beside its figures."""
    if root.tag == "CrossIndustryDocument":
        yield doubt("old-version", "", version="ZUGFeRD 1.0")
    if text_at(document, "TypeCode") in ("389", "261"):
        yield doubt("self-billed", "")
    if flag_at(document, "CopyIndicator/Indicator", "CopyIndicator"):
        yield doubt("copy", "")
    context = _first(root, "ExchangedDocumentContext", "SpecifiedExchangedDocumentContext")
    if flag_at(context, "TestIndicator/Indicator", "TestIndicator"):
        yield doubt("test", "")
    for text in texts_at(settlement, "SpecifiedTradePaymentTerms/Description"):
        yield doubt("terms", "", text=text)
    delivered, wrong = stamp_at(delivery, "ActualDeliverySupplyChainEvent/OccurrenceDateTime")
    yield from wrong
    if delivered is not None:
        yield doubt("delivered", "", day=delivered.isoformat())
    for end in ("Start", "End"):
        yield from stamp_at(settlement, f"BillingSpecifiedPeriod/{end}DateTime")[1]
    if _period(settlement):
        yield doubt("period", "", period=_period(settlement))


def _charges(element: Element | None, name: str) -> Iterator[tuple[Charged, tuple[Doubt, ...]]]:
    """The charges (positive) and allowances (negative) directly in an element, each with its doubts."""
    for one in element.iterfind(name) if element is not None else ():
        amount, doubts = share_of(
            amount_at(one, "ActualAmount"), amount_at(one, "BasisAmount"), amount_at(one, "CalculationPercent")
        )
        charge = flag_at(one, "ChargeIndicator/Indicator", "ChargeIndicator/IndicatorString", "ChargeIndicator")
        part, more = part_of(charge, amount, text_at(one, "Reason"), text_at(one, "ReasonCode"))
        tax = one.find("CategoryTradeTax")
        yield (
            Charged(part=part, category=text_at(tax, "CategoryCode"), percent=amount_at(tax, *_PERCENT).value),
            (*doubts, *more),
        )


def _logistics(settlement: Element | None) -> Iterator[tuple[Charged, tuple[Doubt, ...]]]:
    """SpecifiedLogisticsServiceCharge of the profile EXTENDED: freight and packing of the whole document."""
    for one in settlement.iterfind("SpecifiedLogisticsServiceCharge") if settlement is not None else ():
        amount = amount_at(one, "AppliedAmount")
        part, doubts = part_of(True, amount.value or Decimal(0), text_at(one, "Description"), "")
        if amount.value is None:
            doubts += (doubt("part-missing", "", value=amount.text),)
        tax = one.find("AppliedTradeTax")
        yield Charged(part=part, category=text_at(tax, "CategoryCode"), percent=amount_at(tax, *_PERCENT).value), doubts


def _totals(settlement: Element | None, currency: str) -> Totals:
    """The document totals BG-22; of two totals of tax the one in the currency of the document."""
    sums = _first(settlement, "SpecifiedTradeSettlementHeaderMonetarySummation", *_SUMS)
    taxes = [amount_of(kid) for kid in sums.iterfind("TaxTotalAmount")] if sums is not None else []
    ours = [tax for tax in taxes if tax.unit in ("", currency)] or taxes[:1]

    def value(*paths: str) -> Decimal | None:
        return amount_at(sums, *paths).value

    return Totals(
        lines=value("LineTotalAmount"), allowances=value("AllowanceTotalAmount"), charges=value("ChargeTotalAmount"),
        exclusive=value("TaxBasisTotalAmount"), tax=ours[0].value if ours else None,
        inclusive=value("GrandTotalAmount"), prepaid=value("TotalPrepaidAmount"),
        rounding=value("RoundingAmount"),
        payable=value("DuePayableAmount"),
    )  # fmt: skip


def _groups(settlement: Element | None) -> Iterator[Group]:
    for one in settlement.iterfind("ApplicableTradeTax") if settlement is not None else ():
        yield Group(
            taxable=amount_at(one, "BasisAmount").value, tax=amount_at(one, "CalculatedAmount").value,
            category=text_at(one, "CategoryCode"), percent=amount_at(one, *_PERCENT).value,
        )  # fmt: skip


def _facts(line: Element, n: int, parents: Counter[str]) -> Facts:
    about, product = line.find("AssociatedDocumentLineDocument"), line.find("SpecifiedTradeProduct")
    agreement = _first(line, "SpecifiedLineTradeAgreement", "SpecifiedSupplyChainTradeAgreement")
    delivery = _first(line, "SpecifiedLineTradeDelivery", "SpecifiedSupplyChainTradeDelivery")
    settlement = _first(line, "SpecifiedLineTradeSettlement", "SpecifiedSupplyChainTradeSettlement")
    ident = text_at(about, "LineID")
    parts: list[Part] = []
    doubts: list[Doubt] = []
    for one, why in _charges(settlement, "SpecifiedTradeAllowanceCharge"):
        parts.append(one.part)
        doubts += why
    if ident and parents[ident]:
        doubts.append(doubt("sub-lines", "", n=parents[ident]))
    free = amount_at(delivery, "ChargeFreeQuantity")
    if free.value:
        doubts.append(doubt("free-quantity", "quantity", quantity=free.text, unit=free.unit))
    doubts += said_twice(line, *_ONCE)
    price, base, gross, off, more = _price(agreement)
    tax = settlement.find("ApplicableTradeTax") if settlement is not None else None
    name, description = text_at(product, "Name"), text_at(product, "Description")
    return Facts(
        n=n, ident=ident, ids=_ids(product), name=name or description, description=description if name else "",
        brand=text_at(product, "BrandName"), note=" ".join(texts_at(about, "IncludedNote/Content")),
        properties=tuple(_properties(product)), quantity=amount_at(delivery, "BilledQuantity"), price=price, base=base,
        gross=gross, off=off, total=amount_at(_first(settlement, *_SUMS), "LineTotalAmount"),
        category=text_at(tax, "CategoryCode"), percent=amount_at(tax, *_PERCENT), parts=tuple(parts),
        more=tuple(_more(agreement, delivery, settlement)), doubts=(*doubts, *more),
    )  # fmt: skip


def _price(agreement: Element | None) -> tuple[Amount, Amount, Amount, Amount, tuple[Doubt, ...]]:
    """(net price BT-146, its base BT-149, gross price BT-148, discount BT-147, doubts).

    The base stands on the net price, the gross price, or both. Without a net price it is the gross one less its own
    allowances, which is doubted.
    """
    net = _first(agreement, "NetPriceProductTradePrice")
    full = _first(agreement, "GrossPriceProductTradePrice")
    price, gross = amount_at(net, "ChargeAmount"), amount_at(full, "ChargeAmount")
    net_base, full_base = amount_at(net, "BasisQuantity"), amount_at(full, "BasisQuantity")
    off = Decimal(0)
    doubts: list[Doubt] = []
    for one, why in _charges(full, "AppliedTradeAllowanceCharge"):
        off -= one.part.amount
        doubts += why
    if not price.text and gross.value is not None:
        worked = gross.value - off
        doubts.append(doubt("net-from-gross", "price", gross=gross.text, net=worked))
        price = Amount(str(worked), worked, gross.unit)
    base = net_base if net_base.text else full_base
    if net_base.value is not None and full_base.value is not None and net_base.value != full_base.value:
        gross, off = NOTHING, Decimal(0)  # of another quantity: it cannot be set against the net price
    return price, base, gross, Amount(str(off), off) if off else NOTHING, tuple(doubts)


def _ids(product: Element | None) -> Ids:
    standard = product.find("GlobalID") if product is not None else None
    return Ids(
        seller=text_at(product, "SellerAssignedID"), buyer=text_at(product, "BuyerAssignedID"),
        maker=text_at(product, "ManufacturerAssignedID"), standard=text_at(product, "GlobalID"),
        scheme=(standard.get("schemeID") or "").strip() if standard is not None else "",
        others=texts_at(product, "IndustryAssignedID"),
    )  # fmt: skip


def _properties(product: Element | None) -> Iterator[tuple[str, str]]:
    for one in product.iterfind("ApplicableProductCharacteristic") if product is not None else ():
        measure = amount_at(one, "ValueMeasure")
        value = text_at(one, "Value") or f"{measure.text} {measure.unit}".strip()
        label = text_at(one, "Description", "TypeCode")
        if label or value:
            yield label, value


def _more(agreement: Element | None, delivery: Element | None, settlement: Element | None) -> Iterator[tuple[str, str]]:
    """Texts of a line that have no place of their own."""
    for role, path in (("packages", "PackageQuantity"), ("free", "ChargeFreeQuantity")):
        amount = amount_at(delivery, path)
        yield role, f"{amount.text} {amount.unit}".strip()
    orders = ("BuyerOrderReferencedDocument/IssuerAssignedID", "BuyerOrderReferencedDocument/ID")
    yield "order", text_at(agreement, *orders)
    yield "order_line", text_at(agreement, "BuyerOrderReferencedDocument/LineID")
    delivered, _ = stamp_at(delivery, "ActualDeliverySupplyChainEvent/OccurrenceDateTime")
    yield "delivered", delivered.isoformat() if delivered else ""
    yield "period", _period(settlement)


def _period(settlement: Element | None) -> str:
    days = [stamp_at(settlement, f"BillingSpecifiedPeriod/{end}DateTime")[0] for end in ("Start", "End")]
    return between(*(day.isoformat() if day else "" for day in days))
