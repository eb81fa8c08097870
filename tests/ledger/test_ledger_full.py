"""Exchange, hold-up, gas, runs, warm volumes, methods, tracers and curves, each through a whole book."""

from dataclasses import replace
from datetime import date
from decimal import Decimal as D

import pytest

from costing.book import Book, parse_fact
from costing.book.records import (
    BatchLog,
    ByProduct,
    Equipment,
    Good,
    House,
    Input,
    LoggedInput,
    LoggedStage,
    Preparation,
    Quote,
    Record,
    Serve,
    ServeVersion,
    Stage,
    Supplier,
    Technique,
    Terms,
    Version,
)
from costing.ledger import Ledger, Reckoning, reckon
from costing.ledger.balance import balance_of
from costing.ledger.batches import as_made
from costing.ledger.follow import follow
from costing.ledger.measuring import offered
from costing.ledger.scale import scaled
from costing.liquor import (
    Liquid,
    Solid,
    co2_used,
    density,
    ice_dilution,
    infuse,
    litres_at_20,
)

DAY = date(2026, 3, 2)
SINCE = date(2026, 1, 1)


def good(ident: str, kind: str, base: str, **more: str) -> Good:
    makeup = tuple((n, parse_fact(v)) for n, v in more.items() if n not in ("piece", "density"))
    bridges = {n: parse_fact(more[n]) for n in ("piece", "density") if n in more}
    layer = {"labour": "labour", "machine": "machine", "energy": "energy"}.get(kind, "materials")
    return Good(id=ident, name=ident, kind=kind, base=base, layer=layer, makeup=makeup, **bridges)  # type: ignore[arg-type]


GOODS = [
    good("rum", "spirit", "l", abv="40 % vol"),
    good("pine", "fruit", "kg", water="78 %", solubles="15 %", acid="8 g/kg"),
    good("wine", "wine", "l", abv="12 % vol", sugar="6 g/l", acid="6 g/l", so2="100 mg/l"),
    good("lemon", "juice", "l", brix="8 Bx", acid="58 g/l", so2="300 mg/l"),
    good("cordial", "liqueur", "l", abv="20 % vol", sugar="250 g/l"),
    good("sugar", "sugar", "kg"),
    good("citric", "acid", "kg"),
    good("water", "water", "kg"),
    good("co2", "gas", "kg"),
    good("hand", "labour", "h"),
    good("machine", "machine", "h"),
]


def stage(kind: str, adds: dict[str, str | None] | None = None, ident: str = "", **more: object) -> Stage:
    facts = more.pop("facts", {})
    readings = more.pop("readings", {})
    timed = {n: parse_fact(str(more.pop(n))) for n in ("active", "passive", "setup") if n in more}
    return Stage(
        id=ident or kind,
        kind=kind,
        adds=tuple(Input(source=s, amount=None if a is None else parse_fact(a)) for s, a in (adds or {}).items()),
        facts=tuple((n, parse_fact(t)) for n, t in facts.items()),  # type: ignore[attr-defined]
        readings=tuple((n, f if not isinstance(f, str) else parse_fact(f)) for n, f in readings.items()),  # type: ignore[attr-defined]
        **timed,  # type: ignore[arg-type]
        **more,  # type: ignore[arg-type]
    )


def book_of(*more: Record, house: House | None = None) -> Book:
    quotes = [
        Quote(id=f"q-{g.id}", good=g.id, supplier="quay", content=parse_fact(f"1 {g.base}"), price=D(n + 2),
              currency="EUR", since=SINCE)
        for n, g in enumerate(GOODS)
    ]  # fmt: skip
    home = house or House(id="house", name="House", currency="EUR", labour="hand", terms=(Terms(since=SINCE),))
    return Book.of([home, Supplier(id="quay", name="Quay"), *GOODS, *quotes, *more])


def made_of(*stages: Stage, base: str = "l") -> Preparation:
    return Preparation(id="p", name="P", base=base, versions=(Version(since=SINCE, stages=stages),))  # type: ignore[arg-type]


def run(*stages: Stage, base: str = "l", more: tuple[Record, ...] = ()) -> tuple[Reckoning, Ledger]:
    reckoning = reckon(book_of(made_of(*stages, base=base), *more).on(DAY))
    return reckoning, reckoning.ledgers["p"]


