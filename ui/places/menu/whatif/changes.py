"""What a scenario supposes, one change a line, typed in place; the last, empty line takes the next one."""

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial

from costing.book.book import Book
from costing.book.change import Step
from costing.book.selling import Scenario
from costing.edits import scenarios
from costing.edits.supposed_names import SORT_WORDS
from costing.menu.supposed_recipes import figures_of
from costing.tongue import say, say_many, word
from ui.document import Figures
from ui.folding import fold, holds
from ui.format import Format
from ui.models.table import Column, joined
from ui.places.menu.whatif.kept import NEXT
from ui.places.menu.whatif.words import come_text, come_tip
from ui.places.menu.whatif.work import Come
from ui.widgets.table import Block

MOST = 12
"""Names that are offered at once."""
_SIGN = re.compile(r"\s*(?:=|\+|(?<=\s)[-\u2212\u2013](?=\s*[0-9.,])|(?<=\s)[x×](?=\s*[0-9.,])).*$")


@dataclass(frozen=True, slots=True)
class ChangeRow:
    """One line, or the empty one behind the last. ``come`` is what it came to, None while that is not known."""

    scenario: str
    at: int
    text: str = ""
    come: Come | None = None

    @property
    def key(self) -> str:
        """The scenario, then the line."""
        return f"{self.scenario}/{self.at if self.text else NEXT}"

    @property
    def amiss(self) -> bool:
        """Whether it cannot be laid over the book as it is now."""
        return isinstance(self.come, str)


def change_rows(book: Book, scenario: Scenario | None, day: date, come: Sequence[Come]) -> list[ChangeRow]:
    """The lines of a scenario, and the empty one; none without a scenario."""
    if scenario is None:
        return []
    known: Sequence[Come | None] = come if len(come) == len(scenario.supposed) else [None] * len(scenario.supposed)
    rows = [
        ChangeRow(scenario.id, n, scenarios.supposed_text(supposed, book, day), known[n])
        for n, supposed in enumerate(scenario.supposed)
    ]
    return [*rows, ChangeRow(scenario.id, len(rows))]


def change_columns(
    form: Format, day: Callable[[], date], offers: Callable[[str], Sequence[str]]
) -> Sequence[Column[ChangeRow]]:
    """The line as it is typed, and what it came to."""

    def shown(row: ChangeRow) -> str:
        return row.text or say("Type a change, like: rum +10 %")

    def write(book: Book, row: ChangeRow, text: str) -> Step | None:
        if row.text:
            return scenarios.set_supposed(book, row.scenario, row.at, text, day())
        return scenarios.add_supposed(book, row.scenario, text, day()) if text.strip() else None

    def tip(row: ChangeRow) -> str:
        if row.text:
            return say("Enter types over it; Delete takes it out.")
        return "\n".join((
            say("A price, of one ingredient or all of a supplier: white rum +10 %; North Quay Fruit +5 %"),
            say("A tax, an hour of hands, a currency: VAT = 21 %; labour = 22; CHF = 0.95"),
            say("A dose or a yield: Harbour Light, lemon juice = 25 ml; pineapple-distillate trim/refuse = 45 %"),
            say("How many are sold, a printed price: sold -20 %; sold Harbour Light = 200; menu Harbour Light = 17"),
        ))  # fmt: skip

    return (
        Column[ChangeRow]("text", say("It supposes"), shown, write=write, edit_text=lambda r: r.text, tip=tip,
                          offers=offers),
        Column[ChangeRow]("come", say("Comes to"), lambda r: "" if r.come is None else come_text(r.come, form),
                          tip=lambda r: "" if r.come is None else come_tip(r.come, form), strong=lambda r: r.amiss),
    )  # fmt: skip


def paste_changes(scenario: str, day: date, book: Book, block: Block) -> Step | None:
    """Every line of a block as one more change. ValueError for one that cannot be read: nothing is taken then."""
    steps: list[Step] = []
    for line in block:
        text = " ".join(line).strip()
        if text:
            steps.append(scenarios.add_supposed(book, scenario, text, day))
            book = book.with_changes(steps[-1].changes)
    return joined(say_many("suppose {n} change", "suppose {n} changes", len(steps)), steps)


def remove_changes(book: Book, scenario: str, places: Sequence[int]) -> Step | None:
    """Take lines out as one step."""
    steps: list[Step] = []
    for at in sorted(places, reverse=True):
        steps.append(scenarios.remove_supposed(book, scenario, at))
        book = book.with_changes(steps[-1].changes)
    if len(steps) == 1:
        return steps[0]
    return joined(say_many("take {n} change out", "take {n} changes out", len(steps)), steps)


class Offers:
    """Whole lines that go on from what was typed: every name that holds its words, with the change behind it. Names
    are gathered once for the figures of a day."""

    def __init__(self, figures: Callable[[], Figures]) -> None:
        self._figures = figures
        self._of: Figures | None = None
        self._known: list[tuple[str, str]] = []

    def __call__(self, text: str) -> list[str]:
        """The best first; none where a name is whole already and a change stands behind it."""
        found = _SIGN.search(text)
        tail = found.group().strip() if found else ""
        wanted = fold(text[: found.start()] if found else text)
        words = wanted.split()
        if not words:
            return []
        names = self._names()
        if any(folded == wanted for folded, _ in names):
            return []
        ranked = sorted((not folded.startswith(wanted), n, name)
                        for n, (folded, name) in enumerate(names) if holds(folded, words))  # fmt: skip
        return [f"{name} {tail}".strip() for _, _, name in ranked[:MOST]]

    def _names(self) -> list[tuple[str, str]]:
        figures = self._figures()
        if figures is not self._of:
            self._of = figures
            self._known = [(fold(name), name) for name in dict.fromkeys(left_sides(figures))]
        return self._known


def left_sides(figures: Figures) -> Iterator[str]:
    """Everything that a change can be supposed of, as it is typed: what is bought first."""
    view, names = figures.view, figures.names
    said = partial(word, SORT_WORDS)
    yield from sorted(g.name for g in view.goods.values())
    yield from sorted(s.name for s in view.suppliers.values())
    yield from (levy.name for levy in (view.terms.levies if view.terms is not None else ()))
    yield from (said("labour"), said("volume"))
    yield from sorted(view.rates)
    drinks = sorted(view.serves.values(), key=lambda found: found[0].name)
    yield from (f"{said('volume')} {serve.name}" for serve, _ in drinks)
    yield from (f"{said('menu price')} {serve.name}" for serve, _ in drinks)
    for serve, version in drinks:
        yield from (f"{serve.name}, {names.get(item.source, item.source)}" for item in version.build.adds)
    for made, brewed in view.preparations.values():
        yield from (f"{made.id} {stage.id}/{name}" for stage in brewed.stages for name in figures_of(stage))
