"""What ``scenario --json`` prints, form 1.0: figures in full precision, money in the house's currency.

``scenario``: {"stillroom": "scenario", "form", ..., "periods": [{"id", "from", "to"}], "days", "before": figures,
"scenarios": [{"name", "supposed": [{"text", "sort", "target", "part", "how", "value", "name", "unit", "before",
"after", "count", "until"}], "after": figures, "difference", "lost": [{"serve", "fault", "goods"}], "problems",
"bridge": {"before", "after", "parts" by name, "items": [{"key", "name", "parts"}], "pour_cost": [{"after", "is"}],
"doubtful", "sentence"}}], "rows": [{"key", "serve", "name", "menu", "section", "before": figures, "after": [figures by
scenario]}]}. Figures: {"sold", "cost", "net", "with_making", "margin", "pour_cost", "spent", "taken", "earned",
"at_least"}.
``breakeven``: {"stillroom": "breakeven", ..., "rows": [{"serve", "menu", "section", "net", "cost", "may_cost",
"unpriced", "goods": [{"good", "amount", "pack", "currency", "price", "unit_price", "target" and "nothing": {"pack",
"unit_price", "move"} or null}]}]}.
``tornado``: {"stillroom": "tornado", ..., "by", "serve" ("" for the menu), "whole", "at_least", "bars": [{"key",
"name", "money", "down", "up", "swing"}]}.
``moved``: {"stillroom": "moved", ..., "sides": [{"from", "to", "days", "costs_of", "periods": [id], "sold", "earned"}],
"bridge" as above}.
"""

from collections.abc import Iterable
from dataclasses import asdict
from datetime import date

from costing.book.book import Book
from costing.book.selling import Scenario, Supposed
from costing.edits.supposed_text import supposed_text
from costing.menu.breakeven import BreakEven, BreakEvens, Reach
from costing.menu.bridge import Bridge
from costing.menu.bridge_mix import bridge_of
from costing.menu.bridge_words import sentence
from costing.menu.compare import Comparison, Figures, Under, difference
from costing.menu.supposed_base import Laid
from costing.menu.tornado import Tornado
from costing.terminal.jsonform import Json, head, problem_json
from costing.terminal.show import currency_of


def scenario_json(scenario: Scenario, book: Book, day: date) -> Json:
    """A kept scenario."""
    return {
        "id": scenario.id, "name": scenario.name, "since": scenario.since.isoformat(), "note": scenario.note,
        "supposed": [_supposed(s, book, day) for s in scenario.supposed],
    }  # fmt: skip


def comparison_json(found: Comparison, revision: int) -> Json:
    """Scenarios side by side."""
    base = found.base
    return {
        **head("scenario", base.reckoning, revision),
        "periods": [{"id": p.id, "from": p.since.isoformat(), "to": p.until.isoformat()} for p in base.mix.periods],
        "days": base.mix.days,
        "before": _figures(found.before),
        "scenarios": [_scenario(found, n, other) for n, other in enumerate(found.others)],
        "rows": [
            {"key": r.key, "serve": r.serve, "name": r.name, "menu": r.menu, "section": r.section,
             "before": _figures(r.before), "after": [_figures(f) for f in r.after]}
            for r in found.rows
        ],
    }  # fmt: skip


def _scenario(found: Comparison, n: int, other: Under) -> Json:
    view = found.base.reckoning.view
    return {
        "name": other.name,
        "supposed": [_laid(one, view.book, view.day) for one in (other.overlay.laid if other.overlay else ())],
        "after": _figures(found.after[n]),
        "difference": asdict(difference(found.before, found.after[n])),
        "lost": [{"serve": x.serve, "fault": x.fault, "goods": list(x.goods)} for x in found.lost[n]],
        "problems": [problem_json(p) for p in other.wrong],
        "bridge": bridge_json(bridge_of(found.base, other), currency_of(found.base.reckoning)),
    }


def _supposed(supposed: Supposed, book: Book, day: date) -> Json:
    return {
        "text": supposed_text(supposed, book, day), "sort": supposed.sort, "target": supposed.target,
        "part": supposed.part, "how": supposed.how, "value": float(supposed.value),
    }  # fmt: skip


def _laid(laid: Laid, book: Book, day: date) -> Json:
    return {
        **_supposed(laid.supposed, book, day), "name": laid.name, "unit": laid.unit,
        "before": None if laid.before is None else float(laid.before),
        "after": None if laid.after is None else float(laid.after), "count": laid.count,
        "until": None if laid.until is None else laid.until.isoformat(),
    }  # fmt: skip


def _figures(found: Figures) -> Json:
    return {
        "sold": found.sold, "cost": found.cost, "net": found.net, "with_making": found.making, "margin": found.margin,
        "pour_cost": found.pour_cost, "spent": found.spent, "taken": found.taken, "earned": found.earned,
        "at_least": not found.complete,
    }  # fmt: skip


def bridge_json(found: Bridge, currency: str) -> Json:
    """A bridge with its parts, drink by drink too, and in a sentence."""
    return {
        "before": float(found.before), "after": float(found.after),
        "parts": {part.code: float(part.money) for part in found.parts},
        "items": [{"key": i.key, "name": i.name, "parts": {p.code: float(p.money) for p in i.parts}}
                  for i in found.items],
        "pour_cost": [{"after": s.code, "is": None if s.at is None else float(s.at)} for s in found.walk],
        "doubtful": list(found.doubtful), "sentence": sentence(found, currency),
    }  # fmt: skip


def breakeven_json(base: Under, found: Iterable[BreakEvens], revision: int) -> Json:
    """Break-even prices of a drink."""
    return {
        **head("breakeven", base.reckoning, revision),
        "rows": [
            {"serve": f.serve, "menu": f.menu, "section": f.section, "net": float(f.net), "cost": f.cost,
             "may_cost": f.most, "unpriced": list(f.unpriced), "goods": [_even(good) for good in f.goods]}
            for f in found
        ],
    }  # fmt: skip


def _even(good: BreakEven) -> Json:
    return {
        "good": good.good, "amount": good.amount, "pack": good.pack, "currency": good.currency,
        "price": None if good.price is None else float(good.price), "unit_price": good.per_base,
        "target": _reach(good.target), "nothing": _reach(good.nothing),
    }  # fmt: skip


def _reach(reach: Reach | None) -> Json | None:
    if reach is None:
        return None
    pack = None if reach.pack is None else float(reach.pack)
    return {"pack": pack, "unit_price": reach.per_base, "move": reach.move}


def tornado_json(base: Under, serve: str, found: Tornado, revision: int) -> Json:
    """Which price moves a drink, or the menu."""
    return {
        **head("tornado", base.reckoning, revision), "by": found.by, "serve": serve, "whole": found.whole,
        "at_least": not found.complete, "bars": [asdict(bar) for bar in found.bars],
    }  # fmt: skip
