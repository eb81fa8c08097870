"""How sure a cost is, on screen: one job for the whole window, a dot or a ring, and the range on demand."""

from dataclasses import replace
from decimal import Decimal

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from costing.book.book import Book
from costing.book.change import Change
from costing.book.records import LAYERS, BatchLog, Serve
from costing.edits import serves
from costing.ledger import reckon
from costing.pricing import PricedServe
from costing.pricing.doubts import NORMAL_95
from costing.pricing.exposure import exposures
from costing.pricing.ranges import Cause, Range, Ranges, ranges
from costing.pricing.suggest import Candidate
from tests.ui.conftest import DAY
from ui.desk import Desk
from ui.document import Figures
from ui.frame.why_pane import WhyPane
from ui.places.bar import BarPlace
from ui.places.bar.rows import drink_columns, drink_rows
from ui.places.menu.prices import PricesPage
from ui.places.menu.rows import menu_columns, menu_rows
from ui.places.stillroom import StillroomPlace
from ui.places.stillroom.tree import top_rows, tree_columns
from ui.range_why import RangeOf
from ui.ranges import DOT, RING, InDoubt, chance_of, in_doubt, may_cost, range_of, range_tip, range_words, ranges_of
from ui.whys import CostOfServe, UnitCost

DRINK, MOTHER, JUICE = "harbour-light", "walnut-mother", "lime-juice"
Key, Control, Shift = Qt.Key, Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier


def found_of(book: Book) -> Ranges:
    """The ranges of a book, by the core alone."""
    reckoning = reckon(book.on(DAY))
    poured, made = ranges(exposures(reckoning)), ranges(exposures(reckoning, LAYERS))
    return Ranges(serves=poured.serves, made=made.made)


@pytest.fixture(scope="module")
def found(sample: Book) -> Ranges:
    """Those of the sample."""
    return found_of(sample)


@pytest.fixture
def known(desk: Desk, found: Ranges) -> Figures:
    """The figures of the sample, with its ranges."""
    desk.document.figures.ranges = found
    return desk.document.figures


def few(book: Book) -> Figures:
    """The sample with two batches of lime juice."""
    made = [b for b in book.all(BatchLog).values() if b.preparation == JUICE and b.day <= DAY]
    gone = sorted(made, key=lambda b: b.day)[:-2]
    left = book.with_changes([Change("batch", batch.id, batch, None) for batch in gone])
    figures = Figures(left, DAY, 1)
    figures.ranges = found_of(left)
    return figures


def at(figures: Figures, serve: str = DRINK) -> PricedServe:
    """A drink at its first place."""
    return next(p for p in figures.priced if p.serve.id == serve)


def doubtful(figures: Figures, found: Range) -> PricedServe:
    """The drink at a price that its target allows at the low end of the range and not at the high one."""
    priced = at(figures)
    net = Decimal(repr((found.cost + found.high) / 2 / float(priced.policy.value)))
    return replace(priced, price=Candidate(Decimal(1), net, None, Decimal(1)))


def seen(place: QWidget, qtbot: QtBot) -> None:
    qtbot.addWidget(place)
    place.resize(1100, 700)
    with qtbot.waitExposed(place):
        place.show()


def test_one_job_for_every_place(desk: Desk, qtbot: QtBot, found: Ranges) -> None:
    places = (BarPlace(desk), PricesPage(desk), StillroomPlace(desk))
    shared = ranges_of(desk)
    assert ranges_of(desk) is shared
    heard: list[Ranges | None] = []
    shared.known.connect(lambda: heard.append(desk.document.figures.ranges))
    for place in places:
        seen(place, qtbot)
    qtbot.waitUntil(lambda: bool(heard), timeout=20_000)
    assert heard == [found]
    bar, menu, _ = places
    figures = desk.document.figures
    rings = {row.id for row in drink_rows(figures) if row.doubt}
    assert rings
    column = next(n for n, c in enumerate(bar.rows.columns) if c.key == "cost")
    shown = {bar.rows.key(n): str(bar.rows.index(n, column).data()) for n in range(bar.rows.rowCount())}
    assert {ident for ident, text in shown.items() if text[0] in (DOT, RING)} == rings
    lines = {r.line.serve: r for r in menu.rows.rows() if r.line is not None}
    assert {ident for ident, row in lines.items() if row.doubt} == rings & lines.keys()
    # a change takes them away at once, and what was known before is not worked out again
    shared.ask()
    assert len(heard) == 1
    assert desk.do(serves.set_amount(desk.document.book, DRINK, DAY, 0, "~90 ml"))
    assert range_of(desk.document.figures, DRINK) is None
    assert not any(row.doubt for row in bar.rows.rows())


