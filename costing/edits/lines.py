"""Components of a stage as somebody types them, one a line: "45 ml pineapple rum"."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from costing.book.book import Book
from costing.book.fact import Fact
from costing.book.records import Good, Input, Preparation, Stage
from costing.edits.base import Undecided, moved, typed_fact
from costing.supply import PastedLine, read_line, read_recipe
from costing.tongue import say


@dataclass(frozen=True, slots=True)
class Pasted:
    """What a pasted block came to: inputs of the lines that are decided, and the lines that are not."""

    adds: tuple[Input, ...]
    undecided: tuple[PastedLine, ...]
    ignored: tuple[tuple[str, str], ...] = ()


def line_text(item: Input, names: Mapping[str, str]) -> str:
    """An input as it would be typed: "45 ml Pineapple rum"; just the name where the stage works out how much."""
    name = names.get(item.source, item.source)
    return name if item.amount is None else f"{item.amount.text.lstrip('~ ')} {name}"


def read_input(text: str, book: Book, before: Input | None = None) -> Input:
    """A typed line as an input. Spill, place and note of the one it replaces stay. Undecided where it does not say what
    goes in and how much of it; a bare name keeps the amount there was."""
    line = read_line(text, book)
    if not line.decided:
        again = read_line(text, _named_before(book, before)) if before is not None else line
        line = again if again.decided else line
    if line.source is None and before is not None and line.amount is not None and not line.name:
        return replace(before, amount=_marked(line.amount, before.amount))
    if line.source is not None and line.amount is None and before is not None and "unreadable" not in line.doubts:
        return replace(before, source=line.source)
    if not line.decided or line.source is None or line.amount is None:
        raise Undecided(line)
    note = ", ".join(line.doubts)
    if before is None:
        return Input(source=line.source, amount=line.amount, note=note)
    return replace(before, source=line.source, amount=_marked(line.amount, before.amount), note=note or before.note)


def _named_before(book: Book, before: Input | None) -> dict[str, str]:
    """The name that stands in the line already: two things may be called alike, and one of them was chosen."""
    source = before.source if before is not None else ""
    good, made = book.all(Good).get(source), book.all(Preparation).get(source)
    found = good or made
    return {source: found.name} if found is not None else {}


def _marked(fact: Fact, before: Fact | None) -> Fact:
    """The same text keeps the fact there was, its mark with it."""
    return before if before is not None and before.text.lstrip("~ ") == fact.text else fact


def pasted_inputs(text: str, book: Book) -> Pasted:
    """A pasted block, one component a line."""
    found = read_recipe(text, book)
    adds = tuple(
        Input(source=line.source, amount=line.amount, note=", ".join(line.doubts))
        for line in found.lines
        if line.source is not None and line.amount is not None
    )
    return Pasted(adds, found.undecided, found.ignored)


def with_input(stage: Stage, at: int, item: Input) -> Stage:
    """A stage with an input put in place of the one at ``at``, or behind the last where there is none."""
    adds = list(stage.adds)
    if 0 <= at < len(adds):
        adds[at] = item
    else:
        adds.append(item)
    return replace(stage, adds=tuple(adds))


def with_inputs(stage: Stage, at: int, items: Sequence[Input]) -> Stage:
    """A stage with inputs put in before place ``at``."""
    return replace(stage, adds=(*stage.adds[:at], *items, *stage.adds[at:]))


def without_input(stage: Stage, at: int) -> Stage:
    """A stage without one input. ValueError where there is none."""
    if not 0 <= at < len(stage.adds):
        raise ValueError(say("there is no line {n}", n=at + 1))
    return replace(stage, adds=(*stage.adds[:at], *stage.adds[at + 1 :]))


def moved_input(stage: Stage, at: int, by: int) -> Stage:
    """A stage with one input further up or down."""
    return replace(stage, adds=moved(stage.adds, at, by))


def with_amount(stage: Stage, at: int, text: str) -> Stage:
    """A stage with the amount of one input as typed; "" leaves it to the stage to work out."""
    item = stage.adds[at]
    return with_input(stage, at, replace(item, amount=typed_fact(text, item.amount)))


def with_spill(stage: Stage, at: int, text: str) -> Stage:
    """A stage with what of one input is poured beside, as typed ("3 %"); "" is none."""
    item = stage.adds[at]
    return with_input(stage, at, replace(item, spill=typed_fact(text, item.spill)))
