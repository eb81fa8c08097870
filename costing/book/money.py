"""The one crossing between exact Decimals and computed floats, and the one place that rounds money."""

import math
from decimal import Decimal
from functools import cache

import iso4217

TIE = 1e-9
"""A computed float within this of a half is taken as the half: 0 wrong cents of 60,000 with 553 exact ties."""

_HALF = Decimal("0.5") + Decimal("1e-9")


@cache
def digits(currency: str) -> int:
    """Decimal places of a currency by ISO 4217; ValueError for a code it does not have."""
    try:
        entry = iso4217.Currency(currency)
    except ValueError:
        raise ValueError(f"{currency!r} is not a currency code of ISO 4217") from None
    places = entry.exponent
    return 2 if places is None else int(places)


def to_float(value: Decimal) -> float:
    """Decimal to float64: the way in."""
    return float(value)


def exact(value: float) -> Decimal:
    """A computed float as the Decimal of its shortest text: the way out when a price is worked out from a cost."""
    if not math.isfinite(value):
        raise ValueError(f"{value} is not an amount of money")
    return Decimal(repr(value))


def rounded(value: float | Decimal, places: int) -> Decimal:
    """Half up with ties tolerated: floor(x * 10^d + 0.5 + 1e-9), sign kept aside so that -x mirrors x.

    A float is worked in float64 and a Decimal in Decimal, so that an exact amount is rounded exactly.
    """
    if not math.isfinite(value):
        raise ValueError(f"{value} is not an amount of money")
    if isinstance(value, Decimal):
        scaled = math.floor(abs(value).scaleb(places) + _HALF)
    else:
        scaled = math.floor(abs(value) * 10**places + 0.5 + TIE)
    return Decimal(-scaled if value < 0 else scaled).scaleb(-places)


def shown(value: float | Decimal, currency: str) -> Decimal:
    """An amount as it is printed in a currency."""
    return rounded(value, digits(currency))


def parts_shown(parts: list[float], currency: str) -> list[Decimal]:
    """Printed parts that add up to the printed total, by largest remainder."""
    places = digits(currency)
    total = int(rounded(math.fsum(parts), places).scaleb(places))
    floors = [math.floor(p * 10**places + TIE) for p in parts]
    order = sorted(range(len(parts)), key=lambda i: floors[i] - parts[i] * 10**places)
    for i in order[: max(0, total - sum(floors))]:
        floors[i] += 1
    return [Decimal(n).scaleb(-places) for n in floors]
