"""What a repricing brings at other volumes: the house's own suppositions, never a market's elasticity.

Published elasticities of alcohol are those of a market as a whole; a bar's guests have other drinks and other bars, so
they say next to nothing of one price on one menu. What is asked instead is "what if a fifth less is sold?", and how
much less may be sold until the change brings nothing.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from costing.menu.reprice_record import Repriced, Repricing, Totals
from costing.tongue import say


@dataclass(frozen=True, slots=True, kw_only=True)
class Volumes:
    """A supposition: every drink whose price changes sells ``changed`` as a fraction more or less (-0.2: a fifth
    less); ``sold`` are other numbers for single lines, by key, changed or not."""

    changed: Decimal = Decimal(0)
    sold: Mapping[str, Decimal] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if not -1 <= self.changed <= 10:
            raise ValueError(
                say("a change in volume of {share} must lie from -1 to 10 (-0.2 is a fifth less)", share=self.changed)
            )
        if any(not count.is_finite() or count < 0 for count in self.sold.values()):
            raise ValueError("no drink can be sold less often than never")

    def of(self, line: Repriced) -> Decimal:
        """How many of one drink are sold."""
        row = line.row
        return self.sold.get(row.key, row.sold * (1 + self.changed) if line.change else row.sold)


@dataclass(frozen=True, slots=True, kw_only=True)
class AtVolumes:
    """All drinks at supposed volumes and the new prices; ``gain`` is the margin against that before the change."""

    volumes: Volumes
    after: Totals
    gain: Decimal


def at_volumes(found: Repricing, suppositions: Iterable[Volumes]) -> tuple[AtVolumes, ...]:
    """What the period would bring under each supposition. ValueError for a key that no line has."""
    keys = {line.row.key for line in found.rows}
    out = []
    for volumes in suppositions:
        odd = next((key for key in volumes.sold if key not in keys), None)
        if odd is not None:
            raise ValueError(say("there is no line {key} among those repriced", key=odd))
        counts = [volumes.of(line) for line in found.rows]
        net = sum((n * line.new.net for n, line in zip(counts, found.rows, strict=True)), Decimal(0))
        cost = sum((n * line.row.cost for n, line in zip(counts, found.rows, strict=True)), Decimal(0))
        after = Totals(net=net, cost=cost)
        out.append(AtVolumes(volumes=volumes, after=after, gain=after.margin - found.before.margin))
    return tuple(out)


def break_even(found: Repricing) -> Decimal | None:
    """The one change in volume of all drinks whose price changes, as a fraction, at which the period earns as much as
    before; None where nothing changes or the changed drinks leave no margin."""
    before = sum((line.row.sold * line.old.margin for line in found.moved), Decimal(0))
    after = sum((line.row.sold * line.new.margin for line in found.moved), Decimal(0))
    return before / after - 1 if before > 0 and after > 0 else None
