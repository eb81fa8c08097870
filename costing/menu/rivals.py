"""Other ways to judge the same rows, each with its own words, and how many of them point the same way.

Cuts are means of the menu itself, as each author has them. The formulas are from memory (the papers were not at hand);
their arithmetic is checked on a published exercise. A figure exactly at its cut counts as good where the house's tie
counts as high.

========= ======================================================= =========================================
method    figures                                                 cells
========= ======================================================= =========================================
class     sold, margin (Kasavana and Smith 1982)                  star, plowhorse, puzzle, dog
pavesic   cost share (G/H), weighted margin L = F B               prime, standard, sleeper, problem
          (Pavesic 1983; cuts I/J and M/n)
miller    cost share, sold (Miller 1980; cuts I/J and N/n)        winner, costly seller, cheap slow, loser
goal      A B C D = (1 - cost share) sold price                   above, below
          (1 - variable - cost share)
          (Hayes and Huffman 1985; cut of the menu's means)
labour    sold, margin less the labour of one                     star, plowhorse, puzzle, dog
          (LeBruto, Quain and Ashley 1995)
hour      margin an hour of one machine (theory of constraints;   high, low, free (uses none of it)
          cut margin of all its users over all their hours)
========= ======================================================= =========================================

The common reading (keep, lift, question) is ours, so that cells can be compared: good on both sides is kept, good on
one is worth lifting, good on neither is questioned; of a method with two cells only, the lower one says lift.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from costing.book.selling import Judging
from costing.menu.engineer import judged_set
from costing.menu.figures import Given, ItemRow, Number, Tie, exact, in_set, known_cut, reaches, read_items

MethodCode = Literal["class", "pavesic", "miller", "goal", "labour", "hour"]
Reading = Literal["keep", "lift", "question"]
READINGS: Mapping[str, Reading] = {
    "star": "keep", "plowhorse": "lift", "puzzle": "lift", "dog": "question",
    "prime": "keep", "standard": "lift", "sleeper": "lift", "problem": "question",
    "winner": "keep", "costly seller": "lift", "cheap slow": "lift", "loser": "question",
    "above": "keep", "below": "lift",
    "high": "keep", "low": "lift", "free": "keep",
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """Where a method puts one row: its own word, the common reading, and its figures in the order of the method's
    cuts (None where there is none, as a cost share at a price of 0). ``rank`` 1 is best, where a method ranks."""

    cell: str
    figures: tuple[float | None, ...]
    rank: int | None = None

    @property
    def reading(self) -> Reading:
        """What to do with it, in words that all methods share."""
        return READINGS[self.cell]


@dataclass(frozen=True, slots=True, kw_only=True)
class Method:
    """One method on one set: a cell for each row (None where it can say nothing of it) and its cuts."""

    code: MethodCode
    cells: tuple[Cell | None, ...]
    cuts: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreement:
    """One row as every method has it. ``same`` of ``of`` methods share the commonest reading, ``reading`` (None where
    two are as common)."""

    name: str
    cells: Mapping[MethodCode, Cell]
    reading: Reading | None
    same: int
    of: int


@dataclass(frozen=True, slots=True)
class _Means:
    """What the cuts stand on; rows that are not counted have no cell."""

    rows: tuple[Given, ...]
    inside: tuple[bool, ...]
    n: int
    sold: Fraction
    cost: Fraction
    sales: Fraction
    tie: Tie

    def cheap(self, row: Given) -> bool:
        """Whether the cost share is no higher than the set's, multiplied out: a price of 0 has no share and is dear."""
        return row.price > 0 and reaches(self.cost * row.price, self.sales * row.cost, self.tie)

    def cells(self, cell: Callable[[Given], Cell]) -> tuple[Cell | None, ...]:
        """A cell for each row that is counted."""
        return tuple(cell(row) if inside else None for row, inside in zip(self.rows, self.inside, strict=True))


def _means(rows: Sequence[Given], judging: Judging) -> _Means | None:
    inside = in_set(rows, judging.unsold)
    sold = sum((r.sold for r in rows), Fraction(0))
    sales = sum((r.sold * r.price for r in rows), Fraction(0))
    if not sold or not sales:
        return None
    cost = sum((r.sold * r.cost for r in rows), Fraction(0))
    return _Means(tuple(rows), inside, sum(inside), sold, cost, sales, judging.tie)


def _share(row: Given) -> float | None:
    return float(row.cost / row.price) if row.price else None


def _classes(code: MethodCode, rows: Sequence[Given], judging: Judging) -> Method | None:
    found = judged_set(rows, known_cut(judging.cut), judging.tie, judging.unsold)
    if found.O is None or found.popularity_sold is None:
        return None
    cells = tuple(
        Cell(cell=r.klass, figures=(r.sold, r.margin)) if r.counted and r.klass is not None else None for r in found
    )
    return Method(code=code, cells=cells, cuts=(found.popularity_sold, found.O))


def pavesic(rows: Sequence[Given], judging: Judging) -> Method | None:
    """Cost share beside the margin of all sold of a row; cuts: the set's cost share, and margin a row."""
    m = _means(rows, judging)
    if m is None:
        return None
    each = (m.sales - m.cost) / m.n
    words = {(True, True): "prime", (False, True): "standard", (True, False): "sleeper", (False, False): "problem"}

    def cell(row: Given) -> Cell:
        weighted = row.sold * row.margin
        return Cell(
            cell=words[m.cheap(row), reaches(weighted, each, m.tie)], figures=(_share(row), float(weighted))
        )  # fmt: skip

    return Method(code="pavesic", cells=m.cells(cell), cuts=(float(m.cost / m.sales), float(each)))


