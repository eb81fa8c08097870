"""What the money of a file has inside: by the sums of all rows, by words, by printed prices, or asked.

A price of 12.50 with 5 % service and 19 % tax upon both is 10.00400 net, 0.50020 service and 1.99580 tax (division by
1.05 x 1.19 = 1.2495, worked out by hand).
"""

from datetime import date
from decimal import Decimal

import pytest

from costing.book.levies import Levy
from costing.pricing.levies import net_of
from tests.supply.till.tills import SERVICE, USUAL, VAT, bar, codes, period, plan, sells, sold

D = Decimal
KEPT = Levy("Service", D("0.05"), kept=True)
ROW = "2026-08-31,SOUR,2,25.00,0.00,20.01,1.00,3.99"
FULL = f"Business day,Item,Qty,Gross,Discount,Net,Service,VAT\n{ROW}"


def test_the_sums_of_a_file_say_that_net_is_without_tax() -> None:
    made = plan(FULL, bar(*USUAL, levies=(SERVICE, VAT)))
    assert (made.tax.basis, made.tax.how, made.tax.formula, made.tax.holds, made.tax.of) == ("ex", "sums", "all", 1, 1)
    assert sold(made, "sour").net == D("20.01")
    assert sold(made, "sour").prices[0].each == D("12.50")
    assert made.till is not None
    assert made.till.columns.tax == "ex"


def test_service_that_the_house_keeps_is_in_its_net() -> None:
    made = plan(FULL, bar(*USUAL, levies=(KEPT, VAT)))
    assert made.tax.keeps_service
    assert sold(made, "sour").net == D("21.01")
    # as net_of reckons it, to the cent of two rounded columns
    assert abs(D("21.01") - net_of(D("25.00"), (KEPT, VAT))) < D("0.01")
    # without a column of it, by the house's rates
    bare = plan("Business day,Item,Qty,Net,VAT,Total\n2026-08-31,SOUR,20,210.08,39.92,250.00",
                bar(*USUAL, levies=(KEPT, VAT)))  # fmt: skip
    assert (bare.tax.formula, bare.tax.factor) == ("paid", D(1))
    assert sold(bare, "sour").net == D("210.08")


def test_service_that_is_passed_on_is_taken_out_of_a_net_that_has_it() -> None:
    # 250.00 / 1.19 = 210.08 is without tax and with service; without it, 250.00 / 1.2495 = 200.08
    made = plan("Business day,Item,Qty,Net,VAT,Total\n2026-08-31,SOUR,20,210.08,39.92,250.00",
                bar(*USUAL, levies=(SERVICE, VAT)))  # fmt: skip
    assert abs((sold(made, "sour").net or 0) - D("200.08")) < D("0.01")


@pytest.mark.parametrize(
    ("text", "basis", "how"),
    [
        # 12.00 with 19 % in it: 10.08 + 1.92
        ("Gross,Discount,Net,VAT\n|12.00,0,10.08,1.92", "ex", "sums"),
        ("Gross,Net,VAT\n|12.00,10.08,1.92", "ex", "sums"),
        # discount is out of gross already: 9.00 = 7.56 + 1.44
        ("Gross,Discount,Net,VAT\n|9.00,3.00,7.56,1.44", "ex", "sums"),
        # gross less discount is net, and tax inside it is 19/119, or upon it 19 %
        ("Gross,Discount,Net,VAT\n|120.00,0,120.00,19.16", "inc", "sums"),
        ("Gross,Discount,Net,VAT\n|120.00,0,120.00,22.80", "ex", "sums"),
        ("Total,VAT\n|120.00,19.16", "inc", "sums"),
        ("Net sales incl. VAT\n|12.00", "inc", "words"),
        ("Net sales excl. VAT\n|10.08", "ex", "words"),
        ("Montant HT\n|10.08", "ex", "words"),
        ("Montant TTC\n|12.00", "inc", "words"),
        ("Gross,Discount,Net\n|11.00,1.00,10.00", "inc", "taken"),
        ("Net sales\n|7.77", "", ""),
    ],
)
def test_every_basis_is_found_or_asked(text: str, basis: str, how: str) -> None:
    head, _, row = text.partition("\n|")
    made = plan(f"Business day,Item,Qty,{head}\n2026-08-31,SOUR,1,{row}")
    assert (made.tax.basis, made.tax.how) == (basis, how)
    assert codes(made.asked) == (set() if basis else {"sales-tax-open"})
    assert ("sales-tax-taken" in codes(made.doubts)) == (how == "taken")


