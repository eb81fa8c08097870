"""Builders of small documents in the three shapes, with invented goods. All is text, so that a test can break it."""

from xml.sax.saxutils import escape, quoteattr

from costing.supply.arriving.line import Incoming, PriceLine
from costing.supply.readers.xml_documents import read_xml

UBL = "urn:oasis:names:specification:ubl:schema:xsd:"
CAC, CBC, EXT = (f"{UBL}Common{kind}Components-2" for kind in ("Aggregate", "Basic", "Extension"))
CII = "urn:un:unece:uncefact:data:"
SBDH = "http://www.unece.org/cefact/namespaces/StandardBusinessDocumentHeader"


def el(name: str, *inside: str, **attributes: str) -> str:
    """One element: ``el("cbc:ID", "7", schemeID="0160")``. What is inside is XML already; "" leaves the element out."""
    if not any(inside):
        return ""
    said = "".join(f" {key}={quoteattr(value)}" for key, value in attributes.items())
    return f"<{name}{said}>{''.join(inside)}</{name}>"


def money(name: str, amount: object, currency: str = "EUR") -> str:
    return "" if amount is None else el(name, str(amount), currencyID=currency)


def charge(
    amount: object, *, adds: bool | None = True, reason: str = "", code: str = "", base: object = None,
    factor: object = None, currency: str = "EUR", tax: str = "",
) -> str:  # fmt: skip
    """cac:AllowanceCharge."""
    indicator = "" if adds is None else el("cbc:ChargeIndicator", "true" if adds else "false")
    return el(
        "cac:AllowanceCharge", indicator, el("cbc:AllowanceChargeReasonCode", code),
        el("cbc:AllowanceChargeReason", escape(reason)),
        el("cbc:MultiplierFactorNumeric", "" if factor is None else str(factor)),
        money("cbc:Amount", amount, currency), money("cbc:BaseAmount", base, currency), tax,
    )  # fmt: skip


def category(name: str = "cac:TaxCategory", code: str = "S", percent: object = 19) -> str:
    rate = "" if percent is None else el("cbc:Percent", str(percent))
    return el(name, el("cbc:ID", code), rate, el("cac:TaxScheme", el("cbc:ID", "VAT")))


def item(
    name: str = "Gin Fogbell 6x70cl", *, description: str = "", code: str = "G-1", gtin: str = "", scheme: str = "0160",
    more: str = "", tax: str | None = None, packs: str = "",
) -> str:  # fmt: skip
    """cac:Item in the order of the schema."""
    said = {"schemeID": scheme} if scheme else {}
    return el(
        "cac:Item", el("cbc:Description", escape(description)), packs, el("cbc:Name", escape(name)),
        el("cac:SellersItemIdentification", el("cbc:ID", escape(code))),
        el("cac:StandardItemIdentification", el("cbc:ID", gtin, **said)),
        category("cac:ClassifiedTaxCategory") if tax is None else tax, more,
    )  # fmt: skip


def line(
    quantity: object = 2, price: object = "84.00", net: object = "168.00", *, unit: str = "XCS", base: object = None,
    base_unit: str | None = None, ident: str = "1", goods: str | None = None, more: str = "", price_more: str = "",
    currency: str = "EUR", kind: str = "Invoice", tail: str = "",
) -> str:  # fmt: skip
    """cac:InvoiceLine, or cac:CreditNoteLine for ``kind`` "CreditNote"."""
    counted = "Credited" if kind == "CreditNote" else "Invoiced"
    units = {"unitCode": unit} if unit else {}
    per = {"unitCode": unit if base_unit is None else base_unit} if (base_unit or unit) else {}
    return el(
        f"cac:{kind}Line", el("cbc:ID", ident),
        "" if quantity is None else el(f"cbc:{counted}Quantity", str(quantity), **units),
        money("cbc:LineExtensionAmount", net, currency), more, item() if goods is None else goods,
        el("cac:Price", money("cbc:PriceAmount", price, currency),
           "" if base is None else el("cbc:BaseQuantity", str(base), **per), price_more), tail,
    )  # fmt: skip


def party(name: str = "Lantern Drinks", number: str = "XH100200300", trade: str = "") -> str:
    return el(
        "cac:AccountingSupplierParty",
        el("cac:Party", el("cac:PartyName", el("cbc:Name", trade)),
           el("cac:PartyTaxScheme", el("cbc:CompanyID", number), el("cac:TaxScheme", el("cbc:ID", "VAT"))),
           el("cac:PartyLegalEntity", el("cbc:RegistrationName", name))),
    )  # fmt: skip


