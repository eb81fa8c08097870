"""Files of the store put in place, with the store's own errors."""

import os
from pathlib import Path

from costing.disk import sync, sync_folder, write_whole
from costing.store.faults import FileFault, fault_of_os


def full_path(path: str | Path) -> Path:
    """The absolute path with links followed, as SQLite follows them. FileFault when there can be none."""
    try:
        return Path(path).resolve()
    except (OSError, RuntimeError, ValueError) as error:  # a loop of links, a NUL in the name
        raise FileFault(path, "missing", str(error)) from error


def place_new(part: Path, target: Path) -> None:
    """Give a finished file its name, never over another one. FileFault "exists", or what the disk says."""
    try:
        sync(part)
        try:
            target.hardlink_to(part)
            part.unlink()
        except FileExistsError:
            raise FileFault(target, "exists") from None
        except OSError:
            # No hard links here (a memory stick, say): hold the name with an empty file, then replace that.
            os.close(os.open(target, os.O_CREAT | os.O_EXCL | os.O_WRONLY))
            part.replace(target)
        sync_folder(target.parent)
    except FileExistsError:
        raise FileFault(target, "exists") from None
    except OSError as error:
        raise fault_of_os(target, error, "read_only") from error


def write_text(text: str, target: Path) -> None:
    """Write UTF-8 text, in place of an older file if there is one. FileFault when the disk refuses."""
    target = full_path(target)
    if target.is_dir():
        raise FileFault(target, "folder")
    try:
        write_whole(text.encode("utf-8"), target)
    except OSError as error:
        raise fault_of_os(target, error, "read_only") from error
