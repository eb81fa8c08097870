"""Tables for other programs: true figures, text that stays text, the same figures as the book's."""

import csv
import io
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from costing.book.change import put
from costing.book.records import Good, Serve
from costing.ledger import reckon
from costing.paths import sample_book
from costing.pricing import priced_serves
from costing.report import Contents, contents
from costing.report.csvfile import RISKY, allergens, drinks, losses, menu, prices, safe, table
from costing.store import read_json

DAY = date(2026, 11, 1)
MAKERS = (prices, drinks, menu, losses, allergens)


@pytest.fixture(scope="module")
def said() -> Contents:
    """The sample bar."""
    return contents(reckon(read_json(sample_book()).on(DAY)), 1)


def read(data: bytes) -> list[dict[str, str]]:
    """The rows as any program reads them."""
    return list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"), newline="")))


@pytest.mark.parametrize("maker", MAKERS, ids=lambda m: m.__name__)
def test_every_row_has_every_column(maker, said: Contents) -> None:  # type: ignore[no-untyped-def]
    rows = list(csv.reader(io.StringIO(maker(said).decode("utf-8-sig"), newline="")))
    assert len(rows) > 5
    assert {len(row) for row in rows} == {len(rows[0])}
    assert len(set(rows[0])) == len(rows[0])


def test_the_figures_are_those_of_the_book(said: Contents) -> None:
    found = {(r["menu"], r["section"], r["serve"]): r for r in read(menu(said))}
    priced = priced_serves(reckon(read_json(sample_book()).on(DAY)))
    names = {m.menu for m in said.menu}
    assert len(found) == len(priced)
    for p in priced:
        row = next(r for (m, s, ident), r in found.items() if ident == p.serve.id and s == p.section and m in names)
        assert float(row["base_cost"]) == p.base, "to the last digit"
        if p.price is not None:
            assert Decimal(row["price"]) == p.price.all_in
            assert Decimal(row["net"]) == p.price.net
        assert row["target_is"] == {True: "met", False: "missed", None: ""}[p.on_target]


def test_a_batch_closes_in_the_table(said: Contents) -> None:
    stages: dict[tuple[str, str], list[dict[str, str]]] = {}
    for row in read(losses(said)):
        stages.setdefault((row["preparation"], row["step"]), []).append(row)
    for key, (into, *out) in stages.items():
        assert sum(float(r["kg"]) for r in out) == pytest.approx(float(into["kg"]), rel=1e-9), key


def test_allergens_say_what_the_table_says(said: Contents) -> None:
    rows = read(allergens(said))
    assert said.allergens is not None
    assert [r["id"] for r in rows] == [r.id for r in said.allergens.rows]
    for row, true in zip(rows, said.allergens.rows, strict=True):
        assert [row[name] for name in said.allergens.names] == [f.state for f in true.findings]


def test_text_stays_text_and_figures_stay_figures() -> None:
    data = table(["a", "b", "c", "d", "e"], [["=1+1", -1.5, Decimal("-2.50"), None, date(2026, 11, 1)]])
    assert data.decode("utf-8-sig") == "a,b,c,d,e\r\n'=1+1,-1.5,-2.50,,2026-11-01\r\n"


@given(st.text(max_size=30))
def test_no_text_begins_like_a_formula_and_none_is_lost(text: str) -> None:
    written = safe(text)
    assert not written.startswith(RISKY)
    assert written.removeprefix("'") == text or written == text
    if "\x00" not in text and not any(0xD800 <= ord(ch) < 0xE000 for ch in text):
        (_, row) = csv.reader(io.StringIO(table(["a", "b"], [[text, "end"]]).decode("utf-8-sig"), newline=""))
        assert row == [written, "end"]


def test_names_that_would_run_do_not(said: Contents) -> None:
    book = read_json(sample_book())
    good, serve = book.all(Good)["pineapple"], book.all(Serve)["harbour-light"]
    bad = book.with_changes(
        [
            put("good", replace(good, name='=cmd|" /C calc"!A0'), good),
            put("serve", replace(serve, name="@SUM(1+1)*2\nsecond line"), serve),
        ]
    )
    risky = contents(reckon(bad.on(DAY)), 1)
    for maker in MAKERS:
        for row in csv.reader(io.StringIO(maker(risky).decode("utf-8-sig"), newline="")):
            for cell in row:
                assert not cell.startswith(("=", "@", "+", "\t", "\r"))
                if cell.startswith("-"):
                    float(cell)
