"""Sheets of every form. Values are checked against two other readers of the same bytes, openpyxl and calamine."""

import io
import struct
from datetime import date, datetime

import pytest

from costing.supply.arriving.line import Unreadable
from costing.supply.arriving.table import DayCell, Figure, Table, Unworked
from costing.supply.readers.cells import MoneyFigure, PercentFigure
from costing.supply.readers.sheet import read_sheets
from costing.supply.readers.tables import read_table
from tests.supply.readers.sheets_made import (
    GOODS,
    cells,
    ods,
    ods_table,
    record,
    xls,
    xls_number,
    xls_text,
    xlsb,
    xlsx,
)


def read(inside: str, **said: object) -> Table:
    return read_sheets(xlsx(inside, **said), "xlsx", name="list.xlsx")


def first(inside: str, **said: object) -> str:
    return read(f'<sheetData><row r="1">{inside}</row></sheetData>', **said).rows[0][0]


@pytest.mark.parametrize(
    ("raw", "text"),
    [
        ("614141007349", "614141007349"),
        ("12.5", "12.5"),
        ("0.1", "0.1"),
        ("1E-3", "0.001"),
        ("1.5E+22", "15000000000000000000000"),
        ("9.0200000000000014", "9.02"),
        ("0.30000000000000004", "0.3"),
        ("-8.2", "-8.2"),
        ("106141410073460001", "106141410073460001"),
        ("4006381333931.0", "4006381333931"),
        ("-0", "0"),
        ("1204", "1204"),
        (" 7 ", "7"),
    ],
)
def test_numbers_are_plain_digits_with_a_point(raw: str, text: str) -> None:
    cell = first(f'<c r="A1"><v>{raw}</v></c>')
    assert cell == text
    assert type(cell) is Figure


@pytest.mark.parametrize("raw", ["nan", "inf", "1e999999", "1_000", "١٢", "0x10"])
def test_what_is_no_number_is_no_figure_and_not_lost(raw: str) -> None:
    cell = first(f'<c r="A1"><v>{raw}</v></c>')
    assert cell == raw
    assert type(cell) is str


@pytest.mark.parametrize(
    ("code", "raw", "text", "kind"),
    [
        ("0%", "1.5", "150 %", PercentFigure),
        ("0.0%", "0.055", "5.5 %", PercentFigure),
        (9, "0.19", "19 %", PercentFigure),
        (10, "0.05125", "5.125 %", PercentFigure),
        ("00000", "12", "00012", str),
        ("0000000000000", "614141007349", "0614141007349", str),
        ("00", "123", "123", Figure),
        ('0.00"%"', "19", "19", Figure),
        ("[Red]0.00", "1.5", "1.5", Figure),
        ("General", "1.5", "1.5", Figure),
        ("0.00E+00", "1500", "1500", Figure),
        ("@", "12", "12", Figure),
        ('0" Flaschen"', "6", "6", Figure),
        (14, "45000", "2023-03-15", DayCell),
        ("dd/mm/yyyy", "45000", "2023-03-15", DayCell),
        ("yyyy-mm-dd hh:mm", "45000.75", "2023-03-15T18:00:00", DayCell),
        ("hh:mm", "0.75", "18:00:00", str),
        ("[h]:mm", "1.5", "36:00:00", str),
        (14, "60", "60", Figure),
        (14, "-1", "-1", Figure),
        (14, "3000000", "3000000", Figure),
    ],
)
def test_a_format_says_what_a_number_is(code: str | int, raw: str, text: str, kind: type) -> None:
    cell = first(f'<c r="A1" s="1"><v>{raw}</v></c>', styles=[code])
    assert (cell, type(cell)) == (text, kind)


