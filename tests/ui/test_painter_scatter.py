"""Ellipses on screen and page: clipped, dashed, sheer, and alike by both painters in every theme."""

import pytest
from PySide6.QtGui import QColor

from costing.report.figures.marks import ellipse
from costing.report.figures.scatter import Scatter, Spot, Threshold, scatter_figure
from costing.report.figures.shapes import Box, Dash, Figure
from tests.ui.colour_maths import contrast
from tests.ui.test_painter import PAPER, SCALE, _cells, _font, _painted, _printed
from ui.painters import measure_qt
from ui.painters.painter_qt import outline_of
from ui.theme import NAMES, theme_named
from ui.theme.roles import ThemeName


def _menu() -> Figure:
    spots = tuple(
        Spot(name=f"Drink {n}", sold=90.0 * n, margin=5.0 + n % 4, spread=(900.0, 3.0 * (-1) ** n, 0.3), sure=n % 3 > 0)
        for n in range(9)
    )
    found = Scatter(
        spots=spots, popular=Threshold(value=300, low=260, high=340), earning=Threshold(value=6.4, low=6.2, high=6.6)
    )
    return scatter_figure(found, 480.0, 300.0, measure_qt(_font()), "{:.2f}".format)


def test_screen_and_page_show_the_same_scatter(qapp: object) -> None:
    figure = _menu()
    shown, printed = _painted(figure, PAPER), _printed(figure)
    pairs = list(zip(_cells(shown), _cells(printed), strict=True))
    apart = [max(abs(a - b) for a, b in zip(one, other, strict=True)) for one, other in pairs]
    assert sum(1 for d in apart if d > 60) <= len(apart) * 0.01
    assert sum(apart) / len(apart) < 6.0


def _sheer(dash: Dash = ()) -> Figure:
    return Figure(wide=60, tall=40, shapes=(
        Box(x=0, y=0, wide=30, tall=40, fill="ink"),
        ellipse((30.0, 20.0), (40.0, 0.0), (0.0, 15.0), fill="series-1", edge="series-1", opacity=0.5, dash=dash,
                weight=2.0, clip=(10.0, 0.0, 50.0, 40.0)),
    ))  # fmt: skip


def test_an_ellipse_ends_at_its_clip_and_lets_what_is_under_it_show(qapp: object) -> None:
    for image in (_painted(_sheer(), PAPER), _printed(_sheer())):
        outside, over_ink, over_ground = (image.pixelColor(x * SCALE, 20 * SCALE) for x in (5, 20, 40))
        assert outside.name().upper() == PAPER["ink"]
        assert image.pixelColor(55 * SCALE, 20 * SCALE).name() == "#ffffff"
        for found, under in ((over_ink, QColor(PAPER["ink"])), (over_ground, QColor("#FFFFFF"))):
            top = QColor(PAPER["series-1"])
            assert abs(found.red() - (top.red() + under.red()) / 2) <= 2
            assert abs(found.blue() - (top.blue() + under.blue()) / 2) <= 2


def test_a_dash_breaks_an_edge(qapp: object) -> None:
    def inked(figure: Figure) -> int:
        image = _painted(figure, PAPER, 4)
        hue = QColor(PAPER["series-1"])
        return sum(
            image.pixelColor(x, y) == hue for x in range(120, 200) for y in range(image.height())
        )  # fmt: skip

    whole, broken = inked(_sheer()), inked(_sheer((3.0, 3.0)))
    assert 0.3 * whole < broken < 0.7 * whole


@pytest.mark.parametrize("name", NAMES)
def test_edges_of_series_stand_out_from_the_ground(name: ThemeName, qapp: object) -> None:
    """3:1 of Web Content Accessibility Guidelines 2.2, success criterion 1.4.11."""
    palette = theme_named(name).figure
    for n in range(1, 8):
        edge = outline_of(ellipse((0, 0), (1, 0), (0, 1), edge=f"series-{n}"), palette)  # type: ignore[arg-type]
        assert edge is not None
        assert contrast(edge.name(), palette["ground"]) >= 2.99
