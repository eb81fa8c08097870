"""A fault of the program: written down where it can be found, said in plain words, and never a loop of its own."""

import logging
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QObject, Signal, qWarning
from pytestqt.exceptions import capture_exceptions
from pytestqt.qtbot import QtBot

from ui.fault import Refusal
from ui.frame import crash
from ui.frame.crash import LOG, QUIET, Watch


class Bar:
    """Stands in for a window: what it was told, and how often it was shown anew."""

    def __init__(self) -> None:
        self.told: list[Refusal] = []
        self.settled = 0
        self.now = 100.0

    def settle(self) -> None:
        self.settled += 1

    def clock(self) -> float:
        return self.now


@pytest.fixture
def bar() -> Bar:
    return Bar()


@pytest.fixture
def watch(bar: Bar, tmp_path: Path) -> Iterator[Watch]:
    watch = Watch(bar.told.append, bar.settle, tmp_path / "kept", bar.clock)
    yield watch
    for handler in list(watch.log.handlers):
        watch.log.removeHandler(handler)
        handler.close()


def fail(watch: Watch, text: str = "spilt") -> None:
    try:
        raise RuntimeError(text)
    except RuntimeError as error:
        watch.take(RuntimeError, error, error.__traceback__)


def written(watch: Watch) -> str:
    assert watch.path is not None
    return watch.path.read_text("utf-8")


def test_it_is_written_down_and_said_with_the_file_and_no_traceback(watch: Watch, bar: Bar) -> None:
    fail(watch)
    (refusal,) = bar.told
    assert bar.settled == 1
    assert str(watch.path) in refusal.remedy
    assert refusal.problem
    assert refusal.cause
    assert "Traceback" not in refusal.text
    assert "RuntimeError: spilt" in written(watch)
    assert "in fail" in written(watch)


def test_a_fault_that_settling_brings_about_makes_no_loop(bar: Bar, tmp_path: Path) -> None:
    class Book(QObject):
        changed = Signal()

    book = Book()

    def broken() -> None:
        raise ValueError("a page that cannot be drawn")

    book.changed.connect(broken)
    watch = Watch(bar.told.append, book.changed.emit, tmp_path / "kept")
    before = sys.excepthook
    watch.install()
    try:
        book.changed.emit()
    finally:
        watch.remove()
        sys.excepthook = before
    assert watch.caught == 2
    assert len(bar.told) == 1
    assert written(watch).count("Traceback") == 1


def test_the_same_fault_at_once_is_not_settled_again_but_later_it_is(watch: Watch, bar: Bar) -> None:
    for _ in range(3):
        fail(watch)
    assert (bar.settled, len(bar.told), watch.caught) == (1, 1, 3)
    assert written(watch).count("Traceback") == 1
    fail(watch, "another")
    assert len(bar.told) == 2
    fail(watch, "another")
    bar.now += QUIET
    fail(watch, "another")
    assert len(bar.told) == 3


def test_what_fails_after_a_fault_is_written_too_and_the_fault_is_still_said(bar: Bar, tmp_path: Path) -> None:
    def cannot() -> None:
        raise OSError("the disk is gone")

    watch = Watch(bar.told.append, cannot, tmp_path / "kept")
    fail(watch)
    assert len(bar.told) == 1
    assert "the disk is gone" in written(watch)
    deaf = Watch(lambda _: cannot(), bar.settle, tmp_path / "kept")
    fail(deaf)
    assert bar.settled == 1


def test_ctrl_c_ends_the_program_as_ever(watch: Watch, bar: Bar, monkeypatch: pytest.MonkeyPatch) -> None:
    passed: list[object] = []
    monkeypatch.setattr(watch, "_before", lambda *args: passed.append(args[0]))
    watch.take(KeyboardInterrupt, KeyboardInterrupt(), None)
    assert passed == [KeyboardInterrupt]
    assert bar.told == []


def test_a_slot_that_fails_comes_here(watch: Watch, bar: Bar, qtbot: QtBot) -> None:
    class Button(QObject):
        pressed = Signal()

    def slot() -> None:
        raise ZeroDivisionError("no glasses")

    button = Button()
    button.pressed.connect(slot)
    with capture_exceptions():
        watch.install()
        try:
            button.pressed.emit()
        finally:
            watch.remove()
    assert "no glasses" in written(watch)
    assert len(bar.told) == 1


def test_what_qt_says_is_written_down_and_harmless_noise_is_not(watch: Watch) -> None:
    watch.install()
    try:
        qWarning("the still is dry")
        qWarning("This plugin does not support propagateSizeHints()")
    finally:
        watch.remove()
    assert "WARNING Qt: the still is dry" in written(watch)
    assert "propagateSizeHints" not in written(watch)


def test_the_file_does_not_grow_for_ever(watch: Watch, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(crash, "LARGEST", 2_000)
    small = Watch(lambda _: None, lambda: None, tmp_path / "small")
    for n in range(60):
        fail(small, f"fault {n} " + "x" * 300)
    kept = sorted(p.name for p in (tmp_path / "small").iterdir())
    assert kept == [LOG, *(f"{LOG}.{n}" for n in (1, 2, 3))]
    assert "fault 59" in written(small)


def test_where_no_file_can_be_made_it_goes_to_the_terminal(tmp_path: Path, bar: Bar) -> None:
    (tmp_path / "file").write_text("not a folder")
    watch = Watch(bar.told.append, bar.settle, tmp_path / "file" / "in")
    assert watch.path is None
    fail(watch)
    assert "terminal" in bar.told[0].remedy
    logging.getLogger("stillroom-ledger").handlers.clear()
