"""Logs of batches: what really went in and what was read. A log is never refused for what it says."""

from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import date

from costing.book.book import Book
from costing.book.change import Change, Step, put
from costing.book.fact import parse_fact
from costing.book.records import BatchLog, LoggedInput, LoggedStage, Preparation
from costing.edits.base import record_of, version_on
from costing.edits.lines import read_input
from costing.supply.ids import free_id
from costing.tongue import say

STATES = ("made", "failed", "held")


def new_log(
    book: Book, preparation: str, day: date, revision: int | None, initials: str = "", past: Iterable[str] = ()
) -> tuple[Step, str]:
    """A log of a batch made on a day, by the recipe as the journal had it at ``revision``; the step and the new id."""
    made = record_of(book, Preparation, preparation)
    version = version_on(made.versions, day)
    log = BatchLog(
        id=free_id(f"{preparation} {day.isoformat()}", book, past, fallback="batch"),
        preparation=preparation,
        day=day,
        stages=tuple(LoggedStage(stage=stage.id) for stage in version.stages),
        revision=revision,
        initials=initials.strip(),
    )
    said = say("log a batch of {preparation}, {day}", preparation=made.name, day=day.isoformat())
    return Step(said, (put("batch", log),)), log.id


def _amend(book: Book, ident: str, what: str, change: Callable[[BatchLog], BatchLog]) -> Step | None:
    log = record_of(book, BatchLog, ident)
    after = change(log)
    if after == log:
        return None
    name = getattr(book.get("preparation", log.preparation), "name", log.preparation)
    said = say("{what}, batch of {preparation} of {day}", what=what, preparation=name, day=log.day.isoformat())
    return Step(said, (put("batch", after, log),))


def _stage(log: BatchLog, stage: str, change: Callable[[LoggedStage], LoggedStage]) -> BatchLog:
    """A log with one of its stages changed; a stage it does not have yet is begun."""
    known = any(s.stage == stage for s in log.stages)
    stages = log.stages if known else (*log.stages, LoggedStage(stage=stage))
    return replace(log, stages=tuple(change(s) if s.stage == stage else s for s in stages))


def set_reading(book: Book, ident: str, stage: str, name: str, text: str, how: str | None = None) -> Step | None:
    """A reading as typed ("1.68 kg less 0.37 kg", "1.2 l at 5 C", "43 % vol"); "" takes it out. ``how`` names the
    method; None keeps that of the reading there was."""

    def change(old: LoggedStage) -> LoggedStage:
        before = dict(old.readings).get(name)
        rest = tuple((n, f) for n, f in old.readings if n != name)
        if not text.strip():
            return replace(old, readings=rest)
        method = how if how is not None else (before.how if before is not None else "")
        fact = replace(parse_fact(text.strip()), how=method)
        if before is not None:
            fact = before if before == fact else replace(fact, note=before.note)
            return replace(old, readings=tuple((n, fact if n == name else f) for n, f in old.readings))
        return replace(old, readings=(*old.readings, (name, fact)))

    return _amend(book, ident, say("reading"), lambda log: _stage(log, stage, change))


def set_method(book: Book, ident: str, stage: str, name: str, how: str) -> Step | None:
    """How a reading was taken. ValueError where there is none yet."""
    log = record_of(book, BatchLog, ident)
    found = next((dict(s.readings).get(name) for s in log.stages if s.stage == stage), None)
    if found is None:
        raise ValueError(say("type the reading first, then how it was taken"))
    return set_reading(book, ident, stage, name, found.text, how.strip())


def set_added(book: Book, ident: str, stage: str, source: str, text: str, lot: str | None = None) -> Step | None:
    """What really went in of an input (by its source or its id), as typed; "" goes by the recipe again."""

    def change(old: LoggedStage) -> LoggedStage:
        before = next((item for item in old.added if item.input == source), None)
        rest = tuple(item for item in old.added if item.input != source)
        if not text.strip():
            return replace(old, added=rest)
        fact = parse_fact(text.strip())
        new = LoggedInput(
            input=source,
            amount=before.amount if before is not None and before.amount.text == fact.text else fact,
            lot=lot.strip() if lot is not None else (before.lot if before is not None else ""),
        )
        if before is None:
            return replace(old, added=(*old.added, new))
        return replace(old, added=tuple(new if item is before else item for item in old.added))

    return _amend(book, ident, say("what went in"), lambda log: _stage(log, stage, change))


def add_extra(book: Book, ident: str, stage: str, text: str) -> Step | None:
    """Something went in that the recipe does not name, as typed with its name ("200 g lime"). Undecided for a line that
    says no amount or no name of the book; ValueError for what stands in the stage already."""
    item = read_input(text, book)
    log = record_of(book, BatchLog, ident)
    there = next((s.added for s in log.stages if s.stage == stage), ())
    if any(item.source == old.input for old in there) or item.amount is None:
        found = book.get("good", item.source) or book.get("preparation", item.source)
        name = getattr(found, "name", item.source)
        raise ValueError(say("{name} stands in this stage already: change its amount there", name=name))
    return set_added(book, ident, stage, item.source, item.amount.text)


def set_stage_initials(book: Book, ident: str, stage: str, initials: str) -> Step | None:
    """Who was at a stage."""
    return _amend(
        book, ident, say("initials of a stage"),
        lambda log: _stage(log, stage, lambda old: replace(old, initials=initials.strip())),
    )  # fmt: skip


def set_stage_note(book: Book, ident: str, stage: str, note: str) -> Step | None:
    """What to say of a stage."""
    return _amend(
        book, ident, say("note on a stage"), lambda log: _stage(log, stage, lambda old: replace(old, note=note.strip()))
    )


def set_state(book: Book, ident: str, state: str) -> Step | None:
    """made, failed or held. ValueError for anything else."""
    found = next((s for s in STATES if s == state), None)
    if found is None:
        raise ValueError(say("a batch is made, failed or held"))
    return _amend(book, ident, say("state: {state}", state=found), lambda log: replace(log, state=found))  # type: ignore[arg-type]


def set_day(book: Book, ident: str, day: date) -> Step | None:
    """The day it was made."""
    return _amend(book, ident, say("day"), lambda log: replace(log, day=day))


def set_initials(book: Book, ident: str, initials: str) -> Step | None:
    """Who made it."""
    return _amend(book, ident, say("initials"), lambda log: replace(log, initials=initials.strip()))


def set_note(book: Book, ident: str, note: str) -> Step | None:
    """What to say of it."""
    return _amend(book, ident, say("note"), lambda log: replace(log, note=note.strip()))


def remove(book: Book, ident: str) -> Step:
    """Take a log out."""
    log = record_of(book, BatchLog, ident)
    name = getattr(book.get("preparation", log.preparation), "name", log.preparation)
    said = say("remove the batch of {preparation} of {day}", preparation=name, day=log.day.isoformat())
    return Step(said, (Change("batch", ident, log, None),))
