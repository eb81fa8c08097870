"""The laws of the best mix on many more cases than the suite has time for: ``python -m tests.menu.mix_loops [N]``."""

import sys
import time

from hypothesis import given, settings

from tests.menu.test_batches_mix import cases, whole_is_best
from tests.menu.test_capacity import greedy_is_best, hours_are_worth_what_they_say, programs

LAWS = ((greedy_is_best, programs(most=1)), (hours_are_worth_what_they_say, programs()), (whole_is_best, cases()))


def main(count: int) -> None:
    """Hold each law against so many cases and say how long it took."""
    for law, strategy in LAWS:
        begun = time.perf_counter()
        settings(max_examples=count, deadline=None, database=None)(given(strategy)(law))()
        sys.stdout.write(f"{law.__name__}: {count} cases held in {time.perf_counter() - begun:.0f} s\n")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
