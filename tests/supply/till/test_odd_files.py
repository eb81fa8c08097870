"""Files in which every row can be read and something is wrong all the same. The figures are worked out by hand beside
each; the rules are common practice, no source."""

from datetime import date
from decimal import Decimal

import pytest

from costing.book.change import Step
from costing.book.selling import SalesPeriod, SoldAt
from costing.edits.tills import set_button, take_sales
from costing.supply.till.arrive import arrive_sales
from costing.supply.till.cells import without_times
from costing.supply.till.plan_record import SalesPlan, SalesSaid
from costing.supply.till.stamps import split_stamp
from tests.supply.till.tills import SERVICE, TODAY, USUAL, VAT, bar, codes, leaves, period, plan, sells, sold, waits

D = Decimal


def test_a_discount_printed_below_zero_is_taken_off_and_never_added() -> None:
    made = plan(
        """
        Date,Item,Qty,Gross incl VAT,Discount
        2026-08-31,SOUR,2,24.00,-3.00
        2026-08-31,SOUR,-1,-12.00,1.50
        2026-08-31,LONG,1,10.00,0
        """
    )
    # 24.00 - 3.00 and, taken back, 12.00 - 1.50: 10.50 for one sour, 8.82 without 19 %
    assert (sold(made, "sour").count, sold(made, "sour").net) == (D(1), D("8.8235"))
    assert sold(made, "sour").prices == (SoldAt(each=D("10.50"), count=D(1)),)


def test_sums_say_whether_a_discount_below_zero_is_a_surcharge() -> None:
    head = "Date,Item,Qty,Gross,Discount,Net,VAT\n"
    off = plan(f"{head}2026-08-31,SOUR,2,24.00,-3.00,17.65,3.35\n2026-08-31,LONG,1,10.00,0,8.40,1.60")
    assert off.tax.formula == "all"
    assert sold(off, "sour").prices == (SoldAt(each=D("10.50"), count=D(2)),)
    more = plan(f"{head}2026-08-31,SOUR,2,24.00,-3.00,22.69,4.31\n2026-08-31,LONG,1,10.00,0,8.40,1.60")
    assert sold(more, "sour").prices == (SoldAt(each=D("13.50"), count=D(2)),)


@pytest.mark.parametrize("rate", ["19%", "19 %", "19"])
def test_a_column_of_rates_is_no_tax(rate: str) -> None:
    rows = "".join(f"2026-08-31,SOUR,{n},{12 * n}.00,{rate}\n" for n in (1, 2, 3))
    made = plan(f"Date,Item,Qty,Total,VAT\n{rows}")
    # 6 at 12.00 with 19 % in it: 72.00 / 1.19 = 60.5042
    assert (sold(made, "sour").count, sold(made, "sour").net) == (D(6), D("60.5042"))
    assert sold(made, "sour").prices == (SoldAt(each=D("12.00"), count=D(6)),)


def test_a_service_without_its_tax_does_not_say_what_was_paid() -> None:
    # 12.00 with 5 % service and 19 % on both in it: 12.00 / 1.2495 = 9.60, service 0.48; 9.60 x 1.2495 = 12.00
    book = bar(*USUAL, levies=(SERVICE, VAT))
    made = plan("Date,Item,Qty,Net,Service\n2026-08-31,SOUR,2,19.21,0.96", book, tax="ex")
    assert (sold(made, "sour").net, sold(made, "sour").prices) == (D("19.21"), (SoldAt(each=D("12.00"), count=D(2)),))


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("Mon 23.11.2026", "23.11.2026"), ("Monday, 23 November 2026", "23 November 2026"),
        ("Mo., 23.11.26", "23.11.26"),
        ("Mar 23, 2026", "Mar 23, 2026"), ("mar. 24/11/2026", "24/11/2026"), ("20261123", "2026-11-23"),
        ("20261399", "20261399"),
    ],
)  # fmt: skip
def test_days_with_their_weekday_and_without_any_sign(text: str, day: str) -> None:
    assert split_stamp(text) == (day, "", "")


@pytest.mark.parametrize(
    ("text", "plain"), [("2x", "2"), ("2 x", "2"), ("x2", "2"), ("-1×", "-1"), ("1,5x", "1,5"), ("0x1F", "0x1F")]
)
def test_so_many_times(text: str, plain: str) -> None:
    assert without_times(text) == plain


def test_quantities_with_a_times_sign_and_stamps_under_opened_at() -> None:
    made = plan(
        "Opened at,Item,Qty,Total incl VAT\nMon 31.08.2026 20:00,SOUR,2x,24.00\nMon 31.08.2026 21:00,LONG,1x,10.00"
    )
    assert (period(made).since, period(made).until) == (date(2026, 8, 31), date(2026, 8, 31))
    assert (sold(made, "sour").count, sold(made, "long").count) == (D(2), D(1))


