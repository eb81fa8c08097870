"""Cells of a starter workbook: read by their format, and each that cannot be read named with value and remedy."""

from collections.abc import Callable
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from costing.book import Book
from costing.book.fact import parse_fact
from costing.book.records import Good, Preparation, Quote, Serve
from costing.supply.starter import BadSheet, read_starter, read_starter_bytes, write_starter
from costing.supply.starter_example import example_book
from costing.supply.starter_layout import FIRST_ROW
from tests.supply.starters import read, typed


def faults(cells: dict[str, Any], **more: Any) -> list[tuple[str, str]]:
    with pytest.raises(BadSheet) as caught:
        read(cells, **more)
    assert "\n" not in str(caught.value)
    assert str(caught.value).startswith("bar.xlsx: ")
    return [(f.place, f.what) for f in caught.value.faults]


def one(cells: dict[str, Any], **more: Any) -> str:
    found = faults(cells, **more)
    assert len(found) == 1, found
    return f"{found[0][0]} {found[0][1]}"


def add(book: Book, n: int) -> Any:
    return book.all(Serve)["gull-sour"].versions[0].build.adds[n]


def amount(book: Book, n: int) -> Any:
    return add(book, n).amount


def rum(book: Book) -> Good:
    return book.all(Good)["white-rum"]


def lemon(book: Book) -> Good:
    return book.all(Good)["lemon"]


def pack(book: Book) -> Quote:
    return next(q for q in book.all(Quote).values() if q.good == "lemon")


def price(book: Book) -> Decimal:
    return pack(book).price


GOOD: dict[str, tuple[dict[str, Any], Callable[[Book], object], object]] = {
    "a number with a unit column": (
        {"Serves!Amount!1": 45, "Serves!Unit!1": "ml"}, lambda b: amount(b, 0), parse_fact("45 ml")),
    "a unit in the format": ({"Serves!Amount!1": (4.5, '0.0" cl"')}, lambda b: amount(b, 0), parse_fact("4.5 cl")),
    "a decimal comma": ({"Serves!Amount!1": "0,75 l"}, lambda b: amount(b, 0), parse_fact("0,75 l")),
    "assumed": ({"Serves!Amount!1": "~45 ml"}, lambda b: amount(b, 0).mark, "assumed"),
    "a bare count": ({"Serves!Amount!4": 2}, lambda b: amount(b, 3), parse_fact("2")),
    "percent as a format": ({"Ingredients!Strength!6": (0.4, "0%")}, lambda b: rum(b).makeup[0][1],
                            parse_fact("40 % vol")),
    "percent of a share": ({"Ingredients!Water!3": (0.885, "0.0%")}, lambda b: lemon(b).makeup[0][1],
                           parse_fact("88.5 %")),
    "arithmetic of floats": ({"Packs!Price!3": 0.1 + 0.2}, price, Decimal("0.3")),
    "a price as text": ({"Packs!Price!3": "24,60"}, price, Decimal("24.60")),
    "a date": ({"Packs!From day!3": datetime(2026, 3, 1)}, lambda b: pack(b).since, date(2026, 3, 1)),
    "a day as text": ({"Packs!From day!3": "2026-03-01"}, lambda b: pack(b).since, date(2026, 3, 1)),
    "the day of the house": (
        {"Packs!From day!3": None, "House!B7": "2026-02-02"}, lambda b: pack(b).since, date(2026, 2, 2)),
    "the currency of the house": ({"Packs!Currency!3": None}, lambda b: pack(b).currency, "EUR"),
    "a code of figures": ({"Packs!Code!3": 1204}, lambda b: pack(b).code, "1204"),
    "a code with zeros": ({"Packs!Barcode!3": (29000000012, "0000000000000")}, lambda b: pack(b).gtin, "0029000000012"),
    "a case of cases": ({"Packs!In the case!3": "6 x 4"}, lambda b: pack(b).levels, (6, 4)),
    "tax in it": ({"Packs!Tax!3": "in it", "Packs!Tax rate!3": (0.19, "0%")}, lambda b: pack(b).tax_rate,
                  Decimal("0.19")),
    "yes as a truth": ({"Taxes!Kept!1": True}, lambda b: b.house.terms[0].levies[0].kept, True),  # type: ignore[union-attr]
    "a target in times": (
        {"Pricing!Target!1": "4.5 x"}, lambda b: b.house.terms[0].policy.kind, "multiplier"),  # type: ignore[union-attr]
    "a target as a format": (
        {"Pricing!Target!1": (0.2, "0%")}, lambda b: b.house.terms[0].policy.value, Decimal("0.2")),  # type: ignore[union-attr]
    "endings": ({"Pricing!Endings!1": "0.50; 0.00"},
                lambda b: b.house.terms[0].points.endings, (Decimal("0.5"), Decimal(0))),  # type: ignore[union-attr]
    "a name in another case": ({"Serves!Goes in!1": "WHITE  rum"}, lambda b: add(b, 0).source, "white-rum"),
    "an id for a name": ({"Serves!Goes in!1": "white-rum"}, lambda b: add(b, 0).source, "white-rum"),
    "how and note": ({"Serves!Amount!1": "45 ml; scales; five pours; two hands"},
                     lambda b: (amount(b, 0).how, amount(b, 0).note), ("scales", "five pours; two hands")),
    "allergens": ({"Ingredients!Contains!3": "milk; eggs\nfish"},
                  lambda b: [s.name for s in lemon(b).allergens], ["milk", "eggs", "fish"]),
    "breaks": ({"Packs!Cheaper!3": "from 3 at 22; from 10 at 20,50"},
               lambda b: [(x.packs, x.price) for x in pack(b).breaks], [(3, 22), (10, Decimal("20.5"))]),
    "as needed": ({"Preparations!Amount!3": "As  needed", "Preparations!Kind!2": "proof"},
                  lambda b: b.all(Preparation)["sugar-syrup"].versions[0].stages[0].adds[1].amount, None),
}  # fmt: skip


