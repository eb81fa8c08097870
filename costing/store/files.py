"""Putting files in place so that a crash leaves the old one or the new one, never half of one."""

import os
import secrets
from pathlib import Path

from costing.store.faults import FileFault, fault_of_os


def full_path(path: str | Path) -> Path:
    """The absolute path with links followed, as SQLite follows them. FileFault when there can be none."""
    try:
        return Path(path).resolve()
    except (OSError, RuntimeError, ValueError) as error:  # a loop of links, a NUL in the name
        raise FileFault(path, "missing", str(error)) from error


def beside(target: Path) -> Path:
    """A fresh hidden name in the folder of ``target``, so that it can be moved there in one step."""
    return target.with_name(f".{target.name[:100]}.{os.getpid()}-{secrets.token_hex(4)}.part")


def sync(path: Path) -> None:
    """Wait until the content of a file has reached the disk."""
    handle = os.open(path, os.O_RDWR)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def sync_folder(folder: Path) -> None:
    """Wait until the names in a folder have reached the disk (Windows has no such call and needs none)."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


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
    part = beside(target)
    try:
        if target.is_dir():
            raise FileFault(target, "folder")
        with part.open("x", encoding="utf-8", newline="\n") as out:
            out.write(text)
            out.flush()
            os.fsync(out.fileno())
        part.replace(target)
        sync_folder(target.parent)
    except OSError as error:
        raise fault_of_os(target, error, "read_only") from error
    finally:
        part.unlink(missing_ok=True)
