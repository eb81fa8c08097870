"""Pairs of names of the trade, invented: the same liquid or not (common practice, no source)."""

import pytest

from tests.supply.whose.goods import asked, codes, known, one

SAME = (
    ("Orchard Gin London Dry", "ORCHARD LDN DRY GIN 0,7L", "70 cl"),
    ("Lime juice", "Lime juice 1L PET", "1 l"),
    ("Lime juice 1L", "LIME JUICE", "1 l"),
    ("Harbour Rum 8yr", "HARBOUR RUM 8 YEARS OLD 40% vol.", "70 cl"),
    ("Harbour Rum 12 Jahre", "Harbour Rum 12 yo", "70 cl"),
    ("Crème de Mûre Valdrune", "CREME DE MURE VALDRUNE 6x70cl", "70 cl"),
    ("Valdrune Crème de Mûre", "Creme de Mure, Valdrune", "70 cl"),
    ("Orchard Gin Rhubarb", "Orchrd Gin Rhubarb btl", "70 cl"),
    ("Brantwick Amaro Speciale", "BRANTWCIK AMARO SPECIALE", "70 cl"),
    ("Harbour Rum Spiced Organic", "HARBOUR RUM SPICED ORGANIC 12/700ML", "70 cl"),
    ("No. 3 Quay Gin", "Quay Gin Nr 3", "70 cl"),
    ("Fenmoor Riesling 2021", "FENMOOR RIESLING 2021 75CL", "75 cl"),
    ("T’Arvo’s Stout", "TARVOS STOUT 24 x 33cl", "33 cl"),
    ("Grenadine syrup", "Grenadine Syrup 1 LTR", "1 l"),
    ("Quay Ale 0,0%", "Quay Ale 0.0 % vol", "33 cl"),
    ("Sugar, cane", "Cane sugar 1000 g", "1 kg"),
    ("Harbour & Quay Tonic", "Harbour and Quay Tonic (case of 24)", "20 cl"),
)
OTHER = (
    ("Orchard Gin London Dry", "Orchard Gin Rhubarb 70cl", "70 cl"),
    ("Harbour Rum 8yr", "Harbour Rum 12yr", "70 cl"),
    ("Vermut Rosso", "Vermut Bianco", "75 cl"),
    ("Quay Sherry Cream", "Quay Cherry Cream", "70 cl"),  # one letter, and two words of the trade
    ("Quay Porter", "Quay Port", "75 cl"),  # no short form
    ("Quay Ginger", "Quay Gin", "70 cl"),
    ("Harbour Rum", "Harbour Rum Spiced", "70 cl"),
    ("Harbour Rum Spiced", "Harbour Rum", "70 cl"),
    ("Quay Ale", "Quay Ale 0,0%", "33 cl"),  # without alcohol
    ("Lime juice", "Lime juice organic 1L", "1 l"),
    ("Quay Tonic Light", "Quay Tonic Slim", "20 cl"),
    ("Orchard Bitter Orange", "Orchard Bitters Orange", "70 cl"),
    ("No. 3 Quay Gin", "No. 4 Quay Gin", "70 cl"),
    ("Harbour Rum Blanco", "Harbour Rum Blanca", "70 cl"),
    ("Quay Rye", "Quay Rum", "70 cl"),
    ("Quay Cola can", "Quay Cola", "33 cl"),  # a can has another deposit and price
    ("Harbour Rum 1888", "Harbour Rum", "70 cl"),
    ("Rum ٨", "Rum ١٢", "70 cl"),  # 8 and 12
)


@pytest.mark.parametrize(("name", "line", "held"), SAME)
def test_the_same_liquid_is_sure(name: str, line: str, held: str) -> None:
    match = one([known(name, held), known("Something Else Altogether", held)], asked(line, held))
    assert (match.good, match.how, match.sure, match.doubts) == (name, "words", True, ())


@pytest.mark.parametrize(("name", "line", "held"), OTHER)
def test_another_liquid_is_never_sure(name: str, line: str, held: str) -> None:
    match = one([known(name, held)], asked(line, held))
    assert not match.sure
    assert match.how in ("suggested", "none")


