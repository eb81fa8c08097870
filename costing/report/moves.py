"""Which price moves a drink: the money of every good in it."""

from collections.abc import Iterable

from costing.ledger.reckon import Reckoning


def shares(reckoning: Reckoning, serve: str) -> tuple[tuple[str, float], ...]:
    """(good, money of it in one drink, over the house's base layers), the dearest first."""
    line, terms = reckoning.serves.get(serve), reckoning.view.terms
    if line is None:
        return ()
    base: Iterable[str] = terms.base if terms else ("materials",)
    goods = reckoning.view.goods
    inside = reckoning.contents(line.carried).row
    found = [
        (good, amount * reckoning.prices[good].per_base) for good, amount in inside.items()
        if good in reckoning.prices and goods[good].layer in base
    ]  # fmt: skip
    return tuple(sorted(found, key=lambda item: (-item[1], item[0])))
