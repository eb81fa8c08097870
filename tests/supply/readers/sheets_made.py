"""Sheets of every form made from bytes, with invented goods, so that a test says exactly what stands in a file."""

import io
import struct
import zipfile
from collections.abc import Iterable, Mapping, Sequence

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
LINKS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006"
ODF = "urn:oasis:names:tc:opendocument:xmlns:"
GOODS = (
    ("Code", "Name", "Pack", "Price"),
    ("0012", "Orchard gin", "6x70cl", "83.40"),
    ("0013", "Harbour rum", "6x70cl", "91.20"),
    ("0014", "Vermut bianco", "12x75cl", "77.00"),
)


def zipped(parts: Mapping[str, str | bytes], *, stored: Iterable[str] = ()) -> bytes:
    """A zip archive of these members, in order."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            how = zipfile.ZIP_STORED if name in stored else zipfile.ZIP_DEFLATED
            archive.writestr(name, content, how)
    return out.getvalue()


def unzipped(data: bytes) -> dict[str, bytes]:
    """The members of a zip archive."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def xlsx_parts(
    *sheets: str, names: Sequence[str] = (), states: Sequence[str] = (), styles: Sequence[str | int] = (),
    shared: Sequence[str] = (), book: str = "",
) -> dict[str, str | bytes]:  # fmt: skip
    """The parts of a workbook. ``sheets`` are what stands inside each <worksheet>, ``styles`` the format of each cell
    style by text or built-in number, ``book`` what stands before the list of sheets."""
    names = names or [f"List {i + 1}" for i in range(len(sheets))]
    states = [*states, *["visible"] * len(sheets)]
    listed = "".join(
        f'<sheet name="{name}" sheetId="{i + 1}" state="{states[i]}" r:id="r{i + 1}"/>' for i, name in enumerate(names)
    )
    links = "".join(
        f'<Relationship Id="r{i + 1}" Type="{LINKS}/worksheet" Target="worksheets/sheet{i + 1}.xml"/>'
        for i in range(len(sheets))
    )
    links += f'<Relationship Id="s1" Type="{LINKS}/sharedStrings" Target="sharedStrings.xml"/>'
    links += f'<Relationship Id="s2" Type="{LINKS}/styles" Target="styles.xml"/>'
    return {
        "[Content_Types].xml": _types(),
        "_rels/.rels": f'<Relationships xmlns="{PACKAGE}/relationships"><Relationship Id="r1" '
        f'Type="{LINKS}/officeDocument" Target="xl/workbook.xml"/></Relationships>',
        "xl/workbook.xml": f'<workbook xmlns="{MAIN}" xmlns:r="{LINKS}">{book}<sheets>{listed}</sheets></workbook>',
        "xl/_rels/workbook.xml.rels": f'<Relationships xmlns="{PACKAGE}/relationships">{links}</Relationships>',
        "xl/styles.xml": _styles(styles),
        "xl/sharedStrings.xml": f'<sst xmlns="{MAIN}">{"".join(f"<si>{s}</si>" for s in shared)}</sst>',
        **{
            f"xl/worksheets/sheet{i + 1}.xml": f'<worksheet xmlns="{MAIN}">{inside}</worksheet>'
            for i, inside in enumerate(sheets)
        },
    }


def _types() -> str:
    kind = "application/vnd.openxmlformats-"
    return (
        f'<Types xmlns="{PACKAGE}/content-types"><Default Extension="xml" ContentType="application/xml"/>'
        f'<Default Extension="rels" ContentType="{kind}package.relationships+xml"/>'
        '<Override PartName="/xl/workbook.xml" '
        f'ContentType="{kind}officedocument.spreadsheetml.sheet.main+xml"/></Types>'
    )


def _styles(formats: Sequence[str | int]) -> str:
    from xml.sax.saxutils import quoteattr

    codes, cells = "", '<xf numFmtId="0"/>'
    for i, said in enumerate(formats):
        number = said if isinstance(said, int) else 170 + i
        cells += f'<xf numFmtId="{number}"/>'
        codes += f'<numFmt numFmtId="{number}" formatCode={quoteattr(said)}/>' if isinstance(said, str) else ""
    return f'<styleSheet xmlns="{MAIN}"><numFmts>{codes}</numFmts><cellXfs>{cells}</cellXfs></styleSheet>'


