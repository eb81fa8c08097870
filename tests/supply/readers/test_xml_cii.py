"""UN/CEFACT Cross Industry Invoices, fact by fact. BT and BG are terms of EN 16931-1, bound by CEN/TS 16931-3-3; the
profile EXTENDED is that of Factur-X 1.0."""

from datetime import date
from decimal import Decimal

import pytest

from costing.supply.arriving.line import Incoming, Part
from tests.supply.readers.xml_made import cii, cii_charge, cii_line, codes, el, item, line, read, stamp, tag, ubl


def D(text: str) -> Decimal:
    return Decimal(text)


def group(net: str, tax: str, percent: str = "19.00") -> str:
    return tag("ApplicableTradeTax", tag("CalculatedAmount", tax), tag("TypeCode", "VAT"), tag("BasisAmount", net),
               tag("CategoryCode", "S"), tag("RateApplicablePercent", percent))  # fmt: skip


def sums(**amounts: str) -> str:
    return "".join(tag(f"{name}Amount", amount) for name, amount in amounts.items())


GOOD = sums(LineTotal="168.00", TaxBasisTotal="168.00", TaxTotal="31.92", GrandTotal="199.92", DuePayable="199.92")


def test_every_fact_of_a_line() -> None:
    found = read(cii(cii_line(gtin="06291041500213", ident="12"), settled=group("168.00", "31.92"), sums=GOOD))
    assert (found.shape, found.kind, found.number, found.day) == (
        "cii",
        "invoice",
        "F-7",
        date(2026, 11, 17),
    )  # BT-1 to 3
    assert (found.supplier, found.supplier_id) == ("Lantern Drinks", "XH100200300")  # BT-27; BT-31 has the scheme VA
    assert (found.currency, found.total, codes(found)) == ("EUR", D("168.00"), set())  # BT-5, BT-109
    (one,) = found
    assert (one.code, one.gtin, one.name) == ("G-1", "06291041500213", "Gin Fogbell 6x70cl")  # BT-155, 157, 153
    assert (one.price, one.base, one.per) == (D("84.00"), D("1"), "pack")  # BT-146, BT-149
    assert (one.quantity, one.unit, one.total) == (D("2"), "XCS", D("168.00"))  # BT-129, 130, 131
    assert (one.tax, one.rate, one.said("category"), one.currency) == ("ex", D("0.19"), "S", "EUR")  # BT-152, 151
    assert (one.where, codes(one)) == ("line 12", set())  # BT-126
    assert one.pack is not None
    assert one.pack.total == D("4200")


def test_the_same_facts_in_both_syntaxes() -> None:
    """EN 16931 binds one model to two syntaxes."""
    one, other = read(ubl(line(goods=item(gtin="06291041500213"))))[0], read(cii(cii_line(gtin="06291041500213")))[0]
    for name in (
        "code",
        "gtin",
        "name",
        "pack",
        "price",
        "base",
        "per",
        "tax",
        "rate",
        "quantity",
        "unit",
        "total",
        "since",
    ):
        assert getattr(one, name) == getattr(other, name), name


def test_head_facts() -> None:
    terms = tag("SpecifiedTradePaymentTerms", tag("Description", "30 days"), stamp("DueDateDateTime", "20261217"))
    before = tag("InvoiceReferencedDocument", tag("IssuerAssignedID", "F-1"))
    event = tag("ActualDeliverySupplyChainEvent", stamp("OccurrenceDateTime", "20261116"))
    period = tag("BillingSpecifiedPeriod", stamp("StartDateTime", "20261101"), stamp("EndDateTime", "20261130"))
    found = read(
        cii(cii_line(), settled=period + terms + before, delivered=event,
            document=tag("IncludedNote", tag("Content", "Hello")),
            agreed=tag("BuyerOrderReferencedDocument", tag("IssuerAssignedID", "O-9")))
    )  # fmt: skip
    assert (found.due, found.order, found.corrects) == (date(2026, 12, 17), "O-9", "F-1")  # BT-9, 13, 25
    told = {d.code: dict(d.values) for d in found.doubts}
    assert told == {
        "terms": {"text": "30 days"},
        "delivered": {"day": "2026-11-16"},
        "period": {"period": "2026-11-01/2026-11-30"},
        "document-note": {"text": "Hello"},
    }  # fmt: skip  BT-20, 72, 73, 74, 22


