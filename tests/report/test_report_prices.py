"""The price history as a picture: inside its room, a mark of its own for every seller, and the same in words."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.report.figures.prices import MOST, Asked, Seller, prices_figure
from costing.report.figures.shapes import Box, Figure, Line
from costing.tongue import speaking

TODAY = date(2026, 11, 1)


def measure(text: str, size: float, bold: bool = False) -> float:
    """Letters half as wide as they are tall."""
    return len(text) * size * 0.5


def figure(sellers: list[Seller], today: date = TODAY, wide: float = 420.0, tall: float = 200.0) -> Figure:
    """The picture of some sellers."""
    return prices_figure(sellers, today, wide, tall, measure, lambda v: f"{v:.2f}", "kg")


def test_the_steps_hold_from_their_day_to_the_next() -> None:
    asked = (Asked(date(2026, 1, 1), 2.0), Asked(date(2026, 6, 1), 3.0))
    drawn = figure([Seller("Tide Market", asked, costs=True)])
    flat = [s for s in drawn.shapes if isinstance(s, Line) and s.y1 == s.y2 and s.role.startswith("series")]
    assert len(flat) == 2
    assert flat[0].x2 == flat[1].x1
    assert flat[0].y1 > flat[1].y1


def test_it_says_what_is_asked_on_the_day_and_what_is_to_come() -> None:
    with speaking("en"):
        said = figure(
            [
                Seller("Tide Market", (Asked(date(2026, 1, 1), 2.0), Asked(date(2026, 12, 1), 3.0)), costs=True),
                Seller("Late Boat", (Asked(date(2026, 11, 9), 4.0),)),
                Seller("Old Quay", (Asked(date(2026, 1, 1), 5.0, date(2026, 3, 1)),)),
            ]
        ).said
    assert "Tide Market asks 2.00 since 2026-01-01." in said
    assert "Late Boat asks 4.00 from 2026-11-09 on." in said
    assert "Old Quay asked 5.00 until 2026-03-01." in said


def test_a_price_that_ended_is_not_drawn_on() -> None:
    ended = figure([Seller("Old Quay", (Asked(date(2026, 1, 1), 5.0, date(2026, 3, 1)),))])
    going = figure([Seller("Old Quay", (Asked(date(2026, 1, 1), 5.0),))])
    right = [max(s.x2 for s in f.shapes if isinstance(s, Line) and s.role.startswith("series")) for f in (ended, going)]
    assert right[0] < right[1]


def test_nothing_to_draw_and_no_room_are_refused() -> None:
    with pytest.raises(ValueError, match="sellers"):
        figure([Seller("Nobody", ())])
    with pytest.raises(ValueError, match="points"):
        figure([Seller("Tide Market", (Asked(TODAY, 1.0),))], wide=200.0)


ASKED = st.lists(
    st.builds(Asked, st.dates(date(2024, 1, 1), date(2027, 12, 31)), st.floats(0.0, 9_999.0)), min_size=1, max_size=8
)


@given(st.lists(ASKED, min_size=1, max_size=7), st.dates(date(2023, 1, 1), date(2028, 1, 1)))
def test_every_line_lies_inside(many: list[list[Asked]], today: date) -> None:
    sellers = [Seller(f"Seller {n}", tuple(sorted(a, key=lambda x: x.since)), n == 0) for n, a in enumerate(many)]
    drawn = figure(sellers, today)
    for shape in drawn.shapes:
        if isinstance(shape, Line):
            assert 0.0 <= min(shape.x1, shape.x2) <= max(shape.x1, shape.x2) <= drawn.wide
            assert 0.0 <= min(shape.y1, shape.y2) <= max(shape.y1, shape.y2) <= drawn.tall
        if isinstance(shape, Box):
            assert 0.0 <= shape.x <= shape.x + shape.wide <= drawn.wide
    assert drawn.said.count("Seller") == min(MOST, len(sellers))
