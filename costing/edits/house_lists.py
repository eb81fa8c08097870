"""Edits of the lists a house keeps for its bar: techniques with the dilution it measured, and glasses."""

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal
from typing import Literal

from costing.book.book import Book
from costing.book.change import Change, Step, put
from costing.book.fact import NUMBER, Fact, parse_fact
from costing.book.records import Glass, Technique
from costing.book.units import Dim, lookup
from costing.edits.base import must_be_free, record_of, typed_fact, unused_name
from costing.supply.ids import free_id
from costing.tongue import say, say_many

Like = Literal["", "stirred", "shaken"]
MOST_DILUTION = Decimal(3)
"""Water from ice to build, by volume, above which a figure is a slip: it would be three parts of water to one."""


def new_technique(book: Book, name: str, dilution: str = "", like: Like = "", past: Iterable[str] = ()) -> Step:
    """A technique with its dilution as typed, or the published curve that stands in for one. ValueError for a name that
    is taken, or a figure that is no share."""
    called = unused_name(name, [t.name for t in book.all(Technique).values()])
    made = Technique(
        id=free_id(called, book, past, fallback="technique"), name=called, dilution=_share(dilution, None), like=like
    )
    return Step(say("new technique {name}", name=called), (put("technique", made),))


def rename_technique(book: Book, ident: str, name: str) -> Step | None:
    """Another name. ValueError for a blank one or one that another has."""
    old = record_of(book, Technique, ident)
    called = unused_name(name, [t.name for t in book.all(Technique).values() if t.id != ident])
    return _technique(old, replace(old, name=called), say("name of technique {name}", name=called))


def set_dilution(book: Book, ident: str, text: str) -> Step | None:
    """Water from ice, by volume of the build, as typed: "25 %", "0,25 l/l", "~20 %"; "" leaves it to the curve."""
    old = record_of(book, Technique, ident)
    said = say("dilution of {technique}", technique=old.name)
    return _technique(old, replace(old, dilution=_share(text, old.dilution)), said)


def measure_dilution(book: Book, ident: str, weighings: str) -> Step | None:
    """The dilution from weighings of the build before ice and strained after it, a pair each: "98 g 121 g; 97 g 119 g".

    The water that came in is the difference, and its volume is its weight (a gram a millilitre, at 20 C within 0.2 %).
    The build is told by volume where that was read ("95 ml 98 g 121 g": built, weighed before, weighed after), and by
    weight else, which is said in ``how``. ValueError names the pair that cannot be.
    """
    old = record_of(book, Technique, ident)
    rows = [row for row in weighings.replace("\n", ";").split(";") if row.strip()]
    if not rows:
        raise ValueError(say("write the weight before and the weight after, like 98 g 121 g"))
    found = [_weighed(row) for row in rows]
    if len({by_volume for _, _, by_volume in found}) > 1:
        raise ValueError(say("write the volume of the build for every drink, or for none"))
    water = sum((w for w, _, _ in found), Decimal(0))
    build = sum((b for _, b, _ in found), Decimal(0))
    value = (100 * water / build).quantize(Decimal("0.1"))
    how = say_many("weighed before and after, {n} drink", "weighed before and after, {n} drinks", len(found))
    note = "" if found[0][2] else say("by weight of the build, no volume was read")
    fact = Fact(text=f"{value.normalize():f} %", value=value, unit="%", mark="measured", how=how, note=note)
    return _technique(old, replace(old, dilution=fact), say("dilution of {technique}, measured", technique=old.name))


def set_like(book: Book, ident: str, like: str) -> Step | None:
    """Which published curve stands in where no dilution is stated: "stirred", "shaken", or "" for none."""
    old = record_of(book, Technique, ident)
    if like not in ("", "stirred", "shaken"):
        raise ValueError(say("“{text}” is no curve: stirred or shaken, or nothing", text=like))
    chosen: Like = "stirred" if like == "stirred" else "shaken" if like == "shaken" else ""
    return _technique(old, replace(old, like=chosen), say("curve of {technique}", technique=old.name))


def set_technique_note(book: Book, ident: str, text: str) -> Step | None:
    """What to say of it."""
    old = record_of(book, Technique, ident)
    return _technique(old, replace(old, note=text.strip()), say("note of {technique}", technique=old.name))


def remove_technique(book: Book, ident: str) -> Step:
    """Take a technique out. InUse while drinks are made by it."""
    old = record_of(book, Technique, ident)
    must_be_free(book, "technique", ident, old.name)
    return Step(say("remove technique {name}", name=old.name), (Change("technique", ident, old, None),))


