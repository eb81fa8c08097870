"""The range of a drink's cost, against published figures and against draws that run the whole ledger."""

import random
from dataclasses import replace
from datetime import date
from decimal import Decimal
from math import exp, sqrt

import pytest

from costing.book.book import Book
from costing.book.change import Change, put
from costing.book.fact import Fact, parse_fact
from costing.book.records import (
    BatchLog,
    Good,
    House,
    Input,
    Layer,
    LoggedStage,
    Preparation,
    Quote,
    Serve,
    ServeVersion,
    Stage,
    Terms,
    Version,
    YieldTest,
)
from costing.edits.trials import write_mean
from costing.ledger import Reckoning, reckon
from costing.paths import sample_book
from costing.pricing.doubts import facts_in, moved_fact, next_one, sd_of, under
from costing.pricing.ranges import interval
from costing.store import read_json
from tests.pricing.one_drink import spread

DAY = date(2026, 1, 1)
MATERIALS: tuple[Layer, ...] = ("materials",)


def kitchen(*, trim: str = "~10 %", bottle: str = "~80 %", last: str = "~85 %", line: str = "0.05 kg",
            spill: str = "") -> Book:  # fmt: skip
    """Three preparations, each one stage that keeps a share, and a drink of the last: 40.00 buys 1 kg."""

    def made(ident: str, source: str, kind: str, name: str, text: str) -> Preparation:
        stage = Stage(id="a", kind=kind, adds=(Input(source=source, amount=parse_fact("1 kg")),),
                      facts=((name, parse_fact(text)),))  # fmt: skip
        return Preparation(id=ident, name=ident, base="kg", versions=(Version(since=DAY, stages=(stage,)),))

    item = Input(source="third", amount=parse_fact(line), spill=parse_fact(spill) if spill else None)
    records = (
        House(id="house", name="House", currency="EUR", terms=(Terms(since=DAY),)),
        Good(id="pear", name="Pear", kind="fruit", base="kg",
             makeup=(("water", parse_fact("84 %")), ("solubles", parse_fact("12 %")))),
        Quote(id="q", good="pear", supplier="s", content=parse_fact("1 kg"), price=Decimal("40.00"), currency="EUR",
              since=DAY),
        made("first", "pear", "trim", "refuse", trim),
        made("second", "first", "cut", "keep", bottle),
        made("third", "second", "cut", "keep", last),
        Serve(id="drink", name="Drink", versions=(
            ServeVersion(since=DAY, build=Stage(id="build", kind="build", adds=(item,))),)),
    )  # fmt: skip
    return Book().with_changes([put_of(record) for record in records])


def put_of(record: object) -> Change:
    """The change that puts a record into an empty book."""
    from costing.book.records import KIND_OF

    return put(KIND_OF[type(record)], record)  # type: ignore[index, arg-type]


def looked_at(book: Book) -> Reckoning:
    """Its figures of the day."""
    return reckon(book.on(DAY))


def test_the_interval_is_the_published_one() -> None:
    # worked example: yields .90 +- .03, .80 +- .06, .85 +- .04 of 40.00, a serve of .05: lognormal 2.80 to 3.82
    cost = 40.0 * 0.05 / (0.9 * 0.8 * 0.85)
    sd = cost * sqrt((0.03 / 0.9) ** 2 + (0.06 / 0.8) ** 2 + (0.04 / 0.85) ** 2)
    low, high = interval(cost, sd)
    assert (round(low, 2), round(high, 2)) == (2.80, 3.82)
    with pytest.raises(ValueError, match="above 0"):
        interval(0.0, 1.0)


def test_the_next_of_five_batches_is_students_interval() -> None:
    # the prediction interval of Student, mean +- t s sqrt(1 + 1/n); t of 4 degrees at 95 % one-sided is 2.132
    yields = [0.82, 0.79, 0.85, 0.80, 0.76]
    mean = sum(yields) / 5
    s = sqrt(sum((y - mean) ** 2 for y in yields) / 4)
    assert 1.6449 * next_one(s, 5) == pytest.approx(2.132 * s * sqrt(1.2), rel=1e-12)
    with pytest.raises(ValueError, match="at least 3"):
        next_one(s, 2)


@pytest.mark.parametrize(
    ("text", "sd"),
    [("~80 %", 2.0), ("~10 %", 1.0), ("~45 ml", 4.5), ("~1.2", 0.12), ("~-10 C", 0.0), ("~120 %", 12.0)],
)
def test_an_assumed_figure_is_known_to_a_tenth_of_itself_or_of_what_a_share_lacks(text: str, sd: float) -> None:
    assert sd_of(parse_fact(text)) == pytest.approx(sd)


def test_assumed_shares_in_a_row_add_up_as_squares() -> None:
    found = spread(looked_at(kitchen()), "drink", MATERIALS)
    assert found is not None
    assert found.cost == pytest.approx(40.0 * 0.05 / (0.9 * 0.8 * 0.85))
    relative = sqrt((0.01 / 0.9) ** 2 + (0.02 / 0.8) ** 2 + (0.015 / 0.85) ** 2)
    low, high = interval(found.cost, found.cost * relative)
    assert found.low == pytest.approx(low, rel=1e-4)
    assert found.high == pytest.approx(high, rel=1e-4)
    assert [c.key[1] for c in found.causes] == ["second", "third", "first"]
    assert found.assumed
    assert found.crosses(found.cost * 1.01)
    assert not found.crosses(found.high * 1.01)


