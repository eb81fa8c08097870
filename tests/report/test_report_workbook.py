"""The workbook recalculates to the program's figures, before and after a pack price is typed over."""

import shutil
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from io import BytesIO
from pathlib import Path
from typing import Any

import openpyxl
import pdfplumber
import pytest

from costing.book.levies import PricePoints
from costing.ledger import Reckoning
from costing.pricing import next_point, point_below, priced_serves
from costing.report.gather import contents
from costing.report.grid import Sheet
from costing.report.sheet_menu import at_or_above, below, period_and_rests
from costing.report.xlsx import workbook
from tests.report.chains import CHAINS, Edit, chain, find

EDITS = {"distillate": ("q2", "23.65"), "cooler": ("q3", "11.11"), "mother": ("q1", "107.70")}
"""A pack price to type over in each chain: the rum; the acid, whose price has tax in it; the brandy, a case of six."""
POINTS = (
    PricePoints(),
    PricePoints(step=Decimal("0.10"), endings=(Decimal("0.50"), Decimal("0.90"))),
    PricePoints(step=Decimal("0.3"), endings=(Decimal("0.0"), Decimal("0.9")), least=Decimal("4")),
    PricePoints(step=Decimal("0.05"), endings=(Decimal("0.95"),), least=Decimal("6.50")),
    PricePoints(step=Decimal("5"), least=Decimal("10")),
)
WANTED = (0.0, 0.3, 0.95, 1.0, 4.2, 6.9499999999, 6.95, 6.9500000001, 7.0, 12.6, 14.428135503485015, 15.5, 999.96)


@dataclass
class Recalculated:
    """A workbook as a spreadsheet program works it out, and the figures it should show."""

    book: Any
    reckoning: Reckoning


def _first_page_points() -> bytes:
    """A sheet of prices wanted and the point at or above, and below that, by the formulas of the menu."""
    book = openpyxl.Workbook()
    sheet = book.active
    row = 0
    for points in POINTS:
        period, rests = period_and_rests(points)
        for wanted in WANTED:
            row += 1
            cells = [wanted, float(period), float(points.least), 2.0, *map(float, rests)]
            for column, value in enumerate(cells, start=1):
                sheet.cell(row, column, value)
            names = [f"$B${row}", f"$C${row}", f"$D${row}"]
            given = (names[0], names[1], names[2], tuple(f"${chr(69 + n)}${row}" for n in range(len(rests))))
            sheet.cell(row, 10, "=" + at_or_above(f"$A${row}", given))
            sheet.cell(row, 11, "=" + below(f"$J${row}", given))
    out = BytesIO()
    book.save(out)
    return out.getvalue()


def _typed_over(data: bytes, quote: str, price: str) -> bytes:
    """The workbook with one pack price typed over, as somebody would in a spreadsheet."""
    book = openpyxl.load_workbook(BytesIO(data))
    sheet = book["Prices"]
    row = next(r for r in range(4, sheet.max_row + 1) if sheet.cell(r, 15).value == quote)
    sheet.cell(row, 4).value = float(price)
    out = BytesIO()
    book.save(out)
    return out.getvalue()


@pytest.fixture(scope="module")
def recalculated(tmp_path_factory: pytest.TempPathFactory) -> Iterator[dict[str, Any]]:
    """Every workbook of this module, recalculated by one start of a spreadsheet program."""
    program = shutil.which("soffice")
    if program is None:
        pytest.skip("no spreadsheet program (soffice) on this machine: recalculation is not checked")
    folder = tmp_path_factory.mktemp("sheets")
    files: dict[str, bytes] = {"points": _first_page_points()}
    for name in CHAINS:
        plain = workbook(contents(chain(name), 7))
        files |= {name: plain, f"{name}-after": _typed_over(plain, *EDITS[name])}
    files["unpriced"] = workbook(contents(chain("distillate", _without_rum), 7))
    files["kept"] = workbook(contents(chain("distillate", _kept_service), 7))
    files["least"] = workbook(contents(chain("distillate", _least_price), 7))
    for name, data in files.items():
        (folder / f"{name}.xlsx").write_bytes(data)
    subprocess.run(
        [program, f"-env:UserInstallation={(folder / 'profile').as_uri()}", "--headless", "--convert-to", "xlsx",
         "--outdir", str(folder / "out"), *(str(folder / f"{n}.xlsx") for n in files)],
        check=True, capture_output=True, timeout=120,
    )  # fmt: skip
    yield {n: openpyxl.load_workbook(folder / "out" / f"{n}.xlsx", data_only=True) for n in files}
    shutil.rmtree(folder / "profile", ignore_errors=True)


def _without_rum(plain: dict[str, Any]) -> None:
    plain["quote"].remove(find(plain, "quote", "q2"))