def test_another_size_is_a_new_pack_of_the_same() -> None:
    match = one([known("Harbour Rum Spiced", "1 l")], asked("Harbour Rum Spiced 70cl"))
    assert (match.good, match.how, match.sure, match.new_pack) == ("Harbour Rum Spiced", "words", False, True)
    assert [d.values for d in match.doubts] == [(("line", "700 ml"), ("known", "1000 ml"))]
    assert match.suggestions[0].good == "Harbour Rum Spiced"
    assert not match.suggestions[0].same_size


def test_a_size_is_the_same_however_it_is_written() -> None:
    assert one([known("Quay Gin", "0.7 l")], asked("Quay Gin", "70 cl")).sure
    assert one([known("Quay Gin", "0.70 l")], asked("Quay Gin", "700 ml")).sure
    assert not one([known("Quay Gin", "0.75 l")], asked("Quay Gin", "70 cl")).sure


def test_another_count_is_a_new_pack() -> None:
    things = [known("Quay Tonic", "20 cl", levels=(4, 6))]
    assert one(things, asked("Quay Tonic", "20 cl", levels=(24,))).sure
    assert one(things, asked("Quay Tonic", "20 cl")).sure  # no count is said
    match = one(things, asked("Quay Tonic", "20 cl", levels=(12,)))
    assert (match.good, match.sure, match.new_pack, codes(match)) == ("Quay Tonic", False, True, {"other-count"})


@pytest.mark.parametrize(
    ("there", "line", "sure"),
    [
        ((6,), (6,), True), ((6,), (12,), False), ((6,), (2, 3), True), ((6,), (), False), ((), (12,), False),
        ((), (1,), True), ((1,), (), True), ((), (), True),
    ],
)  # fmt: skip
def test_a_pack_that_only_another_supplier_sells(there: tuple[int, ...], line: tuple[int, ...], sure: bool) -> None:
    """A supplier that never sold the good is sure by words in a size and count that somebody sells; no count is one."""
    match = one([known("Quay Gin", supplier="t", levels=there)], asked("Quay Gin", levels=line))
    assert (match.good, match.how, match.sure, match.new_pack) == ("Quay Gin", "words", sure, not sure)
    assert codes(match) == (set() if sure else {"other-count"})


def test_a_pack_among_those_of_several_other_suppliers() -> None:
    things = [known("Quay Gin", supplier="t", levels=(6,)), known("Quay Gin", supplier="u")]
    match = one(things, asked("Quay Gin", levels=(12,)))
    assert (match.sure, match.new_pack) == (False, True)
    assert [d.values for d in match.doubts] == [(("line", "12"), ("known", "1, 6"))]
    assert one(things, asked("Quay Gin", levels=(6,))).sure
    assert one(things, asked("Quay Gin")).sure


def test_a_supplier_that_sells_the_good_in_another_size_only_never_sold_this_one() -> None:
    things = [known("Quay Gin", supplier="t", levels=(6,)), known("Quay Gin", "1 l", levels=(12,))]
    assert codes(one(things, asked("Quay Gin", levels=(12,)))) == {"other-count"}
    assert one(things, asked("Quay Gin", levels=(6,))).sure
    assert one(things, asked("Quay Gin", "1 l", levels=(12,))).sure


def test_another_year_is_the_same_wine_to_be_confirmed() -> None:
    match = one([known("Fenmoor Riesling 2021", "75 cl")], asked("FENMOOR RIESLING 2022", "75 cl"))
    assert (match.good, match.how, match.sure, match.vintage) == ("Fenmoor Riesling 2021", "suggested", False, True)
    assert codes(match) == {"other-vintage"}
    things = [known("Fenmoor Riesling 2021", "75 cl"), known("Fenmoor Riesling 2022", "75 cl")]
    assert one(things, asked("Fenmoor Riesling 2022", "75 cl")).sure
    assert codes(one(things, asked("Fenmoor Riesling 2023", "75 cl"))) == {"two-goods"}


def test_a_strength_that_contradicts_is_doubted() -> None:
    match = one([known("Harbour Rum 40%")], asked("Harbour Rum 63 % vol"))
    assert (match.good, match.sure, codes(match)) == ("Harbour Rum 40%", False, {"other-strength"})
    assert one([known("Harbour Rum 40%")], asked("Harbour Rum")).sure


