"""The one door: bytes of any kind to lines, with the digest and the name they came with."""

from decimal import Decimal
from hashlib import sha256
from pathlib import Path

import pytest

from costing.supply.arriving.line import Unreadable
from costing.supply.readers.door import read_price_file, read_prices
from tests.supply.readers.test_pdf import made
from tests.supply.readers.xml_made import catalogue, catalogue_line, cii, cii_line, line, located, ubl

PRICES = Path(__file__).parents[3] / "sample_data" / "prices"


@pytest.mark.parametrize(
    ("data", "name", "shape"),
    [
        (ubl(line()), "a.xml", "ubl-invoice"),
        (ubl(line(kind="CreditNote"), kind="CreditNote"), "a.xml", "ubl-credit"),
        (catalogue(catalogue_line(located())), "a.xml", "ubl-catalogue"),
        (cii(cii_line()), "a.xml", "cii"),
        (ubl(line()).decode().replace("UTF-8", "UTF-16").encode("utf-16"), "a.xml", "ubl-invoice"),
        (ubl(line()), "no-ending", "ubl-invoice"),
        (made(("factur-x.xml", cii(cii_line()))), "a.pdf", "cii"),
    ],
)
def test_documents(data: bytes, name: str, shape: str) -> None:
    found = read_prices(data, name)
    assert (found.shape, found.name, found.digest) == (shape, name, sha256(data).hexdigest())
    assert [x.price for x in found] == [Decimal("84.00")]


def test_a_table() -> None:
    data = b"Code;Name;Pack;Price EUR ex VAT\nG-1;Gin Fogbell;6x70cl;84,00\nG-2;Rum Kelp;6x1L;102,50\n"
    found = read_prices(data, "list.csv")
    assert (found.name, found.digest, found.table is not None) == ("list.csv", sha256(data).hexdigest(), True)
    assert [(x.code, x.price) for x in found] == [("G-1", Decimal("84.00")), ("G-2", Decimal("102.50"))]


@pytest.mark.parametrize("name", sorted(p.name for p in PRICES.iterdir() if p.suffix in (".xml", ".csv", ".xlsx")))
def test_the_price_files_of_the_sample(name: str) -> None:
    found = read_price_file(PRICES / name)
    assert found.name == name
    assert len(found) > 1
    assert read_price_file(str(PRICES / name)).digest == found.digest


@pytest.mark.parametrize(
    ("data", "name"),
    [(b"", "a.csv"), (b"<html/>", "a.xml"), (b"%PDF-1.7", "a.pdf"), (b"\x89PNG\r\n\x1a\n\0\0", "a.bin")],
)
def test_what_cannot_be_read_is_one_line(data: bytes, name: str) -> None:
    with pytest.raises(Unreadable) as caught:
        read_prices(data, name)
    assert str(caught.value).isprintable()


def test_a_file_that_is_not_there_is_one_line(tmp_path: Path) -> None:
    with pytest.raises((Unreadable, OSError)):
        read_price_file(tmp_path / "none.xml")
