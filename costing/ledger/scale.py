"""A batch of another size: what grows with it, and what does not.

Amounts, weighings and stated products grow; shares, strengths, pressures and hold-up do not; inputs marked fixed, and
time to set up, stand once. Where the equipment has a charge size, runs are counted anew and the time of a run stays;
elsewhere hands take longer in proportion and machines do not. What is collected a run follows the runs.
"""

from collections.abc import Mapping
from dataclasses import replace
from decimal import ROUND_CEILING, Decimal

from costing.book.book import View
from costing.book.fact import Fact
from costing.book.records import Input, Stage, Version
from costing.ledger.batches import Batch, refused_of
from costing.ledger.follow import follow
from costing.ledger.reckon import Reckoning

GROWS = frozenset({"makes", "to", "spent", "headspace", "given_off"})
"""Facts that are amounts of the whole batch; "take" is of one run, and a hold-up is of the vessel."""
MOST = Decimal(10_000)
MOST_ROUNDS = 8
"""Runs of a stage follow from its charge, and its charge from the stages before: a few rounds settle all."""


def scaled(reckoning: Reckoning, preparation: str, factor: Decimal) -> Batch:
    """The preparation of the day as a batch ``factor`` times the size, followed; money by ``reckoning.money``.

    KeyError for a preparation that is not there; ValueError for a factor that is not above 0 and at most 10,000.
    """
    if not (factor.is_finite() and 0 < factor <= MOST):
        raise ValueError(f"a batch of {factor} times the size: accepted above 0 and at most {MOST}")
    view = reckoning.view
    made, standard = view.preparations[preparation]
    before = {line.stage: line.runs for line in reckoning.ledgers[preparation].lines}
    refused = refused_of(reckoning)
    runs = {stage: max(1.0, number * float(factor)) for stage, number in before.items()}
    for _ in range(MOST_ROUNDS):
        version = _scale(standard, factor, view, before, runs)
        ledger = follow(view, made, version, reckoning.units, refused=refused)
        now = {line.stage: line.runs for line in ledger.lines}
        if all(runs.get(stage) == number for stage, number in now.items()):
            break
        runs |= now
    return Batch(version, ledger)


def _scale(
    version: Version, factor: Decimal, view: View, before: Mapping[str, float], runs: Mapping[str, float]
) -> Version:
    stages = []
    for stage in version.stages:
        share = Decimal(before.get(stage.id, 1.0)) / Decimal(runs.get(stage.id, 1.0))
        stages.append(_stage(stage, factor, factor * share, view))
    return replace(version, stages=tuple(stages), pieces=version.pieces and times(version.pieces, factor))


def times(fact: Fact, factor: Decimal) -> Fact:
    """A figure multiplied; its text says the product, with the mark and the temperature it had."""
    value = _fine(fact.value * factor)
    shown = f"{'~' if fact.mark == 'assumed' else ''}{value.normalize():f} {fact.unit}".strip()
    if fact.at is not None:
        shown += f" at {fact.at} C"
    return replace(fact, text=shown, value=value)


def _fine(value: Decimal) -> Decimal:
    places = value.as_tuple().exponent
    return round(value, 18) if isinstance(places, int) and places < -18 else value


def _stage(stage: Stage, factor: Decimal, a_run: Decimal, view: View) -> Stage:
    """One stage; ``a_run`` is by how much one run of it grows."""
    machine = view.equipment.get(stage.equipment)
    entered = "runs" in dict(stage.facts)
    counted = entered or (machine is not None and machine.charge is not None)
    facts = tuple((n, _whole(times(f, factor)) if n == "runs" else f) for n, f in stage.facts)
    grown = {**dict.fromkeys(GROWS, factor), "take": a_run}
    return replace(
        stage,
        adds=tuple(_input(i, factor) for i in stage.adds),
        facts=tuple((n, times(f, grown[n]) if n in grown else f) for n, f in facts),
        readings=tuple((n, times(f, factor) if n.endswith((".mass", ".volume")) else f) for n, f in stage.readings),
        active=stage.active if counted or stage.active is None else times(stage.active, factor),
    )


def _whole(runs: Fact) -> Fact:
    """Runs that were entered grow with the batch; a part of one is one more."""
    number = max(Decimal(1), (runs.value - Decimal("1e-9")).to_integral_value(ROUND_CEILING))
    return replace(runs, text=f"{'~' if runs.mark == 'assumed' else ''}{number:f}", value=number)


def _input(item: Input, factor: Decimal) -> Input:
    if item.fixed or item.amount is None:
        return item
    return replace(item, amount=times(item.amount, factor))
