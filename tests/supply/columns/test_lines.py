"""What every line of a list says, and what is doubted of it. Expected figures are arithmetic, worked beside each."""

from datetime import date
from decimal import Decimal

import pytest

from costing.book.records import Break, FreeGoods
from costing.supply.arriving.table import DayCell, Figure, Table, Unworked
from tests.supply.columns.making import codes, of_rows, one, read, said, table, the

HEAD = "Code;Name;Pack;Price"


def listed(*rows: str, head: str = HEAD) -> Table:
    return table("\n".join((head, *rows)))


def test_case_price_by_count_is_the_unit_price() -> None:
    made = read(listed(
        "A1;Orchard gin;6 x 70cl;120,00;20,00",  # 120 / 6 = 20
        "A2;Harbour rum;6 x 70cl;86,40;14,41",  # 14.40
        "A3;Lime cordial;12 x 1L;50,00;4,17",  # 4.1666
        "A4;Lime soda;24 x 20cl;1.204,80;50,20",
        head="Code;Name;Pack;Case price;Bottle price",
    ))  # fmt: skip
    assert [codes(line) for line in made] == [set(), {"unit-price-differs"}, set(), set()]
    assert said(made[1], "unit-price-differs") == {"price": "86.40", "each": "14.41", "count": "6", "worked": "14.4"}
    assert made[3].price == Decimal("1204.80")


def test_swapped_ignored_and_zero_rows_are_the_ambers() -> None:
    """Of a list of spirits with bottle cost, pack and case cost, 16 of 6 482 rows do not multiply: digits swapped
    (220.02 for 200.02), the pack ignored, a volume of zero. The same kinds of row, invented."""
    bottles = [(i, (6, 12)[i % 2], 900 + i) for i in range(400)]
    rows = [f"S{i:04d};Spirit no {i};{n};750 ml;{cost / 100:.2f};{cost * n / 100:.2f}" for i, n, cost in bottles]
    wrong = {17: "S0017;Spirit no 17;12;750 ml;18.34;200.02", 30: "S0030;Spirit no 30;6;750 ml;31.00;31.00",
             44: "S0044;Spirit no 44;6;0 ml;9.44;56.64"}  # fmt: skip
    rows = [wrong.get(i, row) for i, row in enumerate(rows)]
    made = read(listed(*rows, head="Code;Name;Pack;Size;Bottle cost;Case cost"))
    odd = {line.code: codes(line) for line in made if line.doubts}
    assert set(odd) == {"S0017", "S0030", "S0044"}
    assert odd["S0017"] == odd["S0030"] == {"unit-price-differs"}
    assert "unit-price-differs" not in odd["S0044"]


def test_a_content_that_was_rounded_is_told_by_the_litre_price() -> None:
    """0,38 is 0.375 rounded where 70.00 / 0.375 = 186.67 and 70.00 / 0.38 = 184.21."""
    head = "Nr;Name;Inhalt Liter;Preis;Literpreis"
    made = read(listed("1;Honigwein;0,38;70,00;186,70", "2;Süßwein;0,75;75,00;100,00", "3;Likör;0,50;21,00;44,00",
                       "4;Traubensaft;0,38;70,00;184,20", head=head))  # fmt: skip
    assert [codes(line) for line in made] == [
        {"content-rounded", "size-rounded"}, set(), {"litre-price-differs"}, {"size-rounded"},
    ]  # fmt: skip
    assert said(made[0], "content-rounded")["worked"] == "375 ml"
    assert said(made[2], "litre-price-differs")["worked"] == "42"


def test_quantity_times_price_is_the_total() -> None:
    head = "Art.-Nr.;Bezeichnung;Gebinde;Menge;Einzelpreis;Gesamt"
    made = read(listed("1;Mehl;Sack 25 kg;3;12,40;37,20", "2;Zucker;Sack 25 kg;2;19,90;38,90", head=head))
    assert [codes(line) for line in made] == [set(), {"total-differs"}]
    assert said(made[1], "total-differs")["worked"] == "39.8"
    assert the(made[0].quantity, made[0].total) == (3, Decimal("37.20"))


@pytest.mark.parametrize(
    ("head", "cell", "per", "base", "odd"),
    [
        ("Price per kg", "36 pc", "kg", "1", {"price-of-a-kilogram"}),
        ("Price per kg", "8 kg", "kg", "1", set()),
        ("Price per lb", "8 kg", "kg", "0.45359237", set()),
        ("Preis je Liter", "6 x 1 L", "l", "1", set()),
        ("Preis/100 l", "20 L", "l", "100", set()),
        ("Price per litre", "8 kg", "l", "1", {"price-of-a-litre"}),
        ("Price per dozen", "60 pc", "each", "12", set()),
    ],
)
def test_the_basis_of_a_price_overrides_the_package(head: str, cell: str, per: str, base: str, odd: set[str]) -> None:
    line = one(listed(f"A1;Pumpkin;{cell};2,50", head=f"Code;Name;Pack;{head}"))
    assert (line.per, line.base, codes(line)) == (per, Decimal(base), odd)


