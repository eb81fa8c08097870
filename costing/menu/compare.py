"""The menu as it stands and under scenarios, side by side: every drink and the whole, at what was sold.

What guests paid below the printed price (an offer, a round) is kept as a share of the price of the day: where a
scenario moves the price or the tax, what a drink brings moves with what its printed price leaves.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from math import fsum
from typing import Literal

from costing.book.book import Book
from costing.book.money import to_float
from costing.book.problem import Problem
from costing.book.records import LAYERS
from costing.book.selling import SalesPeriod, Scenario
from costing.ledger.reckon import Reckoning, reckon
from costing.menu.mix import Item, Mix, menu_mix
from costing.menu.overlay import Overlay, laid_over, with_volumes
from costing.menu.todays import todays


@dataclass(frozen=True, kw_only=True)
class Under:
    """The mix of a day, as the book stands (``overlay`` None) or under a scenario. ``wrong`` is what is amiss under it
    and was not before: a stage that became impossible, a figure out of range."""

    name: str
    reckoning: Reckoning
    mix: Mix
    overlay: Overlay | None = None
    wrong: tuple[Problem, ...] = ()


def as_of_its_last_day(book: Book, periods: Sequence[SalesPeriod], name: str = "") -> Under:
    """Periods with the menus and costs of the last day they cover, and what was paid. ValueError for none."""
    if not periods:
        raise ValueError("no period has no last day")
    reckoning = reckon(book.on(max(p.until for p in periods)))
    return Under(name=name, reckoning=reckoning, mix=menu_mix(reckoning, periods))


def halves(periods: Sequence[SalesPeriod]) -> tuple[tuple[SalesPeriod, ...], tuple[SalesPeriod, ...]] | None:
    """The first half of some periods, and the rest; None where there are not two."""
    cut = len(periods) // 2
    return (tuple(periods[:cut]), tuple(periods[cut:])) if cut else None


def as_it_stands(book: Book, day: date, periods: Iterable[SalesPeriod], name: str = "") -> Under:
    """The mix as the book has it on a day, at the prices of that day."""
    reckoning = reckon(book.on(day))
    return Under(name=name, reckoning=reckoning, mix=todays(reckoning, menu_mix(reckoning, periods)))


def under(base: Under, scenario: Scenario) -> Under:
    """The same day and periods under a scenario. ValueError where it cannot be laid over the book."""
    overlay = laid_over(base.reckoning.view.book, scenario, base.reckoning.view.day)
    reckoning = reckon(overlay.book.on(overlay.day)) if overlay.changes else base.reckoning
    mix = menu_mix(reckoning, base.mix.periods) if overlay.changes else base.mix
    items = tuple(_moved(old, new) for old, new in zip(base.mix.items, mix.items, strict=True))
    known = set(base.reckoning.problems)
    return Under(
        name=scenario.name, reckoning=reckoning, mix=with_volumes(replace(mix, items=items), overlay.volumes),
        overlay=overlay, wrong=tuple(p for p in reckoning.problems if p not in known and p.level != "note"),
    )  # fmt: skip


def _moved(old: Item, new: Item) -> Item:
    """What the drink brings, moved as its printed price is, at the number that was sold: a price that is supposed of a
    drink without one gives it no sales. Without a printed price before it is what was paid."""
    before, after, new = old.listed_net, new.listed_net, replace(new, sold=old.sold)
    if before == after:
        return replace(new, net=old.net)
    if after is None or not before:
        return new
    if old.net == to_float(before):
        return replace(new, net=to_float(after))
    return replace(new, net=old.net * to_float(after / before))


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """One drink, or the whole menu (``cost``, ``net`` and ``making`` are then of the average drink, 0 where none was
    sold). ``cost`` is of the house's base layers and ``making`` of all; ``spent`` and ``taken`` are money of what was
    sold. Without ``complete`` something in it has no price or cannot be made: cost is "at least", the rest "at most".
    """

    sold: float
    cost: float
    net: float
    making: float
    spent: float
    taken: float
    complete: bool = True

    @property
    def margin(self) -> float:
        """Contribution margin of one."""
        return self.net - self.cost

    @property
    def pour_cost(self) -> float | None:
        """Cost over net sales; of one drink where none was sold. None without a price."""
        if self.taken:
            return self.spent / self.taken
        return self.cost / self.net if self.net else None

    @property
    def earned(self) -> float:
        """Margin of all that was sold."""
        return self.taken - self.spent


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """After less before. ``points`` is of pour cost, as a fraction; None where either has none."""

    sold: float
    cost: float
    net: float
    making: float
    margin: float
    points: float | None
    spent: float
    taken: float
    earned: float


def difference(before: Figures, after: Figures) -> Difference:
    """What one is more than the other."""
    old, new = before.pour_cost, after.pour_cost
    return Difference(
        sold=after.sold - before.sold, cost=after.cost - before.cost, net=after.net - before.net,
        making=after.making - before.making, margin=after.margin - before.margin,
        points=new - old if old is not None and new is not None else None, spent=after.spent - before.spent,
        taken=after.taken - before.taken, earned=after.earned - before.earned,
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One drink on one section of a menu: as it stands, and under each scenario in order."""

    key: str
    serve: str
    name: str
    menu: str
    section: str
    before: Figures
    after: tuple[Figures, ...]

    @property
    def moved(self) -> bool:
        """Whether any scenario changes anything of it."""
        return any(f != self.before for f in self.after)


