"""UBL 2 Invoice and CreditNote (OASIS UBL 2.1 to 2.4, EN 16931): billed lines with their head and foot.

A document of the type 381 and its like is a credit whatever its element is called; so is a CreditNote.
"""

from dataclasses import replace
from decimal import Decimal

from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.line import Incoming, LeftOut, Part
from costing.supply.readers.ubl_parts import (
    charges_of,
    ids_of,
    names_of,
    pack_said,
    party_at,
    properties_of,
    tax_of,
    totals_of,
)
from costing.supply.readers.xml_lines import CREDITS, Facts, Head, billed
from costing.supply.readers.xml_safe import Element
from costing.supply.readers.xml_sums import Charged
from costing.supply.readers.xml_values import (
    NOTHING,
    Amount,
    amount_at,
    between,
    day_at,
    flag_at,
    said_twice,
    text_at,
    texts_at,
)

_LINES = ("InvoiceLine", "CreditNoteLine")
_SUBS = ("SubInvoiceLine", "SubCreditNoteLine")
_ONCE = ("InvoicedQuantity", "CreditedQuantity", "LineExtensionAmount", "Item", "Item/Name", "Price",
         "Price/PriceAmount", "Price/BaseQuantity")  # fmt: skip
_QUANTITIES = ("InvoicedQuantity", "CreditedQuantity", "DebitedQuantity")


def read_invoice(root: Element, name: str, digest: str) -> Incoming:
    """A plain root (``xml_safe.plain``) of an Invoice or a CreditNote."""
    credit_note = "CreditNote" in root.tag
    kind = text_at(root, "InvoiceTypeCode", "CreditNoteTypeCode")
    currency = text_at(root, "DocumentCurrencyCode") or amount_at(root, "LegalMonetaryTotal/PayableAmount").unit
    day, doubts = day_at(root, "IssueDate")
    due, more = day_at(root, "DueDate", "PaymentMeans/PaymentDueDate", "PaymentTerms/PaymentDueDate")
    charged: list[Charged] = []
    for one, why in charges_of(root):
        charged.append(one)
        doubts += why
    totals, groups = totals_of(root, currency)
    supplier, supplier_id = party_at(root, "AccountingSupplierParty", "SellerSupplierParty", "PayeeParty")
    head = Head(
        name=name, digest=digest, shape="ubl-credit" if credit_note else "ubl-invoice", type=kind,
        credit=credit_note or kind in CREDITS, number=text_at(root, "ID"), day=day, due=due, currency=currency,
        supplier=supplier, supplier_id=supplier_id, order=text_at(root, "OrderReference/ID"), corrects=_corrected(root),
        tax="unknown" if flag_at(root, "TaxTotal/TaxIncludedIndicator") else "ex", charged=tuple(charged),
        totals=totals, groups=groups, notes=texts_at(root, "Note"),
        doubts=(*doubts, *more, *_told(root)),
    )  # fmt: skip
    top = [kid for kid in root if kid.tag in _LINES]
    left = _left(root)
    if not top:
        none = doubt("no-lines", "", profile=text_at(root, "CustomizationID", "ProfileID"))
        head = replace(head, doubts=(*head.doubts, none))
    return billed(head, [_facts(line, n) for n, line in enumerate(top, 1)], left)


def _corrected(root: Element) -> str:
    """The invoices BT-25 that a document is about."""
    kinds = ("InvoiceDocumentReference", "SelfBilledInvoiceDocumentReference", "CreditNoteDocumentReference")
    found = [text for kind in kinds for text in texts_at(root, f"BillingReference/{kind}/ID")]
    return ", ".join(dict.fromkeys(found))


