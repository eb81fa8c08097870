"""Why a cost is not sure: the range it lies in, and what that stands on."""

from collections.abc import Iterator
from dataclasses import dataclass

from costing.pricing.doubts import ASSUMED, NORMAL_95
from costing.pricing.ranges import Cause, Range
from costing.pricing.sources import HORIZON
from costing.report.range_words import cause_words, share_words
from costing.tongue import say, say_many
from ui.desk import Where
from ui.document import Figures
from ui.format import Format, own
from ui.ranges import asked, chance_of, few_batches, in_doubt, range_of, range_words
from ui.where import name_of
from ui.whys import Line, Trail

LEAST = 0.01
"""The part of the largest cause below which another is not shown."""


@dataclass(frozen=True, slots=True)
class RangeOf:
    """The range that the cost of one drink lies in, or of a unit of a preparation or by-product (``kind``
    "preparation")."""

    ident: str
    kind: str = "serve"

    def trail(self, figures: Figures, form: Format) -> Trail:
        """Its ends, how often a drink misses its target, then what the range stands on, the largest first."""
        title, found = self._title(figures), range_of(figures, self.ident, self.kind)
        if figures.ranges is None:
            return Trail(title, say("being worked out…"), ())
        if found is None:
            return Trail(title, say("no range can be told"), (
                Line(say("nothing under it was measured often enough, or something has no price")),
            ))  # fmt: skip
        said = say("{cost} ({range})", cost=self._money(found.cost, figures, form), range=own(range_words(found, form)))
        return Trail(title, said, tuple(self._lines(found, figures, form)))

    def _title(self, figures: Figures) -> str:
        if self.kind != "serve":
            return say("What {name} may cost, with making", name=own(figures.names.get(self.ident, self.ident)))
        return say("What one {serve} may cost", serve=own(name_of(figures.book, Where("serve", self.ident))))

    def _money(self, value: float, figures: Figures, form: Format) -> str:
        unit = figures.reckoning.units.get(self.ident) if self.kind != "serve" else None
        return form.unit_money(value, unit.base) if unit is not None else form.money(value)

    def _lines(self, found: Range, figures: Figures, form: Format) -> Iterator[Line]:
        yield Line(say("as shown"), self._money(found.cost, figures, form))
        yield Line(_holds(found, self.kind), range_words(found, form))
        if self.kind == "serve":
            yield from _targets(self.ident, found, figures, form)
        yield Line(say("it stands on"))
        for cause in found.causes:
            if cause.money >= LEAST * found.causes[0].money:
                mark = "assumed" if cause.basis == "assumed" else "measured"
                name = own(name_of(figures.book, Where(*cause.key)))
                yield Line(cause_words(cause, name), _moved(cause, form), mark, 1, Where(*cause.key))
        yield from _said(found, form)


def _holds(found: Range, kind: str) -> str:
    few = few_batches(found)
    if found.method == "seen":
        return say_many("seen in {n} batch, beside the recipe", "seen in {n} batches, beside the recipe", few)
    if few:
        return say_many("with what was seen in {n} batch, it may cost",
                        "with what was seen in {n} batches, it may cost", few)  # fmt: skip
    return say("90 of 100 drinks lie between") if kind == "serve" else say("90 of 100 batches lie between")


def _targets(serve: str, found: Range, figures: Figures, form: Format) -> Iterator[Line]:
    """How often it misses its target at each price it is printed at, and what the target asks for at the ends."""
    told: set[tuple[object, object]] = set()
    for priced in figures.priced:
        if priced.serve.id != serve or (at := (priced.price and priced.price.all_in, priced.policy)) in told:
            continue
        told.add(at)
        where = Where("menu", priced.menu, serve) if priced.menu else None
        chance = chance_of(priced, found)
        if priced.price is not None and chance is not None:
            price = form.money(priced.price.all_in)
            yield Line(say("misses the target at {price}", price=price), share_words(chance), where=where)
        if in_doubt(figures, priced).point:
            low, high = (form.money(price) for price in asked(figures, priced, found))
            yield Line(say("the target asks for"), say("{low} to {high}", low=low, high=high), where=where)


def _moved(cause: Cause, form: Format) -> str:
    """How far a cause moves the cost of one; of fewer than three batches how far what was seen lies apart."""
    half = NORMAL_95 * cause.money
    if cause.few:
        return say("{money} apart", money=form.number(2.0 * half, form.places + 1))
    return say("± {money}", money=form.number(half, form.places + 1))


def _said(found: Range, form: Format) -> Iterator[Line]:
    if found.assumed:
        share = form.percent(ASSUMED, 0)
        yield Line(say("assumed figures are taken to be known to {share} of themselves", share=share), "", "assumed")
    if found.seen:
        yield Line(say("fewer than three batches tell no deviation and no chance: the range holds what was seen"))
    if any(cause.basis == "prices" for cause in found.causes):
        days = form.number(HORIZON, 0)
        yield Line(say("prices are taken to move on as they did, {days} days ahead", days=days))
    yield Line(say("other prices, and what was weighed only once, are taken as they are"))
