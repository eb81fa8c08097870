"""A batch beside the standard one: as it was made, by its log, or of another size (``costing.ledger.scale``)."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from costing.book.problem import Problem, problem
from costing.book.records import BatchLog, Input, LoggedInput, LoggedStage, Stage, Version
from costing.ledger.follow import follow
from costing.ledger.lines import Ledger
from costing.ledger.reckon import Reckoning
from costing.ledger.unit import Unbridged, amount_in_base


@dataclass(frozen=True, slots=True)
class Batch:
    """One batch: the version it is made by, with what really went in and was read, and its ledger."""

    version: Version
    ledger: Ledger


def as_made(reckoning: Reckoning, log: BatchLog) -> Batch:
    """A batch as it was made, by the recipe of the reckoning's day: its readings and what really went in take the
    recipe's place. What cannot be is marked with a warning and left out, so that a log is never refused for itself.

    KeyError for a preparation that is not there on the day.
    """
    batch = _followed(reckoning, log)
    if not batch.ledger.refused or reckoning.ledgers[log.preparation].refused or not log.stages:
        return batch
    # one stage leaves the recipe nothing to go on with: the first whose figures, left out, let it go on
    for gone in log.stages:
        rest = _followed(reckoning, replace(log, stages=tuple(s for s in log.stages if s is not gone)))
        if not rest.ledger.refused:
            return _left_out(rest, log, gone)
    gone = log.stages[-1]
    return _left_out(as_made(reckoning, replace(log, stages=log.stages[:-1])), log, gone)


def _followed(reckoning: Reckoning, log: BatchLog) -> Batch:
    """The recipe with the log's readings and what went in, where that can be."""
    made, standard = reckoning.view.preparations[log.preparation]
    marked: list[Problem] = []
    kept = {s.stage: s for s in log.stages}
    as_added = [_as_added(reckoning, s, kept.get(s.id), log, marked) for s in standard.stages]
    version = replace(standard, stages=tuple(as_added))
    ledger = follow(reckoning.view, made, version, reckoning.units, log, refused_of(reckoning))
    as_read = [replace(s, readings=kept[s.id].readings) if s.id in kept else s for s in as_added]
    return Batch(replace(version, stages=tuple(as_read)), replace(ledger, problems=(*marked, *ledger.problems)))


def _left_out(batch: Batch, log: BatchLog, gone: LoggedStage) -> Batch:
    """A batch with a note that a stage of its log is not in it."""
    said = problem("log-left-out", f"batch/{log.id}/stage/{gone.stage}", "warning")
    return Batch(batch.version, replace(batch.ledger, problems=(said, *batch.ledger.problems)))


def refused_of(reckoning: Reckoning) -> frozenset[str]:
    """Preparations that cannot be used today."""
    return frozenset(ident for ident, ledger in reckoning.ledgers.items() if ledger.refused)


def _as_added(
    reckoning: Reckoning, stage: Stage, logged: LoggedStage | None, log: BatchLog, marked: list[Problem]
) -> Stage:
    if logged is None or not logged.added:
        return stage
    where = f"batch/{log.id}/stage/{stage.id}"
    taken: dict[int, Input] = {}
    for item in logged.added:
        places = [n for n, i in enumerate(stage.adds) if item.input == (i.id or i.source)]
        places = places or [n for n, i in enumerate(stage.adds) if item.input == i.source]
        wrong = _fault(reckoning, item, {n: stage.adds[n] for n in places}, where)
        if wrong is not None:
            marked.append(wrong)
            continue
        n = places[0]
        if n in taken:
            marked.append(problem("repeated", where, "warning", name=item.input))
            continue
        taken[n] = replace(stage.adds[n], amount=item.amount)
    return replace(stage, adds=tuple(taken.get(n, i) for n, i in enumerate(stage.adds)))


def _fault(reckoning: Reckoning, item: LoggedInput, places: Mapping[int, Input], where: str) -> Problem | None:
    """Why a logged input cannot stand for one of the recipe's."""
    if len(places) != 1:
        return problem("log-input", where, "warning", source=item.input, count=len(places))
    (planned,) = places.values()
    unit = reckoning.units.get(planned.source)
    if unit is None:
        return None  # the stage itself says that its source is not there
    try:
        value = amount_in_base(item.amount, unit, reckoning.view.measures).value
    except Unbridged as gap:
        return problem(gap.code, where, "warning", source=item.input, **gap.detail)
    if value < 0.0:
        text = item.amount.text
        return problem("out-of-range", where, "warning", figure="amount", value=text, low=0, high="1e9")
    return None
