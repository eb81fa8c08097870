"""What exports of tills are really like, one kind a test. The figures are worked out by hand beside each; the rules are
common practice, no source."""

from datetime import date
from decimal import Decimal

import pytest

from costing.book.selling import SoldAt
from costing.supply.till.words import sales_doubt_text
from tests.supply.till.tills import USUAL, bar, codes, flags, leaves, period, plan, sells, sold, waits

D = Decimal
# 12.00 with 19 % tax in it is 10.08 without and 1.92 of tax (to the cent); 10.00 is 8.40 and 1.60; 6.00 is 5.04, 0.96
HEAD = "Business day,Code,Item,Qty,Gross,Discount,Net,VAT,Flag"


def test_modifiers_are_nothing_a_swap_or_a_drink_of_their_own() -> None:
    made = plan(
        """
        Date,Time,Check,Item,Qty,Gross,Net,VAT
        2026-08-31,20:10,71,SOUR,2,24.00,20.17,3.83
        2026-08-31,20:10,71,NO ICE,1,0.00,0.00,0.00
        2026-08-31,20:10,71,SMOKE IT,1,2.00,1.68,0.32
        2026-08-31,20:10,71,SHOT,1,3.00,2.52,0.48
        2026-08-31,20:15,72,LONG,1,10.00,8.40,1.60
        """
    )
    found = period(made)
    assert (found.read, found.mapped, found.ignored, found.unmapped) == (5, 4, 1, 0)
    # one of the two sours became a smoke sour: half of its net, and what the smoke costs
    assert sold(made, "sour").count == 1
    assert sold(made, "sour").net == D("10.085")
    smoke = sold(made, "smoke")
    assert (smoke.count, smoke.net) == (D(1), D("10.085") + D("1.68"))
    assert smoke.prices == (SoldAt(each=D("14.00"), count=D(1)),)
    assert (sold(made, "shot").count, sold(made, "shot").net) == (D(1), D("2.52"))
    assert (sold(made, "long").count, sold(made, "long").net) == (D(1), D("8.4"))


def test_a_parent_column_says_which_drink_is_changed() -> None:
    made = plan(
        """
        Date,Check,Line,Item,Parent item,Qty,Gross,Net,VAT
        2026-08-31,71,1,SOUR,,1,12.00,10.08,1.92
        2026-08-31,71,2,LONG,,1,10.00,8.40,1.60
        2026-08-31,71,3,SMOKE IT,1,1,0.00,0.00,0.00
        2026-08-31,72,1,LONG,,1,10.00,8.40,1.60
        2026-08-31,72,2,SHOT,LONG,1,3.00,2.52,0.48
        """
    )
    assert {one.serve: one.count for one in period(made).sold} == {"smoke": 1, "long": 2, "shot": 1}


def test_a_swap_without_a_drink_waits_and_is_named() -> None:
    made = plan(
        """
        Date,Check,Item,Qty,Gross,Net,VAT
        2026-08-31,71,SMOKE IT,1,2.00,1.68,0.32
        2026-08-31,72,SOUR,1,12.00,10.08,1.92
        """
    )
    assert [(left.text, left.rows) for left in waits(made)] == [("SMOKE IT", 1)]
    assert "sales-instead-alone" in codes(made.doubts)
    more = plan("Date,Check,Item,Qty,Net\n2026-08-31,1,SOUR,1,12\n2026-08-31,1,SMOKE IT,2,0", tax="inc")
    assert "sales-instead-more" in codes(more.asked)


def test_one_drink_at_several_prices_is_one_volume_and_a_histogram() -> None:
    made = plan(
        f"""
        {HEAD}
        2026-08-31,1,SOUR,3,36.00,0,30.25,5.75,
        2026-09-01,1,SOUR,2,24.00,6.00,15.13,2.87,
        2026-09-02,1,SOUR,1,9.00,0,7.56,1.44,
        """
    )
    sour = sold(made, "sour")
    assert (sour.count, sour.net, sour.days) == (D(6), D("52.94"), 3)
    assert sour.prices == (SoldAt(each=D("9.00"), count=D(3)), SoldAt(each=D("12.00"), count=D(3)))


def test_what_is_given_is_used_and_never_sold() -> None:
    made = plan(
        f"""
        {HEAD}
        2026-08-31,1,SOUR,3,36.00,0,30.25,5.75,
        2026-08-31,1,SOUR,1,12.00,12.00,0,0,C
        2026-08-31,1,SOUR,2,24.00,24.00,0,0,S
        2026-08-31,1,SOUR,1,12.00,12.00,0,0,
        """
    )
    sour = sold(made, "sour")
    assert (sour.count, sour.given, sour.made, sour.net) == (D(3), D(4), D(7), D("30.25"))
    assert {mark.mark: (mark.flag, mark.how) for mark in made.marks} == {
        "C": ("given", "money"), "S": ("given", "money"),
    }  # fmt: skip
    assert "sales-price-zero" in codes(made.doubts)  # the last one bears no mark: said


