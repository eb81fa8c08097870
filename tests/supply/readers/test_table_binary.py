"""Records of the old binary forms, each against its place in [MS-XLS] or [MS-XLSB]."""

import struct

import pytest

from costing.supply.arriving.line import Unreadable
from costing.supply.arriving.table import Figure, Unworked
from costing.supply.readers.biff import rk_value
from costing.supply.readers.biff_texts import shared_texts
from costing.supply.readers.cells import MoneyFigure, PercentFigure
from costing.supply.readers.tables import read_table
from tests.supply.readers.sheets_made import compound, record, wide, wide_text, xls, xls_number, xls_text, xlsb


@pytest.mark.parametrize(
    ("raw", "value"),
    [
        (0x3FF00000, 1.0),  # half a double
        (0x3FF00001, 0.01),  # the same in hundredths
        (0x004B5646, 1234321.0),  # a whole number
        (0x004B5647, 12343.21),
        (0xFFFFFFFE, -1.0),
        ((83_40 << 2) | 3, 83.40),
    ],
)
def test_short_numbers(raw: int, value: float) -> None:
    """[MS-XLS] 2.5.217, RkNumber. The first four are examples of an older public description, from memory."""
    assert rk_value(raw) == value


def test_shared_texts_that_run_on_with_another_width() -> None:
    """[MS-XLS] 2.5.293: where characters go on in a Continue record, a byte says anew how wide they are."""
    head = struct.pack("<II", 3, 3)
    first = head + struct.pack("<HB", 6, 0) + b"Orc"
    second = (
        b"\1"
        + "hàü".encode("utf-16-le")
        + struct.pack("<HBHI", 3, 1 | 4 | 8, 1, 5)
        + "柚子x".encode("utf-16-le")
        + b"\0\0"
    )
    third = b"\0\0" + b"12345" + struct.pack("<HB", 2, 0) + b"ok"
    assert shared_texts([first, second, third], "a") == ["Orchàü", "柚子x", "ok"]
    with pytest.raises(ValueError, match="end too early"):
        shared_texts([first], "a")


def _formula(row: int, column: int, value: bytes, flags: int = 0) -> bytes:
    return record(0x06, struct.pack("<HHH", row, column, 0) + value + struct.pack("<HI", flags, 0) + b"\0\0")


def test_kept_values_of_formulas() -> None:
    """[MS-XLS] 2.5.133, FormulaValue."""
    odd = b"\xff\xff"
    records = (
        _formula(0, 0, struct.pack("<d", 8.2))
        + _formula(0, 1, b"\0" + bytes(5) + odd)
        + record(0x207, struct.pack("<HB", 3, 0) + b"Gin")
        + _formula(0, 2, b"\1\0\1" + bytes(3) + odd)
        + _formula(0, 3, b"\2\0\x07" + bytes(3) + odd)
        + _formula(0, 4, b"\3" + bytes(5) + odd)
        + _formula(0, 5, b"\3" + bytes(5) + odd, flags=2)
        + xls_number(0, 6, 1.0)
    )
    row = read_table(xls(records), "a.xls").rows[0]
    assert row == ("8.2", "Gin", "TRUE", "#DIV/0!", "", "", "1")
    assert [type(row[i]) for i in (0, 4, 5)] == [Figure, str, Unworked]


def test_other_records() -> None:
    runs = struct.pack("<HHHIHIH", 0, 0, 0, (834 << 2) | 3, 0, 0x40100000, 1)
    records = (
        record(0xBD, runs)
        + record(0x27E, struct.pack("<HHHI", 1, 0, 0, 6))
        + record(0x205, struct.pack("<HHHBB", 1, 1, 0, 1, 0))
    )
    records += record(0x204, struct.pack("<HHHHB", 2, 0, 0, 4, 1) + "Crème"[:4].encode("utf-16-le")) + record(
        0x201, bytes(6)
    )
    records += (
        record(0x809, bytes(16)) + xls_number(9, 9, 9.0) + record(0x0A)
    )  # a picture's own records inside the sheet's
    records += record(0xE5, struct.pack("<HHHHH", 1, 2, 2, 0, 1))
    table = read_table(xls(records), "a.xls")
    assert table.rows == (("8.34", "4"), ("1", "TRUE"), ("Crèm", "Crèm"))
    assert table.merged_rows == {2}


def test_the_day_system_of_1904_in_xls() -> None:
    data = xls(xls_number(0, 0, 45_000, 1) + xls_number(0, 1, 1), formats=[14], before=record(0x22, b"\1\0"))
    assert read_table(data, "a.xls").rows[0][0] == "2027-03-16"


