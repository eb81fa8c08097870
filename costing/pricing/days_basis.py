"""What a cost stands on at one day: rows, prices and terms; and the next day's, where only prices have changed."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property

from costing.book.book import Book, View
from costing.book.problem import Problem
from costing.book.records import LAYERS, Layer, Terms
from costing.ledger.costs import Cost, roll_up
from costing.ledger.order import owner
from costing.ledger.prices import UnitPrice, price_goods
from costing.ledger.reckon import Reckoning, reckon
from costing.ledger.rows import Row
from costing.pricing.days_part import Kind

TOP = ""
"""The item itself among the ids of a walk; no record may have this id."""


@dataclass(frozen=True)
class Basis:
    """An item on a day. ``reckoning`` is of the part of the book that it rests on."""

    item: str
    kind: Kind
    reckoning: Reckoning

    @property
    def view(self) -> View:
        """The part of the book on the day."""
        return self.reckoning.view

    @property
    def day(self) -> date:
        """The day."""
        return self.view.day

    @property
    def terms(self) -> Terms:
        """The day's money rules; the plain ones before the house has any."""
        return self.view.terms or Terms(since=self.day)

    @cached_property
    def row(self) -> Row | None:
        """What one unit of the item takes; None on a day when it is not there or cannot be costed."""
        if self.kind == "serve":
            line = self.reckoning.serves.get(self.item)
            return None if line is None else line.carried.row
        return {self.item: 1.0} if self.item in self.reckoning.costs else None

    @cached_property
    def rows(self) -> dict[str, Row]:
        """By id: the direct row of everything the house makes here, inputs first, the item last under ``TOP``."""
        below: dict[str, Row] = {name: carried.row for name, carried in self.reckoning.direct.items()}
        return below if self.row is None else {**below, TOP: self.row}

    @cached_property
    def amounts(self) -> Mapping[str, float]:
        """Base units of every source, bought or made, in one unit of the item, consumers first."""
        out: dict[str, float] = {TOP: 1.0} if self.row is not None else {}
        for name in reversed(self.rows):
            if name in out:
                for source, amount in self.rows[name].items():
                    out[source] = out.get(source, 0.0) + out[name] * amount
        return out

    @cached_property
    def cost(self) -> Cost | None:
        """Cost of one unit by layer, None where it cannot be costed."""
        return None if self.row is None else self.reckoning.money(self.row)

    def price(self, good: str) -> UnitPrice | None:
        """The good's price of the day."""
        return self.reckoning.prices.get(good)

    def since(self, source: str) -> date | None:
        """The first day of the version of something the house makes; None for what has none on the day."""
        if source == TOP:
            held = self.view.serves.get(self.item) if self.kind == "serve" else None
            return held[1].since if held else None
        made = self.view.preparations.get(owner(source))
        return made[1].since if made else None

    @property
    def first_day(self) -> date | None:
        """The first day of the item's version; None where it has none."""
        return self.since(TOP if self.kind == "serve" else self.item)

    @property
    def begun(self) -> bool:
        """Whether the item is in the book on the day."""
        if self.kind == "serve":
            return self.item in self.view.serves
        return self.kind == "good" or owner(self.item) in self.view.preparations

    @property
    def faults(self) -> tuple[Problem, ...]:
        """What keeps the item out of cost; empty where it is costed."""
        return () if self.row is not None else tuple(p for p in self.reckoning.problems if p.level == "error")


def basis_of(part: Book, item: str, kind: Kind, day: date, before: Basis | None = None) -> Basis:
    """The basis of a day. ``before`` is one of the same part: where no version differs its rows are taken over, and
    prices alone are worked out."""
    view = part.on(day)
    if before is None or _versions(view) != _versions(before.view):
        return Basis(item, kind, reckon(view))
    old = before.reckoning
    prices, _ = price_goods(view, {good: unit for good, unit in old.units.items() if good in view.goods})
    goods: dict[str, tuple[Layer, float | None]] = {
        g.id: (g.layer, prices[g.id].per_base if g.id in prices else None) for g in view.goods.values()
    }
    return Basis(item, kind, replace(old, view=view, prices=prices, costs=roll_up(old.direct, goods)))


def _versions(view: View) -> tuple[tuple[str, str, date], ...]:
    return (
        *(("preparation", ident, version.since) for ident, (_, version) in view.preparations.items()),
        *(("serve", ident, version.since) for ident, (_, version) in view.serves.items()),
    )


def layer_at(view: View, good: str) -> int:
    """The column of a good's money."""
    return LAYERS.index(view.goods[good].layer)
