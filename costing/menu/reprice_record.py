"""What repricing a menu takes and gives: rows with their prices and volumes, an aim, limits, and what was found.

Money is Decimal, in the house's currency; prices are printed ones, all taxes and service in, unless they say net.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from costing.book.levies import Levy
from costing.pricing.levies import net_of
from costing.pricing.suggest import Candidate, candidate
from costing.tongue import say

Goal = Literal["smallest", "fewest"]
"""What is kept least: "smallest" the sum of all changes of printed prices, in money, rises and falls alike; "fewest"
the number of prices that change. The other of the two decides among equals, then the larger net sales. Changes are not
weighted by what is sold: so weighted, every way to the aim would cost the guests the same, and none would be better."""
Family = Literal["points", "rise", "bounds", "held", "order", "number", "reductions"]
"""Kinds of limit: how many price points a price may move, the limit on a rise, least and most of a serve, held
serves, size order, the number of changes, and that no price may fall."""
DoubtCode = Literal[
    "no-price", "at-least", "paid-less", "held-out-of-bounds", "held-out-of-order", "off-the-points", "later-price"
]
WITHIN = 24
"""Price points that a price may move up or down, unless somebody says otherwise."""
RISE = Decimal("0.10")
"""The most that a price may rise, unless somebody says otherwise: a choice of the house, no law. Without such a limit
the smallest change is one enormous rise of whatever sells most."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceRow:
    """One line of a menu: what a drink costs, how many were sold, and its printed price.

    ``sold`` is of the period that the money is of. A ``held`` price stays; others keep from ``least`` to ``most``.
    ``levies`` are those on its price. ``complete`` is false where the cost is only "at least".
    """

    key: str
    name: str
    cost: Decimal
    sold: Decimal
    price: Decimal
    levies: tuple[Levy, ...] = ()
    held: bool = False
    least: Decimal | None = None
    most: Decimal | None = None
    complete: bool = True

    def __post_init__(self) -> None:
        if not (self.cost.is_finite() and self.sold.is_finite() and self.price.is_finite()):
            raise ValueError(f"cost, sold and price of {self.key!r} must be numbers")
        if self.sold < 0 or self.price < 0:
            raise ValueError(f"sold {self.sold} and price {self.price} of {self.key!r} must not be below 0")

    def net(self, price: Decimal) -> Decimal:
        """What the house keeps of a printed price."""
        return net_of(price, self.levies)

    def at(self, price: Decimal) -> Candidate:
        """What a printed price leaves."""
        return candidate(self.cost, price, self.levies)


@dataclass(frozen=True, slots=True, kw_only=True)
class Aim:
    """What the whole menu is to come to: "pour_cost" at most ``value`` of net sales (0.20), or "margin" of at least
    ``value`` in money over the period of the rows' volumes."""

    kind: Literal["pour_cost", "margin"]
    value: Decimal

    def __post_init__(self) -> None:
        if self.kind == "pour_cost" and not 0 < self.value <= 1:
            raise ValueError(say("a pour cost of {value} must lie above 0 and at most 100 %", value=self.value))
        if not self.value.is_finite():
            raise ValueError(f"an aim of {self.value} is not a number")

    def needed(self, cost: Decimal) -> Decimal:
        """Net sales that the aim needs where all drinks sold cost ``cost``."""
        return cost / self.value if self.kind == "pour_cost" else cost + self.value


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What a repricing may do. ``rise`` is the most that a price may rise as a fraction of itself (None: any), and
    ``rise_money`` in money; both may hold. ``at_most`` limits how many prices change. ``reductions`` allows prices to
    fall, which only bounds and size order ever ask for. ``within`` is how many price points a price may move."""

    rise: Decimal | None = RISE
    rise_money: Decimal | None = None
    at_most: int | None = None
    reductions: bool = True
    within: int = WITHIN

    def __post_init__(self) -> None:
        for value in (self.rise, self.rise_money, self.at_most):
            if value is not None and not 0 <= value < 1_000_000:
                raise ValueError(say("a limit of {value} must not be below 0", value=value))
        if not 1 <= self.within <= 1000:
            raise ValueError(say("a price may move by 1 to 1,000 price points, not {n}", n=self.within))


Pair = tuple[str, str]
"""Keys of a larger and a smaller serve: the larger may not be cheaper."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Totals:
    """All drinks at the volumes given: net sales and what they cost."""

    net: Decimal
    cost: Decimal

    @property
    def margin(self) -> Decimal:
        """What is left of net sales."""
        return self.net - self.cost

    @property
    def pour_cost(self) -> Decimal | None:
        """Cost over net sales; None where there are none."""
        return self.cost / self.net if self.net else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Repriced:
    """One line before and after. ``volume`` is the change in volume, as a fraction, at which the move earns as much as
    before (None where no volume does); ``stopped`` says what keeps the price from its next point up."""

    row: PriceRow
    old: Candidate
    new: Candidate
    volume: Decimal | None
    stopped: frozenset[Family]

    @property
    def change(self) -> Decimal:
        """New printed price less the old one."""
        return self.new.all_in - self.old.all_in

    @property
    def rise(self) -> Decimal | None:
        """The change as a fraction of the old price; None from a price of nothing."""
        return self.change / self.old.all_in if self.old.all_in else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Everything:
    """The plain way, to compare with: every price that is not held goes up by one price point, again and again, to its
    ``most`` at the furthest; the limits on rise, number and size order are not asked. ``steps`` is how often."""

    steps: int
    change: Decimal
    changed: int
    after: Totals
    met: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Relaxed:
    """What lifting one kind of limit alone would do. ``after`` is the furthest that then can be reached (None where
    even then the limits contradict each other). ``needs`` is how far it must be lifted, where that can be said: the
    least limit on a rise as a fraction, or the least number of changes. ``keys`` are the lines that stand at it."""

    family: Family
    after: Totals | None
    reaches: bool
    needs: Decimal | None
    keys: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """Something to know before the result is used: a code of ``reprice_words.DOUBT_WORDS`` and the lines it is of."""

    code: DoubtCode
    names: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Repricing:
    """What was found, lines in the order given.

    ``met``: the aim and every limit are kept, checked in Decimal. Where it is not met, the lines show the furthest that
    can be reached, and ``relaxed`` what stands in the way; where the limits contradict each other (``possible`` is
    false) they stay as they are. ``proven``: no other choice is better by the goal and by the other one behind it;
    else ``gap`` is how much better the goal's figure (money, or a number of prices) might still be.
    """

    aim: Aim
    goal: Goal
    rows: tuple[Repriced, ...]
    needed: Decimal
    before: Totals
    after: Totals
    met: bool
    possible: bool
    proven: bool
    gap: Decimal | None
    everything: Everything
    relaxed: tuple[Relaxed, ...]
    doubts: tuple[Doubt, ...]

    @property
    def moved(self) -> tuple[Repriced, ...]:
        """The lines whose price changes."""
        return tuple(r for r in self.rows if r.change)

    @property
    def change(self) -> Decimal:
        """The sum of all changes, rises and falls alike."""
        return sum((abs(r.change) for r in self.rows), Decimal(0))

    @property
    def prices(self) -> Mapping[str, Decimal]:
        """The new printed prices of the lines that change, by key."""
        return {r.row.key: r.new.all_in for r in self.moved}
