"""The scatter as data: ellipses of the right size, names that never overlap, and everything inside the picture."""

import math
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import chi2

from costing.report.figures import Area, Box, Figure, Line, Text, overlaps
from costing.report.figures.axes import Axis, span, ticks
from costing.report.figures.contrast import contrast, set_off
from costing.report.figures.marks import dash_of, ellipse, hue_of, mark
from costing.report.figures.painter_pdf import PALETTE, measure_with
from costing.report.figures.scatter import (
    SIGMAS,
    Scatter,
    Spot,
    Threshold,
    count,
    mark_places,
    scatter_figure,
    scatter_rows,
)
from costing.report.pdf_page import Ink
from costing.tongue import PSEUDO_RTL, speaking

WIDE, TALL = 640.0, 370.0
MEASURE = measure_with(Ink())


def cash(value: float) -> str:
    """Money with two places."""
    return f"{value:,.2f}"


def scatter(
    *spots: Spot, popular: tuple[float, ...] = (50.0, 45.0, 55.0), earning: tuple[float, ...] = (8, 7.8, 8.2)
) -> Scatter:
    """Spots with two thresholds (value, low, high)."""
    return Scatter(
        spots=spots, popular=Threshold(value=popular[0], low=popular[1], high=popular[2]),
        earning=Threshold(value=earning[0], low=earning[1], high=earning[2]),
    )  # fmt: skip


def drawn(found: Scatter, wide: float = WIDE, tall: float = TALL) -> Figure:
    """The picture."""
    return scatter_figure(found, wide, tall, MEASURE, cash)


def sound(figure: Figure) -> None:
    """Every text is on the picture and clear of every other, and every shape is on it."""
    assert [(a.text, b and b.text) for a, b in overlaps(figure)] == []
    for shape in figure.shapes:
        left, top, right, bottom = shape.bounds
        assert all(map(math.isfinite, (left, top, right, bottom)))
        assert left >= -0.01
        assert top >= -0.01
        assert right <= figure.wide + 0.01
        assert bottom <= figure.tall + 0.01
    assert figure.said


def outline(area: Area, each: int = 40) -> list[tuple[float, float]]:
    """Points along the curves of an area."""
    out, start = [], area.start
    for one, two, end in area.steps:
        for n in range(each):
            t = n / each
            a, b, c, d = (1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3
            out.append((a * start[0] + b * one[0] + c * two[0] + d * end[0],
                        a * start[1] + b * one[1] + c * two[1] + d * end[1]))  # fmt: skip
        start = end
    return out


def surface(points: list[tuple[float, float]]) -> float:
    """Of a polygon, by the shoelace formula."""
    pairs = zip(points, points[1:] + points[:1], strict=True)
    return abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in pairs)) / 2


def ellipses(figure: Figure) -> list[Area]:
    """Those of drinks; marks are not clipped."""
    return [s for s in figure.shapes if isinstance(s, Area) and s.clip is not None]


def test_the_reach_is_that_of_chi_squared_with_two_degrees_of_freedom() -> None:
    """scipy.stats.chi2: the 0.9 quantile; and -2 ln 0.1, its closed form."""
    assert math.sqrt(chi2.ppf(0.9, 2)) == pytest.approx(SIGMAS, rel=1e-12)
    assert math.sqrt(-2 * math.log(0.1)) == pytest.approx(SIGMAS, rel=1e-15)


@given(st.floats(0.5, 40), st.floats(0.05, 2), st.floats(-0.98, 0.98))
@settings(max_examples=30, deadline=None)
def test_an_ellipse_has_the_area_and_the_outline_of_its_chance(a: float, b: float, r: float) -> None:
    """Area pi k^2 sqrt(det S); on the outline the squared distance by S (Mahalanobis 1936) is the quantile."""
    sxx, sxy, syy = a * a, r * a * b, b * b
    found = scatter(Spot(name="One", sold=100, margin=8, spread=(sxx, sxy, syy)), Spot(name="Two", sold=50, margin=7))
    figure = drawn(found)
    (area,) = ellipses(figure)
    one, two = (((x1 + x2) / 2, (y1 + y2) / 2) for x1, y1, x2, y2 in mark_places(found, WIDE, TALL, MEASURE, cash))
    across, up = (one[0] - two[0]) / 50, (one[1] - two[1]) / 1
    det = sxx * syy - sxy * sxy
    points = outline(area)
    whole = math.pi * chi2.ppf(0.9, 2) * math.sqrt(det) * abs(across * up)
    # forty lines for an eighth of the outline are 4e-5 less than it
    assert surface(points) == pytest.approx(whole, rel=1e-4)
    for x, y in points[::37]:
        dx, dy = (x - one[0]) / across, (y - one[1]) / up
        squared = (syy * dx * dx - 2 * sxy * dx * dy + sxx * dy * dy) / det
        assert squared == pytest.approx(chi2.ppf(0.9, 2), rel=2e-4)


