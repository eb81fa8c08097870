"""The tornado: which price moves a drink, or all that a period sells, each a tenth dearer by itself."""

from collections.abc import Sequence
from typing import Literal

from costing.report.figures.shapes import Box, Figure, Measure, Shape, label
from costing.report.figures.stream import Cash
from costing.tongue import say

ROW, BAR, TOP, FOOT, LEFT, RIGHT = 14.0, 8.0, 4.0, 15.0, 122.0, 62.0
MOST = 9
RISE, LEAST = 0.10, 0.004
"""The rise, and the share of the whole below which a price stands among the others."""


def tornado_figure(
    shares: Sequence[tuple[str, float]],
    wide: float,
    measure: Measure,
    cash: Cash,
    *,
    most: int = MOST,
    of: Literal["drink", "period"] = "drink",
    words: str = "",
    said: str = "",
) -> Figure:
    """``shares`` are (name, money of it ``of`` one drink or of all that a period sold), the dearest first. Costs are
    linear in prices, so a tenth on a price is a tenth of its share. The rest stand together on the last line. ``words``
    stand below it, and ``said`` for it, where it shows another swing than that of a tenth.
    ValueError for none, or below 260 points.
    """
    if not shares or wide < 260.0:
        raise ValueError(f"{len(shares)} shares in {wide:.0f} points: at least one, and 260 points")
    whole = sum(abs(money) for _, money in shares)
    shown = max(1, sum(abs(money) >= LEAST * whole for _, money in shares[:most]))
    shown += 1 if len(shares) == shown + 1 else 0
    rows = [(name, RISE * money) for name, money in shares[:shown]]
    rest = shares[shown:]
    if rest:
        rows.append((say("{n} others together", n=len(rest)), RISE * sum(money for _, money in rest)))
    largest = max(abs(move) for _, move in rows) or 1.0
    texts = [f"{'+' if move >= 0 else '−'}{cash(abs(move))}" for _, move in rows]
    # the money of a period is longer than that of a drink
    right = max(RIGHT, 6.0 + max(measure(text, 7.0, False) for text in texts))
    scale = (wide - LEFT - right) / largest
    shapes: list[Shape] = []
    for n, (name, move) in enumerate(rows):
        y = TOP + n * ROW
        others = n == shown
        shapes.append(label(LEFT - 5.0, y + 8.5, name, measure, size=7.0, anchor="end", room=LEFT - 6.0,
                            role="faint" if others else "ink"))  # fmt: skip
        long = max(0.6, abs(move) * scale)
        shapes.append(Box(x=LEFT, y=y + 2.0, wide=long, tall=BAR, fill="money", tint=0.45 if others else 1.0))
        shapes.append(label(LEFT + long + 4.0, y + 8.5, texts[n], measure, size=7.0, room=right - 5.0))
    tall = TOP + len(rows) * ROW + FOOT
    if of == "drink":
        words = words or say("what one drink costs more where that price alone rises by 10 %")
        said = said or say("{name} moves this drink most.", name=rows[0][0])
    else:
        words = words or say("what the drinks of the period cost more where that price alone rises by 10 %")
        said = said or say("{name} moves the cost of the period most.", name=rows[0][0])
    shapes.append(label(0.0, tall - 4.0, words, measure, size=6.5, role="faint", room=wide))
    return Figure(wide=wide, tall=tall, shapes=tuple(shapes), said=said)
