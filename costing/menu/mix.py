"""What was sold beside what it costs and brings: the one table that the menu is judged and decided by.

A drink on two menus is a row on each, with what was sold there; what a till does not tell apart by menu counts on the
first menu that prints a price for it. What a drink brings is what was paid for it where the till says so, else its
printed price without tax.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from functools import cached_property

from costing.book.book import Book
from costing.book.money import to_float
from costing.book.records import Layer
from costing.book.selling import SalesPeriod, Sold, SoldAt
from costing.ledger.lines import Line
from costing.ledger.reckon import Reckoning
from costing.pricing.menu import PricedServe, priced_serves

WEEK = 7.0
RECENT = 28
"""Days of sales that "a month at the current mix" stands on, where periods are shorter."""


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
    no row, because no menu of the day prints them. ``joined`` are (id of a menu, drinks) that a till sold from a menu
    which does not print them on the day, and which are counted on the first that does."""

    day: date
    periods: tuple[SalesPeriod, ...]
    items: tuple[Item, ...]
    without: tuple[str, ...]
    base: tuple[Layer, ...]
    joined: tuple[tuple[str, float], ...] = ()

    @property
    def days(self) -> int:
        """Days that the periods cover; one that two outlets sold on is one day."""
        covered, end = 0, date.min
        for period in sorted(self.periods, key=lambda p: p.since):
            first = max(period.since, end + timedelta(days=1)) if end > date.min else period.since
            covered += max(0, (period.until - first).days + 1)
            end = max(end, period.until)
        return covered

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


def recent_sales(book: Book, day: date) -> SalesPeriod | None:
    """What was sold last, as one period: those that ended by the day with anything sold, and begin within the four
    weeks up to the end of the last of them; one that is longer than that stands alone. None where none ended."""
    ended = [p for p in ended_periods(book, day) if any(s.count for s in p.sold)]
    if not ended:
        return None
    last = max(ended, key=lambda p: (p.until, p.id))
    return merged([p for p in ended if p is last or (last.until - p.since).days < RECENT])


def merged(periods: Sequence[SalesPeriod]) -> SalesPeriod:
    """Several periods as one: counts by serve and menu. What was paid is known only where it is known of all of a
    line's. ValueError for none."""
    if not periods:
        raise ValueError("no period is nothing to put together")
    if len(periods) == 1:
        return periods[0]
    lines: dict[tuple[str, str], Sold] = {}
    for sold in (line for period in periods for line in period.sold):
        old = lines.get((sold.serve, sold.menu))
        lines[sold.serve, sold.menu] = sold if old is None else _added(old, sold)
    ordered = sorted(periods, key=lambda p: (p.since, p.id))
    return SalesPeriod(
        id="+".join(p.id for p in ordered), since=ordered[0].since, until=max(p.until for p in ordered),
        sold=tuple(lines.values()), source=", ".join(dict.fromkeys(p.source for p in ordered if p.source)),
    )  # fmt: skip


def _added(one: Sold, two: Sold) -> Sold:
    paid: dict[Decimal, Decimal] = {}
    for at in (*one.prices, *two.prices):
        paid[at.each] = paid.get(at.each, Decimal(0)) + at.count
    return Sold(
        serve=one.serve, menu=one.menu, count=one.count + two.count,
        net=one.net + two.net if one.net is not None and two.net is not None else None,
        given=one.given + two.given, wasted=one.wasted + two.wasted, refunded=one.refunded + two.refunded,
        prices=tuple(SoldAt(each=e, count=c) for e, c in sorted(paid.items(), key=lambda pair: -pair[1])),
        days=one.days + two.days,
    )  # fmt: skip


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
    joined: dict[str, Decimal] = {}
    for period in stood:
        for line in period.sold:
            menu = line.menu if (line.menu, line.serve) in on else home.get(line.serve, "")
            if menu and line.menu not in ("", menu):
                joined[line.menu] = joined.get(line.menu, Decimal(0)) + line.count
            if menu:
                sold.setdefault((menu, line.serve), []).append(line)
            elif line.count:
                found = view.serves.get(line.serve)
                lost[found[0].name if found else line.serve] = None
    hours = _Hours(reckoning)
    items = tuple(_item(reckoning, p, sold.pop((p.menu, p.serve.id), []), hours) for p in priced)
    base = view.terms.base if view.terms is not None else ("materials",)
    return Mix(view.day, stood, items, tuple(lost), tuple(base), _joined(joined))


def _joined(counts: Mapping[str, Decimal]) -> tuple[tuple[str, float], ...]:
    return tuple((menu, to_float(count)) for menu, count in counts.items() if count)


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
