"""What the loss ledger says of a stage: streams in, streams out, deviations, and the row that money rides on."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from costing.book.fact import Mark
from costing.book.problem import Problem
from costing.book.units import Dim
from costing.ledger.matter import NOTHING, Matter
from costing.ledger.rows import EMPTY, Carried, Row, plus
from costing.ledger.unit import Unit

Fate = Literal["in", "on", "kept", "meant", "lost", "unexplained"]
Standing = Mark | Literal["computed"]
"""How a figure that a stage stands on is known; runs that nobody entered are computed."""


@dataclass(frozen=True, slots=True)
class Stream:
    """One flow at a stage. ``source`` names what came in; ``row`` is the money that rides on it as amounts."""

    name: str
    matter: Matter
    fate: Fate
    source: str = ""
    row: Row = field(default_factory=dict)

    @property
    def runs_on(self) -> bool:
        """True for what comes from the stage before; a good may be called "running" and is none."""
        return self.fate == "in" and self.name == "running" and not self.source


@dataclass(frozen=True, slots=True)
class Deviation:
    """A reading beside what the facts alone predict (None where they predict nothing)."""

    reading: str
    measured: float
    predicted: float | None

    @property
    def by(self) -> float | None:
        """Measured minus predicted."""
        return None if self.predicted is None else self.measured - self.predicted


@dataclass(frozen=True, slots=True)
class Line:
    """One stage of a ledger.

    ``share_lost`` is of the key component that entered; ``stood_on`` lists the figures used, each with its mark;
    ``carried`` is what the running stream has taken in after this stage; ``makes`` is the stated product (kg or L)
    of a stage whose matter cannot say it; ``solids`` the solid-bringing parts that go on, ``known``
    whether all that went in is followed as matter;
    ``runs`` how often the equipment was charged; ``spilled`` what of each input was poured beside.
    """

    stage: str
    kind: str
    ins: tuple[Stream, ...]
    outs: tuple[Stream, ...]
    key: str
    share_lost: float
    carried: Carried
    stood_on: tuple[tuple[str, float, Standing], ...] = ()
    deviations: tuple[Deviation, ...] = ()
    notes: tuple[tuple[str, float], ...] = ()
    problems: tuple[Problem, ...] = ()
    makes: tuple[Dim, float] | None = None
    solids: Matter = NOTHING
    known: bool = True
    runs: float = 1.0
    spilled: Row = field(default_factory=dict)

    @property
    def entered(self) -> Row:
        """Everything that entered the stage, the running stream's row with it."""
        return plus(*(s.row for s in self.ins))

    @property
    def on(self) -> Stream:
        """The running stream after the stage."""
        return next(s for s in self.outs if s.fate == "on")

    def total(self, *fates: Fate) -> Matter:
        """Sum of the matter of all streams with these fates."""
        whole = NOTHING
        for stream in self.ins + self.outs:
            if stream.fate in fates:
                whole = whole + stream.matter
        return whole


@dataclass(frozen=True, slots=True)
class Output:
    """A preparation or by-product as it is issued: its Unit, how many base units a batch makes, how many of them
    the next batch takes (``own_use``), and the direct row per base unit, cleared of own use."""

    id: str
    unit: Unit
    made: float
    direct: Carried
    own_use: float = 0.0


@dataclass(frozen=True, slots=True)
class Ledger:
    """A preparation followed through its stages. ``outputs`` is empty when it is refused: see ``problems``."""

    id: str
    lines: tuple[Line, ...]
    outputs: Mapping[str, Output]
    problems: tuple[Problem, ...] = ()
    rounds: int = 1

    @property
    def refused(self) -> bool:
        """True when nothing can be costed from it."""
        return not self.outputs


__all__ = ["EMPTY", "Deviation", "Fate", "Ledger", "Line", "Output", "Standing", "Stream"]
