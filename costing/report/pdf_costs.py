"""Cost sheets for the owner: for each serve, the stream into the glass, its price steps and which price moves it."""

from typing import Any

from reportlab.lib.units import mm
from reportlab.platypus import PageBreak, Spacer

from costing.book.records import LAYERS
from costing.report.content import Contents, Head, MenuRow, ServeRow
from costing.report.figures.painter_pdf import Picture, measure_with
from costing.report.figures.steps import steps_figure, steps_of
from costing.report.figures.stream import stream_figure
from costing.report.figures.tornado import tornado_figure
from costing.report.pdf_menu import aim_words
from costing.report.pdf_page import COPPER, FAINT, Ink, laid, money, pages, unit_money
from costing.report.phrases import money_name, said_of
from costing.report.sheet_costs import base_words
from costing.report.words import layer_word, series
from costing.tongue import say

_WIDE, _TALL = 773.0, 244.0
_STEPS, _TORNADO = 432.0, 314.0


def cost_sheets(contents: Contents) -> bytes:
    """One page a serve of the menu as a PDF."""
    ink, head = Ink(), contents.head
    story: list[Any] = []
    for n, line in enumerate(contents.menu):
        story += [*([PageBreak()] if n else []), *_page(ink, line, contents)]
    if not story:
        story.append(ink.para(say("No serve is made on this day."), 9))
    return pages(story, title=say("Cost sheets"), head=head, ink=ink, wide=True)


def _costs(where: str, serve: ServeRow, head: Head) -> str:
    """What one drink costs, in a line."""
    shares = series(
        f"{layer_word(layer)} {money(value, head)}" for layer, value in zip(LAYERS, serve.cost, strict=True) if value
    )
    base, making = money(serve.base_cost, head), money(serve.making, head)
    if serve.complete:
        return say(
            "{where}. One drink costs {base} in {layers} and {making} with making ({shares}). Money in {currency}.",
            where=where, base=base, layers=base_words(head), making=making, shares=shares, currency=money_name(head),
        )  # fmt: skip
    return say(
        "{where}. One drink costs at least {base} in {layers} and at least {making} with making ({shares}). Money in "
        "{currency}.",
        where=where, base=base, layers=base_words(head), making=making, shares=shares, currency=money_name(head),
    )  # fmt: skip


def _page(ink: Ink, line: MenuRow, contents: Contents) -> list[Any]:
    head, serve, priced = contents.head, line.serve, line.priced
    where = " · ".join(w for w in (line.menu, line.section) if w) or say("On no menu")
    out: list[Any] = [ink.para(serve.name, 15, bold=True)]
    if not serve.costed:
        why = "; ".join(said_of(p, contents) for p in serve.doubts) or say("see what is amiss")
        return [*out, ink.para(say("{where}. Cannot be costed: {why}", where=where, why=why), 9, colour=COPPER)]
    out.append(ink.para(_costs(where, serve, head), 8, colour=FAINT))
    measure = measure_with(ink)

    def cash(value: float) -> str:
        return money(value, head)

    def finer(value: float) -> str:
        return unit_money(value, head)

    if serve.stream is not None:
        out += [Spacer(1, 2 * mm), ink.para(say("From pack to glass"), 10.5, bold=True), Spacer(1, 1 * mm)]
        out.append(Picture(stream_figure(serve.stream, _WIDE, _TALL, measure, cash), ink))
    left: list[Any] = []
    if head.terms:
        found = steps_of(
            serve.base_cost, priced.policy, contents.levies, contents.points, printed=line.printed,
            suggested=priced.suggestion.at.all_in if priced.suggestion else None,
        )  # fmt: skip
        if found:
            picture = steps_figure(
                found, _STEPS, measure, cash, aim=aim_words(priced.policy, head), sure=serve.complete,
                band=contents.band(serve.id),
            )  # fmt: skip
            left = [ink.para(say("Price steps"), 10.5, bold=True), Spacer(1, 1 * mm), Picture(picture, ink)]
    none = say("No price is printed and none can be suggested, so there are no price steps.")
    left = left or [ink.para(none, 8)]
    right: list[Any] = []
    if serve.shares and serve.shares[0][1] > 0.0:
        right = [ink.para(say("Which price moves it"), 10.5, bold=True), Spacer(1, 1 * mm),
                 Picture(tornado_figure(serve.shares, _TORNADO, measure, finer), ink)]  # fmt: skip
    out += [Spacer(1, 2 * mm), laid(
        [[left, right]], [_STEPS + 22.0, _TORNADO + 6.0],
        [("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (-1, -1), 0),
         ("RIGHTPADDING", (0, 0), (-1, -1), 0), ("TOPPADDING", (0, 0), (-1, -1), 0)],
    )]  # fmt: skip
    return out
