"""One and many of a thing: limes and a lime (plurals of the trade's languages: common practice, no source)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.supply.whose import Catalogue
from costing.supply.whose.number import counts, same_thing
from tests.supply.whose.goods import asked, codes, known, one

COUNTED = (
    "lime limes, orange oranges, apple apples, egg eggs, cherry cherries, berry berries, tomato tomatoes, box boxes, "
    "peach peaches, radish radishes, leaf leaves, olive olives, zitrone zitronen, traube trauben, citron citrons, "
    "fraise fraises, fresa fresas"
)
ALIKE = (
    "mandel mandeln, nuss nusse, blatt blatter, gateau gateaux, noyau noyaux, citroen citroenen, kers kersen, "
    "banaan bananen, tomaat tomaten, limone limoni, arancia arance, mela mele, fico fichi, pesca pesche, "
    "limon limones, nuez nueces, druif druiven, noot noten, animal animaux, pomodoro pomodori"
)
NEITHER = "lime lemon, port porter, gin ginger, glas glass, mint thyme, rum rums2, sherry cherry, gold golden, te tes"
OTHER_THING = "bitter bitters, spirit spirits, pepper peppers, mint mints, rose roses, green greens, sweet sweets"


def _pairs(text: str) -> list[tuple[str, str]]:
    return [(one, many) for one, many in (pair.split() for pair in text.split(", "))]


@pytest.mark.parametrize(("single", "many"), _pairs(COUNTED))
def test_a_plain_plural_is_the_same_thing(single: str, many: str) -> None:
    assert many in counts(single)
    assert single in counts(many)
    assert same_thing(single, many)
    assert same_thing(many, single)


@pytest.mark.parametrize(("single", "many"), _pairs(ALIKE))
def test_a_plural_that_may_be_another_word_is_only_near(single: str, many: str) -> None:
    assert many in counts(single)
    assert single in counts(many)
    assert not same_thing(single, many)


@pytest.mark.parametrize(("word", "other"), _pairs(NEITHER))
def test_no_plural(word: str, other: str) -> None:
    assert other not in counts(word)
    assert word not in counts(other)
    assert not same_thing(word, other)


@pytest.mark.parametrize(("single", "many"), _pairs(OTHER_THING))
def test_a_plural_of_the_trade_that_means_another_thing(single: str, many: str) -> None:
    assert not same_thing(single, many)
    for held in ("1 each", "1 kg", "70 cl"):
        match = one([known(f"Quay {single}", held)], asked(f"Quay {many}", held))
        assert (match.sure, match.how) == (False, "suggested"), held


@given(st.text("acefghilnorstuvxyz", min_size=1, max_size=9))
def test_a_pair_is_one_whichever_is_asked_about(word: str) -> None:
    for other in counts(word):
        assert word in counts(other)
        assert same_thing(word, other) == same_thing(other, word)
        assert other != word
        assert min(len(word), len(other)) >= 3


FRUIT = [known(name, "1 each", kind="produce") for name in ("Lemon", "Lemon thyme", "Lime", "Orange", "Cherry", "Leaf")]


@pytest.mark.parametrize(
    ("line", "good"),
    [
        ("Lemons", "Lemon"), ("LIMES", "Lime"), ("Oranges", "Orange"), ("cherries", "Cherry"), ("Leaves", "Leaf"),
    ],
)  # fmt: skip
def test_fruit_in_another_number_is_bought(line: str, good: str) -> None:
    match = one(FRUIT, asked(line, "1 each"))
    assert (match.good, match.how, match.sure) == (good, "words", True)
    match = one([known(line, "1 kg")], asked(good, "1 kg"))  # and the other way round: no text was cut here
    assert (match.good, match.how, match.sure) == (line, "words", True)


def test_the_same_in_another_number_is_suggested_first() -> None:
    book = [known(f"{word} juice", "1 l") for word in ("Lime", "Lemon", "Apple")] + [known("Lemon thyme", "1 l")]
    for line, good in (("Apples juice", "Apple juice"), ("Lemons juice", "Lemon juice"), ("Limes", "Lime juice")):
        match = one(book, asked(line, "1 l"))
        assert not match.sure  # what is poured is not counted: "limes juice" may be another maker's own name
        assert match.suggestions[0].good == good
    match = one(FRUIT, asked("Lemons", "1 kg"))
    assert (match.good, match.sure, match.new_pack, match.suggestions[0].good) == ("Lemon", False, True, "Lemon")
    assert [s.good for s in one([known("Pesca", "1 kg")], asked("Pesche", "1 kg")).suggestions] == ["Pesca"]


def test_many_of_an_unknown_size_are_offered() -> None:
    for match in (
        one(FRUIT, asked("Lemons", "")),
        one([known("Lemon", ""), known("Lemon thyme", "")], asked("Lemons")),
    ):
        assert not match.sure
        assert match.suggestions[0].good == "Lemon"


def test_the_number_that_stands_in_the_book_goes_before_the_other() -> None:
    book = [known("Lime", "1 each"), known("Limes", "1 each")]
    for line in ("Lime", "Limes"):
        match = one(book, asked(line, "1 each"))
        assert (match.good, match.sure) == (line, True)
    assert Catalogue(book).suggest(asked("Limes", "1 each"))[0].good == "Limes"
    assert Catalogue(book).suggest(asked("Lime", "1 each"))[0].good == "Lime"


def test_two_numbers_of_one_good_in_a_file_are_two_lines() -> None:
    lines = [asked("Lime", "1 each", n=1), asked("Limes", "1 each", n=2)]
    assert all(codes(m) == {"two-lines"} for m in Catalogue(FRUIT).match_all(lines))


def test_every_other_word_must_pair() -> None:
    assert one([known("Organic limes", "1 kg")], asked("Lime organic", "1 kg")).sure
    assert not one([known("Limes", "1 kg")], asked("Lime organic", "1 kg")).sure
    assert not one([known("Lime leaves", "1 kg")], asked("Limes", "1 kg")).sure


def test_a_code_with_the_words_in_another_number_is_no_other_name() -> None:
    for line, good in (("Cherries", "Cherry"), ("Leaves", "Leaf")):
        assert one([known(good, "1 kg", code="A1")], asked(line, "1 kg", code="A1")).sure
