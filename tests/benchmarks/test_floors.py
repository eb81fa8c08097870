"""The floors of ``python -m tests.benchmarks`` on a group, as tests: ``pytest tests/benchmarks -m bench``."""

import pytest

from tests.benchmarks.__main__ import ENGINE
from tests.benchmarks.engine import Bench
from tests.benchmarks.outer import OUTER

pytestmark = pytest.mark.bench


@pytest.fixture(scope="module")
def group() -> Bench:
    return Bench.of("group")


@pytest.mark.parametrize("target", ENGINE)
def test_the_engine_keeps_its_floor(group: Bench, target: str) -> None:
    results = ENGINE[target](group)
    print(*(result.line() for result in results), sep="\n")
    assert [result.line() for result in results if result.verdict in ("MISSED", "WRONG")] == []


@pytest.mark.parametrize("target", OUTER)
def test_what_is_outside_the_engine_keeps_its_floor(target: str) -> None:
    results = OUTER[target]()
    print(*(result.line() for result in results), sep="\n")
    assert [result.line() for result in results if result.verdict in ("MISSED", "WRONG")] == []
    if all(result.verdict == "SKIPPED" for result in results):
        pytest.skip("; ".join(result.line() for result in results))
