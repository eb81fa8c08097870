"""``python -m tests.benchmarks [--size bar|group|stress] [--only 1 4 sample] [--json out.json] [--profile]``.

Every line is a ratio to a named plain way of doing the same in the same run. Exit 1 when a target is missed or a
figure is wrong. Without --size: bar and group.
"""

import argparse
import json
import platform
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import get_args

import numpy
import scipy

from tests.benchmarks import engine
from tests.benchmarks.data import Size
from tests.benchmarks.engine import Bench
from tests.benchmarks.money import exact_money
from tests.benchmarks.outer import OUTER, profile
from tests.benchmarks.result import Result

ENGINE: dict[str, Callable[[Bench], list[Result]]] = {
    "1": engine.whole,
    "3": engine.many_prices,
    "4": engine.one_price,
    "5": engine.derivatives,
    "8": engine.purchases,
    "9": exact_money,
}
"""Target 2 is target 1 at stress size."""


def parser() -> argparse.ArgumentParser:
    """The command line."""
    top = argparse.ArgumentParser(prog="python -m tests.benchmarks", description="Ratios to plain baselines.")
    top.add_argument("--size", choices=get_args(Size), help="one size of random book (bar and group)")
    top.add_argument("--only", nargs="+", choices=[*ENGINE, *OUTER], metavar="TARGET",
                     help=f"some of {', '.join([*ENGINE, *OUTER])}")  # fmt: skip
    top.add_argument("--json", type=Path, metavar="FILE", help="write the results there as well")
    top.add_argument("--profile", action="store_true", help="say where reckoning the sample spends its time, and end")
    return top


def main(argv: Sequence[str] | None = None) -> int:
    """Measure, print, and say by the exit code whether everything wanted is met."""
    args = parser().parse_args(argv)
    if args.profile:
        print(profile())
        return 0
    wanted = args.only or [*ENGINE, *OUTER]
    machine = {
        "python": platform.python_version(), "numpy": numpy.__version__, "scipy": scipy.__version__,
        "system": platform.platform(terse=True),
    }  # fmt: skip
    print(", ".join(f"{name} {version}" for name, version in machine.items()))
    print("ratios of CPU time, paired; the 10th percentile is held against the floor (the 90th where less is wanted)")
    found: list[dict[str, object]] = []
    bad = 0

    def tell(size: str, results: list[Result]) -> None:
        nonlocal bad
        for result in results:
            print(result.line(), flush=True)
            bad += result.verdict in ("MISSED", "WRONG")
            found.append({"size": size, **result.plain()})

    sizes: list[Size] = [args.size] if args.size else ["bar", "group"]
    for size in sizes if any(name in ENGINE for name in wanted) else []:
        bench = Bench.of(size)
        print(f"\n{engine.scale(bench)}")
        for name, run in ENGINE.items():
            if name in wanted:
                tell(size, run(bench))
    print("")
    for name, measure in OUTER.items():
        if name in wanted:
            tell("", measure())
    if args.json:
        args.json.write_text(json.dumps({"machine": machine, "results": found}, indent=1) + "\n", "utf-8")
    print(f"\n{bad} missed or wrong")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
