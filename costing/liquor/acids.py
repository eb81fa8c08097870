"""Acids of juices and of the shelf, compared by what they neutralise.

Molar masses from atomic weights. An equivalent is the mass that neutralises one mole of base.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from costing.liquor.guards import not_negative

# g/mol and how many of its hydrogens count
_ACIDS = {
    "citric": (192.12, 3),
    "citric-monohydrate": (210.14, 3),
    "malic": (134.09, 2),
    "tartaric": (150.09, 2),
    "lactic": (90.08, 1),
    "acetic": (60.05, 1),
    # Two of three: the third is not reached where juices are titrated to (pH 8.2). From memory.
    "phosphoric": (97.99, 2),
}
EQUIVALENTS: Mapping[str, float] = MappingProxyType({name: mass / count for name, (mass, count) in _ACIDS.items()})
"""Grams of each acid that neutralise one mole of base."""


def equivalent(acid: str) -> float:
    """Grams of the acid that neutralise one mole of base; ValueError, naming the known ones, for any other name."""
    if acid not in EQUIVALENTS:
        raise ValueError(f"acid is {acid!r}; accepted: {', '.join(EQUIVALENTS)}")
    return EQUIVALENTS[acid]


def as_citric(grams: float, acid: str) -> float:
    """Grams of anhydrous citric acid that neutralise as much as `grams` (0 or more) of the named acid."""
    not_negative("grams", grams)
    return grams * EQUIVALENTS["citric"] / equivalent(acid)


def from_citric(grams: float, acid: str) -> float:
    """Grams of the named acid that neutralise as much as `grams` (0 or more) of anhydrous citric acid.

    With "citric-monohydrate" it is the weight to put on the scale for a recipe that means the anhydrous powder.
    """
    not_negative("grams", grams)
    return grams * equivalent(acid) / EQUIVALENTS["citric"]


def acid_to_add(litres: float, have: Mapping[str, float], target: Mapping[str, float]) -> dict[str, float]:
    """Grams of each acid that bring `litres` of juice from `have` to `target`, both in g/L by acid.

    An acid that is not named counts as 0 g/L; every acid of either appears in the answer. The few grams swell the
    juice a little (50 g to the litre by about 3 %), which is not counted. ValueError for an unknown acid, a
    negative figure, or a target below what is there: acid cannot be taken out, only diluted.
    """
    not_negative("litres", litres)
    grams: dict[str, float] = {}
    for acid in (*have, *(a for a in target if a not in have)):
        equivalent(acid)
        there, wanted = have.get(acid, 0.0), target.get(acid, 0.0)
        not_negative(f"{acid} acid there in g/L", there)
        if not there <= wanted < float("inf"):
            raise ValueError(
                f"target for {acid} acid is {wanted!r} g/L; accepted range from the {there!r} there, finite"
            )
        grams[acid] = litres * (wanted - there)
    return grams
