"""Laws of the readers of tables: what was written comes back, and any bytes at all give a table or one clear line."""

import csv
import io

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from costing.supply.arriving.line import Unreadable
from costing.supply.arriving.table import Figure, Table
from costing.supply.readers.cells import float_text, number_text
from costing.supply.readers.clip import read_clip
from costing.supply.readers.formats import look_of
from costing.supply.readers.tables import read_table
from costing.supply.readers.text import read_text
from tests.supply.readers.sheets_made import GOODS, cells, ods, ods_table, xls, xls_number, xlsb, xlsx

FEW = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
PLAIN = st.text(st.characters(exclude_categories=["Cs", "Cc"], exclude_characters="\ufeff"), max_size=12)
SEEDS = (
    b"Code;Name;Price\n1;Gin;2,50\n", "Code\tCr\xe8me\n1\t2\n".encode("utf-16"), xlsx(cells(GOODS)),
    ods(ods_table(GOODS)),
    xls(xls_number(0, 0, 1.5) + xls_number(1, 1, 2.0)), xlsb({0: [(0, 0), (1, 1.5)]}, shared=["Gin"]),
)  # fmt: skip


def settled(data: bytes, name: str = "list") -> Table | None:
    """A table, or None where one clear line says why not."""
    try:
        found = read_table(data, name)
    except Unreadable as error:
        said = str(error)
    else:
        said = ""
    assert said.isprintable()
    if said:
        return None
    assert all(isinstance(cell, str) for row in found.rows for cell in row)
    assert all(0 <= row < len(found.rows) for row in found.hidden_rows | found.merged_rows)
    return found


@FEW
@given(st.binary(max_size=400))
@example(b"\xff\xfe")
@example(b"PK\x05\x06" + bytes(18))
@example(b'"')
def test_any_bytes(data: bytes) -> None:
    settled(data)


@FEW
@given(
    st.sampled_from(SEEDS),
    st.lists(st.tuples(st.integers(0, 10**6), st.integers(0, 255)), max_size=8),
    st.integers(0, 10**6),
)
def test_any_damage(seed: bytes, changes: list[tuple[int, int]], cut: int) -> None:
    data = bytearray(seed)
    for at, byte in changes:
        data[at % len(data)] = byte
    settled(bytes(data[: cut % (2 * len(data))]))


@FEW
@given(
    st.lists(st.lists(st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0\ufeff\r"), max_size=8),
                      min_size=2, max_size=5), min_size=1, max_size=8),
    st.sampled_from(";,\t|"),
)  # fmt: skip
def test_a_written_table_comes_back(rows: list[list[str]], sign: str) -> None:
    """Written by the csv module (RFC 4180) with every cell in quotes, read with the sign that was used."""
    out = io.StringIO()
    csv.writer(out, delimiter=sign, quoting=csv.QUOTE_ALL).writerows(rows)
    table = read_text(out.getvalue().encode(), delimiter=sign)
    if table.sure:
        assert table.rows == tuple(map(tuple, rows))


@FEW
@given(st.text(max_size=80))
def test_nothing_of_a_text_is_lost(text: str) -> None:
    """Without quotes every character but signs between cells, line ends and NULs is in a cell."""
    plain = text.replace('"', "").replace("\ufeff", "").encode("utf-8", "ignore").decode()
    if not plain.replace("\0", "").strip() or plain.lower().startswith("sep="):
        return
    table = read_clip(plain)
    kept = "".join(cell for row in table.rows for cell in row)
    gone = {"\r", "\n", "\0", table.delimiter or "\t"}
    assert kept == "".join(sign for sign in plain if sign not in gone)


@FEW
@given(st.lists(st.lists(PLAIN, min_size=1, max_size=4), min_size=1, max_size=5))
def test_texts_of_a_workbook_come_back(rows: list[list[str]]) -> None:
    """Written by openpyxl."""
    from openpyxl import Workbook

    book = Workbook()
    for r, row in enumerate(rows, start=1):
        for c, text in enumerate(row, start=1):
            if text:
                cell = book.worksheets[0].cell(r, c)
                cell.value = text
                cell.data_type = "s"
    out = io.BytesIO()
    book.save(out)
    table = settled(out.getvalue())
    if table is None:
        assert not any(text.strip() for row in rows for text in row)
        return
    width = max(map(len, rows))
    wanted = [(*row, *[""] * (width - len(row))) for row in rows]
    found = [(*row, *[""] * (width - len(row))) for row in table.rows]
    assert found == wanted[: len(found)]
    assert not any(text for row in wanted[len(found) :] for text in row)


@FEW
@given(st.floats(allow_nan=False, allow_infinity=False, min_value=-1e15, max_value=1e15))
@example(0.1 + 0.2)
@example(5e-324)
def test_a_number_keeps_fifteen_digits(value: float) -> None:
    text = float_text(value)
    if text:
        assert float(text) == pytest.approx(value, rel=1e-14, abs=1e-300)
        assert set(text) <= set("-.0123456789")
    else:
        assert abs(value) < 1e-30


@FEW
@given(st.decimals(allow_nan=False, allow_infinity=False, min_value=-(10**9), max_value=10**9, places=5))
def test_a_price_comes_back_exactly(value: object) -> None:
    """Up to 15 significant digits: what any price has."""
    from decimal import Decimal

    text = number_text(f"{value:f}")
    assert Decimal(text) == value
    row = f'<sheetData><row r="1"><c r="A1"><v>{value:f}</v></c></row></sheetData>'
    assert read_table(xlsx(row), "a.xlsx").rows == ((Figure(text),),)


@FEW
@given(st.integers(0, 200), st.none() | st.text(max_size=60))
def test_any_format_has_a_look(number: int, code: str | None) -> None:
    look = look_of(number, code)
    assert bool(look.currency) == (look.kind == "money")
    assert bool(look.width) == (look.kind == "code")
