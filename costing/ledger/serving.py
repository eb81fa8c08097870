"""Follow one drink as sold: a one-stage preparation that makes one, with the water that ice gives it."""

from dataclasses import replace
from decimal import Decimal

from costing.book.book import View
from costing.book.fact import Fact
from costing.book.kinds import STAGE_KINDS
from costing.book.problem import Problem, problem
from costing.book.records import ServeVersion, Stage, Technique
from costing.ledger.follow import flows, shelf_of
from costing.ledger.inputs import Shelf
from costing.ledger.lines import Line
from costing.ledger.reading import Refused
from costing.ledger.stage import Running, run_stage
from costing.ledger.unit import Unbridged, Unit
from costing.liquor import ice_dilution


def follow_serve(
    view: View,
    ident: str,
    version: ServeVersion,
    units: dict[str, Unit],
    refused: frozenset[str] = frozenset(),
) -> tuple[Line | None, tuple[Problem, ...]]:
    """One drink: its build as a one-stage preparation that makes one. The technique's dilution is water from ice.

    Pieces the house makes (a twist, a wheel) stand beside the drink like a bought garnish. None with Problems when an
    input cannot be read. Hands are costed by ``seconds``.
    """
    build, where = version.build, f"serve/{ident}/{version.since}"
    if version.seconds is not None:
        build = replace(build, active=version.seconds)
    shelf, at = _bar(view, build, units, refused), f"{where}/stage/{build.id}"
    try:
        build, odd = _chilled(build, view.techniques.get(version.technique), shelf, at)
        line, _ = run_stage(build, Running(), shelf, at)
    except Refused as stop:
        return None, stop.problems
    except Unbridged as gap:
        return None, (problem(gap.code, where, **gap.detail),)
    except ValueError as error:
        return None, (problem("outside-physics", where, why=error),)
    return replace(line, problems=odd + line.problems), odd + line.problems


def _bar(view: View, build: Stage, units: dict[str, Unit], refused: frozenset[str]) -> Shelf:
    """What the bar takes from. What is counted by the piece is not drunk."""
    eaten = {
        i.source for i in build.adds if i.source in view.preparations and view.preparations[i.source][0].base == "each"
    }
    beside = {i.source for i in build.adds if not flows(view, i.source)} | eaten
    seen = {s: replace(units[s], matter=None) for s in beside if s in units}
    shelf = shelf_of(view, units | seen, refused)
    return replace(shelf, flows=lambda source: source not in eaten and flows(view, source))


def _chilled(build: Stage, technique: Technique | None, shelf: Shelf, at: str) -> tuple[Stage, tuple[Problem, ...]]:
    """The build with its technique's dilution: the house's own ratio, else the published curve it is like, by the
    strength before ice and marked assumed. Outside the curve's range a Problem asks for a ratio."""
    if technique is None or "dilution" in dict(build.facts):
        return build, ()
    if "dilution" not in STAGE_KINDS[build.kind].takes and (technique.dilution or technique.like):
        return build, (problem("melt-not-taken", at, "warning", technique=technique.name, kind=build.kind),)
    if technique.dilution is not None:
        return replace(build, facts=(*build.facts, ("dilution", technique.dilution))), ()
    if not technique.like:
        return build, (problem("melt-not-said", at, "warning", technique=technique.name),)
    before, _ = run_stage(build, Running(), shelf, at)
    abv = before.on.matter.abv
    try:
        ratio = ice_dilution(abv or 0.0, technique.like)
    except ValueError:
        share = "-" if abv is None else f"{100 * abv:.1f}"
        return build, (problem("outside-curve", at, "warning", technique=technique.name, value=share),)
    fact = Fact(
        text=f"~{ratio:.3f}", value=Decimal(repr(ratio)), mark="assumed", how=f"published curve, {technique.like}"
    )
    return replace(build, facts=(*build.facts, ("dilution", fact))), ()