def test_printed_prices_say_it_where_enough_drinks_are_known() -> None:
    rows = "".join(f"2026-08-3{n % 2},{name},{n},{{{name}}}\n" for n, name in ((1, "SOUR"), (2, "LONG"), (3, "LAGER")))
    head = "Business day,Item,Qty,Net sales\n"
    inc = plan(head + rows.format(SOUR="12.00", LONG="20.00", LAGER="18.00"))
    assert (inc.tax.basis, inc.tax.how) == ("inc", "prices")
    ex = plan(head + rows.format(SOUR="10.08", LONG="16.81", LAGER="15.13"))
    assert (ex.tax.basis, ex.tax.how) == ("ex", "prices")
    torn = plan((head + rows).replace("Net sales", "Net excl. VAT").format(SOUR="12.00", LONG="20.00", LAGER="18.00"))
    assert codes(torn.asked) == {"sales-tax-prices"}


def test_tax_inside_is_taken_out_by_the_rates_of_the_day() -> None:
    made = plan("Business day,Item,Qty,Net\n2026-08-31,SOUR,1,12.00", tax="inc")
    assert sold(made, "sour").net == D("10.084")  # 12.00 / 1.19 to four places
    assert sold(made, "sour").prices[0].each == D("12.00")
    ex = plan("Business day,Item,Qty,Net\n2026-08-31,SOUR,1,10.08", tax="ex")
    assert (sold(ex, "sour").net, sold(ex, "sour").prices[0].each) == (D("10.08"), D("12.00"))


def test_a_contradiction_is_named() -> None:
    off = FULL + "\n" + "\n".join([ROW] * 60) + "\n2026-08-31,SOUR,2,25.00,0.00,20.91,1.00,3.99"
    made = plan(off, bar(*USUAL, levies=(SERVICE, VAT)))
    assert (made.tax.holds, made.tax.of) == (61, 62)
    assert "sales-sums-off" in codes(made.doubts)
    none = plan(f"{FULL}\n2026-08-31,SOUR,2,25.00,0.00,22.01,1.00,3.99")
    assert codes(none.asked) == {"sales-tax-open"}
    assert "sales-tax-against" in codes(plan(FULL, tax="inc").doubts)
    first = plan(FULL, bar(*USUAL, levies=(SERVICE, VAT)))
    assert first.till is not None
    book = bar(*USUAL, more=(first.till,))
    turned = plan(
        FULL.replace("20.01,1.00,3.99", "25.00,0.99,4.00"), bar(*USUAL, more=(first.till,), levies=(SERVICE, VAT))
    )
    assert codes(turned.asked) == {"sales-tax-changed"}
    assert period(plan(FULL, book)).read == 1
    rates = plan(FULL, bar(*USUAL, levies=(Levy("VAT", D("0.07")),)))
    assert "sales-rates-differ" in codes(rates.doubts)


def test_counts_without_money_stay_counts() -> None:
    made = plan("Business day,Item,Qty\n2026-08-31,SOUR,3\n2026-08-31,SOUR,-1")
    sour = sold(made, "sour")
    assert (sour.count, sour.net, sour.refunded, sour.prices) == (D(2), None, D(1), ())
    assert "sales-no-money" in codes(made.doubts)


def test_a_house_without_taxes_needs_no_answer() -> None:
    made = plan("Business day,Item,Qty,Net\n2026-08-31,SOUR,1,12.00", bar(sells("SOUR", "sour"), levies=()))
    assert sold(made, "sour").net == 12
    assert period(made).since == date(2026, 8, 31)
