"""Spec cards as data: how one drink is built, what it is, and what is in it. No money: the team works from them."""

from collections.abc import Mapping
from dataclasses import dataclass

from costing.book.fact import Fact, Mark
from costing.book.problem import Problem, leads_into
from costing.book.records import Glass, Input, Stage, Technique
from costing.ledger.allergens import Finding, serve_allergens
from costing.ledger.balance import Balance, balance_of, standard_grams, unstated
from costing.ledger.follow import flows
from costing.ledger.lines import Line, Standing
from costing.ledger.reckon import Reckoning
from costing.ledger.unit import Unbridged, amount_in_base
from costing.report.assumed import published
from costing.report.cautions import drink_cautions
from costing.report.content import FigureRow
from costing.report.method_words import how_said


@dataclass(frozen=True, slots=True, kw_only=True)
class PartRow:
    """One thing that goes in, in the order it does: as typed ("" where the build works it out) and in ``base`` units;
    ``amount`` is None where the typed text cannot be read."""

    name: str
    typed: str
    amount: float | None
    base: str
    mark: Mark | None
    beside: bool
    """True for what stands beside the liquid: garnish, ice, straw."""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeRow:
    """A house-made component: the stages it goes through and what it is. ``abv`` is a fraction."""

    name: str
    stages: tuple[str, ...]
    abv: float | None
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Dilution:
    """Water from ice, as a share of the build: how it is known, and how much that is in the drink, litres."""

    share: float
    mark: Standing
    how: str
    litres: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SpecCard:
    """One card. ``balance`` is None where the volume is not known: ``doubts`` then say why."""

    id: str
    name: str
    sections: tuple[str, ...]
    glass: str
    technique: str
    dilution: Dilution | None
    kind: str
    """The stage kind of the build."""
    parts: tuple[PartRow, ...]
    figures: tuple[FigureRow, ...]
    notes: tuple[str, ...]
    made: tuple[MadeRow, ...]
    balance: Balance | None
    tart: tuple[str, ...]
    sweet: tuple[str, ...]
    gram_drink: float | None
    """Grams of ethanol in a standard drink as the house counts."""
    findings: tuple[Finding, ...]
    doubts: tuple[Problem, ...]
    cautions: tuple[str, ...]


def spec_cards(reckoning: Reckoning, names: Mapping[str, str]) -> tuple[SpecCard, ...]:
    """One card a serve of the day, in menu order, then those on no menu."""
    view = reckoning.view
    listed = [line.serve for m in view.menus.values() for s in m.sections for line in s.lines]
    order = list(dict.fromkeys([*(s for s in listed if s in view.serves), *view.serves]))
    return tuple(_card(reckoning, ident, names) for ident in order)


def _card(reckoning: Reckoning, ident: str, names: Mapping[str, str]) -> SpecCard:
    view = reckoning.view
    serve, version = view.serves[ident]
    line, technique = reckoning.serves.get(ident), view.techniques.get(version.technique)
    glass = view.book.all(Glass).get(version.glass)
    build = version.build
    notes = [serve.note, version.note, build.note, technique.note if technique else ""]
    missing = unstated(reckoning, line.carried) if line else ((), ())
    return SpecCard(
        id=ident,
        name=serve.name,
        sections=_sections(reckoning, ident),
        glass=glass.name if glass else version.glass,
        technique=technique.name if technique else version.technique,
        dilution=_dilution(line, technique, dict(build.facts).get("dilution")),
        kind=build.kind,
        parts=tuple(_part(reckoning, item, names) for item in build.adds if _shown(reckoning, item)),
        figures=tuple(
            FigureRow(name=n, typed=f.text, mark=f.mark, how=f.how)
            for n, f in (*build.facts, *build.readings)
            if n != "dilution"
        ),
        notes=tuple(dict.fromkeys(n.strip() for n in notes if n.strip())),
        made=_made(reckoning, build, names),
        balance=balance_in_glass(reckoning, ident),
        tart=tuple(names.get(g, g) for g in missing[0]),
        sweet=tuple(names.get(g, g) for g in missing[1]),
        gram_drink=standard_grams(view.book.house),
        findings=serve_allergens(reckoning, ident),
        doubts=tuple(p for p in reckoning.problems if leads_into(p.where, "serve", ident, version.since)),
        cautions=drink_cautions(reckoning, ident),
    )


def balance_in_glass(reckoning: Reckoning, serve: str) -> Balance | None:
    """What a drink is as the guest has it; None where its volume is not known."""
    line = reckoning.serves.get(serve)
    try:
        return balance_of(line, reckoning.view.book.house) if line else None
    except ValueError:  # outside the range that densities are known for: no figure rather than a guess
        return None


def _sections(reckoning: Reckoning, ident: str) -> tuple[str, ...]:
    return tuple(
        " · ".join(w for w in (menu.name, section.name) if w)
        for menu in reckoning.view.menus.values()
        for section in menu.sections
        if any(line.serve == ident for line in section.lines)
    )


def _shown(reckoning: Reckoning, item: Input) -> bool:
    """Hours and energy are nobody's ingredient."""
    good = reckoning.view.goods.get(item.source)
    return good is None or good.layer == "materials"


def _part(reckoning: Reckoning, item: Input, names: Mapping[str, str]) -> PartRow:
    unit = reckoning.units.get(item.source)
    amount: float | None = None
    if item.amount is not None and unit is not None:
        try:
            amount = amount_in_base(item.amount, unit, reckoning.view.measures).value
        except Unbridged:
            amount = None
    return PartRow(
        name=names.get(item.source, item.source),
        typed=item.amount.text.lstrip("~ ") if item.amount else "",
        amount=amount,
        base=unit.base if unit else "",
        mark=item.amount.mark if item.amount else None,
        beside=not flows(reckoning.view, item.source) or (unit is not None and unit.base == "each"),
        note=item.note,
    )


def _dilution(line: Line | None, technique: Technique | None, own: Fact | None) -> Dilution | None:
    """From what the build really stood on: the house's own ratio, or the published curve that stands in."""
    found = next(((v, m) for n, v, m in line.stood_on if n == "dilution"), None) if line else None
    if line is None or found is None:
        return None
    water = sum(s.matter.mass for s in line.ins if not s.runs_on and not s.source)
    fact = own or (technique.dilution if technique else None)
    how = "; ".join(t for t in (how_said(fact.how), fact.note) if t) if fact else ""
    if fact is None and technique is not None and technique.like:
        how = published(technique.like)
    return Dilution(share=found[0], mark=found[1], how=how, litres=water)


def _made(reckoning: Reckoning, build: Stage, names: Mapping[str, str]) -> tuple[MadeRow, ...]:
    out: dict[str, MadeRow] = {}
    for item in build.adds:
        ident = item.source.partition("/")[0]
        found = reckoning.view.preparations.get(ident)
        if found is None or item.source in out:
            continue
        preparation, version = found
        unit = reckoning.units.get(item.source)
        try:
            abv = unit.matter.abv if unit and unit.matter else None
        except ValueError:
            abv = None
        out[item.source] = MadeRow(
            name=names.get(item.source, item.source),
            stages=tuple(stage.kind for stage in version.stages),
            abv=abv,
            note=version.note or preparation.note,
        )
    return tuple(out.values())
