"""Every hostile file through the one door, each in its own process: one clear line within bounded memory."""

from pathlib import Path

import pytest

from tests.supply.readers.hostile import HOSTILE, Maker
from tests.supply.readers.trial import MEGABYTES, READ, tried

SHORT = [row for row in HOSTILE if row[0] not in READ]
"""All but the largest sound list, which takes a quarter of a minute: ``trial`` reads that one."""


@pytest.mark.slow
@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="the peak of memory is read there")
@pytest.mark.parametrize(("name", "make", "phrase"), SHORT, ids=[name for name, _, _ in SHORT])
def test_a_hostile_file_ends_in_one_line(name: str, make: Maker, phrase: str, tmp_path: Path) -> None:
    """Each has a minute of the processor and is ended then; how long it takes is printed by ``trial``."""
    path = tmp_path / name
    path.write_bytes(make())
    found = tried(path)
    assert bool(found.said) == bool(phrase), found.said
    assert phrase in found.said
    assert not found.said or name in found.said
    assert found.said.isprintable()
    assert found.megabytes < MEGABYTES
