"""XML that is hostile, broken, or only written in another way. XML 1.0 and Namespaces in XML 1.0 by the W3C; attacks by
the OWASP XML External Entity Prevention Cheat Sheet."""

import base64
import codecs
import re
from pathlib import Path

import pytest

from costing.supply.arriving.line import Unreadable
from costing.supply.readers.limits import MAX_BYTES
from costing.supply.readers.xml_documents import OTHER_DOCUMENTS, read_xml
from costing.supply.readers.xml_safe import MAX_ELEMENTS, parse_xml, plain
from tests.supply.readers.xml_made import CAC, CBC, CII, SBDH, UBL, cii, cii_line, codes, el, line, read, tag, ubl


def refused(data: bytes, name: str = "made.xml") -> str:
    """The one line of a refusal, which names the file."""
    with pytest.raises(Unreadable) as caught:
        read_xml(data, name)
    said = str(caught.value)
    assert name in said
    assert said.isprintable()
    assert len(said) < 400
    return said


def with_type(kind: str, text: str = "&x;") -> bytes:
    data = ubl(line()).decode().replace("84.00", text, 1)
    return data.replace("?>\n", f"?>\n<!DOCTYPE Invoice [{kind}]>", 1).encode()


@pytest.mark.parametrize(
    "kind",
    [
        '<!ENTITY x "84.00">',
        '<!ENTITY x SYSTEM "file:///etc/passwd">',
        '<!ENTITY % p SYSTEM "http://127.0.0.1/p.dtd"> %p;',
        '<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;"><!ENTITY x "&b;&b;&b;&b;&b;&b;&b;&b;">',
        "",
    ],
)
def test_document_types_and_entities_are_refused(kind: str) -> None:
    assert "document type" in refused(with_type(kind))


@pytest.mark.parametrize("codec", ["utf-16", "utf-16-le", "utf-16-be", "utf-32"])
def test_a_document_type_in_a_wide_encoding_is_refused(codec: str) -> None:
    text = with_type('<!ENTITY x "84.00">').decode().replace("UTF-8", codec.upper())
    assert "document type" in refused(text.encode(codec))


def test_a_document_type_behind_comments_and_instructions_is_refused() -> None:
    data = with_type("", "84.00").replace(b"<!DOCTYPE", b"<!-- <a> --><?go <b>?>\n<!DOCTYPE")
    assert "document type" in refused(data)


def test_an_undeclared_entity_is_refused() -> None:
    assert "well-formed" in refused(ubl(line()).replace(b"84.00", b"&price;", 1))


def test_nothing_is_fetched(tmp_path: Path) -> None:
    secret = tmp_path / "secret.txt"
    secret.write_text("84.00")
    inclusion = f'<xi:include xmlns:xi="http://www.w3.org/2001/XInclude" href="{secret.as_uri()}" parse="text"/>'
    found = read(ubl(line()).replace(b">84.00<", f">{inclusion}<".encode(), 1))
    assert found[0].price is None


@pytest.mark.parametrize("data", [b"", b"  \n ", codecs.BOM_UTF8, codecs.BOM_UTF16_LE])
def test_an_empty_file_says_so(data: bytes) -> None:
    assert "empty" in refused(data)


def test_a_file_that_breaks_off_says_so_wherever_it_does() -> None:
    data = ubl(line(), line(ident="2"))
    for at in range(200, len(data) - 1, 37):
        assert "breaks off" in refused(data[:at]), data[at - 30 : at]


def test_a_file_that_is_not_well_formed_says_where() -> None:
    assert re.search(r"line 2: ", refused(ubl(line()).replace(b"</cac:Price>", b"</cac:Prize>", 1)))
    assert "well-formed" in refused(b"sku;price\n1;2>\n")
    assert "well-formed" in refused(ubl(line()).replace(b"</Invoice>", b"</Invoice><Invoice/>"))


