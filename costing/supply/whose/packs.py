"""Whether a line's pack is one that is known: the size of the innermost unit, and how many of them are in it."""

from collections.abc import Iterable
from decimal import Decimal
from math import prod

from costing.supply.arriving.doubt import Doubt, doubt
from costing.supply.whose.record import Asked, Known, Size


def count_of(levels: tuple[int, ...]) -> int | None:
    """Innermost units in a pack; None where no count is said."""
    return prod(levels) if levels else None


def sizes_of(items: Iterable[Known]) -> frozenset[Size]:
    """The sizes that are known of some things."""
    return frozenset(item.size for item in items if item.size is not None)


def unknown_pack(asked: Asked, items: Iterable[Known]) -> Doubt | None:
    """Why a line is a new pack of ``items``, which are one good; None where it is a known one, or one of the two does
    not say. Counts are those of the line's supplier where he sells the good, and of that size."""
    items = tuple(items)
    sizes = sizes_of(items)
    if asked.size is not None and sizes and asked.size not in sizes:
        return doubt("other-size", "pack", line=told(asked.size), known=", ".join(map(told, sorted(sizes))))
    count = count_of(asked.levels)
    items = tuple(i for i in items if i.supplier == asked.supplier) or items
    items = tuple(i for i in items if asked.size is None or i.size in (asked.size, None))
    counts = {count_of(item.levels) for item in items} - {None}
    if count is None or not counts or count in counts or any(not item.levels for item in items):
        return None
    return doubt("other-count", "pack", line=count, known=", ".join(str(n) for n in sorted(c for c in counts if c)))


def unsold_pack(asked: Asked, items: Iterable[Known]) -> Doubt | None:
    """Why a line is a new pack of ``items``, which are one good, that the line's supplier never sold in that size:
    nobody sells so many to a pack. A pack of which no count is said is one. To be asked where words alone speak: what
    identifies a line may come in a count of the supplier's own."""
    here = [item for item in items if asked.size is not None and item.size == asked.size]
    if not here or any(item.supplier == asked.supplier for item in here):
        return None
    count, counts = prod(asked.levels), {prod(item.levels) for item in here}
    if count in counts:
        return None
    return doubt("other-count", "pack", line=count, known=", ".join(map(str, sorted(counts))))


def far(asked: Asked, items: Iterable[Known], width: Decimal) -> Doubt | None:
    """A price for a base unit further from the last one than ``width`` (0.25: from 0.75 to 1.25 of it). The last one is
    that of the line's size and supplier where there is one, else any that was paid for the good."""
    if asked.per_base is None:
        return None
    paid = [item for item in items if item.last is not None and item.last > 0]
    paid = [item for item in paid if item.size == asked.size] or paid
    paid = [item for item in paid if item.supplier == asked.supplier] or paid
    ratios = [asked.per_base / item.last for item in paid if item.last is not None]
    if not ratios or any(abs(ratio - 1) <= width for ratio in ratios):
        return None
    return doubt("price-far", "price", name=paid[0].name, times=f"{min(ratios, key=lambda r: abs(r - 1)):.2f}")


def told(size: Size) -> str:
    """A size as it is said: "700 ml"."""
    return f"{size[0].normalize():f} {size[1]}"
