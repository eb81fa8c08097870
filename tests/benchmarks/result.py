"""What one measurement says, and whether it is good enough."""

from dataclasses import asdict, dataclass
from statistics import median
from typing import Literal

from tests.benchmarks.timing import Paired, decile

Verdict = Literal["met", "MISSED", "WRONG", "SKIPPED", "no floor"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """One line of the table. ``gate`` is what is held against ``floor``: the 10th percentile of the paired ratios
    where more is better, the 90th where less is; a plain figure otherwise."""

    target: str
    what: str
    against: str
    verdict: Verdict
    gate: float | None = None
    median: float | None = None
    unit: str = "x"
    floor: float | None = None
    sense: Literal[">=", "<="] = ">="
    baseline_ms: float | None = None
    engine_ms: float | None = None
    note: str = ""

    def plain(self) -> dict[str, object]:
        """For JSON."""
        return asdict(self)

    def line(self) -> str:
        """For the terminal."""
        parts = [f"{self.target:>3}  {self.verdict:<8}  {self.what}"]
        if self.gate is not None:
            parts.append(f": {_short(self.gate)}{self.unit}")
            if self.median is not None:
                parts.append(f" (median {_short(self.median)}{self.unit})")
            if self.floor is not None:
                parts.append(f", wanted {self.sense} {_short(self.floor)}{self.unit}")
        parts.append(f"  [{self.against}" if self.against else "")
        if self.baseline_ms is not None and self.engine_ms is not None:
            parts.append(f": {_short(self.baseline_ms)} ms / {_short(self.engine_ms)} ms")
        parts.append("]" if self.against else "")
        if self.note:
            parts.append(f"  {self.note}")
        return "".join(parts)


def _short(value: float) -> str:
    return f"{value:,.0f}" if abs(value) >= 100 else f"{value:.3g}"


def faster(target: str, what: str, against: str, times: Paired, floor: float | None, note: str = "") -> Result:
    """How many times faster than the baseline; at least ``floor``."""
    ratios = times.ratios()
    return _result(target, what, against, times, decile(ratios, 0.1), median(ratios), floor, ">=", note)


def share(target: str, what: str, against: str, times: Paired, floor: float | None, note: str = "") -> Result:
    """The engine's time as a multiple of the baseline's; at most ``floor``."""
    ratios = sorted(1.0 / ratio for ratio in times.ratios())
    return _result(target, what, against, times, decile(ratios, 0.9), median(ratios), floor, "<=", note)


def figure(target: str, what: str, against: str, value: float, unit: str, most: float | None, note: str = "") -> Result:
    """A figure that is not a ratio of times; at most ``most``."""
    verdict: Verdict = "no floor" if most is None else "met" if value <= most else "MISSED"
    return Result(target=target, what=what, against=against, verdict=verdict, gate=value, unit=unit, floor=most,
                  sense="<=", note=note)  # fmt: skip


def skipped(target: str, what: str, why: str) -> Result:
    """Not measured, said aloud."""
    return Result(target=target, what=what, against="", verdict="SKIPPED", note=f": {why}")


def wrong(target: str, what: str, difference: float) -> Result:
    """The two ways do not agree: no time of a wrong figure counts."""
    return Result(target=target, what=what, against="", verdict="WRONG", gate=difference, unit=" apart", floor=1e-12,
                  sense="<=")  # fmt: skip


def _result(target: str, what: str, against: str, times: Paired, gate: float, middle: float, floor: float | None,
            sense: Literal[">=", "<="], note: str) -> Result:  # fmt: skip
    good = floor is None or (gate >= floor if sense == ">=" else gate <= floor)
    verdict: Verdict = "no floor" if floor is None else "met" if good else "MISSED"
    return Result(target=target, what=what, against=against, verdict=verdict, gate=gate, median=middle, floor=floor,
                  sense=sense, baseline_ms=median(times.baseline) * 1e3, engine_ms=median(times.engine) * 1e3,
                  note=note)  # fmt: skip
