"""Reading a shipped table (``resources/tables/*.csv``) into frozen records, every bad cell named.

Every row carries ``source`` and ``basis`` (read, computed, memory). A cell that is not what its column says raises
ValueError with the table, the line, the column and the value.
"""

import csv
import io
import unicodedata
from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, fields
from decimal import Decimal, InvalidOperation
from functools import cache
from types import MappingProxyType
from typing import Any, ClassVar, Literal, TypeVar, cast, get_args, get_type_hints

from costing.paths import resource

Basis = Literal["read", "computed", "memory"]
_PERCENT, _SHARE = (Decimal(0), Decimal(100)), (Decimal(0), Decimal(1))
RANGES: Mapping[str, tuple[Decimal, Decimal]] = MappingProxyType(
    dict.fromkeys(("refuse", "water", "sugars", "fibre", "fat", "solubles", "brix", "percent"), _PERCENT)
    | dict.fromkeys(("abv", "abv_low", "abv_high"), _PERCENT)
    | dict.fromkeys(("juice_low", "juice_high", "edible_share", "share_low", "share_high"), _SHARE)
    | {"density": (Decimal("0.5"), Decimal(2)), "t_c": (Decimal(-20), Decimal(100))}
    | {"offset": (Decimal(-1000), Decimal(1000))}
)
"""The accepted range of a column, both ends included; any other figure is 0 or more."""


@dataclass(frozen=True, slots=True)
class Line:
    """One row of a table and where it stands, so that a bad cell can be named."""

    table: str
    number: int
    cells: Mapping[str, str]

    def wrong(self, column: str, wanted: str) -> ValueError:
        """What is raised for the cell of ``column``."""
        where = f"tables/{self.table}.csv line {self.number}, column {column!r}"
        return ValueError(f"{where}: {self.cells.get(column)!r} is not {wanted}")

    def figure(self, column: str) -> Decimal | None:
        """The cell as a number in its range, None when empty. ValueError naming the cell otherwise."""
        if not (cell := self.cells[column]):
            return None
        low, high = RANGES.get(column, (Decimal(0), Decimal("Infinity")))
        try:
            value = Decimal(cell)
        except InvalidOperation:
            raise self.wrong(column, "a number") from None
        if not value.is_finite() or not low <= value <= high:
            raise self.wrong(column, f"a number from {low} to {high}")
        return value


@cache
def lines(table: str) -> tuple[Line, ...]:
    """The rows of ``tables/<table>.csv`` with their line numbers. ValueError for a table missing or not in form."""
    try:
        if not table.isidentifier():
            raise FileNotFoundError(table)
        text = resource("tables", f"{table}.csv").decode("utf-8")
    except FileNotFoundError:
        raise ValueError(f"no table is called {table!r}") from None
    except UnicodeDecodeError as bad:
        raise ValueError(f"tables/{table}.csv is not UTF-8: byte {bad.start}") from None
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    try:
        header, *body = [(reader.line_num, cells) for cells in reader] or [(1, list[str]())]
    except csv.Error as bad:
        raise ValueError(f"tables/{table}.csv line {reader.line_num}: {bad}") from None
    return _checked(table, header[1], body)


def _checked(table: str, header: list[str], body: list[tuple[int, list[str]]]) -> tuple[Line, ...]:
    if len(set(header)) < len(header) or not {"source", "basis"} <= set(header) or not all(header):
        raise ValueError(
            f"tables/{table}.csv line 1: the header {header} lacks a name, source or basis, or repeats one"
        )
    found: list[Line] = []
    for number, cells in body:
        if len(cells) != len(header):
            raise ValueError(
                f"tables/{table}.csv line {number}: {len(cells)} cells under {len(header)} columns: {cells}"
            )
        found.append(Line(table, number, MappingProxyType(dict(zip(header, cells, strict=True)))))
    return tuple(found)


def rows(table: str) -> tuple[Mapping[str, str], ...]:
    """The rows of a table as they stand in the file, read once. ValueError for an unknown or broken table."""
    return tuple(line.cells for line in lines(table))


def fold(name: str) -> str:
    """A name for comparing: case, accents, signs and a plural ending taken off each word. "Limes" and "lime" agree."""
    plain = unicodedata.normalize("NFKD", name.casefold())
    kept = "".join(c if c.isalnum() else " " for c in plain if not unicodedata.combining(c))
    return " ".join(_singular(word) for word in kept.split())


def _singular(word: str) -> str:
    if len(word) > 4 and word.endswith("ies"):
        return word[:-3] + "y"
    if len(word) > 4 and word.endswith(("ches", "shes", "sses", "xes", "oes")):
        return word[:-2]
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith(("ss", "us", "is")) else word


@dataclass(frozen=True, slots=True, kw_only=True)
class Sourced:
    """What every row carries. ``table`` names the file that a record of this kind stands in."""

    table: ClassVar[str] = ""
    note: str
    source: str
    basis: Basis


S = TypeVar("S", bound=Sourced)


def _cell(line: Line, column: str, kind: Any) -> Any:
    options = get_args(kind)
    if kind is Decimal or Decimal in options:
        if (figure := line.figure(column)) is None and not options:
            raise line.wrong(column, "filled in")
        return figure
    text = line.cells[column]
    if kind is str:
        return text
    if kind is Basis or Basis in options:
        if text not in get_args(Basis) and (text or kind is Basis):
            raise line.wrong(column, f"one of {', '.join(get_args(Basis))}")
        return text or None
    return tuple(part.strip() for part in text.split(";") if part.strip())


def records(cls: type[S]) -> tuple[S, ...]:
    """The rows of the table of ``cls`` as records, read once. ValueError naming table, line, column and value."""
    return _parsed(cast(Hashable, cls))


@cache
def _parsed(cls: type[Any]) -> tuple[Any, ...]:
    table, hints = cls.table, get_type_hints(cls)
    wanted = {f.name for f in fields(cls)}
    for line in lines(table)[:1]:
        if set(line.cells) != wanted:
            raise ValueError(
                f"tables/{table}.csv line 1: the columns are {sorted(line.cells)}, wanted {sorted(wanted)}"
            )
    for line in lines(table):
        if not line.cells["source"]:
            raise line.wrong("source", "filled in")
    return tuple(cls(**{name: _cell(line, name, hints[name]) for name in wanted}) for line in lines(table))


def by_name(found: tuple[S, ...], names: Callable[[S], tuple[str, ...]]) -> Mapping[str, S]:
    """The records under each of their folded names. ValueError where one name stands for two rows."""
    named: dict[str, S] = {}
    for record in found:
        for name in names(record):
            if named.setdefault(fold(name), record) is not record:
                raise ValueError(f"tables/{record.table}.csv: the name {name!r} stands for two rows")
    return MappingProxyType(named)
