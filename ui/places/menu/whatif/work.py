"""Scenarios tried and bridges found, as work off the main thread: plain values in, plain values out."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from costing.book.book import Book
from costing.book.selling import SalesPeriod, Scenario
from costing.menu.bridge import Bridge
from costing.menu.bridge_mix import bridge_of
from costing.menu.compare import Comparison, Under, as_of_its_last_day, compare, under
from costing.menu.mix import Mix
from costing.menu.supposed_base import Laid
from costing.menu.supposing import lay
from ui.document import Figures
from ui.jobs import Progress

Come = Laid | str
"""What a line of a scenario came to, or why it cannot be laid over the book."""


@dataclass(frozen=True, slots=True)
class Asked:
    """Which scenarios are to be tried on the mix of a book; ``chosen`` is the id of the one whose lines are shown."""

    figures: Figures
    mix: Mix
    scenarios: tuple[Scenario, ...]
    chosen: str

    def __call__(self, tell: Progress) -> "Tried":
        """Try them. One that cannot be laid has no figures at all: half of it would pass for the whole."""
        base = Under(name="", reckoning=self.figures.reckoning, mix=self.mix)
        laid, others, faults = list[str](), list[Under](), dict[str, str]()
        for n, scenario in enumerate(self.scenarios):
            tell(n, len(self.scenarios) + 1, "")
            try:
                others.append(under(base, scenario))
            except ValueError as error:
                faults[scenario.id] = str(error)
            else:
                laid.append(scenario.id)
        found = compare(base, others)
        tell(len(self.scenarios), len(self.scenarios) + 1, "")
        return Tried(
            of=self, ids=tuple(laid), found=found, bridges=tuple(bridge_of(base, other) for other in others),
            faults=faults, lines=self._lines(dict(zip(laid, others, strict=True))),
        )  # fmt: skip

    def _lines(self, laid: Mapping[str, Under]) -> tuple[Come, ...]:
        other = laid.get(self.chosen)
        if other is not None and other.overlay is not None:
            return other.overlay.laid
        chosen = next((s for s in self.scenarios if s.id == self.chosen), None)
        return laid_lines(self.figures.book, chosen, self.figures.day) if chosen is not None else ()


@dataclass(frozen=True, slots=True)
class Tried:
    """Scenarios side by side. ``ids`` are those that could be laid, in the order of ``found.others`` and ``bridges``;
    ``faults`` say why the others could not; ``lines`` is what the lines of the chosen one came to."""

    of: Asked
    ids: tuple[str, ...]
    found: Comparison
    bridges: tuple[Bridge, ...]
    faults: Mapping[str, str]
    lines: tuple[Come, ...]

    @property
    def at(self) -> int:
        """Where the chosen one stands among those that could be laid; -1 where it could not."""
        return self.ids.index(self.of.chosen) if self.of.chosen in self.ids else -1

    @property
    def sold(self) -> bool:
        """Whether anything was sold, or is supposed to be."""
        return bool(self.found.before.sold) or any(after.sold for after in self.found.after)


def laid_lines(book: Book, scenario: Scenario, day: date) -> tuple[Come, ...]:
    """Line by line what each comes to, or why it cannot be; the others are laid as if it were not there."""
    now, out = book, list[Come]()
    for supposed in scenario.supposed:
        try:
            one = lay(now.on(day), supposed)
        except ValueError as error:
            out.append(str(error))
        else:
            out.append(one)
            now = now.with_changes(one.changes) if one.changes else now
    return tuple(out)


@dataclass(frozen=True, slots=True)
class Spans:
    """Two spans of sales, each with the menus, prices and costs of its last day."""

    figures: Figures
    first: tuple[SalesPeriod, ...]
    last: tuple[SalesPeriod, ...]

    def __call__(self, tell: Progress) -> "Walked":
        """What moved the margin from the one to the other."""
        before = as_of_its_last_day(self.figures.book, self.first)
        tell(1, 2, "")
        after = as_of_its_last_day(self.figures.book, self.last)
        return Walked(self, before, after, bridge_of(before, after))


@dataclass(frozen=True, slots=True)
class Walked:
    """Both sides, and the bridge between them."""

    of: Spans
    before: Under
    after: Under
    bridge: Bridge


def inside(periods: Sequence[SalesPeriod], since: date, until: date) -> tuple[SalesPeriod, ...]:
    """The periods that lie wholly in a span of days."""
    return tuple(p for p in periods if since <= p.since and p.until <= until)
