"""Drinks side by side as they stand and under scenarios: rows, and the columns of one figure or of all."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial

from costing.menu.compare import Figures as Sums
from costing.tongue import say, word
from ui.format import Format, own
from ui.models.table import Column
from ui.places.menu.whatif.words import ABOUT_WORDS, CODES, Code, Fig, difference, figure, figure_word
from ui.places.menu.whatif.work import Tried

WHOLE = "§"
"""The key of the whole menu."""
LONGEST = 18
"""Letters of a scenario's name that stand over a column; the tip of the heading has all of it."""
Titles = Mapping[tuple[str, str], str]
"""What sections are called, by (menu, section)."""


@dataclass(frozen=True, slots=True)
class SideRow:
    """One drink on one section of a menu, or the whole menu (``serve`` ""): now, and under each scenario."""

    key: str
    name: str
    before: Sums
    after: tuple[Sums, ...]
    section: str = ""
    serve: str = ""

    @property
    def whole(self) -> bool:
        """Whether it is of all drinks."""
        return not self.serve


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One figure of a row."""

    code: Code
    of: SideRow


Why = Callable[[int, SideRow], object | None]
"""The subject of a row: under the scenario of that place, or as it stands for -1."""


def side_rows(tried: Tried, titles: Titles, *, everything: bool) -> list[SideRow]:
    """The whole menu, then drinks in menu order: those that something moves, or ``everything``."""
    found = tried.found
    out = [SideRow(WHOLE, say("All drinks"), found.before, found.after)]
    seen: dict[str, int] = {}
    for row in found.rows:
        seen[row.key] = seen.get(row.key, 0) + 1  # one drink may stand twice in a section
        key = row.key if seen[row.key] == 1 else f"{row.key}#{seen[row.key]}"
        if everything or row.moved:
            section = titles.get((row.menu, row.section), row.section)
            out.append(SideRow(key, row.name, row.before, row.after, section, row.serve))
    return out


def heads_of(tried: Tried) -> list[str]:
    """What the scenarios are called, in order, short enough to stand over a column."""
    names = [" ".join(other.name.split()) for other in tried.found.others]
    return [own(name if len(name) <= LONGEST else f"{name[: LONGEST - 1].rstrip()}…") for name in names]


def side_columns(tried: Tried, code: Code | None, form: Format, why: Why) -> list[Column[SideRow]]:
    """Drink; one figure, or every one, now and under each scenario with the difference; and where the drink stands."""
    out = [Column[SideRow]("name", say("Drink"), lambda r: r.name, strong=lambda r: r.whole,
                           sort=lambda r: None if r.whole else r.name.casefold(), why=partial(why, -1))]  # fmt: skip
    for each in (code,) if code is not None else CODES:
        out += _columns(each, tried, form, why, alone=code is not None)
    out.append(Column[SideRow]("section", say("Where"), lambda r: r.section, why=partial(why, -1), depth=_set_in,
                               sort=lambda r: r.section.casefold() or None))  # fmt: skip
    return out


def _set_in(_: SideRow) -> int:
    return 1  # words that follow figures need air


def _columns(code: Code, tried: Tried, form: Format, why: Why, *, alone: bool) -> list[Column[SideRow]]:
    what = figure_word(code)

    def now(row: SideRow) -> Fig:
        return figure(row.before, code, form)

    def then(n: int, row: SideRow) -> Fig:
        return figure(row.after[n], code, form)

    def moved(n: int, row: SideRow) -> Fig:
        return difference(row.before, row.after[n], code, form)

    def column(key: str, title: str, found: Callable[[SideRow], Fig], subject: int) -> Column[SideRow]:
        about = word(ABOUT_WORDS, code)
        if subject >= 0:
            about = f"{own(tried.found.others[subject].name)}: {about}"
        return Column[SideRow](
            f"{code} {key}", title if alone else say("{figure}: {which}", figure=what, which=title),
            lambda r: found(r).text, True, lambda r: None if r.whole else found(r).value, why=partial(why, subject),
            about=about, strong=lambda r: r.whole,
        )  # fmt: skip

    out = [column("now", say("Now"), now, -1)]
    points = say("Points") if code == "pour cost" else say("Difference")
    for n, name in enumerate(heads_of(tried)):
        out += [column(f"then {n}", name, partial(then, n), n), column(f"moved {n}", points, partial(moved, n), n)]
    return out


def sheet_columns(tried: Tried, form: Format, why: Why) -> list[Column[SheetRow]]:
    """Every figure of one row."""

    def column(key: str, title: str, n: int, found: Callable[[SheetRow], Fig]) -> Column[SheetRow]:
        return Column[SheetRow](key, title, lambda r: found(r).text, True, lambda r: found(r).value,
                                why=lambda r: why(n, r.of))  # fmt: skip

    def now(row: SheetRow) -> Fig:
        return figure(row.of.before, row.code, form)

    def then(n: int, row: SheetRow) -> Fig:
        return figure(row.of.after[n], row.code, form)

    def moved(n: int, row: SheetRow) -> Fig:
        return difference(row.of.before, row.of.after[n], row.code, form)

    out = [Column[SheetRow]("figure", say("Figure"), _called, tip=lambda r: word(ABOUT_WORDS, r.code),
                            why=lambda r: why(-1, r.of)), column("now", say("Now"), -1, now)]  # fmt: skip
    for n, name in enumerate(heads_of(tried)):
        out += [column(f"then {n}", name, n, partial(then, n)),
                column(f"moved {n}", say("Difference"), n, partial(moved, n))]  # fmt: skip
    return out


def _called(row: SheetRow) -> str:
    average = row.of.whole and row.code in ("cost", "making", "net", "margin")
    return say("{figure}, on average", figure=figure_word(row.code)) if average else figure_word(row.code)


def sheet_rows(row: SideRow | None) -> list[SheetRow]:
    """The figures in order."""
    return [SheetRow(code, row) for code in CODES] if row is not None else []
