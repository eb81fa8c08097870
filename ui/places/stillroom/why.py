"""Why a figure of the stillroom is what it is: trails of a stage's loss, and of what a stage carries on."""

from collections.abc import Iterator
from dataclasses import dataclass

from costing.book.records import LAYERS
from costing.ledger.lines import Line as Stage
from costing.report.phrases import reading_word
from costing.report.words import key_word, layer_word, stage_word, stream_word, value_text
from costing.tongue import say
from ui.desk import Where
from ui.document import Figures
from ui.format import Format, own
from ui.whys import Line, Trail


def _line(figures: Figures, preparation: str, stage: str) -> Stage | None:
    ledger = figures.reckoning.ledgers.get(preparation)
    return next((line for line in ledger.lines if line.stage == stage), None) if ledger else None


def _stood_on(line: Stage, where: Where) -> Iterator[Line]:
    for name, value, mark in line.stood_on:
        yield Line(reading_word(name), value_text(name, value), mark, 1, where)


@dataclass(frozen=True, slots=True)
class LossAt:
    """What one stage loses, in money."""

    preparation: str
    stage: str

    def trail(self, figures: Figures, form: Format) -> Trail:
        """What entered, the share of the key component that is lost, and the figures that it stands on."""
        line = _line(figures, self.preparation, self.stage)
        if line is None:
            return Trail(say("This stage is not worked out"), "", ())
        reckoning, where = figures.reckoning, Where("preparation", self.preparation, f"stage/{self.stage}")
        entered = reckoning.money(line.entered)
        lines = [
            Line(say("money of materials that entered"), form.money(entered.materials)),
            Line(say("share of the {key} that is lost here", key=key_word(line.key)), form.percent(line.share_lost)),
        ]
        for stream in line.outs:
            if stream.fate in ("lost", "unexplained"):
                lost = form.amount(stream.matter.amount(line.key), "kg")
                name = stream_word(stream.name.removeprefix("spill of "))
                lines.append(Line(say("{name}, {key}", name=own(name), key=key_word(line.key)), lost, "computed", 1))
        lines.append(Line(say("it stands on"), "", "computed", 0, where))
        lines += _stood_on(line, where)
        lines.append(Line(say("with what was lost in stages before"), form.money(reckoning.lost_money(line.carried))))
        title = say("Spent on what is lost at “{stage}”", stage=stage_word(line.kind))
        return Trail(title, form.money(reckoning.lost_here(line)), tuple(lines))


@dataclass(frozen=True, slots=True)
class Carried:
    """What the liquid carries on after a stage, in money."""

    preparation: str
    stage: str

    def trail(self, figures: Figures, form: Format) -> Trail:
        """By layer, then by what went in."""
        line = _line(figures, self.preparation, self.stage)
        if line is None:
            return Trail(say("This stage is not worked out"), "", ())
        reckoning = figures.reckoning
        cost = reckoning.money(line.carried.row)
        lines = [
            Line(say("of which {layer}", layer=layer_word(layer)), form.money(value))
            for layer, value in zip(LAYERS, cost.columns, strict=True)
            if value
        ]
        for source, amount in line.carried.row.items():
            unit, kind = reckoning.units.get(source), "good" if source in figures.view.goods else "preparation"
            said = form.amount(amount, unit.base) if unit else ""
            name = own(figures.names.get(source, source))
            money = form.money(reckoning.money({source: amount}).making)
            where = Where(kind, source.partition("/")[0])
            lines.append(Line(say("{amount} {name}", amount=said, name=name), money, "computed", 1, where))
        title = say("Carried on after “{stage}”", stage=stage_word(line.kind))
        return Trail(title, form.money(cost.making), tuple(lines))
