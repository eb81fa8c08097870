"""Ranges of costs in words: how often a target is missed, and what a range stands on."""

from costing.pricing.ranges import Cause
from costing.report.words import figure_word
from costing.tongue import say, say_many

SURE = 0.005
"""Below this chance, and above what it leaves, whole drinks of a hundred would say never or always."""


def missed_words(chance: float) -> str:
    """How often a drink misses its target, as a sentence."""
    if chance < SURE:
        return say("Fewer than 1 of 100 drinks misses the target.")
    if chance > 1.0 - SURE:
        return say("More than 99 of 100 drinks miss the target.")
    return say_many("{n} of 100 drinks misses the target.", "{n} of 100 drinks miss the target.", _of_100(chance))


def share_words(chance: float) -> str:
    """A chance by itself: "12 of 100"."""
    if chance < SURE:
        return say("fewer than 1 of 100")
    return say("more than 99 of 100") if chance > 1.0 - SURE else say("{n} of 100", n=_of_100(chance))


def _of_100(chance: float) -> int:
    """A chance as whole drinks of a hundred, at least 1 and at most 99."""
    return min(99, max(1, round(100.0 * chance)))


def cause_words(cause: Cause, name: str) -> str:
    """What a range stands on, and how often that was seen; ``name`` is what people call the record it stands at."""
    if cause.basis == "batches":
        return say_many("{name}: {n} logged batch", "{name}: {n} logged batches", cause.n, name=name)
    if cause.basis == "prices":
        return say_many("{name}: {n} price change", "{name}: {n} price changes", cause.n, name=name)
    figure = figure_name(cause.figure)
    if cause.basis == "tests":
        return say_many("{name}, {figure}: {n} yield test", "{name}, {figure}: {n} yield tests", cause.n, name=name,
                        figure=figure)  # fmt: skip
    return say("{name}, {figure}: assumed", name=name, figure=figure)


def figure_name(figure: str) -> str:
    """What a figure inside a record is called."""
    match figure:
        case "amount":
            return say("an amount")
        case "spill":
            return say("spill")
        case "piece":
            return say("what a piece weighs")
        case "content":
            return say("what a pack holds")
        case "density":
            return say("density")
        case "seconds" | "active" | "passive" | "setup":
            return say("time")
        case "pieces":
            return say("pieces a batch")
        case "power":
            return say("power")
        case _:
            return figure_word(figure)