def xlsx(*sheets: str, **said: object) -> bytes:
    """A workbook; see ``xlsx_parts``."""
    return zipped(xlsx_parts(*sheets, **said))  # type: ignore[arg-type]


def cells(rows: Sequence[Sequence[str]]) -> str:
    """A <sheetData> of texts."""
    out = ""
    for row in rows:
        out += "<row>" + "".join(f'<c t="inlineStr"><is><t>{text}</t></is></c>' for text in row) + "</row>"
    return f"<sheetData>{out}</sheetData>"


def ods(
    *tables: str, styles: str = "", manifest: str = "", mimetype: str = "application/vnd.oasis.opendocument.spreadsheet"
) -> bytes:
    """An OpenDocument sheet; ``tables`` are <table:table> elements."""
    spaces = " ".join(f'xmlns:{n}="{ODF}{n}:1.0"' for n in ("office", "table", "text", "style", "drawing"))
    content = (
        f"<office:document-content {spaces}><office:automatic-styles>{styles}</office:automatic-styles>"
        f"<office:body><office:spreadsheet>{''.join(tables)}</office:spreadsheet></office:body></office:document-content>"
    )
    parts = {"mimetype": mimetype, "content.xml": content, "META-INF/manifest.xml": manifest or "<m/>"}
    return zipped(parts, stored=["mimetype"])


def ods_table(rows: Sequence[Sequence[str]], name: str = "List 1") -> str:
    """A table of texts."""
    out = ""
    for row in rows:
        said = "".join(
            f'<table:table-cell office:value-type="string"><text:p>{t}</text:p></table:table-cell>' for t in row
        )
        out += f"<table:table-row>{said}</table:table-row>"
    return f'<table:table table:name="{name}">{out}</table:table>'


def compound(streams: Mapping[str, bytes]) -> bytes:
    """A compound file ([MS-CFB]) of version 3 with these streams, each at least 4096 bytes long."""
    sectors: list[bytes] = []
    chains: list[int] = []
    entries = [_entry("Root Entry", 5, 0xFFFFFFFE, 0)]
    for name, said in streams.items():
        content = said.ljust(4096, b"\0")
        entries.append(_entry(name, 2, len(sectors), len(content)))
        _add(sectors, chains, content)
    folder = len(sectors)
    _add(sectors, chains, b"".join(entries))
    tables = 1
    while tables * 128 < len(sectors) + tables:
        tables += 1
    first = len(sectors)
    chains += [0xFFFFFFFD] * tables
    chains += [0xFFFFFFFF] * (tables * 128 - len(chains))
    raw = struct.pack(f"<{len(chains)}I", *chains)
    sectors += [raw[at : at + 512] for at in range(0, len(raw), 512)]
    listed = [*range(first, first + tables), *[0xFFFFFFFF] * (109 - tables)]
    head = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(16) + struct.pack("<HHHHH", 0x3E, 3, 0xFFFE, 9, 6) + bytes(6)
    head += struct.pack("<9I", 0, tables, folder, 0, 4096, 0xFFFFFFFE, 0, 0xFFFFFFFE, 0)
    return head + struct.pack("<109I", *listed) + b"".join(sectors)


def _entry(name: str, kind: int, start: int, size: int) -> bytes:
    said = (name + "\0").encode("utf-16-le")
    out = said.ljust(64, b"\0") + struct.pack("<HBB3I", len(said), kind, 1, 0xFFFFFFFF, 0xFFFFFFFF, 0xFFFFFFFF)
    return out + bytes(16) + bytes(4) + bytes(16) + struct.pack("<IQ", start, size)


