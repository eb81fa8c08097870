"""What ``scenario`` prints: the menu before and under scenarios, the bridge, break-even prices, the tornado."""

from collections.abc import Collection, Iterable, Iterator
from datetime import date
from decimal import Decimal

from costing.book.book import Book
from costing.book.money import digits, rounded
from costing.book.selling import Scenario
from costing.edits.menus import policy_text
from costing.edits.supposed_text import supposed_text
from costing.menu.breakeven import BreakEven, BreakEvens, Reach
from costing.menu.bridge import Bridge, printed
from costing.menu.bridge_mix import bridge_of
from costing.menu.bridge_words import PARTS, points_shown, sentence, signed
from costing.menu.compare import Comparison, Figures, Row, Under
from costing.menu.supposed_base import Laid
from costing.menu.tornado import Bar, Tornado
from costing.report.words import line_of
from costing.terminal.show import DASH, currency_of, figure, heading, money, percent
from costing.terminal.table import printable, table
from costing.tongue import capital

MOST = 12
HOW = "Mix at the margins before; price and cost at what is sold after; an exchange rate at the foreign prices before."


def list_text(kept: Iterable[Scenario], book: Book, day: date) -> Iterator[str]:
    """The scenarios of a book with their lines."""
    found = tuple(kept)
    if not found:
        yield 'no scenario is kept: suppose something with --suppose "white rum +10 %" and --save a name'
    for one in found:
        yield printable(f"{one.name} ({one.id}), of {one.since}" + (f": {one.note}" if one.note else ""))
        yield from (printable(f"  {supposed_text(s, book, day)}") for s in one.supposed)


def comparison_text(found: Comparison, revision: int, *, everything: bool = False) -> Iterator[str]:
    """The scenarios side by side, then each with its bridge."""
    yield heading(found.base.reckoning, revision, "what if")
    yield _sales(found.base)
    if found.base.mix.periods:
        yield (f"at the prices and taxes of {found.base.mix.day}, less the share that guests paid below the printed "
               "price then")  # fmt: skip
    if found.base.mix.without:
        yield printable(f"sold, and on no menu of this day with a price, so in no figure: "
                        f"{', '.join(found.base.mix.without)}")  # fmt: skip
    if len(found.others) > 1:
        yield ""
        yield from _side_by_side(found)
    for n, other in enumerate(found.others):
        yield ""
        yield from _one(found, n, other, everything=everything)


def _sales(base: Under) -> str:
    periods = base.mix.periods
    if not periods:
        return "nothing was sold in these weeks: what a drink costs and leaves is told, and no money of a period"
    first, last = min(p.since for p in periods), max(p.until for p in periods)
    sold = sum(i.sold for i in base.mix.items)
    return f"at what was sold from {first} to {last}: {sold:,.0f} drinks in {base.mix.days} days"


def _side_by_side(found: Comparison) -> Iterator[str]:
    currency = currency_of(found.base.reckoning)
    head = ("drink", "earned now", *(other.name for other in found.others))
    rows = [
        (_name(found, row), *(_most(f) + money(f.earned, currency) for f in (row.before, *row.after)))
        for row in found.rows if row.moved
    ]  # fmt: skip
    whole = [("all", *(_most(f) + money(f.earned, currency) for f in (found.before, *found.after)))]
    share = [("pour cost", _pour(found.before), *(_pour(f) for f in found.after))]
    yield table(head, (*rows, *whole, *share))


