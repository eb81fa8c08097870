"""UBL invoices and credit notes, fact by fact. BT and BG are terms of EN 16931-1:2017, BR its rules, R those of Peppol
BIS Billing 3 (PEPPOL-EN16931-R...); syntax bindings by CEN/TS 16931-3-2."""

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from costing.supply.arriving.line import Part
from tests.supply.readers.xml_made import (
    category,
    charge,
    codes,
    el,
    item,
    line,
    money,
    one,
    party,
    read,
    taxes,
    totals,
    ubl,
)

SAMPLE = Path(__file__).parents[3] / "sample_data" / "prices" / "ropewalk-casks-invoice-2026-11-17.xml"
QUIET = frozenset({"document-total", "tax-total"})


def D(text: str) -> Decimal:
    return Decimal(text)


def test_every_fact_of_a_line() -> None:
    goods = item(gtin="04006381333931", code="G-1")  # 4006381333931 is GS1's own worked GTIN-13
    found = one(line(3, "84.00", "252.00", goods=goods, ident="12"))
    assert found.code == "G-1"  # BT-155
    assert found.gtin == "04006381333931"  # BT-157
    assert found.name == "Gin Fogbell 6x70cl"  # BT-153
    assert (found.quantity, found.unit) == (D("3"), "XCS")  # BT-129, BT-130
    assert (found.price, found.base, found.per) == (D("84.00"), D("1"), "pack")  # BT-146, BT-149 default 1
    assert found.total == D("252.00")  # BT-131
    assert (found.tax, found.rate) == ("ex", D("0.19"))  # BT-146 is without tax; BT-152
    assert found.said("category") == "S"  # BT-151
    assert found.currency == "EUR"  # BT-5
    assert found.since == date(2026, 11, 17)  # BT-2
    assert (found.n, found.where, found.sort) == (1, "line 12", "goods")  # BT-126
    assert found.pack is not None
    assert (found.pack.levels, found.pack.content, found.pack.unit, found.pack.total) == (
        (6,),
        D("700"),
        "ml",
        D("4200"),
    )
    assert found.said("price") == "84.00"
    assert codes(found) == set()


def test_the_head_of_an_invoice() -> None:
    head = "".join(
        (el("cbc:DueDate", "2026-12-01"), el("cac:OrderReference", el("cbc:ID", "O-9")),
         el("cac:BillingReference", el("cac:InvoiceDocumentReference", el("cbc:ID", "F-1"))),
         el("cac:Delivery", el("cbc:ActualDeliveryDate", "2026-11-16")),
         el("cac:PaymentTerms", el("cbc:Note", "30 days")))
    )  # fmt: skip
    found = read(ubl(line(), head=head))
    assert (found.name, found.shape, found.kind) == ("made.xml", "ubl-invoice", "invoice")
    assert (found.number, found.day, found.due) == ("F-7", date(2026, 11, 17), date(2026, 12, 1))  # BT-1, BT-2, BT-9
    assert (found.supplier, found.supplier_id) == ("Lantern Drinks", "XH100200300")  # BT-27, BT-31
    assert (found.order, found.corrects, found.currency) == ("O-9", "F-1", "EUR")  # BT-13, BT-25, BT-5
    told = {d.code: dict(d.values) for d in found.doubts}
    assert told["delivered"] == {"day": "2026-11-16"}  # BT-72
    assert told["terms"] == {"text": "30 days"}  # BT-20
    assert len(found.digest) == 64


def test_the_order_of_every_line_is_that_of_the_document() -> None:
    ref = el("cac:OrderLineReference", el("cbc:LineID", "4"), el("cac:OrderReference", el("cbc:ID", "O-3")))
    found = read(ubl(line(more=ref), line(more=ref, ident="2")))
    assert found.order == "O-3"
    assert found[0].said("order_line") == "4"  # BT-132


