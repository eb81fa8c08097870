"""Two batches side by side: stages that meet, what differs, and a split of the cost that adds up. Invented books."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.book import Book, Fact, View, parse_fact
from costing.book.plain import record_from_plain
from costing.book.records import BatchLog, LoggedStage
from costing.ledger import Reckoning, reckon
from costing.ledger.batches import as_made
from costing.ledger.compare import Comparison, StagePair, compare
from costing.ledger.scale import scaled
from tests.ledger.strategies import LARDER, Draw, book_of, books, laws

Plain = dict[str, Any]
JAN, MAR = date(2026, 1, 5), date(2026, 3, 2)


def near(value: float) -> Any:
    return pytest.approx(value, rel=0, abs=1e-12)


def stage(ident: str, kind: str, *adds: tuple[str, str | None], **more: Any) -> Plain:
    """One stage."""
    return {"id": ident, "kind": kind, "adds": [{"source": s, "amount": a} for s, a in adds], **more}


FEED = stage("feed", "blend", ("spirit", "2 kg"), ("water", "1 kg"), active="10 min")
STILL = stage("still", "distil", facts={"pressure": "60 mbar", "take": "1 l", "runs": "2"}, passive="1.5 h",
              equipment="pot", setup="12 min")  # fmt: skip
DOWN = stage("down", "proof", ("water", None), facts={"abv": "20 % vol"})
KEPT = [{"id": "tails", "stage": "still", "name": "Tails", "share": "0.1"}]


def book(*versions: Plain, gin_gone: bool = False, more: tuple[tuple[str, Plain], ...] = ()) -> Book:
    """A spirit of 50 % vol by weight at 10.00 a kilogram, 12.00 from March; water at 0.10; hands and a pot."""
    prices = [("spirit", "10.00", "kg", "2026-01-01", None), ("spirit", "12.00", "kg", "2026-03-01", None),
              ("water", "0.10", "kg", "2026-01-01", None), ("hand", "18.00", "h", "2026-01-01", None),
              ("potted", "2.00", "h", "2026-01-01", None),
              ("gin", "30.00", "kg", "2026-01-01", "2026-02-01" if gin_gone else None)]  # fmt: skip
    records: list[tuple[str, Plain]] = [
        ("house", {"id": "house", "name": "House", "currency": "EUR", "labour": "hand",
                   "terms": [{"since": "2026-01-01"}]}),
        ("supplier", {"id": "m", "name": "M"}),
        ("good", {"id": "spirit", "name": "Spirit", "kind": "spirit", "base": "kg", "makeup": {"abv": "50 % vol"}}),
        ("good", {"id": "gin", "name": "Gin", "kind": "spirit", "base": "kg", "makeup": {"abv": "45 % vol"}}),
        ("good", {"id": "water", "name": "Water", "kind": "water", "base": "kg"}),
        ("good", {"id": "hand", "name": "Hand", "kind": "labour", "base": "h", "layer": "labour"}),
        ("good", {"id": "potted", "name": "Pot", "kind": "machine", "base": "h", "layer": "machine"}),
        ("equipment", {"id": "pot", "name": "Pot", "hour": "potted"}),
        ("preparation", {"id": "p", "name": "P", "base": "kg", "versions": list(versions)}),
        *more,
    ]  # fmt: skip
    for good, price, base, since, until in prices:
        records.append(
            ("quote", {"id": f"{good}-{since}", "good": good, "supplier": "m", "content": f"1 {base}", "price": price,
                       "currency": "EUR", "since": since, "until": until})
        )  # fmt: skip
    return Book.of(record_from_plain(k, p) for k, p in records)


def version(since: str, *stages: Plain, **more: Any) -> Plain:
    return {"since": since, "stages": list(stages), **more}


def adds_up(c: Comparison) -> None:
    """Parts by price and recipe are the difference, layer by layer."""
    assert c.parts is not None
    assert c.difference is not None
    assert c.a.cost is not None
    assert c.b.cost is not None
    sizes = [abs(v) for p in c.parts for v in (*p.prices, *p.recipe)]
    slack = 1e-12 * max([1.0, *sizes, *map(abs, c.a.cost.columns), *map(abs, c.b.cost.columns)])
    for n in range(4):
        assert c.prices[n] + c.recipe[n] == pytest.approx(c.difference[n], rel=0, abs=slack)


def names(c: Comparison) -> list[tuple[str | None, str | None]]:
    return [(s.a.stage if s.a else None, s.b.stage if s.b else None) for s in c.stages]


def differs(pair: StagePair) -> dict[str, tuple[str, str]]:
    """Texts of the facts that differ."""

    def text(stated: Fact | str | None) -> str:
        return stated.text if isinstance(stated, Fact) else stated or ""

    return {f.name: (text(f.a), text(f.b)) for f in pair.facts}


def test_the_same_recipe_on_two_days_differs_by_prices_alone() -> None:
    b = book(version("2026-01-01", FEED))
    c = compare(reckon(b.on(JAN)), "p", reckon(b.on(MAR)), "p")
    assert c.difference == near_all(2 / 3 * 2.0, 0, 0, 0)
    assert c.prices == near_all(2 / 3 * 2.0, 0, 0, 0)
    assert c.recipe == (0.0, 0.0, 0.0, 0.0)
    (pair,) = c.stages
    assert pair.facts == ()
    assert [(i.source, i.a, i.b, i.cost_a and i.cost_a.making, i.cost_b and i.cost_b.making) for i in pair.inputs] == [
        ("spirit", 2.0, 2.0, 10.0, 12.0)
    ]


def near_all(*values: float) -> tuple[Any, ...]:
    return tuple(near(v) for v in values)


def test_prices_at_the_recipe_of_a_and_the_recipe_at_the_prices_of_b() -> None:
    """Two kilograms of spirit in three become one in three, while a kilogram goes from 10.00 to 12.00."""
    weak = stage("feed", "blend", ("spirit", "1 kg"), ("water", "2 kg"), active="10 min")
    b = book(version("2026-01-01", FEED), version("2026-02-01", weak))
    c = compare(reckon(b.on(JAN)), "p", reckon(b.on(MAR)), "p")
    assert c.prices == near_all(2 / 3 * 2, 0, 0, 0)
    assert c.recipe == near_all(-1 / 3 * 12 + 1 / 3 * 0.10, 0, 0, 0)
    adds_up(c)
    assert {(i.source, i.a, i.b) for i in c.stages[0].inputs} == {("spirit", 2.0, 1.0), ("water", 1.0, 2.0)}


def test_what_left_the_recipe_and_has_no_price_any_more_is_recipe_at_its_old_price() -> None:
    old = version("2026-01-01", stage("feed", "blend", ("gin", "1 kg"), ("water", "1 kg")))
    new = version("2026-02-15", stage("feed", "blend", ("spirit", "1 kg"), ("water", "1 kg")))
    b = book(old, new, gin_gone=True)
    c = compare(reckon(b.on(JAN)), "p", reckon(b.on(MAR)), "p")
    assert c.parts is not None
    gin = next(p for p in c.parts if p.good == "gin")
    assert (gin.prices[0], gin.recipe[0], gin.priced) == (0.0, near(-15.0), (True, False))
    adds_up(c)
    same = book(old, gin_gone=True)
    lost = compare(reckon(same.on(JAN)), "p", reckon(same.on(MAR)), "p")
    assert lost.b.cost is not None
    assert not lost.b.cost.complete
    assert lost.prices[0] == near(-15.0)
    adds_up(lost)


def test_stages_meet_by_id_then_by_kind_and_the_others_stand_where_they_come() -> None:
    first = version("2026-01-01", FEED, stage("a", "bottle", facts={"keep": "99 %"}), DOWN)
    second = version(
        "2026-02-01", stage("wash", "rest", facts={"keep": "98 %"}), DOWN, stage("b", "bottle", facts={"keep": "97 %"})
    )
    second["stages"].insert(0, FEED)
    second["stages"].insert(1, stage("more", "blend", ("spirit", "1 kg")))
    b = book(first, second)
    c = compare(reckon(b.on(JAN)), "p", reckon(b.on(MAR)), "p")
    assert names(c) == [("feed", "feed"), (None, "more"), (None, "wash"), ("a", "b"), ("down", "down")]
    bottle = c.stages[3]
    assert differs(bottle) == {"keep": ("99 %", "97 %")}
    assert bottle.a is not None
    assert bottle.b is not None
    assert bottle.a.share_lost == near(0.01)
    assert bottle.b.share_lost == near(0.03)
    adds_up(c)


def test_figures_of_a_stage_are_those_of_the_ledger() -> None:
    b = book(version("2026-01-01", FEED, STILL, DOWN, byproducts=KEPT))
    day = reckon(b.on(JAN))
    c = compare(day, "p", reckon(b.on(MAR)), "p")
    lines = day.ledgers["p"].lines
    still = c.stages[1].a
    assert still is not None
    assert (still.hands_min, still.machine_h, still.runs) == (12.0, 3.0, 2.0)
    assert c.stages[0].a is not None
    assert c.stages[0].a.hands_min == near(10.0)
    assert still.kg == lines[1].on.matter.mass
    assert still.litres is not None
    assert still.litres == near(2.0)
    assert still.lpa / still.litres == near(lines[1].on.matter.abv or 0.0)
    assert still.money == day.money(lines[1].carried.row)
    entered = lines[0].total("in").ethanol
    assert c.a.recovered == near(lines[2].on.matter.ethanol / entered)
    assert c.a.kept is not None
    assert c.a.recovered is not None
    lost = sum(line.total("lost").ethanol for line in lines)
    assert c.a.recovered + c.a.kept + lost / entered == pytest.approx(1.0, abs=1e-9)
    assert c.a.made == day.ledgers["p"].outputs["p"].made
    tails = compare(day, "p/tails", day, "p/tails")
    assert tails.a.cost == day.costs["p/tails"]
    assert tails.a.made == day.ledgers["p"].outputs["p/tails"].made


def test_a_batch_of_another_size_differs_by_what_does_not_grow() -> None:
    """Setting up, 12 minutes at 18.00 an hour, is spread over three times as much; nothing else differs a kilogram."""
    once = version("2026-01-01", FEED | {"setup": "12 min"})
    day = reckon(book(once).on(JAN))
    batch = scaled(day, "p", Decimal(3))
    c = compare(day, "p", day, "p", batch_b=batch)
    assert c.a.made == near(3.0)
    assert c.b.made == near(9.0)
    assert c.difference == near_all(0, 0, 0, -(12 / 60 * 18 / 3) * (1 - 1 / 3))
    assert c.prices == (0.0, 0.0, 0.0, 0.0)
    assert differs(c.stages[0]) == {"active": ("10 min", "30 min")}
    adds_up(c)


def test_a_batch_as_made_beside_its_standard() -> None:
    filled = stage("fill", "bottle", facts={"keep": "99 %"})
    day = reckon(book(version("2026-01-01", FEED, filled)).on(JAN))
    log = BatchLog(
        id="one",
        preparation="p",
        day=JAN,
        stages=(LoggedStage(stage="fill", readings=(("out.mass", parse_fact("2.7 kg")),)),),
    )
    c = compare(day, "p", day, "p", batch_b=as_made(day, log))
    assert (c.a.made, c.b.made) == (near(2.97), near(2.7))
    assert differs(c.stages[1]) == {"out.mass": ("", "2.7 kg")}
    assert c.a.cost is not None
    assert c.b.cost is not None
    assert c.b.cost.materials == near(20.1 / 2.7)
    assert c.recipe[0] == near(20.1 / 2.7 - 20.1 / 2.97)
    adds_up(c)


def test_two_preparations_two_drinks_and_units_that_do_not_compare() -> None:
    def drink(ident: str, kg: str, **more: Any) -> tuple[str, Plain]:
        build = stage("build", "build", ("p", kg))
        return "serve", {"id": ident, "name": ident, "versions": [{"since": "2026-01-01", "build": build, **more}]}

    poured = [version("2026-01-01", stage("run", "blend", ("water", "2 kg")))]
    water = ("preparation", {"id": "w", "name": "W", "base": "l", "versions": poured})
    ice = ("technique", {"id": "on-ice", "name": "On ice", "dilution": "20 %"})
    b = book(
        version("2026-01-01", FEED),
        more=(water, ice, drink("short", "0.03 kg"), drink("long", "0.05 kg", technique="on-ice", seconds="20 s")),
    )
    day = reckon(b.on(JAN))
    unlike = compare(day, "p", day, "w")
    assert unlike.parts is None
    assert unlike.difference is None
    assert (unlike.a.base, unlike.b.base) == ("kg", "l")
    drinks = compare(day, "short", day, "long")
    assert [(f.name, f.a, f.b) for f in drinks.facts] == [("technique", None, "on-ice")]
    assert drinks.recipe[0] == near(0.02 * 20.1 / 3)
    assert drinks.difference is not None
    assert drinks.difference[3] == near(20 / 3600 * 18 + 0.02 * 3.0 / 3)
    adds_up(drinks)


def test_a_side_that_is_refused_has_no_cost_and_what_is_not_there_is_a_key_error() -> None:
    bad = stage("feed", "blend", ("spirit", "2 kg"), facts={"keep": "120 %"})
    b = book(version("2026-01-01", FEED), version("2026-02-01", bad))
    a, z = reckon(b.on(JAN)), reckon(b.on(MAR))
    c = compare(a, "p", z, "p")
    assert c.b.cost is None
    assert c.parts is None
    assert names(c) == [("feed", None)]
    for wrong in ("q", "p/peel"):
        with pytest.raises(KeyError):
            compare(a, wrong, z, "p")


@st.composite
def pairs(draw: Draw) -> tuple[Reckoning, Reckoning]:
    """A random book, and the same or another one at other prices with a few goods without any."""
    one: View = draw(books())
    two: View = one if draw(st.booleans()) else draw(books())
    made = tuple(p for p, _ in two.preparations.values())
    cents = draw(st.dictionaries(st.sampled_from(sorted(LARDER)), st.integers(1, 9_999), max_size=8))
    other = book_of(made, cents)
    gone = {f"q-{g}" for g in draw(st.lists(st.sampled_from(sorted(LARDER)), max_size=3))}
    kept = Book({k: r for k, r in other.records.items() if k[1] not in gone})
    return reckon(one), reckon(replace(one, book=kept))


@given(pairs())
@laws(100)
def test_prices_and_recipe_add_up_whatever_is_put_beside_what(pair: tuple[Reckoning, Reckoning]) -> None:
    a, b = pair
    for x in a.ledgers:
        for y in b.ledgers:
            c = compare(a, x, b, y)
            assert [s.a.stage for s in c.stages if s.a] == [line.stage for line in a.ledgers[x].lines]
            assert sorted(s.b.stage for s in c.stages if s.b) == sorted(line.stage for line in b.ledgers[y].lines)
            if c.parts is not None:
                adds_up(c)
