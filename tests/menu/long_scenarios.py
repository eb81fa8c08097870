"""The long loop: thousands of random scenarios, each applied and compared with what was shown before.

python -m tests.menu.long_scenarios [SCENARIOS]
"""

import sys
import time
from datetime import date

from hypothesis import HealthCheck, Phase, given, settings

from costing.book.selling import Scenario
from tests.menu.supposals import applied_as_shown, scenarios


def main(wanted: int) -> int:
    """Run; a scenario that differs raises."""
    done = 0

    @settings(max_examples=wanted, deadline=None, database=None, phases=(Phase.generate, Phase.shrink),
              suppress_health_check=list(HealthCheck))  # fmt: skip
    @given(scenarios(most=8))
    def run(found: tuple[date, Scenario]) -> None:
        nonlocal done
        applied_as_shown(*found)
        done += 1

    began = time.perf_counter()
    run()
    sys.stdout.write(f"{done} scenarios applied as shown, {time.perf_counter() - began:.0f} s\n")
    return 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000))
