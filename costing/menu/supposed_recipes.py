"""Supposed figures of recipes: a yield or time of a stage, and how much of something goes into a drink."""

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal

from costing.book.book import View
from costing.book.change import put
from costing.book.fact import Fact
from costing.book.records import Preparation, Serve, Stage
from costing.book.selling import Supposed
from costing.book.units import Dim, lookup
from costing.menu.supposed_base import Laid, following, known, moved, unless_same
from costing.tongue import say

TIMES = ("active", "passive", "setup")


def figures_of(stage: Stage) -> Mapping[str, Fact]:
    """Every figure that a stage has: facts, readings and times, by name."""
    out = {**dict(stage.facts), **dict(stage.readings)}
    return out | {name: fact for name in TIMES if (fact := getattr(stage, name)) is not None}


def with_figure(stage: Stage, name: str, fact: Fact) -> Stage:
    """A stage with a figure in place of the one of its name."""
    if name in TIMES:
        active, passive, setup = (fact if name == n else getattr(stage, n) for n in TIMES)
        return replace(stage, active=active, passive=passive, setup=setup)
    return replace(
        stage,
        facts=tuple((n, fact if n == name else f) for n, f in stage.facts),
        readings=tuple((n, fact if n == name else f) for n, f in stage.readings),
    )


def moved_fact(fact: Fact, supposed: Supposed, *, guess: bool) -> Fact:
    """A fact at its supposed figure, in its own unit; ``guess`` marks it assumed, for what nobody has measured so. The
    same figure keeps the fact. ValueError for a temperature that would change by a share."""
    unit = lookup(fact.unit)
    if supposed.how == "by" and unit is not None and unit.dim is Dim.TEMPERATURE:
        raise ValueError(say("a temperature of {text} cannot change by a share: say what it becomes", text=fact.text))
    value = moved(fact.value, supposed)
    if value == fact.value:
        return fact
    mark = "assumed" if guess else fact.mark
    cold = f" at {fact.at} C" if fact.at is not None else ""
    text = f"{'~' if mark == 'assumed' else ''}{figure_text(value)} {fact.unit}".strip() + cold
    return replace(fact, text=text, value=value, mark=mark, how="" if guess else fact.how)


def figure_text(value: Decimal) -> str:
    """A figure without zeros behind it: 50, 0.95."""
    return f"{value.normalize():f}"


def figure(view: View, supposed: Supposed) -> Laid:
    """A figure that a stage of a preparation states."""
    made = known(view.book.all(Preparation), supposed.target, say("preparation"))
    if made.id not in view.preparations:
        raise ValueError(say("{name} is not made yet on {day}", name=made.name, day=view.day.isoformat()))
    version = view.preparations[made.id][1]
    ident, _, name = supposed.part.partition("/")
    stage = next((s for s in version.stages if s.id == ident), None)
    if stage is None:
        stages = ", ".join(s.id for s in version.stages)
        raise ValueError(say("{name} has no stage “{stage}” on {day} (there is: {stages})", name=made.name, stage=ident,
                             day=view.day.isoformat(), stages=stages))  # fmt: skip
    facts = figures_of(stage)
    if name not in facts:
        raise ValueError(say("stage {stage} of {name} states no {figure} (it states: {figures})", stage=ident,
                             name=made.name, figure=name, figures=", ".join(facts) or say("none")))  # fmt: skip
    fact = moved_fact(facts[name], supposed, guess=True)
    moved_ = replace(version, stages=tuple(with_figure(s, name, fact) if s is stage else s for s in version.stages))
    after = replace(made, versions=tuple(moved_ if v is version else v for v in made.versions))
    return Laid(
        supposed=supposed, name=f"{made.name}: {supposed.part}", unit=fact.unit, before=facts[name].value,
        after=fact.value, changes=unless_same(put("preparation", after, made)),
        until=following(view, (v.since for v in made.versions)),
    )  # fmt: skip


def places_of(build: Stage, source: str) -> tuple[int, ...]:
    """Where something goes into a build, from 0: the input of that id, else every input of that source."""
    found = tuple(n for n, item in enumerate(build.adds) if item.id and item.id == source)
    return found or tuple(n for n, item in enumerate(build.adds) if item.source == source)


def dose(view: View, supposed: Supposed) -> Laid:
    """How much of something goes into a drink."""
    serve = known(view.book.all(Serve), supposed.target, say("drink"))
    if serve.id not in view.serves:
        raise ValueError(say("{name} is not made yet on {day}", name=serve.name, day=view.day.isoformat()))
    version = view.serves[serve.id][1]
    build = version.build
    at = places_of(build, supposed.part)
    if not at:
        raise ValueError(say("there is no “{source}” in {serve} (there is: {sources})", source=supposed.part,
                             serve=serve.name, sources=", ".join(i.source for i in build.adds)))  # fmt: skip
    if len(at) > 1 and supposed.how == "to":
        raise ValueError(say("“{source}” is in {serve} {n} times: change it by a share", source=supposed.part,
                             serve=serve.name, n=len(at)))  # fmt: skip
    adds, before = list(build.adds), Fact(text="0", value=Decimal(0))
    for n in at:
        amount = build.adds[n].amount
        if amount is None:
            raise ValueError(say("how much “{source}” goes into {serve} is worked out: it cannot be supposed",
                                 source=supposed.part, serve=serve.name))  # fmt: skip
        before, adds[n] = amount, replace(adds[n], amount=moved_fact(amount, supposed, guess=False))
    new = replace(version, build=replace(build, adds=tuple(adds)))
    after = replace(serve, versions=tuple(new if v is version else v for v in serve.versions))
    last = adds[at[-1]].amount
    return Laid(
        supposed=supposed, name=f"{serve.name}: {_source_name(view, build.adds[at[0]].source)}", unit=before.unit,
        before=before.value, after=last.value if last is not None else None, count=len(at),
        changes=unless_same(put("serve", after, serve)), until=following(view, (v.since for v in serve.versions)),
    )  # fmt: skip


def _source_name(view: View, source: str) -> str:
    good, made = view.goods.get(source), view.book.all(Preparation).get(source)
    return good.name if good is not None else made.name if made is not None else source