def test_a_rotated_ellipse_leans_the_way_of_its_covariance() -> None:
    rising, falling = (
        ellipses(drawn(scatter(Spot(name="x", sold=100, margin=8, spread=(400.0, sign * 8.0, 0.25)))))[0]
        for sign in (1, -1)
    )
    top = min(outline(rising), key=lambda p: p[1])[0] - min(outline(falling), key=lambda p: p[1])[0]
    assert top > 50.0


WORDS = st.sampled_from(
    ["Fig & walnut", "A name that goes on and on and on for ever and ever", "W" * 40, "ليمون", "", "檸檬"]
)


@st.composite
def scatters(draw: Any) -> Scatter:
    """Any menu of one to sixty drinks."""
    high = draw(st.sampled_from([0.0, 1.0, 30.0, 4000.0]))
    low, top = draw(st.sampled_from([(-3.0, 12.0), (0.0, 0.0), (7.99, 8.01), (-9e5, 9e5)]))
    spots = []
    for _ in range(draw(st.integers(1, 60))):
        a, b, r = draw(st.floats(0, 60)), draw(st.floats(0, 3)), draw(st.floats(-1, 1))
        spread = (a * a, 0.999 * r * a * b, b * b) if draw(st.booleans()) else None
        spots.append(Spot(name=draw(WORDS), sold=float(draw(st.integers(0, int(high)))),
                          margin=draw(st.floats(low, top)), spread=spread, sure=draw(st.booleans())))  # fmt: skip
    q, o = draw(st.floats(0, max(high, 1.0))), draw(st.floats(low, top))
    wide = draw(st.sampled_from([0.0, 0.4]))
    return scatter(*spots, popular=(q, q - wide, q + wide), earning=(o, o - wide, o + wide))


@given(scatters(), st.sampled_from([(320.0, 200.0), (773.0, 420.0)]), st.sampled_from(["en", PSEUDO_RTL]))
@settings(max_examples=20, deadline=None)
def test_any_menu_is_drawn_inside_its_picture_and_no_names_overlap(
    found: Scatter, size: tuple[float, float], tag: str
) -> None:
    with speaking(tag):
        figure = drawn(found, *size)
        sound(figure)
        assert figure == drawn(found, *size)
    marks = [s for s in figure.shapes if isinstance(s, Area | Box) and s.edge != "rule" and s not in ellipses(figure)]
    assert len(marks) == len(found.spots)


@pytest.mark.parametrize("n", [1, 8, 25, 26, 60])
def test_every_drink_of_a_usual_menu_is_named_in_full(n: int) -> None:
    spots = [
        Spot(name=f"Drink {i}", sold=20 + 37 * i % 211, margin=5 + 1.7 * i % 6, spread=(90.0, 0.5, 0.2))
        for i in range(n)
    ]
    figure = drawn(scatter(*spots), 773.0, 420.0)
    sound(figure)
    assert {s.name for s in spots} <= {t.text for t in figure.texts}
    assert "left out" not in " ".join(t.text for t in figure.texts)


def test_equal_drinks_are_named_at_the_end_of_lines() -> None:
    figure = drawn(scatter(*(Spot(name=f"Equal {i}", sold=50, margin=8) for i in range(60))))
    sound(figure)
    assert {f"Equal {i}" for i in range(60)} <= {t.text for t in figure.texts}
    (x, y) = ((a + b) / 2 for a, b in zip(*_ends(figure), strict=True))
    led = [s for s in figure.shapes if isinstance(s, Line) and (s.x1, s.y1) == pytest.approx((x, y))]
    assert len(led) > 45


def _ends(figure: Figure) -> tuple[tuple[float, float], tuple[float, float]]:
    found = scatter(*(Spot(name=f"Equal {i}", sold=50, margin=8) for i in range(60)))
    left, top, right, bottom = mark_places(found, figure.wide, figure.tall, MEASURE, cash)[0]
    return (left, top), (right, bottom)


def test_names_without_room_are_counted() -> None:
    many = scatter(*(Spot(name=f"A drink with quite a name {i}", sold=50, margin=8) for i in range(60)))
    with speaking("en"):
        figure = drawn(many, 320.0, 200.0)
    sound(figure)
    texts = [t.text for t in figure.texts]
    left_out = 60 - sum(text.startswith("A drink") for text in texts)
    assert left_out > 0
    assert any(f"{left_out} names left out" in text for text in texts)


def test_thresholds_are_bands_and_a_sure_one_is_a_line() -> None:
    spots = Spot(name="a", sold=20, margin=6), Spot(name="b", sold=80, margin=10)
    banded = [s for s in drawn(scatter(*spots)).shapes if isinstance(s, Box) and s.fill == "tax"]
    assert len(banded) == 2
    assert min(banded[0].wide, banded[1].tall) > 5.0
    lined = [s for s in drawn(scatter(*spots, popular=(50, 50, 50), earning=(8, 8, 8))).shapes
             if isinstance(s, Line) and s.role == "tax"]  # fmt: skip
    assert [(line.x1 == line.x2, line.y1 == line.y2) for line in lined] == [(True, False), (False, True)]