def new_glass(book: Book, name: str, capacity: str = "", past: Iterable[str] = ()) -> Step:
    """A glass, and what it holds to the brim as typed ("160 ml"). ValueError for a name that is taken, or no volume."""
    called = unused_name(name, [g.name for g in book.all(Glass).values()])
    made = Glass(id=free_id(called, book, past, fallback="glass"), name=called, capacity=_volume(book, capacity, None))
    return Step(say("new glass {name}", name=called), (put("glass", made),))


def rename_glass(book: Book, ident: str, name: str) -> Step | None:
    """Another name. ValueError for a blank one or one that another has."""
    old = record_of(book, Glass, ident)
    called = unused_name(name, [g.name for g in book.all(Glass).values() if g.id != ident])
    return _glass(old, replace(old, name=called), say("name of glass {name}", name=called))


def set_capacity(book: Book, ident: str, text: str) -> Step | None:
    """What it holds to the brim, as typed; "" is not known."""
    old = record_of(book, Glass, ident)
    return _glass(
        old, replace(old, capacity=_volume(book, text, old.capacity)), say("what {glass} holds", glass=old.name)
    )


def remove_glass(book: Book, ident: str) -> Step:
    """Take a glass out. InUse while drinks are served in it."""
    old = record_of(book, Glass, ident)
    must_be_free(book, "glass", ident, old.name)
    return Step(say("remove glass {name}", name=old.name), (Change("glass", ident, old, None),))


def _technique(old: Technique, new: Technique, text: str) -> Step | None:
    return None if new == old else Step(text, (put("technique", new, old),))


def _glass(old: Glass, new: Glass, text: str) -> Step | None:
    return None if new == old else Step(text, (put("glass", new, old),))


def _share(text: str, before: Fact | None) -> Fact | None:
    """A dilution as typed; a bare number could be a share or a percentage, and is not guessed."""
    written = text.strip()
    if NUMBER.fullmatch(written.removeprefix("~").strip()) is not None and (before is None or written != before.text):
        raise ValueError(say("“{text}” may be a share or percent: write it like 25 %", text=written))
    fact = typed_fact(written, before)
    if fact is None or fact is before:
        return fact
    unit = lookup(fact.unit)
    if unit is None or unit.dim is not Dim.RATIO or not 0 <= fact.value * unit.factor <= MOST_DILUTION:
        raise ValueError(
            say("“{text}” is not a dilution: write the water by volume of the build, like 25 %", text=text)
        )
    return fact


def _volume(book: Book, text: str, before: Fact | None) -> Fact | None:
    """A volume as typed, in a measure of the house's own too."""
    fact = typed_fact(text, before)
    if fact is None:
        return None
    measures = {name.lower(): lookup(m.unit) for name, m in (book.house.measures if book.house is not None else ())}
    unit = lookup(fact.unit) or measures.get(fact.unit.lower())
    if unit is None or unit.dim is not Dim.VOLUME or fact.value <= 0:
        raise ValueError(say("“{text}” is not what a glass holds: write it like 160 ml", text=text))
    return fact


def _weighed(row: str) -> tuple[Decimal, Decimal, bool]:
    """(water that came in, the build, whether that is by volume) of one drink, in kilograms or litres."""
    parts = _amounts(row)
    dims = [dim for _, dim in parts]
    if dims not in ([Dim.MASS, Dim.MASS], [Dim.VOLUME, Dim.MASS, Dim.MASS]):
        raise ValueError(say("“{row}”: write the weight before and the weight after, like 98 g 121 g", row=row.strip()))
    build, before, after = parts[0][0], parts[-2][0], parts[-1][0]
    if build <= 0 or before <= 0 or not before <= after <= before + MOST_DILUTION * build:
        raise ValueError(say("“{row}”: ice adds water, so it weighs more after than before", row=row.strip()))
    return after - before, build, len(parts) == 3


def _amounts(row: str) -> list[tuple[Decimal, Dim | None]]:
    """Amounts in one line: each is a number and a unit, with spaces or commas and spaces between them."""
    words, out = row.replace(", ", " ").replace("/ ", " ").split(), []
    while words:
        taken = 1 if any(ch.isalpha() for ch in words[0]) else 2
        text = " ".join(words[:taken])
        words = words[taken:]
        fact = parse_fact(text)
        unit = lookup(fact.unit)
        out.append((fact.value * (unit.factor if unit else 1), unit.dim if unit else None))
    return out
