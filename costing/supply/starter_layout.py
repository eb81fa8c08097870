"""The layout of the starter workbook: its sheets, columns, and the words of its drop-downs, with what each asks for.

A row here is a column there: the writer draws it, the reader looks for it, and neither knows a column of its own.
The sentences are for the person who fills the workbook in, so they stand in its cells.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, get_args

from costing.book.kinds import STAGE_KINDS
from costing.book.records import LAYERS, GoodKind

LAYOUT = "1"
"""Written on the House sheet, so that a later program knows what it reads."""
START, WORDS, HOUSE = "Start here", "Words", "House"
SKIP_HEAD = "Skip"
SKIP_WORDS = ("example", "skip")
"""A row with one of these in its first cell is passed over; any other entry there is a fault."""
HEAD_ROW = 3
"""Title, what the sheet is for, heads; below them a row of plain words, and then the data."""
FIRST_ROW = HEAD_ROW + 2
LAST_LISTED = 2000
"""The last row that drop-downs look at and are drawn for."""

Sort = Literal[
    "name", "text", "code", "day", "fact", "amount", "unit", "money", "rate", "number", "levels", "yes", "choice",
    "names", "numbers", "policy", "breaks", "free", "charges",
]  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column: ``choices`` are words with the value each stands for, ``lists`` the sheet that a name comes from."""

    key: str
    head: str
    sort: Sort
    note: str
    width: float = 14
    needed: bool = False
    choices: tuple[tuple[str, str], ...] = ()
    lists: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """One sheet. ``what`` is said under its title."""

    name: str
    what: str
    columns: tuple[Column, ...]

    def column(self, key: str) -> Column:
        """The column of this key; KeyError for a key that the sheet does not have."""
        return {c.key: c for c in self.columns}[key]


def same(*words: str) -> tuple[tuple[str, str], ...]:
    return tuple((word, word) for word in words)


KIND_CHOICES = same(*get_args(GoodKind))
STAGE_CHOICES = same(*STAGE_KINDS)
LAYER_CHOICES = same(*LAYERS)
TAX_CHOICES = (("left out", "ex"), ("in it", "inc"), ("not known", "unknown"))
ON_CHOICES = (("net price", "net"), ("running total", "running"))
LIKE_CHOICES = same("stirred", "shaken")
STATE_CHOICES = (("contains", "contains"), ("may contain", "may_contain"), ("free of", "free"))
AS_NEEDED = "as needed"

FIGURES: Mapping[str, tuple[str, str]] = {
    "keep": ("share kept", "what goes on, of what was there: 95 %"),
    "refuse": ("refuse", "peel, core and stones, of what was bought: 49 %"),
    "makes": ("makes", "the weight or volume that comes of it: 2.4 l"),
    "lost": ("weight lost", "water driven off, of what was there: 35 %"),
    "to": ("down to", "the weight or volume it is reduced or dried to: 1.2 kg"),
    "brix": ("down to Brix", "the Brix it is reduced or let down to: 50 Bx"),
    "abv": ("to strength", "the strength it is let down to: 45 % vol"),
    "pressure": ("pressure", "absolute pressure in the still: 50 mbar"),
    "take": ("take", "distillate collected in one run: 0.42 l"),
    "pot_abv": ("pot strength", "the strength of the pot at which a run ends: 7 % vol"),
    "pot_t": ("pot temperature", "the temperature of the pot at which a run ends: 42 C"),
    "holdup": ("left in the vessel", "what stays on the walls in one run: 12 g"),
    "coolant": ("coolant", "temperature of the coolant in the condenser: -8 C"),
    "vent": ("gas drawn through", "air or gas that the pump draws in one run: 0.05 mol"),
    "exchange": ("juice that mixed", "share of the solids' own juice that met the spirit: 92 %"),
    "t": ("temperature", "of the liquid while it is carbonated: 3 C"),
    "headspace": ("gas room", "room above the liquid: 1.5 l"),
    "purges": ("purges", "how often the gas room is blown off: 2"),
    "foam": ("lost as foam", "gas lost when the vessel is opened, of what was dissolved: 8 %"),
    "runs": ("runs", "how many runs one batch takes; empty where the equipment's charge says it: 3"),
    "spent": ("spent weight", "what the drained or pressed solids weigh: 1.35 kg"),
    "spent_ratio": ("spent ratio", "weight of the drained solids over their weight when they went in: 1.55"),
    "yield": ("yield", "liquid that comes off, of all that went in: 48 %"),
    "dilution": ("water from ice", "by volume of the build: 25 %"),
    "given_off": ("gas given off", "what left a ferment, by weighing before and after: 60 g"),
    "co2": ("CO2 dissolved", "in the finished drink: 6.5 g/l"),
    "out.mass": ("weight that goes on", "what was weighed after the stage: 1.95 kg"),
    "out.volume": ("volume that goes on", "measured after the stage: 1.75 l"),
    "out.abv": ("strength that goes on", "measured after the stage: 61.9 % vol"),
    "out.brix": ("Brix that goes on", "measured after the stage: 48 Bx"),
    "left.mass": ("weight that leaves", "peel, solids or pot, weighed: 1.72 kg less 0.37 kg"),
    "left.abv": ("strength that leaves", "of the pot or the solids' liquid: 3 % vol"),
}
"""Every fact and reading of a stage: the word in the drop-down, and what it asks for with an example."""
FIGURE_CHOICES = tuple((word, key) for key, (word, _) in FIGURES.items())


def col(
    key: str, head: str, sort: Sort, width: float, note: str, *, needed: bool = False,
    choices: tuple[tuple[str, str], ...] = (), lists: str = "",
) -> Column:  # fmt: skip
    """A column in one line."""
    return Column(key=key, head=head, sort=sort, width=width, note=note, needed=needed, choices=choices, lists=lists)


IDENT = col(
    "id", "Id", "text", 16, "Leave it empty: it is made from the name. Fill it in where two things share a name."
)
SINCE = col("since", "From day", "day", 12, "The first day it holds. Empty: the day on the House sheet.")