def test_limits() -> None:
    assert "too large" in refused(b"<a>" + b" " * MAX_BYTES + b"</a>")
    assert str(MAX_ELEMENTS) in refused(b"<a>" + b"<b/>" * (MAX_ELEMENTS + 1) + b"</a>")
    assert "deep" in refused(b"<a>" * 101 + b"</a>" * 101)
    assert parse_xml(b"<a>" * 100 + b"</a>" * 100, "made.xml").tag == "a"


def test_a_very_deep_file_is_refused_in_one_line() -> None:
    refused(b"<a>" * 50_000 + b"</a>" * 50_000)


@pytest.mark.parametrize("codec", ["utf-8", "utf-8-sig", "utf-16", "iso-8859-1", "iso-8859-15", "windows-1252"])
def test_declared_encodings_are_honoured(codec: str) -> None:
    text = (
        ubl(line())
        .decode()
        .replace("Gin Fogbell", "Génépi Fogbell")
        .replace("UTF-8", codec.removesuffix("-sig").upper())
    )
    assert read(text.encode(codec))[0].name == "Génépi Fogbell 6x70cl"


def test_a_wrong_or_unknown_encoding_is_refused() -> None:
    refused(ubl(line()).decode().replace("Gin", "Génépi").encode("iso-8859-1"))
    refused(ubl(line()).replace(b"UTF-8", b"KLINGON"))


def test_a_blank_line_before_the_declaration_is_passed_over() -> None:
    assert len(read(b"\r\n  " + ubl(line()))) == 1


PREFIXES = (
    {"": "Invoice-2", "cac": "cac", "cbc": "cbc"},
    {"i": "Invoice-2", "a": "cac", "b": "cbc"},
    {"ubl": "Invoice-2", "cbc": "cac", "cac": "cbc"},
    {"ns0": "Invoice-2", "ns1": "cac", "": "cbc"},
    {"ns0": "Invoice-2", "": "cac", "ns2": "cbc"},
)


@pytest.mark.parametrize("prefixes", PREFIXES)
def test_prefixes_are_free(prefixes: dict[str, str]) -> None:
    """Namespaces in XML 1.0: a prefix is only a placeholder."""
    expected = read(ubl(line()))
    of = {space: prefix for prefix, space in prefixes.items()}
    text = ubl(line()).decode()
    body = text[text.index(">", text.index("<Invoice")) + 1 : text.rindex("</")]

    def name(space: str, local: str) -> str:
        return f"{of[space]}:{local}" if of[space] else local

    body = re.sub(r"(</?)(cac|cbc):(\w+)", lambda m: m[1] + name(m[2], m[3]), body)
    uris = {"cac": CAC, "cbc": CBC, "Invoice-2": f"{UBL}Invoice-2"}
    spaces = "".join(f' xmlns{":" + p if p else ""}="{uris[s]}"' for p, s in prefixes.items())
    root = name("Invoice-2", "Invoice")
    found = read(f"<{root}{spaces}>{body}</{root}>".encode())
    assert found.lines == expected.lines
    assert (found.supplier, found.number) == (expected.supplier, expected.number)


def test_a_namespace_declared_on_every_element_is_the_same() -> None:
    text = ubl(line()).decode()
    head, rest = text[: text.index("<Invoice")], text[text.index(">", text.index("<Invoice")) + 1 :]
    rest = re.sub(r"<(cac|cbc):(\w+)", lambda m: f'<{m[2]} xmlns="{CAC if m[1] == "cac" else CBC}"', rest)
    rest = re.sub(r"</(?:cac|cbc):", "</", rest)
    found = read(f'{head}<Invoice xmlns="{UBL}Invoice-2">{rest}'.encode())
    assert found.lines == read(ubl(line())).lines


