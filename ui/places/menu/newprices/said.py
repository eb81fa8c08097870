"""A repricing in sentences: what it comes to, what stands in the way, what is to be known of it."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import ROUND_CEILING, Decimal

from costing.menu.reprice_record import Doubt, Relaxed, Repricing, Totals
from costing.menu.reprice_words import DOUBT_WORDS, FAMILY_WORDS
from costing.report.words import series
from costing.tongue import capital, say, say_many, word
from ui.format import Format, own

HUNDREDTH = Decimal("0.0001")
"""Of a per cent."""
PLACES = 2
"""Decimals of an overall pour cost: an aim is met or missed by less than a tenth of a per cent."""
NAMED = 3
"""Drinks that are named before the rest is counted."""


def answer_text(found: Repricing, form: Format) -> str:
    """The answer: what the menu comes to with how much changed, or that it cannot, and how far one gets."""
    if not found.possible:
        return say("The limits contradict each other: no prices keep all of them.")
    if found.met and not found.moved:
        return say("{now}: no price needs to change.", now=_now(found, form))
    if found.met:
        said = [_met(found, form), _beside(found, form), *_plain_way(found, form), *_unproven(found, form)]
        return " ".join(text for text in said if text)
    return " ".join([_out_of_reach(found, form), _furthest(found, form)])


def complete(found: Repricing) -> bool:
    """Whether all that was sold has its full cost."""
    return all(line.row.complete for line in found.rows if line.row.sold)


def pour_text(totals: Totals, found: Repricing, form: Format) -> str:
    """An overall pour cost: "at least" where a cost is not the whole one."""
    return form.least(form.percent(totals.pour_cost, PLACES), complete(found))


def margins_text(totals: Totals, found: Repricing, form: Format) -> str:
    """An overall margin: "at most" where a cost is not the whole one."""
    text = form.money(totals.margin)
    return text if complete(found) else say("at most {figure}", figure=text)


def _aimed(totals: Totals, found: Repricing, form: Format) -> str:
    """The figure that the aim is of."""
    return (pour_text if found.aim.kind == "pour_cost" else margins_text)(totals, found, form)


def _now(found: Repricing, form: Format) -> str:
    if found.aim.kind == "pour_cost":
        return say("Pour cost is {share} as it is", share=pour_text(found.before, found, form))
    return say("The margin is {money} as it is", money=margins_text(found.before, found, form))


def _met(found: Repricing, form: Format) -> str:
    many, change = len(found.moved), form.money(found.change)
    if found.aim.kind == "pour_cost":
        return say_many("Pour cost goes from {before} to {after} with {n} price changed, {money} in all.",
                        "Pour cost goes from {before} to {after} with {n} prices changed, {money} in all.", many,
                        before=pour_text(found.before, found, form), after=pour_text(found.after, found, form),
                        money=change)  # fmt: skip
    return say_many("The margin goes from {before} to {after} with {n} price changed, {money} in all.",
                    "The margin goes from {before} to {after} with {n} prices changed, {money} in all.", many,
                    before=margins_text(found.before, found, form), after=margins_text(found.after, found, form),
                    money=change)  # fmt: skip


def _beside(found: Repricing, form: Format) -> str:
    """The other figure of the two."""
    if found.aim.kind == "pour_cost":
        return say("Margin of these sales: {before} to {after}.", before=margins_text(found.before, found, form),
                   after=margins_text(found.after, found, form))  # fmt: skip
    return say(
        "Pour cost: {before} to {after}.",
        before=pour_text(found.before, found, form),
        after=pour_text(found.after, found, form),
    )


def _plain_way(found: Repricing, form: Format) -> Iterator[str]:
    plain = found.everything
    if plain.steps and plain.met:
        yield say("Raising everything point by point would take {money}.", money=form.money(plain.change))
    elif plain.steps:
        yield say("Raising everything point by point would take {money} and still fall short.",
                  money=form.money(plain.change))  # fmt: skip


def _unproven(found: Repricing, form: Format) -> Iterator[str]:
    if found.proven:
        return
    if found.gap is None:
        yield say("The time ended before this was proven to be the least change.")
        return
    less = form.money(found.gap) if found.goal == "smallest" else form.number(found.gap, 2, trim=True)
    yield say("The time ended before this was proven to be the least change; it may be less by {gap}.", gap=less)


def _out_of_reach(found: Repricing, form: Format) -> str:
    if found.aim.kind == "pour_cost":
        return say(
            "A pour cost of {aim} is out of reach under these limits.", aim=form.percent(found.aim.value, PLACES)
        )
    return say("A margin of {aim} is out of reach under these limits.", aim=form.money(found.aim.value))


def _furthest(found: Repricing, form: Format) -> str:
    now, then = _aimed(found.before, found, form), _aimed(found.after, found, form)
    if not found.moved:
        return say("It is {now}, and no price can change.", now=now)
    return say_many("The furthest is {then}, from {now}, with {n} price changed, {money} in all.",
                    "The furthest is {then}, from {now}, with {n} prices changed, {money} in all.", len(found.moved),
                    now=now, then=then, money=form.money(found.change))  # fmt: skip


def way_lines(found: Repricing, form: Format) -> list[str]:
    """What lifting each kind of limit alone would do, what is enough first; nothing where the aim is met."""
    if found.met:
        return []
    names = {line.row.key: line.row.name for line in found.rows}
    lines = [_lifted(r, found, names, form) for r in sorted(found.relaxed, key=lambda r: not r.reaches)]
    if found.relaxed and not any(r.reaches for r in found.relaxed):
        lines.append(say("None of these alone is enough."))
    return lines


def _lifted(relaxed: Relaxed, found: Repricing, names: Mapping[str, str], form: Format) -> str:
    what = capital(word(FAMILY_WORDS, relaxed.family))
    if relaxed.after is None:
        said = say("{limit}: if this alone is lifted, no prices keep the rest either.", limit=what)
    elif not relaxed.reaches:
        said = say("{limit}: if this alone is lifted, the aim stays out of reach, {best} at best.", limit=what,
                   best=_aimed(relaxed.after, found, form))  # fmt: skip
    elif relaxed.needs is None:
        said = say("{limit}: if this alone is lifted, the aim is within reach.", limit=what)
    elif relaxed.family == "rise":
        needs = relaxed.needs.quantize(HUNDREDTH, ROUND_CEILING)  # never shown as less than is enough
        said = say("{limit}: if this alone is lifted, the aim is within reach; {needs} is enough.", limit=what,
                   needs=form.percent(needs, PLACES))  # fmt: skip
    else:
        said = say_many("{limit}: if this alone is lifted, the aim is within reach; {n} change is enough.",
                        "{limit}: if this alone is lifted, the aim is within reach; {n} changes are enough.",
                        int(relaxed.needs), limit=what)  # fmt: skip
    if not relaxed.keys:
        return said
    if len(relaxed.keys) == len(names):
        return f"{said} {say('Every drink stands at it.')}"
    at = [own(names[key]) for key in relaxed.keys]
    return f"{said} {say('At it: {names}.', names=some(at))}"


def some(names: Sequence[str]) -> str:
    """The first of many, and how many more."""
    if len(names) <= NAMED + 1:
        return series(names)
    more = say_many("{n} more", "{n} more", len(names) - NAMED)
    return say("{names} and {more}", names=series(names[:NAMED]), more=more)


def doubts_text(doubts: Iterable[Doubt], without: Sequence[str]) -> str:
    """What is to be known before prices are taken; ``without`` were sold and are on no menu."""
    lines = [say("{names}: {doubt}.", names=some([own(name) for name in d.names]), doubt=word(DOUBT_WORDS, d.code))
             for d in doubts]  # fmt: skip
    if without:
        lines.append(say("Sold, but on no menu of the day, and so not counted: {names}.",
                         names=some([own(name) for name in without])))  # fmt: skip
    return " ".join(capital(line) for line in lines)
