"""One suggested action a drink, and why: codes and figures, which ``words`` turns into sentences.

Nothing is taken off that is not surely a dog: a borderline drink is left alone, and one of too small a sample waits.
A drink that brings less than it costs asks for another price whatever its class, because that much is no sample.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Literal, get_args

from costing.menu.engineer import Klass

Action = Literal["keep", "price", "show", "rework", "wait", "leave", "complete"]
ACTIONS: tuple[Action, ...] = get_args(Action)
ReasonCode = Literal[
    "is", "borderline", "few", "unsold", "new", "near", "loss", "missed", "met", "labour class", "labour loss",
    "at most", "beside",
]  # fmt: skip
BY_CLASS: Mapping[Klass, Action] = {"star": "keep", "plowhorse": "price", "puzzle": "show", "dog": "rework"}
NEAR = 10.0
"""Times what was sold: whoever needs more than that to be told from the cut lies on it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """Why: a code, with its figures by name (chances are fractions, money is in the house's currency)."""

    code: ReasonCode
    figures: Mapping[str, float | str | date] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """What to do with a drink, and why, the weightiest reason first."""

    action: Action
    reasons: tuple[Reason, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """What advice stands on, of one drink.

    ``chances`` are those of the classes and ``level`` the one from which a class is sure; ``needed`` is how many its
    set must sell to tell it from the popularity cut (None: no number will), ``total`` how many it sold. ``counted`` is
    whether it is among the n, ``new`` the day it came on the menu where that is after the sales began. ``on_target``
    says whether its printed price meets the target (None: not known); ``left_after_labour`` is the margin after the
    labour of one and ``labour_class`` its class by that (None: labour is in its cost already, or none is known).
    ``complete`` is whether its cost is whole, ``beside`` whether those of the others are.
    """

    klass: Klass
    chances: Mapping[Klass, float]
    sure: bool
    too_few: bool
    total: float
    needed: int | None
    margin: float
    level: float = 0.9
    counted: bool = True
    new: date | None = None
    on_target: bool | None = None
    left_after_labour: float | None = None
    labour_class: Klass | None = None
    complete: bool = True
    beside: bool = True


def advise(of: Standing) -> Advice:
    """The one action for a drink."""
    return Advice(action=_action(of), reasons=tuple(_reasons(of)))


def _action(of: Standing) -> Action:
    if not of.complete:
        return "complete"
    if _loses(of):
        return "price"
    if of.too_few:
        return "wait"
    return BY_CLASS[of.klass] if of.sure else "leave"


def _loses(of: Standing) -> bool:
    return of.margin <= 0.0 or (of.left_after_labour is not None and of.left_after_labour <= 0.0)


def _reasons(of: Standing) -> Iterator[Reason]:
    if not of.complete:
        yield Reason(code="at most")
    if of.margin <= 0.0:
        yield Reason(code="loss", figures={"money": -of.margin})
    elif of.left_after_labour is not None and of.left_after_labour <= 0.0:
        yield Reason(code="labour loss", figures={"money": -of.left_after_labour})
    if of.complete and not of.beside:
        yield Reason(code="beside")
    if not of.counted:
        yield Reason(code="unsold")
    elif of.new is not None:
        yield Reason(code="new", figures={"day": of.new})
    elif of.too_few:
        yield Reason(code="few", figures={"total": of.total, **_needed(of)})
    elif not of.sure:
        yield from _doubt(of)
    yield Reason(code="is", figures={"klass": of.klass})
    if of.labour_class not in (None, of.klass):
        yield Reason(code="labour class", figures={"klass": str(of.labour_class)})
    if of.on_target is not None and (of.klass == "plowhorse" or not of.on_target):
        yield Reason(code="met" if of.on_target else "missed")


def _doubt(of: Standing) -> Iterator[Reason]:
    """Between which classes it stands, and whether more sales will tell."""
    first, second, *_ = sorted(of.chances, key=lambda k: -of.chances[k])
    if of.chances[of.klass] < of.level:
        yield Reason(code="borderline", figures={
            "first": first, "chance": of.chances[first], "second": second, "other": of.chances[second],
        })  # fmt: skip
    much = of.chances["star"] + of.chances["puzzle"]
    if of.needed is None or of.needed > NEAR * of.total:
        yield Reason(code="near")
    elif of.needed > of.total and max(much, 1.0 - much) >= of.level:  # else more sales leave its margin in doubt
        yield Reason(code="few", figures={"total": of.total, "needed": of.needed})


def _needed(of: Standing) -> dict[str, float]:
    return {} if of.needed is None else {"needed": of.needed}
