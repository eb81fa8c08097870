"""``python -m ui --pictures DIR``: everything is in it, under fixed names, in the same pixels at every run."""

from pathlib import Path

import pytest
from PySide6.QtCore import QEvent
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication

from ui.__main__ import parser
from ui.app import window_on
from ui.document import Document
from ui.pictures import DIALOGS, LOOKS, PAGES, SIGNATURES, Forgetful, Look, render
from ui.places.catalogue import places

SMALL = (Look("dark", theme="dark"), Look("2x", ratio=2.0))


def _images(folder: Path) -> dict[str, QImage]:
    return {path.name: QImage(str(path)) for path in sorted(folder.iterdir())}


def test_the_same_pixels_at_every_run(tmp_path: Path, qapp: QApplication) -> None:
    for run in ("one", "two"):
        assert render(tmp_path / run, SMALL, pages=["bar-price", "day-book"], dialogs=["permit", "figures"]) == 0
    first, second = _images(tmp_path / "one"), _images(tmp_path / "two")
    names = ("bar-price", "day-book", "dialog-figures", "dialog-permit", "picture-price-steps", "picture-tornado")
    assert list(first) == sorted(f"{look.name}-{name}.png" for look in SMALL for name in names)
    assert [name for name in first if first[name] != second[name]] == []
    assert all(not image.isNull() for image in first.values())
    assert first["2x-bar-price.png"].size() == first["dark-bar-price.png"].size() * 2


def test_every_place_is_in_it_and_every_look(document: Document, qapp: QApplication) -> None:
    window = window_on(document, Forgetful())
    shown = set()
    for prepare in PAGES.values():
        prepare(window)
        shown.add(window.place_name)
    window.close()
    window.deleteLater()
    qapp.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    assert shown == {name for name, *_ in places()}
    assert {look.language for look in LOOKS} >= {"en", "de", "ar", "ar-XB"}
    assert {look.theme for look in LOOKS} == {"light", "dark"}
    assert {look.ratio for look in LOOKS} == {1.0, 2.0}
    assert max(look.points for look in LOOKS) == 2 * min(look.points for look in LOOKS)
    assert len({look.name for look in LOOKS}) == len(LOOKS)
    assert set(SIGNATURES) <= set(PAGES)
    assert DIALOGS


def test_a_folder_that_cannot_be_made_is_said(
    tmp_path: Path, qapp: QApplication, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "file").write_text("in the way")
    assert render(tmp_path / "file" / "folder", SMALL, pages=["menu"]) == 2
    said = capsys.readouterr().err
    assert said.startswith("ui: ")
    assert len(said.splitlines()) == 1


def test_the_command_line_takes_a_folder(tmp_path: Path) -> None:
    assert parser().parse_args(["--pictures", str(tmp_path)]).pictures == tmp_path