@pytest.mark.parametrize(
    ("names", "expected"),
    [
        (("Lantern Drinks", ""), "Lantern Drinks"),
        (("Lantern Drinks plc", "Lantern"), "Lantern Drinks plc"),  # BT-27 before BT-28
        (("", "Lantern"), "Lantern"),  # older UBL documents have the trade name alone
    ],
)
def test_who_sent_it(names: tuple[str, str], expected: str) -> None:
    assert read(ubl(line(), supplier=party(names[0], trade=names[1]))).supplier == expected


def test_a_description_stands_in_for_a_missing_name() -> None:
    found = one(line(goods=item("", description="Rum Saltlantern 6x1L")))
    assert found.name == "Rum Saltlantern 6x1L"
    assert found.pack is not None
    assert found.pack.total == D("6000")
    both = one(line(goods=item("Rum Saltlantern", description="6x1L")))
    assert (both.name, both.said("description")) == ("Rum Saltlantern", "6x1L")
    assert both.pack is not None
    assert both.pack.levels == (6,)


def test_other_numbers_and_properties_are_kept() -> None:
    more = "".join(
        (
            el("cac:AdditionalItemProperty", el("cbc:Name", "Content"), el("cbc:Value", "70 cl")),
            el("cac:AdditionalItemProperty", el("cbc:Name", "ABV"), el("cbc:Value", "41.2 %")),
            el("cac:AdditionalItemProperty", el("cbc:Name", "Cask"), el("cbc:Value", "oak")),
        )
    )  # fmt: skip  BG-32
    ids = el("cac:BuyersItemIdentification", el("cbc:ID", "B-4")) + el(
        "cac:ManufacturersItemIdentification", el("cbc:ID", "M-5")
    )
    found = one(line(unit="XBO", goods=item("Gin Fogbell", more=ids + more)))
    assert (found.said("buyer_code"), found.said("maker_code")) == ("B-4", "M-5")  # BT-156
    assert (found.said("abv"), ("property", "Cask: oak") in found.raw) == ("41.2 %", True)
    assert found.pack is not None
    assert found.pack.content == D("700")


def test_a_count_in_the_name_and_a_size_beside_it_are_one_pack() -> None:
    more = el("cac:AdditionalItemProperty", el("cbc:Name", "Inhalt"), el("cbc:Value", "0.7 l"))
    found = one(line(goods=item("Gin Fogbell, case of 6", more=more)))
    assert found.pack is not None
    assert (found.pack.levels, found.pack.total) == ((6,), D("4200"))
    assert "pack-joined" in codes(found)


@pytest.mark.parametrize(
    ("gtin", "scheme", "expected", "doubts"),
    [
        (
            "06291041500213",
            "0160",
            "06291041500213",
            set(),
        ),  # GS1, How to calculate a check digit manually: 629104150021-3
        ("6291041500213", "0160", "06291041500213", set()),
        ("6291041500214", "0160", "06291041500214", {"gtin-check"}),  # a wrong check digit warns and is never rejected
        ("6291041500213", "0088", "", {"scheme-other"}),  # 0088 is GLN (ISO 6523)
        ("6291041500213", "", "06291041500213", {"scheme-other"}),  # against BR-64
        ("6291041500213", "EAN13", "06291041500213", set()),  # common practice, no source
        ("ABC-1", "0160", "", {"gtin-letters"}),
    ],
)
def test_standard_numbers(gtin: str, scheme: str, expected: str, doubts: set[str]) -> None:
    found = one(line(goods=item(gtin=gtin, scheme=scheme)))
    assert found.gtin == expected
    assert codes(found) == doubts
    assert found.said("gtin") == gtin


