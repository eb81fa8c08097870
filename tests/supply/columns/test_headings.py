"""Headings in six languages, where they stand, and which rows are no lines."""

from decimal import Decimal

import pytest

from costing.supply.arriving.table import Table
from costing.supply.columns import guess_columns
from costing.supply.columns.heading_rows import find_heading, headings_of
from costing.supply.columns.headings import meaning
from tests.supply.columns.making import codes, of_rows, read, table, the

LISTS = {
    "en": (
        "Item code;Barcode;Description;Pack size;Case price ex VAT;Bottle price;Deposit;Valid from;"
        "MOQ;RRP"
    ),
    "de": (
        "Art.-Nr.;EAN;Bezeichnung;Gebinde;Kistenpreis netto;Flaschenpreis;Pfand;Gültig ab;"
        "Mindestmenge;UVP"
    ),
    "fr": (
        "Référence;Code barre;Désignation;Conditionnement;Prix colis HT;Prix bouteille;Consigne;"
        "Valable dès;Commande min.;Prix public"
    ),
    "nl": (
        "Art.nr.;Streepjescode;Omschrijving;Verpakking;Prijs per doos excl. btw;Prijs per fles;"
        "Statiegeld;Geldig vanaf;Min. afname;Adviesprijs"
    ),
    "it": (
        "Codice;Codice a barre;Descrizione;Confezione;Prezzo cartone IVA esclusa;Prezzo bottiglia;"
        "Cauzione;Valido dal;Ordine min.;Prezzo consigliato"
    ),
    "es": (
        "Código;Código de barras;Descripción;Formato;Precio caja sin IVA;Precio botella;Depósito;"
        "Válido desde;Pedido mínimo;PVP"
    ),
}  # fmt: skip


@pytest.mark.parametrize("language", LISTS)
def test_one_list_in_six_languages(language: str) -> None:
    row = "G{i};59012341234{c};Orchard gin no {i};6 x 70cl;{case},00;{each},00;3,00;01.12.2026;2;{retail},00"
    rows = [row.format(i=i, c="57", case=6 * (20 + i), each=20 + i, retail=40 + i) for i in range(9)]
    made = table("\n".join((LISTS[language], *rows)))
    roles = {use.role: use.column for use in guess_columns(made).columns.uses}
    assert roles == {
        "code": 0, "gtin": 1, "name": 2, "pack": 3, "price": 4, "price_each": 5, "deposit": 6, "since": 7, "minimum": 8,
    }  # fmt: skip
    out = read(made)
    assert [the(line.price, line.per, line.tax) for line in out] == [(6 * (20 + i), "pack", "ex") for i in range(9)]
    assert {code for line in out for code in codes(line)} == set()


@pytest.mark.parametrize(
    ("heading", "role", "per", "base"),
    [
        ("VK", "price", "", "1"), ("EK netto", "price", "", "1"), ("Preis € netto", "price", "", "1"),
        ("Preis/Kiste", "price", "pack", "1"), ("€/Fl.", "price_each", "each", "1"),
        ("Price per unit", "price_each", "each", "1"),
        ("Prix à l'unité", "price_each", "each", "1"), ("€/kg", "price_measure", "kg", "1"),
        ("Literpreis", "price_measure", "l", "1"),
        ("Price per lb", "price_measure", "kg", "0.45359237"), ("Preis / 100 g", "price_measure", "kg", "0.1"),
        ("Price per dozen", "price_each", "each", "12"), ("Pfand", "deposit", "", "1"),
        ("Preis exkl. Pfand", "price", "", "1"),
        ("UVP", "retail", "", "1"), ("Recommended retail price", "retail", "", "1"), ("Rabatt %", "discount", "", "1"),
        ("Alter Preis", "old_price", "", "1"), ("Neuer Preis", "price", "", "1"), ("Colisage", "count", "", "1"),
        ("VPE", "count", "", "1"), ("Inhalt", "content", "", "1"), ("Net weight", "content", "", "1"),
        ("gültig bis", "until", "", "1"),
        ("MwSt %", "rate", "", "1"), ("Gesamtpreis", "total", "", "1"), ("Menge", "quantity", "", "1"),
        ("Jahrgang", "vintage", "", "1"),
        ("Unit of sale", "unit", "", "1"), ("Warengruppe", "section", "", "1"), ("Alc. % vol", "abv", "", "1"),
        ("Staffelpreis", "break_price", "", "1"), ("ab 5 Kisten", "break_price", "", "1"), ("Zimmer", "", "", "1"),
        ("", "", "", "1"),
    ],
)  # fmt: skip
def test_meanings(heading: str, role: str, per: str, base: str) -> None:
    """Common practice, no source."""
    said = meaning(heading)
    assert (said.role, said.per, said.base) == (role, per, Decimal(base))


