"""Edits of scenarios: named sets of supposed changes, each typed as one line. None of them touches anything else."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date

from costing.book.book import Book
from costing.book.change import Change, Step, put
from costing.book.selling import Scenario, Supposed
from costing.edits.applying import applied
from costing.edits.base import record_of, unused_name
from costing.edits.supposed_text import read_supposed, supposed_text
from costing.menu.overlay import laid_over
from costing.supply.ids import free_id
from costing.tongue import say

__all__ = [
    "add_supposed", "applied", "keep", "new_scenario", "read_supposed", "remove", "remove_supposed", "rename",
    "scenario_of", "set_note", "set_supposed", "supposed_text",
]  # fmt: skip


def scenario_of(book: Book, texts: Iterable[str], day: date, name: str = "") -> Scenario:
    """A scenario of typed lines that is in no book. ValueError names the line that cannot be read or laid."""
    supposed: list[Supposed] = []
    for text in texts:
        supposed.append(_read(book, text, day, supposed))
    return Scenario(id="", name=name, supposed=tuple(supposed), since=day)


def new_scenario(
    book: Book, name: str, texts: Iterable[str], since: date, past: Iterable[str] = ()
) -> tuple[Step, str]:
    """A scenario of typed lines: the step and its id. ValueError for a name that one has, and for a line that cannot be
    read or laid over the book of ``since``."""
    return keep(book, scenario_of(book, texts, since), name, past)


def keep(book: Book, scenario: Scenario, name: str, past: Iterable[str] = ()) -> tuple[Step, str]:
    """A scenario that is in no book yet, or another one once more, under a name: the step and the new id."""
    called = unused_name(name, [s.name for s in book.all(Scenario).values()])
    ident = free_id(called, book, past, fallback="scenario")
    new = replace(scenario, id=ident, name=called)
    return Step(say("new scenario {name}", name=called), (put("scenario", new),)), ident


def rename(book: Book, ident: str, name: str) -> Step | None:
    """Another name; None where it is the name it has."""
    old = record_of(book, Scenario, ident)
    called = unused_name(name, [s.name for s in book.all(Scenario).values() if s.id != ident])
    return _step(old, replace(old, name=called), say("name of scenario {name}: {new}", name=old.name, new=called))


def set_note(book: Book, ident: str, text: str) -> Step | None:
    """What to say of it."""
    old = record_of(book, Scenario, ident)
    return _step(old, replace(old, note=text.strip()), say("note of scenario {name}", name=old.name))


def add_supposed(book: Book, ident: str, text: str, day: date) -> Step:
    """One more supposed change, as typed, behind the last. ValueError where it cannot be read or laid on ``day``."""
    old = record_of(book, Scenario, ident)
    new = _read(book, text, day, old.supposed)
    said = say("{name}: suppose {text}", name=old.name, text=" ".join(text.split()))
    return Step(said, (put("scenario", replace(old, supposed=(*old.supposed, new)), old),))


def set_supposed(book: Book, ident: str, at: int, text: str, day: date) -> Step | None:
    """A supposed change typed anew; blank takes it out."""
    if not text.strip():
        return remove_supposed(book, ident, at)
    old = record_of(book, Scenario, ident)
    _at(old, at)
    new = _read(book, text, day, old.supposed[:at])
    said = say("{name}: suppose {text}", name=old.name, text=" ".join(text.split()))
    return _step(old, replace(old, supposed=(*old.supposed[:at], new, *old.supposed[at + 1 :])), said)


def remove_supposed(book: Book, ident: str, at: int) -> Step:
    """Take a supposed change out. ValueError where there is none."""
    old = record_of(book, Scenario, ident)
    _at(old, at)
    after = replace(old, supposed=(*old.supposed[:at], *old.supposed[at + 1 :]))
    return Step(say("{name}: take change {n} out", name=old.name, n=at + 1), (put("scenario", after, old),))


def remove(book: Book, ident: str) -> Step:
    """Throw a scenario away; the book stays as it is."""
    old = record_of(book, Scenario, ident)
    return Step(say("remove scenario {name}", name=old.name), (Change("scenario", ident, old, None),))


def _read(book: Book, text: str, day: date, before: Iterable[Supposed]) -> Supposed:
    """A typed line that can be laid over the book: behind those of the same thing, whatever became of the others."""
    new = read_supposed(text, book, day)
    same = [s for s in before if (s.sort, s.target, s.part) == (new.sort, new.target, new.part)]
    laid_over(book, Scenario(id="", name="", supposed=(*same, new), since=day), day)
    return new


def _at(scenario: Scenario, at: int) -> None:
    if not 0 <= at < len(scenario.supposed):
        raise ValueError(say("there is no line {n}", n=at + 1))


def _step(before: Scenario, after: Scenario, said: str) -> Step | None:
    return Step(said, (put("scenario", after, before),)) if after != before else None
