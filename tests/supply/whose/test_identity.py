"""Codes, GTINs and confirmed texts before words, and what contradicts them."""

import pytest

from costing.supply.whose import Catalogue, Remembered
from costing.supply.whose.identity import restricted
from tests.supply.whose.goods import asked, codes, known, one

G = "05901234123457"
"""A GTIN-13 in 14 digits (check digit: GS1, How to calculate a check digit manually)."""


def test_the_order_is_code_gtin_alias_words() -> None:
    things = [known("Quay Gin", code="A1", gtin=G), known("Harbour Rum", code="B2")]
    aliases = [Remembered(supplier="s", text="QG house pour", good="Quay Gin")]
    catalogue = Catalogue(things, aliases)
    assert [
        (m.good, m.how, m.sure)
        for m in map(
            catalogue.match,
            (
                asked("Quay Gin", code="A1", gtin=G),
                asked("Quay Gin", code="Z9", gtin=G),
                asked("qg  House Pour", code="Z9"),
                asked("Gin Quay", code="Z9"),
            ),
        )
    ] == [("Quay Gin", how, True) for how in ("code", "gtin", "alias", "words")]


def test_a_code_is_a_suppliers_own() -> None:
    match = one([known("Quay Gin", code="A1", supplier="t")], asked("Zeltmoor Kefir", code="A1"))
    assert match.how == "none"
    assert one([known("Quay Gin", code="A1", supplier="")], asked("Zeltmoor", code="A1", supplier="")).how == "none"


@pytest.mark.parametrize("code", ["00417", "417", " 004 17 ", "0417"])
def test_zeros_that_a_sheet_loses_and_spaces_do_not_count(code: str) -> None:
    match = one([known("Quay Gin", code="00417"), known("Quay Rum", code="4170")], asked("Quay Gin", code=code))
    assert (match.good, match.how, match.sure) == ("Quay Gin", "code", True)


def test_the_code_as_it_stands_goes_before_one_with_other_zeros() -> None:
    things = [known("Quay Gin", code="0417"), known("Quay Rum", code="417")]
    assert one(things, asked("Quay Rum", code="417")).good == "Quay Rum"
    assert one(things, asked("Quay Gin", code="0417")).good == "Quay Gin"
    assert codes(one(things, asked("Quay Gin", code="00417"))) == {"code-twice"}


@pytest.mark.parametrize("code", ["NQ102", "nq-102", "NQ 102", "NQ/102", "NQ.102", "NQ–102", "N-Q.1 02"])
def test_hyphens_dots_and_slashes_in_a_code_do_not_count(code: str) -> None:
    for there in ("NQ-102", "NQ102", "nq.1/02"):
        match = one([known("Quay Gin", code=there), known("Quay Rum", code="NQ-103")], asked("Quay Gin", code=code))
        assert (match.good, match.how, match.sure) == ("Quay Gin", "code", True)


def test_codes_that_differ_in_a_hyphen_only_are_exact() -> None:
    things = [known("Quay Gin", code="10-02"), known("Quay Rum", code="1002")]
    assert one(things, asked("Quay Gin", code="10-02")).how == "code"
    assert one(things, asked("Quay Rum", code="1002")).how == "code"
    for code in ("100-2", "10.02", "1-0-0-2"):
        match = one(things, asked("Zeltmoor Kefir", code=code))
        assert (match.good, match.how, match.doubts) == ("", "none", ())
    theirs = [known("Quay Gin", code="10-02"), known("Quay Rum", code="1002", supplier="t")]  # not this supplier's
    assert one(theirs, asked("Quay Gin", code="100-2")).how == "code"


def test_codes_of_a_file_that_differ_in_a_hyphen_only_are_exact() -> None:
    catalogue = Catalogue([known("Quay Gin Dry", code="10-02")])
    lines = [asked("Quay Gin Dry", n=1, code="10-02"), asked("Quay Gin", n=2, code="1002")]
    first, second = catalogue.match_all(lines)
    assert (first.how, first.sure) == ("code", True)
    assert second.how != "code"
    assert catalogue.match(lines[1]).how == "code"
    first, second = catalogue.match_all([lines[1], asked("Quay Gin Dry", n=3, code="100.2")])
    assert "code" not in (first.how, second.how)
    same = [lines[1], asked("Quay Gin Dry", n=3, code="10 02", supplier="t")]  # the other's codes are his own
    assert catalogue.match_all(same)[0].how == "code"


def test_a_number_that_a_sheet_wrote_with_decimals_is_no_longer_code() -> None:
    assert one([known("Quay Gin", code="4170")], asked("Zeltmoor Kefir", code="417.0")).how == "none"
    assert one([known("Quay Gin", code="4170")], asked("Zeltmoor Kefir", code="4.170")).how == "code"


def test_a_code_with_another_hyphen_and_other_words_is_doubted() -> None:
    match = one([known("Quay Gin", code="NQ-102")], asked("Zeltmoor Kefir", code="NQ102"))
    assert (match.good, match.how, match.sure, codes(match)) == ("Quay Gin", "code", False, {"code-other-name"})


@pytest.mark.parametrize("code", ["", "0", "-", "000", " ", "-./", "0-0"])
def test_what_is_no_code_identifies_nothing(code: str) -> None:
    assert one([known("Quay Gin", code=code)], asked("Zeltmoor Kefir", code=code)).how == "none"


