"""Random damage: the plain form and the starter workbook give a book that can be stored, or say what is wrong."""

import io
import json
import random
import zipfile
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime, time
from functools import cache
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from costing.book import Book
from costing.book.checks import check
from costing.book.plain import BadForm
from costing.store import FileFault, export_json, import_json
from costing.supply.starter import BadSheet, _book, differences, read_starter_bytes, write_starter
from costing.supply.starter_cells import Cell
from costing.supply.starter_example import example_book
from costing.supply.starter_open import OpenSheet, opened
from costing.supply.starter_sheets import PLANS
from tests import chains
from tests.store.strategies import books, records
from tests.supply.starters import written

MANY = settings(max_examples=80, deadline=None, suppress_health_check=list(HealthCheck))
FEW = settings(max_examples=8, deadline=None, suppress_health_check=list(HealthCheck))

odd_text = st.sampled_from([
    "", " ", "0", "-1", "1e999", "NaN", "1,500", "45 ml", "~51 %", "0,75 l", "as needed", "yes", "2026-02-30",
    "=1+1", "x" * 300, "#REF!", "\u202e", "\x00", "\ud800", "１２ ml", "1/0", "½ oz", "a/b", "lemon", "Lemon",
    "White rum",     "example",     "milk; milk", "18 %", "4.5 x", "-3 margin", "6 x 4",
    "from 3 at 2", "1 with 0", "Freight -1e9", "99999999999 kg",
]) | st.text(max_size=12)  # fmt: skip
numbers = st.integers(-(10**20), 10**20) | st.floats(allow_nan=True, allow_infinity=True)
days = st.dates() | st.datetimes() | st.times()
values = odd_text | numbers | st.booleans() | days
formats = st.sampled_from(
    ["General", "0%", "0.00", '0" ml"', "yyyy-mm-dd", "@", "00000", '"%"0', '0" bananas"', "[$€]0"]
)
json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | odd_text,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(odd_text, inner, max_size=3), max_leaves=6,
)  # fmt: skip


