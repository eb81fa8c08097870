"""Broken and hostile workbooks, through ``new BOOK --from FILE.xlsx``."""

import io
import re
import zipfile
from collections.abc import Callable
from datetime import datetime, time
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from costing.__main__ import main
from costing.supply.starter_example import example_book
from tests.hostile.attempt import Maker, refused
from tests.hostile.test_hostile_json import sparse
from tests.supply.starters import part_of, patched, typed, written

LOL = b"<!DOCTYPE x [" + b"".join(
    b'<!ENTITY l%d "%s">' % (n, b"&l%d;" % (n - 1) * 10 if n else b"lol") for n in range(10)
) + b"]>"  # fmt: skip


def fresh() -> bytes:
    return written(example_book)


def raw(made: Callable[[], bytes]) -> Maker:
    return lambda path: path.write_bytes(made())


def cells(given: dict[str, Any]) -> Maker:
    return raw(lambda: typed(given))


def act(change: Callable[[Any], object]) -> Maker:
    """The example bar after somebody worked on it with openpyxl."""

    def worked(wb: Any) -> None:
        change(wb)

    return raw(lambda: typed({}, act=worked))


def part(name: str, change: Callable[[bytes], bytes] | bytes) -> Maker:
    return raw(lambda: patched(fresh(), name, change))


def sheet(name: str, change: Callable[[bytes], bytes]) -> Maker:
    return raw(lambda: patched(fresh(), part_of(fresh(), name), change))


def archive(names: dict[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as target:
        for name, data in names.items():
            target.writestr(name, data)
    return out.getvalue()


def _bomb() -> bytes:
    """200 MB of spaces in one part: 200 kB of file."""
    out = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(fresh())) as source,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as target,
    ):
        for name in source.namelist():
            target.writestr(name, source.read(name))
        with target.open("xl/media/image1.xml", "w") as file:
            for _ in range(200):
                file.write(b" " * 1_000_000)
    return out.getvalue()


def _lying_bomb() -> bytes:
    """The same, with a directory that says 100 bytes."""
    data = bytearray(_bomb())
    at = data.rindex(b"PK\x01\x02")
    data[at + 24 : at + 28] = (100).to_bytes(4, "little")
    return bytes(data)


def _locked() -> bytes:
    """Every part marked as encrypted in the old way of zip archives."""
    data = bytearray(fresh())
    for mark, flag in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        for found in re.finditer(re.escape(mark), bytes(data)):
            data[found.start() + flag] |= 1
    return bytes(data)


def _two_of_one() -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(fresh())) as source, zipfile.ZipFile(out, "w") as target:
        for name in source.namelist():
            target.writestr(name, source.read(name))
        with pytest.warns(UserWarning, match="Duplicate name"):
            target.writestr("xl/workbook.xml", source.read("xl/workbook.xml"))
    return out.getvalue()


def _empty_rows(data: bytes) -> bytes:
    """A million rows that hold nothing, as a list formatted down to the end of the sheet leaves them."""
    rows = b"".join(b'<row r="%d" ht="15"/>' % n for n in range(1000, 1_000_000))
    return data.replace(b"</sheetData>", rows + b"</sheetData>")


def _many_cells(data: bytes) -> bytes:
    rows = b"".join(
        b'<row r="%d">%s</row>' % (n, b"".join(b'<c r="%c%d" s="1"/>' % (65 + k, n) for k in range(26)))
        for n in range(1000, 17_000)
    )
    return data.replace(b"</sheetData>", rows + b"</sheetData>")


