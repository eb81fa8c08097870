"""Why a drink is as strong, as large and as sweet as it is: what each component brings, and what the ice does."""

from collections.abc import Iterator
from dataclasses import dataclass

from costing.book.records import ServeVersion
from costing.ledger.matter import Matter
from costing.report.cards import balance_in_glass
from costing.report.method_words import how_said
from costing.tongue import say
from ui.desk import Where
from ui.document import Figures
from ui.format import UNKNOWN, Format, own
from ui.places.bar.components import amount_of
from ui.whys import Line, Trail


@dataclass(frozen=True, slots=True)
class InGlass:
    """What is in one drink as the guest has it."""

    serve: str

    def trail(self, figures: Figures, form: Format) -> Trail:
        """What each component brings, the water from ice, and what they come to."""
        found = figures.view.serves.get(self.serve)
        name = found[0].name if found else self.serve
        title = say("In the glass of {serve}", serve=own(name))
        glass = balance_in_glass(figures.reckoning, self.serve)
        if found is None or glass is None:
            return Trail(title, UNKNOWN, (Line(say("how much liquid is in it is not known")),))
        lines = [*_brought(figures, form, found[1]), *_iced(figures, form, found[1])]
        lines.append(Line(say("alcohol in all"), say("{grams} g", grams=form.number(glass.ethanol_g, 1))))
        if glass.co2_g_l > 0.0:
            lines.append(Line(say("carbon dioxide"), say("{grams} g/l", grams=form.number(glass.co2_g_l, 1))))
        lines.append(Line(say("volumes are at 20 °C and after dilution; acid is counted as citric")))
        return Trail(title, say("{amount} at {strength}", amount=form.amount(glass.litres, "l"),
                                strength=form.strength(glass.abv)), tuple(lines))  # fmt: skip


def _brought(figures: Figures, form: Format, version: ServeVersion) -> Iterator[Line]:
    for item in version.build.adds:
        unit = figures.reckoning.units.get(item.source)
        amount, base = amount_of(figures.reckoning, item)
        matter = unit.matter if unit is not None else None
        if matter is None or amount is None or base not in ("l", "kg"):
            continue
        kind = "good" if item.source in figures.view.goods else "preparation"
        mark = item.amount.mark if item.amount is not None else "computed"
        text = say("{amount} {name}", amount=form.amount(amount, base), name=own(figures.names.get(item.source, "")))
        yield Line(text, _grams(matter, amount, form), mark, 0, Where(kind, item.source.partition("/")[0]))


def _grams(matter: Matter, amount: float, form: Format) -> str:
    sugar = 1000.0 * max(0.0, matter.solubles - matter.acids) * amount
    parts = (
        (1000.0 * matter.ethanol * amount, "alcohol"), (sugar, "sugar"), (1000.0 * matter.acids * amount, "acid"),
    )  # fmt: skip
    said = []
    for grams, what in parts:
        if grams < 0.05:
            continue
        number = form.number(grams, 1)
        if what == "alcohol":
            said.append(say("{grams} g alcohol", grams=number))
        elif what == "sugar":
            said.append(say("{grams} g sugar", grams=number))
        else:
            said.append(say("{grams} g acid", grams=number))
    return say(", ").join(said) or say("water")


def _iced(figures: Figures, form: Format, version: ServeVersion) -> Iterator[Line]:
    """The water that the technique brings, with where its figure comes from."""
    technique = figures.view.techniques.get(version.technique)
    if technique is None:
        return
    where = Where("technique", technique.id)
    if technique.dilution is not None:
        fact = technique.dilution
        text = say("{technique}: water from ice, by volume", technique=own(technique.name))
        yield Line(text, fact.text, fact.mark, 0, where)
        if fact.how:
            yield Line(own(how_said(fact.how)), "", fact.mark, 1, where)
    elif technique.like:
        text = say("{technique}: water from ice by a published curve", technique=own(technique.name))
        yield Line(text, "", "assumed", 0, where)