def _kept_service(plain: dict[str, Any]) -> None:
    """The house keeps its service charge, and its price misses the target by a little."""
    terms = plain["house"]["terms"][0]
    terms["levies"][0]["kept"] = True
    terms["points"] = {"step": "0.10", "endings": ["0.20", "0.50"]}
    find(plain, "menu", "main")["sections"][0]["lines"][0]["prices"][0]["price"] = "14.31"


def _least_price(plain: dict[str, Any]) -> None:
    """As above, and nothing is printed below 14.50."""
    _kept_service(plain)
    plain["house"]["terms"][0]["points"]["least"] = "14.50"


def _with_quote(name: str) -> Reckoning:
    quote, price = EDITS[name]
    return chain(name, lambda plain: find(plain, "quote", quote).update(price=price))


def _rows(sheet: Any, first: int = 4) -> list[list[Any]]:
    return [[cell.value for cell in row] for row in sheet.iter_rows(min_row=first)]


def _near(found: Any, expected: float) -> None:
    assert isinstance(found, int | float)
    assert found == pytest.approx(expected, rel=1e-9, abs=1e-12)


@pytest.mark.sheet
@pytest.mark.parametrize("after", [False, True], ids=["as printed", "a price typed over"])
@pytest.mark.parametrize("name", CHAINS)
def test_a_recalculated_workbook_equals_the_program(recalculated: dict[str, Any], name: str, after: bool) -> None:
    book = recalculated[f"{name}-after" if after else name]
    reckoning = _with_quote(name) if after else chain(name)
    names = contents(reckoning, 7).names
    prices = {row[14]: row[10] for row in _rows(book["Prices"])}
    listed = {row[17]: row[11] for row in _rows(book["Price book"]) if row[13] == "yes"}
    if not after:
        assert listed == pytest.approx(prices, rel=1e-9)
    for price in reckoning.prices.values():
        _near(prices[price.quote.id], price.per_base)
    _near_blocks(_rows(book["Preparations"]), {names[o]: reckoning.costs[o].columns for o in reckoning.direct}, "Unit")
    serves = {reckoning.view.serves[s][0].name: reckoning.serve_cost(s).columns for s in reckoning.serves}
    _near_blocks(_rows(book["Serves"]), serves, "One drink")
    _near_ledger(_rows(book["Ledger"]), reckoning)
    _near_menu(book["Menu"], reckoning)


@pytest.mark.sheet
@pytest.mark.parametrize(("name", "edit", "lower"), [("kept", _kept_service, "14.20"), ("least", _least_price, None)])
def test_kept_service_and_the_least_price_are_in_the_formulas_of_the_menu(
    recalculated: dict[str, Any], name: str, edit: Edit, lower: str | None
) -> None:
    reckoning = chain("distillate", edit)
    (priced,) = priced_serves(reckoning)
    assert priced.price is not None
    assert priced.suggestion is not None
    # what the case is for: a near miss of the target, and a point below or none
    assert priced.on_target is False
    assert float(priced.suggestion.needed_net - priced.price.net) < 0.01
    assert priced.suggestion.at.all_in == Decimal("14.50")
    below_it = priced.suggestion.lower
    assert (None if below_it is None else below_it.all_in) == (None if lower is None else Decimal(lower))
    _near_menu(recalculated[name]["Menu"], reckoning)


def _near_blocks(rows: list[list[Any]], expected: dict[str, tuple[float, float, float, float]], total: str) -> None:
    seen, block = set(), ""
    for row in rows:
        if row[0] in expected and row[9] is None:
            block = row[0]
        if str(row[0]).startswith(total):
            seen.add(block)
            for found, value in zip(row[5:9], expected[block], strict=True):
                _near(found, value)
            _near(row[9], sum(expected[block]))
    assert seen == set(expected)


def _near_ledger(rows: list[list[Any]], reckoning: Reckoning) -> None:
    found = [row for row in rows if row[1] is not None]
    lines = [line for ledger in reckoning.ledgers.values() for line in ledger.lines]
    assert len(found) == len(lines) > 0
    for row, line in zip(found, lines, strict=True):
        money = reckoning.money(line.carried.row)
        _near(row[14], money.materials)
        _near(row[15], reckoning.lost_money(line.carried))
        _near(row[16], money.making)
        _near(row[1], line.total("in").mass)
        assert row[7] == 0, "a stage that does not close"


