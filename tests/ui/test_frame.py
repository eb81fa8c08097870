"""What stands around the places: day book, settings, permit, about, start page, opening, faults."""

import logging
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import QRect, Qt
from PySide6.QtTest import QAbstractItemModelTester
from PySide6.QtWidgets import QApplication, QFileDialog, QInputDialog, QPushButton, QToolButton
from pytestqt.qtbot import QtBot

from costing.book.change import Step, put
from costing.book.records import Quote, Supplier
from costing.edits import house, quotes
from tests.ui.conftest import DAY, DictMemory
from ui.app import window_on
from ui.desk import Desk, Where
from ui.document import Document
from ui.fault import Refusal
from ui.frame.about import AboutDialog, libraries
from ui.frame.crash import Watch
from ui.frame.history_pane import HistoryPane
from ui.frame.keys import KeysDialog
from ui.frame.opening import new_book, open_document, save_copy
from ui.frame.permit import PermitNotice, needs_permit
from ui.frame.problems import ProblemsPane
from ui.frame.settings_dialog import SettingsDialog
from ui.settings import Settings
from ui.starting import OPENING, Session
from ui.theme.wear import is_dark


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    return Settings(tmp_path / "settings.ini")


class TestDayBook:
    """Every step, who, when, and what it changed."""

    @pytest.fixture
    def pane(self, desk: Desk, qtbot: QtBot) -> HistoryPane:
        pane = HistoryPane(desk)
        qtbot.addWidget(pane)
        QAbstractItemModelTester(pane.steps, pane)
        QAbstractItemModelTester(pane.changes, pane)
        pane.show()
        return pane

    def test_a_price_is_shown_field_by_field(self, pane: HistoryPane, desk: Desk) -> None:
        quote = desk.document.view.quote_of("white-rum")
        assert quote is not None
        desk.do(quotes.amend_price(desk.document.book, quote.id, "99.90"))
        assert pane.steps.row(0).code == "price of White rum 40 %: 99.90"
        assert pane.steps.row(0).who == "test"
        pane.list.table.choose(pane.steps.key(0))
        assert [(d.field, d.before, d.after) for d in pane.changes.rows()] == [("price", "84.00", "99.90")]

    def test_undo_and_redo_are_rows_and_buttons(self, pane: HistoryPane, desk: Desk) -> None:
        desk.do(Step("a new supplier", (put("supplier", Supplier(id="s", name="S")),)))
        assert "a new supplier" in pane.next.text()
        pane.undo.click()
        assert [pane.steps.row(n).act for n in range(2)] == ["undo", "do"]
        assert not pane.undo.isEnabled()
        pane.redo.click()
        assert desk.document.book.get("supplier", "s") is not None


class TestSettings:
    """Money rules are steps of the book; the rest stays on the computer."""

    def test_money_rules_are_steps_from_a_day_on(self, desk: Desk, settings: Settings, qtbot: QtBot) -> None:
        before = desk.document.book
        dialog = SettingsDialog(desk, settings)
        qtbot.addWidget(dialog)
        dialog.show()
        page = dialog.book
        page._fields["target"].setText("20 %")
        page._fields["target"].commit()
        terms = desk.document.view.terms
        assert terms is not None
        assert (terms.policy.kind, float(terms.policy.value)) == ("pour_cost", 0.2)
        assert terms.since == DAY
        old = before.on(date(2026, 10, 31)).terms
        assert desk.document.book.on(date(2026, 10, 31)).terms == old
        page._fields["target"].setText("plenty")
        page._fields["target"].commit()
        assert page._fields["target"].refusal is not None
        assert page._fields["target"].text() == "plenty"
        page._fields["target"].revert()
        page.levies.setPlainText("VAT 19 %\nService ten")
        page.take.click()
        assert "Service ten" in page.said.text()
        desk.undo()
        assert desk.document.book == before

    def test_taxes_read_back_as_they_were_typed(self, desk: Desk) -> None:
        text = "Service 5 %\nVAT 19 % on all before\nTip 2.5 %, kept"
        assert house.levies_text(house.typed_levies(text)) == text

    def test_what_is_kept_is_read_again(self, settings: Settings, tmp_path: Path) -> None:
        settings.theme, settings.language, settings.points = "dark", "de", 14.0
        settings.put("window/split", [1, 2])
        book = tmp_path / "a.stillroom"
        new_book(book)
        settings.opened(book)
        settings.opened(tmp_path / "gone.stillroom")
        settings.save()
        again = Settings(tmp_path / "settings.ini")
        assert (again.theme, again.language, again.points) == ("dark", "de", 14.0)
        assert again.get("window/split") == [1, 2]
        assert again.recent == (book,), "a book that is gone is passed over"

    def test_a_value_that_makes_no_sense_is_the_usual_one(self, settings: Settings) -> None:
        settings.put("theme", "plaid")
        settings.put("points", 900)
        assert settings.theme == "system"
        assert settings.points == 22.0