def places(data: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Every place in plain data."""
    yield path
    pairs = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for key, inner in pairs:
        yield from places(inner, (*path, key))


@cache
def chain_places() -> list[tuple[Any, ...]]:
    return [p for p in places(json.loads(chains.path("mother").read_text("utf-8"))) if p]


def sound(book: Book) -> None:
    """A book that came out of a strange file can be stored, checked and read back."""
    assert import_json(export_json(book)) == book
    for found in check(book):
        assert found.code


def one_line(error: Exception) -> None:
    """A refusal says something, on one line."""
    assert str(error)
    assert "\n" not in str(error)


def sheets_named(error: BadSheet) -> None:
    """Every fault of a cell says where and what."""
    assert error.what
    for fault in error.faults:
        assert fault.place.partition("!")[0] in {s.name for s in example_sheets()}
        assert fault.what


@MANY
@given(st.data())
def test_the_plain_form_with_a_strange_value_somewhere(data: st.DataObject) -> None:
    whole = json.loads(chains.path("mother").read_text("utf-8"))
    for _ in range(data.draw(st.integers(1, 3))):
        *path, last = data.draw(st.sampled_from(chain_places()))
        inside: Any = whole
        try:
            for step in path:
                inside = inside[step]
            inside[last] = data.draw(json_values)
        except (KeyError, IndexError, TypeError):
            assume(False)  # an earlier change took this place away
    try:
        book = import_json(json.dumps(whole), "x")
    except (BadForm, FileFault) as error:
        one_line(error)
        return
    sound(book)


@MANY
@given(st.integers(0, 2**32))
def test_the_plain_form_with_damaged_bytes(seed: int) -> None:
    rng = random.Random(seed)
    raw = bytearray(chains.path("mother").read_bytes())
    for _ in range(rng.randrange(1, 6)):
        at = rng.randrange(len(raw))
        if rng.random() < 0.3:
            del raw[at : at + rng.randrange(1, 40)]
        else:
            raw[at] = rng.choice(b'"{}[],:0-9.eE\\ \n~x\x00\x7f')
    try:
        book = import_json(raw.decode("utf-8", "replace"), "x")
    except (BadForm, FileFault):
        return
    sound(book)


@cache
def example_sheets() -> tuple[OpenSheet, ...]:
    return opened(written(example_book), "bar.xlsx")


def with_cells(changes: list[tuple[str, int, int, Any, str]]) -> tuple[OpenSheet, ...]:
    """The example bar's sheets with cells put over others."""
    out = []
    for sheet in example_sheets():
        rows = {number: dict(cells) for number, cells in sheet.rows}
        for name, row, column, value, form in changes:
            if name == sheet.name and value is not None and not (isinstance(value, str) and not value.strip()):
                place = f"{name}!{chr(64 + column)}{row}"
                rows.setdefault(row, {})[column] = Cell(place, value, form)
        out.append(replace(sheet, rows=tuple(sorted(rows.items()))))
    return tuple(out)


changes = st.lists(
    st.tuples(
        st.sampled_from(["House", *(p.name for p in PLANS)]), st.integers(1, 14), st.integers(1, 26), values, formats
    ),
    min_size=1, max_size=4,
)  # fmt: skip


@settings(MANY, max_examples=250)
@given(changes)
def test_strange_cells(given: list[tuple[str, int, int, Any, str]]) -> None:
    try:
        book = _book(with_cells(given), "bar.xlsx")
    except BadSheet as error:
        one_line(error)
        sheets_named(error)
        return
    sound(book)


def test_strange_cells_do_get_through_now_and_then() -> None:
    rng = random.Random(4)
    taken = 0
    for _ in range(200):
        plan = rng.choice(PLANS)
        value = rng.choice(["yes", 3, 0.5, date(2026, 1, 2), datetime(2026, 1, 2), "18 %", "1 l", True, time(3)])
        try:
            sound(_book(with_cells([(plan.name, 5, rng.randrange(2, 16), value, "General")]), "x"))
            taken += 1
        except BadSheet:
            pass
    assert 20 < taken < 180


@settings(MANY, max_examples=60)
@given(st.integers(0, 2**32))
def test_a_workbook_with_damaged_bytes(seed: int) -> None:
    rng = random.Random(seed)
    raw = bytearray(written(example_book))
    for _ in range(rng.randrange(1, 4)):
        at = rng.randrange(len(raw)) if rng.random() < 0.5 else len(raw) - 1 - rng.randrange(2500)
        raw[at] ^= 1 << rng.randrange(8)
    try:
        book = read_starter_bytes(bytes(raw), "bar.xlsx")
    except BadSheet as error:
        one_line(error)
        return
    sound(book)


@settings(MANY, max_examples=30)
@given(st.integers(0, 2**32))
def test_a_workbook_with_damaged_parts(seed: int) -> None:
    """The archive is sound and the XML in it is not, or says something else."""
    rng = random.Random(seed)
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(written(example_book))) as source, zipfile.ZipFile(out, "w") as target:
        names = source.namelist()
        hit = rng.choice([n for n in names if n.endswith((".xml", ".rels"))])
        for name in names:
            data = bytearray(source.read(name))
            if name == hit:
                for _ in range(rng.randrange(1, 4)):
                    at = rng.randrange(len(data))
                    if rng.random() < 0.5:
                        data[at] = rng.choice(b'<>/"=&; 0A9\x00\xff')
                    else:
                        del data[at : at + rng.randrange(1, 60)]
            target.writestr(name, bytes(data))
    try:
        book = read_starter_bytes(out.getvalue(), "bar.xlsx")
    except BadSheet as error:
        one_line(error)
        return
    sound(book)


@pytest.mark.slow
@FEW
@given(books())
def test_any_book_is_written_and_what_is_left_out_is_said(book: Book) -> None:
    raw = io.BytesIO()
    left = write_starter(raw, book)
    try:
        again = read_starter_bytes(raw.getvalue(), "bar.xlsx")
    except BadSheet:
        assert left
        return
    assert sorted(differences(book, again)) == sorted(left)


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["supplier", "good", "technique", "glass", "quote", "equipment"])
@settings(max_examples=6, deadline=None, suppress_health_check=list(HealthCheck))
@given(data=st.data())
def test_any_record_is_written_and_what_is_left_out_is_said(kind: str, data: st.DataObject) -> None:
    record = data.draw(records(kind))
    book = Book({**example_book().records, (kind, record.id): record})
    raw = io.BytesIO()
    left = write_starter(raw, book)
    if not left:
        again = read_starter_bytes(raw.getvalue(), "bar.xlsx")
        assert again.get(kind, record.id) is not None
        assert list(differences(book, again)) == []
