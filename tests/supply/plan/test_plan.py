"""A file against the book: fates, what holds a line, and that nothing is lost. Widths and ratios are the house's rules
(common practice, no source); every price is worked out by hand beside its check."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from costing.book import put
from costing.book.buying import Alias, ExchangeRate
from costing.book.records import Break, FreeGoods, House, Quote, Supplier
from costing.supply.arriving.doubt import doubt
from costing.supply.arriving.doubt_words import doubts
from costing.supply.arriving.line import LeftOut
from costing.supply.plan.build import make_plan
from costing.supply.plan.record import Plan, PlanLine
from tests.supply.plan.arrivals import DAY, NEXT, START, book, incoming, line, pack, quote


def only(plan: Plan) -> PlanLine:
    (found,) = plan.lines
    return found


def codes(found: PlanLine) -> list[str]:
    return [d.code for d in found.why]


def test_a_price_that_moves_a_little_is_sound() -> None:
    plan = make_plan(incoming(line(1, "RUM WHITE", "86.40", code="C-rum", since=NEXT)), book(), DAY)
    found = only(plan)
    assert (found.fate, found.good, found.match.how) == ("sound", "rum", "code")
    assert found.before == Decimal("84.00") / Decimal("4.2")  # six bottles of 0.7 l
    assert found.now == Decimal("86.40") / Decimal("4.2")
    assert found.quote is not None
    assert (found.quote.price, found.quote.since, found.quote.tax) == (Decimal("86.40"), NEXT, "ex")
    assert (found.quote.words, found.quote.row, found.quote.source) == ("RUM WHITE", "row 1", "list.csv")
    assert found.quote.id != "q-rum", "another day is another quote: the old one is the history"
    assert plan.read == plan.count("sound") + plan.count("held") + plan.count("ignored") == 1


@pytest.mark.parametrize(
    ("price", "code"),
    [
        ("840.00", "looks-like-slip"),  # x 10
        ("8.40", "looks-like-slip"),
        ("8400.00", "looks-like-slip"),
        ("0.84", "looks-like-slip"),
        ("0.084", "looks-like-slip"),  # / 1000
        ("14.00", "looks-like-pack"),  # 84 / 6: the price of one bottle
        ("504.00", "looks-like-pack"),  # 84 x 6
        ("99.96", "looks-like-tax"),  # 84 x 1.19
        ("93.00", "price-moves"),  # + 10.7 %, and a spirit may move by a tenth
        ("75.00", "price-moves"),  # - 10.7 %
        ("0", "price-nothing"),
    ],
)
def test_prices_that_are_held(price: str, code: str) -> None:
    found = only(make_plan(incoming(line(1, "RUM WHITE", price, code="C-rum")), book(), DAY))
    assert (found.fate, codes(found)) == ("held", [code])
    assert found.quote is not None, "it says enough to be taken by hand"


def test_the_width_is_the_house_s_to_say() -> None:
    house = book().house
    assert isinstance(house, House)
    wide = book().with_changes([put("house", replace(house, holds=(("spirit", Decimal("0.5")),)), house)])
    assert only(make_plan(incoming(line(1, "RUM", "93.00", code="C-rum")), wide, DAY)).fate == "sound"


def test_the_price_there_is_is_left_out() -> None:
    found = only(make_plan(incoming(line(1, "RUM", "84.00", code="C-rum")), book(), DAY))
    assert (found.fate, codes(found), found.quote) == ("ignored", ["same-price"], None)


def test_what_the_house_does_not_buy_is_left_out_and_what_is_alike_waits() -> None:
    plan = make_plan(
        incoming(
            line(1, "Quartz oven cleaner", "9.00", pack=pack((), "500", "ml")), line(2, "White rum spiced", "84.00"),
        ),
        book(), DAY,
    )  # fmt: skip
    assert [found.fate for found in plan.lines] == ["ignored", "held"]
    assert plan.lines[1].good == "" or not plan.lines[1].match.sure


def test_a_hand_says_what_a_line_means() -> None:
    plan = make_plan(incoming(line(1, "House pour W", "85.00")), book(), DAY, hand={1: "rum"})
    assert (only(plan).fate, only(plan).good, only(plan).match.how) == ("sound", "rum", "hand")
    none = make_plan(incoming(line(1, "RUM", "85.00", code="C-rum")), book(), DAY, hand={1: ""})
    assert only(none).fate == "ignored"


def test_a_confirmed_alias_is_a_match() -> None:
    known = book().with_changes(
        [put("alias", Alias(id="a", supplier="ropewalk", text="House pour W", good="rum", since=DAY))]
    )
    assert only(make_plan(incoming(line(1, "HOUSE POUR W", "85.00")), known, DAY)).match.how == "alias"


def test_another_size_is_another_pack() -> None:
    found = only(
        make_plan(incoming(line(1, "White rum", "120.00", pack=pack((6,), "1000"), code="C-new")), book(), DAY)
    )
    assert found.fate == "held"
    assert found.good == "rum"
    assert "new-pack" in codes(found)
    assert found.quote is not None
    assert found.quote.content.text == "1 l"


def test_tax_that_nobody_spoke_of_stops_every_line() -> None:
    mute = book(supplier=Supplier(id="ropewalk", name="Ropewalk Casks"))
    found = only(make_plan(incoming(line(1, "RUM", "86.00", code="C-rum", tax="unknown", rate=None)), mute, DAY))
    assert (found.fate, "tax-unknown" in codes(found)) == ("held", True)
    said = replace(mute.all(Supplier)["ropewalk"], tax="inc", tax_rate=Decimal("0.19"))
    asked = mute.with_changes([put("supplier", said, mute.all(Supplier)["ropewalk"])])
    found = only(make_plan(incoming(line(1, "RUM", "101.00", code="C-rum", tax="unknown", rate=None)), asked, DAY))
    assert found.fate == "sound"
    assert found.now == Decimal("101.00") / Decimal("1.19") / Decimal("4.2")


def test_another_currency_waits_for_a_rate() -> None:
    foreign = line(1, "RUM", "960.00", code="C-rum", currency="SEK")
    found = only(make_plan(incoming(foreign), book(), DAY))
    assert (found.fate, "no-exchange" in codes(found)) == ("held", True)
    rated = book().with_changes([
        put("rate", ExchangeRate(id="r", currency="SEK", since=START, worth=Decimal("0.09"), source="bank"))
    ])  # fmt: skip
    assert codes(only(make_plan(incoming(foreign), rated, DAY))) == ["currency-moved"], "it was in EUR until now"
    who = rated.all(Supplier)["ropewalk"]
    rated = rated.with_changes([put("supplier", replace(who, currency="SEK"), who)])
    found = only(make_plan(incoming(foreign), rated, DAY))
    assert (found.fate, found.now) == ("sound", Decimal("960.00") * Decimal("0.09") / Decimal("4.2"))


def test_two_prices_of_one_good_wait() -> None:
    plan = make_plan(
        incoming(line(1, "RUM", "85.00", code="C-rum"), line(2, "RUM", "86.00", code="C-rum")), book(), DAY
    )
    assert [found.fate for found in plan.lines] == ["held", "held"]
    assert all("same-good" in codes(found) for found in plan.lines)


def test_doubts_of_the_reader_hold_and_harmless_ones_are_shown() -> None:
    doubted = line(1, "RUM", "85.00", code="C-rum", doubts=(doubt("decimal-ambiguous", "price", text="85,00"),))
    assert only(make_plan(incoming(doubted), book(), DAY)).fate == "held"
    padded = line(1, "RUM", "85.00", code="C-rum", doubts=(doubt("gtin-padded", "gtin"),))
    found = only(make_plan(incoming(padded), book(), DAY))
    assert (found.fate, [d.code for d in found.notes]) == ("sound", ["gtin-padded"])


def test_a_price_by_weight_and_one_of_a_single_bottle() -> None:
    by_kilo = line(1, "Lemons", "2.10", code="C-lemon", per="kg", pack=None)
    found = only(make_plan(incoming(by_kilo), book(), DAY))
    assert (found.fate, found.now, found.before) == ("sound", Decimal("2.10"), Decimal(2))
    bottle = line(1, "RUM", "14.30", code="C-rum", per="each")
    found = only(make_plan(incoming(bottle), book(), DAY))
    assert found.quote is not None
    assert (found.fate, found.quote.price) == ("sound", Decimal("85.80"))  # 6 x 14.30
    per_hundred = line(1, "Lemons", "210", code="C-lemon", per="kg", base=Decimal(100), pack=None)
    assert only(make_plan(incoming(per_hundred), book(), DAY)).now == Decimal("2.1")


def test_what_a_list_names_no_more() -> None:
    plan = make_plan(incoming(line(1, "RUM", "86.00", code="C-rum")), book(), DAY)
    assert [g.good for g in plan.gone] == ["gin", "lemon"]
    invoice = make_plan(
        incoming(line(1, "RUM", "86.00", code="C-rum", quantity=Decimal(1)), kind="invoice"), book(), DAY
    )
    assert invoice.gone == (), "an invoice is no list"


def test_a_catalogue_line_that_ends_a_price_waits() -> None:
    ends = line(1, "RUM", None, code="C-rum", action="remove", until=date(2026, 12, 31))
    found = only(make_plan(incoming(ends, kind="catalogue"), book(), DAY))
    assert found.quote is not None
    assert (found.fate, found.quote.id, found.quote.until) == ("held", "q-rum", date(2026, 11, 27))


def test_an_older_price_waits_for_somebody() -> None:
    newer = book().with_changes([put("quote", quote("q-2", "rum", "85.00", since=date(2026, 11, 20)))])
    found = only(make_plan(incoming(line(1, "RUM", "86.00", code="C-rum", since=date(2026, 11, 1))), newer, DAY))
    assert "older" in codes(found)


def test_a_new_supplier_s_label_is_unread() -> None:
    other = incoming(line(1, "Dry gin", "95.00", tax="ex"), supplier="North Quay")
    found = only(make_plan(other, book(), DAY, hand={1: "gin"}))
    assert found.quote is not None
    assert (found.quote.label, found.quote.supplier) == ("unread", "quay")
    known = only(make_plan(incoming(line(1, "Gin", "95.00", code="C-gin")), book(), DAY))
    assert known.quote is not None
    assert known.quote.label == "read"


def test_nobody_and_again() -> None:
    nobody = make_plan(incoming(line(1, "RUM", "86.00", code="C-rum"), supplier="Somebody"), book(), DAY)
    assert [d.code for d in nobody.stops] == ["no-supplier"]


def test_rows_that_are_no_lines_are_counted() -> None:
    plan = make_plan(
        incoming(line(1, "RUM", "86.00", code="C-rum"), left_out=(LeftOut(where="row 9", text="Page 1", why="foot"),)),
        book(), DAY,
    )  # fmt: skip
    assert (plan.read, plan.count("sound"), plan.count("ignored")) == (2, 1, 1)


def test_every_code_has_a_sentence() -> None:
    words = doubts()
    for code in (
        "price-moves",
        "looks-like-slip",
        "same-good",
        "new-pack",
        "no-exchange",
        "invoice-again",
        "list-changed",
    ):
        assert code in words


def test_the_quote_of_the_same_day_is_put_right() -> None:
    found = only(make_plan(incoming(line(1, "RUM", "85.00", code="C-rum", since=START)), book(), DAY))
    assert found.quote is not None
    assert found.quote.id == "q-rum"
    assert isinstance(book().get("quote", "q-rum"), Quote)


def test_what_was_agreed_is_not_lost_in_silence() -> None:
    agreed = quote("q-rum", "rum", "84.00", free=FreeGoods(paid=Decimal(11), free=Decimal(1)),
                   breaks=(Break(packs=Decimal(5), price=Decimal("80.00")),))  # fmt: skip
    start = book()
    start = start.with_changes([put("quote", agreed, start.all(Quote)["q-rum"])])
    same = only(make_plan(incoming(line(1, "RUM", "84.00", code="C-rum")), start, DAY))
    assert (same.fate, codes(same)) == ("ignored", ["same-price"])
    dearer = only(make_plan(incoming(line(1, "RUM", "85.00", code="C-rum")), start, DAY))
    assert dearer.quote is not None
    assert (dearer.quote.free, dearer.quote.breaks) == (agreed.free, ())
    assert [d.code for d in dearer.notes] == ["free-kept", "breaks-gone"]
