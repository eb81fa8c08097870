"""Pasted lines and recipes against a small invented bar."""

import random
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from costing.book.book import Book
from costing.book.checks import check
from costing.book.fact import parse_fact
from costing.book.records import Good, Serve
from costing.ledger import reckon
from costing.supply import (
    Candidate,
    Named,
    candidates,
    catalogue,
    choose,
    read_line,
    read_recipe,
    read_recipes,
    to_serve,
    to_stage,
)
from costing.supply.lines import LINE_DOUBTS
from costing.supply.measure import DOUBTS
from costing.supply.recipe import RECIPE_DOUBTS
from tests.supply.books import DAY, small_bar

BAR = small_bar()


@pytest.mark.parametrize(
    ("text", "source", "value", "unit", "mark", "doubts"),
    [
        ("45 ml white rum", "white-rum", "45", "ml", "measured", ()),  # its id
        ("45 ml soda", "soda", "45", "ml", "measured", ()),
        ("45 ml White Rum 40 %", "white-rum", "45", "ml", "measured", ()),
        ("45 ml rum, white, 40%", "white-rum", "45", "ml", "measured", ()),
        ("- 20 ml lemon juice", "lemon-juice", "20", "ml", "measured", ()),
        ("• 20 ml fresh lemon juice", "lemon-juice", "20", "ml", "measured", ()),
        ("Lemon juice: 20 ml", "lemon-juice", "20", "ml", "measured", ()),
        ("lemon juice\t20\tml", "lemon-juice", "20", "ml", "measured", ()),
        ("2 dashes of bitters", "bitters", "2", "dash", "measured", ()),
        ("2 dashes bitter", "bitters", "2", "dash", "measured", ()),
        ("15 ml tea cordial", "tea-cordial", "15", "ml", "measured", ()),
        ("15 ml smoked cordial", "tea-cordial", "15", "ml", "measured", ("partly-named",)),
        ("2) 20 ml lemon juice (chilled)", "lemon-juice", "20", "ml", "measured", ()),
        ("1 barspoon white sugar", "sugar", "1", "barspoon", "measured", ("unbridged",)),
        ("1/2 lemon", "lemon", "0.5", "each", "measured", ()),
        ("2 lemons", "lemon", "2", "each", "measured", ()),
        ("2 oz soda water", "soda", "2", "us fl oz", "assumed", ("which-ounce",)),
        ("juice of 1/2 lemon", "lemon-juice", "21.25", "ml", "assumed", ("juice-yield",)),  # 42.5 ml a lemon: the table
        ("1 twist of lemon", "lemon-twist", "1", "each", "measured", ()),
        ("lemon twist", "lemon-twist", "1", "each", "assumed", ("implied-one",)),
        ("White rum 40 % 45 ml", "white-rum", "45", "ml", "measured", ()),
        ("40 g lemon hulls", "lemon-juice/hulls", "40", "g", "measured", ()),
    ],
)
def test_a_line_that_is_decided(
    text: str, source: str, value: str, unit: str, mark: str, doubts: tuple[str, ...]
) -> None:
    line = read_line(text, BAR)
    assert line.decided
    assert line.amount is not None
    assert (line.source, line.amount.value, line.amount.unit) == (source, Decimal(value), unit)
    assert (line.amount.mark, line.doubts) == (mark, doubts)


@pytest.mark.parametrize(
    ("text", "doubts"),
    [
        ("45 ml spiced rum", {"like-only"}),  # neither white nor dark rum
        ("45 ml rum", {"two-names"}),
        ("45 ml gin", {"two-names"}),  # dry gin and sloe gin
        ("45 ml dark gin", {"like-only"}),
        ("20 ml lemon juice cordial", {"like-only"}),  # neither the juice nor the cordial
        ("30 ml ice cream", {"no-match", "like-only"}),
        ("15 ml cream", {"like-only"}),  # coconut cream is the only cream, and no dairy
        ("2 pieces white rum", {"not-by-piece"}),
        ("30 ml zzz", {"no-match"}),
        ("top with soda water", {"top-up"}),
        ("1 part lemon juice", {"parts"}),
        ("1 white rum 40 %", {"not-by-piece"}),
        ("1 shot white rum 40 %", {"no-measure"}),
        ("some white rum 40 %", {"no-amount"}),
        ("1,250 ml white rum", {"unreadable"}),
        ("juice of 1 lime", {"like-only", "juice-yield"}),
        ("1 orange twist", {"like-only", "share-of-fruit"}),
        ("45 ml", {"no-name"}),
        ("1 h prep hand", {"no-match", "like-only"}),  # hands are no component
    ],
)
def test_a_line_that_is_not_decided_says_why(text: str, doubts: set[str]) -> None:
    line = read_line(text, BAR)
    assert not line.decided
    assert set(line.doubts) & doubts
    assert set(line.doubts) <= DOUBTS | LINE_DOUBTS


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("- 45 ml white rum", "45 ml"),
        ("2 dashes of bitters", "2 dashes"),
        ("Lemon juice: 20 ml", "20 ml"),
        ("juice of 1/2 lemon", "juice of 1/2"),
        ("1 twist of lemon", "1 twist"),
        ("1½ oz dark rum", "1½ oz"),
        ("1/2 lemon", "1/2"),
    ],
)
def test_an_amount_keeps_the_words_that_were_pasted_without_the_name(text: str, said: str) -> None:
    amount = read_line(text, BAR).amount
    assert amount is not None
    assert said in (amount.text, amount.note.partition('pasted "')[2].partition('"')[0])
    try:
        again = parse_fact(amount.text)
    except ValueError:
        return
    assert (again.value, again.unit) == (amount.value, amount.unit), "text and value never disagree"


