"""Putting a file in place so that a crash leaves the old one or the new one, never half of one."""

import os
import secrets
from contextlib import suppress
from pathlib import Path


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


def write_whole(data: bytes, target: Path) -> None:
    """Write a file, in place of an older one if there is one. OSError names the path; the older file then stays."""
    part = beside(target)
    try:
        with part.open("xb") as out:
            out.write(data)
            out.flush()
            os.fsync(out.fileno())
        part.replace(target)
        sync_folder(target.parent)
    except OSError as error:
        raise OSError(error.errno, error.strerror or "cannot be written", str(target)) from error
    finally:
        with suppress(OSError):  # where the folder is none, so is this; the fault above is the one to tell
            part.unlink(missing_ok=True)
