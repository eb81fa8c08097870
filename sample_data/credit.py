"""The casks' credit note for the invoice of 17 November, as UBL 2.1: what the white rum was billed too dear, and a keg.

It names the invoice it corrects (BT-25). Quantities stand without a sign: a credit note takes back by being one. The
price of its first line is a difference of prices, and prices nothing.
"""

from datetime import date
from decimal import Decimal
from textwrap import dedent

from sample_data import goods, invoice, quotes, stock
from sample_data.forms import leaf, tag
from sample_data.invoice import Line, cents, party, price_on

DAY = date(2026, 11, 24)
NUMBER = "RC-2026-4538"
OVERCHARGED = "RC-201"


def lines() -> list[Line]:
    """What is given back."""
    billed = next(line for line in invoice.lines() if line.code == OVERCHARGED)
    held = next(h for d, h, _ in stock.delivered() if d == invoice.DAY and h.offer.code == OVERCHARGED)
    agreed = price_on(held.offer, invoice.DAY)
    keg = next(o for o in quotes.OFFERS if o.good == "keg-lager" and o.supplier == goods.CASKS)
    return [
        Line(OVERCHARGED, billed.name, billed.quantity, billed.unit, billed.price - agreed, billed.gtin),
        Line("", f"Returned keg {keg.code}", 1, "XKG", Decimal(str(keg.more["deposit"]))),
    ]


def _tax(name: str) -> str:
    return tag(name, leaf("cbc:ID", "S"), leaf("cbc:Percent", invoice.RATE),
               tag("cac:TaxScheme", leaf("cbc:ID", "VAT")))  # fmt: skip


def _money(name: str, amount: Decimal) -> str:
    return leaf(f"cbc:{name}", amount, currencyID="EUR")


def _line(n: int, line: Line) -> str:
    seller = standard = ""
    if line.code:
        seller = tag("cac:SellersItemIdentification", leaf("cbc:ID", line.code))
        standard = tag("cac:StandardItemIdentification", leaf("cbc:ID", f"0{line.gtin}", schemeID="0160"))
    return tag(
        "cac:CreditNoteLine",
        leaf("cbc:ID", n),
        leaf("cbc:Note", "Difference of the price billed to the price agreed") if line.code else "",
        leaf("cbc:CreditedQuantity", line.quantity, unitCode=line.unit),
        _money("LineExtensionAmount", line.net),
        tag("cac:Item", leaf("cbc:Name", line.name), seller, standard, _tax("cac:ClassifiedTaxCategory")),
        tag("cac:Price", _money("PriceAmount", line.price), leaf("cbc:BaseQuantity", 1, unitCode=line.unit)),
    )


def credit_text() -> str:
    """The whole document."""
    given = lines()
    net = sum((line.net for line in given), Decimal(0))
    tax = cents(net * invoice.RATE / 100)
    space = "urn:oasis:names:specification:ubl:schema:xsd:"
    corrected = tag("cac:InvoiceDocumentReference", leaf("cbc:ID", invoice.NUMBER), leaf("cbc:IssueDate", invoice.DAY))
    totals = (("LineExtensionAmount", net), ("TaxExclusiveAmount", net), ("TaxInclusiveAmount", net + tax),
              ("PayableAmount", net + tax))  # fmt: skip
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + tag(
        "CreditNote",
        leaf("cbc:CustomizationID", "urn:cen.eu:en16931:2017"),
        leaf("cbc:ID", NUMBER),
        leaf("cbc:IssueDate", DAY),
        leaf("cbc:CreditNoteTypeCode", 381),
        leaf("cbc:Note", "White rum was billed above the price of its day; one keg more came back on 20 November."),
        leaf("cbc:DocumentCurrencyCode", "EUR"),
        leaf("cbc:BuyerReference", f"SLB-{invoice.DAY:%m%d}"),
        tag("cac:BillingReference", corrected),
        dedent(party("AccountingSupplierParty", *invoice.SELLER)),
        dedent(party("AccountingCustomerParty", *invoice.BUYER)),
        tag("cac:PaymentTerms", leaf("cbc:Note", "Set against the next invoice")),
        tag(
            "cac:TaxTotal",
            _money("TaxAmount", tax),
            tag("cac:TaxSubtotal", _money("TaxableAmount", net), _money("TaxAmount", tax), _tax("cac:TaxCategory")),
        ),
        tag("cac:LegalMonetaryTotal", *(_money(name, amount) for name, amount in totals)),
        *(_line(n, line) for n, line in enumerate(given, 1)),
        xmlns=f"{space}CreditNote-2",
        xmlns_cac=f"{space}CommonAggregateComponents-2",
        xmlns_cbc=f"{space}CommonBasicComponents-2",
    ) + "\n"  # fmt: skip
