"""The allergen table as data: serves and preparations by the house's list, every reason, and what is not stated."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

from costing.book.records import AllergenStatement
from costing.ledger.allergens import NEVER_FOOD, Finding, State, allergens_of, serve_allergens
from costing.ledger.balance import balance_of
from costing.ledger.reckon import Reckoning
from costing.report.cards import balance_in_glass
from costing.tables import Allergen, allergen_list, allergen_lists

SULPHITES = "sulphites"
SO2_LINE = 10.0
"""mg of total SO2 in a litre as consumed, above which sulphites are declared: Regulation (EU) 1169/2011, Annex II."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AllergenRow:
    """A serve or preparation with a finding for each allergen of the list. ``so2`` is the most there can be of it,
    mg/l, from what the makeup of goods states; None where the volume is not known."""

    id: str
    name: str
    kind: Literal["serve", "preparation"]
    findings: tuple[Finding, ...]
    so2: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class ReasonRow:
    """One statement and what it reaches: ``source`` is the good, machine or preparation by name, ``into`` what it is
    in, each with the preparations on the way, nearest first."""

    allergen: str
    state: State
    source: str
    statement: AllergenStatement | None
    into: tuple[tuple[str, tuple[str, ...]], ...]
    behind: tuple[tuple[str, State], ...] = ()
    """What an exemption took away: the things in it that are not free, by name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class UnstatedRow:
    """A good in use for which nobody stated some allergens, or (``all``) any."""

    name: str
    missing: tuple[str, ...]
    all: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class AllergenTable:
    """``list`` is the house's list with its ``source``; ``sulphites`` the name of that allergen on it, or ""."""

    list: str
    source: str
    names: tuple[str, ...]
    sulphites: str
    rows: tuple[AllergenRow, ...]
    reasons: tuple[ReasonRow, ...]
    unstated: tuple[UnstatedRow, ...]


def allergen_table(reckoning: Reckoning, used: frozenset[str], names: Mapping[str, str]) -> AllergenTable:
    """The table of the day; ``used`` are the bought goods in use. No names and no rows where the house has no list."""
    house = reckoning.view.book.house
    listed = allergen_list(house.allergen_list) if house and house.allergen_list in allergen_lists() else ()
    rows = tuple(_rows(reckoning, names)) if listed else ()
    return AllergenTable(
        list=house.allergen_list if house else "",
        source=listed[0].source if listed else "",
        names=tuple(a.name for a in listed),
        sulphites=next((a.name for a in listed if a.code == SULPHITES), ""),
        rows=rows,
        reasons=_reasons(reckoning, rows, names),
        unstated=tuple(_unstated(reckoning, used, listed)),
    )


def _rows(reckoning: Reckoning, names: Mapping[str, str]) -> Iterator[AllergenRow]:
    view = reckoning.view
    for ident, (serve, _) in view.serves.items():
        balance = balance_in_glass(reckoning, ident)
        yield AllergenRow(
            id=ident, name=serve.name, kind="serve", findings=serve_allergens(reckoning, ident),
            so2=balance.so2_mg_l if balance else None,
        )  # fmt: skip
    for ident in view.preparations:
        yield AllergenRow(
            id=ident, name=names[ident], kind="preparation", findings=allergens_of(reckoning, ident),
            so2=_so2(reckoning, ident),
        )  # fmt: skip


def _so2(reckoning: Reckoning, preparation: str) -> float | None:
    ledger = reckoning.ledgers.get(preparation)
    if ledger is None or ledger.refused:
        return None
    try:
        balance = balance_of(ledger.lines[-1], reckoning.view.book.house)
    except ValueError:
        return None
    return balance.so2_mg_l if balance else None


def _reasons(reckoning: Reckoning, rows: Iterable[AllergenRow], names: Mapping[str, str]) -> tuple[ReasonRow, ...]:
    """Each statement once, whatever it reaches. What is free, or not stated, has no reason to print here."""
    found: dict[tuple[str, State, str, AllergenStatement | None], dict[tuple[str, tuple[str, ...]], None]] = {}
    for row in rows:
        for finding in row.findings:
            for reason in finding.reasons:
                if reason.state in ("contains", "may_contain", "exempt"):
                    way = tuple(names.get(p, p) for p in reason.path if p != row.id)
                    key = finding.says, reason.state, reason.source, reason.statement
                    found.setdefault(key, {})[row.name, way] = None
    return tuple(
        ReasonRow(allergen=allergen, state=state, source=_named(reckoning, source, names), statement=statement,
                  into=tuple(into), behind=_behind(reckoning, source, allergen, names) if state == "exempt" else ())
        for (allergen, state, source, statement), into in found.items()
    )  # fmt: skip


def _behind(
    reckoning: Reckoning, preparation: str, allergen: str, names: Mapping[str, str]
) -> tuple[tuple[str, State], ...]:
    """What went into an exempted preparation that is not free of it."""
    out: dict[tuple[str, State], None] = {}
    for stage in reckoning.view.preparations[preparation][1].stages:
        for item in stage.adds:
            for finding in allergens_of(reckoning, item.source) if item.source != preparation else ():
                if finding.says == allergen and finding.state not in ("free", "exempt"):
                    out[names.get(item.source, item.source), finding.state] = None
    return tuple(out)


def _named(reckoning: Reckoning, source: str, names: Mapping[str, str]) -> str:
    machine = reckoning.view.equipment.get(source.removeprefix("equipment/"))
    return machine.name if source.startswith("equipment/") and machine else names.get(source, source)


def _unstated(reckoning: Reckoning, used: frozenset[str], listed: tuple[Allergen, ...]) -> Iterator[UnstatedRow]:
    for good in reckoning.view.goods.values():
        if good.id not in used or good.layer != "materials" or good.kind in NEVER_FOOD:
            continue
        stated = {s.name for s in good.allergens}
        missing = tuple(a.name for a in listed if not stated & {a.name, a.code})
        if missing:
            yield UnstatedRow(name=good.name, missing=missing, all=len(missing) == len(listed))
