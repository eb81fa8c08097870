"""The JSON that ``--json`` prints: form 1.0, figures in full precision, money as numbers in the house's currency.

``cost``: {"stillroom": "cost", "form": "1.0", "house", "currency", "day", "revision", "base": [layers],
"serves": [...], "preparations": [...], "goods": [...], "problems": [...]}. A serve has "cost" by layer with
"with_making" and "base", "at_least" and "unpriced", "volume_l", "abv", "balance" (litres, abv, ethanol_g, drinks,
sugar_g_l, acid_g_l, so2_mg_l, co2_g_l; null where the volume is not known), "price" and "suggestion" (null where
there is none), "assumed_share". A preparation has "made" base units a batch, "cost" per base unit, "abv", "lost" money
a batch. With ``--item`` it has "why", the trail of its cost, and "range" (``costing.terminal.rangepage``; null where
none can be told).
``ledger``: {"stillroom": "ledger", ..., "lines": [{"stage", "kind", "in": [...], "out": [...], "key", "share_lost",
"money", "of_this_lost", "stood_on", "deviations", "runs"}], "outputs": [...], "problems": [...]}. Masses in kg,
volumes in litres at 20 C, strengths as fractions.
``allergens``: {"stillroom": "allergens", ..., "items": {id: [{"code", "name", "state", "reasons"}]}}.
``history``: {"stillroom": "history", "entries": [...]}.
"""

import dataclasses
from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from costing.book.history import Row
from costing.book.problem import Problem
from costing.book.records import LAYERS, House
from costing.ledger import Cost, Ledger, Line, Matter, Reason, Reckoning, Stream
from costing.ledger.allergens import Finding
from costing.ledger.balance import Balance, balance_of
from costing.pricing import Candidate, PricedServe, Suggestion
from costing.report.words import sentence

FORM = "1.0"
Json = dict[str, Any]


def head(what: str, reckoning: Reckoning, revision: int) -> Json:
    """What every document starts with."""
    house, terms = reckoning.view.book.house, reckoning.view.terms
    return {
        "stillroom": what,
        "form": FORM,
        "house": house.name if house else "",
        "currency": house.currency if house else "",
        "day": reckoning.view.day.isoformat(),
        "revision": revision,
        "base": list(terms.base) if terms else ["materials"],
    }


def cost_document(reckoning: Reckoning, serves: list[PricedServe], wanted: set[str] | None, revision: int) -> Json:
    """Costs of serves, preparations and goods; ``wanted`` limits them to ids."""

    def take(ident: str) -> bool:
        return wanted is None or ident in wanted

    return {
        **head("cost", reckoning, revision),
        "serves": [_serve(s, reckoning.view.book.house) for s in serves if take(s.serve.id)],
        "preparations": [
            {"id": ident, "name": reckoning.view.preparations[ident][0].name, **_preparation(reckoning, ledger)}
            for ident, ledger in reckoning.ledgers.items()
            if take(ident)
        ],
        "goods": [_good(reckoning, ident) for ident in reckoning.view.goods if take(ident)],
        "problems": [problem_json(p) for p in reckoning.problems],
    }


def cost_json(cost: Cost) -> Json:
    """A cost by layer."""
    return {**dict(zip(LAYERS, cost.columns, strict=True)), "with_making": cost.making}


def _open_end(cost: Cost) -> Json:
    return {"at_least": not cost.complete, "unpriced": sorted(cost.unpriced)}


def _balance(balance: Balance | None) -> Json | None:
    return None if balance is None else dataclasses.asdict(balance)


def allergens_json(findings: Iterable[Finding]) -> list[Json]:
    """Allergens of one item, each with all its reasons."""
    return [
        {
            "code": f.name,
            "name": f.says,
            "state": f.state,
            "reasons": [
                {
                    "state": r.state,
                    "source": r.source,
                    "path": list(r.path),
                    "who": r.statement.who if r.statement else "",
                    "label": r.statement.label if r.statement else "",
                }
                for r in f.reasons
                if r.state != "free"
            ],
        }
        for f in findings
    ]


def _serve(priced: PricedServe, house: House | None) -> Json:
    on = priced.line.on.matter if priced.line else None
    volume = on.volume() if on else None
    return {
        "id": priced.serve.id,
        "name": priced.serve.name,
        "menu": priced.menu,
        "section": priced.section,
        "cost": {**cost_json(priced.cost), "base": priced.base},
        **_open_end(priced.cost),
        "volume_l": volume,
        "abv": on.abv if on else None,
        "solubles_g_per_l": 1000.0 * on.solubles / volume if on and volume else None,
        "balance": _balance(balance_of(priced.line, house)) if priced.line else None,
        "price": _candidate(priced.price, priced.line is not None, priced.cost.complete),
        "suggestion": _suggestion(priced.suggestion),
        "on_target": priced.on_target,
        "break_even_volume": _number(priced.move_volume),
        "assumed_share": priced.assumed_share,
    }