def test_a_missing_thing_shows_its_siblings_and_takes_none() -> None:
    line = read_line("45 ml spiced rum 40 %", BAR)
    assert line.source is None
    assert {"white-rum", "dark-rum"} <= {c.source for c in line.matches}
    assert all(c.reason in ("alike", "part") for c in line.matches)


def test_a_good_and_a_preparation_of_one_name_are_both_shown_and_neither_taken() -> None:
    twin = Good(id="bought-juice", name="Lemon Juice", kind="juice", base="l")
    line = read_line("20 ml lemon juice", small_bar(twin))
    assert line.source is None
    assert "two-names" in line.doubts
    assert [c.source for c in line.matches if c.reason == "exact"] == ["bought-juice", "lemon-juice"]


def test_the_order_of_words_tells_two_things_apart() -> None:
    known = catalogue({"drink": "Filter coffee", "paper": "Coffee filter"})
    assert choose(candidates("filter coffee", known)) == ("drink", ())
    assert choose(candidates("coffee, filter", known)) == ("paper", ())
    assert choose(candidates("filter", catalogue({"paper": "Coffee filter", "drink": "Filter coffee"})))[0] is None


def test_one_word_that_two_names_hold_names_neither() -> None:
    known = catalogue({"tea": "Smoked tea cordial", "hulls": "Cordial of lemon hulls"})
    assert choose(candidates("cordial", known)) == (None, ("two-names",))


def test_an_alias_names_a_thing_only_whole() -> None:
    known = [Named("a", ("Harbour cordial",), ("green stuff",)), Named("b", ("Green tea",))]
    assert choose(candidates("green stuff", known))[0] == "a"
    assert choose(candidates("stuff", known))[0] is None


WORD = st.sampled_from(["white", "dark", "rum", "gin", "dry", "lemon", "juice", "cordial", "8", "12", "old", "cream"])
NAME = st.lists(WORD, min_size=1, max_size=4).map(" ".join)


@settings(max_examples=300, deadline=None)
@given(NAME, st.lists(NAME, max_size=6))
def test_nothing_is_chosen_that_another_equals_or_that_has_another_word(name: str, names: list[str]) -> None:
    among = [Named(f"s{n}", (other,)) for n, other in enumerate(names)]
    found = candidates(name, among)
    source, doubts = choose(found)
    random.Random(1).shuffle(among)
    assert candidates(name, among) == found  # the order of the book decides nothing
    if source is None:
        assert doubts
        return
    chosen = next(c for c in found if c.source == source)
    bearing = [c for c in found if c.reason == chosen.reason or (chosen.reason, c.reason) == ("fuller", "held")]
    assert bearing == [chosen]
    ours, theirs = set(name.split()), set(chosen.name.split())
    assert ours <= theirs or theirs <= ours  # never one different word on each side
    assert (ours == theirs) or doubts == ("partly-named",)


def test_fuzzy_is_never_chosen_however_like() -> None:
    among = catalogue({"a": "Harbour rum 8 years"})
    found = candidates("Harbour rum 9 years", among)
    assert found[0].reason == "alike"
    assert found[0].score > 0.9
    assert choose(found) == (None, ("like-only",))


PASTE = """
Tidewall Sour
1. 50 ml white rum 40 %
2. 25 ml lemon juice
3. 2 dashes bitters
Garnish: lemon leaf
Method:
Shake hard
over ice

## Second Glass

Ingredients:
* 1 1/2 oz dark rum
* top with soda water
* 20 ml zzz
Stir and serve.

40 ml dry gin
"""


