"""Roll-up and explosion against two independent solutions: a sparse linear solve, and a walk over a graph.

Costs of a book are x = b + A x. ``roll_up`` does it in one pass over rows; scipy solves (I - A) x = b with its
sparse LU; networkx orders the graph by itself and the sums are then done here, edge by edge.
"""

import math
import random
from collections.abc import Mapping
from datetime import date
from decimal import Decimal

import networkx as nx
import numpy as np
import pytest
from scipy.sparse import csc_matrix, identity
from scipy.sparse.linalg import splu

from costing.book import Book, parse_fact
from costing.book.records import (
    LAYERS,
    Good,
    House,
    Input,
    Layer,
    Preparation,
    Quote,
    Record,
    Stage,
    Supplier,
    Terms,
    Version,
)
from costing.ledger import reckon
from costing.ledger.costs import explode, roll_up
from costing.ledger.rows import Carried

Goods = dict[str, tuple[Layer, float | None]]
TIGHT = 1e-12


def random_rows(seed: int, goods: int, outputs: int) -> tuple[dict[str, Carried], Goods]:
    """Direct rows, inputs first, with memos, and priced goods of every layer."""
    rng = random.Random(seed)
    names = [f"g{n}" for n in range(goods)]
    priced: Goods = {g: (rng.choice(LAYERS), round(rng.uniform(0.01, 90.0), 2)) for g in names}
    direct: dict[str, Carried] = {}
    for n in range(outputs):
        # half of what goes in is recent, so that chains grow deep
        pool = [*rng.sample(names, 4), *rng.sample(names[-40:], 3)]
        chosen = dict.fromkeys(rng.sample(pool, rng.randint(1, 6)))
        row = {source: rng.uniform(0.01, 2.2) / len(chosen) for source in chosen}
        lost = {s: a * rng.random() for s, a in row.items() if rng.random() < 0.5}
        assumed = {s: a * rng.random() for s, a in row.items() if rng.random() < 0.3}
        name = f"o{n}"
        direct[name] = Carried(row, lost, assumed)
        names.append(name)
    return direct, priced


def sparse_solution(direct: Mapping[str, Carried], goods: Goods) -> tuple[dict[str, list[float]], Mapping[str, int]]:
    """Columns of unit cost by (I - A) x = b, one right-hand side a layer."""
    index = {name: n for n, name in enumerate([*goods, *direct])}
    entries = [(index[o], index[s], a) for o, c in direct.items() for s, a in c.row.items()]
    rows, columns, values = zip(*entries, strict=True)
    size = len(index)
    matrix = identity(size, format="csc") - csc_matrix((values, (rows, columns)), shape=(size, size))
    right = np.zeros((size, len(LAYERS)))
    for good, (layer, price) in goods.items():
        right[index[good], LAYERS.index(layer)] = price
    solved = splu(matrix.tocsc(), permc_spec="NATURAL", diag_pivot_thresh=0.0).solve(right)
    return {name: [float(v) for v in solved[n]] for name, n in index.items()}, index


def graph_contents(direct: Mapping[str, Carried], goods: Goods) -> dict[str, dict[str, float]]:
    """Goods in one unit of each output, propagated in the order that networkx finds."""
    graph: nx.DiGraph = nx.DiGraph()
    graph.add_nodes_from(goods)
    graph.add_weighted_edges_from((s, o, a) for o, c in direct.items() for s, a in c.row.items())
    inside: dict[str, dict[str, float]] = {}
    for node in nx.topological_sort(graph):
        parts: dict[str, list[float]] = {node: [1.0]} if node in goods else {}
        for source, _, amount in graph.in_edges(node, data="weight"):
            for good, per_unit in inside[source].items():
                parts.setdefault(good, []).append(amount * per_unit)
        inside[node] = {good: math.fsum(values) for good, values in parts.items()}
    return inside


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_two_thousand_items_cost_what_a_sparse_solve_says(seed: int) -> None:
    direct, goods = random_rows(seed, goods=400, outputs=1_600)
    ours = roll_up(direct, goods)
    theirs, _ = sparse_solution(direct, goods)
    assert ours.keys() == theirs.keys()
    for name, cost in ours.items():
        assert cost.complete
        assert cost.columns == pytest.approx(theirs[name], rel=TIGHT, abs=TIGHT * cost.making)
        assert cost.of(LAYERS) == pytest.approx(cost.making, rel=TIGHT)


def test_two_thousand_items_hold_what_a_graph_says() -> None:
    direct, goods = random_rows(4, goods=400, outputs=1_600)
    ours = explode(direct, goods)
    theirs = graph_contents(direct, goods)
    for name in direct:
        assert ours[name].row.keys() == theirs[name].keys()
        for good, amount in theirs[name].items():
            assert math.isclose(ours[name].row[good], amount, rel_tol=TIGHT)


