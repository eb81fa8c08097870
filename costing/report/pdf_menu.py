"""The menu cost card: what every drink costs, earns and should be sold at, on one or two sheets for the owner."""

from collections.abc import Iterator
from decimal import Decimal
from itertools import groupby
from typing import Any

from reportlab.lib.units import mm
from reportlab.platypus import BalancedColumns, CondPageBreak, Spacer

from costing.book.levies import Policy
from costing.book.records import LAYERS
from costing.report.content import Contents, Head, MenuRow, ServeRow
from costing.report.pdf_page import COPPER, FAINT, Ink, closing, heading, money, pages, table
from costing.report.phrases import assumed_words, money_name, percent, said_of, strength_words
from costing.report.places import amiss_line
from costing.report.sheet_costs import base_words, listed, technique_word
from costing.report.words import layer_word, series
from costing.tongue import Sayings, Words, numeral, say, say_word

_WIDTHS = (54, 18, 18, 17, 17, 16, 17, 24, 21, 26, 25, 20)
ROOM = 42 * mm
_TARGETS: Words = {"pour_cost": "{value} pour cost", "margin": "{value} margin", "multiplier": "{value} × cost"}
_HEADS: Sayings = (
    "Serve", "Cost", "With making", "Printed", "Net price", "Pour cost", "Margin", "Aims at", "Suggested",
    "Point below gives away", "In the glass", "Rests on assumed",
)  # fmt: skip


def menu_card(contents: Contents) -> bytes:
    """The card as a PDF."""
    ink, head = Ink(), contents.head
    story: list[Any] = [ink.para(say("Menu cost card"), 17, bold=True), Spacer(1, 1.5 * mm)]
    story.append(ink.para(f"{head.house}. {_stands(contents)}", 8, colour=FAINT))
    for (menu, section), lines in groupby(contents.menu, key=lambda row: (row.menu, row.section)):
        title = " · ".join(w for w in (menu, section) if w) or say("On no menu")
        story += _section(ink, title, list(lines), contents)
    if not contents.menu:
        story.append(ink.para(say("No serve is made on this day."), 9))
    story += list(_below(ink, contents))
    story += closing(ink, contents.cautions, head)
    return pages(story, title=say("Menu cost card"), head=head, ink=ink, wide=True)


def _stands(contents: Contents) -> str:
    """What the figures of the card stand on, and what is taken off the price before."""
    currency, layers = money_name(contents.head), base_words(contents.head)
    if not contents.head.terms:
        return say(
            "Money in {currency}. Pour cost, margin and suggestion stand on {layers} and on the net price; the house "
            "has no terms on this day, so there is no net price and nothing is suggested.",
            currency=currency, layers=layers,
        )  # fmt: skip
    if not contents.levies:
        return say(
            "Money in {currency}. Pour cost, margin and suggestion stand on {layers} and on the net price; no tax or "
            "service is entered.",
            currency=currency, layers=layers,
        )  # fmt: skip
    levies = [
        say("{name} {rate}, kept", name=levy.name, rate=percent(levy.rate)) if levy.kept
        else f"{levy.name} {percent(levy.rate)}"
        for levy in contents.levies
    ]  # fmt: skip
    return say(
        "Money in {currency}. Pour cost, margin and suggestion stand on {layers} and on the net price, after {levies}.",
        currency=currency, layers=layers, levies=listed(levies),
    )  # fmt: skip


def _section(ink: Ink, title: str, lines: list[MenuRow], contents: Contents) -> list[Any]:
    first = [ink.para(say_word(name), 7, bold=True, right=n > 0) for n, name in enumerate(_HEADS)]
    small = ink.para(base_words(contents.head), 6, right=True, colour=FAINT)
    first[1] = [first[1], small]
    rows = [first, *(_row(ink, line, contents) for line in lines)]
    # a heading and its first rows stay together: a table that breaks would leave the heading behind
    return [CondPageBreak(ROOM), heading(ink, title), table(rows, _WIDTHS)]