def codes(ledger: Ledger) -> set[str]:
    return {p.code for p in ledger.problems}


@pytest.mark.parametrize("exchange", [1.0, 0.75, 0.5, 0.0])
def test_exchange_is_the_infusion_of_the_physics(exchange: float) -> None:
    facts = {"spent": "0.45 kg"} if exchange == 1.0 else {"spent": "0.66 kg", "exchange": f"{exchange:.0%}"}
    _, ledger = run(stage("infuse", {"rum": "1 l", "pine": "0.65 kg"}, facts=facts))
    solid = Solid(0.65 * 0.78, 0.65 * 0.15, 0.65 * 0.07)
    told = infuse(Liquid.spirit(1.0, 0.40), solid, spent=0.45 if exchange == 1.0 else 0.66, exchange=exchange)
    out = ledger.lines[0].on.matter
    assert out.ethanol == pytest.approx(told.strained.ethanol, rel=1e-12)
    assert out.volume() == pytest.approx(told.strained.volume, rel=1e-12)
    assert ledger.lines[0].share_lost == pytest.approx(told.ethanol_lost, rel=1e-12)
    left = ledger.lines[0].total("lost")
    assert left.mass == pytest.approx(told.spent, rel=1e-12)


def test_a_rinse_gives_back_what_the_marc_held() -> None:
    first = stage("infuse", {"rum": "1 l", "pine": "0.65 kg"}, facts={"spent": "0.45 kg"})
    marc = Preparation(
        id="p", name="P", versions=(Version(since=SINCE, stages=(first,), byproducts=(
            ByProduct(id="marc", stage="infuse", name="Marc"),)),),
    )  # fmt: skip
    rinse = Preparation(
        id="r", name="R", versions=(Version(since=SINCE, stages=(
            stage("rinse", {"p/marc": "0.45 kg", "water": "0.3 kg"}, facts={"spent_ratio": "1"}),)),),
    )  # fmt: skip
    reckoning = reckon(book_of(marc, rinse).on(DAY))
    held = reckoning.ledgers["p"].lines[0].total("kept")
    out = reckoning.ledgers["r"].lines[0].on.matter
    insoluble = 0.65 * 0.07
    free = 0.45 - insoluble + 0.3
    assert out.mass == pytest.approx(0.3, rel=1e-9)
    assert out.ethanol == pytest.approx(held.ethanol * 0.3 / free, rel=1e-9)


def test_hold_up_is_lost_once_a_run_and_a_weighing_knows_of_it() -> None:
    reckoning, ledger = run(stage("blend", {"rum": "1 l", "water": "1 kg"}, facts={"holdup": "50 g", "runs": "2"}))
    line = ledger.lines[0]
    assert line.total("lost").mass == pytest.approx(0.1)
    assert line.on.matter.mass == pytest.approx(line.total("in").mass - 0.1)
    assert reckoning.costs["p"].materials * ledger.outputs["p"].made == pytest.approx(2.0 + 9.0)
    weighed = stage("blend", {"rum": "1 l", "water": "1 kg"}, facts={"holdup": "50 g"}, readings={"out.mass": "1.9 kg"})
    _, ledger = run(weighed)
    assert ledger.lines[0].on.matter.mass == pytest.approx(1.9)
    assert "holdup" not in {name for name, _, _ in ledger.lines[0].stood_on}


def test_a_carbonation_works_out_its_gas() -> None:
    facts = {"co2": "7 g/l", "t": "3 C", "headspace": "1 l", "purges": "3", "foam": "5 %"}
    mixed = stage("blend", {"wine": "9 l", "water": "9 kg"})
    reckoning, ledger = run(mixed, stage("carbonate", {"co2": None}, facts=facts))
    line = ledger.lines[1]
    litres = ledger.lines[0].on.matter.liquid.volume
    used = co2_used(
        litres, 7.0, 3.0, ledger.lines[0].on.matter.liquid.abv,
        1000 * ledger.lines[0].on.matter.solubles / litres, headspace_l=1.0, purges=3, foam=0.05,
    )  # fmt: skip
    assert line.carried.row["co2"] == pytest.approx(used.total / 1000, rel=1e-12)
    assert line.on.matter.gas == pytest.approx(0.007 * litres, rel=1e-12)
    assert line.total("lost").gas == pytest.approx(used.total / 1000 - 0.007 * litres, rel=1e-9)
    assert dict(line.notes)["pressure_bar"] == pytest.approx(used.pressure_bar)
    assert reckoning.costs["p"].complete


