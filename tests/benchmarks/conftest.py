"""Timed floors run only where they are asked for by name (``-m bench``): a timing never decides a normal test."""

import pytest


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave the timed ones out, whatever else is selected."""
    if "bench" in config.getoption("markexpr"):
        return
    timed = [item for item in items if item.get_closest_marker("bench")]
    if timed:
        config.hook.pytest_deselected(items=timed)
        items[:] = [item for item in items if item not in timed]
