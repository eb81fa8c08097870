"""The day book in words: what a step changed, and what has changed since."""

from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from datetime import date
from decimal import Decimal
from typing import get_args, get_type_hints

import pytest
from PySide6.QtTest import QAbstractItemModelTester
from pytestqt.qtbot import QtBot

from costing.book import Book, Change, Step, put
from costing.book.fact import parse_fact
from costing.book.levies import Levy
from costing.book.records import KINDS, Good, House, Menu, Preparation, Quote, Serve, Supplier
from costing.edits import house, quotes
from costing.paths import sample_book
from costing.store import read_json
from ui.desk import Desk, Where
from ui.frame.differences import QUIET, between, differences, namer
from ui.frame.field_words import FIELD_WORDS
from ui.frame.history_pane import HistoryPane

LATER = date(2027, 1, 1)


@pytest.fixture(scope="module")
def book() -> Book:
    """The sample bar."""
    return read_json(sample_book())


def told(book: Book, before: object, after: object, kind: str) -> list[tuple[str, str, str]]:
    record = after or before
    return list(differences(Change(kind, record.id, before, after), namer(book)))  # type: ignore[attr-defined,arg-type]


class TestWords:
    """One field of a record, however deep, as somebody would say it."""

    def test_a_dose_names_what_is_dosed(self, book: Book) -> None:
        old = book.all(Serve)["harbour-light"]
        first = old.versions[0].build.adds[0]
        adds = (replace(first, amount=parse_fact("50 ml")), *old.versions[0].build.adds[1:])
        new = replace(old, versions=(replace(old.versions[0], build=replace(old.versions[0].build, adds=adds)),))
        assert told(book, old, new, "serve") == [("amount · Roasted pineapple rum distillate", "45 ml", "50 ml")]

    def test_what_goes_in_or_out_stands_beside_nothing(self, book: Book) -> None:
        old = book.all(Serve)["harbour-light"]
        build = old.versions[0].build
        new = replace(old, versions=(replace(old.versions[0], build=replace(build, adds=build.adds[1:])),))
        assert told(book, old, new, "serve") == [("Roasted pineapple rum distillate", "45 ml", "–")]
        assert told(book, new, old, "serve") == [("Roasted pineapple rum distillate", "–", "45 ml")]

    def test_the_same_things_in_another_order_are_told(self, book: Book) -> None:
        old = book.all(Serve)["harbour-light"]
        build = old.versions[0].build
        adds = (build.adds[1], build.adds[0], *build.adds[2:])
        new = replace(old, versions=(replace(old.versions[0], build=replace(build, adds=adds)),))
        ((field, before, after),) = told(book, old, new, "serve")
        assert field == "what goes in"
        assert before.startswith("Roasted pineapple rum distillate, ")
        assert ", Roasted pineapple rum distillate, " in after

    def test_a_stage_by_its_kind_and_a_figure_by_its_word(self, book: Book) -> None:
        old = book.all(Preparation)["pineapple-distillate"]
        trim, *rest = old.versions[-1].stages
        trim = replace(trim, facts=(("refuse", parse_fact("45 %")),))
        new = replace(old, versions=(*old.versions[:-1], replace(old.versions[-1], stages=(trim, *rest))))
        found = told(book, old, new, "preparation")
        assert [(b, a) for _, b, a in found] == [("47 %", "45 %")]
        assert "trim" in found[0][0]
        assert "_" not in found[0][0]

    def test_a_printed_price_by_menu_line_and_day(self, book: Book) -> None:
        old = book.all(Menu)["main"]
        section = old.sections[0]
        line = section.lines[0]
        prices = (*line.prices[:-1], replace(line.prices[-1], price=Decimal("17.00")))
        lines = (replace(line, prices=prices), *section.lines[1:])
        new = replace(old, sections=(replace(section, lines=lines), *old.sections[1:]))
        assert told(book, old, new, "menu") == [
            ("price · from 2026-07-01 · Harbour Light · Signatures", "16.50", "17.00")
        ]

    def test_rates_targets_and_answers_as_people_write_them(self, book: Book) -> None:
        old = book.house
        assert old is not None
        last = old.terms[-1]
        new = replace(last, levies=(Levy("Service", Decimal("0.075")), *last.levies[1:]), recovers_tax=False)
        found = told(book, old, replace(old, terms=(*old.terms[:-1], new)), "house")
        assert ("rate · Service · from 2026-04-01", "5 %", "7.5 %") in found
        assert ("purchase tax is got back · from 2026-04-01", "yes", "no") in found
        step = house.set_target(book, "x 5", last.since)
        assert step is not None
        (change,) = step.changes
        ((field, _, after),) = list(differences(change, namer(book)))
        assert field == "target · from 2026-04-01"
        assert after == "x 5"

    def test_new_rules_are_told_by_what_of_them_is_new(self, book: Book) -> None:
        step = house.set_levies(book, "Service 7 %\nVAT 19 % on all before", LATER)
        assert step is not None
        assert list(differences(step.changes[0], namer(book))) == [("rate · Service · from 2027-01-01", "5 %", "7 %")]

    def test_what_comes_to_stand_at_its_default_is_told_by_it(self, book: Book) -> None:
        step = house.set_target(book, "20 %", LATER)
        assert step is not None
        assert list(differences(step.changes[0], namer(book))) == [("target · from 2027-01-01", "15 %", "20 %")]

    def test_an_id_is_told_by_its_name(self, book: Book) -> None:
        old = book.all(Good)["pineapple"]
        assert told(book, old, replace(old, preferred="casks"), "good")[0][2] == "Ropewalk Casks"

    def test_a_new_and_a_removed_record_by_its_name(self, book: Book) -> None:
        record = Supplier(id="x", name="Crates & Co")
        assert told(book, None, record, "supplier") == [("", "–", "Crates & Co")]
        assert told(book, record, None, "supplier") == [("", "Crates & Co", "–")]

    def test_only_how_a_figure_is_known_may_differ(self, book: Book) -> None:
        old = book.all(Good)["pineapple"]
        fact = parse_fact("1.2 kg")
        one, two = (replace(old, piece=f) for f in (fact, replace(fact, how="scales")))
        assert told(book, one, two, "good") == [("how it was measured · one piece is", "–", "scales")]

    def test_every_field_there_is_has_its_word(self) -> None:
        def inside(kind: object, seen: set[object]) -> Iterator[str]:
            for part in get_args(kind):
                yield from inside(part, seen)
            if isinstance(kind, type) and is_dataclass(kind) and kind not in seen:
                seen.add(kind)
                hints = get_type_hints(kind)
                for field in fields(kind):
                    yield field.name
                    yield from inside(hints[field.name], seen)

        seen: set[object] = set()
        names = {name for kind in KINDS.values() for name in inside(kind, seen)}
        assert names - FIELD_WORDS.keys() - QUIET == set()


