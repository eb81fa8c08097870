"""One file through the one door in a process of its own.

``python -m tests.supply.readers.trial`` reads every hostile file and prints its seconds and megabytes; it ends with 1
where one of them took more than is wanted.
"""

import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.supply.readers.hostile import HOSTILE

SECONDS, MEGABYTES = 5.0, 500
READ = frozenset({"full.xlsx"})
"""A sound list as large as one may be: it takes longer, and can be stopped."""
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """What is said of a file, "" where it is read; seconds of the processor, and the peak of memory in MB."""

    said: str
    seconds: float
    megabytes: float


def tried(path: Path) -> Trial:
    """Read one file; RuntimeError where the process does anything but end with one line."""
    done = subprocess.run([sys.executable, "-c", CHILD, str(path)], capture_output=True, timeout=120, check=False)
    lines = done.stdout.decode().split("\n")
    if done.returncode or done.stderr or len(lines) != 3:
        raise RuntimeError(f"{path.name} ended with {done.returncode}: {done.stderr.decode()[-2000:]} {lines[2:]}")
    seconds, megabytes = map(float, lines[0].split())
    return Trial(said=lines[1], seconds=seconds, megabytes=megabytes)


def main() -> int:
    """Print a line a file, the slowest last."""
    with TemporaryDirectory() as folder:
        found = []
        for name, make, _ in HOSTILE:
            path = Path(folder) / name
            path.write_bytes(make())
            found.append((name, tried(path)))
            path.unlink()
    for name, one in sorted(found, key=lambda pair: pair[1].seconds):
        print(f"{one.seconds:7.3f} s {one.megabytes:5.0f} MB  {name}: {one.said[:90] or 'is read'}")
    slow = [name for name, one in found if one.seconds >= SECONDS and name not in READ]
    print(f"{len(found)} files, {len(slow)} of them over {SECONDS:g} s: {', '.join(slow) or 'none'}")
    return bool(slow)


if __name__ == "__main__":
    sys.exit(main())