def test_voids_before_and_after_making_and_refunds() -> None:
    made = plan(
        f"""
        {HEAD}
        2026-08-31,1,SOUR,6,72.00,0,60.50,11.50,
        2026-08-31,1,SOUR,-1,-12.00,0,-10.08,-1.92,V
        2026-08-31,1,SOUR,-1,-12.00,0,-10.08,-1.92,W
        2026-08-31,1,SOUR,-2,-24.00,0,-20.17,-3.83,
        2026-08-31,1,LONG,1,10.00,0,8.40,1.60,
        2026-08-31,1,LONG,2,20.00,0,16.81,3.19,Storno
        2026-08-31,1,LONG,1,10.00,10.00,0,0,waste
        """
    )
    sour = sold(made, "sour")
    assert (sour.count, sour.given, sour.wasted, sour.refunded, sour.made) == (D(2), D(0), D(1), D(2), D(5))
    assert sour.net == D("60.50") - D("10.08") * 2 - D("20.17")
    long = sold(made, "long")
    assert (long.count, long.wasted, long.net) == (D(1), D(1), D("8.4"))
    (void,) = [left for left in period(made).left if left.reason == "before it was made"]
    assert (void.text, void.rows, void.count) == ("LONG", 1, D(2))
    assert "sales-refund-unmarked" in codes(made.doubts)


def test_a_void_whose_reason_speaks_of_waste_was_made() -> None:
    made = plan(
        """
        Date,Check,Item,Qty,Net,VAT,Gross,Void?,Void reason
        2026-08-31,1,SOUR,2,20.17,3.83,24.00,no,
        2026-08-31,1,SOUR,-1,-10.08,-1.92,-12.00,yes,spilled at the pass
        """
    )
    assert (sold(made, "sour").count, sold(made, "sour").wasted) == (D(1), D(1))


def test_a_mark_that_is_not_known_is_asked() -> None:
    text = f"{HEAD}\n2026-08-31,1,SOUR,1,12.00,0,10.08,1.92,Q"
    asked = plan(text)
    assert codes(asked.asked) == {"sales-mark-unknown"}
    assert asked.count("waiting") == 1
    assert sold(plan(text, flags=flags(Q="sold")), "sour").count == 1
    # C on a row that brought money is consistent with no meaning of C
    assert codes(plan(text.replace("1.92,Q", "1.92,C")).asked) == {"sales-mark-unknown"}


def test_signs_that_contradict_each_other_are_asked() -> None:
    made = plan(f"{HEAD}\n2026-08-31,1,SOUR,1,-12.00,0,-10.08,-1.92,\n2026-08-31,1,SOUR,9,108.00,0,90.76,17.24,")
    assert codes(made.asked) == {"sales-sign"}
    refund = plan(
        f"{HEAD}\n2026-08-31,1,SOUR,1,-12.00,0,-10.08,-1.92,refund\n2026-08-31,1,SOUR,9,108.00,0,90.76,17.24,"
    )
    assert (sold(refund, "sour").count, sold(refund, "sour").refunded) == (D(8), D(1))


def test_keys_of_money_are_ignored_with_their_reason_and_only_when_somebody_says_so() -> None:
    text = f"{HEAD}\n2026-08-31,1,SOUR,1,12.00,0,10.08,1.92,\n2026-08-31,9,GUTSCHEIN 50,1,50.00,0,50.00,0,"
    made = plan(text)
    assert [(left.text, left.net) for left in waits(made)] == [("GUTSCHEIN 50", D(50))]
    (key,) = made.waiting
    assert (key.suggested[0].sort, key.suggested[0].reason, key.suggested[0].why) == ("left", "money key", "word")
    said = plan(text, buttons=(leaves("GUTSCHEIN 50", "money key", code="9"),))
    assert period(said).unmapped == 0
    assert [(left.text, left.reason) for left in period(said).left] == [("GUTSCHEIN 50", "money key")]


