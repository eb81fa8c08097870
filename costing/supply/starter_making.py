"""Preparations, what is kept from them, serves and menus: the sheets where many rows make one record."""

from collections.abc import Iterator, Sequence
from functools import partial
from typing import Any

from costing.book.kinds import READING_DIMS
from costing.book.plain import Plain
from costing.book.records import Record
from costing.supply.starter_cells import fold, plain_text
from costing.supply.starter_goods import Site, Statements, amount
from costing.supply.starter_groups import Group, by_day
from costing.supply.starter_layout import AS_NEEDED
from costing.supply.starter_names import Names, given_id
from costing.supply.starter_table import Row

Kept = dict[tuple[str, str], list[Plain]]


def kept(site: Site, preparations: Sequence[Group]) -> Kept:
    """By-products by (preparation, first day), registered so that they may go into a stage."""
    out: Kept = {}
    days = {g.ident: set(g.parts) for g in preparations}
    taken: dict[str, Names] = {}
    for row in site.rows("Kept"):
        if not row.complete():
            continue
        of, day, name, stage = site.sources.one(row, "of"), site.day(row), row.get("name"), row.get("stage")
        if of is None or day is None or name is None or stage is None:
            continue
        if of not in days:
            row.amiss("of", "this is no preparation; only something made leaves anything")
            continue
        if day not in days[of]:
            row.amiss("since", f"no way of making it begins on {day}; write one of {', '.join(sorted(days[of]))}")
            continue
        names = taken.setdefault(f"{of} {day}", Names("by-product"))
        ident = given_id(row, names, site.faults) or names.free(name, "kept")
        names.add(ident, name)
        whole = f"{of}/{ident}"
        if whole not in site.sources.ids:
            site.sources.add(whole, name)
            site.measured.add(whole)
        data = {"id": ident, "stage": stage, "name": name, **row.some("share", "method", "computed_on", "base")}
        out.setdefault((of, day), []).append(data)
    return out


def preparations(site: Site, groups: Sequence[Group], leaving: Kept, stated: Statements) -> Iterator[Record]:
    """Preparations with their versions; an exemption is a statement of the Allergens sheet."""
    for group in groups:
        data: Plain = {"id": group.ident, **group.some("name", "base", "shelf_days", "note"), "versions": []}
        for since, version in group.parts.items():
            made = {"since": since, **version.some("pieces", "density", note="version_note"), "stages": []}
            made["stages"] = [_stage(site, stage) for stage in _stages(version)]
            made["byproducts"] = leaving.get((group.ident, since), [])
            data["versions"].append(made)
        data["exemptions"] = stated.get(("preparation", group.ident), [])
        record = site.record("preparation", data, *group.rows)
        if record is not None:
            yield record


def _stages(version: Group) -> list[Group]:
    """The stages of a version: a new word in Stage begins one, and so does a new Kind where Stage is empty."""
    out: list[Group] = []
    kinds: dict[str, Any] = {}
    for row in version.rows:
        label, kind = row.get("stage"), row.get("kind")
        last = out[-1] if out else None
        begins = last is None or (label != last.ident if label is not None else kind not in (None, kinds[last.ident]))
        if begins:
            if kind is None:
                if not row.has("kind"):
                    row.amiss("kind", "the row begins a stage and its Kind is empty; choose it from the list")
                kind = "make"
            taken = {g.ident for g in out}
            if label is not None and label in taken:
                row.amiss("stage", "this stage stood further up already; put its rows together, or call this another")
            ident = label or next(i for i in (kind, *(f"{kind}-{n}" for n in range(2, 9999))) if i not in taken)
            last = Group(ident, row)
            kinds[ident] = kind
            out.append(last)
        if last is not None:
            last.rows.append(row)
    return out


def _stage(site: Site, group: Group) -> Plain:
    data: Plain = {"id": group.ident, "kind": group.one("kind") or "make", **_lines(site, group)}
    data |= group.some("active", "passive", "setup", note="stage_note")
    for key, names in (("equipment", site.equipment), ("labour", site.sources)):
        found = group.one(key, partial(_pick, names, key))
        if found is not None:
            data[key] = found
    return data


def _pick(names: Names, key: str, row: Row) -> str | None:
    return names.one(row, key)


