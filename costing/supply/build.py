"""From pasted lines to a stage and to a serve: what is decided goes in, what is not is listed, nothing is made up."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from costing.book.book import Book
from costing.book.change import Step, put
from costing.book.checks import UNDECIDED
from costing.book.fact import Fact, Mark
from costing.book.problem import Problem, problem
from costing.book.records import Facts, Glass, Input, Serve, ServeVersion, Stage, Technique
from costing.book.units import Dim, lookup
from costing.supply.ids import free_id, is_named
from costing.supply.lines import PastedLine, said_amount
from costing.supply.recipe import PastedRecipe

Problems = tuple[Problem, ...]
PROBLEMS = frozenset({"line-undecided", "nothing-decided", "name-taken", "no-title", "missing"})
"""Codes of the problems given here."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Staged:
    """A stage of the lines that are decided, or None where none is; ``undecided`` are the others."""

    stage: Stage | None
    undecided: tuple[PastedLine, ...] = ()
    problems: Problems = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A step that nobody has done yet, with what it leaves open. ``step`` is None where there is nothing to do;
    ``id`` is that of the record it makes."""

    step: Step | None
    id: str = ""
    undecided: tuple[PastedLine, ...] = ()
    problems: Problems = ()


def to_stage(
    pasted: PastedRecipe, *, ident: str = "build", kind: str = "build", facts: Facts = (), total: Fact | None = None
) -> Staged:
    """The stage of a pasted recipe. ``total`` is what all its parts together come to ("90 ml"): without it, lines in
    parts stay undecided. ValueError for a total that is no weight or volume above 0."""
    lines = _with_parts(pasted.lines, total)
    adds = tuple(_input(line) for line in lines if line.source is not None and line.amount is not None)
    undecided = tuple(line for line in lines if not line.decided)
    problems = [
        problem("line-undecided", f"line/{n}", "warning", text=line.text, why=", ".join(line.doubts) or "no-amount")
        for n, line in enumerate(lines, 1)
        if not line.decided
    ]
    if not adds:
        return Staged(stage=None, undecided=undecided, problems=(*problems, problem("nothing-decided", "recipe")))
    return Staged(
        stage=Stage(id=ident, kind=kind, adds=adds, facts=facts), undecided=undecided, problems=tuple(problems)
    )


def _input(line: PastedLine) -> Input:
    return Input(source=line.source or "", amount=line.amount, note=", ".join(line.doubts))


def _with_parts(lines: tuple[PastedLine, ...], total: Fact | None) -> tuple[PastedLine, ...]:
    """Lines in parts with their share of the total."""
    if total is None:
        return lines
    unit = lookup(total.unit)
    if unit is None or unit.dim not in (Dim.VOLUME, Dim.MASS) or total.value <= 0:
        raise ValueError(f"{total.text!r} is not the total of a recipe: give a weight or volume above 0, like 90 ml")
    whole = sum((line.parts for line in lines if line.parts is not None), Decimal(0))
    return tuple(
        replace(line, amount=_share(line, line.parts / whole, total), doubts=_without(line.doubts, "parts"))
        if line.parts is not None and whole > 0
        else line
        for line in lines
    )


def _share(line: PastedLine, share: Decimal, total: Fact) -> Fact:
    value = (total.value * share).quantize(Decimal("1e-12")).normalize()
    sure = total.mark == "measured" and not set(line.doubts) & {"each-or-part", "about"}
    mark: Mark = "measured" if sure else "assumed"
    text, note = f"{value:f} {total.unit}", f"{said_amount(line)} / {total.text}"
    return Fact(text=text, value=value, unit=total.unit, mark=mark, note=note)


def _without(doubts: Iterable[str], gone: str) -> tuple[str, ...]:
    return tuple(d for d in doubts if d != gone)


def to_serve(
    pasted: PastedRecipe,
    book: Book,
    since: date,
    *,
    name: str = "",
    technique: str = "",
    glass: str = "",
    total: Fact | None = None,
    past: Iterable[str] = (),
) -> Draft:
    """The step that adds a pasted drink as a serve from ``since`` on. ``name`` goes before the title of the recipe;
    ``past`` are ids not to be used again. A name that a serve already has gives the problem "name-taken" and no step.
    """
    called = (name or pasted.title).strip()
    if not called:
        return Draft(step=None, undecided=pasted.undecided, problems=(problem("no-title", "recipe"),))
    if is_named(called, (s.name for s in book.all(Serve).values())):
        return Draft(step=None, undecided=pasted.undecided, problems=(problem("name-taken", "recipe", name=called),))
    for what, ident, known in (("technique", technique, book.all(Technique)), ("glass", glass, book.all(Glass))):
        if ident and ident not in known:
            return Draft(step=None, problems=(problem("missing", "recipe", what=what, id=ident),))
    staged = to_stage(pasted, total=total)
    if staged.stage is None:
        return Draft(step=None, undecided=staged.undecided, problems=staged.problems)
    version = ServeVersion(
        since=since, build=staged.stage, technique=technique, glass=glass, note=left_out(staged.undecided)
    )
    serve = Serve(id=free_id(called, book, past, fallback="serve"), name=called, versions=(version,))
    step = Step(f"new serve {called}", (put("serve", serve),))
    return Draft(step=step, id=serve.id, undecided=staged.undecided, problems=staged.problems)


def left_out(lines: tuple[PastedLine, ...]) -> str:
    """The lines that did not go in, as a note that stays with the record: "undecided: ... | ..."."""
    return UNDECIDED + " | ".join(line.text for line in lines) if lines else ""
