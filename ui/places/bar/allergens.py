"""Why a drink contains an allergen or may contain it, or why nobody can say: in what, by which way, stated by whom."""

from collections.abc import Iterator
from dataclasses import dataclass

from costing.ledger.allergens import WORST, Finding, Reason, serve_allergens
from costing.report.words import allergen_name, allergen_word
from costing.tongue import capital, say, say_many
from ui.desk import Where
from ui.document import Figures
from ui.format import Format, own
from ui.whys import Line, Trail


@dataclass(frozen=True, slots=True)
class AllergensOf:
    """The allergens of one drink."""

    serve: str

    def trail(self, figures: Figures, form: Format) -> Trail:
        """Each allergen with its reasons, the worst first; what is free by statement needs none."""
        found = figures.view.serves.get(self.serve)
        name = found[0].name if found else self.serve
        findings = serve_allergens(figures.reckoning, self.serve) if found else ()
        sure = sum(f.state == "contains" for f in findings)
        lines: list[Line] = []
        for state in WORST:
            for finding in findings:
                if finding.state == state != "free":
                    lines += _lines(finding, figures)
        said = say_many("{n} contained", "{n} contained", sure)
        return Trail(say("Allergens of {serve}", serve=own(name)), said, tuple(lines))


def _lines(finding: Finding, figures: Figures) -> Iterator[Line]:
    yield Line(capital(allergen_name(finding.says)), allergen_word(finding.state))
    for reason in finding.reasons:
        if reason.state == finding.state:
            yield Line(_words(reason, figures), "", "measured" if reason.statement else "assumed", 1, _place(reason))


def _words(reason: Reason, figures: Figures) -> str:
    name = own(_name(reason.source, figures))
    way = " → ".join(own(figures.names.get(step, step)) for step in reason.path)
    who = reason.statement.who if reason.statement is not None else ""
    if reason.statement is None:
        return say("{name} by way of {way}: nobody stated it", name=name, way=way) if way else (
            say("{name}: nobody stated it", name=name)
        )  # fmt: skip
    by = own(who) if who else say("nobody is named")
    if way:
        return say("{name} by way of {way}, stated by {who}", name=name, way=way, who=by)
    return say("{name}, stated by {who}", name=name, who=by)


def _name(source: str, figures: Figures) -> str:
    kind, _, ident = source.partition("/")
    if kind == "equipment":
        machine = figures.view.equipment.get(ident)
        return machine.name if machine is not None else ident
    return figures.names.get(source, source)


def _place(reason: Reason) -> Where:
    kind, _, ident = reason.source.partition("/")
    if kind == "equipment":
        return Where("equipment", ident)
    return Where("preparation" if reason.state == "exempt" else "good", kind)