@pytest.mark.parametrize(
    ("facts", "adds", "code"),
    [
        ({"co2": "7 g/l", "headspace": "1 l"}, {"co2": None}, "needs-fact"),
        ({}, {"co2": None}, "needs-fact"),
        ({"co2": "7 g/l"}, {"co2": "1 g"}, "more-gas-than-in"),
        ({"co2": "14 g/l", "t": "18 C"}, {"co2": None}, "pressure-high"),
    ],
)
def test_a_carbonation_that_cannot_be(facts: dict[str, str], adds: dict[str, str | None], code: str) -> None:
    _, ledger = run(stage("blend", {"water": "1 kg"}), stage("carbonate", adds, facts=facts))
    assert code in codes(ledger)


def test_a_strong_drink_has_no_known_solubility() -> None:
    _, ledger = run(stage("carbonate", {"rum": "1 l", "co2": None}, facts={"co2": "5 g/l", "t": "4 C"}))
    assert codes(ledger) == {"outside-physics"}


@pytest.mark.parametrize(("charge", "runs"), [("2 kg", 1.0), ("4 kg", 2.0), ("4.001 kg", 3.0), ("0.1 kg", 1.0)])
def test_runs_are_counted_by_the_charge(charge: str, runs: float) -> None:
    kettle = Equipment(id="kettle", name="Kettle", hour="machine", charge=parse_fact("2 kg"))
    reckoning, ledger = run(
        stage("reduce", {"water": charge}, facts={"lost": "50 %"}, equipment="kettle", passive="1 h", active="6 min",
              setup="12 min"),
        more=(kettle,),
    )  # fmt: skip
    line = ledger.lines[0]
    assert line.runs == runs
    assert line.carried.row["machine"] == pytest.approx(runs)
    assert line.carried.row["hand"] == pytest.approx(0.2 + 0.1 * runs)
    assert reckoning.costs["p"].complete


def test_too_much_at_a_time_is_warned_of() -> None:
    kettle = Equipment(id="kettle", name="Kettle", charge=parse_fact("2 l"))
    facts = {"lost": "50 %", "runs": "2"}
    _, ledger = run(stage("reduce", {"water": "5 kg"}, facts=facts, equipment="kettle"), more=(kettle,))
    assert "over-charge" in codes(ledger)
    assert ledger.lines[0].runs == 2.0


def test_an_amount_measured_cold_is_brought_to_20() -> None:
    _, ledger = run(stage("blend", {"rum": "1 l at 5 C"}))
    rum = Liquid.spirit(1.0, 0.40)
    w = rum.ethanol / rum.mass
    assert ledger.outputs["p"].made == pytest.approx(density(w, 5.0) / density(w, 20.0), rel=1e-12)


def test_a_reading_measured_cold_is_brought_to_20() -> None:
    cold = stage("infuse", {"rum": "1 l", "pine": "0.65 kg"}, readings={"out.volume": "1.1 l at 5 C"})
    _, ledger = run(cold)
    out = ledger.lines[0].on.matter
    assert out.volume() == pytest.approx(litres_at_20(1.1, 5.0, out.liquid), rel=1e-10)
    assert out.volume() != pytest.approx(1.1, rel=1e-3)


def test_a_cut_collected_warm_is_brought_to_20() -> None:
    facts = {"pressure": "50 mbar", "take": "0.5 l at 30 C"}
    _, ledger = run(stage("distil", {"rum": "1 l"}, facts=facts))
    out = ledger.lines[0].on.matter
    assert out.volume() == pytest.approx(litres_at_20(0.5, 30.0, out.liquid), rel=1e-9)


def test_a_cold_volume_of_nobody_knows_what_is_refused() -> None:
    unknown = good("mystery", "other", "l")
    _, ledger = run(stage("make", {"mystery": "1 l at 5 C"}, facts={"makes": "1 l"}), more=(unknown,))
    assert "warmth-unknown" in codes(ledger)


