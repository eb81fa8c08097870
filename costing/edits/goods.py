"""Edits of bought goods and of the suppliers who sell them."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from typing import get_args

from costing.book.book import Book
from costing.book.change import Change, Step, put
from costing.book.records import (
    AllergenState,
    AllergenStatement,
    BaseUnit,
    Good,
    GoodKind,
    Layer,
    Quote,
    Supplier,
    YieldTest,
)
from costing.book.units import Dim, lookup
from costing.edits.base import currency_of, must_be_free, record_of, typed_fact, typed_price, unused_name, with_fact
from costing.supply import small_good
from costing.supply.ids import free_id
from costing.tongue import say

MAKEUP_UNITS = {
    "abv": ("%", "% vol"), "sugar": ("g/l",), "brix": ("Bx",), "water": ("%",), "solubles": ("%",), "ethanol": ("%",),
    "acid": ("g/l", "g/kg"), "so2": ("mg/l", "mg/kg"),
}  # fmt: skip
"""What a good may be made of, and the units it is stated in; the first is meant where a bare number is typed."""


def new_good(
    book: Book, name: str, kind: GoodKind, pack: str, price: str, supplier: str, since: date, past: Iterable[str] = ()
) -> Step:
    """A good with its first quote; what nobody stated comes from the shipped tables, marked assumed."""
    return small_good(name, kind, pack, typed_price(price, currency_of(book)), supplier, since, book, past=past)


def rename(book: Book, ident: str, name: str) -> Step | None:
    """Another name. ValueError for a blank one or one that a good has."""
    good = record_of(book, Good, ident)
    called = unused_name(name, [g.name for g in book.all(Good).values() if g.id != ident])
    if called == good.name:
        return None
    said = say("name of {good}: {name}", good=good.name, name=called)
    return Step(said, (put("good", replace(good, name=called), good),))


def set_kind(book: Book, ident: str, kind: str) -> Step | None:
    """What kind of thing it is. Its makeup stays."""
    good = record_of(book, Good, ident)
    found = next((k for k in get_args(GoodKind) if k == kind.strip()), None)
    if found is None:
        raise ValueError(say("“{kind}” is not a kind of good", kind=kind))
    return _step(good, replace(good, kind=found), say("kind"))


def set_base(book: Book, ident: str, base: str) -> Step | None:
    """The unit it is costed in: kg, l, each, h or kwh."""
    good = record_of(book, Good, ident)
    found = next((b for b in get_args(BaseUnit) if b == base.strip().lower()), None)
    if found is None:
        raise ValueError(say("“{base}” is not a unit to cost in: one of kg, l, each, h, kwh", base=base))
    return _step(good, replace(good, base=found), say("unit"))


def set_layer(book: Book, ident: str, layer: Layer) -> Step | None:
    """The layer of cost it counts in."""
    good = record_of(book, Good, ident)
    return _step(good, replace(good, layer=layer), say("layer"))


def set_makeup(book: Book, ident: str, part: str, text: str) -> Step | None:
    """What it is made of, as typed ("40", "~12 %", "90 g/l"); "" takes it out. ValueError for a unit it cannot have."""
    good = record_of(book, Good, ident)
    units = MAKEUP_UNITS[part]
    work = text.strip()
    before = dict(good.makeup).get(part)
    if work and work.lstrip("~ ").replace(".", "", 1).replace(",", "", 1).isdigit():
        work = f"{work} {units[0]}"
    fact = typed_fact(work, before)
    if fact is not None and fact.unit not in units and lookup(fact.unit) not in [lookup(u) for u in units]:
        raise ValueError(say("“{text}”: write it in {units}", text=text, units=" / ".join(units)))
    if fact is not None and not (fact.value >= 0 and (fact.value <= 100 or "%" not in fact.unit)):
        raise ValueError(say("“{text}” must lie from 0 to 100 %", text=text))
    return _step(good, replace(good, makeup=with_fact(good.makeup, part, fact)), part)


def set_density(book: Book, ident: str, text: str) -> Step | None:
    """What a litre weighs, as typed ("1.05 kg/l"); "" takes it out."""
    good = record_of(book, Good, ident)
    work = text.strip()
    if work and work.lstrip("~ ").replace(".", "", 1).replace(",", "", 1).isdigit():
        work = f"{work} kg/l"
    fact = typed_fact(work, good.density)
    unit = lookup(fact.unit) if fact is not None else None
    if fact is not None and (unit is None or unit.dim is not Dim.DENSITY or fact.value <= 0):
        raise ValueError(say("“{text}” is not a density: write it like 1.05 kg/l", text=text))
    return _step(good, replace(good, density=fact), say("density"))


def set_piece(book: Book, ident: str, text: str) -> Step | None:
    """What one piece weighs or holds, as typed ("70 g"); "" takes it out."""
    good = record_of(book, Good, ident)
    fact = typed_fact(text, good.piece)
    unit = lookup(fact.unit, book.on(date.max).measures) if fact is not None else None
    if fact is not None and (unit is None or unit.dim not in (Dim.MASS, Dim.VOLUME) or fact.value <= 0):
        raise ValueError(say("“{text}” is not what a piece weighs or holds: write it like 70 g", text=text))
    return _step(good, replace(good, piece=fact), say("piece"))


def set_preferred(book: Book, ident: str, supplier: str) -> Step | None:
    """The supplier whose latest quote costs it, by id; "" for whoever's is latest."""
    good = record_of(book, Good, ident)
    if supplier:
        record_of(book, Supplier, supplier)
    return _step(good, replace(good, preferred=supplier), say("supplier that costs it"))


