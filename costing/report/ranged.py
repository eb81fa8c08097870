"""The ranges that costs lie in, for the reports that print them."""

from dataclasses import dataclass, field

from costing.ledger.reckon import Reckoning
from costing.pricing.exposure import exposures
from costing.pricing.ranges import Ranges, ranges


@dataclass(slots=True)
class Ranging:
    """The ranges of a day, in the layers of pour cost, worked out when a report first asks for them: some tenths of a
    second for a bar, and most reports never do."""

    reckoning: Reckoning
    _found: list[Ranges] = field(default_factory=list)

    def __call__(self) -> Ranges:
        """The ranges of every drink and preparation."""
        if not self._found:
            self._found.append(ranges(exposures(self.reckoning)))
        return self._found[0]
