"""What batches teach a recipe: the mean of what was read in the last ones, or another size as the standard one."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from costing.book.book import Book, View
from costing.book.change import Step
from costing.book.fact import Fact
from costing.book.kinds import READING_DIMS
from costing.book.methods import method_of
from costing.book.records import BatchLog, LoggedStage, Preparation, Stage, Version
from costing.book.units import Dim, UnitDef, lookup
from costing.edits.base import record_of, version_on, with_fact
from costing.edits.preparations import change_version
from costing.ledger import reckon
from costing.ledger.parting import SCALES
from costing.ledger.scale import scaled
from costing.report.words import figure_word
from costing.tongue import say, say_many

AMOUNTS = (Dim.MASS, Dim.VOLUME)
"""Readings that grow with the batch: only batches of the recipe's size say something of the recipe's figure."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LoggedMean:
    """The mean of a reading over ``n`` batches as a measured fact; ``left_out`` batches read it too, but were of
    another size, were read at another temperature, or were only guessed."""

    fact: Fact
    n: int
    left_out: int


def logged_mean(
    book: Book, preparation: str, stage: str, reading: str, day: date, last: int | None = None
) -> LoggedMean | None:
    """The mean of a reading ("out.mass") over the last batches made by the recipe of the day and up to it, the failed
    and the held ones left out; None where nobody read it. ValueError for a preparation not made on the day."""
    version = version_on(record_of(book, Preparation, preparation).versions, day)
    view = book.on(day)
    read = [(log, fact) for log in _made(book, preparation, version, day) if (fact := _read(log, stage, reading))]
    fits: list[tuple[Fact, UnitDef]] = []
    for log, fact in read:
        unit = lookup(fact.unit, view.measures)
        grows = READING_DIMS.get(reading) in AMOUNTS
        alike = not fits or (fits[0][0].at, fits[0][1].dim) == (fact.at, unit.dim if unit is not None else None)
        sized = not grows or _same_size(log, version, stage, view)
        if unit is not None and fact.mark == "measured" and alike and sized:
            fits.append((fact, unit))
    chosen = fits[:last] if last is not None else fits
    if not chosen:
        return None
    return LoggedMean(fact=_mean(chosen), n=len(chosen), left_out=len(read) - len(fits))


def _made(book: Book, preparation: str, version: Version, day: date) -> list[BatchLog]:
    """Batches by a version, up to a day, the latest first."""
    found = [
        log for log in book.all(BatchLog).values()
        if log.preparation == preparation and log.state == "made" and version.since <= log.day <= day
    ]  # fmt: skip
    return sorted(found, key=lambda log: (log.day, log.id), reverse=True)


def _read(log: BatchLog, stage: str, reading: str) -> Fact | None:
    return next((dict(s.readings).get(reading) for s in log.stages if s.stage == stage), None)


def _same_size(log: BatchLog, version: Version, stage: str, view: View) -> bool:
    """Whether what went in up to a stage is what the recipe says, as far as scales can tell."""
    logged = {s.stage: s for s in log.stages}
    for planned in version.stages:
        if not _as_planned(planned, logged.get(planned.id), view):
            return False
        if planned.id == stage:
            break
    return True


def _as_planned(planned: Stage, found: LoggedStage | None, view: View) -> bool:
    for item in found.added if found is not None else ():
        wanted = next((i.amount for i in planned.adds if item.input in (i.id, i.source)), None)
        if wanted is None:
            return False
        one, other = lookup(item.amount.unit, view.measures), lookup(wanted.unit, view.measures)
        if one is None or other is None or (one.dim, item.amount.at) != (other.dim, wanted.at):
            if (item.amount.unit, item.amount.value) == (wanted.unit, wanted.value):
                continue
            return False
        here, there = item.amount.value * one.factor, wanted.value * other.factor
        if abs(here - there) > Decimal(str(SCALES)) * abs(there):
            return False
    return True


def _mean(read: Sequence[tuple[Fact, UnitDef]]) -> Fact:
    """In the unit of the latest, with as many decimals as the finest had."""
    latest, unit = read[0]
    base = sum((f.value * u.factor + u.offset for f, u in read), Decimal(0)) / len(read)
    finest = min(int(f.value.as_tuple().exponent) for f, _ in read)
    value = ((base - unit.offset) / unit.factor).quantize(Decimal(1).scaleb(min(0, finest)))
    methods = {method_of(f) for f, _ in read}
    said = say_many("mean of {n} batch", "mean of {n} batches", len(read))
    if len(methods) == 1 and (method := next(iter(methods))):
        said = say("{method}, {mean}", method=method, mean=said)
    text = f"{value:f} {latest.unit}".strip() + (f" at {latest.at} C" if latest.at is not None else "")
    return Fact(text=text, value=value, unit=latest.unit, mark="measured", how=said, at=latest.at)


def write_mean(
    book: Book, preparation: str, stage: str, reading: str, day: date, *,
    last: int | None = None, since: date | None = None,
) -> Step | None:  # fmt: skip
    """The mean of the last batches as the recipe's figure, measured, with their count in ``how``; from ``since`` on
    where given, so that what was made before keeps its own. What stood there is named in the note. ValueError where
    nobody read it, or where the recipe could not be followed with it."""
    mean = logged_mean(book, preparation, stage, reading, day, last)
    if mean is None:
        raise ValueError(say("no batch by this recipe has that reading yet"))
    name = record_of(book, Preparation, preparation).name
    if all(s.id != stage for s in version_on(record_of(book, Preparation, preparation).versions, since or day).stages):
        raise ValueError(say("there is no stage {stage}", stage=stage))

    def told(old: Stage) -> Stage:
        before, fact = dict(old.readings).get(reading), mean.fact
        if before is not None:
            if (before.text, before.how) == (fact.text, fact.how):
                return old
            fact = replace(fact, note=say("in place of {figures}", figures=before.text))
        return replace(old, readings=with_fact(old.readings, reading, fact))

    def change(version: Version) -> Version:
        return replace(version, stages=tuple(told(s) if s.id == stage else s for s in version.stages))

    said = say("{figure} of {preparation} from {n} batches", figure=figure_word(reading), preparation=name, n=mean.n)
    step = change_version(book, preparation, day, said, change, since)
    if step is not None and _breaks(book, step, preparation, since or day):
        raise ValueError(say("the recipe could not be followed with {figure}: amend what it rests on first",
                             figure=mean.fact.text))  # fmt: skip
    return step


def _breaks(book: Book, step: Step, preparation: str, day: date) -> bool:
    """Whether a step makes a preparation that can be followed into one that cannot."""
    before, after = (reckon(b.on(day)).ledgers[preparation] for b in (book, book.with_changes(step.changes)))
    return after.refused and not before.refused


def keep_size(book: Book, preparation: str, factor: Decimal, day: date, since: date | None = None) -> Step | None:
    """A batch ``factor`` times the size as the standard one: amended, or from ``since`` on. None for once the size.
    ValueError for a factor that is not above 0 and at most 10,000, or before the first version."""
    name = record_of(book, Preparation, preparation).name
    version_on(record_of(book, Preparation, preparation).versions, since or day)
    grown = scaled(reckon(book.on(since or day)), preparation, factor).version
    if factor == 1:
        return None
    said = say("{preparation}, {factor} times the batch", preparation=name, factor=f"{float(factor):.4g}")
    return change_version(book, preparation, day, said, lambda v: replace(grown, since=v.since), since)