@pytest.mark.parametrize(
    ("text", "form", "day"),
    [
        ("20261117", "102", date(2026, 11, 17)),
        ("202611171530", "203", date(2026, 11, 17)),
        ("20261117", "", date(2026, 11, 17)),
        ("2026-11-17", "102", date(2026, 11, 17)),
        ("202611", "610", None),
        ("20261332", "102", None),
    ],
)  # fmt: skip  UNCL 2379: 102 CCYYMMDD, 203 CCYYMMDDHHMM, 610 CCYYMM
def test_days(text: str, form: str, day: date | None) -> None:
    found = read(cii(cii_line()).replace(stamp("IssueDateTime").encode(), stamp("IssueDateTime", text, form).encode()))
    assert found.day == day
    assert ("not-a-day" in codes(found)) is (day is None)


def gross(amount: str, *inside: str, base: str = "") -> str:
    basis = tag("BasisQuantity", base, unitCode="XCS") if base else ""
    return tag("GrossPriceProductTradePrice", tag("ChargeAmount", amount), basis, *inside)


def off(amount: str, adds: bool = False) -> str:
    return cii_charge(amount, adds=adds, name="AppliedTradeAllowanceCharge")


def test_gross_price_and_discount() -> None:
    """BT-148 less BT-147 is BT-146."""
    found = read(cii(cii_line(gross=gross("90.00", off("6.00")))))[0]
    assert (found.price, found.said("gross"), found.said("discount"), codes(found)) == (
        D("84.00"),
        "90.00",
        "6.00",
        set(),
    )
    assert "gross-net" in codes(read(cii(cii_line(gross=gross("90.00", off("5.00")))))[0])
    several = gross("90.00", off("8.00"), off("2.00", adds=True))
    assert codes(read(cii(cii_line(gross=several)))[0]) == set()


def test_the_base_stands_on_either_price() -> None:
    on_net = read(cii(cii_line(24, "6.00", "12.00", unit="C62", base=12, name="Egg of the yard")))[0]
    assert (on_net.base, on_net.per, codes(on_net)) == (D("12"), "each", set())
    on_gross = read(cii(cii_line(24, "6.00", "12.00", gross=gross("6.00", base="12"))))[0]
    assert (on_gross.base, codes(on_gross)) == (D("12"), set())


def test_a_missing_net_price_is_worked_from_the_gross_one_and_doubted() -> None:
    found = read(cii(cii_line(price=None, gross=gross("90.00", off("6.00")))))[0]
    assert (found.price, codes(found)) == (D("84.00"), {"net-from-gross"})
    none = read(cii(cii_line(price=None)))[0]
    assert (none.price, "price-missing" in codes(none)) == (None, True)


def test_charges_and_allowances() -> None:
    parts = cii_charge("4.00", reason="Freight", code="FC") + cii_charge(
        "2.00", adds=False, reason="Loyalty", code="95"
    )
    found = read(cii(cii_line(net="170.00", settled=parts)))[0]
    assert found.parts == (
        Part(name="Freight", amount=D("4.00"), code="FC"),
        Part(name="Loyalty", amount=D("-2.00"), code="95"),
    )
    assert codes(found) == set()
    percent = tag("CalculationPercent", "10") + tag("BasisAmount", "168.00")
    share = cii_charge("16.80", adds=False).replace("<ram:ActualAmount>", percent + "<ram:ActualAmount>")
    assert codes(read(cii(cii_line(net="151.20", settled=share)))[0]) == set()


