"""The allergen table: serves and preparations by the house's list, why, and what nobody stated."""

from collections.abc import Iterator, Sequence
from typing import Any

from reportlab.lib.colors import white
from reportlab.lib.units import mm
from reportlab.platypus import CondPageBreak, Spacer

from costing.report.allergy import SO2_LINE, AllergenRow, AllergenTable
from costing.report.allergy_words import reason_words
from costing.report.content import Contents
from costing.report.pdf_page import COPPER, FAINT, INK, PAPER, RULE, Ink, closing, heading, pages, table
from costing.report.words import ALLERGEN_WORDS, allergen_name, allergen_word, series
from costing.tongue import numeral, say, say_many

_NAME, _WIDE = 52.0, 273.0
ROWS = 60
"""Rows of a table before the next begins: one long table is laid out in time that grows with its square."""


def allergen_sheet(contents: Contents) -> bytes:
    """The table as a PDF."""
    ink, head, found = Ink(), contents.head, contents.allergens
    story: list[Any] = [ink.para(say("Allergens"), 17, bold=True), Spacer(1, 1 * mm)]
    if found is None or not found.names:
        none = say("The house names no list of allergens that is shipped, so nothing can be said.")
        story.append(ink.para(none, 9))
    else:
        story += list(_legend(ink, found))
        for kind, title in (("serve", say("Serves")), ("preparation", say("Preparations"))):
            rows = [row for row in found.rows if row.kind == kind]
            for n in range(0, len(rows), ROWS):
                name = title if n == 0 else say("{title}, continued", title=title)
                story += [CondPageBreak(45 * mm), heading(ink, name), _grid(ink, rows[n : n + ROWS], found)]
        story += list(_so2(ink, found))
        story += list(_reasons(ink, found))
        story += list(_unstated(ink, found))
    story += closing(ink, [c for c in contents.cautions if c == "allergens"], head)
    return pages(story, title=say("Allergens"), head=head, ink=ink, wide=True)


def _legend(ink: Ink, found: AllergenTable) -> Iterator[Any]:
    said = say(
        "List {list} ({source}). White on black: contains. Framed: may contain. “Not stated”: nobody has said, so it "
        "is not free. Exempt: a named person took it away, with the reason below; distilling alone never does. A dash: "
        "everybody whose label or word counts says it is free. What a kitchen brings in by cross-contact is not here.",
        list=found.list,
        source=found.source,
    )
    yield ink.para(said, 8, colour=FAINT)


def _grid(ink: Ink, rows: Sequence[AllergenRow], found: AllergenTable) -> Any:
    wide = (_WIDE - _NAME) / len(found.names)
    out: list[list[Any]] = [[ink.para("", 7), *(ink.para(allergen_name(name), 6.2, bold=True) for name in found.names)]]
    look: list[tuple[Any, ...]] = [
        ("LINEBEFORE", (1, 0), (-1, -1), 0.25, RULE),
        ("VALIGN", (0, 1), (-1, -1), "MIDDLE"),
        ("LEFTPADDING", (1, 0), (-1, -1), 1.5),
        ("RIGHTPADDING", (1, 0), (-1, -1), 1),
    ]
    for y, row in enumerate(rows, start=1):
        cells: list[Any] = [ink.para(row.name, 8, bold=row.kind == "serve")]
        for x, finding in enumerate(row.findings, start=1):
            over = finding.says == found.sulphites and row.so2 is not None and row.so2 > SO2_LINE
            words = allergen_word(finding.state) if finding.state != "free" else "–"
            colour = white if finding.state == "contains" else INK if finding.state == "may_contain" else COPPER
            bold = finding.state in ("contains", "may_contain", "not_stated")
            shown = FAINT if finding.state in ("free", "exempt") else colour
            cell = [ink.para(words, 6.5, bold=bold, colour=shown)]
            if finding.says == found.sulphites and row.so2 is not None and row.so2 >= 0.05:
                tone = white if finding.state == "contains" else INK
                cell.append(ink.para(numeral(f"{row.so2:.3g}") + " mg/l", 6, bold=over, colour=tone))
            cells.append(cell)
            if finding.state == "contains":
                look.append(("BACKGROUND", (x, y), (x, y), INK))
            elif finding.state == "may_contain":
                look.append(("BOX", (x, y), (x, y), 1.1, INK))
            elif finding.state == "not_stated":
                look.append(("BACKGROUND", (x, y), (x, y), PAPER))
        out.append(cells)
    return table(out, [_NAME, *[wide] * len(found.names)], look)


def _so2(ink: Ink, found: AllergenTable) -> Iterator[Any]:
    """Computed SO2 beside the line of the law, for every serve that has any."""
    rows = [r for r in found.rows if r.kind == "serve" and r.so2 is not None and r.so2 >= 0.05]
    if not found.sulphites or not rows:
        return
    said = []
    for row in sorted(rows, key=lambda r: -(r.so2 or 0.0)):
        state = next(f.state for f in row.findings if f.says == found.sulphites)
        so2 = row.so2 or 0.0
        value = numeral(f"{so2:.3g}")
        if so2 <= SO2_LINE:
            said.append(say("{name}: {value} mg/l, not above the line.", name=row.name, value=value))
        elif state == "contains":
            said.append(say("{name}: {value} mg/l, above the line.", name=row.name, value=value))
        else:
            said.append(say(
                "{name}: {value} mg/l, above the line; yet what was stated comes to “{state}”: declare it, and correct "
                "the statements.", name=row.name, value=value, state=allergen_word(state),
            ))  # fmt: skip
    words = say(
        "The most there can be, from the SO2 stated in the makeup of goods; a good without it counts as none. The line "
        "is {line} mg/l of total SO2 as consumed (Regulation (EU) 1169/2011, Annex II).",
        line=numeral(f"{SO2_LINE:g}"),
    )
    yield heading(ink, say("Sulphites, computed"), ink.para(words, 7, colour=FAINT))
    yield from (ink.para(line, 8) for line in said)


def _reasons(ink: Ink, found: AllergenTable) -> Iterator[Any]:
    if not found.reasons:
        return
    order = {name: n for n, name in enumerate(found.names)}
    states = list(ALLERGEN_WORDS)
    rows = sorted(found.reasons, key=lambda r: (order[r.allergen], states.index(r.state), r.source.casefold()))
    first = True
    for name in found.names:
        mine = [r for r in rows if r.allergen == name]
        if not mine:
            continue
        called = allergen_name(name)
        title = ink.para(called, 9, bold=True)
        lines = [ink.lead(*reason_words(r), 7.5) for r in mine]
        yield heading(ink, say("Why"), title, *lines[:1]) if first else heading(ink, called, *lines[:1])
        first = False
        yield from lines[1:]


def _missing(names: Sequence[str]) -> str:
    return say("not stated: {names}.", names=series(allergen_name(name) for name in names))


def _unstated(ink: Ink, found: AllergenTable) -> Iterator[Any]:
    """Goods in use that somebody should ask about, the emptiest first."""
    none = [row.name for row in found.unstated if row.all]
    some = [row for row in found.unstated if not row.all]
    if not found.unstated:
        every = say("Every good in use has a statement for every allergen.")
        yield heading(ink, say("Not stated"), ink.para(every, 8))
        return
    count = say_many("Nothing stated for {n} good: ", "Nothing stated for {n} goods: ", len(none))
    lines = [ink.lead(count, f"{series(none)}.", 8)] if none else []
    lines += [ink.lead(f"{row.name}: ", _missing(row.missing), 7.5) for row in some]
    yield heading(ink, say("Not stated: ask the supplier"), *lines[:1])
    yield from lines[1:]
