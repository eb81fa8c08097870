"""Hypothesis strategies for every kind of record, made from the records' own types so that none is forgotten.

``records(kind)`` gives one record, ``books()`` a Book of any kinds. Values keep the records' rules (ranges,
first day before last); references between records are not kept, since a book may be incomplete at any time.
"""

import dataclasses
import functools
import types
from collections.abc import Callable
from datetime import date
from decimal import Decimal
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from hypothesis import strategies as st

from costing.book import Book, Fact
from costing.book.buying import Claim, ExchangeRate, ImportedFile, OrderLine
from costing.book.fact import Mark, parse_fact
from costing.book.levies import Levy, Policy, PricePoints
from costing.book.plain import _is_named as is_named
from costing.book.records import (
    KINDS,
    LAYERS,
    Break,
    ByProduct,
    DatedPrice,
    Equipment,
    FreeGoods,
    House,
    MenuLine,
    Quote,
    Record,
    Supplier,
    TaxBasis,
    Terms,
)
from costing.book.selling import (
    Button,
    ButtonPart,
    ChangeSort,
    Judging,
    Left,
    SalesPeriod,
    Supposed,
    Till,
)

texts = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=12)
"""Any text a book can hold: control characters, right-to-left marks and emoji too."""

ids = st.text("abcxyz019-_ é", min_size=1, max_size=6) | texts.filter(bool)
days = st.dates(date(1990, 1, 1), date(2090, 12, 31))


def decimals(low: str = "-999999", high: str = "999999", places: int = 6) -> st.SearchStrategy[Decimal]:
    """Decimals of up to ``places`` decimals, both ends included."""
    return st.integers(0, places).flatmap(
        lambda n: st.decimals(min_value=Decimal(low), max_value=Decimal(high), places=n, allow_nan=False)
    )


positive = decimals("0.000001", places=6).filter(lambda d: d > 0)
prices = decimals("0", "9999999", 4)


def _says_nothing(text: str) -> bool:
    """True for a text that is no amount, so that it cannot contradict the value it stands beside."""
    try:
        parse_fact(text)
    except ValueError:
        return True
    return False


def _typed(value: Decimal, unit: str, mark: Mark, how: str) -> Fact:
    return Fact(text=f"{value:f} {unit}".strip(), value=value, unit=unit, mark=mark, how=how)


_units = st.sampled_from(["", "ml", "kg", "% vol", "dash", "us fl oz"])
_marks: st.SearchStrategy[Mark] = st.sampled_from(["measured", "assumed"])
facts = st.builds(_typed, decimals("-1000000000", "1000000000", 9), _units, _marks, texts) | st.builds(
    Fact, text=texts.filter(_says_nothing), value=decimals(), unit=texts, mark=_marks, how=texts, note=texts
)
packs = st.builds(_typed, positive, st.sampled_from(["ml", "l", "kg", "each"]), _marks, texts)


@st.composite
def quotes(draw: st.DrawFn) -> Quote:
    """A quote within its rules."""
    first, last = sorted((draw(days), draw(days)))
    tax: TaxBasis = draw(for_hint(TaxBasis))
    rate = decimals("0", "0.9999", 4)
    return Quote(
        id=draw(ids), good=draw(ids), supplier=draw(ids), content=draw(packs), price=draw(prices),
        currency=draw(st.sampled_from(["EUR", "JPY", "KWD"])), since=first, until=draw(st.sampled_from([None, last])),
        levels=draw(st.lists(st.integers(1, 100_000), max_size=3).map(tuple)), tax=tax,
        tax_rate=draw(rate if tax == "inc" else st.none() | rate), code=draw(texts), gtin=draw(texts),
        breaks=draw(for_hint(tuple[Break, ...])), free=draw(for_hint(FreeGoods | None)),
        charges=draw(for_hint(get_type_hints(Quote)["charges"])), deposit=draw(st.none() | prices),
        minimum=draw(st.none() | prices), label=draw(st.sampled_from(["read", "unread"])), file=draw(texts),
        words=draw(texts), row=draw(texts), source=draw(texts), note=draw(texts),
    )  # fmt: skip