def test_a_heading_of_two_rows_is_joined() -> None:
    rows = [
        ("North Quay", "", "", "", ""), ("", "", "", "", ""),
        ("Code", "Name", "Pack", "Prices", "Prices"), ("Code", "Name", "Pack", "Case", "Bottle"),
        ("A1", "Gin", "6 x 70cl", "120.00", "20.00"), ("A2", "Rum", "6 x 70cl", "132.00", "22.00"),
    ]  # fmt: skip
    merged = of_rows(rows, merged_rows=frozenset({2, 3}))
    assert find_heading(merged) == (2, 2)
    assert headings_of(merged, 2, 2) == ("Code", "Name", "Pack", "Prices / Case", "Prices / Bottle")
    gap = of_rows([rows[0], ("", "", "", "Prices", ""), *rows[3:]])
    assert headings_of(gap, *find_heading(gap))[3:] == ("Prices / Case", "Prices / Bottle")
    for made in (merged, gap):
        assert [the(line.price, line.per, codes(line)) for line in read(made)] == [
            (120, "pack", set()), (132, "pack", set()),
        ]  # fmt: skip


def test_a_heading_of_three_rows_with_units() -> None:
    made = of_rows([
        ("", "", "", "Preis", "Preis"), ("Nr.", "Bezeichnung", "Gebinde", "Kiste", "Flasche"),
        ("", "", "", "EUR", "EUR"),
        ("1", "Gin", "6 x 70cl", "120,00", "20,00"),
    ])  # fmt: skip
    assert find_heading(made) == (0, 3)
    (line,) = read(made)
    assert the(line.price, line.currency, line.per) == (120, "EUR", "pack")


def test_a_title_over_all_columns_is_no_heading() -> None:
    made = of_rows([
        ("Price list",) * 4, ("Code", "Name", "Pack", "Price"), ("A1", "Gin", "6 x 70cl", "120.00"),
    ], merged_rows=frozenset({0}))  # fmt: skip
    assert find_heading(made) == (1, 1)
    assert [one.why for one in read(made).left_out] == ["preamble", "heading"]


def test_a_list_without_headings_is_guessed_and_said_to_be() -> None:
    made = table("\n".join(f"A-{i:03d};Orchard gin no {i};6 x 70cl;{100 + i},50" for i in range(12)))
    guess = guess_columns(made)
    assert {use.role: use.column for use in guess.columns.uses} == {"code": 0, "name": 1, "pack": 2, "price": 3}
    assert "no-heading" in {d.code for d in guess.doubts}
    assert max(sure for _, sure in guess.certainty) < 0.7
    assert [line.price for line in read(made)] == [Decimal(f"{100 + i}.50") for i in range(12)]


REASONS = """
    Price list;;;
    .
    Code;Name;Pack;Price
    SPIRITS;;;
    A1;Gin;6 x 70cl;120,00
    A2;Rum;6 x 70cl;132,00
    ;Zwischensumme;;252,00
    Code;Name;Pack;Price
    Beer;;;
    A3;Lager;24 x 33cl;24,00
    ;;;Seite 1/2
    ;Vermouth;6 x 75cl;
    ;Total excl. VAT;;276,00
    All prices ex VAT;;;
    Page 2 of 2;;;
"""


