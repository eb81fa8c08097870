"""Rows: how much of each bought or prepared input a stream stands for. The ledger's money without a price.

``Carried`` is what the running stream has taken in so far: the whole row, the part of it that is a memo of loss,
and the part that passed a stage resting on an assumption. All three are linear, so they explode alike.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

Row = Mapping[str, float]
EMPTY: Row = {}


def plus(*rows: Row) -> dict[str, float]:
    """Sum of rows, sources in order of first use."""
    out: dict[str, float] = {}
    for row in rows:
        for source, amount in row.items():
            out[source] = out.get(source, 0.0) + amount
    return out


def times(row: Row, factor: float) -> dict[str, float]:
    """Every amount multiplied."""
    return {source: amount * factor for source, amount in row.items()}


@dataclass(frozen=True, slots=True)
class Carried:
    """``row`` in base units of each source; ``lost`` and ``assumed`` are the parts of it that are memos."""

    row: Row = field(default_factory=dict)
    lost: Row = field(default_factory=dict)
    assumed: Row = field(default_factory=dict)

    def take(self, row: Row, lost: Row = EMPTY, assumed: Row = EMPTY) -> "Carried":
        """With more taken in."""
        return Carried(plus(self.row, row), plus(self.lost, lost), plus(self.assumed, assumed))

    def lose(self, share: float, followed: Iterable[str]) -> "Carried":
        """The memo of loss compounds: lost so far + (carried - lost so far) * share, for sources that flow with
        the liquid; hours do not."""
        if share <= 0.0:
            return self
        lost = dict(self.lost)
        for source in followed:
            if source in self.row:
                so_far = lost.get(source, 0.0)
                lost[source] = so_far + (self.row[source] - so_far) * share
        return Carried(self.row, lost, self.assumed)

    def rest_on_assumption(self) -> "Carried":
        """Everything carried has passed a stage whose figures nobody measured."""
        return Carried(self.row, self.lost, dict(self.row))

    def part(self, share: float) -> "Carried":
        """That share of all three."""
        if share == 1.0:
            return self
        return Carried(times(self.row, share), times(self.lost, share), times(self.assumed, share))
