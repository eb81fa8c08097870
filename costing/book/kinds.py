"""Stage kinds: many words over few mechanisms. A kind is a row here, not a class.

A row says the mechanism, which facts the kind takes, what the leaving stream is called and whether it is
meant to leave (water in roasting) or lost (trim, alcohol held in fruit).
"""

from dataclasses import dataclass
from typing import Literal

from costing.book.units import Dim

Mechanism = Literal["mix", "proof", "part", "dry", "drain", "still", "ferment"]
Leaving = Literal["meant", "lost"]


@dataclass(frozen=True, slots=True)
class StageKind:
    """One row: ``facts`` the kind takes, ``leaves`` the name of what leaves, ``fate`` meant or lost."""

    mechanism: Mechanism
    facts: tuple[str, ...]
    leaves: str
    fate: Leaving

    @property
    def takes(self) -> tuple[str, ...]:
        """Every fact a stage of this kind may state: its own, and the runs that every stage may be made in."""
        return (*self.facts, "runs")


FACT_DIMS: dict[str, tuple[Dim, ...]] = {
    "keep": (Dim.RATIO,),
    "refuse": (Dim.RATIO,),
    "makes": (Dim.MASS, Dim.VOLUME),
    "lost": (Dim.RATIO,),
    "to": (Dim.MASS, Dim.VOLUME),
    "brix": (Dim.BRIX,),
    "abv": (Dim.STRENGTH,),
    "pressure": (Dim.PRESSURE,),
    "take": (Dim.VOLUME,),
    "pot_abv": (Dim.STRENGTH,),
    "pot_t": (Dim.TEMPERATURE,),
    "holdup": (Dim.MASS,),
    "coolant": (Dim.TEMPERATURE,),
    "vent": (Dim.AMOUNT,),
    "exchange": (Dim.RATIO,),
    "t": (Dim.TEMPERATURE,),
    "headspace": (Dim.VOLUME,),
    "purges": (Dim.RATIO, Dim.COUNT),
    "foam": (Dim.RATIO,),
    "given_off": (Dim.MASS,),
    "runs": (Dim.RATIO, Dim.COUNT),
    "spent": (Dim.MASS,),
    "spent_ratio": (Dim.RATIO,),
    "yield": (Dim.RATIO,),
    "dilution": (Dim.RATIO,),
    "co2": (Dim.CONCENTRATION,),
}
"""What each fact measures. A fact of another dimension is a Problem, never converted in silence."""

READING_DIMS: dict[str, Dim] = {
    "out.mass": Dim.MASS,
    "out.volume": Dim.VOLUME,
    "out.abv": Dim.STRENGTH,
    "out.brix": Dim.BRIX,
    "left.mass": Dim.MASS,
    "left.abv": Dim.STRENGTH,
}
"""Weighings, volumes and strengths that a stage may carry: of what goes on, and of what leaves."""

RIVALS: dict[Mechanism, tuple[str, ...]] = {
    "mix": (),
    "proof": ("abv", "brix"),
    "part": ("keep", "refuse", "makes"),
    "dry": ("lost", "to", "brix"),
    "drain": ("spent", "spent_ratio", "yield"),
    "still": ("take", "pot_abv", "pot_t"),
    "ferment": ("abv", "given_off"),
}
"""Facts that each say how much goes on; a stage takes one of them, so that none wins in silence."""

_SHARE = ("keep", "holdup")
_DRAIN = ("spent", "spent_ratio", "yield", "holdup")
_GAS = ("keep", "holdup", "co2", "t", "headspace", "purges", "foam")
_STILL = ("pressure", "take", "pot_abv", "pot_t", "holdup", "coolant", "vent")

STAGE_KINDS: dict[str, StageKind] = {
    "make": StageKind("part", ("makes", "keep"), "short", "lost"),
    "trim": StageKind("part", ("keep", "refuse"), "trim", "lost"),
    "bottle": StageKind("part", _SHARE, "left behind", "lost"),
    "rest": StageKind("part", _SHARE, "gone in resting", "lost"),
    "cut": StageKind("part", ("keep", "refuse"), "offcut", "lost"),
    "blend": StageKind("mix", _SHARE, "left behind", "lost"),
    "dissolve": StageKind("mix", _SHARE, "left behind", "lost"),
    "acidify": StageKind("mix", _SHARE, "left behind", "lost"),
    "build": StageKind("mix", ("keep", "dilution"), "left behind", "lost"),
    "wash": StageKind("mix", _SHARE, "left behind", "lost"),
    "carbonate": StageKind("mix", _GAS, "gas vented", "lost"),
    "proof": StageKind("proof", ("abv", "brix", "holdup"), "left behind", "lost"),
    "roast": StageKind("dry", ("lost", "to", "brix"), "vapour", "meant"),
    "reduce": StageKind("dry", ("lost", "to", "brix"), "vapour", "meant"),
    "dehydrate": StageKind("dry", ("lost", "to"), "vapour", "meant"),
    "infuse": StageKind("drain", (*_DRAIN, "exchange"), "held in the solids", "lost"),
    "rinse": StageKind("drain", (*_DRAIN, "exchange"), "held in the solids", "lost"),
    "strain": StageKind("drain", _DRAIN, "held in the solids", "lost"),
    "press": StageKind("drain", _DRAIN, "press cake", "lost"),
    "juice": StageKind("drain", _DRAIN, "hulls and pulp", "lost"),
    "clarify": StageKind("drain", _DRAIN, "pellet", "lost"),
    "ferment": StageKind("ferment", ("abv", "given_off"), "gas given off", "meant"),
    "distil": StageKind("still", _STILL, "pot residue", "lost"),
}
