"""One row after another into price lines, every doubt of a row beside its figures."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from costing.book.records import Break, FreeGoods, TaxBasis
from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.line import Per, PriceLine
from costing.supply.columns import checks
from costing.supply.columns.amounts import EMPTY, Amount
from costing.supply.columns.money import currency_of_line
from costing.supply.columns.packing import pieces
from costing.supply.columns.packs_of import KindOf, Packed, pack_reader
from costing.supply.columns.prepared import Asked, Prepared
from costing.supply.columns.sorts import least_of, said_in, sort_of
from costing.supply.packs.codes import gtin14, gtin_ok
from costing.supply.packs.record import Pack

_ONE = Decimal(1)
_HUNDRED = Decimal(100)
_SILENT: tuple[tuple[Break, ...], FreeGoods | None, tuple[Doubt, ...]] = ((), None, ())
Make = Callable[[int, int, str], PriceLine]


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """What holds for all lines of a list: tax, rate, currency and the days it is valid, with their sentence. ``sign``
    is one for money that does not say which currency; ``asked`` are doubts that every line with a price carries."""

    tax: TaxBasis
    rate: Decimal | None
    currency: str
    since: date | None = None
    until: date | None = None
    validity: str = ""
    sign: str = ""
    asked: tuple[Doubt, ...] = ()


@dataclass(frozen=True, slots=True)
class _Price:
    value: Decimal | None
    base: Decimal
    per: Per
    currency: str
    doubts: tuple[Doubt, ...]
    role: str
    sign: str = ""


def line_maker(ready: Prepared, listed: Listed, kind_of: KindOf | None) -> Make:
    """A function (row under the heading, number of the line, section) -> PriceLine."""
    cells = ready.cells
    roles = [use.role for use in ready.columns.uses]
    by_row = list(zip(*(cells[role] for role in roles), strict=True)) if roles else [()] * len(ready.rows)
    codes, gtins, names, sections = cells["code"], cells["gtin"], cells["name"], cells["section"]
    units, currencies, least = cells["unit"], cells["currency"], cells["minimum"]
    remarks = _remarks(ready)
    pack_at = pack_reader(ready, kind_of)
    rate_at = _rates(ready, listed.rate)
    crossed = _crossed(ready)
    none = [EMPTY] * len(ready.rows)
    deposits, quantities, totals = (ready.amounts.get(role, none) for role in ("deposit", "quantity", "total"))
    dated = [role for role, day in (("since", listed.since), ("until", listed.until)) if day is not None]
    sinces, untils = ready.days.get("since"), ready.days.get("until")
    coded, steps = "code" in roles, bool(ready.steps)

    def make(i: int, n: int, section: str) -> PriceLine:
        name = names[i].strip()
        packed = pack_at(i)
        price = _price(ready, i, packed)
        doubts = [*packed.doubts, *price.doubts]
        priced = price.value is not None
        if priced and (crossed or listed.asked):
            doubts += (*_cross_checks(ready, i, price, packed.pack, rate_at(i)), *listed.asked)
        gtin, odd = _gtin(gtins[i]) if gtins[i] else ("", ())
        beside = listed.sign if priced else ""
        currency, unlike = currency_of_line(currencies[i], price.currency, price.sign, listed.currency, beside)
        remark = remarks[i] if remarks else ""
        breaks, free, told = _said(ready, i, name, remark, price.value) if remark or steps or "+" in name else _SILENT
        sort, sure = sort_of(name) if name else ("goods", True)
        if odd or unlike or told:
            doubts += (*odd, *unlike, *told)
        if not sure:
            doubts.append(doubt("may-be-charge", "name", value=name))
        if not name and not (coded and codes[i]) and not gtin:
            doubts.append(doubt("nameless", "name"))
        deposit, quantity, total = deposits[i], quantities[i], totals[i]
        if deposit.doubts or quantity.doubts or total.doubts:
            doubts += (*deposit.doubts, *quantity.doubts, *total.doubts)
        since, until = listed.since, listed.until
        if sinces is not None and cells["since"][i]:
            since = sinces[i].day
            doubts += sinces[i].doubts
        if untils is not None and cells["until"][i]:
            until = untils[i].day
            doubts += untils[i].doubts
        minimum = least_of(least[i]) if least[i] else None
        if minimum is None and least[i].strip():
            doubts.append(doubt("figure-unread", "minimum", value=least[i]))
        raw = [pair for pair in zip(roles, by_row[i], strict=True) if pair[1]]
        raw += [(role, listed.validity) for role in dated if role not in cells or not cells[role][i]]
        return PriceLine(
            n=n, where=f"row {ready.first + i + 1}",
            raw=tuple(raw), sort=sort, code=codes[i].strip(), gtin=gtin, name=name, pack=packed.pack,
            price=price.value, base=price.base,
            per=price.per, currency=currency, tax=_tax(price, listed, doubts), rate=rate_at(i),
            quantity=quantity.value, unit=units[i].strip(), total=total.value, breaks=breaks, minimum=minimum,
            free=free, deposit=deposit.value, since=since, until=until, section=sections[i].strip() or section,
            note=remark, doubts=tuple(doubts),
        )  # fmt: skip

    return make


def _units(ready: Prepared, i: int, pack: Pack | None) -> int | None:
    """How many units the column of counts says that a pack of pieces holds, None where it says none."""
    cell = ready.cells["count"][i].strip()
    return int(cell) if pack is not None and pack.unit == "each" and cell.isascii() and cell.isdigit() else None


def _gtin(text: str) -> tuple[str, tuple[Doubt, ...]]:
    """``gtin14``, with a short way for what is one as it stands."""
    return (text.zfill(14), ()) if len(text) == 13 and text[0] != "0" and gtin_ok(text) else gtin14(text)


def _remarks(ready: Prepared) -> list[str] | None:
    columns = [use.column for use in ready.columns.uses if use.role == "remark"]
    if not columns:
        return None
    return [" ".join(row[c].strip() for c in columns if c < len(row) and row[c].strip()) for row in ready.rows]


def _price(ready: Prepared, i: int, packed: Packed) -> _Price:
    """The first price that a row states, and what it is asked for."""
    for asked in ready.asked:
        one = ready.amounts[asked.role][i]
        if one.state != "empty":
            return _asked_for(asked, one, packed)
    odd = (doubt("price-empty", "price"),) if ready.asked else (doubt("no-price-column", "price"),)
    return _Price(None, _ONE, "", "", odd, "")


def _asked_for(asked: Asked, one: Amount, packed: Packed) -> _Price:
    """A price and what it is for."""
    per, base, doubts = asked.per, asked.base, (*one.doubts, *asked.doubts) if asked.doubts else one.doubts
    pack, count = packed.pack, pieces(packed.pack)
    shown = pack.text if pack else ""
    if asked.role in ("price", "gross"):
        per, base, told = _by_unit(asked, packed, count)
        doubts = (*doubts, *told)
    elif not per and pack is not None:
        per = "l" if pack.unit == "ml" else "kg" if pack.unit == "g" else ""
    if per in ("kg", "l"):
        doubts = (*doubts, *checks.price_basis(per, pack))
    elif not per and not packed.unclear:
        if count in (None, 1) and asked.role != "price_measure":
            per = "pack"
        else:
            doubts = (*doubts, doubt("price-for-what", "price", value=shown_value(one), line=shown))
    base = base if one.base == 1 else base * one.base
    return _Price(one.value, base, per, one.currency, doubts, asked.role, one.sign)


def shown_value(one: Amount) -> str:
    """The figure of an amount for a sentence, "" where there is none."""
    return "" if one.value is None else f"{one.value:f}"


def _by_unit(asked: Asked, packed: Packed, count: int | None) -> tuple[Per, Decimal, tuple[Doubt, ...]]:
    """What a price is for, where its row has a unit of sale: "PER LB" and "EACH" count before the pack; "kg" beside a
    pack of several is not known to; a piece against a column that is said to be for the pack is asked about."""
    shown = packed.pack.text if packed.pack else ""
    if packed.unclear:
        return "", asked.base, ()
    if packed.plainly:
        odd = packed.per == "each" and packed.pack is not None and count != 1
        told = (doubt("price-of-a-piece", "price", pack=shown),) if odd else ()
        return packed.per, packed.base, told
    if packed.per == "each" and asked.per == "pack" and (count or 0) > 1:
        return "", asked.base, ()
    if asked.per or not packed.per:
        return asked.per, asked.base, ()
    return packed.per, packed.base, ()


def _tax(price: _Price, listed: Listed, doubts: list[Doubt]) -> TaxBasis:
    """Whether tax is in a price; nothing is known of it where net and gross are swapped."""
    if doubts and any(d.code == "net-gross-swapped" for d in doubts):
        return "unknown"
    return "inc" if price.role == "gross" else listed.tax


def _rates(ready: Prepared, rate: Decimal | None) -> Callable[[int], Decimal | None]:
    """The rate of tax of a row as a share: 19, "19 %" and 0.19 are the same where the whole column says so."""
    column = ready.amounts.get("rate")
    if column is None:
        return lambda i: rate
    shares = all(one.percent is False and one.value < 1 for one in column if one.value is not None)
    scaled = {id(one): None if one.value is None else one.value if shares else one.value / _HUNDRED for one in column}
    return lambda i: scaled[id(column[i])] if column[i].value is not None else rate


def _crossed(ready: Prepared) -> bool:
    return len(ready.asked) > 1 or {"quantity", "total"} <= ready.amounts.keys()


def _cross_checks(ready: Prepared, i: int, price: _Price, pack: Pack | None, rate: Decimal | None) -> list[Doubt]:
    """What the other columns of figures say of the same price."""
    out: list[Doubt] = []
    value = price.value
    if value is None:
        return out
    if price.role == "price":
        count = pieces(pack)
        for asked in ready.asked[1:]:
            other = ready.amounts[asked.role][i]
            if other.value is None:
                out += other.doubts
                continue
            places = max(ready.places[asked.role], ready.places["price"])
            if asked.role == "price_each" and price.base == 1:
                out += checks.unit_price(value, other.value / asked.base, count, places, _units(ready, i, pack))
            elif asked.role == "price_measure" and pack is not None and price.base == 1:
                out += checks.measure_price(value, other.value, pack, asked.per, asked.base, count, places)
            elif asked.role == "gross":
                out += checks.gross_price(value, other.value, rate)
    if "total" in ready.amounts and "quantity" in ready.amounts:
        out += _total_check(ready, i, price, value)
    return out


def _total_check(ready: Prepared, i: int, price: _Price, value: Decimal) -> tuple[Doubt, ...]:
    """Quantity x price = total; a quantity may count pieces where a price of one piece stands beside that of the
    pack."""
    quantity, total = ready.amounts["quantity"][i].value, ready.amounts["total"][i].value
    if quantity is None or total is None:
        return ()
    base = _ONE if price.per in ("kg", "l") else price.base
    odd = checks.line_total(quantity, value, base, total, 2)
    each = ready.amounts["price_each"][i].value if odd and "price_each" in ready.amounts else None
    return () if each is not None and not checks.line_total(quantity, each, _ONE, total, 2) else odd


def _said(
    ready: Prepared, i: int, name: str, remark: str, price: Decimal | None
) -> tuple[tuple[Break, ...], FreeGoods | None, tuple[Doubt, ...]]:
    """Breaks and free goods of a row, from columns of breaks and from words."""
    breaks: tuple[Break, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    free: FreeGoods | None = None
    if ready.steps:
        breaks, doubts = _steps(ready, i)
    if remark:
        said = said_in(remark, ready.decimal, "remark")
        breaks, free, doubts = (*breaks, *said.breaks), said.free, (*doubts, *said.doubts)
    if "+" in name:
        said = said_in(name, ready.decimal, "name")
        free, doubts = free or said.free, (*doubts, *said.doubts)
    if breaks and price is not None and any(step.price > price for step in breaks):
        doubts = (*doubts, doubt("break-dearer", "break_price", price=price))
    return breaks, free, doubts


def _steps(ready: Prepared, i: int) -> tuple[tuple[Break, ...], tuple[Doubt, ...]]:
    breaks: list[Break] = []
    doubts: list[Doubt] = []
    for step in ready.steps:
        price = step.prices[i]
        from_ = step.from_[i] if step.from_ else EMPTY
        packs = step.packs if step.packs is not None else from_.value
        if price.state == "empty":
            continue
        doubts += (*price.doubts, *from_.doubts)
        if price.value is not None and packs is not None:
            breaks.append(Break(packs=packs, price=price.value))
        elif packs is None and not from_.doubts:
            doubts.append(doubt("break-unread", "break_price", value=price.value))
    return tuple(sorted(breaks, key=lambda one: one.packs)), tuple(doubts)
