"""One good in another's place: every figure against the book that really has it, and small ones worked by hand."""

from dataclasses import replace
from datetime import date
from decimal import Decimal as D
from typing import Any

import pytest

from costing.book.book import Book
from costing.book.fact import parse_fact
from costing.book.records import (
    AllergenState,
    AllergenStatement,
    Good,
    Input,
    Preparation,
    Record,
    Serve,
    Stage,
    Version,
)
from costing.edits.substitutes import substitute
from costing.ledger.balance import balance_of
from costing.ledger.reckon import reckon
from costing.paths import sample_book
from costing.pricing.menu import priced_serves
from costing.store import read_json
from costing.supply.buying.substitute import allergen_changes, substitution
from costing.supply.buying.swap_record import Substitution
from tests.supply.buying.bar import DAY, book, good, menu, quote, serve

WHEN = date(2026, 11, 1)


@pytest.fixture(scope="module")
def sample() -> Book:
    """The sample bar."""
    return read_json(sample_book())


def states(**given: AllergenState) -> tuple[AllergenStatement, ...]:
    """What a label says of a few allergens."""
    return tuple(AllergenStatement(name=name, state=state) for name, state in given.items())


def pair(other: Good, *drinks: Record, **more: Any) -> Book:
    """Rum at 20 a litre and another good at 30 a base unit, in some drinks."""
    rum = good("rum", **more)
    return book(rum, other, quote("q1", "20", "1 l"), quote("q2", "30", f"1 {other.base}", other.id), *drinks)


def swap(made: Book, other: str = "gin") -> Substitution:
    """Another good in the place of rum."""
    return substitution(made, DAY, "rum", other)


def test_cost_strength_and_sugar_of_a_drink_worked_by_hand() -> None:
    """50 ml of rum (40 %, 20.00/l) become 50 ml of a liqueur (25 %, 100 g/l of sugar, 30.00/l) in 50 ml of water."""
    liqueur = good("gin", "liqueur", makeup="")
    liqueur = replace(liqueur, makeup=(("abv", parse_fact("25 %")), ("sugar", parse_fact("100 g/l"))))
    made = pair(
        liqueur, serve("one", ("rum", "50 ml"), ("water", "50 ml")), serve("two", ("water", "50 ml")), menu("one")
    )
    made = Book.of([*made.records.values(), good("water", "water", "l", ""), quote("q3", "0.1", "1 l", "water")])
    found = swap(made)
    (drink,) = found.serves
    assert (found.refused, found.problems) == ((), ())
    assert (drink.serve, drink.before.priced.menu) == ("one", "bar")
    assert (drink.before.priced.base, drink.after.priced.base) == pytest.approx((1.005, 1.505))
    assert drink.moves == pytest.approx(0.5)
    before, after = drink.before.balance, drink.after.balance
    assert before is not None
    assert after is not None
    # mixing shrinks by a few per mille, so strength and sugar come out a little above the half
    assert (before.abv, after.abv) == pytest.approx((0.20, 0.125), rel=0.02)
    assert (before.sugar_g_l, after.sugar_g_l) == pytest.approx((0, 50), rel=0.02)
    assert (found.good.cost.making, found.other.cost.making, found.like_for_like) == pytest.approx((20, 30, 30))
    assert found.other.balance is not None
    assert (found.other.balance.abv, found.other.balance.sugar_g_l) == pytest.approx((0.25, 100), rel=1e-6)


@pytest.mark.parametrize(("old", "new"), [("white-rum", "dark-rum"), ("lime", "lemon"), ("dry-gin", "grain-vodka")])
def test_it_is_what_the_book_says_once_it_is_written(sample: Book, old: str, new: str) -> None:
    """The independent way: the edit is done, and the day reckoned."""
    found = substitution(sample, WHEN, old, new)
    step = substitute(sample, old, new, WHEN)
    assert step is not None
    done = reckon(sample.with_changes(step.changes).on(WHEN))
    now = reckon(sample.on(WHEN))
    after = {(p.serve.id, p.menu, p.section): p for p in priced_serves(done)}
    assert found.refused == ()
    assert found.serves
    for drink in found.serves:
        priced = after[drink.serve, drink.after.priced.menu, drink.after.priced.section]
        assert drink.after.priced.cost == priced.cost
        assert drink.after.pour_cost == (priced.price.pour_cost if priced.price else None)
        house = sample.house
        assert drink.after.balance == (balance_of(priced.line, house) if priced.line else None)
    for made in found.made:
        assert made.after == done.costs.get(made.preparation)
        assert made.before == now.costs.get(made.preparation)
    listed = {d.serve for d in found.serves}
    for ident in sample.all(Serve).keys() - listed:  # nothing else moves
        assert done.serve_cost(ident) == now.serve_cost(ident)
    assert not any(old in done.contents(line.carried).row for line in done.serves.values())


