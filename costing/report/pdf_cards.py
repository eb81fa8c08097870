"""Spec cards for the team: how each drink is built and what it is. No costs."""

from collections.abc import Iterator, Sequence
from typing import Any

from reportlab.lib.units import mm
from reportlab.platypus import KeepTogether, Spacer, Table, TableStyle

from costing.report.allergy_words import allergen_lines
from costing.report.cards import PartRow, SpecCard
from costing.report.cautions import SHORT
from costing.report.content import Contents
from costing.report.pdf_page import COPPER, FAINT, PAPER, RULE, Ink, closing, pages
from costing.report.phrases import amount_words, figure_line, said_of, sugar_acid_words
from costing.report.words import STAGE_WORDS

_WIDE, _LEFT = 186.0, 112.0


def spec_cards(contents: Contents) -> bytes:
    """All cards as one PDF."""
    ink, head = Ink(), contents.head
    story: list[Any] = [ink.para("Spec cards", 16, bold=True)]
    story.append(ink.para(
        "For the team. As typed is how the book says it; volumes and strengths are computed at 20 °C, after dilution.",
        8, colour=FAINT,
    ))  # fmt: skip
    if not contents.cards:
        story.append(ink.para("No serve is made on this day.", 9))
    for card in contents.cards:
        story += [Spacer(1, 4 * mm), KeepTogether(list(_card(ink, card, contents)))]
    codes = [code for code in contents.cautions if code in {c for card in contents.cards for c in card.cautions}]
    story += closing(ink, codes, head)
    return pages(story, title="Spec cards", head=head, ink=ink, wide=False)


def _card(ink: Ink, card: SpecCard, contents: Contents) -> Iterator[Any]:
    on = ", ".join(card.sections) or "on no menu"
    top = Table(
        [[ink.para(card.name, 13, bold=True), ink.para(on, 8, right=True, colour=FAINT)]],
        [90 * mm, (_WIDE - 90) * mm],
        style=TableStyle([
            ("BACKGROUND", (0, 0), (-1, -1), PAPER), ("LINEABOVE", (0, 0), (-1, 0), 1.2, COPPER),
            ("VALIGN", (0, 0), (-1, -1), "MIDDLE"), ("TOPPADDING", (0, 0), (-1, -1), 3),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 5), ("LEFTPADDING", (0, 0), (-1, -1), 4),
            ("RIGHTPADDING", (0, 0), (-1, -1), 4),
        ]), hAlign="LEFT", splitInRow=1,
    )  # fmt: skip
    yield top
    left = [_parts(ink, card.parts)] if card.parts else [ink.para("Nothing goes in.", 8)]
    right = [*_serving(ink, card), Spacer(1, 1.5 * mm), *_what_it_is(ink, card, contents)]
    yield Table(
        [[left, right]], [_LEFT * mm, (_WIDE - _LEFT) * mm],
        style=TableStyle([
            ("VALIGN", (0, 0), (-1, -1), "TOP"), ("LINEAFTER", (0, 0), (0, 0), 0.25, RULE),
            ("LEFTPADDING", (0, 0), (0, 0), 0), ("LEFTPADDING", (1, 0), (1, 0), 6),
            ("RIGHTPADDING", (0, 0), (0, 0), 6), ("RIGHTPADDING", (1, 0), (1, 0), 2),
            ("TOPPADDING", (0, 0), (-1, -1), 2), ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
        ]), hAlign="LEFT", splitInRow=1,
    )  # fmt: skip
    below = [*_lines(ink, card)]
    yield Table(
        [[line] for line in below], [_WIDE * mm],
        style=TableStyle([
            ("LINEABOVE", (0, 0), (-1, 0), 0.25, RULE), ("LINEBELOW", (0, -1), (-1, -1), 0.7, RULE),
            ("TOPPADDING", (0, 0), (-1, -1), 1), ("BOTTOMPADDING", (0, 0), (-1, -1), 1),
            ("TOPPADDING", (0, 0), (-1, 0), 3), ("BOTTOMPADDING", (0, -1), (-1, -1), 4),
            ("LEFTPADDING", (0, 0), (-1, -1), 2), ("RIGHTPADDING", (0, 0), (-1, -1), 2),
        ]), hAlign="LEFT", splitInRow=1,
    )  # fmt: skip