def test_page_feet_with_the_day_of_printing_sell_nothing() -> None:
    made = plan(
        """
        Date,Item,Qty,Total incl VAT
        2026-08-31,SOUR,2,24.00
        Printed 2026-09-07 10:00,,,Page 1/2
        2026-08-31,LONG,1,10.00
        ,Printed by till 3,Page 2/2,
        """
    )
    assert (period(made).read, period(made).mapped, period(made).ignored) == (4, 2, 2)


@pytest.mark.parametrize(
    ("rows", "code"),
    [
        ("2026-08-31,1,1,SOUR,2,2400", "sales-price-far"),  # in cents
        ("2026-08-31,1,1,LAGER,1.5,9.00\n2026-08-31,1,2,SOUR,1.204,14448.00", "sales-price-far"),
        ("2026-08-31,1,1,SOUR,2,12.00\n2026-08-31,1,2,LONG,3,10.00\n2026-08-31,1,3,LAGER,2,6.00", "sales-money-of-one"),
        ("2026-08-31,1,1,SOUR,2,24.00\n2026-08-31,1,1,SOUR,2,24.00", "sales-twice"),
        ("2025-08-31,1,1,SOUR,2,24.00\n2026-08-31,2,1,SOUR,2,24.00", "sales-gap"),
    ],
)  # fmt: skip
def test_what_looks_odd_is_said(rows: str, code: str) -> None:
    made = plan(f"Date,Check,Line,Item,Qty,Total incl VAT\n{rows}")
    assert code in codes(made.doubts)
    assert made.count("counted") == made.read


def test_decimal_marks_that_differ_between_columns_are_said() -> None:
    made = plan("Datum;Artikel;Menge;Umsatz inkl. MwSt\n31.08.2026;SOUR;1.5;18,00\n31.08.2026;LONG;1;10,00")
    assert "sales-marks-differ" in codes(made.doubts)


def test_usual_rows_look_like_nothing_odd() -> None:
    rows = "2026-08-31,1,1,SOUR,2,24.00\n2026-08-31,1,2,SOUR,2,24.00\n2026-09-03,2,1,SOUR,1,6.00"
    made = plan(f"Date,Check,Line,Item,Qty,Total incl VAT\n{rows}")
    assert codes(made.doubts) == set()


OUTLETS = (
    "Outlet,Date,Item,Code,Qty,Total incl VAT\nMain Bar,2026-08-31,NEW,80,2,24.00\nTerrace,2026-08-31,NEW,80,5,60.00"
)


def _file(text: str, **said: object) -> tuple[SalesPlan, SalesPeriod]:
    book = bar(*USUAL)
    made = arrive_sales(text.encode(), "week.csv", book, TODAY, SalesSaid(**said))  # type: ignore[arg-type]
    step = take_sales(book, made)
    assert isinstance(step, Step)
    book = book.with_changes(step.changes)
    again = set_button(book, "NEW", code="80", day=TODAY, parts=sells("NEW", "sour").parts)
    assert isinstance(again, Step)
    (now,) = book.with_changes(again.changes).all(SalesPeriod).values()
    return made, now


def test_rows_of_another_outlet_and_rows_left_by_hand_stay_out_whatever_their_button_gets_to_mean() -> None:
    left = leaves("NEW", "other", code="80")
    _, now = _file(OUTLETS, outlet="Main Bar", buttons=(left,))
    assert [(one.serve, one.count) for one in now.sold] == [("sour", D(2))]
    assert (now.read, now.mapped, now.ignored, now.unmapped) == (2, 1, 1, 0)
    _, by_hand = _file(OUTLETS, leave=frozenset([3]), buttons=(left,))
    assert [(one.serve, one.count) for one in by_hand.sold] == [("sour", D(2))]


def test_an_outlet_is_the_same_however_it_is_spelt() -> None:
    book = bar(*USUAL)
    text = "Outlet,Date,Item,Qty,Total incl VAT\nMain Bar,2026-08-31,SOUR,2,24.00"
    step = take_sales(book, arrive_sales(text.encode(), "a.csv", book, TODAY, SalesSaid(outlet="main bar")))
    assert step is not None
    book = book.with_changes(step.changes)
    again = arrive_sales(text.replace("Main Bar", "MAIN  BAR").encode(), "b.csv", book, TODAY)
    assert [old is not None for old in again.replaces] == [True]
    assert waits(again) == []
