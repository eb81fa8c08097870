"""Readers fed with broken files for as long as somebody likes: ``python -m tests.supply.readers.fuzz --reader all``.

Anything but ``Unreadable`` or ValueError is a finding, as is an input that takes more than five seconds or ends the
process. With atheris (not a dependency) coverage guides the changes, without it chance does. Each finding is kept in
the folder that is named at the end. Exit 1 where there is one.
"""

import argparse
import importlib
import importlib.util
import random
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from pathlib import Path

from costing.supply.arriving.line import Unreadable
from tests.supply.readers.hostile import HOSTILE
from tests.supply.readers.sheets_made import (
    GOODS,
    cells,
    ods,
    ods_table,
    unzipped,
    xls,
    xls_number,
    xls_text,
    xlsb,
    xlsx,
    xlsx_parts,
    zipped,
)

SLOW = 5.0
LONGEST = 200_000
Reader = Callable[[bytes], object]
TOKENS = (
    b"<",
    b">",
    b'"',
    b"&amp;",
    b";",
    b",",
    b"\t",
    b"\r\n",
    b"\0",
    b"\xff\xfe",
    b"\xef\xbb\xbf",
    b"<c r='A1' t='s'><v>0</v></c>",
    b"<row r='1048576'>",
    b"<mergeCell ref='A1:XFD9'/>",
    b"hidden='1'",
    b"1e308",
    b"-1",
    b"4294967295",
    b"6 x 70 cl",
    b"12/750",
    "½ l".encode(),
    "٣٫٥".encode(),
    b"</x>",
    b"<!DOCTYPE",
    b"xsi:nil='true'",
    b"endobj",
    b"stream\n",
    b"/Filter/FlateDecode",
)

_XLSB = unzipped(xlsb({0: [(0, 0), (1, 1.5)], 1: [(0, 0), (1, b"\x2a")]}, shared=["Gin"]))


def _text(data: bytes) -> object:
    from costing.supply.readers.tables import read_table

    return read_table(data, "fuzz.csv")


def _sheet(data: bytes) -> object:
    """The first byte says which part of which workbook the rest is: archives check themselves, so bytes of theirs that
    change are noticed before anything is read."""
    from costing.supply.readers.tables import read_table

    kind, rest = (data[0] if data else 0) % len(_SHEETS), data[1:]
    return read_table(_SHEETS[kind](rest), "fuzz.xlsx")


def _xml(data: bytes) -> object:
    from costing.supply.readers.door import read_prices

    return read_prices(data, "fuzz.xml")


def _packs(data: bytes) -> object:
    from costing.supply.measure import parse_measure
    from costing.supply.packs.numbers import parse_number
    from costing.supply.packs.pack import parse_pack

    text = data.decode("utf-8", "replace")
    parse_pack(text)
    for read in (parse_number, parse_measure):
        try:
            read(text)
        except ValueError:
            continue
    return None


def _part(name: str) -> Callable[[bytes], bytes]:
    base = xlsx_parts(cells(GOODS), shared=["<t>Gin</t>"], styles=["0%", 14])
    return lambda rest: zipped({**base, name: rest})


_SHEETS: tuple[Callable[[bytes], bytes], ...] = (
    bytes,
    _part("xl/worksheets/sheet1.xml"),
    _part("xl/styles.xml"),
    _part("xl/sharedStrings.xml"),
    _part("xl/workbook.xml"),
    _part("xl/_rels/workbook.xml.rels"),
    lambda rest: zipped({"mimetype": "application/vnd.oasis.opendocument.spreadsheet", "content.xml": rest}),
    lambda rest: zipped({**_XLSB, "xl/worksheets/sheet1.bin": rest}),
    lambda rest: zipped({**_XLSB, "xl/sharedStrings.bin": rest}),
    lambda rest: zipped({**_XLSB, "xl/workbook.bin": rest}),
)
READERS: dict[str, Reader] = {"text": _text, "sheet": _sheet, "xml": _xml, "pdf": _xml, "packs": _packs}


def seeds(reader: str) -> list[bytes]:
    """Inputs to begin from: the hostile files of the kind, as far as they are short, and sound ones."""
    ends = {
        "text": (".csv", "text.xls"),
        "xml": (".xml",),
        "pdf": (".pdf",),
        "sheet": (".xlsx", ".xls", ".xlsb", ".ods"),
    }
    slow = ("full.xlsx", "merges.xlsx", "many-cells.xlsx", "huge.pdf")
    found = [make() for name, make, _ in HOSTILE if name.endswith(ends.get(reader, ())) and name not in slow]
    if reader == "packs":
        return [
            text.encode()
            for text in ("6x70cl", "24/12 OZ BTL *4/6 PACK*", "1 1/2 dozen", "1.204,50 €", "3/£10", "2-3 oz")
        ]
    if reader == "text":
        found.append(b'Code;Name\r\n1;"Gin\ndry"\r\n')
    if reader == "xml":
        from tests.supply.readers.xml_made import catalogue, cii, cii_line, item, line, ubl

        found += [ubl(line(item())), catalogue(), cii(cii_line())]
    if reader == "sheet":
        found = [b"\0" + data for data in found]
        book, open_book = (
            unzipped(xlsx(cells(GOODS), shared=["<t>Gin</t>"], styles=["0%"])),
            unzipped(ods(ods_table(GOODS))),
        )
        places = (
            "xl/worksheets/sheet1.xml",
            "xl/styles.xml",
            "xl/sharedStrings.xml",
            "xl/workbook.xml",
            "xl/_rels/workbook.xml.rels",
        )
        parts = [book[name] for name in places] + [open_book["content.xml"]]
        parts += [_XLSB[f"xl/{name}.bin"] for name in ("worksheets/sheet1", "sharedStrings", "workbook")]
        found += [bytes([n + 1]) + part for n, part in enumerate(parts)]
        found.append(b"\0" + xls(xls_text(0, 0, 0) + xls_number(1, 1, 2.0), shared=["Gin"]))
    return [data for data in found if len(data) <= LONGEST]


