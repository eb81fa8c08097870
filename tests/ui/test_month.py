"""Reports: what is shown is what is saved, of the day and in the language asked for; stopped work leaves nothing."""

import csv
import io
from collections.abc import Callable
from datetime import date
from pathlib import Path
from threading import Event

import pytest
from PySide6.QtCore import Qt
from PySide6.QtPrintSupport import QPrinter, QPrinterInfo
from PySide6.QtWidgets import QFileDialog, QWidget
from pytestqt.modeltest import ModelTester
from pytestqt.qtbot import QtBot

from costing.edits import menus
from costing.edits.menus import Spot
from costing.report.catalogue import REPORTS, all_reports
from costing.tongue import languages
from tests.ui.conftest import DictMemory
from ui.desk import Desk, Where
from ui.jobs import Cancelled, wait_for_jobs
from ui.places.month import MonthPlace
from ui.places.month import making as making_module
from ui.places.month.language import language_name
from ui.places.month.making import print_pages, save_all

LONG = 20_000


@pytest.fixture
def place(desk: Desk, qtbot: QtBot) -> MonthPlace:
    """The place, seen, with its first report made."""
    place = MonthPlace(desk)
    qtbot.addWidget(place)
    place.resize(1100, 650)
    with qtbot.waitExposed(place):
        place.show()
    made(place, qtbot)
    return place


def made(place: MonthPlace, qtbot: QtBot) -> bytes:
    """Wait until what is wanted is shown."""
    qtbot.waitUntil(lambda: bool(place.data) and place._job is None, timeout=LONG)
    return place.data


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """An empty folder."""
    made = tmp_path / "out"
    made.mkdir()
    return made


def told(desk: Desk) -> list[str]:
    """What is said from here on."""
    out: list[str] = []
    desk.told.connect(out.append)
    return out


def test_what_is_shown_is_what_is_saved(place: MonthPlace, qtbot: QtBot, tmp_path: Path, memory: DictMemory) -> None:
    said = told(place.desk)
    target = tmp_path / "card.pdf"
    place.save_to(target)
    qtbot.waitUntil(lambda: bool(said), timeout=LONG)
    assert target.read_bytes() == place.data
    assert str(target) in said[-1]
    assert memory.get("reports") == str(tmp_path)
    assert [p.name for p in tmp_path.iterdir() if p.name.endswith(".part")] == []


@pytest.mark.parametrize("report", [r.id for r in REPORTS if r.formats != ("pdf",)] + ["spec-card"])
def test_every_kind_is_shown_in_its_own_way(place: MonthPlace, qtbot: QtBot, report: str) -> None:
    assert place.show_item(Where("report", report, "harbour-light" if report == "spec-card" else ""))
    data = made(place, qtbot)
    form = place.wanted.report.formats[0]
    if form == "csv":
        assert place.shown.currentWidget() is place.text
        first = next(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))
        assert place.text.toPlainText().startswith(",".join(first)[:40])
        assert not place.print.isEnabled()
    elif form == "xlsx":
        assert "KB" in place.said.text()
    else:
        assert "Harbour Light" in place.preview.pages.text_of(0)
        assert place.print.isEnabled()


def test_another_day_or_an_edit_makes_it_anew(place: MonthPlace, qtbot: QtBot) -> None:
    first = place.data
    place.desk.document.set_day(date(2026, 10, 1))
    second = made(place, qtbot)
    assert second != first
    assert "2026-10-01" in place.preview.pages.text_of(0)
    menu = next(iter(place.desk.document.view.menus))
    assert place.desk.do(menus.set_price(place.desk.document.book, menu, Spot(0, 0), "19", date(2026, 10, 1)))
    made(place, qtbot)
    assert "19.00" in place.preview.pages.text_of(0)


def test_a_report_of_something_the_day_does_not_have(place: MonthPlace, qtbot: QtBot) -> None:
    place.desk.document.set_day(date(1990, 1, 1))
    made(place, qtbot)
    assert place.show_item(Where("report", "batch-sheet", "pineapple-distillate"))
    assert place.data == b""
    assert not place.save.isEnabled()
    assert "nothing on this day" in place.said.text()
    place.ask_save()


def test_back_from_a_report_that_cannot_be_is_what_was_shown(empty_desk: Desk, qtbot: QtBot) -> None:
    place = MonthPlace(empty_desk)
    qtbot.addWidget(place)
    with qtbot.waitExposed(place):
        place.show()
    assert place.show_item(Where("report", "menu-cost"))
    made(place, qtbot)
    assert place.shown.currentWidget() is place.preview
    assert place.show_item(Where("report", "cost-sheet"))
    assert place.shown.currentWidget() is place.said
    assert place.show_item(Where("report", "menu-cost"))
    assert place.shown.currentWidget() is place.preview
    assert place.tools.isVisible()


