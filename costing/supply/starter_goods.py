"""Rows into records, where a row is a record: the house, suppliers, ingredients, packs, equipment, glasses."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from costing.book.money import digits
from costing.book.plain import BadForm, Plain, record_from_plain
from costing.book.records import LAYERS, Record
from costing.supply.starter_cells import Cell, fact_of
from costing.supply.starter_faults import Faults
from costing.supply.starter_names import SOURCE, Names, given_id, register
from costing.supply.starter_table import Row, Tables

MAKEUP = ("abv", "sugar", "brix", "water", "solubles", "ethanol", "acid", "so2")
STATES = (("contains", "contains"), ("may_contain", "may_contain"), ("free", "free"))
Statements = Mapping[tuple[str, str], list[Plain]]


@dataclass(slots=True)
class Site:
    """What is shared while a workbook is read: its rows, the names in it, faults, and the day of an empty From day."""

    tables: Tables
    faults: Faults
    since: str | None = None
    currency: str = ""
    sources: Names = field(default_factory=lambda: Names(SOURCE))
    suppliers: Names = field(default_factory=lambda: Names("supplier"))
    equipment: Names = field(default_factory=lambda: Names("piece of equipment"))
    techniques: Names = field(default_factory=lambda: Names("technique"))
    glasses: Names = field(default_factory=lambda: Names("glass"))
    serves: Names = field(default_factory=lambda: Names("serve"))
    goods: list[tuple[str, Row]] = field(default_factory=list)
    measured: set[str] = field(default_factory=set)
    """Ids of what is not counted by the piece, so that a plain number says nothing of it."""

    def rows(self, sheet: str) -> list[Row]:
        """The rows of a sheet; none where it is missing."""
        return list(self.tables.get(sheet, ()))

    def day(self, row: Row) -> str | None:
        """The From day of a row, or the House's. A fault where neither is given."""
        if row.has("since"):
            day = row.get("since")
            return None if day is None else str(day)
        if self.since is None:
            row.amiss("since", "a From day is needed, here or as Holds from on the House sheet")
        return self.since

    def record(self, kind: str, data: Plain, row: Row, *rows: Row) -> Record | None:
        """The record, or None with a fault in the words of the plain form; none where its rows have a fault already."""
        place = row.cell("name").place if "name" in row.cells else row.place
        try:
            return record_from_plain(kind, data, kind)
        except BadForm as error:
            places = {place for r in (row, *rows) for place in (r.place, *(c.place for c in r.cells.values()))}
            if places & self.faults.places:
                return None
            said = f"{error.where.removeprefix(kind).strip('.')} {error.what}".strip()
            self.faults.add(place, said)
            return None


def house(site: Site) -> Record | None:
    """The House record with its dated terms and measures, or None with faults."""
    row = site.rows("House")[0]
    if not row.complete():
        return None
    data: Plain = {"id": "house", "terms": _terms(site)}
    data |= row.some("name", "currency", "standard_drink", "allergen_list", "permit", "permit_until", "note")
    try:
        digits(str(row.get("currency")))
    except ValueError:
        row.amiss("currency", "this is no currency; write its code of ISO 4217, for example EUR")
        return None
    labour = site.sources.one(row, "labour")
    if labour is not None:
        data["labour"] = labour
    measures: dict[str, Any] = {}
    for measure in site.rows("Measures"):
        if not measure.complete():
            continue
        name, amount = measure.get("name"), measure.get("is")
        if name in measures:
            measure.amiss("name", "this measure stands twice; delete one")
        elif name is not None and amount is not None:
            measures[name] = amount
    return site.record("house", {**data, "measures": measures}, row)


def _terms(site: Site) -> list[Plain]:
    terms: dict[str, Plain] = {}
    for row in site.rows("Pricing"):
        day = site.day(row)
        if day is None:
            continue
        if day in terms:
            row.amiss("since", f"another row of Pricing begins on {day}; give each its own day")
            continue
        points = row.some("step", "endings", "least")
        term: Plain = {"since": day, "levies": [], **row.some("policy", recovers_tax="recovers")}
        if points:
            term["points"] = points
        base = row.get("base")
        if base is not None and not set(base) <= set(LAYERS):
            row.amiss("base", f"each must be one of {', '.join(LAYERS)}")
        elif base is not None:
            term["base"] = base
        terms[day] = term
    for row in site.rows("Taxes"):
        day = site.day(row) if row.complete() else None
        if day is not None and day not in terms:
            row.amiss("since", f"no row of Pricing begins on {day}; add one with that day")
        elif day is not None:
            terms[day]["levies"].append({"name": "", "rate": "0", **row.some("name", "rate", "on", "kept")})
    return list(terms.values())


def simple(site: Site, kind: str, registered: Sequence[tuple[str, Row]], *keys: str) -> Iterator[Record]:
    """Records whose columns are their fields."""
    for ident, row in registered:
        if row.complete():
            record = site.record(kind, {"id": ident, **row.some(*keys)}, row)
            if record is not None:
                yield record


