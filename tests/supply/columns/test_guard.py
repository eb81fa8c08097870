"""A remembered map fits the file that it was made of, and stops every file that is another list."""

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

import pytest

from costing.supply.arriving.table import Table
from costing.supply.columns import fits, guess_columns, relocate, shares
from costing.supply.columns.record import signature, table_signature
from tests.supply.columns.making import codes, of_rows, read

HEAD = ["Code", "EAN", "Name", "Bottles per case", "Content", "Case price EUR ex VAT", "Price per bottle", "Valid from"]
Rows = list[list[str]]


def check(digits: str) -> str:
    """GS1, How to calculate a check digit manually: weights 3, 1, 3, 1 from the right."""
    total = sum(int(d) * (3 if i % 2 == 0 else 1) for i, d in enumerate(reversed(digits)))
    return digits + str(-total % 10)


def rows(n: int = 40) -> Rows:
    out = [["North Quay spirits", *[""] * 7], HEAD.copy()]
    for i in range(n):
        each = Decimal(950 + 37 * i) / 100
        out.append([
            f"NS-{i:03d}", check(f"29000000{i:04d}"), f"Harbour spirit no {i} alpha", "6", "70 cl",
            f"{each * 6:.2f}".replace(".", ","), f"{each:.2f}".replace(".", ","), f"{13 + i % 10:02d}/12/2026",
        ])  # fmt: skip
    return out


def made(of: Rows, **more: object) -> Table:
    return of_rows(of, sheet="Prices", **more)


MAP = guess_columns(made(rows())).columns


def change(column: int, to: Callable[[str, int], str]) -> Rows:
    """The list with every cell of one column changed."""
    out = rows()
    for i, row in enumerate(out[2:]):
        row[column] = to(row[column], i)
    return out


def head(column: int, text: str) -> Rows:
    out = rows()
    out[1][column] = text
    return out


def moved() -> Rows:
    return [[*row[:5], row[6], row[5], row[7]] for row in rows()]


def found(table: Table) -> set[str]:
    return {doubt.code for doubt in fits(table, MAP)}


def test_the_map_of_a_file_fits_it() -> None:
    table = made(rows())
    assert fits(table, MAP) == ()
    assert fits(table, MAP, shares(table, MAP)) == ()
    assert signature(MAP) == table_signature(table, MAP)
    assert {code for line in read(table, MAP) for code in codes(line)} == set()


def test_next_weeks_prices_and_a_longer_preamble_fit_too() -> None:
    later = rows(55)
    for row in later[2:]:
        row[5], row[6] = "72,00", "12,00"
    later.insert(1, ["Week 50", *[""] * 7])
    table = made(later)
    assert fits(table, MAP) == ()
    assert table_signature(table, MAP) == signature(MAP)
    assert len(read(table, MAP)) == 55


MUTATIONS: dict[str, tuple[Rows, str]] = {
    "headings moved": (moved(), "heading-moved"),
    "heading renamed": (head(5, "Recommended price EUR"), "heading-renamed"),
    "heading missing": (head(5, ""), "heading-missing"),
    "a column more": ([[*row, "x"] for row in rows()], "width-differs"),
    "a column less": ([row[:-1] for row in rows()], "width-differs"),
    "price no longer numbers": (change(5, lambda cell, i: "see page" if i % 5 == 0 else cell), "price-not-numbers"),
    "decimal mark": (change(5, lambda cell, i: cell.replace(",", ".")), "decimal-changed"),
    "decimal marks mixed": (change(5, lambda cell, i: cell.replace(",", ".") if i % 2 else cell), "decimal-mixed"),
    "check digits": (change(1, lambda cell, i: cell[:-1] + str((int(cell[-1]) + 1) % 10)), "gtin-fails"),
    "codes not unique": (change(0, lambda cell, i: f"NS-{i // 4}"), "code-not-unique"),
    "tax words": (head(5, "Case price EUR inc VAT"), "tax-is-now-in"),
    "currency": (head(5, "Case price GBP ex VAT"), "currency-changed"),
    "currency of cells": (change(5, lambda cell, i: f"£ {cell}"), "currency-changed"),
    "packs unread": (change(4, lambda cell, i: "bottle" if i % 3 else cell), "packs-unread"),
    "price is the unit price": (
        change(5, lambda cell, i: f"{(950 + 37 * i) / 100:.2f}".replace(".", ",")), "price-is-now-of-piece",
    ),
    "unit prices disagree": (change(6, lambda cell, i: "9,99"), "unit-price-differs-now"),
    "order of days": (change(7, lambda cell, i: f"12/{cell[:2]}/2026"), "days-now-month-first"),
    "no lines": (rows(0), "no-price-lines"),
}  # fmt: skip


@pytest.mark.parametrize("name", MUTATIONS)
def test_every_mutation_is_named(name: str) -> None:
    given, code = MUTATIONS[name]
    odd = fits(made(given), MAP)
    assert code in {doubt.code for doubt in odd}
    for doubt in odd:
        assert dict(doubt.values) or "-is-now-" in doubt.code or "-now-" in doubt.code, (
            f"{doubt.code} says neither what was expected nor what was found"
        )


def test_the_sheet_that_is_missing_is_named() -> None:
    odd = fits(replace(made(rows()), sheet="Wines", others=("Beers",)), MAP)
    assert {d.code: dict(d.values) for d in odd} == {
        "sheet-missing": {"expected": "Prices", "found": "Wines", "others": "Beers"}
    }


def test_shares_are_held_against_what_they_were() -> None:
    """The packs of a list that were half unread when it was confirmed do not stop it; unremembered they would."""
    half = made(change(4, lambda cell, i: "bottle" if i % 2 else cell))
    was = shares(half, MAP)
    assert fits(half, MAP, was) == ()
    worse = made(change(4, lambda cell, i: "bottle" if i % 3 else cell))
    assert {d.code for d in fits(worse, MAP, was)} == {"packs-unread"}


def test_columns_that_moved_are_proposed_at_their_new_places() -> None:
    table = made(moved())
    proposed = relocate(table, MAP)
    assert proposed is not None
    assert {use.role: use.column for use in proposed.uses} == {
        "code": 0, "gtin": 1, "name": 2, "count": 3, "content": 4, "price": 6, "price_each": 5, "since": 7,
    }  # fmt: skip
    assert fits(table, proposed) == ()
    assert [line.price for line in read(table, proposed)] == [line.price for line in read(made(rows()), MAP)]


def test_nothing_is_proposed_where_nothing_moved_or_a_heading_is_gone() -> None:
    assert relocate(made(rows()), MAP) is None
    assert relocate(made(head(5, "Recommended price")), MAP) is None
    twice = [[*row[:5], row[6], row[5], row[5]] for row in rows()]
    assert relocate(made(twice), MAP) is None


def test_reading_by_a_map_whose_headings_are_gone_says_so() -> None:
    out = read(made(head(5, "Recommended price EUR")), MAP)
    assert [d.code for d in out.doubts][:1] == ["heading-differs"]
