"""What ``days`` prints: a cost on many days, what moved it and by how much; and the same as JSON.

``days``: {"stillroom": "days", "form": "1.0", ..., "item", "kind", "from", "to", "moved_at": "prices-at-new-recipe",
"points": [{"day", "cost" by layer with "with_making" and "base" (null where it cannot be costed), "at_least",
"unpriced", "base": [layers], "printed": [{"menu", "section", "all_in", "net", "pour_cost", "margin"}], "moved" (null at
the first point), "problems"}], "problems"}. "moved" has "from", "to", "difference" by layer, "base_difference",
"rebased" and "parts": [{"why", "source", "amount", "money" by layer, "before" and "after" ({"quote", "since",
"unit_price"} or null), "versions": [first day before, after], "took": [{"source", "before", "after", "money",
"own_line"}]}]. The parts' money adds up to "difference", and with "rebased" to "base_difference".
"""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal

from costing.book.book import View
from costing.book.records import LAYERS, Layer
from costing.ledger import Cost, Reckoning
from costing.ledger.prices import UnitPrice
from costing.pricing.days import CostHistory, Point, Printed
from costing.pricing.days_moves import BASE, Bridge, Move, Took
from costing.report.words import layer_word, line_of
from costing.terminal import jsonform
from costing.terminal.jsonform import FORM, Json
from costing.terminal.show import DASH, currency_of, money, name_of, pack_text, percent
from costing.terminal.table import printable, table

HOW = (
    "The parts of a move add up to it. A price's change is taken at the recipe after it, a recipe's at the prices "
    "before it;\nwhat had no price before stands at its new one, and what has no price counts nothing and says so."
)
WHY_MOVED = {
    "quote": "{name}",
    "terms": "{name}: tax the house gets back",
    "priced": "{name}: has a price now",
    "no-price": "{name}: no price any more",
    "rate": "{name}: its currency is worth something else",
    "recipe": "recipe of {name}",
    "follows": "{name}: takes another amount of what changed below it",
    "begins": "{name}: costed from here",
    "ends": "{name}: cannot be costed any more",
}


def days_page(reckoning: Reckoning, history: CostHistory, revision: int) -> Iterator[str]:
    """The cost day by day, then what moved it. ``reckoning`` is of the last day, for names and currency."""
    view, currency = reckoning.view, currency_of(reckoning)
    house = view.book.house
    yield printable(
        f"{house.name if house else 'no house'}: cost of {_name(view, history.item)} a {_unit(reckoning, history)} "
        f"from {history.first} to {history.last}, revision {revision}, in {house.currency if house else '?'}"
    )
    yield ""
    if not history.points:
        yield "It is not in the book on any of these days."
        return
    head = ("from", "cost", "with making", "moved", "printed", "net", "pour cost", "cost counts")
    yield table(head, (_row(p, currency) for p in history.points))
    yield ""
    for point in history.points:
        for fault in point.faults:
            yield printable(f"{point.day}: {line_of(fault)}")
        if point.moved is not None and (point.moved.moves or point.moved.rebased):
            yield from bridge_text(reckoning, point.moved)
            yield ""
    if any(p.moved and p.moved.moves for p in history.points):
        yield HOW


def _row(point: Point, currency: str) -> tuple[str, ...]:
    least = "" if point.complete else ">= "
    cost = point.cost
    prices = {(p.all_in, p.net, p.pour_cost): p for p in point.printed}.values()

    def each(what: str) -> str:
        return " / ".join(_printed(p, what, currency, least) for p in prices) or DASH

    return (
        str(point.day),
        DASH if cost is None or point.base is None else least + money(point.base, currency, 2),
        DASH if cost is None else least + money(cost.making, currency, 2),
        DASH if point.moved is None else signed(point.moved.base_difference, currency),
        each("all_in"),
        each("net"),
        each("pour_cost"),
        _layers(point.layers),
    )


def _printed(price: Printed, what: str, currency: str, least: str) -> str:
    if what == "pour_cost":
        return DASH if price.pour_cost is None else least + percent(price.pour_cost)
    return money(price.all_in if what == "all_in" else price.net, currency)


def bridge_text(reckoning: Reckoning, bridge: Bridge) -> Iterator[str]:
    """One bridge: the move, and a table of its parts."""
    view, currency, layers = reckoning.view, currency_of(reckoning), bridge.layers[1]
    yield (
        f"{bridge.day_b}: {_cost(bridge.before, bridge.layers[0], currency)} -> "
        f"{_cost(bridge.after, layers, currency)}, moved {signed(bridge.base_difference, currency)}"
        + (f" with making {signed(sum(bridge.difference), currency)}" if len(layers) < len(LAYERS) else "")
    )
    rows: list[tuple[str, ...]] = []
    if bridge.rebased:
        rows.append((f"cost counts {_layers(layers)} now", "", "", "", signed(bridge.rebased, currency), ""))
    same = [m for m in bridge.moves if m.why == "quote" and not any(m.columns)]
    for move in sorted((m for m in bridge.moves if m not in same), key=lambda m: (-abs(m.of(layers)), -abs(m.making))):
        rows.append(
            (
                WHY_MOVED[move.why].format(name=_name(view, move.source)),
                _amount(view, reckoning, move),
                *_from_to(move, currency),
                signed(move.of(layers), currency),
                signed(move.making, currency),
            )
        )
        rows += [_took(reckoning, took, layers, currency) for took in move.took]
    if rows:
        yield table(("what moved it", "of it in one", "before", "after", "cost", "with making"), rows)
    if same:
        yield printable(f"asked anew at the same price: {', '.join(_name(view, m.source) for m in same)}")


