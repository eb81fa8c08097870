"""The JSON of ``reprice``.

{"stillroom": "reprice", "form": "1.0", ..., "menu", "section", "weeks", "since" and "until" of the sales, "aim":
{"kind", "value", "needed_net"}, "goal", "met", "possible", "proven", "gap", "change", "before" and "after": {"net",
"cost", "margin", "pour_cost"}, "lines": [{"key", "name", "sold", "held", "old" and "new": {"all_in", "net",
"pour_cost", "margin"}, "change", "rise", "break_even_volume", "stopped": [kinds of limit]}], "break_even_volume",
"volumes": [{"changed", "net", "cost", "margin", "pour_cost", "gain"}], "everything": {"steps", "change", "changed",
"met", "net", "cost", "margin", "pour_cost"}, "relaxed": [{"limit", "reaches", "needs", "after" (null where no prices
keep the other limits), "lines"}], "doubts": [{"code", "names"}]}. Prices are all-in, shares fractions.
"""

from collections.abc import Sequence
from decimal import Decimal

from costing.menu.mix import Mix
from costing.menu.reprice_record import Doubt, Repricing, Totals
from costing.menu.reprice_volumes import AtVolumes, break_even
from costing.pricing.suggest import Candidate
from costing.terminal.jsonform import Json


def reprice_json(
    menu: str,
    section: str | None,
    mix: Mix,
    found: Repricing,
    supposed: Sequence[AtVolumes],
    doubts: Sequence[Doubt],
) -> Json:
    """What stands in the document beside its head."""
    even = break_even(found)
    return {
        "menu": menu, "section": section, "weeks": mix.weeks,
        "since": mix.periods[0].since.isoformat() if mix.periods else None,
        "until": mix.periods[-1].until.isoformat() if mix.periods else None,
        "aim": {"kind": found.aim.kind, "value": float(found.aim.value), "needed_net": float(found.needed)},
        "goal": found.goal, "met": found.met, "possible": found.possible, "proven": found.proven,
        "gap": _float(found.gap), "change": float(found.change), "before": _sums(found.before),
        "after": _sums(found.after),
        "lines": [
            {
                "key": line.row.key, "name": line.row.name, "sold": float(line.row.sold), "held": line.row.held,
                "old": _at(line.old), "new": _at(line.new), "change": float(line.change), "rise": _float(line.rise),
                "break_even_volume": _float(line.volume), "stopped": sorted(line.stopped),
            }
            for line in found.rows
        ],
        "break_even_volume": _float(even),
        "volumes": [
            {"changed": float(c.volumes.changed), **_sums(c.after), "gain": float(c.gain)} for c in supposed
        ],
        "everything": {
            "steps": found.everything.steps, "change": float(found.everything.change),
            "changed": found.everything.changed, "met": found.everything.met, **_sums(found.everything.after),
        },
        "relaxed": [
            {
                "limit": r.family, "reaches": r.reaches, "needs": _float(r.needs),
                "after": None if r.after is None else _sums(r.after), "lines": list(r.keys),
            }
            for r in found.relaxed
        ],
        "doubts": [{"code": d.code, "names": list(d.names)} for d in doubts],
    }  # fmt: skip


def _at(candidate: Candidate) -> Json:
    return {
        "all_in": float(candidate.all_in), "net": float(candidate.net), "pour_cost": _float(candidate.pour_cost),
        "margin": float(candidate.margin),
    }  # fmt: skip


def _sums(totals: Totals) -> Json:
    return {
        "net": float(totals.net), "cost": float(totals.cost), "margin": float(totals.margin),
        "pour_cost": _float(totals.pour_cost),
    }  # fmt: skip


def _float(value: Decimal | None) -> float | None:
    return None if value is None else float(value)