def test_the_range_is_what_draws_through_the_ledger_give() -> None:
    """An independent way: 1,200 kitchens, each with its figures drawn anew and reckoned whole."""
    book = kitchen(spill="~4 %", line="~0.05 kg")
    found = spread(looked_at(book), "drink", MATERIALS)
    assert found is not None
    draw = random.Random(4711)
    costs = []
    for _ in range(1200):
        keeps = [draw.gauss(m, s) for m, s in ((90.0, 1.0), (80.0, 2.0), (85.0, 1.5))]
        one = kitchen(
            trim=f"{100.0 - keeps[0]:.6f} %",
            bottle=f"{keeps[1]:.6f} %",
            last=f"{keeps[2]:.6f} %",
            line=f"{draw.gauss(0.05, 0.005):.9f} kg",
            spill=f"{max(0.0, draw.gauss(4.0, 0.4)):.6f} %",
        )
        costs.append(looked_at(one).serve_cost("drink").materials)
    costs.sort()
    drawn = costs[59], costs[1139]
    width = found.high - found.low
    # 1,200 draws know their own 5 % points to about 4 % of the width (binomial); first order adds less than that
    assert drawn[0] == pytest.approx(found.low, abs=0.08 * width)
    assert drawn[1] == pytest.approx(found.high, abs=0.08 * width)


def test_what_was_measured_once_has_no_spread_that_can_be_told() -> None:
    assert spread(looked_at(kitchen(trim="10 %", bottle="80 %", last="85 %")), "drink", MATERIALS) is None


def test_no_range_without_a_price_and_draws_beyond_first_order() -> None:
    book = kitchen()
    unpriced = book.with_changes([Change("quote", "q", book.get("quote", "q"), None)])
    assert spread(looked_at(unpriced), "drink", MATERIALS) is None
    wide = spread(looked_at(book), "drink", MATERIALS, assumed=0.9)
    assert wide is not None
    assert wide.method == "simulation"
    assert 0.0 < wide.low < wide.cost < wide.high
    assert spread(looked_at(book), "nothing", MATERIALS) is None
    assert spread(looked_at(book), "drink", ("labour",)) is None


def test_yield_tests_give_a_stage_its_own_spread() -> None:
    kept = ("0.92 kg", "0.89 kg", "0.88 kg", "0.91 kg")
    tests = [
        YieldTest(id=f"t{n}", good="pear", day=DAY, gross=parse_fact("1 kg"), kept=parse_fact(text), part="flesh")
        for n, text in enumerate(kept)
    ]
    book = kitchen(bottle="80 %", last="85 %").with_changes([put_of(t) for t in tests])
    book = book.with_changes(write_mean(book, "pear", "flesh", "first", "a", DAY).changes)
    found = spread(looked_at(book), "drink", MATERIALS)
    assert found is not None
    (cause,) = found.causes
    assert (cause.basis, cause.n, cause.figure, found.assumed) == ("tests", 4, "refuse", False)
    mean, values = 0.90, (0.92, 0.89, 0.88, 0.91)
    s = sqrt(sum((v - mean) ** 2 for v in values) / 3)
    assert cause.money == pytest.approx(found.cost * next_one(s, 4) / mean, rel=2e-3)
    # the same figure with two tests alone is not a spread
    fewer = book.with_changes([Change("yieldtest", t.id, t, None) for t in tests[2:]])
    assert spread(looked_at(fewer), "drink", MATERIALS) is None


def test_three_logged_batches_stand_in_the_place_of_the_doubts_about_a_preparation() -> None:
    book = kitchen()
    weights = (0.80, 0.74, 0.83)
    logs = [
        BatchLog(id=f"b{n}", preparation="second", day=DAY, stages=(
            LoggedStage(stage="a", readings=(("out.mass", parse_fact(f"{w} kg")),)),))
        for n, w in enumerate(weights)
    ]  # fmt: skip
    found = spread(looked_at(book.with_changes([put_of(log) for log in logs])), "drink", MATERIALS)
    assert found is not None
    (cause,) = [c for c in found.causes if c.key == ("preparation", "second")]
    assert (cause.basis, cause.n, cause.figure) == ("batches", 3, "")
    from math import log as ln

    logs_of = [ln(1 / w) for w in weights]
    middle = sum(logs_of) / 3
    s = sqrt(sum((x - middle) ** 2 for x in logs_of) / 2)
    assert cause.money == pytest.approx(found.cost * next_one(s, 3), rel=1e-6)
    failed = [replace(log, state="failed") for log in logs]
    without = spread(looked_at(book.with_changes([put_of(log) for log in failed])), "drink", MATERIALS)
    assert without == spread(looked_at(book), "drink", MATERIALS)


def test_the_same_book_gives_the_same_range() -> None:
    assert spread(looked_at(kitchen()), "drink", MATERIALS) == spread(looked_at(kitchen()), "drink", MATERIALS)


def test_a_fact_deep_inside_a_record_is_found_and_moved() -> None:
    made = kitchen().get("preparation", "second")
    (path,) = [p for p, fact in facts_in(made) if fact.mark == "assumed"]
    after = moved_fact(made, path, Decimal("79"))
    assert [fact.value for p, fact in facts_in(after) if p == path] == [Decimal("79")]
    assert moved_fact(after, path, Decimal("80")) == made
    assert moved_fact(Fact(text="1", value=Decimal(1)), (), Decimal(2)).value == 2


def test_what_is_under_a_drink_costs_it_as_the_whole_book_does() -> None:
    whole = reckon(read_json(sample_book()).on(date(2026, 11, 1)))
    for serve in ("harbour-light", "second-tide", "quay-walnut", "breakwater-punch"):
        small = reckon(under(whole.view, serve).on(whole.view.day))
        assert small.serve_cost(serve) == whole.serve_cost(serve)
        found = spread(whole, serve, MATERIALS)
        assert found is not None
        assert found.low < found.cost < found.high
        assert found.high < exp(1.6449 * 0.2) * found.cost