def test_a_dot_for_the_target_and_a_ring_for_a_price_point(known: Figures, desk: Desk) -> None:
    one = range_of(known, DRINK)
    assert one is not None
    assert in_doubt(known, at(known)) == InDoubt(target=False, point=True)
    crossed = doubtful(known, one)
    assert in_doubt(known, crossed) == InDoubt(target=True, point=True)
    assert InDoubt(target=True, point=True).marked("2.44") == f"{DOT} 2.44"
    assert InDoubt(point=True).marked("2.44") == f"{RING} 2.44"
    assert InDoubt().marked("2.44") == "2.44"
    column = next(c for c in drink_columns(desk) if c.key == "cost")
    row = next(r for r in drink_rows(known) if r.id == DRINK)
    assert column.show(row) == f"{RING} 2.44"
    assert column.why is not None
    assert column.why(row) == RangeOf(DRINK)
    assert column.why(replace(row, doubt=InDoubt())) == CostOfServe(DRINK)


def test_the_tip_says_range_chance_and_what_the_target_asks(known: Figures, desk: Desk) -> None:
    form = desk.format
    one = range_of(known, DRINK)
    assert one is not None
    said = range_tip(known, at(known), form).split("\n")
    chance = chance_of(at(known), one)
    assert chance is not None
    assert said == [
        f"It may cost {form.money(one.low)} to {form.money(one.high)}; 90 of 100 drinks do.",
        f"{round(100 * chance)} of 100 drinks miss the target.",
        "The target asks for 17.00 where it costs least and 17.50 where it costs most.",
    ]
    # the same in the list of the menu, where a line is printed
    row = next(r for r in menu_rows(known, known.view.menus["main"]) if r.line is not None and r.line.serve == DRINK)
    column = next(c for c in menu_columns(desk, lambda: DAY) if c.key == "cost")
    assert column.show(row) == f"{RING} 2.44"
    assert column.tip is not None
    assert column.tip(row).split("\n") == said
    assert column.why is not None
    assert column.why(row) == RangeOf(DRINK)
    # nothing varies under bottled water, and nothing is said of it
    assert range_tip(known, at(known, "table-water"), form) == ""


def test_the_price_page_says_it_beside_the_prices(known: Figures, desk: Desk, qtbot: QtBot) -> None:
    bar = BarPlace(desk)
    bar.pages.setCurrentWidget(bar.price)
    seen(bar, qtbot)
    assert bar.price.range.text() == f"{RING} May cost 2.39 to 2.49"
    assert bar.price.range.toolTip() == range_tip(known, at(known), desk.format) == (
        bar.price.range.accessibleDescription()
    )  # fmt: skip
    assert bar.price.steps.figure is not None
    assert any("range of cost" in text.text for text in bar.price.steps.figure.texts)


def test_a_preparation_says_its_range_with_making(known: Figures, desk: Desk, qtbot: QtBot, found: Ranges) -> None:
    form, one = desk.format, found.made["lime-juice"]
    assert one is not None
    row = next(r for r in top_rows(known, drinks=True) if r.id == "lime-juice")
    assert row.cost == pytest.approx(one.cost)  # it is the range of the figure in the cell
    column = next(c for c in tree_columns(desk) if c.key == "cost")
    assert column.tip is not None
    assert column.tip(row) == f"It may cost {range_words(one, form)}; 90 of 100 batches do."
    assert column.tip(next(r for r in top_rows(known, drinks=True) if r.kind == "serve")) == ""
    place = StillroomPlace(desk)
    seen(place, qtbot)
    assert place.tree.choose("lime-juice")
    with qtbot.waitSignal(desk.explained) as told:
        qtbot.keyClick(place.tree.view, Key.Key_R, Control | Shift)
    assert told.args == [RangeOf("lime-juice", "preparation")]
    trail = told.args[0].trail(known, form)
    assert trail.figure == f"{form.unit_money(one.cost, 'l')} ({range_words(one, form)})"
    assert [line.text for line in trail.lines if line.depth] == ["Lime juice: 4 logged batches",
                                                                 "Lime: 10 price changes"]  # fmt: skip
    # and the plain trail of the cost names it too, of a by-product as of a preparation
    for ident in ("lime-juice", "pineapple-distillate/marc"):
        lines = {line.text: line.figure for line in UnitCost(ident).trail(known, form).lines}
        made = found.made[ident]
        assert made is not None
        assert lines["may cost"] == range_words(made, form)