@pytest.mark.parametrize(
    ("unit", "base", "per", "expected"),
    [
        ("KGM", "1", "kg", "1"),
        ("GRM", "100", "kg", "0.1"),
        ("LTR", "100", "l", "100"),
        ("MLT", "750", "l", "0.75"),
        ("CLT", "70", "l", "0.7"),
        ("HLT", "1", "l", "100"),
        ("LBR", "1", "kg", "0.45359237"),
        ("XCS", "1", "pack", "1"),
        ("XKG", "1", "pack", "1"),
        ("C62", "12", "each", "12"),
        ("DZN", "1", "each", "12"),
        ("HUR", "1", "", "1"),
    ],
)  # fmt: skip  factors by definition: UN/ECE Recommendation 20
def test_what_a_price_is_asked_for(unit: str, base: str, per: str, expected: str) -> None:
    found = one(line(unit=unit, base=base, net=None, goods=item("Cheese of the harbour")))
    assert (found.per, found.base, found.price) == (per, D(expected), D("84.00"))
    assert ("unit-unknown" in codes(found)) == (unit == "HUR")
    assert ("unit-scaled" in codes(found)) == (unit in ("GRM", "MLT", "CLT", "HLT", "LBR", "DZN"))


def test_one_piece_of_a_case_may_be_the_case() -> None:
    for unit in ("C62", "H87", "EA"):  # synonyms of one (UN/ECE Recommendation 20)
        found = one(line(unit=unit))
        assert (found.per, codes(found)) == ("pack", {"unit-each-or-case"})
    assert one(line(unit="XBO")).per == "each"  # a bottle is no case
    assert codes(one(line(unit="XBO"))) == {"unit-each-or-case"}
    single = one(line(unit="EA", goods=item("Gin Fogbell 70cl")))
    assert (single.per, codes(single)) == ("each", set())
    weighed = one(line("4.25", "18.00", "76.50", unit="KGM", goods=item("Cheese of the harbour 1 kg")))
    assert (weighed.per, weighed.quantity, codes(weighed)) == ("kg", D("4.25"), set())


def test_pack_elements_of_an_invoice() -> None:
    packs = el("cbc:PackQuantity", "4", unitCode="XPK") + el("cbc:PackSizeNumeric", "24")
    found = one(line(goods=item("Tonic Kelp 20cl", packs=packs)))
    assert found.pack is not None
    assert (found.pack.levels, found.pack.content, found.pack.total) == ((4, 6), D("200"), D("4800"))
    assert (found.said("below"), found.said("count")) == ("4 XPK", "24")
    other = one(line(goods=item("Tonic Kelp 12x20cl", packs=packs)))
    assert "pack-differs" in codes(other)
    odd = one(line(goods=item("Tonic Kelp 20cl", packs=el("cbc:PackQuantity", "5") + el("cbc:PackSizeNumeric", "24"))))
    assert "pack-levels" in codes(odd)


# the arithmetic


def test_the_rule_of_the_line_worked_by_hand() -> None:
    """BIS Billing 3, item net amount: net price / base x quantity, rounded, plus charges, less allowances. By hand:
    31.37 / 12 x 30 = 78.425, half up 78.43; + 4.50 - 1.05 = 81.88."""
    parts = charge("4.50", reason="Freight", code="FC") + charge("1.05", adds=False, reason="Loyalty", code="95")
    found = one(line(30, "31.37", "81.88", unit="C62", base=12, more=parts, goods=item("Lime of the house")))
    assert codes(found) == set()
    assert (found.price, found.base) == (D("31.37"), D("12"))  # kept apart: never divided
    assert found.parts == (
        Part(name="Freight", amount=D("4.50"), code="FC"),
        Part(name="Loyalty", amount=D("-1.05"), code="95"),
    )
    for net, fits in (("81.90", True), ("81.86", True), ("81.91", False), ("81.85", False)):  # R120: within 0.02
        off = one(line(30, "31.37", net, unit="C62", base=12, more=parts, goods=item("Lime of the house")))
        assert ("line-total" not in codes(off)) is fits
        assert off.price == D("31.37")


def test_a_stated_net_that_disagrees_never_makes_a_price() -> None:
    found = one(line(2, "84.00", "150.00"))
    assert found.price == D("84.00")
    (why,) = found.doubts
    assert (why.code, dict(why.values)) == ("line-total", {"stated": "150.00", "worked": "168.00"})
    missing = one(line(2, None, "150.00"))
    assert (missing.price, "price-missing" in codes(missing)) == (None, True)


