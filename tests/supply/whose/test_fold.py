"""What a name is taken to: words, and beside them sizes, strengths and years."""

from decimal import Decimal

import pytest

from costing.supply.whose.fold import amounts, fold


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Quay Gin 70cl", "quay gin"),
        ("Quay Gin 6x70CL", "quay gin"),
        ("Quay Gin 6 x 0,7 L", "quay gin"),
        ("12/750ml Quay Gin", "quay gin"),
        ("Quay Gin 70cl x 6", "quay gin"),
        ("Quay Lager 4x6x330ml", "quay lager"),
        ("Quay Lager case of 24", "quay lager"),
        ("Quay Lager 24er Kiste", "quay lager"),
        ("Quay Rum 12/100/40/GB", "quay rum"),  # bottles/cl/ABV/gift box
        ("Quay Rum 40% vol.", "quay rum"),
        ("Quay Rum alc. 37,5 % vol", "quay rum"),
        ("Quay Rum 126P - 200ML", "quay rum"),
        ("Quay Rum 80 proof", "quay rum"),
        ("Quay Rum 8 years old", "quay rum 8y"),
        ("Quay Rum 08yo", "quay rum 8y"),
        ("Quay Ron 12 años", "quay ron 12y"),
        ("Quay Rum W/14YR", "quay rum w 14y"),
        ("Quay Ale 0,0%", "quay ale 0%"),
        ("Quay Tonic 200 ml ℮", "quay tonic"),
        ("Fümler’s Kümmel™", "fumlers kummel"),
        ("Smørstad Łąka Straße", "smorstad laka strasse"),
        ("Gin No. 3", "gin 3"),
        ("XO2 Gin", "xo 2 gin"),
        ("Bottle", "bottle"),
        ("Flour 25 kg sack", "flour sack"),
        ("Cream 33 fl. oz", "cream"),
    ],
)  # fmt: skip
def test_the_words_of_a_name(text: str, words: str) -> None:
    assert fold(text).words == tuple(words.split())


def test_what_is_cut_is_kept() -> None:
    form = fold("FENMOOR RIESLING 2021 6x0,75 L 12.5% vol")
    assert form.years == {"2021"}
    assert form.strengths == {"12.5%"}
    assert amounts(form) == {(Decimal(750), "ml")}
    assert fold("Quay Rum 80 proof").strengths == {"80p"}
    assert not fold("Quay Rum 1066").years
    assert fold("Quay Rum 1066").words == ("quay", "rum", "1066")


def test_noise_stands_for_itself_where_there_is_nothing_else() -> None:
    assert fold("Case").bare
    assert fold("the Bottle").words == ("the", "bottle")
    assert not fold("Bottle opener").bare
