"""The arrays say what the dictionaries say: ``roll_up``, ``cost_of`` and ``explode`` to 1e-12, names and all."""

import subprocess
import sys
from collections.abc import Mapping

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.book.records import LAYERS, Layer
from costing.ledger import levels
from costing.ledger.costs import Cost, cost_of, explode, roll_up
from costing.ledger.rows import Carried
from tests.ledger.strategies import laws

Goods = dict[str, tuple[Layer, float | None]]
Direct = dict[str, Carried]
TIGHT = 1e-12


@st.composite
def books(draw: st.DrawFn, *, priced: bool = False) -> tuple[Direct, Goods]:
    """Up to 8 goods and 12 outputs in order; amounts of nothing, goods without a price and sources nobody knows."""
    price = st.floats(0.0, 1e4) if priced else st.none() | st.floats(0.0, 1e4)
    goods: Goods = {
        f"g{n}": (draw(st.sampled_from(LAYERS)), draw(price)) for n in range(draw(st.integers(0, 8)))
    }  # fmt: skip
    known = [*goods, *([] if priced else ["nobody", "nothing"])]
    direct: Direct = {}
    for n in range(draw(st.integers(0, 12))):
        amounts = st.just(0.0) | st.floats(1e-6, 1e3)
        row = draw(st.dictionaries(st.sampled_from(known), amounts, max_size=6)) if known else {}
        direct[f"o{n}"] = Carried(row)
        known.append(f"o{n}")
    return direct, goods


def same(ours: Mapping[str, Cost], theirs: Mapping[str, Cost]) -> None:
    assert ours.keys() == theirs.keys()
    for name, cost in theirs.items():
        assert ours[name].unpriced == cost.unpriced, name
        assert ours[name].columns == pytest.approx(cost.columns, rel=TIGHT), name


@laws()
@given(books())
def test_costs_and_names_are_those_of_the_roll_up(book: tuple[Direct, Goods]) -> None:
    direct, goods = book
    arrays = levels.compiled(direct, goods)
    same(levels.as_costs(arrays, arrays.prices), roll_up(direct, goods))


@laws()
@given(books(), st.data())
def test_a_row_added_at_the_end_costs_what_cost_of_says(book: tuple[Direct, Goods], data: st.DataObject) -> None:
    direct, goods = book
    sources = st.sampled_from([*goods, *direct, "stranger"])
    row = data.draw(st.dictionaries(sources, st.floats(0.0, 9.0)))
    arrays = levels.compiled({**direct, "serve s": Carried(row)}, goods)
    ours = levels.as_costs(arrays, arrays.prices)["serve s"]
    same({"s": ours}, {"s": cost_of(row, roll_up(direct, goods))})


@laws()
@given(books())
def test_contents_are_the_explosion(book: tuple[Direct, Goods]) -> None:
    direct, goods = book
    arrays = levels.compiled(direct, goods)
    inside = levels.contents(arrays).toarray()
    theirs = explode(direct, goods)
    assert inside.shape == (len(direct), len(goods))
    for n, name in enumerate(arrays.names[arrays.bought :]):
        assert list(inside[n]) == pytest.approx([theirs[name].row.get(good, 0.0) for good in goods], rel=TIGHT)
    last = levels.last_contents(arrays).toarray()
    used = {source for carried in direct.values() for source in carried.row}
    assert set(arrays.names[len(arrays.names) - len(last) :]) == direct.keys() - used
    assert np.array_equal(last, inside[len(inside) - len(last) :])


@laws()
@given(books())
def test_what_has_no_price_is_nan_in_its_layer_and_nowhere_else(book: tuple[Direct, Goods]) -> None:
    direct, goods = book
    arrays = levels.compiled(direct, goods)
    columns = levels.unit_costs(arrays, arrays.prices)
    totals = levels.total_costs(arrays, arrays.prices)
    for name, cost in roll_up(direct, goods).items():
        lacking = {layer for g in cost.unpriced for layer in ([goods[g][0]] if g in goods else LAYERS)}
        where = arrays.index[name]
        assert {layer for n, layer in enumerate(LAYERS) if np.isnan(columns[where, n])} == lacking
        assert bool(np.isnan(totals[where])) is not cost.complete
        if cost.complete:
            assert totals[where] == pytest.approx(cost.making, rel=TIGHT)


