"""Edits of what goes into the stages of a preparation, one component a line."""

from dataclasses import replace
from datetime import date
from functools import partial

from costing.book.book import Book
from costing.book.change import Step
from costing.book.fact import parse_fact
from costing.book.records import Input, Preparation, Stage, Version
from costing.book.units import Dim, lookup
from costing.edits.base import record_of, typed_fact, version_on
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
from costing.edits.preparations import change_version
from costing.edits.stages import change_stage, place_of, stage_of
from costing.tongue import say, say_many


def set_line(
    book: Book, ident: str, day: date, stage: str, at: int, text: str, since: date | None = None
) -> Step | None:
    """A component as typed ("1.2 kg pineapple") in place of the one at ``at``, or behind the last. Undecided where it
    cannot be read; a blank line takes the component out."""
    old = stage_of(book, ident, since or day, stage)
    before = old.adds[at] if 0 <= at < len(old.adds) else None
    if not text.strip():
        if before is None:
            raise ValueError(say("nothing was typed"))
        return remove_line(book, ident, day, stage, at, since)
    item = read_input(text, book, before)
    said = say("“{text}” into {preparation}", text=" ".join(text.split()),
               preparation=record_of(book, Preparation, ident).name)  # fmt: skip
    return change_stage(book, ident, day, stage, said, lambda s: with_input(s, at, item), since)


def put_input(
    book: Book, ident: str, day: date, stage: str, source: str, amount: str, since: date | None = None
) -> Step | None:
    """A good, preparation or preparation/by-product by id, with its amount as typed ("" leaves it to the stage)."""
    item = Input(source=source, amount=typed_fact(amount, None))
    said = say("{source} into {preparation}", source=source, preparation=record_of(book, Preparation, ident).name)
    return change_stage(book, ident, day, stage, said, lambda s: with_input(s, len(s.adds), item), since)


def remove_line(
    book: Book, ident: str, day: date, stage: str, at: int, since: date | None = None
) -> Step | None:  # fmt: skip
    """Take a component out."""
    stage_of(book, ident, since or day, stage)
    said = say("take component {n} out of {preparation}", n=at + 1,
               preparation=record_of(book, Preparation, ident).name)  # fmt: skip
    return change_stage(book, ident, day, stage, said, lambda s: without_input(s, at), since)


def move_line(
    book: Book, ident: str, day: date, stage: str, at: int, by: int, since: date | None = None
) -> Step | None:  # fmt: skip
    """A component further up or down; beyond the end of its stage it goes into the next one."""
    version = version_on(record_of(book, Preparation, ident).versions, since or day)
    here = place_of(version, stage)
    said = say("order of the components of {preparation}", preparation=record_of(book, Preparation, ident).name)
    old = version.stages[here]
    if not 0 <= at < len(old.adds):
        raise ValueError(say("there is no line {n}", n=at + 1))
    if 0 <= at + by < len(old.adds):
        return change_stage(book, ident, day, stage, said, lambda s: moved_input(s, at, by), since)
    beyond = here + (1 if by > 0 else -1)
    if not 0 <= beyond < len(version.stages):
        return None
    target, item = version.stages[beyond].id, old.adds[at]

    def across(version: Version) -> Version:
        taken = {stage: partial(without_input, at=at), target: partial(_taking, item=item, first=by > 0)}
        return replace(version, stages=tuple(taken[s.id](s) if s.id in taken else s for s in version.stages))

    return change_version(book, ident, day, said, across, since)


def set_amount(
    book: Book, ident: str, day: date, stage: str, at: int, text: str, since: date | None = None
) -> Step | None:  # fmt: skip
    """How much of a component goes in, as typed; "" leaves it to the stage to work out."""
    said = say("amount of component {n} of {preparation}", n=at + 1,
               preparation=record_of(book, Preparation, ident).name)  # fmt: skip
    _line_there(stage_of(book, ident, since or day, stage), at)
    return change_stage(book, ident, day, stage, said, lambda s: with_amount(s, at, text), since)


def set_spill(
    book: Book, ident: str, day: date, stage: str, at: int, text: str, since: date | None = None
) -> Step | None:  # fmt: skip
    """What of a component is poured beside ("3 %"); "" is none. A bare number is percent."""
    _line_there(stage_of(book, ident, since or day, stage), at)
    written = text.strip()
    if written.replace(".", "", 1).replace(",", "", 1).removeprefix("~").strip().isdigit():
        written = f"{written} %"
    if written:
        fact = parse_fact(written)
        unit = lookup(fact.unit)
        if unit is None or unit.dim is not Dim.RATIO or not 0 <= fact.value * unit.factor < 1:
            raise ValueError(say("“{text}” is not a share: write it like 3 %", text=text))
    said = say("spill of component {n} of {preparation}", n=at + 1,
               preparation=record_of(book, Preparation, ident).name)  # fmt: skip
    return change_stage(book, ident, day, stage, said, lambda s: with_spill(s, at, written), since)


def set_fixed(
    book: Book, ident: str, day: date, stage: str, at: int, fixed: bool, since: date | None = None
) -> Step | None:  # fmt: skip
    """Whether a component goes in once whatever the size of the batch."""
    _line_there(stage_of(book, ident, since or day, stage), at)
    said = (
        say(
            "component {n} of {preparation} once a batch",
            n=at + 1,
            preparation=record_of(book, Preparation, ident).name,
        )
        if fixed
        else say(
            "component {n} of {preparation} with the batch",
            n=at + 1,
            preparation=record_of(book, Preparation, ident).name,
        )
    )
    return change_stage(
        book, ident, day, stage, said, lambda s: with_input(s, at, replace(s.adds[at], fixed=fixed)), since
    )


def _line_there(stage: Stage, at: int) -> None:
    if not 0 <= at < len(stage.adds):
        raise ValueError(say("there is no line {n}", n=at + 1))


def paste_lines(
    book: Book, ident: str, day: date, stage: str, at: int, text: str, since: date | None = None
) -> tuple[Step | None, Pasted]:
    """A pasted block as components before place ``at``: the step of those that are decided, and what was made of it."""
    found = pasted_inputs(text, book)
    if not found.adds:
        return None, found
    said = say_many("paste {n} component into {preparation}", "paste {n} components into {preparation}",
                    len(found.adds), preparation=record_of(book, Preparation, ident).name)  # fmt: skip
    return change_stage(book, ident, day, stage, said, lambda s: with_inputs(s, at, found.adds), since), found


def _taking(stage: Stage, item: Input, *, first: bool) -> Stage:
    return with_inputs(stage, 0 if first else len(stage.adds), (item,))
