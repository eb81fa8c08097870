"""What ``compare`` prints: two batches stage by stage, and why a unit of one costs more; and the same as JSON.

``compare``: {"stillroom": "compare", "form": "1.0", ..., "a" and "b": {"id", "day", "of", "unit", "made", "own_use",
"cost" by layer with "with_making" (null where refused), "at_least", "unpriced", "recovered", "kept"}, "facts":
[{"name", "a", "b"}], "stages": [{"a" and "b": {"stage", "kind", "kg", "litres", "lpa", "key", "share_lost", "money",
"hands_min", "machine_h", "runs", "inputs"} or null, "facts", "inputs": [{"source", "a", "b", "unit_cost_a",
"unit_cost_b"}]}], "difference", "prices" and "recipe" by layer, "parts": [{"good", "a", "b", "priced": [a, b],
"prices", "recipe"}], "problems"}. Prices are taken at A's recipe and the recipe at B's prices; the parts add up to
"difference" (b less a).
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from costing.book.fact import Fact
from costing.book.problem import Problem
from costing.ledger import Cost, Reckoning
from costing.ledger.compare import Comparison, FactDiffers, Side, StagePair, StageSide, Stated
from costing.ledger.costs import Columns
from costing.report.words import KEY_WORDS, STAGE_WORDS, figure_word
from costing.terminal import jsonform
from costing.terminal.dayspage import signed
from costing.terminal.jsonform import Json
from costing.terminal.show import DASH, currency_of, figure, money, name_of, percent
from costing.terminal.table import printable, table

HOW = "The difference is taken apart good by good: prices at the recipe of A, the recipe at the prices of B."
WHOLE_WORDS = {
    "pieces": "pieces a batch gives",
    "density": "density",
    "technique": "technique",
    "glass": "glass",
    "kind": "kind of stage",
    "equipment": "equipment",
    "labour": "hands",
    "active": "hands at work, a run",
    "passive": "equipment alone, a run",
    "setup": "setting up, a batch",
}


@dataclass(frozen=True, slots=True)
class Compared:
    """A comparison with the two days' figures; ``of_a`` and ``of_b`` say more of a side ("batch 12 as it was made")."""

    comparison: Comparison
    a: Reckoning
    b: Reckoning
    of_a: str = ""
    of_b: str = ""


def compare_page(found: Compared, revision: int) -> Iterator[str]:
    """A beside B: what they make and cost, every stage, and the split of the difference."""
    c, currency, house = found.comparison, currency_of(found.a), found.a.view.book.house
    yield printable(
        f"{house.name if house else 'no house'}: A beside B, revision {revision}, in {house.currency if house else '?'}"
    )
    yield printable(f"A: {_title(found.a, c.a, found.of_a)}")
    yield printable(f"B: {_title(found.b, c.b, found.of_b)}")
    yield ""
    yield table(("", "A", "B", "B less A"), _whole_rows(c, currency))
    yield from _facts(c.facts, "")
    yield ""
    for number, pair in enumerate(c.stages, 1):
        yield from _stage(found, number, pair, currency)
        yield ""
    yield from _split(found, currency)


def _title(reckoning: Reckoning, side: Side, of: str) -> str:
    return f"{_name(reckoning, side.id)} on {side.day}{f', {of}' if of else ''}"


def _name(reckoning: Reckoning, ident: str) -> str:
    serve = reckoning.view.serves.get(ident)
    return serve[0].name if serve else name_of(reckoning.view, ident)


def _whole_rows(c: Comparison, currency: str) -> Iterator[tuple[str, ...]]:
    a, b, same = c.a, c.b, c.a.base == c.b.base
    if a.made is not None or b.made is not None:
        yield ("a batch makes", _made(a), _made(b), _less(a.made, b.made, 4) if same else DASH)
    whole = c.difference
    for n, layer in enumerate(("materials", "energy", "machine", "labour")):
        columns = [side.cost.columns[n] if side.cost else None for side in (a, b)]
        if any(columns):
            said = ["refused" if v is None else money(v, currency, 2) for v in columns]
            yield (f"{layer} {_unit(c)}", *said, signed(whole[n], currency) if whole else DASH)
    said = [
        "refused" if s.cost is None else ("" if s.cost.complete else ">= ") + money(s.cost.making, currency, 2)
        for s in (a, b)
    ]
    yield (f"with making {_unit(c)}", *said, signed(sum(whole), currency) if whole else DASH)
    for what, x, y in (
        ("alcohol that goes on to the end", a.recovered, b.recovered),
        ("alcohol in by-products", a.kept, b.kept),
    ):
        if x or y:
            yield (what, percent(x, 2), percent(y, 2), _points(x, y))


