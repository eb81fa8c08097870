"""What must be read with the figures of scenarios: what they make wrong, and what stands beside them."""

from collections.abc import Iterator, Mapping, Sequence

from costing.menu.compare import Lost, Under
from costing.report.words import series
from costing.tongue import say, say_many
from ui.format import own
from ui.places.menu.whatif.work import Tried
from ui.where import name_of, said_of, where_of

MOST, NAMES = 3, 4
"""Sentences that are shown, and names in one; of more it is said how many there are."""


def wrong_text(said: Sequence[str]) -> str:
    """The first sentences of what is wrong, and how many more there are."""
    left = len(said) - MOST
    if left <= 0:
        return "\n".join(said)
    more = say_many("And {n} more thing is wrong.", "And {n} more things are wrong.", left)
    return "\n".join((*said[:MOST], more))


def wrong_lines(tried: Tried, names: Mapping[str, str]) -> list[str]:
    """What scenarios make wrong, a sentence each: why one has no figures, which drinks lose their cost, and causes."""
    return list(dict.fromkeys(_wrong(tried, names)))


def _wrong(tried: Tried, names: Mapping[str, str]) -> Iterator[str]:
    called = {s.id: s.name for s in tried.of.scenarios}
    for ident, fault in tried.faults.items():
        yield say("{scenario} has no figures: {fault}.", scenario=own(called[ident]), fault=fault.rstrip("."))
    for other, lost in zip(tried.found.others, tried.found.lost, strict=True):
        yield from _lost(other.name, lost, names)
    for other in tried.found.others:
        yield from _problems(other, names)


def _lost(scenario: str, lost: Sequence[Lost], names: Mapping[str, str]) -> Iterator[str]:
    """Drinks that lose their cost, together."""
    unmade = [one.name for one in lost if one.fault == "not made"]
    if unmade:
        yield say("{scenario}: {drinks} cannot be made: costs and sums are at least, margins at most what is shown.",
                  scenario=own(scenario), drinks=_some(unmade))  # fmt: skip
    unpriced = [one for one in lost if one.fault != "not made"]
    if unpriced:
        goods = dict.fromkeys(names.get(good, good) for one in unpriced for good in one.goods)
        yield say("{scenario}: {drinks} has no price for {goods}: costs and sums are at least, margins at most what is "
                  "shown.", scenario=own(scenario), drinks=_some([one.name for one in unpriced]),
                  goods=_some(list(goods)))  # fmt: skip


def _problems(other: Under, names: Mapping[str, str]) -> Iterator[str]:
    book = other.reckoning.view.book
    for problem in sorted(other.wrong, key=lambda p: p.level != "error"):
        yield say("{scenario}: {thing}: {problem}", scenario=own(other.name),
                  thing=own(name_of(book, where_of(problem.where))), problem=said_of(problem, names))  # fmt: skip


def _some(names: Sequence[str]) -> str:
    """The first names, and how many more there are."""
    left = len(names) - NAMES
    if left <= 0:
        return series(own(name) for name in names)
    return say_many("{names} and {n} more", "{names} and {n} more", left, names=", ".join(map(own, names[:NAMES])))


def told_text(tried: Tried) -> list[str]:
    """What the figures stand on."""
    said = []
    if not tried.sold:
        said.append(say("Nothing was sold in these weeks: what a drink costs and leaves is told, and no money of a "
                        "period."))  # fmt: skip
    if any(s.id == tried.of.chosen and not s.supposed for s in tried.of.scenarios):
        said.append(say("It supposes nothing yet: type a change at the left."))
    labour = any(thing.sort == "labour" for s in tried.of.scenarios for thing in s.supposed)
    if labour and "labour" not in tried.of.mix.base:
        said.append(say("Pour cost stands on other layers than labour: see the cost with making."))
    if tried.of.mix.without:
        said.append(say("Sold, but on no menu of the day, and so in no figure: {names}.",
                        names=series(own(name) for name in tried.of.mix.without)))  # fmt: skip
    return said
