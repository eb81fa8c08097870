"""Net to all-in and back, through taxes and service in the order they are added.

The net price is what the house keeps: the bare price, and with it any levy that is kept as revenue. Decimal in,
Decimal out; nothing is rounded here.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from costing.book.levies import Levy

Number = Decimal | int | float


def decimal(value: Number) -> Decimal:
    """A number as a Decimal; a float by its shortest text, so that 0.1 is 0.1."""
    return value if isinstance(value, Decimal) else Decimal(repr(value))


@dataclass(frozen=True, slots=True)
class Split:
    """Where an all-in price goes. ``net`` is what the house keeps; ``bare`` is the price before any levy."""

    all_in: Decimal
    bare: Decimal
    parts: tuple[tuple[str, Decimal], ...]
    net: Decimal


def _factors(levies: Iterable[Levy]) -> tuple[Decimal, Decimal, tuple[tuple[str, Decimal], ...]]:
    """For a bare price of 1: (all-in, net, each levy's part)."""
    running = kept = Decimal(1)
    parts: list[tuple[str, Decimal]] = []
    for levy in levies:
        amount = decimal(levy.rate) * (running if levy.on == "running" else 1)
        parts.append((levy.name, amount))
        running += amount
        kept += amount if levy.kept else 0
    return running, kept, tuple(parts)


def all_in(net: Number, levies: Iterable[Levy]) -> Decimal:
    """The price on the menu that leaves the house ``net``."""
    multiplier, kept, _ = _factors(levies)
    return decimal(net) * multiplier / kept


def net_of(all_in: Number, levies: Iterable[Levy]) -> Decimal:
    """What the house keeps of a price on the menu, after every tax and every levy it does not keep."""
    multiplier, kept, _ = _factors(levies)
    return decimal(all_in) * kept / multiplier


def split(all_in: Number, levies: Iterable[Levy]) -> Split:
    """An all-in price taken apart, levy by levy."""
    multiplier, kept, parts = _factors(levies)
    price = decimal(all_in)
    bare = price / multiplier
    return Split(price, bare, tuple((name, bare * part) for name, part in parts), bare * kept)
