"""Why a drink earns what it earns, has its class, and how sure that is: trails for the why pane."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date

from costing.menu.engineer import CLASSES
from costing.menu.judged import Judged
from costing.menu.rivals import MethodCode
from costing.menu.words import (
    CLASS_MEANS,
    METHOD_SOURCES,
    METHOD_WORDS,
    READING_WORDS,
    cell_word,
    chance_text,
    class_word,
    reason_text,
)
from costing.report.words import layer_word
from costing.tongue import capital, say, say_many, word
from ui.desk import Where
from ui.document import Figures
from ui.format import Format, isolate, own
from ui.places.menu.keep.cells import cell_of, figure_lines, method_of
from ui.places.menu.keep.going import Going
from ui.places.menu.keep.rows import KeepRow, count_text, cut_text, margin_text, sure_text
from ui.places.menu.keep.work import Kept
from ui.whys import Line, Trail

Why = Callable[[KeepRow], object | None]


@dataclass(frozen=True, slots=True)
class AsJudged:
    """A trail of what was judged on one state of the book and day; of another it says nothing."""

    revision: int
    day: date
    said: Trail

    def trail(self, figures: Figures, form: Format) -> Trail:
        """The trail, while the book is as it was."""
        if (figures.revision, figures.day) == (self.revision, self.day):
            return self.said
        return Trail(self.said.title, "", (Line(say("The book moved since: come to the figure again.")),))


def _as_judged(kept: Kept, said: Trail) -> AsJudged:
    figures = kept.of.figures
    return AsJudged(figures.revision, figures.day, said)


def margin_why(kept: Kept, row: KeepRow, form: Format) -> object | None:
    """What one brings, and what it costs."""
    item = row.item
    if item is None or row.unpriced:
        return None
    return _as_judged(kept, Trail(say("One {serve} earns", serve=own(item.name)), margin_text(item, form),
                                  tuple(_margin(kept, row, form))))  # fmt: skip


def _margin(kept: Kept, row: KeepRow, form: Format) -> Iterator[Line]:
    item, section = row.item, row.section
    if item is None:
        return
    menu = Where("menu", item.menu, item.serve)
    yield Line(say("as paid on average, without tax and service"), form.money(item.net), where=menu)
    if item.listed is not None:
        yield Line(say("the price printed now"), form.money(item.listed), "measured", 1, menu)
        yield Line(say("net of tax and service"), form.money(item.listed_net), depth=1)
    layers = " + ".join(layer_word(layer) for layer in kept.of.mix.base)
    cost = form.least(form.money(item.cost), item.complete)
    yield Line(say("cost, {layers}", layers=layers), cost, where=Where("serve", item.serve))
    if row.drink is not None and row.drink.spot is not None and (var := row.drink.spot.margin_var) > 0.0:
        half = form.number(1.645 * var**0.5, form.places)
        yield Line(say("90 of 100 lie within"), isolate(say("± {money}", money=half)), depth=1)
    if row.drink is not None and section.engineered.O is not None:
        yield Line(say("earns much from, the average of all sold"), cut_text(section, form))


def class_why(kept: Kept, row: KeepRow, form: Format) -> object | None:
    """Its two figures beside the two thresholds, and the reasons for what to do."""
    drink = row.drink
    if drink is None:
        return None
    title = say("{serve} is a {klass}", serve=own(drink.item.name), klass=class_word(drink.klass))
    return _as_judged(kept, Trail(title, sure_text(drink), tuple(_class(kept, row, drink, form))))


def _class(kept: Kept, row: KeepRow, drink: Judged, form: Format) -> Iterator[Line]:
    found, rule = row.section.engineered, kept.judging
    yield Line(word(CLASS_MEANS, drink.klass))
    yield Line(say("sold"), count_text(drink.row.sold, form))
    yield Line(say("share of the mix"), form.percent(drink.row.mix, 2))
    yield Line(say("popular from"), form.percent(found.Q, 2))
    drinks = say_many("{n} drink", "{n} drinks", found.n)
    share = form.percent(rule.cut, 0)
    yield Line(say("{share} of an equal share of {drinks}", share=share, drinks=drinks), depth=1,
               where=Where("house", "house"))  # fmt: skip
    yield Line(say("margin a drink"), margin_text(drink.item, form))
    yield Line(say("earns much from, the average of all sold"), cut_text(row.section, form))
    yield Line(say("exactly at a threshold counts as"), say("high") if rule.tie == "high" else say("low"),
               where=Where("house", "house"))  # fmt: skip
    for reason in drink.advice.reasons:
        yield Line(capital(reason_text(reason, form.currency)))


def sure_why(kept: Kept, row: KeepRow, form: Format) -> object | None:
    """The chance of each class, and what it stands on."""
    drink = row.drink
    if drink is None:
        return None
    title = say("How sure it is that {serve} is a {klass}", serve=own(drink.item.name), klass=class_word(drink.klass))
    chance = own(chance_text(drink.chance)) if drink.chance is not None else ""
    return _as_judged(kept, Trail(title, chance, tuple(_sure(kept, row, drink, form))))


def _sure(kept: Kept, row: KeepRow, drink: Judged, form: Format) -> Iterator[Line]:
    if drink.spot is None:
        yield Line(say("none of it was sold, and such drinks are left out of the count"))
        return
    for klass in CLASSES:
        yield Line(class_word(klass), own(chance_text(drink.spot.chances[klass])))
    yield Line(say("called sure from"), form.percent(kept.judging.sure, 0), where=Where("house", "house"))
    low, high = drink.share
    yield Line(say("its share, 95 % interval"), between(form.percent(low), form.percent(high)))
    if (band := row.section.margin_band) is not None:
        yield Line(say("the average margin, in 90 of 100 draws"), between(form.money(band.low), form.money(band.high)))
    yield Line(say("drawn"), say_many("{n} time", "{n} times", drink.spot.draws))
    yield Line(say("each time with the shares that may lie behind what was sold"), depth=1)
    yield Line(say("and with costs as their ranges have them"), depth=1, where=Where("serve", drink.item.serve))
    if not row.section.complete:
        yield Line(say("a cost in this section is not whole, so nothing in it counts as sure"))


def method_why(kept: Kept, row: KeepRow, code: MethodCode, form: Format) -> object | None:
    """One method's figures of a drink beside its thresholds."""
    cell, method = cell_of(row, code), method_of(row.section, code)
    if row.item is None or cell is None or method is None:
        return None
    title = say("{serve}: {method}", serve=own(row.item.name), method=word(METHOD_WORDS, code))
    lines = [Line(word(METHOD_SOURCES, code))]
    cuts = figure_lines(code, method.cuts, form)
    for (name, figure), (_, cut) in zip(figure_lines(code, cell.figures, form), cuts, strict=True):
        lines += [Line(name, figure), Line(say("threshold"), cut, depth=1)]
    if cell.rank is not None:
        lines.append(Line(say("its rank"), str(cell.rank)))
    lines.append(Line(say("in words that all methods share"), word(READING_WORDS, cell.reading)))
    return _as_judged(kept, Trail(title, cell_word(cell.cell), tuple(lines)))


def going_why(kept: Kept, found: Going, form: Format) -> object:
    """The money of what leaves, drink by drink, and all margins before and after."""
    lines = [Line(say("all margins now"), form.money(found.now))]
    for row in found.leave:
        if row.item is not None:
            said = say("{drink}: {count} sold, margin {margin}", drink=own(row.item.name),
                       count=count_text(row.item.sold, form), margin=margin_text(row.item, form))  # fmt: skip
            where = Where("serve", row.item.serve)
            lines.append(Line(said, form.signed(-row.item.sold * row.item.margin), depth=1, where=where))
    if found.leave:
        lines.append(Line(say("once their sales are lost"), form.money(found.lost)))
        lines.append(Line(say("once guests take the others instead, in proportion to what these sold"),
                          form.money(found.spread)))  # fmt: skip
    return _as_judged(kept, Trail(say("The money of what leaves"), "", tuple(lines)))


def between(low: str, high: str) -> str:
    """ "8.2 % to 10.1 %"."""
    return isolate(say("{low} to {high}", low=low, high=high))
