"""Pasted recipes: a title, one component a line, and what is no component kept with the reason it was left out.

Nothing is decided on likeness, and nothing is dropped in silence.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from costing.supply.lines import BULLET, Known, PastedLine, component, known_names
from costing.supply.matching import Names, candidates
from costing.supply.spoken import Measures

RECIPE_DOUBTS = frozenset(
    {"heading", "instruction", "instruction-with-amount", "title-or-component", "several-recipes", "no-title"}
)
"""Reasons a line was left out, and doubts about a whole recipe."""
MOST_LINES = 500


@dataclass(frozen=True, slots=True, kw_only=True)
class PastedRecipe:
    """The lines of one recipe; ``ignored`` holds (line, reason) of what is no component."""

    title: str
    lines: tuple[PastedLine, ...]
    ignored: tuple[tuple[str, str], ...] = ()
    doubts: tuple[str, ...] = ()

    @property
    def undecided(self) -> tuple[PastedLine, ...]:
        """The lines that somebody has to look at before they can go in."""
        return tuple(line for line in self.lines if not line.decided)


_NUMBERED = re.compile(r"\s*([0-9]{1,2})[.)]\s+(?=\S)")
_HEADING = re.compile(
    r"(?:ingredients?|components?|glass(?:ware)?|notes?|source|yields?|serves?|makes|method|directions?|instructions?"
    r"|preparation|technique)\b\s*(?::|$)|[^0-9]{1,60}:\s*$",
    re.IGNORECASE,
)
_METHOD_HEAD = re.compile(r"(?:method|directions?|instructions?|preparation|notes?)\b\s*:?\s*$", re.IGNORECASE)
_DO = re.compile(
    r"(?:dry |double |fine )?(?:shake|stir|strain|combine|blend|pour|serve|build|muddle|mix|roll|rim|throw|swizzle"
    r"|whip dry|place|put|chill)\b(?! of\b)",
    re.IGNORECASE,
)
_AMOUNT = re.compile(r"[0-9½⅓⅔¼¾⅛] ?(?:ml|cl|dl|l|oz|g|dash|drop|tsp|tbsp|barspoon|part)(?:e?s)?\b", re.IGNORECASE)
_GARNISH = re.compile(r"(?:to )?garnish(?:ed)?(?: with|:| -|;)\s*", re.IGNORECASE)


def read_recipe(text: str, names: Names, measures: Measures | None = None) -> PastedRecipe:
    """Read one recipe. ValueError for more than 500 lines."""
    found = read_recipes(text, names, measures)
    if not found:
        return PastedRecipe(title="", lines=(), doubts=("no-title",))
    titles = [r.title for r in found if r.title]
    doubts = [d for r in found for d in r.doubts if d != "no-title"] + ([] if titles else ["no-title"])
    return PastedRecipe(
        title=titles[0] if titles else "",
        lines=tuple(line for r in found for line in r.lines),
        ignored=tuple(i for r in found for i in r.ignored),
        doubts=tuple(dict.fromkeys(doubts + (["several-recipes"] if len(titles) > 1 else []))),
    )


def read_recipes(text: str, names: Names, measures: Measures | None = None) -> tuple[PastedRecipe, ...]:
    """Read many recipes pasted at once, apart by blank lines; a first line without an amount is the title.

    ValueError for more than 500 lines.
    """
    rows = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    if len(rows) > MOST_LINES:
        raise ValueError(f"{len(rows)} lines are too many to paste at once: at most {MOST_LINES}")
    known = known_names(names, measures)
    blocks: list[list[str]] = [[]]
    for row in rows:
        if row.strip():
            blocks[-1].append(row)
        elif blocks[-1]:
            blocks.append([])
    out: list[PastedRecipe] = []
    title = ""
    for block in (b for b in blocks if b):
        first = _bare(block[0])
        if len(block) == 1 and _is_title(first, known) and not title:
            title = first
            continue
        out.append(_recipe(block, title, known))
        title = ""
    return (*out, PastedRecipe(title=title, lines=())) if title else tuple(out)


def _bare(row: str) -> str:
    return row.strip().strip("#*_ ").rstrip(":").strip()


def _is_title(row: str, known: Known) -> bool:
    """A line that says no act and no amount, or an amount only in words and of nothing that is known ("Two to One")."""
    if _HEADING.match(row) or _DO.match(row) or _GARNISH.match(row):
        return False
    line = component(row, known)
    if line.measure is None:
        return False
    said = line.measure.kind != "unpriceable" or line.measure.word
    return not said or (line.source is None and not any(ch.isnumeric() for ch in row))


def _may_be_component(title: str, known: Known) -> bool:
    """A title that is also the name of a thing, or that begins like an amount."""
    line = component(title, known)
    exact = any(c.reason in ("exact", "reordered", "plural") for c in candidates(title, known.names))
    return exact or (line.measure is not None and bool(line.measure.word) and bool(line.name))


def _recipe(block: Sequence[str], title: str, known: Known) -> PastedRecipe:
    doubts: list[str] = []
    rows = list(block)
    first = _bare(rows[0])
    if not title and len(rows) > 1 and not BULLET.match(rows[0]) and _is_title(first, known):
        title, rows = first, rows[1:]
        if _may_be_component(title, known):
            doubts.append("title-or-component")
    if not title:
        doubts.append("no-title")
    lines: list[PastedLine] = []
    ignored: list[tuple[str, str]] = []
    telling = False
    for row in _unnumbered(rows):
        bare = BULLET.sub("", row, count=1).strip()
        if _GARNISH.match(bare):
            lines.append(_garnish(row, bare, known))
        elif _HEADING.match(bare):
            ignored.append((row.strip(), "heading"))
            telling = bool(_METHOD_HEAD.match(bare))
        elif telling or _DO.match(bare):
            ignored.append((row.strip(), "instruction-with-amount" if _AMOUNT.search(bare) else "instruction"))
        else:
            lines.append(component(row, known))
    doubts += list(dict.fromkeys(reason for _, reason in ignored))
    return PastedRecipe(title=title, lines=_in_parts(lines), ignored=tuple(ignored), doubts=tuple(doubts))


def _unnumbered(rows: list[str]) -> list[str]:
    """The rows without "1." "2." "3." where they are numbered in order; one such number alone may be an amount."""
    found = [_NUMBERED.match(row) for row in rows]
    numbers = [int(m[1]) for m in found if m]
    if len(numbers) < 2 or numbers != list(range(numbers[0], numbers[0] + len(numbers))):
        return rows
    return [row[m.end() :] if m else row for row, m in zip(rows, found, strict=True)]


def _in_parts(lines: list[PastedLine]) -> tuple[PastedLine, ...]:
    """Two and more bare numbers of what has no pieces ("1 gin, 1 vermouth", "1/3 ...") are read as parts, in doubt."""
    bare = [line for line in lines if _is_bare(line)]
    return tuple(_as_parts(line) if len(bare) > 1 and _is_bare(line) else line for line in lines)


def _is_bare(line: PastedLine) -> bool:
    m = line.measure
    return m is not None and m.word == "" and (m.kind == "part" or (m.unit == "each" and "not-by-piece" in line.doubts))


def _as_parts(line: PastedLine) -> PastedLine:
    if line.measure is None or line.measure.kind == "part":
        return line
    doubts = (*(d for d in line.doubts if d != "not-by-piece"), "each-or-part", "parts")
    return replace(line, measure=replace(line.measure, kind="part", unit=""), doubts=tuple(dict.fromkeys(doubts)))


def _garnish(row: str, bare: str, known: Known) -> PastedLine:
    """ "Garnish: lemon leaf" is one of it."""
    rest = _GARNISH.sub("", bare, count=1)
    found = component(rest, known)
    if found.measure is None or found.measure.kind != "unpriceable" or found.measure.word:
        return replace(found, text=row.strip())
    return replace(component(f"1 {rest}", known, ("implied-one",)), text=row.strip())
