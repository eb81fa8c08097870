"""Questions about the menu: fields filled in by keyboard, and answers in words and figures that follow them."""

from collections.abc import Iterator
from dataclasses import replace
from math import ceil, sqrt
from statistics import NormalDist

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from costing.book.book import Book
from costing.book.change import Step, put
from costing.book.records import Menu, MenuLine, MenuSection
from costing.menu.capacity_rows import decision_margin
from costing.menu.event_words import WITH_CARE
from costing.store import create
from tests.ui.conftest import DAY, DictMemory
from ui.desk import Desk, Where
from ui.document import Document
from ui.format import Format, locale_of
from ui.jobs import begin_resting
from ui.places.menu.questions.page import QuestionsPage
from ui.places.menu.questions.pane import Fig
from ui.places.menu.questions.question import Question
from ui.places.menu.questions.reading import offered, read_list, read_number, read_share, read_staff, read_whole
from ui.places.menu.questions.trying import Trying
from ui.places.menu.standing import Standing
from ui.widgets.fields import ChoiceField

Key = Qt.Key


@pytest.fixture(scope="module")
def bar(sample: Book, tmp_path_factory: pytest.TempPathFactory, qapp: QApplication) -> Iterator[Desk]:
    """A desk on the sample bar, kept for all tests, because a file takes a while."""
    path = tmp_path_factory.mktemp("questions") / "bar.stillroom"
    with create(path, sample) as store:
        document = Document(store, DAY, path=path)
        house = document.book.house
        yield Desk(document, Format(locale_of("en"), house.currency if house else ""), DictMemory(), document)
        document.deleteLater()


@pytest.fixture
def page(bar: Desk, qtbot: QtBot) -> Iterator[QuestionsPage]:
    """The page on the sample; what was done to the book is taken back."""
    before = bar.document.book
    page = seen(bar, qtbot)
    yield page
    page.hide()
    while bar.document.book != before:
        bar.undo()


def seen(desk: Desk, qtbot: QtBot) -> QuestionsPage:
    """A page that is shown."""
    page = QuestionsPage(desk, Standing(desk))
    qtbot.addWidget(page)
    page.resize(1080, 560)
    with qtbot.waitExposed(page):
        page.show()
    return page


def fill(qtbot: QtBot, question: Question, **texts: str) -> None:
    """Type into fields, each left with Enter."""
    for key, text in texts.items():
        field = question.blanks[key].field
        field.setFocus()
        field.selectAll()
        qtbot.keyClicks(field, text)
        qtbot.keyClick(field, Key.Key_Return)


def answered(qtbot: QtBot, question: Question) -> str:
    """Wait for the answer, and give what it says."""

    def known() -> bool:
        begin_resting()
        return "worked out" not in question.pane.notes.text()

    qtbot.waitUntil(known, timeout=10_000)
    assert question.pane.warning.isHidden() or question.pane.said.text(), question.pane.warning.text()
    return question.pane.said.text()


def figure(question: Question, key: str, sheet: str = "figures", column: int = 1) -> float:
    """The figure in a row of a table."""
    cell = next(row for row in question.pane.rows(sheet) if row.key == key).cells[column]
    assert isinstance(cell, Fig)
    assert cell.value is not None
    return cell.value


def test_a_question_is_chosen_with_the_arrows_and_answered_while_its_field_is_typed(
    page: QuestionsPage, qtbot: QtBot
) -> None:
    listed = page.first()
    listed.setFocus()
    for key in ("coming", "against", "event", "testing", "carrying"):
        qtbot.keyClick(listed, Key.Key_Down)
        assert page.question().key == key
    for _ in range(5):
        qtbot.keyClick(listed, Key.Key_Up)
    question = page.question()
    assert question.key == "going"
    assert "Choose a drink" in question.pane.notes.text()
    qtbot.keyClick(listed, Key.Key_Tab)
    field = question.blanks["drink"].field
    assert QApplication.focusWidget() is field
    item = page.standing.mix().items[2]
    qtbot.keyClicks(field, item.name)  # no Enter
    assert isinstance(field, ChoiceField)
    popup = field.suggestions.popup()
    assert popup is not None
    popup.hide()
    assert question.blanks["drink"].fault.isHidden()
    said = answered(qtbot, question)
    assert item.name in said
    d = question._latest._found[1].dropped if question._latest._found else None
    assert d is not None
    assert figure(question, "margin") == pytest.approx(item.sold * decision_margin(item))
    others = [i for i in page.standing.mix().sections[item.menu, item.section] if i.serve != item.serve]
    mean = sum(i.sold * decision_margin(i) for i in others) / sum(i.sold for i in others)
    assert figure(question, "move") == pytest.approx(figure(question, "vanish") + item.sold * mean)