@pytest.mark.parametrize(
    ("source", "how", "why"),
    [
        ("cordial", "alcoholmeter, 16 C", "sweetened"),
        ("cordial", "density meter", "sweetened"),
        ("cordial", "distilled sample", ""),
        ("rum", "alcoholmeter", ""),
    ],
)
def test_a_strength_read_where_it_cannot_be_is_left_out(source: str, how: str, why: str) -> None:
    read = replace(parse_fact("10 % vol"), how=how)
    _, ledger = run(stage("rest", {source: "1 l"}, facts={"keep": "90 %"}, readings={"out.abv": read}))
    found = [p for p in ledger.problems if p.code == "method-cannot"]
    assert [dict(p.detail)["why"] for p in found] == ([why] if why else [])
    assert bool(ledger.lines[0].deviations) is not bool(why)


def test_a_proof_by_an_alcoholmeter_in_syrup_is_not_believed() -> None:
    read = replace(parse_fact("15 % vol"), how="alcoholmeter")
    _, ledger = run(stage("proof", {"cordial": "1 l", "water": None}, readings={"out.abv": read}))
    assert ledger.refused
    assert codes(ledger) == {"method-cannot", "needs-fact"}
    preparation = made_of(stage("proof", {"cordial": "1 l", "water": None}, facts={"abv": "16 % vol"}))
    log = BatchLog(
        id="b", preparation="p", day=DAY, stages=(LoggedStage(stage="proof", readings=(("out.abv", read),)),)
    )
    view = book_of(preparation).on(DAY)
    ledger = follow(view, preparation, preparation.versions[0], reckon(view).units, log)
    assert not ledger.refused
    assert codes(ledger) == {"method-cannot"}
    assert ledger.outputs["p"].unit.matter is not None
    assert ledger.outputs["p"].unit.matter.abv == pytest.approx(0.16)


def test_methods_are_offered_by_the_liquid() -> None:
    _, ledger = run(stage("blend", {"cordial": "1 l"}))
    cordial = ledger.lines[0].on.matter
    said = dict(offered("out.abv", cordial))
    assert said == {"alcoholmeter": "sweetened", "density meter": "sweetened", "distilled sample": ""}
    assert dict(offered("out.brix", cordial))["refractometer"] == "alcohol-in-it"
    assert dict(offered("out.mass", cordial)) == {"scales": ""}


def test_so2_and_acid_ride_along() -> None:
    """20 ml of bottled juice at 300 mg/l and 30 ml of wine at 100 mg/l in 120 ml are 75 mg/l."""
    build = stage("build", {"lemon": "20 ml", "wine": "30 ml", "water": "70 ml"}, ident="build")
    serve = Serve(id="s", name="S", versions=(ServeVersion(since=SINCE, build=build),))
    home = House(id="house", name="H", currency="EUR", terms=(Terms(since=SINCE),), standard_drink=parse_fact("10 g"))
    reckoning = reckon(book_of(serve, house=home).on(DAY))
    found = balance_of(reckoning.serves["s"], home)
    assert found is not None
    assert found.so2_mg_l == pytest.approx(75.0, rel=2e-3)
    assert found.acid_g_l == pytest.approx((20 * 58 + 30 * 6) / 120, rel=2e-3)
    assert found.ethanol_g == pytest.approx(30 * 0.12 * 0.789239, rel=1e-6)
    assert found.drinks == pytest.approx(found.ethanol_g / 10)


def test_so2_may_come_over_and_acid_stays_in_the_pot() -> None:
    _, ledger = run(stage("distil", {"wine": "1 l"}, facts={"pressure": "80 mbar", "take": "0.2 l"}))
    line = ledger.lines[0]
    assert line.on.matter.so2 == pytest.approx(100e-6)
    assert line.on.matter.acids == 0.0
    assert line.total("lost").acids == pytest.approx(0.006)


def test_an_acid_counts_whole_as_citric() -> None:
    _, ledger = run(stage("acidify", {"water": "1 kg", "citric": "10 g"}))
    assert ledger.lines[0].on.matter.acids == pytest.approx(0.010)


