"""Spec cards for the team: how each drink is built and what it is. No costs."""

from collections.abc import Iterator, Sequence
from typing import Any

from reportlab.lib.units import mm
from reportlab.platypus import KeepTogether, Spacer

from costing.report.allergy_words import allergen_lines
from costing.report.cards import PartRow, SpecCard
from costing.report.cautions import short_caution
from costing.report.content import Contents
from costing.report.method_words import how_said
from costing.report.pdf_page import COPPER, FAINT, PAPER, RULE, Ink, closing, laid, pages
from costing.report.phrases import amount_words, figure_line, said_of, sugar_acid_words
from costing.report.words import mark_word, series, stage_word
from costing.tongue import numeral, say

_WIDE, _LEFT = 186.0, 112.0


def spec_cards(contents: Contents) -> bytes:
    """All cards as one PDF."""
    ink, head = Ink(), contents.head
    story: list[Any] = [ink.para(say("Spec cards"), 16, bold=True)]
    words = say(
        "For the team. As typed is how the book says it; volumes and strengths are computed at 20 °C, after dilution."
    )
    story.append(ink.para(words, 8, colour=FAINT))
    if not contents.cards:
        story.append(ink.para(say("No serve is made on this day."), 9))
    for card in contents.cards:
        story += [Spacer(1, 4 * mm), KeepTogether(list(_card(ink, card, contents)))]
    codes = [code for code in contents.cautions if code in {c for card in contents.cards for c in card.cautions}]
    story += closing(ink, codes, head)
    return pages(story, title=say("Spec cards"), head=head, ink=ink, wide=False)


def _card(ink: Ink, card: SpecCard, contents: Contents) -> Iterator[Any]:
    on = series(card.sections) or say("on no menu")
    yield laid(
        [[ink.para(card.name, 13, bold=True), ink.para(on, 8, right=True, colour=FAINT)]],
        [90 * mm, (_WIDE - 90) * mm],
        [
            ("BACKGROUND", (0, 0), (-1, -1), PAPER), ("LINEABOVE", (0, 0), (-1, 0), 1.2, COPPER),
            ("VALIGN", (0, 0), (-1, -1), "MIDDLE"), ("TOPPADDING", (0, 0), (-1, -1), 3),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 5), ("LEFTPADDING", (0, 0), (-1, -1), 4),
            ("RIGHTPADDING", (0, 0), (-1, -1), 4),
        ],
    )  # fmt: skip
    left = [_parts(ink, card.parts)] if card.parts else [ink.para(say("Nothing goes in."), 8)]
    right = [*_serving(ink, card), Spacer(1, 1.5 * mm), *_what_it_is(ink, card, contents)]
    yield laid(
        [[left, right]], [_LEFT * mm, (_WIDE - _LEFT) * mm],
        [
            ("VALIGN", (0, 0), (-1, -1), "TOP"), ("LINEAFTER", (0, 0), (0, 0), 0.25, RULE),
            ("LEFTPADDING", (0, 0), (0, 0), 0), ("LEFTPADDING", (1, 0), (1, 0), 6),
            ("RIGHTPADDING", (0, 0), (0, 0), 6), ("RIGHTPADDING", (1, 0), (1, 0), 2),
            ("TOPPADDING", (0, 0), (-1, -1), 2), ("BOTTOMPADDING", (0, 0), (-1, -1), 2),
        ],
    )  # fmt: skip
    below = [*_lines(ink, card)]
    yield laid(
        [[line] for line in below], [_WIDE * mm],
        [
            ("LINEABOVE", (0, 0), (-1, 0), 0.25, RULE), ("LINEBELOW", (0, -1), (-1, -1), 0.7, RULE),
            ("TOPPADDING", (0, 0), (-1, -1), 1), ("BOTTOMPADDING", (0, 0), (-1, -1), 1),
            ("TOPPADDING", (0, 0), (-1, 0), 3), ("BOTTOMPADDING", (0, -1), (-1, -1), 4),
            ("LEFTPADDING", (0, 0), (-1, -1), 2), ("RIGHTPADDING", (0, 0), (-1, -1), 2),
        ],
    )  # fmt: skip


