"""A book as the rows of a starter workbook: what somebody would have typed to get it, oldest version first."""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from costing.book.book import Book
from costing.book.records import (
    LAYERS,
    AllergenStatement,
    Equipment,
    Glass,
    Good,
    Menu,
    MenuLine,
    Preparation,
    Quote,
    Serve,
    Stage,
    Supplier,
    Technique,
)
from costing.supply.starter_layout import AS_NEEDED, FIGURES, LAYOUT, ON_CHOICES, STATE_CHOICES, TAX_CHOICES
from costing.supply.starter_names import SOURCE, Names, slug
from costing.supply.starter_offer import typed_breaks, typed_charges, typed_free
from costing.supply.starter_typed import fact, policy, share, word

Value = str | int | Decimal | date
Line = dict[str, Value]


class Calls:
    """What to write for each id, so that it is found again, and which ids need to be written at all."""

    def __init__(self, book: Book) -> None:
        self.sources, self.suppliers, self.equipment = Names(SOURCE), Names("supplier"), Names("equipment")
        self.techniques, self.glasses, self.serves, self.menus = (
            Names("technique"),
            Names("glass"),
            Names("serve"),
            Names("menu"),
        )
        for names, things in (
            (self.suppliers, book.all(Supplier)), (self.sources, book.all(Good)), (self.sources, book.all(Preparation)),
            (self.equipment, book.all(Equipment)), (self.techniques, book.all(Technique)),
            (self.glasses, book.all(Glass)), (self.serves, book.all(Serve)), (self.menus, book.all(Menu)),
        ):  # fmt: skip
            for ident, thing in things.items():
                names.add(ident, thing.name)
        for preparation in book.all(Preparation).values():
            for version in preparation.versions:
                for product in version.byproducts:
                    whole = f"{preparation.id}/{product.id}"
                    if whole not in self.sources.ids:
                        self.sources.add(whole, product.name)

    @staticmethod
    def ident(names: Names, ident: str, instead: str) -> str:
        """The id where it cannot be made from the name, else nothing."""
        name = names.ids[ident]
        return "" if slug(name, instead) == ident and names.find(name) == [ident] else ident


def rows(book: Book) -> Mapping[str, list[Line]]:
    """The rows of every sheet by its name. Empty texts and the values that an empty cell means are left out."""
    calls = Calls(book)
    out: dict[str, list[Line]] = {
        "House": [_house(book, calls)],
        **_terms(book),
        "Suppliers": [
            {"name": s.name, "note": s.note, "id": calls.ident(calls.suppliers, s.id, "supplier")}
            for s in book.all(Supplier).values()
        ],
        "Ingredients": [_good(g, calls) for g in book.all(Good).values()],
        "Packs": [_pack(q, calls) for q in _by_good(book)],
        "Equipment": [
            {"name": e.name, "hour": _call(calls.sources, e.hour), "energy": _call(calls.sources, e.energy),
             "power": fact(e.power), "charge": fact(e.charge), "note": e.note,
             "id": calls.ident(calls.equipment, e.id, "equipment")}
            for e in book.all(Equipment).values()
        ],
        "Preparations": [line for p in book.all(Preparation).values() for line in _preparation(p, calls)],
        "Kept": [line for p in book.all(Preparation).values() for line in _kept(p, calls)],
        "Techniques": [
            {"name": t.name, "dilution": fact(t.dilution), "like": t.like, "note": t.note,
             "id": calls.ident(calls.techniques, t.id, "technique")}
            for t in book.all(Technique).values()
        ],
        "Glasses": [
            {"name": g.name, "capacity": fact(g.capacity), "id": calls.ident(calls.glasses, g.id, "glass")}
            for g in book.all(Glass).values()
        ],
        "Serves": [line for s in book.all(Serve).values() for line in _serve(s, calls)],
        "Menu": [line for m in book.all(Menu).values() for line in _menu(m, calls)],
        "Allergens": _statements(book, calls),
    }  # fmt: skip
    return {name: [{k: v for k, v in line.items() if v != ""} for line in lines] for name, lines in out.items()}


def _call(names: Names, ident: str) -> str:
    return names.called(ident) if ident else ""


def _by_good(book: Book) -> list[Quote]:
    return sorted(book.all(Quote).values(), key=lambda q: (q.good, q.supplier, q.since, q.id))


