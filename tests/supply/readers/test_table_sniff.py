"""What a file is, by its bytes. Magic numbers by the published forms named beside each."""

import gzip
import sqlite3
from pathlib import Path

import pytest

from costing.book.book import Book
from costing.store import create
from costing.supply.arriving.line import Unreadable
from costing.supply.readers.compound import Compound
from costing.supply.readers.sniff import what_is
from tests.supply.readers.sheets_made import (
    GOODS,
    cells,
    compound,
    ods,
    ods_table,
    record,
    xls,
    xls_number,
    xlsb,
    xlsx,
    zipped,
)

ENCRYPTED = '<manifest:manifest xmlns:manifest="urn:x"><manifest:encryption-data/></manifest:manifest>'


@pytest.mark.parametrize(
    ("data", "shape"),
    [
        (b"a;b\n1;2\n", "text"),
        (b"\xef\xbb\xbfa;b\n", "text"),
        ("a;b\n1;2\n".encode("utf-16"), "text"),
        ("Name;Preis\n1;2\n".encode("utf-16-be"), "text"),
        ("柚子;2\n".encode("gb18030"), "text"),
        (b"MZ Spirits;1;2\n", "text"),
        (b"BMW;1\n", "text"),
        (b"[Lantern Drinks]\n1;Gin;2\n", "text"),
        (b"<1 kg;Gin;2\n", "text"),
        (b"{Gin};2\n", "text"),
        (b"From: 1.1.2026\nTo: 2.2.2026\nDate: 1.1.\nCode;Price\n", "text"),
        (b"PAR1;Gin;2\nBZh;Rum;3\n", "text"),
        (xlsx(cells(GOODS)), "xlsx"),
        (xlsb({0: [(0, 1.5)]}), "xlsb"),
        (xls(xls_number(0, 0, 1.0)), "xls"),
        (ods(ods_table(GOODS)), "ods"),
        (b'<?xml version="1.0"?><Invoice/>', "xml"),
        ('\ufeff<?xml version="1.0"?><Invoice/>'.encode("utf-16"), "xml"),
        (b"\n <Invoice xmlns='urn:x'/>", "xml"),
        (b"<!-- x --><rsm:CrossIndustryInvoice xmlns:rsm='urn:x'/>", "xml"),
        (b"%PDF-1.7\n", "pdf"),
        (b"\n\n%PDF-1.4\n", "pdf"),
    ],
)
@pytest.mark.parametrize("name", ["", "list.csv", "list.xlsx", "list.pdf"])
def test_bytes_say_what_a_file_is_and_names_do_not(data: bytes, shape: str, name: str) -> None:
    assert what_is(data, name).shape == shape


