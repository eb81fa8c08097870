"""Two ways timed side by side in one run; their ratio is the result.

The clock is the CPU time of this thread: a wall ratio moves by half beside other programs, this one by some per
cent. Rounds are paired (baseline, engine, baseline, ...), because a machine's speed drifts.
"""

import gc
import os
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import median

ROUNDS = 15
FEWEST = 3
SECONDS = 4.0
SPAN = 0.002
"""A timed stretch repeats its call until it takes this long, so that the clock's own cost is nothing."""


@dataclass(frozen=True, slots=True)
class Paired:
    """Seconds a call, round by round."""

    baseline: tuple[float, ...]
    engine: tuple[float, ...]

    def ratios(self) -> list[float]:
        """How many times the engine's time fits into the baseline's, round by round, sorted."""
        return sorted(b / e for b, e in zip(self.baseline, self.engine, strict=True))


def decile(ordered: Sequence[float], share: float) -> float:
    """The share's quantile of sorted values, interpolated."""
    at = share * (len(ordered) - 1)
    low = int(at)
    high = min(low + 1, len(ordered) - 1)
    return ordered[low] + (ordered[high] - ordered[low]) * (at - low)


def paired(baseline: Callable[[], object], engine: Callable[[], object]) -> Paired:
    """3 to 15 rounds or 4 s of both, garbage collection off."""
    was_on = gc.isenabled()
    gc.collect()
    gc.disable()
    try:
        repeats = [_repeats(baseline), _repeats(engine)]
        times: tuple[list[float], list[float]] = ([], [])
        spent = 0.0
        while len(times[0]) < ROUNDS and (len(times[0]) < FEWEST or spent < SECONDS):
            for way, call in enumerate((baseline, engine)):
                taken = _stretch(call, repeats[way])
                times[way].append(taken / repeats[way])
                spent += taken
    finally:
        if was_on:
            gc.enable()
    return Paired(tuple(times[0]), tuple(times[1]))


def alone(call: Callable[[], object]) -> float:
    """Median seconds of a call by itself, for scale only."""
    repeats = _repeats(call)
    return median(_stretch(call, repeats) / repeats for _ in range(5))


def _stretch(call: Callable[[], object], repeats: int) -> float:
    began = time.thread_time()
    for _ in range(repeats):
        call()
    return time.thread_time() - began


def _repeats(call: Callable[[], object]) -> int:
    call()
    repeats = 1
    while repeats < 100_000 and _stretch(call, repeats) < SPAN:
        repeats *= 2
    return repeats


def child_cpu(argv: Sequence[str]) -> float:
    """CPU seconds, user and system, of one Python child started with these arguments. OSError where it fails, or
    where the system cannot tell (no ``os.wait4``)."""
    if not hasattr(os, "wait4"):
        raise OSError("this system does not tell the CPU time of a child")
    quiet = [(os.POSIX_SPAWN_OPEN, 1, os.devnull, os.O_WRONLY, 0)]
    ident = os.posix_spawn(sys.executable, [sys.executable, *argv], os.environ, file_actions=quiet)
    _, status, used = os.wait4(ident, 0)
    if status != 0:
        raise OSError(f"python {' '.join(argv)} ended with {os.waitstatus_to_exitcode(status)}")
    return used.ru_utime + used.ru_stime


def paired_children(baseline: Sequence[str], engine: Sequence[str], rounds: int = 10) -> Paired:
    """The same for two commands, each a fresh process; the first of each only warms the disk."""
    for argv in (baseline, engine):
        child_cpu(argv)
    times = [(child_cpu(baseline), child_cpu(engine)) for _ in range(rounds)]
    return Paired(tuple(b for b, _ in times), tuple(e for _, e in times))
