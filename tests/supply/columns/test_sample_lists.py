"""The two lists of the sample, as they are meant (the files are made by sample_data/make.py)."""

from datetime import date
from decimal import Decimal
from pathlib import Path

from costing.book.records import Break
from costing.supply.arriving.table import Table
from costing.supply.columns import fits, guess_columns
from costing.supply.readers.tables import read_table
from tests.supply.columns.making import codes, read, the

PRICES = Path(__file__).parents[3] / "sample_data" / "prices"


def sample(name: str) -> Table:
    return read_table((PRICES / name).read_bytes(), name)


def quay() -> Table:
    return sample("north-quay-week-49.csv")


def casks() -> Table:
    return sample("ropewalk-casks-2026-12-01.xlsx")


def test_the_weekly_list_of_fruit() -> None:
    made = read(quay())
    assert (len(made), len(made.left_out), made.currency, made.doubts) == (21, 14, "EUR", ())
    first = made[0]
    assert (first.code, first.price, first.per, first.tax, first.currency) == (
        "NQ-101", Decimal("22.40"), "pack", "ex", "EUR",
    )  # fmt: skip
    assert (first.since, first.until) == (date(2026, 11, 30), date(2026, 12, 6))
    assert first.said("since") == "gültig 30.11.2026 – 06.12.2026"
    assert first.pack is not None
    assert the(first.pack.total, first.pack.unit, first.where, first.section) == (
        8000, "g", "row 6", "FRUIT & VEGETABLES",
    )  # fmt: skip
    by_code = {line.code: line for line in made}
    assert by_code["NQ-117"].price == Decimal("1024.00")
    assert by_code["NQ-102"].breaks == (Break(packs=Decimal(5), price=Decimal("22.90")),)
    assert codes(by_code["NQ-102"]) == {"break-from-text"}
    assert codes(by_code["NQ-113"]) == {"on-request"}
    assert by_code["NQ-113"].price is None
    assert by_code["NQ-123"].price == Decimal("15.90")
    assert {code for line in made for code in codes(line)} == {"break-from-text", "on-request"}
    assert [one.why for one in made.left_out] == [
        "preamble", "preamble", "empty", "heading", "group", "page", "empty", "heading-again", "group", "group",
        "group",
        "empty", "note", "page",
    ]  # fmt: skip


def test_the_list_of_casks() -> None:
    made = read(casks())
    assert (len(made), made.currency, made.doubts, {code for line in made for code in codes(line)}) == (
        23, "EUR", (), set(),
    )  # fmt: skip
    first = made[0]
    assert (first.code, first.gtin, first.price, first.per, first.tax) == (
        "RC-201", "02900000002012", Decimal("86.4"), "pack", "ex",
    )  # fmt: skip
    assert the(first.pack and (first.pack.levels, first.pack.content), first.since) == (((6,), 700), date(2026, 12, 1))
    assert {line.code: line.deposit for line in made if line.deposit is not None} == {
        "RC-240": 30, "RC-241": Decimal("3.42"), "RC-250": Decimal("3.3"), "RC-251": Decimal("4.5"),
    }  # fmt: skip


def test_the_map_of_a_file_fits_that_file() -> None:
    for made in (quay(), casks()):
        guess = guess_columns(made)
        assert guess.doubts == ()
        assert fits(made, guess.columns) == ()
        assert min(sure for _, sure in guess.certainty) >= 0.6
        assert read(made, guess.columns).lines == read(made).lines


def test_the_list_of_dry_goods_with_a_merged_heading() -> None:
    made = read(sample("customs-street-2026-12-10.xlsx"))
    use = {use.role: use.header for use in guess_columns(sample("customs-street-2026-12-10.xlsx")).columns.uses}
    assert (use["count"], use["pack"]) == ("Pack / units", "Pack / content")
    packs = {line.code: the(line.pack.levels, line.pack.total, line.pack.unit) for line in made if line.pack}
    assert packs["00302"] == ((6,), 6000, "g")
    # ten bags of 500 at 63.00, and the "bottle" of 6.30 is a bag
    assert packs["00331"] == ((10, 500), 5000, "each")
    assert packs["00330"] == ((1, 500), 500, "each")
    assert not {code for line in made for code in codes(line)} - {"may-be-charge", "formula-no-value"}
