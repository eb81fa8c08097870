"""One good instead of another: the two beside one another, and every drink before and after."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from costing.ledger.balance import SWEET, TART
from costing.report.phrases import unit_word
from costing.report.words import allergen_name, allergen_word, series
from costing.supply.buying.swap_record import GoodSide, How, ServeChange, Side, Substitution
from costing.supply.buying.words import CHANGE_WORDS
from costing.tongue import say, word
from ui.document import Figures
from ui.format import UNKNOWN, Format, own
from ui.models.table import Column

NBSP = "\u00a0"


@dataclass(frozen=True, slots=True)
class SideRow:
    """One thing that both goods are asked."""

    key: str
    what: str
    now: str
    then: str

    @property
    def differs(self) -> bool:
        """Whether they answer it otherwise."""
        return self.now != self.then


@dataclass(frozen=True, slots=True)
class DrinkRow:
    """One drink on one section of a menu; ``n`` counts them."""

    n: int
    change: ServeChange

    @property
    def key(self) -> str:
        """Its id, and which section it is."""
        return f"{self.change.serve}/{self.n}"


def side_rows(swap: Substitution, figures: Figures, form: Format) -> list[SideRow]:
    """The goods themselves: what they cost, also like for like, what they are made of, and their labels."""
    one, two = swap.good, swap.other
    goods = figures.view.goods
    rows = [
        SideRow("name", say("Ingredient"), goods[one.good].name, goods[two.good].name),
        SideRow("cost", say("Costs"), _cost(one, form), _cost(two, form)),
        SideRow(
            "like", say("For what {amount} is now", amount=f"1 {unit_word(one.base)}"), _cost(one, form),
            form.unit_money(swap.like_for_like, one.base),
        ),
    ]  # fmt: skip
    for change in swap.allergens:
        before, after = allergen_word(change.before), allergen_word(change.after)
        rows.append(SideRow(f"allergen/{change.name}", allergen_name(change.says), before, after))
    if not swap.allergens:
        alike = say("stated alike")
        rows.append(SideRow("allergens", say("Allergens"), alike, alike))
    if one.balance is None and two.balance is None:
        return rows
    return [
        *rows,
        SideRow("abv", say("ABV"), *(form.strength(s.balance.abv if s.balance else None) for s in (one, two))),
        SideRow("sugar", say("Sugar, g/l"), *(_sugar(s, figures, form) for s in (one, two))),
        SideRow("acid", say("Acid, g/l"), *(_acid(s, figures, form) for s in (one, two))),
    ]


def _cost(side: GoodSide, form: Format) -> str:
    return form.unit_money(side.cost.making if side.cost.complete else None, side.base)


def _sugar(side: GoodSide, figures: Figures, form: Format) -> str:
    good = figures.view.goods[side.good]
    silent = good.kind in SWEET and not {name for name, _ in good.makeup} & {"sugar", "brix", "solubles"}
    if side.balance is None:
        return UNKNOWN
    return say("not stated") if silent else form.number(side.balance.sugar_g_l, 0)


def _acid(side: GoodSide, figures: Figures, form: Format) -> str:
    good = figures.view.goods[side.good]
    if side.balance is None:
        return UNKNOWN
    if good.kind in TART and "acid" not in dict(good.makeup):
        return say("not stated")
    return form.number(side.balance.acid_g_l, 1)


def side_columns() -> Sequence[Column[SideRow]]:
    """What is asked, of the one and of the other."""
    return (
        Column[SideRow]("what", say("The goods themselves"), lambda r: r.what, strong=lambda r: r.differs),
        Column[SideRow]("now", say("Now"), lambda r: r.now, strong=lambda r: r.differs),
        Column[SideRow]("then", say("Instead"), lambda r: r.then, strong=lambda r: r.differs),
    )


def drink_columns(form: Format) -> Sequence[Column[DrinkRow]]:
    """A drink, before and after."""
    return (
        Column[DrinkRow]("name", say("Drink"), lambda r: r.change.name),
        Column[DrinkRow]("moves", say("Moves by"), lambda r: form.signed(r.change.moves), True,
                         lambda r: r.change.moves),
        Column[DrinkRow]("allergens", say("Allergens"), allergens_text, tip=allergens_text),
        *_pair("cost", say("Cost now"), say("Cost then"), lambda s: cost_text(s, form), lambda s: s.priced.base),
        *_pair("pour", say("Pour cost now"), say("Pour cost then"), lambda s: pour_text(s, form),
               lambda s: s.pour_cost),
        *_pair("abv", say("ABV now"), say("ABV then"), lambda s: form.strength(s.balance.abv if s.balance else None),
               lambda s: s.balance.abv if s.balance else None),
        *_pair("sugar", say("Sugar now, g/l"), say("Sugar then, g/l"), lambda s: sugar_text(s, form),
               lambda s: s.balance.sugar_g_l if s.balance else None),
        *_pair("acid", say("Acid now, g/l"), say("Acid then, g/l"), lambda s: acid_text(s, form),
               lambda s: s.balance.acid_g_l if s.balance else None),
        Column[DrinkRow]("section", say("Section"), lambda r: r.change.before.priced.section or UNKNOWN),
    )  # fmt: skip


def _pair(
    key: str, now: str, then: str, show: Callable[[Side], str], sort: Callable[[Side], object]
) -> Iterator[Column[DrinkRow]]:
    """A figure before, and the same after."""
    yield Column[DrinkRow](f"{key}-now", now, lambda r: show(r.change.before), True, lambda r: sort(r.change.before))
    yield Column[DrinkRow](f"{key}-then", then, lambda r: show(r.change.after), True, lambda r: sort(r.change.after))


def cost_text(side: Side, form: Format) -> str:
    """What a drink costs by the house's base."""
    return form.least(form.money(side.priced.base), side.priced.cost.complete)


