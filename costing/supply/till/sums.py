"""Totals among the rows: known by their words and by what they add up, and held against the sums of the rows."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from functools import lru_cache

from costing.supply.columns.folding import folded
from costing.supply.till.record import TotalSeen
from costing.supply.till.roles import SUMMED, TillRole
from costing.supply.till.vocabulary import TOTAL, TOTAL_BESIDE

_TOTAL = re.compile(rf"(?:{TOTAL})\b")
_TAIL = re.compile(rf"\b(?:{TOTAL})$")
_BESIDE = re.compile(rf"(?:{TOTAL_BESIDE})")
STARTS = 200
"""How many totals back a total may begin at."""
ROUNDED = Decimal("0.01")
"""What a total of rows that are rounded to cents may be off by, times the root of their number: 3.5 times the standard
deviation of a sum of even errors of half a cent."""
Figures = Mapping[TillRole, Decimal]


@lru_cache(maxsize=20_000)
def says_total(text: str) -> bool:
    """Whether a text begins, or ends, as a total does."""
    plain = folded(text)
    return bool(plain) and bool(_TOTAL.match(plain) or _TAIL.search(plain))


def only_total(text: str) -> bool:
    """Whether a text is a total and nothing more, so that it cannot be the name of a drink."""
    plain = folded(text)
    found = _TOTAL.match(plain)
    return found is not None and all(map(_BESIDE.fullmatch, plain[found.end() :].split()))


@dataclass(slots=True)
class Running:
    """Sums of the rows so far, and where totals stood among them."""

    sums: dict[TillRole, Decimal] = field(default_factory=lambda: dict.fromkeys(SUMMED, Decimal(0)))
    starts: list[dict[TillRole, Decimal]] = field(default_factory=list)
    rows: int = 0
    counts: list[int] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.begin()

    def begin(self) -> None:
        """A total stood here: later ones may add up what comes after it."""
        self.starts.append(dict(self.sums))
        self.counts.append(self.rows)

    def add(self, figures: Figures) -> None:
        """One row more."""
        self.rows += 1
        for role, value in figures.items():
            self.sums[role] += value

    def same(self, figures: Figures, least: int = 2) -> bool:
        """Whether every figure is the sum of the rows since some total, or since the beginning, of ``least`` rows or
        more. A row without two figures, or of zeros, says nothing."""
        told = [role for role, value in figures.items() if value]
        return len(told) > 1 and any(
            self.rows - count >= least and not self._off(figures, start, self.rows - count)
            for start, count in self._starts()
        )

    def seen(self, n: int, text: str, figures: Figures) -> TotalSeen:
        """A total against the rows it stands for: those of the start from which most of its columns agree."""
        best: tuple[int, dict[TillRole, Decimal]] | None = None
        for start, count in self._starts():
            off = self._off(figures, start, self.rows - count)
            if best is None or len(off) < best[0]:
                best = len(off), start
        start = best[1] if best else self.starts[0]
        off = self._off(figures, start, self.rows)
        return TotalSeen(
            n=n, text=text, agrees=tuple(role for role in figures if role not in off),
            differs=tuple((role, figures[role], self.sums[role] - start[role]) for role in off),
        )  # fmt: skip

    def _starts(self) -> Sequence[tuple[dict[TillRole, Decimal], int]]:
        pairs = list(zip(self.starts, self.counts, strict=True))
        return [*reversed(pairs[-STARTS:]), *(pairs[:1] if len(pairs) > STARTS else ())]

    def _off(self, figures: Figures, start: Figures, rows: int) -> list[TillRole]:
        slack = ROUNDED * Decimal(rows).sqrt()
        return [
            role
            for role, value in figures.items()
            if abs(self.sums[role] - start[role] - value) > (0 if role == "qty" else slack)
        ]
