"""Edits of drinks."""

from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import date
from decimal import Decimal

from costing.book.book import Book
from costing.book.change import Change, Step, put
from costing.book.fact import NUMBER, parse_fact
from costing.book.records import Glass, Good, Preparation, Serve, ServeVersion, Stage, Technique
from costing.book.units import Dim, lookup
from costing.edits.base import amended, must_be_free, record_of, typed_fact, unused_name, version_on
from costing.edits.lines import (
    Pasted,
    moved_input,
    pasted_inputs,
    read_input,
    with_amount,
    with_input,
    with_inputs,
    with_spill,
    without_input,
)
from costing.supply import Draft, read_recipe, to_serve
from costing.supply.ids import free_id
from costing.tongue import say, say_many


def new_serve(book: Book, name: str, text: str, since: date, past: Iterable[str] = ()) -> Draft:
    """A drink of pasted components, one a line; its title names it where ``name`` is blank."""
    return to_serve(read_recipe(text, book), book, since, name=name, past=past)


def change_serve(
    book: Book, ident: str, day: date, text: str, change: Callable[[ServeVersion], ServeVersion],
    since: date | None = None,
) -> Step:  # fmt: skip
    """The step of a change to the version of a day, or from ``since`` on."""
    serve = record_of(book, Serve, ident)
    after = replace(serve, versions=amended(serve.versions, day, change, since))
    return Step(text, (put("serve", after, serve),))


def change_build(
    book: Book, ident: str, day: date, text: str, change: Callable[[Stage], Stage], since: date | None = None
) -> Step:
    """The same for its build."""
    return change_serve(book, ident, day, text, lambda v: replace(v, build=change(v.build)), since)


def set_line(book: Book, ident: str, day: date, at: int, text: str, since: date | None = None) -> Step:
    """A component as typed, in place of the one at ``at`` or behind the last. Undecided where it cannot be read; a
    blank line takes the component out."""
    serve = record_of(book, Serve, ident)
    build = version_on(serve.versions, since or day).build
    before = build.adds[at] if 0 <= at < len(build.adds) else None
    if not text.strip():
        if before is None:
            raise ValueError(say("nothing was typed"))
        return remove_line(book, ident, day, at, since)
    item = read_input(text, book, before)
    said = say("component “{text}” of {serve}", text=" ".join(text.split()), serve=serve.name)
    return change_build(book, ident, day, said, lambda build: with_input(build, at, item), since)


def remove_line(book: Book, ident: str, day: date, at: int, since: date | None = None) -> Step:
    """Take a component out. ValueError for the last one: a drink of nothing is no drink."""
    serve = record_of(book, Serve, ident)
    if len(version_on(serve.versions, since or day).build.adds) < 2:
        raise ValueError(say("the last component stays: remove the drink, or type another over it"))
    said = say("take component {n} out of {serve}", n=at + 1, serve=serve.name)
    return change_build(book, ident, day, said, lambda build: without_input(build, at), since)


def move_line(book: Book, ident: str, day: date, at: int, by: int) -> Step:
    """A component further up or down."""
    serve = record_of(book, Serve, ident)
    said = say("order of the components of {serve}", serve=serve.name)
    return change_build(book, ident, day, said, lambda build: moved_input(build, at, by))


def set_amount(book: Book, ident: str, day: date, at: int, text: str, since: date | None = None) -> Step | None:
    """How much of a component, as typed; what it is stays. "" leaves it to the build to work out."""
    serve = record_of(book, Serve, ident)
    said = say("amount of component {n} of {serve}", n=at + 1, serve=serve.name)
    return _unless_same(
        serve, change_build(book, ident, day, said, lambda b: with_amount(_with(b, at), at, text), since)
    )


