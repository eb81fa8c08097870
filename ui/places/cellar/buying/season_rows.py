"""Fresh goods month by month: how much dearer or cheaper each month is than the mean."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from costing.supply.buying.season import Season
from costing.supply.buying.words import SEASON_WORDS
from costing.tongue import Words, say, word
from ui.document import Figures
from ui.format import UNKNOWN, Format
from ui.models.table import Column

MONTHS: Words = {
    "1": "Jan", "2": "Feb", "3": "Mar", "4": "Apr", "5": "May", "6": "Jun",
    "7": "Jul", "8": "Aug", "9": "Sep", "10": "Oct", "11": "Nov", "12": "Dec",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class SeasonRow:
    """One good; ``width`` is how far its price usually moves from one quote to the next, None where too few moved."""

    name: str
    season: Season
    width: Decimal | None

    @property
    def one_year(self) -> bool:
        """Whether it stands on one year only, so that a trend counts as season."""
        return self.season.method == "year"


def season_rows(seasons: Sequence[Season], widths: Mapping[str, Decimal | None], figures: Figures) -> list[SeasonRow]:
    """A row each: those of which a season is said first, by name."""
    names = figures.names
    rows = (SeasonRow(names.get(s.good, s.good), s, widths.get(s.good)) for s in seasons)
    return sorted(rows, key=lambda r: (not r.season.method, r.name.casefold()))


def season_columns(form: Format, day: Callable[[], date]) -> Sequence[Column[SeasonRow]]:
    """Twelve months, and what they stand on; the month of the day that is looked at is in bold."""
    return (
        Column[SeasonRow]("name", say("Ingredient"), lambda r: r.name),
        *(_month(n, form, day) for n in range(12)),
        Column[SeasonRow]("stands", say("Stands on"), stands_on, tip=how),
        Column[SeasonRow]("quotes", say("Prices known"), lambda r: str(r.season.quotes), True,
                          lambda r: r.season.quotes),
        Column[SeasonRow]("width", say("Usually moves by"), lambda r: form.percent(r.width), True, lambda r: r.width,
                          about=say("From one quote to the next; 19 of 20 moves are no larger")),
    )  # fmt: skip


def _month(n: int, form: Format, day: Callable[[], date]) -> Column[SeasonRow]:
    def factor(row: SeasonRow) -> float | None:
        return row.season.index[n]

    def show(row: SeasonRow) -> str:
        found = factor(row)
        return UNKNOWN if found is None else form.number(found, 2)

    return Column[SeasonRow](
        f"{n + 1}", word(MONTHS, f"{n + 1}"), show, True, factor,
        mark=lambda r: "assumed" if r.one_year and factor(r) is not None else "",
        strong=lambda _: day().month == n + 1, about=say("1.00 is the mean of the twelve months"),
    )  # fmt: skip


def stands_on(row: SeasonRow) -> str:
    """How many years, or why nothing is said, in words."""
    if row.season.method:
        return say("one year only") if row.one_year else say("two years or more")
    return word(SEASON_WORDS, row.season.why)


def how(row: SeasonRow) -> str:
    """How it was worked out."""
    return word(SEASON_WORDS, row.season.method or row.season.why)