def test_a_unit_of_sale_is_the_basis_too() -> None:
    head = "Code;Name;Package;Unit of sale;Price"
    made = read(listed("A1;Pumpkin;36 pc;PER LB;0.50", "A2;Squash;36 pc;EACH;1.50", "A3;Marrow;24 pc;per case;20.00",
                       "A4;Gourd;36 pc;SHELLACKED;1.00", head=head))  # fmt: skip
    assert [(line.per, line.base) for line in made[:3]] == [
        ("kg", Decimal("0.45359237")), ("each", 1), ("pack", 1),
    ]  # fmt: skip
    assert [codes(line) for line in made[:3]] == [{"price-of-a-kilogram"}, {"price-of-a-piece"}, set()]


def test_a_unit_that_contradicts_the_name() -> None:
    line = one(listed("A1;Salted crisps 156G;g;2.20", head="Code;Name;Unit;Price"))
    assert codes(line) == {"unit-contradicts-name"}
    assert line.pack is not None
    assert the(line.pack.total, line.pack.unit, line.per) == (156, "g", "pack")
    unclear = one(listed("A1;Lemons 10 kg;kg;2.20", head="Code;Name;Unit;Price"))
    assert (codes(unclear), unclear.per) == ({"price-basis-unclear"}, "")
    plain = one(listed("A1;Lemons;kg;2.20", head="Code;Name;Unit;Price"))
    assert the(codes(plain), plain.per, plain.pack and plain.pack.total) == (set(), "pack", 1000)


def test_a_pack_that_contradicts_the_name() -> None:
    made = read(listed("A1;Harbour rum 1L;6 x 70cl;90.00", "A2;Harbour rum 0,7 l;6 x 70cl;90.00"))
    assert [codes(line) for line in made] == [{"pack-contradicts-name"}, set()]


def test_a_word_in_the_price_column_may_be_a_shifted_row() -> None:
    made = read(listed("A1;Gin;70cl;20,00", "A2;Pumpkins;36 pc;SHELLACKED", "A3;Rum;70cl;22,00"))
    assert codes(made[1]) == {"shifted"}
    assert (made[1].price, made[1].said("price")) == (None, "SHELLACKED")


def test_cells_that_are_no_price() -> None:
    rows = [("Code", "Name", "Pack", "Price")]
    cells: list[str] = [
        Figure("20.5"),
        Unworked(""),
        "19 %",
        "POA",
        "3 for 10",
        "-4.00",
        "0.00",
        DayCell("2026-12-01"),
        "2900000002012",
    ]
    rows += [(f"A{i}", f"Gin {chr(65 + i)}", "70cl", cell) for i, cell in enumerate(cells)]
    made = read(of_rows(rows))
    assert [(line.price, codes(line)) for line in made] == [
        (Decimal("20.5"), set()), (None, {"formula-no-value"}), (None, {"percent-in-price"}), (None, {"on-request"}),
        (10, {"several-for"}), (Decimal("-4.00"), {"negative-price"}), (0, {"zero-price"}), (None, {"shifted"}),
        (None, {"figure-large"}),
    ]  # fmt: skip
    assert made[4].base == 3


def test_a_decimal_mark_is_decided_by_the_column_or_asked() -> None:
    sure = read(listed("A1;Gin;70cl;1.204", "A2;Rum;70cl;12,5"))
    assert [(line.price, codes(line)) for line in sure] == [(1204, set()), (Decimal("12.5"), set())]
    asked = read(listed("A1;Gin;70cl;1.204", "A2;Rum;70cl;500"))
    assert [(line.price, codes(line)) for line in asked] == [(None, {"decimal-ambiguous"}), (500, set())]
    assert said(asked[0], "decimal-ambiguous") == {"value": "1.204", "one": "1.204", "other": "1204"}
    assert [d.code for d in asked.doubts] == ["decimal-unknown"]
    mixed = read(listed("A1;Gin;70cl;12,50", "A2;Rum;70cl;12.50", "A3;Rye;70cl;1.204"))
    assert [line.price for line in mixed] == [Decimal("12.50"), Decimal("12.50"), None]
    assert "decimal-mixed" in {d.code for d in mixed.doubts}


