"""Tables that several questions have: money with a word beside it, hours, and what comes or goes with a drink."""

from collections.abc import Sequence

from costing.menu.portfolio import Under
from costing.tongue import say
from ui.desk import Where
from ui.document import Figures
from ui.format import Format, isolate
from ui.places.menu.questions.pane import Row, Sheet
from ui.whys import UnitCost


def figures_sheet(title: str = "") -> Sheet:
    """What, how much, and a word to it."""
    heads = ((say("What"), False), (say("Figure"), True), (say("How it is counted"), False))
    return Sheet("figures", title or say("Figures"), heads)


def hours_sheet(*ways: str) -> Sheet:
    """Hours of each machine and of people, in so many ways, and what is free."""
    ways_heads = ((way, True) for way in ways)
    return Sheet("hours", say("Hours"), ((say("Hours of"), False), *ways_heads, (say("Free now"), True)))


def under_sheet(figures: Figures, under: Under, what: str) -> Sequence[Row]:
    """Preparations first, then goods, by name; Enter goes to each. Keys are ``what`` and the id."""
    rows = []
    for kind, idents in (("preparation", under.preparations), ("good", under.goods)):
        for ident in sorted(idents, key=lambda i: figures.names.get(i, i)):
            rows.append(Row(f"{what}/{ident}", (figures.names.get(ident, ident),), why=UnitCost(ident),
                            where=Where(kind, ident)))  # fmt: skip
    return rows


def signed(form: Format, value: float | None) -> str:
    """A difference inside a sentence: "1,030.20 less", "12.20 more", "the same"."""
    if value is None:
        return ""
    shown = form.money(abs(value))
    if shown == form.money(0.0):
        return say("the same")
    return say("{money} more", money=isolate(shown)) if value > 0 else say("{money} less", money=isolate(shown))