def miller(rows: Sequence[Given], judging: Judging) -> Method | None:
    """Cost share beside how many were sold; cuts: the set's cost share, and sold a row."""
    m = _means(rows, judging)
    if m is None:
        return None
    each = m.sold / m.n
    words = {(True, True): "winner", (False, True): "costly seller", (True, False): "cheap slow"}

    def cell(row: Given) -> Cell:
        sides = m.cheap(row), reaches(row.sold, each, m.tie)
        return Cell(cell=words.get(sides, "loser"), figures=(_share(row), float(row.sold)))

    return Method(code="miller", cells=m.cells(cell), cuts=(float(m.cost / m.sales), float(each)))


def goal_value(share: Fraction, sold: Fraction, price: Fraction, variable: Fraction) -> Fraction:
    """A B C D of Hayes and Huffman; ``share`` is cost over price, ``variable`` what else varies with sales."""
    return (1 - share) * sold * price * (1 - variable - share)


def goal(rows: Sequence[Given], judging: Judging) -> Method | None:
    """Goal value; the cut is that of the set's own means. None where the set as a whole spends more than it brings.

    A row sold at its cost or below is below, without a figure: two negative factors would make it look good.
    """
    m = _means(rows, judging)
    if m is None:
        return None
    variable = exact(judging.variable)
    share = m.cost / m.sales
    if share + variable >= 1:
        return None
    target = goal_value(share, m.sold / m.n, m.sales / m.sold, variable)
    values = [
        goal_value(r.cost / r.price, r.sold, r.price, variable) if r.margin > 0 and inside else None
        for r, inside in zip(m.rows, m.inside, strict=True)
    ]
    ranks = _ranks(values)
    cells = tuple(
        Cell(
            cell="above" if value is not None and reaches(value, target, m.tie) else "below",
            figures=(None if value is None else float(value),), rank=rank,
        ) if inside else None
        for value, rank, inside in zip(values, ranks, m.inside, strict=True)
    )  # fmt: skip
    return Method(code="goal", cells=cells, cuts=(float(target),))


def after_labour(rows: Sequence[Given], labour: Sequence[Number], judging: Judging) -> Method | None:
    """Classes by the margin that is left after the labour of one, in money a row. ValueError for another length."""
    _as_long(rows, labour)
    less = [
        Given(name=r.name, sold=r.sold, cost=r.cost + exact(money), price=r.price)
        for r, money in zip(rows, labour, strict=True)
    ]
    return _classes("labour", less, judging)


def per_hour(rows: Sequence[Given], hours: Sequence[Number], judging: Judging) -> Method | None:
    """Margin an hour of one machine, ``hours`` a drink by row. The cut is what an hour of it earns as things are sold.
    None where nothing that was sold uses it. ValueError for another length or hours below 0."""
    _as_long(rows, hours)
    takes = [exact(h) for h in hours]
    if any(h < 0 for h in takes):
        raise ValueError("hours of a machine must be 0 or more")
    inside = in_set(rows, judging.unsold)
    worked = sum((r.sold * h for r, h in zip(rows, takes, strict=True)), Fraction(0))
    if not worked:
        return None
    mean = sum((r.sold * r.margin for r, h in zip(rows, takes, strict=True) if h), Fraction(0)) / worked
    values = [r.margin / h if h and i else None for r, h, i in zip(rows, takes, inside, strict=True)]
    cells = tuple(
        None if not i
        else Cell(cell="free", figures=(None,)) if value is None
        else Cell(cell="high" if reaches(value, mean, judging.tie) else "low", figures=(float(value),), rank=rank)
        for i, value, rank in zip(inside, values, _ranks(values), strict=True)
    )  # fmt: skip
    return Method(code="hour", cells=cells, cuts=(float(mean),))


def _as_long(rows: Sequence[Given], figures: Sequence[Number]) -> None:
    if len(rows) != len(figures):
        raise ValueError(f"{len(figures)} figures do not fit {len(rows)} rows")


def _ranks(values: Sequence[Fraction | None]) -> list[int | None]:
    """1 for the greatest; equals share the better rank."""
    known = sorted((v for v in values if v is not None), reverse=True)
    return [None if v is None else known.index(v) + 1 for v in values]


def methods(
    items: Iterable[ItemRow], judging: Judging | None = None, *,
    labour: Sequence[Number] | None = None, hours: Sequence[Number] | None = None,
) -> tuple[Method, ...]:  # fmt: skip
    """Every method that can say something of these rows, the house's classes first. ``labour`` is money a drink and
    ``hours`` are machine hours a drink, by row; without them these two methods are left out."""
    rows, by = read_items(items), judging or Judging()
    found = [_classes("class", rows, by), pavesic(rows, by), miller(rows, by), goal(rows, by)]
    if labour is not None:
        found.append(after_labour(rows, labour, by))
    if hours is not None:
        found.append(per_hour(rows, hours, by))
    return tuple(m for m in found if m is not None)


def agreement(names: Sequence[str], found: Sequence[Method]) -> tuple[Agreement, ...]:
    """For each row every method's cell, and how many of them read the same."""
    return tuple(_agreed(name, {m.code: c for m in found if (c := m.cells[i])}) for i, name in enumerate(names))


def _agreed(name: str, cells: Mapping[MethodCode, Cell]) -> Agreement:
    counts: dict[Reading, int] = {}
    for cell in cells.values():
        counts[cell.reading] = counts.get(cell.reading, 0) + 1
    most = max(counts.values(), default=0)
    common = [reading for reading, count in counts.items() if count == most]
    return Agreement(
        name=name, cells=cells, reading=common[0] if len(common) == 1 else None, same=most, of=len(cells)
    )  # fmt: skip
