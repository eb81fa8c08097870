"""One good written in another's place from a day on, in every recipe and drink; what was made before keeps its own."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date

from costing.book.book import Book
from costing.book.change import Change, Step, put
from costing.book.records import Good, Preparation, Serve, ServeVersion, Version
from costing.edits.base import V, amended, record_of, version_on
from costing.supply.buying.swapping import with_other
from costing.tongue import say


def substitute(book: Book, good: str, other: str, since: date) -> Step | None:
    """``other`` in the amounts that were written of ``good``, in everything that takes it on ``since`` and in versions
    that begin later. None where nothing takes it. Whether the amounts can be written of ``other`` is
    ``costing.supply.buying.substitute``'s to say; ValueError for a good by itself."""
    old, new = record_of(book, Good, good), record_of(book, Good, other)
    if good == other:
        raise ValueError(say("{good} cannot stand in for itself", good=old.name))
    changes: list[Change] = []
    for made in book.all(Preparation).values():
        versions = _from(made.versions, since, lambda v: _version(v, good, other))
        if versions != made.versions:
            changes.append(put("preparation", replace(made, versions=versions), made))
    for serve in book.all(Serve).values():
        built = _from(serve.versions, since, lambda v: _drink(v, good, other))
        if built != serve.versions:
            changes.append(put("serve", replace(serve, versions=built), serve))
    if not changes:
        return None
    said = say("{other} in place of {good} from {day}", other=new.name, good=old.name, day=since.isoformat())
    return Step(said, tuple(changes))


def _version(version: Version, good: str, other: str) -> Version:
    return replace(version, stages=tuple(with_other(stage, good, other) for stage in version.stages))


def _drink(version: ServeVersion, good: str, other: str) -> ServeVersion:
    return replace(version, build=with_other(version.build, good, other))


def _from(versions: Sequence[V], since: date, change: Callable[[V], V]) -> tuple[V, ...]:
    """Versions with a change from a day on: one begins on it where the one in force would change, later ones change."""
    out = tuple(change(v) if v.since > since else v for v in versions)
    if all(v.since > since for v in versions):
        return out
    held = version_on(versions, since)
    return amended(out, since, change, since) if change(held) != held else out
