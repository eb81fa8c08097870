"""The preview: the very bytes, page by page, with words for those who do not see them."""

from datetime import date

import pypdfium2
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from pytestqt.qtbot import QtBot

from costing.ledger import reckon
from costing.paths import sample_book
from costing.report import contents
from costing.report.catalogue import make, report_named
from costing.store import read_json
from ui.widgets.preview import KEPT, LARGEST, Preview, PreviewBar


@pytest.fixture(scope="module")
def card() -> bytes:
    """A report of several pages."""
    return make(report_named("cost-sheets"), contents(reckon(read_json(sample_book()).on(date(2026, 11, 1))), 1))


@pytest.fixture
def preview(card: bytes, qtbot: QtBot) -> Preview:
    """A preview of it, seen."""
    preview = Preview("pages")
    qtbot.addWidget(preview)
    preview.resize(700, 500)
    with qtbot.waitExposed(preview):
        preview.show()
    preview.show_pdf(card)
    return preview


def test_it_shows_the_pages_that_the_bytes_have(preview: Preview, card: bytes) -> None:
    pdf = pypdfium2.PdfDocument(card)
    assert preview.pages.count == len(pdf) > 3
    page = pdf[1]
    text = page.get_textpage()
    assert preview.pages.text_of(1) == text.get_text_range()
    for held in (text, page, pdf):
        held.close()
    image = preview.pages.page_image(0, 1.0)
    assert {image.pixelColor(x, image.height() // 3).lightness() for x in range(image.width())} != {255}


def test_it_fits_the_width_until_somebody_zooms(preview: Preview, qtbot: QtBot) -> None:
    room = preview.viewport().width()
    assert room - 60 < preview.pages.widest() * preview.pages.scale < room
    preview.resize(900, 500)
    assert preview.pages.widest() * preview.pages.scale > room
    preview.setFocus()
    qtbot.keyClick(preview, Qt.Key.Key_Plus, Qt.KeyboardModifier.ControlModifier)
    larger = preview.pages.scale
    preview.resize(700, 500)
    assert preview.pages.scale == larger
    for _ in range(20):
        preview.larger()
    assert preview.pages.scale == LARGEST
    qtbot.keyClick(preview, Qt.Key.Key_0, Qt.KeyboardModifier.ControlModifier)
    assert preview.pages.widest() * preview.pages.scale < preview.viewport().width()


def test_the_place_one_reads_stays_when_the_size_changes(preview: Preview) -> None:
    bar = preview.verticalScrollBar()
    bar.setValue(preview.pages.page_rect(2).top() - 4)
    assert preview.page_in_sight() == 2
    preview.larger()
    assert preview.page_in_sight() == 2
    preview.smaller()
    assert preview.page_in_sight() == 2


def test_pages_by_key_and_their_words(preview: Preview, qtbot: QtBot) -> None:
    bar = PreviewBar(preview)
    qtbot.addWidget(bar)
    assert bar.where.text().startswith(f"Page 1 of {preview.pages.count}, ")
    preview.setFocus()
    qtbot.keyClick(preview, Qt.Key.Key_End)
    assert preview.verticalScrollBar().value() == preview.verticalScrollBar().maximum()
    last = preview.page_in_sight()
    assert preview.accessibleDescription().startswith(f"Page {last + 1} of ")
    assert bar.where.text().startswith(f"Page {last + 1} of ")
    preview.copy_text()
    assert QGuiApplication.clipboard().text().split() == preview.pages.text_of(last).split()
    qtbot.keyClick(preview, Qt.Key.Key_Home)
    assert preview.page_in_sight() == 0
    assert all(button.accessibleName() and button.toolTip() for button in bar.buttons)
    before = preview.pages.scale
    bar.buttons[0].click()
    assert preview.pages.scale > before


def test_few_pages_are_kept_drawn(preview: Preview) -> None:
    for page in range(preview.pages.count):
        preview.verticalScrollBar().setValue(preview.pages.page_rect(page).top())
        preview.grab()
    assert 0 < len(preview.pages._drawn) <= KEPT


@pytest.mark.parametrize("data", [b"", b"%PDF-1.4", b"PK\x03\x04 not a page"])
def test_what_is_no_pdf_is_refused_and_what_was_shown_stays(preview: Preview, data: bytes) -> None:
    before = preview.pages.count
    with pytest.raises(ValueError, match="no PDF"):
        preview.show_pdf(data)
    assert preview.pages.count == before
    preview.clear()
    assert preview.pages.count == 0
    assert preview.pages.text_of(0) == ""
    assert preview.accessibleDescription() == ""
