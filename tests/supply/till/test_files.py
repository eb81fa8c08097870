"""Whole files: headings in six languages, days and outlets, periods that take another's place or overlap it."""

import io
from datetime import date, datetime
from decimal import Decimal

import pytest
from openpyxl import Workbook

from costing.book.selling import SalesPeriod, Sold
from costing.supply.arriving.line import Unreadable
from costing.supply.readers.tables import read_table
from costing.supply.till.arrive import arrive_sales
from costing.supply.till.headings import meanings
from costing.supply.till.plan_record import SalesSaid
from costing.supply.till.preview import preview_sales, till_columns
from costing.supply.till.words import sales_doubt_text
from tests.supply.till.tills import TODAY, USUAL, bar, codes, period, plan, sells, sold, waits

D = Decimal
HEAD = "Business day,Code,Item,Qty,Gross,Discount,Net,VAT,Flag"
ROW = "2026-08-31,1,SOUR,1,12.00,0,10.08,1.92,"


@pytest.mark.parametrize(
    "headings",
    [
        "Date,Time,Code,Item,Quantity,Gross sales,Discounts,Net sales,Tax,Void,Check no.,Server,Guests",
        "Datum,Uhrzeit,Artikel-Nr.,Artikelbezeichnung,Menge,Brutto,Rabatt,Netto,MwSt.,Storno,Bon-Nr.,Kellner,Gäste",
        "Date de vente,Heure,Code article,Libellé,Qté vendue,Montant brut,Remise,Montant HT,TVA,Annulé,N° ticket,"
        "Serveur,Couverts",
        "Fecha,Hora,Código,Artículo,Cantidad,Importe bruto,Descuento,Importe neto,IVA,Anulado,Nº ticket,Camarero,"
        "Comensales",
        "Data,Ora,Codice,Articolo,Quantità,Importo lordo,Sconto,Importo netto,IVA,Annullato,Scontrino,Cameriere,"
        "Coperti",
        "Datum,Tijd,Artikelnummer,Omschrijving,Aantal verkocht,Bruto omzet,Korting,Netto omzet,BTW,Retour,Bonnummer,"
        "Medewerker,Gasten",
    ],
)
def test_headings_of_six_languages(headings: str) -> None:
    # as such exports are headed; common practice, no source
    roles = [next(iter(meanings(head)), "") for head in headings.split(",")]
    assert roles == [
        "day", "time", "code", "item", "qty", "gross", "discount", "net", "tax", "flag", "check", "server", "covers",
    ]  # fmt: skip


def test_a_file_of_a_spreadsheet_with_stored_days_and_figures() -> None:
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    for row in (
        ["Opened", None, None, None],
        ["Date", "Item", "Qty", "Net excl. VAT"],
        [datetime(2026, 9, 1, 22, 0), "SOUR", 2, 20.17],
        [datetime(2026, 9, 2, 1, 30), "SOUR", 1.204, 10.08],
    ):
        sheet.append(row)
    out = io.BytesIO()
    book.save(out)
    made = arrive_sales(out.getvalue(), "week.xlsx", bar(*USUAL), TODAY)
    assert (sold(made, "sour").count, sold(made, "sour").net) == (D("3.204"), D("30.25"))
    assert (period(made).since, period(made).until, sold(made, "sour").days) == (date(2026, 9, 1), date(2026, 9, 1), 1)
    sheet.append(["13/09/2026", "SOUR", 1, 10.08])
    torn = io.BytesIO()
    book.save(torn)
    # a sheet that turned some days into dates and left others as text has mixed two orders
    assert "sales-days-mixed" in codes(arrive_sales(torn.getvalue(), "week.xlsx", bar(*USUAL), TODAY).asked)


