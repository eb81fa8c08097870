"""The stages of a preparation as lines to type into, in the order the liquid goes."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from costing.book.fact import Fact, parse_fact
from costing.book.kinds import READING_DIMS, STAGE_KINDS
from costing.book.problem import Problem
from costing.book.records import ByProduct, Input, Stage, Version
from costing.book.units import Dim, lookup
from costing.edits.figures import figure_names, figure_of
from costing.edits.lines import line_text
from costing.report.method_words import how_said
from costing.report.phrases import percent, reading_word
from costing.report.words import figure_word, stage_word
from costing.tongue import Words, say, word
from ui.document import Figures
from ui.fault import Refusal
from ui.where import said_of

TIME_WORDS: Words = {
    "active": "hands",
    "passive": "machine alone",
    "setup": "hands, set up",
}
MORE: Words = {
    "equipment": "equipment",
    "labour": "whose hands",
    "kept": "kept as",
    "share": "its share of the money",
}
"""What a stage has beside figures."""
NEW_STAGE = "+"


def figure_title(name: str) -> str:
    """What a figure of a stage is called on a line."""
    for table in (TIME_WORDS, MORE):
        if name in table:
            return word(table, name)
    return reading_word(name)


@dataclass(frozen=True, slots=True)
class StageLine:
    """One line. ``sort``: stage, add, figure, equipment, labour, kept, share, problem, new, or end (a new stage).
    ``key`` is the preparation, then the line in it: "rum/infuse/add/0"."""

    key: str
    stage: str
    sort: str
    label: str
    text: str = ""
    how: str = ""
    name: str = ""
    at: int = -1
    kind: str = ""
    mark: str = ""
    tip: str = ""
    fact: Fact | None = None
    source: str = ""
    level: str = ""


def stage_lines(figures: Figures, ident: str, opened: Collection[str]) -> list[StageLine]:
    """Every line of a preparation as it is made on the day; all that could be typed for the stages in ``opened``."""
    found = figures.view.preparations.get(ident)
    if found is None:
        return []
    version = found[1]
    problems = problems_of(figures, ident, version)
    out: list[StageLine] = []
    for n, stage in enumerate(version.stages, 1):
        kept = next((b for b in version.byproducts if b.stage == stage.id), None)
        lines = list(_stage(figures, n, stage, kept, stage.id in opened))
        out += list(_with_problems(lines, problems.get(stage.id, ())))
    out.append(StageLine(NEW_STAGE, "", "end", say("Stage {n}", n=len(version.stages) + 1)))
    return [replace(line, key=f"{ident}/{line.key}") for line in out]


def problems_of(figures: Figures, ident: str, version: Version) -> Mapping[str, Sequence[tuple[Problem, str]]]:
    """By stage ("" for the preparation itself): what is amiss, each with its sentence, once."""
    ledger = figures.reckoning.ledgers.get(ident)
    path = f"preparation/{ident}"
    found = [p for p in figures.problems if p.where == path or p.where.startswith(f"{path}/")]
    found += [p for p in (ledger.problems if ledger else ()) if p not in found]
    out: dict[str, list[tuple[Problem, str]]] = {}
    days = {v.since.isoformat() for v in figures.book.get("preparation", ident).versions} - {version.since.isoformat()}  # type: ignore[union-attr]
    for problem in found:
        parts = problem.where.split("/")
        if len(parts) > 2 and parts[2] in days:
            continue  # another version's
        stage = parts[parts.index("stage") + 1] if "stage" in parts[:-1] else ""
        out.setdefault(stage, []).append((problem, said_of(problem, figures.names)))
    return out


def _stage(figures: Figures, number: int, stage: Stage, kept: ByProduct | None, opened: bool) -> Iterator[StageLine]:
    at = stage.id
    yield StageLine(
        at, at, "stage", say("Stage {n}", n=number), stage_word(stage.kind), stage.note, kind=stage.kind,
        tip=say("Enter types another kind over it. F8 shows or hides every figure it may have."),
    )  # fmt: skip
    for n, item in enumerate(stage.adds):
        yield StageLine(
            f"{at}/add/{n}", at, "add", say("in"), line_text(item, figures.names), beside_of(item), at=n,
            kind=stage.kind, mark=item.amount.mark if item.amount else "computed", source=item.source, tip=item.note,
        )  # fmt: skip
    takes = figure_names(stage.kind)
    others = [n for n, _ in (*stage.facts, *stage.readings) if n not in takes]
    for name in (*takes, *others):
        fact = figure_of(stage, name)
        if fact is None and not opened:
            continue
        yield StageLine(
            f"{at}/{name}", at, "figure", figure_title(name), fact.text if fact else "",
            how_said(fact.how) if fact else "", name, kind=stage.kind,
            mark=fact.mark if fact else "", fact=fact, tip=fact.note if fact else "",
        )  # fmt: skip
    yield from _beside(figures, stage, kept, opened)
    yield StageLine(f"{at}/new", at, "new", "", at=len(stage.adds), kind=stage.kind)


def _beside(figures: Figures, stage: Stage, kept: ByProduct | None, opened: bool) -> Iterator[StageLine]:
    at, view = stage.id, figures.view
    if stage.equipment or opened:
        machine = view.equipment.get(stage.equipment)
        yield StageLine(f"{at}/equipment", at, "equipment", figure_title("equipment"),
                        machine.name if machine else stage.equipment, kind=stage.kind)  # fmt: skip
    if stage.labour or opened:
        yield StageLine(f"{at}/labour", at, "labour", figure_title("labour"),
                        figures.names.get(stage.labour, stage.labour), kind=stage.kind)  # fmt: skip
    if kept is not None or opened:
        yield StageLine(f"{at}/kept", at, "kept", figure_title("kept"), kept.name if kept else "",
                        name=kept.id if kept else "", kind=stage.kind)  # fmt: skip
    if kept is not None:
        yield StageLine(f"{at}/share", at, "share", figure_title("share"), percent(kept.share), kept.method, kept.id,
                        kind=stage.kind)  # fmt: skip


def beside_of(item: Input) -> str:
    """What is spilled of a component, and whether it goes in once: "spill 3 %, once a batch"."""
    spill = say("spill {amount}", amount=item.spill.text) if item.spill else ""
    return ", ".join(part for part in (spill, say("once a batch") if item.fixed else "") if part)


def _with_problems(lines: Sequence[StageLine], problems: Sequence[tuple[Problem, str]]) -> Iterator[StageLine]:
    """The lines of a stage with what is amiss under the line that it is about, else under the stage's first."""
    places: dict[str, list[StageLine]] = {}
    for n, (problem, said) in enumerate(problems):
        parts = problem.where.split("/")
        key = lines[0].key
        if "add" in parts[:-1]:
            key = f"{lines[0].key}/add/{int(parts[parts.index('add') + 1]) - 1}"
        elif (figure := problem.get("figure")) and problem.code != "needs-fact":
            key = next((line.key for line in lines if line.name and figure.startswith(line.name)), key)
        elif source := problem.get("source"):
            key = next((line.key for line in lines if line.source == source), key)
        row = StageLine(f"{lines[0].key}/!{n}", lines[0].stage, "problem", "", said, tip=said, level=problem.level)
        places.setdefault(key if any(line.key == key for line in lines) else lines[0].key, []).append(row)
    for line in lines:
        yield line
        yield from places.get(line.key, ())