def test_a_code_with_other_words_is_doubted() -> None:
    match = one([known("Quay Gin", code="A1")], asked("Zeltmoor Kefir", code="A1"))
    assert (match.good, match.how, match.sure, codes(match)) == ("Quay Gin", "code", False, {"code-other-name"})
    match = one([known("Quay Gin", gtin=G)], asked("Zeltmoor Kefir", gtin=G))
    assert (match.how, match.sure, codes(match)) == ("gtin", False, {"gtin-other-name"})


def test_a_code_with_a_siblings_words_is_doubted() -> None:
    things = [known("Quay Port Ruby", code="A1"), known("Harbour Rum 8yr", code="B2")]
    assert codes(one(things, asked("Quay Port Tawny", code="A1"))) == {"other-word"}
    assert codes(one(things, asked("Harbour Rum 12yr", code="B2"))) == {"other-number"}
    assert codes(one([known("Quay Rum 40%", code="C")], asked("Quay Rum 63%", code="C"))) == {"other-strength"}


def test_a_code_with_a_new_spelling_is_sure() -> None:
    things = [known("Orchard Gin London Dry", code="A1")]
    for text in ("ORCH LDN DRY", "Orchard Gin", "Orchard Dry Gin London small-batch, hand made", ""):
        assert one(things, asked(text, code="A1")).sure, text


def test_a_code_with_another_size_is_a_new_pack() -> None:
    things = [known("Quay Gin", code="A1"), known("Quay Gin", "1 l", code="A2")]
    match = one(things, asked("Quay Gin", "1 l", code="A1"))
    assert (match.good, match.sure, match.new_pack, codes(match)) == ("Quay Gin", False, True, {"other-size"})


def test_a_new_year_under_the_same_code_is_told() -> None:
    match = one(
        [known("Fenmoor Riesling 2021", "75 cl", code="A1")], asked("Fenmoor Riesling 2022", "75 cl", code="A1")
    )
    assert (match.sure, match.vintage) == (True, True)


def test_a_code_on_two_goods_is_settled_by_gtin_or_alias_and_not_by_words() -> None:
    things = [known("Quay Gin", code="A1", gtin=G), known("Quay Rum", code="A1")]
    match = one(things, asked("Quay Rum", code="A1"))
    assert (match.good, match.sure, codes(match)) == ("Quay Rum", False, {"code-twice"})
    assert {s.good for s in match.suggestions} == {"Quay Gin", "Quay Rum"}
    assert (one(things, asked("Quay Gin", code="A1", gtin=G)).how) == "gtin"
    alias = Remembered(supplier="s", text="Pour 7", good="Quay Rum")
    assert Catalogue(things, [alias]).match(asked("POUR 7", code="A1")).sure
    match = one(things, asked("Zeltmoor Kefir", code="A1"))
    assert (match.good, match.how, codes(match)) == ("", "suggested", {"code-twice"})
    assert {s.good for s in match.suggestions} == {"Quay Gin", "Quay Rum"}


def test_a_gtin_on_two_goods_is_shared() -> None:
    things = [known("Quay Gin", gtin=G), known("Quay Rum", gtin=G, supplier="t")]
    match = one(things, asked("Zeltmoor Kefir", gtin=G))
    assert (match.good, match.sure, codes(match)) == ("", False, {"gtin-shared"})


def test_identities_that_contradict_one_another_are_two_goods() -> None:
    things = [known("Quay Gin", code="A1"), known("Quay Rum", gtin=G)]
    match = one(things, asked("Quay Gin", code="A1", gtin=G))
    assert (match.good, match.how, match.sure, codes(match)) == ("Quay Gin", "code", False, {"two-goods"})


def test_a_text_confirmed_for_two_goods() -> None:
    things = [known("Quay Gin"), known("Quay Rum")]
    aliases = [Remembered(supplier="s", text="Pour 7", good=good) for good in ("Quay Gin", "Quay Rum", "gone")]
    match = Catalogue(things, aliases).match(asked("Pour 7"))
    assert (match.good, match.sure, codes(match)) == ("", False, {"alias-twice"})


def test_a_confirmed_text_silences_the_doubt_about_its_code() -> None:
    things = [known("Quay Gin", code="A1")]
    assert (
        Catalogue(things, [Remembered(supplier="s", text="Pour 7", good="Quay Gin")])
        .match(asked("POUR 7", code="A1"))
        .sure
    )


def test_a_confirmed_text_in_another_size_is_a_new_pack() -> None:
    aliases = [Remembered(supplier="s", text="Pour 7", good="Quay Gin")]
    match = Catalogue([known("Quay Gin")], aliases).match(asked("Pour 7", "1 l"))
    assert (match.good, match.how, match.sure, match.new_pack) == ("Quay Gin", "alias", False, True)


@pytest.mark.parametrize(
    ("gtin", "own"),
    [
        ("02012345678909", True),  # 20 to 29: given out by a company or region for itself (GS1, list of prefixes)
        ("00212345678901", True),  # 02
        ("00412345678905", True),  # 04
        ("00000020123451", True),  # a GTIN-8 that begins with 2
        (G, False),
        ("00614141007349", False),
        ("00000096385074", False),
    ],
)
def test_numbers_that_a_company_gives_itself_are_not_the_worlds(gtin: str, own: bool) -> None:
    assert restricted(gtin) is own
    things = [known("Quay Gin", gtin=gtin, supplier="t")]
    assert (one(things, asked("Zeltmoor Kefir", gtin=gtin)).how == "none") is own
    assert one(things, asked("Quay Gin", gtin=gtin, supplier="t")).how == "gtin"


def test_no_gtin_is_no_gtin() -> None:
    for gtin in ("", "0" * 14):
        assert one([known("Quay Gin", gtin=gtin)], asked("Zeltmoor Kefir", gtin=gtin)).how == "none"