def test_what_was_chosen_outlives_a_window_that_is_built_anew(place: MonthPlace, desk: Desk, qtbot: QtBot) -> None:
    assert place.show_item(Where("report", "cost-sheet", "quay-walnut"))
    place.choices.tongue.setText(language_name("de"))
    place.choices.tongue.commit()
    state = place.save_state()
    other = MonthPlace(desk)
    qtbot.addWidget(other)
    other.restore_state(state)
    other.show()
    assert other.wanted == place.wanted
    assert other.choices.subject.text() == "Quay Walnut"
    assert other.choices.tongue.text() == language_name("de")
    other.restore_state({"report": 3, "tongue": "xx", "subjects": {"serve": 4, "glass": "x"}})
    assert other.wanted == place.wanted


def test_a_report_of_one_thing_by_typing_its_name(place: MonthPlace, qtbot: QtBot) -> None:
    assert not place.choices.subject.isEnabled()
    assert place.show_item(Where("report", "cost-sheet"))
    field = place.choices.subject
    assert field.isEnabled()
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, "quay walnut")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    made(place, qtbot)
    assert field.text() == "Quay Walnut"
    assert "Quay Walnut" in place.preview.pages.text_of(0)
    field.selectAll()
    qtbot.keyClicks(field, "no such thing")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert field.refusal is not None
    assert place.wanted.subject == "quay-walnut"


@pytest.mark.parametrize("tag", [tag for tag in languages() if tag != "en"])
def test_a_report_in_another_language_leaves_the_window_in_its_own(place: MonthPlace, qtbot: QtBot, tag: str) -> None:
    english = place.preview.pages.text_of(0)
    field = place.choices.tongue
    field.setText(language_name(tag))
    field.commit()
    made(place, qtbot)
    assert place.preview.pages.text_of(0) != english
    assert place.wanted.report.title == "Menu cost card"
    field.setText("en")
    field.commit()
    made(place, qtbot)
    assert place.preview.pages.text_of(0) == english
    field.setText("Klingon")
    field.commit()
    assert field.refusal is not None
    assert place.wanted.tongue == "en"


