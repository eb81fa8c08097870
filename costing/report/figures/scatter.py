"""The scatter: what each drink sold and earns, how sure that is, and the thresholds the menu is judged by."""

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import isfinite, sqrt

from costing.report.figures.axes import Axis, span, ticks
from costing.report.figures.marks import dash_of, ellipse, hue_of, mark
from costing.report.figures.naming import named
from costing.report.figures.shapes import Anchor, Area, Bounds, Box, Figure, Line, Measure, Shape, Text, label, wrapped
from costing.report.figures.stream import Cash
from costing.report.words import series
from costing.tongue import numeral, say, say_many

SIGMAS = 2.1459660262893472
"""Root of the 0.9 quantile of chi squared with two degrees of freedom, -2 ln 0.1: how many standard deviations reach
round 90 % of what may be so."""
NARROW, LOW = 320.0, 200.0
TOP, FOOT, INSET, STRIP = 26.0, 24.0, 9.0, 15.0
"""Room over the plot and under it for an axis; within it left and right, and over and under for the corner words."""
SMALL, LETTER = 6.5, 7.0
THIN, FEW = 1.2, 25
"""Points below which a band is drawn as a line; drinks up to which ellipses are filled and firm, because fills on fills
would hide what they are about."""
Spread = tuple[float, float, float]
"""Variance of what was sold, covariance, variance of the margin."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """One drink: how many were ``sold`` in the period, its ``margin`` (money a drink, after tax), how sure both are
    (None: not known), whether its class is ``sure``, and in words that class and how sure it is."""

    name: str
    sold: float
    margin: float
    spread: Spread | None = None
    sure: bool = True
    klass: str = ""
    standing: str = ""

    def __post_init__(self) -> None:
        figures = (self.sold, self.margin, *(self.spread or ()))
        if not all(map(isfinite, figures)):
            raise ValueError(f"{self.name} has a figure that is none: {figures}")
        if self.spread is not None:
            sxx, sxy, syy = self.spread
            if sxx < 0.0 or syy < 0.0 or sxy * sxy > sxx * syy * (1 + 1e-9) + 1e-300:
                raise ValueError(f"{self.name} has variances {sxx} and {syy} with a covariance of {sxy}: none do")

    @property
    def reach(self) -> tuple[float, float]:
        """How far its ellipse reaches from what was sold, and from the margin."""
        return (0.0, 0.0) if self.spread is None else (SIGMAS * sqrt(self.spread[0]), SIGMAS * sqrt(self.spread[2]))


@dataclass(frozen=True, slots=True, kw_only=True)
class Threshold:
    """A threshold and the 90 % range it lies in."""

    value: float
    low: float
    high: float

    def __post_init__(self) -> None:
        if not self.low <= self.value <= self.high or not isfinite(self.low) or not isfinite(self.high):
            raise ValueError(f"a threshold of {self.value} does not lie from {self.low} to {self.high}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Scatter:
    """Drinks that are judged against each other. ``popular`` is in drinks sold, ``earning`` in margin a drink."""

    spots: tuple[Spot, ...]
    popular: Threshold
    earning: Threshold


def scatter_figure(scatter: Scatter, wide: float, tall: float, measure: Measure, cash: Cash) -> Figure:
    """The picture. Each drink has a mark and a hue, its ellipse a dash; a hollow mark says that its class is not sure.
    Names stand beside their marks, or at the end of a line. ValueError for no drink at all, or a room below 320 by 200
    points."""
    plot = _Plot(scatter, wide, tall, measure, cash)
    corners = list(_corners(plot))
    spots = [plot.at(spot) for spot in scatter.spots]
    shapes: list[Shape] = [*_bands(plot), *_axes(plot), *corners]
    every = list(enumerate(scatter.spots))
    shapes += [_ellipse(plot, n, spot) for n, spot in every if spot.spread is not None]
    names, left_out = named(
        [spot.name for spot in scatter.spots], spots, plot.frame, [c.bounds for c in corners], measure,
        size=LETTER, longest=0.32 * (plot.frame[2] - plot.frame[0]),
    )  # fmt: skip
    shapes += [shape for shape in names if isinstance(shape, Line)]
    shapes += [mark(n, *at, hollow=not spot.sure) for (n, spot), at in zip(every, spots, strict=True)]
    shapes += [shape for shape in names if not isinstance(shape, Line)]
    notes = _notes(scatter, len(left_out))
    shapes += [
        label(4.0, tall - 4.0 - 8.5 * n, line, measure, size=SMALL, role="faint")
        for n, line in enumerate(reversed(wrapped(notes, wide - 8.0, SMALL, measure, most=2)))
    ]
    return Figure(wide=wide, tall=tall, shapes=tuple(shapes), said=_said(scatter))


def scatter_rows(scatter: Scatter, cash: Cash) -> list[list[str]]:
    """The same figures as a table, headings first and the thresholds last."""
    head = [say("Drink"), say("Class"), say("How sure"), say("Sold in the period"), say("Margin a drink, after tax"),
            say("Sold, 90 % range"), say("Margin, 90 % range")]  # fmt: skip
    rows = [head]
    for spot in scatter.spots:
        across, up = spot.reach
        known = spot.spread is not None
        rows.append([
            spot.name, spot.klass, spot.standing or (say("sure") if spot.sure else say("borderline")),
            count(spot.sold), cash(spot.margin),
            _between(spot.sold - across, spot.sold + across, count) if known else "",
            _between(spot.margin - up, spot.margin + up, cash) if known else "",
        ])  # fmt: skip
    sold, margin = scatter.popular, scatter.earning
    rows.append([
        say("Thresholds"), "", "", count(sold.value), cash(margin.value),
        _between(sold.low, sold.high, count), _between(margin.low, margin.high, cash),
    ])  # fmt: skip
    return rows


def _between(low: float, high: float, said: Callable[[float], str]) -> str:
    return say("{low} to {high}", low=said(low), high=said(high))


def mark_places(scatter: Scatter, wide: float, tall: float, measure: Measure, cash: Cash) -> tuple[Bounds, ...]:
    """Where the mark of each drink stands in the picture: what a pointer or a key can come to."""
    plot = _Plot(scatter, wide, tall, measure, cash)
    return tuple((x - 4.0, y - 4.0, x + 4.0, y + 4.0) for x, y in map(plot.at, scatter.spots))


def count(value: float) -> str:
    """How many were sold, as it is printed; parts of a drink only where there are some."""
    return numeral(f"{round(value, 1) + 0.0:,.1f}".removesuffix(".0"))


class _Plot:
    """The frame, the axes and their marks."""

    def __init__(self, scatter: Scatter, wide: float, tall: float, measure: Measure, cash: Cash) -> None:
        if not scatter.spots or wide < NARROW or tall < LOW:
            raise ValueError(
                f"{len(scatter.spots)} drinks in {wide:.0f} by {tall:.0f} points: at least one, and 320 by 200 points"
            )
        self.scatter, self.measure, self.cash = scatter, measure, cash
        lines = len(wrapped(_notes(scatter, 99), wide - 8.0, SMALL, measure, most=2))
        top, bottom = TOP, tall - FOOT - 8.5 * lines - 2.0
        earning, popular = scatter.earning, scatter.popular
        low, high = span(
            [*(s.margin for s in scatter.spots), earning.low, earning.high],
            [(s.margin - s.reach[1], s.margin + s.reach[1]) for s in scatter.spots], from_zero=False,
        )  # fmt: skip
        self.y = Axis(low=low, high=high, start=bottom - STRIP, end=top + STRIP)
        self.levels = ticks(self.y, cash, room=lambda _: 14.0)
        left = 8.0 + max((self.width(text) for _, text in self.levels), default=0.0)
        right = wide - max(10.0, 7.0 + self.width(cash(earning.value)))
        low, high = span(
            [*(s.sold for s in scatter.spots), popular.low, popular.high],
            [(s.sold - s.reach[0], s.sold + s.reach[0]) for s in scatter.spots], from_zero=True,
        )  # fmt: skip
        self.x = Axis(low=low, high=high, start=left + INSET, end=right - INSET)
        self.counts = ticks(self.x, count, room=lambda text: 8.0 + self.width(text), whole=True)
        self.frame: Bounds = (left, top, right, bottom)

    def width(self, text: str) -> float:
        """Of a text in the letters of the axes."""
        return self.measure(text, LETTER, False)

    def at(self, spot: Spot) -> tuple[float, float]:
        """Where a drink stands."""
        return self.x.at(spot.sold), self.y.at(spot.margin)


def _bands(plot: _Plot) -> list[Shape]:
    """Where the thresholds may lie, each with its figure at the edge of the plot."""
    left, top, right, bottom = plot.frame
    popular, earning = plot.scatter.popular, plot.scatter.earning
    across, up = (left, right), (top, bottom)
    sold, margin = count(popular.value), plot.cash(earning.value)
    wide = plot.width(sold)
    over = min(max(plot.x.at(popular.value), left + wide / 2), right - wide / 2)
    return [
        _band((plot.x.at(popular.low), plot.x.at(popular.high)), up),
        _band(across, (plot.y.at(earning.high), plot.y.at(earning.low))),
        label(over, top - 3.0, sold, plot.measure, size=LETTER, anchor="middle"),
        label(right + 4.0, plot.y.at(earning.value) + 2.5, margin, plot.measure, size=LETTER),
    ]


def _band(across: tuple[float, float], up: tuple[float, float]) -> Shape:
    """A band, or a line where it is too thin to be seen."""
    (x1, x2), (y1, y2) = across, up
    if x2 - x1 < THIN or y2 - y1 < THIN:
        x, y = (x1 + x2) / 2, (y1 + y2) / 2
        upright = x2 - x1 < THIN
        return Line(x1=x if upright else x1, y1=y1 if upright else y, x2=x if upright else x2,
                    y2=y2 if upright else y, role="tax", weight=THIN)  # fmt: skip
    return Box(x=x1, y=y1, wide=x2 - x1, tall=y2 - y1, fill="tax", tint=0.17, edge="rule", weight=0.3)


def _axes(plot: _Plot) -> list[Shape]:
    left, _, right, bottom = plot.frame
    out: list[Shape] = []
    for value, text in plot.levels:
        y = plot.y.at(value)
        out.append(Line(x1=left, y1=y, x2=right, y2=y, role="rule", weight=0.3))
        out.append(label(left - 4.0, y + 2.5, text, plot.measure, size=LETTER, role="faint", anchor="end"))
    for value, text in plot.counts:
        x = plot.x.at(value)
        out.append(Line(x1=x, y1=bottom, x2=x, y2=bottom + 3.0, role="rule", weight=0.5))
        out.append(label(x, bottom + 10.5, text, plot.measure, size=LETTER, role="faint", anchor="middle"))
    out.append(Line(x1=left, y1=bottom, x2=right, y2=bottom, role="faint", weight=0.6))
    across, up = say("sold in the period"), say("margin a drink, after tax")
    out.append(label((left + right) / 2, bottom + 20.5, across, plot.measure, size=LETTER, role="faint",
                     anchor="middle", room=right - left))  # fmt: skip
    out.append(label(4.0, 8.5, up, plot.measure, size=LETTER, role="faint", room=right))
    return out


def _corners(plot: _Plot) -> Iterator[Text]:
    left, top, right, bottom = plot.frame
    room = (right - left) / 2 - 12.0
    over, under = top + 9.5, bottom - 5.0
    for x, y, text, anchor in (
        (left + 5.0, over, say("sells less, earns more"), "start"),
        (right - 5.0, over, say("sells more, earns more"), "end"),
        (left + 5.0, under, say("sells less, earns less"), "start"),
        (right - 5.0, under, say("sells more, earns less"), "end"),
    ):
        side: Anchor = "start" if anchor == "start" else "end"
        yield label(x, y, text, plot.measure, size=SMALL, role="faint", anchor=side, room=room)


def _ellipse(plot: _Plot, n: int, spot: Spot) -> Area:
    """Where a drink lies with a chance of 90 %. Half diameters out of the Cholesky factor of the covariance: an even
    stretching of the plot takes them along, which principal axes would not bear."""
    sxx, sxy, syy = spot.spread or (0.0, 0.0, 0.0)
    across = sqrt(sxx)
    tilt = sxy / across if across else 0.0
    rest = sqrt(max(0.0, syy - tilt * tilt))  # the record has seen to it that nothing but rounding lies below 0
    few = len(plot.scatter.spots) <= FEW
    x, y = SIGMAS * plot.x.scale, SIGMAS * plot.y.scale
    return ellipse(
        plot.at(spot), (across * x, tilt * y), (0.0, rest * y), fill=hue_of(n), edge=hue_of(n),
        weight=0.8 if few else 0.5, dash=dash_of(n), opacity=0.13 if few else 0.03, clip=plot.frame,
    )  # fmt: skip


def _notes(scatter: Scatter, left_out: int) -> str:
    """How to read it, and what there was no room for."""
    said = [say("{n} names left out for want of room: the table has them", n=left_out)] if left_out else []
    if any(spot.spread is not None for spot in scatter.spots):
        said.append(say("ellipse: where a drink lies with a chance of 90 %"))
    if not all(spot.sure for spot in scatter.spots):
        said.append(say("hollow mark: its class is not sure"))
    said.append(say("band or line: where a threshold lies"))
    return "; ".join(said)


def _said(scatter: Scatter) -> str:
    """The picture in words: how many drinks of which class, and which are not sure."""
    classes = Counter(spot.klass for spot in scatter.spots if spot.klass)
    each = series(f"{n} {klass}" for klass, n in classes.items())
    count_of = say_many("{n} drink", "{n} drinks", len(scatter.spots))
    said = say("{drinks}: {classes}.", drinks=count_of, classes=each) if each else f"{count_of}."
    unsure = [spot.name for spot in scatter.spots if not spot.sure]
    return f"{said} {say('Not sure: {names}.', names=series(unsure))}" if unsure else said
