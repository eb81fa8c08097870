"""Menu decisions for the owner: the scatter of each section, every drink with class and action, and what changed."""

from collections.abc import Iterator
from typing import Any

from reportlab.lib.units import mm
from reportlab.platypus import CondPageBreak, Spacer

from costing.report.content import Contents
from costing.report.decisions import DecisionRow, Decisions, DecisionSet, Walk, rule_words
from costing.report.figures.bridge import bridge_figure
from costing.report.figures.painter_pdf import Picture, measure_with
from costing.report.figures.scatter import count, scatter_figure
from costing.report.pdf_page import COPPER, FAINT, Ink, closing, heading, money, pages, table
from costing.report.phrases import money_name
from costing.report.words import series
from costing.tongue import Sayings, numeral, say, say_word

WIDE, BRIDGE = 773.0, 520.0
"""Points: widths of the scatter and of a bridge."""
ROOM = 42 * mm
_HEADS: Sayings = (
    "Drink", "Sold", "Share of the mix", "Net price", "Cost", "Margin", "Margin of all sold", "Class", "What to do",
)  # fmt: skip
_WIDTHS = (50, 15, 20, 20, 20, 20, 26, 30, 72)
_NAME, _AGREED, _WHOLE = 56, 37, 273
"""mm of the columns of the table of methods, and of the page."""


def menu_decisions(contents: Contents) -> bytes:
    """The report of a day as a PDF; where no sales were read, a page that says so."""
    if contents.decisions is not None:
        return decisions_pages(contents.decisions)
    ink = Ink()
    none = say("No sales have been read yet: the menu is judged by what was sold.")
    story: list[Any] = [
        ink.para(say("Menu decisions"), 17, bold=True), Spacer(1, 1.5 * mm), ink.para(none, 9),
        *closing(ink, contents.cautions, contents.head),
    ]  # fmt: skip
    return pages(story, title=say("Menu decisions"), head=contents.head, ink=ink, wide=True)


def decisions_pages(decisions: Decisions) -> bytes:
    """The report as a PDF."""
    ink, head = Ink(), decisions.head
    said = say("Money in {currency}, a drink, after tax.", currency=money_name(head))
    story: list[Any] = [
        ink.para(say("Menu decisions"), 17, bold=True), Spacer(1, 1.5 * mm),
        ink.para(f"{rule_words(decisions)} {said}", 8, colour=FAINT),
    ]  # fmt: skip
    for section in decisions.sets:
        story += _section(ink, section, decisions)
    if not decisions.sets:
        story.append(ink.para(say("No menu is in force on this day."), 9))
    for walk in decisions.walks:
        story.append(_walk(ink, walk, decisions))
    story += _below(ink, decisions)
    story += closing(ink, decisions.cautions, head)
    return pages(story, title=say("Menu decisions"), head=head, ink=ink, wide=True)


def _section(ink: Ink, section: DecisionSet, decisions: Decisions) -> list[Any]:
    head, scatter = decisions.head, section.scatter
    line = ink.para(_thresholds(section, decisions), 8, colour=FAINT)
    if scatter is None:
        out = [CondPageBreak(ROOM), heading(ink, section.title, line)]
    else:
        tall = min(330.0, 190.0 + 6.0 * len(section.rows))  # few drinks leave room for their table on the page
        figure = scatter_figure(scatter, WIDE, tall, measure_with(ink), lambda value: money(value, head))
        out = [heading(ink, section.title, line, Spacer(1, 1.5 * mm), Picture(figure, ink))]
    if section.rows:
        first = [ink.para(say_word(name), 7, bold=True, right=1 <= n <= 6) for n, name in enumerate(_HEADS)]
        rows = [first, *(_row(ink, row, section, decisions) for row in section.rows)]
        out += [CondPageBreak(ROOM), table(rows, _WIDTHS, [("LEFTPADDING", (7, 0), (7, -1), 9)])]
    if section.methods:
        out += [CondPageBreak(ROOM), *_methods(ink, section)]
    return out


def _thresholds(section: DecisionSet, decisions: Decisions) -> str:
    said = []
    popular, earning = section.popular, section.earning
    if popular is not None and earning is not None:
        cash = [money(v, decisions.head) for v in (earning.value, earning.low, earning.high)]
        share = f"{100 * popular.value / section.sold:.2f}" if section.sold else "–"
        said.append(say(
            "Popular from {sold} sold ({share} % of {all}); a high margin from {margin} (with a chance of 90 % from "
            "{low} to {high}).",
            sold=count(popular.value), share=numeral(share), all=count(section.sold), margin=cash[0], low=cash[1],
            high=cash[2],
        ))  # fmt: skip
    said += [section.note] if section.note else []
    if section.left_out:
        said.append(say("No price, so in no class: {names}.", names=series(section.left_out)))
    return " ".join(said)


def _row(ink: Ink, row: DecisionRow, section: DecisionSet, decisions: Decisions) -> list[Any]:
    head, share = decisions.head, section.share(row)
    least, most = ("", "") if row.complete else (say("at least"), say("at most"))
    return [
        ink.para(row.name, bold=True),
        ink.para(count(row.sold), right=True),
        ink.para("–" if share is None else numeral(f"{100 * share:.1f} %"), right=True),
        ink.para(money(row.net, head), right=True),
        ink.two(money(row.cost, head), least, right=True),
        ink.two(money(row.margin, head), most, right=True),
        ink.two(money(row.sold * row.margin, head), most, right=True),
        ink.two(row.klass or "–", row.standing if row.klass else "", bold=row.state == "sure"),
        ink.two(row.action, row.why),
    ]


def _methods(ink: Ink, section: DecisionSet) -> Iterator[Any]:
    """The rivals beside each other: where they agree, and where the class hangs on the method."""
    each = (_WHOLE - _NAME - _AGREED) / len(section.methods)
    heads = [say("Drink"), *section.methods, say("Agree")]
    rows = [[ink.para(name, 7, bold=True) for name in heads]]
    for row in section.rows:
        cells = [*row.cells, *("" for _ in section.methods)][: len(section.methods)]
        rows.append([ink.para(row.name, 7.5, bold=True), *(ink.para(cell or "–", 7.5) for cell in cells),
                     ink.para(row.agreed or "–", 7.5)])  # fmt: skip
    yield heading(ink, say("The same drinks by other methods: {title}", title=section.title))
    yield table(rows, (_NAME, *(each for _ in section.methods), _AGREED))


def _walk(ink: Ink, walk: Walk, decisions: Decisions) -> Any:
    def cash(value: float) -> str:
        return money(value, decisions.head)

    def share(value: float) -> str:
        return numeral(f"{100 * value:.2f} %")

    def points(value: float) -> str:
        return say("{points} points", points=numeral(f"{100 * value:.2f}"))

    whole, step = (cash, cash) if walk.unit == "money" else (share, points)
    figure = bridge_figure(walk.bridge, BRIDGE, measure_with(ink), whole, moved=step)
    return heading(ink, walk.title, Picture(figure, ink))


def _below(ink: Ink, decisions: Decisions) -> Iterator[Any]:
    if decisions.without:
        said = say("Sold, and on no menu of this day, so in no section: {names}.", names=series(decisions.without))
        yield ink.para(said, 7.5, colour=COPPER)
    words = say(
        "Both thresholds are averages of the section itself: some drink always lies below, and when one leaves, others "
        "change their class. A borderline drink is no reason to take it off. A class says nothing of what guests order "
        "together, of drinks that ran out, or of why a drink is on the menu."
    )
    yield heading(ink, say("How to read it"), ink.para(words, 7.5, colour=FAINT))
