"""A table as it arrived: every cell is text, and what a sheet knew about a cell rides in the cell's own type."""

from dataclasses import dataclass
from typing import Literal

Shape = Literal["text", "xlsx", "xls", "xlsb", "ods", "paste"]


class Figure(str):
    """A cell that a sheet stored as a number, in plain digits with a point ("1204.5"; whole numbers without ".0"). Its
    decimal mark is known, so it takes no part in the vote of its column."""

    __slots__ = ()


class MoneyFigure(Figure):
    """A Figure whose number format names money: ``currency`` is the ISO 4217 code, or the sign as it stands where
    several currencies share it ("$", "kr")."""

    __slots__ = ("currency",)
    currency: str

    def __new__(cls, text: str, currency: str) -> "MoneyFigure":
        """The digits and the currency."""
        made = super().__new__(cls, text)
        made.currency = currency
        return made

    def __reduce__(self) -> tuple[type["MoneyFigure"], tuple[str, str]]:
        """For copies: the text and the currency."""
        return MoneyFigure, (str(self), self.currency)


class PercentFigure(Figure):
    """A share whose number format shows it in hundredths: "150 %" for a stored 1.5. The mark in it is a point."""

    __slots__ = ()


class DayCell(str):
    """A cell that a sheet stored as a date, in ISO form."""

    __slots__ = ()


class Unworked(str):
    """A cell with a formula and no kept value: empty, and never 0."""

    __slots__ = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """One table. ``rows`` are cells by row; a row is named by its place in them, counted from 1.

    ``hidden_rows`` and ``hidden_columns`` are indices into ``rows`` and its cells; a merged cell has been filled into
    every cell that it covers where ``merged_rows`` names its rows. ``sheet`` is the sheet's name, ``others`` the
    names of sheets that were not read ("name", or "name (hidden)"). ``delimiter`` and ``encoding`` are those of a
    text.
    """

    shape: Shape
    rows: tuple[tuple[str, ...], ...]
    sheet: str = ""
    others: tuple[str, ...] = ()
    hidden_rows: frozenset[int] = frozenset()
    hidden_columns: frozenset[int] = frozenset()
    merged_rows: frozenset[int] = frozenset()
    delimiter: str = ""
    encoding: str = ""
    sure: bool = True
    """False where the encoding or the delimiter of a text had to be guessed: show a preview and let it be chosen."""
