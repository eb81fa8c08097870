"""Laws that hold for every ledger: what enters leaves, money follows, and what cannot be is refused by name.

Books are random (``strategies``). STILLROOM_EXAMPLES raises the number of examples of each law.
"""

import math
from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal
from itertools import pairwise
from typing import Literal

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from costing.book import Book, View, parse_fact
from costing.book.records import BatchLog, ByProduct, Good, Input, LoggedStage, Preparation, Stage, Version
from costing.ledger import Ledger, Line, Reckoning, Unit, reckon
from costing.ledger.costs import roll_up
from costing.ledger.follow import follow
from costing.ledger.lines import Fate
from costing.ledger.matter import Matter
from costing.ledger.rows import Carried, plus
from tests.ledger.strategies import DAY, LARDER, SINCE, book_of, books, laws

COMPONENTS = ("ethanol", "water", "solubles", "insolubles", "gas")
LEAVING: tuple[Fate, ...] = ("meant", "lost", "unexplained")
WHOLE = {"gain", "loop", "needs-pieces", "makes-nothing", "no-volume", "mother-does-not-settle"}
"""Refusals of a preparation as a whole; every other one belongs to a stage."""


def near(a: float, b: float, tolerance: float, scale: float = 0.0) -> bool:
    """Equal to a relative tolerance, on a scale of at least the larger of the two."""
    return abs(a - b) <= tolerance * max(abs(a), abs(b), scale)


def closes(line: Line) -> None:
    """Masses of ins and outs are equal by component, and so is the money that rides on them."""
    inside, outside = line.total("in"), line.total("on", "kept", *LEAVING)
    if line.kind == "ferment":
        return ferments(line, inside, outside)
    still = line.kind == "distil"  # pot and distillate are both given the most SO2 there can be in them
    for name in (*COMPONENTS, "acids", *(() if still else ("so2",))):
        assert near(inside.amount(name), outside.amount(name), 1e-9, max(inside.mass, 1e-9)), (line.stage, name)
    pays(line)


def ferments(line: Line, inside: Matter, outside: Matter) -> None:
    """Sugar becomes ethanol and gas, 2 x 46.069 and 2 x 44.010 of 180.156 by weight; everything else closes."""
    assert near(inside.mass, outside.mass, 1e-9, 1e-9)
    sugar = inside.solubles - outside.solubles
    assert near(outside.ethanol - inside.ethanol, sugar * 92.138 / 180.156, 1e-6, inside.mass)
    # molar masses of five figures add up to 180.157
    assert near(outside.gas - inside.gas, sugar * 88.019 / 180.156, 2e-5, inside.mass)
    for name in ("water", "insolubles", "acids", "so2"):
        assert near(inside.amount(name), outside.amount(name), 1e-9, max(inside.mass, 1e-9)), (line.stage, name)
    pays(line)


def pays(line: Line) -> None:
    """What rides on what enters rides on what goes on or is kept."""
    for stream in line.ins + line.outs:
        assert min(stream.matter.amount(name) for name in COMPONENTS) >= 0.0
    money_in = plus(*(s.row for s in line.ins))
    money_out = plus(*(s.row for s in line.outs if s.fate in ("on", "kept")))
    for source in money_in.keys() | money_out.keys():
        assert near(money_in.get(source, 0.0), money_out.get(source, 0.0), 1e-9), (line.stage, source)


def own_of(ledger: Ledger) -> set[str]:
    """Ids of everything the preparation itself makes."""
    return set(ledger.outputs)


def taken(ledger: Ledger, source: str) -> float:
    """How much of a source all stages take."""
    return math.fsum(s.row.get(source, 0.0) for line in ledger.lines for s in line.ins if s.source == source)


def fresh_streams(ledger: Ledger) -> Iterator[Matter]:
    """What is brought in from outside the preparation."""
    for line in ledger.lines:
        for stream in line.ins:
            if stream.name != "running" and stream.source not in own_of(ledger):
                yield stream.matter