def test_charges_of_the_whole_document_and_logistics() -> None:
    """BR-CO-12 in the profile EXTENDED: BT-108 counts logistics services too. 168.00 + 12.00 + 5.80 = 185.80; 35.30."""
    tax = tag("CategoryTradeTax", tag("CategoryCode", "S"), tag("RateApplicablePercent", "19"))
    service = tag(
        "SpecifiedLogisticsServiceCharge", tag("Description", "Freight"), tag("AppliedAmount", "5.80"),
        tag("AppliedTradeTax", tag("CategoryCode", "S"), tag("RateApplicablePercent", "19")),
    )  # fmt: skip
    amounts = sums(LineTotal="168.00", ChargeTotal="17.80", TaxBasisTotal="185.80", TaxTotal="35.30",
                   GrandTotal="221.10", TotalPrepaid="100.00", DuePayable="121.10")  # fmt: skip
    settled = group("185.80", "35.30") + cii_charge("12.00", reason="Crates", code="RAD", tax=tax) + service
    found = read(cii(cii_line(), settled=settled, sums=amounts))
    assert codes(found) == {"prepaid"}
    assert [(p.name, p.amount, p.deposit) for p in found.parts] == [
        ("Crates", D("12.00"), True),
        ("Freight", D("5.80"), False),
    ]


def test_totals_are_worked_again() -> None:
    bad = sums(LineTotal="168.00", TaxBasisTotal="160.00", TaxTotal="31.92", GrandTotal="199.92", DuePayable="150.00")
    found = read(cii(cii_line(), settled=group("168.00", "31.92"), sums=bad))
    assert {dict(d.values)["term"] for d in found.doubts} == {"BT-109", "BT-112", "BT-115"}


def test_a_second_total_of_tax_in_another_currency() -> None:
    two = tag("TaxTotalAmount", "27.10", currencyID="GBP") + tag("TaxTotalAmount", "31.92", currencyID="EUR")
    amounts = sums(LineTotal="168.00", TaxBasisTotal="168.00") + two + sums(GrandTotal="199.92", DuePayable="199.92")
    assert codes(read(cii(cii_line(), settled=group("168.00", "31.92"), sums=amounts))) == set()


@pytest.mark.parametrize(
    ("code", "kind"), [("380", "invoice"), ("384", "invoice"), ("389", "invoice"), ("381", "credit"), ("261", "credit")]
)
def test_types(code: str, kind: str) -> None:
    found = read(cii(cii_line(), type_code=code))
    assert (found.kind, found[0].quantity) == (kind, D("-2") if kind == "credit" else D("2"))


def test_returns_have_a_negative_quantity() -> None:
    found = read(cii(cii_line(-2, net="-168.00")))[0]
    assert (found.quantity, found.total, found.sort, codes(found)) == (D("-2"), D("-168.00"), "goods", set())
    keg = read(cii(cii_line(-2, "30.00", "-60.00", unit="XKG", name="Leergut Fass", code="")))[0]
    assert keg.sort == "return"


@pytest.mark.parametrize("profile", ["urn:factur-x.eu:1p0:minimum", "urn:factur-x.eu:1p0:basicwl"])
def test_profiles_without_lines_say_so(profile: str) -> None:
    found = read(cii(profile=profile, sums=sums(TaxBasisTotal="168.00", GrandTotal="199.92", DuePayable="199.92")))
    assert len(found) == 0
    assert ("no-lines", {"profile": profile}) in [(d.code, dict(d.values)) for d in found.doubts]
    assert found.total == D("168.00")


def status(reason: str, parent: str = "") -> str:
    return tag("ParentLineID", parent) + tag("LineStatusReasonCode", reason)


def test_groups_and_information_bill_nothing() -> None:
    """EXTENDED: GROUP adds up its DETAIL lines, INFORMATION has no amount: 168.00 is counted once."""
    lines = (
        cii_line(1, "168.00", "168.00", name="Bar package", about=status("GROUP"), ident="01"),
        cii_line(about=status("DETAIL", "01"), ident="0101"),
        cii_line(1, None, None, name="Tasting notes", about=status("INFORMATION", "0101"), ident="010101"),
    )
    found = read(cii(*lines, settled=group("168.00", "31.92"), sums=GOOD))
    assert [x.where for x in found] == ["line 0101"]
    assert [(x.where, x.text, x.why) for x in found.left_out] == [
        ("line 01", "Bar package", "group-line"), ("line 010101", "Tasting notes", "information-line"),
    ]  # fmt: skip
    assert codes(found) == set()
    assert found[0].n == 1


