"""The pages of a drink: prices with the range of cost, drinks and versions side by side, techniques and glasses."""

from decimal import Decimal

import pytest
from PySide6.QtCore import Qt
from pytestqt.qtbot import QtBot

from costing.book.records import Glass, Technique
from costing.edits import serves
from costing.pricing.exposure import base_layers
from tests.pricing.one_drink import spread
from tests.ui.conftest import DAY
from tests.ui.test_bar import DRINK, bar
from ui.desk import Where
from ui.places.bar import BarPlace
from ui.places.bar.compare import side_of
from ui.places.bar.lists import NEW
from ui.ranges import range_of

__all__ = ["bar"]
Key = Qt.Key


def known(place: BarPlace, qtbot: QtBot) -> None:
    """Wait until the ranges of the book as it is are there."""
    qtbot.waitUntil(lambda: place.desk.document.figures.ranges is not None, timeout=20_000)


def cell(model: object, key: str, column: str) -> str:
    """What a cell shows."""
    row = model.position(key)  # type: ignore[attr-defined]
    at = next(n for n, c in enumerate(model.columns) if c.key == column)  # type: ignore[attr-defined]
    return str(model.index(row, at).data())  # type: ignore[attr-defined]


def test_the_range_comes_after_and_follows_the_book(bar: BarPlace, qtbot: QtBot) -> None:
    bar.pages.setCurrentWidget(bar.price)
    known(bar, qtbot)
    document = bar.desk.document
    found = range_of(document.figures, DRINK)
    assert found == spread(document.reckoning, DRINK, base_layers(document.reckoning))
    assert found is not None
    form = bar.desk.format
    assert form.money(found.low) in bar.price.range.text()
    assert bar.price.steps.figure is not None
    # another book: the range of before is gone at once, and the new one comes
    assert bar.desk.do(serves.set_amount(document.book, DRINK, DAY, 0, "~90 ml"))
    assert range_of(document.figures, DRINK) is None
    known(bar, qtbot)
    after = range_of(document.figures, DRINK)
    assert after is not None
    assert after.high > 1.5 * found.high


def test_a_price_is_chosen_with_the_arrow_keys_and_printed_with_enter(bar: BarPlace, qtbot: QtBot) -> None:
    bar.pages.setCurrentWidget(bar.price)
    bar.price.steps.setFocus()
    before = bar.desk.document.book
    chosen = bar.price.steps.chosen()
    qtbot.keyClick(bar.price.steps, Key.Key_Down)
    assert bar.price.steps.chosen() != chosen
    wanted = Decimal(bar.price.steps.chosen())
    qtbot.keyClick(bar.price.steps, Key.Key_Return)
    priced = next(p for p in bar.desk.document.priced if p.serve.id == DRINK)
    assert priced.price is not None
    assert priced.price.all_in == wanted
    assert bar.desk.undo()
    assert bar.desk.document.book == before


def test_drinks_and_versions_stand_side_by_side(bar: BarPlace) -> None:
    bar.pages.setCurrentWidget(bar.compare)
    page, document = bar.compare, bar.desk.document
    bar.begin_version()
    bar.desk.do(serves.set_line(document.book, DRINK, DAY, 0, "90 ml white rum 40 %"))
    (older,) = [name for name, key in page.choices().items() if "@" in key]
    for name in (older, "Tide Table"):
        page.add.setText(name)
        page.add.commit()
    assert len(page.chosen) == 3
    assert page.list is not None
    rows = {row.name: row.cells for row in page.list.model.rows()}
    side = side_of(document, page.chosen[1], bar.desk.format)
    assert side is not None
    # the older version at today's prices: what the drink cost before it was made differently
    assert rows["Cost"][1] == bar.desk.format.money(side.priced.base) != rows["Cost"][0]
    assert rows["White rum 40 %"][:2] == ("90 ml", "–")
    assert side_of(document, "nothing", bar.desk.format) is None
    assert side_of(document, f"{DRINK}@1999-01-01", bar.desk.format) is None
    page.add.setText("Night Ferry")
    page.add.commit()
    page.add.setText("Ropewalk")
    page.add.commit()
    assert len(page.chosen) == 4
    assert page.said.isVisible()
    page.clear.click()
    assert page.chosen == [DRINK]


def test_a_technique_is_typed_measured_and_removed(bar: BarPlace, qtbot: QtBot) -> None:
    assert bar.show_item(Where("technique", "shaken"))
    page, document = bar.lists, bar.desk.document
    page.weighings.setText("95 ml 98 g 121 g; 93 ml 97 g 119 g")
    qtbot.keyClick(page.weighings, Key.Key_Return)
    fact = document.book.all(Technique)["shaken"].dilution
    assert fact is not None
    assert fact.how.endswith("2 drinks")
    assert cell(page.techniques, "shaken", "dilution") == fact.text
    assert page.weighings.text() == ""
    page.weighings.setText("98 g 9 g")
    qtbot.keyClick(page.weighings, Key.Key_Return)
    assert page.weighings.text() == "98 g 9 g"
    assert page.said.isVisible()
    with qtbot.waitSignal(bar.desk.refused):
        qtbot.keyClick(page.technique_list.table, Key.Key_Delete)
    column = page.techniques.columns[0]
    assert column.write is not None
    assert bar.desk.do(column.write(document.book, page.techniques.rows()[-1], "Swizzled"))
    assert page.techniques.rows()[-1].id == NEW
    (made,) = [t for t in document.book.all(Technique).values() if t.name == "Swizzled"]
    assert bar.show_item(Where("technique", made.id))
    qtbot.keyClick(page.technique_list.table, Key.Key_Delete)
    assert made.id not in document.book.all(Technique)


@pytest.mark.parametrize(("key", "text"), [("dilution", "0.25"), ("like", "blended"), ("name", "Stirred")])
def test_what_a_technique_cannot_be_is_refused(bar: BarPlace, key: str, text: str) -> None:
    bar.show_item(Where("technique", "shaken"))
    column = next(c for c in bar.lists.techniques.columns if c.key == key)
    row = next(r for r in bar.lists.techniques.rows() if r.id == "shaken")
    assert column.write is not None
    with pytest.raises(ValueError, match=r"."):
        column.write(bar.desk.document.book, row, text)


def test_a_glass_is_typed(bar: BarPlace) -> None:
    assert bar.show_item(Where("glass", "coupe"))
    page, document = bar.lists, bar.desk.document
    column = next(c for c in page.glasses.columns if c.key == "capacity")
    assert column.write is not None
    row = next(r for r in page.glasses.rows() if r.id == "coupe")
    assert bar.desk.do(column.write(document.book, row, "19 cl"))
    fact = document.book.all(Glass)["coupe"].capacity
    assert fact is not None
    assert fact.text == "19 cl"


def test_prices_left_out_are_marked(bar: BarPlace) -> None:
    bar.show_item(Where("serve", "quay-walnut", "price"))
    jumps = [step for step in bar.price._steps if step.jump]
    assert [(step.now, step.suggested) for step in jumps] == [(True, False)]
    bar.show_item(Where("serve", DRINK, "price"))
    assert not any(step.jump for step in bar.price._steps)
