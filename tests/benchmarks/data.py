"""Random books of a given size: recipes as a person writes them, and the direct rows that they come to.

A random graph, not a real bar's book, and without the physics of stages: every level 1 to 12 is occupied, level sizes
fall by 0.62, a preparation takes 2 to 12 inputs and a drink 3 to 10, one line in eight crosses between weight and
volume by density, yields are 0.35 to 0.98.
"""

import random
from dataclasses import dataclass
from typing import Literal

from costing.book.records import LAYERS, Layer
from costing.ledger.rows import Carried

Base = Literal["kg", "l", "each"]
Size = Literal["bar", "group", "stress"]
SIZES: dict[Size, tuple[int, int, int]] = {
    "bar": (200, 80, 60),
    "group": (5_000, 2_000, 1_500),
    "stress": (100_000, 50_000, 50_000),
}
"""Goods, preparations, drinks."""
DEPTH = 12
SHRINK = 0.62
ACROSS = 0.12
BOUGHT = 0.7
"""Share of a preparation's inputs that are goods, beside the one input from the level just below."""

UNITS: dict[str, tuple[Base, str]] = {
    "g": ("kg", "0.001"),
    "kg": ("kg", "1"),
    "oz": ("kg", "0.028349523125"),
    "lb": ("kg", "0.45359237"),
    "ml": ("l", "0.001"),
    "l": ("l", "1"),
    "fl oz": ("l", "0.0295735295625"),
    "dash": ("l", "0.0008"),
    "each": ("each", "1"),
}
"""Base unit and how much of it: pound and fluid ounce by NIST Handbook 44 appendix C; a dash of 0.8 ml is made up."""
BY_BASE: dict[Base, tuple[str, ...]] = {
    base: tuple(unit for unit, (of, _) in UNITS.items() if of == base) for base in ("kg", "l", "each")
}
FACTOR = {unit: float(text) for unit, (_, text) in UNITS.items()}


@dataclass(frozen=True, slots=True)
class Item:
    """A recipe as written: lines (source, quantity, unit), the batch they make before loss, and the yield. The result
    is ``batch * kept`` in the item's base unit."""

    lines: tuple[tuple[str, float, str], ...]
    batch: float
    kept: float


@dataclass(frozen=True, slots=True)
class Written:
    """A book. ``items`` stand inputs first, drinks last; every figure is a short decimal, exact by its text."""

    prices: dict[str, float]
    layers: dict[str, Layer]
    base: dict[str, Base]
    density: dict[str, float]
    items: dict[str, Item]
    drinks: tuple[str, ...]
    level: dict[str, int]

    def amount(self, source: str, quantity: float, unit: str) -> float:
        """A quantity in base units of its source."""
        amount = quantity * FACTOR[unit]
        of = UNITS[unit][0]
        if of != self.base[source]:
            amount = amount * self.density[source] if of == "l" else amount / self.density[source]
        return amount

    def direct(self) -> dict[str, Carried]:
        """Direct rows per base unit of every item, inputs first: what the ledger would hand to the roll-up."""
        return {
            name: Carried({s: self.amount(s, q, u) / (item.batch * item.kept) for s, q, u in item.lines})
            for name, item in self.items.items()
        }

    def goods(self) -> dict[str, tuple[Layer, float | None]]:
        """Layer and price of every good."""
        return {good: (self.layers[good], price) for good, price in self.prices.items()}


def written(size: Size, seed: int = 20_261) -> Written:
    """The book of a size; the same seed gives the same book."""
    goods, preparations, drinks = SIZES[size]
    rng = random.Random(seed)
    base: dict[str, Base] = {}
    density: dict[str, float] = {}

    def named(name: str) -> str:
        base[name] = rng.choices(("kg", "l", "each"), (45, 45, 10))[0]
        density[name] = round(rng.uniform(0.78, 1.35), 3)
        return name

    bought = [named(f"g{n}") for n in range(goods)]
    prices = {good: round(rng.lognormvariate(2.0, 1.0), 2) + 0.01 for good in bought}
    layers = {good: rng.choices(LAYERS, (91, 3, 3, 3))[0] for good in bought}
    by_level: list[list[str]] = [bought]
    level = dict.fromkeys(bought, 0)
    items: dict[str, Item] = {}
    below: list[str] = []
    for depth, count in enumerate(_level_sizes(preparations), start=1):
        made = [named(f"p{depth}.{n}") for n in range(count)]
        for name in made:
            wanted = rng.randint(2, 12)
            sources = {rng.choice(by_level[-1])}
            while len(sources) < wanted:
                sources.add(rng.choice(bought if not below or rng.random() < BOUGHT else below))
            items[name] = _item(rng, sorted(sources), base)
            level[name] = depth
        below += made
        by_level.append(made)
    served = tuple(named(f"d{n}") for n in range(drinks))
    for name in served:
        wanted, sources = rng.randint(3, 10), {rng.choice(below)}
        while len(sources) < wanted:
            sources.add(rng.choice(below if rng.random() < 0.5 else bought))
        items[name] = _item(rng, sorted(sources), base)
        level[name] = 1 + max(level[source] for source in sources)
    return Written(prices, layers, base, density, items, served, level)


def _level_sizes(total: int) -> list[int]:
    weights = [SHRINK**n for n in range(DEPTH)]
    sizes = [max(1, round(total * w / sum(weights))) for w in weights]
    sizes[0] += total - sum(sizes)
    return sizes


def _item(rng: random.Random, sources: list[str], base: dict[str, Base]) -> Item:
    lines = []
    rng.shuffle(sources)
    for source in sources:
        own = base[source]
        other: dict[Base, Base] = {"kg": "l", "l": "kg"}
        unit = rng.choice(BY_BASE[other[own] if own in other and rng.random() < ACROSS / 0.9 else own])
        lines.append((source, round(rng.uniform(0.02, 2.0) / FACTOR[unit], 3), unit))
    held = sum(quantity * FACTOR[unit] for _, quantity, unit in lines)
    return Item(tuple(lines), round(held, 3), round(rng.uniform(0.35, 0.98), 3))
