"""The small way in: a good from its name, kind, pack and price; a preparation from three lines; a juice or a twist by
one key. What nobody stated comes from the shipped tables and is marked assumed; no allergen is ever stated here.
"""

import re
from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from decimal import Decimal, InvalidOperation
from typing import get_args

from costing.book.book import Book
from costing.book.change import Change, Step, put
from costing.book.fact import Fact, parse_fact
from costing.book.records import BaseUnit, Good, GoodKind, Input, Layer, Preparation, Quote, Stage, Supplier, Version
from costing.book.units import Dim, UnitDef, lookup
from costing.ledger.unit import Unbridged, amount_in_base, unit_of_good
from costing.supply.build import Draft, left_out, to_stage
from costing.supply.ids import free_id, is_named
from costing.supply.recipe import PastedRecipe, read_recipe
from costing.supply.starting import starting_values
from costing.tables import find_produce

BASES: dict[str, BaseUnit] = {
    **dict.fromkeys(("spirit", "liqueur", "wine", "beer", "juice", "dairy", "water"), "l"),
    **dict.fromkeys(("fruit", "herb", "dry", "sugar", "acid", "gas", "other"), "kg"),
    **dict.fromkeys(("egg", "ice", "garnish", "consumable"), "each"),
    **dict.fromkeys(("labour", "machine"), "h"),
    "energy": "kwh",
}
LAYER_OF: dict[str, Layer] = {"labour": "labour", "energy": "energy", "machine": "machine"}
TWISTS, PEEL = "~7", "~9 %"
"""Twists from a fruit and the share of it that they weigh: common practice, no source; assumed until counted."""
_LEVELS = re.compile(r"\s*([0-9]+)\s*[xX×*]\s*(?=[0-9])")


def small_good(
    name: str,
    kind: GoodKind,
    pack: str,
    price: Decimal | str,
    supplier: str,
    since: date,
    book: Book,
    *,
    currency: str = "",
    past: Iterable[str] = (),
) -> Step:
    """The step that adds a good with its first quote. ``pack`` is "0.7 l" or "6 x 0.7 l", ``price`` for the whole pack
    without tax; a supplier that the book does not know is added; the currency is the house's unless given.

    Makeup, density and piece come from the row of the shipped table that bears the name, marked assumed, and the good's
    note names that row. ValueError for a name that a good has, an unknown kind, a pack or price that cannot be read.
    """
    called = " ".join(name.split())
    if not called:
        raise ValueError("a good needs a name")
    if kind not in get_args(GoodKind):
        raise ValueError(f"{kind!r} is not a kind of good; the kinds are {', '.join(get_args(GoodKind))}")
    if is_named(called, (g.name for g in book.all(Good).values())):
        raise ValueError(f"the book has a good called {called!r} already: put a quote for it instead")
    money = currency or (book.house.currency if book.house else "")
    if not money:
        raise ValueError("the book has no currency yet: say which, for example EUR")
    levels, content = read_pack(pack)
    gone = set(past)
    changes, who = _supplier(supplier, book, gone)
    good = _based(_good(free_id(called, book, gone, fallback="good"), called, kind, book), content, book)
    taken = {ident for _, ident in book.records} | gone
    quote_id = next(i for i in (f"{good.id}-{since}-{n}" for n in range(1, len(taken) + 2)) if i not in taken)
    quote = Quote(
        id=quote_id, good=good.id, supplier=who, content=content, levels=levels, price=_price(price), currency=money,
        since=since,
    )  # fmt: skip
    return Step(f"new good {called}", (*changes, put("good", good), put("quote", quote)))


def _good(ident: str, name: str, kind: GoodKind, book: Book) -> Good:
    """The good with what the tables bring."""
    found = starting_values(name, kind)
    base = found.base or BASES[kind]
    return Good(
        id=ident, name=name, kind=kind, base=base, layer=LAYER_OF.get(kind, "materials"), makeup=found.makeup,
        density=found.density, piece=found.piece, note=found.note,
    )  # fmt: skip


def _measures(book: Book) -> dict[str, UnitDef]:
    return dict(book.on(date.max).measures)


