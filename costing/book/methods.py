"""How a figure is measured: the methods a house uses, what each can read, and what it needs of the liquid.

A method is a row here, like a stage kind. Which of them cannot work on a liquid is said by ``costing.ledger.measuring``
from its composition; the words stand in ``costing.report.words``. A Fact's ``how`` begins with the method.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from costing.book.fact import Fact
from costing.book.units import Dim


@dataclass(frozen=True, slots=True)
class Method:
    """One row. ``reads`` are the dimensions it measures; ``clear`` needs a liquid without solids in it, ``unsweetened``
    without dissolved solids, ``sober`` without alcohol, ``still`` without gas, ``bought`` as it was bought."""

    reads: tuple[Dim, ...]
    clear: bool = False
    unsweetened: bool = False
    sober: bool = False
    still: bool = False
    bought: bool = False


METHODS: Mapping[str, Method] = {
    "scales": Method((Dim.MASS,)),
    "jug": Method((Dim.VOLUME,), clear=True, still=True),
    "label": Method((Dim.STRENGTH, Dim.BRIX, Dim.CONCENTRATION, Dim.VOLUME, Dim.MASS), bought=True),
    "alcoholmeter": Method((Dim.STRENGTH,), clear=True, unsweetened=True, still=True),
    "density meter": Method((Dim.STRENGTH, Dim.DENSITY), clear=True, unsweetened=True, still=True),
    "distilled sample": Method((Dim.STRENGTH,)),
    "refractometer": Method((Dim.BRIX,), sober=True),
    "saccharometer": Method((Dim.BRIX,), clear=True, sober=True, still=True),
    "titration": Method((Dim.CONCENTRATION,)),
    "pH meter": Method(()),
    "thermometer": Method((Dim.TEMPERATURE,)),
    "gauge": Method((Dim.PRESSURE,)),
    "clock": Method((Dim.TIME,)),
    "count": Method((Dim.COUNT,)),
}


def method_of(fact: Fact) -> str:
    """The method that a fact's ``how`` begins with, or "" when it names none of them."""
    said = fact.how.strip().lower()
    for name in METHODS:
        if said == name.lower() or said.startswith((name.lower() + " ", name.lower() + ",", name.lower() + ":")):
            return name
    return ""
