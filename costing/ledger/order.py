"""Inputs first: the order in which preparations can be worked out, and the loops that cannot."""

from collections.abc import Iterable, Mapping
from graphlib import CycleError, TopologicalSorter

from costing.book.book import View
from costing.book.problem import Problem, problem
from costing.book.records import Version


def owner(source: str) -> str:
    """The preparation behind "preparation" or "preparation/by-product"."""
    return source.split("/", 1)[0]


def sources(version: Version) -> Iterable[str]:
    """Every source a version takes from."""
    for stage in version.stages:
        for item in stage.adds:
            yield item.source


def in_order(view: View) -> tuple[tuple[str, ...], tuple[Problem, ...]]:
    """(ids inputs first, loops refused with their path). A preparation that uses itself is no loop here."""
    graph: dict[str, set[str]] = {
        ident: {owner(s) for s in sources(version) if owner(s) in view.preparations and owner(s) != ident}
        for ident, (_, version) in view.preparations.items()
    }
    return sort(graph)


def sort(graph: Mapping[str, set[str]]) -> tuple[tuple[str, ...], tuple[Problem, ...]]:
    """Topological order without the members of loops; each loop is a Problem that names its path."""
    remaining = {node: set(needs) for node, needs in graph.items()}
    problems: list[Problem] = []
    while True:
        try:
            # sorted, because a set's order differs between runs and equal books must give equal reports
            ordered = {node: sorted(needs) for node, needs in remaining.items()}
            return tuple(TopologicalSorter(ordered).static_order()), tuple(problems)
        except CycleError as error:
            path = list(reversed(error.args[1]))
            problems.append(problem("loop", f"preparation/{path[0]}", loop=" -> ".join(path)))
            for node in set(path):
                remaining.pop(node)
            for needs in remaining.values():
                needs.difference_update(path)