def taxes(*groups: tuple[object, object, str, object], total: object = None, currency: str = "EUR") -> str:
    """cac:TaxTotal of (taxable, tax, category, percent)."""
    return el(
        "cac:TaxTotal", money("cbc:TaxAmount", total, currency),
        *(el("cac:TaxSubtotal", money("cbc:TaxableAmount", net, currency), money("cbc:TaxAmount", tax, currency),
             category(code=code, percent=percent)) for net, tax, code, percent in groups),
    )  # fmt: skip


def totals(currency: str = "EUR", **amounts: object) -> str:
    """cac:LegalMonetaryTotal by the names of its elements."""
    names = ("LineExtension", "TaxExclusive", "TaxInclusive", "AllowanceTotal", "ChargeTotal", "Prepaid",
             "PayableRounding", "Payable")  # fmt: skip
    return el("cac:LegalMonetaryTotal", *(money(f"cbc:{n}Amount", amounts.get(n), currency) for n in names))


def ubl(
    *lines: str, kind: str = "Invoice", type_code: str | None = None, head: str = "", foot: str = "",
    number: str = "F-7", day: str = "2026-11-17", currency: str = "EUR", supplier: str | None = None, top: str = "",
) -> bytes:  # fmt: skip
    """A UBL Invoice, or a CreditNote."""
    code = type_code if type_code is not None else "381" if kind == "CreditNote" else "380"
    typed = el(f"cbc:{kind}TypeCode", code) if kind in ("Invoice", "CreditNote") else ""
    body = "".join(
        (top, el("cbc:CustomizationID", "urn:cen.eu:en16931:2017"), el("cbc:ID", number), el("cbc:IssueDate", day),
         typed,
         el("cbc:DocumentCurrencyCode", currency), head, party() if supplier is None else supplier, foot, *lines)
    )  # fmt: skip
    return (
        f'<?xml version="1.0" encoding="UTF-8"?>\n<{kind} xmlns="{UBL}{kind}-2" xmlns:cac="{CAC}" xmlns:cbc="{CBC}" '
        f'xmlns:ext="{EXT}" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">{body}</{kind}>'
    ).encode()


def read(data: bytes) -> Incoming:
    return read_xml(data, "made.xml")


def one(*lines: str, **said: str) -> PriceLine:
    """The only line of an invoice."""
    (found,) = read(ubl(*lines, **said))
    return found


def codes(found: PriceLine | Incoming) -> set[str]:
    """Codes of the doubts, but for what a small test document always leaves out."""
    return {doubt.code for doubt in found.doubts}


def catalogue_line(
    *prices: str, ident: str = "1", order_unit: str = "XCS", action: str = "", code: str = "G-1", packs: str = "",
    name: str = "Gin Fogbell 70cl", content: str = "", more: str = "", goods: str | None = None, before: str = "",
    level: str = "",
) -> str:  # fmt: skip
    """cac:CatalogueLine in the order of the schema."""
    return el(
        "cac:CatalogueLine", el("cbc:ID", ident), el("cbc:ActionCode", action), before,
        el("cbc:OrderableUnit", order_unit), content, el("cbc:PackLevelCode", level), more, *prices,
        item(name, code=code, packs=packs) if goods is None else goods,
    )  # fmt: skip


def located(
    price: object = "84.00", *, base: object = None, unit: str = "XCS", least: object = None, most: object = None,
    kind: str = "", factor: object = None, days: str = "", place: str = "", currency: str = "EUR",
) -> str:  # fmt: skip
    """cac:RequiredItemLocationQuantity with its price."""
    return el(
        "cac:RequiredItemLocationQuantity",
        "" if least is None else el("cbc:MinimumQuantity", str(least), unitCode="XCS"),
        "" if most is None else el("cbc:MaximumQuantity", str(most), unitCode="XCS"),
        el("cac:ApplicableTerritoryAddress", el("cac:Country", el("cbc:IdentificationCode", place))),
        el("cac:Price", money("cbc:PriceAmount", price, currency),
           "" if base is None else el("cbc:BaseQuantity", str(base), unitCode=unit), el("cbc:PriceType", kind),
           "" if factor is None else el("cbc:OrderableUnitFactorRate", str(factor)), days),
    )  # fmt: skip


def valid(name: str, since: str = "", until: str = "") -> str:
    return el(name, el("cbc:StartDate", since), el("cbc:EndDate", until))


def catalogue(*lines: str, action: str = "", days: str = "", head: str = "") -> bytes:
    body = "".join(
        (el("cbc:ID", "K-3"), el("cbc:ActionCode", action), el("cbc:Name", "Winter"), el("cbc:IssueDate", "2026-11-01"),
         days, head,
         el("cac:SellerSupplierParty", el("cac:Party", el("cac:PartyName", el("cbc:Name", "Lantern Drinks")))), *lines)
    )  # fmt: skip
    return f'<Catalogue xmlns="{UBL}Catalogue-2" xmlns:cac="{CAC}" xmlns:cbc="{CBC}">{body}</Catalogue>'.encode()


