"""Which figures of a book are not sure, and by how much: what the ranges of costs are worked out from.

A figure that was weighed once has no spread that anybody knows, and counts as sure; the range says how many sources it
stands on. An assumed figure is taken to be known to ``ASSUMED`` of itself: the house's assumption, not a measurement.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields, is_dataclass, replace
from decimal import Decimal
from math import sqrt
from typing import Any, Literal, cast

from costing.book.book import Book, View
from costing.book.change import Key
from costing.book.fact import Fact
from costing.book.records import Equipment, Good, House, Quote, Record, Serve, Stage, YieldTest
from costing.book.units import Dim, lookup
from costing.book.yields import yield_mean

ASSUMED = 0.10
"""Standard deviation of an assumed figure, as a share of it; of a share in percent, of the lesser of it and what it
lacks to the whole. An assumption of the house's own: printed yields of one fruit that agree differ by a few points of
a hundred, those that do not by eight of fifty, and this lies between."""
LEAST_TESTS = 3
"""Tests or batches below which no standard deviation is told."""
NORMAL_95 = 1.6449
T_95 = {2: 2.920, 3: 2.353, 4: 2.132, 5: 2.015, 6: 1.943, 7: 1.895, 8: 1.860, 9: 1.833, 10: 1.812, 12: 1.782,
        15: 1.753, 20: 1.725, 30: 1.697, 60: 1.671}  # fmt: skip
"""Student's t that 5 % lie above, by degrees of freedom; between two of them the lesser stands (the wider range)."""
LEFT_ALONE = frozenset({"makeup", "runs", "purges"})
"""Makeup moves litres a little and no money that has an honest answer; counts are decided, not guessed."""
TESTED = {"keep": False, "yield": False, "refuse": True}
"""Facts of a stage that a yield test measures; True where they say what is not kept."""
Basis = Literal["assumed", "tests", "batches", "prices"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """One figure that is not sure: where it stands (a record, and the way to it inside), the standard deviation ``sd``
    in its own unit, and what that is known by: an assumption, or ``n`` yield tests."""

    key: Key
    path: tuple[str | int, ...]
    fact: Fact
    sd: float
    basis: Basis
    n: int = 0

    @property
    def name(self) -> str:
        """What the figure is called: "refuse", "amount", "spill"."""
        words = [part for part in self.path if isinstance(part, str) and part not in ("versions", "facts", "readings")]
        return words[-1] if words else ""


def next_one(spread: float, n: int) -> float:
    """The standard deviation to expect of the next of ``n`` that spread so, widened as Student's t is where n is small,
    so that 1.645 of it each way hold 90 %. ValueError below 3."""
    if n < LEAST_TESTS:
        raise ValueError(f"a spread of {n} is none: at least {LEAST_TESTS} are needed")
    return spread * sqrt(1 + 1 / n) * widened(n - 1)


def widened(freedom: int) -> float:
    """How many times wider than a normal one a range of 90 % is whose standard deviation stands on so many degrees of
    freedom. ValueError below 2."""
    if freedom < LEAST_TESTS - 1:
        raise ValueError(f"{freedom} degrees of freedom tell no spread: at least {LEAST_TESTS - 1} are needed")
    return T_95[max(known for known in T_95 if known <= freedom)] / NORMAL_95


def sd_of(fact: Fact, assumed: float = ASSUMED) -> float:
    """The standard deviation an assumed figure is given, in its own unit; 0 for a temperature, whose zero is no
    nothing."""
    unit, value = lookup(fact.unit), abs(float(fact.value))
    if unit is not None and unit.dim is Dim.TEMPERATURE:
        return 0.0
    if fact.unit.strip() == "%" and value <= 100.0:
        value = min(value, 100.0 - value)
    return assumed * value


def facts_in(record: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[tuple[str | int, ...], Fact]]:
    """Every fact inside a record with the way to it: names of fields, places in tuples, names of named facts."""
    if isinstance(record, Fact):
        yield path, record
    elif isinstance(record, tuple):
        for n, item in enumerate(record):
            if isinstance(item, tuple) and len(item) == 2 and isinstance(item[0], str) and isinstance(item[1], Fact):
                if item[0] not in LEFT_ALONE:
                    yield (*path, item[0]), item[1]
            else:
                yield from facts_in(item, (*path, n))
    elif is_dataclass(record):
        for field in fields(record):
            if field.name not in LEFT_ALONE:
                yield from facts_in(getattr(record, field.name), (*path, field.name))


def moved_fact(record: Any, path: tuple[str | int, ...], value: Decimal) -> Any:
    """The record with the fact at the end of ``path`` at another value."""
    if not path:
        return replace(record, value=value)
    step, rest = path[0], path[1:]
    if isinstance(record, tuple):
        if isinstance(step, int):
            return (*record[:step], moved_fact(record[step], rest, value), *record[step + 1 :])
        return tuple((n, moved_fact(f, rest, value) if n == step else f) for n, f in record)
    return replace(record, **{str(step): moved_fact(getattr(record, str(step)), rest, value)})


def under(view: View, serve: str) -> Book:
    """The book without what one drink does not stand on. Its figures for the drink are those of the whole book."""
    return of_day(view, reached(view, (serve,)))


def reached(view: View, serves: Iterable[str], preparations: Iterable[str] = ()) -> set[Key]:
    """Drinks and preparations with all that they stand on today: preparations, goods and machines."""
    kept: set[Key] = {("serve", serve) for serve in serves}
    kept |= {("preparation", made) for made in preparations}
    stages = [view.serves[serve][1].build for kind, serve in kept if kind == "serve"]
    stages += [s for kind, made in kept if kind == "preparation" for s in view.preparations[made][1].stages]
    while stages:
        stage = stages.pop()
        machine = view.equipment.get(stage.equipment)
        sources = _sources(view, stage)
        if machine is not None:
            kept.add(("equipment", machine.id))
            sources |= {machine.hour, machine.energy}
        for source in sources:
            if source in view.preparations and ("preparation", source) not in kept:
                kept.add(("preparation", source))
                stages += view.preparations[source][1].stages
            elif source in view.goods:
                kept.add(("good", source))
    return kept


def of_day(view: View, keys: set[Key]) -> Book:
    """The book with these records alone, drinks and preparations as they are made on the day, and the quotes and house
    rules that they stand on."""
    kept: dict[Key, Record] = {}
    for kind, ident in sorted(keys):
        if kind == "serve":
            found, version = view.serves[ident]
            kept[kind, ident] = replace(found, versions=(version,))
        elif kind == "preparation":
            made, as_made = view.preparations[ident]
            kept[kind, ident] = replace(made, versions=(as_made,))
        elif kind == "good":  # statements move no money, and checking them would take time
            kept[kind, ident] = replace(view.goods[ident], allergens=())
            kept.update({("quote", quote.id): quote for quote in view.offers(ident)})
        else:
            kept[kind, ident] = replace(view.equipment[ident], allergens=())
    for key, record in view.book.records.items():
        if key[0] in ("house", "supplier", "technique", "glass", "rate"):
            kept[key] = record
    return Book(kept)


def _sources(view: View, stage: Stage) -> set[str]:
    """Goods and preparations that a stage names."""
    found = {item.source.partition("/")[0] for item in stage.adds} | {stage.labour}
    house = view.book.house
    return found | ({house.labour} if house is not None else set())


def doubts_of(view: View, book: Book, assumed: float = ASSUMED) -> Iterator[Doubt]:
    """The figures of ``book`` (see ``of_day``) that are not sure: assumed ones that money stands on, and shares kept
    that yield tests were averaged into."""
    for key, record in book.records.items():
        if not isinstance(record, Good | House | Quote | Equipment | Serve) and key[0] != "preparation":
            continue
        for path, fact in facts_in(record):
            if fact.mark == "assumed":
                sd = sd_of(fact, assumed)
                if sd > 0.0:
                    yield Doubt(key=key, path=path, fact=fact, sd=sd, basis="assumed")
        if key[0] == "preparation":
            for version in cast(Any, record).versions:
                for n, stage in enumerate(version.stages):
                    yield from _tested(view, key, ("versions", 0, "stages", n), stage)


def _tested(view: View, key: Key, path: tuple[str | int, ...], stage: Stage) -> Iterator[Doubt]:
    """Shares of a stage that are the mean of three or more yield tests of the one good that goes in."""
    sources = {item.source for item in stage.adds}
    if len(sources) != 1:
        return
    (good,) = sources
    for name, fact in stage.facts:
        if name in TESTED and fact.mark == "measured" and fact.unit.strip() == "%":
            share = float(fact.value) / 100.0
            for n, spread in _spreads(view, good, 1.0 - share if TESTED[name] else share):
                yield Doubt(key=key, path=(*path, "facts", name), fact=fact, sd=100.0 * next_one(spread, n),
                            basis="tests", n=n)  # fmt: skip


def _spreads(view: View, good: str, share: float) -> Iterator[tuple[int, float]]:
    """(count, standard deviation of one) of the part of a good whose tests have this mean."""
    tests = [t for t in view.book.all(YieldTest).values() if t.good == good and t.day <= view.day]
    for part in dict.fromkeys(t.part.casefold() for t in tests):
        mean = yield_mean(t for t in tests if t.part.casefold() == part)
        if mean is not None and mean.n >= LEAST_TESTS and mean.spread and abs(float(mean.share) - share) < 6e-4:
            yield mean.n, mean.spread
            return
