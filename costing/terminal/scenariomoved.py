"""``scenario --moved``: what moved the margin from the first half of the weeks looked at to the second."""

from collections.abc import Iterator, Sequence
from datetime import date

from costing.book.book import Book
from costing.book.selling import SalesPeriod
from costing.menu.bridge import Bridge
from costing.menu.bridge_mix import bridge_of
from costing.menu.compare import Under, as_of_its_last_day, halves
from costing.menu.mix import ended_periods
from costing.terminal.base import Args, Mistake, print_json, say
from costing.terminal.jsonform import Json, head
from costing.terminal.scenariojson import bridge_json
from costing.terminal.scenariopage import bridge_text
from costing.terminal.show import currency_of, heading, money
from costing.terminal.table import printable


def moved(args: Args, book: Book, day: date, revision: int) -> int:
    """Print it; exit 1 where a drink that was sold has no whole cost on a side. Mistake where there are no two halves,
    or where something else is asked for too."""
    if args.names or args.suppose or args.save or args.apply or args.drop or args.breakeven or args.tornado is not None:
        raise Mistake("--moved stands alone: it tells of what was sold, and of no scenario")
    periods = ended_periods(book, day, args.weeks * 7)
    parts = halves(periods)
    if parts is None:
        raise Mistake(
            f"{len(periods)} period of sales ended by {day} in these weeks: two halves need two; try more --weeks"
        )
    before, after = (_side(book, half) for half in parts)
    found = bridge_of(before, after)
    if args.json:
        print_json(_json(before, after, found, revision))
    else:
        say(*_text(before, after, found, revision))
    return 1 if found.doubtful else 0


def _side(book: Book, half: Sequence[SalesPeriod]) -> Under:
    since, until = min(p.since for p in half), max(p.until for p in half)
    return as_of_its_last_day(book, half, f"{since} to {until}")


def _text(before: Under, after: Under, found: Bridge, revision: int) -> Iterator[str]:
    yield heading(after.reckoning, revision, "what moved the margin")
    currency = currency_of(after.reckoning)
    for name, side in (("before", before), ("after", after)):
        sold = sum(i.sold for i in side.mix.items)
        yield printable(f"{name}: {side.name}, {side.mix.days} days, {sold:,.0f} drinks, "
                        f"margin {money(side.mix.margin, currency)}, costs of {side.reckoning.view.day}")  # fmt: skip
        if side.mix.without:
            yield printable(f"  sold, and on no menu of that day, so in no figure: {', '.join(side.mix.without)}")
    if before.mix.days != after.mix.days:
        yield "the halves are not equally long: of volume, some is only that"
    yield ""
    yield from bridge_text(found, currency)


def _json(before: Under, after: Under, found: Bridge, revision: int) -> Json:
    return {
        **head("moved", after.reckoning, revision), "sides": [_half(side) for side in (before, after)],
        "bridge": bridge_json(found, currency_of(after.reckoning)),
    }  # fmt: skip


def _half(side: Under) -> Json:
    periods = side.mix.periods
    return {
        "from": min(p.since for p in periods).isoformat(), "to": max(p.until for p in periods).isoformat(),
        "days": side.mix.days, "costs_of": side.reckoning.view.day.isoformat(), "periods": [p.id for p in periods],
        "sold": sum(i.sold for i in side.mix.items), "earned": side.mix.margin,
    }  # fmt: skip
