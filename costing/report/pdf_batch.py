"""The batch sheet: what goes in, stage by stage, where it is lost, and what a unit of what is made costs."""

from collections.abc import Iterable, Iterator
from decimal import Decimal
from typing import Any

from reportlab.lib.units import mm
from reportlab.platypus import PageBreak, Spacer

from costing.book.records import LAYERS
from costing.report.content import AddedRow, Contents, OutputRow, PreparationRow, StageRow
from costing.report.figures.painter_pdf import Picture, measure_with
from costing.report.figures.stream import stream_figure
from costing.report.pdf_page import (
    COPPER,
    FAINT,
    PAPER,
    RULE,
    Ink,
    closing,
    figure,
    heading,
    money,
    pages,
    table,
    unit_money,
)
from costing.report.pdf_strip import strips
from costing.report.phrases import (
    amount,
    deviation_line,
    figure_line,
    figure_words,
    kept_words,
    made_words,
    notes_line,
    time_line,
    unit_word,
)
from costing.report.places import amiss_line, amiss_of, refusal
from costing.report.words import key_word, layer_word, mark_word, series, stage_word, stream_word
from costing.tongue import Saying, Sayings, capital, day_text, numeral, say, say_word

_WIDTH = 186.0
RESTS: Saying = (
    "{share} % of this cost rests on assumed figures (amounts, times, stage figures and readings, weights of a piece, "
    "densities, house measures and packs)."
)
RESTS_NOT: Saying = (
    "None of this cost rests on an assumed figure among amounts, times, stage figures and readings, weights of a "
    "piece, densities, house measures and packs."
)
_LEDGER_HEADS: Sayings = (
    "Stage", "In", "Goes on", "L", "% vol", "Pure alcohol", "Kept", "Meant to leave", "Lost", "Unex- plained",
    "Yield lost", "Carried, materials", "of this, lost", "with making",
)  # fmt: skip


def batch_sheet(contents: Contents, preparation: PreparationRow, *, times: Decimal | None = None) -> bytes:
    """The sheet of one preparation as a PDF, with its costs. ``times`` says that the figures handed in are of a batch
    so many times the standard one."""
    ink, head = Ink(), contents.head
    return pages(
        _story(ink, preparation, contents, costs=True, times=times),
        title=say("Batch sheet"),
        head=head,
        ink=ink,
        wide=False,
    )


def team_sheets(contents: Contents, chosen: Iterable[str]) -> bytes:
    """The sheets of several preparations as one PDF for the team: the same without any cost."""
    ink, wanted = Ink(), set(chosen)
    story: list[Any] = []
    for preparation in contents.preparations:
        if preparation.id in wanted:
            story += [*([PageBreak()] if story else []), *_story(ink, preparation, contents, costs=False)]
    return pages(story, title=say("Batch sheets for the team"), head=contents.head, ink=ink, wide=False)


def _story(
    ink: Ink, preparation: PreparationRow, contents: Contents, *, costs: bool, times: Decimal | None = None
) -> list[Any]:
    story: list[Any] = [ink.para(preparation.name, 16, bold=True), Spacer(1, 1 * mm)]
    since = say("One standard batch, made this way since {day}.", day=day_text(preparation.since))
    if times is not None and times != 1:
        factor = numeral(f"{float(times):.4g}")
        since = say(
            "A batch {factor} times the standard one, made this way since {day}.",
            factor=factor, day=day_text(preparation.since),
        )  # fmt: skip
    story.append(ink.para(f"{since} {preparation.note}".strip(), 8, colour=FAINT))
    story += list(_refused(ink, preparation, contents))
    story += [Spacer(1, 3 * mm), _blanks(ink, preparation.shelf_days)]
    if preparation.outputs and costs:
        story.append(heading(ink, say("What it makes and costs"), _outputs(ink, preparation.outputs, contents)))
        story += list(_marks(ink, preparation))
    elif preparation.outputs:
        made = [f"{o.name}: {made_words(o.made, o.base)}" for o in preparation.outputs]
        story.append(heading(ink, say("What it makes"), *(ink.para(line, 9, bold=True) for line in made)))
    if preparation.stages:
        whole = bool(preparation.outputs)
        story.append(heading(ink, say("Stages") if whole else say("Stages, as far as they can be followed")))
        story.append(_stages(ink, preparation.stages))
        if costs and preparation.stream is not None:
            figure = stream_figure(
                preparation.stream, _WIDTH * mm, 270.0, measure_with(ink), lambda v: money(v, contents.head)
            )
            story.append(heading(ink, say("Where the money goes"), Picture(figure, ink)))
        picture = strips(preparation.stages, _WIDTH * mm, ink) if preparation.outputs else None
        if picture is not None:
            story.append(heading(ink, say("Where it goes, in kilograms"), picture))
        story.append(heading(ink, say("Loss ledger")))
        story.append(_ledger(ink, preparation.stages, contents, costs=costs))
        story.append(Spacer(1, 1 * mm))
        words = say("Kilograms; litres at 20 °C; pure alcohol in litres.")
        if costs:
            memo = say(
                "Money carried is for the whole batch so far. Of this, lost is a memo: the part of materials that was "
                "spent on what is lost. It is inside what is carried, never added to it."
            )
            words = f"{words} {memo}"
        story.append(ink.para(words, 6.5, colour=FAINT))
    story += list(_remarks(ink, preparation, contents))
    story += closing(ink, preparation.cautions, contents.head)
    if preparation.vapour:
        story.append(ink.para(preparation.vapour, 7, colour=FAINT))
    return story


