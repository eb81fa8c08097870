"""The purchase price index in rows: the figures themselves, and what each good adds to them."""

from collections.abc import Sequence
from dataclasses import dataclass

from costing.book.records import BaseUnit
from costing.report.figures.index import IndexPoint
from costing.supply.buying.index import Contribution, Missing, PriceIndex, Usage
from costing.supply.buying.words import MISSING_WORDS
from costing.tongue import say, word
from ui.document import Figures
from ui.format import UNKNOWN, Format
from ui.models.table import Column
from ui.places.cellar.buying.saying import moved

PLACES = 3
"""Decimals of an index: a tenth of a per cent."""


@dataclass(frozen=True, slots=True)
class FigureRow:
    """One figure of the index."""

    key: str
    name: str
    figure: str
    change: str
    stands: str


@dataclass(frozen=True, slots=True)
class GoodRow:
    """One good of the basket, or (``key`` "") all of those that are priced on both days; ``missing`` says where a price
    lacks."""

    key: str
    name: str
    base: BaseUnit | None = None
    part: Contribution | None = None
    missing: Missing | None = None
    share: float | None = None
    points: float | None = None


def figure_rows(index: PriceIndex, form: Format) -> list[FigureRow]:
    """Laspeyres, Paasche, Fisher, and how much of the spend they are of."""
    later = say("the same: no other sales ended by the last day") if index.one_basket else _period(index.later, form)
    return [
        FigureRow("laspeyres", say("Laspeyres"), *_index(index.laspeyres, form), _period(index.earlier, form)),
        FigureRow("paasche", say("Paasche"), *_index(index.paasche, form), later),
        FigureRow("fisher", say("Fisher"), *_index(index.fisher, form), say("the geometric mean of the two")),
        FigureRow("covered", say("Spend in it"), form.percent(index.covered), UNKNOWN,
                  say("what was priced on both days, of all that was used")),
    ]  # fmt: skip


def _index(value: float | None, form: Format) -> tuple[str, str]:
    if value is None:
        return UNKNOWN, UNKNOWN
    return form.number(value, PLACES), moved(form, 100.0 * (value - 1.0), 1, " %")


def _period(usage: Usage, form: Format) -> str:
    since, until = form.day(usage.period.since), form.day(usage.period.until)
    return say("what was used from {since} to {until}", since=since, until=until)


def figure_columns() -> Sequence[Column[FigureRow]]:
    """What a figure shows."""
    return (
        Column[FigureRow]("name", say("Index"), lambda r: r.name),
        Column[FigureRow]("figure", say("Figure"), lambda r: r.figure, True,
                          about=say("1 where prices stand still; 1.05 is five in a hundred dearer")),
        Column[FigureRow]("change", say("Prices moved by"), lambda r: r.change, True),
        Column[FigureRow]("stands", say("Weighed by"), lambda r: r.stands),
    )  # fmt: skip


def good_rows(index: PriceIndex, figures: Figures) -> list[GoodRow]:
    """What moved the index most first, then their sum, then what is not in it."""
    goods, names = figures.view.goods, figures.names
    parts = sorted(index.contributions, key=lambda c: (-abs(c.points), names.get(c.good, c.good)))
    rows = [
        GoodRow(c.good, names.get(c.good, c.good), goods[c.good].base, c, share=c.share, points=c.points) for c in parts
    ]
    if parts:
        share, points = sum(c.share for c in parts), sum(c.points for c in parts)
        rows.append(GoodRow("", say("All of them together"), share=share, points=points))
    return rows + [
        GoodRow(good, names.get(good, good), goods[good].base, missing=missing) for good, missing in index.unpriced
    ]


def good_columns(form: Format) -> Sequence[Column[GoodRow]]:
    """What a good shows. The sum and what is not in it stand last, however they are sorted."""

    def price(row: GoodRow, *, after: bool) -> str:
        if row.part is None or row.base is None:
            return "" if row.missing is None else UNKNOWN
        return form.unit_money((row.part.after if after else row.part.before).per_base, row.base)

    def moves(row: GoodRow) -> str:
        relative = row.part.relative if row.part is not None else None
        if relative is None:
            return UNKNOWN if row.part is not None or row.missing else ""
        return moved(form, 100.0 * (relative - 1.0), 1, " %")

    def used(row: GoodRow) -> str:
        if row.part is None or row.base is None:
            return "" if row.missing is None else UNKNOWN
        return form.amount(row.part.usage, row.base)

    return (
        Column[GoodRow]("name", say("Ingredient"), lambda r: r.name, strong=lambda r: r.key == "",
                        sort=lambda r: r.name.casefold() if r.part else None),
        Column[GoodRow]("points", say("Points"), lambda r: _points(r, form), True,
                        lambda r: r.part.points if r.part else None, strong=lambda r: r.key == "",
                        about=say("Hundredths that its price alone moves Laspeyres by; they add up to all of it")),
        Column[GoodRow]("moves", say("Price moved by"), moves, True, lambda r: r.part.relative if r.part else None),
        Column[GoodRow]("share", say("Of the spend"), lambda r: form.percent(r.share), True,
                        lambda r: r.share if r.part else None, about=say("At the prices of the first day")),
        Column[GoodRow]("before", say("First day"), lambda r: price(r, after=False), True,
                        lambda r: r.part.before.per_base if r.part else None),
        Column[GoodRow]("after", say("Last day"), lambda r: price(r, after=True), True,
                        lambda r: r.part.after.per_base if r.part else None),
        Column[GoodRow]("usage", say("Used"), used, True, lambda r: r.part.usage if r.part else None),
        Column[GoodRow]("missing", say("Not in it"), lambda r: word(MISSING_WORDS, r.missing) if r.missing else ""),
    )  # fmt: skip


def _points(row: GoodRow, form: Format) -> str:
    return UNKNOWN if row.points is None else moved(form, 100.0 * row.points, 2)


def points_of(path: Sequence[PriceIndex]) -> list[IndexPoint]:
    """The index of each day, for the picture."""
    return [IndexPoint(i.day_b, i.laspeyres, i.paasche, i.fisher) for i in path]


def path_table(path: Sequence[PriceIndex], form: Format) -> list[list[str]]:
    """The same as rows of text."""
    head = [say("Day"), say("Laspeyres"), say("Paasche"), say("Fisher"), say("Spend in it")]

    def index(value: float | None) -> str:
        return UNKNOWN if value is None else form.number(value, PLACES)

    rows = [
        [form.day(i.day_b), index(i.laspeyres), index(i.paasche), index(i.fisher), form.percent(i.covered)]
        for i in path
    ]
    return [head, *rows]