@st.composite
def files(draw: st.DrawFn) -> ImportedFile:
    """A file whose lines add up."""
    imported, held, ignored = (draw(st.integers(0, 1000)) for _ in range(3))
    return ImportedFile(
        id=draw(ids), name=draw(texts), digest=draw(texts), day=draw(days), supplier=draw(texts), shape=draw(texts),
        kind=draw(texts), number=draw(texts), read=imported + held + ignored, imported=imported, held=held,
        ignored=ignored, taken=draw(texts), held_lines=draw(st.lists(texts, max_size=2).map(tuple)), note=draw(texts),
    )  # fmt: skip


@st.composite
def periods(draw: st.DrawFn) -> SalesPeriod:
    """A period of sales, first day before last."""
    first, last = sorted((draw(days), draw(days)))
    hints = get_type_hints(SalesPeriod)
    mapped, ignored, unmapped = (draw(st.integers(0, 1000)) for _ in range(3))
    return SalesPeriod(
        id=draw(ids), since=first, until=last, sold=draw(for_hint(hints["sold"])), source=draw(texts),
        file=draw(texts), digest=draw(texts), grain=draw(for_hint(hints["grain"])), outlet=draw(texts),
        read=mapped + ignored + unmapped, mapped=mapped, ignored=ignored, unmapped=unmapped,
        left=draw(for_hint(hints["left"])), note=draw(texts),
    )  # fmt: skip


@st.composite
def buttons(draw: st.DrawFn) -> Button:
    """A button that sells something, makes a drink another one, or is left out for a reason."""
    one = st.tuples(for_hint(ButtonPart))
    parts = {"sale": one | st.tuples(for_hint(ButtonPart), for_hint(ButtonPart)), "instead": one, "left": st.just(())}
    sort: Literal["sale", "instead", "left"] = draw(st.sampled_from(["sale", "instead", "left"]))
    reasons = [reason for reason in get_args(Left) if reason]
    return Button(
        id=draw(ids), text=draw(texts), since=draw(days), code=draw(texts), sort=sort, parts=draw(parts[sort]),
        reason=draw(st.sampled_from(reasons)) if sort == "left" else "", note=draw(texts),
    )  # fmt: skip


@st.composite
def supposed(draw: st.DrawFn) -> Supposed:
    """A change that is supposed, by a share or to a figure."""
    sort: ChangeSort = draw(for_hint(ChangeSort))
    how: Literal["by", "to"] = "by" if sort == "supplier" else draw(st.sampled_from(["by", "to"]))
    value = draw(decimals("-1", "100", 4) if how == "by" else prices)
    return Supposed(sort=sort, target=draw(texts), value=value, part=draw(texts), how=how)


def _points() -> st.SearchStrategy[PricePoints]:
    shapes = [("0.50", ()), ("1", ()), ("0.10", ("0.50", "0.90")), ("0.05", ("0.95",)), ("100", ())]
    return st.builds(
        lambda shape, least: PricePoints(Decimal(shape[0]), tuple(map(Decimal, shape[1])), least),
        st.sampled_from(shapes),
        prices,
    )


