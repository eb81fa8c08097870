"""One call of the real terminal on a bad file: it ends in exit 2 and one clear line, and the folder is as it was."""

from collections.abc import Callable
from pathlib import Path

import pytest

from costing.__main__ import main

Maker = Callable[[Path], object]


SHARED = "-shm"
"""SQLite's working memory beside a file in write-ahead mode: it holds nothing of the book, and readers use it too."""


def snapshot(folder: Path) -> dict[str, bytes | None]:
    """Every name under the folder with its bytes; a folder and a large file by name and size alone."""
    out: dict[str, bytes | None] = {}
    for path in sorted(folder.rglob("*")):
        name = str(path.relative_to(folder))
        if name.endswith(SHARED):
            out[name] = None
        elif path.is_file():
            size = path.stat().st_size
            out[name] = path.read_bytes() if size < 5_000_000 else str(size).encode()
        else:
            out[name] = None
    return out


def refused(argv: list[str], folder: Path, capsys: pytest.CaptureFixture[str]) -> str:
    """The one line of a call that must be refused."""
    before = snapshot(folder)
    here = sorted(Path().iterdir())
    try:
        code = main(argv)
    except SystemExit as stop:
        code = int(stop.code or 0)
    printed = capsys.readouterr()
    assert code == 2, printed
    assert printed.out == ""
    assert printed.err.startswith("stillroom: ")
    assert printed.err.count("\n") == 1, printed.err
    assert printed.err.endswith("\n")
    assert "Traceback" not in printed.err
    assert all(ch.isprintable() for ch in printed.err[:-1]), printed.err
    assert len(printed.err) < 6000
    assert snapshot(folder) == before
    assert sorted(Path().iterdir()) == here
    return printed.err.strip()
