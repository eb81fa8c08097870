"""The best mix in words: what it earns beside the sold one, what is short, and what is to be doubted."""

from collections.abc import Iterator, Sequence
from math import isinf

from costing.report.words import series
from costing.tongue import say
from ui.format import Format, own
from ui.places.menu.hours.machines import MachineRow
from ui.places.menu.hours.work import Found
from ui.places.menu.questions.question import span_text
from ui.places.menu.questions.rows import signed


def summary(found: Found, form: Format) -> str:
    """Margins now and of the best mix, and what binds, in a line or two."""
    figures = {
        "span": span_text(found.of.mix), "sold": form.money(found.sold), "best": form.money(found.margin),
        "more": signed(form, found.margin - found.sold),
    }  # fmt: skip
    if found.batched is None:
        said = [
            say("In {span} the sold mix left {sold}; the best mix for these hours leaves {best}, {more}.", **figures)
        ]
    else:
        said = [
            say("In {span} the sold mix left {sold}; the best mix in whole batches leaves {best}, {more}.", **figures)
        ]
    weeks = found.capacity.weeks
    for use in found.binding:
        name, worth = own(use.resource.name), form.money(use.worth)
        if isinf(use.up_to):
            said.append(say("{machine} is short: one more hour is worth {worth}.", machine=name, worth=worth))
        else:
            said.append(say("{machine} is short: one more hour is worth {worth}, up to {hours} hours a week.",
                            machine=name, worth=worth, hours=form.number(use.up_to / weeks, 1)))  # fmt: skip
    if not found.binding and found.best.uses:
        said.append(say("No hours are short: all that guests ask for can be made."))
    return " ".join(said)


def to_enter(rows: Sequence[MachineRow]) -> str:
    """What to type where no hours are set."""
    wanted = next((r for r in rows if r.took), None)
    first = say("Nobody said how many hours a week there are, so nothing is known to be short: type them in the table.")
    if wanted is None:
        return first
    return first + " " + say("Begin with {machine}, of which the sold mix took most.", machine=own(wanted.name))


def doubts(found: Found | None, rows: Sequence[MachineRow], form: Format) -> str:
    """What to keep in mind with the figures."""
    said = [
        say("What was sold took {took} hours of {machine} a week, and only {there} are said to be there: is that so?",
            took=form.number(r.took or 0.0, 1), machine=own(r.name), there=form.number(r.there or 0, 1, trim=True))
        for r in rows if r.over
    ]  # fmt: skip
    if found is None:
        return " ".join(said)
    capacity = found.capacity
    if capacity.resources and capacity.unsaid:
        said.append(say("Hours of {names} are not said and limit nothing.",
                        names=_names([u.name for u in capacity.unsaid])))  # fmt: skip
    if len(found.binding) > 1:
        said.append(say("More than one is short at once, so that no rank by one of them decides alone."))
    if not found.of.more:
        said.append(say("What was sold is taken for what guests ask for: where you sold out, say how much more."))
    if found.batched is not None:
        said.append(say("In whole batches, after what spoils; in part batches at most {money}, and by these one more "
                        "hour is worth what is shown.", money=form.money(found.batched.bound)))  # fmt: skip
        if not found.batched.proven:
            said.append(say("Time ran out before this was proven the best."))
    return " ".join([*said, *_left(found)])


def _left(found: Found) -> Iterator[str]:
    """What is in no figure, or not with all of it."""
    capacity = found.capacity
    if capacity.at_most:
        yield say("Something has no price in {names}: its margin is at most that.", names=_names(capacity.at_most))
    if capacity.not_followed:
        yield say("{names}: hours are said, and no good is their hour, so no drink is known to take any.",
                  names=_names(capacity.not_followed))  # fmt: skip
    if capacity.without_price:
        yield say("Left out, for it was not sold and has no price: {names}.", names=_names(capacity.without_price))
    if found.of.mix.without:
        yield say("Left out, for it is on no menu of the day: {names}.", names=_names(found.of.mix.without))


def _names(names: Sequence[str]) -> str:
    return series(own(name) for name in names)