def test_every_row_that_is_no_line_says_why() -> None:
    made = read(REASONS)
    assert [(line.code, line.section) for line in made] == [("A1", "SPIRITS"), ("A2", "SPIRITS"), ("A3", "Beer")]
    assert [(one.where, one.why) for one in made.left_out] == [
        ("row 1", "preamble"), ("row 2", "empty"), ("row 3", "heading"), ("row 4", "group"), ("row 7", "total"),
        ("row 8", "heading-again"), ("row 9", "group"), ("row 11", "page"), ("row 12", "no-price-no-code"),
        ("row 13", "total"), ("row 14", "note"), ("row 15", "page"),
    ]  # fmt: skip
    assert {line.tax for line in made} == {"ex"}


def test_hidden_rows_are_left_out_and_can_be_taken() -> None:
    rows = [("Code", "Name", "Pack", "Price"), ("A1", "Gin", "70cl", "20.00"), ("A2", "Rum", "70cl", "22.00")]
    made = of_rows(rows, hidden_rows=frozenset({2}))
    out = read(made)
    assert ([line.code for line in out], [one.why for one in out.left_out]) == (["A1"], ["heading", "hidden"])
    from dataclasses import replace

    taken = read(made, replace(guess_columns(made).columns, hidden="take"))
    assert [line.code for line in taken] == ["A1", "A2"]


def test_goods_that_begin_like_a_total_stay_goods() -> None:
    made = read(table("Name;Price\nTotal cleaner;5,00\nTotal excl. VAT;5,00\nTotally tonic;2,00"))
    assert [line.name for line in made] == ["Total cleaner", "Totally tonic"]


def test_rows_without_name_or_price_are_kept_and_doubted() -> None:
    made = read(table("Code;Name;Pack;Price\nA1;Gin;70cl;\n;;;17,00\nA-3;;;"))
    assert [(line.code, codes(line)) for line in made] == [
        ("A1", {"price-empty"}), ("", {"nameless"}), ("A-3", {"price-empty"}),
    ]  # fmt: skip


def test_an_empty_table() -> None:
    for made in (Table(shape="text", rows=()), of_rows([("",)]), of_rows([("", ""), ("", "")])):
        out = read(made)
        assert out.lines == ()
        assert "no-price-column" in {d.code for d in out.doubts}


def noticed(text: str) -> set[str]:
    return {d.code for d in guess_columns(table(text)).doubts}


def test_columns_that_are_not_used_and_should_be_known_of() -> None:
    rows = "\n".join(f"{i + 1};Gin {'abcdef'[i]};70 cl;{20 + i},50;{(6, 12)[i % 2]}" for i in range(6))
    assert noticed(f"Nr.;Name;Inhalt;Preis;Zimmer\n{rows}") == {"position-numbers", "may-be-count"}
    assert noticed(f"Zimmer;Name;Inhalt;Preis;Rabatt %\n{rows}") == {"discount-column"}
    assert noticed(f"Zimmer;Name;Inhalt;Preis;VPE\n{rows}") == {"price-for-what"}


def test_columns_that_the_file_hides_are_only_offered() -> None:
    rows = [("Code", "Name", "Pack", "Cost price", "Price")]
    rows += [(f"A{i}", f"Gin {'abcdef'[i]}", "70cl", f"{10 + i}.50", f"{20 + i}.50") for i in range(6)]
    guess = guess_columns(of_rows(rows, hidden_columns=frozenset({3})))
    assert {use.role: use.column for use in guess.columns.uses}["price"] == 4
    assert [(d.code, dict(d.values)) for d in guess.doubts] == [("hidden-columns", {"value": "Cost price"})]
    assert [(one.role, one.column) for one in guess.alternatives] == [("price", 3)]


def test_codes_that_lost_their_zeros_are_still_known_by_their_check_digits() -> None:
    """GS1, How to calculate a check digit manually. 036000291452 is valid in 12 digits, 36000291452 is what a sheet
    leaves of it."""
    rows = "\n".join(f"36000291452;Gin {ch};70cl;20,50" for ch in "abcd")
    made = table(f"Zimmer;Name;Pack;Price\n{rows}")
    assert {use.role for use in guess_columns(made).columns.uses} >= {"gtin"}
