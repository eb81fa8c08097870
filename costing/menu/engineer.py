"""Menu classes by popularity and contribution margin (Kasavana and Smith, Menu Engineering, 1982), with the columns and
letters of Dittmer and Keefe, Principles of Food, Beverage, and Labor Cost Controls, 9th ed., Wiley 2009, chapter 11.

A menu mix share (C = B/N) is high from Q = 70 % of an equal share 1/n; a margin (F = E - D) is high from the mean
margin of all that was sold (O = M/N: weighted, never the mean of the items' margins). The 1982 authors count exactly
the cut as high, the textbook's key as low: ``tie`` says which, for both.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal, overload

from costing.menu.figures import Given, ItemRow, Number, Tie, Unsold, in_set, known_cut, reaches, read_items

Klass = Literal["star", "plowhorse", "puzzle", "dog"]
CLASSES: tuple[Klass, ...] = ("star", "plowhorse", "puzzle", "dog")


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row judged: ``sold`` (B), ``cost`` (D), ``price`` (E, net), ``margin`` (F) and ``mix`` (C, a fraction; None
    where nothing was sold at all, and then it has no class).

    A row that is not ``counted`` (none of it sold, where those are left out of the n) is never popular; its margin
    still tells a puzzle from a dog.
    """

    name: str
    sold: float
    cost: float
    price: float
    margin: float
    mix: float | None
    klass: Klass | None
    counted: bool = True

    @property
    def popular(self) -> bool:
        """Whether its share of the mix is high."""
        return self.klass in ("star", "plowhorse")

    @property
    def earns(self) -> bool:
        """Whether its margin is high."""
        return self.klass in ("star", "puzzle")


@dataclass(frozen=True, slots=True, kw_only=True)
class Engineered(Sequence[Row]):
    """The rows in the order they came, with totals and cuts by the letters of the published table.

    ``N`` sold, ``I`` cost, ``J`` net sales, ``K`` = I/J, ``M`` margin; ``O`` = M/N the margin cut in money, ``Q`` =
    cut/n the popularity cut as a fraction, ``popularity_sold`` the same as how many must be sold. K is None without
    sales, the cuts where nothing was sold.
    """

    rows: tuple[Row, ...]
    n: int
    cut: float
    tie: Tie
    N: float
    I: float  # noqa: E741  the letters are the published ones
    J: float
    K: float | None
    M: float
    O: float | None  # noqa: E741
    Q: float | None
    popularity_sold: float | None

    @property
    def margin_cut(self) -> float | None:
        """Margin from which a row earns much (O)."""
        return self.O

    @property
    def popularity_cut(self) -> float | None:
        """Share of the mix from which a row is popular (Q)."""
        return self.Q

    def __len__(self) -> int:
        return len(self.rows)

    def __iter__(self) -> Iterator[Row]:
        return iter(self.rows)

    @overload
    def __getitem__(self, index: int) -> Row: ...
    @overload
    def __getitem__(self, index: slice) -> tuple[Row, ...]: ...
    def __getitem__(self, index: int | slice) -> Row | tuple[Row, ...]:
        return self.rows[index]


def engineer(items: Iterable[ItemRow], cut: Number = 0.7, tie: Tie = "high", unsold: Unsold = "counted") -> Engineered:
    """The class of every row ``(name, sold, cost, net price)`` of one competing set.

    ``cut`` is the share of an equal share from which a row is popular; ``tie`` whether exactly the cut counts as
    "high" or "low"; ``unsold`` whether rows of which none was sold are "counted" among the n or "left out". Classes
    are None where nothing was sold at all. A single row is its own mean: it is at both cuts or above.
    ValueError names the row with a figure below 0 or that is no number. A negative margin is a figure like any other.
    """
    return judged_set(read_items(items), known_cut(cut), tie, unsold)


def judged_set(rows: Sequence[Given], cut: Fraction, tie: Tie, unsold: Unsold) -> Engineered:
    """``engineer`` for rows in exact figures."""
    counted = in_set(rows, unsold)
    n = sum(counted)
    sold = sum((r.sold for r in rows), Fraction(0))
    cost = sum((r.sold * r.cost for r in rows), Fraction(0))
    sales = sum((r.sold * r.price for r in rows), Fraction(0))
    mean = (sales - cost) / sold if sold else None
    share = cut / n if sold else None
    return Engineered(
        rows=tuple(
            Row(
                name=r.name, sold=float(r.sold), cost=float(r.cost), price=float(r.price), margin=float(r.margin),
                mix=float(r.sold / sold) if sold else None, klass=_klass(r, inside, sold, mean, share, tie),
                counted=inside,
            )
            for r, inside in zip(rows, counted, strict=True)
        ),
        n=n, cut=float(cut), tie=tie, N=float(sold), I=float(cost), J=float(sales),
        K=float(cost / sales) if sales else None, M=float(sales - cost),
        O=None if mean is None else float(mean), Q=None if share is None else float(share),
        popularity_sold=None if share is None else float(share * sold),
    )  # fmt: skip


def _klass(
    row: Given, inside: bool, sold: Fraction, mean: Fraction | None, share: Fraction | None, tie: Tie
) -> Klass | None:
    if mean is None or share is None:
        return None
    return klass_of(inside and reaches(row.sold, share * sold, tie), reaches(row.margin, mean, tie))


def klass_of(popular: bool, earns: bool) -> Klass:
    """The class of a row by its two sides."""
    if popular:
        return "star" if earns else "plowhorse"
    return "puzzle" if earns else "dog"
