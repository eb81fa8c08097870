"""The starter workbook: written and read back equal, cells read by their format, every fault with its place."""

import io
import shutil
import subprocess
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from openpyxl import load_workbook

from costing.book import Book
from costing.book.book import Book as AnyBook
from costing.book.checks import check
from costing.book.fact import parse_fact
from costing.book.kinds import FACT_DIMS, READING_DIMS, STAGE_KINDS
from costing.book.records import Equipment, Good, House, Menu, Preparation, Quote, Serve, Supplier
from costing.ledger import reckon
from costing.paths import sample_book
from costing.pricing import priced_serves
from costing.store import read_json
from costing.supply.starter import BadSheet, differences, read_starter, read_starter_bytes, write_starter
from costing.supply.starter_example import example_book
from costing.supply.starter_layout import FIGURES, FIRST_ROW, HEAD_ROW, STAGE_CHOICES
from costing.supply.starter_sheets import HOUSE_PLAN, PLANS
from tests import chains
from tests.supply.starters import written

LEFT_OUT = (
    "batch ", "yieldtest ", "order ", "rate ", "sales ", "button ", "till ", "scenario ", "supplier casks, ",
    "supplier dry-store, ", "supplier north-quay, ", "equipment spinner, hours", "equipment still, hours",
    "house house, prep_hours",
)  # fmt: skip
"""What a starter workbook cannot hold of the sample: logs, what was ordered and sold, what a till's buttons mean, a
supplier's terms, hours of the week."""


def test_the_example_bar_is_a_sound_priced_book() -> None:
    book = example_book()
    assert [p for p in check(book) if p.level != "note"] == []
    reckoning = reckon(book.on(date(2026, 6, 1)))
    (serve,) = priced_serves(reckoning)
    assert serve.suggestion is not None
    assert serve.cost.unpriced == frozenset() or not serve.cost.unpriced


def test_the_example_rows_are_passed_over_until_their_mark_is_cleared(tmp_path: Path) -> None:
    path = tmp_path / "starter.xlsx"
    assert write_starter(path) == ()
    with pytest.raises(BadSheet, match="nothing is filled in yet; begin with the sheet House"):
        read_starter(path)
    wb = load_workbook(path)
    house = wb["House"]
    for row in range(FIRST_ROW, FIRST_ROW + len(HOUSE_PLAN.columns) - 1):
        house.cell(row, 2).value = house.cell(row, 3).value
    marks = 0
    for plan in PLANS:
        for row in range(FIRST_ROW, wb[plan.name].max_row + 1):
            marks += wb[plan.name].cell(row, 1).value == "example"
            wb[plan.name].cell(row, 1).value = None
    wb.save(path)
    assert marks > 25
    assert read_starter(path) == example_book()


@pytest.mark.parametrize("name", chains.NAMES)
def test_the_acceptance_chains_come_back_equal(name: str, tmp_path: Path) -> None:
    book, path = chains.book(name), tmp_path / f"{name}.xlsx"
    left = write_starter(path, book)
    again = read_starter(path)
    assert [line for line in left if not line.startswith(LEFT_OUT)] == []
    assert list(differences(book, again)) == list(left)
    assert reckon(again.on(chains.DAY)).costs == reckon(book.on(chains.DAY)).costs


def test_the_sample_comes_back_equal_but_for_its_batches(tmp_path: Path) -> None:
    book, path = read_json(sample_book()), tmp_path / "sample.xlsx"
    left = write_starter(path, book)
    kinds = ("batch", "yieldtest", "order", "rate", "sales", "button", "till", "scenario")
    logs = [f"{kind} {ident}" for kind, ident in book.records if kind in kinds]
    logs += ["equipment spinner, hours: 8", "equipment still, hours: 12",
             "house house, prep_hours: 24"]  # fmt: skip
    assert sorted(line for line in left if not line.startswith("supplier ")) == sorted(logs)
    again = read_starter(path)
    held = AnyBook({
        key: Supplier(id=record.id, name=record.name, note=record.note) if isinstance(record, Supplier)
        else replace(record, hours=None) if isinstance(record, Equipment)
        else replace(record, prep_hours=None) if isinstance(record, House) else record
        for key, record in book.records.items() if key[0] not in kinds
    })  # fmt: skip
    assert again.records.keys() == held.records.keys()
    assert list(differences(held, again)) == []
    assert again.all(Menu) == held.all(Menu)
    assert again.all(Preparation) == held.all(Preparation)
    assert again.all(Serve) == held.all(Serve)


