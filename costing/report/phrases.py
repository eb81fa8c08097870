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
from costing.report.method_words import how_said
from costing.report.words import (
    FIGURE_WORDS,
    fate_word,
    figure_word,
    key_word,
    makeup_word,
    mark_word,
    sentence,
    series,
)
from costing.tongue import Words, day_text, numeral, say, say_word, word

_SHORT: Words = {
    "out.mass": "goes on, weighed",
    "out.volume": "goes on, by volume",
    "out.abv": "goes on, strength",
    "out.brix": "goes on, Brix",
    "left.mass": "leaves, weighed",
    "left.abv": "leaves, strength",
}
_NOTES: Words = {
    "t_start": "boils from {value} °C",
    "t_end": "to {value} °C",
    "runs": "in {value} runs",
    "pressure_bar": "the gas needs {value} bar absolute",
    "sugar_fermented": "{value} kg of sugar fermented",
}
_NOTE_PLACES = {"t_start": 1, "t_end": 1, "runs": 0, "pressure_bar": 2, "sugar_fermented": 4}


def reading_word(name: str) -> str:
    """A fact or reading in few words."""
    part = name.removeprefix("makeup.")
    if part != name:
        return makeup_word(part)
    if name in _SHORT:
        return word(_SHORT, name)
    return figure_word(name if name in FIGURE_WORDS else name.replace("_", " "))


def figure_line(figure: FigureRow) -> str:
    """ "refuse 49 % (measured)", with how where it is said."""
    how = f", {how_said(figure.how)}" if figure.how else ""
    return f"{reading_word(figure.name)} {figure.typed.lstrip('~ ')} ({mark_word(figure.mark)}{how})"


def by_kind(reading: str, value: float, sign: str = "") -> str:
    """A reading's value in its own unit."""
    what = reading.rpartition(".")[2]
    if what in ("abv", "brix"):
        return numeral(f"{100 * value:{sign}.1f} {'Bx' if what == 'brix' else '% vol'}")
    return numeral(f"{value:{sign}.3f} {'L' if what == 'volume' else 'kg'}")


def deviation_line(row: DeviationRow) -> str:
    """ "leaves, weighed: 1.560 kg where 1.500 kg is computed, +0.060 kg"."""
    what, read = reading_word(row.reading), by_kind(row.reading, row.measured)
    if row.predicted is None:
        return say("{what}: {read}, where the other figures predict nothing", what=what, read=read)
    by = by_kind(row.reading, row.measured - row.predicted, "+")
    computed = by_kind(row.reading, row.predicted)
    return say("{what}: {read} where {computed} is computed, {by}", what=what, read=read, computed=computed, by=by)


def kept_words(flow: FlowRow, key: str) -> str:
    """ "24 % of the alcohol and 10 % of the money", of what entered the stage; "" for what is not kept."""
    if flow.fate != "kept":
        return ""
    return say(
        "{share} % of the {key} and {money} % of the money",
        share=f"{100 * flow.key_share:.0f}", key=key_word(key), money=f"{100 * flow.money_share:.0f}",
    )  # fmt: skip


def time_line(what: str, time: TimeRow) -> str:
    """ "hands 25 min", with the text as typed where that is in another unit; ``what`` is already in the language."""
    typed = time.typed.lstrip("~ ")
    said = typed
    if time.minutes is not None:
        minutes = numeral(f"{time.minutes:,.1f}".removesuffix(".0")) + " min"
        said = minutes if typed.casefold().endswith(("min", "minute", "minutes")) else f"{minutes} ({typed})"
    if time.runs:
        said = say("{time} a run", time=said)
    elif time.once:
        said = say("{time} once a batch", time=said)
    return f"{what} {said}" + (f" ({mark_word('assumed')})" if time.mark == "assumed" else "")


def flow_line(flow: FlowRow, key: str) -> str:
    """ "pot residue 2.304 kg, lost"; a by-product with what it takes of the key component and of the money."""
    fate, kept = fate_word(flow.fate), kept_words(flow, key)
    said = say("{fate} with {shares}", fate=fate, shares=kept) if kept else fate
    kg = numeral(f"{flow.kg:.3f} kg")
    return f"{kg} {said}" if flow.name == flow.fate else f"{flow.name} {kg}, {said}"


def notes_line(notes: tuple[tuple[str, float], ...]) -> str:
    """What a stage found out beside its streams, such as the temperatures of a still."""
    return series(
        say_word(_NOTES[name], value=numeral(f"{value:.{_NOTE_PLACES[name]}f}"))
        for name, value in notes
        if name in _NOTES
    )


