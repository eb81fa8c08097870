"""Opening: each way in which a file can fail is told with its cause and a way out, and nothing in it is touched."""

import sqlite3
from pathlib import Path
from typing import get_args

import pytest
from openpyxl import Workbook

from costing.store import FileFault, FileTooNew
from costing.store.faults import WORDS, Reason
from costing.store.form import FORMAT
from costing.tongue import speaking
from tests.ui.conftest import DAY
from ui.fault import Refusal
from ui.frame.opening import new_book, open_document, refused, save_copy, with_suffix


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """An empty book."""
    path = tmp_path / "a.stillroom"
    new_book(path)
    return path


@pytest.mark.parametrize("reason", get_args(Reason))
def test_every_fault_there_is_has_problem_cause_and_remedy_in_words(reason: Reason) -> None:
    fault = FileTooNew("/bar/a.stillroom", "9.0", "1.0") if reason == "newer" else FileFault("/bar/a.stillroom", reason)
    refusal = refused(Path("/bar/a.stillroom"), fault)
    assert "a.stillroom" in refusal.problem
    assert refusal.cause
    assert refusal.remedy
    assert "/bar/" not in refusal.text, "the name is enough"
    with speaking("en-XA"):
        said = refused(Path("/bar/a.stillroom"), fault)
    assert WORDS[reason] not in said.text, "nothing is left in the words of the core"


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (None, "no such file"),
        (b"", "empty"),
        (b"hello", "not a book"),
        (b"PK\x03\x04" * 9, "not a book"),
        (b"SQLite format 3\x00" + b"\x00" * 200, "a.stillroom"),
    ],
)
def test_what_is_no_book_is_told_and_left_as_it_was(content: bytes | None, said: str, tmp_path: Path) -> None:
    path = tmp_path / "a.stillroom"
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(Refusal) as told:
        open_document(path)
    assert said in told.value.text
    assert told.value.remedy
    assert (path.read_bytes() if path.exists() else None) == content


def test_a_workbook_by_the_name_of_a_book_is_not_told_to_be_named_so(tmp_path: Path) -> None:
    path, named = tmp_path / "prices.xlsx", tmp_path / "prices.stillroom"
    Workbook().save(path)
    named.write_bytes(path.read_bytes())
    for file, remedy in ((path, "Choose a file that ends in .stillroom."), (named, "Choose another file")):
        with pytest.raises(Refusal) as told:
            open_document(file)
        assert told.value.problem == f"{file.name} cannot be used."
        assert told.value.cause == "It is not a book of this program."
        assert remedy in told.value.remedy


@pytest.mark.parametrize("name", ["notes.txt", "book.json", "card.pdf"])
def test_another_kind_of_file_is_told_by_its_name_with_what_to_do(name: str, tmp_path: Path) -> None:
    path = tmp_path / name
    path.write_text('{"some": "text"}\n' * 300, "utf-8")
    with pytest.raises(Refusal) as told:
        open_document(path)
    assert told.value.text == (
        f"{name} cannot be used. It is not a book of this program. Choose a file that ends in .stillroom."
    )


def test_a_book_of_a_newer_form_is_told_with_both_forms_and_left_as_it_was(book: Path) -> None:
    inside = sqlite3.connect(book)
    inside.execute("pragma user_version = 99001")
    inside.commit()
    inside.close()
    before = book.read_bytes()
    with pytest.raises(Refusal) as told:
        open_document(book)
    assert told.value.problem == "a.stillroom cannot be used."
    assert "form 99.1" in told.value.cause
    assert f"reads up to {FORMAT[0]}.{FORMAT[1]}" in told.value.cause
    assert "newer program" in told.value.remedy
    assert book.read_bytes() == before
    assert [p.name for p in book.parent.iterdir()] == ["a.stillroom"]


def test_a_folder_is_no_book(tmp_path: Path) -> None:
    with pytest.raises(Refusal) as told:
        open_document(tmp_path)
    assert "folder" in told.value.text
    assert told.value.problem == f"{tmp_path.name} cannot be used."
    assert told.value.remedy == "Choose a file inside it."


def test_the_database_of_another_program_is_none(tmp_path: Path) -> None:
    path = tmp_path / "other.stillroom"
    other = sqlite3.connect(path)
    other.execute("pragma application_id = 7")
    other.execute("create table t (a)")
    other.commit()
    other.close()
    before = path.read_bytes()
    with pytest.raises(Refusal):
        open_document(path)
    assert path.read_bytes() == before


def test_nothing_is_written_over(book: Path, tmp_path: Path) -> None:
    before = book.read_bytes()
    with pytest.raises(Refusal) as told:
        new_book(book, sample=True)
    assert "not written over" in told.value.text
    other = tmp_path / "b.stillroom"
    new_book(other, sample=True)
    document = open_document(other, DAY)
    try:
        with pytest.raises(Refusal) as told:
            save_copy(document, book)
        assert "not written over" in told.value.text
    finally:
        document.close()
    assert book.read_bytes() == before


def test_a_new_book_in_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(Refusal) as told:
        new_book(tmp_path / "gone" / "a.stillroom")
    assert told.value.remedy
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("typed", "name"),
    [("bar", "bar.stillroom"), ("bar.stillroom", "bar.stillroom"), ("bar.v2", "bar.v2.stillroom"),
     ("BAR.STILLROOM", "BAR.STILLROOM")],
)  # fmt: skip
def test_a_name_gets_the_ending_that_books_have(typed: str, name: str) -> None:
    assert with_suffix(Path(typed)) == Path(name)