@pytest.mark.parametrize("name", list(GOOD))
def test_cells_as_people_fill_them(name: str) -> None:
    cells, look, wanted = GOOD[name]
    assert look(read(cells)) == wanted


BAD: dict[str, tuple[dict[str, Any], str]] = {
    "no number": ({"Packs!Price!3": "dear"}, 'Packs!G7 "dear": \'dear\' is not an amount'),
    "a thousand or one": ({"Packs!Price!3": "1,500"}, "could be 1500 or 1.500"),
    "money in percent": ({"Packs!Price!3": (0.5, "0%")}, "Packs!G7 \"0.5\": this is a percentage and money is needed"),
    "negative": ({"Packs!Price!3": -3}, "money must lie from 0"),
    "no unit": ({"Serves!Amount!1": 45}, 'Serves!E5 "45": a plain number says no unit; write it behind the number'),
    "units that differ": ({"Serves!Unit!1": "cl"}, "the amount is in ml and the Unit says cl"),
    "no amount": ({"Serves!Amount!1": None}, "Serves!5 how much goes in is missing"),
    "no name for an amount": ({"Serves!Goes in!2": None}, "Serves!E6 \"25 ml\": nothing is named under Goes in"),
    "a figure without a value": ({"Preparations!Reads!1": None}, "Reads is empty"),
    "a kind of stage": ({"Preparations!Kind!1": "juise"}, "perhaps juice"),
    "a day of words": ({"Packs!From day!3": "first of May"}, "this is not a day; write it as 2026-03-01"),
    "a day with a time": ({"Packs!From day!3": datetime(2026, 3, 1, 10)}, "a day without the time of day"),
    "a day as a number": ({"Packs!From day!3": (46082, "General")}, "this is not a day"),
    "an impossible day": ({"Packs!From day!3": "2026-02-30"}, "this is not a day"),
    "no day anywhere": ({"Packs!From day!3": None}, "a From day is needed, here or as Holds from"),
    "an unknown supplier": ({"Packs!Supplier!3": "Quayside Frut"}, "did you mean Quayside Fruit?"),
    "an unknown ingredient": ({"Serves!Goes in!1": "Arrack"}, "no ingredient or preparation is called so"),
    "a truth for a name": ({"Suppliers!Supplier!1": True}, 'Suppliers!B5 "True": this is yes or no and text is needed'),
    "a rate of 19": ({"Taxes!Rate!2": 19}, "a share must lie from 0 to below 100 %; write 19 % or 0.19"),
    "an answer without a question": ({"House!B30": "x"}, "no question stands before this answer"),
    "another layout": ({"House!B14": 2}, "this program reads layout 1; use a newer program"),
    "beside the columns": ({"Packs!AF7": "x"}, "it stands beside the columns"),
    "a head of one's own": ({"Packs!AF3": "Shelf"}, "no column is called so here"),
    "a column gone": ({"Packs!G3": None, "Packs!G4": None}, "Packs the column Price is missing; bring it back"),
    "a mark of one's own": ({"Packs!A7": "old"}, "only example or skip may stand here"),
    "a name twice": ({"Suppliers!Supplier!1": "Quayside fruit"}, "this name stands twice"),
    "a long number": ({"Packs!Barcode!3": 4000000000000012345}, "loses its last digits"),
    "an id taken": ({"Suppliers!Id!1": "tar", "Suppliers!Id!3": "tar"}, "this Id is taken"),
    "an id with a slash": ({"Suppliers!Id!1": "a/b"}, "an Id is text without a slash"),
    "no tax rate": ({"Packs!Tax!3": "in it"}, "Packs!7 a price with tax in it needs its tax_rate"),
    "an allergen source alone": ({"Ingredients!Label!3": "sheet"}, "nothing is stated in this row"),
    "a tax without rules": ({"Taxes!From day!1": "2026-05-01"}, "no row of Pricing begins on 2026-05-01"),
    "a stage of two kinds": (
        {"Preparations!Stage!2": "juice", "Preparations!Preparation!2": None, "Preparations!Kind!2": "press",
         "Preparations!From day!2": None}, "both belong to one thing"),
    "a price for nothing": ({"Menu!Serve!1": None}, "no row above says which serve this price is for"),
    "a day without its price": ({"Menu!Price!1": None}, 'Menu!F5 "2026-01-01 00:00:00": nothing in this row needs it'),
    "a target without its serve": (
        {"Menu!Serve!1": None, "Menu!Price!1": None, "Menu!From day!1": None, "Menu!Target!1": "18 %"},
        'Menu!G5 "18 %": nothing in this row needs it'),
    "a line of text": ({"Ingredients!Note!3": "x" * 6000}, "6000 characters are too many"),
}  # fmt: skip