def goods(site: Site, stated: Statements) -> Iterator[Record]:
    """Ingredients, with what is stated of their allergens in the row and then on the Allergens sheet."""
    for ident, row in site.goods:
        if not row.complete():
            continue
        data: Plain = {"id": ident, **row.some("name", "kind", "base", "layer", "density", "piece", "note")}
        kind = data.get("kind")
        if "layer" not in data and kind in LAYERS:
            data["layer"] = kind
        data["makeup"] = row.some(*MAKEUP)
        preferred = site.suppliers.one(row, "preferred")
        if preferred is not None:
            data["preferred"] = preferred
        source = row.some("who", "label", since="stated")
        statements = [{"name": name, "state": state, **source} for key, state in STATES for name in row.get(key) or ()]
        if source and not statements:
            row.amiss(next(k for k in ("who", "label", "stated") if row.has(k)), "nothing is stated in this row; "
                      "name the allergens, or clear this")  # fmt: skip
        data["allergens"] = statements + stated.get(("good", ident), [])
        record = site.record("good", data, row)
        if record is not None:
            yield record


def equipment(site: Site, registered: Sequence[tuple[str, Row]], stated: Statements) -> Iterator[Record]:
    """Machines, with the goods that are their hour and their energy."""
    for ident, row in registered:
        if not row.complete():
            continue
        data: Plain = {"id": ident, **row.some("name", "power", "charge", "note")}
        for key in ("hour", "energy"):
            good = site.sources.one(row, key)
            if good is not None:
                data[key] = good
        data["allergens"] = stated.get(("equipment", ident), [])
        record = site.record("equipment", data, row)
        if record is not None:
            yield record


def statements(site: Site) -> Statements:
    """The rows of the Allergens sheet by (kind, id) of what they are stated of."""
    out: dict[tuple[str, str], list[Plain]] = {}
    goods = {ident for ident, _ in site.goods}
    for row in site.rows("Allergens"):
        if not row.complete():
            continue
        text = row.get("of")
        meant = [("good" if i in goods else "preparation", i) for i in site.sources.find(text or "") if "/" not in i]
        meant += [("equipment", i) for i in site.equipment.find(text or "")]
        state, names, source = row.get("state"), row.get("allergens"), row.some("who", "label", since="stated")
        if text is None or state is None or names is None:
            continue
        if len(meant) != 1:
            what = "two things are called so; write which by its Id" if meant else (
                "no ingredient, equipment or preparation is called so; add it, or correct the name")  # fmt: skip
            row.amiss("of", what)
            continue
        out.setdefault(meant[0], []).extend({"name": name, "state": state, **source} for name in names)
    return out


def packs(site: Site) -> Iterator[Record]:
    """Quotes. An id is made of ingredient, supplier and day."""
    names = Names("pack")
    rows = [(row, given_id(row, names, site.faults)) for row in site.rows("Packs")]
    for _, ident in rows:
        if ident is not None:
            names.add(ident, ident)
    for row, given in rows:
        if not row.complete():
            continue
        good, supplier, day = site.sources.one(row, "good"), site.suppliers.one(row, "supplier"), site.day(row)
        content = amount(row, "content", "unit", site, good)
        given_up = row.some(
            "levels",
            "price",
            "tax",
            "tax_rate",
            "until",
            "code",
            "gtin",
            "breaks",
            "free",
            "charges",
            "deposit",
            "source",
            "note",
        )
        if good is None or supplier is None or day is None or content is None or "price" not in given_up:
            continue
        ident = given or names.free(f"{good} {supplier} {day}", "pack")
        names.add(ident, ident)
        currency = row.get("currency") or site.currency
        data = {"id": ident, "good": good, "supplier": supplier, "content": content, "currency": currency, "since": day}
        record = site.record("quote", {**data, **given_up}, row)
        if record is not None:
            yield record


def amount(row: Row, key: str, unit_key: str, site: Site, source: str | None) -> Plain | None:
    """An amount with its unit, from the cell, its format, or the Unit beside it. A number without any unit is taken
    only for what is counted by each or says what one piece is."""
    if not row.has(key):
        return None
    cell: Cell = row.cell(key)
    if cell.amiss:
        site.faults.at(cell, cell.amiss)
        return None
    unit = row.get(unit_key) or ""
    try:
        fact = fact_of(cell, row.plan.column(key), unit)
    except ValueError as error:
        site.faults.at(cell, str(error))
        return None
    if not fact.get("unit") and source in site.measured:
        site.faults.at(cell, "a plain number says no unit; write it behind the number, 45 ml, or in the column Unit")
        return None
    return fact


def register_all(site: Site) -> dict[str, list[tuple[str, Row]]]:
    """Register what the one-row sheets name; preparations and serves are registered by their own readers."""
    out = {}
    for sheet, names, instead in (
        ("Suppliers", site.suppliers, "supplier"), ("Ingredients", site.sources, "ingredient"),
        ("Equipment", site.equipment, "equipment"), ("Techniques", site.techniques, "technique"),
        ("Glasses", site.glasses, "glass"),
    ):  # fmt: skip
        out[sheet] = register(site.rows(sheet), names, instead, site.faults)
    site.goods = out["Ingredients"]
    for ident, row in site.goods:
        if row.cell("base").key != "each" and not row.has("piece"):
            site.measured.add(ident)
    return out


__all__ = [
    "Site", "Statements", "amount", "equipment", "goods", "house", "packs", "register_all", "simple",
    "statements",
]  # fmt: skip
