"""Files that a stranger may send, each made by code: its name, how it is made, and a phrase of what is said of it.

An empty phrase marks a file that is odd and has to be read all the same.
"""

import gzip
import io
import struct
import zipfile
import zlib
from collections.abc import Callable
from functools import lru_cache

from tests.supply.readers.sheets_made import (
    GOODS,
    MAIN,
    cells,
    compound,
    ods,
    ods_table,
    record,
    xls,
    xls_number,
    xls_text,
    xlsb,
    xlsx,
    xlsx_parts,
    zipped,
)

Maker = Callable[[], bytes]
LAUGHS = (
    '<!DOCTYPE x [<!ENTITY a "ha">'
    + "".join(f'<!ENTITY {n} "{f"&{m};" * 10}">' for m, n in zip("abcdefgh", "bcdefghi", strict=True))
    + "]>"
)
"""Each entity is ten of the one before."""
XXE = '<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/hostname">]>'
UBL = (
    'xmlns="urn:oasis:names:specification:ubl:schema:xsd:Invoice-2" '
    'xmlns:cbc="urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2"'
)
HEAD = "<?xml version='1.0' encoding='UTF-8'?>"


@lru_cache(maxsize=4)
def _zeros(size: int) -> tuple[bytes, int]:
    """(raw deflated blanks, their checksum)."""
    pack = zlib.compressobj(9, zlib.DEFLATED, -15)
    piece, check, out = b" " * 1_000_000, 0, []
    for at in range(0, size, len(piece)):
        part = piece[: min(len(piece), size - at)]
        out.append(pack.compress(part))
        check = zlib.crc32(part, check)
    return b"".join([*out, pack.flush()]), check


def bomb(size: int, told: int) -> bytes:
    """A workbook whose sheet unfolds to ``size`` blanks and whose directory says ``told``."""
    packed, check = _zeros(size)
    return _raw_zip("xl/workbook.xml", packed, told, check)


def _raw_zip(name: str, packed: bytes, told: int, check: int, more: bytes = b"") -> bytes:
    """A zip archive of one member with a directory that says anything (APPNOTE 4.3)."""
    said = name.encode()
    fields = struct.pack("<HHHHHIIIHH", 20, 0, 8, 0, 0, check, len(packed), told, len(said), 0)
    local = b"PK\x03\x04" + fields + said + packed
    head = b"PK\x01\x02" + struct.pack("<H", 20) + fields + struct.pack("<HHHII", 0, 0, 0, 0, 0) + said
    return local + head + b"PK\x05\x06" + struct.pack("<HHHHIIH", 0, 0, 1, 1, len(head), len(local), 0) + more


def lying_zip(more: int) -> bytes:
    """An archive whose member has ``more`` bytes than its directory says; the checksum is of what is told."""
    content = cells(GOODS).encode()
    told = content[: len(content) - more] if more > 0 else content
    pack = zlib.compressobj(9, zlib.DEFLATED, -15)
    packed = pack.compress(content) + pack.flush()
    return _raw_zip("xl/workbook.xml", packed, len(content) - more, zlib.crc32(told))