@pytest.mark.parametrize("name", list(BAD))
def test_a_bad_cell_is_named_with_its_value_and_the_remedy(name: str) -> None:
    cells, part = BAD[name]
    said = "; ".join(f"{place} {what}" for place, what in faults(cells))
    assert part in said


def test_all_faults_are_listed_and_the_line_holds_twenty() -> None:
    cells: dict[str, Any] = {f"Packs!Price!{n}": "much" for n in range(1, 7)}
    cells |= {f"Serves!Amount!{n}": "much" for n in range(1, 4)}
    cells |= {f"Ingredients!{head}!{n}": "much" for head in ("Sugar", "Brix", "Density") for n in range(1, 7)}
    with pytest.raises(BadSheet) as caught:
        read(cells)
    assert len(caught.value.faults) == 27
    assert str(caught.value).count('"much"') == 20
    assert str(caught.value).endswith("; and 7 more")
    assert caught.value.place == "Ingredients!G5"


def test_a_bad_row_does_not_make_other_rows_bad() -> None:
    assert one({"Ingredients!Kind!6": "rum"}).startswith('Ingredients!C10 "rum": it is not in the list of Kind')


def test_an_empty_cell_means_as_above() -> None:
    again = {"Preparation": "Sugar syrup", "Kind": "dissolve", "From day": date(2026, 1, 1)}
    book = read({f"Preparations!{head}!3": value for head, value in again.items()})
    assert book == example_book()


def test_a_second_way_of_making_and_a_second_stage_of_a_kind() -> None:
    def act(wb: Any) -> None:
        ws = wb["Preparations"]
        for row, values in enumerate((
            ("Sugar syrup", date(2026, 5, 1), "", "", "dissolve", "Sugar", "2 kg"),
            ("", None, "", "", "", "Water", "1 kg"),
            ("", None, "", "a", "strain", "", ""),
            ("", None, "", "b", "strain", "", ""),
        ), start=FIRST_ROW + 3):  # fmt: skip
            for column, value in enumerate(values, start=2):
                ws.cell(row, column).value = value or None

    versions = read({}, act=act).all(Preparation)["sugar-syrup"].versions
    assert [(v.since.isoformat(), [s.id for s in v.stages]) for v in versions] == [
        ("2026-01-01", ["dissolve"]), ("2026-05-01", ["dissolve", "a", "b"])]  # fmt: skip
    assert [len(s.adds) for s in versions[1].stages] == [2, 0, 0]


def test_formulas_count_by_their_result_and_never_as_empty() -> None:
    raw = typed({"Packs!Price!3": "=20+4.6"})
    with pytest.raises(BadSheet, match=r'Packs!G7 "=20\+4.6": this formula was never worked out'):
        read_starter_bytes(raw, "x")


def test_a_sheet_of_ones_own() -> None:
    def with_sheet(name: str) -> Callable[[Any], None]:
        def act(wb: Any) -> None:
            wb.create_sheet(name)["A1"] = "call the fruit man"

        return act

    assert read({}, act=with_sheet("Notes of mine")) == example_book()
    assert "a starter workbook has no such sheet" in one({}, act=with_sheet("Till"))


def test_written_over_an_older_file_whole(tmp_path: Path) -> None:
    path = tmp_path / "s.xlsx"
    path.write_text("old")
    write_starter(path, example_book())
    assert read_starter(path) == example_book()
    assert [p.name for p in tmp_path.iterdir()] == ["s.xlsx"]