def _took(reckoning: Reckoning, took: Took, layers: tuple[Layer, ...], currency: str) -> tuple[str, ...]:
    part = sum(took.columns[LAYERS.index(layer)] for layer in layers)
    own = ", at its new price" if took.own_line else ""
    name = f"  {_name(reckoning.view, took.source)}{own}"
    said = (f"{took.before:.6g}", f"{took.after:.6g}", signed(part, currency), signed(sum(took.columns), currency))
    return (name, _base(reckoning, took.source), *said)


def _from_to(move: Move, currency: str) -> tuple[str, str]:
    if move.why in ("recipe", "follows"):
        a, b = move.since
        return ("", "") if a == b else (_of_day(a), _of_day(b))
    if move.why in ("begins", "ends"):
        return "", ""
    return _asked(move.before, currency), _asked(move.after, currency)


def _of_day(since: date | None) -> str:
    return DASH if since is None else f"of {since}"


def _asked(price: UnitPrice | None, currency: str) -> str:
    if price is None:
        return "no price"
    return f"{money(price.quote.price, currency)} for {pack_text(price.quote)}, {money(price.per_base, currency, 2)}"


def _amount(view: View, reckoning: Reckoning, move: Move) -> str:
    return "" if move.source in view.serves else f"{move.amount:.6g} {_base(reckoning, move.source)}"


def _base(reckoning: Reckoning, source: str) -> str:
    unit = reckoning.units.get(source)
    return unit.base if unit else ""


def _unit(reckoning: Reckoning, history: CostHistory) -> str:
    return "drink" if history.kind == "serve" else _base(reckoning, history.item)


def _name(view: View, source: str) -> str:
    return view.serves[source][0].name if source in view.serves else name_of(view, source)


def _layers(layers: tuple[Layer, ...]) -> str:
    return " + ".join(map(layer_word, layers))


def _cost(cost: Cost | None, layers: tuple[Layer, ...], currency: str) -> str:
    if cost is None:
        return "not costed"
    return ("" if cost.complete else ">= ") + money(cost.of(layers), currency, 2)


def signed(value: float | Decimal, currency: str) -> str:
    """A difference in money with its sign, two places more than the currency's."""
    text = money(value, currency, 2)
    return text if text.startswith("-") or not text.strip("0.,") else f"+{text}"


def days_json(reckoning: Reckoning, history: CostHistory, revision: int) -> Json:
    """The document of ``days``."""
    return {
        **jsonform.head("days", reckoning, revision),
        "form": FORM,
        "item": history.item,
        "kind": history.kind,
        "from": history.first.isoformat(),
        "to": history.last.isoformat(),
        "moved_at": BASE,
        "points": [_point_json(p) for p in history.points],
        "problems": [jsonform.problem_json(p) for p in reckoning.problems],
    }


def _point_json(point: Point) -> Json:
    cost = point.cost
    return {
        "day": point.day.isoformat(),
        "cost": None if cost is None else {**jsonform.cost_json(cost), "base": point.base},
        "at_least": not point.complete,
        "unpriced": sorted(cost.unpriced) if cost else [],
        "base": list(point.layers),
        "printed": [
            {
                "menu": p.menu,
                "section": p.section,
                "all_in": float(p.all_in),
                "net": float(p.net),
                "pour_cost": None if p.pour_cost is None else float(p.pour_cost),
                "margin": None if p.margin is None else float(p.margin),
            }
            for p in point.printed
        ],
        "moved": None if point.moved is None else bridge_json(point.moved),
        "problems": [jsonform.problem_json(p) for p in point.faults],
    }


def bridge_json(bridge: Bridge) -> Json:
    """A bridge in full precision."""
    return {
        "from": bridge.day_a.isoformat(),
        "to": bridge.day_b.isoformat(),
        "difference": jsonform.cost_json(Cost(bridge.difference)),
        "base_difference": bridge.base_difference,
        "rebased": bridge.rebased,
        "parts": [
            {
                "why": move.why,
                "source": move.source,
                "amount": move.amount,
                "money": jsonform.cost_json(Cost(move.columns)),
                "before": _price_json(move.before),
                "after": _price_json(move.after),
                "versions": [None if d is None else d.isoformat() for d in move.since],
                "took": [
                    {
                        "source": t.source,
                        "before": t.before,
                        "after": t.after,
                        "money": jsonform.cost_json(Cost(t.columns)),
                        "own_line": t.own_line,
                    }
                    for t in move.took
                ],
            }
            for move in bridge.moves
        ],
    }


def _price_json(price: UnitPrice | None) -> Json | None:
    if price is None:
        return None
    return {"quote": price.quote.id, "since": price.quote.since.isoformat(), "unit_price": price.per_base}
