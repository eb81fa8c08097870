"""The bridge between two mixes: a menu before and under a scenario, two periods, or two days.

Rows are matched by menu, section and drink; what is then left over, by menu and drink, and last by drink alone, where
that leaves no doubt: a heading that was renamed makes no drink new.
"""

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from costing.book.change import Change, put
from costing.ledger.reckon import Reckoning, reckon
from costing.menu.bridge import Bridge, Sale, bridge
from costing.menu.compare import Under
from costing.menu.mix import Item, menu_mix


def bridge_of(before: Under, after: Under) -> Bridge:
    """Why the margin of the whole menu moved. Over one scenario, two periods or two days alike; amounts are those of
    the periods of each side."""
    old, new = before.mix.items, after.mix.items
    keys = _keys(old, new)
    rated = _at_rates(before.reckoning, after.reckoning, before)
    return bridge(
        [_sale(item, key, rated.get(n)) for n, (item, key) in enumerate(zip(old, keys[0], strict=True))],
        [_sale(item, key) for item, key in zip(new, keys[1], strict=True)],
    )


def _sale(item: Item, key: str, at_rate: float | None = None) -> Sale:
    return Sale(key=key, name=item.name, sold=item.sold, price=item.net, cost=item.cost, at_rate=at_rate,
                complete=item.complete)  # fmt: skip


def _keys(old: Sequence[Item], new: Sequence[Item]) -> tuple[list[str], list[str]]:
    """A key for every row of both sides, the same for two rows that belong together."""
    keys = [[""] * len(old), [""] * len(new)]
    ways: tuple[Callable[[Item], str], ...] = (
        lambda item: f"row {item.key}",
        lambda item: f"menu {item.menu}/{item.serve}",
        lambda item: f"serve {item.serve}",
    )
    for way in ways:
        open_ = [[n for n, key in enumerate(side) if not key] for side in keys]
        names = [[way(side[n]) for n in left] for side, left in zip((old, new), open_, strict=True)]
        once = [{name for name, count in Counter(side).items() if count == 1} for side in names]
        for side, left, called in zip(keys, open_, names, strict=True):
            for n, name in zip(left, called, strict=True):
                side[n] = name if name in once[0] & once[1] else ""
    for which, side in enumerate(keys):
        for n, key in enumerate(side):
            side[n] = key or f"{'old' if which == 0 else 'new'} {n}"
    return keys[0], keys[1]


def _at_rates(before: Reckoning, after: Reckoning, under: Under) -> Mapping[int, float]:
    """By place of the row: what the drinks before would have cost at the exchange rates after; empty where no rate
    moved."""
    changes: list[Change] = []
    for currency, rate in before.view.rates.items():
        later = after.view.rates.get(currency)
        if later is not None and later.worth != rate.worth:
            changes.append(put("rate", replace(rate, worth=later.worth), rate))
    if not changes:
        return {}
    view = before.view
    mix = menu_mix(reckon(view.book.with_changes(changes).on(view.day)), under.mix.periods)
    return {n: item.cost for n, item in enumerate(mix.items)}