def _unit(c: Comparison) -> str:
    if c.a.base == c.b.base:
        return f"a {c.a.base or 'drink'}"
    return f"a {c.a.base or 'drink'} of A, a {c.b.base or 'drink'} of B"


def _made(side: Side) -> str:
    return DASH if side.made is None else f"{figure(side.made, 5)} {side.base}"


def _less(x: float | None, y: float | None, places: int) -> str:
    if x is None or y is None:
        return DASH
    text = figure(y - x, places)
    return text if text.startswith("-") or not text.strip("0.") else f"+{text}"


def _points(x: float | None, y: float | None) -> str:
    """A difference of two shares, in percentage points."""
    return DASH if x is None or y is None else f"{_less(100 * x, 100 * y, 2)} points"


def _stage(found: Compared, number: int, pair: StagePair, currency: str) -> Iterator[str]:
    named = dict.fromkeys(f"{STAGE_WORDS.get(s.kind, s.kind)} ({s.stage})" for s in (pair.a, pair.b) if s)
    alone = "" if pair.a and pair.b else ", A alone" if pair.a else ", B alone"
    yield printable(f"{number}. {' beside '.join(named)}{alone}")
    yield table(("goes on", "A", "B", "B less A"), _stage_rows(pair, currency))
    yield from _facts(pair.facts, "   ")
    for i in pair.inputs:
        unit = _base(found, i.source)
        amounts = " -> ".join("none" if v is None else f"{v:.6g} {unit}".strip() for v in (i.a, i.b))
        costs = [None if v is None else v.making for v in (i.cost_a, i.cost_b)]
        prices = " -> ".join("no price" if v is None else money(v, currency, 2) for v in costs)
        said = amounts if i.a != i.b else amounts.partition(" -> ")[0]
        if costs[0] != costs[1] and i.a is not None and i.b is not None:
            said += f" at {prices}"
        name = _name(found.a if i.source in found.a.units else found.b, i.source)
        yield printable(f"   {name}: {said}")


def _base(found: Compared, source: str) -> str:
    unit = found.a.units.get(source) or found.b.units.get(source)
    return unit.base if unit else ""


def _stage_rows(pair: StagePair, currency: str) -> Iterator[tuple[str, ...]]:
    a, b = pair.a, pair.b

    def row(what: str, of: Callable[[StageSide], float | None], places: int) -> tuple[str, ...]:
        x, y = (of(a) if a else None), (of(b) if b else None)
        return (what, figure(x, places), figure(y, places), _less(x, y, places))

    yield row("kg", lambda s: s.kg, 4)
    yield row("litres", lambda s: s.litres, 4)
    if any(s and s.lpa for s in (a, b)):
        yield row("alcohol L", lambda s: s.lpa, 4)
    keys = dict.fromkeys(KEY_WORDS[s.key] for s in (a, b) if s)
    losses = [s.share_lost if s else None for s in (a, b)]
    yield (f"lost of the {' and '.join(keys)}", *(percent(v, 2) for v in losses), _points(*losses))
    told = [
        DASH if s is None else ("" if s.money.complete else ">= ") + money(s.money.making, currency) for s in (a, b)
    ]
    by = signed(b.money.making - a.money.making, currency) if a and b else DASH
    yield ("money so far, the batch", *told, by)
    for what, of in (("hands, min", "hands_min"), ("equipment, h", "machine_h"), ("runs", "runs")):
        if what != "runs" or any(s and s.runs != 1.0 for s in (a, b)):
            x, y = (getattr(s, of) if s else None for s in (a, b))
            if x or y:
                yield (what, figure(x, 2), figure(y, 2), _less(x, y, 2))


def _facts(facts: tuple[FactDiffers, ...], indent: str) -> Iterator[str]:
    for f in facts:
        name = f"share of {f.name.partition('/')[2]}" if f.name.startswith("byproduct/") else f.name
        yield printable(f"{indent}{WHOLE_WORDS.get(name) or figure_word(name)}: {_said(f.a)} -> {_said(f.b)}")


def _said(stated: Stated) -> str:
    if stated is None:
        return "not said"
    if isinstance(stated, str):
        return stated
    marks = [stated.mark, *([stated.how] if stated.how else [])]
    return f"{stated.text.lstrip('~ ')} ({', '.join(marks)})"