def serve_with(technique: Technique, *, rum: str = "60 ml") -> tuple[Reckoning, Serve]:
    serve = Serve(
        id="s", name="S",
        versions=(ServeVersion(since=SINCE, build=stage("build", {"rum": rum}, ident="build"), technique="t"),),
    )  # fmt: skip
    return reckon(book_of(serve, technique).on(DAY)), serve


def test_a_published_curve_stands_in_for_a_dilution() -> None:
    reckoning, _ = serve_with(Technique(id="t", name="T", like="stirred"))
    out = reckoning.serves["s"].on.matter
    ratio = ice_dilution(0.40, "stirred")
    melt = ratio * 0.06 * Liquid.pure_water(1.0).density / 1000
    assert out.mass == pytest.approx(Liquid.spirit(0.06, 0.40).mass + melt, rel=1e-9)
    (own_ratio,) = [(v, m) for n, v, m in reckoning.serves["s"].stood_on if n == "dilution"]
    assert own_ratio[0] == pytest.approx(ratio)
    assert own_ratio[1] == "assumed"
    own, _ = serve_with(Technique(id="t", name="T", like="stirred", dilution=parse_fact("25 %")))
    assert {n: v for n, v, _ in own.serves["s"].stood_on}["dilution"] == 0.25


def test_outside_the_curve_a_ratio_is_asked_for() -> None:
    strong = good("strong", "spirit", "l", abv="60 % vol")
    serve = Serve(
        id="s", name="S",
        versions=(ServeVersion(since=SINCE, build=stage("build", {"strong": "60 ml"}, ident="build"), technique="t"),),
    )  # fmt: skip
    reckoning = reckon(book_of(serve, strong, Technique(id="t", name="T", like="shaken")).on(DAY))
    assert {p.code for p in reckoning.problems if p.where.startswith("serve")} == {"outside-curve"}
    assert reckoning.serves["s"].on.matter.abv == pytest.approx(0.60)


