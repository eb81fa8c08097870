"""Snapshots of a book beside it: taken by hand, listed, and put back in its place."""

import re
from contextlib import suppress
from datetime import datetime
from pathlib import Path

from costing.disk import beside, sync_folder
from costing.store.faults import FileFault, fault_of_os
from costing.store.migrate import snapshot
from costing.store.sqlite import open_store

_TAKEN = re.compile(r" (?:kept|before) \d.*$")


def take(path: Path, now: datetime) -> Path:
    """A checked copy beside the book, named by the minute: "bar kept 2026-11-28 1402.stillroom". FileFault where it
    cannot be written."""
    stem = f"{path.stem} kept {now:%Y-%m-%d %H%M}"
    for n in range(1, 1000):
        target = path.with_name(f"{stem}{f' ({n})' if n > 1 else ''}{path.suffix}")
        if not target.exists():
            return snapshot(path, target)
    raise FileFault(path, "exists", "999 snapshots of this minute stand beside it already")


def snapshots_of(path: Path) -> tuple[Path, ...]:
    """The snapshots beside a book, those of a migration too, the newest first."""
    try:
        found = [
            other
            for other in path.parent.iterdir()
            if other.suffix == path.suffix and other != path and other.is_file()
            and other.stem.startswith(path.stem) and _TAKEN.fullmatch(other.stem[len(path.stem) :])
        ]  # fmt: skip
        return tuple(sorted(found, key=lambda other: (other.stat().st_mtime, other.name), reverse=True))
    except OSError as error:
        raise fault_of_os(path, error, "unreadable") from error


def restore(path: Path, chosen: Path, now: datetime) -> Path:
    """Put a snapshot in the place of the book; the present one is kept beside it first, and that path is the answer.

    The snapshot is checked before anything moves, and the book is replaced in one step. FileFault where either cannot
    be; the book is then as it was. Nobody may hold the book open.
    """
    open_store(chosen, readonly=True).close()
    kept = take(path, now)
    part = beside(path)
    try:
        snapshot(chosen, part)
        part.replace(path)
        sync_folder(path.parent)
    except OSError as error:
        raise fault_of_os(path, error, "read_only") from error
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)
    return kept