def test_words_stand_in_the_corners_and_axes_are_named() -> None:
    with speaking("en"):
        figure = drawn(scatter(Spot(name="a", sold=20, margin=6)))
    texts = {t.text: t for t in figure.texts}
    assert texts["sells less, earns more"].y < texts["sells less, earns less"].y
    assert texts["sells more, earns more"].bounds[2] > texts["sells less, earns more"].bounds[2]
    assert "sold in the period" in texts
    assert "margin a drink, after tax" in texts
    assert figure.said == "1 drink."


def test_figures_are_said_as_the_language_has_them() -> None:
    with speaking("de"):
        assert count(1234.5) == "1.234,5"
    assert count(1234.0) == "1,234"
    assert count(-0.0) == "0"


def test_a_table_has_the_same_figures() -> None:
    spot = Spot(name="Fig", sold=120, margin=5.6, spread=(400.0, 0.0, 0.25), sure=False, klass="dog", standing="few")
    with speaking("en"):
        head, one, last = scatter_rows(scatter(spot), cash)
    assert len(head) == len(one) == len(last)
    # 120 and 5.6, with 2.146 times 20 and 0.5 to either side
    assert one == ["Fig", "dog", "few", "120", "5.60", "77.1 to 162.9", "4.53 to 6.67"]
    assert last[3:] == ["50", "8.00", "45 to 55", "7.80 to 8.20"]


def test_what_is_none_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one"):
        drawn(scatter())
    with pytest.raises(ValueError, match="320 by 200"):
        drawn(scatter(Spot(name="a", sold=1, margin=1)), 319.0, 300.0)
    with pytest.raises(ValueError, match="covariance"):
        Spot(name="a", sold=1, margin=1, spread=(1.0, 2.0, 1.0))
    with pytest.raises(ValueError, match="figure that is none"):
        Spot(name="a", sold=math.nan, margin=1)
    with pytest.raises(ValueError, match="does not lie"):
        Threshold(value=1, low=2, high=3)


def test_no_two_of_140_drinks_look_alike() -> None:
    looks = {(type(mark(n, 0, 0)), len(getattr(mark(n, 0, 0), "steps", ())), n % 5, hue_of(n), dash_of(n))
             for n in range(140)}  # fmt: skip
    assert len(looks) == 140
    hollow = mark(3, 0, 0, hollow=True)
    assert not isinstance(hollow, Line | Text)
    assert hollow.fill == "ground"


def test_an_ellipse_of_no_width_is_a_line() -> None:
    flat = ellipse((10.0, 10.0), (5.0, 0.0), (0.0, 0.0))
    assert {round(y, 9) for _, y in flat.points} == {10.0}
    assert flat.bounds[0] == pytest.approx(5.0, abs=0.2)


def test_a_clipped_area_ends_at_its_clip() -> None:
    area = ellipse((10.0, 10.0), (50.0, 0.0), (0.0, 5.0), clip=(0.0, 0.0, 20.0, 20.0))
    assert area.bounds[0] == 0.0
    assert area.bounds[2] == 20.0


@pytest.mark.parametrize("ground", ["#FFFFFF", "#16191C"])
def test_pale_hues_are_deepened_as_little_as_need_be(ground: str) -> None:
    """3:1 of Web Content Accessibility Guidelines 2.2, success criterion 1.4.11; 21:1 is black on white there."""
    ink = "#1F2328" if ground == "#FFFFFF" else "#E9E4DA"
    for role, hue in PALETTE.items():
        found = set_off(hue, ground, ink)
        assert contrast(found, ground) >= 3.0
        assert (found == hue) == (contrast(hue, ground) >= 3.0), role
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21.0)


@given(st.floats(-1e5, 1e5), st.floats(1.0, 1e6), st.booleans())
@settings(max_examples=25)
def test_marks_on_an_axis_are_round_even_and_inside(low: float, room: float, whole: bool) -> None:
    axis = Axis(low=low, high=low + room, start=0.0, end=300.0)
    found = ticks(axis, lambda v: f"{v:,.4f}", room=lambda text: 3.0 * len(text), whole=whole)
    assert len(found) <= 7
    values = [v for v, _ in found]
    assert all(-0.1 <= axis.at(v) <= 300.1 for v in values)
    gaps = {f"{b - a:.3e}"[0] for a, b in pairwise(values)}
    assert gaps <= {"1", "2", "5"}
    assert not whole or all(abs(v - round(v)) < 1e-6 for v in values)


def test_an_axis_holds_its_points_and_most_of_one_wide_reach() -> None:
    low, high = span([10.0, 20.0], [(9.0, 11.0), (19.0, 21.0), (-500.0, 500.0)], from_zero=False)
    assert low < 9.0
    assert 21.0 < high < 30.0
    assert span([0.0], [], from_zero=True)[0] == 0.0
    assert span([95.0, 100.0], [], from_zero=True)[0] > 90.0
    assert span([-2.0, 100.0], [], from_zero=True)[0] < -2.0
