"""What is wrong with data: a value, never an exception, so that the rest still computes."""

from dataclasses import dataclass
from datetime import date
from typing import Literal

Level = Literal["error", "warning", "note"]


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing amiss, as a code and figures; ``costing.report.words`` turns it into a sentence.

    ``where`` is a path such as ``preparation/rum/stage/still``; ``detail`` holds (name, value) pairs.
    An ``error`` keeps the thing out of cost, a ``warning`` does not, a ``note`` only informs.
    """

    code: str
    where: str
    detail: tuple[tuple[str, str], ...] = ()
    level: Level = "error"

    def get(self, name: str, default: str = "") -> str:
        """The value stored under ``name`` in the detail."""
        return dict(self.detail).get(name, default)


def problem(code: str, where: str, level: Level = "error", **detail: object) -> Problem:
    """A Problem whose figures are given by keyword; floats are shortened to twelve digits."""
    pairs = tuple((k, f"{v:.12g}" if isinstance(v, float) else str(v)) for k, v in detail.items())
    return Problem(code, where, pairs, level)


def is_day(text: str) -> bool:
    """Whether a step of a problem's path is the first day of a version."""
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False


def leads_into(where: str, kind: str, ident: str, since: date | None) -> bool:
    """Whether a problem's path leads into a record, as it is made since ``since``: not into another version of it."""
    path = f"{kind}/{ident}"
    if where != path and not where.startswith(f"{path}/"):
        return False
    day = where[len(path) + 1 :].partition("/")[0]
    return since is None or not is_day(day) or day == since.isoformat()
