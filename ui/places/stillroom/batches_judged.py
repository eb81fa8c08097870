"""A logged batch judged: by which recipe, what was expected, how far a reading may err, what the recipe stands on."""

from collections.abc import Iterator

from costing.book.fact import Fact
from costing.book.kinds import READING_DIMS, RIVALS
from costing.book.records import BatchLog, Preparation
from costing.book.units import Dim
from costing.ledger import Line
from costing.ledger.batches import as_made
from costing.ledger.parting import HYDROMETER, SCALES
from costing.ledger.unit import Unbridged, figure
from costing.report.words import figure_text, mark_word
from costing.tongue import say
from ui.document import Figures
from ui.format import Format

DECIDE = frozenset({"yield", "keep", "holdup", "exchange", *(name for names in RIVALS.values() for name in names)})
"""Figures of a recipe that say how much goes on, beside its own readings."""


def figures_of(figures: Figures, log: BatchLog) -> Figures:
    """The figures that a log is judged by: those of the day that is looked at, unless the recipe was another one on
    the day it was made; then those of that day."""
    found = figures.book.all(Preparation).get(log.preparation)
    begun = [v.since for v in found.versions if v.since <= log.day] if found is not None else []
    today = figures.view.preparations.get(log.preparation)
    if not begun or (today is not None and today[1].since == max(begun)):
        return figures
    return Figures(figures.book, log.day, figures.revision)


def expected_of(line: Line, name: str) -> float | None:
    """What the recipe's own figures say of a reading, in kg, L or a share; None where they say nothing."""
    out = line.on.matter
    left = line.total("meant", "lost", "kept", "unexplained")
    volume = out.volume()
    found: dict[str, float | None] = {
        "out.mass": out.mass, "out.volume": volume, "out.abv": out.abv, "left.mass": left.mass, "left.abv": left.abv,
        "out.brix": out.solubles / (out.mass - out.insolubles) if out.mass > out.insolubles else None,
    }  # fmt: skip
    value = found.get(name)
    return value if value is not None and value > 1e-9 else None


def measured_of(fact: Fact, dim: Dim) -> float | None:
    """A reading in base units, or None where its unit is of another kind."""
    try:
        return figure(fact, (dim,), {})[1]
    except Unbridged:
        return None


def decided_by(line: Line) -> Iterator[str]:
    """What a recipe's expectation at a stage stands on, as words: its assumed figures where it has any, else those
    that say how much goes on."""
    told = [(n, v, m) for n, v, m in line.stood_on if m == "assumed" or n in READING_DIMS or _plain(n) in DECIDE]
    guessed = [row for row in told if row[2] == "assumed"]
    for name, value, mark in (guessed or told)[:2]:
        yield say("{figure} ({mark})", figure=figure_text(name, value), mark=mark_word(mark))


def _plain(name: str) -> str:
    return name if name in READING_DIMS else name.partition(".")[0]


def as_computed(line: Line | None, name: str, measured: float | None, dim: Dim) -> bool:
    """Whether a reading is what the recipe's own figures say of what really came into the stage."""
    found = next((d.predicted for d in line.deviations if d.reading == name), None) if line is not None else None
    return found is not None and measured is not None and within(measured, found, dim)


def within(measured: float, expected: float, dim: Dim | None) -> bool:
    """Whether scales, jug or hydrometer may err by as much."""
    if dim in (Dim.STRENGTH, Dim.BRIX):
        return abs(measured - expected) <= HYDROMETER
    return abs(measured - expected) <= SCALES * abs(expected)


def verdict(figures: Figures, log: BatchLog, form: Format) -> str:
    """What a batch made and costs against the standard one, in a sentence or two."""
    by = figures_of(figures, log)
    reckoning = by.reckoning
    output = as_made(reckoning, log).ledger.outputs.get(log.preparation)
    standard = reckoning.ledgers[log.preparation].outputs.get(log.preparation)
    if output is None or standard is None:
        return say("It cannot be followed to the end: see the lines in bold.")
    base, cost = output.unit.base, reckoning.money(output.direct.row)
    usual = reckoning.costs[log.preparation]
    said = say(
        "Made {made} where {expected} is expected; it costs {cost} where the standard batch costs {usual}.",
        made=form.amount(output.made, base), expected=form.amount(standard.made, base),
        cost=form.unit_money(cost.making, base), usual=form.unit_money(usual.making, base),
    )  # fmt: skip
    if by.day != figures.day:
        said = say("{said} By the recipe and the prices of {day}.", said=said, day=form.day(by.day))
    if log.state == "failed":
        said = say("{said} A failed batch is an expense of its period and stays out of the cost.", said=said)
    return said