def _split(found: Compared, currency: str) -> Iterator[str]:
    c = found.comparison
    if c.parts is None:
        refused = c.a.cost is None or c.b.cost is None
        yield "Nothing to take apart: " + (
            "one of them cannot be costed." if refused else "a unit of A is not a unit of B."
        )
        return
    rows = []
    for p in sorted(c.parts, key=lambda p: -abs(sum(p.prices) + sum(p.recipe))):
        if not any((*p.prices, *p.recipe)) and all(p.priced):
            continue
        costs = [r.costs.get(p.good) if ok else None for r, ok in zip((found.a, found.b), p.priced, strict=True)]
        rows.append(
            (
                _name(found.a if p.good in found.a.view.goods else found.b, p.good),
                f"{p.a:.6g} {_base(found, p.good)}",
                f"{p.b:.6g} {_base(found, p.good)}",
                *("no price" if v is None else money(v.making, currency, 2) for v in costs),
                signed(sum(p.prices), currency),
                signed(sum(p.recipe), currency),
            )
        )
    if not rows:
        yield "A unit of both costs the same, and of the same."
        return
    prices, recipe = sum(c.prices), sum(c.recipe)
    rows.append(("in all", "", "", "", "", signed(prices, currency), signed(recipe, currency)))
    gap = prices + recipe
    yield (
        f"Why one of B costs {money(abs(gap), currency, 2)} {'less' if gap < 0 else 'more'} than one of A, with making"
    )
    yield table(("good", "in one of A", "in one of B", "price A", "price B", "prices", "recipe"), rows)
    yield HOW


def compare_json(found: Compared, revision: int, problems: Iterable[Problem]) -> Json:
    """The document of ``compare``; its day is A's, its problems both sides'."""
    c = found.comparison
    return {
        **jsonform.head("compare", found.a, revision),
        "a": _side_json(c.a, found.of_a),
        "b": _side_json(c.b, found.of_b),
        "facts": [_fact_json(f) for f in c.facts],
        "stages": [
            {
                "a": _stage_json(pair.a),
                "b": _stage_json(pair.b),
                "facts": [_fact_json(f) for f in pair.facts],
                "inputs": [
                    {
                        "source": i.source,
                        "a": i.a,
                        "b": i.b,
                        "unit_cost_a": i.cost_a and jsonform.cost_json(i.cost_a),
                        "unit_cost_b": i.cost_b and jsonform.cost_json(i.cost_b),
                    }
                    for i in pair.inputs
                ],
            }
            for pair in c.stages
        ],
        "difference": None if c.difference is None else _columns(c.difference),
        "prices": None if c.parts is None else _columns(c.prices),
        "recipe": None if c.parts is None else _columns(c.recipe),
        "parts": None
        if c.parts is None
        else [
            {"good": p.good, "a": p.a, "b": p.b, "priced": list(p.priced), "prices": _columns(p.prices),
             "recipe": _columns(p.recipe)}
            for p in c.parts
        ],
        "problems": [jsonform.problem_json(p) for p in problems],
    }  # fmt: skip


def _columns(columns: Columns) -> Json:
    return jsonform.cost_json(Cost(columns))


def _side_json(side: Side, of: str) -> Json:
    return {
        "id": side.id,
        "day": side.day.isoformat(),
        "of": of,
        "unit": side.base or "drink",
        "made": side.made,
        "own_use": side.own_use,
        "cost": None if side.cost is None else jsonform.cost_json(side.cost),
        "at_least": side.cost is None or not side.cost.complete,
        "unpriced": sorted(side.cost.unpriced) if side.cost else [],
        "recovered": side.recovered,
        "kept": side.kept,
    }


def _stage_json(side: StageSide | None) -> Json | None:
    if side is None:
        return None
    figures = ("stage", "kind", "kg", "litres", "lpa", "key", "share_lost", "hands_min", "machine_h", "runs")
    return {
        **{name: getattr(side, name) for name in figures},
        "money": jsonform.cost_json(side.money),
        "at_least": not side.money.complete,
        "inputs": dict(side.inputs),
    }


def _fact_json(differs: FactDiffers) -> Json:
    return {"name": differs.name, "a": _stated_json(differs.a), "b": _stated_json(differs.b)}


def _stated_json(stated: Stated) -> Json | str | None:
    if not isinstance(stated, Fact):
        return stated
    return {"text": stated.text, "value": float(stated.value), "unit": stated.unit, "mark": stated.mark,
            "how": stated.how}  # fmt: skip
