"""What every mechanism works with: the charge, how it parts, figures that cannot be, and shares of a stream."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from costing.ledger.matter import NOTHING, Matter

Figures = Mapping[str, float]

SCALES = 0.005
"""Share by which a weighing or a jug may be off: common practice, no source; a gap inside it is not impossible."""
HYDROMETER = 0.005
"""Strength reading error as a fraction by volume (0.5 % vol): common practice, no source."""


class Impossible(ValueError):
    """The figures cannot be: carries a Problem code, the figure at fault, its value and the bound it breaks."""

    def __init__(self, code: str, figure: str, **detail: Any) -> None:
        super().__init__(f"{code}: {figure} {detail}")
        self.code, self.figure, self.detail = code, figure, detail


@dataclass(frozen=True, slots=True)
class Charge:
    """What enters a stage: all of it, the parts of it that bring insolubles (fruit, not the spirit on it), and 1 kg
    of a diluent; ``asked`` when the stage works out how much of that goes in."""

    entering: Matter
    solids: Matter = NOTHING
    diluent: Matter = Matter(water=1.0)
    asked: bool = False


@dataclass(frozen=True, slots=True)
class Parted:
    """What goes on, what leaves by difference, film on the equipment, and kg of diluent the stage asked for.

    ``doubts`` are codes of warnings: the masses stand, but something about them is not known well.
    """

    out: Matter
    left: Matter = NOTHING
    own: frozenset[str] = frozenset()
    film: Matter = NOTHING
    diluent: float = 0.0
    notes: tuple[tuple[str, float], ...] = ()
    doubts: tuple[str, ...] = ()


def at_most(figure: str, value: float, most: float, code: str = "more-out-than-in") -> float:
    """``value``, or ``most`` where it is above it by no more than the scales may err. Impossible beyond that."""
    if value > most * (1.0 + SCALES) + 1e-9:
        raise Impossible(code, figure, value=value, most=most)
    return min(value, most)


def volume_of(matter: Matter, figure: str) -> float:
    """Litres at 20 C of what has a volume. Impossible otherwise."""
    volume = matter.volume()
    if volume is None:
        raise Impossible("no-volume", figure)
    return volume


def litres_to_kg(matter: Matter, litres: float, figure: str) -> float:
    """Kilograms of a stream of this composition that fill ``litres`` at 20 C."""
    volume = volume_of(matter, figure)
    if volume <= 0.0:
        raise Impossible("no-volume", figure)
    return litres / volume * matter.mass


def share_out(figure: str, share: float) -> float:
    """A share from 0 to 1 as it is. Impossible outside."""
    if not 0.0 <= share <= 1.0:
        raise Impossible("out-of-range", figure, value=share, low=0.0, high=1.0)
    return share


def kept_share(whole: Matter, figures: Figures) -> tuple[float, frozenset[str]]:
    """Share of an unseparated stream that goes on, and the figure that says so."""
    if whole.mass == 0.0:
        return 1.0, frozenset()
    for name in ("out.mass", "makes.mass"):
        if name in figures:
            return at_most(name, figures[name], whole.mass) / whole.mass, frozenset({name})
        volume = name.replace("mass", "volume")
        if volume in figures:
            kilograms = litres_to_kg(whole, figures[volume], volume)
            return at_most(volume, kilograms, whole.mass) / whole.mass, frozenset({volume})
        if name == "out.mass" and "left.mass" in figures:
            gone = at_most("left.mass", figures["left.mass"], whole.mass)
            return 1.0 - gone / whole.mass, frozenset({"left.mass"})
    if "keep" in figures:
        return share_out("keep", figures["keep"]), frozenset({"keep"})
    if "refuse" in figures:
        return 1.0 - share_out("refuse", figures["refuse"]), frozenset({"refuse"})
    return 1.0, frozenset()


def with_film(parted: Parted, figures: Figures) -> Parted:
    """With what every run leaves in the vessel, whatever the batch; what was weighed afterwards knows of it already."""
    kilograms = figures.get("holdup", 0.0) * figures.get("runs", 1.0)
    if kilograms < 0.0:
        raise Impossible("out-of-range", "holdup", value=kilograms, low=0.0, high=parted.out.mass)
    if kilograms == 0.0 or parted.own & {"out.mass", "out.volume"}:
        return parted
    if kilograms > parted.out.mass:
        raise Impossible("more-out-than-in", "holdup", value=kilograms, most=parted.out.mass)
    film, out = parted.out.split(kilograms / parted.out.mass)
    own = parted.own | {"holdup"} | ({"runs"} & set(figures))
    return replace(parted, out=out, film=parted.film + film, own=own)
