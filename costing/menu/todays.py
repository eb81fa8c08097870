"""What was sold, at the prices and taxes of today: what a decision of today stands on.

A till says what was paid, at the price that was printed then. Where a price or a tax moved since, that is no longer
what a drink brings: what guests paid below the printed price (an offer, a round) is kept as a share of it, and the
share is taken of the price of today. Costs are those of today already. What happened stays as it was paid: menu
engineering and the bridge between two periods do not ask here.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, timedelta

from costing.book.book import View
from costing.book.money import to_float
from costing.book.records import MenuLine, Terms
from costing.book.selling import SalesPeriod
from costing.ledger.reckon import Reckoning
from costing.menu.mix import Item, Mix, menu_mix
from costing.pricing.levies import net_of


def todays(reckoning: Reckoning, mix: Mix) -> Mix:
    """The mix, or some rows of it, with what each drink brings at the prices of its day; the same object where nothing
    moved since its first period. ``reckoning`` is the one that the mix was made of. Drinks of which only counts are
    known stand at the price of today already, and one whose price then nobody knows stays as it was paid."""
    if not mix.periods:
        return mix
    view, first, lines = reckoning.view, min(p.since for p in mix.periods), menu_lines(reckoning.view)
    moved = [
        n for n, item in enumerate(mix.items)
        if item.sold and item.listed_net and any(first < day <= mix.day for day in _turns(view, lines[item.key]))
    ]  # fmt: skip
    if not moved:
        return mix
    items = list(mix.items)
    parts = [(p, _by_key(menu_mix(reckoning, (p,)).items)) for p in mix.periods]
    for n in moved:
        key = items[n].key
        items[n] = replace(items[n], net=_net(view, lines[key], [(p, rows[key]) for p, rows in parts]))
    return replace(mix, items=tuple(items)) if tuple(items) != mix.items else mix


def menu_lines(view: View) -> dict[str, MenuLine]:
    """The lines of the menus of the day by ``Item.key``; of two for one drink in one section the first, which has what
    was sold."""
    out: dict[str, MenuLine] = {}
    for menu in view.menus.values():
        for section in menu.sections:
            for line in section.lines:
                out.setdefault(f"{menu.id}/{section.name}/{line.serve}", line)
    return out


def _by_key(items: Iterable[Item]) -> dict[str, Item]:
    out: dict[str, Item] = {}
    for item in items:
        out.setdefault(item.key, item)
    return out


def _turns(view: View, line: MenuLine) -> list[date]:
    """Days on which its price or the house's terms begin."""
    return [p.since for p in line.prices] + [t.since for t in _terms(view)]


def _terms(view: View) -> Sequence[Terms]:
    house = view.book.house
    return house.terms if house is not None else ()


def _net(view: View, line: MenuLine, parts: Sequence[tuple[SalesPeriod, Item]]) -> float:
    """The mean of what the periods were paid, each at the price of today."""
    whole = money = 0.0
    for period, item in parts:
        then = _printed(view, line, period) if _paid(view, period, item) else None
        share = to_float(item.listed_net) / then if then and item.listed_net is not None else 1.0
        whole, money = whole + item.sold, money + item.sold * item.net * share
    return money / whole


def _paid(view: View, period: SalesPeriod, item: Item) -> bool:
    """Whether the period knows what was paid for it, and not only how many."""
    return any(
        s.net is not None and s.serve == item.serve and (s.menu == item.menu or s.menu not in view.menus)
        for s in period.sold
    )


def _printed(view: View, line: MenuLine, period: SalesPeriod) -> float | None:
    """What the printed price left on average over the days of a period; None where none was printed then."""
    ends = period.until + timedelta(days=1)
    turns = sorted({period.since, *(d for d in _turns(view, line) if period.since < d < ends)})
    days, money = 0, 0.0
    for begins, until in zip(turns, [*turns[1:], ends], strict=True):
        price = max((p for p in line.prices if p.since <= begins), key=lambda p: p.since, default=None)
        terms = max((t for t in _terms(view) if t.since <= begins), key=lambda t: t.since, default=None)
        if price is not None:
            held = (until - begins).days
            days, money = days + held, money + held * to_float(net_of(price.price, terms.levies if terms else ()))
    return money / days if money else None