def test_a_base_that_repeats_the_price() -> None:
    found = one(line(2, "84.00", "168.00", base="84.00"))
    assert {"base-suspect", "line-total"} <= codes(found)
    assert (found.price, found.base) == (D("84.00"), D("84.00"))
    wrong = one(line(2, "84.00", "168.00", base=6))  # only a base of one fits
    assert {"base-suspect", "line-total"} <= codes(wrong)


def test_a_price_of_a_hundred_litres_or_a_dozen() -> None:
    found = one(line(250, "120.00", "300.00", unit="LTR", base=100, goods=item("Vinegar of the house")))
    assert (found.per, found.base, codes(found)) == ("l", D("100"), set())  # BT-149
    dozen = one(line(24, "6.00", "12.00", unit="C62", base=12, goods=item("Egg of the yard")))
    assert (dozen.per, dozen.base, codes(dozen)) == ("each", D("12"), set())


def test_units_of_quantity_and_base() -> None:
    """R130: the unit of the base quantity must be that of the billed quantity."""
    same = one(line(500, "18.00", "9.00", unit="GRM", base=1, base_unit="KGM", goods=item("Tea of the pier")))
    assert (same.per, same.base) == ("kg", D("1"))
    assert codes(same) == {"base-unit", "unit-scaled"}  # 500 g at 18.00 a kg is 9.00: the line itself fits
    apart = one(line(5, "18.00", "9.00", unit="XCS", base=1, base_unit="KGM", goods=item("Tea of the pier")))
    assert codes(apart) == {"base-unit"}
    none = one(line(2, base=0))
    assert "base-odd" in codes(none)  # R121: above 0
    assert none.base == D("1")


def test_money_without_cents() -> None:
    """Zero-decimal money is checked to one unit; HUF has a minor unit in ISO 4217 that is not paid with."""
    for currency in ("HUF", "JPY"):
        near = one(line(3, "333.33", "1001", currency=currency), currency=currency)
        assert codes(near) == set()
        far = one(line(3, "333.33", "1002", currency=currency), currency=currency)
        assert codes(far) == {"line-total"}


def test_synonyms_of_one_are_one_unit() -> None:
    found = one(line(2, unit="EA", base=1, base_unit="C62", goods=item("Gin Fogbell 70cl")))
    assert codes(found) == set()


def test_a_number_in_a_name_that_is_no_pack_is_doubted() -> None:
    assert codes(one(line(goods=item("Gin Fogbell 70")))) == {"unit-missing"}
    assert codes(one(line("4.2", "20", "84", unit="KGM", goods=item("Ham of the pier 70")))) == set()


def test_older_documents_have_the_tax_where_the_net_belongs() -> None:
    """UBL 2.0 documents in the field state the tax as cbc:TaxExclusiveAmount; common practice, no source."""
    foot = taxes(("168.00", "31.92", "S", 19), total="31.92")
    foot += totals(LineExtension="168.00", TaxExclusive="31.92", Payable="199.92")
    found = read(ubl(line(), foot=foot))
    assert (found.total, codes(found)) == (D("168.00"), {"document-total"})


def test_gross_price_and_discount() -> None:
    """BT-146 = BT-148 - BT-147 (R046)."""
    off = charge("6.00", adds=False, base="90.00")
    found = one(line(price_more=off))
    assert (found.price, found.said("gross"), found.said("discount"), codes(found)) == (
        D("84.00"),
        "90.00",
        "6.00",
        set(),
    )
    assert "gross-net" in codes(one(line(price_more=charge("5.00", adds=False, base="90.00"))))


