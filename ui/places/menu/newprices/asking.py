"""A repricing as work off the main thread: plain values in, the answer with what other volumes would bring out."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from PySide6.QtCore import QObject, Signal

from costing.menu.reprice import reprice
from costing.menu.reprice_record import Aim, Goal, Limits, PriceRow, Repriced, Repricing
from costing.menu.reprice_rows import MenuRows
from costing.menu.reprice_volumes import AtVolumes, Volumes, at_volumes, break_even
from costing.tongue import say
from ui.format import own
from ui.jobs import Progress, Work
from ui.latest import Latest

SUPPOSED = (Decimal("-0.2"), Decimal(0), Decimal("0.2"))
"""Changes in what the changed drinks sell that the page puts beside one another."""


@dataclass(frozen=True, slots=True)
class Wish:
    """What somebody wants of a menu's prices."""

    aim: Aim
    limits: Limits
    goal: Goal


@dataclass(frozen=True, slots=True)
class Asked:
    """Lines of a menu with their prices and sales, and what is wanted of them."""

    rows: MenuRows
    wish: Wish

    def __call__(self, tell: Progress) -> "Answer":
        """Price them; some hundredths of a second for a bar, up to ten seconds for a menu that is hard to price."""
        if twice := _twice(self.rows.rows):
            fault = say("{name} stands twice in one section: take one of them off the menu first", name=own(twice))
            return Answer(of=self, fault=fault)
        try:
            found = reprice(
                self.rows.rows, self.wish.aim, points=self.rows.points, limits=self.wish.limits,
                order=self.rows.order, goal=self.wish.goal, progress=lambda done, of: tell(done, of, ""),
            )  # fmt: skip
        except ValueError as error:  # nothing was sold, or no price is printed: in words
            return Answer(of=self, fault=str(error))
        supposed = at_volumes(found, [Volumes(changed=changed) for changed in SUPPOSED])
        return Answer(of=self, found=found, supposed=supposed, even=break_even(found))


@dataclass(frozen=True, slots=True)
class Answer:
    """What was found, or the ``fault`` that kept it from being looked for. ``even`` is the one change in volume of all
    changed drinks at which the change brings nothing."""

    of: Asked
    found: Repricing | None = None
    supposed: tuple[AtVolumes, ...] = ()
    even: Decimal | None = None
    fault: str = ""

    def line(self, key: str) -> Repriced | None:
        """One line of it."""
        return next((r for r in self.found.rows if r.row.key == key), None) if self.found is not None else None


def _twice(rows: Sequence[PriceRow]) -> str:
    seen = set[str]()
    for row in rows:
        if row.key in seen:
            return row.name
        seen.add(row.key)
    return ""


class Repricer(Latest):
    """The answer to the last wish; it tells how far it is."""

    progress = Signal(int, int)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)

    @property
    def working(self) -> bool:
        """Whether something is asked that is not known yet."""
        return self._key is not None and self._found is None

    def ask(self, key: object, work: Work) -> None:
        """As for Latest."""
        before = self._job
        super().ask(key, work)
        if self._job is not None and self._job is not before:
            self._job.progress.connect(self._told)

    def _told(self, done: int, total: int, _: str) -> None:
        if self.working:
            self.progress.emit(done, total)
