"""From the judged menu to the report of it: the sets of ``costing.menu.judged`` and the bridges of
``costing.menu.bridge`` as the plain rows that pages and sheets are made of."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from costing.book.selling import Judging, SalesPeriod
from costing.ledger.reckon import Reckoning
from costing.menu.bridge import Bridge as Moved
from costing.menu.bridge import printed
from costing.menu.bridge_mix import bridge_of
from costing.menu.bridge_words import PARTS
from costing.menu.compare import as_of_its_last_day, halves
from costing.menu.judged import Judged, Section
from costing.menu.mix import Mix, ended_periods, menu_mix
from costing.menu.together import judge_all
from costing.menu.words import (
    CLASS_WORDS,
    METHOD_WORDS,
    WHY_WORDS,
    action_word,
    advice_text,
    cell_word,
    chance_text,
    class_word,
)
from costing.report.content import Head
from costing.report.decisions import DecisionRow, Decisions, DecisionSet, Paid, Walk
from costing.report.figures.bridge import Bridge, BridgeStep
from costing.report.figures.scatter import Threshold
from costing.tongue import day_text, say, word

SPAN = 84
"""Days of sales that the report looks back on: twelve weeks, as terminal and window do unless told."""


@dataclass(slots=True)
class Deciding:
    """The decisions of a day, worked out when a report first asks for them: most reports never do."""

    reckoning: Reckoning
    head: Head
    cautions: tuple[str, ...] = ()
    _found: list[Decisions | None] = field(default_factory=list)

    def __call__(self) -> Decisions | None:
        """The decisions; None where nothing was sold yet."""
        if not self._found:
            self._found.append(decided(self.reckoning, self.head, self.cautions))
        return self._found[0]


def decided(reckoning: Reckoning, head: Head, cautions: tuple[str, ...] = ()) -> Decisions | None:
    """The menu of the day as the sales of the last twelve weeks judge it, and what moved the margin from the first
    half of them to the second. None where no period of sales has ended."""
    view = reckoning.view
    periods = ended_periods(view.book, view.day, SPAN)
    if not periods:
        return None
    mix = menu_mix(reckoning, periods)
    menus = {menu.id: menu.name for menu in view.menus.values()}
    star, plowhorse, puzzle, dog = (class_word(code) for code in CLASS_WORDS)
    return Decisions(
        head=head, since=min(p.since for p in periods), until=max(p.until for p in periods),
        judging=view.book.house.judging if view.book.house is not None else Judging(),
        sets=tuple(_set(section, menus, head.money) for section in judge_all(reckoning, mix)),
        classes=(star, plowhorse, puzzle, dog), paid=_paid(mix), walks=_halves(reckoning, periods, head.currency),
        without=mix.without, cautions=cautions,
    )  # fmt: skip


def _paid(mix: Mix) -> Paid:
    known = {line.net is not None for period in mix.periods for line in period.sold if line.count}
    return "both" if len(known) != 1 else "paid" if known.pop() else "printed"


def _set(section: Section, menus: Mapping[str, str], money: str) -> DecisionSet:
    found, band = section.engineered, section.margin_band
    popular = found.popularity_sold
    rows = tuple(_row(drink, section, money) for drink in section.drinks) or tuple(
        DecisionRow(serve=i.serve, name=i.name, sold=i.sold, cost=i.cost, net=i.net, complete=i.complete)
        for i in section.items
    )
    earning = None
    if band is not None and found.O is not None:
        earning = Threshold(value=found.O, low=min(band.low, found.O), high=max(band.high, found.O))
    return DecisionSet(
        title=" · ".join(part for part in (menus.get(section.menu, section.menu), section.name) if part), rows=rows,
        popular=None if popular is None or band is None else Threshold(value=popular, low=popular, high=popular),
        earning=earning, methods=tuple(word(METHOD_WORDS, method.code) for method in section.methods),
        note=word(WHY_WORDS, section.why) if section.why else "",
        left_out=tuple(item.name for item in section.unpriced),
    )  # fmt: skip


def _row(drink: Judged, section: Section, money: str) -> DecisionRow:
    spot, agreed = drink.spot, drink.agreement
    cells = tuple(
        cell_word(agreed.cells[method.code].cell) if method.code in agreed.cells else "" for method in section.methods
    )
    return DecisionRow(
        serve=drink.item.serve, name=drink.item.name, sold=drink.item.sold, cost=drink.item.cost, net=drink.item.net,
        klass=class_word(drink.klass), state=drink.state,
        chance="" if drink.chance is None else chance_text(drink.chance), action=action_word(drink.advice.action),
        why=advice_text(drink.advice, money),
        spread=None if spot is None else (spot.sold_var, spot.cov, spot.margin_var), complete=drink.item.complete,
        cells=cells, agreed=say("{n} of {all}", n=agreed.same, all=agreed.of),
    )  # fmt: skip


def _halves(reckoning: Reckoning, periods: Sequence[SalesPeriod], currency: str) -> tuple[Walk, ...]:
    """What moved the margin from the first half of the periods to the second, each at the costs of its last day."""
    parts = halves(periods)
    if parts is None:
        return ()
    sides, names = [], []
    for half in parts:
        first, last = min(p.since for p in half), max(p.until for p in half)
        names.append(say("{first} to {last}", first=day_text(first), last=day_text(last)))
        sides.append(as_of_its_last_day(reckoning.view.book, half))
    return walks_of(bridge_of(*sides), currency, *names)


def walks_of(found: Moved, currency: str, before: str, after: str) -> tuple[Walk, ...]:
    """The pictures of a bridge: of the margin, and of pour cost where both sides have one."""
    closed = printed(found, currency)
    money = Bridge(
        start=BridgeStep(name=before, amount=float(closed.before)),
        steps=tuple(BridgeStep(name=word(PARTS, code), amount=float(part)) for code, part in closed.parts),
        end=BridgeStep(name=after, amount=float(closed.after)),
    )
    out = [_walk(say("Margin from {before} to {after}", before=before, after=after), money)]
    levels = [(step.code, float(step.at)) for step in found.walk if step.at is not None]
    if len(levels) == len(found.walk) and len(levels) > 1:
        steps = tuple(
            BridgeStep(name=word(PARTS, code), amount=at - old)
            for (code, at), (_, old) in zip(levels[1:], levels, strict=False)
        )
        pour = Bridge(start=BridgeStep(name=before, amount=levels[0][1]), steps=steps,
                      end=BridgeStep(name=after, amount=levels[-1][1]))  # fmt: skip
        out.append(_walk(say("Pour cost from {before} to {after}", before=before, after=after), pour, "share"))
    return tuple(out)


def _walk(title: str, bridge: Bridge, unit: Literal["money", "share"] = "money") -> Walk:
    return Walk(title=title, bridge=bridge, unit=unit)