def test_shares_of_a_base_amount() -> None:
    """BT-136 = BT-137 x BT-138 / 100 (R040); UBL's own multiplier of 0.05 means the same."""
    for factor in ("5", "0.05"):
        found = one(
            line(2, "84.00", "159.60", more=charge("8.40", adds=False, base="168.00", factor=factor, reason="House"))
        )
        assert codes(found) == set()
    assert "part-share" in codes(
        one(line(2, "84.00", "158.00", more=charge("10.00", adds=False, base="168.00", factor=5)))
    )
    worked = one(line(2, "84.00", "159.60", more=charge(None, adds=False, base="168.00", factor=5)))
    assert (worked.parts[0].amount, codes(worked)) == (D("-8.4"), {"part-worked"})
    unsaid = one(line(2, "84.00", "176.40", more=charge("8.40", adds=None)))
    assert codes(unsaid) == {"charge-or-allowance"}


def test_reasons_of_charges() -> None:
    """UNCL 7161: RAD returnable container, FC freight, DL delivery, PC packing, ABL additional packaging."""
    found = one(
        line(2, "84.00", "173.00", more="".join(charge("1.00", code=c) for c in ("RAD", "FC", "DL", "PC", "ABL")))
    )
    assert [(p.code, p.deposit) for p in found.parts] == [
        ("RAD", True), ("FC", False), ("DL", False), ("PC", False), ("ABL", False)
    ]  # fmt: skip
    worded = one(line(2, "84.00", "169.00", more=charge("1.00", reason="Kistenpfand")))
    assert worded.parts[0].deposit


def test_the_totals_of_a_whole_document() -> None:
    """BR-CO-10 to BR-CO-17 by hand: 168.00 + 50.00 = 218.00; - 10.00 + 12.00 = 220.00; tax at 19 % 41.80;
    261.80 - 100.00 prepaid + 0.20 rounding = 162.00."""
    tax = category()
    parts = charge("10.00", adds=False, reason="Loyalty", code="95", tax=tax) + charge(
        "12.00", reason="Freight", code="FC", tax=tax
    )
    good = {"LineExtension": "218.00", "TaxExclusive": "220.00", "TaxInclusive": "261.80", "AllowanceTotal": "10.00",
            "ChargeTotal": "12.00", "Prepaid": "100.00", "PayableRounding": "0.20", "Payable": "162.00"}  # fmt: skip
    lines = (line(), line(1, "50.00", "50.00", ident="2"))
    groups = taxes(("220.00", "41.80", "S", 19), total="41.80")
    found = read(ubl(*lines, foot=parts + groups + totals(**good)))
    assert codes(found) == {"prepaid"}  # BT-113
    assert found.total == D("220.00")  # BT-109
    assert [(p.name, p.amount) for p in found.parts] == [("Loyalty", D("-10.00")), ("Freight", D("12.00"))]
    terms = {"LineExtension": "BT-106", "AllowanceTotal": "BT-107", "ChargeTotal": "BT-108", "TaxExclusive": "BT-109",
             "TaxInclusive": "BT-112", "Payable": "BT-115"}  # fmt: skip
    for name, term in terms.items():
        bad = read(ubl(*lines, foot=parts + groups + totals(**{**good, name: "7.00"})))
        assert term in {dict(d.values)["term"] for d in bad.doubts if d.code == "document-total"}


def test_tax_by_group() -> None:
    """BR-S-08: BT-116 is the sum of the lines of its category and rate; BR-CO-17: BT-117 = BT-116 x BT-119 / 100."""
    lines = (
        line(),
        line(1, "50.00", "50.00", ident="2", goods=item(tax=category("cac:ClassifiedTaxCategory", percent=7))),
    )
    good = taxes(("168.00", "31.92", "S", 19), ("50.00", "3.50", "S", "7.00"), total="35.42")
    assert codes(read(ubl(*lines, foot=good))) == set()
    swapped = taxes(("50.00", "9.50", "S", 19), ("168.00", "11.76", "S", 7), total="21.26")
    assert {dict(d.values)["term"] for d in read(ubl(*lines, foot=swapped)).doubts} == {"BT-116"}
    wrong = taxes(("168.00", "33.00", "S", 19), ("50.00", "3.50", "S", 7), total="36.50")
    assert {dict(d.values)["term"] for d in read(ubl(*lines, foot=wrong)).doubts} == {"BT-117"}
    summed = taxes(("168.00", "31.92", "S", 19), ("50.00", "3.50", "S", 7), total="40.00")
    assert {dict(d.values)["term"] for d in read(ubl(*lines, foot=summed)).doubts} == {"BT-110"}


