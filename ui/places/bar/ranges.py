"""The ranges that costs of drinks lie in, worked out off the main thread, and what they stand on in words."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from PySide6.QtCore import QObject, Signal

from costing.book.records import Layer
from costing.pricing import PricedServe
from costing.pricing.doubts import ASSUMED
from costing.pricing.exposure import exposures
from costing.pricing.ranges import ranges
from costing.pricing.sources import HORIZON
from costing.pricing.spread import Cause, Spread, spread
from costing.report.figures.steps import allowed
from costing.report.words import figure_word
from costing.tongue import say, say_many
from ui.desk import Desk, Where
from ui.document import Figures
from ui.format import Format, own
from ui.jobs import REST, Job, Progress
from ui.where import name_of
from ui.whys import Line, Trail

Found = tuple[Figures, dict[str, Spread | None]]


def base_of(figures: Figures) -> tuple[Layer, ...]:
    """The layers that pour cost stands on."""
    terms = figures.view.terms
    return terms.base if terms is not None else ("materials",)


class Ranges(QObject):
    """Ranges of every drink of the present figures, as they come to be known; ``known`` tells when they are."""

    known = Signal()

    def __init__(self, desk: Desk, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.desk = desk
        self._figures: Figures | None = None
        self._found: Mapping[str, Spread | None] = {}
        self._job: Job | None = None

    def ask(self) -> None:
        """Work out the ranges of the book as it is now, unless that was asked before."""
        figures = self.desk.document.figures
        if figures is self._figures:
            return
        self._figures, self._found = figures, {}
        figures.reckoning  # noqa: B018  made here, so that no other thread makes it
        if self._job is not None:
            self._job.cancel()
        job = self._job = Job(_Work(figures), self)
        job.done.connect(self._done)
        job.failed.connect(self._failed)
        job.start(REST)

    def of(self, serve: str) -> Spread | None:
        """The range of a drink; None while it is not known, or where none can be told. One that a change has not
        reached yet is not shown: it is gone from here with the figures it was of."""
        return self._found.get(serve) if self._figures is self.desk.document.figures else None

    def _done(self, found: Found) -> None:
        if found[0] is self._figures:
            self._found = found[1]
            self.known.emit()

    def _failed(self, error: Exception) -> None:
        raise error  # a fault of the program: kept in the log like any other


@dataclass(frozen=True, slots=True)
class _Work:
    """What the job does."""

    figures: Figures

    def __call__(self, tell: Progress) -> Found:
        tell(0, 1, "")
        found = ranges(exposures(self.figures.reckoning, base_of(self.figures))).serves
        return self.figures, {serve: found.get(serve) for serve in self.figures.reckoning.view.serves}


def in_doubt(priced: PricedServe, found: Spread | None) -> bool:
    """Whether the target is met by the cost as shown and may be missed by the next drink, or the other way round."""
    if found is None or priced.price is None or not priced.cost.complete:
        return False
    return found.crosses(allowed(float(priced.price.net), priced.policy))


def range_words(found: Spread | None, form: Format) -> str:
    """ "2.40 to 2.49"."""
    if found is None:
        return say("no range can be told")
    return say("{low} to {high}", low=form.money(found.low), high=form.money(found.high))


@dataclass(frozen=True, slots=True)
class RangeOf:
    """The range that one drink's cost lies in."""

    serve: str

    def trail(self, figures: Figures, form: Format) -> Trail:
        """Its ends, then what they stand on, the largest first."""
        found = figures.view.serves.get(self.serve)
        name = found[0].name if found else self.serve
        known = spread(figures.reckoning, self.serve, base_of(figures)) if found else None
        title = say("What one {serve} may cost", serve=own(name))
        if known is None:
            return Trail(title, say("no range can be told"), (
                Line(say("nothing under it was measured often enough, or something has no price")),
            ))  # fmt: skip
        return Trail(title, range_words(known, form), tuple(_lines(known, figures, form)))


def _lines(known: Spread, figures: Figures, form: Format) -> Iterator[Line]:
    yield Line(say("as shown"), form.money(known.cost))
    yield Line(say("90 of 100 drinks lie between"), range_words(known, form))
    for cause in known.causes:
        said = say("± {money}", money=form.number(1.645 * cause.money, form.places + 1))
        if cause.money >= 0.01 * known.causes[0].money:
            yield Line(_cause(cause, figures), said, "assumed" if cause.basis == "assumed" else "measured", 1,
                       Where(*cause.key))  # fmt: skip
    if known.assumed:
        share = form.percent(ASSUMED, 0)
        yield Line(say("assumed figures are taken to be known to {share} of themselves", share=share), "", "assumed")
    if known.seen:
        yield Line(say("where fewer than three batches were logged, the range holds what was seen"))
    if any(cause.basis == "prices" for cause in known.causes):
        days = form.number(HORIZON, 0)
        yield Line(say("prices are taken to move on as they did, {days} days ahead", days=days))
    yield Line(say("other prices, and what was weighed only once, are taken as they are"))


def _cause(cause: Cause, figures: Figures) -> str:
    name = own(name_of(figures.book, Where(*cause.key)))
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