Fault = Literal["unpriced", "not made"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Lost:
    """A drink that a scenario leaves without a cost it had: something in it has no price there ("unpriced", by the ids
    in ``goods``), or it cannot be made ("not made")."""

    serve: str
    name: str
    fault: Fault
    goods: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """Scenarios side by side with the menu as it stands. ``lost`` are, by scenario, the drinks that lose their cost
    under it; its ``Under.wrong`` says why."""

    base: Under
    others: tuple[Under, ...]
    rows: tuple[Row, ...]
    before: Figures
    after: tuple[Figures, ...]
    lost: tuple[tuple[Lost, ...], ...]


def compare(base: Under, others: Sequence[Under]) -> Comparison:
    """Every row of the menu as it stands and under scenarios of the same day. ValueError for mixes of other menus."""
    mixes = [other.mix.items for other in others]
    keys = [item.key for item in base.mix.items]
    if any([item.key for item in items] != keys for items in mixes):
        raise ValueError("scenarios side by side must be of the same day: their menus differ")
    rows = tuple(
        Row(
            key=item.key, serve=item.serve, name=item.name, menu=item.menu, section=item.section,
            before=_each(item), after=tuple(_each(items[n]) for items in mixes),
        )
        for n, item in enumerate(base.mix.items)
    )  # fmt: skip
    return Comparison(
        base=base, others=tuple(others), rows=rows, before=whole(base.mix), after=tuple(whole(o.mix) for o in others),
        lost=tuple(tuple(_lost(base, other)) for other in others),
    )  # fmt: skip


def whole(mix: Mix) -> Figures:
    """The menu as one row."""
    each = [_each(item) for item in mix.items]
    sold, spent, taken = (fsum(getattr(f, name) for f in each) for name in ("sold", "spent", "taken"))
    made = fsum(f.sold * f.making for f in each)
    return Figures(
        sold=sold, cost=spent / sold if sold else 0.0, net=taken / sold if sold else 0.0,
        making=made / sold if sold else 0.0, spent=spent, taken=taken,
        complete=all(f.complete for f in each if f.sold),
    )  # fmt: skip


def _each(item: Item) -> Figures:
    return Figures(
        sold=item.sold, cost=item.cost, net=item.net, making=sum(item.layers[layer] for layer in LAYERS),
        spent=item.sold * item.cost, taken=item.sold * item.net, complete=item.complete,
    )  # fmt: skip


def _lost(base: Under, other: Under) -> Iterable[Lost]:
    seen: set[str] = set()
    for old, new in zip(base.mix.items, other.mix.items, strict=True):
        if not old.complete or new.complete or new.serve in seen:
            continue
        seen.add(new.serve)
        made = new.serve in other.reckoning.serves
        goods = tuple(sorted(other.reckoning.serve_cost(new.serve).unpriced)) if made else ()
        yield Lost(serve=new.serve, name=new.name, fault="unpriced" if made else "not made", goods=goods)
