"""One logged batch as lines: what went in and what was read at each stage, beside what was expected."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from costing.book.book import Book
from costing.book.change import Step
from costing.book.kinds import READING_DIMS
from costing.book.methods import METHODS
from costing.book.problem import Problem
from costing.book.records import BatchLog, LoggedStage, Stage
from costing.book.units import Dim
from costing.edits import batches
from costing.ledger import Line
from costing.ledger.batches import Batch, as_made
from costing.ledger.measuring import offered
from costing.report.method_words import how_said, how_typed, method_word
from costing.report.phrases import reading_word
from costing.report.words import WHY_WORDS, series, stage_word
from costing.tongue import capital, say, word
from ui.desk import Desk
from ui.document import Figures
from ui.fault import Refusal
from ui.format import UNKNOWN, Format, isolate, own
from ui.models.table import Column
from ui.places.stillroom.batches_judged import as_computed, decided_by, expected_of, figures_of, measured_of, within
from ui.places.stillroom.writing import components, usable
from ui.where import said_of


@dataclass(frozen=True, slots=True)
class LogLine:
    """One line of a log: a heading (``sort`` "stage"), what went in ("in"), what else went in ("else", to be typed), a
    reading ("read"), or a problem. ``key`` is the log, then the line in it."""

    key: str
    sort: str
    stage: str
    name: str
    title: str
    text: str = ""
    expected: float | None = None
    measured: float | None = None
    dim: Dim | None = None
    base: str = ""
    how: str = ""
    lot: str = ""
    ways: tuple[tuple[str, str], ...] = ()
    recipe: str = ""
    planned: str = ""
    stands_on: tuple[str, ...] = ()
    before: bool = False
    """Whether the difference is that of the stages before: with what really came in, the reading is as computed."""


def log_lines(figures: Figures, log: BatchLog) -> list[LogLine]:
    """A log beside the recipe of the day of ``figures``. KeyError where the preparation is not made on that day."""
    reckoning = figures.reckoning
    made, version = reckoning.view.preparations[log.preparation]
    batch = as_made(reckoning, log)
    standard = {line.stage: line for line in reckoning.ledgers[made.id].lines}
    actual = {line.stage: line for line in batch.ledger.lines}
    logged = {s.stage: s for s in log.stages}
    out: list[LogLine] = []
    for n, stage in enumerate(version.stages, 1):
        title = say("{n} {kind}", n=n, kind=capital(stage_word(stage.kind)))
        found = logged.get(stage.id, LoggedStage(stage=stage.id))
        out.append(_heading(title, found))
        out += _ins(figures, stage, found)
        out += _reads(stage, found, standard.get(stage.id), actual.get(stage.id))
    for stray in log.stages:
        if stray.stage not in {s.id for s in version.stages} and (stray.readings or stray.added):
            out.append(_heading(say("{stage}: not in the recipe", stage=stray.stage), stray))
            nowhere = Stage(id=stray.stage, kind="")
            out += _ins(figures, nowhere, stray)
            out += _reads(nowhere, stray, None, None)
    for m, problem in enumerate(batch.ledger.problems):
        if problem.level != "note":
            out.append(LogLine(f"problem {m}", "problem", "", "", _amiss(figures, problem)))
    return [replace(line, key=f"{log.id}/{line.key}") for line in out]


def _heading(title: str, found: LoggedStage) -> LogLine:
    """The first line of a stage; a note on it and who was at it are typed there."""
    return LogLine(found.stage, "stage", found.stage, "", title, found.note, how=found.initials)


def _amiss(figures: Figures, problem: Problem) -> str:
    """The sentence of a problem of a log."""
    if (problem.code, problem.get("count")) == ("log-input", "0"):
        source = problem.get("source") or ""
        return say(
            "{name} is not in the recipe: it is written down, and stays out of what the batch makes and costs",
            name=own(figures.names.get(source, source)),
        )
    return said_of(problem, figures.names)


def _ins(figures: Figures, stage: Stage, found: LoggedStage) -> Iterator[LogLine]:
    added = {item.input: item for item in found.added}
    for item in stage.adds:
        key = item.id or item.source
        logged = added.pop(key, None) or added.pop(item.source, None)
        planned = item.amount.text if item.amount is not None else ""
        yield LogLine(
            f"{stage.id} in {key}", "in", stage.id, logged.input if logged else key, _in(figures, item.source),
            logged.amount.text if logged else "", lot=logged.lot if logged else "",
            recipe=planned or say("as computed"), planned=planned,
        )  # fmt: skip
    for key, extra in added.items():
        yield LogLine(
            f"{stage.id} in {key}", "in", stage.id, key, _in(figures, key), extra.amount.text, lot=extra.lot
        )  # fmt: skip
    yield LogLine(f"{stage.id} in", "else", stage.id, "", say("in: something else"))


def _in(figures: Figures, source: str) -> str:
    return say("in: {name}", name=figures.names.get(source, source))


def _reads(stage: Stage, found: LoggedStage, standard: Line | None, actual: Line | None) -> Iterator[LogLine]:
    """The readings that a stage can have: those of the recipe and of the log, and those its liquid has."""
    typed = dict(found.readings)
    of_recipe = dict(stage.readings)
    for name, dim in READING_DIMS.items():
        expected = expected_of(standard, name) if standard is not None else None
        if expected is None and name not in typed and name not in of_recipe:
            continue
        if dim is Dim.STRENGTH and not expected and name not in typed:
            continue
        if dim is Dim.BRIX and name not in typed and name not in of_recipe:
            continue
        fact = typed.get(name)
        line = actual or standard
        matter = None
        if line is not None:
            matter = line.on.matter if name.startswith("out") else line.total("meant", "lost", "kept", "unexplained")
        measured = measured_of(fact, dim) if fact is not None else None
        yield LogLine(
            f"{stage.id} read {name}", "read", stage.id, name, reading_word(name),
            fact.text if fact is not None else "", expected, measured, dim,
            how=how_said(fact.how) if fact is not None else "",
            ways=tuple(offered(name, matter)) if matter is not None else (),
            stands_on=tuple(decided_by(standard)) if standard is not None else (),
            before=as_computed(actual, name, measured, dim),
        )  # fmt: skip


def shown(value: float | None, dim: Dim | None, form: Format) -> str:
    """A reading's value in its own unit."""
    if value is None or dim is None:
        return ""
    if dim is Dim.MASS:
        return form.amount(value, "kg")
    if dim is Dim.VOLUME:
        return form.amount(value, "l")
    return form.strength(value) if dim is Dim.STRENGTH else f"{form.number(100 * value, 1)} Bx"


