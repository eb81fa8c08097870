"""How dear an ingredient may become: the supplier's price at which a drink still meets its target at its printed price,
and the one at which it earns nothing.

The cost of a drink is linear in each price, so that both are solved exactly: with a base units of the good in a drink
at u each, and the rest of the cost r, the most that the cost may be, L, is reached at u = (L - r) / a.
"""

from dataclasses import dataclass
from decimal import Decimal

from costing.book.levies import Policy
from costing.book.money import exact, to_float
from costing.book.records import Terms
from costing.ledger.prices import UnitPrice, landed
from costing.ledger.reckon import Reckoning
from costing.menu.supposed_prices import pack_text
from costing.pricing.menu import PricedServe, priced_serves


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """A price at which a limit is just met: of the ``pack`` as it is quoted, in the quote's currency (None where the
    good has no quote), and per base unit as it lands, in the house's. ``move`` is how far that is from the price now,
    as a fraction (None from a price of nothing, or from none)."""

    pack: Decimal | None
    per_base: float
    move: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakEven:
    """One bought good of a drink. ``amount`` is base units of it in one drink; ``pack`` what is quoted and ``price``
    for it in ``currency`` ("" and None without a quote). ``target`` and ``nothing`` are where the drink just meets its
    target and where it earns nothing: None where it does not even with the good for nothing."""

    good: str
    name: str
    amount: float
    pack: str
    currency: str
    price: Decimal | None
    per_base: float | None
    target: Reach | None
    nothing: Reach | None


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakEvens:
    """A drink on a section of a menu: printed net price, cost in base layers, the most it may cost to meet its target.

    ``goods`` are the dearest first; empty with ``unpriced``, where more than one good has no price, since then no price
    can be told."""

    serve: str
    name: str
    menu: str
    section: str
    net: Decimal
    policy: Policy
    cost: float
    most: float
    goods: tuple[BreakEven, ...]
    unpriced: tuple[str, ...] = ()


def most_cost(policy: Policy, net: Decimal) -> Decimal:
    """The most that a drink may cost to meet a target at a net price."""
    match policy.kind:
        case "pour_cost":
            return net * policy.value
        case "margin":
            return net - policy.value
        case "multiplier":
            return net / policy.value


def break_evens(reckoning: Reckoning, serve: str) -> tuple[BreakEvens, ...]:
    """For every menu that prints a price for a drink. Empty where none does, or it cannot be made on the day."""
    return tuple(
        _of(reckoning, p, p.price.net)
        for p in priced_serves(reckoning)
        if p.serve.id == serve and p.price is not None and p.line is not None
    )


def _of(reckoning: Reckoning, priced: PricedServe, net: Decimal) -> BreakEvens:
    view = reckoning.view
    layers = (view.terms or Terms(since=view.day)).base
    inside = reckoning.contents(priced.line.carried).row if priced.line is not None else {}
    counted = {g: amount for g, amount in inside.items() if amount > 0.0 and view.goods[g].layer in layers}
    money = {g: amount * reckoning.prices[g].per_base for g, amount in counted.items() if g in reckoning.prices}
    unpriced = sorted(g for g in priced.cost.unpriced if g not in view.goods or view.goods[g].layer in layers)
    most = to_float(most_cost(priced.policy, net))
    wanted = counted if not unpriced else [g for g in counted if unpriced == [g]]
    return BreakEvens(
        serve=priced.serve.id, name=priced.serve.name, menu=priced.menu, section=priced.section, net=net,
        policy=priced.policy, cost=priced.base, most=most, unpriced=tuple(unpriced),
        goods=tuple(
            _good(reckoning, g, counted[g], money.get(g, 0.0) - priced.base, (most, to_float(net)))
            for g in sorted(wanted, key=lambda g: (-money.get(g, 0.0), g))
        ),
    )  # fmt: skip


def _good(reckoning: Reckoning, good: str, amount: float, less_rest: float, most: tuple[float, float]) -> BreakEven:
    price = reckoning.prices.get(good)
    quote = price.quote if price is not None else None
    target, nothing = (_reach(reckoning, price, (limit + less_rest) / amount) for limit in most)
    return BreakEven(
        good=good, name=reckoning.view.goods[good].name, amount=amount, pack=pack_text(quote) if quote else "",
        currency=quote.currency if quote else "", price=quote.price if quote else None,
        per_base=price.per_base if price else None, target=target, nothing=nothing,
    )  # fmt: skip


def _reach(reckoning: Reckoning, price: UnitPrice | None, per_base: float) -> Reach | None:
    """A price per base unit as that of the pack; None where even a pack for nothing is dearer."""
    if price is None:
        return Reach(pack=None, per_base=per_base, move=None) if per_base >= 0.0 else None
    money, factor = landed(price.quote, reckoning.view.terms, price.rate)
    now = price.quote.price
    pack = (exact(per_base * price.content) - (money - now * factor)) / factor
    if pack < 0:
        return None
    return Reach(pack=pack, per_base=per_base, move=to_float(pack / now - 1) if now else None)