def _parts(ink: Ink, parts: Sequence[PartRow]) -> Any:
    """What goes in, in build order; then, in the same order, what stands beside the liquid."""
    rows: list[list[Any]] = []
    rules: list[tuple[Any, ...]] = []
    for name, beside in ((say("Build"), False), (say("Beside the liquid"), True)):
        some = [part for part in parts if part.beside == beside]
        if not some:
            continue
        rules.append(("LINEBELOW", (0, len(rows)), (-1, len(rows)), 0.5, RULE))
        heads = (say("as typed"), say("is")) if not rows else ("", "")
        rows.append([ink.para(name, 7, bold=True), *(ink.para(h, 6.5, right=True, colour=FAINT) for h in heads)])
        for part in some:
            counted = part.base == "each" or part.amount is None
            said = "" if counted or part.amount is None else amount_words(part.amount, part.base)
            typed = part.typed or (say("as much as it takes") if part.amount is None else "")
            typed += f" ({mark_word('assumed')})" if part.mark == "assumed" else ""
            rows.append([
                ink.two(part.name, part.note, 9, bold=not part.beside), ink.para(typed, 9, right=True),
                ink.para(said if said != typed else "", 9, right=True, colour=FAINT),
            ])  # fmt: skip
    look = [("VALIGN", (0, 0), (-1, -1), "BOTTOM"), ("LEFTPADDING", (0, 0), (-1, -1), 2),
            ("RIGHTPADDING", (0, 0), (-1, -1), 2), ("TOPPADDING", (0, 0), (-1, -1), 1),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 1.5), *rules]  # fmt: skip
    return laid(rows, [62 * mm, 26 * mm, 20 * mm], look)


def _serving(ink: Ink, card: SpecCard) -> Iterator[Any]:
    if card.glass:
        yield _fact(ink, say("Glass"), card.glass)
    yield _fact(ink, say("Technique"), card.technique or stage_word(card.kind))
    found = card.dilution
    if found is not None and found.share > 0.0005:
        how = f", {how_said(found.how)}" if found.how else ""
        share, much = numeral(f"{100 * found.share:.3g}"), amount_words(found.litres, "l")
        said = say("{share} % of the build, {amount}", share=share, amount=much)
        yield _fact(ink, say("Water from ice"), f"{said} ({mark_word(found.mark)}{how})")
    elif found is not None:
        yield _fact(ink, say("Water from ice"), say("none ({mark})", mark=mark_word(found.mark)))
    for line in card.figures:
        yield ink.para(figure_line(line), 8)


def _fact(ink: Ink, name: str, said: str) -> Any:
    return ink.lead(f"{name}: ", said, 8)


def _what_it_is(ink: Ink, card: SpecCard, contents: Contents) -> Iterator[Any]:
    balance = card.balance
    if balance is None:
        why = "; ".join(said_of(p, contents) for p in card.doubts) or say("something in it is not followed")
        yield ink.para(say("Volume and strength are not known: {why}.", why=why), 8, bold=True)
        return
    strength = numeral(f"{100 * balance.abv:.1f}")
    yield ink.para(f"{1000 * balance.litres:.0f} ml, {strength} % vol", 11, bold=True)
    drinks = say("the house states no standard drink")
    if balance.drinks is not None and card.gram_drink is not None:
        count, each = numeral(f"{balance.drinks:.2f}"), numeral(f"{card.gram_drink:g}")
        drinks = say("{count} standard drinks of {grams} g", count=count, grams=each)
    alcohol = numeral(f"{balance.ethanol_g:.1f}")
    yield ink.para(say("{grams} g of alcohol, {drinks}", grams=alcohol, drinks=drinks), 8)
    gas = numeral(f"{balance.co2_g_l:.1f} g/l")
    gas = f", CO2 {gas}" if balance.co2_g_l > 0.05 else ""
    yield ink.para(f"{sugar_acid_words(balance, card.tart, card.sweet)}{gas}", 8)
    without = [contents.names.get(p.get("source"), p.get("source")) for p in card.doubts if p.code == "not-followed"]
    if without:
        yield ink.para(say("Leaves out {names}.", names=series(w for w in without if w)), 7.5)


def _lines(ink: Ink, card: SpecCard) -> Iterator[Any]:
    if card.findings:
        for words, names in allergen_lines(card.findings):
            loud = words != say("Free by what was stated")
            yield ink.lead(f"{words}: ", names, 8.5 if loud else 7.5)
    else:
        none = say("Allergens: the house names no list that is shipped, so nothing is said.")
        yield ink.para(none, 8, bold=True)
    for made in card.made:
        said = " → ".join(stage_word(kind) for kind in made.stages)
        shown = made.abv is not None and made.abv >= 0.0005
        strength = f", {numeral(f'{100 * (made.abv or 0.0):.1f}')} % vol" if shown else ""
        note = f". {made.note}" if made.note else ""
        yield ink.lead(f"{made.name}{strength}: ", f"{said}{note}", 7.5)
    for note in card.notes:
        yield ink.para(note, 8)
    said = " ".join(short_caution(code) for code in card.cautions)
    if said:
        yield ink.para(said, 7, colour=FAINT)