def test_a_file_without_days_is_of_the_days_that_it_or_somebody_says() -> None:
    rows = "Item,Qty,Net excl. VAT\nSOUR,3,30.24"
    assert codes(plan(rows).asked) == {"sales-no-period"}
    by_hand = period(plan(rows, since=date(2026, 8, 31), until=date(2026, 9, 6)))
    assert (by_hand.since, by_hand.until, by_hand.grain) == (date(2026, 8, 31), date(2026, 9, 6), "period")
    for line in (
        "Period,2026-08-31,2026-09-06", "Zeitraum: 31.08.2026 - 06.09.2026", "du 31 août 2026 au 6 septembre 2026",
        "Sales mix 31.08.2026 to 06.09.2026",
    ):  # fmt: skip
        said = period(plan(f"Item sales\n{line}\nPrinted on 2026-09-07 08:00\n\n{rows}"))
        assert (said.since, said.until) == (date(2026, 8, 31), date(2026, 9, 6))
    one = period(plan(f"Business date 2026-08-31\n\n{rows}"))
    assert (one.since, one.until) == (date(2026, 8, 31), date(2026, 8, 31))
    report = plan(f"Report date: 2026-09-07\n\n{rows}")
    assert codes(report.asked) == {"sales-no-period"}
    torn = plan(f"Period 01/09/2026 to 02/09/2026\n\n{rows}")
    assert codes(torn.asked) == {"sales-no-period"}
    assert "sales-period-unsure" in codes(torn.doubts)


def test_rows_outside_the_days_that_are_said_are_named() -> None:
    text = f"Period,2026-08-31,2026-09-06\n\n{HEAD}\n{ROW}\n{ROW.replace('08-31', '09-09')}"
    made = plan(text)
    (said,) = [sales_doubt_text(one) for one in made.asked]
    assert "2026-08-31 to 2026-09-06" in said
    assert "rows 5" in said
    assert period(plan(text, until=date(2026, 9, 9))).mapped == 2
    left = period(plan(text, leave=frozenset({5})))
    assert (left.mapped, left.ignored) == (1, 1)


def test_a_row_that_cannot_be_read_is_named_and_may_be_left_out() -> None:
    text = f"{HEAD}\n{ROW}\n2026-09-01,1,SOUR,two,12.00,0,10.08,1.92,"
    made = plan(text + "\n2026-09-01,1,SOUR,,12.00,0,10.08,1.92,\n2026-09-41,1,SOUR,1,12.00,0,10.08,1.92,")
    said = sorted(sales_doubt_text(one) for one in made.asked)
    assert [part for part in ("“two”", "2026-09-41", "rows 4") if not any(part in one for one in said)] == []
    assert codes(made.asked) == {"sales-row-unread", "sales-qty-missing"}
    assert made.count("waiting") == 3
    assert period(plan(text, leave=frozenset({3}))).mapped == 1
    assert codes(plan(f"{HEAD}\n{ROW}\n2026-09-01,1,SOUR,1,12.00,0,,1.92,").asked) == {"sales-row-unread"}


def test_an_empty_file_says_so() -> None:
    with pytest.raises(Unreadable, match="is empty"):
        plan("")
    assert codes(plan(HEAD).asked) == {"sales-no-rows", "sales-no-period"}
    # figures without a heading mean nothing
    assert {"sales-no-heading", "sales-no-item", "sales-no-qty"} <= codes(plan("1,2,3\n4,5,6").asked)
    assert codes(plan("Business day,Item,Net\n2026-08-31,SOUR,12.00").asked) == {"sales-no-qty"}


def test_the_same_days_take_the_place_of_what_was_there() -> None:
    first = period(plan(f"{HEAD}\n{ROW}"))
    book = bar(*USUAL, more=(first,))
    again = plan(f"{HEAD}\n{ROW}", book)
    assert again.same
    assert codes(again.doubts) == {"sales-digest"}
    more = plan(f"{HEAD}\n{ROW}\n{ROW}", book, name="again.csv")
    assert (period(more).id, period(more).mapped, period(more).digest != first.digest) == (first.id, 2, True)
    assert "sales-replaces" in codes(more.doubts)
    typed = SalesPeriod(
        id="t", since=date(2026, 8, 31), until=date(2026, 8, 31), sold=(Sold(serve="sour", count=D(9)),)
    )
    assert period(plan(f"{HEAD}\n{ROW}", bar(*USUAL, more=(typed,)))).id == "t"


def test_other_days_that_overlap_are_refused_by_both_names() -> None:
    first = period(plan(f"{HEAD}\n{ROW}"))
    made = plan(f"{HEAD}\n{ROW}\n{ROW.replace('08-31', '09-01')}", bar(*USUAL, more=(first,)))
    (said,) = [sales_doubt_text(one) for one in made.asked]
    for part in ("2026-08-31 to 2026-09-01", "2026-08-31 to 2026-08-31", "week.csv"):
        assert part in said


