"""What a method says of a drink: its word, and its figures beside their thresholds."""

from collections.abc import Mapping, Sequence
from typing import Literal

from costing.menu.judged import Section
from costing.menu.rivals import Cell, Method, MethodCode
from costing.menu.words import METHOD_SOURCES, METHOD_WORDS, cell_word
from costing.tongue import Words, capital, say, word
from ui.format import UNKNOWN, Format
from ui.places.menu.keep.rows import KeepRow, count_text

Sort = Literal["count", "money", "share"]
FIGURE_WORDS: Words = {
    "sold": "sold",
    "margin": "margin a drink",
    "after labour": "margin after labour",
    "cost share": "cost, of the net price",
    "earned": "margin of all that was sold",
    "goal": "goal value",
    "hour": "margin an hour of the machine",
}
FIGURES: Mapping[MethodCode, tuple[tuple[str, Sort], ...]] = {
    "class": (("sold", "count"), ("margin", "money")),
    "labour": (("sold", "count"), ("after labour", "money")),
    "pavesic": (("cost share", "share"), ("earned", "money")),
    "miller": (("cost share", "share"), ("sold", "count")),
    "goal": (("goal", "money"),),
    "hour": (("hour", "money"),),
}
"""What the figures and thresholds of each method are, in their order."""


def cell_of(row: KeepRow, code: MethodCode) -> Cell | None:
    """Where a method puts a drink; None where it says nothing of it."""
    return row.drink.agreement.cells.get(code) if row.drink is not None else None


def cell_text(row: KeepRow, code: MethodCode) -> str:
    """The method's own word."""
    cell = cell_of(row, code)
    return "" if row.heading else UNKNOWN if cell is None else cell_word(cell.cell)


def apart(row: KeepRow, code: MethodCode) -> bool:
    """Whether a method says something else than most of them."""
    cell = cell_of(row, code)
    said = row.drink.agreement.reading if row.drink is not None else None
    return cell is not None and said is not None and cell.reading != said


def method_of(section: Section, code: MethodCode) -> Method | None:
    """A method on a section."""
    return next((m for m in section.methods if m.code == code), None)


def figure_lines(code: MethodCode, figures: Sequence[float | None], form: Format) -> list[tuple[str, str]]:
    """(what it is, the figure) of a cell, or of a method's thresholds."""
    return [
        (word(FIGURE_WORDS, name), _figure(value, sort, form))
        for (name, sort), value in zip(FIGURES[code], figures, strict=True)
    ]


def _figure(value: float | None, sort: Sort, form: Format) -> str:
    if value is None:
        return UNKNOWN
    return form.money(value) if sort == "money" else form.percent(value) if sort == "share" else count_text(value, form)


def source_text(section: Section, code: MethodCode, form: Format) -> str:
    """Where a method comes from, and its thresholds in a section."""
    method = method_of(section, code)
    said = say("{method}: {source}.", method=capital(word(METHOD_WORDS, code)), source=word(METHOD_SOURCES, code))
    if method is None:
        return said
    cuts = say("; ").join(
        say("{figure} {value}", figure=name, value=value) for name, value in figure_lines(code, method.cuts, form)
    )
    return f"{said} {say('Its thresholds here: {cuts}.', cuts=cuts)}"
