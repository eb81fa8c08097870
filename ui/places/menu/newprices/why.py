"""Why a new price is what it is: a trail for the why pane."""

from collections.abc import Iterator

from costing.book.records import Layer
from costing.menu.reprice_record import Repriced
from costing.menu.reprice_words import FAMILY_WORDS
from costing.report.words import layer_word
from costing.tongue import say, word
from ui.desk import Where
from ui.document import Figures
from ui.format import Format, own
from ui.places.menu.keep.why import AsJudged
from ui.places.menu.newprices.rows import NewPriceRow, margin_text, volume_text
from ui.whys import Line, Trail


def new_price_why(row: NewPriceRow, figures: Figures, base: tuple[Layer, ...], form: Format) -> object | None:
    """What one brings now and then, what the change may cost in sales, and what keeps it from going higher; None where
    nothing was found."""
    if row.found is None:
        return None
    trail = Trail(say("A new price for {serve}", serve=own(row.name)), form.money(row.found.new.all_in),
                  tuple(_lines(row, row.found, base, form)))  # fmt: skip
    return AsJudged(figures.revision, figures.day, trail)


def _lines(row: NewPriceRow, found: Repriced, base: tuple[Layer, ...], form: Format) -> Iterator[Line]:
    of, (menu, _, serve) = found.row, row.place
    printed = Where("menu", menu, serve)
    layers = " + ".join(layer_word(layer) for layer in base)
    yield Line(say("cost, {layers}", layers=layers), form.least(form.money(of.cost), of.complete),
               where=Where("serve", serve))  # fmt: skip
    yield Line(say("the price now"), form.money(found.old.all_in), "measured", where=printed)
    yield Line(say("net of tax and service"), form.money(found.old.net), depth=1)
    yield Line(say("pour cost"), form.least(form.percent(found.old.pour_cost), of.complete), depth=1)
    yield Line(say("contribution margin"), margin_text(of, found.old.margin, form), depth=1)
    if found.change:
        yield Line(say("the new price"), form.money(found.new.all_in), where=printed)
        yield Line(say("net of tax and service"), form.money(found.new.net), depth=1)
        yield Line(say("pour cost"), form.least(form.percent(found.new.pour_cost), of.complete), depth=1)
        yield Line(say("contribution margin"), margin_text(of, found.new.margin, form), depth=1)
        yield Line(say("the change of the printed price"), form.signed(found.change))
        if found.rise is not None:
            yield Line(say("as a share of the old price"), form.percent(found.rise), depth=1)
        yield Line(say("sold in the sales looked at"), form.number(of.sold, 1, trim=True))
        yield Line(say("brings, at the same sales"), form.signed(of.sold * (found.new.net - found.old.net)), depth=1)
        yield Line(say("of its sales, until it earns no more than before"), volume_text(found, form), depth=1)
    else:
        yield Line(say("stays as it is"))
    for text, bound in ((say("no lower than"), of.least), (say("no higher than"), of.most)):
        if bound is not None:
            yield Line(text, form.money(bound), "assumed", where=printed)
    for family in sorted(found.stopped):
        yield Line(say("it goes no higher by {limit}", limit=word(FAMILY_WORDS, family)))
