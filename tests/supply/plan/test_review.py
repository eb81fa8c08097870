"""What a careful reader of many odd files found: prices that slipped, terms that stuck, claims that were none. Every
figure is worked out by hand beside its check."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest

from costing.book import Book, parse_fact, put
from costing.book.buying import Claim, ExchangeRate, ImportedFile, Order, OrderLine, Purchase
from costing.book.records import PackCharge, Quote
from costing.edits.arrivals import accept, numbers_of, numbers_text, take
from costing.supply.arriving.doubt import doubt
from costing.supply.arriving.line import Part
from costing.supply.plan.build import make_plan
from costing.supply.plan.owed import owed
from tests.edits.test_arrivals import done, invoice
from tests.supply.plan.arrivals import DAY, NEXT, START, book, incoming, line, pack, quote
from tests.supply.plan.test_plan import codes, only


def with_quote(**more: object) -> Book:
    start = book()
    old = start.all(Quote)["q-rum"]
    return start.with_changes([put("quote", replace(old, **more), old)])  # type: ignore[arg-type]


def test_a_bottle_price_is_that_of_the_case_that_is_bought() -> None:
    """14.30 a bottle where the case of 6 cost 84.00 and 3.00 of freight: the case is 85.80, and its freight stays one
    case's."""
    start = with_quote(charges=(PackCharge(name="freight", amount=Decimal("3.00")),), deposit=Decimal("3.42"))
    found = only(make_plan(incoming(line(1, "RUM", "14.30", code="C-rum", pack=pack(()))), start, DAY))
    assert found.quote is not None
    assert (found.fate, found.quote.levels, found.quote.price) == ("sound", (6,), Decimal("85.80"))
    assert found.quote.charges[0].amount == Decimal("3.00")
    assert [d.code for d in found.notes] == ["count-from-last"]


def test_another_pack_carries_no_terms_of_the_old_one() -> None:
    start = with_quote(charges=(PackCharge(name="freight", amount=Decimal("3.00")),), deposit=Decimal("3.42"))
    found = only(make_plan(incoming(line(1, "RUM", "170.00", code="C-rum", pack=pack((12,)))), start, DAY))
    assert found.quote is not None
    assert (found.fate, found.quote.charges, found.quote.deposit) == ("held", (), None)
    assert "terms-of-other-pack" in codes(found)


@pytest.mark.parametrize(
    ("more", "code"),
    [
        ({"until": DAY - timedelta(days=28)}, "over"),
        ({"since": DAY + timedelta(days=1500)}, "far-ahead"),
        ({"currency": "CHF"}, "currency-moved"),
    ],
)
def test_days_and_money_that_nobody_would_ask(more: dict[str, object], code: str) -> None:
    start = book().with_changes([put("rate", ExchangeRate(id="r", currency="CHF", since=START, worth=Decimal("1.0")))])
    found = only(make_plan(incoming(line(1, "RUM", "85.00", code="C-rum", **more)), start, DAY))
    assert (found.fate, code in codes(found)) == ("held", True)


def test_an_open_day_of_the_whole_list_holds_every_line() -> None:
    odd = incoming(line(1, "RUM", "85.00", code="C-rum"), doubts=(doubt("day-order", "since", value="12/01/2026"),))
    assert "day-open" in codes(only(make_plan(odd, book(), DAY)))


def test_a_deletion_ends_the_price_now_and_not_with_the_year() -> None:
    gone = line(1, "RUM", None, code="C-rum", action="remove", until=date(2027, 12, 31))
    found = only(make_plan(incoming(gone, kind="catalogue", day=DAY), book(), DAY))
    assert found.quote is not None
    assert found.quote.until == DAY - timedelta(days=1)