def apart(row: LogLine) -> float | None:
    """Measured less expected, as a share of what was expected; None where there is nothing to compare."""
    if row.measured is None or not row.expected:
        return None
    return (row.measured - row.expected) / row.expected


def judged(row: LogLine, form: Format) -> str:
    """How far a reading is from what was expected, and whether scales and meters err as much."""
    share = apart(row)
    if share is None:
        return ""
    sign = "+" if share >= 0 else "−"
    said = isolate(f"{sign}{form.percent(abs(share))}")
    if row.dim in (Dim.STRENGTH, Dim.BRIX) and row.measured is not None and row.expected:
        points = row.measured - row.expected
        said = isolate(f"{'+' if points >= 0 else '−'}{shown(abs(points), row.dim, form)}")
    return said if beyond(row) else say("{by}, within error", by=said)


def beyond(row: LogLine) -> bool:
    """Whether a reading is further from what was expected than scales, jug or hydrometer may err."""
    return row.measured is not None and bool(row.expected) and not within(row.measured, row.expected or 0.0, row.dim)


def cause(row: LogLine) -> str:
    """What to look at first where a reading is beyond measuring error."""
    if not beyond(row):
        return ""
    if row.before:
        return say("the stages before: from here on as computed")
    return series(row.stands_on)


def compared(row: LogLine, form: Format) -> str:
    """A line in a sentence: how its reading compares, and what to look at; "" where nothing is to compare."""
    said = judged(row, form)
    if not said:
        return ""
    found = cause(row)
    if not found:
        return say("{what}: {by}", what=capital(row.title), by=said)
    return say("{what}: {by}; look at {cause}", what=capital(row.title), by=said, cause=found)