def set_source(book: Book, ident: str, day: date, at: int, source: str, since: date | None = None) -> Step | None:
    """What a component is, by id of a good, a preparation or preparation/by-product; its amount stays. ValueError for
    one that the book does not have."""
    serve = record_of(book, Serve, ident)
    name = source_name(book, source)
    said = say("component {n} of {serve}: {name}", n=at + 1, serve=serve.name, name=name)

    def change(build: Stage) -> Stage:
        return with_input(build, at, replace(_with(build, at).adds[at], source=source))

    return _unless_same(serve, change_build(book, ident, day, said, change, since))


def set_spill(book: Book, ident: str, day: date, at: int, text: str, since: date | None = None) -> Step | None:
    """What of a component is poured beside the glass, as typed: "3 %", "~5 %"; "" is none."""
    serve = record_of(book, Serve, ident)
    written = text.strip()
    if NUMBER.fullmatch(written.removeprefix("~").strip()) is not None:
        written = f"{written} %" if Decimal(1) <= _number(written) or _number(written) == 0 else written
    fact = parse_fact(written) if written else None
    unit = lookup(fact.unit) if fact is not None else None
    if fact is not None and (unit is None or unit.dim is not Dim.RATIO or not 0 <= fact.value * unit.factor < 1):
        raise ValueError(say("“{text}” is not a spill: write the share poured beside, like 3 %", text=text))
    if fact is not None and fact.unit == "":
        raise ValueError(say("“{text}” may be a share or percent: write it like 3 %", text=text))
    said = say("spill of component {n} of {serve}", n=at + 1, serve=serve.name)
    return _unless_same(
        serve, change_build(book, ident, day, said, lambda b: with_spill(_with(b, at), at, written), since)
    )


def set_labour(book: Book, ident: str, day: date, good: str, since: date | None = None) -> Step | None:
    """Whose hour the hands are, by the id of a good of labour; "" is the house's own."""
    serve = record_of(book, Serve, ident)
    if good:
        record_of(book, Good, good)
    said = say("whose hands make {serve}", serve=serve.name)
    return _unless_same(serve, change_build(book, ident, day, said, lambda b: replace(b, labour=good), since))


def source_name(book: Book, source: str) -> str:
    """What a source is called. ValueError where the book has none of that id."""
    head, _, by = source.partition("/")
    good, made = book.all(Good).get(source), book.all(Preparation).get(head)
    if good is not None:
        return good.name
    if made is not None and not by:
        return made.name
    kept = [b.name for version in made.versions for b in version.byproducts if b.id == by] if made is not None else []
    if not kept:
        raise ValueError(say("there is nothing called {source} in the book", source=source))
    return kept[-1]


def _with(build: Stage, at: int) -> Stage:
    """The build, if it has a component there."""
    if not 0 <= at < len(build.adds):
        raise ValueError(say("there is no line {n}", n=at + 1))
    return build


def _unless_same(serve: Serve, step: Step) -> Step | None:
    return None if step.changes[0].after == serve else step


def _number(text: str) -> Decimal:
    return parse_fact(text).value


def paste_lines(book: Book, ident: str, day: date, at: int, text: str) -> tuple[Step | None, Pasted]:
    """A pasted block as components before place ``at``: the step of those that are decided (None where none is), and
    what was made of every line."""
    serve = record_of(book, Serve, ident)
    found = pasted_inputs(text, book)
    if not found.adds:
        return None, found
    said = say_many("paste {n} component into {serve}", "paste {n} components into {serve}", len(found.adds),
                    serve=serve.name)  # fmt: skip
    return change_build(book, ident, day, said, lambda build: with_inputs(build, at, found.adds)), found


def set_technique(book: Book, ident: str, day: date, technique: str, since: date | None = None) -> Step:
    """How it is chilled and diluted, by id; "" for no ice at all."""
    serve = record_of(book, Serve, ident)
    name = record_of(book, Technique, technique).name if technique else say("none")
    said = say("technique of {serve}: {technique}", serve=serve.name, technique=name)
    return change_serve(book, ident, day, said, lambda v: replace(v, technique=technique), since)


