"""What the house knows of a supplier's goods, as the matching room takes it: codes, sizes, words and last prices."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from math import prod

from costing.book.book import Book, View
from costing.book.buying import Alias
from costing.book.fact import Fact
from costing.book.records import Good, Quote
from costing.book.units import Dim, UnitDef, lookup
from costing.ledger.unit import Unbridged, Unit, amount_in_base, unit_of_good
from costing.supply.whose import Known, Remembered, Size

SMALL: Mapping[Dim, tuple[str, Decimal]] = {
    Dim.VOLUME: ("ml", Decimal(1000)), Dim.MASS: ("g", Decimal(1000)), Dim.COUNT: ("each", Decimal(1)),
}  # fmt: skip
"""By dimension: the unit that packs are told in, and how many of it make a base unit."""


def size_of(content: Fact, measures: Mapping[str, UnitDef]) -> Size | None:
    """What the innermost unit of a pack holds, in ml, g or each; None for anything else."""
    unit = lookup(content.unit, measures)
    if unit is None or unit.dim not in (*SMALL, Dim.RATIO):
        return None
    name, factor = SMALL[Dim.COUNT if unit.dim is Dim.RATIO else unit.dim]
    return (content.value * unit.factor * factor).normalize(), name


def pack_of(
    levels: tuple[int, ...], content: Fact, measures: Mapping[str, UnitDef]
) -> tuple[Size | None, tuple[int, ...]]:
    """(size, levels) of a pack as it is compared: by how many there are in all, because 4 x 6 bottles are 24 of them,
    one can is a can, and 60 x 1 piece is a pack of 60."""
    size = size_of(content, measures)
    return counted(size, levels)


def counted(size: Size | None, levels: tuple[int, ...]) -> tuple[Size | None, tuple[int, ...]]:
    """The same of a size that is known already."""
    count = prod(levels)
    if size is not None and size[1] == "each":
        return ((size[0] * count).normalize(), "each"), ()
    return size, (count,) if count > 1 else ()


@dataclass(frozen=True, slots=True)
class Measured:
    """Units of the goods of a day, for prices a base unit."""

    view: View
    units: Mapping[str, Unit]

    @classmethod
    def of(cls, view: View) -> "Measured":
        """Every good's unit."""
        return cls(view, {good.id: unit_of_good(good, view.measures)[0] for good in view.goods.values()})

    def held(self, good: str, levels: tuple[int, ...], content: Fact) -> Decimal | None:
        """Base units in a pack; None where the pack cannot be told in the good's unit."""
        unit = self.units.get(good)
        if unit is None:
            return None
        try:
            one = amount_in_base(content, unit, self.view.measures).value
        except Unbridged:
            return None
        whole = Decimal(repr(one)) * prod(levels)
        return whole if whole > 0 else None

    def net(self, quote: Quote) -> Decimal | None:
        """The house's money for a base unit by a quote's price alone, without tax, free goods and charges; None where
        the pack, or what its currency is worth, is not known."""
        held = self.held(quote.good, quote.levels, quote.content)
        price = quote.price / (1 + (quote.tax_rate or 0)) if quote.tax == "inc" else quote.price
        house = self.view.book.house
        if house is not None and quote.currency and quote.currency != house.currency:
            rate = self.view.rates.get(quote.currency)
            if rate is None:
                return None
            price *= rate.worth
        return price / held if held is not None else None


def by_seller(book: Book) -> dict[tuple[str, str], list[Quote]]:
    """By good and supplier: every quote, the latest first."""
    out: dict[tuple[str, str], list[Quote]] = {}
    for quote in sorted(book.all(Quote).values(), key=lambda q: (q.since, q.id), reverse=True):
        out.setdefault((quote.good, quote.supplier), []).append(quote)
    return out


def known_of(book: Book, measured: Measured, quotes: Mapping[tuple[str, str], list[Quote]]) -> tuple[Known, ...]:
    """Every good as each supplier sells it, and by its name alone where nobody does."""
    out: list[Known] = []
    priced: set[str] = set()
    goods = book.all(Good)
    for (ident, supplier), found in quotes.items():
        good = goods.get(ident)
        if good is None:
            continue
        priced.add(ident)
        for quote in _each_pack(found):
            size, levels = pack_of(quote.levels, quote.content, measured.view.measures)
            out.append(
                Known(
                    good=ident, name=good.name, names=(quote.words,) if quote.words else (), supplier=supplier,
                    code=quote.code, gtin=quote.gtin, size=size, levels=levels, last=measured.net(quote),
                    kind=good.kind,
                )
            )  # fmt: skip
    out += [
        Known(good=g.id, name=g.name, names=(), supplier="", code="", gtin="", size=None, levels=(), last=None,
              kind=g.kind)
        for g in goods.values() if g.id not in priced and g.layer == "materials"
    ]  # fmt: skip
    return tuple(out)


def _each_pack(quotes: Iterable[Quote]) -> Iterable[Quote]:
    """The latest quote of each code and pack."""
    seen: set[tuple[str, tuple[int, ...], Decimal, str]] = set()
    for quote in quotes:
        key = quote.code, quote.levels, quote.content.value, quote.content.unit
        if key not in seen:
            seen.add(key)
            yield quote


def remembered(book: Book) -> tuple[Remembered, ...]:
    """The aliases that somebody confirmed, but for texts that two of a supplier's goods go by."""
    meant: dict[tuple[str, str], set[str]] = {}
    for alias in book.all(Alias).values():
        meant.setdefault(_key(alias), set()).add(alias.good)
    return tuple(
        Remembered(supplier=a.supplier, text=a.text, good=a.good)
        for a in _goods(book.all(Alias).values(), book)
        if len(meant[_key(a)]) == 1
    )


def _key(alias: Alias) -> tuple[str, str]:
    return alias.supplier, " ".join(alias.text.casefold().split())


def _goods(aliases: Iterable[Alias], book: Book) -> Iterable[Alias]:
    return (alias for alias in aliases if alias.good in book.all(Good))
