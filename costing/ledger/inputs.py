"""What goes into a stage: amounts in base units with their matter, and the one input that a stage works out itself."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from costing.book.fact import Mark
from costing.book.kinds import StageKind
from costing.book.problem import Problem, problem
from costing.book.records import Input, Stage
from costing.book.units import Dim
from costing.ledger.matter import Matter
from costing.ledger.parting import Charge
from costing.ledger.reading import Refused
from costing.ledger.unit import Measures, Unbridged, Unit, amount_in_base, figure


@dataclass(frozen=True, slots=True)
class Shelf:
    """What a stage may take from: the Unit of every good and output, which of them flow with the liquid, house
    measures, what its time costs in goods (by stage, runs, and whether these are sure), the most that one run of its
    equipment takes, and the preparations that are refused today."""

    units: Mapping[str, Unit]
    flows: Callable[[str], bool]
    measures: Measures
    hours: Callable[[Stage, float, Mark], tuple[tuple[str, Mark, float], ...]]
    size: Callable[[Stage], tuple[Dim, float, Mark] | None] = lambda _: None
    refused: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Added:
    """One input in base units: what goes in, what is poured beside, the matter of one unit (None when it is not
    followed), whether it flows with the liquid, how much of it is assumed, and whether the stage worked it out."""

    source: str
    amount: float
    spilled: float
    matter: Matter | None
    flows: bool
    assumed: float
    computed: bool = False

    @property
    def bought(self) -> float:
        """What goes in and what is poured beside."""
        return self.amount + self.spilled


def resolve(adds: tuple[Input, ...], shelf: Shelf, where: str, problems: list[Problem]) -> list[Added]:
    """Every input with an amount. Refused with all that cannot be read; what is not followed is noted."""
    out: list[Added] = []
    wrong: list[Problem] = []
    for n, item in enumerate(adds):
        if item.amount is None:
            continue
        at = f"{where}/add/{n + 1}"
        unit = shelf.units.get(item.source)
        if unit is None:
            code = "refused-source" if item.source.split("/")[0] in shelf.refused else "no-source"
            wrong.append(problem(code, at, source=item.source))
            continue
        try:
            amount = amount_in_base(item.amount, unit, shelf.measures)
            spill = spill_of(item, shelf)
        except Unbridged as gap:
            wrong.append(problem(gap.code, at, source=item.source, **gap.detail))
            continue
        if amount.value < 0.0:
            wrong.append(problem("out-of-range", at, figure="amount", value=item.amount.text, low=0, high="1e9"))
        flows = shelf.flows(item.source)
        if unit.matter is None and flows:
            problems.append(problem("not-followed", at, "warning", source=item.source))
        guessed_spill = item.spill is not None and item.spill.mark == "assumed"
        spilled = amount.value * spill
        assumed = amount.value + spilled if amount.assumed else spilled if guessed_spill else 0.0
        out.append(Added(item.source, amount.value, spilled, unit.matter, flows, assumed))
    if wrong:
        raise Refused(wrong)
    return out


def spill_of(item: Input, shelf: Shelf) -> float:
    """The share poured beside. Unbridged for one that is no share from 0 to below 100 %."""
    if item.spill is None:
        return 0.0
    spill = figure(item.spill, (Dim.RATIO,), shelf.measures)[1]
    if not 0.0 <= spill < 1.0:
        raise Unbridged("out-of-range", figure="spill", value=item.spill.text, low="0 %", high="below 100 %")
    return spill


def diluent_of(stage: Stage, kind: StageKind, where: str) -> Input | None:
    """The input whose amount the stage works out: one, and only in a proof (water) or a carbonation (gas)."""
    open_ended = [i for i in stage.adds if i.amount is None]
    computes = kind.mechanism == "proof" or "co2" in kind.facts
    if len(open_ended) > (1 if computes else 0):
        raise Refused([problem("amount-missing", where, source=open_ended[-1].source)])
    return open_ended[0] if open_ended else None


def worked_out(item: Input, kilograms: float, shelf: Shelf, where: str) -> Added:
    """The input that the stage works out, once it has: ``kilograms`` of its matter, and the spill on top."""
    unit = shelf.units[item.source]
    matter = unit.matter or Matter(water=1.0)
    amount = kilograms / matter.mass
    try:
        spilled = amount * spill_of(item, shelf)
    except Unbridged as gap:
        raise Refused([problem(gap.code, where, source=item.source, **gap.detail)]) from None
    guessed = spilled if item.spill is not None and item.spill.mark == "assumed" else 0.0
    return Added(item.source, amount, spilled, matter, shelf.flows(item.source), guessed, computed=True)


def charge_of(
    running: Matter, solids: Matter, added: list[Added], diluent: Input | None, shelf: Shelf, where: str
) -> Charge:
    """All that enters, the solid-bringing parts of it, and one kg of what the stage works out."""
    entering = running
    for a in added:
        if a.matter is not None:
            part = a.matter * a.amount
            entering = entering + part
            solids = solids + part if part.insolubles > 0.0 else solids
    per_kg = Matter(water=1.0)
    if diluent is not None:
        unit = shelf.units.get(diluent.source)
        if unit is None or unit.matter is None or unit.matter.mass == 0.0:
            raise Refused([problem("no-source", where, source=diluent.source)])
        per_kg = unit.matter * (1.0 / unit.matter.mass)
    return Charge(entering, solids, per_kg, diluent is not None)
