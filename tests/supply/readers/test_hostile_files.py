"""Every hostile file through the one door, each in its own process: one clear line, soon, within bounded memory."""

import subprocess
import sys
from pathlib import Path

import pytest

from tests.supply.readers.hostile import HOSTILE, Maker

SECONDS, MEGABYTES = 5.0, 500
CHILD = """
import resource, sys, time
from costing.supply.readers.door import read_price_file
import openpyxl, python_calamine, lxml.etree, pypdf
resource.setrlimit(resource.RLIMIT_CPU, (60, 60))
resource.setrlimit(resource.RLIMIT_AS, (3 << 30, 3 << 30))
begun, said = time.process_time(), ""
try:
    read_price_file(sys.argv[1])
except ValueError as error:
    said = str(error)
spent = time.process_time() - begun
peaks = [line.split()[1] for line in open("/proc/self/status") if line.startswith("VmHWM")]
most = int(peaks[0]) / 1024  # what getrusage says is that of the parent where the parent was larger
sys.stdout.buffer.write(f"{spent:.3f} {most:.0f}\\n{said}\\n".encode())
"""


@pytest.mark.slow
@pytest.mark.skipif(not Path("/proc/self/status").exists(), reason="the peak of memory is read there")
@pytest.mark.parametrize(("name", "make", "phrase"), HOSTILE, ids=[name for name, _, _ in HOSTILE])
def test_a_hostile_file_ends_in_one_line(name: str, make: Maker, phrase: str, tmp_path: Path) -> None:
    """Time is that of the processor, so that a busy machine does not fail it."""
    path = tmp_path / name
    path.write_bytes(make())
    done = subprocess.run([sys.executable, "-c", CHILD, str(path)], capture_output=True, timeout=120, check=False)
    assert done.returncode == 0, done.stderr.decode()[-2000:]
    assert done.stderr == b""
    figures, said, *more = done.stdout.decode().split("\n")
    seconds, megabytes = map(float, figures.split())
    assert more == [""]
    assert bool(said) == bool(phrase), said
    assert phrase in said
    assert not said or name in said
    assert said.isprintable()
    assert seconds < SECONDS or name == "full.xlsx"  # a long list that is read takes longer, and can be stopped
    assert megabytes < MEGABYTES