def _house(book: Book, calls: Calls) -> Line:
    house = book.house
    if house is None:
        return {"layout": LAYOUT}
    return {
        "name": house.name, "currency": house.currency, "labour": _call(calls.sources, house.labour),
        "standard_drink": fact(house.standard_drink), "allergen_list": house.allergen_list, "permit": house.permit,
        "permit_until": house.permit_until or "", "note": house.note, "layout": LAYOUT,
    }  # fmt: skip


def _terms(book: Book) -> dict[str, list[Line]]:
    house = book.house
    terms = house.terms if house else ()
    pricing: list[Line] = [
        {"since": t.since, "policy": policy(t.policy), "step": t.points.step,
         "endings": "; ".join(f"{e:f}" for e in t.points.endings), "least": t.points.least if t.points.least else "",
         "base": "; ".join(t.base), "recovers": "" if t.recovers_tax else "no"}
        for t in terms
    ]  # fmt: skip
    taxes: list[Line] = [
        {"since": t.since, "name": levy.name, "rate": share(levy.rate), "on": word(ON_CHOICES, levy.on),
         "kept": "yes" if levy.kept else ""}
        for t in terms for levy in t.levies
    ]  # fmt: skip
    measures: list[Line] = [{"name": name, "is": fact(amount)} for name, amount in (house.measures if house else ())]
    return {"Pricing": pricing, "Taxes": taxes, "Measures": measures}


def _in_columns(good: Good) -> bool:
    """Whether what is stated fits into the row: one source, and in the order of the columns."""
    order = [w for _, w in STATE_CHOICES]
    places = [order.index(s.state) for s in good.allergens]
    return places == sorted(places) and len({(s.who, s.since, s.label) for s in good.allergens}) == 1


def _good(good: Good, calls: Calls) -> Line:
    usual = good.kind if good.kind in LAYERS else "materials"
    line: Line = {
        "name": good.name, "kind": good.kind, "base": good.base, "layer": "" if good.layer == usual else good.layer,
        "density": fact(good.density), "piece": fact(good.piece), "preferred": _call(calls.suppliers, good.preferred),
        "note": good.note, "id": calls.ident(calls.sources, good.id, "ingredient"),
    }  # fmt: skip
    line |= {name: fact(figure) for name, figure in good.makeup if name not in line}
    if good.allergens and _in_columns(good):
        for state in ("contains", "may_contain", "free"):
            line[state] = "; ".join(s.name for s in good.allergens if s.state == state)
        said = good.allergens[0]
        line |= {"who": said.who, "stated": said.since or "", "label": said.label}
    return line


def _pack(quote: Quote, calls: Calls) -> Line:
    made = slug(f"{quote.good} {quote.supplier} {quote.since}", "pack")
    return {
        "good": _call(calls.sources, quote.good), "supplier": _call(calls.suppliers, quote.supplier),
        "levels": quote.levels[0] if len(quote.levels) == 1 else " x ".join(map(str, quote.levels)),
        "content": fact(quote.content), "price": quote.price, "currency": quote.currency,
        "tax": word(TAX_CHOICES, quote.tax), "tax_rate": "" if quote.tax_rate is None else share(quote.tax_rate),
        "since": quote.since, "until": quote.until or "", "code": quote.code, "gtin": quote.gtin,
        "deposit": "" if quote.deposit is None else quote.deposit, "source": quote.source,
        "breaks": typed_breaks(quote.breaks), "free": typed_free(quote.free), "charges": typed_charges(quote.charges),
        "note": quote.note,
        "id": "" if quote.id == made else quote.id,
    }  # fmt: skip


def _stage_lines(stage: Stage, calls: Calls) -> list[Line]:
    """What goes in, one a row, and beside it the figures, one a row."""
    adds: list[Line] = [
        {"source": _call(calls.sources, i.source), "amount": AS_NEEDED if i.amount is None else fact(i.amount),
         "spill": fact(i.spill), "fixed": "yes" if i.fixed else "", "line_note": i.note}
        for i in stage.adds
    ]  # fmt: skip
    figures: list[Line] = [
        {"figure": FIGURES[name][0] if name in FIGURES else name, "reads": fact(figure)}
        for name, figure in (*stage.facts, *stage.readings)
    ]
    lines: list[Line] = []
    for n in range(max(len(adds), len(figures), 1)):
        lines.append({**(adds[n] if n < len(adds) else {}), **(figures[n] if n < len(figures) else {})})
    return lines