def kind_named(text: str) -> str:
    """The kind of stage that a typed word is: its word or its code, in any case; the one kind whose word begins so."""
    wanted = " ".join(text.casefold().split())
    words = {kind: stage_word(kind).casefold() for kind in STAGE_KINDS}
    exact = [kind for kind, said in words.items() if wanted in (said, kind)]
    begun = [kind for kind, said in words.items() if said.startswith(wanted)]
    found = exact or (begun if len(begun) == 1 and wanted else [])
    if not found:
        raise Refusal(
            say("“{text}” is not a kind of stage.", text=text),
            "",
            say("The kinds are: {kinds}. What goes in is typed on an empty line of its stage.", kinds=", ".join(
                stage_word(kind) for kind in STAGE_KINDS)),
        )  # fmt: skip
    return found[0]


def figure_begun(text: str, kind: str) -> tuple[str, str] | None:
    """(figure, the rest) of a typed line that begins with the name of a figure the stage may have: "refuse 45 %"."""
    folded = " ".join(text.casefold().split())
    names = (*figure_names(kind), *(n for n in MORE if n != "share"))
    titles = sorted(
        ((title, name) for name in names for title in {figure_title(name).casefold(), name, figure_word(name)}),
        key=_longest,
    )
    for title, name in titles:
        if folded == title or folded.startswith(f"{title} "):
            return name, " ".join(text.split())[len(title) :].strip()
    return _by_unit(" ".join(text.split()), folded)


def _by_unit(text: str, folded: str) -> tuple[str, str] | None:
    """ "goes on 1.9 kg", "leaves 0.3 kg" and "25 min": the unit says which figure is meant."""
    for begins, side in ((say("goes on"), "out"), (say("leaves"), "left"), ("goes on", "out"), ("leaves", "left")):
        if folded.startswith(f"{begins.casefold()} "):
            rest = text[len(begins) :].strip()
            dim = _dim(rest)
            name = next((n for n, d in READING_DIMS.items() if d is dim and n.startswith(f"{side}.")), "")
            return (name, rest) if name else None
    return ("active", text) if _dim(text) is Dim.TIME else None


def _dim(text: str) -> Dim | None:
    try:
        unit = lookup(parse_fact(text).unit)
    except ValueError:
        return None
    return unit.dim if unit is not None else None


def _longest(pair: tuple[str, str]) -> int:
    return -len(pair[0])


def free_figures(lines: Sequence[StageLine], stage: str, kind: str) -> list[str]:
    """Titles of the figures that a stage may have and does not show yet."""
    shown = {line.name or line.sort for line in lines if line.stage == stage}
    names = (*figure_names(kind), "equipment", "labour", "kept")
    return [figure_title(name) for name in names if name not in shown]
