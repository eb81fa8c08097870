"""Edits of preparations as a whole: new ones, names, versions, by-products. Their stages: ``costing.edits.stages``."""

from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Literal, get_args

from costing.book.book import Book
from costing.book.change import Change, Step, put
from costing.book.fact import NUMBER, parse_fact, value_of
from costing.book.records import AllergenStatement, ByProduct, Good, Preparation, Serve, Stage, Version
from costing.book.units import Dim, lookup
from costing.edits.base import InUse, amended, must_be_free, record_of, typed_fact, unused_name, version_on
from costing.supply import Draft, small, small_preparation
from costing.supply.ids import free_id, slug
from costing.tongue import say

PreparationBase = Literal["kg", "l", "each"]
BASES: tuple[PreparationBase, ...] = get_args(PreparationBase)
LONGEST_SHELF = 3650
"""Days; beyond it somebody mistyped."""


def new_preparation(
    book: Book, name: str, lines: str, makes: str, minutes: str, since: date, past: Iterable[str] = ()
) -> Draft:
    """A preparation of three lines: what goes in (pasted, one component a line), what it makes ("0.9 l"), and minutes
    of hands at work. Lines that are not decided are listed in the Draft. ValueError for what cannot be read."""
    unused_name(name, _names(book))
    return small_preparation(name, lines, makes, minutes, since, book, past=past)


def juice_of(book: Book, good: str, since: date, past: Iterable[str] = ()) -> Draft:
    """The juice of a fruit as a preparation of one stage; its yield is assumed. ValueError where no yield is known."""
    return small.juice_of(record_of(book, Good, good), since, book, past=past)


def twist_of(book: Book, good: str, since: date, past: Iterable[str] = ()) -> Draft:
    """Twists of a fruit as a preparation by the piece; how many is assumed. ValueError where no piece is known."""
    return small.twist_of(record_of(book, Good, good), since, book, past=past)


def _names(book: Book, but: str = "") -> list[str]:
    made = [p.name for p in book.all(Preparation).values() if p.id != but]
    return [*made, *(g.name for g in book.all(Good).values())]


def rename(book: Book, ident: str, name: str) -> Step | None:
    """Another name. ValueError for a blank one or one that a good or preparation has."""
    made = record_of(book, Preparation, ident)
    called = unused_name(name, _names(book, ident))
    said = say("name of {preparation}: {name}", preparation=made.name, name=called)
    return _put(made, replace(made, name=called), said)


def set_base(book: Book, ident: str, base: str) -> Step | None:
    """The unit it is costed and issued in: kg, l or each. ValueError for another one."""
    made = record_of(book, Preparation, ident)
    found = next((b for b in BASES if b == base.strip().lower()), None)
    if found is None:
        raise ValueError(say("“{base}” is not a unit to cost in: one of kg, l, each", base=base))
    return _put(made, replace(made, base=found), say("unit of {preparation}", preparation=made.name))


def set_shelf(book: Book, ident: str, text: str) -> Step | None:
    """Days it keeps, as the house says; "" is not said. ValueError for what is no whole number of days."""
    made = record_of(book, Preparation, ident)
    written = text.strip()
    days = int(written) if written.isascii() and written.isdigit() else None
    if written and (days is None or not 0 < days <= LONGEST_SHELF):
        raise ValueError(say("“{text}” is not a number of days: write a whole number like 14", text=text))
    return _put(made, replace(made, shelf_days=days), say("days that {preparation} keeps", preparation=made.name))


def set_note(book: Book, ident: str, day: date, text: str, since: date | None = None) -> Step | None:
    """What to say of how it is made, in the version of a day."""
    made = record_of(book, Preparation, ident)
    said = say("note of {preparation}", preparation=made.name)
    return change_version(book, ident, day, said, lambda v: replace(v, note=text.strip()), since)


