"""Hours, the best mix, whole batches and make or buy as JSON.

``capacity``: {"stillroom": "capacity", "form": "1.0", ..., "weeks", "periods", "varying" (layers in the margins),
"resources": [{"id", "name", "hours", "used", "slack", "wanted", "worth", "up_to" (null: no end), "costs" (null: none
can be spared), "down_to"}], "unsaid": [{"id", "name", "wanted", "machines"}], "drinks": [{"id", "serve", "name",
"margin", "asked", "best", "short", "by_margin_each", "hours", "per_hour" by resource (null: needs none)}], "margin",
"margin_by_margin_each", "batches" (null unless asked for): {"margin", "bound", "proven", "used", "runs": [{"id",
"name", "count", "spoils", "left"}], "drinks": [{"id", "made"}]}, "make_or_buy" (null unless asked for), "at_most",
"not_followed", "without_price", "without_a_menu", "problems"}.
"""

from dataclasses import asdict
from math import isinf

from costing.ledger import Reckoning
from costing.menu.batches_mix import BatchMix
from costing.menu.capacity import BestMix, Use
from costing.menu.capacity_rank import ranked
from costing.menu.capacity_rows import VARYING, Capacity
from costing.menu.makebuy import MakeOrBuy
from costing.menu.mix import Mix
from costing.terminal import jsonform
from costing.terminal.jsonform import Json


def capacity_document(
    reckoning: Reckoning,
    mix: Mix,
    found: Capacity,
    best: BestMix,
    batched: BatchMix | None,
    bought: MakeOrBuy | None,
    revision: int,
) -> Json:
    """All of it, in full precision."""
    each = {m.product.key: m.amount for m in best.each}
    rates = {r.key: {row.product.key: row.per_hour for row in ranked(found.products, r.key)} for r in found.resources}
    return {
        **jsonform.head("capacity", reckoning, revision),
        "weeks": found.weeks,
        "periods": [{"id": p.id, "since": p.since.isoformat(), "until": p.until.isoformat()} for p in mix.periods],
        "varying": list(VARYING),
        "resources": [_use(u) for u in best.uses],
        "unsaid": [asdict(u) for u in found.unsaid],
        "drinks": [
            {
                "id": m.product.key, "serve": found.serves[m.product.key], "name": m.product.name,
                "margin": m.product.margin, "asked": m.product.demand, "best": m.amount, "short": m.short,
                "by_margin_each": each[m.product.key], "hours": dict(m.product.hours),
                "per_hour": {key: _finite(rate[m.product.key]) for key, rate in rates.items()},
            }
            for m in best.made
        ],
        "margin": best.margin,
        "margin_by_margin_each": best.margin_each,
        "batches": None if batched is None else _batches(batched),
        "make_or_buy": None if bought is None else _bought(bought),
        "at_most": list(found.at_most),
        "not_followed": list(found.not_followed),
        "without_price": list(found.without_price),
        "without_a_menu": list(mix.without),
        "problems": [jsonform.problem_json(p) for p in reckoning.problems],
    }  # fmt: skip


def _use(u: Use) -> Json:
    return {
        "id": u.resource.key, "name": u.resource.name, "hours": u.resource.hours, "used": u.used, "slack": u.slack,
        "wanted": u.wanted, "worth": u.worth, "up_to": _finite(u.up_to), "costs": u.costs, "down_to": u.down_to,
    }  # fmt: skip


def _batches(found: BatchMix) -> Json:
    return {
        "margin": found.margin,
        "bound": found.bound,
        "proven": found.proven,
        "used": dict(found.used),
        "runs": [
            {"id": r.batch.key, "name": r.batch.name, "count": r.count, "spoils": r.count * r.batch.spoils,
             "left": dict(r.left)}
            for r in found.runs
        ],
        "drinks": [{"id": m.product.key, "made": m.amount} for m in found.made],
    }  # fmt: skip


def _bought(found: MakeOrBuy) -> Json:
    return {
        "preparation": found.preparation, "base": found.base, "offered": found.offered, "marginal": found.marginal,
        "scarce": found.scarce, "waste": found.waste, "takes": found.takes, "saves": found.saves,
        "without_scarcity": found.without_scarcity, "full": found.full, "hours": dict(found.hours),
        "verdict": found.verdict, "unpriced": sorted(found.unpriced), "byproducts": list(found.byproducts),
    }  # fmt: skip


def _finite(value: float) -> float | None:
    return None if isinf(value) else value