def _near_menu(sheet: Any, reckoning: Reckoning) -> None:
    heads = [cell.value for cell in sheet[3]]
    priced = priced_serves(reckoning)
    for values, serve in zip(_rows(sheet), priced, strict=False):
        row = dict(zip(heads, values, strict=True))
        assert serve.price is not None
        assert serve.suggestion is not None
        assert row["Serve"] == serve.serve.name
        _near(row["Net price"], float(serve.price.net))
        _near(row["Base cost"], serve.base)
        _near(row["Cost with making"], serve.cost.making)
        _near(row["Pour cost"], float(serve.price.pour_cost or 0))
        _near(row["Margin"], float(serve.price.margin))
        _near(row["Net needed"], float(serve.suggestion.needed_net))
        _near(row["All in needed"], float(serve.suggestion.needed_all_in))
        _near(row["Suggested"], float(serve.suggestion.at.all_in))
        if serve.suggestion.lower is None:
            assert not isinstance(row["Point below"], float | int)
            assert not isinstance(row["which gives away"], float | int)
        else:
            _near(row["Point below"], float(serve.suggestion.lower.all_in))
            _near(row["which gives away"], float(serve.suggestion.gives_away or 0))
        assert row["On target"] == ("yes" if serve.on_target else "no")
    assert len(priced) > 0


@pytest.mark.sheet
def test_price_points_by_formula_are_those_of_the_program(recalculated: dict[str, Any]) -> None:
    rows = _rows(recalculated["points"].active, 1)
    for n, points in enumerate(POINTS):
        for m, wanted in enumerate(WANTED):
            row = rows[n * len(WANTED) + m]
            point = next_point(wanted, points)
            assert row[9] == float(point), (points, wanted)
            under = point_below(point, points)
            found = None if row[10] <= 0 or row[10] < float(points.least) else row[10]
            assert found == (None if under is None else float(under)), (points, wanted)


@pytest.mark.sheet
def test_a_good_without_a_price_makes_everything_at_least(recalculated: dict[str, Any]) -> None:
    book = recalculated["unpriced"]
    rum = next(row for row in _rows(book["Prices"]) if row[0] == "White rum 40 %")
    assert rum[10] == "no price"
    menu = dict(zip([c.value for c in book["Menu"][3]], _rows(book["Menu"])[0], strict=True))
    assert menu["Suggested"] == menu["Net needed"] == "at least"
    flags = [cell for row in book["Serves"].iter_rows(min_row=4) for cell in row if cell.column == 11 and cell.value]
    assert flags
    assert all("at least" in cell.number_format for cell in flags)
    reckoning = chain("distillate", _without_rum)
    assert menu["Base cost"] == pytest.approx(reckoning.serve_cost("harbour-light").materials, rel=1e-9)


def test_sheets_hold_formulas_and_no_empty_promises() -> None:
    book = openpyxl.load_workbook(BytesIO(workbook(contents(chain("mother"), 7))))
    assert book.sheetnames == [
        "Notes", "Prices", "Preparations", "Ledger", "Serves", "Terms", "Menu", "Balance", "Allergens",
        "Allergen reasons", "Price book", "History",
    ]  # fmt: skip
    for name in book.sheetnames[1:]:
        sheet = book[name]
        assert sheet.freeze_panes, name
        assert sheet.print_title_rows, name
        assert sheet.print_area, name
    for name in (*book.sheetnames[1:7], "Price book"):
        sheet = book[name]
        assert sum(cell.data_type == "f" for row in sheet.iter_rows() for cell in row) >= 5, name


def test_a_formula_that_would_be_too_long_is_printed_as_a_value_that_says_so() -> None:
    sheet = Sheet("x", (10.0,))
    sheet.formula(1, 1, "=" + "1+" * 5000 + "1", "money", 5001.0)
    assert (sheet.cells[1, 1].kind, sheet.cells[1, 1].value) == ("number", 5001.0)
    assert "too many inputs" in sheet.cells[1, 1].remark


@pytest.mark.sheet
def test_what_is_printed_of_the_workbook_can_be_read(tmp_path: Path) -> None:
    program = shutil.which("soffice")
    if program is None:
        pytest.skip("no spreadsheet program (soffice) on this machine: the print is not checked")
    (tmp_path / "book.xlsx").write_bytes(workbook(contents(chain("mother"), 7)))
    subprocess.run(
        [program, f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}", "--headless", "--convert-to", "pdf",
         "--outdir", str(tmp_path), str(tmp_path / "book.xlsx")],
        check=True, capture_output=True, timeout=120,
    )  # fmt: skip
    seen = []
    titles = ("Prices", "Preparations", "Loss ledger", "Serves", "Terms", "Menu", "Balance", "Allergens",
              "Allergen reasons", "Price book", "History")  # fmt: skip
    with pdfplumber.open(tmp_path / "book.pdf") as pages:
        for page in pages.pages:
            title = (page.extract_text() or "").split("\n")[0]
            if title in titles:
                seen.append(title)
                assert min(c["size"] for c in page.chars) >= 6.9, title
    assert set(seen) == set(titles)
    assert max(seen.count(title) for title in seen) <= 2