def test_what_the_layout_cannot_hold_is_said() -> None:
    good = Good(id="x", name="  Odd  name ", kind="fruit", base="kg", makeup=(("sweetness", parse_fact("3")),),
                density=parse_fact("1 kg/l", mark="assumed"))  # fmt: skip
    left = write_starter(io.BytesIO(), example_book().with_changes([]))
    assert left == ()
    records = {**example_book().records, ("good", "x"): good}
    left = write_starter(io.BytesIO(), Book(records))
    assert "good x, name:   Odd  name  is Odd name" not in left
    assert any(line.startswith("good x, name") for line in left)
    assert any("sweetness" in line for line in left)
    assert any(line.startswith("good x, density, text: 1 kg/l is ~1 kg/l") for line in left)


def test_text_stays_text_whatever_it_begins_with() -> None:
    names = ("=1+1", "+49 hand", "@home", "-", "_x0041_", "a\nb", "Ünïcode 塩", "'quoted", "12", "2026-03-01", "TRUE")
    extra = {("supplier", f"s{n}"): Supplier(id=f"s{n}", name=name) for n, name in enumerate(names)}
    book, raw = Book({**example_book().records, **extra}), io.BytesIO()
    assert write_starter(raw, book) == ()
    assert read_starter_bytes(raw.getvalue(), "x") == book
    assert {c.data_type for row in load_workbook(raw)["Suppliers"].iter_rows() for c in row if c.value} == {"s"}


def test_names_that_are_shared_go_by_id() -> None:
    twin = Good(id="rum-b", name="White rum", kind="spirit", base="l")
    sauce = Good(id="lemon juice 2", name="Lemon juice", kind="juice", base="l")
    records = {**example_book().records, ("good", twin.id): twin, ("good", sauce.id): sauce}
    book = Book(records)
    raw = io.BytesIO()
    assert write_starter(raw, book) == ()
    assert read_starter_bytes(raw.getvalue(), "x") == book


def test_every_kind_and_figure_has_its_words() -> None:
    assert FIGURES.keys() == FACT_DIMS.keys() | READING_DIMS.keys()
    words = [word for word, _ in FIGURES.values()]
    assert len(set(words)) == len(words)
    assert {value for _, value in STAGE_CHOICES} == STAGE_KINDS.keys()


def test_the_sheets_are_fit_to_be_filled_in() -> None:
    wb = load_workbook(io.BytesIO(written()))
    assert wb.sheetnames == ["Start here", "House", *(plan.name for plan in PLANS), "Words"]
    for plan in PLANS:
        ws = wb[plan.name]
        assert ws.freeze_panes == f"C{FIRST_ROW}"
        assert ws.print_title_rows == f"${HEAD_ROW}:${HEAD_ROW + 1}"
        lists = {str(r): v.formula1 for v in ws.data_validations.dataValidation for r in v.sqref.ranges}
        for n, column in enumerate(plan.columns, start=2):
            head = ws.cell(HEAD_ROW, n)
            assert head.value == column.head
            assert column.note in head.comment.text
            letter = head.column_letter
            source = lists.get(f"{letter}{FIRST_ROW}:{letter}2000")
            assert (source is not None) == bool(column.choices or column.lists), (plan.name, column.key)
            if column.choices:
                area = str(source).removeprefix("Words!").replace("$", "")
                assert [row[0].value for row in wb["Words"][area]] == [word for word, _ in column.choices]
    start = [c.value for row in wb["Start here"].iter_rows() for c in row if c.value]
    for plan in (HOUSE_PLAN, *PLANS):
        assert plan.name in start
        assert all(column.note in start for column in plan.columns)


@pytest.mark.sheet
@pytest.mark.slow
def test_a_spreadsheet_program_opens_and_saves_it_without_loss(tmp_path: Path) -> None:
    """LibreOffice reads our file and writes its own: shared strings, its formats, no comments of ours needed."""
    program = shutil.which("soffice")
    if program is None:
        pytest.skip("no spreadsheet program (soffice) on this machine")
    book = read_json(sample_book())
    write_starter(tmp_path / "bar.xlsx", book)
    wb = load_workbook(tmp_path / "bar.xlsx")
    wb["Packs"].cell(FIRST_ROW, 7).value = "=10+2.5"  # worked out by the program, so that it counts
    wb.save(tmp_path / "bar.xlsx")
    profile = f"-env:UserInstallation={(tmp_path / 'profile').as_uri()}"
    into = ["--headless", "--convert-to", "xlsx", "--outdir", str(tmp_path / "saved")]
    call = [program, profile, *into, str(tmp_path / "bar.xlsx")]
    subprocess.run(call, check=True, capture_output=True, timeout=300)
    again = read_starter(tmp_path / "saved" / "bar.xlsx")
    first = min(book.all(Quote).values(), key=lambda q: (q.good, q.supplier, q.since, q.id))
    unlike = [line for line in differences(book, again) if not line.startswith(LEFT_OUT)]
    assert unlike == [f"quote {first.id}, price: {first.price} is 12.5"]
