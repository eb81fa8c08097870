"""The quay's invoice as a PDF with its own XML inside (Factur-X 1.0): a page for people, an attachment for programs.

As near to PDF/A-3b (ISO 19005-3) as reportlab and pypdf go: the font is embedded, all is grey with an output intent,
metadata stands as XMP beside the old dictionary and says the same, the attachment is a related file ("Data"). Streams
are left unpacked and no clock is read, so that two writings are equal byte for byte.
"""

import hashlib
import io
import struct
from collections.abc import Iterator

from pypdf import PdfReader, PdfWriter
from pypdf.generic import (
    ArrayObject,
    ByteStringObject,
    DictionaryObject,
    IndirectObject,
    NameObject,
    NumberObject,
    StreamObject,
    TextStringObject,
)
from reportlab.lib.pagesizes import A4
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

from costing.paths import resource
from sample_data import hybrid, invoice
from sample_data.forms import leaf, tag

FACE = "SampleSans"
ATTACHED = "factur-x.xml"
TITLE = f"North Quay Fruit, invoice {hybrid.NUMBER}"
PRODUCER = "Quay office"
CLOCK = "15:00:00"
STAMP = f"D:{hybrid.DAY:%Y%m%d}{CLOCK.replace(':', '')}+00'00'"
STARTS, ENDS = (48, 92), (330, 372, 428, 468, 547)
"""Where the columns of the page begin, and where those of figures end, in points."""


def page() -> bytes:
    """The page a person reads, with the lines and sums of the XML."""
    if FACE not in pdfmetrics.getRegisteredFontNames():
        pdfmetrics.registerFont(TTFont(FACE, io.BytesIO(resource("fonts", "DejaVuSans.ttf"))))
    raw = io.BytesIO()
    sheet = Canvas(raw, pagesize=A4, pageCompression=0, invariant=1, initialFontName=FACE)
    firm, street, town, number = hybrid.SELLER
    height = 810
    for size, text in (
        (15, "North Quay Fruit"),
        (8, f"{firm}, {street}, {town}; VAT number {number}"),
        (8, f"For {', '.join(invoice.BUYER[:3])}; VAT number {invoice.BUYER[3]}"),
        (11, f"Invoice {hybrid.NUMBER} of {hybrid.DAY}"),
        (8, f"Delivered {hybrid.DAY}, note NQ-{hybrid.DAY:%m%d}; to be paid by {hybrid.DUE}"),
    ):
        sheet.setFont(FACE, size)
        height -= 30 if size > 10 else 15
        sheet.drawString(STARTS[0], height, text)
    height -= 20
    sheet.setFont(FACE, 8)
    sheet.setLineWidth(0.4)
    for cells in _rows():
        height -= 15
        _row(sheet, height, cells)
        if cells[0] == "Item" or cells[1] in ("Returned crates", "Net"):
            sheet.line(STARTS[0], height - 4.5, ENDS[-1], height - 4.5)
    sheet.drawString(
        STARTS[0], height - 30, "Prices without VAT. Crates are lent: 4.00 EUR each, given back for the same."
    )
    sheet.showPage()
    sheet.save()
    return raw.getvalue()


def _row(sheet: Canvas, height: float, cells: tuple[str, ...]) -> None:
    for start, text in zip(STARTS, cells[:2], strict=True):
        sheet.drawString(start, height, text)
    for end, text in zip(ENDS, cells[2:], strict=True):
        sheet.drawRightString(end, height, text)


def _rows() -> Iterator[tuple[str, ...]]:
    billed = hybrid.lines()
    found = hybrid.sums(billed)
    words = {"KGM": "kg", "XCR": "crate", "XBX": "box", "XBG": "bag", "XPA": "packet"}
    yield "Item", "Description", "Quantity", "Unit", "Price EUR", "VAT", "Net EUR"
    for line in billed:
        yield (line.code, line.name, str(line.quantity), words[line.unit], str(line.price), f"{line.rate} %",
               str(line.net))  # fmt: skip
    yield "", "Sum of the lines", "", "", "", "", str(found.lines)
    yield "", hybrid.REASON, "", "", "", f"{hybrid.FOOD} %", f"-{found.allowance}"
    yield "", "Net", "", "", "", "", str(found.net)
    for rate, base, tax in found.groups:
        yield "", f"VAT {rate} % of {base}", "", "", "", "", str(tax)
    yield "", "To pay, EUR", "", "", "", "", str(found.gross)


