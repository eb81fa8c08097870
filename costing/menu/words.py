"""Words for classes, methods and advice. Tables are English and looked up late, in the language of the context."""

from collections.abc import Mapping
from datetime import date
from math import ceil, floor

from costing.book.money import digits, rounded
from costing.menu.advice import Advice, Reason
from costing.tongue import Words, capital, day_text, numeral, say, say_word, word

CLASS_WORDS: Words = {"star": "star", "plowhorse": "plowhorse", "puzzle": "puzzle", "dog": "dog"}
CLASS_MEANS: Words = {
    "star": "asked for often, and earns much",
    "plowhorse": "asked for often, and earns little",
    "puzzle": "seldom asked for, and earns much",
    "dog": "seldom asked for, and earns little",
}
SURE_WORDS: Words = {"sure": "sure", "borderline": "borderline", "few": "too few sold"}
ACTION_WORDS: Words = {
    "keep": "keep as it is",
    "price": "raise its price or lower its cost",
    "show": "show it better",
    "rework": "take it off or rework it",
    "wait": "wait: too few sold",
    "leave": "borderline: leave it",
    "complete": "complete its cost first",
}
REASON_WORDS: Words = {
    "is": "{means} beside the others of its section",
    "borderline": "{first} with a chance of {chance}, {second} with {other}",
    "few": "its section sold {total}, and about {needed} would tell",
    "few, and no number tells": "its section sold {total}, too few to tell",
    "unsold": "none of it was sold, and such drinks are left out of the count",
    "new": "it came on the menu on {day}, after these sales began",
    "near": "its share lies so near the line that more sales will not tell",
    "loss": "it brings {money} less than it costs",
    "no margin": "it brings no more than it costs",
    "labour loss": "after labour it brings {money} less than it costs",
    "no margin after labour": "after labour it brings no more than it costs",
    "missed": "its price misses the target",
    "met": "its price meets the target",
    "labour class": "after labour it is a {klass}",
    "at most": "a component has no price, so it earns at most this",
    "beside": "a drink beside it has no full cost, so the average margin is at most this",
}
METHOD_WORDS: Words = {
    "class": "class",
    "pavesic": "cost and money earned",
    "miller": "cost and number sold",
    "goal": "goal value",
    "labour": "class after labour",
    "hour": "margin a machine hour",
}
METHOD_SOURCES: Words = {
    "class": "Kasavana and Smith, 1982: number sold and margin",
    "pavesic": "Pavesic, 1983: cost share and margin of all sold",
    "miller": "Miller, 1980: cost share and number sold",
    "goal": "Hayes and Huffman, 1985: goal value",
    "labour": "LeBruto, Quain and Ashley, 1995: margin after labour",
    "hour": "margin an hour of the machine that is short",
}
CELL_WORDS: Words = {
    "prime": "prime", "standard": "standard", "sleeper": "sleeper", "problem": "problem",
    "winner": "winner", "costly seller": "sells well, costs much", "cheap slow": "costs little, sells slowly",
    "loser": "loser", "above": "above", "below": "below", "high": "high", "low": "low", "free": "uses none of it",
}  # fmt: skip
READING_WORDS: Words = {"keep": "keep", "lift": "lift", "question": "question"}
WHY_WORDS: Words = {
    "one": "fewer than two drinks to compare: no classes",
    "unsold": "nothing was sold here in this time: no classes",
    "below nothing": "a drink costs or brings less than nothing: no classes until that is looked at",
}
LEFT_WORDS: Words = {"no price": "no price is printed or was paid"}


def class_word(code: str) -> str:
    """The word of a class."""
    return word(CLASS_WORDS, code)


def cell_word(code: str) -> str:
    """A method's own word for a cell."""
    return class_word(code) if code in CLASS_WORDS else word(CELL_WORDS, code)


def sure_word(code: str) -> str:
    """Sure, borderline, or too few sold."""
    return word(SURE_WORDS, code)


def action_word(code: str) -> str:
    """What to do."""
    return word(ACTION_WORDS, code)


def chance_text(chance: float) -> str:
    """A chance in whole per cent, rounded down: what is sure from 90 % is never printed as 90 % below it. Draws can
    come out all one way; nothing is certain for that."""
    if chance > 0.99:
        return say("over 99 %")
    return say("under 1 %") if chance < 0.01 else say("{share} %", share=floor(chance * 100.0 + 1e-9))


def sales_text(count: float) -> str:
    """How many would have to be sold: two figures, rounded up, for more it does not say."""
    step = 10 ** max(0, len(str(ceil(count))) - 2)
    return numeral(f"{ceil(count / step) * step:,d}")


def reason_text(reason: Reason, currency: str = "") -> str:
    """A reason as a sentence."""
    figures = reason.figures
    code = str(reason.code)
    if code in ("loss", "labour loss"):
        amount = rounded(_number(figures["money"]), digits(currency) if currency else 2)
        if not amount:
            return word(REASON_WORDS, "no margin" if code == "loss" else "no margin after labour")
        return say_word(REASON_WORDS[code], money=numeral(f"{amount:,f}"))
    if code == "few" and "needed" not in figures:
        code = "few, and no number tells"
    return say_word(REASON_WORDS[code], **_said(figures))


def _number(value: float | str | date) -> float:
    if isinstance(value, date):
        raise ValueError(f"{value} is a day, and no figure")
    return float(value)


def _said(figures: Mapping[str, float | str | date]) -> dict[str, str]:
    out: dict[str, str] = {}
    for name, value in figures.items():
        if name in ("first", "second", "klass"):
            out[name] = class_word(str(value))
            out["means"] = word(CLASS_MEANS, str(value))
        elif name in ("chance", "other"):
            out[name] = chance_text(_number(value))
        elif name == "needed":
            out[name] = sales_text(_number(value))
        elif isinstance(value, date):
            out[name] = day_text(value)
        else:
            out[name] = numeral(f"{_number(value):,.10g}")
    return out


def advice_text(advice: Advice, currency: str = "") -> str:
    """All reasons of an advice in one line."""
    return capital("; ".join(reason_text(reason, currency) for reason in advice.reasons))
