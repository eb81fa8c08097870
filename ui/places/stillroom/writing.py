"""What a text typed into a line of a stage does: the step, or the reason why not."""

from collections.abc import Sequence
from datetime import date

from costing.book.book import Book
from costing.book.change import Step
from costing.book.kinds import READING_DIMS, STAGE_KINDS
from costing.book.methods import METHODS
from costing.book.records import Equipment, Good, Preparation, Version
from costing.edits import preparations, stage_lines, stages
from costing.edits.base import record_of, version_on
from costing.edits.figures import WouldLose, dims_of
from costing.ledger.lines import Line
from costing.ledger.measuring import offered
from costing.report.method_words import how_typed
from costing.report.words import WHY_WORDS, stage_word
from costing.supply import parse_measure
from costing.tongue import say, word
from ui.document import Figures
from ui.fault import Refusal
from ui.folding import fold, holds
from ui.places.stillroom.lines import StageLine, figure_begun, figure_title, free_figures, kind_named

OFFERED = 14


class GivesUp(Refusal):
    """A change of kind that some figures do not outlive; it can be made all the same."""

    def __init__(self, lost: WouldLose) -> None:
        names = ", ".join(f"{figure_title(name)} {fact.text}" for name, fact in lost.lost)
        super().__init__(
            say("Another kind would drop {figures}.", figures=names),
            say("The new kind of stage does not take them."),
            say("Ctrl+Enter changes it all the same (undo brings them back); Esc leaves it."),
        )
        self.kind = lost.kind


def write_text(ident: str, day: date, past: set[str], book: Book, row: StageLine, text: str) -> Step | None:
    """The step of a text typed into the main cell of a line."""
    if text.strip() == row.text and row.sort not in ("new", "end"):
        return None
    match row.sort:
        case "stage":
            return write_kind(ident, day, book, row.stage, text)
        case "add":
            return stage_lines.set_line(book, ident, day, row.stage, row.at, text)
        case "figure":
            return stages.set_figure(book, ident, day, row.stage, row.name, text)
        case "end":
            if not text.strip():
                return None
            count = len(version_on(record_of(book, Preparation, ident).versions, day).stages)
            return stages.add_stage(book, ident, day, kind_named(text), count)[0]
        case "new":
            return _new(ident, day, past, book, row, text) if text.strip() else None
        case _:
            return _beside(ident, day, past, book, row.sort, row, text)


def write_kind(ident: str, day: date, book: Book, stage: str, text: str, *, giving_up: bool = False) -> Step | None:
    """Another kind of stage, by its word. GivesUp where figures would go."""
    try:
        return stages.set_kind(book, ident, day, stage, kind_named(text), giving_up=giving_up)
    except WouldLose as lost:
        raise GivesUp(lost) from lost


def _new(ident: str, day: date, past: set[str], book: Book, row: StageLine, text: str) -> Step | None:
    """A line typed behind the last of a stage: a figure by its name, or a component."""
    begun = figure_begun(text, row.kind)
    if begun is None:
        stage = stages.stage_of(book, ident, day, row.stage)
        return stage_lines.set_line(book, ident, day, row.stage, len(stage.adds), text)
    name, rest = begun
    if not rest:
        raise Refusal(
            say("“{text}” says no figure yet.", text=text), say("Only its name was typed."),
            say("Write the figure behind it, like “{name} 12 %”.", name=figure_title(name)),
        )  # fmt: skip
    if name in ("equipment", "labour", "kept"):
        return _beside(ident, day, past, book, name, row, rest)
    return stages.set_figure(book, ident, day, row.stage, name, rest)


def _beside(
    ident: str, day: date, past: set[str], book: Book, sort: str, row: StageLine, text: str
) -> Step | None:  # fmt: skip
    if sort == "equipment":
        machines = {m.name: m.id for m in book.all(Equipment).values()}
        return stages.set_equipment(book, ident, day, row.stage, one_of(text, machines))
    if sort == "labour":
        hands = {g.name: g.id for g in book.all(Good).values() if g.layer == "labour"}
        return stages.set_labour(book, ident, day, row.stage, one_of(text, hands))
    if sort == "share":
        return preparations.set_share(book, ident, day, row.name, text, day)
    if sort != "kept":
        raise ValueError(say("this line cannot be typed into"))
    kept = _kept(version_on(record_of(book, Preparation, ident).versions, day), row.stage)
    if not text.strip():
        return preparations.drop_byproduct(book, ident, day, kept) if kept else None
    if kept:
        return preparations.name_byproduct(book, ident, day, kept, text)
    return preparations.keep_byproduct(book, ident, day, row.stage, text, past)


def _kept(version: Version, stage: str) -> str:
    return next((b.id for b in version.byproducts if b.stage == stage), "")


def write_how(ident: str, day: date, book: Book, row: StageLine, text: str) -> Step | None:
    """The step of a text typed beside a line: how a figure was measured, what is spilled, a note, a method."""
    if text.strip() == row.how:
        return None
    match row.sort:
        case "stage":
            return stages.set_stage_note(book, ident, day, row.stage, text)
        case "figure":
            return stages.set_how(book, ident, day, row.stage, row.name, how_typed(text))
        case "share":
            return preparations.set_method(book, ident, day, row.name, text)
        case "add":
            return _spill_and_once(ident, day, book, row, text)
        case _:
            raise ValueError(say("nothing can be typed here"))