OWN: dict[Any, Callable[[], st.SearchStrategy[Any]]] = {
    str: lambda: texts,
    bool: st.booleans,
    int: lambda: st.integers(-(10**9), 10**9),
    Decimal: decimals,
    date: lambda: days,
    Fact: lambda: facts,
    Quote: quotes,
    ImportedFile: files,
    SalesPeriod: periods,
    Button: buttons,
    Supposed: supposed,
    PricePoints: _points,
    Levy: lambda: st.builds(
        Levy, texts, decimals("0", "0.9999", 4), st.sampled_from(["net", "running"]), st.booleans()
    ),
    Policy: lambda: (
        st.builds(Policy, st.just("pour_cost"), decimals("0.01", "1", 4))
        | st.builds(Policy, st.sampled_from(["margin", "multiplier"]), decimals("0.01", "1000", 2))
    ),
}
RANGES: dict[tuple[type, str], st.SearchStrategy[Any]] = {
    (ButtonPart, "count"): positive,
    (ButtonPart, "share"): st.none() | decimals("0", "1", 4),
    (ByProduct, "share"): decimals("0", "0.999", 3),
    (DatedPrice, "price"): prices,
    (Claim, "amount"): positive,
    (ExchangeRate, "worth"): positive,
    (Equipment, "hours"): st.none() | decimals("0", "168", 2),
    (FreeGoods, "paid"): positive,
    (FreeGoods, "free"): prices,
    (House, "holds"): st.dictionaries(texts, decimals("0.01", "10", 2), max_size=2).map(lambda d: tuple(d.items())),
    (House, "prep_hours"): st.none() | decimals("0", "16800", 2),
    (Judging, "cut"): decimals("0", "2", 3),
    (Judging, "variable"): st.sampled_from([Decimal(0), Decimal("0.3"), Decimal("0.99")]),
    (Judging, "sure"): st.sampled_from([Decimal("0.5"), Decimal("0.9"), Decimal("0.999")]),
    (MenuLine, "least"): st.none() | decimals("0", "10", 2),
    (MenuLine, "most"): st.none() | decimals("10", "999", 2),
    (OrderLine, "packs"): positive,
    **{(Supplier, name): st.none() | prices for name in ("freight", "free_from", "minimum", "rebate_from")},
    **{(Supplier, name): st.none() | decimals("0", "0.9999", 4) for name in ("rebate", "tax_rate")},
    (Till, "day_ends"): st.integers(0, 12),
    (Terms, "base"): st.sets(st.sampled_from(LAYERS), min_size=1).map(lambda layers: tuple(sorted(layers))),
}


def for_hint(hint: Any) -> st.SearchStrategy[Any]:
    """Values of a field's type."""
    return _for_hint(hint)


@functools.cache
def _for_hint(hint: Any) -> st.SearchStrategy[Any]:
    if hint in OWN:
        return OWN[hint]()
    origin, inside = get_origin(hint), get_args(hint)
    if origin is Literal:
        return st.sampled_from(inside)
    if origin in (Union, types.UnionType):
        return st.one_of(*(st.none() if option is type(None) else for_hint(option) for option in inside))
    if is_named(hint):
        value = get_args(inside[0])[1]
        return st.dictionaries(texts, for_hint(value), max_size=3).map(lambda named: tuple(named.items()))
    if origin is tuple:
        return st.lists(for_hint(inside[0]), max_size=2).map(tuple)
    return _built(hint)


def _built(cls: type) -> st.SearchStrategy[Any]:
    hints = get_type_hints(cls)
    given: dict[str, st.SearchStrategy[Any]] = {}
    for field in dataclasses.fields(cls):
        own = RANGES.get((cls, field.name))
        if own is None:
            own = ids if field.name == "id" else for_hint(hints[field.name])
        plain = field.default is not dataclasses.MISSING
        given[field.name] = st.just(field.default) | own if plain else own
    return st.builds(cls, **given)


def records(kind: str) -> st.SearchStrategy[Record]:
    """Records of one kind; the house has its fixed id."""
    made = for_hint(KINDS[kind])
    return made.map(lambda house: dataclasses.replace(house, id="house")) if kind == "house" else made


def books(most: int = 6) -> st.SearchStrategy[Book]:
    """Books of up to ``most`` records of any kinds."""
    anything = st.sampled_from(list(KINDS)).flatmap(lambda kind: records(kind).map(lambda r: ((kind, r.id), r)))
    return st.lists(anything, max_size=most, unique_by=lambda pair: pair[0]).map(lambda pairs: Book(dict(pairs)))