def _refused(ink: Ink, preparation: PreparationRow, contents: Contents) -> Iterator[Any]:
    """Said first, since everything below it is then without a cost."""
    if preparation.outputs:
        return
    said = [amiss_line(p, contents) for p in refusal(preparation, contents)]
    yield heading(ink, say("Refused: cannot be costed"), *(ink.para(line, 8.5, colour=COPPER) for line in said[:1]))
    yield from (ink.para(line, 8.5, colour=COPPER) for line in said[1:])


def _blanks(ink: Ink, shelf_days: int | None) -> Any:
    """Boxes to fill in by hand; the days that the house keeps it, where it says so. No shelf life is suggested."""
    if shelf_days is None:
        keeps = say("Use by, set by the house")
    else:
        keeps = say("Use by: made + {days} days, as the house says", days=shelf_days)
    names = (say("Day made"), say("Initials"), say("Lot"), keeps)
    cells = [[[ink.para(name, 6.5, colour=FAINT), Spacer(1, 5 * mm)] for name in names]]
    return table(cells, [_WIDTH / 4] * 4, [("GRID", (0, 0), (-1, -1), 0.5, RULE)], headed=False)


def _outputs(ink: Ink, outputs: tuple[OutputRow, ...], contents: Contents) -> Any:
    head = contents.head
    names = (say("Output"), say("A batch makes"), *(capital(layer_word(layer)) for layer in LAYERS),
             say("Cost per unit"), say("of materials, lost"))  # fmt: skip
    rows = [[ink.para(name, 7, bold=True, right=n > 0) for n, name in enumerate(names)]]
    for output in outputs:
        unit = unit_word(output.base)
        own = say("some goes back into the next batch; the cost is settled for that") if output.net_of_itself else ""
        row: list[Any] = [ink.two(output.name, own)]
        row.append(ink.para(made_words(output.made, output.base), 8, right=True))
        row += [ink.para(unit_money(layer, head), 8, right=True) for layer in output.cost]
        cost = ink.para(f"{unit_money(sum(output.cost), head)} / {unit}", 9, bold=True, right=True, colour=COPPER)
        mark = [] if output.complete else [ink.para(say("at least"), 6.5, bold=True, right=True, colour=COPPER)]
        row.append([*mark, cost])
        row.append(ink.para(unit_money(output.lost_money, head), 8, right=True))
        rows.append(row)
    return table(rows, (40, 24, 20, 17, 17, 17, 31, 20))


def _marks(ink: Ink, preparation: PreparationRow) -> Iterator[Any]:
    for output in preparation.outputs:
        said = []
        if output.unpriced:
            said.append(say("No price today: {names}.", names=series(output.unpriced)))
        if output.assumed_share:
            said.append(say_word(RESTS, share=f"{100 * output.assumed_share:.0f}"))
        elif output.id == preparation.id:
            said.append(say_word(RESTS_NOT))
        if output.id == preparation.id:
            said.append(say("Not counted in that: an assumed makeup, dilution or CO2."))
        if said:
            yield Spacer(1, 0.8 * mm)
            yield ink.para(f"{output.name}: {' '.join(said)}", 7, colour=FAINT)


def _stages(ink: Ink, stages: tuple[StageRow, ...]) -> Any:
    heads = (say("Stage"), say("Goes in, as typed"), say("Figures, each with its mark"), say("Weighed, read"))
    rows: list[list[Any]] = [[ink.para(name, 7, bold=True) for name in heads]]
    for n, stage in enumerate(stages, start=1):
        times = [time_line(say("set up"), stage.setup)] if stage.setup else []
        times += [time_line(say("hands"), stage.active)] if stage.active else []
        times += [time_line(say("alone"), stage.passive)] if stage.passive else []
        under = " · ".join(t for t in (stage.equipment, *times, stage.note) if t)
        figures = [ink.para(figure_line(f), 7.5) for f in stage.figures]
        counted = any(f.name == "runs" for f in stage.figures)
        found = notes_line(tuple(n for n in stage.notes if n[0] != "runs" or not counted))
        figures += [ink.para(f"{found} ({mark_word('computed')})", 7.5, colour=FAINT)] if found else []
        name = ink.two(f"{n} {stage_word(stage.kind)}", under, 8, bold=True)
        added = [ink.para(stream_word("running"), 7.5, colour=FAINT)] if n > 1 else []
        added += [ink.para(_goes_in(item), 8) for item in stage.added]
        rows.append([name, added or ink.para(say("nothing"), 7.5, colour=FAINT), figures or "", ""])
    return table(rows, (42, 64, 54, 26), [("LINEBEFORE", (3, 1), (3, -1), 0.25, RULE)])