def _one(found: Comparison, n: int, other: Under, *, everything: bool) -> Iterator[str]:
    currency = currency_of(found.base.reckoning)
    overlay = other.overlay
    yield printable(f"{other.name}:")
    for laid in overlay.laid if overlay is not None else ():
        yield printable(f"  {laid_text(laid)}")
    base = found.base.mix.base
    if overlay is not None and any(s.sort == "labour" for s in overlay.scenario.supposed) and "labour" not in base:
        yield "  (cost stands on other layers than labour: see with making)"
    yield ""
    head = ("drink", "sold", "->", "cost", "->", "net", "->", "margin", "->", "pour cost", "->", "earned", "->",
            "difference")  # fmt: skip
    rows = [r for r in found.rows if everything or r.after[n] != r.before]
    whole = _cells("all", found.before, found.after[n], currency)
    yield table(head, (*(_cells(_name(found, r), r.before, r.after[n], currency) for r in rows), whole))
    if overlay is not None and overlay.changes and not any(r.after[n] != r.before for r in found.rows):
        yield "nothing that is supposed is in any drink of the menus, or it is so already"
    left = len(found.rows) - len(rows)
    if left:
        yield f"{left} drinks stay as they are (--all prints them)"
    before, after = found.before, found.after[n]
    yield (
        f"with making an average drink costs {money(before.making, currency, 2)} -> {money(after.making, currency, 2)}"
    )
    for lost in found.lost[n]:
        why = f"has no price for {', '.join(lost.goods)}" if lost.fault == "unpriced" else "cannot be made"
        yield printable(f"NO COST: {lost.name} {why}; its cost and all sums are at least, margins at most")
    yield from (printable(line_of(p)) for p in other.wrong)
    if before.sold or after.sold:
        yield ""
        yield from bridge_text(bridge_of(found.base, other), currency)


def laid_text(laid: Laid) -> str:
    """One supposed change as it came to be."""
    supposed = laid.supposed
    if supposed.sort == "volume":
        said = f"{supposed.value:f}" if supposed.how == "to" else _by(supposed.value)
        return f"sold, {laid.name}: {said}"
    if laid.before is None or laid.after is None:
        return f"{laid.name}: {_by(supposed.value)} on {laid.count} prices" + _until(laid)
    is_money = supposed.sort in ("price", "labour", "menu price")
    was, now = (_coins(v) if is_money else _plain(v) for v in (laid.before, laid.after))
    return f"{laid.name}: {was} -> {now} {laid.unit}".rstrip() + _until(laid)


def _until(laid: Laid) -> str:
    return f" (another stands in the book from {laid.until} on, and stays)" if laid.until is not None else ""


def _by(value: Decimal) -> str:
    return f"{'+' if value >= 0 else ''}{_plain(value * 100)} %"


def _plain(value: Decimal) -> str:
    return f"{value.normalize():f}"


def _coins(value: Decimal) -> str:
    """Money with two decimals, and more where it has more."""
    text = _plain(value)
    return f"{value:.2f}" if len(text.partition(".")[2]) < 2 else text


def _name(found: Comparison, row: Row) -> str:
    """What a row is called: with its menu where the drink is on several."""
    if sum(other.serve == row.serve for other in found.rows) == 1:
        return row.name
    menus = found.base.reckoning.view.menus
    return f"{row.name} ({menus[row.menu].name if row.menu in menus else row.menu})"


def _cells(name: str, before: Figures, after: Figures, currency: str) -> tuple[str, ...]:
    both = (before, after)
    return (
        name, *(figure(f.sold, 0) for f in both), *(_least(f) + money(f.cost, currency, 2) for f in both),
        *(money(f.net, currency) for f in both), *(_most(f) + money(f.margin, currency) for f in both),
        *(_least(f) + _pour(f) for f in both), *(_most(f) + money(f.earned, currency) for f in both),
        _difference(before, after, currency),
    )  # fmt: skip


def _least(found: Figures) -> str:
    """The mark of a cost that has not all in it."""
    return "" if found.complete else ">= "


def _most(found: Figures) -> str:
    """The mark of a margin whose cost has not all in it."""
    return "" if found.complete else "<= "


def _pour(found: Figures) -> str:
    return percent(found.pour_cost, 2)


def _difference(before: Figures, after: Figures, currency: str) -> str:
    """Of what is earned, as it is printed beside it, so that the line adds up; marked where one side is a limit."""
    places = digits(currency) if currency else 2
    mark = "" if before.complete == after.complete else _most(after) or ">= "
    return f"{mark}{rounded(after.earned, places) - rounded(before.earned, places):+,f}"


