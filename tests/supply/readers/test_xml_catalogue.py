"""UBL catalogues, fact by fact: OASIS UBL 2.1 Catalogue, and the Peppol catalogue transaction T19 by its guide."""

from datetime import date
from decimal import Decimal

import pytest

from costing.book.records import Break
from costing.supply.arriving.line import PriceLine
from tests.supply.readers.xml_made import (
    catalogue,
    catalogue_line,
    category,
    codes,
    el,
    item,
    located,
    money,
    read,
    valid,
)


def D(text: str) -> Decimal:
    return Decimal(text)


def sizes(below: object = None, units: object = None, below_unit: str = "XBO") -> str:
    """cbc:PackQuantity and cbc:PackSizeNumeric."""
    one = "" if below is None else el("cbc:PackQuantity", str(below), unitCode=below_unit)
    return one + ("" if units is None else el("cbc:PackSizeNumeric", str(units)))


def holds(amount: object, unit: str = "MLT") -> str:
    return el("cbc:ContentUnitQuantity", str(amount), unitCode=unit)


def compared(price: str, quantity: str = "1", unit: str = "LTR") -> str:
    return el("cac:ItemComparison", money("cbc:PriceAmount", price), el("cbc:Quantity", quantity, unitCode=unit))


def only(*lines: str, **said: str) -> PriceLine:
    (found,) = read(catalogue(*lines, **said))
    return found


def test_every_fact_of_a_catalogue_line() -> None:
    goods = item("Gin Fogbell", gtin="06291041500213", packs=sizes(6, 6), more=el("cbc:BrandName", "Fogbell"))
    more = el("cbc:MinimumOrderQuantity", "2") + el("cbc:OrderQuantityIncrementNumeric", "1")
    found = only(
        catalogue_line(
            located(),
            goods=goods,
            content=holds("0.7", "LTR"),
            more=more + compared("20.00"),
            before=valid("cac:LineValidityPeriod", "2026-12-01"),
        )
    )
    assert (found.code, found.gtin, found.name) == ("G-1", "06291041500213", "Gin Fogbell")
    assert (found.price, found.base, found.per, found.currency, found.tax) == (D("84.00"), D("1"), "pack", "EUR", "ex")
    assert found.pack is not None
    assert (found.pack.levels, found.pack.content, found.pack.unit, found.pack.total) == (
        (6,),
        D("700"),
        "ml",
        D("4200"),
    )
    assert (found.unit, found.minimum, found.rate) == ("XCS", D("2"), D("0.19"))
    assert (found.since, found.until) == (date(2026, 12, 1), None)
    assert (found.said("step"), found.said("brand"), found.said("compared")) == ("1", "Fogbell", "20.00 / 1 LTR")
    assert codes(found) == set()


def test_the_head_of_a_catalogue() -> None:
    found = read(catalogue(catalogue_line(located()), days=valid("cac:ValidityPeriod", "2026-12-01", "2027-02-28")))
    assert (found.shape, found.kind, found.number, found.day) == (
        "ubl-catalogue",
        "catalogue",
        "K-3",
        date(2026, 11, 1),
    )
    assert (found.supplier, found.currency, found.total) == ("Lantern Drinks", "EUR", None)
    assert (found[0].since, found[0].until) == (date(2026, 12, 1), date(2027, 2, 28))


@pytest.mark.parametrize(
    ("below", "units", "levels"),
    [(None, 6, (6,)), (6, 6, (6,)), (4, 24, (4, 6)), (1, 6, (6,)), (6, None, (6,)), (1, 1, ()), (None, None, ())],
)  # PackQuantity is the next level down, PackSizeNumeric counts consumer units
def test_levels(below: int | None, units: int | None, levels: tuple[int, ...]) -> None:
    found = only(catalogue_line(located(), packs=sizes(below, units)))
    assert found.pack is not None
    assert (found.pack.levels, found.pack.content) == (levels, D("700"))


