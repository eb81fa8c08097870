"""Cost sheets for the owner: for each serve, the stream into the glass, its price steps and which price moves it."""

from typing import Any

from reportlab.lib.units import mm
from reportlab.platypus import PageBreak, Spacer, Table, TableStyle

from costing.report.content import Contents, MenuRow
from costing.report.figures.painter_pdf import Picture, measure_with
from costing.report.figures.steps import steps_figure, steps_of
from costing.report.figures.stream import stream_figure
from costing.report.figures.tornado import tornado_figure
from costing.report.pdf_menu import aim_words
from costing.report.pdf_page import COPPER, FAINT, Ink, money, pages, unit_money
from costing.report.phrases import said_of
from costing.report.sheet_costs import base_words

_WIDE, _TALL = 773.0, 244.0
_STEPS, _TORNADO = 432.0, 314.0


def cost_sheets(contents: Contents) -> bytes:
    """One page a serve of the menu as a PDF."""
    ink, head = Ink(), contents.head
    story: list[Any] = []
    for n, line in enumerate(contents.menu):
        story += [*([PageBreak()] if n else []), *_page(ink, line, contents)]
    if not story:
        story.append(ink.para("No serve is made on this day.", 9))
    return pages(story, title="Cost sheets", head=head, ink=ink, wide=True)


def _page(ink: Ink, line: MenuRow, contents: Contents) -> list[Any]:
    head, serve, priced = contents.head, line.serve, line.priced
    where = " · ".join(w for w in (line.menu, line.section) if w) or "On no menu"
    sure = "" if serve.complete else "at least "
    out: list[Any] = [ink.para(serve.name, 15, bold=True)]
    if not serve.costed:
        why = "; ".join(said_of(p, contents) for p in serve.doubts) or "see what is amiss"
        return [*out, ink.para(f"{where}. Cannot be costed: {why}", 9, colour=COPPER)]
    shares = ", ".join(
        f"{word} {money(value, head)}" for word, value in zip(("materials", "energy", "machine", "labour"), serve.cost,
                                                             strict=True) if value
    )  # fmt: skip
    out.append(ink.para(
        f"{where}. One drink costs {sure}{money(serve.base_cost, head)} in {base_words(head)} and {sure}"
        f"{money(serve.making, head)} with making ({shares}). Money in {head.currency or 'no currency'}.", 8,
        colour=FAINT,
    ))  # fmt: skip
    measure = measure_with(ink)

    def cash(value: float) -> str:
        return money(value, head)

    def finer(value: float) -> str:
        return unit_money(value, head)

    if serve.stream is not None:
        out += [Spacer(1, 2 * mm), ink.para("From pack to glass", 10.5, bold=True), Spacer(1, 1 * mm)]
        out.append(Picture(stream_figure(serve.stream, _WIDE, _TALL, measure, cash), ink))
    left: list[Any] = []
    if head.terms:
        found = steps_of(
            serve.base_cost, priced.policy, contents.levies, contents.points, printed=line.printed,
            suggested=priced.suggestion.at.all_in if priced.suggestion else None,
        )  # fmt: skip
        if found:
            picture = steps_figure(
                found, _STEPS, measure, cash, aim=aim_words(priced.policy, head), sure=serve.complete
            )
            left = [ink.para("Price steps", 10.5, bold=True), Spacer(1, 1 * mm), Picture(picture, ink)]
    left = left or [ink.para("No price is printed and none can be suggested, so there are no price steps.", 8)]
    right: list[Any] = []
    if serve.shares and serve.shares[0][1] > 0.0:
        right = [ink.para("Which price moves it", 10.5, bold=True), Spacer(1, 1 * mm),
                 Picture(tornado_figure(serve.shares, _TORNADO, measure, finer), ink)]  # fmt: skip
    out += [Spacer(1, 2 * mm), Table(
        [[left, right]], [_STEPS + 22.0, _TORNADO + 6.0],
        style=TableStyle([("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (-1, -1), 0),
                          ("RIGHTPADDING", (0, 0), (-1, -1), 0), ("TOPPADDING", (0, 0), (-1, -1), 0)]),
        hAlign="LEFT",
    )]  # fmt: skip
    return out