@pytest.mark.parametrize(
    ("code", "currency"),
    [
        ("#,##0.00 [$€-407]", "EUR"),
        ('"€" 0.00', "EUR"),
        ("€ 0.00", "EUR"),
        ("0.00 [$EUR]", "EUR"),
        ('"CHF" 0.00', "CHF"),
        ("[$£-809]#,##0.00", "GBP"),
        ("[$$-409]0.00", "USD"),
        ("[$$-1009]0.00", "CAD"),
        ('"$"0.00', "$"),
        ("0.00 [$kr-41D]", "SEK"),
        ('_-* #,##0.00\\ "€"_-;-* #,##0.00\\ "€"_-', "EUR"),
        ("0 [$kr]", "kr"),
        ("\\£0.00", "GBP"),
    ],
)
def test_money_by_its_format(code: str, currency: str) -> None:
    cell = first('<c r="A1" s="1"><v>1.204</v></c>', styles=[code])
    assert isinstance(cell, MoneyFigure)
    assert (cell, cell.currency) == ("1.204", currency)


@pytest.mark.parametrize("code", [5, 7, 44, "0.00", '0.00" kg"', "[$-407]0.00", '"Preis" 0.00'])
def test_formats_that_name_no_currency(code: str | int) -> None:
    """The built-in ones show that of whoever opens the file."""
    assert type(first('<c r="A1" s="1"><v>1.204</v></c>', styles=[code])) is Figure


def test_the_day_system_of_1904() -> None:
    """A serial of 45000 is 2023-03-15, or 2027-03-16 in the system of 1904 (1,462 days later), as calamine has it; and
    what openpyxl writes in that system comes back."""
    from openpyxl import Workbook
    from openpyxl.utils.datetime import CALENDAR_MAC_1904
    from python_calamine import CalamineWorkbook

    inside = '<sheetData><row r="1"><c r="A1" s="1"><v>45000</v></c></row></sheetData>'
    data = xlsx(inside, styles=[14], book='<workbookPr date1904="1"/>')
    assert read_sheets(data, "xlsx").rows[0][0] == "2027-03-16"
    assert CalamineWorkbook.from_filelike(io.BytesIO(data)).get_sheet_by_index(0).to_python() == [[date(2027, 3, 16)]]
    book = Workbook()
    book.epoch = CALENDAR_MAC_1904
    book.worksheets[0].append([date(2026, 3, 1), datetime(2026, 3, 1, 14, 30)])
    out = io.BytesIO()
    book.save(out)
    assert read_sheets(out.getvalue(), "xlsx").rows == (("2026-03-01", "2026-03-01T14:30:00"),)


def test_other_kinds_of_cells() -> None:
    inside = (
        '<c r="A1" t="b"><v>1</v></c><c r="B1" t="b"><v>0</v></c><c r="C1" t="e"><v>#N/A</v></c>'
        '<c r="D1" t="str"><f>A1</f><v>Gin</v></c><c r="E1" t="d"><v>2026-03-01</v></c><c r="F1" t="s"><v>0</v></c>'
        '<c r="G1" t="inlineStr"><is><r><t>Gi</t></r><r><t>n</t></r><rPh sb="0" eb="1"><t>x</t></rPh></is></c>'
        '<c r="H1"><f>1+1</f><v>2</v></c>'
    )
    shared = ["<r><t>Or</t></r><r><t xml:space='preserve'>chard </t></r><rPh sb='0' eb='1'><t>x</t></rPh>"]
    row = read(f'<sheetData><row r="1">{inside}</row></sheetData>', shared=shared).rows[0]
    assert row == ("TRUE", "FALSE", "#N/A", "Gin", "2026-03-01", "Orchard ", "Gin", "2")
    assert isinstance(row[4], DayCell)


@pytest.mark.parametrize(
    "cell", ['<c r="A1"><f>B1*2</f></c>', '<c r="A1"><f>B1*2</f><v></v></c>', '<c r="A1"><f>B1*2</f><v/></c>']
)
def test_a_formula_that_nobody_worked_out_is_empty_and_never_nought(cell: str) -> None:
    found = first(cell + '<c r="B1"><v>1</v></c>')
    assert (found, type(found)) == ("", Unworked)


def test_a_formula_with_an_empty_text_is_worked_out() -> None:
    table = read('<sheetData><row r="1"><c r="A1" t="str"><f>""</f><v></v></c><c r="B1"><v>1</v></c></row></sheetData>')
    assert table.rows == (("", "1"),)
    assert type(table.rows[0][0]) is str