def pour_text(side: Side, form: Format) -> str:
    """Its pour cost."""
    return form.least(form.percent(side.pour_cost), side.priced.cost.complete)


def sugar_text(side: Side, form: Format) -> str:
    """Its sugar; the least there can be where a good in it does not state any."""
    return _least(side, "sugar", form.number(side.balance.sugar_g_l, 0) if side.balance else UNKNOWN, form)


def acid_text(side: Side, form: Format) -> str:
    """Its acid, likewise."""
    return _least(side, "acid", form.number(side.balance.acid_g_l, 1) if side.balance else UNKNOWN, form)


def _least(side: Side, name: str, text: str, form: Format) -> str:
    return form.least(text, name not in side.least)


GRAVEST: tuple[How, ...] = ("appears", "not-stated", "exempt", "changes", "disappears")
"""How an allergen moves, what must be seen first."""


def allergens_text(row: DrinkRow) -> str:
    """Every allergen that stands otherwise in a drink, in words; the gravest first."""
    said = []
    for how in GRAVEST:
        names = series(allergen_name(a.says) for a in row.change.allergens if a.how == how)
        if names:
            said.append(say("{how}: {allergens}", how=word(CHANGE_WORDS, how), allergens=names))
    return "; ".join(said) or say("stand as they did")


def made_text(swap: Substitution, form: Format, bases: Mapping[str, str]) -> str:
    """The preparations it is in, and what a unit of each costs before and after; "" for none."""
    said = []
    for made in swap.made:
        base = bases.get(made.preparation, "")
        now, then = (
            form.least(form.unit_money(c.making, base), c.complete) if c is not None else UNKNOWN
            for c in (made.before, made.after)
        )
        said.append(say("{name} {before} to {after}", name=own(made.name), before=now, after=then))
    whole = "; ".join(said).replace(" / ", f"{NBSP}/{NBSP}")
    return say("By way of, with making: {preparations}.", preparations=whole) if said else ""
