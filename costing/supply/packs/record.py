"""What a text says of a pack."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from costing.supply.arriving.doubt import Doubt

PackUnit = Literal["ml", "g", "each"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack:
    """``levels`` (4, 6) of ``content`` in ``unit``, ``total`` = product of levels x content.

    ``content`` and ``total`` are None where the text gives a count and no size ("4/6 CANS"), or nothing. ``unit`` is
    the base unit: "ml", "g" or "each"; a range is read as its middle, with both ends in its doubt. ``span`` is the
    part of the text that was used; what was left over and holds a number is a doubt. ``doubts`` empty means read
    without reserve.
    """

    text: str
    levels: tuple[int, ...] = ()
    content: Decimal | None = None
    unit: PackUnit | None = None
    total: Decimal | None = None
    doubts: tuple[Doubt, ...] = ()
    span: tuple[int, int] = (0, 0)