@pytest.mark.parametrize(
    ("code", "percent"),
    [("S", 19), ("Z", 0), ("E", 0), ("O", None), ("AE", 0), ("K", 0), ("G", 0), ("L", 7), ("M", 4), ("B", 22)],
)  # UNCL 5305
def test_tax_categories(code: str, percent: int | None) -> None:
    found = one(line(goods=item(tax=category("cac:ClassifiedTaxCategory", code, percent))))
    assert found.said("category") == code
    assert found.rate == (None if percent is None else D(str(percent)) / 100)


def test_tax_that_is_said_to_be_included() -> None:
    """cbc:TaxIncludedIndicator of UBL 2.1: such prices are not called net."""
    foot = taxes(("168.00", "31.92", "S", 19), total="31.92")
    foot = foot.replace(
        "</cbc:TaxAmount>", "</cbc:TaxAmount><cbc:TaxIncludedIndicator>true</cbc:TaxIncludedIndicator>", 1
    )
    found = read(ubl(line(), foot=foot))
    assert (found[0].tax, codes(found)) == ("unknown", {"tax-included"})


def test_tax_in_a_second_currency_is_not_added() -> None:
    """BT-6 and BT-111: a second TaxTotal in the currency of the tax office."""
    foot = taxes(("168.00", "31.92", "S", 19), total="31.92") + taxes(total="27.10", currency="GBP")
    foot += totals(LineExtension="168.00", TaxExclusive="168.00", TaxInclusive="199.92", Payable="199.92")
    assert codes(read(ubl(line(), head=el("cbc:TaxCurrencyCode", "GBP"), foot=foot))) == set()


def test_a_note_that_contradicts_the_tax() -> None:
    foot = taxes(("168.00", "31.92", "S", 19), total="31.92")
    for note, contradicts in (
        ("VAT at 21 % included", True), ("USt. 19 %", False), ("3 % discount within 10 days", False),
        ("Reverse charge", True), ("7,00 % MwSt", True), ("Thank you", False),
    ):  # fmt: skip
        found = read(ubl(line(), head=el("cbc:Note", note), foot=foot))
        assert ("note-tax" in codes(found)) is contradicts, note
        assert found[0].rate == D("0.19")
        assert ("text", note) in {v for d in found.doubts if d.code == "document-note" for v in d.values}


# what goes back


def test_a_credit_note_gives_money_back() -> None:
    """Positive quantities of a credit note are money back: the sign comes from the type of the document (BT-3)."""
    credit = line(kind="CreditNote", more=charge("1.00"), net="169.00")
    foot = charge("2.00", code="FC") + totals(LineExtension="169.00", ChargeTotal="2.00", TaxExclusive="171.00")
    documents = [ubl(credit, kind="CreditNote", foot=foot)]
    plain = line(more=charge("1.00"), net="169.00")
    documents += [ubl(plain, type_code=code, foot=foot) for code in ("381", "261", "396")]
    for data in documents:
        found = read(data)
        assert found.kind == "credit"
        assert (found[0].quantity, found[0].price, found[0].total) == (D("-2"), D("84.00"), D("-169.00"))
        assert (found[0].parts[0].amount, found.parts[0].amount, found.total) == (D("-1.00"), D("-2.00"), D("-171.00"))
        assert (found[0].said("quantity"), found[0].said("total")) == ("2", "169.00")
        assert codes(found[0]) == set()
    assert read(documents[0]).shape == "ubl-credit"
    assert read(documents[1]).shape == "ubl-invoice"


@pytest.mark.parametrize("code", ["380", "384", "389", "326", "388", "393", "82"])
def test_types_that_bill(code: str) -> None:
    found = read(ubl(line(), type_code=code))
    assert (found.kind, found[0].quantity, codes(found)) == ("invoice", D("2"), set())  # UNCL 1001


