"""A new menu against the old one at the same number of drinks: what it would earn, need, bring and do without.

The new rows are brought to the total of the old ones, so that what is compared is the choice of drinks and their
prices, never a hoped-for crowd. Why the margin moves is taken apart elsewhere (``costing.menu.bridge``).
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from costing.book.records import Layer
from costing.ledger.reckon import Reckoning
from costing.menu.capacity_rows import VARYING, decision_margin
from costing.menu.mix import Item
from costing.menu.portfolio import Under, hours_of_all, under
from costing.tongue import say


@dataclass(frozen=True, slots=True, kw_only=True)
class MenuSide:
    """One menu over the period: its rows with how many are sold, and their totals. ``margin`` is net less what varies,
    ``cost`` is in the house's base layers, ``hours`` are by resource."""

    rows: tuple[Item, ...]
    sold: float
    net: float
    cost: float
    margin: float
    hours: Mapping[str, float]

    @property
    def pour_cost(self) -> float | None:
        """Cost over net sales; None where nothing is sold."""
        return self.cost / self.net if self.net else None

    @property
    def margin_each(self) -> float | None:
        """Margin a drink; None where none is sold."""
        return self.margin / self.sold if self.sold else None

    @property
    def complete(self) -> bool:
        """Whether every component of every drink that is sold has a price; else costs are at least, margins at most."""
        return all(i.complete for i in self.rows if i.sold)

    def per_cover(self, covers: float) -> float:
        """Drinks a guest."""
        return self.sold / covers


@dataclass(frozen=True, slots=True, kw_only=True)
class NewMenu:
    """The old side and the new one at as many drinks. ``scaled`` is what the counts of the new rows were multiplied by;
    drinks are by serve id; ``come`` and ``go`` are what the house needs for one menu and not for the other."""

    old: MenuSide
    new: MenuSide
    scaled: float
    drinks_come: tuple[str, ...]
    drinks_go: tuple[str, ...]
    come: Under
    go: Under

    @property
    def gain(self) -> float:
        """What the new one earns more."""
        return self.new.margin - self.old.margin

    @property
    def hours_more(self) -> dict[str, float]:
        """Hours of each resource that the new one takes more."""
        keys = dict.fromkeys((*self.old.hours, *self.new.hours))
        return {key: self.new.hours.get(key, 0.0) - self.old.hours.get(key, 0.0) for key in keys}


def new_menu(
    reckoning: Reckoning,
    old: Iterable[Item],
    new: Iterable[Item],
    reckoning_new: Reckoning | None = None,
    varying: Sequence[Layer] = VARYING,
) -> NewMenu:
    """The new rows brought to as many drinks as the old ones. ``reckoning_new`` is of the day the new menu begins,
    where that is another one. ValueError where either sold none: there is nothing to bring to the same number."""
    before, after = tuple(old), tuple(new)
    sold, expected = sum(i.sold for i in before), sum(i.sold for i in after)
    if sold <= 0 or expected <= 0:
        raise ValueError(say("both menus need drinks that are sold or expected to be: say how many of each"))
    factor = sold / expected
    after = tuple(replace(i, sold=i.sold * factor) for i in after)
    later = reckoning_new or reckoning
    had, has = dict.fromkeys(i.serve for i in before), dict.fromkeys(i.serve for i in after)
    needed, needs = under(reckoning, had), under(later, has)
    return NewMenu(
        old=_side(before, varying), new=_side(after, varying), scaled=factor,
        drinks_come=tuple(s for s in has if s not in had), drinks_go=tuple(s for s in had if s not in has),
        come=needs.without(needed), go=needed.without(needs),
    )  # fmt: skip


def expected_rows(
    old: Sequence[Item], new: Sequence[Item], said: Mapping[str, float] | None = None
) -> tuple[tuple[Item, ...], tuple[str, ...]]:
    """(new rows with how many are expected, names of those nobody could say it of). A drink on both menus sells as it
    did, and is paid below its printed price by as much as on the old one; one that somebody ``said`` a number of (by
    serve id) sells that, and every other one as many as a drink of the old menu did on average: an assumption, so they
    are named."""
    sold: dict[str, float] = {}
    for item in old:
        sold[item.serve] = sold.get(item.serve, 0.0) + item.sold
    average = sum(sold.values()) / len(sold) if sold else 0.0
    lines = {i.serve: sum(other.serve == i.serve for other in new) for i in new}
    rows: list[Item] = []
    guessed: dict[str, None] = {}
    for item in new:
        count = (said or {}).get(item.serve, sold.get(item.serve))
        if count is None:
            guessed[item.name] = None
        fresh = item if item.sold else replace(item, net=item.net * _paid(old, item.serve))
        rows.append(replace(fresh, sold=(average if count is None else count) / lines[item.serve]))
    return tuple(rows), tuple(guessed)


def _paid(rows: Iterable[Item], serve: str) -> float:
    """What was paid for a drink as a share of what its printed price leaves; 1 where none was sold or printed."""
    known = [(i.sold * i.net, i.sold * float(i.listed_net)) for i in rows if i.serve == serve and i.listed_net]
    printed = sum(listed for _, listed in known)
    return sum(paid for paid, _ in known) / printed if printed else 1.0


def _side(rows: tuple[Item, ...], varying: Sequence[Layer]) -> MenuSide:
    return MenuSide(
        rows=rows, sold=sum(i.sold for i in rows), net=sum(i.sold * i.net for i in rows),
        cost=sum(i.sold * i.cost for i in rows), margin=sum(i.sold * decision_margin(i, varying) for i in rows),
        hours=hours_of_all(rows),
    )  # fmt: skip