def exempt(book: Book, ident: str, name: str, who: str, why: str, since: date) -> Step | None:
    """A named person says, with a reason, that an allergen is not in it any more. ValueError without one of them."""
    made = record_of(book, Preparation, ident)
    if not (name.strip() and who.strip() and why.strip()):
        raise ValueError(say("an allergen is taken away by a named person with a reason, or not at all"))
    kept = [e for e in made.exemptions if e.name != name]
    kept.append(AllergenStatement(name=name, state="free", who=who.strip(), since=since, label=why.strip()))
    said = say("{preparation} without {allergen}, says {who}", preparation=made.name, allergen=name, who=who.strip())
    return _put(made, replace(made, exemptions=tuple(sorted(kept, key=lambda e: e.name))), said)


def take_back_exemption(book: Book, ident: str, name: str) -> Step | None:
    """The allergen counts again."""
    made = record_of(book, Preparation, ident)
    said = say("{allergen} counts again in {preparation}", preparation=made.name, allergen=name)
    return _put(made, replace(made, exemptions=tuple(e for e in made.exemptions if e.name != name)), said)


# Versions


def change_version(
    book: Book, ident: str, day: date, text: str, change: Callable[[Version], Version], since: date | None = None
) -> Step | None:
    """The step of a change to the version of a day, or from ``since`` on; None where nothing changes."""
    made = record_of(book, Preparation, ident)
    return _put(made, replace(made, versions=amended(made.versions, day, change, since)), text)


def begin_version(book: Book, ident: str, since: date) -> Step:
    """A version of its own from ``since`` on, made like the one before. ValueError where one begins on that day."""
    made = record_of(book, Preparation, ident)
    if any(v.since == since for v in made.versions):
        raise ValueError(say("{name} has a version from {day} on already", name=made.name, day=since.isoformat()))
    said = say("{name} anew from {day}", name=made.name, day=since.isoformat())
    versions = amended(made.versions, since, lambda v: v, since)
    return Step(said, (put("preparation", replace(made, versions=versions), made),))


def remove_version(book: Book, ident: str, since: date) -> Step:
    """Take a version out: the one before holds on. ValueError for the only one, or where none begins on that day."""
    made = record_of(book, Preparation, ident)
    kept = tuple(v for v in made.versions if v.since != since)
    if len(kept) == len(made.versions):
        raise ValueError(say("no version of {name} begins on {day}", name=made.name, day=since.isoformat()))
    if not kept:
        raise ValueError(say("the only version stays: remove {name} itself", name=made.name))
    gone = {b.id for v in made.versions for b in v.byproducts} - {b.id for v in kept for b in v.byproducts}
    for name in gone:
        _byproduct_is_free(book, made, name)
    said = say("remove the version of {name} from {day}", name=made.name, day=since.isoformat())
    return Step(said, (put("preparation", replace(made, versions=kept), made),))


def set_pieces(book: Book, ident: str, day: date, text: str, since: date | None = None) -> Step | None:
    """How many pieces a batch gives ("42"); "" where it is not counted."""
    made = record_of(book, Preparation, ident)
    fact = typed_fact(text, version_on(made.versions, since or day).pieces)
    if fact is not None and (fact.value <= 0 or _dim(fact.unit) not in (Dim.COUNT, Dim.RATIO)):
        raise ValueError(say("“{text}” is not a number of pieces: write it like 42", text=text))
    said = say("pieces that {preparation} makes", preparation=made.name)
    return change_version(book, ident, day, said, lambda v: replace(v, pieces=fact), since)


def set_density(book: Book, ident: str, day: date, text: str, since: date | None = None) -> Step | None:
    """What a litre of it weighs, measured ("1.031 kg/l"); "" takes it out. A bare number is kg/l."""
    made = record_of(book, Preparation, ident)
    work = text.strip()
    if _bare(work):
        work = f"{work} kg/l"
    fact = typed_fact(work, version_on(made.versions, since or day).density)
    if fact is not None and (fact.value <= 0 or _dim(fact.unit) is not Dim.DENSITY):
        raise ValueError(say("“{text}” is not a density: write it like 1.05 kg/l", text=text))
    said = say("density of {preparation}", preparation=made.name)
    return change_version(book, ident, day, said, lambda v: replace(v, density=fact), since)


