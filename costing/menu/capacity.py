"""The best mix of drinks for the hours there are, and what one more hour of each machine is worth.

A linear program: the most margin from amounts between what is promised and what guests ask for, with no more hours of
any resource than there are. What one more hour is worth is the dual value of its row, read to the right (one more) and
to the left (one less), since at a corner these are not the same; each is told with how far it holds.

Sources: OpenStax, Principles of Accounting, vol. 2, decisions with a constraint; duality as in any text on linear
programming. The program is solved by HiGHS through ``scipy.optimize.linprog``.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf
from typing import Any

from costing.menu.capacity_rank import (
    NEAR,
    Made,
    Product,
    Resource,
    by_margin_each,
    checked,
    hours_in,
    margin_of,
    promised,
)

Grid = list[list[float]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Use:
    """A resource in a mix. ``used`` hours of it are taken, ``wanted`` would be to meet all that is asked for.

    One more hour is ``worth`` so much money, up to ``up_to`` hours in all (infinite where no end is in sight); one hour
    less ``costs`` so much, down to ``down_to`` hours (None: none can be spared, what is promised takes them all).
    """

    resource: Resource
    used: float
    wanted: float
    worth: float = 0.0
    up_to: float = inf
    costs: float | None = 0.0
    down_to: float = 0.0

    @property
    def slack(self) -> float:
        """Hours left over."""
        return max(0.0, self.resource.hours - self.used)

    @property
    def binds(self) -> bool:
        """Whether more of it would be worth something."""
        return self.worth > 0


@dataclass(frozen=True, slots=True, kw_only=True)
class BestMix:
    """``made`` earns the most there is, ``margin``; ``each`` is the mix filled by margin a drink, for comparison."""

    made: tuple[Made, ...]
    margin: float
    uses: tuple[Use, ...]
    each: tuple[Made, ...]

    @property
    def short(self) -> tuple[Made, ...]:
        """Products of which guests would take more."""
        return tuple(m for m in self.made if m.short > NEAR * max(1.0, m.product.demand))

    @property
    def margin_each(self) -> float:
        """What the mix filled by margin a drink earns."""
        return margin_of(self.each)

    @property
    def worth(self) -> dict[str, float]:
        """What one more hour of each resource is worth."""
        return {u.resource.key: u.worth for u in self.uses}


def best_mix(products: Sequence[Product], resources: Sequence[Resource]) -> BestMix:
    """The mix that earns the most. ValueError for figures that cannot be, and where what is promised takes more hours
    than there are."""
    checked(products, resources)
    promised(products, resources)
    grid = [[p.hours.get(r.key, 0.0) for p in products] for r in resources]
    amounts = _solved(products, resources, grid)
    made = tuple(Made(product=p, amount=a) for p, a in zip(products, amounts, strict=True))
    full = [Made(product=p, amount=p.demand) for p in products]
    uses = []
    for k, r in enumerate(resources):
        used, wanted = hours_in(made, r.key), hours_in(full, r.key)
        if used < r.hours - NEAR * max(1.0, r.hours) or not products:
            uses.append(Use(resource=r, used=used, wanted=wanted, down_to=used))
        else:
            uses.append(_valued(products, resources, grid, amounts, k, wanted))
    each = by_margin_each(products, resources)
    return BestMix(made=made, margin=margin_of(made), uses=tuple(uses), each=each)


def _solved(products: Sequence[Product], resources: Sequence[Resource], grid: Grid) -> list[float]:
    """Amounts of the best mix, those within rounding of a bound put on it."""
    if not products:
        return []
    found = _program(
        [-p.margin for p in products], grid, [r.hours for r in resources], [(p.least, p.demand) for p in products]
    )
    if found.status != 0:
        raise ValueError(f"the best mix was not found: {found.message}")
    out = []
    for p, x in zip(products, found.x, strict=True):
        near = NEAR * max(1.0, p.demand)
        out.append(p.demand if x > p.demand - near else p.least if x < p.least + near else float(x))
    return out


def _program(goal: list[float], grid: Grid, most: list[float], bounds: list[Any], equal: Any = (None, None)) -> Any:
    from scipy.optimize import linprog  # noqa: PLC0415  slow to import

    rows = (grid, most) if grid else (None, None)
    return linprog(goal, A_ub=rows[0], b_ub=rows[1], A_eq=equal[0], b_eq=equal[1], bounds=bounds, method="highs")


def _valued(
    products: Sequence[Product],
    resources: Sequence[Resource],
    grid: Grid,
    amounts: list[float],
    k: int,
    wanted: float,
) -> Use:
    """The use of a resource of which nothing is left: one more hour, one hour less, and how far each holds."""
    used = sum(h * x for h, x in zip(grid[k], amounts, strict=True))
    slack = [max(0.0, r.hours - sum(h * x for h, x in zip(row, amounts, strict=True)))
             for r, row in zip(resources, grid, strict=True)]  # fmt: skip
    tight = [i for i, r in enumerate(resources) if slack[i] <= NEAR * max(1.0, r.hours)]
    for i in tight:
        slack[i] = 0.0
    more, less = (_dual(products, grid, amounts, tight, k, sign) for sign in (1.0, -1.0))
    worth = 0.0 if more is None else more
    up = _reach(products, grid, amounts, slack, k, worth, 1.0)
    down = 0.0 if less is None else _reach(products, grid, amounts, slack, k, less, -1.0)
    return Use(
        resource=resources[k], used=used, wanted=wanted, worth=worth, up_to=resources[k].hours + up, costs=less,
        down_to=max(0.0, resources[k].hours - down),
    )  # fmt: skip


def _dual(
    products: Sequence[Product], grid: Grid, amounts: list[float], tight: list[int], k: int, sign: float
) -> float | None:
    """The least (sign 1) or the highest (-1) dual value of resource ``k`` that any best solution of the dual has; None
    where there is no highest.

    By complementary slackness the values y of the tight rows are those with y . hours = margin for what is made in
    part, at most the margin for what is made to the full, at least the margin for what is made no more than promised.
    """
    rows: Grid = []
    most: list[float] = []
    equal: Grid = []
    equal_to: list[float] = []
    for j, p in enumerate(products):
        hours = [grid[i][j] for i in tight]
        full, floor = amounts[j] == p.demand, amounts[j] == p.least
        if full and floor:
            continue
        if full:
            rows.append(hours)
            most.append(p.margin)
        elif floor:
            rows.append([-h for h in hours])
            most.append(-p.margin)
        else:
            equal.append(hours)
            equal_to.append(p.margin)
    goal = [sign if i == k else 0.0 for i in tight]
    found = _program(goal, rows, most, [(0, None)] * len(tight), (equal, equal_to) if equal else (None, None))
    if found.status == 3:
        return None
    if found.status != 0:
        raise ValueError(f"what an hour is worth was not found: {found.message}")
    value = float(found.x[tight.index(k)])
    return 0.0 if value < NEAR * max([1.0, *(abs(p.margin) for p in products)]) else value


def _reach(
    products: Sequence[Product],
    grid: Grid,
    amounts: list[float],
    slack: list[float],
    k: int,
    worth: float,
    sign: float,
) -> float:
    """Hours more (sign 1) or less (-1) of resource ``k`` for which each changes the margin by ``worth``; infinite where
    there is no end. No mix can do better than that, so it holds as far as one keeps up with it."""
    n = len(products)
    goal = [0.0] * n + [-1.0]
    rows = [[*row, -sign if i == k else 0.0] for i, row in enumerate(grid)]
    rows.append([*(-p.margin for p in products), sign * worth])
    bounds: list[Any] = [
        (min(0.0, p.least - x), max(0.0, p.demand - x)) for p, x in zip(products, amounts, strict=True)
    ]
    bounds.append((0.0, None if sign > 0 else sum(h * x for h, x in zip(grid[k], amounts, strict=True))))
    found = _program(goal, rows, [*slack, 0.0], bounds)
    if found.status == 3:
        return inf
    return float(found.x[n]) if found.status == 0 else 0.0