def bridge_text(found: Bridge, currency: str) -> Iterator[str]:
    """The bridge in words, its parts, and how pour cost went."""
    yield capital(sentence(found, currency)) + "."
    on_page = printed(found, currency)
    rows = [("margin before", f"{on_page.before:,f}"), *((PARTS[c], signed(m, currency)) for c, m in on_page.parts)]
    yield table(("what moved the margin", "money"), (*rows, ("margin after", f"{on_page.after:,f}")))
    steps: list[tuple[str, str, str]] = []
    for before, step in zip((found.walk[0], *found.walk), found.walk, strict=False):
        moved = points_shown(before, step)
        said = "" if step is found.walk[0] or moved is None else f"{moved:+}"
        steps.append((PARTS[step.code], percent(None if step.at is None else float(step.at), 2), said))
    yield table(("pour cost after", "is", "points"), steps)
    yield HOW


def breakeven_text(base: Under, serve: str, found: Iterable[BreakEvens], revision: int) -> Iterator[str]:
    """How dear each ingredient of a drink may become."""
    yield heading(base.reckoning, revision, "break-even prices")
    currency = currency_of(base.reckoning)
    shown = tuple(found)
    if not shown:
        yield printable(f"{serve} has no printed price on this day, or cannot be made: there is nothing to break even")
    for one in shown:
        menu = base.reckoning.view.menus[one.menu].name
        yield ""
        yield printable(
            f"{one.name} on {menu}, {one.section}: net {money(one.net, currency)}, costs "
            f"{money(one.cost, currency, 2)}, may cost {money(one.most, currency, 2)} "
            f"to meet {policy_text(one.policy)}"
        )
        if one.unpriced and not one.goods:
            yield printable(f"no price can be told: there is none yet for {', '.join(one.unpriced)}")
            continue
        head = ("ingredient", "pack", "price now", "meets target up to", "by", "earns up to", "by")
        yield table(head, (_even(good) for good in one.goods), left=2)
    if shown:
        yield "A dash: not even with that ingredient for nothing. Each by itself, all others as they are."


def _even(good: BreakEven) -> tuple[str, ...]:
    now = f"{good.price:f} {good.currency}" if good.price is not None else DASH
    return (good.name, good.pack or DASH, now, *_reach(good, good.target), *_reach(good, good.nothing))


def _reach(good: BreakEven, reach: Reach | None) -> tuple[str, str]:
    if reach is None:
        return DASH, DASH
    if reach.pack is None:
        return f"{money(reach.per_base, '', 2)} a unit", DASH
    return money(reach.pack, good.currency), DASH if reach.move is None else _move(reach.move)


def _move(move: float) -> str:
    """A change as percent, beyond ten times as much as how many times."""
    return f"{move * 100:+,.0f} %" if move < 9.0 else f"x {1 + move:,.0f}"


def tornado_text(
    base: Under, serve: str, found: Tornado, revision: int, own: Collection[str] | None = None, *, everything: bool
) -> Iterator[str]:
    """Which price moves a drink or the menu most. ``own`` are the goods that move by a share of their own; None where
    all move alike."""
    yield heading(base.reckoning, revision, f"which {'yield' if found.by == 'preparation' else 'price'} moves it")
    currency = currency_of(base.reckoning)
    more = 4 if serve else 0
    what = f"one {base.reckoning.view.serves[serve][0].name}" if serve else _sales(base)
    least = "" if found.complete else "at least "
    yield printable(f"{what}; cost {least}{money(found.whole, currency, more)}")
    bars, rest = found.top(len(found.bars) if everything else MOST)

    def cells(name: str, share: str, bar: Bar) -> tuple[str, ...]:
        places = (digits(currency) if currency else 2) + more
        moves = (f"{rounded(move, places):+,f}" for move in (bar.down, bar.up))
        return name, money(bar.money, currency, more), share, *moves

    rows = [
        cells(b.name or b.key, f"{b.swing:.0%}{'' if own is None or b.key in own else ' assumed'}", b) for b in bars
    ]
    if rest is not None:
        rows.append(
            cells(f"{len(found.bars) - len(bars)} others", DASH if own is not None else f"{rest.swing:.0%}", rest)
        )
    word = "yield" if found.by == "preparation" else "price"
    yield table((found.by, "money through it", "by", f"{word} down", f"{word} up"), rows)
    if found.by != "preparation" and any(abs(b.up - b.swing * b.money) > 1e-9 * abs(b.money) for b in found.bars):
        yield "Freight and rebates on a pack stay where its price moves: that money goes through it and does not move."
    if found.by == "preparation":
        yield "To first order, and each by itself: preparations stand in each other and do not add up."