def _preparation(preparation: Preparation, calls: Calls) -> list[Line]:
    out: list[Line] = []
    for n, version in enumerate(preparation.versions):
        head: Line = {
            "name": preparation.name, "since": version.since, "pieces": fact(version.pieces),
            "density": fact(version.density), "version_note": version.note,
            "id": calls.ident(calls.sources, preparation.id, "preparation"),
        }  # fmt: skip
        if n == 0:
            days: Value = "" if preparation.shelf_days is None else preparation.shelf_days
            head |= {"base": preparation.base, "shelf_days": days, "note": preparation.note}
        for stage in version.stages:
            lines = _stage_lines(stage, calls)
            lines[0] |= {
                "stage": stage.id, "kind": stage.kind, "equipment": _call(calls.equipment, stage.equipment),
                "active": fact(stage.active), "passive": fact(stage.passive), "setup": fact(stage.setup),
                "labour": _call(calls.sources, stage.labour), "stage_note": stage.note, **head,
            }  # fmt: skip
            head = {}
            out += lines
    return out


def _kept(preparation: Preparation, calls: Calls) -> list[Line]:
    return [
        {"of": _call(calls.sources, preparation.id), "since": version.since, "stage": b.stage, "name": b.name,
         "share": share(b.share) if b.share else "", "method": b.method, "computed_on": b.computed_on or "",
         "base": b.base, "id": "" if slug(b.name, "kept") == b.id else b.id}
        for version in preparation.versions for b in version.byproducts
    ]  # fmt: skip


def _serve(serve: Serve, calls: Calls) -> list[Line]:
    out: list[Line] = []
    for n, version in enumerate(serve.versions):
        lines = _stage_lines(version.build, calls)
        lines[0] |= {
            "name": serve.name, "since": version.since, "technique": _call(calls.techniques, version.technique),
            "glass": _call(calls.glasses, version.glass), "seconds": fact(version.seconds),
            "labour": _call(calls.sources, version.build.labour), "version_note": version.note,
            "note": serve.note if n == 0 else "", "id": calls.ident(calls.serves, serve.id, "serve"),
        }  # fmt: skip
        out += lines
    return out


def _menu(menu: Menu, calls: Calls) -> list[Line]:
    out: list[Line] = []
    for section in menu.sections:
        lines = [line for entry in section.lines for line in _entry(entry, calls)] or [{}]
        lines[0] |= {"section": section.name, "section_policy": policy(section.policy)}
        out += lines
    out = out or [{}]
    ident = calls.ident(calls.menus, menu.id, "menu")
    out[0] |= {"name": menu.name, "begins": menu.since or "", "ends": menu.until or "", "id": ident}
    return out


def _entry(entry: MenuLine, calls: Calls) -> list[Line]:
    lines: list[Line] = [{"price": p.price, "since": p.since} for p in entry.prices] or [{}]
    lines[0] |= {"serve": _call(calls.serves, entry.serve), "policy": policy(entry.policy), "line": entry.id}
    return lines


def _statements(book: Book, calls: Calls) -> list[Line]:
    """What the Ingredients sheet cannot hold: statements of several sources, of equipment and of preparations."""
    stated: list[tuple[str, tuple[AllergenStatement, ...]]] = [
        (_call(calls.sources, g.id), g.allergens) for g in book.all(Good).values() if not _in_columns(g)
    ]
    stated += [(_call(calls.equipment, e.id), e.allergens) for e in book.all(Equipment).values()]
    stated += [(_call(calls.sources, p.id), p.exemptions) for p in book.all(Preparation).values()]
    out: list[Line] = []
    for of, statements in stated:
        last: Any = None
        for s in statements:
            same = (s.state, s.who, s.since, s.label)
            if same == last:
                out[-1]["allergens"] = f"{out[-1]['allergens']}; {s.name}"
            else:
                out.append({"of": of, "state": word(STATE_CHOICES, s.state), "allergens": s.name, "who": s.who,
                            "stated": s.since or "", "label": s.label})  # fmt: skip
            last = same
    return out
