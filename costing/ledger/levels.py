"""Direct rows as sparse arrays, level by level: the costs of ``costs.roll_up`` for books of thousands of items.

Import it late: numpy and scipy take longer to load than a small book takes to reckon. Items stand in one order,
goods first (then sources that nobody makes or buys), then outputs by level, so that a level is one sparse product
over everything before it. Only the public parts of scipy are used.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import chain, pairwise
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csc_array, csr_array

from costing.book.records import LAYERS, Layer
from costing.ledger.costs import Cost
from costing.ledger.rows import Carried

Floats = NDArray[np.float64]
Number = TypeVar("Number", np.float64, np.int32)


@dataclass(frozen=True, slots=True, eq=False)
class Step:
    """Outputs ``start`` to ``end``: ``rows`` (end - start, start) are amounts per unit; ``back`` is its transpose."""

    start: int
    end: int
    rows: csr_array
    back: csc_array


@dataclass(frozen=True, slots=True, eq=False)
class Levels:
    """A compiled set of direct rows.

    ``names`` and ``index``: all items, ``goods`` of them goods, ``bought`` of them without a row (goods and unknown
    sources). ``layer`` (goods,) is each good's column, ``prices`` (goods,) money per base unit, NaN where none.
    """

    names: tuple[str, ...]
    index: Mapping[str, int]
    goods: int
    bought: int
    layer: NDArray[np.intp]
    prices: Floats
    steps: tuple[Step, ...]


def compiled(direct: Mapping[str, Carried], goods: Mapping[str, tuple[Layer, float | None]]) -> Levels:
    """Arrays of rows that are in order, inputs first. ValueError for an output that is bought as well, or used
    before it is made."""
    level = dict.fromkeys(goods, 0)
    strangers: list[str] = []
    for output, carried in direct.items():
        for source in carried.row:
            if source not in level:
                strangers.append(source)
                level[source] = 0
        if output in level:
            raise ValueError(f"{output!r} is a good or used before it is made; rows must be in order, inputs first")
        level[output] = 1 + max(map(level.__getitem__, carried.row), default=0)
    used = set(chain.from_iterable(carried.row for carried in direct.values()))
    # what nothing else is made of, every drink above all, waits for the last level: one large product, not many
    last = 1 + max((level[name] for name in used), default=0)
    level.update((output, last) for output in direct if output not in used)
    outputs = sorted(direct, key=level.__getitem__)
    names = (*goods, *strangers, *outputs)
    bought = len(names) - len(outputs)
    index = {name: n for n, name in enumerate(names)}
    rows = [direct[output].row for output in outputs]
    starts = np.concatenate([[0], np.cumsum([len(row) for row in rows], dtype=np.int64)])
    columns = np.fromiter(map(index.__getitem__, chain.from_iterable(rows)), np.int32, starts[-1])
    amounts = np.fromiter(chain.from_iterable(row.values() for row in rows), np.float64, starts[-1])
    cuts = np.concatenate([[0], np.cumsum(np.bincount([level[output] for output in outputs])[1:])]) if outputs else [0]
    steps = []
    for first, last in pairwise(cuts):
        low, high = starts[first], starts[last]
        matrix = csr_array(
            (amounts[low:high], columns[low:high], (starts[first : last + 1] - low).astype(np.int32)),
            shape=(last - first, bought + first),
        )
        steps.append(Step(bought + int(first), bought + int(last), matrix, matrix.T))
    layer = np.fromiter((LAYERS.index(name) for name, _ in goods.values()), np.intp, len(goods))
    prices = np.array([np.nan if price is None else price for _, price in goods.values()], dtype=np.float64)
    return Levels(names, index, len(goods), bought, layer, prices, tuple(steps))


def unit_costs(levels: Levels, prices: Floats) -> Floats:
    """Money per unit of every item by layer, (items, 4), from prices (goods,). A price of NaN makes NaN of
    everything it is in, in its layer; what nobody buys or makes is NaN in every layer."""
    return _forward(levels, prices, np.nan)


def total_costs(levels: Levels, prices: Floats) -> Floats:
    """Money per unit of every item, all layers together, (items,): half the work where layers are not asked for."""
    out = np.full(len(levels.names), np.nan)
    out[: levels.goods] = _checked(levels, prices)
    return _pass(levels, out)


def purchases(levels: Levels, wanted: Floats) -> Floats:
    """What to buy, (bought,) in base units, for wanted units of every item, (items,): the pass transposed."""
    if wanted.shape != (len(levels.names),):
        raise ValueError(f"wanted has shape {wanted.shape}, not ({len(levels.names)},)")
    need = wanted.astype(np.float64)
    for step in reversed(levels.steps):
        need[: step.start] += step.back @ need[step.start : step.end]
    return need[: levels.bought]


def contents(levels: Levels) -> csr_array:
    """How much of every good is in one unit of every output, (outputs, goods): also the derivative of each cost
    by each price. Row n is ``names[bought + n]``; unknown sources are left out, as ``explode`` leaves them."""
    return _products(levels, np.arange(levels.goods))


def last_contents(levels: Levels) -> csr_array:
    """The same for the last level only, what nothing else is made of, every serve above all: (last level, goods), row
    n is ``names[steps[-1].start + n]``. Half the time of ``contents``, which has to lay all rows side by side."""
    return _products(levels, np.arange(levels.goods), last=True)


def moved_by(inside: csc_array, good: int, change: float) -> tuple[NDArray[np.int32], Floats]:
    """Outputs that a change of one price moves and by how much money each, from ``contents(levels).tocsc()``. To
    explain and attribute; new costs come from a whole pass, which a missing price cannot spoil for good."""
    low, high = inside.indptr[good], inside.indptr[good + 1]
    return inside.indices[low:high], inside.data[low:high] * change


def unpriced(levels: Levels, prices: Floats) -> dict[str, frozenset[str]]:
    """Names of what has no price in every item that holds some of it; items that hold none are not keys."""
    missing = np.concatenate(
        [np.flatnonzero(np.isnan(_checked(levels, prices))), np.arange(levels.goods, levels.bought)]
    )
    if not len(missing):
        return {}
    lacking = [levels.names[n] for n in missing]
    found = {name: frozenset({name}) for name in lacking}
    inside = _products(levels, missing, counts=True)
    bounds, columns = inside.indptr.tolist(), inside.indices.tolist()
    for n, name in enumerate(levels.names[levels.bought :]):
        if bounds[n] < bounds[n + 1]:
            found[name] = frozenset(lacking[column] for column in columns[bounds[n] : bounds[n + 1]])
    return found


def as_costs(levels: Levels, prices: Floats) -> dict[str, Cost]:
    """What ``roll_up`` returns for these prices: what is unpriced counts nothing and is named."""
    columns = _forward(levels, np.where(np.isnan(prices), 0.0, prices), 0.0).tolist()
    names = unpriced(levels, prices)
    nothing: frozenset[str] = frozenset()
    return {
        name: Cost(tuple(columns[n]), names.get(name, nothing))
        for n, name in enumerate(levels.names)
        if not levels.goods <= n < levels.bought
    }


def _checked(levels: Levels, prices: Floats) -> Floats:
    if prices.shape != (levels.goods,):
        raise ValueError(f"prices have shape {prices.shape}, not ({levels.goods},)")
    return prices


def _forward(levels: Levels, prices: Floats, unknown: float) -> Floats:
    out = np.zeros((len(levels.names), len(LAYERS)))
    out[np.arange(levels.goods), levels.layer] = _checked(levels, prices)
    out[levels.goods : levels.bought] = unknown
    return _pass(levels, out)


def _pass(levels: Levels, out: Floats) -> Floats:
    for step in levels.steps:
        out[step.start : step.end] = step.rows @ out[: step.start]
    return out


def _products(levels: Levels, sources: NDArray[np.intp], *, counts: bool = False, last: bool = False) -> csr_array:
    """(outputs, sources) by one sparse product a level, or its last level only; ``counts`` puts 1 for every amount, so
    that nothing that is there can cancel or be 0 and look absent."""
    size, bought = len(sources), levels.bought
    bounds = np.zeros(len(levels.names) + 1, np.int32)
    bounds[sources + 1] = 1
    np.cumsum(bounds[: bought + 1], out=bounds[: bought + 1])
    data, columns = np.ones(size), np.arange(size, dtype=np.int32)
    for step in levels.steps:
        rows, filled = step.rows, bounds[step.start]
        if counts:
            rows = csr_array((np.ones(rows.nnz), rows.indices, rows.indptr), shape=rows.shape)
        before = csr_array((data[:filled], columns[:filled], bounds[: step.start + 1]), shape=(step.start, size))
        more = rows @ before
        if last and step is levels.steps[-1]:
            return more
        end = filled + more.nnz
        if end > len(data):  # room for half as much again; scipy copies a view of less than half its array
            data, columns = _grown(data, end * 3 // 2), _grown(columns, end * 3 // 2)
        data[filled:end] = 1.0 if counts else more.data
        columns[filled:end] = more.indices
        bounds[step.start + 1 : step.end + 1] = filled + more.indptr[1:]
    inside = data[size : bounds[-1]], columns[size : bounds[-1]], bounds[bought:] - size
    return csr_array(inside, shape=(len(levels.names) - bought, size))


def _grown(array: NDArray[Number], room: int) -> NDArray[Number]:
    out = np.empty(room, array.dtype)
    out[: len(array)] = array
    return out