@laws()
@given(books(priced=True), st.data())
def test_what_is_bought_is_worth_what_is_sold(book: tuple[Direct, Goods], data: st.DataObject) -> None:
    direct, goods = book
    arrays = levels.compiled(direct, goods)
    size = len(arrays.names)
    wanted = np.array(data.draw(st.lists(st.integers(0, 400), min_size=size, max_size=size)), dtype=float)
    asked = wanted.copy()
    need = levels.purchases(arrays, wanted)
    assert np.array_equal(wanted, asked)  # what is handed in stays as it is
    spent = float(need @ arrays.prices)
    assert spent == pytest.approx(float(wanted @ levels.total_costs(arrays, arrays.prices)), rel=1e-11)
    inside = explode(direct, goods)
    for n, good in enumerate(goods):
        theirs = sum(wanted[arrays.index[name]] * inside[name].row.get(good, 0.0) for name in arrays.names)
        assert need[n] == pytest.approx(theirs, rel=TIGHT)


@laws()
@given(books(priced=True), st.floats(0.1, 50.0))
def test_a_changed_price_moves_what_the_column_says(book: tuple[Direct, Goods], change: float) -> None:
    direct, goods = book
    arrays = levels.compiled(direct, goods)
    inside = levels.contents(arrays).tocsc()
    before = levels.total_costs(arrays, arrays.prices)
    for n in range(arrays.goods):
        prices = arrays.prices.copy()
        prices[n] += change
        after = levels.total_costs(arrays, prices)
        outputs, money = levels.moved_by(inside, n, change)
        moved = before[arrays.bought :].copy()
        moved[outputs] += money
        assert list(moved) == pytest.approx(list(after[arrays.bought :]), rel=1e-11)


def test_a_missing_price_is_named_where_amounts_cancel_or_are_nothing() -> None:
    goods: Goods = {"gin": ("materials", None), "ice": ("materials", 2.0), "hour": ("labour", None)}
    direct = {
        "a": Carried({"gin": 1.0}),
        "b": Carried({"gin": 1.0, "a": -1.0, "ice": 3.0}),
        "c": Carried({"hour": 0.0, "ice": 1.0}),
        "d": Carried({"ice": 1.0}),
    }
    arrays = levels.compiled(direct, goods)
    costs = levels.as_costs(arrays, arrays.prices)
    same(costs, roll_up(direct, goods))
    assert costs["b"].unpriced == {"gin"}
    assert costs["b"].materials == 6.0
    assert costs["c"].unpriced == {"hour"}
    assert costs["d"].complete
    assert levels.unpriced(arrays, arrays.prices).keys() == {"gin", "hour", "a", "b", "c"}
    assert levels.unpriced(arrays, np.array([1.0, 2.0, 3.0])) == {}


def test_levels_are_few_and_what_nothing_is_made_of_comes_last() -> None:
    goods: Goods = {"g": ("materials", 1.0)}
    direct = {
        "early serve": Carried({"g": 1.0}),
        "syrup": Carried({"g": 1.0}),
        "cordial": Carried({"syrup": 1.0}),
        "late serve": Carried({"cordial": 1.0, "g": 1.0}),
    }
    arrays = levels.compiled(direct, goods)
    assert [(step.start, step.end) for step in arrays.steps] == [(1, 2), (2, 3), (3, 5)]
    assert arrays.names == ("g", "syrup", "cordial", "early serve", "late serve")


def test_nothing_at_all_costs_nothing() -> None:
    empty = levels.compiled({}, {})
    assert levels.as_costs(empty, empty.prices) == {}
    assert levels.contents(empty).shape == (0, 0)
    assert levels.purchases(empty, np.zeros(0)).shape == (0,)
    goods: Goods = {"g": ("energy", 3.0)}
    only = levels.compiled({}, goods)
    assert levels.as_costs(only, only.prices) == roll_up({}, goods)
    hollow = levels.compiled({"void": Carried()}, {})
    assert levels.as_costs(hollow, hollow.prices) == {"void": Cost((0.0, 0.0, 0.0, 0.0))}


@pytest.mark.parametrize(
    "direct",
    [{"g": Carried({"g": 1.0})}, {"a": Carried({"b": 1.0}), "b": Carried({"g": 1.0})}, {"a": Carried({"a": 0.5})}],
    ids=["a good made too", "used before made", "made of itself"],
)
def test_rows_out_of_order_are_refused(direct: Direct) -> None:
    with pytest.raises(ValueError, match="inputs first"):
        levels.compiled(direct, {"g": ("materials", 1.0)})


def test_vectors_of_another_book_are_refused() -> None:
    arrays = levels.compiled({"a": Carried({"g": 1.0})}, {"g": ("materials", 1.0)})
    for call in (levels.unit_costs, levels.total_costs, levels.as_costs, levels.unpriced):
        with pytest.raises(ValueError, match=r"\(2,\), not \(1,\)"):
            call(arrays, np.zeros(2))
    with pytest.raises(ValueError, match=r"\(1,\), not \(2,\)"):
        levels.purchases(arrays, np.zeros(1))


def test_no_start_of_the_program_loads_numpy() -> None:
    code = "import costing.__main__, costing.ledger, sys; print([m for m in ('numpy', 'scipy') if m in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