def _add(sectors: list[bytes], chains: list[int], content: bytes) -> None:
    count = -(-len(content) // 512)
    chains += [len(sectors) + i + 1 for i in range(count - 1)] + [0xFFFFFFFE]
    sectors += [content[at : at + 512].ljust(512, b"\0") for at in range(0, len(content), 512)]


def record(kind: int, body: bytes = b"") -> bytes:
    """One record of a BIFF8 stream."""
    return struct.pack("<HH", kind, len(body)) + body


def xls(
    records: bytes,
    *,
    shared: Sequence[str] = (),
    formats: Sequence[str | int] = (),
    before: bytes = b"",
    name: str = "List 1",
) -> bytes:
    """A .xls workbook ([MS-XLS]) with one sheet of ``records``; ``before`` goes in front of the workbook's own."""
    bof = struct.pack("<HHHHII", 0x600, 5, 0, 0, 0, 6)
    texts = b"".join(struct.pack("<HB", len(t), 1) + t.encode("utf-16-le") for t in shared)
    table = record(0xFC, struct.pack("<II", len(shared), len(shared)) + texts)
    codes = b"".join(
        record(0x41E, struct.pack("<HHB", 170 + i, len(f), 0) + f.encode("latin-1"))
        for i, f in enumerate(formats) if isinstance(f, str)
    )  # fmt: skip
    styles = b"".join(
        record(0xE0, struct.pack("<HH", 0, n).ljust(20, b"\0"))
        for n in (0, *(f if isinstance(f, int) else 170 + i for i, f in enumerate(formats)))
    )

    def head(at: int) -> bytes:
        sheet = record(0x85, struct.pack("<IBBBB", at, 0, 0, len(name), 0) + name.encode("latin-1"))
        return record(0x809, bof) + before + codes + styles + sheet + table + record(0x0A)

    first = head(len(head(0)))
    body = record(0x809, struct.pack("<HHHHII", 0x600, 0x10, 0, 0, 0, 6)) + records + record(0x0A)
    return compound({"Workbook": first + body})


def xls_number(row: int, column: int, value: float, style: int = 0) -> bytes:
    """A NUMBER record."""
    return record(0x203, struct.pack("<HHHd", row, column, style, value))


def xls_text(row: int, column: int, index: int) -> bytes:
    """A LABELSST record."""
    return record(0xFD, struct.pack("<HHHI", row, column, 0, index))


def wide(kind: int, body: bytes = b"") -> bytes:
    """One record of an .xlsb part."""
    out = bytes([kind]) if kind < 128 else bytes([kind & 0x7F | 0x80, kind >> 7])
    size, length = len(body), b""
    while size >= 128:
        length += bytes([size & 0x7F | 0x80])
        size >>= 7
    return out + length + bytes([size]) + body


def wide_text(text: str) -> bytes:
    """An XLWideString."""
    return struct.pack("<I", len(text)) + text.encode("utf-16-le")


def xlsb(rows: Mapping[int, Sequence[tuple[int, object]]], *, shared: Sequence[str] = ()) -> bytes:
    """An .xlsb workbook ([MS-XLSB]): by row, cells of (column, value); an int is an index into ``shared``, a float a
    number, bytes an error."""
    body = wide(129) + wide(148, struct.pack("<IIII", 0, max(rows, default=0), 0, 9)) + wide(145)
    for row, line in rows.items():
        body += wide(0, struct.pack("<II", row, 0) + bytes(9))
        for column, value in line:
            at = struct.pack("<II", column, 0)
            if isinstance(value, int):
                body += wide(7, at + struct.pack("<I", value))
            elif isinstance(value, bytes):
                body += wide(3, at + value)
            else:
                body += wide(5, at + struct.pack("<d", value))
    body += wide(146) + wide(130)
    book = wide(131) + wide(143)
    book += wide(156, struct.pack("<II", 0, 1) + wide_text("r1") + wide_text("List 1")) + wide(144) + wide(132)
    texts = wide(159, struct.pack("<II", len(shared), len(shared)))
    texts += b"".join(wide(19, b"\0" + wide_text(text)) for text in shared) + wide(160)
    links = (
        f'<Relationships xmlns="{PACKAGE}/relationships">'
        f'<Relationship Id="r1" Type="{LINKS}/worksheet" Target="worksheets/sheet1.bin"/>'
        f'<Relationship Id="s1" Type="{LINKS}/sharedStrings" Target="sharedStrings.bin"/></Relationships>'
    )
    parts = xlsx_parts()
    kept = {name: parts[name] for name in ("[Content_Types].xml", "_rels/.rels")}
    return zipped(
        {
            **{k: v.replace("workbook.xml", "workbook.bin") if isinstance(v, str) else v for k, v in kept.items()},
            "xl/workbook.bin": book,
            "xl/_rels/workbook.bin.rels": links,
            "xl/worksheets/sheet1.bin": body,
            "xl/sharedStrings.bin": texts,
        }
    )