def _spill_and_once(ident: str, day: date, book: Book, row: StageLine, text: str) -> Step | None:
    """ "spill 3 %, once a batch", "3 %", "once" or nothing."""
    spill, fixed = "", False
    for part in (p.strip() for p in text.replace(";", ",").split(", ") if p.strip()):
        if part.casefold() in ("once", say("once").casefold(), say("once a batch").casefold()):
            fixed = True
        else:
            spill = part.removeprefix(say("spill")).removeprefix("spill").strip()
    first = stage_lines.set_spill(book, ident, day, row.stage, row.at, spill)
    after = book.with_changes(first.changes) if first else book
    second = stage_lines.set_fixed(after, ident, day, row.stage, row.at, fixed)
    if first is None or second is None:
        return first or second
    before, last = first.changes[0].before, second.changes[0]
    return Step(first.text, (type(last)(last.kind, last.id, before, last.after),))


def remove_line(ident: str, day: date, book: Book, row: StageLine) -> Step | None:
    """The step that takes away what a line says."""
    match row.sort:
        case "stage":
            return stages.remove_stage(book, ident, day, row.stage)
        case "add":
            return stage_lines.remove_line(book, ident, day, row.stage, row.at)
        case "figure":
            return stages.set_figure(book, ident, day, row.stage, row.name, "")
        case "equipment" | "labour" | "kept" | "share":
            return _beside(ident, day, set(), book, row.sort, row, "")
        case _:
            return None


def one_of(text: str, known: dict[str, str]) -> str:
    """The id of a thing by its name in any case; "" for none. Refusal where there is none of that name."""
    if not text.strip():
        return ""
    found = [ident for name, ident in known.items() if fold(name) == fold(text)]
    if len(found) != 1:
        raise Refusal(
            say("There is nothing called “{text}” for that.", text=text), "",
            say("There is: {names}.", names=", ".join(sorted(known)) or say("nothing yet")),
        )  # fmt: skip
    return found[0]


# What is offered while one types


def offers_for(shown: Figures, rows: Sequence[StageLine], row: StageLine, text: str) -> list[str]:
    """Whole texts that go on from what was typed into the main cell of a line."""
    match row.sort:
        case "stage" | "end":
            return _holding(text, kinds())
        case "equipment":
            return _holding(text, [m.name for m in shown.view.equipment.values()])
        case "labour":
            return _holding(text, [g.name for g in shown.view.goods.values() if g.layer == "labour"])
        case "add":
            return components(text, usable(shown))
        case "new":
            named = [title for title in _holding(text, free_figures(rows, row.stage, row.kind)) if text.strip()]
            return [*(f"{title} " for title in named), *components(text, usable(shown))]
        case _:
            return []


def usable(shown: Figures) -> list[str]:
    """Names of what can be poured, counted or weighed in: hours and energy follow from the times of a stage."""
    goods = shown.view.goods
    return [name for source, name in shown.names.items() if source not in goods or goods[source].layer == "materials"]


def kinds() -> list[str]:
    """The words of every kind of stage."""
    return [stage_word(kind) for kind in STAGE_KINDS]


def _holding(text: str, choices: Sequence[str]) -> list[str]:
    wanted, words = fold(text), fold(text).split()
    return sorted((c for c in choices if holds(fold(c), words)), key=lambda c: not fold(c).startswith(wanted))


def components(text: str, names: Sequence[str]) -> list[str]:
    """Lines that go on from what was typed: its amount, then every name that holds the words behind it."""
    try:
        rest = parse_measure(text).rest if text.strip()[:1].isdigit() or text.strip()[:1] in "~½¼¾⅓⅔." else text
    except ValueError:
        rest = text
    if not fold(rest) or not text.endswith(rest):
        return []
    head = text[: len(text) - len(rest)]
    return [f"{head}{name}" for name in _holding(rest, sorted(names))[:OFFERED]]


def methods_for(shown: Figures, ident: str, row: StageLine) -> tuple[list[str], list[tuple[str, str]]]:
    """(methods that can read a figure here, those that cannot with the reason in words)."""
    if row.sort != "figure" or not row.name:
        return [], []
    if row.name in READING_DIMS:
        line = _line(shown, ident, row.stage)
        if line is not None:
            stream = line.on.matter if row.name.startswith("out") else line.total("kept", "meant", "lost")
            rated = list(offered(row.name, stream))
            return [m for m, why in rated if not why], [(m, word(WHY_WORDS, why)) for m, why in rated if why]
    dims = dims_of(row.name)
    return [name for name, method in METHODS.items() if set(dims) & set(method.reads) and not method.bought], []


def _line(shown: Figures, ident: str, stage: str) -> Line | None:
    ledger = shown.reckoning.ledgers.get(ident)
    return next((line for line in ledger.lines if line.stage == stage), None) if ledger else None