def judged(ledger: Ledger, view: View) -> None:
    """A refusal says where and what: its stage, or the preparation as a whole, and the figure at fault."""
    errors = [p for p in ledger.problems if p.level == "error"]
    assert errors, f"{ledger.id} is refused without a reason"
    stages = {s.id for s in view.preparations[ledger.id][1].stages}
    for p in errors:
        path = p.where.split("/")
        assert path[:2] == ["preparation", ledger.id]
        if p.code in WHOLE and "stage" not in path:
            continue
        assert path[3] == "stage", p
        assert path[4] in stages, p
        assert {"figure", "source", "text"} & dict(p.detail).keys(), p


def check_money(reckoning: Reckoning, ledger: Ledger) -> None:
    """Outputs, less what the batch takes of them, are worth what went in from outside."""
    costs = reckoning.costs
    spent = math.fsum(
        amount * costs[source].making
        for line in ledger.lines
        for stream in line.ins
        if stream.name != "running" and stream.source not in ledger.outputs
        for source, amount in stream.row.items()
    )
    worth = math.fsum((o.made - taken(ledger, o.id)) * costs[o.id].making for o in ledger.outputs.values())
    assert near(worth, spent, 1e-9), ledger.id


def check_ethanol(ledger: Ledger) -> None:
    """Ethanol that was brought in leaves, is lost, or is in the outputs; none appears."""
    brought = math.fsum(m.ethanol for m in fresh_streams(ledger))
    gone = math.fsum(line.total(*LEAVING).ethanol for line in ledger.lines)
    brought += math.fsum(
        line.total("on", "kept", *LEAVING).ethanol - line.total("in").ethanol
        for line in ledger.lines
        if line.kind == "ferment"
    )
    made = 0.0
    for output in ledger.outputs.values():
        if output.unit.matter is None:
            return  # a "make" that says how much there is and not what is in it
        made += (output.made - taken(ledger, output.id)) * output.unit.matter.ethanol
    assert near(brought, gone + made, 1e-9, 1e-3)


def check_memos(carried: Carried) -> None:
    """A memo is part of what is carried."""
    for memo in (carried.lost, carried.assumed):
        for source, amount in memo.items():
            whole = carried.row.get(source, 0.0)
            assert -1e-12 * whole <= amount <= whole * (1.0 + 1e-12), source


def check_view(view: View) -> Reckoning:
    reckoning = reckon(view)
    assert reckoning.ledgers.keys() == view.preparations.keys()
    for ledger in reckoning.ledgers.values():
        for line in ledger.lines:
            closes(line)
            check_memos(line.carried)
            assert 0.0 <= line.share_lost <= 1.0
        for before, after in pairwise(ledger.lines):
            running = next((s.matter for s in after.ins if s.name == "running"), Matter())
            assert running == before.on.matter
        if ledger.refused:
            judged(ledger, view)
            continue
        assert not [p for p in ledger.problems if p.level == "error"]
        check_money(reckoning, ledger)
        check_ethanol(ledger)
        for output in ledger.outputs.values():
            check_memos(output.direct)
            assert output.made > 0.0
    return reckoning


@laws(150)
@given(books())
def test_a_preparation_closes_or_is_refused_by_name(view: View) -> None:
    check_view(view)


@laws(150)
@given(books(own_use=True))
def test_a_mother_batch_closes_or_is_refused_by_name(view: View) -> None:
    check_view(view)


@laws(60)
@given(books(own_use=True))
def test_exploded_rows_cost_what_the_roll_up_says(view: View) -> None:
    reckoning = reckon(view)
    for output in reckoning.direct:
        inside = reckoning.exploded[output]
        check_memos(inside)
        assert inside.row.keys() <= LARDER.keys()
        assert near(reckoning.money(inside.row).making, reckoning.costs[output].making, 1e-12)


PRICE = st.integers(0, 100_000).map(lambda n: n / 100)


