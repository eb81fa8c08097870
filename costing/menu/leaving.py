"""What the classes of the others become when drinks leave: cuts stand on the set, so taking a dog off re-labels others.

Whether the sales of what leaves are lost or go to the others in proportion makes no difference to the classes (every
count grows by one factor, and so do both cuts' sides); it makes all the difference to the money.
"""

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace

from costing.menu.engineer import Engineered, Klass, judged_set
from costing.menu.figures import ItemRow, Number, Tie, Unsold, known_cut, read_items
from costing.tongue import say


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """A row that stays and whose class is another one afterwards."""

    index: int
    name: str
    before: Klass | None
    after: Klass | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaving:
    """The set ``before``, after the sales of what left are ``lost``, and after they went to the others (``spread``, as
    lost where the others sold nothing). ``stay`` are the places in ``before`` of the rows of both."""

    before: Engineered
    lost: Engineered
    spread: Engineered
    stay: tuple[int, ...]

    @property
    def moved(self) -> tuple[Moved, ...]:
        """Rows whose class changes, the same either way."""
        return tuple(
            Moved(index=i, name=after.name, before=self.before[i].klass, after=after.klass)
            for i, after in zip(self.stay, self.lost, strict=True)
            if after.klass != self.before[i].klass
        )


def leaving(
    items: Iterable[ItemRow], gone: Collection[int] | Collection[str], cut: Number = 0.7, tie: Tie = "high",
    unsold: Unsold = "counted",
) -> Leaving:  # fmt: skip
    """The set without the rows ``gone``, by place or by name. ValueError for one that is not there."""
    rows, rule = read_items(items), known_cut(cut)
    out: set[int] = set()
    for each in gone:
        found = {each} if isinstance(each, int) else {i for i, row in enumerate(rows) if row.name == each}
        if not found or not found <= set(range(len(rows))):
            raise ValueError(say("there is no “{name}” in this set", name=each))
        out |= found
    stay = tuple(i for i in range(len(rows)) if i not in out)
    left = [rows[i] for i in stay]
    kept = sum(row.sold for row in left)
    factor = sum(row.sold for row in rows) / kept if kept else 1
    return Leaving(
        before=judged_set(rows, rule, tie, unsold),
        lost=judged_set(left, rule, tie, unsold),
        spread=judged_set([replace(row, sold=row.sold * factor) for row in left], rule, tie, unsold),
        stay=stay,
    )
