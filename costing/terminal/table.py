"""Plain text tables for a terminal: columns as wide as they need, numbers to the right, wide scripts counted."""

import unicodedata
from collections.abc import Iterable, Sequence


def width(text: str) -> int:
    """Cells a text takes on a terminal: combining marks none, East Asian wide signs two."""
    return sum(0 if unicodedata.combining(ch) else 2 if unicodedata.east_asian_width(ch) in "WF" else 1 for ch in text)


def printable(text: str) -> str:
    """Text that cannot move the cursor or turn the line round: control and direction signs become a dot."""
    return "".join("·" if unicodedata.category(ch) in ("Cc", "Cf", "Cs") else ch for ch in text)


def table(head: Sequence[str], rows: Iterable[Sequence[str]], left: int = 1) -> str:
    """Lines of a table; the first ``left`` columns stand left, the rest right."""
    cells = [[printable(c) for c in row] for row in rows]
    widths = [max([width(h), *(width(row[i]) for row in cells)]) for i, h in enumerate(head)]

    def line(row: Sequence[str]) -> str:
        out = []
        for i, cell in enumerate(row):
            gap = " " * (widths[i] - width(cell))
            out.append(cell + gap if i < left else gap + cell)
        return "  ".join(out).rstrip()

    rule = "  ".join("-" * w for w in widths)
    return "\n".join([line(head), rule, *(line(row) for row in cells)])