def test_what_cannot_be_is_told_at_its_field_once_it_is_left_and_all_is_kept(page: QuestionsPage, qtbot: QtBot) -> None:
    question = page.ask("event")
    hours = question.blanks["hours"]
    hours.field.setFocus()
    qtbot.keyClicks(hours.field, "77")
    assert hours.fault.isHidden()  # it may become 7.7 yet
    qtbot.keyClick(hours.field, Key.Key_Tab)
    assert hours.fault.text() == "77 must lie from 0 to 48."
    assert hours.field.property("refused")
    assert question.pane.said.isHidden()
    fill(qtbot, question, more="0.5", staff="three people", drinks="Harbour Light 40 %; No Such Drink")
    assert "may be 0.5 % or 50 %" in question.blanks["more"].fault.text()
    assert "3 x 5 @ 22" in question.blanks["staff"].fault.text()
    assert "No Such Drink" in question.blanks["drinks"].fault.text()
    again = seen(page.desk, qtbot)
    again.restore_state(page.save_state())
    assert again.question().key == "event"
    again.question().refresh()
    assert again.question().blanks["hours"].text == "77"
    assert not again.question().blanks["hours"].fault.isHidden()
    fill(qtbot, question, hours="4")
    assert hours.fault.isHidden()


def test_a_drink_that_comes_pays_until_the_share_at_which_it_earns_nothing(page: QuestionsPage, qtbot: QtBot) -> None:
    """The gain is n (m - share x m of the other), by hand from the figures of the menu."""
    question, mix = page.ask("coming"), page.standing.mix()
    one, other = mix.items[0], mix.items[3]
    price = one.listed
    assert price is not None
    fill(qtbot, question, drink=one.name, price=str(price), sold="120", instead=f"{other.name} 40 %")
    answered(qtbot, question)
    margin = float(one.listed_net or 0) - one.layers["materials"] - one.layers["energy"]
    lost = 0.4 * decision_margin(other)
    assert figure(question, "gain") == pytest.approx(120 * (margin - lost))
    assert figure(question, "instead/0", "instead", 3) == pytest.approx(margin / decision_margin(other))
    fill(qtbot, question, instead=f"{other.name} 70 %; {mix.items[4].name} 60 %")
    begin_resting()
    qtbot.waitUntil(lambda: "100 %" in question.pane.warning.text(), timeout=5_000)
    fill(qtbot, question, instead=one.name)  # itself
    assert one.name in question.blanks["instead"].fault.text()


def test_a_new_menu_is_put_against_the_old_one_at_as_many_drinks(page: QuestionsPage, qtbot: QtBot) -> None:
    mix = page.standing.mix()
    old = mix.items[0].menu
    kept, cut = mix.items[:3], mix.items[3]
    book = page.desk.document.book
    lines = tuple(MenuLine(serve=i.serve, prices=()) for i in (*kept, cut))
    before = book.all(Menu)[old]
    priced = {line.serve: line for section in before.sections for line in section.lines}
    lines = tuple(priced[line.serve] for line in lines)
    menu = Menu(id="spring", name="Spring menu", sections=(MenuSection(name="All", lines=lines),))
    page.desk.do(Step("spring", (put("menu", menu),)))
    question = page.ask("against")
    fill(qtbot, question, new="Spring menu", old=before.name, guests="1000")
    said = answered(qtbot, question)
    assert before.name in said
    found = question._latest._found[1].menus if question._latest._found else None
    assert found is not None
    assert found.new.sold == pytest.approx(found.old.sold)
    sold = sum(i.sold for i in (*kept, cut))
    by_hand = sum(i.sold * i.net for i in (*kept, cut)) * found.old.sold / sold
    assert figure(question, "net", "sides", 2) == pytest.approx(by_hand)
    assert figure(question, "per-guest", "sides") == pytest.approx(found.old.sold / 1000)
    assert {row.cells[1] for row in question.pane.rows("moves")} == {"goes"}


