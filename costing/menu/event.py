"""A quote for an event: how many drinks, what they and the evening cost, what to ask a head, and what to make and buy.

Drinks are guests x (first hour + later x (hours - 1)): 80 guests, two in the first hour and one in each of three more,
are 400 (common practice, no source). What is poured for tasting and slips is the allowance on top. Pour cost stands on
drinks alone, so staff and hire come out of what it leaves; a margin is money a head after everything.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from math import isfinite
from typing import Literal

from costing.book.levies import Policy
from costing.book.money import exact, to_float
from costing.book.records import Terms
from costing.ledger.balance import balance_of, standard_grams
from costing.ledger.reckon import Reckoning
from costing.menu.batch_rows import people_of, serve_row
from costing.menu.event_needs import EventNeeds, event_needs
from costing.pricing.levies import all_in, net_of
from costing.pricing.suggest import next_point
from costing.tongue import say


@dataclass(frozen=True, slots=True, kw_only=True)
class Staff:
    """``people`` for ``hours`` each, setting up and clearing counted, at ``rate`` money an hour."""

    people: float
    hours: float
    rate: float
    name: str = ""

    @property
    def money(self) -> float:
        """What they cost."""
        return self.people * self.hours * self.rate


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """What is asked for. ``serves`` are (serve id, share of the drinks) and the shares add up to 1; ``first_hour`` and
    ``later`` are drinks a guest and hour; ``allowance`` is the share poured beyond that; ``breakage`` a share of
    ``hire``; ``minimum`` the least that the party pays, all in; ``deposit`` the share paid ahead; ``policy`` the target
    (the house's where None, unless that is a margin, which is of one drink), a margin being money a head."""

    guests: int
    hours: float
    serves: tuple[tuple[str, float], ...]
    first_hour: float = 2.0
    later: float = 1.0
    allowance: float = 0.0
    staff: tuple[Staff, ...] = ()
    hire: float = 0.0
    breakage: float = 0.0
    minimum: Decimal | None = None
    deposit: Decimal = Decimal(0)
    policy: Policy | None = None

    @property
    def drinks(self) -> float:
        """Drinks that are expected; of less than an hour that part of the first hour's."""
        if self.hours < 1:
            return self.guests * self.first_hour * self.hours
        return self.guests * (self.first_hour + self.later * (self.hours - 1))


@dataclass(frozen=True, slots=True, kw_only=True)
class Poured:
    """One drink of the event: how many are expected and ``poured`` with the allowance; money of those poured in the
    layers that pour cost stands on (``base``), of materials, and of what making its preparations takes. ``complete``:
    every component has a price, else it is at least that."""

    serve: str
    name: str
    expected: float
    poured: float
    base: float
    materials: float
    making: float
    complete: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Alcohol:
    """Grams of ethanol a guest over the event, in its first hour and in each later one, if all drink alike; standard
    drinks a guest by the house's definition (None without one). ``unknown`` are drinks whose strength is not known, so
    that the figures are at least."""

    grams: float
    first_hour: float
    later_hour: float
    standard: float | None
    unknown: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Price:
    """``needed_net`` and ``needed`` (all in) meet the target a head; ``a_head`` is the price point at or above it.
    ``total`` is what the party pays, the minimum where that ``binds``, and ``net`` what the house keeps of it."""

    policy: Policy
    needed_net: Decimal
    needed: Decimal
    a_head: Decimal
    guests: int
    minimum: Decimal | None
    net: Decimal
    deposit: Decimal

    @property
    def binds(self) -> Literal["price", "minimum"]:
        """Whether the price a head or the minimum spend decides what is paid."""
        return "minimum" if self.minimum is not None and self.minimum > self.a_head * self.guests else "price"

    @property
    def total(self) -> Decimal:
        """What the party pays, all in."""
        by_head = self.a_head * self.guests
        return by_head if self.minimum is None else max(by_head, self.minimum)


@dataclass(frozen=True, slots=True, kw_only=True)
class Quote:
    """An event worked out. ``making`` is energy, machines and people of the preparations; people at the bar are in
    ``staff`` alone."""

    plan: Plan
    poured: tuple[Poured, ...]
    materials: float
    making: float
    staff: float
    hire: float
    breakage: float
    price: Price
    needs: EventNeeds
    alcohol: Alcohol

    @property
    def cost(self) -> float:
        """All of it."""
        return self.materials + self.making + self.staff + self.hire + self.breakage

    @property
    def left(self) -> float:
        """What is left of what the house keeps; below nothing the event costs it money."""
        return to_float(self.price.net) - self.cost

    @property
    def pour_cost(self) -> float | None:
        """Cost of the drinks in base layers over what the house keeps."""
        net = to_float(self.price.net)
        return sum(p.base for p in self.poured) / net if net else None

    @property
    def complete(self) -> bool:
        """Whether every component has a price; else costs and price are at least."""
        return all(p.complete for p in self.poured)


def event_quote(reckoning: Reckoning, plan: Plan) -> Quote:
    """The event on the day of the reckoning, under its taxes and service and price points. ValueError for a plan that
    cannot be, for drinks the book does not have that day or cannot read, and before the house has terms."""
    terms = reckoning.view.terms
    if terms is None:
        raise ValueError(say("the house has no money rules on {day}: enter its taxes and target first",
                             day=reckoning.view.day.isoformat()))  # fmt: skip
    _checked(reckoning, plan)
    if plan.policy is None and terms.policy.kind == "margin":
        raise ValueError(say("the house's own target is a margin a drink, and a guest has several: say what a guest is "
                             "to leave after everything, or a pour cost"))  # fmt: skip
    poured = tuple(_poured(reckoning, plan, serve, share, terms) for serve, share in plan.serves)
    staff, breakage = sum(s.money for s in plan.staff), plan.hire * plan.breakage
    materials, making = sum(p.materials for p in poured), sum(p.making for p in poured)
    whole = materials + making + staff + plan.hire + breakage
    counts: dict[str, float] = {}
    for p in poured:
        counts[p.serve] = counts.get(p.serve, 0.0) + p.poured
    return Quote(
        plan=plan, poured=poured, materials=materials, making=making, staff=staff, hire=plan.hire, breakage=breakage,
        price=_price(plan, terms, sum(p.base for p in poured), whole), needs=event_needs(reckoning, counts),
        alcohol=_alcohol(reckoning, plan),
    )  # fmt: skip


def _poured(reckoning: Reckoning, plan: Plan, serve: str, share: float, terms: Terms) -> Poured:
    made, bought = serve_row(reckoning, serve)
    people = people_of(reckoning)
    cost = reckoning.serve_cost(serve)
    without_bar = reckoning.money({**made, **{g: a for g, a in bought.items() if g not in people}})
    expected = plan.drinks * share
    count = expected * (1.0 + plan.allowance)
    return Poured(
        serve=serve, name=reckoning.view.serves[serve][0].name, expected=expected, poured=count,
        base=count * cost.of(terms.base), materials=count * cost.materials,
        making=count * (without_bar.making - without_bar.materials), complete=cost.complete,
    )  # fmt: skip


def _price(plan: Plan, terms: Terms, base: float, whole: float) -> Price:
    policy = plan.policy or terms.policy
    guests = Decimal(plan.guests)
    drinks, everything = exact(base) / guests, exact(whole) / guests
    net = {"pour_cost": drinks / policy.value, "margin": everything + policy.value,
           "multiplier": drinks * policy.value}[policy.kind]  # fmt: skip
    needed = all_in(net, terms.levies)
    a_head = next_point(needed, terms.points)
    total = max(a_head * guests, plan.minimum or Decimal(0))
    return Price(
        policy=policy, needed_net=net, needed=needed, a_head=a_head, guests=plan.guests, minimum=plan.minimum,
        net=net_of(total, terms.levies), deposit=total * plan.deposit,
    )  # fmt: skip


def _alcohol(reckoning: Reckoning, plan: Plan) -> Alcohol:
    """By what is expected: the allowance is not drunk."""
    house = reckoning.view.book.house
    each, unknown = 0.0, list[str]()
    for serve, share in plan.serves:
        found = balance_of(reckoning.serves[serve], house)
        if found is None:
            unknown.append(reckoning.view.serves[serve][0].name)
        else:
            each += share * found.ethanol_g
    one = standard_grams(house)
    grams = each * plan.drinks / plan.guests
    first = plan.first_hour * min(1.0, plan.hours)
    return Alcohol(grams=grams, first_hour=each * first, later_hour=each * plan.later if plan.hours > 1 else 0.0,
                   standard=grams / one if one else None, unknown=tuple(unknown))  # fmt: skip


def _checked(reckoning: Reckoning, plan: Plan) -> None:
    if not 1 <= plan.guests <= 100_000:
        raise ValueError(say("{n} guests must lie from 1 to 100,000", n=plan.guests))
    if not 0 < plan.hours <= 48:
        raise ValueError(say("{n} hours must lie above 0 and at most 48", n=f"{plan.hours:g}"))
    figures: Mapping[str, float] = {
        say("drinks in the first hour"): plan.first_hour, say("drinks in a later hour"): plan.later,
        say("allowance"): plan.allowance, say("hire"): plan.hire, say("breakage"): plan.breakage,
        say("minimum spend"): to_float(plan.minimum or Decimal(0)), say("deposit"): to_float(plan.deposit),
        **{say("staff"): v for s in plan.staff for v in (s.people, s.hours, s.rate) if v < 0 or not isfinite(v)},
    }  # fmt: skip
    for name, value in figures.items():
        if not isfinite(value) or value < 0:
            raise ValueError(say("{name}: {value} must be a number from 0 on", name=name, value=value))
    if plan.deposit > 1:
        raise ValueError(say("a deposit of {share} must lie from 0 to 1 (0.3 is 30 %)", share=plan.deposit))
    if plan.drinks <= 0:
        raise ValueError(say("a guest must drink something: say how many in the first hour and in the later ones"))
    for serve, share in plan.serves:
        if serve not in reckoning.view.serves:
            raise ValueError(say("there is no drink {serve} in the book on this day", serve=serve))
        if serve not in reckoning.serves:
            name = reckoning.view.serves[serve][0].name
            raise ValueError(say("{name} cannot be made today: see what is amiss with it first", name=name))
        if not 0 <= share <= 1:
            raise ValueError(say("a share of {share} must lie from 0 to 1 (0.4 is 40 %)", share=share))
    whole = sum(share for _, share in plan.serves)
    if abs(whole - 1) > 1e-6:
        raise ValueError(say("the shares of the drinks add up to {share} %: they must make 100 %",
                             share=f"{100 * whole:.4g}"))  # fmt: skip
