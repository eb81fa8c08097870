"""Allergens through every preparation: what is in it, by which good or machine, and what nobody has stated.

Everything that went in counts, also what was strained off again (egg white, gelatine, an enzyme) and what a shared
machine may have left. Distilling takes nothing away; a named person may exempt an output, and that prints. What
nobody stated is not stated, never free.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from costing.book.records import AllergenStatement, Good, Preparation, Stage, Version
from costing.ledger.order import owner
from costing.ledger.reckon import Reckoning
from costing.tables import allergen_list, allergen_lists

State = Literal["contains", "may_contain", "not_stated", "exempt", "free"]
WORST: tuple[State, ...] = ("contains", "may_contain", "not_stated", "exempt", "free")
"""From what must be said first to what need not be said."""
NEVER_FOOD = frozenset({"labour", "energy", "machine"})
Names = frozenset[str]
"""Code and name of one allergen, in small letters: a statement may use either."""


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a finding says so: ``source`` is a good, "equipment/<id>" or the preparation exempted; ``path`` the
    preparations on the way to it, nearest first; ``statement`` what was stated, None for nothing;
    ``behind`` what an exemption took away, kept in sight."""

    state: State
    source: str
    path: tuple[str, ...] = ()
    statement: AllergenStatement | None = None
    behind: tuple["Reason", ...] = ()


@dataclass(frozen=True, slots=True)
class Finding:
    """One allergen of the house's list by its code, and as the list ``says`` it: the worst of its reasons, and all."""

    name: str
    says: str
    state: State
    reasons: tuple[Reason, ...]


def allergens_of(reckoning: Reckoning, source: str) -> tuple[Finding, ...]:
    """One Finding for each allergen of the house's list, in its order, for a good or an output. Empty without a house
    or with a list that is not shipped."""
    return _findings(reckoning, lambda name: _below(reckoning, source, name, (), frozenset()))


def serve_allergens(reckoning: Reckoning, serve: str) -> tuple[Finding, ...]:
    """The same for one drink, its garnish, ice and straw included."""
    _, version = reckoning.view.serves[serve]
    return _findings(reckoning, lambda name: _in_stage(reckoning, version.build, name, (), frozenset()))


def _findings(reckoning: Reckoning, reasons: Callable[[Names], Iterable[Reason]]) -> tuple[Finding, ...]:
    house = reckoning.view.book.house
    if house is None or house.allergen_list not in allergen_lists():
        return ()
    out = []
    for allergen in allergen_list(house.allergen_list):
        names = frozenset((allergen.code.casefold(), allergen.name.casefold()))
        found = tuple(dict.fromkeys(reasons(names)))
        states = {r.state for r in found}
        state: State = next((s for s in WORST if s in states), "free")
        out.append(Finding(allergen.code, allergen.name, state, found))
    return tuple(out)


def _below(
    reckoning: Reckoning, source: str, name: Names, path: tuple[str, ...], seen: frozenset[str]
) -> Iterator[Reason]:
    view, ident = reckoning.view, owner(source)
    good = view.goods.get(source)
    if good is not None:
        price = reckoning.prices.get(source)
        unread = price is not None and price.quote.label == "unread"
        yield from _stated(good, name, path, unread=unread)
        return
    made = view.preparations.get(ident)
    if made is None:
        yield Reason("not_stated", source, path)
    elif ident not in seen:  # a mother batch brings nothing but what went into it
        # the word is about what the preparation makes, not about the marc or the pot that is kept of it
        exemption = _exemption(made[0], name) if source == ident else None
        inner = _in_version(reckoning, made[1], name, (*path, ident), seen | {ident})
        if exemption is None:
            yield from inner
        else:
            hidden = tuple(dict.fromkeys(r for r in inner if r.state != "free"))
            yield Reason("exempt" if hidden else "free", ident, path, exemption, hidden)


def _exemption(preparation: Preparation, name: Names) -> AllergenStatement | None:
    """A named person's word with a reason; one without either takes nothing away."""
    for e in preparation.exemptions:
        if e.name.casefold() in name and e.state == "free" and e.who.strip() and e.label.strip():
            return e
    return None


def _in_version(
    reckoning: Reckoning, version: Version, name: Names, path: tuple[str, ...], seen: frozenset[str]
) -> Iterator[Reason]:
    for stage in version.stages:
        yield from _in_stage(reckoning, stage, name, path, seen)


def _in_stage(
    reckoning: Reckoning, stage: Stage, name: Names, path: tuple[str, ...], seen: frozenset[str]
) -> Iterator[Reason]:
    for item in stage.adds:
        yield from _below(reckoning, item.source, name, path, seen)
    machine = reckoning.view.equipment.get(stage.equipment)
    for statement in machine.allergens if machine else ():
        if statement.name.casefold() in name and statement.state != "free" and machine:
            yield Reason(statement.state, f"equipment/{machine.id}", path, statement)


def _stated(good: Good, name: Names, path: tuple[str, ...], *, unread: bool = False) -> Iterator[Reason]:
    """What is stated of a good. While the label of the supplier that it is bought from is ``unread``, what other labels
    call free of it, or say nothing of, is not stated."""
    if good.layer != "materials" or good.kind in NEVER_FOOD:
        return
    said = [statement for statement in good.allergens if statement.name.casefold() in name]
    if unread:
        said = [statement for statement in said if statement.state != "free"]
    for statement in said:  # two labels that disagree are both told, and the worse one counts
        yield Reason(statement.state, good.id, path, statement)
    if not said:
        yield Reason("not_stated", good.id, path)
