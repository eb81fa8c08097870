"""What was sold beside what it costs and brings: the one table that the menu is judged and decided by.

A drink on two menus is a row on each, with what was sold there; what a till does not tell apart by menu counts on the
first menu that prints a price for it. What a drink brings is what was paid for it where the till says so, else its
printed price without tax.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cached_property

from costing.book.book import Book
from costing.book.money import to_float
from costing.book.records import Layer
from costing.book.selling import SalesPeriod, Sold
from costing.ledger.lines import Line
from costing.ledger.reckon import Reckoning
from costing.pricing.menu import PricedServe, priced_serves

WEEK = 7.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One drink on one section of a menu, as the periods sold it.

    ``cost`` and ``net`` are money a drink (cost in the house's base layers, at least where ``complete`` is false; net
    as paid on average); ``listed`` is the printed all-in price and ``listed_net`` what that leaves (None: no price).
    ``prep_hours`` and ``service_hours`` are people's hours a drink, in its preparations and at the bar;
    ``machine_hours`` are by the good that is a machine's hour. ``layers`` are the money of each layer a drink.
    """

    serve: str
    name: str
    menu: str
    section: str
    sold: float
    cost: float
    net: float
    listed: Decimal | None = None
    listed_net: Decimal | None = None
    complete: bool = True
    days: int = 0
    prep_hours: float = 0.0
    service_hours: float = 0.0
    machine_hours: Mapping[str, float]
    layers: Mapping[Layer, float]

    @property
    def margin(self) -> float:
        """Contribution margin a drink."""
        return self.net - self.cost

    @property
    def key(self) -> str:
        """Which row of the menu it is."""
        return f"{self.menu}/{self.section}/{self.serve}"


@dataclass(frozen=True)
class Mix:
    """The rows in menu order with the periods they stand on. ``without`` are names of drinks that were sold and are in
    no row, because no menu of the day prints them."""

    day: date
    periods: tuple[SalesPeriod, ...]
    items: tuple[Item, ...]
    without: tuple[str, ...]
    base: tuple[Layer, ...]

    @property
    def days(self) -> int:
        """Days that the periods cover."""
        return sum(p.days for p in self.periods)

    @property
    def weeks(self) -> float:
        """The same in weeks."""
        return self.days / WEEK

    @cached_property
    def sections(self) -> Mapping[tuple[str, str], tuple[Item, ...]]:
        """Rows by (menu, section): each is a competing set."""
        out: dict[tuple[str, str], tuple[Item, ...]] = {}
        for item in self.items:
            key = item.menu, item.section
            out[key] = (*out.get(key, ()), item)
        return out

    @property
    def margin(self) -> float:
        """What all rows earned."""
        return sum(i.sold * i.margin for i in self.items)

    @property
    def pour_cost(self) -> float | None:
        """Cost over net sales of all rows; None where nothing was sold."""
        net = sum(i.sold * i.net for i in self.items)
        return sum(i.sold * i.cost for i in self.items) / net if net else None


def ended_periods(book: Book, day: date, last: int | None = None) -> tuple[SalesPeriod, ...]:
    """Periods that ended by ``day``, the earliest first; of these only those that begin within ``last`` days before
    the end of the latest one."""
    found = sorted((p for p in book.all(SalesPeriod).values() if p.until <= day), key=lambda p: (p.since, p.id))
    if last is None or not found:
        return tuple(found)
    end = max(p.until for p in found)
    return tuple(p for p in found if (end - p.since).days < last)


def menu_mix(reckoning: Reckoning, periods: Iterable[SalesPeriod]) -> Mix:
    """The rows of every menu in force on the day of the reckoning, with what these periods sold."""
    stood = tuple(periods)
    view = reckoning.view
    priced = [p for p in priced_serves(reckoning) if p.menu]
    home: dict[str, str] = {}
    for p in priced:
        if p.price is not None:
            home.setdefault(p.serve.id, p.menu)
    on = {(p.menu, p.serve.id) for p in priced}
    sold: dict[tuple[str, str], list[Sold]] = {}
    lost: dict[str, None] = {}
    for period in stood:
        for line in period.sold:
            menu = line.menu if (line.menu, line.serve) in on else home.get(line.serve, "")
            if menu:
                sold.setdefault((menu, line.serve), []).append(line)
            elif line.count:
                found = view.serves.get(line.serve)
                lost[found[0].name if found else line.serve] = None
    hours = _Hours(reckoning)
    items = tuple(_item(reckoning, p, sold.pop((p.menu, p.serve.id), []), hours) for p in priced)
    base = view.terms.base if view.terms is not None else ("materials",)
    return Mix(view.day, stood, items, tuple(lost), tuple(base))


def _item(reckoning: Reckoning, priced: PricedServe, lines: Iterable[Sold], hours: "_Hours") -> Item:
    lines = tuple(lines)
    count = sum((line.count for line in lines), Decimal(0))
    listed = priced.price
    paid = Decimal(0)
    for line in lines:
        paid += line.net if line.net is not None else line.count * (listed.net if listed else Decimal(0))
    each = paid / count if count > 0 else (listed.net if listed else Decimal(0))
    prep, service, machines = hours.of(priced.line)
    cost = priced.cost
    return Item(
        serve=priced.serve.id, name=priced.serve.name, menu=priced.menu, section=priced.section,
        sold=max(0.0, to_float(count)), cost=priced.base, net=to_float(each), listed=listed.all_in if listed else None,
        listed_net=listed.net if listed else None, complete=cost.complete, days=sum(line.days for line in lines),
        prep_hours=prep, service_hours=service, machine_hours=machines,
        layers={"materials": cost.of(("materials",)), "energy": cost.of(("energy",)),
                "machine": cost.of(("machine",)), "labour": cost.of(("labour",))},
    )  # fmt: skip


class _Hours:
    """Hours of people and machines inside a drink."""

    def __init__(self, reckoning: Reckoning) -> None:
        self.reckoning = reckoning
        goods = reckoning.view.goods
        self.people = {g.id for g in goods.values() if g.kind == "labour"}
        self.machines = {m.hour for m in reckoning.view.equipment.values() if m.hour}

    def of(self, line: Line | None) -> tuple[float, float, Mapping[str, float]]:
        """(hours of people in preparations, at the bar, hours of machines by good) of one drink."""
        if line is None:
            return 0.0, 0.0, {}
        row = line.carried.row
        inside = self.reckoning.contents(line.carried).row
        service = sum(amount for good, amount in row.items() if good in self.people)
        people = sum(amount for good, amount in inside.items() if good in self.people)
        machines = {good: amount for good, amount in inside.items() if good in self.machines and amount}
        return people - service, service, machines