def test_a_set_is_shared_by_printed_prices_or_as_said() -> None:
    text = f"{HEAD}\n2026-08-31,7,DUO,2,30.00,0,25.21,4.79,"
    made = plan(text, bar(sells("DUO", "sour", "lager", code="7")))
    # 12.00 and 6.00 are printed: two thirds and one third of 25.21
    assert (sold(made, "sour").count, sold(made, "sour").net) == (D(2), D("16.8067"))
    assert (sold(made, "lager").count, sold(made, "lager").net) == (D(2), D("8.4033"))
    assert sold(made, "lager").prices == (SoldAt(each=D("5.00"), count=D(2)),)
    by_hand = plan(text, bar(sells("DUO", "sour", "lager", code="7", shares=("0.5", "0.5"))))
    assert sold(by_hand, "sour").net == sold(by_hand, "lager").net == D("12.605")
    rows = f"{HEAD.replace('Flag', 'Parent item')}\n2026-08-31,7,DUO,1,15.00,0,12.61,2.39,\n"
    inside = plan(rows + "2026-08-31,1,LAGER,1,0,0,0,0,DUO", bar(*USUAL, sells("DUO", "sour", "lager", code="7")))
    assert sold(inside, "lager").made == 1  # and not another one given
    assert [left.reason for left in period(inside).left] == ["modifier"]


def test_a_set_without_a_printed_price_is_asked() -> None:
    book = bar(sells("DUO", "sour", "lager", code="7"))
    bare = type(book)({key: record for key, record in book.records.items() if key[0] != "menu"})
    made = plan(f"{HEAD}\n2026-08-31,7,DUO,2,30.00,0,25.21,4.79,", bare)
    assert codes(made.asked) == {"sales-combo-price"}


NIGHT = """
    Date,Time,Check,Item,Qty,Gross,Net,VAT
    01/09/2026,23:50,1,SOUR,1,12.00,10.08,1.92
    02/09/2026,01:10,1,SOUR,1,12.00,10.08,1.92
    02/09/2026,05:00,2,LONG,1,10.00,8.40,1.60
    13/09/2026,20:00,3,LONG,1,10.00,8.40,1.60
"""


def test_the_night_belongs_to_the_day_before() -> None:
    made = plan(NIGHT)
    assert [row.day for row in made.lines.rows][:3] == [date(2026, 9, 1), date(2026, 9, 1), date(2026, 9, 2)]
    assert sold(made, "sour").days == 1
    later = plan(NIGHT, day_ends=6)
    assert later.lines.rows[2].day == date(2026, 9, 1)
    # a column of business days holds them already
    as_said = plan(NIGHT.replace("Date,", "Business day,"))
    assert as_said.lines.rows[1].day == date(2026, 9, 2)
    stamps = plan("Closed date,Item,Qty,Net\n2026-09-02 00:30,SOUR,1,12\n2026-09-02 21:00,SOUR,1,12", tax="inc")
    assert [row.day for row in stamps.lines.rows] == [date(2026, 9, 1), date(2026, 9, 2)]
    # the night before the first day is in no other file: it is counted here, and said
    assert (period(stamps).since, period(stamps).until) == (date(2026, 9, 2), date(2026, 9, 2))
    assert "sales-night-before" in codes(stamps.doubts)


def test_totals_and_headings_inside_the_data_are_ignored_and_held_against_the_rows() -> None:
    made = plan(
        """
        Item,Qty,Gross,Net,VAT
        Cocktails
        SOUR,3,36.00,30.25,5.75
        LONG,2,20.00,16.81,3.19
        Total Cocktails,5,56.00,47.06,8.94
        Page 1 of 2
        Item,Qty,Gross,Net,VAT
        LAGER,4,24.00,20.17,3.83
        ,4,24.00,20.17,3.83
        Grand total,9,81.00,67.23,12.77
        """,
        since=date(2026, 8, 31),
        until=date(2026, 9, 6),
    )
    found = period(made)
    assert (found.read, found.mapped, found.ignored) == (9, 3, 6)
    assert {fate.n: fate.why for fate in made.fates if fate.fate == "ignored"} == {
        2: "group", 5: "total", 6: "page", 7: "heading-again", 9: "total", 10: "total",
    }  # fmt: skip
    assert {one.n: one.differs for one in made.lines.totals} == {5: (), 9: (), 10: (("gross", D("81.00"), D("80.00")),)}
    (said,) = [sales_doubt_text(one) for one in made.doubts if one.code == "sales-total-differs"]
    assert said == "row 10, “Grand total”: money before discount 81.00, and the rows add up to 80.00"


def test_a_drink_whose_name_begins_like_a_total_is_a_drink() -> None:
    made = plan(f"{HEAD}\n2026-08-31,8,TOTAL ECLIPSE,2,24.00,0,20.17,3.83,\n2026-08-31,1,SOUR,1,12.00,0,10.08,1.92,")
    assert [left.text for left in waits(made)] == ["TOTAL ECLIPSE"]


def test_fractions_are_counted_as_they_are() -> None:
    made = plan(f"{HEAD}\n2026-08-31,1,LAGER,0.5,3.00,0,2.52,0.48,\n2026-08-31,1,LAGER,2.25,13.50,0,11.34,2.16,")
    assert (sold(made, "lager").count, sold(made, "lager").net) == (D("2.75"), D("13.86"))


