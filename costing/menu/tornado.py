"""Which price moves a drink, and which the whole menu at what was sold.

Cost is linear in prices: what a tenth on a price does is a tenth of the money that goes through it, but for charges on
a pack (freight, a rebate), which stay. A yield is not: a recipe that gives a tenth less costs 1 / 0.9 as much, to first
order: what a by-product carries away stays as it is, and a mother batch, which takes itself, moves more.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import fsum
from typing import Literal

from costing.book.money import to_float
from costing.book.records import Layer
from costing.ledger.order import owner
from costing.ledger.prices import landed
from costing.ledger.reckon import Reckoning
from costing.menu.mix import Mix
from costing.pricing.sources import HORIZON, price_sources

By = Literal["good", "supplier", "preparation"]
SWING = 0.10


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """One line: the ``money`` that goes through it, and what moves when it goes ``down`` and ``up`` by ``swing``.

    Of a good or supplier, money moves by the price: ``up`` is money more spent. Of a preparation it is the yield that
    goes up or down: ``down`` is what a lesser yield costs more.
    """

    key: str
    name: str
    money: float
    down: float
    up: float
    swing: float

    @property
    def size(self) -> float:
        """The larger of the two moves."""
        return max(abs(self.down), abs(self.up))


@dataclass(frozen=True, slots=True, kw_only=True)
class Tornado:
    """The bars, the largest move first. ``whole`` is all the money; ``complete`` is false where something in it has no
    price. Preparations stand in each other, so that theirs do not add up to the whole."""

    by: By
    bars: tuple[Bar, ...]
    whole: float
    complete: bool

    @property
    def shares(self) -> tuple[tuple[str, float], ...]:
        """(name, money), as the picture takes them."""
        return tuple((bar.name, bar.money) for bar in self.bars)

    def top(self, most: int) -> tuple[tuple[Bar, ...], Bar | None]:
        """The first ``most`` bars, and the others as one (None where there are none, or where they cannot be added)."""
        first, others = self.bars[:most], self.bars[most:]
        if not others or self.by == "preparation":
            return first, None
        rest = Bar(
            key="", name="", swing=others[0].swing,
            **{name: fsum(getattr(b, name) for b in others) for name in ("money", "down", "up")},
        )  # fmt: skip
        return first, rest


def own_swings(reckoning: Reckoning, horizon: int = HORIZON, layers: Sequence[Layer] | None = None) -> dict[str, float]:
    """By good: the share by which its own price moves in ``horizon`` days, one standard deviation, as far as its quotes
    tell. A good that is not named has no history that moved."""
    goods = tuple(reckoning.prices)
    found = price_sources(reckoning, goods, _layers(reckoning, layers), horizon)
    return {source.key[1]: source.sd for source in found}


def serve_tornado(reckoning: Reckoning, serve: str, by: By = "good", *, layers: Sequence[Layer] | None = None,
                  swings: Mapping[str, float] | None = None) -> Tornado:  # fmt: skip
    """The money of one drink. See ``menu_tornado``; KeyError for a drink that cannot be made on the day."""
    return _tornado(reckoning, dict(reckoning.serves[serve].carried.row), by, layers, swings or {})


def menu_tornado(reckoning: Reckoning, mix: Mix, by: By = "good", *, layers: Sequence[Layer] | None = None,
                 swings: Mapping[str, float] | None = None) -> Tornado:  # fmt: skip
    """The money of everything that was sold, in the layers that pour cost stands on unless others are said. Each moves
    by a tenth, or by its own share in ``swings`` (by good, supplier or preparation: what its price did in a year).
    """
    row: dict[str, float] = {}
    for item in mix.items:
        line = reckoning.serves.get(item.serve)
        for source, amount in line.carried.row.items() if line is not None else ():
            row[source] = row.get(source, 0.0) + item.sold * amount
    found = _tornado(reckoning, row, by, layers, swings or {})
    made = all(item.serve in reckoning.serves for item in mix.items if item.sold)
    return found if made else Tornado(by=by, bars=found.bars, whole=found.whole, complete=False)


def _tornado(
    reckoning: Reckoning, row: Mapping[str, float], by: By, layers: Sequence[Layer] | None, swings: Mapping[str, float]
) -> Tornado:
    view = reckoning.view
    counted = _layers(reckoning, layers)
    amounts = _amounts(reckoning, row)
    goods = {
        good: amount * reckoning.prices[good].per_base for good, amount in amounts.items()
        if good in reckoning.prices and view.goods[good].layer in counted
    }  # fmt: skip
    if by == "preparation":
        made = [o for o in reckoning.direct if o in amounts and o == owner(o)]
        money = {o: amounts[o] * reckoning.costs[o].of(counted) for o in made}
        bars = [_yield(key, view.preparations[key][0].name, m, swings.get(key, SWING)) for key, m in money.items()]
    else:
        key = {good: good if by == "good" else reckoning.prices[good].quote.supplier for good in goods}
        money = _added((key[good], m) for good, m in goods.items())
        priced = _added((key[good], m * _in_price(reckoning, good)) for good, m in goods.items())
        name = _namer(reckoning, by)
        bars = [_price(k, name(k), m, priced[k], swings.get(k, SWING)) for k, m in money.items()]
    return Tornado(
        by=by, bars=tuple(sorted((b for b in bars if b.money), key=lambda b: (-b.size, b.key))),
        whole=fsum(goods.values()), complete=reckoning.money(row).complete,
    )  # fmt: skip


def _layers(reckoning: Reckoning, layers: Sequence[Layer] | None) -> tuple[Layer, ...]:
    """The layers that are said, else those that pour cost stands on."""
    terms = reckoning.view.terms
    return tuple(layers) if layers is not None else terms.base if terms is not None else ("materials",)


def _namer(reckoning: Reckoning, by: By) -> Callable[[str], str]:
    goods, suppliers = reckoning.view.goods, reckoning.view.suppliers
    if by == "good":
        return lambda key: goods[key].name
    return lambda key: suppliers[key].name if key in suppliers else key


def _amounts(reckoning: Reckoning, row: Mapping[str, float]) -> dict[str, float]:
    """Base units of everything, bought or made, in a row; what takes another is met before it."""
    out = dict(row)
    for name in reversed(list(reckoning.direct)):
        amount = out.get(name, 0.0)
        if amount:
            for source, per_unit in reckoning.direct[name].row.items():
                out[source] = out.get(source, 0.0) + amount * per_unit
    return out


def _added(pairs: Iterable[tuple[str, float]]) -> dict[str, float]:
    out: dict[str, float] = {}
    for key, money in pairs:
        out[key] = out.get(key, 0.0) + money
    return out


def _in_price(reckoning: Reckoning, good: str) -> float:
    """The share of what a pack lands at that goes with its price: freight, duty and rebates on a pack stay."""
    price = reckoning.prices[good]
    money, factor = landed(price.quote, reckoning.view.terms, price.rate)
    return to_float(price.quote.price * factor / money) if money else 1.0


def _price(key: str, name: str, money: float, priced: float, swing: float) -> Bar:
    return Bar(key=key, name=name, money=money, down=-swing * priced, up=swing * priced, swing=swing)


def _yield(key: str, name: str, money: float, swing: float) -> Bar:
    if not 0 <= swing < 1:
        raise ValueError(f"a yield cannot go down by {swing}: must lie from 0 to below 1 (0.1 is a tenth)")
    return Bar(key=key, name=name, money=money, down=money / (1 - swing) - money, up=money / (1 + swing) - money,
               swing=swing)  # fmt: skip
