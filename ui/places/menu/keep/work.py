"""The menu judged, as work off the main thread: plain values in, the sections of the menu out."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from costing.book.selling import Judging
from costing.menu.judged import Section
from costing.menu.mix import Item, Mix
from costing.menu.together import judge_all
from ui.document import Figures
from ui.jobs import Progress

SectionKey = tuple[str, str]
"""Menu and section."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What is to be judged: the mix of a book and a span, by the house's rule. ``machine`` is the good that is the hour
    of the machine that is short, or ""."""

    figures: Figures
    mix: Mix
    judging: Judging
    machine: str = ""

    def __call__(self, tell: Progress) -> "Kept":
        """Judge it; some tenths of a second for a bar, most of it for the ranges of costs."""
        sections = judge_all(self.figures.reckoning, self.mix, self.judging, self.machine, tell)
        return Kept(of=self, sections=sections)


@dataclass(frozen=True, slots=True)
class Kept:
    """The menu judged, and what it was asked of."""

    of: Asked
    sections: tuple[Section, ...]

    @property
    def judging(self) -> Judging:
        """The rule it was judged by."""
        return self.of.judging

    def chosen(self, key: SectionKey | None) -> tuple[Section, ...]:
        """One section, or all of them for None."""
        return tuple(s for s in self.sections if key is None or (s.menu, s.name) == key)


def judging_of(figures: Figures) -> Judging:
    """The house's rule, or the published one where no house is said."""
    house = figures.book.house
    return house.judging if house is not None else Judging()


def machines_of(figures: Figures, mix: Mix) -> Mapping[str, str]:
    """Names of the machines whose hours are in some drink that was sold, by the good that is their hour."""
    used = {hour for item in mix.items if item.sold for hour, amount in item.machine_hours.items() if amount}
    return {m.hour: m.name for m in figures.view.equipment.values() if m.hour in used}


def usual_machine(figures: Figures, mix: Mix) -> str:
    """The machine that these sales used most of, of those whose hours a week the house has said; "" where none is."""
    best, most = "", 0.0
    for machine in figures.view.equipment.values():
        if machine.hour and machine.hours and mix.weeks:
            share = _hours(mix.items, machine.hour) / (mix.weeks * float(machine.hours))
            if share > most:
                best, most = machine.hour, share
    return best


def _hours(items: Sequence[Item], hour: str) -> float:
    return sum(item.sold * item.machine_hours.get(hour, 0.0) for item in items)