def test_memos_explode_as_a_sparse_solve_says() -> None:
    """What is lost in a unit: its own loss whole, and of the rest what its inputs had lost already."""
    direct, goods = random_rows(6, goods=120, outputs=480)
    ours = explode(direct, goods)
    _, index = sparse_solution(direct, goods)
    size = len(index)
    for memo in ("lost", "assumed"):
        contents = np.zeros((size, len(goods)))
        for n, good in enumerate(goods):
            contents[index[good], n] = 1.0
        keep: list[tuple[int, int, float]] = []
        whole = np.zeros((size, len(goods)))
        for output, carried in direct.items():
            own = getattr(carried, memo)
            for source, amount in carried.row.items():
                contents[index[output]] += amount * contents[index[source]]
                keep.append((index[output], index[source], amount - own.get(source, 0.0)))
                whole[index[output]] += own.get(source, 0.0) * contents[index[source]]
        rows, columns, values = zip(*keep, strict=True)
        matrix = identity(size, format="csc") - csc_matrix((values, (rows, columns)), shape=(size, size))
        solved = splu(matrix.tocsc(), permc_spec="NATURAL", diag_pivot_thresh=0.0).solve(whole)
        for output in direct:
            mine = getattr(ours[output], memo)
            for n, good in enumerate(goods):
                bound = TIGHT * max(1.0, contents[index[output], n])
                assert mine.get(good, 0.0) == pytest.approx(solved[index[output], n], rel=1e-11, abs=bound)
                assert mine.get(good, 0.0) <= ours[output].row.get(good, 0.0) * (1.0 + TIGHT)


def test_purchases_are_worth_what_sales_cost() -> None:
    """sum(purchases x price) == sum(sales x cost): the explosion is the roll-up transposed."""
    direct, goods = random_rows(7, goods=300, outputs=700)
    costs, contents = roll_up(direct, goods), explode(direct, goods)
    rng = random.Random(8)
    sold = {name: rng.randint(1, 400) for name in rng.sample(list(direct), 60)}
    bought: dict[str, float] = {}
    for name, count in sold.items():
        for good, amount in contents[name].row.items():
            bought[good] = bought.get(good, 0.0) + count * amount
    spent = math.fsum(amount * (goods[good][1] or 0.0) for good, amount in bought.items())
    assert spent == pytest.approx(math.fsum(n * costs[name].making for name, n in sold.items()), rel=TIGHT)


def test_a_good_without_a_price_travels_by_name_to_everything_it_is_in() -> None:
    direct, goods = random_rows(9, goods=60, outputs=240)
    goods["g3"] = (goods["g3"][0], None)
    costs, contents = roll_up(direct, goods), graph_contents(direct, goods)
    with_it = {name for name in direct if "g3" in contents[name]}
    assert 0 < len(with_it) < len(direct)
    for name in direct:
        assert (costs[name].unpriced == {"g3"}) == (name in with_it)
        assert costs[name].complete == (name not in with_it)


def _house_of(seed: int, preparations: int) -> tuple[Book, dict[str, dict[str, float]], dict[str, float]]:
    """A book of plain recipes by weight, and beside it the rows and prices that it must come to."""
    rng = random.Random(seed)
    since = date(2026, 1, 1)
    records: list[Record] = [
        House(id="house", name="House", currency="EUR", terms=(Terms(since=since),)),
        Supplier(id="market", name="Market"),
    ]
    prices: dict[str, float] = {}
    for n in range(80):
        good = Good(id=f"g{n}", name=f"Good {n}", kind="fruit", base="kg",
                    makeup=(("water", parse_fact("80 %")), ("solubles", parse_fact("9 %"))))  # fmt: skip
        price, packs = Decimal(rng.randint(50, 5_000)) / 100, rng.randint(1, 12)
        records += [
            good,
            Quote(id=f"q{n}", good=good.id, supplier="market", levels=(packs,), content=parse_fact("0.5 kg"),
                  price=price, currency="EUR", since=since),
        ]  # fmt: skip
        prices[good.id] = float(price) / (packs * 0.5)
    rows: dict[str, dict[str, float]] = {}
    names = list(prices)
    for n in range(preparations):
        ident = f"p{n}"
        stages, inside, mass = [], dict[str, float](), 0.0
        for k in range(rng.randint(1, 3)):
            adds = []
            for source in rng.sample(names[-60:], rng.randint(1, 3)):
                grams = rng.randint(20, 2_000)
                adds.append(Input(source=source, amount=parse_fact(f"{grams} g")))
                inside[source] = inside.get(source, 0.0) + grams / 1000
                mass += grams / 1000
            keep = rng.randint(100, 200) / 2
            stages.append(Stage(id=f"s{k}", kind="trim", adds=tuple(adds), facts=(("keep", parse_fact(f"{keep} %")),)))
            mass *= keep / 100
        rows[ident] = {source: amount / mass for source, amount in inside.items()}
        records.append(
            Preparation(id=ident, name=ident, base="kg", versions=(Version(since=since, stages=tuple(stages)),))
        )
        names.append(ident)
    return Book.of(records), rows, prices


def test_four_hundred_preparations_cost_what_a_dense_solve_says() -> None:
    book, rows, prices = _house_of(11, 400)
    reckoning = reckon(book.on(date(2026, 3, 1)))
    assert not reckoning.problems
    index = {name: n for n, name in enumerate([*prices, *rows])}
    matrix, right = np.eye(len(index)), np.zeros(len(index))
    for good, price in prices.items():
        right[index[good]] = price
    for output, row in rows.items():
        for source, amount in row.items():
            matrix[index[output], index[source]] -= amount
    solved = np.linalg.solve(matrix, right)
    for name, n in index.items():
        assert reckoning.costs[name].materials == pytest.approx(float(solved[n]), rel=TIGHT)
    direct = {name: Carried(row) for name, row in rows.items()}
    contents = graph_contents(direct, {g: ("materials", p) for g, p in prices.items()})
    for name in rows:
        assert reckoning.exploded[name].row == pytest.approx(contents[name], rel=TIGHT)
