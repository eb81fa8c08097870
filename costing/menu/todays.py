"""What was sold, at the prices and taxes of today: what a decision of today stands on.

A till says what was paid, at the price that was printed then. Where a price or a tax moved since, that is no longer
what a drink brings: what guests paid below the printed price (an offer, a round) is kept as a share of it, and the
share is taken of the price of today. Costs are those of today already. What happened stays as it was paid: menu
engineering and the bridge between two periods do not ask here.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

from costing.book.book import View
from costing.book.money import to_float
from costing.book.records import MenuLine, Terms
from costing.book.selling import SalesPeriod, Sold
from costing.ledger.reckon import Reckoning
from costing.menu.mix import Item, Mix
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
    items, sold = list(mix.items), _sold(mix)
    for n in moved:
        item = items[n]
        items[n] = replace(item, net=_net(view, lines[item.key], item, sold.get((item.menu, item.serve), ())))
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


def _sold(mix: Mix) -> dict[tuple[str, str], list[tuple[SalesPeriod, Sold]]]:
    """What was sold by menu and drink, as ``menu_mix`` counts it."""
    on = {(i.menu, i.serve) for i in mix.items}
    home: dict[str, str] = {}
    for item in mix.items:
        if item.listed is not None:
            home.setdefault(item.serve, item.menu)
    out: dict[tuple[str, str], list[tuple[SalesPeriod, Sold]]] = {}
    for period in mix.periods:
        for sold in period.sold:
            menu = sold.menu if (sold.menu, sold.serve) in on else home.get(sold.serve, "")
            out.setdefault((menu, sold.serve), []).append((period, sold))
    return out


def _turns(view: View, line: MenuLine) -> list[date]:
    """Days on which its price or the house's terms begin."""
    return [p.since for p in line.prices] + [t.since for t in _terms(view)]


def _terms(view: View) -> Sequence[Terms]:
    house = view.book.house
    return house.terms if house is not None else ()


def _net(view: View, line: MenuLine, item: Item, sold: Iterable[tuple[SalesPeriod, Sold]]) -> float:
    """The mean of what was paid, each time at the price of today."""
    today = to_float(item.listed_net or Decimal(0))
    whole = money = 0.0
    for period, one in sold:
        count, paid = to_float(one.count), to_float(one.net) if one.net is not None else None
        then = _printed(view, line, period) if paid is not None else None
        whole += count
        money += count * today if paid is None else paid * today / then if then else paid
    return money / whole if whole > 0 else item.net


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