def test_what_comes_free_is_posted_and_prices_nothing() -> None:
    start = book()
    bill = invoice()
    free = line(5, "Rum", "0.00", code="C-rum", quantity=Decimal(1), total=Decimal("0.00"))
    plan = make_plan(replace(bill, lines=(*bill.lines, free)), start, DAY)
    assert (plan.lines[4].fate, plan.lines[4].quote) == ("sound", None)
    after = done(start, accept(plan, start, DAY))
    (bought,) = after.all(Purchase).values()
    assert sum(p.packs for p in bought.lines if p.good == "rum") == 3
    assert all(q.price > 0 for q in after.all(Quote).values())


def test_one_good_at_two_prices_in_one_invoice_waits() -> None:
    plan = make_plan(
        incoming(
            line(1, "Rum", "84.00", code="C-rum", quantity=Decimal(1)), line(2, "Rum", "86.00", code="C-rum",
                                                                             quantity=Decimal(1)),
            kind="invoice", number="X", day=DAY,
        ),
        book(), DAY,
    )  # fmt: skip
    assert all("two-prices" in codes(found) for found in plan.lines if found.quote is not None)
    assert "held" in {found.fate for found in plan.lines}


def test_an_allowance_on_the_line_was_not_paid() -> None:
    """3 x 88.00 less 12.00 is 252.00, so 84.00 each: what was agreed."""
    start = book()
    bill = incoming(
        line(1, "Rum", "88.00", code="C-rum", quantity=Decimal(3), total=Decimal("252.00"),
             parts=(Part(name="discount", amount=Decimal("-12.00"), code="95"),)),
        kind="invoice", number="A", day=DAY, currency="EUR",
    )  # fmt: skip
    after = done(start, accept(make_plan(bill, start, DAY), start, DAY))
    assert not after.all(Claim)


def test_a_deposit_charged_on_a_line_is_a_deposit() -> None:
    start = book()
    bill = incoming(
        line(1, "Rum", "84.00", code="C-rum", quantity=Decimal(2), total=Decimal("228.00"),
             parts=(Part(name="kegs", amount=Decimal("60.00"), code="RAD", deposit=True),)),
        kind="invoice", number="A", day=DAY, currency="EUR",
    )  # fmt: skip
    after = done(start, accept(make_plan(bill, start, DAY), start, DAY))
    (bought,) = after.all(Purchase).values()
    assert bought.lines[0].net == Decimal("168.00")
    assert [(o.sort, o.amount) for o in owed(after, DAY)] == [("deposit", Decimal("60.00"))]


def test_agreed_is_compared_in_the_money_of_the_bill_and_without_tax() -> None:
    """99.96 with 19 % in it is 84.00; 84.00 EUR at 1.05 EUR a franc is 80.00 francs."""
    start = with_quote(price=Decimal("99.96"), tax="inc", tax_rate=Decimal("0.19"))
    bill = incoming(line(1, "Rum", "85.00", code="C-rum", quantity=Decimal(1)), kind="invoice", number="A", day=DAY,
                    currency="EUR")  # fmt: skip
    assert only(make_plan(bill, start, DAY)).agreed == Decimal("84.000000")
    rated = book().with_changes([put("rate", ExchangeRate(id="r", currency="CHF", since=START, worth=Decimal("1.05")))])
    foreign = replace(bill, currency="CHF", lines=(replace(bill.lines[0], currency="CHF"),))
    assert only(make_plan(foreign, rated, DAY)).agreed == Decimal("80.000000")


def test_one_overcharge_does_not_excuse_the_next() -> None:
    start = book()
    after = done(start, accept(make_plan(invoice(), start, DAY), start, DAY))  # 85.00 against 84.00: claimed
    second = invoice(number="RC-2", day=date(2026, 11, 27), digest="e" * 64)
    assert make_plan(second, after, DAY).lines[0].agreed == Decimal("84.00")


