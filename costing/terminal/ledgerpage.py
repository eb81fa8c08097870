"""The page that ``ledger`` prints: the loss ledger of a preparation, stage by stage."""

from collections.abc import Iterator

from costing.book.book import View
from costing.book.records import LAYERS
from costing.ledger import Ledger, Line, Reckoning, Stream
from costing.ledger.matter import PURE_ALCOHOL
from costing.report.cautions import caution, cautions_for, vapour_line
from costing.report.phrases import notes_line
from costing.report.words import (
    FATE_WORDS,
    KEY_WORDS,
    STAGE_WORDS,
    STREAM_WORDS,
    figure_text,
    layer_word,
    value_text,
)
from costing.terminal.show import DASH, currency_of, figure, money, name_of, percent
from costing.terminal.table import table

HAZARDS = frozenset({"distil", "vapour", "vacuum", "pressure", "ferment"})
"""Cautions that a loss ledger on the terminal ends with; the reports print all of them."""


def ledger_text(reckoning: Reckoning, ledger: Ledger) -> Iterator[str]:
    """The loss ledger, stage by stage: of the standard batch, of one of another size, or of one as it was made."""
    view, currency = reckoning.view, currency_of(reckoning)
    head = ("stream", "kg", "litres", "alcohol L", "solids kg", "money", "of this, lost")
    for number, line in enumerate(ledger.lines, 1):
        rows: list[tuple[str, ...]] = []
        for stream in line.ins:
            rows.append((_stream_name(view, stream), *_masses(stream), _in_money(reckoning, stream, currency), ""))
        for stream in line.outs:
            carried = "", ""
            if stream.fate == "on":
                carried = (
                    _in_money(reckoning, stream, currency),
                    money(reckoning.lost_money(line.carried), currency),
                )
            elif stream.fate == "kept":
                carried = _in_money(reckoning, stream, currency), ""
            name = FATE_WORDS[stream.fate]
            if stream.fate not in ("on", "unexplained"):
                name += f": {_stream_name(view, stream)}"
            rows.append((name, *_masses(stream), *carried))
        yield f"{number}. {STAGE_WORDS.get(line.kind, line.kind)} ({line.stage})"
        yield table(head, rows)
        yield from _remarks(reckoning, line)
        yield ""
    yield from _outputs(reckoning, ledger)


def _stream_name(view: View, stream: Stream) -> str:
    if stream.fate == "in" and stream.source:
        return name_of(view, stream.source) + (", computed" if stream.name == "computed" else "")
    if stream.name.startswith("spill of "):
        return f"spill of {name_of(view, stream.source)}"
    return STREAM_WORDS.get(stream.name, stream.name)


def _masses(stream: Stream) -> tuple[str, str, str, str]:
    m = stream.matter
    if m.mass == 0.0:
        return DASH, DASH, DASH, DASH
    pure = m.ethanol * PURE_ALCOHOL
    litres = figure(m.volume(), 4) if m.liquid.mass else DASH
    return figure(m.mass, 4), litres, figure(pure, 4), figure(m.solubles + m.insolubles, 4)


def _in_money(reckoning: Reckoning, stream: Stream, currency: str) -> str:
    cost = reckoning.money(stream.row)
    return ("" if cost.complete else ">= ") + money(cost.making, currency)


def _remarks(reckoning: Reckoning, line: Line) -> Iterator[str]:
    if line.share_lost > 0.0:
        key = KEY_WORDS[line.key]
        lost = money(reckoning.lost_here(line), currency_of(reckoning))
        yield f"   lost here: {percent(line.share_lost)} of the {key} that entered, {lost} of the materials in it"
    if line.stood_on:
        parts = (f"{figure_text(n, v)} ({mark})" for n, v, mark in line.stood_on)
        yield "   stands on: " + ", ".join(parts)
    if said := notes_line(line.notes):
        yield f"   computed: {said}"
    if line.makes is not None:
        dim, amount = line.makes
        yield f"   says that it makes {amount:.5g} {dim.value}; what is in that is not followed, nor what is lost"
    if line.runs > 1.0:
        yield f"   made in {line.runs:g} runs"
    for d in line.deviations:
        if d.predicted is not None and d.by is not None:
            measured, predicted = figure_text(d.reading, d.measured), value_text(d.reading, d.predicted)
            sign = "+" if d.by > 0 else ""
            yield f"   measured {measured}, predicted {predicted}: {sign}{value_text(d.reading, d.by)}"


def _outputs(reckoning: Reckoning, ledger: Ledger) -> Iterator[str]:
    currency, view = currency_of(reckoning), reckoning.view
    for output in ledger.outputs.values():
        cost = reckoning.money(output.direct.row)
        parts = ", ".join(
            f"{layer_word(layer)} {money(c, currency, 2)}" for layer, c in zip(LAYERS, cost.columns, strict=True) if c
        )
        own = f" ({figure(output.own_use, 4)} of it used by the batch itself)" if output.own_use else ""
        least = "" if cost.complete else "at least "
        makes = figure(output.made, 0 if output.unit.base == "each" else 5)
        yield (
            f"Makes {makes} {output.unit.base} of {name_of(reckoning.view, output.id)}{own}: "
            f"{least}{money(cost.making, currency, 2)} a {output.unit.base} ({parts or 'nothing'}); "
            f"{money(reckoning.lost_money(output.direct), currency, 2)} of the materials was lost on the way; "
            f"{percent(reckoning.assumed_share(output.direct), 0)} rests on assumed figures"
        )
    for code in cautions_for(reckoning, ledger.id):
        if code in HAZARDS:
            house = view.book.house
            permit, until = (house.permit, house.permit_until) if house else ("", None)
            yield f"Caution: {caution(code, permit, until, view.day)}"
    if said := vapour_line(reckoning, ledger.id):
        yield f"Caution: {said}"
    if ledger.refused:
        yield "Refused: it cannot be costed until the errors below are put right."