def test_many_weeks_can_be_split() -> None:
    text = f"{HEAD}\n" + "\n".join(
        ROW.replace("2026-08-31", day) for day in ("2026-08-28", "2026-08-30", "2026-08-31", "2026-09-02", "2026-09-07")
    )
    whole = period(plan(text))
    weeks = plan(text + "\nTOTAL,,,5,60.00,0,50.40,9.60,", split="week")
    assert [(p.since, p.until, p.mapped) for p in weeks.periods] == [
        (date(2026, 8, 28), date(2026, 8, 30), 2), (date(2026, 8, 31), date(2026, 9, 6), 2),
        (date(2026, 9, 7), date(2026, 9, 7), 1),
    ]  # fmt: skip
    assert sum(p.read for p in weeks.periods) == weeks.read == 6
    assert sum((one.net or 0) for p in weeks.periods for one in p.sold) == whole.sold[0].net
    months = plan(text, split="month")
    assert [(p.since, p.until) for p in months.periods] == [
        (date(2026, 8, 28), date(2026, 8, 31)), (date(2026, 9, 1), date(2026, 9, 7)),
    ]  # fmt: skip
    undated = plan("Item,Qty\nSOUR,1", split="week", since=date(2026, 8, 31), until=date(2026, 9, 6))
    assert codes(undated.asked) == {"sales-split-days"}


def test_outlets_are_counted_together_or_one_by_one() -> None:
    text = "Business day,Outlet,Item,Qty\n2026-08-31,Bar,SOUR,1\n2026-08-31,Terrace,SOUR,2"
    both = plan(text)
    assert (sold(both, "sour").count, period(both).outlet) == (D(3), "")
    assert "sales-outlets" in codes(both.doubts)
    one = plan(text, outlet="Terrace")
    assert (sold(one, "sour").count, period(one).outlet, period(one).ignored) == (D(2), "Terrace", 1)
    assert codes(plan(text, outlet="Cellar").asked) >= {"sales-no-outlet"}
    book = bar(*USUAL, more=(period(one),))
    other = plan(text, book, outlet="Bar")
    assert (period(other).outlet, other.replaces) == ("Bar", (None,))  # another outlet on the same days
    assert codes(plan(text, book).asked) == {"sales-overlap"}


def test_guests_and_covers_are_no_drinks() -> None:
    made = plan(f"{HEAD}\n{ROW}\n2026-08-31,99,COVERS,120,0,0,0,0,")
    (seen,) = made.waiting
    assert (seen.suggested[0].sort, seen.suggested[0].reason) == ("left", "other")
    assert [left.text for left in waits(made)] == ["COVERS"]


def test_a_till_is_known_again_by_its_headings_wherever_they_stand() -> None:
    first = plan(f"{HEAD}\n{ROW}\n2026-08-31,1,SOUR,1,12.00,0,10.08,1.92,Q", flags=(("Q", "sold"),), day_ends=4)
    assert first.till is not None
    assert (first.old_till, first.till.flags, first.till.day_ends) == (None, (("Q", "sold"),), 4)
    book = bar(*USUAL, more=(first.till,))
    again = plan(f"A title\nanother line\n{HEAD}\n2026-09-01,1,SOUR,1,12.00,0,10.08,1.92,Q", book)
    assert (again.old_till, again.till) == (first.till, first.till)
    assert [mark.how for mark in again.marks] == ["till"]
    turned = "Code,Item,Business day,Qty,Gross,Discount,Net,VAT,Flag\n1,SOUR,2026-09-01,1,12.00,0,10.08,1.92,"
    moved = plan(turned, book)
    assert "sales-till-moved" in codes(moved.doubts)
    assert sold(moved, "sour").count == 1
    other = plan("Business day,Item,Qty\n2026-09-01,SOUR,1", book)
    assert other.till is not None
    assert (other.old_till, other.till.name) == (None, "Till 2")


