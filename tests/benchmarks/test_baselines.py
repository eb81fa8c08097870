"""The plain ways and the engine say the same to 1e-12 on a bar, and the tools that time them count right."""

import json
import random
import sys
from collections import Counter
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from costing.ledger import levels
from costing.ledger.costs import explode, roll_up
from tests.benchmarks import baselines
from tests.benchmarks.__main__ import main
from tests.benchmarks.data import DEPTH, SIZES, UNITS, Written, written
from tests.benchmarks.engine import CLOSE, Bench, apart
from tests.benchmarks.money import count_cents
from tests.benchmarks.outer import write_list
from tests.benchmarks.result import faster, figure, share, skipped, wrong
from tests.benchmarks.timing import Paired, child_cpu, decile, paired


@pytest.fixture(scope="module")
def bar() -> Bench:
    return Bench.of("bar")


@pytest.fixture(scope="module")
def book(bar: Bench) -> Written:
    return bar.book


def test_the_books_have_the_shape_they_promise(book: Written) -> None:
    assert (len(book.prices), len(book.items) - len(book.drinks), len(book.drinks)) == SIZES["bar"]
    assert written("bar") == book  # the same seed, the same book
    group = written("group")
    sizes = Counter(level for name, level in group.level.items() if name[0] == "p")
    assert sorted(sizes) == list(range(1, DEPTH + 1))
    for depth in range(1, 6):
        assert sizes[depth + 1] / sizes[depth] == pytest.approx(0.62, abs=0.02)
    preparations = [item for name, item in group.items.items() if name[0] == "p"]
    assert {len(item.lines) for item in preparations} == set(range(2, 13))
    assert {len(group.items[drink].lines) for drink in group.drinks} == set(range(3, 11))
    assert all(0.35 <= item.kept <= 0.98 for item in group.items.values())
    lines = [line for item in group.items.values() for line in item.lines]
    across = sum(UNITS[unit][0] != group.base[source] for source, _, unit in lines)
    assert across / len(lines) == pytest.approx(0.12, abs=0.01)
    assert {unit for _, _, unit in lines} == set(UNITS)


def test_every_item_stands_after_what_it_is_made_of(book: Written) -> None:
    seen = set(book.prices)
    for name, item in book.items.items():
        assert all(source in seen for source, _, _ in item.lines)
        seen.add(name)


def test_the_plain_costs_are_the_exact_ones(book: Written) -> None:
    exact = baselines.roll_up_exact(book, book.prices)
    plain = baselines.roll_up(book, book.prices)
    assert plain.keys() == exact.keys()
    assert all(abs(Fraction(plain[name]) / value - 1) < Fraction(1, 10**14) for name, value in exact.items())


def test_ledger_arrays_and_plain_ways_cost_the_same(bar: Bench, book: Written) -> None:
    plain = baselines.roll_up(book, book.prices)
    layered = baselines.roll_up_layers(book, book.prices)
    ledger = roll_up(bar.direct, bar.goods)
    arrays = levels.unit_costs(bar.arrays, bar.arrays.prices)
    folded = baselines.roll_up_folded({name: c.row for name, c in bar.direct.items()}, book.prices)
    assert plain.keys() == ledger.keys() == layered.keys() == folded.keys() == set(bar.arrays.names)
    for name, cost in plain.items():
        assert ledger[name].making == pytest.approx(cost, rel=CLOSE)
        assert folded[name] == pytest.approx(cost, rel=CLOSE)
        assert sum(layered[name]) == pytest.approx(cost, rel=CLOSE)
        assert ledger[name].columns == pytest.approx(layered[name], rel=CLOSE)
        assert tuple(arrays[bar.arrays.index[name]]) == pytest.approx(layered[name], rel=CLOSE)


def test_purchases_are_the_same_three_ways(bar: Bench, book: Written) -> None:
    rows = {name: dict(c.row) for name, c in bar.direct.items()}
    plain = baselines.purchases(rows, bar.sold, book.prices)
    arrays = levels.purchases(bar.arrays, bar.wanted())[: bar.arrays.goods]
    assert list(arrays) == pytest.approx(plain, rel=CLOSE)
    inside = explode(bar.direct, bar.goods)
    for good, need in zip(book.prices, plain, strict=True):
        ledger = sum(count * inside[drink].row.get(good, 0.0) for drink, count in bar.sold.items())
        assert need == pytest.approx(ledger, rel=CLOSE)
    cost = baselines.roll_up(book, book.prices)
    spent = sum(need * price for need, price in zip(plain, book.prices.values(), strict=True))
    assert spent == pytest.approx(sum(count * cost[drink] for drink, count in bar.sold.items()), rel=CLOSE)


