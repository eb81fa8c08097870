"""Names beside the points they belong to: greedy, none over another, with a line to those that stand further off."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import cos, hypot, pi, sin

from costing.report.figures.shapes import ASCENT, DESCENT, Bounds, Line, Measure, Shape, Text, fitted, label

NEAR, STEP, RINGS, WAYS = 4.5, 9.0, 28, 16
"""Points from a mark to a name beside it; between rings of places further off; how many rings; how many ways on each.
"""
PATIENCE = 4 * WAYS
"""Places that are still looked at once one is found that lines run over."""
CROWD = 42.0
"""Points within which other marks make a crowd: those in the thickest one are named first."""
Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class _Place:
    """A box for a name, and the line from the mark to it where it stands off."""

    box: Bounds
    line: tuple[Point, Point] | None = None


def named(
    names: Sequence[str],
    marks: Sequence[Point],
    inside: Bounds,
    taken: Sequence[Bounds],
    measure: Measure,
    *,
    size: float = 7.0,
    longest: float = 110.0,
    half: float = 3.4,
) -> tuple[list[Shape], list[int]]:
    """Lines and names for ``marks`` (of ``half`` that width) and the indices of those for which there was no room.

    Names lie ``inside``, clear of what is ``taken``, of each other and of all marks and lines; only where there is no
    such place may one lie over a line, on ground of its own. A name wider than ``longest`` is cut.
    """
    boxes = [(x - half, y - half, x + half, y + half) for x, y in marks]
    kept: list[_Place] = [_Place(box) for box in taken]
    lines: list[Shape] = []
    words: list[Text] = []
    left_out: list[int] = []
    for n in _thickest_first(marks):
        text = fitted(names[n], longest, size, measure)
        size_of = measure(text, size, False), (ASCENT + DESCENT) * size
        others = [box for m, box in enumerate(boxes) if marks[m] != marks[n]]
        found, backed = _found(_places(marks[n], *size_of), inside, others, kept)
        if found is None:
            left_out.append(n)
            continue
        kept.append(found)
        if found.line is not None:
            (x1, y1), (x2, y2) = found.line
            lines.append(Line(x1=x1, y1=y1, x2=x2, y2=y2, role="faint", weight=0.4))
        words.append(label(found.box[0], found.box[1] + ASCENT * size, text, measure, size=size, backed=backed))
    return [*lines, *words], sorted(left_out)


def _found(
    places: Iterable[_Place], inside: Bounds, others: Sequence[Bounds], kept: Sequence[_Place]
) -> tuple[_Place | None, bool]:
    """The nearest place clear of names, marks and lines; else, soon after it, the nearest that only lines run over."""
    spare: _Place | None = None
    looked = 0
    for place in places:
        looked += spare is not None
        if looked > PATIENCE:
            break
        box = place.box
        if not _within(box, inside) or any(_over(box, other) for other in others):
            continue
        if any(_over(box, other.box) for other in kept):
            continue
        if _clear(place, kept):
            return place, False
        spare = spare or place
    return spare, spare is not None


def _thickest_first(marks: Sequence[Point]) -> list[int]:
    crowd = [sum(hypot(x - a, y - b) < CROWD for a, b in marks) for x, y in marks]
    return sorted(range(len(marks)), key=lambda n: (-crowd[n], n))


def _places(mark: Point, wide: float, tall: float) -> Iterator[_Place]:
    """Beside, over and under the mark, then further off all around it, the nearest first."""
    x, y = mark
    slant = 0.6 * NEAR
    for left, top in (
        (x + NEAR, y - tall / 2), (x - NEAR - wide, y - tall / 2),
        (x + slant, y - slant - tall), (x + slant, y + slant), (x - slant - wide, y - slant - tall),
        (x - slant - wide, y + slant), (x - wide / 2, y - NEAR - tall), (x - wide / 2, y + NEAR),
    ):  # fmt: skip
        yield _Place((left, top, left + wide, top + tall))
    for ring in range(1, RINGS + 1):
        off = NEAR + STEP * ring
        for way in range(WAYS):
            turn = 2 * pi * (way + 0.5 * (ring % 2)) / WAYS
            middle, level = x + cos(turn) * (off + wide / 2), y + sin(turn) * (off + tall / 2)
            box = middle - wide / 2, level - tall / 2, middle + wide / 2, level + tall / 2
            end = min(max(x, box[0]), box[2]), min(max(y, box[1]), box[3])
            yield _Place(box, (mark, end))


def _within(box: Bounds, inside: Bounds) -> bool:
    return box[0] >= inside[0] and box[1] >= inside[1] and box[2] <= inside[2] and box[3] <= inside[3]


def _over(one: Bounds, other: Bounds) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _clear(place: _Place, kept: Sequence[_Place]) -> bool:
    """Whether its line lies over no other name or line, and it over no other line."""
    for other in kept:
        if other.line is not None and _cuts(other.line, place.box):
            return False
        if place.line is not None and _cuts(place.line, other.box):
            return False
        if place.line is not None and other.line is not None and _cross(place.line, other.line):
            return False
    return True


def _cuts(line: tuple[Point, Point], box: Bounds) -> bool:
    """Whether any of a line lies in a box (Liang and Barsky, ACM Transactions on Graphics 3, 1984)."""
    (x, y), (x2, y2) = line
    enter, leave = 0.0, 1.0
    for toward, room in ((x - x2, x - box[0]), (x2 - x, box[2] - x), (y - y2, y - box[1]), (y2 - y, box[3] - y)):
        if toward == 0.0:
            if room < 0.0:
                return False
        elif toward < 0.0:
            enter = max(enter, room / toward)
        else:
            leave = min(leave, room / toward)
    return enter < leave


def _cross(one: tuple[Point, Point], other: tuple[Point, Point]) -> bool:
    """Whether two lines cross; sharing an end is no crossing."""

    def side(a: Point, b: Point, c: Point) -> float:
        return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])

    (a, b), (c, d) = one, other
    return side(a, b, c) * side(a, b, d) < -1e-9 and side(c, d, a) * side(c, d, b) < -1e-9