def test_columns_and_first_rows_can_be_looked_at() -> None:
    text = f"{HEAD},Shift\n{ROW},late\n2026-08-31,1,SOUR,x,12.00,0,10.08,1.92,,late\nTOTAL,,,1,12.00,0,10.08,1.92,,"
    table = read_table(text.encode(), "week.csv")
    made = arrive_sales(text.encode(), "week.csv", bar(*USUAL), TODAY, SalesSaid())
    seen = till_columns(table, made.lines)
    assert [(one.role, one.header) for one in seen][:4] == [
        ("day", "Business day"), ("code", "Code"), ("item", "Item"), ("qty", "Qty"),
    ]  # fmt: skip
    assert (seen[9].role, seen[9].header, seen[9].cells) == ("", "Shift", ("late", "late"))
    rows = preview_sales(made)
    assert [(row.n, row.fate, row.why) for row in rows] == [
        (2, "counted", ""), (3, "waiting", "sales-row-unread"), (4, "ignored", "total"),
    ]  # fmt: skip
    assert [(cell.role, cell.text, cell.value) for cell in rows[0].cells][3:5] == [
        ("qty", "1", "1"),
        ("gross", "12.00", "12.00"),
    ]
    assert [sales_doubt_text(one) for one in rows[1].doubts] == ["“x” cannot be read as a figure"]


def test_a_shortened_name_is_suggested_and_never_taken() -> None:
    text = f"{HEAD}\n2026-08-31,1,HARB SR,2,24.00,0,20.17,3.83,\n2026-08-31,2,LANTRN HIBALL,1,10.00,0,8.40,1.60,"
    made = plan(text, bar())
    assert period(made).mapped == 0
    assert [(one.text, one.suggested[0].serve) for one in made.waiting] == [
        ("HARB SR", "sour"),
        ("LANTRN HIBALL", "long"),
    ]
    said = plan(text, bar(), buttons=(sells("HARB SR", "sour", code="1"),))
    assert (period(said).mapped, period(said).unmapped) == (1, 1)


def test_a_title_that_comes_again_on_every_page_is_no_row() -> None:
    made = plan(f"Quay Bar,item sales\nPeriod,2026-08-31,2026-09-06\n\n{HEAD}\n{ROW}\nQuay Bar,item sales\n"
                f"Period,2026-08-31,2026-09-06\n{HEAD}\nPage 2 / 2\n{ROW}\nSigned by,the manager")  # fmt: skip
    assert (period(made).read, period(made).mapped, period(made).ignored) == (7, 2, 5)
    assert {fate.n: fate.why for fate in made.fates if fate.why} == {
        6: "page", 7: "page", 8: "heading-again", 9: "page", 11: "note",
    }  # fmt: skip


def test_a_column_of_types_of_rows_holds_marks() -> None:
    made = plan(
        """
        Business day,Type,Item,Qty,Net,VAT,Total
        2026-08-31,Sale,SOUR,3,30.25,5.75,36.00
        2026-08-31,Void,SOUR,-1,-10.08,-1.92,-12.00
        2026-08-31,Refund,SOUR,-1,-10.08,-1.92,-12.00
        """
    )
    assert (sold(made, "sour").count, sold(made, "sour").refunded) == (D(1), D(1))
    # the same heading over groups of drinks is a group
    assert plan(f"{HEAD.replace('Flag', 'Type')}\n{ROW}Cocktails").lines.rows[0].category == "Cocktails"


def test_what_a_till_was_read_by_does_not_overrule_another_column() -> None:
    head = "Business day;Item;Qty;Net"
    first = plan(f"{head}\n2026-08-31;SOUR;1,5;12,00\n2026-08-31;SOUR;1.204;12,00", tax="inc")
    assert first.till is not None
    assert first.till.columns.decimal == ","
    book = bar(*USUAL, more=(first.till,))
    assert sold(plan(f"{head}\n2026-09-01;SOUR;1.204;12,00", book), "sour").count == 1204
    assert codes(plan(f"{head}\n2026-09-01;SOUR;1.204;12.00", book).asked) == {"sales-decimal-open"}


def test_more_taken_back_than_given_is_named() -> None:
    made = plan(f"{HEAD}\n{ROW}\n2026-08-31,1,SOUR,-2,-24.00,-24.00,0,0,comp")
    assert sold(made, "sour").given == -2
    assert "sales-given-negative" in codes(made.doubts)
