"""A substitution as data: the goods beside one another, and every drink before and after."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

from costing.book.problem import Problem
from costing.book.records import BaseUnit
from costing.ledger.allergens import State
from costing.ledger.balance import Balance
from costing.ledger.costs import Cost
from costing.ledger.matter import Matter
from costing.pricing.menu import PricedServe

How = Literal["appears", "disappears", "not-stated", "exempt", "changes"]


@dataclass(frozen=True, slots=True, kw_only=True)
class AllergenChange:
    """One allergen whose standing moves. ``how``: it "appears" or "disappears" in what must be said; it is "not-stated"
    any more, so nobody may call it free; an exemption that somebody gave for another good hides what is now behind it
    ("exempt"); or it "changes" otherwise (may contain to contains, not stated to free)."""

    name: str
    says: str
    before: State
    after: State
    how: How


@dataclass(frozen=True, slots=True, kw_only=True)
class Side:
    """One drink, one way. ``balance`` is None where its volume is not known; ``least`` names what of it is only the
    least there can be ("acid", "sugar"), because a good in it does not state any."""

    priced: PricedServe
    balance: Balance | None
    least: tuple[str, ...] = ()

    @property
    def pour_cost(self) -> Decimal | None:
        """Cost over the net price; None where none is printed."""
        return self.priced.price.pour_cost if self.priced.price is not None else None


@dataclass(frozen=True, slots=True, kw_only=True)
class ServeChange:
    """One drink, on one section of a menu, before and after."""

    serve: str
    name: str
    before: Side
    after: Side
    allergens: tuple[AllergenChange, ...]

    @property
    def moves(self) -> float | None:
        """Money a drink, by the house's cost base; None where it has no full cost on either side."""
        if not (self.before.priced.cost.complete and self.after.priced.cost.complete):
            return None
        return self.after.priced.base - self.before.priced.base


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeChange:
    """A preparation's cost of a base unit before and after; None where it cannot be costed."""

    preparation: str
    name: str
    before: Cost | None
    after: Cost | None


@dataclass(frozen=True, slots=True, kw_only=True)
class GoodSide:
    """A good by itself: cost of a ``base`` unit, what a base unit is made of (None where that is not followed) and that
    as a liquid (None where it has no known volume)."""

    good: str
    base: BaseUnit
    cost: Cost
    matter: Matter | None
    balance: Balance | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Substitution:
    """``other`` in the place of ``good`` on a day. ``refused`` says why it cannot be done as the recipes are written,
    and then no drink is listed; ``problems`` are what the book says of the new recipes and did not of the old ones.

    ``like_for_like`` is the cost of as much of ``other`` as makes one base unit of ``good``, None where no density or
    weight of a piece leads from one to the other or it has no price.
    """

    day: date
    good: GoodSide
    other: GoodSide
    like_for_like: float | None
    allergens: tuple[AllergenChange, ...]
    serves: tuple[ServeChange, ...] = ()
    made: tuple[MadeChange, ...] = ()
    refused: tuple[Problem, ...] = ()
    problems: tuple[Problem, ...] = ()
