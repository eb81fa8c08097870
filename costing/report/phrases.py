"""Figures as short phrases, alike in the workbook and on the page."""

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal

from costing.book.problem import Problem
from costing.ledger.balance import Balance
from costing.report.content import (
    Assumption,
    Contents,
    DeviationRow,
    FigureRow,
    FlowRow,
    Head,
    ServeRow,
    TimeRow,
)
from costing.report.words import FATE_WORDS, FIGURE_WORDS, KEY_WORDS, MAKEUP_WORDS, sentence

_SHORT = {
    "out.mass": "goes on, weighed",
    "out.volume": "goes on, by volume",
    "out.abv": "goes on, strength",
    "out.brix": "goes on, Brix",
    "left.mass": "leaves, weighed",
    "left.abv": "leaves, strength",
}
_NOTES = {
    "t_start": "boils from {:.1f} °C",
    "t_end": "to {:.1f} °C",
    "runs": "in {:.0f} runs",
    "pressure_bar": "the gas needs {:.2f} bar absolute",
    "sugar_fermented": "{:.4f} kg of sugar fermented",
}

COUNTED = "amounts, times, stage figures and readings, weights of a piece, densities, house measures and packs"
"""What a share of cost that rests on assumed figures counts."""
NOT_COUNTED = "an assumed makeup, dilution or CO2"
"""What it does not count, although all of it is listed."""


def reading_word(name: str) -> str:
    """A fact or reading in few words."""
    part = name.removeprefix("makeup.")
    if part != name:
        return MAKEUP_WORDS.get(part, part)
    return _SHORT.get(name) or FIGURE_WORDS.get(name) or name.replace("_", " ")


def figure_line(figure: FigureRow) -> str:
    """ "refuse 49 % (measured)", with how where it is said."""
    how = f", {figure.how}" if figure.how else ""
    return f"{reading_word(figure.name)} {figure.typed.lstrip('~ ')} ({figure.mark}{how})"


def by_kind(reading: str, value: float, sign: str = "") -> str:
    """A reading's value in its own unit."""
    what = reading.rpartition(".")[2]
    if what in ("abv", "brix"):
        return f"{100 * value:{sign}.1f} {'Bx' if what == 'brix' else '% vol'}"
    return f"{value:{sign}.3f} {'L' if what == 'volume' else 'kg'}"


def deviation_line(row: DeviationRow) -> str:
    """ "leaves, weighed: 1.560 kg where 1.500 kg is computed, +0.060 kg"."""
    said = f"{reading_word(row.reading)}: {by_kind(row.reading, row.measured)}"
    if row.predicted is None:
        return f"{said}, where the other figures predict nothing"
    by = by_kind(row.reading, row.measured - row.predicted, "+")
    return f"{said} where {by_kind(row.reading, row.predicted)} is computed, {by}"


def kept_words(flow: FlowRow, key: str) -> str:
    """ "24 % of the alcohol and 10 % of the money", of what entered the stage; "" for what is not kept."""
    if flow.fate != "kept":
        return ""
    return f"{100 * flow.key_share:.0f} % of the {KEY_WORDS[key]} and {100 * flow.money_share:.0f} % of the money"


def time_line(what: str, time: TimeRow) -> str:
    """ "hands 25 min", with the text as typed where that is in another unit."""
    typed = time.typed.lstrip("~ ")
    said = typed
    if time.minutes is not None:
        minutes = f"{time.minutes:,.1f}".removesuffix(".0") + " min"
        said = minutes if typed.casefold().endswith(("min", "minute", "minutes")) else f"{minutes} ({typed})"
    each = " a run" if time.runs else " once a batch" if time.once else ""
    return f"{what} {said}{each}" + (" (assumed)" if time.mark == "assumed" else "")


def flow_line(flow: FlowRow, key: str) -> str:
    """ "pot residue 2.304 kg, lost"; a by-product with what it takes of the key component and of the money."""
    word = " with ".join(w for w in (FATE_WORDS[flow.fate], kept_words(flow, key)) if w)
    return f"{flow.kg:.3f} kg {word}" if flow.name == flow.fate else f"{flow.name} {flow.kg:.3f} kg, {word}"