def _parts(ink: Ink, parts: Sequence[PartRow]) -> Any:
    """What goes in, in build order; then, in the same order, what stands beside the liquid."""
    rows: list[list[Any]] = []
    rules: list[tuple[Any, ...]] = []
    for name, beside in (("Build", False), ("Beside the liquid", True)):
        some = [part for part in parts if part.beside == beside]
        if not some:
            continue
        rules.append(("LINEBELOW", (0, len(rows)), (-1, len(rows)), 0.5, RULE))
        heads = ("as typed", "is") if not rows else ("", "")
        rows.append([ink.para(name, 7, bold=True), *(ink.para(h, 6.5, right=True, colour=FAINT) for h in heads)])
        for part in some:
            counted = part.base == "each" or part.amount is None
            said = "" if counted or part.amount is None else amount_words(part.amount, part.base)
            typed = part.typed or ("as much as it takes" if part.amount is None else "")
            typed += " (assumed)" if part.mark == "assumed" else ""
            rows.append([
                ink.two(part.name, part.note, 9, bold=not part.beside), ink.para(typed, 9, right=True),
                ink.para(said if said != typed else "", 9, right=True, colour=FAINT),
            ])  # fmt: skip
    look = [("VALIGN", (0, 0), (-1, -1), "BOTTOM"), ("LEFTPADDING", (0, 0), (-1, -1), 2),
            ("RIGHTPADDING", (0, 0), (-1, -1), 2), ("TOPPADDING", (0, 0), (-1, -1), 1),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 1.5), *rules]  # fmt: skip
    return Table(rows, [62 * mm, 26 * mm, 20 * mm], style=TableStyle(look), hAlign="LEFT", splitInRow=1)


def _serving(ink: Ink, card: SpecCard) -> Iterator[Any]:
    if card.glass:
        yield _fact(ink, "Glass", card.glass)
    yield _fact(ink, "Technique", card.technique or STAGE_WORDS.get(card.kind, card.kind))
    found = card.dilution
    if found is not None and found.share > 0.0005:
        how = f", {found.how}" if found.how else ""
        said = f"{100 * found.share:.3g} % of the build, {amount_words(found.litres, 'l')} ({found.mark}{how})"
        yield _fact(ink, "Water from ice", said)
    elif found is not None:
        yield _fact(ink, "Water from ice", f"none ({found.mark})")
    for line in card.figures:
        yield ink.para(figure_line(line), 8)


def _fact(ink: Ink, name: str, said: str) -> Any:
    return ink.lead(f"{name}: ", said, 8)


def _what_it_is(ink: Ink, card: SpecCard, contents: Contents) -> Iterator[Any]:
    balance = card.balance
    if balance is None:
        why = "; ".join(said_of(p, contents) for p in card.doubts) or "something in it is not followed"
        yield ink.para(f"Volume and strength are not known: {why}.", 8, bold=True)
        return
    yield ink.para(f"{1000 * balance.litres:.0f} ml, {100 * balance.abv:.1f} % vol", 11, bold=True)
    drinks = "the house states no standard drink"
    if balance.drinks is not None and card.gram_drink is not None:
        drinks = f"{balance.drinks:.2f} standard drinks of {card.gram_drink:g} g"
    yield ink.para(f"{balance.ethanol_g:.1f} g of alcohol, {drinks}", 8)
    gas = f", CO2 {balance.co2_g_l:.1f} g/l" if balance.co2_g_l > 0.05 else ""
    yield ink.para(f"{sugar_acid_words(balance, card.tart, card.sweet)}{gas}", 8)
    without = [contents.names.get(p.get("source"), p.get("source")) for p in card.doubts if p.code == "not-followed"]
    if without:
        yield ink.para(f"Leaves out {', '.join(w for w in without if w)}.", 7.5)


def _lines(ink: Ink, card: SpecCard) -> Iterator[Any]:
    if card.findings:
        for words, names in allergen_lines(card.findings):
            loud = not words.startswith("Free")
            yield ink.lead(f"{words}: ", names, 8.5 if loud else 7.5)
    else:
        yield ink.para("Allergens: the house names no list that is shipped, so nothing is said.", 8, bold=True)
    for made in card.made:
        said = " → ".join(STAGE_WORDS.get(kind, kind) for kind in made.stages)
        strength = f", {100 * made.abv:.1f} % vol" if made.abv is not None and made.abv >= 0.0005 else ""
        note = f". {made.note}" if made.note else ""
        yield ink.lead(f"{made.name}{strength}: ", f"{said}{note}", 7.5)
    for note in card.notes:
        yield ink.para(note, 8)
    said = " ".join(SHORT[code] for code in card.cautions)
    if said:
        yield ink.para(said, 7, colour=FAINT)
