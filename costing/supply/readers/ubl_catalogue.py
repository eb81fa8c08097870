"""UBL 2 Catalogue (OASIS UBL 2.1, Peppol catalogue transaction T19): prices with their packs, days and quantity breaks.

The item's number is what an action is about, never the number of the line. A header without an action replaces.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from math import prod
from typing import Literal

from costing.book.records import TaxBasis
from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.line import Incoming, LeftOut, Per, PriceLine
from costing.supply.packs.codes import unit_of_code
from costing.supply.packs.record import Pack
from costing.supply.readers.ubl_parts import ids_of, names_of, pack_said, party_at, properties_of, tax_of
from costing.supply.readers.ubl_prices import (
    ON_APPLICATION,
    WITH_TAX,
    Asked,
    asked_of,
    breaks_of,
    chosen,
)
from costing.supply.readers.ubl_related import named_twice, with_deposits
from costing.supply.readers.xml_lines import gtin_of, pack_raw, property_raw, rate_of
from costing.supply.readers.xml_packs import Compared, PackSaid, named_pack, pack_of, per_of
from costing.supply.readers.xml_safe import Element
from costing.supply.readers.xml_sorts import sort_of
from costing.supply.readers.xml_values import (
    Amount,
    amount_at,
    day_at,
    flag_at,
    numbers_wrong,
    plainly,
    text_at,
    texts_at,
)

Doubts = tuple[Doubt, ...]
_HEADER = ("Add", "Replace", "Update", "Delete")
_LINE = ("Add", "Update", "Delete")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Head:
    """What the lines of a catalogue inherit."""

    day: date | None
    since: date | None
    until: date | None
    currency: str
    deletes: bool


def read_catalogue(root: Element, name: str, digest: str) -> Incoming:
    """A plain root (``xml_safe.plain``) of a Catalogue."""
    day, doubts = day_at(root, "IssueDate")
    since, more = day_at(root, "ValidityPeriod/StartDate")
    until, wrong = day_at(root, "ValidityPeriod/EndDate")
    action, odd = _action(text_at(root, "ActionCode"), _HEADER, "")
    doubts += (*more, *wrong, *odd)
    if action == "Delete":
        doubts += (doubt("catalogue-deleted", ""),)
    currency = text_at(root, "PricingCurrencyCode", "DocumentCurrencyCode")
    head = _Head(day=day, since=since, until=until, currency=currency, deletes=action == "Delete")
    top = [kid for kid in root if kid.tag == "CatalogueLine"]
    lines = with_deposits([_line(line, n, head) for n, line in enumerate(top, 1)], top)
    sellers = ("SellerSupplierParty", "ProviderParty", "CatalogueLine/SellerSupplierParty")
    supplier, supplier_id = party_at(root, *sellers)
    doubts += tuple(doubt("document-note", "", text=text) for text in texts_at(root, "Note"))
    if not lines:
        doubts += (doubt("no-lines", "", profile=text_at(root, "CustomizationID", "ProfileID")),)
    if not supplier:
        doubts += (doubt("supplier-missing", ""),)
    currencies = {line.currency for line in lines if line.currency}
    return Incoming(
        name=name, digest=digest, shape="ubl-catalogue", kind="catalogue", lines=tuple(named_twice(lines)),
        left_out=_stray(root), doubts=tuple(dict.fromkeys(doubts)), supplier=supplier, supplier_id=supplier_id,
        number=text_at(root, "ID"), day=day, currency=currency or (currencies.pop() if len(currencies) == 1 else ""),
        replaces=action == "Replace" or (not action and not odd),
    )  # fmt: skip


def _action(said: str, known: Sequence[str], at: str) -> tuple[str, Doubts]:
    """An action code as it stands; codes are told apart by their case, and one in another case does nothing."""
    if not said or said in known:
        return said, ()
    cased = next((code for code in known if code.casefold() == said.casefold()), "")
    return "", (doubt("action-case", at, value=said, code=cased) if cased else doubt("action-unknown", at, value=said),)


def _stray(root: Element) -> tuple[LeftOut, ...]:
    return tuple(
        LeftOut(where="stray-line", text=names_of(line.find("Item"))[0] or text_at(line, "ID"), why="stray-line")
        for line in root.iter("CatalogueLine") if line.getparent() is not root
    )  # fmt: skip


def _line(line: Element, n: int, head: _Head) -> PriceLine:
    item = line.find("Item")
    name, description = names_of(item)
    ids, properties = ids_of(item), properties_of(item)
    gtin, doubts = gtin_of(ids)
    action, odd = _action(text_at(line, "ActionCode"), _LINE, "")
    asked, larger, others = chosen(asked_of(line) or [Asked()], head.day)
    removes = head.deletes or action == "Delete"
    order_unit = text_at(line, "OrderableUnit") or asked.least.unit or asked.base.unit
    said = pack_said(item, line)
    named = named_pack(name, description, properties)
    pack, per, base, more = _measured(line, asked, order_unit, said, named)
    since, until, days = _days(line, asked, head)
    kind = asked.kind
    price = None if kind == ON_APPLICATION else asked.price.value
    tax: TaxBasis = "inc" if kind == WITH_TAX else "ex"
    category, percent = tax_of(item, asked.element)
    rate, rates = rate_of(percent)
    breaks, less = breaks_of(larger, asked, _in_pack(per, pack), base, order_unit)
    minimum = amount_at(line, "MinimumOrderQuantity")
    sort, why = sort_of(
        name, coded=bool(ids.seller or ids.standard), amount=price, quantity=None,
        sized=pack is not None and pack.content is not None,
    )  # fmt: skip
    doubts += (*odd, *days, *asked.doubts, *rates, *why)
    if not removes:
        doubts += (*more, *less, *_price_doubts(line, asked, others, minimum))
    if not name:
        doubts += (doubt("name-missing", "name"),)
    raw = _raw(line, item, asked, others, said, (order_unit, action, category, percent.text), properties)
    act: Literal["set", "remove"] = "remove" if removes else "set"
    least = minimum.value if minimum.value is not None else asked.least.value
    return PriceLine(
        n=n, where=f"line {text_at(line, 'ID') or n}", raw=raw, sort=sort, code=ids.seller, gtin=gtin, name=name,
        pack=pack, price=price, base=base, per=per, currency=asked.price.unit or head.currency, tax=tax, rate=rate,
        unit=order_unit, breaks=breaks, minimum=least if least is not None and least > 1 else None, since=since,
        until=until, action=act, section=text_at(item, "CommodityClassification/ItemClassificationCode"),
        note=" ".join(texts_at(line, "Note")), doubts=tuple(dict.fromkeys(doubts)),
    )  # fmt: skip


def _measured(
    line: Element, asked: Asked, order_unit: str, said: PackSaid, named: Pack | None
) -> tuple[Pack | None, Per, Decimal, Doubts]:
    """(pack, per, base, doubts). Compared prices are worked with the price of the whole orderable unit."""
    whole = _whole_price(asked, order_unit, said)
    compared = [
        Compared(price=price, quantity=amount_at(one, "Quantity"), asked=whole)
        for one in line.iterfind("ItemComparison")
        if whole is not None and (price := amount_at(one, "PriceAmount").value) is not None
    ]
    pack, doubts = pack_of(named, said, compared)
    given = asked.base.value if asked.base.value is not None else Decimal(1)
    if given <= 0:
        doubts += (doubt("base-odd", "price", base=plainly(given)),)
        given = Decimal(1)
    factor = asked.factor.value if asked.factor.value is not None else Decimal(1)
    told = said.below.value is not None or said.units.value is not None
    per, base, more = per_of(asked.base.unit or order_unit, given, pack, article=told)
    if factor == 1 or factor <= 0:
        return pack, per, base, (*doubts, *more, *_two_units(asked.base.unit, order_unit, per, factor))
    if per in ("kg", "l"):
        return pack, per, base, (*doubts, *more)
    if pack is not None and prod(pack.levels) == factor and pack.levels:
        return pack, "each", given, tuple(doubts)  # the price is of one of the units that make the orderable one
    return pack, "", given, (*doubts, doubt("price-factor", "price", factor=asked.factor.text))


def _two_units(base: str, order: str, per: Per, factor: Decimal) -> Doubts:
    """A price in pieces of something that is ordered in packages, with nothing said of how many it holds."""
    if factor <= 0:
        return (doubt("price-factor", "price", factor=plainly(factor)),)
    if per in ("kg", "l") or not base or not order or base == order:
        return ()
    one, other = unit_of_code(base), unit_of_code(order)
    if (
        one is not None
        and other is not None
        and (one.dim, one.package, one.factor) == (other.dim, other.package, other.factor)
    ):
        return ()
    return (doubt("unit-each-or-case", "unit", unit=base, pack=order),)


def _whole_price(asked: Asked, order_unit: str, said: PackSaid) -> Decimal | None:
    """The price of one orderable unit, where the elements alone say it."""
    base = asked.base.value if asked.base.value is not None else Decimal(1)
    if asked.price.value is None or base <= 0:
        return None
    one = asked.price.value / base * (asked.factor.value or Decimal(1))
    same = not asked.base.unit or asked.base.unit == order_unit or asked.factor.value is not None
    return one if same else None


def _in_pack(per: Per, pack: Pack | None) -> Decimal | None:
    """How many of what a price is asked for make one pack; None where that is not known."""
    if per in ("pack", "each"):
        return Decimal(prod(pack.levels)) if per == "each" and pack is not None else Decimal(1)
    unit = {"kg": "g", "l": "ml"}.get(per)
    if pack is None or pack.total is None or pack.unit != unit or pack.doubts:
        return None
    return pack.total / 1000


def _days(line: Element, asked: Asked, head: _Head) -> tuple[date | None, date | None, Doubts]:
    """The innermost days: those of the price lie in those of the line, and these in those of the catalogue."""
    starts, wrong = day_at(line, "LineValidityPeriod/StartDate")
    ends, more = day_at(line, "LineValidityPeriod/EndDate")
    since = asked.since or starts or head.since
    until = asked.until or ends or head.until
    doubts = [*wrong, *more]
    outer = [(head.since, head.until), (starts, ends)]
    outside = any(
        (first and since and since < first) or (last and until and until > last) or (first and until and until < first)
        for first, last in outer
    )
    if outside:
        doubts.append(doubt("period-outside", "since", since=since or "", until=until or ""))
    if since is not None and until is not None and since > until:
        doubts.append(doubt("period-backward", "since", since=since, until=until))
    return since or head.day, until, tuple(doubts)


def _price_doubts(line: Element, asked: Asked, others: Sequence[Asked], minimum: Amount) -> Doubts:
    out = [
        *numbers_wrong(("price", asked.price), ("price", asked.base), ("minimum", minimum), ("minimum", asked.least))
    ]
    if asked.kind == ON_APPLICATION:
        out.append(doubt("on-request", "price"))
    elif not asked.price.text:
        out.append(doubt("price-missing", "price"))
    elif asked.price.value is not None and asked.price.value < 0:
        out.append(doubt("price-negative", "price", price=asked.price.text))
    elif asked.price.value == 0:
        out.append(doubt("price-zero", "price"))
    if others:
        out.append(doubt("several-prices", "price", taken=asked.said, others="; ".join(one.said for one in others)))
    elif asked.place:
        out.append(doubt("price-place", "price", place=asked.place))
    if asked.base.value is not None and asked.base.value != 1 and asked.base.value == asked.price.value:
        out.append(doubt("base-suspect", "price", base=asked.base.text, price=asked.price.text))
    if flag_at(line, "OrderableIndicator") is False:
        out.append(doubt("not-orderable", ""))
    return tuple(out)


def _raw(
    line: Element, item: Element | None, asked: Asked, others: Sequence[Asked], said: PackSaid,
    told: tuple[str, str, str, str], properties: Sequence[tuple[str, str]],
) -> tuple[tuple[str, str], ...]:  # fmt: skip
    ids = ids_of(item)
    name, description = names_of(item)
    texts = [
        ("line", text_at(line, "ID")), ("code", ids.seller), ("gtin", ids.standard), ("gtin_scheme", ids.scheme),
        ("buyer_code", ids.buyer), ("maker_code", ids.maker), *(("other_code", code) for code in ids.others),
        ("name", name), ("description", description), ("brand", text_at(item, "BrandName")),
        *(("keyword", word) for word in texts_at(item, "Keyword")),
        *zip(("unit", "action", "category", "rate"), told, strict=True), *pack_raw(said),
        ("price", asked.price.text), ("currency", asked.price.unit), ("price_type", asked.kind),
        ("base", asked.base.text), ("base_unit", asked.base.unit), ("factor", asked.factor.text),
        ("break_from", asked.least.text), ("break_until", asked.most.text),
        *(("old_price" if one.kind == "AAL" else "other_price", one.said) for one in others),
        ("minimum", text_at(line, "MinimumOrderQuantity")), ("most", text_at(line, "MaximumOrderQuantity")),
        ("step", text_at(line, "OrderQuantityIncrementNumeric")),
        *(("compared", f"{text_at(one, 'PriceAmount')} / {text_at(one, 'Quantity')} {amount_at(one, 'Quantity').unit}")
          for one in line.iterfind("ItemComparison")),
        *(("related", text_at(one, "ID")) for one in line.iterfind("RequiredRelatedItem")),
        *property_raw(properties),
    ]  # fmt: skip
    return tuple((role, text) for role, text in texts if text)
