"""Dropping a drink: what goes with it, what it frees, and how many of its guests must stay for it to pay.

What is lost is the margin of what was sold, if those guests take nothing; if they take other drinks in proportion to
what these sell, the margin of those comes back. What only this drink needs goes with it: preparations and goods, the
stock that stands for them, and what of their batches was thrown away for age.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil

from costing.book.money import to_float
from costing.book.records import Layer
from costing.ledger.order import owner
from costing.ledger.reckon import Reckoning
from costing.menu.batch_rows import batch_rows, serve_row
from costing.menu.batches_mix import all_needs, in_turn, part_batches
from costing.menu.capacity_rows import VARYING, decision_margin
from costing.menu.mix import Item, Mix
from costing.menu.portfolio import Under, hours_each, hours_of_all, under
from costing.menu.todays import todays
from costing.tongue import say


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """Stock that a drink alone keeps: of a preparation one batch, of a good what it takes in a week, in whole packs.
    A stand-in until the house counts. ``amount`` in base units; ``money`` at the prices of today."""

    source: str
    amount: float
    money: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Spoilt:
    """Of a preparation that a drink alone needs: base units of the period's batches that were too old before they were
    used, at an even pace, and their materials in money."""

    preparation: str
    amount: float
    money: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Dropping:
    """What the period would have been without a drink.

    ``margin`` is what its sales earned; ``others`` what the drinks of its sections earn on average, weighted by what
    was sold. ``hours`` are those it took of each resource, ``instead`` those of the others if all its guests took them.
    ``only`` is what no other drink of the menus needs. ``by_product`` are preparations of which others take a
    by-product and nothing else: they are made for that alone then, and what they take is not saved. ``stays`` is money
    of by-products that it took and whose preparation is made anyway: not saved either.
    """

    serve: str
    rows: tuple[Item, ...]
    sold: float
    margin: float
    others: float | None
    hours: Mapping[str, float]
    instead: Mapping[str, float]
    only: Under
    by_product: tuple[str, ...]
    stock: tuple[Stock, ...]
    spoilt: tuple[Spoilt, ...]
    stays: float

    @property
    def vanish(self) -> float:
        """What the margin changes by if its guests take nothing: the spoilt is saved, the by-products' money is not."""
        return -self.margin - self.stays + sum(s.money for s in self.spoilt)

    @property
    def move(self) -> float | None:
        """The same if all of them take other drinks in proportion; None where no other was sold."""
        return None if self.others is None else self.vanish + self.sold * self.others

    @property
    def break_even(self) -> float | None:
        """Share of its guests that must take another drink for the house to be no worse off (0: none need to; above 1:
        not even all of them are enough); None where no other drink earns anything."""
        if self.others is None or self.others <= 0 or self.sold <= 0:
            return None
        return max(0.0, -self.vanish / (self.sold * self.others))


def dropping(reckoning: Reckoning, mix: Mix, serve: str, varying: Sequence[Layer] = VARYING) -> Dropping:
    """A drink taken off every menu it is on, at the prices of the day. ValueError for one that is on none."""
    mix = todays(reckoning, mix)
    rows = tuple(i for i in mix.items if i.serve == serve)
    if not rows:
        raise ValueError(say("{serve} is on no menu of this day, so it cannot be dropped", serve=serve))
    rest = [i for i in mix.items if i.serve != serve]
    sold = sum(i.sold for i in rows)
    others, instead = _others(rows, mix, varying)
    kept, gone = under(reckoning, dict.fromkeys(i.serve for i in rest)), under(reckoning, [serve])
    only = gone.without(kept)
    margin = sum(i.sold * decision_margin(i, varying) for i in rows)
    return Dropping(
        serve=serve, rows=rows, sold=sold, margin=margin, others=others, hours=hours_of_all(rows), instead=instead,
        only=only, by_product=_for_by_product(reckoning, serve, [i.serve for i in rest], kept, gone),
        stock=_stock(reckoning, only, serve, sold / mix.weeks if mix.weeks else 0.0),
        spoilt=_spoilt(reckoning, only, serve, sold, mix.days), stays=sold * _stays(reckoning, serve, kept, varying),
    )  # fmt: skip


