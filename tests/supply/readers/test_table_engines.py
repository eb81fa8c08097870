"""One workbook saved by a spreadsheet program in every form, read here and by other libraries: all have to agree."""

import io
import shutil
import subprocess
from datetime import date, datetime
from decimal import Decimal
from pathlib import Path

import pytest

from costing.supply.arriving.table import DayCell, Figure, Table
from costing.supply.readers.cells import MoneyFigure, PercentFigure
from costing.supply.readers.tables import read_table

FORMS = {"xlsx": "xlsx:Calc MS Excel 2007 XML", "ods": "ods", "xls": "xls:MS Excel 97"}
LONG = "Grüner Veltliner und 柚子 " * 600


def _workbook() -> bytes:
    from openpyxl import Workbook

    book = Workbook()
    cover, sheet = book.worksheets[0], book.create_sheet("Preise 2026")
    cover["A1"] = "Lantern Drinks"
    hidden = book.create_sheet("Intern")
    hidden.append(["a", "b"])
    hidden.append(["c", "d"])
    hidden.sheet_state = "hidden"
    sheet.append(["Preisliste", None, None, None, None, None, None])
    sheet.merge_cells("A1:G1")
    sheet.append(["Code", "Name", "Preis", "Satz", "ab", "EAN", "Summe"])
    for n in range(400):
        sheet.append(
            [n, f"Orchard gin {n} — süß", n * 1.1, 0.19, date(2026, 3, 1 + n % 28), 4006381333931 + n, f"=C{n + 3}*2"]
        )
        row = sheet.max_row
        sheet.cell(row, 1).number_format = "0000"
        sheet.cell(row, 3).number_format = "#,##0.00\\ [$€-407]"
        sheet.cell(row, 4).number_format = "0%"
        sheet.cell(row, 6).number_format = "0"
    sheet.append([True, LONG, -5, 1.5, datetime(2026, 3, 1, 14, 30), "=1/0", '=""'])
    sheet.append([None, " zwei\nZeilen ", 0.1 + 0.2, 1e-7, 123456789.125, "'0012", "0012"])
    sheet.row_dimensions[5].hidden = True
    sheet.column_dimensions["D"].hidden = True
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


@pytest.fixture(scope="module")
def saved(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    """The workbook as the spreadsheet program saves it, by form."""
    program = shutil.which("soffice")
    if program is None:
        pytest.skip("no spreadsheet program (soffice) on this machine")
    folder = tmp_path_factory.mktemp("saved")
    (folder / "book.xlsx").write_bytes(_workbook())
    out = {}
    for form, how in FORMS.items():
        call = [program, f"-env:UserInstallation=file://{folder}/profile", "--headless", "--convert-to", how]
        subprocess.run(
            [*call, "--outdir", str(folder / form), str(folder / "book.xlsx")],
            check=True,
            capture_output=True,
            timeout=180,
        )
        out[form] = next((folder / form).iterdir()).read_bytes()
    return out


def _cells(table: Table) -> list[tuple[str, ...]]:
    width = max(map(len, table.rows))
    return [(*row, *[""] * (width - len(row))) for row in table.rows]


@pytest.mark.sheet
@pytest.mark.slow
def test_every_form_says_the_same(saved: dict[str, bytes], tmp_path: Path) -> None:
    tables = {form: read_table(data, f"list.{form}") for form, data in saved.items()}
    for form, table in tables.items():
        assert table.shape == form
        assert table.sheet == "Preise 2026"
        assert table.others == ("Sheet", "Intern (hidden)")
        assert table.hidden_rows == {4}
        assert table.hidden_columns == {3}
        assert table.merged_rows == {0}
        assert table.rows[0] == ("Preisliste",) * 7
        row = table.rows[7]
        assert row == ("0005", "Orchard gin 5 — süß", "5.5", "19 %", "2026-03-06", "4006381333936", "11")
        assert [type(cell) for cell in row] == [str, str, MoneyFigure, PercentFigure, DayCell, Figure, *[type(row[6])]]
        assert isinstance(row[2], MoneyFigure)
        assert row[2].currency == "EUR"
        assert table.rows[402] == (
            "1" if form == "ods" else "TRUE",
            LONG,
            "-5",
            "1.5",
            "2026-03-01T14:30:00",
            "#DIV/0!",
        )
        assert table.rows[403][1:] == (" zwei\nZeilen ", "0.3", "0.0000001", "123456789.125", "'0012", "0012")
        assert _cells(table)[:402] == _cells(tables["xlsx"])[:402]


@pytest.mark.sheet
@pytest.mark.slow
@pytest.mark.parametrize("form", FORMS)
def test_another_library_reads_the_same_values(saved: dict[str, bytes], form: str) -> None:
    """python-calamine, which has its own reader for each form."""
    from python_calamine import CalamineWorkbook

    theirs = CalamineWorkbook.from_filelike(io.BytesIO(saved[form])).get_sheet_by_name("Preise 2026").to_python()
    mine = read_table(saved[form], "list").rows
    assert len(mine) == len(theirs)
    for my_row, their_row in zip(mine[1:], theirs[1:], strict=True):
        for cell, value in zip(my_row, their_row, strict=False):
            if isinstance(value, bool) or value == "":
                assert cell in ("TRUE", "FALSE", "", "#DIV/0!")
            elif isinstance(value, int | float):
                stored = Decimal(cell.removesuffix(" %")) / (100 if cell.endswith("%") else 1)
                assert float(stored) == pytest.approx(value, rel=1e-14)
            elif isinstance(value, date):
                assert cell == value.isoformat()
            else:
                assert cell == value
