"""Every figure that nobody measured, with the place it stands: what a reader may question first."""

from collections.abc import Iterator, Mapping
from decimal import Decimal

from costing.book.book import View
from costing.book.fact import Fact
from costing.book.records import Stage, Technique
from costing.ledger.reckon import Reckoning
from costing.report.content import Assumption
from costing.tongue import say

MAKEUP = "makeup."
"""Before the name of a part of a makeup, which a stage figure may have too."""
Found = Iterator[tuple[str, str, str, Fact | None]]


def published(like: str) -> str:
    """That the published curve stands in for a technique, and which of its two it is: shaken or stirred."""
    if like == "shaken":
        return say("by the published curve of drinks that are shaken")
    return say("by the published curve of drinks that are stirred")


def assumptions(reckoning: Reckoning, goods: frozenset[str], names: Mapping[str, str]) -> tuple[Assumption, ...]:
    """Facts marked assumed among the goods in use, preparations, serves, techniques in use and house measures."""
    view = reckoning.view
    found = (*_goods(reckoning, goods, names), *_preparations(view, names), *_serves(view, names), *_house(view))
    return tuple(
        Assumption(record=record, where=where, figure=figure, typed=fact.text, how=fact.how, note=fact.note)
        for record, where, figure, fact in found
        if fact is not None and fact.mark == "assumed"
    )


def _goods(reckoning: Reckoning, goods: frozenset[str], names: Mapping[str, str]) -> Found:
    for good in reckoning.view.goods.values():
        if good.id not in goods:
            continue
        made = tuple((f"{MAKEUP}{name}", fact) for name, fact in good.makeup)
        for figure, fact in (*made, ("density", good.density), ("one piece", good.piece)):
            yield good.id, names[good.id], figure, fact
        price = reckoning.prices.get(good.id)
        yield good.id, names[good.id], "pack", price.quote.content if price else None


def _stage(record: str, where: str, stage: Stage, names: Mapping[str, str]) -> Found:
    for item in stage.adds:
        source = names.get(item.source, item.source)
        yield record, where, say("amount of {source}", source=source), item.amount
        yield record, where, say("spill of {source}", source=source), item.spill
    for figure, fact in (*stage.facts, *stage.readings, ("active time", stage.active), ("passive time", stage.passive),
                         ("time to set up", stage.setup)):  # fmt: skip
        yield record, where, figure, fact


def _place(name: str, stage: Stage) -> str:
    return f"{name}, {say('stage {name}', name=stage.id)}"


def _preparations(view: View, names: Mapping[str, str]) -> Found:
    machines: set[str] = set()
    for preparation, version in view.preparations.values():
        yield preparation.id, preparation.name, "density", version.density
        yield preparation.id, preparation.name, "pieces made", version.pieces
        for stage in version.stages:
            machines.add(stage.equipment)
            yield from _stage(preparation.id, _place(preparation.name, stage), stage, names)
    for machine in view.equipment.values():
        if machine.id in machines:
            yield machine.id, machine.name, "power", machine.power
            yield machine.id, machine.name, "most a run takes", machine.charge


def _serves(view: View, names: Mapping[str, str]) -> Found:
    techniques: set[str] = set()
    for serve, version in view.serves.values():
        techniques.add(version.technique)
        yield from _stage(serve.id, serve.name, version.build, names)
        yield serve.id, serve.name, "seconds", version.seconds
    for technique in view.techniques.values():
        if technique.id in techniques:
            yield (
                technique.id,
                say("Technique {name}", name=technique.name),
                "dilution",
                technique.dilution or _curve(technique),
            )


def _curve(technique: Technique) -> Fact | None:
    """What stands in for a technique that nobody weighed: there is no figure of its own to show."""
    if not technique.like:
        return None
    return Fact(text=published(technique.like), value=Decimal(0), mark="assumed", note=technique.note)


def _house(view: View) -> Found:
    for measure, fact in view.book.house.measures if view.book.house else ():
        yield "house", say("House measure"), measure, fact
