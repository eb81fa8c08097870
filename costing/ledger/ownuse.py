"""A mother batch's money: each own output cleared of what it uses of itself and of its by-products.

With A the amounts of own outputs in one unit of each, cost x = fresh + A x, so x = (I - A)^-1 fresh. One preparation
and its by-products are a handful of unknowns, solved here by elimination; everything between preparations needs no
solving because a loop between them is refused.
"""

import math
from collections.abc import Mapping
from dataclasses import replace

from costing.ledger.lines import Output
from costing.ledger.rows import Carried, Row

Grid = list[list[float]]


def outward(made: Mapping[str, Output]) -> tuple[Mapping[str, Output] | None, float]:
    """(outputs whose rows hold no own output, the gain). None when the gain is 1 or more: no money can settle.

    The gain is the spectral radius of A, below 1 exactly when the batch makes more than it uses of itself.
    """
    names = list(made)
    uses = [[made[a].direct.row.get(b, 0.0) for b in names] for a in names]
    if not any(map(any, uses)):
        return made, 0.0
    gain = _radius(uses)
    if gain >= 1.0 - 1e-9:
        return None, gain
    lost = [[made[a].direct.lost.get(b, 0.0) for b in names] for a in names]
    taken = [[made[a].direct.assumed.get(b, 0.0) for b in names] for a in names]
    fresh = [_without(made[a].direct.row, names) for a in names]
    rows = _solve(uses, fresh)
    memos = []
    for part, own in (("lost", lost), ("assumed", taken)):
        # a memo in an own input counts whole where that input was itself lost, and by its own memo where it was not
        base = [_without(getattr(made[a].direct, part), names) for a in names]
        for i in range(len(names)):
            for j in range(len(names)):
                for source, amount in rows[j].items():
                    base[i][source] = base[i].get(source, 0.0) + own[i][j] * amount
        clean = [[uses[i][j] - own[i][j] for j in range(len(names))] for i in range(len(names))]
        memos.append(_solve(clean, base))
    out = {
        name: replace(
            made[name],
            direct=Carried(rows[i], memos[0][i], memos[1][i]),
            own_use=sum(uses[j][i] * made[a].made for j, a in enumerate(names)),
        )
        for i, name in enumerate(names)
    }
    return out, gain


def _without(row: Row, names: list[str]) -> dict[str, float]:
    return {source: amount for source, amount in row.items() if source not in names}


def _solve(uses: Grid, fresh: list[dict[str, float]]) -> list[dict[str, float]]:
    """Rows x with x = fresh + uses x, by Gauss-Jordan with partial pivots on I - uses."""
    n = len(uses)
    grid = [[(1.0 if i == j else 0.0) - uses[i][j] for j in range(n)] for i in range(n)]
    rows = [dict(row) for row in fresh]
    for k in range(n):
        pivot = max(range(k, n), key=lambda i: abs(grid[i][k]))
        grid[k], grid[pivot] = grid[pivot], grid[k]
        rows[k], rows[pivot] = rows[pivot], rows[k]
        scale = grid[k][k]
        grid[k] = [v / scale for v in grid[k]]
        rows[k] = {s: v / scale for s, v in rows[k].items()}
        for i in range(n):
            factor = grid[i][k]
            if i != k and factor:
                grid[i] = [a - factor * b for a, b in zip(grid[i], grid[k], strict=True)]
                for source, amount in rows[k].items():
                    rows[i][source] = rows[i].get(source, 0.0) - factor * amount
    return rows


def _radius(uses: Grid) -> float:
    """Spectral radius of a small non-negative matrix: the norm of its 2^30th power, to the root (Gelfand)."""
    power, log_scale, exponent = uses, 0.0, 1
    while exponent < 2**30:
        size = max(sum(row) for row in power)
        if size == 0.0:
            return 0.0
        power = _squared([[v / size for v in row] for row in power])
        log_scale, exponent = 2.0 * (log_scale + math.log(size)), 2 * exponent
    return math.exp(log_scale / exponent)


def _squared(a: Grid) -> Grid:
    n = len(a)
    return [[sum(a[i][k] * a[k][j] for k in range(n)) for j in range(n)] for i in range(n)]
