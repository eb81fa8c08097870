"""What it does to every drink when one good takes another's place: money, strength, balance and allergens.

The whole book is worked out twice on one day, once as it is and once with ``other`` wherever ``good`` stands, in the
amounts that are written: 45 ml of one are 45 ml of the other. Nothing is written.
"""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from decimal import Decimal

from costing.book.book import Book
from costing.book.fact import Fact
from costing.book.problem import problem
from costing.ledger.allergens import Finding, State, allergens_of, serve_allergens
from costing.ledger.balance import balance, balance_of, unstated
from costing.ledger.reckon import Reckoning, reckon
from costing.ledger.unit import Unbridged, amount_in_base
from costing.pricing.menu import PricedServe, priced_serves
from costing.supply.buying.swap_record import (
    AllergenChange,
    GoodSide,
    How,
    MadeChange,
    ServeChange,
    Side,
    Substitution,
)
from costing.supply.buying.swapping import missing_bridges, swapped, users

SAID: frozenset[State] = frozenset({"contains", "may_contain"})


def substitution(book: Book, day: date, good: str, other: str) -> Substitution:
    """The substitution of one good for another in the recipes of a day. It is refused where an amount cannot be written
    of ``other`` for want of a density or the weight of a piece. KeyError for an unknown good, ValueError for a good by
    itself."""
    if good == other:
        raise ValueError(f"{good!r} cannot stand in for itself")
    view = book.on(day)
    now = reckon(view)
    swap = Substitution(
        day=day,
        good=_good_side(now, good),
        other=_good_side(now, other),
        like_for_like=_like_for_like(now, good, other),
        allergens=allergen_changes(allergens_of(now, good), allergens_of(now, other), other),
    )
    unit = now.units.get(other)
    if unit is None:
        return replace(swap, refused=(problem("no-source", f"good/{other}", source=other),))
    gaps = missing_bridges(view, good, unit)
    if gaps:
        return replace(swap, refused=gaps)
    then = reckon(swapped(view, good, other).on(day))
    made, serves = users(view, good)
    known = set(now.problems)
    return replace(
        swap,
        serves=tuple(_serves(now, then, frozenset(serves), other)),
        made=tuple(_made(now, then, m) for m in made),
        problems=tuple(p for p in then.problems if p not in known),
    )


def _good_side(reckoning: Reckoning, good: str) -> GoodSide:
    record, unit = reckoning.view.goods[good], reckoning.units.get(good)
    matter = unit.matter if unit is not None else None
    liquid = balance(matter, reckoning.view.book.house) if matter is not None else None
    return GoodSide(good=good, base=record.base, cost=reckoning.costs[good], matter=matter, balance=liquid)


def _like_for_like(reckoning: Reckoning, good: str, other: str) -> float | None:
    base, unit, cost = reckoning.view.goods[good].base, reckoning.units.get(other), reckoning.costs[other]
    if unit is None or not cost.complete:
        return None
    try:
        one = Fact(text=f"1 {base}", value=Decimal(1), unit=base)
        return amount_in_base(one, unit, reckoning.view.measures).value * cost.making
    except Unbridged:
        return None


def _made(now: Reckoning, then: Reckoning, made: str) -> MadeChange:
    name = now.view.preparations[made][0].name
    return MadeChange(preparation=made, name=name, before=now.costs.get(made), after=then.costs.get(made))


def _serves(now: Reckoning, then: Reckoning, wanted: frozenset[str], other: str) -> Iterator[ServeChange]:
    for before, after in zip(priced_serves(now), priced_serves(then), strict=True):
        serve = before.serve.id
        if serve in wanted:
            yield ServeChange(
                serve=serve,
                name=before.serve.name,
                before=_side(now, before),
                after=_side(then, after),
                allergens=allergen_changes(serve_allergens(now, serve), serve_allergens(then, serve), other),
            )


def _side(reckoning: Reckoning, priced: PricedServe) -> Side:
    if priced.line is None:
        return Side(priced=priced, balance=None)
    tart, sweet = unstated(reckoning, priced.line.carried)
    least = (*(("acid",) if tart else ()), *(("sugar",) if sweet else ()))
    return Side(priced=priced, balance=balance_of(priced.line, reckoning.view.book.house), least=least)


def allergen_changes(
    before: tuple[Finding, ...], after: tuple[Finding, ...], other: str
) -> tuple[AllergenChange, ...]:  # fmt: skip
    """Every allergen that stands otherwise after than before, in the order of the house's list; and those that an
    exemption hides although ``other`` brings something new behind it."""
    out = []
    for a, b in zip(before, after, strict=True):
        how = _how(a.state, b.state)
        if b.state not in SAID and _hidden(b, other):
            how = "exempt"
        if how is not None:
            out.append(AllergenChange(name=b.name, says=b.says, before=a.state, after=b.state, how=how))
    return tuple(out)


def _how(before: State, after: State) -> How | None:
    if before == after:
        return None
    if after == "not_stated":
        return "not-stated"
    if after in SAID and before not in SAID:
        return "appears"
    return "disappears" if before in SAID and after not in SAID else "changes"


def _hidden(finding: Finding, other: str) -> bool:
    return any(r.state == "exempt" and any(b.source == other for b in r.behind) for r in finding.reasons)
