"""Yield tests: what was weighed before and after, and the mean of them taken into a recipe."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from decimal import Decimal

from costing.book.book import Book
from costing.book.change import Change, Step, put
from costing.book.fact import Fact, parse_fact
from costing.book.kinds import RIVALS, STAGE_KINDS
from costing.book.records import Good, Preparation, Stage, Version, YieldTest
from costing.book.units import Dim, lookup
from costing.book.yields import YieldMean, yield_mean, yield_share
from costing.edits.base import amended, record_of, with_fact
from costing.report.words import figure_word
from costing.supply.ids import free_id
from costing.tongue import say, say_many

TAKES = ("refuse", "yield", "keep")
"""Facts that a share kept can be written as, in the order they are looked for in a kind of stage."""
WEIGHED = ("out.mass", "out.volume", "left.mass")
"""Readings that say how much goes on, and would be believed before a share: the mean stands in their place."""


def new_trial(
    book: Book,
    good: str,
    day: date,
    gross: str,
    kept: str,
    part: str = "",
    initials: str = "",
    past: Iterable[str] = (),
) -> Step:
    """A yield test. Amounts as typed ("2.45 kg less 0.65 kg" is gross less tare); ValueError where they are not two of
    one kind of unit, or more was kept than there was."""
    record = record_of(book, Good, good)
    test = YieldTest(
        id=free_id(f"{good} {day.isoformat()}", book, past, fallback="yield"),
        good=good,
        day=day,
        gross=_weighed(gross),
        kept=_weighed(kept),
        part=part.strip(),
        initials=initials.strip(),
    )
    share = yield_share(test)
    if share is None:
        raise ValueError(say("write both amounts as weights, or both as volumes"))
    if not 0 <= share <= 1:
        raise ValueError(say("{kept} cannot be kept of {gross}", kept=kept, gross=gross))
    return Step(say("yield test of {good}", good=record.name), (put("yieldtest", test),))


def _weighed(text: str) -> Fact:
    fact = parse_fact(text)
    unit = lookup(fact.unit)
    return replace(fact, how="scales") if unit is not None and unit.dim is Dim.MASS else fact


def remove_trial(book: Book, ident: str) -> Step:
    """Take a test out."""
    test = record_of(book, YieldTest, ident)
    return Step(say("remove a yield test"), (Change("yieldtest", ident, test, None),))


def trials_of(book: Book, good: str, part: str | None = None) -> tuple[YieldTest, ...]:
    """The tests of a good (and of one part of it), the oldest first."""
    found = (t for t in book.all(YieldTest).values() if t.good == good)
    return tuple(
        sorted((t for t in found if part is None or t.part.casefold() == part.casefold()), key=lambda t: (t.day, t.id))
    )


def stages_for(book: Book, good: str, day: date) -> tuple[tuple[str, str, str], ...]:
    """Where the mean of a good's tests could be written: (preparation, stage, fact) of every stage that the good alone
    goes into and that can state a share kept or refused. In a stage with more in it the share would be of it all."""
    out = []
    for made in book.all(Preparation).values():
        begun = [v for v in made.versions if v.since <= day]
        for stage in max(begun, key=lambda v: v.since).stages[:1] if begun else ():
            if {item.source for item in stage.adds} == {good} and (fact := _takes(stage)):
                out.append((made.id, stage.id, fact))
    return tuple(out)


def _takes(stage: Stage) -> str:
    kind = STAGE_KINDS.get(stage.kind)
    stated = dict(stage.facts)
    offered = [name for name in TAKES if kind is not None and name in kind.takes]
    return next((name for name in offered if name in stated), offered[0] if offered else "")


def write_mean(
    book: Book, good: str, part: str, preparation: str, stage: str, day: date, since: date | None = None
) -> Step:
    """The mean of a good's tests as the figure of a stage, measured, with the count in ``how``; from ``since`` on where
    given. What said before how much goes on gives way to it, and is named in its note. ValueError where there is no
    test, or the stage is not one of ``stages_for``."""
    mean = yield_mean(trials_of(book, good, part))
    if mean is None:
        raise ValueError(say("there is no yield test of this part to take a mean of"))
    made = record_of(book, Preparation, preparation)
    if not any((p, s) == (preparation, stage) for p, s, _ in stages_for(book, good, since or day)):
        raise ValueError(say("that stage states no share kept or refused of this alone"))

    def change(version: Version) -> Version:
        return replace(version, stages=tuple(_told(s, mean) if s.id == stage else s for s in version.stages))

    said = say("yield of {preparation} from {n} tests", preparation=made.name, n=mean.n)
    return Step(said, (put("preparation", replace(made, versions=amended(made.versions, day, change, since)), made),))


def _told(stage: Stage, mean: YieldMean) -> Stage:
    """The stage with the mean as its share, and without what else said how much goes on."""
    name, rivals = _takes(stage), RIVALS[STAGE_KINDS[stage.kind].mechanism]
    gone = [(n, f) for n, f in stage.readings if n in WEIGHED] + [(n, f) for n, f in stage.facts if n in rivals]
    said = ", ".join(f"{figure_word(n)} {f.text}" for n, f in gone)
    fact = mean_fact(mean, name)
    fact = replace(fact, note=say("in place of {figures}", figures=said)) if said else fact
    facts = tuple((n, f) for n, f in stage.facts if n == name or n not in rivals)
    readings = tuple((n, f) for n, f in stage.readings if n not in WEIGHED)
    return replace(stage, facts=with_fact(facts, name, fact), readings=readings)


def mean_fact(mean: YieldMean, name: str) -> Fact:
    """The mean as a fact: the share kept, or for "refuse" what is not."""
    share = 1 - mean.share if name == "refuse" else mean.share
    value = (100 * share).quantize(Decimal("0.1"))
    how = say_many("scales, mean of {n} yield test", "scales, mean of {n} yield tests", mean.n)
    return Fact(text=f"{value.normalize():f} %", value=value, unit="%", mark="measured", how=how)