def test_an_event_is_quoted_with_its_shopping_its_hours_and_its_care(page: QuestionsPage, qtbot: QtBot) -> None:
    """80 guests, two drinks in the first hour and one in each of three more, are 400: common practice, no source."""
    question = page.ask("event")
    names = [i.name for i in page.standing.mix().items]
    fill(qtbot, question, guests="80", hours="4", drinks=f"{names[0]} 60 %; {names[2]}", staff="3 x 5 h @ 22",
         hire="400", breakage="3 %", deposit="30 %")  # fmt: skip
    said = answered(qtbot, question)
    assert said.startswith("Ask ")
    poured = [row.cells[2] for row in question.pane.rows("drinks")]
    assert [cell.value for cell in poured if isinstance(cell, Fig)] == pytest.approx([240.0, 160.0])
    assert figure(question, "staff", "cost") == 3 * 5 * 22
    assert figure(question, "breakage", "cost") == pytest.approx(12.0)
    parts = [figure(question, key, "cost") for key in ("materials", "making", "staff", "hire", "breakage")]
    assert figure(question, "all", "cost") == pytest.approx(sum(parts))
    head = figure(question, "head", "cost")
    assert figure(question, "total", "cost") == pytest.approx(80 * head)
    assert figure(question, "left", "cost") == pytest.approx(figure(question, "kept", "cost") - sum(parts))
    assert all(sentence in question.pane.care.text() for sentence in WITH_CARE)
    fill(qtbot, question, minimum=f"{80 * head + 100:.2f}")
    assert "The minimum spend" in answered(qtbot, question)
    assert figure(question, "total", "cost") == pytest.approx(80 * head + 100)
    assert question.pane.tabs.indexOf(question.pane.tables["batches"]) == 2
    for row in question.pane.rows("shopping")[:-1]:
        good, prices = row.key.removeprefix("buy/"), page.desk.document.figures.reckoning.prices
        packs = row.cells[2]
        assert isinstance(packs, Fig)
        assert figure(question, row.key, "shopping") <= (packs.value or 0) * prices[good].content * (1 + 1e-9)
    table = question.pane.tables["shopping"]
    question.pane.tabs.setCurrentWidget(table)
    went: list[Where] = []
    page.desk.went.connect(went.append)
    page.activateWindow()  # without a screen a list of suggestions keeps it
    qtbot.waitUntil(lambda: QApplication.activeWindow() is page)
    table.setFocus()
    table.choose(question.pane.rows("shopping")[0].key)
    qtbot.keyClick(table, Key.Key_Return)
    assert went[0].kind == "good"
    table.selectAll()
    qtbot.keyClick(table, Key.Key_C, Qt.KeyboardModifier.ControlModifier)
    assert QGuiApplication.clipboard().text().count("\n") == len(question.pane.rows("shopping")) - 1
    qtbot.keyClick(table, Key.Key_L, Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier)
    assert QApplication.focusWidget() is page.list


def test_a_price_test_takes_as_many_drinks_as_the_handbook_says(page: QuestionsPage, qtbot: QtBot) -> None:
    """Fleiss, Statistical Methods for Rates and Proportions: sample sizes for two proportions, without continuity."""
    question, mix = page.ask("testing"), page.standing.mix()
    assert isinstance(question, Trying)
    item = mix.items[0]
    fill(qtbot, question, drink=question._names()[0][1], price=str((item.listed or 0) + 2), weeks="8")
    answered(qtbot, question)
    p, q = figure(question, "share"), figure(question, "even")
    assert p == pytest.approx(item.sold / sum(i.sold for i in mix.sections[item.menu, item.section]))
    a, b, mean = NormalDist().inv_cdf(0.975), NormalDist().inv_cdf(0.8), (p + q) / 2
    n = ((a * sqrt(2 * mean * (1 - mean)) + b * sqrt(p * (1 - p) + q * (1 - q))) / (p - q)) ** 2
    assert figure(question, "arm") == ceil(n)
    assert figure(question, "weeks") == ceil(2 * ceil(n) / figure(question, "week"))
    question.boxes["look"].setFocus()
    qtbot.keyClick(question.boxes["look"], Key.Key_Space)
    answered(qtbot, question)
    assert figure(question, "critical") == pytest.approx(1.977, abs=2e-3)  # O'Brien and Fleming, two looks, from memory
    fill(qtbot, question, price=str(item.listed))
    begin_resting()
    qtbot.waitUntil(lambda: "nothing to test" in question.pane.warning.text(), timeout=5_000)