def mutated(data: bytes, chance: random.Random, others: Sequence[bytes]) -> bytes:
    """``data`` with a few changes: bytes flipped, set, cut out, doubled, words put in, a piece of another input."""
    out = bytearray(data)
    for _ in range(chance.choice((1, 1, 2, 4, 16))):
        at = chance.randrange(len(out) + 1)
        length = chance.choice((1, 2, 4, 16, 256))
        match chance.randrange(6):
            case 0 if at < len(out):
                out[at] ^= 1 << chance.randrange(8)
            case 1 if at < len(out):
                out[at] = chance.choice((0, 1, 9, 10, 13, 34, 59, 127, 128, 255, chance.randrange(256)))
            case 2:
                del out[at : at + length]
            case 3:
                out[at:at] = out[at : at + length] * chance.choice((1, 2, 50))
            case 4:
                out[at:at] = chance.choice(TOKENS)
            case _:
                other = chance.choice(others)
                first = chance.randrange(len(other) + 1)
                out[at : at + length] = other[first : first + length]
    return bytes(out[:LONGEST])


def attempt(reader: Reader, data: bytes) -> str:
    """What is wrong with how ``data`` was taken; "" where nothing is."""
    begun = time.perf_counter()
    try:
        reader(data)
    except Unreadable as error:
        if not str(error).isprintable():
            return f"more than one line: {str(error)!r}"
    except ValueError as error:
        if type(error) is not ValueError:
            return f"{type(error).__name__}: {error}"
    except Exception as error:  # noqa: BLE001  every other one is what is looked for
        return f"{type(error).__name__}: {error}"
    spent = time.perf_counter() - begun
    return f"took {spent:.1f} s" if spent > SLOW else ""


def by_chance(name: str, minutes: float, folder: Path, seed: int) -> int:
    """Random changes for so long; every input is written down first, in case it ends the process."""
    reader, chance, begun, runs = READERS[name], random.Random(seed), time.monotonic(), 0
    corpus = seeds(name)
    found: set[str] = set()
    while time.monotonic() - begun < minutes * 60:
        data = mutated(chance.choice(corpus), chance, corpus)
        (folder / f"{name}-last").write_bytes(data)
        wrong = attempt(reader, data)
        runs += 1
        if wrong and wrong[:60] not in found:
            found.add(wrong[:60])
            (folder / f"{name}-{len(found)}").write_bytes(data)
            sys.stdout.write(f"{name}: {wrong}\n")
    sys.stdout.write(f"{name}: {runs} inputs, {len(found)} findings\n")
    return 1 if found else 0


def by_coverage(name: str, minutes: float, folder: Path) -> None:
    """The same, led by atheris. It ends the process."""
    atheris = importlib.import_module("atheris")

    with atheris.instrument_imports(include=["costing.supply"]):
        import costing.supply.measure
        import costing.supply.packs.pack
        import costing.supply.readers.door
        import costing.supply.readers.sheet
        import costing.supply.readers.tables
        import costing.supply.readers.xml_documents  # noqa: F401

    corpus = folder / name
    corpus.mkdir()
    for i, data in enumerate(seeds(name)):
        (corpus / str(i)).write_bytes(data)

    def one(data: bytes) -> None:
        if wrong := attempt(READERS[name], data):
            raise RuntimeError(wrong)

    limits = [
        f"-max_total_time={int(minutes * 60)}",
        f"-timeout={int(SLOW)}",
        "-rss_limit_mb=1500",
        f"-max_len={LONGEST}",
    ]
    atheris.Setup([name, *limits, f"-artifact_prefix={folder}/{name}-", "-print_final_stats=1", str(corpus)], one)
    atheris.Fuzz()


def main(argv: Sequence[str] | None = None) -> int:
    """Run each reader in a process of its own."""
    asked = argparse.ArgumentParser(description=__doc__.partition("\n")[0] if __doc__ else "")
    asked.add_argument("--reader", choices=[*READERS, "all"], default="all")
    asked.add_argument("--minutes", type=float, default=5.0, help="for each reader")
    asked.add_argument("--seed", type=int, default=0)
    asked.add_argument("--chance", action="store_true", help="without atheris, even if it is there")
    asked.add_argument("--folder", type=Path, help=argparse.SUPPRESS)
    args = asked.parse_args(argv)
    guided = importlib.util.find_spec("atheris") is not None and not args.chance
    if args.folder is not None:
        if guided:
            by_coverage(args.reader, args.minutes, args.folder)
        return by_chance(args.reader, args.minutes, args.folder, args.seed)
    folder, worst = Path(tempfile.mkdtemp(prefix="fuzz-")), 0
    for name in READERS if args.reader == "all" else (args.reader,):
        call = [sys.executable, "-m", "tests.supply.readers.fuzz", "--reader", name, "--minutes", str(args.minutes)]
        call += ["--seed", str(args.seed), "--folder", str(folder), *(["--chance"] if args.chance else [])]
        code = subprocess.run(call, check=False).returncode
        sys.stdout.write(f"{name}: {'nothing found' if code == 0 else f'FINDINGS, exit {code}'}; inputs in {folder}\n")
        worst = max(worst, int(code != 0))
    return worst


if __name__ == "__main__":
    sys.exit(main())
