"""Work off the main thread: one end, told in the main thread; stopped at its next word; waited for at the end."""

import threading

import pytest
from PySide6.QtCore import QObject, QThread
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from costing.tongue import language, speaking
from ui.jobs import Job, Progress, wait_for_jobs


def test_a_result_comes_back_in_the_main_thread(qtbot: QtBot, qapp: QApplication) -> None:
    heard: list[tuple[object, bool]] = []
    told: list[tuple[int, int, str]] = []

    def work(progress: Progress) -> int:
        progress(1, 2, "half")
        assert QThread.currentThread() is not qapp.thread()
        return 7

    job = Job(work)
    job.done.connect(lambda value: heard.append((value, QThread.currentThread() is qapp.thread())))
    job.progress.connect(lambda *said: told.append(said))
    with qtbot.waitSignal(job.finished):
        job.start()
    assert heard == [(7, True)]
    assert told == [(1, 2, "half")]


def test_a_fault_is_told_and_nothing_else(qtbot: QtBot) -> None:
    faults: list[object] = []
    ends: list[str] = []

    def work(progress: Progress) -> None:
        raise ValueError("no")

    job = Job(work)
    job.failed.connect(faults.append)
    job.done.connect(lambda _: ends.append("done"))
    with qtbot.waitSignal(job.finished):
        job.start()
    assert [str(f) for f in faults] == ["no"]
    assert ends == []


def test_stopped_at_its_next_word(qtbot: QtBot) -> None:
    begun, go = threading.Event(), threading.Event()
    past: list[int] = []

    def work(progress: Progress) -> None:
        begun.set()
        go.wait(10)
        progress(1, 2, "")
        past.append(1)

    job = Job(work)
    ends: list[str] = []
    job.cancelled.connect(lambda: ends.append("cancelled"))
    job.done.connect(lambda _: ends.append("done"))
    job.start()
    assert begun.wait(10)
    with qtbot.waitSignal(job.finished):
        job.cancel()
        go.set()
    assert ends == ["cancelled"]
    assert past == []


def test_a_job_outlives_who_asked_for_it(qtbot: QtBot) -> None:
    """The place may be gone while the work still tells how far it is; the work is then asked to stop."""
    begun, go = threading.Event(), threading.Event()

    def work(progress: Progress) -> None:
        begun.set()
        go.wait(10)
        for n in range(50):
            progress(n, 50, "")

    place = QObject()
    job = Job(work, place)
    ends: list[str] = []
    job.cancelled.connect(lambda: ends.append("cancelled"))
    job.start()
    assert begun.wait(10)
    with qtbot.waitSignal(place.destroyed):
        place.deleteLater()
    with qtbot.waitSignal(job.finished):
        go.set()
    assert ends == ["cancelled"]


def test_what_is_said_in_a_job_is_in_the_language_of_who_asked(qtbot: QtBot) -> None:
    spoken: list[str] = []

    def work(progress: Progress) -> None:
        spoken.append(language())

    with speaking("de"):
        job = Job(work)
    with qtbot.waitSignal(job.finished):
        job.start()
    assert spoken == ["de"]


def test_started_once_and_waited_for(qtbot: QtBot) -> None:
    done: list[int] = []
    job = Job(lambda progress: done.append(1))
    job.start()
    with pytest.raises(ValueError, match="once"):
        job.start()
    assert wait_for_jobs()
    assert done == [1]
    qtbot.waitUntil(lambda: not job.running)
