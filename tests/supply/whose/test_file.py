"""Lines of one file, judged together."""

from decimal import Decimal

from costing.supply.whose import Catalogue, Known
from tests.supply.whose.goods import asked, codes, known

THINGS = [known("Orchard Gin London Dry", code="A1"), known("Orchard Gin Sloe"), known("Harbour Rum")]


def test_a_good_that_was_found_by_its_code_is_suggested_to_no_other_line_of_its_size() -> None:
    lines = [
        asked("Orchard Gin London Dry", n=1, code="A1"),
        asked("Orchard Gin Rhubarb", n=2, code="A7"),
        asked("Orchard Gin Rhubarb", "1 l", n=3, code="A8"),
    ]
    first, second, third = Catalogue(THINGS).match_all(lines)
    assert first.sure
    assert [s.good for s in second.suggestions] == ["Orchard Gin Sloe"]
    assert "Orchard Gin London Dry" in {s.good for s in third.suggestions}
    alone = Catalogue(THINGS[:1]).match_all(lines[:2])
    assert alone[1].how == "none"


def test_a_doubted_code_takes_nothing_away() -> None:
    lines = [asked("Zeltmoor Kefir", n=1, code="A1"), asked("Orchard Gin Dry", n=2)]
    doubted, other = Catalogue(THINGS).match_all(lines)
    assert not doubted.sure
    assert other.suggestions[0].good == "Orchard Gin London Dry"


def test_two_lines_that_mean_one_pack_by_their_words_are_not_sure() -> None:
    lines = [asked("Harbour Rum 40%", n=1), asked("HARBOUR RUM 63%", n=2)]
    for match in Catalogue(THINGS).match_all(lines):
        assert (match.good, match.sure, codes(match)) == ("Harbour Rum", False, {"two-lines"})
    assert all(m.sure for m in Catalogue(THINGS).match_all([lines[0], lines[0]]))


def test_a_bottle_and_a_case_of_the_same_are_two_lines_and_no_doubt() -> None:
    things = [known("Harbour Rum", levels=(1,)), known("Harbour Rum", levels=(6,))]
    lines = [asked("Harbour Rum", n=1, code="1", levels=(1,)), asked("Harbour Rum", n=2, code="2", levels=(6,))]
    assert all(m.sure for m in Catalogue(things).match_all(lines))


def test_a_line_of_words_yields_to_one_with_a_code() -> None:
    lines = [asked("Orchard Gin London Dry", n=1, code="A1"), asked("Orchard London Dry Gin", n=2, code="A2")]
    first, second = Catalogue(THINGS).match_all(lines)
    assert first.sure
    assert codes(second) == {"two-lines"}


def test_the_beginning_of_a_longer_name_is_sure_beside_that_one() -> None:
    things = [known("Harbour Rum Spiced"), known("Harbour Rum Spiced Reserve")]
    lines = [asked("Harbour Rum Spiced", n=1), asked("Harbour Rum Spiced Reserve", n=2)]
    assert all(m.sure for m in Catalogue(things).match_all(lines))
    assert all(codes(m) == {"longer-name"} for m in Catalogue(things).match_all([lines[0], lines[0]]))


def test_suggestions_may_come_late() -> None:
    catalogue = Catalogue(THINGS)
    line = asked("Orchard Gin Rhubarb")
    (late,) = catalogue.match_all([line], suggest=False)
    assert (late.how, late.suggestions) == ("suggested", ())
    assert catalogue.suggest(line) == catalogue.match(line).suggestions != ()
    taken = {("Orchard Gin Sloe", line.size)} if line.size else set()
    assert [s.good for s in catalogue.suggest(line, taken)] == ["Orchard Gin London Dry"]


def test_progress_is_told() -> None:
    told: list[tuple[int, int]] = []
    Catalogue(THINGS).match_all([asked(f"x{n}", n=n) for n in range(12_000)], tell=lambda n, of: told.append((n, of)))
    assert told == [(0, 12_000), (5_000, 12_000), (10_000, 12_000), (12_000, 12_000)]


def test_long_and_strange_texts_do_no_harm() -> None:
    catalogue = Catalogue(THINGS)
    texts = [
        "9" * 100_000,
        "6x" * 20_000 + "70cl",
        "gin " * 20_000,
        "\x00\ud800",
        "ﷺ" * 50,
        "9" * 5_000 + " yr",
        "-" * 9_999,
    ]
    for text in texts:
        assert not catalogue.match(asked(text)).sure


def test_five_suggestions_at_most() -> None:
    things = [Known(good=str(n), name=f"Orchard Gin {w}", size=(Decimal(700), "ml")) for n, w in enumerate("ABCDEFGHI")]
    assert len(Catalogue(things).match(asked("Orchard Gin Z")).suggestions) == 5