def test_derivatives_are_what_a_changed_price_does_in_the_plain_way(bar: Bench, book: Written) -> None:
    inside = levels.contents(bar.arrays)
    plain = baselines.roll_up(book, book.prices)
    for good in random.Random(1).sample(sorted(book.prices), 8):
        # linear, so a price of one and all others nothing is the derivative itself, without a difference
        alone = baselines.roll_up(book, dict.fromkeys(book.prices, 0.0) | {good: 1.0})
        column = inside[:, [bar.arrays.index[good]]].toarray()[:, 0]
        assert list(column) == pytest.approx([alone[n] for n in bar.arrays.names[bar.arrays.bought :]], rel=CLOSE)
    assert apart(inside @ bar.arrays.prices, [plain[n] for n in bar.arrays.names[bar.arrays.bought :]]) < CLOSE


def test_no_cent_is_wrong_where_the_plain_roundings_err() -> None:
    cents = count_cents(8_000)
    assert cents.ties > 20
    assert cents.ours == 0
    assert cents.naive > 0
    assert cents.builtin > cents.naive


def test_the_plain_reader_reads_the_invented_list(tmp_path: Path) -> None:
    path = str(tmp_path / "list.xlsx")
    write_list(path, 30)
    rows = baselines.read_sheet(path)
    assert (len(rows), {len(row) for row in rows}) == (31, {8})
    assert rows[1][:5] == ("A000000", "Item 0 of the list", 6, "0.7 l", 10)


def test_the_gate_stands_on_the_worse_end() -> None:
    times = Paired((10.0, 20.0, 30.0), (1.0, 1.0, 1.0))
    assert times.ratios() == [10.0, 20.0, 30.0]
    assert decile([10.0, 20.0, 30.0], 0.1) == pytest.approx(12.0)
    assert decile([7.0], 0.9) == 7.0
    quick = faster("1", "a", "b", times, 12.5)
    assert (quick.verdict, quick.median) == ("MISSED", 20.0)
    assert quick.gate == pytest.approx(12.0)
    assert faster("1", "a", "b", times, 11.5).verdict == "met"
    part = share("5", "a", "b", times, 0.0901)
    assert part.verdict == "met"
    assert part.gate == pytest.approx(0.09)
    assert share("5", "a", "b", times, 0.08).verdict == "MISSED"
    assert faster("1", "a", "b", times, None).verdict == "no floor"
    assert figure("9", "a", "b", 1.0, "", 0.0).verdict == "MISSED"
    assert "SKIPPED" in skipped("12", "a", "not here").line()
    assert wrong("1", "a", 0.5).verdict == "WRONG"


def test_rounds_are_paired_and_both_ways_run_as_often() -> None:
    calls: Counter[str] = Counter()

    def work(name: str) -> None:
        calls[name] += 1
        sum(range(50_000))

    times = paired(lambda: work("baseline"), lambda: work("engine"))
    assert len(times.baseline) == len(times.engine) == 15
    assert min(times.baseline + times.engine) > 0.0
    assert min(calls.values()) >= 16


@pytest.mark.skipif(sys.platform == "win32", reason="needs os.wait4")
def test_a_child_that_fails_is_no_measurement() -> None:
    assert child_cpu(["-c", "pass"]) > 0.0
    with pytest.raises(OSError, match="ended with 3"):
        child_cpu(["-c", "raise SystemExit(3)"])


def test_the_command_prints_and_writes_what_it_found(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "out.json"
    # no floor is set for a bar, so that no timing can fail this
    assert main(["--size", "bar", "--only", "8", "--json", str(out)]) == 0
    found = json.loads(out.read_text("utf-8"))
    assert [(r["target"], r["size"], r["verdict"]) for r in found["results"]] == [("8", "bar", "no floor")]
    assert found["machine"]["numpy"] == np.__version__
    printed = capsys.readouterr().out
    assert "purchases from sales of the bar" in printed
    assert "0 missed or wrong" in printed


def test_a_wrong_figure_fails_the_command(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    real = levels.purchases
    monkeypatch.setattr(levels, "purchases", lambda arrays, wanted: real(arrays, wanted) * (1 + 1e-9))
    assert main(["--size", "bar", "--only", "8"]) == 1
    assert "WRONG" in capsys.readouterr().out