@pytest.mark.parametrize(
    ("unit", "factor", "per", "quantity", "packs"),
    [("DZN", "12", "each", "2", "4"), ("GRM", "0.001", "kg", "5000", "0.5"), ("CLT", "0.01", "l", "840", "2")],
)
def test_scaled_units_are_told_in_packs(unit: str, factor: str, per: str, quantity: str, packs: str) -> None:
    """2 dozen bottles are 4 cases of 6; 5,000 g are half a box of 10 kg; 840 cl are 2 cases of 4.2 l."""
    name, code = ("Lemons", "C-lemon") if per == "kg" else ("Rum", "C-rum")
    price = {"each": "14.00", "kg": "2.00", "l": "20.00"}[per]
    said = line(1, name, price, code=code, per=per, unit=unit,
                quantity=Decimal(quantity), pack=None if per != "each" else pack(),
                doubts=(doubt("unit-scaled", "quantity", unit=unit, factor=factor, per=per),))  # fmt: skip
    found = only(make_plan(incoming(said, kind="invoice", number="A", day=DAY, currency="EUR"), book(), DAY))
    assert found.packs == Decimal(packs)


def test_credits_pay_what_they_are_about() -> None:
    start = book()
    mid = done(start, accept(make_plan(invoice(), start, DAY), start, DAY))  # a claim of 2.00 on the price of rum
    back = incoming(line(1, "Rum", "85.00", code="C-rum", quantity=Decimal(-1), total=Decimal("-85.00")), kind="credit",
                    number="CN", corrects="RC-1", day=DAY, currency="EUR", digest="c" * 64)  # fmt: skip
    after = done(mid, accept(make_plan(back, mid, DAY), mid, DAY))
    assert next(iter(after.all(Claim).values())).open == 2, "a case that went back is no difference of price"
    fixed = incoming(
        line(1, "Rum", "85.00", code="C-rum", quantity=Decimal(-2), total=Decimal("-170.00")),
        line(2, "Rum", "84.00", code="C-rum", quantity=Decimal(2), total=Decimal("168.00")),
        kind="invoice", number="RC-1c", corrects="RC-1", day=DAY, currency="EUR", digest="f" * 64,
    )  # fmt: skip
    after = done(mid, accept(make_plan(fixed, mid, DAY), mid, DAY))
    assert next(iter(after.all(Claim).values())).open == 0
    words = incoming(line(1, "Price difference invoice RC-1", "2.00", pack=None, quantity=Decimal(-1),
                          total=Decimal("-2.00")), kind="credit", number="CN2", corrects="RC-1", day=DAY,
                     currency="EUR",                     digest="a" * 64)  # fmt: skip
    plan = take(make_plan(words, mid, DAY), 1)
    after = done(mid, accept(plan, mid, DAY))
    assert next(iter(after.all(Claim).values())).open == 0, "money without an ingredient pays what the invoice left"


def test_a_difference_of_price_is_no_pack_that_went_back() -> None:
    start = book()
    credit = incoming(line(1, "Rum", "3.00", code="C-rum", quantity=Decimal(-3), total=Decimal("-9.00")), kind="credit",
                      number="CN", day=DAY, currency="EUR")  # fmt: skip
    after = done(start, accept(make_plan(credit, start, DAY), start, DAY))
    (bought,) = after.all(Purchase).values()
    assert (bought.lines[0].packs, bought.lines[0].net) == (Decimal(0), Decimal("-9.00"))


def test_a_line_counts_once_however_often_it_is_taken() -> None:
    start = book()
    mid = done(start, accept(make_plan(invoice(), start, DAY), start, DAY, only=[1]))
    end = done(mid, accept(make_plan(invoice(), mid, DAY), mid, DAY))
    (file,) = end.all(ImportedFile).values()
    assert (file.read, file.imported, file.held, file.taken) == (4, 4, 0, "1-4")
    (bought,) = end.all(Purchase).values()
    assert [p.agreed for p in bought.lines if p.good == "rum"] == [Decimal("84.00")], "as it was first posted"
    assert numbers_of("1-3,7") == {1, 2, 3, 7}
    assert numbers_text({7, 1, 3, 2}) == "1-3,7"