def test_products_decide_a_mark_that_cells_leave_open() -> None:
    """3 x 4,537 = 13,611 comes out in both; 6 x 1,250 = 7,50 only as a comma for decimals."""
    head = "Code;Name;Pack;Case price;Bottle price;Bottles per case"
    made = read(listed("A1;Gin;70cl;7,50;1,250;6", head=head))
    assert (made[0].price, codes(made[0])) == (Decimal("7.50"), set())
    line = one(listed("A1;Mehl;Sack 25 kg;6;1,250;7,50", head="Nr;Name;Gebinde;Menge;Preis;Gesamt"))
    assert (line.price, codes(line)) == (Decimal("1.250"), set())


def test_cells_that_a_sheet_stored_as_numbers_keep_their_mark() -> None:
    rows = [("Code", "Name", "Pack", "Price"), ("A1", "Gin", "70cl", Figure("1.204")), ("A2", "Rum", "70cl", "1.204")]
    made = read(of_rows(rows))
    assert [(line.price, codes(line)) for line in made] == [
        (Decimal("1.204"), set()), (None, {"decimal-ambiguous"}),
    ]  # fmt: skip


def test_currencies_unlike_the_list() -> None:
    made = read(
        listed("A1;Gin;70cl;20,00", "A2;Rum;70cl;£ 20,00", "A3;Rye;70cl;20,00 €", head="Code;Name;Pack;Price EUR")
    )
    assert [(line.currency, codes(line)) for line in made] == [
        ("EUR", set()), ("GBP", {"currency-unlike"}), ("EUR", set()),
    ]  # fmt: skip
    own = read(listed("A1;Gin;70cl;20,00;EUR", "A2;Rum;70cl;20,00;GBP", "A3;Rye;70cl;1,00;XQQ",
                      head="Code;Name;Pack;Price;Currency"))  # fmt: skip
    assert [line.currency for line in own] == ["EUR", "GBP", ""]
    assert codes(own[2]) == {"currency-unknown"}


@pytest.mark.parametrize(
    ("remark", "breaks", "odd"),
    [
        ("ab 5 Kisten 22,90", ((5, "22.90"),), {"break-from-text"}),
        ("from 10 cases 21,50", ((10, "21.50"),), {"break-from-text"}),
        ("ab 5: 22,90 / ab 10: 21,90", ((5, "22.90"), (10, "21.90")), {"break-from-text"}),
        ("dès 5 cartons 22,90 €", ((5, "22.90"),), {"break-from-text"}),
        ("ab 5 Kisten 10 % Rabatt", (), set()),
        ("ab 5 Kisten 2 Tage Vorlauf", (), set()),
        ("lieferbar ab 01.12.2026", (), set()),
        ("neu", (), set()),
    ],
)  # fmt: skip
def test_breaks_in_words(remark: str, breaks: tuple[tuple[int, str], ...], odd: set[str]) -> None:
    line = one(listed(f"A1;Lemons;10 kg;24,20;{remark}", head="Code;Name;Pack;Price;Remark"))
    assert line.breaks == tuple(Break(packs=Decimal(n), price=Decimal(price)) for n, price in breaks)
    assert (codes(line), line.note) == (odd, remark)


def test_breaks_in_columns() -> None:
    made = read(listed("A1;Lemons;10 kg;24,20;22,90;21,90", "A2;Limes;10 kg;24,20;;25,00",
                       head="Code;Name;Pack;Price;ab 5;ab 10"))  # fmt: skip
    assert made[0].breaks == tuple(Break(packs=Decimal(n), price=Decimal(p)) for n, p in ((5, "22.90"), (10, "21.90")))
    assert codes(made[0]) == set()
    assert codes(made[1]) == {"break-dearer"}
    pairs = one(listed("A1;Lemons;10 kg;24,20;5;22,90", head="Code;Name;Pack;Price;Break qty;Break price"))
    assert pairs.breaks == (Break(packs=Decimal(5), price=Decimal("22.90")),)


@pytest.mark.parametrize("text", ["12+1 free", "11 + 1 gratis", "12+1", "10+2 offerts"])
def test_free_goods_in_words(text: str) -> None:
    line = one(listed(f"A1;Soda;24 x 20cl;24,20;{text}", head="Code;Name;Pack;Price;Remark"))
    paid, free = (int("".join(ch for ch in part if ch.isdigit())) for part in text.split("+"))
    assert line.free == FreeGoods(paid=Decimal(paid), free=Decimal(free))
    assert codes(line) == {"free-from-text"}
    assert one(listed("A1;Gin 2+1;70cl;24,20")).free is None