def test_so_many_must_be_sold_that_their_margins_carry_the_fixed_costs(page: QuestionsPage, qtbot: QtBot) -> None:
    """OpenStax, Principles of Accounting, vol. 2: at break-even of a mix all margins make the fixed costs."""
    question, mix = page.ask("carrying"), page.standing.today()
    fill(qtbot, question, fixed="18000", weeks="4")
    said = answered(qtbot, question)
    items = [i for i in mix.items if i.sold > 0]
    carried = sum(figure(question, f"drink/{n}/{i.key}", "drinks", 4) * decision_margin(i) for n, i in enumerate(items))
    assert carried == pytest.approx(18000)
    assert page.desk.format.number(figure(question, "must"), 0) in said


def test_without_sales_only_the_event_is_answered(empty_desk: Desk, qtbot: QtBot) -> None:
    page = seen(empty_desk, qtbot)
    assert "No sales" in page.question().pane.notes.text()
    assert not page.read.isHidden()
    question = page.ask("event")
    fill(qtbot, question, guests="10", hours="2")
    assert "no sales are there" in question.pane.notes.text()
    went: list[Where] = []
    empty_desk.went.connect(went.append)
    page.read.click()
    assert went == [Where("menu", ":sold")]


def test_a_change_of_the_book_moves_the_answer(page: QuestionsPage, qtbot: QtBot) -> None:
    question, item = page.ask("going"), page.standing.mix().items[0]
    fill(qtbot, question, drink=item.name)
    answered(qtbot, question)
    before = page.desk.document.book.all(Menu)[item.menu]
    sections = tuple(
        replace(s, lines=tuple(line for line in s.lines if line.serve != item.serve)) for s in before.sections
    )
    page.desk.do(Step("off", (put("menu", replace(before, sections=sections), before),)))
    assert "there is no" in question.blanks["drink"].fault.text().lower()
    assert question.pane.rows("figures") == ()


NAMES = [("a", "Harbour lager, 0.4 l"), ("b", "Tide Table"), ("c", "Drink 1"), ("d", "Drink 10")]


@pytest.mark.parametrize(
    ("text", "share"), [("40 %", 0.4), ("40", 0.4), ("0", 0.0), ("0,5 %", 0.005), ("100 %", 1.0), ("1.5", 0.015)]
)
def test_shares_are_read(text: str, share: float) -> None:
    assert read_share(text) == pytest.approx(share)


@pytest.mark.parametrize("text", ["0.4", "1", "101 %", "-1 %", "forty", "", "1.234,5,6"])
def test_a_share_with_two_readings_or_none_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=r"."):
        read_share(text)


def test_numbers_staff_and_names_that_end_with_figures() -> None:
    assert read_whole("80", 1, 100) == 80
    with pytest.raises(ValueError, match="whole"):
        read_whole("8.5", 1, 100)
    with pytest.raises(ValueError, match="1,234"):
        read_number("1,234")  # one thousand or one and a bit
    assert read_staff("3 x 5 h @ 22; 1×8@18.50") == ((3, 5, 22), (1, 8, 18.5))
    assert read_list("harbour LAGER, 0.4 l; Drink 1", NAMES, read_share, bare=True) == (("a", None), ("c", None))
    assert read_list("Drink 1 10 %; Drink 10: 20 %", NAMES, read_share) == (("c", 0.1), ("d", 0.2))
    for bad in ("Drink 2 10 %", "Tide Table", "Tide Table 10 %; tide table 5 %", "Tide 10 %"):
        with pytest.raises(ValueError, match=r"."):
            read_list(bad, NAMES, read_share)
    assert offered("Tide Table 40 %; drink", [name for _, name in NAMES]) == [
        "Tide Table 40 %; Drink 1",
        "Tide Table 40 %; Drink 10",
    ]


def _counts() -> st.SearchStrategy[dict[str, int]]:
    return st.dictionaries(st.sampled_from([i for i, _ in NAMES]), st.integers(0, 9_999), min_size=1)


@settings(max_examples=40)
@given(_counts(), st.sampled_from([" ", ": ", " = "]))
def test_a_list_reads_back_as_it_was_written(counts: dict[str, int], between: str) -> None:
    names = dict(NAMES)
    text = "; ".join(f"{names[ident]}{between}{count}" for ident, count in counts.items())
    assert dict(read_list(text, NAMES, read_number)) == counts


def test_every_question_has_its_fields_and_tables_named(page: QuestionsPage) -> None:
    for question in page.questions.values():
        assert question.title()
        for blank in question.blanks.values():
            assert blank.field.accessibleName()
            assert blank.label.buddy() is blank.field
        for table in _tables(question):
            assert table


def _tables(question: Question) -> Iterator[str]:
    yield from (table.accessibleName() for table in question.pane.tables.values())