def test_elements_of_other_families_are_passed_over() -> None:
    other = '<x:Price xmlns:x="urn:other"><cbc:PriceAmount currencyID="EUR">1.00</cbc:PriceAmount></x:Price>'
    extension = el(
        "ext:UBLExtensions", el("ext:UBLExtension", el("ext:ExtensionContent", line(9, "1.00", "9.00", ident="x")))
    )
    data = ubl(line().replace("<cac:Price>", other + "<cac:Price>"), top=extension)
    found = read(data)
    assert [x.price for x in found] == [84]
    assert [left.why for left in found.left_out] == ["stray-line"]  # told, and not billed


def test_comments_instructions_and_white_space_inside_values() -> None:
    data = ubl(line(ident="4"))
    data = data.replace(b">84.00<", b">\n  84<!-- net -->.<?x y?>00\t<", 1)
    data = data.replace(b">Gin Fogbell 6x70cl<", b">\n Gin <![CDATA[Fogbell]]>\r\n\t 6x70cl <", 1)
    found = read(data)[0]
    assert (found.name, str(found.price), str(found.total)) == ("Gin Fogbell 6x70cl", "84.00", "168.00")


@pytest.mark.parametrize("inside", ["84<x/>.00", "84<x>5</x>.00", "<x>84.00</x>", "84.00<x/>"])
def test_a_figure_broken_up_by_an_element_is_none(inside: str) -> None:
    found = read(ubl(line()).replace(b">84.00<", f">{inside}<".encode(), 1))[0]
    assert found.price is None
    assert codes(found) & {"not-a-number", "price-missing"}


@pytest.mark.parametrize(
    ("data", "path"),
    [
        (
            ubl(line().replace("</cac:Price>", '<cbc:PriceAmount currencyID="EUR">1.00</cbc:PriceAmount></cac:Price>')),
            "PriceAmount",
        ),
        (ubl(line(tail=el("cac:Price", el("cbc:PriceAmount", "1.00")))), "Price"),
        (ubl(line(more=el("cbc:InvoicedQuantity", "9", unitCode="XCS"))), "InvoicedQuantity"),
        (cii(cii_line(delivered=tag("BilledQuantity", "9", unitCode="XCS"))), "BilledQuantity"),
    ],
)
def test_what_stands_twice_is_doubted(data: bytes, path: str) -> None:
    found = read(data)[0]
    assert (str(found.price), str(found.quantity)) == ("84.00", "2")
    assert path in [dict(d.values)["element"] for d in found.doubts if d.code == "said-twice"]


def test_an_attachment_in_the_document_does_no_harm() -> None:
    """BG-24: supporting documents come in base64 inside the invoice."""

    def with_attached(size: int) -> bytes:
        text = el("cbc:EmbeddedDocumentBinaryObject", "A" * size, mimeCode="application/pdf")
        return ubl(line(), head=el("cac:AdditionalDocumentReference", el("cac:Attachment", text)))

    assert len(read(with_attached(6_000_000))) == 1
    assert "attachment" in refused(with_attached(11_000_000))


def test_what_is_called_nil_is_not_there() -> None:
    """XML Schema Part 1, 2.6.2: xsi:nil."""
    data = ubl(line()).replace(
        b'<cbc:PriceAmount currencyID="EUR">', b'<cbc:PriceAmount currencyID="EUR" xsi:nil="true">', 1
    )
    assert read(data)[0].price is None


@pytest.mark.parametrize("version", ["2.0", "2.1", "2.2", "2.3", "2.4"])
def test_every_ubl_2_is_one_family(version: str) -> None:
    """OASIS UBL 2.4, 3.1: the namespaces of all minor versions are the same; cbc:UBLVersionID tells them apart."""
    assert len(read(ubl(line(), top=el("cbc:UBLVersionID", version)))) == 1