def test_a_sheet_of_unworked_formulas_keeps_its_rows() -> None:
    rows = '<sheetData><row r="1"><c r="A1"><v>1</v></c></row><row r="2"><c r="B2"><f>A1</f></c></row></sheetData>'
    assert [len(row) for row in read(rows).rows] == [1, 2]


def test_escapes_and_hard_blanks_of_texts() -> None:
    """ECMA-376 part 1, 22.9.2.19, ST_Xstring."""
    assert (
        first('<c r="A1" t="inlineStr"><is><t>Gin_x000D__x005F_x0041_\xa0dry _x0001_</t></is></c>')
        == "Gin\r_x0041_\xa0dry _x0001_"
    )


def test_cells_and_rows_without_places_follow_the_one_before() -> None:
    table = read(
        "<sheetData><row><c><v>1</v></c><c><v>2</v></c></row>"
        '<row r="4"><c r="C4"><v>3</v></c><c><v>4</v></c></row></sheetData>'
    )
    assert table.rows == (("1", "2"), (), (), ("", "", "3", "4"))


def test_the_dimension_is_not_believed() -> None:
    rows = '<sheetData><row r="1"><c r="A1"><v>1</v></c></row><row r="900"><c r="B900"><v>2</v></c></row></sheetData>'
    for said in ("A1", "A1:XFD1048576", "nonsense"):
        assert len(read(f'<dimension ref="{said}"/>{rows}').rows) == 900


def test_far_cells() -> None:
    near = '<row r="1"><c r="A1"><v>1</v></c><c r="B1"><v>2</v></c></row>'
    empty = read(f'<sheetData>{near}<row r="1048576"><c r="XFD1048576" s="0"/></row></sheetData>')
    assert empty.rows == (("1", "2"),)
    for place, said in (
        ("XFD1048576", "cell XFD1048576 lies beyond column 256"),
        ("A1048576", "cell A1048576 lies below row 200,000"),
        ("IW1", "cell IW1 lies beyond column 256"),
    ):
        row = place.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
        far = f'<row r="{row}"><c r="{place}"><v>3</v></c></row>'
        with pytest.raises(Unreadable, match=f'list.xlsx, sheet "List 1": {said}'):
            read(f"<sheetData>{near if row != '1' else ''}{far}</sheetData>")


def test_merged_cells_are_filled_and_their_rows_named() -> None:
    rows = cells([["Prices", "", "", "Code"], ["net", "gross", "per l", ""], ["1", "2", "3", "4"]])
    table = read(rows + '<mergeCells><mergeCell ref="A1:C1"/><mergeCell ref="D1:D2"/></mergeCells>')
    assert table.rows[:2] == (("Prices", "Prices", "Prices", "Code"), ("net", "gross", "per l", "Code"))
    assert table.merged_rows == {0, 1}
    wide = read(cells([["a", "b"]]) + '<mergeCells><mergeCell ref="B1:XFD1048576"/></mergeCells>')
    assert wide.rows == (("a", "b"),)


def test_hidden_and_filtered_rows_and_hidden_columns() -> None:
    rows = "".join(
        f'<row r="{n}" {said}><c r="A{n}"><v>{n}</v></c><c r="B{n}"><v>{n}</v></c></row>'
        for n, said in enumerate(("", 'hidden="1"', "", 'ht="0" customHeight="1"', 'hidden="0"'), start=1)
    )
    columns = '<cols><col min="2" max="2" hidden="1"/><col min="3" max="16384" hidden="1"/></cols>'
    table = read(f'{columns}<sheetData>{rows}<row r="9" hidden="1"/></sheetData><autoFilter ref="A1:B5"/>')
    assert table.hidden_rows == {1, 3}
    assert table.hidden_columns == {1}


def test_the_first_sheet_unless_it_is_a_cover() -> None:
    table, cover, pairs = cells(GOODS), cells([["Lantern Drinks"], ["2026"]]), cells([["Mail", "a"], ["Phone", "b"]])
    names = ["One", "Two", "Three"]

    def taken(*sheets: str, **said: object) -> tuple[str, tuple[str, ...]]:
        found = read_sheets(xlsx(*sheets, names=names[: len(sheets)], **said), "xlsx")
        return found.sheet, found.others

    larger = cells([*GOODS, *GOODS])
    assert taken(table, larger) == ("One", ("Two",))
    assert taken(cover, table, larger) == ("Three", ("One", "Two"))
    assert taken(pairs, table) == ("Two", ("One",))
    assert taken(pairs, cover) == ("One", ("Two",))
    assert taken(table, larger, states=["hidden"]) == ("Two", ("One (hidden)",))
    assert taken(cover, table, states=["visible", "veryHidden"]) == ("One", ("Two (hidden)",))
    with pytest.raises(Unreadable, match="only hidden sheets"):
        taken(table, states=["hidden"])


