"""Figures of scenarios as they are shown: of one drink or all, before and under one, and the difference."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from costing.book.money import rounded
from costing.menu.compare import Figures as Sums
from costing.menu.supposed_base import Laid
from costing.tongue import Words, say, say_many, word
from ui.format import UNKNOWN, Format, isolate
from ui.places.cellar.buying.saying import moved

Code = Literal["earned", "margin", "cost", "making", "net", "pour cost", "sold"]
CODES: tuple[Code, ...] = ("earned", "margin", "cost", "net", "pour cost", "sold", "making")
FIGURE_WORDS: Words = {
    "earned": "Margin of the period", "margin": "Margin a drink", "cost": "Cost", "making": "Cost with making",
    "net": "Net price", "pour cost": "Pour cost", "sold": "Sold",
}  # fmt: skip
ABOUT_WORDS: Words = {
    "earned": "What all that was sold brought, without tax, less its cost",
    "margin": "What one brings as it was paid, without tax, less its cost",
    "cost": "Of one, in the layers that pour cost stands on",
    "making": "Of one, in all layers: with labour, machines and energy",
    "net": "What one brings as it was paid on average, without tax and service",
    "pour cost": "Cost as a share of net sales",
    "sold": "In the sales that count",
}  # fmt: skip
COSTS: tuple[Code, ...] = ("cost", "making", "pour cost")
"""Figures that are at least what they say where something has no price."""
MARGINS: tuple[Code, ...] = ("margin", "earned")
"""Figures that are at most that."""
_VALUES: Mapping[Code, Callable[[Sums], float | None]] = {
    "earned": lambda f: f.earned, "margin": lambda f: f.margin, "cost": lambda f: f.cost,
    "making": lambda f: f.making, "net": lambda f: f.net, "pour cost": lambda f: f.pour_cost, "sold": lambda f: f.sold,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Fig:
    """A figure as it is shown, and what it is sorted by."""

    text: str
    value: float | None = None


def figure(found: Sums, code: Code, form: Format) -> Fig:
    """One figure; "at least" or "at most" where something in it has no price."""
    value = _VALUES[code](found)
    if code == "sold":
        return Fig(form.number(found.sold, 1, trim=True), value)
    text = form.percent(value, 2) if code == "pour cost" else form.money(value)
    if code in COSTS:
        text = form.least(text, found.complete)
    elif code in MARGINS and not found.complete:
        text = say("at most {figure}", figure=text)
    return Fig(text, value)


def difference(before: Sums, after: Sums, code: Code, form: Format) -> Fig:
    """The one less the other, of the two as they are shown, so that the line adds up; of pour cost in points. One that
    is less than can be shown is said to be so. None is told where one of the two lacks a price that the other has."""
    old, new = _VALUES[code](before), _VALUES[code](after)
    priced = code in COSTS or code in MARGINS
    if old is None or new is None or (priced and before.complete != after.complete):
        return Fig(UNKNOWN)
    whole = float(old).is_integer() and float(new).is_integer()
    places = 2 if code == "pour cost" else (0 if whole else 1) if code == "sold" else form.places
    times = 100.0 if code == "pour cost" else 1.0
    shown = rounded(times * new, places) - rounded(times * old, places)
    if not shown and abs(new - old) > 1e-9 * max(1e-3, abs(old)):
        text = _slight(new > old, places, form)
    else:
        text = moved(form, float(shown), places)
    if priced and not after.complete:
        text = say("{figure}, not sure", figure=text)
    return Fig(text, new - old)


def _slight(rises: bool, places: int, form: Format) -> str:
    least = form.number(Decimal(1).scaleb(-places), places)
    return isolate(say("▲ under {figure}", figure=least) if rises else say("▼ under {figure}", figure=least))


def signed_share(value: float | Decimal, form: Format) -> str:
    """A change as a share: "+10 %"; beyond ten times as much as how many times."""
    if value >= 99:
        return say("over {n} times", n=100)
    if value >= 9:
        return isolate(say("{n} times", n=form.number(1 + value, 0)))
    shown = 100 * float(value)
    places = 0 if abs(shown) >= 100 or rounded(shown, 0) == rounded(shown, 6) else 1
    return isolate(f"{'+' if value > 0 else ''}{form.number(shown, places)} %")


def come_text(come: Laid | str, form: Format) -> str:
    """What a line came to: "84.00 to 92.40 EUR for 6 x 0.7 l"; or why it cannot be."""
    if isinstance(come, str):
        return come
    supposed = come.supposed
    if supposed.sort == "volume":
        if supposed.how == "to":
            return say("{n} are sold", n=form.number(supposed.value, 1, trim=True))
        return say("{share} are sold", share=signed_share(supposed.value, form))
    if come.before is None or come.after is None:
        text = say_many("{n} price", "{n} prices", come.count)
    elif supposed.sort in ("price", "labour", "menu price"):
        text = say("{before} to {after} {unit}", before=_coins(come.before, form), after=_coins(come.after, form),
                   unit=come.unit)  # fmt: skip
    else:
        text = say("{before} to {after} {unit}", before=_plain(come.before, form), after=_plain(come.after, form),
                   unit=come.unit)  # fmt: skip
    return say("{change}, until {day}", change=text, day=form.day(come.until)) if come.until is not None else text


def come_tip(come: Laid | str, form: Format) -> str:
    """The same with the thing's name, and what it does not reach."""
    if isinstance(come, str):
        return come
    said = [say("{name}: {change}.", name=come.name, change=come_text(come, form))]
    if come.until is not None:
        said.append(say("Another figure stands in the book from {day} on, and stays.", day=form.day(come.until)))
    if come.supposed.sort == "volume":
        said.append(say("How many are sold is no record of the book: applying leaves it out."))
    return " ".join(said)


def _coins(value: Decimal, form: Format) -> str:
    """Money with the currency's decimals, and more where it has more."""
    return form.number(value, max(form.places, _decimals(value)))


def _plain(value: Decimal, form: Format) -> str:
    return form.number(value, _decimals(value))


def _decimals(value: Decimal) -> int:
    exponent = value.normalize().as_tuple().exponent
    return max(0, -exponent) if isinstance(exponent, int) else 0


def figure_word(code: Code) -> str:
    """What a figure is called."""
    return word(FIGURE_WORDS, code)
