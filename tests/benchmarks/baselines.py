"""The plain ways that the engine is measured against. Frozen: written from scratch for this purpose, never made
faster, never imported by the product. Each is what a careful person writes first.
"""

import math
from collections.abc import Iterable, Mapping
from decimal import Decimal
from fractions import Fraction

from costing.book.records import LAYERS
from tests.benchmarks.data import FACTOR, UNITS, Written

_OF = {unit: base for unit, (base, _) in UNITS.items()}


def roll_up(book: Written, prices: Mapping[str, float]) -> dict[str, float]:
    """B: money per base unit of everything, recursion over the recipes with a memo, float."""
    base, density, items = book.base, book.density, book.items
    memo: dict[str, float] = dict(prices)

    def cost(name: str) -> float:
        known = memo.get(name)
        if known is not None:
            return known
        item = items[name]
        total = 0.0
        for source, quantity, unit in item.lines:
            amount = quantity * FACTOR[unit]
            of = _OF[unit]
            if of != base[source]:
                amount = amount * density[source] if of == "l" else amount / density[source]
            total += amount * cost(source)
        memo[name] = found = total / (item.batch * item.kept)
        return found

    for name in items:
        cost(name)
    return memo


def roll_up_layers(book: Written, prices: Mapping[str, float]) -> dict[str, tuple[float, float, float, float]]:
    """B with money kept apart by layer: the same recursion with four sums."""
    base, density, items = book.base, book.density, book.items
    memo: dict[str, tuple[float, float, float, float]] = {}
    for good, price in prices.items():
        parts = [0.0, 0.0, 0.0, 0.0]
        parts[LAYERS.index(book.layers[good])] = price
        memo[good] = (parts[0], parts[1], parts[2], parts[3])

    def cost(name: str) -> tuple[float, float, float, float]:
        known = memo.get(name)
        if known is not None:
            return known
        item = items[name]
        a = b = c = d = 0.0
        for source, quantity, unit in item.lines:
            amount = quantity * FACTOR[unit]
            of = _OF[unit]
            if of != base[source]:
                amount = amount * density[source] if of == "l" else amount / density[source]
            w, x, y, z = cost(source)
            a += amount * w
            b += amount * x
            c += amount * y
            d += amount * z
        made = item.batch * item.kept
        memo[name] = found = (a / made, b / made, c / made, d / made)
        return found

    for name in items:
        cost(name)
    return memo


def roll_up_exact(book: Written, prices: Mapping[str, float]) -> dict[str, Fraction]:
    """The same in rational numbers, from the texts of the figures: no rounding anywhere."""
    factor = {unit: Fraction(text) for unit, (_, text) in UNITS.items()}
    costs = {good: Fraction(repr(price)) for good, price in prices.items()}
    for name, item in book.items.items():
        total = Fraction(0)
        for source, quantity, unit in item.lines:
            amount = Fraction(repr(quantity)) * factor[unit]
            if _OF[unit] != book.base[source]:
                weight = Fraction(repr(book.density[source]))
                amount = amount * weight if _OF[unit] == "l" else amount / weight
            total += amount * costs[source]
        costs[name] = total / (Fraction(repr(item.batch)) * Fraction(repr(item.kept)))
    return costs


def roll_up_folded(rows: Mapping[str, Mapping[str, float]], prices: Mapping[str, float]) -> dict[str, float]:
    """B where somebody has already turned every line into base units per unit made: one column, one loop."""
    costs = dict(prices)
    for name, row in rows.items():
        total = 0.0
        for source, amount in row.items():
            total += amount * costs[source]
        costs[name] = total
    return costs


def purchases(rows: dict[str, dict[str, float]], sold: Mapping[str, float], goods: Iterable[str]) -> list[float]:
    """B, backwards: from drinks sold to base units of goods, one sweep over rows of base units per unit made, from
    the last to the first."""
    need: dict[str, float] = dict(sold)
    for name in reversed(rows):
        wanted = need.get(name, 0.0)
        if wanted == 0.0:
            continue
        for source, amount in rows[name].items():
            need[source] = need.get(source, 0.0) + amount * wanted
    return [need.get(good, 0.0) for good in goods]


def half_up_exact(value: Fraction, places: int) -> Decimal:
    """Half up of an exact figure."""
    return Decimal(math.floor(value * 10**places + Fraction(1, 2))).scaleb(-places)


def read_sheet(path: str) -> list[tuple[object, ...]]:
    """Every row of the first sheet, the usual way: openpyxl, read only."""
    from openpyxl import load_workbook

    book = load_workbook(path, read_only=True, data_only=True)
    rows: Iterable[tuple[object, ...]] = book.worksheets[0].iter_rows(values_only=True)
    return list(rows)
