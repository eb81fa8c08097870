"""Hours that an answer takes, beside those that the sales looked at leave free."""

from collections.abc import Mapping
from dataclasses import dataclass

from costing.ledger.reckon import Reckoning
from costing.menu.batch_rows import PREP, machines_of
from costing.menu.capacity_rows import capacity_of
from costing.menu.mix import Mix
from costing.tongue import say
from ui.format import Format
from ui.places.menu.questions.pane import Cell, Fig, Row

NONE: Mapping[str, float] = {}


@dataclass(frozen=True, slots=True)
class HoursLine:
    """Hours of one resource in each of several ways, and those that are free in the period (None: nobody said how many
    there are)."""

    key: str
    name: str
    hours: tuple[float, ...]
    free: float | None


def resource_name(reckoning: Reckoning, key: str) -> str:
    """What a resource is called: people preparing, or the machines whose hour a good is."""
    if key == PREP:
        return say("people preparing")
    return " + ".join(reckoning.view.equipment[m].name for m in machines_of(reckoning).get(key, ())) or key


def free_hours(reckoning: Reckoning, mix: Mix) -> dict[str, float]:
    """Hours of each resource that the sold mix leaves, over its own weeks."""
    if mix.days <= 0:
        return {}
    found = capacity_of(mix, reckoning)
    return {r.key: r.hours - sum(p.demand * p.hours.get(r.key, 0.0) for p in found.products) for r in found.resources}


def hours_lines(reckoning: Reckoning, mix: Mix, *ways: Mapping[str, float]) -> tuple[HoursLine, ...]:
    """A line for each resource that any of the ways takes."""
    free = free_hours(reckoning, mix)
    keys = [key for key in dict.fromkeys(key for way in ways for key in way) if any(way.get(key) for way in ways)]
    return tuple(
        HoursLine(key, resource_name(reckoning, key), tuple(way.get(key, 0.0) for way in ways), free.get(key))
        for key in keys
    )


def hours_rows(lines: tuple[HoursLine, ...], form: Format) -> list[Row]:
    """The same as rows of a table."""
    rows = []
    for line in lines:
        cells: list[Cell] = [line.name, *(Fig(form.number(h, 1), h) for h in line.hours)]
        free = say("not said") if line.free is None else form.number(line.free, 1)
        rows.append(Row(f"hours/{line.key}", (*cells, Fig(free, line.free))))
    return rows