def test_a_sheet_can_be_asked_for() -> None:
    data = xlsx(cells(GOODS), cells([["a", "b"]]), names=["One", "Two"], states=["visible", "hidden"])
    assert read_sheets(data, "xlsx", sheet="Two").rows == (("a", "b"),)
    assert read_sheets(data, "xlsx", sheet="Two (hidden)").sheet == "Two"
    with pytest.raises(ValueError, match=r'no sheet "Four": it has One, Two \(hidden\)'):
        read_sheets(data, "xlsx", sheet="Four")


def test_against_other_readers() -> None:
    """The same workbook by openpyxl, written by it and read back by it and by calamine."""
    from openpyxl import Workbook
    from python_calamine import CalamineWorkbook

    book = Workbook()
    sheet = book.active
    assert sheet is not None
    values = [
        ["Code", "Name", "Price", "Since", "Note"],
        [12, "Orchard gin", 83.4, date(2026, 3, 1), None],
        ["0013", " Vermut\nbianco ", 0.1 + 0.2, datetime(2026, 3, 1, 14, 30), "x"],
        [4006381333931, "Crème", -5, date(1905, 1, 1), True],
    ]
    for row in values:
        sheet.append(row)
    out = io.BytesIO()
    book.save(out)
    table = read_sheets(out.getvalue(), "xlsx")
    assert table.rows[1] == ("12", "Orchard gin", "83.4", "2026-03-01")
    assert table.rows[2] == ("0013", " Vermut\nbianco ", "0.3", "2026-03-01T14:30:00", "x")
    assert table.rows[3] == ("4006381333931", "Crème", "-5", "1905-01-01", "TRUE")
    other = CalamineWorkbook.from_filelike(io.BytesIO(out.getvalue())).get_sheet_by_index(0).to_python()
    for mine, theirs in zip(table.rows, other, strict=True):
        for cell, value in zip(mine, theirs, strict=False):
            assert not isinstance(cell, Figure) or float(cell) == pytest.approx(float(str(value)), rel=1e-15)
            assert not isinstance(cell, DayCell) or cell[:10] == str(value)[:10]


def test_the_strict_form_and_prefixes() -> None:
    """ECMA-376 part 1 (strict) has other namespaces than part 4 (transitional)."""
    from tests.supply.readers.sheets_made import MAIN, xlsx_parts, zipped

    parts = xlsx_parts(cells(GOODS))
    part = "xl/worksheets/sheet1.xml"
    strict = {n: str(c).replace(MAIN, "http://purl.oclc.org/ooxml/spreadsheetml/main") for n, c in parts.items()}
    assert read_table(zipped(strict), "a.xlsx").rows == GOODS
    moved = {name.replace("workbook", "workbook2"): text for name, text in parts.items()}
    moved["_rels/.rels"] = str(parts["_rels/.rels"]).replace("xl/workbook", "/xl/workbook2")
    assert read_table(zipped(moved), "a.xlsx").rows == GOODS
    body = (
        str(parts[part])
        .replace("</", "</x:")
        .replace("<", "<x:")
        .replace("<x:/x:", "</x:")
        .replace("xmlns=", "xmlns:x=")
    )
    assert read_table(zipped({**parts, part: body}), "a.xlsx").rows == GOODS