def test_a_pack_quantity_that_is_a_weight() -> None:
    found = only(catalogue_line(located(), name="Sugar of the pier", packs=sizes(25, None, "KGM")))
    assert found.pack is not None
    assert (found.pack.levels, found.pack.content, found.pack.unit) == ((), D("25000"), "g")


def test_a_consumer_unit_holds_one() -> None:
    """PackLevelCode: CU consumer unit, TU trade unit, HN handling unit, DU despatch unit."""
    assert "pack-level" in codes(only(catalogue_line(located(), packs=sizes(6, 6), level="CU")))
    assert "pack-level" not in codes(only(catalogue_line(located(), packs=sizes(6, 6), level="TU")))


@pytest.mark.parametrize(
    ("content", "name", "asked", "a_litre", "each"),
    [
        ("1500", "Tonic Kelp", "6.00", "4.00", "250"),  # 6.00 / 1.5 L = 4.00: the content is that of the whole
        ("250", "Tonic Kelp", "6.00", "4.00", "250"),  # 6.00 / (6 x 0.25 L) = 4.00: it is that of each
        ("1500", "Tonic Kelp 6x250ml", "6.00", None, "250"),  # by name
        ("250", "Tonic Kelp 6x250ml", "6.00", None, "250"),
        ("1500", "Tonic Kelp 250ml", "6.00", None, "250"),
        ("1500", "Tonic Kelp", "6.00", None, None),  # nothing decides: asked
        ("1500", "Tonic Kelp", "6.00", "9.99", None),  # and what fits neither does not
    ],
)
def test_a_content_of_each_or_of_all(
    content: str, name: str, asked: str, a_litre: str | None, each: str | None
) -> None:
    """ContentUnitQuantity is defined as what each consumable unit holds, and published examples give the whole."""
    found = only(
        catalogue_line(
            located(asked),
            name=name,
            packs=sizes(6, 6),
            content=holds(content),
            more=compared(a_litre) if a_litre else "",
        )
    )
    assert found.pack is not None
    assert found.pack.content == (None if each is None else D(each))
    assert ("content-which" in codes(found)) is (each is None)


def test_a_comparison_and_a_name_that_differ_decide_nothing() -> None:
    found = only(
        catalogue_line(
            located("6.00"), name="Tonic Kelp 6x1.5l", packs=sizes(6, 6), content=holds("1500"), more=compared("4.00")
        )
    )
    assert found.pack is not None
    assert (found.pack.content, "content-which" in codes(found)) == (None, True)


def test_units_and_factors() -> None:
    weighed = only(catalogue_line(located("18.00", base=1, unit="KGM", factor=5), name="Cheese of the harbour 5 kg"))
    assert (weighed.per, weighed.base, codes(weighed)) == ("kg", D("1"), set())
    bottle = only(catalogue_line(located("14.00", base=1, unit="XBO", factor=6), packs=sizes(6, 6)))
    assert (bottle.per, bottle.price, codes(bottle)) == ("each", D("14.00"), set())
    wrong = only(catalogue_line(located("14.00", base=1, unit="XBO", factor=12), packs=sizes(6, 6)))
    assert (wrong.per, "price-factor" in codes(wrong)) == ("", True)
    untold = only(catalogue_line(located("14.00", base=1, unit="C62"), name="Gin Fogbell 6x70cl"))
    assert "unit-each-or-case" in codes(untold)
    article = only(catalogue_line(located(base=1, unit="EA"), order_unit="EA", packs=sizes(6, 6)))
    assert (article.per, codes(article)) == ("pack", set())  # the elements say what one of them is
    dozen = only(catalogue_line(located("6.00", base=12, unit="C62"), order_unit="C62", name="Egg of the yard"))
    assert (dozen.per, dozen.base) == ("each", D("12"))


