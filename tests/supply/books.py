"""A small invented bar for the tests of supply."""

from datetime import date
from decimal import Decimal

from costing.book.book import Book
from costing.book.fact import parse_fact
from costing.book.records import (
    BaseUnit,
    ByProduct,
    Facts,
    Good,
    GoodKind,
    House,
    Input,
    Preparation,
    Quote,
    Record,
    Stage,
    Supplier,
    Technique,
    Terms,
    Version,
)

DAY = date(2026, 3, 2)
GOODS: tuple[tuple[str, str, GoodKind, BaseUnit], ...] = (
    ("white-rum", "White rum 40 %", "spirit", "l"),
    ("dark-rum", "Dark rum 43 %", "spirit", "l"),
    ("dry-gin", "Dry gin 43 %", "spirit", "l"),
    ("sloe-gin", "Sloe gin 26 %", "liqueur", "l"),
    ("coconut-cream", "Coconut cream", "other", "l"),
    ("soda", "Soda water", "water", "l"),
    ("sugar", "White sugar", "sugar", "kg"),
    ("lemon", "Lemon", "fruit", "kg"),
    ("bitters", "Bitters", "liqueur", "l"),
    ("red-bitter", "Red bitter", "liqueur", "l"),
    ("lemon-leaf", "Lemon leaf", "garnish", "each"),
    ("hand", "Prep hand", "labour", "h"),
)

MAKEUP: dict[str, Facts] = {
    "spirit": (("abv", parse_fact("40 % vol")),),
    "liqueur": (("abv", parse_fact("26 % vol")),),
    "fruit": (("water", parse_fact("90 %")),),
}


def small_bar(*more: Record, measures: bool = True) -> Book:
    """Twelve goods, a lemon juice with its hulls, twists, a cordial; a dash and a barspoon unless told otherwise."""
    goods = [
        Good(
            id=ident,
            name=name,
            kind=kind,
            base=base,
            layer="labour" if kind == "labour" else "materials",
            makeup=MAKEUP.get(kind, ()),
            density=parse_fact("1 kg/l") if kind == "other" else None,
            piece=parse_fact("110 g") if ident == "lemon" else None,
        )
        for ident, name, kind, base in GOODS
    ]
    quotes = [
        Quote(id=f"{g.id}-1", good=g.id, supplier="quay", content=parse_fact(f"1 {g.base}"), price=Decimal(10),
              currency="EUR", since=DAY)
        for g in goods
    ]  # fmt: skip
    juice = Stage(
        id="juice", kind="juice", adds=(Input(source="lemon", amount=parse_fact("2 kg")),),
        facts=(("yield", parse_fact("44 %")),),
    )  # fmt: skip
    twist = Stage(id="peel", kind="make", adds=(Input(source="lemon", amount=parse_fact("1 each")),))
    cordial = Stage(id="mix", kind="blend", adds=(Input(source="lemon-juice", amount=parse_fact("1 l")),))
    made = [
        Preparation(
            id="lemon-juice", name="Lemon juice",
            versions=(Version(since=DAY, stages=(juice,), density=parse_fact("1.03 kg/l"),
                              byproducts=(ByProduct(id="hulls", stage="juice", name="Lemon hulls"),)),),
        ),
        Preparation(id="lemon-twist", name="Lemon twist", base="each",
                    versions=(Version(since=DAY, stages=(twist,), pieces=parse_fact("7")),)),
        Preparation(id="tea-cordial", name="Smoked tea cordial", versions=(Version(since=DAY, stages=(cordial,)),)),
    ]  # fmt: skip
    house = House(
        id="house", name="Tidewall Bar", currency="EUR", labour="hand", terms=(Terms(since=DAY),),
        measures=(("dash", parse_fact("0.8 ml")), ("barspoon", parse_fact("5 ml"))) if measures else (),
    )  # fmt: skip
    stirred = Technique(id="stirred", name="Stirred", like="stirred")
    return Book.of([house, Supplier(id="quay", name="Quay Stores"), stirred, *goods, *quotes, *made, *more])