def with_part(data: bytes, name: str, content: bytes) -> bytes:
    """An archive with one more member."""
    out = io.BytesIO(data)
    with zipfile.ZipFile(out, "a", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(name, content)
    return out.getvalue()


def _sheet(part: str) -> Maker:
    return lambda: zipped({**xlsx_parts(""), "xl/worksheets/sheet1.xml": part})


def _part(name: str, content: str) -> Maker:
    return lambda: zipped({**xlsx_parts(cells(GOODS)), name: content})


def _row(*inside: str) -> str:
    return f'<worksheet xmlns="{MAIN}"><sheetData>{"".join(inside)}</sheetData></worksheet>'


def _many_cells() -> bytes:
    rows = "".join("<row>" + "".join(f"<c ><v>{n}.{c}</v></c>" for c in range(250)) + "</row>" for n in range(25_000))
    return zipped({**xlsx_parts(""), "xl/worksheets/sheet1.xml": _row(rows)})


def _full() -> bytes:
    """Just below the caps: 120,000 rows of 15 different figures."""
    rows = "".join(
        "<row>" + "".join(f"<c><v>{n}.{column:02}</v></c>" for column in range(15)) + "</row>" for n in range(120_000)
    )
    return zipped({**xlsx_parts(""), "xl/worksheets/sheet1.xml": _row(rows)})


def _merges() -> bytes:
    areas = '<mergeCell ref="A1:IV2000"/>' * 5_000
    rows = "".join("<row>" + "".join(f"<c><v>{n}.{c}</v></c>" for c in range(200)) + "</row>" for n in range(2000))
    part = f'<worksheet xmlns="{MAIN}"><sheetData>{rows}</sheetData><mergeCells>{areas}</mergeCells></worksheet>'
    return zipped({**xlsx_parts(""), "xl/worksheets/sheet1.xml": part})


def _quotes() -> bytes:
    return b"Code;Name\n" + b'"open;x\n' * 400_000


def _pdf(inside: str) -> bytes:
    return f"%PDF-1.7\n{inside}\n%%EOF\n".encode("latin-1")


def _pdf_with(*files: tuple[str, bytes], password: str = "") -> bytes:
    from pypdf import PdfWriter

    writer = PdfWriter()
    writer.add_blank_page(width=200, height=200)
    for name, content in files:
        writer.add_attachment(name, content)
    if password:
        writer.encrypt(password)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def _huge_attachment() -> bytes:
    """An attachment that unfolds to 1.5 GB of blanks."""
    packed = zlib.compress(b" " * 50_000_000, 9)
    head = b"%PDF-1.7\n"
    objects = [
        b"<</Type/Catalog/Pages 2 0 R/Names<</EmbeddedFiles<</Names[(factur-x.xml) 3 0 R]>>>>>>",
        b"<</Type/Pages/Kids[]/Count 0>>",
        b"<</Type/Filespec/F(factur-x.xml)/UF(factur-x.xml)/EF<</F 4 0 R>>>>",
        b"<</Type/EmbeddedFile/Filter[/FlateDecode]/Length %d>>stream\n%s\nendstream" % (len(packed), packed),
    ]
    out, places = head, []
    for number, body in enumerate(objects, start=1):
        places.append(len(out))
        out += b"%d 0 obj%s\nendobj\n" % (number, body)
    at = len(out)
    out += b"xref\n0 5\n0000000000 65535 f \n" + b"".join(b"%010d 00000 n \n" % place for place in places)
    return out + b"trailer<</Size 5/Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n" % at


def _deep(depth: int, text: str = "") -> bytes:
    return f"{HEAD}<Invoice {UBL}>{'<cbc:ID>' * depth}{text}{'</cbc:ID>' * depth}</Invoice>".encode()


def _laughing_ods() -> bytes:
    return zipped({"mimetype": "application/vnd.oasis.opendocument.spreadsheet", "content.xml": f"{LAUGHS}<x>&i;</x>"})


def _repeating_ods() -> bytes:
    cell = '<table:table-cell office:value-type="float" office:value="1" table:number-columns-repeated="16384"/>'
    rows = f'<table:table-row table:number-rows-repeated="1048576">{cell}</table:table-row>'
    return ods(f'<table:table table:name="L">{rows}</table:table>')


HOSTILE: tuple[tuple[str, Maker, str], ...] = (
    ("empty.csv", lambda: b"", "is empty"),
    ("blank.csv", lambda: b"\n\n \n", "nothing but blanks"),
    ("separators.csv", lambda: b";;;\n;;;\n", "has no filled cells"),
    ("zeros.csv", lambda: bytes(1_000_000), "nothing but zeros"),
    ("noise.csv", lambda: bytes((n * n * 31 + n // 7) % 256 for n in range(200_000)), "of no kind that can be read"),
    ("wide.csv", lambda: b"a;b\n" + b";" * 2_000_000 + b"\n", "beyond column 256"),
    ("long.csv", lambda: b"a;b\n" * 400_000, "more than 200,000 rows"),
    ("one-line.csv", lambda: b"a" * 19_000_000, "more than 32,767 characters"),
    ("commas.csv", lambda: b"," * 19_000_000, "more than 3,000,000 cells"),
    ("quotes.csv", _quotes, "more than 200,000 rows"),
    ("only-quotes.csv", lambda: b'"' * 3_000_001, "more than 32,767 characters"),
    ("large.csv", lambda: b"a;b\n" * 6_000_000, "is too large"),
    ("page.xls", lambda: b"<html><body><table><tr><td>Gin</td></tr></table>", "is a web page, not a sheet"),
    ("text.xls", lambda: b"Code;Name;Price\n1;Gin;2,50\n2;Rum;3,50\n", ""),
    ("mail.csv", lambda: b"Received: from a\nSubject: b\nFrom: c\n\nhello\n", "is an e-mail"),
    ("packed.csv", lambda: gzip.compress(b"a;b\n"), "is a packed archive"),
    ("program.xlsx", lambda: b"MZ\x90\0" + bytes(200), "is a program"),
    ("list.json", lambda: b'[{"code": "1"}]', "is JSON"),
    ("archive.zip", lambda: zipped({"list.csv": "a;b"}), "is a zip archive"),
    ("bomb.xlsx", lambda: with_part(xlsx(cells(GOODS)), "xl/b.xml", b" " * 150_000_000), "unfolds to far more"),
    ("lying-bomb.xlsx", lambda: bomb(1_000_000_000, 1000), "is not what the archive says"),
    ("bomb-in-bomb.xlsx", lambda: zipped({"xl/workbook.xml": zipped({"a": b" " * 50_000_000})}), "is damaged"),
    ("many-parts.xlsx", lambda: zipped({f"xl/{n}.xml": "" for n in range(5_000)}), "unfolds to far more"),
    ("far.xlsx", _sheet(_row('<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>')), "lies beyond column 256"),
    (
        "low.xlsx",
        _sheet(_row('<row r="1"><c><v>1</v></c></row><row r="1048576"><c><v>1</v></c></row>')),
        "lies below row",
    ),
    ("many-cells.xlsx", _many_cells, "more than 3,000,000 cells"),
    ("full.xlsx", _full, ""),
    ("merges.xlsx", _merges, "merged areas lie one on the other"),
    ("laughs.xlsx", _sheet(f'{LAUGHS}<worksheet xmlns="{MAIN}">&i;</worksheet>'), "declares a document type"),
    (
        "xxe.xlsx",
        _part("xl/sharedStrings.xml", f'{XXE}<sst xmlns="{MAIN}"><si><t>&a;</t></si></sst>'),
        "declares a document type",
    ),
    ("cut.xlsx", lambda: xlsx(cells(GOODS))[:900], "is damaged"),
    ("cut-sheet.xlsx", _sheet(_row("<row><c><v>1</v></c></row>")[:-30]), "is damaged"),
    ("no-sheet.xlsx", lambda: zipped({k: v for k, v in xlsx_parts("").items() if "sheet1" not in k}), "is missing"),
    ("shared.xlsx", _sheet(_row('<row><c t="s"><v>7</v></c></row>')), "is damaged"),
    ("twice.xlsx", _sheet(_row('<row r="1"><c r="A1"><v>1</v></c><c r="A1"><v>2</v></c></row>')), "stands there twice"),
    ("digits.xlsx", _sheet(_row(f"<row><c><v>{'9' * 40_000}</v></c></row>")), "more than 32,767 characters"),
    ("exponent.xlsx", _sheet(_row("<row><c><v>1e9999</v></c><c><v>1e-9999</v></c></row>")), ""),
    ("far.xlsb", lambda: xlsb({1_048_575: [(16_383, 1.0)]}), "lies beyond column 256"),
    (
        "cut.xlsb",
        lambda: zipped({"xl/workbook.bin": b"\x83\x01\xff\xff\xff\xff", "xl/_rels/workbook.bin.rels": "<r/>"}),
        "is damaged",
    ),
    ("corner.xls", lambda: xls(xls_number(0, 0, 1.0) + xls_number(65_535, 255, 1.0)), ""),
    (
        "echo.xls",
        lambda: xls(b"".join(xls_text(n, 0, 0) for n in range(60_000)), shared=["x" * 8000]),
        "characters together",
    ),
    ("locked.xls", lambda: xls(b"", before=record(0x2F, bytes(54))), "has a password"),
    ("locked.xlsx", lambda: compound({"EncryptionInfo": b"", "EncryptedPackage": b""}), "has a password"),
    ("cut.xls", lambda: xls(xls_number(0, 0, 1.0))[:1500], "is damaged"),
    (
        "circle.xls",
        lambda: xls(xls_number(0, 0, 1.0)).replace(struct.pack("<III", 1, 2, 3), bytes(12), 1),
        "is damaged",
    ),
    ("repeat.ods", _repeating_ods, "lies beyond column 256"),
    ("laughs.ods", _laughing_ods, "declares a document type"),
    ("locked.ods", lambda: ods(ods_table(GOODS), manifest="<m><encryption-data/></m>"), "has a password"),
    ("cut.ods", lambda: ods(ods_table(GOODS))[:-100], "is damaged"),
    ("laughs.xml", f"{HEAD}{LAUGHS}<Invoice {UBL}>&i;</Invoice>".encode, "document type or an entity"),
    ("xxe.xml", f"{HEAD}{XXE}<Invoice {UBL}>&a;</Invoice>".encode, "document type or an entity"),
    ("wide-laughs.xml", lambda: f"{LAUGHS}<Invoice>&i;</Invoice>".encode("utf-16"), "document type or an entity"),
    (
        "outside.xml",
        f'{HEAD}<!DOCTYPE Invoice SYSTEM "http://192.0.2.1/a.dtd"><Invoice {UBL}/>'.encode,
        "document type or an entity",
    ),
    ("cut.xml", f"{HEAD}<Invoice {UBL}><cbc:ID>1</cbc:ID><cbc:Issue".encode, "breaks off"),
    ("other.xml", f"{HEAD}<catalogue><item>Gin</item></catalogue>".encode, "other.xml"),
    ("root.xml", f"{HEAD}<Invoice {UBL}/>".encode, ""),
    ("deep.xml", lambda: _deep(150), "more than 100 deep"),
    ("abyss.xml", lambda: _deep(200_000), "abyss.xml"),
    ("broken.xml", f"{HEAD}<Invoice {UBL}><a></b></Invoice>".encode, "broken.xml"),
    ("many.xml", f"{HEAD}<Invoice {UBL}>{'<a/>' * 700_000}</Invoice>".encode, "many.xml"),
    ("attribute.xml", f'{HEAD}<Invoice {UBL} a="{"x" * 15_000_000}"/>'.encode, "attribute.xml"),
    (
        "sheet.xml",
        lambda: b'<?xml version="1.0"?><Workbook xmlns="urn:schemas-microsoft-com:office:spreadsheet"/>',
        "XML form of 2003",
    ),
    ("nothing.pdf", _pdf_with, "nothing.pdf"),
    ("broken.pdf", lambda: _pdf("1 0 obj<</Type/Catalog>>endobj"), "broken.pdf"),
    ("cut.pdf", lambda: _pdf_with(("factur-x.xml", b"<a/>"))[:400], "cut.pdf"),
    ("locked.pdf", lambda: _pdf_with(("factur-x.xml", b"<a/>"), password="x"), "locked.pdf"),
    ("other.pdf", lambda: _pdf_with(("factur-x.xml", b"not xml at all")), "other.pdf"),
    ("laughs.pdf", lambda: _pdf_with(("factur-x.xml", f"{LAUGHS}<a>&i;</a>".encode())), "document type or an entity"),
    ("huge.pdf", _huge_attachment, "huge.pdf"),
)
"""(name of the file, its bytes, a phrase of the one line; "" where it has to be read)."""