def test_quantity_breaks() -> None:
    prices = (located("80.00", least=10, most=49), located("84.00", least=1, most=9), located("76.00", least=50))
    found = only(catalogue_line(*prices, packs=sizes(6, 6)))
    assert found.price == D("84.00")
    assert found.breaks == (Break(packs=D("10"), price=D("80.00")), Break(packs=D("50"), price=D("76.00")))
    assert (found.minimum, codes(found)) == (None, set())
    overlaps = (located("84.00", most=20), located("80.00", least=10))
    assert "break-overlaps" in codes(only(catalogue_line(*overlaps)))
    whole = (located("84.00", least=6), located("80.00", least=12))
    assert only(catalogue_line(*whole)).minimum == D("6")


def test_breaks_of_a_price_for_one_piece_or_a_weight() -> None:
    prices = [located(p, base=1, unit="XBO", factor=6, least=n) for p, n in (("14.00", 1), ("13.00", 10))]
    assert only(catalogue_line(*prices, packs=sizes(6, 6))).breaks == (Break(packs=D("10"), price=D("78.00")),)
    weighed = [located(p, base=1, unit="KGM", least=n) for p, n in (("18.00", 1), ("16.00", 10))]
    found = only(catalogue_line(*weighed, name="Cheese of the harbour 5 kg"))
    assert found.breaks == (Break(packs=D("10"), price=D("80.00")),)
    unknown = only(catalogue_line(*weighed, name="Cheese of the harbour"))
    assert (unknown.breaks, "break-unit" in codes(unknown)) == ((), True)


def test_days_lie_in_each_other() -> None:
    """cac:ValidityPeriod of the file holds that of the line, and this one that of the price."""
    file, row = (
        valid("cac:ValidityPeriod", "2026-11-01", "2027-03-31"),
        valid("cac:LineValidityPeriod", "2026-12-01", "2027-01-31"),
    )
    price = located(days=valid("cac:ValidityPeriod", "2026-12-15"))
    found = only(catalogue_line(price, before=row), days=file)
    assert (found.since, found.until, codes(found)) == (date(2026, 12, 15), date(2027, 1, 31), set())
    early = located(days=valid("cac:ValidityPeriod", "2026-10-01"))
    assert codes(only(catalogue_line(early, before=row), days=file)) == {"period-outside"}
    backward = valid("cac:LineValidityPeriod", "2027-01-31", "2026-12-01")
    assert "period-backward" in codes(only(catalogue_line(located(), before=backward)))
    assert only(catalogue_line(located())).since == date(2026, 11, 1)  # the day it was issued


def test_kinds_of_price() -> None:
    """UNCL 5387: AAB the price includes tax, AAN on application, AAK new, AAL old."""
    assert only(catalogue_line(located(kind="AAB"))).tax == "inc"
    asked = only(catalogue_line(located("0", kind="AAN")))
    assert (asked.price, codes(asked)) == (None, {"on-request"})
    both = only(catalogue_line(located("90.00", kind="AAL"), located("84.00", kind="AAK")))
    assert (both.price, both.said("old_price")) == (D("84.00"), "90.00 EUR AAL")


def test_several_prices_are_told() -> None:
    found = only(catalogue_line(located("84.00"), located("88.00", place="XI"), located("95.00", currency="GBP")))
    assert (found.price, found.currency) == (D("84.00"), "EUR")
    (why,) = [dict(d.values) for d in found.doubts if d.code == "several-prices"]
    assert why["others"] == "88.00 EUR XI; 95.00 GBP"
    assert codes(only(catalogue_line(located(place="XI")))) == {"price-place"}
    later = located("90.00", days=valid("cac:ValidityPeriod", "2027-01-01"))
    now = located("84.00", days=valid("cac:ValidityPeriod", "2026-10-01", "2026-12-31"))
    dated = only(catalogue_line(later, now))
    assert (dated.price, dated.until, codes(dated)) == (D("84.00"), date(2026, 12, 31), {"several-prices"})