def _based(good: Good, content: Fact, book: Book) -> Good:
    """The good in a base that its pack can be told in: the kind's, or else what the pack itself is measured in."""
    measures = _measures(book)
    unit = lookup(content.unit, measures)
    own: dict[Dim, BaseUnit] = {Dim.MASS: "kg", Dim.VOLUME: "l", Dim.COUNT: "each", Dim.RATIO: "each"}
    if good.kind in LAYER_OF:
        own = {Dim(good.base): good.base}
    if unit is None or unit.dim not in own:
        wanted = (
            f"so many {good.base}" if good.kind in LAYER_OF else "a weight, a volume or a number, like 0.7 l or 50 each"
        )
        raise ValueError(f"{content.text!r} is not a pack of the kind {good.kind}: write {wanted}")
    for base in (good.base, own[unit.dim]):
        tried = replace(good, base=base)
        try:
            amount_in_base(content, unit_of_good(tried, measures)[0], measures)
        except Unbridged:
            continue
        return tried
    raise ValueError(f"a pack of {content.text!r} does not fit a good of the kind {good.kind}")


def read_pack(text: str) -> tuple[tuple[int, ...], Fact]:
    """(levels, content) of "6 x 0.7 l". ValueError where it cannot be read or holds nothing."""
    levels: list[int] = []
    rest = text
    while found := _LEVELS.match(rest):
        levels.append(int(found[1]))
        rest = rest[found.end() :]
    content = parse_fact(rest)
    if content.value <= 0:
        raise ValueError(f"a pack of {text!r} must hold more than nothing")
    return tuple(levels), content


def _price(price: Decimal | str) -> Decimal:
    if isinstance(price, Decimal):
        if not price.is_finite() or price < 0:
            raise ValueError(f"{price} is not a price: it must be a number of 0 or more")
        return price
    try:
        fact = parse_fact(price)
    except (ValueError, InvalidOperation):
        raise ValueError(f"{price!r} is not a price: write a number of 0 or more, like 12.50") from None
    if fact.unit or fact.mark == "assumed" or fact.value < 0:
        raise ValueError(f"{price!r} is not a price: write a number of 0 or more, like 12.50")
    return fact.value


def _supplier(said: str, book: Book, past: Iterable[str]) -> tuple[tuple[Change, ...], str]:
    """(changes, id) of the supplier called so, or of a new one. Without a name, the only one there is."""
    known = book.all(Supplier)
    fold = " ".join(said.casefold().split())
    if not fold:
        if len(known) == 1:
            return (), next(iter(known))
        raise ValueError("say who sells it: a supplier's name")
    found = [s.id for s in known.values() if fold in (s.id.casefold(), " ".join(s.name.casefold().split()))]
    if len(found) > 1:
        raise ValueError(f"{len(found)} suppliers are called {said!r}: say which by id, {' or '.join(found)}")
    if found:
        return (), found[0]
    new = Supplier(id=free_id(said, book, past, fallback="supplier"), name=" ".join(said.split()))
    return (put("supplier", new),), new.id


def small_preparation(
    name: str,
    lines: str | PastedRecipe,
    makes: str,
    minutes: str,
    since: date,
    book: Book,
    *,
    past: Iterable[str] = (),
) -> Draft:
    """A preparation of three lines as one stage: what goes in (pasted), what it makes ("0.9 l", "1.2 kg", "40 each"),
    and the minutes of hands at work ("" for none). It is costed in what it makes.

    The lines that are not decided are listed, and named in the version's note. ValueError for a name that is taken, and
    for ``makes`` or ``minutes`` that cannot be read.
    """
    called = _free_name(name, book)
    made = parse_fact(makes)
    unit = lookup(made.unit, _measures(book))
    if unit is None or unit.dim not in (Dim.MASS, Dim.VOLUME, Dim.COUNT) or made.value <= 0:
        raise ValueError(f"{makes!r} is not what a batch makes: write 0.9 l, 1.2 kg or 40 each")
    pasted = read_recipe(lines, book) if isinstance(lines, str) else lines
    counted = unit.dim is Dim.COUNT
    staged = to_stage(pasted, ident="make", kind="make", facts=() if counted else (("makes", made),))
    if staged.stage is None:
        return Draft(step=None, undecided=staged.undecided, problems=staged.problems)
    version = Version(
        since=since,
        stages=(replace(staged.stage, active=_minutes(minutes)),),
        pieces=made if counted else None,
        note=left_out(staged.undecided),
    )
    base = "each" if counted else "l" if unit.dim is Dim.VOLUME else "kg"
    ident = free_id(called, book, past, fallback="preparation")
    new = Preparation(id=ident, name=called, versions=(version,), base=base)  # type: ignore[arg-type]
    step = Step(f"new preparation {called}", (put("preparation", new),))
    return Draft(step=step, id=ident, undecided=staged.undecided, problems=staged.problems)