def test_a_line_of_text_alone_bills_nothing() -> None:
    text = tag("IncludedSupplyChainTradeLineItem", tag("AssociatedDocumentLineDocument", tag("LineID", "2"),
               tag("IncludedNote", tag("Content", "Chilled on the way"))))  # fmt: skip
    found = read(cii(cii_line(), text))
    assert (len(found), [(x.text, x.why) for x in found.left_out]) == (1, [("Chilled on the way", "text-line")])


def test_a_parent_that_is_not_called_a_group_is_doubted() -> None:
    lines = (cii_line(ident="1"), cii_line(about=tag("ParentLineID", "1"), ident="2"))
    found = read(cii(*lines))
    assert ["sub-lines" in codes(x) for x in found] == [True, False]


def test_characteristics_and_further_numbers() -> None:
    about = tag("ApplicableProductCharacteristic", tag("Description", "Inhalt"), tag("Value", "0,7 l"))
    about += tag("ApplicableProductCharacteristic", tag("Description", "Alkohol"), tag("Value", "41 % vol"))
    about += tag(
        "ApplicableProductCharacteristic", tag("Description", "Weight"), tag("ValueMeasure", "1.3", unitCode="KGM")
    )
    found = read(cii(cii_line(unit="XBO", name="Gin Fogbell", product=tag("BuyerAssignedID", "B-4") + about)))[
        0
    ]  # BT-156, 160
    assert (found.said("buyer_code"), found.said("abv"), found.pack and found.pack.content) == (
        "B-4",
        "41 % vol",
        D("700"),
    )


def test_what_came_free_is_doubted() -> None:
    found = read(cii(cii_line(delivered=tag("ChargeFreeQuantity", "1", unitCode="XCS"))))[0]
    assert (codes(found), found.said("free")) == ({"free-quantity"}, "1 XCS")


def test_copies_and_tests_are_marked() -> None:
    flag = el("udt:Indicator", "true")
    found = read(cii(cii_line(), document=tag("CopyIndicator", flag), context=tag("TestIndicator", flag)))
    assert codes(found) == {"copy", "test"}


@pytest.mark.parametrize("version", ["100", "22", "103"])
def test_versions_of_the_namespaces(version: str) -> None:
    assert len(read(cii(cii_line(), version=version))) == 1


def old(data: bytes) -> bytes:
    """The same as ZUGFeRD 1.0 named it."""
    text = data.decode()
    ours = "urn:un:unece:uncefact:data:standard:CrossIndustryInvoice:100"
    theirs = "urn:ferd:CrossIndustryDocument:invoice:1p0"
    for new, name in (
        ("rsm:CrossIndustryInvoice", "rsm:CrossIndustryDocument"),
        ("ExchangedDocumentContext", "SpecifiedExchangedDocumentContext"),
        ("rsm:ExchangedDocument>", "rsm:HeaderExchangedDocument>"),
        ("SupplyChainTradeTransaction", "SpecifiedSupplyChainTradeTransaction"),
        ("ApplicableHeaderTrade", "ApplicableSupplyChainTrade"),
        ("SpecifiedLineTrade", "SpecifiedSupplyChainTrade"),
        ("SettlementHeaderMonetary", "SettlementMonetary"),
        ("SettlementLineMonetary", "SettlementMonetary"),
        ("RateApplicablePercent", "ApplicablePercent"),
        (ours, theirs),
    ):
        text = text.replace(new, name)
    return text.encode()


def test_the_forerunner_is_read_too() -> None:
    made = cii(cii_line(), settled=group("168.00", "31.92"), sums=GOOD)
    now, then = read(made), read(old(made))
    assert codes(then) == {"old-version"}

    def facts(found: Incoming) -> list[object]:
        return [found.number, found.day, found.supplier, found.total, found.currency, *found.lines]

    assert facts(now) == facts(then)