def notes_line(notes: tuple[tuple[str, float], ...]) -> str:
    """What a stage found out beside its streams, such as the temperatures of a still."""
    return ", ".join(_NOTES[name].format(value) for name, value in notes if name in _NOTES)


def day_stamp(head: Head) -> str:
    """Day and revision, where the house is named beside it."""
    return f"{head.day.isoformat()} · revision {head.revision}"


def stamp(head: Head) -> str:
    """House, day and revision: enough to make the page again."""
    return f"{head.house or 'House without a name'} · {head.day.isoformat()} · revision {head.revision}"


def sugar_acid_words(balance: Balance, tart: Iterable[str], sweet: Iterable[str]) -> str:
    """ "sugar 90 g/l, acid at least 0.0 g/l as citric (not entered for Lemon)": least where a good does not say."""
    said = []
    for word, value, missing in (
        ("sugar", f"{balance.sugar_g_l:.0f} g/l", sorted(sweet)),
        ("acid", f"{balance.acid_g_l:.1f} g/l as citric", sorted(tart)),
    ):
        least = "at least " if missing else ""
        said.append(f"{word} {least}{value}" + (f" (not entered for {', '.join(missing)})" if missing else ""))
    return ", ".join(said)


def strength_words(serve: ServeRow, contents: Contents) -> str:
    """The strength after dilution, or why it is not known; and what it leaves out."""
    if serve.abv is not None:
        without = [contents.names.get(p.get("source"), p.get("source")) for p in serve.doubts if p.get("source")]
        return f"not known: leaves out {', '.join(without)}" if without else f"{100 * serve.abv:.1f} % vol"
    said = "; ".join(said_of(p, contents) for p in serve.doubts)
    return f"strength not known: {said or 'something in it is not followed'}"


def said_of(problem: Problem, contents: Contents) -> str:
    """The sentence of a problem, with names in place of ids."""
    known = [(k, contents.names.get(v, v) if k in ("source", "good") else v) for k, v in problem.detail]
    return sentence(replace(problem, detail=tuple(known)))


def assumed_words(items: Iterable[Assumption]) -> list[tuple[str, str]]:
    """(where, the figures assumed there), each place once: ("Lime", "acid ~55 g/l, one piece ~70 g")."""
    out: dict[str, list[str]] = {}
    for item in items:
        how = "; ".join(text for text in (item.how, item.note) if text)
        said = f"{reading_word(item.figure)} {item.typed}{f' ({how})' if how else ''}"
        out.setdefault(item.where, []).append(said)
    return [(where, ", ".join(said)) for where, said in out.items()]


def made_words(value: float, base: str) -> str:
    """What a batch makes: "1.741 L", "42 pieces"."""
    return f"{value:,.4g} pieces" if base == "each" else f"{value:,.3f} {unit_word(base)}"


def figure_words(item: Assumption) -> str:
    """ "Technique Stirred: dilution ~25 %"."""
    how = "; ".join(text for text in (item.how, item.note) if text)
    return f"{item.where}: {reading_word(item.figure)} {item.typed}{f' ({how})' if how else ''}"


def percent(rate: Decimal) -> str:
    """A rate as somebody says it: 0.19 is 19 %."""
    return f"{(100 * rate).normalize():f} %"


def unit_word(base: str) -> str:
    """A base unit as it is printed; a lone small l is too easily read as 1."""
    return {"l": "L", "kwh": "kWh"}.get(base, base)


def amount(value: float) -> str:
    """An amount in base units: three decimals, more where it is small."""
    return f"{value:,.3f}" if value == 0 or abs(value) >= 0.1 else f"{value:.5f}"


def amount_words(value: float, base: str) -> str:
    """An amount as a bar says it: ml and g where it is small."""
    if base in ("l", "kg") and abs(value) < 1.0:
        small = 1000.0 * value
        places = 0 if small == 0 or abs(small) >= 99.95 else 1 if abs(small) >= 0.95 else 3
        figure = f"{small:,.{places}f}"
        figure = figure.rstrip("0").rstrip(".") if "." in figure else figure
        return f"{figure} {'ml' if base == 'l' else 'g'}"
    if base == "each":
        return f"{value:.4g} pc"
    return f"{value:,.3f}".rstrip("0").rstrip(".") + f" {unit_word(base)}"
