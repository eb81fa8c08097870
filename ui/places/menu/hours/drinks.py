"""The drinks of the best mix as rows, ranked by what they earn an hour of the machine that is short."""

from dataclasses import dataclass

from costing.menu.capacity_rank import Made
from costing.tongue import say
from ui.desk import Where
from ui.format import UNKNOWN, Format, own
from ui.models.table import Column
from ui.places.menu.hours.work import Found
from ui.places.menu.questions.question import count
from ui.whys import CostOfServe, Line, Said, Trail

ENOUGH = 10.0
"""Drinks from which a plan is shown in whole ones."""
FEW = 0.05
"""Drinks short that are shown as none."""


@dataclass(frozen=True, slots=True)
class DrinkRow:
    """A drink: how many were ``sold``, and of it made in the best mix. ``resource`` is what it is ranked by, ``rank``
    its place (None: it needs none of it)."""

    key: str
    serve: str
    made: Made
    sold: float
    resource: str
    rank: int | None
    at_most: bool

    @property
    def hours(self) -> float:
        """Hours of the resource in one."""
        return self.made.product.hours.get(self.resource, 0.0)

    @property
    def per_hour(self) -> float | None:
        """Margin an hour of it."""
        return self.made.product.margin / self.hours if self.hours > 0 else None

    @property
    def short(self) -> bool:
        """Whether guests would take more than the best mix makes."""
        return self.made.short > FEW


@dataclass(frozen=True, slots=True)
class BatchRow:
    """Whole batches of a preparation."""

    key: str
    name: str
    count: int
    spoils: float


def drink_rows(found: Found, resource: str) -> list[DrinkRow]:
    """Drinks in menu order."""
    lacking = {i.serve for i in found.of.mix.items if not i.complete}
    margins = {p.key: p.margin / h for p in found.capacity.products if (h := p.hours.get(resource, 0.0)) > 0}
    order = sorted(margins, key=lambda key: -margins[key])
    rows = []
    for made, product in zip(found.made, found.capacity.products, strict=True):
        # in whole batches a product has the hours of the bar alone: those of all its batches are said here
        plan, serve = Made(product=product, amount=made.amount), found.capacity.serves[product.key]
        rows.append(
            DrinkRow(key=product.key, serve=serve, made=plan, sold=product.demand / (1.0 + found.of.more),
                     resource=resource, rank=order.index(product.key) + 1 if product.key in margins else None,
                     at_most=serve in lacking)
        )  # fmt: skip
    return rows


def batch_rows(found: Found) -> list[BatchRow]:
    """Preparations of which whole batches are made."""
    if found.batched is None:
        return []
    return [
        BatchRow(run.batch.key, run.batch.name, run.count, run.count * run.batch.spoils)
        for run in found.batched.runs if run.count
    ]  # fmt: skip


def drink_columns(form: Format) -> tuple[Column[DrinkRow], ...]:
    """What was sold, what could be, what is best, and why."""

    def money(value: float, at_most: bool) -> str:
        return say("at most {figure}", figure=form.money(value)) if at_most else form.money(value)

    def hour(row: DrinkRow) -> str:
        return money(row.per_hour, row.at_most) if row.per_hour is not None else say("needs none")

    return (
        Column[DrinkRow]("name", say("Drink"), lambda r: r.made.product.name, strong=lambda r: r.short),
        Column[DrinkRow]("sold", say("Sold"), lambda r: count(form, r.sold), True, sort=lambda r: r.sold),
        Column[DrinkRow]("could", say("Could sell"), lambda r: whole(form, r.made.product.demand), True,
                         sort=lambda r: r.made.product.demand, about=say("As many, and more as said above")),
        Column[DrinkRow]("best", say("Best mix"), lambda r: whole(form, r.made.amount), True,
                         sort=lambda r: r.made.amount, strong=lambda r: r.short, why=lambda r: _best_why(r, form)),
        Column[DrinkRow]("margin", say("Margin"), lambda r: money(r.made.product.margin, r.at_most), True,
                         sort=lambda r: r.made.product.margin, why=lambda r: CostOfServe(r.serve),
                         about=say("Net less materials and energy, a drink")),
        Column[DrinkRow]("minutes", say("Minutes"), lambda r: form.number(60 * r.hours, 1) if r.hours else UNKNOWN,
                         True, sort=lambda r: r.hours, about=say("Of what is chosen above, in one drink")),
        Column[DrinkRow]("hour", say("An hour"), hour, True, sort=lambda r: r.per_hour,
                         why=lambda r: _best_why(r, form), about=say("Margin an hour of what is chosen above")),
        Column[DrinkRow]("rank", say("Rank"), lambda r: str(r.rank) if r.rank else UNKNOWN, True,
                         sort=lambda r: r.rank, about=say("By margin an hour")),
    )  # fmt: skip


def whole(form: Format, value: float) -> str:
    """Drinks of a plan: whole, few of them with a decimal."""
    return form.number(value, 0) if value >= ENOUGH else count(form, value)


def batch_columns(form: Format) -> tuple[Column[BatchRow], ...]:
    """How many whole batches, and what spoils of them."""
    return (
        Column[BatchRow]("name", say("Batches of"), lambda r: r.name),
        Column[BatchRow]("count", say("Whole"), lambda r: str(r.count), True, sort=lambda r: r.count),
        Column[BatchRow]("spoils", say("Spoils unused"), lambda r: form.money(r.spoils) if r.spoils else UNKNOWN, True,
                         sort=lambda r: r.spoils, about=say("Materials of what is too old before it is used")),
    )  # fmt: skip


def _best_why(row: DrinkRow, form: Format) -> object:
    made = row.made
    lines = [
        Line(say("guests would take"), whole(form, made.product.demand)),
        Line(say("the best mix makes"), whole(form, made.amount)),
        Line(say("margin of one"), form.money(made.product.margin), where=Where("serve", row.serve)),
    ]
    if row.per_hour is not None:
        lines.append(Line(say("minutes of the short hours in one"), form.number(60 * row.hours, 1)))
        lines.append(Line(say("margin an hour of them"), form.money(row.per_hour)))
    else:
        lines.append(Line(say("it needs none of the short hours")))
    if row.short:
        lines.append(Line(say("margin forgone"), form.money(made.short * made.product.margin)))
    title = say("{drink} in the best mix", drink=own(made.product.name))
    return Said(Trail(title, whole(form, made.amount), tuple(lines)))
