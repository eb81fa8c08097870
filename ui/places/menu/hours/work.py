"""The best mix for the hours there are, as work off the main thread: plain values in, the mix out."""

from dataclasses import dataclass

from costing.menu.batches_mix import BatchMix, best_batches
from costing.menu.capacity import BestMix, Use, best_mix
from costing.menu.capacity_rank import Made, margin_of
from costing.menu.capacity_rows import Capacity, capacity_of, in_batches
from costing.menu.mix import Mix
from ui.document import Figures
from ui.jobs import Progress

SECONDS = 10.0
"""The most that a search for whole batches may take."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What is to be worked out: the mix of a book and a span, ``more`` that guests would take (0.1: a tenth), and
    whether in whole batches too."""

    figures: Figures
    mix: Mix
    more: float
    batches: bool

    def __call__(self, tell: Progress) -> "Found":
        """Work it out. A mix that cannot be is told in ``fault``."""
        reckoning = self.figures.reckoning
        capacity = capacity_of(self.mix, reckoning, more=self.more)
        best = best_mix(capacity.products, capacity.resources)
        batched, fault = None, ""
        if self.batches:
            tell(1, 2, "")
            try:
                batched = best_batches(*in_batches(capacity, reckoning), capacity.resources, SECONDS)
            except ValueError as error:
                fault = str(error)
        return Found(of=self, capacity=capacity, best=best, batched=batched, fault=fault)


@dataclass(frozen=True, slots=True)
class Found:
    """The hours there are, the best mix, and the one in whole batches."""

    of: Asked
    capacity: Capacity
    best: BestMix
    batched: BatchMix | None
    fault: str

    @property
    def made(self) -> tuple[Made, ...]:
        """How many of each, in whole batches where that was asked."""
        return self.best.made if self.batched is None else self.batched.made

    @property
    def margin(self) -> float:
        """What that earns."""
        return self.best.margin if self.batched is None else self.batched.margin

    @property
    def sold(self) -> float:
        """What the sold mix earned, by the same margins."""
        return margin_of(Made(product=p, amount=p.demand / (1.0 + self.of.more)) for p in self.capacity.products)

    @property
    def binding(self) -> tuple[Use, ...]:
        """What is short, that of which an hour is worth most first."""
        return tuple(sorted((u for u in self.best.uses if u.binds), key=lambda u: -u.worth))

    def use(self, key: str) -> Use | None:
        """The use of a resource; None where nobody said its hours."""
        return next((u for u in self.best.uses if u.resource.key == key), None)

    def taken(self, key: str) -> float:
        """Hours of a resource that the mix takes."""
        if self.batched is not None and key in self.batched.used:
            return self.batched.used[key]
        return sum(m.amount * m.product.hours.get(key, 0.0) for m in self.best.made)