def test_it_is_found_through_everything_that_is_made(sample: Book) -> None:
    found = substitution(sample, WHEN, "lime", "lemon")
    assert "lime-juice" in {m.preparation for m in found.made}
    taken = {i.source for d in found.serves for i in d.before.priced.version.build.adds}
    assert "lime-juice" in taken


def test_what_cannot_be_written_of_the_other_is_refused_with_the_bridge_that_is_missing() -> None:
    rum = {"piece": parse_fact("30 ml")}
    powder = good("gin", "sugar", "kg", "")
    for amount, code in (("1 each", "no-piece"), ("30 ml", "no-density")):
        found = swap(pair(powder, serve("one", ("rum", amount)), **rum))
        assert [(p.code, p.where) for p in found.refused] == [(code, "serve/one/2020-01-01/build/add/1")]
        assert (found.serves, found.made, found.like_for_like) == ((), (), None)
    dense = replace(powder, density=parse_fact("1.5 kg/l"))
    found = swap(pair(dense, serve("one", ("rum", "30 ml"))))
    assert found.refused == ()
    assert found.serves[0].after.priced.base == pytest.approx(0.03 * 1.5 * 30)
    assert found.like_for_like == pytest.approx(45)


def test_weights_stay_weights_and_volumes_volumes() -> None:
    heavy = good("gin", "liqueur", density=parse_fact("1.25 kg/l"))
    found = swap(pair(heavy, serve("one", ("rum", "50 ml")), serve("two", ("rum", "50 g"))))
    assert [s.after.priced.base for s in found.serves] == pytest.approx([1.5, 0.05 / 1.25 * 30])


def test_allergens_that_come_that_go_and_that_nobody_stated() -> None:
    rum = {"allergens": states(milk="contains", eggs="free", fish="may_contain", celery="free", mustard="free")}
    gin = good("gin", allergens=states(milk="free", eggs="contains", fish="contains", mustard="free"))
    found = swap(pair(gin, serve("one", ("rum", "50 ml")), **rum))
    wanted = {"milk": "disappears", "eggs": "appears", "fish": "changes", "celery": "not-stated"}
    for changes in (found.allergens, found.serves[0].allergens):
        assert {c.name: c.how for c in changes} == wanted
    assert {c.name: (c.before, c.after) for c in found.allergens}["milk"] == ("contains", "free")


def test_an_exemption_for_the_old_one_does_not_hide_the_new_one() -> None:
    stage = Stage(id="mix", kind="blend", adds=(Input(source="rum", amount=parse_fact("1 l")),))
    word = AllergenStatement(name="milk", state="free", who="lab", label="distilled")
    version = Version(since=date(2020, 1, 1), stages=(stage,))
    mix = Preparation(id="mix", name="Mix", versions=(version,), exemptions=(word,))
    gin = good("gin", allergens=states(milk="contains"))
    made = pair(gin, serve("one", ("mix", "50 ml")), allergens=states(milk="contains"))
    found = swap(Book.of([*made.records.values(), mix]))
    assert [(c.name, c.before, c.after, c.how) for c in found.serves[0].allergens if c.name == "milk"] == [
        ("milk", "exempt", "exempt", "exempt")
    ]


def test_what_the_new_recipes_say_and_a_price_that_is_missing() -> None:
    made = pair(good("gin", makeup=""), serve("one", ("rum", "50 ml")))
    made = Book.of([r for r in made.records.values() if r.id != "q2"])
    found = swap(made)
    assert (found.serves[0].moves, found.like_for_like) == (None, None)
    assert found.serves[0].after.priced.cost.unpriced == {"gin"}
    assert {p.code for p in found.problems} == {"not-followed", "unpriced"}


def test_acid_and_sugar_that_nobody_stated_are_the_least_there_can_be() -> None:
    wine = good("gin", "wine", makeup="12 %")
    (drink,) = swap(pair(wine, serve("one", ("rum", "50 ml")))).serves
    assert (drink.before.least, drink.after.least) == ((), ("acid", "sugar"))


def test_nothing_is_written_and_a_call_that_cannot_be_is_refused() -> None:
    made = pair(good("gin"), serve("one", ("rum", "50 ml")))
    records = dict(made.records)
    swap(made)
    assert made.records == records
    with pytest.raises(KeyError):
        swap(made, "nothing")
    with pytest.raises(ValueError, match="itself"):
        swap(made, "rum")
    assert allergen_changes((), (), "gin") == ()
    assert swap(pair(good("gin"))).serves == ()


def test_a_drink_that_takes_both_takes_more_of_one() -> None:
    made = pair(good("gin"), serve("one", ("rum", "30 ml"), ("gin", "20 ml")))
    assert swap(made).serves[0].after.priced.base == pytest.approx(float(D("0.05") * 30))
