"""Money that is said by a sign or a word that several countries share, by words, by number formats, or in cents.

Names and codes: ISO 4217. That "$" alone stands for many of them is its own definition in Unicode (U+0024).
"""

import io
from dataclasses import replace

import openpyxl
import pytest

from costing.supply.arriving.line import Incoming
from costing.supply.columns import fits, guess_columns
from costing.supply.readers.door import read_prices
from tests.supply.columns.making import codes, of_rows, read, said

HEAD = ("Code", "Item", "Pack")


def listed(price: str = "85.20", head: str = "Price", above: str = "", below: str = ""):  # type: ignore[no-untyped-def]
    rows = [(*HEAD, head), ("A1", "Rum", "6x70cl", price), ("A2", "Gin", "6x1L", price)]
    return of_rows([*([(above,)] if above else []), *rows, *([(below,)] if below else [])])


@pytest.mark.parametrize(
    ("given", "sign"),
    [
        (listed(head="Price ($)"), "$"), (listed(head="Price in dollars"), "dollars"),
        (listed(head="Price (kr)"), "kr"),
        (listed("$85.20"), "$"), (listed("85.20 $"), "$"), (listed("¥ 850"), "¥"), (listed("85.20 kr"), "kr"),
        (listed(above="All prices in dollars"), "dollars"), (listed(above="Prices are in kronor"), "kronor"),
        (listed(below="Tous les prix en francs"), "francs"), (listed(below="Prices in pounds"), "pounds"),
        (listed(above="Free delivery above $ 200"), "$"),
    ],
)  # fmt: skip
def test_a_shared_sign_is_doubted_on_every_line_until_it_is_settled(given, sign: str) -> None:  # type: ignore[no-untyped-def]
    for line in read(given).lines:
        assert (line.currency, said(line, "currency-unknown")) == ("", {"value": sign})
    code = {"¥": "JPY", "francs": "CHF", "pounds": "GBP", "kr": "SEK", "kronor": "SEK"}.get(sign, "CAD")
    settled = replace(guess_columns(given).columns, currency=code)
    assert [(line.currency, codes(line)) for line in read(given, settled).lines] == [(code, set())] * 2


@pytest.mark.parametrize(
    ("given", "code"),
    [
        (listed(above="All prices in US dollars"), "USD"), (listed(head="Price (USD)"), "USD"),
        (listed("US$85.20"), "USD"),
        (listed(head="Price US$"), "USD"), (listed(above="Prices in Swiss francs"), "CHF"),
        (listed(above="Preise in Schweizer Franken"), "CHF"), (listed(below="Prices in pounds sterling"), "GBP"),
        (listed("£85.20"), "GBP"), (listed("85.20 €"), "EUR"), (listed(head="Price (£)"), "GBP"),
        (listed("$85.20", head="Price USD"), "USD"), (listed(above="Prices in Danish kroner"), "DKK"),
    ],
)  # fmt: skip
def test_a_currency_that_is_named_is_the_lines(given, code: str) -> None:  # type: ignore[no-untyped-def]
    assert [(line.currency, codes(line)) for line in read(given).lines] == [(code, set())] * 2


def test_a_pound_may_be_a_weight() -> None:
    assert not any("currency-unknown" in codes(line) for line in read(listed(head="Price per pound")).lines)


def test_a_dollar_in_a_list_of_euros_is_unlike() -> None:
    euros = replace(guess_columns(listed()).columns, currency="EUR")
    for line in read(listed("$85.20"), euros).lines:
        assert said(line, "currency-unlike") == {"value": "$", "list": "EUR"}
    assert "currency-changed" in {d.code for d in fits(listed(above="All prices in dollars"), euros)}


def test_a_column_of_currencies_settles_the_sign() -> None:
    made = of_rows([(*HEAD, "Price", "Currency"), ("A1", "Rum", "6x70cl", "$85.20", "CAD"),
                    ("A2", "Gin", "6x1L", "$99", "$")])  # fmt: skip
    one, two = read(made).lines
    assert (one.currency, codes(one), codes(two)) == ("CAD", set(), {"currency-unknown"})


def sheet(form: str) -> Incoming:
    book = openpyxl.Workbook()
    page = book.active
    assert page is not None
    for row in ((*HEAD, "Price"), ("A1", "Rum", "6x70cl", 85.8), ("A2", "Gin", "6x1L", 103.8)):
        page.append(row)
    for cell in ("D2", "D3"):
        page[cell].number_format = form
    out = io.BytesIO()
    book.save(out)
    return read_prices(out.getvalue(), "list.xlsx")


@pytest.mark.parametrize(
    ("form", "code"),
    [("[$CHF] 0.00", "CHF"), ('"CHF" 0.00', "CHF"), ("[$£-809]#,##0.00", "GBP"), ("#,##0.00 [$€-407]", "EUR"),
     ("_-[$CHF] * #,##0.00_-", "CHF"), ("[$$-409]#,##0.00", "USD")],
)  # fmt: skip
def test_the_currency_of_a_number_format_is_the_lists(form: str, code: str) -> None:
    made = sheet(form)
    assert [(line.currency, codes(line)) for line in made.lines] == [(code, set())] * 2
    assert made.table is not None
    assert guess_columns(made.table).columns.currency == code


def test_a_dollar_of_a_number_format_is_doubted() -> None:
    assert all("currency-unknown" in codes(line) for line in sheet('"$"#,##0.00').lines)


@pytest.mark.parametrize("form", ['0.00 "ct"', '0 "p"', '0"¢"', '"Rp" 0.00', '0 "c"', '0.00 "Rp."'])
def test_a_number_format_of_hundredths_is_doubted(form: str) -> None:
    assert all("price-in-cents" in codes(line) for line in sheet(form).lines)


@pytest.mark.parametrize("cell", ["85p", "1420 ct", "99¢", "85 c", "Rp 45", "950 cents", "85 pence"])
def test_cents_in_a_cell_are_no_whole_money(cell: str) -> None:
    made = of_rows([(*HEAD, "Price"), ("A1", "Rum", "6x70cl", cell), ("A2", "Gin", "6x1L", "99.60")])
    line = read(made).lines[0]
    assert (line.price, "price-in-cents" in codes(line)) == (None, True)


@pytest.mark.parametrize("head", ["Price (p)", "Preis in ct", "Preis in Cent", "Price in pence", "Prix en centimes"])
def test_a_heading_of_cents_is_doubted(head: str) -> None:
    made = listed("8520", head=head)
    for line in (*read(made).lines, *read(made, guess_columns(made).columns).lines):
        assert "price-in-cents" in codes(line)


def test_a_price_per_carton_counts_no_cents() -> None:
    assert not any("price-in-cents" in codes(line) for line in read(listed(head="Price per ct")).lines)
