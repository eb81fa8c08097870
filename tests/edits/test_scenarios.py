"""Scenarios as edits: lines read and written, kept, changed, and applied with the figures that were shown."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from costing.book import Book
from costing.book.change import Change, Step, put
from costing.book.fact import parse_fact
from costing.book.history import check_record
from costing.book.levies import Levy
from costing.book.records import Quote
from costing.book.selling import Scenario, Supposed
from costing.edits import scenarios as edits
from costing.ledger import reckon
from costing.menu.overlay import laid_over
from tests.menu.supposals import DAY, DAYS, all_figures, applied_as_shown, sample, scenario, scenarios, some

D = Decimal


@settings(max_examples=8, deadline=None)
@given(scenarios())
def test_applied_the_figures_are_those_that_were_shown(found: tuple[date, Scenario]) -> None:
    """``python -m tests.menu.long_scenarios`` tries thousands."""
    applied_as_shown(*found)


def test_another_suppliers_older_quote_does_not_become_the_one_that_counts() -> None:
    """A new quote is the latest: a supplier whose quotes cost nothing must not come first by being dearer."""
    day = date(2026, 12, 1)
    view = sample().on(day)
    twice = [(good, offers) for good, offers in view.quotes.items() if len(offers) > 1]
    assert twice
    for supplier in sorted({quote.supplier for _, offers in twice for quote in offers[1:]}):
        supposed = scenario(Supposed(sort="supplier", target=supplier, value=D("0.5")))
        step = edits.applied(sample(), supposed, day)
        assert step is not None
        shown = all_figures(reckon(laid_over(sample(), supposed, day).book.on(day)))
        assert all_figures(reckon(sample().with_changes(step.changes).on(day))) == shown


def test_what_is_applied_is_dated_and_one_step() -> None:
    day = date(2026, 11, 3)
    lines = ["white rum 40 % = 90", "VAT = 21 %", "pineapple-distillate trim/refuse = 60 %", "menu harbour-light = 17",
             "CHF = 0.95", "harbour-light, pineapple-distillate = 50 ml", "sold -10 %"]  # fmt: skip
    kept = edits.scenario_of(sample(), lines, day, "Autumn")
    step = edits.applied(sample(), kept, day, past=("white-rum-2026-11-03",))
    assert step is not None
    assert step.text == "scenario “Autumn” from 2026-11-03 (what is supposed of sales changes nothing)"
    assert sorted((c.kind, c.before is None) for c in step.changes) == [
        ("house", False), ("menu", False), ("preparation", False), ("quote", True), ("rate", True), ("serve", False),
    ]  # fmt: skip
    after = sample().with_changes(step.changes)
    quote = after.on(day).quote_of("white-rum")
    assert quote is not None
    assert (quote.id, quote.since, quote.price) == ("white-rum-2026-11-03-2", day, D(90)), "no id is used again"
    assert after.house is not None
    assert (after.house.terms[-1].since, after.house.terms[-1].levies[-1].rate) == (day, D("0.21"))
    made = after.on(day).preparations["pineapple-distillate"][1]
    assert (made.since, dict(made.stages[0].facts)["refuse"].text) == (day, "~60 %"), "nobody has measured it"
    built = after.on(day).serves["harbour-light"][1]
    assert built.since == day
    assert "50 ml" in {i.amount.text for i in built.build.adds if i.amount is not None}


def test_a_scenario_of_sales_alone_applies_to_nothing() -> None:
    sales = edits.scenario_of(sample(), ["sold harbour-light -20 %"], DAY, "Quiet")
    assert edits.applied(sample(), sales, DAY) is None
    step, ident = edits.new_scenario(sample(), "Quiet", ["sold -20 %"], DAY)
    book = sample().with_changes(step.changes)
    gone = edits.applied(book, book.all(Scenario)[ident], DAY, drop=True)
    assert gone is not None
    assert [c.after for c in gone.changes] == [None]


def test_a_scenario_is_kept_renamed_changed_and_thrown_away() -> None:
    step, ident = edits.new_scenario(sample(), " Dear  autumn ", ["white-rum +10 %"], DAY, past=("dear-autumn",))
    book = sample().with_changes(step.changes)
    assert (ident, book.all(Scenario)[ident].name) == ("dear-autumn-2", "Dear autumn")
    check_record("scenario", book.all(Scenario)[ident])
    with pytest.raises(ValueError, match="has “dear autumn” already"):
        edits.new_scenario(book, "dear autumn", [], DAY)
    book = done(book, edits.add_supposed(book, ident, "VAT = 21 %", DAY))
    book = done(book, edits.set_supposed(book, ident, 0, "white-rum +20 %", DAY))
    book = done(book, edits.rename(book, ident, "Winter"))
    book = done(book, edits.set_note(book, ident, " by the harbour "))
    kept = book.all(Scenario)[ident]
    assert [edits.supposed_text(s, book, DAY) for s in kept.supposed] == ["White rum 40 % +20 %", "VAT = 21 %"]
    assert (kept.name, kept.note) == ("Winter", "by the harbour")
    assert edits.rename(book, ident, "Winter") is None
    assert edits.set_supposed(book, ident, 1, "tax VAT = 21 %", DAY) is None
    book = done(book, edits.set_supposed(book, ident, 1, "  ", DAY))
    book = done(book, edits.remove_supposed(book, ident, 0))
    assert book.all(Scenario)[ident].supposed == ()
    with pytest.raises(ValueError, match="there is no line 1"):
        edits.remove_supposed(book, ident, 0)
    assert book.with_changes(edits.remove(book, ident).changes) == sample()


def done(book: Book, step: Step | None) -> Book:
    assert step is not None
    return book.with_changes(step.changes)


def test_a_line_behind_one_that_is_gone_can_still_be_added() -> None:
    old = replace(scenario(Supposed(sort="price", target="moon-rum", value=D("0.1"))), id="old")
    book = sample().with_changes([Change("scenario", "old", None, old)])
    after = done(book, edits.add_supposed(book, "old", "white-rum +5 %", DAY))
    assert len(after.all(Scenario)["old"].supposed) == 2
    assert edits.supposed_text(old.supposed[0], book, DAY) == "price moon-rum +10 %"


@pytest.mark.parametrize(
    ("text", "sort", "target", "part", "how", "value"),
    [
        ("white rum 40 % +10 %", "price", "white-rum", "", "by", "0.1"),
        ("white-rum+10%", "price", "white-rum", "", "by", "0.1"),
        ("price white-rum −5 %", "price", "white-rum", "", "by", "-0.05"),
        ("white-rum x 1.5", "price", "white-rum", "", "by", "0.5"),
        ("white-rum = 90,50", "price", "white-rum", "", "to", "90.50"),
        ("white-rum = € 90", "price", "white-rum", "", "to", "90"),
        ("north quay fruit +5 %", "supplier", "north-quay", "", "by", "0.05"),
        ("VAT = 21", "levy", "VAT", "", "to", "0.21"),
        ("tax service x 0.5", "levy", "Service", "", "by", "-0.5"),
        ("pineapple-distillate trim/refuse = 45 %", "figure", "pineapple-distillate", "trim/refuse", "to", "45"),
        ("pineapple-distillate distil/take = 400 ml", "figure", "pineapple-distillate", "distil/take", "to", "0.4"),
        ("lemon-juice juice/out.mass = 1000 g", "figure", "lemon-juice", "juice/out.mass", "to", "1"),
        ("Harbour Light: Roasted pineapple rum distillate = 5 cl", "dose", "harbour-light", "pineapple-distillate",
         "to", "50"),
        ("harbour-light pineapple-distillate -10 %", "dose", "harbour-light", "pineapple-distillate", "by", "-0.1"),
        ("white rum +10 %", "price", "white-rum", "", "by", "0.1"),
        ("harbour light lemon juice x 1.2", "dose", "harbour-light", "lemon-juice", "by", "0.2"),
        ("labour = 22", "labour", "", "", "to", "22"),
        ("labour lead-hand +5 %", "labour", "lead-hand", "", "by", "0.05"),
        ("sold = 1 200", "volume", "", "", "to", "1200"),
        ("sold all -10 %", "volume", "", "", "by", "-0.1"),
        ("sold Harbour Light -20 %", "volume", "harbour-light", "", "by", "-0.2"),
        ("chf = 0.95", "rate", "CHF", "", "to", "0.95"),
        ("menu harbour-light = 17.00", "menu price", "main", "harbour-light", "to", "17.00"),
        ("menu Main menu, Harbour Light = 17", "menu price", "main", "harbour-light", "to", "17"),
    ],
)  # fmt: skip
def test_a_line_is_read_and_written_back(text: str, sort: str, target: str, part: str, how: str, value: str) -> None:
    found = edits.read_supposed(text, sample(), DAY)
    assert (found.sort, found.target, found.part, found.how, found.value) == (sort, target, part, how, D(value))
    assert edits.read_supposed(edits.supposed_text(found, sample(), DAY), sample(), DAY) == found


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "says no change"),
        ("white-rum", "says no change: write .10 %, = 20 or x 1.1"),
        ("= 20", "does not say of what"),
        ("white-rum =", "does not say what it becomes"),
        ("whit rum +5 %", "did you mean white-rum"),
        ("VAT +2 %", r"may be so many points .*= 21 %.*VAT x 1.02"),
        ("pineapple-distillate trim/refuse +5 %", "trim/refuse x 1.05"),
        ("pineapple-distillate trim/refuse = 0.6", "may be a share or percent: write it like 60 %"),
        ("VAT = 0.21", "may be a share or percent"),
        ("pineapple-distillate +5 %", r"is a preparation: say which figure of it \(trim/refuse, trim/active"),
        ("harbour-light +5 %", "is a drink: write sold harbour-light or menu harbour-light"),
        ("harbour-light rum = 50 ml", r"no “rum” in Harbour Light \(there is: pineapple-distillate"),
        ("harbour-light pineapple-distillate = 50 g", "it is now 45 ml, write it in the same kind of unit"),
        ("pineapple-distillate distil/coolant = -5 C", "must be 0 or more, and told as it is now"),
        ("pineapple-distillate trim/keep = 50 %", "states no keep"),
        ("casks = 20", "can change by a share"),
        ("white-rum = 1,234", "1,234"),
        ("white-rum = 20 USD", "not in EUR"),
        ("white-rum -150 %", "must lie from -100 %"),
        ("sold = -5", "cannot have been sold"),
        ("USD = 0.95", "no rate of USD"),
        ("menu harbour-light = 17.0050", "not a price that can be printed"),
        ("x" * 301, "too many for one change"),
    ],
)
def test_what_cannot_be_read_says_why_in_one_line(text: str, why: str) -> None:
    with pytest.raises(ValueError, match=why) as fault:
        edits.scenario_of(sample(), [text], DAY)
    assert "\n" not in str(fault.value)


def test_a_drink_on_two_menus_needs_to_say_which() -> None:
    summer = date(2026, 9, 10)
    with pytest.raises(ValueError, match="may mean 2 things: write “menu main second-tide” or “menu terrace second-ti"):
        edits.read_supposed("menu second-tide = 13", sample(), summer)
    found = edits.read_supposed("menu terrace second-tide = 13", sample(), summer)
    assert (found.target, edits.supposed_text(found, sample(), summer)) == (
        "terrace", "menu Terrace menu, Second Tide = 13",
    )  # fmt: skip


def test_a_price_in_another_currency_says_so() -> None:
    liqueur = sample().on(DAY).goods["orange-liqueur"]
    book = sample().with_changes([put("good", replace(liqueur, preferred="dry-store"), liqueur)])
    with pytest.raises(ValueError, match="its price is in CHF: write = 80 CHF"):
        edits.read_supposed("orange-liqueur = 80", book, DAY)
    found = edits.read_supposed("orange-liqueur = 80 CHF", book, DAY)
    assert found.value == 80
    assert edits.supposed_text(found, book, DAY) == "Bitter orange liqueur 40 % = 80 CHF"


def test_a_name_that_means_two_things_is_refused() -> None:
    house = sample().house
    assert house is not None
    terms = tuple(replace(t, levies=(*t.levies, Levy("Lemon", D("0.01")))) for t in house.terms)
    book = sample().with_changes([put("house", replace(house, terms=terms), house)])
    with pytest.raises(ValueError, match="“lemon” may mean 2 things: write “price lemon” or “tax Lemon”"):
        edits.read_supposed("lemon x 1.1", book, DAY)
    assert edits.read_supposed("tax lemon x 1.1", book, DAY).sort == "levy"
    assert edits.supposed_text(Supposed(sort="price", target="lemon", value=D("0.1")), book, DAY) == "price Lemon +10 %"


def test_three_decimals_of_a_price_are_no_thousands() -> None:
    """1.08 a pack, 12.5 % up, is 1.215: typed so it might be a thousand and more."""
    quote = sample().on(DAY).quote_of("lemon")
    assert quote is not None
    book = sample().with_changes([put("quote", replace(quote, price=D("11.08")), quote)])
    supposed = edits.scenario_of(book, ["lemon +12.5 %"], DAY, "Lemon")
    step = edits.applied(book, supposed, DAY)
    assert step is not None
    (new,) = [c.after for c in step.changes]
    assert isinstance(new, Quote)
    assert new.price == D("12.465")


def test_a_volume_measured_cold_stays_cold() -> None:
    made = sample().on(DAY).preparations["pineapple-distillate"]
    cold = parse_fact("0.420 l at 5 C")
    stages = tuple(replace(s, facts=tuple((n, cold if n == "take" else f) for n, f in s.facts)) for s in made[1].stages)
    book = sample().with_changes([
        put("preparation", replace(made[0], versions=(replace(made[1], stages=stages),)), made[0])
    ])  # fmt: skip
    found = edits.scenario_of(book, ["pineapple-distillate distil/take -10 %"], DAY)
    after = laid_over(book, found, DAY).book.on(DAY).preparations["pineapple-distillate"][1]
    fact = next(dict(s.facts)["take"] for s in after.stages if s.id == "distil")
    assert (fact.text, fact.at, fact.value) == ("~0.378 l at 5 C", D(5), D("0.378"))
    to = edits.read_supposed("pineapple-distillate distil/take = 0.4 l at 5 C", book, DAY)
    assert edits.supposed_text(to, book, DAY) == "Roasted pineapple rum distillate distil/take = 0.4 l at 5 C"


@settings(max_examples=50, deadline=None)
@given(st.sampled_from(DAYS).flatmap(lambda day: st.tuples(st.just(day), some(day))))
def test_whatever_is_supposed_can_be_typed_again(found: tuple[date, Supposed]) -> None:
    day, supposed = found
    text = edits.supposed_text(supposed, sample(), day)
    assert edits.read_supposed(text, sample(), day) == supposed