def _dim(unit: str) -> Dim | None:
    found = lookup(unit)
    return found.dim if found is not None else None


def _bare(text: str) -> bool:
    return NUMBER.fullmatch(text.removeprefix("~").strip()) is not None


# By-products


def keep_byproduct(
    book: Book, ident: str, day: date, stage: str, name: str, past: Iterable[str] = (), since: date | None = None
) -> Step | None:
    """What leaves a stage is kept, under a name; it takes no money until somebody says a share. ValueError where the
    stage keeps one already, or the name is taken. ``past`` are ids not to be used again."""
    made = record_of(book, Preparation, ident)
    version = version_on(made.versions, since or day)
    if any(b.stage == stage for b in version.byproducts):
        raise ValueError(say("this stage keeps something already: one stream leaves a stage"))
    if all(s.id != stage for s in version.stages):
        raise ValueError(say("there is no stage {stage}", stage=stage))
    called = unused_name(name, [b.name for b in version.byproducts])
    taken = {b.id for v in made.versions for b in v.byproducts} | {
        p.partition("/")[2] for p in past if p.startswith(f"{ident}/")
    }
    stem = slug(called) or "kept"
    new = next(i for i in (stem, *(f"{stem}-{n}" for n in range(2, len(taken) + 3))) if i not in taken)
    kept = ByProduct(id=new, stage=stage, name=called)
    said = say("keep {name} of {preparation}", name=called, preparation=made.name)
    return change_version(book, ident, day, said, lambda v: replace(v, byproducts=(*v.byproducts, kept)), since)


def change_byproduct(
    book: Book, ident: str, day: date, byproduct: str, change: Callable[[ByProduct], ByProduct],
    since: date | None = None,
) -> Step | None:  # fmt: skip
    """The step of a change to one by-product of the version of a day."""
    made = record_of(book, Preparation, ident)
    old = _byproduct(version_on(made.versions, since or day), byproduct)
    said = say("by-product {name} of {preparation}", name=old.name, preparation=made.name)

    def changed(version: Version) -> Version:
        kept = tuple(change(b) if b.id == byproduct else b for b in version.byproducts)
        return replace(version, byproducts=kept)

    return change_version(book, ident, day, said, changed, since)


def _byproduct(version: Version, byproduct: str) -> ByProduct:
    found = next((b for b in version.byproducts if b.id == byproduct), None)
    if found is None:
        raise ValueError(say("there is no by-product {name}", name=byproduct))
    return found


def name_byproduct(book: Book, ident: str, day: date, byproduct: str, name: str) -> Step | None:
    """Another name for a by-product; those who use it go on using it."""
    version = version_on(record_of(book, Preparation, ident).versions, day)
    called = unused_name(name, [b.name for b in version.byproducts if b.id != byproduct])
    return change_byproduct(book, ident, day, byproduct, lambda b: replace(b, name=called))


def share_of(text: str) -> Decimal:
    """A share of money as typed: "5 %" or "0.05". ValueError for one below 0, of all, or that is neither."""
    work = text.strip()
    found = NUMBER.fullmatch(work)
    if found is not None:
        value = value_of(found, text)
    elif work.endswith("%"):
        value = parse_fact(work).value / 100
    else:
        raise ValueError(say("“{text}”: write a share as 5 % or 0.05", text=text))
    if not 0 <= value < 1:
        raise ValueError(say("“{text}”: a share lies from 0 to below 100 %, written as 5 % or 0.05", text=text))
    return value


def set_share(book: Book, ident: str, day: date, byproduct: str, text: str, today: date) -> Step | None:
    """The share of the money that goes with a by-product ("5 %", "0.05"); "" is none. ``today`` is when it was set."""
    share = share_of(text) if text.strip() else Decimal(0)

    def changed(kept: ByProduct) -> ByProduct:
        return kept if kept.share == share else replace(kept, share=share, computed_on=today)

    return change_byproduct(book, ident, day, byproduct, changed)


