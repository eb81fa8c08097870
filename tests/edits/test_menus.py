"""Edits of menus: dated prices, targets, order, suggestions as one step; everything can be taken back."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from costing.book.book import Book
from costing.book.change import Change, Step, put
from costing.book.levies import Policy
from costing.book.records import Menu, Quote
from costing.edits import menus
from costing.edits.menus import Spot
from costing.ledger import reckon
from costing.paths import sample_book
from costing.pricing import PricedServe, priced_serves
from costing.store import read_json

DAY, LATER = date(2026, 11, 1), date(2026, 12, 1)


@pytest.fixture(scope="module")
def book() -> Book:
    """The sample bar."""
    return read_json(sample_book())


@pytest.fixture(scope="module")
def menu(book: Book) -> Menu:
    """Its first menu."""
    return next(iter(book.all(Menu).values()))


def after(book: Book, step: Step | None) -> Book:
    """The book after a step that can be taken back."""
    assert step is not None
    done = book.with_changes(step.changes)
    assert done.with_changes(step.inverse().changes) == book
    return done


def prices(book: Book, menu: Menu, spot: Spot) -> list[tuple[date, Decimal]]:
    """The dated prices of a line."""
    line = menus.line_at(book.all(Menu)[menu.id], spot)
    return [(p.since, p.price) for p in line.prices]


def chosen(book: Book, menu: Menu, day: date = DAY) -> list[tuple[Spot, PricedServe]]:
    """Every line of a menu with its figures."""
    found = [p for p in priced_serves(reckon(book.on(day))) if p.menu == menu.id]
    return [(menus.spot_of(menu, p.serve.id, p.section), p) for p in found]


def test_the_same_day_is_amended_and_another_day_begins_a_new_price(book: Book, menu: Menu) -> None:
    spot = Spot(0, 0)
    before = prices(book, menu, spot)
    one = after(book, menus.set_price(book, menu.id, spot, "17,50", LATER))
    assert prices(one, menu, spot) == [*before, (LATER, Decimal("17.50"))]
    two = after(one, menus.set_price(one, menu.id, spot, "€ 18", LATER))
    assert prices(two, menu, spot) == [*before, (LATER, Decimal("18"))]
    assert two.on(DAY).price_of(menus.line_at(two.all(Menu)[menu.id], spot)) == book.on(DAY).price_of(
        menus.line_at(menu, spot)
    ), "what is printed today stays"
    three = after(two, menus.set_price(two, menu.id, spot, "", LATER))
    assert three == book


def test_there_is_no_price_to_take_back_on_a_day_that_begins_none(book: Book, menu: Menu) -> None:
    with pytest.raises(ValueError, match="none to take back"):
        menus.set_price(book, menu.id, Spot(0, 0), " ", date(2026, 12, 24))


@pytest.mark.parametrize("text", ["1,234", "12.505", "1.234", "twelve", "-1", "nan", "1e3", "10000000", "12 50"])
def test_a_price_that_would_have_to_be_guessed_is_refused(book: Book, menu: Menu, text: str) -> None:
    with pytest.raises(ValueError, match=text[:3].replace(".", r"\.")):
        menus.set_price(book, menu.id, Spot(0, 0), text, DAY)


def test_a_price_has_the_decimals_of_the_money(book: Book, menu: Menu) -> None:
    assert book.house is not None
    yen = book.with_changes((put("house", replace(book.house, currency="JPY"), book.house),))
    with pytest.raises(ValueError, match="at most 0 decimals"):
        menus.set_price(yen, menu.id, Spot(0, 0), "1200.50", DAY)
    assert prices(after(yen, menus.set_price(yen, menu.id, Spot(0, 0), "1200", DAY)), menu, Spot(0, 0))[-1][1] == 1200


@pytest.mark.parametrize(
    ("text", "policy"),
    [
        ("20 %", Policy("pour_cost", Decimal("0.2"))),
        ("17,5%", Policy("pour_cost", Decimal("0.175"))),
        ("9.50", Policy("margin", Decimal("9.50"))),
        ("margin 9.50", Policy("margin", Decimal("9.50"))),
        ("Margin € 9,50", Policy("margin", Decimal("9.50"))),
        ("x 5", Policy("multiplier", Decimal(5))),
        ("4,5 ×", Policy("multiplier", Decimal("4.5"))),
        ("", None),
    ],
)
def test_a_target_is_read_as_it_is_written(text: str, policy: Policy | None) -> None:
    assert menus.typed_policy(text, "EUR") == policy
    again = menus.typed_policy(menus.policy_text(policy), "EUR")
    assert again == policy


@pytest.mark.parametrize("text", ["twenty", "0 %", "101 %", "nan %", "inf x", "-3", "5 5", "%", "x"])
def test_what_is_no_target_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"."):
        menus.typed_policy(text, "EUR")


def test_a_bare_number_over_another_sort_of_target_is_asked_about() -> None:
    share = Policy("pour_cost", Decimal("0.18"))
    with pytest.raises(ValueError, match="“18” may be a pour cost or a margin: write 18 % or margin 18"):
        menus.typed_policy("18", "EUR", share)
    assert menus.typed_policy("margin 18", "EUR", share) == Policy("margin", Decimal(18))
    assert menus.typed_policy("18", "EUR", Policy("margin", Decimal(9))) == Policy("margin", Decimal(18))


@pytest.mark.parametrize("text", ["0", "200 %", "x 0"])
def test_a_target_out_of_range_is_refused_without_codes(text: str) -> None:
    with pytest.raises(ValueError, match="must lie above 0 and at most") as refused:
        menus.typed_policy(text, "EUR")
    assert not any(code in str(refused.value) for code in ("pour_cost", "multiplier", "E+"))


@given(st.decimals(min_value="0.01", max_value="99.99", places=2), st.sampled_from(["{} %", "x {}", "{}"]))
def test_every_target_reads_back_as_it_is_shown(value: Decimal, form: str) -> None:
    policy = menus.typed_policy(form.format(value), "EUR")
    assert menus.typed_policy(menus.policy_text(policy), "EUR") == policy


@given(st.text(max_size=12))
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_no_text_breaks_a_price_or_a_target(book: Book, menu: Menu, text: str) -> None:
    attempts: list[Callable[[], Step]] = [
        lambda: menus.set_price(book, menu.id, Spot(0, 0), text, DAY),
        lambda: menus.set_line_target(book, menu.id, Spot(0, 0), text),
        lambda: menus.set_section_target(book, menu.id, 0, text),
    ]
    for attempt in attempts:
        try:
            step = attempt()
        except ValueError:
            continue
        after(book, step)


def test_a_target_of_a_line_goes_before_that_of_its_section(book: Book, menu: Menu) -> None:
    done = after(book, menus.set_section_target(book, menu.id, 0, "30 %"))
    done = after(done, menus.set_line_target(done, menu.id, Spot(0, 1), "x 6"))
    found = {p.serve.id: p.policy for p in priced_serves(reckon(done.on(DAY))) if p.menu == menu.id}
    lines = menu.sections[0].lines
    assert found[lines[1].serve] == Policy("multiplier", Decimal(6))
    assert found[lines[2].serve] == Policy("pour_cost", Decimal("0.3"))
    back = after(done, menus.set_line_target(done, menu.id, Spot(0, 1), ""))
    assert menus.line_at(back.all(Menu)[menu.id], Spot(0, 1)).policy is None


def test_suggestions_are_one_step_and_meet_every_target(book: Book, menu: Menu) -> None:
    step, left = menus.apply_suggestions(book, menu.id, chosen(book, menu), DAY)
    assert left == ()
    assert step is not None
    assert len(step.changes) == 1
    done = after(book, step)
    assert all(p.on_target for p in priced_serves(reckon(done.on(DAY))) if p.menu == menu.id)
    again, _ = menus.apply_suggestions(done, menu.id, chosen(done, done.all(Menu)[menu.id]), DAY)
    assert again is None, "what stands already is left alone"
    past = date(2026, 10, 31)
    for spot, _ in chosen(book, menu):
        line = menus.line_at(done.all(Menu)[menu.id], spot)
        assert done.on(past).price_of(line) == book.on(past).price_of(menus.line_at(menu, spot))


def test_suggestions_from_a_later_day_leave_today_alone(book: Book, menu: Menu) -> None:
    step, _ = menus.apply_suggestions(book, menu.id, chosen(book, menu), LATER)
    done = after(book, step)
    for spot, drink in chosen(book, menu):
        line = menus.line_at(done.all(Menu)[menu.id], spot)
        assert done.on(DAY).price_of(line) == book.on(DAY).price_of(menus.line_at(menu, spot))
        printed = done.on(LATER).price_of(line)
        assert printed is not None
        assert drink.suggestion is not None
        assert printed.price == drink.suggestion.at.all_in


def test_what_has_no_sure_suggestion_is_named_with_what_is_missing(book: Book, menu: Menu) -> None:
    lines = chosen(book, menu)
    users: dict[str, list[int]] = {}
    for n, (_, drink) in enumerate(lines):
        for item in drink.version.build.adds:
            users.setdefault(item.source, []).append(n)
    quoted = {q.good for q in book.all(Quote).values()}
    rare, (at, *_) = min((pair for pair in users.items() if pair[0] in quoted), key=lambda pair: len(pair[1]))
    (spot, drink), goods = lines[at], {rare}
    gone = [q for q in book.all(Quote).values() if q.good in goods]
    assert gone
    poor = book.with_changes([replace_none(q) for q in gone])
    step, left = menus.apply_suggestions(poor, menu.id, chosen(poor, menu), DAY)
    assert step is not None
    names = {out.name: out.unpriced for out in left}
    assert drink.serve.name in names
    assert set(names[drink.serve.name]) <= goods
    assert prices(after(poor, step), menu, spot) == prices(book, menu, spot)


def replace_none(quote: Quote) -> Change:
    """The change that takes a quote out."""
    return put("quote", quote).inverse()


def test_two_lines_of_one_drink_keep_their_own_prices(book: Book, menu: Menu) -> None:
    section = menu.sections[0]
    twin = replace(section.lines[0], id="large", prices=())
    two = replace(menu, sections=(replace(section, lines=(*section.lines, twin)), *menu.sections[1:]))
    twice = book.with_changes((put("menu", two, menu),))
    spot = Spot(0, len(section.lines))
    figures = [
        p for p in priced_serves(reckon(twice.on(DAY))) if p.serve.id == twin.serve and p.section == section.name
    ]
    step, _ = menus.apply_suggestions(twice, menu.id, [(spot, figures[-1])], DAY)
    done = after(twice, step)
    assert prices(done, menu, Spot(0, 0)) == prices(book, menu, Spot(0, 0))
    assert len(prices(done, menu, spot)) == 1


def test_a_drink_is_put_on_moved_and_taken_off(book: Book, menu: Menu) -> None:
    fresh = menu.sections[2].lines[0].serve
    done = after(book, menus.add_serve(book, menu.id, 0, fresh))
    spot = menus.spot_of(done.all(Menu)[menu.id], fresh, menu.sections[0].name)
    assert spot == Spot(0, len(menu.sections[0].lines))
    with pytest.raises(ValueError, match="already"):
        menus.add_serve(done, menu.id, 0, fresh)
    step, down = menus.move_line(done, menu.id, spot, 1)
    assert down == Spot(1, 0), "from the last line of a section into the next"
    done = after(done, step)
    step, up = menus.move_line(done, menu.id, down, -1)
    assert up == spot
    done = after(done, step)
    step, up = menus.move_line(done, menu.id, up, -1)
    assert up == Spot(0, spot.line - 1)
    done = after(done, step)
    assert after(done, menus.remove_line(done, menu.id, up)) == book
    with pytest.raises(ValueError, match="outermost"):
        menus.move_line(book, menu.id, Spot(0, 0), -1)


def test_several_lines_come_off_as_one_step(book: Book, menu: Menu) -> None:
    spots = [Spot(0, 0), Spot(1, 1), Spot(0, 2)]
    gone = {menus.line_at(menu, spot).serve for spot in spots}
    step = menus.remove_lines(book, menu.id, spots)
    assert len(step.changes) == 1
    left = {line.serve for s in after(book, step).all(Menu)[menu.id].sections for line in s.lines}
    assert left == {line.serve for s in menu.sections for line in s.lines} - gone
    with pytest.raises(ValueError, match="no such line"):
        menus.remove_lines(book, menu.id, [Spot(0, 0), Spot(0, 99)])
    with pytest.raises(ValueError, match="no line"):
        menus.remove_lines(book, menu.id, [])


def test_a_menu_from_nothing(book: Book) -> None:
    step, ident = menus.new_menu(book, "  Late   menu ", {"late-menu"})
    assert ident == "late-menu-2", "ids of the past are not used again"
    done = after(book, step)
    assert done.all(Menu)[ident].name == "Late menu"
    with pytest.raises(ValueError, match="already"):
        menus.new_menu(done, "LATE menu")
    done = after(done, menus.add_section(done, ident, "After ten"))
    with pytest.raises(ValueError, match="already"):
        menus.add_section(done, ident, "after TEN")
    done = after(done, menus.rename_section(done, ident, 1, "After eleven"))
    done = after(done, menus.move_section(done, ident, 1, -1))
    assert [s.name for s in done.all(Menu)[ident].sections] == ["After eleven", "Drinks"]
    done = after(done, menus.add_serve(done, ident, 0, next(iter(done.on(DAY).serves))))
    with pytest.raises(ValueError, match="first"):
        menus.remove_section(done, ident, 0)
    done = after(done, menus.remove_section(done, ident, 1))
    done = after(done, menus.rename_menu(done, ident, "Night menu"))
    assert after(done, menus.remove_menu(done, ident)) == book


def test_days_of_a_menu(book: Book, menu: Menu) -> None:
    done = after(book, menus.set_days(book, menu.id, LATER, None))
    assert menu.id not in done.on(DAY).menus
    assert menu.id in done.on(LATER).menus
    with pytest.raises(ValueError, match="before"):
        menus.set_days(book, menu.id, LATER, DAY)


@pytest.mark.parametrize("spot", [Spot(0, 99), Spot(99, 0), Spot(-1, 0), Spot(0, -1)])
def test_a_line_that_is_not_there_is_said(book: Book, menu: Menu, spot: Spot) -> None:
    with pytest.raises(ValueError, match="no such line"):
        menus.set_price(book, menu.id, spot, "10", DAY)
    with pytest.raises(ValueError, match="in the book"):
        menus.set_price(book, "no-menu", spot, "10", DAY)
