"""A book with one good in another's place, as a thought: nothing of it is written."""

from collections.abc import Iterator
from dataclasses import replace

from costing.book.book import Book, View
from costing.book.change import Change, put
from costing.book.problem import Problem, problem
from costing.book.records import Input, Stage
from costing.ledger.order import owner
from costing.ledger.unit import Unbridged, Unit, amount_in_base


def with_other(stage: Stage, good: str, other: str) -> Stage:
    """A stage that takes ``other`` wherever it took ``good``, as much of it as was written."""
    if not any(item.source == good for item in stage.adds):
        return stage
    return replace(stage, adds=tuple(_other(item, good, other) for item in stage.adds))


def _other(item: Input, good: str, other: str) -> Input:
    return replace(item, source=other) if item.source == good else item


def swapped(view: View, good: str, other: str) -> Book:
    """The book with ``other`` in the place of ``good`` in every recipe of the day."""
    changes: list[Change] = []
    for made, version in view.preparations.values():
        stages = tuple(with_other(s, good, other) for s in version.stages)
        if stages != version.stages:
            new = replace(version, stages=stages)
            after = replace(made, versions=tuple(new if v is version else v for v in made.versions))
            changes.append(put("preparation", after, made))
    for serve, built in view.serves.values():
        build = with_other(built.build, good, other)
        if build != built.build:
            begun = replace(built, build=build)
            drink = replace(serve, versions=tuple(begun if v is built else v for v in serve.versions))
            changes.append(put("serve", drink, serve))
    return view.book.with_changes(changes)


def missing_bridges(view: View, good: str, unit: Unit) -> tuple[Problem, ...]:
    """What keeps a good of this ``unit`` out of the places where ``good`` stands: an amount by the piece of what has no
    weight a piece, a volume of what has no density."""
    out = []
    for where, item in _places(view, good):
        if item.amount is None:
            continue
        try:
            amount_in_base(item.amount, unit, view.measures)
        except Unbridged as gap:
            out.append(problem(gap.code, where, source=good, **gap.detail))
    return tuple(dict.fromkeys(out))


def _places(view: View, good: str) -> Iterator[tuple[str, Input]]:
    stages: list[tuple[str, Stage]] = []
    for ident, (_, version) in view.preparations.items():
        stages += [(f"preparation/{ident}/{version.since}/{stage.id}", stage) for stage in version.stages]
    stages += [(f"serve/{ident}/{built.since}/build", built.build) for ident, (_, built) in view.serves.items()]
    for path, stage in stages:
        for n, item in enumerate(stage.adds, 1):
            if item.source == good:
                yield f"{path}/add/{n}", item


def users(view: View, good: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """(preparations, serves) of the day that a good is in, directly or through others, in the order of their ids."""
    made: set[str] = set()
    grew = True
    while grew:
        found = {
            ident
            for ident, (_, version) in view.preparations.items()
            if any(_takes(stage, good, made) for stage in version.stages)
        }
        grew, made = found != made, found
    return (
        tuple(sorted(made)),
        tuple(ident for ident, (_, built) in view.serves.items() if _takes(built.build, good, made)),
    )


def _takes(stage: Stage, good: str, made: set[str]) -> bool:
    return any(item.source == good or owner(item.source) in made for item in stage.adds)
