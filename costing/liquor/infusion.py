"""Steeping solids in spirit and straining them off: where the spirit's alcohol goes.

Model: diffusion has finished. What the solids gave up and the spirit are one free liquid, and the strained
solids walk off with some of it. No published retention of spirit in fresh fruit is known; a retention that
was not weighed is an assumption.
"""

from __future__ import annotations

from dataclasses import dataclass

from costing.liquor.guards import not_negative, within
from costing.liquor.liquid import ROUNDING_KG, Liquid


@dataclass(frozen=True, slots=True)
class Solid:
    """Fruit, peel, spice or tea in kg: its water, what of it dissolves, what never does. Each 0 or more."""

    water: float = 0.0
    solubles: float = 0.0
    insolubles: float = 0.0

    def __post_init__(self) -> None:
        for name in ("water", "solubles", "insolubles"):
            not_negative(f"{name} in kg", getattr(self, name))

    @property
    def mass(self) -> float:
        """Kilograms in all."""
        return self.water + self.solubles + self.insolubles

    @property
    def juice(self) -> Liquid:
        """Its water and solubles as one liquid."""
        return Liquid(0.0, self.water, self.solubles)

    def dried_to(self, mass: float) -> Solid:
        """The same solid roasted or dried to `mass` kg; all that leaves is water.

        ValueError unless mass lies between the dry matter and the present mass.
        """
        dry = self.solubles + self.insolubles
        within("mass after drying in kg", mass, dry, self.mass)
        return Solid(mass - dry, self.solubles, self.insolubles)


@dataclass(frozen=True, slots=True, kw_only=True)
class Infusion:
    """What straining leaves. spirit + solid = strained + held + unexchanged + insolubles, kg for kg.

    strained: the infusion. held: free liquid of the same composition left in the solids.
    unexchanged: the solids' own liquid that never met the spirit. insolubles: kg.
    ethanol_lost: share of the spirit's ethanol in `held`, 0..1 (0 when the spirit had none).
    """

    strained: Liquid
    held: Liquid
    unexchanged: Liquid
    insolubles: float
    ethanol_lost: float

    @property
    def spent(self) -> float:
        """Mass of the strained solids in kg, as a scale would show it."""
        return self.held.mass + self.unexchanged.mass + self.insolubles


def infuse(
    spirit: Liquid,
    solid: Solid,
    *,
    spent: float | None = None,
    retention: float | None = None,
    exchange: float = 1.0,
) -> Infusion:
    """Steep `solid` in `spirit` to equilibrium and strain.

    Exactly one of:
    spent: kg on the scale after straining = free liquid held + insolubles + unexchanged own liquid.
    retention: kg of liquid left in the solids per kg of solid as charged, whether free liquid held or own
    liquid unexchanged: spent = insolubles + retention * solid.mass. It is liquid, not spent mass.
    Fresh fruit 0.5 to 0.85, dry spice and tea 1.5 to 3: common practice, no source. Spent coffee 2 to 2.5.

    exchange: share (0..1) of the solid's own water and solubles that mixed with the spirit; 1 is equilibrium.

    ValueError when neither or both are given, when exchange is outside 0..1, when the spent mass is below
    insolubles plus unexchanged liquid, or when more would be held than there is free liquid.
    """
    if (spent is None) == (retention is None):
        raise ValueError(f"spent is {spent!r}, retention is {retention!r}; accepted: exactly one of them")
    within("exchange", exchange, 0.0, 1.0)
    free = spirit + solid.juice * exchange
    unexchanged = solid.juice * (1.0 - exchange)
    least = solid.insolubles + unexchanged.mass
    if spent is not None:
        within("mass of the spent solids in kg", spent, least - ROUNDING_KG, least + free.mass + ROUNDING_KG)
        held_kg = spent - least
    else:
        kept = retention if retention is not None else 0.0
        charged = solid.mass if solid.mass > 0.0 else 1.0
        low, high = unexchanged.mass / charged, (unexchanged.mass + free.mass) / charged
        within("retention in kg of liquid per kg of solid", kept, low - ROUNDING_KG, high + ROUNDING_KG)
        held_kg = kept * solid.mass - unexchanged.mass
    share = min(1.0, max(0.0, held_kg / free.mass)) if free.mass > 0.0 else 0.0  # only rounding is cut here
    held = free * share
    return Infusion(
        strained=free * (1.0 - share),
        held=held,
        unexchanged=unexchanged,
        insolubles=solid.insolubles,
        ethanol_lost=share if spirit.ethanol > 0.0 else 0.0,
    )
