"""Drinks and hours of the book as products and resources: what the best mix stands on.

The margin that decides between drinks is net less what varies with each drink: materials and energy. Hours of machines
and of people are paid whether they are used or not, they are what is short, and their worth comes out as the value of
one more hour; inside the margin they would count twice. A house that pays by the hour used says so (``varying``).

What was sold stands for what guests ask for. A till does not know what was asked for and could not be made, so a house
that sold out says by how much ``more``.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from costing.book.records import Layer
from costing.ledger.reckon import Reckoning
from costing.menu.batch_rows import PREP, batch_rows, machines_of, serve_row, within_days
from costing.menu.batches_mix import Batch, needs_of
from costing.menu.capacity_rank import Product, Resource
from costing.menu.mix import WEEK, Item, Mix
from costing.menu.todays import todays
from costing.tongue import say

VARYING: tuple[Layer, ...] = ("materials", "energy")
"""Layers of cost that a drink more adds to and a drink less saves."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unsaid:
    """A resource whose hours nobody said: it binds nothing. ``wanted`` are those that meeting all demand takes;
    ``machines`` are ids of the machines without hours (none for people)."""

    id: str
    name: str
    wanted: float
    machines: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Capacity:
    """Products by ``Item.key`` and resources by the good that is a machine's hour, or ``PREP``, for ``weeks`` weeks.

    ``serves`` says which drink a product is. ``unsaid`` are resources that drinks need and nobody said the hours of;
    ``not_followed`` machines with hours of which no drink's hours are known, because no good is their hour;
    ``at_most`` names of drinks whose margin is at most that, a component having no price; ``without_price`` names of
    drinks left out, none being sold and no price printed.
    """

    weeks: float
    products: tuple[Product, ...]
    serves: Mapping[str, str]
    resources: tuple[Resource, ...]
    unsaid: tuple[Unsaid, ...] = ()
    not_followed: tuple[str, ...] = ()
    at_most: tuple[str, ...] = ()
    without_price: tuple[str, ...] = ()


def decision_margin(item: Item, varying: Sequence[Layer] = VARYING) -> float:
    """Money that one drink more brings: net less the layers that vary with it."""
    return item.net - sum(item.layers[layer] for layer in varying)


def capacity_of(
    mix: Mix,
    reckoning: Reckoning,
    *,
    weeks: float | None = None,
    more: float = 0.0,
    hours: Mapping[str, float] | None = None,
    prep_hours: float | None = None,
    least: Mapping[str, float] | None = None,
    varying: Sequence[Layer] = VARYING,
) -> Capacity:
    """The drinks of the mix and the hours of the house for ``weeks`` weeks (as many as the periods cover).

    Demand is what was sold, at the same pace, ``more`` of it on top (0.1: a tenth), and at the prices of the day.
    ``hours`` a week by equipment id and ``prep_hours`` a week stand in the place of the book's; ``least`` are drinks
    promised in those weeks, by ``Item.key``. ValueError without sales, and for weeks or a share that cannot be.
    """
    if mix.days <= 0:
        raise ValueError(say("no sales stand behind this: type or read in what was sold in a period first"))
    mix = todays(reckoning, mix)
    period = mix.weeks if weeks is None else weeks
    if not 0 < period <= 1000:
        raise ValueError(say("{weeks} weeks must lie above 0 and at most 1000", weeks=f"{period:g}"))
    if not -1 <= more <= 100:
        raise ValueError(say("{more} more must lie from -1 to 100 (0.1 is a tenth more)", more=f"{more:g}"))
    kept = [i for i in mix.items if i.sold > 0 or i.listed is not None]
    scale = period / mix.weeks * (1.0 + more)
    products, serves = _products(kept, reckoning, scale, varying)
    products = tuple(replace(p, least=(least or {}).get(p.key, 0.0)) for p in products)
    resources, unsaid, unfollowed = _resources(reckoning, products, period, hours or {}, prep_hours)
    return Capacity(
        weeks=period, products=products, serves=serves, resources=resources, unsaid=unsaid, not_followed=unfollowed,
        at_most=_names(i for i in kept if not i.complete),
        without_price=_names(i for i in mix.items if i.sold <= 0 and i.listed is None),
    )  # fmt: skip


def in_batches(capacity: Capacity, reckoning: Reckoning) -> tuple[tuple[Product, ...], tuple[Batch, ...]]:
    """The same drinks with the batches they take from: what is left of a product's own hours is what the bar keeps a
    machine busy with. Shelf lives cut what a batch can serve, at the pace of what guests ask for."""
    machines, rows = machines_of(reckoning), batch_rows(reckoning)
    products = []
    for p in capacity.products:
        made, bought = serve_row(reckoning, capacity.serves[p.key])
        own = {good: amount for good, amount in bought.items() if good in machines}
        products.append(replace(p, hours=own, takes=made))
    needs = needs_of(products, [p.demand for p in products])
    return tuple(products), within_days(rows, reckoning, needs, capacity.weeks * WEEK)


def _products(
    items: Sequence[Item], reckoning: Reckoning, scale: float, varying: Sequence[Layer]
) -> tuple[tuple[Product, ...], dict[str, str]]:
    twice = {i.name for i in items if sum(other.name == i.name for other in items) > 1}
    out: list[Product] = []
    serves: dict[str, str] = {}
    for item in items:
        key, n = item.key, 1
        while key in serves:  # one drink on two lines of a section
            n += 1
            key = f"{item.key} {n}"
        serves[key] = item.serve
        menu = reckoning.view.menus[item.menu].name if item.menu in reckoning.view.menus else item.menu
        out.append(
            Product(
                id=key, name=f"{item.name} ({menu})" if item.name in twice else item.name,
                margin=decision_margin(item, varying), demand=item.sold * scale,
                hours={**item.machine_hours, PREP: item.prep_hours},
            )
        )  # fmt: skip
    return tuple(out), serves


def _resources(
    reckoning: Reckoning,
    products: Sequence[Product],
    weeks: float,
    given: Mapping[str, float],
    prep_hours: float | None,
) -> tuple[tuple[Resource, ...], tuple[Unsaid, ...], tuple[str, ...]]:
    equipment, house = reckoning.view.equipment, reckoning.view.book.house
    for ident in given:
        if ident not in equipment:
            raise ValueError(say("there is no {kind} {id} in the book", kind="equipment", id=ident))
    said = {m.id: float(m.hours) for m in equipment.values() if m.hours is not None} | dict(given)
    people = prep_hours if prep_hours is not None else house.prep_hours if house is not None else None
    resources: list[Resource] = []
    unsaid: list[Unsaid] = []
    for good, pool in machines_of(reckoning).items():
        name = " + ".join(equipment[m].name for m in pool)
        silent = tuple(m for m in pool if m not in said)
        if not silent:
            resources.append(Resource(id=good, name=name, hours=weeks * sum(said[m] for m in pool)))
        elif _wanted(products, good) > 0:
            unsaid.append(Unsaid(id=good, name=name, wanted=_wanted(products, good), machines=silent))
    if people is not None:
        resources.append(Resource(id=PREP, name=say("people preparing"), hours=weeks * float(people)))
    elif _wanted(products, PREP) > 0:
        unsaid.append(Unsaid(id=PREP, name=say("people preparing"), wanted=_wanted(products, PREP)))
    unfollowed = tuple(m.name for m in equipment.values() if m.id in said and not m.hour)
    return tuple(resources), tuple(unsaid), unfollowed


def _wanted(products: Sequence[Product], key: str) -> float:
    return sum(p.demand * p.hours.get(key, 0.0) for p in products)


def _names(items: Iterable[Item]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(i.name for i in items))
