"""The price steps: each price point with tax and service, cost, margin, the range of cost if known, and the target."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

from costing.book.levies import Levy, Policy, PricePoints
from costing.pricing import next_point, point_below, split
from costing.pricing.ranges import allowed
from costing.report.figures.shapes import Area, Box, Figure, Line, Measure, Role, Shape, label
from costing.report.figures.stream import Cash
from costing.tongue import numeral, say

ROW, BAR, TOP, FOOT = 14.5, 9.0, 16.0, 13.0
LEFT, RIGHT = 104.0, 118.0
"""Room for the price and what is said of it, and for the figures after the bar."""
MOST, APART = 9, Decimal("0.02")
"""Steps shown, and how far apart they are at the least, as a share of the price: cents apart they would look alike."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One price point. ``allowed`` is what the target lets the drink cost at this price; ``on_target`` None where that
    cannot be said."""

    price: Decimal
    levies: float
    net: float
    cost: float
    allowed: float
    now: bool
    suggested: bool
    jump: bool = False
    """Whether more lies between this price and the one above it in the picture than between the others."""

    @property
    def margin(self) -> float:
        """Net less cost."""
        return self.net - self.cost

    @property
    def met(self) -> bool:
        """Whether the cost is one that the target allows."""
        return self.cost <= self.allowed + 1e-9


def steps_of(
    cost: float,
    policy: Policy,
    levies: Sequence[Levy],
    points: PricePoints,
    *,
    printed: Decimal | None,
    suggested: Decimal | None,
) -> tuple[Step, ...]:
    """At most nine price points about the printed and the suggested price, in order; both of those among them, whether
    the printed one is a price point or not. Nothing where there is neither."""
    fixed = {p for p in (printed, suggested) if p is not None and p > 0}
    if not fixed:
        return ()
    below = point_below(suggested, points) if suggested is not None else None
    chosen = sorted(fixed | ({below} if below is not None else set()))
    least = APART * chosen[-1]
    up, down = chosen[-1], chosen[0]
    while len(chosen) < MOST:
        up = next_point(up + max(least, points.step / 2), points)
        chosen.append(up)
        lower = point_below(down - max(Decimal(0), least - points.step), points) if down > least else None
        if lower is not None and len(chosen) < MOST:
            down = lower
            chosen.insert(0, down)
    apart = [high - low for low, high in pairwise(chosen)]
    usual = sorted(apart)[(len(apart) - 1) // 2] if apart else Decimal(0)
    out = []
    for n, price in enumerate(chosen):
        parts = split(price, levies)
        net = float(parts.net)
        out.append(Step(
            price=price, levies=float(price) - net, net=net, cost=cost, allowed=allowed(net, policy),
            now=price == printed, suggested=price == suggested,
            jump=n > 0 and apart[n - 1] > 2 * usual,
        ))  # fmt: skip
    return tuple(out)


def steps_figure(
    steps: Sequence[Step],
    wide: float,
    measure: Measure,
    cash: Cash,
    *,
    band: tuple[float, float] | None = None,
    aim: str = "",
    sure: bool = True,
) -> Figure:
    """The picture. ``band`` is the range of cost, (least, most), where it is known; ``aim`` the target in words. Not
    ``sure``: something has no price, so costs are "at least", margins "at most", and no target can be said to be met.

    ValueError for no steps, or a room narrower than 330 points.
    """
    if not steps or wide < 330.0:
        raise ValueError(f"{len(steps)} price steps in {wide:.0f} points: at least one, and 330 points")
    most = max(float(s.price) for s in steps)
    high = max(band) if band else 0.0
    after = _after(measure, sure)
    scale = (wide - LEFT - after.bars) / max(most, 1e-9, *(s.levies + max(s.cost, high) for s in steps))
    shapes: list[Shape] = _head(steps, wide, measure, after)
    for n, step in enumerate(steps):
        shapes += _row(step, TOP + n * ROW, scale, wide, measure, cash, band, sure, after)
    tall = TOP + len(steps) * ROW + FOOT
    foot = [say("triangle: the most it may cost for {aim}", aim=aim) if aim
            else say("triangle: the most it may cost for the target")]  # fmt: skip
    foot += [say("bar with ends: range of cost")] if band else []
    foot += [say("dots: prices left out")] if any(s.jump for s in steps) else []
    foot += [] if sure else [say("something has no price, so costs are at least and margins at most these")]
    words = "; ".join(foot)
    shapes.append(label(0.0, tall - 4.0, words, measure, size=6.5, role="faint", room=wide))
    met = [s for s in steps if s.met and sure]
    if met:
        said = say("Target met from {price}.", price=cash(float(met[0].price)))
    else:
        said = say("No price shown is sure to meet the target.")
    return Figure(wide=wide, tall=tall, shapes=tuple(shapes), said=said)


@dataclass(frozen=True, slots=True, kw_only=True)
class _After:
    """Room after the bars: of the word on the target, of the margin, and of all that stands there."""

    target: float
    margin: float
    bars: float


def _after(measure: Measure, sure: bool) -> _After:
    """As it is for English, or more where the words of a language or the signs of a bound take more."""
    words = max(measure(word, 7.0, True) for word in (say("met"), say("missed")))
    target = max(34.0, 6.0 + max(words, measure(say("target"), 7.0, False)))
    margin = max(32.0, 7.0 + measure(say("margin"), 7.0, False)) + (0.0 if sure else 9.0)
    return _After(target=target, margin=margin, bars=RIGHT + target - 34.0 + margin - 32.0)


def _head(steps: Sequence[Step], wide: float, measure: Measure, after: _After) -> list[Shape]:
    """The key to the parts of the bars, and the words over the figures after them."""
    out: list[Shape] = []
    x = LEFT
    taxed = any(s.levies > 0.0 for s in steps)
    key: tuple[tuple[str, Role], ...] = (
        (say("tax and service"), "tax"), (say("cost"), "money"), (say("margin"), "series-3"),
    )  # fmt: skip
    shown = key if taxed else key[1:]
    # where the bars have little room the key begins further left, clear of the words over the figures
    room = wide - after.target - after.margin - measure(say("cost %"), 7.0, False) - 4.0
    x = max(0.0, min(x, room - sum(22.0 + measure(name, 7.0, False) for name, _ in shown) + 12.0))
    for name, hue in shown:
        text = label(x + 10.0, 8.3, name, measure, size=7.0, role="faint")
        out += [Box(x=x, y=2.0, wide=7.0, tall=7.0, fill=hue), text]
        x += 22.0 + text.width
    for right, name in _heads(wide, after):
        out.append(label(right, 8.3, name, measure, size=7.0, role="faint", anchor="end"))
    return out


def _heads(wide: float, after: _After) -> tuple[tuple[float, str], ...]:
    """(right edge, words) over the figures after the bars."""
    margin = wide - after.target
    return (margin - after.margin, say("cost %")), (margin, say("margin")), (wide, say("target"))


def _row(
    step: Step,
    y: float,
    scale: float,
    wide: float,
    measure: Measure,
    cash: Cash,
    band: tuple[float, float] | None,
    sure: bool,
    after: _After,
) -> list[Shape]:
    bold, top, base = step.now or step.suggested, y + 3.0, y + 10.4
    out: list[Shape] = []
    if step.suggested:
        out.append(Box(x=0.0, y=y + 0.6, wide=wide, tall=ROW - 1.2, fill="paper", edge="money", weight=0.8))
    if step.now and step.suggested:
        words = say("now and suggested")
    else:
        words = say("now") if step.now else say("suggested") if step.suggested else ""
    if step.jump:  # three dots between two prices that do not follow each other
        out += [Box(x=LEFT - 19.0, y=y - 3.0 + 2.0 * n, wide=1.3, tall=1.3, fill="ink") for n in range(3)]
    if words:
        out.append(label(3.0, base, words, measure, size=6.5, role="faint", room=64.0))
    out.append(label(LEFT - 6.0, base, cash(float(step.price)), measure, size=8.0, bold=bold, anchor="end"))
    x = LEFT
    if step.levies > 0.0:
        out.append(Box(x=x, y=top, wide=step.levies * scale, tall=BAR, fill="tax", tint=0.75))
        x += step.levies * scale
    out.append(Box(x=x, y=top, wide=max(0.0, step.cost) * scale, tall=BAR, fill="money"))
    if step.margin > 0.0:
        start = x + max(0.0, step.cost) * scale
        # a rebate can make the margin more than the net price: the bar still ends at the price
        out.append(Box(x=start, y=top, wide=min(step.margin, step.net) * scale, tall=BAR, fill="series-3"))
    if band is not None:
        low, high, middle = x + band[0] * scale, x + band[1] * scale, top + BAR / 2
        out += [
            Line(x1=low, y1=middle, x2=high, y2=middle, weight=1.2),
            Line(x1=low, y1=middle - 3, x2=low, y2=middle + 3, weight=1.2),
            Line(x1=high, y1=middle - 3, x2=high, y2=middle + 3, weight=1.2),
        ]
    tip = x + step.allowed * scale
    if step.allowed > 0.0 and tip <= wide - after.bars + 1.0:
        out.append(Area(start=(tip, top + 1.5), steps=(((tip - 3.0, top - 3.0),), ((tip + 3.0, top - 3.0),)),
                        fill="ground", edge="ink"))  # fmt: skip
    least, most = ("", "") if sure else ("≥ ", "≤ ")
    share = least + numeral(f"{100 * step.cost / step.net:.1f} %") if step.net > 0.0 else "–"
    margin = wide - after.target
    out.append(label(margin - after.margin, base, share, measure, size=7.5, bold=bold, anchor="end"))
    out.append(label(margin, base, most + cash(step.margin), measure, size=7.5, bold=bold, anchor="end",
                     room=after.margin - 1.0))  # fmt: skip
    words = say("missed") if not step.met else say("met") if sure else say("not sure")
    out.append(
        label(wide - 2.0, base, words, measure, size=7.0, bold=bold and sure, anchor="end", room=after.target - 2.0)
    )
    return out