@laws(60)
@given(books(own_use=True), st.data())
def test_costs_are_linear_in_prices(view: View, data: st.DataObject) -> None:
    reckoning = reckon(view)
    assume(reckoning.direct)
    ids = sorted(LARDER)
    p = dict(zip(ids, data.draw(st.lists(PRICE, min_size=len(ids), max_size=len(ids))), strict=True))
    q = dict(zip(ids, data.draw(st.lists(PRICE, min_size=len(ids), max_size=len(ids))), strict=True))
    a, b = data.draw(PRICE), data.draw(PRICE)

    def cost(prices: Mapping[str, float]) -> dict[str, float]:
        goods = {g.id: (g.layer, prices[g.id]) for g in LARDER.values()}
        return {k: c.making for k, c in roll_up(reckoning.direct, goods).items()}

    both = cost({g: a * p[g] + b * q[g] for g in ids})
    one, other = cost(p), cost(q)
    for output in reckoning.direct:
        assert near(both[output], a * one[output] + b * other[output], 1e-12)
    good = data.draw(st.sampled_from(ids))
    doubled = cost({**p, good: 2.0 * p[good]})
    for output in reckoning.direct:
        quantity = reckoning.exploded[output].row.get(good, 0.0)
        assert near(doubled[output], one[output] + quantity * p[good], 1e-12)


@laws(100)
@given(books(own_use=True))
def test_a_mother_batch_that_has_settled_settles_on_itself(view: View) -> None:
    reckoning = reckon(view)
    for ident, ledger in reckoning.ledgers.items():
        preparation, version = view.preparations[ident]
        makes = {ident, *(f"{ident}/{b.id}" for b in version.byproducts)}
        own = makes & {i.source for s in version.stages for i in s.adds}
        if ledger.refused or not own:
            continue
        # the same recipe, with what it takes of itself stood in for by strangers of that composition
        stages = tuple(
            replace(s, adds=tuple(replace(i, source=f"was {i.source}") if i.source in own else i for i in s.adds))
            for s in version.stages
        )
        strangers: dict[str, Unit] = {f"was {o}": ledger.outputs[o].unit for o in own}
        again = follow(view, preparation, replace(version, stages=stages), {**reckoning.units, **strangers})
        assert not again.refused, again.problems
        for name, output in ledger.outputs.items():
            repeat = again.outputs[name]
            assert near(repeat.made, output.made, 1e-9)
            # a "make" that only says how much there is has no composition, before or after
            assert (repeat.unit.matter is None) == (output.unit.matter is None)
            if repeat.unit.matter is not None and output.unit.matter is not None:
                mass = max(1.0, output.unit.matter.mass)
                for component in COMPONENTS:
                    assert near(repeat.unit.matter.amount(component), output.unit.matter.amount(component), 1e-9, mass)
            # and its cost is what the gross row comes to when the strangers cost what the batch itself does
            gross = math.fsum(
                amount * reckoning.costs[source.removeprefix("was ")].making
                for source, amount in repeat.direct.row.items()
            )
            assert near(gross, reckoning.costs[name].making, 1e-9)


def simple(ident: str, *adds: tuple[str, str], base: Literal["kg", "l"] = "l") -> Preparation:
    """Sources blended, and no more."""
    stage = Stage(id="mix", kind="blend", adds=tuple(Input(source=s, amount=parse_fact(a)) for s, a in adds))
    return Preparation(id=ident, name=ident, base=base, versions=(Version(since=SINCE, stages=(stage,)),))


def _blend(ident: str, self_litres: str, fresh: str, keep: str, share: Decimal | None = None) -> Preparation:
    stages = [
        Stage(
            id="mix",
            kind="blend",
            adds=(
                Input(source="g4", amount=parse_fact(f"{fresh} l")),
                Input(source=ident, amount=parse_fact(f"{self_litres} l")),
            ),
        ),
        Stage(id="rest", kind="rest", facts=(("keep", parse_fact(f"{keep} %")),)),
    ]
    kept = () if share is None else (ByProduct(id="dregs", stage="rest", name="Dregs", share=share, base="l"),)
    return Preparation(id=ident, name=ident, versions=(Version(since=SINCE, stages=tuple(stages), byproducts=kept),))


