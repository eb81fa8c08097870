"""The range of what one drink costs, for the tests of ranges: a column of those of the whole day."""

from collections.abc import Sequence

from costing.book.records import Layer
from costing.ledger.reckon import Reckoning
from costing.pricing.doubts import ASSUMED
from costing.pricing.exposure import exposures
from costing.pricing.ranges import Range, ranges


def spread(reckoning: Reckoning, serve: str, layers: Sequence[Layer], assumed: float = ASSUMED) -> Range | None:
    """The range of one drink's cost in the ``layers`` that pour cost stands on; None where none can be told.

    ``assumed`` is the relative standard deviation given to an assumed figure. Takes some hundredths of a second; for
    more than one drink, ``ranges`` of one web is the shorter way to the same figures.
    """
    if serve not in reckoning.serves:
        return None
    return ranges(exposures(reckoning, layers, serves=(serve,), assumed=assumed)).serves[serve]
