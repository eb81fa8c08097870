"""What the menu's drinks stand on: what is under each, what only one of them needs, and the goods and hours of all.

The questions are answered in ``adding``, ``dropping`` and ``newmenu``; this is what they share.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from costing.ledger.order import owner
from costing.ledger.reckon import Reckoning
from costing.menu.batch_rows import PREP, serve_row
from costing.menu.mix import Item


@dataclass(frozen=True, slots=True, kw_only=True)
class Under:
    """What a drink, or several, cannot do without: preparations, whichever of their outputs are used, and goods that
    are bought as ingredients (no hours, no energy)."""

    preparations: frozenset[str]
    goods: frozenset[str]

    def without(self, others: "Under") -> "Under":
        """What of it the others do not need."""
        return Under(preparations=self.preparations - others.preparations, goods=self.goods - others.goods)


def under(reckoning: Reckoning, serves: Iterable[str]) -> Under:
    """Everything below these drinks. A drink that takes a by-product needs the preparation it comes from, and all that
    goes into that."""
    ingredients = {g.id for g in reckoning.view.goods.values() if g.layer == "materials"}
    made: set[str] = set()
    goods: set[str] = set()
    open_: list[str] = []
    for serve in serves:
        taken, bought = serve_row(reckoning, serve)
        open_ += taken
        goods |= ingredients & bought.keys()
    while open_:
        ident = owner(open_.pop())
        if ident in made:
            continue
        made.add(ident)
        for output in reckoning.ledgers[ident].outputs.values():
            for source in output.direct.row:
                if source in reckoning.direct:
                    open_.append(source)
                elif source in ingredients:
                    goods.add(source)
    return Under(preparations=frozenset(made), goods=frozenset(goods))


def hours_each(item: Item) -> dict[str, float]:
    """Hours one drink takes of each resource: people's in its preparations, and machines'."""
    return {PREP: item.prep_hours, **item.machine_hours}


def hours_of_all(items: Iterable[Item]) -> dict[str, float]:
    """Hours that so many as were sold take of each resource."""
    out: dict[str, float] = {}
    for item in items:
        for key, hours in hours_each(item).items():
            out[key] = out.get(key, 0.0) + item.sold * hours
    return out
