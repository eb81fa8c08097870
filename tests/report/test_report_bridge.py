"""The bridge as data: steps that add up, falls that are hatched, and a scale that says where it does not begin at 0."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from costing.report.figures import Box, Figure, Line, overlaps
from costing.report.figures.bridge import Bridge, BridgeStep, bridge_figure, bridge_rows, signed
from costing.report.figures.painter_pdf import measure_with
from costing.report.figures.tornado import tornado_figure
from costing.report.pdf_page import Ink
from costing.tongue import PSEUDO_RTL, speaking

MEASURE = measure_with(Ink())
SPRING = {"volume": 546.0, "mix": 70.0, "price": 315.0, "cost": -119.0}


def cash(value: float) -> str:
    """Money with two places."""
    return f"{value:,.2f}"


def bridge(start: float, *amounts: float) -> Bridge:
    """Steps named by number, to where they lead."""
    steps = tuple(BridgeStep(name=f"step {n}", amount=a) for n, a in enumerate(amounts))
    end = BridgeStep(name="after", amount=math.fsum((start, *amounts)))
    return Bridge(start=BridgeStep(name="before", amount=start), steps=steps, end=end)


def drawn(found: Bridge, wide: float = 520.0) -> Figure:
    """The picture."""
    return bridge_figure(found, wide, MEASURE, cash)


def bars(figure: Figure) -> list[Box]:
    """The bars of start, steps and end."""
    return [s for s in figure.shapes if isinstance(s, Box)]


def sound(figure: Figure) -> None:
    """No text over another, and everything on the picture."""
    assert [(a.text, b and b.text) for a, b in overlaps(figure)] == []
    for shape in figure.shapes:
        left, top, right, bottom = shape.bounds
        assert left >= -0.01
        assert top >= -0.01
        assert right <= figure.wide + 0.01
        assert bottom <= figure.tall + 0.01
    assert figure.said


def worked() -> Bridge:
    """Margin of two periods of three drinks: sold 400, 300, 300 and 350, 420, 280; net prices 14, 16, 13 and 14.5, 16,
    13.5; costs 3.2, 4.6, 2.4 and 3.5, 4.5, 2.6. 10,920 becomes 11,732 (invented figures, reckoned by hand)."""
    q0, p0, c0 = (400, 300, 300), (14, 16, 13), (3.2, 4.6, 2.4)
    q1, p1, c1 = (350, 420, 280), (14.5, 16, 13.5), (3.5, 4.5, 2.6)
    before = sum(q * (p - c) for q, p, c in zip(q0, p0, c0, strict=True))
    after = sum(q * (p - c) for q, p, c in zip(q1, p1, c1, strict=True))
    volume = (sum(q1) - sum(q0)) * before / sum(q0)
    mix = sum(q1) * sum((a / sum(q1) - b / sum(q0)) * (p - c) for a, b, p, c in zip(q1, q0, p0, c0, strict=True))
    price = sum(q * (b - a) for q, a, b in zip(q1, p0, p1, strict=True))
    cost = -sum(q * (b - a) for q, a, b in zip(q1, c0, c1, strict=True))
    found = {"volume": volume, "mix": mix, "price": price, "cost": cost}
    assert found == pytest.approx(SPRING)
    steps = tuple(BridgeStep(name=code, amount=amount) for code, amount in found.items())
    return Bridge(
        start=BridgeStep(name="spring", amount=before), steps=steps, end=BridgeStep(name="summer", amount=after)
    )


def test_a_worked_example_is_drawn_with_its_signs() -> None:
    with speaking("en"):
        figure = drawn(worked())
    texts = [t.text for t in figure.texts]
    figures = [t for t in texts if t[-3:-2] == "."]
    assert figures == ["10,920.00", "+546.00", "+70.00", "+315.00", "−119.00", "11,732.00"]
    assert [b.hatch for b in bars(figure)] == [False, False, False, False, True, False]
    assert "do not begin at 0" in texts[-1]
    assert figure.said.startswith("From spring 10,920.00 to summer 11,732.00: volume +546.00")
    sound(figure)


def test_bars_are_as_long_as_what_they_stand_for_and_follow_each_other() -> None:
    figure = drawn(worked())
    start, *steps, end = bars(figure)
    scale = steps[0].wide / 546.0
    assert [b.wide / scale for b in steps] == pytest.approx([546.0, 70.0, 315.0, 119.0])
    assert start.x + start.wide == pytest.approx(steps[0].x)
    assert steps[3].x == pytest.approx(end.x + end.wide)


def test_a_scale_that_begins_at_0_has_no_gap() -> None:
    figure = drawn(bridge(0.0, 500.0, -200.0))
    assert "0" not in [t.text for t in figure.texts][-1]
    start, _, _, end = bars(figure)
    assert start.wide < 1.0
    assert end.wide == pytest.approx(0.6 * bars(figure)[1].wide)
    crossing = drawn(bridge(-200.0, 500.0, -450.0))
    zero = next(s for s in crossing.shapes if isinstance(s, Line))
    assert bars(crossing)[0].x + bars(crossing)[0].wide == pytest.approx(zero.x1)


AMOUNT = st.floats(-1e7, 1e7) | st.sampled_from([0.0, 1e-9, 0.01, -3.0])


@given(AMOUNT, st.lists(AMOUNT, max_size=7), st.sampled_from([300.0, 520.0]), st.sampled_from(["en", PSEUDO_RTL]))
@settings(max_examples=50, deadline=None)
def test_any_bridge_adds_up_and_is_drawn_inside_its_picture(
    start: float, amounts: list[float], wide: float, tag: str
) -> None:
    with speaking(tag):
        found = bridge(start, *amounts)
        figure = drawn(found, wide)
        sound(figure)
        assert figure == drawn(found, wide)
        rows = bridge_rows(found, cash)
    assert found.levels[-1] == pytest.approx(found.end.amount, rel=1e-9, abs=1e-6)
    assert len(rows) == len(amounts) + 3
    assert [b.hatch for b in bars(figure)][1:-1] == [
        a < b for b, a in zip(found.levels, found.levels[1:], strict=False)
    ]


def test_steps_that_do_not_lead_to_the_end_are_refused() -> None:
    one, two = BridgeStep(name="a", amount=100.0), BridgeStep(name="b", amount=111.0)
    with pytest.raises(ValueError, match=r"lead to 110.0 and not to 111"):
        Bridge(start=one, steps=(BridgeStep(name="x", amount=10.0),), end=two)
    with pytest.raises(ValueError, match="figure that is none"):
        Bridge(start=one, steps=(BridgeStep(name="x", amount=math.inf),), end=two)
    with pytest.raises(ValueError, match="at least 300"):
        drawn(worked(), 299.0)


def test_a_table_has_the_same_figures_and_points_are_said_as_points() -> None:
    with speaking("en"):
        walk = bridge(0.2364, 0.0077, -0.0049)
        rows = bridge_rows(walk, lambda v: f"{100 * v:.2f} %", moved=lambda v: f"{100 * v:.2f} points")
    assert rows[0] == ["", "Change", "Level after it"]
    assert rows[1:] == [["before", "", "23.64 %"], ["step 0", "+0.77 points", "24.41 %"],
                        ["step 1", "−0.49 points", "23.92 %"], ["after", "", "23.92 %"]]  # fmt: skip


def test_what_is_printed_as_nothing_has_no_sign() -> None:
    assert [signed(v, cash) for v in (0.0, -0.0, -0.001, 0.004, -0.01, 2.0)] == [
        "0.00", "0.00", "0.00", "0.00", "−0.01", "+2.00",
    ]  # fmt: skip


def test_a_tornado_of_a_period_has_room_for_its_money_and_says_what_it_is_of() -> None:
    shares = [("Rum", 8_124_567.5), ("Lime", 345_678.9), ("Sugar", 12.0)]
    with speaking("en"):
        period = tornado_figure(shares, 314.0, MEASURE, cash, of="period")
        drink = tornado_figure([("Rum", 1.2)], 314.0, MEASURE, cash)
    sound(period)
    assert "+812,456.75" in [t.text for t in period.texts]
    assert "drinks of the period" in period.texts[-1].text
    assert period.said == "Rum moves the cost of the period most."
    assert "one drink" in drink.texts[-1].text
    wide = max(b.wide for b in bars(tornado_figure([("Rum", 1.2)], 314.0, MEASURE, cash)))
    assert wide == pytest.approx(314.0 - 122.0 - 62.0)