def metadata() -> str:
    """The XMP packet: what it is (PDF/A-3b), and the extension schema that Factur-X asks to be described in full."""
    fields = (
        ("DocumentFileName", "Name of the XML file inside", ATTACHED),
        ("DocumentType", "What the document is", "INVOICE"),
        ("Version", "Version of the XML schema", "1.0"),
        ("ConformanceLevel", "Profile of the XML", "EN 16931"),
    )
    described = (
        tag("rdf:li", leaf("pdfaProperty:name", name), leaf("pdfaProperty:valueType", "Text"),
            leaf("pdfaProperty:category", "external"), leaf("pdfaProperty:description", what),
            rdf_parseType="Resource")
        for name, what, _ in fields
    )  # fmt: skip
    space = "urn:factur-x:pdfa:CrossIndustryDocument:invoice:1p0#"
    schema = tag(
        "rdf:li",
        leaf("pdfaSchema:schema", "Factur-X PDFA Extension Schema"),
        leaf("pdfaSchema:namespaceURI", space),
        leaf("pdfaSchema:prefix", "fx"),
        tag("pdfaSchema:property", tag("rdf:Seq", *described)),
        rdf_parseType="Resource",
    )
    aiim = "http://www.aiim.org/pdfa/ns/"
    stamp = f"{hybrid.DAY}T{CLOCK}+00:00"
    parts = (
        _about({"pdfaid": f"{aiim}id/"}, leaf("pdfaid:part", 3), leaf("pdfaid:conformance", "B")),
        _about({"dc": "http://purl.org/dc/elements/1.1/"}, leaf("dc:format", "application/pdf"),
               tag("dc:title", tag("rdf:Alt", leaf("rdf:li", TITLE, xml_lang="x-default")))),
        _about({"xmp": "http://ns.adobe.com/xap/1.0/"}, leaf("xmp:CreateDate", stamp), leaf("xmp:ModifyDate", stamp)),
        _about({"pdf": "http://ns.adobe.com/pdf/1.3/"}, leaf("pdf:Producer", PRODUCER)),
        _about({"fx": space}, *(leaf(f"fx:{name}", value) for name, _, value in fields)),
        _about({"pdfaExtension": f"{aiim}extension/", "pdfaSchema": f"{aiim}schema#",
                "pdfaProperty": f"{aiim}property#"}, tag("pdfaExtension:schemas", tag("rdf:Bag", schema))),
    )  # fmt: skip
    inside = tag("rdf:RDF", *parts, xmlns_rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#")
    packet = tag("x:xmpmeta", inside, xmlns_x="adobe:ns:meta/")
    return f'<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>\n{packet}\n<?xpacket end="w"?>'


def _about(spaces: dict[str, str], *parts: str) -> str:
    names = {f"xmlns_{prefix}": uri for prefix, uri in spaces.items()}
    return tag("rdf:Description", *parts, rdf_about="", **names)


def grey_profile() -> bytes:
    """A grey output profile of four tags (ICC.1:2001-04, version 2.1): D50 white, a gamma of 2.2."""
    text = b"Grey, gamma 2.2"
    described = b"desc" + bytes(4) + struct.pack(">I", len(text) + 1) + text + bytes(1 + 8 + 3 + 67)
    white = b"XYZ " + bytes(4) + struct.pack(">3i", *D50)
    tags = {
        b"desc": described,
        b"cprt": b"text" + bytes(4) + b"No copyright\0",
        b"wtpt": white,
        b"kTRC": b"curv" + bytes(4) + struct.pack(">IH", 1, round(2.2 * 256)),
    }
    table, body = struct.pack(">I", len(tags)), b""
    start = 128 + 4 + 12 * len(tags)
    for name, data in tags.items():
        table += name + struct.pack(">II", start + len(body), len(data))
        body += data + bytes(-len(data) % 4)
    head = struct.pack(">I4xI4s4s4s6H4s24xI3i48x", start + len(body), 0x02100000, b"prtr", b"GRAY", b"XYZ ",
                       hybrid.DAY.year, hybrid.DAY.month, hybrid.DAY.day, 0, 0, 0, b"acsp", 0, *D50)  # fmt: skip
    return head + table + body


D50 = (0xF6D6, 0x10000, 0xD32D)
"""The white of the profile connection space, s15Fixed16."""


def _named(**parts: object) -> DictionaryObject:
    """A dictionary of PDF objects."""
    return DictionaryObject({NameObject(f"/{name}"): part for name, part in parts.items()})


def _stream(writer: PdfWriter, data: bytes, **parts: object) -> IndirectObject:
    made = StreamObject()
    made.update(_named(**parts))
    made.set_data(data)
    return writer._add_object(made)


def _attached(writer: PdfWriter, data: bytes) -> IndirectObject:
    about = _named(Size=NumberObject(len(data)), ModDate=TextStringObject(STAMP),
                   CheckSum=ByteStringObject(hashlib.md5(data, usedforsecurity=False).digest()))  # fmt: skip
    file = _stream(writer, data, Type=NameObject("/EmbeddedFile"), Subtype=NameObject("/text/xml"), Params=about)
    name = TextStringObject(ATTACHED)
    return writer._add_object(_named(
        Type=NameObject("/Filespec"), F=name, UF=name, AFRelationship=NameObject("/Data"),
        Desc=TextStringObject("The invoice as CII, EN 16931 profile"), EF=_named(F=file, UF=file),
    ))  # fmt: skip


def invoice_pdf() -> bytes:
    """The whole file."""
    writer = PdfWriter(clone_from=PdfReader(io.BytesIO(page())))
    writer.pdf_header = "%PDF-1.7"
    spec = _attached(writer, hybrid.invoice_xml().encode())
    profile = _stream(writer, grey_profile(), N=NumberObject(1))
    shown = TextStringObject("Grey, gamma 2.2")
    intent = _named(Type=NameObject("/OutputIntent"), S=NameObject("/GTS_PDFA1"), OutputConditionIdentifier=shown,
                    Info=shown, DestOutputProfile=profile)  # fmt: skip
    names = _named(EmbeddedFiles=_named(Names=ArrayObject([TextStringObject(ATTACHED), spec])))
    xmp = _stream(writer, metadata().encode(), Type=NameObject("/Metadata"), Subtype=NameObject("/XML"))
    writer.root_object.update(_named(
        AF=ArrayObject([spec]), Names=names, Metadata=xmp, OutputIntents=ArrayObject([writer._add_object(intent)]),
        Lang=TextStringObject("en"),
    ))  # fmt: skip
    writer.metadata = {"/Title": TITLE, "/Producer": PRODUCER, "/CreationDate": STAMP, "/ModDate": STAMP}
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()