def _told(root: Element) -> tuple[Doubt, ...]:
    """What the head says beside its figures."""
    out: list[Doubt] = []
    if "SelfBilled" in root.tag:
        out.append(doubt("self-billed", ""))
    if flag_at(root, "TaxTotal/TaxIncludedIndicator"):
        out.append(doubt("tax-included", ""))
    if flag_at(root, "CopyIndicator"):
        out.append(doubt("copy", ""))
    out += [doubt("terms", "", text=text) for text in texts_at(root, "PaymentTerms/Note")]
    delivered, wrong = day_at(root, "Delivery/ActualDeliveryDate")
    out += wrong
    if delivered is not None:
        out.append(doubt("delivered", "", day=delivered.isoformat()))
    if period := _period(root):
        out.append(doubt("period", "", period=period))
    return tuple(out)


def _period(element: Element) -> str:
    return between(text_at(element, "InvoicePeriod/StartDate"), text_at(element, "InvoicePeriod/EndDate"))


def _left(root: Element) -> tuple[LeftOut, ...]:
    """Line elements that are not lines of the document: those inside a line, whose sum it is, and strays."""
    out = []
    for line in root.iter(*_LINES, *_SUBS):
        parent = line.getparent()
        if parent is root and line.tag in _LINES:
            continue
        why = "sub-line" if parent is not None and parent.tag in (*_LINES, *_SUBS) else "stray-line"
        ident, name = text_at(line, "ID"), names_of(line.find("Item"))[0]
        out.append(LeftOut(where=f"line {ident}" if ident else why, text=name or ident, why=why))
    return tuple(out)


def _facts(line: Element, n: int) -> Facts:
    item, price = line.find("Item"), line.find("Price")
    name, description = names_of(item)
    parts: list[Part] = []
    doubts: list[Doubt] = []
    for one, why in charges_of(line):
        parts.append(one.part)
        doubts += why
    doubts += said_twice(line, *_ONCE)
    gross, off, more = _discount(price)
    category, percent = tax_of(item, line)
    subs = sum(1 for kid in line if kid.tag in (*_SUBS, *_LINES))
    if subs:
        doubts.append(doubt("sub-lines", "", n=subs))
    if flag_at(line, "FreeOfChargeIndicator"):
        doubts.append(doubt("free-of-charge", "price"))
    factor = amount_at(price, "OrderableUnitFactorRate")
    if factor.value not in (None, 1):
        doubts.append(doubt("price-factor", "price", factor=factor.text))
    return Facts(
        n=n, ident=text_at(line, "ID"), ids=ids_of(item), name=name, description=description,
        brand=text_at(item, "BrandName"), note=" ".join(texts_at(line, "Note")), properties=properties_of(item),
        quantity=amount_at(line, *_QUANTITIES), price=amount_at(price, "PriceAmount"),
        base=amount_at(price, "BaseQuantity"), gross=gross, off=off, total=amount_at(line, "LineExtensionAmount"),
        category=category, percent=percent, parts=tuple(parts), said=pack_said(item), more=tuple(_more(line, item)),
        doubts=(*doubts, *more),
    )  # fmt: skip


def _discount(price: Element | None) -> tuple[Amount, Amount, tuple[Doubt, ...]]:
    """(gross price BT-148, discount BT-147, doubts): the price element is after its own allowances."""
    if price is None:
        return NOTHING, NOTHING, ()
    off: Decimal | None = None
    gross = NOTHING
    doubts: list[Doubt] = []
    for (one, why), element in zip(charges_of(price), price.iterfind("AllowanceCharge"), strict=True):
        off = (off or Decimal(0)) - one.part.amount
        gross = amount_at(element, "BaseAmount") if not gross.text else gross
        doubts += why
    return gross, Amount(str(off), off) if off is not None else NOTHING, tuple(doubts)


def _more(line: Element, item: Element | None) -> list[tuple[str, str]]:
    """Texts of a line that have no place of their own."""
    return [
        ("order", text_at(line, "OrderLineReference/OrderReference/ID")),
        ("order_line", text_at(line, "OrderLineReference/LineID")),
        ("period", _period(line)),
        ("delivered", text_at(line, "Delivery/ActualDeliveryDate")),
        ("class", text_at(item, "CommodityClassification/ItemClassificationCode")),
        ("origin", text_at(item, "OriginCountry/IdentificationCode")),
        ("account", text_at(line, "AccountingCost")),
    ]
