"""Finding rows, and what a broken table says."""

from collections.abc import Callable, Iterator
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing import tablefile, tables
from costing.tablefile import fold, records
from costing.tables import (
    Limit,
    allergen_list,
    allergen_lists,
    allergens_to_ask,
    bottle_sizes,
    fill_tolerance,
    find_produce,
    limit,
    produce,
    rows,
    standard_drinks,
    usual_measures,
)

HEADER = "code,what,value,unit,note,source,basis\n"
GOOD = "x,a thing,4.6,pH,,a page,read\n"
Ship = Callable[[bytes], None]


@pytest.fixture
def ship(monkeypatch: pytest.MonkeyPatch) -> Iterator[Ship]:
    """Ships other bytes as the table of limits for one test."""

    def clear() -> None:
        tablefile.lines.cache_clear()
        tablefile._parsed.cache_clear()

    def put(data: bytes) -> None:
        clear()
        monkeypatch.setattr(tablefile, "resource", lambda *parts: data)

    yield put
    clear()


def test_every_name_and_alias_finds_its_row_in_any_case_and_number() -> None:
    for p in produce():
        for name in (p.name, *p.aliases):
            for written in (name, name.upper(), f"  {name.title()} ", name.replace(" ", "-")):
                assert find_produce(written) is p, written


@pytest.mark.parametrize(
    ("written", "row"),
    [
        ("Limes", "lime"),
        ("persian limes", "lime"),
        ("Strawberries", "strawberry"),
        ("Peaches", "peach"),
        ("Tomatoes", "tomato"),
        ("Cachaça", "cachaca"),
        ("Jalapeños", "jalapeno"),
        ("Crème de Cassis", "blackcurrant liqueur"),
        ("star-anise", "star anise"),
        ("Juniper berries", "juniper berry"),
        ("EGG WHITES", "egg white"),
        ("vermouth rosso", "sweet vermouth"),
        ("Vermouth", "vermouth"),
        ("molasses", "molasses"),
    ],
)
def test_case_accents_and_plural_do_not_matter(written: str, row: str) -> None:
    found = find_produce(written)
    assert found is not None
    assert found.name == row


@pytest.mark.parametrize(
    "written", ["", "   ", "lim", "lime cordial", "lemonade", "fresh", "gine", "pineappel", "レモン"]
)
def test_nothing_is_guessed(written: str) -> None:
    assert find_produce(written) is None


@pytest.mark.parametrize("written", ["wine", "vermouth", "sherry", "fortified wine"])
def test_a_name_that_may_be_sweet_or_dry_brings_no_sugar(written: str) -> None:
    found = find_produce(written)
    assert found is not None
    assert found.abv is not None
    assert found.sugar_gl is None


@given(st.text(max_size=30))
def test_folding_is_stable_under_case_and_space(text: str) -> None:
    once = fold(text)
    assert once == " ".join(once.split())
    assert fold(f" {text} ") == once
    assert find_produce(text) is None or once != ""


@pytest.mark.parametrize(
    ("name", "kind", "codes"),
    [
        ("Almonds, blanched", "dry", ("nuts",)),
        ("Whole milk", "dairy", ("milk",)),
        ("Skimmed", "dairy", ("milk",)),
        ("House white wine", "", ("sulphites",)),
        ("Anything", "wine", ("sulphites",)),
        ("Egg whites, pasteurised", "", ("eggs",)),
        ("Celery bitters", "spirit", ("celery",)),
        ("Cocoa butter", "", ()),
        ("Peanut butter", "", ("peanuts",)),
        ("Brown butter and peanut", "", ("peanuts", "milk")),
        ("Butternut", "", ()),
        ("Nutmeg", "dry", ()),
        ("Wheat beer", "beer", ("gluten",)),
        ("Gin", "spirit", ()),
    ],
)
def test_what_to_ask_of_a_name(name: str, kind: str, codes: tuple[str, ...]) -> None:
    assert allergens_to_ask(name, kind) == codes


def test_what_to_ask_goes_by_the_list_of_the_house() -> None:
    assert allergens_to_ask("wheat beer", list_name="US 9") == ("wheat",)
    assert allergens_to_ask("white wine", list_name="US 9") == ()
    with pytest.raises(ValueError, match=r"'EU 15'; known: EU 14, US 9"):
        allergens_to_ask("wine", list_name="EU 15")


