"""Marks and ellipses: what tells many things in one picture apart by shape, dash and hue, never by colour alone."""

from math import cos, pi, sin, tan

from costing.report.figures.shapes import SERIES, Area, Bounds, Box, Dash, Role, Shape

ARCS = 8
"""Curves that an ellipse is drawn by: its area is then right to a few millionths."""
DASHES: tuple[Dash, ...] = ((), (4.5, 1.8), (1.4, 1.4), (6.0, 1.6, 1.4, 1.6))
CORNERS = (
    (),
    ((-0.9, -0.9), (0.9, -0.9), (0.9, 0.9), (-0.9, 0.9)),
    ((0.0, -1.2), (1.1, 0.9), (-1.1, 0.9)),
    ((0.0, -1.3), (1.3, 0.0), (0.0, 1.3), (-1.3, 0.0)),
    ((0.0, 1.2), (1.1, -0.9), (-1.1, -0.9)),
)
"""A circle, a square, a triangle, a diamond, a triangle on its head: corners in half widths from the middle."""
Point = tuple[float, float]


def hue_of(n: int) -> Role:
    """The hue of the ``n``-th thing. Hues, marks and dashes come round after 7, 5 and 4, so all three alike only after
    140."""
    return SERIES[(0, 5, 2, 3, 1, 4, 6)[n % len(SERIES)]]


def dash_of(n: int) -> Dash:
    """The dash of the ``n``-th thing."""
    return DASHES[n % len(DASHES)]


def mark(n: int, x: float, y: float, *, half: float = 2.6, hollow: bool = False) -> Shape:
    """The mark of the ``n``-th thing, ``half`` as wide as it is; ``hollow`` leaves its inside free."""
    hue, corners = hue_of(n), CORNERS[n % len(CORNERS)]
    fill: Role = "ground" if hollow else hue
    edge: Role = hue if hollow else "ink"
    weight = 1.1 if hollow else 0.5
    if not corners:
        return ellipse((x, y), (half, 0.0), (0.0, half), fill=fill, edge=edge, weight=weight)
    if n % len(CORNERS) == 1:
        half = 0.9 * half
        return Box(x=x - half, y=y - half, wide=2 * half, tall=2 * half, fill=fill, edge=edge, weight=weight)
    points = [(x + half * dx, y + half * dy) for dx, dy in corners]
    return Area(start=points[0], steps=tuple((p,) for p in points[1:]), fill=fill, edge=edge, weight=weight)


def ellipse(
    centre: Point,
    one: Point,
    other: Point,
    *,
    fill: Role | None = None,
    edge: Role | None = None,
    weight: float = 0.5,
    dash: Dash = (),
    opacity: float = 1.0,
    clip: Bounds | None = None,
) -> Area:
    """The ellipse with two conjugate half diameters: every point is ``centre`` + cos t ``one`` + sin t ``other``.
    Half diameters along one line give that line."""
    step = 2 * pi / ARCS
    reach = 4 / 3 * tan(step / 4)

    def spot(t: float, along: float = 0.0) -> Point:
        a, b = cos(t) - along * sin(t), sin(t) + along * cos(t)
        return centre[0] + a * one[0] + b * other[0], centre[1] + a * one[1] + b * other[1]

    steps = tuple(
        (spot(n * step, reach), spot((n + 1) * step, -reach), spot((n + 1) * step)) for n in range(ARCS)
    )  # fmt: skip
    return Area(start=spot(0.0), steps=steps, fill=fill, edge=edge, weight=weight, dash=dash, opacity=opacity,
                clip=clip)  # fmt: skip
