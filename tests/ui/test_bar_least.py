"""A cost that lacks a price is never shown as if it were whole; a day without the drink shows none; why goes along."""

from datetime import date

import pytest
from pytestqt.qtbot import QtBot

from costing.book.records import Quote
from costing.edits import quotes
from tests.ui.test_bar import DRINK, bar
from tests.ui.test_bar_pages import cell
from ui.desk import Desk, Where
from ui.format import UNKNOWN
from ui.models.table import WHY_ROLE
from ui.places.bar import BarPlace
from ui.places.bar.compare import side_of, side_rows
from ui.whys import CostOfServe, PriceOf, UnitCost

__all__ = ["bar"]
LACKING = "tide-table"


@pytest.fixture
def lacking(bar: BarPlace) -> BarPlace:
    """The bar with a drink one of whose goods nobody quotes any more."""
    document = bar.desk.document
    version = document.view.serves[LACKING][1]
    good = next(i.source for i in version.build.adds if i.source in document.view.goods)
    for quote in [q.id for q in document.book.all(Quote).values() if q.good == good]:
        assert bar.desk.do(quotes.remove(document.book, quote))
    bar.show_item(Where("serve", LACKING, "build"))
    return bar


def test_the_list_and_the_figures_say_at_least(lacking: BarPlace) -> None:
    for column in ("cost", "pour"):
        assert cell(lacking.rows, LACKING, column).startswith("at least ")
        assert not cell(lacking.rows, DRINK, column).startswith("at least ")
    assert cell(lacking.rows, LACKING, "margin") == UNKNOWN
    assert cell(lacking.rows, DRINK, "margin") != UNKNOWN
    at = next(n for n, c in enumerate(lacking.rows.columns) if c.key == "cost")
    wide = lacking.list.table.fontMetrics().horizontalAdvance(cell(lacking.rows, LACKING, "cost"))
    assert lacking.list.table.columnWidth(at) > wide  # the figure behind "at least" is seen
    tags = lacking.build.figures
    for key in ("cost", "making", "pour", "lost"):
        assert tags[key].text_shown.startswith("at least "), key
    assert tags["margin"].text_shown == UNKNOWN
    assert tags["price"].text_shown == cell(lacking.rows, LACKING, "price")
    lacking.list.table._sort_by(next(n for n, c in enumerate(lacking.rows.columns) if c.key == "margin"))
    assert lacking.rows.key(lacking.rows.rowCount() - 1) in {r.id for r in lacking.rows.rows() if r.margin is None}


def test_the_price_page_says_at_least_and_at_most(lacking: BarPlace) -> None:
    lacking.pages.setCurrentWidget(lacking.price)
    good = next(iter(next(p for p in lacking.desk.document.priced if p.serve.id == LACKING).cost.unpriced))
    assert lacking.desk.document.names[good] in lacking.price.lacking.text()
    assert lacking.price.lacking.isVisible()
    head, *rows = lacking.price._steps_table()
    assert rows
    for row in rows:
        said = dict(zip(head, row, strict=True))
        assert said["Cost"].startswith("at least ")
        assert said["Pour cost"].startswith("at least ")
        assert said["Margin"].startswith("at most ")
        assert said["Target"] in (UNKNOWN, "missed")
    figure = lacking.price.steps.figure
    assert figure is not None
    assert all("margin at most " in region.name for region in lacking.price._regions(figure))
    lacking.show_item(Where("serve", DRINK))
    assert not any("at " in text for row in lacking.price._steps_table() for text in row)
    assert not lacking.price.lacking.isVisible()


def test_side_by_side_says_at_least(lacking: BarPlace) -> None:
    form, document = lacking.desk.format, lacking.desk.document
    sides = [side for key in (LACKING, DRINK) if (side := side_of(document, key, form)) is not None]
    rows = {row.name: row.cells for row in side_rows(sides, form)}
    for name in ("Cost", "With making", "Pour cost"):
        assert [text.startswith("at least ") for text in rows[name]] == [True, False], name
    assert [text == UNKNOWN for text in rows["Margin"]] == [True, False]


def test_why_says_at_least(lacking: BarPlace) -> None:
    figures, form = lacking.desk.document.figures, lacking.desk.format
    priced = next(p for p in figures.priced if p.serve.id == LACKING)
    said = {line.text: line.figure for line in PriceOf(LACKING, priced.menu, priced.section).trail(figures, form).lines}
    assert said["pour cost"].startswith("at least ")
    assert said["contribution margin"] == UNKNOWN
    assert next(figure for text, figure in said.items() if text.startswith("cost, ")).startswith("at least ")
    trail = CostOfServe(LACKING).trail(figures, form)
    assert trail.figure.startswith("at least ")
    lines = {line.text: line.figure for line in trail.lines}
    assert lines["with making"].startswith("at least ")
    assert lines["of the materials, spent on what was lost on the way"].startswith("at least ")
    materials = [figure for text, figure in lines.items() if text == "of which materials"]
    assert all(figure.startswith("at least ") for figure in materials)
    whole = CostOfServe(DRINK).trail(figures, form)
    assert not any("at least" in text for line in whole.lines for text in (line.figure, whole.figure))