BAD: dict[str, tuple[Maker, str]] = {
    "text": (raw(lambda: b"Ingredient;Price\nLemon;2,60\n"), "this is not an .xlsx workbook; save it as .xlsx"),
    "nothing": (raw(lambda: b""), "the file is empty (0 bytes)"),
    "a web page": (
        raw(lambda: b"\xef\xbb\xbf\r\n<html><body><table><tr><td>1</td></tr></table>"), "this is a web page"),
    "an old workbook or a password": (
        raw(lambda: b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(504)), "a workbook with a password, or one of the old"),
    "a password of zip": (raw(_locked), "the workbook is damaged"),
    "cut off": (raw(lambda: fresh()[: len(fresh()) // 2]), "the workbook is damaged"),
    "cut by one byte": (raw(lambda: fresh()[:-1]), "the workbook is damaged"),
    "first bytes only": (raw(lambda: b"PK\x03\x04"), "the workbook is damaged"),
    "another archive": (raw(lambda: archive({"word/document.xml": b"<w/>"})), "this archive is not an .xlsx workbook"),
    "a binary workbook": (
        raw(lambda: archive({"xl/workbook.bin": b"\x83\x01"})), "this archive is not an .xlsx workbook"),
    "an archive of nothing": (raw(lambda: archive({})), "this archive is not an .xlsx workbook"),
    "unfolds to 200 MB": (raw(_bomb), "unfolded it has more than"),
    "unfolds to 200 MB and lies": (raw(_lying_bomb), "the workbook is damaged"),
    "very many parts": (raw(lambda: archive({f"x{n}.xml": b"" for n in range(2000)})), "unfolded it has more than"),
    "20 MB": (sparse(20_000_000, b"PK\x03\x04"), "the file is too large: at most 16,777,216 bytes"),
    "two parts of one name": (raw(_two_of_one), "two parts of the archive have the same name"),
    "macros": (part("xl/vbaProject.bin", b"\xd0\xcf\x11\xe0"), "this workbook has macros"),
    "entities in a sheet": (
        sheet("Packs", lambda d: LOL + d.replace(b"<sheetData>", b"<sheetData>&l9;")), "is not plain UTF-8 XML"),
    "entities in the texts": (
        part("xl/sharedStrings.xml", LOL + b"<sst><si><t>&l9;</t></si></sst>"), "is not plain UTF-8 XML"),
    "a file from elsewhere": (
        sheet("Packs", lambda d: b'<!DOCTYPE x SYSTEM "file:///etc/passwd">' + d), "is not plain UTF-8 XML"),
    "entities in UTF-16": (
        sheet("Packs", lambda d: (LOL + d).decode().replace("utf-8", "utf-16").encode("utf-16")),
        "is not plain UTF-8 XML"),
    "a sheet that is no XML": (sheet("Packs", lambda d: d[:-40]), "the workbook is damaged"),
    "a sheet of another kind": (sheet("Packs", lambda d: b"<html/>"), "is no sheet"),
    "a sheet lost": (
        raw(lambda: patched(fresh(),
        "xl/_rels/workbook.xml.rels", lambda d: d.replace(b"/xl/worksheets/sheet8.xml", b"/gone.xml"))),
        "17 sheets are listed and 16 are there"),
    "a list of sheets that is no XML": (part("xl/workbook.xml", b"<workbook"), "the workbook is damaged"),
    "a text that is not there": (
        sheet("Packs", lambda d: d.replace(b't="inlineStr"><is><t>Lemon</t></is>', b't="s"><v>99999</v>')),
        "the workbook is damaged"),
    "a cell out of this world": (
        sheet("Packs", lambda d: d.replace(b'r="B5"', b'r="ZZZZZ9999999999"', 1)), "the workbook is damaged"),
    "a number that is none": (
        sheet("Packs", lambda d: re.sub(rb'(<c r="G7"[^>]*>)<v>[^<]*', rb"\1<v>12,50,3", d)),
        "the workbook is damaged"),
    "a number beyond all": (
        sheet("Packs", lambda d: re.sub(rb'(<c r="G7"[^>]*>)<v>[^<]*', rb"\1<v>1e999", d)), "Packs!G7"),
    "a date beyond all": (
        sheet("Packs", lambda d: re.sub(rb'(<c r="K7"[^>]*?) t="[a-z]*"([^>]*>)<v>[^<]*', rb"\1\2<v>99999999999", d)),
        "Packs!K7"),
    "a million empty rows": (sheet("Packs", _empty_rows), "delete the empty rows below the list"),
    "400,000 empty cells": (sheet("Packs", _many_cells), "delete the empty rows below the list"),
    "a column far away": (cells({"Packs!ZZ7": "x"}), "has entries beyond column 200"),
    "no House": (act(lambda wb: wb.remove(wb["House"])), "the sheet House is missing"),
    "somebody's own list": (
        act(lambda wb: [wb.remove(ws) for ws in wb.worksheets[1:]] and wb.worksheets[0].__setattr__("title", "List")),
        "this is no starter workbook: no sheet is called House; it has 'List'"),
    "another sheet in it": (act(lambda wb: wb.create_sheet("Till").append(["a"])), "has no such sheet"),
    "the same sheet twice": (
        act(lambda wb: wb.copy_worksheet(wb["Packs"]).__setattr__("title", "packs ")), "the sheet is there twice"),
    "heads gone": (act(lambda wb: wb["Packs"].delete_rows(1, 3)), "Packs no row has the heads Ingredient"),
    "a head changed": (cells({"Packs!G3": "Cost"}), 'Packs!G3 "Cost": no column is called so here'),
    "an error for a price": (cells({"Packs!Price!3": "#REF!"}), 'Packs!G7 "#REF!": the formula here has no result'),
    "an error for a name": (
        cells({"Serves!Goes in!2": "#NAME?"}), 'Serves!D6 "#NAME?": the formula here has no result'),
    "a formula nobody worked out": (cells({"Packs!Price!3": "=20+4"}), "this formula was never worked out"),
    "a figure from another workbook": (
        sheet("Packs", lambda d: re.sub(
            rb'(<c r="G7"[^>]*>)<v>', rb"\1<f>[1]Sheet1!$B$2</f><v>", d)), "it is taken from another workbook"),
    "merged cells": (act(lambda wb: wb["Packs"].merge_cells("B6:B8")), "Packs!B6:B8 these cells are merged"),
    "a supplier nobody knows": (cells({"Packs!Supplier!3": "Fruitt"}), 'Packs!C7 "Fruitt": no supplier is called so'),
    "words for numbers": (cells({"Packs!Price!3": "ask Jon"}), 'Packs!G7 "ask Jon"'),
    "a day that a spreadsheet made of 1-2": (
        cells({"Packs!In the case!3": ("2026-02-01", "d-mmm")}), 'Packs!D7 "2026-02-01"'),
    "a half that became a day": (
        cells({"Serves!Amount!1": (datetime(2026, 2, 1), "d-mmm")}), "a spreadsheet has made this a date"),
    "minutes that became a time": (
        cells({"Preparations!Hands!1": (time(0, 25), "h:mm")}), "a spreadsheet has made this a date or a time"),
    "marks that turn the reading": (cells({"Packs!Supplier!3": "North\u202eyauQ"}), "no supplier is called so"),
    "every row at fault": (
        act(lambda wb: [wb["Packs"].append(["", "Lemon", f"Nobody {n}", 1, "1 kg", "", "x"]) for n in range(8000)]),
        "; and 23980 more"),
    "a truth for a price": (cells({"Packs!Price!3": True}), 'Packs!G7 "True": Price is a number'),
    "everything in one column": (
        act(lambda wb: wb["Packs"].move_range("C5:V30", rows=0, cols=-1)), "Packs!5"),
}  # fmt: skip


@pytest.mark.parametrize("name", list(BAD))
def test_a_bad_workbook(name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    make, said_of_it = BAD[name]
    source = tmp_path / "bar.xlsx"
    make(source)
    said = refused(["new", str(tmp_path / "bar.stillroom"), "--from", str(source)], tmp_path, capsys)
    assert said.startswith(f"stillroom: {source}: ")
    assert said_of_it in said


def test_a_folder_and_nothing_at_all(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "bar.xlsx").mkdir()
    book = str(tmp_path / "bar.stillroom")
    assert "this is a folder" in refused(["new", book, "--from", str(tmp_path / "bar.xlsx")], tmp_path, capsys)
    said = refused(["new", book, "--from", str(tmp_path / "none.xlsx")], tmp_path, capsys)
    assert said == f"stillroom: {tmp_path / 'none.xlsx'}: there is no such file"


def test_a_workbook_with_another_name_is_read_as_what_it_is(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    source = tmp_path / "bar.json"
    source.write_bytes(fresh())
    assert main(["new", str(tmp_path / "bar.stillroom"), "--from", str(source)]) == 0
    capsys.readouterr()
    source.write_bytes(b"PK\x03\x04" + b"junk" * 50)
    assert "the workbook is damaged" in refused(
        ["new", str(tmp_path / "b.stillroom"), "--from", str(source)], tmp_path, capsys
    )


def test_preparations_in_a_circle_are_a_problem_of_the_book(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    source, book = tmp_path / "bar.xlsx", tmp_path / "bar.stillroom"
    source.write_bytes(typed({"Preparations!Goes in!1": "Sugar syrup", "Preparations!Amount!1": "1 l",
                              "Preparations!Goes in!2": "Lemon juice", "Preparations!Amount!2": "1 l"}))  # fmt: skip
    main(["new", str(book), "--from", str(source)])
    capsys.readouterr()
    assert main(["check", str(book), "--day", "2026-06-01"]) == 1
    assert "need one another" in capsys.readouterr().out


def test_the_terminal_writes_and_reads_the_starter(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path, book = tmp_path / "s.xlsx", tmp_path / "bar.stillroom"
    assert main(["new", "--starter", str(path)]) == 0
    assert "fill it in" in capsys.readouterr().out
    assert "nothing is filled in yet" in refused(["new", str(book), "--from", str(path)], tmp_path, capsys)
    assert "not overwritten" in refused(["new", "--starter", str(path)], tmp_path, capsys)
    wb = load_workbook(path)
    wb["House"]["B5"], wb["House"]["B6"] = "The Gull", "EUR"
    wb.save(path)
    main(["new", str(book), "--from", str(path)])
    assert book.is_file()