REFUSED = {
    "nothing": (b"", "is empty: ask for it again"),
    "blanks": (b" \r\n\t", "holds nothing but blanks"),
    "zeros": (bytes(5000), "nothing but zeros"),
    "web page": (
        b"<!DOCTYPE html>\n<html><table><tr><td>Gin</table>",
        "is a web page, not a sheet: open it and save it as xlsx or csv",
    ),
    "web page, bare": (b"\r\n<table border=1><tr><td>Gin</td></tr></table>", "is a web page"),
    "web page, xhtml": (b'<?xml version="1.0"?><html xmlns="http://www.w3.org/1999/xhtml"/>', "is a web page"),
    "web page, wide": ("\ufeff<html><body>Gin".encode("utf-16"), "is a web page"),
    "saved web page": (
        b"MIME-Version: 1.0\nX-Document-Type: Workbook\nSubject: a\nContent-Type: multipart/related\n",
        "is a saved web page",
    ),
    "xml of 2003": (
        b'<?xml version="1.0"?><?mso-application progid="Excel.Sheet"?>'
        b'<Workbook xmlns="urn:schemas-microsoft-com:office:spreadsheet"/>',
        "XML form of 2003",
    ),
    "flat ods": (
        b'<?xml version="1.0"?><office:document xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0"/>',
        "flat XML form",
    ),
    "rtf": (b"{\\rtf1\\ansi Gin}", "RTF"),
    "png": (b"\x89PNG\r\n\x1a\n....", "is a picture"),  # PNG, 5.2
    "jpeg": (b"\xff\xd8\xff\xe0..JFIF", "is a picture"),  # ISO/IEC 10918-1, B.1.1.3
    "gif": (b"GIF89a....", "is a picture"),
    "tiff": (b"II*\0....", "is a picture"),  # TIFF 6.0, section 2
    "webp": (b"RIFF\x10\0\0\0WEBPVP8 ", "is a picture"),  # RFC 9649, 2.4
    "heic": (b"\0\0\0\x18ftypheic\0\0\0\0", "is a picture"),  # ISO/IEC 23008-12, 10.2
    "old text document": (compound({"WordDocument": b"x"}), "text document of the old doc form"),
    "mail in a container": (compound({"__properties_version1.0": b"x"}), "is an e-mail"),
    "other container": (compound({"Thumbs": b"x"}), "old compound file"),
    "container cut short": (compound({"Workbook": bytes(9000)})[:1200], "is damaged"),
    "mail": (b"Return-Path: <a@example.org>\nReceived: from x\nSubject: list\n\nhello", "is an e-mail"),
    "docx": (zipped({"[Content_Types].xml": "<x/>", "word/document.xml": "<x/>"}), "is a text document"),
    "pptx": (zipped({"[Content_Types].xml": "<x/>", "ppt/presentation.xml": "<x/>"}), "is a slide show"),
    "odt": (ods(mimetype="application/vnd.oasis.opendocument.text"), "text document (ODF)"),
    "zip": (zipped({"list.csv": "a;b"}), "is a zip archive, not a sheet: unpack it"),
    "zip cut short": (xlsx(cells(GOODS))[:300], "is damaged"),
    "gzip": (gzip.compress(b"a;b"), "packed archive"),  # RFC 1952, 2.3.1
    "7z": (b"7z\xbc\xaf\x27\x1c....", "packed archive"),
    "rar": (b"Rar!\x1a\x07\x01\0", "packed archive"),
    "program": (b"MZ\x90\0\x03\0\0\0\x04\0\0\0", "is a program"),
    "program of another system": (b"\x7fELF\x02\x01\x01\0", "is a program"),
    "json": (b'{"items": [{"name": "Gin"}]}', "is JSON"),
    "json list": (b'\n[{"name": "Gin"}]', "is JSON"),
    "sheet of before 1995": (b"\x09\0\x04\0\x02\0\x10\0", "older than 1995"),
    "noise": (bytes(range(256)) * 8, "of no kind that can be read"),
    "password, xlsx": (
        compound({"EncryptedPackage": b"x", "EncryptionInfo": b"x"}),
        "has a password",
    ),  # [MS-OFFCRYPTO] 2.3.4
    "password, xls": (xls(b"", before=record(0x2F, bytes(54))), "has a password"),  # [MS-XLS] 2.4.117
    "password, ods": (ods(ods_table(GOODS), manifest=ENCRYPTED), "has a password"),  # ODF 1.3 part 2, 4.8.1
    "too large": (b"a;b\n" * 6_000_000, "is too large: 24.0 MB, and at most 20 MB"),
}


@pytest.mark.parametrize("kind", REFUSED)
def test_what_is_no_price_list_is_named_with_what_to_do(kind: str) -> None:
    data, said = REFUSED[kind]
    with pytest.raises(Unreadable) as caught:
        what_is(data, "prices.xls")
    assert str(caught.value).startswith("prices.xls ")
    assert said in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_database_and_a_book_are_told_apart(tmp_path: Path) -> None:
    with sqlite3.connect(tmp_path / "other.db") as db:
        db.execute("create table t (x)")
    db.close()
    with pytest.raises(Unreadable, match="is a database"):
        what_is((tmp_path / "other.db").read_bytes(), "other.db")
    create(tmp_path / "house.stillroom", Book.of([])).close()
    with pytest.raises(Unreadable, match="open it, do not import it"):
        what_is((tmp_path / "house.stillroom").read_bytes(), "house.csv")


def test_a_name_with_a_line_break_stays_one_line() -> None:
    with pytest.raises(Unreadable) as caught:
        what_is(b"", "a\nb\u202e.csv" + "c" * 500)
    assert str(caught.value).isprintable()
    assert len(str(caught.value)) < 300


def test_streams_of_a_container_large_and_small() -> None:
    big = bytes(range(256)) * 40
    found = Compound(compound({"One": b"abc", "Two": big}))
    assert found.read("Two") == big
    assert found.read("One").rstrip(b"\0") == b"abc"
    with pytest.raises(ValueError, match="no stream"):
        found.read("Three")