def tag(name: str, *inside: str, **attributes: str) -> str:
    """``el`` in the prefix of reusable CII elements."""
    return el(f"ram:{name}", *inside, **attributes)


def stamp(name: str, day: str = "20261117", form: str = "102") -> str:
    return tag(name, el("udt:DateTimeString", day, format=form))


def cii_charge(
    amount: object, *, adds: bool = True, reason: str = "", code: str = "", name: str = "", tax: str = ""
) -> str:
    return tag(
        name or "SpecifiedTradeAllowanceCharge",
        tag("ChargeIndicator", el("udt:Indicator", "true" if adds else "false")),
        tag("ActualAmount", str(amount)), tag("ReasonCode", code), tag("Reason", reason), tax,
    )  # fmt: skip


def cii_line(
    quantity: object = 2, price: object = "84.00", net: object = "168.00", *, unit: str = "XCS", base: object = None,
    gross: str = "", ident: str = "1", name: str = "Gin Fogbell 6x70cl", code: str = "G-1", gtin: str = "",
    scheme: str = "0160", about: str = "", product: str = "", agreed: str = "", delivered: str = "", settled: str = "",
    percent: object = "19.00",
) -> str:  # fmt: skip
    """ram:IncludedSupplyChainTradeLineItem."""
    basis = "" if base is None else tag("BasisQuantity", str(base), unitCode=unit)
    return tag(
        "IncludedSupplyChainTradeLineItem",
        tag("AssociatedDocumentLineDocument", tag("LineID", ident), about),
        tag("SpecifiedTradeProduct", tag("GlobalID", gtin, schemeID=scheme), tag("SellerAssignedID", code),
            tag("Name", escape(name)), product),
        tag("SpecifiedLineTradeAgreement", agreed, gross,
            tag("NetPriceProductTradePrice", "" if price is None else tag("ChargeAmount", str(price)), basis)),
        tag("SpecifiedLineTradeDelivery", tag("BilledQuantity", str(quantity), unitCode=unit), delivered),
        tag("SpecifiedLineTradeSettlement",
            tag("ApplicableTradeTax", tag("TypeCode", "VAT"), tag("CategoryCode", "S"),
                tag("RateApplicablePercent", str(percent))), settled,
            tag("SpecifiedTradeSettlementLineMonetarySummation",
                "" if net is None else tag("LineTotalAmount", str(net)))),
    )  # fmt: skip


def cii(
    *lines: str, type_code: str = "380", profile: str = "urn:cen.eu:en16931:2017", settled: str = "", sums: str = "",
    agreed: str = "", delivered: str = "", document: str = "", version: str = "100", context: str = "",
) -> bytes:  # fmt: skip
    """rsm:CrossIndustryInvoice."""
    seller = tag("SellerTradeParty", tag("Name", "Lantern Drinks"),
                 tag("SpecifiedTaxRegistration", tag("ID", "7/11", schemeID="FC")),
                 tag("SpecifiedTaxRegistration", tag("ID", "XH100200300", schemeID="VA")))  # fmt: skip
    body = "".join((
        el("rsm:ExchangedDocumentContext", context,
           tag("GuidelineSpecifiedDocumentContextParameter", tag("ID", profile))),
        el("rsm:ExchangedDocument", tag("ID", "F-7"), tag("TypeCode", type_code), stamp("IssueDateTime"), document),
        el("rsm:SupplyChainTradeTransaction", *lines,
           tag("ApplicableHeaderTradeAgreement", seller, agreed),
           tag("ApplicableHeaderTradeDelivery", delivered or " "),
           tag("ApplicableHeaderTradeSettlement", tag("InvoiceCurrencyCode", "EUR"), settled,
               tag("SpecifiedTradeSettlementHeaderMonetarySummation", sums))),
    ))  # fmt: skip
    spaces = "".join(
        f' xmlns:{prefix}="{CII}standard:{name}:{version}"'
        for prefix, name in (("rsm", "CrossIndustryInvoice"), ("udt", "UnqualifiedDataType"),
                             ("qdt", "QualifiedDataType"), ("ram", "ReusableAggregateBusinessInformationEntity"))
    )  # fmt: skip
    root = "rsm:CrossIndustryInvoice"
    return f"<?xml version='1.0' encoding='UTF-8'?><{root}{spaces}>{body}</{root}>".encode()
