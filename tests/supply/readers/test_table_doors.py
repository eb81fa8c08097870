"""The doors for tables: a path, a file's bytes, the clipboard; and numbers as text by themselves."""

import os
from decimal import Decimal
from pathlib import Path

import pytest

from costing.supply.arriving.doubt_words import doubt_text
from costing.supply.arriving.line import Unreadable
from costing.supply.readers.cells import float_text, number_text, percent_text
from costing.supply.readers.clip import read_clip
from costing.supply.readers.tables import read_bytes, read_table
from costing.supply.readers.words import FILE_DOUBTS, table_doubts
from tests.supply.readers.sheets_made import GOODS, cells, xlsx


def test_bytes_of_a_file(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_bytes(b"a;b\n")
    assert read_bytes(path) == b"a;b\n"
    assert read_bytes(str(path)) == b"a;b\n"


def refused(path: Path | str) -> str:
    with pytest.raises(Unreadable) as caught:
        read_bytes(path)
    assert str(caught.value).isprintable()
    return str(caught.value)


def test_paths_without_a_file(tmp_path: Path) -> None:
    assert "there is no such file" in refused(tmp_path / "none.csv")
    assert str(tmp_path / "none.csv") in refused(tmp_path / "none.csv")
    assert "this is a folder" in refused(tmp_path)
    assert "there is no such file" in refused(tmp_path / ("x" * 300))
    assert "there is no such file" in refused("a\0b")
    (tmp_path / "list.csv").write_bytes(b"a")
    assert "there is no such file" in refused(tmp_path / "list.csv" / "more.csv")


def test_a_file_that_is_too_large(tmp_path: Path) -> None:
    path = tmp_path / "large.csv"
    with path.open("wb") as file:
        file.truncate(3_000_000_000)
    assert "is too large: 3000.0 MB" in refused(path)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no such thing on this system")
def test_what_is_no_file(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.csv")
    assert "this is no file that can be read" in refused(tmp_path / "pipe.csv")


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="whoever may do everything is never denied")
def test_a_file_that_may_not_be_read(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_bytes(b"a;b")
    path.chmod(0)
    assert "may not be read" in refused(path)


def test_errors_of_the_device(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "list.csv"
    path.write_bytes(b"a;b")
    for number, said in ((5, "the disk or device"), (13, "may not be read"), (40, "no such file")):

        def fail(*_: object, number: int = number, **__: object) -> None:
            raise OSError(number, os.strerror(number), str(path))

        with monkeypatch.context() as patched:
            patched.setattr(Path, "open", fail)
            assert said in refused(path)


def test_the_door_reads_by_bytes() -> None:
    assert read_table(xlsx(cells(GOODS)), "list.csv").shape == "xlsx"
    assert read_table(b"a;b\n1;2\n", "list.xlsx").shape == "text"
    with pytest.raises(Unreadable, match="is a document and not a table"):
        read_table(b"<Invoice/>", "list.xml")
    with pytest.raises(Unreadable, match=r"list.xlsx has no filled cells"):
        read_table(xlsx("<sheetData/>"), "list.xlsx")
    with pytest.raises(Unreadable, match="the file is empty"):
        read_table(b"", "")


def test_answers_reach_the_reader() -> None:
    table = read_table("a|b\n1|Crème\n".encode("cp1252"), "a.csv", encoding="cp1250", delimiter="|")
    assert (table.encoding, table.delimiter) == ("cp1250", "|")
    with pytest.raises(ValueError, match="has no sheet"):
        read_table(xlsx(cells(GOODS)), "a.xlsx", sheet="Other")


def test_progress_of_a_sheet_may_stop_it() -> None:
    seen: list[tuple[int, int]] = []
    rows = cells([[f"{n}", "x"] for n in range(20_000)])
    read_table(xlsx(rows), "a.xlsx", tell=lambda done, of: seen.append((done, of)))
    assert seen
    assert all(0 <= done <= of for done, of in seen)

    class Stop(Exception):
        pass

    def stop(done: int, of: int) -> None:
        raise Stop

    with pytest.raises(Stop):
        read_table(xlsx(rows), "a.xlsx", tell=stop)


def test_cells_from_the_clipboard() -> None:
    """Spreadsheets put a cell with a line break, a tab or a quote in quotes, and double its quotes; common practice, no
    source."""
    table = read_clip('Code\tName\tPrice\r\n0012\t"Gin\ndry"\t12,50\r\n0013\t"say ""rum"""\t\r\n')
    assert table.rows == (("Code", "Name", "Price"), ("0012", "Gin\ndry", "12,50"), ("0013", 'say "rum"', ""))
    assert (table.shape, table.delimiter, table.sure) == ("paste", "\t", True)


def test_other_pastes() -> None:
    assert read_clip("Code;Price\n1;2,50\n2;3,50\n").rows[1] == ("1", "2,50")
    assert read_clip("Gin, dry\t12,50").rows == (("Gin, dry", "12,50"),)
    assert read_clip("Gin").rows == (("Gin",),)
    with pytest.raises(Unreadable, match="nothing is pasted"):
        read_clip(" \n\t ")
    with pytest.raises(Unreadable, match="too long"):
        read_clip("a\tb\n" * 6_000_000)


def test_doubts_about_a_table_have_words() -> None:
    hidden = '<sheetData><row r="1" hidden="1"><c><v>1</v></c></row><row><c><v>1</v></c></row></sheetData>'
    data = xlsx('<cols><col min="1" max="1" hidden="1"/></cols>' + hidden, "<sheetData/>")
    found = table_doubts(read_table(data, "a.xlsx")) + table_doubts(read_table(b"Cr\xe8me;1\nx;2\n", "a.csv"))
    assert {doubt.code for doubt in found} == set(FILE_DOUBTS)
    assert all(doubt_text(doubt) and "{" not in doubt_text(doubt) for doubt in found)


@pytest.mark.parametrize("raw", ["", ".", "1,5", "1e", "--1", "1 2", "+", "½", "1e99999"])
def test_what_is_no_number(raw: str) -> None:
    assert number_text(raw) == ""


def test_numbers_keep_their_value() -> None:
    for raw in ("0.1", "1e-7", "123456.789", "1E+15", "-0.05", "000.500", "+7"):
        assert Decimal(number_text(raw)) == Decimal(raw)
        assert "e" not in number_text(raw).lower()
    assert [float_text(v) for v in (12.0, 0.1, 1e22, -0.0, 1e-7)] == [
        "12",
        "0.1",
        "10000000000000000000000",
        "0",
        "0.0000001",
    ]
    assert [percent_text(v) for v in ("1.5", "0.07", "-0.025", "1")] == ["150 %", "7 %", "-2.5 %", "100 %"]