def log_columns(
    desk: Desk, log: Callable[[], str], line: Callable[[], LogLine | None]
) -> Sequence[Column[LogLine]]:  # fmt: skip
    """What a line shows; amounts, methods and lots are typed. ``log`` is the id of the log that is shown, ``line`` the
    line that is come to: what is offered while one types depends on it."""
    form = desk.format
    methods = [method_word(name) for name, method in METHODS.items() if set(method.reads) & set(READING_DIMS.values())
               and not method.bought]  # fmt: skip

    def write(book: Book, row: LogLine, text: str) -> Step | None:
        if text.strip() == row.text:
            return None
        if row.sort == "stage":
            return batches.set_stage_note(book, log(), row.stage, text)
        if row.sort == "else":
            return batches.add_extra(book, log(), row.stage, text)
        if row.sort == "in":
            return batches.set_added(book, log(), row.stage, row.name, text)
        return batches.set_reading(book, log(), row.stage, row.name, text)

    def how(book: Book, row: LogLine, text: str) -> Step | None:
        if text.strip() == row.how:
            return None
        if row.sort == "stage":
            return batches.set_stage_initials(book, log(), row.stage, text)
        method = how_typed(text)
        why = dict(row.ways).get(method, "")
        if why:
            reason = say("{why}.", why=capital(word(WHY_WORDS, why)))
            remedy = say("The tip of the cell lists what works here.")
            raise Refusal(say("A {method} cannot read this.", method=method_word(method)), reason, remedy)
        return batches.set_method(book, log(), row.stage, row.name, method)

    def lot(book: Book, row: LogLine, text: str) -> Step | None:
        if text.strip() == row.lot:
            return None
        return batches.set_added(book, log(), row.stage, row.name, row.text or row.planned, text)

    def ways(row: LogLine) -> str:
        if row.sort == "stage":
            return say("Initials of whoever was at this stage")
        said = ((method_word(name), why) for name, why in row.ways)
        return "\n".join(f"{name}: {word(WHY_WORDS, why)}" if why else name for name, why in said)

    def offers(text: str) -> list[str]:
        row = line()
        return components(text, usable(desk.document.figures)) if row is not None and row.sort == "else" else []

    def choices() -> list[str]:
        row = line()
        return methods if row is not None and row.sort == "read" else []

    return (
        Column[LogLine]("what", say("Stage"), lambda r: r.title, strong=lambda r: r.sort in ("stage", "problem"),
                        depth=lambda r: 0 if r.sort == "stage" else 1),
        Column[LogLine]("text", say("As measured"), lambda r: r.text, write=write, tip=_hint,
                        editable=lambda r: r.sort != "problem", offers=offers,
                        mark=lambda r: "measured" if r.text and r.sort != "stage" else ""),
        Column[LogLine]("expected", say("Expected"), lambda r: r.recipe or shown(r.expected, r.dim, form), True),
        Column[LogLine]("by", say("Apart by"), lambda r: judged(r, form), True,
                        strong=beyond, about=say("Within what scales, jug and hydrometer err by, or beyond it")),
        Column[LogLine]("cause", say("Look at"), cause,
                        about=say("The recipe's figures that the expectation stands on")),
        Column[LogLine]("how", say("How, by whom"), lambda r: r.how, write=how, tip=ways, choices=choices,
                        editable=lambda r: r.sort == "stage" or (r.sort == "read" and bool(r.text)),
                        about=say("How a reading was taken; beside a stage, the initials of whoever was at it")),
        Column[LogLine]("lot", say("Lot"), lambda r: r.lot, write=lot,
                        editable=lambda r: r.sort == "in" and bool(r.text or r.planned)),
    )  # fmt: skip


def _hint(row: LogLine) -> str:
    if row.sort == "in":
        return say("What really went in; left empty it goes by the recipe.")
    if row.sort == "else":
        return say("An amount and a name of the book, like “200 g lime”")
    if row.sort == "stage":
        return say("A note on this stage")
    hints = {
        Dim.MASS: say("1.68 kg less 0.37 kg is gross less tare"),
        Dim.VOLUME: say("1.2 l at 5 C says how cold it was"),
        Dim.STRENGTH: say("43.1 % vol"),
        Dim.BRIX: say("45 Bx"),
    }
    return hints.get(row.dim, "") if row.dim is not None else ""


@dataclass(frozen=True, slots=True)
class LogRow:
    """One log in the list: what it made against the standard batch."""

    log: BatchLog
    made: float | None
    expected: float | None
    base: str
    unit_cost: float | None
    open_points: int

    @property
    def share(self) -> float | None:
        """Of what was expected, what was made."""
        return self.made / self.expected if self.made is not None and self.expected else None


def log_rows(figures: Figures, preparation: str) -> list[LogRow]:
    """The logs of a preparation, the latest first."""
    found = [log for log in figures.book.all(BatchLog).values() if log.preparation == preparation]
    out, seen = [], {figures.day: figures}
    for log in sorted(found, key=lambda item: (item.day, item.id), reverse=True):
        by = figures_of(figures, log)
        reckoning = seen.setdefault(by.day, by).reckoning
        ledger = reckoning.ledgers.get(preparation)
        standard = ledger.outputs.get(preparation) if ledger is not None else None
        batch: Batch | None = as_made(reckoning, log) if preparation in reckoning.view.preparations else None
        output = batch.ledger.outputs.get(preparation) if batch is not None else None
        cost = reckoning.money(output.direct.row) if output is not None else None
        points = [p for p in batch.ledger.problems if p.level != "note"] if batch is not None else []
        out.append(
            LogRow(
                log, output.made if output else None, standard.made if standard else None,
                standard.unit.base if standard else "", cost.making if cost is not None else None, len(points),
            )
        )  # fmt: skip
    return out


def state_words() -> dict[str, str]:
    """States by the word that people use."""
    return {say("made"): "made", say("failed"): "failed", say("held"): "held"}


def state_word(state: str) -> str:
    """The word of a state."""
    return next((word for word, code in state_words().items() if code == state), UNKNOWN)