@pytest.mark.parametrize(
    ("head", "line", "replaces", "action", "doubts"),
    [
        ("", "", True, "set", set()),  # the default of a header is Replace
        ("Replace", "", True, "set", set()),
        ("Update", "Update", False, "set", set()),
        ("Add", "Add", False, "set", set()),
        ("Update", "Delete", False, "remove", set()),
        ("Delete", "", False, "remove", {"catalogue-deleted"}),
        ("replace", "", False, "set", {"action-case"}),
        ("Update", "delete", False, "set", {"action-case"}),
        ("Update", "Replace", False, "set", {"action-unknown"}),  # a line has no Replace
        ("Send", "", False, "set", {"action-unknown"}),
    ],
)
def test_actions_are_told_apart_by_case(head: str, line: str, replaces: bool, action: str, doubts: set[str]) -> None:
    found = read(catalogue(catalogue_line(located(), action=line), action=head))
    assert (found.replaces, found[0].action) == (replaces, action)
    assert codes(found) | codes(found[0]) == doubts


def test_what_is_deleted_needs_no_price() -> None:
    found = only(catalogue_line(action="Delete"), action="Update")
    assert (found.action, found.price, codes(found)) == ("remove", None, set())
    assert "price-missing" in codes(only(catalogue_line()))


def related(code: str, many: str = "6") -> str:
    return el("cac:RequiredRelatedItem", el("cbc:ID", code), el("cbc:Quantity", many, unitCode="C62"))


def test_deposits_are_related_items() -> None:
    deposit = catalogue_line(
        located("0.15", base=1, unit="C62"), code="D-1", name="Bottle deposit", order_unit="C62", ident="2"
    )
    found = read(catalogue(catalogue_line(located(), more=related("D-1"), packs=sizes(6, 6)), deposit))
    assert (found[0].deposit, found[0].price) == (D("0.90"), D("84.00"))  # apart from the price: 6 x 0.15
    assert (found[1].sort, codes(found[0])) == ("deposit", set())
    missing = read(catalogue(catalogue_line(located(), more=related("D-9"))))
    assert (missing[0].deposit, codes(missing[0])) == (None, {"related-missing"})
    other = catalogue_line(located("5.00"), code="S-1", name="Stand for one", ident="2")
    odd = read(catalogue(catalogue_line(located(), more=related("S-1", "1")), other))
    assert (odd[0].deposit, codes(odd[0])) == (D("5.00"), {"related-item"})


def test_an_item_named_twice() -> None:
    found = read(catalogue(catalogue_line(located()), catalogue_line(located("90.00"), ident="2")))
    assert [codes(x) for x in found] == [{"item-twice"}] * 2


def test_odd_figures() -> None:
    assert "base-suspect" in codes(only(catalogue_line(located("84.00", base="84.00"))))
    assert "base-odd" in codes(only(catalogue_line(located(base=0))))
    assert "price-negative" in codes(only(catalogue_line(located("-1"))))
    assert "price-zero" in codes(only(catalogue_line(located("0"))))
    assert "not-a-number" in codes(only(catalogue_line(located("84,00"))))
    assert "not-orderable" in codes(only(catalogue_line(located(), before=el("cbc:OrderableIndicator", "false"))))
    assert "pack-odd" in codes(only(catalogue_line(located(), packs=sizes(None, "2.5"))))
    assert "content-unit" in codes(only(catalogue_line(located(), content=holds("3", "HUR"))))


def test_tax_beside_the_price() -> None:
    """cac:ApplicableTaxCategory of UBL stands with the price, cac:ClassifiedTaxCategory with the item."""
    price = located().replace("</cac:Price>", "</cac:Price>" + category("cac:ApplicableTaxCategory", percent=7))
    assert only(catalogue_line(price, goods=item(tax=""))).rate == D("0.07")


def test_an_empty_catalogue_says_so() -> None:
    assert "no-lines" in codes(read(catalogue()))
