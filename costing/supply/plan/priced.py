"""From an arriving line to the pack and the price that a quote of the book has, or the doubt that stands against it."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from math import prod

from costing.book.fact import Fact
from costing.book.records import Quote
from costing.book.units import UnitDef
from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.arriving.line import PriceLine
from costing.supply.packs.record import Pack
from costing.supply.plan.known import Measured, counted, pack_of, size_of

FINEST = Decimal("1e-8")
LARGE: Mapping[str, tuple[str, Decimal]] = {"ml": ("l", Decimal(1000)), "g": ("kg", Decimal(1000))}


@dataclass(frozen=True, slots=True, kw_only=True)
class Priced:
    """``price`` of one pack of ``levels`` times ``content``; ``notes`` say what was taken from elsewhere. ``by_one``
    where the line itself counts single pieces of it."""

    levels: tuple[int, ...]
    content: Fact
    price: Decimal
    notes: tuple[Doubt, ...] = ()
    by_one: bool = False


def price_line(line: PriceLine, old: Quote | None, measured: Measured, good: str, width: Decimal) -> Priced | Doubt:
    """The pack and its price; a Doubt where the line does not say enough. ``old`` is the quote of the same good from
    the same supplier: a line that names no pack, or no count, is taken for the same one where its unit price moves by
    no more than ``width``, and says so."""
    if line.price is None:
        return doubt("no-price", "price")
    if line.base <= 0:
        return doubt("base-nothing", "price", base=line.base)
    one = line.price / line.base
    measures = measured.view.measures
    if line.per in ("kg", "l"):
        return _by_measure(line, one, old, measures)
    pack = _pack_of(line.pack, old, measures)
    if isinstance(pack, Doubt):
        return pack
    levels, content, notes = pack
    if line.per == "":
        return doubt("price-of-what", "price", price=line.price)
    if old is not None and prod(levels) == 1 < prod(old.levels) and _one_of(content, old, measures):
        # A list of bottles for a good that is ordered by the case: the case is what the house buys.
        was, held = measured.net(old), measured.held(good, levels, content)
        net = one / (1 + line.rate) if line.tax == "inc" and line.rate else one
        if line.per == "each" or (was and held and 1 / (1 + width) <= net / held / was <= 1 + width):
            note = doubt("count-from-last", "pack", pack=pack_text(old.levels, old.content))
            price = tidy(one * prod(old.levels))
            return Priced(levels=old.levels, content=old.content, price=price, notes=(*notes, note), by_one=True)
    price = one * prod(levels) if line.per == "each" else one
    return Priced(levels=levels, content=content, price=tidy(price), notes=notes)


def _one_of(content: Fact, old: Quote, measures: Mapping[str, UnitDef]) -> bool:
    size = size_of(content, measures)
    return size is not None and size[1] != "each" and size == size_of(old.content, measures)


def _by_measure(line: PriceLine, one: Decimal, old: Quote | None, measures: Mapping[str, UnitDef]) -> Priced:
    """A price by weight or volume is that of the pack that the line names, else of the one that was bought until now,
    else of one kilogram or litre."""
    unit = "g" if line.per == "kg" else "ml"
    pack = line.pack
    if pack is not None and pack.unit == unit and pack.content and pack.total and not pack.doubts:
        return Priced(levels=pack.levels, content=content_fact(pack.content, unit), price=tidy(one * pack.total / 1000))
    size = size_of(old.content, measures) if old is not None else None
    if old is not None and size is not None and size[1] == unit:
        note = doubt("pack-from-last", "pack", pack=pack_text(old.levels, old.content))
        price = tidy(one * size[0] * prod(old.levels) / 1000)
        return Priced(levels=old.levels, content=old.content, price=price, notes=(note,))
    return Priced(levels=(), content=Fact(text=f"1 {line.per}", value=Decimal(1), unit=line.per), price=tidy(one))


def _pack_of(
    pack: Pack | None, old: Quote | None, measures: Mapping[str, UnitDef]
) -> tuple[tuple[int, ...], Fact, tuple[Doubt, ...]] | Doubt:
    if pack is not None and pack.content is not None and pack.unit is not None:
        here = counted((pack.content.normalize(), pack.unit), pack.levels)
        if old is not None and pack_of(old.levels, old.content, measures) == here:
            return old.levels, old.content, ()
        if old is not None and size_of(old.content, measures) == here[0]:
            return pack.levels, old.content, ()
        if pack.unit == "each":  # sixty of one piece are a pack of sixty
            return (), content_fact(here[0][0] if here[0] else pack.content, "each"), ()
        return pack.levels, content_fact(pack.content, pack.unit), ()
    if old is None:
        return doubt("no-pack", "pack", text=pack.text if pack is not None else "")
    if pack is None or not pack.levels or pack.levels == old.levels:
        return old.levels, old.content, (doubt("pack-from-last", "pack", pack=pack_text(old.levels, old.content)),)
    if pack.unit == "each":
        return (), Fact(text=f"{prod(pack.levels)} each", value=Decimal(prod(pack.levels)), unit="each"), ()
    return doubt("pack-count-moved", "pack", text=pack.text, before=pack_text(old.levels, old.content))


def content_fact(content: Decimal, unit: str) -> Fact:
    """What one unit holds as a fact, in the unit people say: 700 ml is "0.7 l", 40 g is "40 g"."""
    large = LARGE.get(unit)
    if large is not None and content >= (500 if unit == "ml" else 1000):
        content, unit = content / large[1], large[0]
    value = Decimal(f"{content.normalize():f}")
    return Fact(text=f"{value} {unit}", value=value, unit=unit)


def pack_text(levels: tuple[int, ...], content: Fact) -> str:
    """A pack as it would be typed."""
    return " x ".join([*map(str, levels), content.text])


def tidy(price: Decimal) -> Decimal:
    """A price with no more decimals than a division left it to need: at most eight, none of them idle beyond cents."""
    exponent = price.as_tuple().exponent
    if isinstance(exponent, int) and -8 <= exponent <= 0:
        return price
    price = price.quantize(FINEST).normalize()
    exponent = price.as_tuple().exponent
    return price.quantize(Decimal("0.01")) if isinstance(exponent, int) and exponent > -2 else price