def set_glass(book: Book, ident: str, day: date, glass: str, since: date | None = None) -> Step:
    """The glass, by id; "" for none."""
    serve = record_of(book, Serve, ident)
    name = record_of(book, Glass, glass).name if glass else say("none")
    said = say("glass of {serve}: {glass}", serve=serve.name, glass=name)
    return change_serve(book, ident, day, said, lambda v: replace(v, glass=glass), since)


def set_seconds(book: Book, ident: str, day: date, text: str, since: date | None = None) -> Step:
    """Seconds of hands at work, as typed; a bare number is seconds."""
    serve = record_of(book, Serve, ident)
    written = text.strip()
    if written.replace(".", "", 1).isdigit():
        written = f"{written} s"
    before = version_on(serve.versions, since or day).seconds
    fact = typed_fact(written, before)
    if fact is not None and fact.value < Decimal(0):
        raise ValueError(say("a time cannot be less than nothing"))
    said = say("time to build {serve}", serve=serve.name)
    return change_serve(book, ident, day, said, lambda v: replace(v, seconds=fact), since)


def set_note(book: Book, ident: str, day: date, text: str) -> Step:
    """What to say of how it is made."""
    serve = record_of(book, Serve, ident)
    said = say("note of {serve}", serve=serve.name)
    return change_serve(book, ident, day, said, lambda v: replace(v, note=text.strip()))


def rename(book: Book, ident: str, name: str) -> Step:
    """Another name. ValueError for a blank one or one that a drink has."""
    serve = record_of(book, Serve, ident)
    called = unused_name(name, [s.name for s in book.all(Serve).values() if s.id != ident])
    return Step(say("name of {serve}: {name}", serve=serve.name, name=called),
                (put("serve", replace(serve, name=called), serve),))  # fmt: skip


def duplicate(book: Book, ident: str, name: str, day: date, past: Iterable[str] = ()) -> tuple[Step, str]:
    """A variant: the version of the day under another name, from that day on. The step, and the new id."""
    serve = record_of(book, Serve, ident)
    called = unused_name(name, [s.name for s in book.all(Serve).values()])
    new = replace(
        serve,
        id=free_id(called, book, past, fallback="serve"),
        name=called,
        versions=(replace(version_on(serve.versions, day), since=day),),
    )
    said = say("new serve {name}, after {serve}", name=called, serve=serve.name)
    return Step(said, (put("serve", new),)), new.id


def begin_version(book: Book, ident: str, since: date) -> Step:
    """A version of its own from ``since`` on, so that what was sold before keeps its own. ValueError where one begins
    on that day already."""
    serve = record_of(book, Serve, ident)
    if any(v.since == since for v in serve.versions):
        raise ValueError(say("{serve} has a version from {day} on already", serve=serve.name, day=since.isoformat()))
    said = say("{serve} anew from {day}", serve=serve.name, day=since.isoformat())
    return change_serve(book, ident, since, said, lambda v: v, since)


def remove_version(book: Book, ident: str, since: date) -> Step:
    """Take a version out: the one before holds on. ValueError for the only one."""
    serve = record_of(book, Serve, ident)
    kept = tuple(v for v in serve.versions if v.since != since)
    if not kept or len(kept) == len(serve.versions):
        raise ValueError(say("{serve} has no other version to go on with", serve=serve.name))
    said = say("{serve} without the version from {day}", serve=serve.name, day=since.isoformat())
    return Step(said, (put("serve", replace(serve, versions=kept), serve),))


def remove(book: Book, ident: str) -> Step:
    """Take a drink out of the book. InUse while it is on a menu, which is named."""
    serve = record_of(book, Serve, ident)
    must_be_free(book, "serve", ident, serve.name)
    return Step(say("remove {serve}", serve=serve.name), (_gone(serve),))


def _gone(serve: Serve) -> Change:
    return Change("serve", serve.id, serve, None)