def test_many_recipes_paste_at_once() -> None:
    first, second, third = read_recipes(PASTE, BAR)
    assert [r.title for r in (first, second, third)] == ["Tidewall Sour", "Second Glass", ""]
    assert [line.source for line in first.lines] == ["white-rum", "lemon-juice", "bitters", "lemon-leaf"]
    assert first.ignored == (("Method:", "heading"), ("Shake hard", "instruction"), ("over ice", "instruction"))
    assert first.doubts == ("heading", "instruction")
    assert second.ignored == (("Ingredients:", "heading"), ("Stir and serve.", "instruction"))
    assert [line.text for line in second.undecided] == ["* top with soda water", "* 20 ml zzz"]
    assert third.doubts == ("no-title",)
    assert {d for r in (first, second, third) for d in r.doubts} <= RECIPE_DOUBTS


def test_every_line_pasted_is_a_component_a_title_or_kept_with_its_reason() -> None:
    found = read_recipes(PASTE, BAR)
    kept = {line.text for r in found for line in r.lines} | {row for r in found for row, _ in r.ignored}
    numbered = {"1. 50 ml white rum 40 %", "2. 25 ml lemon juice", "3. 2 dashes bitters"}
    for row in filter(None, (row.strip() for row in PASTE.split("\n"))):
        assert row in kept or row in numbered or row.strip("# ") in {r.title for r in found}


def test_an_amount_inside_an_instruction_is_said_and_a_heading_ends_the_method() -> None:
    found = read_recipe("Cup\nMethod:\nPour 50 ml soda water on top\nIngredients:\n50 ml dark rum", BAR)
    assert found.ignored[1] == ("Pour 50 ml soda water on top", "instruction-with-amount")
    assert [line.source for line in found.lines] == ["dark-rum"]


def test_one_recipe_with_blank_lines_stays_one() -> None:
    found = read_recipe("Glass One\n\n50 ml dark rum\n\n20 ml lemon juice\n", BAR)
    assert (found.title, len(found.lines), found.undecided, found.doubts) == ("Glass One", 2, (), ())
    assert read_recipe("A\n1 l soda water\n\nB\n2 l soda water", BAR).doubts == ("several-recipes",)
    assert read_recipe("", BAR).lines == ()


def test_a_title_that_is_a_good_is_asked_about() -> None:
    assert "title-or-component" in read_recipe("Soda water\n50 ml dark rum", BAR).doubts
    assert read_recipe("Two to One\n50 ml dark rum", BAR).title == "Two to One"
    assert read_recipe("two dashes bitters\n50 ml dark rum", BAR).title == ""
    assert "title-or-component" in read_recipe("dash of zzz\n50 ml dark rum", BAR).doubts


def test_a_number_alone_is_not_taken_for_a_list_number() -> None:
    assert read_recipe("Cup\n2. lemon\n50 ml dark rum", BAR).lines[0].measure == read_line("2. lemon", BAR).measure


def test_bare_numbers_of_liquids_are_parts_in_doubt_and_need_a_total() -> None:
    pasted = read_recipe("Thirds\n1/3 white rum\n1/3 lemon juice\n1 soda water", BAR)
    assert [line.measure and line.measure.kind for line in pasted.lines] == ["part", "part", "part"]
    assert all("each-or-part" in line.doubts for line in pasted.lines)
    assert to_stage(pasted).stage is None
    staged = to_stage(pasted, total=parse_fact("100 ml"))
    assert staged.stage is not None
    values = [a.amount.value for a in staged.stage.adds if a.amount]
    assert [round(v, 6) for v in values] == [Decimal(20), Decimal(20), Decimal(60)]
    assert {a.amount.mark for a in staged.stage.adds if a.amount} == {"assumed"}


def test_parts_share_a_total_and_without_one_are_undecided() -> None:
    pasted = read_recipe("Two to one\n2 parts dark rum\n1 part lemon juice\n2 dashes bitters", BAR)
    bare = to_stage(pasted)
    assert bare.stage is not None
    assert [a.source for a in bare.stage.adds] == ["bitters"]
    assert [p.get("why") for p in bare.problems] == ["parts", "parts"]
    staged = to_stage(pasted, total=parse_fact("90 ml"))
    assert staged.stage is not None
    assert [(a.source, a.amount.value, a.amount.mark) for a in staged.stage.adds if a.amount] == [
        ("dark-rum", Decimal(60), "measured"),
        ("lemon-juice", Decimal(30), "measured"),
        ("bitters", Decimal(2), "measured"),
    ]
    with pytest.raises(ValueError, match="not the total"):
        to_stage(pasted, total=parse_fact("3 each"))


