"""The menu judged as JSON.

``classes``: {"stillroom": "classes", "form": "1.0", "house", "currency", "day", "revision", "base", "rule": {"cut",
"tie", "unsold", "variable", "sure"}, "periods": [{"id", "since", "until"}], "weeks", "without_a_menu": [names],
"joined": [{"menu", "sold"}] (sold from a menu that does not print the drink on the day), "sections": [...],
"problems": [...]}. A section has "menu", "section", "why" (why it has no classes, else ""), "totals" by the published
letters (n N I J K M O Q), "margin_band" [5 %, mean, 95 %] and "enough" (sold), "unpriced": [names] and "methods" (their
cuts) and "drinks": {"id", "name", "sold", "share", "share_95", "cost", "at_least" (a component has no price), "net",
"margin", "class", "state" (sure, borderline, few), "new" (the day it came on the menu, where that is after the sales
began), "chances" by class (null where it is not counted), "needed" (sold in the section, null where no number tells),
"spread" (mean, variances and covariance of sold and margin), "action", "reasons": [{"code", figures}], "methods":
{method: {"cell", "reading", "figures", "rank"}}, "agree": {"same", "of", "reading"}}. "without" (null unless a drink is
thought away): {"gone": [ids], "margin_lost", "margin_spread", "moved": [{"id", "before", "after"}], "totals"}.
"""

from collections.abc import Sequence
from datetime import date

from costing.book.selling import Judging
from costing.ledger import Reckoning
from costing.menu.engineer import Engineered
from costing.menu.judged import Judged, Section, without
from costing.menu.leaving import Leaving
from costing.menu.mix import Item, Mix
from costing.terminal import jsonform
from costing.terminal.jsonform import Json

LETTERS = ("n", "N", "I", "J", "K", "M", "O", "Q")


def classes_document(
    reckoning: Reckoning, mix: Mix, judging: Judging, sections: Sequence[Section], gone: frozenset[str], revision: int
) -> Json:
    """The menu judged, in full precision; ``gone`` are ids of drinks that are thought away."""
    return {
        **jsonform.head("classes", reckoning, revision),
        "rule": {
            "cut": float(judging.cut), "tie": judging.tie, "unsold": judging.unsold,
            "variable": float(judging.variable), "sure": float(judging.sure),
        },
        "periods": [{"id": p.id, "since": p.since.isoformat(), "until": p.until.isoformat()} for p in mix.periods],
        "weeks": mix.weeks,
        "without_a_menu": list(mix.without),
        "joined": [{"menu": menu, "sold": count} for menu, count in mix.joined],
        "sections": [{**_section_json(s), "without": _without_json(s, judging, gone)} for s in sections],
        "problems": [jsonform.problem_json(p) for p in reckoning.problems],
    }  # fmt: skip


def _totals(found: Engineered) -> Json:
    return {letter: getattr(found, letter) for letter in LETTERS}


def _section_json(section: Section) -> Json:
    band = section.margin_band
    return {
        "menu": section.menu,
        "section": section.name,
        "why": section.why,
        "totals": _totals(section.engineered),
        "margin_band": None if band is None else [band.low, band.mean, band.high],
        "enough": section.enough,
        "complete": section.complete,
        "unpriced": [item.name for item in section.unpriced],
        "methods": {m.code: list(m.cuts) for m in section.methods},
        "drinks": [_drink_json(d) for d in section.drinks],
    }


def _drink_json(drink: Judged) -> Json:
    row, spot, item = drink.row, drink.spot, drink.item
    return {
        **_named(item),
        "sold": row.sold,
        "share": row.mix,
        "share_95": list(drink.share),
        "cost": row.cost,
        "at_least": not item.complete,
        "net": row.price,
        "margin": row.margin,
        "class": drink.klass,
        "state": drink.state,
        "new": None if drink.new is None else drink.new.isoformat(),
        "chances": None if spot is None else dict(spot.chances),
        "needed": drink.needed,
        "spread": None if spot is None else {
            "sold": spot.sold, "margin": spot.margin, "sold_var": spot.sold_var, "margin_var": spot.margin_var,
            "cov": spot.cov,
        },
        "action": drink.advice.action,
        "reasons": [
            {"code": r.code, **{n: v.isoformat() if isinstance(v, date) else v for n, v in r.figures.items()}}
            for r in drink.advice.reasons
        ],
        "methods": {
            code: {"cell": c.cell, "reading": c.reading, "figures": list(c.figures), "rank": c.rank}
            for code, c in drink.agreement.cells.items()
        },
        "agree": {"same": drink.agreement.same, "of": drink.agreement.of, "reading": drink.agreement.reading},
    }  # fmt: skip


def _named(item: Item) -> Json:
    return {"id": item.serve, "name": item.name}


def _without_json(section: Section, judging: Judging, gone: frozenset[str]) -> Json | None:
    if not section.drinks or not gone & {item.serve for item in section.items}:
        return None
    left: Leaving = without(section, judging, gone)
    return {
        "gone": [item.serve for item in section.items if item.serve in gone],
        "margin_lost": left.lost.M,
        "margin_spread": left.spread.M,
        "moved": [{"id": section.items[m.index].serve, "before": m.before, "after": m.after} for m in left.moved],
        "totals": _totals(left.lost),
    }
