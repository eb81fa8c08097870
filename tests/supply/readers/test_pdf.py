"""Invoices inside PDFs: embedded files by ISO 32000-2, 7.11.4 and 14.13, named by Factur-X 1.0 and ZUGFeRD. They are
made with pypdf, and by hand where it makes nothing so odd."""

import io
import zlib

import pytest
from pypdf import PdfWriter
from pypdf.generic import (
    ArrayObject,
    DecodedStreamObject,
    DictionaryObject,
    NameObject,
    NumberObject,
    StreamObject,
    TextStringObject,
)

from costing.supply.arriving.line import Unreadable
from costing.supply.readers.pdf import xml_in_pdf
from tests.supply.readers.xml_made import cii, cii_line

XML = cii(cii_line())


def written(writer: PdfWriter) -> bytes:
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def made(*files: tuple[str, bytes]) -> bytes:
    """One empty page with these files embedded."""
    writer = PdfWriter()
    writer.add_blank_page(100, 100)
    for name, content in files:
        writer.add_attachment(name, content)
    return written(writer)


def spec(writer: PdfWriter, name: str, content: StreamObject) -> DictionaryObject:
    """A file specification with its stream."""
    return DictionaryObject(
        {
            NameObject("/Type"): NameObject("/Filespec"), NameObject("/F"): TextStringObject(name),
            NameObject("/UF"): TextStringObject(name),
            NameObject("/EF"): DictionaryObject({NameObject("/F"): writer._add_object(content)}),
        }
    )  # fmt: skip


def plain(content: bytes) -> StreamObject:
    stream = DecodedStreamObject()
    stream.set_data(content)
    return stream


def refused(data: bytes) -> str:
    with pytest.raises(Unreadable) as caught:
        xml_in_pdf(data, "made.pdf")
    said = str(caught.value)
    assert "made.pdf" in said
    assert said.isprintable()
    return said


@pytest.mark.parametrize(
    "name",
    ["factur-x.xml", "Factur-X.XML", "zugferd-invoice.xml", "ZUGFeRD-invoice.xml", "xrechnung.xml", "invoice.xml"],
)
def test_the_attachment_is_found_under_every_name(name: str) -> None:
    assert xml_in_pdf(made((name, XML)), "made.pdf") == (XML, name)


def test_other_attachments_are_passed_over() -> None:
    found = xml_in_pdf(made(("logo.png", b"x"), ("other.xml", b"<a/>"), ("factur-x.xml", XML)), "made.pdf")
    assert found == (XML, "factur-x.xml")


def test_a_name_tree_with_nested_kids() -> None:
    """ISO 32000-2, 7.9.6: intermediate nodes of a name tree hold others."""
    writer = PdfWriter()
    writer.add_blank_page(100, 100)
    one = writer._add_object(spec(writer, "factur-x.xml", plain(XML)))
    node = DictionaryObject({NameObject("/Names"): ArrayObject([TextStringObject("factur-x.xml"), one])})
    for _ in range(4):
        node = DictionaryObject({NameObject("/Kids"): ArrayObject([writer._add_object(node)])})
    writer.root_object[NameObject("/Names")] = DictionaryObject(
        {NameObject("/EmbeddedFiles"): writer._add_object(node)}
    )
    assert xml_in_pdf(written(writer), "made.pdf") == (XML, "factur-x.xml")


def test_a_name_tree_that_holds_itself_ends() -> None:
    writer = PdfWriter()
    writer.add_blank_page(100, 100)
    node = DictionaryObject()
    ref = writer._add_object(node)
    node[NameObject("/Kids")] = ArrayObject([ref])
    writer.root_object[NameObject("/Names")] = DictionaryObject({NameObject("/EmbeddedFiles"): ref})
    assert "no invoice" in refused(written(writer))


def test_a_file_that_is_only_associated() -> None:
    """ISO 32000-2, 14.13: /AF of the catalogue."""
    writer = PdfWriter()
    writer.add_blank_page(100, 100)
    one = writer._add_object(spec(writer, "factur-x.xml", plain(XML)))
    writer.root_object[NameObject("/AF")] = ArrayObject([one])
    assert xml_in_pdf(written(writer), "made.pdf") == (XML, "factur-x.xml")


def test_the_same_invoice_twice_is_one_and_two_are_refused() -> None:
    assert xml_in_pdf(made(("factur-x.xml", XML), ("xrechnung.xml", XML)), "made.pdf")[0] == XML
    other = cii(cii_line(), type_code="381")
    said = refused(made(("factur-x.xml", XML), ("xrechnung.xml", other)))
    assert "several invoices (factur-x.xml, xrechnung.xml)" in said
    assert "several XML files" in refused(made(("a.xml", XML), ("b.xml", other)))


def test_a_pdf_without_an_invoice_says_so() -> None:
    assert "no invoice" in refused(made())
    assert "no invoice" in refused(made(("logo.png", b"x")))
    assert "an order" in refused(made(("order-x.xml", XML)))


def test_a_locked_pdf_says_so_and_one_that_only_restricts_opens() -> None:
    for user, opens in (("secret", False), ("", True)):
        writer = PdfWriter()
        writer.add_blank_page(100, 100)
        writer.add_attachment("factur-x.xml", XML)
        writer.encrypt(user, "owner", algorithm="RC4-128")
        if opens:
            assert xml_in_pdf(written(writer), "made.pdf") == (XML, "factur-x.xml")
        else:
            assert "password" in refused(written(writer))


def test_damage_is_one_line_wherever_it_is() -> None:
    data = made(("factur-x.xml", XML))
    assert "damaged" in refused(b"%PDF-1.7\nnothing")
    assert "damaged" in refused(b"")
    for at in range(20, len(data), 97):
        try:
            found = xml_in_pdf(data[:at], "made.pdf")
        except Unreadable as error:
            said = str(error)
        else:
            said = found[1]
            assert found[0] == XML  # a table of contents that is lost can be made again
        assert said.isprintable()


def test_an_attachment_that_unpacks_without_end_is_refused() -> None:
    """CWE-409: a small stream that unpacks to a large one."""
    for size in (25_000_000, 120_000_000):
        writer = PdfWriter()
        writer.add_blank_page(100, 100)
        stream = StreamObject()
        stream._data = zlib.compress(b" " * size, 9)
        stream[NameObject("/Filter")] = NameObject("/FlateDecode")
        stream[NameObject("/Length")] = NumberObject(len(stream._data))
        one = writer._add_object(spec(writer, "factur-x.xml", stream))
        writer.root_object[NameObject("/AF")] = ArrayObject([one])
        data = written(writer)
        assert len(data) < 500_000
        assert "20 MB" in refused(data)