def test_xls_with_formats_errors_and_hidden_rows() -> None:
    texts = ["Code", "Name", "Price", "Orchard gin"]
    records = b"".join(xls_text(0, i, i) for i in range(3)) + xls_text(1, 1, 3)
    records += (
        xls_number(1, 0, 12, 1) + xls_number(1, 2, 83.4, 2) + xls_number(1, 3, 0.19, 3) + xls_number(2, 3, 45000, 4)
    )
    records += record(0x205, struct.pack("<HHHBB", 2, 2, 0, 42, 1))
    records += record(0x208, struct.pack("<HHHHHHI", 2, 0, 3, 255, 0, 0, 0x20))
    records += record(0x7D, struct.pack("<HHHHHH", 1, 1, 0, 0, 1, 0))
    table = read_table(xls(records, shared=texts, formats=["00000", '"EUR" 0.00', 9, 14]), "list.xls")
    assert table.rows == (
        ("Code", "Name", "Price"),
        ("00012", "Orchard gin", "83.4", "19 %"),
        ("", "", "#N/A", "2023-03-15"),
    )
    assert [type(cell) for cell in table.rows[1]] == [str, str, MoneyFigure, PercentFigure]
    assert table.hidden_rows == {2}
    assert table.hidden_columns == {1}
    assert table.shape == "xls"


def test_xlsb() -> None:
    texts = ["Code", "Price", "0012"]
    table = read_table(
        xlsb({0: [(0, 0), (1, 1)], 1: [(0, 2), (1, 83.4)], 2: [(1, b"\x2a")]}, shared=texts), "list.xlsb"
    )
    assert table.rows == (("Code", "Price"), ("0012", "83.4"), ("", "#N/A"))
    assert isinstance(table.rows[1][1], Figure)


def test_old_sheets_cost_what_their_cells_do() -> None:
    far = xlsb({0: [(0, 1.0)], 1_048_575: [(16_383, 2.0)]})
    with pytest.raises(Unreadable, match="cell XFD1048576 lies beyond column 256"):
        read_table(far, "list.xlsb")
    corner = read_table(xls(xls_number(0, 0, 1.0) + xls_number(65_535, 255, 1.0)), "list.xls")
    assert (len(corner.rows), len(corner.rows[-1]), sum(map(len, corner.rows))) == (65_536, 256, 257)
    many = b"".join(xls_text(n, 0, 0) for n in range(20_000))
    with pytest.raises(Unreadable, match="more than 60,000,000 characters together"):
        read_table(xls(many, shared=["x" * 4000]), "list.xls")


def _cell(kind: str, said: str, text: str = "", more: str = "") -> str:
    return f'<table:table-cell office:value-type="{kind}" {said} {more}><text:p>{text}</text:p></table:table-cell>'


def test_ods_values() -> None:
    """ODF 1.3 part 3, 19.387 (value types)."""
    row = "".join(
        (
            _cell("string", "", "0012"),
            _cell("float", 'office:value="12"', "00012"),
            _cell("float", 'office:value="1204.5"', "1.204,50"),
            _cell("percentage", 'office:value="1.5"', "150 %"),
            _cell("currency", 'office:currency="EUR" office:value="8.2"', "8,20 €"),
            _cell("date", 'office:date-value="2026-03-01"', "01.03.26"),
            _cell("date", 'office:date-value="2026-03-01T14:30:00"', "x"),
            _cell("time", 'office:time-value="PT36H30M00S"', "x"),
            _cell("boolean", 'office:boolean-value="true"', "WAHR"),
            '<table:table-cell table:formula="of:=[.A1]"/>',
            _cell("float", 'office:value="1E-3"', "0"),
        )
    )
    table = read_table(
        ods(f'<table:table table:name="L"><table:table-row>{row}</table:table-row></table:table>'), "list.ods"
    )
    assert table.rows[0] == (
        "0012",
        "00012",
        "1204.5",
        "150 %",
        "8.2",
        "2026-03-01",
        "2026-03-01T14:30:00",
        "36:30:00",
        "TRUE",
        "",
        "0.001",
    )
    kinds = [str, str, Figure, PercentFigure, MoneyFigure, DayCell, DayCell, str, str, Unworked, Figure]
    assert [type(cell) for cell in table.rows[0]] == kinds


