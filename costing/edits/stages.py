"""Edits of the stages of a preparation: their order and kind, what goes in, and every figure as typed text."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from datetime import date

from costing.book.book import Book
from costing.book.change import Step
from costing.book.fact import parse_fact
from costing.book.kinds import STAGE_KINDS
from costing.book.records import BatchLog, Equipment, Good, Preparation, Stage, Version
from costing.edits.base import InUse, moved, record_of, version_on
from costing.edits.figures import WouldLose, figure_of, recast, title_of, typed_figure, with_figure, would_lose
from costing.edits.preparations import change_version, users_of_byproduct
from costing.ledger import reckon
from costing.report.words import figure_word, stage_word
from costing.supply.ids import slug
from costing.tongue import say

NEUTRAL: dict[str, tuple[str, str]] = {
    "dry": ("lost", "~0 %"), "drain": ("yield", "~100 %"), "ferment": ("given_off", "~0 g"),
}  # fmt: skip
"""By mechanism: the figure that makes a new stage lose nothing until somebody says what it loses; assumed."""


def stage_of(book: Book, ident: str, day: date, stage: str) -> Stage:
    """A stage of the version of a day. ValueError where there is none of that id."""
    version = version_on(record_of(book, Preparation, ident).versions, day)
    return version.stages[place_of(version, stage)]


def place_of(version: Version, stage: str) -> int:
    for n, found in enumerate(version.stages):
        if found.id == stage:
            return n
    raise ValueError(say("there is no stage {stage}", stage=stage))


def change_stage(
    book: Book, ident: str, day: date, stage: str, text: str, change: Callable[[Stage], Stage],
    since: date | None = None,
) -> Step | None:  # fmt: skip
    """The step of a change to one stage; None where nothing changes. ``since`` as for ``change_version``."""
    version = version_on(record_of(book, Preparation, ident).versions, since or day)
    place_of(version, stage)

    def changed(version: Version) -> Version:
        return replace(version, stages=tuple(change(s) if s.id == stage else s for s in version.stages))

    return change_version(book, ident, day, text, changed, since)


def _said(book: Book, ident: str, stage: str) -> dict[str, str]:
    return {"stage": stage, "preparation": record_of(book, Preparation, ident).name}


# Stages


def free_stage_id(book: Book, ident: str, wanted: str, past: Iterable[str] = ()) -> str:
    """An id for a stage that no version of the preparation and no log of it ever had."""
    made = record_of(book, Preparation, ident)
    taken = {s.id for v in made.versions for s in v.stages} | set(past)
    taken |= {s.stage for log in book.all(BatchLog).values() if log.preparation == ident for s in log.stages}
    stem = slug(wanted) or "stage"
    return next(i for i in (stem, *(f"{stem}-{n}" for n in range(2, len(taken) + 3))) if i not in taken)


def _kind(kind: str) -> str:
    if kind not in STAGE_KINDS:
        raise ValueError(say("“{kind}” is not a kind of stage", kind=kind))
    return kind


def add_stage(
    book: Book, ident: str, day: date, kind: str, at: int, since: date | None = None, past: Iterable[str] = ()
) -> tuple[Step, str]:
    """A new stage at place ``at``: the step and its id. It loses nothing until somebody says what it loses; what it
    needs for that is put in, marked assumed, where such a figure there is."""
    new = Stage(id=free_stage_id(book, ident, _kind(kind), past), kind=kind)
    name = record_of(book, Preparation, ident).name
    said = say("stage “{kind}” in {preparation}", kind=stage_word(kind), preparation=name)

    def put_in(stage: Stage) -> Step:
        def changed(version: Version) -> Version:
            place = max(0, min(at, len(version.stages)))
            return replace(version, stages=(*version.stages[:place], stage, *version.stages[place:]))

        return _needed(change_version(book, ident, day, said, changed, since))

    return _settled(book, ident, day, new, put_in), new.id


def _settled(book: Book, ident: str, day: date, stage: Stage, put_in: Callable[[Stage], Step]) -> Step:
    """The step with the figure that loses nothing, unless the liquid will not have it (fruit cannot drain away)."""
    name, text = NEUTRAL.get(STAGE_KINDS[stage.kind].mechanism, ("", ""))
    if not name:
        return put_in(stage)
    step = put_in(replace(stage, facts=((name, parse_fact(text)),)))
    ledger = reckon(book.with_changes(step.changes).on(day)).ledgers.get(ident)
    refused = ledger is not None and any(
        p.level == "error" and f"/stage/{stage.id}" in p.where and p.code != "refused-source" for p in ledger.problems
    )
    return put_in(stage) if refused else step


def _needed(step: Step | None) -> Step:
    if step is None:
        raise ValueError(say("nothing was changed"))
    return step


def split_off(
    book: Book, ident: str, day: date, stage: str, kind: str, inputs: Sequence[int], since: date | None = None,
    past: Iterable[str] = (),
) -> tuple[Step, str]:  # fmt: skip
    """A stage of its own before this one, for inputs that are taken out of it: the step and the new stage's id. All
    that was typed stays, with its input or with the old stage. ValueError for no inputs, or one that is not there."""
    old = stage_of(book, ident, since or day, stage)
    wanted = sorted(set(inputs))
    if not wanted or any(not 0 <= n < len(old.adds) for n in wanted):
        raise ValueError(say("choose what goes into the new stage first"))
    new = Stage(
        id=free_stage_id(book, ident, _kind(kind), past), kind=kind, adds=tuple(old.adds[n] for n in wanted)
    )  # fmt: skip
    rest = tuple(item for n, item in enumerate(old.adds) if n not in wanted)
    said = say(
        "stage “{kind}” split off in {preparation}",
        kind=stage_word(kind), preparation=record_of(book, Preparation, ident).name,
    )  # fmt: skip

    def put_in(fresh: Stage) -> Step:
        def changed(version: Version) -> Version:
            out: list[Stage] = []
            for found in version.stages:
                out += [fresh, replace(found, adds=rest)] if found.id == stage else [found]
            return replace(version, stages=tuple(out))

        return _needed(change_version(book, ident, day, said, changed, since))

    return _settled(book, ident, day, new, put_in), new.id


def remove_stage(book: Book, ident: str, day: date, stage: str, since: date | None = None) -> Step:
    """Take a stage out, with a by-product that nobody uses. ValueError for the last stage; InUse while something uses
    what the stage keeps."""
    made = record_of(book, Preparation, ident)
    version = version_on(made.versions, since or day)
    place_of(version, stage)
    if len(version.stages) < 2:
        raise ValueError(say("the last stage stays: remove the preparation, or change its kind"))
    kept = [b for b in version.byproducts if b.stage == stage]
    for byproduct in kept:
        users = users_of_byproduct(book, ident, byproduct.id)
        if users:
            raise InUse(byproduct.name, [(k, i) for k, i, _ in users], [n for _, _, n in users])
    said = say("remove stage {stage} of {preparation}", **_said(book, ident, stage))
    if kept:
        said = say("{step}, and {name} that it kept", step=said, name=kept[0].name)

    def without(version: Version) -> Version:
        return replace(
            version,
            stages=tuple(s for s in version.stages if s.id != stage),
            byproducts=tuple(b for b in version.byproducts if b.stage != stage),
        )

    return _needed(change_version(book, ident, day, said, without, since))


def move_stage(book: Book, ident: str, day: date, stage: str, by: int, since: date | None = None) -> Step | None:
    """A stage earlier or later; None where it stands at the end already."""
    said = say("order of stage {stage} of {preparation}", **_said(book, ident, stage))
    return change_version(
        book, ident, day, said, lambda v: replace(v, stages=moved(v.stages, place_of(v, stage), by)), since
    )


def duplicate_stage(
    book: Book, ident: str, day: date, stage: str, since: date | None = None, past: Iterable[str] = ()
) -> tuple[Step, str]:
    """The same stage once more, right behind it: the step and the new id. What it keeps is kept once."""
    old = stage_of(book, ident, since or day, stage)
    copy = replace(old, id=free_stage_id(book, ident, old.id, past))
    said = say("stage {stage} of {preparation} once more", **_said(book, ident, stage))

    def changed(version: Version) -> Version:
        at = place_of(version, stage) + 1
        return replace(version, stages=(*version.stages[:at], copy, *version.stages[at:]))

    return _needed(change_version(book, ident, day, said, changed, since)), copy.id


def set_kind(
    book: Book, ident: str, day: date, stage: str, kind: str, *, giving_up: bool = False, since: date | None = None
) -> Step | None:
    """Another kind of stage; what it still takes stays. WouldLose where figures do not fit the new kind, unless
    ``giving_up`` says that they may go."""
    old = stage_of(book, ident, since or day, stage)
    lost = would_lose(old, _kind(kind))
    if lost and not giving_up:
        raise WouldLose(kind, lost)
    said = say(
        "stage {stage} of {preparation}: {kind}", kind=stage_word(kind), **_said(book, ident, stage)
    )  # fmt: skip
    if lost:
        gone = ", ".join(f"{figure_word(name)} {fact.text}" for name, fact in lost)
        said = say("{step}, without {figures}", step=said, figures=gone)
    return change_stage(book, ident, day, stage, said, lambda s: recast(s, kind), since)


# Figures


def set_figure(
    book: Book, ident: str, day: date, stage: str, name: str, text: str, since: date | None = None
) -> Step | None:
    """A fact, a reading or a time of a stage, as typed ("49 %", "1.72 kg less 0.37 kg", "25"); "" takes it out.
    ValueError for what the kind does not take, or what is not of its dimension."""
    old = stage_of(book, ident, since or day, stage)
    fact = typed_figure(book, old, name, text)
    said = say("{figure} at stage {stage} of {preparation}", figure=title_of(name), **_said(book, ident, stage))
    return change_stage(book, ident, day, stage, said, lambda s: with_figure(s, name, fact), since)


def set_how(
    book: Book, ident: str, day: date, stage: str, name: str, how: str, since: date | None = None
) -> Step | None:
    """How a figure was measured: a method, then what one likes ("scales, bag weighed empty")."""
    old = figure_of(stage_of(book, ident, since or day, stage), name)
    if old is None:
        raise ValueError(say("there is no figure yet: type it first"))
    said = say("how {figure} of {preparation} was measured", figure=title_of(name),
               preparation=record_of(book, Preparation, ident).name)  # fmt: skip
    fact = replace(old, how=" ".join(how.split()))
    return change_stage(book, ident, day, stage, said, lambda s: with_figure(s, name, fact), since)


def set_equipment(
    book: Book, ident: str, day: date, stage: str, machine: str, since: date | None = None
) -> Step | None:
    """The equipment, by id; "" for none."""
    called = record_of(book, Equipment, machine).name if machine else say("none")
    said = say("equipment of stage {stage} of {preparation}: {name}", name=called, **_said(book, ident, stage))
    return change_stage(book, ident, day, stage, said, lambda s: replace(s, equipment=machine), since)


def set_labour(book: Book, ident: str, day: date, stage: str, good: str, since: date | None = None) -> Step | None:
    """Whose hands, by the id of a labour good; "" for the house's usual ones."""
    if good and record_of(book, Good, good).layer != "labour":
        raise ValueError(say("{name} is not labour", name=record_of(book, Good, good).name))
    called = record_of(book, Good, good).name if good else say("the house's usual")
    said = say("hands at stage {stage} of {preparation}: {name}", name=called, **_said(book, ident, stage))
    return change_stage(book, ident, day, stage, said, lambda s: replace(s, labour=good), since)


def set_stage_note(book: Book, ident: str, day: date, stage: str, text: str, since: date | None = None) -> Step | None:
    """What to say of a stage."""
    said = say("note of stage {stage} of {preparation}", **_said(book, ident, stage))
    return change_stage(book, ident, day, stage, said, lambda s: replace(s, note=text.strip()), since)