def _lines(site: Site, group: Group) -> Plain:
    """What goes in, the facts and the readings of a stage."""
    adds: list[Plain] = []
    figures: dict[str, dict[str, Plain]] = {"facts": {}, "readings": {}}
    for row in group.rows:
        adds += _input(site, row)
        name, reads = row.get("figure"), row.get("reads")
        if row.has("figure") != row.has("reads"):
            empty = "reads" if row.has("figure") else "figure"
            row.amiss(empty, f"{row.plan.column(empty).head} is empty; a figure needs its name and what it reads")
        if name is None or reads is None:
            continue
        into = figures["readings" if name in READING_DIMS else "facts"]
        if name in into:
            row.amiss("figure", "this figure of the stage was given above; delete one")
        into[name] = reads
    return {"adds": adds, **figures}


def _input(site: Site, row: Row) -> Iterator[Plain]:
    if not row.has("source"):
        for key in ("amount", "unit", "spill", "fixed", "line_note"):
            if row.has(key):
                row.amiss(key, "nothing is named under Goes in, in this row")
        return
    source = site.sources.one(row, "source")
    data: Plain = {"source": source, "amount": None, **row.some("spill", note="line_note")}
    if row.has("fixed"):
        data |= row.some("fixed")
    if not row.has("amount"):
        row.amiss("amount", f"how much goes in is missing; write it, or {AS_NEEDED} for the water of a proof")
    elif fold(plain_text(row.cell("amount"))) != AS_NEEDED:
        data["amount"] = amount(row, "amount", "unit", site, source)
        if data["amount"] is None:
            return
    if source is not None:
        yield data


def serves(site: Site, groups: Sequence[Group]) -> Iterator[Record]:
    """Serves; the build is one stage of kind build."""
    for group in groups:
        data: Plain = {"id": group.ident, **group.some("name", "note"), "versions": []}
        for since, version in group.parts.items():
            build: Plain = {"id": "build", "kind": "build", **_lines(site, version)}
            made: Plain = {"since": since, "build": build, **version.some("seconds", note="version_note")}
            for key, names, into in (
                ("technique", site.techniques, made), ("glass", site.glasses, made), ("labour", site.sources, build),
            ):  # fmt: skip
                found = version.one(key, partial(_pick, names, key))
                if found is not None:
                    into[key] = found
            data["versions"].append(made)
        record = site.record("serve", data, *group.rows)
        if record is not None:
            yield record


def menus(site: Site, groups: Sequence[Group]) -> Iterator[Record]:
    """Menus: sections by their heading, lines by their serve, prices by their day."""
    for group in groups:
        data: Plain = {"id": group.ident, **group.some("name", since="begins", until="ends")}
        sections: dict[str, Group] = {}
        current: Group | None = None
        for row in group.rows:
            heading = row.get("section")
            if heading is not None:
                current = sections.setdefault(fold(heading), Group(heading, row))
            if current is not None:
                current.rows.append(row)
            elif row.has("serve") or row.has("price"):
                row.amiss("section", "no row above says in which section this stands; write its heading")
        data["sections"] = [_section(site, section) for section in sections.values()]
        record = site.record("menu", data, *group.rows)
        if record is not None:
            yield record


def _section(site: Site, section: Group) -> Plain:
    out: Plain = {"name": section.ident, "lines": [], **section.some(policy="section_policy")}
    lines: dict[tuple[str, str], Plain] = {}
    last: tuple[str, str] | None = None
    for row in section.rows:
        if row.has("serve"):
            serve = site.serves.one(row, "serve")
            last = (serve, row.get("line") or "") if serve is not None else None
        elif last is None and row.has("price"):
            row.amiss("serve", "no row above says which serve this price is for")
        if last is None:
            continue
        if last not in lines:
            lines[last] = {"serve": last[0], "prices": [], **({"id": last[1]} if last[1] else {})}
        line = lines[last]
        policy = row.get("policy")
        if policy is not None and line.setdefault("policy", policy) != policy:
            row.amiss("policy", "the target of this drink was given above as another; delete one")
        price, day = row.get("price"), site.day(row) if row.has("price") else None
        if price is not None and day is not None:
            if any(p["since"] == day for p in line["prices"]):
                row.amiss("since", f"it has a price from {day} on already; delete one")
            line["prices"].append({"since": day, "price": price})
    out["lines"] = list(lines.values())
    return out


__all__ = ["by_day", "kept", "menus", "preparations", "serves"]
