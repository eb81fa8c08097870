"""Which form of the file this program writes, and how older forms become it.

A form is major.minor, kept as major * 1000 + minor. A new major says that a program of the old one cannot read
the records; a new minor only adds what an old program may overlook (a table of its own, an index), so that
programs of the same major share files. A new field or kind of record is a new major.

An upgrade is a pure function from the plain form of one kind of record to the plain form of the next version.
Rows of the record table, sides of old journal changes and records of an old JSON form all pass through it.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from costing.book.plain import Plain

FORMAT = (5, 0)
FIRST = 1000

Upgrade = Callable[[Plain], Plain]


def number_of(major: int, minor: int) -> int:
    """A form as one number."""
    return major * 1000 + minor


def text_of(number: int) -> str:
    """A form as people write it: 1000 is "1.0"."""
    return f"{number // 1000}.{number % 1000}"


@dataclass(frozen=True, slots=True)
class Form:
    """The form a program writes: its ``number``, and ``upgrades`` by the number they start from and by kind."""

    number: int = number_of(*FORMAT)
    upgrades: Mapping[int, Mapping[str, Upgrade]] = field(default_factory=dict)

    def too_new(self, number: int) -> bool:
        """True for a later major."""
        return number // 1000 > self.number // 1000

    def upgraded(self, kind: str, data: Plain, since: int) -> Plain:
        """``data`` of form ``since`` in this form; the argument is left as it was."""
        for start in sorted(self.upgrades):
            change = self.upgrades[start].get(kind) if start >= since else None
            if change is not None:
                data = change(dict(data))
        return data


CURRENT = Form()
