"""Which prices a line may take: the present one and the price points around it, as far as every limit allows."""

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal

from costing.book.levies import PricePoints
from costing.menu.reprice_record import Family, Limits, Pair, PriceRow
from costing.pricing.suggest import next_point, point_below

NONE: frozenset[Family] = frozenset()
FURTHEST = 2
"""Where nothing but the price points bounds a price, lifting that limit lets it rise to so many times itself."""


def point_above(price: Decimal, points: PricePoints) -> Decimal:
    """The lowest price point above a price."""
    found = next_point(price, points)
    return found if found > price else next_point(price + points.step / 2, points)


def around(price: Decimal, points: PricePoints, within: int) -> list[Decimal]:
    """The present price and ``within`` price points on either side of it, the lowest first."""
    up, down = [price], list[Decimal]()
    for _ in range(within):
        up.append(point_above(up[-1], points))
    below = point_below(price, points)
    while below is not None and len(down) < within:
        down.append(below)
        below = point_below(below, points)
    return down[::-1] + up


def ceiling(row: PriceRow, limits: Limits, lifted: frozenset[Family] = NONE) -> Decimal | None:
    """The highest price that limits on the rise and the line's own ``most`` allow; None where neither holds."""
    held = []
    if "rise" not in lifted:
        if limits.rise is not None:
            held.append(row.price * (1 + limits.rise))
        if limits.rise_money is not None:
            held.append(row.price + limits.rise_money)
    if row.most is not None and "bounds" not in lifted:
        held.append(row.most)
    return min(held, default=None)


def allowed(row: PriceRow, price: Decimal, limits: Limits, lifted: frozenset[Family] = NONE) -> bool:
    """Whether a line may have a price, its number of points aside."""
    if row.held and "held" not in lifted:
        return price == row.price
    top = ceiling(row, limits, lifted)
    if top is not None and price > top:
        return False
    if row.least is not None and "bounds" not in lifted and price < row.least:
        return False
    return limits.reductions or "reductions" in lifted or price >= row.price


def choices(
    rows: Sequence[PriceRow],
    points: PricePoints,
    limits: Limits,
    pairs: Iterable[Pair] = (),
    lifted: frozenset[Family] = NONE,
) -> list[list[Decimal]]:
    """The prices that each line may take, the lowest first; empty where its own limits leave none.

    With "points" lifted come the prices between points that a line could want in order to bring as much as it can: as
    high as its limits go, and the ceiling or present price of the larger serves it may not pass.
    """
    out = [_on_points(row, points, limits, lifted) for row in rows]
    if "points" not in lifted:
        return out
    index = {row.key: n for n, row in enumerate(rows)}
    between = [{row.price, _top(row, limits, lifted)} for row in rows]
    joined = [(index[a], index[b]) for a, b in pairs if a in index and b in index]
    for _ in rows:  # what a larger serve may cost is handed down to every smaller one below it
        before = sum(map(len, between))
        for larger, smaller in joined:
            between[smaller] |= between[larger]
        if sum(map(len, between)) == before:
            break
    for n, row in enumerate(rows):
        more = {p for p in between[n] if allowed(row, p, limits, lifted)}
        out[n] = sorted({*out[n], *more})
    return out


def _on_points(row: PriceRow, points: PricePoints, limits: Limits, lifted: frozenset[Family]) -> list[Decimal]:
    if row.held and "held" not in lifted:
        return [row.price]
    return [p for p in around(row.price, points, limits.within) if allowed(row, p, limits, lifted)]


def _top(row: PriceRow, limits: Limits, lifted: frozenset[Family]) -> Decimal:
    if row.held and "held" not in lifted:
        return row.price
    top = ceiling(row, limits, lifted)
    return row.price * FURTHEST if top is None else top


def stopped(
    row: PriceRow,
    price: Decimal,
    points: PricePoints,
    limits: Limits,
    larger: Sequence[Decimal] = (),
) -> frozenset[Family]:
    """What keeps a line at ``price`` from its next price point; ``larger`` are the prices of serves it may not pass."""
    if row.held:
        return frozenset({"held"})
    wanted = point_above(price, points)
    found: set[Family] = set()
    if row.most is not None and wanted > row.most:
        found.add("bounds")
    if not allowed(row, wanted, limits, frozenset({"bounds"})) and wanted > row.price:
        found.add("rise")
    if wanted > around(row.price, points, limits.within)[-1]:
        found.add("points")
    if any(wanted > other for other in larger):
        found.add("order")
    return frozenset(found)


def kept_pairs(rows: Sequence[PriceRow], pairs: Iterable[Pair]) -> tuple[list[Pair], list[Pair]]:
    """(pairs that can be asked for, pairs of two held prices the wrong way round, which nothing here can mend)."""
    by_key: Mapping[str, PriceRow] = {row.key: row for row in rows}
    asked, beyond = list[Pair](), list[Pair]()
    for larger, smaller in dict.fromkeys(pairs):
        a, b = by_key.get(larger), by_key.get(smaller)
        if a is None or b is None or larger == smaller:
            continue
        (beyond if a.held and b.held and a.price < b.price else asked).append((larger, smaller))
    return asked, beyond