@pytest.mark.parametrize(
    ("code", "doubt"),
    [("325", "type-proforma"), ("386", "type-prepayment"), ("383", "type-debit"), ("x", "type-unknown")],
)
def test_types_that_are_doubted(code: str, doubt: str) -> None:
    assert codes(read(ubl(line(), type_code=code))) == {doubt}


def test_a_credit_note_with_a_line_that_is_billed_again() -> None:
    lines = (line(kind="CreditNote"), line(-1, "84.00", "-84.00", kind="CreditNote", ident="2"))
    found = read(ubl(*lines, kind="CreditNote"))
    assert [(x.quantity, x.total) for x in found] == [(D("-2"), D("-168.00")), (D("1"), D("84.00"))]
    turned = read(
        ubl(lines[1], kind="CreditNote", foot=totals(LineExtension="-84.00", TaxExclusive="-84.00", Payable="-84.00"))
    )
    assert "credit-sign" in codes(turned)


def test_returns_and_corrections_in_an_invoice() -> None:
    """BR-27: a net price is not negative; what goes back has a negative quantity."""
    found = one(line(-2, "84.00", "-168.00"))
    assert (found.sort, found.quantity, found.total, codes(found)) == ("goods", D("-2"), D("-168.00"), set())
    negative = one(line(2, "-84.00", "-168.00"))
    assert codes(negative) == {"price-negative"}


@pytest.mark.parametrize(
    ("name", "quantity", "sort"),
    [
        ("Deposit keg", 2, "deposit"),
        ("Deposit keg", -2, "return"),
        ("Kistenpfand 24er", 2, "deposit"),
        ("Leergut", -3, "return"),
        ("Consigne fût", 1, "deposit"),
        ("Statiegeld krat", 1, "deposit"),
        ("Kaution", 1, "deposit"),
        ("Returned keg G-1", -1, "return"),
        ("Empty kegs", -1, "return"),
        ("Keg deposit 30 l", 1, "deposit"),
        ("Freight", 1, "charge"),
        ("Frachtkosten", 1, "charge"),
        ("Delivery", 1, "charge"),
        ("Europalette", 2, "deposit"),
        ("Palettes", -2, "return"),
        ("Versandkostenpauschale", 1, "charge"),
        ("Bonus 2025", -1, "rebate"),
        ("Jahresrabatt", -1, "rebate"),
        ("Vacuum bags", 1, "goods"),
        ("Port of the pier", 1, "goods"),
        ("Passionfruit", 1, "goods"),
        ("Passionsfrucht", 1, "goods"),
        ("Lager zzgl. Pfand", 1, "goods"),
        ("Lager carriage", 1, "charge"),
    ],
)  # fmt: skip  common practice, no source
def test_lines_that_buy_nothing(name: str, quantity: int, sort: str) -> None:
    found = one(line(quantity, "3.30", D("3.30") * quantity, goods=item(name, code="")))
    assert found.sort == sort


def test_a_numbered_item_is_goods_unless_its_name_begins_otherwise() -> None:
    assert one(line(goods=item("Lager Kelp 24x33cl incl. Pfand"))).sort == "goods"
    assert one(line(goods=item("Stout Special Delivery 24x33cl"))).sort == "goods"
    crate = one(line(goods=item("Pfand Kasten 24x0,33l", code="PF-1")))
    assert (crate.sort, codes(crate)) == ("deposit", {"sort-by-words"})
    unclear = one(line(goods=item("Lager Kelp 24x33cl Pfand", code="")))
    assert (unclear.sort, "goods-or-deposit" in codes(unclear)) == ("goods", True)


def test_deposits_in_a_credit_note_went_back() -> None:
    found = read(
        ubl(line(4, "30.00", "120.00", kind="CreditNote", goods=item("Deposit keg", code="")), kind="CreditNote")
    )
    assert (found[0].sort, found[0].quantity) == ("return", D("-4"))


# what is missing, odd or beside


