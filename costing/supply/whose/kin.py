"""Whether two names have a word in common, be it in another number or case."""

from collections.abc import Iterable

from costing.supply.whose.number import counts

SHARED, ENDING, FIRST = 3, 2, 2
"""First letters that two words must share, and last ones in which they may differ: lime and limes, orange and oranges.
Plurals that change more are found by their endings, if they begin alike. By judgement; only ever used to let a code
stand."""


def kin(one: Iterable[str], other: Iterable[str]) -> bool:
    """Whether two names share a word, be it in another number: both begin alike and differ at the end."""
    theirs = tuple(other)
    return any(_akin(a, b) for a in one for b in theirs)


def _akin(a: str, b: str) -> bool:
    if a == b:
        return True
    same = 0
    for x, y in zip(a, b, strict=False):
        if x != y:
            break
        same += 1
    if same >= SHARED and max(len(a), len(b)) - same <= ENDING:
        return True
    return same >= FIRST and b in counts(a)