def _free_name(name: str, book: Book) -> str:
    called = " ".join(name.split())
    if not called:
        raise ValueError("a preparation needs a name")
    names = [p.name for p in book.all(Preparation).values()] + [g.name for g in book.all(Good).values()]
    if is_named(called, names):
        raise ValueError(f"the book has {called!r} already: choose another name")
    return called


def _minutes(text: str) -> Fact | None:
    if not text.strip():
        return None
    fact = parse_fact(text if re.search(r"[^\W\d_]", text) else f"{text} min")
    unit = lookup(fact.unit)
    if unit is None or unit.dim is not Dim.TIME or fact.value < 0:
        raise ValueError(f"{text!r} is not a time: write minutes, like 20 or 20 min")
    return fact


def juice_of(good: Good, since: date, book: Book, *, past: Iterable[str] = ()) -> Draft:
    """The juice of a fruit as a preparation of one stage, its yield from the shipped table and assumed.

    ValueError where the table has no juice of it, and where the book has a thing of that name.
    """
    row = find_produce(good.name)
    if row is None or row.juice_low is None or row.juice_high is None:
        raise ValueError(f"no juice yield is known of {good.name!r}: press some, weigh it, and write the stage")
    called = _free_name(f"{good.name} juice", book)
    share = parse_fact(f"~{(row.juice_low + row.juice_high) / 2 * 100:f} %")
    juice = find_produce(f"{row.name} juice")
    density = parse_fact(f"~{juice.density} kg/l") if juice is not None and juice.density is not None else None
    stage = Stage(
        id="juice", kind="juice", adds=(Input(source=good.id, amount=parse_fact("1 kg")),),
        facts=(("yield", replace(share, note=f"table produce: {row.name}; {row.source}")),),
    )  # fmt: skip
    version = Version(since=since, stages=(stage,), density=density)
    ident = free_id(called, book, past, fallback="juice")
    new = Preparation(id=ident, name=called, versions=(version,), base="l")
    return Draft(step=Step(f"new preparation {called}", (put("preparation", new),)), id=ident)


def twist_of(good: Good, since: date, book: Book, *, pieces: str = TWISTS, past: Iterable[str] = ()) -> Draft:
    """Twists cut from one fruit as a preparation counted by the piece; how many is assumed until somebody counts.

    ValueError for a good that has no piece, for ``pieces`` not above 0, and where the book has a thing of that name.
    """
    if good.base != "each" and good.piece is None:
        raise ValueError(f"say first what one {good.name!r} weighs, as its piece")
    count = parse_fact(pieces)
    unit = lookup(count.unit)
    if unit is None or unit.dim not in (Dim.RATIO, Dim.COUNT) or count.value <= 0:
        raise ValueError(f"{pieces!r} is not a number of twists: write a number above 0")
    called = _free_name(f"{good.name} twist", book)
    keep = replace(parse_fact(PEEL), note="common practice, no source")
    stage = Stage(
        id="peel", kind="make", adds=(Input(source=good.id, amount=parse_fact("1 each")),), facts=(("keep", keep),)
    )
    ident = free_id(called, book, past, fallback="twist")
    made = Preparation(
        id=ident, name=called, versions=(Version(since=since, stages=(stage,), pieces=count),), base="each"
    )
    return Draft(step=Step(f"new preparation {called}", (put("preparation", made),)), id=ident)