def _row(ink: Ink, line: MenuRow, contents: Contents) -> list[Any]:
    head, serve, priced = contents.head, line.serve, line.priced
    if not serve.costed:
        return _not_costed(ink, line, contents)
    sure = "" if serve.complete else say("at least")
    told = priced.suggestion
    out: list[Any] = [ink.two(serve.name, _layers(serve, contents), bold=True)]
    out.append(_cost(ink, serve.base_cost, sure, contents))
    out.append(_cost(ink, serve.making, sure, contents))
    out += _printed(ink, line, contents)
    if priced.price is None:
        out += [ink.para("–", right=True) for _ in range(2)]
    else:
        share = priced.price.pour_cost
        out.append(ink.two("–" if share is None else numeral(f"{100 * float(share):.1f} %"), sure, right=True))
        out.append(ink.two(money(float(priced.price.margin), head), say("at most") if sure else "", right=True))
    met = {True: say("met"), False: say("missed"), None: ""}[priced.on_target]
    aim = aim_words(priced.policy, head)
    out.append(ink.two(aim if head.terms else say("no terms"), met, 7, right=True))
    if told is None:
        why = say("price missing") if sure else say("costs less than nothing") if priced.base < 0 else ""
        out += [ink.two(say("none"), why, right=True), ink.para("–", right=True)]
    else:
        out.append(ink.para(money(float(told.at.all_in), head), 9, bold=True, right=True, colour=COPPER))
        lower = say("none") if told.lower is None else money(float(told.lower.all_in), head)
        lost = told.gives_away
        away = "" if lost is None else say("gives away {money}", money=money(float(lost), head))
        out.append(ink.two(lower, away, right=True))
    part = serve.litres is None or any(p.code == "not-followed" for p in serve.doubts)
    volume = "–" if part or serve.litres is None else f"{1000 * serve.litres:.0f} ml"
    out.append(ink.two(volume, strength_words(serve, contents), right=True))
    out.append(ink.para(f"{100 * serve.assumed_share:.0f} %", right=True))
    return out


def aim_words(policy: Policy, head: Head) -> str:
    """ "18 % pour cost"."""
    value = policy.value
    shown = {"pour_cost": percent(value), "margin": money(float(value), head)}.get(policy.kind, numeral(f"{value:.2f}"))
    return say_word(_TARGETS[policy.kind], value=shown)


def _printed(ink: Ink, line: MenuRow, contents: Contents) -> list[Any]:
    """The printed price and what the house keeps of it: neither asks what the drink costs."""
    if line.printed is None:
        return [ink.para(say("none"), right=True, colour=FAINT), ink.para("–", right=True)]
    net = line.priced.price
    kept = ink.two("–", say("no terms"), right=True) if net is None else ink.para(_cash(net.net, contents), right=True)
    return [ink.para(_cash(line.printed, contents), right=True), kept]


def _cash(value: Decimal, contents: Contents) -> str:
    return money(float(value), contents.head)


def _not_costed(ink: Ink, line: MenuRow, contents: Contents) -> list[Any]:
    """A serve without a cost still has the price that is printed, and what the house keeps of it."""
    serve = line.serve
    why = "; ".join(said_of(p, contents) for p in serve.doubts) or say("see what is amiss")
    out: list[Any] = [ink.two(serve.name, say("cannot be costed: {why}", why=why), bold=True)]
    out += [ink.para("–", right=True) for _ in _WIDTHS[1:]]
    out[1] = ink.para(say("not costed"), 7, bold=True, right=True, colour=COPPER)
    out[3:5] = _printed(ink, line, contents)
    out[10] = ink.two("–", say("strength not known: it cannot be costed"), right=True)
    return out


def _cost(ink: Ink, value: float, sure: str, contents: Contents) -> list[Any]:
    out = [ink.para(money(value, contents.head), 8.5, bold=True, right=True)]
    return [ink.para(sure, 6.5, bold=True, right=True, colour=COPPER), *out] if sure else out


def _layers(serve: ServeRow, contents: Contents) -> str:
    """What making adds, as shares: rounded amounts of layers would not agree with the cost beside them."""
    whole, base = serve.making, contents.head.base
    beside = [(w, v) for w, v in zip(LAYERS, serve.cost, strict=True) if v > 0.005 * whole and w not in base]
    shares = [f"{layer_word(layer)} {100 * value / whole:.0f} %" for layer, value in beside]
    said = [say("of the cost with making: {shares}", shares=series(shares))] if shares else []
    said += [say("no price: {names}", names=series(serve.unpriced))] if serve.unpriced else []
    said += [technique_word(serve.technique)] if serve.technique else []
    return " · ".join(said)


def _below(ink: Ink, contents: Contents) -> Iterator[Any]:
    problems = [amiss_line(p, contents) for p in contents.problems]
    if problems:
        yield heading(ink, say("What is amiss"), ink.para(problems[0], 7.5))
        yield from (ink.para(line, 7.5) for line in problems[1:])
    assumed = assumed_words(contents.assumptions)
    if assumed:
        words = say(
            "Nobody measured these figures. The last column says how much of a cost rests on assumed amounts, times, "
            "stage figures and readings, weights of a piece, densities, house measures and packs; an assumed makeup, "
            "dilution or CO2 is listed here and not counted there."
        )
        yield heading(ink, say("What is assumed"), ink.para(words, 7, colour=FAINT))
        yield Spacer(1, 1.5 * mm)
        listed_ = [ink.lead(f"{where}: ", said, 6.8) for where, said in assumed]
        yield BalancedColumns(listed_, nCols=3, innerPadding=5 * mm)