class TestOpenPoints:
    """Every sentence is read whole, however narrow the pane."""

    @pytest.mark.parametrize("width", [260, 500])
    def test_sentences_are_wrapped_and_whole(self, desk: Desk, qtbot: QtBot, width: int) -> None:
        taken = [q for q in desk.document.book.all(Quote).values() if q.good in ("pineapple", "white-rum", "dry-gin")]
        desk.do(Step("no prices", tuple(put("quote", q).inverse() for q in taken)))
        pane = ProblemsPane(desk)
        qtbot.addWidget(pane)
        pane.resize(700, 600)
        pane.show()
        pane.resize(width, 600)
        table = pane.list.table
        assert pane.model.rowCount() > 2
        assert not table.horizontalScrollBar().isVisible()
        room = table.viewport().width()
        assert sum(table.columnWidth(n) for n in range(len(pane.model.columns))) <= room
        texts = [str(pane.model.index(row, 0).data()) for row in range(pane.model.rowCount())]
        assert all(pane.model.row(n).text in text for n, text in enumerate(texts))
        area, flags = QRect(0, 0, room - 6, 10_000), Qt.TextFlag.TextWordWrap
        needs = [table.fontMetrics().boundingRect(area, flags, text).height() for text in texts]
        qtbot.waitUntil(lambda: all(table.rowHeight(n) >= need for n, need in enumerate(needs)))

    def test_enter_goes_there(self, desk: Desk, qtbot: QtBot) -> None:
        pane = ProblemsPane(desk)
        qtbot.addWidget(pane)
        pane.show()
        pane.list.table.choose(pane.model.key(0))
        with qtbot.waitSignal(desk.went) as went:
            qtbot.keyClick(pane.list.table, Qt.Key.Key_Return)
        assert went.args == [pane.model.row(0).where]


class TestPermit:
    """Figures of distilling wait for the house to say under which permit it works."""

    def test_once_entered_it_is_asked_no_more(self, desk: Desk, qtbot: QtBot) -> None:
        desk.do(house.set_permit(desk.document.book, "", None))
        assert needs_permit(desk.document.reckoning, "pineapple-distillate")
        assert not needs_permit(desk.document.reckoning, "lime-juice")
        notice = PermitNotice(desk)
        qtbot.addWidget(notice)
        notice.show_for("pineapple-distillate")
        assert "licence" in notice.said.text()
        notice.enter.click()
        assert notice.fault.text()
        notice.permit.setText("works under one")
        desk.document.read_only = True
        notice.enter.click()
        assert "look at only" in notice.fault.text()
        desk.document.read_only = False
        notice.enter.click()
        assert not notice.fault.text()
        assert not needs_permit(desk.document.reckoning, "pineapple-distillate")
        desk.undo()
        assert needs_permit(desk.document.reckoning, "pineapple-distillate")


def test_licences_are_those_of_what_is_installed(qtbot: QtBot) -> None:
    found = {library.name.casefold(): library for library in libraries()}
    assert {"numpy", "openpyxl", "reportlab", "pypdfium2", "shiboken6"} <= found.keys()
    assert "LGPL" in found["shiboken6"].licence
    assert all(library.licence and library.version for library in found.values())
    dialog = AboutDialog()
    qtbot.addWidget(dialog)
    dialog.show()


def test_every_action_with_a_key_is_in_the_list_of_keys(document: Document, memory: DictMemory, qtbot: QtBot) -> None:
    window = window_on(document, memory)
    qtbot.addWidget(window)
    window.show_place("cellar")
    actions = window.every_action()
    dialog = KeysDialog(actions)
    qtbot.addWidget(dialog)
    assert {"Undo", "Find anything…", "Why this figure", "Quit"} <= {a.text().replace("&", "") for a in actions}
    keys = [a.shortcut().toString() for a in actions if not a.shortcut().isEmpty() and a.isEnabled()]
    assert [k for k in keys if keys.count(k) > 1] == [], "no key does two things at once"


