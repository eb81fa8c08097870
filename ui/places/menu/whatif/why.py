"""Why a figure is another one under a scenario: trails for the why pane."""

from collections.abc import Iterator
from fractions import Fraction

from costing.menu.bridge import Bridge, Code, ItemParts, Part
from costing.menu.bridge_words import PARTS
from costing.tongue import capital, say, word
from ui.desk import Where
from ui.document import Figures
from ui.format import Format, own
from ui.places.menu.keep.why import AsJudged
from ui.places.menu.whatif.side_rows import SideRow
from ui.places.menu.whatif.words import Code as FigureCode
from ui.places.menu.whatif.words import come_text, difference, figure, figure_word
from ui.places.menu.whatif.work import Tried
from ui.whys import CostOfServe, Line, Trail

EACH: tuple[FigureCode, ...] = ("cost", "net", "margin", "pour cost", "sold")


def side_why(tried: Tried, n: int, row: SideRow, form: Format) -> object | None:
    """What a drink costs as it stands (``n`` -1), or what moves what it earns under a scenario."""
    if n < 0:
        return CostOfServe(row.serve) if row.serve else None
    other, bridge = tried.found.others[n], tried.bridges[n]
    title = say("{what} under {scenario}", what=own(row.name), scenario=own(other.name))
    return said_once(tried.of.figures, Trail(title, difference(row.before, row.after[n], "earned", form).text,
                                             tuple(_side(tried, n, row, bridge, form))))  # fmt: skip


def said_once(figures: Figures, said: Trail) -> AsJudged:
    """A trail that holds while the book is as it was."""
    return AsJudged(figures.revision, figures.day, said)


def _side(tried: Tried, n: int, row: SideRow, bridge: Bridge, form: Format) -> Iterator[Line]:
    where = Where("serve", row.serve) if row.serve else None
    yield Line(say("margin of the period now"), figure(row.before, "earned", form).text)
    parts = bridge.parts if row.whole else next((i.parts for i in bridge.items if i.key == f"row {row.key}"), ())
    yield from part_lines(parts, form)
    yield Line(say("margin of the period under it"), figure(row.after[n], "earned", form).text)
    for code in EACH:
        old, new = figure(row.before, code, form).text, figure(row.after[n], code, form).text
        if old != new:
            yield Line(say("{figure}: {before} to {after}", figure=figure_word(code), before=old, after=new),
                       difference(row.before, row.after[n], code, form).text, where=where)  # fmt: skip
    overlay = tried.found.others[n].overlay
    for laid in overlay.laid if overlay is not None else ():
        yield Line(say("supposed: {name}", name=own(laid.name)), come_text(laid, form), "assumed", 1)


def part_lines(parts: tuple[Part, ...], form: Format) -> Iterator[Line]:
    """What each part did, those that did something."""
    for part in parts:
        if part.money:
            yield Line(capital(word(PARTS, part.code)), form.signed(float(part.money)), depth=1)


def item_why(figures: Figures, item: ItemParts, title: str, form: Format) -> AsJudged:
    """What a drink did to the margin."""
    whole = sum((part.money for part in item.parts), Fraction(0))
    return said_once(figures, Trail(title, form.signed(float(whole)), tuple(part_lines(item.parts, form))))


def money_of(item: ItemParts, code: Code) -> Fraction:
    """One part of a drink."""
    return next((part.money for part in item.parts if part.code == code), Fraction(0))
