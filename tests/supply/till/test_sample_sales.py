"""The sample's twelve weekly files against its buttons, and against sums that pandas makes of the same files."""

from datetime import date
from decimal import Decimal
from functools import cache
from pathlib import Path

import pandas as pd

from costing.book import Book
from costing.book.plain import record_from_plain
from costing.book.selling import Button, SalesPeriod
from costing.edits.tills import take_sales
from costing.paths import sample_book
from costing.store import read_json
from costing.supply.till.arrive import arrive_sales
from costing.supply.till.plan_record import SalesPlan
from sample_data import sales, till

FILES = sorted((Path(sales.__file__).parent / "sales").glob("*.csv"))
TODAY = date(2026, 11, 28)


def house() -> Book:
    """The sample without sales, with its buttons and its till."""
    records = {key: record for key, record in read_json(sample_book()).records.items() if key[0] != "sales"}
    for kind, found in (("button", till.BUTTONS), ("till", till.TILLS)):
        records |= {(kind, plain["id"]): record_from_plain(kind, plain) for plain in found}
    return Book(records)


@cache
def imported() -> tuple[Book, tuple[SalesPlan, ...]]:
    """The book with all twelve files, and the plan of each."""
    book, plans = house(), []
    for path in FILES:
        plans.append(arrive_sales(path.read_bytes(), path.name, book, TODAY))
        step = take_sales(book, plans[-1])
        assert step is not None
        book = book.with_changes(step.changes)
    return book, tuple(plans)


def test_twelve_files_import_with_nothing_waiting_and_nothing_asked() -> None:
    book, plans = imported()
    assert len(plans) == 12
    for plan in plans:
        assert (plan.asked, plan.doubts, plan.count("waiting")) == ((), (), 0)
        assert (plan.till, plan.tax.how, plan.tax.formula) == (plan.old_till, "sums", "all")
        assert plan.tax.holds == plan.tax.of == len(plan.lines.rows)
        assert len(plan.lines.totals) == 8  # seven days and the week
        assert not any(total.differs for total in plan.lines.totals)
    assert len(book.all(SalesPeriod)) == 12
    assert {p.days for p in book.all(SalesPeriod).values()} == {7}


def test_counts_and_net_are_what_pandas_adds_up() -> None:
    """An independent reading: pandas over the files, by the meaning of each number of the till."""
    frames = [pd.read_csv(path, skiprows=3, dtype={"PLU": str}, keep_default_na=False) for path in FILES]
    table = pd.concat(frames)
    table = table[table["PLU"] != ""]  # subtotals and totals have none
    parts = {plain["code"]: plain["parts"][0] for plain in till.BUTTONS if "parts" in plain}
    table = table[table["PLU"].isin(list(parts))].copy()
    table["serve"] = table["PLU"].map(lambda plu: parts[plu]["serve"])
    table["menu"] = table["PLU"].map(lambda plu: parts[plu]["menu"])
    table["free"] = table["Flag"].isin(["C", "S"])
    table["cents"] = (table["Net"] * 100).round().astype(int)
    table["paid"] = table["Qty"].where(~table["free"], 0)
    table["given"] = table["Qty"].where(table["free"], 0)
    sums = table.groupby(["serve", "menu"])[["paid", "given", "cents"]].sum()
    book, _ = imported()
    ours: dict[tuple[str, str], list[Decimal]] = {}
    for period in book.all(SalesPeriod).values():
        for one in period.sold:
            line = ours.setdefault((one.serve, one.menu), [Decimal(0)] * 3)
            line[0] += one.count
            line[1] += one.given
            line[2] += (one.net or Decimal(0)) * 100
            assert one.wasted == one.refunded == 0
            assert sum(at.count for at in one.prices) == one.count
    assert {key: tuple(map(int, line)) for key, line in ours.items()} == {
        key: tuple(map(int, values)) for key, values in zip(sums.index, sums.to_numpy(), strict=True)
    }


def test_drinks_made_are_those_that_the_till_was_told_of() -> None:
    book, _ = imported()
    made: dict[str, int] = {}
    for period in book.all(SalesPeriod).values():
        for one in period.sold:
            made[one.serve] = made.get(one.serve, 0) + int(one.made)
    assert made == sales.made(date(2026, 8, 31), date(2026, 11, 22))


def test_the_second_reading_of_a_file_changes_nothing() -> None:
    book, plans = imported()
    again = arrive_sales(FILES[0].read_bytes(), FILES[0].name, book, TODAY)
    assert again.same
    assert take_sales(book, again) is None
    assert again.periods == plans[0].periods


def test_house_keys_are_left_for_their_reasons() -> None:
    book, _ = imported()
    reasons = {left.text: left.reason for p in book.all(SalesPeriod).values() for left in p.left if left.text}
    assert reasons == {"GIFT CARD 50": "money key", "OPEN BAR ITEM": "not named", "NO ICE": "modifier"}
    assert len(book.all(Button)) == len(till.BUTTONS) == 32


def test_a_first_import_suggests_what_the_buttons_mean() -> None:
    """Without any button: the drink that the sample means is among the suggestions of nearly every one."""
    bare = Book({key: record for key, record in house().records.items() if key[0] not in ("button", "till")})
    plan = arrive_sales(FILES[0].read_bytes(), FILES[0].name, bare, TODAY)
    meant = {plain["code"]: plain["parts"][0]["serve"] for plain in till.BUTTONS if "parts" in plain}
    drinks = [one for one in plan.waiting if one.code in meant]
    first = sum(bool(one.suggested) and one.suggested[0].serve == meant[one.code] for one in drinks)
    among = sum(meant[one.code] in {offer.serve for offer in one.suggested} for one in drinks)
    assert (first, among, len(drinks)) == (25, 28, 28)
    keys = {one.text: one.suggested[0].reason for one in plan.waiting if one.code not in meant}
    assert keys == {"GIFT CARD 50": "money key", "OPEN BAR ITEM": "not named", "NO ICE": "modifier"}
