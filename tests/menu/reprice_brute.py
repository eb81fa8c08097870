"""``python -m tests.menu.reprice_brute [--menus 200] [--serves 6] [--seed 1]``: repricing against enumeration.

Each random menu is repriced, and every choice of its prices is counted through: the least change and the least number
must be the same, what is out of reach must be out of reach, and so must what lifting each kind of limit alone would do.
"""

import argparse
import random
import sys
import time
from collections import Counter

from costing.menu.reprice import reprice
from costing.menu.reprice_record import Repricing
from tests.menu.enumerate import Case, count_through, random_case


def agree(case: Case) -> tuple[Repricing, int]:
    """(the repricing, choices counted through); AssertionError where the two do not agree."""
    found = reprice(
        case.rows, case.aim, points=case.points, limits=case.limits, order=case.pairs, goal=case.goal
    )  # fmt: skip
    counted = count_through(case)
    assert found.possible == counted.possible, (case, found, counted)
    assert found.met == (counted.best is not None), (case, found, counted)
    assert found.proven
    if counted.best is not None and counted.best_net is not None:
        assert (found.change, len(found.moved)) == counted.best, (case, found.prices, counted)
        among = float(counted.best_net) - float(found.after.net)  # equals are told apart to a millionth of a gain
        assert among < 1e-4 * max(1.0, abs(float(found.after.net - found.before.net))), (case, found.prices, counted)
    elif counted.most is not None:
        assert abs(float(found.after.net) - float(counted.most)) < 1e-9 * max(1.0, float(counted.most)), (case, counted)
    for relaxed in found.relaxed:
        if relaxed.family != "points":
            other = count_through(case, relaxed.family)
            assert relaxed.reaches == (other.best is not None), (case, relaxed, other)
            assert (relaxed.after is not None) == other.possible, (case, relaxed, other)
    return found, counted.choices


def main() -> int:
    """Run what is asked for and print the figures."""
    parser = argparse.ArgumentParser(prog="python -m tests.menu.reprice_brute", description=__doc__)
    parser.add_argument("--menus", type=int, default=200)
    parser.add_argument("--serves", type=int, default=6)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    rng = random.Random(asked.seed)
    counts: Counter[str] = Counter()
    began, choices = time.perf_counter(), 0
    for _ in range(asked.menus):
        case = random_case(rng, asked.serves)
        found, counted = agree(case)
        choices += counted
        counts[
            f"{case.goal}: " + ("met" if found.met else "out of reach" if found.possible else "limits contradict")
        ] += 1
        counts["of these met without a change"] += found.met and not found.moved
        counts["kinds of limit lifted and counted again"] += len(found.relaxed)
    took = time.perf_counter() - began
    print(f"{asked.menus} menus, seed {asked.seed}: all agree, {choices:,} choices counted through, {took:.1f} s")
    for what, count in sorted(counts.items()):
        print(f"  {count:7,} {what}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