def test_two_lines_of_one_number_are_two_lines() -> None:
    start = book()
    bill = invoice()
    twin = replace(bill.lines[1], n=5, where=bill.lines[0].where)
    both = replace(bill, lines=(*bill.lines, twin))
    mid = done(start, accept(make_plan(both, start, DAY), start, DAY, only=[1]))
    end = done(mid, accept(make_plan(both, mid, DAY), mid, DAY, only=[5]))
    (bought,) = end.all(Purchase).values()
    assert [p.good for p in bought.lines] == ["rum", "gin"]


@pytest.mark.parametrize("code", ["type-proforma", "type-prepayment", "type-debit"])
def test_what_bills_no_delivery_is_stopped(code: str) -> None:
    plan = make_plan(invoice(doubts=(doubt(code, "", type="325"),)), book(), DAY)
    assert [d.code for d in plan.stops] == [
        f"stop-{'debit-note' if code == 'type-debit' else code.removeprefix('type-')}"
    ]
    with pytest.raises(ValueError, match=r"invoice|debit note"):
        accept(plan, book(), DAY)


def test_the_order_is_held_against_the_invoice() -> None:
    ordered = Order(id="o", supplier="ropewalk", day=date(2026, 11, 18), number="O-1",
                    lines=(OrderLine(good="rum", packs=Decimal(1), content=parse_fact("0.7 l")),))  # fmt: skip
    start = book().with_changes([put("order", ordered)])
    plan = make_plan(invoice(order="O-1"), start, DAY)
    assert [d.code for d in plan.lines[0].notes if d.at == "quantity"] == ["ordered-other"]
    assert [d.code for d in plan.lines[1].notes if d.at == "quantity"] == ["not-ordered"]
    assert "will-claim" in {d.code for d in plan.lines[0].notes}
    after = start.with_changes(accept(plan, start, DAY).changes)
    later = make_plan(invoice(number="RC-2", digest="e" * 64), after, DAY)
    assert later.order == "", "an order is answered once"
    assert [d.code for d in make_plan(invoice(order="O-9"), start, DAY).doubts] == ["order-unknown"]


def test_a_late_invoice_is_posted_and_the_newer_price_stands() -> None:
    newer = book().with_changes([put("quote", quote("q-new", "rum", "86.40", since=NEXT))])
    plan = make_plan(invoice(), newer, DAY)
    assert (plan.lines[0].fate, plan.lines[0].quote) == ("sound", None)
    assert "older" in {d.code for d in plan.lines[0].notes}


def test_a_unit_price_to_the_cent_settles_what_a_count_left_open() -> None:
    said = line(1, "RUM", "84.00", code="C-rum", doubts=(doubt("unit-each-or-case", "unit", unit="C62"),))
    found = only(make_plan(incoming(said, kind="invoice", number="A", day=DAY, currency="EUR"), book(), DAY))
    assert (found.fate, [d.code for d in found.notes]) == ("sound", ["unit-each-or-case"])
    moved = replace(said, price=Decimal("86.00"))
    assert only(make_plan(incoming(moved), book(), DAY)).fate == "held"


def test_a_price_by_weight_keeps_the_box() -> None:
    """2.10 a kilogram of a box of 10 kg: the box is 21.00, and 25 kg are two and a half boxes."""
    said = line(1, "Lemons", "2.10", code="C-lemon", per="kg", pack=None, quantity=Decimal(25))
    found = only(make_plan(incoming(said, kind="invoice", number="A", day=DAY, currency="EUR"), book(), DAY))
    assert found.quote is not None
    assert (found.quote.content.text, found.quote.price, found.packs) == ("10 kg", Decimal("21.00"), Decimal("2.5"))


def test_an_invoice_without_a_number_is_known_by_its_day() -> None:
    start = book()
    after = start.with_changes(accept(make_plan(invoice(number=""), start, DAY), start, DAY).changes)
    assert [d.code for d in make_plan(invoice(number="", digest="b" * 64), after, DAY).stops] == ["invoice-again"]