def test_the_form_before_unicode() -> None:
    """BIFF5: texts are bytes of the code page that the workbook names."""
    bof = record(0x809, struct.pack("<HHHH", 0x500, 5, 0, 0))
    name = "Liste ü".encode("cp1252")
    text = "Лимонад".encode("cp1251")

    def head(at: int) -> bytes:
        return (
            bof
            + record(0x42, struct.pack("<H", 1251))
            + record(0x85, struct.pack("<IBBB", at, 0, 0, len(name)) + name)
            + record(0x0A)
        )

    first = head(len(head(0)))
    body = record(0x809, struct.pack("<HHHH", 0x500, 0x10, 0, 0)) + record(
        0x204, struct.pack("<HHHH", 0, 0, 0, len(text)) + text
    )
    table = read_table(compound({"Book": first + body + record(0x0A)}), "a.xls")
    assert table.rows == (("Лимонад",),)


def test_a_hidden_sheet() -> None:
    """[MS-XLS] 2.4.28, BoundSheet8: the lower two bits of the byte after the place say that it is hidden."""
    data = bytearray(xls(xls_number(0, 0, 1.0)))
    data[data.index(b"\6\0List 1") - 2] = 1
    with pytest.raises(Unreadable, match="only hidden sheets"):
        read_table(bytes(data), "a.xls")


@pytest.mark.parametrize("size", [700, 2000, 4000])
def test_a_stream_that_breaks_off(size: int) -> None:
    records = b"".join(xls_text(n, 0, n) for n in range(200))
    whole = xls(records, shared=[f"Item {n}" for n in range(200)])
    with pytest.raises(Unreadable, match="is damaged"):
        read_table(whole[: 512 + size], "a.xls")


def test_xlsb_formats_merges_and_hiding() -> None:
    """[MS-XLSB] 2.4.646 (BrtFmt), 2.4.871 (BrtXF), 2.4.299 (BrtColInfo), 2.4.734 (BrtRowHdr); numbers of records from
    memory."""
    from tests.supply.readers.sheets_made import LINKS, unzipped, zipped

    parts = unzipped(xlsb({0: [(0, 0), (1, 1.5), (2, 8.2)]}, shared=["Gin"]))
    styles = wide(44, struct.pack("<H", 170) + wide_text('"EUR" 0.00')) + wide(617)
    styles += b"".join(wide(47, struct.pack("<HH", 0, n).ljust(16, b"\0")) for n in (0, 9, 170)) + wide(618)
    body = wide(129) + wide(60, struct.pack("<IIIIH", 1, 1, 0, 0, 1)) + wide(145)
    body += wide(0, struct.pack("<II", 0, 0) + bytes(9)) + wide(7, struct.pack("<III", 0, 0, 0))
    body += wide(5, struct.pack("<IId", 1, 1, 1.5)) + wide(2, struct.pack("<III", 2, 2, (820 << 2) | 3))
    body += wide(4, struct.pack("<IIB", 3, 0, 1)) + wide(8, struct.pack("<II", 4, 0) + wide_text("Rum") + bytes(9))
    body += wide(0, struct.pack("<II", 1, 0) + b"\0\0\0\x10" + bytes(5)) + wide(
        9, struct.pack("<IId", 0, 0, 2.0) + bytes(9)
    )
    body += wide(146) + wide(176, struct.pack("<IIII", 0, 1, 4, 4)) + wide(130)
    links = parts["xl/_rels/workbook.bin.rels"].decode()
    links = links.replace(
        "</Relationships>", f'<Relationship Id="s2" Type="{LINKS}/styles" Target="styles.bin"/></Relationships>'
    )
    made = zipped(
        {**parts, "xl/styles.bin": styles, "xl/worksheets/sheet1.bin": body, "xl/_rels/workbook.bin.rels": links}
    )
    table = read_table(made, "a.xlsb")
    assert table.rows == (("Gin", "150 %", "8.2", "TRUE", "Rum"), ("2", "", "", "", "Rum"))
    assert [type(cell) for cell in table.rows[0][1:3]] == [PercentFigure, MoneyFigure]
    assert table.hidden_rows == table.hidden_columns == table.merged_rows == {1}


def test_a_list_of_sectors_that_is_cut_off_is_damage() -> None:
    """A header whose further sectors begin in the last bytes of the file, found by fuzzing."""
    head = bytearray(512)
    head[:8] = bytes.fromhex("D0CF11E0A1B11AE1")
    struct.pack_into("<HH", head, 30, 9, 6)
    struct.pack_into("<8I", head, 44, 1, 0, 0, 4096, 0xFFFFFFFE, 0, 0, 1)
    struct.pack_into("<109I", head, 76, *[0xFFFFFFFF] * 109)
    with pytest.raises(Unreadable, match="damaged"):
        read_table(bytes(head) + b"\0\0\0", "a.xls")
