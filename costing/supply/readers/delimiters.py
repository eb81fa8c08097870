"""What stands between the cells of a text: the sign that most lines have, equally often."""

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

SIGNS = (";", "\t", "|", ",")
SAMPLE = 400
"""Lines that are looked at, from the top."""
_QUOTED = re.compile(r'"(?:[^"]|"")*"')
_SAID = re.compile(r'\ufeff?"?sep=(\\t|[^\w\s"]|\t| )"?[ \t]*(?:\r\n|\r|\n|$)', re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Sign:
    """``sign`` is "" where no line has one. ``sure`` is False where it, or another one, may be meant."""

    sign: str
    sure: bool


@dataclass(frozen=True, slots=True)
class _Fit:
    """How well a sign cuts the sample: rows of the commonest width above one, that width, rows with any cut."""

    sign: str
    rows: int
    width: int
    cut: int

    @property
    def score(self) -> int:
        return self.rows * (self.width - 1)


def said_sign(text: str) -> tuple[str, int]:
    """The sign that a first line "sep=;" names, and the length of that line; ("", 0) without one."""
    found = _SAID.match(text)
    if not found:
        return "", 0
    return "\t" if found[1] == "\\t" else found[1], found.end()


def find_sign(text: str) -> Sign:
    """The sign between the cells of ``text``, quoted cells honoured.

    A semicolon, tab or bar that stands in half of the lines is one; a comma only where none of them is, for it is also
    a decimal mark and in sentences.
    """
    lines = [line for line in text[: SAMPLE * 400].splitlines()[:SAMPLE] if line.strip()]
    if not lines:
        return Sign("", True)
    fits = [fit for fit in (_fit(lines, sign) for sign in SIGNS) if fit.rows]
    if not fits:
        return Sign("", len(lines) < 2)
    plain = [fit for fit in fits if fit.sign != "," and fit.cut * 2 >= len(lines)]
    if plain:
        best = max(plain, key=lambda fit: fit.score)
        rivals = [fit for fit in plain if fit is not best and fit.rows * 2 >= best.rows]
        return Sign(best.sign, not rivals and best.rows * 4 >= best.cut)
    best = max(fits, key=lambda fit: fit.score)
    rivals = [fit for fit in fits if fit is not best and fit.score * 2 >= best.score]
    even = best.rows * 2 >= best.cut and not (best.sign == "," and _cuts_decimals(lines, best.width))
    return Sign(best.sign, even and not rivals and best.cut * 2 >= len(lines))


def _fit(lines: Sequence[str], sign: str) -> _Fit:
    counts = Counter(_bare(line).count(sign) + 1 for line in lines)
    widths = {width: n for width, n in counts.items() if width > 1}
    if not widths:
        return _Fit(sign, 0, 1, 0)
    width = max(widths, key=lambda w: (widths[w], w))
    return _Fit(sign, widths[width], width, sum(widths.values()))


def _bare(line: str) -> str:
    return _QUOTED.sub("", line) if '"' in line else line


def _cuts_decimals(lines: Sequence[str], width: int) -> bool:
    """Whether commas seem to be decimal marks too: a heading with fewer cells than the rows, and pairs of figures side
    by side as in 12,50."""
    rows = [_bare(line) for line in lines]
    narrower = any(1 < row.count(",") + 1 < width for row in rows[:20])
    pairs = sum(bool(re.search(r"(?:^|[^\d.])\d+,\d{1,2}(?:$|[^\d.])", row)) for row in rows)
    return narrower and pairs * 2 > len(rows)
