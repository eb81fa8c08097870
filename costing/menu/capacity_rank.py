"""Products, scarce hours, and the two plain ways to fill them: by margin an hour, and by margin a drink.

Where one machine alone is short, filling by margin per hour of it is the best there is; filling by margin a drink is
what is done without thinking of the machine, and stands beside the best mix to show what that costs.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from math import inf, isfinite

from costing.tongue import say

NEAR = 1e-9
"""Relative: hours and amounts closer than this are equal; they are sums in float64."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Product:
    """One thing that can be made and sold: money each, ``hours`` of each resource each, how many guests ask for in the
    period (``demand``) and how many are promised (``least``).

    ``takes`` are amounts each of what is made in batches (``batches_mix``), in base units. ``id`` tells two of one name
    apart. Hours of what is no resource bind nothing.
    """

    name: str
    margin: float
    demand: float
    hours: Mapping[str, float] = field(default_factory=dict)
    least: float = 0.0
    takes: Mapping[str, float] = field(default_factory=dict)
    id: str = ""

    @property
    def key(self) -> str:
        """What it goes by: the id, else the name."""
        return self.id or self.name


@dataclass(frozen=True, slots=True, kw_only=True)
class Resource:
    """What is short: the hours of a machine, or of people, in the period."""

    name: str
    hours: float
    id: str = ""

    @property
    def key(self) -> str:
        """What products name it by: the id, else the name."""
        return self.id or self.name


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """How many of a product are made; ``short`` is how many more guests would have taken."""

    product: Product
    amount: float

    @property
    def short(self) -> float:
        """How many more guests would have taken."""
        return max(0.0, self.product.demand - self.amount)

    @property
    def margin(self) -> float:
        """What they earn."""
        return self.amount * self.product.margin


@dataclass(frozen=True, slots=True, kw_only=True)
class Ranked:
    """A product by what it earns per hour of one resource: infinite where it needs none and earns, minus infinite where
    it needs none and loses."""

    product: Product
    hours: float
    per_hour: float


def checked(products: Iterable[Product], resources: Iterable[Resource]) -> None:
    """ValueError names what cannot be: figures that are none, negative hours, less asked for than is promised, two of
    one name."""
    seen: set[str] = set()
    for p in products:
        figures = (p.margin, p.demand, p.least, *p.hours.values(), *p.takes.values())
        if not all(isfinite(v) for v in figures) or min(p.demand, p.least, *p.hours.values(), *p.takes.values()) < 0:
            raise ValueError(say("{name}: amounts and hours must be numbers from 0 on", name=p.name))
        if p.least > p.demand * (1 + NEAR):
            raise ValueError(
                say("{name}: {least} are promised and only {demand} asked for: raise what is asked for", name=p.name,
                    least=_short(p.least), demand=_short(p.demand))
            )  # fmt: skip
        _once(p.key, seen)
    for r in resources:
        if not isfinite(r.hours) or r.hours < 0:
            raise ValueError(say("{name}: hours must be a number from 0 on, not {hours}", name=r.name, hours=r.hours))
        _once(f"resource {r.key}", seen)


def promised(products: Sequence[Product], resources: Iterable[Resource]) -> None:
    """ValueError names the resource that what is promised alone takes more of than there is."""
    for r in resources:
        taken = sum(p.least * p.hours.get(r.key, 0.0) for p in products)
        if taken > r.hours * (1 + NEAR):
            raise ValueError(
                say("{name}: what is promised takes {taken} hours and {hours} are there: promise less or add hours",
                    name=r.name, taken=_short(taken), hours=_short(r.hours))
            )  # fmt: skip


def ranked(products: Iterable[Product], resource: str) -> tuple[Ranked, ...]:
    """Products by margin per hour of a resource, the highest first; of equals the one that earns more each."""
    rows = [Ranked(product=p, hours=p.hours.get(resource, 0.0), per_hour=_rate(p, resource)) for p in products]
    return tuple(sorted(rows, key=lambda r: (-r.per_hour, -r.product.margin)))


def greedy(products: Sequence[Product], resource: Resource) -> tuple[Made, ...]:
    """The mix when only ``resource`` is short: filled by margin per hour of it. Best for one resource, and for no
    more."""
    checked(products, (resource,))
    promised(products, (resource,))
    return filled(products, (resource,), [r.product for r in ranked(products, resource.key)])


def by_margin_each(products: Sequence[Product], resources: Sequence[Resource]) -> tuple[Made, ...]:
    """The mix when drinks are filled by margin each, as far as the hours go."""
    return filled(products, resources, sorted(products, key=lambda p: -p.margin))


def filled(products: Sequence[Product], resources: Sequence[Resource], order: Iterable[Product]) -> tuple[Made, ...]:
    """What is promised first, then each product in ``order`` as far as all hours allow, in the order of ``products``.
    One that earns nothing is made no more than promised."""
    free = {r.key: r.hours - sum(p.least * p.hours.get(r.key, 0.0) for p in products) for r in resources}
    amounts = {p.key: p.least for p in products}
    for p in order:
        if p.margin <= 0:
            continue
        most = p.demand - p.least
        for key, left in free.items():
            if p.hours.get(key, 0.0) > 0:
                most = min(most, max(0.0, left) / p.hours[key])
        amounts[p.key] += most
        for key in free:
            free[key] -= most * p.hours.get(key, 0.0)
    return tuple(Made(product=p, amount=amounts[p.key]) for p in products)


def margin_of(made: Iterable[Made]) -> float:
    """What a mix earns."""
    return sum(m.margin for m in made)


def hours_in(made: Iterable[Made], resource: str) -> float:
    """Hours of a resource that a mix takes."""
    return sum(m.amount * m.product.hours.get(resource, 0.0) for m in made)


def _rate(product: Product, resource: str) -> float:
    hours = product.hours.get(resource, 0.0)
    if hours > 0:
        return product.margin / hours
    return inf if product.margin > 0 else -inf if product.margin < 0 else 0.0


def _once(key: str, seen: set[str]) -> None:
    if key in seen:
        raise ValueError(say("two are called {name}: give each a name of its own", name=key))
    seen.add(key)


def _short(value: float) -> str:
    return f"{value:.4g}" if abs(value) < 10_000 else f"{value:.0f}"