def test_least_order_and_deposit() -> None:
    made = read(listed("A1;Soda;24 x 20cl;24,20;5;3,42", "A2;Cola;24 x 20cl;24,20;min. 2 Kisten;",
    "A3;Tonic;24 x 20cl;9,20;x;y",
                       head="Code;Name;Pack;Price;MOQ;Pfand"))  # fmt: skip
    assert [(line.minimum, line.deposit) for line in made] == [(5, Decimal("3.42")), (2, None), (None, None)]
    assert codes(made[2]) == {"figure-unread"}


@pytest.mark.parametrize(
    ("name", "sort"),
    [
        ("RETOUR Lager", "return"), ("10 KG RETOUR", "return"), ("Leergut Kiste", "deposit"),
        ("Pfand 24 x 0,33", "deposit"),
        ("Europalette", "deposit"), ("Frachtkosten", "charge"), ("Delivery", "charge"),
        ("Frais de transport", "charge"),
        ("Pallet deposit", "deposit"), ("Lager 24 x 0,33 inkl. Pfand", "goods"), ("Port ruby 75cl", "goods"),
        ("Lemons, delivery Tuesday 10 kg", "goods"), ("Jahresbonus 2026", "rebate"), ("Pfandflaschen-Milch", "goods"),
    ],
)  # fmt: skip
def test_what_a_line_is_about(name: str, sort: str) -> None:
    line = one(listed(f"A1;{name};;3,10"))
    assert line.sort == sort
    assert ("may-be-charge" in codes(line)) is (name == "Lemons, delivery Tuesday 10 kg")


def test_days_of_a_column() -> None:
    head = "Code;Name;Pack;Price;Valid from"

    def days(*cells: str) -> list[tuple[date | None, set[str]]]:
        return [(line.since, codes(line)) for line in read(listed(
            *(f"A{i};Gin no {i};70cl;20,00;{cell}" for i, cell in enumerate(cells)), head=head))]  # fmt: skip

    first = date(2026, 12, 1)
    assert days("01.12.2026", "1 December 2026", "2026-12-01", "1. Dezember 2026") == [(first, set())] * 4
    assert days("01/12/2026", "13/12/2026") == [(first, set()), (date(2026, 12, 13), set())]
    assert days("12/01/2026", "12/13/2026") == [(first, set()), (date(2026, 12, 13), set())]
    assert days("01/12/2026", "02/12/2026") == [(None, {"day-order"})] * 2
    assert days("13/12/2026", "12/13/2026") == [(None, {"day-mixed"})] * 2
    assert days("46357") == [(None, {"day-serial"})]
    assert days("01.12.1999", "01.12.2028", "02.12.2028") == [
        (None, {"day-far"}), (date(2028, 12, 1), set()), (None, {"day-far"}),
    ]  # fmt: skip
    assert days("soon") == [(None, {"day-unread"})]
    assert days("31.02.2026") == [(None, {"day-unread"})]


@pytest.mark.parametrize(
    ("text", "since", "until", "odd"),
    [
        ("gültig 30.11.2026 - 06.12.2026", date(2026, 11, 30), date(2026, 12, 6), None),
        ("gültig vom 30.11. bis 06.12.2026", date(2026, 11, 30), date(2026, 12, 6), None),
        ("gültig vom 28.12. bis 03.01.2027", date(2026, 12, 28), date(2027, 1, 3), None),
        ("Prices valid from 1 December 2026", date(2026, 12, 1), None, None),
        ("Valid until 31 January 2027", None, date(2027, 1, 31), None),
        ("Tarif valable du 01.12.2026 au 31.12.2026", date(2026, 12, 1), date(2026, 12, 31), None),
        ("Stand 24.11.2026", None, None, None),
        ("valid from 01/12/2026", None, None, "day-order"),
        ("gültig 06.12.2026 - 30.11.2026", None, None, "validity-backward"),
        ("gültig 01.12.2026", date(2026, 12, 1), None, "validity-unclear"),
    ],
)  # fmt: skip
def test_when_a_list_holds(text: str, since: date | None, until: date | None, odd: str | None) -> None:
    made = read(table(f"{text};;;\n{HEAD}\nA1;Gin;70cl;20,00"))
    (line,) = made.lines
    assert (line.since, line.until) == (since, until)
    assert [d.code for d in made.doubts] == ([odd] if odd else [])
    assert line.said("since") == (text if since else "")


def test_a_day_of_the_row_counts_before_that_of_the_list() -> None:
    made = read(table(f"gültig ab 01.12.2026;;;;\n{HEAD};Gültig ab\nA1;Gin;70cl;20,00;15.12.2026\nA2;Rum;70cl;20,00;"))
    assert [line.since for line in made] == [date(2026, 12, 15), date(2026, 12, 1)]
    assert [line.said("since") for line in made] == ["15.12.2026", "gültig ab 01.12.2026"]