def test_a_pasted_serve_is_one_step_and_it_reckons() -> None:
    pasted = read_recipe("Tidewall Sour\n50 ml white rum 40 %\n25 ml lemon juice\n2 dashes bitters\n30 ml zzz", BAR)
    draft = to_serve(pasted, BAR, DAY, technique="stirred")
    assert draft.step is not None
    assert (draft.id, [p.code for p in draft.problems]) == ("tidewall-sour", ["line-undecided"])
    book = BAR.with_changes(draft.step.changes)
    assert not [p for p in check(book) if p.level == "error"]
    serve = book.get("serve", "tidewall-sour")
    assert isinstance(serve, Serve)
    assert serve.versions[0].note == "undecided: 30 ml zzz"
    juice = reckon(book.on(DAY)).costs["lemon-juice"].columns[0]
    cost = reckon(book.on(DAY)).serve_cost("tidewall-sour").columns[0]
    # 50 ml at 10/l, 25 ml of the juice, two dashes of 0.8 ml at 10/l
    assert cost == pytest.approx(0.5 + 0.025 * juice + 0.016, rel=1e-12)
    assert book.with_changes(draft.step.inverse().changes) == BAR


def test_a_serve_is_not_made_twice_and_not_without_a_name() -> None:
    pasted = read_recipe("Tidewall Sour\n50 ml dark rum", BAR)
    draft = to_serve(pasted, BAR, DAY)
    assert draft.step is not None
    book = BAR.with_changes(draft.step.changes)
    again = to_serve(pasted, book, DAY)
    assert (again.step, [p.code for p in again.problems]) == (None, ["name-taken"])
    assert to_serve(read_recipe("50 ml dark rum", BAR), BAR, DAY).problems[0].code == "no-title"
    assert to_serve(pasted, BAR, DAY, technique="thrown").problems[0].code == "missing"
    once = to_serve(pasted, BAR, DAY, past=["tidewall-sour"])
    assert once.id == "tidewall-sour-2"  # an id that was used is not used again


@settings(max_examples=150, deadline=None)
@given(st.text(max_size=200))
def test_any_paste_is_read(text: str) -> None:
    for recipe in read_recipes(text, BAR):
        for line in recipe.lines:
            assert line.decided or line.doubts
            assert set(line.doubts) <= DOUBTS | LINE_DOUBTS


DASHES = st.sampled_from("-–—−")
AMOUNTS = st.sampled_from(["2", "0.5", ".5", "1/2", "1 1/2", "½", "2-3", "~45", "12,5"])
UNITS = st.sampled_from(["ml", "kg", "oz", "dashes", "barspoon"])
BEFORE = st.sampled_from(["", " ", "* ", "• ", "- ", "[ ] ", "1. ", "2) ", "~", "+ ", "*"])


@settings(max_examples=150, deadline=None)
@given(BEFORE, DASHES, AMOUNTS, UNITS, st.sampled_from(["{amount} {name}", "{name}: {amount}", "{name} {amount}"]))
def test_a_minus_stuck_to_a_number_is_never_an_amount(
    before: str, dash: str, amount: str, unit: str, order: str
) -> None:
    text = before + order.format(amount=f"{dash}{amount} {unit}", name="white rum")
    for line in (read_line(text, BAR), *read_recipe(text, BAR).lines):
        assert line.amount is None, text
    if order.startswith("{amount}"):
        assert read_line(text, BAR).fault, text


@settings(max_examples=100, deadline=None)
@given(st.sampled_from(["-", "–", "—", "*", "•", "*  ", "-\t", "--", "- *", "+", "[x]"]), AMOUNTS, UNITS)
def test_a_dash_apart_from_the_number_is_a_bullet(bullet: str, amount: str, unit: str) -> None:
    plain = read_line(f"{amount} {unit} white rum", BAR)
    listed = read_line(f"{bullet} {amount} {unit} white rum", BAR)
    assert (listed.amount, listed.source, listed.doubts) == (plain.amount, plain.source, plain.doubts)
    assert plain.amount is not None


def test_too_long_a_paste_is_refused() -> None:
    with pytest.raises(ValueError, match="at most 500"):
        read_recipes("x\n" * 600, BAR)


def test_an_empty_name_means_nothing() -> None:
    assert candidates("  ", catalogue(BAR)) == ()
    assert choose(()) == (None, ("no-match",))
    assert isinstance(candidates("lemon", catalogue(BAR))[0], Candidate)
    assert catalogue(Book()) == ()