def set_method(book: Book, ident: str, day: date, byproduct: str, text: str) -> Step | None:
    """By which method the share was chosen."""
    return change_byproduct(book, ident, day, byproduct, lambda b: replace(b, method=text.strip()))


def set_byproduct_base(book: Book, ident: str, day: date, byproduct: str, base: Literal["kg", "l"]) -> Step | None:
    """The unit a by-product is costed in."""
    return change_byproduct(book, ident, day, byproduct, lambda b: replace(b, base=base))


def drop_byproduct(book: Book, ident: str, day: date, byproduct: str, since: date | None = None) -> Step | None:
    """It is thrown away again. InUse while a recipe takes it."""
    made = record_of(book, Preparation, ident)
    kept = _byproduct(version_on(made.versions, since or day), byproduct)
    _byproduct_is_free(book, made, byproduct)
    said = say("{name} of {preparation} is kept no more", name=kept.name, preparation=made.name)

    def without(version: Version) -> Version:
        return replace(version, byproducts=tuple(b for b in version.byproducts if b.id != byproduct))

    return change_version(book, ident, day, said, without, since)


def users_of_byproduct(book: Book, ident: str, byproduct: str) -> list[tuple[str, str, str]]:
    """(kind, id, name) of every recipe that takes it, in any version."""
    source = f"{ident}/{byproduct}"

    def takes(stages: Iterable[Stage]) -> bool:
        return any(item.source == source for stage in stages for item in stage.adds)

    made = book.all(Preparation).values()
    found = [("preparation", p.id, p.name) for p in made if any(takes(v.stages) for v in p.versions)]
    drinks = book.all(Serve).values()
    return [*found, *(("serve", s.id, s.name) for s in drinks if any(takes((v.build,)) for v in s.versions))]


def _byproduct_is_free(book: Book, made: Preparation, byproduct: str) -> None:
    users = users_of_byproduct(book, made.id, byproduct)
    if users:
        name = next(b.name for v in made.versions for b in v.byproducts if b.id == byproduct)
        raise InUse(name, [(kind, ident) for kind, ident, _ in users], [called for _, _, called in users])


# The whole record


def duplicate(book: Book, ident: str, name: str, day: date, past: Iterable[str] = ()) -> tuple[Step, str]:
    """The version of a day under another name, from that day on: the step, and the new id. What uses itself uses the
    new one. Allergen exemptions stay behind: a person gave them for one preparation, not for its copies."""
    made = record_of(book, Preparation, ident)
    called = unused_name(name, _names(book))
    new = free_id(called, book, past, fallback="preparation")
    version = replace(version_on(made.versions, day), since=day)
    stages = tuple(
        replace(s, adds=tuple(replace(i, source=_own(i.source, ident, new)) for i in s.adds)) for s in version.stages
    )
    copy = replace(made, id=new, name=called, versions=(replace(version, stages=stages),), exemptions=())
    said = say("new preparation {name}, after {preparation}", name=called, preparation=made.name)
    if made.exemptions:
        said = say("{step} (without its allergen exemptions)", step=said)
    return Step(said, (put("preparation", copy),)), new


def _own(source: str, old: str, new: str) -> str:
    head, slash, rest = source.partition("/")
    return f"{new}{slash}{rest}" if head == old else source


def remove(book: Book, ident: str) -> Step:
    """Take it out of the book. InUse while a recipe takes it or a batch of it is logged."""
    made = record_of(book, Preparation, ident)
    must_be_free(book, "preparation", ident, made.name)
    return Step(say("remove {preparation}", preparation=made.name), (Change("preparation", ident, made, None),))


def _put(before: Preparation, after: Preparation, text: str) -> Step | None:
    return Step(text, (put("preparation", after, before),)) if after != before else None