@pytest.mark.parametrize(
    ("head", "foot", "tax"),
    [
        ("Preis netto", "", "ex"), ("Preis brutto", "", "inc"), ("Prix HT", "", "ex"), ("Prix TTC", "", "inc"),
        ("Price ex VAT", "", "ex"), ("Price inc. VAT", "", "inc"), ("Prijs excl. btw", "", "ex"),
        ("Prezzo IVA inclusa", "", "inc"),
        ("Precio sin IVA", "", "ex"), ("Preis", "Alle Preise zzgl. MwSt.", "ex"),
        ("Price", "All prices include VAT", "inc"),
        ("Price", "All prices including VAT", "inc"), ("Preis", "Zahlbar 14 Tage netto", "unknown"),
        ("Price", "", "unknown"),
        ("Prix", "Prix hors taxes, départ entrepôt", "ex"), ("Preis zzgl. Pfand", "", "unknown"),
    ],
)  # fmt: skip
def test_tax_words(head: str, foot: str, tax: str) -> None:
    assert one(table(f"Code;Name;Pack;{head}\nA1;Gin;70cl;20,00\n{foot};;;")).tax == tax


def test_tax_that_is_said_in_two_ways() -> None:
    made = read(table("Code;Name;Pack;Preis netto\nA1;Gin;70cl;20,00\nAlle Preise inkl. MwSt.;;;"))
    assert "tax-contradicts" in {d.code for d in made.doubts}
    assert made[0].tax == "ex"


def test_rates() -> None:
    made = read(listed("A1;Gin;70cl;20,00;19 %", "A2;Milk;1 L;1,00;7 %", head="Code;Name;Pack;Price;MwSt"))
    assert [line.rate for line in made] == [Decimal("0.19"), Decimal("0.07")]
    plain = read(listed("A1;Gin;70cl;20,00;19", "A2;Milk;1 L;1,00;5,5", head="Code;Name;Pack;Price;MwSt"))
    assert [line.rate for line in plain] == [Decimal("0.19"), Decimal("0.055")]
    shares = read(of_rows([("Code", "Name", "Pack", "Price", "VAT"), ("A1", "Gin", "70cl", "20.00", Figure("0.2"))]))
    assert shares[0].rate == Decimal("0.2")


def test_rows_that_stand_twice() -> None:
    made = read(
        listed("A1;Gin;70cl;20,00", "A2;Rum;70cl;21,00", "A1;Rye;1 L;22,00", "A3;Rum;70cl;23,00", "A4;Rum;1 L;24,00")
    )
    assert [codes(line) for line in made] == [{"twice"}, {"twice"}, {"twice"}, {"twice"}, set()]
    assert said(made[0], "twice") == {"rows": "row 4"}


def test_gtins_that_lost_their_zeros() -> None:
    """GS1, How to calculate a check digit manually: 629104150021 has the check digit 3."""
    made = read(
        listed("A1;Gin;6291041500213;70cl;20,00", "A2;Rum;6291041500214;70cl;20,00", head="Code;Name;EAN;Pack;Price")
    )
    assert [(line.gtin, codes(line)) for line in made] == [
        ("06291041500213", set()), ("06291041500214", {"gtin-check"}),
    ]  # fmt: skip


def test_a_price_with_the_deposit_in_it_is_doubted() -> None:
    assert codes(one(listed("A1;Soda;24 x 20cl;24,20", head="Code;Name;Pack;Preis inkl. Pfand"))) == {
        "deposit-in-price"
    }
    assert codes(one(listed("A1;Soda;24 x 20cl;24,20", head="Code;Name;Pack;Preis exkl. Pfand"))) == set()


def test_a_column_of_amounts_that_holds_packs_is_one_of_packs() -> None:
    line = one(listed("A1;Limes;10 x 100 g;12,20", head="Code;Name;Menge;Preis"))
    assert the(line.pack and line.pack.total, line.quantity, codes(line)) == (1000, None, set())


def test_progress_is_told() -> None:
    from costing.supply.columns import understand
    from tests.supply.columns.making import TODAY

    heard: list[tuple[int, int]] = []
    rows = [f"A{i};Gin no {i};70cl;20,00" for i in range(9000)]
    understand(listed(*rows), name="", digest="", today=TODAY, tell=lambda done, total: heard.append((done, total)))
    assert heard == [(0, 9000), (4000, 9000), (8000, 9000), (9000, 9000)]