@laws(100)
@given(
    st.integers(1, 1_000), st.integers(1, 1_000), st.integers(10, 99), st.one_of(st.none(), st.integers(0, 40)),
    st.integers(1, 5_000),
)  # fmt: skip
def test_self_seeded_batch_costs_what_the_algebra_says_or_has_a_gain_of_one(
    own: int, fresh: int, keep: int, share: int | None, cents: int
) -> None:
    """x (k (a + f) - a (1 - s)) = f p (1 - s): the same spirit throughout, so volumes add exactly."""
    a, f, k, s = own / 100, fresh / 100, keep / 100, (share or 0) / 100
    makes, uses = k * (a + f), a * (1 - s)
    assume(abs(uses / makes - 1.0) > 1e-6)
    recipe = _blend("p0", str(a), str(f), str(keep), None if share is None else Decimal(share) / 100)
    plain = simple("later", ("g7", "1 l"))
    reckoning = reckon(book_of((recipe, plain), {"g4": cents}).on(DAY))
    ledger = reckoning.ledgers["p0"]
    if uses > makes:
        (problem,) = [p for p in ledger.problems if p.level == "error"]
        assert problem.code == "gain"
        assert near(float(problem.get("gain")), uses / makes, 1e-9)
        assert "p0" in problem.get("loop")
        assert "p0" not in reckoning.costs
    else:
        assert not ledger.refused, ledger.problems
        assert near(reckoning.costs["p0"].making, f * cents / 100 * (1 - s) / (makes - uses), 1e-9)
    assert reckoning.costs["later"].complete


@laws(100)
@given(st.integers(2, 7), st.data())
def test_loops_are_refused_with_their_path_and_the_rest_still_computes(count: int, data: st.DataObject) -> None:
    names = [f"p{n}" for n in range(count)]
    graph = {name: set(data.draw(st.lists(st.sampled_from(names), max_size=2, unique=True))) - {name} for name in names}
    made = [simple(name, ("g4", "1 l"), *((other, "100 ml") for other in sorted(graph[name]))) for name in names]
    reckoning = reckon(book_of(tuple(made)).on(DAY))

    def reaches(start: str) -> set[str]:
        seen: set[str] = set()
        todo = list(graph[start])
        while todo:
            node = todo.pop()
            if node not in seen:
                seen.add(node)
                todo += graph[node]
        return seen

    circular = {name for name in names if name in reaches(name)}
    sound = {name for name in names if name not in circular and not reaches(name) & circular}
    loops = [p for p in reckoning.problems if p.code == "loop"]
    assert bool(loops) == bool(circular)
    for p in loops:
        path = p.get("loop").split(" -> ")
        assert path[0] == path[-1]
        assert set(path) <= circular
        steps = list(pairwise(path))
        assert all(b in graph[a] for a, b in steps) or all(a in graph[b] for a, b in steps)
    for name in names:
        assert (name in reckoning.costs) == (name in sound)
        if name not in sound:
            assert any(p.level == "error" and name in p.where + p.get("loop") for p in reckoning.problems)
    assert reckoning.costs["g4"].complete


ABSURD = {
    "out.mass": ("999999 kg", "-1 kg", "3 l"),
    "out.volume": ("999999 l", "-1 l", "2 spoons"),
    "out.abv": ("250 % vol", "-5 % vol", "12 Bx"),
    "left.mass": ("999999 kg", "-1 g"),
    "left.abv": ("250 % vol", "12"),
    "out.colour": ("3",),
}
"""Readings that no batch can have given: too large, below nothing, in another unit, of no known thing."""


def log_of(preparation: str, readings: Mapping[str, Mapping[str, str]]) -> BatchLog:
    """A batch as made, its readings as somebody typed them."""
    return BatchLog(
        id="log",
        preparation=preparation,
        day=DAY,
        stages=tuple(
            LoggedStage(stage=s, readings=tuple((n, parse_fact(t)) for n, t in r.items())) for s, r in readings.items()
        ),
    )


@laws(100)
@given(books(own_use=True), st.data())
def test_absurd_log_readings_are_marked_and_leave_the_standard_as_it_is(view: View, data: st.DataObject) -> None:
    reckoning = reckon(view)
    sound = [i for i, ledger in reckoning.ledgers.items() if not ledger.refused]
    assume(sound)
    ident = data.draw(st.sampled_from(sound))
    preparation, version = view.preparations[ident]
    # where the standard has readings of its own, a log takes their place: that is another test
    bare = [stage for stage in version.stages if not stage.readings]
    assume(bare)
    stage = data.draw(st.sampled_from(bare))
    names = set(data.draw(st.lists(st.sampled_from(sorted(ABSURD)), min_size=1, unique=True)))
    if stage.kind == "proof":
        names -= {"out.mass", "out.volume"}  # any amount of water can be poured to
    assume(names)
    readings = {name: data.draw(st.sampled_from(ABSURD[name])) for name in sorted(names)}
    logged = follow(view, preparation, version, reckoning.units, log_of(ident, {stage.id: readings}))
    assert not logged.refused, logged.problems
    where = f"preparation/{ident}/{version.since}/stage/{stage.id}"
    here = [p for p in logged.problems if p.where == where and p.level == "warning"]
    assert {p.get("figure") for p in here} >= names
    for name, output in reckoning.ledgers[ident].outputs.items():
        assert near(logged.outputs[name].made, output.made, 1e-9)
        assert logged.outputs[name].direct.row == pytest.approx(output.direct.row, rel=1e-9, abs=1e-12)
    for line in logged.lines:
        closes(line)