def _others(rows: Sequence[Item], mix: Mix, varying: Sequence[Layer]) -> tuple[float | None, dict[str, float]]:
    """(margin a drink, hours of all) of the drinks that guests of these rows would take: those of the same section in
    proportion to what was sold, those of the menu where the section sold none."""
    sold = sum(row.sold for row in rows)
    money, hours, found = 0.0, dict[str, float](), 0
    for row in rows:
        weight = row.sold if sold > 0 else 1.0
        near = [i for i in mix.sections[row.menu, row.section] if i.serve != row.serve and i.sold > 0]
        near = near or [i for i in mix.items if i.menu == row.menu and i.serve != row.serve and i.sold > 0]
        if not near:
            continue
        found, whole = found + 1, sum(i.sold for i in near)
        for i in near:
            money += weight * i.sold / whole * decision_margin(i, varying)
            for key, each in hours_each(i).items():
                hours[key] = hours.get(key, 0.0) + row.sold * i.sold / whole * each
    return (money / (sold or found) if found else None), hours


def _for_by_product(reckoning: Reckoning, serve: str, rest: Sequence[str], kept: Under, gone: Under) -> tuple[str, ...]:
    """Preparations whose main output no other drink takes any more, and whose by-product one does."""
    taken: set[str] = set()
    for other in rest:
        taken |= serve_row(reckoning, other)[0].keys()
    for ident in kept.preparations:
        for output in reckoning.ledgers[ident].outputs.values():
            taken |= output.direct.row.keys() & reckoning.direct.keys()
    return tuple(sorted(ident for ident in gone.preparations & kept.preparations if ident not in taken))


def _stock(reckoning: Reckoning, only: Under, serve: str, a_week: float) -> tuple[Stock, ...]:
    out = []
    for ident in sorted(only.preparations):
        made = reckoning.ledgers[ident].outputs[ident].made
        out.append(Stock(source=ident, amount=made, money=made * reckoning.costs[ident].materials))
    line = reckoning.serves.get(serve)
    inside = reckoning.contents(line.carried).row if line is not None else {}
    for good in sorted(only.goods):
        price = reckoning.prices.get(good)
        if price is not None:
            packs = max(1, ceil(a_week * inside.get(good, 0.0) / price.content - 1e-9))
            out.append(Stock(source=good, amount=packs * price.content, money=packs * to_float(price.money)))
    return tuple(out)


def _spoilt(reckoning: Reckoning, only: Under, serve: str, sold: float, days: float) -> tuple[Spoilt, ...]:
    """What the batches of the period gave more than could be used of each in its days."""
    batches = [row.batch for row in batch_rows(reckoning).values()]
    needs = {source: sold * each for source, each in serve_row(reckoning, serve)[0].items()}
    taken = all_needs(in_turn(batches), needs, part_batches(batches, needs))
    out = []
    for ident in sorted(only.preparations):
        keeps, made = reckoning.view.preparations[ident][0].shelf_days, reckoning.ledgers[ident].outputs[ident]
        given, used = made.made - made.own_use, taken.get(ident, 0.0)
        if not keeps or days <= 0 or not 0 < used * keeps / days < given:
            continue
        amount = days / keeps * given - used  # a batch every time the last one is too old
        out.append(Spoilt(preparation=ident, amount=amount, money=amount * reckoning.costs[ident].materials))
    return tuple(out)


def _stays(reckoning: Reckoning, serve: str, kept: Under, varying: Sequence[Layer]) -> float:
    """Money a drink of by-products whose preparation is made for others anyway."""
    open_ = list(serve_row(reckoning, serve)[0].items())
    money = 0.0
    while open_:
        source, amount = open_.pop()
        ident = owner(source)
        if source != ident and ident in kept.preparations:
            money += amount * reckoning.costs[source].of(varying)
            continue
        inner = reckoning.direct[source].row
        open_ += [(s, amount * each) for s, each in inner.items() if s in reckoning.direct and each]
    return money
