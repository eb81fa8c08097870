"""Which document an XML file holds: an envelope is opened once, and what cannot be read is called by its name."""

import base64
import binascii
from collections.abc import Callable, Mapping
from dataclasses import replace
from hashlib import sha256

from costing.supply.arriving.doubt import doubt
from costing.supply.arriving.line import Incoming, Unreadable
from costing.supply.readers.cii import read_cii
from costing.supply.readers.limits import shown_name
from costing.supply.readers.ubl_catalogue import read_catalogue
from costing.supply.readers.ubl_invoice import read_invoice
from costing.supply.readers.xml_safe import Element, family_of, local_of, parse_xml, plain, space_of
from costing.supply.readers.xml_values import clean
from costing.tongue import Words, say, word

Reader = Callable[[Element, str, str], Incoming]
_UBL: Mapping[str, Reader] = {
    "Invoice": read_invoice, "CreditNote": read_invoice, "SelfBilledInvoice": read_invoice,
    "SelfBilledCreditNote": read_invoice, "Catalogue": read_catalogue,
}  # fmt: skip
_CII: Mapping[str, Reader] = {"CrossIndustryInvoice": read_cii, "CrossIndustryDocument": read_cii}
OTHER_DOCUMENTS: Words = {
    "CataloguePricingUpdate": "new prices for the lines of an earlier catalogue, without the items",
    "CatalogueItemSpecificationUpdate": "new descriptions for the lines of an earlier catalogue, without prices",
    "CatalogueDeletion": "the end of a whole catalogue",
    "CatalogueRequest": "a request for a catalogue",
    "Order": "an order",
    "OrderResponse": "an answer to an order",
    "OrderResponseSimple": "an answer to an order",
    "OrderChange": "a changed order",
    "OrderCancellation": "a cancelled order",
    "DespatchAdvice": "a delivery note, which has no prices",
    "ReceiptAdvice": "a receipt for goods, which has no prices",
    "Quotation": "a quotation",
    "DebitNote": "a debit note",
    "FreightInvoice": "an invoice for freight",
    "Reminder": "a reminder",
    "Statement": "a statement of account",
    "RemittanceAdvice": "an advice of payment",
    "ApplicationResponse": "an answer to a document",
    "SCRDMCCBDACIOMessageStructure": "an order",
    "CrossIndustryOrder": "an order",
    "CrossIndustryDespatchAdvice": "a delivery note, which has no prices",
    "CrossIndustryQuotation": "a quotation",
}
"""Documents of the two standards that are no invoice, credit note or catalogue with prices in it."""


def read_xml(data: bytes, name: str, digest: str = "") -> Incoming:
    """The invoice, credit note or catalogue in ``data``; ``digest`` is "" for that of ``data`` itself.

    Unreadable, in one line with ``name``, for everything else.
    """
    digest = digest or sha256(data).hexdigest()
    shown = shown_name(name) or say("the file")
    root = parse_xml(data, shown)
    inner = _opened(root, shown)
    reader = _reader(inner if inner is not None else root, shown)
    read = reader(plain(inner if inner is not None else root), name, digest)
    if inner is None:
        return read
    return replace(read, doubts=(*read.doubts, doubt("from-wrapper", "", wrapper=local_of(root))))


def _reader(root: Element, name: str) -> Reader:
    """The reader of a root; Unreadable where there is none."""
    family, local = family_of(root), local_of(root)
    reader = {"ubl": _UBL, "cii": _CII}.get(family, {}).get(local)
    if reader is None:
        raise Unreadable(_what_else(root, family, local, name))
    if family == "ubl" and not space_of(root).endswith("-2"):
        raise Unreadable(
            say(
                "{name} is of another version of UBL than 2 ({space}): ask for UBL 2.1",
                name=name,
                space=space_of(root)[-60:],
            )
        )
    return reader


def _what_else(root: Element, family: str, local: str, name: str) -> str:
    if family and local in OTHER_DOCUMENTS:
        what = word(OTHER_DOCUMENTS, local)
        return say("{name} is {what} ({root}): ask for an invoice or a catalogue", name=name, what=what, root=local)
    if local in _UBL or local in _CII:
        return say(
            "{name} begins with {root} and not in the namespace of UBL 2 or UN/CEFACT: ask for one of these",
            name=name, root=local,
        )  # fmt: skip
    return say(
        "{name} is XML, but no UBL or UN/CEFACT invoice, credit note or catalogue: it begins with {root}",
        name=name, root=local,
    )  # fmt: skip


def _opened(root: Element, name: str) -> Element | None:
    """The document inside an envelope, None where there is no envelope."""
    local = local_of(root)
    if local == "StandardBusinessDocument":
        return _only_one([kid for kid in root if local_of(kid) != "StandardBusinessDocumentHeader"], name)
    if local == "AttachedDocument" and family_of(root) == "ubl":
        return _attached(root, name)
    return None


def _only_one(found: list[Element], name: str) -> Element:
    if len(found) != 1:
        raise Unreadable(
            say(
                "{name} is an envelope with {n} documents in it, and one is wanted: save it by itself",
                name=name,
                n=len(found),
            )
        )
    inner = found[0]
    if local_of(inner) in ("BinaryContent", "TextContent", "Payload"):
        text = inner.text or ""
        return parse_xml(_unpacked(text, name) if local_of(inner) == "BinaryContent" else text.encode(), name)
    if not (
        family_of(inner) and (local_of(inner) in _UBL or local_of(inner) in _CII or local_of(inner) in OTHER_DOCUMENTS)
    ):
        raise Unreadable(
            say(
                "{name} is an envelope around {root}: save the invoice in it by itself", name=name, root=local_of(inner)
            )
        )
    return inner


def _attached(root: Element, name: str) -> Element:
    """The XML inside a UBL AttachedDocument: in base64, or as the text of a description."""
    texts: list[bytes] = []
    for element in root.iterfind("{*}Attachment//{*}EmbeddedDocumentBinaryObject"):
        if "xml" in (element.get("mimeCode") or "xml").casefold() and clean(element.text):
            texts.append(_unpacked(element.text, name))
    for element in root.iterfind("{*}Attachment/{*}ExternalReference/{*}Description"):
        text = (element.text or "").strip()
        if text.startswith("<"):
            texts.append(_redeclared(text))
    if len(texts) != 1:
        raise Unreadable(
            say(
                "{name} is an envelope with {n} documents in it, and one is wanted: save it by itself",
                name=name,
                n=len(texts),
            )
        )
    return parse_xml(texts[0], name)


def _redeclared(text: str) -> bytes:
    """A document that stood as text in another: it has no encoding of its own any more."""
    if text.startswith("<?xml"):
        text = text.partition("?>")[2]
    return text.encode("utf-8")


def _unpacked(text: str, name: str) -> bytes:
    try:
        return base64.b64decode("".join(text.split()), validate=True)
    except (binascii.Error, ValueError):
        raise Unreadable(say("what {name} has attached is damaged (base64): ask for it again", name=name)) from None