def test_an_invoice_without_lines_says_so() -> None:
    found = read(ubl())
    assert len(found) == 0
    assert "no-lines" in codes(found)


def test_lines_inside_lines_are_not_lost() -> None:
    """cac:SubInvoiceLine (UBL 2.1; the extension of XRechnung): the line above has their sum."""
    sub = el("cac:SubInvoiceLine", el("cbc:ID", "1.1"), item("Gin Fogbell", code="G-1"))
    found = read(ubl(line(tail=sub + sub)))
    assert len(found) == 1
    assert ("sub-lines", {"n": "2"}) in [(d.code, dict(d.values)) for d in found[0].doubts]
    assert [(left.where, left.text, left.why) for left in found.left_out] == [
        ("line 1.1", "Gin Fogbell", "sub-line")
    ] * 2


def test_a_bare_line_of_older_documents() -> None:
    """UBL requires of a line only its ID, its net amount and an item."""
    bare = el(
        "cac:InvoiceLine",
        el("cbc:ID", "1"),
        money("cbc:LineExtensionAmount", "9.00"),
        el("cac:Item", el("cbc:Description", "Tray")),
    )
    found = one(bare)
    assert (found.name, found.price, found.total, found.quantity) == ("Tray", None, D("9.00"), None)
    assert codes(found) == {"price-missing", "quantity-missing", "order-unit-missing"}


def test_a_head_with_nothing_in_it_is_doubted() -> None:
    data = ubl(line(currency=""), number="", day="", currency="", supplier=" ")
    assert {"number-missing", "day-missing", "currency-missing", "supplier-missing"} <= codes(read(data))
    assert "not-a-day" in codes(read(ubl(line(), day="17.11.2026")))
    assert read(ubl(line(), day="2026-11-17+01:00")).day == date(2026, 11, 17)


@pytest.mark.parametrize("text", ["84,00", "1.234,50", "1 234.50", "1e2", "٨٤", "84.00 EUR", "--5", "9" * 40])
def test_what_is_no_number_is_never_one(text: str) -> None:
    """W3C XML Schema Part 2, 3.2.3: a decimal has a point, and no grouping, exponent or other digits."""
    found = one(line(2, text, "168.00"))
    assert found.price is None
    assert "not-a-number" in codes(found)
    assert found.said("price") == " ".join(text.split())


def test_currencies() -> None:
    found = read(ubl(line(currency="GBP")))
    assert found[0].currency == "GBP"
    assert codes(found) == {"currency-differs"}


def test_a_free_bottle_is_never_a_price() -> None:
    assert codes(one(line(1, "0", "0"))) == {"price-zero"}


def test_line_notes_periods_and_accounts_are_kept() -> None:
    more = (
        el("cbc:Note", "From the new cask")
        + el("cbc:AccountingCost", "bar")
        + el("cac:InvoicePeriod", el("cbc:StartDate", "2026-11-01"))
    )
    found = one(line(more=more))
    assert (found.note, found.said("account"), found.said("period")) == (
        "From the new cask",
        "bar",
        "2026-11-01/",
    )  # BT-127, 133, 134


def test_self_billing_documents() -> None:
    found = read(ubl(line(), kind="SelfBilledInvoice"))
    assert (found.kind, codes(found)) == ("invoice", {"self-billed"})
    back = read(ubl(line(kind="CreditNote"), kind="SelfBilledCreditNote"))
    assert (back.kind, back[0].quantity) == ("credit", D("-2"))


def test_the_sample_invoice() -> None:
    found = read(SAMPLE.read_bytes())
    assert (found.number, found.supplier, found.supplier_id, found.total) == (
        "RC-2026-4471",
        "Ropewalk Casks",
        "XH100200300",
        D("1149.50"),
    )
    assert [x.sort for x in found] == ["goods"] * 12 + ["deposit"] * 3 + ["return"]
    assert {x.code: x.doubts for x in found if x.doubts} == {}
    assert codes(found) == {"document-note"}
    assert sum((x.total or D("0") for x in found), D("0")) == found.total