def test_ods_texts_leave_notes_and_drawings_out() -> None:
    text = (
        '<table:table-cell office:value-type="string"><office:annotation><text:p>note</text:p></office:annotation>'
        '<text:p>Or<text:span>chard</text:span><text:s text:c="2"/>gin<text:line-break/>dry</text:p>'
        "<text:p>1 l</text:p>"
        "<drawing:frame><text:p>picture</text:p></drawing:frame></table:table-cell>"
    )
    table = read_table(
        ods(f'<table:table table:name="L"><table:table-row>{text}</table:table-row></table:table>'), "a.ods"
    )
    assert table.rows == (("Orchard  gin\ndry\n1 l",),)


def test_ods_repeats_hides_and_merges() -> None:
    one = _cell("float", 'office:value="1"', "1")
    three = _cell("float", 'office:value="7"', "7", 'table:number-columns-repeated="3"')
    gap = '<table:table-cell table:number-columns-repeated="1"/>'
    wide = _cell("string", 'table:number-columns-spanned="3"', "head")
    inside = (
        '<table:table-column table:number-columns-repeated="2"/>'
        '<table:table-column table:visibility="collapse" table:number-columns-repeated="16382"/>'
        f'<table:table-row>{wide}<table:covered-table-cell table:number-columns-repeated="2"/></table:table-row>'
        '<table:table-row table:number-rows-repeated="2" table:visibility="filter">'
        f"{one}{gap}{one}</table:table-row><table:table-row>{three}</table:table-row>"
        '<table:table-row table:number-rows-repeated="1048570">'
        '<table:table-cell table:number-columns-repeated="16384"/></table:table-row>'
    )
    table = read_table(ods(f'<table:table table:name="L">{inside}</table:table>'), "list.ods")
    assert table.rows == (("head",) * 3, ("1", "", "1"), ("1", "", "1"), ("7", "7", "7"))
    assert table.hidden_rows == {1, 2}
    assert table.hidden_columns == {2}
    assert table.merged_rows == {0}


def test_ods_repeats_that_would_fill_the_memory() -> None:
    cell = _cell("float", 'office:value="1"', "1", 'table:number-columns-repeated="200"')
    rows = f'<table:table-row table:number-rows-repeated="1048576">{cell}</table:table-row>'
    with pytest.raises(Unreadable, match="more than 3,000,000 cells"):
        read_table(ods(f'<table:table table:name="L">{rows}</table:table>'), "list.ods")


def test_hidden_ods_sheets() -> None:
    style = (
        '<style:style style:name="h" style:family="table"><style:table-properties table:display="false"/></style:style>'
    )
    hidden = ods_table(GOODS, "One").replace("<table:table ", '<table:table table:style-name="h" ')
    table = read_table(ods(hidden, ods_table(GOODS, "Two"), styles=style), "list.ods")
    assert (table.sheet, table.others) == ("Two", ("One (hidden)",))


def test_pandas_loses_what_is_kept_here() -> None:
    """An ods text "0012" stays one; it comes back as the number 12 from readers that infer types."""
    assert read_table(ods(ods_table([["0012", "x"], ["0013", "y"]])), "a.ods").rows[0][0] == "0012"


def test_shared_texts_cost_their_memory_once() -> None:
    rows = [f'<row r="{n}"><c r="A{n}" t="s"><v>0</v></c></row>' for n in range(1, 20_001)]
    shared = [f"<t>{'x' * 32_000}</t>"]
    table = read(f"<sheetData>{''.join(rows[:1800])}</sheetData>", shared=shared)
    assert len({id(row[0]) for row in table.rows}) == 1
    with pytest.raises(Unreadable, match="more than 60,000,000 characters together"):
        read(f"<sheetData>{''.join(rows)}</sheetData>", shared=shared)


def test_money_survives_copies() -> None:
    import copy
    import pickle

    cell = MoneyFigure("1.5", "EUR")
    assert copy.copy(cell).currency == "EUR"
    assert pickle.loads(pickle.dumps(cell)).currency == "EUR"


@pytest.mark.slow
def test_a_hundred_thousand_rows_of_eight() -> None:
    row = "".join(f'<c r="{letter}%d"><v>12.%d</v></c>' for letter in "ABCDEFGH")
    rows = "".join(f'<row r="{n}">' + row % ((n, n) * 8) + "</row>" for n in range(1, 100_001))
    data = xlsx(f"<sheetData>{rows}</sheetData>")
    assert len(read_sheets(data, "xlsx").rows) == 100_000