def test_batches_that_were_only_seen_tell_no_deviation(known: Figures, desk: Desk) -> None:
    """Two batches of a thing about which nothing else is doubtful, half a euro to either side of the recipe."""
    form = desk.format
    cause = Cause(key=("preparation", MOTHER), figure="", money=0.5 / NORMAL_95, basis="batches", n=2)
    one = Range(cost=22.5, low=22.0, high=23.0, causes=(cause,), method="seen", middle=22.5, sd=0.0)
    known.ranges = Ranges(serves={DRINK: replace(one, cost=2.5, low=2.0, high=3.0)}, made={MOTHER: one})
    assert may_cost(one, form, "preparation") == "It was seen between 22.00 and 23.00 in 2 batches."
    trail = RangeOf(MOTHER, "preparation").trail(known, form)
    assert trail.figure == "22.50 / L (22.00 to 23.00)"
    lines = {line.text: line.figure for line in trail.lines}
    assert lines["seen in 2 batches, beside the recipe"] == "22.00 to 23.00"
    assert lines["Walnut mother: 2 logged batches"] == "1.000 apart"
    assert not any("90 of 100" in text or "±" in figure for text, figure in lines.items())
    # a drink of it has no chance of missing its target, only ends on either side of it
    drink = range_of(known, DRINK)
    assert drink is not None
    priced = doubtful(known, drink)
    assert in_doubt(known, priced).target
    assert chance_of(priced, drink) is None
    assert range_tip(known, priced, form).split("\n")[:2] == [
        "It was seen between 2.00 and 3.00 in 2 batches.", "Some drinks meet the target and some miss it.",
    ]  # fmt: skip
    said = RangeOf(DRINK).trail(known, form)
    assert not any(line.text.startswith("misses the target") for line in said.lines)


def test_two_batches_among_other_doubts_widen_the_range(sample: Book, desk: Desk) -> None:
    figures, form = few(sample), desk.format
    juice = range_of(figures, JUICE, "preparation")
    assert juice is not None
    assert may_cost(juice, form, "preparation") == (
        f"It may cost {range_words(juice, form)}, with what was seen in 2 batches."
    )
    texts = [line.text for line in RangeOf(JUICE, "preparation").trail(figures, form).lines]
    assert "with what was seen in 2 batches, it may cost" in texts
    assert "fewer than three batches tell no deviation and no chance: the range holds what was seen" in texts


def test_the_why_pane_waits_for_a_range_and_shows_it_when_it_is_known(desk: Desk, qtbot: QtBot) -> None:
    pane = WhyPane(desk)
    seen(pane, qtbot)
    desk.explain(RangeOf(DRINK))
    waiting = pane.trail
    assert waiting is not None
    assert (waiting.figure, waiting.lines) == ("being worked out…", ())
    qtbot.waitUntil(lambda: pane.table.rows.rowCount() > 0, timeout=20_000)
    trail = pane.trail
    assert trail is not None
    assert trail.figure == "2.44 (2.39 to 2.49)"
    lines = {line.text: line.figure for line in trail.lines}
    assert lines["misses the target at 16.50"] == "98 of 100"
    assert lines["the target asks for"] == "17.00 to 17.50"


def test_what_has_no_range_says_so(known: Figures, desk: Desk) -> None:
    trail = RangeOf("table-water").trail(known, desk.format)
    assert trail.figure == "no range can be told"
    name = desk.document.book.all(Serve)["table-water"].name
    assert name in trail.title
    assert RangeOf("nothing").trail(known, desk.format).figure == "no range can be told"
    assert in_doubt(known, None) == InDoubt()
    assert range_tip(known, None, desk.format) == ""