def test_all_reports_stand_in_a_folder_of_their_own(
    place: MonthPlace, qtbot: QtBot, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    few = tuple(job for job in all_reports([]) if job[0].formats == ("csv",) or job[0].id == "spec-cards")
    assert len(few) > 3
    monkeypatch.setattr(making_module, "all_reports", lambda _: few)  # the rest only takes longer
    said = told(place.desk)
    for _ in range(2):
        said.clear()
        place.save_everything(folder)
        qtbot.waitUntil(lambda: any("All reports" in text for text in said), timeout=LONG)
    folders = sorted(folder.iterdir())
    assert [f.name for f in folders] == ["reports-2026-11-01-1-en", "reports-2026-11-01-1-en-2"], "none is written over"
    for each in folders:
        assert {f.name for f in each.iterdir()} == {name for _, _, name in few}
        assert all(f.stat().st_size > 100 for f in each.iterdir())


def test_stopped_in_the_middle_it_leaves_nothing(place: MonthPlace, folder: Path) -> None:
    def progress(done: int, total: int, text: str) -> None:
        if done == 2:
            raise Cancelled

    with pytest.raises(Cancelled):
        save_all(place.desk.document.figures, "en", folder, progress)
    assert list(folder.iterdir()) == []


def test_stop_answers_at_once_and_keeps_the_old_file(
    place: MonthPlace, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "card.pdf"
    target.write_bytes(b"of last month")
    begun, go_on = Event(), Event()
    real: Callable[..., bytes] = vars(making_module)["make"]

    def slow(*args: object) -> bytes:
        begun.set()
        go_on.wait(20)
        return real(*args)

    monkeypatch.setattr(making_module, "make", slow)
    place._made = None
    place.save_to(target)
    qtbot.waitUntil(begun.is_set, timeout=LONG)
    assert place.stop.isVisible()
    qtbot.mouseClick(place.stop, Qt.MouseButton.LeftButton)
    assert not place.stop.isVisible()
    go_on.set()
    assert wait_for_jobs()
    assert target.read_bytes() == b"of last month"
    assert [p.name for p in tmp_path.iterdir() if p.name.endswith(".part")] == []


def test_a_folder_that_refuses_is_said(place: MonthPlace, qtbot: QtBot, tmp_path: Path) -> None:
    with qtbot.waitSignal(place.desk.refused, timeout=LONG):
        place.save_to(tmp_path / "no such folder" / "card.pdf")
    assert place.desk.refusal is not None
    assert place.desk.refusal.remedy
    with qtbot.waitSignal(place.desk.refused, timeout=LONG):
        place.save_everything(tmp_path / "no such folder")


def test_the_pages_print_as_they_are_shown(place: MonthPlace, tmp_path: Path) -> None:
    printer = QPrinter(QPrinter.PrinterMode.ScreenResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(tmp_path / "printed.pdf"))
    print_pages(place.preview.pages, printer)
    import pypdfium2

    pdf = pypdfium2.PdfDocument((tmp_path / "printed.pdf").read_bytes())
    assert len(pdf) == place.preview.pages.count
    wide, tall = pdf.get_page_size(0)
    shown = place.preview.pages._sizes[0]
    assert (wide > tall) == (shown[0] > shown[1]), "the sheet is turned as the page is"
    pdf.close()


def test_without_a_printer_it_says_what_to_do(place: MonthPlace, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(QPrinterInfo, "availablePrinterNames", staticmethod(list))
    place.ask_print()
    assert place.desk.refusal is not None
    assert "No printer" in place.desk.refusal.cause


def test_a_name_is_offered_where_reports_went_last(
    place: MonthPlace, memory: DictMemory, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    offered: list[str] = []

    def ask(*args: object) -> tuple[str, str]:
        offered.append(str(args[2]))
        return "", ""

    monkeypatch.setattr(QFileDialog, "getSaveFileName", ask)
    memory.put("reports", str(tmp_path))
    place.ask_save()
    memory.put("reports", str(tmp_path / "gone"))
    place.ask_save()
    assert offered == [str(tmp_path / "menu-cost.pdf"), str(Path.home() / "menu-cost.pdf")]


def test_what_it_remembers(place: MonthPlace, desk: Desk, qtbot: QtBot) -> None:
    assert place.show_item(Where("report", "allergens"))
    assert not place.show_item(Where("report", "nowhere"))
    state = place.save_state()
    other = MonthPlace(desk)
    qtbot.addWidget(other)
    other.restore_state(state)
    assert other.wanted.report.id == "allergens"
    other.restore_state({"report": 4, "split": 5})
    assert other.wanted.report.id == "allergens"


def test_the_list_keeps_the_rules_of_models(place: MonthPlace, qtmodeltester: ModelTester) -> None:
    qtmodeltester.check(place.choices.rows)


def test_everything_has_a_name_and_every_act_a_key(place: MonthPlace) -> None:
    for widget in place.findChildren(QWidget):
        if widget.focusPolicy() & Qt.FocusPolicy.TabFocus and widget.isVisible():
            assert widget.accessibleName() or getattr(widget, "text", str)(), widget
            assert widget.height() >= 24 or widget.width() == 0, widget
    keys = [action.shortcut().toString() for action in place.actions_of()]
    assert all(keys)
    assert len(set(keys)) == len(keys)


def test_a_save_goes_on_while_another_report_is_looked_at(place: MonthPlace, qtbot: QtBot, folder: Path) -> None:
    said = told(place.desk)
    place.save_everything(folder)
    place.list.table.choose(place.list.model.key(2))
    place.desk.refusal = None
    place.save_everything(folder)
    assert place.desk.refusal is not None, "a second save waits for its own key"
    assert "another report is being saved" in place.desk.refusal.text.casefold()
    qtbot.waitUntil(lambda: any("All reports are in" in text for text in said), timeout=LONG)
    assert len(list(folder.iterdir())) == 1
    qtbot.waitUntil(lambda: bool(place.data), timeout=LONG)


def test_a_save_that_is_stopped_says_so(place: MonthPlace, folder: Path) -> None:
    said = told(place.desk)
    place.save_everything(folder)
    place.stop_work()
    assert said == ["Stopped. Nothing was saved."]
    assert wait_for_jobs()
    assert list(folder.iterdir()) == []


def test_a_place_that_cannot_be_written_is_named_as_it_was_chosen(
    place: MonthPlace, qtbot: QtBot, folder: Path
) -> None:
    (folder / "file").write_text("in the way")
    place.desk.refusal = None
    place.save_to(folder / "file" / "card.pdf")
    qtbot.waitUntil(lambda: place.desk.refusal is not None, timeout=LONG)
    refusal = place.desk.refusal
    assert refusal is not None
    assert str(folder / "file" / "card.pdf") in refusal.problem.replace("\u2068", "").replace("\u2069", "")
    assert "Errno" not in refusal.text
    assert ".part" not in refusal.text
    assert "another folder or name" in refusal.remedy
