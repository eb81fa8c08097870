"""Which ways of measuring work on a liquid, and readings taken by one that does not.

An alcoholmeter and a density meter read a density, which sugar falsifies; a refractometer reads alcohol as sugar; a
jug reads nothing of fruit. Limit of dissolved solids for a density: 0.6 g/100 ml, up to which the US gauging rules
(27 CFR 30.32) allow a correction.
"""

from collections.abc import Iterator

from costing.book.fact import Fact
from costing.book.kinds import READING_DIMS
from costing.book.methods import METHODS, method_of
from costing.book.problem import Problem, problem
from costing.ledger.matter import ROUNDING, Matter

MOST_SOLIDS = 0.006
"""kg of dissolved solids in a litre up to which a density still tells strength."""
SOBER_ABV = 0.005
"""Strength below which a refractometer or saccharometer is still trusted: common practice, no source."""


def cannot(method: str, matter: Matter) -> str:
    """Why a method cannot read this liquid: "solids-in-it", "sweetened", "alcohol-in-it", "gas-in-it", "not-bought", or
    "" where it works. ``matter`` is what the house made; a label says nothing of it."""
    rules = METHODS[method]
    if rules.bought:
        return "not-bought"
    if rules.clear and matter.insolubles > ROUNDING:
        return "solids-in-it"
    if rules.still and matter.gas > ROUNDING:
        return "gas-in-it"
    volume = matter.volume()
    if rules.unsweetened and (volume is None or matter.solubles > MOST_SOLIDS * volume):
        return "sweetened"
    if rules.sober and (matter.abv or 0.0) > SOBER_ABV:
        return "alcohol-in-it"
    return ""


def offered(reading: str, matter: Matter) -> Iterator[tuple[str, str]]:
    """Every method that reads ``reading`` ("out.abv", ...), with why it cannot work on this liquid or ""."""
    for name, method in METHODS.items():
        if READING_DIMS[reading] in method.reads and not method.bought:
            yield name, cannot(name, matter)


def misread(readings: tuple[tuple[str, Fact], ...], out: Matter, left: Matter, where: str) -> dict[str, Problem]:
    """Readings whose named method cannot work on their stream, each with a warning."""
    wrong: dict[str, Problem] = {}
    for name, fact in readings:
        method = method_of(fact)
        if not method or name not in READING_DIMS:
            continue
        if READING_DIMS[name] not in METHODS[method].reads:
            wrong[name] = problem("method-misfit", where, "warning", figure=name, method=method, text=fact.text)
            continue
        why = cannot(method, out if name.startswith("out") else left)
        if why:
            wrong[name] = problem("method-cannot", where, "warning", figure=name, method=method, why=why)
    return wrong


__all__ = ["cannot", "misread", "offered"]