def _goes_in(item: AddedRow) -> str:
    """As typed, and in the unit it is costed in where that is another."""
    mark = f" ({mark_word('assumed')})" if item.mark == "assumed" else ""
    mark += f" ({say('once a batch')})" if item.fixed else ""
    in_base = f"{amount(item.amount)} {unit_word(item.base)}"
    if not item.typed:
        return f"{item.name}, {in_base}, {mark_word('computed')}" if item.kg else f"{item.name}, {in_base}"
    typed = item.typed.lstrip("~ ")
    units = {"kg": (" g", " kg"), "l": (" ml", " cl", " l"), "each": tuple("0123456789")}.get(item.base, ())
    same = typed.casefold().endswith(units) if units else False
    return f"{item.name}, {typed}{mark}" + ("" if same else f" = {in_base}")


def _ledger(ink: Ink, stages: tuple[StageRow, ...], contents: Contents, *, costs: bool) -> Any:
    head = contents.head
    heads = tuple(say_word(name) for name in _LEDGER_HEADS)
    widths: tuple[float, ...] = (30, 11, 11, 11, 9.5, 11, 11, 11, 11, 12, 15, 14.5, 13.5, 14.5)
    if not costs:
        heads, widths = heads[:11], (52, 13, 13, 13, 12, 13, 13, 14, 13, 14, 16)
    rows = [[ink.para(name, 6, bold=True, right=n > 0) for n, name in enumerate(heads)]]
    for n, stage in enumerate(stages, start=1):
        on = stage.flow("on")
        left = [
            _leaves(f.name, figure(f.kg), kept_words(f, stage.key) if costs else "")
            for f in stage.flows
            if f.fate not in ("on", f.name)
        ]
        gone = sum(f.alcohol for f in stage.flows if f.fate in ("lost", "unexplained"))
        left += [say("pure alcohol lost: {litres} L", litres=figure(gone))] if gone >= 0.0005 else []
        cells = [figure(stage.into.kg), figure(on.kg), figure(on.litres), figure(on.abv and 100 * on.abv, 1),
                 figure(on.alcohol), *(figure(stage.flow(f).kg) for f in ("kept", "meant", "lost", "unexplained")),
                 _share(stage)]  # fmt: skip
        if costs:
            cells += [money(stage.money[0], head), money(stage.lost_money, head), money(sum(stage.money), head)]
        name = ink.two(f"{n} {stage_word(stage.kind)}", "; ".join(left), 7.5)
        rows.append([name, *(ink.para(cell, 7, right=True) for cell in cells)])
    look: list[tuple[Any, ...]] = [("LEFTPADDING", (1, 0), (-1, -1), 0.5)]
    return table(rows, widths, [*look, ("BACKGROUND", (11, 1), (13, -1), PAPER)] if costs else look)


def _share(stage: StageRow) -> str:
    return numeral(f"{100 * stage.share_lost:.1f} % ") + key_word(stage.key) if stage.share_lost else "–"


def _leaves(name: str, kg: str, kept: str) -> str:
    """A stream out in a line; a by-product with what it takes along."""
    if kept:
        return say("{name}: {kg} kg, with {shares} that went in", name=name, kg=kg, shares=kept)
    return f"{name}: {kg} kg"


def _remarks(ink: Ink, preparation: PreparationRow, contents: Contents) -> Iterator[Any]:
    said = [
        say("Stage {n}, {deviation}.", n=n, deviation=deviation_line(d))
        for n, s in enumerate(preparation.stages, start=1) for d in s.deviations if d.predicted is not None
    ]  # fmt: skip
    yield from _list(ink, say("Readings beside what is computed"), said)
    found = amiss_of(preparation, contents)
    amiss = [amiss_line(p, contents) for p in found if preparation.outputs or p.level != "error"]
    yield from _list(ink, say("What is amiss"), amiss)
    mine = [figure_words(a) for a in contents.assumptions if a.record == preparation.id]
    yield from _list(ink, say("What is assumed"), mine)


def _list(ink: Ink, title: str, lines: list[str]) -> Iterator[Any]:
    if lines:
        yield heading(ink, title, ink.para(lines[0], 7.5))
        yield from (ink.para(line, 7.5) for line in lines[1:])