def test_other_versions_and_foreign_documents_are_called_by_name() -> None:
    assert "another version" in refused(ubl(line()).replace(b"xsd:Invoice-2", b"xsd:Invoice-1.0"))
    assert "Invoice" in refused(b"<Invoice><ID>7</ID></Invoice>")
    assert "begins with html" in refused(b"<html><body/></html>")
    assert "a quotation" in refused(ubl(line(), kind="Quotation"))
    for local in ("CataloguePricingUpdate", "CatalogueItemSpecificationUpdate", "Order", "DespatchAdvice", "DebitNote"):
        assert OTHER_DOCUMENTS[local] in refused(ubl(kind=local))
    order = f'<rsm:SCRDMCCBDACIOMessageStructure xmlns:rsm="{CII}SCRDMCCBDACIOMessageStructure:100"/>'
    assert "an order" in refused(order.encode())


def bare(data: bytes) -> str:
    return re.sub(r"^<\?xml.*?\?>", "", data.decode()).strip()


def envelope(*inside: str) -> bytes:
    head = "<s:StandardBusinessDocumentHeader><s:HeaderVersion>1.0</s:HeaderVersion></s:StandardBusinessDocumentHeader>"
    return f'<s:StandardBusinessDocument xmlns:s="{SBDH}">{head}{"".join(inside)}</s:StandardBusinessDocument>'.encode()


def test_an_envelope_is_opened_once() -> None:
    """UN/CEFACT Standard Business Document Header 1.3, around a document."""
    for data in (ubl(line()), cii(cii_line())):
        found = read(envelope(bare(data)))
        assert found.lines == read(data).lines
        assert "from-wrapper" in codes(found)
    packed = base64.b64encode(ubl(line())).decode()
    assert len(read(envelope(f'<BinaryContent xmlns="urn:x">{packed}</BinaryContent>'))) == 1
    assert "2 documents" in refused(envelope(bare(ubl(line())), bare(ubl(line()))))
    assert "0 documents" in refused(envelope())
    refused(envelope("<x:Thing xmlns:x='urn:x'/>"))
    refused(envelope(bare(envelope(bare(ubl(line()))))))


def attached(inside: str) -> bytes:
    spaces = f'xmlns="{UBL}AttachedDocument-2" xmlns:cac="{CAC}" xmlns:cbc="{CBC}"'
    return f"<AttachedDocument {spaces}>{inside}</AttachedDocument>".encode()


def test_an_attached_document_is_opened_once() -> None:
    """UBL 2.1 AttachedDocument: the document lies in it in base64, or as a text."""
    packed = base64.b64encode(ubl(line())).decode()
    found = read(
        attached(el("cac:Attachment", el("cbc:EmbeddedDocumentBinaryObject", packed, mimeCode="application/xml")))
    )
    assert found.lines == read(ubl(line())).lines
    text = f"<![CDATA[{ubl(line()).decode()}]]>"
    assert len(read(attached(el("cac:Attachment", el("cac:ExternalReference", el("cbc:Description", text)))))) == 1
    assert "0 documents" in refused(attached(""))
    damaged = el("cac:Attachment", el("cbc:EmbeddedDocumentBinaryObject", "not base64!", mimeCode="application/xml"))
    assert "base64" in refused(attached(damaged))
    twice = base64.b64encode(attached(el("cac:Attachment", el("cbc:EmbeddedDocumentBinaryObject", packed)))).decode()
    refused(attached(el("cac:Attachment", el("cbc:EmbeddedDocumentBinaryObject", twice))))


def test_plain_takes_off_the_namespaces_of_one_family_alone() -> None:
    root = plain(parse_xml(cii(cii_line(product=tag("Name", "x") + "<y:Name xmlns:y='urn:y'/>")), "made.xml"))
    assert root.tag == "CrossIndustryInvoice"
    assert {kid.tag for kid in root.iter("{urn:y}Name")} == {"{urn:y}Name"}


def test_the_name_of_the_file_is_shown_in_one_line() -> None:
    with pytest.raises(Unreadable) as caught:
        read_xml(b"<a/>", "two\nlines\x07.xml")
    assert str(caught.value).isprintable()
    assert read_xml(ubl(line()), "two\nlines.xml").name == "two\nlines.xml"
