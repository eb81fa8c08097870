"""What tests of the window share: an application without a screen, the sample bar in a file, and a desk on it."""

import os
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtCore import QLocale, Qt
from PySide6.QtWidgets import QApplication

from costing.book.book import Book
from costing.paths import sample_book
from costing.store import create, read_json
from costing.tongue import speaking
from ui.app import dress, load_faces, speak_qt
from ui.desk import Desk
from ui.document import Document
from ui.format import Format, locale_of
from ui.jobs import wait_for_jobs
from ui.theme.wear import PROPERTY

DAY = date(2026, 11, 1)
"""The day that the sample is looked at."""


class DictMemory:
    """A Memory that lasts as long as the test."""

    def __init__(self) -> None:
        self.kept: dict[str, object] = {}

    def get(self, key: str, default: object = None) -> object:
        """What was kept."""
        return self.kept.get(key, default)

    def put(self, key: str, value: object) -> None:
        """Keep."""
        self.kept[key] = value


@pytest.fixture(autouse=True)
def no_job_goes_on(qapp: QApplication) -> Iterator[None]:
    """Work that a test began ends before the next one: a thread left over waits for Python while Qt waits for it."""
    yield
    wait_for_jobs()


@pytest.fixture(scope="session")
def qapp_args() -> list[str]:
    """No screen, no arguments."""
    return ["tests"]


@pytest.fixture(autouse=True)
def dressed(qapp: QApplication) -> Iterator[None]:
    """Light, English, the face that ships; put back after a test that changed it."""
    # Dressing takes a tenth of a second and touches every widget alive, so it is done only where something changed.
    usual = (qapp.property(PROPERTY), qapp.font().pointSizeF(), qapp.layoutDirection())
    with speaking("en"):
        if usual != ("light", 9.0, Qt.LayoutDirection.LeftToRight):
            load_faces()
            dress(qapp)
        QLocale.setDefault(locale_of("en"))
        speak_qt(qapp, "en")
        yield


@pytest.fixture(scope="session")
def sample() -> Book:
    """The sample bar."""
    return read_json(sample_book())


@pytest.fixture
def memory() -> DictMemory:
    """What the window remembers."""
    return DictMemory()


@pytest.fixture
def document(sample: Book, tmp_path: Path, qapp: QApplication) -> Iterator[Document]:
    """The sample bar in a file, on 1 November 2026."""
    with create(tmp_path / "bar.stillroom", sample) as store:
        document = Document(store, DAY, path=tmp_path / "bar.stillroom", who="test")
        yield document
        document.deleteLater()


@pytest.fixture
def desk(document: Document, memory: DictMemory) -> Desk:
    """A desk on the sample bar, figures written as in Britain."""
    house = document.book.house
    return Desk(document, Format(locale_of("en"), house.currency if house else ""), memory, document)


@pytest.fixture
def empty_desk(tmp_path: Path, memory: DictMemory, qapp: QApplication) -> Iterator[Desk]:
    """A desk on a book with nothing in it."""
    with create(tmp_path / "empty.stillroom", Book()) as store:
        document = Document(store, DAY, path=tmp_path / "empty.stillroom")
        yield Desk(document, Format(locale_of("en")), memory, document)
        document.deleteLater()
