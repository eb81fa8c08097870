"""From the facts of a billed line, as UBL or CII state them, to the one shape of a line; and so for whole documents."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from costing.book.records import TaxBasis
from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.line import Incoming, LeftOut, Part, PriceLine
from costing.supply.packs.codes import gtin14
from costing.supply.packs.record import Pack
from costing.supply.readers.xml_packs import PackSaid, is_abv, named_pack, pack_of, per_of, scaled
from costing.supply.readers.xml_sorts import sort_of
from costing.supply.readers.xml_sums import (
    Billed,
    Charged,
    Group,
    Totals,
    document_doubts,
    line_doubts,
    note_doubts,
    slack,
)
from costing.supply.readers.xml_values import NOTHING, Amount, numbers_wrong, plainly

CREDITS = frozenset(("81", "83", "261", "262", "296", "308", "381", "396", "420", "458", "502", "503", "532"))
"""UNCL 1001: types of document that give money back (those EN 16931 allows for credit notes); from memory."""
_TYPES = {"325": "type-proforma", "386": "type-prepayment", "383": "type-debit"}
_GTIN = frozenset({"0160", "GTIN", "GTIN-8", "GTIN-12", "GTIN-13", "GTIN-14", "EAN", "EAN-8", "EAN-13", "EAN8", "EAN13",
                   "UPC", "SRV"})  # fmt: skip
"""ISO 6523 code 0160 is GTIN, UNCL 7143 calls it SRV; the plain names are common practice, no source."""
REMARKS = frozenset({"document-note", "terms", "delivered", "period", "prepaid", "old-version", "from-wrapper"})
"""Codes of doubts that only tell what a document says, and ask for nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ids:
    """The numbers of an item: the seller's BT-155, the buyer's BT-156, a standard one BT-157 with its scheme."""

    seller: str = ""
    buyer: str = ""
    maker: str = ""
    standard: str = ""
    scheme: str = ""
    others: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """One billed line as it stands in a document, signs as they came. ``gross`` and ``off`` are BT-148 and BT-147;
    ``charged`` are its own charges and allowances BG-27 and BG-28."""

    n: int
    ident: str = ""
    ids: Ids = Ids()
    name: str = ""
    description: str = ""
    brand: str = ""
    note: str = ""
    properties: tuple[tuple[str, str], ...] = ()
    quantity: Amount = NOTHING
    price: Amount = NOTHING
    base: Amount = NOTHING
    gross: Amount = NOTHING
    off: Amount = NOTHING
    total: Amount = NOTHING
    category: str = ""
    percent: Amount = NOTHING
    parts: tuple[Part, ...] = ()
    said: PackSaid = PackSaid()
    more: tuple[tuple[str, str], ...] = ()
    doubts: tuple[Doubt, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """The head and foot of a billing document. ``type`` is its code of UNCL 1001; ``credit`` whether its amounts are
    money back."""

    name: str
    digest: str
    shape: str
    type: str = ""
    credit: bool = False
    number: str = ""
    day: date | None = None
    due: date | None = None
    currency: str = ""
    tax: TaxBasis = "ex"
    supplier: str = ""
    supplier_id: str = ""
    order: str = ""
    corrects: str = ""
    charged: tuple[Charged, ...] = ()
    totals: Totals = Totals()
    groups: tuple[Group, ...] = ()
    notes: tuple[str, ...] = ()
    doubts: tuple[Doubt, ...] = ()


def billed(head: Head, facts: Sequence[Facts], left_out: Sequence[LeftOut] = ()) -> Incoming:
    """The document in the shape that every reader gives.

    In a credit note the quantities, totals and parts of lines and document are turned round: what it states as positive
    is money back, and stands here as negative. ``raw`` keeps the texts as they came. ``total`` is without tax (BT-109).
    """
    lines = tuple(_line(one, head) for one in facts)
    order = head.order or _common(line.said("order") for line in lines)
    total = _net(head)
    doubts = [*head.doubts, *_head_doubts(head, lines)]
    sums = [Billed(total=one.total.value, category=one.category, percent=one.percent.value) for one in facts]
    if facts:
        doubts += document_doubts(sums, head.charged, head.totals, head.groups, head.currency)
    doubts += note_doubts(head.notes, head.groups)
    doubts += [doubt("document-note", "", text=note) for note in head.notes]
    return Incoming(
        name=head.name, digest=head.digest, shape=head.shape, kind="credit" if head.credit else "invoice", lines=lines,
        left_out=tuple(left_out), doubts=tuple(dict.fromkeys(doubts)), supplier=head.supplier,
        supplier_id=head.supplier_id, number=head.number, day=head.day, due=head.due, currency=head.currency,
        order=order, corrects=head.corrects, parts=tuple(_turned(c.part, head.credit) for c in head.charged),
        total=_flip(total, head.credit),
    )  # fmt: skip


def _net(head: Head) -> Decimal | None:
    """The stated total without tax; in documents of UBL 2.0 its element may hold the tax instead."""
    totals = head.totals
    if totals.lines is None:
        return totals.exclusive
    worked = totals.lines + sum((c.part.amount for c in head.charged), Decimal(0))
    if totals.exclusive is None or (totals.exclusive == totals.tax and totals.exclusive != worked):
        return worked
    return totals.exclusive


def _head_doubts(head: Head, lines: Sequence[PriceLine]) -> Iterator[Doubt]:
    has = [("number-missing", head.number), ("day-missing", head.day), ("currency-missing", head.currency)]
    for code, value in (*has, ("supplier-missing", head.supplier)):
        if not value:
            yield doubt(code)
    if head.type in _TYPES:
        yield doubt(_TYPES[head.type], "", type=head.type)
    elif head.type and not (head.type.isascii() and head.type.isdigit()):
        yield doubt("type-unknown", "", type=head.type)
    stated = head.totals.payable if head.totals.payable else head.totals.inclusive
    if head.credit and stated is not None and stated < 0:
        yield doubt("credit-sign", "", total=plainly(stated))
    if head.totals.prepaid:
        yield doubt("prepaid", "", amount=plainly(head.totals.prepaid))
    codes = {line.currency for line in lines if line.currency}
    for other in sorted(codes - {head.currency}) if head.currency else ():
        yield doubt("currency-differs", "", currency=other, document=head.currency)


def _common(texts: Iterable[str]) -> str:
    """The one text that all say who say anything."""
    said = {text for text in texts if text}
    return said.pop() if len(said) == 1 else ""


def _flip(value: Decimal | None, credit: bool) -> Decimal | None:
    return -value if value and credit else value


def _turned(part: Part, credit: bool) -> Part:
    return replace(part, amount=-part.amount) if credit and part.amount else part


def _line(facts: Facts, head: Head) -> PriceLine:
    gtin, doubts = gtin_of(facts.ids)
    named = named_pack(facts.name, facts.description, facts.properties)
    pack, more = pack_of(named, facts.said)
    quantity, total = _flip(facts.quantity.value, head.credit), _flip(facts.total.value, head.credit)
    goes = total if total is not None else _product(facts.price.value, quantity)
    sized = pack is not None and pack.content is not None
    coded = bool(facts.ids.seller or facts.ids.standard)
    sort, why = sort_of(facts.name, coded=coded, amount=goes, quantity=quantity, sized=sized)
    base = facts.base.value if facts.base.value is not None and facts.base.value > 0 else Decimal(1)
    per, base, units = per_of(facts.base.unit or facts.quantity.unit, base, pack, article=False)
    rate, rates = rate_of(facts.percent)
    currency = facts.price.unit or facts.total.unit or head.currency
    doubts += (*why, *_price_doubts(facts, currency), *rates)
    if sort == "goods":
        if per not in ("kg", "l"):  # a weight or a volume is priced whatever the name says of a pack
            doubts += more
        doubts += (*units, *scaled(facts.quantity.unit))
    else:
        pack = None
    return PriceLine(
        n=facts.n, where=f"line {facts.ident or facts.n}", raw=tuple(_raw(facts, pack)), sort=sort,
        code=facts.ids.seller, gtin=gtin, name=facts.name, pack=pack, price=facts.price.value,
        base=base, per=per, currency=currency,
        tax=head.tax, rate=rate, quantity=quantity, unit=facts.quantity.unit, total=total,
        parts=tuple(_turned(part, head.credit) for part in facts.parts), since=head.day, note=facts.note,
        doubts=tuple(dict.fromkeys((*facts.doubts, *doubts))),
    )  # fmt: skip


def _product(one: Decimal | None, other: Decimal | None) -> Decimal | None:
    return None if one is None or other is None else one * other


def _price_doubts(facts: Facts, currency: str) -> Iterator[Doubt]:
    """What does not hold together in the figures of one line."""
    price, quantity = facts.price, facts.quantity
    yield from numbers_wrong(
        ("price", price),
        ("quantity", quantity),
        ("total", facts.total),
        ("gross", facts.gross),
        ("rate", facts.percent),
    )
    yield from numbers_wrong(("price", facts.base))
    if not price.text:
        yield doubt("price-missing", "price")
    elif price.value is not None and price.value < 0:
        yield doubt("price-negative", "price", price=price.text)
    elif price.value == 0:
        yield doubt("price-zero", "price")
    if not quantity.text:
        yield doubt("quantity-missing", "quantity")
    if not facts.total.text:
        yield doubt("total-missing", "total")
    if not facts.name:
        yield doubt("name-missing", "name")
    yield from line_doubts(
        price=price, base=facts.base, quantity=quantity, parts=facts.parts, total=facts.total, currency=currency
    )
    gross, off = facts.gross.value, facts.off.value or Decimal(0)
    if gross is not None and price.value is not None and abs(gross - off - price.value) > slack(currency):
        yield doubt("gross-net", "price", gross=facts.gross.text, off=plainly(off), price=price.text)


def gtin_of(ids: Ids) -> tuple[str, tuple[Doubt, ...]]:
    """(14 digits or "", doubts). A number under a scheme that is not GTIN is kept in ``raw`` alone; one without a
    scheme (against rule BR-64) is read, and doubted."""
    if not ids.standard:
        return "", ()
    scheme = ids.scheme.upper().replace("_", "-")
    if scheme in _GTIN:
        return gtin14(ids.standard)
    other = doubt("scheme-other", "gtin", value=ids.standard, scheme=ids.scheme)
    if scheme:
        return "", (other,)
    found, doubts = gtin14(ids.standard)
    return found, (other, *doubts)


def rate_of(percent: Amount) -> tuple[Decimal | None, tuple[Doubt, ...]]:
    """A percentage as a share, 19 as 0.19; doubted and left out where it cannot be one."""
    if percent.value is None:
        return None, ()
    if not 0 <= percent.value < 100:
        return None, (doubt("rate-odd", "rate", value=percent.text),)
    return percent.value / 100, ()


def _raw(facts: Facts, pack: Pack | None) -> Iterator[tuple[str, str]]:
    """Every text of the line by its role, those that are there."""
    ids = facts.ids
    texts = [
        ("line", facts.ident), ("code", ids.seller), ("gtin", ids.standard), ("gtin_scheme", ids.scheme),
        ("buyer_code", ids.buyer), ("maker_code", ids.maker), *(("other_code", code) for code in ids.others),
        ("name", facts.name), ("description", facts.description), ("brand", facts.brand),
        ("quantity", facts.quantity.text), ("unit", facts.quantity.unit), ("price", facts.price.text),
        ("currency", facts.price.unit), ("base", facts.base.text), ("base_unit", facts.base.unit),
        ("gross", facts.gross.text), ("discount", facts.off.text), ("total", facts.total.text),
        ("category", facts.category), ("rate", facts.percent.text), *pack_raw(facts.said),
        ("pack", pack.text if pack is not None else ""), ("remark", facts.note), *facts.more,
        *property_raw(facts.properties),
    ]  # fmt: skip
    yield from ((role, text) for role, text in texts if text)


def pack_raw(said: PackSaid) -> Iterator[tuple[str, str]]:
    """The texts of the pack elements by role."""
    yield "below", f"{said.below.text} {said.below.unit}".strip()
    yield "count", said.units.text
    yield "content", f"{said.content.text} {said.content.unit}".strip()
    yield "pack_level", said.level


def property_raw(properties: Iterable[tuple[str, str]]) -> Iterator[tuple[str, str]]:
    """Further properties of an item: its strength under its role, the rest as "label: value"."""
    for label, value in properties:
        yield ("abv", value) if is_abv(label) else ("property", f"{label}: {value}" if label else value)