def test_lists_are_found_by_name_or_refused_by_name() -> None:
    assert allergen_lists() == ("EU 14", "US 9")
    assert [len(allergen_list(n)) for n in allergen_lists()] == [14, 9]
    assert len(bottle_sizes()) == sum(len(bottle_sizes(n)) for n in dict.fromkeys(b.list for b in bottle_sizes()))
    assert {d.code for d in standard_drinks()} > {"US", "GB", "AU", "JP", "WHO"}
    assert {m.name for m in usual_measures()} > {"dash", "drop", "barspoon", "splash", "tsp", "tbsp"}
    with pytest.raises(ValueError, match="known: US spirits"):
        bottle_sizes("Moon")
    with pytest.raises(ValueError, match="no limit has the code 'co3'; known: co2-8h"):
        limit("co3")


@pytest.mark.parametrize(
    ("ml", "percent"),
    [("1", "4.5"), ("100", "4.5"), ("101", "3.0"), ("375", "3.0"), ("700", "2.0"), ("999", "2.0"), ("1750", "1.5")],
)
def test_fill_tolerance_by_size(ml: str, percent: str) -> None:
    assert fill_tolerance(Decimal(ml)) == Decimal(percent)


@pytest.mark.parametrize("ml", ["0", "-1"])
def test_a_bottle_of_nothing_has_no_tolerance(ml: str) -> None:
    with pytest.raises(ValueError, match=f"a bottle of {ml} ml: wanted more than 0"):
        fill_tolerance(Decimal(ml))


@pytest.mark.parametrize("name", ["nowhere", "", "../fonts/x", "produce.csv", "a b"])
def test_an_unknown_table_is_named(name: str) -> None:
    with pytest.raises(ValueError, match="no table is called"):
        rows(name)


def test_rows_cannot_be_written_to_and_are_read_once() -> None:
    first = rows("limits")[0]
    with pytest.raises(TypeError):
        first["value"] = "1"  # type: ignore[index]
    assert records(Limit) is records(Limit)


def test_a_sound_table_reads(ship: Ship) -> None:
    ship((HEADER + GOOD).encode())
    assert [(x.code, x.value) for x in records(Limit)] == [("x", Decimal("4.6"))]


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("x,a,four,pH,,a page,read", r"limits.csv line 3, column 'value': 'four' is not a number"),
        ("x,a,NaN,pH,,a page,read", r"line 3, column 'value': 'NaN' is not a number from 0"),
        ("x,a,-1,pH,,a page,read", r"line 3, column 'value': '-1' is not a number from 0 to Infinity"),
        ("x,a,,pH,,a page,read", r"line 3, column 'value': '' is not filled in"),
        ("x,a,1,pH,,,read", r"line 3, column 'source': '' is not filled in"),
        ("x,a,1,pH,,a page,guess", r"line 3, column 'basis': 'guess' is not one of read, computed, memory"),
        ("x,a,1,pH,,a page,", r"line 3, column 'basis': '' is not one of"),
        ("x,a,1,pH,,a page", r"limits.csv line 3: 6 cells under 7 columns"),
        ("", r"limits.csv line 3: 0 cells under 7 columns"),
        ('x,"a,1,pH,,a page,read', r"limits.csv line 3: unexpected end of data"),
    ],
)
def test_a_bad_cell_is_named_by_table_line_column_and_value(ship: Ship, row: str, says: str) -> None:
    ship((HEADER + GOOD + row + "\n").encode())
    with pytest.raises(ValueError, match=says):
        records(Limit)


@pytest.mark.parametrize(
    "header", ["code,what,value,unit,note,source\n", "code,code,source,basis\n", ",source,basis\n", ""]
)
def test_a_header_out_of_form_is_refused(ship: Ship, header: str) -> None:
    ship(header.encode())
    with pytest.raises(ValueError, match=r"limits.csv line 1: the header"):
        rows("limits")


def test_a_column_too_many_is_refused(ship: Ship) -> None:
    ship((HEADER.replace("note", "note,more") + GOOD.replace(",,", ",,,")).encode())
    with pytest.raises(ValueError, match="line 1: the columns are"):
        records(Limit)


def test_a_table_that_is_not_utf8_is_refused(ship: Ship) -> None:
    ship(HEADER.encode() + "x,é,1,pH,,a page,read\n".encode("latin-1"))
    with pytest.raises(ValueError, match=r"limits.csv is not UTF-8: byte"):
        rows("limits")


def test_a_name_that_stands_for_two_rows_is_refused() -> None:
    lime, lemon = (p for p in tables.produce() if p.name in ("lime", "lemon"))
    with pytest.raises(ValueError, match=r"produce.csv: the name 'one' stands for two rows"):
        tablefile.by_name((lime, lemon), lambda p: ("one",))