def set_note(book: Book, ident: str, note: str) -> Step | None:
    """What to say of it."""
    good = record_of(book, Good, ident)
    return _step(good, replace(good, note=note.strip()), say("note"))


def set_allergen(
    book: Book, ident: str, name: str, state: AllergenState | None, who: str, since: date, label: str = ""
) -> Step | None:
    """What a label or person says of one allergen; None is not stated. ValueError for a free that nobody stands for."""
    good = record_of(book, Good, ident)
    if state == "free" and not (who.strip() or label.strip()):
        raise ValueError(say("say who read it or on which label: blank is never free"))
    kept = [s for s in good.allergens if s.name != name]
    if state is not None:
        kept.append(AllergenStatement(name=name, state=state, who=who.strip(), since=since, label=label.strip()))
    after = replace(good, allergens=tuple(sorted(kept, key=lambda s: s.name)))
    return _step(good, after, say("allergen {name}", name=name))


def state_rest_free(book: Book, ident: str, names: Iterable[str], who: str, since: date, label: str) -> Step | None:
    """Every allergen of a list that is not stated yet is stated free, by one person who read one label, as one step."""
    good = record_of(book, Good, ident)
    if not (who.strip() and label.strip()):
        raise ValueError(say("say who read which label: one statement stands for all of them"))
    stated = {s.name for s in good.allergens}
    new = [
        AllergenStatement(name=n, state="free", who=who.strip(), since=since, label=label.strip())
        for n in names
        if n not in stated
    ]
    after = replace(good, allergens=tuple(sorted([*good.allergens, *new], key=lambda s: s.name)))
    return _step(good, after, say("allergens not stated"))


def remove(book: Book, ident: str) -> Step:
    """Take a good out with its quotes and yield tests. InUse while a recipe, a log or a machine takes it."""
    good = record_of(book, Good, ident)
    must_be_free(book, "good", ident, good.name)
    quotes = [q for q in book.all(Quote).values() if q.good == ident]
    tests = [t for t in book.all(YieldTest).values() if t.good == ident]
    changes = (
        *(Change("quote", q.id, q, None) for q in quotes),
        *(Change("yieldtest", t.id, t, None) for t in tests),
        Change("good", ident, good, None),
    )
    return Step(say("remove {good}", good=good.name), changes)


def new_supplier(book: Book, name: str, past: Iterable[str] = ()) -> tuple[Step, str]:
    """A supplier. The step and the new id."""
    called = unused_name(name, [s.name for s in book.all(Supplier).values()])
    new = Supplier(id=free_id(called, book, past, fallback="supplier"), name=called)
    return Step(say("new supplier {name}", name=called), (put("supplier", new),)), new.id


def rename_supplier(book: Book, ident: str, name: str) -> Step | None:
    """Another name."""
    supplier = record_of(book, Supplier, ident)
    called = unused_name(name, [s.name for s in book.all(Supplier).values() if s.id != ident])
    if called == supplier.name:
        return None
    said = say("name of {supplier}: {name}", supplier=supplier.name, name=called)
    return Step(said, (put("supplier", replace(supplier, name=called), supplier),))


def set_supplier_note(book: Book, ident: str, note: str) -> Step | None:
    """What to say of a supplier."""
    supplier = record_of(book, Supplier, ident)
    if note.strip() == supplier.note:
        return None
    said = say("note of {supplier}", supplier=supplier.name)
    return Step(said, (put("supplier", replace(supplier, note=note.strip()), supplier),))


def remove_supplier(book: Book, ident: str) -> Step:
    """Take a supplier out. InUse while a quote is theirs or a good prefers them."""
    supplier = record_of(book, Supplier, ident)
    must_be_free(book, "supplier", ident, supplier.name)
    return Step(say("remove {supplier}", supplier=supplier.name), (Change("supplier", ident, supplier, None),))


def makeup_text(good: Good, part: str) -> str:
    """What it is made of as typed, "" where nobody said."""
    fact = dict(good.makeup).get(part)
    return fact.text if fact is not None else ""


def _step(before: Good, after: Good, what: str) -> Step | None:
    if after == before:
        return None
    return Step(say("{what} of {good}", what=what, good=before.name), (put("good", after, before),))