@pytest.mark.parametrize("factor", ["0.5", "2", "3.7"])
def test_a_scaled_batch_keeps_its_fixed_parts(factor: str) -> None:
    still = Equipment(id="still", name="Still", hour="machine", charge=parse_fact("1 l"))
    adds = (
        Input(source="rum", amount=parse_fact("2 l")),
        Input(source="citric", amount=parse_fact("5 g"), fixed=True),
    )
    stages = (
        replace(stage("blend", facts={"holdup": "40 g"}, active="10 min", setup="5 min"), adds=adds),
        stage("distil", facts={"pressure": "50 mbar", "take": "0.4 l", "holdup": "10 g"}, equipment="still",
              passive="1 h", active="6 min"),
    )  # fmt: skip
    reckoning, ledger = run(*stages, more=(still,))
    k = float(factor)
    batch = scaled(reckoning, "p", D(factor))
    first, second = batch.ledger.lines
    before = ledger.lines[0], ledger.lines[1]
    assert first.carried.row["rum"] == pytest.approx(2.0 * k)
    assert first.carried.row["citric"] == pytest.approx(0.005)
    assert first.total("lost").mass == pytest.approx(before[0].total("lost").mass) == pytest.approx(0.04)
    assert first.carried.row["hand"] == pytest.approx(5 / 60 + k * 10 / 60)
    assert second.runs == -(-first.on.matter.volume() // 1.0)  # type: ignore[operator]
    assert second.carried.row["machine"] == pytest.approx(second.runs)
    taken = 0.4 * before[1].runs * k
    assert second.on.matter.volume() == pytest.approx(taken, rel=1e-9)
    assert scaled(reckoning, "p", D(1)).ledger.outputs["p"].made == pytest.approx(ledger.outputs["p"].made, rel=1e-12)


@pytest.mark.parametrize("factor", ["0", "-1", "10001", "NaN"])
def test_a_factor_that_cannot_be(factor: str) -> None:
    reckoning, _ = run(stage("blend", {"rum": "2 l"}))
    with pytest.raises(ValueError, match="accepted above 0 and at most 10000"):
        scaled(reckoning, "p", D(factor))


JUICE = good("must", "juice", "l", brix="12 Bx", acid="6 g/l")


def test_fermenting_makes_ethanol_of_sugar_by_a_strength_that_was_read() -> None:
    """Gay-Lussac's balance: 180.156 g of hexose give 92.14 g of ethanol and 88.02 g of CO2 (molar masses, IUPAC)."""
    read = replace(parse_fact("5 % vol"), how="distilled sample")
    _, ledger = run(stage("ferment", {"must": "1 l"}, readings={"out.abv": read}), more=(JUICE,))
    line = ledger.lines[0]
    out, gas = line.on.matter, line.total("meant")
    assert out.abv == pytest.approx(0.05, rel=1e-12)
    sugar = line.total("in").solubles - out.solubles
    assert out.ethanol == pytest.approx(sugar * 2 * 46.069 / 180.156, rel=1e-9)
    assert gas.gas == pytest.approx(sugar * 2 * 44.009 / 180.156, rel=1e-4)
    assert out.mass + gas.mass == pytest.approx(line.total("in").mass, rel=1e-12)
    assert line.share_lost == 0.0
    by_weight = stage("ferment", {"must": "1 l"}, facts={"given_off": f"{1000 * gas.gas:.9f} g"})
    _, again = run(by_weight, more=(JUICE,))
    assert again.lines[0].on.matter.abv == pytest.approx(0.05, rel=1e-6)


@pytest.mark.parametrize(
    ("facts", "code"),
    [({"abv": "12 % vol"}, "stronger-than-sugar"), ({"given_off": "0.2 kg"}, "more-sugar-than-in"), ({}, "needs-fact")],
)
def test_a_fermentation_that_cannot_be(facts: dict[str, str], code: str) -> None:
    _, ledger = run(stage("ferment", {"must": "1 l"}, facts=facts), more=(JUICE,))
    assert code in codes(ledger)
    assert ledger.refused


def test_fermenting_does_not_make_weaker() -> None:
    _, ledger = run(stage("ferment", {"wine": "1 l"}, facts={"abv": "8 % vol"}))
    assert "weaker-than-charge" in codes(ledger)


def test_a_log_says_what_really_went_in() -> None:
    infused = stage("infuse", {"rum": "1 l", "pine": "0.65 kg"}, facts={"spent": "0.45 kg"})
    reckoning, _ = run(infused)
    added = (
        LoggedInput(input="rum", amount=parse_fact("1.1 l"), lot="r1"),
        LoggedInput(input="pine", amount=parse_fact("2 l")),
        LoggedInput(input="gin", amount=parse_fact("1 l")),
    )
    logged = LoggedStage(stage="infuse", added=added, readings=(("left.mass", parse_fact("0.5 kg")),))
    log = BatchLog(id="b", preparation="p", day=DAY, stages=(logged,))
    batch = as_made(reckoning, log)
    line = batch.ledger.lines[0]
    assert line.carried.row["rum"] == pytest.approx(1.1)
    assert line.carried.row["pine"] == pytest.approx(0.65), "2 l of fruit cannot be weighed: the recipe stands"
    assert line.total("lost").mass == pytest.approx(0.5)
    assert {p.code for p in batch.ledger.problems} == {"no-density", "log-input"}
    assert {p.level for p in batch.ledger.problems} == {"warning"}
    assert not batch.ledger.refused


def test_the_stage_at_fault_is_left_out_of_a_log_and_the_others_stay() -> None:
    first = stage("blend", {"rum": "1 l", "water": "1 kg"})
    second = stage("bottle", facts={"holdup": "50 g"})
    third = stage("rest", facts={"keep": "98 %"})
    reckoning, _ = run(first, second, third)
    weighed = {"blend": "0.01 kg", "rest": "1.8 kg"}
    stages = tuple(LoggedStage(stage=s, readings=(("out.mass", parse_fact(t)),)) for s, t in weighed.items())
    batch = as_made(reckoning, BatchLog(id="b", preparation="p", day=DAY, stages=stages))
    assert not batch.ledger.refused
    left_out = [p.where for p in batch.ledger.problems if p.code == "log-left-out"]
    assert left_out == ["batch/b/stage/blend"]
    assert batch.ledger.lines[2].on.matter.mass == pytest.approx(1.8)
