"""Batches of the book as rows: what one batch of each preparation gives, takes and keeps busy.

Hours are those of a batch as its recipe stands, runs and setting up counted, and never of what it takes from other
preparations: those have batches of their own.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from costing.ledger.lines import Ledger
from costing.ledger.reckon import Reckoning
from costing.menu.batches_mix import Batch, all_needs, in_turn, part_batches

PREP = "prep hours"
"""The resource that stands for people preparing; no good can be called so by id."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BatchRow:
    """One batch with the ``goods`` it takes, in base units; hours of people and machines are in ``batch.hours``."""

    batch: Batch
    goods: Mapping[str, float]


def people_of(reckoning: Reckoning) -> frozenset[str]:
    """Goods that are an hour of people."""
    return frozenset(g.id for g in reckoning.view.goods.values() if g.kind == "labour")


def machines_of(reckoning: Reckoning) -> dict[str, tuple[str, ...]]:
    """Goods that are a machine's hour, with the ids of the machines that share it."""
    out: dict[str, tuple[str, ...]] = {}
    for machine in reckoning.view.equipment.values():
        if machine.hour:
            out[machine.hour] = (*out.get(machine.hour, ()), machine.id)
    return out


def batch_rows(reckoning: Reckoning) -> dict[str, BatchRow]:
    """Every preparation that can be made today, by id. What a mother batch takes of itself is off what it gives."""
    people, machines = people_of(reckoning), machines_of(reckoning)
    return {
        ident: _row(reckoning, ledger, people, machines)
        for ident, ledger in reckoning.ledgers.items()
        if not ledger.refused
    }


def serve_row(reckoning: Reckoning, serve: str) -> tuple[dict[str, float], dict[str, float]]:
    """(amounts of outputs, amounts of goods) that go into one drink as it is built; both empty for one that could not
    be read."""
    line = reckoning.serves.get(serve)
    row = line.carried.row if line is not None else {}
    made = {source: amount for source, amount in row.items() if source in reckoning.direct}
    return made, {source: amount for source, amount in row.items() if source not in reckoning.direct}


def within_days(
    rows: Mapping[str, BatchRow], reckoning: Reckoning, needs: Mapping[str, float], days: float
) -> tuple[Batch, ...]:
    """Batches as far as they can be used before they are too old, at the even pace of ``needs`` in ``days``: one that
    keeps five days serves five days and no more, and the rest of it spoils. Preparations without a shelf life, and
    by-products, keep."""
    batches = [row.batch for row in rows.values()]
    taken = all_needs(in_turn(batches), needs, part_batches(batches, needs))
    out = []
    for ident, row in rows.items():
        keeps = reckoning.view.preparations[ident][0].shelf_days
        given, use = row.batch.makes.get(ident, 0.0), taken.get(ident, 0.0) / days if days > 0 else 0.0
        if keeps is None or not 0 < use * keeps < given:
            out.append(row.batch)
            continue
        spoils = (given - use * keeps) * reckoning.costs[ident].materials
        out.append(replace(row.batch, makes={**row.batch.makes, ident: use * keeps}, spoils=spoils))
    return tuple(out)


def _row(
    reckoning: Reckoning, ledger: Ledger, people: frozenset[str], machines: Mapping[str, tuple[str, ...]]
) -> BatchRow:
    hours: dict[str, float] = {}
    takes: dict[str, float] = {}
    goods: dict[str, float] = {}
    for stream in (s for line in ledger.lines for s in line.ins if s.source and s.source not in ledger.outputs):
        for source, amount in stream.row.items():
            if source in people:
                into, key = hours, PREP
            elif source in machines:
                into, key = hours, source
            else:
                into, key = (takes if source in reckoning.direct else goods), source
            into[key] = into.get(key, 0.0) + amount
    makes = {o.id: o.made - o.own_use for o in ledger.outputs.values() if o.made - o.own_use > 0}
    name = reckoning.view.preparations[ledger.id][0].name
    return BatchRow(batch=Batch(name=name, id=ledger.id, makes=makes, hours=hours, takes=takes), goods=goods)
