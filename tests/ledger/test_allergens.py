"""Allergens through the tree: nothing is dropped, nothing unstated is free, and a name stands behind every exemption.

The list is Annex II of Regulation (EU) 1169/2011; that distilling drops nothing here is the house's own careful rule.
"""

from dataclasses import replace
from datetime import date

import pytest

from costing.book import Book, parse_fact
from costing.book.checks import check
from costing.book.records import (
    AllergenStatement,
    Equipment,
    Good,
    House,
    Input,
    Preparation,
    Serve,
    ServeVersion,
    Stage,
    Terms,
    Version,
)
from costing.ledger import reckon
from costing.ledger.allergens import Finding, allergens_of, serve_allergens
from costing.tables import allergen_list

SINCE = date(2026, 1, 1)
HOUSE = House(id="house", name="H", currency="EUR", terms=(Terms(since=SINCE),))


def told(state: str, name: str = "nuts", **more: str) -> AllergenStatement:
    return AllergenStatement(name=name, state=state, who="bar lead", **more)  # type: ignore[arg-type]


def free_of_all(*but: AllergenStatement) -> tuple[AllergenStatement, ...]:
    named = {s.name for s in but}
    return (*but, *(told("free", a.code) for a in allergen_list("EU 14") if a.code not in named))


SPIRIT = Good(id="rum", name="Rum", kind="spirit", base="l", makeup=(("abv", parse_fact("40 % vol")),))
WALNUT = Good(
    id="walnut", name="Walnut", kind="dry", base="kg",
    makeup=(("water", parse_fact("4 %")), ("solubles", parse_fact("10 %"))),
)  # fmt: skip
EGG = Good(id="egg", name="Egg white", kind="egg", base="each")
HOUR = Good(id="hour", name="Hour", kind="labour", base="h", layer="labour")


def stage(ident: str, kind: str, *adds: str, equipment: str = "", **facts: str) -> Stage:
    return Stage(
        id=ident, kind=kind, equipment=equipment,
        adds=tuple(Input(source=s, amount=parse_fact(a)) for s, a in (x.split("=") for x in adds)),
        facts=tuple((n, parse_fact(t)) for n, t in facts.items()),
    )  # fmt: skip


def distillate(*exemptions: AllergenStatement) -> Preparation:
    return Preparation(
        id="d", name="D", exemptions=exemptions,
        versions=(Version(since=SINCE, stages=(
            stage("i", "infuse", "rum=1 l", "walnut=0.2 kg", spent_ratio="1.8"),
            stage("d", "distil", pressure="50 mbar", take="0.3 l", equipment="still"),
        )),),
    )  # fmt: skip


def serve(*adds: str) -> Serve:
    return Serve(id="s", name="S", versions=(ServeVersion(since=SINCE, build=stage("b", "build", *adds)),))


def found(prep: Preparation, *goods: Good, still: tuple[AllergenStatement, ...] = ()) -> dict[str, Finding]:
    machine = Equipment(id="still", name="Still", allergens=still)
    book = Book.of([HOUSE, prep, machine, HOUR, *goods])
    return {f.name: f for f in allergens_of(reckon(book.on(SINCE)), prep.id)}


def test_distilling_takes_nothing_away() -> None:
    nut = replace(WALNUT, allergens=free_of_all(told("contains")))
    result = found(distillate(), replace(SPIRIT, allergens=free_of_all()), nut)
    assert list(result) == [a.code for a in allergen_list("EU 14")]
    assert result["nuts"].state == "contains"
    assert [(r.source, r.path) for r in result["nuts"].reasons if r.state == "contains"] == [("walnut", ("d",))]
    assert {f.state for n, f in result.items() if n != "nuts"} == {"free"}


def test_what_nobody_stated_is_not_free() -> None:
    result = found(distillate(), replace(SPIRIT, allergens=free_of_all()), WALNUT)
    assert {f.state for f in result.values()} == {"not_stated"}
    half = replace(WALNUT, allergens=(told("free", "milk"),))
    result = found(distillate(), replace(SPIRIT, allergens=free_of_all()), half)
    assert {n for n, f in result.items() if f.state == "free"} == {"milk"}


