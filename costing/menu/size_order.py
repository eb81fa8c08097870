"""Which serve is a larger one of another: the same things poured, and at least as much of each."""

from collections.abc import Mapping

from costing.book.book import View
from costing.book.records import BESIDE
from costing.ledger.reckon import Reckoning

LEAST = 1e-9
"""Amounts closer than this share of each other are the same."""
Serves = tuple[str, str]
"""Ids of a larger and a smaller serve."""


def size_order(reckoning: Reckoning) -> tuple[Serves, ...]:
    """Pairs of serves of the day, a larger and a smaller one, by id.

    Both pour the same goods and preparations (ice, garnish and consumables aside), in base units and with what is spilt
    beside; the larger one pours no less of any and more of at least one, and has no less of what stands beside the
    liquid. Serves that cannot be read are in no pair, and neither are two with the same amounts.
    """
    view = reckoning.view
    alike: dict[frozenset[str], list[tuple[str, Mapping[str, float], Mapping[str, float]]]] = {}
    for ident, line in reckoning.serves.items():
        poured, beside = dict[str, float](), dict[str, float]()
        for source, amount in line.carried.row.items():
            kind = _kind(view, source)
            if kind != "time" and amount > 0.0:
                (poured if kind == "poured" else beside)[source] = amount
        if poured:
            alike.setdefault(frozenset(poured), []).append((ident, poured, beside))
    return tuple(
        (a, b)
        for group in alike.values()
        for a, poured, beside in group
        for b, less, other in group
        if a != b and _more(poured, less) and not _short(beside, other)
    )


def _kind(view: View, source: str) -> str:
    good = view.goods.get(source)
    if good is None:
        made = view.preparations.get(source)
        return "beside" if made is not None and made[0].base == "each" else "poured"
    if good.layer != "materials" or good.kind in ("labour", "energy", "machine"):
        return "time"
    return "beside" if good.kind in BESIDE else "poured"


def _short(larger: Mapping[str, float], smaller: Mapping[str, float]) -> bool:
    """Whether the larger one has less of anything."""
    return any(larger.get(source, 0.0) < amount * (1.0 - LEAST) for source, amount in smaller.items())


def _more(larger: Mapping[str, float], smaller: Mapping[str, float]) -> bool:
    """Whether it has no less of anything and more of something."""
    grows = any(amount > smaller[source] * (1.0 + LEAST) for source, amount in larger.items())
    return grows and not _short(larger, smaller)
