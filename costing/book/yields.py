"""What yield tests say of a good: share kept, its mean and how much the tests differ."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from math import sqrt

from costing.book.records import YieldTest
from costing.book.units import lookup


def yield_share(test: YieldTest) -> Decimal | None:
    """The share kept of what was purchased, by weight or by volume; None where the two are not told in one kind of
    unit, or nothing was weighed."""
    gross, kept = lookup(test.gross.unit), lookup(test.kept.unit)
    if gross is None or kept is None or gross.dim is not kept.dim or test.gross.value * gross.factor <= 0:
        return None
    return test.kept.value * kept.factor / (test.gross.value * gross.factor)


@dataclass(frozen=True, slots=True)
class YieldMean:
    """``n`` tests of one good and part: the ``share`` kept of all that was weighed together, and the standard deviation
    of single tests (None for one). The share is of the sums: a large crate says more than one fruit."""

    n: int
    share: Decimal
    spread: float | None


def yield_mean(tests: Iterable[YieldTest]) -> YieldMean | None:
    """The mean of tests that can be read; None where there is none. ValueError where they are of several goods."""
    found = [(t, s) for t in tests if (s := yield_share(t)) is not None]
    if len({(t.good, t.part.casefold()) for t, _ in found}) > 1:
        raise ValueError("yield tests of several goods or parts have no mean")
    if not found:
        return None
    weights = []
    for test, share in found:
        unit = lookup(test.gross.unit)
        gross = test.gross.value * (unit.factor if unit is not None else Decimal(1))
        weights.append((gross, share))
    whole = sum((gross for gross, _ in weights), Decimal(0))
    share = sum((gross * share for gross, share in weights), Decimal(0)) / whole
    shares = [float(s) for _, s in found]
    middle = sum(shares) / len(shares)
    spread = sqrt(sum((s - middle) ** 2 for s in shares) / (len(shares) - 1)) if len(shares) > 1 else None
    return YieldMean(len(found), share, spread)