def test_a_named_person_with_a_reason_exempts_and_it_stays_in_sight() -> None:
    nut = replace(WALNUT, allergens=free_of_all(told("contains")))
    rum = replace(SPIRIT, allergens=free_of_all())
    result = found(distillate(told("free", label="nuts used for distillates")), rum, nut)
    assert result["nuts"].state == "exempt"
    (reason,) = [r for r in result["nuts"].reasons if r.state == "exempt"]
    assert reason.statement is not None
    assert (reason.source, reason.statement.who) == ("d", "bar lead")


@pytest.mark.parametrize(
    "exemption",
    [
        AllergenStatement(name="nuts", state="free", label="a reason"),
        AllergenStatement(name="nuts", state="free", who="somebody"),
        AllergenStatement(name="nuts", state="contains", who="somebody", label="a reason"),
    ],
)
def test_an_exemption_without_a_name_or_a_reason_does_nothing(exemption: AllergenStatement) -> None:
    nut = replace(WALNUT, allergens=free_of_all(told("contains")))
    prep = distillate(exemption)
    assert found(prep, replace(SPIRIT, allergens=free_of_all()), nut)["nuts"].state == "contains"
    wrong = {p.code for p in check(Book.of([HOUSE, prep])) if "allergen" in p.code or "exempt" in p.code}
    assert wrong <= {"exempt-by-nobody", "not-an-exemption"}
    assert wrong


def test_a_shared_machine_counts() -> None:
    nut = replace(WALNUT, allergens=free_of_all())
    rum = replace(SPIRIT, allergens=free_of_all())
    result = found(distillate(), rum, nut, still=(told("may_contain", "milk"),))
    assert result["milk"].state == "may_contain"
    assert result["milk"].reasons[-1].source == "equipment/still"


def test_a_drink_takes_all_that_went_in_and_its_garnish() -> None:
    twist = Good(
        id="twist", name="Twist", kind="garnish", base="each", allergens=free_of_all(told("contains", "sulphites"))
    )
    goods = [
        replace(SPIRIT, allergens=free_of_all()), replace(WALNUT, allergens=free_of_all(told("contains"))),
        replace(EGG, allergens=free_of_all(told("contains", "eggs"))), twist,
    ]  # fmt: skip
    book = Book.of([HOUSE, distillate(), serve("d=45 ml", "egg=1", "twist=1"), Equipment(id="still", name="S"), *goods])
    result = {f.name: f for f in serve_allergens(reckon(book.on(SINCE)), "s")}
    assert {n for n, f in result.items() if f.state == "contains"} == {"nuts", "eggs", "sulphites"}
    assert [r.path for r in result["nuts"].reasons if r.state == "contains"] == [("d",)]


def test_a_list_may_be_the_american_one_and_names_are_as_good_as_codes() -> None:
    home = replace(HOUSE, allergen_list="US 9")
    nut = replace(WALNUT, allergens=(told("contains", "tree nuts"),))
    book = Book.of([home, SPIRIT, nut])
    reckoning = reckon(book.on(SINCE))
    result = {f.name: f for f in allergens_of(reckoning, "walnut")}
    assert len(result) == 9
    assert (result["nuts"].state, result["nuts"].says) == ("contains", "tree nuts")
    assert allergens_of(reckon(book.on(SINCE)), "nothing")[0].state == "not_stated"


def test_a_name_that_is_on_no_list_is_said() -> None:
    odd = replace(WALNUT, allergens=(told("contains", "Walnüsse"),))
    problems = check(Book.of([HOUSE, odd]))
    assert [p.where for p in problems if p.code == "unknown-allergen"] == ["good/walnut"]
    strange = Book.of([replace(HOUSE, allergen_list="Moon 3"), odd])
    assert [p.code for p in check(strange) if p.code == "unknown-list"] == ["unknown-list"]
    assert allergens_of(reckon(strange.on(SINCE)), "walnut") == ()


def test_a_mother_batch_does_not_go_round_for_ever() -> None:
    mother = Preparation(
        id="d", name="D",
        versions=(Version(since=SINCE, stages=(stage("b", "blend", "rum=1 l", "d=0.5 l", "walnut=1 g"),)),),
    )  # fmt: skip
    nut = replace(WALNUT, allergens=free_of_all(told("contains")))
    assert found(mother, replace(SPIRIT, allergens=free_of_all()), nut)["nuts"].state == "contains"
