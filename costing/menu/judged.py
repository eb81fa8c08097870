"""The menu judged, section by section: class, how sure, one action, and how the other methods have it.

Each section of a menu is a competing set of its own. What has no price is in no set, and says so; a drink whose cost is
not whole is in it at its highest possible margin, and then nothing of its set counts as sure. A drink that came on the
menu after the sales began had fewer days to sell: it waits, whatever its figures say.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING, Literal

from costing.book.selling import Judging
from costing.ledger.reckon import Reckoning
from costing.menu.advice import Advice, Standing, advise
from costing.menu.engineer import CLASSES, Engineered, Klass, Row, engineer
from costing.menu.figures import ItemRow
from costing.menu.leaving import Leaving, leaving
from costing.menu.mix import Item, Mix
from costing.menu.rivals import Agreement, Cell, Method, agreement, methods
from costing.menu.sure import Band, Posterior, Spot, enough, posterior, sales_needed, wilson
from costing.pricing.menu import priced_serves

if TYPE_CHECKING:
    from costing.menu.sure import Floats

State = Literal["sure", "borderline", "few"]
Why = Literal["", "one", "unsold", "below nothing"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """What advice asks of the book beside the mix, by ``Item.key``: whether the printed price meets the target (None:
    not known), and the day from which a price is printed."""

    on_target: Mapping[str, bool | None] = field(default_factory=dict)
    since: Mapping[str, date] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """One drink judged. ``share`` is the 95 % interval of its share of the mix (Wilson); ``needed`` how many its set
    must sell to tell it from the popularity cut (None: no number will); ``spot`` where it may lie on the scatter (None
    where it is not counted). ``new`` is the day it came on the menu, where that is after the sales began."""

    item: Item
    row: Row
    klass: Klass
    state: State
    spot: Spot | None
    share: tuple[float, float]
    needed: int | None
    new: date | None
    agreement: Agreement
    advice: Advice

    @property
    def sure(self) -> bool:
        """Whether its class is sure."""
        return self.state == "sure"

    @property
    def chance(self) -> float | None:
        """The chance that its class is right."""
        return None if self.spot is None else self.spot.chances[self.klass]


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """One competing set. ``drinks`` are judged, in menu order: none where ``why`` says that there are no classes.

    ``items`` are the rows of the set and ``unpriced`` those left out of it for want of a price. ``enough`` is how many
    the set must have sold before anything in it is judged; ``margin_band`` where the margin cut lies in 90 of 100
    draws (the popularity cut is the same in all).
    """

    menu: str
    name: str
    items: tuple[Item, ...]
    unpriced: tuple[Item, ...]
    engineered: Engineered
    why: Why
    drinks: tuple[Judged, ...] = ()
    methods: tuple[Method, ...] = ()
    margin_band: Band | None = None
    enough: int = 0

    @property
    def complete(self) -> bool:
        """Whether every cost in it is whole."""
        return all(item.complete for item in self.items)


def beside_of(reckoning: Reckoning) -> Beside:
    """What the book of the day says beside its mix."""
    targets = {f"{p.menu}/{p.section}/{p.serve.id}": p.on_target for p in priced_serves(reckoning) if p.menu}
    since: dict[str, date] = {}
    for menu in reckoning.view.menus.values():
        for section in menu.sections:
            for line in section.lines:
                key = f"{menu.id}/{section.name}/{line.serve}"
                first = min((p.since for p in line.prices), default=None)
                if first is not None:
                    since[key] = min(first, since.get(key, first))
    return Beside(on_target=targets, since=since)


def judge(
    mix: Mix, judging: Judging, costs: "Floats | None" = None, sds: Sequence[float] | None = None,
    bottleneck: str = "", beside: Beside | None = None,
) -> tuple[Section, ...]:  # fmt: skip
    """Every section of every menu, in menu order.

    ``costs`` are draws of what each row of ``mix.items`` costs, shape (draws, rows); ``sds`` standard deviations
    instead (money); ``bottleneck`` the good that is the hour of the machine that is short. Takes some hundredths of a
    second a section. ValueError where a shape does not fit.
    """
    if costs is not None and (costs.ndim != 2 or costs.shape[1] != len(mix.items)):
        raise ValueError(f"draws of costs of shape {costs.shape} do not fit {len(mix.items)} drinks")
    if sds is not None and len(sds) != len(mix.items):
        raise ValueError(f"{len(sds)} deviations do not fit {len(mix.items)} drinks")
    groups: dict[tuple[str, str], list[int]] = {}
    for i, item in enumerate(mix.items):
        groups.setdefault((item.menu, item.section), []).append(i)
    out: list[Section] = []
    for (menu, name), places in groups.items():
        inside = [i for i in places if mix.items[i].listed is not None or mix.items[i].net > 0.0]
        section = _set(menu, name, [mix.items[i] for i in inside], judging)
        unpriced = tuple(mix.items[i] for i in places if i not in inside)
        drawn = None if costs is None else costs[:, inside]
        spread = None if sds is None else [sds[i] for i in inside]
        out.append(_judged(section, unpriced, mix, judging, drawn, spread, bottleneck, beside or Beside()))
    return tuple(out)


def rows_of(items: Iterable[Item]) -> list[ItemRow]:
    """Rows as ``engineer`` takes them, at what was paid on average."""
    return [(item.name, item.sold, item.cost, item.net) for item in items]


def without(section: Section, judging: Judging, serves: Collection[str]) -> Leaving:
    """What the classes of a section become when these serves leave it (ids; those it does not have are passed over)."""
    gone = [i for i, item in enumerate(section.items) if item.serve in serves]
    return leaving(rows_of(section.items), gone, judging.cut, judging.tie, judging.unsold)


def _set(menu: str, name: str, items: Sequence[Item], judging: Judging) -> Section:
    why: Why = ""
    if any(item.cost < 0.0 or item.net < 0.0 for item in items):
        why = "below nothing"
    found = engineer([] if why else rows_of(items), judging.cut, judging.tie, judging.unsold)
    if not why and found.n < 2:
        why = "one"
    elif not why and not found.N:
        why = "unsold"
    return Section(menu=menu, name=name, items=tuple(items), unpriced=(), engineered=found, why=why)


def _judged(
    section: Section, unpriced: tuple[Item, ...], mix: Mix, judging: Judging, costs: "Floats | None",
    sds: Sequence[float] | None, bottleneck: str, beside: Beside,
) -> Section:  # fmt: skip
    items, found = section.items, section.engineered
    rows = rows_of(items)
    drawn: Posterior | None = None
    if not section.why:
        drawn = posterior(rows, judging.cut, judging.tie, judging.unsold, sds=sds, costs=costs)
    if drawn is None or found.Q is None:
        return Section(menu=section.menu, name=section.name, items=items, unpriced=unpriced, engineered=found,
                       why=section.why or "unsold")  # fmt: skip
    labour = [item.layers.get("labour", 0.0) for item in items]
    hours = [item.machine_hours.get(bottleneck, 0.0) for item in items] if bottleneck else None
    by = methods(rows, judging, labour=labour if _labour_beside(mix, labour) else None, hours=hours)
    least = enough(found.Q, found.n, float(judging.sure))
    agreed = agreement([item.name for item in items], by)
    drinks: list[Judged] = []
    for item, row, spot, agrees in zip(items, found, drawn.spots, agreed, strict=True):
        come = beside.since.get(item.key)
        new = come if come is not None and mix.periods and come > min(p.since for p in mix.periods) else None
        drinks.append(_drink(item, row, spot, agrees, new, section, judging, least, beside.on_target.get(item.key)))
    return Section(
        menu=section.menu, name=section.name, items=items, unpriced=unpriced, engineered=found, why="",
        drinks=tuple(drinks), methods=by, margin_band=drawn.margin_cut, enough=least,
    )  # fmt: skip


def _labour_beside(mix: Mix, labour: Sequence[float]) -> bool:
    """Whether labour is known and not in the cost already."""
    return "labour" not in mix.base and any(labour) and all(money >= 0.0 for money in labour)


def _drink(
    item: Item, row: Row, spot: Spot | None, agrees: Agreement, new: date | None, section: Section, judging: Judging,
    least: int, on_target: bool | None,
) -> Judged:  # fmt: skip
    found = section.engineered
    if row.klass is None or row.mix is None or found.Q is None:
        raise ValueError(f"{row.name} has no class")
    level, total = float(judging.sure), found.N
    needed = sales_needed(row.mix, found.Q, found.n, level)
    few = spot is None or new is not None or total < least
    sure = not few and spot is not None and section.complete and spot.chances[row.klass] >= level
    labour = agrees.cells.get("labour")
    advice = advise(
        Standing(
            klass=row.klass, chances=spot.chances if spot else {}, sure=sure, too_few=few, counted=spot is not None,
            new=new, total=total, needed=needed if needed is None else max(needed, least), margin=row.margin,
            level=level, on_target=on_target,
            left_after_labour=labour.figures[1] if labour else None, labour_class=_class_in(labour),
            complete=item.complete, beside=section.complete,
        )
    )  # fmt: skip
    return Judged(
        item=item, row=row, klass=row.klass, state="few" if few else "sure" if sure else "borderline", spot=spot,
        share=wilson(row.sold, total), needed=needed, new=new, agreement=agrees, advice=advice,
    )  # fmt: skip


def _class_in(cell: Cell | None) -> Klass | None:
    return next((klass for klass in CLASSES if cell is not None and cell.cell == klass), None)
