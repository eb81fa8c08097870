"""The other methods on a published exercise; their formulas are from memory, their arithmetic is checked."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from costing.book.selling import Judging
from costing.menu.figures import ItemRow, read_items
from costing.menu.rivals import Method, after_labour, agreement, goal, goal_value, methods, miller, pavesic, per_hour
from tests.menu.examples import GEORGE, GEORGE_CLASSES

ROWS = read_items(GEORGE)
NAMES = [name for name, *_ in GEORGE]
AS_SHIPPED = Judging()


def cells(method: Method | None) -> list[str]:
    """The words of a method, row by row."""
    assert method is not None
    return [cell.cell if cell else "" for cell in method.cells]


def test_pavesic_on_example_b() -> None:
    # Pavesic 1983 by memory on Dittmer and Keefe's exercise: cuts 32.133 % and 884.47
    found = pavesic(ROWS, AS_SHIPPED)
    assert cells(found) == ["standard", "sleeper", "problem", "prime", "prime", "sleeper", "standard", "problem"]
    assert found is not None
    assert [f"{100 * found.cuts[0]:.3f}", f"{found.cuts[1]:.2f}"] == ["32.133", "884.47"]
    scallops, haddock = found.cells[3], found.cells[4]
    assert scallops is not None
    assert haddock is not None
    assert (f"{100 * (scallops.figures[0] or 0):.1f}", scallops.figures[1]) == ("31.9", 1159.20)
    assert (f"{100 * (haddock.figures[0] or 0):.1f}", haddock.figures[1]) == ("28.8", 947.75)
    assert (GEORGE_CLASSES[7], cells(found)[7]) == ("star", "problem")  # veal: two methods, two verdicts


def test_miller_on_example_b() -> None:
    # Miller 1980 by memory; the cuts are the set's cost share and its mean of 78.6 sold
    found = miller(ROWS, AS_SHIPPED)
    assert cells(found) == ["loser", "winner", "loser", "winner", "winner", "winner", "loser", "loser"]
    spread = [("cheap", 90, 1, 10), ("slow", 10, 1, 10), ("dear", 90, 6, 10), ("last", 10, 6, 10)]
    assert cells(miller(read_items(spread), AS_SHIPPED)) == ["winner", "cheap slow", "costly seller", "loser"]


def test_goal_value_by_its_printed_check() -> None:
    # Hayes and Huffman 1985 by memory: 35 %, 100 sold, 16.55, variable 30 %: 0.65 x 100 x 16.55 x 0.35 = 376.5
    value = goal_value(Fraction("0.35"), Fraction(100), Fraction("16.55"), Fraction("0.3"))
    assert f"{float(value):.1f}" == "376.5"


def test_goal_value_on_example_b() -> None:
    # variable 30 % is invented; target and values recomputed
    found = goal(ROWS, AS_SHIPPED)
    assert found is not None
    assert f"{found.cuts[0]:.1f}" == "334.9"
    values = [f"{cell.figures[0]:.1f}" for cell in found.cells if cell]
    assert values == ["322.3", "313.9", "261.4", "441.7", "390.9", "372.6", "307.0", "281.3"]
    assert cells(found) == ["below", "below", "below", "above", "above", "above", "below", "below"]
    assert [cell.rank for cell in found.cells if cell] == [4, 5, 8, 1, 2, 3, 6, 7]


def test_two_losses_do_not_multiply_into_a_goal_reached() -> None:
    rows = read_items([("fine", 50, 2, 10), ("loses", 500, 30, 10), ("thin", 20, 9, 10)])
    assert goal(rows, AS_SHIPPED) is None  # as a whole it spends more than it brings
    found = goal(read_items([("fine", 500, 2, 10), ("loses", 20, 30, 10), ("thin", 20, 9, 10)]), AS_SHIPPED)
    assert cells(found) == ["above", "below", "below"]
    assert found is not None
    assert found.cells[1] is not None
    assert found.cells[1].figures == (None,)


def test_margin_after_labour() -> None:
    # CM less minutes at a rate (LeBruto, Quain and Ashley 1995, by memory): labour can turn star and plowhorse round
    rows = read_items([("worked", 100, 2, 12), ("poured", 100, 2, 10), ("plain", 100, 2, 9)])
    assert cells(after_labour(rows, [0, 0, 0], AS_SHIPPED)) == ["star", "plowhorse", "plowhorse"]
    after = after_labour(rows, [4.0, 0.5, 0.25], AS_SHIPPED)
    assert cells(after) == ["plowhorse", "star", "star"]
    assert after is not None
    assert [cell.figures[1] for cell in after.cells if cell] == [6.0, 7.5, 6.75]
    with pytest.raises(ValueError, match="do not fit"):
        after_labour(rows, [1.0], AS_SHIPPED)


def test_margin_an_hour_as_published() -> None:
    # OpenStax, Principles of Accounting vol. 2 (constraint): CM 185/55/48, hours 1/.5/.25: 185, 110 and 192 an hour
    rows = read_items([("desk", 60, 0, 185), ("chair", 48, 0, 55), ("bookcase", 40, 0, 48)])
    found = per_hour(rows, [1, 0.5, 0.25], AS_SHIPPED)
    assert found is not None
    assert [cell.figures[0] for cell in found.cells if cell] == [185, 110, 192]
    assert [cell.rank for cell in found.cells if cell] == [2, 3, 1]


def test_margin_an_hour_of_the_still_turns_the_order_round() -> None:
    # house example, invented: margins 14/11/9.5/15, still minutes 3/0.5/0/6: 280, 1 320, any and 150 an hour
    rows = read_items([("a", 500, 0, 14), ("b", 400, 0, 11), ("c", 600, 0, 9.5), ("d", 300, 0, 15)])
    found = per_hour(rows, [Fraction(3, 60), Fraction(1, 120), 0, 0.1], AS_SHIPPED)
    assert found is not None
    assert [cell.figures[0] for cell in found.cells if cell] == [280, 1320, None, 150]
    assert cells(found) == ["high", "high", "free", "low"]
    assert per_hour(rows, [0, 0, 0, 0], AS_SHIPPED) is None
    with pytest.raises(ValueError, match="0 or more"):
        per_hour(rows, [1, -1, 0, 0], AS_SHIPPED)


def test_agreement_on_example_b() -> None:
    found = {a.name: a for a in agreement(NAMES, methods(GEORGE))}
    assert {name: found[name].cells["class"].cell for name in NAMES} == dict(zip(NAMES, GEORGE_CLASSES, strict=True))
    assert (found["scallops"].reading, found["scallops"].same, found["scallops"].of) == ("keep", 4, 4)
    assert (found["haddock"].reading, found["haddock"].same) == ("keep", 3)
    assert (found["veal"].reading, found["veal"].same) == ("question", 2)  # a star of the first method
    assert found["turkey"].reading is None  # two say keep, two say lift


def test_methods_leave_out_what_is_not_counted() -> None:
    rows: list[ItemRow] = [*GEORGE, ("never", 0, 1, 9)]
    judging = replace(AS_SHIPPED, unsold="left out", cut=Decimal("0.7"))
    for method in methods(rows, judging, labour=[0.5] * 9, hours=[0.1] * 9):
        assert method.cells[-1] is None
        assert len(method.cells) == 9
    assert [m.cells[:8] for m in methods(rows, judging)] == [m.cells for m in methods(GEORGE)]
    assert agreement(["never"], [Method(code="class", cells=(None,), cuts=())])[0].of == 0


def test_nothing_sold_or_nothing_paid_says_nothing() -> None:
    assert methods([("a", 0, 1, 5), ("b", 0, 2, 6)]) == ()
    assert [m.code for m in methods([("a", 5, 1, 0), ("b", 5, 2, 0)])] == ["class"]