def test_every_change_of_the_sample_back_to_nothing_can_be_told(book: Book) -> None:
    assert sum(1 for _ in between(Book(), book)) == len(book.records)
    assert list(between(book, book)) == []


class TestPane:
    """The pane in the window."""

    @pytest.fixture
    def pane(self, desk: Desk, qtbot: QtBot) -> HistoryPane:
        pane = HistoryPane(desk)
        qtbot.addWidget(pane)
        QAbstractItemModelTester(pane.changes, pane)
        pane.resize(300, 600)
        pane.show()
        return pane

    def test_what_changed_since_a_step_is_the_book_then_against_the_book_now(
        self, pane: HistoryPane, desk: Desk
    ) -> None:
        quote = desk.document.view.quote_of("white-rum")
        assert quote is not None
        desk.do(quotes.amend_price(desk.document.book, quote.id, "90.00"))
        desk.do(quotes.amend_price(desk.document.book, quote.id, "91.00"))
        desk.do(Step("a supplier", (put("supplier", Supplier(id="x", name="Crates")),)))
        desk.undo()
        first = pane.steps.key(3)
        pane.list.table.choose(first)
        assert [(d.before, d.after) for d in pane.changes.rows()] == [("84.00", "90.00")]
        pane.since.click()
        assert [(d.what, d.before, d.after) for d in pane.changes.rows()] == [
            ("price · quote White rum 40 %", "90.00", "91.00")
        ]
        desk.undo()
        assert list(pane.changes.rows()) == []
        desk.redo()
        assert [d.after for d in pane.changes.rows()] == ["91.00"], "it follows the book"

    def test_enter_on_a_difference_goes_to_the_record(self, pane: HistoryPane, desk: Desk) -> None:
        quote = desk.document.view.quote_of("white-rum")
        assert quote is not None
        went: list[object] = []
        desk.went.connect(went.append)
        desk.do(quotes.amend_price(desk.document.book, quote.id, "90.00"))
        pane.list.table.choose(pane.steps.key(0))
        pane.detail.table.opened.emit(pane.changes.key(0))
        assert went == [Where("quote", quote.id)]

    def test_undo_to_a_new_house_is_told(self, pane: HistoryPane, desk: Desk) -> None:
        desk.do(house.set_name(desk.document.book, "Other house"))
        pane.list.table.choose(pane.steps.key(0))
        assert [(d.field, d.after) for d in pane.changes.rows()] == [("name", "Other house")]
        assert isinstance(desk.document.book.house, House)
        assert desk.document.book.all(Quote)
