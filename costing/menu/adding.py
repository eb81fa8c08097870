"""Adding a drink: what it earns, less what the drinks it takes guests from would have earned.

A guest who takes the new drink instead of another brings the margin of the new one and loses that of the other. The
gain is q m - sum of q d_j m_j over the drinks it is taken instead of; it pays until the share that comes from one of
them is m / m_j. Common practice of menu decisions; the arithmetic is that of the contribution margin.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from math import isfinite

from costing.ledger.reckon import Reckoning
from costing.menu.batch_rows import PREP, machines_of, people_of, serve_row
from costing.menu.mix import Item
from costing.menu.portfolio import Under, hours_each, under
from costing.tongue import say


@dataclass(frozen=True, slots=True, kw_only=True)
class Diverted:
    """A drink that guests would have taken instead, in ``share`` of the sales of the new one, and its margin each."""

    name: str
    share: float
    margin: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Adding:
    """What a new drink does to the margin of the period in which ``sold`` of it are expected.

    ``break_even`` says by drink up to which share of the sales of the new one may come from that drink alone (above 1:
    all of them may; None: that drink earns nothing, so any may).
    """

    margin: float
    sold: float
    diverted: tuple[Diverted, ...]

    @property
    def earns(self) -> float:
        """Margin of all that are sold."""
        return self.sold * self.margin

    @property
    def loses(self) -> float:
        """Margin of the drinks they are taken instead of."""
        return self.sold * sum(d.share * d.margin for d in self.diverted)

    @property
    def gain(self) -> float:
        """What the house is better off by."""
        return self.earns - self.loses

    @property
    def per_sale(self) -> float:
        """The same a drink sold."""
        return self.margin - sum(d.share * d.margin for d in self.diverted)

    @property
    def share(self) -> float:
        """Share of its sales that come from other drinks."""
        return sum(d.share for d in self.diverted)

    @property
    def break_even(self) -> dict[str, float | None]:
        """Share at which it earns nothing, were it taken instead of that drink alone."""
        return {d.name: self.margin / d.margin if d.margin > 0 else None for d in self.diverted}

    @property
    def break_even_share(self) -> float | None:
        """Share of its sales that may come from these drinks, in the same proportion, until it earns nothing (above 1:
        all may); None where they earn nothing."""
        lost = sum(d.share * d.margin for d in self.diverted)
        return self.share * self.margin / lost if lost > 0 else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Needs:
    """What a new drink asks of the house: ``hours`` of each resource for all that are sold, ``freed`` by the drinks
    they are taken instead of, and what is ``new``: goods and preparations that no drink of the menus of today takes."""

    hours: Mapping[str, float] = field(default_factory=dict)
    freed: Mapping[str, float] = field(default_factory=dict)
    new: Under

    @property
    def more(self) -> dict[str, float]:
        """Hours on balance."""
        keys = dict.fromkeys((*self.hours, *self.freed))
        return {key: self.hours.get(key, 0.0) - self.freed.get(key, 0.0) for key in keys}


def adding(margin: float, sold: float, diverted: Iterable[Diverted] = ()) -> Adding:
    """A new drink of ``margin`` money each of which ``sold`` are expected. ValueError for figures that are none, and
    where the shares add up to more than all of its sales."""
    taken = tuple(diverted)
    if not (isfinite(margin) and isfinite(sold)) or sold < 0:
        raise ValueError(say("the margin and the number sold must be numbers, and none sold is the least"))
    if any(d.share < 0 or not isfinite(d.share) for d in taken):
        raise ValueError(say("a share taken from another drink must lie from 0 to 1 (0.4 is 40 %)"))
    whole = sum(d.share for d in taken)
    if whole > 1 + 1e-9:
        raise ValueError(say("{share} % of its sales would come from other drinks: the shares must add up to 100 % or "
                             "less", share=f"{100 * whole:.4g}"))  # fmt: skip
    return Adding(margin=margin, sold=sold, diverted=taken)


def needs_of_adding(
    reckoning: Reckoning, serve: str, sold: float, instead: Sequence[tuple[Item, float]], menu: Iterable[Item]
) -> Needs:
    """What ``sold`` of a serve of the book take, with the rows they are taken ``instead`` of and in which share;
    ``menu`` are the rows of the menus of today. KeyError for a serve that the book does not have today."""
    reckoning.view.serves[serve]  # a name that means nothing must not pass for a drink that needs nothing
    each = _hours(reckoning, serve)
    freed: dict[str, float] = {}
    for item, share in instead:
        for key, hours in hours_each(item).items():
            freed[key] = freed.get(key, 0.0) + sold * share * hours
    others = under(reckoning, dict.fromkeys(i.serve for i in menu if i.serve != serve))
    return Needs(
        hours={k: sold * h for k, h in each.items()}, freed=freed, new=under(reckoning, [serve]).without(others)
    )


def _hours(reckoning: Reckoning, serve: str) -> dict[str, float]:
    """Hours of one drink by resource; what people do at the bar is not among them."""
    line = reckoning.serves.get(serve)
    if line is None:
        return {}
    people, machines = people_of(reckoning), machines_of(reckoning)
    inside = reckoning.contents(line.carried).row
    at_bar = serve_row(reckoning, serve)[1]
    out = {good: amount for good, amount in inside.items() if good in machines and amount}
    out[PREP] = sum(amount - at_bar.get(good, 0.0) for good, amount in inside.items() if good in people)
    return out
