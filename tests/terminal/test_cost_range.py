"""``cost --item`` says how sure a cost is, in words and as JSON: the figures of the core, in the layers it names."""

import json
import shlex
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from costing.__main__ import main
from costing.book.book import Book
from costing.book.change import Change
from costing.book.records import LAYERS, BatchLog
from costing.ledger import Reckoning, reckon
from costing.paths import sample_book
from costing.pricing import priced_serves
from costing.pricing.doubts import NORMAL_95
from costing.pricing.exposure import exposures
from costing.pricing.ranges import Cause, Range, allowed, chance_missed, ranges
from costing.store import read_json
from costing.terminal.rangepage import CostRange

Call = Callable[[str], str]
DAY = date(2026, 11, 1)


@pytest.fixture(scope="module")
def sample() -> Book:
    return read_json(sample_book())


@pytest.fixture(scope="module")
def looked(sample: Book) -> Reckoning:
    return reckon(sample.on(DAY))


@pytest.fixture(scope="module")
def bar(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample bar in a file."""
    path = tmp_path_factory.mktemp("ranges") / "bar.stillroom"
    main(["new", str(path), "--sample"])
    return path


@pytest.fixture
def cost(bar: Path, capsys: pytest.CaptureFixture[str]) -> Call:
    """Runs ``cost`` on the bar; what it printed."""

    def run(line: str) -> str:
        capsys.readouterr()
        assert main(["cost", str(bar), "--day", DAY.isoformat(), *shlex.split(line)]) in (0, 1)
        return capsys.readouterr().out

    return run


def test_a_drink_and_its_target(cost: Call, looked: Reckoning) -> None:
    found = ranges(exposures(looked, serves=("harbour-light",))).serves["harbour-light"]
    (priced,) = [s for s in priced_serves(looked) if s.serve.id == "harbour-light"]
    assert found is not None
    assert priced.price is not None
    chance = chance_missed(found, allowed(float(priced.price.net), priced.policy))
    assert chance is not None
    text = cost("--item 'Harbour Light'")
    assert (
        f"   cost in materials: {found.cost:.2f} ({found.low:.2f} to {found.high:.2f}), 90 of 100; "
        f"misses its target in {100 * chance:.0f} of 100\n"
    ) in text
    assert "   stands on: Roasted pineapple rum distillate: 4 logged batches; Pineapple: 10 price changes; " in text
    told = json.loads(cost("--item 'Harbour Light' --json"))["range"]
    assert (told["of"], told["layers"], told["holds"]) == ("serve", ["materials"], 0.9)
    assert (told["cost"], told["low"], told["high"]) == (found.cost, found.low, found.high)
    assert told["misses_target"] == [{"menu": "main", "section": "Signatures", "chance": chance}]
    first = told["stands_on"][0]
    assert (first["kind"], first["id"], first["basis"], first["n"]) == (
        "preparation", "pineapple-distillate", "batches", 4,
    )  # fmt: skip
    assert (first["sd"], first["apart"]) == (found.causes[0].money, None)


def test_a_preparation_with_making(cost: Call, looked: Reckoning) -> None:
    found = ranges(exposures(looked, LAYERS)).made["lime-juice"]
    assert found is not None
    said = f"Lime juice, 1 l with making: {found.cost:.2f} ({found.low:.2f} to {found.high:.2f}), 90 of 100\n"
    assert said in cost("--item 'lime juice'")
    told = json.loads(cost("--item 'lime juice' --json"))["range"]
    assert (told["of"], told["layers"], told["misses_target"]) == ("preparation", list(LAYERS), [])
    assert (told["low"], told["high"]) == (found.low, found.high)


def test_what_has_no_range(cost: Call) -> None:
    assert "   no range: nothing under it is known to vary, or something has no price\n" in cost("--item table-water")
    assert json.loads(cost("--item table-water --json"))["range"] is None
    assert "no range" not in cost("--item lime")  # a good has its price
    assert json.loads(cost("--item lime --json"))["range"] is None
    assert "range" not in json.loads(cost("--json"))


def test_two_batches_among_other_doubts(sample: Book) -> None:
    made = [b for b in sample.all(BatchLog).values() if b.preparation == "lime-juice" and b.day <= DAY]
    gone = sorted(made, key=lambda b: b.day)[:-2]
    looked = reckon(sample.with_changes([Change("batch", b.id, b, None) for b in gone]).on(DAY))
    found = CostRange(looked, "lime-juice")
    said = list(found.lines())
    assert said[0].endswith(", with what was seen in 2 batches")
    assert "Lime juice: 2 logged batches" in said[1]
    told = found.json([])
    assert told is not None
    assert told["holds"] is None
    (batches,) = [c for c in told["stands_on"] if c["basis"] == "batches"]
    assert batches["sd"] is None
    assert batches["apart"] > 0.0


def test_batches_that_were_only_seen(looked: Reckoning) -> None:
    """Two batches, half a euro to either side of what the recipe costs: no nine of ten, and no chance."""
    cause = Cause(key=("preparation", "walnut-mother"), figure="", money=0.5 / NORMAL_95, basis="batches", n=2)
    one = CostRange(looked, "harbour-light")
    vars(one)["found"] = Range(
        cost=2.5, low=2.0, high=3.0, causes=(cause,), method="seen", middle=2.5, sd=0.0
    )  # as if worked out
    (priced,) = [s for s in priced_serves(looked) if s.serve.id == "harbour-light"]
    assert list(one.lines(priced)) == [
        "cost in materials: 2.50, seen between 2.00 and 3.00 in 2 batches; "
        "fewer than three batches tell no chance of missing the target",
        "stands on: Walnut mother: 2 logged batches",
    ]
    told = one.json([priced])
    assert told is not None
    assert told["misses_target"][0]["chance"] is None
    assert told["stands_on"][0]["apart"] == pytest.approx(1.0)