def test_why_of_the_cost_is_the_cost_that_is_shown(bar: BarPlace) -> None:
    figures, form = bar.desk.document.figures, bar.desk.format
    for ident in figures.view.serves:
        bar.show_item(Where("serve", ident))
        trail = CostOfServe(ident).trail(figures, form)
        assert trail.figure == bar.build.figures["cost"].text_shown
        making = next(line.figure for line in trail.lines if line.text == "with making")
        assert making == bar.build.figures["making"].text_shown


def test_why_goes_along_with_the_drink(bar: BarPlace) -> None:
    explained: list[object] = [None]
    bar.desk.explained.connect(explained.append)
    for ident in ("tide-table", "night-ferry", DRINK):
        bar.show_item(Where("serve", ident))
        assert explained[-1] == CostOfServe(ident)
    for model in (bar.rows, bar.build.parts):
        for column in range(len(model.columns)):
            assert model.index(0, column).data(WHY_ROLE) is not None, model.columns[column].key
    table = bar.build.list.table
    table.clicked.emit(table.currentIndex())  # it was come to before anybody asked
    component: object = UnitCost(bar.build.parts.row(0).source)
    assert explained[-1] == component
    table.setCurrentIndex(bar.build.parts.index(bar.build.parts.rowCount() - 1, 0))
    assert explained[-1] == CostOfServe(DRINK)
    bar.pages.setCurrentWidget(bar.price)
    bar.show_item(Where("serve", "tide-table"))
    bar.pages.setCurrentWidget(bar.build)
    assert explained[-1] == CostOfServe("tide-table")


def test_a_day_on_which_nothing_is_made_shows_nothing(bar: BarPlace) -> None:
    build, document = bar.build, bar.desk.document
    day, name = document.day, build.name.text()
    build.seconds.setText("ninety-ish")
    build.seconds.commit()
    for page in (bar.price, bar.stream, bar.compare):
        bar.pages.setCurrentWidget(page)
    bar.pages.setCurrentWidget(build)
    document.set_day(date(2000, 1, 1))
    assert bar.rows.rowCount() == 0
    assert {tag.text_shown for tag in build.figures.tags.values()} == {UNKNOWN}
    assert {field.text() for field in (build.name, build.technique, build.glass, build.seconds, build.note)} == {""}
    assert (build.words.allergens.text(), build.words.cautions.text()) == ("", "")
    assert build.parts.rowCount() == 0
    why = CostOfServe(DRINK).trail(document.figures, bar.desk.format)
    assert (why.title, why.figure, why.lines) == (f"{name} is not made on this day", "", ())
    for page in (bar.price, bar.stream, bar.compare):
        bar.pages.setCurrentWidget(page)
    assert (bar.price.title.text(), bar.price.use.isEnabled(), bar.price.use.text()) == ("", False, "Take this price")
    bar.pages.setCurrentWidget(build)
    document.set_day(day)
    assert (bar.current, build.name.text()) == (DRINK, name)
    assert build.seconds.text() == "ninety-ish"
    assert UNKNOWN not in build.figures["cost"].text_shown


def test_the_drink_that_was_looked_at_is_there_again_after_a_day_without_it(bar: BarPlace) -> None:
    explained: list[object] = []
    day, drink = bar.desk.document.day, bar.rows.key(3)
    bar.show_item(Where("serve", drink))
    bar.desk.explained.connect(explained.append)
    bar.desk.document.set_day(date(2000, 1, 1))
    bar.desk.document.set_day(day)
    assert (bar.current, bar.build.serve) == (drink, drink)
    assert bar.list.table.currentIndex().row() == 3
    assert bar.make_variant("Harbour Dark")
    bar.remove()
    assert bar.current in bar.desk.document.view.serves
    assert bar.list.table.chosen() == [bar.current] == [bar.build.serve]
    assert explained[-1] == CostOfServe(bar.current)


def test_a_price_is_taken_and_never_sent_to_a_printer(bar: BarPlace) -> None:
    bar.pages.setCurrentWidget(bar.price)
    price = bar.price.steps.chosen()
    assert bar.price.use.text() == f"Take {bar.desk.format.money(float(price))}"
    figures, form = bar.desk.document.figures, bar.desk.format
    for priced in figures.priced:
        for line in PriceOf(priced.serve.id, priced.menu, priced.section).trail(figures, form).lines:
            assert "print" not in line.text


def test_what_is_done_never_says_that_a_drink_costs_nothing(bar: BarPlace) -> None:
    document, said = bar.desk.document, list[str]()
    bar.desk.told.connect(said.append)
    assert document.figures.priced
    good = "white-rum"
    for quote in [q.id for q in document.book.all(Quote).values() if q.good == good]:
        assert bar.desk.do(quotes.remove(document.book, quote))
        assert document.figures.priced
    assert "without their full cost" in said[-1]
    assert " to 0.00" not in said[-1]


def test_an_empty_bar_takes_no_text(empty_desk: Desk, qtbot: QtBot) -> None:
    place = BarPlace(empty_desk)
    qtbot.addWidget(place)
    place.show()
    assert not place.build.isEnabled()