class TestOpening:
    """Every way a file can be wrong is told with a way out."""

    @pytest.mark.parametrize(
        ("content", "said"),
        [(None, "no such file"), (b"", "empty"), (b"hello, this is no book at all", "not a book"),
         (b"PK\x03\x04" * 9, "not a book")],
    )  # fmt: skip
    def test_what_is_no_book(self, content: bytes | None, said: str, tmp_path: Path) -> None:
        path = tmp_path / "x.stillroom"
        if content is not None:
            path.write_bytes(content)
        with pytest.raises(Refusal) as refused:
            open_document(path)
        assert said in refused.value.text
        assert refused.value.remedy
        assert (path.read_bytes() if path.exists() else None) == content

    def test_a_book_that_cannot_be_written_is_opened_to_look_at(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        path = tmp_path / "a.stillroom"
        new_book(path, sample=True)
        from costing.store import sqlite

        monkeypatch.setattr(sqlite, "writable", lambda _: False)
        document = open_document(path, DAY)
        assert document.read_only
        assert document.undo_text is None
        desk = Desk(document, None, DictMemory(), document)  # type: ignore[arg-type]
        assert not desk.do(Step("x", (put("supplier", Supplier(id="x", name="X")),)))
        document.close()

    def test_a_copy_is_a_book_of_its_own_and_nothing_is_written_over(self, tmp_path: Path) -> None:
        path, other = tmp_path / "a.stillroom", tmp_path / "b.stillroom"
        new_book(path, sample=True)
        document = open_document(path, DAY)
        save_copy(document, other)
        copied = open_document(other, DAY)
        assert copied.book == document.book
        with pytest.raises(Refusal, match=r"b\.stillroom cannot be used"):
            save_copy(document, other)
        copied.close()
        document.close()


class TestSession:
    """From book to book in one run of the program."""

    @pytest.fixture
    def session(self, qapp: QApplication, settings: Settings, tmp_path: Path) -> Iterator[Session]:
        session = Session(qapp, settings, day=DAY, theme="light", language="en")
        yield session
        if session.page is not None:
            session.page.close()
            session.page.deleteLater()
        if session.window is not None:
            session.window.close()
        session.end()

    def test_no_book_shows_the_ways_in(self, session: Session) -> None:
        session.begin(None)
        assert session.page is not None
        texts = [b.text().replace("&", "") for b in session.page.findChildren(QPushButton)]
        assert texts == ["Open the sample bar", "Open a book…", "New book…"]

    def test_from_nothing_to_a_book_and_to_another(self, session: Session, tmp_path: Path, qtbot: QtBot) -> None:
        session.begin(None)
        one, two = tmp_path / "one.stillroom", tmp_path / "two.stillroom"
        new_book(one, sample=True)
        new_book(two)
        assert session.open_path(one)
        first = session.window
        assert first is not None
        assert session.page is None
        assert session.open_path(two)
        assert session.window is not first
        assert session.settings.recent == (two, one)
        assert not session.open_path(tmp_path / "gone.stillroom")
        assert session.window is not None
        assert session.window.notice.isVisible()
        assert session.window.desk.document.path == two

    def test_a_book_that_ended_the_program_is_not_opened_by_itself(self, session: Session, tmp_path: Path) -> None:
        path = tmp_path / "bad.stillroom"
        new_book(path)
        session.settings.opened(path)
        session.settings.put(OPENING, str(path.absolute()))
        session.begin(None)
        assert session.window is None
        assert session.page is not None
        assert "bad.stillroom" in session.page.notice.text

    def test_a_snapshot_is_kept_and_put_back(
        self, session: Session, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        path = tmp_path / "bar.stillroom"
        new_book(path, sample=True)
        session.begin(path)
        assert session.window is not None
        before = session.window.desk.document.book
        session.keep_snapshot()
        session.window.desk.do(Step("more", (put("supplier", Supplier(id="zz", name="Z")),)))
        monkeypatch.setattr(QInputDialog, "getItem", lambda *a: (a[3][0], True))
        session.ask_restore()
        assert session.window.desk.document.book == before
        assert len(list(tmp_path.glob("bar kept *.stillroom"))) == 2, "the present one was kept too"

    def test_a_fault_in_a_slot_is_logged_said_and_settled(self, session: Session, tmp_path: Path) -> None:
        path = tmp_path / "bar.stillroom"
        new_book(path, sample=True)
        session.begin(path)
        window = session.window
        assert window is not None
        watch = Watch(session.tell, session.settle, tmp_path / "log")
        head = window.desk.document.head
        try:
            raise RuntimeError("a slot broke")
        except RuntimeError as error:
            watch.take(RuntimeError, error, error.__traceback__)
        assert watch.path is not None
        assert "a slot broke" in watch.path.read_text("utf-8")
        assert "test_a_fault_in_a_slot" in watch.path.read_text("utf-8")
        assert window.notice.isVisible()
        assert str(watch.path) in window.notice.text
        assert "Traceback" not in window.notice.text
        assert window.desk.document.head == head
        for handler in list(logging.getLogger("stillroom-ledger").handlers):
            handler.close()

    def test_another_theme_and_language_build_the_window_anew_where_it_stood(
        self, session: Session, tmp_path: Path, qtbot: QtBot
    ) -> None:
        path = tmp_path / "bar.stillroom"
        new_book(path, sample=True)
        session.begin(path)
        first = session.window
        assert first is not None
        first.go(Where("serve", "harbour-light"))
        session.settings.theme, session.settings.language = "dark", "de"
        session.redress()
        qtbot.waitUntil(lambda: session.window is not first)
        assert session.window is not None
        assert session.window.place_name == "bar"
        assert session.window.findChildren(QToolButton)
        assert session.window.undo.iconText() == "Zurücknehmen"

    def test_a_theme_alone_leaves_the_window_and_what_is_open_on_it(self, session: Session, tmp_path: Path) -> None:
        path = tmp_path / "bar.stillroom"
        new_book(path, sample=True)
        session.begin(path)
        window = session.window
        session.show_settings()
        dialog = session.dialog
        assert dialog is not None
        dialog.tabs.setCurrentIndex(1)
        dialog.computer.theme.setCurrentIndex(2)
        dialog.computer.theme.activated.emit(2)
        assert (session.window, session.dialog) == (window, dialog)
        assert dialog.isVisible()
        assert is_dark()

    def test_another_language_opens_the_settings_again_where_they_stood(
        self, session: Session, tmp_path: Path, qtbot: QtBot
    ) -> None:
        path = tmp_path / "bar.stillroom"
        new_book(path, sample=True)
        session.begin(path)
        first = session.window
        session.show_settings()
        dialog = session.dialog
        assert dialog is not None
        dialog.tabs.setCurrentIndex(1)
        dialog.move(30, 40)
        stood = dialog.geometry()
        at = dialog.computer.tongue.findText("Deutsch")
        dialog.computer.tongue.setCurrentIndex(at)
        dialog.computer.tongue.activated.emit(at)
        qtbot.waitUntil(lambda: session.window is not first)
        again = session.dialog
        assert again is not None
        assert again is not dialog
        assert again.isVisible()
        assert again.parent() is session.window
        assert again.tabs.currentIndex() == 1
        assert again.geometry() == stood
        assert again.computer.tongue.currentText() == "Deutsch"

    def test_typed_taxes_hold_back_another_language_once(self, session: Session, tmp_path: Path, qtbot: QtBot) -> None:
        path = tmp_path / "bar.stillroom"
        new_book(path, sample=True)
        session.begin(path)
        first = session.window
        session.show_settings()
        dialog = session.dialog
        assert dialog is not None
        dialog.book.levies.insertPlainText("VAT much\n")
        at = dialog.computer.tongue.findText("Deutsch")
        dialog.computer.tongue.setCurrentIndex(at)
        dialog.computer.tongue.activated.emit(at)
        qtbot.wait(1)
        assert session.window is first
        assert dialog.book.said.text()
        dialog.computer.tongue.activated.emit(at)
        qtbot.waitUntil(lambda: session.window is not first)

    def test_a_new_book_asks_for_the_house_first(
        self, session: Session, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        session.begin(None)
        monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(tmp_path / "mine"), ""))
        session.ask_new()
        dialog = session.dialog
        assert dialog is not None
        assert dialog.isVisible()
        assert dialog.book.isVisible()
        assert dialog.focusWidget() is dialog.book._fields["name"]
        dialog.reject()
        assert session.dialog is None
        monkeypatch.setattr(Path, "home", lambda: tmp_path)
        session.open_sample()
        assert session.dialog is None, "the sample bar has its house"
