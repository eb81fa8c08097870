"""What is wrong with a starter workbook: a fault for each place, and the one exception that carries them all."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import NamedTuple, Protocol

MOST_SAID = 20


class Fault(NamedTuple):
    """What is wrong in one place: "Packs!F7", and what to do there."""

    place: str
    what: str


class BadSheet(ValueError):
    """A workbook that cannot be read: ``place`` is the file or its first bad cell, ``what`` what is wrong there and
    what to do, ``faults`` everything that was found, and the text all of it in one line (the first twenty)."""

    def __init__(self, file: str, what: str = "", faults: Iterable[Fault] = ()) -> None:
        self.file, self.faults = file, tuple(faults)
        self.place = self.faults[0].place if self.faults else file
        self.what = what or (self.faults[0].what if self.faults else "")
        super().__init__(_seen(f"{file}: {what or _together(self.faults)}"))


def _together(faults: tuple[Fault, ...]) -> str:
    said = "; ".join(f"{f.place} {f.what}" for f in faults[:MOST_SAID])
    more = len(faults) - MOST_SAID
    return said + (f"; and {more} more" if more > 0 else "")


def _seen(text: str) -> str:
    """The text on one line, without what a terminal would obey instead of show."""
    return "".join(ch if ch.isprintable() else "\ufffd" for ch in " ".join(text.split()))


class Placed(Protocol):
    """What has a place and a value to show: a cell."""

    @property
    def place(self) -> str:
        """ "Packs!F7"."""

    @property
    def shown(self) -> str:
        """The value in quotes, short."""


@dataclass(slots=True)
class Faults:
    """Where faults are gathered while reading goes on."""

    found: list[Fault] = field(default_factory=list)
    places: set[str] = field(default_factory=set)
    used: set[str] = field(default_factory=set)
    """Places that the reader has looked at: what is filled in and not among them would be dropped in silence."""

    def at(self, cell: Placed, what: str) -> None:
        """A fault of a cell, its value in front."""
        self.add(cell.place, f"{cell.shown}: {what}" if cell.shown else what)

    def add(self, place: str, what: str) -> None:
        """A fault of a place without a value."""
        self.found.append(Fault(place, what))
        self.places.add(place)

    @property
    def many(self) -> bool:
        """Whether there are more than anybody will be shown, so that no more guesses at spelling are worth it."""
        return len(self.found) > 5 * MOST_SAID