@laws(100)
@given(books(), st.data())
def test_a_log_of_the_last_stage_is_never_refused(view: View, data: st.DataObject) -> None:
    reckoning = reckon(view)
    sound = [i for i, g in reckoning.ledgers.items() if not g.refused and len(g.outputs) == 1]
    assume(sound)
    ident = data.draw(st.sampled_from(sound))
    preparation, version = view.preparations[ident]
    stage, line = version.stages[-1], reckoning.ledgers[ident].lines[-1]
    weight = line.total("in").mass
    tenths = st.integers(1, 30)
    texts = {
        "out.mass": tenths.map(lambda n: f"{weight * n / 20:.4f} kg"),
        "out.volume": tenths.map(lambda n: f"{weight * n / 20:.4f} l"),
        "out.abv": tenths.map(lambda n: f"{3 * n} % vol"),
        "left.mass": tenths.map(lambda n: f"{weight * n / 20:.4f} kg"),
        "left.abv": tenths.map(lambda n: f"{3 * n} % vol"),
    }
    names = data.draw(st.lists(st.sampled_from(sorted(texts)), min_size=1, unique=True))
    log = log_of(ident, {stage.id: {name: data.draw(texts[name]) for name in names}})
    logged = follow(view, preparation, version, reckoning.units, log)
    # all of it weighed as left behind makes nothing, and a volume may be asked of what has none
    assume(not {"makes-nothing", "no-volume"} & {p.code for p in logged.problems})
    assert not logged.refused, logged.problems
    assert not [p for p in logged.problems if p.level == "error"]
    for each in logged.lines:
        closes(each)
    marked = {p.get("figure") for p in logged.problems if p.level == "warning"}
    stood_on = {name for name, _, _ in logged.lines[-1].stood_on}
    standard = {name for name, _ in stage.readings}  # the standard's figure of that name may stand in for it
    assert not marked & stood_on & set(names) - standard, "a reading that was left out carries the result"
    assert "unexplained" not in {s.fate for s in logged.lines[-1].outs} or standard or set(names) - marked


def test_a_book_of_every_good_alone_is_followed_or_named() -> None:
    """One-stage preparations of each good: every makeup form reaches a ledger."""
    made = tuple(
        simple(f"of-{good.id}", (good.id, f"2 {good.base}"), base="kg")
        for good in LARDER.values()
        if good.layer == "materials"
    )
    reckoning = reckon(book_of(made).on(date(2026, 6, 1)))
    unfollowed = {f"of-{g}" for g in ("g19", "g20", "g21")}
    assert {i for i, g in reckoning.ledgers.items() if g.refused} == unfollowed
    assert {p.code for p in reckoning.problems if p.level == "error"} == {"makes-nothing", "not-followed-made"}


def test_a_good_nobody_described_refuses_what_is_measured_out_of_it() -> None:
    """How much there is cannot be worked out of a mass that nobody knows, so neither can money a kilogram."""
    good = Good(id="odd", name="Odd", kind="other", base="kg")
    recipe = simple("mix", ("odd", "1 kg"), ("g16", "2 kg"), base="kg")
    book = book_of((recipe,))
    view = Book.of([*book.records.values(), good]).on(DAY)
    reckoning = reckon(view)
    found = [p.code for p in reckoning.problems if p.where.startswith("preparation/mix")]
    assert found == ["not-followed", "not-followed-made"]
    assert "mix" not in reckoning.costs
