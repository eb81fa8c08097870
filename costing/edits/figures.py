"""Figures of one stage as somebody types them: facts, readings and times by one name each."""

from collections.abc import Sequence
from dataclasses import replace

from costing.book.book import Book
from costing.book.fact import NUMBER, Fact
from costing.book.kinds import FACT_DIMS, READING_DIMS, STAGE_KINDS
from costing.book.records import Stage
from costing.book.units import Dim, lookup
from costing.edits.base import typed_fact, with_fact
from costing.report.words import figure_word, stage_word
from costing.tongue import say

TIMES = ("active", "passive", "setup")
COUNTS = frozenset({"runs", "purges", "spent_ratio"})
"""Ratios that are told as plain numbers; the others are shares in percent."""
BARE: dict[Dim, str] = {
    Dim.RATIO: "%", Dim.STRENGTH: "% vol", Dim.BRIX: "Bx", Dim.PRESSURE: "mbar", Dim.TEMPERATURE: "C",
    Dim.AMOUNT: "mol", Dim.CONCENTRATION: "g/l", Dim.TIME: "min",
}  # fmt: skip
"""The unit that a bare number is in. A weight or volume has none: grams and kilograms are both usual."""
NEEDS: dict[Dim, str] = {
    Dim.MASS: "1.2 kg", Dim.VOLUME: "0.9 l", Dim.RATIO: "5 %", Dim.STRENGTH: "45 % vol", Dim.BRIX: "50 Bx",
    Dim.PRESSURE: "50 mbar", Dim.TEMPERATURE: "-10 C", Dim.AMOUNT: "0.05 mol", Dim.CONCENTRATION: "6 g/l",
    Dim.TIME: "25 min", Dim.COUNT: "3",
}  # fmt: skip


_TIME_CODES = {"active": "active time", "passive": "passive time", "setup": "time to set up"}


def title_of(name: str) -> str:
    """What a figure is called in the name of a step."""
    return figure_word(_TIME_CODES.get(name, name))


class WouldLose(ValueError):
    """A change of kind that some figures do not outlive; ``lost`` are they, each as (name, Fact)."""

    def __init__(self, kind: str, lost: Sequence[tuple[str, Fact]]) -> None:
        self.kind, self.lost = kind, tuple(lost)
        figures = ", ".join(f"{figure_word(name)} {fact.text}" for name, fact in lost)
        super().__init__(say("a stage “{kind}” does not take {figures}", kind=stage_word(kind), figures=figures))


def figure_names(kind: str) -> tuple[str, ...]:
    """Every figure that a stage of a kind may have: its facts, the times, the readings."""
    takes = STAGE_KINDS[kind].takes if kind in STAGE_KINDS else ()
    return (*takes, *TIMES, *READING_DIMS)


def dims_of(name: str) -> tuple[Dim, ...]:
    """What a figure measures. ValueError for an unknown one."""
    if name in TIMES:
        return (Dim.TIME,)
    if name in READING_DIMS:
        return (READING_DIMS[name],)
    if name not in FACT_DIMS:
        raise ValueError(say("there is no figure {name}", name=name))
    return FACT_DIMS[name]


def figure_of(stage: Stage, name: str) -> Fact | None:
    """A figure of a stage, if it is there."""
    if name in TIMES:
        found: Fact | None = getattr(stage, name)
        return found
    return dict(stage.readings if name in READING_DIMS else stage.facts).get(name)


def with_figure(stage: Stage, name: str, fact: Fact | None) -> Stage:
    """A stage with a figure put in, put in place of the old one, or taken out."""
    match name:
        case "active":
            return replace(stage, active=fact)
        case "passive":
            return replace(stage, passive=fact)
        case "setup":
            return replace(stage, setup=fact)
    if name in READING_DIMS:
        return replace(stage, readings=with_fact(stage.readings, name, fact))
    return replace(stage, facts=with_fact(stage.facts, name, fact))


def typed_figure(book: Book, stage: Stage, name: str, text: str) -> Fact | None:
    """A figure as typed; "" is none; a bare number is in the unit of its kind. ValueError for a figure that the stage
    does not take, and for one of another dimension."""
    before = figure_of(stage, name)
    if not text.strip():
        return None
    dims = dims_of(name)
    if before is None and name not in figure_names(stage.kind):
        raise ValueError(
            say("a stage “{kind}” takes no {figure}", kind=stage_word(stage.kind), figure=figure_word(name))
        )
    if before is not None and before.text == text.strip():
        return before
    fact = typed_fact(_with_unit(text.strip(), name, dims), before)
    if fact is None:
        return None
    measures = book.house.measures if book.house is not None else ()
    unit = lookup(fact.unit)
    known = unit.dim if unit is not None else None
    if unit is None and fact.unit.lower() in {measure.lower() for measure, _ in measures}:
        return fact  # a measure of the house's own; the ledger says whether it fits
    if known not in dims:
        needs = say(" or ").join(NEEDS[dim] for dim in dims if dim in NEEDS)
        raise ValueError(say("“{text}” does not fit here: write it like {needs}", text=text, needs=needs))
    if name in TIMES and fact.value < 0:
        raise ValueError(say("a time cannot be less than nothing"))
    return fact


def _with_unit(text: str, name: str, dims: tuple[Dim, ...]) -> str:
    """The text with the unit that a bare number is in."""
    number = text.removeprefix("~").strip()
    unit = BARE.get(dims[0], "")
    found = NUMBER.fullmatch(number)
    if found is None or not unit or name in COUNTS:
        return text
    if dims[0] is Dim.RATIO and number.replace(",", ".").lstrip("0").startswith("."):
        raise ValueError(say("“{text}” may be a share or percent: write it like 5 %", text=text))
    return f"{text} {unit}"


def would_lose(stage: Stage, kind: str) -> tuple[tuple[str, Fact], ...]:
    """The facts of a stage that another kind does not take, and that are not said in another way there."""
    takes = STAGE_KINDS[kind].takes
    after = {fact for _, fact in recast(stage, kind).readings}
    return tuple((n, f) for n, f in stage.facts if n not in takes and f not in after)


def recast(stage: Stage, kind: str) -> Stage:
    """The stage as another kind: facts it takes stay; what it "makes" becomes the reading of what goes on, which says
    the same; readings, inputs, times and notes stay."""
    takes = STAGE_KINDS[kind].takes
    out = replace(stage, kind=kind, facts=tuple((n, f) for n, f in stage.facts if n in takes))
    makes = dict(stage.facts).get("makes")
    if makes is not None and "makes" not in takes:
        unit = lookup(makes.unit)
        name = "out.volume" if unit is not None and unit.dim is Dim.VOLUME else "out.mass"
        if name not in dict(out.readings) and unit is not None and unit.dim in (Dim.VOLUME, Dim.MASS):
            out = replace(out, readings=(*out.readings, (name, makes)))
    return out