def test_a_renamed_button_is_asked_with_its_old_meaning() -> None:
    book = bar(sells("SOUR", "sour", code="11"))
    text = f"{HEAD}\n2026-08-31,11,HARBOR SR,1,12.00,0,10.08,1.92,"
    made = plan(text, book)
    (seen,) = made.waiting
    assert (seen.suggested[0].why, seen.suggested[0].serve, seen.suggested[0].like) == ("renamed", "sour", "SOUR")
    # even where the new text is the name of another drink
    (other,) = plan(text.replace("HARBOR SR", "Smoke Sour"), book).waiting
    assert other.suggested[0].serve == "sour"
    said = plan(text, book, buttons=(sells("HARBOR SR", "sour", code="11"),))
    assert sold(said, "sour").count == 1
    assert [(button.code, button.text) for button in said.new_buttons] == [("11", "HARBOR SR")]
    (moved,) = plan(text.replace("11,HARBOR SR", "12,SOUR"), book).waiting
    assert moved.suggested[0].why == "other code"


def test_the_very_name_of_a_drink_is_sure() -> None:
    made = plan(f"{HEAD}\n2026-08-31,3,harbour sour,1,12.00,0,10.08,1.92,", bar())
    assert sold(made, "sour").count == 1
    assert [(one.state, one.text) for one in made.buttons] == [("sure", "harbour sour")]
    assert [(button.text, button.parts[0].serve) for button in made.new_buttons] == [("harbour sour", "sour")]


@pytest.mark.parametrize(
    ("cells", "count"),
    [
        (("1.204", "0,5"), D("1204.5")),
        (("1.204", "0.5"), D("1.704")),
        (("1,204", "1,204.5"), D("2408.5")),
        (("1.204", "12.000.000"), D("12001204")),
    ],
)
def test_how_many_is_read_by_the_whole_column(cells: tuple[str, str], count: Decimal) -> None:
    rows = "".join(f"2026-08-31;SOUR;{cell}\n" for cell in cells)
    made = plan("Business day;Item;Qty\n" + rows)
    assert sold(made, "sour").count == count


def test_how_many_that_may_be_two_numbers_is_asked() -> None:
    text = "Business day;Item;Qty;Net\n2026-08-31;SOUR;1.204;12,50\n2026-08-31;LONG;12;1,20"
    asked = plan(text, tax="inc")
    assert codes(asked.asked) == {"sales-decimal-open"}
    assert not asked.periods
    assert sold(plan(text, tax="inc", decimal=","), "sour").count == 1204
    assert sold(plan(text, tax="inc", decimal="."), "sour").count == D("1.204")
    # 1.204 x 2,00 = 2.408,00 comes out in one way only
    proved = "Business day;Item;Qty;Price;Gross;Net\n2026-08-31;SOUR;1.204;2,00;2.408,00;2.408,00"
    assert sold(plan(proved, tax="inc"), "sour").count == 1204
    mixed = plan("Business day;Item;Qty\n2026-08-31;SOUR;1.204,5\n2026-08-31;SOUR;2.5")
    (said,) = [sales_doubt_text(one) for one in mixed.asked]
    assert "“1.204,5” (row 2) and “2.5” (row 3)" in said


def test_one_way_of_writing_days_a_column() -> None:
    by_day = plan("Date;Item;Qty\n01/09/2026;LAGER;1\n13/09/2026;LAGER;1")
    assert (period(by_day).since, period(by_day).until) == (date(2026, 9, 1), date(2026, 9, 13))
    by_month = plan("Date;Item;Qty\n12/28/2025;LAGER;1\n01/09/2026;LAGER;1")
    # compared as text "01/09/2026" would come before "12/28/2025"
    assert (period(by_month).since, period(by_month).until) == (date(2025, 12, 28), date(2026, 1, 9))
    open_days = "Date;Item;Qty\n01/09/2026;LAGER;1\n02/09/2026;LAGER;1"
    assert codes(plan(open_days).asked) == {"day-order"}
    assert period(plan(open_days, days="mdy")).since == date(2026, 1, 9)
    assert period(plan(open_days, days="dmy")).since == date(2026, 9, 1)
    for other in ("09/13/2026", "2026-09-02", "02.09.2026", "2 Sep 2026"):
        mixed = plan(f"Date;Item;Qty\n13/09/2026;LAGER;1\n{other};LAGER;1")
        said = [sales_doubt_text(one) for one in mixed.asked if one.code == "sales-days-mixed"]
        assert len(said) == 1
        assert "13/09/2026" in said[0]
        assert other in said[0]
        assert "row 2" in said[0]
        assert "row 3" in said[0]
    contrary = plan("Date;Item;Qty\n13/09/2026;LAGER;1", days="mdy")
    assert "days-now-day-first" in codes(contrary.asked)
