"""The range that a cost lies in, as ``cost --item`` prints it: in words, and as JSON.

``range``: {"of": "serve" or "preparation", "id", "layers", "cost", "low", "high", "holds" (the share of drinks or
batches inside, null where it holds what fewer than three batches showed), "method", "stands_on": [{"kind", "id",
"figure", "basis", "n", "sd", "apart"}], "misses_target": [{"menu", "section", "chance"}]}. A preparation's is of one
base unit. "sd" is the standard deviation that a cause gives the cost, in money; of fewer than three batches it is
null, and "apart" is how far what was seen lies apart.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from costing.book.records import LAYERS, Layer, Quote
from costing.ledger import Reckoning
from costing.pricing import PricedServe
from costing.pricing.doubts import NORMAL_95
from costing.pricing.exposure import base_layers, exposures
from costing.pricing.ranges import Cause, Range, allowed, chance_missed, ranges
from costing.report.range_words import cause_words, share_words
from costing.report.words import layer_word
from costing.terminal.show import currency_of, money, name_of

SHOWN = 3
"""Causes that are named; the smaller ones are counted."""
LEAST = 0.01
"""The part of the largest cause below which another is not named."""


@dataclass(frozen=True)
class CostRange:
    """The range of one drink in the layers of pour cost, or of a unit of a preparation or by-product with making."""

    reckoning: Reckoning
    ident: str

    @property
    def is_serve(self) -> bool:
        """Whether it is of a drink."""
        return self.ident in self.reckoning.serves

    @property
    def layers(self) -> tuple[Layer, ...]:
        """The layers that are in it."""
        return base_layers(self.reckoning) if self.is_serve else LAYERS

    @cached_property
    def found(self) -> Range | None:
        """The range; None where none can be told, or it is of neither. Some tenths of a second for a preparation."""
        if self.is_serve:
            return ranges(exposures(self.reckoning, serves=(self.ident,))).serves[self.ident]
        if self.ident in self.reckoning.direct:
            return ranges(exposures(self.reckoning, LAYERS)).made.get(self.ident)
        return None

    def lines(self, priced: PricedServe | None = None) -> Iterator[str]:
        """What it may cost, how often it misses its target at a place on a menu, and what that stands on."""
        found = self.found
        if found is None:
            yield "no range: nothing under it is known to vary, or something has no price"
            return
        said = f"{self._what} {_within(found, currency_of(self.reckoning))}"
        if priced is not None and priced.price is not None:
            chance = _missed(found, priced)
            missed = "fewer than three batches tell no chance of missing the target"
            said += f"; {missed if chance is None else f'misses its target in {share_words(chance)}'}"
        yield said
        yield f"stands on: {'; '.join(self._causes(found))}"

    @property
    def _what(self) -> str:
        if self.is_serve:
            return f"cost in {' + '.join(map(layer_word, self.layers))}:"
        unit = self.reckoning.units.get(self.ident)
        name = name_of(self.reckoning.view, self.ident)
        return f"{name}, 1 {unit.base if unit is not None else 'unit'} with making:"

    def _causes(self, found: Range) -> Iterator[str]:
        named = [c for c in found.causes[:SHOWN] if c.money >= LEAST * found.causes[0].money]
        for cause in named:
            yield cause_words(cause, self._name(cause))
        if left := len(found.causes) - len(named):
            yield f"{left} smaller"

    def _name(self, cause: Cause) -> str:
        record = self.reckoning.view.book.records[cause.key]
        if isinstance(record, Quote):
            return f"{name_of(self.reckoning.view, record.good)}, a quote"
        return str(getattr(record, "name", "") or cause.key[1])

    def json(self, serves: Sequence[PricedServe]) -> dict[str, Any] | None:
        """The same with full figures; ``serves`` are the places of a drink. None where no range can be told."""
        found = self.found
        if found is None:
            return None
        return {
            "of": "serve" if self.is_serve else "preparation",
            "id": self.ident,
            "layers": list(self.layers),
            "cost": found.cost,
            "low": found.low,
            "high": found.high,
            "holds": None if found.seen else 0.9,
            "method": found.method,
            "stands_on": [_cause_json(cause) for cause in found.causes],
            "misses_target": [
                {"menu": s.menu, "section": s.section, "chance": _missed(found, s)} for s in serves if s.price
            ],
        }


def _within(found: Range, currency: str) -> str:
    more = 0 if abs(found.cost) >= 0.1 else 2  # a twist of some cents
    cost, low, high = (money(value, currency, more) for value in (found.cost, found.low, found.high))
    few = sum(cause.n for cause in found.causes if cause.few)
    batches = f"{few} batch{'' if few == 1 else 'es'}"
    if found.method == "seen":
        return f"{cost}, seen between {low} and {high} in {batches}"
    return f"{cost} ({low} to {high}), " + (f"with what was seen in {batches}" if few else "90 of 100")


def _missed(found: Range, priced: PricedServe) -> float | None:
    return chance_missed(found, allowed(float(priced.price.net), priced.policy)) if priced.price is not None else None


def _cause_json(cause: Cause) -> dict[str, Any]:
    return {
        "kind": cause.key[0],
        "id": cause.key[1],
        "figure": cause.figure,
        "basis": cause.basis,
        "n": cause.n,
        "sd": None if cause.few else cause.money,
        "apart": 2.0 * NORMAL_95 * cause.money if cause.few else None,
    }
