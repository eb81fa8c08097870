"""Make or buy: what a unit of a preparation really takes from the house, beside what somebody asks for the like of it.

What making a unit more takes: what varies with it, the worth of the scarce hours in it (what one more hour earns
elsewhere), and the risk that some of it is thrown away. The full cost stands beside it for long-run prices and never
decides: hours that are paid anyway are not saved by buying.

Source: OpenStax, Principles of Accounting, vol. 2, special decisions; the worth of hours is the dual value of
``capacity.best_mix``.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import inf, isfinite
from typing import Literal

from costing.book.records import Layer
from costing.ledger.order import owner
from costing.ledger.reckon import Reckoning
from costing.menu.batch_rows import PREP, machines_of, people_of
from costing.menu.capacity import BestMix
from costing.menu.capacity_rows import VARYING
from costing.tongue import say

Verdict = Literal["make", "buy", "even", ""]
EVEN = 1e-9
"""Relative: offers closer to what making takes than this are as good as it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MakeOrBuy:
    """Per base unit of a preparation (``base``), in money. ``marginal`` is what varies, ``full`` all layers.

    ``hours`` are of each resource in one unit, ``scarce`` the money of the scarce ones of them, ``waste`` what the
    share that is thrown away takes on top. ``unpriced`` are goods without a price: what making takes is then "at
    least", and the verdict "" unless buying is the cheaper even so. ``byproducts`` are what buying leaves the house
    without.
    """

    preparation: str
    base: str
    offered: float
    marginal: float
    full: float
    hours: Mapping[str, float]
    scarce: float
    waste: float
    unpriced: frozenset[str] = frozenset()
    byproducts: tuple[str, ...] = ()

    @property
    def takes(self) -> float:
        """What making one unit takes: the price at which buying breaks even."""
        return self.marginal + self.scarce + self.waste

    @property
    def saves(self) -> float:
        """Money a unit that making saves; below nothing, buying does."""
        return self.offered - self.takes

    @property
    def verdict(self) -> Verdict:
        """Which is the cheaper; "" where a missing price leaves it open."""
        if abs(self.saves) <= EVEN * max(abs(self.offered), abs(self.takes)):
            return "" if self.unpriced else "even"
        if self.saves < 0:
            return "buy"
        return "" if self.unpriced else "make"

    @property
    def without_scarcity(self) -> float:
        """The break-even price if no hour were short."""
        share = self.waste / (self.marginal + self.scarce) if self.marginal + self.scarce else 0.0
        return self.marginal * (1.0 + share)


def make_or_buy(
    reckoning: Reckoning,
    preparation: str,
    offered: float,
    worth: Mapping[str, float] | None = None,
    *,
    thrown_away: float = 0.0,
    varying: Sequence[Layer] = VARYING,
) -> MakeOrBuy:
    """A preparation against ``offered`` money per base unit, of equal quality.

    ``worth`` is what one more hour of each resource is worth (``BestMix.worth``); ``thrown_away`` the share of what is
    made that never reaches a drink (failed batches, past its days), beyond the losses in the recipe: each good unit
    then takes 1 / (1 - share) of cost and hours. ValueError for a preparation that cannot be made today, and for a
    price or share that cannot be.
    """
    if not isfinite(offered) or offered < 0:
        raise ValueError(say("a price of {price} to buy at must be a number from 0 on", price=offered))
    if not 0 <= thrown_away < 1:
        raise ValueError(say("a share of {share} thrown away must lie from 0 to below 1 (0.05 is 5 %)",
                             share=thrown_away))  # fmt: skip
    if preparation not in reckoning.direct:
        raise ValueError(say("{name} cannot be made today: see what is amiss with it first", name=preparation))
    cost = reckoning.costs[preparation]
    hours = hours_of(reckoning, preparation)
    scarce = sum(each * hours.get(key, 0.0) for key, each in (worth or {}).items())
    marginal = cost.of(varying)
    made = reckoning.ledgers[owner(preparation)]
    return MakeOrBuy(
        preparation=preparation, base=made.outputs[preparation].unit.base, offered=offered, marginal=marginal,
        full=cost.making, hours=hours, scarce=scarce, waste=(marginal + scarce) * thrown_away / (1.0 - thrown_away),
        unpriced=cost.unpriced, byproducts=tuple(o for o in made.outputs if o != preparation),
    )  # fmt: skip


def units_within(found: MakeOrBuy, mix: BestMix) -> float:
    """Base units that can be bought in the place of made ones before an hour they free is worth less than ``mix`` says;
    infinite where no hour is scarce. Beyond it buying saves less than ``scarce``: work the mix out anew with the hours
    that are freed."""
    freed = [
        (u.up_to - u.resource.hours) / found.hours[u.resource.key]
        for u in mix.uses
        if u.binds and found.hours.get(u.resource.key, 0.0) > 0
    ]
    return min(freed, default=inf)


def hours_of(reckoning: Reckoning, source: str) -> dict[str, float]:
    """Hours of people (``PREP``) and of machines, by their good, in one unit of an output, all that went before it
    counted."""
    people, machines = people_of(reckoning), machines_of(reckoning)
    out: dict[str, float] = {}
    for good, amount in reckoning.exploded[source].row.items():
        key = PREP if good in people else good
        if (good in people or good in machines) and amount:
            out[key] = out.get(key, 0.0) + amount
    return out
