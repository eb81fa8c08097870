"""Invented lists as tables, and what is asked of them again and again."""

import csv
import io
from collections.abc import Iterable
from datetime import date

from costing.supply.arriving.line import Incoming, PriceLine
from costing.supply.arriving.table import Table
from costing.supply.columns import Columns, understand

TODAY = date(2026, 12, 1)


def table(text: str, delimiter: str = ";", **more: object) -> Table:
    """The cells of an indented text, one row a line; a line with one ``.`` is an empty row."""
    lines = [line.strip() for line in text.strip("\n").split("\n")]
    rows = list(csv.reader(io.StringIO("\n".join("" if line == "." else line for line in lines)), delimiter=delimiter))
    return of_rows(rows, **more)


def of_rows(rows: Iterable[Iterable[str]], **more: object) -> Table:
    """A table of cells; rows are made equally long."""
    cells = [list(row) for row in rows]
    width = max(map(len, cells), default=0)
    full = tuple(tuple(row + [""] * (width - len(row))) for row in cells)
    return Table(**({"shape": "text", "rows": full} | more))  # type: ignore[arg-type]


def read(given: Table | str, columns: Columns | None = None) -> Incoming:
    """What a table says, every row accounted for."""
    made = table(given) if isinstance(given, str) else given
    out = understand(made, columns, name="list.csv", digest="0" * 64, today=TODAY)
    assert len(out.lines) + len(out.left_out) == len(made.rows)
    assert [line.n for line in out.lines] == list(range(1, len(out.lines) + 1))
    return out


def one(given: Table | str, columns: Columns | None = None) -> PriceLine:
    """The only line of a table."""
    (line,) = read(given, columns).lines
    return line


def codes(line: PriceLine) -> set[str]:
    """The codes of a line's doubts."""
    return {doubt.code for doubt in line.doubts}


def said(line: PriceLine, code: str) -> dict[str, str]:
    """The values of one doubt."""
    return dict(next(doubt.values for doubt in line.doubts if doubt.code == code))


def the(*values: object) -> tuple[object, ...]:
    """Several figures of a line at once, to be compared with what they should be."""
    return values