@pytest.mark.parametrize(
    ("price", "sure"), [("10", True), ("12.5", True), ("7.5", True), ("12.51", False), ("7.49", False), ("0", False)]
)
def test_a_price_for_a_litre_within_a_quarter_of_the_last(price: str, sure: bool) -> None:
    match = one([known("Quay Gin", last="10")], asked("Quay Gin", price=price))
    assert (match.good, match.sure) == ("Quay Gin", sure)
    assert codes(match) == (set() if sure else {"price-far"})


def test_the_price_is_compared_with_that_of_the_same_supplier_and_size() -> None:
    things = [
        known("Quay Gin", last="10"),
        known("Quay Gin", "5 l", last="4"),
        known("Quay Gin", last="30", supplier="t"),
    ]
    assert one(things, asked("Quay Gin", price="11")).sure
    assert codes(one(things, asked("Quay Gin", price="4"))) == {"price-far"}
    assert one(things, asked("Quay Gin", price="29", supplier="t")).sure


def test_never_sure_where_the_size_of_one_is_not_known() -> None:
    for things, line in (([known("Quay Gin", "")], asked("Quay Gin")), ([known("Quay Gin")], asked("Quay Gin", ""))):
        match = one(things, line)
        assert (match.good, match.how, match.sure, codes(match)) == ("Quay Gin", "words", False, {"size-unknown"})


def test_pieces_that_tell_their_size_in_the_name() -> None:
    assert one([known("Tumbler 30cl", "1 each")], asked("TUMBLER 0,3 l", "1 each")).sure
    match = one([known("Tumbler 30cl", "1 each")], asked("Tumbler 35cl", "1 each"))
    assert (match.sure, match.new_pack, codes(match)) == (False, True, {"other-size"})


def test_a_text_that_ends_in_a_word_may_have_lost_more() -> None:
    match = one([known("Harbour Rum Spiced")], asked("HARBOUR RUM SPI"))
    assert (match.good, match.sure, codes(match)) == ("Harbour Rum Spiced", False, {"cut-short"})
    assert codes(one([known("Harbour Rum Brantwicks")], asked("HARBOUR RUM BRANTWICK"))) == {"cut-short"}


def test_the_beginning_of_a_longer_name_is_sure_only_when_that_one_is_there_too() -> None:
    things = [known("Harbour Rum Spiced"), known("Harbour Rum Spiced Reserve")]
    lines = [asked("Harbour Rum Spiced", n=1), asked("Harbour Rum Spiced Reserve", n=2)]
    assert codes(one(things, lines[0])) == {"longer-name"}
    assert one(things, lines[1]).sure


def test_what_is_suggested_and_what_differs() -> None:
    things = [known("Orchard Gin London Dry"), known("Orchard Gin Sloe"), known("Quay Vodka"), known("Orchard Rum")]
    match = one(things, asked("Orchard Gin Rhubarb"))
    assert match.suggestions[0].good == "Orchard Gin Sloe"
    assert (match.suggestions[0].line_words, match.suggestions[0].good_words) == (("rhubarb",), ("sloe",))
    assert codes(match) == {"one-word-differs"}
    assert all(0.35 <= s.score <= 1 for s in match.suggestions)
    assert "Quay Vodka" not in {s.good for s in match.suggestions}


def test_nothing_in_common_is_nothing() -> None:
    match = one([known("Orchard Gin London Dry")], asked("Zeltmoor Kefir"))
    assert (match.good, match.how, match.sure, match.suggestions) == ("", "none", False, ())


def test_a_product_with_no_words_or_a_book_without_goods() -> None:
    assert one([], asked("Quay Gin")).how == "none"
    assert one([known("")], asked("")).how == "none"
    assert one([known("Quay Gin")], asked("70cl 40%")).how == "none"


def test_a_suppliers_own_words_say_nothing() -> None:
    from costing.supply.whose import Catalogue

    line = asked("MOLTKEN SELECT Quay Gin")
    assert not Catalogue([known("Quay Gin")]).match(line).sure
    assert Catalogue([known("Quay Gin")], noise=("Moltken Select",)).match(line).sure


def test_a_name_that_a_supplier_used_before_is_a_name() -> None:
    match = one([known("House gin", names=("Orchard Gin London Dry 6x70cl",))], asked("ORCHARD LONDON DRY GIN"))
    assert (match.good, match.sure) == ("House gin", True)