def _number(value: Decimal | None) -> float | None:
    return None if value is None else float(value)


def _candidate(c: Candidate | None, costed: bool = True, complete: bool = True) -> Json | None:
    """A price; without cost figures where nothing was costed, and without a margin where it would be "at most"."""
    if c is None:
        return None
    return {
        "all_in": float(c.all_in),
        "net": float(c.net),
        "pour_cost": _number(c.pour_cost) if costed else None,
        "margin": float(c.margin) if costed and complete else None,
    }


def _suggestion(s: Suggestion | None) -> Json | None:
    if s is None:
        return None
    return {
        "target": {"kind": s.policy.kind, "value": float(s.policy.value)},
        "needed_net": float(s.needed_net),
        "needed_all_in": float(s.needed_all_in),
        "at": _candidate(s.at),
        "lower": _candidate(s.lower),
        "gives_away": _number(s.gives_away),
    }


def _preparation(reckoning: Reckoning, ledger: Ledger) -> Json:
    return {
        "refused": ledger.refused,
        "outputs": [
            {
                "id": output.id,
                "base": output.unit.base,
                "made": output.made,
                "own_use": output.own_use,
                "cost": cost_json(reckoning.money(output.direct.row)),
                **_open_end(reckoning.money(output.direct.row)),
                **_matter(output.unit.matter * output.made if output.unit.matter else None),
                "lost": reckoning.lost_money(output.direct) * output.made,
                "assumed_share": reckoning.assumed_share(output.direct),
            }
            for output in ledger.outputs.values()
        ],
    }


def _good(reckoning: Reckoning, ident: str) -> Json:
    good, price = reckoning.view.goods[ident], reckoning.prices.get(ident)
    return {
        "id": ident,
        "name": good.name,
        "base": good.base,
        "layer": good.layer,
        "unit_cost": price.per_base if price else None,
        "quote": price.quote.id if price else None,
        "supplier": price.quote.supplier if price else None,
        "since": price.quote.since.isoformat() if price else None,
    }


def problem_json(p: Problem) -> Json:
    """A Problem as code, figures and sentence."""
    return {"code": p.code, "level": p.level, "where": p.where, "detail": dict(p.detail), "text": sentence(p)}


def _matter(matter: Matter | None) -> Json:
    if matter is None:
        return {"mass": None, "volume_l": None, "abv": None}
    return {
        "mass": matter.mass,
        "ethanol": matter.ethanol,
        "water": matter.water,
        "solubles": matter.solubles,
        "insolubles": matter.insolubles,
        "gas": matter.gas,
        "volume_l": matter.volume(),
        "abv": matter.abv,
    }


def _stream(s: Stream) -> Json:
    return {"name": s.name, "source": s.source, "fate": s.fate, **_matter(s.matter), "row": dict(s.row)}


def ledger_document(reckoning: Reckoning, ledger: Ledger, revision: int) -> Json:
    """The loss ledger of one preparation."""
    preparation = reckoning.view.preparations[ledger.id][0]
    return {
        **head("ledger", reckoning, revision),
        "preparation": ledger.id,
        "name": preparation.name,
        "lines": [_line(reckoning, line) for line in ledger.lines],
        **_preparation(reckoning, ledger),
        "problems": [problem_json(p) for p in ledger.problems],
    }


def _line(reckoning: Reckoning, line: Line) -> Json:
    return {
        "stage": line.stage,
        "kind": line.kind,
        "in": [_stream(s) for s in line.ins],
        "out": [_stream(s) for s in line.outs],
        "key": line.key,
        "share_lost": line.share_lost,
        "money": cost_json(reckoning.money(line.carried.row)),
        **_open_end(reckoning.money(line.carried.row)),
        "of_this_lost": reckoning.lost_money(line.carried),
        "lost_here": reckoning.lost_here(line),
        "stood_on": [{"figure": n, "value": v, "mark": m} for n, v, m in line.stood_on],
        "deviations": [
            {"reading": d.reading, "measured": d.measured, "predicted": d.predicted, "by": d.by}
            for d in line.deviations
        ],
        "notes": dict(line.notes),
        "runs": line.runs,
    }


def why_json(reason: Reason) -> Json:
    """One row of a trail."""
    return {
        "depth": reason.depth,
        "source": reason.source,
        "amount": reason.amount,
        "base": reason.base,
        "money": reason.money,
        "quote": reason.quote.id if reason.quote else None,
        "problem": reason.problem or None,
    }


def history_document(rows: tuple[Row, ...], undo: str | None, redo: str | None) -> Json:
    """The day book."""
    return {
        "stillroom": "history",
        "form": FORM,
        "undo": undo,
        "redo": redo,
        "entries": [
            {
                "seq": row.seq,
                "act": row.act,
                "of": row.of,
                "at": row.at,
                "who": row.who,
                "text": row.code,
                "records": [f"{c.kind}/{c.id}" for c in row.changes],
            }
            for row in rows
        ],
    }
