"""A drink added or dropped, and a new menu, as JSON.

All begin {"stillroom": "portfolio", "form": "1.0", ..., "question": "drop" | "add" | "against", "weeks", "varying"}.
"drop": "serve", "sold", "margin", "spoilt": [{"preparation", "amount", "money"}], "stays", "vanish", "move" (null: no
other drink was sold), "break_even" (share of its guests), "others" (margin a drink of them), "stock": [{"source",
"amount", "money"}], "only": {"preparations", "goods"}, "by_product". "add": "serve", "price", "margin", "at_most",
"sold", "diverted": [{"name", "share", "margin", "break_even"}], "earns", "loses", "gain", "per_sale",
"break_even_share", "new". "against": "old" and "new": {"menu", "drinks", "net", "cost", "margin", "pour_cost",
"margin_each"}, "gain", "guessed", "covers", "drinks_come", "drinks_go", "come", "go". "hours": [{"id", "name", "hours",
"free" (null: not said)}]; "problems".
"""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from decimal import Decimal

from costing.ledger import Cost, Reckoning
from costing.menu.adding import Adding, Needs
from costing.menu.capacity_rows import VARYING
from costing.menu.dropping import Dropping
from costing.menu.mix import Mix
from costing.menu.newmenu import MenuSide, NewMenu
from costing.menu.portfolio import Under
from costing.terminal import jsonform
from costing.terminal.jsonform import Json


@dataclass(frozen=True, slots=True, kw_only=True)
class HoursRow:
    """Hours of a resource that a question is about, and those left free by what is sold now (None: nobody said)."""

    id: str
    name: str
    hours: float
    free: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class AddingRead:
    """A drink as it was asked about: its price all in, its cost, and what comes of it."""

    serve: str
    price: Decimal
    cost: Cost
    adding: Adding
    needs: Needs
    hours: tuple[HoursRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class NewMenuRead:
    """Two menus as they were asked about; ``guessed`` are drinks nobody said a number of, ``covers`` guests."""

    old: str
    new: str
    found: NewMenu
    guessed: tuple[str, ...]
    covers: float | None
    hours: tuple[HoursRow, ...]


def dropping_document(reckoning: Reckoning, mix: Mix, d: Dropping, rows: Sequence[HoursRow], revision: int) -> Json:
    """A drink dropped."""
    return {
        **_head(reckoning, mix, "drop", revision),
        "serve": d.serve, "sold": d.sold, "margin": d.margin, "spoilt": [asdict(s) for s in d.spoilt],
        "stays": d.stays, "vanish": d.vanish, "move": d.move, "break_even": d.break_even, "others": d.others,
        "stock": [asdict(s) for s in d.stock], "only": _under(d.only), "by_product": list(d.by_product),
        **_tail(reckoning, rows),
    }  # fmt: skip


def adding_document(reckoning: Reckoning, mix: Mix, read: AddingRead, revision: int) -> Json:
    """A drink added."""
    a = read.adding
    return {
        **_head(reckoning, mix, "add", revision),
        "serve": read.serve, "price": float(read.price), "margin": a.margin, "at_most": not read.cost.complete,
        "sold": a.sold, "diverted": [{**asdict(d), "break_even": a.break_even[d.name]} for d in a.diverted],
        "earns": a.earns, "loses": a.loses, "gain": a.gain, "per_sale": a.per_sale,
        "break_even_share": a.break_even_share, "new": _under(read.needs.new), **_tail(reckoning, read.hours),
    }  # fmt: skip


def new_menu_document(reckoning: Reckoning, mix: Mix, read: NewMenuRead, revision: int) -> Json:
    """A new menu against the old one."""
    n = read.found
    return {
        **_head(reckoning, mix, "against", revision),
        "old": _side(read.old, n.old), "new": _side(read.new, n.new), "gain": n.gain, "guessed": list(read.guessed),
        "covers": read.covers, "drinks_come": list(n.drinks_come), "drinks_go": list(n.drinks_go),
        "come": _under(n.come), "go": _under(n.go), **_tail(reckoning, read.hours),
    }  # fmt: skip


def _head(reckoning: Reckoning, mix: Mix, question: str, revision: int) -> Json:
    return {**jsonform.head("portfolio", reckoning, revision), "question": question, "weeks": mix.weeks,
            "varying": list(VARYING)}  # fmt: skip


def _tail(reckoning: Reckoning, rows: Sequence[HoursRow]) -> Json:
    return {"hours": [asdict(r) for r in rows], "problems": [jsonform.problem_json(p) for p in reckoning.problems]}


def _under(under: Under) -> Json:
    return {"preparations": sorted(under.preparations), "goods": sorted(under.goods)}


def _side(menu: str, side: MenuSide) -> Json:
    return {
        "menu": menu, "drinks": side.sold, "net": side.net, "cost": side.cost, "margin": side.margin,
        "pour_cost": side.pour_cost, "margin_each": side.margin_each, "at_least": not side.complete,
    }  # fmt: skip
