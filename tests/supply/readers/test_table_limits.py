"""Archives that unfold to too much, lie, or hold what no sheet needs: refused before they are parsed, and soon."""

import tracemalloc
import zipfile

import pytest

from costing.supply.arriving.line import Unreadable
from costing.supply.readers.limits import MAX_MEMBERS, MAX_UNFOLDED, check_zip
from costing.supply.readers.tables import read_table
from tests.supply.readers.hostile import bomb, lying_zip, with_part
from tests.supply.readers.sheets_made import GOODS, MAIN, cells, xlsx, zipped


def refused(data: bytes) -> str:
    with pytest.raises(Unreadable) as caught:
        check_zip(data, "list.xlsx")
    assert str(caught.value).startswith("list.xlsx ")
    assert "\n" not in str(caught.value)
    return str(caught.value)


def test_members_come_back_as_they_are() -> None:
    parts = {"Xl\\One.xml": b"<a>1</a>" * 100_000, "two.bin": bytes(300_000), "three": b""}
    found = check_zip(zipped(parts, stored=["two.bin"]), "a")
    assert [found.whole(name) for name in ("xl/one.xml", "/TWO.bin", "three")] == list(parts.values())
    assert "xl/one.xml" in found
    assert "four" not in found
    with pytest.raises(Unreadable, match="part four is missing"):
        found.whole("four")


@pytest.mark.parametrize("size", [MAX_UNFOLDED + 1_000, 1_500_000_000])
def test_a_bomb_that_tells_its_size(size: int) -> None:
    data = bomb(size, told=size)
    assert "unfolds to far more" in _in_little_memory(data)


def test_a_bomb_that_lies_about_its_size() -> None:
    """What comes out counts, whatever the directory says."""
    assert "is not what the archive says" in _in_little_memory(bomb(1_500_000_000, told=1000))


def _in_little_memory(data: bytes) -> str:
    """What is said of a file that is not unfolded before it is refused."""
    tracemalloc.start()
    try:
        said = refused(data)
        assert tracemalloc.get_traced_memory()[1] < 20_000_000
    finally:
        tracemalloc.stop()
    return said


def test_a_size_that_is_told_wrong_by_little_is_damage_too() -> None:
    assert "not what the archive says" in refused(lying_zip(more=20))
    assert "not what the archive says" in refused(lying_zip(more=-1))


def test_too_many_members() -> None:
    assert "unfolds to far more" in refused(zipped({f"{n}.xml": "x" for n in range(MAX_MEMBERS + 1)}))
    assert "unfolds to far more" in refused(zipped({f"{n}.xml": "" for n in range(3 * MAX_MEMBERS)}))


def test_the_sum_of_members_counts() -> None:
    part = "".join(f"<c><v>{n * n % 99_991}</v></c>{'':200}" for n in range(320_000)).encode()
    parts = {f"{n}.xml": part for n in range(3)}
    assert sum(map(len, parts.values())) > MAX_UNFOLDED
    assert "unfolds to far more" in refused(zipped(parts))


def test_the_same_member_twice() -> None:
    with pytest.warns(UserWarning, match="Duplicate"):
        data = with_part(xlsx(cells(GOODS)), "xl/workbook.xml", b"<workbook/>")
    assert "two parts are called" in refused(data)
    assert "two parts are called" in refused(with_part(xlsx(cells(GOODS)), "XL/workbook.xml", b"<workbook/>"))


@pytest.mark.parametrize(
    "text",
    [
        '<!DOCTYPE x [<!ENTITY a "b">]><x/>',
        "<?xml version='1.0'?><!-- " + "c" * 500_000 + " --><!doctype x><x/>",
        f"<worksheet xmlns='{MAIN}'>" + " " * 262_130 + "<!ENTITY a SYSTEM 'file:///x'></worksheet>",
    ],
)
def test_document_types_and_entities(text: str) -> None:
    assert "declares a document type or an entity" in refused(zipped({"xl/worksheets/sheet1.xml": text}))


def test_a_document_type_of_two_bytes_a_character() -> None:
    part = '<?xml version="1.0" encoding="utf-16"?><!DOCTYPE x [<!ENTITY a "b">]><worksheet/>'.encode("utf-16")
    with pytest.raises(Unreadable, match="declares a document type"):
        read_table(xlsx_with(part), "list.xlsx")


def test_packing_that_no_sheet_has() -> None:
    import io

    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_LZMA) as archive:
        archive.writestr("xl/workbook.xml", "<x/>" * 10)
    assert "packed in a way that no sheet is" in refused(out.getvalue())


@pytest.mark.parametrize("cut", [10, 60, 300, 900, -30])
def test_archives_cut_short(cut: int) -> None:
    assert "is damaged" in refused(xlsx(cells(GOODS))[:cut])


def test_every_byte_may_be_wrong() -> None:
    """Whatever one byte of an archive is changed to, the same table or one clear line comes of it."""
    data = xlsx(cells(GOODS))
    good = read_table(data, "a.xlsx")
    for at in range(0, len(data), 7):
        broken = bytearray(data)
        broken[at] ^= 0x5A
        try:
            rows = read_table(bytes(broken), "a.xlsx").rows
        except Unreadable:
            continue
        assert rows == good.rows


def xlsx_with(part: bytes) -> bytes:
    """A workbook whose sheet is ``part``."""
    from tests.supply.readers.sheets_made import xlsx_parts

    return zipped({**xlsx_parts(""), "xl/worksheets/sheet1.xml": part})
