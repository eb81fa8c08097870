"""The ranges that costs lie in: worked out off the main thread once for the whole window, and what is said of them."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from PySide6.QtCore import QObject, Qt, Signal

from costing.book.money import exact
from costing.book.records import LAYERS, Terms
from costing.pricing import PricedServe, suggest
from costing.pricing.exposure import base_layers, exposures
from costing.pricing.ranges import Range, Ranges, allowed, chance_missed, crosses_point, crosses_target, ranges
from costing.report.range_words import missed_words
from costing.tongue import say, say_many
from ui.desk import Desk
from ui.document import Figures
from ui.format import Format
from ui.jobs import Progress
from ui.latest import Latest

DOT, RING = "\u2022", "\u25e6"
"""Before a cost whose range crosses the target, or only a price point: a figure to look at twice."""


class CostRanges(QObject):
    """Ranges of the present figures, kept with them once they are known (``Figures.ranges``)."""

    known = Signal()
    """They are there now."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._document, self._latest = desk.document, Latest(self)
        self._latest.known.connect(self._found)

    def ask(self) -> None:
        """Have the ranges of the book as it is now worked out, unless they are or somebody asked before."""
        figures = self._document.figures
        if figures.ranges is None:
            figures.reckoning  # noqa: B018  made here, so that no other thread makes it
            self._latest.ask(figures, _Work(figures))

    def _found(self) -> None:
        figures = self._document.figures
        figures.ranges = self._latest.of(figures)
        if figures.ranges is not None:
            self._latest.forget()  # the figures keep them from here on
            self.known.emit()


def ranges_of(desk: Desk) -> CostRanges:
    """The one that every place of a window shares."""
    found = desk.findChild(CostRanges, options=Qt.FindChildOption.FindDirectChildrenOnly)
    return found if isinstance(found, CostRanges) else CostRanges(desk)


@dataclass(frozen=True, slots=True)
class _Work:
    """What the job does: drinks in the layers of pour cost, preparations with making, each as their lists show them."""

    figures: Figures

    def __call__(self, tell: Progress) -> Ranges:
        reckoning = self.figures.reckoning
        layers = base_layers(reckoning)
        tell(0, 2, "")
        poured = ranges(exposures(reckoning, layers))
        tell(1, 2, "")
        made = poured if set(layers) == set(LAYERS) else ranges(exposures(reckoning, LAYERS))
        return Ranges(serves=poured.serves, made=made.made)


def range_of(figures: Figures, ident: str, kind: str = "serve") -> Range | None:
    """The range of a drink in the layers of pour cost, or of a unit of a preparation or by-product with making; None
    while it is not known, or where none can be told."""
    if figures.ranges is None:
        return None
    return (figures.ranges.serves if kind == "serve" else figures.ranges.made).get(ident)


@dataclass(frozen=True, slots=True)
class InDoubt:
    """What the range of a drink's cost crosses: the ``target`` at its printed price, or from one suggested price
    ``point`` to another. ``marked`` puts a dot or a ring before its figure."""

    target: bool = False
    point: bool = False

    def __bool__(self) -> bool:
        return self.target or self.point

    def marked(self, text: str) -> str:
        """A figure with its dot or ring."""
        return f"{DOT if self.target else RING} {text}" if self else text


def in_doubt(figures: Figures, priced: PricedServe | None) -> InDoubt:
    """What a drink's range crosses at one place on a menu."""
    found, terms = (range_of(figures, priced.serve.id) if priced is not None else None), figures.view.terms
    if priced is None or found is None or terms is None:
        return InDoubt()
    return InDoubt(crosses_target(priced, found), crosses_point(priced, found, terms.levies, terms.points))


def chance_of(priced: PricedServe, found: Range | None) -> float | None:
    """The chance that a drink misses its target at its printed price; None where none is known or printed."""
    if priced.price is None:
        return None
    return chance_missed(found, allowed(float(priced.price.net), priced.policy))


def few_batches(found: Range) -> int:
    """How many batches it stands on of which fewer than three were logged of each preparation."""
    return sum(cause.n for cause in found.causes if cause.few)


def range_words(found: Range, form: Format) -> str:
    """ "2.40 to 2.49"."""
    return say("{low} to {high}", **_ends(found, form))


def _ends(found: Range, form: Format) -> dict[str, str]:
    places = form.places if abs(found.cost) >= 0.1 else form.places + 2  # as a small sum a unit is shown
    return {"low": form.number(found.low, places), "high": form.number(found.high, places)}


def may_cost(found: Range, form: Format, kind: str = "serve") -> str:
    """What a range holds, as a sentence: nine of ten, or what was seen."""
    ends, few = _ends(found, form), few_batches(found)
    if found.method == "seen":
        return say_many("It was seen between {low} and {high} in {n} batch.",
                        "It was seen between {low} and {high} in {n} batches.", few, **ends)  # fmt: skip
    if few:
        return say_many("It may cost {low} to {high}, with what was seen in {n} batch.",
                        "It may cost {low} to {high}, with what was seen in {n} batches.", few, **ends)  # fmt: skip
    if kind == "serve":
        return say("It may cost {low} to {high}; 90 of 100 drinks do.", **ends)
    return say("It may cost {low} to {high}; 90 of 100 batches do.", **ends)


def range_tip(figures: Figures, priced: PricedServe | None, form: Format) -> str:
    """What a drink may cost, how often it misses its target, and what that means for its price; "" where no range is
    known."""
    found = range_of(figures, priced.serve.id) if priced is not None else None
    if priced is None or found is None:
        return ""
    doubt, chance = in_doubt(figures, priced), chance_of(priced, found)
    lines = [may_cost(found, form)]
    if chance is not None:
        lines.append(missed_words(chance))
    elif doubt.target:
        lines.append(say("Some drinks meet the target and some miss it."))
    if doubt.point:
        low, high = (form.money(price) for price in asked(figures, priced, found))
        lines.append(say("The target asks for {low} where it costs least and {high} where it costs most.", low=low,
                         high=high))  # fmt: skip
    return "\n".join(lines)


def asked(figures: Figures, priced: PricedServe, found: Range) -> Iterator[Decimal]:
    """The price points that the target asks for at the low and the high end of a range."""
    terms = figures.view.terms or Terms(since=figures.day)
    for end in (found.low, found.high):
        yield suggest(exact(end), priced.policy, terms.levies, terms.points).at.all_in