def day_stamp(head: Head) -> str:
    """Day and revision, where the house is named beside it."""
    return say("{day} · revision {revision}", day=day_text(head.day), revision=head.revision)


def stamp(head: Head) -> str:
    """House, day and revision: enough to make the page again."""
    return f"{house_name(head)} · {day_stamp(head)}"


def house_name(head: Head) -> str:
    """The house by name, or that it has none."""
    return head.house or say("House without a name")


def money_name(head: Head) -> str:
    """The currency as the house writes it, or that there is none."""
    return head.currency or say("no currency")


def sugar_acid_words(balance: Balance, tart: Iterable[str], sweet: Iterable[str]) -> str:
    """ "sugar 90 g/l, acid at least 0.0 g/l as citric (not entered for Lemon)": least where a good does not say."""
    sugar, acid = f"{balance.sugar_g_l:.0f}", numeral(f"{balance.acid_g_l:.1f}")
    without, thin = series(sorted(sweet)), series(sorted(tart))
    return series((
        say("sugar at least {value} g/l (not entered for {names})", value=sugar, names=without) if without
        else say("sugar {value} g/l", value=sugar),
        say("acid at least {value} g/l as citric (not entered for {names})", value=acid, names=thin) if thin
        else say("acid {value} g/l as citric", value=acid),
    ))  # fmt: skip


def strength_words(serve: ServeRow, contents: Contents) -> str:
    """The strength after dilution, or why it is not known; and what it leaves out."""
    if serve.abv is not None:
        without = [contents.names.get(p.get("source"), p.get("source")) for p in serve.doubts if p.get("source")]
        if without:
            return say("not known: leaves out {names}", names=series(without))
        return numeral(f"{100 * serve.abv:.1f} % vol")
    said = "; ".join(said_of(p, contents) for p in serve.doubts)
    return say("strength not known: {why}", why=said or say("something in it is not followed"))


def said_of(problem: Problem, contents: Contents) -> str:
    """The sentence of a problem, with names in place of ids."""
    known = [(k, contents.names.get(v, v) if k in ("source", "good") else v) for k, v in problem.detail]
    return sentence(replace(problem, detail=tuple(known)))


def assumed_words(items: Iterable[Assumption]) -> list[tuple[str, str]]:
    """(where, the figures assumed there), each place once: ("Lime", "acid ~55 g/l, one piece ~70 g")."""
    out: dict[str, list[str]] = {}
    for item in items:
        how = "; ".join(text for text in (how_said(item.how), item.note) if text)
        said = f"{reading_word(item.figure)} {item.typed}{f' ({how})' if how else ''}"
        out.setdefault(item.where, []).append(said)
    return [(where, series(said)) for where, said in out.items()]


def made_words(value: float, base: str) -> str:
    """What a batch makes: "1.741 L", "42 pieces"."""
    if base == "each":
        return say("{count} pieces", count=numeral(f"{value:,.4g}"))
    return numeral(f"{value:,.3f}") + f" {unit_word(base)}"


def figure_words(item: Assumption) -> str:
    """ "Technique Stirred: dilution ~25 %"."""
    how = "; ".join(text for text in (how_said(item.how), item.note) if text)
    return f"{item.where}: {reading_word(item.figure)} {item.typed}{f' ({how})' if how else ''}"


def percent(rate: Decimal) -> str:
    """A rate as somebody says it: 0.19 is 19 %."""
    return numeral(f"{(100 * rate).normalize():f}") + " %"


def unit_word(base: str) -> str:
    """A base unit as it is printed; a lone small l is too easily read as 1."""
    return say("each") if base == "each" else {"l": "L", "kwh": "kWh"}.get(base, base)


def amount(value: float) -> str:
    """An amount in base units: three decimals, more where it is small."""
    return numeral(f"{value:,.3f}" if value == 0 or abs(value) >= 0.1 else f"{value:.5f}")


def amount_words(value: float, base: str) -> str:
    """An amount as a bar says it: ml and g where it is small."""
    if base in ("l", "kg") and abs(value) < 1.0:
        small = 1000.0 * value
        places = 0 if small == 0 or abs(small) >= 99.95 else 1 if abs(small) >= 0.95 else 3
        figure = f"{small:,.{places}f}"
        figure = figure.rstrip("0").rstrip(".") if "." in figure else figure
        return f"{numeral(figure)} {'ml' if base == 'l' else 'g'}"
    if base == "each":
        return say("{count} pc", count=numeral(f"{value:.4g}"))
    return numeral(f"{value:,.3f}".rstrip("0").rstrip(".")) + f" {unit_word(base)}"
